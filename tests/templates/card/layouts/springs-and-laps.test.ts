import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../../templates/card/scene.ts';
import { ask } from '../../../../worksheets/engine/ask.ts';
import type { Answer } from '../../../../worksheets/engine/types.ts';
import { cardFaults, strayShapes, textsOf } from '../../../support/card-faults.ts';
import { withCards } from '../../../support/cards.ts';
import { sheetNamed } from '../../../support/sheets.ts';

const made = withCards();
const names = ['heights', 'bounce', 'sink', 'spring_pair', 'laps', 'skidpad', 'damping', 'oil', 'piston'] as const;
const sheets = Object.fromEntries(await Promise.all(names.map(async (name) => [name, await sheetNamed(name)] as const)));
type Name = (typeof names)[number];
const answer = (name: Name, readings: Record<string, string | number> = sheets[name]!.sheet.example): Answer =>
  sheets[name]!.answer(readings, sheets[name]!.sheet.ends ? 'rear' : null);
const faults = (drawn: readonly Mark[]): string[] => [...cardFaults(drawn), ...strayShapes(drawn)];
const marks = (of: Answer): Mark[] => made.cards.marks(of, { truck: 'Sandhopper', day: '14 May' });
const circles = (of: readonly Mark[], name: string) => of.flatMap((mark) => (mark.kind === 'circle' && mark.name === name ? [mark] : []));
const paths = (of: readonly Mark[], name: string) => of.flatMap((mark) => (mark.kind === 'path' && mark.name === name ? [mark] : []));
const pointsOf = (d: string): (readonly [number, number])[] =>
  [...d.matchAll(/[ML](-?[\d.]+),(-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)] as const);
const strings = (of: Answer): string[] => textsOf(marks(of)).map(({ string }) => string);

/** Further answers, each of them once looked at. */
const looked: readonly (readonly [string, Name, Record<string, string | number>])[] = [
  [
    'heights-hardly-droop',
    'heights',
    { axle_droop: 40, axle_ride: 42, axle_bump: 118.5, shock_droop: 128, shock_ride: 127, shock_bump: 64.5 },
  ],
  ['bounce-undamped', 'bounce', { peak_1: 21, peak_2: 15, frames: 400, cycles: 3 }],
  ['bounce-too-low', 'bounce', { peak_1: 21, peak_2: 0.5, frames: 94 }],
  ['damping-of-no-shock', 'damping', { sprung_mass: 689, wheel_rate: 0.242, motion_ratio: 0.58 }],
  ['damping-too-much', 'damping', { sprung_mass: 689, wheel_rate: 0.242, motion_ratio: 0.58, damper_coefficient: 100 }],
  ['spring_pair-both', 'spring_pair', { rate_a: 1, rate_b: 3, room_a: 9, room_b: 3 }],
  ['spring_pair-above', 'spring_pair', { rate_a: 0.9, rate_b: 1.6, room_a: 10, motion_ratio: 0.58, corner_load: 899, unsprung_mass: 210 }],
  ['laps-cannot-tell', 'laps', { before: '31.42 31.18 31.67 31.05 31.38 31.51', after: '31.36 31.12 31.60 31.24 31.28 31.40' }],
  ['laps-one', 'laps', { before: '31.42 31.18 31.67', after: '31.38' }],
  ['skidpad-oversteer', 'skidpad', { skidpad_runs: '4.6/3.5 3.7/3.35 3.1/3.15 2.7/2.9', wheelbase: 330 }],
];

describe('the cards of springs, heights, laps and the skid pad', () => {
  const every = [...names.map((name) => [name, name, sheets[name]!.sheet.example] as const), ...looked];

  it.each(every)('%s is the SVG that was last looked at', async (file, name, readings) => {
    const golden = fileURLToPath(new URL(`../../../golden/cards/sheets/${file}.svg`, import.meta.url));
    await expect(made.cards.svg(answer(name, readings), { truck: 'Sandhopper', day: '14 May' })).toMatchFileSnapshot(golden);
  });

  it.each(every)('%s keeps every text and shape in its place', (_, name, readings) => {
    expect(faults(marks(answer(name, readings)))).toEqual([]);
  });

  it.each(every)('%s has one hero, and the step to take at its foot', (_, name, readings) => {
    const drawn = textsOf(marks(answer(name, readings)));
    const [first, second] = drawn.map(({ size }) => size).sort((a, b) => b - a);
    expect(first! / second!).toBeGreaterThanOrEqual(1.4);
    const lowest = drawn.reduce((low, text) => (text.y > low.y ? text : low));
    expect([lowest.weight, lowest.string.endsWith('.')]).toEqual([600, true]);
  });
});

