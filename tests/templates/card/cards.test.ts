import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadLayouts } from '../../../templates/card/layout.ts';
import { themes } from '../../../templates/card/theme.ts';
import type { Answer, AnswerValue, Curve } from '../../../worksheets/engine/types.ts';
import { cardFaults, textsOf } from '../../support/card-faults.ts';
import { withCards } from '../../support/cards.ts';
import { hostile } from '../../support/hostile.ts';
import { readPng } from '../../support/png.ts';
import { cornersOff, cornersOnTarget, gearing, press, ride, samples, topSpeed } from '../../support/sample-answers.ts';

const made = withCards();
const golden = (name: string): string => fileURLToPath(new URL(`../../golden/cards/${name}.svg`, import.meta.url));
const every = Object.entries(samples);
/** The same answer from a sheet without a drawing of its own. */
const clubSpeed: Answer = { ...topSpeed, sheet: 'club_speed' };

describe('every card', () => {
  it.each(every)('%s is the SVG that was last looked at', async (name, { answer, truck, day }) => {
    await expect(made.cards.svg(answer, { truck, day })).toMatchFileSnapshot(golden(name));
  });

  it('differs between dark and light in its colours only', () => {
    const colours = /#[0-9a-f]{6}/gi;
    const [dark, light] = [made.cards.svg(cornersOff, { theme: 'dark' }), made.cards.svg(cornersOff, { theme: 'light' })];
    expect(light.replace(colours, '')).toBe(dark.replace(colours, ''));
    expect(light).not.toBe(dark);
    for (const used of light.match(colours)!) expect(Object.values(themes.light)).toContain(used);
  });

  it.each(every)('%s keeps every text on the card, in its room, apart from the others, at 16 and more', (_, { answer, truck, day }) => {
    expect(cardFaults(made.cards.marks(answer, { truck, day }))).toEqual([]);
  });

  it.each(every)('%s says so in the SVG too: sizes and places, read from the text of it', (_, { answer, truck, day }) => {
    const svg = made.cards.svg(answer, { truck, day });
    expect(svg).toContain('viewBox="0 0 540 344" width="1080" height="688"');
    for (const [, x, y, size] of svg.matchAll(/<text x="([-\d.]+)" y="([-\d.]+)" font-size="([\d.]+)"/g)) {
      expect(Number(size)).toBeGreaterThanOrEqual(16);
      expect(Number(x)).toBeGreaterThanOrEqual(0);
      expect(Number(x)).toBeLessThanOrEqual(540);
      expect(Number(y)).toBeGreaterThan(10);
      expect(Number(y)).toBeLessThan(344);
    }
    expect(svg.match(/<text /g)?.length).toBe(textsOf(made.cards.marks(answer, { truck, day })).length);
  });

  it.each(every)('%s says what truck, what day, and ends with the one thing to do next', (_, { answer, truck, day }) => {
    const written = textsOf(made.cards.marks(answer, { truck, day }));
    expect(written.map(({ string }) => string)).toContain(`${truck} · ${day}`);
    if (answer.next === null) return;
    const lowest = written.reduce((low, text) => (text.y > low.y ? text : low));
    expect(lowest.size).toBeGreaterThanOrEqual(17);
    expect(lowest.weight).toBe(600);
    expect(lowest.string).toMatch(/\.$/);
  });

  it.each(every)('%s has one hero: one text far larger than all others', (_, { answer, truck, day }) => {
    const [first, second] = textsOf(made.cards.marks(answer, { truck, day }))
      .map(({ size }) => size)
      .sort((a, b) => b - a);
    expect(first! / second!).toBeGreaterThanOrEqual(1.4);
    expect(first).toBeGreaterThanOrEqual(36);
  });

  it.each(every)('%s never gives a verdict in colour alone', (_, { answer, truck, day }) => {
    const marks = made.cards.marks(answer, { truck, day });
    const shapes = { good: 'circle', 'not good': 'path', open: 'circle' } as const;
    const signs = marks.filter((mark) => mark.kind !== 'text' && mark.name in shapes);
    const hero = answer.answers.find(({ name }) => name === answer.hero)!;
    if (hero.verdict !== null) {
      expect(signs.length).toBeGreaterThan(0);
      expect(textsOf(marks).map(({ string }) => string)).toContain(hero.verdict);
    }
    for (const sign of signs) if (sign.kind !== 'text') expect(sign.kind).toBe(shapes[sign.name as keyof typeof shapes]);
    // `good` is seen in a sign or in a target, which has its edges and its figures.
    for (const mark of marks) if (mark.kind !== 'text' && mark.fill === 'good') expect(['good', 'band']).toContain(mark.name);
    for (const text of textsOf(marks)) expect(['text', 'muted', 'heavy', 'light', 'ground']).toContain(text.tone);
  });
});

