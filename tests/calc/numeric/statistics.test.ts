import { describe, expect, it } from 'vitest';
import { mean, standardDeviation, sum, sumOfSquares } from '../../../calc/numeric/statistics.ts';
import nist from '../../fixtures/statistics/nist-univariate.json' with { type: 'json' };
import { draws, expectNear } from '../../support/book.ts';

/** Correct digits, as NIST counts them: −log₁₀ of the relative error, at most 15. */
const digits = (value: number, certified: number): number =>
  value === certified ? 15 : Math.min(15, -Math.log10(Math.abs(value - certified) / Math.abs(certified)));

const around = (centre: number, step: number): number[] => [
  centre,
  ...Array.from({ length: 500 }, () => [Number((centre - step).toFixed(1)), Number((centre + step).toFixed(1))]).flat(),
];

describe('mean and standard deviation of laps', () => {
  it.each([
    {
      data: 'Michelso',
      source: 'NIST Statistical Reference Datasets, univariate, Michelso (speed of light, 100 values), certified values',
    },
    { data: 'Mavro', source: 'NIST Statistical Reference Datasets, univariate, Mavro (filter transmittance, 50 values), certified values' },
    { data: 'Lew', source: 'NIST Statistical Reference Datasets, univariate, Lew (beam deflections, 200 values), certified values' },
    { data: 'Lottery', source: 'NIST Statistical Reference Datasets, univariate, Lottery (218 values), certified values' },
  ] as const)('are the certified ones of the NIST $data data', ({ data }) => {
    const { values, mean: certifiedMean, standardDeviation: certifiedDeviation } = nist[data];
    expect(digits(mean(values), Number(certifiedMean))).toBeGreaterThan(14);
    // The data are decimal: 2.0018 in binary is off by up to 2⁻⁵³ of itself, which is 5·10⁻¹³ of Mavro's scatter.
    expect(digits(standardDeviation(values), Number(certifiedDeviation))).toBeGreaterThan(data === 'Mavro' ? 12.3 : 13.3);
  });

  it.each([
    {
      data: 'NumAcc1',
      values: [10000001, 10000003, 10000002],
      certified: [10000002, 1],
      within: 1e-9,
      source: 'NIST Statistical Reference Datasets, univariate, NumAcc1, certified values',
    },
    {
      data: 'NumAcc2',
      values: around(1.2, 0.1),
      certified: [1.2, 0.1],
      within: 1e-12,
      source: 'NIST Statistical Reference Datasets, univariate, NumAcc2, certified values',
    },
    {
      data: 'NumAcc3',
      values: around(1000000.2, 0.1),
      certified: [1000000.2, 0.1],
      within: 1e-8,
      source: 'NIST Statistical Reference Datasets, univariate, NumAcc3, certified values (rule of the data and values from memory)',
    },
    {
      data: 'NumAcc4',
      values: around(10000000.2, 0.1),
      certified: [10000000.2, 0.1],
      within: 1e-7,
      source: 'NIST Statistical Reference Datasets, univariate, NumAcc4, certified values',
    },
  ])('keep their digits where a sum of squares loses them: NIST $data', ({ values, certified, within }) => {
    expect(Math.abs(mean(values) - certified[0]!)).toBeLessThan(within);
    expect(Math.abs(standardDeviation(values) - certified[1]!)).toBeLessThan(within);
  });

  it('agree with whole-number arithmetic that rounds nothing', () => {
    // Second method: the same sums in exact integers, n·Σx² − (Σx)².
    const between = draws(41);
    for (let i = 0; i < 40; i += 1) {
      const milliseconds = Array.from({ length: 3 + (i % 9) }, () => Math.round(between(15_000, 25_000)));
      const n = BigInt(milliseconds.length);
      const total = milliseconds.reduce((all, each) => all + BigInt(each), 0n);
      const squares = milliseconds.reduce((all, each) => all + BigInt(each) ** 2n, 0n);
      expectNear(mean(milliseconds), Number(total) / Number(n), 1e-15);
      expectNear(sumOfSquares(milliseconds), Number(n * squares - total * total) / Number(n), 1e-13);
    }
  });

  it('of laps that are all the same are that lap, and nothing at all', () => {
    for (const lap of [12.1, 0.3, 1e9 + 0.1]) {
      expect(mean([lap, lap, lap])).toBe(lap);
      expect(standardDeviation([lap, lap, lap])).toBe(0);
    }
  });

  it('move with the clock: a later start shifts the mean and leaves the scatter', () => {
    const between = draws(42);
    for (let i = 0; i < 40; i += 1) {
      const laps = Array.from({ length: 8 }, () => between(15, 25));
      const [shift, factor] = [between(1, 1000), between(0.5, 2)];
      expectNear(mean(laps.map((lap) => lap + shift)), mean(laps) + shift, 1e-13);
      expectNear(standardDeviation(laps.map((lap) => lap + shift)), standardDeviation(laps), 1e-10);
      expectNear(standardDeviation(laps.map((lap) => lap * factor)), standardDeviation(laps) * factor, 1e-12);
    }
  });

  it('of one lap say nothing of the scatter, of no lap nothing at all', () => {
    expect(mean([12.1])).toBe(12.1);
    expect(standardDeviation([12.1])).toBeNaN();
    expect(mean([])).toBeNaN();
    expect(standardDeviation([])).toBeNaN();
  });
});

describe('a long sum', () => {
  it('keeps what each step rounds away', () => {
    // Source: Neumaier, ZAMM 54 (1974), 39–51 (from memory): the sum 1 + 10¹⁰⁰ + 1 − 10¹⁰⁰ is 2, where plain and Kahan's sums give 0.
    expect(sum([1, 1e100, 1, -1e100])).toBe(2);
    expect(sum(Array.from({ length: 10 }, () => 0.1))).toBe(1);
    expect(sum([])).toBe(0);
  });
});
