import type { Kysely } from 'kysely';
import type { ArchiveError } from './errors.ts';
import type { FullText } from './full-text.ts';
import type { Tables } from './tables.ts';

/** What a database has to bring to keep an archive. Transactions that write have to run one after the other, at least within a club. */
export interface Engine {
  readonly db: Kysely<Tables>;
  readonly fullText: FullText;
  /** What went wrong, when it was the database and not us. */
  explain(error: unknown): ArchiveError | undefined;
  close(): Promise<void>;
}