describe('the colours', () => {
  /** WCAG 2.2, relative luminance and contrast ratio. */
  const luminance = (hex: string): number => {
    const [r, g, b] = [1, 3, 5]
      .map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255)
      .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
  };
  const contrast = (a: string, b: string): number => {
    const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x);
    return (high! + 0.05) / (low! + 0.05);
  };

  it('are computed as WCAG has them: black on white is 21 : 1', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
  });

  it.each(Object.entries(themes))('of the %s theme can be read: text 4.5 : 1, marks 3 : 1', (_, theme) => {
    for (const tone of ['text', 'muted', 'heavy', 'light'] as const)
      for (const under of ['ground', 'panel'] as const) expect(contrast(theme[tone], theme[under])).toBeGreaterThanOrEqual(4.5);
    expect(contrast(theme.ground, theme.heavy)).toBeGreaterThanOrEqual(4.5);
    expect(contrast(theme.good, theme.ground)).toBeGreaterThanOrEqual(3);
  });
});

describe('the general card', () => {
  const named = (answer: Answer): string[] => textsOf(made.cards.marks(answer, {})).map(({ string }) => string);

  it.each([
    ['ride', ride],
    ['top speed', clubSpeed],
  ] as const)('of %s shows or counts every answer', (_, answer) => {
    const strings = named(answer);
    const shown = answer.answers.filter(({ name }) => strings.some((string) => string.toLowerCase() === name.replaceAll('_', ' ')));
    const more = Number(/^\+ (\d+) more/.exec(strings.find((string) => string.startsWith('+ ')) ?? '')?.[1] ?? 0);
    expect(shown.length + more).toBe(answer.answers.length);
  });

  it('is drawn when a sheet’s own drawing lacks what it needs', () => {
    const without = { ...cornersOnTarget, readings: cornersOnTarget.readings.slice(1) };
    expect(named(without)).toContain('Rear share');
    expect(cardFaults(made.cards.marks(without, {}))).toEqual([]);
    const noCurve = { ...gearing, curves: [] };
    expect(named(noCurve)).toContain('Ideal speed');
    const noPoints = { ...press, readings: [] };
    expect(named(noPoints)).not.toContain('Off the line');
    expect(made.cards.alt(noPoints)).not.toContain('how far each lies off the line');
  });

  const words = fc.string({ unit: fc.constantFrom(...'abcdefghijklmnop rstuvWM-é.'), maxLength: 60 });
  const number = fc.oneof(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.double({ min: -10, max: 10, noNaN: true }), fc.constant(0));
  const units = fc.constantFrom('mm', 'deg', '%', '1', 'N/mm', 'rpm/V', 'N·m/deg', '°C', null, 'kg·m²');
  const value = fc.record({
    name: fc.stringMatching(/^[a-z]{2,8}(_[a-z]{2,9}){0,3}$/),
    label: words,
    value: fc.oneof({ weight: 6, arbitrary: number }, { weight: 1, arbitrary: words }, fc.boolean(), fc.constant(null)),
    unit: units,
    uncertainty: fc.option(fc.double({ min: 1e-4, max: 1e4, noNaN: true })),
    verdict: fc.constantFrom('on target', 'off target', 'too close to call', 'faster', 'cannot tell', null),
    band: fc.option(
      fc.record({ low: fc.double({ min: -100, max: 0, noNaN: true }), high: fc.double({ min: 0.1, max: 1e4, noNaN: true }) }),
    ),
    why: words,
  });
  const sentence = fc.option(
    fc.array(fc.oneof(words, fc.record({ value: number, unit: units, uncertainty: fc.constant(null) })), { minLength: 1, maxLength: 4 }),
  );
  const curve = fc.tuple(fc.array(number, { minLength: 1, maxLength: 40 }), fc.nat(40), fc.boolean()).map(([ys, at, somewhere]): Curve => {
    const x = ys.map((_, i) => i * 0.5 + 3);
    return {
      over: 'pinion',
      label: '',
      unit: 'teeth',
      x,
      answers: { speed: ys },
      units: { speed: 'km/h' },
      labels: {},
      here: somewhere ? x[at % x.length]! : null,
    };
  });
  const answers = fc.record({
    title: words,
    end: fc.constantFrom('front', 'rear', null),
    answers: fc.array(value, { minLength: 1, maxLength: 14 }),
    readings: fc.array(value, { maxLength: 12 }),
    curves: fc.array(curve, { maxLength: 1 }),
    cautions: fc.array(sentence, { maxLength: 2 }),
    next: sentence,
    truck: words,
  });

  it('keeps every text in its place, whatever the answer', () => {
    fc.assert(
      fc.property(answers, ({ truck, readings, cautions, ...drawn }) => {
        const answer: Answer = {
          kind: 'answer',
          sheet: 'club_sheet',
          hero: drawn.answers[0]!.name,
          wider: [],
          ...drawn,
          answers: drawn.answers as AnswerValue[],
          cautions: cautions.filter((one) => one !== null),
          readings: readings.map(({ name, label, value: read, unit }) => ({
            name,
            label,
            value: read ?? 0,
            unit,
            uncertainty: null,
            from: 'given',
          })),
        };
        expect(cardFaults(made.cards.marks(answer, { truck }))).toEqual([]);
      }),
      { numRuns: 500 },
    );
  });

  it('finds a fault where there is one: the check itself', () => {
    const marks = made.cards.marks(ride, {});
    const hero = textsOf(marks).reduce((big, text) => (text.size > big.size ? text : big));
    expect(cardFaults([...marks, hero])).toHaveLength(1);
    expect(cardFaults([{ ...hero, extent: { ...hero.extent, x: 400 } }])).not.toEqual([]);
    expect(cardFaults([{ ...hero, size: 15 }])).toHaveLength(1);
  });
});

