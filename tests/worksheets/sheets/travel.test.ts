import { describe, expect, it } from 'vitest';
import { work } from '../../../worksheets/engine/ask.ts';
import { supplyFrom, whoAnswers } from '../../../worksheets/engine/fill.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('travel');
const { example } = sheet.sheet;
const deg = Math.PI / 180;

interface Linkage {
  readonly arm: number;
  readonly along: number;
  readonly off: number;
  readonly back: number;
  readonly up: number;
}
/** Second method: the linkage as points in the plane, the arm at an angle; the shock's length is a distance between two of them. */
const placed = ({ arm, along, off, back, up }: Linkage, angle: number) => ({
  axle: [arm * Math.cos(angle), arm * Math.sin(angle)] as const,
  shock: Math.hypot(along * Math.cos(angle) - off * Math.sin(angle) - back, along * Math.sin(angle) + off * Math.cos(angle) - up),
});
const typed = ({ arm, along, off, back, up }: Linkage, extended: number, compressed: number, ride?: number) => ({
  swing_arm: arm,
  shock_lower_along: along,
  shock_lower_off: off,
  shock_upper_back: back,
  shock_upper_up: up,
  shock_extended: extended,
  shock_compressed: compressed,
  ...(ride === undefined ? {} : { shock_ride: ride }),
});

