import { counted, DomainError, formula, positive } from '../formula.ts';

/** Flow in a round tube stays in layers up to here. Source: White, Fluid Mechanics, section 6.1 (2300 accepted for pipes). */
const LAMINAR_BELOW = 2300;

/**
 * Force of a drilled piston pulled through oil: laminar flow through its holes alone.
 *
 *     A = π·(D² − s²) / 4
 *     c = 128·ρ·ν·ℓ·A² / (π·n·d⁴)
 *     F = c·v
 *     u = A·v / (n·π·d² / 4)
 *     Re = u·d / ν
 *
 *     D   bore           m      of the shock body
 *     s   shaft          m      its diameter
 *     A   flow area      m²     rebound: bore less shaft
 *     d   hole diameter  m
 *     ℓ   hole length    m      thickness of the piston
 *     n   holes          1
 *     ν   viscosity      m²/s   at the oil's temperature
 *     ρ   density        kg/m³
 *     v   shaft speed    m/s
 *     u   hole speed     m/s    mean speed in a hole
 *     c   coefficient    N·s/m  at the shaft
 *     F   force          N
 *     Re  reynolds       1      in a hole
 *     L   laminar        yes/no  Re below 2300
 *
 * Shape:      c goes with ν, ρ, hole length, 1/n and 1/d⁴; F with v too; Re with v and 1/ν.
 * Leaves out: the gap round the piston, entry and exit of short holes, shims and valves, gas, friction, oil that thins by shear: good for
 *             comparing two pistons or oils, not for the force itself.
 * Throws:     DomainError unless everything is above zero, the shaft thinner than the bore, and the holes fit on the piston.
 * Source:     Hagen–Poiseuille; OpenStax, College Physics 2e, section 12.4.
 *
 * @example piston({ bore: si(0.012), shaft: si(0.003), holeDiameter: si(0.0012), holeLength: si(0.003), holes: si(4), viscosity: si(350e-6), density: si(965), shaftSpeed: si(0.1) }) // coefficient ≈ 55.96 N·s/m, force ≈ 5.596 N, reynolds ≈ 8.036 1, laminar = true
 */
export const piston = formula(
  {
    bore: positive('m'),
    shaft: positive('m'),
    holeDiameter: positive('m'),
    holeLength: positive('m'),
    holes: counted('1'),
    viscosity: positive('m²/s'),
    density: positive('kg/m³'),
    shaftSpeed: positive('m/s'),
  },
  { force: 'N', coefficient: 'N·s/m', reynolds: '1', laminar: 'yes/no' },
  ({ bore, shaft, holeDiameter, holeLength, holes, viscosity, density, shaftSpeed }) => {
    if (!(shaft < bore)) throw new DomainError('shaft', 'the shaft is as thick as the bore or thicker');
    const area = (Math.PI * (bore - shaft) * (bore + shaft)) / 4;
    const holeArea = (holes * Math.PI * holeDiameter ** 2) / 4;
    if (!(holeArea < area)) throw new DomainError('holeDiameter', 'the holes together are larger than the piston');
    const coefficient = (128 * density * viscosity * holeLength * area ** 2) / (Math.PI * holes * holeDiameter ** 4);
    const reynolds = (((area * shaftSpeed) / holeArea) * holeDiameter) / viscosity;
    return { force: coefficient * shaftSpeed, coefficient, reynolds, laminar: reynolds < LAMINAR_BELOW };
  },
);