describe('a layout of a sheet’s own', () => {
  it('is found by its file’s name: corners, gearing and press have one', async () => {
    const layouts = await loadLayouts();
    for (const sheet of ['corners', 'gearing', 'press']) expect(layouts.has(sheet)).toBe(true);
  });

  const short = fc.constantFrom('Weigh again.', 'Slide the pack 24.3 mm back, then weigh the truck once more with its springs settled.');
  const around = fc.record({ next: fc.option(short), caution: fc.option(short) });
  const dressed = (answer: Answer, { next, caution }: { next: string | null; caution: string | null }): Answer => ({
    ...answer,
    next: next === null ? null : [next],
    cautions: caution === null ? [] : [[caution]],
  });
  const replaced = (answer: Answer, values: { readonly [name: string]: Partial<AnswerValue> }): AnswerValue[] =>
    answer.answers.map((one) => ({ ...one, ...values[one.name] }));

  it('of corners holds for any truck: light or heavy, nose or tail, sure or not', () => {
    const load = fc.double({ min: 10, max: 5000, noNaN: true });
    fc.assert(
      fc.property(fc.tuple(load, load, load, load), fc.double({ min: 0, max: 5, noNaN: true }), around, (loads, uncertainty, more) => {
        const total = loads.reduce((sum, one) => sum + one, 0);
        const share = (100 * (loads[2] + loads[3])) / total;
        const verdict = (['on target', 'off target', 'too close to call'] as const)[Math.floor(total) % 3]!;
        const answer = dressed(cornersOnTarget, more);
        const drawn: Answer = {
          ...answer,
          readings: answer.readings.map((one, i) => (i < 4 ? { ...one, value: loads[i]! } : one)),
          answers: replaced(answer, { total: { value: total }, rear_share: { value: share, uncertainty, verdict } }),
        };
        const marks = made.cards.marks(drawn, { truck: 'Sandhopper', day: '14 May' });
        expect(cardFaults(marks)).toEqual([]);
        // The whole truck stays on the card.
        for (const mark of marks) if (mark.kind === 'circle' && mark.name === 'wheel') expect(mark.cx - mark.r).toBeGreaterThan(0);
      }),
      { numRuns: 400 },
    );
  });

  it('of gearing holds for any stair, and wherever the truck stands on it', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 5, max: 140 }),
        fc.integer({ min: 3, max: 9 }),
        fc.nat(10),
        fc.double({ min: 0.2, max: 12, noNaN: true }),
        around,
        (first, count, at, perTooth, more) => {
          const x = Array.from({ length: count }, (_, i) => first + i);
          const here = x[at % count]!;
          const answer = dressed(gearing, more);
          const curves = [{ ...answer.curves[0]!, x, answers: { ideal_speed: x.map((pinion) => pinion * perTooth) }, here }];
          const drawn = { ...answer, curves, answers: replaced(answer, { ideal_speed: { value: here * perTooth } }) };
          expect(cardFaults(made.cards.marks(drawn, { truck: 'Sandhopper', day: '14 May' }))).toEqual([]);
        },
      ),
      { numRuns: 400 },
    );
  });

  it('of press holds for any points', () => {
    const point = fc.record({
      load: fc.double({ min: 0, max: 20_000, noNaN: true }),
      height: fc.double({ min: 5, max: 200, noNaN: true }),
    });
    fc.assert(
      fc.property(
        fc.array(point, { minLength: 2, maxLength: 12 }),
        fc.double({ min: 1, max: 500, noNaN: true }),
        around,
        (points, rate, more) => {
          const answer = dressed(press, more);
          const drawn = {
            ...answer,
            readings: [{ ...answer.readings[0]!, value: points }],
            answers: replaced(answer, { spring_rate_gf_mm: { value: rate } }),
          };
          expect(cardFaults(made.cards.marks(drawn, { truck: 'Sandhopper', day: '14 May' }))).toEqual([]);
        },
      ),
      { numRuns: 400 },
    );
  });

  it('tells in the alt text what is to be seen', () => {
    expect(made.cards.alt(cornersOff, { truck: 'Mudlark' })).toContain('the bob points ahead of the target on the ground');
    expect(made.cards.alt(gearing)).toContain('A stair of gear teeth');
    expect(made.cards.alt(topSpeed)).toContain('Top speed rises from 40.61 at pinion 9 to 45.16 at 15, then falls to 44.50 km/h at 17.');
    for (const [, { answer, truck, day }] of every) expect(made.cards.alt(answer, { truck, day }).length).toBeLessThanOrEqual(1024);
  });
});

