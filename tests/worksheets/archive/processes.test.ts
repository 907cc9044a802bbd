import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface, type Interface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openArchive } from '../../../worksheets/archive/archive.ts';
import { ADA, CLUB, corners } from './example.ts';

const CHILD = fileURLToPath(new URL('child.ts', import.meta.url));
const truck = { club: CLUB, member: ADA.member, truck: 'Sandhopper' };

let folder: string;
let file: string;
const started = new Set<Child>();
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'archive-'));
  file = join(folder, 'club.sqlite');
});
afterEach(async () => {
  for (const child of started) child.kill();
  await Promise.all([...started].map((child) => child.ended));
  started.clear();
  rmSync(folder, { recursive: true, force: true });
});

interface Child {
  readonly process: ChildProcessWithoutNullStreams;
  readonly lines: Interface;
  readonly said: string[];
  readonly ready: Promise<void>;
  readonly ended: Promise<void>;
  go(line?: string): void;
  kill(): void;
}

function start(...args: readonly string[]): Child {
  const child = spawn(process.execPath, ['--import', 'tsx', CHILD, ...args]);
  const said: string[] = [];
  let errors = '';
  child.stderr.on('data', (data) => {
    errors += String(data);
  });
  child.stdin.on('error', () => {});
  const lines = createInterface(child.stdout);
  let failed: (error: Error) => void = () => {};
  const ready = new Promise<void>((resolve, reject) => {
    failed = reject;
    lines.on('line', (line) => (line === 'ready' ? resolve() : said.push(line)));
  });
  ready.catch(() => {});
  const ended = new Promise<void>((resolve) => {
    child.on('close', (code, signal) => {
      if (code !== 0 && signal !== 'SIGKILL') said.push(`ended with ${code}: ${errors}`);
      else if (errors !== '') said.push(`said on stderr: ${errors}`);
      failed(new Error(errors));
      resolve();
    });
  });
  const made: Child = {
    process: child,
    lines,
    said,
    ready,
    ended,
    go: (line = '') => child.stdin.write(`${line}\n`),
    kill: () => child.kill('SIGKILL'),
  };
  started.add(made);
  return made;
}

async function together(...args: readonly (readonly string[])[]): Promise<string[][]> {
  const children = args.map((each) => start(...each));
  await Promise.all(children.map((child) => child.ready));
  for (const child of children) child.go();
  await Promise.all(children.map((child) => child.ended));
  return children.map((child) => child.said);
}

async function withSetup(): Promise<void> {
  const archive = await openArchive({ file, create: true });
  await archive.remember(corners(ADA, 'Sandhopper'));
  await archive.saveSetup({ ...truck, name: 'Salt' });
  await archive.close();
}

describe('several processes on one archive', () => {
  it('do sixty interactions that all four of them send once each, and agree on every result', async () => {
    await withSetup();
    // Steps without a common factor with 60: each goes through all of them in an order of its own.
    const said = await together(...['1', '7', '13', '59'].map((step) => ['once', file, '60', step]));
    const results = said.map((lines) => {
      expect(lines).toHaveLength(1);
      return JSON.parse(lines[0]!) as { [id: string]: { by: number; rev: number } };
    });
    expect(Object.keys(results[0]!)).toHaveLength(60);
    for (const other of results.slice(1)) expect(other).toEqual(results[0]);
    const revs = Object.values(results[0]!).map(({ rev }) => rev);
    expect(revs.sort((a, b) => a - b)).toEqual(Array.from({ length: 60 }, (_, index) => index + 2));
    expect(new Set(Object.values(results[0]!).map(({ by }) => by)).size).toBeGreaterThan(1);

    const archive = await openArchive({ file });
    expect(await archive.showSetup({ club: CLUB, id: 1 })).toMatchObject({ newest: 61 });
    expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true, revisions: 61 });
    await archive.close();
  });

  it('let one of four editors of the same revision win, and tell the other three', async () => {
    await withSetup();
    const said = await together(...Array.from({ length: 4 }, () => ['edit', file]));
    expect(said.flat().sort()).toEqual(['conflict', 'conflict', 'conflict', 'saved']);
  });

  it('may all be the first: one makes the archive, all of them use it', async () => {
    const said = await together(...Array.from({ length: 4 }, () => ['open', file]));
    expect(said).toEqual(Array(4).fill(['opened']));
    expect(readdirSync(folder)).toEqual(['club.sqlite']);
    const archive = await openArchive({ file });
    expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
    await archive.close();
  });
});

describe('a process that is killed while it writes', () => {
  it('loses nothing that was acknowledged and leaves nothing half, twenty-one times over', async () => {
    const ROUNDS = 21;
    await withSetup();
    let number = 1;
    // A process takes longer to start than to be killed: two are always on their way.
    const waiting = [start('write', file), start('write', file)];
    for (let round = 0; round < ROUNDS; round += 1) {
      const child = waiting.shift()!;
      if (round + 2 < ROUNDS) waiting.push(start('write', file));
      await child.ready;
      const first = number;
      child.go(String(number));
      // Anywhere between the opening and some dozen writes; a fixed row of delays, so that a failure comes again.
      await new Promise((resolve) => setTimeout(resolve, 20 + ((round * 37) % 200)));
      child.kill();
      await child.ended;
      const acknowledged = child.said.map(Number);
      expect(acknowledged).toEqual(Array.from({ length: acknowledged.length }, (_, index) => first + index));
      number += acknowledged.length;

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
          (error) => {
            if (error !== missing) throw error;
            return false;
          },
        );
      if (reached) number += 1;
      const facts = await archive.facts(truck);
      expect(facts.get('number')?.typed).toBe(number === 1 ? undefined : `${number - 1} g`);
      const saved = Math.floor((number - 1) / 3);
      expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true, revisions: 1 + saved });
      await archive.close();
    }
    expect(number).toBeGreaterThan(ROUNDS);
  }, 90_000);
});
