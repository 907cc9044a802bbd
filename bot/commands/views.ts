/** What templates show of a truck, made from what the archive and the engine know of it. Values come in the unit beside them. */
import { sureAnswer } from '../../templates/sure.ts';
import {
  type FactView,
  type MeasuredView,
  MOST_UNLOCKS,
  type PartsView,
  type StandingView,
  type TruckView,
} from '../../templates/truck.ts';
import { heroOf, limitsOf, thingNamed, titleOf } from '../../templates/words.ts';
import type { Beneath, Fact, TruckBook } from '../../worksheets/archive/types.ts';
import { inColumns } from '../../worksheets/engine/list.ts';
import type { ReadingSpec, Sheet } from '../../worksheets/engine/notation.ts';
import { readQuantity } from '../../worksheets/engine/quantity.ts';
import type { Answer, AnswerValue } from '../../worksheets/engine/types.ts';
import { fromSI, type Unit } from '../../worksheets/engine/units.ts';
import type { Job } from '../../worksheets/engine/unlock.ts';
import { bringFor, needsOf, toolsFor } from './bring.ts';
import { exampleLine } from './help.ts';
import { massOf } from './known.ts';
import type { Shelf } from './pit.ts';
import { moved, type Stale, type Standing, supplyOf } from './standing.ts';

/** A fact as a sheet understands it. One of a sheet that is gone from the shelf stays as it was typed. */
export function measuredView(
  shelf: Shelf,
  fact: string,
  given: Pick<Beneath, 'typed' | 'said' | 'value' | 'unit' | 'uncertainty'>,
): MeasuredView {
  // Of a sheet that treats one end, given without saying which: the columns are the same at either.
  const spec = (shelf.reads.get(fact) ?? shelf.reads.get(`front_${fact}`))?.[0]?.spec;
  if (typeof given.value === 'object')
    return { value: spec ? inColumns(given.value, spec) : given.value, unit: given.unit, uncertainty: null };
  if (typeof given.value !== 'number') return { value: given.value, unit: given.unit, uncertainty: null };
  if (spec?.type.kind !== 'number' || !spec.unit) return { value: given.typed, unit: null, uncertainty: null };
  const read = readQuantity(given.typed, spec as ReadingSpec & { unit: Unit });
  const value = 'ok' in read && read.ok.written !== undefined ? read.ok.written : fromSI(given.value, spec.unit);
  return {
    value,
    unit: spec.unit.symbol,
    uncertainty: given.uncertainty === null ? null : limitsOf(2 * given.uncertainty) / spec.unit.factor,
    named: thingNamed(given.said),
  };
}

export const factView = (shelf: Shelf, fact: Fact): FactView => ({
  fact: fact.fact,
  ...measuredView(shelf, fact.fact, fact),
  how: fact.how,
  kept: fact.kept,
  at: fact.at,
  by: fact.by.name,
  said: fact.said ?? null,
  note: fact.note ?? null,
  beneath: fact.beneath === null ? null : measuredView(shelf, fact.fact, fact.beneath),
});

export const titleOfJob = ({ sheet, end }: Job): string => (end === null ? sheet.title : `${sheet.title}, ${end}`);

const MOST_STARTS = 5;
/** Its example with no more than it needs. */
function startLine(sheet: Sheet): string {
  const needed = new Set([
    ...sheet.quick,
    ...sheet.exactlyOne.flat(),
    ...sheet.readings.filter(({ required }) => required).map(({ name }) => name),
  ]);
  return exampleLine({ ...sheet, example: Object.fromEntries(Object.entries(sheet.example).filter(([name]) => needed.has(name))) });
}

/** A list of parts is kept part by part; what another sheet works out is asked of that one. */
function aboutFact(
  { answering }: Shelf,
  fact: string,
  { label }: ReadingSpec,
  jobs: readonly Job[],
): { readonly label: string; readonly by: string | null } {
  if (fact === 'parts') return { label: 'what it is made of', by: 'truck parts add NAME MASS PLACE' };
  const asked = answering.get(fact)?.find(({ sheet }) => !jobs.some((job) => job.sheet === sheet));
  return { label, by: asked === undefined ? null : `ask ${asked.sheet.name}${asked.end === null ? '' : ` end:${asked.end}`}` };
}

