/** What the commands of this room share: the shelf of sheets, looked at from the side of a truck, and how a command of the house's own is made. */
import type { Portrait } from '../../templates/card/portrait.ts';
import type { Portraits } from '../../templates/card/records/index.ts';
import { problemsText } from '../../templates/text.ts';
import type { Archive, Records } from '../../worksheets/archive/types.ts';
import { type End, factName } from '../../worksheets/engine/ask.ts';
import { whoAnswers } from '../../worksheets/engine/fill.ts';
import type { ReadingSpec, Sheet } from '../../worksheets/engine/notation.ts';
import { nearest, problem } from '../../worksheets/engine/problem.ts';
import type { Answer, Problem } from '../../worksheets/engine/types.ts';
import { Reach } from '../../worksheets/engine/unlock.ts';
import type { CommandSpec, Message, Reply } from './types.ts';

export const DEFAULT_TRUCK = 'truck';

/** What the parts of this room share while they make one reply. */
export interface Face {
  readonly format: 'chat' | 'terminal';
  readonly day: (at: number) => string;
  /** "14:05" in the club's zone. */
  readonly hour: (at: number) => string;
  readonly safe: (text: string) => string;
  readonly answered: (answer: Answer, about: About) => Reply;
  readonly card: (answer: Answer, about: About) => Reply['card'] | undefined;
  /** A card of a truck, a setup, a comparison; nothing where there is nothing to draw. */
  readonly portrait: (made: (of: Portraits) => Portrait | null) => Pick<Reply, 'card'>;
}
export interface About {
  readonly truck?: string;
  readonly day: string;
}

/** Where a fact is read: by which reading of which sheet, at which end. */
export interface Reads {
  readonly spec: ReadingSpec;
  readonly sheet: Sheet;
  readonly end: End | null;
}
export interface Shelf {
  readonly sheets: ReadonlyMap<string, Sheet>;
  readonly answering: ReturnType<typeof whoAnswers>;
  readonly reach: Reach;
  /** By the fact's name, in the order of the shelf. */
  readonly reads: ReadonlyMap<string, readonly Reads[]>;
}

export function shelfOf(sheets: ReadonlyMap<string, Sheet>): Shelf {
  const reads = new Map<string, Reads[]>();
  for (const sheet of sheets.values())
    for (const end of sheet.ends ? (['front', 'rear'] as const) : [null])
      for (const spec of sheet.readings) {
        const fact = factName(spec.name, sheet, end)!;
        reads.set(fact, [...(reads.get(fact) ?? []), { spec, sheet, end }]);
      }
  return { sheets, answering: whoAnswers(sheets.values()), reach: new Reach(sheets.values()), reads };
}

export interface Pit {
  readonly face: Face;
  readonly shelf: Shelf;
  readonly clock: () => number;
  /** Officers of every club by the word of whoever runs the bot. */
  readonly appointed: readonly string[];
}

/** A command of the house's own. */
export interface Own {
  readonly spec: CommandSpec;
  /** Whether it keeps something: then it is done once for an interaction. */
  readonly keeps: (message: Message) => boolean;
  readonly reply: (pit: Pit, records: Records, message: Message) => Promise<Reply>;
  /**
   * What takes its time and needs no archive, a file fetched or a picture made: done before the archive's lock is taken. Gives the work that
   * is left, or the reply that ends it here; null: there is nothing to do beforehand.
   */
  readonly before?: (pit: Pit, message: Message) => Promise<((records: Records) => Promise<Reply>) | Reply | null>;
  readonly suggest?: (pit: Pit, archive: Archive, message: Message, option: string) => Promise<readonly string[]>;
}

// ── replies ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export const MOST_CHARACTERS = 2000;

export const words = (text: string, visibility: Reply['visibility'] = 'public'): Reply => ({
  kind: 'words',
  text: text.slice(0, MOST_CHARACTERS).toWellFormed(),
  visibility,
});
export const refused = ({ format }: Pick<Face, 'format'>, problems: readonly Problem[], sheet: string | null = null): Reply => ({
  kind: 'problems',
  text: problemsText({ kind: 'problems', sheet, problems }, { for: format }).slice(0, MOST_CHARACTERS).toWellFormed(),
  visibility: 'private',
  problems,
});
export const missing = (face: Pick<Face, 'format'>, name: string, needs: string): Reply =>
  refused(face, [problem(name, null, needs, `${name.charAt(0).toUpperCase()}${name.slice(1)} is missing. ${needs}`)]);

/** The truck that is meant: the one that is named, else the current one, else the one called "truck". */
export async function truckFor(records: Records, { options, asker }: Pick<Message, 'options' | 'asker'>): Promise<string> {
  const named = options.truck?.trim();
  return named || ((await records.currentTruck({ club: asker.club, member: asker.member })) ?? DEFAULT_TRUCK);
}

/** One of a few words, forgiving of its case; left out it is undefined. */
export function oneOf<T extends string>(name: string, typed: string | undefined, choices: readonly T[]): T | undefined | Problem {
  const word = typed?.trim().toLowerCase();
  if (word === undefined || word === '') return undefined;
  const found = choices.find((choice) => choice === word);
  if (found) return found;
  const like = nearest(word, choices);
  const needs = like ? `Did you mean ${like}?` : `Give ${choices.slice(0, -1).join(', ')} or ${choices.at(-1)}.`;
  const got = problem(name, typed!, needs, '');
  return { ...got, text: `${name.charAt(0).toUpperCase()}${name.slice(1)}: "${got.got}" is none of them. ${needs}` };
}
