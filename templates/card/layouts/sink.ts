/** A shock that sinks under weights: load against speed with the fitted line, which meets zero speed at the friction. */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { type Fit, fitted } from '../fitted.ts';
import { answerOf, curveOf, type Layout } from '../layout.ts';

function pointsOf(answer: Answer): Fit['points'] | null {
  const curve = curveOf(answer, 'line', 'speed');
  const [loads, lines] = [curve?.answers.load ?? [], curve?.answers.line ?? []];
  const points = (curve?.x ?? []).flatMap((x, i) => {
    const [y, line] = [loads[i], lines[i]];
    return typeof y === 'number' && typeof line === 'number' ? [{ x, y, line }] : [];
  });
  return points.length >= 2 && points.at(-1)!.x > points[0]!.x ? points : null;
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const points = pointsOf(answer);
    const coefficient = answerOf(answer, 'damper_coefficient');
    const friction = answerOf(answer, 'friction_force');
    if (points === null || coefficient === null || friction === null) return null;
    const left = { ...room, w: 214 };
    const hero = kit.hero(left.x, left.y, left.w, coefficient, { explained: false });
    const below = { ...left, y: hero.bottom + 6, h: room.y + room.h - hero.bottom - 6 };
    const others = ['friction_force', 'worst_residual', 'damper_coefficient_error'].flatMap((name) => answerOf(answer, name) ?? []);
    return [
      hero.marks,
      kit.rows(below, others, { pitch: Math.min(33, Math.max(28, below.h / 3)), size: 20, names: rowNames }).marks,
      fitted(
        kit,
        { ...room, x: room.x + 236, w: room.w - 236 },
        {
          title: 'Load in g over speed',
          points,
          xUnit: 'mm/s',
          yUnit: 'g',
          start: 'friction',
          fromZero: true,
        },
      ),
    ];
  },
  picture: (answer) => {
    const points = pointsOf(answer);
    if (points === null) return '';
    return `A plot of load against speed: ${points.length} runs, the line through them down to zero speed, and under it how far each lies off the line.`;
  },
};

const rowNames = { friction_force: 'Friction', worst_residual: 'Worst run', damper_coefficient_error: 'Error' };
