import { describe, expect, it } from 'vitest';
import { DomainError } from '../../../calc/formula.ts';
import { mean } from '../../../calc/numeric/statistics.ts';
import { oneSample, paired, pooled, type Sample, sampleOf, welch } from '../../../calc/numeric/welch.ts';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';

const sample = (count: number, mean: number, standardDeviation: number): Sample => ({ count, mean, standardDeviation });
const near = (value: number, printed: number, within: number): void => {
  expect(Math.abs(value - printed), `${value} against ${printed}`).toBeLessThanOrEqual(within);
};

// the data of Student, The probable error of a mean, Biometrika 6 (1908): extra hours of sleep of ten people with two drugs.
const sleep = {
  first: [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0],
  second: [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4],
};

describe('two means whose scatters may differ', () => {
  it('compare as in the library manual’s example', () => {
    // NAG Library Manual, g07cac (G07CAF), example: t 2.5922, 7.9925 degrees of freedom, p 0.0320, 95 % from 0.441 to 7.559. Printed values
    // read; the standard deviations are printed with four digits, hence the tolerances.
    const { t, degreesOfFreedom, pValue, low, high } = welch(sample(4, 25, 0.8185), sample(8, 21, 4.208));
    near(t, 2.5922, 0.0003);
    near(degreesOfFreedom, 7.9925, 0.0003);
    near(pValue, 0.032, 0.0001);
    near(low, 0.441, 0.0004);
    near(high, 7.559, 0.0004);
  });

  it('compare as in R’s own example of the sleep data, taken as two groups', () => {
    // R manual, t.test(extra ~ group, data = sleep): t = −1.8608, df = 17.776, p = 0.07939, −3.3654832 to 0.2054832. From memory, recomputed.
    const { t, degreesOfFreedom, pValue, low, high } = welch(sampleOf(sleep.first), sampleOf(sleep.second));
    expectPrinted(t, '-1.8608');
    expectPrinted(degreesOfFreedom, '17.776');
    expectPrinted(pValue, '0.07939');
    expectPrinted(low, '-3.3654832');
    expectPrinted(high, '0.2054832');
  });

  it('compare as in a worked answer with very unequal scatters', () => {
    // Public worked answer (question 838275 of a tutors' page, groups of 16 and 10): standard error 2.59969, t 5.85214, 9.708 degrees of freedom; it rounds them to 9.7
    // for t₀.₉₉₅ = 3.1906 and 99 % from 6.9192 to 23.5083. Printed values read.
    const { standardError, t, degreesOfFreedom, low, high } = welch(sample(10, 18.97, 8.06488), sample(16, 3.75625, 2.01659), 0.99);
    expectPrinted(standardError, '2.59969');
    near(t, 5.85214, 2e-5); // 15.21375/2.59969 with the standard error already rounded
    expectPrinted(degreesOfFreedom, '9.708');
    near(low, 6.9192, 0.002);
    near(high, 23.5083, 0.002);
  });

  it('compare as pooled ones when both groups are as many and scatter alike', () => {
    const between = draws(47);
    for (let i = 0; i < 40; i += 1) {
      const count = 2 + (i % 12);
      const [a, b, scatter] = [between(10, 30), between(10, 30), between(0.01, 1)];
      const one = welch(sample(count, a, scatter), sample(count, b, scatter));
      const other = pooled(sample(count, a, scatter), sample(count, b, scatter));
      for (const name of Object.keys(one) as (keyof typeof one)[]) expectNear(one[name], other[name], 1e-9);
    }
  });

  it('have degrees of freedom between those of the smaller group and those of both together', () => {
    const between = draws(48);
    for (let i = 0; i < 60; i += 1) {
      const [one, other] = [sample(2 + (i % 7), 20, between(1e-6, 10)), sample(2 + (i % 11), 21, between(1e-6, 10))];
      const { degreesOfFreedom } = welch(one, other);
      expect(degreesOfFreedom).toBeGreaterThanOrEqual(Math.min(one.count, other.count) - 1 - 1e-9);
      expect(degreesOfFreedom).toBeLessThanOrEqual(one.count + other.count - 2 + 1e-9);
    }
  });

  it('cover the true difference as often as they say', () => {
    // Second method: 4000 simulated pairs of stints, normal laps by Box and Muller from seeded draws; 95 % ± 4 standard errors of that count.
    const between = draws(49);
    const uniform = () => Math.log(between(1, Math.E));
    const normal = () => Math.sqrt(-2 * Math.log(1 - uniform() * (1 - 1e-12))) * Math.cos(2 * Math.PI * uniform());
    let covered = 0;
    for (let i = 0; i < 4000; i += 1) {
      const laps = (count: number, about: number, scatter: number) =>
        sampleOf(Array.from({ length: count }, () => about + scatter * normal()));
      const { low, high } = welch(laps(12, 20.1, 0.2), laps(9, 20, 0.4));
      if (low <= 0.1 && 0.1 <= high) covered += 1;
    }
    near(covered / 4000, 0.95, 4 * Math.sqrt((0.95 * 0.05) / 4000));
  });

  it('swap sign with their order', () => {
    const [one, other] = [welch(sampleOf(sleep.first), sampleOf(sleep.second)), welch(sampleOf(sleep.second), sampleOf(sleep.first))];
    expectNear(one.low, -other.high, 1e-14);
    expectNear(one.pValue, other.pValue, 1e-14);
  });

  it('are compared down to the smallest scatters, and refused without any', () => {
    const tiny = welch(sample(5, 20, 1e-170), sample(5, 20 + 1e-14, 2e-170));
    expect(tiny.pValue).toBeLessThan(1e-10);
    expect(() => welch(sample(5, 20, 0), sample(5, 21, 0))).toThrow('without any scatter');
    expect(() => welch(sample(1, 20, 0.1), sample(5, 21, 0.1))).toThrow('at least two');
    expect(() => welch(sampleOf([20]), sampleOf([21, 22]))).toThrow(DomainError);
    expect(() => welch(sample(5, Number.NaN, 0.1), sample(5, 21, 0.1))).toThrow('finite');
    expect(() => welch(sample(5, 20, 0.1), sample(5, 21, 0.1), 1)).toThrow('confidence');
  });
});

