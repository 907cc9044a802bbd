/**
 * A filmed bounce: the swing that has this damping ratio and frequency, from the first peak on, with both peaks marked; thinner beside it
 * the same bounce with the ratio wanted.
 */
import { scaleLinear } from 'd3-scale';
import type { Answer } from '../../../worksheets/engine/types.ts';
import { joined, quantity, shown } from '../../number.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, answersBut, type Layout, numberOf } from '../layout.ts';
import { axis } from '../plot.ts';
import type { Box, Marks } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';

/** More swings than this would be a grey wall. */
const mostSwings = 12;
const pointsASwing = 40;

interface Facts {
  readonly peaks: readonly [number, number];
  /** s, from the first peak to the second. */
  readonly apart: number;
  readonly swings: number;
  readonly ratio: number;
  /** Undamped, Hz. */
  readonly frequency: number;
  readonly target: number | null;
}

function factsOf(answer: Answer): Facts | null {
  const number = (name: string): number => numberOf(answer, name) ?? Number.NaN;
  const [first, second, swings, damped] = [number('peak_1'), number('peak_2'), number('cycles'), number('damped_frequency')];
  const [ratio, frequency] = [number('damping_ratio'), number('undamped_frequency')];
  const whole = [first, second, swings, damped, ratio, frequency].every((value) => Number.isFinite(value));
  if (!whole || !(first > 0) || !(damped > 0) || !(frequency > 0) || !(ratio < 1) || swings > mostSwings) return null;
  return { peaks: [first, second], apart: swings / damped, swings, ratio, frequency, target: numberOf(answer, 'target_ratio') };
}

/** What is left of a push let go from rest, for a phase of ωt (Rao, Mechanical Vibrations, section 2.6): its tops lie on whole turns. */
function left(ratio: number, phase: number): number {
  const decay = Math.exp(-ratio * phase);
  if (ratio === 1) return decay * (1 + phase);
  const s = Math.sqrt(Math.abs(1 - ratio ** 2));
  return ratio < 1
    ? decay * (Math.cos(s * phase) + (ratio / s) * Math.sin(s * phase))
    : decay * (Math.cosh(s * phase) + (ratio / s) * Math.sinh(s * phase));
}

export const layout: Layout = {
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const ratio = answerOf(answer, 'damping_ratio');
    if (facts === null || ratio === null) return null;
    const side = { ...room, w: 214 };
    const hero = kit.hero(side.x, side.y, side.w, ratio, { size: 70, explained: room.h > 190 });
    const below = { ...side, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const pitch = Math.min(32, Math.max(27, below.h / 4));
    const others = answersBut(answer, 'damping_ratio', 'log_decrement', 'damped_frequency');
    return [
      hero.marks,
      kit.rows(below, others, { pitch, size: 20, names: rowNames }).marks,
      swing(kit, { ...room, x: room.x + 236, w: room.w - 236 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const [first, second] = facts.peaks;
    const beside = facts.target === null ? '' : ` A thin line shows the bounce with a ratio of ${shown(facts.target, null).number}.`;
    return `A bounce that dies away over time: a top of ${quantity(first, 'mm')} and, ${quantity(facts.apart, 's')} later, one of ${quantity(second, 'mm')} are marked.${beside}`;
  },
};

const rowNames = { undamped_frequency: 'Frequency', oil_factor: 'Oil, times' };

function swing(kit: Kit, { x, y, w, h }: Box, { peaks, apart, swings, ratio, frequency, target }: Facts): Marks {
  const end = apart * (1 + 0.45 / swings);
  const turn = 2 * Math.PI * frequency;
  const [top, bottom] = [y + 30, y + h - 27];
  const count = Math.ceil(pointsASwing * (swings + 0.45));
  const times = Array.from({ length: count + 1 }, (_, i) => (end * i) / count);
  const own = times.map((time) => peaks[0] * left(ratio, turn * time));
  const wanted = target === null || Math.abs(target - ratio) < 0.02 ? null : times.map((time) => peaks[0] * left(target, turn * time));
  const across = axis([0, end], x + 8, x + w - 8, 4);
  const lowest = Math.min(...own, ...(wanted ?? []));
  const up = scaleLinear()
    .domain([lowest, peaks[0]])
    .range([bottom - 6, top]);
  const points = (values: readonly number[]): Point[] => values.map((value, i) => [across.scale(times[i]!), up(value)]);
  const rest = up(0);
  const marked: readonly { readonly time: number; readonly height: number }[] = [
    { time: 0, height: peaks[0] },
    { time: apart, height: peaks[1] },
  ];
  return [
    kit.text(x, y + 13, 'Height over rest', { tone: 'muted' }),
    wanted === null ? [] : legend(kit, x + w, y + 13, `at ${shown(target!, null).number}`),
    kit.rule(x, rest, x + w, rest, { tone: 'muted', width: strokes.hair, name: 'rest' }),
    wanted === null ? [] : kit.polyline(points(wanted), { tone: 'light', width: strokes.line, dash: '6 5', name: 'wanted' }),
    kit.polyline(points(own), { tone: 'heavy', width: strokes.bold, name: 'bounce' }),
    marked.map(({ time, height }) => {
      const [px, py] = [across.scale(time), up(height)];
      const label = joined({ ...shown(height, 'mm'), plusMinus: null });
      const room = kit.widthOf(label, sizes.small, 600);
      // Over its top where there is room, else beside it.
      const over = time > 0 && py > top + 22;
      const beside = px + 16 + room <= x + w ? px + 16 : px - 16 - room;
      const at = over ? { x: Math.min(px - room / 2, x + w - room), y: py - 14 } : { x: beside, y: py + 2 };
      return [
        kit.rule(px, rest, px, py, { tone: 'heavy', width: strokes.hair, dash: '3 3' }),
        kit.circle(px, py, 7.5, { fill: 'ground' }),
        kit.circle(px, py, 5.5, { fill: 'heavy', name: 'peak' }),
        kit.text(at.x, at.y, label, { weight: 600, tone: 'heavy' }),
      ];
    }),
    kit.ruler(x, x + w, bottom, across.ticks, across.scale, 's'),
  ];
}

/** The thin line's name, right-aligned, behind a piece of that line. */
function legend(kit: Kit, right: number, y: number, words: string): Marks {
  const start = right - kit.widthOf(words, sizes.small, 600);
  return [
    kit.rule(start - 34, y - 5, start - 8, y - 5, { tone: 'light', width: strokes.line, dash: '6 5' }),
    kit.text(right, y, words, { weight: 600, tone: 'light', anchor: 'end' }),
  ];
}
