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

/**
 * Splits a line. A value goes on until the next known name: `press_points:0/78 500/71 end:front`. `names` are those that may stand before
 * a colon; `quick` the readings that bare values stand for, in order; `texts` the names behind which words of any kind stand, colons too.
 */
export function readLine(
  line: string,
  { names, quick, texts = [] }: { names: readonly string[]; quick: readonly string[]; texts?: readonly string[] },
): ReadLine {
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
  const bare = line.slice(0, marks[0]?.from ?? line.length).trim();
  for (const [i, { name, to }] of marks.entries()) {
    if (name === '') continue;
    const whole = line.slice(to, marks[i + 1]?.from ?? line.length).trim();
    // "wheelbase:330, pack_mass:290": what parts two readings belongs to neither.
    const value = (texts.includes(name) ? whole : whole.replace(/[,;\s]+$/, '')).replace(/^(["'])([\s\S]*)\1$/, '$2');
    if (name in options) problems.push(problem(name, value, 'Give it once.', `${name} is given twice. Give it once.`));
    options[name] = value;
  }
  if (bare !== '') {
    const { values, problem: slip } = readQuick(bare, quick);
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
  for (const token of row
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
  return { values: Object.fromEntries(tokens.map((token, i) => [quick[i]!, token])) };
}
