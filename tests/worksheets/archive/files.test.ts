import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { sql } from 'kysely';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { ArchiveError, openArchive } from '../../../worksheets/archive/archive.ts';
import { MIGRATIONS, type Migration } from '../../../worksheets/archive/migrations/index.ts';
import { loadSqlite, OLDEST_SQLITE } from '../../../worksheets/archive/sqlite/driver.ts';
import { openSqlite } from '../../../worksheets/archive/sqlite/open.ts';
import { ADA, CLUB, corners } from './example.ts';

let folder: string;
let file: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'archive-'));
  file = join(folder, 'club.sqlite');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const clock = (): number => Date.UTC(2026, 3, 11, 9, 0);
const truck = { club: CLUB, member: ADA.member, truck: 'Sandhopper' };
const hash = (path: string): string => createHash('sha256').update(readFileSync(path)).digest('hex');
/** A sentence of its own: one full stop at the end, none of a stack or a code. */
const isOneSentence = (message: string): boolean => /^[^\n]+[^.\n]\.$/.test(message) && !/SQLITE_|Error:/.test(message);

async function refusal(opening: Promise<unknown>): Promise<ArchiveError> {
  const error = await opening.then(
    () => new Error('it was opened'),
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(ArchiveError);
  return error as ArchiveError;
}

/** A sound archive with something in every table, made once. */
let made: string;
beforeAll(async () => {
  made = mkdtempSync(join(tmpdir(), 'archive-'));
  await fillIn(join(made, 'club.sqlite'));
});
afterAll(() => rmSync(made, { recursive: true, force: true }));
const sound = (path: string): void => copyFileSync(join(made, 'club.sqlite'), path);

async function fillIn(path: string): Promise<void> {
  const archive = await openArchive({ file: path, create: true, clock });
  for (let more = 0; more < 40; more += 1) {
    await archive.remember(corners(ADA, `Sandhopper ${more}`, more));
    await archive.saveSetup({ ...truck, truck: `Sandhopper ${more}`, name: `Salt ${more}`, notes: 'the quick sand '.repeat(20) });
  }
  await archive.close();
}

async function raw(path: string, ...statements: readonly string[]): Promise<unknown[]> {
  const database = (await loadSqlite()).open(path, { readonly: false });
  try {
    for (const statement of statements.slice(0, -1)) database.exec(statement);
    const last = database.prepare(statements.at(-1)!);
    return last.reader ? last.all([]) : [last.run([])];
  } finally {
    database.close();
  }
}

const overwrite = (path: string, at: number, bytes: Buffer): void => {
  const all = readFileSync(path);
  bytes.copy(all, at);
  writeFileSync(path, all);
};
const page = (path: string, table: string, statement = `select rootpage from sqlite_schema where name = '${table}'`): Promise<number> =>
  raw(path, statement).then(([row]) => (row as { rootpage: number }).rootpage);

/** What can have happened to a file, and what is said about it. Each starts from a sound archive. */
const HARM: readonly (readonly [what: string, kind: string, harm: (path: string) => Promise<void> | void])[] = [
  ['with no bytes left', 'empty', (path) => truncateSync(path, 0)],
  ['with one byte left', 'foreign', (path) => truncateSync(path, 1)],
  ['cut off inside its header', 'damaged', (path) => truncateSync(path, 60)],
  ['cut off after its header', 'damaged', (path) => truncateSync(path, 100)],
  ['cut off after its first page', 'damaged', (path) => truncateSync(path, 4096)],
  ['cut off in the middle', 'damaged', (path) => truncateSync(path, Math.floor(statSync(path).size / 2))],
  ['cut off by one byte', 'damaged', (path) => truncateSync(path, statSync(path).size - 1)],
  ['that is a text', 'foreign', (path) => writeFileSync(path, 'front left 612 g\n'.repeat(200))],
  ['that is all zeros', 'foreign', (path) => writeFileSync(path, Buffer.alloc(statSync(path).size))],
  ['whose first sixteen bytes are gone', 'damaged', (path) => overwrite(path, 0, Buffer.alloc(16))],
  ['whose page size is nonsense', 'damaged', (path) => overwrite(path, 16, Buffer.from([0x12, 0x34]))],
  ['whose list of tables is overwritten', 'damaged', (path) => overwrite(path, 100, Buffer.alloc(3996, 0xff))],
  [
    'with a page of its revisions overwritten',
    'damaged',
    async (path) => overwrite(path, ((await page(path, 'revision')) - 1) * 4096, Buffer.alloc(4096, 0x5a)),
  ],
  [
    'with a page of its revisions zeroed',
    'damaged',
    async (path) => overwrite(path, ((await page(path, 'revision')) - 1) * 4096, Buffer.alloc(4096)),
  ],
  [
    'with half of a page of an index gone',
    'damaged',
    async (path) => overwrite(path, ((await page(path, 'setup_by_name')) - 1) * 4096, Buffer.alloc(2048, 0xff)),
  ],
  ['that is a database of another program', 'foreign', async (path) => void (await raw(path, 'pragma application_id = 252006674'))],
  ['that is a database of nobody', 'foreign', async (path) => void (await raw(path, 'pragma application_id = 0'))],
  [
    'without a list of its migrations',
    'damaged',
    async (path) => void (await raw(path, 'pragma foreign_keys = off', 'drop table kysely_migration')),
  ],
  [
    'of a newer version of the house',
    'newer',
    async (path) => void (await raw(path, "insert into kysely_migration values ('9999_moon', '2031-01-01T00:00:00.000Z')")),
  ],
  [
    'that became newer just before the power went',
    'newer',
    (path) => killedWhile(path, "insert into kysely_migration values ('9999_moon', '2031-01-01T00:00:00.000Z')"),
  ],
  [
    'that is a folder',
    'foreign',
    (path) => {
      rmSync(path);
      mkdirSync(path);
    },
  ],
];

/** A process that writes and is killed before it can close: what it wrote stands in the log beside the file. */
function killedWhile(path: string, statement: string): void {
  const driver = fileURLToPath(new URL('../../../worksheets/archive/sqlite/driver.ts', import.meta.url));
  const program = `
    const { loadSqlite } = await import(${JSON.stringify(driver)});
    (await loadSqlite()).open(${JSON.stringify(path)}, { readonly: false }).exec(${JSON.stringify(statement)});
    process.kill(process.pid, 'SIGKILL');
  `;
  const { signal, stderr } = spawnSync(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', program], { encoding: 'utf8' });
  if (signal !== 'SIGKILL') throw new Error(stderr);
  if (statSync(`${path}-wal`).size === 0) throw new Error('there is no log');
}

describe('a file', () => {
  const everything = (): { [name: string]: string } =>
    Object.fromEntries(
      readdirSync(folder)
        // The index of the log is rebuilt by whoever looks; an empty log says nothing.
        .filter((name) => !name.endsWith('-shm') && statSync(join(folder, name)).size + Number(!name.endsWith('-wal')) > 0)
        .map((name) => [name, statSync(join(folder, name)).isDirectory() ? 'folder' : hash(join(folder, name))]),
    );

  for (const [what, kind, harm] of HARM) {
    it(`${what} is refused in one sentence and stays as it is, byte for byte`, async () => {
      sound(file);
      await harm(file);
      const before = everything();
      for (const create of [false, true]) {
        const error = await refusal(openArchive({ file, create, clock }));
        expect([error.kind, error.message, isOneSentence(error.message)]).toEqual([kind, expect.stringContaining(file), true]);
        expect(everything()).toEqual(before);
      }
    });
  }

  it('that is not there is not made unless it is asked for', async () => {
    const error = await refusal(openArchive({ file }));
    expect([error.kind, error.message]).toEqual(['missing', `There is no archive at "${file}".`]);
    expect(readdirSync(folder)).toEqual([]);
  });

  it('that would be gone when it is closed is refused, and none is made under that name', async () => {
    for (const gone of [':memory:', '', join(folder, ':memory:')]) {
      const error = await refusal(openArchive({ file: gone, create: true }));
      expect([error.kind, error.message]).toEqual(['missing', `The archive needs a file that stays: "${gone}" is none.`]);
    }
    expect(readdirSync(folder)).toEqual([]);
  });

  it('is made whole, in a folder that is made too, and holds only our number', async () => {
    const deep = join(folder, 'data', 'club', 'club.sqlite');
    await (await openArchive({ file: deep, create: true })).close();
    expect(readdirSync(join(folder, 'data', 'club'))).toEqual(['club.sqlite']);
    // The application id stands at byte 68 of the header (sqlite.org/fileformat.html, 1.3).
    expect(readFileSync(deep).toString('latin1', 68, 72)).toBe('DUST');
  });

  it('is not made beside the log of one that is gone', async () => {
    sound(file);
    killedWhile(file, 'update club set setups = 41');
    rmSync(file);
    const log = hash(`${file}-wal`);
    const error = await refusal(openArchive({ file, create: true }));
    expect([error.kind, isOneSentence(error.message), existsSync(file)]).toEqual(['damaged', true, false]);
    expect(hash(`${file}-wal`)).toBe(log);
  });

  it('whose last writes stand in its log is opened with them', async () => {
    sound(file);
    killedWhile(file, "update setup set notes = 'from the log' where number = 1");
    const archive = await openArchive({ file, clock });
    const { setups } = await archive.findSetups({ club: CLUB, words: '', limit: 50 });
    expect(setups.find(({ id }) => id === 1)?.notes).toBe('from the log');
    await archive.close();
    expect(readdirSync(folder)).toEqual(['club.sqlite']);
  });

  it('stays in place when it is replaced in a revision by force', async () => {
    sound(file);
    // "or replace" removes a row without asking its delete trigger (sqlite.org/lang_conflict.html).
    for (const table of ['revision', 'audit']) {
      await expect(raw(file, `insert or replace into ${table} select * from ${table} limit 1`), table).rejects.toThrow(
        /never changed|follows the one before/,
      );
    }
  });

  it('can be written by one process at a time: the other waits, and says so when it has waited too long', async () => {
    sound(file);
    const other = (await loadSqlite()).open(file, { readonly: false });
    const archive = await openArchive({ file, clock });
    other.exec('begin immediate');
    const error = await refusal(archive.remember(corners(ADA, 'Sandhopper')));
    expect([error.kind, isOneSentence(error.message)]).toEqual(['busy', true]);
    other.exec('rollback');
    expect(await archive.remember(corners(ADA, 'Sandhopper'))).toMatchObject({ kind: 'remembered' });
    other.close();
    await archive.close();
  });

  it('is opened with the settings that keep what was acknowledged', async () => {
    const { db, close } = await openSqlite({ file, create: true, clock });
    const settings = { journal_mode: 'wal', synchronous: 2, busy_timeout: 5000, foreign_keys: 1, trusted_schema: 0, cell_size_check: 1 };
    for (const [name, value] of Object.entries({ ...settings, journal_size_limit: 67108864 })) {
      const { rows } = await sql.raw<{ [column: string]: unknown }>(`pragma ${name}`).execute(db);
      expect([name, Object.values(rows[0]!)[0]]).toEqual([name, value]);
    }
    await close();
  });
});

describe('an archive of an older version', () => {
  const then = (name: string, ...sqlite: readonly string[]): Migration => ({ name, sqlite, postgres: [] });
  const addColumn = [
    ...MIGRATIONS,
    then('9998_next_floor', "alter table club add column zone text not null default 'UTC'", "update club set zone = 'Africa/Windhoek'"),
  ];
  const failing = [
    ...MIGRATIONS,
    then('9998_next_floor', 'alter table club add column zone text', 'update club set zone = 1 / 0, setups = null'),
  ];

  it('is brought up to date, and a whole copy of the old one is kept beside it', async () => {
    sound(file);
    const { db, close } = await openSqlite({ file, create: false, clock, migrations: addColumn });
    expect((await sql`select zone from club`.execute(db)).rows).toEqual([{ zone: 'Africa/Windhoek' }]);
    await close();
    const copy = `club.sqlite.before-9998_next_floor-${clock()}`;
    expect(readdirSync(folder).sort()).toEqual(['club.sqlite', copy]);
    const old = await openArchive({ file: join(folder, copy), clock });
    expect(await old.verify({ club: CLUB })).toMatchObject({ ok: true, revisions: 40 });
    await old.close();
    // And the house as it is today cannot open what is newer.
    expect((await refusal(openArchive({ file }))).kind).toBe('newer');
  });

  it('is not copied again once it is up to date', async () => {
    sound(file);
    for (let turn = 0; turn < 2; turn += 1) await (await openSqlite({ file, create: false, clock, migrations: addColumn })).close();
    expect(readdirSync(folder)).toHaveLength(2);
  });

  it('is as it was when bringing it up to date fails', async () => {
    sound(file);
    const schema = await raw(file, 'select sql from sqlite_schema');
    await expect(openSqlite({ file, create: false, clock, migrations: failing })).rejects.toThrow('NOT NULL');
    expect(await raw(file, 'select sql from sqlite_schema')).toEqual(schema);
    const archive = await openArchive({ file, clock });
    expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true, revisions: 40 });
    await archive.close();
  });

  it('is brought up to date even after the clock has been put back', async () => {
    sound(file);
    await raw(file, "update kysely_migration set timestamp = '2099-01-01T00:00:00.000Z'");
    await (await openSqlite({ file, create: false, clock, migrations: addColumn })).close();
    // Now the second stands in the list with an earlier day than the first.
    const third = then('9999_roof', "update club set zone = 'Asia/Dubai'");
    const { db, close } = await openSqlite({ file, create: false, clock, migrations: [...addColumn, third] });
    expect((await sql`select zone from club`.execute(db)).rows).toEqual([{ zone: 'Asia/Dubai' }]);
    await close();
  });
});

