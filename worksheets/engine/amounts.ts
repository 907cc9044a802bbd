/** Quantities that stand on a sheet's page: a number with its unit, a cell, or a formula. */
import { type CellType, FormulaError, typeInWords } from './formula.ts';
import { nearest } from './problem.ts';
import { readQuantity } from './quantity.ts';
import type { Amount, Desk } from './sheet.ts';
import { type Dims, dimsInWords, kind, kindNames, NONE, sameDims, type Unit, unit } from './units.ts';

/** What a reading's number is, and what a bare number is in. */
export interface Measure {
  readonly kindName: string;
  readonly unit: Unit;
}

const NUMBER = /^[-−+]?[\d.,]+(?:e[-+]?\d+)?/i;

/** `mass in g`; without "in", a bare number is in the unit with which the range starts. */
export function measureOf(what: string, from: string | undefined): Measure {
  const found = /^(.+?)(?:\s+in\s+(\S+))?$/.exec(what)!;
  const kindName = found[1]!;
  const known = kind(kindName);
  if (!known) {
    const like = nearest(kindName, kindNames());
    throw new FormulaError(`there is no kind of reading "${kindName.slice(0, 40)}"${like ? `; did you mean ${like}?` : ''}`);
  }
  const start = from?.replace(NUMBER, '').trim();
  const written = found[2] ?? /^(\D\S*)\s+to\s/.exec(start ?? '')?.[1] ?? (sameDims(known.dims, NONE) ? '1' : undefined);
  const bare = written === undefined || written === 'to' ? undefined : unit(written);
  if (!bare)
    throw new FormulaError(
      written === undefined || written === 'to' ? `say what a bare number is in: ${kindName} in …` : `there is no unit ${written}`,
    );
  if (!sameDims(bare.dims, known.dims)) throw new FormulaError(`${written} is ${dimsInWords(bare.dims)}, not ${kindName}`);
  return { kindName, unit: bare };
}

/** `1 g`, `60 %`, `1`: what it is follows from the unit. */
export function measureOfDefault(written: string, isWhole: boolean): Measure {
  const symbol = written.replace(NUMBER, '').trim();
  const bare = unit(symbol === '' ? '1' : symbol);
  if (!bare) throw new FormulaError(`there is no unit ${symbol}`);
  const kindName =
    bare.symbol === '%'
      ? 'share'
      : sameDims(bare.dims, NONE)
        ? isWhole
          ? 'count'
          : 'number'
        : kindNames().find((name) => sameDims(kind(name)!.dims, bare.dims));
  if (!kindName) throw new FormulaError(`${bare.symbol} is no kind of reading`);
  return { kindName, unit: bare };
}

/** A written quantity, as a bound of a range. */
export function literal(written: string, { kindName, unit: bare }: Measure): number {
  const read = readQuantity(written, { kind: kindName, unit: bare });
  if ('slip' in read) throw new FormulaError(`the range: "${written.slice(0, 40)}" ${read.slip.is}`);
  if (read.ok.plusMinus !== undefined) throw new FormulaError(`the range: "${written.slice(0, 40)}" has a ±`);
  return read.ok.value;
}

/** From … to …, ends included. */
export function rangeOf(written: string, measure: Measure): { readonly min: number; readonly max: number } {
  const range = /^(.+?)\s+to\s+(.+)$/.exec(written);
  if (!range) throw new FormulaError('a range is written "from 10 g to 5 kg"');
  const [min, max] = [literal(range[1]!, measure), literal(range[2]!, measure)];
  if (!(min <= max)) throw new FormulaError('the range ends below its start');
  return { min, max };
}

/**
 * A written quantity, a cell, or a formula. A level is where something stands (a band's end of 20 °C is 293.15 K), a difference how far
 * it goes (a step of 2 °C is 2 K).
 */
export function amountOf(desk: Desk, written: string, { kindName, unit: bare }: Measure, as: 'level' | 'difference'): Amount {
  const dims = bare.dims;
  if (new RegExp(`${NUMBER.source}\\s*[^\\s()*/+]*$`, 'i').test(written)) {
    const isDifference = as === 'difference' && kindName === 'temperature';
    const read = readQuantity(isDifference ? `0 ± ${written}` : written, { kind: kindName, unit: bare });
    if ('ok' in read) return { si: isDifference ? read.ok.plusMinus! : read.ok.value };
  }
  const { slot, type } = slotOf(desk, written);
  if (type.kind !== 'number' || !sameDims(type.dims, dims))
    throw new FormulaError(`"${written}" is ${typeInWords(type)}, not ${dimsInWords(dims)}`);
  return { slot };
}

export const slotOf = ({ build }: Desk, written: string): { readonly slot: number; readonly type: CellType } =>
  build.cell(written) ?? build.unnamed(written);

/** The measure of an answer: temperatures are read as such, everything else by its dimension alone. */
export const measureIn = (shown: Unit): Measure => ({
  kindName: kindNames().find((name) => sameDims(kind(name)!.dims, shown.dims as Dims)) ?? 'number',
  unit: shown,
});
