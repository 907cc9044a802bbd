/**
 * Links of a live axle in side view, to scale, the front to the left: their lines meet in the instant centre, and the line from the rear
 * tyre's foot through it is read off over the front axle, where the CG's height is 100 %.
 */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { joined, shown } from '../../number.ts';
import { apart, view } from '../kit/view.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, type Layout, numberOf } from '../layout.ts';
import type { Box, Marks } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';

/** Places in mm, ahead of the rear axle and over the ground. */
interface Link {
  readonly axle: Point;
  readonly chassis: Point;
}
interface Facts {
  readonly links: readonly Link[];
  /** null where the links are parallel. */
  readonly centre: Point | null;
  readonly share: number;
  readonly height: number;
  readonly wheelbase: number;
}

function factsOf(answer: Answer): Facts | null {
  const number = (name: string): number => numberOf(answer, name) ?? Number.NaN;
  const place = (name: string): Point => [number(`${name}_ahead`), number(`${name}_up`)];
  const links = ['lower', 'upper'].map((name): Link => ({ axle: place(`${name}_axle`), chassis: place(`${name}_chassis`) }));
  const centre = place('instant_centre');
  const facts = { links, share: number('anti_squat') / 100, height: number('cg_height'), wheelbase: number('wheelbase') };
  const known = [...links.flatMap(({ axle, chassis }) => [...axle, ...chassis]), facts.share, facts.height, facts.wheelbase];
  return known.every(Number.isFinite) ? { ...facts, centre: centre.every(Number.isFinite) ? centre : null } : null;
}

/** Whether the instant centre stands where the picture can show it. */
const near = ({ centre, wheelbase }: Facts): boolean =>
  centre !== null && centre[0] > -0.4 * wheelbase && centre[0] < 1.35 * wheelbase && Math.abs(centre[1]) < 0.7 * wheelbase;

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const squat = answerOf(answer, 'anti_squat');
    if (facts === null || squat === null) return null;
    const hero = kit.hero(room.x, room.y, 236, squat, {
      size: room.h > 200 ? 62 : 48,
      explained: false,
      over: '100 % holds the rear level',
    });
    const others = ['instant_centre_ahead', 'instant_centre_up'].flatMap((name) => answerOf(answer, name) ?? []);
    const rows = { x: room.x + 262, y: room.y - 4, w: room.w - 262, h: 62 };
    const drawn = side(kit, { ...room, y: hero.bottom + 2, h: room.y + room.h - hero.bottom - 2 }, facts);
    if (drawn === null) return null;
    return [hero.marks, kit.rows(rows, others, { pitch: 30, size: 20, names: rowNames }).marks, drawn];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const percent = joined(shown(100 * facts.share, '%'));
    const meet =
      facts.centre === null
        ? 'The two links are parallel; the line from the rear tyre’s foot runs with them.'
        : `The lines of the two links meet ${facts.centre[0] >= 0 ? 'ahead of' : 'behind'} the rear axle; the line from the rear tyre’s foot runs through that point.`;
    return `The links in side view, to scale, the front to the left. ${meet} Over the front axle it stands at ${percent} of the CG's height.`;
  },
};

const rowNames = { instant_centre_ahead: 'Links meet ahead', instant_centre_up: 'and up' };

