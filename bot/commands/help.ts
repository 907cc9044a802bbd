/** /help: what can be asked, by what one wants to find out. */
import { readingUnit } from '../../worksheets/engine/ask.ts';
import { GROUPS } from '../../worksheets/engine/library.ts';
import type { Sheet } from '../../worksheets/engine/notation.ts';
import { figure, nearest, unitInWords } from '../../worksheets/engine/problem.ts';
import { fromSI } from '../../worksheets/engine/units.ts';
import { messageFrom } from './message-from.ts';
import type { Face } from './pit.ts';
import { ownOf, saysNothing, type Topic, topicsAbout, topicsOf } from './topics.ts';
import type { CommandSpec, OptionSpec, SubcommandSpec } from './types.ts';

export const HELP: CommandSpec = {
  name: 'help',
  description: 'What you can ask here, by what you want to find out',
  options: [{ name: 'about', description: 'A sheet, a command, or what you want to know: "it bucks in the whoops"', suggests: true }],
};

/** The line that asks a sheet's example. */
export function exampleLine(sheet: Sheet): string {
  const named = Object.entries(sheet.example);
  const quick = sheet.quick.filter((name) => name in sheet.example);
  const row = quick.length === sheet.quick.length ? quick.map((name) => sheet.example[name]!) : [];
  const rest = named.filter(([name]) => row.length === 0 || !sheet.quick.includes(name)).map(([name, value]) => `${name}:${value}`);
  return [sheet.name, ...row, ...rest].join(' ');
}

// ── what is meant ───────────────────────────────────────────────────────────────────────────────────────────────────────────────

type Sheets = ReadonlyMap<string, Sheet>;
type Specs = readonly CommandSpec[];

/** What help has to say about some words. */
export type Found =
  | { readonly kind: 'all' }
  | { readonly kind: 'sheet'; readonly sheet: Sheet }
  /** A command with subcommands, all of them. */
  | { readonly kind: 'family'; readonly spec: CommandSpec; readonly subcommands: readonly SubcommandSpec[] }
  | { readonly kind: 'command'; readonly name: string; readonly command: SubcommandSpec }
  | { readonly kind: 'topics'; readonly topics: readonly Topic[] }
  | { readonly kind: 'nothing'; readonly like: string | undefined };

const MOST_FOUND = 6;

