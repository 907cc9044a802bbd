import { randomBytes } from 'node:crypto';
import type { Kysely } from 'kysely';
import { sha256 } from './canonical.ts';
import { type Facts, readingOf } from './facts.ts';
import { cleanName } from './names.ts';
import { partsOf, writePart } from './parts-list.ts';
import type { People } from './people.ts';
import type { Pictures } from './pictures.ts';
import { noCode, problems } from './sentences.ts';
import type { SetupRecords } from './setups-types.ts';
import { type Store, slipsOf } from './store.ts';
import type { Tables } from './tables.ts';
import type { ShownSetup } from './types.ts';

/** Crockford's alphabet: no I, L, O, U, so that nothing is misread aloud; D. Crockford, Base 32 (public description). */
const LETTERS = '0123456789abcdefghjkmnpqrstvwxyz';
const BITS = 128;

/** 128 random bits as 26 letters in groups: nobody tries them all. */
function newCode(): string {
  let rest = BigInt(`0x${randomBytes(BITS / 8).toString('hex')}`);
  let code = '';
  for (let i = 0; i < Math.ceil(BITS / 5); i += 1) {
    code = LETTERS[Number(rest & 31n)] + code;
    rest >>= 5n;
  }
  return code.replace(/(.{5})(?=.{5})/g, '$1-');
}

/** As it may come back: capitals, spaces, an O for a zero. */
const hashOf = (code: string): string =>
  sha256(
    code
      .slice(0, 200)
      .toLowerCase()
      .replace(/[^0-9a-z]/g, '')
      .replace(/o/g, '0')
      .replace(/[il]/g, '1'),
  );

/** Setups that go further: to another club by a code, to another truck as a copy. */
export class Sharing implements Pick<SetupRecords, 'shareSetup' | 'endSharing' | 'setupByCode' | 'copySetup' | 'pictures'> {
  readonly #db: Kysely<Tables>;
  readonly #clock: () => number;
  readonly #people: People;
  readonly #facts: Facts;
  readonly #setups: Store;
  readonly #pictures: Pictures;
  readonly #isOfficer: (who: { readonly club: string; readonly member: string }) => Promise<boolean>;

  constructor(over: {
    readonly db: Kysely<Tables>;
    readonly clock: () => number;
    readonly people: People;
    readonly facts: Facts;
    readonly setups: Store;
    readonly pictures: Pictures;
    readonly isOfficer: (who: { readonly club: string; readonly member: string }) => Promise<boolean>;
  }) {
    this.#db = over.db;
    this.#clock = over.clock;
    this.#people = over.people;
    this.#facts = over.facts;
    this.#setups = over.setups;
    this.#pictures = over.pictures;
    this.#isOfficer = over.isOfficer;
  }

  readonly shareSetup: SetupRecords['shareSetup'] = async ({ named, ...which }) => {
    const own = await this.#setups.own(which, 'share setup');
    if ('kind' in own) return own;
    const { setup, club, author } = own;
    const at = this.#clock();
    const code = newCode();
    const row = { hash: hashOf(code), setup_id: setup.id, rev: setup.rev, named: named ? 1 : 0, at };
    await this.#db.insertInto('share').values(row).execute();
    await this.#people.audit(club, author, at, 'setup shared', { setup: setup.number, rev: setup.rev, named });
    return { kind: 'shared', setup: setup.name, code, rev: setup.rev, named, private: setup.private === 1 };
  };

