import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { sql } from 'kysely';
import { describe, expect, it } from 'vitest';
import type { Engine } from '../../../worksheets/archive/engine.ts';
import { MIGRATIONS } from '../../../worksheets/archive/migrations/index.ts';
import { openEngine } from '../../../worksheets/archive/open.ts';
import { onPostgres, sqliteKind } from './places.ts';

describe('the steps of the schema', () => {
  it('stand in a file each that is called as they are, in the order of their numbers', () => {
    const folder = fileURLToPath(new URL('../../../worksheets/archive/migrations/', import.meta.url));
    const files = readdirSync(folder)
      .filter((name) => /^\d/.test(name))
      .sort();
    expect(MIGRATIONS.map(({ name }) => `${name.replaceAll('_', '-')}.ts`)).toEqual(files);
    expect(new Set(MIGRATIONS.map(({ name }) => name.slice(0, 4))).size).toBe(MIGRATIONS.length);
  });

  it('say something to both engines, and each of SQLite makes strict tables', () => {
    for (const { name, sqlite, postgres } of MIGRATIONS) {
      expect([name, sqlite.length > 0, postgres.length > 0]).toEqual([name, true, true]);
      for (const statement of sqlite.filter((one) => /^\s*create table/i.test(one)))
        expect([name, statement]).toEqual([name, expect.stringMatching(/\)\s*strict\s*$/)]);
    }
  });
});

onPostgres((server) => {
  describe('both engines', () => {
    const withBoth = async (look: (sqlite: Engine, postgres: Engine) => Promise<void>): Promise<void> => {
      const sqlite = await openEngine({ ...(await sqliteKind.make()), create: true });
      const postgres = await openEngine({ url: await server.room(), create: true });
      await look(sqlite, postgres).finally(() => Promise.all([sqlite.close(), postgres.close()]));
    };

    it('have the same tables with the same columns and keys, and every table has a key', () =>
      withBoth(async (sqlite, postgres) => {
        const tables = await sqlite.tables(sqlite.db);
        expect(tables.length).toBeGreaterThan(8);
        expect(tables.map(({ name }) => name)).toContain('revision');
        expect(await postgres.tables(postgres.db)).toEqual(tables);
        expect(tables.filter(({ key }) => key.length === 0)).toEqual([]);
      }));

    it('keep the same kinds of values: whole numbers, fractions, text and bytes', () =>
      withBoth(async (sqlite, postgres) => {
        const inSqlite = await sql<{ column: string; type: string; needed: number }>`
          select l.name || '.' || c.name as "column", lower(c.type) as type, c."notnull" or c.pk > 0 as needed
          from pragma_table_list l join pragma_table_info(l.name) c where l.schema = 'main' and l.type = 'table' order by 1
        `.execute(sqlite.db);
        const inPostgres = await sql<{ column: string; type: string; needed: boolean }>`
          select table_name || '.' || column_name as column, data_type as type, is_nullable = 'NO' as needed
          from information_schema.columns where table_schema = current_schema() order by 1
        `.execute(postgres.db);
        const same: { [type: string]: string } = { integer: 'bigint', real: 'double precision', text: 'text', blob: 'bytea' };
        const types = new Map(inPostgres.rows.map(({ column, type, needed }) => [column, `${type}, ${needed}`]));
        const ours = inSqlite.rows.filter(({ column }) => !/^(sqlite|kysely)_/.test(column));
        expect(ours.length).toBeGreaterThan(50);
        expect(ours.map(({ column }) => [column, types.get(column)])).toEqual(
          ours.map(({ column, type, needed }) => [column, `${same[type]}, ${needed === 1}`]),
        );
      }));

    it('sort text alike: every text of PostgreSQL goes by its bytes', () =>
      withBoth(async (_, postgres) => {
        const { rows } = await sql`
          select c.relname || '.' || a.attname as column from pg_attribute a join pg_class c on c.oid = a.attrelid
          where c.relnamespace = current_schema()::regnamespace and c.relkind = 'r' and c.relname not like 'kysely%' and a.attnum > 0
            and a.atttypid = 'text'::regtype and a.attcollation <> '"C"'::regcollation
        `.execute(postgres.db);
        expect(rows).toEqual([]);
        // And the server of the tests would sort otherwise by itself.
        const { rows: sorted } = await sql<{ text: string }>`select text from unnest(array['b', 'B', 'a']) as text order by text`.execute(
          postgres.db,
        );
        expect(sorted.map(({ text }) => text)).toEqual(['a', 'b', 'B']);
      }));
  });
});
