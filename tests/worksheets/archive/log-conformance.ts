import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Archive, LogRow, SavedSetup, Told } from '../../../worksheets/archive/archive.ts';
import type { GivenReading } from '../../../worksheets/archive/types.ts';
import type { Place } from './conformance.ts';
import { ADA, BEN, CLUB, corners, grams } from './example.ts';

/** What every archive has to tell in its log: the words are kept elsewhere, and found again by the hashes in the log. */
export function logConformance(name: string, makePlace: () => Promise<Place>): void {
  describe(`the club's log on ${name}`, () => {
    let place: Place;
    let archive: Archive;
    const sandhopper = { ...ADA, truck: 'Sandhopper' };
    // The clock stands still: what was done at one instant has to be told apart all the same.
    const now = Date.UTC(2026, 5, 14, 9, 0);

    beforeEach(async () => {
      place = await makePlace();
      archive = await place.open(() => now);
      await archive.remember(corners(ADA, 'Sandhopper'));
      await archive.remember(corners(BEN, 'Mudlark'));
    });
    afterEach(async () => {
      await archive.close();
      await place.end();
    });

    const log = async (limit = 50): Promise<readonly LogRow[]> => {
      const page = await archive.clubLog({ club: CLUB, member: 'keeper', appointed: true, limit });
      return page.kind === 'log' ? page.rows : expect.fail(page.problems[0]!.text);
    };
    /** What the newest rows of an act tell, newest first. */
    const told = async (act: string): Promise<Told[]> => (await log()).filter((row) => row.act === act).map((row) => row.told);
    const spring = (text: string, said?: string): GivenReading => ({
      ...grams('spring_rate', 1, 'front_spring_rate'),
      typed: text,
      unit: 'N/mm',
      ...(said ? { said } : {}),
    });
    const set = (...readings: GivenReading[]) => archive.setFacts({ ...sandhopper, how: 'stated', readings });

    it('names the truck and what was and is of each reading', async () => {
      await set(spring('0.38', 'white 0.38'));
      await set(spring('0.55', 'red 0.55'), grams('wheelbase', 330));
      await archive.forgetFact({ ...sandhopper, fact: 'wheelbase' });
      expect(await told('facts set')).toEqual([
        {
          truck: 'Sandhopper',
          changes: [
            {
              name: 'front_spring_rate',
              was: { text: 'white 0.38', unit: 'N/mm', how: 'stated' },
              is: { text: 'red 0.55', unit: 'N/mm', how: 'stated' },
            },
            { name: 'wheelbase', was: null, is: { text: '330 g', unit: 'g', how: 'stated' } },
          ],
        },
        {
          truck: 'Sandhopper',
          changes: [{ name: 'front_spring_rate', was: null, is: { text: 'white 0.38', unit: 'N/mm', how: 'stated' } }],
        },
      ]);
      expect(await told('fact forgotten')).toMatchObject([
        { truck: 'Sandhopper', changes: [{ name: 'wheelbase', was: { text: '330 g' }, is: null }] },
      ]);
      // What was forgotten is nothing that the next one was.
      await set(grams('wheelbase', 331));
      expect((await told('facts set'))[0]).toMatchObject({ changes: [{ name: 'wheelbase', was: null }] });
    });

    it('tells what was kept of the readings just given, and of one that is kept twice at the same instant', async () => {
      await archive.keepFacts({ ...sandhopper, facts: ['front_left'] });
      await archive.remember(corners(ADA, 'Sandhopper', 8));
      await archive.keepFacts(sandhopper);
      const [second, first] = await told('facts kept');
      expect(first).toMatchObject({ changes: [{ name: 'front_left', was: null, is: { text: '612 g' } }] });
      expect(second!.changes?.map((change) => change.name)).toEqual(['front_left', 'front_right', 'rear_left', 'rear_right']);
      expect(second).toMatchObject({ changes: [{ was: { text: '612 g' }, is: { text: '620 g' } }, { was: null }, {}, {}] });
      expect(await told('answer')).toEqual([{ truck: 'Sandhopper' }, { truck: 'Mudlark' }, { truck: 'Sandhopper' }]);
    });

    it('tells a part that came, changed and went', async () => {
      const part = (mass: number, typed: string) => ({ name: 'Battery', typed, mass });
      await archive.putPart({ ...sandhopper, part: part(0.3, '300 g'), must: 'be new' });
      await archive.putPart({ ...sandhopper, part: part(0.32, '320 g'), must: 'be there' });
      await archive.removePart({ ...sandhopper, name: 'battery' });
      await archive.putPart({ ...sandhopper, part: part(0.31, '310 g'), must: 'be new' });
      expect(await told('part')).toMatchObject([
        { truck: 'Sandhopper', part: { is: { name: 'Battery', mass: 0.31 }, was: null } },
        { truck: 'Sandhopper', part: { is: { mass: 0.32 }, was: { mass: 0.3 } } },
        { truck: 'Sandhopper', part: { is: { mass: 0.3 }, was: null } },
      ]);
      expect(await told('part removed')).toMatchObject([{ part: { is: { name: 'Battery', mass: 0.32 } } }]);
    });

    it('tells of a thing what it measures, a scale that was checked again, and who has what', async () => {
      const scale = (gain: number) => ({ kind: 'scale', name: '2', scale: { known: 0.5, reads: 0.5 * gain, gain, step: 0.001 } }) as const;
      await archive.putThing({ ...ADA, thing: scale(1.004) });
      await archive.putThing({ ...ADA, thing: scale(1.002) });
      await archive.putThing({ ...ADA, thing: { kind: 'spring', name: 'Blue', typed: '0.45 N/mm', value: 450 } });
      await archive.lendThing({ ...ADA, name: 'Blue', to: 'ben' });
      await archive.lendThing({ ...BEN, name: 'Blue', to: null });
      await archive.removeThing({ ...ADA, kinds: ['spring'], name: 'Blue' });
      expect(await told('thing')).toMatchObject([
        { thing: { is: { kind: 'spring', lentTo: null }, was: { lentTo: 'Ben' } } },
        { thing: { is: { name: 'Blue', lentTo: 'Ben' }, was: { lentTo: null } } },
        { thing: { is: { name: 'Blue', typed: '0.45 N/mm' }, was: null } },
        { thing: { is: { kind: 'scale', gain: 1.002 }, was: { gain: 1.004 } } },
        { thing: { is: { kind: 'scale', gain: 1.004 }, was: null } },
      ]);
      expect(await told('thing removed')).toMatchObject([{ thing: { is: { name: 'Blue' } } }]);
    });

    it('tells a run as it was typed, a truck that goes from hand to hand, and who was named', async () => {
      const run = { minutes: 5, temperatures: {}, laps: [], changes: [], felt: '' };
      await archive.addRun({ ...sandhopper, typed: '5 min, bucked', run, track: null });
      await archive.addRun({ ...sandhopper, typed: '4 min', run, track: null });
      await archive.removeRun({ ...sandhopper, number: 2 });
      expect(await told('run')).toEqual([
        { truck: 'Sandhopper', run: null },
        { truck: 'Sandhopper', run: '5 min, bucked' },
      ]);
      await archive.nameOfficer({ club: CLUB, member: 'keeper', appointed: true, name: 'Ben', officer: true });
      expect(await told('officer named')).toEqual([{ whom: 'Ben' }]);
      await archive.offerTruck({ ...sandhopper, to: 'Ben' });
      await archive.takeTruck({ ...BEN, truck: 'Sandhopper', as: 'Dune Ferry' });
      expect(await told('truck offered')).toEqual([{ truck: 'Dune Ferry', whom: 'Ben' }]);
      expect(await told('truck taken')).toEqual([{ truck: 'Dune Ferry', whom: 'Ada' }]);
    });

    it('names a setup and what its new revision changed, unless it is private or gone', async () => {
      const save = async (called: string, hidden = false): Promise<SavedSetup> =>
        (await archive.saveSetup({ ...sandhopper, name: called, private: hidden })) as SavedSetup;
      const { id } = await save('Hard pan');
      await archive.remember(corners(ADA, 'Sandhopper', 8));
      await save('Hard pan');
      const open = { name: 'Hard pan', private: false };
      expect(await told('setup')).toMatchObject([
        { setup: open, changes: [{ name: 'front_left', was: { text: '612 g' }, is: { text: '620 g' } }, {}, {}, {}] },
        { setup: open },
      ]);
      expect((await told('setup'))[1]).not.toHaveProperty('changes');
      await archive.setPrivate({ club: CLUB, id, member: ADA.member, private: true });
      expect(await told('setup')).toEqual([
        { setup: { name: null, private: true }, changes: [] },
        { setup: { name: null, private: true } },
      ]);
      expect(JSON.stringify(await log())).not.toContain('Hard pan');
      await archive.removeSetup({ club: CLUB, id, member: ADA.member });
      expect((await told('setup'))[0]).toEqual({ setup: { name: null, private: false }, changes: [] });
    });

    it('says of a member who has left that the words are gone, and goes on telling of the others', async () => {
      await set(spring('0.38', 'white 0.38'));
      await archive.putPart({ ...sandhopper, part: { name: 'Battery', typed: '300 g', mass: 0.3 }, must: 'be new' });
      await archive.putThing({ ...ADA, thing: { kind: 'spring', name: 'Blue', typed: '0.45 N/mm', value: 450 } });
      await archive.setFacts({ ...BEN, truck: 'Mudlark', how: 'stated', readings: [spring('0.3')] });
      await archive.deleteMine(ADA);
      const rows = await log();
      expect(await told('facts set')).toMatchObject([
        { truck: 'Mudlark', changes: [{ is: { text: '0.3' } }] },
        { truck: null, changes: null },
      ]);
      expect(await told('part')).toEqual([{ truck: null, part: null }]);
      expect(await told('thing')).toEqual([{ thing: null }]);
      expect(await told('member left')).toEqual([{}]);
      expect(JSON.stringify(rows)).not.toMatch(/Sandhopper|white|Battery|Blue/);
    });

    it('has the words of a page whatever came before and after it', async () => {
      for (const text of ['0.3', '0.4', '0.5']) await set(spring(text));
      const rows = await log(1);
      expect(rows).toMatchObject([{ told: { changes: [{ was: { text: '0.4' }, is: { text: '0.5' } }] } }]);
      const page = await archive.clubLog({ club: CLUB, member: 'keeper', appointed: true, limit: 1, before: rows[0]!.change });
      expect(page).toMatchObject({ rows: [{ told: { changes: [{ was: { text: '0.3' }, is: { text: '0.4' } }] } }] });
    });
  });
}
