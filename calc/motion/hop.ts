import { formula, positive } from '../formula.ts';

/**
 * Wheel hop and body frequency of one corner: two masses, the tyre under one, the spring between them, no damping.
 *
 *     A = (k + t) / u;  B = k / m
 *     ω₂² = (A + B)/2 + √((A − B)²/4 + k²/(u·m))
 *     ω₁² = k·t / (u·m) / ω₂²
 *     f = ω / 2π
 *
 *     u   unsprung mass   kg   one wheel
 *     m   sprung mass     kg   the share carried by this corner
 *     k   wheel rate      N/m  one wheel
 *     t   tyre rate       N/m  one wheel
 *     f₂  hop frequency   Hz
 *     f₁  body frequency  Hz
 *     U   unsprung share  1    u / (u + m)
 *
 * Shape:      both rates doubled, or both masses halved, raise both frequencies by √2; a lighter wheel hops faster.
 * Leaves out: damping, tyre damping, the wheel leaving the ground, the other end of the truck.
 * Throws:     DomainError unless all inputs are finite and above zero.
 * Source:     Barton & Fieldhouse, Automotive Chassis Engineering, Springer 2018, 3.13 (quarter-car); Gillespie, Fundamentals of Vehicle Dynamics, ch. 5.
 *
 * @example hop({ unsprungMass: si(0.3), sprungMass: si(0.6), wheelRate: si(400), tyreRate: si(4000) }) // hopFrequency ≈ 19.32 Hz, bodyFrequency ≈ 3.910 Hz, unsprungShare ≈ 0.3333 1
 */
export const hop = formula(
  { unsprungMass: positive('kg'), sprungMass: positive('kg'), wheelRate: positive('N/m'), tyreRate: positive('N/m') },
  { hopFrequency: 'Hz', bodyFrequency: 'Hz', unsprungShare: '1' },
  ({ unsprungMass, sprungMass, wheelRate, tyreRate }) => {
    const wheel2 = (wheelRate + tyreRate) / unsprungMass;
    const body2 = wheelRate / sprungMass;
    const higher2 = (wheel2 + body2) / 2 + Math.hypot((wheel2 - body2) / 2, wheelRate / Math.sqrt(unsprungMass * sprungMass));
    // The lower root from the product of both: their difference would lose digits on a stiff tyre.
    const lower2 = (body2 * (tyreRate / unsprungMass)) / higher2;
    return {
      hopFrequency: Math.sqrt(higher2) / (2 * Math.PI),
      bodyFrequency: Math.sqrt(lower2) / (2 * Math.PI),
      unsprungShare: unsprungMass / (unsprungMass + sprungMass),
    };
  },
);
