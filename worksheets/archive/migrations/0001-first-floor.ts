import type { Migration } from './index.ts';

/** Clubs, members, trucks with their facts and last answers, setups and their revisions, interactions, the log of changes, words to find by. */
export const firstFloor: Migration = {
  name: '0001_first_floor',
  sqlite: [
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
  ],
  postgres: [
    // Without it a GIN index holds no plain number beside the words. Trusted: whoever may create in the database may have it.
    'create extension if not exists btree_gin',
    `create table club (
      id bigint generated by default as identity primary key,
      platform_id text collate "C" not null unique,
      setups bigint not null default 0,
      changes bigint not null default 0,
      audit_hash text collate "C" not null default '',
      at bigint not null
    )`,
    `create table member (
      id bigint generated by default as identity primary key,
      club_id bigint not null references club (id),
      platform_id text collate "C" not null,
      name text collate "C" not null,
      at bigint not null,
      unique (club_id, platform_id)
    )`,
    `create table truck (
      id bigint generated by default as identity primary key,
      member_id bigint not null references member (id),
      name text collate "C" not null,
      name_key text collate "C" not null,
      at bigint not null,
      unique (member_id, name_key)
    )`,
    `create table fact (
      truck_id bigint not null references truck (id),
      fact text collate "C" not null,
      name text collate "C" not null,
      typed text collate "C" not null,
      value text collate "C" not null,
      uncertainty double precision,
      unit text collate "C",
      sheet text collate "C" not null,
      "end" text collate "C" not null check ("end" in ('', 'front', 'rear')),
      at bigint not null,
      primary key (truck_id, fact)
    )`,
    `create table latest (
      truck_id bigint not null references truck (id),
      sheet text collate "C" not null,
      "end" text collate "C" not null check ("end" in ('', 'front', 'rear')),
      readings text collate "C" not null,
      answer text collate "C" not null,
      at bigint not null,
      primary key (truck_id, sheet, "end")
    )`,
    `create table setup (
      id bigint generated by default as identity primary key,
      club_id bigint not null references club (id),
      number bigint not null,
      truck_id bigint not null references truck (id),
      name text collate "C" not null,
      name_key text collate "C" not null,
      notes text collate "C" not null,
      tags text collate "C" not null,
      sheets text collate "C" not null,
      rev bigint not null,
      at bigint not null,
      unique (club_id, number),
      unique (truck_id, name_key)
    )`,
    'create index setup_by_name on setup (club_id, name_key)',
    'create index setup_by_time on setup (club_id, at, id)',
    `create table revision (
      setup_id bigint not null references setup (id),
      rev bigint not null check (rev >= 1),
      parent_hash text collate "C",
      hash text collate "C" not null,
      doc text collate "C" not null,
      author_id bigint not null references member (id),
      at bigint not null,
      primary key (setup_id, rev)
    )`,
    `create function refuse() returns trigger language plpgsql as
      $$ begin raise exception '%', tg_argv[0] using errcode = 'restrict_violation'; end $$`,
    `create trigger revision_stays before update on revision
      for each row execute function refuse('a revision is never changed')`,
    `create trigger revision_is_kept before delete on revision
      for each row execute function refuse('a revision is never removed')`,
    `create trigger revision_is_not_emptied before truncate on revision
      for each statement execute function refuse('a revision is never removed')`,
    `create function revision_follows() returns trigger language plpgsql as $$
      begin
        if exists (select 1 from revision where setup_id = new.setup_id and rev = new.rev)
          or new.parent_hash is distinct from (select hash from revision where setup_id = new.setup_id and rev = new.rev - 1)
          or (new.rev > 1) is distinct from (new.parent_hash is not null)
        then raise exception 'a revision follows the one before it' using errcode = 'restrict_violation';
        end if;
        return new;
      end $$`,
    `create trigger revision_follows before insert on revision
      for each row execute function revision_follows()`,
    `create table interaction (
      club_id bigint not null references club (id),
      id text collate "C" not null,
      result text collate "C" not null,
      at bigint not null,
      primary key (club_id, id)
    )`,
    `create table audit (
      club_id bigint not null references club (id),
      change bigint not null,
      at bigint not null,
      member_id bigint references member (id),
      act text collate "C" not null,
      detail text collate "C" not null,
      hash text collate "C" not null,
      primary key (club_id, change)
    )`,
    `create trigger audit_stays before update on audit
      for each row execute function refuse('an audit row is never changed')`,
    `create trigger audit_is_kept before delete on audit
      for each row execute function refuse('an audit row is never removed')`,
    `create trigger audit_is_not_emptied before truncate on audit
      for each statement execute function refuse('an audit row is never removed')`,
    // The club stands inside the index: filtered afterwards, a search would go through the setups of every club.
    `create table setup_words (
      setup_id bigint primary key references setup (id),
      club_id bigint not null,
      words tsvector not null
    )`,
    'create index setup_words_of_club on setup_words using gin (club_id, words) with (fastupdate = off)',
  ],
};
