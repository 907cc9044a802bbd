import { standardGravity } from '../constants.ts';
import { DomainError, formula, list, maybe, positive, table } from '../formula.ts';
import { leastSquaresLine } from '../numeric/least-squares-line.ts';

/**
 * Damper coefficient and friction of a shock that sinks under weights: least squares line of the load on the speed.
 *
 *     v = d·r / N
 *     m ≈ b·v + a
 *     c = b·g
 *     f = a·g
 *     s = s(b)·g
 *     w = max |m − (b·v + a)|
 *     l = b·v + a
 *
 *     R  sink runs                 list   at least two rows of load and frames
 *     m  load                      kg     that pulls or presses the shaft, its own moving parts among it
 *     N  frames                    1      to sink the distance
 *     d  distance                  m      between the two marks, passed at steady speed
 *     r  frame rate                1/s
 *     g  standard gravity          m/s²
 *     c  damper coefficient        N·s/m
 *     s  damper coefficient error  N·s/m  standard error with n − 2; left out for two runs
 *     f  friction force            N      where the line meets zero speed; below zero it is the scatter of the readings
 *     w  worst residual            kg     in magnitude
 *     v  speed                     m/s    of each run, slowest first; so are the loads beside it
 *     l  line                      kg     the fitted load at that speed
 *
 * Shape:      c and s go with the loads, with 1/d and with 1/r; friction goes with the loads and not with d or r.
 * Leaves out: the start before the speed is steady, damping that bends with speed, gas force on the shaft.
 * Throws:     DomainError unless everything is above zero, two speeds differ, and the shock sinks faster under more load.
 * Source:     Rao, Mechanical Vibrations, section 1.9 (viscous damper, force on speed); JCGM 100:2008, H.3 (line).
 *
 * @example sink({ sinkRuns: [{ load: si(0.2), frames: si(240) }, { load: si(0.3), frames: si(120) }], distance: si(0.02), frameRate: si(240) }) // damperCoefficient ≈ 49.03 N·s/m, damperCoefficientError = left out, frictionForce ≈ 0.9807 N
 */
export const sink = formula(
  { sinkRuns: list({ load: positive('kg'), frames: positive('1') }, 2), distance: positive('m'), frameRate: positive('1/s') },
  {
    damperCoefficient: 'N·s/m',
    damperCoefficientError: maybe('N·s/m'),
    frictionForce: 'N',
    worstResidual: 'kg',
    runs: table({ speed: 'm/s', load: 'kg', line: 'kg' }),
  },
  ({ sinkRuns, distance, frameRate }) => {
    const runs = sinkRuns
      .map(({ load, frames }) => ({ x: (distance * frameRate) / frames, y: load }))
      .sort((a, b) => a.x - b.x || a.y - b.y);
    const line = leastSquaresLine(runs);
    if (!line) throw new DomainError('sinkRuns', 'all the runs took the same number of frames');
    if (!(line.slope > 0)) throw new DomainError('sinkRuns', 'the shock does not sink faster as the load grows');
    return {
      damperCoefficient: line.slope * standardGravity,
      damperCoefficientError: line.slopeError === undefined ? undefined : line.slopeError * standardGravity,
      frictionForce: line.intercept * standardGravity,
      worstResidual: Math.max(...line.residuals.map(Math.abs)),
      runs: { speed: runs.map(({ x }) => x), load: runs.map(({ y }) => y), line: runs.map(({ y }, i) => y - line.residuals[i]!) },
    };
  },
);
