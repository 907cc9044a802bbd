import { createHash, randomBytes } from 'node:crypto';
import type { Kysely } from 'kysely';
import { toldOf } from './log.ts';
import { emptyTruck, LEFT, type Member, namelessTruck, type People, sealLine } from './people.ts';
import type { Pictures } from './pictures.ts';
import { may } from './rights.ts';
import { nothingOfYours, onlyOfficers, problems } from './sentences.ts';
import type { ClubRecords, LogRow, Speaker } from './setups-types.ts';
import type { Store } from './store.ts';
import type { Tables } from './tables.ts';
import type { Trucks } from './trucks.ts';
import type { SetupDoc } from './types.ts';

const MOST_ROWS = 50;
/** A message that is answered twice is answered twice within minutes; the answers hold what members wrote. */
const REPEATS_WITHIN = 3_600_000;

/** Officers, the club's log, and a member's leaving. */
export class Clubs implements ClubRecords {
  readonly #db: Kysely<Tables>;
  readonly #clock: () => number;
  readonly #people: People;
  readonly #setups: Store;
  readonly #trucks: Trucks;
  readonly #pictures: Pictures;

  constructor(over: {
    readonly db: Kysely<Tables>;
    readonly clock: () => number;
    readonly people: People;
    readonly setups: Store;
    readonly trucks: Trucks;
    readonly pictures: Pictures;
  }) {
    this.#db = over.db;
    this.#clock = over.clock;
    this.#people = over.people;
    this.#setups = over.setups;
    this.#trucks = over.trucks;
    this.#pictures = over.pictures;
  }

  // ── officers ────────────────────────────────────────────────────────────────────────────────────────────────────────────────

