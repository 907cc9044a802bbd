import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../../templates/card/scene.ts';
import { ask } from '../../../../worksheets/engine/ask.ts';
import type { Answer } from '../../../../worksheets/engine/types.ts';
import { cardFaults, textsOf } from '../../../support/card-faults.ts';
import { withCards } from '../../../support/cards.ts';
import { sheetNamed } from '../../../support/sheets.ts';

const made = withCards();
const names = ['travel', 'beam', 'toe', 'steering', 'tie_rod', 'servo', 'roll_bar', 'squat', 'roll', 'joint'] as const;
const sheets = Object.fromEntries(await Promise.all(names.map(async (name) => [name, await sheetNamed(name)] as const)));
type Name = (typeof names)[number];
type Typed = Readonly<Record<string, string | number>>;
/** The sheet's example with some readings changed; `null` leaves one out. */
const changed = (name: Name, readings: Readonly<Record<string, string | number | null>> = {}): Typed =>
  Object.fromEntries(
    Object.entries({ ...sheets[name]!.sheet.example, ...readings }).flatMap(([key, value]) => (value === null ? [] : [[key, value]])),
  );
const answer = (name: Name, readings?: Readonly<Record<string, string | number | null>>): Answer =>
  sheets[name]!.answer(changed(name, readings), sheets[name]!.sheet.ends ? 'rear' : null);
const marks = (of: Answer): Mark[] => made.cards.marks(of, { truck: 'Sandhopper', day: '14 May' });
const circles = (of: readonly Mark[], name: string) => of.flatMap((mark) => (mark.kind === 'circle' && mark.name === name ? [mark] : []));
const paths = (of: readonly Mark[], name: string) => of.flatMap((mark) => (mark.kind === 'path' && mark.name === name ? [mark] : []));
type Place = readonly [number, number];
const pointsOf = (d: string): Place[] => [...d.matchAll(/[ML](-?[\d.]+),(-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)] as const);
const path = (of: readonly Mark[], name: string): Place[] => pointsOf(paths(of, name)[0]?.d ?? expect.fail(`no ${name} is drawn`));
const long = ([a, b]: readonly Place[]): number => Math.hypot(b![0] - a![0], b![1] - a![1]);
const strings = (of: Answer): string[] => textsOf(marks(of)).map(({ string }) => string);

/** Further answers, each of them once looked at. */
const looked: readonly (readonly [string, Name, Readonly<Record<string, string | number | null>>])[] = [
  ['travel-no-ride', 'travel', { shock_ride: null }],
  ['travel-hangs-low', 'travel', { shock_extended: 160, shock_ride: '126 ± 1' }],
  ['beam-short', 'beam', { pivot_across: 30, beam_length: 110, bump: 40, droop: 30 }],
  ['toe-one-point', 'toe', { toe_points: '0/200/201' }],
  ['steering-reverse', 'steering', { outer_angle: 34 }],
  ['steering-gentle', 'steering', { inner_angle: 6, outer_angle: '5.8 ± 0.2' }],
  ['tie_rod-outward', 'tie_rod', { steering_arm: 45, steering_arm_angle: -10 }],
  ['squat-parallel', 'squat', { lower_chassis_up: 38, upper_chassis_up: 88 }],
  ['squat-steep', 'squat', { lower_chassis_up: 90, upper_chassis_up: 60 }],
  ['squat-below', 'squat', { lower_chassis_up: 30, upper_chassis_up: 94 }],
  ['roll-lifts', 'roll', { lateral_acceleration: 1.35 }],
  ['roll-tips', 'roll', { lateral_acceleration: 1.6 }],
  ['joint-alone', 'joint', { second_joint_angle: null, shaft_droop: null, shaft_ride: null, shaft_bump: null }],
];

