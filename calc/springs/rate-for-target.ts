import { formula, positive } from '../formula.ts';

/**
 * Spring rate that gives a corner the ride frequency wanted.
 *
 *     k = m·(2π·f)² / r²
 *
 *     m  sprung mass       kg   the share carried by this corner
 *     f  target frequency  Hz   undamped
 *     r  motion ratio      1    shock travel / wheel travel
 *     k  rate for target   N/m  at the spring
 *
 * Shape:      goes with m, f² and 1/r².
 * Leaves out: tyre rate, damping, friction.
 * Throws:     DomainError unless m, f and r are finite and above zero.
 * Source:     Gillespie, Fundamentals of Vehicle Dynamics, ch. 5, solved for the rate.
 *
 * @example rateForTarget({ sprungMass: si(0.6), targetFrequency: si(3), motionRatio: si(0.5) }) // ≈ 852.7 N/m
 */
export const rateForTarget = formula(
  { sprungMass: positive('kg'), targetFrequency: positive('Hz'), motionRatio: positive('1') },
  'N/m',
  ({ sprungMass, targetFrequency, motionRatio }) => (sprungMass * (2 * Math.PI * targetFrequency) ** 2) / motionRatio ** 2,
);
