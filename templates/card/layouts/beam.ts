/**
 * A swing beam in front view, to scale, the chassis held still: the wheel stands at ride, leaning shadows at bump and droop; the line from
 * its foot through the pivot meets the centre line in the roll centre.
 */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { joined, shown } from '../../number.ts';
import { outline } from '../kit/lines.ts';
import { apart, view } from '../kit/view.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, type Layout, numberOf } from '../layout.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

/** A wheel in front view: its centre in mm from centre line and ground at ride, and its lean, top outward positive. */
interface Wheel {
  readonly name: string;
  readonly centre: Point;
  readonly lean: number;
}
interface Facts {
  /** From bump down. */
  readonly wheels: readonly Wheel[];
  readonly radius: number;
  readonly pivot: Point;
  readonly rollCentre: number;
}

function factsOf(answer: Answer): Facts | null {
  const number = (name: string): number => numberOf(answer, name) ?? Number.NaN;
  const [radius, across] = [number('wheel_radius'), number('pivot_across')];
  const ride = across + number('beam_length');
  const wheel = (name: 'bump' | 'droop', moved: number): Wheel => {
    const lean = (number(`camber_${name}`) * Math.PI) / 180;
    // The foot's way sideways is the answer; the centre stands a wheel radius from it, along the leaning wheel.
    return { name, lean, centre: [ride + number(`half_track_change_${name}`) + radius * Math.sin(lean), radius + moved] };
  };
  const facts = {
    wheels: [wheel('bump', number('bump')), { name: 'ride', lean: 0, centre: [ride, radius] as const }, wheel('droop', -number('droop'))],
    radius,
    pivot: [across, number('pivot_height')] as const,
    rollCentre: number('roll_centre_height'),
  };
  const all = [radius, facts.rollCentre, ...facts.pivot, ...facts.wheels.flatMap(({ centre, lean }) => [...centre, lean])];
  return all.every(Number.isFinite) ? facts : null;
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const camber = answerOf(answer, 'camber_bump');
    if (facts === null || camber === null) return null;
    const left = { ...room, w: 204 };
    const hero = kit.hero(left.x, left.y, left.w, camber, { size: 58, over: 'Camber at bump', explained: false });
    const below = { ...left, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const others = ['camber_droop', 'half_track_change_bump', 'half_track_change_droop', 'roll_centre_height'];
    const pitch = Math.min(32, Math.max(27, below.h / 4));
    const rows = others.flatMap((name) => answerOf(answer, name) ?? []);
    return [
      hero.marks,
      kit.rows(below, rows, { pitch, size: 20, names: rowNames }).marks,
      front(kit, { ...room, x: room.x + 218, w: room.w - 218 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    return `The beam in front view, to scale: the wheel upright at ride, leaning shadows at bump and droop, and the roll centre on the truck's centre line.`;
  },
};

const rowNames = {
  camber_droop: 'At droop',
  half_track_change_bump: 'Foot, bump',
  half_track_change_droop: 'Foot, droop',
  roll_centre_height: 'Roll centre',
};

function front(kit: Kit, { x, y, w, h }: Box, { wheels, radius, pivot, rollCentre }: Facts): Marks {
  const words = 76;
  const half = 0.34 * radius;
  /** A place of a leaning wheel: along its plane, and out from it. */
  const on = ({ centre: [cx, cy], lean }: Wheel, along: number, out: number): Point => [
    cx + along * Math.sin(lean) + out * Math.cos(lean),
    cy + along * Math.cos(lean) - out * Math.sin(lean),
  ];
  const box = (wheel: Wheel): Point[] => [
    on(wheel, radius, -half),
    on(wheel, radius, half),
    on(wheel, -radius, half),
    on(wheel, -radius, -half),
  ];
  const seen = view({ x: x + 8, y: y + 6, w: w - words - 14, h: h - 12 }, [[0, 0], [0, rollCentre], pivot, ...wheels.flatMap(box)]);
  if (seen === null) return [];
  const at = ([px, py]: Point): Point => seen.at(px, py);
  const [axis, ground] = at([0, 0]);
  const [bump, ride, droop] = wheels as [Wheel, Wheel, Wheel];

  const wordsAt = x + w - words + 4;
  const heights = wheels.map((wheel) => at(wheel.centre)[1]);
  const places = apart(heights, 42, [y + 16, y + h - 26]);
  const edge = Math.max(...wheels.flatMap((wheel) => box(wheel).map((corner) => at(corner)[0])));
  const foot = at(on(ride, -radius, 0));
  const tyre = (wheel: Wheel): string => outline(box(wheel).map(at));
  return [
    kit.rule(axis, y + 4, axis, y + h - 4, { tone: 'muted', width: strokes.hair, dash: '10 4 2 4' }),
    kit.ground(x, edge, ground),
    [bump, droop].map((wheel) => [
      kit.path(tyre(wheel), { tone: 'muted', width: strokes.line, name: `wheel ${wheel.name}` }),
      kit.rule(...at(pivot), ...at(wheel.centre), { tone: 'rule', width: strokes.line }),
    ]),
    kit.path(tyre(ride), { fill: 'panel', tone: 'text', width: strokes.line, name: 'wheel ride' }),
    kit.polyline(
      [foot, at(pivot), at([0, rollCentre])].sort((a, b) => a[0] - b[0]),
      { tone: 'heavy', width: strokes.line, dash: '5 4', name: 'roll centre line' },
    ),
    kit.link(at(pivot), at(ride.centre)),
    kit.circle(axis, at([0, rollCentre])[1], 8, { fill: 'ground' }),
    kit.circle(axis, at([0, rollCentre])[1], 6, { fill: 'heavy', name: 'roll centre' }),
    kit.circle(...foot, 4.5, { fill: 'heavy' }),
    wheels.map((wheel, i) => [
      kit.polyline(
        [
          [edge + 2, heights[i]!],
          [wordsAt - 6, places[i]!],
        ],
        { tone: 'muted', width: strokes.hair },
      ),
      kit.text(wordsAt, places[i]! + 1, wheel.name, wheel === ride ? { weight: 600 } : { tone: 'muted' }),
      kit.text(wordsAt, places[i]! + 20, joined(shown(rounded((wheel.lean * 180) / Math.PI), 'deg')), { weight: 700, width: words }),
    ]),
  ];
}

/** A tenth of a degree is what a wheel can be seen to lean. */
const rounded = (degrees: number): number => Math.round(10 * degrees) / 10;
