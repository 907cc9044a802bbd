import type { Migration } from './index.ts';

/**
 * Setups that were saved before 0004 get the numbers and facets that they are found by; and a truck's readings of an instant are found at
 * once, for the club's log.
 */
export const foundAgain: Migration = {
  name: '0007_found_again',
  sqlite: ['create index reading_by_time on reading (truck_id, at)'],
  postgres: ['create index reading_by_time on reading (truck_id, at)'],
  renews: 'what setups are found by',
};
