/** Sentences of a sheet with live values in them: cautions, and the one thing to do next. */
import type { LineSpec } from './notation.ts';
import { type State, wholeValue } from './tape.ts';
import type { Sentence, Verdict } from './types.ts';
import { fromSI } from './units.ts';

/** The sentence when its conditions hold; undefined when they do not, or when a value in it is not there. */
export function sentence(line: LineSpec, state: State, verdicts: ReadonlyMap<string, Verdict | null>): Sentence | undefined {
  for (const condition of line.when) {
    if (condition.kind === 'flag' && state.numbers[condition.slot] !== (condition.not ? 0 : 1)) return undefined;
    if (condition.kind === 'verdict' && verdicts.get(condition.answer) !== condition.is) return undefined;
  }
  const parts: Sentence[number][] = [];
  for (const part of line.parts) {
    if (typeof part === 'string') {
      parts.push(part);
      continue;
    }
    const value = valueIn(part, state);
    if (value === undefined) return undefined;
    parts.push({
      value: part.whole && typeof value === 'number' ? Math.round(value) : value,
      unit: part.unit?.symbol ?? null,
      uncertainty: null,
    });
  }
  return parts;
}

function valueIn(
  { type, slot, field, unit }: Exclude<LineSpec['parts'][number], string>,
  state: State,
): number | string | boolean | undefined {
  if (type.kind === 'number' || type.kind === 'flag') {
    const value = state.numbers[slot]!;
    if (!Number.isFinite(value)) return undefined;
    return type.kind === 'flag' ? value !== 0 : fromSI(value, unit!);
  }
  const value = wholeValue(state, slot, field);
  return typeof value === 'string' ? value : undefined;
}
