import type { Kysely, Selectable } from 'kysely';
import type { Problem } from '../engine/types.ts';
import { canonical, sha256 } from './canonical.ts';
import { cleanName, cleanNotes, nameKey } from './names.ts';
import type { Club, Member, People } from './people.ts';
import { partHasSigns, tooManyParts } from './sentences.ts';
import type { Tables } from './tables.ts';
import type { Part, Place, Role, SetupPart } from './trucks-types.ts';

type Db = Kysely<Tables>;

export const MOST_PARTS = 200;

/** The list as it was when each of these was its last row; they are in order. */
export async function partsStates(db: Db, truck: number, marks: readonly number[]): Promise<readonly (readonly Part[])[]> {
  const rows = await db
    .selectFrom('part')
    .innerJoin('member', 'member.id', 'part.member_id')
    .selectAll('part')
    .select(['member.platform_id as by_id', 'member.name as by_name'])
    .where('truck_id', '=', truck)
    .orderBy('part.id')
    .execute();
  const newest = new Map<string, (typeof rows)[number]>();
  let next = 0;
  return marks.map((mark) => {
    for (; next < rows.length && rows[next]!.id <= mark; next += 1) {
      const row = rows[next]!;
      if (row.gone === 1) newest.delete(row.name_key);
      else newest.set(row.name_key, row);
    }
    return [...newest.values()].map(partOf);
  });
}

/** The list as it is now, in the order in which the parts first came. */
export const partsOf = async (db: Db, truck: number): Promise<readonly Part[]> =>
  (await partsStates(db, truck, [Number.MAX_SAFE_INTEGER]))[0]!;

export interface Writes {
  readonly club: Club;
  readonly member: Member;
  readonly truck: { readonly id: number };
  readonly at: number;
}

export async function writePart(
  { db, people }: { readonly db: Db; readonly people: People },
  { club, member, truck, at }: Writes,
  part: SetupPart,
  gone: boolean,
): Promise<void> {
  const row = {
    truck_id: truck.id,
    name: part.name,
    name_key: nameKey(part.name),
    count: part.count,
    typed: part.typed,
    mass: part.mass,
    uncertainty: part.uncertainty,
    place: canonical(part.place),
    places: canonical(part.places),
    sprung: part.sprung ? 1 : 0,
    axle: part.axle ?? '',
    role: part.role ?? '',
    note: part.note,
    gone: gone ? 1 : 0,
    member_id: member.id,
    at,
  };
  await db.insertInto('part').values(row).execute();
  await people.audit(club, member, at, gone ? 'part removed' : 'part', { truck: truck.id, hash: sha256(canonical(row)) });
}

export const partOf = (row: Selectable<Tables['part']> & { readonly by_id: string; readonly by_name: string }): Part => ({
  name: row.name,
  count: row.count,
  typed: row.typed,
  mass: row.mass,
  uncertainty: row.uncertainty,
  place: JSON.parse(row.place) as Place,
  places: JSON.parse(row.places) as (number | 'off')[],
  sprung: row.sprung === 1,
  axle: row.axle === '' ? null : (row.axle as 'front' | 'rear'),
  role: row.role === '' ? null : (row.role as Exclude<Role, null>),
  note: row.note,
  by: { id: row.by_id, name: row.by_name },
  at: row.at,
});

/** As a setup keeps it: whoever put it on the list, and when, is left out. */
export const setupPart = ({ by: _, at: __, ...part }: Part): SetupPart => part;

/** A list that comes from elsewhere: what `truck parts` would not take is no part here either. */
export function cleanParts(parts: readonly SetupPart[]): { readonly clean: readonly SetupPart[]; readonly slips: readonly Problem[] } {
  const slips: Problem[] = parts.length > MOST_PARTS ? [tooManyParts(MOST_PARTS)] : [];
  const byKey = new Map<string, SetupPart>();
  for (const part of parts) {
    const name = cleanName('name', 'Part', part.name);
    const note = cleanNotes('note', 'Note', part.note);
    if ('problem' in name) slips.push(name.problem);
    else if (/[/;]/.test(name.text)) slips.push(partHasSigns(name.text));
    if ('problem' in note) slips.push(note.problem);
    if ('text' in name && 'text' in note && !byKey.has(nameKey(name.text)))
      byKey.set(nameKey(name.text), { ...part, name: name.text, note: note.text });
  }
  return { clean: [...byKey.values()], slips };
}
