/**
 * One name is one fact, on every sheet: a reading that was not typed is the truck's fact of that name, or else what another sheet answers
 * under that name from the truck's facts. That answer is computed afresh each time, never stored.
 */
import { type Contributions, type End, factName, type Supplied, type Supply, work } from './ask.ts';
import type { Sheet } from './notation.ts';

/** A truck's facts, as typed, by name (`front_spring_rate`). */
export type Facts = ReadonlyMap<string, string>;

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

/** The supply of one truck. Answers are kept while one question is worked on; a circle of sheets ends where it would start again. */
export function supplyFrom(facts: Facts, answering: ReadonlyMap<string, readonly Answering[]>): Supply {
  const made = new Map<string, ReadonlyMap<string, { readonly value: number; readonly contributions: Contributions }>>();
  const open = new Set<string>();
  const supply =
    (asking: Sheet | null): Supply =>
    (fact): Supplied | undefined => {
      const typed = facts.get(fact);
      if (typed !== undefined) return { from: 'truck', typed };
      for (const { sheet, end, answer } of answering.get(fact) ?? []) {
        if (sheet === asking) continue;
        const key = `${sheet.name} ${end ?? ''}`;
        if (open.has(key)) continue;
        let values = made.get(key);
        if (!values) {
          open.add(key);
          const outcome = work(sheet, { readings: {}, end }, supply(sheet));
          open.delete(key);
          values = 'answer' in outcome && restsOnFacts(outcome.answer.readings) ? outcome.values : new Map();
          // What a circle cut short is not kept: asked from elsewhere it may have an answer.
          if (open.size === 0 || values.size > 0) made.set(key, values);
        }
        const value = values.get(answer);
        if (value) return { from: 'sheet', sheet: sheet.name, ...value };
      }
      return undefined;
    };
  return supply(null);
}

/** An answer made of defaults alone says nothing of this truck. */
const restsOnFacts = (readings: readonly { readonly from: string }[]): boolean =>
  readings.some(({ from }) => from === 'truck' || from === 'sheet');
