import { type Kysely, sql } from 'kysely';
import type { FullText } from '../full-text.ts';
import type { Tables } from '../tables.ts';

/** How much a hit in each column counts: club, name, truck, tags, member, notes, sheets. The club only narrows down. */
const WEIGHTS = sql.raw('0, 10, 5, 5, 3, 2, 1');

/** FTS5 with the club as a word of the index: joined and filtered afterwards, a search would rank the setups of every club. */
export const ftsFullText: FullText = {
  async put(db, setup, club, words) {
    await sql`delete from setup_words where rowid = ${setup}`.execute(db);
    await sql`
      insert into setup_words (rowid, club, name, truck, tags, member, notes, sheets)
      values (${setup}, ${clubWord(club)}, ${words.name}, ${words.truck}, ${words.tags}, ${words.member}, ${words.notes}, ${words.sheets})
    `.execute(db);
  },
  async remove(db, setup) {
    await sql`delete from setup_words where rowid = ${setup}`.execute(db);
  },
  async find(db: Kysely<Tables>, { club, words, narrowed, limit, offset }) {
    // Words are letters, numbers and marks only, so a quote inside one cannot end the string.
    const terms = words.map((word) => ([...word].length > 1 ? `"${word}" *` : `"${word}"`));
    const match = `club : "${clubWord(club)}" AND {name truck tags member notes sheets} : (${terms.join(' AND ')})`;
    const { rows } = await sql<{ id: number }>`
      select setup.id from setup_words join setup on setup.id = setup_words.rowid
      where setup_words match ${match} and setup.club_id = ${club} and ${narrowed}
      order by bm25(setup_words, ${WEIGHTS}), setup.at desc, setup.id desc
      limit ${limit} offset ${offset}
    `.execute(db);
    return rows.map(({ id }) => id);
  },
  async *kept(db) {
    await sql`create virtual table if not exists temp.kept_words using fts5vocab(main, setup_words, instance)`.execute(db);
    // Every place of every word, which is all there is: the table keeps no text.
    const places = db
      .selectFrom(
        sql<{ setup: number; place: string }>`(select doc as setup, col || ' ' || offset || ' ' || term as place from temp.kept_words)`.as(
          'kept',
        ),
      )
      .selectAll()
      .orderBy('setup')
      .stream();
    let setup: number | undefined;
    let lines: string[] = [];
    for await (const { setup: of, place } of places) {
      if (setup !== undefined && of !== setup) {
        yield { setup, spelling: spelt(lines) };
        lines = [];
      }
      setup = of;
      lines.push(place);
    }
    if (setup !== undefined) yield { setup, spelling: spelt(lines) };
  },
  spelling: (club, words) =>
    spelt(
      Object.entries({ club: clubWord(club), ...words }).flatMap(([column, text]) =>
        text.split(' ').flatMap((word, offset) => (word === '' ? [] : [`${column} ${offset} ${word}`])),
      ),
    ),
};

const spelt = (lines: readonly string[]): string => [...lines].sort().join('\n');

const clubWord = (club: number): string => `c${club}`;
