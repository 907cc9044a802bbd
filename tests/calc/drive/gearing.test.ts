import { describe, expect, it } from 'vitest';
import { gearing } from '../../../calc/drive/gearing.ts';
import { type Inputs, si } from '../../../calc/formula.ts';
import { expectNear, expectPower } from '../../support/book.ts';
import { drawTruck, rpm, sandhopper } from './truck.ts';

type Geared = Inputs<(typeof gearing)['inputs']>;

describe('gearing', () => {
  it('lets a motor of 3000 rpm/V on two cells of 3.7 V drive 100 mm tyres through 12 to 1 at most as fast as by hand', () => {
    const answer = gearing({ ...sandhopper, pinion: si(18), spur: si(54), gearboxRatio: si(1), axleRatio: si(4) });
    // By hand: 3000 × 7.4 = 22 200 rpm at the motor, /12 = 1850 rpm at the wheels; a turn of the wheels is 314.159 mm, of the motor 26.1799 mm;
    // 1850/60 × 0.314 159 m = 9.686 58 m/s.
    expectNear(answer.overallRatio, 12);
    expectNear(answer.motorSpeed, (22_200 * Math.PI) / 30);
    expectNear(answer.wheelSpeed, (1850 * Math.PI) / 30);
    expect(answer.rollout * 1000).toBeCloseTo(26.1799, 4);
    expect(answer.idealSpeed).toBeCloseTo(9.68658, 5);
  });

  it('rolls out the grown tyre, not the one at rest', () => {
    const still = gearing(sandhopper);
    const grown = gearing({ ...sandhopper, tyreGrowth: si(0.1) });
    expectNear(grown.rollout, 1.1 * still.rollout);
    expectNear(grown.idealSpeed, 1.1 * still.idealSpeed);
    expectNear(grown.motorSpeed, still.motorSpeed);
  });

  it('goes as far in a second as the motor turns, times the rollout', () => {
    for (const spurTurns of [undefined, si<'1'>(2.75)]) {
      const answer = gearing({ ...sandhopper, spurTurns });
      expectNear((answer.motorSpeed / (2 * Math.PI)) * answer.rollout, answer.idealSpeed);
    }
  });

  it('scales as a chain of wheels does', () => {
    const ideal = (truck: Geared): number => gearing(truck).idealSpeed;
    const draw = (between: (low: number, high: number) => number): Geared => drawTruck(between);
    expectPower(ideal, draw, 'motorKv', 1);
    expectPower(ideal, draw, 'cellVoltage', 1);
    expectPower(ideal, draw, 'tyreDiameter', 1);
    expectPower(ideal, draw, 'cells', 1, [2, 2]);
    expectPower(ideal, draw, 'axleRatio', -1);
    expectPower((truck) => gearing(truck).rollout, draw, 'gearboxRatio', -1);
    expectPower((truck) => gearing(truck).wheelSpeed, draw, 'spur', -1, [2, 2]);
    expectPower((truck) => gearing(truck).motorSpeed, draw, 'pinion', 0, [2, 2]);
  });

  it('does not compile with volts for a kv', () => {
    // @ts-expect-error kv is in rad/(s·V)
    gearing({ ...sandhopper, motorKv: si<'V'>(rpm(3000)) });
  });
});
