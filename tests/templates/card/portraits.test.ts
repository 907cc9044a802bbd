import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Portrait } from '../../../templates/card/portrait.ts';
import { portraits } from '../../../templates/card/records/index.ts';
import { cardFaults, strayShapes, textsOf } from '../../support/card-faults.ts';
import { withCards } from '../../support/cards.ts';
import { hostile } from '../../support/hostile.ts';
import { cornersOff, cornersOnTarget, gearing, ride } from '../../support/sample-answers.ts';
import { compared, setupOf, setups, truckOf, trucks } from '../../support/sample-records.ts';

const made = withCards();
const DAY = '14 June 2026';
const days = (at: number): string => new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', timeZone: 'UTC' }).format(at);
const all: readonly (readonly [name: string, portrait: Portrait])[] = [
  ...Object.entries(trucks).map(([name, view]) => [name, portraits.truck(view, DAY)!] as const),
  ...Object.entries(setups).map(([name, shown]) => [name, portraits.setup(shown, DAY, 12)!] as const),
  ...Object.entries(compared).map(([name, view]) => [name, portraits.compared(view, days)!] as const),
];
const strings = (portrait: Portrait): string[] => textsOf(made.cards.portrait.marks(portrait)).map(({ string }) => string);
const named = (portrait: Portrait, name: string) =>
  made.cards.portrait.marks(portrait).filter((mark) => mark.kind !== 'text' && mark.name === name);

