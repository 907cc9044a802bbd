/** look: what a sheet would answer, with nothing of it kept: for "what if". */
import type { CommandSpec } from './types.ts';

export const LOOK: CommandSpec = {
  name: 'look',
  description: 'What if? A sheet with other numbers, of which nothing is kept',
  options: [{ name: 'line', description: 'The sheet and its readings, as you would type them: gearing pinion:18', kind: 'rest' }],
  asks: ['How do I try a number without keeping it?', 'What if I put other springs in?', 'Only look, keep nothing'],
  examples: ['look corners 612 605 901 896', 'look gearing 3300 2s 18 54 gearbox_ratio:43/13 tyre_diameter:109'],
};
