/** The card of any sheet: one hero, up to six further answers, and the curve where there is one. */
import type { Answer, AnswerValue, Curve } from '../../worksheets/engine/types.ts';
import { heroOf } from '../words.ts';
import type { Kit } from './kit.ts';
import type { Layout } from './layout.ts';
import { described, plot } from './plot.ts';
import type { Box, Marks } from './scene.ts';
import { sizes } from './theme.ts';

const most = 6;

export const general: Layout = {
  draw: (answer, kit, room) => {
    const hero = heroOf(answer);
    if (hero === null) return null;
    const others = answer.answers.filter((one) => one !== hero);
    const drawn = curveToDraw(answer);
    if (drawn !== null) return withCurve(kit, room, answer, hero, others, drawn);
    if (typeof hero.value === 'string') return withWords(kit, room, hero, others);
    // Few answers: the one number may be as large as the room.
    const size = others.length < 4 && room.h > 200 ? 96 : sizes.hero;
    const first = kit.hero(room.x, room.y, others.length === 0 ? room.w : 244, hero, { size });
    return [first.marks, counted(kit, { x: room.x + 262, y: room.y - 6, w: room.w - 262, h: room.h + 6 }, others, most)];
  },
  picture: (answer) => {
    const drawn = curveToDraw(answer);
    if (drawn === null) return '';
    return `A line plot: ${described(drawn.curve, drawn.name)}${drawn.curve.here === null ? '' : ' A mark shows where this truck stands.'}`;
  },
};

interface DrawnCurve {
  readonly curve: Curve;
  readonly name: string;
}

function withCurve(
  kit: Kit,
  room: Box,
  answer: Answer,
  hero: AnswerValue,
  others: readonly AnswerValue[],
  { curve, name }: DrawnCurve,
): Marks {
  const left = { x: room.x, w: 250 };
  const first = kit.hero(left.x, room.y, left.w, hero, { explained: others.length === 0 || room.h > 210 });
  const below = { ...left, y: first.bottom + 6, h: room.y + room.h - first.bottom - 6 };
  const right = { x: room.x + 272, y: room.y, w: room.w - 272, h: room.h };
  const target = answer.answers.find((one) => one.name === name)?.band ?? null;
  return [first.marks, counted(kit, below, others, 4), plot(kit, right, curve, name, target)];
}

/** Words in the place of the number take the whole width; the further answers stand in two columns under them. */
function withWords(kit: Kit, room: Box, hero: AnswerValue, others: readonly AnswerValue[]): Marks {
  const first = kit.hero(room.x, room.y, room.w, hero);
  const gap = 36;
  const box = { x: room.x, y: first.bottom + 12, w: (room.w - gap) / 2, h: room.y + room.h - first.bottom - 12 };
  const perColumn = Math.min(most / 2, Math.ceil(others.length / 2), Math.floor(box.h / 28));
  const right = { ...box, x: box.x + box.w + gap };
  return [
    first.marks,
    kit.rows(box, others.slice(0, perColumn), { pitch: 28 }).marks,
    counted(kit, { ...right, h: 28 * perColumn }, others.slice(perColumn), perColumn, 28),
  ];
}

/** As many rows as there is room for, the looser the fewer; the last one says how many answers stand in the text only. */
function counted(kit: Kit, box: Box, answers: readonly AnswerValue[], limit: number, given?: number): Marks {
  const pitch = given ?? Math.min(44, Math.max(28, box.h / Math.max(1, Math.min(limit, answers.length))));
  const size = pitch >= 40 ? 24 : 20;
  const fits = Math.min(limit, Math.max(0, Math.floor((box.h + 0.01) / pitch)));
  if (answers.length <= fits) return kit.rows(box, answers, { pitch, size }).marks;
  if (fits === 0) return [];
  const shown = fits - 1;
  const note = `+ ${answers.length - shown} more in the text`;
  const y = box.y + pitch * shown + 0.5 * pitch + 6.5;
  return [
    kit.rows(box, answers.slice(0, shown), { pitch, size }).marks,
    kit.text(box.x + box.w, y, note, { tone: 'muted', anchor: 'end', width: box.w }),
  ];
}

/** The hero's own curve, else the first answer of the first curve. */
function curveToDraw(answer: Answer): DrawnCurve | null {
  const known = (curve: Curve, name: string): boolean => (curve.answers[name] ?? []).filter((value) => value !== null).length > 1;
  for (const curve of answer.curves) if (known(curve, answer.hero)) return { curve, name: answer.hero };
  for (const curve of answer.curves) for (const name of Object.keys(curve.answers)) if (known(curve, name)) return { curve, name };
  return null;
}
