import { canonical } from './canonical.ts';
import type { Change, GivenReading, SetupDoc } from './types.ts';

/**
 * What the truck's readings were and are, each once, in the order of the later revision's sheets. What a sheet was not given again is what the truck
 * is known to have: a sheet that is asked with its pinion alone has not lost its motor. "612" and "612 g" are the same reading.
 */
export function changesBetween(earlier: SetupDoc, later: SetupDoc): Change[] {
  const were = knownIn(earlier);
  const are = knownIn(later);
  const changes: Change[] = [];
  for (const fact of new Set([...are.keys(), ...were.keys()])) {
    const was = were.get(fact);
    const is = are.get(fact);
    if (was && is && measured(was.reading) === measured(is.reading)) continue;
    const { sheet, end, name } = (is ?? was)!;
    changes.push({
      sheet,
      end,
      name,
      was: was ? said(was.reading) : null,
      is: is ? said(is.reading) : null,
      ...(was?.reading.said === undefined ? {} : { wasTyped: was.reading.typed }),
      ...(is?.reading.said === undefined ? {} : { isTyped: is.reading.typed }),
      unit: (is ?? was)!.reading.unit,
    });
  }
  return changes;
}

type Known = Pick<Change, 'sheet' | 'end' | 'name'> & { readonly reading: GivenReading };

/** By the fact. Its place is the sheet that was given it; its value is what counts of the truck, which may have been told otherwise since. */
function knownIn(doc: SetupDoc): Map<string, Known> {
  const known = new Map<string, Known>();
  for (const { sheet, end, readings } of doc.sheets)
    for (const reading of readings) if (!known.has(reading.fact)) known.set(reading.fact, { sheet, end, name: reading.name, reading });
  for (const fact of doc.facts) {
    const place = known.get(fact.fact) ?? { sheet: fact.sheet ?? '', end: fact.end, name: fact.sheet === null ? fact.fact : fact.name };
    known.set(fact.fact, { ...place, reading: fact });
  }
  return known;
}

const measured = ({ value, uncertainty }: GivenReading): string => canonical([value, uncertainty]);
const said = (reading: GivenReading): string => reading.said ?? reading.typed;
