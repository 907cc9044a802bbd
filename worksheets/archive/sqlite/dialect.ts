import {
  CompiledQuery,
  type DatabaseConnection,
  type Dialect,
  SqliteAdapter,
  SqliteDriver,
  SqliteIntrospector,
  SqliteQueryCompiler,
  type TransactionSettings,
} from 'kysely';
import type { Database } from './driver.ts';

/** Kysely's SQLite dialect with the write lock taken at the start of every transaction that may write. */
export const sqliteDialect = (database: Database): Dialect => ({
  createDriver: () => new ImmediateDriver({ database }),
  createAdapter: () => new TransactionalAdapter(),
  createQueryCompiler: () => new SqliteQueryCompiler(),
  createIntrospector: (db) => new SqliteIntrospector(db),
});

class ImmediateDriver extends SqliteDriver {
  /** Left to whoever opened the file: Kysely does not come here when nothing was asked, and the file would stay open. */
  override async destroy(): Promise<void> {}

  /** A plain `begin` that reads first and writes later fails at once with SQLITE_BUSY when another process wrote in between: no timeout helps. */
  override async beginTransaction(connection: DatabaseConnection, { accessMode }: TransactionSettings = {}): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw(accessMode === 'read only' ? 'begin' : 'begin immediate'));
  }

  /** SQLite has already rolled back by itself after some errors (disk full among them); the first error is the one to tell. */
  override async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
    try {
      await super.rollbackTransaction(connection);
    } catch (error) {
      if (!/no transaction is active/.test(String(error))) throw error;
    }
  }
}

class TransactionalAdapter extends SqliteAdapter {
  /** SQLite rolls schema changes back like any other; Kysely assumes it does not. */
  override get supportsTransactionalDdl(): boolean {
    return true;
  }

  /**
   * The lock is the transaction itself: it begins immediate, and Kysely reads what is pending inside it, so a second process waits and
   * then finds nothing to do. (A lock taken here would be outside of that transaction.)
   */
  override async acquireMigrationLock(): Promise<void> {}
  override async releaseMigrationLock(): Promise<void> {}
}
