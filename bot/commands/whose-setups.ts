/** "evening by Ines": whose setups are looked for, where a member of the club is called so. */
import type { Records } from '../../worksheets/archive/types.ts';

/** Words that a name of a member may have here. */
const MOST_WORDS = 4;

/** The longest name that stands behind "by" or "of", and what is left of the words; null: nobody is called so. */
export async function namedOwner(
  records: Pick<Records, 'memberCalled'>,
  club: string,
  typed: string,
): Promise<{ readonly owner: string; readonly rest: string } | null> {
  const found = /(?<![\p{L}\p{N}])(?:by|of)\s+(?=\S)/iu.exec(typed.slice(0, 400));
  if (found === null) return null;
  const behind = typed.slice(found.index + found[0].length);
  const ends = [...behind.matchAll(/(?<=\S)(?=\s|$)/gu)].slice(0, MOST_WORDS).map(({ index }) => index);
  for (const end of ends.reverse()) {
    const who = await records.memberCalled({ club, name: behind.slice(0, end).replace(/[,;]$/, '') });
    if (!('kind' in who)) return { owner: who.name, rest: `${typed.slice(0, found.index)} ${behind.slice(end)}`.trim() };
  }
  return null;
}
