import { counted, DomainError, formula, positive } from '../formula.ts';

/**
 * Damping and frequency of one end from two peaks of a filmed bounce.
 *
 *     δ = ln(a / b) / n
 *     ζ = δ / √(4π² + δ²)
 *     f = n·r / N
 *     F = f / √(1 − ζ²) = f·√(4π² + δ²) / 2π
 *
 *     a  peak 1               m    height over rest
 *     b  peak 2               m    on the same side of rest, n cycles later
 *     N  frames               1    between the two peaks
 *     r  frame rate           1/s
 *     n  cycles               1    from the first peak to the second
 *     δ  log decrement        1
 *     ζ  damping ratio        1
 *     f  damped frequency     Hz   as filmed
 *     F  undamped frequency   Hz
 *
 * Shape:      only the ratio of the peaks counts; frequencies go with r and 1/N; twice the cycles halves δ and doubles f.
 * Leaves out: friction (it makes the peaks fall on a straight line), different bump and rebound damping, the other end moving along.
 * Throws:     DomainError unless everything is above zero, cycles are whole, and the second peak is no higher than the first.
 * Source:     Rao, Mechanical Vibrations, section 2.6.3 (logarithmic decrement).
 *
 * @example bounce({ peak1: si(0.016), peak2: si(0.001), frames: si(480), frameRate: si(240), cycles: si(1) }) // logDecrement ≈ 2.773 1, dampingRatio ≈ 0.4037 1, dampedFrequency ≈ 0.5 Hz, undampedFrequency ≈ 0.5465 Hz
 */
export const bounce = formula(
  { peak1: positive('m'), peak2: positive('m'), frames: positive('1'), frameRate: positive('1/s'), cycles: counted('1') },
  { logDecrement: '1', dampingRatio: '1', dampedFrequency: 'Hz', undampedFrequency: 'Hz' },
  ({ peak1, peak2, frames, frameRate, cycles }) => {
    if (peak2 > peak1) throw new DomainError('peak2', 'the second peak is higher than the first');
    const logDecrement = Math.log(peak1 / peak2) / cycles;
    const turn = Math.hypot(2 * Math.PI, logDecrement);
    const dampedFrequency = (cycles * frameRate) / frames;
    return {
      logDecrement,
      dampingRatio: logDecrement / turn,
      dampedFrequency,
      undampedFrequency: (dampedFrequency * turn) / (2 * Math.PI),
    };
  },
);
