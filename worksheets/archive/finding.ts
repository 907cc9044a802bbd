import { type Kysely, type RawBuilder, sql } from 'kysely';
import { toSI, unit } from '../engine/units.ts';
import type { Facets, NumberBetween } from './setups-types.ts';
import type { Tables } from './tables.ts';
import type { SetupDoc } from './types.ts';
import { wordsOf } from './words.ts';

/** What setups are found by besides words, made again whenever one is saved or somebody gets another name. */
export async function putFacets(
  db: Kysely<Tables>,
  setup: { readonly id: number; readonly club: number; readonly owner: string; readonly truck: string },
  doc: SetupDoc,
): Promise<void> {
  const { id: setup_id, club: club_id } = setup;
  await removeFacets(db, setup_id);
  const numbers = numbersOf(doc).map((number) => ({ setup_id, club_id, ...number }));
  if (numbers.length > 0) await db.insertInto('setup_number').values(numbers).execute();
  const facets: readonly (readonly [string, string | undefined])[] = [
    ['owner', setup.owner],
    ['truck', setup.truck],
    ['surface', doc.conditions?.surface],
    ['track', doc.conditions?.track],
    ...doc.tags.map((tag) => ['tag', tag] as const),
  ];
  const rows = new Map<string, { setup_id: number; club_id: number; facet: string; value: string }>();
  for (const [facet, text] of facets) {
    const value = foldedWords(text ?? '');
    if (value !== '') rows.set(`${facet} ${value}`, { setup_id, club_id, facet, value });
  }
  if (rows.size > 0)
    await db
      .insertInto('setup_facet')
      .values([...rows.values()])
      .execute();
}

export async function removeFacets(db: Kysely<Tables>, setup: number): Promise<void> {
  await db.deleteFrom('setup_number').where('setup_id', '=', setup).execute();
  await db.deleteFrom('setup_facet').where('setup_id', '=', setup).execute();
}

const foldedWords = (text: string): string => wordsOf(text).join(' ');

/** Each number once, SI: what was measured comes before what another sheet answers under the same name. */
export function numbersOf(doc: SetupDoc): { readonly name: string; readonly end: string; readonly value: number }[] {
  const numbers = new Map<string, { name: string; end: string; value: number }>();
  const put = (name: string, end: string, value: number): void => {
    const key = `${end} ${name}`;
    if (Number.isFinite(value) && !numbers.has(key)) numbers.set(key, { name, end, value });
  };
  for (const { name, fact, end, value } of doc.facts) if (typeof value === 'number') put(name, fact === name ? '' : (end ?? ''), value);
  for (const { end, answer } of doc.sheets)
    for (const { name, value, unit: symbol } of answer.answers) {
      const of = symbol === null ? undefined : unit(symbol);
      if (typeof value === 'number') put(name, end ?? '', of ? toSI(value, of) : value);
    }
  const { temperature } = doc.conditions ?? {};
  if (typeof temperature?.value === 'number') put('temperature', '', temperature.value);
  return [...numbers.values()];
}

/** Bounds that were typed and numbers that were worked out may differ in their last bits. */
const SLACK = 1e-9;

/** What has to be true of a row of `setup`. Without anything asked it is always true. */
export function narrowedBy(club: number, facets: Facets, numbers: readonly NumberBetween[]): RawBuilder<unknown> {
  const { tag = [], ...single } = facets;
  const texts: (readonly [string, string])[] = [
    ...Object.entries(single).flatMap(([facet, text]) => (text === undefined ? [] : [[facet, text] as const])),
    ...tag.map((one) => ['tag', one] as const),
  ];
  const all = texts.map(([facet, text]) => {
    const begin = foldedWords(text);
    // Folded words hold no sign that `like` would take for another.
    return begin === ''
      ? sql`1 = 0`
      : sql`setup.id in (select setup_id from setup_facet where club_id = ${club} and facet = ${facet} and value like ${`${begin}%`})`;
  });
  for (const { name, end, low, high, strict = false } of numbers) {
    const slack = strict ? -SLACK : SLACK;
    const [from, to] = strict ? [sql`>`, sql`<`] : [sql`>=`, sql`<=`];
    const split = /^(front|rear)_(.+)$/.exec(name);
    const called = split
      ? sql`((name = ${name} and "end" = '') or (name = ${split[2]!} and "end" = ${split[1]!}))`
      : end === null
        ? sql`name = ${name}`
        : sql`(name = ${name} and "end" = ${end})`;
    const bounds = [
      ...(low === Number.NEGATIVE_INFINITY ? [] : [sql`value ${from} ${low - slack * Math.abs(low)}`]),
      ...(high === Number.POSITIVE_INFINITY ? [] : [sql`value ${to} ${high + slack * Math.abs(high)}`]),
    ];
    all.push(
      sql`setup.id in (select setup_id from setup_number where club_id = ${club} and ${called} and ${bounds.length > 0 ? sql.join(bounds, sql` and `) : sql`1 = 1`})`,
    );
  }
  return all.length === 0 ? sql`1 = 1` : sql.join(all, sql` and `);
}
