import { formula, positive } from '../formula.ts';

/**
 * Rate and roll stiffness of an anti-roll bar: a round bar in torsion with an arm at each end.
 *
 *     k = 2·G·π·d⁴ / (32·L·a²)
 *     w = k·i²
 *     K = w·T² / 2
 *
 *     d  bar diameter        m
 *     L  bar length          m        the part that twists
 *     a  bar arm             m        bar axis to the link, square to the link
 *     i  bar motion ratio    1        bar end travel/wheel travel
 *     T  track               m
 *     G  shear modulus       Pa
 *     k  bar end rate        N/m      force at one end per travel of that end, ends moving oppositely by equal amounts
 *     w  bar wheel rate      N/m      at one wheel, in roll
 *     K  bar roll stiffness  N·m/rad
 *
 * Shape:      goes with G, d⁴, 1/L and 1/a²; the wheel rate with i², the roll stiffness with T² too.
 * Leaves out: bending of the arms and the bar, play in bushes and links.
 * Throws:     DomainError unless all inputs are finite and above zero.
 * Source:     torsion of a round bar, T = G·J·θ/L with J = π·d⁴/32: Shigley, Mechanical Engineering Design, sec. 3-12.
 *
 * @example rollBar({ barDiameter: si(0.002), barLength: si(0.1), barArm: si(0.02), barMotionRatio: si(0.8), track: si(0.28), shearModulus: si(79.3e9) }) // barEndRate ≈ 6228 N/m, barWheelRate ≈ 3986 N/m, barRollStiffness ≈ 156.3 N·m/rad
 */
export const rollBar = formula(
  {
    barDiameter: positive('m'),
    barLength: positive('m'),
    barArm: positive('m'),
    barMotionRatio: positive('1'),
    track: positive('m'),
    shearModulus: positive('Pa'),
  },
  { barEndRate: 'N/m', barWheelRate: 'N/m', barRollStiffness: 'N·m/rad' },
  ({ barDiameter, barLength, barArm, barMotionRatio, track, shearModulus }) => {
    const barEndRate = (2 * shearModulus * Math.PI * barDiameter ** 4) / (32 * barLength * barArm ** 2);
    const barWheelRate = barEndRate * barMotionRatio ** 2;
    return { barEndRate, barWheelRate, barRollStiffness: (barWheelRate * track ** 2) / 2 };
  },
);
