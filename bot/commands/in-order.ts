/** A setup as the house shows it: what was judged comes first, then the order of the shelf; lists have the columns of their sheet. */
import type { GivenReading, SetupDoc, SheetRecord } from '../../worksheets/archive/types.ts';
import { inColumns } from '../../worksheets/engine/list.ts';
import type { Sheet } from '../../worksheets/engine/notation.ts';
import type { Answer, ReadingValue } from '../../worksheets/engine/types.ts';

/** What was kept has its keys sorted, so that its hash holds: "0 g / 92 mm" would read "92 g / 0 mm". */
export function inOrder(sheets: ReadonlyMap<string, Sheet>, doc: SetupDoc): SetupDoc {
  const places = new Map([...sheets.keys()].map((name, i) => [name, i]));
  const place = (name: string): number => places.get(name) ?? places.size;
  const ends = [null, 'front', 'rear'];
  return {
    ...doc,
    sheets: doc.sheets
      .map((record) => {
        const sheet = sheets.get(record.sheet);
        return sheet
          ? { ...record, readings: record.readings.map((one) => ordered(one, sheet)), answer: answerInOrder(record.answer, sheet) }
          : record;
      })
      .sort(
        (a, b) => Number(judged(b)) - Number(judged(a)) || place(a.sheet) - place(b.sheet) || ends.indexOf(a.end) - ends.indexOf(b.end),
      ),
  };
}

const judged = ({ answer }: SheetRecord): boolean => answer.answers.some(({ verdict }) => verdict !== null);

const answerInOrder = (answer: Answer, sheet: Sheet): Answer => ({
  ...answer,
  readings: answer.readings.map((one) => ordered(one, sheet)),
});

function ordered<T extends Pick<GivenReading, 'name'> & { readonly value: ReadingValue }>(reading: T, sheet: Sheet): T {
  if (typeof reading.value !== 'object') return reading;
  const spec = sheet.readings.find(({ name }) => name === reading.name);
  return spec ? { ...reading, value: inColumns(reading.value, spec) } : reading;
}
