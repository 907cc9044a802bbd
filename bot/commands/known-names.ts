/** Where the value of a named option ends: at the end of a name that is known here. "track:Quarry 24.2 24.1" is the track Quarry, and two laps. */
import type { Records } from '../../worksheets/archive/types.ts';
import { fold } from '../../worksheets/archive/words.ts';
import { readRun } from './run-line.ts';
import type { Message, OptionSpec } from './types.ts';

/** The longest known name that the value begins with, and what stands behind it; null: the whole of it is a name, or none is known. */
export function beginningOf(value: string, names: readonly string[]): { readonly name: string; readonly rest: string } | null {
  const known = new Map(names.map((name) => [fold(name), name]));
  if (known.has(fold(value.trim()))) return null;
  const ends = [...value.matchAll(/(?<=\S)(?=\s)/gu)].map(({ index }) => index).reverse();
  for (const end of ends) {
    const name = known.get(fold(value.slice(0, end).trim()));
    if (name !== undefined) return { name, rest: value.slice(end).trim() };
  }
  return null;
}

/**
 * A truck or a track that is named, with more behind it: that belongs to the option which stands without its name, if nothing else was said for
 * it. Where it was, the value is taken whole: it may be a new name.
 */
export async function settled(records: Records, specs: readonly OptionSpec[], message: Message): Promise<Message> {
  const { asker, options } = message;
  const first = specs.find(({ kind }) => kind !== 'file');
  if (!first) return message;
  const already = options[first.name]?.trim();
  // The line of a run may go on behind its track: "4 min track:pan loop motor 72".
  if (already && first.name !== 'line') return message;
  for (const name of ['track', 'truck']) {
    const value = options[name]?.trim();
    if (!value?.includes(' ') || name === first.name || !specs.some((spec) => spec.name === name)) continue;
    const names =
      name === 'truck'
        ? await records.trucks({ club: asker.club, member: asker.member })
        : (await records.things({ club: asker.club, kinds: ['track'] })).map((thing) => thing.name);
    const found = beginningOf(value, names);
    // "Quarry 2" is another track than Quarry; "Quarry motor 72" goes on with what a run says.
    if (found && already && readRun(found.rest).taken.length === 0) continue;
    if (found)
      return { ...message, options: { ...options, [name]: found.name, [first.name]: already ? `${already}, ${found.rest}` : found.rest } };
  }
  return message;
}