  readonly isOfficer: ClubRecords['isOfficer'] = async ({ club, member }) => {
    const inClub = await this.#people.club(club);
    const who = inClub && (await this.#people.member(inClub.id, member));
    if (!who) return false;
    return (await this.#db.selectFrom('officer').select('member_id').where('member_id', '=', who.id).executeTakeFirst()) !== undefined;
  };

  readonly officers: ClubRecords['officers'] = async ({ club }) => {
    const rows = await this.#db
      .selectFrom('officer')
      .innerJoin('member', 'member.id', 'officer.member_id')
      .innerJoin('club', 'club.id', 'member.club_id')
      .select(['member.platform_id as id', 'member.name'])
      .where('club.platform_id', '=', club)
      .orderBy('member.name')
      .orderBy('member.id')
      .execute();
    return rows;
  };

  readonly nameOfficer: ClubRecords['nameOfficer'] = async ({ name, officer, ...speaker }) => {
    if (!(await this.#mayAs(speaker, 'name officers'))) return problems(onlyOfficers());
    const who = await this.#trucks.memberCalled({ club: speaker.club, name });
    if ('kind' in who) return who;
    const at = this.#clock();
    const club = await this.#people.seeClub(speaker.club, at);
    const member = (await this.#people.member(club.id, who.id))!;
    const by = (await this.#people.member(club.id, speaker.member)) ?? null;
    if (officer)
      await this.#db
        .insertInto('officer')
        .values({ member_id: member.id, at })
        .onConflict((conflict) => conflict.column('member_id').doNothing())
        .execute();
    else await this.#db.deleteFrom('officer').where('member_id', '=', member.id).execute();
    // The archive's own number: the platform's could not be taken out of the log again.
    await this.#people.audit(club, by, at, officer ? 'officer named' : 'officer ended', { member: member.id });
    return { kind: 'officer', who, officer };
  };

  readonly clubLog: ClubRecords['clubLog'] = async ({ limit = 15, before, ...speaker }) => {
    if (!(await this.#mayAs(speaker, 'see log'))) return problems(onlyOfficers());
    const club = await this.#people.club(speaker.club);
    if (!club) return { kind: 'log', rows: [], more: false };
    const most = Math.min(Math.max(Math.trunc(limit) || 0, 1), MOST_ROWS);
    const rows = await this.#db
      .selectFrom('audit')
      .leftJoin('member', 'member.id', 'audit.member_id')
      .select(['audit.change', 'audit.at', 'audit.act', 'audit.detail', 'audit.member_id', 'member.platform_id', 'member.name'])
      .where('audit.club_id', '=', club.id)
      .$if(before !== undefined, (all) => all.where('audit.change', '<', before!))
      .orderBy('audit.change', 'desc')
      .limit(most + 1)
      .execute();
    const page = rows.slice(0, most).map(({ detail, ...row }) => ({ ...row, detail: JSON.parse(detail) as LogRow['detail'] }));
    const told = await toldOf(this.#db, club.id, page);
    return {
      kind: 'log',
      more: rows.length > most,
      rows: page.map(({ change, at, act, detail, platform_id, name }, i): LogRow => {
        const member = platform_id === null || name === null ? null : { id: platform_id, name };
        return { change, at, act, member, detail, told: told[i]! };
      }),
    };
  };

  async #mayAs({ appointed = false, ...who }: Speaker, act: 'name officers' | 'see log'): Promise<boolean> {
    const officer = appointed || (await this.isOfficer(who));
    return may(act, officer ? ['officer', 'member'] : ['member']);
  }

  // ── everything of mine ──────────────────────────────────────────────────────────────────────────────────────────────────────

  readonly exportMine: ClubRecords['exportMine'] = async (who) => {
    const found = await this.#memberOf(who);
    if (!found) return problems(nothingOfYours());
    const { member } = found;
    const trucks = await this.#db
      .selectFrom('truck')
      .selectAll()
      .where('member_id', '=', member.id)
      .where('name', '!=', '')
      .orderBy('id')
      .execute();
    const all = [];
    const pictures: Record<string, string> = {};
    for (const truck of trucks) {
      const setups = [];
      const rows = await this.#db
        .selectFrom('setup')
        .selectAll()
        .where('truck_id', '=', truck.id)
        .where('gone', '=', 0)
        .orderBy('number')
        .execute();
      for (const setup of rows) {
        const revisions = await this.#db.selectFrom('revision').selectAll().where('setup_id', '=', setup.id).orderBy('rev').execute();
        setups.push({
          id: setup.number,
          private: setup.private === 1,
          revisions: revisions.map(({ at, hash, doc }) => ({ at, hash, doc: JSON.parse(doc) as SetupDoc })),
        });
      }
      for (const { hash, bytes } of await this.#pictures.ofTruck(truck.id)) pictures[hash] = Buffer.from(bytes).toString('base64');
      const readings = await this.#db.selectFrom('reading').selectAll().where('truck_id', '=', truck.id).orderBy('id').execute();
      const parts = await this.#db.selectFrom('part').selectAll().where('truck_id', '=', truck.id).orderBy('id').execute();
      const runs = await this.#db.selectFrom('run').selectAll().where('truck_id', '=', truck.id).orderBy('id').execute();
      const answers = await this.#db.selectFrom('latest').selectAll().where('truck_id', '=', truck.id).orderBy('at').execute();
      all.push({
        name: truck.name,
        readings: readings.map((row) => open(row, ['value'])),
        parts: parts.map((row) => open(row, ['place', 'places'])),
        runs: runs.map((row) => open(row, ['temperatures', 'laps', 'changes'])),
        answers: answers.map((row) => open(row, ['readings', 'answer'])),
        setups,
      });
    }
    const things = await this.#db.selectFrom('thing').selectAll().where('owner_id', '=', member.id).orderBy('id').execute();
    const log = await this.#db.selectFrom('audit').selectAll().where('member_id', '=', member.id).orderBy('change').execute();
    return {
      kind: 'mine',
      format: 'dustsheet-member/1',
      at: this.#clock(),
      club: who.club,
      member: { id: member.platform_id, name: member.name },
      officer: await this.isOfficer(who),
      trucks: all,
      things: things.map((row) => open(row, ['detail'])),
      pictures,
      log: log.map(({ change, at, act, detail }) => ({ change, at, act, detail: JSON.parse(detail) as LogRow['detail'] })),
    };
  };

  readonly deleteMine: ClubRecords['deleteMine'] = async (who) => {
    const found = await this.#memberOf(who);
    if (!found) return problems(nothingOfYours());
    const { member } = found;
    const at = this.#clock();
    const club = await this.#people.seeClub(who.club, at);
    const trucks = await this.#db.selectFrom('truck').select(['id', 'name']).where('member_id', '=', member.id).execute();
    let removed = 0;
    let stay = 0;
    for (const { id } of trucks) {
      const setups = await this.#db.selectFrom('setup').selectAll().where('truck_id', '=', id).execute();
      const open = setups.filter((setup) => setup.gone === 0);
      for (const setup of open.filter((one) => one.private === 1)) await this.#setups.wipe(club, member, setup);
      const staying = open.filter((one) => one.private === 0);
      removed += open.length - staying.length;
      stay += staying.length;
      for (const { id: setup } of staying) await this.#db.deleteFrom('share').where('setup_id', '=', setup).execute();
      await emptyTruck(this.#db, id);
      if (setups.length === 0) await this.#db.deleteFrom('truck').where('id', '=', id).execute();
      else if (staying.length === 0) await namelessTruck(this.#db, id);
    }
    for (const table of ['offer', 'current_truck', 'officer'] as const)
      await this.#db.deleteFrom(table).where('member_id', '=', member.id).execute();
    // A thing's lines are never changed, and that of a loan holds the borrower's name: without it the thing is back with its owner.
    await this.#db
      .deleteFrom('thing')
      .where((eb) => eb.or([eb('owner_id', '=', member.id), eb('lent_id', '=', member.id)]))
      .execute();
    await this.#db
      .deleteFrom('interaction')
      .where('club_id', '=', club.id)
      .where('at', '<', at - REPEATS_WITHIN)
      .execute();

    // What the log's hashes were made over goes as well, so what is left of these rows is sealed by a hash of its own.
    const seal = createHash('sha256');
    const rows = await this.#db.selectFrom('audit').selectAll().where('member_id', '=', member.id).orderBy('change').execute();
    for (const row of rows) seal.update(sealLine(row));
    const alias = `${LEFT}${randomBytes(12).toString('hex')}`;
    await this.#db.updateTable('member').set({ platform_id: alias, name: 'a former member' }).where('id', '=', member.id).execute();
    await this.#people.audit(club, null, at, 'member left', { member: alias, rows: rows.length, seal: seal.digest('hex') });
    await this.#setups.reindex({ member: member.id });
    return { kind: 'left', trucks: trucks.filter(({ name }) => name !== '').length, removed, stay };
  };

  async #memberOf({ club, member }: { readonly club: string; readonly member: string }): Promise<{ readonly member: Member } | undefined> {
    const inClub = await this.#people.club(club);
    const found = inClub && (await this.#people.member(inClub.id, member));
    return found && !found.platform_id.startsWith(LEFT) ? { member: found } : undefined;
  }
}

/** A row without the archive's own numbers, and with its JSON as what it says. */
const open = (row: object, json: readonly string[]): Readonly<Record<string, unknown>> =>
  Object.fromEntries(
    Object.entries(row)
      .filter(([column]) => column !== 'id' && !column.endsWith('_id'))
      .map(([column, value]) => [column, json.includes(column) && typeof value === 'string' ? (JSON.parse(value) as unknown) : value]),
  );
