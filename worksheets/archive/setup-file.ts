/**
 * A setup as a file that goes to another archive and comes back: JSON (docs/setup.schema.json says what stands in it) and a page of Markdown
 * in the notation of the sheets. Both hold the same and come back without loss. Readings are told as they were typed and are read again where
 * they arrive, so a file can say nothing that a member could not have typed. No name and no id of a member goes along.
 */
import { parse as parseYaml, stringify as yaml } from 'yaml';
import type { Problem } from '../engine/types.ts';
import { fromSI, unit } from '../engine/units.ts';
import { isStorable } from './canonical.ts';
import { HOWS } from './facts.ts';
import { MOST, nameKey } from './names.ts';
import { MOST_PARTS } from './parts-list.ts';
import type { SetupRun } from './runs-types.ts';
import { echo } from './sentences.ts';
import type { End, How, SetupDoc, SetupPart } from './types.ts';
import { keptPicture, PICTURE } from './webp.ts';

export const SETUP_FORMAT = 'dustsheet-setup/1';

export interface FileFact {
  readonly fact: string;
  readonly typed: string;
  readonly how: How;
  /** ISO 8601, UTC. */
  readonly at: string;
  /** Standard uncertainty, SI. */
  readonly uncertainty?: number;
  readonly said?: string;
  readonly note?: string;
  readonly sheet?: string;
  readonly end?: 'front' | 'rear';
}
export interface FileSheet {
  readonly sheet: string;
  readonly end?: 'front' | 'rear';
  readonly at: string;
  /** As typed, by the reading's name. */
  readonly readings: Readonly<Record<string, string>>;
}
/** A run as a member noted it: its line is read again where it arrives. */
export interface FileRun {
  readonly at: string;
  readonly typed: string;
  readonly track?: string;
}
export interface SetupFile {
  readonly format: typeof SETUP_FORMAT;
  readonly name: string;
  readonly truck: string;
  readonly saved: string;
  readonly notes: string;
  readonly tags: readonly string[];
  readonly conditions: Readonly<Partial<Record<ConditionName, string>>>;
  readonly facts: readonly FileFact[];
  /** The parts list, SI; absent where there is none. */
  readonly parts?: readonly SetupPart[];
  readonly sheets: readonly FileSheet[];
  /** WebP in Base64 (RFC 4648, 4); absent where there is none. */
  readonly pictures?: readonly string[];
  /** Oldest first; absent where there is none. */
  readonly runs?: readonly FileRun[];
}
export const CONDITIONS = ['track', 'surface', 'grip', 'temperature', 'wind'] as const;
type ConditionName = (typeof CONDITIONS)[number];

/** Four pictures in Base64, and words. */
export const MOST_FILE_BYTES = 2 * 1024 * 1024;
const MOST_HEAD = 64 * 1024;
const MOST_FACTS = 1000;
const MOST_SHEETS = 200;
const WORD = /^[a-z][a-z0-9_]{0,63}$/;
const TIME = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z$/;

const iso = (at: number): string => new Date(at).toISOString();

/** `pictures`: those whose hashes stand in `doc`. `runs`: with those of its truck since then. */
export function setupFile(doc: SetupDoc, pictures: readonly Uint8Array[] = [], runs: readonly SetupRun[] = doc.runs ?? []): SetupFile {
  const { temperature, ...conditions } = doc.conditions ?? {};
  return {
    format: SETUP_FORMAT,
    name: doc.name,
    truck: doc.truck,
    saved: iso(doc.at),
    notes: doc.notes,
    tags: doc.tags,
    conditions: { ...conditions, ...(temperature ? { temperature: temperature.typed } : {}) },
    facts: doc.facts.map(({ fact, typed, how, at, uncertainty, said, note, sheet, end }) => ({
      fact,
      typed,
      how: how ?? 'measured',
      at: iso(at),
      ...(uncertainty === null ? {} : { uncertainty }),
      ...(said === undefined ? {} : { said }),
      ...(note === undefined ? {} : { note }),
      ...(sheet === null ? {} : { sheet }),
      ...(end === null ? {} : { end }),
    })),
    ...(doc.parts && doc.parts.length > 0 ? { parts: doc.parts } : {}),
    sheets: doc.sheets.map(({ sheet, end, at, readings }) => ({
      sheet,
      ...(end === null ? {} : { end }),
      at: iso(at),
      readings: Object.fromEntries(readings.map(({ name, typed }) => [name, typed])),
    })),
    ...(pictures.length === 0 ? {} : { pictures: pictures.map((bytes) => Buffer.from(bytes).toString('base64')) }),
    ...(runs.length === 0
      ? {}
      : { runs: runs.map(({ at, typed, track }) => ({ at: iso(at), typed, ...(track === null ? {} : { track }) })) }),
  };
}

