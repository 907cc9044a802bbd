import { standardGravity } from '../constants.ts';
import { DomainError, formula, maybe, optional, positive, share } from '../formula.ts';

/**
 * Pitch inertia of a truck hung on its side from two parallel strings and swinging about the vertical between them.
 *
 *     I = m·g·b²·T² / (4π²·l)
 *     D = I / (m·x·(L − x))
 *
 *     m  total             kg
 *     c  string spacing    m      between the strings; b is half of it, the centre of gravity midway
 *     l  string length     m
 *     T  period            s
 *     L  wheelbase         m
 *     s  rear share        1      the centre of gravity is x = s·L behind the front axle
 *     g  standard gravity  m/s²
 *     I  pitch inertia     kg·m²
 *     D  dynamic index     1      left out unless wheelbase and rear share are given
 *
 * Shape:      goes with the mass, the spacing squared, the period squared and 1/length.
 * Leaves out: swings beyond some 10° (they take longer), mass and twist of the strings, air carried along.
 * Throws:     DomainError unless all inputs are finite and above zero and both axles carry something.
 * Source:     bifilar suspension, small swings: Den Hartog, Mechanical Vibrations; dynamic index: Gillespie, Fundamentals of Vehicle Dynamics, ch. 5.
 *
 * @example inertia({ total: si(3), stringSpacing: si(0.4), stringLength: si(1), period: si(1.2), wheelbase: si(0.33), rearShare: si(0.6) }) // pitchInertia ≈ 0.04292 kg·m², dynamicIndex ≈ 0.54745 1
 */
export const inertia = formula(
  {
    total: positive('kg'),
    stringSpacing: positive('m'),
    stringLength: positive('m'),
    period: positive('s'),
    wheelbase: optional(positive('m')),
    rearShare: optional(share()),
  },
  { pitchInertia: 'kg·m²', dynamicIndex: maybe('1') },
  ({ total, stringSpacing, stringLength, period, wheelbase, rearShare }) => {
    if (rearShare === 0 || rearShare === 1) throw new DomainError('rearShare', 'one axle would carry nothing');
    const pitchInertia = (total * standardGravity * (stringSpacing / 2) ** 2 * period ** 2) / (4 * Math.PI ** 2 * stringLength);
    return {
      pitchInertia,
      dynamicIndex:
        wheelbase === undefined || rearShare === undefined
          ? undefined
          : pitchInertia / (total * wheelbase * rearShare * wheelbase * (1 - rearShare)),
    };
  },
);
