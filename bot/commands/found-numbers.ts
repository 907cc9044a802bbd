/** The numbers that somebody looked for, as each setup has them. */
import { quantity } from '../../templates/number.ts';
import { nameWords } from '../../templates/words.ts';
import { numbersOf } from '../../worksheets/archive/finding.ts';
import type { NumberBetween, SetupDoc } from '../../worksheets/archive/types.ts';
import { fromSI } from '../../worksheets/engine/units.ts';
import type { Shelf } from './pit.ts';
import { numbered } from './query.ts';

/** "rear share 59.89 %", "front spring rate 0.241 N/mm": of a name that both ends have, those within the bounds. */
export function numbersText(shelf: Pick<Shelf, 'sheets'>, asked: readonly NumberBetween[], doc: SetupDoc): string[] {
  const held = numbersOf(doc);
  const texts = asked.flatMap((one) => {
    const unit = numbered(shelf, one.name)?.unit;
    const [, end, bare] = /^(front|rear)_(.+)$/.exec(one.name) ?? [];
    const called = held.filter(
      ({ name, end: at }) => (name === one.name && (end === undefined || at === '')) || (name === bare && at === end),
    );
    const within = called.filter(({ value }) => value >= one.low - slack(one.low) && value <= one.high + slack(one.high));
    return within.map(
      ({ name, end: at, value }) =>
        `${at === '' ? '' : `${at} `}${nameWords(name)} ${unit ? quantity(fromSI(value, unit), unit.symbol) : value}`,
    );
  });
  return [...new Set(texts)];
}

/** Bounds that were typed and numbers that were worked out may differ in their last bits. */
const slack = (bound: number): number => (Number.isFinite(bound) ? 1e-9 * Math.abs(bound) : 0);
