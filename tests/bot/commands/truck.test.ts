/** A truck in words: what is given, kept, told and forgotten; what is shown of it; its parts; from hand to hand. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { HOUR, INES, openPitSide, type PitSide, PRIYA, TOMASZ } from './pit-side.ts';

let pit: PitSide;
beforeEach(async () => {
  pit = await openPitSide();
});
afterEach(() => pit.end());

const WEIGHED = 'corners 612 605 901 896 wheelbase=330';
const RIDE = 'ride end:rear spring_rate:0.50 motion_ratio:0.62 unsprung_mass:214';
const RIDE_ALONE = `${RIDE} corner_load:898.5`;
/** The line of an answer's text that starts like this. */
const line = (text: string, start: string): string => text.split('\n').find((one) => one.startsWith(start)) ?? `no line "${start}"`;
const lines = (text: string, from: string, to?: string): string[] => {
  const all = text.split('\n');
  const start = all.findIndex((one) => one.startsWith(from));
  expect(start, `no line "${from}" in\n${text}`).toBeGreaterThanOrEqual(0);
  const end = to === undefined ? all.length : all.findIndex((one, i) => i > start && one.startsWith(to));
  return all.slice(start + 1, end < 0 ? all.length : end);
};

describe('what was just given', () => {
  it('fills the next sheets of that truck, which say that it is from the truck', async () => {
    await pit.say(`${WEIGHED} truck:Sandhopper`);
    const answer = await pit.say('corners truck:Sandhopper pack_mass:292');
    expect(line(answer, 'Given')).toBe('Given: pack mass 292 g');
    expect(line(answer, 'From the truck')).toBe(
      'From the truck: front left 612 g ± 0.5 · front right 605 g ± 0.5 · rear left 901 g ± 0.5 · rear right 896 g ± 0.5 · wheelbase 330 mm',
    );
  });

  it('is gone after twelve hours unless it is kept', async () => {
    await pit.say(WEIGHED);
    pit.wait(13 * HOUR);
    expect((await pit.slips('corners pack_mass:292'))[0]).toBe('Front left is missing (front left wheel). Give 10 to 5000 g.');
    await pit.say(WEIGHED);
    await pit.say('keep');
    pit.wait(1000 * HOUR);
    expect(await pit.say('corners')).toContain('rear share 59.622 %');
  });

  it('stands before what is kept, and the answer says what is kept, when it is given and when it fills', async () => {
    await pit.say(RIDE_ALONE);
    await pit.say('keep');
    expect(line(await pit.say('ride end:rear spring_rate:0.45'), 'Given')).toBe('Given: spring rate 0.45 N/mm (kept is 0.50 N/mm)');
    expect(line(await pit.say('ride end:rear'), 'From the truck')).toContain('spring rate 0.45 N/mm (just given; kept is 0.50 N/mm)');
    pit.wait(13 * HOUR);
    expect(line(await pit.say('ride end:rear'), 'From the truck')).toContain('spring rate 0.5 N/mm ·');
  });

  it('says nothing of what is kept when it is the same', async () => {
    await pit.say(RIDE_ALONE);
    await pit.say('keep');
    expect(line(await pit.say('ride end:rear spring_rate:0,5'), 'Given')).toBe('Given: spring rate 0.5 N/mm');
  });

  it('reaches the sheets that this one rests on at once', async () => {
    await pit.say(WEIGHED);
    await pit.say(RIDE);
    await pit.say('keep');
    // ride takes what is typed now off the load of its wheel: 898.5 less 300, not less the 214 that are kept.
    const hop = await pit.reply('hop end:rear unsprung_mass:300 tyre_rate:2.9');
    expect(hop.answer!.readings.find(({ name }) => name === 'sprung_mass')).toMatchObject({ from: 'sheet', sheet: 'ride', value: 598.5 });
    await pit.say('corners rear_left:930');
    expect(line(await pit.say('ride end:rear'), 'From the sheet corners')).toContain('corner load 913 g');
  });

  it('has the ± of its scale on every sheet, also on one that knows no scale', async () => {
    await pit.say('corners 612 605 901 896 scale_step:0.1');
    const cross = await pit.reply('cross front_wheel_rate:0.36 rear_wheel_rate:0.52');
    // A step of 0.1 g, k = 2: 0.1/√12 · 2 (JCGM 100:2008, 4.3.7).
    expect(cross.answer!.readings.find(({ name }) => name === 'front_left')!.uncertainty).toBeCloseTo(0.2 / Math.sqrt(12), 12);
  });

  it('has it too when it was told to the truck, or first given to a sheet that knows no scale', async () => {
    const off = async (asked: string): Promise<number | null> =>
      (await pit.reply(asked)).answer!.readings.find(({ name }) => name === 'front_left')!.uncertainty;
    await pit.say('truck set front_left:612 scale_step:0.1 truck:told');
    expect(
      await off('cross truck:told front_right:605 rear_left:901 rear_right:896 front_wheel_rate:0.36 rear_wheel_rate:0.52'),
    ).toBeCloseTo(0.2 / Math.sqrt(12), 12);
    await pit.say('cross 612 605 901 896 front_wheel_rate:0.36 rear_wheel_rate:0.52');
    // The step of 1 g that corners supposes where none is known.
    expect(await off('cross')).toBeCloseTo(2 / Math.sqrt(12), 12);
    expect(await off('corners')).toBeCloseTo(2 / Math.sqrt(12), 12);
  });
});

