/** Measured points and the straight line fitted to them, with a strip under it that shows, much enlarged, how far each point lies off it. */
import { scaleLinear } from 'd3-scale';
import { quantity, series } from '../number.ts';
import type { Kit, Point } from './kit.ts';
import { axis } from './plot.ts';
import type { Box, Marks } from './scene.ts';
import { strokes } from './theme.ts';

export interface Fit {
  readonly title: string;
  /** In the order of x. */
  readonly points: readonly { readonly x: number; readonly y: number; readonly line: number }[];
  readonly xUnit: string;
  readonly yUnit: string;
  /** Where the line meets x = 0, in words; the line is then drawn from there. */
  readonly start?: string;
  /** Whether the figures on the left begin at zero. */
  readonly fromZero?: boolean;
}

export function fitted(kit: Kit, { x, y, w, h }: Box, { title, points, xUnit, yUnit, start, fromZero = false }: Fit): Marks {
  const [first, last] = [points[0]!, points.at(-1)!];
  const slope = (last.line - first.line) / (last.x - first.x);
  const atZero = first.line - slope * first.x;
  // Where height is dear the strip goes: the worst point is an answer too.
  const strip = h > 210 ? 46 : h > 185 ? 36 : 0;
  const bottom = y + h - 27;
  // The words about the start stand on the side that the line leaves: over it where the line falls, under it where it rises.
  const plotTop = y + (start !== undefined && slope < 0 ? 50 : 30);
  const plotBottom = bottom - (strip === 0 ? 4 : strip + (h > 210 ? 38 : 32)) - (start !== undefined && slope > 0 && !fromZero ? 18 : 0);
  const values = [...points.flatMap((point) => [point.y, point.line]), atZero, ...(fromZero ? [0] : [])];
  const vertical = axis(values, plotBottom, plotTop, Math.min(4, Math.max(2, Math.floor((plotBottom - plotTop) / 28))));
  const figures = series(vertical.ticks);
  const left = x + Math.max(...figures.map((figure) => kit.widthOf(figure))) + 9;
  const right = x + w - 8;
  const across = axis([0, last.x], left + 6, right - 6, 4);
  const place = (px: number, py: number): Point => [across.scale(px), vertical.scale(py)];

  const residuals = points.map((point) => point.y - point.line);
  const sizes = points.map((point) => Math.max(Math.abs(point.y), Math.abs(point.line)));
  // What arithmetic leaves of a perfect fit is nothing to enlarge.
  const most = Math.max(...residuals.map(Math.abs)) > 1e-9 * Math.max(...sizes) ? Math.max(...residuals.map(Math.abs)) : 0;
  const middle = bottom - strip / 2;
  const off = scaleLinear()
    .domain([-most || -1, most || 1])
    .range([middle + strip / 2 - 7, middle - strip / 2 + 7]);
  const worst = residuals.findIndex((residual) => Math.abs(residual) === most);
  const begin = place(0, atZero);
  const words = slope > 0 ? Math.min(begin[1] + 18, plotBottom + (fromZero ? 2 : 20)) : begin[1] - 9;
  const offTheLine = [
    kit.text(x, bottom - strip - 8, 'Off the line', { tone: 'muted' }),
    kit.text(right, bottom - strip - 8, `worst ${quantity(most, yUnit)}`, { weight: 600, anchor: 'end' }),
    kit.rule(left, middle, right, middle, { tone: 'light', width: strokes.line }),
    residuals.map((residual, i) => [
      kit.rule(across.scale(points[i]!.x), middle, across.scale(points[i]!.x), off(most === 0 ? 0 : residual), {
        tone: 'heavy',
        width: strokes.line,
      }),
      kit.circle(across.scale(points[i]!.x), off(most === 0 ? 0 : residual), i === worst ? 5 : 3.5, { fill: 'heavy', name: 'residual' }),
    ]),
  ];
  return [
    kit.text(x, y + 13, title, { tone: 'muted', width: w }),
    vertical.ticks.map((tick, i) => [
      kit.rule(left, vertical.scale(tick), right, vertical.scale(tick), { tone: 'panel' }),
      kit.text(left - 7, vertical.scale(tick) + 6, figures[i]!, { tone: 'muted', anchor: 'end' }),
    ]),
    kit.polyline([place(first.x, first.line), place(last.x, last.line)], { tone: 'light', width: strokes.bold, name: 'line' }),
    kit.polyline([begin, place(first.x, first.line)], { tone: 'light', width: strokes.line, dash: '5 5' }),
    start === undefined
      ? []
      : [
          kit.circle(begin[0], begin[1], 5.5, { tone: 'light', width: strokes.line, fill: 'ground', name: 'start' }),
          kit.text(begin[0] + (slope > 0 ? 12 : -4), words, start, { tone: 'light', weight: 600, width: right - begin[0] - 12 }),
        ],
    points.map((point) => {
      const [px, py] = place(point.x, point.y);
      return [kit.circle(px, py, 7, { fill: 'ground' }), kit.circle(px, py, 5, { fill: 'heavy', name: 'point' })];
    }),
    strip === 0 ? [] : offTheLine,
    kit.ruler(left, right, bottom, across.ticks, across.scale, xUnit),
  ];
}