describe('the picture of heights', () => {
  it('rules its three lines to scale, and stands the wheel on the one at ride', () => {
    const drawn = marks(answer('heights'));
    const level = (stop: string): number => pointsOf(paths(drawn, `line ${stop}`)[0]!.d).at(-1)![1];
    const [droop, ride, bump] = ['droop', 'ride', 'bump'].map(level) as [number, number, number];
    // Axle at 14, 46 and 118 mm.
    expect((droop - ride) / (droop - bump)).toBeCloseTo(32 / 104, 3);
    expect(circles(drawn, 'wheel')[0]!.cy).toBeCloseTo(ride, 1);
  });

  it('holds for any heights', () => {
    const step = fc.double({ min: 0.2, max: 400, noNaN: true });
    const shock = fc.double({ min: 0.2, max: 60, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: -400, max: 400, noNaN: true }), step, step, shock, shock, (droop, down, up, a, b) => {
        const of = answer('heights', {
          axle_droop: droop,
          axle_ride: droop + down,
          axle_bump: droop + down + up,
          shock_droop: 300,
          shock_ride: 300 - a,
          shock_bump: 300 - a - b,
        });
        expect(faults(marks(of))).toEqual([]);
      }),
      { numRuns: 100 },
    );
  });
});

describe('the picture of a bounce', () => {
  it('passes through both peaks, and comes back to the second after a whole turn', () => {
    const drawn = marks(answer('bounce', { peak_1: 20, peak_2: 5, frames: 96 }));
    const [first, second] = [circles(drawn, 'peak')[0]!, circles(drawn, 'peak')[1]!];
    const rest = pointsOf(paths(drawn, 'rest')[0]!.d)[0]![1];
    expect((rest - second.cy) / (rest - first.cy)).toBeCloseTo(5 / 20, 2);
    const curve = pointsOf(paths(drawn, 'bounce')[0]!.d);
    for (const { cx, cy } of [first, second]) {
      const nearest = curve.reduce((best, point) => (Math.abs(point[0] - cx) < Math.abs(best[0] - cx) ? point : best));
      expect(Math.abs(nearest[1] - cy)).toBeLessThan(1.5);
    }
    // Nothing but the start is higher than the second peak from half a turn on.
    const later = curve.filter(([x]) => x > (first.cx + second.cx) / 2);
    expect(Math.min(...later.map(([, y]) => y))).toBeGreaterThan(second.cy - 1);
  });

  it('holds for any bounce, and leaves one of too many swings to the general card', () => {
    const mm = fc.double({ min: 0.1, max: 300, noNaN: true });
    fc.assert(
      fc.property(mm, fc.double({ min: 0.0005, max: 1, noNaN: true }), fc.integer({ min: 1, max: 100 }), (peak, share, cycles) => {
        const of = answer('bounce', { peak_1: peak, peak_2: Math.max(0.1, peak * share), frames: 60 * cycles, cycles });
        const drawn = marks(of);
        expect(faults(drawn)).toEqual([]);
        expect(circles(drawn, 'peak').length).toBe(cycles <= 12 ? 2 : 0);
      }),
      { numRuns: 100 },
    );
  });
});

