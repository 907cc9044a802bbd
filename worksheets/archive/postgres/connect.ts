import { Kysely, PostgresDialect } from 'kysely';
import pg from 'pg';
import type { Tables } from '../tables.ts';

export interface Waits {
  /** Milliseconds; 0 waits for ever. */
  readonly statement: number;
  readonly lock: number;
  /** For the next statement of a transaction. */
  readonly idle: number;
}
/** As long as SQLite's busy timeout for a lock: a member who waits longer has gone to do something else. */
export const SERVING: Waits = { statement: 30_000, lock: 5_000, idle: 60_000 };
/** For migrations and copies. */
export const PATIENT: Waits = { statement: 0, lock: 0, idle: 0 };

/** The server is asked to hold to what it acknowledges, whatever its own settings are, and to the isolation that the locks are made for. */
const OPTIONS = '-c synchronous_commit=on -c default_transaction_isolation=read\\ committed';

export function connect(url: string, waits: Waits): Kysely<Tables> {
  const pool = new pg.Pool({
    connectionString: url,
    application_name: 'dustsheet',
    options: OPTIONS,
    max: 10,
    connectionTimeoutMillis: 10_000,
    idleTimeoutMillis: 30_000,
    keepAlive: true,
    keepAliveInitialDelayMillis: 10_000,
    statement_timeout: waits.statement,
    lock_timeout: waits.lock,
    idle_in_transaction_session_timeout: waits.idle,
    // When the server itself stands still: a little later than it would have given up.
    ...(waits.statement > 0 ? { query_timeout: waits.statement + 5_000 } : {}),
    types: { getTypeParser: parserOf },
  });
  // A connection that breaks while nobody uses it leaves the pool, and whoever asks next gets a new one; while it is lent, whoever has it
  // hears of it with the next question. Unheard, either would end the process.
  pool.on('error', () => {});
  pool.on('connect', (client) => client.on('error', () => {}));
  return new Kysely<Tables>({
    dialect: new PostgresDialect({ pool: { connect: async () => lent(await pool.connect()), end: () => pool.end() } }),
  });
}

/** After a client has waited in vain, its answer may still come, to the next question: such a client is not lent again. */
function lent(client: pg.PoolClient): { query: pg.PoolClient['query']; release(): void } {
  let silent: unknown;
  const query = async (...question: Parameters<pg.PoolClient['query']>): Promise<unknown> => {
    if (silent !== undefined) throw silent;
    try {
      return await (client.query as (...question: unknown[]) => Promise<unknown>)(...question);
    } catch (error) {
      if (error instanceof Error && error.message === 'Query read timeout') silent = error;
      throw error;
    }
  };
  return { query: query as pg.PoolClient['query'], release: () => client.release(silent !== undefined) };
}

const INT8 = 20;
const NUMERIC = 1700;

/** Whole numbers of 8 bytes come as text; ours are ids, counts and milliseconds, and a number that JavaScript would round is a fault. */
function parserOf(oid: number, format?: 'text' | 'binary'): (text: string) => unknown {
  if (oid !== INT8 && oid !== NUMERIC) return pg.types.getTypeParser(oid, format as 'text') as (text: string) => unknown;
  return (text) => {
    const value = Number(text);
    if (oid === INT8 && !Number.isSafeInteger(value)) throw new RangeError(`${text} cannot be a number without being rounded`);
    return value;
  };
}
