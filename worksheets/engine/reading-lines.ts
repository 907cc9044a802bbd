/** The block of readings → what each reading is, its range, default and uncertainty. */
import { amountOf, measureOf, measureOfDefault, rangeOf } from './amounts.ts';
import { type CellType, FormulaError, type ListType, type PartType } from './formula.ts';
import { type Quantity, readQuantity } from './quantity.ts';
import type { Desk, Line, PartSpec, ReadingSpec, Writable } from './sheet.ts';
import { kind } from './units.ts';

export interface Readings {
  readonly readings: readonly ReadingSpec[];
  readonly exactlyOne: readonly (readonly string[])[];
  /** "step scale_step" may name a reading or a working that stands further down: looked up when all of them are there. */
  readonly lookUp: () => void;
}

/** What every command takes beside its readings. */
const OPTIONS = new Set(['truck', 'end', 'quick', 'more']);

export function readReadings(lines: readonly Line[], desk: Desk): Readings {
  const readings: Writable<ReadingSpec>[] = [];
  const groups: { readonly line: Line; readonly names: readonly string[] }[] = [];
  const later: (() => void)[] = [];
  for (const line of lines) {
    const group = /^exactly one of\s+(.+)$/.exec(line.text);
    if (group) {
      groups.push({ line, names: group[1]!.split(/\s*,\s*/) });
      continue;
    }
    desk.attemptCell(line, () => {
      const found = /^([^\s:]+)\s*:\s*(.+)$/.exec(line.text);
      if (!found) throw new FormulaError('a reading is written "name : what it is"');
      const [name, rest] = [found[1]!, found[2]!];
      if (OPTIONS.has(name)) throw new FormulaError(`a reading may not be called ${name}: every command has an option of that name`);
      if (line.label.length > 80) throw new FormulaError('a label has at most 80 characters');
      const list = /^list of\s+(.+)$/.exec(rest);
      if (list) readings.push(readList(name, list[1]!, line, desk));
      else readings.push(readOne(name, rest, line, desk, later));
    });
  }
  for (const { line, names } of groups) desk.attempt(line, () => bind(names, readings, desk));
  const lookUp = (): void => {
    for (const set of later) set();
  };
  return { readings, exactlyOne: groups.map(({ names }) => names), lookUp };
}

/** `exactly one of a, b`: it is the group that is required, not each of it. */
function bind(names: readonly string[], readings: readonly Writable<ReadingSpec>[], { build }: Desk): void {
  if (names.length < 2 || new Set(names).size < names.length)
    throw new FormulaError('"exactly one of" names two different readings or more');
  for (const name of names) {
    const reading = readings.find((one) => one.name === name);
    if (!reading) throw new FormulaError(`"exactly one of" names ${name}, which is no reading`, build.isBroken(name));
    if (reading.default !== undefined) throw new FormulaError(`${name} has a default, so it is always there: it is no choice`);
    reading.required = false;
  }
}

// ── one reading ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const BARE = ['optional', 'whole', 'chosen'];
/** As many as a chat shows. */
const MOST_CHOICES = 25;
const startsWithNumber = (what: string): boolean => /^[-−+.\d]/.test(what);

/** `what it is`, then clauses in any order. "0 g ± 5 g" is a default with its ±. */
function clausesOf(rest: string): { readonly what: string; readonly clauses: ReadonlyMap<string, string> } {
  const [what, ...written] = rest.split(/\s+(?=(?:step|±|sd|from|optional|whole|chosen|default|said)(?:\s|$))/) as [string, ...string[]];
  if (startsWithNumber(what)) {
    if (written[0]?.startsWith('±')) written[0] = `default ${what} ${written[0]}`;
    else written.unshift(`default ${what}`);
  }
  const clauses = new Map<string, string>();
  for (const one of written) {
    const key = /^\S+/.exec(one)![0];
    const value = one.slice(key.length).trim();
    if (clauses.has(key)) throw new FormulaError(`${key} stands twice`);
    if (BARE.includes(key) && value !== '') throw new FormulaError(`nothing stands behind ${key}; "${value.slice(0, 40)}" is no clause`);
    if (!BARE.includes(key) && value === '') throw new FormulaError(`something is missing behind ${key}`);
    clauses.set(key, value);
  }
  if (clauses.has('optional') && clauses.has('default')) throw new FormulaError('an optional reading has no default');
  return { what, clauses };
}

function readOne(name: string, rest: string, line: Line, desk: Desk, later: (() => void)[]): Writable<ReadingSpec> {
  const { what, clauses } = clausesOf(rest);
  const base = { name, label: line.label, line: line.number, required: !clauses.has('optional') && !clauses.has('default') };
  const written = clauses.get('default');
  const type = wordType(what);
  if (type) {
    for (const key of clauses.keys()) if (key !== 'optional' && key !== 'default') throw new FormulaError(`${key} stands only on a number`);
    const slot = desk.build.reading(name, type);
    return { ...base, type, kind: type.kind, unit: null, slot, ...(written === undefined ? {} : { default: wordOf(written, type) }) };
  }

  const measure = startsWithNumber(what) ? measureOfDefault(what, clauses.has('whole')) : measureOf(what, clauses.get('from'));
  const from = clauses.get('from');
  if (from === undefined) throw new FormulaError('a number has a range: from … to …');
  const number: CellType = { kind: 'number', dims: measure.unit.dims };
  const reading: Writable<ReadingSpec> = {
    ...base,
    type: number,
    kind: measure.kindName,
    unit: measure.unit,
    ...rangeOf(from, measure),
    slot: desk.build.reading(name, number),
  };
  if (clauses.has('whole')) reading.whole = true;
  if (clauses.has('chosen')) reading.chosen = true;
  const said = clauses.get('said');
  if (said !== undefined) reading.said = said.split(/\s*,\s*/);
  if (written !== undefined) reading.default = quantityOf(written, reading);
  const uncertain = [
    ['step', 'step'],
    ['±', 'plusMinus'],
    ['sd', 'sd'],
  ] as const;
  for (const [key, field] of uncertain) {
    const amount = clauses.get(key);
    if (amount === undefined) continue;
    later.push(() => {
      desk.attempt(line, () => {
        reading[field] = amountOf(desk, amount, measure, 'difference');
      });
    });
  }
  return reading;
}

