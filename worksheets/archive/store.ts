import { type Kysely, type RawBuilder, type Selectable, type SqlBool, sql } from 'kysely';
import type { Answer, Problem, Problems } from '../engine/types.ts';
import { canonical, isStorable, sha256 } from './canonical.ts';
import { changesBetween } from './changes.ts';
import { ArchiveError } from './errors.ts';
import { CONVERSATION, type Facts, readingOf } from './facts.ts';
import { narrowedBy, putFacets, removeFacets } from './finding.ts';
import type { FindWords, FullText, SetupWords } from './full-text.ts';
import { type Cleaned, cleanName, cleanNotes, MOST, nameKey } from './names.ts';
import { cleanParts, partsOf, setupPart } from './parts-list.ts';
import type { Club, People } from './people.ts';
import { type Pictures, pictureHash } from './pictures.ts';
import { may } from './rights.ts';
import {
  enoughPictures,
  manySetups,
  movedOn,
  noPicture,
  noRevision,
  noSetup,
  nothingToSave,
  nothingToSaveOver,
  notYours,
  problems,
  samePicture,
  tooLong,
  tooManyTags,
  unstorable,
} from './sentences.ts';
import { runsAs } from './setup-runs.ts';
import type { Tables } from './tables.ts';
import type {
  Conditions,
  Conflict,
  End,
  Fact,
  FindSetups,
  FoundSetups,
  GivenReading,
  OwnSetup,
  Records,
  Remember,
  Remembered,
  Revision,
  SavedSetup,
  SaveSetup,
  SetupDoc,
  SetupFact,
  SetupHistory,
  SetupRecords,
  SetupRun,
  SetupSummary,
  SheetRecord,
  ShownSetup,
  TruckOf,
  WhichSetup,
} from './types.ts';
import { PICTURE } from './webp.ts';
import { wordsOf } from './words.ts';

type Db = Kysely<Tables>;

const MOST_FOUND = 50;
const MOST_WORDS = 12;

