/** Gearing: a stair of teeth, one a pinion; the height of a step is the speed it gives. The truck's own pinion is the step it stands on. */
import { scaleLinear } from 'd3-scale';
import type { Answer, Curve } from '../../../worksheets/engine/types.ts';
import { series } from '../../number.ts';
import { outline } from '../kit/lines.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, answersBut, curveOf, type Layout } from '../layout.ts';
import { described } from '../plot.ts';
import type { Box, Marks } from '../scene.ts';
import { strokes } from '../theme.ts';

const stairOf = (answer: Answer): Curve | null => {
  const curve = curveOf(answer, 'ideal_speed', 'pinion');
  const whole = curve?.answers.ideal_speed?.every((speed) => typeof speed === 'number' && speed > 0);
  return curve !== null && whole && curve.x.length >= 2 && curve.x.length <= 12 ? curve : null;
};

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const curve = stairOf(answer);
    const speed = answerOf(answer, 'ideal_speed');
    if (curve === null || typeof speed?.value !== 'number') return null;
    const hero = kit.hero(room.x, room.y, 252, speed, {
      size: room.h > 220 ? 66 : 54,
      over: 'At most, no load, no slip',
      explained: false,
    });
    return [stair(kit, room, curve), hero.marks, carved(kit, room, answer)];
  },
  picture: (answer) => {
    const curve = stairOf(answer);
    if (curve === null) return '';
    return `A stair of gear teeth, one step a pinion, its height the speed. ${described(curve, 'ideal_speed')} A mark stands on the pinion of this truck.`;
  },
};

function stair(kit: Kit, { x, y, w, h }: Box, curve: Curve): Marks {
  const speeds = curve.answers.ideal_speed as readonly number[];
  const base = y + h - 24;
  const rise = scaleLinear()
    .domain([0, Math.max(...speeds)])
    .range([base, y + 52]);
  const pitch = w / speeds.length;
  const root = 13;
  const crest = (i: number): number => rise(speeds[i]!);
  const floor = (i: number): number => Math.max(crest(i), crest(i + 1) ?? crest(i)) + root;

  // One outline: up the flank of a tooth, over its crest, down its other flank, along the root to the next.
  const tooth = (i: number): Point[] => {
    const [left, right] = [x + pitch * i, x + pitch * (i + 1)];
    const before = i === 0 ? crest(0) + root : floor(i - 1);
    const after = i === speeds.length - 1 ? crest(i) + root : floor(i);
    return [
      [left + 3, before],
      [left + 9, crest(i)],
      [right - 9, crest(i)],
      [right - 3, after],
    ];
  };
  const teeth = speeds.map((_, i) => tooth(i));
  const here = curve.here === null ? -1 : curve.x.indexOf(curve.here);
  const figures = series(speeds, 3);
  const pinions = series(curve.x);
  const body: Point[] = [[x, base], [x, teeth[0]![0]![1]], ...teeth.flat(), [x + w, teeth.at(-1)![3]![1]], [x + w, base]];
  const [hereX, hereY] = [x + pitch * (here + 0.5), here < 0 ? 0 : crest(here)];
  return [
    kit.path(outline(body), { fill: 'panel', name: 'stair' }),
    kit.polyline(body.slice(1, -1), { tone: 'rule', width: strokes.line }),
    here < 0
      ? []
      : kit.path(outline([...teeth[here]!, [teeth[here]![3]![0], hereY + 34], [teeth[here]![0]![0], hereY + 34]]), {
          fill: 'heavy',
          name: 'step',
        }),
    figures.map((figure, i) =>
      kit.text(
        x + pitch * (i + 0.5),
        crest(i) + 20,
        figure,
        i === here ? { weight: 700, anchor: 'middle' } : { tone: 'muted', anchor: 'middle' },
      ),
    ),
    pinions.map((pinion, i) =>
      kit.text(
        x + pitch * (i + 0.5),
        base + 20,
        pinion,
        i === here ? { weight: 700, tone: 'heavy', anchor: 'middle' } : { tone: 'muted', anchor: 'middle' },
      ),
    ),
    here < 0
      ? []
      : [kit.marker(hereX, hereY - 4, { name: 'here' }), kit.text(hereX - 7, hereY - 22, 'you stand here', { weight: 600, tone: 'heavy' })],
  ];
}

/** The other answers, cut into the body of the stair. */
function carved(kit: Kit, { x, y, w, h }: Box, answer: Answer): Marks {
  const others = answersBut(answer, 'ideal_speed').slice(0, 4);
  const top = y + h - 24 - 66;
  const half = Math.ceil(others.length / 2);
  const column = (i: number) => ({ x: x + 14 + i * (w / 2), y: top, w: w / 2 - 28, h: 62 });
  return [
    kit.rows(column(0), others.slice(0, half), { pitch: 30, size: 19 }).marks,
    kit.rows(column(1), others.slice(half), { pitch: 30, size: 19 }).marks,
  ];
}
