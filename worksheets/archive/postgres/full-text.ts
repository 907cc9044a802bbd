import { sql } from 'kysely';
import type { FullText, SetupWords } from '../full-text.ts';

/** PostgreSQL has four weights, A to D; where a word stands more than once, its best place counts. */
const WEIGHT = { name: 'A', truck: 'B', tags: 'B', member: 'C', notes: 'D', sheets: 'D' } as const;
/** How much a hit of D, C, B and A counts, as in SQLite; there notes and sheets are 2 and 1. */
const WEIGHTS = '{0.15, 0.3, 0.5, 1}';
/** A lexeme holds up to 2046 bytes (PostgreSQL 15, 12.11 Limitations): 500 characters of 4. */
const LONGEST = 500;

/** A text vector with the club in the same index. The words are split and folded by us, so PostgreSQL's own dictionaries stay out of it. */
export const vectorFullText: FullText = {
  async put(db, setup, club, words) {
    const vector = vectorOf(words);
    await sql`
      insert into setup_words (setup_id, club_id, words) values (${setup}, ${club}, ${vector}::tsvector)
      on conflict (setup_id) do update set club_id = excluded.club_id, words = excluded.words
    `.execute(db);
  },
  async remove(db, setup) {
    await sql`delete from setup_words where setup_id = ${setup}`.execute(db);
  },
  async find(db, { club, words, narrowed, limit, offset }) {
    // Words are letters, numbers and marks only, so a quote inside one cannot end it.
    const terms = words.map(cut).map((word) => ([...word].length > 1 ? `'${word}':*` : `'${word}'`));
    const { rows } = await sql<{ id: number }>`
      select setup.id from setup_words join setup on setup.id = setup_words.setup_id
      where setup_words.club_id = ${club} and setup_words.words @@ ${terms.join(' & ')}::tsquery and ${narrowed}
      order by ts_rank(${WEIGHTS}::float4[], setup_words.words, ${terms.join(' | ')}::tsquery) desc, setup.at desc, setup.id desc
      limit ${limit} offset ${offset}
    `.execute(db);
    return rows.map(({ id }) => id);
  },
  async *kept(db) {
    for (let after = -1; ; ) {
      const { rows } = await sql<{ setup: number; club: number; lexemes: string[] }>`
        select setup_id as setup, club_id as club, array(select weights[1] || ' ' || lexeme from unnest(words)) as lexemes
        from setup_words where setup_id > ${after} order by setup_id limit 500
      `.execute(db);
      for (const { setup, club, lexemes } of rows) yield { setup, spelling: spelt(club, lexemes) };
      const last = rows.at(-1);
      if (!last) return;
      after = last.setup;
    }
  },
  spelling: (club, words) =>
    spelt(
      club,
      [...weighed(words)].map(([word, weight]) => `${weight} ${word}`),
    ),
};

const cut = (word: string): string => [...word].slice(0, LONGEST).join('');

function weighed(words: SetupWords): Map<string, string> {
  const weights = new Map<string, string>();
  for (const [column, weight] of Object.entries(WEIGHT) as [keyof typeof WEIGHT, string][])
    for (const word of words[column].split(' ').map(cut)) if (word !== '' && !weights.has(word)) weights.set(word, weight);
  return weights;
}

const vectorOf = (words: SetupWords): string =>
  [...weighed(words)].map(([word, weight], place) => `'${word}':${place + 1}${weight}`).join(' ');

const spelt = (club: number, lexemes: readonly string[]): string => [String(club), ...[...lexemes].sort()].join('\n');
