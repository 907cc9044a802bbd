import type { Kysely, Selectable } from 'kysely';
import { canonical } from './canonical.ts';
import type { Facts } from './facts.ts';
import { MOST } from './names.ts';
import type { Run, SetupRun } from './runs-types.ts';
import type { Tables } from './tables.ts';
import type { Fact } from './trucks-types.ts';
import type { SetupFact } from './types.ts';

/** A truck's newest so many are looked through. */
const LOOKED_THROUGH = 100;

/**
 * The runs of a truck that were run as a setup has it, oldest first; `since`: only those after that instant.
 *
 * The truck at a run and the setup seldom know the same: what was measured between the two makes no other truck of it, and what was only told
 * to a sheet counts for a day. So: nothing of the setup was known to be otherwise then, and more than half of it was known. Who ran is left
 * out: a name could not be taken out of a revision again.
 */
export async function runsAs(
  { db, facts }: { readonly db: Kysely<Tables>; readonly facts: Facts },
  truck: number,
  held: readonly SetupFact[],
  since?: number,
): Promise<readonly SetupRun[]> {
  const rows = await db
    .selectFrom('run')
    .selectAll()
    .where('truck_id', '=', truck)
    .$if(since !== undefined, (all) => all.where('at', '>', since!))
    .orderBy('number', 'desc')
    .limit(LOOKED_THROUGH)
    .execute();
  if (rows.length === 0) return [];
  rows.reverse();
  const then = await facts.states(
    truck,
    rows.map(({ at, readings_to }) => ({ at, upTo: readings_to })),
  );
  const values = new Map(held.map(({ fact, value }) => [fact, canonical(value)]));
  return rows
    .filter((_, i) => isAs(values, then[i]!))
    .slice(-MOST.runs)
    .map((row): SetupRun => {
      const { number: _, ...run } = runOf(row);
      return run;
    });
}

function isAs(held: ReadonlyMap<string, string>, then: ReadonlyMap<string, Fact>): boolean {
  const known = [...held].filter(([fact]) => then.has(fact));
  return 2 * known.length > held.size && known.every(([fact, value]) => canonical(then.get(fact)!.value) === value);
}

export const runOf = (row: Selectable<Tables['run']>): Omit<Run, 'facts' | 'parts' | 'by'> => ({
  number: row.number,
  typed: row.typed,
  minutes: row.minutes,
  temperatures: JSON.parse(row.temperatures) as Run['temperatures'],
  laps: JSON.parse(row.laps) as number[],
  changes: JSON.parse(row.changes) as string[],
  felt: row.felt,
  track: row.track,
  at: row.at,
});
