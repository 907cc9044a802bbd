/** An answer as a page shows it. Every number comes from the functions that text and cards use. */
import type { Answer, AnswerReading, AnswerValue, Curve, From, Verdict } from '../../worksheets/engine/types.ts';
import { cleanAnswer } from '../clean.ts';
import { joined, series, unitText } from '../number.ts';
import {
  answerShown,
  answerValueText,
  bandOf,
  callOf,
  capital,
  explains,
  heroOf,
  nameWords,
  readingText,
  sentenceText,
  titleOf,
  verdictText,
} from '../words.ts';
import type { AnswerRow, AnswerView, CurveView, ReadingRow, VerdictView } from './views.ts';

/** A curve of up to so many points stands open; a longer one is folded. */
const OPEN_POINTS = 12;

export function answerView(answer: Answer, about: readonly string[] = []): AnswerView {
  const cleaned = cleanAnswer(answer);
  const hero = heroOf(cleaned);
  return {
    heading: [titleOf(cleaned), ...about].join(' · '),
    next: cleaned.next && sentenceText(cleaned.next),
    cautions: cleaned.cautions.map(sentenceText),
    hero: hero && answerRow(hero),
    rows: cleaned.answers.filter((one) => one !== hero).map(answerRow),
    readings: cleaned.readings.map(readingRow),
    curves: cleaned.curves.map(curveView),
    wider: cleaned.wider.length > 0 ? cleaned.wider.map(nameWords).join(', ') : null,
  };
}

function answerRow(answer: AnswerValue): AnswerRow {
  const { number, unit, plusMinus } = answerShown(answer);
  return {
    name: capital(nameWords(answer.name)),
    label: explains(answer) ? answer.label : null,
    // `joined` knows which units stand close to their number.
    value: { number, unit: joined({ number, unit, plusMinus: null }).slice(number.length), plusMinus },
    wordy: typeof answer.value !== 'number',
    verdict: answer.verdict === null ? null : verdictView(answer.verdict),
    band: bandOf(answer),
  };
}

/** The sign stands before the words; the colour follows what the verdict comes to. */
const verdictView = (verdict: Verdict): VerdictView => ({
  sign: verdictText(verdict).slice(0, -verdict.length).trim(),
  words: verdict,
  tone: ({ good: 'good', 'not good': 'bad', open: 'open' } as const)[callOf(verdict)],
});

const origins: { readonly [from in From]: string } = {
  given: 'given',
  truck: 'from the truck',
  sheet: 'from the sheet',
  default: 'by default',
};

function readingRow(reading: AnswerReading): ReadingRow {
  const remarks = [...(reading.typed === undefined ? [] : [`typed: ${reading.typed}`]), ...(reading.note ? [reading.note] : [])];
  return {
    name: capital(nameWords(reading.name)),
    value: readingText(reading),
    from: reading.from === 'sheet' ? `${origins.sheet} ${reading.sheet ?? ''}`.trim() : origins[reading.from],
    remark: remarks.length > 0 ? remarks.join('; ') : null,
  };
}

/** The rounded value of each answer by its cell's name: what stands beside a formula. */
export const valuesByName = (answer: Answer): ReadonlyMap<string, string> =>
  new Map(cleanAnswer(answer).answers.map((one) => [one.name, answerValueText(one)]));

function curveView(curve: Curve): CurveView {
  const heading = (name: string, unit: string | null): string => {
    const shown = unitText(unit);
    return `${capital(nameWords(name))}${shown === '' || shown === nameWords(name) ? '' : `, ${shown}`}`;
  };
  const names = Object.keys(curve.answers);
  const columns = names.map((name) => aligned(curve.answers[name]!));
  const x = aligned(curve.x);
  const here = curve.here === null ? -1 : closest(curve.x, curve.here);
  return {
    heading: `Over ${nameWords(curve.over)}, ${x[0]} to ${joined({ number: x.at(-1)!, unit: unitText(curve.unit), plusMinus: null })}`,
    caption: capital(`${names.map(nameWords).join(', ')} over ${nameWords(curve.over)}`),
    over: heading(curve.over, curve.unit),
    columns: names.map((name) => heading(name, curve.units[name] ?? null)),
    rows: curve.x.map((_, i) => ({ x: x[i]!, here: i === here, cells: columns.map((column) => column[i]!) })),
    open: curve.x.length <= OPEN_POINTS,
  };
}

/** Numbers of one column with one number of decimals; a dash where that point has none. */
function aligned(values: readonly (number | null)[]): string[] {
  const shown = series(values.filter((value) => value !== null));
  let next = 0;
  return values.map((value) => (value === null ? '–' : shown[next++]!));
}

const closest = (x: readonly number[], to: number): number =>
  x.reduce((best, value, i) => (Math.abs(value - to) < Math.abs(x[best]! - to) ? i : best), 0);