describe('the picture of damping', () => {
  it('passes rest by the overshoot, and nowhere by more', () => {
    const drawn = marks(answer('damping'));
    const curve = pointsOf(paths(drawn, 'bounce')[0]!.d);
    const rest = pointsOf(paths(drawn, 'rest')[0]!.d)[0]![1];
    const lowest = Math.max(...curve.map(([, y]) => y));
    // ζ = 24·0.58²/(2·√(242·0.689)); the overshoot is exp(−π·ζ/√(1 − ζ²)) (Ogata, Modern Control Engineering).
    const ratio = (24 * 0.58 ** 2) / (2 * Math.sqrt(242 * 0.689));
    const overshoot = Math.exp((-Math.PI * ratio) / Math.sqrt(1 - ratio ** 2));
    expect((lowest - rest) / (rest - curve[0]![1])).toBeCloseTo(overshoot, 2);
    expect(circles(drawn, 'peak')[0]!.cy).toBeCloseTo(lowest, 0);
  });

  it('comes back without passing rest when it is damped more than critically', () => {
    const drawn = marks(answer('damping', { sprung_mass: 689, wheel_rate: 0.242, motion_ratio: 0.58, damper_coefficient: 100 }));
    const rest = pointsOf(paths(drawn, 'rest')[0]!.d)[0]![1];
    for (const [, y] of pointsOf(paths(drawn, 'bounce')[0]!.d)) expect(y).toBeLessThanOrEqual(rest + 0.1);
    expect(circles(drawn, 'peak')).toEqual([]);
  });

  it('holds for any shock', () => {
    const coefficient = fc.option(fc.double({ min: 0, max: 10_000, noNaN: true }));
    const ratio = fc.double({ min: 0.01, max: 5, noNaN: true });
    fc.assert(
      fc.property(coefficient, ratio, ratio, (shock, lever, target) => {
        const of = answer('damping', {
          sprung_mass: 689,
          wheel_rate: 0.242,
          motion_ratio: lever,
          target_ratio: target,
          ...(shock === null ? {} : { damper_coefficient: shock }),
        });
        expect(faults(marks(of))).toEqual([]);
      }),
      { numRuns: 100 },
    );
  });
});

describe('the picture of a fit', () => {
  it('of a sinking shock meets zero speed at the friction', () => {
    const of = answer('sink');
    const drawn = marks(of);
    const points = circles(drawn, 'point');
    const start = circles(drawn, 'start')[0]!;
    // The lightest and the heaviest run, 150 and 600 g, set the scale; by hand the friction of 0.4375 N weighs 44.6 g.
    const perGram = (points[0]!.cy - points.at(-1)!.cy) / 450;
    expect((start.cy - points[0]!.cy) / perGram).toBeCloseTo(150 - 44.6, 0);
  });

  it('draws nothing off the line where two runs leave nothing', () => {
    const drawn = marks(answer('sink', { sink_runs: '150/336 250/171', distance: 20 }));
    const offs = circles(drawn, 'residual').map(({ cy }) => cy);
    expect(new Set(offs).size).toBe(1);
    expect(strings(answer('sink', { sink_runs: '150/336 250/171', distance: 20 }))).toContain('worst 0 g');
  });

  it('holds for any runs of a shock and of a circle', () => {
    const load = fc.double({ min: 1, max: 20_000, noNaN: true });
    const frames = fc.double({ min: 1, max: 1000, noNaN: true });
    const time = fc.double({ min: 0.5, max: 60, noNaN: true });
    const wide = fc.double({ min: 0.5, max: 40, noNaN: true });
    const ends = (name: Name, readings: Record<string, string>): void => {
      const got = ask(sheets[name]!.sheet, { readings, end: name === 'sink' ? 'rear' : null });
      if (got.kind === 'answer') expect(faults(marks(got))).toEqual([]);
    };
    fc.assert(
      fc.property(
        fc.array(fc.tuple(load, frames), { minLength: 2, maxLength: 12 }),
        fc.array(fc.tuple(time, wide), { minLength: 3, maxLength: 12 }),
        (sinking, circling) => {
          ends('sink', { sink_runs: sinking.map((row) => row.join('/')).join(' '), distance: '20' });
          ends('skidpad', { skidpad_runs: circling.map((row) => row.join('/')).join(' '), wheelbase: '330' });
        },
      ),
      { numRuns: 100 },
    );
  });
});

