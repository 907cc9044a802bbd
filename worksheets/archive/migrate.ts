import { type Kysely, Migrator, sql } from 'kysely';
import { addWords } from './check.ts';
import type { Engine } from './engine.ts';
import { renewFacets } from './finding.ts';
import type { Migration } from './migrations/index.ts';
import type { Tables } from './tables.ts';

/** Does what is pending, in one transaction: all of it, or nothing. */
export async function migrate(
  db: Kysely<Tables>,
  engine: Pick<Engine, 'kind' | 'fullText'>,
  migrations: readonly Migration[],
): Promise<void> {
  let renews = false;
  let last: string | undefined;
  const steps = migrations.map((migration) => {
    const up = async (within: Kysely<Tables>): Promise<void> => {
      for (const statement of migration[engine.kind]) await sql.raw(statement).execute(within);
      renews ||= migration.renews !== undefined;
      // Only now does every table look as the code knows it.
      if (!renews || migration.name !== last) return;
      await renewFacets(within);
      await addWords(engine, within, 'sound');
    };
    return [migration.name, { up }] as const;
  });
  const migrator = new Migrator({
    db,
    provider: { getMigrations: async () => Object.fromEntries(steps) },
    // Kysely would order what is done by the clock of the day it was done, and stop at a clock that had been put back.
    allowUnorderedMigrations: true,
  });
  last = (await migrator.getMigrations()).filter(({ executedAt }) => executedAt === undefined).at(-1)?.name;
  const { error } = await migrator.migrateToLatest();
  if (error) throw error;
}

/** The first step of a later version among those that are done, and the first that is still to do. */
export function standing(
  done: readonly string[],
  migrations: readonly Migration[],
): { readonly unknown: string | undefined; readonly pending: string | undefined } {
  const known = migrations.map(({ name }) => name);
  return { unknown: done.find((name) => !known.includes(name)), pending: known.find((name) => !done.includes(name)) };
}