describe('travel: an arm and its shock', () => {
  it('gives travel, ratios and angles of linkages that were drawn first and measured then', () => {
    const between = draws(5);
    for (let i = 0; i < 30; i += 1) {
      const linkage = { arm: between(120, 220), along: between(70, 120), off: between(1, 15), back: between(30, 70), up: between(80, 120) };
      const [droop, ride, bump] = [-between(15, 30) * deg, -between(4, 12) * deg, between(3, 15) * deg];
      const [low, rides, high] = [droop, ride, bump].map((angle) => placed(linkage, angle)) as [Placed, Placed, Placed];
      const answer = sheet.answer(typed(linkage, low.shock, high.shock, rides.shock));
      expectNear(numberOf(answer, 'wheel_travel'), high.axle[1] - low.axle[1], 1e-9);
      expectNear(numberOf(answer, 'up_travel'), high.axle[1] - rides.axle[1], 1e-8);
      expectNear(numberOf(answer, 'down_travel'), rides.axle[1] - low.axle[1], 1e-8);
      expectNear(numberOf(answer, 'droop_share'), (100 * (rides.axle[1] - low.axle[1])) / (high.axle[1] - low.axle[1]), 1e-8);
      expect(numberOf(answer, 'wheelbase_change')).toBeCloseTo(high.axle[0] - low.axle[0], 7);
      for (const [name, angle] of Object.entries({ droop, ride, bump })) {
        expect(numberOf(answer, `arm_angle_${name}`)).toBeCloseTo(angle / deg, 7);
        const [under, over] = [placed(linkage, angle - 1e-5), placed(linkage, angle + 1e-5)];
        expect(numberOf(answer, `motion_ratio_${name}`)).toBeCloseTo((under.shock - over.shock) / (over.axle[1] - under.axle[1]), 7);
      }
    }
  });
  type Placed = ReturnType<typeof placed>;

  it('plots the motion ratio from droop to bump; the area under it is the stroke of the shock', () => {
    const [curve] = sheet.answer(example).curves;
    expect([curve!.over, curve!.unit, curve!.here]).toEqual(['travel_from_droop', 'mm', null]);
    const ratios = curve!.answers.motion_ratio as number[];
    // Second method: Simpson's rule, d(shock) = ratio · d(wheel); 138 − 86 mm of stroke.
    const step = curve!.x[1]! - curve!.x[0]!;
    const area = (ratios.reduce((sum, q, i) => sum + q * (i === 0 || i === ratios.length - 1 ? 1 : i % 2 ? 4 : 2), 0) * step) / 3;
    expect(area).toBeCloseTo(52, 3);
  });

  it('says of a longer shock what the page says', () => {
    const table = sheet.sheet.page.flatMap((part) => (part.kind === 'prose' ? part.markdown.split('\n') : []));
    const rows = table.flatMap((line) => {
      const found = /^\| (\d+) \/ (\d+) mm[^|]*\| (\d+) mm \| (\d+) mm \| (\d+) mm \|$/.exec(line);
      return found ? [found.slice(1).map(Number)] : [];
    });
    expect(rows).toHaveLength(3);
    for (const [extended, compressed, down, up, travel] of rows) {
      const answer = sheet.answer({ ...example, shock_extended: extended!, shock_compressed: compressed! });
      expect(['down_travel', 'up_travel', 'wheel_travel'].map((name) => Math.round(numberOf(answer, name)))).toEqual([down, up, travel]);
    }
  });

  it('shows that more shaft adds droop and leaves bump alone', () => {
    const curve = sheet.answer(example).curves.find(({ over }) => over === 'shock_extended')!;
    expect(curve.x).toEqual([132, 135, 138, 141, 144]);
    const up = curve.answers.up_travel as number[];
    for (const value of up) expectNear(value, up[0]!, 1e-12);
    const down = curve.answers.down_travel as number[];
    for (let i = 1; i < down.length; i += 1) expect(down[i]! - down[i - 1]!).toBeGreaterThan(5);
  });

  it('leaves out what belongs to ride when the shock was not measured there, in its curves too, and asks for it', () => {
    const { shock_ride: _, ...rest } = example;
    const answer = sheet.answer(rest);
    for (const name of ['motion_ratio_ride', 'motion_ratio', 'up_travel', 'down_travel', 'arm_angle_ride', 'droop_share'])
      expect(names(answer)).not.toContain(name);
    expect(Object.keys(answer.curves[1]!.answers)).toEqual(['wheel_travel']);
    expect(answer.wider).toContain('shock_ride');
    expect(nextOf(answer)).toContain('give it as shock_ride');
  });

  it('hands ratio and travel of its end to ride, and takes the shock’s lengths from heights', async () => {
    const shelf = await loadSheets(await loadFormulas());
    const arm = {
      rear_swing_arm: '178',
      rear_shock_lower_along: '98',
      rear_shock_lower_off: '6',
      rear_shock_upper_back: '52',
      rear_shock_upper_up: '100',
      rear_shock_ride: '120',
    };
    const asked = (facts: Record<string, string>, name: string, end: 'front' | 'rear') => {
      const outcome = work(shelf.get(name)!, { readings: {}, end }, supplyFrom(new Map(Object.entries(facts)), whoAnswers(shelf.values())));
      return 'answer' in outcome ? outcome.answer : null;
    };
    const measured = { rear_axle_droop: '14', rear_axle_ride: '46', rear_axle_bump: '118', rear_shock_droop: '138', rear_shock_bump: '86' };
    const known = asked({ ...arm, ...measured }, 'travel', 'rear') ?? expect.fail('travel is not answered');
    expect(known.readings.filter(({ sheet: from }) => from === 'heights').map(({ name }) => name)).toEqual([
      'shock_extended',
      'shock_compressed',
    ]);
    expectNear(numberOf(known, 'wheel_travel'), numberOf(sheet.answer(example), 'wheel_travel'), 1e-12);

    const lengths = { rear_shock_extended: '138', rear_shock_compressed: '86' };
    const corner = { rear_corner_load: '899', rear_spring_rate: '0.72', rear_unsprung_mass: '210' };
    const ride = asked({ ...arm, ...lengths, ...corner }, 'ride', 'rear') ?? expect.fail('ride is not answered');
    expect(ride.readings.filter(({ sheet: from }) => from === 'travel').map(({ name }) => name)).toEqual(['motion_ratio', 'wheel_travel']);
    const ratio = ride.readings.find(({ name }) => name === 'motion_ratio')!.value as number;
    expectNear(ratio, numberOf(sheet.answer(example), 'motion_ratio_ride'), 1e-12);
    // What is known of the rear says nothing of the front.
    expect(asked({ ...arm, ...lengths }, 'travel', 'front')).toBeNull();
  });

  it('carries the ± of a shock length to the travel by the motion ratio there', () => {
    const answer = sheet.answer({ ...example, shock_extended: '138 ± 0.5' });
    // A mm of shock is 1/ratio mm of wheel, at droop; rectangular, k = 2.
    expectNear(answerOf(answer, 'wheel_travel').uncertainty, (2 * (0.5 / Math.sqrt(3))) / numberOf(answer, 'motion_ratio_droop'), 1e-5);
    expect(answerOf(answer, 'up_travel').uncertainty).toBeNull();
    expect(answerOf(sheet.answer(example), 'wheel_travel').uncertainty).toBeNull();
  });

  it.each([
    [
      { shock_extended: 220, shock_ride: 120 },
      'That does not work out: the extended shock is too long, its eyes can stand 210.8 mm apart at most.',
    ],
    [{ shock_compressed: 5 }, 'That does not work out: the compressed shock is too short, its eyes come no nearer than 14.6 mm.'],
    [{ shock_compressed: 140 }, 'That does not work out: the extended shock is no longer than the compressed one.'],
    [{ shock_ride: 140 }, 'That does not work out: the shock at ride is longer than extended.'],
    [{ shock_ride: 80 }, 'That does not work out: the shock at ride is shorter than compressed.'],
  ])('refuses %o and names the length', (slip, text) => {
    expect(sheet.problems({ ...example, ...slip }).map((problem) => problem.text)).toEqual([text]);
  });

  it('tells all slips of one question at once', () => {
    const { swing_arm: _, ...rest } = example;
    expect(sheet.problems({ ...rest, shock_extended: 'long', shock_lower_along: '9 kg' }).map(({ reading }) => reading)).toEqual([
      'shock_lower_along',
      'shock_extended',
      'swing_arm',
    ]);
  });

  it('warns of a shock that points at the pivot', () => {
    // Eyes nearly in one line with the pivot: by hand 98.2 and 116.6 mm from it, 214.5 mm apart.
    const leaning = { ...example, shock_upper_back: -60, shock_extended: 214.5, shock_compressed: 150, shock_ride: 180 };
    expect(cautionsOf(sheet.answer(leaning)).join()).toContain('points almost at the pivot');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
