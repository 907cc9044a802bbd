import { absent, formula, list, maybe, positive, real, table } from '../formula.ts';
import { leastSquaresLine } from '../numeric/least-squares-line.ts';

/**
 * Toe of one front wheel and its bump steer, from the gaps between the wheels ahead of and behind the axle.
 *
 *     t = atan((b − a) / 2d)
 *     t ≈ B·h + t at h = 0
 *
 *     P  toe points      list   rows of height, gap ahead and gap behind
 *     h  height          m      of the wheels against the chassis, bump positive; ride is 0
 *     a  gap ahead       m      between the two wheels, at axle height
 *     b  gap behind      m
 *     d  gauge diameter  m      between the two gauge points of a wheel
 *     t  toe             rad    one wheel, toe-in positive, at the point nearest height 0 (of two as near, the first listed);
 *                               also the plot's column, with the heights in rising order
 *     B  bump steer      rad/m  one wheel; least squares; absent with a single height
 *
 * Shape:      ahead and behind exchanged turns the sign; gaps and gauge diameter doubled leave toe; bump steer goes with 1/height.
 * Leaves out: the two wheels told apart: each is given half; gauge points that follow camber.
 * Throws:     DomainError unless there is a point, and gaps and gauge diameter are above zero.
 * Source:     ISO 8855 (toe angle); least squares: JCGM 100:2008, H.3.
 *
 * @example toe({ toePoints: [{ height: si(-0.02), gapAhead: si(0.2), gapBehind: si(0.201) }, { height: si(0), gapAhead: si(0.2), gapBehind: si(0.202) }, { height: si(0.02), gapAhead: si(0.2), gapBehind: si(0.203) }], gaugeDiameter: si(0.1) }) // toe ≈ 0.0100 rad, bumpSteer ≈ 0.25 rad/m
 */
export const toe = formula(
  { toePoints: list({ height: real('m'), gapAhead: positive('m'), gapBehind: positive('m') }), gaugeDiameter: positive('m') },
  { toe: 'rad', bumpSteer: maybe('rad/m'), toePlot: table({ height: 'm', toe: 'rad' }) },
  ({ toePoints, gaugeDiameter }) => {
    const points = toePoints.map(({ height, gapAhead, gapBehind }) => ({
      x: height,
      y: Math.atan((gapBehind - gapAhead) / (2 * gaugeDiameter)),
    }));
    const atRide = points.reduce((nearest, point) => (Math.abs(point.x) < Math.abs(nearest.x) ? point : nearest));
    const rising = points.toSorted((one, other) => one.x - other.x);
    return {
      toe: atRide.y,
      bumpSteer: leastSquaresLine(points)?.slope ?? absent(points.length === 1 ? 'one point' : 'one height'),
      toePlot: { height: rising.map(({ x }) => x), toe: rising.map(({ y }) => y) },
    };
  },
);
