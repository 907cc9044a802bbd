/**
 * Two springs on one shock: load over travel, straight while both work, with a kink where the first binds, steeper after it. A marker
 * stands at the load that the truck rides on, where that is known.
 */
import { scaleLinear } from 'd3-scale';
import type { Answer } from '../../../worksheets/engine/types.ts';
import { joined, quantity, shown } from '../../number.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, type Layout, numberOf } from '../layout.ts';
import { axis } from '../plot.ts';
import type { Box, Marks } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';

interface Facts {
  /** N/mm, mm and N: a rate times a travel is a load. */
  readonly rate: number;
  readonly travel: number;
  readonly load: number;
  /** null: both bind together, and the pair is solid. */
  readonly after: number | null;
  /** Travel left to the other spring when the first binds; null when its room is not known. */
  readonly left: number | null;
  /** N at rest. */
  readonly rides: number | null;
}

function factsOf(answer: Answer): Facts | null {
  const number = (name: string): number | null => numberOf(answer, name);
  const [rate, travel, load] = [number('combined_rate'), number('crossover_travel'), number('crossover_load')];
  if (rate === null || travel === null || load === null || !(travel > 0) || !(load > 0)) return null;
  const rooms = [number('room_a'), number('room_b')];
  const left = rooms[0] === null || rooms[1] === null ? null : rooms[0]! + rooms[1]! - travel;
  return { rate, travel, load, after: number('rate_after'), left, rides: number('load_at_ride') };
}

export const layout: Layout = {
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const rate = answerOf(answer, 'combined_rate');
    if (facts === null || rate === null) return null;
    const left = { ...room, w: 226 };
    const hero = kit.hero(left.x, left.y, left.w, rate, { size: 66, explained: false });
    const below = { ...left, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const order = ['rate_after', 'crossover_travel', 'crossover_at_wheel', 'crossover_load'];
    const others = order.flatMap((name) => answerOf(answer, name) ?? []);
    return [
      hero.marks,
      kit.rows(below, others, { pitch: Math.min(32, Math.max(27, below.h / 4)), size: 20, names: rowNames }).marks,
      kink(kit, { ...room, x: room.x + 248, w: room.w - 248 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const { travel, load, rides } = facts;
    const where = rides === null ? '' : ` The truck rides at ${quantity(rides, 'N')}, ${rides < load ? 'below' : 'above'} the kink.`;
    return `Load on the springs over travel of the shock: two straight lines that meet in a kink at ${quantity(travel, 'mm')} and ${quantity(load, 'N')}, the second one steeper.${where}`;
  },
};

const rowNames = { rate_after: 'After', crossover_travel: 'Kink at', crossover_at_wheel: 'At the wheel', crossover_load: 'Load there' };

function kink(kit: Kit, { x, y, w, h }: Box, { rate, travel, load, after, left, rides }: Facts): Marks {
  // On past the kink: to where the other spring binds, but no farther than lets the kink be seen.
  const beyond = after === null ? 0 : Math.min(left ?? Number.POSITIVE_INFINITY, 0.7 * travel, (1.6 * load) / after);
  const highest = Math.max(after === null ? 1.35 * load : load + after * beyond, rides === null ? 0 : 1.1 * rides);
  const free = left ?? Number.POSITIVE_INFINITY;
  const rest = after === null ? 0 : Math.min(free, Math.max(beyond, (highest - load) / after));
  // The words beside the kink need some room, also where the second spring has little left.
  const furthest = travel + Math.max(rest, 0.38 * travel);
  const [top, bottom] = [y + 30, y + h - 27];
  const across = axis([0, furthest], x + 6, x + w - 8, 4);
  const up = scaleLinear().domain([0, highest]).range([bottom, top]);
  const place = (t: number, l: number): Point => [across.scale(t), up(l)];
  const end: Point = after === null ? place(travel, highest) : place(travel + rest, load + after * rest);
  const bend = place(travel, load);
  const solid = left !== null && left <= rest * (1 + 1e-9);

  const rideTravel =
    rides === null ? null : rides < load ? rides / rate : travel + (after === null ? 0 : Math.min(free, (rides - load) / after));
  const words = after === null ? 'solid' : joined(shown(load, 'N'));
  return [
    kit.text(x, y + 13, 'Load over travel of the shock', { tone: 'muted', width: w }),
    kit.rule(x + 6, top, x + 6, bottom, { tone: 'muted' }),
    kit.rule(bend[0], bend[1], bend[0], bottom, { tone: 'muted', width: strokes.hair, dash: '3 3' }),
    kit.polyline([place(0, 0), bend], { tone: 'light', width: strokes.bold, name: 'both' }),
    kit.polyline([bend, end], { tone: 'text', width: strokes.bold, name: 'after' }),
    solid ? kit.rule(end[0], end[1], end[0], top - 4, { tone: 'text', width: strokes.line }) : [],
    kit.circle(bend[0], bend[1], 7.5, { fill: 'ground' }),
    kit.circle(bend[0], bend[1], 5.5, { fill: 'text', name: 'kink' }),
    kit.text(Math.min(bend[0] + 11, x + w - kit.widthOf(words, sizes.small, 600)), Math.min(bend[1] + 21, bottom - 7), words, {
      weight: 600,
    }),
    rideTravel === null || rides === null ? [] : ridesHere(kit, place(rideTravel, rides), { x, y, w, h }),
    kit.ruler(x + 6, x + w - 8, bottom, across.ticks, across.scale, 'mm'),
  ];
}

/** A marker on the line and its words, on the left of the line, where it is free. */
function ridesHere(kit: Kit, [px, py]: Point, { x }: Box): Marks {
  const words = 'rides here';
  const width = kit.widthOf(words, sizes.small, 600);
  return [
    kit.circle(px, py, 8.5, { fill: 'ground' }),
    kit.circle(px, py, 6.5, { fill: 'heavy', name: 'here' }),
    kit.text(Math.max(x + 12, px - 14 - width), py - 12, words, { weight: 600, tone: 'heavy' }),
  ];
}