describe('two means of equal scatter', () => {
  it.each([
    {
      source: 'NAG Library Manual, g07cac (G07CAF), example, pooled; standard deviations printed with four digits. Printed values read',
      samples: [sample(4, 25, 0.8185), sample(8, 21, 4.208)],
      t: [1.8403, 0.0003],
      freedom: 10,
      p: [0.0955, 0.0001],
    },
    {
      source: 'SciPy documentation, ttest_ind_from_stats, example. Printed values read',
      samples: [sample(13, 15, Math.sqrt(87.5)), sample(11, 12, Math.sqrt(39))],
      t: [0.9051358093310269, 1e-13],
      freedom: 22,
      p: [0.3751996797581487, 1e-13],
    },
    {
      source: 'NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.3, AUTO83B data. Printed values read',
      samples: [sample(249, 20.14458, 6.4147), sample(79, 30.48101, 6.10771)],
      t: [-12.62059, 0.0002],
      freedom: 326,
      p: [0, 1e-9],
    },
    {
      source:
        'Montgomery and Runger, Applied Statistics and Probability for Engineers, 3rd ed., example 10-5 (catalysts). Printed values read',
      // Means printed to 0.01 and a difference of 0.48: t is sure to 0.01, p to 0.006.
      samples: [sample(8, 92.26, 2.39), sample(8, 92.735, 2.99)],
      t: [-0.35, 0.01],
      freedom: 14,
      p: [0.73, 0.006],
    },
  ])('compare as printed: $source', ({ samples, t, freedom, p }) => {
    const result = pooled(samples[0]!, samples[1]!);
    near(result.t, t[0]!, t[1]!);
    expect(result.degreesOfFreedom).toBe(freedom);
    near(result.pValue, p[0]!, p[1]!);
  });

  it('have the interval of the handbook example', () => {
    // Montgomery and Runger, 3rd ed., example 10-5: 95 % from −3.37 to 2.42, pooled standard deviation 2.701. Printed values
    // read; the two standard deviations are printed to 0.01.
    const { low, high, standardError } = pooled(sample(8, 92.26, 2.39), sample(8, 92.735, 2.99));
    near(low, -3.37, 0.015);
    near(high, 2.42, 0.015);
    near(standardError / Math.sqrt(2 / 8), 2.701, 0.008);
  });
});

describe('pairs', () => {
  it('compare as in R’s example of the sleep data', () => {
    // R manual, t.test(…, paired = TRUE) on the sleep data: t −4.0621, 9, p 0.002833, mean −1.58, −2.4598858 to −0.7001142. Printed values read.
    const { difference, t, degreesOfFreedom, pValue, low, high } = paired(sleep.first, sleep.second);
    near(t, -4.0621, 6e-5);
    expect(degreesOfFreedom).toBe(9);
    expectPrinted(pValue, '0.002833');
    expectNear(difference, -1.58, 1e-13);
    expectPrinted(low, '-2.4598858');
    expectPrinted(high, '-0.7001142');
  });

  it('of Darwin’s maize compare as Fisher found, and as all ways of swapping the pairs do', () => {
    // R. A. Fisher, The Design of Experiments (1935), sections 17 and 21: t 2.148, p 0.0497 against 0.0527 by swapping. From memory, recomputed.
    const eighths = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48];
    const { t, pValue } = paired(eighths, new Array(15).fill(0) as number[]);
    expectPrinted(t, '2.148');
    expectPrinted(pValue, '0.0497');
    // All 32 768 ways of swapping the plants within their pairs, counted.
    let asLarge = 0;
    for (let ways = 0; ways < 2 ** 15; ways += 1) {
      const swapped = eighths.reduce((total, each, i) => total + (ways & (1 << i) ? -each : each), 0);
      if (Math.abs(swapped) >= 15 * Math.abs(mean(eighths)) - 1e-9) asLarge += 1;
    }
    expect(asLarge / 2 ** 15).toBe(0.05267333984375);
    near(pValue, asLarge / 2 ** 15, 0.004);
  });

  it('need a partner each', () => {
    expect(() => paired([1, 2, 3], [1, 2])).toThrow('as many values');
    expect(() => paired([1, 2, 3], [0, 1, 2])).toThrow('without any scatter');
  });
});

describe('one mean against a given value', () => {
  it('compares as in the published weight data', () => {
    // StatsR test on a published weight data set (10 weights against 25): t −9.0783, 9 degrees of freedom, p 7.9531e-06. Printed values read.
    const { t, degreesOfFreedom, pValue } = oneSample(sample(10, 19.25, 2.002915), 25);
    expectPrinted(t, '-9.0783');
    expect(degreesOfFreedom).toBe(9);
    near(pValue / 7.9531e-6, 1, 1e-4);
  });
});
