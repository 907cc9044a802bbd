/**
 * A filmed bounce: the swing that has this damping ratio and frequency, from the first peak on, with both peaks marked; thinner beside it
 * the same bounce with the ratio wanted.
 */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { quantity, shown } from '../../number.ts';
import { answerOf, answersBut, type Layout, numberOf } from '../layout.ts';
import { heightWords, swing } from '../swing.ts';

/** More swings than this would be a grey wall. */
const mostSwings = 12;

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

export const layout: Layout = {
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const ratio = answerOf(answer, 'damping_ratio');
    if (facts === null || ratio === null) return null;
    const { peaks, apart, swings } = facts;
    const side = { ...room, w: 214 };
    const hero = kit.hero(side.x, side.y, side.w, ratio, { size: 70, explained: room.h > 190 });
    const below = { ...side, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const others = answersBut(answer, 'damping_ratio', 'log_decrement', 'damped_frequency');
    return [
      hero.marks,
      kit.rows(below, others, { pitch: Math.min(32, Math.max(27, below.h / 4)), size: 20, names: rowNames }).marks,
      swing(
        kit,
        { ...room, x: room.x + 236, w: room.w - 236 },
        {
          ...facts,
          title: 'Height over rest',
          height: peaks[0],
          until: apart * (1 + 0.45 / swings),
          marked: [
            { time: 0, height: peaks[0], words: heightWords(peaks[0], 'mm') },
            { time: apart, height: peaks[1], words: heightWords(peaks[1], 'mm') },
          ],
        },
      ),
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
