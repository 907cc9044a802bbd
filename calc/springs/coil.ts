import { DomainError, formula, maybe, oneOf, optional, positive } from '../formula.ts';

const INCH = 0.0254;
/** One million pounds-force per square inch, from the exact pound, gravity and inch. Source: NIST SP 811 (2008), B.8. */
const MPSI = (1e6 * 0.45359237 * 9.80665) / INCH ** 2;

/** Coils that carry no load, and what the solid stack has beyond the total coils. Source: Shigley, Mechanical Engineering Design, table 10-1. */
const ENDS = {
  plain: { inactive: 0, extra: 1 },
  plain_ground: { inactive: 1, extra: 0 },
  squared: { inactive: 2, extra: 1 },
  squared_ground: { inactive: 2, extra: 0 },
} as const;

/** Shear modulus of music wire by wire size, stainless of any size. Source: Shigley, table 10-5 (up to 3.4 % between thin and thick wire). */
const MUSIC_WIRE = [
  { upTo: 0.032 * INCH, modulus: 12.0 * MPSI },
  { upTo: 0.063 * INCH, modulus: 11.85 * MPSI },
  { upTo: 0.125 * INCH, modulus: 11.75 * MPSI },
  { upTo: Number.POSITIVE_INFINITY, modulus: 11.6 * MPSI },
] as const;
const STAINLESS = 10.0 * MPSI;

/** The limits are met from above and below by rounding alone: a wire typed as 0.8128 mm is a wire of 0.032 in. */
const musicWire = (wire: number): number => MUSIC_WIRE.find(({ upTo }) => wire <= upTo * (1 + 1e-9))!.modulus;

/**
 * Rate and room of a coil spring, from its wire, coils and ends.
 *
 *     D = o − d
 *     C = D / d
 *     n = N − inactive coils of the ends
 *     k = G·d⁴ / (8·D³·n)
 *     s = d·N, and one d more where the ends are not ground
 *     t = f − s
 *
 *     d  wire                m
 *     o  outside diameter    m
 *     N  total coils         1
 *     E  ends                plain | plain_ground | squared | squared_ground
 *     M  material            music_wire | stainless
 *     X  shear modulus       Pa   given, it wins over the material's
 *     f  free length         m
 *     n  active coils        1    N less 0, 1, 2, 2 in the order of the ends
 *     D  mean diameter       m
 *     C  spring index        1
 *     G  shear modulus used  Pa   X, or the material's for this size of wire
 *     k  spring rate         N/m
 *     s  solid length        m    where the coils bind
 *     t  max travel          m    left out without a free length
 *
 * Shape:      the rate goes with G and, at one mean diameter, with d⁴ and 1/n; all lengths doubled doubles the rate.
 * Leaves out: coils that close one after another, the lead of the coils, end turns that roll, stress, buckling.
 * Throws:     DomainError unless coils stay active, the coil has a hole, and the free length is above the solid length.
 * Source:     Shigley, Mechanical Engineering Design, equation 10-9, tables 10-1 and 10-5.
 *
 * @example coil({ wire: si(0.0012), outsideDiameter: si(0.0172), totalCoils: si(10), ends: 'squared_ground', material: 'music_wire' }) // activeCoils ≈ 8 1, springRate ≈ 646.3 N/m, solidLength ≈ 0.012 m
 */
export const coil = formula(
  {
    wire: positive('m'),
    outsideDiameter: positive('m'),
    totalCoils: positive('1'),
    ends: oneOf('plain', 'plain_ground', 'squared', 'squared_ground'),
    material: oneOf('music_wire', 'stainless'),
    shearModulus: optional(positive('Pa')),
    freeLength: optional(positive('m')),
  },
  {
    activeCoils: '1',
    meanDiameter: 'm',
    springIndex: '1',
    shearModulusUsed: 'Pa',
    springRate: 'N/m',
    solidLength: 'm',
    maxTravel: maybe('m'),
  },
  ({ wire, outsideDiameter, totalCoils, ends, material, shearModulus, freeLength }) => {
    const { inactive, extra } = ENDS[ends];
    const activeCoils = totalCoils - inactive;
    if (!(activeCoils > 0)) throw new DomainError('totalCoils', `with these ends ${inactive} coils carry nothing, so none is left to work`);
    if (!(outsideDiameter > 2 * wire)) throw new DomainError('outsideDiameter', 'the wire is too thick for this outside diameter');
    const meanDiameter = outsideDiameter - wire;
    const solidLength = wire * (totalCoils + extra);
    if (freeLength !== undefined && !(freeLength > solidLength))
      throw new DomainError('freeLength', 'the free length is no longer than the coils stacked solid');
    const shearModulusUsed = shearModulus ?? (material === 'stainless' ? STAINLESS : musicWire(wire));
    return {
      activeCoils,
      meanDiameter,
      springIndex: meanDiameter / wire,
      shearModulusUsed,
      springRate: (shearModulusUsed * wire ** 4) / (8 * meanDiameter ** 3 * activeCoils),
      solidLength,
      maxTravel: freeLength === undefined ? undefined : freeLength - solidLength,
    };
  },
);
