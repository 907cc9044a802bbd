import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { makeCommands, messageFrom } from '../../../bot/commands/index.ts';
import type { Asker } from '../../../bot/commands/types.ts';
import { rightsPage } from '../../../worksheets/archive/rights.ts';
import { CAST, everyCell, shelfOfTests } from '../rights.ts';
import { INES, openPitSide, type PitSide, PRIYA, TOMASZ } from './pit-side.ts';

const CYD: Asker = { club: 'dry-lake', clubName: 'Dry Lake Club', member: '1180000000000000009', memberName: 'Cyd' };

describe('the page of rights', () => {
  it('says what the table says', () => {
    expect(readFileSync(new URL('../../../docs/RIGHTS.md', import.meta.url), 'utf8')).toBe(rightsPage());
  });
});

everyCell('through the commands', {
  castFor: () => CAST,
  async open({ archive, clock }) {
    const sheets = await shelfOfTests();
    const commands = makeCommands({ sheets, archive, cards: null, clock, zone: 'Europe/Lisbon', theme: 'dark', log: () => {} }, 'chat');
    return {
      async say(line, asker, file) {
        const read = messageFrom(line, sheets, commands.specs);
        if ('problems' in read) return read.problems.map(({ text }) => text).join('\n');
        const reply = await commands.answer({ ...read.message, asker, ...(file ? { files: { file } } : {}) });
        return `${reply.text}\n${reply.file?.text ?? ''}`;
      },
      stop: async () => {},
    };
  },
});

describe('beside the table', () => {
  let pit: PitSide;
  let code: string;

  beforeEach(async () => {
    pit = await openPitSide('chat');
    await pit.say('corners 612 605 901 896 truck:Sandhopper', INES);
    await pit.say('setup save Open truck:Sandhopper', INES);
    await pit.say('setup save Secret truck:Sandhopper private:yes', INES);
    await pit.say('corners 640 633 868 861 truck:Sandhopper', INES);
    await pit.say('setup save Open truck:Sandhopper', INES);
    for (const who of [PRIYA, TOMASZ, CYD]) await pit.say('corners 700 701 800 801 truck:Own', who);
    await pit.archive.nameOfficer({ club: INES.club, member: 'keeper', appointed: true, name: 'Priya', officer: true });
    await pit.archive.nameOfficer({ club: CYD.club, member: 'keeper', appointed: true, name: 'Cyd', officer: true });
    code = /(?:[0-9a-z]{5}-){4}[0-9a-z]{6}/.exec(await pit.say('setup share Open', INES))?.[0] ?? expect.fail('no code');
  });
  afterEach(() => pit.end());

  it('an officer of one club is nobody in another', async () => {
    expect((await pit.reply('club log', { ...CYD, club: INES.club })).kind).toBe('problems');
    expect(await pit.say('club log', CYD)).not.toContain('Ines');
  });

  it('what is private is answered privately, and nobody is told that it is there', async () => {
    expect((await pit.reply('setup show Secret', INES)).visibility).toBe('private');
    expect((await pit.reply('setup find', INES)).visibility).toBe('private');
    expect((await pit.reply('setup show Open', INES)).visibility).toBe('public');
    expect(await pit.slips('setup show 2', TOMASZ)).toEqual(
      await pit.slips('setup show 99', TOMASZ).then((texts) => texts.map((text) => text.replaceAll('99', '2'))),
    );
  });

  it("the code's words go to nobody else, and are told once", async () => {
    expect((await pit.reply('setup share Open', INES)).visibility).toBe('private');
    expect((await pit.reply(`setup show code:${code}`, CYD)).text).not.toMatch(/Ines|1180000000000000001/);
  });

  it('what another has put in the box is taken out by its owner and by an officer, and the log says who did it', async () => {
    await pit.say('box add spring Blue 0.45', INES);
    expect(await pit.slips('box remove Blue', TOMASZ)).toEqual(['"Blue 0.45" is not yours. It is Ines’s.']);
    await pit.say('box remove Blue', PRIYA);
    expect(await pit.say('club log', PRIYA)).toContain('Priya · spring Blue 0.45 taken off the list');
  });

  it('whose truck it is decides, and not its name: who tells another one of that name has one of their own', async () => {
    await pit.say('truck set pinion:16 truck:Sandhopper', INES);
    await pit.say('truck set pinion:19 truck:Sandhopper', TOMASZ);
    expect(await pit.say('truck show Sandhopper of:Ines fact:pinion', TOMASZ)).not.toContain('19');
    expect(await pit.say('truck show Sandhopper of:Tomasz fact:pinion', INES)).toContain('19 teeth');
  });

  it('deleting what is mine takes a word, and leaves the others alone', async () => {
    expect(await pit.say('mine delete', INES)).toContain('mine delete word:forget me');
    expect(await pit.say('mine delete word:yes', INES)).toContain('nothing was taken away');
    expect(await pit.say('setup show Secret', INES)).toContain('Secret');
    expect(await pit.say('mine delete word:Forget  Me', INES)).toBe(
      'Gone: 1 truck and 1 private setup. 1 open setup stays, without your name.',
    );
    expect(await pit.say('setup show 1', TOMASZ)).toContain('a former member');
    expect(await pit.say('truck list', TOMASZ)).toContain('Own');
    expect((await pit.archive.verify({ club: INES.club })).ok).toBe(true);
  });
});
