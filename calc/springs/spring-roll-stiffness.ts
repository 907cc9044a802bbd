import { formula, positive } from '../formula.ts';

/**
 * Roll stiffness of one end from its two springs.
 *
 *     K = w·t² / 2
 *
 *     w  wheel rate             N/m      one wheel
 *     t  track                  m
 *     K  spring roll stiffness  N·m/rad
 *
 * Shape:      goes with w and t².
 * Leaves out: anti-roll bar, tyres, roll of an axle that carries both wheels on springs set further in.
 * Throws:     DomainError unless w and t are finite and above zero.
 * Source:     Gillespie, Fundamentals of Vehicle Dynamics, ch. 6 (roll stiffness: half the rate times the spacing squared).
 *
 * @example springRollStiffness({ wheelRate: si(400), track: si(0.26) }) // ≈ 13.52 N·m/rad
 */
export const springRollStiffness = formula(
  { wheelRate: positive('N/m'), track: positive('m') },
  'N·m/rad',
  ({ wheelRate, track }) => (wheelRate * track ** 2) / 2,
);