describe('look', () => {
  it('answers from the truck, and leaves the truck as it was', async () => {
    await pit.say('gearing 3300 2 16 54 tyre_diameter:109 gearbox_ratio:3.3');
    await pit.say('keep');
    const text = await pit.say('look gearing pinion:18');
    expect(text).toContain('spur 54 teeth');
    expect(text.split('\n').at(-1)).toBe('Only looked at: nothing of it is kept.');
    expect(await pit.say('truck show fact:pinion')).not.toContain('18');
    await pit.say('look corners 612 605 901 896 truck:Nobody');
    expect(await pit.archive.trucks(INES)).toEqual(['truck']);
    expect(await pit.slips('look')).toEqual(['Line: Give a sheet with its readings: look gearing pinion:18.']);
    expect(await pit.slips('look truck show')).toEqual(['Line: Give a sheet with its readings: look gearing pinion:18.']);
    expect((await pit.slips('look gearing pinoin:18'))[0]).toContain('Did you mean pinion?');
    expect((await pit.slips('look gearing pinion:none'))[0]).toContain('Pinion');
  });
});

describe('keep', () => {
  it('keeps what was just given, says what it took the place of and what that makes stale', async () => {
    await pit.say(WEIGHED);
    await pit.say(RIDE);
    expect(await pit.say('keep')).toBe(
      [
        'Kept for truck',
        'Measured: front left 612 g ± 0.5 · front right 605 g ± 0.5 · rear left 901 g ± 0.5 · rear motion ratio 0.62 · rear right 896 g ± 0.5',
        '  rear spring rate 0.5 N/mm · rear unsprung mass 214 g · wheelbase 330 mm',
      ].join('\n'),
    );
    await pit.say('press end:rear press_points:0/92 400/84.1 800/76.4 spring_rate:0.45'.replace(' spring_rate:0.45', ''));
    await pit.say('corners rear_left:950');
    expect(await pit.say('keep how:assumed facts:rear_left')).toBe(
      ['Kept for truck', 'Assumed: rear left 950 g ± 0.5 (was 901 g ± 0.5)', 'Stale by that: Ride, rear. Ask again: truck refresh'].join(
        '\n',
      ),
    );
  });

  it('takes the truck and how it is known as bare words', async () => {
    await pit.say(`${WEIGHED} truck:Sandhopper`);
    expect(await pit.say('keep Sandhopper stated')).toMatch(/^Kept for Sandhopper\nStated: front left 612 g/);
    expect(await pit.slips('keep Sandhopper')).toEqual([
      'Nothing new was given for Sandhopper in the last 12 hours. Ask a sheet with it first, or say it: truck set wheelbase:330.',
    ]);
    expect(await pit.slips('keep Mudlark')).toEqual(['There is no truck "Mudlark" of yours. You have "Sandhopper".']);
  });

  it('does not keep a reading of which nobody said the end, and says so when there is nothing else', async () => {
    await pit.say('press press_points:0/92 400/84.1');
    expect(await pit.slips('keep')).toEqual([
      'Press points was given without saying of which end. Ask the sheet again with end:front or end:rear, then keep.',
    ]);
    await pit.say(WEIGHED);
    expect(await pit.say('keep')).not.toContain('press points');
  });

  it('happens once for an interaction that arrives twice', async () => {
    await pit.reply(WEIGHED, INES, 'i-1');
    const first = await pit.reply('keep', INES, 'i-2');
    expect(await pit.reply('keep', INES, 'i-2')).toEqual(first);
    expect(first.text).toMatch(/^Kept for truck/);
  });
});

