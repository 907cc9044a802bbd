import { formula, within } from '../formula.ts';

/** One square millimetre a second (a centistoke): the book's equation is fitted in it. */
const CENTISTOKE = 1e-6;

/** Below 0.2 cSt the inner logarithm is negative and the outer has no value. */
export const thinnestOil = 0.2 * CENTISTOKE;

/**
 * Viscosity-blending number of an oil: numbers add by share where viscosities do not.
 *
 *     B = 14.534·ln(ln(ν + 0.8)) + 10.975
 *
 *     ν  viscosity        m²/s  in the equation in mm²/s
 *     B  blending number  1
 *
 * Shape:      grows with ν, ever more slowly.
 * Leaves out: oils of different families, which may thin each other beyond this.
 * Throws:     DomainError unless ν is above 0.2 mm²/s.
 * Source:     Refutas' equation as in Maples, Petroleum Refinery Process Economics, 2nd edition (natural logarithms).
 *
 * @example blendingNumber({ viscosity: si(350e-6) }) // ≈ 36.67 1
 */
export const blendingNumber = formula(
  { viscosity: within('m²/s', { above: thinnestOil }) },
  '1',
  ({ viscosity }) => 14.534 * Math.log(Math.log(viscosity / CENTISTOKE + 0.8)) + 10.975,
);

/** The oil that has this blending number, m²/s. */
export const viscosityOf = (number: number): number => (Math.exp(Math.exp((number - 10.975) / 14.534)) - 0.8) * CENTISTOKE;
