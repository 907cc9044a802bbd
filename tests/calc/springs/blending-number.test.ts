import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { blendingNumber, viscosityOf } from '../../../calc/springs/blending-number.ts';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';

describe('viscosity-blending number', () => {
  it('is that of the published example', () => {
    // Refutas' equation with natural logarithms, 2.234 cSt: pages print 12.492 (read), a rounding slip; it is 12.490.
    expect(Math.abs(blendingNumber({ viscosity: si(2.234e-6) }) - 12.492)).toBeLessThan(0.003);
    expectPrinted(blendingNumber({ viscosity: si(2.234e-6) }), '12.490');
  });

  it('leads back to the oil', () => {
    const between = draws(91);
    for (let i = 0; i < 40; i += 1) {
      const viscosity = between(10e-6, 0.1);
      expectNear(viscosityOf(blendingNumber({ viscosity: si(viscosity) })), viscosity, 1e-11);
    }
  });

  it('grows with the viscosity, ever more slowly', () => {
    let [before, step] = [blendingNumber({ viscosity: si(10e-6) }), Number.POSITIVE_INFINITY];
    for (let viscosity = 20e-6; viscosity < 0.1; viscosity *= 2) {
      const now = blendingNumber({ viscosity: si(viscosity) });
      expect(now).toBeGreaterThan(before);
      expect(now - before).toBeLessThan(step);
      [before, step] = [now, now - before];
    }
  });

  it('is refused for anything thinner than 0.2 cSt', () => {
    expect(() => blendingNumber({ viscosity: si(0.2e-6) })).toThrow('viscosity has to be above');
    expect(Number.isFinite(blendingNumber({ viscosity: si(0.2001e-6) }))).toBe(true);
  });

  it('takes a kinematic viscosity: a dynamic one does not compile', () => {
    // @ts-expect-error mm²/s, not mPa·s
    const wrong = () => blendingNumber({ viscosity: si<'Pa·s'>(0.35) });
    expect(wrong).toBeTypeOf('function');
  });
});
