/** What the tests of formulas share: a printed value compared to its last digit, and seeded draws for the shape of a formula. */
import { expect } from 'vitest';
import { isAbsent } from '../../calc/formula.ts';

/** The result agrees with a book's printed number: within half a unit of its last digit ("4.13", "2.060e-3", "26500" is exact to 1). */
export function expectPrinted(value: unknown, printed: string, unit = 1): void {
  const [, decimals = '', exponent = '0'] =
    /^-?\d+(?:\.(\d+))?(?:e([-+]?\d+))?$/.exec(printed) ?? expect.fail(`"${printed}" is no printed number`);
  const half = 0.5 * 10 ** (Number(exponent) - decimals.length);
  const shown = numberOf(value) / unit;
  expect(Math.abs(shown - Number(printed)), `${shown} against the printed ${printed}`).toBeLessThanOrEqual(half * (1 + 1e-9));
}

/** Within a share of the value; both zero agree. */
export function expectNear(value: unknown, expected: number, relative = 1e-12): void {
  const got = numberOf(value);
  expect(Math.abs(got - expected), `${got} against ${expected}`).toBeLessThanOrEqual(
    relative * Math.max(Math.abs(expected), Number.MIN_VALUE),
  );
}

/** The number of a result that may be absent or left out. */
export function numberOf(value: unknown): number {
  if (typeof value === 'number') return value;
  return expect.fail(`expected a number, got ${isAbsent(value) ? `absent: ${value.absent}` : String(value)}`);
}

/** Numbers between two bounds, even in their logarithm, the same ones in every run (mulberry32). */
export function draws(seed: number): (low: number, high: number) => number {
  let state = seed >>> 0;
  const random = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  return (low, high) => low * (high / low) ** random();
}

/** The result goes with a power of one input: seeded draws of all inputs, that one multiplied by a drawn factor. */
export function expectPower<I extends object>(
  result: (inputs: I) => unknown,
  draw: (between: (low: number, high: number) => number) => I,
  name: keyof I & string,
  power: number,
  factors: readonly [number, number] = [0.5, 2],
): void {
  const between = draws([...name].reduce((sum, letter) => sum * 31 + letter.charCodeAt(0), 7));
  for (let i = 0; i < 40; i += 1) {
    const inputs = draw(between);
    const factor = between(...factors);
    const before = numberOf(result(inputs));
    const after = numberOf(result({ ...inputs, [name]: (inputs[name] as number) * factor }));
    expectNear(after, before * factor ** power, 1e-9);
  }
}
