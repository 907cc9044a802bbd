/**
 * A ± counts only the readings that carry one. Where a scale's step is all that does, a top speed would read 47.75021 km/h ± 0.00028, and
 * claim what no ruler and no usual value behind it can hold. Such a ± is not shown; the number is then rounded as one without. Neither is a
 * fine one that the last digit of a reading without a ± outweighs (a motion ratio of 0.6).
 */
import type { Answer, AnswerReading, AnswerValue, Sentence } from '../worksheets/engine/types.ts';

/** One part in 5000: finer than anything on a tuning day is measured by hand. */
const FINEST = 2e-4;

type Said = { readonly value: unknown; readonly uncertainty: number | null };

export function sureAnswer(answer: Answer): Answer {
  const finest = answer.readings.some(carriesNone) ? FINEST : 0;
  return {
    ...answer,
    readings: answer.readings.map((one): AnswerReading => (one.partial ? { ...one, uncertainty: null } : one)),
    answers: answer.answers.map((one): AnswerValue => (one.partial ? { ...one, uncertainty: null } : sure(one, finest))),
    cautions: answer.cautions.map((one) => sureSentence(one, finest)),
    next: answer.next && sureSentence(answer.next, finest),
  };
}

const carriesNone = ({ value, uncertainty }: AnswerReading): boolean => typeof value === 'number' && uncertainty === null;

/** A ± of nothing at all (front share + rear share is 100 % ± 0) says that it is exact, and stays. */
function sure<T extends Said>(one: T, finest: number): T {
  const { value, uncertainty } = one;
  if (typeof value !== 'number' || uncertainty === null) return one;
  const relative = uncertainty / Math.abs(value);
  return relative > 1e-9 && relative < finest ? { ...one, uncertainty: null } : one;
}

const sureSentence = (sentence: Sentence, finest: number): Sentence =>
  sentence.map((part) => (typeof part === 'string' ? part : sure(part, finest)));
