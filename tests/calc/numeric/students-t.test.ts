import { describe, expect, it } from 'vitest';
import { DomainError } from '../../../calc/formula.ts';
import { meanReach, studentsT, studentsTQuantile } from '../../../calc/numeric/students-t.ts';
import reference from '../../fixtures/statistics/students-t.json' with { type: 'json' };
import { draws, expectNear, expectPrinted } from '../../support/book.ts';

const NIST_TABLE = 'NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, critical values of Student’s t';

describe('quantiles of Student’s t', () => {
  it.each([
    { p: 0.975, freedom: 1, printed: '12.706', source: NIST_TABLE },
    { p: 0.975, freedom: 2, printed: '4.303', source: NIST_TABLE },
    { p: 0.975, freedom: 3, printed: '3.182', source: NIST_TABLE },
    { p: 0.975, freedom: 4, printed: '2.776', source: NIST_TABLE },
    { p: 0.975, freedom: 5, printed: '2.571', source: NIST_TABLE },
    { p: 0.975, freedom: 9, printed: '2.262', source: NIST_TABLE },
    { p: 0.975, freedom: 10, printed: '2.228', source: NIST_TABLE },
    { p: 0.975, freedom: 30, printed: '2.042', source: NIST_TABLE },
    { p: 0.95, freedom: 4, printed: '2.132', source: NIST_TABLE },
    { p: 0.995, freedom: 4, printed: '4.604', source: NIST_TABLE },
  ])('at $p with $freedom degrees of freedom is the printed $printed', ({ p, freedom, printed }) => {
    expectPrinted(studentsTQuantile(p, freedom), printed);
    expectPrinted(studentsTQuantile(1 - p, freedom), `-${printed}`);
  });

  it('agree with the density integrated to 40 digits, from half a degree of freedom to a million and far into the tails', () => {
    // Second method: tests/fixtures/statistics/students-t.py, numerical integration with mpmath; needed are 10⁻⁹, asked for are 10⁻¹³.
    expect(reference.quantiles.length).toBe(600);
    let worst = { off: 0, at: '' };
    for (const [p, freedom, t] of reference.quantiles as [number, number, number][]) {
      const off = Math.abs(studentsTQuantile(p, freedom) / t - 1);
      if (!(off <= worst.off)) worst = { off, at: `p = ${p}, ${freedom} degrees of freedom` };
    }
    expect(worst.off, worst.at).toBeLessThan(1e-13);
  });

  it('with one and two degrees of freedom are the closed forms', () => {
    // Second method: the Cauchy distribution, t = tan π(p − ½), and for two degrees t = (2p − 1)/√(2p(1 − p)).
    const between = draws(43);
    for (let i = 0; i < 60; i += 1) {
      const p = between(1e-9, 0.5);
      expectNear(studentsTQuantile(p, 1), -1 / Math.tan(Math.PI * p), 1e-12);
      expectNear(studentsTQuantile(p, 2), (2 * p - 1) / Math.sqrt(2 * p * (1 - p)), 1e-12);
    }
  });

  it('lead back to the share they came from', () => {
    const between = draws(44);
    for (let i = 0; i < 200; i += 1) {
      const [p, freedom] = [between(1e-12, 0.9999), between(0.3, 1e6)];
      expectNear(studentsT(studentsTQuantile(p, freedom), freedom), p, 1e-12);
    }
  });

  it('are the same to the left and to the right, and zero in the middle', () => {
    expect(studentsTQuantile(0.5, 7)).toBe(0);
    for (const p of [0.25, 0.125, 0.375, 1 / 1024]) expectNear(studentsTQuantile(1 - p, 7.5), -studentsTQuantile(p, 7.5), 1e-15);
  });

  it('are refused outside zero and one, and without degrees of freedom', () => {
    for (const p of [0, 1, -0.1, 1.1, Number.NaN]) expect(() => studentsTQuantile(p, 5)).toThrow(DomainError);
    for (const freedom of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => studentsTQuantile(0.9, freedom)).toThrow(DomainError);
      expect(() => studentsT(1, freedom)).toThrow(DomainError);
    }
    expect(() => studentsT(Number.NaN, 5)).toThrow(DomainError);
    expect(() => studentsTQuantile(1e-300, 0.5)).toThrow('beyond the largest number');
  });
});

describe('shares of Student’s t', () => {
  it('agree with the density integrated to 40 digits', () => {
    // Second method: tests/fixtures/statistics/students-t.py, numerical integration with mpmath.
    expect(reference.shares.length).toBe(60);
    for (const [t, freedom, below] of reference.shares as [number, number, number][]) expectNear(studentsT(t, freedom), below, 2e-13);
  });

  it('agree with Simpson’s rule over the density, and the density’s factor found by the same rule', () => {
    // Second method: no gamma or beta function at all, the whole area is made one.
    const area = (from: number, to: number, freedom: number): number => {
      const steps = 4000;
      const width = (to - from) / steps;
      const density = (t: number) => (1 + (t * t) / freedom) ** (-(freedom + 1) / 2);
      let total = density(from) + density(to);
      for (let i = 1; i < steps; i += 1) total += density(from + i * width) * (i % 2 ? 4 : 2);
      return (total * width) / 3;
    };
    for (const freedom of [7.9926, 12, 33.3])
      for (const t of [0.2, 1, 2.5]) {
        const half = area(0, 40, freedom) + area(40, 400, freedom);
        expectNear(studentsT(t, freedom), 0.5 + (0.5 * area(0, t, freedom)) / half, 1e-9);
      }
  });

  it('run from nothing to all', () => {
    expect(studentsT(0, 3)).toBe(0.5);
    expect(studentsT(Number.NEGATIVE_INFINITY, 3)).toBe(0);
    expect(studentsT(Number.POSITIVE_INFINITY, 3)).toBe(1);
  });
});

describe('the reach of a mean', () => {
  // Values worked out by hand: s² = 0.05/3, and t(0.975; 3) = 3.182, t(0.995; 3) = 5.841 (any printed table of Student's t; from memory).
  it('is t·s/√n', () => {
    expect(meanReach([25.0, 25.2, 24.9, 25.1])).toBeCloseTo((3.182 * Math.sqrt(0.05 / 3)) / 2, 4);
    expect(meanReach([25.0, 25.2, 24.9, 25.1], 0.99)).toBeCloseTo((5.841 * Math.sqrt(0.05 / 3)) / 2, 4);
  });
  it('is not known of one value alone', () => {
    expect(meanReach([25.0])).toBeNaN();
  });
});
