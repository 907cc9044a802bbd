/** Motor heat: the temperature over the run, the end of the run on it, and the limit's line. */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { quantity } from '../../number.ts';
import { answerOf, curveOf, type Layout, numberOf } from '../layout.ts';
import { sizes } from '../theme.ts';
import { type Warming, warming } from '../warming.ts';

function factsOf(answer: Answer): Warming | null {
  const curve = curveOf(answer, 'final_temperature', 'run_time');
  const [limit, steady, final] = ['motor_limit', 'steady_temperature', 'final_temperature'].map((name) => numberOf(answer, name));
  if (curve === null || curve.here === null || typeof limit !== 'number' || typeof steady !== 'number' || typeof final !== 'number')
    return null;
  const known = curve.answers.final_temperature!.every((value) => typeof value === 'number');
  if (!known || curve.x.length < 2) return null;
  const at = numberOf(answer, 'time_to_limit');
  const limitAt = at !== null && at > 0 && at <= curve.x.at(-1)! ? at : null;
  return { curve, name: 'final_temperature', limit, steady, limitAt, dots: [{ time: curve.here, temperature: final }], dotName: 'end' };
}

const names = { steady_temperature: 'Levels off at', time_to_limit: 'At its limit in' };

export const layout: Layout = {
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const final = answerOf(answer, 'final_temperature');
    if (facts === null || final === null) return null;
    const left = { ...room, w: 236 };
    const size = room.h < 215 ? 62 : sizes.hero;
    const hero = kit.hero(left.x, left.y, left.w, final, { size, over: 'At the end of the run', explained: false });
    const below = { ...left, y: hero.bottom + 8, h: room.y + room.h - hero.bottom - 8 };
    const others = ['time_to_limit', 'steady_temperature'].flatMap((name) => answerOf(answer, name) ?? []);
    const pitch = Math.min(38, Math.max(28, below.h / 2));
    return [
      hero.marks,
      kit.rows(below, others, { pitch, size: 20, names }).marks,
      warming(kit, { ...room, x: room.x + 262, w: room.w - 262 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const { limit, steady } = facts;
    const passes = steady <= limit ? 'never reaches' : numberOf(answer, 'final_temperature')! >= limit ? 'has passed' : 'has not reached';
    return `A plot of temperature over time, its dot the end of the run. There it ${passes} the motor's limit, a line at ${quantity(limit, '°C')}.`;
  },
};
