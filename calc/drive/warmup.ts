import { absent, DomainError, formula, list, maybe, positive, table } from '../formula.ts';

/** Points of the curve temperature over time. */
const POINTS = 41;
/** So many time constants on, all but 2 % of the way to the steady temperature lies behind. */
const LEVELLED = 4;

/**
 * Where a motor's temperature is heading, from three readings of one run, equal times apart.
 *
 *     S = (T₂² − T₁·T₃) / (2T₂ − T₁ − T₃) = T₁ + (T₂ − T₁)² / ((T₂ − T₁) − (T₃ − T₂))
 *     τ = D / ln((T₂ − T₁)/(T₃ − T₂))
 *     t = −τ·ln((S − L)/(S − T₁))
 *     λ = √(a⁴ + 4a²b² + b⁴) / (a − b)²,  a = T₂ − T₁,  b = T₃ − T₂
 *     θ = S − (S − T₁)·e^(−x/τ)
 *
 *     T  temperatures        K   three, in the order in which they were read
 *     D  interval            s   from one reading to the next
 *     L  motor limit         K
 *     S  steady temperature  K
 *     τ  time constant       s
 *     t  time to limit       s   from the first reading; 0 when that is at the limit already; absent when never
 *     λ  leverage            1   kelvins that S is off by for one kelvin on each reading: root of the sum of squares of ∂S/∂Tᵢ
 *     x  time                s   of the curve, evenly spaced from the first reading until it has levelled off
 *     θ  temperature         K   at that time
 *
 * Shape:      a shift of the whole thermometer shifts S and leaves τ and λ alone; both times go with the interval.
 * Leaves out: more than one heat capacity (can and windings), a pace that changes during the run. Readings that almost form a straight
 *             line say little: λ is above 5 while the second step is half the first, and below 2 where it is a quarter.
 * Throws:     DomainError unless there are three readings, the second step is in the direction of the first and smaller, and S above 0 K.
 * Source:     three readings of a first-order rise, as IEC 60076-2:1993 has it for the end of a heat run (from memory, recomputed);
 *             its uncertainty by JCGM 100:2008, 5.1.2.
 *
 * @example warmup({ temperatures: [si(313.15), si(333.15), si(343.15)], interval: si(120), motorLimit: si(348.15) }) // steadyTemperature ≈ 353.15 K, timeConstant ≈ 173.1 s, timeToLimit ≈ 360.0 s, leverage ≈ 5.745 1
 */
export const warmup = formula(
  { temperatures: list(positive('K'), 3), interval: positive('s'), motorLimit: positive('K') },
  {
    steadyTemperature: 'K',
    timeConstant: 's',
    timeToLimit: maybe('s'),
    leverage: '1',
    temperatureOverTime: table({ time: 's', temperature: 'K' }),
  },
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
    if (!(steadyTemperature > 0)) throw new DomainError('temperatures', 'the readings do not level off above absolute zero');
    const timeConstant = interval / Math.log(step / next);
    const leverage = Math.hypot(step ** 2, 2 * step * next, next ** 2) / (step - next) ** 2;
    const limit = timeToLimit();
    const end = Math.max(2 * interval, LEVELLED * timeConstant, typeof limit === 'number' ? limit : 0);
    const time = Array.from({ length: POINTS }, (_, i) => (end * i) / (POINTS - 1));
    const temperature = time.map((at) => first! - (steadyTemperature - first!) * Math.expm1(-at / timeConstant));
    return { steadyTemperature, timeConstant, timeToLimit: limit, leverage, temperatureOverTime: { time, temperature } };

    function timeToLimit(): number | ReturnType<typeof absent> {
      if (first! >= motorLimit) return 0;
      if (steadyTemperature <= motorLimit) return absent('never');
      return -timeConstant * Math.log((steadyTemperature - motorLimit) / (steadyTemperature - first!));
    }
  },
);
