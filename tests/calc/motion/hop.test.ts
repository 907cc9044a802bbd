import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { hop } from '../../../calc/motion/hop.ts';
import { draws, expectNear, expectPower, expectPrinted } from '../../support/book.ts';

const draw = (between: (low: number, high: number) => number) => ({
  unsprungMass: si<'kg'>(between(0.05, 1)),
  sprungMass: si<'kg'>(between(0.1, 3)),
  wheelRate: si<'N/m'>(between(50, 5000)),
  tyreRate: si<'N/m'>(between(500, 50000)),
});
type Inputs = ReturnType<typeof draw>;

describe('wheel hop and body frequency', () => {
  it('are those of the saloon car in the chassis book', () => {
    // Barton & Fieldhouse, Automotive Chassis Engineering, Springer 2018, p. 209: 317.5 and 45.4 kg, 22 and 192 kN/m: 7.87 rad/s (1.25 Hz)
    // and 68.73 rad/s (10.9 Hz). Printed values read. The book rounds the coefficients of its quadratic (4786 and 293e3) before it solves
    // it, and cuts the first off: unrounded they are 7.879 and 68.71.
    const { hopFrequency, bodyFrequency, unsprungShare } = hop({
      unsprungMass: si(45.4),
      sprungMass: si(317.5),
      wheelRate: si(22000),
      tyreRate: si(192000),
    });
    expectNear(2 * Math.PI * bodyFrequency, 7.87, 1.2e-3);
    expectPrinted(bodyFrequency, '1.25');
    expectPrinted(hopFrequency, '10.9');
    expectNear(2 * Math.PI * hopFrequency, 68.73, 4e-4);
    expectNear(unsprungShare, 45.4 / 362.9);
  });

  it('are those of the standard quarter-car that road roughness is measured with', () => {
    // "Golden car" of ASTM E1926 / World Bank TP 45 and 46: k₁/m = 653, k₂/m = 63.3 1/s², unsprung/sprung 0.15: 1.2083 and 11.0047 Hz,
    // computed by a second method (the literature quotes about 1.2 and 11 Hz).
    const { hopFrequency, bodyFrequency } = hop({ unsprungMass: si(0.15), sprungMass: si(1), wheelRate: si(63.3), tyreRate: si(653) });
    expectNear(bodyFrequency, 1.208297225244855, 1e-9);
    expectNear(hopFrequency, 11.004727709108321, 1e-9);
  });

  it('make the two masses swing with all forces in balance', () => {
    // Second method: at a natural frequency the determinant of the equations of motion is nought, to the rounding of its own terms.
    const between = draws(81);
    for (let i = 0; i < 200; i += 1) {
      const inputs = draw(between);
      const { hopFrequency, bodyFrequency } = hop(inputs);
      const { unsprungMass, sprungMass, wheelRate, tyreRate } = inputs;
      for (const frequency of [hopFrequency, bodyFrequency]) {
        const squared = (2 * Math.PI * frequency) ** 2;
        const wheel = wheelRate + tyreRate - unsprungMass * squared;
        const body = wheelRate - sprungMass * squared;
        const size = (wheelRate + tyreRate + unsprungMass * squared) * (wheelRate + sprungMass * squared);
        expect(Math.abs(wheel * body - wheelRate ** 2) / size).toBeLessThan(1e-14);
      }
      // The spring alone under the body, and the wheel between both springs, bound them.
      const alone = Math.sqrt(wheelRate / sprungMass) / (2 * Math.PI);
      const held = Math.sqrt((wheelRate + tyreRate) / unsprungMass) / (2 * Math.PI);
      expect(bodyFrequency).toBeLessThan(alone);
      expect(hopFrequency).toBeGreaterThan(held);
    }
  });

  it('keep their digits on a tyre as hard as stone', () => {
    // The body then swings on its spring alone, k/m, less a share k/t of it.
    const { bodyFrequency } = hop({ unsprungMass: si(0.3), sprungMass: si(0.6), wheelRate: si(400), tyreRate: si(4e13) });
    expectNear((2 * Math.PI * bodyFrequency) ** 2, 400 / 0.6, 1e-10);
  });

  it('go with the root of both rates, and of one over both masses', () => {
    const scaled = (result: 'hopFrequency' | 'bodyFrequency', names: readonly (keyof Inputs)[]) => (inputs: Inputs & { factor: number }) =>
      hop({ ...inputs, ...Object.fromEntries(names.map((name) => [name, si(inputs[name] * inputs.factor)])) })[result];
    const drawScaled = (between: (low: number, high: number) => number) => ({ ...draw(between), factor: between(0.5, 2) });
    for (const result of ['hopFrequency', 'bodyFrequency'] as const) {
      expectPower(scaled(result, ['wheelRate', 'tyreRate']), drawScaled, 'factor', 0.5);
      expectPower(scaled(result, ['sprungMass', 'unsprungMass']), drawScaled, 'factor', -0.5);
    }
  });

  it('take a rate for the rate: a mass does not compile', () => {
    const inputs = draw(draws(82));
    // @ts-expect-error a mass is no rate
    expect(() => hop({ ...inputs, tyreRate: si<'kg'>(1) })).not.toThrow();
  });
});
