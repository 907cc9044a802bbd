/** Readings taken from the club's box by a thing's name: wherever they are told again, the name stands with the value. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { INES, openPitSide, type PitSide, TOMASZ } from './pit-side.ts';

let pit: PitSide;
beforeEach(async () => {
  pit = await openPitSide();
  await pit.say('truck use Sandhopper');
  for (const thing of ['spring blue value:0.447 ± 0.007', 'spring red value:0.718 ± 0.01', 'pinion 16', 'oil 30 wt'])
    await pit.say(`box add ${thing}`);
});
afterEach(() => pit.end());

const lines = (text: string): string[] => text.split('\n');

describe('a spring that was swapped', () => {
  it('is told by its name when the truck is told of it, with what was in there before', async () => {
    expect(lines(await pit.say('truck set rear_spring_rate:blue wheelbase:330'))[1]).toBe(
      'Measured: rear spring rate blue (0.447 N/mm ± 0.007) · wheelbase 330 mm',
    );
    expect(lines(await pit.say('truck set rear_spring_rate:red wheelbase:331'))[1]).toBe(
      'Measured: rear spring rate red (0.718 N/mm ± 0.01), was blue (0.447 N/mm) · wheelbase 331 mm (was 330 mm)',
    );
    expect(lines(await pit.say('truck set rear_spring_rate:0.5'))[1]).toBe('Measured: rear spring rate 0.5 N/mm, was red (0.718 N/mm)');
    expect(await pit.say('truck set rear_spring_rate:blue')).toContain('rear spring rate blue (0.447 N/mm ± 0.007), was 0.5 N/mm');
    expect(await pit.say('truck show')).toContain('rear spring rate blue (0.447 N/mm ± 0.007)');
    expect(await pit.say('truck forget rear_spring_rate')).toContain('rear spring rate blue (0.447 N/mm ± 0.007)');
  });

  it('keeps its whole name when only the beginning was typed, and so do those who read it later', async () => {
    await pit.say('ride end:rear motion_ratio:0.62 unsprung_mass:214 corner_load:900 spring_rate:bl');
    expect((await pit.archive.facts({ ...INES, truck: 'Sandhopper' })).get('rear_spring_rate')).toMatchObject({ said: 'blue' });
    await pit.say('keep');
    await pit.say('ride end:rear spring_rate:re');
    expect(await pit.say('truck show')).toContain('rear spring rate red (0.718 N/mm ± 0.01), kept: blue (0.447 N/mm)');
    expect(await pit.say('ride end:rear spring_rate:re')).toContain('(typed re; spring from the box; kept is blue, 0.447 N/mm)');
  });

  it('is told by its name in the runs', async () => {
    await pit.say('truck set rear_spring_rate:blue pinion:16');
    await pit.say('run add calm');
    await pit.say('truck set rear_spring_rate:red pinion:17');
    expect(lines(await pit.say('run add nervous'))[1]).toBe(
      'Changed: pinion 16 → 17 teeth · rear spring rate blue → red (0.447 → 0.718 N/mm)',
    );
    await pit.say('truck set rear_spring_rate:0.5');
    expect(lines(await pit.say('run add softer'))[1]).toBe('Changed: rear spring rate red (0.718 N/mm) → 0.5 N/mm');
    expect(await pit.say('run list', TOMASZ)).toContain('no run yet');
    expect(lines(await pit.say('run list of:Ines', TOMASZ))).toContain(
      '  pinion 16 → 17 teeth · rear spring rate blue → red (0.447 → 0.718 N/mm)',
    );
    // The thing may go: the fact keeps what it was taken from.
    await pit.say('box remove blue');
    expect(await pit.say('run list')).toContain('rear spring rate blue → red (0.447 → 0.718 N/mm)');
  });

  it('is told by its name in what became stale by it, whether it was given or came from the truck', async () => {
    await pit.say('ride end:rear motion_ratio:0.62 unsprung_mass:214 corner_load:900 spring_rate:blue');
    await pit.say('truck set rear_spring_rate:red');
    expect(await pit.say('truck show')).toContain('for spring rate blue → red (0.447 → 0.718 N/mm)');
    await pit.say('ride end:rear');
    await pit.say('truck set rear_spring_rate:blue');
    expect(await pit.say('truck show')).toContain('for spring rate red → blue (0.718 → 0.447 N/mm)');
  });
});

describe('a setup with a spring of the box', () => {
  beforeEach(async () => {
    await pit.say('ride end:rear motion_ratio:0.62 unsprung_mass:214 corner_load:900 spring_rate:blue');
    await pit.say('keep');
    await pit.say('setup save Evening');
    await pit.say('ride end:rear spring_rate:red');
    await pit.say('keep');
    await pit.say('setup save Evening');
  });

  it('shows name and value, and so do its history and a comparison', async () => {
    expect(await pit.say('setup show Evening')).toContain('spring rate red (0.718 N/mm) rear');
    expect(await pit.say('setup history Evening')).toContain('spring rate: blue (0.447 N/mm) → red (0.718 N/mm)');
    expect(await pit.say('setup compare Evening rev 1, Evening rev 2')).toContain('  rear spring rate: blue → red (0.447 → 0.718 N/mm)');
  });

  it.each(['json', 'markdown'])('takes the name along in a file and back: %s', async (as) => {
    const out = await pit.commands.answer({ command: 'setup export', options: { name: 'Evening', as }, asker: INES });
    await pit.commands.answer({
      command: 'setup import',
      options: { text: out.file?.text ?? expect.fail(out.text), truck: 'Mudlark' },
      asker: TOMASZ,
    });
    const { setups } = await pit.archive.findSetups({ club: INES.club, words: '', limit: 5 });
    const back = setups.find(({ truck }) => truck === 'Mudlark') ?? expect.fail('it did not come back');
    expect(await pit.say(`setup show ${back.id}`, TOMASZ)).toContain('spring rate red (0.718 N/mm) rear');
    expect(await pit.say(`setup compare 1 rev 1, ${back.id}`, TOMASZ)).toContain('blue → red (0.447 → 0.718 N/mm)');
  });

  it('gives the name to the truck that it is copied to', async () => {
    await pit.say('setup copy Evening truck:Mudlark', TOMASZ);
    expect(await pit.say('truck show truck:Mudlark', TOMASZ)).toContain('rear spring rate red (0.718 N/mm');
  });
});
