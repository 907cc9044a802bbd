import type { Kysely, Selectable } from 'kysely';
import { canonical, sha256 } from './canonical.ts';
import { changesBetween } from './changes.ts';
import { factOf, readingOf } from './facts.ts';
import type { LoggedThing, Said, Told, ToldChange, ToldPart, ToldSetup, ToldThing } from './log-types.ts';
import { partOf } from './parts-list.ts';
import type { Tables } from './tables.ts';
import type { Change, SetupDoc } from './types.ts';

type Db = Kysely<Tables>;

/** A row of the log as it is kept. */
export interface Logged {
  readonly at: number;
  readonly act: string;
  readonly member_id: number | null;
  readonly detail: Readonly<Record<string, unknown>>;
}

/**
 * The words of a page of the log, one for each row. A row's hash is what ties it to the rows that it was made over: those of the same truck at
 * the same instant whose hash it is. A handful of questions, however long the page.
 */
export async function toldOf(db: Db, club: number, page: readonly Logged[]): Promise<Told[]> {
  const trucks = await trucksOf(db, page);
  const readings = await readingsOf(db, page);
  const parts = await partsOf(db, page);
  const things = await thingsOf(db, club, page);
  const runs = await runsOf(db, page);
  const setups = await setupsOf(db, club, page);
  const members = await membersOf(db, club, page);
  return page.map((row): Told => {
    const { act, detail } = row;
    const whom = detail.member ?? detail.to ?? detail.from;
    return {
      ...(detail.truck === undefined ? {} : { truck: trucks.get(detail.truck as number) ?? null }),
      ...(detail.setup === undefined ? {} : { setup: setups.called(detail.setup as number) }),
      ...(whom === undefined || act === 'member left' ? {} : { whom: members.get(whom as string | number) ?? null }),
      ...(KEEPS_FACTS.includes(act) ? { changes: readings(row) } : {}),
      ...(act === 'setup' && (detail.rev as number) > 1 ? { changes: setups.changes(detail.setup as number, detail.rev as number) } : {}),
      ...(act === 'part' || act === 'part removed' ? { part: parts(row) } : {}),
      ...(act === 'thing' || act === 'thing removed' ? { thing: things(row) } : {}),
      ...(act === 'run' ? { run: runs.get(`${detail.truck}/${detail.run}`) ?? null } : {}),
    };
  });
}

const KEEPS_FACTS = ['facts set', 'facts kept', 'fact forgotten'];

const distinct = <T>(values: readonly T[]): T[] => [...new Set(values)];
const about = (page: readonly Logged[], acts: readonly string[]): Logged[] => page.filter(({ act }) => acts.includes(act));
const trucksIn = (page: readonly Logged[]): number[] => distinct(page.flatMap(({ detail }) => (detail.truck as number | undefined) ?? []));
const instants = (page: readonly Logged[]): number[] => distinct(page.map(({ at }) => at));

async function trucksOf(db: Db, page: readonly Logged[]): Promise<ReadonlyMap<number, string>> {
  const ids = trucksIn(page);
  if (ids.length === 0) return new Map();
  const rows = await db.selectFrom('truck').select(['id', 'name']).where('id', 'in', ids).execute();
  // A truck of which only its former member's setups are left has no name.
  return new Map(rows.filter(({ name }) => name !== '').map(({ id, name }) => [id, name]));
}

// ── facts ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

type ReadingRow = Selectable<Tables['reading']> & { readonly before: number | null };

async function readingsOf(db: Db, page: readonly Logged[]): Promise<(row: Logged) => readonly ToldChange[] | null> {
  const changed = about(page, KEEPS_FACTS);
  if (changed.length === 0) return () => null;
  const rows: ReadingRow[] = await db
    .selectFrom('reading')
    .selectAll()
    .select(({ selectFrom }) =>
      selectFrom('reading as earlier')
        .select(({ fn }) => fn.max('earlier.id').as('id'))
        .whereRef('earlier.truck_id', '=', 'reading.truck_id')
        .whereRef('earlier.fact', '=', 'reading.fact')
        .where('earlier.kept', '=', 1)
        .whereRef('earlier.id', '<', 'reading.id')
        .as('before'),
    )
    .where('truck_id', 'in', trucksIn(changed))
    .where('at', 'in', instants(changed))
    .where((eb) => eb.or([eb('kept', '=', 1), eb('gone', '=', 1)]))
    .orderBy('id')
    .execute();
  const ids = rows.flatMap(({ before }) => before ?? []);
  const earlier = ids.length === 0 ? [] : await db.selectFrom('reading').selectAll().where('id', 'in', ids).execute();
  const before = new Map(earlier.map((row) => [row.id, row]));
  return ({ at, act, member_id, detail: { truck, hash } }) => {
    const gone = act === 'fact forgotten';
    const then = rows.filter((row) => row.truck_id === truck && row.at === at && row.member_id === member_id && (row.gone === 1) === gone);
    const found = gone ? then.filter((row) => sha256(canonical(written(row))) === hash).slice(0, 1) : madeOver(then, hash as string);
    if (found.length === 0) return null;
    return found.map((row): ToldChange => {
      const was = gone ? row : row.before === null ? undefined : before.get(row.before);
      return {
        name: row.fact,
        was: was && (gone || was.gone === 0) ? saidOf(was) : null,
        is: gone ? null : saidOf(row),
      };
    });
  };
}

