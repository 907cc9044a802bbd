import { type Kysely, sql } from 'kysely';
import type { Engine, Table } from '../engine.ts';
import { ArchiveError, older } from '../errors.ts';
import { migrate, standing } from '../migrate.ts';
import { MIGRATIONS, type Migration } from '../migrations/index.ts';
import type { Tables } from '../tables.ts';
import { connect, PATIENT, SERVING, type Waits } from './connect.ts';
import { explainer } from './explain.ts';
import { vectorFullText } from './full-text.ts';

export { PATIENT, SERVING } from './connect.ts';

export interface OpenPostgres {
  readonly url: string;
  /** Makes the archive where the database is empty. */
  readonly create: boolean;
  readonly upgrade?: boolean;
  readonly migrations?: readonly Migration[];
  /** Keeps a copy of an older archive before it is brought up to date. When it fails, nothing is changed. */
  readonly copyFirst: (older: Engine, done: readonly Migration[], pending: string) => Promise<void>;
  readonly waits?: Waits;
}

const OLDEST = 15;
/** "DUST" twice over: the lock of whoever makes an archive or brings one up to date. */
const LOCK = 0x44555354;

export async function openPostgres({
  url,
  create,
  upgrade = true,
  migrations = MIGRATIONS,
  copyFirst,
  waits = SERVING,
}: OpenPostgres): Promise<Engine> {
  const name = nameOf(url);
  const explain = explainer(name);
  const engineOver = (db: Kysely<Tables>): Engine => ({
    kind: 'postgres',
    db,
    fullText: vectorFullText,
    explain,
    tables,
    filling,
    faults: async () => [],
    close: () => db.destroy(),
  });
  const db = connect(url, waits);
  try {
    const found = await look(db, name, migrations);
    if (found.pending !== undefined) {
      if (!found.isNew && !upgrade) throw older(name);
      if (found.isNew && !create) throw new ArchiveError('missing', `There is no archive in the database ${name}.`);
      await bringUp(connect(url, PATIENT));
    }
    return engineOver(db);
  } catch (error) {
    await db.destroy();
    throw explain(error) ?? error;
  }

  /** One process at a time: what a second one finds is either the archive as it was or as it will be. */
  async function bringUp(patient: Kysely<Tables>): Promise<void> {
    try {
      await patient.connection().execute(async (one) => {
        await sql`select pg_advisory_lock(${LOCK}, 1)`.execute(one);
        const { isNew, done, pending } = await look(one, name, migrations);
        if (pending === undefined) return;
        const before = migrations.filter((migration) => done.includes(migration.name));
        if (!isNew) await copyFirst(engineOver(patient), before, pending);
        await migrate(patient, engineOver(patient), migrations);
      });
    } finally {
      await patient.destroy();
    }
  }
}

interface Found {
  readonly isNew: boolean;
  readonly done: readonly string[];
  readonly pending: string | undefined;
}

