/** A club of some thousand setups: whatever is asked of them by numbers and facets, and however many have it, those are found that have it. */
import { describe, expect, it } from 'vitest';
import { openArchive } from '../../../worksheets/archive/archive.ts';
import type { Facets, NumberBetween } from '../../../worksheets/archive/types.ts';
import { ADA, CLUB, corners } from './example.ts';
import { onEach } from './places.ts';

const MANY = 5_000;
/** What the setup of a number has; all of it follows from the number, so that it can be reckoned here as well. */
const has = (number: number) => ({
  /** One of many, at the whole truck; a fifth have it of the rear only. */
  share: number % 1000,
  rear: number % 5 === 0 ? number % 77 : undefined,
  owner: number % 4 === 0 ? 'zoe quick' : 'zoltan',
  tag: number % 997 === 0 ? 'rare' : 'common',
});

function* draws(): Generator<number> {
  for (let state = 20260614; ; ) {
    // Numerical Recipes, 3rd edition, 7.1.5: a quick generator, good enough to choose questions.
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    yield state / 2 ** 32;
  }
}

onEach(({ name, make, raw }) => {
  describe(`${MANY} setups on ${name}`, () => {
    it('are found by numbers and facets, newest first, as they are when each is looked at', async () => {
      const place = await make();
      const archive = await openArchive({ ...place, create: true });
      await archive.remember(corners(ADA, 'Sandhopper'));
      const range = `with recursive n (x) as (select 1 union all select x + 1 from n where x < ${MANY})`;
      const end = '"end"';
      await raw(
        place,
        `${range} insert into setup (club_id, number, truck_id, name, name_key, notes, tags, sheets, rev, at)
          select 1, x, 1, 'Salt ' || x, 'salt ' || x, '', '[]', '[]', 1, x from n`,
        `insert into setup_number (setup_id, club_id, name, ${end}, value) select id, 1, 'share', '', number % 1000 from setup`,
        `insert into setup_number (setup_id, club_id, name, ${end}, value)
          select id, 1, 'share', 'rear', number % 77 from setup where number % 5 = 0`,
        `insert into setup_facet (setup_id, club_id, facet, value)
          select id, 1, 'owner', case when number % 4 = 0 then 'zoe quick' else 'zoltan' end from setup`,
        `insert into setup_facet (setup_id, club_id, facet, value)
          select id, 1, 'tag', case when number % 997 = 0 then 'rare' else 'common' end from setup`,
      );
      const next = draws();
      const draw = (below: number): number => Math.floor(next.next().value! * below);
      let hits = 0;
      for (let turn = 0; turn < 120; turn += 1) {
        const numbers = Array.from({ length: draw(3) }, (): NumberBetween => {
          const low = draw(1000);
          const high = draw(3) === 0 ? Number.POSITIVE_INFINITY : low + draw(900);
          return [
            { name: 'share', end: null, low, high },
            { name: 'rear_share', end: null, low: low % 77, high },
            { name: 'share', end: 'rear' as const, low: low % 77, high },
            { name: 'share', end: null, low, high, strict: true },
          ][draw(4)]!;
        });
        const facets: Facets = {
          ...(draw(3) === 0 ? { owner: ['zoe', 'Zo', 'zoltan', 'nobody'][draw(4)]! } : {}),
          ...(draw(4) === 0 ? { tag: [['rare', 'com', '%'][draw(3)]!] } : {}),
        };
        const offset = draw(2) * draw(40);
        const fits = (number: number): boolean => {
          const of = has(number);
          const holds = ({ name: called, end: which, low, high, strict = false }: NumberBetween): boolean => {
            const values = called === 'rear_share' || which === 'rear' ? [of.rear] : [of.share, of.rear];
            return values.some((one) => one !== undefined && (strict ? one > low && one < high : one >= low && one <= high));
          };
          const owner = facets.owner?.toLowerCase();
          return (
            numbers.every(holds) &&
            (owner === undefined || of.owner.startsWith(owner)) &&
            (facets.tag ?? []).every((one) => of.tag.startsWith(one))
          );
        };
        const expected = Array.from({ length: MANY }, (_, i) => MANY - i).filter(fits);
        const found = await archive.findSetups({ club: CLUB, words: '', numbers, facets, offset, limit: 10 });
        const asked = JSON.stringify({ numbers, facets, offset });
        expect(
          found.setups.map(({ id }) => id),
          asked,
        ).toEqual(expected.slice(offset, offset + 10));
        expect(found.more, asked).toBe(expected.length > offset + 10);
        hits += found.setups.length;
      }
      expect(hits).toBeGreaterThan(300);
      await archive.close();
    }, 60_000);
  });
});
