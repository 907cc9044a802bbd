/** A line as typed in a terminal or on the bench: "corners 612 605 901 896", "setup save evening", "how stiff is this spring". */
import type { Sheet } from '../../worksheets/engine/notation.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import { ownLine } from './own-line.ts';
import { sheetLine } from './sheet-line.ts';
import { asksInWords, goesOnInWords, topicsOf } from './topics.ts';
import type { CommandSpec, Message } from './types.ts';

export type ReadMessage = { readonly message: Omit<Message, 'asker'> } | { readonly problems: readonly Problem[] };

export function messageFrom(line: string, sheets: ReadonlyMap<string, Sheet>, specs: readonly CommandSpec[]): ReadMessage {
  const text = line.trim().replace(/^\//, '');
  const first = /^\S*/.exec(text)![0].toLowerCase().replaceAll('-', '_');
  const rest = text.slice(first.length).trim();
  const sheet = sheets.get(first);
  if (sheet) {
    const read = sheetLine(rest, sheet, { others: ['truck', 'end', 'quick', 'more'] });
    return read.problems.length > 0 ? { problems: read.problems } : { message: { command: first, options: read.options } };
  }
  if (first === 'help') return helpWith(rest.replace(/^about\s*[:=]\s*/, ''));
  const names = specs.map(({ name }) => name);
  const asks = (): boolean => !line.trim().startsWith('/') && asksInWords(topicsOf(sheets, specs), text, names);
  const spec = specs.find(({ name }) => name === first);
  if (!spec) return asks() ? helpWith(text) : { message: { command: first, options: {} } };
  const own = ownLine(spec, rest);
  return 'problems' in own && goesOnInWords(text) && asks() ? helpWith(text) : own;
}

const helpWith = (about: string): ReadMessage => ({ message: { command: 'help', options: { about } } });
