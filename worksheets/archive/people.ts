import type { Kysely, Selectable } from 'kysely';
import { canonical, sha256 } from './canonical.ts';
import { checkId, cleanName, nameKey } from './names.ts';
import type { Tables } from './tables.ts';
import type { TruckOf } from './types.ts';

export type Club = Selectable<Tables['club']>;
export type Member = Selectable<Tables['member']>;
export type Truck = Selectable<Tables['truck']>;

/** Clubs, members, trucks and the club's log: what every subject of the archive stands on. */
export class People {
  readonly #db: Kysely<Tables>;
  readonly #renamed: (member: number) => Promise<void>;

  /** `renamed` is told of a member whose name has changed, for whoever keeps names beside what is found by them. */
  constructor(db: Kysely<Tables>, renamed: (member: number) => Promise<void>) {
    this.#db = db;
    this.#renamed = renamed;
  }

  /** The club's row, made when it is first seen. It is written to either way: that takes the club's lock on an engine that locks rows. */
  async seeClub(platformId: string, at: number): Promise<Club> {
    const club = await this.#db
      .insertInto('club')
      .values({ platform_id: checkId('club', platformId), at })
      .onConflict((conflict) => conflict.column('platform_id').doUpdateSet({ platform_id: platformId }))
      .returningAll()
      .executeTakeFirstOrThrow();
    if (club.changes === 0) await this.audit(club, null, at, 'club', {});
    return club;
  }

  async seeMember(club: Club, platformId: string, name: string, at: number): Promise<Member> {
    const known = await this.member(club.id, platformId);
    if (known?.name === name) return known;
    const member = await this.#db
      .insertInto('member')
      .values({ club_id: club.id, platform_id: platformId, name, at })
      .onConflict((conflict) => conflict.columns(['club_id', 'platform_id']).doUpdateSet({ name }))
      .returningAll()
      .executeTakeFirstOrThrow();
    await this.audit(club, member, at, known ? 'member renamed' : 'member', {});
    if (known) await this.#renamed(member.id);
    return member;
  }

  async seeTruck(club: Club, member: Member, name: string, at: number): Promise<Truck> {
    const known = await this.truckNamed(member.id, name);
    if (known) return known;
    const truck = await this.#db
      .insertInto('truck')
      .values({ member_id: member.id, name, name_key: nameKey(name), at })
      .returningAll()
      .executeTakeFirstOrThrow();
    await this.audit(club, member, at, 'truck', { truck: truck.id });
    return truck;
  }

  async club(platformId: string): Promise<Club | undefined> {
    return this.#db.selectFrom('club').selectAll().where('platform_id', '=', checkId('club', platformId)).executeTakeFirst();
  }

  async member(club: number, platformId: string): Promise<Member | undefined> {
    return this.#db
      .selectFrom('member')
      .selectAll()
      .where('club_id', '=', club)
      .where('platform_id', '=', checkId('member', platformId))
      .executeTakeFirst();
  }

  async truckNamed(member: number, name: string): Promise<Truck | undefined> {
    return this.#db
      .selectFrom('truck')
      .selectAll()
      .where('member_id', '=', member)
      .where('name_key', '=', nameKey(name))
      .executeTakeFirst();
  }

  /** A name that could not be kept is no truck's name. */
  async truck({ club, member, truck }: TruckOf): Promise<Truck | undefined> {
    const name = cleanName('truck', 'Truck', truck);
    const inClub = await this.club(club);
    const owner = inClub && (await this.member(inClub.id, member));
    return owner && 'text' in name ? this.truckNamed(owner.id, name.text) : undefined;
  }

  /** `detail` holds ids and hashes only, so that a member's words can be taken out elsewhere and the chain still holds. */
  async audit(
    club: Pick<Club, 'id' | 'platform_id'>,
    member: Pick<Member, 'id' | 'platform_id'> | null,
    at: number,
    act: string,
    detail: unknown,
  ): Promise<void> {
    const { changes, audit_hash: parent } = await this.#db
      .updateTable('club')
      .set((eb) => ({ changes: eb('changes', '+', 1) }))
      .where('id', '=', club.id)
      .returning(['changes', 'audit_hash'])
      .executeTakeFirstOrThrow();
    const text = canonical(detail);
    const row = { change: changes, at, act, detail: text };
    const hash = auditHash(parent, { club: club.platform_id, member: member?.platform_id ?? null, ...row });
    await this.#db
      .insertInto('audit')
      .values({ club_id: club.id, member_id: member?.id ?? null, hash, ...row })
      .execute();
    await this.#db.updateTable('club').set({ audit_hash: hash }).where('id', '=', club.id).execute();
  }
}

/** All that hangs on a truck but its setups. */
export async function emptyTruck(db: Kysely<Tables>, truck: number): Promise<void> {
  for (const table of ['reading', 'part', 'latest', 'run', 'offer', 'current_truck'] as const)
    await db.deleteFrom(table).where('truck_id', '=', truck).execute();
}

/** A truck of which only the numbers of setups are left. No name that can be typed begins with a space. */
export async function namelessTruck(db: Kysely<Tables>, truck: number): Promise<void> {
  await db
    .updateTable('truck')
    .set({ name: '', name_key: ` ${truck}` })
    .where('id', '=', truck)
    .execute();
}

/** What takes the place of the platform's id of a member who has left. */
export const LEFT = 'left:';

/** What is sealed of a log row whose member has left: their id, which its own hash is over, is gone. */
export const sealLine = (row: { change: number; at: number; act: string; detail: string; hash: string }): string =>
  `${canonical([row.change, row.at, row.act, row.detail, row.hash])}\n`;

/** What an audit row's hash is over; the hash before it comes first, so that no row can be taken out or put in between. */
export const auditHash = (
  parent: string,
  row: { club: string; member: string | null; change: number; at: number; act: string; detail: string },
): string => sha256(`${parent}\n${canonical(row)}`);
