/** A spring pressed on a kitchen scale: load against height with the fitted line, and how far each point lies off it, much enlarged. */
import { scaleLinear } from 'd3-scale';
import type { Answer } from '../../../worksheets/engine/types.ts';
import { quantity, series } from '../../number.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, type Layout, numberOf, readingOf } from '../layout.ts';
import { axis } from '../plot.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

interface Facts {
  readonly points: readonly { readonly load: number; readonly height: number }[];
  /** The fitted line as the answers give it, load in g at a height in mm. */
  readonly line: (height: number) => number;
}

function factsOf(answer: Answer): Facts | null {
  const rows = readingOf(answer, 'press_points')?.value;
  const [rate, zero] = [numberOf(answer, 'spring_rate_gf_mm'), numberOf(answer, 'zero_load_height')];
  if (typeof rows !== 'object' || rate === null || zero === null) return null;
  const points = rows.flatMap((row) =>
    typeof row === 'object' && typeof row.load === 'number' && typeof row.height === 'number'
      ? [{ load: row.load, height: row.height }]
      : [],
  );
  return points.length >= 2 ? { points, line: (height) => rate * (zero - height) } : null;
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const rate = answerOf(answer, 'spring_rate');
    if (facts === null || rate === null) return null;
    const left = { ...room, w: 236 };
    const hero = kit.hero(left.x, left.y, left.w, rate, { explained: false });
    const order = ['spring_rate_lb_in', 'spring_rate_gf_mm', 'zero_load_height', 'straight', 'worst_residual'];
    const others = order.flatMap((name) => answerOf(answer, name) ?? []);
    const below = { ...left, y: hero.bottom + 8, h: room.y + room.h - hero.bottom - 8 };
    const pitch = Math.min(33, Math.max(28, below.h / 4));
    return [
      hero.marks,
      kit.rows(below, others.slice(0, 4), { pitch, size: 20, names: rowNames }).marks,
      pressed(kit, { ...room, x: room.x + 262, w: room.w - 262 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    const worst = numberOf(answer, 'worst_residual');
    if (facts === null) return '';
    const off = worst === null ? '' : ` The worst point lies ${quantity(Math.abs(worst), 'g')} off the line.`;
    return `A plot of load against height: ${facts.points.length} points and the line through them, and under it how far each lies off the line.${off}`;
  },
};

const rowNames = { spring_rate_lb_in: 'or', spring_rate_gf_mm: 'or', zero_load_height: 'Unloaded', straight: 'Straight' };

function pressed(kit: Kit, { x, y, w, h }: Box, { points, line }: Facts): Marks {
  const heights = points.map(({ height }) => height);
  const loads = points.map(({ load }) => load);
  const strip = h > 200 ? 46 : 36;
  const bottom = y + h - 27;
  const [plotTop, plotBottom] = [y + 30, bottom - strip - (h > 200 ? 38 : 32)];
  const vertical = axis([...loads, 0], plotBottom, plotTop, Math.min(4, Math.max(2, Math.floor((plotBottom - plotTop) / 28))));
  const figures = series(vertical.ticks);
  const left = x + Math.max(...figures.map((figure) => kit.widthOf(figure))) + 9;
  const right = x + w - 8;
  const across = axis(heights, left + 10, right - 6, 4);
  const [low, high] = [Math.min(...heights), Math.max(...heights)];
  const at = (height: number): Point => [across.scale(height), vertical.scale(line(height))];

  const residuals = points.map(({ load, height }) => load - line(height));
  const most = Math.max(...residuals.map(Math.abs));
  const middle = bottom - strip / 2;
  const off = scaleLinear()
    .domain([-(most || 1), most || 1])
    .range([middle + strip / 2 - 7, middle - strip / 2 + 7]);
  const worst = residuals.findIndex((residual) => Math.abs(residual) === most);
  return [
    kit.text(x, y + 13, 'Load in g over height', { tone: 'muted', width: w }),
    vertical.ticks.map((tick, i) => [
      kit.rule(left, vertical.scale(tick), right, vertical.scale(tick), { tone: 'panel' }),
      kit.text(left - 7, vertical.scale(tick) + 6, figures[i]!, { tone: 'muted', anchor: 'end' }),
    ]),
    kit.polyline([at(low), at(high)], { tone: 'light', width: strokes.bold, name: 'line' }),
    points.map(({ load, height }) => [
      kit.circle(across.scale(height), vertical.scale(load), 7, { fill: 'ground' }),
      kit.circle(across.scale(height), vertical.scale(load), 5, { fill: 'heavy', name: 'point' }),
    ]),
    kit.text(x, bottom - strip - 8, 'Off the line', { tone: 'muted' }),
    kit.text(right, bottom - strip - 8, `worst ${quantity(most, 'g')}`, { weight: 600, anchor: 'end' }),
    kit.rule(left, middle, right, middle, { tone: 'light', width: strokes.line }),
    residuals.map((residual, i) => [
      kit.rule(across.scale(heights[i]!), middle, across.scale(heights[i]!), off(residual), { tone: 'heavy', width: strokes.line }),
      kit.circle(across.scale(heights[i]!), off(residual), i === worst ? 5 : 3.5, { fill: 'heavy', name: 'residual' }),
    ]),
    kit.ruler(left, right, bottom, across.ticks, across.scale, 'mm'),
  ];
}