describe('truck set', () => {
  it('keeps what one knows without asking a sheet, as the sheets would read it', async () => {
    expect(await pit.say('truck set pack_mass:10.3 oz wheelbase=330 rear_spring_rate:2.5 lb how:stated')).toBe(
      ['Kept for truck', 'Stated: pack mass 292 g · wheelbase 330 mm · rear spring rate 0.4378 N/mm'].join('\n'),
    );
    expect(await pit.say('truck set end:front spring_rate:0.30 ends:plain')).toContain('front spring rate 0.3 N/mm · front ends plain');
    expect(line(await pit.say('ride end:front corner_load:600 motion_ratio:0.6 unsprung_mass:150'), 'From the truck')).toBe(
      'From the truck: spring rate 0.3 N/mm',
    );
  });

  it('hears of all slips at once and keeps nothing then', async () => {
    expect(await pit.slips('truck set wheelbase:33000 spring_rate:0.4 sprung_rate:1 pack_mass:heavy')).toEqual([
      '"sprung_rate" is no reading here. Did you mean spring_rate?',
      'Spring rate: of which end? Say front_spring_rate or rear_spring_rate.',
      'Wheelbase: "33000" is out. Give 0.1 to 2000 mm. Did you mean 330 mm?',
      'Pack mass: "heavy" is not a number. Give 1 to 5000 g.',
    ]);
    expect(await pit.slips('truck set')).toEqual([
      'Facts is missing. Give name:value, as many as you like: truck set wheelbase:330 pack_mass:292.',
    ]);
    expect(await pit.slips('truck set wheelbase:330 how:guessed')).toEqual([
      'How: "guessed" is none of them. Give measured, stated or assumed.',
    ]);
    expect(await pit.slips('truck set 330')).toEqual(['"330" has no name. Write name:value.']);
    expect(await pit.archive.trucks(INES)).toEqual([]);
  });
});

describe('which truck', () => {
  it('is the one named, else the current one, else the one called truck', async () => {
    await pit.say(WEIGHED);
    expect(await pit.say('truck use Sandhopper')).toBe(
      'Sandhopper is a new truck, and yours. It is meant from now on when none is named: truck show says where to start.',
    );
    expect((await pit.say('corners 600 600 900 900')).split('\n')[0]).toMatch(
      /^Corner weights · Sandhopper · 14 June 2026: rear share 60\.000 %/,
    );
    expect(await pit.say('truck use sandhopper')).toBe('Sandhopper is meant from now on when no truck is named.');
    expect(await pit.say('setup save evening')).toContain('Kept "evening" of Sandhopper');
    expect(await pit.say('corners truck:truck')).toContain('rear share 59.622 %');
    expect(await pit.say('truck list')).toBe(
      [
        'Your trucks',
        '· truck: 5 facts (5 just given) · 14 June 2026',
        '· Sandhopper (current): 4 facts (4 just given) · 1 setup · 14 June 2026',
      ].join('\n'),
    );
  });

  it('is each member’s own', async () => {
    await pit.say('truck use Sandhopper');
    expect(await pit.say('truck list', TOMASZ)).toBe('You have no truck here yet. Ask a sheet, or name one: truck use NAME.');
    expect(await pit.say('corners 600 600 900 900', TOMASZ)).not.toContain('Sandhopper');
  });
});

