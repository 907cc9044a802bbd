import { readdirSync } from 'node:fs';
import { dirname } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { openArchive, type Place } from '../../../worksheets/archive/archive.ts';
import { bundleChild, type Child, startChild } from './children.ts';
import { ADA, CLUB, corners } from './example.ts';
import { onEach } from './places.ts';

const truck = { club: CLUB, member: ADA.member, truck: 'Sandhopper' };
const textOf = (place: Place): string => ('file' in place ? place.file : place.url);

let bundle: Awaited<ReturnType<typeof bundleChild>>;
beforeAll(async () => {
  bundle = await bundleChild();
}, 60_000);
afterAll(() => bundle.remove());

async function withSetup(place: Place): Promise<void> {
  const archive = await openArchive({ ...place, create: true });
  await archive.remember(corners(ADA, 'Sandhopper'));
  await archive.saveSetup({ ...truck, name: 'Salt' });
  await archive.close();
}

onEach(({ name, make }) => {
  describe(`four processes on ${name}`, () => {
    let four: Child[];
    let place: Place;
    beforeAll(async () => {
      four = Array.from({ length: 4 }, () => startChild(bundle.file));
      await Promise.all(four.map((child) => child.until(1)));
    }, 60_000);
    afterAll(() => Promise.all(four.map((child) => child.kill())));
    beforeEach(async () => {
      place = await make();
    });

    /** Gives each its job at one moment, and what each of them answered. */
    const together = async (job: (index: number) => string): Promise<string[]> => {
      const before = four[0]!.said.length;
      for (const [index, child] of four.entries()) child.ask(job(index));
      await Promise.all(four.map((child) => child.until(before + 1)));
      return four.map((child) => child.said.at(-1)!);
    };

    it('may all be the first: one makes the archive, all of them use it', async () => {
      expect(await together(() => `open ${textOf(place)}`)).toEqual(Array(4).fill('opened'));
      if ('file' in place) expect(readdirSync(dirname(place.file))).toEqual(['club.sqlite']);
      const archive = await openArchive(place);
      expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      await archive.close();
    }, 60_000);

    it('let one of four editors of the same revision win, and tell the other three', async () => {
      await withSetup(place);
      expect((await together(() => `edit ${textOf(place)}`)).sort()).toEqual(['conflict', 'conflict', 'conflict', 'saved']);
    }, 60_000);

    it('do sixty interactions that all four of them send once each, and agree on every result', async () => {
      await withSetup(place);
      // Steps without a common factor with 60: each goes through all of them in an order of its own.
      const said = await together((index) => `once ${textOf(place)} 60 ${[1, 7, 13, 59][index]}`);
      const results = said.map((line) => JSON.parse(line) as { [id: string]: { by: number; rev: number } });
      expect(Object.keys(results[0]!)).toHaveLength(60);
      for (const other of results.slice(1)) expect(other).toEqual(results[0]);
      const revs = Object.values(results[0]!).map(({ rev }) => rev);
      expect(revs.sort((a, b) => a - b)).toEqual(Array.from({ length: 60 }, (_, index) => index + 2));
      expect(new Set(Object.values(results[0]!).map(({ by }) => by)).size).toBeGreaterThan(1);

      const archive = await openArchive(place);
      expect(await archive.showSetup({ club: CLUB, id: 1 })).toMatchObject({ newest: 61 });
      expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true, revisions: 61 });
      await archive.close();
    }, 60_000);
  });

  describe(`a process that is killed while it writes to ${name}`, () => {
    const ROUNDS = 50;
    const waiting: Child[] = [];
    afterAll(() => Promise.all(waiting.map((child) => child.kill())));

    it('loses nothing that was acknowledged and leaves nothing half, fifty times over', async () => {
      const place = await make();
      await withSetup(place);
      let number = 1;
      let acknowledgedInAll = 0;
      for (let round = 0; round < ROUNDS; round += 1) {
        // A process takes longer to start than to be killed: some are always on their way.
        while (waiting.length < Math.min(3, ROUNDS - round)) waiting.push(startChild(bundle.file));
        const child = waiting[0]!;
        await child.until(1);
        child.ask(`write ${textOf(place)} ${number}`);
        // While it opens the archive, or some milliseconds after one of its first writes; a fixed row, so that a failure comes again.
        await child.until(1 + (round % 7));
        await new Promise((resolve) => setTimeout(resolve, (round * 5) % 23));
        await child.kill();
        waiting.shift();
        expect(child.errors).toEqual([]);
        const acknowledged = child.said.slice(1).map(Number);
        expect(acknowledged).toEqual(Array.from({ length: acknowledged.length }, (_, index) => number + index));
        number += acknowledged.length;
        acknowledgedInAll += acknowledged.length;

        const archive = await openArchive(place);
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
    }, 120_000);
  });
});
