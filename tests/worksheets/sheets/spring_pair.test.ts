import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const pair = await sheetNamed('spring_pair');

/** Second method: the load raised in small steps; each spring gives way by load/rate until its room is used up. */
function squeezed([a, p]: readonly [number, number], [b, q]: readonly [number, number], load: number): number {
  return Math.min(load / a, p) + Math.min(load / b, q);
}

describe('spring_pair: two springs on one shock', () => {
  it('has the rate, the kink and the load of the textbook’s stack', () => {
    // Rao, Mechanical Vibrations, section 1.7, springs in series, 1 and 3 N/mm; the soft one binds after 9 mm of its own. Computed by a second method:
    // 0.75 N/mm, 12 mm, and 33 N at 20 mm.
    const answer = pair.answer({ rate_a: 1, rate_b: 3, room_a: 9 });
    expectNear(numberOf(answer, 'combined_rate'), 0.75, 1e-12);
    expectNear(numberOf(answer, 'crossover_travel'), 12, 1e-12);
    expectNear(numberOf(answer, 'crossover_load'), 9, 1e-12);
    expectNear(numberOf(answer, 'crossover_load') + numberOf(answer, 'rate_after') * (20 - 12), 33, 1e-12);
  });

  it('has its kink where a squeeze in small steps finds it', () => {
    const between = draws(361);
    for (let i = 0; i < 40; i += 1) {
      const [a, p, b, q] = [between(0.1, 5), between(3, 30), between(0.1, 5), between(3, 30)];
      const answer = pair.answer({ rate_a: a, rate_b: b, room_a: p, room_b: q });
      const load = numberOf(answer, 'crossover_load');
      const travel = (one: number) => squeezed([a, p], [b, q], one);
      expectNear(travel(load), numberOf(answer, 'crossover_travel'), 1e-12);
      expectNear(0.1 / (travel(load) - travel(load - 0.1)), numberOf(answer, 'combined_rate'), 1e-6);
      const other = Math.max(a * p, b * q);
      const step = 0.01 * (other - load);
      expectNear(step / (travel(load + step) - travel(load)), numberOf(answer, 'rate_after'), 1e-6);
    }
  });

  it('takes the first and the second spring in any order', () => {
    const [one, two] = [pair.answer({ rate_a: 0.9, rate_b: 1.6, room_a: 14 }), pair.answer({ rate_a: 1.6, rate_b: 0.9, room_b: 14 })];
    for (const name of ['combined_rate', 'crossover_travel', 'crossover_load', 'rate_after'])
      expectNear(numberOf(two, name), numberOf(one, name));
  });

  it('has no rate after a kink where both bind together, and says so', () => {
    expect(answerOf(pair.answer({ rate_a: 1, rate_b: 3, room_a: 9, room_b: 3 }), 'rate_after')).toMatchObject({
      value: null,
      why: 'both bind together',
    });
  });

  it('knows the rate alone without any room, and asks for it', () => {
    const answer = pair.answer({ rate_a: '4.1 lb', rate_b: 3 });
    expect(names(answer)).toEqual(['combined_rate', 'spring_rate']);
    expect(answer.wider).toEqual(expect.arrayContaining(['room_a', 'room_b']));
    const a = (4.1 * 0.45359237 * 9.80665) / 25.4;
    expectNear(numberOf(answer, 'combined_rate'), (a * 3) / (a + 3), 1e-12);
    expect(nextOf(answer)).toMatch(/^Measure the room/);
  });

  it('tells whether the truck rides below the kink, by the work that spring and wheel share', () => {
    const truck = { rate_a: 0.9, rate_b: 1.6, motion_ratio: 0.58, corner_load: 899, unsprung_mass: 210 };
    // A millimetre at the wheel is 0.58 mm at the shock: 0.689 kg·g × 1 = load × 0.58.
    const load = (0.689 * 9.80665) / 0.58;
    const below = pair.answer({ ...truck, room_a: 14 });
    expectNear(numberOf(below, 'load_at_ride'), load, 1e-12);
    expect(answerOf(below, 'rides_on_both').value).toBe(true);
    expectNear(numberOf(below, 'crossover_at_wheel'), numberOf(below, 'crossover_travel') / 0.58, 1e-12);
    expect(numberOf(below, 'spring_rate')).toBe(numberOf(below, 'combined_rate'));
    const above = pair.answer({ ...truck, room_a: 10 });
    expect(answerOf(above, 'rides_on_both').value).toBe(false);
    // ride reckons with one rate all the way: it gets none that would be wrong.
    expect(names(above)).not.toContain('spring_rate');
    expect(nextOf(above)).toMatch(/^One binds below ride height/);
  });

  it('has the kink earlier on the wheel by the preload', () => {
    const at = (preload: number) =>
      numberOf(pair.answer({ rate_a: 1, rate_b: 3, room_a: 9, motion_ratio: 0.5, preload }), 'crossover_at_wheel');
    expectNear(at(0), 24, 1e-12);
    expectNear(at(2), 20, 1e-12);
    expect(at(20)).toBe(0);
  });

  it('carries the ± of a rate: the softer spring decides', () => {
    const share = (readings: Record<string, string>) => {
      const { value, uncertainty } = answerOf(pair.answer({ rate_a: '1', rate_b: '3', ...readings }), 'combined_rate');
      return uncertainty! / (value as number) / (2 / Math.sqrt(3));
    };
    expectNear(share({ rate_a: '1 ± 0.02' }), 0.02 * 0.75, 1e-6);
    expectNear(share({ rate_b: '3 ± 0.06' }), 0.02 * 0.25, 1e-6);
  });

  it('is sound at every corner of its ranges', () => {
    expectSoundEverywhere(pair);
  });
});
