/**
 * The drawing kit: what every card is made of, in one visual language.
 *
 * A layout is a function of an answer that gives marks (plain data); nothing here draws. y grows downwards, text stands on its baseline.
 *
 *   text     text, paragraph (broken into lines), value (number, small unit, light ±), widthOf
 *   answers  hero (the one large number), rows (further answers), verdict (sign and words), sign (the shape alone)
 *   lines    rule, polyline, curve (smooth: a flight path), arrow, plumb; shapes: rect, circle, path, band (a target), marker (you are here)
 *   scales   ruler (ticks and figures along a line), dimension (a measured distance), interval (value with its whisker), dots (a strip)
 *   trucks   wheel, ground, link (an arm between pivots), spring, damper, truck (side view), centre (of gravity), print (a tyre's, of an area)
 *   plot.ts  axis (a scale and its ticks), plot (a whole line plot of a curve)
 *   view.ts  view (lengths in mm put into a box, one factor both ways), apart (words that would touch moved apart)
 *
 * Three strokes: `hair` for scales and helpers, `line` for things, `bold` for what the card is about. Five tones of meaning: `text` and
 * `muted` for words and things, `heavy` for where the truck stands and what is acted on, `light` for what it is compared with, `good` for a
 * target; never a colour without a sign or a shape. Nothing is set under 16. Whatever could be long is given a `width` and is shortened by
 * the font's own widths. Numbers come from number.ts, never from toFixed. What a test looks for gets a `name` (it becomes a class).
 */
import { makeAnswers, sign } from './kit/answers.ts';
import * as lines from './kit/lines.ts';
import { dots, interval, makeScales } from './kit/scales.ts';
import { makeText } from './kit/text.ts';
import * as trucks from './kit/trucks.ts';
import type { Metrics } from './metrics.ts';

export type { LineStyle, Point, ShapeStyle } from './kit/lines.ts';
export type { Scale } from './kit/scales.ts';
export type { TextStyle } from './kit/text.ts';

export type Kit = ReturnType<typeof makeKit>;

export function makeKit(metrics: Metrics) {
  const words = makeText(metrics);
  return { ...words, ...makeAnswers(words), ...makeScales(words), ...lines, ...trucks, sign, interval, dots };
}
