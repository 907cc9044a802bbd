/** Facts told to a truck in a line: `wheelbase:330 front_spring_rate:0.45`. Each is read as the sheets that take it would read it. */
import type { GivenReading } from '../../worksheets/archive/types.ts';
import type { End } from '../../worksheets/engine/ask.ts';
import { readLine } from '../../worksheets/engine/line.ts';
import type { Amount } from '../../worksheets/engine/notation.ts';
import { nameInWords, nearest, problem } from '../../worksheets/engine/problem.ts';
import { readingUnit, readTyped } from '../../worksheets/engine/readings.ts';
import type { Problem, ReadingValue } from '../../worksheets/engine/types.ts';
import type { Known } from './known.ts';
import type { Reads, Shelf } from './pit.ts';
import { withCorners, withNamesSaid } from './sheet-line.ts';

export interface Told {
  readonly readings: readonly GivenReading[];
  readonly problems: readonly Problem[];
}

/** The names and what was typed for each; `end` puts its word before readings that belong to one end. */
export function namedIn(
  shelf: Shelf,
  line: string,
  end: End | null,
): { readonly typed: ReadonlyMap<string, string>; readonly problems: readonly Problem[] } {
  const facts = [...shelf.reads.keys()];
  const bare = new Set(facts.map((name) => name.replace(/^(?:front|rear)_/, '')));
  const names = [...new Set([...facts, ...bare])];
  const read = readLine(
    withNamesSaid(
      withCorners(line, (name) => facts.includes(name)),
      names,
    ),
    { names, quick: [] },
  );
  const problems = [...read.problems];
  const typed = new Map<string, string>();
  for (const [name, value] of Object.entries(read.options)) {
    const fact = end !== null && shelf.reads.has(`${end}_${name}`) ? `${end}_${name}` : name;
    if (shelf.reads.has(fact)) typed.set(fact, value);
    else {
      const needs = `Say front_${name} or rear_${name}.`;
      problems.push(problem(name, value, needs, `${nameInWords(name)}: of which end? ${needs}`));
    }
  }
  return { typed, problems };
}

/** The fact that was meant: `wheelbase`, "front spring rate", `spring_rate` with its end. */
export function factCalled(shelf: Shelf, written: string, end: End | null, among: Iterable<string> = shelf.reads.keys()): string | Problem {
  const name = written
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_');
  const names = [...among];
  for (const one of end === null ? [name] : [`${end}_${name}`, name]) if (names.includes(one)) return one;
  const like = nearest(name, names);
  const needs = like ? `Did you mean ${like}?` : 'truck show lists what is known.';
  const got = problem(name.slice(0, 60), written, needs, '');
  return { ...got, text: `"${got.got}" is no reading here. ${needs}` };
}

/** One fact as typed → as it is kept. The first sheet that can read it says how; none: the first one says what it needs. */
export function readFact(shelf: Shelf, fact: string, typed: string, known: Known): GivenReading | Problem {
  let slip: Problem | undefined;
  for (const { spec } of shelf.reads.get(fact) ?? []) {
    const read = readTyped(typed, spec, 'given');
    if ('problem' in read) {
      slip ??= { ...read.problem, reading: fact, text: read.problem.text.replace(nameInWords(spec.name), nameInWords(fact)) };
      continue;
    }
    const { value, si, plusMinus, note } = read.known;
    const u = spec.type.kind !== 'number' ? null : plusMinus === undefined ? clauseOf(shelf, fact, known) : plusMinus / Math.sqrt(3);
    return {
      fact,
      name: spec.name,
      typed,
      value: spec.type.kind === 'list' ? value : (si as ReadingValue),
      uncertainty: u === 0 ? null : u,
      unit: readingUnit(spec),
      ...(note === undefined ? {} : { note }),
    };
  }
  return slip ?? problem(fact, typed, 'Ask help for what there is.', `No sheet here asks for ${nameInWords(fact).toLowerCase()}.`);
}

/**
 * What a reading without a ± of its own is off by: the clause of whichever sheet has one, so that it is as sure wherever it is read. A step that is
 * itself a reading (a scale's) is the truck's, or its default.
 */
export function clauseOf(shelf: Shelf, fact: string, known: Known): number | null {
  for (const { spec, sheet, end } of shelf.reads.get(fact) ?? []) {
    const half = spec.step ? ([spec.step, Math.sqrt(12)] as const) : spec.plusMinus ? ([spec.plusMinus, Math.sqrt(3)] as const) : undefined;
    const size = half && amountOf(half[0], { spec, sheet, end }, known);
    if (size !== undefined && size > 0) return size / half![1];
  }
  return null;
}

function amountOf(amount: Amount, { sheet, end }: Reads, known: Known): number | undefined {
  if ('si' in amount) return amount.si;
  const reading = sheet.readings.find(({ slot }) => slot === amount.slot);
  if (!reading) return undefined;
  const name = sheet.ends && end !== null ? `${end}_${reading.name}` : reading.name;
  const typed = known.get(name)?.typed;
  if (typed !== undefined) {
    const read = readTyped(typed, reading, 'truck');
    if ('known' in read && typeof read.known.si === 'number') return read.known.si;
  }
  return typeof reading.default === 'object' ? reading.default.value : undefined;
}
