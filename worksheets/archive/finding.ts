import { type Kysely, type RawBuilder, sql } from 'kysely';
import { toSI, unit } from '../engine/units.ts';
import { canonical } from './canonical.ts';
import type { Facets, NumberBetween } from './setups-types.ts';
import type { Tables } from './tables.ts';
import type { SetupDoc } from './types.ts';
import { wordsOf } from './words.ts';

type NumberRow = Tables['setup_number'];
type FacetRow = Tables['setup_facet'];

interface Found {
  readonly id: number;
  readonly club: number;
  readonly owner: string;
  readonly truck: string;
}

/** What setups are found by besides words, made again whenever one is saved or somebody gets another name. */
export async function putFacets(db: Kysely<Tables>, setup: Found, doc: SetupDoc): Promise<void> {
  await removeFacets(db, [setup.id]);
  await insert(db, [rowsOf(setup, doc)]);
}

export async function removeFacets(db: Kysely<Tables>, setups: readonly number[]): Promise<void> {
  await db.deleteFrom('setup_number').where('setup_id', 'in', setups).execute();
  await db.deleteFrom('setup_facet').where('setup_id', 'in', setups).execute();
}

interface Rows {
  readonly numbers: readonly NumberRow[];
  readonly facets: readonly FacetRow[];
}

function rowsOf({ id: setup_id, club: club_id, owner, truck }: Found, doc: SetupDoc): Rows {
  const texts: readonly (readonly [string, string | undefined])[] = [
    ['owner', owner],
    ['truck', truck],
    ['surface', doc.conditions?.surface],
    ['track', doc.conditions?.track],
    ['grip', doc.conditions?.grip],
    ...doc.tags.map((tag) => ['tag', tag] as const),
  ];
  const facets = new Map<string, FacetRow>();
  for (const [facet, text] of texts) {
    const value = foldedWords(text ?? '');
    if (value !== '') facets.set(`${facet} ${value}`, { setup_id, club_id, facet, value });
  }
  return { numbers: numbersOf(doc).map((number) => ({ setup_id, club_id, ...number })), facets: [...facets.values()] };
}

/** Rows of one statement: SQLite takes 32,766 values in it. */
const MOST_ROWS = 6000;

async function insert(db: Kysely<Tables>, rows: readonly Rows[]): Promise<void> {
  const numbers = rows.flatMap((one) => one.numbers);
  const facets = rows.flatMap((one) => one.facets);
  for (let at = 0; at < numbers.length; at += MOST_ROWS)
    await db
      .insertInto('setup_number')
      .values(numbers.slice(at, at + MOST_ROWS))
      .execute();
  for (let at = 0; at < facets.length; at += MOST_ROWS)
    await db
      .insertInto('setup_facet')
      .values(facets.slice(at, at + MOST_ROWS))
      .execute();
}

// ── all of them ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const PAGE = 100;

/** What every setup should be found by, page by page in the order of their ids. */
async function* pages(db: Kysely<Tables>): AsyncGenerator<ReadonlyMap<number, Rows>> {
  for (let last = 0; ; ) {
    const setups = await db
      .selectFrom('setup')
      .innerJoin('truck', 'truck.id', 'setup.truck_id')
      .innerJoin('member', 'member.id', 'truck.member_id')
      .innerJoin('revision', (join) => join.onRef('revision.setup_id', '=', 'setup.id').onRef('revision.rev', '=', 'setup.rev'))
      .select(['setup.id', 'setup.club_id as club', 'truck.name as truck', 'member.name as owner', 'revision.doc'])
      .where('setup.gone', '=', 0)
      .where('setup.id', '>', last)
      .orderBy('setup.id')
      .limit(PAGE)
      .execute();
    if (setups.length === 0) return;
    yield new Map(setups.flatMap(({ doc, ...setup }) => readable(setup, doc)));
    last = setups.at(-1)!.id;
  }
}

/** A document that is none any more has nothing to be found by: the check says so, and the others are found all the same. */
function readable(setup: Found, doc: string): readonly (readonly [number, Rows])[] {
  try {
    return [[setup.id, rowsOf(setup, JSON.parse(doc) as SetupDoc)]];
  } catch {
    return [];
  }
}

/** Makes what all setups are found by again. */
export async function renewFacets(db: Kysely<Tables>): Promise<void> {
  await db.deleteFrom('setup_number').execute();
  await db.deleteFrom('setup_facet').execute();
  for await (const page of pages(db)) await insert(db, [...page.values()]);
}

/** Setups that are found by something else than their newest revision says; also those that are gone and still found. */
export async function staleFacets(db: Kysely<Tables>): Promise<readonly number[]> {
  const stale: number[] = [];
  for await (const page of pages(db)) {
    const ids = [...page.keys()];
    if (ids.length === 0) continue;
    const kept = new Map<number, string[]>(ids.map((id) => [id, []]));
    for (const row of await db.selectFrom('setup_number').selectAll().where('setup_id', 'in', ids).execute())
      kept.get(row.setup_id)!.push(spelt(row));
    for (const row of await db.selectFrom('setup_facet').selectAll().where('setup_id', 'in', ids).execute())
      kept.get(row.setup_id)!.push(spelt(row));
    for (const [id, { numbers, facets }] of page) {
      const should = [...numbers, ...facets].map(spelt).sort();
      if (kept.get(id)!.sort().join('\n') !== should.join('\n')) stale.push(id);
    }
  }
  const gone = await db
    .selectFrom('setup')
    .select('id')
    .where('gone', '=', 1)
    .where(({ or, exists, selectFrom }) =>
      or([
        exists(selectFrom('setup_number').select('setup_id').whereRef('setup_number.setup_id', '=', 'setup.id')),
        exists(selectFrom('setup_facet').select('setup_id').whereRef('setup_facet.setup_id', '=', 'setup.id')),
      ]),
    )
    .execute();
  return [...stale, ...gone.map(({ id }) => id)];
}
const spelt = (row: NumberRow | FacetRow): string => canonical(row);

