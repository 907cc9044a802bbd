import { AsyncLocalStorage } from 'node:async_hooks';
import { canonical } from './canonical.ts';
import { type Engine, snapshot } from './engine.ts';
import { ArchiveError } from './errors.ts';
import { checkId } from './names.ts';
import { type OpenEngine, openEngine } from './open.ts';
import { type Stores, storesOver } from './stores.ts';
import type { Archive, Once, Records } from './types.ts';
import { verifyClub } from './verify.ts';

export { ArchiveError, type ArchiveFault } from './errors.ts';
export type { OpenEngine as OpenArchive, Place } from './open.ts';
export type * from './types.ts';

/** Opens the club's archive. Whatever is wrong with the file or the database is one `ArchiveError`, and what is there stays as it is. */
export async function openArchive({ clock = Date.now, ...how }: OpenEngine): Promise<Archive> {
  return archiveOver(await openEngine({ clock, ...how }), clock);
}

/** The archive over any engine. */
export function archiveOver(engine: Engine, clock: () => number): Archive {
  const underWay = new Set<Promise<unknown>>();
  const inWork = new AsyncLocalStorage<true>();
  let closing: Promise<void> | undefined;

  const guarded = async <T>(run: () => Promise<T>): Promise<T> => {
    if (closing) throw new ArchiveError('closed', 'The archive is closed.');
    // It would wait for the transaction that waits for it.
    if (inWork.getStore()) throw new Error('inside the work of once, use the records handed in');
    const running = run();
    underWay.add(running);
    try {
      return await running;
    } catch (error) {
      throw engine.explain(error) ?? error;
    } finally {
      underWay.delete(running);
    }
  };
  const inTransaction = <T>(run: (stores: Stores, db: Engine['db']) => Promise<T>): Promise<T> =>
    guarded(() => engine.db.transaction().execute((db) => run(storesOver(db, engine.fullText, clock), db)));

  return {
    ...recordsThrough({
      read: (ask) => guarded(() => ask(storesOver(engine.db, engine.fullText, clock))),
      write: (ask) => inTransaction(ask),
    }),

    once<T>(interaction: string, club: string, work: (records: Records) => T | Promise<T>): Promise<Once<T>> {
      return inTransaction(async (stores, db) => {
        const at = clock();
        const id = checkId('interaction', interaction);
        const { id: club_id } = await stores.people.seeClub(club, at);
        const { numInsertedOrUpdatedRows } = await db
          .insertInto('interaction')
          .values({ club_id, id, result: 'null', at })
          .onConflict((conflict) => conflict.columns(['club_id', 'id']).doNothing())
          .executeTakeFirstOrThrow();
        const row = db.selectFrom('interaction').select('result').where('club_id', '=', club_id).where('id', '=', id);
        if (numInsertedOrUpdatedRows === 0n) {
          const { result } = await row.executeTakeFirstOrThrow();
          return { result: JSON.parse(result) as T, repeated: true };
        }
        const lent = lend(stores);
        const result = canonical((await lent.during(() => inWork.run(true, () => work(lent.records)))) ?? null);
        await db.updateTable('interaction').set({ result }).where('club_id', '=', club_id).where('id', '=', id).execute();
        return { result: JSON.parse(result) as T, repeated: false };
      });
    },

    verify: ({ club }) => guarded(() => snapshot(engine.db).execute((db) => verifyClub(db, checkId('club', club)))),

    close() {
      closing ??= (async () => {
        await Promise.allSettled(underWay);
        await engine.close();
      })();
      return closing;
    },
  };
}

type Through = <T>(ask: (stores: Stores) => Promise<T>) => Promise<T>;

