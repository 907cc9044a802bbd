/**
 * Corner weights. Left, the truck hangs on a plumb line at its balance point, over the ground where its target is marked; the scale on the
 * ground is in % on the rear wheels and is stretched, so that one per cent can be seen. Right, what the four tyres press into the sand: the
 * area of a print is its load.
 */
import { scaleLinear } from 'd3-scale';
import type { Answer } from '../../../worksheets/engine/types.ts';
import { given } from '../../number.ts';
import type { Kit } from '../kit.ts';
import { answerOf, type Layout, readingOf } from '../layout.ts';
import { axis } from '../plot.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

const corners = ['front_left', 'front_right', 'rear_left', 'rear_right'] as const;

export interface Facts {
  readonly loads: readonly number[];
  readonly share: number;
  readonly uncertainty: number;
  readonly band: { readonly low: number; readonly high: number };
}

export function factsOf(answer: Answer): Facts | null {
  const loads = corners.map((name) => readingOf(answer, name)?.value);
  const rear = answerOf(answer, 'rear_share');
  if (typeof rear?.value !== 'number' || rear.band === null || !loads.every((load) => typeof load === 'number' && load > 0)) return null;
  return { loads: loads as number[], share: rear.value, uncertainty: rear.uncertainty ?? 0, band: rear.band };
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const rear = answerOf(answer, 'rear_share');
    if (facts === null || rear === null) return null;
    const low = room.h < 215;
    const left = { ...room, w: 296 };
    const right = { ...room, x: room.x + 318, w: room.w - 318 };
    const hero = kit.hero(left.x, left.y, left.w, rear, {
      size: low ? 54 : 66,
      over: low ? 'Rear wheels' : 'On the rear wheels',
      verdict: low ? 'beside' : 'under',
      explained: false,
    });
    return [
      hero.marks,
      hung(kit, { ...left, y: hero.bottom, h: room.y + room.h - hero.bottom }, facts),
      prints(kit, right, answer, facts, low ? ['cross_share'] : ['total', 'cross_share']),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const { share, band } = facts;
    const side = share < band.low ? 'ahead of' : share > band.high ? 'behind' : 'over';
    return `The truck in side view hangs on a plumb line at its balance point; the bob points ${side} the target on the ground. Four tyre prints, their area the load.`;
  },
};

/** Rear share grows to the right, as the balance point moves to the rear of a truck that faces left. */
export function hung(kit: Kit, { x, y, w, h }: Box, { share, uncertainty, band }: Facts): Marks {
  const target = (band.low + band.high) / 2;
  const reach = Math.max(1.5 * (band.high - band.low), 2.6 * (Math.abs(share - target) + uncertainty));
  const scale = scaleLinear()
    .domain([target - reach, target + reach])
    .range([x, x + w]);
  const ground = y + h - 31;
  const at = scale(share);

  const hook = y + (h > 100 ? 12 : 6);
  // The truck is drawn around its own balance point, as large as the height allows, its wheels just off the ground.
  const base = Math.min(124, (ground - hook - 15) / 0.63);
  const r = 0.17 * base;
  const axle = ground - 7 - r;
  const front = at - (share / 100) * base;
  const { ticks } = axis([target - 0.85 * reach, target + 0.85 * reach], 0, 1, 5);
  return [
    kit.rule(at - 16, hook, at + 16, hook, { tone: 'heavy', width: strokes.bold }),
    kit.truck(front, front + base, axle, r),
    kit.band({ x: scale(band.low), y: ground, w: scale(band.high) - scale(band.low), h: 7 }),
    kit.ruler(x, x + w, ground + 7, ticks, scale, '%'),
    kit.rule(x, ground, x + w, ground, { tone: 'muted', width: strokes.line }),
    uncertainty > 0
      ? kit.rect(
          { x: scale(share - uncertainty), y: ground, w: scale(share + uncertainty) - scale(share - uncertainty), h: 7 },
          { fill: 'heavy', name: 'uncertainty' },
        )
      : [],
    kit.plumb(at, hook, ground, { name: 'here' }),
  ];
}

function prints(kit: Kit, { x, y, w, h }: Box, answer: Answer, { loads }: Facts, names: readonly string[]): Marks {
  const below = names.flatMap((name) => answerOf(answer, name) ?? []);
  const pitch = 28;
  const rows = { x, y: y + h - pitch * below.length, w, h: pitch * below.length };
  const gutter = 46;
  const cell = { w: (w - gutter) / 2, h: (h - rows.h - 24) / 2 };
  // The largest print fills its cell under its figures; one factor for all four, so that areas compare.
  const area = 0.74 * (cell.h - 34) ** 2;
  const perGram = area / Math.max(...loads);
  const column = (i: number): number => x + gutter + cell.w * ((i % 2) + 0.5);
  const top = y + 22;
  return [
    ['left', 'right'].map((side, i) => kit.text(column(i), y + 13, side, { tone: 'muted', anchor: 'middle' })),
    ['front', 'rear'].map((end, i) => kit.text(x, top + cell.h * i + (cell.h - 28) / 2 + 5, end, { tone: 'muted' })),
    loads.map((load, i) => {
      const cellTop = top + cell.h * Math.floor(i / 2);
      const reading = readingOf(answer, corners[i]!)!;
      const parts = { ...given(load, reading.unit), plusMinus: null };
      const width = kit.value(0, 0, parts, { size: 20, width: cell.w - 4 }).width;
      return [
        kit.print(column(i), cellTop + (cell.h - 28) / 2, load * perGram, { name: `print ${corners[i]}` }),
        kit.value(column(i) - width / 2, cellTop + cell.h - 9, parts, { size: 20, width: cell.w - 4 }).marks,
      ];
    }),
    kit.rows(rows, below, { pitch, size: 19, names: { total: 'Total', cross_share: 'Cross' } }).marks,
  ];
}
