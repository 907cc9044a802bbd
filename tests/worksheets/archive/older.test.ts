/** Archives of earlier versions: what was kept then counts now. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { sql } from 'kysely';
import { afterAll, describe, expect, it } from 'vitest';
import { type Archive, openArchive } from '../../../worksheets/archive/archive.ts';
import type { Engine } from '../../../worksheets/archive/engine.ts';
import { MIGRATIONS } from '../../../worksheets/archive/migrations/index.ts';
import { openPostgres } from '../../../worksheets/archive/postgres/open.ts';
import { openSqlite } from '../../../worksheets/archive/sqlite/open.ts';
import { onPostgres } from './places.ts';

const firstFloor = MIGRATIONS.slice(0, 1);
const folder = mkdtempSync(join(tmpdir(), 'older-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** A club of the first floor with a truck of two facts and a setup's worth of nothing else. */
async function furnish({ db }: Engine): Promise<void> {
  const statements = [
    "insert into club (platform_id, at) values ('saltpan', 1)",
    "insert into member (club_id, platform_id, name, at) values (1, '118', 'Ada', 2)",
    "insert into truck (member_id, name, name_key, at) values (1, 'Sandhopper', 'sandhopper', 3)",
    `insert into fact (truck_id, fact, name, typed, value, uncertainty, unit, sheet, "end", at)
      values (1, 'front_spring_rate', 'spring_rate', '0.45', '450', null, 'N/mm', 'ride', 'front', 5)`,
    `insert into fact (truck_id, fact, name, typed, value, uncertainty, unit, sheet, "end", at)
      values (1, 'front_left', 'front_left', '612 g', '0.612', 0.0002886751345948129, 'g', 'corners', '', 4)`,
  ];
  for (const statement of statements) await sql.raw(statement).execute(db);
}

const kept = { how: 'measured', kept: true, beneath: null, by: { id: '118', name: 'Ada' } };

async function expectFacts(archive: Archive): Promise<void> {
  const facts = await archive.facts({ club: 'saltpan', member: '118', truck: 'Sandhopper' });
  expect([...facts.keys()]).toEqual(['front_left', 'front_spring_rate']);
  expect(facts.get('front_left')).toEqual({
    ...kept,
    fact: 'front_left',
    name: 'front_left',
    typed: '612 g',
    value: 0.612,
    uncertainty: 0.0002886751345948129,
    unit: 'g',
    sheet: 'corners',
    end: null,
    at: 4,
  });
  expect(facts.get('front_spring_rate')).toMatchObject({ ...kept, value: 450, uncertainty: null, sheet: 'ride', end: 'front', at: 5 });
  await archive.close();
}

describe('a truck of the first floor', () => {
  it('comes over with its facts kept, as old as they are, from a file', async () => {
    const file = join(folder, 'club.sqlite');
    const older = await openSqlite({ file, create: true, clock: Date.now, migrations: firstFloor });
    await furnish(older);
    await older.close();
    await expectFacts(await openArchive({ file }));
  });

  onPostgres((server) => {
    it('comes over with its facts kept, as old as they are, from PostgreSQL', async () => {
      const url = await server.make();
      const older = await openPostgres({ url, create: true, migrations: firstFloor, copyFirst: async () => {} });
      await furnish(older);
      await older.close();
      await expectFacts(await openArchive({ url, copies: folder }));
    });
  });
});
