/** A card as plain data: marks in the order in which they are drawn. The template (template.ts) is the only place that writes SVG. */
import type { Weight } from './metrics.ts';
import type { TextTone, Tone } from './theme.ts';

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
}

interface Drawn {
  readonly fill: Tone;
  readonly fillOpacity: number;
  readonly stroke: Tone;
  readonly strokeWidth: number;
  /** '' for a continuous line. */
  readonly dash: string;
  /** What it stands for, for tests and readers of the SVG ("here", "band"); '' where it needs no name. */
  readonly name: string;
}
export interface PathMark extends Drawn {
  readonly kind: 'path';
  readonly d: string;
}
export interface RectMark extends Drawn, Box {
  readonly kind: 'rect';
  readonly r: number;
}
export interface CircleMark extends Drawn {
  readonly kind: 'circle';
  readonly cx: number;
  readonly cy: number;
  readonly r: number;
}
export interface TextMark {
  readonly kind: 'text';
  /** Start, middle or end of the baseline, after `anchor`. */
  readonly x: number;
  readonly y: number;
  readonly string: string;
  readonly size: number;
  readonly weight: Weight;
  readonly tone: TextTone;
  readonly anchor: 'start' | 'middle' | 'end';
  /** Where the text stands: left edge, cap line, advance width, cap height plus descender. */
  readonly extent: Box;
  /** The room it was given; the extent lies within. */
  readonly room: Box;
}
export type Mark = PathMark | RectMark | CircleMark | TextMark;
/** Functions of the kit give one mark or several; nest them freely. */
export type Marks = Mark | readonly Marks[];

export const flat = (marks: Marks): Mark[] => (isList(marks) ? marks.flatMap(flat) : [marks]);
const isList = (marks: Marks): marks is readonly Marks[] => Array.isArray(marks);

/** Two decimals of a unit: a two-hundredth of a px, and the SVG's text stays the same on every machine. */
export const round = (value: number): number => {
  const rounded = Math.round(value * 100) / 100;
  return rounded === 0 ? 0 : rounded;
};
