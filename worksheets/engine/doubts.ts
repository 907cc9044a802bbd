/**
 * What a sheet doubts of a reading: its cautions that ask back ("…: mistyped?") and that rest on this one. They are heard as soon as what they
 * compare is known, also where the sheet lacks too much to answer.
 */
import type { End, Supply } from './ask.ts';
import type { LineSpec, Sheet } from './notation.ts';
import { fillIn } from './readings.ts';
import { sentence } from './sentence.ts';
import { newState, planFor, runAll } from './tape.ts';
import type { Sentence } from './types.ts';

export function doubtsOf(sheet: Sheet, end: End | null, supply: Supply, reading: string): Sentence[] {
  const slot = sheet.readings.find(({ name }) => name === reading)?.slot;
  if (slot === undefined) return [];
  const moved = new Set([slot, ...planFor(sheet.tape, slot)]);
  const asking = sheet.cautions.filter((line) => asksBack(line) && line.when.some((one) => one.kind === 'flag' && moved.has(one.slot)));
  if (asking.length === 0) return [];
  // What is missing is no problem here: what needs it is absent, and a sentence with an absent value is passed over.
  const known = fillIn(sheet, { readings: {}, end }, supply, []);
  const state = newState(sheet.tape);
  for (const { spec, si } of known.values()) {
    if (spec.type.kind === 'number') state.numbers[spec.slot] = si as number;
    else if (spec.type.kind === 'flag') state.numbers[spec.slot] = si ? 1 : 0;
    else state.others[spec.slot] = si;
  }
  runAll(sheet.tape, state, sheet.formulas);
  return asking.map((line) => sentence(line, state, new Map())).filter((made) => made !== undefined);
}

const asksBack = ({ parts }: LineSpec): boolean => {
  const last = parts.at(-1);
  return typeof last === 'string' && last.trimEnd().endsWith('?');
};