export const picturesIn = ({ pictures = [] }: SetupFile): readonly Uint8Array[] => pictures.map((text) => Buffer.from(text, 'base64'));

export const setupJson = (file: SetupFile): string => `${JSON.stringify(file, null, 2)}\n`;

/** Every number of a setup, one a line, for a table: unrounded, in the unit beside it; ± with k = 2. RFC 4180. */
export function setupCsv(doc: SetupDoc): string {
  const rows: (string | number)[][] = [['kind', 'sheet', 'end', 'name', 'value', 'unit', 'plus_minus']];
  for (const { fact, name, sheet, value, uncertainty, unit: symbol, ...asked } of doc.facts) {
    // Told to the truck, a reading of one end has it in its name.
    const [, told, bare] = /^(front|rear)_(.+)$/.exec(fact) ?? [];
    const end = asked.end ?? (bare === name ? told : undefined);
    const of = symbol === null ? undefined : unit(symbol);
    if (typeof value !== 'number') continue;
    const off = uncertainty === null ? '' : (2 * uncertainty) / (of?.factor ?? 1);
    rows.push(['reading', sheet ?? '', end ?? '', name, of ? fromSI(value, of) : value, symbol ?? '', off]);
  }
  for (const { sheet, end, answer } of doc.sheets)
    for (const { name, value, unit: symbol, uncertainty } of answer.answers)
      if (typeof value === 'number') rows.push(['answer', sheet, end ?? '', name, value, symbol ?? '', uncertainty ?? '']);
  const cell = (value: string | number): string =>
    /[",\r\n]/.test(String(value)) ? `"${String(value).replaceAll('"', '""')}"` : String(value);
  return rows.map((row) => `${row.map(cell).join(',')}\r\n`).join('');
}

// ── reading ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** What is wrong, at which place: it stops the reading, and nothing of the file is used. */
class Slip extends Error {
  constructor(
    readonly place: string,
    readonly got: string | null,
    readonly needs: string,
  ) {
    super(needs);
  }
}

export type ReadFile = { readonly file: SetupFile } | { readonly problem: Problem };

/** A file that came back, in either spelling. Whatever is in it: a file or one sentence, never a throw. */
export function readSetupFile(text: string): ReadFile {
  try {
    if (Buffer.byteLength(text) > MOST_FILE_BYTES)
      throw new Slip('The file', null, `It is too large. Give at most ${MOST_FILE_BYTES / 1024 / 1024} MiB.`);
    if (!isStorable(text)) throw new Slip('The file', null, 'It holds a broken character that cannot be kept. Export it again.');
    const whole = text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n');
    if (whole.trim() === '') throw new Slip('The file', null, 'It is empty. Give one that setup export has made.');
    return { file: checked(/^\s*\{/.test(whole) ? fromJson(whole) : fromMarkdown(whole)) };
  } catch (error) {
    if (!(error instanceof Slip)) throw error;
    const { place, got, needs } = error;
    const text = got === null ? `${place}: ${needs}` : `${place}: "${echo(got)}" does not fit. ${needs}`;
    return { problem: { reading: 'text', got: got === null ? null : echo(got), needs, text } };
  }
}

function fromJson(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch (error) {
    const at = /position (\d+)/.exec((error as Error).message)?.[1];
    const before = text.slice(0, at === undefined ? text.length : Number(at)).split('\n');
    throw new Slip(`Line ${before.length}, sign ${before.at(-1)!.length + 1}`, null, 'Here it ceases to be JSON. Is the file whole?');
  }
}

type Fields = Readonly<Record<string, unknown>>;

function fields(value: unknown, place: string, allowed: readonly string[]): Fields {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) throw new Slip(place, shown(value), 'Give names with values.');
  const strange = Object.keys(value).find((key) => !allowed.includes(key));
  if (strange !== undefined) throw new Slip(place, strange, `There is ${allowed.join(', ')}.`);
  return value as Fields;
}
const shown = (value: unknown): string => (typeof value === 'string' ? value : (JSON.stringify(value)?.slice(0, 100) ?? 'nothing'));

function textOf(value: unknown, place: string, most: number, least = 0): string {
  if (typeof value !== 'string') throw new Slip(place, value === undefined ? null : shown(value), 'Give a text.');
  if (!isStorable(value)) throw new Slip(place, value, 'It holds a broken character that cannot be kept.');
  const length = [...value].length;
  if (length > most || value.trim().length < least)
    throw new Slip(place, value, `Give ${least === 0 ? 'at most' : `${least} to`} ${most} characters.`);
  return value;
}
function wordOf(value: unknown, place: string): string {
  if (typeof value !== 'string' || !WORD.test(value)) throw new Slip(place, shown(value), 'Give a name of small letters, digits and "_".');
  return value;
}
function timeOf(value: unknown, place: string): string {
  const at = typeof value === 'string' && TIME.test(value) ? new Date(value) : undefined;
  if (!at || Number.isNaN(at.getTime()) || at.toISOString() !== value)
    throw new Slip(place, shown(value), 'Give a time like 2026-06-14T09:00:00.000Z.');
  return value as string;
}
function endOf(value: unknown, place: string): End {
  if (value === undefined) return null;
  if (value !== 'front' && value !== 'rear') throw new Slip(place, shown(value), 'Give front or rear.');
  return value;
}
function listOf(value: unknown, place: string, most: number): readonly unknown[] {
  if (!Array.isArray(value)) throw new Slip(place, value === undefined ? null : shown(value), 'Give a list.');
  if (value.length > most) throw new Slip(place, String(value.length), `Give at most ${most}.`);
  return value;
}

const FILE = ['format', 'name', 'truck', 'saved', 'notes', 'tags', 'conditions', 'facts', 'parts', 'sheets', 'pictures', 'runs'] as const;

function checked(value: unknown): SetupFile {
  const format = typeof value === 'object' && value !== null && Object.hasOwn(value, 'format') ? (value as Fields).format : undefined;
  if (format !== SETUP_FORMAT)
    throw new Slip('format', format === undefined ? null : shown(format), `Give ${SETUP_FORMAT}, which is what this version reads.`);
  const file = fields(value, 'The file', FILE);
  const conditions = fields(file.conditions ?? {}, 'conditions', CONDITIONS);
  const facts = listOf(file.facts, 'facts', MOST_FACTS).map((fact, i) => factOf(fact, `facts[${i}]`));
  const sheets = listOf(file.sheets, 'sheets', MOST_SHEETS).map((sheet, i) => sheetOf(sheet, `sheets[${i}]`));
  const parts = listOf(file.parts ?? [], 'parts', MOST_PARTS).map((part, i) => partOf(part, `parts[${i}]`));
  twice(parts, ({ name }) => nameKey(name), 'parts');
  const pictures = listOf(file.pictures ?? [], 'pictures', PICTURE.each).map((one, i) => pictureOf(one, `pictures[${i}]`));
  if (new Set(pictures).size < pictures.length) throw new Slip('pictures', null, 'The same stands twice. Give it once.');
  const runs = listOf(file.runs ?? [], 'runs', MOST.runs).map((one, i) => runOf(one, `runs[${i}]`));
  twice(facts, ({ fact }) => fact, 'facts');
  twice(sheets, ({ sheet, end }) => `${sheet} ${end ?? ''}`.trim(), 'sheets');
  if (sheets.length === 0) throw new Slip('sheets', null, 'Give at least one.');
  return {
    format: SETUP_FORMAT,
    name: textOf(file.name, 'name', MOST.name, 1),
    truck: textOf(file.truck, 'truck', MOST.name, 1),
    saved: timeOf(file.saved, 'saved'),
    notes: textOf(file.notes ?? '', 'notes', MOST.notes),
    tags: listOf(file.tags ?? [], 'tags', MOST.tags).map((tag, i) => textOf(tag, `tags[${i}]`, MOST.tag, 1)),
    conditions: Object.fromEntries(
      Object.entries(conditions).map(([name, text]) => [name, textOf(text, `conditions.${name}`, MOST.name, 1)]),
    ),
    facts,
    ...(parts.length === 0 ? {} : { parts }),
    sheets,
    ...(pictures.length === 0 ? {} : { pictures }),
    ...(runs.length === 0 ? {} : { runs }),
  };
}

const PART = ['name', 'count', 'typed', 'mass', 'uncertainty', 'place', 'places', 'sprung', 'axle', 'role', 'note'] as const;
const ROLES = ['tyre', 'rim', 'pack', 'turns'] as const;

/** What `truck parts` would take: the same bounds. */
function partOf(value: unknown, place: string): SetupPart {
  const part = fields(value, place, PART);
  const number = (name: (typeof PART)[number], low: number, high: number): number => {
    const got = part[name];
    if (typeof got !== 'number' || !(got >= low && got <= high))
      throw new Slip(`${place}.${name}`, shown(got), `Give a number, ${low} to ${high}.`);
    return got;
  };
  const where = (got: unknown, at: string): number | 'off' => {
    if (got !== 'off' && !(typeof got === 'number' && got >= -0.5 && got <= 2))
      throw new Slip(at, shown(got), 'Give m behind the front axle, -0.5 to 2, or off.');
    return got;
  };
  const oneOf = <T extends string>(name: (typeof PART)[number], choices: readonly T[]): T | null => {
    const got = part[name] ?? null;
    const found = choices.find((choice) => choice === got);
    if (got !== null && found === undefined) throw new Slip(`${place}.${name}`, shown(got), `Give ${choices.join(', ')} or nothing.`);
    return found ?? null;
  };
  const count = number('count', 1, 100);
  if (!Number.isInteger(count)) throw new Slip(`${place}.count`, shown(count), 'Give a whole number.');
  if (typeof part.sprung !== 'boolean') throw new Slip(`${place}.sprung`, shown(part.sprung), 'Give true or false.');
  return {
    name: textOf(part.name, `${place}.name`, MOST.name, 1),
    count,
    typed: textOf(part.typed, `${place}.typed`, MOST.typed, 1),
    mass: number('mass', 1e-4, 5),
    uncertainty: (part.uncertainty ?? null) === null ? null : number('uncertainty', 0, 5),
    place: (part.place ?? null) === null ? null : where(part.place, `${place}.place`),
    places: listOf(part.places ?? [], `${place}.places`, 50).map((one, i) => where(one, `${place}.places[${i}]`)),
    sprung: part.sprung,
    axle: oneOf('axle', ['front', 'rear'] as const),
    role: oneOf('role', ROLES),
    note: textOf(part.note ?? '', `${place}.note`, MOST.notes),
  };
}

function runOf(value: unknown, place: string): FileRun {
  const run = fields(value, place, ['at', 'typed', 'track']);
  return {
    at: timeOf(run.at, `${place}.at`),
    typed: textOf(run.typed, `${place}.typed`, MOST.notes, 1),
    ...(run.track === undefined ? {} : { track: textOf(run.track, `${place}.track`, MOST.name, 1) }),
  };
}

/** It is kept as it comes, so it has to be what the house itself makes, to the last byte. */
function pictureOf(value: unknown, place: string): string {
  if (typeof value !== 'string') throw new Slip(place, value === undefined ? null : shown(value), 'Give WebP in Base64.');
  const bytes = Buffer.from(value, 'base64');
  if (bytes.toString('base64') !== value) throw new Slip(place, value, 'It is not Base64. Is the file whole?');
  if (keptPicture(bytes) === null) throw new Slip(place, null, NO_PICTURE);
  return value;
}
/** Also of one that cannot be opened. */
export const NO_PICTURE = `It is no picture as setup export writes it: lossy WebP, plain, at most ${PICTURE.bytes / 1024} KiB and ${PICTURE.side} pixels.`;

function twice<T>(list: readonly T[], key: (one: T) => string, place: string): void {
  const seen = new Set<string>();
  for (const [i, one] of list.entries()) {
    if (seen.has(key(one))) throw new Slip(`${place}[${i}]`, key(one), 'Give it once.');
    seen.add(key(one));
  }
}

function factOf(value: unknown, place: string): FileFact {
  const fact = fields(value, place, ['fact', 'typed', 'how', 'at', 'uncertainty', 'said', 'note', 'sheet', 'end']);
  const how = HOWS.find((one) => one === fact.how);
  if (!how) throw new Slip(`${place}.how`, shown(fact.how), `Give ${HOWS.join(', ')}.`);
  const { uncertainty } = fact;
  if (uncertainty !== undefined && !(typeof uncertainty === 'number' && uncertainty >= 0 && uncertainty < Number.POSITIVE_INFINITY))
    throw new Slip(`${place}.uncertainty`, shown(uncertainty), 'Give a number, 0 or more.');
  const end = endOf(fact.end, `${place}.end`);
  return {
    fact: wordOf(fact.fact, `${place}.fact`),
    typed: textOf(fact.typed, `${place}.typed`, MOST.typed, 1),
    how,
    at: timeOf(fact.at, `${place}.at`),
    ...(uncertainty === undefined ? {} : { uncertainty: uncertainty as number }),
    ...(fact.said === undefined ? {} : { said: textOf(fact.said, `${place}.said`, MOST.typed) }),
    ...(fact.note === undefined ? {} : { note: textOf(fact.note, `${place}.note`, MOST.notes) }),
    ...(fact.sheet === undefined ? {} : { sheet: wordOf(fact.sheet, `${place}.sheet`) }),
    ...(end === null ? {} : { end }),
  };
}

function sheetOf(value: unknown, place: string): FileSheet {
  const sheet = fields(value, place, ['sheet', 'end', 'at', 'readings']);
  const { readings } = sheet;
  if (typeof readings !== 'object' || readings === null || Array.isArray(readings))
    throw new Slip(`${place}.readings`, shown(readings), 'Give names with values.');
  const end = endOf(sheet.end, `${place}.end`);
  const named = Object.entries(readings);
  if (named.length > 200) throw new Slip(`${place}.readings`, String(named.length), 'Give at most 200.');
  return {
    sheet: wordOf(sheet.sheet, `${place}.sheet`),
    ...(end === null ? {} : { end }),
    at: timeOf(sheet.at, `${place}.at`),
    readings: Object.fromEntries(
      named.map(([name, typed]) => [wordOf(name, `${place}.readings`), textOf(typed, `${place}.readings.${name}`, MOST.typed, 1)]),
    ),
  };
}

// ── Markdown ────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** A string of JSON in which no "--" stands, so that the " -- " of a line is always its own. */
const quoted = (text: string): string => JSON.stringify(text).replace(/--/g, '\\u002d\\u002d').replace(/`/g, '\\u0060');
const PLAIN = /^[^\s"`](?:[^\n`]*[^\s`])?$/;
const valueLine = (text: string): string => (PLAIN.test(text) && !/--|[\p{Cc}\u2028\u2029\u0085]/u.test(text) ? text : quoted(text));

export function setupMarkdown({
  format,
  name,
  truck,
  saved,
  notes,
  tags,
  conditions,
  facts,
  parts = [],
  sheets,
  pictures = [],
  runs = [],
}: SetupFile): string {
  // Quoted throughout: unquoted, "no", "1e3" and "24:10" would come back as something else.
  const head = yaml(
    { format, name, truck, saved, tags, conditions, notes, holds: holdsOf({ facts, parts, sheets, pictures, runs }) },
    { defaultStringType: 'QUOTE_DOUBLE', defaultKeyType: 'PLAIN', lineWidth: 0 },
  );
  const factLine = ({ fact, typed, how, at, uncertainty, said, note, sheet, end }: FileFact): string => {
    const about = [
      how,
      at,
      ...(sheet === undefined ? [] : [`sheet ${sheet}`]),
      ...(end === undefined ? [] : [`end ${end}`]),
      ...(uncertainty === undefined ? [] : [`u ${uncertainty}`]),
      ...(said === undefined ? [] : [`said ${quoted(said)}`]),
      ...(note === undefined ? [] : [`note ${quoted(note)}`]),
    ];
    return `${fact} : ${valueLine(typed)} -- ${about.join(', ')}`;
  };
  // Named as the list in a chat is, numbers in SI: kg, m behind the front axle.
  const partLine = ({ name: part, count, typed, mass, uncertainty, place, places, sprung, axle, role, note }: SetupPart): string => {
    const about = [
      `name ${quoted(part)}`,
      `count ${count}`,
      `mass ${mass}`,
      ...(uncertainty === null ? [] : [`u ${uncertainty}`]),
      ...(place === null ? [] : [`at ${place}`]),
      ...(places.length === 0 ? [] : [`places ${places.join('/')}`]),
      ...(sprung ? [] : ['unsprung']),
      ...(axle === null ? [] : [`axle ${axle}`]),
      ...(role === null ? [] : [`role ${role}`]),
      ...(note === '' ? [] : [`note ${quoted(note)}`]),
    ];
    return `part : ${valueLine(typed)} -- ${about.join(', ')}`;
  };
  const partBlock = parts.length === 0 ? [] : ['```parts', ...parts.map(partLine), '```', ''];
  const blocks = sheets.map(({ sheet, end, at, readings }) =>
    [
      `\`\`\`sheet ${sheet}${end === undefined ? '' : ` ${end}`} ${at}`,
      ...Object.entries(readings).map(([reading, typed]) => `${reading} : ${valueLine(typed)}`),
      '```',
    ].join('\n'),
  );
  const runLine = ({ at, typed, track }: FileRun): string =>
    `${at} : ${valueLine(typed)}${track === undefined ? '' : ` -- track ${quoted(track)}`}`;
  const runBlock = runs.length === 0 ? [] : ['```runs', ...runs.map(runLine), '```', ''];
  return [
    '---',
    head.trimEnd(),
    '---',
    '',
    '```facts',
    ...facts.map(factLine),
    '```',
    '',
    ...partBlock,
    blocks.join('\n\n'),
    '',
    ...runBlock,
    ...pictures.flatMap(imageLine),
  ].join('\n');
}

/** "31 facts, 9 sheets, 2 runs": a page that was cut between two blocks would look whole. */
const holdsOf = (of: Readonly<Record<'facts' | 'parts' | 'sheets' | 'pictures' | 'runs', readonly unknown[]>>): string =>
  Object.entries(of)
    .flatMap(([what, { length }]) => (length === 0 ? [] : [`${length} ${length === 1 ? what.slice(0, -1) : what}`]))
    .join(', ');

/** A picture as any reader of Markdown shows it (RFC 2397). */
const imageLine = (base64: string, i: number): string[] => [`![Picture ${i + 1}](data:image/webp;base64,${base64})`, ''];
const IMAGE = /^!\[[^\]\n]{0,100}\]\(data:([^,)]{0,100}),([^)]*)\)$/;

