import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, it } from 'vitest';
import type { Place } from '../../../worksheets/archive/archive.ts';
import { loadSqlite } from '../../../worksheets/archive/sqlite/driver.ts';
import { laterPostgres, type Postgres } from '../../support/postgres.ts';

/** A kind of place for an archive, for suites that run on each. */
export interface Kind {
  readonly name: string;
  /** A place of its own where there is no archive yet. */
  make(): Promise<Place>;
  /** Runs statements past the archive, as somebody with the database in hand could; gives the rows of the last. */
  raw(place: Place, ...statements: readonly string[]): Promise<{ [column: string]: unknown }[]>;
}

const folders: string[] = [];

export const sqliteKind: Kind = {
  name: 'a SQLite file',
  async make() {
    const folder = mkdtempSync(join(tmpdir(), 'archive-'));
    folders.push(folder);
    return { file: join(folder, 'club.sqlite') };
  },
  async raw(place, ...statements) {
    if (!('file' in place)) throw new Error('that is no file');
    const database = (await loadSqlite()).open(place.file, { readonly: false });
    try {
      for (const statement of statements.slice(0, -1)) database.exec(statement);
      const last = database.prepare(statements.at(-1)!);
      return last.reader ? (last.all([]) as { [column: string]: unknown }[]) : [last.run([]) as never];
    } finally {
      database.close();
    }
  },
};

export const postgresKind = (server: Postgres): Kind => ({
  name: 'PostgreSQL',
  make: async () => ({ url: await server.room() }),
  async raw(place, ...statements) {
    if (!('url' in place)) throw new Error('that is no database');
    let rows: { [column: string]: unknown }[] = [];
    for (const statement of statements) rows = await server.run(place.url, statement);
    return rows;
  },
});

/**
 * Runs a suite once for each engine. Where no server is installed, the suite on PostgreSQL is skipped and says why; on the build server that
 * is a failure.
 */
export function onEach(suite: (kind: Kind) => void): void {
  suite(sqliteKind);
  afterAll(() => {
    for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
  });
  onPostgres((server) => suite(postgresKind(server)));
}

export function onPostgres(suite: (server: Postgres) => void): void {
  const server = laterPostgres();
  if ('missing' in server) {
    describe.skip('on PostgreSQL', () => {
      it(`is not tested: ${server.missing}`, () => {});
    });
    return;
  }
  beforeAll(() => server.begin(), 120_000);
  afterAll(() => server.end(), 60_000);
  suite(server);
}
