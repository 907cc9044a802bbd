/**
 * Arm and shock in side view, to scale, the front to the left: the arm and its shock stand at ride, their shadows at the stops; the axle's
 * path is the wheel travel. Right of it, three ruled lines with the motion ratio at each.
 */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { series, shown } from '../../number.ts';
import { apart, view } from '../kit/view.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, type Layout, numberOf } from '../layout.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

/** Where the arm stands at one height: places in mm from the pivot, backward and up. */
interface Stand {
  readonly name: string;
  readonly angle: number;
  readonly ratio: number;
  readonly axle: Point;
  readonly eye: Point;
  /** Where the lower eye's foot stands on the arm line. */
  readonly foot: Point;
}
interface Facts {
  /** From bump down. */
  readonly stands: readonly Stand[];
  readonly arm: number;
  readonly mount: Point;
}

function factsOf(answer: Answer): Facts | null {
  const [arm, along, off, back, up] = ['swing_arm', 'shock_lower_along', 'shock_lower_off', 'shock_upper_back', 'shock_upper_up'].map(
    (name) => numberOf(answer, name),
  );
  if (typeof arm !== 'number' || typeof along !== 'number' || typeof off !== 'number') return null;
  if (typeof back !== 'number' || typeof up !== 'number') return null;
  const stands = ['bump', 'ride', 'droop'].flatMap((name): Stand[] => {
    const [degrees, ratio] = [numberOf(answer, `arm_angle_${name}`), numberOf(answer, `motion_ratio_${name}`)];
    if (degrees === null || ratio === null) return [];
    const angle = (degrees * Math.PI) / 180;
    const on = (length: number, above: number): Point => [
      length * Math.cos(angle) - above * Math.sin(angle),
      length * Math.sin(angle) + above * Math.cos(angle),
    ];
    return [{ name, angle, ratio, axle: on(arm, 0), eye: on(along, off), foot: on(along, 0) }];
  });
  return stands.length < 2 ? null : { stands, arm, mount: [back, up] };
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const travel = answerOf(answer, 'wheel_travel');
    if (facts === null || travel === null) return null;
    const left = { ...room, w: 186 };
    const hero = kit.hero(left.x, left.y, left.w, travel, { size: 62, explained: false });
    const below = { ...left, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const others = ['up_travel', 'down_travel', 'droop_share', 'wheelbase_change'].flatMap((name) => answerOf(answer, name) ?? []);
    const pitch = Math.min(32, Math.max(27, below.h / 4));
    return [
      hero.marks,
      kit.rows(below, others, { pitch, size: 20, names: rowNames }).marks,
      arms(kit, { ...room, x: room.x + 200, w: room.w - 200 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const ratios = facts.stands.map(({ name, ratio }) => `${shown(ratio, null).number} at ${name}`).join(', ');
    return `Arm and shock in side view, to scale, with shadows at the stops and three ruled lines at the axle's heights. Motion ratio ${ratios}.`;
  },
};

const rowNames = { up_travel: 'Up', down_travel: 'Down', droop_share: 'In droop', wheelbase_change: 'Axle back' };

const between = (from: Point, to: Point, share: number): Point => [
  from[0] + share * (to[0] - from[0]),
  from[1] + share * (to[1] - from[1]),
];

function arms(kit: Kit, { x, y, w, h }: Box, { stands, arm, mount }: Facts): Marks {
  const words = 98;
  const [bump, droop] = [stands[0]!, stands.at(-1)!];
  const ride = stands.find(({ name }) => name === 'ride') ?? bump;
  const box = { x: x + 10, y: y + 10, w: w - words - 22, h: h - 20 };
  const seen = view(box, [[0, 0], mount, ...stands.flatMap(({ axle, eye }) => [axle, eye])]);
  if (seen === null) return [];
  const at = ([px, py]: Point): Point => seen.at(px, py);
  const [pivot, upper] = [at([0, 0]), at(mount)];
  const path = Array.from({ length: 25 }, (_, i): Point => {
    const angle = droop.angle + ((bump.angle - droop.angle) * i) / 24;
    return at([arm * Math.cos(angle), arm * Math.sin(angle)]);
  });

  // Each line leads from the axle to its words; words that would touch move apart.
  const lineEnd = x + w - words;
  const heights = stands.map(({ axle }) => at(axle)[1]);
  const places = apart(heights, 24, [y + 34, y + h - 8]);
  const ratios = series(
    stands.map(({ ratio }) => ratio),
    3,
  );
  return [
    kit.text(x + w, y + 13, 'motion ratio', { tone: 'muted', anchor: 'end' }),
    stands.map(({ name, axle }, i) => [
      kit.polyline([at(axle), [lineEnd - 10, heights[i]!], [lineEnd - 2, places[i]!]], {
        tone: name === 'ride' ? 'heavy' : 'muted',
        width: name === 'ride' ? strokes.line : strokes.hair,
        name: `line ${name}`,
      }),
      kit.text(lineEnd + 2, places[i]! + 6, name, name === 'ride' ? { weight: 600 } : { tone: 'muted' }),
      kit.text(x + w, places[i]! + 6, ratios[i]!, { weight: 700, anchor: 'end', width: 52 }),
    ]),
    stands
      .filter((one) => one !== ride)
      .map(({ axle, eye, foot }) => [
        kit.rule(...pivot, ...at(axle), { tone: 'rule', width: strokes.line }),
        kit.rule(...at(foot), ...at(eye), { tone: 'rule', width: strokes.line }),
        kit.rule(...upper, ...at(eye), { tone: 'rule', width: strokes.line, dash: '4 4', name: 'shock' }),
        kit.circle(...at(axle), 5, { fill: 'ground', tone: 'rule', width: strokes.line }),
      ]),
    kit.polyline(path, { tone: 'heavy', width: strokes.bold, name: 'travel' }),
    kit.rule(...at(ride.foot), ...at(ride.eye), { tone: 'text', width: 5 }),
    kit.link(pivot, at(ride.axle)),
    kit.damper(upper, at(ride.eye), { r: 6 }),
    kit.spring(between(upper, at(ride.eye), 0.1), between(upper, at(ride.eye), 0.88), { turns: 7, r: 10 }),
  ];
}
