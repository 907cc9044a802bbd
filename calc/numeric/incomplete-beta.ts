import { DomainError } from '../formula.ts';

/**
 * Regularized incomplete beta function.
 *
 *     I(x; a, b) = ∫₀ˣ t^(a−1)·(1−t)^(b−1) dt / B(a, b)
 *
 * `y` is 1 − x: hand it in where it is known better than the subtraction gives it. The continued fraction is used below the mean a/(a + b), where it is
 * quick; above, I(x; a, b) = 1 − I(y; b, a), so that the thinner side keeps its relative accuracy.
 *
 * Throws: DomainError unless a and b are above zero and x and y are within 0 and 1.
 * Source: Didonato and Morris, Algorithm 708, ACM Transactions on Mathematical Software 18 (1992), 360–373; the fraction's terms by the
 *         modified Lentz method, NIST Digital Library of Mathematical Functions, 3.10.iii.
 */
export function regularizedIncompleteBeta(a: number, b: number, x: number, y = 1 - x): number {
  if (!(a > 0 && a < Infinity && b > 0 && b < Infinity)) throw new DomainError(null, 'the two parameters have to be finite and above zero');
  if (!(x >= 0 && x <= 1 && y >= 0 && y <= 1)) throw new DomainError(null, 'a part of the whole has to lie within zero and one');
  if (x === 0 || y === 0) return y === 0 ? 1 : 0;
  return a * y >= b * x ? lower(a, b, x, y) : 1 - lower(b, a, y, x);
}

const lower = (a: number, b: number, x: number, y: number): number => powers(a, b, x, y) * fraction(a, b, x, y);

/** A step of the fraction that changes the value by less than this ends it. */
const ENOUGH = 2 ** -52;
const TINY = 1e-300;
/** At a = b = 10⁹ the fraction needs about 60 000 steps. */
const MOST_STEPS = 1_000_000;

/** The continued fraction α₁/(β₁ + α₂/(β₂ + …)) of Didonato and Morris (their BFRAC). All its differences are taken where they are still exact. */
function fraction(a: number, b: number, x: number, y: number): number {
  const below = a * y - b * x;
  let whole = (a / (a + 1)) * (below + 1);
  let c = whole;
  let d = 0;
  for (let n = 1; n <= MOST_STEPS; n += 1) {
    const part = (n * (b - n) * x) / (a + 2 * n - 1);
    const alpha = (part * x * (a + n - 1) * (a + b + n - 1)) / (a + 2 * n - 1);
    const beta = n + part + ((a + n) / (a + 2 * n + 1)) * (below + 1 + n * (1 + y));
    d = 1 / away(beta + alpha * d);
    c = away(beta + alpha / c);
    whole *= c * d;
    if (Math.abs(c * d - 1) <= ENOUGH) return 1 / whole;
  }
  throw new DomainError(null, 'the incomplete beta function does not settle here');
}

const away = (value: number): number => (Math.abs(value) < TINY ? TINY : value);

/**
 * xᵃ·yᵇ / B(a, b), without the cancellation of large logarithms of the gamma function: about its peak at x = a/(a + b).
 */
function powers(a: number, b: number, x: number, y: number): number {
  const n = a + b;
  const exponent = a * logRatio(x, y, a, b) + b * logRatio(y, x, b, a) + stirlingRest(n) - stirlingRest(a) - stirlingRest(b);
  return Math.sqrt((a / n) * (b / (2 * Math.PI))) * Math.exp(exponent);
}

/** ln(x·(a + b)/a), close to the peak through the small difference. */
function logRatio(x: number, y: number, a: number, b: number): number {
  const off = (x * b - y * a) / a;
  return Math.abs(off) < 0.5 ? Math.log1p(off) : Math.log(x) - Math.log(a / (a + b));
}

/** 2n-th Bernoulli number over 2n·(2n − 1), n = 1 … 7: DLMF 5.11.1. */
const STIRLING = [1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360360, 1 / 156] as const;
/** From here the first term left out of the series, 3617/(122400·z¹⁵), is below 10⁻¹⁶. */
const SERIES_FROM = 10;

/** What Stirling's formula leaves out of ln Γ(z): ln Γ(z) − (z − ½)·ln z + z − ½·ln 2π. Below 10 by the recurrence of Γ. */
export function stirlingRest(z: number): number {
  let rest = 0;
  let at = z;
  for (; at < SERIES_FROM; at += 1) rest += (at + 0.5) * Math.log1p(1 / at) - 1;
  const inverse = 1 / (at * at);
  return rest + STIRLING.reduceRight((sum, coefficient) => sum * inverse + coefficient, 0) / at;
}
