/** A card that is no sheet's answer: of a truck, of a setup, of what differs between setups. Drawn in the same frame, with the same kit. */
import type { Told } from './frame.ts';
import { frame } from './frame.ts';
import type { Kit } from './kit.ts';
import { type Box, flat, type Mark, type Marks } from './scene.ts';

export interface Portrait {
  /** The file's name, without its ending. */
  readonly name: string;
  readonly told: Told;
  readonly draw: (kit: Kit, room: Box) => Marks;
  /** What is to be seen, for those who do not see it. */
  readonly alt: string;
}

export function drawPortrait({ told, draw }: Portrait, kit: Kit): Mark[] {
  const framed = frame(told, kit);
  return flat([framed.marks, draw(kit, framed.room)]);
}
