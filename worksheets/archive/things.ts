import type { Kysely, Selectable } from 'kysely';
import { nearest } from '../engine/problem.ts';
import type { Problem, Problems } from '../engine/types.ts';
import { canonical, sha256 } from './canonical.ts';
import { cleanName, cleanNotes, nameKey } from './names.ts';
import type { Club, Member, People } from './people.ts';
import { type Act, may, type Standing } from './rights.ts';
import { lentAlready, manyThings, noThing, notLent, notYourThing, problems, thingIsThere, tooManyThings } from './sentences.ts';
import type { ClubRecords, Speaker } from './setups-types.ts';
import { slipsOf } from './store.ts';
import type { Tables } from './tables.ts';
import type { ByMember, Scale, Thing, ThingKind, ThingRecords } from './things-types.ts';
import type { How } from './trucks-types.ts';
import { fold } from './words.ts';

const MOST_THINGS = 2000;
/** The club's own: any member may check a scale again, or say more of a track. */
const OF_THE_CLUB: readonly ThingKind[] = ['scale', 'track'];
const BOX: readonly ThingKind[] = ['spring', 'oil', 'pinion', 'ballast'];

interface Detail {
  readonly scale?: Scale;
  readonly surface?: string;
}

/** What the club has: rows are added, the newest of a kind and name counts. */
export class Things implements ThingRecords {
  readonly #db: Kysely<Tables>;
  readonly #clock: () => number;
  readonly #people: People;
  readonly #isOfficer: ClubRecords['isOfficer'];

  constructor(over: {
    readonly db: Kysely<Tables>;
    readonly clock: () => number;
    readonly people: People;
    readonly isOfficer: ClubRecords['isOfficer'];
  }) {
    this.#db = over.db;
    this.#clock = over.clock;
    this.#people = over.people;
    this.#isOfficer = over.isOfficer;
  }

  readonly things: ThingRecords['things'] = async ({ club, kinds }) => {
    const inClub = await this.#people.club(club);
    return inClub ? this.#of(inClub.id, kinds) : [];
  };

