import { standardGravity } from '../constants.ts';
import { formula, positive } from '../formula.ts';

/**
 * Turns of the spring collars that bring the cross share to 50 %.
 *
 *     X = (B + C) − (A + B + C + D) / 2
 *     K = 1 / (1/k₁ + 1/k₂)
 *     w = X·g / (2K)
 *     s = w·r
 *     n = s / p
 *
 *     A   front left           kg
 *     B   front right          kg
 *     C   rear left            kg
 *     D   rear right           kg
 *     k₁  front wheel rate     N/m    one wheel
 *     k₂  rear wheel rate      N/m    one wheel
 *     r₁  front motion ratio   1      shock travel / wheel travel
 *     r₂  rear motion ratio    1
 *     p   collar pitch         m/rad
 *     g   standard gravity     m/s²
 *     X   cross load           kg
 *     K   warp rate            N/m    load moved at each wheel by one wheel of a pair up and the other down by so much
 *     n₁  collar turns front   rad    tighter on the front left and looser on the front right; negative: the other way
 *     n₂  collar turns rear    rad    or, instead, tighter on the rear right and looser on the rear left
 *     s₁  spacer front         m      the same as travel of the collar
 *     s₂  spacer rear          m
 *
 * A rigid chassis keeps its four corners in one plane: with w its height at a corner over the wheel, less what the spring is pressed, the changes
 * obey w(front left) − w(front right) − w(rear left) + w(rear right) = 0. Load can then only move from one diagonal to the other, the same at
 * each wheel: 2w at one axle is taken up by 2·ΔF/k₁ + 2·ΔF/k₂, so ΔF = K·w, and the cross load changes by twice that.
 *
 * Shape:      turns go with the cross load and 1/pitch; both wheel rates doubled halve them; left and right exchanged turn their sign.
 * Leaves out: chassis twist, tyre rate, friction in the springs, axles of different track, anti-roll bars (to be disconnected).
 * Throws:     DomainError unless all inputs are finite and above zero.
 * Source:     statics of a rigid plate on four springs, as derived above; Milliken & Milliken, Race Car Vehicle Dynamics, ch. 18 (wedge).
 *
 * @example cross({ frontLeft: si(0.6), frontRight: si(0.64), rearLeft: si(0.92), rearRight: si(0.88), frontWheelRate: si(500), rearWheelRate: si(800), frontMotionRatio: si(0.7), rearMotionRatio: si(0.6), collarPitch: si(0.001 / (2 * Math.PI)) }) // crossLoad ≈ 0.04 kg, warpRate ≈ 307.7 N/m, spacerFront ≈ 0.0004462 m, collarTurnsFront ≈ 2.804 rad, spacerRear ≈ 0.0003825 m, collarTurnsRear ≈ 2.403 rad
 */
export const cross = formula(
  {
    frontLeft: positive('kg'),
    frontRight: positive('kg'),
    rearLeft: positive('kg'),
    rearRight: positive('kg'),
    frontWheelRate: positive('N/m'),
    rearWheelRate: positive('N/m'),
    frontMotionRatio: positive('1'),
    rearMotionRatio: positive('1'),
    collarPitch: positive('m/rad'),
  },
  {
    crossLoad: 'kg',
    collarTurnsFront: 'rad',
    collarTurnsRear: 'rad',
    spacerFront: 'm',
    spacerRear: 'm',
    warpRate: 'N/m',
  },
  ({ frontLeft, frontRight, rearLeft, rearRight, frontWheelRate, rearWheelRate, frontMotionRatio, rearMotionRatio, collarPitch }) => {
    // Half the difference of the diagonals: the same as (front right + rear left) − total/2, without taking two nearly equal sums apart.
    const crossLoad = (frontRight - frontLeft + (rearLeft - rearRight)) / 2;
    const warpRate = 1 / (1 / frontWheelRate + 1 / rearWheelRate);
    const atWheel = (crossLoad * standardGravity) / (2 * warpRate);
    const spacerFront = atWheel * frontMotionRatio;
    const spacerRear = atWheel * rearMotionRatio;
    return {
      crossLoad,
      collarTurnsFront: spacerFront / collarPitch,
      collarTurnsRear: spacerRear / collarPitch,
      spacerFront,
      spacerRear,
      warpRate,
    };
  },
);
