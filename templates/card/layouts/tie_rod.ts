/**
 * The steering from above, to scale, turning to the left: arms and tie rod as they stand at this inner angle, dashed as they stand straight
 * ahead. Under it, the Ackermann share over the inner wheel's angle.
 */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { joined, shown } from '../../number.ts';
import { outline } from '../kit/lines.ts';
import { view } from '../kit/view.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, curveOf, type Layout, numberOf } from '../layout.ts';
import { described, plot } from '../plot.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

/** Lengths in mm, angles in rad. */
interface Facts {
  readonly arm: number;
  readonly lean: number;
  readonly inner: number;
  readonly outer: number;
  readonly track: number;
}

function factsOf(answer: Answer): Facts | null {
  const [arm, track] = [numberOf(answer, 'steering_arm'), numberOf(answer, 'kingpin_track')];
  const angles = ['steering_arm_angle', 'inner_angle', 'outer_angle'].map((name) => numberOf(answer, name));
  const [lean, inner, outer] = angles.map((degrees) => ((degrees ?? Number.NaN) * Math.PI) / 180) as [number, number, number];
  return arm === null || track === null || angles.includes(null) ? null : { arm, lean, inner, outer, track };
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const share = answerOf(answer, 'ackermann_share');
    if (facts === null || share === null) return null;
    const left = { ...room, w: 190 };
    const hero = kit.hero(left.x, left.y, left.w, share, { size: 60, explained: false });
    const below = { ...left, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const others = ['tie_rod_length', 'outer_angle', 'ideal_outer', 'arm_angle_to_axle'].flatMap((name) => answerOf(answer, name) ?? []);
    const pitch = Math.min(32, Math.max(27, below.h / 4));
    const right = { ...room, x: room.x + 210, w: room.w - 210 };
    const curve = room.h > 200 ? curveOf(answer, 'ackermann_share', 'inner_angle') : null;
    const split = curve === null ? right.h : right.h - 108;
    return [
      hero.marks,
      kit.rows(below, others, { pitch, size: 20, names: rowNames }).marks,
      linkage(kit, { ...right, h: split }, facts),
      curve === null ? [] : plot(kit, { ...right, y: right.y + split + 6, h: right.h - split - 6 }, curve, 'ackermann_share'),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    const curve = curveOf(answer, 'ackermann_share', 'inner_angle');
    if (facts === null) return '';
    const drawing = 'Steering arms and tie rod from above, to scale, at this inner angle, dashed straight ahead.';
    return curve === null ? drawing : `${drawing} ${described(curve, 'ackermann_share')}`;
  },
};

const rowNames = { tie_rod_length: 'Tie rod', outer_angle: 'Outer', ideal_outer: 'Ideal outer', arm_angle_to_axle: 'Arms to axle' };

function linkage(kit: Kit, { x, y, w, h }: Box, { arm, lean, inner, outer, track }: Facts): Marks {
  // x to the right, y forward, from the middle between the kingpins; the left wheel is the inner one and turns by `inner` to the left.
  const side = (sign: 1 | -1, turned: number) => {
    const kingpin: Point = [(sign * track) / 2, 0];
    // An arm leans in from straight back; turning left takes the left arm further in and the right one out.
    const leant = lean - sign * turned;
    const end: Point = [kingpin[0] - sign * arm * Math.sin(leant), -arm * Math.cos(leant)];
    return { kingpin, end };
  };
  const straight = [side(-1, 0), side(1, 0)];
  const turned = [side(-1, inner), side(1, outer)];
  const length = 0.27 * track;
  const wheel = ([px, py]: Point, angle: number): Point[] =>
    [
      [0.5, -0.2],
      [0.5, 0.2],
      [-0.5, 0.2],
      [-0.5, -0.2],
    ].map(
      ([along, out]): Point => [
        px + length * (out! * Math.cos(angle) - along! * Math.sin(angle)),
        py + length * (along! * Math.cos(angle) + out! * Math.sin(angle)),
      ],
    );
  const wheels = [wheel(turned[0]!.kingpin, inner), wheel(turned[1]!.kingpin, outer)];
  const ends = [...straight, ...turned].map(({ end }) => end);
  const seen = view({ x: x + 4, y: y + 22, w: w - 8, h: h - 26 }, [...wheels.flat(), ...ends]);
  if (seen === null) return [];
  const at = ([px, py]: Point): Point => seen.at(px, py);
  const tones = ['heavy', 'light'] as const;
  const bars = ([left, right]: readonly { readonly kingpin: Point; readonly end: Point }[]): Point[] =>
    [left!.kingpin, left!.end, right!.end, right!.kingpin].map(at);
  const degrees = (angle: number): string => joined(shown(Math.round((angle * 1800) / Math.PI) / 10, 'deg'));
  return [
    kit.rule(...at(straight[0]!.kingpin), ...at(straight[1]!.kingpin), { tone: 'rule', width: strokes.line }),
    wheels.map((corners, i) => kit.path(outline(corners.map(at)), { fill: 'panel', tone: tones[i]!, width: strokes.line, name: 'wheel' })),
    kit.polyline(bars(straight), { tone: 'muted', width: strokes.line, dash: '4 4', name: 'straight ahead' }),
    kit.polyline(bars(turned), { tone: 'text', width: strokes.bold, name: 'linkage' }),
    turned.flatMap(({ kingpin, end }) => [
      kit.circle(...at(kingpin), 5, { fill: 'ground', tone: 'text', width: strokes.line }),
      kit.circle(...at(end), 4, { fill: 'text' }),
    ]),
    kit.text(x, y + 13, `inner ${degrees(inner)}`, { tone: 'heavy', weight: 600, width: w / 2 - 6 }),
    kit.text(x + w, y + 13, `outer ${degrees(outer)}`, { tone: 'light', weight: 600, anchor: 'end', width: w / 2 - 6 }),
  ];
}
