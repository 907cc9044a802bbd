/**
 * Strings from people, made harmless before they reach a template: a name can be 20,000 characters long (more than a minute of drawing),
 * can hold characters that XML cannot hold, can turn the direction of the line, or pile marks over it.
 *
 * In this order: cut to a length that cannot cost time; lone surrogates repaired; controls, direction marks, zero-width characters and
 * non-characters out; Unicode form C; at most two combining marks on a letter; at most so many graphemes, with '…' where it was cut.
 */
import type { Answer, AnswerReading, AnswerValue, Curve, ListItem, Problems, ReadingValue, Sentence } from '../worksheets/engine/types.ts';
import { sureAnswer } from './sure.ts';

export interface CleanOptions {
  /** How many signs, as a reader counts them, may stay. */
  readonly graphemes?: number;
  /** Keep a space at either end: a piece of a sentence needs it. */
  readonly keepEnds?: boolean;
}

export function clean(text: string, { graphemes = 32, keepEnds = false }: CleanOptions = {}): string {
  const most = 8 * graphemes;
  let harmless = text
    .slice(0, 4 * most)
    .toWellFormed()
    .replace(lineBreaks, ' ')
    .replace(unwanted, '')
    .normalize('NFC')
    .replace(marksBeyondTwo, '$1')
    .replace(/\s+/gu, ' ');
  if (!keepEnds) harmless = harmless.trim();
  let kept = '';
  let count = 0;
  for (const { segment } of segmenter.segment(harmless)) {
    if (count === graphemes || kept.length + segment.length > most) return `${withoutLast(kept, count, graphemes).trimEnd()}…`;
    kept += segment;
    count++;
  }
  return text.length > 4 * most ? `${kept.trimEnd()}…` : kept;
}

/** The '…' takes the place of the last sign, so that the whole stays within the count. */
function withoutLast(kept: string, count: number, graphemes: number): string {
  if (count < graphemes) return kept;
  const last = [...segmenter.segment(kept)].at(-1);
  return kept.slice(0, last?.index ?? 0);
}

const segmenter = new Intl.Segmenter('en', { granularity: 'grapheme' });

/** Tabs and line ends are spaces between words; the other controls are nothing. */
const lineBreaks = /[\t\n\v\f\r\u0085\u2028\u2029]+/gu;

/**
 * Controls (Cc), format characters (Cf: direction marks, tags), private use (Co), unassigned and non-characters (Cn), surrogates (Cs),
 * whatever draws nothing by definition (DI: zero-width characters, fillers, variation selectors), and the U+FFFD of a repaired surrogate.
 */
const unwanted = /[\p{Cc}\p{Cf}\p{Co}\p{Cn}\p{Cs}\p{DI}\uFFFD]/gu;

const marksBeyondTwo = /(\p{M}{2})\p{M}+/gu;

// ── whole answers ───────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** The same answer with every string in it cleaned: what text and cards are made from. Numbers and names pass as they are, but a ± that claims too much (sure.ts). */
export function cleanAnswer(worked: Answer): Answer {
  const answer = sureAnswer(worked);
  return {
    ...answer,
    sheet: clean(answer.sheet),
    title: clean(answer.title, { graphemes: 60 }),
    hero: answer.hero,
    readings: answer.readings.map(cleanReading),
    answers: answer.answers.map(cleanValue),
    curves: answer.curves.map(cleanCurve),
    cautions: answer.cautions.map(cleanSentence),
    next: answer.next && cleanSentence(answer.next),
  };
}

export function cleanProblems(problems: Problems): Problems {
  return { ...problems, problems: problems.problems.map((problem) => ({ ...problem, text: clean(problem.text, { graphemes: 400 }) })) };
}

const label = (text: string): string => clean(text, { graphemes: 100 });
const long = (text: string): string => clean(text, { graphemes: 400 });
const unit = (text: string | null): string | null => (text === null ? null : clean(text, { graphemes: 40 }));

function cleanReading(reading: AnswerReading): AnswerReading {
  return {
    ...reading,
    label: label(reading.label),
    unit: unit(reading.unit),
    value: cleanReadingValue(reading.value),
    ...(reading.sheet === undefined ? {} : { sheet: clean(reading.sheet) }),
    ...(reading.typed === undefined ? {} : { typed: clean(reading.typed) }),
    ...(reading.note === undefined ? {} : { note: label(reading.note) }),
  };
}

function cleanReadingValue(value: ReadingValue): ReadingValue {
  if (typeof value === 'string') return long(value);
  if (typeof value !== 'object') return value;
  const item = (cell: number | string): number | string => (typeof cell === 'string' ? clean(cell) : cell);
  return value.map((row): ListItem => {
    if (typeof row !== 'object') return item(row);
    return Object.fromEntries(Object.entries(row).map(([part, cell]) => [part, typeof cell === 'object' ? cell.map(item) : item(cell)]));
  });
}

function cleanValue(answer: AnswerValue): AnswerValue {
  return {
    ...answer,
    label: label(answer.label),
    unit: unit(answer.unit),
    value: typeof answer.value === 'string' ? long(answer.value) : answer.value,
    ...(answer.why === undefined ? {} : { why: label(answer.why) }),
  };
}

function cleanCurve(curve: Curve): Curve {
  return {
    ...curve,
    label: label(curve.label),
    unit: unit(curve.unit),
    units: Object.fromEntries(Object.entries(curve.units).map(([name, text]) => [name, unit(text)])),
    labels: Object.fromEntries(Object.entries(curve.labels).map(([name, text]) => [name, label(text)])),
  };
}

function cleanSentence(sentence: Sentence): Sentence {
  return sentence.map((part) => {
    if (typeof part === 'string') return clean(part, { graphemes: 300, keepEnds: true });
    return { ...part, unit: unit(part.unit), value: typeof part.value === 'string' ? long(part.value) : part.value };
  });
}
