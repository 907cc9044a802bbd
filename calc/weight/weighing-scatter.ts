import { DomainError, formula, list, positive } from '../formula.ts';

/**
 * Standard uncertainty of a corner's mean of two settled weighings, from the scatter of all four corners.
 *
 *     s = √(Σ d² / 8)
 *     u = s / √2
 *
 *     A  front left        kg  first weighing
 *     B  front right       kg
 *     C  rear left         kg
 *     D  rear right        kg
 *     a  again             kg  second weighing, in that order; d is a corner's difference of the two
 *     s  pooled scatter    kg  of one weighing: the two weighings of a corner give d²/2, the four corners are averaged
 *     u  weighing scatter  kg
 *
 * Shape:      goes with the differences; the same added to both weighings of a corner changes nothing.
 * Leaves out: what both weighings have in common: scales out of level, a spring that sticks the same way twice.
 * Throws:     DomainError unless the readings are above zero and `again` holds four.
 * Source:     IUPAC, Compendium of Chemical Terminology (1997), "pooled standard deviation": √(Σ(x₁ − x₂)²/2k) for k pairs; JCGM 100:2008, 4.2.3 (mean of two).
 *
 * @example weighingScatter({ frontLeft: si(0.612), frontRight: si(0.605), rearLeft: si(0.901), rearRight: si(0.896), again: [si(0.61), si(0.608), si(0.9), si(0.899)] }) // ≈ 0.001199 kg
 */
export const weighingScatter = formula(
  {
    frontLeft: positive('kg'),
    frontRight: positive('kg'),
    rearLeft: positive('kg'),
    rearRight: positive('kg'),
    again: list(positive('kg'), 4),
  },
  'kg',
  ({ frontLeft, frontRight, rearLeft, rearRight, again }) => {
    if (again.length !== 4)
      throw new DomainError('again', 'the second weighing has four readings: front left, front right, rear left, rear right');
    const squares = [frontLeft, frontRight, rearLeft, rearRight].map((first, i) => (again[i]! - first) ** 2);
    return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / 8) / Math.SQRT2;
  },
);
