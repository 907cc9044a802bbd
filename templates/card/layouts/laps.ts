/**
 * Laps before and after a change: every lap a dot on one scale of time, the means under them; below, the difference with its 95 % interval
 * against the line of no difference.
 */
import { scaleLinear } from 'd3-scale';
import type { Answer } from '../../../worksheets/engine/types.ts';
import { acted, quantity } from '../../number.ts';
import type { Kit, Scale } from '../kit.ts';
import { answerOf, type Layout, numberOf, readingOf } from '../layout.ts';
import { axis } from '../plot.ts';
import { type Box, type Mark, type Marks, round } from '../scene.ts';
import { sizes, strokes, type Tone } from '../theme.ts';

interface Facts {
  readonly sides: readonly { readonly name: string; readonly laps: readonly number[]; readonly mean: number }[];
  readonly difference: number;
  /** null where it is not known. */
  readonly interval: readonly [low: number, high: number] | null;
}

function factsOf(answer: Answer): Facts | null {
  const difference = numberOf(answer, 'difference');
  const sides = ['before', 'after'].flatMap((name) => {
    const [laps, mean] = [readingOf(answer, name)?.value, numberOf(answer, `mean_${name}`)];
    return typeof laps === 'object' && laps.every((lap) => typeof lap === 'number') && laps.length > 0 && mean !== null
      ? [{ name, laps: laps as readonly number[], mean }]
      : [];
  });
  if (difference === null || sides.length !== 2) return null;
  const [low, high] = [numberOf(answer, 'difference_low'), numberOf(answer, 'difference_high')];
  return { sides, difference, interval: low === null || high === null ? null : [low, high] };
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const difference = answerOf(answer, 'difference');
    if (facts === null || difference === null) return null;
    const left = { ...room, w: 206 };
    const hero = kit.hero(left.x, left.y, left.w, difference, { size: 62, over: 'Difference a lap', explained: false });
    const below = { ...left, y: hero.bottom + 6, h: room.y + room.h - hero.bottom - 6 };
    const others = ['mean_before', 'mean_after', 'laps_needed', 'p_value']
      .flatMap((name) => answerOf(answer, name) ?? [])
      .filter(({ value }) => value !== null);
    return [
      hero.marks,
      kit.rows(below, others, { pitch: Math.min(31, Math.max(27, below.h / 4)), size: 20, names: rowNames }).marks,
      compared(kit, { ...room, x: room.x + 228, w: room.w - 228 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const [before, after] = facts.sides;
    const interval =
      facts.interval === null
        ? 'the difference without an interval'
        : `the 95 % interval of the difference, ${quantity(facts.interval[0], 's')} to ${quantity(facts.interval[1], 's')}`;
    return `${before!.laps.length} laps before and ${after!.laps.length} after as dots on one scale of time with their means; below them ${interval}, against the line of no difference.`;
  },
};

const rowNames = { mean_before: 'Before', mean_after: 'After', laps_needed: 'Laps to be sure', p_value: 'By chance' };

function compared(kit: Kit, { x, y, w, h }: Box, { sides, difference, interval }: Facts): Marks {
  const all = sides.flatMap(({ laps, mean }) => [...laps, mean]);
  const lower = 76;
  const bottom = y + h - lower - 27;
  const across = axis(all, x + 12, x + w - 12, 4);
  const band = (bottom - y - 4) / 2;
  const rows = sides.map(({ name, laps, mean }, i): Marks => {
    const base = y + band * (i + 1) - 13;
    const tone: Tone = i === 0 ? 'light' : 'heavy';
    const at = across.scale(mean);
    return [
      kit.text(x, base - band + 23, name, { weight: 600, tone }),
      kit.rule(x, base, x + w, base, { tone: 'rule' }),
      heap(kit, laps, across.scale, base - 5, band - 34, tone, i === 0),
      kit.marker(at, base + 1, { points: 'up', size: 10, tone, name: `mean ${name}` }),
    ];
  });

  const line = y + h - 31;
  const ends = [0, difference, ...(interval ?? [])];
  const scale = scaleLinear()
    .domain([Math.min(...ends), Math.max(...ends)])
    .range([x + 12, x + w - 12]);
  const zero = scale(0);
  const words = 'no difference';
  const width = kit.widthOf(words, sizes.small);
  const from = Math.min(Math.max(x, zero - width / 2), x + w - width);
  return [
    rows,
    kit.ruler(x, x + w, bottom, across.ticks, across.scale, 's'),
    kit.rule(zero, line - 11, zero, line + 11, { tone: 'text', width: strokes.line, name: 'zero' }),
    kit.text(from, line - 16, words, { tone: 'muted' }),
    interval === null
      ? kit.circle(scale(difference), line, 5, { fill: 'heavy', name: 'difference' })
      : whisker(kit, { x, w, line }, scale, interval, difference),
    interval === null
      ? []
      : kit.text(from > x + w / 3 ? x : x + w, line - 16, '95 %', { tone: 'muted', anchor: from > x + w / 3 ? 'start' : 'end' }),
  ];
}

/** The interval with the figures of its ends under them; where they are too close only the upper one. */
function whisker(
  kit: Kit,
  { x, w, line }: { readonly x: number; readonly w: number; readonly line: number },
  scale: Scale,
  [low, high]: readonly [number, number],
  difference: number,
): Marks {
  const figure = (value: number, unit: string | null): string => acted(value, unit, (high - low) / 20);
  const [lower, upper] = [figure(low, null), figure(high, 's')];
  const style = { weight: 600 } as const;
  const place = (value: number, words: string): { readonly from: number; readonly to: number } => {
    const width = kit.widthOf(words, sizes.small, 600);
    const from = Math.min(Math.max(x, scale(value) - width / 2), x + w - width);
    return { from, to: from + width };
  };
  const [first, second] = [place(low, lower), place(high, upper)];
  return [
    kit.interval(line, scale, { low, at: difference, high }, { name: 'difference' }),
    first.to + 10 <= second.from ? kit.text(first.from, line + 27, lower, style) : [],
    kit.text(second.from, line + 27, upper, style),
  ];
}

/** Laps as dots, near ones piled up; a pile that would grow over its room starts again from the bottom. */
function heap(kit: Kit, laps: readonly number[], scale: Scale, base: number, height: number, tone: Tone, hollow: boolean): Mark[] {
  const r = laps.length > 40 ? 2.5 : 4;
  const most = Math.max(1, Math.floor(height / (2.1 * r)));
  const placed: number[] = [];
  return laps.map((lap) => {
    const at = round(scale(lap));
    const below = placed.filter((other) => Math.abs(other - at) < 1.7 * r).length % most;
    placed.push(at);
    const style = hollow ? { tone, width: strokes.line, name: 'lap' } : { fill: tone, name: 'lap' };
    return kit.circle(at, base - r - below * 2.1 * r + 3, r, style);
  });
}
