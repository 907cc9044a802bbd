import { DomainError } from '../formula.ts';
import { regularizedIncompleteBeta, stirlingRest } from './incomplete-beta.ts';
import { root } from './root.ts';
import { standardDeviation } from './statistics.ts';

/**
 * Student's t distribution: the chance of a value of t or less, with any degrees of freedom above zero (whole or not).
 *
 *     F(t) = 1 − ½·I(ν/(ν + t²); ν/2, ½)   for t above zero, and F(−t) = 1 − F(t)
 *
 * The lower tail keeps its relative accuracy however thin it is: ask for that of −t rather than for one minus the upper.
 *
 * Throws: DomainError unless t is a number and the degrees of freedom are finite and above zero.
 * Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.1 and 26.5.27.
 */
export function studentsT(t: number, degreesOfFreedom: number): number {
  guard(degreesOfFreedom);
  if (Number.isNaN(t)) throw new DomainError(null, 't has to be a number');
  if (Math.abs(t) < 0.5) return 0.5 + Math.sign(t) * within(Math.abs(t), degreesOfFreedom);
  return t < 0 ? beyond(-t, degreesOfFreedom) : 1 - beyond(t, degreesOfFreedom);
}

/**
 * The value of t that a share `p` of Student's distribution does not pass: `studentsTQuantile(0.975, 9)` is the 2.262 of the tables.
 *
 * The root is looked for in the logarithms of t and of the share, where the curve is nearly straight: in the tail the share is a power of t, near
 * the middle it is in proportion to t. So the relative error of t stays near 10⁻¹⁴, far out as well as close to zero.
 *
 * Throws: DomainError unless p is above zero and below one, and the degrees of freedom finite and above zero.
 * Source: root of Abramowitz and Stegun 26.7.1, by Brent's method.
 */
export function studentsTQuantile(p: number, degreesOfFreedom: number): number {
  guard(degreesOfFreedom);
  if (!(p > 0 && p < 1)) throw new DomainError(null, 'the share has to lie between zero and one');
  if (p === 0.5) return 0;
  // Both differences are exact in floating point: p − ½ between ¼ and ¾, 1 − p above.
  const inMiddle = p >= 0.25 && p <= 0.75;
  const wanted = Math.log(inMiddle ? Math.abs(p - 0.5) : Math.min(p, 1 - p));
  const share = inMiddle ? within : beyond;
  const error = (logT: number): number => Math.log(share(Math.exp(logT), degreesOfFreedom)) - wanted;
  const outward = error(0) > 0 === inMiddle ? -1 : 1;
  let [near, far] = [0, outward];
  while (error(far) > 0 === error(near) > 0) {
    if (Math.abs(far) === LARGEST_LOG) throw new DomainError(null, 'the quantile is beyond the largest number there is');
    [near, far] = [far, outward * Math.min(2 * Math.abs(far), LARGEST_LOG)];
  }
  const t = Math.exp(root(error, near, far, 1e-15));
  return p < 0.5 ? -t : t;
}

/** Beyond e^709 t is no floating-point number any more. */
const LARGEST_LOG = 709;

function guard(degreesOfFreedom: number): void {
  if (!(degreesOfFreedom > 0 && degreesOfFreedom < Infinity))
    throw new DomainError(null, 'the degrees of freedom have to be finite and above zero');
}

/** The share within 0 and t (t not below zero). Exact close to zero, where ½ − beyond would cancel. */
function within(t: number, freedom: number): number {
  const square = (t / Math.sqrt(freedom)) ** 2;
  return square > FAR
    ? 0.5 - beyond(t, freedom)
    : 0.5 * regularizedIncompleteBeta(0.5, freedom / 2, square / (1 + square), 1 / (1 + square));
}

/** The share beyond t (t not below zero). */
function beyond(t: number, freedom: number): number {
  const scaled = t / Math.sqrt(freedom);
  if (scaled * scaled > FAR) return Math.exp(-freedom * Math.log(scaled)) / (freedom * halfBeta(freedom / 2));
  return 0.5 * regularizedIncompleteBeta(freedom / 2, 0.5, 1 / (1 + scaled * scaled), (scaled * scaled) / (1 + scaled * scaled));
}

/** Where t²/ν is above this, the first term of the tail's series in ν/t² is the whole of it; t² itself would soon overflow. */
const FAR = 1e20;

/** B(a, ½) = √π·Γ(a)/Γ(a + ½), without large logarithms of Γ. */
const halfBeta = (a: number): number =>
  Math.sqrt(Math.PI / a) * Math.exp(0.5 - a * Math.log1p(0.5 / a) + stirlingRest(a) - stirlingRest(a + 0.5));

/**
 * Half the width of the two-sided interval in which the mean of what these values are drawn from lies with probability `level`: t·s/√n.
 *
 * NaN for fewer than two values: one alone does not say how far they scatter.
 *
 * Source: JCGM 100:2008, 4.2.3 and G.3.
 */
export const meanReach = (values: readonly number[], level = 0.95): number =>
  values.length < 2
    ? Number.NaN
    : (studentsTQuantile((1 + level) / 2, values.length - 1) * standardDeviation(values)) / Math.sqrt(values.length);
