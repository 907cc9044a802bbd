import type { Migration } from './index.ts';

/** Setups are found by what the day was like: its words among the others, and the grip by its own name. What stood in the table is made again. */
export const foundByConditions: Migration = {
  name: '0008_found_by_conditions',
  sqlite: [
    'drop table setup_facet',
    `create table setup_facet (
      setup_id integer not null references setup (id),
      club_id integer not null references club (id),
      facet text not null check (facet in ('owner', 'truck', 'tag', 'surface', 'track', 'grip')),
      value text not null,
      primary key (setup_id, facet, value)
    ) strict`,
    'create index setup_by_facet on setup_facet (club_id, facet, value, setup_id)',
  ],
  postgres: [
    'drop table setup_facet',
    `create table setup_facet (
      setup_id bigint not null references setup (id),
      club_id bigint not null references club (id),
      facet text collate "C" not null check (facet in ('owner', 'truck', 'tag', 'surface', 'track', 'grip')),
      value text collate "C" not null,
      primary key (setup_id, facet, value)
    )`,
    'create index setup_by_facet on setup_facet (club_id, facet, value, setup_id)',
  ],
  renews: 'what setups are found by',
};
