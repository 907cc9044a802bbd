import { DomainError, formula, maybe, optional, positive } from '../formula.ts';

/**
 * Height of the centre of gravity from the front axle's load, level and with the rear axle lifted.
 *
 *     sin θ = H / L
 *     h = r + L·(F₁ − F) / (m·tan θ)
 *     x = L·(1 − F / m)
 *     S = (t₁ + t₂) / 2 / (2h)
 *
 *     m   total             kg
 *     L   wheelbase         m
 *     F   front level       kg  front axle load
 *     F₁  front raised      kg  front axle load with the rear axle lifted, shocks locked
 *     H   lift              m   of the rear axle
 *     r   wheel radius      m   loaded; the same at both ends
 *     t₁  front track       m
 *     t₂  rear track        m
 *     h   cg height         m
 *     x   cg from front     m   behind the front axle
 *     S   static stability  1   left out unless both tracks are given
 *
 * Shape:      all masses doubled change nothing; h − r goes with the load gained and 1/total; all lengths doubled double h and x and leave S.
 * Leaves out: tyres that squash more under the lifted truck, a body that slides or hangs, wheels of two sizes.
 * Throws:     DomainError unless the lift is below the wheelbase, the front axle carries no more than the whole, and h comes out above the ground.
 * Source:     ISO 10392 (axle lift method); Milliken & Milliken, Race Car Vehicle Dynamics, 18.2. tan θ is taken as H/√(L² − H²): H/L for it,
 *             as some print, makes h − r too large by 1.4 % (18 in 110) to 7.3 % (120 in 330). Static stability factor: NHTSA, 49 CFR 575.
 *
 * @example cgHeight({ total: si(3.2), wheelbase: si(0.33), frontLevel: si(1.44), frontRaised: si(1.565), lift: si(0.12), wheelRadius: si(0.052), frontTrack: si(0.29), rearTrack: si(0.3) }) // cgHeight ≈ 0.0850 m, cgFromFront ≈ 0.1815 m, staticStability ≈ 1.735 1
 */
export const cgHeight = formula(
  {
    total: positive('kg'),
    wheelbase: positive('m'),
    frontLevel: positive('kg'),
    frontRaised: positive('kg'),
    lift: positive('m'),
    wheelRadius: positive('m'),
    frontTrack: optional(positive('m')),
    rearTrack: optional(positive('m')),
  },
  { cgHeight: 'm', cgFromFront: 'm', staticStability: maybe('1') },
  ({ total, wheelbase, frontLevel, frontRaised, lift, wheelRadius, frontTrack, rearTrack }) => {
    if (!(lift < wheelbase)) throw new DomainError('lift', 'the lift is no less than the wheelbase');
    if (frontLevel > total) throw new DomainError('frontLevel', 'the front axle weighs more than the whole truck');
    if (frontRaised > total) throw new DomainError('frontRaised', 'the front axle weighs more than the whole truck');
    const tangent = lift / Math.sqrt((wheelbase - lift) * (wheelbase + lift));
    const height = wheelRadius + (wheelbase * (frontRaised - frontLevel)) / (total * tangent);
    if (!(height > 0))
      throw new DomainError('frontRaised', 'the front axle got so light that the centre of gravity would be below the ground');
    return {
      cgHeight: height,
      cgFromFront: wheelbase * (1 - frontLevel / total),
      staticStability: frontTrack === undefined || rearTrack === undefined ? undefined : (frontTrack + rearTrack) / 2 / (2 * height),
    };
  },
);
