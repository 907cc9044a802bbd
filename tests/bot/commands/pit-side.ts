/** A member at the pit: lines in, replies out, over a real archive on a file of its own. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect } from 'vitest';
import { makeCommands, messageFrom } from '../../../bot/commands/index.ts';
import type { Asker, Commands, Reply } from '../../../bot/commands/types.ts';
import { type Archive, openArchive } from '../../../worksheets/archive/archive.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';

export const HOUR = 3_600_000;
export const CLUB = 'saltpan';
export const INES: Asker = { club: CLUB, clubName: 'Saltpan Desert Club', member: '1180000000000000001', memberName: 'Ines' };
export const TOMASZ: Asker = { ...INES, member: '1180000000000000002', memberName: 'Tomasz' };
export const PRIYA: Asker = { ...INES, member: '1180000000000000003', memberName: 'Priya' };

export interface PitSide {
  readonly sheets: ReadonlyMap<string, Sheet>;
  readonly archive: Archive;
  readonly commands: Commands;
  /** Lets time go by. */
  wait(milliseconds: number): void;
  /** The reply to a line as typed; `id` as an interaction carries it. */
  reply(line: string, who?: Asker, id?: string): Promise<Reply>;
  /** Its words; one that was not understood fails. */
  say(line: string, who?: Asker): Promise<string>;
  /** The sentences that a slip gets. */
  slips(line: string, who?: Asker): Promise<string[]>;
  end(): Promise<void>;
}

let shelf: Promise<ReadonlyMap<string, Sheet>> | undefined;

export async function openPitSide(format: 'terminal' | 'chat' = 'terminal'): Promise<PitSide> {
  shelf ??= loadFormulas().then((formulas) => loadSheets(formulas));
  const sheets = await shelf;
  const folder = mkdtempSync(join(tmpdir(), 'pit-'));
  let now = Date.UTC(2026, 5, 14, 9);
  const clock = (): number => {
    now += 1000;
    return now;
  };
  const archive = await openArchive({ file: join(folder, 'club.sqlite'), create: true, clock });
  const commands = makeCommands({ sheets, archive, cards: null, clock, zone: 'Europe/Lisbon', theme: 'dark', log: () => {} }, format);
  const reply = async (line: string, who: Asker = INES, id?: string): Promise<Reply> => {
    const read = messageFrom(line, sheets, commands.specs);
    if ('problems' in read)
      return { kind: 'problems', visibility: 'private', problems: read.problems, text: read.problems.map(({ text }) => text).join('\n') };
    const made = await commands.answer({ ...read.message, asker: who, ...(id === undefined ? {} : { id }) });
    expect(made.text.length, line).toBeLessThanOrEqual(2000);
    return made;
  };
  return {
    sheets,
    archive,
    commands,
    wait: (milliseconds) => {
      now += milliseconds;
    },
    reply,
    async say(line, who) {
      const made = await reply(line, who);
      return made.kind === 'problems' ? expect.fail(`${line}: ${made.text}`) : made.text;
    },
    async slips(line, who) {
      const made = await reply(line, who);
      return made.kind === 'problems' ? made.text.split('\n') : expect.fail(`${line} was done: ${made.text}`);
    },
    async end() {
      await archive.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
