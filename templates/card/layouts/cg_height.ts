/** Height of the centre of gravity: the truck in side view, to scale, its centre where it was found: so high, so far behind the front axle. */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { quantity } from '../../number.ts';
import { view } from '../kit/view.ts';
import type { Kit } from '../kit.ts';
import { answerOf, answersBut, type Layout, numberOf } from '../layout.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

interface Facts {
  readonly wheelbase: number;
  readonly radius: number;
  readonly height: number;
  readonly back: number;
}

function factsOf(answer: Answer): Facts | null {
  const [wheelbase, radius, height, back] = ['wheelbase', 'wheel_radius', 'cg_height', 'cg_from_front'].map((name) =>
    numberOf(answer, name),
  );
  if (wheelbase == null || radius == null || height == null || back == null) return null;
  // Wheels that would stand in each other, or a centre far over the truck, are slips: the figures say it better than a picture.
  return radius < 0.45 * wheelbase && height < 1.5 * wheelbase && radius > 0.05 * wheelbase ? { wheelbase, radius, height, back } : null;
}

export const layout: Layout = {
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const height = answerOf(answer, 'cg_height');
    if (facts === null || height === null) return null;
    const left = { ...room, w: 214 };
    const hero = kit.hero(left.x, left.y, left.w, height, { size: 62, over: 'CG over the ground', explained: false });
    const below = { ...left, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const others = answersBut(answer, 'cg_height');
    const pitch = Math.min(33, Math.max(28, below.h / others.length));
    const names = { cg_from_front: 'From front', static_stability: 'Tips at (g)', per_gram: 'One gram is' };
    return [
      hero.marks,
      kit.rows(below, others, { pitch, size: 20, names }).marks,
      standing(kit, { ...room, x: room.x + 236, w: room.w - 236 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    return `The truck in side view, to scale, with its centre of gravity ${quantity(facts.height, 'mm')} over the ground and ${quantity(facts.back, 'mm')} behind the front axle.`;
  },
};

function standing(kit: Kit, { x, y, w, h }: Box, { wheelbase, radius, height, back }: Facts): Marks {
  const roof = radius + 0.45 * wheelbase;
  const air = { x: x + 8, y: y + 4, w: w - 16, h: h - 12 };
  const seen = view(air, [[-0.3 * wheelbase, 0], [1.27 * wheelbase, Math.max(roof, 1.1 * height)]], 'low'); // biome-ignore format: two corners
  if (seen === null) return [];
  const { at, factor } = seen;
  const [front, ground] = at(0, 0);
  const [cgX, cgY] = at(back, height);
  const [rear] = at(wheelbase, 0);
  return [
    kit.truck(front, rear, ground - factor * radius, factor * radius),
    kit.rule(x, ground, x + w, ground, { tone: 'muted', width: strokes.line }),
    kit.rule(cgX, ground, cgX, cgY, { tone: 'heavy', width: strokes.bold, name: 'height' }),
    kit.rule(cgX - 7, ground, cgX + 7, ground, { tone: 'heavy', width: strokes.bold }),
    kit.centre(cgX, cgY, 9, { name: 'CG' }),
  ];
}
