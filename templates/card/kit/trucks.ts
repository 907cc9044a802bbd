/** Parts of a truck, of our own drawing: wheels, arms, springs, shocks, the truck itself, and what it leaves on the ground. */
import { flat, type Mark, round } from '../scene.ts';
import { strokes, type Tone } from '../theme.ts';
import { circle, type LineStyle, outline, type Point, path, polyline, rect, rule, xy } from './lines.ts';

/** A desert tyre in side view: tread blocks, carcass, rim. */
export function wheel(x: number, y: number, r: number, style: { readonly tone?: Tone; readonly name?: string } = {}): Mark[] {
  const { tone = 'text', name = 'wheel' } = style;
  const lugs = 2 * Math.round(Math.max(16, r / 1.4) / 2);
  const tread = Array.from({ length: lugs }, (_, i) => {
    const at = (radius: number, turn: number): Point => {
      const angle = (2 * Math.PI * i) / lugs + turn;
      return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)];
    };
    const half = Math.PI / lugs / 1.7;
    return outline([at(0.82 * r, -1.15 * half), at(r, -half), at(r, half), at(0.82 * r, 1.15 * half)]);
  }).join('');
  return [
    path(tread, { fill: tone }),
    circle(x, y, 0.85 * r, { fill: tone, name }),
    circle(x, y, 0.52 * r, { fill: 'ground' }),
    circle(x, y, 0.4 * r, { tone, width: round(Math.max(1.5, 0.1 * r)) }),
    circle(x, y, 0.14 * r, { fill: tone }),
  ];
}

/** The table or the track: a line with short strokes below it. */
export function ground(x1: number, x2: number, y: number, style: LineStyle = {}): Mark[] {
  const strokesBelow = Array.from(
    { length: Math.max(0, Math.floor((x2 - x1) / 14)) },
    (_, i) => `M${xy(x1 + 10 + 14 * i, y + 2)}l-6,6`,
  ).join('');
  return [
    path(strokesBelow, { tone: 'rule', width: strokes.hair }),
    rule(x1, y, x2, y, { width: strokes.line, ...style, tone: style.tone ?? 'muted' }),
  ];
}

/** An arm, a link, a beam between two pivots. */
export function link(from: Point, to: Point, style: LineStyle = {}): Mark[] {
  const tone = style.tone ?? 'text';
  const pivot = ([x, y]: Point): Mark[] => [
    circle(x, y, 6, { fill: 'ground', tone, width: strokes.line, name: style.name ?? 'pivot' }),
    circle(x, y, 1.8, { fill: tone }),
  ];
  return [rule(from[0], from[1], to[0], to[1], { width: 5, ...style, tone }), ...pivot(from), ...pivot(to)];
}

/** A coil spring between two points; `r` is half its width. */
export function spring(from: Point, to: Point, style: { readonly turns?: number; readonly r?: number; readonly tone?: Tone } = {}): Mark {
  const { turns = 6, r = 9, tone = 'light' } = style;
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const length = Math.hypot(dx, dy) || 1;
  const coils = Array.from({ length: 2 * turns }, (_, i): Point => {
    const along = (i + 0.5) / (2 * turns);
    const side = i % 2 === 0 ? r : -r;
    return [from[0] + along * dx - (side * dy) / length, from[1] + along * dy + (side * dx) / length];
  });
  return polyline([from, ...coils, to], { tone, width: strokes.line });
}

/** A shock: its body hangs from the upper eye, the shaft reaches to the lower one. */
export function damper(upper: Point, lower: Point, style: { readonly r?: number; readonly tone?: Tone } = {}): Mark[] {
  const { r = 7, tone = 'text' } = style;
  const [dx, dy] = [lower[0] - upper[0], lower[1] - upper[1]];
  const length = Math.hypot(dx, dy) || 1;
  const at = (along: number, side: number): Point => [
    upper[0] + along * dx - (side * dy) / length,
    upper[1] + along * dy + (side * dx) / length,
  ];
  return [
    rule(upper[0], upper[1], lower[0], lower[1], { tone, width: strokes.bold }),
    path(outline([at(0.1, r), at(0.62, r), at(0.62, -r), at(0.1, -r)]), { fill: 'panel', tone, width: strokes.line }),
    circle(upper[0], upper[1], 4, { fill: 'ground', tone, width: strokes.line }),
    circle(lower[0], lower[1], 4, { fill: 'ground', tone, width: strokes.line }),
  ];
}

/**
 * A desert truck in side view: its axles stand at `front` and `rear` (it faces the way its front is), its wheels have the radius `r`. The
 * body is drawn from the wheelbase and keeps its proportions. `pitch` turns the whole about the middle between the axles, in radians, nose
 * up positive.
 */
