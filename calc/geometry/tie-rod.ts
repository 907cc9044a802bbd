import { DomainError, formula, positive, within } from '../formula.ts';
import { ackermannShareOf, idealOuterAngle } from './steering.ts';

/**
 * Outer wheel's angle behind a tie rod, for a given inner angle: symmetric trapezium, in plan view.
 *
 *     t = T − 2a·sin α
 *     D² = T² + a² − 2Ta·sin(α + i)
 *     o = α − π/2 + atan2(a·cos(α + i), T − a·sin(α + i)) + acos((a² + D² − t²) / 2aD)
 *
 *     a  steering arm        m    kingpin to tie rod end
 *     α  steering arm angle  rad  inward lean of the arms from straight back, wheels straight ahead; outward negative
 *     i  inner angle         rad
 *     T  kingpin track       m
 *     L  wheelbase           m
 *     o  outer angle         rad
 *     O  ideal outer         rad  see steering
 *     A  ackermann share     1    0 parallel, 1 ideal, negative reverse
 *     t  tie rod length      m
 *
 * Shape:      all lengths doubled doubles the tie rod and leaves the angles; straight arms (α = 0) steer alike at small angles.
 * Leaves out: a tie rod in several parts or on a rack, kingpin inclination, caster, play; arms ahead of the axle.
 * Throws:     DomainError when the arms would meet in the middle, or the tie rod cannot reach at that inner angle.
 * Source:     closure of the four-bar linkage; Jazar, Vehicle Dynamics, ch. 7 (trapezoidal steering mechanism).
 *
 * @example tieRod({ steeringArm: si(0.03), steeringArmAngle: si(0.3), innerAngle: si(0.5), kingpinTrack: si(0.24), wheelbase: si(0.33) }) // outerAngle ≈ 0.4207 rad, ackermannShare ≈ 0.6230 1, tieRodLength ≈ 0.2223 m
 */
export const tieRod = formula(
  {
    steeringArm: positive('m'),
    steeringArmAngle: within('rad', { above: -Math.PI / 2, below: Math.PI / 2 }),
    innerAngle: within('rad', { above: 0, below: Math.PI / 2 }),
    kingpinTrack: positive('m'),
    wheelbase: positive('m'),
  },
  { outerAngle: 'rad', idealOuter: 'rad', ackermannShare: '1', tieRodLength: 'm' },
  ({ steeringArm, steeringArmAngle, innerAngle, kingpinTrack, wheelbase }) => {
    const tieRodLength = kingpinTrack - 2 * steeringArm * Math.sin(steeringArmAngle);
    if (!(tieRodLength > 0)) throw new DomainError('steeringArm', 'the two steering arms would meet in the middle');

    const turned = steeringArmAngle + innerAngle;
    /** From the outer kingpin to the inner arm's end: the tie rod and the outer arm have to bridge it. */
    const span = (angle: number): number => Math.hypot(kingpinTrack - steeringArm * Math.sin(angle), steeringArm * Math.cos(angle));
    // On the way from straight ahead the span is smallest where the inner arm points across; a dead point anywhere on that way stops the linkage.
    if (span(Math.min(turned, Math.PI / 2)) < Math.abs(tieRodLength - steeringArm) || span(turned) > tieRodLength + steeringArm)
      throw new DomainError('innerAngle', 'the tie rod and the outer arm come into one line before the inner wheel turns that far');

    const bridged = span(turned);
    const corner = Math.acos((steeringArm ** 2 + bridged ** 2 - tieRodLength ** 2) / (2 * steeringArm * bridged));
    const sight = Math.atan2(steeringArm * Math.cos(turned), kingpinTrack - steeringArm * Math.sin(turned));
    const outerAngle = steeringArmAngle - Math.PI / 2 + sight + corner;
    return {
      outerAngle,
      idealOuter: idealOuterAngle(innerAngle, wheelbase, kingpinTrack),
      ackermannShare: ackermannShareOf(innerAngle, outerAngle, wheelbase, kingpinTrack),
      tieRodLength,
    };
  },
);
