/** A question between the form, the address and the line of chat: the same readings as typed, three spellings. */
import { readLine } from '../../../worksheets/engine/line.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';
import { problem } from '../../../worksheets/engine/problem.ts';
import type { Problem } from '../../../worksheets/engine/types.ts';
import { messageFrom } from '../../commands/index.ts';
import type { CommandSpec } from '../../commands/types.ts';

export interface Question {
  /** As typed, by name; nothing of what was left empty. */
  readonly options: Readonly<Record<string, string>>;
  readonly problems: readonly Problem[];
}

export function questionFrom(sheet: Sheet, fields: URLSearchParams): Question {
  const options = new Map<string, string>();
  const problems: Problem[] = [];
  for (const [name, raw] of fields) {
    // A browser sends the line ends of a box as CR LF.
    const value = raw.replace(/\r\n?/g, '\n');
    if (value.trim() === '') continue;
    const before = options.get(name);
    if (before === undefined) options.set(name, value);
    else if (before !== value) problems.push(problem(name, value, 'Give it once.', `${name.slice(0, 40)} is given twice. Give it once.`));
  }
  return { options: spreadOut(sheet, Object.fromEntries(options)), problems };
}

/** `quick` and `more` hold readings that have fields of their own; a line that is not right stays whole, for the commands to say what is. */
function spreadOut(sheet: Sheet, options: Question['options']): Question['options'] {
  let all = { ...options };
  for (const key of ['quick', 'more'] as const) {
    const line = all[key];
    if (line === undefined) continue;
    const { [key]: _, ...others } = all;
    const read = readLine(line, { names: namesOf(sheet), quick: key === 'quick' ? sheet.quick : [] });
    if (read.problems.length === 0 && !Object.keys(read.options).some((name) => name in others)) all = { ...others, ...read.options };
  }
  return all;
}
const namesOf = (sheet: Sheet): string[] => [...sheet.readings.map(({ name }) => name), 'truck', 'end'];

/** The query of an address that asks this: truck and end first, then the readings in the sheet's order. */
export function queryOf(sheet: Sheet, options: Question['options']): string {
  const order = ['truck', 'end', ...sheet.readings.map(({ name }) => name)];
  const place = (name: string): number => (order.includes(name) ? order.indexOf(name) : order.length);
  const pairs = Object.entries(options).sort(([a], [b]) => place(a) - place(b));
  return new URLSearchParams(pairs).toString();
}

/** What one would type in chat to ask this; null when no line says it (a value that holds another reading's name, say). */
export function chatLine(
  sheet: Sheet,
  options: Question['options'],
  sheets: ReadonlyMap<string, Sheet>,
  specs: readonly CommandSpec[],
): string | null {
  const flat = Object.fromEntries(Object.entries(options).map(([name, value]) => [name, value.trim().replace(/\s*\n\s*/g, '; ')]));
  const order = [...namesOf(sheet)].filter((name) => name in flat);
  if (order.length < Object.keys(flat).length) return null;
  const named = (names: readonly string[]): string[] => names.map((name) => `${name}:${flat[name]}`);
  const inRow = sheet.quick.length > 0 && sheet.quick.every((name) => name in flat);
  const candidates = [
    ...(inRow ? [[...sheet.quick.map((name) => flat[name]!), ...named(order.filter((name) => !sheet.quick.includes(name)))]] : []),
    named(order),
  ].map((words) => [sheet.name, ...words].join(' '));
  const saysIt = (line: string): boolean => {
    const read = messageFrom(line, sheets, specs);
    return 'message' in read && sameOptions(read.message.options, flat);
  };
  const line = candidates.find(saysIt);
  return line === undefined ? null : `/${line}`;
}

const sameOptions = (a: Question['options'], b: Question['options']): boolean =>
  Object.keys(a).length === Object.keys(b).length && Object.entries(a).every(([name, value]) => b[name] === value);