const recordsThrough = ({ read, write }: { read: Through; write: Through }): Records => ({
  remember: (what) => write(({ setups }) => setups.remember(what)),
  trucks: (whose) => read(({ setups }) => setups.trucks(whose)),
  facts: (which) => read(({ setups }) => setups.facts(which)),
  latest: (which) => read(({ setups }) => setups.latest(which)),
  saveSetup: (what) => write(({ setups }) => setups.saveSetup(what)),
  findSetups: (what) => read(({ setups }) => setups.findSetups(what)),
  showSetup: (which) => read(({ setups }) => setups.showSetup(which)),
  setupHistory: (which) => read(({ setups }) => setups.setupHistory(which)),
  importSetup: (what) => write(({ setups }) => setups.importSetup(what)),
  addPicture: (what) => write(({ setups }) => setups.addPicture(what)),
  takePicture: (what) => write(({ setups }) => setups.takePicture(what)),
  pictures: (which) => read(({ sharing }) => sharing.pictures(which)),
  setPrivate: (what) => write(({ setups }) => setups.setPrivate(what)),
  restoreSetup: (what) => write(({ setups }) => setups.restoreSetup(what)),
  removeSetup: (what) => write(({ setups }) => setups.removeSetup(what)),
  copySetup: (what) => write(({ sharing }) => sharing.copySetup(what)),
  shareSetup: (what) => write(({ sharing }) => sharing.shareSetup(what)),
  endSharing: (what) => write(({ sharing }) => sharing.endSharing(what)),
  setupByCode: (code) => read(({ sharing }) => sharing.setupByCode(code)),

  isOfficer: (who) => read(({ clubs }) => clubs.isOfficer(who)),
  officers: (which) => read(({ clubs }) => clubs.officers(which)),
  nameOfficer: (what) => write(({ clubs }) => clubs.nameOfficer(what)),
  clubLog: (what) => read(({ clubs }) => clubs.clubLog(what)),
  exportMine: (who) => read(({ clubs }) => clubs.exportMine(who)),
  deleteMine: (who) => write(({ clubs }) => clubs.deleteMine(who)),

  currentTruck: (whose) => read(({ trucks }) => trucks.currentTruck(whose)),
  useTruck: (what) => write(({ trucks }) => trucks.useTruck(what)),
  truckBook: (which) => read(({ trucks }) => trucks.truckBook(which)),
  parts: (which) => read(({ trucks }) => trucks.parts(which)),
  truckList: (whose) => read(({ trucks }) => trucks.truckList(whose)),
  members: (which) => read(({ trucks }) => trucks.members(which)),
  memberCalled: (who) => read(({ trucks }) => trucks.memberCalled(who)),
  keepFacts: (what) => write(({ trucks }) => trucks.keepFacts(what)),
  setFacts: (what) => write(({ trucks }) => trucks.setFacts(what)),
  forgetFact: (what) => write(({ trucks }) => trucks.forgetFact(what)),
  factHistory: (which) => read(({ trucks }) => trucks.factHistory(which)),
  renewAnswers: (what) => write(({ trucks }) => trucks.renewAnswers(what)),
  offerTruck: (what) => write(({ trucks }) => trucks.offerTruck(what)),
  takeTruck: (what) => write(({ trucks }) => trucks.takeTruck(what)),
  renameTruck: (what) => write(({ trucks }) => trucks.renameTruck(what)),
  removeTruck: (what) => write(({ trucks }) => trucks.removeTruck(what)),
  putPart: (what) => write(({ trucks }) => trucks.putPart(what)),
  removePart: (what) => write(({ trucks }) => trucks.removePart(what)),

  things: (which) => read(({ things }) => things.things(which)),
  putThing: (what) => write(({ things }) => things.putThing(what)),
  lendThing: (what) => write(({ things }) => things.lendThing(what)),
  removeThing: (what) => write(({ things }) => things.removeThing(what)),

  addRun: (what) => write(({ runs }) => runs.addRun(what)),
  runs: (which) => read(({ runs }) => runs.runs(which)),
  removeRun: (what) => write(({ runs }) => runs.removeRun(what)),
});

/**
 * Records for the time of one work. One call after the other, since all share a transaction; and when one of them fails, the whole work has
 * failed, even if it caught the error: SQLite may have rolled back already, and what came later would be half of something.
 */
function lend(stores: Stores): { readonly records: Records; during<T>(work: () => T | Promise<T>): Promise<T> } {
  let over = false;
  let failed: { readonly error: unknown } | undefined;
  let last: Promise<unknown> = Promise.resolve();
  const pass: Through = (ask) => {
    const next = last.then(async () => {
      if (over) throw new Error('the work of once is over: await what it starts');
      if (failed) throw failed.error;
      try {
        return await ask(stores);
      } catch (error) {
        failed = { error };
        throw error;
      }
    });
    last = next.catch(() => {});
    return next;
  };
  return {
    records: recordsThrough({ read: pass, write: pass }),
    async during(work) {
      try {
        const result = await work();
        if (failed) throw failed.error;
        return result;
      } finally {
        over = true;
      }
    },
  };
}
