/** Pictures on their way: to another engine and back, into a backup and out of it; and a check that looks at each. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openArchive, type Place } from '../../../worksheets/archive/archive.ts';
import { backup, check, move, restore } from '../../../worksheets/archive/keep.ts';
import { pictureHash } from '../../../worksheets/archive/pictures.ts';
import { smallWebp } from '../../support/pictures.ts';
import { ADA, CLUB, corners } from './example.ts';
import { onPostgres, sqliteKind } from './places.ts';

const folder = mkdtempSync(join(tmpdir(), 'pictures-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const picture = await smallWebp(1);
const evening = { club: CLUB, member: ADA.member, id: 1 };

async function furnish(place: Place): Promise<void> {
  const archive = await openArchive({ ...place, create: true });
  await archive.remember(corners(ADA, 'Sandhopper'));
  await archive.saveSetup({ club: CLUB, member: ADA.member, truck: 'Sandhopper', name: 'Evening' });
  await archive.addPicture({ ...evening, picture });
  await archive.close();
}
async function shown(place: Place): Promise<string[]> {
  const archive = await openArchive(place);
  try {
    const found = await archive.pictures(evening);
    return found.kind === 'pictures' ? found.pictures.map(pictureHash) : [];
  } finally {
    await archive.close();
  }
}

describe('a picture', () => {
  it('goes into a backup and comes back from it', async () => {
    const place = await sqliteKind.make();
    await furnish(place);
    await backup(place, join(folder, 'copy.sqlite'));
    const to = { file: join(folder, 'restored.sqlite') };
    expect((await restore(join(folder, 'copy.sqlite'), to, Date.now)).checked.faults).toEqual([]);
    expect(await shown(to)).toEqual([pictureHash(picture)]);
  });

  it('that was changed in the file is found by the check', async () => {
    const place = await sqliteKind.make();
    await furnish(place);
    expect((await check(place)).faults).toEqual([]);
    await sqliteKind.raw(place, 'drop trigger picture_stays', "update picture set bytes = x'52494646'");
    expect((await check(place)).faults).toEqual([
      `Club "${CLUB}": Picture ${pictureHash(picture).slice(0, 12)} is not the one that was kept.`,
    ]);
  });

  onPostgres((server) => {
    it('goes over to PostgreSQL and back, and both hold the same', async () => {
      const [file, back] = [await sqliteKind.make(), await sqliteKind.make()];
      await furnish(file);
      const url = await server.room();
      const held = await move(file, { url });
      expect(held.find(({ table }) => table === 'picture')).toMatchObject({ rows: 1 });
      expect(await shown({ url })).toEqual([pictureHash(picture)]);
      expect((await check({ url })).faults).toEqual([]);
      expect(await move({ url }, back)).toEqual(held);
      expect(await shown(back)).toEqual([pictureHash(picture)]);
    });
  });
});
