import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { weighingScatter } from '../../../calc/weight/weighing-scatter.ts';
import { draws, expectNear } from '../../support/book.ts';

const ask = (first: readonly number[], again: readonly number[]) =>
  weighingScatter({
    frontLeft: si(first[0]!),
    frontRight: si(first[1]!),
    rearLeft: si(first[2]!),
    rearRight: si(first[3]!),
    again: again.map((each) => si<'kg'>(each)),
  });

/** By the definition of a standard deviation, pooled over sets of readings by their degrees of freedom (ISO 3534-1; IUPAC, 1997). */
function pooled(sets: readonly (readonly number[])[]): number {
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = sets.map((set) => set.reduce((sum, value) => sum + (value - mean(set)) ** 2, 0));
  const freedom = sets.reduce((sum, set) => sum + set.length - 1, 0);
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / freedom);
}

describe('what two weighings of the four corners say about their scatter', () => {
  it('is the pooled standard deviation of four pairs, over the root of two for a mean of two', () => {
    const between = draws(61);
    for (let i = 0; i < 100; i += 1) {
      const first = [between(0.3, 1), between(0.3, 1), between(0.5, 1.5), between(0.5, 1.5)];
      const again = first.map((each) => each + between(0.001, 0.01) - 0.004);
      const scatter = pooled(first.map((each, corner) => [each, again[corner]!]));
      expectNear(ask(first, again), scatter / Math.SQRT2, 1e-9);
    }
  });

  it('is half a gram where every corner reads one gram more the second time', () => {
    // By hand: Σd² = 4 g², s² = 4/8, s = 0.7071 g, the mean of two √½ of that: 0.5 g.
    const first = [0.612, 0.605, 0.901, 0.896];
    expectNear(
      ask(
        first,
        first.map((each) => each + 0.001),
      ),
      0.0005,
      1e-9,
    );
  });

  it('is what a throw of many weighings shows', () => {
    // Rectangular scatter of ±2 g has a standard deviation of 2/√3 g (JCGM 100:2008, 4.3.7); 4000 weighings of four corners find it to 2 %.
    const between = draws(62);
    const off = () => (Math.log(between(1, Math.E)) - 0.5) * 0.004;
    let squares = 0;
    for (let i = 0; i < 4000; i += 1) {
      const scatter = ask([0.6 + off(), 0.6 + off(), 0.9 + off(), 0.9 + off()], [0.6 + off(), 0.6 + off(), 0.9 + off(), 0.9 + off()]);
      squares += scatter ** 2;
    }
    expectNear(Math.sqrt(squares / 4000), 0.002 / Math.sqrt(3) / Math.SQRT2, 0.02);
  });

  it('is nothing when both weighings agree, and goes with their differences alone', () => {
    expect(ask([0.612, 0.605, 0.901, 0.896], [0.612, 0.605, 0.901, 0.896])).toBe(0);
    const between = draws(63);
    for (let i = 0; i < 40; i += 1) {
      const differences = [0, 1, 2, 3].map(() => between(0.0005, 0.01) - 0.003);
      const of = (factor: number, more: number) =>
        ask(
          [0.6 + more, 0.6, 0.9, 0.9],
          [0.6 + more, 0.6, 0.9, 0.9].map((each, corner) => each + factor * differences[corner]!),
        );
      expectNear(of(2, 0), 2 * of(1, 0), 1e-9);
      expectNear(of(-1, 0), of(1, 0), 1e-9);
      expectNear(of(1, 0.5), of(1, 0), 1e-9);
    }
  });

  it('wants four readings the second time', () => {
    const first = [0.612, 0.605, 0.901, 0.896];
    expect(() => ask(first, [0.612, 0.605, 0.901])).toThrow('again has to be a list of at least 4');
    expect(() => ask(first, [...first, 0.1])).toThrow(
      'the second weighing has four readings: front left, front right, rear left, rear right',
    );
  });

  it('weighs masses: newtons do not compile', () => {
    const others = { frontRight: si<'kg'>(1), rearLeft: si<'kg'>(1), rearRight: si<'kg'>(1), again: [] };
    // @ts-expect-error scales read mass
    expect(() => weighingScatter({ frontLeft: si<'N'>(1), ...others })).toThrow();
  });
});