describe('the picture of two springs', () => {
  it('bends where the first binds, as steep on either side as the rates say', () => {
    const drawn = marks(answer('spring_pair', { rate_a: 1, rate_b: 3, room_a: 9 }));
    const [start, bend] = pointsOf(paths(drawn, 'both')[0]!.d) as [readonly [number, number], readonly [number, number]];
    const [, end] = pointsOf(paths(drawn, 'after')[0]!.d) as [readonly [number, number], readonly [number, number]];
    const slope = (a: readonly [number, number], b: readonly [number, number]): number => (a[1] - b[1]) / (b[0] - a[0]);
    // 0.75 N/mm to the kink, 3 N/mm after it: four times as steep.
    expect(slope(bend, end) / slope(start, bend)).toBeCloseTo(4, 1);
    expect(circles(drawn, 'kink')[0]).toMatchObject({ cx: bend[0], cy: bend[1] });
  });

  it('marks where the truck rides, on the line', () => {
    const of = answer('spring_pair');
    const drawn = marks(of);
    const [start, bend] = pointsOf(paths(drawn, 'both')[0]!.d) as [readonly [number, number], readonly [number, number]];
    const here = circles(drawn, 'here')[0]!;
    // 11.65 N of the 12.6 N at the kink: (0.689·g/0.58)/(0.9·14).
    const share = (0.689 * 9.80665) / 0.58 / 12.6;
    expect((here.cx - start[0]) / (bend[0] - start[0])).toBeCloseTo(share, 2);
    expect((start[1] - here.cy) / (start[1] - bend[1])).toBeCloseTo(share, 2);
  });

  it('holds for any two springs', () => {
    const rate = fc.double({ min: 0.005, max: 50, noNaN: true });
    const room = fc.option(fc.double({ min: 0.1, max: 200, noNaN: true }));
    fc.assert(
      fc.property(rate, rate, room, room, fc.boolean(), (a, b, p, q, known) => {
        const of = answer('spring_pair', {
          rate_a: a,
          rate_b: b,
          ...(p === null ? {} : { room_a: p }),
          ...(q === null ? {} : { room_b: q }),
          ...(known ? { motion_ratio: 0.58, corner_load: 899, unsprung_mass: 210 } : {}),
        });
        expect(faults(marks(of))).toEqual([]);
      }),
      { numRuns: 100 },
    );
  });
});

describe('the picture of laps', () => {
  it('has a dot for each lap, one scale for both sides, and the interval against no difference', () => {
    const drawn = marks(answer('laps', { before: '20 21 22', after: '20 22 23 24' }));
    const dots = circles(drawn, 'lap');
    expect(dots).toHaveLength(7);
    expect(dots[0]!.cx).toBeCloseTo(dots[3]!.cx, 2);
    expect((dots[1]!.cx - dots[0]!.cx) / (dots[6]!.cx - dots[0]!.cx)).toBeCloseTo(1 / 4, 3);
    const zero = pointsOf(paths(drawn, 'zero')[0]!.d)[0]![0];
    // After is slower on average: the difference stands right of the line of no difference.
    expect(circles(drawn, 'difference')[0]!.cx).toBeGreaterThan(zero);
  });

  it('holds for any laps, many and alike too', () => {
    const lap = fc.oneof(fc.double({ min: 1, max: 3600, noNaN: true }), fc.double({ min: 31, max: 31.5, noNaN: true }), fc.constant(31.2));
    const side = fc.array(lap, { minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(side, side, (before, after) => {
        expect(faults(marks(answer('laps', { before: before.join(' '), after: after.join(' ') })))).toEqual([]);
      }),
      { numRuns: 100 },
    );
  });
});

describe('what is said to those who do not see the picture', () => {
  it.each([
    ['heights', 'the arm with its wheel stands at ride, 30.77 % of the way from droop to bump'],
    ['bounce', 'a top of 21 mm and, 0.3917 s later, one of 2.6 mm are marked'],
    ['damping', 'it passes rest by 35.56 % of the push. A thin line shows it with a ratio of 0.5'],
    ['sink', '4 runs, the line through them down to zero speed'],
    ['spring_pair', 'two straight lines that meet in a kink at 21.87 mm and 12.6 N'],
    ['laps', '6 laps before and 6 after as dots on one scale of time'],
    ['skidpad', '5 runs, the line through them'],
  ] as const)('of %s', (name, words) => {
    expect(made.cards.alt(answer(name))).toContain(words);
  });

  it('is nothing of a drawing that is not there', () => {
    const bare = { ...answer('sink'), curves: [] };
    expect(made.cards.alt(bare)).not.toContain('A plot of load against speed');
    expect(faults(marks(bare))).toEqual([]);
  });
});
