import { DomainError, formula, list, positive } from '../formula.ts';

/**
 * What a second settled weighing moves each corner's mean by.
 *
 *     x = (a − w) / 2
 *
 *     A  front left         kg  w, first weighing
 *     B  front right        kg
 *     C  rear left          kg
 *     D  rear right         kg
 *     a  again              kg  second weighing, in that order
 *     P  front left shift   kg  x: the mean of the two weighings less the first
 *     Q  front right shift  kg
 *     R  rear left shift    kg
 *     S  rear right shift   kg
 *
 * Shape:      goes with the difference of the two weighings; equal weighings shift nothing.
 * Leaves out: what both weighings have in common.
 * Throws:     DomainError unless the readings are above zero and `again` holds four.
 * Source:     JCGM 100:2008, 4.2.1 (the mean is the best estimate).
 *
 * @example secondWeighing({ frontLeft: si(0.612), frontRight: si(0.605), rearLeft: si(0.901), rearRight: si(0.896), again: [si(0.61), si(0.608), si(0.9), si(0.899)] }) // frontLeftShift ≈ -0.001 kg, frontRightShift ≈ 0.0015 kg, rearLeftShift ≈ -0.0005 kg, rearRightShift ≈ 0.0015 kg
 */
export const secondWeighing = formula(
  {
    frontLeft: positive('kg'),
    frontRight: positive('kg'),
    rearLeft: positive('kg'),
    rearRight: positive('kg'),
    again: list(positive('kg'), 4),
  },
  { frontLeftShift: 'kg', frontRightShift: 'kg', rearLeftShift: 'kg', rearRightShift: 'kg' },
  ({ frontLeft, frontRight, rearLeft, rearRight, again }) => {
    if (again.length !== 4)
      throw new DomainError('again', 'the second weighing has four readings: front left, front right, rear left, rear right');
    return {
      frontLeftShift: (again[0]! - frontLeft) / 2,
      frontRightShift: (again[1]! - frontRight) / 2,
      rearLeftShift: (again[2]! - rearLeft) / 2,
      rearRightShift: (again[3]! - rearRight) / 2,
    };
  },
);
