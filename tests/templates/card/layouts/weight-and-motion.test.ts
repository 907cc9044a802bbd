import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../../templates/card/scene.ts';
import { ask } from '../../../../worksheets/engine/ask.ts';
import type { Answer } from '../../../../worksheets/engine/types.ts';
import { cardFaults, textsOf } from '../../../support/card-faults.ts';
import { withCards } from '../../../support/cards.ts';
import { sheetNamed, type Typed } from '../../../support/sheets.ts';

const made = withCards();
const names = ['ballast', 'cg_height', 'cross', 'inertia', 'whoops', 'jump', 'pitch', 'hop', 'wheel', 'sealed_tyre'] as const;
type Name = (typeof names)[number];
const sheets = Object.fromEntries(await Promise.all(names.map(async (name) => [name, await sheetNamed(name)] as const)));
const end = (name: Name): 'rear' | null => (sheets[name]!.sheet.ends ? 'rear' : null);
/** The sheet's example with some readings changed. */
const answer = (name: Name, changed: Typed = {}): Answer => sheets[name]!.answer({ ...sheets[name]!.sheet.example, ...changed }, end(name));
const marks = (of: Answer): Mark[] => made.cards.marks(of, { truck: 'Sandhopper', day: '14 May' });
const named = <K extends Mark['kind']>(of: readonly Mark[], kind: K, name: string): Extract<Mark, { kind: K }>[] =>
  of.filter((mark): mark is Extract<Mark, { kind: K }> => mark.kind === kind && mark.kind !== 'text' && mark.name === name);
const pointsOf = (d: string): (readonly [number, number])[] =>
  [...d.matchAll(/[ML](-?[\d.]+),(-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)] as const);
const strings = (of: Answer): string[] => textsOf(marks(of)).map(({ string }) => string);

const manyParts =
  'pack / 290 / 185 / 185 330; nose weight / 80 / -60 / off; servo / 60 / -20 / 40; lead / 40 / off / 300 350; spare wheel / 118 / 300 / 330 420';

/** Further answers, each of them once looked at. */
const looked: readonly (readonly [string, Name, Typed])[] = [
  ['ballast-nothing-moves', 'ballast', { parts: 'pack / 290 / 185 / 150' }],
  ['ballast-many', 'ballast', { parts: manyParts, target_rear: 64.6, tolerance: 0.05 }],
  ['whoops-floats', 'whoops', { speed: 33, rear_hop_frequency: 4.2 }],
  ['whoops-one-end', 'whoops', { speed: 120, front_ride_frequency: 2.9 }],
  ['jump-high', 'jump', { ramp_angle: 40, drop: -0.5, wheel_speed_change: 400 }],
  ['jump-drop', 'jump', { ramp_angle: -10, speed: 20, drop: 2 }],
  ['pitch-level', 'pitch', { rear_share: 60, front_wheel_rate: 0.2, rear_wheel_rate: 0.3 }],
  ['pitch-rocks', 'pitch', { dynamic_index: 1.5 }],
  ['cg_height-sure', 'cg_height', { front_raised: '1338 ± 2', lift: 100 }],
];

describe('the cards of weight and motion', () => {
  const every = [...names.map((name) => [name, name, {}] as const), ...looked];

  it.each(every)('%s is the SVG that was last looked at', async (file, name, changed) => {
    const golden = fileURLToPath(new URL(`../../../golden/cards/sheets/${file}.svg`, import.meta.url));
    await expect(made.cards.svg(answer(name, changed), { truck: 'Sandhopper', day: '14 May' })).toMatchFileSnapshot(golden);
  });

  it.each(every)('%s keeps every text and shape in its place', (_, name, changed) => {
    expect(cardFaults(marks(answer(name, changed)))).toEqual([]);
  });

  it.each(every)('%s has one hero, and the step to take at its foot', (_, name, changed) => {
    const drawn = textsOf(marks(answer(name, changed)));
    const [first, second] = drawn.map(({ size }) => size).sort((a, b) => b - a);
    expect(first! / second!).toBeGreaterThanOrEqual(1.4);
    const lowest = drawn.reduce((low, text) => (text.y > low.y ? text : low));
    expect([lowest.weight, /[.?]$/.test(lowest.string)]).toEqual([600, true]);
  });

  it.each(every)('%s tells those who do not see it what is to be seen', (_, name, changed) => {
    expect(made.cards.alt(answer(name, changed)).length).toBeLessThanOrEqual(1024);
  });

  it.each(names)('%s holds all over the ranges of its readings', (name) => {
    const { sheet } = sheets[name]!;
    const numbers = sheet.readings.filter((reading) => reading.type.kind === 'number');
    // From a tenth to ten times the example, within the range; and now and then without the optional ones.
    const factor = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(factor, fc.boolean()), { minLength: numbers.length, maxLength: numbers.length }), (drawn) => {
        const readings: Record<string, string> = { ...sheet.example };
        for (const [i, reading] of numbers.entries()) {
          const [power, there] = drawn[i]!;
          const typed = readings[reading.name];
          if (typed === undefined) continue;
          if (!reading.required && !there) delete readings[reading.name];
          else if (!reading.whole) readings[reading.name] = String(Number(typed) * 10 ** power);
        }
        const got = ask(sheet, { readings, end: end(name) });
        if (got.kind === 'answer') expect(cardFaults(marks(got)), JSON.stringify(readings)).toEqual([]);
      }),
      { numRuns: 120 },
    );
  });
});

