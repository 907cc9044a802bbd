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
import { basename, dirname, join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { ArchiveError, openArchive, type Place } from '../../../worksheets/archive/archive.ts';
import { backup, check, move, restore, sweep } from '../../../worksheets/archive/keep.ts';
import { MIGRATIONS } from '../../../worksheets/archive/migrations/index.ts';
import { openSqlite } from '../../../worksheets/archive/sqlite/open.ts';
import { bundleChild, type Child, startChild } from './children.ts';
import { ADA, BEN, CLUB, corners, ride } from './example.ts';
import { type Kind, onEach, onPostgres, postgresKind, sqliteKind } from './places.ts';

const clock = (): number => Date.UTC(2026, 3, 11, 9, 0);
const truck = { club: CLUB, member: ADA.member, truck: 'Sandhopper' };
const hash = (path: string): string => createHash('sha256').update(readFileSync(path)).digest('hex');

/** Two clubs, two members, setups with revisions, text of many alphabets, numbers that are not round. */
async function fillIn(place: Place): Promise<void> {
  const archive = await openArchive({ ...place, create: true, clock });
  for (let more = 0; more < 12; more += 1) {
    await archive.remember(corners(ADA, `Sandhopper ${more % 4}`, more / 7));
    await archive.remember(ride(BEN, 'Möwe', more % 2 === 0 ? 'front' : 'rear', 600 + more));
    const named = {
      club: CLUB,
      member: ADA.member,
      truck: `Sandhopper ${more % 4}`,
      notes: `نمک "salt" हिन्दी 😀 line ${more}\nand another`,
    };
    await archive.saveSetup({ ...named, name: `Salt ${more % 6}`, tags: ['Dry', 'größer'] });
  }
  await archive.saveSetup({ club: CLUB, member: BEN.member, truck: 'Möwe', name: 'Loose' });
  await archive.once('interaction-1', CLUB, () => ({ said: 'once', number: 0.1 + 0.2 }));
  await archive.remember(corners({ ...ADA, club: 'dry-lake-club' }, 'Sandhopper'));
  await archive.saveSetup({ ...truck, club: 'dry-lake-club', name: 'Secret' });
  await archive.close();
}

async function refusal(work: Promise<unknown>): Promise<ArchiveError> {
  const error = await work.then(
    () => new Error('it was done'),
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(ArchiveError);
  return error as ArchiveError;
}

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'archive-kept-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

let bundle: Awaited<ReturnType<typeof bundleChild>>;
beforeAll(async () => {
  bundle = await bundleChild();
}, 60_000);
afterAll(() => bundle.remove());

const idOf = (club: string): string => `(select id from club where platform_id = '${club}')`;
const IN_ORDER = { faults: [], unfindable: [] };

onEach((kind: Kind) => {
  const { name, make, raw } = kind;
  const textOf = (place: Place): string => ('file' in place ? place.file : place.url);

  describe(`looking after ${name}`, () => {
    let place: Place;
    beforeEach(async () => {
      place = await make();
      await fillIn(place);
    });

    it('a check counts what there is and finds it in order', async () => {
      expect(await check(place)).toEqual({ clubs: 2, setups: 14, revisions: 14, changes: expect.any(Number), ...IN_ORDER });
    });

    const withoutGuards = async (): Promise<void> => {
      for (const table of ['revision', 'audit'])
        for (const how of ['stays', 'is_kept']) await raw(place, `drop trigger ${table}_${how}${'file' in place ? '' : ` on ${table}`}`);
    };
    for (const [what, statement, said] of [
      ['a changed revision', "update revision set doc = replace(doc, 'salt', 'malt') where setup_id = 1", 'Revision 1 of setup 1'],
      ['a line of the log that is gone', `delete from audit where change = 4 and club_id = ${idOf(CLUB)}`, 'Change 4 is missing'],
      [
        'the end of the log that is gone',
        `delete from audit where change >= 5 and club_id = ${idOf('dry-lake-club')}`,
        'The end of the club',
      ],
    ] as const) {
      it(`a check finds ${what}`, async () => {
        await withoutGuards();
        await raw(place, statement);
        const { faults } = await check(place);
        expect(faults).toHaveLength(1);
        expect(faults[0]).toMatch(/^Club "(saltpan-desert|dry-lake)-club": /);
        expect(faults[0]).toContain(said);
      });
    }

    it('a check finds a setup that has lost its words, one whose words are of yesterday, and one that is gone and has kept them', async () => {
      const key = 'file' in place ? 'rowid' : 'setup_id';
      await raw(place, `delete from setup_words where ${key} = 3`, "update setup set notes = 'elsewhere' where number = 5 and club_id = 1");
      await raw(place, 'update setup set gone = 1 where id = 7');
      // The log does not know that the seventh is gone: that is the one fault.
      const { faults, unfindable } = await check(place);
      expect([faults.length, unfindable]).toEqual([1, [3, 5, 7]]);
    });

    it('a check finds a setup that has lost a number, one with a tag that it never had, and a restored copy has them right', async () => {
      await raw(place, 'delete from setup_number where setup_id = 3', 'update setup_number set value = 7 where setup_id = 4');
      await raw(place, "insert into setup_facet (setup_id, club_id, facet, value) values (5, 1, 'tag', 'foreign')");
      expect(await check(place)).toMatchObject({ faults: [], unfindable: [3, 4, 5] });
      const copy = join(folder, 'copy.sqlite');
      await backup(place, copy);
      await restore(copy, { file: join(folder, 'again.sqlite') }, clock);
      expect(await check({ file: join(folder, 'again.sqlite') })).toMatchObject(IN_ORDER);
    });

    it('a backup made while four processes write is whole, and is put in the place of what was there', async () => {
      const writers: Child[] = Array.from({ length: 4 }, () => startChild(bundle.file));
      const copies: string[] = [];
      try {
        for (const [index, writer] of writers.entries()) writer.ask(`write ${textOf(place)} ${1 + index * 100_000} 20`);
        await Promise.all(writers.map((writer) => writer.until(3)));
        for (let turn = 0; turn < 4; turn += 1) {
          const before = writers.map(({ said }) => said.slice(1));
          const file = join(folder, `copy-${turn}.sqlite`);
          await backup(place, file);
          copies.push(file);
          // What had been acknowledged before the copy was begun is in it.
          const copy = await openArchive({ file });
          for (const said of before)
            for (const number of said) expect(await copy.once(`write-${number}`, CLUB, () => 'gone')).toMatchObject({ repeated: true });
          await copy.close();
          await Promise.all(writers.map((writer) => writer.until(writer.said.length + 1)));
        }
      } finally {
        await Promise.all(writers.map((writer) => writer.kill()));
      }
      expect(readdirSync(folder).sort()).toEqual(copies.map((file) => basename(file)));
      const [first, last] = [copies[0]!, copies.at(-1)!];
      for (const file of [first, last]) expect(await check({ file })).toMatchObject(IN_ORDER);
      expect((await check({ file: last })).changes).toBeGreaterThan((await check({ file: first })).changes);

      // A server's database is filled again, a file is replaced.
      const to = 'file' in place ? place : await make();
      const { aside, checked } = await restore(first, to, clock);
      expect(checked).toEqual(await check({ file: first }));
      expect(await check(to)).toEqual(checked);
      expect(aside).toBe('file' in place ? `${place.file}.before-restore-2026-04-11T09-00-00-000Z` : undefined);
      if (aside) expect((await check({ file: aside })).changes).toBeGreaterThanOrEqual((await check({ file: last })).changes);
    }, 120_000);

    it('a backup does not take the name of a file that is there, and needs a folder that is there', async () => {
      const file = join(folder, 'copy.sqlite');
      writeFileSync(file, 'something else');
      expect(await refusal(backup(place, file))).toMatchObject({ kind: 'taken' });
      expect(readFileSync(file, 'utf8')).toBe('something else');
      const nowhere = join(folder, 'stick', 'copy.sqlite');
      expect(await refusal(backup(place, nowhere))).toMatchObject({ kind: 'disk', message: expect.stringContaining('There is no folder') });
      expect(existsSync(join(folder, 'stick'))).toBe(false);
    });

    it('a backup that finds its disk full says so and leaves nothing behind', async (context) => {
      const disk = join(folder, 'disk');
      mkdirSync(disk);
      const { status, stderr } = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=100k', 'tmpfs', disk], { encoding: 'utf8' });
      if (status !== 0 && process.env.CI === 'true') throw new Error(stderr);
      if (status !== 0) return context.skip(`a small disk could not be mounted: ${stderr}`);
      try {
        const error = await refusal(backup(place, join(disk, 'copy.sqlite')));
        expect([error.kind, error.message]).toEqual(['full', 'The disk of the archive is full: this could not be kept.']);
        expect(readdirSync(disk)).toEqual([]);
      } finally {
        spawnSync('umount', [disk]);
      }
      expect(await check(place)).toMatchObject(IN_ORDER);
    });

    it('a backup that is killed leaves the archive as it is, and what it had begun is swept up', async () => {
      const child = startChild(bundle.file);
      await child.until(1);
      child.ask(`backups ${textOf(place)} ${folder}`);
      await child.until(3);
      // Between two of its copies, or in the middle of one.
      await new Promise((resolve) => setTimeout(resolve, 7));
      await child.kill();
      const parts = () => readdirSync(folder).filter((file) => file.includes('.part-'));
      const whole = readdirSync(folder).filter((file) => /^copy-\d+\.sqlite$/.test(file));
      expect(whole.length).toBeGreaterThanOrEqual(2);
      for (const file of whole) expect(await check({ file: join(folder, file) })).toMatchObject(IN_ORDER);
      writeFileSync(join(folder, `copy.sqlite.part-${process.pid}-abcdef`), 'of somebody who is at work');
      sweep(folder);
      expect(parts()).toEqual([`copy.sqlite.part-${process.pid}-abcdef`]);
      expect(await check(place)).toMatchObject(IN_ORDER);
    }, 60_000);

    it('moves to a file and back to where it came from, and each holds the same, row for row', async () => {
      const file = join(folder, 'moved.sqlite');
      const there = await move(place, { file });
      expect(there.find(({ table }) => table === 'revision')).toMatchObject({ rows: 14 });
      expect(readdirSync(folder)).toEqual(['moved.sqlite']);
      const back = 'file' in place ? { file: join(folder, 'back.sqlite') } : await make();
      expect(await move({ file }, back)).toEqual(there);
      expect(await check(back)).toEqual(await check(place));
      const archive = await openArchive({ ...back, clock });
      // It goes on where it stopped: ids count on, words are found, an interaction is remembered.
      expect(await archive.saveSetup({ ...truck, truck: 'Sandhopper 1', name: 'New' })).toMatchObject({ kind: 'saved', id: 14 });
      expect((await archive.findSetups({ club: CLUB, words: 'salt नमस्ते' })).setups).toEqual([]);
      expect((await archive.findSetups({ club: CLUB, words: 'GROSSER salt', limit: 50 })).setups).toHaveLength(12);
      expect(await archive.once('interaction-1', CLUB, () => 'again')).toEqual({
        result: { said: 'once', number: 0.30000000000000004 },
        repeated: true,
      });
      await archive.close();
    });

    it('does not move into a place where something is', async () => {
      const taken = await make();
      await fillIn(taken);
      const before = await check(taken);
      expect((await refusal(move(place, taken))).kind).toBe('taken');
      expect(await check(taken)).toEqual(before);
    });

    it('does not call it a move when somebody wrote in between', async () => {
      const writer = startChild(bundle.file);
      const file = join(folder, 'moved.sqlite');
      try {
        writer.ask(`write ${textOf(place)} 1`);
        await writer.until(3);
        const error = await refusal(move(place, { file }));
        expect([error.kind, error.message]).toEqual(['busy', expect.stringMatching(/^Somebody wrote .*: stop the bot, then try again\.$/)]);
      } finally {
        await writer.kill();
      }
      expect(readdirSync(folder)).toEqual([]);
      expect(await check(place)).toMatchObject(IN_ORDER);
    }, 60_000);

    it('refuses to restore what is damaged, foreign, newer, empty or missing, and leaves the archive untouched', async () => {
      const good = join(folder, 'good.sqlite');
      await backup(place, good);
      const live = 'file' in place ? place : await make();
      const hashes = () =>
        'file' in live
          ? readdirSync(dirname(live.file))
              .filter((one) => !one.endsWith('-shm'))
              .map((one) => [one, hash(join(dirname(live.file), one))])
          : [];
      const before = hashes();
      for (const [kindOf, harm] of [
        ['damaged', (file: string) => truncateSync(file, Math.floor(statSync(file).size / 2))],
        ['damaged', (file: string) => overwrite(file, 4096 * 5, Buffer.alloc(4096, 0x5a))],
        [
          'damaged',
          (file: string) => sqliteKind.raw({ file }, 'drop trigger revision_stays', "update revision set doc = replace(doc, '612', '613')"),
        ],
        ['damaged', (file: string) => sqliteKind.raw({ file }, 'drop trigger audit_is_kept', 'delete from audit where change = 3')],
        ['foreign', (file: string) => sqliteKind.raw({ file }, 'pragma application_id = 1')],
        ['foreign', (file: string) => writeFileSync(file, 'front left 612 g\n'.repeat(200))],
        [
          'newer',
          (file: string) => sqliteKind.raw({ file }, "insert into kysely_migration values ('9999_moon', '2031-01-01T00:00:00.000Z')"),
        ],
        ['empty', (file: string) => truncateSync(file, 0)],
        ['missing', (file: string) => rmSync(file)],
      ] as const) {
        const file = join(folder, 'copy.sqlite');
        copyFileSync(good, file);
        await harm(file);
        const error = await refusal(restore(file, live, clock));
        expect([error.kind, error.message]).toEqual([kindOf, expect.stringContaining(file)]);
        expect(error.message).toMatch(/^[^\n]+[^.\n]\.$/);
        expect(hashes()).toEqual(before);
      }
      if ('file' in live) expect(await check(live)).toEqual(await check({ file: good }));
    });
  });
});

const overwrite = (path: string, at: number, bytes: Buffer): void => {
  const all = readFileSync(path);
  bytes.copy(all, at);
  writeFileSync(path, all);
};

describe('restoring a file', () => {
  let file: string;
  let good: string;
  beforeEach(async () => {
    file = join(folder, 'club.sqlite');
    good = join(folder, 'good.sqlite');
    await fillIn({ file });
    await backup({ file }, good);
  });
  const asides = () => readdirSync(folder).filter((name) => name.includes('before-restore'));

  it('is refused while the archive is open elsewhere, even by somebody who only sits there', async () => {
    const archive = await openArchive({ file, clock });
    const error = await refusal(restore(good, { file }, clock));
    expect([error.kind, error.message]).toEqual(['busy', `The archive "${file}" is open elsewhere: stop the bot, then restore.`]);
    expect(await archive.remember(corners(ADA, 'Mudlark'))).toMatchObject({ kind: 'remembered' });
    await archive.close();
    expect(readdirSync(folder).sort()).toEqual(['club.sqlite', 'good.sqlite']);
    expect((await restore(good, { file }, clock)).aside).toBeDefined();
  });

  it('never leaves the log of the old file beside the new one, and keeps with the old what stood in it', async () => {
    const child = startChild(bundle.file);
    await child.until(1);
    child.ask(`write ${file} 1`);
    await child.until(5);
    await child.kill();
    const acknowledged = child.said.slice(1).map(Number);
    expect(statSync(`${file}-wal`).size).toBeGreaterThan(0);
    const { aside } = await restore(good, { file }, clock);
    expect(readdirSync(folder).sort()).toEqual(['club.sqlite', basename(aside!), 'good.sqlite']);
    const restored = await openArchive({ file });
    expect((await restored.facts(truck)).has('number')).toBe(false);
    await restored.close();
    const old = await openArchive({ file: aside! });
    for (const number of acknowledged) expect(await old.once(`write-${number}`, CLUB, () => 'gone')).toMatchObject({ repeated: true });
    await old.close();
  }, 60_000);

  it('takes the place of one that is broken, and keeps that with its log', async () => {
    overwrite(file, 0, Buffer.alloc(100));
    writeFileSync(`${file}-wal`, 'what was in the log');
    const { aside } = await restore(good, { file }, clock);
    expect(readdirSync(folder).sort()).toEqual(['club.sqlite', basename(aside!), `${basename(aside!)}-wal`, 'good.sqlite']);
    expect(readFileSync(`${aside}-wal`, 'utf8')).toBe('what was in the log');
    expect(await check({ file })).toEqual(await check({ file: good }));
  });

  it('leaves the database of another program in its place', async () => {
    await sqliteKind.raw({ file }, 'pragma application_id = 252006674');
    const before = hash(file);
    expect((await refusal(restore(good, { file }, clock))).kind).toBe('foreign');
    expect([hash(file), asides()]).toEqual([before, []]);
  });

  it('makes the archive where there is none, with its folder', async () => {
    const fresh = join(folder, 'data', 'club.sqlite');
    expect(await restore(good, { file: fresh }, clock)).toMatchObject({ aside: undefined });
    expect(readdirSync(dirname(fresh))).toEqual(['club.sqlite']);
    expect(await check({ file: fresh })).toEqual(await check({ file: good }));
  });

  it('does not put a file in its own place', async () => {
    expect((await refusal(restore(file, { file }, clock))).kind).toBe('taken');
    expect(asides()).toEqual([]);
  });

  it('of an earlier version brings it up to date, and leaves the copy itself as it was', async () => {
    const old = join(folder, 'old.sqlite');
    await (await openSqlite({ file: old, create: true, clock, migrations: MIGRATIONS.slice(0, 1) })).close();
    const before = hash(old);
    expect(await check({ file: old })).toMatchObject({ clubs: 0, ...IN_ORDER });
    await restore(old, { file }, clock);
    expect(hash(old)).toBe(before);
    expect(await check({ file })).toMatchObject({ clubs: 0, ...IN_ORDER });
    expect(readdirSync(folder).filter((name) => name.startsWith('old'))).toEqual(['old.sqlite']);
  });

  it('makes words again that a copy has lost', async () => {
    await sqliteKind.raw(
      { file: good },
      'delete from setup_words',
      "insert into setup_words (rowid, club, name) values (99, 'c1', 'nobody')",
    );
    expect((await check({ file: good })).unfindable).toHaveLength(15);
    await restore(good, { file }, clock);
    expect(await check({ file })).toMatchObject(IN_ORDER);
  });
});

onPostgres((server) => {
  const kind = postgresKind(server);
  describe('moving between the engines', () => {
    it('gives the same hash over every table on a file, on a server and back on a file', async () => {
      const [first, second] = [join(folder, 'first.sqlite'), join(folder, 'second.sqlite')];
      await fillIn({ file: first });
      const url = await kind.make();
      const there = await move({ file: first }, url);
      expect(await move(url, { file: second })).toEqual(there);
      expect(await check(url)).toEqual(await check({ file: first }));
      expect(there.map(({ table }) => table)).toContain('audit');
      // The hash is over the rows: one digit more, and it is another.
      await kind.raw(url, 'drop trigger audit_stays on audit', 'update audit set at = at + 1 where change = 2');
      const third = join(folder, 'third.sqlite');
      const changed = await move(url, { file: third });
      expect(changed.filter(({ hash }, index) => hash !== there[index]!.hash).map(({ table }) => table)).toEqual(['audit']);
    });

    it('leaves a database empty when it fails in the middle', async () => {
      const file = join(folder, 'club.sqlite');
      await fillIn({ file });
      const url = await kind.make();
      await (await openArchive({ ...url, create: true })).close();
      // It goes as far as the last row; only then is it seen that one of them points to a truck that is not there.
      await sqliteKind.raw({ file }, 'pragma foreign_keys = off', 'update setup set truck_id = 9999 where number = 1');
      await expect(move({ file }, url)).rejects.toThrow('foreign key');
      expect(await check(url)).toMatchObject({ clubs: 0, ...IN_ORDER });
      const keys = await kind.raw(
        url,
        "select count(*) as many from pg_constraint where contype = 'f' and connamespace = current_schema()::regnamespace",
      );
      expect(Number(keys[0]!.many)).toBeGreaterThan(8);
    });
  });
});
