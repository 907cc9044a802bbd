import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { writeCopy } from './copy.ts';
import type { Engine } from './engine.ts';
import { openSqlite } from './sqlite/open.ts';

/** Where an archive is kept: one SQLite file, or a PostgreSQL database. */
export type Place = { readonly file: string } | { readonly url: string };

export type OpenEngine = Place & {
  /** Makes the archive when there is none. Never makes one in the place of something that is there. */
  readonly create?: boolean;
  /** Epoch milliseconds. */
  readonly clock?: () => number;
  /** Where the copy goes that is kept before an older archive is brought up to date. A file keeps it beside itself. */
  readonly copies?: string;
  /** false: an archive of an earlier version is refused instead of being brought up to date. */
  readonly upgrade?: boolean;
  /** For work that nobody waits for: no statement takes too long. */
  readonly patient?: boolean;
};

export async function openEngine({
  create = false,
  clock = Date.now,
  copies = 'data/backups',
  upgrade = true,
  patient = false,
  ...place
}: OpenEngine): Promise<Engine> {
  if ('file' in place) return openSqlite({ file: place.file, create, clock, upgrade });
  // Here and not above: whoever keeps a file needs no driver of a server.
  const { openPostgres, PATIENT, SERVING } = await import('./postgres/open.ts');
  return openPostgres({
    url: place.url,
    create,
    upgrade,
    waits: patient ? PATIENT : SERVING,
    async copyFirst(older, done, pending) {
      mkdirSync(copies, { recursive: true });
      await writeCopy(older, done, join(copies, `before-${pending}-${clock()}.sqlite`));
    },
  });
}
