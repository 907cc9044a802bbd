import { describe, expect, it } from 'vitest';
import { type IntegrateOptions, integrate, type Slope } from '../../../calc/numeric/ode.ts';
import { expectNear } from '../../support/book.ts';

const worst = (a: readonly number[], b: readonly number[]): number => Math.max(...a.map((value, i) => Math.abs(value - b[i]!)));

/** Complete elliptic integral of the first kind, by the arithmetic–geometric mean. Source: Abramowitz and Stegun, 17.6. */
function quarterPeriod(modulus: number): number {
  let [a, b] = [1, Math.sqrt(1 - modulus ** 2)];
  for (let i = 0; i < 8; i += 1) [a, b] = [(a + b) / 2, Math.sqrt(a * b)];
  return Math.PI / (2 * a);
}

/** Jacobi's sn, cn, dn, by descending Landen steps. Source: Abramowitz and Stegun, 16.4. */
function jacobi(u: number, modulus: number): { sn: number; cn: number; dn: number } {
  const a = [1];
  const c = [modulus];
  let b = Math.sqrt(1 - modulus ** 2);
  while (Math.abs(c.at(-1)!) > 1e-17 && a.length < 12) {
    const last = a.at(-1)!;
    a.push((last + b) / 2);
    c.push((last - b) / 2);
    b = Math.sqrt(last * b);
  }
  let phi = 2 ** (a.length - 1) * a.at(-1)! * u;
  for (let n = a.length - 1; n > 0; n -= 1) phi = (phi + Math.asin((c[n]! * Math.sin(phi)) / a[n]!)) / 2;
  const sn = Math.sin(phi);
  return { sn, cn: Math.cos(phi), dn: Math.sqrt(1 - (modulus * sn) ** 2) };
}

const decay: Slope = (_, [y]) => [-y!];
const swing: Slope = (_, [x, v]) => [v!, -x!];
/** Fixed steps: a tolerance that never refuses, and a longest step. */
const fixed = (length: number): IntegrateOptions => ({ relativeTolerance: 1e9, absoluteTolerance: 1e9, longestStep: length });

