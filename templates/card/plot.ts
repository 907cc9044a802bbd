/** A line plot that is read without a legend: direct labels, at most five ticks, and where this truck stands. */
import { scaleLinear } from 'd3-scale';
import type { AnswerValue, Curve } from '../../worksheets/engine/types.ts';
import { joined, series, unitText } from '../number.ts';
import { capital, nameWords } from '../words.ts';
import type { Kit, Point, Scale } from './kit.ts';
import type { Box, Marks } from './scene.ts';
import { sizes, strokes } from './theme.ts';

export interface Axis {
  readonly scale: Scale;
  readonly ticks: readonly number[];
}

/** A scale over these values, drawn between `from` and `to`, with at most `most` round ticks. */
export function axis(values: readonly number[], from: number, to: number, most = 5): Axis {
  const finite = values.filter(Number.isFinite);
  let [low, high] = [Math.min(...finite), Math.max(...finite)];
  // Values that differ by the dust of arithmetic only are one value.
  const largest = Math.max(Math.abs(low), Math.abs(high));
  if (high - low <= Math.max(1e-12, 1e-9 * largest)) {
    const room = largest < 1e-12 ? 1 : 0.1 * largest;
    [low, high] = [low - room, high + room];
  }
  const scale = scaleLinear().domain([low, high]).range([from, to]);
  let ticks = scale.ticks(most);
  for (let count = most - 1; ticks.length > most && count > 0; count--) ticks = scale.ticks(count);
  return { scale, ticks };
}

