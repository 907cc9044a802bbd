/**
 * Mean in two passes: the second takes up what the first one rounded away, so that equal values have exactly that mean.
 *
 * NaN for no values: the caller knows how many its readings need.
 *
 * Source: Chan, Golub and LeVeque, Algorithms for computing the sample variance, The American Statistician 37 (1983), 242–247.
 */
export function mean(values: readonly number[]): number {
  const about = sum(values) / values.length;
  return about + sum(values.map((value) => value - about)) / values.length;
}

/**
 * Sum of the squared deviations from the mean, by the corrected two-pass formula.
 *
 * The textbook's Σx² − (Σx)²/n cancels: on 10 000 000.1 and 10 000 000.3 it has no digit left.
 *
 * Source: Chan, Golub and LeVeque, The American Statistician 37 (1983), 242–247, equation 1.7.
 */
export function sumOfSquares(values: readonly number[]): number {
  const about = mean(values);
  const deviations = values.map((value) => value - about);
  return Math.max(0, sum(deviations.map((deviation) => deviation * deviation)) - sum(deviations) ** 2 / values.length);
}

/**
 * Sample standard deviation, with n − 1. NaN for fewer than two values: one lap does not say how far laps scatter.
 *
 * Source: JCGM 100:2008, 4.2.2.
 */
export const standardDeviation = (values: readonly number[]): number =>
  values.length < 2 ? Number.NaN : Math.sqrt(sumOfSquares(values) / (values.length - 1));

/** Sum with the rounding error of each step carried along (Neumaier's improved Kahan sum, ZAMM 54 (1974), 39–51). */
export function sum(values: readonly number[]): number {
  let total = 0;
  let lost = 0;
  for (const value of values) {
    const next = total + value;
    lost += Math.abs(total) >= Math.abs(value) ? total - next + value : value - next + total;
    total = next;
  }
  return total + lost;
}