/** The rows, one after the other, that this is the hash of. Mostly they are all; of two changes at one instant each has some. */
function madeOver(rows: readonly ReadingRow[], hash: string): readonly ReadingRow[] {
  const texts = rows.map((row) => canonical(written(row)));
  for (let length = rows.length; length > 0; length -= 1)
    for (let from = 0; from + length <= rows.length; from += 1)
      if (sha256(`[${texts.slice(from, from + length).join(',')}]`) === hash) return rows.slice(from, from + length);
  return [];
}

/** As it was when the log's hash was made over it. */
function written(row: Selectable<Tables['reading']>): object {
  const fact = factOf({ ...row, ...NOBODY });
  const { kept, sheet, end, at: givenAt } = fact;
  return { ...readingOf(fact), kept, ...(row.gone === 1 ? { gone: true } : {}), sheet, end, givenAt };
}

const NOBODY = { by_id: '', by_name: '' };

const saidOf = ({ said, typed, unit, how }: Selectable<Tables['reading']>): Said => ({ text: said ?? typed, unit, how });

// ── parts, things, runs ─────────────────────────────────────────────────────────────────────────────────────────────────────────

async function partsOf(db: Db, page: readonly Logged[]): Promise<(row: Logged) => ToldPart | null> {
  const changed = about(page, ['part', 'part removed']);
  if (changed.length === 0) return () => null;
  const rows = await db
    .selectFrom('part')
    .selectAll()
    .select(({ selectFrom }) =>
      selectFrom('part as earlier')
        .select(({ fn }) => fn.max('earlier.id').as('id'))
        .whereRef('earlier.truck_id', '=', 'part.truck_id')
        .whereRef('earlier.name_key', '=', 'part.name_key')
        .whereRef('earlier.id', '<', 'part.id')
        .as('before'),
    )
    .where('truck_id', 'in', trucksIn(changed))
    .where('at', 'in', instants(changed))
    .orderBy('id')
    .execute();
  const ids = rows.flatMap(({ before }) => before ?? []);
  const earlier = ids.length === 0 ? [] : await db.selectFrom('part').selectAll().where('id', 'in', ids).execute();
  const before = new Map(earlier.map((row) => [row.id, row]));
  const byHash = new Map(rows.map((row) => [hashOf(row), row]));
  return ({ detail: { hash } }) => {
    const row = byHash.get(hash as string);
    if (!row) return null;
    const was = row.before === null ? undefined : before.get(row.before);
    return { is: partOf({ ...row, ...NOBODY }), was: was?.gone === 0 ? partOf({ ...was, ...NOBODY }) : null };
  };
}

async function thingsOf(db: Db, club: number, page: readonly Logged[]): Promise<(row: Logged) => ToldThing | null> {
  const changed = about(page, ['thing', 'thing removed']);
  if (changed.length === 0) return () => null;
  const rows = await db
    .selectFrom('thing')
    .selectAll()
    .select(({ selectFrom }) =>
      selectFrom('thing as earlier')
        .select(({ fn }) => fn.max('earlier.id').as('id'))
        .whereRef('earlier.club_id', '=', 'thing.club_id')
        .whereRef('earlier.kind', '=', 'thing.kind')
        .whereRef('earlier.name_key', '=', 'thing.name_key')
        .whereRef('earlier.id', '<', 'thing.id')
        .as('before'),
    )
    .where('club_id', '=', club)
    .where('kind', 'in', distinct(changed.map(({ detail }) => detail.kind as string)))
    .where('at', 'in', instants(changed))
    .orderBy('id')
    .execute();
  const ids = rows.flatMap(({ before }) => before ?? []);
  const earlier = ids.length === 0 ? [] : await db.selectFrom('thing').selectAll().where('id', 'in', ids).execute();
  const before = new Map(earlier.map((row) => [row.id, row]));
  const borrowers = distinct([...rows, ...earlier].flatMap(({ lent_id }) => lent_id ?? []));
  const known = borrowers.length === 0 ? [] : await db.selectFrom('member').select(['id', 'name']).where('id', 'in', borrowers).execute();
  const names = new Map(known.map(({ id, name }) => [id, name]));
  const byHash = new Map(rows.map((row) => [hashOf(row), row]));
  const logged = ({ kind, name, typed, detail, note, lent_to, lent_id }: Selectable<Tables['thing']>): LoggedThing => {
    const { scale, surface } = JSON.parse(detail) as { readonly scale?: { readonly gain: number }; readonly surface?: string };
    const lentTo = (lent_id === null ? undefined : names.get(lent_id)) ?? lent_to;
    return { kind, name, typed, gain: scale?.gain ?? null, surface: surface ?? '', note, lentTo };
  };
  return ({ detail: { hash } }) => {
    const row = byHash.get(hash as string);
    if (!row) return null;
    const was = row.before === null ? undefined : before.get(row.before);
    return { is: logged(row), was: was?.gone === 0 ? logged(was) : null };
  };
}

