import { DomainError, formula, maybe, real, si, within } from '../formula.ts';
import { driven } from './driven.ts';
import { FEWEST_TEETH, MOST_TEETH } from './teeth.ts';
import { topSpeed } from './top-speed.ts';

/** How far the table of pinions reaches to either side. */
const REACH = 4;

/**
 * The pinion of the highest top speed among those from four teeth fewer to four more.
 *
 *     v(z) = top speed with a pinion of z teeth
 *     p = the z of the greatest v(z),  max(5, z₁ − 4) ≤ z ≤ min(150, z₁ + 4)
 *
 *     K   motor kv              rad/(s·V)
 *     n   cells                 1
 *     z₁  pinion                1   the one on the truck
 *     z₂  spur                  1
 *     G   gearbox ratio         1
 *     A   axle ratio            1
 *     T   spur turns            1   counted by hand, in the place of gearbox and axle ratio
 *     d   tyre diameter         m
 *     U   cell voltage          V
 *     x   tyre growth           1
 *     m   total                 kg
 *     R   motor resistance      Ω
 *     J   no load current       A
 *     Q   pack resistance       Ω
 *     S   drag area             m²
 *     C   rolling coefficient   1
 *     η   driveline efficiency  1
 *     H   air temperature       K
 *     Z   altitude              m
 *     w   headwind              m/s
 *     p   fastest pinion        1   left out when it stands at the table's edge: the next one may be faster still
 *
 * Shape:      more drag, mass or resistance asks for no more teeth; more volts for no fewer.
 * Leaves out: whether the pinion fits the slot, and what the motor's heat says to it.
 * Throws:     DomainError unless the pinion has 5 to 150 teeth; a pinion that does not move the truck off takes no part.
 * Source:     search of the whole table, by topSpeed.
 *
 * @example fastestPinion({ motorKv: si(6000 * Math.PI / 30), cells: si(3), pinion: si(28), spur: si(54), gearboxRatio: si(1), axleRatio: si(3.25), tyreDiameter: si(0.1), cellVoltage: si(3.7), tyreGrowth: si(0), total: si(3), motorResistance: si(0.03), noLoadCurrent: si(4), packResistance: si(0.01), dragArea: si(0.03), rollingCoefficient: si(0.06), drivelineEfficiency: si(0.7), airTemperature: si(293.15), altitude: si(0), headwind: si(0) }) // fastestPinion = 30 1
 */
export const fastestPinion = formula(
  { ...driven, pinion: within('1', { min: FEWEST_TEETH, max: MOST_TEETH, whole: true }), headwind: real('m/s') },
  { fastestPinion: maybe('1') },
  (truck) => {
    const first = Math.max(FEWEST_TEETH, truck.pinion - REACH);
    const last = Math.min(MOST_TEETH, truck.pinion + REACH);
    let best = first;
    let bestSpeed = Number.NEGATIVE_INFINITY;
    for (let teeth = first; teeth <= last; teeth += 1) {
      const speed = speedWith(teeth);
      if (speed > bestSpeed) [best, bestSpeed] = [teeth, speed];
    }
    return { fastestPinion: best === first || best === last ? undefined : best };

    function speedWith(teeth: number): number {
      try {
        return topSpeed({ ...truck, pinion: si(teeth) }).topSpeed;
      } catch (error) {
        if (error instanceof DomainError) return Number.NEGATIVE_INFINITY;
        throw error;
      }
    }
  },
);
