import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { wheelRate } from '../../../calc/springs/wheel-rate.ts';
import { expectNear, expectPower } from '../../support/book.ts';

describe('wheel rate', () => {
  it('takes as much work at the wheel as the spring takes in', () => {
    // Second method: work done pushing the wheel up in small steps against the spring's force, seen through the lever, is ½·w·z².
    const [rate, ratio, travel, steps] = [1200, 0.55, 0.03, 10000];
    let work = 0;
    for (let i = 0; i < steps; i += 1) {
      const wheel = ((i + 0.5) / steps) * travel;
      const springForce = rate * (ratio * wheel);
      work += springForce * (ratio * travel) * (1 / steps);
    }
    expectNear(wheelRate({ springRate: si(rate), motionRatio: si(ratio) }), (2 * work) / travel ** 2, 1e-9);
  });

  it('is a quarter of the spring rate at half the motion ratio, and the spring rate itself at one', () => {
    expect(wheelRate({ springRate: si(1000), motionRatio: si(0.5) })).toBe(250);
    expect(wheelRate({ springRate: si(1000), motionRatio: si(1) })).toBe(1000);
  });

  it('goes with the spring rate and the square of the motion ratio', () => {
    const draw = (between: (low: number, high: number) => number) => ({
      springRate: si<'N/m'>(between(5, 50000)),
      motionRatio: si<'1'>(between(0.2, 1.2)),
    });
    expectPower(wheelRate, draw, 'springRate', 1);
    expectPower(wheelRate, draw, 'motionRatio', 2);
  });

  it('takes a plain number for the motion ratio: a length does not compile', () => {
    // @ts-expect-error a ratio has no unit
    const wrong = () => wheelRate({ springRate: si(1000), motionRatio: si<'m'>(0.5) });
    expect(wrong).toBeTypeOf('function');
  });
});
