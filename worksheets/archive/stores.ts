import type { Kysely } from 'kysely';
import { Clubs } from './club.ts';
import { Facts } from './facts.ts';
import type { FullText } from './full-text.ts';
import { People } from './people.ts';
import { Pictures } from './pictures.ts';
import { RunBook } from './runs.ts';
import { Sharing } from './sharing.ts';
import { Store } from './store.ts';
import type { Tables } from './tables.ts';
import { Things } from './things.ts';
import { Trucks } from './trucks.ts';

/** The subjects of the archive over one connection or transaction; whoever makes them sees to the transaction around each write. */
export interface Stores {
  readonly people: People;
  readonly setups: Store;
  readonly trucks: Trucks;
  readonly things: Things;
  readonly runs: RunBook;
  readonly sharing: Sharing;
  readonly clubs: Clubs;
}

export function storesOver(db: Kysely<Tables>, words: FullText, clock: () => number): Stores {
  const people = new People(db, (member) => setups.reindex({ member }));
  const facts = new Facts(db);
  const pictures = new Pictures(db);
  const setups: Store = new Store({ db, words, clock, people, facts, pictures });
  const trucks = new Trucks({ db, clock, people, facts, setups });
  const clubs = new Clubs({ db, clock, people, setups, trucks, pictures });
  const things = new Things({ db, clock, people, isOfficer: clubs.isOfficer });
  const runs = new RunBook({ db, people, facts, trucks });
  const sharing = new Sharing({ db, clock, people, facts, setups, pictures, isOfficer: clubs.isOfficer });
  return { people, setups, trucks, things, runs, sharing, clubs };
}
