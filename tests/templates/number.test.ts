import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { acted, bandText, columnUnits, given, listText, quantity, series, shown, unitText, valueText } from '../../templates/number.ts';
import { readNumber } from '../support/read-number.ts';

/** Room for what binary fractions cannot hold of a half. */
const slack = 1 + 1e-9;
const sizes = fc
  .tuple(fc.double({ min: -9.999999, max: 9.999999, noNaN: true }), fc.integer({ min: -5, max: 14 }))
  .map(([m, e]) => m * 10 ** e);
const uncertainties = fc
  .tuple(fc.double({ min: 1, max: 9.999999, noNaN: true }), fc.integer({ min: -5, max: 5 }))
  .map(([m, e]) => m * 10 ** e);

describe('a value with its uncertainty', () => {
  it('is written as the standard mass in JCGM 100:2008, 7.2.4: 100.02147 g ± 0.00079 (printed value from memory)', () => {
    expect(quantity(100.02147, 'g', 0.00079)).toBe('100.02147 g ± 0.00079');
  });

  it('rounds the uncertainty to two figures and the value to the same place, as JCGM 100:2008, 7.2.6 does with 10.057 62 Ω ± 27 mΩ (printed value from memory)', () => {
    expect(quantity(10.05762, 'Ω', 0.027)).toBe('10.058 Ω ± 0.027');
  });

  it('keeps a zero that the uncertainty says is known', () => {
    expect(quantity(60, '%', 0.2)).toBe('60.00 % ± 0.20');
  });

  it('carries when the uncertainty rounds up to a new place', () => {
    expect(quantity(5.1234, 'mm', 0.0996)).toBe('5.12 mm ± 0.10');
  });

  it('never cuts the integer part: a wide uncertainty does not turn 2346 into 2300', () => {
    expect(quantity(2345.7, 'mm', 123.4)).toBe('2346 mm ± 120');
  });

  it('says ± 0 where the parts of one whole add up, and does not take the dust of arithmetic for an uncertainty', () => {
    expect(quantity(100, '%', 0)).toBe('100 % ± 0');
    expect(quantity(100.00000000000001, '%', 3e-14)).toBe('100 % ± 0');
  });

  it('reads back within half of its last digit, and so does its uncertainty', () => {
    fc.assert(
      fc.property(sizes, uncertainties, (value, uncertainty) => {
        const { number, plusMinus } = shown(value, 'mm', uncertainty);
        const read = readNumber(number);
        expect(Math.abs(read.value - value)).toBeLessThanOrEqual(read.halfDigit * slack + 1e-12 * Math.abs(value));
        if (plusMinus !== '0') {
          const half = readNumber(plusMinus!);
          // Two figures: half of the second one.
          expect(Math.abs(half.value - uncertainty)).toBeLessThanOrEqual(0.05 * 10 ** Math.floor(Math.log10(uncertainty)) * slack * 1.0001);
          expect(plusMinus!.replace(/ ×.*/, '').replace(/[^\d]/g, '').replace(/^0+/, '').replace(/0+$/, '').length).toBeLessThanOrEqual(2);
        }
      }),
      { numRuns: 2000 },
    );
  });

  it('ends value and uncertainty at the same decimal while the uncertainty is under a hundred', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e5, max: 1e5, noNaN: true }), fc.double({ min: 1e-3, max: 99, noNaN: true }), (value, uncertainty) => {
        const { number, plusMinus } = shown(value, 'mm', uncertainty);
        const decimals = (text: string): number => (text.split('.')[1] ?? '').length;
        expect(decimals(number)).toBe(decimals(plusMinus!));
      }),
    );
  });
});

describe('a value without uncertainty', () => {
  it.each([
    [60, '60'],
    [9.876543, '9.877'],
    [0.0350512, '0.03505'],
    [1234.56, '1235'],
    [12345.6, '12\u2009346'],
    [-1234567.8, '−1\u2009234\u2009568'],
    [9999.6, '10\u2009000'],
    [9999.4, '9999'],
    [0, '0'],
    [-0, '0'],
    [1e-17, '0'],
    [-4e-13, '0'],
    [2.5e-7, '2.5 × 10⁻⁷'],
    [6.02214e23, '6.022 × 10²³'],
    [0.1 + 0.2, '0.3'],
  ])('%d is written %s', (value, text) => {
    expect(quantity(value, null)).toBe(text);
  });

  it('reads back within half of its last digit, with an integer part that was not cut', () => {
    fc.assert(
      fc.property(sizes, (value) => {
        const { number } = shown(value, null);
        const read = readNumber(number);
        expect(Math.abs(read.value - value)).toBeLessThanOrEqual(read.halfDigit * slack + 1e-12 * Math.abs(value));
        if (Math.abs(value) >= 1e-6)
          expect(Math.abs(read.value - value)).toBeLessThanOrEqual(Math.max(0.0005 * Math.abs(value), 0) * slack);
        if (Math.abs(value) < 1e15) expect(read.halfDigit).toBeLessThanOrEqual(0.5);
      }),
      { numRuns: 2000 },
    );
  });

  it('is refused when it is no number: that is a mistake of ours, not something to print', () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY]) expect(() => quantity(value, 'mm')).toThrow('has to be finite');
  });
});

describe('signs and spaces', () => {
  it('writes a true minus and never a minus before zero', () => {
    expect(quantity(-2.72, '%')).toBe('−2.72 %');
    expect(quantity(-0.001, 'mm', 0.5)).toBe('0.00 mm ± 0.50');
  });

  it('groups thousands from 10 000 on, four digits stay together', () => {
    expect(quantity(2664, 'rpm')).toBe('2664 rpm');
    expect(quantity(26640, 'rpm')).toBe('26\u2009640 rpm');
    expect(quantity(123456.789, 'rpm', 1)).toBe('123\u2009456.8 rpm ± 1.0');
  });
});

