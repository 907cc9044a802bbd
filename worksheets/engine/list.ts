/** Reads a list as people write it: items by spaces, semicolons, line ends or a comma and a space; the parts of an item by a slash. */

import { toCamel } from './formula.ts';
import type { PartSpec, ReadingSpec } from './notation.ts';
import { rangeInWords, type Slip } from './problem.ts';
import { PLUS_MINUS, plain, type Reading, readQuantity, tidy } from './quantity.ts';
import type { ListItem } from './types.ts';
import { fromSI } from './units.ts';

const LONGEST = 8000;
const MOST = 200;

export interface ReadList {
  /** For calc: SI, names in camelCase. */
  readonly si: readonly unknown[];
  /** As understood, in the reading's units. */
  readonly shown: readonly ListItem[];
}
/** A slip in a list also says at which place. */
export interface ListSlip extends Slip {
  readonly place: string;
  readonly got: string;
}

export function readList(typed: string, spec: ReadingSpec): { readonly ok: ReadList } | { readonly slip: ListSlip } {
  const parts = spec.parts!;
  const how = `Give ${parts.length > 1 ? `${parts.map(({ name }) => name.replaceAll('_', ' ')).join(' / ')}, one after the other` : 'values separated by spaces'}.`;
  const all = (is: string, needs = how): { readonly slip: ListSlip } => ({ slip: { is, needs, place: '', got: typed } });
  if (typed.length > LONGEST) return all('is too long for a list');
  const items = split(typed, parts);
  if (items.length > MOST) return all('has too many items', `Give ${MOST} at most.`);
  const si: unknown[] = [];
  const shown: ListItem[] = [];
  for (const [i, item] of items.entries()) {
    const at = (slip: Slip): { readonly slip: ListSlip } => ({ slip: { ...slip, place: `, item ${i + 1}`, got: item } });
    if (parts.length === 1) {
      const read = readPart(item, parts[0]!);
      if ('slip' in read) return at(read.slip);
      si.push(read.ok.si);
      shown.push(read.ok.shown as ListItem);
      continue;
    }
    const pieces = item.split('/').map((piece) => piece.trim());
    if (pieces.length !== parts.length)
      return at({
        is: `has ${pieces.length} part${pieces.length === 1 ? '' : 's'}`,
        needs: `Give ${parts.map(({ name }) => name.replaceAll('_', ' ')).join(' / ')}.`,
      });
    const row: Record<string, unknown> = {};
    const rowShown: Record<string, number | string | readonly (number | string)[]> = {};
    for (const [j, part] of parts.entries()) {
      const read = readPart(pieces[j]!, part);
      if ('slip' in read) return at({ ...read.slip, is: `${read.slip.is} (${part.name.replaceAll('_', ' ')})` });
      row[toCamel(part.name)] = read.ok.si;
      rowShown[part.name] = read.ok.shown;
    }
    si.push(row);
    shown.push(rowShown);
  }
  if (spec.exactly !== undefined && items.length !== spec.exactly)
    return all(`has ${items.length} item${items.length === 1 ? '' : 's'}`, `Give ${spec.exactly}.`);
  if (spec.atLeast !== undefined && items.length < spec.atLeast)
    return all(
      items.length === 0 ? 'is empty' : `has ${items.length} item${items.length === 1 ? '' : 's'}`,
      `Give at least ${spec.atLeast}.`,
    );
  return { ok: { si, shown } };
}

/** Rows with their columns in the order of the sheet: JSON that was kept with its keys sorted has lost it. */
export function inColumns(items: readonly ListItem[], { parts }: Pick<ReadingSpec, 'parts'>): readonly ListItem[] {
  return items.map((item): ListItem => {
    if (typeof item !== 'object' || parts === undefined) return item;
    const known = parts.filter(({ name }) => name in item).map(({ name }) => [name, item[name]!] as const);
    return known.length === Object.keys(item).length ? Object.fromEntries(known) : item;
  });
}

/** Items in order. A list whose rows start with a name is cut at semicolons and line ends only, since names have spaces. */
function split(typed: string, parts: readonly PartSpec[]): string[] {
  const lines = typed.split(/[;\r\n]+/);
  if (parts.some((part) => part.kind === 'text' || part.several))
    return lines.map((line) => tidy(line).replace(/,$/, '').trim()).filter(Boolean);
  const items: string[] = [];
  for (const chunk of lines.flatMap((line) => plain(line).split(/,(?:\s+|$)/))) {
    // A ± must not fall apart into items: it is refused as what it is.
    const joined = chunk
      .split(PLUS_MINUS)
      .join('±')
      .replace(/\s*\/\s*/g, '/');
    for (const token of joined.split(' ').filter(Boolean)) {
      // "500 g/71.2 mm": a unit belongs to the number before it.
      if (items.length > 0 && /^[a-z°%"'µμΩ±]/i.test(token) && !/^(?:e|inf|nan)/i.test(token)) items[items.length - 1] += ` ${token}`;
      else items.push(token);
    }
  }
  return items;
}

function readPart(written: string, part: PartSpec): Reading<{ si: unknown; shown: number | string | readonly (number | string)[] }> {
  if (part.kind === 'text') {
    const text = [...written].slice(0, 60).join('').trim();
    return text === '' ? { slip: { is: 'has no name', needs: 'Give one.' } } : { ok: { si: text, shown: text } };
  }
  if (part.several) {
    const si: unknown[] = [];
    const shown: (number | string)[] = [];
    for (const one of written.split(' ').filter(Boolean)) {
      const read = readPart(one, { ...part, several: false });
      if ('slip' in read) return read;
      si.push(read.ok.si);
      shown.push(read.ok.shown as number | string);
    }
    return si.length === 0 ? { slip: { is: 'is empty', needs: 'Give at least one.' } } : { ok: { si, shown } };
  }
  if (part.word !== undefined && plain(written).toLowerCase() === part.word) return { ok: { si: part.word, shown: part.word } };
  const range = { ...(part.min === undefined ? {} : { min: part.min }), ...(part.max === undefined ? {} : { max: part.max }) };
  if (PLUS_MINUS.test(plain(written)))
    return { slip: { is: 'has a ±', needs: `List items carry none: give ${rangeInWords(part.min, part.max, part.unit!)}.` } };
  const read = readQuantity(written, { kind: part.kind, unit: part.unit!, ...range, item: true });
  if ('slip' in read) return read;
  return { ok: { si: read.ok.value, shown: read.ok.written ?? fromSI(read.ok.value, part.unit!) } };
}
