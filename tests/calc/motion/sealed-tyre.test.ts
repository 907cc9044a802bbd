import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { sealedTyre } from '../../../calc/motion/sealed-tyre.ts';
import { draws, expectNear, expectPower, expectPrinted, numberOf } from '../../support/book.ts';

const atmosphere = 101_325;
const draw = (between: (low: number, high: number) => number) => ({
  airVolume: si<'m³'>(between(100e-6, 500e-6)),
  contactArea: si<'m²'>(between(5e-4, 20e-4)),
  gaugePressure: si<'Pa'>(between(1000, 200_000)),
  polytropic: si<'1'>(between(1, 1.4)),
  squash: si<'m'>(between(0.001, 0.02)),
});
type Inputs = ReturnType<typeof draw>;

describe('the air in a tyre with its vents closed', () => {
  it('rises to 29.1 atm when it is pressed to 0.09 of its room', () => {
    // Young & Freedman, University Physics, 13th ed., ch. 19, problem 32: air at 1.00 atm pressed fast (1.40) to 0.0900 of its volume: 29.1 atm.
    // Printed value from memory, recomputed.
    const { pressureAtSquash } = sealedTyre({
      airVolume: si(1),
      contactArea: si(1),
      gaugePressure: si(0),
      polytropic: si(1.4),
      squash: si(0.91),
    });
    expectPrinted(numberOf(pressureAtSquash) / atmosphere + 1, '29.1');
  });

  it('follows Boyle when it is pressed slowly', () => {
    // Half the room, twice the pressure (Boyle's law).
    const slow = sealedTyre({ airVolume: si(2e-4), contactArea: si(1e-3), gaugePressure: si(0), polytropic: si(1), squash: si(0.1) });
    expectNear(slow.pressureAtSquash, atmosphere, 1e-12);
  });

  it('swings a ball in a neck with the period that Rüchardt measured the air by', () => {
    // T = 2π√(m·V/(γ·p·A²)) (Rüchardt 1929; Blundell & Blundell, Concepts in Thermal Physics, 12.3), here the period of the ball integrated step by
    // step with p·Vⁿ constant; a small swing, air outside and weight in balance with the pressure.
    const [volume, area, mass] = [10e-3, 2e-4, 0.0165];
    const gauge = (mass * 9.80665) / area;
    const force = (x: number) => area * ((gauge + atmosphere) * (volume / (volume - area * x)) ** 1.4 - atmosphere) - mass * 9.80665;
    const dt = 1e-5;
    let [x, v, t] = [0.001, 0, 0];
    // A quarter of the period: from the greatest squash to rest, by leapfrog.
    v -= ((force(x) / mass) * dt) / 2;
    while (x > 0) {
      x += v * dt;
      v -= (force(x) / mass) * dt;
      t += dt;
    }
    const overshoot = x / v;
    const { airRate } = sealedTyre({ airVolume: si(volume), contactArea: si(area), gaugePressure: si(gauge), polytropic: si(1.4) });
    expectNear(2 * Math.PI * Math.sqrt(mass / airRate), 4 * (t - overshoot), 1e-4);
  });

  it('is as stiff as the force of its pressure grows over the first of the squash', () => {
    const between = draws(111);
    for (let i = 0; i < 100; i += 1) {
      const { squash: _, ...inputs } = draw(between);
      const little = 1e-7;
      const { airRate, pressureAtSquash } = sealedTyre({ ...inputs, squash: si(little) });
      expectNear(((numberOf(pressureAtSquash) - inputs.gaugePressure) * inputs.contactArea) / little, airRate, 1e-5);
    }
  });

  it('leaves the pressure out without a squash, and takes the air outside for granted', () => {
    const inputs = { airVolume: si<'m³'>(2.5e-4), contactArea: si<'m²'>(1.2e-3), polytropic: si<'1'>(1.4) };
    expect(sealedTyre({ ...inputs, gaugePressure: si(0) }).pressureAtSquash).toBeUndefined();
    // By hand, ISO 2533 pressure: 1.4 · 101 325 Pa · (12 cm²)² / 250 cm³ = 817.08 N/m.
    expectPrinted(sealedTyre({ ...inputs, gaugePressure: si(0) }).airRate, '817.08');
  });

  it('goes with exponent and absolute pressure, area squared and one over the room', () => {
    expectPower((inputs: Inputs) => sealedTyre(inputs).airRate, draw, 'polytropic', 1);
    expectPower((inputs: Inputs) => sealedTyre({ ...inputs, squash: undefined }).airRate, draw, 'contactArea', 2);
    expectPower((inputs: Inputs) => sealedTyre({ ...inputs, squash: undefined }).airRate, draw, 'airVolume', -1);
    const between = draws(112);
    for (let i = 0; i < 40; i += 1) {
      const inputs = draw(between);
      const twice = sealedTyre({ ...inputs, gaugePressure: si(2 * (inputs.gaugePressure + atmosphere) - atmosphere) });
      expectNear(twice.airRate, 2 * sealedTyre(inputs).airRate, 1e-12);
      const larger = sealedTyre({ ...inputs, airVolume: si(3 * inputs.airVolume), contactArea: si(3 * inputs.contactArea) });
      expectNear(larger.pressureAtSquash, numberOf(sealedTyre(inputs).pressureAtSquash), 1e-9);
    }
  });

  it('refuses a squash that leaves no air', () => {
    const inputs = { airVolume: si<'m³'>(1e-4), contactArea: si<'m²'>(1e-3), gaugePressure: si<'Pa'>(0), polytropic: si<'1'>(1.4) };
    expect(() => sealedTyre({ ...inputs, squash: si(0.1) })).toThrow('that squash leaves no room for the air');
    expect(() => sealedTyre({ ...inputs, squash: si(0.2) })).toThrow('that squash leaves no room for the air');
    expect(() => sealedTyre({ ...inputs, squash: si(0.09) })).not.toThrow();
  });

  it('takes a pressure for the pressure: a force does not compile', () => {
    const inputs = draw(draws(113));
    // @ts-expect-error a force is no pressure
    expect(() => sealedTyre({ ...inputs, gaugePressure: si<'N'>(1) })).not.toThrow();
  });
});