describe('cards of trucks, setups and comparisons', () => {
  it.each(all)('%s is the SVG that was last looked at', async (name, portrait) => {
    const golden = fileURLToPath(new URL(`../../golden/cards/records/${name}.svg`, import.meta.url));
    await expect(made.cards.portrait.svg(portrait)).toMatchFileSnapshot(golden);
  });

  it.each(all)('%s keeps every text on the card, in its room, apart from the others, at 16 and more', (_, portrait) => {
    expect(cardFaults(made.cards.portrait.marks(portrait))).toEqual([]);
    expect(strayShapes(made.cards.portrait.marks(portrait))).toEqual([]);
  });

  it.each(all)('%s says what it shows to those who do not see it', (_, { alt, told }) => {
    expect(alt).toContain(told.title);
    expect(alt.length).toBeGreaterThan(60);
    expect(alt.length).toBeLessThanOrEqual(1024);
  });

  it.each(Object.entries(hostile))('whatever a truck, a setup or a thing is called: %s', (_, text) => {
    const tried = [
      portraits.truck(truckOf([cornersOff, gearing], {}, { truck: text }), DAY),
      portraits.setup(setupOf([cornersOff, gearing], { name: text, truck: text, conditions: { track: text, grip: text } }), DAY, 3),
      portraits.compared(
        {
          ...compared['compared-two']!,
          setups: compared['compared-two']!.setups.map((one) => ({ ...one, name: text, truck: text })),
          readings: [{ what: null, name: 'rear_spring_rate', values: [text, text] }],
        },
        days,
      ),
    ];
    for (const portrait of tried) {
      expect(cardFaults(made.cards.portrait.marks(portrait!))).toEqual([]);
      expect(made.cards.portrait.svg(portrait!)).not.toMatch(/<script|<image|[^\P{Cc}\n]|[\uFFFE\uFFFF]/u);
    }
  });

  it('whatever differs, by however much, with whatever target', () => {
    const number = fc.oneof(fc.double({ min: -1e9, max: 1e9, noNaN: true }), fc.double({ min: -1, max: 1, noNaN: true }), fc.constant(0));
    const value = fc.record({ value: fc.option(number), uncertainty: fc.option(fc.double({ min: 0, max: 1e3, noNaN: true })) });
    const band = fc.option(fc.tuple(number, fc.double({ min: 1e-3, max: 1e6, noNaN: true })));
    fc.assert(
      fc.property(fc.array(fc.tuple(value, value, band), { minLength: 1, maxLength: 9 }), (lanes) => {
        const view = {
          ...compared['compared-two']!,
          answers: lanes.map(([a, b, target]) => {
            const each = [a, b].map((one) => ({
              ...cornersOff.answers[0]!,
              ...one,
              ...(one.value === null ? { why: 'absent' } : {}),
              unit: 'N/mm',
              band: target === null ? null : { low: target[0], high: target[0] + target[1] },
              verdict: null,
            }));
            return {
              what: 'Ride',
              name: 'a_long_name_of_an_answer',
              sheet: 'ride',
              end: 'rear' as const,
              hero: true,
              values: ['a', 'b'],
              each,
            };
          }),
        };
        const marks = made.cards.portrait.marks(portraits.compared(view, days)!);
        expect(cardFaults(marks)).toEqual([]);
        expect(strayShapes(marks)).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });
});

describe('the card of a truck', () => {
  it('has a tile for every answer: there, one measurement away, further', () => {
    const portrait = portraits.truck(trucks['truck-half-known']!, DAY)!;
    expect(named(portrait, 'there').length).toBe(3);
    expect(named(portrait, 'near').length).toBe(5);
    expect(named(portrait, 'far').length).toBe(2);
    expect(strings(portrait)).toContain('3 answers now');
    expect(strings(portrait)).toContain('5 one measurement away · 2 further');
  });

  it('puts first what gives most, with a tile an answer, and says it again as what to do next', () => {
    const portrait = portraits.truck(trucks['truck-half-known']!, DAY)!;
    expect(named(portrait, 'gives').length).toBe(3);
    expect(strings(portrait)).toContain('Measure rear motion ratio: it gives Ride, rear and 2 more.');
  });

  it('holds the parts list against the scales', () => {
    expect(strings(portraits.truck(trucks['truck-half-known']!, DAY)!).join('\n')).toMatch(
      /Parts 2986 g of 3014 g weighed: 28\.0 g ± 1\.4 not listed/,
    );
  });

  it('asks for a refresh before it asks for more, from whose truck it is only', () => {
    expect(strings(portraits.truck(trucks['truck-stale']!, DAY)!)).toContain('One answer is from older readings: truck refresh.');
    expect(strings(portraits.truck({ ...trucks['truck-stale']!, own: false }, DAY)!).join()).not.toContain('refresh');
  });

  it('is not drawn of a truck of which nothing is known', () => {
    expect(portraits.truck(truckOf([], {}, { facts: [] }), DAY)).toBeNull();
  });
});

describe('the card of a setup', () => {
  it('hangs the weighed truck over its target, whichever sheet was kept first', () => {
    const portrait = portraits.setup(setupOf([ride, gearing, cornersOnTarget]), DAY, 12)!;
    expect(named(portrait, 'truck').length).toBe(1);
    expect(strings(portrait)).toContain('On the rear wheels');
    expect(strings(portrait)).toContain('Rear ride freq.');
  });

  it('says what a lap took, where it was run', () => {
    const marks = strings(portraits.setup(setupOf([cornersOnTarget]), DAY, 12, 24.3)!);
    expect(marks).toContain('Mean lap');
    expect(marks).toContain('24.3');
  });

  it('says which revision it is unless it is the newest, and how to get it, unless it is another club’s', () => {
    expect(strings(portraits.setup(setups['setup-weighed-only']!, DAY, 12)!)).toContain('Revision 1 of 3 · surface sand');
    expect(strings(portraits.setup(setups['setup-not-weighed']!, DAY, 12)!)).toContain(
      'Put it on a truck of yours: setup copy 12 truck:NAME',
    );
    expect(strings(portraits.setup(setups['setup-not-weighed']!, DAY, null)!).join()).not.toContain('setup copy');
  });
});

describe('the card of a comparison', () => {
  it('goes on each lane from where it was to where it is, on one scale', () => {
    const portrait = portraits.compared(compared['compared-two']!, days)!;
    const [was, is] = [named(portrait, 'was'), named(portrait, 'is')];
    expect(was.length).toBe(3);
    const share = (answer: typeof cornersOff): number => answer.answers.find(({ name }) => name === 'rear_share')!.value as number;
    const x = (mark: (typeof was)[number] | undefined): number => (mark?.kind === 'circle' ? mark.cx : Number.NaN);
    // The lane of the rear share stands first: its verdict has turned.
    expect(strings(portrait).indexOf('Rear share')).toBeLessThan(strings(portrait).indexOf('Total'));
    expect(Math.sign(x(is[0]) - x(was[0]))).toBe(Math.sign(share(cornersOnTarget) - share(cornersOff)));
    expect(named(portrait, 'band').length).toBeGreaterThan(0);
  });

  it('warns where the conditions differ too', () => {
    expect(strings(portraits.compared(compared['compared-two']!, days)!)).toContain('Not like for like: the grip differs too.');
    expect(strings(portraits.compared(compared['compared-three']!, days)!)).toContain('Not like for like: the conditions differ too.');
    expect(strings(portraits.compared(compared['compared-revisions']!, days)!).join()).not.toContain('like for like');
  });

  it('says a common unit once, and revisions as revisions', () => {
    const three = strings(portraits.compared(compared['compared-three']!, days)!);
    expect(three).toContain('0.50 → 0.38 →');
    expect(three).toContain('0.45 N/mm');
    expect(strings(portraits.compared(compared['compared-revisions']!, days)!)).toContain('Soft sand, revision 1 → 2');
  });

  it('of many says the first and the last, and shows each on its lane', () => {
    const many = portraits.compared(compared['compared-many']!, days)!;
    expect(strings(many)).toEqual(expect.arrayContaining(['Soft sand, revision 1 … 5', '15 …', '18 teeth', 'off …', '250 mm']));
    expect(strings(many).join('|')).toMatch(/55\.9 … 59\.62 %/);
    expect(many.alt).toContain('Pinion: 15 teeth to 16 teeth to 16 teeth to 17 teeth to 18 teeth.');
  });

  it('is not drawn where nothing differs', () => {
    expect(portraits.compared({ ...compared['compared-two']!, readings: [], answers: [] }, days)).toBeNull();
  });
});