/** Looks the database over without changing anything. */
async function look(db: Kysely<Tables>, name: string, migrations: readonly Migration[]): Promise<Found> {
  const { rows } = await sql<{ version: number; encoding: string; schema: string | null; listed: boolean; others: number }>`
    select current_setting('server_version_num')::int as version,
      current_setting('server_encoding') as encoding,
      current_schema() as schema,
      to_regclass(format('%I.kysely_migration', current_schema())) is not null as listed,
      (
        select count(*) from pg_class c join pg_namespace n on n.oid = c.relnamespace
        where n.nspname = current_schema() and c.relkind in ('r', 'p', 'v', 'm', 'f') and c.relname not like 'kysely\\_%'
          and not exists (select 1 from pg_depend d where d.classid = 'pg_class'::regclass and d.objid = c.oid and d.deptype = 'e')
      ) as others
  `.execute(db);
  const { version, encoding, schema, listed, others } = rows[0]!;
  if (version < OLDEST * 10_000) {
    const has = `${Math.floor(version / 10_000)}.${version % 10_000}`;
    throw new ArchiveError('driver', `The archive needs PostgreSQL ${OLDEST} or newer, but ${name} is ${has}: update the server.`);
  }
  if (encoding !== 'UTF8') {
    throw new ArchiveError('driver', `The database ${name} keeps text as ${encoding}: make one with the encoding UTF8 for the archive.`);
  }
  if (schema === null) {
    throw new ArchiveError('rights', `The database ${name} has no schema that this name may use: grant it one, or set its search_path.`);
  }
  const done = listed
    ? (await sql<{ name: string }>`select name from kysely_migration order by name`.execute(db)).rows.map((row) => row.name)
    : [];
  const isOurs = done.includes(MIGRATIONS[0]!.name);
  if (!isOurs && (others > 0 || done.length > 0)) {
    throw new ArchiveError('foreign', `The database ${name} holds tables of another program, so it was left as it is.`);
  }
  const { unknown, pending } = standing(done, migrations);
  if (unknown !== undefined) {
    throw new ArchiveError(
      'newer',
      `The archive in ${name} was written by a newer version ("${unknown}"): update this program to open it.`,
    );
  }
  if (isOurs && others === 0)
    throw new ArchiveError('damaged', `The archive in ${name} has lost its tables: put the newest copy in its place.`);
  return { isNew: !isOurs, done, pending };
}

async function tables(db: Kysely<Tables>): Promise<readonly Table[]> {
  const { rows } = await sql<{ name: string; columns: string[]; key: string[] | null }>`
    select c.relname as name,
      array(
        select a.attname::text from pg_attribute a
        where a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped and a.attgenerated = ''
        order by a.attname collate "C"
      ) as columns,
      (
        select array_agg(a.attname::text order by array_position(i.indkey::int2[], a.attnum))
        from pg_index i join pg_attribute a on a.attrelid = c.oid and a.attnum = any (i.indkey)
        where i.indrelid = c.oid and i.indisprimary
      ) as key
    from pg_class c
    where c.relnamespace = current_schema()::regnamespace and c.relkind = 'r'
      and c.relname not like 'kysely\\_%' and c.relname <> 'setup_words'
    order by c.relname collate "C"
  `.execute(db);
  return rows.map(({ name, columns, key }) => ({ name, columns, key: key ?? [] }));
}

/** Takes the references out and puts them back, which looks at every row; and lets the ids count on from the highest. */
async function filling(db: Kysely<Tables>, fill: () => Promise<void>): Promise<void> {
  const references = await sql<{ at: string; name: string; is: string }>`
    select conrelid::regclass::text as at, quote_ident(conname) as name, pg_get_constraintdef(oid) as is
    from pg_constraint where contype = 'f' and connamespace = current_schema()::regnamespace
  `.execute(db);
  for (const { at, name } of references.rows) await sql.raw(`alter table ${at} drop constraint ${name}`).execute(db);
  await fill();
  for (const { at, name, is } of references.rows) await sql.raw(`alter table ${at} add constraint ${name} ${is}`).execute(db);
  const counting = await sql<{ at: string; name: string; counter: string }>`
    select attrelid::regclass::text as at, quote_ident(attname) as name, pg_get_serial_sequence(attrelid::regclass::text, attname) as counter
    from pg_attribute a join pg_class c on c.oid = a.attrelid
    where c.relnamespace = current_schema()::regnamespace and a.attidentity <> ''
  `.execute(db);
  for (const { at, name, counter } of counting.rows)
    await sql.raw(`select setval('${counter}', (select coalesce(max(${name}), 0) + 1 from ${at}), false)`).execute(db);
}

/** Host and database, without the password. */
function nameOf(url: string): string {
  const { hostname, port, pathname, searchParams } = new URL(url);
  const host = hostname || searchParams.get('host') || 'localhost';
  return `"${decodeURIComponent(pathname.slice(1))}" at ${host}${port === '' ? '' : `:${port}`}`;
}
