/** A launch: speed over time, and how far up the wheels slip. What is above the curve, or below it, is free for words: it only rises. */
import type { Answer, Curve } from '../../../worksheets/engine/types.ts';
import { quantity, series } from '../../number.ts';
import { capital, nameWords } from '../../words.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, curveOf, type Layout, numberOf } from '../layout.ts';
import { axis, interpolated } from '../plot.ts';
import type { Box, Marks } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';

interface Facts {
  readonly times: readonly number[];
  readonly speeds: readonly number[];
  readonly curve: Curve;
  /** The speed up to which the wheels slip, and when it is reached. */
  readonly slip: { readonly speed: number; readonly time: number } | null;
  readonly allTheWay: boolean;
}

function factsOf(answer: Answer): Facts | null {
  const curve = curveOf(answer, 'speed', 'time');
  const slipUntil = numberOf(answer, 'slip_until');
  const speeds = curve?.answers.speed ?? [];
  if (curve === null || slipUntil === null || !speeds.every((speed) => typeof speed === 'number')) return null;
  const [all, highest] = [speeds as readonly number[], speeds.at(-1) as number];
  if (all.length < 2 || !(highest > 0)) return null;
  const speed = Math.min(slipUntil, highest);
  const time = interpolated(all, curve.x, speed);
  // A truck that never gets where it is sent slips up to where the last of the curve creeps on.
  const allTheWay = slipUntil >= 0.98 * highest;
  return { times: curve.x, speeds: all, curve, slip: speed > 0 && time !== null ? { speed, time } : null, allTheWay };
}

const rows = ['slip_until', 'wheelie', 'peak_acceleration', 'peak_current'];
const names = { slip_until: 'Slips up to', peak_acceleration: 'Off the line', peak_current: 'Most current', wheelie: 'Front lifts' };

export const layout: Layout = {
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const time = answerOf(answer, 'time_to_speed');
    if (facts === null || time === null) return null;
    const low = room.h < 215;
    const left = { ...room, w: 236 };
    const toSpeed = answer.readings.find(({ name }) => name === 'to_speed');
    const over = typeof toSpeed?.value === 'number' ? `To ${quantity(toSpeed.value, toSpeed.unit)}` : capital(nameWords(time.name));
    const hero = kit.hero(left.x, left.y, left.w, time, { size: low ? 62 : sizes.hero, over, explained: false });
    const below = { ...left, y: hero.bottom + 6, h: room.y + room.h - hero.bottom - 6 };
    const others = rows.flatMap((name) => answerOf(answer, name) ?? []);
    const pitch = Math.min(33, Math.max(27, below.h / others.length));
    return [
      hero.marks,
      kit.rows(below, others, { pitch, size: 20, names }).marks,
      course(kit, { ...room, x: room.x + 262, w: room.w - 262 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const slips = facts.allTheWay
      ? 'The wheels slip all the way.'
      : facts.slip === null
        ? 'The wheels never slip.'
        : `The line is broken up to ${quantity(facts.slip.speed, facts.curve.units.speed ?? null)}, where the wheels slip.`;
    return `A plot of speed over time. ${slips}`;
  },
};

function course(kit: Kit, { x, y, w, h }: Box, { times, speeds, curve, slip, allTheWay }: Facts): Marks {
  const [top, bottom] = [y + 46, y + h - 27];
  const vertical = axis([0, ...speeds], bottom, top, Math.min(4, Math.max(2, Math.floor((bottom - top) / 28))));
  const figures = series(vertical.ticks);
  const left = x + Math.max(...figures.map((figure) => kit.widthOf(figure))) + 9;
  const right = x + w - 8;
  const across = axis(times, left, right - 4, 4);
  const at = (time: number, speed: number): Point => [across.scale(time), vertical.scale(speed)];
  const points = times.map((time, i) => at(time, speeds[i]!));
  const turn = slip === null ? null : at(slip.time, slip.speed);
  const slipping = turn === null ? [] : [...points.filter(([px]) => px < turn[0]), turn];
  const gripping = turn === null ? points : [turn, ...points.filter(([px]) => px > turn[0])];

  const words = allTheWay ? 'slips all the way' : slip === null ? 'grips all the way' : 'slips to here';
  const width = kit.widthOf(words, sizes.small, 600);
  const style = { weight: 600, tone: turn === null ? 'light' : 'heavy' } as const;
  // Over the line left of the turn the plot is empty, and under it right of the turn.
  const said =
    turn === null
      ? kit.text(right - 6, bottom - 10, words, { ...style, anchor: 'end' })
      : turn[0] - 12 - width >= left + 4
        ? kit.text(turn[0] - 12, turn[1] - 4, words, { ...style, anchor: 'end' })
        : kit.text(Math.min(turn[0] + 12, right - width), Math.min(turn[1] + 22, bottom - 8), words, style);
  return [
    kit.text(x, y + 13, 'Speed in km/h over time', { tone: 'muted', width: w }),
    vertical.ticks.map((tick, i) => [
      kit.rule(left, vertical.scale(tick), right, vertical.scale(tick), { tone: 'panel' }),
      kit.text(left - 7, vertical.scale(tick) + 6, figures[i]!, { tone: 'muted', anchor: 'end' }),
    ]),
    kit.polyline(gripping, { tone: 'light', width: strokes.bold, name: 'grips' }),
    kit.polyline(slipping, { tone: 'heavy', width: strokes.bold, dash: '7 5', name: 'slips' }),
    turn === null
      ? []
      : [kit.circle(turn[0], turn[1], 7.5, { fill: 'ground' }), kit.circle(turn[0], turn[1], 5.5, { fill: 'heavy', name: 'turn' })],
    said,
    kit.ruler(left, right, bottom, across.ticks, across.scale, curve.unit ?? ''),
  ];
}
