import { describe, expect, it } from 'vitest';
import { leastSquaresLine } from '../../../calc/numeric/least-squares-line.ts';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { norris, thermometer } from '../../support/lines.ts';

const points = (xs: readonly number[], ys: readonly number[]) => xs.map((x, i) => ({ x, y: ys[i]! }));
const sumOfSquares = (values: readonly number[]): number => values.reduce((sum, v) => sum + v * v, 0);

describe('the least squares line', () => {
  it('is the certified line of the NIST Norris data', () => {
    const line = leastSquaresLine(points(norris.x, norris.y))!;
    expect(Math.abs(line.intercept - norris.certified.intercept)).toBeLessThan(1e-11);
    expect(Math.abs(line.slope - norris.certified.slope)).toBeLessThan(1e-11);
    expect(Math.abs(line.interceptError! - norris.certified.interceptError)).toBeLessThan(1e-11);
    expect(Math.abs(line.slopeError! - norris.certified.slopeError)).toBeLessThan(1e-11);
    const total = sumOfSquares(norris.y.map((y) => y - line.centre.y));
    expect(Math.abs(1 - sumOfSquares(line.residuals) / total - norris.certified.rSquared)).toBeLessThan(1e-11);
  });

  it('is the calibration line of the thermometer in the guide to uncertainty', () => {
    const line = leastSquaresLine(
      points(
        thermometer.temperature.map((t) => t - thermometer.reference),
        thermometer.correction,
      ),
    )!;
    // JCGM 100:2008, H.3.3: y1 = −0.1712 °C, y2 = 0.00218, s(y1) = 0.0029 °C, s(y2) = 0.00067, r(y1, y2) = −0.930 (two figures kept here).
    expectPrinted(line.intercept, '-0.1712');
    expectPrinted(line.slope, '0.00218');
    expectPrinted(line.interceptError, '0.0029');
    expectPrinted(line.slopeError, '0.00067');
    const correlation = (-line.centre.x * line.slopeError!) / line.interceptError!;
    expectPrinted(correlation, '-0.93');
    // H.3.4: correction at 30 °C, −0.1494 °C, u = 0.0041 °C (it would be 0.0073 °C without the correlation).
    expectPrinted(line.centre.y + line.slope * (10 - line.centre.x), '-0.1494');
    const atCentre = line.scatter! / Math.sqrt(thermometer.temperature.length);
    expectPrinted(Math.hypot(atCentre, (10 - line.centre.x) * line.slopeError!), '0.0041');
  });

  it('keeps its digits for heights that differ little and stand far from zero', () => {
    // Normal equations in whole numbers, exact: heights 10 000 000.1 to 10 000 000.5, in tenths.
    const xs = [1n, 2n, 4n, 5n];
    const ys = [10n, 31n, 66n, 93n];
    const n = 4n;
    const sum = (values: readonly bigint[]) => values.reduce((a, b) => a + b, 0n);
    const slope = Number(n * sum(xs.map((x, i) => x * ys[i]!)) - sum(xs) * sum(ys)) / Number(n * sum(xs.map((x) => x * x)) - sum(xs) ** 2n);
    const far = leastSquaresLine(xs.map((x, i) => ({ x: 1e7 + Number(x) / 10, y: Number(ys[i]) })))!;
    // 1e7 + 0.1 is itself off by up to 1e-9 in a double, a share of 1e-8 of the steps.
    expectNear(far.slope, slope * 10, 1e-7);
    const near = leastSquaresLine(xs.map((x, i) => ({ x: Number(x), y: Number(ys[i]) })))!;
    expectNear(near.slope, slope, 1e-14);
  });

  it('goes through two points exactly, and says nothing of their scatter', () => {
    const line = leastSquaresLine([
      { x: 1, y: 3 },
      { x: 3, y: 11 },
    ])!;
    expect(line.slope).toBe(4);
    expect(line.intercept).toBe(-1);
    expect(line.residuals).toEqual([0, 0]);
    expect(line.scatter).toBeUndefined();
    expect(line.slopeError).toBeUndefined();
    expect(line.interceptError).toBeUndefined();
  });

  it('is no line when all places are the same, or one is in another unit', () => {
    expect(leastSquaresLine([])).toBeUndefined();
    expect(leastSquaresLine([{ x: 1, y: 1 }])).toBeUndefined();
    expect(leastSquaresLine(points([0.1, 0.1, 0.1], [1, 2, 3]))).toBeUndefined();
    expect(leastSquaresLine(points([0, 0], [1, 2]))).toBeUndefined();
    const heights = [0.3, 0.1 + 0.2, 0.3]; // 30 cm read in two pieces: the last bit differs
    expect(new Set(heights).size).toBeGreaterThan(1);
    expect(leastSquaresLine(points(heights, [1, 2, 3]))).toBeUndefined();
  });

  it('leaves less than any line beside it', () => {
    const between = draws(11);
    for (let i = 0; i < 40; i += 1) {
      const drawn = Array.from({ length: 6 }, () => ({ x: between(0.01, 1), y: between(1, 100) }));
      const line = leastSquaresLine(drawn)!;
      const left = (slope: number, intercept: number) => sumOfSquares(drawn.map(({ x, y }) => y - intercept - slope * x));
      const best = left(line.slope, line.intercept);
      expectNear(sumOfSquares(line.residuals), best, 1e-9);
      for (const [a, b] of [
        [1e-3, 0],
        [-1e-3, 0],
        [0, 1e-3],
        [0, -1e-3],
      ] as const)
        expect(left(line.slope * (1 + a), line.intercept + b * 100)).toBeGreaterThan(best);
    }
  });

  it('turns with the readings: twice the loads, twice the slope; a shifted ruler, the same slope', () => {
    const between = draws(12);
    for (let i = 0; i < 40; i += 1) {
      const drawn = Array.from({ length: 5 }, () => ({ x: between(0.05, 0.1), y: between(0.1, 2) }));
      const line = leastSquaresLine(drawn)!;
      expectNear(leastSquaresLine(drawn.map(({ x, y }) => ({ x, y: 2 * y })))!.slope, 2 * line.slope, 1e-12);
      expectNear(leastSquaresLine(drawn.map(({ x, y }) => ({ x: x + 0.02, y })))!.slope, line.slope, 1e-10);
    }
  });
});
