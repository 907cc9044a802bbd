/**
 * The front wheels from above, to scale, turning to the left: the lines through their hubs should meet the rear axle's line in one point.
 * Where each of them does meet it is marked; the dashed wheel is what the outer one should do.
 */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { joined, shown } from '../../number.ts';
import { outline } from '../kit/lines.ts';
import { view } from '../kit/view.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, type Layout, numberOf } from '../layout.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

/** Lengths in mm, angles in rad. */
interface Facts {
  readonly inner: number;
  readonly outer: number;
  readonly ideal: number;
  readonly wheelbase: number;
  readonly track: number;
}

function factsOf(answer: Answer): Facts | null {
  const [inner, outer, ideal] = ['inner_angle', 'outer_angle', 'ideal_outer'].map((name) => numberOf(answer, name));
  const [wheelbase, track] = [numberOf(answer, 'wheelbase'), numberOf(answer, 'kingpin_track')];
  if (typeof inner !== 'number' || typeof outer !== 'number' || typeof ideal !== 'number' || wheelbase === null || track === null)
    return null;
  const radians = (degrees: number): number => (degrees * Math.PI) / 180;
  return { inner: radians(inner), outer: radians(outer), ideal: radians(ideal), wheelbase, track };
}

/** How far left of the truck's middle the line through a wheel's hub meets the rear axle's line: null where it never does. */
const meets = ({ wheelbase }: Facts, kingpin: number, angle: number): number | null =>
  angle > 1e-6 ? kingpin - wheelbase / Math.tan(angle) : null;

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const share = answerOf(answer, 'ackermann_share');
    if (facts === null || share === null) return null;
    const left = { ...room, w: 186 };
    const hero = kit.hero(left.x, left.y, left.w, share, { size: 60, over: 'Ackermann share', explained: false });
    const below = { ...left, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const others = ['turn_radius', 'turn_circle', 'ideal_outer', 'outer_error'].flatMap((name) => answerOf(answer, name) ?? []);
    const pitch = Math.min(32, Math.max(27, below.h / 4));
    return [
      hero.marks,
      kit.rows(below, others, { pitch, size: 20, names: rowNames }).marks,
      above(kit, { ...room, x: room.x + 204, w: room.w - 204 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const where =
      facts.outer > facts.ideal * 1.002
        ? 'The outer wheel turns further than its ideal: its line meets the rear axle’s nearer the truck than the inner wheel’s line.'
        : facts.outer < facts.ideal * 0.998
          ? 'The outer wheel turns less than its ideal: its line meets the rear axle’s farther out than the inner wheel’s line.'
          : 'Both lines meet the rear axle’s line in one point.';
    return `The front wheels from above in a left turn, to scale, with the lines through their hubs. ${where}`;
  },
};

const rowNames = { turn_radius: 'Radius', turn_circle: 'Circle', ideal_outer: 'Ideal outer', outer_error: 'Off by' };

function above(kit: Kit, { x, y, w, h }: Box, facts: Facts): Marks {
  const { inner, outer, ideal, wheelbase, track } = facts;
  // x to the right, y forward, from the rear axle's middle; a left turn, so the inner wheel is the left one.
  const wheels = [
    { kingpin: -track / 2, angle: inner, tone: 'heavy' },
    { kingpin: track / 2, angle: outer, tone: 'light' },
  ] as const;
  const length = 0.15 * wheelbase + 0.1 * track;
  const wheel = (px: number, py: number, angle: number): Point[] =>
    [
      [length / 2, -length / 4],
      [length / 2, length / 4],
      [-length / 2, length / 4],
      [-length / 2, -length / 4],
    ].map(
      ([along, out]): Point => [
        px - along! * Math.sin(angle) + out! * Math.cos(angle),
        py + along! * Math.cos(angle) + out! * Math.sin(angle),
      ],
    );
  // A gentle turn has its centre far away: then the picture shows the truck, and the lines leave it.
  const centres = wheels.map(({ kingpin, angle }) => meets(facts, kingpin, angle));
  const reach = -2.6 * Math.max(track, 0.75 * wheelbase);
  const far = Math.min(...centres.map((centre) => (centre === null ? reach : Math.max(reach, centre))));
  const seen = view({ x: x + 8, y: y + 8, w: w - 16, h: h - 36 }, [
    [far - 0.06 * track, 0],
    [track / 2 + 0.6 * length, -0.6 * length],
    [-track / 2 - 0.6 * length, wheelbase + 0.6 * length],
  ]);
  if (seen === null) return [];
  const at = ([px, py]: Point): Point => seen.at(px, py);
  const [axleLeft, axleRight] = [at([-track / 2, 0]), at([track / 2, 0])];
  const shape = (px: number, py: number, angle: number): string => outline(wheel(px, py, angle).map(at));
  return [
    kit.rule(x + 4, axleLeft[1], axleLeft[0], axleLeft[1], {
      tone: 'muted',
      width: strokes.hair,
      dash: '10 4 2 4',
      name: 'rear axle line',
    }),
    // The truck: axles and spine.
    kit.rule(...axleLeft, ...axleRight, { tone: 'muted', width: strokes.line }),
    kit.rule(...at([-track / 2, wheelbase]), ...at([track / 2, wheelbase]), { tone: 'muted', width: strokes.line }),
    kit.rule(...at([0, 0]), ...at([0, wheelbase]), { tone: 'muted', width: strokes.line }),
    [-track / 2, track / 2].map((px) => kit.path(shape(px, 0, 0), { fill: 'muted' })),
    wheels.map(({ kingpin, angle, tone }, i) => {
      const centre = centres[i]!;
      const hub: Point = [kingpin, wheelbase];
      // The line ends where it meets the rear axle's, or at the picture's edge.
      const edge = (x + 4 - at(hub)[0]) / seen.factor + kingpin;
      const meet = centre !== null && centre >= edge ? centre : null;
      const end: Point = meet !== null ? [meet, 0] : [edge, wheelbase - (kingpin - edge) * Math.tan(angle)];
      return [
        kit.rule(...at(hub), ...at(end), { tone, width: strokes.line, name: `line ${i === 0 ? 'inner' : 'outer'}` }),
        kit.path(shape(kingpin, wheelbase, angle), { fill: tone, name: `wheel ${i === 0 ? 'inner' : 'outer'}` }),
        meet === null
          ? []
          : i === 0
            ? kit.circle(...at([meet, 0]), 7, { fill: tone, name: 'centre inner' })
            : [
                kit.circle(...at([meet, 0]), 7, { fill: 'ground' }),
                kit.circle(...at([meet, 0]), 6, { tone, width: strokes.bold, name: 'centre outer' }),
              ],
      ];
    }),
    kit.path(shape(track / 2, wheelbase, ideal), { tone: 'text', width: strokes.line, dash: '4 3', name: 'wheel ideal' }),
    kit.text(x, y + h - 4, `inner ${joined(shown((inner * 180) / Math.PI, 'deg'))}`, { tone: 'heavy', weight: 600, width: w / 2 - 6 }),
    kit.text(x + w, y + h - 4, `outer ${joined(shown((outer * 180) / Math.PI, 'deg'))}`, {
      tone: 'light',
      weight: 600,
      anchor: 'end',
      width: w / 2 - 6,
    }),
  ];
}
