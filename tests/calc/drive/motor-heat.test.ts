import { describe, expect, it } from 'vitest';
import { motorHeat } from '../../../calc/drive/motor-heat.ts';
import { type Inputs, si } from '../../../calc/formula.ts';
import { integrate } from '../../../calc/numeric/ode.ts';
import { draws, expectNear, numberOf } from '../../support/book.ts';

type Motor = Inputs<(typeof motorHeat)['inputs']>;
const celsius = (value: number) => si<'K'>(value + 273.15);
const motor: Motor = {
  powerLoss: si(15),
  thermalResistance: si(4),
  heatCapacity: si(90),
  airTemperature: celsius(25),
  runTime: si(300),
  motorLimit: celsius(80),
};

describe('the heat of a motor', () => {
  it('comes to 58.92 °C after 300 s of 15 W at 4 K/W and 90 J/K in air of 25 °C', () => {
    // Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, ch. 5 (lumped capacitance): C·dT/dt = P − (T − A)/R gives 58.924 107 489 5 °C
    // (computed by a second method).
    expectNear(motorHeat(motor).finalTemperature - 273.15, 58.92410748952176, 1e-12);
  });

  it('follows the differential equation, solved step by step, and reaches its limit when that does', () => {
    // Second method: the differential equation solved step by step with error control.
    const between = draws(80);
    for (let i = 0; i < 40; i += 1) {
      const drawn: Motor = {
        powerLoss: si(between(2, 60)),
        thermalResistance: si(between(1, 10)),
        heatCapacity: si(between(30, 200)),
        airTemperature: celsius(between(1, 40)),
        runTime: si(between(20, 1500)),
        motorLimit: celsius(between(45, 120)),
      };
      const answer = motorHeat(drawn);
      const warming = (_: number, [warmth]: readonly number[]): number[] => [
        (drawn.powerLoss - (warmth! - drawn.airTemperature) / drawn.thermalResistance) / drawn.heatCapacity,
      ];
      expectNear(answer.finalTemperature, integrate(warming, 0, [drawn.airTemperature], drawn.runTime).state[0]!, 1e-9);
      const long = 20 * drawn.thermalResistance * drawn.heatCapacity;
      const course = integrate(warming, 0, [drawn.airTemperature], long, { until: (_t, [warmth]) => warmth! - drawn.motorLimit });
      expectNear(answer.steadyTemperature, drawn.airTemperature + drawn.powerLoss * drawn.thermalResistance);
      if (course.crossed) expectNear(answer.timeToLimit, course.time, 1e-6);
      else expect(answer.timeToLimit).toEqual({ absent: 'never' });
    }
  });

  it('is at its limit exactly at the time that it names', () => {
    const { timeToLimit } = motorHeat(motor);
    expectNear(motorHeat({ ...motor, runTime: si(numberOf(timeToLimit)) }).finalTemperature, motor.motorLimit, 1e-14);
  });

  it('is at its limit at once in air as warm as that, and never when the run ends below', () => {
    expect(motorHeat({ ...motor, airTemperature: celsius(80) }).timeToLimit).toBe(0);
    expect(motorHeat({ ...motor, airTemperature: celsius(90), powerLoss: si(0) }).timeToLimit).toBe(0);
    expect(motorHeat({ ...motor, powerLoss: si(0) }).timeToLimit).toEqual({ absent: 'never' });
    // 55 K of room over 4 K/W: 13.75 W just never gets there.
    expect(motorHeat({ ...motor, powerLoss: si(13.7) }).timeToLimit).toEqual({ absent: 'never' });
    expect(numberOf(motorHeat({ ...motor, powerLoss: si(13.8) }).timeToLimit)).toBeGreaterThan(1000);
  });

  it('rises with the loss, and takes longer with more to heat', () => {
    const rise = (change: Partial<Motor>): number => motorHeat({ ...motor, ...change }).finalTemperature - motor.airTemperature;
    expectNear(rise({ powerLoss: si(45) }), 3 * rise({}), 1e-12);
    expectNear(rise({ heatCapacity: si(180), runTime: si(600) }), rise({}), 1e-12);
    expectNear(numberOf(motorHeat({ ...motor, heatCapacity: si(180) }).timeToLimit), 2 * numberOf(motorHeat(motor).timeToLimit));
    expect(rise({ runTime: si(0) })).toBe(0);
    // A blink of a run: P·t/C, to the digits that the small rise has.
    expectNear(motorHeat({ ...motor, airTemperature: si(1), runTime: si(1e-6) }).finalTemperature - 1, (15 * 1e-6) / 90, 1e-7);
  });

  it('does not compile with a resistance in ohms', () => {
    // @ts-expect-error a thermal resistance is in K/W
    motorHeat({ ...motor, thermalResistance: si<'Ω'>(4) });
  });
});
