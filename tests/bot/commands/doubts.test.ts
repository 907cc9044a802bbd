/** A value that is likely a slip is kept, and asked back: ten times what it was, or what a sheet doubts. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openPitSide, type PitSide } from './pit-side.ts';

let pit: PitSide;
beforeEach(async () => {
  pit = await openPitSide();
});
afterEach(() => pit.end());

/** What is asked back. */
const doubts = async (line: string): Promise<string[]> =>
  (await pit.say(line))
    .split('\n')
    .filter((one) => one.startsWith('⚠ '))
    .map((one) => one.slice(2));

describe('a value that is ten times what it was', () => {
  it('is kept and asked back, a tenth and more zeros too', async () => {
    expect(await doubts('truck set wheelbase=330.2')).toEqual([]);
    expect(await pit.say('truck set wheelbase=33.2')).toBe(
      [
        'Kept for truck',
        'Measured: wheelbase 33.2 mm (was 330.2 mm)',
        '⚠ Wheelbase 33.2 mm: is that in millimetres?',
        '⚠ Wheelbase: 33.2 mm is a tenth of the 330.2 mm before. Did you mean 332 mm?',
      ].join('\n'),
    );
    await pit.say('truck set rear_spring_rate:0.45');
    expect(await doubts('truck set rear_spring_rate:5.1')).toEqual([
      'Rear spring rate: 5.1 N/mm is ten times the 0.45 N/mm before. Did you mean 0.51 N/mm?',
    ]);
    await pit.say('truck set front_left:612 g ± 2');
    expect(await doubts('truck set front_left:61.3 g ± 2')).toEqual([
      'Front left: 61.3 g is a tenth of the 612 g before. Did you mean 613 g?',
    ]);
    expect(await doubts('truck set pack_mass:2.9 g')).toEqual([]);
    expect(await doubts('truck set pack_mass:290 g')).toEqual([
      'Pack mass: 290 g is a hundred times the 2.9 g before. Did you mean 2.9 g?',
    ]);
  });

  it('is no slip when it is another spring, another day or a word', async () => {
    await pit.say('truck set rear_spring_rate:0.45 air_temperature:3 tyre_diameter:109');
    expect(await doubts('truck set rear_spring_rate:0.9 air_temperature:30 tyre_diameter:109')).toEqual([]);
    expect(await doubts('truck set rear_spring_rate:0.2')).toEqual([]);
  });

  it('is no slip when it puts one right', async () => {
    // What was doubted before is not doubted now.
    expect(await doubts('truck set wheelbase:33.2')).toEqual(['Wheelbase 33.2 mm: is that in millimetres?']);
    expect(await doubts('truck set wheelbase:332')).toEqual([]);
    // It was so earlier.
    for (const rate of ['0.45', '4.5']) await pit.say(`truck set rear_spring_rate:${rate}`);
    expect(await doubts('truck set rear_spring_rate:0.46')).toEqual([]);
  });

  it('is told by the name of the thing, of which nobody meant a tenth', async () => {
    await pit.say('box add spring stiff value:4.5');
    await pit.say('truck set rear_spring_rate:0.45');
    expect(await doubts('truck set rear_spring_rate:stiff')).toEqual([
      'Rear spring rate: stiff (4.5 N/mm) is ten times the 0.45 N/mm before. Is it that one?',
    ]);
  });

  it('is asked back when a sheet was given it and it is kept', async () => {
    await pit.say('truck set rear_spring_rate:0.45');
    await pit.say('ride end:rear motion_ratio:0.62 unsprung_mass:214 corner_load:900 spring_rate:4.5');
    expect(await doubts('keep')).toEqual(['Rear spring rate: 4.5 N/mm is ten times the 0.45 N/mm before. Did you mean 0.45 N/mm?']);
  });
});

describe('what a sheet doubts', () => {
  it('is asked back once, whichever reading brought it, as the sheets themselves do', async () => {
    expect(await doubts('truck set front_left:612 front_right:61')).toEqual(['Front left is more than three times front right: mistyped?']);
    expect(await doubts('truck set wheelbase:331 kingpin_track:400')).toEqual([
      'The kingpin track is longer than the wheelbase: mistyped?',
    ]);
    // It is said of what was told just now.
    expect(await doubts('truck set tyre_diameter:109')).toEqual([]);
    expect(await doubts('corners 612 605 901 896 wheelbase:33.2')).toEqual(['Wheelbase 33.2 mm: is that in millimetres?']);
  });
});

describe('the temperature that a setup was driven in', () => {
  beforeEach(() => pit.say('corners 612 605 901 896'));

  it('may be a word, as the wind may', async () => {
    for (const [typed, shown] of [
      ['warm', 'warm'],
      ['24', '24 °C'],
      ['75 F', '75 F'],
      ['24 to 26', '24 to 26'],
    ]) {
      await pit.say(`setup save Evening temperature:${typed}`);
      expect((await pit.say('setup show Evening')).split('\n')[1]).toBe(`Conditions: ${shown}`);
    }
  });

  it('is asked back when it is a number and no air is so, and nothing is kept', async () => {
    expect(await pit.slips('setup save Evening temperature:240')).toEqual(['Temperature: "240" is out. Give −40 to 60 °C.']);
    expect(await pit.slips('setup save Evening temperature:240 F')).toHaveLength(1);
    expect(await pit.slips('setup show Evening')).toHaveLength(1);
  });
});
