/**
 * How a truck stands: what it answers now, which of its last answers are stale, what is missing, what one more measurement would unlock. All of
 * it is worked out afresh from the facts; nothing of it is stored.
 */

import { isDeepStrictEqual } from 'node:util';
import { limitsOf, thingNamed } from '../../templates/words.ts';
import type { GivenReading, SheetRecord, TruckBook } from '../../worksheets/archive/types.ts';
import { factName, type Outcome, type Supply, work } from '../../worksheets/engine/ask.ts';
import { supplyFrom } from '../../worksheets/engine/fill.ts';
import { inColumns } from '../../worksheets/engine/list.ts';
import type { ReadingSpec, Sheet } from '../../worksheets/engine/notation.ts';
import { readQuantity } from '../../worksheets/engine/quantity.ts';
import type { Answer, AnswerReading, AnswerValue, ReadingValue } from '../../worksheets/engine/types.ts';
import type { Unit } from '../../worksheets/engine/units.ts';
import { type Job, jobsOf, type Missing, type Unlock } from '../../worksheets/engine/unlock.ts';
import { type Known, knownOf } from './known.ts';
import type { Shelf } from './pit.ts';

export interface Standing {
  readonly known: Known;
  /** Sheets that answer without a word typed, those that were asked last first, then in the order of the shelf. */
  readonly answers: readonly { readonly job: Job; readonly answer: Answer }[];
  /** Sheets that have all they need and still do not work out: the first problem says why. */
  readonly troubled: readonly { readonly job: Job; readonly text: string }[];
  readonly stale: readonly Stale[];
  /** What two sheets answer differently of one fact that others go on from: the first one is used. */
  readonly twoWays: readonly TwoWays[];
  readonly missing: readonly Missing[];
  readonly unlocks: readonly Unlock[];
}
/** A last answer that rests on readings that have changed since. */
export interface Stale {
  readonly record: SheetRecord;
  readonly changes: readonly ReadingChange[];
  /** The answer as it is now, with what it was given then where nothing newer is known; null: it does not work out any more. */
  readonly now: Outcome | null;
}
export interface TwoWays {
  readonly fact: string;
  readonly used: Way;
  readonly other: Way;
}
export interface Way {
  readonly job: Job;
  readonly answer: AnswerValue;
}
export interface ReadingChange {
  readonly name: string;
  readonly was: Measured;
  readonly is: Measured;
}
export type Measured = Pick<AnswerReading, 'value' | 'unit' | 'uncertainty'> & { readonly named?: string | null };

export const supplyOf = (shelf: Shelf, known: Known): Supply => supplyFrom(known, shelf.answering);

export function standingOf(shelf: Shelf, book: Pick<TruckBook, 'facts' | 'parts' | 'latest'>): Standing {
  const known = knownOf(book.facts, book.parts);
  const supply = supplyOf(shelf, known);
  const lastAsked = new Map(book.latest.map(({ sheet, end }, i) => [`${sheet} ${end ?? ''}`, i]));
  const asked = ({ sheet, end }: Job): number => lastAsked.get(`${sheet.name} ${end ?? ''}`) ?? Number.POSITIVE_INFINITY;
  const answers: { readonly job: Job; readonly answer: Answer }[] = [];
  const troubled: { readonly job: Job; readonly text: string }[] = [];
  for (const job of jobsOf(shelf.sheets.values())) {
    const made = work(job.sheet, { readings: {}, end: job.end }, supply, { curves: false });
    if ('answer' in made) {
      if (made.answer.readings.some(({ from }) => from === 'truck' || from === 'sheet')) answers.push({ job, answer: made.answer });
    } else {
      // What is missing is told below; only what is there and does not fit is trouble.
      const slip = made.problems.some(({ text }) => / is missing[ .]/.test(text)) ? undefined : made.problems[0];
      if (slip) troubled.push({ job, text: slip.text });
    }
  }
  const order = new Map(answers.map(({ job }, i) => [job, i]));
  answers.sort((a, b) => asked(a.job) - asked(b.job) || order.get(a.job)! - order.get(b.job)!);
  const names = new Set(known.keys());
  const there = new Set([
    ...names,
    ...answers.flatMap(({ job, answer }) => answer.answers.map(({ name }) => factName(name, job.sheet, job.end)!)),
  ]);
  // Of two that give as much, the one that uses what is known already says more of this truck.
  const uses = ({ sheet, end }: Job): number => sheet.readings.filter(({ name }) => there.has(factName(name, sheet, end)!)).length;
  const used = (jobs: readonly Job[]): number => Math.max(0, ...jobs.map(uses));
  return {
    known,
    answers,
    troubled,
    stale: staleOf(shelf, book.latest, known),
    twoWays: twoWaysIn(shelf, answers, known),
    missing: shelf.reach.missing(names).sort((a, b) => a.facts.length - b.facts.length || uses(b.job) - uses(a.job)),
    unlocks: shelf.reach.unlocks(names).sort((a, b) => b.jobs.length - a.jobs.length || used(b.jobs) - used(a.jobs)),
  };
}

