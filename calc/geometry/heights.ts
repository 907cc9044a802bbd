import { DomainError, formula, real } from '../formula.ts';

/**
 * Travel and motion ratio of one wheel from three heights of the axle and three lengths of the shock.
 *
 *     w = z₃ − z₁
 *     u = z₃ − z₂
 *     d = z₂ − z₁
 *     a = (s₂ − s₃) / u
 *     b = (s₁ − s₂) / d
 *     r = (u·b + d·a) / w
 *
 *     z₁  axle droop         m  heights over the table, chassis held still
 *     z₂  axle ride          m
 *     z₃  axle bump          m
 *     s₁  shock droop        m  eye to eye
 *     s₂  shock ride         m
 *     s₃  shock bump         m
 *     w   wheel travel       m
 *     u   up travel          m
 *     d   down travel        m
 *     S   droop share        1  down travel / wheel travel
 *     a   motion ratio up    1  mean from ride to bump
 *     b   motion ratio down  1  mean from droop to ride
 *     r   motion ratio       1  slope at ride of the parabola through the three points
 *
 * Shape:      travels go with the heights; motion ratios with shock lengths and 1/heights; a table that stands elsewhere changes nothing.
 * Leaves out: play in the joints, change of the ratio that a parabola does not follow.
 * Throws:     DomainError unless the axle rises and the shock gets shorter from droop to ride and from ride to bump.
 * Source:     Newton's divided differences (Abramowitz & Stegun, 25.1 and 25.3): the derivative of the parabola at its middle point.
 *
 * @example heights({ axleDroop: si(0.01), axleRide: si(0.04), axleBump: si(0.1), shockDroop: si(0.13), shockRide: si(0.112), shockBump: si(0.07) }) // wheelTravel ≈ 0.09 m, droopShare ≈ 0.3333 1, motionRatioUp ≈ 0.7 1, motionRatioDown ≈ 0.6 1, motionRatio ≈ 0.6333 1
 */
export const heights = formula(
  {
    axleDroop: real('m'),
    axleRide: real('m'),
    axleBump: real('m'),
    shockDroop: real('m'),
    shockRide: real('m'),
    shockBump: real('m'),
  },
  {
    wheelTravel: 'm',
    upTravel: 'm',
    downTravel: 'm',
    droopShare: '1',
    motionRatioUp: '1',
    motionRatioDown: '1',
    motionRatio: '1',
  },
  ({ axleDroop, axleRide, axleBump, shockDroop, shockRide, shockBump }) => {
    if (!(axleDroop < axleRide)) throw new DomainError('axleRide', 'the axle is no higher at ride than at droop');
    if (!(axleRide < axleBump)) throw new DomainError('axleBump', 'the axle is no higher at bump than at ride');
    if (!(shockDroop > shockRide)) throw new DomainError('shockRide', 'the shock is no shorter at ride than at droop');
    if (!(shockRide > shockBump)) throw new DomainError('shockBump', 'the shock is no shorter at bump than at ride');
    const wheelTravel = axleBump - axleDroop;
    const upTravel = axleBump - axleRide;
    const downTravel = axleRide - axleDroop;
    const motionRatioUp = (shockRide - shockBump) / upTravel;
    const motionRatioDown = (shockDroop - shockRide) / downTravel;
    return {
      wheelTravel,
      upTravel,
      downTravel,
      droopShare: downTravel / wheelTravel,
      motionRatioUp,
      motionRatioDown,
      motionRatio: (upTravel * motionRatioDown + downTravel * motionRatioUp) / wheelTravel,
    };
  },
);
