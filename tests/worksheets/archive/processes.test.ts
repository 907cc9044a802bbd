import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { openArchive } from '../../../worksheets/archive/archive.ts';
import { ADA, CLUB, corners } from './example.ts';

const CHILD = fileURLToPath(new URL('child.ts', import.meta.url));
const truck = { club: CLUB, member: ADA.member, truck: 'Sandhopper' };

let folder: string;
let file: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'archive-'));
  file = join(folder, 'club.sqlite');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** A process of its own. `said` holds what it has said, `until` waits until that many lines are there. */
function start() {
  const child = spawn(process.execPath, ['--import', 'tsx', CHILD]);
  const said: string[] = [];
  const errors: string[] = [];
  let wake = (): void => {};
  let over = false;
  child.stdin.on('error', () => {});
  child.stderr.on('data', (data) => errors.push(String(data)));
  createInterface(child.stdout).on('line', (line) => {
    said.push(line);
    wake();
  });
  const ended = once(child, 'close').then(() => {
    over = true;
    wake();
  });
  return {
    said,
    errors,
    ask: (line: string) => child.stdin.write(`${line}\n`),
    async until(lines: number): Promise<void> {
      while (said.length < lines) {
        if (over || errors.length > 0) throw new Error(`the process said: ${errors.join('') || 'nothing more'}`);
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      }
    },
    async kill(): Promise<void> {
      child.kill('SIGKILL');
      await ended;
    },
  };
}
type Child = ReturnType<typeof start>;

async function withSetup(): Promise<void> {
  const archive = await openArchive({ file, create: true });
  await archive.remember(corners(ADA, 'Sandhopper'));
  await archive.saveSetup({ ...truck, name: 'Salt' });
  await archive.close();
}

describe('four processes on one archive', () => {
  let four: Child[];
  beforeAll(async () => {
    four = Array.from({ length: 4 }, start);
    await Promise.all(four.map((child) => child.until(1)));
  }, 60_000);
  afterAll(() => Promise.all(four.map((child) => child.kill())));

  /** Gives each its job at one moment, and what each of them answered. */
  const together = async (job: (index: number) => string): Promise<string[]> => {
    const before = four[0]!.said.length;
    for (const [index, child] of four.entries()) child.ask(job(index));
    await Promise.all(four.map((child) => child.until(before + 1)));
    return four.map((child) => child.said.at(-1)!);
  };

  it('may all be the first: one makes the archive, all of them use it', async () => {
    expect(await together(() => `open ${file}`)).toEqual(Array(4).fill('opened'));
    expect(readdirSync(folder)).toEqual(['club.sqlite']);
    const archive = await openArchive({ file });
    expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
    await archive.close();
  }, 60_000);

  it('let one of four editors of the same revision win, and tell the other three', async () => {
    await withSetup();
    expect((await together(() => `edit ${file}`)).sort()).toEqual(['conflict', 'conflict', 'conflict', 'saved']);
  }, 60_000);

  it('do sixty interactions that all four of them send once each, and agree on every result', async () => {
    await withSetup();
    // Steps without a common factor with 60: each goes through all of them in an order of its own.
    const said = await together((index) => `once ${file} 60 ${[1, 7, 13, 59][index]}`);
    const results = said.map((line) => JSON.parse(line) as { [id: string]: { by: number; rev: number } });
    expect(Object.keys(results[0]!)).toHaveLength(60);
    for (const other of results.slice(1)) expect(other).toEqual(results[0]);
    const revs = Object.values(results[0]!).map(({ rev }) => rev);
    expect(revs.sort((a, b) => a - b)).toEqual(Array.from({ length: 60 }, (_, index) => index + 2));
    expect(new Set(Object.values(results[0]!).map(({ by }) => by)).size).toBeGreaterThan(1);

    const archive = await openArchive({ file });
    expect(await archive.showSetup({ club: CLUB, id: 1 })).toMatchObject({ newest: 61 });
    expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true, revisions: 61 });
    await archive.close();
  }, 60_000);
});

describe('a process that is killed while it writes', () => {
  const ROUNDS = 21;
  const waiting: Child[] = [];
  afterEach(() => Promise.all(waiting.map((child) => child.kill())));

  it('loses nothing that was acknowledged and leaves nothing half, twenty-one times over', async () => {
    await withSetup();
    let number = 1;
    let acknowledgedInAll = 0;
    for (let round = 0; round < ROUNDS; round += 1) {
      // A process takes longer to start than to be killed: some are always on their way.
      while (waiting.length < Math.min(3, ROUNDS - round)) waiting.push(start());
      const child = waiting[0]!;
      await child.until(1);
      child.ask(`write ${file} ${number}`);
      // While it opens the file, or some milliseconds after one of its first writes; a fixed row, so that a failure comes again.
      await child.until(1 + (round % 7));
      await new Promise((resolve) => setTimeout(resolve, (round * 5) % 23));
      await child.kill();
      waiting.shift();
      expect(child.errors).toEqual([]);
      const acknowledged = child.said.slice(1).map(Number);
      expect(acknowledged).toEqual(Array.from({ length: acknowledged.length }, (_, index) => number + index));
      number += acknowledged.length;
      acknowledgedInAll += acknowledged.length;

      const archive = await openArchive({ file });
      for (const done of acknowledged) {
        const lost = () => Promise.reject(new Error(`write ${done} of round ${round} was acknowledged and is gone`));
        expect(await archive.once(`write-${done}`, CLUB, lost)).toEqual({ result: done, repeated: true });
      }
      // The one that was under way is there as a whole or not at all.
      const missing = new Error('not there');
      const reached = await archive
        .once(`write-${number}`, CLUB, () => Promise.reject(missing))
        .then(
          () => true,
          (error: unknown) => {
            if (error !== missing) throw error;
            return false;
          },
        );
      if (reached) number += 1;
      expect((await archive.facts(truck)).get('number')?.typed).toBe(number === 1 ? undefined : `${number - 1} g`);
      expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true, revisions: 1 + Math.floor((number - 1) / 3) });
      await archive.close();
    }
    expect(acknowledgedInAll).toBeGreaterThanOrEqual(3 * ROUNDS);
  }, 90_000);
});