export function lookUp(sheets: Sheets, specs: Specs, about: string): Found {
  const asked = about.trim().replace(/^\//, '');
  if (asked === '') return { kind: 'all' };
  const sheet = sheets.get(asked.toLowerCase().replace(/[\s-]+/g, '_'));
  if (sheet) return { kind: 'sheet', sheet };
  const own = ownOf(sheets, specs);
  const called = asked.toLowerCase().replace(/\s+/g, ' ');
  const spec = own.find(({ name }) => name === called);
  if (spec?.subcommands) return { kind: 'family', spec, subcommands: spec.subcommands };
  if (spec) return { kind: 'command', name: spec.name, command: spec };
  const subs = own.flatMap(({ name, subcommands = [] }) => subcommands.map((command) => ({ name: `${name} ${command.name}`, command })));
  // "parts" is enough where only one command has it.
  const found = subs.filter(({ name, command }) => name === called || command.name === called);
  if (found.length === 1) return { kind: 'command', ...found[0]! };
  // So is the name of an option that only one takes, and no sheet: "places".
  const takes = subs.filter(({ command }) => command.options.some(({ name }) => name === called));
  const isReading = [...sheets.values()].some(({ readings }) => readings.some(({ name }) => name === called));
  if (takes.length === 1 && !isReading) return { kind: 'command', ...takes[0]! };
  if (saysNothing(asked)) return { kind: 'all' };
  const topics = topicsAbout(topicsOf(sheets, specs), asked).slice(0, MOST_FOUND);
  if (topics.length > 0) return { kind: 'topics', topics };
  return { kind: 'nothing', like: nearest(asked, helpNames(sheets, specs)) };
}

/** All that help knows by name: sheets, commands, and what each of them does. */
export const helpNames = (sheets: Sheets, specs: Specs): readonly string[] => [
  ...sheets.keys(),
  ...ownOf(sheets, specs).flatMap(({ name, subcommands = [] }) => [name, ...subcommands.map((sub) => `${name} ${sub.name}`)]),
];

/** What an option is, with what may be chosen: the word that is typed, and what it stands for. */
export function optionText({ description, choices = [] }: OptionSpec): string {
  const told = choices.map(({ name, value }) => {
    const more = name.startsWith(value) ? name.slice(value.length).trim() : name;
    return more === '' ? value : `${value} ${more.startsWith('(') ? more : `(${more})`}`;
  });
  return told.length === 0 ? description : `${description}. One of: ${told.join(', ')}`;
}

// ── lines ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** A line as this face takes it: in chat every option has its name, "/corners quick:612 605 901 896 wheelbase:330". */
export function lineFor(format: Face['format'], line: string, sheets: Sheets, specs: Specs): string {
  const read = format === 'chat' ? messageFrom(line, sheets, specs) : null;
  if (read === null || 'problems' in read) return `/${line}`;
  const { command, options } = read.message;
  const order = specs.flatMap((spec) => [spec, ...(spec.subcommands ?? []).map((sub) => ({ ...sub, name: `${spec.name} ${sub.name}` }))]);
  const taken = order.find(({ name }) => name === command)?.options.map(({ name }) => name) ?? [];
  const place = ([name]: [string, string]): number => (taken.includes(name) ? taken.indexOf(name) : taken.length);
  const given = Object.entries(options).sort((a, b) => place(a) - place(b));
  const sheet = sheets.get(command);
  const inRow = sheet !== undefined && sheet.quick.length > 0 && sheet.quick.every((name) => name in options);
  const row = inRow ? [`quick:${sheet.quick.map((name) => options[name]).join(' ')}`] : [];
  const named = given.filter(([name]) => !inRow || !sheet.quick.includes(name));
  const beyond = named.filter(([name]) => !taken.includes(name));
  const pairs = (of: typeof given): string[] => of.map(([name, value]) => `${name}:${value}`);
  return [
    `/${command}`,
    ...row,
    ...pairs(named.filter((pair) => !beyond.includes(pair))),
    ...(beyond.length > 0 ? [`more:${pairs(beyond).join(' ')}`] : []),
  ].join(' ');
}

/** What a sheet says whatever its readings are, of what may hurt somebody. */
const cautionsOf = ({ cautions }: Sheet): string[] =>
  cautions
    .filter(({ when, parts }) => when.every(({ kind }) => kind === 'always') && parts.every((part) => typeof part === 'string'))
    .map(({ parts }) => `⚠ ${parts.join('')}`);

const question = ({ name, asks, summary }: Topic): string => `${asks[0] ?? summary} → /${name}`;

export function helpText(sheets: Sheets, specs: Specs, about: string, format: Face['format']): string {
  const shown = (line: string): string => lineFor(format, line, sheets, specs);
  const found = lookUp(sheets, specs, about);
  switch (found.kind) {
    case 'all':
      return allHelp(sheets, specs);
    case 'sheet':
      return sheetHelp(found.sheet, shown(exampleLine(found.sheet)));
    case 'family':
      return familyHelp(found.spec, found.subcommands, shown);
    case 'command':
      return commandHelp(found.name, found.command, shown);
    case 'topics': {
      const [{ name, of }] = found.topics as [Topic];
      const cautions = 'sheet' in of ? cautionsOf(of.sheet) : [];
      return ['This may answer it:', ...found.topics.map(question), ...cautions, '', `More of one: /help about:${name}`].join('\n');
    }
    case 'nothing':
      return found.like
        ? `There is nothing about that here. Did you mean ${found.like}? /help about:${found.like}`
        : 'There is nothing about that here. /help without words lists what there is.';
  }
}

function allHelp(sheets: Sheets, specs: Specs): string {
  const all = topicsOf(sheets, []);
  const first = all.filter(({ of }) => 'sheet' in of && of.sheet.first);
  const rest = GROUPS.flatMap((group) => {
    const names = [...sheets.values()].filter((sheet) => sheet.group === group && !sheet.first).map(({ name }) => name);
    return names.length > 0 ? [`${group}: ${names.join(', ')}`] : [];
  });
  return [
    'Post readings, get answers. Type numbers as you like: 612, 0.612 kg, 1 lb 5.6 oz, 612 ± 2 g.',
    '',
    ...first.map(question),
    '',
    ...(rest.length > 0 ? ['There is more:', ...rest, ''] : []),
    'One truck, known in one place: /keep what you gave, /truck show says what to measure next. How it went: /run add',
    'Keep a setup: /setup save, find it again: /setup find. Springs, scales and tracks by name: /help about:box',
    `What a command does, with lines to copy: /help about:NAME, of ${ownOf(sheets, specs)
      .map(({ name }) => name)
      .join(', ')}`,
    'Ask in your own words: /help about:it bucks in the whoops',
  ].join('\n');
}

/** What one of the house's own commands can do, each with a line to copy. */
function familyHelp({ name, description }: CommandSpec, subcommands: readonly SubcommandSpec[], shown: (line: string) => string): string {
  return [
    `/${name}: ${description}`,
    ...subcommands.map((sub) => `· ${sub.description} → ${shown(sub.examples?.[0] ?? `${name} ${sub.name}`)}`),
    '',
    `All that one of them takes: /help about:${name} ${subcommands[0]!.name}`,
  ].join('\n');
}

function commandHelp(
  name: string,
  { description, options, asks = [], examples = [] }: SubcommandSpec,
  shown: (line: string) => string,
): string {
  return [
    `/${name}: ${description}`,
    ...asks.map((ask) => `· ${ask}`),
    ...(options.length > 0 ? ['', 'It takes, as far as you know it:'] : []),
    ...options.map((option) => `${option.name}: ${optionText(option)}`),
    ...(examples.length > 0 ? ['', 'For example:', ...examples.map(shown)] : []),
  ].join('\n');
}

function sheetHelp(sheet: Sheet, example: string): string {
  const needed = sheet.readings.filter(({ required }) => required);
  const others = sheet.readings.filter(({ required }) => !required);
  const shown = (names: typeof needed): string =>
    names
      .map((reading) => {
        const unit = readingUnit(reading);
        const value = reading.default;
        const by =
          value === undefined
            ? ''
            : ` = ${typeof value === 'object' ? figure(fromSI(value.value, reading.unit!)) + unitInWords(reading.unit!.symbol) : value}`;
        return `${reading.name}${by || (unit && unit !== '1' ? ` [${unit}]` : '')}`;
      })
      .join(', ');
  return [
    `${sheet.title}: ${sheet.summary}`,
    ...sheet.asks.map((ask) => `· ${ask}`),
    '',
    ...(needed.length > 0 ? [`Needs: ${shown(needed)}`] : []),
    ...(others.length > 0 ? [`If known: ${shown(others)}`] : []),
    ...(sheet.ends ? ['end: front or rear says which end of the truck is meant.'] : []),
    `Answers: ${sheet.answers.map(({ name }) => name.replaceAll('_', ' ')).join(', ')}`,
    ...cautionsOf(sheet),
    ...(Object.keys(sheet.example).length > 0 ? ['', `For example: ${example}`] : []),
  ].join('\n');
}
