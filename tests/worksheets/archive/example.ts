import type { Remember } from '../../../worksheets/archive/archive.ts';
import type { GivenReading } from '../../../worksheets/archive/types.ts';
import type { Answer } from '../../../worksheets/engine/types.ts';

export const CLUB = 'saltpan-desert-club';
export const ADA = { club: CLUB, member: '1180000000000000001', memberName: 'Ada' };
/** One above Ada's: as numbers the two ids would be the same. */
export const BEN = { club: CLUB, member: '1180000000000000002', memberName: 'Ben' };

/** A mass as a member gives it to a scale of 1 g; rectangular, step/√12 (JCGM 100:2008, 4.3.7). */
export const grams = (name: string, amount: number, fact = name): GivenReading => ({
  fact,
  name,
  typed: `${amount} g`,
  value: amount / 1000,
  uncertainty: 0.001 / Math.sqrt(12),
  unit: 'g',
});

export const answerOf = (sheet: string, title: string, end: 'front' | 'rear' | null, readings: readonly GivenReading[]): Answer => ({
  kind: 'answer',
  sheet,
  title,
  end,
  readings: readings.map(({ name, typed, value, unit }) => ({
    name,
    label: name.replaceAll('_', ' '),
    value,
    unit,
    uncertainty: null,
    from: 'given',
    typed,
  })),
  answers: [
    {
      name: 'share',
      label: 'share',
      value: 1 / 3,
      unit: '%',
      uncertainty: 1e-7,
      verdict: 'too close to call',
      band: { low: 59, high: 61 },
    },
    { name: 'crossing', label: 'crossing', value: null, unit: 'mm', uncertainty: null, verdict: null, band: null, why: 'parallel' },
  ],
  curves: [],
  cautions: [['Mind the ', { value: 0.1 + 0.2, unit: 'kg', uncertainty: null }, ' on the stand.']],
  next: null,
  hero: 'share',
  wider: ['wheelbase'],
});

/** The four corners of a truck, all of them moved by `more` grams. */
export function corners(who: typeof ADA, truck: string, more = 0): Remember {
  const readings = [
    grams('front_left', 612 + more),
    grams('front_right', 605 + more),
    grams('rear_left', 901 + more),
    grams('rear_right', 896 + more),
  ];
  return { ...who, truck, sheet: 'corners', end: null, readings, answer: answerOf('corners', 'Corner weights', null, readings) };
}

export function ride(who: typeof ADA, truck: string, end: 'front' | 'rear', load: number): Remember {
  const readings = [grams('corner_load', load, `${end}_corner_load`)];
  return { ...who, truck, sheet: 'ride', end, readings, answer: answerOf('ride', 'Ride frequency', end, readings) };
}
