import { absent, formula, maybe, optional, positive, share, within } from '../formula.ts';
import { blendingNumber, thinnestOil, viscosityOf } from './blending-number.ts';

/**
 * How steeply dimethyl silicone thins with warmth, in kelvin, with decimal logarithms. General literature of silicone fluids, from memory
 * (there as 763.1/(273 + T) − 2.559, which misses its own 25 °C by 0.4 %; here reckoned from 25 °C). Set against a silicone oil measured
 * at 40, 60 and 100 °C it is 2.6 % off at worst.
 */
const THINNING = 763.1;
const ROOM = 298.15;

const oilViscosity = within('m²/s', { above: thinnestOil });

/**
 * Viscosity of a shock oil: blended from two, warmed or cooled, and the share that gives the oil wanted.
 *
 *     B(β) = (1 − s)·B(α) + s·B(κ)
 *     ν = β·10^(763.1·(1/T − 1/298.15))
 *     S = (B(τ) − B(α)) / (B(κ) − B(α))
 *
 *     B  blending number           1
 *     α  viscosity a               m²/s  at 25 °C
 *     κ  viscosity b               m²/s  at 25 °C; left out, there is no blend
 *     s  share b                   1     by volume
 *     T  oil temperature           K
 *     τ  target                    m²/s  at 25 °C
 *     β  blend                     m²/s  at 25 °C; left out without a second oil
 *     ν  viscosity at temperature  m²/s  of the blend, or of oil a alone
 *     S  share b for target        1     absent outside 0 to 1; left out without a second oil and a target
 *
 * Shape:      ν goes with the viscosity at 25 °C whatever the temperature; the blend lies between the two oils.
 * Leaves out: oils that are not dimethyl silicone, shear thinning (thick oils above some 10 000 mm²/s), air in the oil.
 * Throws:     DomainError unless viscosities are above 0.2 mm²/s, the temperature above absolute zero, the share within 0 to 1.
 * Source:     Refutas' equation as in Maples, Petroleum Refinery Process Economics, 2nd edition, taken by volume; general literature
 *             of silicone fluids for the temperature.
 *
 * @example oil({ viscosityA: si(350e-6), viscosityB: si(500e-6), shareB: si(0.5), oilTemperature: si(298.15), target: si(400e-6) }) // blend ≈ 0.0004172 m²/s, viscosityAtTemperature ≈ 0.0004172 m²/s, shareBForTarget ≈ 0.3812 1
 */
export const oil = formula(
  {
    viscosityA: oilViscosity,
    viscosityB: optional(oilViscosity),
    shareB: share(),
    oilTemperature: positive('K'),
    target: optional(oilViscosity),
  },
  { blend: maybe('m²/s'), viscosityAtTemperature: 'm²/s', shareBForTarget: maybe('1') },
  ({ viscosityA, viscosityB, shareB, oilTemperature, target }) => {
    const thinned = 10 ** (THINNING * (1 / oilTemperature - 1 / ROOM));
    if (viscosityB === undefined) return { blend: undefined, viscosityAtTemperature: viscosityA * thinned, shareBForTarget: undefined };

    const numberA = blendingNumber({ viscosity: viscosityA });
    const numberB = blendingNumber({ viscosity: viscosityB });
    const blend = viscosityOf((1 - shareB) * numberA + shareB * numberB);
    const wanted = target === undefined ? undefined : (blendingNumber({ viscosity: target }) - numberA) / (numberB - numberA);
    return {
      blend,
      viscosityAtTemperature: blend * thinned,
      shareBForTarget: wanted === undefined || (wanted >= 0 && wanted <= 1) ? wanted : absent('no blend of the two'),
    };
  },
);