export function standingView(shelf: Shelf, standing: Standing): StandingView {
  return {
    answers: standing.answers.map(({ job, answer }) => ({ title: titleOfJob(job), end: job.end, hero: heroOf(sureAnswer(answer)) })),
    troubled: standing.troubled.map(({ job, text }) => ({ title: titleOfJob(job), text })),
    stale: standing.stale.map((one) => staleView(one)),
    twoWays: standing.twoWays.map(({ fact, used, other }) => ({
      fact,
      used: { title: titleOfJob(used.job), answer: used.answer },
      other: { title: titleOfJob(other.job), answer: other.answer },
    })),
    unlocks: standing.unlocks
      .filter(({ jobs }) => jobs.length > 0)
      .map(({ fact, reading, jobs }) => ({ fact, ...aboutFact(shelf, fact, reading, jobs), titles: jobs.map(titleOfJob) })),
    bring: bringFor(shelf, standing.unlocks.filter(({ jobs }) => jobs.length > 0).slice(0, MOST_UNLOCKS), standing.known),
    missing: standing.missing.filter(({ facts }) => facts.length > 1).map(({ job, facts }) => ({ title: titleOfJob(job), facts })),
  };
}

/** The answer that a card shows largest, when it has moved; else the first one that has. */
export function staleView({ record, changes, now }: Stale): StandingView['stale'][number] {
  const hero = now === null ? null : heroOf(now.answer);
  const is =
    now === null
      ? null
      : moved(record.answer, now.answer).sort((a, b) => Number(b.name === hero?.name) - Number(a.name === hero?.name))[0]!;
  const named = ({ answers }: Answer): AnswerValue | null => answers.find(({ name }) => name === is?.name) ?? null;
  return {
    title: titleOf(record.answer),
    at: record.at,
    was: named(sureAnswer(record.answer)),
    is: now && named(sureAnswer(now.answer)),
    changes,
  };
}

export function partsView(shelf: Shelf, book: Pick<TruckBook, 'parts'>, standing: Pick<Standing, 'known'>): PartsView {
  const aboard = book.parts.filter(({ place }) => place !== 'off');
  return { parts: book.parts, sum: massOf(aboard), weighed: weighedOf(shelf, standing.known) };
}

/** The truck's total: told to it, or what the corners come to. */
function weighedOf(shelf: Shelf, known: Standing['known']): PartsView['weighed'] {
  const reads = shelf.reads.get('total')?.[0];
  if (!reads) return null;
  // A total that was only just given to some sheet may be a question; what is weighed is what the corners come to, or what is kept.
  const told = known.get('total');
  const lasting = told && told.kept === undefined ? new Map([...known].filter(([name]) => name !== 'total')) : known;
  const supplied = supplyOf(shelf, lasting)('total', reads.spec, reads.sheet);
  if (supplied === undefined) return null;
  if (supplied.from === 'sheet') return { mass: supplied.value, uncertainty: Math.hypot(...supplied.contributions.values()) || null };
  const read = readQuantity(supplied.typed, reads.spec as ReadingSpec & { unit: Unit });
  return 'ok' in read ? { mass: read.ok.value, uncertainty: supplied.uncertainty ?? null } : null;
}

export function truckView(shelf: Shelf, book: TruckBook, standing: Standing, own: boolean): TruckView {
  const starts = [...shelf.sheets.values()]
    .filter(({ first, example }) => first && Object.keys(example).length > 0)
    .map((sheet) => ({ sheet, command: startLine(sheet), about: sheet.asks[0] ?? sheet.summary }))
    .sort((a, b) => a.command.length - b.command.length)
    .slice(0, MOST_STARTS);
  return {
    truck: book.truck,
    owner: book.member.name,
    own,
    offeredTo: book.offeredTo?.name ?? null,
    facts: [...book.facts.values()].map((fact) => factView(shelf, fact)),
    standing: standingView(shelf, standing),
    parts: partsView(shelf, book, standing),
    starts: starts.map(({ command, about }) => ({ command, about })),
    startsWith: toolsFor(starts.flatMap(({ sheet }) => needsOf(sheet, () => false))),
  };
}
