/** Archives of earlier versions: what was kept then counts now. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { sql } from 'kysely';
import { afterAll, describe, expect, it } from 'vitest';
import { makeCommands } from '../../../bot/commands/index.ts';
import { type Archive, openArchive } from '../../../worksheets/archive/archive.ts';
import type { Engine } from '../../../worksheets/archive/engine.ts';
import { MIGRATIONS } from '../../../worksheets/archive/migrations/index.ts';
import { openPostgres } from '../../../worksheets/archive/postgres/open.ts';
import { openSqlite } from '../../../worksheets/archive/sqlite/open.ts';
import { revisionHash } from '../../../worksheets/archive/store.ts';
import type { SetupDoc } from '../../../worksheets/archive/types.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
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

/** What a setup of the first floor says: rear share in %, as `corners` answers it; the front spring as `ride` was given it. */
const docOf = (number: number, rev: number, rearShare: number, more: Pick<Partial<SetupDoc>, 'tags' | 'conditions'> = {}): string =>
  JSON.stringify({
    format: 1,
    name: `Salt ${number}`,
    truck: 'Sandhopper',
    member: '118',
    rev,
    at: 10,
    notes: '',
    tags: [],
    ...more,
    facts: [
      {
        fact: 'front_spring_rate',
        name: 'spring_rate',
        typed: '0.45',
        value: 450,
        uncertainty: null,
        unit: 'N/mm',
        sheet: 'ride',
        end: 'front',
        at: 5,
      },
    ],
    sheets: [
      {
        sheet: 'corners',
        end: null,
        at: 5,
        readings: [],
        answer: {
          kind: 'answer',
          sheet: 'corners',
          title: 'Corner weights',
          end: null,
          readings: [],
          answers: [{ name: 'rear_share', label: '', value: rearShare, unit: '%', uncertainty: null, verdict: null, band: null }],
          curves: [],
          cautions: [],
          next: null,
          hero: 'rear_share',
          wider: [],
        },
      },
    ],
  });
const SETUPS = 230;

/** Setups of a club as they were kept before there was anything to find them by but words: more than are looked at at a time. */
async function furnishSetups(older: Engine): Promise<void> {
  await furnish(older);
  const { db } = older;
  const put = async (number: number, docs: readonly string[]): Promise<void> => {
    await sql`insert into setup (club_id, number, truck_id, name, name_key, notes, tags, sheets, rev, at)
      values (1, ${number}, 1, ${`Salt ${number}`}, ${`salt ${number}`}, '', '[]', '["corners"]', ${docs.length}, 10)`.execute(db);
    let parent: string | null = null;
    for (const [i, doc] of docs.entries()) {
      const hash = revisionHash(parent, doc);
      await sql`insert into revision (setup_id, rev, parent_hash, hash, doc, author_id, at)
        values (${number}, ${i + 1}, ${parent}, ${hash}, ${doc}, 1, 10)`.execute(db);
      parent = hash;
    }
  };
  // By the newest revision, and not by the one before.
  await put(1, [docOf(1, 1, 61), docOf(1, 2, 57)]);
  // Broken, which is for the check to tell.
  await put(2, ['{"format": 1']);
  for (let number = 3; number < SETUPS; number += 1) await put(number, [docOf(number, 1, 50)]);
  await put(SETUPS, [docOf(SETUPS, 1, 58.5, { tags: ['Größer'], conditions: { surface: 'Loose', grip: 'low' } })]);
}

async function expectFound(archive: Archive): Promise<void> {
  const commands = makeCommands(
    { sheets: await loadSheets(await loadFormulas()), archive, cards: null, clock: Date.now, zone: 'UTC', theme: 'dark', log: () => {} },
    'terminal',
  );
  const asker = { club: 'saltpan', member: '118', memberName: 'Ada' };
  const find = async (words: string): Promise<string> => (await commands.answer({ command: 'setup find', options: { words }, asker })).text;
  const found = await find('rear_share > 58 %');
  expect(found).toMatch(new RegExp(`^${SETUPS}\\. Salt ${SETUPS} · Sandhopper`));
  expect(found.split('\n').length).toBe(1);
  expect(await find('rear_share 56..57.5 %')).toMatch(/^1\. Salt 1 /);
  expect(await find('rear_share > 60 %')).toContain('No setup');
  const { setups } = await archive.findSetups({ club: 'saltpan', words: '', facets: { owner: 'ada', tag: ['grosser'] } });
  expect(setups.map(({ id }) => id)).toEqual([SETUPS]);
  for (const said of ['grip low', 'loose', 'GRÖSSER low']) expect(await find(said)).toMatch(new RegExp(`^${SETUPS}\\. [^\n]*$`));
  const of = (name: string) =>
    archive.findSetups({ club: 'saltpan', words: '', numbers: [{ name, end: null, low: 449, high: 451 }], limit: 1 });
  expect((await of('front_spring_rate')).setups.length).toBe(1);
  await archive.close();
}

describe('a setup of the first floor', () => {
  const newest = MIGRATIONS.map(({ name }) => name).at(-1)!;

  it('is found by its numbers, its owner and its tags, in a file', async () => {
    const file = join(folder, 'setups.sqlite');
    const older = await openSqlite({ file, create: true, clock: Date.now, migrations: firstFloor });
    await furnishSetups(older);
    await older.close();
    await expectFound(await openArchive({ file }));
  });

  it('is found by its numbers in a file that a version between had brought up to date without them', async () => {
    const file = join(folder, 'between.sqlite');
    const older = await openSqlite({ file, create: true, clock: Date.now, migrations: firstFloor });
    await furnishSetups(older);
    await older.close();
    await (await openSqlite({ file, create: false, clock: Date.now, migrations: MIGRATIONS.slice(0, 5) })).close();
    await expectFound(await openArchive({ file }));
  });

  it('stays as it was when what it is found by cannot be written: all of the steps, or none', async () => {
    const file = join(folder, 'refused.sqlite');
    const older = await openSqlite({ file, create: true, clock: Date.now, migrations: firstFloor });
    await furnishSetups(older);
    await older.close();
    const refusing = MIGRATIONS.map((one) =>
      one.name === newest
        ? {
            ...one,
            renews: 'what setups are found by' as const,
            sqlite: [
              ...one.sqlite,
              `create trigger refusing before insert on setup_number when new.setup_id = ${SETUPS} begin select raise(abort, 'refused'); end`,
            ],
          }
        : one,
    );
    await expect(openSqlite({ file, create: false, clock: Date.now, migrations: refusing })).rejects.toThrow('refused');
    const still = await openSqlite({ file, create: false, clock: Date.now, migrations: firstFloor });
    const { rows } = await sql<{ name: string }>`select name from sqlite_schema where name = 'setup_number'`.execute(still.db);
    expect(rows).toEqual([]);
    await still.close();
    await expectFound(await openArchive({ file }));
  });

  onPostgres((server) => {
    it('is found by its numbers, its owner and its tags, in PostgreSQL', async () => {
      const url = await server.make();
      const older = await openPostgres({ url, create: true, migrations: firstFloor, copyFirst: async () => {} });
      await furnishSetups(older);
      await older.close();
      await expectFound(await openArchive({ url, copies: folder }));
    });
  });
});