describe('truck show', () => {
  it('tells a newcomer where to start', async () => {
    const text = await pit.say('truck show');
    expect(text.split('\n').slice(0, 2)).toEqual([
      'truck · Ines · nothing is known yet',
      'Start with one of these (bring a scale, a ruler or calipers):',
    ]);
    expect(text).toContain('· corners 612 605 901 896 — How much weight is on the rear wheels?');
  });

  it('says what it answers, what one more measurement would give, what is known and how', async () => {
    await pit.say('truck use Sandhopper');
    await pit.say(WEIGHED);
    await pit.say('keep');
    await pit.say('truck set pack_mass:292 how:stated');
    await pit.say(RIDE);
    const text = await pit.say('truck show');
    expect(text.split('\n')[0]).toBe('Sandhopper · Ines · 9 facts · 3 of them just given');
    expect(lines(text, 'It answers', 'One more').slice(0, 2)).toEqual([
      '· Ride, rear: ride frequency 2.667 Hz',
      '· Corner weights: rear share 59.622 % ± 0.020, ✓ on target',
    ]);
    expect(lines(text, 'One more', 'Just given')).toContain(
      '· front wheel rate (of the spring, at the wheel; ask ride end:front) → Bounce and pitch; Cross weight',
    );
    expect(text).toContain('One more measurement would give (bring a scale, a ruler or calipers');
    expect(lines(text, 'Just given', 'Known')).toEqual(['· rear motion ratio 0.62 · rear spring rate 0.5 N/mm · rear unsprung mass 214 g']);
    // Of those that lack as much, the one that uses what is known of this truck stands first.
    expect(lines(text, 'Further')[0]).toBe('· Two springs on one shock, rear: rear rate a, rear rate b');
    expect(lines(text, 'Known', 'Further').join(' ')).toContain('· stated 14 June 2026, Ines: pack mass 292 g');
    expect(lines(text, 'Known', 'Further').join(' ')).toContain('· measured 14 June 2026, Ines: front left 612 g ± 0.5');
  });

  it('what it says one more measurement would give is given by that measurement', async () => {
    await pit.say(WEIGHED);
    await pit.say(RIDE);
    expect(await pit.say('truck show')).toContain('rear tyre rate (of one tyre, pressed down) → Wheel hop, rear');
    expect(lines(await pit.say('truck show'), 'It answers', 'One more').join()).not.toContain('Wheel hop');
    await pit.say('truck set rear_tyre_rate:2.9');
    expect(lines(await pit.say('truck show'), 'It answers', 'One more').join()).toContain('Wheel hop, rear: hop frequency');
  });

  it('marks what is stale with what it was and is, until it is asked again', async () => {
    await pit.say(WEIGHED);
    await pit.say(RIDE);
    await pit.say('keep');
    expect(await pit.say('truck refresh')).toBe('Nothing of truck is stale: every answer that was asked is as its readings are now.');
    expect(await pit.say('truck set rear_spring_rate:0.45')).toContain('Stale by that: Ride, rear. Ask again: truck refresh');
    const stale = '· Ride, rear (14 June 2026): ride frequency 2.667 Hz → 2.53 Hz, for spring rate 0.5 → 0.45 N/mm';
    expect(lines(await pit.say('truck show'), 'Stale', 'One more')).toEqual([stale]);
    expect(await pit.say('truck refresh')).toBe(`Asked again for truck\n${stale}`);
    expect(await pit.say('truck show')).not.toContain('Stale');
    const [latest] = await pit.archive.latest({ ...INES, truck: 'truck' });
    expect(latest!.answer.answers.find(({ name }) => name === 'ride_frequency')!.value).toBeCloseTo(2.53006, 4);
    expect(latest!.readings.find(({ name }) => name === 'spring_rate')).toMatchObject({ typed: '0.45', value: 450 });
  });

  it('marks what is stale by way of another sheet too', async () => {
    await pit.say(WEIGHED);
    await pit.say(RIDE);
    await pit.say('corners rear_left:930');
    expect(lines(await pit.say('truck show'), 'Stale', 'One more')[0]).toMatch(
      /^· Ride, rear .* for corner load 898\.50 g ± 0\.41 → 913 g ± 0\.41$/,
    );
  });

  it('does not call an answer stale for a reading that moves none of it', async () => {
    await pit.say(`${WEIGHED} pack_mass:292`);
    await pit.say('truck set target_band:1 rear_unsprung_mass:214');
    expect(await pit.say('truck show')).not.toContain('Stale');
    // The turns of the spur take the place of both ratios.
    await pit.say('gearing 3300 2 16 54 spur_turns:3.75 gearbox_ratio:2 tyre_diameter:109');
    await pit.say('truck set gearbox_ratio:3');
    expect(await pit.say('truck show')).not.toContain('Stale');
    await pit.say('truck set spur_turns:4');
    expect(lines(await pit.say('truck show'), 'Stale', 'One more')).toHaveLength(1);
  });

  it('does not call an answer stale because twelve hours are over: that is no change of the truck', async () => {
    await pit.say(WEIGHED);
    for (const end of ['front', 'rear'])
      await pit.say(`ride end:${end} spring_rate:0.45 motion_ratio:0.62 unsprung_mass:${end === 'front' ? 160 : 214}`);
    // Its readings rest on the same four weighings, so what cancels among them has to stay cancelled.
    expect(await pit.say('pitch')).toContain('From the sheet corners');
    pit.wait(13 * HOUR);
    await pit.say('truck set collar_pitch:0.75');
    expect(await pit.say('truck show')).not.toContain('Stale');
  });

  it('says which way is used when two measurements of one thing do not agree', async () => {
    await pit.say('coil end:rear wire:1.2 outside_diameter:16 total_coils:9');
    await pit.say('press end:rear press_points:0/92 400/84.1 800/76.4');
    expect(lines(await pit.say('truck show'), 'Two ways do not agree', 'One more')[0]).toMatch(
      /^· rear spring rate: [\d.]+ N\/mm by Spring from its wire, rear; [\d.]+ N\/mm ± [\d.]+ by Press a spring, rear$/,
    );
    await pit.say('truck set rear_spring_rate:0.5');
    expect(await pit.say('truck show')).not.toContain('Two ways');
  });

  it('says of what it knows when that does not work out', async () => {
    await pit.say(
      'truck set front_axle_droop:20 front_axle_ride:10 front_axle_bump:5 front_shock_droop:100 front_shock_ride:90 front_shock_bump:80',
    );
    expect(lines(await pit.say('truck show'), 'Does not work out', 'One more')[0]).toMatch(
      /^· Droop, ride, bump, front: That does not work out: /,
    );
  });

  it('is short enough for a message, the most useful first, however much is known', async () => {
    const pool = [...pit.sheets.values()].flatMap((sheet) => (sheet.ends ? ['front', 'rear'] : [null]).map((end) => ({ sheet, end })));
    for (const { sheet, end } of pool)
      await pit.reply(
        `${sheet.name} ${end === null ? '' : `end:${end} `}truck:${'Sandhopper of the far pan'} ${Object.entries(sheet.example)
          .map(([name, value]) => `${name}:${value}`)
          .join(' ')}`,
      );
    const text = await pit.say('truck show truck:Sandhopper of the far pan');
    expect(text.length).toBeLessThanOrEqual(2000);
    expect(text.length).toBeGreaterThan(1500);
    for (const head of ['It answers, with nothing more typed:', 'Just given, for 12 hours']) expect(text).toContain(head);
    expect(text).toMatch(/· and \d+ more/);
  });

  it('shows a list in its columns, also where no end was said', async () => {
    await pit.say('press 0/78 500/71 1000/64');
    expect(await pit.say('truck show fact:press_points')).toContain('0 g / 78 mm; 500 g / 71 mm; 1000 g / 64 mm');
  });

  it('shows all that was ever said of one reading', async () => {
    await pit.say('truck set wheelbase:330 how:stated');
    await pit.say('corners 612 605 901 896 wheelbase:331');
    await pit.say('truck forget wheelbase');
    await pit.say('truck set wheelbase:332');
    expect(await pit.say('truck show fact:wheelbase')).toBe(
      [
        'Wheelbase of truck',
        '· 14 June 2026, Ines: 332 mm, measured',
        '· 14 June 2026, Ines: 331 mm, forgotten',
        '· 14 June 2026, Ines: 331 mm, given, not kept',
        '· 14 June 2026, Ines: 330 mm, stated',
      ].join('\n'),
    );
    expect(await pit.slips('truck show fact:pack_mass')).toEqual(
      ['Nothing was ever said of pack mass of truck. truck show lists what is known.'].map((text) =>
        text.replace(' truck show lists what is known.', ''),
      ),
    );
    expect(await pit.slips('truck show fact:wheelbse')).toEqual(['"wheelbse" is no reading here. Did you mean wheelbase?']);
  });

  it('is for everybody in the club, and only its owner changes it', async () => {
    await pit.say('truck use Sandhopper');
    await pit.say(WEIGHED);
    const theirs = await pit.say('truck show Sandhopper of:Ines', TOMASZ);
    expect(theirs.split('\n')[0]).toBe('Sandhopper · Ines · 5 facts');
    expect(theirs).not.toContain('keep');
    expect(await pit.say('truck show of:ines', TOMASZ)).toBe(theirs);
    expect(await pit.say('truck list of:Ines', TOMASZ)).toMatch(/^Trucks of Ines\n· Sandhopper \(current\)/);
    expect(await pit.slips('truck show of:Inez', TOMASZ)).toEqual([
      'No member of this club called "Inez" has asked anything here yet. There is "Ines".',
    ]);
    for (const change of ['truck set wheelbase:300 truck:Sandhopper of:Ines', 'truck refresh of:Ines', 'truck forget wheelbase of:Ines'])
      expect((await pit.slips(change, TOMASZ))[0]).toMatch(/^"of" is nothing that truck \w+ takes\..* A member changes only their own\.$/);
    expect(await pit.slips('keep Sandhopper', TOMASZ)).toEqual(['There is no truck "Sandhopper" of yours. You have no truck here yet.']);
  });
});

