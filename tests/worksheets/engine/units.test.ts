import { describe, expect, it } from 'vitest';
import { readQuantity } from '../../../worksheets/engine/quantity.ts';
import { type Dims, fromSI, isUnitName, kind, kindNames, sameDims, temperatureUnit, toSI, unit } from '../../../worksheets/engine/units.ts';
import { expectNear } from '../../support/book.ts';

const known = (written: string) => unit(written) ?? expect.fail(`${written} is no unit here`);

// The exact factors from which every other one is made. NIST Special Publication 811 (2008), Appendix B.8 (bold, that is exact); the pound,
// the inch and the standard acceleration of free fall are printed there with all their digits. Values read on the page.
const POUND = 0.45359237;
const INCH = 0.0254;
const GRAVITY = 9.80665;

describe('units agree with the printed tables', () => {
  interface Case {
    readonly of: string;
    readonly into: string;
    readonly printed: number;
    /** Half a unit of the last printed digit, or 'exact'. */
    readonly within: number | 'exact';
    readonly source: string;
  }
  const SEEN = 'NIST SP 811 (2008), Appendix B.8; printed value read';
  const MEMORY = 'NIST SP 811 (2008), Appendix B.8; printed value from memory, recomputed from the exact factors';
  const cases: readonly Case[] = [
    { of: 'lbf/in', into: 'N/m', printed: 175.1268, within: 5e-5, source: SEEN },
    { of: 'lb', into: 'kg', printed: 0.4535924, within: 5e-8, source: SEEN },
    { of: 'mph', into: 'm/s', printed: 0.44704, within: 'exact', source: SEEN },
    { of: 'mi/h', into: 'm/s', printed: 0.44704, within: 'exact', source: SEEN },
    { of: 'psi', into: 'Pa', printed: 6894.757, within: 5e-4, source: SEEN },
    { of: 'lbf·in', into: 'N·m', printed: 0.1129848, within: 5e-8, source: SEEN },
    { of: 'P', into: 'Pa·s', printed: 0.1, within: 'exact', source: SEEN },
    { of: 'oz', into: 'g', printed: 28.34952, within: 5e-6, source: SEEN },
    { of: 'mi', into: 'm', printed: 1609.344, within: 'exact', source: SEEN },
    { of: 'lbf', into: 'N', printed: 4.448222, within: 5e-7, source: SEEN },
    { of: 'lb/ft3', into: 'kg/m3', printed: 16.01846, within: 5e-6, source: SEEN },
    { of: 'mmHg', into: 'Pa', printed: 133.3224, within: 5e-5, source: SEEN },
    { of: 'gf/mm', into: 'N/mm', printed: 0.00980665, within: 'exact', source: MEMORY },
    { of: 'kgf/mm', into: 'lbf/in', printed: 55.9974, within: 5e-5, source: MEMORY },
    { of: 'kgf·cm', into: 'N·m', printed: 0.0980665, within: 'exact', source: MEMORY },
    { of: 'cSt', into: 'm²/s', printed: 1e-6, within: 'exact', source: `${MEMORY}; ISO 80000-4` },
    { of: 'cP', into: 'Pa·s', printed: 1e-3, within: 'exact', source: `${MEMORY}; ISO 80000-4` },
    { of: 'in', into: 'mm', printed: 25.4, within: 'exact', source: MEMORY },
    { of: 'ft', into: 'm', printed: 0.3048, within: 'exact', source: MEMORY },
    { of: 'bar', into: 'kPa', printed: 100, within: 'exact', source: MEMORY },
    { of: 'rpm', into: 'rad/s', printed: 0.1047198, within: 5e-8, source: MEMORY },
    { of: 'deg', into: 'rad', printed: 0.01745329, within: 5e-9, source: MEMORY },
    { of: 'Wh', into: 'J', printed: 3600, within: 'exact', source: MEMORY },
    { of: 'Ah', into: 'C', printed: 3600, within: 'exact', source: MEMORY },
    { of: 'km/h', into: 'm/s', printed: 0.2777778, within: 5e-8, source: MEMORY },
    { of: 'gn', into: 'm/s²', printed: 9.80665, within: 'exact', source: SEEN },
  ];

  it.each(cases)('1 $of is $printed $into ($source)', ({ of, into, printed, within }) => {
    expect(sameDims(known(of).dims, known(into).dims)).toBe(true);
    const got = fromSI(toSI(1, known(of)), known(into));
    if (within === 'exact') expectNear(got, printed, 4e-16);
    else expect(Math.abs(got - printed)).toBeLessThanOrEqual(within);
  });

  it.each([
    // NIST SP 811 (2008), Appendix B.8: products of the exact factors, all digits.
    ['lbf/in', (POUND * GRAVITY) / INCH],
    ['lbf', POUND * GRAVITY],
    ['psi', (POUND * GRAVITY) / INCH ** 2],
    ['Mpsi', (1e6 * POUND * GRAVITY) / INCH ** 2],
    ['oz', POUND / 16],
    ['ozf/in', (POUND * GRAVITY) / 16 / INCH],
    ['lbf·in', POUND * GRAVITY * INCH],
    ['lb/ft3', POUND / (12 * INCH) ** 3],
    ['kgf·cm', GRAVITY * 0.01],
  ])('%s is the product of the exact factors to the last digits', (of, exact) => {
    expectNear(known(of).factor, exact, 4e-16);
  });

  it('175.126 835 246 476 36 N/m is one lbf/in, every digit of it', () => {
    // NIST SP 811 (2008), Appendix B.8: 0.45359237 × 9.80665 / 0.0254, value from memory, recomputed with whole numbers.
    const exact = Number((45359237n * 980665n * 10n ** 13n) / 254n) / 1e22;
    expectNear(exact, 175.12683524647636, 1e-14);
    expectNear(known('lbf/in').factor, 175.12683524647636, 1e-14);
  });
});

