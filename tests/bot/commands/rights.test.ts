import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Asker, Reply } from '../../../bot/commands/types.ts';
import { type Act, may, RIGHTS, rightsPage, STANDINGS, type Standing } from '../../../worksheets/archive/rights.ts';
import { INES, openPitSide, type PitSide, PRIYA, TOMASZ } from './pit-side.ts';

/** Ines owns the setups, Priya is an officer, Tomasz a member, Cyd of another club. */
const CYD: Asker = { club: 'dry-lake', clubName: 'Dry Lake Club', member: '1180000000000000009', memberName: 'Cyd' };
const WHO: Readonly<Record<Standing, Asker>> = { owner: INES, officer: PRIYA, member: TOMASZ, 'other club': CYD };

describe('the page of rights', () => {
  it('says what the table says', () => {
    expect(readFileSync(new URL('../../../docs/RIGHTS.md', import.meta.url), 'utf8')).toBe(rightsPage());
  });
});

describe('who may do what', () => {
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

  const ids = { open: 1, secret: 2 };
  const done = (reply: Reply): boolean => reply.kind !== 'problems';
  const every = async (who: Asker, lines: readonly string[], held: (reply: Reply) => boolean = done): Promise<boolean> => {
    const all: boolean[] = [];
    for (const line of lines) all.push(held(await pit.reply(line, who)));
    // All of what an act stands for is allowed, or none of it.
    expect(new Set(all).size, `${who.memberName}: ${lines.join('; ')} gave ${all.join(', ')}`).toBe(1);
    return all[0]!;
  };
  const holds = (reply: Reply, word: string): boolean => done(reply) && reply.text.includes(word);

  /** Tries an act as somebody would, and says whether it was done. Whether what is refused has also not happened, is looked at below. */
  const TRIED: Readonly<Record<Act, (who: Asker) => Promise<boolean>>> = {
    'see setup': (who) =>
      every(
        who,
        [`setup show ${ids.open}`, 'setup show Open rev:1', `setup history ${ids.open}`, 'setup find open', 'setup compare 1 1'],
        (reply) => holds(reply, 'Open') && !reply.text.startsWith('No setup'),
      ),
    'see private setup': (who) =>
      every(
        who,
        ['setup show Secret', `setup show ${ids.secret}`, 'setup history Secret', 'setup find secret', 'setup find', 'setup compare 2 2'],
        (reply) => holds(reply, 'Secret') && !reply.text.startsWith('No setup'),
      ),
    'copy setup': (who) => every(who, ['setup copy Open truck:Own', `setup copy ${ids.open} truck:Own rev:1`]),
    'copy private setup': (who) => every(who, ['setup copy Secret truck:Own', `setup copy ${ids.secret} truck:Own`]),
    'change setup': (who) =>
      every(who, [`setup restore ${ids.open} rev:1`, `setup private ${ids.open} private:yes`, `setup private ${ids.open} private:no`]),
    'share setup': (who) => every(who, [`setup share ${ids.open}`, `setup share ${ids.open} named:yes`]),
    'end sharing': (who) => every(who, [`setup unshare ${ids.open}`]),
    'see by code': (who) => every(who, [`setup show code:${code}`, `setup copy code:${code} truck:Own`]),
    'remove setup': (who) => every(who, [`setup remove ${ids.open} sure:yes`]),
    'take my things': (who) => every(who, ['mine export'], (reply) => reply.file?.text.includes('Sandhopper') ?? false),
    'see officers': (who) => every(who, ['club officers'], (reply) => holds(reply, 'Priya')),
    'name officers': (who) => every(who, ['club officer add:Tomasz'], (reply) => holds(reply, 'Tomasz')),
    'see log': (who) => every(who, ['club log'], (reply) => holds(reply, 'Ines')),
  };

  for (const act of Object.keys(RIGHTS) as Act[])
    for (const standing of STANDINGS)
      it(`${standing}, ${RIGHTS[act].what}: ${may(act, standing === 'other club' ? [standing] : [standing, 'member']) ? 'yes' : 'no'}`, async () => {
        const before = await pit.archive.verify({ club: INES.club });
        const as: readonly Standing[] = standing === 'other club' ? [standing] : [standing, 'member'];
        const allowed = await TRIED[act](WHO[standing]);
        expect(allowed).toBe(may(act, as));
        // What was refused has left no trace: the club's log has not grown.
        if (!allowed) expect(await pit.archive.verify({ club: INES.club })).toEqual(before);
      });

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