describe('strings from people on a card', () => {
  it.each(Object.entries(hostile))('%s does no harm and costs no time', async (_, text) => {
    const answer: Answer = {
      ...clubSpeed,
      title: text,
      readings: [
        { ...topSpeed.readings[0]!, value: text, typed: text },
        { ...topSpeed.readings[0]!, value: Array.from({ length: 200 }, () => text) },
      ],
      answers: topSpeed.answers.map((one) =>
        one.name === 'fastest_pinion' ? { ...one, value: text, label: text } : { ...one, label: text },
      ),
      cautions: [[text], [text]],
      next: [text],
    };
    const start = performance.now();
    const svg = made.cards.svg(answer, { truck: text, day: text });
    const png = await made.cards.png(answer, { truck: text, day: text });
    expect(performance.now() - start).toBeLessThan(1500);
    expect(svg.length).toBeLessThan(40_000);
    expect(svg.replace(/<(\/?(svg|rect|path|circle|text))\b[^<>]*>/g, '')).not.toMatch(/[<>]/);
    expect(svg).not.toMatch(/href=|<script|<image|<!/i);
    expect(cardFaults(made.cards.marks(answer, { truck: text, day: text }))).toEqual([]);
    expect(readPng(png)).toMatchObject({ width: 1080, height: 688 });
  });
});