describe('truck forget', () => {
  it('drops what counts, says what counts then and what that makes stale', async () => {
    await pit.say(WEIGHED);
    await pit.say(RIDE);
    await pit.say('keep');
    await pit.say('ride end:rear spring_rate:0.45');
    expect(await pit.say('truck forget rear spring rate')).toBe(
      'Forgotten of truck: rear spring rate 0.45 N/mm. What was kept before counts again: 0.5 N/mm, 14 June 2026.\nStale by that: Ride, rear. Ask again: truck refresh',
    );
    expect(await pit.say('truck forget spring-rate end:rear')).toMatch(/^Forgotten of truck: rear spring rate 0\.5 N\/mm\./);
    expect(await pit.slips('truck forget rear_spring_rate')).toEqual([
      'Nothing is known as "rear_spring_rate" of truck. truck show lists what is known.',
    ]);
    expect(await pit.slips('truck forget wheelbass')).toEqual(['"wheelbass" is no reading here. Did you mean wheelbase?']);
    // A slip that was kept: what was kept before it is back, and goes with the next.
    await pit.say('truck set wheelbase:331');
    await pit.say('truck set wheelbase:351');
    expect(await pit.say('truck forget wheelbase')).toContain(
      'Forgotten of truck: wheelbase 351 mm. What was kept before counts again: 331 mm, 14 June 2026. To drop that as well, forget it once more.',
    );
    expect(await pit.say('truck forget wheelbase')).toBe('Forgotten of truck: wheelbase 331 mm.');
  });
});

