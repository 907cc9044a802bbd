/** What a turn does to the four tyres: the area of a print is the load that it carries then; beside it, the load that came or went. */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { shown } from '../../number.ts';
import type { Kit } from '../kit.ts';
import { answerOf, type Layout, numberOf } from '../layout.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

/** One axle in the turn, in g. */
interface Axle {
  readonly name: 'front' | 'rear';
  readonly inner: number;
  readonly outer: number;
  readonly moved: number;
}

function axlesOf(answer: Answer): readonly Axle[] | null {
  const [total, share] = [numberOf(answer, 'total'), numberOf(answer, 'rear_share')];
  const moved = [numberOf(answer, 'front_transfer'), numberOf(answer, 'rear_transfer')];
  if (total === null || share === null) return null;
  const axles = (['front', 'rear'] as const).flatMap((name, i): Axle[] => {
    const half = (total * (name === 'rear' ? share / 100 : 1 - share / 100)) / 2;
    const transfer = moved[i];
    return typeof transfer === 'number' ? [{ name, inner: half - transfer, outer: half + transfer, moved: transfer }] : [];
  });
  return axles.length === 2 && axles.some(({ outer }) => outer > 0) ? axles : null;
}

export const layout: Layout = {
  draw: (answer, kit, room) => {
    const axles = axlesOf(answer);
    const angle = answerOf(answer, 'roll_angle');
    if (axles === null || angle === null) return null;
    const left = { ...room, w: 216 };
    const hero = kit.hero(left.x, left.y, left.w, angle, { size: room.h > 200 ? 66 : 54, over: 'It leans by', explained: false });
    const below = { ...left, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const others = ['front_transfer_share', 'tip_over_acceleration', 'roll_gradient'].flatMap((name) => answerOf(answer, name) ?? []);
    const pitch = Math.min(33, Math.max(27, below.h / 3));
    return [
      hero.marks,
      kit.rows(below, others, { pitch, size: 20, names: rowNames }).marks,
      prints(kit, { ...room, x: room.x + 240, w: room.w - 240 }, axles),
    ];
  },
  picture: (answer) => {
    const axles = axlesOf(answer);
    if (axles === null) return '';
    const said = axles.map(({ name, inner, outer }) => {
      const carried = `${grams(outer)} g outside`;
      return inner > 0 ? `${name} ${grams(inner)} g inside and ${carried}` : `${name} inner wheel in the air, ${carried}`;
    });
    return `Four tyre prints, their area the load in the turn: ${said.join('; ')}.`;
  },
};

const rowNames = { front_transfer_share: 'Moved in front', tip_over_acceleration: 'Tips at', roll_gradient: 'For each g' };

const grams = (load: number): string => shown(Math.round(load), 'g').number;

function prints(kit: Kit, { x, y, w, h }: Box, axles: readonly Axle[]): Marks {
  const gutter = 44;
  const cell = { w: (w - gutter) / 2, h: (h - 22) / 2 };
  const top = y + 22;
  const column = (i: number): number => x + gutter + cell.w * (i + 0.5);
  // The largest print fills its cell over its figures; one factor for all four, so that areas compare.
  const most = Math.max(...axles.flatMap(({ inner, outer }) => [inner, outer]));
  const area = 0.74 * Math.max(12, cell.h - 30) ** 2;
  return [
    ['inner', 'outer'].map((side, i) => kit.text(column(i), y + 13, side, { tone: 'muted', anchor: 'middle' })),
    axles.map(({ name, inner, outer, moved }, row) => {
      const cellTop = top + cell.h * row;
      const middle = cellTop + (cell.h - 26) / 2;
      const figures = (load: number, i: number): Marks => {
        if (load <= 0) return kit.text(column(i), cellTop + cell.h - 8, 'in the air', { weight: 600, tone: 'heavy', anchor: 'middle' });
        const parts = { number: grams(load), unit: 'g', plusMinus: null };
        const { width } = kit.value(0, 0, parts, { size: 20, width: cell.w - 4 });
        return kit.value(column(i) - width / 2, cellTop + cell.h - 7, parts, { size: 20, width: cell.w - 4 }).marks;
      };
      const print = (load: number, i: number): Marks =>
        load > 0
          ? kit.print(column(i), middle, (load / most) * area, { name: `print ${name} ${i === 0 ? 'inner' : 'outer'}` })
          : kit.circle(column(i), middle, 12, { tone: 'heavy', width: strokes.line, dash: '4 4', name: `lifted ${name}` });
      const [from, to] = [column(0) + 0.36 * cell.w, column(1) - 0.36 * cell.w];
      return [
        kit.text(x, middle + 5, name, { tone: 'muted' }),
        [inner, outer].map((load, i) => [print(load, i), figures(load, i)]),
        moved === 0 ? [] : kit.arrow(moved > 0 ? from : to, middle, moved > 0 ? to : from, middle, { name: `moved ${name}` }),
      ];
    }),
    kit.rule(x, top + cell.h, x + w, top + cell.h, { tone: 'panel' }),
  ];
}