  readonly endSharing: SetupRecords['endSharing'] = async ({ appointed = false, ...which }) => {
    const officer = appointed || (await this.#isOfficer(which));
    const own = await this.#setups.own(which, 'end sharing', officer);
    if ('kind' in own) return own;
    const { setup, club, author } = own;
    const { numDeletedRows } = await this.#db.deleteFrom('share').where('setup_id', '=', setup.id).executeTakeFirstOrThrow();
    await this.#people.audit(club, author, this.#clock(), 'setup sharing ended', { setup: setup.number });
    return { kind: 'sharing ended', id: setup.number, name: setup.name, codes: Number(numDeletedRows) };
  };

  readonly setupByCode: SetupRecords['setupByCode'] = async (code) => {
    const found = await this.#byCode(code);
    return found ? found.setup : problems(noCode(code));
  };

  /** Whoever sees a setup sees its pictures. */
  readonly pictures: SetupRecords['pictures'] = async (which) => {
    if ('code' in which) {
      const found = await this.#byCode(which.code);
      if (!found) return problems(noCode(which.code));
      return { kind: 'pictures', setup: found.setup, pictures: await this.#pictures.of(found.row, found.rev) };
    }
    const setup = await this.#setups.showSetup(which);
    if (setup.kind === 'problems') return setup;
    const row = await this.#setups.which(which);
    if ('problem' in row) return problems(row.problem);
    return { kind: 'pictures', setup, pictures: await this.#pictures.of(row.id, setup.revision.rev) };
  };

  async #byCode(code: string): Promise<{ readonly setup: ShownSetup; readonly row: number; readonly rev: number } | undefined> {
    const row = await this.#db
      .selectFrom('share')
      .innerJoin('setup', 'setup.id', 'share.setup_id')
      .innerJoin('club', 'club.id', 'setup.club_id')
      .innerJoin('truck', 'truck.id', 'setup.truck_id')
      .innerJoin('member', 'member.id', 'truck.member_id')
      .select(['share.rev', 'share.named', 'setup.id', 'setup.number', 'club.platform_id as club', 'member.platform_id as owner'])
      .where('share.hash', '=', hashOf(code))
      .executeTakeFirst();
    if (!row) return undefined;
    const shown = await this.#setups.showSetup({ club: row.club, id: row.number, member: row.owner, rev: row.rev });
    return shown.kind === 'problems' ? undefined : { setup: asStranger(shown, row.named === 1), row: row.id, rev: row.rev };
  }

  readonly copySetup: SetupRecords['copySetup'] = async ({ from, ...what }) => {
    const truckName = cleanName('truck', 'Truck', what.truck);
    const memberName = cleanName('member', 'Member name', what.memberName);
    if ('problem' in truckName || 'problem' in memberName) return problems(...slipsOf(truckName, memberName));
    const shown = 'code' in from ? await this.setupByCode(from.code) : await this.#setups.showSetup({ ...from, member: what.member });
    if (shown.kind === 'problems') return shown;
    const at = this.#clock();
    const club = await this.#people.seeClub(what.club, at);
    const member = await this.#people.seeMember(club, what.member, memberName.text, at);
    const truck = await this.#people.seeTruck(club, member, truckName.text, at);
    const copied = `copied from ${'code' in from ? 'another club' : `setup ${shown.id}`}, ${shown.doc.name}`;
    const rows = shown.doc.facts.map((fact) => ({
      ...readingOf({ ...fact, how: fact.how ?? 'measured', by: { id: '', name: '' }, kept: true, beneath: null }),
      // Measured, but not at this truck.
      how: fact.how === 'assumed' ? ('assumed' as const) : ('stated' as const),
      note: fact.note === undefined ? copied : `${fact.note}; ${copied}`,
      kept: true,
      sheet: null,
      end: fact.end,
      givenAt: at,
    }));
    await this.#facts.add({ truck: truck.id, member: member.id, at }, rows);
    const list = shown.doc.parts ?? [];
    const own = (await partsOf(this.#db, truck.id)).length > 0;
    if (!own) for (const part of list) await writePart({ db: this.#db, people: this.#people }, { club, member, truck, at }, part, false);
    const detail = 'code' in from ? { truck: truck.id } : { truck: truck.id, setup: shown.id };
    await this.#people.audit(club, member, at, 'setup copied', detail);
    return {
      kind: 'copied',
      truck: truck.name,
      from: shown.doc.name,
      facts: rows.length,
      parts: own && list.length > 0 ? null : list.length,
    };
  };
}

/** What another club sees: no ids, no number, and no name unless the owner says so. */
function asStranger({ member, revision, doc, runs: _, ...shown }: ShownSetup, named: boolean): ShownSetup {
  const nobody = { id: '', name: named ? member.name : '' };
  return {
    ...shown,
    id: 0,
    newest: revision.rev,
    private: false,
    member: nobody,
    truck: doc.truck,
    revision: { ...revision, author: nobody, parentHash: null },
    doc: { ...doc, member: '' },
    // What the truck did later was not shared.
    runs: doc.runs ?? [],
  };
}
