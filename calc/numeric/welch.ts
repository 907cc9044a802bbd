import { DomainError } from '../formula.ts';
import { mean, standardDeviation } from './statistics.ts';
import { studentsT, studentsTQuantile } from './students-t.ts';

/** What a comparison needs to know of some values. */
export interface Sample {
  readonly count: number;
  readonly mean: number;
  /** Sample standard deviation, with n − 1. */
  readonly standardDeviation: number;
}

export const sampleOf = (values: readonly number[]): Sample => ({
  count: values.length,
  mean: mean(values),
  standardDeviation: standardDeviation(values),
});

export interface Comparison {
  /** First less second mean; of pairs the mean of first less second; of one sample its mean less the value it is held against. */
  readonly difference: number;
  readonly standardError: number;
  readonly t: number;
  readonly degreesOfFreedom: number;
  /** Two-sided: how often chance alone would bring a difference at least as large. */
  readonly pValue: number;
  /** The confidence interval of `difference`. */
  readonly low: number;
  readonly high: number;
}

/**
 * Difference of two means whose scatters may differ, by Welch's t test.
 *
 *     t = (x̄₁ − x̄₂) / √(s₁²/n₁ + s₂²/n₂)
 *     ν = (s₁²/n₁ + s₂²/n₂)² / ((s₁²/n₁)²/(n₁ − 1) + (s₂²/n₂)²/(n₂ − 1))
 *
 * The degrees of freedom stay as they come, not rounded: 7.9925 where an older manual prints 8.0.
 *
 * Throws: DomainError unless each sample has at least two values and there is some scatter.
 * Source: Welch, The generalization of "Student's" problem when several different population variances are involved, Biometrika 34
 *         (1947), 28–35; NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.3.
 */
export function welch(first: Sample, second: Sample, confidence = 0.95): Comparison {
  guard(first);
  guard(second);
  const a = first.standardDeviation / Math.sqrt(first.count);
  const b = second.standardDeviation / Math.sqrt(second.count);
  const standardError = Math.hypot(a, b);
  const freedom = 1 / ((a / standardError) ** 4 / (first.count - 1) + (b / standardError) ** 4 / (second.count - 1));
  return compared(first.mean - second.mean, standardError, freedom, confidence);
}

/**
 * Difference of two means of equal scatter: Student's t test with the pooled standard deviation. Where the scatters differ `welch` is right.
 *
 *     s² = ((n₁ − 1)·s₁² + (n₂ − 1)·s₂²) / (n₁ + n₂ − 2)
 *
 * Throws: DomainError unless each sample has at least two values and there is some scatter.
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.3.
 */
export function pooled(first: Sample, second: Sample, confidence = 0.95): Comparison {
  guard(first);
  guard(second);
  const freedom = first.count + second.count - 2;
  const variance = ((first.count - 1) * first.standardDeviation ** 2 + (second.count - 1) * second.standardDeviation ** 2) / freedom;
  return compared(first.mean - second.mean, Math.sqrt(variance * (1 / first.count + 1 / second.count)), freedom, confidence);
}

/**
 * Mean of the differences of pairs (the same lap driven both ways). Only for values that belong together one by one.
 *
 * Throws: DomainError unless there are as many of the one as of the other, at least two, and the differences scatter.
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.3.1.1 (analysis of paired observations).
 */
export function paired(first: readonly number[], second: readonly number[], confidence = 0.95): Comparison {
  if (first.length !== second.length) throw new DomainError(null, 'pairs need as many values on one side as on the other');
  return oneSample(sampleOf(first.map((value, i) => value - second[i]!)), 0, confidence);
}

/**
 * Mean of one sample against a given value.
 *
 * Throws: DomainError unless the sample has at least two values and some scatter.
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2 and 7.2.2.
 */
export function oneSample(sample: Sample, against: number, confidence = 0.95): Comparison {
  guard(sample);
  return compared(sample.mean - against, sample.standardDeviation / Math.sqrt(sample.count), sample.count - 1, confidence);
}

function guard({ count, mean, standardDeviation }: Sample): void {
  if (!(Number.isInteger(count) && count >= 2)) throw new DomainError(null, 'a comparison needs at least two values of each kind');
  if (!(Number.isFinite(mean) && standardDeviation >= 0 && standardDeviation < Infinity))
    throw new DomainError(null, 'the mean and the standard deviation have to be finite numbers');
}

function compared(difference: number, standardError: number, degreesOfFreedom: number, confidence: number): Comparison {
  if (!(confidence > 0 && confidence < 1)) throw new DomainError(null, 'the confidence has to lie between zero and one');
  if (!(standardError > 0)) throw new DomainError(null, 'values without any scatter cannot be compared');
  const t = difference / standardError;
  const reach = studentsTQuantile((1 + confidence) / 2, degreesOfFreedom) * standardError;
  return {
    difference,
    standardError,
    t,
    degreesOfFreedom,
    pValue: 2 * studentsT(-Math.abs(t), degreesOfFreedom),
    low: difference - reach,
    high: difference + reach,
  };
}