describe('the picture', () => {
  const heavy = themes.dark.heavy.toLowerCase();
  /** First and last pixel of a colour in a row. */
  const span = (pixels: ReturnType<typeof readPng>, y: number, colour: string, from = 0, to = pixels.width): [number, number] => {
    const found = Array.from({ length: to - from }, (_, i) => from + i).filter((x) => pixels.at(x, y) === colour);
    return [found[0] ?? Number.NaN, found.at(-1) ?? Number.NaN];
  };

  it('is 1080 × 688 and quick to draw after the first', async () => {
    const png = await made.cards.png(cornersOnTarget, {});
    expect(readPng(png)).toMatchObject({ width: 1080, height: 688 });
    expect(png.length).toBeLessThan(200_000);
  });

  it('of corners hangs the bob over the share on the ground: 59.622 % on a scale of 57 to 63 %, 296 units wide', async () => {
    const pixels = readPng(await made.cards.png(cornersOnTarget, {}));
    const share = (100 * (901 + 896)) / (612 + 605 + 901 + 896);
    const x = 2 * (20 + (296 * (share - 57)) / 6);
    const circle = made.cards.marks(cornersOnTarget, {}).find((mark) => mark.kind === 'path' && mark.name === 'here');
    const tip = circle?.kind === 'path' ? Number(/^M[\d.]+,([\d.]+)/.exec(circle.d)?.[1]) : Number.NaN;
    const [left, right] = span(pixels, Math.round(2 * tip) - 14, heavy, 40, 640);
    expect(Math.abs((left + right) / 2 + 0.5 - x)).toBeLessThanOrEqual(1);
  });

  it('of corners marks the target from 59 to 61 % on the same scale', () => {
    const band = made.cards.marks(cornersOnTarget, {}).find((mark) => mark.kind === 'rect' && mark.name === 'band');
    expect(band).toMatchObject({ x: 118.67, w: 98.67 });
  });

  it('of corners makes each print’s area its load', () => {
    const prints = made.cards.marks(cornersOnTarget, {}).filter((mark) => mark.kind === 'rect' && mark.name.startsWith('print'));
    const areas = prints.map((print) => (print.kind === 'rect' ? print.w * print.h - (4 - Math.PI) * print.r ** 2 : 0));
    for (const [i, load] of [612, 605, 901, 896].entries()) expect(areas[i]! / areas[0]!).toBeCloseTo(load / 612, 2);
  });

  it('of gearing makes each step as high as its speed, and stands on the fifth of nine', async () => {
    const marks = made.cards.marks(gearing, {});
    const stair = marks.find((mark) => mark.kind === 'path' && mark.name === 'stair');
    const ys =
      stair?.kind === 'path' ? [...stair.d.matchAll(/[ML]([\d.]+),([\d.]+)/g)].map(([, x, y]) => ({ x: Number(x), y: Number(y) })) : [];
    const base = ys[0]!.y;
    const crest = (i: number): number => ys[2 + 4 * i + 1]!.y;
    const heights = Array.from({ length: 9 }, (_, i) => base - crest(i));
    // Speed goes with the pinion (a plain gear ratio): 9 to 17 teeth.
    for (let i = 0; i < 9; i++) expect(heights[i]! / heights[0]!).toBeCloseTo((9 + i) / 9, 2);
    const pixels = readPng(await made.cards.png(gearing, {}));
    const [left, right] = span(pixels, Math.round(2 * crest(4)) + 3, heavy);
    expect((left + right) / 2 + 0.5).toBeCloseTo(2 * (20 + (500 / 9) * 4.5), 0);
  });

  it('of a curve puts "you are here" where the axis says 13 teeth', async () => {
    const marks = made.cards.marks(clubSpeed, {});
    const here = marks.find((mark) => mark.kind === 'circle' && mark.name === 'here');
    const figure = (string: string): number => {
      const found = textsOf(marks).find((text) => text.string === string)!;
      return found.extent.x + found.extent.w / 2;
    };
    const [ten, twelve] = [figure('10'), figure('12')];
    const x = ten + ((twelve - ten) / 2) * 3;
    expect(here?.kind === 'circle' ? here.cx : Number.NaN).toBeCloseTo(x, 0);
    const pixels = readPng(await made.cards.png(clubSpeed, {}));
    const y = here?.kind === 'circle' ? Math.round(2 * here.cy) : 0;
    const [left, right] = span(pixels, y, heavy, Math.round(2 * x) - 20, Math.round(2 * x) + 20);
    expect(Math.abs((left + right) / 2 + 0.5 - 2 * x)).toBeLessThanOrEqual(1.5);
  });

  it('of a press draws each point’s distance from the line to one scale, the worst one as far as it says', () => {
    const marks = made.cards.marks(press, {});
    const middle = marks.filter((mark) => mark.kind === 'circle' && mark.name === 'residual');
    const offs = middle.map((mark) => (mark.kind === 'circle' ? mark.cy : 0));
    expect(offs).toHaveLength(5);
    // Least squares: the residuals add up to nothing, so their mean is the line.
    const line = offs.reduce((sum, y) => sum + y, 0) / 5;
    const sizes = offs.map((y) => y - line);
    const worst = sizes.reduce((most, size) => (Math.abs(size) > Math.abs(most) ? size : most));
    expect(sizes.indexOf(worst)).toBe(3);
    expect(worst).toBeGreaterThan(0);
    expect(textsOf(marks).map(({ string }) => string)).toContain('worst 12.46 g');
  });

  it('is drawn by two at a time and comes back in full when many ask at once', async () => {
    const all = await Promise.all(Array.from({ length: 12 }, (_, i) => made.cards.png(every[i % every.length]![1].answer, {})));
    for (const png of all) expect(png.subarray(1, 4).toString('latin1')).toBe('PNG');
  });
});

describe('the rasteriser', () => {
  it('opens no other door than an SVG in memory', async () => {
    const { default: sharp } = await import('sharp');
    const png = await made.cards.png(ride, {});
    await expect(sharp(png).metadata()).rejects.toThrow();
    await expect(sharp(fileURLToPath(new URL('../../golden/cards/ride.svg', import.meta.url))).metadata()).rejects.toThrow();
  });
});