describe('temperatures convert as temperatures, a ± on them as a difference', () => {
  const celsius = temperatureUnit('°C')!;
  const read = (typed: string) => {
    const made = readQuantity(typed, { kind: 'temperature', unit: celsius });
    return 'ok' in made ? made.ok : expect.fail(`${typed} ${made.slip.is}`);
  };

  it.each([
    // NIST SP 811 (2008), Appendix B.8: t/°C = (t/°F − 32)/1.8; printed values from memory, recomputed.
    [32, 0],
    [77, 25],
    [212, 100],
    [-40, -40],
  ])('%s °F are %s °C', (fahrenheit, expected) => {
    expect(Math.abs(fromSI(read(`${fahrenheit} °F`).value, celsius) - expected)).toBeLessThanOrEqual(1e-12);
  });

  it('0 °C are 273.15 K', () => {
    expect(read('0 °C').value).toBe(273.15);
    expect(read('273.15 K').value).toBe(273.15);
  });

  it.each([
    ['77 °F ± 9', 298.15, 5],
    ['77 ± 9 °F', 298.15, 5],
    ['25 °C ± 9 °F', 298.15, 5],
    ['25 ± 5', 298.15, 5],
    ['25 °C ± 5 K', 298.15, 5],
    ['25 ± 5 K', 298.15, 5],
  ])('"%s" is a temperature with a difference for its ±', (typed, value, plusMinus) => {
    expectNear(read(typed).value, value, 1e-15);
    expectNear(read(typed).plusMinus, plusMinus, 1e-15);
  });

  it('has no ± in per cent: per cent of which zero?', () => {
    const made = readQuantity('25 °C ± 5 %', { kind: 'temperature', unit: celsius });
    expect('slip' in made && made.slip.is).toBe('has a ± in % of a temperature');
  });
});

