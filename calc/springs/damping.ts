import { absent, DomainError, formula, maybe, notNegative, optional, positive } from '../formula.ts';
import { rideFrequency } from './ride-frequency.ts';

/**
 * How strongly the dampers hold one corner, and the damper that gives the ratio wanted.
 *
 *     C = 2·√(w·m)
 *     ζ = (c·r² + d·q²) / C
 *     c′ = (z·C − d·q²) / r²
 *     f = √(w / m) / 2π · √(1 − ζ²)
 *     o = exp(−π·ζ / √(1 − ζ²))
 *
 *     m   sprung mass           kg     the share carried by this corner
 *     w   wheel rate            N/m
 *     r   motion ratio          1      shock travel / wheel travel
 *     c   damper coefficient    N·s/m  at the shock; mean of bump and rebound
 *     d   second coefficient    N·s/m  of a second damper on the same wheel
 *     q   second motion ratio   1      its own; without a coefficient it adds nothing
 *     z   target ratio          1
 *     C   critical coefficient  N·s/m  at the wheel
 *     ζ   damping ratio         1      left out without a damper coefficient
 *     c′  damper for target     N·s/m  the first shock's, the second's share taken off; negative: the second alone is too strong
 *     f   damped frequency      Hz     absent from ζ = 1
 *     o   overshoot             1      absent from ζ = 1
 *
 * Shape:      C goes with √w and √m; ζ with c, r² and 1/C; the target's damper with z and 1/r².
 * Leaves out: tyre, friction, the difference of bump and rebound, change of the motion ratio over the travel.
 * Throws:     DomainError unless masses, rates and ratios are above zero, coefficients zero or above, and a second damper has its ratio.
 * Source:     Rao, Mechanical Vibrations, section 2.6 (damping at the wheel by the energy it takes: motion ratio squared).
 *
 * @example damping({ sprungMass: si(0.6), wheelRate: si(400), motionRatio: si(0.5), damperCoefficient: si(40), targetRatio: si(0.5) }) // criticalCoefficient ≈ 30.98 N·s/m, dampingRatio ≈ 0.3227 1, damperForTarget ≈ 61.97 N·s/m
 */
export const damping = formula(
  {
    sprungMass: positive('kg'),
    wheelRate: positive('N/m'),
    motionRatio: positive('1'),
    damperCoefficient: optional(notNegative('N·s/m')),
    secondCoefficient: optional(notNegative('N·s/m')),
    secondMotionRatio: optional(positive('1')),
    targetRatio: positive('1'),
  },
  {
    criticalCoefficient: 'N·s/m',
    dampingRatio: maybe('1'),
    damperForTarget: 'N·s/m',
    dampedFrequency: maybe('Hz'),
    overshoot: maybe('1'),
  },
  ({ sprungMass, wheelRate, motionRatio, damperCoefficient, secondCoefficient, secondMotionRatio, targetRatio }) => {
    if (secondCoefficient !== undefined && secondMotionRatio === undefined)
      throw new DomainError('secondMotionRatio', 'a second damper counts only with its own motion ratio');
    const second = (secondCoefficient ?? 0) * (secondMotionRatio ?? 0) ** 2;
    const criticalCoefficient = 2 * Math.sqrt(wheelRate * sprungMass);
    const damperForTarget = (targetRatio * criticalCoefficient - second) / motionRatio ** 2;
    if (damperCoefficient === undefined)
      return { criticalCoefficient, damperForTarget, dampingRatio: undefined, dampedFrequency: undefined, overshoot: undefined };

    const dampingRatio = (damperCoefficient * motionRatio ** 2 + second) / criticalCoefficient;
    const swing = (1 - dampingRatio) * (1 + dampingRatio);
    const still = absent('no oscillation');
    return {
      criticalCoefficient,
      dampingRatio,
      damperForTarget,
      dampedFrequency: swing > 0 ? rideFrequency({ wheelRate, sprungMass }) * Math.sqrt(swing) : still,
      overshoot: swing > 0 ? Math.exp((-Math.PI * dampingRatio) / Math.sqrt(swing)) : still,
    };
  },
);
