import type { Kysely } from 'kysely';
import type { FullText } from './full-text.ts';
import { People } from './people.ts';
import { Store } from './store.ts';
import type { Tables } from './tables.ts';

/** The subjects of the archive over one connection or transaction; whoever makes them sees to the transaction around each write. */
export interface Stores {
  readonly people: People;
  readonly setups: Store;
}

export function storesOver(db: Kysely<Tables>, words: FullText, clock: () => number): Stores {
  const people = new People(db, (member) => setups.reindexMember(member));
  const setups: Store = new Store(db, words, clock, people);
  return { people, setups };
}
