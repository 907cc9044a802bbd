/**
 * The one place where numbers are rounded. Everything a member reads, in text and on cards, comes through here.
 *
 *   with ±       the uncertainty has two figures, the value ends at the same decimal: 60.08 % ± 0.21 (JCGM 100:2008, 7.2.6)
 *   without      about four significant figures, trailing zeros dropped: 9.877, 13, 0.0351
 *   a reading    the digits that were given, up to seven; else as above
 *   in a sentence   to the first figure of the uncertainty: that is how far one can act on it
 *
 * An integer part is never cut (12 346, not 12 350), a zero has no sign, the minus is U+2212, and from 10 000 on a thin space U+2009 groups
 * three digits (ISO 80000-1:2009, 7.3.1); four digits stay together. Numbers from 10¹⁵ and below 10⁻⁶ are written with a power of ten;
 * below 10⁻¹² and without ± a number is the dust of arithmetic and reads 0.
 */
import type { ListItem, ReadingValue } from '../worksheets/engine/types.ts';

/** A quantity in its parts, for a face that sets the unit smaller and the ± lighter. */
export interface Shown {
  readonly number: string;
  /** As a member reads it; '' where there is none. */
  readonly unit: string;
  /** The uncertainty without its sign and unit, null where there is none. */
  readonly plusMinus: string | null;
}

export function shown(value: number, unit: string | null, uncertainty: number | null = null): Shown {
  return parts(value, unit, uncertainty, 2);
}

/** "60.08 % ± 0.21" */
export function quantity(value: number, unit: string | null, uncertainty: number | null = null): string {
  return joined(shown(value, unit, uncertainty));
}

/** "24.3 mm" where the answer is 24.31 mm ± 0.42: the digits one can act on, without the ±. */
export function acted(value: number, unit: string | null, uncertainty: number | null = null): string {
  return joined({ ...parts(value, unit, uncertainty, 1), plusMinus: null });
}

/** A reading in the digits in which it was given, and so its ±: "612 g ± 0.5". */
export function given(value: number, unit: string | null, uncertainty: number | null = null): Shown {
  const digits = plainDigits(value);
  if (digits === null || digits.replace(/\D/g, '').replace(/^0+/, '').length > 7) return shown(value, unit, uncertainty);
  const plusMinus = uncertainty === null ? null : withoutTrailingZeros(uncertaintyText(uncertainty, 2));
  return { number: dressed(digits), unit: unitText(unit, value), plusMinus };
}

/** Whatever a reading or an answer can be, in one line of plain text. */
export function valueText(value: ReadingValue, unit: string | null, uncertainty: number | null = null): string {
  if (typeof value === 'number') return joined(given(value, unit, uncertainty));
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'string') return wordText(value);
  return listText(value, unit);
}

/** A choice is a word of code (`squared_ground`) and reads as words; text from people stays as it is. */
const wordText = (word: string): string => (/^[a-z]+(_[a-z]+)+$/.test(word) ? word.replaceAll('_', ' ') : word);

/** "18.21; 18.34 s" for a list, "0 g / 78 mm; 500 g / 71.2 mm" for rows; several values in one part stand side by side. */
export function listText(items: readonly ListItem[], unit: string | null): string {
  const bare = (value: number | string): string => (typeof value === 'number' ? given(value, null).number : value);
  const flat = items.every((item) => typeof item !== 'object');
  if (flat) return joined({ number: items.map(bare).join('; '), unit: unitText(unit), plusMinus: null });
  return items
    .map((item) => {
      if (typeof item !== 'object') return bare(item);
      const cells = Object.values(item);
      const units = columnUnits(unit, cells.length);
      return cells
        .map((cell, column) => {
          const list = typeof cell === 'object' ? cell : [cell];
          const last = list.at(-1);
          const shownUnit = typeof last === 'number' ? unitText(units[column] ?? null, list.length === 1 ? last : undefined) : '';
          return joined({ number: list.map(bare).join(' '), unit: shownUnit, plusMinus: null });
        })
        .join(' / ');
    })
    .join('; ');
}

/** Several numbers of one kind with one number of decimals, so that they can be compared: a curve's values, the ticks of an axis. */
export function series(values: readonly number[], figures = 4): string[] {
  const finite = values.filter(Number.isFinite);
  const largest = Math.max(0, ...finite.map(Math.abs));
  if (outsidePlain(largest)) return finite.map((value) => shown(value, null).number);
  let decimals = 0;
  const most = Math.max(0, figures - 1 - Math.floor(Math.log10(largest || 1)));
  while (decimals < most && finite.some((value) => Math.abs(Number(value.toFixed(decimals)) - Number(value.toFixed(most))) > 1e-12))
    decimals++;
  return finite.map((value) => dressed(value.toFixed(decimals)));
}

/** "59 to 61 %", "at most 80 °C" */
export function bandText(band: { readonly low: number; readonly high: number }, unit: string | null): string {
  if (band.low === Number.NEGATIVE_INFINITY) return `at most ${quantity(band.high, unit)}`;
  if (band.high === Number.POSITIVE_INFINITY) return `at least ${quantity(band.low, unit)}`;
  return `${shown(band.low, null).number} to ${quantity(band.high, unit)}`;
}

/** "60.08 % ± 0.21", "2.1°", "13 teeth" */
export function joined({ number, unit, plusMinus }: Shown): string {
  const gap = unit === '' || unit === '°' ? '' : ' ';
  return `${number}${gap}${unit}${plusMinus === null ? '' : ` ± ${plusMinus}`}`;
}

