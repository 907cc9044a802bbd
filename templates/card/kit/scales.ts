/** Scales and measured things: rulers, number lines, dimension lines, strips of points. */
import { joined, series } from '../../number.ts';
import { flat, type Mark } from '../scene.ts';
import { canvas, sizes, strokes, type Tone } from '../theme.ts';
import { circle, type LineStyle, rule } from './lines.ts';
import type { TextKit } from './text.ts';

/** From a number to a place; d3's scales are such functions. */
export type Scale = (value: number) => number;

export function makeScales({ widthOf, text }: TextKit) {
  /**
   * A level ruler: a line, ticks below it and their figures, the unit after the last one. Give at most five ticks. The last figure moves in
   * where its unit would leave the ruler's end; a figure without room is left out, its tick stays.
   */
  const ruler = (x1: number, x2: number, y: number, ticks: readonly number[], scale: Scale, unit = '', style: LineStyle = {}): Mark[] => {
    const figures = series(ticks);
    const lineStyle: LineStyle = { tone: 'muted', width: strokes.hair, ...style };
    let free = Math.min(x2 + 10, canvas.width - 6);
    const drawn = ticks
      .map((tick, i) => ({ at: scale(tick), figure: figures[i]!, last: i === ticks.length - 1 }))
      .sort((a, b) => b.at - a.at)
      .map(({ at, figure, last }) => {
        const label = last && unit !== '' ? joined({ number: figure, unit, plusMinus: null }) : figure;
        const left = Math.min(at - widthOf(figure) / 2, free - widthOf(label));
        const stands = left >= Math.max(6, x1 - 16) && left + widthOf(label) > at - 4;
        if (stands) free = left - 10;
        return [rule(at, y, at, y + 6, lineStyle), stands ? text(left, y + 22, label, { tone: 'muted' }) : []];
      });
    return flat([rule(x1, y, x2, y, lineStyle), drawn]);
  };

  /** A measured distance, level or upright: a line with ticks at both ends and its text in the middle. */
  const dimension = (x1: number, y1: number, x2: number, y2: number, label: string, style: LineStyle = {}): Mark[] => {
    const lineStyle: LineStyle = { tone: 'muted', width: strokes.hair, ...style };
    const upright = Math.abs(x2 - x1) < Math.abs(y2 - y1);
    const tick = (x: number, y: number): Mark => (upright ? rule(x - 5, y, x + 5, y, lineStyle) : rule(x, y - 5, x, y + 5, lineStyle));
    const [mx, my] = [(x1 + x2) / 2, (y1 + y2) / 2];
    const ends = [tick(x1, y1), tick(x2, y2)];
    if (upright) return [rule(x1, y1, x2, y2, lineStyle), ...ends, text(mx + 9, my + 6, label, { weight: 600 })];
    const half = widthOf(label, sizes.small, 600) / 2 + 6;
    const way = x2 > x1 ? 1 : -1;
    if (Math.abs(x2 - x1) < 2 * half + 12)
      return [rule(x1, y1, x2, y2, lineStyle), ...ends, text(mx, my - 8, label, { weight: 600, anchor: 'middle' })];
    return [
      rule(x1, y1, mx - way * half, y1, lineStyle),
      rule(mx + way * half, y2, x2, y2, lineStyle),
      ...ends,
      text(mx, my + 6, label, { weight: 600, anchor: 'middle' }),
    ];
  };

  return { ruler, dimension };
}

/** A value on a level line with its ± as a whisker; the dot stands at the value. */
export function interval(
  y: number,
  scale: Scale,
  { low, at, high }: { readonly low: number; readonly at: number; readonly high: number },
  style: { readonly tone?: Tone; readonly name?: string } = {},
): Mark[] {
  const { tone = 'heavy', name = 'value' } = style;
  const [l, h] = [scale(low), scale(high)];
  return [
    rule(l, y, h, y, { tone, width: strokes.bold }),
    rule(l, y - 6, l, y + 6, { tone, width: strokes.line }),
    rule(h, y - 6, h, y + 6, { tone, width: strokes.line }),
    circle(scale(at), y, 5, { fill: tone, name }),
  ];
}

/** Measured points over a level line (lap times, repeated weighings); near ones are piled up. */
export function dots(
  y: number,
  values: readonly number[],
  scale: Scale,
  style: { readonly tone?: Tone; readonly r?: number; readonly hollow?: boolean } = {},
): Mark[] {
  const { tone = 'text', r = 4.5, hollow = false } = style;
  const placed: number[] = [];
  return values.map((one) => {
    const x = scale(one);
    const below = placed.filter((other) => Math.abs(other - x) < 1.7 * r).length;
    placed.push(x);
    return circle(x, y - below * 2.1 * r, r, hollow ? { tone, width: strokes.line, name: 'dot' } : { fill: tone, name: 'dot' });
  });
}
