/** A setup's file → what the archive keeps of it. Every reading is read again as a sheet of this house reads it, and every answer worked out again. */
import type { FileFact, SetupFile } from '../../worksheets/archive/setup-file.ts';
import type { GivenReading, SetupFact, SetupPart, SheetRecord } from '../../worksheets/archive/types.ts';
import { work } from '../../worksheets/engine/ask.ts';
import { supplyFrom } from '../../worksheets/engine/fill.ts';
import { problem } from '../../worksheets/engine/problem.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import { partsFacts } from './known.ts';
import type { Shelf } from './pit.ts';
import { readFact } from './told.ts';

const MOST_SAID = 8;

export interface Imported {
  readonly facts: readonly SetupFact[];
  readonly parts: readonly SetupPart[];
  readonly sheets: readonly SheetRecord[];
  /** Each names its place in the file. */
  readonly problems: readonly Problem[];
}

export function importedFrom(shelf: Shelf, file: SetupFile): Imported {
  const problems: Problem[] = [];
  const at = (place: string, slip: Problem): void => void problems.push({ ...slip, text: `${place}: ${slip.text}` });
  const facts = file.facts.flatMap((one, i): SetupFact[] => {
    const read = readLoose(shelf, one);
    if ('text' in read) {
      at(`facts[${i}]`, read);
      return [];
    }
    // What was understood of it stands in the file, or it was not worth saying.
    const { note: _, ...reading } = read;
    const name = nameOn(shelf, one) ?? reading.name;
    return [{ ...reading, name, ...told(one), sheet: one.sheet ?? null, end: one.end ?? null, at: Date.parse(one.at) }];
  });
  const parts = file.parts ?? [];
  // As a truck is known: what its parts come to, and before that its facts.
  const truck = new Map<string, { readonly typed: string; readonly uncertainty: number | null }>(partsFacts(parts));
  for (const { fact, typed, uncertainty } of facts) truck.set(fact, { typed, uncertainty });
  const supply = supplyFrom(truck, shelf.answering);
  const sheets = file.sheets.flatMap(({ sheet: name, end, at: when, readings }, i): SheetRecord[] => {
    const place = `sheets[${i}]`;
    const sheet = shelf.sheets.get(name);
    if (!sheet) {
      const needs = 'Take it out of the file, or ask the club for that sheet.';
      at(place, problem('text', name, needs, `There is no sheet "${name}" here. ${needs}`));
      return [];
    }
    if (end !== undefined && !sheet.ends) {
      at(`${place}.end`, problem('text', end, 'Leave it out.', `${name} looks at the whole truck. Leave it out.`));
      return [];
    }
    const outcome = work(sheet, { readings, end: end ?? null }, supply);
    if ('kind' in outcome) {
      for (const slip of outcome.problems) at(place, slip);
      return [];
    }
    const known = new Map(facts.map((fact) => [fact.fact, fact]));
    const given = outcome.given.map((reading): GivenReading => {
      const fact = known.get(reading.fact);
      return fact && fact.typed === reading.typed ? { ...reading, uncertainty: fact.uncertainty } : reading;
    });
    return [{ sheet: name, end: end ?? null, at: Date.parse(when), readings: given, answer: outcome.answer }];
  });
  return { facts, parts, sheets, problems: problems.slice(0, MOST_SAID) };
}

/** Of a sheet that treats one end, given without saying which: it is read as at either, and stays without. */
function readLoose(shelf: Shelf, { fact, typed }: FileFact): GivenReading | Problem {
  const either = `front_${fact}`;
  if (shelf.reads.has(fact) || !shelf.reads.has(either)) return readFact(shelf, fact, typed, new Map());
  const read = readFact(shelf, either, typed, new Map());
  return 'text' in read ? read : { ...read, fact };
}

/** What the sheet that was asked calls it: `spring_rate` for `front_spring_rate`. */
function nameOn(shelf: Shelf, { fact, sheet, end }: FileFact): string | undefined {
  const bare = end !== undefined && fact.startsWith(`${end}_`) ? fact.slice(end.length + 1) : undefined;
  const asked = sheet === undefined ? undefined : shelf.sheets.get(sheet);
  return asked?.ends && bare !== undefined && asked.readings.some(({ name }) => name === bare) ? bare : undefined;
}

/** What the file says besides what was typed. */
const told = ({ how, uncertainty, said, note }: FileFact): Partial<GivenReading> & Pick<GivenReading, 'uncertainty'> => ({
  how,
  uncertainty: uncertainty ?? null,
  ...(said === undefined ? {} : { said }),
  ...(note === undefined ? {} : { note }),
});
