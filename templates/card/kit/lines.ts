/** Lines and shapes: the pure part of the kit. */
import { curveLinear, curveMonotoneX, line as d3line } from 'd3-shape';
import { type Box, type CircleMark, type Mark, type PathMark, type RectMark, round } from '../scene.ts';
import { strokes, type Tone } from '../theme.ts';

export type Point = readonly [x: number, y: number];

export interface LineStyle {
  readonly tone?: Tone;
  readonly width?: number;
  /** As SVG writes it: "4 4". */
  readonly dash?: string;
  readonly name?: string;
}
export interface ShapeStyle extends LineStyle {
  readonly fill?: Tone;
  /** Of the fill: 1 is solid, a wash is about 0.3. */
  readonly opacity?: number;
  /** Radius of a rectangle's corners. */
  readonly r?: number;
}

const drawn = (style: ShapeStyle) => ({
  fill: style.fill ?? 'none',
  fillOpacity: style.opacity ?? 1,
  stroke: style.tone ?? 'none',
  strokeWidth: style.width ?? strokes.line,
  dash: style.dash ?? '',
  name: style.name ?? '',
});

/** One corner of a path, rounded as the SVG has it. */
export const xy = (x: number, y: number): string => `${round(x)},${round(y)}`;
/** A closed outline through points. */
export const outline = (points: readonly Point[]): string => `M${points.map(([x, y]) => xy(x, y)).join('L')}Z`;

export const path = (d: string, style: ShapeStyle = {}): PathMark => ({ kind: 'path', d, ...drawn(style) });

export const rect = ({ x, y, w, h }: Box, style: ShapeStyle = {}): RectMark => ({
  kind: 'rect',
  x: round(x),
  y: round(y),
  w: round(Math.max(0, w)),
  h: round(Math.max(0, h)),
  r: round(style.r ?? 0),
  ...drawn(style),
});

export const circle = (cx: number, cy: number, r: number, style: ShapeStyle = {}): CircleMark => ({
  kind: 'circle',
  cx: round(cx),
  cy: round(cy),
  r: round(r),
  ...drawn(style),
});

export const rule = (x1: number, y1: number, x2: number, y2: number, style: LineStyle = {}): PathMark =>
  path(`M${xy(x1, y1)}L${xy(x2, y2)}`, { tone: 'rule', width: strokes.hair, ...style });

const through = (points: readonly (Point | null)[], smooth: boolean): string =>
  d3line<Point | null>()
    .defined((point) => point !== null)
    .x((point) => round(point![0]))
    .y((point) => round(point![1]))
    .curve(smooth ? curveMonotoneX : curveLinear)
    .digits(2)(points) ?? '';

/** Straight from point to point; null breaks the line. */
export const polyline = (points: readonly (Point | null)[], style: ShapeStyle = {}): PathMark =>
  path(through(points, false), { tone: 'text', ...style });

/** A smooth line that never overshoots its points (x has to rise): a flight path, a motion. */
export const curve = (points: readonly (Point | null)[], style: ShapeStyle = {}): PathMark =>
  path(through(points, true), { tone: 'light', width: strokes.bold, ...style });

/** A triangle whose tip is the point given; it points down unless told. */
export function marker(
  x: number,
  y: number,
  style: { readonly points?: 'down' | 'up' | 'left' | 'right'; readonly size?: number; readonly tone?: Tone; readonly name?: string } = {},
): PathMark {
  const { points = 'down', size = 12, tone = 'heavy', name = 'here' } = style;
  const half = 0.6 * size;
  const corners: { readonly [way: string]: readonly [Point, Point] } = {
    down: [
      [x - half, y - size],
      [x + half, y - size],
    ],
    up: [
      [x - half, y + size],
      [x + half, y + size],
    ],
    left: [
      [x + size, y - half],
      [x + size, y + half],
    ],
    right: [
      [x - size, y - half],
      [x - size, y + half],
    ],
  };
  return path(outline([[x, y], ...corners[points]!]), { fill: tone, name });
}

export function arrow(x1: number, y1: number, x2: number, y2: number, style: LineStyle = {}): Mark[] {
  const length = Math.hypot(x2 - x1, y2 - y1) || 1;
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  const head = Math.min(11, length / 2);
  const corner = (side: number): Point => [x2 - head * ux - side * 0.6 * head * uy, y2 - head * uy + side * 0.6 * head * ux];
  const tone = style.tone ?? 'heavy';
  return [
    rule(x1, y1, x2 - 0.8 * head * ux, y2 - 0.8 * head * uy, { width: strokes.bold, ...style, tone }),
    path(outline([[x2, y2], corner(-1), corner(1)]), { fill: tone, name: style.name ?? '' }),
  ];
}

/** A target: washed, with a firm line at both of its ends. */
export function band(
  { x, y, w, h }: Box,
  style: { readonly tone?: Tone; readonly ends?: 'sides' | 'top and bottom'; readonly name?: string } = {},
): Mark[] {
  const { tone = 'good', ends = 'sides', name = 'band' } = style;
  const edge: LineStyle = { tone, width: strokes.line };
  const edges =
    ends === 'sides'
      ? [rule(x, y, x, y + h, edge), rule(x + w, y, x + w, y + h, edge)]
      : [rule(x, y, x + w, y, edge), rule(x, y + h, x + w, y + h, edge)];
  return [rect({ x, y, w, h }, { fill: tone, opacity: 0.5, name }), ...edges];
}

/** A line with a bob; the bob's tip is at `y2`. */
export function plumb(x: number, y1: number, y2: number, style: { readonly tone?: Tone; readonly name?: string } = {}): Mark[] {
  const { tone = 'heavy', name = 'plumb' } = style;
  const top = y2 - 21;
  const bob: Point[] = [
    [x, y2],
    [x - 6.5, top + 6],
    [x - 4, top],
    [x + 4, top],
    [x + 6.5, top + 6],
  ];
  return [rule(x, y1, x, top, { tone, width: strokes.line }), path(outline(bob), { fill: tone, name })];
}