describe('every unit of the sheets is known, with its dimension', () => {
  // The units that stand in brackets on the sheets' pages, spelt as there, each against base units multiplied out.
  //                                                 m  kg   s  A  K rad
  const bracketed: readonly (readonly [string, number, ...Dims])[] = [
    ['g', 1e-3, 0, 1, 0, 0, 0, 0],
    ['mm', 1e-3, 1, 0, 0, 0, 0, 0],
    ['%', 0.01, 0, 0, 0, 0, 0, 0],
    ['1', 1, 0, 0, 0, 0, 0, 0],
    ['N/mm', 1e3, 0, 1, -2, 0, 0, 0],
    ['mm/turn', 1e-3 / (2 * Math.PI), 1, 0, 0, 0, 0, -1],
    ['turn', 2 * Math.PI, 0, 0, 0, 0, 0, 1],
    ['m', 1, 1, 0, 0, 0, 0, 0],
    ['s', 1, 0, 0, 1, 0, 0, 0],
    ['kg·m²', 1, 2, 1, 0, 0, 0, 0],
    ['rpm/V', Math.PI / 30, -2, -1, 2, 1, 0, 1],
    ['V', 1, 2, 1, -3, -1, 0, 0],
    ['teeth', 1, 0, 0, 0, 0, 0, 0],
    ['rpm', Math.PI / 30, 0, 0, -1, 0, 0, 1],
    ['km/h', 1 / 3.6, 1, 0, -1, 0, 0, 0],
    ['mΩ', 1e-3, 2, 1, -3, -2, 0, 0],
    ['A', 1, 0, 0, 0, 1, 0, 0],
    ['m²', 1, 2, 0, 0, 0, 0, 0],
    ['°C', 1, 0, 0, 0, 0, 1, 0],
    ['W', 1, 2, 1, -3, 0, 0, 0],
    ['kg/m³', 1, -3, 1, 0, 0, 0, 0],
    ['g·m²', 1e-3, 2, 1, 0, 0, 0, 0],
    ['m/s²', 1, 1, 0, -2, 0, 0, 0],
    ['1/in', 1 / 0.0254, -1, 0, 0, 0, 0, 0],
    ['mAh', 3.6, 0, 0, 1, 1, 0, 0],
    ['1/h', 1 / 3600, 0, 0, -1, 0, 0, 0],
    ['min', 60, 0, 0, 1, 0, 0, 0],
    ['Wh', 3600, 2, 1, -2, 0, 0, 0],
    ['K/W', 1, -2, -1, 3, 0, 1, 0],
    ['J/K', 1, 2, 1, -2, 0, -1, 0],
    ['lbf/in', (POUND * GRAVITY) / INCH, 0, 1, -2, 0, 0, 0],
    ['gf/mm', GRAVITY, 0, 1, -2, 0, 0, 0],
    ['GPa', 1e9, -1, 1, -2, 0, 0, 0],
    ['N', 1, 1, 1, -2, 0, 0, 0],
    ['Hz', 1, 0, 0, -1, 0, 0, 0],
    ['N·m/deg', 180 / Math.PI, 2, 1, -2, 0, 0, -1],
    ['N·s/m', 1, 0, 1, -1, 0, 0, 0],
    ['1/s', 1, 0, 0, -1, 0, 0, 0],
    ['mm²/s', 1e-6, 2, 0, -1, 0, 0, 0],
    ['cSt', 1e-6, 2, 0, -1, 0, 0, 0],
    ['g/cm³', 1e3, -3, 1, 0, 0, 0, 0],
    ['m/s', 1, 1, 0, -1, 0, 0, 0],
    ['deg', Math.PI / 180, 0, 0, 0, 0, 0, 1],
    ['deg/mm', (1e3 * Math.PI) / 180, -1, 0, 0, 0, 0, 1],
    ['N·cm', 1e-2, 2, 1, -2, 0, 0, 0],
    ['kgf·cm', GRAVITY * 1e-2, 2, 1, -2, 0, 0, 0],
    ['gn', GRAVITY, 1, 0, -2, 0, 0, 0],
    ['cm³', 1e-6, 3, 0, 0, 0, 0, 0],
    ['cm²', 1e-4, 2, 0, 0, 0, 0, 0],
    ['kPa', 1e3, -1, 1, -2, 0, 0, 0],
    ['deg/s', Math.PI / 180, 0, 0, -1, 0, 0, 1],
    ['deg/gn', Math.PI / 180 / GRAVITY, -1, 0, 2, 0, 0, 1],
  ];

  it.each(bracketed)('%s', (written, factor, ...dims) => {
    expect([...known(written).dims]).toEqual(dims);
    expectNear(known(written).factor, factor, 1e-15);
    expect(known(written).symbol).toBe(written);
  });

  it('every kind of reading has a dimension', () => {
    for (const name of kindNames()) expect(kind(name)?.dims).toHaveLength(6);
    expect(kind('constructor')).toBeUndefined();
  });
});