describe('truck parts', () => {
  it('fills ballast, unsprung and wheel masses and the pack, and says so', async () => {
    await pit.say(WEIGHED);
    for (const part of [
      'pack 292 185 role:pack places:185 210 240',
      'rear tyre 96 330 count:2 unsprung:rear role:tyre',
      'rear rim 38 330 count:2 unsprung:rear role:rim',
      'rear axle 160 ± 2 330 unsprung:rear',
      'front tyre 84 0 count:2 unsprung:front role:tyre',
      'lead 60 off places:330 390',
    ])
      await pit.say(`truck parts add ${part}`);
    const ballast = await pit.reply('ballast');
    expect(ballast.text).toContain('parts pack / 292 / 185 / 185 210 240; lead / 60 / off / 330 390 (from the parts list)');
    expect(ballast.answer!.answers.find(({ name }) => name === 'total')!.value).toBeGreaterThan(3000);
    const corners = await pit.say('corners');
    expect(line(corners, 'From the truck')).toContain('pack mass 292 g (from the parts list: pack)');
    const ride = await pit.reply('ride end:rear spring_rate:0.5 motion_ratio:0.62');
    // Half of 2 × 96 + 2 × 38 + 160; its ± of 2 g is 2/√3, halved, k = 2.
    expect(ride.answer!.readings.find(({ name }) => name === 'unsprung_mass')).toMatchObject({
      value: 214,
      from: 'truck',
      note: 'from the parts list: half of 2 × rear tyre, 2 × rear rim, rear axle',
    });
    expect(ride.answer!.readings.find(({ name }) => name === 'unsprung_mass')!.uncertainty).toBeCloseTo((2 * 2) / Math.sqrt(3) / 2, 5);
    const wheel = await pit.say('wheel tyre_diameter:109 bead_diameter:56');
    expect(line(wheel, 'From the truck')).toBe(
      'From the truck: tyre mass 90 g (from the parts list: mean of 2 × rear tyre, 2 × front tyre) · rim mass 38 g (from the parts list: mean of 2 × rear rim)',
    );
  });

  it('gives way to what was measured', async () => {
    await pit.say('truck parts add pack 292 185 role:pack');
    await pit.say('truck set pack_mass:290');
    expect(line(await pit.say(WEIGHED), 'From the truck')).toBe('From the truck: pack mass 290 g');
  });

  it('is held against what the scales say', async () => {
    expect(await pit.say('truck parts add pack 292 185')).toBe(
      'truck: pack 292 g · at 185 mm\n1 part on the truck 292 g. Weigh the corners, and the sum is held against the scales.',
    );
    await pit.say('corners 100 100 100 104 scale_step:0.1');
    expect(line(await pit.say('truck parts'), '1 part')).toBe(
      '1 part on the truck 292 g: the list is 112.00 g ± 0.12 short of the 404 g ± 0.12 weighed.',
    );
    await pit.say('truck parts add chassis 112.1 150');
    expect(line(await pit.say('truck parts'), '2 parts')).toBe('2 parts on the truck 404.1 g: that is what the scales say.');
    await pit.say('truck parts add lead 60 off');
    await pit.say('truck parts change chassis 140');
    expect(line(await pit.say('truck parts'), '2 parts')).toBe(
      '2 parts on the truck 432 g, 1 beside it: the list is 28.00 g ± 0.12 over the 404 g ± 0.12 weighed.',
    );
  });

  it('is not held against a total that was only asked about', async () => {
    await pit.say(WEIGHED);
    await pit.say('truck parts add pack 292 185');
    await pit.say('keep');
    await pit.say('top_speed 3300 2 18 54 tyre_diameter:109 gearbox_ratio:3.3 total:2500');
    expect(await pit.say('truck parts list')).toMatch(/3014 g(?: ± \S+)? weighed/);
    await pit.say('truck set total:2500');
    expect(await pit.say('truck parts list')).toMatch(/2500 g weighed/);
  });

  it('changes one thing and leaves the rest, takes a part off, and shows the list', async () => {
    await pit.say('truck parts add lead strip 60 off note:in the blue box');
    expect((await pit.say('truck parts change lead strip at:330')).split('\n')[0]).toBe(
      'truck: lead strip 60 g · at 330 mm · in the blue box (was: lead strip 60 g · not on the truck · in the blue box)',
    );
    await pit.say('truck parts add pack 292 ± 1 185 role:pack');
    expect((await pit.say('truck parts')).split('\n').slice(2)).toEqual([
      '· lead strip 60 g · at 330 mm · in the blue box',
      '· pack 292 g ± 1 · at 185 mm · battery',
    ]);
    expect((await pit.say('truck parts remove lead strip')).split('\n')[0]).toBe(
      'Taken off the list: lead strip 60 g · at 330 mm · in the blue box',
    );
    expect(await pit.say('truck parts list', INES)).not.toContain('lead');
    expect(await pit.say('truck parts list of:Ines', TOMASZ)).toContain('pack');
  });

  it('asks back for what it cannot read', async () => {
    expect(await pit.slips('truck parts add')).toEqual(['Name is missing. Say which part: truck parts add lead 60 off.']);
    expect(await pit.slips('truck parts add lead mass:heavy at:there count:0.5 unsprung:left role:ballast places:10 x')).toEqual([
      'Mass: "heavy" is not a number. Give 0.1 to 5000 g.',
      'Count: "0.5" is out. Give 1 to 100. Did you mean 5?',
      'Unsprung: "left" is none of them. Give front, rear or no.',
      'Role: "ballast" is none of them. Give tyre, rim, pack, turns or none.',
      'At: "there" is not a number. Give −500 to 2000 mm.',
      'Places: "x" is not a number. Give −500 to 2000 mm.',
    ]);
    expect(await pit.slips('truck parts add lead')).toEqual(['Mass is missing: what does "lead" weigh? Give 1 to 5000 g.']);
    expect(await pit.slips('truck parts paint lead')).toEqual(['Do: "paint" is none of them. Give add, change, remove or list.']);
    expect(await pit.slips('truck parts remove lead')).toEqual(['There is no truck "truck" of yours. You have no truck here yet.']);
  });
});

