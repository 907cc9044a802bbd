import { describe, expect, it } from 'vitest';
import { MIGRATIONS } from '../../../worksheets/archive/migrations/index.ts';
import { loadSqlite } from '../../../worksheets/archive/sqlite/driver.ts';
import { fold, wordsOf } from '../../../worksheets/archive/words.ts';

/** Every character that can stand in a text. */
function* characters(): Generator<string> {
  for (let code = 0; code < 0x110000; code += 1) if (code < 0xd800 || code > 0xdfff) yield String.fromCodePoint(code);
}

describe('words to find by', () => {
  it('folded twice are what they are folded once, whatever the character', () => {
    const different: string[] = [];
    for (const character of characters()) if (fold(fold(character)) !== fold(character)) different.push(character);
    expect(different).toEqual([]);
  });

  it('are the same in any dress that a keyboard puts on them', () => {
    // Unicode 15, 4.2 and chapter 22: mathematical letters, modifier letters and full width forms are letters with a compatibility mapping.
    for (const dressed of ['Sandhopper', '𝐒𝐚𝐧𝐝𝐡𝐨𝐩𝐩𝐞𝐫', 'ＳＡＮＤＨＯＰＰＥＲ', 'ˢᵃⁿᵈʰᵒᵖᵖᵉʳ', '𝕊𝒶𝓃𝔡𝓱𝕠𝗽𝘱𝙚𝚛'])
      expect(wordsOf(dressed)).toEqual(['sandhopper']);
  });

  it('are split and kept by SQLite exactly as by us, whatever the character', async () => {
    const words = new Set<string>();
    for (const character of characters()) for (const word of wordsOf(`a${character}b`)) words.add(word);
    const database = (await loadSqlite()).open(':memory:', { readonly: false });
    // As the first migration says it.
    const tokenize = MIGRATIONS[0]!.sqlite.map((statement) => /tokenize = "[^"]+"/.exec(statement)?.[0]).find(Boolean);
    database.exec(`create virtual table kept using fts5 (text, content = '', contentless_delete = 1, ${tokenize})`);
    database.exec('create virtual table terms using fts5vocab (kept, instance)');
    database.exec('begin');
    const put = database.prepare('insert into kept (rowid, text) values (?, ?)');
    const list = [...words];
    for (const [index, word] of list.entries()) put.run([index, word]);
    database.exec('commit');
    const rows = database.prepare('select doc, term, offset from terms').all([]) as { doc: number; term: string; offset: number }[];
    database.close();
    expect(list.length).toBeGreaterThan(140_000);
    expect(rows.length).toBe(list.length);
    expect(rows.filter(({ doc, term }) => list[doc] !== term)).toEqual([]);
  });
});
