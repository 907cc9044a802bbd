import { describe, expect, it } from 'vitest';
import { root } from '../../../calc/numeric/root.ts';
import { draws, expectNear } from '../../support/book.ts';

type Problem = readonly [what: string, f: (x: number) => number, low: number, high: number, root: number];

/** Counts what a search asks of its function. */
function counted(f: (x: number) => number): { f: (x: number) => number; calls: () => number } {
  let calls = 0;
  return {
    f: (x) => {
      calls += 1;
      return f(x);
    },
    calls: () => calls,
  };
}

// G. E. Alefeld, F. A. Potra, Y. Shi, Algorithm 748: Enclosing Zeros of Continuous Functions, ACM TOMS 21 (1995) 327–344, table 1;
// the roots as printed in public test tables of that article (printed values seen; 18 digits there, here as many as a double holds).
const poles = (x: number): number => {
  let sum = 0;
  for (let i = 1; i <= 20; i += 1) sum += (2 * i - 5) ** 2 / (x - i * i) ** 3;
  return -2 * sum;
};
const exponential = (n: number) => (x: number) => 2 * x * Math.exp(-n) - 2 * Math.exp(-n * x) + 1;
const square = (n: number) => (x: number) => (1 + (1 - n) ** 2) * x - (1 - n * x) ** 2;
const power = (n: number) => (x: number) => x * x - (1 - x) ** n;
const quartic = (n: number) => (x: number) => (1 + (1 - n) ** 4) * x - (1 - n * x) ** 4;
const mixed = (n: number) => (x: number) => Math.exp(-n * x) * (x - 1) + x ** n;
const jump = (n: number) => (x: number) => (x <= 0 ? -n / 20 : (n / 20) * (x / 1.5 + Math.sin(x) - 1));

const problems: readonly Problem[] = [
  ['sin x − x/2', (x) => Math.sin(x) - x / 2, Math.PI / 2, Math.PI, 1.895494267033981],
  ['twenty poles, between 1 and 4', poles, 1 + 1e-9, 4 - 1e-9, 3.0229153472730568],
  ['twenty poles, between 4 and 9', poles, 4 + 1e-9, 9 - 1e-9, 6.6837535608080785],
  ['twenty poles, between 9 and 16', poles, 9 + 1e-9, 16 - 1e-9, 11.238701655002211],
  ['twenty poles, between 81 and 100', poles, 81 + 1e-9, 100 - 1e-9, 90.00886853916667],
  ['x⁴ − 0.2', (x) => x ** 4 - 0.2, 0, 5, 0.668740304976422],
  ['x¹² − 0.2', (x) => x ** 12 - 0.2, 0, 5, 0.8744852722211679],
  ['sin x − 1/2', (x) => Math.sin(x) - 0.5, 0, 1.5, Math.PI / 6],
  ['exponential, n = 1', exponential(1), 0, 1, 0.4224777096412367],
  ['exponential, n = 5', exponential(5), 0, 1, 0.13825715505682407],
  ['exponential, n = 20', exponential(20), 0, 1, 0.03465735902085385],
  ['exponential, n = 100', exponential(100), 0, 1, 0.006931471805599454],
  ['parabola, n = 5', square(5), 0, 1, 0.0384025518406219],
  ['parabola, n = 20', square(20), 0, 1, 0.0024937500390620117],
  ['power, n = 5', power(5), 0, 1, 0.34595481584824206],
  ['power, n = 20', power(20), 0, 1, 0.16492095727644096],
  ['quartic, n = 1', quartic(1), 0, 1, 0.2755080409994844],
  ['quartic, n = 8', quartic(8), 0, 1, 0.0004108729184963954],
  ['quartic, n = 20', quartic(20), 0, 1, 0.000007668595122185337],
  ['exponential and power, n = 1', mixed(1), 0, 1, 0.401058137541547],
  ['exponential and power, n = 20', mixed(20), 0, 1, 0.5527046666784878],
  ['hyperbola, n = 20', (x) => (20 * x - 1) / (19 * x), 0.01, 1, 1 / 20],
  ['cube root', (x) => Math.cbrt(x) - Math.cbrt(3), 1, 100, 3],
  ['thirty-third root', (x) => x ** (1 / 33) - 33 ** (1 / 33), 1, 100, 33],
  ['flat up to 0, then rising', jump(1), -1000, Math.PI / 2, 0.6238065189616124],
];

describe('root', () => {
  it.each(problems)('finds the published root of %s', (_, f, low, high, expected) => {
    const search = counted(f);
    const tolerance = 1e-14 * expected;
    expect(Math.abs(root(search.f, low, high, tolerance) - expected)).toBeLessThanOrEqual(tolerance + 16 * Number.EPSILON * expected);
    expect(search.calls()).toBeLessThanOrEqual(60);
  });

  it('needs far fewer calls than halving does where the function is smooth', () => {
    const calls = problems
      .filter(([what]) => /sin|exponential|power/.test(what))
      .map(([, f, low, high, expected]) => {
        const search = counted(f);
        root(search.f, low, high, 1e-14 * expected);
        return search.calls();
      });
    expect(calls.reduce((sum, each) => sum + each, 0) / calls.length).toBeLessThan(12);
  });

  it('stays within the tolerance that was asked for', () => {
    const between = draws(748);
    for (let i = 0; i < 200; i += 1) {
      const exact = between(1e-3, 1e3);
      const steep = between(0.1, 30);
      const tolerance = between(1e-12, 1e-2);
      const found = root((x) => Math.sinh((steep * (x - exact)) / exact), exact * between(1e-3, 0.9), exact * between(1.1, 20), tolerance);
      expect(Math.abs(found - exact)).toBeLessThanOrEqual(tolerance + 4 * Number.EPSILON * exact);
    }
  });

  it('stays within it where only halving helps: a jump', () => {
    const between = draws(749);
    for (let i = 0; i < 200; i += 1) {
      const [edge, tolerance] = [between(0.01, 0.99), between(1e-9, 1e-1)];
      expect(Math.abs(root((x) => (x < edge ? -1 : 2), 0, 1, tolerance) - edge)).toBeLessThanOrEqual(tolerance + 4 * Number.EPSILON);
    }
  });

  it('gets along with roots of high order, jumps and a range given from high to low', () => {
    expect(Math.abs(root((x) => x ** 9, -1, 10, 1e-9))).toBeLessThanOrEqual(1e-9);
    expectNear(
      root((x) => (x < 0.3 ? -1 : 1), 0, 1, 1e-12),
      0.3,
      1e-11,
    );
    expectNear(
      root((x) => x * x - 2, 2, 0, 1e-15),
      Math.SQRT2,
      1e-15,
    );
    expectNear(
      root((x) => 1e-200 * (x - 3), 0, 10, 1e-15),
      3,
      1e-15,
    );
  });

  it('gives an end that is itself the root', () => {
    expect(root((x) => x, 0, 1, 0)).toBe(0);
    expect(root((x) => x - 1, 0, 1, 0)).toBe(1);
    expect(root((x) => -x, 0, 1, 0)).toBe(0);
    expect(root((x) => 1 - x, 0, 1, 0)).toBe(1);
  });

  it('says so when there is no change of sign to close in on, or no value', () => {
    expect(() => root((x) => x * x + 1, -1, 1, 1e-9)).toThrow(RangeError);
    expect(() => root((x) => Math.log(x - 0.5), 0, 1, 1e-9)).toThrow(RangeError);
  });
});
