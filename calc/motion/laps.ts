import { type Absent, absent, formula, list, maybe, positive } from '../formula.ts';
import { studentsTQuantile } from '../numeric/students-t.ts';
import { type Sample, sampleOf, welch } from '../numeric/welch.ts';

/** Laps this close to each other, as a share of the lap, differ by rounding alone (10⁻¹² of 20 s is far below any clock). */
const ROUNDING = 1e-12;
/** Where whole numbers are no longer told apart, counting ends: means that differ by rounding alone need more. */
const MOST_LAPS = Number.MAX_SAFE_INTEGER;

/**
 * Laps before and after a change: the difference of the means, how sure it is, and how many laps would settle it.
 *
 *     d = x̄₂ − x̄₁
 *     u = √(s₁²/n₁ + s₂²/n₂)
 *     ν = u⁴ / ((s₁²/n₁)²/(n₁ − 1) + (s₂²/n₂)²/(n₂ − 1))
 *     d ± t(0.975; ν)·u
 *     p = 2·F(−|d|/u; ν)
 *     N = smallest n with t(0.975; 2n − 2)·√((s₁² + s₂²)/n) < |d|
 *     with F, the share of Student's t distribution, and t(…), its quantile
 *
 *     x₁  before           s     lap times, one after the other
 *     x₂  after            s     lap times with the change
 *     x̄₁  mean before      s
 *     x̄₂  mean after       s
 *     d   difference       s     below zero: faster after the change
 *     −   difference low   s     95 % interval; absent with one lap on a side, or where all laps are alike
 *     +   difference high  s
 *     p   p value          1     how often chance alone brings a difference as large
 *     v   verdict          text  faster, slower, or cannot tell: the interval holds zero or is not known
 *     N   laps needed      1     on each side, if means and scatter stay as they are; absent where no number would do
 *     s₁  scatter before   s     standard deviation of that side, n − 1; absent with one lap
 *     s₂  scatter after    s
 *
 * Shape:      all times doubled, all answers in seconds double, p and N stay; before and after swapped, the difference changes sign.
 * Leaves out: what else drifts from lap to lap: track, pack, tyres, driver. Laps are taken as normal and independent.
 * Throws:     DomainError unless both lists hold lap times above zero, at least one each.
 * Source:     Welch, Biometrika 34 (1947), 28–35; NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.3.
 *
 * @example laps({ before: [si(20), si(20.4), si(20.2), si(20.6)], after: [si(19.9), si(20.1), si(19.8), si(20)] }) // meanBefore ≈ 20.3 s, meanAfter ≈ 19.95 s, difference ≈ -0.35 s, differenceLow ≈ -0.7364 s, differenceHigh ≈ 0.0364 s, pValue ≈ 0.0665 1, verdict = cannot tell, lapsNeeded = 5 1, scatterBefore ≈ 0.2582 s, scatterAfter ≈ 0.1291 s
 */
export const laps = formula(
  { before: list(positive('s')), after: list(positive('s')) },
  {
    meanBefore: 's',
    meanAfter: 's',
    difference: 's',
    differenceLow: maybe('s'),
    differenceHigh: maybe('s'),
    pValue: maybe('1'),
    verdict: 'text',
    lapsNeeded: maybe('1'),
    scatterBefore: maybe('s'),
    scatterAfter: maybe('s'),
  },
  ({ before, after }) => {
    const [first, second] = [sampleOf(before), sampleOf(after)];
    const means = {
      meanBefore: first.mean,
      meanAfter: second.mean,
      difference: second.mean - first.mean,
      scatterBefore: scatterOf(first),
      scatterAfter: scatterOf(second),
    };
    const why = unknown(first, second);
    if (why) return { ...means, differenceLow: why, differenceHigh: why, pValue: why, verdict: 'cannot tell', lapsNeeded: why };
    const { low, high, pValue } = welch(second, first);
    const verdict = high < 0 ? 'faster' : low > 0 ? 'slower' : 'cannot tell';
    return { ...means, differenceLow: low, differenceHigh: high, pValue, verdict, lapsNeeded: lapsNeeded(first, second) };
  },
);

const scatterOf = ({ count, standardDeviation }: Sample): number | Absent => (count < 2 ? absent('one lap only') : standardDeviation);

/** Why the scatter is not known; null when it is. Laps that are all alike have one too, finer than the clock shows. */
function unknown(first: Sample, second: Sample): Absent | null {
  if (first.count < 2 || second.count < 2) return absent('one lap only');
  const scatter = Math.max(first.standardDeviation, second.standardDeviation);
  return scatter > ROUNDING * Math.max(first.mean, second.mean) ? null : absent('no scatter');
}

/** The reach of the interval shrinks with every lap, so the smallest number that will do is found by halving. */
function lapsNeeded(first: Sample, second: Sample): number | Absent {
  const difference = Math.abs(second.mean - first.mean);
  const scatter = Math.hypot(first.standardDeviation, second.standardDeviation);
  const enough = (n: number): boolean => (studentsTQuantile(0.975, 2 * n - 2) * scatter) / Math.sqrt(n) < difference;
  if (!enough(MOST_LAPS)) return absent('never');
  let [tooFew, some] = [1, 2];
  while (!enough(some)) [tooFew, some] = [some, Math.min(2 * some, MOST_LAPS)];
  while (some - tooFew > 1) {
    const middle = Math.floor((tooFew + some) / 2);
    if (enough(middle)) some = middle;
    else tooFew = middle;
  }
  return some;
}
