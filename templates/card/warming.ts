/** A temperature that levels off, with the line it must not pass. Shared by warmup (three readings) and motor heat (the end of a run). */
import type { Curve } from '../../worksheets/engine/types.ts';
import { quantity, series } from '../number.ts';
import type { Kit, Point } from './kit.ts';
import { axis } from './plot.ts';
import type { Box, Marks } from './scene.ts';
import { sizes, strokes } from './theme.ts';

export interface Warming {
  readonly curve: Curve;
  readonly name: string;
  readonly limit: number;
  /** Where it levels off. */
  readonly steady: number;
  /** When it passes the limit, in the unit of the curve; null when never. */
  readonly limitAt: number | null;
  /** Measured points, or the end of a run. */
  readonly dots: readonly { readonly time: number; readonly temperature: number }[];
  readonly dotName: string;
}

export function warming(kit: Kit, { x, y, w, h }: Box, { curve, name, limit, steady, limitAt, dots, dotName }: Warming): Marks {
  const temperatures = curve.answers[name] as readonly number[];
  const unit = curve.units[name] ?? null;
  const [top, bottom] = [y + 46, y + h - 27];
  const measured = dots.map(({ temperature }) => temperature);
  const most = Math.min(4, Math.max(2, Math.floor((bottom - top) / 28)));
  const vertical = axis([...temperatures, ...measured, limit, steady], bottom - 4, top, most);
  const figures = series(vertical.ticks);
  const left = x + Math.max(...figures.map((figure) => kit.widthOf(figure))) + 9;
  const right = x + w - 8;
  const across = axis([...curve.x, ...dots.map(({ time }) => time)], left + 6, right - 4, 4);
  const at = (time: number, temperature: number): Point => [across.scale(time), vertical.scale(temperature)];
  const [limitY, steadyY] = [vertical.scale(limit), vertical.scale(steady)];
  const course = curve.x.map((time, i) => at(time, temperatures[i]!));
  const places = dots.map(({ time, temperature }) => at(time, temperature));
  const crossing = limitAt === null ? null : at(limitAt, limit);

  // What words must not lie on: the course, the dots, the marker and its line, the two levels.
  const between = course.slice(1).map(([px, py], i): Point => [(px + course[i]![0]) / 2, (py + course[i]![1]) / 2]);
  const marked = crossing === null ? [] : [0, 6, 12, -8, -16].map((down): Point => [crossing[0], crossing[1] + down]);
  const inTheWay = [...course, ...between, ...places, ...marked];
  const free = (words: string, byLevel: readonly Point[], taken: readonly Box[]): Place | null => {
    const width = kit.widthOf(words, sizes.small, 600);
    for (const [px, baseline] of byLevel) {
      const box = { x: px < (left + right) / 2 ? px : px - width, y: baseline - 13, w: width, h: 17 };
      const holds = ([ox, oy]: Point, air: number): boolean =>
        ox > box.x - air && ox < box.x + box.w + air && oy > box.y - air && oy < box.y + box.h + air;
      const level = (of: number): boolean => of > box.y && of < box.y + box.h;
      const overlaps = taken.some(
        (other) => box.x < other.x + other.w + 6 && other.x < box.x + box.w + 6 && box.y < other.y + other.h && other.y < box.y + box.h,
      );
      if (box.y < y + 20 || box.y + box.h > bottom - 1 || level(limitY) || level(steadyY) || overlaps) continue;
      if (!inTheWay.some((point) => holds(point, 6))) return { x: box.x, baseline, box };
    }
    return null;
  };
  const beside = (level: number): Point[] => [
    [left + 6, level - 7],
    [right - 2, level + 18],
    [right - 2, level - 7],
    [left + 6, level + 18],
  ];
  const limitWords = `limit ${quantity(limit, unit)}`;
  // Two levels near each other leave no room between them: over both, then.
  const overBoth: Point = [left + 6, Math.min(limitY, steadyY) - 7];
  const limitPlace = free(limitWords, [...beside(limitY), overBoth], []);
  const steadyPlace = free('levels off', beside(steadyY).slice(1), limitPlace === null ? [] : [limitPlace.box]);
  return [
    kit.text(x, y + 13, 'Temperature in °C over time', { tone: 'muted', width: w }),
    vertical.ticks.map((tick, i) => [
      kit.rule(left, vertical.scale(tick), right, vertical.scale(tick), { tone: 'panel' }),
      kit.text(left - 7, vertical.scale(tick) + 6, figures[i]!, { tone: 'muted', anchor: 'end' }),
    ]),
    kit.rule(left, steadyY, right, steadyY, { tone: 'light', dash: '3 4', name: 'steady' }),
    kit.rule(left, limitY, right, limitY, { tone: 'heavy', width: strokes.line, name: 'limit' }),
    limitPlace === null ? [] : kit.text(limitPlace.x, limitPlace.baseline, limitWords, { weight: 600, tone: 'heavy' }),
    steadyPlace === null ? [] : kit.text(steadyPlace.x, steadyPlace.baseline, 'levels off', { weight: 600, tone: 'light' }),
    kit.polyline(course, { tone: 'light', width: strokes.bold, name: 'course' }),
    crossing === null
      ? []
      : [kit.rule(crossing[0], crossing[1], crossing[0], bottom, { tone: 'heavy', dash: '3 3' }), kit.marker(crossing[0], crossing[1] - 3)],
    places.map(([px, py]) => [kit.circle(px, py, 7, { fill: 'ground' }), kit.circle(px, py, 5, { fill: 'text', name: dotName })]),
    kit.ruler(left, right, bottom, across.ticks, across.scale, curve.unit ?? ''),
  ];
}

interface Place {
  readonly x: number;
  readonly baseline: number;
  readonly box: Box;
}
