/**
 * Reads a number as people write it: "612", "612g", "1 lb 5.6 oz", "12 1/4 in", "612,5", "1 234", "612 ± 2 g", "60%", "43/13",
 * full-width digits. What could mean two things is asked back, never guessed.
 */
import { echo, figure, rangeInWords, type Slip, unitInWords } from './problem.ts';
import {
  type Dims,
  dimsInWords,
  fromSI,
  isNumber,
  kind as kindOf,
  NONE,
  sameDims,
  temperatureUnit,
  timesDims,
  toSI,
  type Unit,
  unit,
} from './units.ts';

export interface QuantitySpec {
  readonly kind: string;
  /** What a bare number is in. */
  readonly unit: Unit;
  /** Bounds in SI, inclusive. */
  readonly min?: number;
  readonly max?: number;
  readonly whole?: boolean;
  /** Words that may stand after the number and change nothing: "3s", "3300 kv". */
  readonly said?: readonly string[];
  /** An item of a list: one comma or point is the decimal sign, nothing groups thousands. */
  readonly item?: boolean;
}

export interface Quantity {
  /** SI. */
  readonly value: number;
  /** The number as it was written, when it was written in the reading's own unit: 1015, where 1.015 kg / 0.001 has lost its last bit. */
  readonly written?: number;
  /** Half of the last digit as it was written, SI, as a difference: 0.62 is known to 0.005 at best. Not of fractions, nor of "1 lb 5.6 oz". */
  readonly halfDigit?: number;
  /** Half-width of a stated ±, SI, as a difference. */
  readonly plusMinus?: number;
  /** The unit it was typed in. */
  readonly unit: Unit;
  /** What was understood, when that needs saying. */
  readonly note?: string;
}

export type Reading<T> = { readonly ok: T } | { readonly slip: Slip };
const LONGEST = 200;

/** One spelling for what looks alike: full-width digits, primes, minus signs, thin spaces, vulgar fractions, superscripts. */
export function plain(typed: string): string {
  return (
    typed
      .replace(/[¼½¾⅐-⅞]/g, (fraction) => ` ${fraction.normalize('NFKC').replace('⁄', '/')}`)
      // "kg·m²" and "s⁻²" are units; "6²" must not become 62, nor a circled or lowered digit a digit.
      .replace(/⁻?[⁰¹²³⁴-⁹]+/g, (power) => `^${power.normalize('NFKC')}`)
      .replace(/\p{No}/gu, '?')
      .replace(/[º˚]/g, '°')
      .replace(/[″”“„‟]|''|′′/g, '"')
      .replace(/[′’‘‛]/g, "'")
      .normalize('NFKC')
      .replace(/[−–—‒﹣]/g, '-')
      .replace(/⁄/g, '/')
      .replace(/[\u200b-\u200f\u2060\ufeff\u202a-\u202e\u2066-\u2069]/g, '')
      .replace(/\s+/g, ' ')
      .trim()
  );
}

/** Words stay as they were typed: one line, nothing that cannot be seen. */
export const tidy = (typed: string): string =>
  typed
    .toWellFormed()
    .normalize('NFC')
    .replace(/\p{Cf}/gu, '')
    .replace(/[\s\p{Cc}]+/gu, ' ')
    .trim();

/** Between a value and what it may be off by. */
export const PLUS_MINUS = /\s*(?:±|\+\s?\/\s?-|\+-)\s*/;

/** Reads one quantity against its spec. Never throws. */
export function readQuantity(typed: string, spec: QuantitySpec): Reading<Quantity> {
  const give = `Give ${rangeInWords(spec.min, spec.max, spec.unit)}.`;
  const slip = (is: string, needs = give): Reading<Quantity> => ({ slip: { is, needs } });
  if (typed.length > LONGEST) return slip('is too long for one number');
  const text = plain(typed);
  if (text === '') return slip('is empty');
  const [left, right, ...more] = text.split(PLUS_MINUS);
  if (more.length > 0) return slip('has more than one ±');

  const special = readSpecial(left!, spec, right !== undefined);
  if (special && 'slip' in special) return special;
  const middle = special ?? readSide(unbracket(left!, right), spec);
  if ('slip' in middle) return { slip: { ...middle.slip, needs: middle.slip.needs || give } };
  if (right === undefined) return checked('value' in middle.ok ? middle.ok : quantityOf(middle.ok, spec), spec, text);

  const off = readSide(left!.startsWith('(') ? right.replaceAll(')', '') : right, spec, true);
  if ('slip' in off) return { slip: { ...off.slip, needs: off.slip.needs || give } };
  // "612 ± 2 g": the unit belongs to both. "20 ± 2 K" on °C does not: the kelvin is how one writes a difference.
  const ofBoth = off.ok.relative || (spec.kind === 'temperature' && off.ok.unit?.symbol === 'K') ? undefined : off.ok.unit;
  const read = 'value' in middle.ok ? middle.ok : quantityOf(middle.ok, spec, ofBoth);
  if (off.ok.relative && read.unit.offset !== 0) return slip('has a ± in % of a temperature');
  const plusMinus = off.ok.relative
    ? Math.abs(read.value) * total(off.ok, off.ok.unit!)
    : total(off.ok, { ...(off.ok.unit ?? read.unit), offset: 0 });
  if (!(plusMinus >= 0)) return slip('has a ± below zero');
  return checked({ ...read, ...(read.note === undefined ? noteOf(off.ok) : {}), plusMinus }, spec, text);
}