describe('the cards of arms, links and steering', () => {
  const every = [...names.map((name) => [name, name, {}] as const), ...looked];

  it.each(every)('%s is the SVG that was last looked at', async (file, name, readings) => {
    const golden = fileURLToPath(new URL(`../../../golden/cards/sheets/${file}.svg`, import.meta.url));
    await expect(made.cards.svg(answer(name, readings), { truck: 'Sandhopper', day: '14 May' })).toMatchFileSnapshot(golden);
  });

  it.each(every)('%s keeps every text and shape in its place', (_, name, readings) => {
    expect(cardFaults(marks(answer(name, readings)))).toEqual([]);
  });

  it.each(every)('%s has one hero, and the step to take at its foot', (_, name, readings) => {
    const drawn = textsOf(marks(answer(name, readings)));
    const [first, second] = drawn.map(({ size }) => size).sort((a, b) => b - a);
    expect(first! / second!).toBeGreaterThanOrEqual(1.4);
    const lowest = drawn.reduce((low, text) => (text.y > low.y ? text : low));
    expect([lowest.weight, lowest.string.endsWith('.')]).toEqual([600, true]);
  });

  it.each(every)('%s cuts no figure short', (_, name, readings) => {
    for (const { string } of textsOf(marks(answer(name, readings)))) expect(string).not.toMatch(/\d…$/);
  });

  it.each(['travel', 'beam', 'steering', 'tie_rod', 'squat', 'roll'] as const)('%s is drawn in words too', (name) => {
    expect(made.cards.alt(answer(name))).toMatch(/to scale|tyre prints/);
  });

  it.each(['travel', 'beam', 'steering', 'tie_rod', 'squat', 'roll'] as const)('%s holds all over its ranges', (name) => {
    const { sheet } = sheets[name]!;
    const numbers = sheet.readings.filter((reading) => reading.type.kind === 'number');
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(share, fc.boolean()), { minLength: numbers.length, maxLength: numbers.length }), (drawn) => {
        // Half of the readings near the example, half anywhere in their range.
        const readings = Object.fromEntries(
          numbers.flatMap((reading, i) => {
            const [part, wild] = drawn[i]!;
            const typed = sheet.example[reading.name];
            if (typed === undefined) return [];
            if (!wild) return [[reading.name, String(Number(typed) * (0.7 + 0.6 * part))]];
            return [[reading.name, String((reading.min! + part * (reading.max! - reading.min!)) / reading.unit!.factor)]];
          }),
        );
        const got = ask(sheet, { readings });
        if (got.kind === 'answer') expect(cardFaults(marks(got)), JSON.stringify(readings)).toEqual([]);
      }),
      { numRuns: 200 },
    );
  });
});

describe('the picture of arm and shock', () => {
  it('has the arm, and the shock at ride and at both stops, to one scale', () => {
    const drawn = marks(answer('travel'));
    const [pivot, axle] = circles(drawn, 'pivot').map(({ cx, cy }): Place => [cx, cy]);
    const factor = long([pivot!, axle!]) / 178;
    const eyes = drawn.flatMap((mark): Place[] => (mark.kind === 'circle' && mark.r === 4 ? [[mark.cx, mark.cy]] : []));
    expect(long(eyes) / factor).toBeCloseTo(120, 0);
    const shadows = paths(drawn, 'shock').map(({ d }) => long(pointsOf(d)) / factor);
    expect(shadows.map(Math.round)).toEqual([86, 138]);
  });

  it('draws the upper eye where it was measured: 52 mm behind the pivot, 100 mm above', () => {
    const drawn = marks(answer('travel'));
    const [pivot, axle] = circles(drawn, 'pivot').map(({ cx, cy }): Place => [cx, cy]);
    const factor = long([pivot!, axle!]) / 178;
    const upper = path(drawn, 'shock')[0]!;
    expect((upper[0] - pivot![0]) / factor).toBeCloseTo(52, 0);
    expect((pivot![1] - upper[1]) / factor).toBeCloseTo(100, 0);
  });

  it('rules no line at ride when the shock was not measured there', () => {
    const drawn = marks(answer('travel', { shock_ride: null }));
    expect(paths(drawn, 'line ride')).toEqual([]);
    expect(paths(drawn, 'line bump')).toHaveLength(1);
  });
});

describe('the picture of a swing beam', () => {
  it('leans the wheels by the camber, and keeps each on its beam', () => {
    const of = answer('beam');
    const drawn = marks(of);
    const value = (name: string): number => of.answers.find((one) => one.name === name)?.value as number;
    const [pivot, ride] = circles(drawn, 'pivot').map(({ cx, cy }): Place => [cx, cy]);
    for (const stop of ['bump', 'droop']) {
      // Along its side, from the top outside to the foot outside.
      const [top, foot] = path(drawn, `wheel ${stop}`).slice(1, 3) as [Place, Place];
      expect((Math.atan2(top[0] - foot[0], foot[1] - top[1]) * 180) / Math.PI).toBeCloseTo(value(`camber_${stop}`), 1);
      const corners = path(drawn, `wheel ${stop}`);
      const centre: Place = [corners.reduce((sum, [x]) => sum + x, 0) / 4, corners.reduce((sum, [, y]) => sum + y, 0) / 4];
      expect(long([pivot!, centre])).toBeCloseTo(long([pivot!, ride!]), 1);
    }
  });

  it('puts the roll centre on the line from the foot through the pivot', () => {
    const drawn = marks(answer('beam'));
    const [centre] = circles(drawn, 'roll centre');
    const [pivot, wheel] = circles(drawn, 'pivot').map(({ cx, cy }): Place => [cx, cy]);
    const ride = path(drawn, 'wheel ride');
    const ground = Math.max(...ride.map(([, y]) => y));
    const slope = (from: Place, to: Place): number => (to[1] - from[1]) / (to[0] - from[0]);
    const foot: Place = [wheel![0], ground];
    expect(slope([centre!.cx, centre!.cy], foot)).toBeCloseTo(slope(pivot!, foot), 2);
  });
});

