import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../../templates/card/scene.ts';
import { ask } from '../../../../worksheets/engine/ask.ts';
import type { Answer, AnswerValue } from '../../../../worksheets/engine/types.ts';
import { cardFaults, textsOf } from '../../../support/card-faults.ts';
import { withCards } from '../../../support/cards.ts';
import { sheetNamed } from '../../../support/sheets.ts';

const made = withCards();
const names = ['gearing', 'top_speed', 'launch', 'warmup', 'motor_heat', 'pack', 'mesh'] as const;
type Name = (typeof names)[number];
const sheets = Object.fromEntries(await Promise.all(names.map(async (name) => [name, await sheetNamed(name)] as const)));
type Typed = Readonly<Record<string, string | number>>;
const answer = (name: Name, readings: Typed = {}): Answer => sheets[name]!.answer({ ...sheets[name]!.sheet.example, ...readings });
const marks = (of: Answer): Mark[] => made.cards.marks(of, { truck: 'Sandhopper', day: '14 May' });
const strings = (of: Answer): string[] => textsOf(marks(of)).map(({ string }) => string);
const paths = (of: readonly Mark[], name: string) => of.flatMap((mark) => (mark.kind === 'path' && mark.name === name ? [mark] : []));
const circles = (of: readonly Mark[], name: string) => of.flatMap((mark) => (mark.kind === 'circle' && mark.name === name ? [mark] : []));
const pointsOf = (d: string): (readonly [number, number])[] =>
  [...d.matchAll(/[ML](-?[\d.]+),(-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)] as const);

/** A truck with many volts, a weak motor and much drag: beyond 32 teeth it gets slower. */
const mudlark: Typed = { motor_kv: 4000, cells: 3, motor_resistance: 40, rolling_coefficient: '0.1', drag_area: '0.05 ± 0.02' };

/** Further answers, each of them once looked at. */
const looked: readonly (readonly [string, Name, Typed])[] = [
  ['top_speed-below-fastest', 'top_speed', { ...mudlark, pinion: 29 }],
  ['top_speed-next-to-fastest', 'top_speed', { ...mudlark, pinion: 31 }],
  ['top_speed-on-fastest', 'top_speed', { ...mudlark, pinion: 32 }],
  ['top_speed-past-fastest', 'top_speed', { ...mudlark, pinion: 35 }],
  ['launch-slips', 'launch', { grip: 0.4 }],
  ['launch-grips', 'launch', { grip: 1.4, current_limit: 40 }],
  ['launch-never', 'launch', { to_speed: 120 }],
  ['launch-lifts', 'launch', { grip: 1.9, cg_height: 120, current_limit: 300 }],
  ['warmup-stays-below', 'warmup', { temperatures: '40 58 63', interval: 4 }],
  ['warmup-early', 'warmup', { temperatures: '40 50 59', interval: 1 }],
  ['warmup-at-its-limit', 'warmup', { temperatures: '84 90 93', interval: 2 }],
  ['warmup-cools', 'warmup', { temperatures: '70 50 40', interval: 2, power_loss: 30, air_temperature: 22 }],
  ['motor_heat-cool', 'motor_heat', { power_loss: 15 }],
  ['mesh-no-slot', 'mesh', { slot_min: 24, slot_max: 24.1 }],
];

describe('the cards of motor, gears and pack', () => {
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

  it.each(every.filter(([name]) => name !== 'gearing'))('%s cuts no sentence short', (_, name, readings) => {
    expect(strings(answer(name, readings)).filter((string) => string.endsWith('…'))).toEqual([]);
  });
});