/** "(612 ± 2) g": the unit after the bracket belongs to both. */
function unbracket(side: string, other: string | undefined): string {
  const after = other === undefined ? undefined : /\)\s*(.*)$/.exec(other)?.[1];
  return side.startsWith('(') && after !== undefined ? `${side.slice(1)} ${after}`.trim() : side;
}

const noteOf = (amount: Amount): { note?: string } => (amount.note ? { note: amount.note } : {});

/** A side read → SI. A bare number is in `ofBoth`, else in the reading's own unit. */
function quantityOf(amount: Amount, spec: QuantitySpec, ofBoth?: Unit): Quantity {
  const into = amount.unit ?? ofBoth ?? spec.unit;
  const written = amount.parts.length === 1 && into.symbol === spec.unit.symbol ? { written: amount.parts[0]!.number } : {};
  const halfDigit = amount.halfDigit === undefined ? {} : { halfDigit: amount.halfDigit * into.factor };
  return { value: total(amount, into), unit: into, ...written, ...halfDigit, ...noteOf(amount) };
}

interface Amount {
  /** Numbers with the unit each was written with; undefined: bare. */
  readonly parts: readonly { readonly number: number; readonly unit: Unit | undefined }[];
  readonly unit: Unit | undefined;
  readonly note?: string;
  /** Of the only number, in what it is written in. */
  readonly halfDigit?: number;
  /** A ± in % of the value. */
  readonly relative?: boolean;
}
const total = (amount: Amount, into: Unit): number =>
  amount.parts.reduce((sum, part) => sum + toSI(part.number, part.unit === undefined ? into : { ...part.unit, offset: into.offset }), 0);