describe('integrate', () => {
  it('follows decay, growth to a limit and an oscillation as their closed forms say', () => {
    expectNear(integrate(decay, 0, [1], 5).state[0], Math.exp(-5), 1e-8);
    const logistic = integrate((_, [y]) => [(y! / 4) * (1 - y! / 20)], 0, [1], 20); // Hull et al., DETEST (1972), problem A4
    expectNear(logistic.state[0], 20 / (1 + 19 * Math.exp(-5)), 1e-8);
    const driven = integrate((t, [y]) => [y! * Math.cos(t)], 0, [1], 20); // DETEST, problem A3
    expectNear(driven.state[0], Math.exp(Math.sin(20)), 1e-8);
    const tenTurns = integrate(swing, 0, [1, 0], 20 * Math.PI);
    expect(worst(tenTurns.state, [1, 0])).toBeLessThan(1e-7);
  });

  it('turns the free rigid body as Jacobi’s elliptic functions say', () => {
    // DETEST, problem B5 (Krogh): y₁ = sn, y₂ = cn, y₃ = dn of modulus √0.51.
    const { state } = integrate((_, [a, b, c]) => [b! * c!, -a! * c!, -0.51 * a! * b!], 0, [0, 1, 1], 20);
    const { sn, cn, dn } = jacobi(20, Math.sqrt(0.51));
    expect(worst(state, [sn, cn, dn])).toBeLessThan(2e-8);
  });

  it('comes round Arenstorf’s orbit to where it began', () => {
    // Hairer, Nørsett, Wanner, Solving Ordinary Differential Equations I, 2nd edition, (II.0.1) and (II.0.2): initial values and period as printed.
    const small = 0.012277471;
    const large = 1 - small;
    const orbit: Slope = (_, [x, y, u, v]) => {
      const d1 = ((x! + small) ** 2 + y! ** 2) ** 1.5;
      const d2 = ((x! - large) ** 2 + y! ** 2) ** 1.5;
      return [
        u!,
        v!,
        x! + 2 * v! - (large * (x! + small)) / d1 - (small * (x! - large)) / d2,
        y! - 2 * u! - (large * y!) / d1 - (small * y!) / d2,
      ];
    };
    const start = [0.994, 0, 0, -2.0015851063790824];
    const period = 17.065216560157964;
    const tight = integrate(orbit, 0, start, period, { relativeTolerance: 1e-12, absoluteTolerance: 1e-12 });
    expect(worst(tight.state.slice(0, 2), start.slice(0, 2))).toBeLessThan(1e-9);
    // The authors' own program takes 216 steps and 1442 evaluations at 1e-7, first step included (printed value from memory).
    let evaluations = 0;
    const counting: Slope = (time, state) => {
      evaluations += 1;
      return orbit(time, state);
    };
    const loose = integrate(counting, 0, start, period, { relativeTolerance: 1e-7, absoluteTolerance: 1e-7 });
    expect(loose.steps).toBe(216);
    expect(evaluations).toBe(1442);
    expect(worst(loose.state.slice(0, 2), start.slice(0, 2))).toBeLessThan(1e-4);
  });

  it('is of fifth order: half the step, a thirty-second of the error', () => {
    const error = (length: number): number => worst(integrate(swing, 0, [1, 0], 8, fixed(length)).state, [Math.cos(8), -Math.sin(8)]);
    const ratio = error(0.1) / error(0.05);
    expect(ratio).toBeGreaterThan(28);
    expect(ratio).toBeLessThan(36);
  });

  it('is of fourth order between the steps', () => {
    const error = (length: number): number => {
      const course = integrate(swing, 0, [1, 0], 8, fixed(length));
      const times = Array.from({ length: 400 }, (_, i) => (8 * (i + 0.37)) / 400);
      return Math.max(...times.map((time) => worst(course.at(time), [Math.cos(time), -Math.sin(time)])));
    };
    // The interpolant's error falls with the fifth power of the step, and does not stand far above that of the steps.
    expect(error(0.1) / error(0.05)).toBeGreaterThan(24);
    expect(error(0.1)).toBeLessThan(1e-6);
  });

  it('keeps closer to the course when it is asked to', () => {
    const error = (relativeTolerance: number): number =>
      worst(integrate(swing, 0, [1, 0], 20, { relativeTolerance, absoluteTolerance: relativeTolerance }).state, [
        Math.cos(20),
        -Math.sin(20),
      ]);
    for (const tolerance of [1e-4, 1e-6, 1e-8, 1e-10]) expect(error(tolerance)).toBeLessThan(30 * tolerance);
    expect(error(1e-10)).toBeLessThan(error(1e-6) / 100);
  });

  it('finds the time of a crossing: a fall against the air reaches half its end speed', () => {
    // v = v∞·tanh(g·t/v∞), so t = (v∞/g)·artanh ½.
    const end = 44;
    const course = integrate((_, [v]) => [9.8 * (1 - (v! / end) ** 2)], 0, [0], 100, { until: (_, [v]) => v! - end / 2 });
    expect(course.crossed).toBe(true);
    expectNear(course.time, (end / 9.8) * Math.atanh(0.5), 1e-8);
    expectNear(course.state[0], end / 2, 1e-12);
  });

  it('finds the quarter period of a pendulum that swings 60° wide', () => {
    const start = Math.PI / 3;
    const course = integrate((_, [angle, rate]) => [rate!, -Math.sin(angle!)], 0, [start, 0], 10, { until: (_, [angle]) => angle! });
    expectNear(course.time, quarterPeriod(Math.sin(start / 2)), 1e-8);
    // The period of 60° against that of small swings: 1.0732 (printed in many tables; printed value from memory, recomputed).
    expect(course.time / (Math.PI / 2)).toBeCloseTo(1.0732, 4);
  });

  it('goes to the end when nothing is crossed, and does not take a start on the line for a crossing', () => {
    expect(integrate(decay, 0, [1], 3, { until: (_, [y]) => y! + 1 })).toMatchObject({ crossed: false, time: 3 });
    const hop = integrate((_, [, v]) => [v!, -9.8], 0, [0, 4.9], 5, { until: (_, [height]) => height! });
    expectNear(hop.time, 1, 1e-10);
  });

  it('gives the state at any time of the course, and none beside it', () => {
    const course = integrate(decay, 1, [1], 4);
    for (const time of [1, 1.0001, 2.345, 3.999, 4]) expectNear(course.at(time)[0], Math.exp(1 - time), 1e-7);
    expect(() => course.at(0.99)).toThrow(RangeError);
    expect(() => course.at(4.01)).toThrow(RangeError);
  });

  it('gets over a kink without losing its way', () => {
    // dy/dt = |t − 1|: 1/2 up to the kink and (e − 1)²/2 after it.
    expectNear(integrate((t) => [Math.abs(t - 1)], 0, [0], Math.E).state[0], 0.5 + (Math.E - 1) ** 2 / 2, 1e-8);
  });

  it('says so where the course ends in a pole, leaves the numbers, or has no span', () => {
    expect(() => integrate((_, [y]) => [y! ** 2], 0, [1], 2)).toThrow(RangeError);
    expect(() => integrate((_, [y]) => [-Math.sqrt(y! - 0.5)], 0, [0.4], 2)).toThrow(RangeError);
    expect(() => integrate(decay, 1, [1], 1)).toThrow(RangeError);
    expect(() => integrate(decay, 0, [1], 100, { mostSteps: 3 })).toThrow(RangeError);
  });
});