describe('the stair of top speed', () => {
  const crests = (of: Answer): number[] => {
    const points = pointsOf(paths(marks(of), 'stair')[0]!.d);
    return Array.from({ length: 9 }, (_, i) => points[0]![1] - points[2 + 4 * i + 1]![1]);
  };

  it('makes each step as high as its speed, down again past the fastest', () => {
    const past = answer('top_speed', { ...mudlark, pinion: 35 });
    for (const of of [answer('top_speed'), past]) {
      const speeds = of.curves[0]!.answers.top_speed as readonly number[];
      const heights = crests(of);
      heights.forEach((height, i) => {
        expect(height / heights[0]!).toBeCloseTo(speeds[i]! / speeds[0]!, 2);
      });
    }
    expect(crests(past)[8]).toBeLessThan(crests(past)[1]!);
  });

  it('edges and names the fastest step, and says so where the truck stands on it', () => {
    const below = marks(answer('top_speed', { ...mudlark, pinion: 29 }));
    const [edge] = paths(below, 'fastest');
    // Of nine steps from 25 teeth on 500 units, 32 is the eighth.
    expect(pointsOf(edge!.d)[0]![0]).toBeCloseTo(20 + (500 / 9) * 7 + 3, 1);
    expect(strings(answer('top_speed', { ...mudlark, pinion: 29 }))).toContain('fastest');
    expect(strings(answer('top_speed', { ...mudlark, pinion: 32 }))).toContain('you stand on the fastest');
    expect(paths(marks(answer('top_speed')), 'fastest')).toEqual([]);
    expect(made.cards.alt(answer('top_speed', { ...mudlark, pinion: 29 }))).toContain('The fastest, 32, is edged and named.');
  });

  it('is not built where a pinion hardly moves the truck', () => {
    const of = answer('top_speed');
    const curve = of.curves[0]!;
    const speeds = curve.answers.top_speed!.map((speed, i) => (i === 8 ? 2 : speed));
    const drawn = { ...of, curves: [{ ...curve, answers: { ...curve.answers, top_speed: speeds } }] };
    expect(paths(marks(drawn), 'stair')).toEqual([]);
    expect(cardFaults(marks(drawn))).toEqual([]);
  });

  it('holds for any stair, wherever the truck and the fastest stand on it', () => {
    const example = answer('top_speed', { ...mudlark, pinion: 29 });
    fc.assert(
      fc.property(
        fc.integer({ min: 5, max: 140 }),
        fc.array(fc.double({ min: 31, max: 100, noNaN: true }), { minLength: 3, maxLength: 9 }),
        fc.nat(8),
        fc.boolean(),
        fc.option(fc.double({ min: 1e-3, max: 50, noNaN: true })),
        fc.constantFrom([], example.cautions.slice(0, 1)),
        (first, speeds, at, known, uncertainty, cautions) => {
          const x = speeds.map((_, i) => first + i);
          const here = at % x.length;
          const fastest = speeds.indexOf(Math.max(...speeds));
          const inside = known && fastest > 0 && fastest < x.length - 1;
          const answers = example.answers.flatMap((one): AnswerValue[] => {
            if (one.name === 'top_speed') return [{ ...one, value: speeds[here]!, uncertainty }];
            if (one.name === 'fastest_pinion') return inside ? [{ ...one, value: x[fastest]! }] : [];
            return [one];
          });
          const drawn = {
            ...example,
            answers,
            cautions,
            curves: [{ ...example.curves[0]!, x, answers: { top_speed: speeds }, here: x[here]! }],
          };
          expect(cardFaults(marks(drawn))).toEqual([]);
        },
      ),
      { numRuns: 500 },
    );
  });
});

