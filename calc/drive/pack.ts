import { counted, DomainError, formula, maybe, notNegative, optional, positive, share } from '../formula.ts';

/**
 * What a pack gives: how long, how much at most, at what voltage, and what is in it.
 *
 *     t = u·C / I
 *     M = c·C
 *     V = n·U − I·Q
 *     E = C·n·U
 *
 *     C  capacity            C    coulombs, 3.6 to the mAh
 *     n  cells               1    in series
 *     I  mean current        A    over the run
 *     u  usable              1    part that may be taken out
 *     c  c rating            1/s  current per capacity; 1/h is 1/3600 of that
 *     Q  pack resistance     Ω
 *     U  cell voltage        V    of one cell, at rest
 *     t  runtime             s
 *     M  max current         A    left out without a c rating
 *     V  voltage under load  V    at the mean current
 *     E  energy              J    of the full pack
 *
 * Shape:      runtime goes with capacity and share, and with 1/mean current; energy with capacity and cells.
 * Leaves out: voltage that falls while it empties, capacity lost to cold, age and high current, what a printed c rating really means.
 * Throws:     DomainError when the pack's own resistance takes more than its voltage at that current.
 * Source:     current by capacity: IEC 61434:1996; Ohm's law.
 *
 * @example pack({ capacity: si(5000 * 3.6), cells: si(2), meanCurrent: si(20), usable: si(0.8), cRating: si(50 / 3600), packResistance: si(0.01), cellVoltage: si(3.7) }) // runtime ≈ 720 s, maxCurrent ≈ 250 A, voltageUnderLoad ≈ 7.2 V, energy ≈ 133200 J
 */
export const pack = formula(
  {
    capacity: positive('C'),
    cells: counted('1'),
    meanCurrent: positive('A'),
    usable: share(),
    cRating: optional(positive('1/s')),
    packResistance: notNegative('Ω'),
    cellVoltage: positive('V'),
  },
  { runtime: 's', maxCurrent: maybe('A'), voltageUnderLoad: 'V', energy: 'J' },
  ({ capacity, cells, meanCurrent, usable, cRating, packResistance, cellVoltage }) => {
    const voltage = cells * cellVoltage;
    const voltageUnderLoad = voltage - meanCurrent * packResistance;
    if (!(voltageUnderLoad > 0)) throw new DomainError('meanCurrent', 'the pack cannot push that current through its own resistance');
    return {
      runtime: (usable * capacity) / meanCurrent,
      maxCurrent: cRating === undefined ? undefined : cRating * capacity,
      voltageUnderLoad,
      energy: capacity * voltage,
    };
  },
);
