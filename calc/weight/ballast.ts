import { DomainError, formula, list, orWord, positive, real, share, text } from '../formula.ts';
import { bestCut, bestPlan, LARGEST_HALF } from './ballast-search.ts';

/** What a plan reads that moves no part. */
const NOTHING_MOVES = 'nothing moves';

/** What has to be left of a truck with all its parts off: masses compare to 1 mg. */
const LIGHTEST_TRUCK = 1e-6;

/** A place as members read it: millimetres as the shortest decimal, to the nanometre (0.1 + 0.2 m is 300, not 300.00000000000004). */
const inMillimetres = (place: number | 'off'): string => (place === 'off' ? place : String(Number((place * 1000).toFixed(6)) + 0));

/**
 * Where to put the parts that can be moved, so that the rear share comes to its target: the best of all plans.
 *
 *     T = F + R + Σ Δm
 *     s = (R + Σ Δ(m·x) / L) / T
 *     e = s − s₀
 *
 *     F   front load   kg         as weighed now
 *     R   rear load    kg         as weighed now
 *     L   wheelbase    m
 *     s₀  target rear  1
 *     t   tolerance    1          a plan is within it when |e| ≤ t
 *     P   parts        list       in the order that decides between equals
 *     n   name         text
 *     m   mass         kg
 *     x   now          m or off   behind the front axle, negative ahead of it
 *     c   places       m or off   where it could go; the place now is always among them
 *     s   rear share   1
 *     T   total        kg
 *     Δm  added mass   kg         put on less taken off; may be negative
 *     k   moves        1          parts whose place changes
 *     e   error        1
 *     p   plan         text       `pack 210; lead off`, in millimetres: the parts that move, in the order listed; or `nothing moves`
 *
 * Of the plans within tolerance the least added mass, then the fewest moves, then the smallest |e|; when none is, the smallest |e|, then the
 * least added mass, then the fewest moves. Masses count as equal within half a milligram, shares within half of 1e-9. Between equals the place
 * listed first: of the first part, then of the second, and so on; a place now that is not listed stands before the listed ones.
 * A place named twice counts once, and places that read alike are one place.
 *
 * Shape:      all masses and loads doubled double the total and the added mass and leave the plan; so do all lengths, but for the millimetres in it.
 * Leaves out: height and side of the parts, what else they do to the truck; lifting off an axle is not looked at.
 * Throws:     DomainError unless the truck weighs more than the parts on it; when the list, cut in two, makes more than 200 000 plans in a half.
 * Source:     moment balance about the front axle; exact search in ballast-search.ts (Horowitz & Sahni, J. ACM 21, 1974, 277–292).
 *
 * @example ballast({ frontLoad: si(1.22), rearLoad: si(1.78), wheelbase: si(0.33), targetRear: si(0.6), tolerance: si(0.0025), parts: [{ name: 'pack', mass: si(0.29), now: si(0.185), places: [si(0.185), si(0.21), si(0.24)] }, { name: 'lead', mass: si(0.06), now: 'off', places: ['off', si(0.33)] }] }) // rearShare ≈ 0.60066 1, total = 3 kg, addedMass = 0 kg, moves = 1, error ≈ 0.00066 1, plan = 'pack 210'
 */
export const ballast = formula(
  {
    frontLoad: positive('kg'),
    rearLoad: positive('kg'),
    wheelbase: positive('m'),
    targetRear: share(),
    tolerance: share(),
    parts: list({ name: text(), mass: positive('kg'), now: orWord('off', real('m')), places: list(orWord('off', real('m'))) }),
  },
  { rearShare: '1', total: 'kg', addedMass: 'kg', moves: '1', error: '1', plan: 'text' },
  ({ frontLoad, rearLoad, wheelbase, targetRear, tolerance, parts }) => {
    const weighed = frontLoad + rearLoad;
    const aboard = parts.reduce((sum, { mass, now }) => (now === 'off' ? sum : sum + mass), 0);
    if (weighed - aboard < LIGHTEST_TRUCK)
      throw new DomainError('parts', 'the parts on the truck weigh as much as the whole truck, or more');

    const choices = parts.map(({ mass, now, places }) => {
      const listed = [...new Map(places.map((place) => [inMillimetres(place), place])).entries()];
      const here = inMillimetres(now);
      if (!listed.some(([reads]) => reads === here)) listed.unshift([here, now]);
      const onTruck = (place: number | 'off'): number => (place === 'off' ? 0 : mass);
      const onRear = (place: number | 'off'): number => (place === 'off' ? 0 : (mass * place) / wheelbase);
      return listed.map(([reads, place]) => {
        const moved = reads !== here;
        const added = moved ? onTruck(place) - onTruck(now) : 0;
        const rear = moved ? onRear(place) - onRear(now) : 0;
        return { reads, moved, mass: added, rear, lean: rear - targetRear * added };
      });
    });
    const { larger } = bestCut(choices.map(({ length }) => length));
    if (larger > LARGEST_HALF)
      throw new DomainError(
        'parts',
        `these parts and places make too many plans to be sure of the best one: cut in two, each half of the list may make ${LARGEST_HALF} plans. 12 parts of 7 places each stay below that, and so do 34 that are only on or off`,
      );

    const best = bestPlan(choices, { total: weighed, lean: rearLoad - targetRear * weighed }, tolerance);
    const taken = choices.map((places, i) => ({ ...places[best[i]!]!, name: parts[i]!.name }));
    const moving = taken.filter(({ moved }) => moved);
    const addedMass = moving.reduce((sum, { mass }) => sum + mass, 0);
    const total = weighed + addedMass;
    const rearShare = (rearLoad + moving.reduce((sum, { rear }) => sum + rear, 0)) / total;
    return {
      rearShare,
      total,
      addedMass,
      moves: moving.length,
      error: rearShare - targetRear,
      plan: moving.map(({ name, reads }) => `${name} ${reads}`).join('; ') || NOTHING_MOVES,
    };
  },
);
