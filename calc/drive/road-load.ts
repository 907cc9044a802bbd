import { standardGravity } from '../constants.ts';
import { formula, notNegative, positive, real } from '../formula.ts';

/**
 * What holds a truck back on its way forward: air, rolling, slope.
 *
 *     D = ½·ρ·S·(v + w)·|v + w|
 *     W = C·m·g·cos θ
 *     B = m·g·sin θ,  tan θ = q
 *
 *     m  total                kg
 *     v  speed                m/s   over the ground
 *     w  headwind             m/s   a tailwind is negative; one faster than the truck pushes
 *     ρ  air density          kg/m³
 *     S  drag area            m²    drag coefficient × frontal area
 *     C  rolling coefficient  1
 *     q  grade                1     rise over run, uphill positive
 *     g  standard gravity     m/s²
 *     D  drag                 N
 *     W  rolling              N
 *     B  climbing             N
 *
 * Shape:      drag goes with ρ, S and the square of the wind felt; rolling and climbing with the mass.
 * Leaves out: lift, side wind, sand that gives way, wheels that turn with the truck (their inertia is no resistance).
 * Throws:     DomainError unless the mass is above zero, and density, drag area and rolling coefficient zero or above.
 * Source:     Gillespie, Fundamentals of Vehicle Dynamics, ch. 4 (road loads); rolling with cos θ, as most but not all sources have it.
 *
 * @example roadLoad({ total: si(3), speed: si(10), headwind: si(0), airDensity: si(1.2), dragArea: si(0.03), rollingCoefficient: si(0.06), grade: si(0) }) // drag ≈ 1.80 N, rolling ≈ 1.765 N, climbing = 0 N
 */
export const roadLoad = formula(
  {
    total: positive('kg'),
    speed: real('m/s'),
    headwind: real('m/s'),
    airDensity: notNegative('kg/m³'),
    dragArea: notNegative('m²'),
    rollingCoefficient: notNegative('1'),
    grade: real('1'),
  },
  { drag: 'N', rolling: 'N', climbing: 'N' },
  ({ total, speed, headwind, airDensity, dragArea, rollingCoefficient, grade }) => {
    const felt = speed + headwind;
    const weight = total * standardGravity;
    const cosine = 1 / Math.hypot(1, grade);
    return {
      drag: 0.5 * airDensity * dragArea * felt * Math.abs(felt),
      rolling: rollingCoefficient * weight * cosine,
      climbing: weight * grade * cosine,
    };
  },
);
