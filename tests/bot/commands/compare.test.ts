import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openPitSide, type PitSide, TOMASZ } from './pit-side.ts';

describe('setups side by side', () => {
  let pit: PitSide;
  beforeEach(async () => {
    pit = await openPitSide();
    await pit.say('track add pan loop');
    await pit.say('track add wadi');
    await pit.say('corners 668 702 848 809 truck:Sandhopper');
    await pit.say('gearing 3300 2s 16 54 tyre_diameter:109 gearbox_ratio:43/13 truck:Sandhopper');
    await pit.say('keep Sandhopper');
    await pit.say('run add 5 min, laps 25.0 25.2 24.9 25.1 truck:Sandhopper track:pan loop');
    await pit.say('setup save Hard pan truck:Sandhopper grip:low');
    pit.wait(60_000);
    await pit.say('corners 612 605 901 896 truck:Sandhopper');
    await pit.say('gearing pinion:18 truck:Sandhopper');
    await pit.say('keep Sandhopper');
    await pit.say('run add 5 min, laps 24.2 24.4 24.1 24.3 truck:Sandhopper track:pan loop');
    await pit.say('setup save Hard pan truck:Sandhopper grip:high');
  });
  afterEach(() => pit.end());

  it('are asked for by number, name and revision, however that is typed', async () => {
    const asked = await pit.say('setup compare 1 rev 1 1');
    for (const line of ['1 rev 1, 1', '1 rev 1; Hard pan', 'hard pan rev 1, hard pan', 'a:1 rev 1 b:1', '1 revision 1 1 rev 2'])
      expect(await pit.say(`setup compare ${line}`), line).toBe(asked);
    expect(asked).toMatch(/^1\. Hard pan · Sandhopper · revision 1 · .*\n1\. Hard pan · Sandhopper · revision 2/);
    expect(await pit.say('setup show Hard pan rev 1')).toContain('revision 1 of 2');
    expect(await pit.slips('setup compare 1 rev 7 1')).toEqual(['Revision: "7" is out. Give 1 to 2.']);
    // Whatever a setup is called, its own name comes first.
    await pit.say('setup save Hard pan rev 1 truck:Sandhopper');
    expect(await pit.say('setup show Hard pan rev 1')).toMatch(/^Hard pan rev 1 · /);
  });

  it('are shown by a word of their name, if no other holds it', async () => {
    expect(await pit.say('setup show hard')).toMatch(/^Hard pan · Sandhopper · revision 2/);
    await pit.say('setup save Hard sand truck:Sandhopper');
    expect(await pit.slips('setup show hard')).toEqual([
      'No setup is called "hard", but several hold that. Say which, by its number: 2 Hard sand, 1 Hard pan.',
    ]);
    expect(await pit.say('setup compare sand, pan')).toMatch(/^2\. Hard sand .*\n1\. Hard pan/);
    expect(await pit.slips('setup show soft')).toEqual(['There is no setup "soft" in this club. Look for it with a word of its name.']);
    // Nobody is told of what is not theirs to see, and nothing is changed by a word.
    await pit.say('setup save Secret hollow truck:Sandhopper private:yes');
    expect(await pit.slips('setup show hollow', TOMASZ)).toEqual([
      'There is no setup "hollow" in this club. Look for it with a word of its name.',
    ]);
    expect((await pit.reply('setup remove sand sure:yes')).kind).toBe('problems');
  });

  it('stand side by side in one line, quoted or not, where each name is known', async () => {
    await pit.say('setup save Gravel and sand truck:Sandhopper');
    const asked = await pit.say('setup compare Hard pan, Gravel and sand');
    expect(asked).toMatch(/^1\. Hard pan .*\n2\. Gravel and sand/);
    for (const line of [
      'Hard pan and Gravel and sand',
      'hard pan Gravel and sand',
      '"Hard pan" "Gravel and sand"',
      '"Hard pan" 2',
      'hard pan 2',
      'hard pan with 2',
      "1, 'gravel and sand'",
    ])
      expect(await pit.say(`setup compare ${line}`), line).toBe(asked);
    expect(await pit.say('setup compare hard pan rev 1 hard pan')).toBe(await pit.say('setup compare 1 rev 1 1'));
    // One that is known, and one that is not: the sentence is of the two together, for nobody knows where one ends.
    expect(await pit.slips('setup compare hard pan wet')).toEqual(['B is missing. Give two or more: setup compare 3 5.']);
    expect(await pit.slips('setup compare Gravel and sand')).toEqual(['B is missing. Give two or more: setup compare 3 5.']);
  });

  it('are looked at by a word of their name in every command that only looks', async () => {
    expect(await pit.say('setup history hard')).toMatch(/^Hard pan · Sandhopper · number 1/);
    expect((await pit.reply('setup export hard rev 1 as:csv')).text).toContain('"Hard pan", revision 1, as setup-1-rev-1.csv');
    expect(await pit.say('setup picture hard')).toContain('"Hard pan", revision 2: no picture yet.');
    expect(await pit.say('setup copy hard truck:Mudlark')).toContain('of "Hard pan" now');
    for (const line of [
      'restore hard rev:1',
      'private hard',
      'share hard',
      'unshare hard',
      'remove hard sure:yes',
      'picture hard remove:1',
    ])
      expect(await pit.slips(`setup ${line}`), line).toEqual(['No setup is called "hard". Did you mean 1 Hard pan? Give its number.']);
    // Of what is not theirs to see nobody hears.
    expect(await pit.say('setup private 1')).toContain('yours alone');
    expect(await pit.slips('setup history hard', TOMASZ)).toEqual([
      'There is no setup "hard" in this club. Look for it with a word of its name.',
    ]);
  });

  it('take the revision with the name', async () => {
    expect(await pit.say('setup show 1 1')).toBe(await pit.say('setup show 1 rev:1'));
    expect(await pit.say('setup restore 1 1')).toContain('is as it was at revision 1: that is revision 3 now');
    expect(await pit.say('setup restore hard pan rev 2')).toContain('is as it was at revision 2: that is revision 4 now');
    expect(await pit.slips('setup restore hard pan')).toEqual(['Rev is missing. Say which: rev:1.']);
    expect(await pit.slips('setup restore 1 9')).toEqual(['Revision: "9" is out. Give 1 to 4.']);
  });

  it('say each reading in one unit, however it was typed', async () => {
    await pit.say('corners 612 1.5lb 0.904kg 896 truck:Sandhopper');
    await pit.say('setup save Hard pan truck:Sandhopper');
    const asked = await pit.say('setup compare 1 rev 2, 1 rev 3');
    // 1 lb is 453.59237 g: NIST SP 811, B.8.
    expect(asked).toContain('  front right: 605 g → 680.4 g');
    expect(asked).toContain('  rear left: 901 g → 904 g');
  });

  it('may be many, up to what a line holds', async () => {
    for (const weight of [700, 720, 740]) {
      await pit.say(`corners 612 605 ${weight} 896 truck:Sandhopper`);
      await pit.say('setup save Hard pan truck:Sandhopper');
    }
    const asked = await pit.reply('setup compare 1 rev 1, 1 rev 2, 1 rev 3, 1 rev 4, 1 rev 5');
    expect(asked.text).toContain('  rear left: 848 g → 901 g → 700 g → 720 g → 740 g');
    expect(await pit.slips('setup compare 1 1 1 1 1 1 1')).toEqual(['7 setups are too many side by side. Give 6 at most.']);
  });

  it('answer of each what was asked of one, from the parts that it kept', async () => {
    await pit.say('truck set wheelbase:330 truck:Sandhopper');
    await pit.say('truck parts add pack 312 at:230 places:190 truck:Sandhopper');
    await pit.say('setup save Early truck:Sandhopper');
    await pit.say('truck parts change pack at:190 places:230 truck:Sandhopper');
    await pit.say('corners 660 650 850 840 truck:Sandhopper');
    await pit.say('ballast truck:Sandhopper');
    await pit.say('setup save Late truck:Sandhopper');
    const asked = await pit.say('setup compare Early, Late sheet:ballast');
    expect(asked).not.toContain('–');
    expect(asked).toMatch(/plan: .* → .*/);
  });

  it('show what the lap did, with its ±, only where it is the same lap', async () => {
    // Mean 25.05 and 24.25 s; s = 0.1291 s, t(0.975; 3) = 3.1824 (printed value, any table of Student's t): 3.1824 × 0.1291 / √4 = 0.205.
    expect(await pit.say('setup compare 1 rev 1 1')).toContain('On the track\n  mean lap: 25.05 s ± 0.21 → 24.25 s ± 0.21 ✓ faster');
    expect(await pit.say('setup compare 1 1 rev 1')).toContain('mean lap: 24.25 s ± 0.21 → 25.05 s ± 0.21 ✗ slower');
    await pit.say('gearing pinion:15 truck:Sandhopper');
    await pit.say('keep Sandhopper');
    await pit.say('run add 5 min, laps 31.2 31.4 31.1 truck:Sandhopper track:wadi');
    await pit.say('setup save Sand truck:Sandhopper');
    expect(await pit.say('setup compare 1 2')).not.toContain('mean lap');
  });

  it('put first what was changed most, and count what is no more than its ±', async () => {
    const text = await pit.say('setup compare 1 rev 1 1');
    const readings = /Readings\n((?: {2}.*\n)+)/.exec(text)![1]!.trim().split(/\n\s*/);
    expect(readings).toEqual([
      'front right: 702 g → 605 g',
      'pinion: 16 teeth → 18 teeth',
      'rear right: 809 g → 896 g',
      'front left: 668 g → 612 g',
      'rear left: 848 g → 901 g',
    ]);
    expect(text).toMatch(/Corner weights\n {2}rear share: 54\.7\S* % .* off target → 59\.6\S* % .* on target/);
    expect(text).toMatch(/and \d+ more\n/);
    expect(text).toContain('One sheet in full: add sheet:corners');
  });

  it('show one sheet in full, or say which differ', async () => {
    const text = await pit.say('setup compare 1 rev 1 1 sheet:corners');
    expect(text).toContain('rear corner load');
    expect(text).not.toContain('Gearing');
    expect(text).not.toContain('Readings');
    expect(text).not.toContain('One sheet in full');
    expect(await pit.slips('setup compare 1 rev 1 1 sheet:ride')).toEqual([
      'Sheet: nothing differs on "ride". Answers differ on laps, corners, gearing.',
    ]);
  });
});
