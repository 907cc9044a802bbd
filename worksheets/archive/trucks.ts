import type { Kysely } from 'kysely';
import { nearest } from '../engine/problem.ts';
import type { Problem, Problems } from '../engine/types.ts';
import { canonical, sha256 } from './canonical.ts';
import { beneathOf, type Facts, readingOf } from './facts.ts';
import { cleanName, cleanNotes, nameKey } from './names.ts';
import { MOST_PARTS, partsOf, partsStates, writePart } from './parts-list.ts';
import { type Club, emptyTruck, LEFT, type Member, namelessTruck, type People, type Truck } from './people.ts';
import {
  manyMembers,
  manyOffers,
  nameIsTaken,
  noFact,
  noMass,
  noMember,
  noPart,
  noTruck,
  notGiven,
  nothingToKeep,
  notOffered,
  partHasSigns,
  partIsThere,
  problems,
  tooManyParts,
  truckHasSetups,
} from './sentences.ts';
import { type Store, slipOfReading, slipsOf } from './store.ts';
import type { Tables } from './tables.ts';
import type { OwnTruck, Part, RemovedTruck, TruckRecords, TruckSummary } from './trucks-types.ts';
import type { MemberName } from './types.ts';

const MOST_HISTORY = 50;

interface Own {
  readonly club: Club;
  readonly member: Member;
  readonly truck: Truck;
  readonly at: number;
}

/** What is known of a truck, by whom, since when; its parts; whose it is. */
export class Trucks implements TruckRecords {
  readonly #db: Kysely<Tables>;
  readonly #clock: () => number;
  readonly #people: People;
  readonly #facts: Facts;
  readonly #setups: Store;

  constructor(over: {
    readonly db: Kysely<Tables>;
    readonly clock: () => number;
    readonly people: People;
    readonly facts: Facts;
    readonly setups: Store;
  }) {
    this.#db = over.db;
    this.#clock = over.clock;
    this.#people = over.people;
    this.#facts = over.facts;
    this.#setups = over.setups;
  }

  // ── which truck ─────────────────────────────────────────────────────────────────────────────────────────────────────────────