describe('the picture of the steering angles', () => {
  it('lets both lines meet on the rear axle’s line when the outer angle is the ideal one', () => {
    // cot(outer) = cot(inner) + kingpin track / wheelbase (Khurmi & Gupta, Theory of Machines, ch. 9).
    const ideal = (Math.atan(1 / (1 / Math.tan((31 * Math.PI) / 180) + 232 / 330)) * 180) / Math.PI;
    const drawn = marks(answer('steering', { outer_angle: ideal }));
    expect(circles(drawn, 'centre outer')[0]!.cx).toBeCloseTo(circles(drawn, 'centre inner')[0]!.cx, 1);
    expect(path(drawn, 'wheel outer')).toEqual(path(drawn, 'wheel ideal'));
  });

  it('puts the outer line’s end nearer the truck when the outer wheel turns too far', () => {
    const drawn = marks(answer('steering', { outer_angle: 28 }));
    expect(circles(drawn, 'centre outer')[0]!.cx).toBeGreaterThan(circles(drawn, 'centre inner')[0]!.cx);
  });

  it('marks no centre where the lines leave the picture first', () => {
    const drawn = marks(answer('steering', { inner_angle: 2, outer_angle: 0 }));
    expect([...circles(drawn, 'centre inner'), ...circles(drawn, 'centre outer')]).toEqual([]);
  });
});

describe('the picture of arms and tie rod', () => {
  it('has one length of tie rod and of arms, straight ahead and turned', () => {
    const drawn = marks(answer('tie_rod'));
    const [straight, turned] = ['straight ahead', 'linkage'].map((name) => path(drawn, name));
    for (const side of [0, 1, 2]) expect(long(turned!.slice(side, side + 2))).toBeCloseTo(long(straight!.slice(side, side + 2)), 1);
    // 232 mm between the kingpins, arms of 26 mm.
    const between = long([straight![0]!, straight![3]!]);
    expect((long(straight!.slice(0, 2)) / between) * 232).toBeCloseTo(26, 1);
  });
});

describe('the picture of anti-squat', () => {
  it('draws the line from the foot through the point where the links meet, up to its share of the 100 %', () => {
    const drawn = marks(answer('squat'));
    const [foot, here] = path(drawn, 'squat line');
    const full = path(drawn, 'level')[1]!;
    const [centre] = circles(drawn, 'instant centre');
    expect((foot![1] - here![1]) / (foot![1] - full[1])).toBeCloseTo(0.7864, 2);
    const slope = (to: Place): number => (foot![1] - to[1]) / (foot![0] - to[0]);
    expect(slope([centre!.cx, centre!.cy])).toBeCloseTo(slope(here!), 3);
    // Both links, drawn on, run through it.
    for (const line of paths(drawn, 'link line')) expect(pointsOf(line.d).at(-1)).toEqual([centre!.cx, centre!.cy]);
  });

  it('says so when the links are parallel, and marks no point', () => {
    const of = answer('squat', { lower_chassis_up: 38, upper_chassis_up: 88 });
    expect(circles(marks(of), 'instant centre')).toEqual([]);
    expect(strings(of)).toContain('parallel');
  });
});

describe('the picture of a turn', () => {
  it('makes each print’s area the load in the turn', () => {
    const of = answer('roll');
    const value = (name: string): number => of.answers.find((one) => one.name === name)?.value as number;
    const drawn = marks(of).flatMap((mark) => (mark.kind === 'rect' && mark.name.startsWith('print') ? [mark] : []));
    const areas = new Map(drawn.map((print) => [print.name.slice(6), print.w * print.h - (4 - Math.PI) * print.r ** 2]));
    // 3014 g, 60 % of it behind; by hand 1205.6 g in front and 1808.4 g behind.
    const [front, rear] = [value('front_transfer'), value('rear_transfer')];
    const loads = { 'front inner': 602.8 - front, 'front outer': 602.8 + front, 'rear inner': 904.2 - rear, 'rear outer': 904.2 + rear };
    for (const [name, load] of Object.entries(loads))
      expect(areas.get(name)! / areas.get('rear outer')!).toBeCloseTo(load / (904.2 + rear), 2);
  });

  it('says which wheel is in the air', () => {
    const of = answer('roll', { lateral_acceleration: 1.35 });
    expect(circles(marks(of), 'lifted rear')).toHaveLength(1);
    expect(strings(of)).toContain('in the air');
    expect(made.cards.alt(of)).toContain('rear inner wheel in the air');
  });
});