/** The unit of the contract as members read it. `value` decides between one turn and two turns. */
export function unitText(unit: string | null, value?: number): string {
  if (unit === null || unit === '' || unit === '1') return '';
  if (Math.abs(value ?? 2) === 1 && unit in singular) return singular[unit as keyof typeof singular];
  return (
    words[unit as keyof typeof words] ??
    unit
      .split('/')
      .map((part) => part.replace(/(^|·)deg($|·)/, '$1°$2').replace(/(^|·)gn($|·)/, '$1g$2'))
      .join('/')
  );
}

const words = { turn: 'turns', deg: '°', gn: 'g', rev: 'rev', '1/s': 'per s', '1/h': 'per h', '1/in': 'per in', '1/min': 'per min' };
const singular = { turn: 'turn', turns: 'turn', teeth: 'tooth' };

/**
 * The units of a table's columns, from the joined unit of the contract: 'g/mm' for two columns is g and mm. A column's own unit may hold
 * a '/', so when the count does not match, pieces that make a known unit (km/h, N/mm) are put together again.
 */
export function columnUnits(unit: string | null, columns: number): (string | null)[] {
  const pieces = (unit ?? '').split('/');
  const split = (from: number, left: number): string[] | null => {
    if (left === 0) return from === pieces.length ? [] : null;
    for (const size of [1, 2]) {
      const piece = pieces.slice(from, from + size).join('/');
      if (from + size > pieces.length || (size === 2 && !compound.has(piece))) continue;
      const rest = split(from + size, left - 1);
      if (rest) return [piece, ...rest];
    }
    return null;
  };
  const found = split(0, columns) ?? Array<string>(columns).fill('');
  return found.map((piece) => (piece === '' || piece === 'null' || piece === '-' ? null : piece));
}

const compound = new Set(
  'km/h m/s m/s² N/mm N/m lbf/in gf/mm deg/s deg/mm deg/gn rpm/V mm/turn kg/m³ g/cm³ mm²/s 1/s 1/h 1/in N·s/m K/W J/K N·m/deg'.split(' '),
);

function parts(value: number, unit: string | null, uncertainty: number | null, figures: 1 | 2): Shown {
  if (!Number.isFinite(value)) throw new RangeError(`A number to show has to be finite, not ${value}.`);
  const withUnit = { unit: unitText(unit, value) };
  // Below a billionth of the value an uncertainty is what arithmetic left of 0 (front share + rear share is 100 % ± 0).
  const exact = uncertainty === null || !Number.isFinite(uncertainty) || uncertainty <= Math.max(1e-9 * Math.abs(value), 1e-300);
  if (exact) return { ...withUnit, number: fourFigures(value), plusMinus: uncertainty === null ? null : '0' };
  const largest = Math.max(Math.abs(value), uncertainty);
  if (outsidePlain(largest)) {
    const exponent = exponentOf(largest);
    const scaled = parts(value / 10 ** exponent, null, uncertainty / 10 ** exponent, figures);
    const power = powerOfTen(exponent);
    return { ...withUnit, number: `${scaled.number}${power}`, plusMinus: `${scaled.plusMinus}${power}` };
  }
  return {
    ...withUnit,
    number: dressed(value.toFixed(Math.max(0, figures - 1 - exponentOf(uncertainty, figures)))),
    plusMinus: uncertaintyText(uncertainty, figures),
  };
}

function uncertaintyText(uncertainty: number, figures: 1 | 2): string {
  if (!(uncertainty > 0)) return '0';
  const exponent = exponentOf(uncertainty, figures);
  const rounded = Number(uncertainty.toExponential(figures - 1));
  if (outsidePlain(rounded)) return `${dressed((rounded / 10 ** exponent).toFixed(figures - 1))}${powerOfTen(exponent)}`;
  return dressed(rounded.toFixed(Math.max(0, figures - 1 - exponent)));
}

function fourFigures(value: number): string {
  if (Math.abs(value) < 1e-12) return '0';
  if (outsidePlain(Math.abs(value))) {
    const exponent = exponentOf(value, 4);
    return `${dressed(withoutTrailingZeros((value / 10 ** exponent).toFixed(3)))}${powerOfTen(exponent)}`;
  }
  return dressed(withoutTrailingZeros(value.toFixed(Math.max(0, 3 - exponentOf(value, 4)))));
}

const outsidePlain = (size: number): boolean => size !== 0 && (size >= 1e15 || size < 1e-6);

/** The decimal exponent after rounding to so many figures: 0.0996 to two figures is 0.10, exponent −1. */
const exponentOf = (value: number, figures = 1): number => Number(value.toExponential(figures - 1).split('e')[1]);

const withoutTrailingZeros = (digits: string): string => (digits.includes('.') ? digits.replace(/\.?0+$/, '') : digits);

/** The shortest digits that read back as this number, null where they need a power of ten. */
const plainDigits = (value: number): string | null => (/^-?\d+(\.\d+)?$/.test(String(value)) ? String(value) : null);

/** True minus, no sign on a zero, thin spaces from 10 000. */
function dressed(digits: string): string {
  const negative = digits.startsWith('-') && /[1-9]/.test(digits);
  const [whole = '', fraction] = digits.replace('-', '').split('.');
  const grouped = whole.length < 5 ? whole : whole.replace(/(?<=\d)(?=(\d{3})+$)/g, '\u2009');
  return `${negative ? '\u2212' : ''}${grouped}${fraction === undefined ? '' : `.${fraction}`}`;
}

const powerOfTen = (exponent: number): string => ` × 10${[...String(exponent)].map((sign) => superscripts[sign]).join('')}`;
const superscripts: { readonly [sign: string]: string } = {
  '-': '⁻',
  '0': '⁰',
  '1': '¹',
  '2': '²',
  '3': '³',
  '4': '⁴',
  '5': '⁵',
  '6': '⁶',
  '7': '⁷',
  '8': '⁸',
  '9': '⁹',
};