  readonly currentTruck: TruckRecords['currentTruck'] = async ({ club, member }) => {
    const inClub = await this.#people.club(club);
    const owner = inClub && (await this.#people.member(inClub.id, member));
    if (!owner) return null;
    const row = await this.#db
      .selectFrom('current_truck')
      .innerJoin('truck', 'truck.id', 'current_truck.truck_id')
      .select('truck.name')
      .where('current_truck.member_id', '=', owner.id)
      .executeTakeFirst();
    return row?.name ?? null;
  };

  readonly useTruck: TruckRecords['useTruck'] = async (what) => {
    const isNew = (await this.#people.truck(what)) === undefined;
    const own = await this.own(what, 'may be new');
    if ('kind' in own) return own;
    const { club, member, truck, at } = own;
    await this.#db
      .insertInto('current_truck')
      .values({ member_id: member.id, truck_id: truck.id })
      .onConflict((conflict) => conflict.column('member_id').doUpdateSet({ truck_id: truck.id }))
      .execute();
    await this.#people.audit(club, member, at, 'truck used', { truck: truck.id });
    return { kind: 'using', truck: truck.name, isNew };
  };

  readonly truckBook: TruckRecords['truckBook'] = async (which) => {
    const truck = await this.#people.truck(which);
    const club = await this.#people.club(which.club);
    const owner = club && (await this.#people.member(club.id, which.member));
    if (!truck || !owner) return problems(noTruck(which.truck, null, await this.namesOf(which)));
    return {
      kind: 'truck',
      truck: truck.name,
      member: nameOf(owner),
      facts: await this.#facts.of({ truck: truck.id, at: this.#clock() }),
      parts: await this.partsOf(truck.id),
      latest: await this.#setups.latestOf(truck.id),
      offeredTo: await this.#offeredTo(truck.id),
    };
  };

  readonly parts: TruckRecords['parts'] = async (which) => {
    const truck = await this.#people.truck(which);
    return truck ? this.partsOf(truck.id) : [];
  };

  readonly truckList: TruckRecords['truckList'] = async ({ club, member, viewer }) => {
    const inClub = await this.#people.club(club);
    const owner = inClub && (await this.#people.member(inClub.id, member));
    if (!owner) return { kind: 'trucks', member: { id: member, name: '' }, trucks: [], offered: [] };
    const rows = await this.#db
      .selectFrom('truck')
      .select(['id', 'name', 'at'])
      .select(({ selectFrom }) => [
        selectFrom('latest')
          .select(({ fn }) => fn.max('latest.at').as('at'))
          .whereRef('latest.truck_id', '=', 'truck.id')
          .as('asked'),
        selectFrom('reading')
          .select(({ fn }) => fn.max('reading.at').as('at'))
          .whereRef('reading.truck_id', '=', 'truck.id')
          .as('told'),
        selectFrom('setup')
          .select(({ fn }) => fn.countAll<number>().as('n'))
          .whereRef('setup.truck_id', '=', 'truck.id')
          .where('setup.gone', '=', 0)
          .where('setup.private', 'in', viewer === member ? [0, 1] : [0])
          .as('setups'),
      ])
      .where('member_id', '=', owner.id)
      .where('name', '!=', '')
      .execute();
    const current = await this.#db.selectFrom('current_truck').select('truck_id').where('member_id', '=', owner.id).executeTakeFirst();
    const now = this.#clock();
    const trucks: TruckSummary[] = [];
    for (const { id, name, at, asked, told, setups } of rows) {
      const facts = [...(await this.#facts.of({ truck: id, at: now })).values()];
      trucks.push({
        truck: name,
        facts: facts.length,
        given: facts.filter(({ kept }) => !kept).length,
        parts: (await this.partsOf(id)).length,
        setups: Number(setups),
        at: Math.max(at, asked ?? 0, told ?? 0),
        current: current?.truck_id === id,
        offeredTo: await this.#offeredTo(id),
      });
    }
    trucks.sort((a, b) => b.at - a.at || (a.truck < b.truck ? -1 : 1));
    const offered = (await this.#offersTo(owner.id)).map(({ truck, from }) => ({ truck: truck.name, from }));
    return { kind: 'trucks', member: nameOf(owner), trucks, offered };
  };

  readonly members: TruckRecords['members'] = async ({ club }) => {
    const inClub = await this.#people.club(club);
    return inClub ? (await this.#membersOf(inClub.id)).map(nameOf) : [];
  };

  readonly memberCalled: TruckRecords['memberCalled'] = async ({ club, name }) => {
    const inClub = await this.#people.club(club);
    const found = inClub ? await this.#memberCalled(inClub.id, name, 'of') : problems(noMember('of', name, []));
    return 'kind' in found ? found : nameOf(found);
  };

  // ── facts ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────

  readonly keepFacts: TruckRecords['keepFacts'] = async (what) => {
    const own = await this.own(what, 'has to be there');
    if ('kind' in own) return own;
    const { club, member, truck, at } = own;
    const given = [...(await this.#facts.of({ truck: truck.id, at })).values()].filter(({ kept }) => !kept);
    if (given.length === 0) return problems(nothingToKeep(truck.name));
    const wanted = what.facts?.map((name) => nameKey(name).replace(/[\s-]+/g, '_'));
    const strange = wanted?.filter((name) => !given.some(({ fact }) => fact === name)) ?? [];
    if (strange.length > 0)
      return problems(
        ...strange.map((name) =>
          notGiven(
            truck.name,
            name,
            given.map(({ fact }) => fact),
          ),
        ),
      );
    const chosen = wanted ? given.filter(({ fact }) => wanted.includes(fact)) : given;
    const how = what.how === undefined ? {} : { how: what.how };
    const rows = chosen.map((fact) => ({ ...readingOf(fact), ...how, kept: true, sheet: fact.sheet, end: fact.end, givenAt: fact.at }));
    await this.#facts.add({ truck: truck.id, member: member.id, at }, rows);
    await this.#people.audit(club, member, at, 'facts kept', { truck: truck.id, hash: sha256(canonical(rows)) });
    const are = await this.#facts.of({ truck: truck.id, at });
    return { kind: 'kept', truck: truck.name, facts: chosen.map(({ fact, beneath }) => ({ is: are.get(fact)!, was: beneath })) };
  };

  readonly setFacts: TruckRecords['setFacts'] = async (what) => {
    const slips = what.readings.flatMap(slipOfReading);
    const own = await this.own(what, 'may be new', slips);
    if ('kind' in own) return own;
    const { club, member, truck, at } = own;
    const were = await this.#facts.of({ truck: truck.id, at });
    const rows = what.readings.map((reading) => ({ ...reading, how: what.how, kept: true, sheet: null, end: null, givenAt: at }));
    await this.#facts.add({ truck: truck.id, member: member.id, at }, rows);
    await this.#people.audit(club, member, at, 'facts set', { truck: truck.id, hash: sha256(canonical(rows)) });
    const are = await this.#facts.of({ truck: truck.id, at });
    return {
      kind: 'kept',
      truck: truck.name,
      facts: what.readings.map(({ fact }) => {
        const was = were.get(fact);
        return { is: are.get(fact)!, was: was === undefined ? null : beneathOf(was) };
      }),
    };
  };

  readonly forgetFact: TruckRecords['forgetFact'] = async (what) => {
    const own = await this.own(what, 'has to be there');
    if ('kind' in own) return own;
    const { club, member, truck, at } = own;
    const facts = await this.#facts.of({ truck: truck.id, at });
    const fact = facts.get(
      nameKey(what.fact)
        .trim()
        .replace(/[\s-]+/g, '_'),
    );
    if (!fact) return problems(noFact(truck.name, what.fact));
    const row = { ...readingOf(fact), kept: fact.kept, gone: true, sheet: fact.sheet, end: fact.end, givenAt: fact.at };
    await this.#facts.add({ truck: truck.id, member: member.id, at }, [row]);
    await this.#people.audit(club, member, at, 'fact forgotten', { truck: truck.id, hash: sha256(canonical(row)) });
    const before = fact.kept ? await this.#facts.before(truck.id, fact.fact) : undefined;
    if (before) {
      const rows = [{ ...readingOf(before), kept: true, sheet: before.sheet, end: before.end, givenAt: before.at }];
      await this.#facts.add({ truck: truck.id, member: member.id, at }, rows);
      await this.#people.audit(club, member, at, 'facts kept', { truck: truck.id, hash: sha256(canonical(rows)) });
    }
    const is = (await this.#facts.of({ truck: truck.id, at })).get(fact.fact) ?? null;
    return { kind: 'forgotten', truck: truck.name, fact, is };
  };

  readonly factHistory: TruckRecords['factHistory'] = async ({ fact, limit = 20, ...which }) => {
    const truck = await this.#people.truck(which);
    return truck ? this.#facts.history(truck.id, fact, Math.min(Math.max(Math.trunc(limit), 1), MOST_HISTORY)) : [];
  };

  readonly renewAnswers: TruckRecords['renewAnswers'] = async (what) => {
    const own = await this.own(what, 'has to be there');
    if ('kind' in own) return own;
    const { club, member, truck, at } = own;
    for (const { sheet, end, readings, answer } of what.records) {
      const row = { readings: canonical(readings), answer: canonical(answer), at };
      await this.#db
        .insertInto('latest')
        .values({ truck_id: truck.id, sheet, end: end ?? '', ...row })
        .onConflict((conflict) => conflict.columns(['truck_id', 'sheet', 'end']).doUpdateSet(row))
        .execute();
      const hash = sha256(`${row.readings}\n${row.answer}`);
      await this.#people.audit(club, member, at, 'answer renewed', { truck: truck.id, sheet, end, hash });
    }
    return { kind: 'renewed' };
  };

  // ── from hand to hand ───────────────────────────────────────────────────────────────────────────────────────────────────────

  readonly offerTruck: TruckRecords['offerTruck'] = async ({ to, ...what }) => {
    const own = await this.own(what, 'has to be there');
    if ('kind' in own) return own;
    const { club, member, truck, at } = own;
    const other = await this.#memberCalled(club.id, to, 'to');
    if ('kind' in other) return other;
    await this.#db.deleteFrom('offer').where('truck_id', '=', truck.id).execute();
    const withdrawn = other.id === member.id;
    if (!withdrawn) await this.#db.insertInto('offer').values({ truck_id: truck.id, member_id: other.id, at }).execute();
    const act = withdrawn ? 'truck offer withdrawn' : 'truck offered';
    await this.#people.audit(club, member, at, act, { truck: truck.id, to: other.platform_id });
    return { kind: 'offered', truck: truck.name, to: withdrawn ? null : nameOf(other) };
  };

  readonly takeTruck: TruckRecords['takeTruck'] = async (what) => {
    const memberName = cleanName('member', 'Member name', what.memberName);
    const as = what.as === undefined ? undefined : cleanName('as', 'Truck', what.as);
    if ('problem' in memberName || (as && 'problem' in as)) return problems(...slipsOf(memberName, ...(as ? [as] : [])));
    const at = this.#clock();
    const club = await this.#people.seeClub(what.club, at);
    const member = await this.#people.seeMember(club, what.member, memberName.text, at);
    const offers = await this.#offersTo(member.id);
    const named = offers.filter(({ truck }) => truck.name_key === nameKey(what.truck.trim()));
    const from = what.from?.trim();
    const fitting = from ? named.filter((offer) => nameKey(offer.from.name) === nameKey(from) || offer.from.id === idIn(from)) : named;
    if (fitting.length === 0)
      return problems(
        notOffered(
          what.truck,
          offers.map((offer) => ({ truck: offer.truck.name, from: offer.from.name })),
        ),
      );
    if (fitting.length > 1)
      return problems(
        manyOffers(
          what.truck,
          fitting.map((offer) => offer.from.name),
        ),
      );
    const { truck, from: giver } = fitting[0]!;
    const name = as?.text ?? truck.name;
    if (await this.#people.truckNamed(member.id, name)) return problems(nameIsTaken(name));
    await this.#db.deleteFrom('offer').where('truck_id', '=', truck.id).execute();
    await this.#db.deleteFrom('current_truck').where('truck_id', '=', truck.id).execute();
    await this.#db
      .updateTable('truck')
      .set({ member_id: member.id, name, name_key: nameKey(name) })
      .where('id', '=', truck.id)
      .execute();
    await this.#people.audit(club, member, at, 'truck taken', { truck: truck.id, from: giver.id });
    await this.#setups.reindex({ truck: truck.id });
    return { kind: 'taken', truck: name, from: giver };
  };

  // ── its name, and its end ───────────────────────────────────────────────────────────────────────────────────────────────────────

  readonly renameTruck: TruckRecords['renameTruck'] = async ({ as, ...what }) => {
    const name = cleanName('as', 'Truck', as);
    const own = await this.own(what, 'has to be there', slipsOf(name));
    if ('kind' in own) return own;
    if ('problem' in name) return problems(...slipsOf(name));
    const { club, member, truck, at } = own;
    const there = await this.#people.truckNamed(member.id, name.text);
    if (there && there.id !== truck.id) return problems(nameIsTaken(there.name));
    await this.#db
      .updateTable('truck')
      .set({ name: name.text, name_key: nameKey(name.text) })
      .where('id', '=', truck.id)
      .execute();
    await this.#people.audit(club, member, at, 'truck renamed', { truck: truck.id });
    await this.#setups.reindex({ truck: truck.id });
    return { kind: 'renamed', truck: name.text, was: truck.name };
  };

  readonly removeTruck: TruckRecords['removeTruck'] = async ({ sure, ...what }) => {
    const own = await this.own(what, 'has to be there');
    if ('kind' in own) return own;
    const { club, member, truck, at } = own;
    const setups = await this.#db
      .selectFrom('setup')
      .select(['number', 'gone'])
      .where('truck_id', '=', truck.id)
      .orderBy('number')
      .execute();
    const there = setups.filter(({ gone }) => gone === 0).map(({ number }) => number);
    if (there.length > 0) return problems(truckHasSetups(truck.name, there));
    const { n } = await this.#db
      .selectFrom('run')
      .select(({ fn }) => fn.countAll<number>().as('n'))
      .where('truck_id', '=', truck.id)
      .executeTakeFirstOrThrow();
    const facts = (await this.#facts.of({ truck: truck.id, at })).size;
    const parts = (await this.partsOf(truck.id)).length;
    const removed: RemovedTruck = { kind: 'truck removed', truck: truck.name, done: sure, facts, parts, runs: Number(n) };
    if (!sure) return removed;
    await emptyTruck(this.#db, truck.id);
    // A setup that is gone keeps its number, and its row names the truck.
    if (setups.length === 0) await this.#db.deleteFrom('truck').where('id', '=', truck.id).execute();
    else await namelessTruck(this.#db, truck.id);
    await this.#people.audit(club, member, at, 'truck removed', { truck: truck.id });
    return removed;
  };

  // ── parts ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────

  readonly putPart: TruckRecords['putPart'] = async ({ part, must, ...what }) => {
    const name = cleanName('name', 'Part', part.name);
    const note = part.note === undefined ? undefined : cleanNotes('note', 'Note', part.note);
    const slips = slipsOf(name, ...(note ? [note] : []));
    if ('text' in name && /[/;]/.test(name.text)) slips.push(partHasSigns(name.text));
    if ('text' in name && must === 'be new' && part.mass === undefined) slips.push(noMass(name.text));
    const own = await this.own(what, must === 'be there' ? 'has to be there' : 'may be new', slips);
    if ('kind' in own) return own;
    if ('problem' in name || (note && 'problem' in note)) return problems(...slips);
    const { club, member, truck, at } = own;
    const parts = await this.partsOf(truck.id);
    const was = parts.find((one) => nameKey(one.name) === nameKey(name.text)) ?? null;
    if (must === 'be new' && was) return problems(partIsThere(truck.name, was.name));
    if (must === 'be there' && !was) return problems(this.#noPart(truck.name, name.text, parts));
    if (!was && parts.length >= MOST_PARTS) return problems(tooManyParts(MOST_PARTS));
    const mass = (part.mass ?? was?.mass)!;
    const is: Part = {
      ...NEW_PART,
      ...was,
      ...part,
      mass,
      // What was typed and its ± belong to the mass that they came with.
      typed: (part.mass === undefined ? was?.typed : part.typed) ?? '',
      uncertainty: (part.mass === undefined ? was?.uncertainty : part.uncertainty) ?? null,
      name: was?.name ?? name.text,
      note: note?.text ?? was?.note ?? '',
      by: nameOf(member),
      at,
    };
    await writePart({ db: this.#db, people: this.#people }, { club, member, truck, at }, is, false);
    return { kind: 'part', truck: truck.name, part: is, was };
  };

  readonly removePart: TruckRecords['removePart'] = async (what) => {
    const own = await this.own(what, 'has to be there');
    if ('kind' in own) return own;
    const parts = await this.partsOf(own.truck.id);
    const part = parts.find((one) => nameKey(one.name) === nameKey(what.name.trim()));
    if (!part) return problems(this.#noPart(own.truck.name, what.name, parts));
    await writePart({ db: this.#db, people: this.#people }, own, part, true);
    return { kind: 'part removed', truck: own.truck.name, part };
  };

  partsOf(truck: number): Promise<readonly Part[]> {
    return partsOf(this.#db, truck);
  }

  partsStates(truck: number, marks: readonly number[]): Promise<readonly (readonly Part[])[]> {
    return partsStates(this.#db, truck, marks);
  }

  async partsMark(truck: number): Promise<number> {
    const row = await this.#db
      .selectFrom('part')
      .select(({ fn }) => fn.max('id').as('id'))
      .where('truck_id', '=', truck)
      .executeTakeFirst();
    return row?.id ?? 0;
  }

  #noPart(truck: string, got: string, parts: readonly Part[]): Problem {
    return noPart(
      truck,
      got,
      parts.map(({ name }) => name),
    );
  }

  // ── whose ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────

  /** The member who writes and their own truck, seen to be there; every slip of the names together with `slips`. */
  async own(what: OwnTruck, wanted: 'may be new' | 'has to be there', slips: readonly Problem[] = []): Promise<Own | Problems> {
    const name = cleanName('truck', 'Truck', what.truck);
    const memberName = cleanName('member', 'Member name', what.memberName);
    const all = [...slipsOf(name, memberName), ...slips];
    if ('problem' in name || 'problem' in memberName || all.length > 0) return problems(...all);
    if (wanted === 'has to be there' && !(await this.#people.truck(what))) {
      return problems(noTruck(name.text, null, await this.namesOf(what)));
    }
    const at = this.#clock();
    const club = await this.#people.seeClub(what.club, at);
    const member = await this.#people.seeMember(club, what.member, memberName.text, at);
    return { club, member, truck: await this.#people.seeTruck(club, member, name.text, at), at };
  }

  async namesOf({ club, member }: { readonly club: string; readonly member: string }): Promise<string[]> {
    const inClub = await this.#people.club(club);
    const owner = inClub && (await this.#people.member(inClub.id, member));
    if (!owner) return [];
    const rows = await this.#db
      .selectFrom('truck')
      .select('name')
      .where('member_id', '=', owner.id)
      .where('name', '!=', '')
      .orderBy('name')
      .execute();
    return rows.map(({ name }) => name);
  }

  /** Who has left has a name no more. */
  #membersOf(club: number): Promise<Member[]> {
    return this.#db
      .selectFrom('member')
      .selectAll()
      .where('club_id', '=', club)
      .where('platform_id', 'not like', `${LEFT}%`)
      .orderBy('name')
      .execute();
  }

  /** By name, as a mention of the platform, or by its id. */
  async #memberCalled(club: number, typed: string, reading: string): Promise<Member | Problems> {
    const all = await this.#membersOf(club);
    const id = idIn(typed);
    const byId = all.find(({ platform_id }) => platform_id === id);
    if (byId) return byId;
    const name = nameKey(typed.trim().replace(/^@/, ''));
    const called = all.filter((one) => nameKey(one.name) === name);
    if (called.length === 1) return called[0]!;
    if (called.length > 1) return problems(manyMembers(reading, typed, called.length));
    const names = all.map((one) => one.name);
    const like = nearest(typed, names);
    return problems(noMember(reading, typed, like === undefined ? names : [like]));
  }

  async #offeredTo(truck: number): Promise<MemberName | null> {
    const row = await this.#db
      .selectFrom('offer')
      .innerJoin('member', 'member.id', 'offer.member_id')
      .select(['member.platform_id', 'member.name'])
      .where('truck_id', '=', truck)
      .executeTakeFirst();
    return row ? nameOf(row) : null;
  }

  async #offersTo(member: number): Promise<{ readonly truck: Truck; readonly from: MemberName }[]> {
    const rows = await this.#db
      .selectFrom('offer')
      .innerJoin('truck', 'truck.id', 'offer.truck_id')
      .innerJoin('member', 'member.id', 'truck.member_id')
      .selectAll('truck')
      .select(['member.platform_id as from_id', 'member.name as from_name'])
      .where('offer.member_id', '=', member)
      .orderBy('truck.id')
      .execute();
    return rows.map(({ from_id, from_name, ...truck }) => ({ truck, from: { id: from_id, name: from_name } }));
  }
}

const NEW_PART: Omit<Part, 'name' | 'typed' | 'mass' | 'by' | 'at'> = {
  count: 1,
  uncertainty: null,
  place: null,
  places: [],
  sprung: true,
  axle: null,
  role: null,
  note: '',
};

const nameOf = ({ platform_id, name }: Pick<Member, 'platform_id' | 'name'>): MemberName => ({ id: platform_id, name });

/** `<@118…>` as a chat writes a mention, or the bare id. */
const idIn = (typed: string): string => typed.trim().replace(/^<@!?(.+)>$/, '$1');