/** The log's hash of a part or a thing is over its row, before it had a number. */
const hashOf = ({ id: _, before: __, ...row }: { readonly id: number; readonly before: unknown }): string => sha256(canonical(row));

async function runsOf(db: Db, page: readonly Logged[]): Promise<ReadonlyMap<string, string>> {
  const changed = about(page, ['run']);
  if (changed.length === 0) return new Map();
  const numbers = distinct(changed.map(({ detail }) => detail.run as number));
  const rows = await db
    .selectFrom('run')
    .select(['truck_id', 'number', 'typed'])
    .where('truck_id', 'in', trucksIn(changed))
    .where('number', 'in', numbers)
    .execute();
  return new Map(rows.map(({ truck_id, number, typed }) => [`${truck_id}/${number}`, typed]));
}

// ── setups ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

async function setupsOf(db: Db, club: number, page: readonly Logged[]) {
  const numbers = distinct(page.flatMap(({ detail }) => (detail.setup as number | undefined) ?? []));
  const rows =
    numbers.length === 0
      ? []
      : await db
          .selectFrom('setup')
          .select(['id', 'number', 'name', 'private', 'gone'])
          .where('club_id', '=', club)
          .where('number', 'in', numbers)
          .execute();
  const byNumber = new Map(rows.map((row) => [row.number, row]));
  // What is private says nothing here, and what is gone has nothing to say.
  const open = (number: number) => {
    const row = byNumber.get(number);
    return row?.private === 0 && row.gone === 0 ? row : undefined;
  };
  const pairs = about(page, ['setup']).flatMap(({ detail }) => {
    const setup = open(detail.setup as number);
    const rev = detail.rev as number;
    return setup && rev > 1
      ? [
          [setup.id, rev],
          [setup.id, rev - 1],
        ]
      : [];
  }) as [number, number][];
  const docs =
    pairs.length === 0
      ? []
      : await db
          .selectFrom('revision')
          .select(['setup_id', 'rev', 'doc'])
          .where((eb) => eb.or(pairs.map(([setup, rev]) => eb.and([eb('setup_id', '=', setup), eb('rev', '=', rev)]))))
          .execute();
  const byRev = new Map(docs.map(({ setup_id, rev, doc }) => [`${setup_id}/${rev}`, JSON.parse(doc) as SetupDoc]));
  return {
    called(number: number): ToldSetup {
      const row = byNumber.get(number);
      return { name: open(number)?.name ?? null, private: row?.private === 1 && row.gone === 0 };
    },
    changes(number: number, rev: number): readonly ToldChange[] {
      const setup = open(number);
      const [earlier, later] = [byRev.get(`${setup?.id}/${rev - 1}`), byRev.get(`${setup?.id}/${rev}`)];
      return earlier && later ? changesBetween(earlier, later).map(toldChange) : [];
    },
  };
}

const toldChange = ({ sheet, end, name, was, is, unit }: Change): ToldChange => {
  const said = (text: string | null): Said | null => (text === null ? null : { text, unit, how: null });
  return { name: end === null || sheet === '' ? name : `${end}_${name}`, was: said(was), is: said(is) };
};

// ── members ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** By the archive's own number, or by the platform's id. */
async function membersOf(db: Db, club: number, page: readonly Logged[]): Promise<ReadonlyMap<string | number, string>> {
  const named = page.filter(({ act }) => act !== 'member left');
  const ids = distinct(named.flatMap(({ detail }) => (detail.member as number | undefined) ?? []));
  const platformIds = distinct(named.flatMap(({ detail: { to, from } }) => ((to ?? from) as string | undefined) ?? []));
  if (ids.length + platformIds.length === 0) return new Map();
  const rows = await db
    .selectFrom('member')
    .select(['id', 'platform_id', 'name'])
    .where('club_id', '=', club)
    .where((eb) =>
      eb.or([...(ids.length > 0 ? [eb('id', 'in', ids)] : []), ...(platformIds.length > 0 ? [eb('platform_id', 'in', platformIds)] : [])]),
    )
    .execute();
  return new Map<string | number, string>(
    rows.flatMap(({ id, platform_id, name }) => [
      [id, name],
      [platform_id, name],
    ]),
  );
}
