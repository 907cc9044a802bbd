import { describe, expect, it } from 'vitest';
import { type SI, si } from '../../../calc/formula.ts';
import { laps } from '../../../calc/motion/laps.ts';
import { studentsTQuantile } from '../../../calc/numeric/students-t.ts';
import { draws, expectNear, expectPrinted, numberOf } from '../../support/book.ts';

const times = (...seconds: number[]): SI<'s'>[] => seconds.map((each) => si(each));
const compare = (before: readonly number[], after: readonly number[]) => laps({ before: times(...before), after: times(...after) });
const drawn = (between: (low: number, high: number) => number, count: number) => Array.from({ length: count }, () => between(18, 22));

describe('laps before and after a change', () => {
  it('differ as the two groups of the sleep data do', () => {
    // R manual, t.test(extra ~ group, data = sleep): p = 0.07939, −3.3654832 to 0.2054832 for the first less the second. From memory,
    // recomputed; 20 s are added to each value here, since a lap takes more than no time.
    const first = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0];
    const second = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];
    const result = compare(
      second.map((each) => each + 20),
      first.map((each) => each + 20),
    );
    expectNear(result.difference, -1.58, 1e-12);
    expectPrinted(result.differenceLow, '-3.3654832');
    expectPrinted(result.differenceHigh, '0.2054832');
    expectPrinted(result.pValue, '0.07939');
    expect(result.verdict).toBe('cannot tell');
  });

  it('need as many laps as the table of Student’s t says', () => {
    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2: t₀.₉₇₅ is 4.303, 2.776, 2.447, 2.306 with 2, 4, 6, 8 degrees of freedom (the last two
    // from memory), that is for 2, 3, 4, 5 laps a side.
    const [before, after] = [
      [20, 20.4, 20.2, 20.6],
      [19.9, 20.1, 19.8, 20],
    ];
    // Variances by hand: (0.09 + 0.01 + 0.01 + 0.09)/3 and (0.0025 + 0.0225 + 0.0225 + 0.0025)/3.
    const scatter = Math.sqrt(0.2 / 3 + 0.05 / 3);
    const reach = [4.303, 2.776, 2.447, 2.306].map((t, i) => (t * scatter) / Math.sqrt(i + 2));
    const byTable = 2 + reach.findIndex((each) => each < 0.35);
    expect(byTable).toBe(5);
    expect(compare(before, after).lapsNeeded).toBe(byTable);
    expectNear(compare(before, after).scatterBefore, Math.sqrt(0.2 / 3), 1e-12);
    expectNear(compare(before, after).scatterAfter, Math.sqrt(0.05 / 3), 1e-12);
  });

  it('need the smallest number that would do, and not one less', () => {
    const between = draws(51);
    for (let i = 0; i < 60; i += 1) {
      const [before, after] = [drawn(between, 3 + (i % 5)), drawn(between, 2 + (i % 7))];
      const { difference, lapsNeeded } = compare(before, after);
      const variance = (values: readonly number[]) => {
        const about = values.reduce((a, b) => a + b) / values.length;
        return values.reduce((all, each) => all + (each - about) ** 2, 0) / (values.length - 1);
      };
      const reach = (n: number) => studentsTQuantile(0.975, 2 * n - 2) * Math.sqrt((variance(before) + variance(after)) / n);
      let n = 2;
      while (n < 1_000 && !(reach(n) < Math.abs(difference))) n += 1;
      if (n < 1_000) expect(lapsNeeded).toBe(n);
      else expect(numberOf(lapsNeeded)).toBeGreaterThanOrEqual(1_000);
    }
  });

  it('are faster or slower only when the whole interval says so', () => {
    const steady = [20, 20.1, 19.9, 20, 20.1, 19.9];
    const shifted = (by: number) =>
      compare(
        steady,
        steady.map((lap) => lap + by),
      );
    expect(shifted(-0.3).verdict).toBe('faster');
    expect(shifted(0.3).verdict).toBe('slower');
    expect(shifted(-0.05).verdict).toBe('cannot tell');
    for (const by of [-0.3, -0.05, 0.05, 0.3]) {
      const { differenceLow, differenceHigh, pValue, verdict } = shifted(by);
      expect(verdict === 'cannot tell').toBe(numberOf(differenceLow) <= 0 && 0 <= numberOf(differenceHigh));
      expect(verdict === 'cannot tell').toBe(numberOf(pValue) >= 0.05);
    }
  });

  it('do not care for a slower clock or the order of the laps; swapped sides change the sign', () => {
    const between = draws(52);
    for (let i = 0; i < 40; i += 1) {
      const [before, after, factor] = [drawn(between, 5), drawn(between, 4), between(0.5, 2)];
      const once = compare(before, after);
      const slow = compare(
        before.map((lap) => lap * factor),
        after.map((lap) => lap * factor),
      );
      for (const name of ['meanBefore', 'meanAfter', 'difference', 'differenceLow', 'differenceHigh'] as const)
        expectNear(slow[name], numberOf(once[name]) * factor, 1e-9);
      expectNear(slow.pValue, numberOf(once.pValue), 1e-9);
      expect(slow.lapsNeeded).toEqual(once.lapsNeeded);
      const swapped = compare(after, [...before].reverse());
      expectNear(swapped.differenceLow, -numberOf(once.differenceHigh), 1e-9);
      expectNear(swapped.pValue, numberOf(once.pValue), 1e-9);
    }
  });

  it('say the means, but nothing of their worth, with one lap on a side', () => {
    for (const [before, after] of [
      [[20], [19.5]],
      [[20], [19.5, 19.6, 19.4]],
      [[20, 20.1], [19.5]],
    ] as const) {
      const result = compare(before, after);
      expect(result.difference).toBeLessThan(0);
      for (const name of ['differenceLow', 'differenceHigh', 'pValue', 'lapsNeeded'] as const)
        expect(result[name]).toEqual({ absent: 'one lap only' });
      expect(result.verdict).toBe('cannot tell');
    }
    const alone = compare([20], [19.5, 19.7]);
    expect(alone.scatterBefore).toEqual({ absent: 'one lap only' });
    // Two laps 0.2 s apart: 0.2/√2, by hand.
    expectNear(alone.scatterAfter, 0.2 / Math.SQRT2, 1e-9);
  });

  it('cannot be told apart when a coarse clock shows no scatter at all', () => {
    const result = compare([12.1, 12.1, 12.1], [12, 12]);
    expectNear(result.difference, -0.1, 1e-12);
    for (const name of ['differenceLow', 'differenceHigh', 'pValue', 'lapsNeeded'] as const)
      expect(result[name]).toEqual({ absent: 'no scatter' });
    expect(result.verdict).toBe('cannot tell');
    // One side alone may have none: the other says how far laps scatter.
    expect(compare([12.1, 12.1, 12.1], [12, 12.01]).verdict).toBe('faster');
  });

  it('of equal means need more laps than there are', () => {
    const equal = compare([12.1, 12.3], [12.2, 12.2]);
    expect(equal.difference).toBe(0);
    expect(equal.pValue).toBe(1);
    expect(equal.lapsNeeded).toEqual({ absent: 'never' });
    // 15.7 is both means, but 15.3 and the like are rounded in binary: the difference is a last bit, not a reason to drive 10²⁹ laps.
    const rounded = compare([15.3, 15.7, 16.1], [15.7, 15.8, 15.6]);
    expect(rounded.difference).not.toBe(0);
    expect(rounded.lapsNeeded).toEqual({ absent: 'never' });
    // A microsecond apart at a scatter of a second: a number, if none for a tuning day. Normal distribution: 2·(1.959964·0.7071068/10⁻⁶)².
    expectNear(compare([20, 21], [20.000001, 21.000001]).lapsNeeded, 2 * (1.959964 * Math.SQRT1_2 * 1e6) ** 2, 1e-6);
  });

  it('are times: a length does not compile', () => {
    // @ts-expect-error a lap is a time
    const wrong = () => laps({ before: [si<'m'>(20)], after: times(20) });
    expect(wrong).toBeTypeOf('function');
  });
});