/** Two measurements of one thing may differ by what they may be off, and by a hundredth where nobody knows that. */
const APART = 0.01;

function twoWaysIn(shelf: Shelf, answers: Standing['answers'], known: Known): TwoWays[] {
  const found: TwoWays[] = [];
  for (const [fact, ways] of shelf.answering) {
    // What the truck was told itself settles it; what no sheet reads disturbs nobody.
    if (ways.length < 2 || known.has(fact) || !shelf.reads.has(fact)) continue;
    const there = ways.flatMap(({ sheet, end, answer: name }): Way[] => {
      const made = answers.find(({ job }) => job.sheet === sheet && job.end === end);
      const answer = made?.answer.answers.find((one) => one.name === name);
      return made && typeof answer?.value === 'number' ? [{ job: made.job, answer }] : [];
    });
    const [used, ...others] = there;
    for (const other of others) if (apart(used!.answer, other.answer)) found.push({ fact, used: used!, other });
  }
  return found;
}
function apart(a: AnswerValue, b: AnswerValue): boolean {
  const [x, y] = [a.value as number, b.value as number];
  return Math.abs(x - y) > Math.max(Math.hypot(a.uncertainty ?? 0, b.uncertainty ?? 0), APART * Math.max(Math.abs(x), Math.abs(y)));
}

// ── stale answers ───────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** The last answers whose readings are not what the truck knows now, newest first. */
export function staleOf(shelf: Shelf, latest: readonly SheetRecord[], known: Known): Stale[] {
  return latest.flatMap((record): Stale[] => {
    const now = askedAgain(shelf, record, known);
    if (now === undefined) return [];
    if (now === null) return [{ record, changes: [], now }];
    const changes = changesOf(shelf.sheets.get(record.sheet)!, record, now.answer, known);
    return changes.length === 0 || moved(record.answer, now.answer).length === 0 ? [] : [{ record, changes, now }];
  });
}

/**
 * The same question now: what the truck knows counts, and what it was then where nothing is known any more (twelve hours are over: that is no
 * change). undefined: that cannot be told; null: it does not work out any more.
 */
function askedAgain(shelf: Shelf, record: SheetRecord, known: Known): Outcome | null | undefined {
  const { sheet: name, end, answer } = record;
  const sheet = shelf.sheets.get(name);
  if (!sheet) return undefined;
  const supply = supplyOf(shelf, known);
  const readings: Record<string, string> = {};
  for (const spec of sheet.readings) {
    const then = answer.readings.find((reading) => reading.name === spec.name);
    const fact = factName(spec.name, sheet, end);
    if (!then || then.from === 'default' || (fact !== null && supply(fact, spec, sheet) !== undefined)) continue;
    const typed = record.readings.find((reading) => reading.name === spec.name)?.typed ?? typedAgain(then);
    if (typed === undefined) return undefined;
    readings[spec.name] = typed;
  }
  const outcome = work(sheet, { readings, end }, supply);
  return 'answer' in outcome ? outcome : null;
}