describe('from hand to hand', () => {
  it('a truck is offered, seen by both, and taken with all that is known of it', async () => {
    await pit.say('corners 600 600 900 900', TOMASZ);
    await pit.say('truck use Sandhopper');
    await pit.say(WEIGHED);
    await pit.say('keep');
    expect(await pit.say('truck give Sandhopper to:Tomasz')).toBe(
      'Sandhopper is offered to Tomasz. It stays yours until Tomasz writes: truck take Sandhopper. To withdraw it: truck give Sandhopper to:Ines',
    );
    expect(await pit.say('truck show')).toContain('Offered to Tomasz, who has not taken it yet.');
    expect(await pit.say('truck list', TOMASZ)).toContain('Offered to you:\n· Sandhopper, from Ines: truck take Sandhopper');
    expect(await pit.say('truck take Sandhopper', TOMASZ)).toBe(
      'Sandhopper is yours, from Ines, with all that is known of it. truck show Sandhopper shows it.',
    );
    expect(await pit.say('corners truck:Sandhopper', TOMASZ)).toContain('rear share 59.622 %');
    expect(await pit.say('truck list')).toBe('You have no truck here yet. Ask a sheet, or name one: truck use NAME.');
  });

  it('can be withdrawn, and goes to nobody that the club does not know', async () => {
    await pit.say('truck use Sandhopper');
    expect(await pit.slips('truck give Sandhopper to:Priya')).toEqual([
      'No member of this club called "Priya" has asked anything here yet. There is "Ines".',
    ]);
    await pit.say('truck use Dune Ferry', PRIYA);
    await pit.say('truck give Sandhopper to:Priya');
    expect(await pit.say('truck give Sandhopper to:Ines')).toBe('Sandhopper stays yours: it is offered to nobody.');
    expect(await pit.slips('truck take Sandhopper', PRIYA)).toEqual([
      'No truck "Sandhopper" is offered to you. Its owner offers it first: truck give NAME to:YOU.',
    ]);
    expect(await pit.slips('truck give Sandhopper')).toEqual(['To is missing. Say who gets it: truck give Sandhopper to:NAME.']);
  });
});

