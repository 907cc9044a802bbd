import { absent, formula, maybe, optional, positive } from '../formula.ts';

/** Loads this close bind together: travels typed in millimetres meet only to rounding. */
const TOGETHER = 1e-9;

/**
 * Two springs on one shock, one on top of the other: the rate of both, and where the first binds and leaves the other alone.
 *
 *     k = 1 / (1/a + 1/b)
 *     F = min(a·p, b·q)
 *     x = F / k
 *
 *     a  rate a            N/m
 *     b  rate b            N/m
 *     p  room a            m    travel to coil bind; left out, that spring never binds
 *     q  room b            m    travel to coil bind; left out, that spring never binds
 *     k  combined rate     N/m  while both work
 *     x  crossover travel  m    of the pair, where the first binds; left out without any room
 *     F  crossover load    N
 *     n  rate after        N/m  of the spring still free; absent when both bind together
 *
 * Shape:      all rates doubled double k and F; the softer spring decides k; rooms doubled double x and F.
 * Leaves out: weight and friction of the slider between them, coils that bind one after another, the end of the shock's own travel.
 * Throws:     DomainError unless rates and rooms are finite and above zero.
 * Source:     Rao, Mechanical Vibrations, section 1.7 (springs in series); the same load goes through both.
 *
 * @example springPair({ rateA: si(1000), rateB: si(3000), roomA: si(0.009) }) // combinedRate ≈ 750 N/m, crossoverTravel ≈ 0.012 m, crossoverLoad ≈ 9 N, rateAfter ≈ 3000 N/m
 */
export const springPair = formula(
  { rateA: positive('N/m'), rateB: positive('N/m'), roomA: optional(positive('m')), roomB: optional(positive('m')) },
  { combinedRate: 'N/m', crossoverTravel: maybe('m'), crossoverLoad: maybe('N'), rateAfter: maybe('N/m') },
  ({ rateA, rateB, roomA, roomB }) => {
    const combinedRate = 1 / (1 / rateA + 1 / rateB);
    if (roomA === undefined && roomB === undefined)
      return { combinedRate, crossoverTravel: undefined, crossoverLoad: undefined, rateAfter: undefined };
    const bindsA = roomA === undefined ? Number.POSITIVE_INFINITY : rateA * roomA;
    const bindsB = roomB === undefined ? Number.POSITIVE_INFINITY : rateB * roomB;
    const crossoverLoad = Math.min(bindsA, bindsB);
    const together = Math.abs(bindsA - bindsB) <= TOGETHER * crossoverLoad;
    return {
      combinedRate,
      crossoverTravel: crossoverLoad / combinedRate,
      crossoverLoad,
      rateAfter: together ? absent('both bind together') : bindsA < bindsB ? rateB : rateA,
    };
  },
);
