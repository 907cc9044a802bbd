import { canonical } from './canonical.ts';
import type { Change, GivenReading, SetupDoc, SheetRecord } from './types.ts';

/** The readings that differ between two revisions, in the order of the later one's sheets. "612" and "612 g" are the same reading. */
export function changesBetween(earlier: SetupDoc, later: SetupDoc): Change[] {
  const were = readingsOf(earlier);
  const are = readingsOf(later);
  const changes: Change[] = [];
  for (const key of new Set([...are.keys(), ...were.keys()])) {
    const was = were.get(key);
    const is = are.get(key);
    if (was && is && measured(was.reading) === measured(is.reading)) continue;
    const { sheet, end } = (is ?? was)!.record;
    changes.push({ sheet, end, name: (is ?? was)!.reading.name, was: was?.reading.typed ?? null, is: is?.reading.typed ?? null });
  }
  return changes;
}

function readingsOf(doc: SetupDoc): Map<string, { record: SheetRecord; reading: GivenReading }> {
  const readings = doc.sheets.flatMap((record) =>
    record.readings.map((reading) => [`${record.sheet}/${record.end ?? ''}/${reading.name}`, { record, reading }] as const),
  );
  return new Map(readings);
}

const measured = ({ value, uncertainty }: GivenReading): string => canonical([value, uncertainty]);
