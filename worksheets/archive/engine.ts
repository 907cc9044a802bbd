import type { Kysely, TransactionBuilder } from 'kysely';
import type { ArchiveError } from './errors.ts';
import type { FullText } from './full-text.ts';
import type { Tables } from './tables.ts';

/** What a database has to bring to keep an archive. Transactions that write have to run one after the other, at least within a club. */
export interface Engine {
  readonly kind: 'sqlite' | 'postgres';
  readonly db: Kysely<Tables>;
  readonly fullText: FullText;
  /** What went wrong, when it was the database and not us. */
  explain(error: unknown): ArchiveError | undefined;
  /** The tables that hold what was kept; neither the list of migrations nor the words to find by. In the order of their names. */
  tables(db: Kysely<Tables>): Promise<readonly Table[]>;
  /** Runs `fill` with rows of one table allowed before those of another that they point to; at the end all of them have to be there. */
  filling(db: Kysely<Tables>, fill: () => Promise<void>): Promise<void>;
  /** What the database itself says is wrong with it. */
  faults(db: Kysely<Tables>): Promise<readonly string[]>;
  close(): Promise<void>;
}
export interface Table {
  readonly name: string;
  /** In the order of their names, without those that the database works out. */
  readonly columns: readonly string[];
  readonly key: readonly string[];
}

/** For reading at length: everything as it stood at one moment, without holding up those who write. */
export const snapshot = (db: Kysely<Tables>): TransactionBuilder<Tables> =>
  db.transaction().setIsolationLevel('repeatable read').setAccessMode('read only');
