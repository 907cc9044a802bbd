import { describe, expect, it } from 'vitest';
import { motorHeat } from '../../../calc/drive/motor-heat.ts';
import { warmup } from '../../../calc/drive/warmup.ts';
import { DomainError, si } from '../../../calc/formula.ts';
import { draws, expectNear, numberOf } from '../../support/book.ts';

const celsius = (value: number) => si<'K'>(value + 273.15);
const readings = (temperatures: readonly number[], limit = 80, minutes = 2) =>
  warmup({ temperatures: temperatures.map(celsius), interval: si(60 * minutes), motorLimit: celsius(limit) });

describe('a warm-up', () => {
  it('of 40, 60 and 70 °C is heading for 80 °C, half of the rest in every interval', () => {
    // By hand: what is left to 80 °C is 40, 20, 10 K: halved each time, so the time constant is interval/ln 2, and 75 °C (5 K left) comes after three.
    const answer = readings([40, 60, 70], 75);
    expectNear(answer.steadyTemperature - 273.15, 80, 1e-12);
    expectNear(answer.timeConstant, 120 / Math.LN2, 1e-12);
    expectNear(answer.timeToLimit, 360, 1e-12);
  });

  it('is the quotient of squares that the rule for three readings prints', () => {
    // IEC 60076-2:1993, end of a heat run from three readings equal times apart: (T₂² − T₁T₃)/(2T₂ − T₁ − T₃) (from memory).
    const between = draws(3);
    for (let i = 0; i < 50; i += 1) {
      const first = between(20, 60);
      const step = between(1, 30);
      const [second, third] = [first + step, first + step * (1 + between(0.1, 0.95))] as const;
      expectNear(
        readings([first, second, third]).steadyTemperature - 273.15,
        (second ** 2 - first * third) / (2 * second - first - third),
        1e-9,
      );
    }
  });

  it('finds again the motor from which its readings were taken', () => {
    // Second method: three readings taken from a motor's course that another formula gives.
    const between = draws(4);
    for (let i = 0; i < 50; i += 1) {
      const motor = {
        powerLoss: si<'W'>(between(5, 40)),
        thermalResistance: si<'K/W'>(between(1, 6)),
        heatCapacity: si<'J/K'>(between(40, 200)),
        airTemperature: celsius(between(5, 35)),
        motorLimit: celsius(between(60, 110)),
      };
      const constant = motor.thermalResistance * motor.heatCapacity;
      const [begin, interval] = [constant * between(0.05, 0.5), constant * between(0.2, 1)];
      const heated = (time: number) => motorHeat({ ...motor, runTime: si(time) });
      const temperatures = [0, 1, 2].map((n) => heated(begin + n * interval).finalTemperature);
      const answer = warmup({ temperatures, interval: si(interval), motorLimit: motor.motorLimit });
      const { steadyTemperature, timeToLimit } = heated(0);
      expectNear(answer.steadyTemperature, steadyTemperature, 1e-10);
      expectNear(answer.timeConstant, constant, 1e-8);
      if (typeof timeToLimit !== 'number') expect(answer.timeToLimit).toEqual({ absent: 'never' });
      else if (timeToLimit < begin) expect(answer.timeToLimit).toBe(0);
      else expectNear(numberOf(answer.timeToLimit) + begin, timeToLimit, 1e-6);
    }
  });

  it('is at its limit already when the first reading is, and never when it levels off below', () => {
    expect(readings([81, 90, 95]).timeToLimit).toBe(0);
    expect(readings([40, 60, 70], 80.1).timeToLimit).toEqual({ absent: 'never' });
    expect(numberOf(readings([40, 60, 70], 79.9).timeToLimit)).toBeGreaterThan(900);
  });

  it('of a motor that cools down levels off too, and never comes to the limit', () => {
    const answer = readings([70, 60, 55]);
    expectNear(answer.steadyTemperature - 273.15, 50, 1e-11);
    expect(answer.timeToLimit).toEqual({ absent: 'never' });
  });

  it.each([
    ['even steps', [40, 50, 60]],
    ['growing steps', [40, 50, 65]],
    ['no steps', [40, 40, 40]],
    ['a second step of nothing', [40, 50, 50]],
    ['a first step of nothing', [40, 40, 45]],
    ['steps up and down', [40, 60, 50]],
  ])('with %s does not level off, and says so', (_, temperatures) => {
    expect(() => readings(temperatures)).toThrow(/do not level off/);
    try {
      readings(temperatures);
    } catch (error) {
      expect((error as DomainError).input).toBe('temperatures');
    }
  });

  it('wants three readings, no more and no fewer', () => {
    expect(() => readings([40, 50])).toThrow(DomainError);
    expect(() => readings([40, 60, 70, 75])).toThrow(/three readings/);
  });

  it('stretches with the interval, and is blind to a thermometer that reads some degrees too much', () => {
    const answer = readings([40, 60, 68]);
    expectNear(readings([40, 60, 68], 80, 6).timeConstant, 3 * answer.timeConstant);
    const shifted = readings([43, 63, 71], 80);
    expectNear(shifted.timeConstant, answer.timeConstant, 1e-10);
    expectNear(shifted.steadyTemperature, answer.steadyTemperature + 3, 1e-12);
  });

  it('does not compile with minutes for temperatures', () => {
    // @ts-expect-error temperatures are in K
    expect(() => warmup({ temperatures: [si<'s'>(1)], interval: si(60), motorLimit: celsius(80) })).toThrow();
  });
});
