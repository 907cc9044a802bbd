import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { secondWeighing } from '../../../calc/weight/second-weighing.ts';
import { draws, expectNear } from '../../support/book.ts';

type Four = readonly [number, number, number, number];
const ask = ([frontLeft, frontRight, rearLeft, rearRight]: Four, again: readonly number[]) =>
  secondWeighing({
    frontLeft: si(frontLeft),
    frontRight: si(frontRight),
    rearLeft: si(rearLeft),
    rearRight: si(rearRight),
    again: again.map((each) => si<'kg'>(each)),
  });
const shifts = (first: Four, again: readonly number[]): number[] => {
  const { frontLeftShift, frontRightShift, rearLeftShift, rearRightShift } = ask(first, again);
  return [frontLeftShift, frontRightShift, rearLeftShift, rearRightShift];
};

/** Where Σ(reading − estimate)² is least, found by thirds and not by a formula. */
function leastSquares(readings: readonly number[]): number {
  const sum = (estimate: number): number => readings.reduce((all, reading) => all + (reading - estimate) ** 2, 0);
  let [low, high] = [Math.min(...readings), Math.max(...readings)];
  for (let i = 0; i < 80; i += 1) {
    const [a, b] = [low + (high - low) / 3, high - (high - low) / 3];
    if (sum(a) < sum(b)) high = b;
    else low = a;
  }
  return (low + high) / 2;
}

describe('what a second weighing moves each corner by', () => {
  it('brings the first reading to the mean of the two', () => {
    // JCGM 100:2008, 4.2.1, equation 3: the mean of n independent readings is Σq/n. Here (612 + 610)/2 = 611 g and so on, worked on paper.
    const moved = shifts([0.612, 0.605, 0.901, 0.896], [0.61, 0.608, 0.9, 0.899]);
    for (const [i, grams] of [-1, 1.5, -0.5, 1.5].entries()) expectNear(moved[i], grams / 1000, 1e-12);
  });

  it('brings it to where the squares of what both are off are least', () => {
    // Second method: the estimate with the least sum of squares, found by search.
    const between = draws(71);
    for (let i = 0; i < 40; i += 1) {
      const first: Four = [between(0.3, 1), between(0.3, 1), between(0.5, 1.5), between(0.5, 1.5)];
      const again = first.map((reading) => reading * between(0.9, 1.1));
      shifts(first, again).forEach((shift, corner) => {
        const best = leastSquares([first[corner]!, again[corner]!]);
        expect(Math.abs(first[corner]! + shift - best)).toBeLessThan(1e-6);
      });
    }
  });

  it('is nothing when both weighings agree, and each corner minds its own scale only', () => {
    const first: Four = [0.612, 0.605, 0.901, 0.896];
    expect(shifts(first, first)).toEqual([0, 0, 0, 0]);
    for (const corner of [0, 1, 2, 3]) {
      const again = first.map((reading, i) => (i === corner ? reading + 0.004 : reading));
      shifts(first, again).forEach((shift, i) => {
        expect(Math.abs(shift - (i === corner ? 0.002 : 0))).toBeLessThan(1e-15);
      });
    }
  });

  it('goes with the difference of the two, whatever the truck weighs', () => {
    const between = draws(72);
    for (let i = 0; i < 40; i += 1) {
      const first: Four = [between(0.3, 1), between(0.3, 1), between(0.5, 1.5), between(0.5, 1.5)];
      const differences = first.map(() => between(0.001, 0.01) - 0.004);
      const once = shifts(
        first,
        first.map((reading, corner) => reading + differences[corner]!),
      );
      const twice = shifts(
        first,
        first.map((reading, corner) => reading + 2 * differences[corner]!),
      );
      const heavier = first.map((reading) => 2 * reading) as unknown as Four;
      const other = shifts(
        heavier,
        heavier.map((reading, corner) => reading + differences[corner]!),
      );
      once.forEach((shift, corner) => {
        expectNear(twice[corner], 2 * shift, 1e-9);
        expectNear(other[corner], shift, 1e-9);
      });
    }
  });

  it('wants four readings the second time', () => {
    expect(() => ask([0.612, 0.605, 0.901, 0.896], [0.61, 0.608, 0.9])).toThrow('again has to be a list of at least 4');
    expect(() => ask([0.612, 0.605, 0.901, 0.896], [0.61, 0.608, 0.9, 0.899, 0.1])).toThrow(
      'the second weighing has four readings: front left, front right, rear left, rear right',
    );
  });

  it('weighs masses: newtons do not compile', () => {
    const others = { frontRight: si<'kg'>(1), rearLeft: si<'kg'>(1), rearRight: si<'kg'>(1), again: [] };
    // @ts-expect-error scales read mass
    expect(() => secondWeighing({ frontLeft: si<'N'>(1), ...others })).toThrow();
  });
});
