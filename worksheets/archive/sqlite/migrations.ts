import { type Kysely, type Migration, sql } from 'kysely';

/**
 * Forward only, in the order of their names. A migration that has gone out is never edited; the next one mends it.
 *
 * A trap of SQLite: `insert or replace` removes the old row without asking its delete trigger, so what must not change has an insert trigger too.
 */
export const MIGRATIONS: { readonly [name: string]: Migration } = {
  '0001_first_floor': statements(
    `create table club (
      id integer primary key,
      platform_id text not null unique,
      setups integer not null default 0,
      changes integer not null default 0,
      audit_hash text not null default '',
      at integer not null
    ) strict`,
    `create table member (
      id integer primary key,
      club_id integer not null references club (id),
      platform_id text not null,
      name text not null,
      at integer not null,
      unique (club_id, platform_id)
    ) strict`,
    `create table truck (
      id integer primary key,
      member_id integer not null references member (id),
      name text not null,
      name_key text not null,
      at integer not null,
      unique (member_id, name_key)
    ) strict`,
    `create table fact (
      truck_id integer not null references truck (id),
      fact text not null,
      name text not null,
      typed text not null,
      value text not null,
      uncertainty real,
      unit text,
      sheet text not null,
      end text not null check (end in ('', 'front', 'rear')),
      at integer not null,
      primary key (truck_id, fact)
    ) strict`,
    `create table latest (
      truck_id integer not null references truck (id),
      sheet text not null,
      end text not null check (end in ('', 'front', 'rear')),
      readings text not null,
      answer text not null,
      at integer not null,
      primary key (truck_id, sheet, end)
    ) strict`,
    `create table setup (
      id integer primary key,
      club_id integer not null references club (id),
      number integer not null,
      truck_id integer not null references truck (id),
      name text not null,
      name_key text not null,
      notes text not null,
      tags text not null,
      sheets text not null,
      rev integer not null,
      at integer not null,
      unique (club_id, number),
      unique (truck_id, name_key)
    ) strict`,
    'create index setup_by_name on setup (club_id, name_key)',
    'create index setup_by_time on setup (club_id, at)',
    `create table revision (
      setup_id integer not null references setup (id),
      rev integer not null check (rev >= 1),
      parent_hash text,
      hash text not null,
      doc text not null,
      author_id integer not null references member (id),
      at integer not null,
      primary key (setup_id, rev)
    ) strict`,
    `create trigger revision_stays before update on revision
      begin select raise(abort, 'a revision is never changed'); end`,
    `create trigger revision_is_kept before delete on revision
      begin select raise(abort, 'a revision is never removed'); end`,
    `create trigger revision_follows before insert on revision
      when exists (select 1 from revision where setup_id = new.setup_id and rev = new.rev)
        or new.parent_hash is not (select hash from revision where setup_id = new.setup_id and rev = new.rev - 1)
        or (new.rev > 1) is not (new.parent_hash is not null)
      begin select raise(abort, 'a revision follows the one before it'); end`,
    `create table interaction (
      club_id integer not null references club (id),
      id text not null,
      result text not null,
      at integer not null,
      primary key (club_id, id)
    ) strict`,
    `create table audit (
      club_id integer not null references club (id),
      change integer not null,
      at integer not null,
      member_id integer references member (id),
      act text not null,
      detail text not null,
      hash text not null,
      primary key (club_id, change)
    ) strict`,
    `create trigger audit_stays before update on audit
      begin select raise(abort, 'an audit row is never changed'); end`,
    `create trigger audit_is_kept before delete on audit
      begin select raise(abort, 'an audit row is never removed'); end`,
    `create trigger audit_is_added before insert on audit
      when exists (select 1 from audit where club_id = new.club_id and change = new.change)
      begin select raise(abort, 'an audit row is never changed'); end`,
    // Words come in folded already (words.ts); all the tokeniser has to do is split them as we do, marks included.
    // Prefixes of two and three letters have their own index: without it "we…" over 300,000 setups took 406 ms, with it 16.
    `create virtual table setup_words using fts5 (
      club, name, truck, tags, member, notes, sheets,
      content = '', contentless_delete = 1, prefix = '2 3',
      tokenize = "unicode61 remove_diacritics 0 categories 'L* N* M*'"
    )`,
  ),
};

function statements(...list: readonly string[]): Migration {
  return {
    async up(db: Kysely<unknown>) {
      for (const statement of list) await sql.raw(statement).execute(db);
    },
  };
}
