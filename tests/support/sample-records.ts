/** Trucks, setups and comparisons of the invented club, to draw and to test their cards with. Built from the sample answers. */
import type { ComparedView } from '../../templates/setup.ts';
import type { TruckView } from '../../templates/truck.ts';
import type { ShownSetup } from '../../worksheets/archive/types.ts';
import type { Answer, AnswerValue } from '../../worksheets/engine/types.ts';
import { cornersOff, cornersOnTarget, gearing, press, ride, topSpeed } from './sample-answers.ts';

const AT = Date.UTC(2026, 5, 14, 9);
const sheetOf = (answer: Answer) => ({ sheet: answer.sheet, end: answer.end, at: AT, readings: [], answer }) as const;
const hero = (answer: Answer): AnswerValue => answer.answers.find(({ name }) => name === answer.hero)!;

export function setupOf(answers: readonly Answer[], more: Partial<ShownSetup['doc']> = {}, shown: Partial<ShownSetup> = {}): ShownSetup {
  return {
    kind: 'setup',
    id: 12,
    member: { id: '1', name: 'Ines' },
    truck: 'Sandhopper',
    newest: 1,
    private: false,
    revision: { rev: 1, at: AT, author: { id: '1', name: 'Ines' }, hash: '', parentHash: null },
    doc: {
      format: 1,
      name: 'Hard pan, evening',
      truck: 'Sandhopper',
      member: '1',
      rev: 1,
      at: AT,
      notes: '',
      tags: [],
      facts: [],
      sheets: answers.map(sheetOf),
      ...more,
    },
    runs: [],
    ...shown,
  };
}

const conditions = {
  track: 'pan loop',
  surface: 'hard salt, damp in the morning',
  grip: 'high',
  temperature: { typed: '24 °C', value: 297.15 },
  wind: 'none',
};

export const setups: { readonly [picture: string]: ShownSetup } = {
  'setup-weighed-and-more': setupOf([ride, cornersOnTarget, gearing, topSpeed], { conditions }),
  'setup-weighed-only': setupOf([cornersOff], { conditions: { surface: 'sand' } }, { newest: 3 }),
  'setup-not-weighed': setupOf([ride, gearing, press]),
};

const fact = (name: string): TruckView['facts'][number] => ({
  fact: name,
  value: 331,
  unit: 'mm',
  uncertainty: null,
  how: 'measured',
  kept: true,
  at: AT,
  by: 'Ines',
  said: null,
  note: null,
  beneath: null,
});

export function truckOf(answers: readonly Answer[], more: Partial<TruckView['standing']> = {}, view: Partial<TruckView> = {}): TruckView {
  return {
    truck: 'Sandhopper',
    owner: 'Ines',
    own: true,
    offeredTo: null,
    facts: [fact('wheelbase')],
    standing: {
      answers: answers.map((answer) => ({ title: answer.title, end: answer.end, hero: hero(answer) })),
      troubled: [],
      stale: [],
      twoWays: [],
      unlocks: [
        {
          fact: 'rear_motion_ratio',
          label: 'shock travel over wheel travel',
          by: null,
          titles: ['Ride, rear', 'Damping, rear', 'Wheel hop, rear'],
        },
        { fact: 'cg_height', label: '', by: null, titles: ['Launch'] },
        { fact: 'front_tyre_rate', label: '', by: null, titles: ['Wheel hop, front'] },
      ],
      bring: ['a ruler or calipers'],
      missing: [
        { title: 'Warm-up', facts: ['temperatures', 'interval'] },
        { title: 'Pack', facts: ['capacity', 'mean_current'] },
      ],
      ...more,
    },
    parts: { parts: [], sum: { mass: 0, uncertainty: null }, weighed: null },
    starts: [],
    startsWith: [],
    ...view,
  };
}
const part = {
  name: 'pack',
  count: 1,
  mass: 0.292,
  uncertainty: null,
  place: 0.225,
  places: [],
  sprung: true,
  axle: null,
  role: 'pack',
  note: '',
};

export const trucks: { readonly [picture: string]: TruckView } = {
  'truck-half-known': truckOf(
    [cornersOff, gearing, ride],
    {},
    {
      parts: { parts: [part], sum: { mass: 2.986, uncertainty: 0.0004 }, weighed: { mass: 3.014, uncertainty: 0.0006 } },
    },
  ),
  'truck-well-known': truckOf([cornersOnTarget, gearing, topSpeed, ride, press, cornersOff, gearing, ride], { unlocks: [], missing: [] }),
  'truck-stale': truckOf([cornersOnTarget, gearing], {
    stale: [{ title: 'Ride, rear', at: AT, was: hero(ride), is: { ...hero(ride), value: 2.9 }, changes: [] }],
  }),
};

