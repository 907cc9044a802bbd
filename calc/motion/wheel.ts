import { counted, DomainError, formula, positive } from '../formula.ts';

/**
 * Inertia of a wheel, and the mass that its turning adds to the truck's when it speeds up.
 *
 *     I = m₁·(R² + r²)/2 + m₂·r²
 *     M = n·I / R²
 *
 *     m₁  tyre mass       kg     a thick ring from bead to outside
 *     m₂  rim mass        kg     a thin ring at the bead
 *     d₁  tyre diameter   m      R is half of it
 *     d₂  bead diameter   m      r is half of it
 *     m   total           kg     the truck's
 *     n   count           1      wheels that turn with the truck's speed
 *     I   inertia         kg·m²  one wheel
 *     D   driven inertia  kg·m²  two wheels
 *     M   effective mass  kg     at the tread
 *     S   mass share      1      M / m
 *
 * Shape:      inertia goes with the masses; all diameters doubled make it fourfold and leave the effective mass.
 * Leaves out: axles, gears and motor, foam inserts, a disc rim's centre (it counts for less than it is taken for here).
 * Throws:     DomainError unless the tyre is larger than its bead.
 * Source:     moment of inertia of an annular cylinder and of a hoop: Young & Freedman, University Physics, table 9.2.
 *
 * @example wheel({ tyreMass: si(0.09), rimMass: si(0.04), tyreDiameter: si(0.11), beadDiameter: si(0.056), total: si(3), count: 4 }) // inertia ≈ 2.0277e-4 kg·m², drivenInertia ≈ 4.055e-4 kg·m², effectiveMass ≈ 0.2681 kg, massShare ≈ 0.08937 1
 */
export const wheel = formula(
  {
    tyreMass: positive('kg'),
    rimMass: positive('kg'),
    tyreDiameter: positive('m'),
    beadDiameter: positive('m'),
    total: positive('kg'),
    count: counted('1'),
  },
  { inertia: 'kg·m²', drivenInertia: 'kg·m²', effectiveMass: 'kg', massShare: '1' },
  ({ tyreMass, rimMass, tyreDiameter, beadDiameter, total, count }) => {
    if (!(beadDiameter < tyreDiameter)) throw new DomainError('beadDiameter', 'the bead is no smaller than the tyre');
    const radius2 = (tyreDiameter / 2) ** 2;
    const bead2 = (beadDiameter / 2) ** 2;
    const inertia = (tyreMass * (radius2 + bead2)) / 2 + rimMass * bead2;
    const effectiveMass = (count * inertia) / radius2;
    return { inertia, drivenInertia: 2 * inertia, effectiveMass, massShare: effectiveMass / total };
  },
);
