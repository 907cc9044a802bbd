/** One process of several, or one to be killed. Each line it reads is a job on an archive: `once PLACE 60 7`; it answers with one line. */
import { writeSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { type Archive, openArchive, type Place } from '../../../worksheets/archive/archive.ts';
import { backup } from '../../../worksheets/archive/keep.ts';
import { ADA, CLUB, corners, grams } from './example.ts';

const say = (line: string): void => void writeSync(1, `${line}\n`);
const truck = { club: CLUB, member: ADA.member, truck: 'Sandhopper' };

/** `place` is a file or the address of a database. */
const placeOf = (text: string): Place => (text.startsWith('postgres:') ? { url: text } : { file: text });
const open = (place: string, create = false): Promise<Archive> => openArchive({ ...placeOf(place), create });

const jobs: { readonly [job: string]: (place: string, ...rest: readonly string[]) => Promise<string> } = {
  /** Opens the archive, and makes it when there is none. */
  async open(place) {
    const archive = await open(place, true);
    await archive.once(`opened by ${process.pid}`, CLUB, () => null);
    await archive.close();
    return 'opened';
  },

  /** The same interactions as everybody else, in an order of its own; each makes one revision. */
  async once(place, count, step) {
    const archive = await open(place);
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
    return JSON.stringify(results);
  },

  /** Saves over revision 1. */
  async edit(place) {
    const archive = await open(place);
    const { kind } = await archive.saveSetup({ ...truck, name: 'Salt', baseRev: 1 });
    await archive.close();
    return kind;
  },

  /** Writes until it is killed, and says the number of each write once it has been acknowledged. */
  async write(place, from, pause) {
    const archive = await open(place);
    for (let number = Number(from); ; number += 1) {
      await archive.once(`write-${number}`, CLUB, async (records) => {
        const answer = corners(ADA, 'Sandhopper');
        await records.remember({ ...answer, readings: [...answer.readings, grams('number', number)] });
        if (number % 3 === 0) await records.saveSetup({ ...truck, name: 'Salt', notes: `number ${number}` });
        return number;
      });
      say(String(number));
      // SQLite gives the lock to whoever is awake: without a pause one of several could wait for too long.
      if (pause) await new Promise((resolve) => setTimeout(resolve, Number(pause)));
    }
  },

  /** Makes one copy after the other until it is killed. */
  async backups(place, folder) {
    for (let number = 0; ; number += 1) {
      await backup(placeOf(place), `${folder}/copy-${number}.sqlite`);
      say(String(number));
    }
  },
};

say('ready');
for await (const line of createInterface(process.stdin)) {
  const [job = '', place = '', ...rest] = line.split(' ');
  say(await jobs[job]!(place, ...rest));
}
