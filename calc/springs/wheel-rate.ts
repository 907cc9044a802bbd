import { formula, positive } from '../formula.ts';

/**
 * Rate of a spring as the wheel feels it.
 *
 *     w = k·r²
 *
 *     k  spring rate   N/m
 *     r  motion ratio  1    shock travel / wheel travel
 *     w  wheel rate    N/m  tyre left out
 *
 * Shape:      goes with k and r²: half the motion ratio leaves a quarter of the rate.
 * Leaves out: change of the motion ratio over the travel (it adds a term with the spring's load), bushings, bar, tyre.
 * Throws:     DomainError unless k and r are finite and above zero.
 * Source:     Milliken & Milliken, Race Car Vehicle Dynamics, ch. 16 (there: installation ratio squared).
 *             From memory; the test finds it again from the energy in the spring.
 *
 * @example wheelRate({ springRate: si(1000), motionRatio: si(0.6) }) // ≈ 360 N/m
 */
export const wheelRate = formula(
  { springRate: positive('N/m'), motionRatio: positive('1') },
  'N/m',
  ({ springRate, motionRatio }) => springRate * motionRatio ** 2,
);