interface Area {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** One answer of a curve over its reading. What is plotted stands over it, the unit of x after its last figure. */
export function plot(kit: Kit, box: Box, curve: Curve, name: string, target: AnswerValue['band'] = null): Marks {
  const values = curve.answers[name] ?? [];
  const known = values.filter((value): value is number => typeof value === 'number');
  if (known.length < 2) return [];

  const [top, bottom] = [box.y + 32, box.y + box.h - 27];
  const vertical = axis(known, bottom - 4, top, Math.min(4, Math.max(2, Math.floor((bottom - top) / 28))));
  const figures = series(vertical.ticks);
  const gutter = Math.max(...figures.map((figure) => kit.widthOf(figure))) + 9;
  // Figures that leave no room for the line: then the text has to do.
  if (gutter > box.w / 2 || bottom - top < 40) return [];
  const area: Area = { left: box.x + gutter, right: box.x + box.w - 8, top, bottom };
  const horizontal = axis(curve.x, area.left + 6, area.right);
  const ticks = curve.x.every(Number.isInteger) ? horizontal.ticks.filter(Number.isInteger) : horizontal.ticks;
  const points = curve.x.map((x, i): Point | null => {
    const value = values[i];
    return typeof value === 'number' ? [horizontal.scale(x), vertical.scale(value)] : null;
  });
  const band = target && within(vertical.scale(target.high), vertical.scale(target.low), area);

  const yUnit = unitText(curve.units[name] ?? null);
  const [what, unitWords] = [capital(nameWords(name)), yUnit === '' ? '' : ` in ${yUnit}`];
  const titles = [`${what}${unitWords} over ${nameWords(curve.over)}`, `${what} over ${nameWords(curve.over)}`, `${what}${unitWords}`];
  const title = titles.find((one) => kit.widthOf(one) <= box.w) ?? what;
  const countable = points.length <= 12;
  return [
    kit.text(box.x, box.y + 13, title, { tone: 'muted', width: box.w }),
    band ? kit.band(band, { ends: 'top and bottom' }) : [],
    vertical.ticks.map((tick, i) => [
      kit.rule(area.left, vertical.scale(tick), area.right, vertical.scale(tick), { tone: 'panel' }),
      kit.text(area.left - 7, vertical.scale(tick) + 6, figures[i]!, { tone: 'muted', anchor: 'end' }),
    ]),
    kit.ruler(area.left, area.right, bottom, ticks, horizontal.scale, unitText(curve.unit)),
    kit.polyline(points, { tone: 'light', width: countable ? strokes.line : strokes.bold, name: 'curve' }),
    countable ? points.map((point) => (point === null ? [] : kit.circle(point[0], point[1], 3.5, { fill: 'light' }))) : [],
    hereMark(kit, curve, values, horizontal.scale, vertical.scale, area),
  ];
}

/** The truck's own point: a drop line to the axis, a ringed disc, and "you are here" where the line does not run. */
function hereMark(kit: Kit, curve: Curve, values: readonly (number | null)[], sx: Scale, sy: Scale, area: Area): Marks {
  if (curve.here === null) return [];
  const at = interpolated(curve.x, values, curve.here);
  if (at === null) return [];
  const [x, y] = [sx(curve.here), sy(at)];
  const label = 'you are here';
  const width = kit.widthOf(label, sizes.small, 600);
  const inside = ([left, base]: Point): Point => [
    Math.min(Math.max(area.left, left), area.right + 8 - width),
    Math.min(Math.max(area.top + 2, base), area.bottom - 7),
  ];
  const [after, before, over, under] = [x + 13, x - 13 - width, y - 12, y + 24];
  const places = [
    [after, under],
    [before, over],
    [before, under],
    [after, over],
    [after, y + 6],
    [before, y + 6],
    [x, over - 6],
    [area.right, area.bottom],
    [area.left, area.top],
  ].map(([left, base]) => inside([left!, base!]));
  const line = Array.from({ length: 60 }, (_, i): Point | null => {
    const along = curve.x[0]! + ((curve.x.at(-1)! - curve.x[0]!) * i) / 59;
    const value = interpolated(curve.x, values, along);
    return value === null ? null : [sx(along), sy(value)];
  });
  // How much of the line, and of the truck's own point, a label there would cover.
  const cost = ([left, base]: Point): number => {
    const covers = (px: number, py: number, air: number): boolean =>
      px > left - air && px < left + width + air && py > base - 12 - air && py < base + 4 + air;
    return line.filter((point) => point !== null && covers(point[0], point[1], 4)).length + (covers(x, y, 8) ? 20 : 0);
  };
  const [labelX, labelY] = places.reduce((best, place) => (cost(place) < cost(best) ? place : best));
  return [
    kit.rule(x, y, x, area.bottom, { tone: 'heavy', width: strokes.hair, dash: '3 3' }),
    kit.circle(x, y, 8.5, { fill: 'ground' }),
    kit.circle(x, y, 6.5, { fill: 'heavy', name: 'here' }),
    kit.text(labelX, labelY, label, { weight: 600, tone: 'heavy' }),
  ];
}

/** The curve's value at x, straight between its points; null outside or beside a gap. */
export function interpolated(xs: readonly number[], values: readonly (number | null)[], x: number): number | null {
  for (let i = 0; i < xs.length; i++) {
    if (xs[i] === x) return values[i] ?? null;
    const [x1, x2, y1, y2] = [xs[i]!, xs[i + 1], values[i], values[i + 1]];
    if (x2 === undefined || typeof y1 !== 'number' || typeof y2 !== 'number') continue;
    if ((x - x1) * (x - x2) < 0) return y1 + ((y2 - y1) * (x - x1)) / (x2 - x1);
  }
  return null;
}

function within(y1: number, y2: number, { left, right, top, bottom }: Area): Box | null {
  const y = Math.max(top - 4, Math.min(y1, y2));
  const end = Math.min(bottom, Math.max(y1, y2));
  return end <= y ? null : { x: left, y, w: right - left, h: end - y };
}

/** For alt texts: "Top speed rises from 40.61 at pinion 9 to 45.16 at 15, then falls to 44.50 km/h at 17." */
export function described(curve: Curve, name: string): string {
  const points = curve.x.flatMap((x, i) => {
    const value = curve.answers[name]?.[i];
    return typeof value === 'number' ? [{ x, value }] : [];
  });
  if (points.length < 2) return '';
  const values = series(points.map(({ value }) => value));
  const xs = series(points.map(({ x }) => x));
  const last = points.length - 1;
  const inner = points.map((_, i) => i).slice(1, -1);
  const peak = inner.find((i) => points.every(({ value }, k) => k === i || value < points[i]!.value));
  const dip = inner.find((i) => points.every(({ value }, k) => k === i || value > points[i]!.value));
  const turn = peak ?? dip;
  const way = (from: number, to: number): string =>
    points[to]!.value > points[from]!.value ? 'rises' : points[to]!.value < points[from]!.value ? 'falls' : 'goes';
  const end = `${joined({ number: values[last]!, unit: unitText(curve.units[name] ?? null), plusMinus: null })} at ${xs[last]}`;
  const start = `${values[0]} at ${nameWords(curve.over)} ${xs[0]}`;
  const what = capital(nameWords(name));
  if (turn === undefined) return `${what} ${way(0, last)} from ${start} to ${end}.`;
  return `${what} ${way(0, turn)} from ${start} to ${values[turn]} at ${xs[turn]}, then ${way(turn, last)} to ${end}.`;
}
