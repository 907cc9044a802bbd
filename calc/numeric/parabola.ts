/** a(x) = constant + linear × x + square × x²: an acceleration over the speed, or any other parabola. */
export interface Parabola {
  readonly constant: number;
  readonly linear: number;
  readonly square: number;
}

export const valueAt = ({ constant, linear, square }: Parabola, x: number): number => constant + x * (linear + x * square);

/**
 * Where a parabola is zero, from small to large: none, one or two places, without the cancellation of the schoolbook formula.
 * Source: W. H. Press et al., Numerical Recipes, 3rd edition, 5.6.
 */
export function zerosOf({ constant, linear, square }: Parabola): number[] {
  if (square === 0) return linear === 0 ? [] : [-constant / linear];
  const discriminant = linear * linear - 4 * square * constant;
  if (discriminant < 0) return [];
  const q = -(linear + (linear < 0 ? -1 : 1) * Math.sqrt(discriminant)) / 2;
  if (q === 0) return [0];
  return [q / square, constant / q].sort((a, b) => a - b);
}

/** Where two parabolas meet. */
export const meetings = (a: Parabola, b: Parabola): number[] =>
  zerosOf({ constant: a.constant - b.constant, linear: a.linear - b.linear, square: a.square - b.square });

/**
 * Time in which x goes from one value up to another when dx/dt is a parabola of x that is positive all the way and opens downwards (or is
 * a line): the integral of dx/a(x) in closed form, written so that neither a straight line nor a constant is a special case.
 *
 *     t = 2·artanh(s·q)/s,  q = h/(2a₁ + b₁h),  s = √(b₁² − 4a₁c)
 *
 * with h the way, a₁ and b₁ value and slope of the parabola at its beginning, c its square part.
 * Source: the standard integral of 1/(a + bx + cx²), Gradshteyn and Ryzhik, 2.172, between limits by the addition theorem of artanh.
 */
export function timeAcross(speed: Parabola, from: number, to: number): number {
  const { value, slope, root } = startOf(speed, from);
  const q = (to - from) / (2 * value + slope * (to - from));
  return root === 0 ? 2 * q : (2 * Math.atanh(root * q)) / root;
}

/** The value that x has a time after it had `from`: `timeAcross` turned round. */
export function valueAfter(speed: Parabola, from: number, time: number): number {
  const { value, slope, root } = startOf(speed, from);
  const q = root === 0 ? time / 2 : Math.tanh((root * time) / 2) / root;
  return from + (2 * value * q) / (1 - slope * q);
}

function startOf(speed: Parabola, from: number): { value: number; slope: number; root: number } {
  const value = valueAt(speed, from);
  const slope = speed.linear + 2 * speed.square * from;
  return { value, slope, root: Math.sqrt(Math.max(0, slope * slope - 4 * value * speed.square)) };
}