describe('the picture of ballast', () => {
  const x = (mark: { x: number; w: number }): number => mark.x + mark.w / 2;

  it('puts each part where it was and where it goes, to the scale of the ruler under the truck', () => {
    const drawn = marks(answer('ballast'));
    const [hub1, hub2] = named(drawn, 'circle', 'wheel').map(({ cx }) => cx) as [number, number];
    const place = (mm: number): number => hub1 + ((hub2 - hub1) * mm) / 330;
    expect(named(drawn, 'rect', 'now').map(x)).toEqual([expect.closeTo(place(185), 1)]);
    expect(named(drawn, 'rect', 'then').map(x)).toEqual([expect.closeTo(place(330), 1), expect.closeTo(place(390), 1)]);
    // Balance: 1657 of 3027 g before; 1657 + 290 · 145/330 + 60 · 390/330 of 3087 g after. By hand: 54.74 and 60.10 %.
    expect(pointsOf(named(drawn, 'path', 'before')[0]!.d)[0]![0]).toBeCloseTo(place(0.5474 * 330), 0);
    expect(pointsOf(named(drawn, 'path', 'after')[0]!.d)[0]![0]).toBeCloseTo(place(0.601 * 330), 0);
  });

  it('counts the parts that it has no room to name', () => {
    expect(strings(answer('ballast', { parts: manyParts, target_rear: 64.6, tolerance: 0.05 }))).toContain('+ 2 more in the text');
  });

  it('holds for any list of parts', () => {
    const place = fc.oneof({ weight: 5, arbitrary: fc.integer({ min: -500, max: 2000 }) }, { weight: 1, arbitrary: fc.constant('off') });
    const part = fc.tuple(
      fc.stringMatching(/^[a-zA-Z][a-zA-Z ]{0,40}[a-z]$/),
      fc.integer({ min: 1, max: 400 }),
      place,
      fc.array(place, { minLength: 1, maxLength: 4 }),
    );
    fc.assert(
      fc.property(fc.array(part, { minLength: 1, maxLength: 7 }), fc.integer({ min: 40, max: 75 }), (parts, target) => {
        const list = parts.map(([name, mass, now, places]) => `${name} / ${mass} / ${now} / ${places.join(' ')}`).join('; ');
        const readings = { ...sheets.ballast!.sheet.example, target_rear: String(target), parts: list };
        const got = ask(sheets.ballast!.sheet, { readings, end: null });
        if (got.kind === 'answer') expect(cardFaults(marks(got)), list).toEqual([]);
      }),
      { numRuns: 150 },
    );
  });

  it('leaves two parts of one name to the general card, which cannot mix them up', () => {
    const twins = answer('ballast', { parts: 'lead / 60 / off / off 330; lead / 90 / off / off 390; pack / 290 / 185 / 330' });
    expect(strings(twins)).toContain('Plan');
    expect(cardFaults(marks(twins))).toEqual([]);
    const long = 'x'.repeat(60);
    expect(cardFaults(marks(answer('ballast', { parts: `${long} / 290 / 185 / 330; <b>&"' / 60 / off / 390` })))).toEqual([]);
  });
});

