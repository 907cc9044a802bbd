import { absent, DomainError, formula, maybe, positive, real } from '../formula.ts';

/** Links whose lines enclose less than this angle, in radians, are parallel: typed lengths differ in the last bits. */
const SAME_DIRECTION = 1e-12;
/** A line within this angle of upright, or an instant centre within this share of the wheelbase of the contact point, has no slope to speak of. */
const NO_SLOPE = 1e-9;

/**
 * Instant centre and anti-squat of a link-located live rear axle, in side view.
 *
 *     (X, Y) = where the line of the lower link meets the line of the upper link
 *     S = (Y / X) / (h / L)
 *     parallel links: S = their slope / (h / L)
 *
 *     l₁  lower axle ahead      m  lower link's eye on the axle, ahead of the axle's centre; as all of them
 *     l₂  lower axle up         m  up from the ground; as all of them
 *     l₃  lower chassis ahead   m
 *     l₄  lower chassis up      m
 *     u₁  upper axle ahead      m
 *     u₂  upper axle up         m
 *     u₃  upper chassis ahead   m
 *     u₄  upper chassis up      m
 *     h   cg height             m
 *     L   wheelbase             m
 *     X   instant centre ahead  m  absent when the links are parallel
 *     Y   instant centre up     m  absent when the links are parallel
 *     S   anti squat            1  1 holds the rear where it is under power
 *
 * Shape:      anti-squat goes with L and 1/h; all lengths doubled doubles X and Y and leaves anti-squat.
 * Leaves out: the axle's own mass, drive through joints on the chassis (independent suspension), tyre deflection, links seen from above.
 * Throws:     DomainError when a link has no length, or the links meet at or straight above the rear contact point.
 * Source:     Milliken & Milliken, Race Car Vehicle Dynamics, sec. 17.3; Gillespie, Fundamentals of Vehicle Dynamics, ch. 7.
 *
 * @example squat({ lowerAxleAhead: si(0), lowerAxleUp: si(0.04), lowerChassisAhead: si(0.1), lowerChassisUp: si(0.05), upperAxleAhead: si(0), upperAxleUp: si(0.09), upperChassisAhead: si(0.1), upperChassisUp: si(0.08), cgHeight: si(0.1), wheelbase: si(0.4) }) // instantCentreAhead ≈ 0.25 m, instantCentreUp ≈ 0.065 m, antiSquat ≈ 1.04 1
 */
export const squat = formula(
  {
    lowerAxleAhead: real('m'),
    lowerAxleUp: real('m'),
    lowerChassisAhead: real('m'),
    lowerChassisUp: real('m'),
    upperAxleAhead: real('m'),
    upperAxleUp: real('m'),
    upperChassisAhead: real('m'),
    upperChassisUp: real('m'),
    cgHeight: positive('m'),
    wheelbase: positive('m'),
  },
  { instantCentreAhead: maybe('m'), instantCentreUp: maybe('m'), antiSquat: '1' },
  (given) => {
    const lower = link(given.lowerAxleAhead, given.lowerAxleUp, given.lowerChassisAhead, given.lowerChassisUp);
    const upper = link(given.upperAxleAhead, given.upperAxleUp, given.upperChassisAhead, given.upperChassisUp);
    if (lower.length === 0) throw new DomainError('lowerChassisAhead', 'the two ends of the lower link are one point');
    if (upper.length === 0) throw new DomainError('upperChassisAhead', 'the two ends of the upper link are one point');

    const sine = lower.ahead * upper.up - lower.up * upper.ahead;
    const parallel = Math.abs(sine) <= SAME_DIRECTION;
    const ahead = parallel ? lower.ahead : (lower.ahead * upper.moment - upper.ahead * lower.moment) / sine;
    const up = parallel ? lower.up : (lower.up * upper.moment - upper.up * lower.moment) / sine;
    const reach = Math.hypot(ahead, up);
    if (!parallel && reach <= NO_SLOPE * given.wheelbase) throw new DomainError(null, 'the links meet at the rear contact point');
    if (Math.abs(ahead) <= NO_SLOPE * reach)
      throw new DomainError(null, parallel ? 'both links stand upright' : 'the links meet straight above or below the rear contact point');

    return {
      instantCentreAhead: parallel ? absent('parallel') : ahead,
      instantCentreUp: parallel ? absent('parallel') : up,
      antiSquat: up / ahead / (given.cgHeight / given.wheelbase),
    };
  },
);

/** A link's direction (of length one) and the moment of its line about the contact point. */
function link(axleAhead: number, axleUp: number, chassisAhead: number, chassisUp: number) {
  const length = Math.hypot(chassisAhead - axleAhead, chassisUp - axleUp);
  const ahead = (chassisAhead - axleAhead) / length;
  const up = (chassisUp - axleUp) / length;
  return { length, ahead, up, moment: axleAhead * up - axleUp * ahead };
}
