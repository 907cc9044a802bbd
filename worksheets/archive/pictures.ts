import { createHash } from 'node:crypto';
import { type Kysely, sql } from 'kysely';
import type { Tables } from './tables.ts';
import { keptPicture } from './webp.ts';

export const pictureHash = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

/** Pictures by what they hold, and which revision shows which. Whoever writes holds the club's lock. */
export class Pictures {
  readonly #db: Kysely<Tables>;

  constructor(db: Kysely<Tables>) {
    this.#db = db;
  }

  /** Keeps a picture, once however often it comes. */
  async put(club: number, bytes: Uint8Array, at: number): Promise<string> {
    // Members' files are made into such a picture before they come here; anything else is a slip of ours.
    if (keptPicture(bytes) === null) throw new TypeError('only lossy WebP in the simple container is kept');
    const hash = pictureHash(bytes);
    const known = await this.#db
      .selectFrom('picture')
      .select('hash')
      .where('club_id', '=', club)
      .where('hash', '=', hash)
      .executeTakeFirst();
    if (!known) await this.#db.insertInto('picture').values({ club_id: club, hash, bytes, at }).execute();
    return hash;
  }

  async attach(club: number, { setup, rev }: { readonly setup: number; readonly rev: number }, hashes: readonly string[]): Promise<void> {
    for (const [i, hash] of hashes.entries())
      await this.#db
        .insertInto('revision_picture')
        .values({ setup_id: setup, rev, number: i + 1, club_id: club, hash })
        .execute();
  }

  async hashes(setup: number, rev: number): Promise<readonly string[]> {
    const rows = await this.#db
      .selectFrom('revision_picture')
      .select('hash')
      .where('setup_id', '=', setup)
      .where('rev', '=', rev)
      .orderBy('number')
      .execute();
    return rows.map(({ hash }) => hash);
  }

  /** In their order. */
  async of(setup: number, rev: number): Promise<readonly Uint8Array[]> {
    const rows = await this.#db
      .selectFrom('revision_picture')
      .innerJoin('picture', (join) =>
        join.onRef('picture.club_id', '=', 'revision_picture.club_id').onRef('picture.hash', '=', 'revision_picture.hash'),
      )
      .select('picture.bytes')
      .where('setup_id', '=', setup)
      .where('rev', '=', rev)
      .orderBy('number')
      .execute();
    return rows.map(({ bytes }) => bytes);
  }

  /** Of all revisions of a truck's setups that are there, each once. */
  async ofTruck(truck: number): Promise<readonly { readonly hash: string; readonly bytes: Uint8Array }[]> {
    return this.#db
      .selectFrom('picture')
      .select(['hash', 'bytes'])
      .where(({ exists, selectFrom }) =>
        exists(
          selectFrom('revision_picture')
            .innerJoin('setup', 'setup.id', 'revision_picture.setup_id')
            .select('revision_picture.hash')
            .where('setup.truck_id', '=', truck)
            .whereRef('revision_picture.club_id', '=', 'picture.club_id')
            .whereRef('revision_picture.hash', '=', 'picture.hash'),
        ),
      )
      .orderBy('hash')
      .execute();
  }

  /** A setup that is gone shows nothing any more, and what only it has shown goes too. */
  async drop(setup: number): Promise<void> {
    const shown = await this.#db
      .selectFrom('revision_picture')
      .select(['club_id', 'hash'])
      .distinct()
      .where('setup_id', '=', setup)
      .execute();
    await this.#db.deleteFrom('revision_picture').where('setup_id', '=', setup).execute();
    for (const { club_id, hash } of shown)
      await this.#db
        .deleteFrom('picture')
        .where('club_id', '=', club_id)
        .where('hash', '=', hash)
        .where(({ not, exists, selectFrom }) =>
          not(exists(selectFrom('revision_picture').select('rev').where('club_id', '=', club_id).where('hash', '=', hash))),
        )
        .execute();
  }
}

/** What is wrong with a club's pictures, in a sentence; undefined when each is what it was, and something shows it. */
export async function pictureFault(db: Kysely<Tables>, club: number): Promise<string | undefined> {
  for (let last = ''; ; ) {
    const row = await db
      .selectFrom('picture')
      .select(['hash', 'bytes'])
      .where('club_id', '=', club)
      .where('hash', '>', last)
      .orderBy('hash')
      .limit(1)
      .executeTakeFirst();
    if (!row) break;
    if (pictureHash(row.bytes) !== row.hash) return `Picture ${row.hash.slice(0, 12)} is not the one that was kept.`;
    last = row.hash;
  }
  const { rows } = await sql<{ hash: string; kept: number }>`
    select picture.hash as hash, 1 as kept from picture
      where club_id = ${club} and not exists
        (select 1 from revision_picture shown where shown.club_id = picture.club_id and shown.hash = picture.hash)
    union all
    select shown.hash, 0 from revision_picture shown
      where club_id = ${club} and not exists (select 1 from picture where picture.club_id = shown.club_id and picture.hash = shown.hash)
    limit 1
  `.execute(db);
  const [odd] = rows;
  if (!odd) return undefined;
  return `Picture ${odd.hash.slice(0, 12)} ${odd.kept ? 'is kept, and no setup shows it' : 'is missing, and a setup shows it'}.`;
}

/** What each revision of a club's setups shows, by "setup/rev". */
export async function shownPictures(db: Kysely<Tables>, club: number): Promise<ReadonlyMap<string, readonly string[]>> {
  const rows = await db
    .selectFrom('revision_picture')
    .select(['setup_id', 'rev', 'hash'])
    .where('club_id', '=', club)
    .orderBy('setup_id')
    .orderBy('rev')
    .orderBy('number')
    .execute();
  const shown = new Map<string, string[]>();
  for (const { setup_id, rev, hash } of rows) {
    const key = `${setup_id}/${rev}`;
    shown.set(key, [...(shown.get(key) ?? []), hash]);
  }
  return shown;
}
