import { createHash } from 'node:crypto';
import { type Kysely, sql } from 'kysely';
import { canonical } from './canonical.ts';
import { type Engine, snapshot, type Table } from './engine.ts';
import { ArchiveError } from './errors.ts';
import type { Migration } from './migrations/index.ts';
import { finish, partOf, removeParts } from './sqlite/copy.ts';
import { loadSqlite } from './sqlite/driver.ts';
import { openSqlite } from './sqlite/open.ts';
import type { Tables } from './tables.ts';

/** What a table holds: how many rows, and a hash over all of them in the order of their key, which is the same on every engine. */
export interface Held {
  readonly table: string;
  readonly rows: number;
  readonly hash: string;
}

/** Rows read at a time: a picture can be some hundred kilobytes. */
const PAGE = 200;
/** SQLite takes 32,766 values in one statement, PostgreSQL 65,535. */
const MOST_VALUES = 30_000;

type Row = { readonly [column: string]: unknown };

export interface CopyRows {
  /** Done with what has arrived, before it is final. */
  readonly complete?: (arrived: Kysely<Tables>) => Promise<void>;
  /** Nobody may have written to the first archive in the meantime: at the end both have to hold the same. */
  readonly still?: boolean;
}

/**
 * Copies every row of every table into an empty archive of the same schema, as `from` stood at one moment, and proves it: what has arrived
 * is read again and has to be the same, row for row. All of it, or nothing. The words to find by are left out: each engine makes its own.
 */
export function copyRows(from: Engine, to: Engine, { complete, still = false }: CopyRows = {}): Promise<readonly Held[]> {
  return to.db.transaction().execute(async (target) => {
    const theirs = await to.tables(target);
    if (!(await isEmpty(target, theirs)))
      throw new ArchiveError('taken', 'There is something in the archive that is to be filled: give an empty one.');
    const sent: Held[] = [];
    await to.filling(target, () =>
      snapshot(from.db).execute(async (source) => {
        const tables = await from.tables(source);
        if (canonical(tables) !== canonical(theirs)) throw new Error('the two engines do not have the same tables');
        for (const table of tables) {
          const some = Math.max(1, Math.floor(MOST_VALUES / table.columns.length));
          const pass = async (rows: readonly Row[]): Promise<void> => {
            for (let at = 0; at < rows.length; at += some)
              await target
                .insertInto(table.name as 'club')
                .values(rows.slice(at, at + some) as never)
                .execute();
          };
          sent.push(await held(source, table, pass));
        }
      }),
    );
    const arrived: Held[] = [];
    for (const table of theirs) arrived.push(await held(target, table));
    const lost = difference(sent, arrived);
    if (lost) throw new Error(`${lost} has not arrived as it was sent`);
    await complete?.(target);
    const moved = still && difference(await holdings(from), arrived);
    if (moved)
      throw new ArchiveError('busy', `Somebody wrote to the archive while it was copied (${moved}): stop the bot, then try again.`);
    return arrived;
  });
}

/** The first table that is not the same. */
const difference = (some: readonly Held[], others: readonly Held[]): string | undefined =>
  some.find(({ table, rows, hash }, index) => {
    const other = others[index];
    return other?.table !== table || other.rows !== rows || other.hash !== hash;
  })?.table;

/** What every table of an archive holds at one moment. */
export const holdings = (engine: Engine): Promise<readonly Held[]> =>
  snapshot(engine.db).execute(async (db) => {
    const all: Held[] = [];
    for (const table of await engine.tables(db)) all.push(await held(db, table));
    return all;
  });

export async function isEmpty(db: Kysely<Tables>, tables: readonly Table[]): Promise<boolean> {
  for (const { name } of tables) {
    const { rows } = await sql`select 1 from ${sql.table(name)} limit 1`.execute(db);
    if (rows.length > 0) return false;
  }
  return true;
}

async function held(db: Kysely<Tables>, table: Table, pass?: (rows: readonly Row[]) => Promise<void>): Promise<Held> {
  if (table.key.length === 0) throw new Error(`${table.name} has no key, so its rows have no order`);
  const hash = createHash('sha256');
  let count = 0;
  const key = sql.join(table.key.map((column) => sql.ref(column)));
  for (let last: Row | undefined; ; ) {
    const after = last ? sql`where (${key}) > (${sql.join(table.key.map((column) => last![column]))})` : sql``;
    const { rows } = await sql<Row>`
      select ${sql.join(table.columns.map((column) => sql.ref(column)))} from ${sql.table(table.name)} ${after} order by ${key} limit ${PAGE}
    `.execute(db);
    for (const row of rows) hash.update(`${canonical(spelt(row))}\n`);
    count += rows.length;
    if (pass && rows.length > 0) await pass(rows);
    if (rows.length < PAGE) return { table: table.name, rows: count, hash: hash.digest('hex') };
    last = rows.at(-1)!;
  }
}

/** Bytes by their hash; everything else is text, a number or null on both engines. */
const spelt = (row: Row): Row =>
  Object.fromEntries(
    Object.entries(row).map(([column, value]) => [
      column,
      value instanceof Uint8Array ? { bytes: createHash('sha256').update(value).digest('hex') } : value,
    ]),
  );

/**
 * Writes an archive of another engine, at the state of its schema that `migrations` lead to, as one SQLite file: made under another name,
 * checked, and only then given its own.
 */
export async function writeCopy(
  from: Engine,
  migrations: readonly Migration[],
  file: string,
  how: Omit<CopyRows, 'complete'> & { readonly complete?: (copy: Engine, db: Kysely<Tables>) => Promise<void> } = {},
): Promise<readonly Held[]> {
  const sqlite = await loadSqlite();
  const part = partOf(file);
  try {
    const copy = await openSqlite({ file: part, create: true, clock: Date.now, migrations });
    let all: readonly Held[];
    try {
      all = await copyRows(from, copy, { ...how, complete: async (db) => how.complete?.(copy, db) });
    } catch (error) {
      throw copy.explain(error) ?? error;
    } finally {
      await copy.close();
    }
    finish(sqlite, part, file);
    return all;
  } finally {
    removeParts(part);
  }
}
