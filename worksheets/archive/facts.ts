import type { Kysely, Selectable } from 'kysely';
import type { ReadingValue } from '../engine/types.ts';
import { canonical } from './canonical.ts';
import type { Tables } from './tables.ts';
import type { Beneath, Fact, FactRow, How } from './trucks-types.ts';
import type { End, GivenReading } from './types.ts';

export const HOWS: readonly How[] = ['measured', 'stated', 'assumed'];
/** A tuning day's conversation: what was given to a sheet counts for so long. */
export const CONVERSATION = 12 * 3_600_000;

type Row = Selectable<Tables['reading']> & { readonly by_id: string; readonly by_name: string };

/** Which truck, at which instant; `upTo` looks back to when this was the last row. */
export interface Moment {
  readonly truck: number;
  readonly at: number;
  readonly upTo?: number;
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

  async of({ truck, at, upTo }: Moment): Promise<ReadonlyMap<string, Fact>> {
    const newest = this.#db
      .selectFrom('reading')
      .select(({ fn }) => fn.max('id').as('id'))
      .where('truck_id', '=', truck)
      .$if(upTo !== undefined, (rows) => rows.where('id', '<=', upTo!))
      .groupBy(['fact', 'kept']);
    const rows = await this.#rows().where('reading.id', 'in', newest).orderBy('reading.fact').execute();
    const byFact = new Map<string, { kept?: Row; given?: Row }>();
    for (const row of rows) byFact.set(row.fact, { ...byFact.get(row.fact), [row.kept === 1 ? 'kept' : 'given']: row });
    const facts = new Map<string, Fact>();
    for (const [name, { kept, given }] of byFact) {
      const lasting = kept?.gone === 0 ? kept : undefined;
      const justGiven = given?.gone === 0 && given.id > (kept?.id ?? 0) && at - given.given_at <= CONVERSATION ? given : undefined;
      if (justGiven && !(lasting && repeats(justGiven, lasting)))
        facts.set(name, { ...factOf(justGiven), beneath: lasting ? beneathOf(factOf(lasting)) : null });
      else if (lasting) facts.set(name, factOf(lasting));
    }
    return facts;
  }

  /** Adds rows to a truck's history and gives the last one's id. */
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

/** The same value, without a ± of its own that would be news. */
const repeats = (given: Row, lasting: Row): boolean =>
  given.value === lasting.value && (given.uncertainty === null || given.uncertainty === lasting.uncertainty);

function factOf(row: Row): Fact {
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
