/** One process of several, or one to be killed: does what its first argument names with the archive of its second. */
import { readSync, writeSync } from 'node:fs';
import { openArchive } from '../../../worksheets/archive/archive.ts';
import { ADA, CLUB, corners, grams } from './example.ts';

const [, , job, file, ...rest] = process.argv as [string, string, string, string, ...string[]];
const say = (line: string): void => void writeSync(1, `${line}\n`);
/** Ready; waits for a line, so that several can start at one moment. */
const wait = (): string => {
  say('ready');
  const line = Buffer.alloc(100);
  return line.toString('utf8', 0, readSync(0, line)).trim();
};
const truck = { club: CLUB, member: ADA.member, truck: 'Sandhopper' };

const jobs: { readonly [job: string]: () => Promise<void> } = {
  /** The same interactions as everybody else, in an order of its own; each makes one revision. */
  async once() {
    const [count = '0', step = '1'] = rest;
    const archive = await openArchive({ file });
    wait();
    const results: { [id: string]: unknown } = {};
    for (let turn = 0; turn < Number(count); turn += 1) {
      const id = `interaction-${(turn * Number(step)) % Number(count)}`;
      const { result } = await archive.once(id, CLUB, async (records) => {
        await records.remember(corners(ADA, 'Sandhopper', turn));
        const setup = await records.saveSetup({ ...truck, name: 'Salt' });
        return { by: process.pid, rev: setup.kind === 'saved' ? setup.rev : null };
      });
      results[id] = result;
      // SQLite gives the lock to whoever is awake: without a pause one process would do them all.
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
    await archive.close();
    say(JSON.stringify(results));
  },

  /** Saves over revision 1, once. */
  async edit() {
    const archive = await openArchive({ file });
    wait();
    say((await archive.saveSetup({ ...truck, name: 'Salt', baseRev: 1 })).kind);
    await archive.close();
  },

  /** Writes until it is killed, and says the number of each write once it has been acknowledged. */
  async write() {
    let number = Number(wait());
    const archive = await openArchive({ file });
    for (; ; number += 1) {
      await archive.once(`write-${number}`, CLUB, async (records) => {
        const answer = corners(ADA, 'Sandhopper');
        await records.remember({ ...answer, readings: [...answer.readings, grams('number', number)] });
        if (number % 3 === 0) await records.saveSetup({ ...truck, name: 'Salt', notes: `number ${number}` });
        return number;
      });
      say(String(number));
    }
  },

  /** Opens the archive, and makes it when there is none. */
  async open() {
    wait();
    const archive = await openArchive({ file, create: true });
    await archive.once(`opened by ${process.pid}`, CLUB, () => null);
    await archive.close();
    say('opened');
  },
};
await jobs[job]?.();
