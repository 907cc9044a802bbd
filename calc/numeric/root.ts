/**
 * Where a function crosses zero between two places, by Brent's method: inverse quadratic or linear interpolation, kept inside a
 * bracket that bisection shrinks when interpolation is slow. It cannot leave the bracket and cannot miss the crossing.
 *
 * The answer x is within `tolerance` (in the unit of x) + 4 × 2⁻⁵² × |x| of a place where the sign changes. A place where f is exactly
 * zero is returned as it is.
 *
 * Throws: RangeError when f has the same sign at both ends, or is not a number somewhere: both are slips of the caller, who has to
 *         know a bracket before asking.
 * Source: R. P. Brent, Algorithms for Minimization without Derivatives, Prentice-Hall, 1973, ch. 4 (`zero`).
 */
export function root(f: (x: number) => number, low: number, high: number, tolerance: number): number {
  const value = (x: number): number => {
    const y = f(x);
    if (Number.isNaN(y)) throw new RangeError(`the function has no value at ${x}`);
    return y;
  };
  // Brent's own letters: b is the best place so far, a the one before it, c the one on the other side of the crossing.
  let a = low;
  let b = high;
  let fa = value(a);
  let fb = value(b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (fa > 0 === fb > 0) throw new RangeError(`no change of sign between ${low} (${fa}) and ${high} (${fb})`);
  let c = a;
  let fc = fa;
  let step = b - a;
  let stepBefore = step;
  for (;;) {
    if (Math.abs(fc) < Math.abs(fb)) [a, b, c, fa, fb, fc] = [b, c, b, fb, fc, fb];
    const near = 2 * Number.EPSILON * Math.abs(b) + tolerance / 2;
    const half = (c - b) / 2;
    // `half` of a bracket one unit in the last place wide can round to nothing that moves b: that is the end as well.
    if (fb === 0 || Math.abs(half) <= near || b + half === b || b + half === c) return b;
    const inward = interpolation(a, b, c, fa, fb, fc);
    const goodEnough =
      Math.abs(stepBefore) >= near &&
      Math.abs(fa) > Math.abs(fb) &&
      inward * Math.sign(half) > 0 &&
      2 * Math.abs(inward) < Math.min(3 * Math.abs(half) - near, Math.abs(stepBefore));
    stepBefore = goodEnough ? step : half;
    step = goodEnough ? inward : half;
    a = b;
    fa = fb;
    b += Math.abs(step) > near ? step : near * Math.sign(half);
    fb = value(b);
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      stepBefore = step;
    }
  }
}

/** The step from b to the zero of the line through a and b, or of the sideways parabola through a, b and c when they are three. */
function interpolation(a: number, b: number, c: number, fa: number, fb: number, fc: number): number {
  const s = fb / fa;
  if (a === c) return (s * (b - c)) / (1 - s);
  const q = fa / fc;
  const r = fb / fc;
  return (-s * ((c - b) * q * (q - r) - (b - a) * (r - 1))) / ((q - 1) * (r - 1) * (s - 1));
}