const foldedWords = (text: string): string => wordsOf(text).join(' ');

/**
 * Each number once, SI: what was measured comes first, then what a sheet is asked for, then what it answers besides. So the rear share is that of the
 * corner weights and not the one that a ballast plan would come to.
 */
export function numbersOf(doc: SetupDoc): { readonly name: string; readonly end: string; readonly value: number }[] {
  const numbers = new Map<string, { name: string; end: string; value: number }>();
  const put = (name: string, end: string, value: number): void => {
    const key = `${end} ${name}`;
    if (Number.isFinite(value) && !numbers.has(key)) numbers.set(key, { name, end, value });
  };
  for (const { name, fact, end, value } of doc.facts) if (typeof value === 'number') put(name, fact === name ? '' : (end ?? ''), value);
  for (const first of [true, false])
    for (const { end, answer } of doc.sheets)
      for (const { name, value, unit: symbol } of answer.answers) {
        const of = symbol === null ? undefined : unit(symbol);
        if ((name === answer.hero) === first && typeof value === 'number') put(name, end ?? '', of ? toSI(value, of) : value);
      }
  const { temperature } = doc.conditions ?? {};
  if (typeof temperature?.value === 'number') put('temperature', '', temperature.value);
  return [...numbers.values()];
}

// ── narrowing ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** Bounds that were typed and numbers that were worked out may differ in their last bits. */
const SLACK = 1e-9;
/** What more setups than this have is looked for in each setup, rather than the setups by it. */
const FEW = 2000;

/** What has to be true of a row of `setup`, and the setups by their rows when they are few. */
export interface Narrowed {
  readonly where: RawBuilder<unknown>;
  readonly few: readonly number[] | null;
}

/**
 * What setups are narrowed to. Of what only a few have, those are counted out first: 100,000 setups walked through for eight of them took
 * 13 ms. Of what many have, each setup that comes up is asked for it: counted out, half of 100,000 took 350 ms.
 */
export async function narrowedBy(db: Kysely<Tables>, club: number, facets: Facets, numbers: readonly NumberBetween[]): Promise<Narrowed> {
  const all = [...facetRows(facets), ...numbers.map(numberRows)];
  let few: Set<number> | null = null;
  const asked: RawBuilder<unknown>[] = [];
  for (const rows of all) {
    const found: number[] = [];
    for (const { table, where } of rows) {
      const some = await sql<{ id: number }>`
        select setup_id as id from ${sql.table(table)} where club_id = ${club} and ${where} limit ${FEW + 1}
      `.execute(db);
      found.push(...some.rows.map(({ id }) => id));
    }
    if (found.length <= FEW) few = new Set<number>(few === null ? found : found.filter((id) => few!.has(id)));
    else {
      const has = rows.map(({ table, where }) => sql`exists (select 1 from ${sql.table(table)} where setup_id = setup.id and ${where})`);
      asked.push(sql`(${sql.join(has, sql` or `)})`);
    }
  }
  // The archive's own numbers: no text of a member's is in it.
  if (few !== null) asked.push(few.size === 0 ? sql`1 = 0` : sql`setup.id in (${sql.raw([...few].join(', '))})`);
  return { where: asked.length === 0 ? sql`1 = 1` : sql.join(asked, sql` and `), few: few === null ? null : [...few] };
}

/** Rows that say so of a setup; one of them is enough. */
type Saying = readonly { readonly table: 'setup_number' | 'setup_facet'; readonly where: RawBuilder<unknown> }[];

function facetRows({ tag = [], ...single }: Facets): Saying[] {
  const texts: (readonly [string, string])[] = [
    ...Object.entries(single).flatMap(([facet, text]) => (text === undefined ? [] : [[facet, text] as const])),
    ...tag.map((one) => ['tag', one] as const),
  ];
  return texts.map(([facet, text]) => {
    const begin = foldedWords(text);
    // As a range, which an index has in order; `like` would be asked of every row. Folded words hold no such sign as the last.
    return begin === ''
      ? []
      : [{ table: 'setup_facet', where: sql`facet = ${facet} and value >= ${begin} and value < ${`${begin}\u{10ffff}`}` }];
  });
}

function numberRows({ name, end, low, high, strict = false }: NumberBetween): Saying {
  const slack = strict ? -SLACK : SLACK;
  const [from, to] = strict ? [sql`>`, sql`<`] : [sql`>=`, sql`<=`];
  const bounds = [
    ...(low === Number.NEGATIVE_INFINITY ? [] : [sql` and value ${from} ${low - slack * Math.abs(low)}`]),
    ...(high === Number.POSITIVE_INFINITY ? [] : [sql` and value ${to} ${high + slack * Math.abs(high)}`]),
  ];
  const between = bounds.length === 0 ? sql`` : sql.join(bounds, sql``);
  const split = /^(front|rear)_(.+)$/.exec(name);
  const called: (readonly [string, readonly string[]])[] = split
    ? [
        [name, ['']],
        [split[2]!, [split[1]!]],
      ]
    : [[name, end === null ? ['', 'front', 'rear'] : [end]]];
  // Every end by its name, so that the numbers of each are a piece of the index.
  return called.map(([of, ends]) => ({
    table: 'setup_number',
    where: sql`name = ${of} and "end" in (${sql.join(ends)})${between}`,
  }));
}
