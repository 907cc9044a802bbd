/** Readings of a sheet in a line as members type it: their short names for corners and ends become the sheet's own before the line is read. */
import { type ReadLine, readLine } from '../../worksheets/engine/line.ts';
import type { Sheet } from '../../worksheets/engine/notation.ts';
import { problem } from '../../worksheets/engine/problem.ts';

/** Common practice, no source: as corners are called over a set of scales. */
const CORNERS: Readonly<Record<string, string>> = { fl: 'front_left', fr: 'front_right', rl: 'rear_left', rr: 'rear_right' };

/** "fl=612", "FL 612 FR 605" → front_left:612 front_right:605, where these are readings; in the name of a truck they stay what they are. */
export function withCorners(line: string, isReading: (name: string) => boolean): string {
  return line.replace(/(?<![^\s,;])(fl|fr|rl|rr)(\s?[:=：＝]|\s+(?=[-+−]?[\d.,]))/giu, (all, short: string, sign: string, at: number) => {
    const name = CORNERS[short.toLowerCase()]!;
    const behind = sign.trim() === '' ? [...line.slice(0, at).matchAll(/(?<![^\s,;])([A-Za-z]\w*)\s?[:=]/g)].at(-1)?.[1] : undefined;
    return isReading(name) && behind?.toLowerCase() !== 'truck' ? `${name}:` : all;
  });
}

/**
 * "front left 702 wheelbase 331mm" → front_left:702 wheelbase:331mm: a name with a number behind it, as one says it. Not where it is itself a value
 * ("pinion:pinion 16"), nor in the name of a truck.
 */
export function withNamesSaid(line: string, names: readonly string[]): string {
  const said = [...names].sort((a, b) => b.length - a.length).map((name) => name.replaceAll('_', '[ _-]'));
  const pattern = new RegExp(`(?<![^\\s,;])(?<![:=]\\s*)(${said.join('|')})\\s+(?=[-+−]?[.,]?\\d)`, 'giu');
  return line.replace(pattern, (all, name: string, at: number) => {
    const behind = [...line.slice(0, at).matchAll(/(?<![^\s,;])([A-Za-z]\w*)\s?[:=]/g)].at(-1)?.[1];
    return behind?.toLowerCase() === 'truck' ? all : `${name.toLowerCase().replace(/[ -]/g, '_')}:`;
  });
}

/** What a thumb leaves between a number and what belongs to it: "706 @kitchen", "912g." */
const tidied = (line: string): string => line.replace(/(\d\S*)\s+@(?=\S)/gu, '$1@').replace(/(\d\s?\p{L}*)\.(?=\s|$)/gu, '$1');

/** `quick`: whether values without a name may stand in it. */
export function sheetLine(line: string, sheet: Sheet, { quick = true, others = ['truck', 'end'] } = {}): ReadLine {
  const names = sheet.readings.map(({ name }) => name);
  const ends = new Set<string>();
  // The rows of a list begin with names of things.
  const isPlain = !sheet.readings.some(({ parts }) => parts?.some(({ kind }) => kind === 'text'));
  const ended = sheet.ends ? names.flatMap((name) => [`front_${name}`, `rear_${name}`]) : [];
  const shortened = withCorners(isPlain ? tidied(line) : line, (name) => names.includes(name));
  const plain = (isPlain ? withNamesSaid(shortened, [...names, ...ended]) : shortened).replace(
    /(?<![^\s,;])(front|rear)[_-]([A-Za-z][\w-]*)(\s?[:=：＝])/giu,
    (all, end: string, written: string, sign: string) => {
      const name = written.toLowerCase().replaceAll('-', '_');
      if (!sheet.ends || !names.includes(name) || names.includes(`${end.toLowerCase()}_${name}`)) return all;
      ends.add(end.toLowerCase());
      return `${name}${sign}`;
    },
  );
  const required = sheet.readings.filter((reading) => reading.required);
  const read = readLine(plain, {
    names: [...names, ...others],
    quick: quick ? sheet.quick : [],
    single: ['end', ...sheet.readings.filter(({ type }) => type.kind === 'flag').map(({ name }) => name)],
    ...(quick && required.length === 1 ? { whole: required[0]!.name } : {}),
  });
  if (ends.size === 0) return read;
  const [end] = ends;
  if (ends.size === 1 && (read.options.end?.trim().toLowerCase() ?? end) === end)
    return { ...read, options: { ...read.options, end: end! } };
  const needs = 'Ask for the front, then for the rear.';
  const slip = problem('end', null, needs, `End: ${sheet.name} looks at one end at a time. ${needs}`);
  return { ...read, problems: [...read.problems.filter(({ text }) => !/ is given twice\. /.test(text)), slip] };
}
