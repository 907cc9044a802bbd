import { DomainError, formula, notNegative, positive, real } from '../formula.ts';

/**
 * Camber, half track and roll centre of a wheel on a swing beam, in front view.
 *
 *     ψ = asin((y + z) / r) − asin(y / r)   with y = R − P, r = √(B² + y²)
 *     camber = −ψ
 *     half track change = x − B + R·sin ψ   with x = √(r² − (y + z)²)
 *     H = P·(p + B) / B
 *
 *     B   beam length              m    pivot to wheel centre, across, at ride
 *     P   pivot height             m    at ride
 *     R   wheel radius             m    loaded; the wheel centre's height at ride
 *     p   pivot across             m    pivot from the centre line, positive on the wheel's own side
 *     z₂  bump                     m    z of the wheel centre against the chassis, upward
 *     z₁  droop                    m    −z, downward
 *     γ₂  camber bump              rad  top inward negative; zero at ride
 *     γ₁  camber droop             rad
 *     t₂  half track change bump   m    of the contact point, outward positive
 *     t₁  half track change droop  m
 *     H   roll centre height       m    at ride
 *
 * Shape:      all lengths doubled doubles the track changes and leaves the camber; small camber goes with z/B.
 * Leaves out: static camber, steering axis, tyre width and deflection: the contact point stays a wheel radius from the centre.
 * Throws:     DomainError when the beam is too short for the bump or droop, or the wheel is not on its own side of the centre line.
 * Source:     plane geometry; roll centre: Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (swing axle); camber sign: ISO 8855.
 *
 * @example beam({ beamLength: si(0.2), pivotHeight: si(0.06), wheelRadius: si(0.05), pivotAcross: si(-0.03), bump: si(0.03), droop: si(0.04) }) // camberBump ≈ −0.1500 rad, camberDroop ≈ 0.2024 rad, halfTrackChangeBump ≈ 0.006721 m, rollCentreHeight ≈ 0.051 m
 */
export const beam = formula(
  {
    beamLength: positive('m'),
    pivotHeight: notNegative('m'),
    wheelRadius: positive('m'),
    pivotAcross: real('m'),
    bump: notNegative('m'),
    droop: notNegative('m'),
  },
  { camberBump: 'rad', camberDroop: 'rad', halfTrackChangeBump: 'm', halfTrackChangeDroop: 'm', rollCentreHeight: 'm' },
  ({ beamLength, pivotHeight, wheelRadius, pivotAcross, bump, droop }) => {
    if (!(pivotAcross + beamLength > 0))
      throw new DomainError('pivotAcross', 'the wheel would not stand on its own side of the centre line');
    const up = wheelRadius - pivotHeight;
    const radius = Math.hypot(beamLength, up);
    const at = (name: 'bump' | 'droop', move: number): { tilt: number; sideways: number } => {
      if (Math.abs(up + move) > radius) throw new DomainError(name, `the beam is too short for that much ${name}`);
      const across = Math.sqrt((radius - up - move) * (radius + up + move));
      const tilt = Math.atan2(beamLength * (up + move) - across * up, beamLength * across + up * (up + move));
      // The wheel centre moves sideways by across − beamLength; as a difference of squares that keeps its digits for small moves.
      return { tilt, sideways: (-move * (2 * up + move)) / (across + beamLength) + wheelRadius * Math.sin(tilt) };
    };
    const bumped = at('bump', bump);
    const drooped = at('droop', -droop);
    return {
      camberBump: -bumped.tilt,
      camberDroop: -drooped.tilt,
      halfTrackChangeBump: bumped.sideways,
      halfTrackChangeDroop: drooped.sideways,
      rollCentreHeight: (pivotHeight * (pivotAcross + beamLength)) / beamLength,
    };
  },
);