describe('a reading', () => {
  it('is echoed in the digits in which it was given', () => {
    expect(valueText(612, 'g', 0.577)).toBe('612 g ± 0.58');
    expect(valueText(1234.567, 'mm')).toBe('1234.567 mm');
    expect(valueText(0.03, 'm²')).toBe('0.03 m²');
  });

  it('is rounded like an answer when it was worked out', () => {
    expect(given(609.5999999999999, 'mm').number).toBe('609.6');
    expect(given(59.62176509621765, '%', 0.0195).number).toBe('59.622');
  });

  it('reads back exactly when it has up to seven digits', () => {
    fc.assert(
      fc.property(fc.integer({ min: -9_999_999, max: 9_999_999 }), fc.integer({ min: 0, max: 6 }), (digits, places) => {
        const value = digits / 10 ** places;
        fc.pre(!String(value).includes('e'));
        expect(readNumber(given(value, null).number).value).toBe(value === 0 ? 0 : value);
      }),
    );
  });

  it('is yes or no, or words, where it is no number', () => {
    expect(valueText(true, null)).toBe('yes');
    expect(valueText(false, null)).toBe('no');
    expect(valueText('squared_ground', null)).toBe('squared ground');
    expect(valueText('Pack_2 left', null)).toBe('Pack_2 left');
  });
});

describe('a number to act on', () => {
  it('ends at the first figure of its uncertainty and leaves the ± to the answer', () => {
    expect(acted(24.31, 'mm', 0.42)).toBe('24.3 mm');
    expect(acted(12.97, 'mm', 1.4)).toBe('13 mm');
    expect(acted(-0.861, 'turn', 0.09)).toBe('−0.86 turns');
  });
});

describe('units as members read them', () => {
  it.each([
    [1.2, 'gn', '1.2 g'],
    [0.0614, '1', '0.0614'],
    [2.1, 'deg', '2.1°'],
    [12, 'deg/s', '12 °/s'],
    [0.012, 'deg/mm', '0.012 °/mm'],
    [3.3, 'deg/gn', '3.3 °/g'],
    [1.9, 'N·m/deg', '1.9 N·m/°'],
    [2400, 'rpm/V', '2400 rpm/V'],
    [31, '°C', '31 °C'],
    [240, '1/s', '240 per s'],
    [30, '1/h', '30 per h'],
    [48, '1/in', '48 per in'],
    [1, 'turn', '1 turn'],
    [1.5, 'turn', '1.5 turns'],
    [1, 'mm/turn', '1 mm/turn'],
    [13, 'teeth', '13 teeth'],
    [1, 'teeth', '1 tooth'],
    [0.0123, 'kg·m²', '0.0123 kg·m²'],
    [5, null, '5'],
  ])('%d in %s reads "%s"', (value, unit, text) => {
    expect(quantity(value, unit)).toBe(text);
  });

  it('keeps a unit it has never seen', () => {
    expect(unitText('stone/fortnight')).toBe('stone/fortnight');
  });
});

describe('lists and tables', () => {
  it('writes rows with the unit of each column', () => {
    const rows = [
      { load: 0, height: 78 },
      { load: 500, height: 71.2 },
    ];
    expect(listText(rows, 'g/mm')).toBe('0 g / 78 mm; 500 g / 71.2 mm');
  });

  it('writes the unit of a plain list once', () => {
    expect(listText([18.21, 18.34], 's')).toBe('18.21; 18.34 s');
  });

  it('writes words without a unit, and several places side by side', () => {
    const parts = [
      { name: 'lead', mass: 60, now: 'off', places: ['off', 330] },
      { name: 'pack', mass: 290, now: 185, places: [185, 210] },
    ];
    expect(listText(parts, '/g/mm/mm')).toBe('lead / 60 g / off / off 330 mm; pack / 290 g / 185 mm / 185 210 mm');
  });

  it('tells a slash inside a unit from one between columns', () => {
    expect(columnUnits('g/mm', 2)).toEqual(['g', 'mm']);
    expect(columnUnits('km/h/s', 2)).toEqual(['km/h', 's']);
    expect(columnUnits('g/1', 2)).toEqual(['g', '1']);
    expect(columnUnits('mm', 3)).toEqual([null, null, null]);
  });

  it('gives values that are compared the same decimals', () => {
    expect(series([28.125, 40.6, 53.1])).toEqual(['28.13', '40.60', '53.10']);
    expect(series([10, 12, 14])).toEqual(['10', '12', '14']);
    expect(series([0, 0.5, 1])).toEqual(['0.0', '0.5', '1.0']);
    expect(series([-0.0001, 5])).toEqual(['0', '5']);
  });

  it('reads each value of a series back within half of its last digit', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -1e5, max: 1e5, noNaN: true }), { minLength: 1, maxLength: 20 }), (values) => {
        for (const [i, text] of series(values).entries()) {
          const read = readNumber(text);
          expect(Math.abs(read.value - values[i]!)).toBeLessThanOrEqual(read.halfDigit * slack);
        }
      }),
    );
  });
});

describe('a target band', () => {
  it('is written with one unit, or as a limit', () => {
    expect(bandText({ low: 59, high: 61 }, '%')).toBe('59 to 61 %');
    expect(bandText({ low: Number.NEGATIVE_INFINITY, high: 80 }, '°C')).toBe('at most 80 °C');
    expect(bandText({ low: 2.5, high: Number.POSITIVE_INFINITY }, 'Hz')).toBe('at least 2.5 Hz');
  });
});
