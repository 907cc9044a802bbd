import type { Migration } from './index.ts';

/**
 * What a setup is found by besides its words: its numbers in SI, and its owner, truck, tags, surface and track, folded. Both are worked out
 * from the newest revision when it is saved. `private`: its owner's alone. `gone`: taken away by its owner; the number stays, so that no
 * other setup ever gets it.
 */
export const setups: Migration = {
  name: '0004_setups',
  sqlite: [
    'alter table setup add column private integer not null default 0 check (private in (0, 1))',
    'alter table setup add column gone integer not null default 0 check (gone in (0, 1))',
    `create table setup_number (
      setup_id integer not null references setup (id),
      club_id integer not null references club (id),
      name text not null,
      end text not null check (end in ('', 'front', 'rear')),
      value real not null,
      primary key (setup_id, name, end)
    ) strict`,
    'create index setup_by_number on setup_number (club_id, name, end, value, setup_id)',
    `create table setup_facet (
      setup_id integer not null references setup (id),
      club_id integer not null references club (id),
      facet text not null check (facet in ('owner', 'truck', 'tag', 'surface', 'track')),
      value text not null,
      primary key (setup_id, facet, value)
    ) strict`,
    'create index setup_by_facet on setup_facet (club_id, facet, value, setup_id)',
    // A setup that is gone takes its revisions with it; the log keeps their hashes, and that they went.
    'drop trigger revision_is_kept',
    `create trigger revision_is_kept before delete on revision
      when (select gone from setup where id = old.setup_id) is not 1
      begin select raise(abort, 'a revision is never removed'); end`,
  ],
  postgres: [
    'alter table setup add column private bigint not null default 0 check (private in (0, 1))',
    'alter table setup add column gone bigint not null default 0 check (gone in (0, 1))',
    `create table setup_number (
      setup_id bigint not null references setup (id),
      club_id bigint not null references club (id),
      name text collate "C" not null,
      "end" text collate "C" not null check ("end" in ('', 'front', 'rear')),
      value double precision not null,
      primary key (setup_id, name, "end")
    )`,
    'create index setup_by_number on setup_number (club_id, name, "end", value, setup_id)',
    `create table setup_facet (
      setup_id bigint not null references setup (id),
      club_id bigint not null references club (id),
      facet text collate "C" not null check (facet in ('owner', 'truck', 'tag', 'surface', 'track')),
      value text collate "C" not null,
      primary key (setup_id, facet, value)
    )`,
    'create index setup_by_facet on setup_facet (club_id, facet, value, setup_id)',
    'drop trigger revision_is_kept on revision',
    `create function revision_is_kept() returns trigger language plpgsql as $$
      begin
        if (select gone from setup where id = old.setup_id) is distinct from 1
        then raise exception 'a revision is never removed' using errcode = 'restrict_violation';
        end if;
        return old;
      end $$`,
    `create trigger revision_is_kept before delete on revision
      for each row execute function revision_is_kept()`,
  ],
};
