import { execFileSync, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { sql } from 'kysely';
import { afterEach, beforeEach, describe, expect, it, type TestContext } from 'vitest';
import { ArchiveError, openArchive } from '../../../worksheets/archive/archive.ts';
import { MIGRATIONS } from '../../../worksheets/archive/migrations/index.ts';
import { openSqlite } from '../../../worksheets/archive/sqlite/open.ts';
import { ADA, CLUB, corners } from './example.ts';

const SIZE = 1_500_000;
const clock = (): number => Date.UTC(2026, 3, 11, 9, 0);
const truck = { club: CLUB, member: ADA.member, truck: 'Sandhopper' };

/** A disk of 1.5 MB in memory. Mounting one takes root; on the build server it has to work. */
describe('on a full disk', () => {
  let disk: string;
  let refused: string | undefined;
  beforeEach((context) => {
    disk = mkdtempSync(join(tmpdir(), 'archive-disk-'));
    const { status, stderr, error } = spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${SIZE}`, 'tmpfs', disk], { encoding: 'utf8' });
    refused = status === 0 ? undefined : (error?.message ?? stderr).trim();
    needsDisk(context);
  });
  afterEach(() => {
    // A file that was left open keeps the disk busy; then it goes when this process does.
    const { status } = refused === undefined ? spawnSync('umount', [disk]) : { status: 0 };
    if (status !== 0) {
      execFileSync('umount', ['-l', disk]);
      throw new Error('the archive was left open');
    }
    rmSync(disk, { recursive: true, force: true });
  });
  function needsDisk(context: TestContext): void {
    if (refused === undefined) return;
    if (process.env.CI === 'true') throw new Error(`a small disk could not be mounted: ${refused}`);
    context.skip(`a small disk could not be mounted: ${refused}`);
  }

  /** Takes all the room but `left` bytes. */
  const fill = (name: string, left = 0): void => {
    for (const size of [65_536, 4096, 1]) {
      try {
        for (;;) writeFileSync(join(disk, name), Buffer.alloc(size, 1), { flag: 'a' });
      } catch {}
    }
    if (left > 0) {
      const filled = readFileSync(join(disk, name));
      writeFileSync(join(disk, name), filled.subarray(0, Math.max(filled.length - left, 0)));
    }
  };
  const fault = async (work: Promise<unknown>): Promise<ArchiveError> => {
    const error = await work.then(
      () => new Error('it was kept'),
      (reason: unknown) => reason,
    );
    expect(error).toBeInstanceOf(ArchiveError);
    return error as ArchiveError;
  };

  it('a write says that it could not be kept; nothing acknowledged is lost, nothing is half, and it goes on when there is room', async () => {
    const archive = await openArchive({ file: join(disk, 'club.sqlite'), create: true, clock });
    writeFileSync(join(disk, 'holiday pictures'), Buffer.alloc(300_000, 1));
    let kept = 0;
    const write = (number: number) =>
      archive.once(`write-${number}`, CLUB, async (records) => {
        const what = corners(ADA, 'Sandhopper', number);
        await records.remember({
          ...what,
          readings: what.readings.map((reading) => ({ ...reading, typed: reading.typed.padEnd(1900, ' ') })),
        });
        await records.saveSetup({ ...truck, name: 'Salt' });
        return number;
      });
    let full: unknown;
    while (full === undefined && kept < 500) {
      await write(kept).then(
        () => {
          kept += 1;
        },
        (error: unknown) => {
          full = error;
        },
      );
    }
    expect(full).toBeInstanceOf(ArchiveError);
    expect(full).toMatchObject({ kind: 'full', message: 'The disk of the archive is full: this could not be kept.' });
    expect(kept).toBeGreaterThan(5);

    // What is there can still be read, and all of it is there.
    expect((await archive.facts(truck)).get('front_left')?.typed.trim()).toBe(`${612 + kept - 1} g`);
    expect(await archive.showSetup({ club: CLUB, id: 1 })).toMatchObject({ newest: kept });

    rmSync(join(disk, 'holiday pictures'));
    for (let number = 0; number < kept; number += 1) expect(await write(number)).toEqual({ result: number, repeated: true });
    expect(await write(kept)).toEqual({ result: kept, repeated: false });
    expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true, revisions: kept + 1 });
    await archive.close();

    const again = await openArchive({ file: join(disk, 'club.sqlite'), clock });
    expect(await again.verify({ club: CLUB })).toMatchObject({ ok: true, revisions: kept + 1 });
    await again.close();
  });

  for (const left of [0, 8192, 50_000, 150_000]) {
    it(`no archive is made with ${left} bytes of room, and nothing of one is left`, async () => {
      fill('holiday pictures', left);
      const error = await fault(openArchive({ file: join(disk, 'club.sqlite'), create: true, clock }));
      expect(error.kind).toBe('full');
      expect(readdirSync(disk)).toEqual(['holiday pictures']);
    });
  }

  it('an older archive is not brought up to date without its copy, and stays as it is', async () => {
    const file = join(disk, 'club.sqlite');
    const archive = await openArchive({ file, create: true, clock });
    for (let more = 0; more < 20; more += 1) await archive.remember(corners(ADA, `Sandhopper ${more}`));
    await archive.close();
    const hash = () => createHash('sha256').update(readFileSync(file)).digest('hex');
    const before = hash();
    fill('holiday pictures', 100_000);
    // Begun without a copy, it would stumble over this.
    const migrations = [...MIGRATIONS, { name: '9998_next_floor', sqlite: ['no statement'], postgres: [] }];
    expect((await fault(openSqlite({ file, create: false, clock, migrations }))).kind).toBe('full');
    expect(hash()).toBe(before);
    expect(readdirSync(disk).filter((name) => name.includes('before'))).toEqual([]);
    rmSync(join(disk, 'holiday pictures'));
    const { db, close } = await openSqlite({ file, create: false, clock });
    expect((await sql`select count(*) as trucks from truck`.execute(db)).rows).toEqual([{ trucks: 20 }]);
    await close();
  });
});