function side(kit: Kit, { x, y, w, h }: Box, facts: Facts): Marks | null {
  const { links, centre, share, height, wheelbase } = facts;
  const words = 76;
  // What reaches further than the picture is cut where it leaves it, along its own line.
  const [least, most] = [-0.4, 1.6];
  const shownShare = Math.min(most, Math.max(least, share));
  const end: Point = shownShare === share ? [wheelbase, share * height] : [(wheelbase * shownShare) / share, shownShare * height];
  const met = near(facts) ? centre : null;
  const ends = links.flatMap(({ axle, chassis }) => [axle, chassis]);
  const places: Point[] = [[0, 0], [wheelbase, 0], [wheelbase, height], end, ...ends, ...(met === null ? [] : [met])];
  // Ahead is to the left: x is turned round.
  const seen = view(
    { x: x + words, y: y + 12, w: w - words - 26, h: h - 34 },
    places.map(([ahead, up]): Point => [-ahead, up]),
    'low',
  );
  // Links far from the truck, or one on its nose: too small a truck to read anything from.
  if (seen === null || seen.factor * wheelbase < 120 || seen.factor * height < 24) return null;
  const at = ([ahead, up]: Point): Point => seen.at(-ahead, up);
  const [foot, front, full, here] = [at([0, 0]), at([wheelbase, 0]), at([wheelbase, height]), at(end)];
  const ground = foot[1];

  const words100 = { string: '100 %', at: full[1], tone: 'light' } as const;
  const wordsHere = { string: joined(shown(Math.round(100 * share), '%')), at: here[1], tone: 'heavy' } as const;
  const labels = [words100, wordsHere].sort((a, b) => a.at - b.at);
  const baselines = apart(
    labels.map((one) => one.at + 6),
    20,
    [y + 14, y + h - 4],
  );
  const right = front[0] - 15;
  return [
    kit.ground(x, x + w, ground),
    kit.rule(front[0], ground, front[0], Math.min(full[1], here[1]) - 6, { tone: 'muted', width: strokes.hair }),
    links.map(({ axle, chassis }) => {
      const [from, to] = [at(axle), at(chassis)];
      const [lineEnd, start] = met === null ? [beyond(from, to, x + 6, x + w - 6, y, ground), from] : [at(met), farther(at(met), from, to)];
      return [kit.rule(...start, ...lineEnd, { tone: 'muted', width: strokes.line, dash: '2 4', name: 'link line' }), kit.link(from, to)];
    }),
    kit.polyline([foot, full], { tone: 'light', width: strokes.line, dash: '7 5', name: 'level' }),
    kit.rule(front[0] - 6, full[1], front[0] + 6, full[1], { tone: 'light', width: strokes.line }),
    kit.polyline([foot, here], { tone: 'heavy', width: strokes.bold, name: 'squat line' }),
    shownShare === share ? kit.marker(front[0] - 2, here[1], { points: 'right' }) : [],
    labels.map(({ string, tone }, i) => {
      const width = kit.widthOf(string, sizes.small, 600);
      return [
        kit.rect({ x: right - width - 3, y: baselines[i]! - 14, w: width + 6, h: 18 }, { fill: 'ground' }),
        kit.text(right, baselines[i]!, string, { tone, weight: 600, anchor: 'end', width: right - x + 12 }),
      ];
    }),
    met === null
      ? []
      : [
          kit.circle(...at(met), 8, { fill: 'ground' }),
          kit.circle(...at(met), 6, { tone: 'heavy', width: strokes.line, name: 'instant centre' }),
        ],
    kit.circle(...foot, 4.5, { fill: 'heavy' }),
    kit.text(foot[0], ground + 20, 'rear', { tone: 'muted', anchor: 'middle' }),
    share < 0 ? [] : kit.text(front[0], ground + 20, 'front', { tone: 'muted', anchor: 'middle' }),
  ];
}

const farther = (from: Point, one: Point, other: Point): Point =>
  Math.hypot(one[0] - from[0], one[1] - from[1]) > Math.hypot(other[0] - from[0], other[1] - from[1]) ? one : other;

/** Where the line through two places leaves the picture, on the side of the second. */
function beyond(from: Point, to: Point, left: number, right: number, top: number, bottom: number): Point {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const steps = [
    dx < 0 ? (left - from[0]) / dx : dx > 0 ? (right - from[0]) / dx : Number.POSITIVE_INFINITY,
    dy < 0 ? (top - from[1]) / dy : dy > 0 ? (bottom - from[1]) / dy : Number.POSITIVE_INFINITY,
  ];
  const reach = Math.max(1, Math.min(...steps));
  return [from[0] + reach * dx, from[1] + reach * dy];
}
