import type { Kysely } from 'kysely';
import type { Problems } from '../engine/types.ts';
import { canonical, sha256 } from './canonical.ts';
import type { Facts } from './facts.ts';
import { cleanNotes } from './names.ts';
import type { People } from './people.ts';
import type { Run, RunRecords } from './runs-types.ts';
import { emptyRun, noRun, noTruck, problems } from './sentences.ts';
import { runOf } from './setup-runs.ts';
import { slipsOf } from './store.ts';
import type { Tables } from './tables.ts';
import type { Trucks } from './trucks.ts';
import type { OwnTruck } from './trucks-types.ts';

const MOST_RUNS = 500;

/** What a truck has run, each run with the truck as it was. */
export class RunBook implements RunRecords {
  readonly #db: Kysely<Tables>;
  readonly #people: People;
  readonly #facts: Facts;
  readonly #trucks: Trucks;

  constructor(over: { readonly db: Kysely<Tables>; readonly people: People; readonly facts: Facts; readonly trucks: Trucks }) {
    this.#db = over.db;
    this.#people = over.people;
    this.#facts = over.facts;
    this.#trucks = over.trucks;
  }

  readonly addRun: RunRecords['addRun'] = async ({ typed, run, track, ...what }) => {
    const line = cleanNotes('line', 'Run', typed);
    const slips = slipsOf(line);
    if ('text' in line && line.text === '') slips.push(emptyRun());
    const own = await this.#trucks.own(what, 'may be new', slips);
    if ('kind' in own) return own;
    if ('problem' in line) return problems(line.problem);
    const { club, member, truck, at } = own;
    const before = (await this.#last(truck.id, 1))[0] ?? null;
    const { runs: number } = await this.#db
      .updateTable('truck')
      .set((eb) => ({ runs: eb('runs', '+', 1) }))
      .where('id', '=', truck.id)
      .returning('runs')
      .executeTakeFirstOrThrow();
    const row = {
      truck_id: truck.id,
      number,
      typed: line.text,
      minutes: run.minutes,
      temperatures: canonical(run.temperatures),
      laps: canonical(run.laps),
      changes: canonical(run.changes),
      felt: run.felt,
      track,
      readings_to: await this.#facts.mark(truck.id),
      parts_to: await this.#trucks.partsMark(truck.id),
      member_id: member.id,
      at,
    };
    await this.#db.insertInto('run').values(row).execute();
    await this.#people.audit(club, member, at, 'run', { truck: truck.id, run: number, hash: sha256(canonical(row)) });
    const [made] = await this.#last(truck.id, 1);
    return { kind: 'run', truck: truck.name, run: made!, before };
  };

  readonly runs: RunRecords['runs'] = async ({ limit = 50, ...which }) => {
    const truck = await this.#people.truck(which);
    const club = await this.#people.club(which.club);
    const owner = club && (await this.#people.member(club.id, which.member));
    if (!truck || !owner) return problems(noTruck(which.truck, null, await this.#trucks.namesOf(which)));
    const most = Math.min(Math.max(Math.trunc(limit), 1), MOST_RUNS);
    const { count } = await this.#db
      .selectFrom('run')
      .select(({ fn }) => fn.countAll<number>().as('count'))
      .where('truck_id', '=', truck.id)
      .executeTakeFirstOrThrow();
    const runs = (await this.#last(truck.id, most)).reverse();
    return {
      kind: 'runs',
      truck: truck.name,
      member: { id: owner.platform_id, name: owner.name },
      runs,
      earlier: Number(count) - runs.length,
    };
  };

  readonly removeRun: RunRecords['removeRun'] = async ({ number, ...what }: OwnTruck & { readonly number: number }) => {
    const own = await this.#trucks.own(what, 'has to be there');
    if ('kind' in own) return own;
    const { club, member, truck, at } = own;
    const run = (await this.#last(truck.id, MOST_RUNS)).find((one) => one.number === number);
    if (!run) return problems(noRun(truck.name, number)) satisfies Problems;
    await this.#db.deleteFrom('run').where('truck_id', '=', truck.id).where('number', '=', number).execute();
    await this.#people.audit(club, member, at, 'run removed', { truck: truck.id, run: number });
    return { kind: 'run removed', truck: truck.name, run };
  };

  /** The newest so many, newest first. */
  async #last(truck: number, most: number): Promise<Run[]> {
    const rows = await this.#db
      .selectFrom('run')
      .innerJoin('member', 'member.id', 'run.member_id')
      .selectAll('run')
      .select(['member.platform_id as by_id', 'member.name as by_name'])
      .where('truck_id', '=', truck)
      .orderBy('number', 'desc')
      .limit(most)
      .execute();
    const oldestFirst = [...rows].reverse();
    const facts = await this.#facts.states(
      truck,
      oldestFirst.map(({ at, readings_to }) => ({ at, upTo: readings_to })),
    );
    const parts = await this.#trucks.partsStates(
      truck,
      oldestFirst.map(({ parts_to }) => parts_to),
    );
    return oldestFirst
      .map((row, i) => ({
        ...runOf(row),
        by: { id: row.by_id, name: row.by_name },
        facts: facts[i]!,
        parts: parts[i]!,
      }))
      .reverse();
  }
}
