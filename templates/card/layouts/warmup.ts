/** Warm-up: the three readings on the course they lie on, levelling off below the motor's limit or passing it. */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { quantity } from '../../number.ts';
import { answerOf, curveOf, type Layout, numberOf, readingOf } from '../layout.ts';
import { sizes } from '../theme.ts';
import { type Warming, warming } from '../warming.ts';

function factsOf(answer: Answer): Warming | null {
  const curve = curveOf(answer, 'temperature', 'time');
  const [limit, steady, interval] = ['motor_limit', 'steady_temperature', 'interval'].map((name) => numberOf(answer, name));
  const readings = readingOf(answer, 'temperatures')?.value;
  if (
    curve === null ||
    typeof limit !== 'number' ||
    typeof steady !== 'number' ||
    typeof interval !== 'number' ||
    typeof readings !== 'object'
  )
    return null;
  const known = curve.answers.temperature!.every((value) => typeof value === 'number');
  const dots = readings.flatMap((temperature, i) => (typeof temperature === 'number' ? [{ time: i * interval, temperature }] : []));
  if (!known || curve.x.length < 2 || dots.length !== 3) return null;
  const at = numberOf(answer, 'time_to_limit');
  return { curve, name: 'temperature', limit, steady, limitAt: at !== null && at > 0 ? at : null, dots, dotName: 'reading' };
}

const rows = ['time_to_limit', 'time_constant', 'leverage', 'thermal_resistance', 'heat_capacity'];
const names = { time_to_limit: 'At its limit in', leverage: 'For each 1° off', thermal_resistance: 'Motor to air' };

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const steady = answerOf(answer, 'steady_temperature');
    if (facts === null || steady === null) return null;
    const left = { ...room, w: 236 };
    const size = room.h < 215 ? 62 : sizes.hero;
    const hero = kit.hero(left.x, left.y, left.w, steady, { size, over: 'Levels off at', explained: false });
    const below = { ...left, y: hero.bottom + 8, h: room.y + room.h - hero.bottom - 8 };
    const others = rows.flatMap((name) => answerOf(answer, name) ?? []);
    const pitch = Math.min(33, Math.max(28, below.h / Math.min(4, others.length)));
    return [
      hero.marks,
      kit.rows(below, others.slice(0, 4), { pitch, size: 20, names }).marks,
      warming(kit, { ...room, x: room.x + 262, w: room.w - 262 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const { curve, limit, steady, limitAt } = facts;
    const passes =
      limitAt === null
        ? steady <= limit
          ? 'stays below'
          : 'lies above'
        : `passes, ${quantity(limitAt, curve.unit)} after the first reading,`;
    return `A plot of temperature over time: the three readings and the course they lie on. It ${passes} the motor's limit, a line at ${quantity(limit, '°C')}.`;
  },
};