  readonly putThing: ThingRecords['putThing'] = async ({ thing, ...who }) => {
    const name = cleanName('name', 'Name', thing.name);
    const note = cleanNotes('note', 'Note', thing.note ?? '');
    const surface = cleanNotes('surface', 'Surface', thing.surface ?? '');
    const by = await this.#by(who, slipsOf(name, note, surface));
    if ('kind' in by) return by;
    if ('problem' in name || 'problem' in note || 'problem' in surface) return problems(...slipsOf(name, note, surface));
    const { club, member, at } = by;
    const all = await this.#of(club.id);
    const was = all.find((one) => one.kind === thing.kind && nameKey(one.name) === nameKey(name.text)) ?? null;
    const ofTheClub = OF_THE_CLUB.includes(thing.kind);
    if (was && !ofTheClub) return problems(thingIsThere(was.name, was.kind, was.owner?.name ?? null));
    if (!(await this.#may(ofTheClub ? 'change club thing' : 'add thing', who, was))) return problems(notYourThing(name.text, null));
    if (!was && all.length >= MOST_THINGS) return problems(tooManyThings(MOST_THINGS));
    const is: Thing = {
      kind: thing.kind,
      name: was?.name ?? name.text,
      typed: thing.typed ?? was?.typed ?? null,
      value: thing.value ?? was?.value ?? null,
      uncertainty: (thing.value === undefined ? was?.uncertainty : thing.uncertainty) ?? null,
      how: thing.how ?? was?.how ?? 'measured',
      scale: thing.scale ?? was?.scale ?? null,
      surface: thing.surface === undefined ? (was?.surface ?? '') : surface.text,
      note: thing.note === undefined ? (was?.note ?? '') : note.text,
      owner: ofTheClub ? null : { id: member.platform_id, name: member.name },
      lent: null,
      by: { id: member.platform_id, name: member.name },
      at,
    };
    await this.#write(by, is, false);
    return { kind: 'thing', thing: is, was };
  };

  readonly lendThing: ThingRecords['lendThing'] = async ({ name, to, ...who }) => {
    const borrower = to === null ? undefined : cleanName('to', 'To', to);
    const by = await this.#by(who, borrower ? slipsOf(borrower) : []);
    if ('kind' in by) return by;
    const was = await this.#called(by.club, name, BOX);
    if ('problem' in was) return problems(was.problem);
    if (borrower === undefined) {
      if (was.lent === null) return problems(notLent(was.name));
      if (!(await this.#may('return thing', who, was))) return problems(notYourThing(was.name, was.owner?.name ?? null));
      return this.#change(by, was, { ...was, lent: null });
    }
    if ('problem' in borrower) return problems(borrower.problem);
    if (!(await this.#may('lend thing', who, was))) return problems(notYourThing(was.name, was.owner?.name ?? null));
    if (was.lent !== null) return problems(lentAlready(was.name, was.lent.to));
    const known = (await this.#db.selectFrom('member').selectAll().where('club_id', '=', by.club.id).execute()).filter(
      (one) =>
        nameKey(one.name) === nameKey(borrower.text.replace(/^@/, '')) || one.platform_id === borrower.text.replace(/^<@!?(.+)>$/, '$1'),
    );
    const member = known.length === 1 ? { id: known[0]!.platform_id, name: known[0]!.name } : null;
    return this.#change(by, was, { ...was, lent: { to: member?.name ?? borrower.text, member, at: by.at } });
  };

  readonly removeThing: ThingRecords['removeThing'] = async ({ kinds, name, ...who }) => {
    const by = await this.#by(who);
    if ('kind' in by) return by;
    const was = await this.#called(by.club, name, kinds);
    if ('problem' in was) return problems(was.problem);
    const act = OF_THE_CLUB.includes(was.kind) ? 'change club thing' : 'remove thing';
    if (!(await this.#may(act, who, was))) return problems(notYourThing(was.name, was.owner?.name ?? null));
    await this.#write(by, was, true);
    return { kind: 'thing', thing: was, was };
  };

  async #may(act: Act, { appointed = false, ...who }: Speaker, thing: Thing | null): Promise<boolean> {
    const as: Standing[] = ['member'];
    if (thing?.owner?.id === who.member) as.push('owner');
    if (thing?.lent?.member?.id === who.member) as.push('to whom');
    if (may(act, as)) return true;
    return may(act, appointed || (await this.#isOfficer(who)) ? [...as, 'officer'] : as);
  }

  // ── rows ────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

  async #change(by: By, was: Thing, is: Thing): Promise<{ readonly kind: 'thing'; readonly thing: Thing; readonly was: Thing }> {
    const thing = { ...is, by: { id: by.member.platform_id, name: by.member.name }, at: by.at };
    await this.#write(by, thing, false);
    return { kind: 'thing', thing, was };
  }

  async #of(club: number, kinds?: readonly ThingKind[]): Promise<Thing[]> {
    const newest = this.#db
      .selectFrom('thing')
      .select(({ fn }) => fn.max('id').as('id'))
      .where('club_id', '=', club)
      .$if(kinds !== undefined, (rows) => rows.where('kind', 'in', kinds!))
      .groupBy(['kind', 'name_key']);
    const rows = await this.#db
      .selectFrom('thing')
      .innerJoin('member as by', 'by.id', 'thing.member_id')
      .leftJoin('member as owner', 'owner.id', 'thing.owner_id')
      .leftJoin('member as borrower', 'borrower.id', 'thing.lent_id')
      .selectAll('thing')
      .select(['by.platform_id as by_id', 'by.name as by_name'])
      .select(['owner.platform_id as owner_platform_id', 'owner.name as owner_name'])
      .select(['borrower.platform_id as borrower_id', 'borrower.name as borrower_name'])
      .where('thing.id', 'in', newest)
      .where('thing.gone', '=', 0)
      .orderBy('thing.kind')
      .orderBy('thing.name_key')
      .execute();
    return rows.map(thingOf);
  }

  /** By its name, forgiving of case and accents; the beginning of a name does when only one begins so. */
  async #called(club: Club, typed: string, kinds: readonly ThingKind[]): Promise<Thing | { readonly problem: Problem }> {
    const all = await this.#of(club.id, kinds);
    const key = fold(typed.trim());
    const exact = all.filter(({ name }) => fold(name) === key);
    const found = exact.length > 0 ? exact : all.filter(({ name }) => key !== '' && fold(name).startsWith(key));
    if (found.length === 1) return found[0]!;
    const names = all.map(({ name }) => name);
    if (found.length > 1)
      return {
        problem: manyThings(
          typed,
          found.map(({ name, kind }) => `${name} (${kind})`),
        ),
      };
    const like = nearest(typed, names);
    return { problem: noThing(typed, like === undefined ? names : [like]) };
  }

  async #by({ club: platformId, member, memberName }: ByMember, slips: readonly Problem[] = []): Promise<By | Problems> {
    const name = cleanName('member', 'Member name', memberName);
    if ('problem' in name || slips.length > 0) return problems(...slipsOf(name), ...slips);
    const at = this.#clock();
    const club = await this.#people.seeClub(platformId, at);
    return { club, member: await this.#people.seeMember(club, member, name.text, at), at };
  }

  async #write({ club, member, at }: By, thing: Thing, gone: boolean): Promise<void> {
    const idOf = async (platformId: string | undefined): Promise<number | null> =>
      platformId === undefined ? null : ((await this.#people.member(club.id, platformId))?.id ?? null);
    const detail: Detail = {
      ...(thing.scale === null ? {} : { scale: thing.scale }),
      ...(thing.surface === '' ? {} : { surface: thing.surface }),
    };
    const row = {
      club_id: club.id,
      kind: thing.kind,
      name: thing.name,
      name_key: nameKey(thing.name),
      typed: thing.typed,
      value: thing.value,
      uncertainty: thing.uncertainty,
      how: thing.how,
      detail: canonical(detail),
      note: thing.note,
      owner_id: await idOf(thing.owner?.id),
      lent_to: thing.lent?.to ?? null,
      lent_id: await idOf(thing.lent?.member?.id),
      lent_at: thing.lent?.at ?? null,
      gone: gone ? 1 : 0,
      member_id: member.id,
      at,
    };
    await this.#db.insertInto('thing').values(row).execute();
    await this.#people.audit(club, member, at, gone ? 'thing removed' : 'thing', { kind: thing.kind, hash: sha256(canonical(row)) });
  }
}

interface By {
  readonly club: Club;
  readonly member: Member;
  readonly at: number;
}

interface Row extends Selectable<Tables['thing']> {
  readonly by_id: string;
  readonly by_name: string;
  readonly owner_platform_id: string | null;
  readonly owner_name: string | null;
  readonly borrower_id: string | null;
  readonly borrower_name: string | null;
}

function thingOf(row: Row): Thing {
  const { scale, surface } = JSON.parse(row.detail) as Detail;
  return {
    kind: row.kind as ThingKind,
    name: row.name,
    typed: row.typed,
    value: row.value,
    uncertainty: row.uncertainty,
    how: row.how as How,
    scale: scale ?? null,
    surface: surface ?? '',
    note: row.note,
    owner: row.owner_platform_id === null ? null : { id: row.owner_platform_id, name: row.owner_name! },
    lent:
      row.lent_to === null
        ? null
        : {
            to: row.borrower_name ?? row.lent_to,
            member: row.borrower_id === null ? null : { id: row.borrower_id, name: row.borrower_name! },
            at: row.lent_at!,
          },
    by: { id: row.by_id, name: row.by_name },
    at: row.at,
  };
}
