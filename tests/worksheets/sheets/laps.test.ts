import { describe, expect, it } from 'vitest';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const laps = await sheetNamed('laps');
const line = (times: readonly number[]): string => times.join(' ');
const ask = (before: readonly number[], after: readonly number[]) => laps.answer({ before: line(before), after: line(after) });

describe('laps: before and after a change', () => {
  it('answers as the manual does for the two groups of the sleep data', () => {
    // R manual, t.test(extra ~ group, data = sleep): p = 0.07939, −3.3654832 to 0.2054832. From memory, recomputed; 20 s are added to each value.
    const first = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0].map((value) => Math.round((value + 20) * 10) / 10);
    const second = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4].map((value) => Math.round((value + 20) * 10) / 10);
    const answer = ask(second, first);
    expectNear(numberOf(answer, 'difference'), -1.58, 1e-9);
    expectPrinted(numberOf(answer, 'difference_low'), '-3.3654832');
    expectPrinted(numberOf(answer, 'difference_high'), '0.2054832');
    expectPrinted(numberOf(answer, 'p_value'), '0.07939');
    expect(answerOf(answer, 'difference').verdict).toBe('cannot tell');
  });

  it('finds chance alone as often as shuffling the laps does', () => {
    // Second method: all 924 ways to deal twelve laps into two stints of six; the share that differs at least as much is the p value of a permutation
    // test, which Welch's comes near to with laps as even as these.
    const [before, after] = [
      [31.42, 31.18, 31.67, 31.05, 31.38, 31.51],
      [31.21, 31.12, 31.36, 30.9, 31.44, 31.02],
    ];
    const all = [...before, ...after];
    const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
    const seen = Math.abs(mean(after) - mean(before));
    let [deals, asLarge] = [0, 0];
    for (let mask = 0; mask < 2 ** 12; mask += 1) {
      const one = all.filter((_, i) => mask & (1 << i));
      if (one.length !== 6) continue;
      deals += 1;
      if (Math.abs(mean(one) - mean(all.filter((_, i) => !(mask & (1 << i))))) >= seen - 1e-12) asLarge += 1;
    }
    expect(deals).toBe(924);
    expect(Math.abs(numberOf(ask(before, after), 'p_value') - asLarge / deals)).toBeLessThan(0.02);
  });

  it('says faster, slower or cannot tell, by its interval', () => {
    const steady = [20, 20.1, 19.9, 20, 20.1, 19.9];
    for (const [by, verdict, next] of [
      [-0.3, 'faster', /^Keep the change/],
      [0.3, 'slower', /^Take the change back/],
      [-0.09, 'cannot tell', /^Drive \d+ laps a side, A B B A/],
      [0.003, 'cannot tell', /^Choose by how it drives/],
    ] as const) {
      const answer = ask(
        steady,
        steady.map((lap) => lap + by),
      );
      expect(answerOf(answer, 'difference').verdict).toBe(verdict);
      expect(nextOf(answer)).toMatch(next);
    }
  });

  it('knows means and scatter as they are worked out by hand', () => {
    // By hand: means 20.3 and 19.95 s, squares 0.2 and 0.05 s² about them, with n − 1 of 3.
    const answer = ask([20, 20.4, 20.2, 20.6], [19.9, 20.1, 19.8, 20]);
    expectNear(numberOf(answer, 'mean_before'), 20.3, 1e-12);
    expectNear(numberOf(answer, 'mean_after'), 19.95, 1e-12);
    expectNear(numberOf(answer, 'scatter_before'), Math.sqrt(0.2 / 3), 1e-9);
    expectNear(numberOf(answer, 'scatter_after'), Math.sqrt(0.05 / 3), 1e-9);
    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2: t₀.₉₇₅ is 2.306 with 8 degrees of freedom, 2.447 with 6: five laps a side do, four not.
    const reach = (n: number, t: number) => t * Math.sqrt((0.2 / 3 + 0.05 / 3) / n);
    expect([reach(5, 2.306) < 0.35, reach(4, 2.447) < 0.35]).toEqual([true, false]);
    expect(numberOf(answer, 'laps_needed')).toBe(5);
  });

  it('reads laps of more than a minute and decimal commas', () => {
    const answer = laps.answer({ before: '1:02.3 1:02,9 63.1', after: '61,5; 1:01.9\n62.2' });
    expectNear(numberOf(answer, 'mean_before'), (62.3 + 62.9 + 63.1) / 3, 1e-12);
    expectNear(numberOf(answer, 'mean_after'), (61.5 + 61.9 + 62.2) / 3, 1e-12);
  });

  it('has means but no interval with one lap on a side, and says so', () => {
    const answer = ask([31.4, 31.2], [30.9]);
    expectNear(numberOf(answer, 'difference'), -0.4, 1e-9);
    for (const name of ['difference_low', 'difference_high', 'p_value', 'laps_needed', 'scatter_after'])
      expect(answerOf(answer, name)).toMatchObject({ value: null, why: 'one lap only' });
    expect(answerOf(answer, 'difference').verdict).toBe('cannot tell');
    expect(nextOf(answer)).toMatch(/^Drive five laps a side/);
  });

  it('asks about a crash lap when one side scatters by a tenth', () => {
    expect(cautionsOf(ask([31, 31.2, 44], [30.9, 31, 31.1]))[0]).toMatch(
      /^The laps before scatter by .*: is one with a crash among them\?$/,
    );
    expect(cautionsOf(ask([31, 31.2, 31.3], [30.9, 31, 31.1]))).toEqual([]);
  });

  it('names the lap that is no lap', () => {
    expect(laps.problems({ before: '31.4 fast 31.2', after: '31' })).toMatchObject([{ reading: 'before' }]);
    expect(laps.problems({ before: '31.4 0.2', after: '31' })[0]!.text).toMatch(/^Before, item 2: "0.2" is out/);
    expect(laps.problems({ after: '31' })).toMatchObject([{ reading: 'before' }]);
  });

  it('holds for any two lists of laps', () => {
    expectSoundEverywhere(laps, 1);
    const between = draws(331);
    for (let i = 0; i < 100; i += 1) {
      const times = (count: number) => Array.from({ length: count }, () => between(1, 3600));
      const answer = ask(times(1 + (i % 5)), times(1 + (i % 7)));
      for (const { value, why } of answer.answers)
        expect(value === null ? why !== undefined : Number.isFinite(value) || typeof value === 'string').toBe(true);
    }
  });
});
