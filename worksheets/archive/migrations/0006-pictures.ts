import type { Migration } from './index.ts';

/**
 * Pictures of a club by what they hold, each once, and which revision shows which in what order. What a revision shows is never changed; it
 * goes with its setup, and a picture goes with the last revision that shows it. The club stands beside the hash so that its lock is enough:
 * nobody can take away what another is just about to show.
 */
export const pictures: Migration = {
  name: '0006_pictures',
  sqlite: [
    `create table picture (
      club_id integer not null references club (id),
      hash text not null,
      bytes blob not null,
      at integer not null,
      primary key (club_id, hash)
    ) strict`,
    `create trigger picture_stays before update on picture
      begin select raise(abort, 'a picture is never changed'); end`,
    `create trigger picture_is_added before insert on picture
      when exists (select 1 from picture where club_id = new.club_id and hash = new.hash)
      begin select raise(abort, 'a picture is never changed'); end`,
    `create table revision_picture (
      setup_id integer not null,
      rev integer not null,
      number integer not null check (number >= 1),
      club_id integer not null,
      hash text not null,
      primary key (setup_id, rev, number),
      foreign key (setup_id, rev) references revision (setup_id, rev),
      foreign key (club_id, hash) references picture (club_id, hash)
    ) strict`,
    'create index revision_by_picture on revision_picture (club_id, hash)',
    `create trigger revision_picture_stays before update on revision_picture
      begin select raise(abort, 'what a revision shows is never changed'); end`,
    `create trigger revision_picture_is_kept before delete on revision_picture
      when (select gone from setup where id = old.setup_id) is not 1
      begin select raise(abort, 'what a revision shows is never removed'); end`,
    `create trigger revision_picture_is_added before insert on revision_picture
      when exists (select 1 from revision_picture where setup_id = new.setup_id and rev = new.rev and number = new.number)
      begin select raise(abort, 'what a revision shows is never changed'); end`,
  ],
  postgres: [
    `create table picture (
      club_id bigint not null references club (id),
      hash text collate "C" not null,
      bytes bytea not null,
      at bigint not null,
      primary key (club_id, hash)
    )`,
    `create trigger picture_stays before update on picture
      for each row execute function refuse('a picture is never changed')`,
    `create table revision_picture (
      setup_id bigint not null,
      rev bigint not null,
      number bigint not null check (number >= 1),
      club_id bigint not null,
      hash text collate "C" not null,
      primary key (setup_id, rev, number),
      foreign key (setup_id, rev) references revision (setup_id, rev),
      foreign key (club_id, hash) references picture (club_id, hash)
    )`,
    'create index revision_by_picture on revision_picture (club_id, hash)',
    `create trigger revision_picture_stays before update on revision_picture
      for each row execute function refuse('what a revision shows is never changed')`,
    `create function revision_picture_is_kept() returns trigger language plpgsql as $$
      begin
        if (select gone from setup where id = old.setup_id) is distinct from 1
        then raise exception 'what a revision shows is never removed' using errcode = 'restrict_violation';
        end if;
        return old;
      end $$`,
    `create trigger revision_picture_is_kept before delete on revision_picture
      for each row execute function revision_picture_is_kept()`,
    `create trigger revision_picture_is_not_emptied before truncate on revision_picture
      for each statement execute function refuse('what a revision shows is never removed')`,
  ],
};
