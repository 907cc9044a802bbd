import type { Kysely } from 'kysely';
import { sha256 } from './canonical.ts';
import { type Engine, snapshot } from './engine.ts';
import { ArchiveError } from './errors.ts';
import { renewFacets, staleFacets } from './finding.ts';
import { type Stores, storesOver } from './stores.ts';
import type { Tables } from './tables.ts';
import { verifyClub } from './verify.ts';

export interface Checked {
  readonly clubs: number;
  readonly setups: number;
  readonly revisions: number;
  readonly changes: number;
  /** What is wrong, a sentence each; none when all is well. */
  readonly faults: readonly string[];
  /**
   * Setups, by their row, whose words, numbers or facets to find by are not those of their newest revision, or that are gone and still have
   * some. Nothing is lost: they can be made again.
   */
  readonly unfindable: readonly number[];
}

/**
 * Looks the whole archive over, as it stands at one moment: what the database itself finds, every hash of every club computed again, and the
 * words, numbers and facets of every setup compared with those that are kept to find it by.
 */
export const checkEngine = (engine: Engine): Promise<Checked> => snapshot(engine.db).execute((db) => checkWithin(engine, db));

export async function checkWithin(engine: Engine, db: Kysely<Tables>): Promise<Checked> {
  const faults = [...(await engine.faults(db))];
  const clubs = await db.selectFrom('club').select(['id', 'platform_id']).orderBy('id').execute();
  let revisions = 0;
  let changes = 0;
  for (const { platform_id } of clubs) {
    const verified = await verifyClub(db, platform_id);
    if (!verified.ok) faults.push(`Club "${platform_id}": ${verified.text}`);
    else {
      revisions += verified.revisions;
      changes += verified.changes;
    }
  }
  const setups = await db.selectFrom('setup').select('id').where('gone', '=', 0).orderBy('id').execute();
  const { different, unsound } = await withoutWords(
    engine,
    storesOver(db, engine.fullText, Date.now),
    setups.map(({ id }) => id),
    db,
  );
  const stale = (await staleFacets(db)).filter((id) => !unsound.has(id));
  const unfindable = [...new Set([...different, ...stale])];
  return { clubs: clubs.length, setups: setups.length, revisions, changes, faults, unfindable };
}

async function withoutWords(
  engine: Engine,
  { setups }: Stores,
  ids: readonly number[],
  db: Kysely<Tables>,
): Promise<{ readonly different: readonly number[]; readonly unsound: ReadonlySet<number> }> {
  const kept = new Map<number, string>();
  for await (const { setup, spelling } of engine.fullText.kept(db)) kept.set(setup, sha256(spelling));
  const different: number[] = [];
  const unsound = new Set<number>();
  for (const id of ids) {
    // A revision that does not fit its hash has been told already, and has no words that could be trusted.
    const should = await setups.wordsFor(id).catch(() => undefined);
    if (!should) unsound.add(id);
    else if (kept.get(id) !== sha256(engine.fullText.spelling(should.club, should.words))) different.push(id);
    kept.delete(id);
  }
  return { different: [...different, ...kept.keys()], unsound };
}

/** Makes the words, numbers and facets of all setups again. */
export async function renewWords(engine: Engine, db: Kysely<Tables>): Promise<void> {
  await renewFacets(db);
  const stale: number[] = [];
  for await (const { setup } of engine.fullText.kept(db)) stale.push(setup);
  for (const id of stale) await engine.fullText.remove(db, id);
  await addWords(engine, db, 'all');
}

/** Puts the words of every setup in the place of those that it has; of the sound ones only, where a broken one is for the check to tell. */
export async function addWords({ fullText }: Pick<Engine, 'fullText'>, db: Kysely<Tables>, of: 'all' | 'sound'): Promise<void> {
  const { setups } = storesOver(db, fullText, Date.now);
  for (const { id } of await db.selectFrom('setup').select('id').where('gone', '=', 0).orderBy('id').execute()) {
    const should = await setups.wordsFor(id).catch((error: unknown) => {
      if (of === 'all' || !isBroken(error)) throw error;
      return null;
    });
    if (should) await fullText.put(db, id, should.club, should.words);
  }
}

/** Its hash does not fit, or it is no document any more. */
const isBroken = (error: unknown): boolean => error instanceof SyntaxError || (error instanceof ArchiveError && error.kind === 'damaged');
