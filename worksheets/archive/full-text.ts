import type { Kysely, RawBuilder } from 'kysely';
import type { Tables } from './tables.ts';

/** Finding by words, the one thing each engine does in its own way. Words are folded before they come here. */
export interface FullText {
  put(db: Kysely<Tables>, setup: number, club: number, words: SetupWords): Promise<void>;
  /** Ids of setups of that club that hold all the words (one of two letters or more may be a beginning), best first. `words` is not empty. */
  find(db: Kysely<Tables>, what: FindWords): Promise<readonly number[]>;
  remove(db: Kysely<Tables>, setup: number): Promise<void>;
  /** What is kept, setup by setup in the order of their ids, spelt so that it can be compared with what should be. */
  kept(db: Kysely<Tables>): AsyncIterable<{ readonly setup: number; readonly spelling: string }>;
  spelling(club: number, words: SetupWords): string;
}
export interface FindWords {
  readonly club: number;
  readonly words: readonly string[];
  /** What else has to be true of the row of `setup`. */
  readonly narrowed: RawBuilder<unknown>;
  readonly limit: number;
  readonly offset: number;
}
export interface SetupWords {
  readonly name: string;
  readonly truck: string;
  readonly tags: string;
  readonly member: string;
  readonly notes: string;
  readonly sheets: string;
}