function fromMarkdown(text: string): unknown {
  const lines = text.split('\n');
  let at = 0;
  while (lines[at]?.trim() === '') at += 1;
  if (lines[at]?.trim() !== '---') throw new Slip(`Line ${at + 1}`, lines[at] ?? '', 'A setup begins with "{" or with "---".');
  const end = lines.findIndex((line, i) => i > at && line.trim() === '---');
  if (end < 0) throw new Slip(`Line ${lines.length}`, null, 'The head has no end: a second "---" is missing. Is the file whole?');
  // Pages from before it was written have none, and who takes a block out by hand may take it out too.
  const { holds, ...head } = headOf(lines.slice(at + 1, end).join('\n'), at + 2) as { readonly holds?: unknown };
  const facts: unknown[] = [];
  const parts: unknown[] = [];
  const sheets: unknown[] = [];
  const pictures: unknown[] = [];
  const runs: unknown[] = [];
  for (let i = end + 1; i < lines.length; i += 1) {
    const line = lines[i]!.trim();
    if (line === '') continue;
    const image = IMAGE.exec(line);
    if (image) {
      if (image[1] !== 'image/webp;base64') throw new Slip(`Line ${i + 1}`, image[1]!, 'Give image/webp;base64.');
      pictures.push(image[2]!);
      continue;
    }
    const open = /^```(\S+)(.*)$/.exec(line);
    if (!open) throw new Slip(`Line ${i + 1}`, line, 'Give a block of facts, of parts, of a sheet or of runs, or a picture.');
    const begin = i + 1;
    let close = begin;
    while (close < lines.length && lines[close]!.trim() !== '```') close += 1;
    if (close === lines.length)
      throw new Slip(`Line ${lines.length}`, null, 'The last block has no end: "```" is missing. Is the file whole?');
    const body = lines
      .slice(begin, close)
      .map((text, k) => ({ text: text.trim(), place: `Line ${begin + k + 1}` }))
      .filter((one) => one.text !== '');
    if (open[1] === 'facts') facts.push(...body.map((one) => factFrom(one.text, one.place)));
    else if (open[1] === 'parts') parts.push(...body.map((one) => partFrom(one.text, one.place)));
    else if (open[1] === 'runs') runs.push(...body.map((one) => runFrom(one.text, one.place)));
    else if (open[1] === 'sheet') sheets.push(sheetFrom(open[2]!.trim(), body, `Line ${i + 1}`));
    else throw new Slip(`Line ${i + 1}`, open[1]!, 'Give a block of facts, of parts, of a sheet or of runs.');
    i = close;
  }
  const there = holdsOf({ facts, parts, sheets, pictures, runs });
  if (holds !== undefined && holds !== there)
    throw new Slip('holds', String(holds), `There is ${there || 'nothing'} here. Is the file whole? If it is, take the line "holds" out.`);
  return {
    ...head,
    facts,
    ...(parts.length === 0 ? {} : { parts }),
    sheets,
    ...(pictures.length === 0 ? {} : { pictures }),
    ...(runs.length === 0 ? {} : { runs }),
  };
}

