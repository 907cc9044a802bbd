import { describe, expect, it } from 'vitest';
import { ask } from '../../../worksheets/engine/ask.ts';
import { expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const ballast = await sheetNamed('ballast');
const truck = { front_load: '1370', rear_load: '1657', wheelbase: '330' };

interface Part {
  readonly name: string;
  readonly mass: number;
  readonly now: number | 'off';
  readonly places: readonly (number | 'off')[];
}
const typed = (parts: readonly Part[]): string =>
  parts.map(({ name, mass, now, places }) => `${name} / ${mass} / ${now} / ${places.join(' ')}`).join('; ');

/** Second method: every plan written out and judged by the contract's order, in g and mm. */
function everyPlan(parts: readonly Part[], target = 0.6, tolerance = 0.0025) {
  const [front, rear, wheelbase] = [1370, 1657, 330];
  const carried = (place: number | 'off', mass: number): [number, number] =>
    place === 'off' ? [0, 0] : [mass, (mass * place) / wheelbase];
  let plans: (number | 'off')[][] = [[]];
  for (const { now, places } of parts) {
    const choices = places.includes(now) ? places : [now, ...places];
    plans = plans.flatMap((plan) => choices.map((place) => [...plan, place]));
  }
  const judged = plans.map((plan) => {
    let [total, onRear, added, moves] = [front + rear, rear, 0, 0];
    plan.forEach((place, i) => {
      const { mass, now } = parts[i]!;
      const [before, after] = [carried(now, mass), carried(place, mass)];
      total += after[0] - before[0];
      onRear += after[1] - before[1];
      added += after[0] - before[0];
      moves += place === now ? 0 : 1;
    });
    const error = onRear / total - target;
    return { plan, total, share: onRear / total, added, moves, error, off: Math.abs(error) };
  });
  const within = judged.filter(({ off }) => off <= tolerance + 1e-12);
  return within.length > 0
    ? within.sort((a, b) => a.added - b.added || a.moves - b.moves || a.off - b.off)[0]!
    : judged.sort((a, b) => a.off - b.off || a.added - b.added || a.moves - b.moves)[0]!;
}

const lists: readonly (readonly Part[])[] = [
  [
    { name: 'pack', mass: 290, now: 185, places: [185, 250, 330] },
    { name: 'receiver', mass: 45, now: 120, places: [120, 60, 250] },
    { name: 'lead', mass: 60, now: 'off', places: ['off', 330, 390] },
  ],
  [
    { name: 'pack', mass: 290, now: 185, places: [210] },
    { name: 'nose weight', mass: 80, now: -60, places: ['off'] },
    { name: 'lead', mass: 40, now: 'off', places: [300, 350] },
  ],
  [
    { name: 'spare', mass: 118, now: 300, places: [300, 'off'] },
    { name: 'pack', mass: 401, now: 150, places: [100, 150, 200, 260, 300] },
    { name: 'a', mass: 25, now: 'off', places: [-80, 400] },
    { name: 'b', mass: 25, now: 'off', places: [380, 400] },
  ],
];

describe('ballast: where the parts go', () => {
  it.each(lists.map((parts) => [typed(parts), parts] as const))('of %s finds the best of all plans', (line, parts) => {
    const best = everyPlan(parts);
    const answer = ballast.answer({ ...truck, parts: line });
    const moved = parts.flatMap(({ name, now }, i) => (best.plan[i] === now ? [] : [`${name} ${best.plan[i]}`]));
    expect(answerOf(answer, 'plan').value).toBe(moved.join('; ') || 'nothing moves');
    expectNear(numberOf(answer, 'rear_share'), 100 * best.share, 1e-12);
    expectNear(numberOf(answer, 'total'), best.total, 1e-12);
    expect(numberOf(answer, 'added_mass')).toBeCloseTo(best.added, 9);
    expect(numberOf(answer, 'moves')).toBe(best.moves);
    expect(numberOf(answer, 'error')).toBeCloseTo(100 * best.error, 10);
    expectNear(numberOf(answer, 'rear_share_now'), (100 * 1657) / 3027, 1e-12);
  });

  it('puts a part where a moment balance by hand says', () => {
    // Moment balance: 290 g from 185 to 330 mm over a wheelbase of 330 mm put 290 × 145/330 = 127.42 g on the rear; 1784.42/3027 = 58.950 %. By hand.
    const answer = ballast.answer({ ...truck, target_rear: '59', parts: 'pack / 290 / 185 / 185 330' });
    expect(answerOf(answer, 'plan').value).toBe('pack 330');
    expect(numberOf(answer, 'rear_share')).toBeCloseTo(58.95, 3);
    expect(nextOf(answer)).toBe('Do this, then weigh again: pack 330.');
  });

  it('leaves everything alone when the truck is right as it stands', () => {
    const answer = ballast.answer({ ...truck, target_rear: '54.7', parts: 'pack / 290 / 185 / 210 240; lead / 60 / off / 330' });
    expect(answerOf(answer, 'plan').value).toBe('nothing moves');
    expect(numberOf(answer, 'moves')).toBe(0);
    expect(nextOf(answer)).toContain('Leave every part where it is');
  });

  it('says so when nothing on the list gets there', () => {
    const answer = ballast.answer({ ...truck, parts: 'pack / 290 / 185 / 210' });
    expect(answerOf(answer, 'plan').value).toBe('pack 210');
    expect(nextOf(answer)).toContain('Nothing listed gets there. Nearest: pack 210.');
    expect(nextOf(ballast.answer({ ...truck, parts: 'pack / 290 / 185 / 100' }))).toContain('Nothing listed brings it nearer');
  });

  it('carries the ± of the loads to the share of the plan, which is held', () => {
    const loads = { front_load: '1370 ± 2', rear_load: '1657 ± 2', wheelbase: '330' };
    const answer = ballast.answer({ ...loads, parts: 'pack / 290 / 185 / 330; lead / 60 / off / 390' });
    // Rectangular, 2/√3 each; share = (R + M/L)/(F + R + 60), M = 290 · 145 + 60 · 390 g·mm.
    const [u, total] = [2 / Math.sqrt(3), 3027 + 60];
    const share = (1657 + (290 * 145 + 60 * 390) / 330) / total;
    expectNear(answerOf(answer, 'rear_share').uncertainty, (100 * 2 * u * Math.hypot(share, 1 - share)) / total, 1e-6);
    expectNear(answerOf(answer, 'total').uncertainty, 2 * Math.SQRT2 * u, 1e-6);
    // Mass put on and moves are of the plan, not of the scale.
    expect(answerOf(answer, 'added_mass').uncertainty).toBeNull();
    expect(answerOf(answer, 'moves').uncertainty).toBeNull();
  });

  it('is worked out once, however many readings carry ±', () => {
    const places = [0, 40, 80, 120, 200, 280];
    const many = typed(Array.from({ length: 12 }, (_, i) => ({ name: `p${i}`, mass: 11 + 7 * i, now: 20 + i, places })));
    const loads = { front_load: '2370 ± 2', rear_load: '2657 ± 2', wheelbase: '330 ± 1', target_rear: '61.234', tolerance: '0.01' };
    const search = ballast.sheet.formulas.get('ballast')!;
    let searches = 0;
    const counted = Object.assign((inputs: Parameters<typeof search>[0]) => {
      searches += 1;
      return search(inputs);
    }, search);
    const sheet = { ...ballast.sheet, formulas: new Map([...ballast.sheet.formulas, ['ballast', counted]]) };
    const answer = ask(sheet, { readings: { ...loads, parts: many } });
    expect(searches).toBe(1);
    const alone = ballast.answer({ ...loads, front_load: '2370', rear_load: '2657', wheelbase: '330', parts: many });
    expect(answer.kind === 'answer' && answerOf(answer, 'plan').value).toBe(answerOf(alone, 'plan').value);
  });

  it('tells no other sheet what the truck would be after the plan', () => {
    for (const { name, planned } of ballast.sheet.answers)
      expect([name, planned === true]).toEqual([name, ['rear_share', 'error', 'added_mass', 'moves', 'total'].includes(name)]);
  });

  it('asks back a list that cannot be read, item by item', () => {
    const text = (parts: string): string => ballast.problems({ ...truck, parts })[0]!.text;
    expect(text('pack / 290 / 185')).toBe('Parts, item 1: "pack / 290 / 185" has 3 parts. Give name / mass / now / places.');
    expect(text('pack / 290 / 185 / 210; lead / 60 / nowhere / 210')).toContain('item 2');
    expect(text('pack / 9 kg / 185 / 210')).toContain('Give 0.001 to 5 kg.');
  });

  it('refuses parts that weigh more than the truck', () => {
    expect(ballast.problems({ front_load: '100', rear_load: '100', wheelbase: '330', parts: 'pack / 290 / 185 / 210' })[0]!.text).toBe(
      'That does not work out: the parts on the truck weigh as much as the whole truck, or more.',
    );
  });

  it('asks whether the loads are swapped when nearly all of it stands on one axle', () => {
    expect(cautionsOf(ballast.answer({ ...truck, front_load: '300', parts: 'pack / 290 / 185 / 210' })).join()).toContain(
      'swapped or mistyped',
    );
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(ballast, 60));
});
