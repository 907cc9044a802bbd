import { standardGravity } from '../constants.ts';
import { DomainError, formula, list, maybe, notNegative, positive } from '../formula.ts';
import { leastSquaresLine } from '../numeric/least-squares-line.ts';

/** The worst point may be this share of the greatest load off the line of a straight spring. Common practice, no source. */
const STRAIGHT_WITHIN = 0.02;

/**
 * Rate of a spring pressed on a scale: least squares line of the load on the height.
 *
 *     m ≈ b·h + a
 *     k = −b·g
 *     s = s(b)·g
 *     z = −a / b
 *     w = max |m − (b·h + a)|
 *
 *     P  press points       list  at least two rows of load and height
 *     m  load               kg    what the scale reads, spring pressed
 *     h  height             m     of the spring at that load, from any fixed mark
 *     g  standard gravity   m/s²
 *     k  spring rate        N/m
 *     s  spring rate error  N/m   standard error with n − 2; left out for two points
 *     z  zero load height   m     where the line meets zero load
 *     w  worst residual     kg    in magnitude
 *     S  straight           yes/no  w at most 2 % of the greatest load
 *
 * Shape:      rate and residual go with the loads; the rate with 1/height step; a mark that sits elsewhere moves only the zero load height.
 * Leaves out: friction on a guide rod, the dead turns that close first.
 * Throws:     DomainError unless there are two different heights, loads are zero or above, and the spring gets shorter under load.
 * Source:     JCGM 100:2008, H.3 (line and standard error); Hooke's law.
 *
 * @example press({ pressPoints: [{ load: si(0), height: si(0.08) }, { load: si(0.5), height: si(0.07) }, { load: si(1), height: si(0.06) }] }) // springRate ≈ 490.3 N/m, zeroLoadHeight ≈ 0.08 m, straight = true
 */
export const press = formula(
  { pressPoints: list({ load: notNegative('kg'), height: positive('m') }, 2) },
  { springRate: 'N/m', springRateError: maybe('N/m'), zeroLoadHeight: 'm', worstResidual: 'kg', straight: 'yes/no' },
  ({ pressPoints }) => {
    const line = leastSquaresLine(pressPoints.map(({ load, height }) => ({ x: height, y: load })));
    if (!line) throw new DomainError('pressPoints', 'all the heights are the same');
    if (!(line.slope < 0)) throw new DomainError('pressPoints', 'the spring does not get shorter as the load grows');
    const worstResidual = Math.max(...line.residuals.map(Math.abs));
    return {
      springRate: -line.slope * standardGravity,
      springRateError: line.slopeError === undefined ? undefined : line.slopeError * standardGravity,
      zeroLoadHeight: line.centre.x - line.centre.y / line.slope,
      worstResidual,
      straight: worstResidual <= STRAIGHT_WITHIN * Math.max(...pressPoints.map(({ load }) => load)),
    };
  },
);
