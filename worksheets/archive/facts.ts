import type { Kysely, Selectable } from 'kysely';
import type { ReadingValue } from '../engine/types.ts';
import { canonical } from './canonical.ts';
import type { Tables } from './tables.ts';
import type { Beneath, Fact, FactRow, How } from './trucks-types.ts';
import type { End, GivenReading } from './types.ts';

export const HOWS: readonly How[] = ['measured', 'stated', 'assumed'];
/** A tuning day's conversation: what was given to a sheet counts for so long. */
export const CONVERSATION = 12 * 3_600_000;

/** Rows of one fact that are looked at for what it was before. */
const LOOKED_BACK = 20;

type Row = Selectable<Tables['reading']> & { readonly by_id: string; readonly by_name: string };

/** An instant, and the last row that there was of a truck then. */
export interface Moment {
  readonly at: number;
  readonly upTo: number;
}

/**
 * A truck's readings. Rows are added, never changed, and what counts is worked out from the newest of each kind:
 * the reading just given, when it came after the kept one and within a conversation; else the kept one. The order is that of the rows, so a
 * clock that was put back changes nothing.
 */
export class Facts {
  readonly #db: Kysely<Tables>;

  constructor(db: Kysely<Tables>) {
    this.#db = db;
  }

  /** What counts of a truck now. */
  async of({ truck, at }: { readonly truck: number; readonly at: number }): Promise<ReadonlyMap<string, Fact>> {
    const newest = this.#db
      .selectFrom('reading')
      .select(({ fn }) => fn.max('id').as('id'))
      .where('truck_id', '=', truck)
      .groupBy(['fact', 'kept']);
    const rows = await this.#rows().where('reading.id', 'in', newest).orderBy('reading.fact').execute();
    const newestOf = new Map<string, Newest>();
    for (const row of rows) note(newestOf, row);
    return counting(newestOf, at);
  }

  /** What counted at each of these instants, which are in the order of their marks: the history is walked once. */
  async states(truck: number, moments: readonly Moment[]): Promise<readonly ReadonlyMap<string, Fact>[]> {
    const last = moments.at(-1);
    if (!last) return [];
    const rows = await this.#rows().where('truck_id', '=', truck).where('reading.id', '<=', last.upTo).orderBy('reading.id').execute();
    const newestOf = new Map<string, Newest>();
    let next = 0;
    return moments.map(({ at, upTo }) => {
      for (; next < rows.length && rows[next]!.id <= upTo; next += 1) note(newestOf, rows[next]!);
      return counting(newestOf, at);
    });
  }

  /** Adds rows to a truck's history. */
  async add(
    { truck, member, at }: { readonly truck: number; readonly member: number; readonly at: number },
    readings: readonly (GivenReading & {
      readonly kept: boolean;
      readonly gone?: boolean;
      readonly sheet: string | null;
      readonly end: End;
      readonly givenAt: number;
    })[],
  ): Promise<void> {
    for (const { fact, name, typed, said, value, uncertainty, unit, note, how, kept, gone = false, sheet, end, givenAt } of readings)
      await this.#db
        .insertInto('reading')
        .values({
          truck_id: truck,
          fact,
          name,
          typed,
          said: said ?? null,
          value: canonical(value),
          uncertainty,
          unit,
          note: note ?? null,
          how: how ?? 'measured',
          kept: kept ? 1 : 0,
          gone: gone ? 1 : 0,
          sheet: sheet ?? '',
          end: end ?? '',
          member_id: member,
          given_at: givenAt,
          at,
        })
        .execute();
  }

  async history(truck: number, fact: string, limit: number): Promise<readonly FactRow[]> {
    const rows = await this.#rows()
      .where('truck_id', '=', truck)
      .where('fact', '=', fact)
      .orderBy('reading.id', 'desc')
      .limit(limit)
      .execute();
    return rows.map((row) => ({ ...factOf(row), gone: row.gone === 1, writtenAt: row.at }));
  }

