/** What to bring to the pit table, for what is to be measured next. Which tool measures which kind of quantity: common practice, no source. */
import { factName } from '../../worksheets/engine/ask.ts';
import type { ReadingSpec, Sheet } from '../../worksheets/engine/notation.ts';
import type { Known } from './known.ts';
import type { Shelf } from './pit.ts';
import type { Standing } from './standing.ts';

/** A length that no ruler reaches. */
const DISTANCE = 'distance';
const BY_RULER = 3;

/** In the order in which a bag is packed. Of teeth, a bottle's label or a charger's display nothing has to be brought. */
const TOOLS: readonly (readonly [tool: string, kinds: readonly string[]])[] = [
  ['a scale', ['mass', 'force']],
  ['a ruler or calipers', ['length']],
  ['an angle gauge', ['angle']],
  ['a tape measure', [DISTANCE]],
  ['a stopwatch or a phone that films', ['time', 'frequency', 'per time']],
  ['a thermometer', ['temperature']],
  ['a multimeter', ['voltage', 'current', 'resistance']],
  ['a pressure gauge', ['pressure']],
];

export function toolsFor(kinds: Iterable<string>): string[] {
  const asked = new Set(kinds);
  return TOOLS.flatMap(([tool, these]) => (these.some((kind) => asked.has(kind)) ? [tool] : []));
}

/** Of a list the kinds of its columns; what is chosen is not measured. */
export const kindsOf = ({ parts, chosen, ...spec }: ReadingSpec): readonly string[] =>
  chosen ? [] : (parts ?? [spec]).map(({ kind, max = 0 }) => (kind === 'length' && max > BY_RULER ? DISTANCE : kind));

/** What a sheet cannot do without and the truck does not know. */
export const needsOf = (sheet: Sheet, knows: (reading: string) => boolean): readonly string[] =>
  sheet.readings
    .filter(({ name, required }) => (required || sheet.exactlyOne.some((group) => group[0] === name)) && !knows(name))
    .flatMap(kindsOf);

/** What is to be measured for these, each by itself, or by the sheet that works it out. */
export function bringFor({ answering }: Pick<Shelf, 'answering'>, next: Standing['unlocks'], known: Known): string[] {
  return toolsFor(
    next.flatMap(({ fact, reading, jobs }) => {
      const asked = answering.get(fact)?.find(({ sheet }) => !jobs.some((job) => job.sheet === sheet));
      return asked ? needsOf(asked.sheet, (name) => known.has(factName(name, asked.sheet, asked.end) ?? '')) : kindsOf(reading);
    }),
  );
}