describe('what people type for a unit', () => {
  it.each([
    ['grams', 'g'],
    ['G', 'g'],
    ['KG', 'kg'],
    ['Kilo', 'kg'],
    ['lbs', 'lb'],
    ['Ounces', 'oz'],
    ['"', 'in'],
    ['inches', 'in'],
    ['MM', 'mm'],
    ['°', 'deg'],
    ['degrees', 'deg'],
    ['kph', 'km/h'],
    ['KM/H', 'km/h'],
    ['Volts', 'V'],
    ['mohm', 'mΩ'],
    ['hr', 'h'],
    ['cst', 'cSt'],
    ['n/mm', 'N/mm'],
    ['Nm', 'N·m'],
    ['N m', 'N·m'],
    ['N*m', 'N·m'],
    ['N.m', 'N·m'],
    ['Nm/deg', 'N·m/deg'],
    ['kg m2', 'kg·m²'],
    ['kg*m^2', 'kg·m²'],
    ['m/s/s', 'm/(s·s)'],
    ['m·s⁻²', 'm·s⁻²'],
    ['1/min', '1/min'],
    ['rad/(s·V)', 'rad/(s·V)'],
  ])('"%s" is shown as %s', (typed, shown) => {
    expect(known(typed).symbol).toBe(shown);
    expectNear(known(typed).factor, known(shown).factor, 1e-15);
    expect(sameDims(known(typed).dims, known(shown).dims)).toBe(true);
  });

  it.each(['mA', 'mm', 'mg', 'ms', 'mN', 'mW', 'kPa', 'MPa', 'GPa', 'min', 'h', 'K', 'V', 'kV', 'mV'])(
    '%s is what it says, with care for case',
    (symbol) => {
      expect(known(symbol).symbol).toBe(symbol);
    },
  );

  it('is not guessed when its case decides: mpa could be a thousandth or a million', () => {
    expect(known('MPa').factor / known('mPa').factor).toBeCloseTo(1e9, 0);
    expect(unit('mpa')).toBeUndefined();
  });

  it.each([
    '',
    ' ',
    'furlong',
    '5',
    '1 1',
    '1 s 1',
    'm/',
    '/s',
    'm//s',
    'm/s/s/s',
    '·',
    'm·',
    '^2',
    'm^9',
    'constructor',
    '__proto__',
    'toString',
    'kg·',
    'g'.repeat(41),
    'in/1',
  ])('is none: "%s"', (typed) => {
    expect(unit(typed)).toBeUndefined();
  });

  it('keeps from cells only the names that a formula can write behind a number', () => {
    for (const name of ['g', 'mm', 'min', 'in', 'h', 'turn', 'deg', 'teeth', 'rpm']) expect(isUnitName(name)).toBe(true);
    for (const name of ['drop', 'count', 'range', 'grams', 'rev', 'constructor', 'c']) expect(isUnitName(name)).toBe(false);
  });
});
