import { formula, positive } from '../formula.ts';

/**
 * Undamped ride natural frequency of one corner.
 *
 *     f = √(k / m) / 2π
 *
 *     f  natural frequency  Hz
 *     k  wheel rate         N/m   at the wheel: spring rate × motion ratio²
 *     m  sprung mass        kg    the share carried by this corner
 *
 * Shape:      goes with √k and 1/√m; four times the rate doubles the frequency.
 * Leaves out: tyre rate, damping, friction.
 * Throws:     DomainError unless k and m are finite and above zero.
 * Source:     Gillespie, Fundamentals of Vehicle Dynamics, ch. 5.
 *
 * @example rideFrequency({ wheelRate: si(400), sprungMass: si(0.6) }) // ≈ 4.109 Hz
 */
export const rideFrequency = formula(
  { wheelRate: positive('N/m'), sprungMass: positive('kg') },
  'Hz',
  ({ wheelRate, sprungMass }) => Math.sqrt(wheelRate / sprungMass) / (2 * Math.PI),
);