  /** What was kept of a fact before the one that was just forgotten, if it was kept since it was last forgotten. */
  async before(truck: number, fact: string): Promise<Fact | undefined> {
    const [, last, ...earlier] = await this.#rows()
      .where('truck_id', '=', truck)
      .where('fact', '=', fact)
      .where('kept', '=', 1)
      .orderBy('reading.id', 'desc')
      .limit(LOOKED_BACK)
      .execute();
    const row = earlier.find((one) => one.gone === 1 || one.value !== last?.value);
    return row === undefined || row.gone === 1 ? undefined : factOf(row);
  }

  /** The last row of this truck: a mark to look back to. */
  async mark(truck: number): Promise<number> {
    const row = await this.#db
      .selectFrom('reading')
      .select(({ fn }) => fn.max('id').as('id'))
      .where('truck_id', '=', truck)
      .executeTakeFirst();
    return row?.id ?? 0;
  }

  #rows() {
    return this.#db
      .selectFrom('reading')
      .innerJoin('member', 'member.id', 'reading.member_id')
      .selectAll('reading')
      .select(['member.platform_id as by_id', 'member.name as by_name']);
  }
}

/** The newest rows of a fact, kept and given, and what they say. */
interface Newest {
  readonly kept?: Said;
  readonly given?: Said;
}
interface Said {
  readonly row: Row;
  readonly fact: Fact;
}
const note = (newestOf: Map<string, Newest>, row: Row): void =>
  void newestOf.set(row.fact, { ...newestOf.get(row.fact), [row.kept === 1 ? 'kept' : 'given']: { row, fact: factOf(row) } });

/** The reading just given, when it came after the kept one and within a conversation; else the kept one. */
function counting(newestOf: ReadonlyMap<string, Newest>, at: number): ReadonlyMap<string, Fact> {
  const facts = new Map<string, Fact>();
  for (const [name, { kept, given }] of [...newestOf].sort(([a], [b]) => (a < b ? -1 : 1))) {
    const lasting = kept?.row.gone === 0 ? kept : undefined;
    const counts = given?.row.gone === 0 && given.row.id > (kept?.row.id ?? 0) && at - given.row.given_at <= CONVERSATION;
    if (counts && !(lasting && repeats(given.row, lasting.row)))
      facts.set(name, { ...given.fact, beneath: lasting ? beneathOf(lasting.fact) : null });
    else if (lasting) facts.set(name, lasting.fact);
  }
  return facts;
}

/** The same value, without a ± of its own that would be news. */
const repeats = (given: Row, lasting: Row): boolean =>
  given.value === lasting.value && (given.uncertainty === null || given.uncertainty === lasting.uncertainty);

export function factOf(row: Row): Fact {
  return {
    fact: row.fact,
    name: row.name,
    typed: row.typed,
    ...(row.said === null ? {} : { said: row.said }),
    value: JSON.parse(row.value) as ReadingValue,
    uncertainty: row.uncertainty,
    unit: row.unit,
    ...(row.note === null ? {} : { note: row.note }),
    how: row.how as How,
    at: row.given_at,
    by: { id: row.by_id, name: row.by_name },
    sheet: row.sheet === '' ? null : row.sheet,
    end: row.end === '' ? null : (row.end as 'front' | 'rear'),
    kept: row.kept === 1,
    beneath: null,
  };
}

export const beneathOf = ({ typed, said, value, uncertainty, unit, how, at }: Fact): Beneath => ({
  typed,
  ...(said === undefined ? {} : { said }),
  value,
  uncertainty,
  unit,
  how,
  at,
});

/** The reading in a fact, to be given again. */
export const readingOf = ({ fact, name, typed, said, value, uncertainty, unit, note, how }: Fact): GivenReading => ({
  fact,
  name,
  typed,
  ...(said === undefined ? {} : { said }),
  value,
  uncertainty,
  unit,
  ...(note === undefined ? {} : { note }),
  how,
});

/** Whether two readings say the same of the truck, however they were typed and however sure they are. */
export const saysTheSame = (a: Pick<GivenReading, 'value'>, b: Pick<GivenReading, 'value'>): boolean =>
  canonical(a.value) === canonical(b.value);
