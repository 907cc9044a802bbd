import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Archive, SavedSetup, ShownSetup } from '../../../worksheets/archive/archive.ts';
import { pictureHash } from '../../../worksheets/archive/pictures.ts';
import type { Problems } from '../../../worksheets/engine/types.ts';
import { smallWebp } from '../../support/pictures.ts';
import type { Place } from './conformance.ts';
import { ADA, BEN, CLUB, corners } from './example.ts';

/** What every archive has to do for the pictures of setups. */
export function pictureConformance(name: string, makePlace: () => Promise<Place>): void {
  describe(`pictures of setups on ${name}`, () => {
    let place: Place;
    let archive: Archive;
    let now: number;
    let one: Buffer;
    let two: Buffer;
    let more: Buffer[];
    const sandhopper = { club: CLUB, member: ADA.member, truck: 'Sandhopper' };
    const ada = { club: CLUB, member: ADA.member };

    beforeAll(async () => {
      [one, two, ...more] = (await Promise.all([1, 2, 3, 4, 5].map(smallWebp))) as [Buffer, Buffer, ...Buffer[]];
    });
    beforeEach(async () => {
      now = Date.UTC(2026, 5, 14, 9, 0);
      place = await makePlace();
      archive = await place.open(() => now++);
      await archive.remember(corners(ADA, 'Sandhopper'));
      await archive.remember(corners(BEN, 'Mudlark', 20));
    });
    afterEach(async () => {
      await archive.close();
      await place.end();
    });

    const saved = (result: { kind: string }): SavedSetup => {
      expect(result).toMatchObject({ kind: 'saved' });
      return result as SavedSetup;
    };
    const texts = (result: { kind: string }): string[] => {
      expect(result.kind).toBe('problems');
      return (result as Problems).problems.map(({ text }) => text);
    };
    const save = async (setup: string, more: object = {}): Promise<SavedSetup> =>
      saved(await archive.saveSetup({ ...sandhopper, name: setup, ...more }));
    const add = async (id: number, picture: Uint8Array): Promise<SavedSetup> => saved(await archive.addPicture({ ...ada, id, picture }));
    /** The hashes of what a revision shows. */
    const seen = async (id: number, rev?: number, member: string = ADA.member): Promise<string[]> => {
      const found = await archive.pictures({ club: CLUB, member, id, ...(rev === undefined ? {} : { rev }) });
      return found.kind === 'pictures' ? found.pictures.map(pictureHash) : expect.fail(texts(found)[0]!);
    };
    const hashes = (...pictures: Uint8Array[]): string[] => pictures.map(pictureHash);
    const sound = async (): Promise<void> => expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
    /** Of everybody's setups; a member's export shows each of theirs. */
    const kept = async (): Promise<string[]> => {
      const mine = await archive.exportMine(ada);
      return 'pictures' in mine ? Object.keys(mine.pictures).sort() : [];
    };

    it('one more makes a revision, and an earlier one shows its own; what is saved later has them too', async () => {
      const { id } = await save('Evening', { notes: 'calm' });
      expect(await add(id, one)).toMatchObject({ rev: 2, notes: 'calm' });
      await add(id, two);
      expect(await seen(id)).toEqual(hashes(one, two));
      expect(await seen(id, 2)).toEqual(hashes(one));
      expect(await seen(id, 1)).toEqual([]);
      now += 24 * 3_600_000;
      expect(await save('Evening')).toMatchObject({ id, rev: 4 });
      expect(await seen(id)).toEqual(hashes(one, two));
      saved(await archive.takePicture({ ...ada, id, number: 1 }));
      expect(await seen(id)).toEqual(hashes(two));
      expect(await seen(id, 4)).toEqual(hashes(one, two));
      saved(await archive.restoreSetup({ ...ada, id, rev: 3 }));
      expect(await seen(id)).toEqual(hashes(one, two));
      await sound();
    });

    it('are four at the most, each once, and its owner’s to add and to take away', async () => {
      const { id } = await save('Evening');
      await add(id, one);
      expect(texts(await archive.addPicture({ ...ada, id, picture: one }))).toEqual(['"Evening" has this picture already. Give another.']);
      for (const picture of [two, more[0]!, more[1]!]) await add(id, picture);
      expect(texts(await archive.addPicture({ ...ada, id, picture: more[2]! }))[0]).toContain('has 4 pictures, and that is the most');
      const ben = { club: CLUB, member: BEN.member };
      expect(texts(await archive.addPicture({ ...ben, id, picture: more[2]! }))[0]).toContain("Ada's");
      expect(texts(await archive.takePicture({ ...ben, id, number: 1 }))[0]).toContain("Ada's");
      for (const number of [0, 5, 1.5, Number.NaN])
        expect(texts(await archive.takePicture({ ...ada, id, number }))[0]).toContain('has no picture');
      await expect(archive.addPicture({ ...ada, id: (await save('Other')).id, picture: Buffer.from('no picture') })).rejects.toThrow(
        TypeError,
      );
      await sound();
    });

    it('of a private setup are its owner’s; a code shows those of its revision', async () => {
      const { id } = await save('Evening', { private: true });
      await add(id, one);
      expect(texts(await archive.pictures({ club: CLUB, member: BEN.member, id }))[0]).toContain('There is no setup');
      expect(await seen(id)).toEqual(hashes(one));
      await archive.setPrivate({ ...ada, id, private: false });
      expect(await seen(id, undefined, BEN.member)).toEqual(hashes(one));
      const { code } = (await archive.shareSetup({ ...ada, id, named: false })) as { code: string };
      await add(id, two);
      const shared = await archive.pictures({ code });
      expect(shared).toMatchObject({ kind: 'pictures', setup: { id: 0, member: { id: '', name: '' } } });
      expect('pictures' in shared && shared.pictures.map(pictureHash)).toEqual(hashes(one));
      await archive.endSharing({ ...ada, id });
      expect(texts(await archive.pictures({ code }))[0]).toContain('nothing');
    });

    it('are kept once, and go with the last setup that shows them', async () => {
      const first = await save('Evening');
      const second = await save('Morning');
      await add(first.id, one);
      await add(first.id, two);
      await add(second.id, one);
      expect(await kept()).toEqual(hashes(one, two).sort());
      await archive.removeSetup({ ...ada, id: first.id });
      expect(await kept()).toEqual(hashes(one));
      await expect(
        place.raw(`insert into picture (club_id, hash, bytes, at) select club_id, hash, bytes, at from picture`),
      ).rejects.toThrow();
      expect(await seen(second.id)).toEqual(hashes(one));
      await sound();
      await archive.removeSetup({ ...ada, id: second.id });
      expect(await kept()).toEqual([]);
      // Nothing is left over that nobody could see any more.
      await sound();
      expect(await add((await save('Evening')).id, one)).toMatchObject({ rev: 2 });
      await sound();
    });

    it('go along with everything of mine, and away with it: those of open setups stay', async () => {
      const open = await save('Evening');
      const secret = await save('Secret', { private: true });
      await add(open.id, one);
      await add(secret.id, two);
      const mine = await archive.exportMine(ada);
      expect('pictures' in mine && Buffer.from(mine.pictures[pictureHash(two)]!, 'base64').equals(two)).toBe(true);
      await archive.deleteMine(ada);
      await sound();
      expect(await seen(open.id, undefined, BEN.member)).toEqual(hashes(one));
      // A trigger would refuse it for each row that is there.
      await expect(place.raw(`update picture set hash = 'x' where hash = '${pictureHash(two)}'`)).resolves.toBeUndefined();
    });

    it('come in with a setup from a file', async () => {
      const { doc } = (await archive.showSetup({ ...ada, id: (await save('Evening')).id })) as ShownSetup;
      const what = {
        ...ADA,
        truck: 'Mudlark',
        name: 'From afar',
        notes: '',
        tags: [],
        conditions: {},
        facts: doc.facts,
        sheets: doc.sheets,
      };
      const { id } = saved(await archive.importSetup({ ...what, pictures: [two, one] }));
      expect(await seen(id)).toEqual(hashes(two, one));
      await sound();
    });

    it('that were changed or taken away past the archive are noticed', async () => {
      const { id } = await save('Evening');
      await add(id, one);
      await add(id, two);
      const fault = async (text: string): Promise<void> => expect(await archive.verify({ club: CLUB })).toEqual({ ok: false, text });
      await expect(place.raw(`update picture set at = 0`)).rejects.toThrow(/never changed/);
      await expect(place.raw(`delete from revision_picture`)).rejects.toThrow(/never removed/);
      await expect(place.raw(`delete from picture`)).rejects.toThrow();
      await place.withoutTrigger('revision_picture_stays', 'revision_picture');
      await place.raw(`update revision_picture set hash = '${pictureHash(two)}' where rev = 2`);
      await fault('Revision 2 of setup 1 does not show the pictures that it was saved with.');
      await place.raw(`update revision_picture set hash = '${pictureHash(one)}' where rev = 2`);
      await sound();
      await place.withoutTrigger('picture_stays', 'picture');
      await place.raw(`update picture set bytes = (select bytes from picture where hash = '${pictureHash(two)}')`);
      await fault(`Picture ${pictureHash(one).slice(0, 12)} is not the one that was kept.`);
    });
  });
}
