/** What the checks of the geometry share: comparing with a stated tolerance, angles in degrees, and seeded draws. */
import fc from 'fast-check';
import { expect } from 'vitest';

export const DEG = Math.PI / 180;
export const MM = 1e-3;

/** A result as a number; one that is left out or absent fails here, with its reason. */
export function known(value: unknown): number {
  if (typeof value !== 'number') throw new Error(`no number: ${JSON.stringify(value)}`);
  return value;
}

/** Within `abs`, or within `rel` of what is expected. */
export function near(value: unknown, expected: number, { abs = 0, rel = 0 }: { abs?: number; rel?: number }): void {
  const tolerance = abs + rel * Math.abs(expected);
  expect(tolerance).toBeGreaterThan(0);
  expect(Math.abs(known(value) - expected), `${known(value)} against ${expected}`).toBeLessThanOrEqual(tolerance);
}

/** The zero of a function between two places where it has opposite signs, by halving: slow, and nothing can go wrong. */
export function halved(f: (x: number) => number, low: number, high: number): number {
  const rising = f(high) > 0;
  if (f(low) > 0 === rising) throw new Error(`no change of sign between ${low} and ${high}`);
  let [a, b] = [low, high];
  for (let i = 0; i < 200 && a !== b; i += 1) {
    const middle = (a + b) / 2;
    if (f(middle) > 0 === rising) b = middle;
    else a = middle;
  }
  return (a + b) / 2;
}

/** A number drawn evenly between two bounds. */
export const between = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 1e6 }).map((n) => min + ((max - min) * n) / 1e6);

/** Runs a check on draws that are the same every time. */
export function drawn<T extends Record<string, number>>(
  bounds: { readonly [N in keyof T]: readonly [number, number] },
  check: (draw: T) => void,
): void {
  const record = Object.fromEntries(Object.entries(bounds).map(([name, [min, max]]) => [name, between(min, max)]));
  fc.assert(fc.property(fc.record(record) as unknown as fc.Arbitrary<T>, check), { seed: 8855, numRuns: 200 });
}

/** What a formula says when physics has no answer, and which input it names. */
export function refusal(call: () => unknown): { input: string | null; says: string } {
  try {
    call();
  } catch (error) {
    const { name, input, message } = error as Error & { input: string | null };
    if (name !== 'DomainError') throw error;
    return { input, says: message };
  }
  throw new Error('not refused');
}
