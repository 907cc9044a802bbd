/** Curves of an answer over one reading, or over a column of a table that a formula gives. */
import type { CurveSpec, Sheet } from './notation.ts';
import { nameInWords } from './problem.ts';
import { copyOf, planFor, runSome, type State, wholeValue } from './tape.ts';
import type { Curve } from './types.ts';
import { amount } from './uncertainty.ts';
import { fromSI } from './units.ts';

export function curveOf(sheet: Sheet, spec: CurveSpec, state: State): Curve | undefined {
  if (spec.table) {
    const whole = wholeValue(state, spec.table.slot, spec.table.field) as Readonly<Record<string, readonly number[]>> | undefined;
    const x = whole?.[spec.table.column];
    if (!whole || !x || x.length < 2) return undefined;
    const columns = spec.answers.map(({ unit, column }) => whole[column!]!.map((value) => fromSI(value, unit!)));
    const over = x.map((value) => fromSI(value, spec.unit!));
    return drawn(sheet, spec, over, columns, null);
  }
  const reading = sheet.readings.find(({ name }) => name === spec.over)!;
  const here = state.numbers[reading.slot]!;
  if (!Number.isFinite(here)) return undefined;
  const places = placesOf(spec, reading, state, sheet.caps.points);
  const plan = planFor(sheet.tape, reading.slot);
  const columns = spec.answers.map((): (number | null)[] => []);
  const varied = copyOf(state);
  for (const at of places) {
    varied.numbers[reading.slot] = at;
    runSome(sheet.tape, varied, sheet.formulas, plan);
    spec.answers.forEach(({ slot, unit }, j) => {
      const value = varied.numbers[slot]!;
      columns[j]!.push(Number.isFinite(value) ? fromSI(value, unit!) : null);
    });
  }
  const x = places.map((at) => fromSI(at, reading.unit!));
  return drawn(sheet, spec, x, columns, fromSI(here, reading.unit!));
}

/** The curve without the answers that have no value at any of its points: what was left out above is left out here too. */
function drawn(
  sheet: Sheet,
  spec: CurveSpec,
  x: readonly number[],
  columns: readonly (readonly (number | null)[])[],
  here: number | null,
): Curve | undefined {
  const there = spec.answers
    .map((one, j) => ({ ...one, values: columns[j]! }))
    .filter(({ values }) => values.some((value) => value !== null));
  if (there.length === 0) return undefined;
  const label = (name: string): string => sheet.answers.find((answer) => answer.name === name)?.label || nameInWords(name);
  return {
    over: spec.over,
    label: nameInWords(spec.over),
    unit: spec.unit?.symbol ?? null,
    x,
    answers: Object.fromEntries(there.map(({ name, values }) => [name, values])),
    units: Object.fromEntries(there.map(({ name, unit }) => [name, unit?.symbol ?? null])),
    labels: Object.fromEntries(there.map(({ name }) => [name, label(name)])),
    here,
  };
}

/** from, from + by, … up to `to`, as far as the reading's range goes. What lies outside it takes none of the points. */
function placesOf(
  spec: CurveSpec,
  { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY }: { readonly min?: number; readonly max?: number },
  state: State,
  most: number,
): number[] {
  const [from, to, by] = [amount(spec.from!, state), amount(spec.to!, state), amount(spec.by!, state)];
  if (!(by > 0) || !(to >= from)) return [];
  // A step that ends on a bound by arithmetic must not miss it by the last bit.
  const first = Math.max(0, Math.ceil((min - from) / by - 1e-9));
  const last = Math.floor((Math.min(to, max) - from) / by + 1e-9);
  const places: number[] = [];
  for (let i = first; i <= last && places.length < most; i += 1) places.push(Math.min(max, Math.max(min, from + i * by)));
  return places;
}
