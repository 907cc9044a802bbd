import { closeSync, existsSync, linkSync, mkdirSync, openSync, readSync, renameSync, rmSync, statSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { Kysely, sql } from 'kysely';
import type { Engine, Table } from '../engine.ts';
import { ArchiveError, older } from '../errors.ts';
import { migrate, standing } from '../migrate.ts';
import { MIGRATIONS, type Migration } from '../migrations/index.ts';
import type { Tables } from '../tables.ts';
import { copyTo, sync } from './copy.ts';
import { sqliteDialect } from './dialect.ts';
import { type Database, loadSqlite, resultCode, type Sqlite } from './driver.ts';
import { damaged, explain } from './explain.ts';
import { ftsFullText } from './full-text.ts';

export interface OpenSqlite {
  readonly file: string;
  readonly create: boolean;
  readonly clock: () => number;
  readonly migrations?: readonly Migration[];
  /** Keeps a copy beside an older file before it is brought up to date; false where the file is itself a copy. */
  readonly copyFirst?: boolean;
  readonly upgrade?: boolean;
}

const ENGINE = { kind: 'sqlite', fullText: ftsFullText } as const;

/** "DUST", in the header of every file of ours, so that nobody else's database is ever taken for one. */
const APPLICATION_ID = 0x44555354;

/**
 * `full` and not `normal`: with `normal`, commits that had been acknowledged were gone after nearly every simulated loss of power (up to 692 of
 * them); `full` lost none and costs 0.65 ms a commit.
 */
const PRAGMAS = `
  pragma busy_timeout = 5000;
  pragma journal_mode = wal;
  pragma synchronous = full;
  pragma foreign_keys = on;
  pragma trusted_schema = off;
  pragma cell_size_check = on;
  pragma journal_size_limit = 67108864;
`;

export async function openSqlite({
  file,
  create,
  clock,
  migrations = MIGRATIONS,
  copyFirst = true,
  upgrade = true,
}: OpenSqlite): Promise<Engine> {
  // In SQLite these two are databases that are gone when they are closed.
  if (file === '' || basename(file) === ':memory:') {
    throw new ArchiveError('missing', `The archive needs a file that stays: "${file}" is none.`);
  }
  const sqlite = await loadSqlite();
  try {
    if (!existsSync(file)) {
      if (!create) throw new ArchiveError('missing', `There is no archive at "${file}".`);
      await createFile(sqlite, file, migrations);
    }
    checkHeader(file);
    const pending = checkInside(sqlite, file, migrations);
    if (pending !== undefined && !upgrade) throw older(`"${file}"`);
    const { db, database, close } = connect(sqlite, file);
    try {
      if (pending !== undefined) {
        if (copyFirst) copyTo(database, sqlite, `${file}.before-${pending}-${clock()}`);
        await migrate(db, ENGINE, migrations);
      }
    } catch (error) {
      await close();
      throw error;
    }
    return {
      ...ENGINE,
      db,
      explain: (error) => explain(error, file, resultCode(error)),
      tables,
      filling,
      faults,
      close,
    };
  } catch (error) {
    throw explain(error, file, resultCode(error) ?? (error as NodeJS.ErrnoException).code) ?? error;
  }
}

function connect(sqlite: Sqlite, file: string): { db: Kysely<Tables>; database: Database; close(): Promise<void> } {
  const database = sqlite.open(file, { readonly: false });
  try {
    database.exec(PRAGMAS);
  } catch (error) {
    database.close();
    throw error;
  }
  const db = new Kysely<Tables>({ dialect: sqliteDialect(database) });
  const close = async (): Promise<void> => {
    await db.destroy();
    database.close();
  };
  return { db, database, close };
}

/** Made whole under another name and only then put in its place: a file that is there is always a complete archive. */
async function createFile(sqlite: Sqlite, file: string, migrations: readonly Migration[]): Promise<void> {
  if (existsSync(`${file}-wal`)) {
    // SQLite would play that log into the new file.
    throw new ArchiveError(
      'damaged',
      `"${file}" is gone, but its log "${basename(file)}-wal" is there: put the archive back, or move the log away.`,
    );
  }
  mkdirSync(dirname(file), { recursive: true });
  const made = `${file}.new-${process.pid}-${Math.random().toString(36).slice(2, 8)}`;
  try {
    const { db, database, close } = connect(sqlite, made);
    try {
      database.exec(`pragma application_id = ${APPLICATION_ID}`);
      await migrate(db, ENGINE, migrations);
      database.exec('pragma wal_checkpoint(truncate)');
    } finally {
      await close();
    }
    sync(made);
    try {
      linkSync(made, file);
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      // Another process was quicker: its archive is as good. Where a disk knows no links, a rename has to do.
      if (code !== 'EEXIST') renameSync(made, file);
    }
    sync(dirname(file));
  } finally {
    for (const tail of ['', '-wal', '-shm']) rmSync(made + tail, { force: true });
  }
}

/** Before SQLite sees the file: it would take 0 bytes for a new database, and open anybody's. The layout: sqlite.org/fileformat.html, 1.3. */
export function checkHeader(file: string): void {
  if (statSync(file).isDirectory()) throw new ArchiveError('foreign', `"${file}" is a folder, not an archive.`);
  const { header, length } = headerOf(file);
  if (length === 0) {
    throw new ArchiveError(
      'empty',
      `The archive "${file}" is empty (0 bytes): put a copy in its place, or move it away to start a new one.`,
    );
  }
  const isDatabase = begins(header);
  const isOurs = header.readUInt32BE(68) === APPLICATION_ID;
  if (isDatabase && isOurs && length === 100) {
    // SQLite reads what is missing at the end as zeros. With a log beside it, the file may rightly be behind.
    const pageSize = header.readUInt16BE(16) === 1 ? 65_536 : header.readUInt16BE(16);
    const hasLog = (statSync(`${file}-wal`, { throwIfNoEntry: false })?.size ?? 0) > 0;
    if (!hasLog && statSync(file).size < pageSize * header.readUInt32BE(28)) throw damaged(file, 'its end is missing');
    return;
  }
  if (isOurs || (isDatabase && length < 100)) throw damaged(file, 'its beginning is not what was written');
  throw new ArchiveError('foreign', `"${file}" is not an archive of this program, so it was left as it is.`);
}

function headerOf(file: string): { readonly header: Buffer; readonly length: number } {
  const header = Buffer.alloc(100);
  const handle = openSync(file, 'r');
  try {
    return { header, length: readSync(handle, header, 0, 100, 0) };
  } finally {
    closeSync(handle);
  }
}
const begins = (header: Buffer): boolean => header.toString('latin1', 0, 16) === 'SQLite format 3\0';

/** Anybody's. */
export const isSqlite = (file: string): boolean => begins(headerOf(file).header);

/**
 * Looks the file over without being able to write, and gives the first migration that is pending. The check reads every page: 75 ms for 124 MB,
 * 0.9 s for 1.2 GB from memory. A club's file is far below that, and nothing waits for the bot while it starts, so it needs no worker.
 */
export function checkInside(sqlite: Sqlite, file: string, migrations: readonly Migration[]): string | undefined {
  const database = sqlite.open(file, { readonly: true });
  try {
    database.exec('pragma busy_timeout = 5000; pragma cell_size_check = on; pragma trusted_schema = off');
    const table = database.prepare("select 1 from sqlite_schema where type = 'table' and name = 'kysely_migration'").all([]);
    if (table.length === 0) throw damaged(file, 'its list of migrations is missing');
    const done = (database.prepare('select name from kysely_migration order by name').all([]) as { name: string }[]).map(
      ({ name }) => name,
    );
    const { unknown, pending } = standing(done, migrations);
    if (unknown !== undefined) {
      throw new ArchiveError(
        'newer',
        `The archive "${file}" was written by a newer version ("${unknown}"): update this program to open it.`,
      );
    }
    const [first] = database.prepare('pragma quick_check(1)').all([]) as { quick_check: string }[];
    if (first?.quick_check !== 'ok') throw damaged(file, first?.quick_check ?? 'the check gave no result');
    return pending;
  } finally {
    database.close();
  }
}

/** Virtual tables and what is theirs are no `table` in this list. */
async function tables(db: Kysely<Tables>): Promise<readonly Table[]> {
  const { rows } = await sql<{ table: string; column: string; key: number }>`
    select l.name as "table", c.name as "column", c.pk as "key"
    from pragma_table_list l join pragma_table_info(l.name) c
    where l.schema = 'main' and l.type = 'table' and l.name not like 'sqlite\\_%' escape '\\' and l.name not like 'kysely\\_%' escape '\\'
    order by l.name, c.name
  `.execute(db);
  return [...new Set(rows.map(({ table }) => table))].map((name) => {
    const columns = rows.filter(({ table }) => table === name);
    const key = columns.filter(({ key }) => key > 0).sort((a, b) => a.key - b.key);
    return { name, columns: columns.map(({ column }) => column), key: key.map(({ column }) => column) };
  });
}

async function filling(db: Kysely<Tables>, fill: () => Promise<void>): Promise<void> {
  await sql`pragma defer_foreign_keys = on`.execute(db);
  await fill();
}

async function faults(db: Kysely<Tables>): Promise<readonly string[]> {
  const inside = await sql<{ integrity_check: string }>`pragma integrity_check(20)`.execute(db);
  const pointing = await sql<{ table: string; rowid: number; parent: string }>`pragma foreign_key_check`.execute(db);
  return [
    ...inside.rows.map((row) => row.integrity_check).filter((said) => said !== 'ok'),
    ...pointing.rows
      .slice(0, 20)
      .map(({ table, rowid, parent }) => `Row ${rowid} of ${table} points to a row of ${parent} that is not there.`),
  ];
}