describe('the plot of a launch', () => {
  it('breaks the line up to the speed at which the wheels slip, and turns there', () => {
    const of = answer('launch');
    const [slips] = paths(marks(of), 'slips');
    const [grips] = paths(marks(of), 'grips');
    const [turn] = circles(marks(of), 'turn');
    expect(slips!.dash).not.toBe('');
    expect(grips!.dash).toBe('');
    const [last, first] = [pointsOf(slips!.d).at(-1)!, pointsOf(grips!.d)[0]!];
    expect(last).toEqual(first);
    // Every point of the curve is on one of the two, the turn on both.
    expect(pointsOf(slips!.d).length + pointsOf(grips!.d).length).toBe(of.curves[0]!.x.length + 2);
    expect([turn!.cx, turn!.cy]).toEqual(last);
    // The height of the turn over the axis is its speed, the end of the line 40 km/h.
    const [start, end] = [pointsOf(slips!.d)[0]!, pointsOf(grips!.d).at(-1)!];
    const slipUntil = of.answers.find(({ name }) => name === 'slip_until')!.value as number;
    expect((start[1] - last[1]) / (start[1] - end[1])).toBeCloseTo(slipUntil / 40, 2);
  });

  it('says in words where it slips', () => {
    expect(strings(answer('launch'))).toContain('slips to here');
    expect(strings(answer('launch', { grip: 0.4 }))).toContain('slips all the way');
    expect(strings(answer('launch', { grip: 1.4, current_limit: 40 }))).toContain('grips all the way');
    expect(made.cards.alt(answer('launch', { grip: 0.4 }))).toContain('The wheels slip all the way.');
  });

  it('holds for any launch', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 2.5, noNaN: true }),
        fc.double({ min: 5, max: 300, noNaN: true }),
        fc.integer({ min: 5, max: 60 }),
        fc.double({ min: 1, max: 200, noNaN: true }),
        fc.double({ min: 20, max: 300, noNaN: true }),
        (grip, current_limit, pinion, to_speed, cg_height) => {
          const { example } = sheets.launch!.sheet;
          const readings = { ...example, grip, current_limit, pinion, to_speed, cg_height, total: '3014 ± 300' };
          const got = ask(sheets.launch!.sheet, { readings });
          if (got.kind === 'answer') expect(cardFaults(marks(got))).toEqual([]);
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe('the plot of a temperature', () => {
  it('has the three readings on the course, and the marker where that passes the limit', () => {
    const of = marks(answer('warmup'));
    const dots = circles(of, 'reading');
    const course = pointsOf(paths(of, 'course')[0]!.d);
    const [[, limitY]] = pointsOf(paths(of, 'limit')[0]!.d) as [readonly [number, number]];
    expect(dots).toHaveLength(3);
    expect([dots[0]!.cx, dots[0]!.cy]).toEqual(course[0]);
    // Equal times apart, and in height as the degrees: 38, 62, 73 and the limit's 80.
    expect(dots[2]!.cx - dots[1]!.cx).toBeCloseTo(dots[1]!.cx - dots[0]!.cx, 1);
    const perDegree = (dots[0]!.cy - dots[1]!.cy) / (62 - 38);
    expect((dots[1]!.cy - dots[2]!.cy) / (73 - 62)).toBeCloseTo(perDegree, 2);
    expect((dots[2]!.cy - limitY) / (80 - 73)).toBeCloseTo(perDegree, 1);
    const [tip] = pointsOf(paths(of, 'here')[0]!.d);
    const perMinute = (dots[1]!.cx - dots[0]!.cx) / 3;
    expect((tip![0] - dots[0]!.cx) / perMinute).toBeCloseTo(11.36, 1);
  });

  it('puts the end of the run on the course of motor heat', () => {
    const of = answer('motor_heat');
    const [end] = circles(marks(of), 'end');
    const course = pointsOf(paths(marks(of), 'course')[0]!.d);
    // 600 of 1800 s: the eleventh of its 31 points.
    expect([end!.cx, end!.cy]).toEqual(course[10]);
    expect(made.cards.alt(of)).toContain('has passed the motor');
    expect(made.cards.alt(answer('motor_heat', { power_loss: 15 }))).toContain('never reaches the motor');
  });

  it('holds for any three readings and any limit', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -20, max: 120, noNaN: true }),
        fc.double({ min: -40, max: 60, noNaN: true }).filter((step) => Math.abs(step) > 0.1),
        fc.double({ min: 0.02, max: 0.98, noNaN: true }),
        fc.double({ min: 0.05, max: 240, noNaN: true }),
        fc.integer({ min: -30, max: 200 }),
        (first, step, part, interval, motor_limit) => {
          const temperatures = [first, first + step, first + step * (1 + part)].join(' ');
          const got = ask(sheets.warmup!.sheet, { readings: { temperatures, interval, motor_limit, power_loss: 30, air_temperature: 20 } });
          if (got.kind === 'answer') expect(cardFaults(marks(got))).toEqual([]);
        },
      ),
      { numRuns: 400 },
    );
  });

  it('holds for any run', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 300, noNaN: true }),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        fc.double({ min: 10, max: 1000, noNaN: true }),
        fc.double({ min: 0, max: 5000, noNaN: true }),
        fc.integer({ min: -30, max: 200 }),
        (power_loss, thermal_resistance, heat_capacity, run_time, motor_limit) => {
          const readings = { power_loss, thermal_resistance, heat_capacity, run_time, motor_limit };
          const got = ask(sheets.motor_heat!.sheet, { readings });
          if (got.kind === 'answer') expect(cardFaults(marks(got))).toEqual([]);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('gives way to the general card where its curve is missing', () => {
    for (const name of ['warmup', 'motor_heat', 'launch', 'top_speed'] as const) {
      const bare = { ...answer(name), curves: [] };
      expect(cardFaults(marks(bare))).toEqual([]);
      expect(paths(marks(bare), 'course').length + paths(marks(bare), 'stair').length).toBe(0);
    }
  });
});
