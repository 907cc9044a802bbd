import { describe, expect, it } from 'vitest';
import { standardGravity } from '../../../calc/constants.ts';
import { si } from '../../../calc/formula.ts';
import { rideFrequency } from '../../../calc/springs/ride-frequency.ts';
import { expectNear, expectPower, expectPrinted } from '../../support/book.ts';
import { released } from '../../support/oscillator.ts';

describe('ride frequency', () => {
  it('is 1 Hz where the weight presses the spring by 9.8 inches', () => {
    // Gillespie, Fundamentals of Vehicle Dynamics, ch. 5: 1 Hz for 9.8 in (248.4 mm). Printed value from memory, recomputed.
    const mass = 0.6;
    const deflection = 0.2484;
    expectPrinted(rideFrequency({ wheelRate: si((mass * standardGravity) / deflection), sprungMass: si(mass) }), '1.000');
    expectPrinted(deflection, '9.8', 0.0254);
  });

  it('is that of the gun barrel on its recoil spring', () => {
    // Gun-barrel problem of theory-of-machines books: 600 kg, 294 kN/m, 22.14 rad/s. Printed value read; it is 22.136.
    expectPrinted(2 * Math.PI * rideFrequency({ wheelRate: si(294000), sprungMass: si(600) }), '22.14');
  });

  it('is what a mass on a spring does when it is let go', () => {
    const { peaks } = released(0.6, 0, 400, 0.01, 2, 20000);
    const cycles = peaks.length - 1;
    const filmed = cycles / (peaks[cycles]!.time - peaks[0]!.time);
    expectNear(rideFrequency({ wheelRate: si(400), sprungMass: si(0.6) }), filmed, 1e-7);
  });

  it('goes with the root of the rate and of one over the mass', () => {
    const draw = (between: (low: number, high: number) => number) => ({
      wheelRate: si<'N/m'>(between(5, 50000)),
      sprungMass: si<'kg'>(between(0.01, 5)),
    });
    expectPower(rideFrequency, draw, 'wheelRate', 0.5);
    expectPower(rideFrequency, draw, 'sprungMass', -0.5);
  });

  it('takes a rate for the rate: a mass does not compile', () => {
    // @ts-expect-error a mass is no rate
    const wrong = () => rideFrequency({ wheelRate: si<'kg'>(1), sprungMass: si(1) });
    expect(wrong).toBeTypeOf('function');
  });
});
