/** One wheel's damping: how the body comes back from a push, how far it passes rest, and thinner beside it how it would with the ratio wanted. */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { quantity, shown } from '../../number.ts';
import { answerOf, type Layout, numberOf } from '../layout.ts';
import { heightWords, swing } from '../swing.ts';

interface Facts {
  /** The truck's own, or the one wanted where its shock is not known. */
  readonly ratio: number;
  readonly own: boolean;
  /** Undamped, Hz. */
  readonly frequency: number;
  readonly target: number | null;
  /** % of the push; null where it does not pass rest. */
  readonly overshoot: number | null;
  readonly damped: number | null;
}

function factsOf(answer: Answer): Facts | null {
  const [own, target, frequency] = ['damping_ratio', 'target_ratio', 'undamped_frequency'].map((name) => numberOf(answer, name));
  const ratio = own ?? target ?? null;
  if (ratio === null || typeof frequency !== 'number' || !(frequency > 0)) return null;
  return {
    ratio,
    own: typeof own === 'number',
    frequency,
    target: typeof own === 'number' ? (target ?? null) : null,
    overshoot: numberOf(answer, 'overshoot'),
    damped: numberOf(answer, 'damped_frequency'),
  };
}

export const layout: Layout = {
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const first = facts && answerOf(answer, facts.own ? 'damping_ratio' : 'damper_for_target');
    if (!facts || !first) return null;
    const { overshoot, damped, frequency, own } = facts;
    const ratio = shown(facts.ratio, null).number;
    const side = { ...room, w: 222 };
    const hero = kit.hero(side.x, side.y, side.w, first, {
      size: 70,
      explained: false,
      ...(own ? {} : { over: `Shock for a ratio of ${ratio}` }),
    });
    const below = { ...side, y: hero.bottom + 4, h: room.y + room.h - hero.bottom - 4 };
    const others = ['damper_for_target', 'oil_factor', 'undamped_frequency', 'critical_coefficient']
      .flatMap((name) => answerOf(answer, name) ?? [])
      .filter((one) => one !== first && one.value !== null);
    // Half a swing after the push it stands farthest beyond rest: −overshoot. Below a hundredth of the push that is nothing to point at.
    const passes = overshoot !== null && damped !== null && overshoot > 1 && overshoot < 99;
    return [
      hero.marks,
      kit.rows(below, others, { pitch: Math.min(32, Math.max(27, below.h / 4)), size: 20, names: rowNames }).marks,
      swing(
        kit,
        { ...room, x: room.x + 244, w: room.w - 244 },
        {
          ...facts,
          title: own ? 'After a push' : `After a push, at ${ratio}`,
          height: 100,
          until: 1.6 / frequency,
          marked: passes ? [{ time: 0.5 / damped, height: -overshoot, words: `${heightWords(overshoot, '%')} past rest` }] : [],
        },
      ),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const past =
      facts.overshoot === null ? 'comes back without passing rest' : `passes rest by ${quantity(facts.overshoot, '%')} of the push`;
    const beside = facts.target === null ? '' : ` A thin line shows it with a ratio of ${shown(facts.target, null).number}.`;
    if (!facts.own) return `How the body would move over time after a push, with a damping ratio of ${shown(facts.ratio, null).number}.`;
    return `How the body moves over time after a push: it ${past}.${beside}`;
  },
};

const rowNames = {
  damper_for_target: 'For target',
  oil_factor: 'Oil, times',
  undamped_frequency: 'Frequency',
  critical_coefficient: 'Critical',
};
