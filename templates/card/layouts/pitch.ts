/**
 * How the body swings: for each of the two ways a line as long as the truck, in both its extremes, crossing where nothing moves. Where that
 * point lies off the card, an arrow says how far. Under them the truck with its centre of gravity, on the same scale.
 */
import type { Answer, AnswerValue } from '../../../worksheets/engine/types.ts';
import { shown } from '../../number.ts';
import { outline } from '../kit/lines.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, type Layout, numberOf } from '../layout.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

interface Way {
  readonly frequency: AnswerValue;
  /** mm ahead of the centre of gravity; null: up and down level. */
  readonly node: number | null;
  readonly bounce: boolean;
}
interface Facts {
  readonly ways: readonly Way[];
  readonly wheelbase: number;
  /** mm, from the centre of gravity to the axles. */
  readonly ahead: number;
  readonly behind: number;
}

function factsOf(answer: Answer): Facts | null {
  const [wheelbase, share] = [numberOf(answer, 'wheelbase'), numberOf(answer, 'rear_share')];
  if (wheelbase === null || share === null) return null;
  const [ahead, behind] = [(share / 100) * wheelbase, (1 - share / 100) * wheelbase];
  const ways = [1, 2].flatMap((n): Way[] => {
    const [frequency, node] = [answerOf(answer, `frequency_${n}`), answerOf(answer, `node_${n}`)];
    if (typeof frequency?.value !== 'number' || node === null) return [];
    // Fifty wheelbases away it is level to the eye.
    const at = typeof node.value === 'number' && Math.abs(node.value) < 50 * wheelbase ? node.value : null;
    return [{ frequency, node: at, bounce: at === null || at > ahead || at < -behind }];
  });
  return ways.length === 2 ? { ways, wheelbase, ahead, behind } : null;
}

const kindOf = ({ bounce }: Way): string => (bounce ? 'bounce' : 'pitch');
const whereOf = ({ node }: Way): string => {
  if (node === null) return 'level';
  const far = Math.abs(Math.round(node));
  return far === 0 ? 'about the CG' : `${shown(far, 'mm').number} mm ${node < 0 ? 'behind' : 'ahead of'} CG`;
};

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    if (facts === null) return null;
    const [slower] = facts.ways as readonly [Way, Way];
    const left = { ...room, w: 196 };
    const hero = kit.hero(left.x, left.y, left.w, slower.frequency, { size: 62, over: `Slower: ${kindOf(slower)}`, explained: false });
    const below = { ...left, y: hero.bottom + 8, h: room.y + room.h - hero.bottom - 8 };
    const others = ['frequency_2', 'front_frequency', 'rear_frequency'].flatMap((name) => answerOf(answer, name) ?? []);
    const pitch = Math.min(34, Math.max(28, below.h / 3));
    const names = { frequency_2: 'Quicker', front_frequency: 'Front alone', rear_frequency: 'Rear alone' };
    return [
      hero.marks,
      kit.rows(below, others, { pitch, size: 20, names }).marks,
      swings(kit, { ...room, x: room.x + 222, w: room.w - 222 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const told = facts.ways.map((way, i) => `the ${i === 0 ? 'slower' : 'quicker'} a ${kindOf(way)}, ${whereOf(way)}`);
    return `The truck in side view, and over it its two ways to swing: ${told.join('; ')}.`;
  },
};

function swings(kit: Kit, { x, y, w, h }: Box, { ways, wheelbase, ahead, behind }: Facts): Marks {
  // The body reaches 0.3 of a wheelbase beyond each axle; the truck is as large as half the height allows.
  const base = Math.min(w / 1.85, (0.42 * h) / 0.63);
  const mm = base / wheelbase;
  const front = x + (w - base) / 2;
  const r = 0.17 * base;
  const axle = y + h - 6 - r;
  const cg = front + ahead * mm;
  const [noseEnd, tailEnd] = [front - 0.3 * base, front + 1.3 * base];
  const top = axle - 0.47 * base;
  const lane = (top - y) / 2;
  const place = (along: number): number => cg - along * mm;
  return [
    kit.truck(front, front + base, axle, r),
    kit.ground(noseEnd, tailEnd, axle + r),
    kit.centre(cg, axle - 0.2 * base, 8, { name: 'CG' }),
    [ahead, -behind].map((along) =>
      kit.rule(place(along), y + 20, place(along), axle - r - 4, { tone: 'rule', width: strokes.hair, dash: '3 4' }),
    ),
    ways.map((way, i) => {
      const words = `${kindOf(way)}, ${whereOf(way)}`;
      const width = Math.min(w, kit.widthOf(words));
      const middle = y + lane * i + (lane + 18) / 2;
      const reach = Math.min(13, (lane - 22) / 2);
      return [
        kit.rect({ x: x + w - width - 4, y: y + lane * i - 2, w: width + 4, h: 19 }, { fill: 'ground' }),
        kit.text(x + w, y + lane * i + 13, words, { tone: 'muted', anchor: 'end', width: w }),
        fan(kit, way.node === null ? null : place(way.node), [noseEnd, tailEnd], middle, reach, { x, y, w, h }),
      ];
    }),
  ];
}

/** Both extremes of a way to swing: two lines over the length of the truck that cross at the still point; `node` null: they are level. */
function fan(kit: Kit, node: number | null, [nose, tail]: readonly [number, number], y: number, reach: number, { x, w }: Box): Marks {
  const far = node === null ? 1 : Math.max(Math.abs(nose - node), Math.abs(tail - node));
  const lift = (at: number): number => (node === null ? reach : (reach * (at - node)) / far);
  const ends: readonly [Point, Point, Point, Point] = [
    [nose, y - lift(nose)],
    [tail, y - lift(tail)],
    [tail, y + lift(tail)],
    [nose, y + lift(nose)],
  ];
  // A fan that crosses is two wedges; one that does not is a single one.
  const inside = node !== null && node > nose && node < tail;
  const wedges = inside ? [[ends[0], [node, y] as Point, ends[3]], [ends[1], [node, y] as Point, ends[2]]] : [ends]; // biome-ignore format: one line
  const onCard = node !== null && node >= x + 6 && node <= x + w - 6;
  const edge = node !== null && node < x + 6 ? x + 2 : x + w - 2;
  const from = node !== null && node < x + 6 ? Math.max(nose, x + 24) : Math.min(tail, x + w - 24);
  return [
    wedges.map((points) => kit.path(outline(points as readonly Point[]), { fill: 'light', opacity: 0.3, name: 'swing' })),
    kit.polyline([ends[0], ends[1]], { tone: 'light', width: strokes.bold }),
    kit.polyline([ends[3], ends[2]], { tone: 'light', width: strokes.line }),
    onCard
      ? [
          kit.rule(inside ? node! : node! < nose ? node! : tail, y, inside ? node! : node! < nose ? nose : node!, y, {
            tone: 'heavy',
            dash: '3 3',
          }),
          kit.circle(node!, y, 6, { fill: 'ground', tone: 'heavy', width: strokes.line, name: 'node' }),
          kit.circle(node!, y, 2, { fill: 'heavy' }),
        ]
      : node === null
        ? []
        : kit.arrow(from, y, edge, y, { width: strokes.line, name: 'node off' }),
  ];
}