describe('a truck whose name is wrong', () => {
  it('is noticed when it is nearly that of another', async () => {
    await pit.say(`${WEIGHED} truck:Dust Devil`);
    expect(await pit.say(`${WEIGHED} truck:Dsut Devil`)).toMatch(
      /\nDsut Devil is a new truck\. Did you mean Dust Devil\? Then take this one away: truck remove Dsut Devil$/,
    );
    expect(await pit.say(`${WEIGHED} truck:Dsut Devil`)).not.toContain('Did you mean');
    expect(await pit.say(`${WEIGHED} truck:dust devil`)).not.toContain('Did you mean');
    expect(await pit.say('truck use Dust Devl')).toContain(
      'Did you mean Dust Devil? Then: truck use Dust Devil, and truck remove Dust Devl',
    );
    expect(await pit.say('truck use Sandhopper')).not.toContain('Did you mean');
  });

  it('gets another, in whatever words', async () => {
    await pit.say('truck use Sandhoper');
    await pit.say(WEIGHED);
    expect(await pit.say('truck rename Sandhoper as:Sandhopper')).toBe(
      'Sandhoper is Sandhopper from now on. What setups were saved of it before says Sandhoper still.',
    );
    expect(await pit.say('corners')).toContain('rear share 59.622 %');
    await pit.say('truck rename sandhopper to Dune Ferry');
    expect(await pit.say('truck list')).toContain('Dune Ferry');
    expect(await pit.slips('truck rename Dune Ferry')).toEqual([
      'As is missing. Say what it is called from now on: truck rename Dune Ferry as:NAME.',
    ]);
    expect(await pit.slips('truck rename')).toEqual(['Truck is missing. Say which one: truck rename Sandhoper as:Sandhopper.']);
    await pit.say('truck use Mudlark', TOMASZ);
    expect(await pit.slips('truck rename Dune Ferry as:Mine', TOMASZ)).toEqual([
      'There is no truck "Dune Ferry" of yours. You have "Mudlark".',
    ]);
  });

  it('or goes, once that is sure', async () => {
    await pit.say(`${WEIGHED} truck:Sandhoper`);
    await pit.say('truck parts add pack 312 truck:Sandhoper');
    expect(await pit.say('truck remove Sandhoper')).toBe(
      'Sandhoper would be gone for good: 5 readings, 1 part, 0 runs. To do it: truck remove Sandhoper sure:yes',
    );
    expect(await pit.say('truck list')).toContain('Sandhoper');
    expect(await pit.say('truck remove Sandhoper sure:yes')).toBe(
      'Sandhoper is gone, with all that was known of it: 5 readings, 1 part, 0 runs.',
    );
    expect(await pit.say('truck list')).toBe('You have no truck here yet. Ask a sheet, or name one: truck use NAME.');
    expect((await pit.slips('truck remove Sandhoper sure:yes'))[0]).toContain('There is no truck "Sandhoper" of yours.');
  });
});

describe('what people type', () => {
  it('of commands that are not there is asked back with what is meant', async () => {
    expect(await pit.slips('truck shwo')).toEqual(['"shwo" is nothing that truck can do. Did you mean truck show?']);
    expect((await pit.slips('truck paint red'))[0]).toMatch(
      /^"paint red"? is nothing that truck can do\. Write truck show, truck list, .* or truck parts\.$|^"paint" is nothing that truck can do\./,
    );
    expect(await pit.say('truck')).toContain('nothing is known yet');
  });

  it('is harmless in a chat', async () => {
    const chat = await openPitSide('chat');
    try {
      await chat.say('truck use @everyone **loud** [x](http://y.z)');
      await chat.say('truck parts add <@1180000000000000001> 60 off note:`code`');
      for (const asked of ['truck show', 'truck list', 'truck parts', 'truck forget wheelbase', 'truck take @here']) {
        const { text } = await chat.reply(asked);
        expect(text, asked).not.toMatch(/@everyone|@here|(?<!\\)<@|(?<![\\*])\*\*loud|(?<!\\)`code/);
      }
    } finally {
      await chat.end();
    }
  });

  it('is suggested from what is known', async () => {
    await pit.say('truck use Sandhopper');
    await pit.say(WEIGHED);
    await pit.say('truck parts add pack 292');
    const suggest = (command: string, option: string, typed: string, who = INES) =>
      pit.commands.suggest({ command, options: { [option]: typed }, asker: who }, option);
    expect(await suggest('truck show', 'truck', 'sand')).toEqual(['Sandhopper']);
    expect(await suggest('truck show', 'of', 'in', TOMASZ)).toEqual(['Ines']);
    expect(await suggest('truck forget', 'fact', 'rear')).toEqual(['rear_left', 'rear_right']);
    expect(await suggest('keep', 'facts', 'wheel')).toEqual(['wheelbase']);
    expect(await suggest('truck parts', 'name', '')).toEqual(['pack']);
  });
});

describe('without an archive', () => {
  it('a sheet still answers, and what needs an archive says that it is off', async () => {
    const { makeCommands } = await import('../../../bot/commands/index.ts');
    const commands = makeCommands(
      { sheets: pit.sheets, archive: null, cards: null, clock: () => 0, zone: 'UTC', theme: 'dark', log: () => {} },
      'terminal',
    );
    const ask = (command: string, options: Record<string, string> = {}) => commands.answer({ command, options, asker: INES });
    expect((await ask('corners', { quick: '612 605 901 896' })).text).toContain('rear share 59.622 %');
    expect((await ask('truck show')).text).toBe('The archive is off: nothing can be kept or found.');
  });
});
