/** A line as typed in chat: bare values first (the sheet's quick line), then `name:value` or `name=value` in any order. */
import { nearest, problem } from './problem.ts';
import { PLUS_MINUS } from './quantity.ts';
import type { Problem } from './types.ts';
import { unit } from './units.ts';

export interface ReadLine {
  readonly options: Readonly<Record<string, string>>;
  readonly problems: readonly Problem[];
}

const LONGEST = 10_000;
const asName = (word: string): string => word.toLowerCase().replaceAll('-', '_');

export interface LineSpec {
  /** Those that may stand before a colon. */
  readonly names: readonly string[];
  /** The readings that bare values stand for, in order. */
  readonly quick: readonly string[];
  /** Names behind which words of any kind stand, colons too. */
  readonly texts?: readonly string[];
  /** Names whose value is one word: what stands behind it is bare again. */
  readonly single?: readonly string[];
  /** Where there is no quick line: the reading that all bare values are of, as they stand. */
  readonly whole?: string;
}

/** Splits a line. A value goes on until the next known name: `press_points:0/78 500/71 end:front`. */
export function readLine(line: string, { names, quick, texts = [], single = [], whole }: LineSpec): ReadLine {
  const problems: Problem[] = [];
  if (line.length > LONGEST)
    return { options: {}, problems: [problem(null, line, 'Give a shorter line.', `A line has at most ${LONGEST} characters.`)] };
  const known = new Set(names);
  const options: Record<string, string> = Object.create(null);
  // A name stands at the start or behind a space and is followed at once by its sign; "1:02.3" and "https:" are no names here.
  const marks: { name: string; from: number; to: number }[] = [];
  for (const found of line.matchAll(/(?<![^\s,;])([A-Za-z][A-Za-z0-9_-]{0,40})\s?[:=：＝](?!\/\/)/g)) {
    const name = asName(found[1]!);
    if (known.has(name)) marks.push({ name, from: found.index, to: found.index + found[0].length });
    else if (found[0].length === found[1]!.length + 1 && !texts.includes(marks.at(-1)?.name ?? '')) {
      const like = nearest(name, names);
      marks.push({ name: '', from: found.index, to: found.index + found[0].length });
      const needs = like ? `Did you mean ${like}?` : `There is: ${names.join(', ')}.`;
      problems.push(problem(found[1]!, found[1]!, needs, `"${found[1]}" is no reading here. ${needs}`));
    }
  }
  const loose = [line.slice(0, marks[0]?.from ?? line.length)];
  for (const [i, { name, to }] of marks.entries()) {
    if (name === '') continue;
    const all = line.slice(to, marks[i + 1]?.from ?? line.length).trim();
    const [, word, behind] = /^([^\s,;]+)[\s,;]+(\S[\s\S]*)$/.exec(single.includes(name) ? all : '') ?? [];
    if (behind !== undefined) loose.push(behind);
    const text = word ?? all;
    // "wheelbase:330, pack_mass:290": what parts two readings belongs to neither.
    const value = (texts.includes(name) ? text : text.replace(/[,;\s]+$/, '')).replace(/^(["'])([\s\S]*)\1$/, '$2');
    if (name in options) problems.push(problem(name, value, 'Give it once.', `${name} is given twice. Give it once.`));
    options[name] = value;
  }
  const bare = loose
    .map((piece) => piece.trim())
    .filter(Boolean)
    .join(' ');
  if (bare !== '') {
    const row = quick.length === 0 && whole !== undefined ? { values: { [whole]: bare } } : readQuick(bare, quick);
    const { values, problem: slip }: ReturnType<typeof readQuick> = row;
    if (slip) problems.push(slip);
    for (const [name, value] of Object.entries(values)) {
      if (name in options)
        problems.push(problem(name, value, 'Give it once.', `${name} is given twice, in the row and by name. Give it once.`));
      else options[name] = value;
    }
  }
  return { options, problems };
}

/** Bare values in a row: "612 605 901 896", "612 g 605 g …". */
export function readQuick(
  row: string,
  quick: readonly string[],
): { readonly values: Readonly<Record<string, string>>; readonly problem?: Problem } {
  const tokens: string[] = [];
  for (const token of withOunces(row)
    .split(PLUS_MINUS)
    .join('±')
    .split(/[\s;]+/)
    .filter(Boolean)) {
    const plainToken = token.replace(/,$/, '');
    // A unit that stands alone belongs to the number before it; a 1 is a number (one cell), though there is a unit of that name.
    if (tokens.length > 0 && /^\D/.test(plainToken) && unit(plainToken) && /\d$/.test(tokens.at(-1)!))
      tokens[tokens.length - 1] += ` ${plainToken}`;
    else tokens.push(plainToken);
  }
  if (quick.length === 0)
    return {
      values: {},
      problem: problem(null, row, 'Write name:value.', `"${problem(null, row, '', '').got}" has no name. Write name:value.`),
    };
  if (tokens.length > quick.length) {
    const needs = `Give ${quick.length}: ${quick.join(' ')}.`;
    return { values: {}, problem: problem(null, row, needs, `${tokens.length} values stand in a row. ${needs}`) };
  }
  return { values: Object.fromEntries(tokens.map((token, i) => [quick[i]!, token.replaceAll(HELD, ' ')])) };
}

/** Stands for a space inside a value while the row is cut at its spaces; nobody types it. */
const HELD = '\u0001';
/** "1 lb 5.6 oz" is one value: fewer ounces than a pound has, behind whole pounds, with nothing but a space between them. */
const withOunces = (row: string): string =>
  row.replace(
    /(?<![\p{L}\d.,/±-])(\d{1,4})\s?(\p{L}{2,6})\s+((?:\d|1[0-5])(?:[.,]\d+)?)\s?(\p{L}{2,6})(?![\p{L}\d/²^·])/gu,
    (all, _pounds, large: string, _ounces, small: string) =>
      unit(large)?.symbol === 'lb' && unit(small)?.symbol === 'oz' ? all.replace(/\s+/g, HELD) : all,
  );
