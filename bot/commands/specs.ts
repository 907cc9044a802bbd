/** Commands made from sheets: the options are the readings, in the order in which they are most often typed. */

import { readingUnit } from '../../worksheets/engine/ask.ts';
import type { ReadingSpec, Sheet } from '../../worksheets/engine/notation.ts';
import { nameInWords } from '../../worksheets/engine/problem.ts';
import type { CommandSpec, OptionSpec } from './types.ts';

/** Discord shows 25 options of a command; what does not fit is typed into the last one. */
export const MOST_OPTIONS = 25;

export const TRUCK: OptionSpec = { name: 'truck', description: 'Which truck; left out: the current one', suggests: true };
export const OF: OptionSpec = { name: 'of', description: 'Another member of the club, to look at theirs', suggests: true };
export const HOW: OptionSpec = {
  name: 'how',
  description: 'How it is known; left out: measured',
  choices: [
    { name: 'measured', value: 'measured' },
    { name: 'stated (on the box, by the maker)', value: 'stated' },
    { name: 'assumed', value: 'assumed' },
  ],
};
export const END: OptionSpec = {
  name: 'end',
  description: 'Which end of the truck',
  choices: [
    { name: 'front', value: 'front' },
    { name: 'rear', value: 'rear' },
  ],
};

/** What a reading's option says of itself: "front left wheel [g], needed". */
export function describe(reading: ReadingSpec): string {
  const unit = readingUnit(reading);
  const label = reading.label === '' ? nameInWords(reading.name).toLowerCase() : reading.label;
  const shown = unit === null || unit === '1' ? '' : ` [${unit}]`;
  return `${label.charAt(0).toUpperCase()}${label.slice(1)}${shown}${reading.required ? '' : ', if known'}`;
}

export function sheetSpec(sheet: Sheet): CommandSpec {
  const before: OptionSpec[] = [
    ...(sheet.quick.length > 0 ? [{ name: 'quick', description: `All in a row: ${sheet.quick.join(' ')}` }] : []),
    TRUCK,
    ...(sheet.ends ? [END] : []),
  ];
  const readings = sheet.readings.map(
    (reading): OptionSpec => ({
      name: reading.name,
      description: describe(reading),
      ...(reading.type.kind === 'choice'
        ? { choices: reading.type.choices.map((value) => ({ name: value.replaceAll('_', ' '), value })) }
        : {}),
    }),
  );
  const all = [...before, ...readings];
  if (all.length <= MOST_OPTIONS) return { name: sheet.name, description: sheet.summary, options: all };
  const shown = all.slice(0, MOST_OPTIONS - 1);
  const rest = readings.slice(shown.length - before.length).map(({ name }) => name);
  const more = { name: 'more', description: `Further readings as name:value — ${rest.join(', ')}` };
  return { name: sheet.name, description: sheet.summary, options: [...shown, more] };
}
