/** Top speed: the stair of pinions with what the motor can really hold; past the fastest step it goes down again. */
import { answerOf, type Layout, numberOf } from '../layout.ts';
import { described } from '../plot.ts';
import { stair, stairOf } from '../stair.ts';

const rows = ['current_at_top', 'efficiency_at_top', 'electrical_power', 'motor_speed_at_top'];
const names = { current_at_top: 'Current', efficiency_at_top: 'Efficiency', electrical_power: 'Power', motor_speed_at_top: 'Motor' };

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const curve = stairOf(answer, 'top_speed');
    const hero = answerOf(answer, 'top_speed');
    if (curve === null || typeof hero?.value !== 'number') return null;
    const others = rows.flatMap((name) => answerOf(answer, name) ?? []);
    return stair(kit, room, {
      curve,
      name: 'top_speed',
      hero,
      over: 'Flat out, on the level',
      others,
      names,
      fastest: numberOf(answer, 'fastest_pinion'),
    });
  },
  picture: (answer) => {
    const curve = stairOf(answer, 'top_speed');
    if (curve === null) return '';
    const fastest = numberOf(answer, 'fastest_pinion');
    const named = fastest === null ? '' : fastest === curve.here ? ' It is the fastest.' : ` The fastest, ${fastest}, is edged and named.`;
    return `A stair of gear teeth, one step a pinion, its height the speed. ${described(curve, 'top_speed')} A mark stands on the pinion of this truck.${named}`;
  },
};
