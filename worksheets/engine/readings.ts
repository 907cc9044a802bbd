/** What is known of a sheet's readings: typed, of the truck, answered by another sheet, or by default. Every slip is told, all at once. */
import type { Contributions, End, Question, Supplied, Supply } from './ask.ts';
import { readList } from './list.ts';
import type { ReadingSpec, Sheet } from './notation.ts';
import { echo, missingProblem, nameInWords, nearest, problem, rangeInWords, slipProblem } from './problem.ts';
import { plain, readQuantity, tidy } from './quantity.ts';
import type { From, Problem, ReadingValue } from './types.ts';
import { fromSI, type Unit } from './units.ts';

/** The fact that a reading or an answer of this name is. */
export const factName = (name: string, sheet: { readonly ends: boolean }, end: End | null | undefined): string | null =>
  sheet.ends ? (end ? `${end}_${name}` : null) : name;

export interface Known {
  readonly spec: ReadingSpec;
  readonly value: ReadingValue;
  readonly si: unknown;
  readonly from: From;
  readonly sheet?: string;
  readonly typed?: string;
  readonly note?: string;
  /** Half-width of a stated ±; undefined: the sheet's own clause counts. */
  readonly plusMinus?: number | undefined;
  /** Half of the last digit that was typed, SI. */
  readonly halfDigit?: number;
  /** Standard uncertainty with which the truck's fact was measured, SI; undefined: the sheet's own clause counts. */
  readonly measuredTo?: number;
  readonly contributions?: Contributions;
  readonly supposed?: () => Contributions;
}

/** given > the truck's facts > other sheets' answers > default. */
export function fillIn(sheet: Sheet, question: Question, supply: Supply | undefined, problems: Problem[]): Map<string, Known> {
  const known = new Map<string, Known>();
  const slipped = new Set<string>();
  const note = (name: string, made: { readonly known: Known } | { readonly problem: Problem }): void => {
    if ('known' in made) known.set(name, made.known);
    else {
      problems.push(made.problem);
      slipped.add(name);
    }
  };
  const given = givenReadings(sheet, question, problems);
  for (const spec of sheet.readings) {
    const typed = given.get(spec.name);
    if (typed !== undefined) note(spec.name, readTyped(typed, spec, 'given'));
  }
  for (const spec of sheet.readings) {
    if (known.has(spec.name) || slipped.has(spec.name)) continue;
    // "Exactly one of a, b": when one of them is typed, the truck's other one stays out.
    if (sheet.exactlyOne.some((group) => group.includes(spec.name) && group.some((name) => given.has(name)))) continue;
    const fact = factName(spec.name, sheet, question.end);
    const supplied = fact === null ? undefined : supply?.(fact, spec, sheet);
    if (supplied !== undefined) note(spec.name, readSupplied(supplied, spec));
    else if (spec.default !== undefined) known.set(spec.name, byDefault(spec));
  }
  oneOfEach(sheet, known, slipped, given, problems);
  for (const spec of sheet.readings)
    if (spec.required && !known.has(spec.name) && !slipped.has(spec.name))
      problems.push(missingProblem(spec.name, spec.label, needsOf(spec)));
  return known;
}

/** What was typed, by the reading's own name. */
function givenReadings(sheet: Sheet, question: Question, problems: Problem[]): Map<string, string> {
  const given = new Map<string, string>();
  for (const [written, value] of Object.entries(question.readings)) {
    const name = written.trim().toLowerCase().replace(/[- ]/g, '_');
    const spec = sheet.readings.find((reading) => reading.name === name);
    if (!spec) problems.push(unknownReading(sheet, written));
    else if (given.has(name))
      problems.push(problem(name, String(value), 'Give it once.', `${nameInWords(name)} is given twice. Give it once.`));
    else given.set(name, String(value));
  }
  return given;
}

/** A fact or an answer that does not fit this sheet is told, not passed over: a default in its place would be a silent guess. */
function readSupplied(supplied: Supplied, spec: ReadingSpec): { readonly known: Known } | { readonly problem: Problem } {
  if (supplied.from === 'truck') {
    const read = readTyped(supplied.typed, spec, 'truck');
    return 'known' in read && supplied.uncertainty ? { known: { ...read.known, measuredTo: supplied.uncertainty } } : read;
  }
  const { sheet, value: si, contributions, supposed } = supplied;
  const value = fromSI(si, spec.unit!);
  // 0.1 kg + 0.2 kg is a bit above 0.3 kg in the computer's numbers.
  const slack = 1e-12 * Math.abs(si);
  const inside = (spec.min === undefined || si >= spec.min - slack) && (spec.max === undefined || si <= spec.max + slack);
  if (inside) return { known: { spec, value, si, from: 'sheet', sheet, contributions, ...(supposed ? { supposed } : {}) } };
  const shown = Number(value.toPrecision(6)).toString().replace('-', '−');
  return { problem: slipProblem(spec.name, shown, { is: 'is out', needs: needsOf(spec) }, `, from the sheet ${sheet}`) };
}

