/** /help: what can be asked, by what one wants to find out. */
import { readingUnit } from '../../worksheets/engine/ask.ts';
import { GROUPS } from '../../worksheets/engine/library.ts';
import type { Sheet } from '../../worksheets/engine/notation.ts';
import { figure, nearest, unitInWords } from '../../worksheets/engine/problem.ts';
import { fromSI } from '../../worksheets/engine/units.ts';
import type { CommandSpec, OptionSpec } from './types.ts';

export const HELP: CommandSpec = {
  name: 'help',
  description: 'What you can ask here, by what you want to find out',
  options: [{ name: 'about', description: 'A sheet, or what you want to know: "it bucks in the whoops"', suggests: true }],
};

/** The line that asks a sheet's example. */
export function exampleLine(sheet: Sheet): string {
  const named = Object.entries(sheet.example);
  const quick = sheet.quick.filter((name) => name in sheet.example);
  const row = quick.length === sheet.quick.length ? quick.map((name) => sheet.example[name]!) : [];
  const rest = named.filter(([name]) => row.length === 0 || !sheet.quick.includes(name)).map(([name, value]) => `${name}:${value}`);
  return [sheet.name, ...row, ...rest].join(' ');
}

const wordsOf = (text: string): string[] =>
  text
    .toLowerCase()
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .match(/[\p{L}\p{N}]{2,}/gu) ?? [];
/** Words that say nothing of what is asked. */
const EMPTY = new Set(
  'the is my me it in on do does how what which why a an of to for and or with at i if can are this that much many get'.split(' '),
);

/** Sheets that speak of these words, best first. */
export function sheetsAbout(sheets: Iterable<Sheet>, words: string): Sheet[] {
  const wanted = wordsOf(words)
    .filter((word) => !EMPTY.has(word))
    .map(stem);
  const scored = [...sheets].map((sheet) => {
    const weigh = (text: string, weight: number): number => {
      const there = new Set(wordsOf(text).map(stem));
      return (
        wanted.filter((word) => there.has(word) || (word.length > 3 && [...there].some((one) => one.startsWith(word)))).length * weight
      );
    };
    const asks = Math.max(0, ...sheet.asks.map((ask) => weigh(ask, 3)));
    const names = [...sheet.readings, ...sheet.answers].map(({ name, label }) => `${name.replaceAll('_', ' ')} ${label}`).join(' ');
    return {
      sheet,
      score: asks + weigh(`${sheet.name.replaceAll('_', ' ')} ${sheet.title}`, 4) + weigh(sheet.summary, 2) + weigh(names, 1),
    };
  });
  return scored
    .filter(({ score }) => score > 0)
    .sort((a, b) => b.score - a.score)
    .map(({ sheet }) => sheet);
}
const stem = (word: string): string => word.replace(/(?:ing|ies|es|s|ed)$/, '');

const question = (sheet: Sheet): string => `${sheet.asks[0] ?? sheet.summary} → /${sheet.name}`;

/** What one of the house's own commands can do: a line each. */
function ownHelp({ name, description, options, subcommands }: CommandSpec): string {
  const takes = (of: readonly OptionSpec[]): string => (of.length === 0 ? '' : ` (${of.map((option) => option.name).join(', ')})`);
  return [
    `/${name}: ${description}`,
    ...(subcommands ?? []).map((sub) => `· /${name} ${sub.name}: ${sub.description}${takes(sub.options)}`),
    ...options.map((option) => `· ${option.name}: ${option.description}`),
  ].join('\n');
}

/** `own`: the house's own commands, setup and truck among them. */
export function helpText(sheets: ReadonlyMap<string, Sheet>, about: string, own: readonly CommandSpec[] = []): string {
  const asked = about.trim().replace(/^\//, '');
  if (asked === '') {
    const first = [...sheets.values()].filter((sheet) => sheet.first);
    const rest = GROUPS.flatMap((group) => {
      const names = [...sheets.values()].filter((sheet) => sheet.group === group && !sheet.first).map(({ name }) => name);
      return names.length > 0 ? [`${group}: ${names.join(', ')}`] : [];
    });
    return [
      'Post readings, get answers. Type numbers as you like: 612, 0.612 kg, 1 lb 5.6 oz, 612 ± 2 g.',
      '',
      ...first.flatMap((sheet) => question(sheet)),
      '',
      ...(rest.length > 0 ? ['There is more:', ...rest, ''] : []),
      'One truck, known in one place: /keep what you gave, /truck show says what to measure next. How it went: /run add',
      'Keep a setup: /setup save, find it again: /setup find. Springs, scales and tracks by name: /help about:box',
      'Ask in your own words: /help about:it bucks in the whoops',
    ].join('\n');
  }
  const exact = sheets.get(asked.toLowerCase().replace(/[\s-]+/g, '_'));
  if (exact) return sheetHelp(exact);
  const called = asked.toLowerCase().replace(/\s+/g, ' ');
  const command = own.find(({ name, subcommands = [] }) => [name, ...subcommands.map((sub) => `${name} ${sub.name}`)].includes(called));
  if (command) return ownHelp(command);
  const found = sheetsAbout(sheets.values(), asked).slice(0, 6);
  if (found.length > 0) return ['This may answer it:', ...found.map(question), '', `More of one: /help about:${found[0]!.name}`].join('\n');
  const like = nearest(asked, sheets.keys());
  return like
    ? `There is no sheet about that. Did you mean ${like}? /help about:${like}`
    : 'There is no sheet about that. /help without words lists what there is.';
}

function sheetHelp(sheet: Sheet): string {
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
    ...(Object.keys(sheet.example).length > 0 ? ['', `For example: /${exampleLine(sheet)}`] : []),
  ].join('\n');
}
