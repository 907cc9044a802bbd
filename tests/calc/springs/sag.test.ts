import { describe, expect, it } from 'vitest';
import { standardGravity } from '../../../calc/constants.ts';
import { absent, si } from '../../../calc/formula.ts';
import { sag } from '../../../calc/springs/sag.ts';
import { draws, expectNear, expectPower, expectPrinted, numberOf } from '../../support/book.ts';

type Sag = Parameters<typeof sag>[0];
const corner = (changed: Record<string, number> = {}): Sag =>
  ({ sprungMass: 0.6, wheelRate: 400, motionRatio: 0.5, preload: 0, ...changed }) as Sag;

describe('sag', () => {
  it('is the 248.4 mm of a corner that rides at 1 Hz', () => {
    // Gillespie, Fundamentals of Vehicle Dynamics, ch. 5: static deflection for 1 Hz, 9.8 in. Printed value from memory, recomputed: 248.4 mm.
    const { sag: settled } = sag(corner({ wheelRate: 0.6 * (2 * Math.PI) ** 2 }));
    expectPrinted(settled, '248.4', 1e-3);
    expectPrinted(settled, '9.8', 0.0254);
  });

  it('is where the spring holds the weight, found by letting the corner down bit by bit', () => {
    // Second method: bisection on the balance of forces at the wheel, the spring shortened by the preload at full droop.
    const between = draws(41);
    for (let i = 0; i < 40; i += 1) {
      const [mass, spring, ratio, preload] = [between(0.2, 2), between(200, 3000), between(0.3, 1), between(1e-4, 1e-2)];
      const carried = (z: number) => spring * (preload + ratio * z) * ratio;
      let [low, high] = [0, 1];
      for (let step = 0; step < 60; step += 1) {
        const middle = (low + high) / 2;
        if (carried(middle) < mass * standardGravity) low = middle;
        else high = middle;
      }
      const found = sag(corner({ sprungMass: mass, wheelRate: spring * ratio ** 2, motionRatio: ratio, preload }));
      expect(Math.abs(found.sag - low)).toBeLessThan(1e-12);
    }
  });

  it('stays at zero while the preload carries the corner', () => {
    // 0.6 kg is 5.88 N; 400 N/m at the wheel, ratio 0.5: 10 mm of preload are 20 mm at the wheel, 8 N.
    expect(sag(corner({ preload: 0.01 })).sag).toBe(0);
  });

  it('without preload goes with the mass and one over the wheel rate, whatever the motion ratio', () => {
    const draw = (between: (low: number, high: number) => number) =>
      corner({ sprungMass: between(0.01, 5), wheelRate: between(5, 50000), motionRatio: between(0.2, 1.2) });
    const settled = (inputs: Sag) => sag(inputs).sag;
    expectPower(settled, draw, 'sprungMass', 1);
    expectPower(settled, draw, 'wheelRate', -1);
    expectPower(settled, draw, 'motionRatio', 0);
  });

  it('loses the preload over the motion ratio', () => {
    const between = draws(42);
    for (let i = 0; i < 40; i += 1) {
      const [ratio, preload] = [between(0.2, 1.2), between(1e-4, 2e-3)];
      const bare = sag(corner({ motionRatio: ratio })).sag;
      expectNear(sag(corner({ motionRatio: ratio, preload })).sag, bare - preload / ratio, 1e-9);
    }
  });
});

describe('preload for a wanted sag', () => {
  it('gives that sag when it is wound on', () => {
    const between = draws(43);
    for (let i = 0; i < 40; i += 1) {
      const inputs = { sprungMass: between(0.2, 2), wheelRate: between(50, 2000), motionRatio: between(0.3, 1) };
      const bare = sag(corner(inputs)).sag;
      const targetSag = bare * between(0.05, 0.95);
      const { preloadForSag } = sag(corner({ ...inputs, targetSag }));
      expectNear(sag(corner({ ...inputs, preload: numberOf(preloadForSag) })).sag, targetSag, 1e-9);
    }
  });

  it('is not there when even without preload the corner sits higher than that', () => {
    expect(sag(corner({ targetSag: 0.02 })).preloadForSag).toEqual(absent('spring too stiff'));
    expect(sag(corner()).preloadForSag).toBeUndefined();
  });

  it('takes lengths for the preload: turns do not compile', () => {
    // @ts-expect-error the preload is a length
    const wrong = () => sag({ sprungMass: si(0.6), wheelRate: si(400), motionRatio: si(0.5), preload: si<'1'>(2) });
    expect(wrong).toBeTypeOf('function');
  });
});
