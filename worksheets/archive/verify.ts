import { createHash, type Hash } from 'node:crypto';
import type { Kysely } from 'kysely';
import { auditHash, LEFT, sealLine } from './people.ts';
import { pictureFault, shownPictures } from './pictures.ts';
import { revisionHash } from './store.ts';
import type { Tables } from './tables.ts';
import type { SetupDoc, Verified } from './types.ts';

const PAGE = 500;
/** Each with its document. */
const REVISIONS = 100;

/** Walks a club's log and its revisions, computes every hash again, and compares the two with each other and with the club's count. */
export async function verifyClub(db: Kysely<Tables>, platformId: string): Promise<Verified> {
  const club = await db.selectFrom('club').selectAll().where('platform_id', '=', platformId).executeTakeFirst();
  if (!club) return { ok: true, changes: 0, revisions: 0 };

  const saved = new Map<string, string>();
  const gone = new Set<number>();
  /** Of members who have left: the rows that were theirs, until the row that seals them. */
  const unsealed = new Map<string, { readonly hash: Hash; rows: number }>();
  let hash = '';
  let change = 0;
  for (;;) {
    const rows = await db
      .selectFrom('audit')
      .leftJoin('member', 'member.id', 'audit.member_id')
      .select(['audit.change', 'audit.at', 'audit.act', 'audit.detail', 'audit.hash', 'member.platform_id as member'])
      .where('audit.club_id', '=', club.id)
      .where('audit.change', '>', change)
      .orderBy('audit.change')
      .limit(PAGE)
      .execute();
    for (const { hash: kept, ...row } of rows) {
      change += 1;
      if (row.change !== change) return { ok: false, text: `Change ${change} is missing from the club's log.` };
      if (row.member?.startsWith(LEFT)) {
        const theirs = unsealed.get(row.member) ?? { hash: createHash('sha256'), rows: 0 };
        theirs.hash.update(sealLine({ ...row, hash: kept }));
        theirs.rows += 1;
        unsealed.set(row.member, theirs);
        hash = kept;
      } else hash = auditHash(hash, { club: club.platform_id, ...row });
      if (hash !== kept) return { ok: false, text: `Change ${change} of the club's log is not the one that was written.` };
      if (row.act === 'member left') {
        const { member, rows: count, seal } = JSON.parse(row.detail) as { member: string; rows: number; seal: string };
        const theirs = unsealed.get(member) ?? { hash: createHash('sha256'), rows: 0 };
        if (theirs.rows !== count || theirs.hash.digest('hex') !== seal)
          return { ok: false, text: `What a former member did, up to change ${change} of the club's log, is not what was written.` };
        unsealed.delete(member);
      }
      if (row.act === 'setup gone') {
        const { setup } = JSON.parse(row.detail) as { setup: number };
        gone.add(setup);
        for (const key of saved.keys()) if (key.startsWith(`${setup}/`)) saved.delete(key);
      }
      if (row.act === 'setup') {
        const { setup, rev, hash: of } = JSON.parse(row.detail) as { setup: number; rev: number; hash: string };
        saved.set(`${setup}/${rev}`, of);
      }
    }
    if (rows.length < PAGE) break;
  }
  if (change !== club.changes || hash !== club.audit_hash)
    return { ok: false, text: `The end of the club's log is missing after change ${change}.` };

  if (unsealed.size > 0) return { ok: false, text: "The club's log holds rows of a former member that nothing seals." };

  const shown = await shownPictures(db, club.id);
  let revisions = 0;
  let parent: string | null = null;
  let page: ReadonlyMap<string, RevisionRow> = new Map();
  const setups = await db
    .selectFrom('setup')
    .select(['id', 'number', 'rev', 'gone'])
    .where('club_id', '=', club.id)
    .orderBy('number')
    .execute();
  for (const setup of setups) {
    if ((setup.gone === 1) !== gone.has(setup.number))
      return {
        ok: false,
        text: `Setup ${setup.number} is ${setup.gone === 1 ? 'gone, and the log does not know' : 'there, and the log knows it as gone'}.`,
      };
    if (setup.gone === 1) continue;
    for (let rev = 1; rev <= setup.rev; rev += 1) {
      if (!page.has(`${setup.id}/${rev}`)) page = await revisionsFrom(db, club.id, setup.number, rev);
      const row = page.get(`${setup.id}/${rev}`);
      const follows = row && row.parent_hash === (rev === 1 ? null : parent) && row.hash === revisionHash(row.parent_hash, row.doc);
      if (!follows || saved.get(`${setup.number}/${rev}`) !== row.hash) {
        return { ok: false, text: `Revision ${rev} of setup ${setup.number} is not the one that was saved.` };
      }
      // Of 100,000 documents only those with pictures are read.
      const key = `${setup.id}/${rev}`;
      const pictures = shown.has(key) || row.doc.includes('"pictures":') ? (JSON.parse(row.doc) as SetupDoc).pictures : undefined;
      if ((pictures ?? []).join() !== (shown.get(key) ?? []).join())
        return { ok: false, text: `Revision ${rev} of setup ${setup.number} does not show the pictures that it was saved with.` };
      parent = row.hash;
      revisions += 1;
    }
  }
  if (revisions !== saved.size) return { ok: false, text: `The log knows ${saved.size} revisions, but ${revisions} are kept.` };
  const fault = await pictureFault(db, club.id);
  if (fault !== undefined) return { ok: false, text: fault };
  return { ok: true, changes: change, revisions };
}

type RevisionRow = { readonly parent_hash: string | null; readonly hash: string; readonly doc: string };

/** The next revisions of a club, in the order of their setups' numbers. One at a time, 100,000 of them would be as many questions. */
async function revisionsFrom(db: Kysely<Tables>, club: number, setup: number, rev: number): Promise<ReadonlyMap<string, RevisionRow>> {
  const rows = await db
    .selectFrom('setup')
    .innerJoin('revision', 'revision.setup_id', 'setup.id')
    .select(['revision.setup_id', 'revision.rev', 'revision.parent_hash', 'revision.hash', 'revision.doc'])
    .where('setup.club_id', '=', club)
    .where('setup.number', '>=', setup)
    .where((eb) => eb.or([eb('setup.number', '>', setup), eb('revision.rev', '>=', rev)]))
    .orderBy('setup.number')
    .orderBy('revision.rev')
    .limit(REVISIONS)
    .execute();
  return new Map(rows.map((row) => [`${row.setup_id}/${row.rev}`, row]));
}
