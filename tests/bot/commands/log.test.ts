/** club log: who changed what, as an officer reads it at the pit. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { INES, openPitSide, type PitSide, PRIYA, TOMASZ } from './pit-side.ts';

describe("the club's log", () => {
  let pit: PitSide;

  const asOfficer = async (): Promise<void> => {
    await pit.archive.nameOfficer({ club: INES.club, member: 'keeper', appointed: true, name: 'Priya', officer: true });
  };
  /** Its lines without the hour, newest first. */
  const log = async (more = ''): Promise<string[]> =>
    (await pit.say(`club log${more}`, PRIYA)).split('\n').map((line) => line.replace(/^\d\d:\d\d · /, ''));

  beforeEach(async () => {
    pit = await openPitSide();
    await pit.say('corners 700 701 800 801 truck:Own', PRIYA);
    await asOfficer();
  });
  afterEach(() => pit.end());

  it('names the truck, the reading, and what it was and is, by day', async () => {
    await pit.say('box add spring white 0.38', INES);
    await pit.say('box add spring red 0.55', INES);
    await pit.say('truck set front_spring_rate:white truck:Sandhopper', INES);
    await pit.say('truck set front_spring_rate:red pinion:16 truck:Sandhopper', INES);
    await pit.say('truck forget pinion truck:Sandhopper', INES);
    expect(await log()).toEqual([
      '14 June 2026',
      'Ines · Sandhopper · forgot pinion 16 teeth',
      'Ines · Sandhopper · front spring rate white 0.38 → red 0.55, pinion 16 teeth',
      'Ines · Sandhopper · front spring rate white 0.38',
      'Ines · Sandhopper · a new truck',
      'Ines · spring red 0.55 is new',
      'Ines · spring white 0.38 is new',
      'Ines · is new in the club',
      'the club · Priya is an officer now',
      'Priya · Own · asked corners',
      'Priya · Own · a new truck',
      'Priya · is new in the club',
      'the club · the log begins',
    ]);
  });

  it('tells sheets that were asked one after the other in one line, what was kept of them, and a reading kept anew', async () => {
    await pit.say('corners 612 605 901 896 truck:Sandhopper', INES);
    await pit.say('keep facts:front_left truck:Sandhopper', INES);
    await pit.say('truck set front_left:612 how:stated truck:Sandhopper', INES);
    expect((await log()).slice(1, 3)).toEqual([
      'Ines · Sandhopper · front left 612 g, measured → stated',
      'Ines · Sandhopper · kept front left 612 g',
    ]);
    await pit.say('corners 620 613 901 896 truck:Sandhopper', INES);
    await pit.say('wheel 96 38 109 56 truck:Sandhopper', INES);
    await pit.say('keep truck:Sandhopper', INES);
    expect((await log()).slice(1, 3)).toEqual([
      'Ines · Sandhopper · kept bead diameter 56 mm, front left 612 g → 620 g, front right 613 g, and 5 more',
      'Ines · Sandhopper · asked corners, wheel',
    ]);
  });

  it('tells parts, things and runs: what is new, what was and is, what went', async () => {
    await pit.say('truck parts add battery 312 at:120 truck:Sandhopper', INES);
    await pit.say('truck parts change battery mass:305 at:90 truck:Sandhopper', INES);
    await pit.say('truck parts remove battery truck:Sandhopper', INES);
    await pit.say('scale add 2 known:500 reads:502', INES);
    await pit.say('scale add 2 known:500 reads:501', INES);
    await pit.say('box add spring blue 0.45', INES);
    await pit.say('box lend blue to:Priya', INES);
    await pit.say('box return blue', PRIYA);
    await pit.say('box remove blue', INES);
    await pit.say('run add 5 min, bucked in the whoops, motor 72 truck:Sandhopper', INES);
    await pit.say('run remove 1 truck:Sandhopper', INES);
    expect((await log()).slice(1, 13)).toEqual([
      'Ines · Sandhopper · run 1 taken out',
      'Ines · Sandhopper · run 1: (gone)',
      'Ines · spring blue 0.45 taken off the list',
      'Priya · spring blue 0.45 is back',
      'Ines · spring blue 0.45 lent to Priya',
      'Ines · spring blue 0.45 is new',
      'Ines · scale 2 reads 0.4 % high → reads 0.2 % high',
      'Ines · scale 2 is new, reads 0.4 % high',
      'Ines · Sandhopper · part battery taken off the list',
      'Ines · Sandhopper · part battery 312 g → 305 g, at 120 mm → at 90 mm',
      'Ines · Sandhopper · part battery 312 g, at 120 mm',
      'Ines · Sandhopper · a new truck',
    ]);
  });

  it('tells setups by name and revision; private ones by their number, gone ones as gone', async () => {
    await pit.say('corners 612 605 901 896 truck:Sandhopper', INES);
    await pit.say('setup save Hard pan, evening truck:Sandhopper', INES);
    await pit.say('corners 620 605 901 896 truck:Sandhopper', INES);
    await pit.say('setup save Hard pan, evening truck:Sandhopper', INES);
    await pit.say('setup save My secret truck:Sandhopper private:yes', INES);
    await pit.say('setup copy 1 truck:Own', PRIYA);
    await pit.say('setup share 1 named:yes', INES);
    await pit.say('setup unshare 1', INES);
    expect((await log()).slice(1, 7)).toEqual([
      'Ines · ended the codes of "Hard pan, evening"',
      'Ines · made a code for "Hard pan, evening", revision 2, with the name',
      'Priya · Own · copied "Hard pan, evening"',
      'Ines · saved setup 2 (private) as revision 1',
      'Ines · saved "Hard pan, evening" as revision 2: front left 612 g → 620 g',
      'Ines · Sandhopper · asked corners',
    ]);
    await pit.say('setup remove 1 sure:yes', INES);
    expect((await log()).slice(1, 4)).toEqual([
      'Ines · took setup 1 away',
      'Ines · ended the codes of setup 1 (gone)',
      'Ines · made a code for setup 1 (gone), revision 2, with the name',
    ]);
    expect((await log()).join('\n')).not.toMatch(/secret|Hard pan/);
  });

  it('tells who gave a truck to whom; of who has left, nothing but that it was there', async () => {
    await pit.say('truck set pinion:16 truck:Sandhopper', INES);
    await pit.say('corners 700 701 800 801 truck:Other', TOMASZ);
    await pit.say('truck give Sandhopper to:Tomasz', INES);
    await pit.say('truck take Sandhopper', TOMASZ);
    expect((await log()).slice(1, 3)).toEqual(['Tomasz · Sandhopper · taken over from Ines', 'Ines · Sandhopper · offered to Tomasz']);
    await pit.say('mine delete word:forget me', TOMASZ);
    expect((await log()).slice(1, 5)).toEqual([
      'a former member · left, with what was theirs',
      'a former member · (gone) · taken over from Ines',
      'Ines · (gone) · offered to (gone)',
      'a former member · (gone) · asked corners',
    ]);
    expect((await log()).join('\n')).toContain('Ines · (gone) · readings (gone)');
  });

  it('fits a message however long the names are, and goes on where it broke off', async () => {
    const wide = (letter: string): string => letter.repeat(58);
    for (let i = 0; i < 8; i += 1)
      await pit.say(`truck parts add ${wide('p')}${i} 30 note:"${wide('n')} ${wide('m')}" truck:${wide('T')}`, {
        ...INES,
        memberName: wide('I'),
      });
    const first = await pit.say('club log', PRIYA);
    const before = Number(/Earlier: club log before:(\d+)$/.exec(first)?.[1]);
    expect(first.length).toBeLessThanOrEqual(2000);
    const told = (text: string): string[] => [...text.matchAll(/part p+(\d)/g)].map(([, number]) => number!);
    const second = await pit.say(`club log before:${before}`, PRIYA);
    expect(told(second)[0]).toBe(String(Number(told(first).at(-1)) - 1));
  });

  it('shows names in a chat as they are written, whatever signs they hold', async () => {
    const chat = await openPitSide('chat');
    await chat.say('corners 612 605 901 896 truck:*Sand*_hopper_', { ...INES, memberName: '**@everyone**' });
    await chat.archive.nameOfficer({ club: INES.club, member: 'keeper', appointed: true, name: '**@everyone**', officer: true });
    const text = await chat.say('club log', { ...INES, memberName: '**@everyone**' });
    expect(text).toContain('\\*Sand\\*\\_hopper\\_');
    expect(text).not.toMatch(/@everyone/);
    await chat.end();
  });
});