describe('the picture of whoops', () => {
  it('stands hump, band and speed on one ruler', () => {
    const drawn = marks(answer('whoops'));
    const texts = textsOf(drawn);
    const tick = (figure: string): number => {
      const { extent } = texts.find(({ string }) => string === figure)!;
      return extent.x + extent.w / 2;
    };
    const at = (kmh: number): number => tick('0') + ((tick('20') - tick('0')) * kmh) / 20;
    const hump = pointsOf(named(drawn, 'path', 'hump rear')[0]!.d);
    // 3.6 · 2.5 Hz · 2.4 m in tune, √2 of it floats; the truck is at 26 km/h.
    expect(hump[1]![0]).toBeCloseTo(at(21.6), 0);
    expect(hump[2]![0]).toBeCloseTo(at(21.6 * Math.SQRT2), 0);
    expect(named(drawn, 'rect', 'band').map(({ x }) => x)).toEqual([
      expect.closeTo(at(3.6 * 2.3 * 2.4 * Math.SQRT2), 0),
      expect.closeTo(at(21.6 * Math.SQRT2), 0),
    ]);
    expect(pointsOf(named(drawn, 'path', 'speed')[0]!.d)[0]![0]).toBeCloseTo(at(26), 0);
  });

  it('names what is far beyond at the end of the ruler', () => {
    expect(strings(answer('whoops'))).toContain('hops 90.7 →');
    expect(strings(answer('whoops', { speed: 200 }))).toContain('you 200 →');
  });
});

describe('the picture of a jump', () => {
  it('is to scale both ways: 18° at the lip, 0.254 m high and 3.65 m long', () => {
    const path = pointsOf(named(marks(answer('jump')), 'path', 'path')[0]!.d);
    const [lip, next, landing] = [path[0]!, path[1]!, path.at(-1)!];
    // University physics: v² sin² φ / 2 g over the lip; the chord of the first forty-eighth is a little flatter than the ramp.
    const speed = 26 / 3.6;
    const scale = (landing[0] - lip[0]) / answerRange(answer('jump'));
    const top = Math.min(...path.map(([, y]) => y));
    expect((lip[1] - top) / scale).toBeCloseTo((speed * Math.sin(Math.PI / 10)) ** 2 / (2 * 9.80665), 1);
    expect((landing[1] - lip[1]) / scale).toBeCloseTo(0.2, 1);
    expect((180 / Math.PI) * Math.atan2(lip[1] - next[1], next[0] - lip[0])).toBeGreaterThan(16);
  });

  const answerRange = (of: Answer): number => of.answers.find(({ name }) => name === 'range')!.value as number;

  it('says how the truck comes down, in whole degrees', () => {
    expect(strings(answer('jump'))).toContain('lands 2° nose up');
    expect(strings(answer('jump', { pitch_rate: -60 }))).toContain('lands 19° nose down');
  });
});

describe('the picture of bounce and pitch', () => {
  it('rings the still point where it is, or points where it lies', () => {
    const drawn = marks(answer('pitch'));
    const [front, rear] = named(drawn, 'circle', 'wheel').map(({ cx }) => cx) as [number, number];
    const cg = named(drawn, 'circle', 'CG')[0]!.cx;
    expect((cg - front) / (rear - front)).toBeCloseTo(0.596, 2);
    const node = named(drawn, 'circle', 'node');
    // 46 mm ahead of the CG, on a wheelbase of 330 mm; the other one lies 455 mm behind it, off the card.
    expect(node).toHaveLength(1);
    expect((cg - node[0]!.cx) / (rear - front)).toBeCloseTo(46.08 / 330, 2);
    expect(strings(answer('pitch'))).toContain('bounce, 455 mm behind CG');
  });

  it('draws a level bounce level', () => {
    const drawn = marks(answer('pitch', { rear_share: 60, front_wheel_rate: 0.2, rear_wheel_rate: 0.3 }));
    const [level] = named(drawn, 'path', 'swing').map(({ d }) => pointsOf(d));
    expect(level![0]![1]).toBe(level![1]![1]);
    expect(strings(answer('pitch', { rear_share: 60, front_wheel_rate: 0.2, rear_wheel_rate: 0.3 }))).toContain('bounce, level');
  });
});

describe('the picture of the centre of gravity', () => {
  type Place = { readonly cx: number; readonly cy: number };

  it('stands it as high as it is, beside wheels and axles of the same scale', () => {
    const drawn = marks(answer('cg_height'));
    const [front, rear] = named(drawn, 'circle', 'wheel').map(({ cx, cy }) => ({ cx, cy })) as [Place, Place];
    const cg = named(drawn, 'circle', 'CG')[0]!;
    const perMm = (rear.cx - front.cx) / 330;
    // 84.12 mm over the ground, the axles 52 mm; 196.7 mm behind the front axle.
    expect((front.cy - cg.cy) / perMm).toBeCloseTo(84.12 - 52, 0);
    expect((cg.cx - front.cx) / perMm).toBeCloseTo(196.7, 0);
  });
});