function partFrom(text: string, place: string): unknown {
  const cut = text.lastIndexOf(' -- ');
  if (cut < 0) throw new Slip(place, text, 'What it is, is missing: " -- name "pack", count 1, mass 0.292".');
  const [, typed] = namedLine(text.slice(0, cut), place);
  const made: Record<string, unknown> = { typed: plainValue(typed, place), sprung: true };
  const rest = text.slice(cut + 4);
  const piece = /\s*(?:(unsprung)|(name|count|mass|u|at|places|axle|role|note)\s+("(?:[^"\\]|\\.)*"|[^\s,"]+))\s*(,|$)/y;
  const seen = new Set<string>();
  for (let end = 0; end < rest.length; ) {
    piece.lastIndex = end;
    const found = piece.exec(rest);
    if (!found) throw new Slip(place, rest.slice(end), 'Give name, count, mass, and then u, at, places, unsprung, axle, role, note.');
    end = piece.lastIndex;
    const [, unsprung, key = 'unsprung', word = ''] = found as unknown as [
      string,
      string | undefined,
      string | undefined,
      string | undefined,
    ];
    if (seen.has(key)) throw new Slip(place, key, `Give ${key} once.`);
    seen.add(key);
    const number = (one: string): number | string => (one === 'off' ? one : Number(one));
    if (unsprung !== undefined) made.sprung = false;
    else if (key === 'u') made.uncertainty = Number(word);
    else if (key === 'count' || key === 'mass') made[key] = Number(word);
    else if (key === 'at') made.place = number(word);
    else if (key === 'places') made.places = word.split('/').map(number);
    else made[key] = plainValue(word, place);
  }
  return made;
}

