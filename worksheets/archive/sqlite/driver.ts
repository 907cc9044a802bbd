import type { SqliteDatabase } from 'kysely';
import { ArchiveError } from '../errors.ts';

/** Up to 3.51.2 a file in WAL mode can be damaged when two connections write and checkpoint at once (sqlite.org/wal.html#walresetbug). */
export const OLDEST_SQLITE = '3.51.3';

export interface Database extends SqliteDatabase {
  exec(sql: string): void;
}
export interface Sqlite {
  readonly driver: 'node:sqlite' | 'better-sqlite3';
  readonly version: string;
  open(file: string, how: { readonly readonly: boolean }): Database;
}

/** The SQLite that Node has built in, where it is there and new enough; else better-sqlite3; else one sentence. */
export async function loadSqlite(oldest: string = OLDEST_SQLITE): Promise<Sqlite> {
  const found: string[] = [];
  for (const load of [builtIn, betterSqlite]) {
    const sqlite = await load();
    if (sqlite && !isOlder(sqlite.version, oldest)) return sqlite;
    if (sqlite) found.push(`${sqlite.driver} brings ${sqlite.version}`);
  }
  const here = found.length > 0 ? found.join(' and ') : 'none is built in, and no better-sqlite3 loads';
  throw new ArchiveError(
    'driver',
    `The archive needs SQLite ${oldest} or newer, but with Node ${process.versions.node} ${here}: update Node, or run "npm install better-sqlite3" with this Node.`,
  );
}

/** The part of node:sqlite that is used; its types are not in those of Node 20. */
interface NodeSqlite {
  readonly DatabaseSync: new (
    file: string,
    options: { readOnly: boolean },
  ) => { exec(sql: string): void; prepare(sql: string): NodeStatement; close(): void };
}
interface NodeStatement {
  columns(): readonly unknown[];
  all(...parameters: readonly unknown[]): unknown[];
  run(...parameters: readonly unknown[]): { changes: number | bigint; lastInsertRowid: number | bigint };
  iterate(...parameters: readonly unknown[]): IterableIterator<unknown>;
}

function builtIn(): Sqlite | undefined {
  // Node 22 warns that the module is experimental while it loads: that line would stand in the middle of a terminal answer.
  const emitWarning = process.emitWarning;
  let node: NodeSqlite | undefined;
  try {
    process.emitWarning = () => {};
    node = process.getBuiltinModule?.('node:sqlite') as NodeSqlite | undefined;
  } finally {
    process.emitWarning = emitWarning;
  }
  if (!node) return undefined;
  const { DatabaseSync } = node;
  const open = (file: string, { readonly }: { readonly: boolean }): Database => {
    const database = new DatabaseSync(file, { readOnly: readonly });
    return {
      exec: (sql) => database.exec(sql),
      close: () => database.close(),
      prepare(sql) {
        const statement = database.prepare(sql);
        return {
          reader: statement.columns().length > 0,
          all: (parameters) => statement.all(...parameters),
          run: (parameters) => statement.run(...parameters),
          iterate: (parameters) => statement.iterate(...parameters),
        };
      },
    };
  };
  return { driver: 'node:sqlite', version: versionOf(new DatabaseSync(':memory:', { readOnly: false })), open };
}

async function betterSqlite(): Promise<Sqlite | undefined> {
  try {
    const { default: BetterSqlite } = await import('better-sqlite3');
    // It is tied to the Node that built it, and says so only when the first file is opened.
    const open = (file: string, how: { readonly: boolean }): Database => new BetterSqlite(file, how) as unknown as Database;
    return { driver: 'better-sqlite3', version: versionOf(new BetterSqlite(':memory:')), open };
  } catch {
    return undefined;
  }
}

/** Asked of the driver itself, before anything that only a newer one can do. */
function versionOf(memory: { prepare(sql: string): { all(): unknown[] }; close(): void }): string {
  try {
    return (memory.prepare('select sqlite_version() as version').all()[0] as { version: string }).version;
  } finally {
    memory.close();
  }
}

const isOlder = (version: string, than: string): boolean => version.localeCompare(than, 'en', { numeric: true }) < 0;

/** The primary result code (sqlite.org/rescode.html) of either driver's error: node:sqlite gives the number, better-sqlite3 the name. */
export function resultCode(error: unknown): string | undefined {
  const { code, errcode } = (error ?? {}) as { code?: unknown; errcode?: unknown };
  // The index of the log could not be made larger: seen when the last few kilobytes of a disk are taken.
  if (code === 'SQLITE_IOERR_SHMSIZE' || errcode === 4874) return 'FULL';
  if (code === 'ERR_SQLITE_ERROR' && typeof errcode === 'number') return PRIMARY[errcode & 0xff] ?? 'OTHER';
  return typeof code === 'string' ? /^SQLITE_([A-Z]+)/.exec(code)?.[1] : undefined;
}
const PRIMARY: { readonly [code: number]: string } = {
  3: 'PERM',
  5: 'BUSY',
  6: 'LOCKED',
  8: 'READONLY',
  10: 'IOERR',
  11: 'CORRUPT',
  13: 'FULL',
  14: 'CANTOPEN',
  26: 'NOTADB',
};