const answerOf = (answer: Answer, name: string): AnswerValue => answer.answers.find((one) => one.name === name)!;
const both = (a: Answer, b: Answer, name: string, first = false): ComparedView['answers'][number] => ({
  what: a.title,
  name,
  sheet: a.sheet,
  end: a.end,
  hero: first,
  values: [a, b].map((one) => String(answerOf(one, name).value)),
  each: [answerOf(a, name), answerOf(b, name)],
});
const names = (...all: readonly string[]): ComparedView['setups'] =>
  all.map((name, i) => ({ id: 3 + i, name, truck: 'Sandhopper', rev: 1, at: AT + 7 * 86_400_000 * i }));

export const compared: { readonly [picture: string]: ComparedView } = {
  'compared-two': {
    setups: names('Hard pan', 'Hard pan, evening'),
    conditions: [{ what: null, name: 'grip', values: ['low', 'high'] }],
    readings: [
      {
        what: null,
        name: 'rear_spring_rate',
        values: ['black 0.50 (0.497 N/mm)', 'white 0.38 (0.381 N/mm)'],
        steps: [
          { named: 'black 0.50', measured: '0.497 N/mm' },
          { named: 'white 0.38', measured: '0.381 N/mm' },
        ],
      },
      { what: null, name: 'pinion', values: ['17 teeth', '18 teeth'] },
      { what: null, name: 'front_left', values: ['668 g', '612 g'] },
    ],
    answers: [
      both(cornersOff, cornersOnTarget, 'total'),
      both(cornersOff, cornersOnTarget, 'rear_share', true),
      both(cornersOff, cornersOnTarget, 'cross_share'),
    ],
  },
  'compared-revisions': {
    setups: names('Soft sand', 'Soft sand').map((one, i) => ({ ...one, id: 3, rev: i + 1 })),
    conditions: [],
    readings: [],
    answers: [
      both(cornersOff, cornersOnTarget, 'rear_share', true),
      {
        ...both(cornersOff, cornersOnTarget, 'rear_share'),
        name: 'plan',
        values: ['pack 260', 'nothing moves'],
        each: [
          {
            ...answerOf(cornersOff, 'rear_share'),
            name: 'plan',
            value: 'pack 260',
            unit: null,
            uncertainty: null,
            verdict: null,
            band: null,
          },
          {
            ...answerOf(cornersOff, 'rear_share'),
            name: 'plan',
            value: 'nothing moves',
            unit: null,
            uncertainty: null,
            verdict: null,
            band: null,
          },
        ],
      },
    ],
  },
  'compared-three': {
    setups: names('Hard pan', 'Soft sand', 'Hard pan, evening'),
    conditions: ['track', 'surface', 'grip'].map((name) => ({ what: null, name, values: ['a', 'b', null] })),
    readings: [
      { what: null, name: 'rear_spring_rate', values: ['0.50 N/mm', '0.38 N/mm', '0.45 N/mm'] },
      { what: null, name: 'press_points', values: ['0/92 400/84.1 800/76.4 1200/68.3', null, '0/92 400/84.1 800/76.4'] },
    ],
    answers: [
      {
        ...both(cornersOff, cornersOnTarget, 'total', true),
        each: [cornersOff, cornersOnTarget, cornersOff].map((one) => answerOf(one, 'total')),
        values: ['3027 g', '3014 g', '3027 g'],
      },
    ],
  },
  'compared-many': {
    setups: names('Soft sand', 'Soft sand', 'Soft sand', 'Soft sand', 'Soft sand').map((one, i) => ({ ...one, id: 3, rev: i + 1 })),
    conditions: [],
    readings: [
      { what: null, name: 'pinion', values: ['15 teeth', '16 teeth', '16 teeth', '17 teeth', '18 teeth'] },
      { what: null, name: 'pack', values: ['off', '185 mm', '185 mm', '210 mm', '250 mm'] },
    ],
    answers: [
      {
        ...both(cornersOff, cornersOnTarget, 'rear_share', true),
        each: [55.9, 57.2, 58.1, 58.8, 59.62].map((value) => ({ ...answerOf(cornersOnTarget, 'rear_share'), value })),
        values: ['55.9 %', '57.2 %', '58.1 %', '58.8 %', '59.62 %'],
      },
    ],
  },
};