function wordType(what: string): Extract<CellType, { kind: 'choice' | 'flag' | 'text' }> | undefined {
  if (what === 'yes/no') return { kind: 'flag' };
  if (what === 'text') return { kind: 'text' };
  const choices = /^one of\s+(.+)$/.exec(what)?.[1]?.split(/\s*,\s*/);
  if (!choices) return undefined;
  for (const one of choices)
    if (!/^[a-z][a-z0-9_]{0,31}$/.test(one))
      throw new FormulaError(`"${one.slice(0, 40)}" is no choice: small letters, digits and _, at most 32`);
  if (new Set(choices).size < choices.length) throw new FormulaError('a choice stands twice');
  if (choices.length > MOST_CHOICES) throw new FormulaError(`there are at most ${MOST_CHOICES} choices`);
  return { kind: 'choice', choices };
}

function wordOf(written: string, type: Extract<CellType, { kind: 'choice' | 'flag' | 'text' }>): string | boolean {
  if (type.kind === 'text') return written;
  const words = type.kind === 'flag' ? ['yes', 'no'] : type.choices;
  if (!words.includes(written)) throw new FormulaError(`the default is one of ${words.join(', ')}`);
  return type.kind === 'flag' ? written === 'yes' : written;
}

function quantityOf(written: string, reading: ReadingSpec): Quantity {
  const read = readQuantity(written, { ...reading, unit: reading.unit! });
  if ('slip' in read) throw new FormulaError(`the default "${written.slice(0, 40)}" ${read.slip.is}. ${read.slip.needs}`);
  return read.ok;
}

// ── lists ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

function readList(name: string, rest: string, line: Line, desk: Desk): Writable<ReadingSpec> {
  const optional = /\s+optional\b/.test(rest);
  const bound = /\s+(at least|exactly)\s+(\d{1,3})\b/.exec(rest);
  const parts = rest
    .replace(/\s+optional\b/, '')
    .replace(/\s+(at least|exactly)\s+\d{1,3}\b/, '')
    .split(/\s+\/\s+/);
  const specs = parts.map((part) => readPart(part, parts.length > 1));
  if (new Set(specs.map((spec) => spec.name)).size < specs.length) throw new FormulaError('two parts of the list have one name');
  const least = bound ? Number(bound[2]) : 1;
  const item: ListType =
    parts.length > 1 ? { kind: 'row', parts: Object.fromEntries(specs.map((spec) => [spec.name, partType(spec)])) } : partType(specs[0]!);
  const type: CellType = { kind: 'list', item, atLeast: least };
  return {
    name,
    label: line.label,
    line: line.number,
    required: !optional,
    type,
    kind: 'list',
    unit: null,
    parts: specs,
    ...(bound?.[1] === 'exactly' ? { exactly: least } : { atLeast: least }),
    slot: desk.build.reading(name, type),
  };
}

/** `load mass in g from 0 g to 20 kg`, `name text`, `to several length in mm from … to … or off`. */
function readPart(written: string, isNamed: boolean): PartSpec {
  const found = isNamed ? /^([a-z][a-z0-9_]*)\s+(.+)$/.exec(written) : ['', 'item', written];
  if (!found) throw new FormulaError(`"${written.slice(0, 40)}" is no part of a list: write its name, then what it is`);
  const name = found[1]!;
  if (found[2] === 'text') return { name, kind: 'text', unit: null };
  const several = /^several\s+/.test(found[2]!);
  const word = /\s+or\s+([a-z]+)$/.exec(found[2]!)?.[1];
  const what = found[2]!.replace(/^several\s+/, '').replace(/\s+or\s+[a-z]+$/, '');
  const range = /\s+from\s+(.+)$/.exec(what);
  if (!range) throw new FormulaError('a number has a range: from … to …');
  const measure = measureOf(what.slice(0, range.index), range[1]!);
  return {
    name,
    kind: measure.kindName,
    unit: measure.unit,
    ...rangeOf(range[1]!, measure),
    ...(word === undefined ? {} : { word }),
    ...(several ? { several } : {}),
  };
}

function partType(spec: PartSpec): PartType {
  if (spec.kind === 'text') return { kind: 'text' };
  const dims = kind(spec.kind)!.dims;
  const one: PartType = spec.word === undefined ? { kind: 'number', dims } : { kind: 'number or word', dims, word: spec.word };
  return spec.several ? { kind: 'several', of: one } : one;
}
