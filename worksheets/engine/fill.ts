/**
 * One name is one fact, on every sheet: a reading that was not typed is the truck's fact of that name, or else what another sheet answers
 * under that name from the truck's facts. That answer is computed afresh each time, never stored.
 */
import { type End, factName, type Outcome, type Supplied, type Supply, work } from './ask.ts';
import type { ReadingSpec, Sheet } from './notation.ts';
import { planFor } from './tape.ts';
import type { Problems } from './types.ts';

/** A truck's facts by name (`front_spring_rate`): as typed, and the standard uncertainty (SI) with which they were measured, where it is known. */
export type Facts = ReadonlyMap<string, string | { readonly typed: string; readonly uncertainty: number | null }>;

interface Answering {
  readonly sheet: Sheet;
  readonly end: End | null;
  readonly answer: string;
}

/** Which sheets answer which fact; built once for a shelf of sheets. */
export function whoAnswers(sheets: Iterable<Sheet>): ReadonlyMap<string, readonly Answering[]> {
  const by = new Map<string, Answering[]>();
  for (const sheet of sheets) {
    for (const end of sheet.ends ? (['front', 'rear'] as const) : [null]) {
      for (const { name, type, planned } of sheet.answers) {
        const fact = factName(name, sheet, end);
        if (fact === null || type.kind !== 'number' || planned) continue;
        const list = by.get(fact);
        if (list) list.push({ sheet, end, answer: name });
        else by.set(fact, [{ sheet, end, answer: name }]);
      }
    }
  }
  return by;
}

type Values = Outcome['values'];
interface Made {
  readonly values: Values;
  /** Every sheet that was worked out, or looked at, for it. */
  readonly visited: ReadonlySet<string>;
  /** The outermost place in `open` at which a circle was cut meanwhile; Infinity: at none further out than its own. */
  readonly cut: number;
}

/**
 * The supply of one truck. Answers are kept while one question is worked on. A circle of sheets is cut where it would start again, so what
 * was worked out inside a circle depends on where the circle was entered: it holds only while the sheet is open at which it was cut, and
 * what was worked out from outside is not put inside. So an answer is the same in whatever order a sheet asks for its readings.
 */
export function supplyFrom(facts: Facts, answering: ReadonlyMap<string, readonly Answering[]>): Supply {
  const settled = new Map<string, Made>();
  const passing = new Map<string, Made>();
  const open: string[] = [];
  let cut = Number.POSITIVE_INFINITY;
  let visited = new Set<string>();

  function valuesOf(sheet: Sheet, end: End | null): Values | undefined {
    const key = `${sheet.name} ${end ?? ''}`;
    const place = open.indexOf(key);
    if (place >= 0) {
      cut = Math.min(cut, place);
      return undefined;
    }
    const known = settled.get(key);
    const made = known && !open.some((one) => known.visited.has(one)) ? known : (passing.get(key) ?? workOut(key, sheet, end));
    cut = Math.min(cut, made.cut);
    for (const one of made.visited) visited.add(one);
    return made.values;
  }

  function workOut(key: string, sheet: Sheet, end: End | null): Made {
    const outside = { cut, visited };
    [cut, visited] = [Number.POSITIVE_INFINITY, new Set([key])];
    open.push(key);
    const values = restingOnFacts(sheet, work(sheet, { readings: {}, end }, supply, { curves: false }));
    open.pop();
    const own = open.length;
    for (const [other, { cut: at }] of passing) if (at >= own) passing.delete(other);
    const made = { values, visited, cut: cut >= own ? Number.POSITIVE_INFINITY : cut };
    (made.cut === Number.POSITIVE_INFINITY ? settled : passing).set(key, made);
    ({ cut, visited } = outside);
    return made;
  }

  function supply(fact: string, _: ReadingSpec, asking: Sheet): Supplied | undefined {
    const known = facts.get(fact);
    if (known !== undefined) return typeof known === 'string' ? { from: 'truck', typed: known } : { from: 'truck', ...known };
    for (const { sheet, end, answer } of answering.get(fact) ?? []) {
      const value = sheet === asking ? undefined : valuesOf(sheet, end)?.get(answer);
      if (value) return { from: 'sheet', sheet: sheet.name, ...value };
    }
    return undefined;
  }
  return supply;
}

/** The answers that say something of this truck: one made of defaults alone does not. */
function restingOnFacts(sheet: Sheet, outcome: Outcome | Problems): Values {
  if (!('answer' in outcome)) return new Map();
  const rests = new Set(outcome.answer.readings.filter(({ from }) => from === 'truck' || from === 'sheet').map(({ name }) => name));
  const reached = new Set<number>();
  for (const { name, slot } of sheet.readings)
    if (rests.has(name)) for (const cell of [slot, ...planFor(sheet.tape, slot)]) reached.add(cell);
  const slotOf = new Map(sheet.answers.map(({ name, slot }) => [name, slot]));
  return new Map([...outcome.values].filter(([name]) => reached.has(slotOf.get(name)!)));
}
