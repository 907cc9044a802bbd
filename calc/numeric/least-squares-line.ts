/** A straight line through scattered points, and how well it is known. */
export interface Line {
  readonly slope: number;
  readonly intercept: number;
  /** The mean of the points. The line passes through it; reckoning from here keeps the digits that `intercept` may lose. */
  readonly centre: { readonly x: number; readonly y: number };
  /** y − line, in the order of the points. */
  readonly residuals: readonly number[];
  /** √(Σ residual² / (n − 2)); undefined for two points, which leave nothing to judge the scatter by. So are the two errors below. */
  readonly scatter: number | undefined;
  /** Standard error of the slope. */
  readonly slopeError: number | undefined;
  /** Standard error of the intercept. */
  readonly interceptError: number | undefined;
}

/** Places nearer to each other than this share of their size are one place: the same reading in another unit differs in the last bits. */
const SAME_PLACE = 1e-12;

/**
 * Least squares line of y on x: the scatter is in y alone, every point counts the same.
 *
 * Sums are taken about the mean, so that readings far from zero (a height of 78.2 mm against one of 78.4) keep their digits.
 * Undefined when all x are the same (or there are fewer than two points): no line then. The caller knows the sentence for its readings.
 *
 * Source: JCGM 100:2008, H.3.2, equations H.13a to H.13f, written about the mean.
 */
export function leastSquaresLine(points: readonly { readonly x: number; readonly y: number }[]): Line | undefined {
  const n = points.length;
  if (n < 2) return undefined;
  const centre = { x: mean(points.map((p) => p.x)), y: mean(points.map((p) => p.y)) };
  let xx = 0;
  let xy = 0;
  for (const { x, y } of points) {
    xx += (x - centre.x) ** 2;
    xy += (x - centre.x) * (y - centre.y);
  }
  const size = Math.max(...points.map((p) => Math.abs(p.x)));
  if (!(xx > n * (SAME_PLACE * size) ** 2)) return undefined;

  const slope = xy / xx;
  const residuals = points.map(({ x, y }) => y - centre.y - slope * (x - centre.x));
  const scatter = n > 2 ? Math.sqrt(residuals.reduce((sum, r) => sum + r * r, 0) / (n - 2)) : undefined;
  return {
    slope,
    intercept: centre.y - slope * centre.x,
    centre,
    residuals,
    scatter,
    slopeError: scatter === undefined ? undefined : scatter / Math.sqrt(xx),
    interceptError: scatter === undefined ? undefined : scatter * Math.sqrt(1 / n + centre.x ** 2 / xx),
  };
}

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
