/** Every setup of the demo club's season goes out as a file and into an archive that knows nothing of it: the same readings, the same answers. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeCommands } from '../../bot/commands/index.ts';
import type { Asker, Commands } from '../../bot/commands/types.ts';
import { CLUB, playClock, playSeason } from '../../bot/demo.ts';
import { type Archive, openArchive } from '../../worksheets/archive/archive.ts';
import type { SetupDoc } from '../../worksheets/archive/types.ts';
import { loadFormulas, loadSheets } from '../../worksheets/engine/library.ts';

const THERE: Asker = { club: 'dry-lake', clubName: 'Dry Lake Club', member: 'other', memberName: 'Cyd' };
let folder: string;
let here: Archive;
let there: Archive;
let commands: { readonly here: Commands; readonly there: Commands };

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'travel-'));
  const sheets = await loadSheets(await loadFormulas());
  const time = playClock();
  here = await openArchive({ file: join(folder, 'here.sqlite'), create: true, clock: time.now });
  there = await openArchive({ file: join(folder, 'there.sqlite'), create: true });
  const house = { sheets, cards: null, zone: 'Europe/Lisbon', theme: 'dark' as const, log: () => {} };
  commands = {
    here: makeCommands({ ...house, archive: here, clock: time.now }, 'chat'),
    there: makeCommands({ ...house, archive: there, clock: Date.now }, 'chat'),
  };
  await playSeason({ sheets, zone: house.zone, time, commands: commands.here });
}, 60_000);
afterAll(async () => {
  await here.close();
  await there.close();
  rmSync(folder, { recursive: true, force: true });
});

/** What a setup says: who typed it where in a file, and the words beside a reading, are not compared. */
const said = ({ facts, parts = [], sheets }: SetupDoc) => ({
  facts: facts.map(({ fact, value, uncertainty, unit }) => ({ fact, value, uncertainty, unit })),
  parts,
  answers: sheets.map(({ sheet, end, answer }) => ({
    sheet,
    end,
    answers: answer.answers.map(({ name, value, verdict }) => ({
      name,
      value: typeof value === 'number' ? Number(value.toPrecision(9)) : value,
      verdict,
    })),
  })),
});

describe('setups on their way to another club', () => {
  for (const as of ['json', 'markdown'])
    it(`all of a season come back from ${as}`, async () => {
      const { setups } = await here.findSetups({ club: CLUB.club, words: '', limit: 50 });
      expect(setups.length).toBeGreaterThan(6);
      let withParts = 0;
      for (const { id, name } of setups) {
        const asker = { ...CLUB, member: 'local', memberName: 'You' };
        const out = await commands.here.answer({ command: 'setup export', options: { name: String(id), as }, asker });
        const back = await commands.there.answer({
          command: 'setup import',
          options: { text: out.file?.text ?? expect.fail(out.text), truck: `${as} ${id}` },
          asker: THERE,
        });
        expect(back.kind, `${name}: ${back.text}`).toBe('words');
        const was = await here.showSetup({ club: CLUB.club, id });
        const is = await there.showSetup({ club: THERE.club, member: THERE.member, name, truck: `${as} ${id}` });
        if (was.kind === 'problems' || is.kind === 'problems') throw new Error(`${name} is not there`);
        expect(said(is.doc), name).toEqual(said(was.doc));
        withParts += (was.doc.parts?.length ?? 0) > 0 ? 1 : 0;
      }
      expect(withParts).toBeGreaterThan(2);
    }, 60_000);

  it('a reading of one end that was given without saying which comes back as it was', async () => {
    const say = (command: string, options: Record<string, string>) => commands.there.answer({ command, options, asker: THERE });
    await say('bounce', { quick: '21 2.6 94', truck: 'Loose' });
    await say('setup save', { name: 'Loose', truck: 'Loose' });
    const out = await say('setup export', { name: 'Loose' });
    const back = await say('setup import', { text: out.file!.text, truck: 'Again' });
    expect(back.kind, back.text).toBe('words');
  });
});
