import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Archive, RunLine, SavedSetup, ShownSetup } from '../../../worksheets/archive/archive.ts';
import { smallWebp } from '../../support/pictures.ts';
import type { Place } from './conformance.ts';
import { ADA, BEN, CLUB, corners, ride } from './example.ts';

const HOUR = 3_600_000;

/** What every archive has to do for the runs of a setup. */
export function setupRunConformance(name: string, makePlace: () => Promise<Place>): void {
  describe(`runs of setups on ${name}`, () => {
    let place: Place;
    let archive: Archive;
    let now: number;
    const sandhopper = { ...ADA, truck: 'Sandhopper' };

    beforeEach(async () => {
      now = Date.UTC(2026, 5, 14, 9, 0);
      place = await makePlace();
      archive = await place.open(() => (now += 1000));
      await archive.remember(corners(ADA, 'Sandhopper'));
    });
    afterEach(async () => {
      await archive.close();
      await place.end();
    });

    const run = async (felt: string, more: Partial<RunLine> = {}): Promise<void> => {
      const line = { minutes: 5, temperatures: { motor: 345.15 }, laps: [24.1, 23.9], changes: [], felt, ...more };
      expect(await archive.addRun({ ...sandhopper, typed: `5 min, ${felt}`, run: line, track: 'Salt loop' })).toMatchObject({
        kind: 'run',
      });
    };
    const save = async (setup = 'Evening'): Promise<SavedSetup> => {
      const saved = await archive.saveSetup({ ...sandhopper, name: setup });
      expect(saved).toMatchObject({ kind: 'saved' });
      return saved as SavedSetup;
    };
    const show = async (id: number, rev?: number): Promise<ShownSetup> => {
      const found = await archive.showSetup({ club: CLUB, member: ADA.member, id, ...(rev === undefined ? {} : { rev }) });
      return found.kind === 'setup' ? found : expect.fail(found.problems[0]!.text);
    };
    const felt = (runs: readonly RunLine[] = []): string[] => runs.map((one) => one.felt);
    const sound = async (): Promise<void> => expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });

    it('that ran like this are kept with it, as they were typed and without a name; those run otherwise are not', async () => {
      await run('calm');
      await archive.remember(corners(ADA, 'Sandhopper', 20));
      await run('bucked');
      await archive.remember(corners(ADA, 'Sandhopper'));
      await run('calm again');
      const { doc, runs } = await show((await save()).id);
      expect(felt(doc.runs)).toEqual(['calm', 'calm again']);
      expect(runs).toEqual(doc.runs);
      expect(doc.runs![0]).toEqual({
        typed: '5 min, calm',
        minutes: 5,
        temperatures: { motor: 345.15 },
        laps: [24.1, 23.9],
        changes: [],
        felt: 'calm',
        track: 'Salt loop',
        at: doc.runs![0]!.at,
      });
      expect(JSON.stringify(doc)).not.toMatch(/Ada|1180000000000000001/);
      await sound();
    });

    it('since then are shown, and come into the next revision; one that was saved is never changed', async () => {
      const { id } = await save();
      await run('later');
      expect((await show(id)).doc.runs).toBeUndefined();
      expect(felt((await show(id)).runs)).toEqual(['later']);
      await archive.addPicture({ club: CLUB, member: ADA.member, id, picture: await smallWebp(1) });
      expect(felt((await show(id)).doc.runs)).toEqual(['later']);
      expect((await show(id, 1)).doc.runs).toBeUndefined();
      await archive.restoreSetup({ club: CLUB, member: ADA.member, id, rev: 1 });
      expect(felt((await show(id)).doc.runs)).toEqual(['later']);
      expect(felt((await show(id)).runs)).toEqual(['later']);
      await sound();
    });

    it('are not guessed: nothing may have been otherwise, and more than half of the setup has to have been known', async () => {
      await run('four of five known');
      await archive.remember(ride(ADA, 'Sandhopper', 'front', 612));
      const { id } = await save();
      expect((await show(id)).doc.facts.length).toBe(5);
      expect(felt((await show(id)).doc.runs)).toEqual(['four of five known']);
      expect(await archive.keepFacts({ ...sandhopper, facts: ['front_left', 'front_right'] })).toMatchObject({ kind: 'kept' });
      // What was only told to a sheet counts for half a day.
      now += 13 * HOUR;
      await run('two of five known');
      expect(felt((await show(id)).runs)).toEqual(['four of five known']);
      await archive.remember(corners(ADA, 'Sandhopper'));
      await run('four again');
      expect(felt((await show(id)).runs)).toEqual(['four of five known', 'four again']);
      await sound();
    });

    it('are those of this truck alone, and of a code those that it was saved with', async () => {
      await run('calm');
      const { id } = await save();
      await archive.remember(corners(BEN, 'Mudlark'));
      const line = { minutes: 1, temperatures: {}, laps: [], changes: [], felt: 'not his' };
      await archive.addRun({ ...BEN, truck: 'Mudlark', typed: '1 min, not his', run: line, track: null });
      await run('later');
      expect(felt((await show(id)).runs)).toEqual(['calm', 'later']);
      const { code } = (await archive.shareSetup({ club: CLUB, member: ADA.member, id, named: false })) as { code: string };
      expect(felt(((await archive.setupByCode(code)) as ShownSetup).runs)).toEqual(['calm']);
    });

    it('are the newest twenty', async () => {
      for (let i = 0; i < 23; i += 1) await run(`run ${i}`);
      const { id } = await save();
      await run('one more');
      expect(felt((await show(id)).doc.runs)).toEqual(Array.from({ length: 20 }, (_, i) => `run ${i + 3}`));
      expect(felt((await show(id)).runs)).toEqual([...Array.from({ length: 19 }, (_, i) => `run ${i + 4}`), 'one more']);
    });

    it('come in with a file, and stay when the member goes, without a name', async () => {
      await run('calm');
      const { doc } = await show((await save()).id);
      const what = {
        ...BEN,
        truck: 'Mudlark',
        name: 'From afar',
        notes: '',
        tags: [],
        conditions: {},
        facts: doc.facts,
        sheets: doc.sheets,
      };
      const saved = await archive.importSetup({ ...what, runs: doc.runs! });
      expect(felt((await show((saved as SavedSetup).id)).doc.runs)).toEqual(['calm']);
      await archive.deleteMine({ club: CLUB, member: ADA.member });
      expect(felt((await show(1)).runs)).toEqual(['calm']);
      await sound();
    });
  });
}