/**
 * What YAML makes of nesting costs its parser minutes, or the process: ours is one level deep. Brackets in quoted text are text.
 */
function nests(head: string): boolean {
  let [open, inText, bare] = [0, false, ''];
  for (let at = 0; at < head.length; at += 1) {
    const sign = head[at]!;
    if (inText && sign === '\\') at += 1;
    else if (sign === '"') inText = !inText;
    else if (!inText) {
      bare += sign;
      if (sign === '[' || sign === '{') open += 1;
    }
  }
  return open > 20 || /(?:[-?:]\s+){6}/.test(bare);
}

function headOf(text: string, first: number): object {
  if (Buffer.byteLength(text) > MOST_HEAD || nests(text))
    throw new Slip(`Line ${first}`, null, 'The head holds more than a setup says. Is it whole?');
  try {
    const head: unknown = parseYaml(text, { schema: 'failsafe', maxAliasCount: 0, uniqueKeys: true, logLevel: 'silent' });
    if (typeof head === 'object' && head !== null && !Array.isArray(head)) return head;
  } catch (error) {
    const line = (error as { linePos?: readonly { readonly line: number }[] }).linePos?.[0]?.line;
    throw new Slip(`Line ${first - 1 + (line ?? 1)}`, null, 'The head cannot be read from here on. Is the file whole?');
  }
  throw new Slip(`Line ${first}`, null, 'The head holds nothing. Is the file whole?');
}