/** What would be typed to say the same: ± a is a/√3, and what is shown is twice that. */
function typedAgain({ value, unit, uncertainty, typed }: AnswerReading): string | undefined {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'string') return value;
  if (typeof value !== 'number') return typed?.endsWith('…') ? undefined : typed;
  const of = unit === null || unit === '1' ? '' : ` ${unit}`;
  return `${value}${of}${uncertainty ? ` ± ${limitsOf(uncertainty)}${of}` : ''}`;
}

/** The readings that the answer used and that are others now, in value or ±. What it could not use then is no change of it. */
function changesOf(sheet: Sheet, record: SheetRecord, is: Answer, known: Known): ReadingChange[] {
  const then = ({ name, typed }: AnswerReading): string | null => {
    const given = record.readings.find((reading) => reading.name === name);
    if (given || typed === undefined) return thingNamed(given?.said);
    // What came from the truck is kept in the answer alone: there a thing's name stands where the number would.
    const spec = sheet.readings.find((reading) => reading.name === name);
    return spec?.unit && 'slip' in readQuantity(typed, spec as ReadingSpec & { unit: Unit }) ? thingNamed(typed) : null;
  };
  const now = (name: string): string | null => thingNamed(known.get(factName(name, sheet, record.end) ?? '')?.said);
  return record.answer.readings.flatMap((before): ReadingChange[] => {
    const { name } = before;
    const after = is.readings.find((reading) => reading.name === name);
    if (after && sameValue(before.value, after.value) && sameOff(before.uncertainty, after.uncertainty)) return [];
    const was = { ...measured(sheet, before), named: then(before) };
    return [{ name, was, is: after ? { ...measured(sheet, after), named: after.from === 'truck' ? now(name) : null } : NOTHING }];
  });
}
const NOTHING: Measured = { value: 'nothing', unit: null, uncertainty: null };
function measured(sheet: Sheet, { name, value, unit, uncertainty }: AnswerReading): Measured {
  const spec = sheet.readings.find((reading) => reading.name === name);
  return { value: typeof value === 'object' && spec ? inColumns(value, spec) : value, unit, uncertainty };
}

/** The answers that were there and are others now, in value or ±. */
export const moved = (was: Answer, is: Answer): AnswerValue[] =>
  is.answers.filter((now) => {
    const before = was.answers.find(({ name }) => name === now.name);
    return before !== undefined && !(sameAnswer(before.value, now.value) && sameOff(before.uncertainty, now.uncertainty));
  });
const sameAnswer = (a: AnswerValue['value'], b: AnswerValue['value']): boolean =>
  typeof a === 'number' && typeof b === 'number' ? close(a, b) : a === b;

/** What another sheet answers may differ in its last bits when it is worked out by another way round. */
const close = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b));
const sameValue = (a: ReadingValue, b: ReadingValue): boolean =>
  typeof a === 'number' && typeof b === 'number' ? close(a, b) : isDeepStrictEqual(a, b);
/** A sheet may have been asked without a ± that the truck's fact has got from another sheet's clause: that is no change. */
const sameOff = (a: number | null, b: number | null): boolean => a === null || b === null || close(a, b);

/** The record that takes the place of a stale one: what was given then, as it is known now. */
export function renewed({ record, now }: Stale, book: Pick<TruckBook, 'facts'>): Omit<SheetRecord, 'at'> | null {
  if (now === null) return null;
  const readings = record.readings.map((reading): GivenReading => {
    const fact = book.facts.get(reading.fact);
    if (!fact) return reading;
    const { typed, said, value, uncertainty, unit, note, how } = fact;
    return {
      fact: reading.fact,
      name: reading.name,
      typed,
      ...(said === undefined ? {} : { said }),
      value,
      uncertainty,
      unit,
      ...(note === undefined ? {} : { note }),
      how,
    };
  });
  return { sheet: record.sheet, end: record.end, readings, answer: now.answer };
}
