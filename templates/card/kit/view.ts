/** Real things on a card: lengths in mm put into a box with one factor both ways, and words that would stand on each other moved apart. */
import type { Box } from '../scene.ts';
import type { Point } from './lines.ts';

export interface View {
  /** Units of the card for one mm. */
  readonly factor: number;
  /** Where a place stands on the card: x grows to the right, y upwards. */
  readonly at: (x: number, y: number) => Point;
}

/** The largest view in which all these places lie in the box; it stands in the middle, or low in it (`low`: on a common ground). */
export function view(box: Box, places: readonly Point[], stands: 'middle' | 'low' = 'middle'): View | null {
  const [xs, ys] = [places.map(([x]) => x), places.map(([, y]) => y)];
  const [left, right, bottom, top] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const factor = Math.min(box.w / (right - left), box.h / (top - bottom));
  if (!Number.isFinite(factor) || factor <= 0) return null;
  const x0 = box.x + (box.w - factor * (right - left)) / 2 - factor * left;
  const y0 = box.y + box.h - (stands === 'low' ? 0 : (box.h - factor * (top - bottom)) / 2) + factor * bottom;
  return { factor, at: (x, y) => [x0 + factor * x, y0 - factor * y] };
}

/** The places nearest to those wanted, in their order, at least `air` apart and within `bounds`. */
export function apart(wanted: readonly number[], air: number, [low, high]: readonly [number, number]): number[] {
  const placed: number[] = [];
  for (const [i, place] of wanted.entries()) placed.push(Math.max(place, low + i * air, (placed.at(-1) ?? Number.NEGATIVE_INFINITY) + air));
  for (let i = placed.length - 1; i >= 0; i--)
    placed[i] = Math.min(placed[i]!, high - (placed.length - 1 - i) * air, (placed[i + 1] ?? Number.POSITIVE_INFINITY) - air);
  return placed;
}
