/** Gearing: a stair of teeth, one a pinion; the height of a step is the speed it gives at most. */
import { answerOf, answersBut, type Layout } from '../layout.ts';
import { described } from '../plot.ts';
import { stair, stairOf } from '../stair.ts';

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const curve = stairOf(answer, 'ideal_speed');
    const hero = answerOf(answer, 'ideal_speed');
    if (curve === null || typeof hero?.value !== 'number') return null;
    const others = answersBut(answer, 'ideal_speed');
    return stair(kit, room, { curve, name: 'ideal_speed', hero, over: 'At most, no load, no slip', others });
  },
  picture: (answer) => {
    const curve = stairOf(answer, 'ideal_speed');
    if (curve === null) return '';
    return `A stair of gear teeth, one step a pinion, its height the speed. ${described(curve, 'ideal_speed')} A mark stands on the pinion of this truck.`;
  },
};
