import { describe, expect, it } from 'vitest';
import { airDensity } from '../../../calc/drive/air-density.ts';
import { si } from '../../../calc/formula.ts';
import { expectNear, expectPower, expectPrinted } from '../../support/book.ts';

const GAS_CONSTANT = 287.05287;
const standardTemperature = (geopotential: number): number => 288.15 - 0.0065 * geopotential;
const standardAt = (geopotential: number): number =>
  airDensity({ altitude: si(geopotential), airTemperature: si(standardTemperature(geopotential)) });
const pressureAt = (geopotential: number): number => standardAt(geopotential) * GAS_CONSTANT * standardTemperature(geopotential);
/** The height that a map gives (geometric) as the standards' geopotential one. U.S. Standard Atmosphere 1976, equation (18). */
const geopotential = (geometric: number): number => (6_356_766 * geometric) / (6_356_766 + geometric);

describe('air density', () => {
  it('is the standard’s at the sea and over it', () => {
    // ISO 2533:1975, table over geopotential altitude (printed values seen in reproductions of the table).
    expectPrinted(standardAt(0), '1.225');
    expectPrinted(standardAt(1000), '1.11164');
    expectPrinted(standardAt(2000), '1.00649');
    expectPrinted(standardAt(5000), '0.736116');
    expectPrinted(standardAt(11_000), '0.363918');
    expectPrinted(pressureAt(500), '95460.8');
    expectPrinted(pressureAt(1000), '89874.6');
    expectPrinted(pressureAt(2000), '79495.2');
    expectPrinted(pressureAt(3000), '70108.5');
  });

  it('is that of the tables over geometric altitude, when the altitude is turned into theirs', () => {
    // U.S. Standard Atmosphere 1976 (COESA): 0 m 288.15 K, 101 320 Pa, 1.225 kg/m³; 2000 m 275.15 K, 79 501 Pa, 1.0066 kg/m³ (printed values
    // seen, to 5 digits). The two standards differ in the altitude alone: 2e-5 of the density at 1 km.
    expectNear(standardTemperature(geopotential(2000)), 275.15, 5e-5);
    expectNear(pressureAt(0), 101_320, 5e-5);
    expectNear(pressureAt(geopotential(2000)), 79_501, 5e-5);
    expectNear(standardAt(geopotential(2000)), 1.0066, 5e-5);
    // ISO 2533:1975 and USSA 1976 at "1000 m": 1.111 64 and 1.111 66 kg/m³ (printed values from memory, recomputed).
    expectPrinted(standardAt(1000), '1.11164');
    expectPrinted(standardAt(geopotential(1000)), '1.11166');
  });

  it('follows the temperature that was read, at the pressure of the altitude', () => {
    // 1.2041 kg/m³ at 20 °C and 101 325 Pa: common handbook value for dry air (printed value from memory, recomputed).
    expectPrinted(airDensity({ altitude: si(0), airTemperature: si(293.15) }), '1.2041');
    expectPower(
      airDensity,
      (between) => ({ altitude: si<'m'>(between(1, 5000)), airTemperature: si<'K'>(between(250, 320)) }),
      'airTemperature',
      -1,
    );
  });

  it('gets thinner with every metre', () => {
    const heights = Array.from({ length: 50 }, (_, i) => -400 + 100 * i);
    const densities = heights.map((altitude) => airDensity({ altitude: si(altitude), airTemperature: si(293.15) }));
    expect(densities.every((density, i) => i === 0 || density < densities[i - 1]!)).toBe(true);
  });

  it('carries the air’s own weight: pressure falls by density × gravity × height', () => {
    // dp/dH = −ρ·g, by differences: a second way to the exponent.
    for (const height of [0, 800, 2500])
      expectNear((pressureAt(height - 1) - pressureAt(height + 1)) / 2, standardAt(height) * 9.80665, 1e-7);
  });

  it('does not compile with a length for a temperature', () => {
    // @ts-expect-error a temperature is in K
    airDensity({ altitude: si(0), airTemperature: si<'m'>(293) });
  });
});
