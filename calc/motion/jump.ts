import { standardGravity } from '../constants.ts';
import { DomainError, formula, maybe, notNegative, optional, positive, real, within } from '../formula.ts';

/**
 * A jump off a ramp: how far, how high, how long, and how the truck comes down.
 *
 *     u = v·sin φ;  w = v·cos φ
 *     t = (u + √(u² + 2·g·d)) / g
 *     r = w·t
 *     h = u² / 2g
 *     z = √(u² + 2·g·d)
 *     α = atan(z / w)
 *     q₁ = J·ω / I
 *     β = φ + (q + q₁)·t
 *     y = (m·g + √((m·g)² + k·m·z²)) / k
 *
 *     φ   ramp angle              rad
 *     v   speed                   m/s
 *     d   drop                    m      landing below the lip positive
 *     q   pitch rate              rad/s  at the lip, nose up positive
 *     J   driven inertia          kg·m²
 *     ω   wheel speed change      rad/s  throttle positive
 *     I   pitch inertia           kg·m²
 *     m   total                   kg
 *     k   landing rate            N/m    all wheels together
 *     g   standard gravity        m/s²
 *     r   range                   m
 *     h   peak height             m      over the lip; zero off a ramp that points down
 *     t   air time                s
 *     z   landing speed vertical  m/s    downward
 *     α   landing angle           rad    of the path, below horizontal
 *     q₁  pitch from throttle     rad/s  nose up with throttle; left out unless J, ω and I are given
 *     β   landing pitch           rad    nose up positive; without q₁ as if the throttle were left alone
 *     y   landing travel          m      undamped; left out unless m and k are given
 *
 * Shape:      with no drop range and height go with v², time with v; pitch from throttle goes with J, ω and 1/I; twice mass and rate leave the travel.
 * Leaves out: air drag, the springs' kick at the lip, tyres, damping and the bump stops at landing; the throttle's turn is taken to last from the lip on.
 * Throws:     DomainError when the truck never gets as high as the landing; unless the ramp is within a right angle and the speed is above zero.
 * Source:     OpenStax, University Physics vol. 1, 4.3 (projectile); conservation of angular momentum and of energy.
 *
 * @example jump({ rampAngle: si(0.35), speed: si(9), drop: si(0.3), pitchRate: si(-0.5), total: si(3.2), landingRate: si(3400) }) // range ≈ 6.045 m, peakHeight ≈ 0.4856 m, airTime ≈ 0.7150 s, landingSpeedVertical ≈ 3.925 m/s, landingAngle ≈ 0.4347 rad, landingPitch ≈ -0.00748 rad, landingTravel ≈ 0.1300 m, pitchFromThrottle = left out
 */
export const jump = formula(
  {
    rampAngle: within('rad', { above: -Math.PI / 2, below: Math.PI / 2 }),
    speed: positive('m/s'),
    drop: real('m'),
    pitchRate: real('rad/s'),
    drivenInertia: optional(notNegative('kg·m²')),
    wheelSpeedChange: optional(real('rad/s')),
    pitchInertia: optional(positive('kg·m²')),
    total: optional(positive('kg')),
    landingRate: optional(positive('N/m')),
  },
  {
    range: 'm',
    peakHeight: 'm',
    airTime: 's',
    landingSpeedVertical: 'm/s',
    landingAngle: 'rad',
    pitchFromThrottle: maybe('rad/s'),
    landingPitch: 'rad',
    landingTravel: maybe('m'),
  },
  ({ rampAngle, speed, drop, pitchRate, drivenInertia, wheelSpeedChange, pitchInertia, total, landingRate }) => {
    const up = speed * Math.sin(rampAngle);
    const ahead = speed * Math.cos(rampAngle);
    const landing2 = up ** 2 + 2 * standardGravity * drop;
    if (landing2 < 0 || (drop < 0 && up <= 0)) throw new DomainError('drop', 'the truck never gets as high as the landing');
    const down = Math.sqrt(landing2);
    // Off a ramp that points down, up + down would be the difference of two near equals.
    const airTime = up >= 0 ? (up + down) / standardGravity : (2 * drop) / (down - up);
    const pitchFromThrottle =
      drivenInertia === undefined || wheelSpeedChange === undefined || pitchInertia === undefined
        ? undefined
        : (drivenInertia * wheelSpeedChange) / pitchInertia;
    const pressed = (mass: number, rate: number): number => {
      const weight = mass * standardGravity;
      return (weight + Math.sqrt(weight ** 2 + rate * mass * landing2)) / rate;
    };
    return {
      range: ahead * airTime,
      peakHeight: Math.max(0, up) ** 2 / (2 * standardGravity),
      airTime,
      landingSpeedVertical: down,
      landingAngle: Math.atan2(down, ahead),
      pitchFromThrottle,
      landingPitch: rampAngle + (pitchRate + (pitchFromThrottle ?? 0)) * airTime,
      landingTravel: total === undefined || landingRate === undefined ? undefined : pressed(total, landingRate),
    };
  },
);
