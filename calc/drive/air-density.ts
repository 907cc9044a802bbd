import { standardGravity, standardPressure } from '../constants.ts';
import { formula, positive, within } from '../formula.ts';

// Source of all three: ISO 2533:1975, Standard atmosphere (the layer from −2 km to 11 km).
const GAS_CONSTANT = 287.05287; // J/(kg·K), of dry air
const SEA_LEVEL_TEMPERATURE = 288.15; // K
const LAPSE = -0.0065; // K/m

/**
 * Density of dry air, from the standard pressure at an altitude and the temperature that was read there.
 *
 *     p = p₀·(1 + β·H/T₀)^(−g / (β·R))
 *     ρ = p / (R·T)
 *
 *     H   altitude           m         geopotential; at 2 km the map's altitude differs by 0.6 m
 *     T   air temperature    K         as read, not the standard one of that altitude
 *     p₀  standard pressure  Pa        101 325, at sea level
 *     T₀  standard there     K         288.15
 *     β   lapse rate         K/m       −0.0065
 *     g   standard gravity   m/s²
 *     R   gas constant       J/(kg·K)  287.052 87
 *     ρ   air density        kg/m³
 *
 * Shape:      goes with 1/T; falls with altitude, by some 10 % in the first kilometre at one temperature.
 * Leaves out: humidity (thinner by 1 % at 20 °C and full), the day's weather (some ± 3 %).
 * Throws:     DomainError unless the altitude is within −2 to 11 km and the temperature above absolute zero.
 * Source:     ISO 2533:1975 (pressure over geopotential altitude in the troposphere, law of a perfect gas).
 *
 * @example airDensity({ altitude: si(1000), airTemperature: si(281.65) }) // ≈ 1.1116 kg/m³
 */
export const airDensity = formula(
  { altitude: within('m', { min: -2000, max: 11_000 }), airTemperature: positive('K') },
  'kg/m³',
  ({ altitude, airTemperature }) => {
    const pressure = standardPressure * (1 + (LAPSE * altitude) / SEA_LEVEL_TEMPERATURE) ** (-standardGravity / (LAPSE * GAS_CONSTANT));
    return pressure / (GAS_CONSTANT * airTemperature);
  },
);