/** Of a group the one that is typed counts; else the one known best: of the truck, of a sheet, by default. */
function oneOfEach(
  sheet: Sheet,
  known: Map<string, Known>,
  slipped: ReadonlySet<string>,
  given: ReadonlyMap<string, string>,
  problems: Problem[],
): void {
  for (const group of sheet.exactlyOne) {
    const names = group.map((name) => nameInWords(name).toLowerCase()).join(' or ');
    const typed = group.filter((name) => given.has(name));
    const there = group.filter((name) => known.has(name));
    if (typed.length > 1) problems.push(problem(typed[1]!, given.get(typed[1]!)!, 'Give one of them.', `Give ${names}, not both.`));
    else if (there.length === 0 && !group.some((name) => slipped.has(name)))
      problems.push(problem(group[0]!, null, `Give ${names}.`, `${nameInWords(group[0]!)} is missing. Give ${names}.`));
    else if (typed.length === 0) {
      const best = (['truck', 'sheet', 'default'] as const).flatMap((from) => there.filter((name) => known.get(name)!.from === from))[0];
      for (const name of there) if (name !== best) known.delete(name);
    }
  }
}

export function unknownReading(sheet: Sheet, written: string): Problem {
  const names = sheet.readings.map(({ name }) => name);
  const like = nearest(written, names);
  const needs = like ? `Did you mean ${like}?` : `This sheet takes ${names.join(', ')}.`;
  const name = written
    .slice(0, 100)
    .toWellFormed()
    .replace(/[\p{Cc}\p{Zl}\p{Zp}]/gu, ' ');
  return problem(name, null, needs, `"${echo(written)}" is no reading of ${sheet.name}. ${needs}`);
}

/** What a reading needs, as a sentence. */
export function needsOf(spec: ReadingSpec): string {
  if (spec.type.kind === 'choice') return `Give one of ${spec.type.choices.join(', ')}.`;
  if (spec.type.kind === 'flag') return 'Give yes or no.';
  if (spec.type.kind === 'text') return 'Give a text.';
  if (spec.type.kind === 'list') {
    const parts = spec.parts!.map(({ name, unit }) =>
      spec.parts!.length > 1
        ? `${name.replaceAll('_', ' ')}${unit && unit.symbol !== '1' ? ` [${unit.symbol}]` : ''}`
        : (unit?.symbol ?? ''),
    );
    const count = spec.exactly !== undefined ? `${spec.exactly}` : `at least ${spec.atLeast}`;
    return `Give ${count}: ${parts.join(' / ')}${spec.parts!.length > 1 ? ', then the next' : ' values, separated by spaces'}.`;
  }
  return `Give ${rangeInWords(spec.min, spec.max, spec.unit!)}.`;
}

/** The unit beside a reading; the columns of a list of rows joined with a slash. */
export const readingUnit = (spec: ReadingSpec): string | null =>
  spec.parts
    ? spec.parts
        .map(({ unit }) => unit?.symbol ?? '')
        .filter(Boolean)
        .join('/') || null
    : (spec.unit?.symbol ?? null);

function byDefault(spec: ReadingSpec): Known {
  const value = spec.default!;
  if (typeof value === 'object')
    return { spec, value: value.written ?? fromSI(value.value, spec.unit!), si: value.value, from: 'default', plusMinus: value.plusMinus };
  return { spec, value, si: value, from: 'default' };
}

export function readTyped(
  typed: string,
  spec: ReadingSpec,
  from: 'given' | 'truck',
): { readonly known: Known } | { readonly problem: Problem } {
  const base = { spec, from, typed };
  const place = from === 'truck' ? ', from the truck' : '';
  const slip = (is: string, hint?: string): { readonly problem: Problem } => ({
    problem: slipProblem(spec.name, typed, { is, needs: needsOf(spec), ...(hint ? { hint } : {}) }, place),
  });
  switch (spec.type.kind) {
    case 'number': {
      const read = readQuantity(typed, spec as ReadingSpec & { unit: Unit });
      if ('slip' in read) return { problem: slipProblem(spec.name, typed, read.slip, place) };
      const { value, written, plusMinus, halfDigit, note } = read.ok;
      if (spec.whole && plusMinus !== undefined) return slip('is a count, which carries no ±');
      const digit = halfDigit === undefined ? {} : { halfDigit };
      return { known: { ...base, value: written ?? fromSI(value, spec.unit!), si: value, plusMinus, ...digit, ...(note ? { note } : {}) } };
    }
    case 'list': {
      const read = readList(typed, spec);
      if ('slip' in read) return { problem: slipProblem(spec.name, read.slip.got, read.slip, `${place}${read.slip.place}`) };
      return { known: { ...base, value: read.ok.shown, si: read.ok.si } };
    }
    case 'choice': {
      const word = plain(typed.slice(0, 100))
        .toLowerCase()
        .replace(/[\s-]+/g, '_');
      if (spec.type.choices.includes(word)) return { known: { ...base, value: word, si: word } };
      const like = nearest(word, spec.type.choices);
      return slip('is not one of them', like ? `Did you mean ${like}?` : undefined);
    }
    case 'flag': {
      const word = plain(typed.slice(0, 100)).toLowerCase();
      if (/^(yes|y|true|on|1)$/.test(word)) return { known: { ...base, value: true, si: true } };
      if (/^(no|n|false|off|0)$/.test(word)) return { known: { ...base, value: false, si: false } };
      return slip('is neither yes nor no');
    }
    default: {
      const text = tidy(typed);
      if (text === '') return slip('is empty');
      return text.length > 200 ? slip('is too long') : { known: { ...base, value: text, si: text } };
    }
  }
}
