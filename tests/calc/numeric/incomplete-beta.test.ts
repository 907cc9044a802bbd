import { describe, expect, it } from 'vitest';
import { DomainError } from '../../../calc/formula.ts';
import { regularizedIncompleteBeta } from '../../../calc/numeric/incomplete-beta.ts';
import reference from '../../fixtures/statistics/students-t.json' with { type: 'json' };
import { draws, expectNear } from '../../support/book.ts';

describe('the regularized incomplete beta function', () => {
  it('agrees with its hypergeometric series summed to 38 digits', () => {
    // Second method: tests/fixtures/statistics/students-t.py, DLMF 8.17.8 with mpmath.
    expect(reference.betas.length).toBe(13);
    for (const [a, b, x, share] of reference.betas as [number, number, number, number][])
      expectNear(regularizedIncompleteBeta(a, b, x), share, 1e-11);
  });

  it('is a sum of binomial chances for whole parameters', () => {
    // DLMF 8.17.5 (number from memory): I(x; m, n − m + 1) = Σ C(n, j) xʲ (1 − x)ⁿ⁻ʲ over j from m to n.
    const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n - 1, k - 1) * n) / k);
    for (const [m, n, x] of [
      [1, 1, 0.3],
      [2, 5, 0.3],
      [4, 9, 0.77],
      [17, 20, 0.9],
    ] as const) {
      let total = 0;
      for (let j = m; j <= n; j += 1) total += choose(n, j) * x ** j * (1 - x) ** (n - j);
      expectNear(regularizedIncompleteBeta(m, n - m + 1, x), total, 1e-13);
    }
  });

  it('is a plain power where one parameter is one', () => {
    // The integral done by hand: I(x; a, 1) = xᵃ, I(x; 1, b) = 1 − (1 − x)ᵇ.
    const between = draws(45);
    for (let i = 0; i < 60; i += 1) {
      const [parameter, x] = [between(0.01, 300), between(0.01, 0.99)];
      expectNear(regularizedIncompleteBeta(parameter, 1, x), x ** parameter, 1e-12);
      expectNear(1 - regularizedIncompleteBeta(1, parameter, x), (1 - x) ** parameter, 1e-12 + 1e-15 / (1 - x) ** parameter);
    }
  });

  it('shares the whole out between x and the rest', () => {
    // DLMF 8.17.4 (number from memory): I(x; a, b) + I(1 − x; b, a) = 1.
    const between = draws(46);
    for (let i = 0; i < 60; i += 1) {
      const [a, b, x] = [between(0.05, 1e4), between(0.05, 1e4), between(0.001, 1)];
      expectNear(regularizedIncompleteBeta(a, b, x) + regularizedIncompleteBeta(b, a, 1 - x, x), 1, 1e-12);
    }
    expect(regularizedIncompleteBeta(2, 3, 0)).toBe(0);
    expect(regularizedIncompleteBeta(2, 3, 1)).toBe(1);
  });

  it('is refused without two parameters above zero, and outside zero and one', () => {
    for (const bad of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => regularizedIncompleteBeta(bad, 1, 0.5)).toThrow(DomainError);
      expect(() => regularizedIncompleteBeta(1, bad, 0.5)).toThrow(DomainError);
    }
    for (const bad of [-0.1, 1.1, Number.NaN]) expect(() => regularizedIncompleteBeta(1, 1, bad)).toThrow(DomainError);
  });
});
