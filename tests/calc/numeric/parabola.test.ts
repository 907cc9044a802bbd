import { describe, expect, it } from 'vitest';
import { integrate } from '../../../calc/numeric/ode.ts';
import { meetings, type Parabola, timeAcross, valueAfter, valueAt, zerosOf } from '../../../calc/numeric/parabola.ts';
import { draws, expectNear } from '../../support/book.ts';

const parabola = (constant: number, linear: number, square: number): Parabola => ({ constant, linear, square });

describe('zerosOf', () => {
  it('finds the places from which a parabola was built', () => {
    // Second method: the zeros are chosen, and the parabola multiplied out of them.
    const between = draws(11);
    for (let i = 0; i < 100; i += 1) {
      const [a, b, c] = [between(0.01, 10), between(11, 1e4), between(0.1, 10)];
      const [low, high] = zerosOf(parabola(-a * b * c, c * (b - a), c)) as [number, number]; // c·(x − a)·(x + b)
      expectNear(low, -b, 1e-12);
      expectNear(high, a, 1e-12);
    }
  });

  it('keeps the small zero beside a large one', () => {
    // By hand, x² − 10⁸·x + 1: the small zero is 1.000 000 000 000 000 1e-8; the schoolbook formula gives 7.45e-9.
    expectNear(zerosOf(parabola(1, -1e8, 1))[0], 1e-8, 1e-15);
  });

  it('knows straight lines, constants and parabolas without zeros', () => {
    expect(zerosOf(parabola(6, -2, 0))).toEqual([3]);
    expect(zerosOf(parabola(6, 0, 0))).toEqual([]);
    expect(zerosOf(parabola(1, 0, 1))).toEqual([]);
    expect(zerosOf(parabola(0, 0, 2))).toEqual([0]);
  });

  it('finds where two parabolas meet', () => {
    for (const x of meetings(parabola(5, -1, -0.2), parabola(3, 0.5, -0.4)))
      expectNear(valueAt(parabola(5, -1, -0.2), x), valueAt(parabola(3, 0.5, -0.4), x), 1e-12);
    expect(meetings(parabola(5, -1, -0.2), parabola(3, 0.5, -0.4))).toHaveLength(2);
  });
});

describe('timeAcross', () => {
  it('knows the plain cases: constant acceleration, a first-order rise, a fall against the air', () => {
    // By hand: ∫dx/4 from 1 to 9; ∫dx/(10 − 2x) is a logarithm; ∫dx/(g·(1 − x²/44²)) an inverse hyperbolic tangent.
    expectNear(timeAcross(parabola(4, 0, 0), 1, 9), 2);
    expectNear(timeAcross(parabola(10, -2, 0), 0, 4), Math.log(5) / 2);
    expectNear(timeAcross(parabola(9.8, 0, -9.8 / 44 ** 2), 0, 22), (44 / 9.8) * Math.atanh(0.5));
    expectNear(valueAfter(parabola(4, 0, 0), 1, 2), 9);
    // Straight lines that are almost constants must not lose their digits.
    expectNear(timeAcross(parabola(4, -1e-14, 0), 0, 8), 2, 1e-13);
  });

  it('agrees with the differential equation solved step by step, and turns round', () => {
    // Second method: dx/dt solved step by step with error control.
    const between = draws(42);
    for (let i = 0; i < 50; i += 1) {
      const speed = parabola(between(0.5, 50), -between(0.01, 5), -between(1e-4, 1));
      const end = zerosOf(speed).find((zero) => zero > 0)!;
      const [from, to] = [end * between(0.01, 0.4), end * between(0.5, 0.98)];
      const time = timeAcross(speed, from, to);
      const course = integrate((_, [x]) => [valueAt(speed, x!)], 0, [from], 1.1 * time, { until: (_, [x]) => x! - to });
      expectNear(time, course.time, 1e-7);
      expectNear(valueAfter(speed, from, time), to, 1e-12);
      expectNear(valueAfter(speed, from, 0.3 * time), course.at(0.3 * time)[0]!, 1e-7);
    }
  });
});
