import { absent, DomainError, formula, list, maybe, positive } from '../formula.ts';

/**
 * Where a motor's temperature is heading, from three readings of one run, equal times apart.
 *
 *     S = (T₂² − T₁·T₃) / (2T₂ − T₁ − T₃) = T₁ + (T₂ − T₁)² / ((T₂ − T₁) − (T₃ − T₂))
 *     τ = D / ln((T₂ − T₁)/(T₃ − T₂))
 *     t = −τ·ln((S − L)/(S − T₁))
 *
 *     T  temperatures        K   three, in the order in which they were read
 *     D  interval            s   from one reading to the next
 *     L  motor limit         K
 *     S  steady temperature  K
 *     τ  time constant       s
 *     t  time to limit       s   from the first reading; 0 when that is at the limit already; absent when never
 *
 * Shape:      a shift of the whole thermometer shifts S and leaves τ alone; both times go with the interval.
 * Leaves out: more than one heat capacity (can and windings), a pace that changes during the run. Readings that almost form a straight
 *             line say little: the ± of S then is wide.
 * Throws:     DomainError unless there are three readings and the second step is in the direction of the first and smaller.
 * Source:     three readings of a first-order rise, as IEC 60076-2:1993 has it for the end of a heat run (from memory, recomputed).
 *
 * @example warmup({ temperatures: [si(313.15), si(333.15), si(343.15)], interval: si(120), motorLimit: si(348.15) }) // steadyTemperature ≈ 353.15 K, timeConstant ≈ 173.1 s, timeToLimit ≈ 360.0 s
 */
export const warmup = formula(
  { temperatures: list(positive('K'), 3), interval: positive('s'), motorLimit: positive('K') },
  { steadyTemperature: 'K', timeConstant: 's', timeToLimit: maybe('s') },
  ({ temperatures, interval, motorLimit }) => {
    const [first, second, third, ...more] = temperatures as readonly number[];
    if (more.length > 0) throw new DomainError('temperatures', 'three readings are wanted, no more');
    const step = second! - first!;
    const next = third! - second!;
    // A second step of nothing would be a time constant of nothing: the readings were too far apart to tell.
    if (!(step * next > 0 && Math.abs(next) < Math.abs(step)))
      throw new DomainError(
        'temperatures',
        'the readings do not level off: each step has to be smaller than the one before it, and not nothing',
      );
    // From the differences: the squares of three temperatures near 300 K would lose four digits.
    const steadyTemperature = first! + step ** 2 / (step - next);
    const timeConstant = interval / Math.log(step / next);
    return { steadyTemperature, timeConstant, timeToLimit: timeToLimit() };

    function timeToLimit(): number | ReturnType<typeof absent> {
      if (first! >= motorLimit) return 0;
      if (steadyTemperature <= motorLimit) return absent('never');
      return -timeConstant * Math.log((steadyTemperature - motorLimit) / (steadyTemperature - first!));
    }
  },
);
