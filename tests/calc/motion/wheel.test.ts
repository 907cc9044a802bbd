import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { wheel } from '../../../calc/motion/wheel.ts';
import { draws, expectNear, expectPower, expectPrinted } from '../../support/book.ts';

const draw = (between: (low: number, high: number) => number) => {
  const tyreDiameter = between(0.05, 0.3);
  return {
    tyreMass: si<'kg'>(between(0.02, 1)),
    rimMass: si<'kg'>(between(0.01, 0.5)),
    tyreDiameter: si<'m'>(tyreDiameter),
    beadDiameter: si<'m'>(tyreDiameter * between(0.3, 0.8)),
    total: si<'kg'>(between(1, 10)),
    count: si<'1'>(4),
  };
};
type Inputs = ReturnType<typeof draw>;
/** Hardly any tyre, or hardly any rim: the other one is what the book has. */
const NOTHING = 1e-12;

describe('the inertia of a wheel', () => {
  it('is that of a hoop where all is rim', () => {
    // Giancoli, Physics: Principles with Applications, 7th ed., ch. 8, problem 31: a bicycle wheel 66.7 cm across (taken as 0.335 m), rim and
    // tyre together 1.1 kg: 0.12 kg·m². Printed value read.
    const bicycle = { tyreMass: si<'kg'>(NOTHING), rimMass: si<'kg'>(1.1), tyreDiameter: si<'m'>(0.7), beadDiameter: si<'m'>(0.67) };
    expectPrinted(wheel({ ...bicycle, total: si(10), count: si(2) }).inertia, '0.12');
    // Young & Freedman, University Physics, ch. 9, "wagon wheel": the rim of 1.40 kg at 0.300 m has 0.126 kg·m² of the wheel's 0.193; the eight
    // spokes of 0.280 kg, each m·r²/3, have the rest. Printed value from memory, recomputed.
    const wagon = { tyreMass: si<'kg'>(NOTHING), rimMass: si<'kg'>(1.4), tyreDiameter: si<'m'>(0.7), beadDiameter: si<'m'>(0.6) };
    const spokes = (8 * 0.28 * 0.3 ** 2) / 3;
    expectPrinted(wheel({ ...wagon, total: si(10), count: si(4) }).inertia + spokes, '0.193');
  });

  it('is that of a thick ring where all is tyre, and of a disc where the bead is small', () => {
    // Second method: thin hoops added up, from the bead to the outside, each with its share of the mass.
    const between = draws(101);
    for (let i = 0; i < 40; i += 1) {
      const inputs = draw(between);
      const [inner, outer] = [inputs.beadDiameter / 2, inputs.tyreDiameter / 2];
      const hoops = 2000;
      let ring = 0;
      for (let hoop = 0; hoop < hoops; hoop += 1) {
        const radius = inner + ((hoop + 0.5) / hoops) * (outer - inner);
        const mass = (inputs.tyreMass * 2 * radius * ((outer - inner) / hoops)) / (outer ** 2 - inner ** 2);
        ring += mass * radius ** 2;
      }
      expectNear(wheel({ ...inputs, rimMass: si(NOTHING) }).inertia, ring, 1e-6);
      expectNear(wheel(inputs).inertia, ring + inputs.rimMass * inner ** 2, 1e-6);
    }
    const disc = { tyreMass: si<'kg'>(2), rimMass: si<'kg'>(NOTHING), tyreDiameter: si<'m'>(1), beadDiameter: si<'m'>(1e-6) };
    expectNear(wheel({ ...disc, total: si(10), count: si(4) }).inertia, 0.25, 1e-9);
  });

  it('stands for the mass that would need the same work to get going', () => {
    // Second method: energies. A truck at v has m·v²/2 and each of its wheels I·(v/R)²/2.
    const between = draws(102);
    for (let i = 0; i < 40; i += 1) {
      const inputs = draw(between);
      const { inertia, drivenInertia, effectiveMass, massShare } = wheel(inputs);
      const speed = between(1, 20);
      const turning = 4 * 0.5 * inertia * (speed / (inputs.tyreDiameter / 2)) ** 2;
      expectNear(0.5 * effectiveMass * speed ** 2, turning, 1e-12);
      expectNear(massShare, effectiveMass / inputs.total, 1e-12);
      expectNear(drivenInertia, inertia + inertia, 1e-12);
    }
  });

  it('goes with the masses, and the wheels that turn', () => {
    expectPower((inputs: Inputs) => wheel({ ...inputs, rimMass: si(NOTHING ** 2) }).inertia, draw, 'tyreMass', 1);
    expectPower((inputs: Inputs) => wheel({ ...inputs, tyreMass: si(NOTHING ** 2) }).inertia, draw, 'rimMass', 1);
    expectPower((inputs: Inputs) => wheel({ ...inputs, tyreMass: si(NOTHING ** 2) }).inertia, draw, 'beadDiameter', 2, [0.5, 1]);
    expectPower((inputs: Inputs) => wheel(inputs).massShare, draw, 'total', -1);
    const inputs = draw(draws(103));
    const larger = wheel({ ...inputs, tyreDiameter: si(2 * inputs.tyreDiameter), beadDiameter: si(2 * inputs.beadDiameter) });
    expectNear(larger.inertia, 4 * wheel(inputs).inertia, 1e-12);
    expectNear(larger.effectiveMass, wheel(inputs).effectiveMass, 1e-12);
    expectNear(wheel({ ...inputs, count: si(2) }).effectiveMass, wheel(inputs).effectiveMass / 2, 1e-12);
  });

  it('refuses a bead that is no smaller than its tyre', () => {
    const inputs = draw(draws(104));
    expect(() => wheel({ ...inputs, beadDiameter: inputs.tyreDiameter })).toThrow('the bead is no smaller than the tyre');
  });

  it('takes a diameter for the diameter: a mass does not compile', () => {
    const inputs = draw(draws(105));
    // @ts-expect-error a mass is no length
    expect(() => wheel({ ...inputs, tyreDiameter: si<'kg'>(1) })).not.toThrow();
  });
});