/** Answers, and setups with their revisions. */
export class Store
  implements
    Pick<
      Records,
      | 'remember'
      | 'trucks'
      | 'facts'
      | 'latest'
      | 'saveSetup'
      | 'findSetups'
      | 'showSetup'
      | 'setupHistory'
      | 'setPrivate'
      | 'restoreSetup'
      | 'removeSetup'
      | 'importSetup'
      | 'addPicture'
      | 'takePicture'
    >
{
  readonly #db: Db;
  readonly #words: FullText;
  readonly #clock: () => number;
  readonly #people: People;
  readonly #facts: Facts;
  readonly #pictures: Pictures;

  constructor(over: {
    readonly db: Db;
    readonly words: FullText;
    readonly clock: () => number;
    readonly people: People;
    readonly facts: Facts;
    readonly pictures: Pictures;
  }) {
    this.#db = over.db;
    this.#words = over.words;
    this.#clock = over.clock;
    this.#people = over.people;
    this.#facts = over.facts;
    this.#pictures = over.pictures;
  }

  async remember(what: Remember): Promise<Remembered | Problems> {
    const truckName = cleanName('truck', 'Truck', what.truck);
    const memberName = cleanName('member', 'Member name', what.memberName);
    const slips = [...slipsOf(truckName, memberName), ...what.readings.flatMap(slipOfReading)];
    if ('problem' in truckName || 'problem' in memberName || slips.length > 0) return problems(...slips);

    const at = this.#clock();
    const club = await this.#people.seeClub(what.club, at);
    const member = await this.#people.seeMember(club, what.member, memberName.text, at);
    const truck = await this.#people.seeTruck(club, member, truckName.text, at);
    const end = what.end ?? '';
    const row = { readings: canonical(what.readings), answer: canonical(what.answer), at };
    await this.#db
      .insertInto('latest')
      .values({ truck_id: truck.id, sheet: what.sheet, end, ...row })
      .onConflict((conflict) => conflict.columns(['truck_id', 'sheet', 'end']).doUpdateSet(row))
      .execute();
    const given = what.readings.map((reading) => ({ ...reading, kept: false, sheet: what.sheet, end: what.end, givenAt: at }));
    await this.#facts.add({ truck: truck.id, member: member.id, at }, given);
    const hash = sha256(`${row.readings}\n${row.answer}`);
    await this.#people.audit(club, member, at, 'answer', { truck: truck.id, sheet: what.sheet, end: what.end, hash });
    return { kind: 'remembered', truck: truck.name, at };
  }

  async trucks({ club, member }: { readonly club: string; readonly member: string }): Promise<readonly string[]> {
    const inClub = await this.#people.club(club);
    const owner = inClub && (await this.#people.member(inClub.id, member));
    if (!owner) return [];
    const rows = await this.#db
      .selectFrom('truck')
      .leftJoin('latest', 'latest.truck_id', 'truck.id')
      .select(['truck.id', 'truck.name'])
      .where('truck.member_id', '=', owner.id)
      .where('truck.name', '!=', '')
      .groupBy(['truck.id', 'truck.name', 'truck.at'])
      .orderBy((eb) => eb.fn.coalesce(eb.fn.max('latest.at'), 'truck.at'), 'desc')
      .orderBy('truck.id', 'desc')
      .execute();
    return rows.map(({ name }) => name);
  }

  async facts(which: TruckOf): Promise<ReadonlyMap<string, Fact>> {
    const truck = await this.#people.truck(which);
    return truck ? this.#facts.of({ truck: truck.id, at: this.#clock() }) : new Map();
  }

  async latest(which: TruckOf): Promise<readonly SheetRecord[]> {
    const truck = await this.#people.truck(which);
    return truck ? this.latestOf(truck.id) : [];
  }

  readonly importSetup: SetupRecords['importSetup'] = async ({
    memberName,
    facts,
    parts = [],
    sheets,
    pictures = [],
    runs = [],
    ...what
  }) => {
    const truck = cleanName('truck', 'Truck', what.truck);
    const member = cleanName('member', 'Member name', memberName);
    const list = cleanParts(parts);
    const slips = [
      ...slipsOf(truck, member),
      ...list.slips,
      ...[...facts, ...sheets.flatMap(({ readings }) => readings)].flatMap(slipOfReading),
    ];
    if ('problem' in truck || 'problem' in member || slips.length > 0) return problems(...slips);
    const at = this.#clock();
    const club = await this.#people.seeClub(what.club, at);
    await this.#people.seeTruck(club, await this.#people.seeMember(club, what.member, member.text, at), truck.text, at);
    const hashes: string[] = [];
    for (const picture of pictures.slice(0, PICTURE.each)) hashes.push(await this.#pictures.put(club.id, picture, at));
    const from = { facts, parts: list.clean, sheets, pictures: [...new Set(hashes)], runs };
    const saved = await this.saveSetup({ ...what, fresh: true }, from);
    // Without a revision to start from there is none to be in conflict with.
    return saved.kind === 'conflict' ? problems() : saved;
  };

  /** `from`: what it holds, where that is not the truck as it is now. */
  async saveSetup(
    what: SaveSetup,
    from?: Pick<SetupDoc, 'facts' | 'parts' | 'sheets' | 'pictures' | 'runs'>,
  ): Promise<SavedSetup | Conflict | Problems> {
    const name = cleanName('name', 'Setup name', what.name);
    const notes = what.notes === undefined ? undefined : cleanNotes('notes', 'Notes', what.notes);
    const tags = what.tags === undefined ? undefined : cleanTags(what.tags);
    const said = cleanConditions(what.conditions ?? {});
    const slips = [...slipsOf(name), ...(notes ? slipsOf(notes) : []), ...(tags?.slips ?? []), ...said.slips];
    if ('problem' in name || (notes && 'problem' in notes) || slips.length > 0) return problems(...slips);

    const truck = await this.#people.truck(what);
    if (!truck) return problems(nothingToSave(what.truck));
    const at = this.#clock();
    const club = await this.#people.seeClub(what.club, at);
    const sheets = from?.sheets ?? asTheyAre(await this.latestOf(truck.id), what, at);
    if (sheets.length === 0) return problems(nothingToSave(truck.name));

    const named = (text: string) =>
      this.#db
        .selectFrom('setup')
        .selectAll()
        .where('truck_id', '=', truck.id)
        .where('gone', '=', 0)
        .where('name_key', '=', nameKey(text))
        .executeTakeFirst();
    let called = name.text;
    let before = await named(called);
    for (let count = 2; what.fresh && before; count += 1) {
      called = `${[...name.text].slice(0, MOST.name - 6).join('')} ${count}`;
      before = await named(called);
    }
    if (what.baseRev !== undefined && what.baseRev !== before?.rev) {
      if (!before) return problems(nothingToSaveOver(name.text, truck.name));
      return this.#conflict({ club: what.club, member: what.member, id: before.number }, what.baseRev);
    }

    const rev = (before?.rev ?? 0) + 1;
    const facets = {
      name: called,
      notes: notes?.text ?? before?.notes ?? '',
      tags: canonical(tags?.clean ?? (before ? parse<string[]>(before.tags) : [])),
      sheets: canonical([...new Set(sheets.map(({ sheet }) => sheet))].sort()),
      rev,
      at,
      private: what.private === undefined ? (before?.private ?? 0) : what.private ? 1 : 0,
    };
    const setup = before
      ? await this.#db.updateTable('setup').set(facets).where('id', '=', before.id).returningAll().executeTakeFirstOrThrow()
      : await this.#db
          .insertInto('setup')
          .values({
            club_id: club.id,
            number: await this.#nextNumber(club),
            truck_id: truck.id,
            name_key: nameKey(called),
            ...facets,
          })
          .returningAll()
          .executeTakeFirstOrThrow();

    const earlier = before && at - before.at <= CONVERSATION ? await this.#newestDoc(before.id, before.rev) : undefined;
    const conditions = what.conditions === undefined ? earlier?.conditions : said.clean;
    const pictures = from ? from.pictures : before && (await this.#pictures.hashes(before.id, before.rev));
    const held = from?.facts ?? [...(await this.#facts.of({ truck: truck.id, at })).values()].map(setupFact);
    const parts = from ? from.parts : (await partsOf(this.#db, truck.id)).map(setupPart);
    const runs = from ? from.runs : await runsAs({ db: this.#db, facts: this.#facts }, truck.id, held);
    const doc: SetupDoc = {
      format: 1,
      name: facets.name,
      truck: truck.name,
      member: String(truck.member_id),
      rev,
      at,
      notes: facets.notes,
      tags: parse(facets.tags),
      ...(conditions && Object.keys(conditions).length > 0 ? { conditions } : {}),
      ...(pictures && pictures.length > 0 ? { pictures } : {}),
      ...(runs && runs.length > 0 ? { runs } : {}),
      facts: held,
      ...(parts && parts.length > 0 ? { parts } : {}),
      sheets,
    };
    const author = { id: truck.member_id, platform_id: what.member };
    const hash = await this.#addRevision(club, author, setup, doc);
    const codes = what.private ? await this.endCodes({ setup, club, author }) : 0;
    return { kind: 'saved', hash, ...(codes > 0 ? { codes } : {}), ...(await this.#summary(setup.id)) };
  }

  /** The facets of the setup's row are those of `doc` already. */
  async #addRevision(
    club: Club,
    author: { readonly id: number; readonly platform_id: string },
    setup: Pick<Selectable<Tables['setup']>, 'id' | 'number'>,
    doc: SetupDoc,
  ): Promise<string> {
    const { rev, at } = doc;
    const text = canonical(doc);
    const parent = rev > 1 ? await this.#hashOf(setup.id, rev - 1) : null;
    const hash = revisionHash(parent, text);
    await this.#db
      .insertInto('revision')
      .values({ setup_id: setup.id, rev, parent_hash: parent, hash, doc: text, author_id: author.id, at })
      .execute();
    await this.#pictures.attach(club.id, { setup: setup.id, rev }, doc.pictures ?? []);
    await this.#people.audit(club, author, at, 'setup', { setup: setup.number, rev, hash });
    await this.#index(setup.id);
    return hash;
  }

  async #newestDoc(setup: number, rev: number): Promise<SetupDoc> {
    return docOf(await this.#revisions(setup).where('revision.rev', '=', rev).executeTakeFirstOrThrow());
  }

  readonly restoreSetup: SetupRecords['restoreSetup'] = async ({ rev, ...which }) => {
    const own = await this.own(which, 'change setup');
    if ('kind' in own) return own;
    const { setup } = own;
    const row = Number.isSafeInteger(rev) ? await this.#revisions(setup.id).where('revision.rev', '=', rev).executeTakeFirst() : undefined;
    if (!row) return problems(noRevision(rev, setup.rev));
    return this.#renew(own, docOf(row));
  };

  /** The next revision, which holds what `doc` does. */
  async #renew({ setup, club, author }: OwnedSetup, held: SetupDoc): Promise<SavedSetup> {
    const at = this.#clock();
    const runs = await this.#runsOf(setup.truck_id, held);
    const doc: SetupDoc = { ...held, ...(runs.length > 0 ? { runs } : {}), rev: setup.rev + 1, at };
    await this.#db
      .updateTable('setup')
      .set({
        notes: doc.notes,
        tags: canonical(doc.tags),
        sheets: canonical([...new Set(doc.sheets.map(({ sheet }) => sheet))].sort()),
        rev: doc.rev,
        at,
      })
      .where('id', '=', setup.id)
      .execute();
    const hash = await this.#addRevision(club, author, setup, doc);
    return { kind: 'saved', hash, ...(await this.#summary(setup.id)) };
  }

  /** Those that a revision was saved with, and those since. */
  async #runsOf(truck: number, { runs = [], facts, at }: SetupDoc): Promise<readonly SetupRun[]> {
    return [...runs, ...(await runsAs({ db: this.#db, facts: this.#facts }, truck, facts, at))].slice(-MOST.runs);
  }

  readonly addPicture: SetupRecords['addPicture'] = async ({ picture, ...which }) => {
    const own = await this.own(which, 'change setup');
    if ('kind' in own) return own;
    const { setup, club } = own;
    const newest = await this.#newestDoc(setup.id, setup.rev);
    const pictures = newest.pictures ?? [];
    if (pictures.includes(pictureHash(picture))) return problems(samePicture(setup.name));
    if (pictures.length >= PICTURE.each) return problems(enoughPictures(setup.name, PICTURE.each));
    const hash = await this.#pictures.put(club.id, picture, this.#clock());
    return this.#renew(own, { ...newest, pictures: [...pictures, hash] });
  };

  readonly takePicture: SetupRecords['takePicture'] = async ({ number, ...which }) => {
    const own = await this.own(which, 'change setup');
    if ('kind' in own) return own;
    const { setup } = own;
    const { pictures = [], ...newest } = await this.#newestDoc(setup.id, setup.rev);
    const left = pictures.filter((_, i) => i !== number - 1);
    if (left.length === pictures.length) return problems(noPicture(setup.name, number, pictures.length));
    return this.#renew(own, { ...newest, ...(left.length > 0 ? { pictures: left } : {}) });
  };

  readonly setPrivate: SetupRecords['setPrivate'] = async ({ private: wanted, ...which }) => {
    const own = await this.own(which, 'change setup');
    if ('kind' in own) return own;
    const { setup, club, author } = own;
    await this.#db
      .updateTable('setup')
      .set({ private: wanted ? 1 : 0 })
      .where('id', '=', setup.id)
      .execute();
    await this.#people.audit(club, author, this.#clock(), wanted ? 'setup made private' : 'setup opened', { setup: setup.number });
    const codes = wanted ? await this.endCodes({ setup, club, author }) : 0;
    return { kind: 'privacy', id: setup.number, name: setup.name, private: wanted, codes };
  };

  /** What is its owner's alone is shown by no code; how many ended. */
  async endCodes(of: {
    readonly setup: Pick<Selectable<Tables['setup']>, 'id' | 'number'>;
    readonly club: Club;
    readonly author: { readonly id: number; readonly platform_id: string };
  }): Promise<number> {
    const { setup, club, author } = of;
    const { numDeletedRows } = await this.#db.deleteFrom('share').where('setup_id', '=', setup.id).executeTakeFirstOrThrow();
    if (numDeletedRows > 0n) await this.#people.audit(club, author, this.#clock(), 'setup sharing ended', { setup: setup.number });
    return Number(numDeletedRows);
  }

  readonly removeSetup: SetupRecords['removeSetup'] = async (which) => {
    const own = await this.own(which, 'remove setup');
    if ('kind' in own) return own;
    const { setup, club, author } = own;
    await this.wipe(club, author, setup);
    return { kind: 'removed', id: setup.number, name: setup.name };
  };

  /** The number stays, and in the log the hashes; everything else of the setup goes. */
  async wipe(
    club: Pick<Club, 'id' | 'platform_id'>,
    author: { readonly id: number; readonly platform_id: string } | null,
    setup: { readonly id: number; readonly number: number },
  ): Promise<void> {
    await this.#words.remove(this.#db, setup.id);
    await removeFacets(this.#db, [setup.id]);
    await this.#db.deleteFrom('share').where('setup_id', '=', setup.id).execute();
    // No name that can be typed begins with a space, so the key is free again.
    const empty = { name: '', name_key: ` ${setup.number}`, notes: '', tags: '[]', sheets: '[]', private: 1, gone: 1 };
    await this.#db.updateTable('setup').set(empty).where('id', '=', setup.id).execute();
    await this.#pictures.drop(setup.id);
    await this.#db.deleteFrom('revision').where('setup_id', '=', setup.id).execute();
    await this.#people.audit(club, author, this.#clock(), 'setup gone', { setup: setup.number });
  }

  /** A setup to do something to; whoever may not hears why, unless even that would tell too much. */
  async own(which: OwnSetup, act: 'change setup' | 'remove setup' | 'share setup' | 'end sharing', officer = false) {
    const setup = await this.which(which);
    if ('problem' in setup) return problems(setup.problem);
    const club = await this.#people.seeClub(which.club, this.#clock());
    const owner = setup.member_platform_id === which.member;
    if (!may(act, [...(owner ? (['owner'] as const) : []), ...(officer ? (['officer'] as const) : []), 'member']))
      return problems(notYours(setup.name, setup.member));
    const author = await this.#people.member(club.id, which.member);
    if (!author) return problems(notYours(setup.name, setup.member));
    return { setup, club, author };
  }

  async findSetups({ club, words, limit = 10, offset = 0, viewer, facets = {}, numbers = [] }: FindSetups): Promise<FoundSetups> {
    const found = await this.#people.club(club);
    const typed = words.slice(0, 400);
    const terms = wordsOf(typed).slice(0, MOST_WORDS);
    // "!!!" asks for something that no setup holds; nothing typed asks for all of them.
    if (!found || (terms.length === 0 && typed.trim() !== '')) return { setups: [], more: false };
    const most = between(limit, 1, MOST_FOUND);
    const from = between(offset, 0, 1e9);
    const looks = viewer === undefined ? undefined : await this.#people.member(found.id, viewer);
    const { where, few } = await narrowedBy(this.#db, found.id, facets, numbers);
    if (few?.length === 0) return { setups: [], more: false };
    const narrowed = sql`setup.gone = 0 and ${visibleTo(looks?.id)} and ${where}`;
    const what = { club: found.id, words: terms, narrowed, limit: most + 1, offset: from };
    const ids = terms.length > 0 ? await this.#words.find(this.#db, what) : await this.#newest(what, few !== null);
    return { setups: await this.#summaries(ids.slice(0, most)), more: ids.length > most };
  }

  async showSetup({ rev, ...which }: WhichSetup & { readonly rev?: number }): Promise<ShownSetup | Problems> {
    const setup = await this.which(which);
    if ('problem' in setup) return problems(setup.problem);
    const wanted = rev ?? setup.rev;
    // PostgreSQL would not compare a whole number with 0.5 or NaN.
    const row = Number.isSafeInteger(wanted)
      ? await this.#revisions(setup.id).where('revision.rev', '=', wanted).executeTakeFirst()
      : undefined;
    if (!row) return problems(noRevision(wanted, setup.rev));
    const doc = docOf(row);
    return {
      kind: 'setup',
      id: setup.number,
      member: { id: setup.member_platform_id, name: setup.member },
      truck: setup.truck,
      newest: setup.rev,
      private: setup.private === 1,
      revision: revisionOf(row),
      doc,
      runs: await this.#runsOf(setup.truck_id, doc),
    };
  }

  async setupHistory({ limit = 25, ...which }: WhichSetup & { readonly limit?: number }): Promise<SetupHistory | Problems> {
    const setup = await this.which(which);
    if ('problem' in setup) return problems(setup.problem);
    const most = between(limit, 1, MOST_FOUND);
    // One more than is shown: the oldest that is shown has to be compared with the one before it.
    const rows = await this.#revisions(setup.id)
      .orderBy('revision.rev', 'desc')
      .limit(most + 1)
      .execute();
    const docs = rows.map(docOf);
    return {
      kind: 'history',
      setup: await this.#summary(setup.id),
      revisions: rows.slice(0, most).map((row, index) => ({
        ...revisionOf(row),
        doc: docs[index]!,
        before: docs[index + 1] ?? null,
        changes: docs[index + 1] ? changesBetween(docs[index + 1]!, docs[index]!) : [],
      })),
    };
  }

  // ── a truck's facts and answers ──────────────────────────────────────────────────────────────────────────────────────────────────────────────

  async latestOf(truck: number): Promise<readonly SheetRecord[]> {
    const rows = await this.#db
      .selectFrom('latest')
      .selectAll()
      .where('truck_id', '=', truck)
      .orderBy('at', 'desc')
      .orderBy('sheet')
      .orderBy('end')
      .execute();
    return rows.map(({ sheet, end, at, readings, answer }) => ({
      sheet,
      end: endOf(end),
      at,
      readings: parse<GivenReading[]>(readings),
      answer: parse<Answer>(answer),
    }));
  }

  /** Names stand beside the words that setups are found by. */
  async reindex(whose: { readonly member: number } | { readonly truck: number }): Promise<void> {
    const setups = await this.#db
      .selectFrom('setup')
      .innerJoin('truck', 'truck.id', 'setup.truck_id')
      .select('setup.id')
      .where('setup.gone', '=', 0)
      .where('member' in whose ? 'truck.member_id' : 'truck.id', '=', 'member' in whose ? whose.member : whose.truck)
      .execute();
    for (const { id } of setups) await this.#index(id);
  }

  // ── setups ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────

  async #nextNumber(club: Club): Promise<number> {
    const { setups } = await this.#db
      .updateTable('club')
      .set((eb) => ({ setups: eb('setups', '+', 1) }))
      .where('id', '=', club.id)
      .returning('setups')
      .executeTakeFirstOrThrow();
    return setups;
  }

  async #hashOf(setup: number, rev: number): Promise<string> {
    const { hash } = await this.#db
      .selectFrom('revision')
      .select('hash')
      .where('setup_id', '=', setup)
      .where('rev', '=', rev)
      .executeTakeFirstOrThrow();
    return hash;
  }

  async #conflict(which: WhichSetup, base: number): Promise<Conflict | Problems> {
    const newest = await this.showSetup(which);
    if (newest.kind === 'problems') return newest;
    const from = await this.showSetup({ ...which, rev: base });
    if (from.kind === 'problems') return from;
    return {
      kind: 'conflict',
      text: movedOn(newest.doc.name, base, newest.newest),
      newest,
      changes: changesBetween(from.doc, newest.doc),
    };
  }

  #setups() {
    return this.#db
      .selectFrom('setup')
      .innerJoin('truck', 'truck.id', 'setup.truck_id')
      .innerJoin('member', 'member.id', 'truck.member_id')
      .selectAll('setup')
      .select(['truck.name as truck', 'truck.name_key as truck_key', 'member.name as member', 'member.platform_id as member_platform_id']);
  }

  #revisions(setup: number) {
    return this.#db
      .selectFrom('revision')
      .innerJoin('member', 'member.id', 'revision.author_id')
      .selectAll('revision')
      .select(['member.name as author', 'member.platform_id as author_platform_id'])
      .where('revision.setup_id', '=', setup);
  }

  async #summary(id: number): Promise<SetupSummary> {
    const [summary] = await this.#summaries([id]);
    return summary!;
  }

  async #summaries(ids: readonly number[]): Promise<SetupSummary[]> {
    if (ids.length === 0) return [];
    const rows = await this.#setups().where('setup.id', 'in', ids).execute();
    const byId = new Map(rows.map((row) => [row.id, row]));
    return ids.map((id) => {
      const row = byId.get(id)!;
      return {
        id: row.number,
        name: row.name,
        truck: row.truck,
        member: { id: row.member_platform_id, name: row.member },
        notes: row.notes,
        tags: parse(row.tags),
        sheets: parse(row.sheets),
        rev: row.rev,
        at: row.at,
        private: row.private === 1,
      };
    });
  }

  async #newest({ club, narrowed, limit, offset }: Omit<FindWords, 'words'>, few: boolean): Promise<number[]> {
    // Of a few, each is looked up and they are put in order: a database that does not count would walk through all setups by their time.
    const [of, at] = few ? [sql<number>`(setup.club_id + 0)`, sql`(setup.at + 0)`] : [sql<number>`setup.club_id`, sql`setup.at`];
    const rows = await this.#db
      .selectFrom('setup')
      .select('id')
      .where(of, '=', club)
      .where(sql<SqlBool>`(${narrowed})`)
      .orderBy(at, 'desc')
      .orderBy('id', 'desc')
      .limit(limit)
      .offset(offset)
      .execute();
    return rows.map(({ id }) => id);
  }

  /** What the asker may not see is not there. */
  async which(which: WhichSetup) {
    const club = await this.#people.club(which.club);
    const looks = club && which.member !== undefined ? await this.#people.member(club.id, which.member) : undefined;
    const inClub = this.#setups()
      .where('setup.club_id', '=', club?.id ?? -1)
      .where('setup.gone', '=', 0)
      .where(sql<SqlBool>`${visibleTo(looks?.id)}`);
    if ('id' in which) {
      const row = Number.isSafeInteger(which.id) ? await inClub.where('setup.number', '=', which.id).executeTakeFirst() : undefined;
      return row ?? { problem: noSetup('id', String(which.id)) };
    }
    const name = cleanName('name', 'Setup name', which.name);
    if ('problem' in name) return name;
    // Sorted here: asked for in that order, SQLite would walk through all setups of the club by their numbers.
    const named = (await inClub.where('setup.name_key', '=', nameKey(name.text)).execute()).sort((a, b) => a.number - b.number);
    const truck = which.truck === undefined ? undefined : nameKey(which.truck);
    const fitting = truck === undefined ? named : named.filter((row) => row.truck_key === truck);
    const own = fitting.filter((row) => row.member_platform_id === which.member);
    const rows = own.length > 0 ? own : fitting;
    if (rows.length === 1) return rows[0]!;
    if (rows.length === 0) return { problem: noSetup('name', which.name) };
    return {
      problem: manySetups(
        name.text,
        rows.map(({ number, truck, member }) => ({ id: number, truck, member })),
      ),
    };
  }

  async #index(id: number): Promise<void> {
    const { club, words } = await this.wordsFor(id);
    await this.#words.put(this.#db, id, club, words);
    const row = await this.#setups().where('setup.id', '=', id).executeTakeFirstOrThrow();
    await putFacets(this.#db, { id, club, owner: row.member, truck: row.truck }, await this.#newestDoc(id, row.rev));
  }

  /** What a setup is to be found by, from its newest revision. */
  async wordsFor(id: number): Promise<{ readonly club: number; readonly words: SetupWords }> {
    const row = await this.#setups().where('setup.id', '=', id).executeTakeFirstOrThrow();
    const folded = (text: string): string => wordsOf(text).join(' ');
    const doc = docOf(await this.#revisions(id).where('revision.rev', '=', row.rev).executeTakeFirstOrThrow());
    return {
      club: row.club_id,
      words: {
        name: folded(row.name),
        truck: folded(row.truck),
        tags: folded(doc.tags.join(' ')),
        member: folded(row.member),
        notes: folded([row.notes, ...conditionWords(doc.conditions ?? {})].join(' ')),
        sheets: folded(doc.sheets.map(({ answer }) => answer.title).join(' ')),
      },
    };
  }
}

type OwnedSetup = Exclude<Awaited<ReturnType<Store['own']>>, Problems>;

/** Which rows of `setup` a member of its club may see. */
function visibleTo(member: number | undefined): RawBuilder<unknown> {
  const sees = (own: boolean, act: 'see setup' | 'see private setup'): number => (may(act, own ? ['owner', 'member'] : ['member']) ? 1 : 0);
  const own = sql`(setup.truck_id in (select truck.id from truck where truck.member_id = ${member ?? -1}))`;
  const asOwner = sql`(setup.private = 0 and 1 = ${sees(true, 'see setup')} or setup.private = 1 and 1 = ${sees(true, 'see private setup')})`;
  const asOther = sql`(setup.private = 0 and 1 = ${sees(false, 'see setup')} or setup.private = 1 and 1 = ${sees(false, 'see private setup')})`;
  return sql`(${asOther} or ${own} and ${asOwner})`;
}

export const revisionHash = (parent: string | null, doc: string): string => sha256(`${parent ?? ''}\n${doc}`);

interface RevisionRow extends Selectable<Tables['revision']> {
  readonly author: string;
  readonly author_platform_id: string;
}

const revisionOf = (row: RevisionRow): Revision => ({
  rev: row.rev,
  at: row.at,
  author: { id: row.author_platform_id, name: row.author },
  hash: row.hash,
  parentHash: row.parent_hash,
});

/** The document, if it is still the one that was saved. */
function docOf(row: Pick<RevisionRow, 'hash' | 'parent_hash' | 'doc' | 'rev'>): SetupDoc {
  if (revisionHash(row.parent_hash, row.doc) !== row.hash) {
    throw new ArchiveError('damaged', `Revision ${row.rev} of this setup is not the one that was saved: its hash does not fit.`);
  }
  return parse<SetupDoc>(row.doc);
}

/** The last answers, newest first, with those that were asked again and without those that do not hold any more. */
function asTheyAre(latest: readonly SheetRecord[], { renewed = [], without = [] }: SaveSetup, at: number): readonly SheetRecord[] {
  const key = ({ sheet, end }: Pick<SheetRecord, 'sheet' | 'end'>): string => `${sheet} ${end ?? ''}`;
  const again = new Map(renewed.map((one) => [key(one), { ...one, at }]));
  const gone = new Set(without.map(key));
  return latest
    .filter((one) => !gone.has(key(one)))
    .map((one) => again.get(key(one)) ?? one)
    .sort((a, b) => b.at - a.at);
}

const setupFact = (fact: Fact): SetupFact => ({ ...readingOf(fact), sheet: fact.sheet, end: fact.end, at: fact.at });

const parse = <T>(text: string): T => JSON.parse(text) as T;
const endOf = (end: string): End => (end === '' ? null : (end as 'front' | 'rear'));

/** A whole number; NaN becomes the least. */
const between = (value: number, least: number, most: number): number => Math.min(Math.max(Math.trunc(value) || 0, least), most);

export const slipsOf = (...cleaned: readonly Cleaned[]): Problem[] => cleaned.flatMap((each) => ('problem' in each ? [each.problem] : []));

export function slipOfReading({ name, typed }: GivenReading): Problem[] {
  const label = name.charAt(0).toUpperCase() + name.slice(1).replaceAll('_', ' ');
  if (!isStorable(typed)) return [unstorable(name, label, typed)];
  return typed.length > MOST.typed ? [tooLong(name, label, typed, MOST.typed)] : [];
}

function cleanConditions({ temperature, ...words }: Conditions): { readonly clean: Conditions; readonly slips: readonly Problem[] } {
  const label = (name: string): string => name.charAt(0).toUpperCase() + name.slice(1);
  const said = Object.entries(words).map(([name, text]) => [name, cleanName(name, label(name), text)] as const);
  const typed = temperature && cleanName('temperature', 'Temperature', temperature.typed);
  const slips = slipsOf(...said.map(([, one]) => one), ...(typed ? [typed] : []));
  const texts = Object.fromEntries(said.flatMap(([name, one]) => ('text' in one ? [[name, one.text]] : [])));
  return {
    clean: { ...texts, ...(typed && 'text' in typed ? { temperature: { typed: typed.text, value: temperature.value } } : {}) },
    slips,
  };
}

/** "grip high", "temperature 24 °C degrees": the day as one would say it; the degrees, where the temperature is a number. */
function conditionWords({ temperature, ...words }: Conditions): string[] {
  const said = Object.entries(words).map(([name, text]) => `${name} ${text}`);
  return temperature ? [...said, `temperature ${temperature.typed}${temperature.value === null ? '' : ' degrees'}`] : said;
}

function cleanTags(raw: readonly string[]): { readonly clean: readonly string[]; readonly slips: readonly Problem[] } {
  const cleaned = raw.filter((tag) => tag.trim() !== '').map((tag) => cleanName('tags', 'Tag', tag, MOST.tag));
  const byKey = new Map<string, string>();
  for (const tag of cleaned) if ('text' in tag && !byKey.has(nameKey(tag.text))) byKey.set(nameKey(tag.text), tag.text);
  const slips = slipsOf(...cleaned);
  return { clean: [...byKey.values()], slips: byKey.size > MOST.tags ? [...slips, tooManyTags(byKey.size, MOST.tags)] : slips };
}
