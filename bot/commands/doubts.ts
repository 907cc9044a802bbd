/** What is doubtful of a reading that was just kept. It is kept all the same: who measured it knows better. */
import type { DoubtView } from '../../templates/truck.ts';
import type { Kept, Records, TruckOf } from '../../worksheets/archive/types.ts';
import type { End } from '../../worksheets/engine/ask.ts';
import { doubtsOf } from '../../worksheets/engine/doubts.ts';
import type { Sentence } from '../../worksheets/engine/types.ts';
import type { Known } from './known.ts';
import type { Shelf } from './pit.ts';
import { supplyOf } from './standing.ts';
import { measuredView } from './views.ts';

/** A digit too many or a unit for another: what is this many times what it was, give or take a half, is likely a slip. */
const TIMES = [10, 100, 1000];
const GIVE_OR_TAKE = 1.5;

type KeptFact = Kept['facts'][number];

/** `known`: with what was just kept. */
export async function doubtsAbout(
  shelf: Shelf,
  records: Records,
  which: TruckOf,
  kept: readonly KeptFact[],
  known: Known,
): Promise<DoubtView[]> {
  const before = new Map(known);
  for (const { is, was } of kept) {
    if (was === null) before.delete(is.fact);
    else before.set(is.fact, was);
  }
  const doubts = new Map<string, DoubtView>();
  for (const one of kept) {
    const raised = raisedBy(shelf, known, one.is.fact);
    // Of two readings that do not fit each other it is said once.
    for (const sentence of raised) doubts.set(JSON.stringify(sentence), { kind: 'sheet', sentence });
    // What was a slip before is put right by this.
    const mends = raised.length === 0 && raisedBy(shelf, before, one.is.fact).length > 0;
    const times = mends ? null : timesOf(one);
    if (times === null || (await wasSoEarlier(records, which, one))) continue;
    const { is, was } = one;
    doubts.set(is.fact, {
      kind: 'times',
      fact: is.fact,
      times,
      is: measuredView(shelf, is.fact, is),
      was: measuredView(shelf, is.fact, was!),
    });
  }
  return [...doubts.values()];
}

/** What the sheets that read it ask back; said alike by several, once. */
function raisedBy(shelf: Shelf, known: Known, fact: string): Sentence[] {
  const supply = supplyOf(shelf, known);
  const said = new Map<string, Sentence>();
  for (const { sheet, end, spec } of shelf.reads.get(fact) ?? [])
    for (const sentence of doubtsOf(sheet, end as End | null, supply, spec.name)) said.set(JSON.stringify(sentence), sentence);
  return [...said.values()];
}

/** How many times what it was: 10, 1/100, …; null where it is no such number. Of temperatures, in kelvin, none is. */
function timesOf({ is, was }: KeptFact): number | null {
  if (typeof is.value !== 'number' || typeof was?.value !== 'number') return null;
  const ratio = is.value / was.value;
  return TIMES.flatMap((times) => [times, 1 / times]).find((times) => alike(ratio, times)) ?? null;
}

const alike = (a: number, b: number): boolean => a / b > 1 / GIVE_OR_TAKE && a / b < GIVE_OR_TAKE;

/** Told so before the value that it takes the place of: then that one was the slip. */
async function wasSoEarlier(records: Records, which: TruckOf, { is, was }: KeptFact): Promise<boolean> {
  const rows = await records.factHistory({ ...which, fact: is.fact, limit: 12 });
  const replaced = rows.findIndex(({ kept, gone, value }) => kept && !gone && value === was!.value);
  return rows.slice(replaced + 1).some(({ gone, value }) => !gone && typeof value === 'number' && alike(value / (is.value as number), 1));
}