// Grouped by spaces or apostrophes ("1 234,5"), or any run of digits, points and commas, or ".5"; an exponent may follow.
const NUMBER = /^([+-]?)\s?(\d{1,3}(?:[ ']\d{3})+(?![\d/])(?:[.,]\d+)?|\d[\d.,]*\d|\d|[.,]\d+)(e[+-]?\d{1,3}(?!\d))?/i;

/** One side of a ±: "612", "1 lb 5.6 oz", "12 1/4 in". */
function readSide(side: string, spec: QuantitySpec, isPlusMinus = false): Reading<Amount> {
  const parts: { number: number; unit: Unit | undefined }[] = [];
  let rest = side.trim();
  let said: string | undefined;
  let halfDigit: number | undefined;
  if (rest === '') return { slip: { is: 'has no number', needs: '' } };
  while (rest !== '') {
    const found = NUMBER.exec(rest);
    if (!found) return { slip: { is: parts.length > 0 ? 'has something after the number that is no unit' : 'is not a number', needs: '' } };
    const digits = readDigits(found[2]!, spec.item);
    if (typeof digits !== 'number') return { slip: { is: 'can be read two ways', needs: `Type ${digits[0]} or ${digits[1]}.` } };
    let size = Number(`${digits}${found[3] ?? ''}`);
    halfDigit = 0.5 * 10 ** (Number(found[3]?.slice(1) ?? 0) - decimalsOf(found[2]!, digits));
    rest = rest.slice(found[0].length);
    const fraction = /^( ?)(\d{1,4})\s?\/\s?(\d{1,4})(?![\d.,])/.exec(rest);
    const over = /^\s?\/\s?(\d[\d.,]*)/.exec(rest);
    if (fraction && fraction[1] === ' ' && Number.isInteger(size)) {
      size += Number(fraction[2]) / Number(fraction[3]);
      halfDigit = undefined;
      rest = rest.slice(fraction[0].length);
    } else if (over) {
      const below = readDigits(over[1]!, spec.item);
      if (typeof below !== 'number') return { slip: { is: 'can be read two ways', needs: `Type ${below[0]} or ${below[1]}.` } };
      size /= below;
      halfDigit = undefined;
      rest = rest.slice(over[0].length);
    }
    if (!Number.isFinite(size)) return { slip: { is: 'is not a number', needs: '' } };
    const number = found[1] === '-' ? -size : size;
    const word = unitWord(rest, spec);
    rest = rest.slice(word.length).trim();
    if (word.trim() === '') {
      if (rest !== '') return { slip: { is: 'has more than one number', needs: '' } };
      parts.push({ number, unit: undefined });
      break;
    }
    if (isPlusMinus && word.trim() === '%' && spec.unit.symbol !== '%')
      return { ok: { parts: [{ number, unit: unit('%')! }], unit: unit('%')!, relative: true } };
    const read = readUnitFor(word.trim(), spec);
    // "3 1": the unit 1 of a plain number is never typed, and what starts with a digit is another number unless it is a unit ("1/in").
    const isNumberToo = word.trim() === '1' || ('slip' in read && /^[+-]?[.,]?\d/.test(word.trim()));
    if (isNumberToo) return { slip: { is: 'has more than one number', needs: '' } };
    if ('slip' in read) return read;
    parts.push({ number, unit: read.ok.unit });
    said ??= read.ok.note;
  }
  const first = parts[0]!;
  for (let i = 1; i < parts.length; i += 1) {
    const [larger, smaller] = [parts[i - 1]!, parts[i]!];
    const follows =
      larger.unit && smaller.unit && smaller.unit.factor < larger.unit.factor && smaller.number >= 0 && smaller.unit.offset === 0;
    if (!follows) return { slip: { is: 'has more than one number', needs: '' } };
    if (first.number < 0) parts[i] = { ...smaller, number: -smaller.number };
  }
  const digit = parts.length === 1 && halfDigit !== undefined ? { halfDigit } : {};
  return { ok: { parts, unit: first.unit, ...digit, ...(said ? { note: said } : {}) } };
}

/** "1.234,50" → 2: what stands behind the sign that makes it this number. */
function decimalsOf(written: string, value: number): number {
  const isGrouped = value !== 0 && Number(written.replace(/\D/g, '')) === value;
  return isGrouped ? 0 : (/[.,](\d*)$/.exec(written)?.[1] ?? '').length;
}

/** The unit at the start of the rest: the whole of it when that is one ("1/s", "kg·m2"), else up to the next number ("lb 5.6 oz"). */
function unitWord(rest: string, spec: QuantitySpec): string {
  const trimmed = rest.trim();
  if (trimmed === '') return '';
  if ('ok' in readUnitFor(trimmed, spec)) return rest;
  const next = /^\s*[^\d\s][^\d]*?(?=\s*[+-]?[\d])/.exec(rest);
  return next ? next[0] : rest;
}

const ACCELERATION: Dims = [1, 0, -2, 0, 0, 0];
const GRAVITY = 9.80665;

/** A unit for a reading of this kind; weight stands for force and force for weight, as on a pit table. */
function readUnitFor(word: string, spec: QuantitySpec): Reading<{ unit: Unit; note?: string }> {
  if (spec.said?.some((said) => said.toLowerCase() === word.toLowerCase())) return { ok: { unit: spec.unit } };
  const dims = kindOf(spec.kind)?.dims ?? NONE;
  const found = spec.kind === 'temperature' ? (temperatureUnit(word) ?? unit(word)) : unit(word);
  if (!found) {
    const is = /[\p{L}°"'%]/u.test(word)
      ? `has a unit that is not known here (${echo(word.slice(0, 20))})`
      : 'has something after the number';
    return { slip: { is, needs: '' } };
  }
  if (sameDims(found.dims, dims)) return { ok: { unit: found } };
  const asForce = timesDims(found.dims, ACCELERATION);
  if (sameDims(asForce, dims)) {
    const symbol = found.symbol.replace(/^(m?g|kg|lb|oz)\b/, '$1f');
    return { ok: { unit: { ...found, symbol, dims, factor: found.factor * GRAVITY }, note: `${found.symbol} read as ${symbol}` } };
  }
  if (spec.kind === 'rate' && sameDims(asForce, [1, 1, -2, 0, 0, 0]))
    return found.symbol === 'lb' || found.symbol === 'oz'
      ? { ok: { unit: unit(`${found.symbol}f/in`)!, note: `${found.symbol} on a spring is read as ${found.symbol}f/in` } }
      : { slip: { is: 'is a mass, not a rate', needs: '' } };
  if (spec.kind === 'mass' && sameDims(found.dims, timesDims(dims, ACCELERATION)))
    return { ok: { unit: { ...found, dims, factor: found.factor / GRAVITY }, note: `${found.symbol} read as the mass it weighs` } };
  if (spec.kind === 'rotational speed' && word === '1/min') return { ok: { unit: unit('rpm')! } };
  const [what, ofUnits] = dimsInWords(found.dims).split(' (');
  const wanted = isNumber(dims) ? 'a plain number' : withArticle(spec.kind);
  if (isNumber(found.dims)) return { slip: { is: `is a plain number, not ${wanted}`, needs: '' } };
  return { slip: { is: ofUnits ? `is ${withArticle(what!)}, not ${wanted}` : `is in ${found.symbol}, which is not ${wanted}`, needs: '' } };
}
const withArticle = (word: string): string => `${/^[aeiou]/.test(word) ? 'an' : 'a'} ${word}`;

/**
 * Digits with points and commas. The last of the two different signs is the decimal one; a sign that comes twice groups thousands; one
 * comma with exactly three digits after it and one to three before (not starting with 0) could be either: both readings come back.
 */
function readDigits(written: string, listItem = false): number | readonly [string, string] {
  if (listItem) return Number(written.replace(',', '.'));
  const digits = written.replace(/[ ']/g, '');
  const commas = digits.split(',').length - 1;
  const points = digits.split('.').length - 1;
  if (commas > 0 && points > 0) {
    const decimal = digits.lastIndexOf(',') > digits.lastIndexOf('.') ? ',' : '.';
    const group = decimal === ',' ? '.' : ',';
    const [whole, part, ...more] = digits.split(decimal);
    if (more.length > 0 || !/^\d{1,3}(?:[.,]\d{3})+$/.test(whole!)) return Number.NaN;
    return Number(`${whole!.replaceAll(group, '')}.${part}`);
  }
  if (commas > 1 || points > 1)
    return /^\d{1,3}(?:([.,])\d{3})(?:\1\d{3})*$/.test(digits) ? Number(digits.replace(/[.,]/g, '')) : Number.NaN;
  if (commas === 1 && /^[1-9]\d{0,2},\d{3}$/.test(digits)) return [digits.replace(',', ''), digits.replace(',', '.')];
  return Number(digits.replace(',', '.'));
}

// ── what only some kinds of reading understand ──────────────────────────────────────────────────────────────────────────────────────

/** Shop names of silicone oils: common practice, no source; the spread between makers is about a quarter. */
const OIL_WEIGHTS: readonly (readonly [number, number])[] = [[10, 100], [20, 200], [25, 275], [30, 350], [35, 425], [40, 500]]; // biome-ignore format: a table

function readSpecial(text: string, spec: QuantitySpec, hasOwnPlusMinus: boolean): Reading<Quantity> | undefined {
  if (spec.kind === 'time') {
    const lap = /^(\d{1,3}):([0-5]\d(?:[.,]\d+)?)$/.exec(text);
    if (lap) return { ok: { value: Number(lap[1]) * 60 + Number(lap[2]!.replace(',', '.')), unit: unit('s')! } };
  }
  if (spec.kind === 'gear module' || spec.kind === 'gear pitch') return readGearSize(text, spec, hasOwnPlusMinus);
  if (spec.kind === 'viscosity') return readOilWeight(text, spec, hasOwnPlusMinus);
  return undefined;
}

function readGearSize(text: string, spec: QuantitySpec, hasOwnPlusMinus: boolean): Reading<Quantity> | undefined {
  const number = '(\\d+(?:[.,]\\d+)?)';
  const pitch = new RegExp(`^${number} ?(?:pitch|dp|p)$|^(?:pitch|dp|p) ?${number}$`, 'i').exec(text);
  const module = new RegExp(`^${number} ?(?:mod|module|m)$|^(?:mod|module|m) ?${number}$`, 'i').exec(text);
  const size = Number((pitch ?? module)?.slice(1).find(Boolean)?.replace(',', '.'));
  if (!(size > 0)) return undefined;
  if (hasOwnPlusMinus) return { slip: { is: 'has a ±, which a gear size has not', needs: 'Give it without.' } };
  const metres = pitch ? 0.0254 / size : size / 1000;
  const shown = pitch
    ? `${figure(size)} pitch is module ${figure(metres * 1000)} mm`
    : `module ${figure(size)} mm is ${figure(25.4 / size)} pitch`;
  const asTyped = (spec.kind === 'gear module') === !pitch;
  return {
    ok: {
      value: spec.kind === 'gear module' ? metres : 1 / metres,
      unit: spec.unit,
      ...(asTyped && (spec.unit.symbol === 'mm' || spec.unit.symbol === '1/in') ? { written: size } : {}),
      ...(asTyped ? {} : { note: shown }),
    },
  };
}

function readOilWeight(text: string, spec: QuantitySpec, hasOwnPlusMinus: boolean): Reading<Quantity> | undefined {
  const weight = /^(\d+(?:[.,]\d+)?) ?(?:wt|weight|w)$/i.exec(text);
  if (!weight) return undefined;
  const wt = Number(weight[1]!.replace(',', '.'));
  const above = OIL_WEIGHTS.findIndex(([name]) => name >= wt);
  const [low, high] = [OIL_WEIGHTS[Math.max(0, above - 1)]!, OIL_WEIGHTS[above]];
  if (!high || wt < OIL_WEIGHTS[0]![0])
    return { slip: { is: 'is a weight outside 10 to 40 wt', needs: 'Give the viscosity in cSt from the bottle.' } };
  const cSt = high[0] === wt ? high[1] : low[1] + ((high[1] - low[1]) * (wt - low[0])) / (high[0] - low[0]);
  const value = cSt * 1e-6;
  const note = `${figure(wt)} wt read as ${figure(cSt)} cSt${hasOwnPlusMinus ? '' : ' ± 25 %'} (common practice)`;
  const written = spec.unit.factor === 1e-6 ? { written: cSt } : {};
  return { ok: { value, unit: spec.unit, ...written, note, ...(hasOwnPlusMinus ? {} : { plusMinus: value * 0.25 }) } };
}

// ── bounds ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

function checked(read: Quantity, spec: QuantitySpec, text: string): Reading<Quantity> {
  const within = (value: number): boolean => (spec.min === undefined || value >= spec.min) && (spec.max === undefined || value <= spec.max);
  const needs = `Give ${rangeInWords(spec.min, spec.max, read.unit)}.`;
  if (!Number.isFinite(read.value)) return { slip: { is: 'is not a number', needs } };
  // Converting a bound to the member's unit and back may cost its last bit: "5 kg" is in "to 5 kg" whatever the unit.
  const slack = Math.abs(read.value) * 4e-16;
  const inside = within(read.value) || within(read.value - slack) || within(read.value + slack);
  if (!inside) return { slip: { is: 'is out', needs, ...likely(read, spec, text, within) } };
  if (spec.whole && !Number.isInteger(read.value))
    return { slip: { is: 'is not a whole number', needs: needs.replace(/\.$/, ', whole.') } };
  return { ok: read };
}

/** A slip of the decimal sign, or of the unit: "6120" for 612.0, "0.612" for a mass in kg where grams are asked. */
function likely(read: Quantity, spec: QuantitySpec, text: string, within: (value: number) => boolean): { hint?: string } {
  if (read.unit.offset !== 0 || read.value === 0) return {};
  const isTooLarge =
    read.value > 0 ? read.value > (spec.max ?? Number.POSITIVE_INFINITY) : read.value < (spec.min ?? Number.NEGATIVE_INFINITY);
  // A bare 48 on a module is the pitch that stands on the gear.
  const number = read.value / read.unit.factor;
  if (spec.kind === 'gear module' && isTooLarge && /^\d+$/.test(text) && within(0.0254 / number))
    return { hint: `Did you mean ${figure(number)} pitch?` };
  // "290 kg" where grams are asked: the prefix slipped, not the figure.
  const prefix = Math.log10(read.unit.factor / spec.unit.factor);
  if (prefix !== 0 && Math.abs(prefix - Math.round(prefix)) < 1e-9 && within(number * spec.unit.factor))
    return { hint: `Did you mean ${figure(number)}${unitInWords(spec.unit.symbol)}?` };
  const inThousands = /^[+-]?(?:0?[.,]\d+|\d[.,]\d{3})(?!\d)/.test(text);
  const factors = isTooLarge ? [0.1, 0.01, 0.001] : inThousands ? [1000, 10, 100] : [10, 100, 1000];
  const fits = (factor: number): boolean => within(read.value * factor) && (!spec.whole || Number.isInteger(read.value * factor));
  const factor = factors.find(fits);
  if (factor === undefined) return {};
  const meant = fromSI(read.value * factor, read.unit);
  const digits = factor === 0.1 && /^\d+$/.test(text) ? meant.toFixed(1) : figure(meant);
  return { hint: `Did you mean ${digits}${unitInWords(read.unit.symbol)}?` };
}