export function truck(
  front: number,
  rear: number,
  axle: number,
  r: number,
  style: { readonly tone?: Tone; readonly pitch?: number; readonly name?: string } = {},
): Mark[] {
  const { tone = 'muted', pitch = 0, name = 'truck' } = style;
  const base = rear - front;
  const size = Math.abs(base);
  const [sin, cos] = [Math.sin(pitch) * Math.sign(base), Math.cos(pitch)];
  const point = (along: number, up: number): Point => {
    const [x, y] = [front + along * base, axle - up * size];
    const [dx, dy] = [x - (front + rear) / 2, y - axle];
    return pitch === 0 ? [x, y] : [x - dx + dx * cos - dy * sin, axle + dx * sin + dy * cos];
  };
  const at = (along: number, up: number): string => xy(...point(along, up));
  // Facing right, the arches turn the other way round.
  const arch = (along: number, up: number): string => `A${round(0.2 * size)},${round(0.2 * size)} 0 0 ${base > 0 ? 0 : 1} ${at(along, up)}`;
  const body = [
    `M${at(-0.29, 0.12)}Q${at(-0.3, 0.21)} ${at(-0.24, 0.225)}`,
    `L${at(0.13, 0.275)}L${at(0.27, 0.43)}Q${at(0.285, 0.45)} ${at(0.32, 0.45)}L${at(0.58, 0.45)}Q${at(0.62, 0.45)} ${at(0.635, 0.425)}`,
    `L${at(0.7, 0.285)}L${at(1.22, 0.285)}Q${at(1.26, 0.285)} ${at(1.26, 0.25)}L${at(1.25, 0.14)}L${at(1.19, 0.12)}`,
    `${arch(0.81, 0.09)}L${at(0.2, 0.08)}${arch(-0.19, 0.11)}Z`,
  ].join('');
  const panes = `M${at(0.2, 0.29)}L${at(0.305, 0.41)}L${at(0.44, 0.41)}L${at(0.44, 0.29)}ZM${at(0.475, 0.29)}L${at(0.475, 0.41)}L${at(0.575, 0.41)}Q${at(0.595, 0.41)} ${at(0.605, 0.39)}L${at(0.65, 0.29)}Z`;
  return flat([
    rule(...point(0.63, 0.43), ...point(1.02, 0.29), { tone, width: strokes.line }),
    path(body, { fill: tone, name }),
    path(panes, { fill: 'ground' }),
    [point(0, 0), point(1, 0)].map(([x, y]) => [circle(x, y, r + 2.5, { fill: 'ground' }), wheel(x, y, r, { tone: 'text' })]),
  ]);
}

/** A centre of gravity, as drawings mark it: a disc in four quarters, two of them dark. */
export function centre(x: number, y: number, r: number, style: { readonly tone?: Tone; readonly name?: string } = {}): Mark[] {
  const { tone = 'heavy', name = 'centre' } = style;
  const quarter = (sx: 1 | -1, sy: 1 | -1): string =>
    `M${xy(x, y)}L${xy(x + sx * r, y)}A${round(r)},${round(r)} 0 0 ${sx * sy > 0 ? 1 : 0} ${xy(x, y + sy * r)}Z`;
  return [
    circle(x, y, r, { fill: 'ground', tone, width: strokes.line, name }),
    path(quarter(1, -1), { fill: tone }),
    path(quarter(-1, 1), { fill: tone }),
  ];
}

/** Breadth over length of a tyre's print. */
const printShape = 0.78;

/** A tyre's print in the sand, seen from above, rolling up and down the card; its outline encloses `area`. */
export function print(x: number, y: number, area: number, style: { readonly tone?: Tone; readonly name?: string } = {}): Mark[] {
  const { tone = 'muted', name = 'print' } = style;
  // Area of a rectangle h · sh with corners of radius c·h: h² (s − (4 − π) c²).
  const corner = 0.16;
  const h = Math.sqrt(area / (printShape - (4 - Math.PI) * corner ** 2));
  const w = printShape * h;
  const chevrons = [-0.32, -0.08, 0.16, 0.4].map((up): Point[] => [
    [x - w / 2 + 0.5, y + (up + 0.02) * h],
    [x, y + (up - 0.14) * h],
    [x + w / 2 - 0.5, y + (up + 0.02) * h],
  ]);
  const groove = { tone: 'ground', width: round(0.055 * h) } as const;
  return [
    rect({ x: x - w / 2, y: y - h / 2, w, h }, { fill: tone, r: corner * h, name }),
    ...chevrons.map((points) => polyline(points, groove)),
    rule(x, y - h / 2, x, y + h / 2, groove),
  ];
}
