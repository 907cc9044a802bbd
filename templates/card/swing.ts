/** A body that was let go and swings to rest on a spring and a damper; thinner beside it the same body with another damping ratio. */
import { scaleLinear } from 'd3-scale';
import { joined, shown } from '../number.ts';
import type { Kit, Point } from './kit.ts';
import { axis } from './plot.ts';
import type { Box, Marks } from './scene.ts';
import { sizes, strokes } from './theme.ts';

const pointsASwing = 40;
/** Ratios this close draw one line. */
const alike = 0.02;

export interface Swing {
  readonly title: string;
  /** Height at which it is let go. */
  readonly height: number;
  readonly ratio: number;
  /** Undamped, Hz. */
  readonly frequency: number;
  /** s */
  readonly until: number;
  /** The ratio wanted, for the thin line; null without one. */
  readonly target: number | null;
  /** Points of the curve that are marked with their words; a top has them above it, a trough below. */
  readonly marked: readonly { readonly time: number; readonly height: number; readonly words: string }[];
}

/** What is left of a push let go from rest, for a phase of ωt (Rao, Mechanical Vibrations, section 2.6): its tops lie on whole turns. */
export function leftOf(ratio: number, phase: number): number {
  const decay = Math.exp(-ratio * phase);
  if (ratio === 1) return decay * (1 + phase);
  const s = Math.sqrt(Math.abs(1 - ratio ** 2));
  if (ratio < 1) return decay * (Math.cos(s * phase) + (ratio / s) * Math.sin(s * phase));
  // As two falling exponentials: cosh alone would overflow where the product is long at rest.
  return ((1 + ratio / s) * Math.exp((s - ratio) * phase) + (1 - ratio / s) * Math.exp(-(s + ratio) * phase)) / 2;
}

export function swing(kit: Kit, { x, y, w, h }: Box, { title, height, ratio, frequency, until, target, marked }: Swing): Marks {
  const turn = 2 * Math.PI * frequency;
  const [top, bottom] = [y + 30, y + h - 27];
  const count = Math.max(60, Math.ceil(pointsASwing * until * frequency));
  const times = Array.from({ length: count + 1 }, (_, i) => (until * i) / count);
  const own = times.map((time) => height * leftOf(ratio, turn * time));
  const wanted = target === null || Math.abs(target - ratio) < alike ? null : times.map((time) => height * leftOf(target, turn * time));
  const across = axis([0, until], x + 8, x + w - 8, 4);
  // Room under the deepest trough for its words.
  const under = marked.some((mark) => mark.height < 0) ? 32 : 6;
  const up = scaleLinear()
    .domain([Math.min(-0.02 * height, ...own, ...(wanted ?? [])), height])
    .range([bottom - under, top]);
  const points = (values: readonly number[]): Point[] => values.map((value, i) => [across.scale(times[i]!), up(value)]);
  const rest = up(0);
  // Two tops of almost one height, close together: the second's words step down out of the first's.
  const placed: { readonly from: number; readonly to: number; readonly y: number }[] = [];
  const clear = (from: number, to: number, at: number): number => {
    const taken = placed.some((one) => from < one.to + 4 && to > one.from - 4 && Math.abs(at - one.y) < 20);
    const y = taken ? at + 22 : at;
    placed.push({ from, to, y });
    return y;
  };
  return [
    kit.text(x, y + 13, title, { tone: 'muted' }),
    wanted === null ? [] : legend(kit, x + w, y + 13, `at ${shown(target!, null).number}`),
    kit.rule(x, rest, x + w, rest, { tone: 'muted', width: strokes.hair, name: 'rest' }),
    wanted === null ? [] : kit.polyline(points(wanted), { tone: 'light', width: strokes.line, dash: '6 5', name: 'wanted' }),
    kit.polyline(points(own), { tone: 'heavy', width: strokes.bold, name: 'bounce' }),
    marked.map((mark) => {
      const [px, py] = [across.scale(mark.time), up(mark.height)];
      const room = kit.widthOf(mark.words, sizes.small, 600);
      const middle = Math.max(x, Math.min(px - room / 2, x + w - room));
      // Over its top or under its trough where there is room, else beside it.
      const beside = px + 16 + room <= x + w ? px + 16 : px - 16 - room;
      const at =
        mark.height < 0 ? { x: middle, y: py + 23 } : mark.time > 0 && py > top + 22 ? { x: middle, y: py - 14 } : { x: beside, y: py + 2 };
      return [
        kit.rule(px, rest, px, py, { tone: 'heavy', width: strokes.hair, dash: '3 3' }),
        kit.circle(px, py, 7.5, { fill: 'ground' }),
        kit.circle(px, py, 5.5, { fill: 'heavy', name: 'peak' }),
        kit.text(at.x, clear(at.x, at.x + room, at.y), mark.words, { weight: 600, tone: 'heavy' }),
      ];
    }),
    kit.ruler(x, x + w, bottom, across.ticks, across.scale, 's'),
  ];
}

/** The thin line's name, right-aligned, behind a piece of that line. */
function legend(kit: Kit, right: number, y: number, words: string): Marks {
  const start = right - kit.widthOf(words, sizes.small, 600);
  return [
    kit.rule(start - 34, y - 5, start - 8, y - 5, { tone: 'light', width: strokes.line, dash: '6 5' }),
    kit.text(right, y, words, { weight: 600, tone: 'light', anchor: 'end' }),
  ];
}

/** Three figures: a ruler gives no more, and two heights have to stand side by side. */
export const heightWords = (height: number, unit: string): string => joined(shown(Number(height.toPrecision(3)), unit));
