import { type SI, si } from './formula.ts';

/** Standard acceleration of free fall, gₙ. Source: BIPM, The International System of Units, 9th edition (3rd CGPM, 1901); exact. */
export const standardGravity: SI<'m/s²'> = si(9.80665);

/** Pressure of the standard atmosphere at sea level. Source: ISO 2533:1975, Standard atmosphere; exact. */
export const standardPressure: SI<'Pa'> = si(101_325);
