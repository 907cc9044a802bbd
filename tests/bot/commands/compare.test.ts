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
