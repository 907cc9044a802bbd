/**
 * Droop, ride, bump: three ruled lines at the heights of the axle, to scale; the arm stands at ride, its shadows at the stops. Left of each
 * line what was read there, right the travel between them.
 */
import { scaleLinear } from 'd3-scale';
import type { Answer } from '../../../worksheets/engine/types.ts';
import { joined, shown } from '../../number.ts';
import { apart } from '../kit/view.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, type Layout, numberOf, readingOf } from '../layout.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

const stops = ['bump', 'ride', 'droop'] as const;

interface Facts {
  readonly axle: { readonly [stop in (typeof stops)[number]]: number };
  readonly shock: { readonly [stop in (typeof stops)[number]]: number };
  readonly up: number;
  readonly down: number;
}

function factsOf(answer: Answer): Facts | null {
  const read = (what: string) => stops.map((stop) => readingOf(answer, `${what}_${stop}`)?.value);
  const [axle, shock] = [read('axle'), read('shock')];
  const [up, down] = [numberOf(answer, 'up_travel'), numberOf(answer, 'down_travel')];
  if (![...axle, ...shock].every((value) => typeof value === 'number') || up === null || down === null) return null;
  const named = ([bump, ride, droop]: typeof axle) => ({ bump: bump as number, ride: ride as number, droop: droop as number });
  return { axle: named(axle), shock: named(shock), up, down };
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const ratio = answerOf(answer, 'motion_ratio');
    if (facts === null || ratio === null) return null;
    const left = { ...room, w: 184 };
    const hero = kit.hero(left.x, left.y, left.w, ratio, { size: 62, explained: false });
    const below = { ...left, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const others = ['wheel_travel', 'droop_share', 'motion_ratio_up', 'motion_ratio_down'].flatMap((name) => answerOf(answer, name) ?? []);
    const pitch = Math.min(32, Math.max(27, below.h / 4));
    return [
      hero.marks,
      kit.rows(below, others, { pitch, size: 20, names: rowNames }).marks,
      lines(kit, { ...room, x: room.x + 194, w: room.w - 194 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    const share = answerOf(answer, 'droop_share');
    if (facts === null) return '';
    const where = typeof share?.value === 'number' ? `, ${joined(shown(share.value, share.unit))} of the way from droop to bump` : '';
    return `Three ruled lines at the axle's heights, droop, ride and bump, to scale; the arm with its wheel stands at ride${where}.`;
  },
};

const rowNames = { wheel_travel: 'Travel', droop_share: 'In droop', motion_ratio_up: 'To bump', motion_ratio_down: 'To droop' };

function lines(kit: Kit, { x, y, w, h }: Box, { axle, shock, up, down }: Facts): Marks {
  const r = Math.min(22, h / 9);
  const scale = scaleLinear()
    .domain([axle.droop, axle.bump])
    .range([y + h - r - 4, y + 22 + r]);
  const heights = stops.map((stop) => scale(axle[stop]));
  const [top, , bottom] = heights as [number, number, number];

  // What was read stands beside its line, the axle over the shock; where lines are close the words move apart and a stroke leads to the line.
  const words = apart(heights, 39, [y + 40, y + h - 24]);
  const start = x + 112;
  const end = x + w - 56;
  const readings = stops.map((stop, i) => [
    kit.text(x, words[i]! - 2, stop, { weight: 600 }),
    kit.text(start - 8, words[i]! - 2, shown(axle[stop], null).number, { weight: 600, anchor: 'end', width: 58 }),
    kit.text(x, words[i]! + 16, 'shock', { tone: 'muted' }),
    kit.text(start - 8, words[i]! + 16, shown(shock[stop], null).number, { tone: 'muted', anchor: 'end', width: 58 }),
  ]);

  const pivot: Point = [start + 18, (top + bottom) / 2];
  const arm = end - 12 - r - pivot[0];
  const at = (height: number): Point => [pivot[0] + Math.sqrt(Math.max(0, arm ** 2 - (height - pivot[1]) ** 2)), height];
  const mount: Point = [pivot[0] - 2, top - 4];
  const along = ([ax, ay]: Point, share: number): Point => [pivot[0] + share * (ax - pivot[0]), pivot[1] + share * (ay - pivot[1])];
  const ride = at(heights[1]!);
  const shadows = [heights[0]!, heights[2]!]
    .map(at)
    .map((axleAt) => [
      kit.rule(pivot[0], pivot[1], axleAt[0], axleAt[1], { tone: 'rule', width: strokes.line }),
      kit.circle(axleAt[0], axleAt[1], r, { tone: 'rule', width: strokes.line }),
    ]);

  // Travel, right of the picture.
  const spans = [
    { from: heights[0]!, to: heights[1]!, length: up },
    { from: heights[1]!, to: heights[2]!, length: down },
  ];
  const figures = apart(
    spans.map(({ from, to }) => (from + to) / 2),
    21,
    [y + 30, y + h - 7],
  );
  return [
    kit.text(x, y + 13, 'Axle and shock in mm', { tone: 'muted', width: w - 56 }),
    kit.text(x + w, y + 13, 'travel', { tone: 'muted', anchor: 'end' }),
    stops.map((stop, i) => [
      kit.polyline(
        [
          [start - 3, words[i]!],
          [start + 9, heights[i]!],
          [end, heights[i]!],
        ],
        { tone: stop === 'ride' ? 'heavy' : 'muted', width: stop === 'ride' ? strokes.line : strokes.hair, name: `line ${stop}` },
      ),
    ]),
    readings,
    shadows,
    kit.damper(mount, along(ride, 0.55), { r: 5 }),
    kit.link(pivot, ride),
    kit.wheel(ride[0], ride[1], r, { name: 'wheel' }),
    spans.map(({ from, to }) => [
      kit.rule(end, from, end, to, { tone: 'heavy', width: strokes.bold }),
      [from, to].map((place) => kit.rule(end - 5, place, end + 5, place, { tone: 'heavy', width: strokes.line })),
    ]),
    spans.map(({ length }, i) => kit.text(x + w, figures[i]! + 6, shown(length, null).number, { weight: 700, anchor: 'end', width: 50 })),
  ];
}