describe('SQLite', () => {
  it(`is ${OLDEST_SQLITE} or newer`, async () => {
    const { version } = await loadSqlite();
    const [is, least] = [version, OLDEST_SQLITE].map((text) =>
      text
        .split('.')
        .map(Number)
        .reduce((sum, part) => sum * 1000 + part, 0),
    );
    expect(is).toBeGreaterThanOrEqual(least!);
  });

  it('that is too old is refused in one sentence that says what there is and what to do', async () => {
    const { driver, version } = await loadSqlite();
    const error = await refusal(loadSqlite('999.0.0'));
    expect(error.kind).toBe('driver');
    expect(error.message).toMatch(/^The archive needs SQLite 999\.0\.0 or newer, but with Node [\d.]+ .+: update Node, or .+\.$/);
    expect(error.message).toContain(`${driver} brings ${version}`);
    // Part by part, not letter by letter: 3.9 is older than 3.51.
    await expect(loadSqlite('3.9.0')).resolves.toBeDefined();
  });

  it('opens without a word on the terminal', async () => {
    const child = fileURLToPath(new URL('child.ts', import.meta.url));
    const { stdout, stderr } = spawnSync(process.execPath, ['--import', 'tsx', child], { input: `open ${file}\n`, encoding: 'utf8' });
    expect([stdout, stderr]).toEqual(['ready\nopened\n', '']);
  });
});