const NAMED = /^([^\s:]+)\s*:\s?([\s\S]*)$/;

function namedLine(text: string, place: string): readonly [string, string] {
  const found = NAMED.exec(text);
  if (!found) throw new Slip(place, text, 'Give name : value.');
  return [found[1]!, found[2]!];
}
function plainValue(text: string, place: string): string {
  const value = text.trim();
  if (!value.startsWith('"')) return value;
  try {
    const read: unknown = JSON.parse(value);
    if (typeof read === 'string') return read;
  } catch {
    // Said below.
  }
  throw new Slip(place, value, 'The quotes are not closed as they were opened.');
}

function factFrom(text: string, place: string): unknown {
  const cut = text.lastIndexOf(' -- ');
  if (cut < 0) throw new Slip(place, text, 'How and when it was measured is missing: " -- measured, 2026-06-14T09:00:00.000Z".');
  const [fact, typed] = namedLine(text.slice(0, cut), place);
  const made: Record<string, unknown> = { fact, typed: plainValue(typed, place) };
  const rest = text.slice(cut + 4);
  const piece = /\s*(?:(sheet|end|u|said|note)\s+)?("(?:[^"\\]|\\.)*"|[^\s,"]+)\s*(,|$)/y;
  for (let end = 0; end < rest.length; ) {
    piece.lastIndex = end;
    const found = piece.exec(rest);
    if (!found) throw new Slip(place, rest.slice(end), 'Give how, when, and then sheet, end, u, said, note.');
    end = piece.lastIndex;
    const [, key, word] = found as unknown as [string, string | undefined, string];
    const name = key === 'u' ? 'uncertainty' : (key ?? (TIME.test(word) ? 'at' : 'how'));
    if (name in made) throw new Slip(place, word, `Give ${name} once.`);
    made[name] = key === 'u' ? Number(word) : plainValue(word, place);
  }
  return made;
}

function runFrom(text: string, place: string): unknown {
  const found = /^(\S+) : ([\s\S]*)$/.exec(text);
  if (!found) throw new Slip(place, text, 'Give time : how it went.');
  const [, at, said] = found as unknown as [string, string, string];
  const cut = said.lastIndexOf(' -- track ');
  if (cut < 0) return { at, typed: plainValue(said, place) };
  return { at, typed: plainValue(said.slice(0, cut), place), track: plainValue(said.slice(cut + ' -- track '.length), place) };
}

function sheetFrom(head: string, body: readonly { readonly text: string; readonly place: string }[], place: string): unknown {
  const words = head.split(/\s+/);
  const at = words.pop();
  const [sheet, end, ...more] = words;
  if (more.length > 0 || sheet === undefined) throw new Slip(place, head, 'Give sheet, end and time.');
  const readings: Record<string, string> = Object.create(null);
  for (const { text, place: line } of body) {
    const [name, typed] = namedLine(text, line);
    if (name in readings) throw new Slip(line, name, 'Give it once.');
    readings[name] = plainValue(typed, line);
  }
  return { sheet, ...(end === undefined ? {} : { end }), at, readings: { ...readings } };
}
