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
    ['a fall that would end below absolute zero', [70, 40, 12]],
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

  it('says how many degrees one degree on each reading makes', () => {
    // By hand, 40, 60, 70 °C: steps of 20 and 10; ∂S/∂T₁ = 10²/10², ∂S/∂T₂ = −2·20·10/10², ∂S/∂T₃ = 20²/10²; √(1 + 16 + 16) = 5.744 563.
    expectNear(readings([40, 60, 70]).leverage, Math.sqrt(33), 1e-12);
    // Second method: each reading moved by a thousandth of a degree both ways, the quotient of squares taken each time.
    const quotient = ([a, b, c]: readonly number[]): number => (b! ** 2 - a! * c!) / (2 * b! - a! - c!);
    const between = draws(5);
    for (let i = 0; i < 30; i += 1) {
      const step = between(5, 30);
      const first = between(20, 60);
      const three = [first, first + step, first + step * (1 + between(0.1, 0.9))];
      const slopes = [0, 1, 2].map((n) => {
        const moved = (by: number): number => quotient(three.map((value, at) => (at === n ? value + by : value)));
        return (moved(1e-3) - moved(-1e-3)) / 2e-3;
      });
      expectNear(readings(three).leverage, Math.hypot(...slopes), 1e-4);
    }
  });

  it('draws a course through the three readings, up to where it has levelled off', () => {
    const { time, temperature } = readings([40, 60, 70], 79.9).temperatureOverTime;
    const at = (minutes: number): number => {
      const after = time.findIndex((one) => one >= 60 * minutes);
      const part = after === 0 ? 0 : (60 * minutes - time[after - 1]!) / (time[after]! - time[after - 1]!);
      return temperature[Math.max(0, after - 1)]! * (1 - part) + temperature[after]! * part - 273.15;
    };
    // Straight between the points: a tenth of a degree beside the course.
    expect(at(0)).toBeCloseTo(40, 9);
    expect(at(2)).toBeCloseTo(60, 0);
    expect(at(4)).toBeCloseTo(70, 0);
    // By hand: halved every 2 minutes, 40 K are 0.1 K after log₂ 400 intervals, where the limit is and the course ends.
    expectNear(time.at(-1)!, 120 * Math.log2(400), 1e-9);
    expectNear(temperature.at(-1)! - 273.15, 79.9, 1e-9);
    // Second method: the middle point from the equation of warming, dT/dt = (S − T)/τ, in small steps.
    const constant = 120 / Math.LN2;
    let warm = 40;
    for (let i = 0; i < 200_000; i += 1) warm += ((80 - warm) / constant) * (time[20]! / 200_000);
    expect(temperature[20]! - 273.15).toBeCloseTo(warm, 3);
  });

  it('tells more the smaller the second step is, whatever thermometer and clock', () => {
    const leverages = [0.9, 0.7, 0.5, 0.25, 0.1].map((part) => readings([40, 60, 60 + 20 * part]).leverage);
    expect(leverages.every((leverage, i) => i === 0 || leverage < leverages[i - 1]!)).toBe(true);
    expect(leverages[2]).toBeGreaterThan(5);
    expect(leverages[3]).toBeLessThan(2);
    expectNear(readings([43, 63, 71], 80, 9).leverage, readings([40, 60, 68]).leverage, 1e-12);
  });

  it('does not compile with minutes for temperatures', () => {
    // @ts-expect-error temperatures are in K
    expect(() => warmup({ temperatures: [si<'s'>(1)], interval: si(60), motorLimit: celsius(80) })).toThrow();
  });
});
