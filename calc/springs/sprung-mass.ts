import { DomainError, formula, positive } from '../formula.ts';

/**
 * What one corner's spring carries.
 *
 *     m = c − u
 *
 *     c  corner load    kg  what the scale reads under one wheel
 *     u  unsprung mass  kg  the part of it that moves with the wheel
 *     m  sprung mass    kg
 *
 * Shape:      goes with the corner load, less the unsprung mass, one for one.
 * Leaves out: arms and shafts that move with the wheel only in part: how much of them counts is the weigher's choice.
 * Throws:     DomainError unless both are above zero and the unsprung mass is below the corner load.
 * Source:     ISO 8855:2011 (sprung and unsprung mass).
 *
 * @example sprungMass({ cornerLoad: si(0.899), unsprungMass: si(0.21) }) // ≈ 0.689 kg
 */
export const sprungMass = formula({ cornerLoad: positive('kg'), unsprungMass: positive('kg') }, 'kg', ({ cornerLoad, unsprungMass }) => {
  if (!(unsprungMass < cornerLoad)) throw new DomainError('unsprungMass', 'the unsprung mass is not below the corner load');
  return cornerLoad - unsprungMass;
});
