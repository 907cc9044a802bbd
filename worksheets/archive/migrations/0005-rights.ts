import type { Migration } from './index.ts';

/** Who is an officer of a club, and the codes by which a setup is shown to other clubs: only their hashes are kept. */
export const rights: Migration = {
  name: '0005_rights',
  sqlite: [
    `create table officer (
      member_id integer primary key references member (id),
      at integer not null
    ) strict`,
    `create table share (
      hash text primary key,
      setup_id integer not null references setup (id),
      rev integer not null check (rev >= 1),
      named integer not null check (named in (0, 1)),
      at integer not null
    ) strict`,
    'create index share_of_setup on share (setup_id)',
  ],
  postgres: [
    `create table officer (
      member_id bigint primary key references member (id),
      at bigint not null
    )`,
    `create table share (
      hash text collate "C" primary key,
      setup_id bigint not null references setup (id),
      rev bigint not null check (rev >= 1),
      named bigint not null check (named in (0, 1)),
      at bigint not null
    )`,
    'create index share_of_setup on share (setup_id)',
  ],
};
