/** Circles at one lock: the steering that each circle needs, against its lateral acceleration; the line falls with understeer. */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { joined, shown } from '../../number.ts';
import { type Fit, fitted } from '../fitted.ts';
import { answerOf, curveOf, type Layout } from '../layout.ts';

function pointsOf(answer: Answer): Fit['points'] | null {
  const curve = curveOf(answer, 'line', 'lateral_acceleration');
  const [angles, lines] = [curve?.answers.path_angle ?? [], curve?.answers.line ?? []];
  const points = (curve?.x ?? []).flatMap((x, i) => {
    const [y, line] = [angles[i], lines[i]];
    return typeof y === 'number' && typeof line === 'number' ? [{ x, y, line }] : [];
  });
  return points.length >= 3 && points.at(-1)!.x > points[0]!.x ? points : null;
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const points = pointsOf(answer);
    const gradient = answerOf(answer, 'understeer_gradient');
    const steer = answerOf(answer, 'steer');
    if (points === null || typeof gradient?.value !== 'number' || typeof steer?.value !== 'number') return null;
    const left = { ...room, w: 214 };
    const over = gradient.value > 0 ? 'Understeer' : gradient.value < 0 ? 'Oversteer, negative' : 'Neutral';
    const hero = kit.hero(left.x, left.y, left.w, gradient, { over, explained: false, size: 64 });
    const below = { ...left, y: hero.bottom + 6, h: room.y + room.h - hero.bottom - 6 };
    const others = ['understeer_gradient_error', 'peak_lateral_acceleration', 'characteristic_speed', 'critical_speed']
      .flatMap((name) => answerOf(answer, name) ?? [])
      .filter(({ value }) => value !== null);
    return [
      hero.marks,
      kit.rows(below, others, { pitch: Math.min(33, Math.max(28, below.h / 3)), size: 20, names: rowNames }).marks,
      fitted(
        kit,
        { ...room, x: room.x + 236, w: room.w - 236 },
        {
          title: 'Steering in ° that each circle needs',
          points,
          xUnit: 'g',
          yUnit: 'deg',
          start: `lock ${joined(shown(steer.value, steer.unit))}`,
        },
      ),
    ];
  },
  picture: (answer) => {
    const points = pointsOf(answer);
    if (points === null) return '';
    return `A plot of the steering that each circle needs against its lateral acceleration: ${points.length} runs, the line through them, and under it how far each lies off the line.`;
  },
};

const rowNames = {
  understeer_gradient_error: 'Error',
  peak_lateral_acceleration: 'Most grip',
  characteristic_speed: 'Twice as wide',
  critical_speed: 'Spins from',
};
