/** The log over a long time: what a page of it costs. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { KyselyPlugin } from 'kysely';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Engine } from '../../../worksheets/archive/engine.ts';
import { openSqlite } from '../../../worksheets/archive/sqlite/open.ts';
import { storesOver } from '../../../worksheets/archive/stores.ts';
import { ADA, BEN, CLUB, corners, grams } from './example.ts';

describe('a page of the log', () => {
  const folder = mkdtempSync(join(tmpdir(), 'log-'));
  let engine: Engine;
  let now = Date.UTC(2026, 5, 14, 9, 0);
  const clock = (): number => now++;

  beforeAll(async () => {
    engine = await openSqlite({ file: join(folder, 'club.sqlite'), create: true, clock });
    await engine.db.transaction().execute(async (db) => {
      const { setups, trucks, things, runs } = storesOver(db, engine.fullText, clock);
      const run = { minutes: 5, temperatures: {}, laps: [], changes: [], felt: '' };
      for (let day = 0; day < 12; day += 1)
        for (const who of [ADA, BEN])
          for (const truck of ['Sandhopper', 'Mudlark']) {
            const of = { ...who, truck };
            await setups.remember(corners(who, truck, day));
            await trucks.keepFacts(of);
            await trucks.setFacts({ ...of, how: 'measured', readings: [grams('wheelbase', 330 + day)] });
            await trucks.putPart({ ...of, part: { name: `Part ${day}`, typed: '30 g', mass: 0.03 }, must: 'be new' });
            await things.putThing({ ...who, thing: { kind: 'scale', name: `${truck} ${day}`, note: who.memberName } });
            await runs.addRun({ ...of, typed: `run of day ${day}`, run, track: null });
            await setups.saveSetup({ ...of, name: 'Evening' });
          }
    });
  });
  afterAll(async () => {
    await engine.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** How often the database is asked for a page of so many rows. */
  async function asked(limit: number): Promise<number> {
    let count = 0;
    const counting: KyselyPlugin = {
      transformQuery: ({ node }) => {
        count += 1;
        return node;
      },
      transformResult: async ({ result }) => result,
    };
    const { clubs } = storesOver(engine.db.withPlugin(counting), engine.fullText, clock);
    const page = await clubs.clubLog({ club: CLUB, member: 'keeper', appointed: true, limit });
    expect(page).toMatchObject({ kind: 'log', more: true });
    expect(page.kind === 'log' && page.rows.length).toBe(limit);
    return count;
  }

  it('takes as few questions for fifty rows as for fifteen', async () => {
    const few = await asked(15);
    expect(await asked(50)).toBe(few);
    expect(few).toBeLessThanOrEqual(15);
  });
});
