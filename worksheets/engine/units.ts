/**
 * Units: our own table, since what a member types ("lb" on a spring, "mod 0.6", "3s") is the trade's and no library's.
 *
 * Factors are exact where the standard's are. Source: NIST Special Publication 811 (2008), Appendix B.8; SI Brochure, 9th edition;
 * standard gravity 9.80665 m/s² (3rd CGPM).
 */

/** Exponents of length, mass, time, current, temperature and angle. Angle is a dimension of its own: rpm is not 1/min. */
export type Dims = readonly [number, number, number, number, number, number];

export interface Unit {
  /** As shown, in the contract's spelling. */
  readonly symbol: string;
  readonly dims: Dims;
  /** value in SI = value × factor + offset. */
  readonly factor: number;
  readonly offset: number;
}

export const NONE: Dims = [0, 0, 0, 0, 0, 0];
export const sameDims = (a: Dims, b: Dims): boolean => a.every((exponent, i) => exponent === b[i]);
export const timesDims = (a: Dims, b: Dims, sign: 1 | -1 = 1): Dims => a.map((exponent, i) => exponent + sign * b[i]!) as unknown as Dims;
export const powerDims = (a: Dims, n: number): Dims => a.map((exponent) => (exponent === 0 ? 0 : exponent * n)) as unknown as Dims;
export const isNumber = (dims: Dims): boolean => sameDims(dims, NONE);

const LENGTH: Dims = [1, 0, 0, 0, 0, 0];
const MASS: Dims = [0, 1, 0, 0, 0, 0];
const TIME: Dims = [0, 0, 1, 0, 0, 0];
const CURRENT: Dims = [0, 0, 0, 1, 0, 0];
const TEMPERATURE: Dims = [0, 0, 0, 0, 1, 0];
const ANGLE: Dims = [0, 0, 0, 0, 0, 1];
const FORCE: Dims = [1, 1, -2, 0, 0, 0];
const ENERGY: Dims = [2, 1, -2, 0, 0, 0];
const POWER: Dims = [2, 1, -3, 0, 0, 0];
const PRESSURE: Dims = [-1, 1, -2, 0, 0, 0];
const VOLTAGE: Dims = [2, 1, -3, -1, 0, 0];
const RESISTANCE: Dims = [2, 1, -3, -2, 0, 0];

const INCH = 0.0254;
const POUND = 0.45359237;
const GRAVITY = 9.80665;
const POUND_FORCE = POUND * GRAVITY;

type Row = readonly [symbol: string, dims: Dims, factor: number, words: string];
/** Symbol (exact, as shown), dimensions, factor to SI, other words people type (lower case). */
const ATOMS: readonly Row[] = [
  ['g', MASS, 1e-3, 'gram grams gr gramme grammes'],
  ['kg', MASS, 1, 'kilo kilos kilogram kilograms kgs'],
  ['mg', MASS, 1e-6, 'milligram milligrams'],
  ['lb', MASS, POUND, 'lbs pound pounds'],
  ['oz', MASS, POUND / 16, 'ounce ounces'],
  ['mm', LENGTH, 1e-3, 'millimetre millimetres millimeter millimeters'],
  ['cm', LENGTH, 1e-2, 'centimetre centimetres centimeter centimeters'],
  ['m', LENGTH, 1, 'metre metres meter meters'],
  ['µm', LENGTH, 1e-6, 'um μm micron microns'],
  ['km', LENGTH, 1e3, 'kilometre kilometres kilometer kilometers'],
  ['in', LENGTH, INCH, '" inch inches'],
  ['ft', LENGTH, 12 * INCH, "' foot feet"],
  ['mi', LENGTH, 1609.344, 'mile miles'],
  ['s', TIME, 1, 'sec secs second seconds'],
  ['ms', TIME, 1e-3, 'millisecond milliseconds'],
  ['min', TIME, 60, 'mins minute minutes'],
  ['h', TIME, 3600, 'hr hrs hour hours'],
  ['A', CURRENT, 1, 'amp amps ampere amperes'],
  ['mA', CURRENT, 1e-3, ''],
  ['K', TEMPERATURE, 1, 'kelvin'],
  ['rad', ANGLE, 1, 'radian radians'],
  ['deg', ANGLE, Math.PI / 180, '° degree degrees degs'],
  ['turn', ANGLE, 2 * Math.PI, 'turns rev revs revolution revolutions'],
  ['rpm', [0, 0, -1, 0, 0, 1], (2 * Math.PI) / 60, ''],
  ['N', FORCE, 1, 'newton newtons'],
  ['kN', FORCE, 1e3, ''],
  ['mN', FORCE, 1e-3, ''],
  ['gf', FORCE, 1e-3 * GRAVITY, 'gramf pond'],
  ['kgf', FORCE, GRAVITY, 'kp'],
  ['lbf', FORCE, POUND_FORCE, ''],
  ['ozf', FORCE, POUND_FORCE / 16, ''],
  ['N·m', ENERGY, 1, 'nm'],
  ['N·cm', ENERGY, 1e-2, 'ncm'],
  ['N·mm', ENERGY, 1e-3, 'nmm'],
  ['kgf·cm', ENERGY, GRAVITY * 1e-2, 'kgfcm kgcm'],
  ['J', ENERGY, 1, 'joule joules'],
  ['Wh', ENERGY, 3600, ''],
  ['W', POWER, 1, 'watt watts'],
  ['kW', POWER, 1e3, ''],
  ['mW', POWER, 1e-3, ''],
  ['Pa', PRESSURE, 1, ''],
  ['mPa', PRESSURE, 1e-3, ''],
  ['hPa', PRESSURE, 100, ''],
  ['kPa', PRESSURE, 1e3, ''],
  ['MPa', PRESSURE, 1e6, ''],
  ['GPa', PRESSURE, 1e9, ''],
  ['bar', PRESSURE, 1e5, ''],
  ['mbar', PRESSURE, 100, ''],
  ['psi', PRESSURE, POUND_FORCE / INCH ** 2, ''],
  ['ksi', PRESSURE, (1e3 * POUND_FORCE) / INCH ** 2, ''],
  ['Mpsi', PRESSURE, (1e6 * POUND_FORCE) / INCH ** 2, ''],
  ['mmHg', PRESSURE, 133.322387415, ''],
  ['V', VOLTAGE, 1, 'volt volts'],
  ['mV', VOLTAGE, 1e-3, ''],
  ['kV', VOLTAGE, 1e3, ''],
  ['Ω', RESISTANCE, 1, 'ohm ohms Ω'],
  ['mΩ', RESISTANCE, 1e-3, 'mohm mohms milliohm milliohms mω'],
  ['C', [0, 0, 1, 1, 0, 0], 1, 'coulomb coulombs'],
  ['Ah', [0, 0, 1, 1, 0, 0], 3600, ''],
  ['mAh', [0, 0, 1, 1, 0, 0], 3.6, ''],
  ['Hz', [0, 0, -1, 0, 0, 0], 1, 'hertz fps'],
  ['kHz', [0, 0, -1, 0, 0, 0], 1e3, ''],
  ['N·s/m', [0, 1, -1, 0, 0, 0], 1, 'ns/m'],
  ['cSt', [2, 0, -1, 0, 0, 0], 1e-6, 'centistokes centistoke'],
  ['St', [2, 0, -1, 0, 0, 0], 1e-4, 'stokes'],
  ['P', [-1, 1, -1, 0, 0, 0], 0.1, 'poise'],
  ['cP', [-1, 1, -1, 0, 0, 0], 1e-3, 'centipoise'],
  ['ml', [3, 0, 0, 0, 0, 0], 1e-6, 'cc ccm millilitre millilitres milliliter milliliters'],
  ['l', [3, 0, 0, 0, 0, 0], 1e-3, 'litre litres liter liters'],
  ['km/h', [1, 0, -1, 0, 0, 0], 1 / 3.6, 'kmh kph'],
  ['mph', [1, 0, -1, 0, 0, 0], 0.44704, ''],
  ['gn', [1, 0, -2, 0, 0, 0], GRAVITY, ''],
  ['%', NONE, 0.01, 'percent pct'],
  ['teeth', NONE, 1, 'tooth'],
  ['1', NONE, 1, ''],
];

/** Temperatures: the only units with an offset. As a difference (a ±) the offset is left out. */
const TEMPERATURES: readonly Unit[] = [
  { symbol: '°C', dims: TEMPERATURE, factor: 1, offset: 273.15 },
  { symbol: '°F', dims: TEMPERATURE, factor: 5 / 9, offset: 459.67 * (5 / 9) },
];
const TEMPERATURE_WORDS: Readonly<Record<string, number>> = {
  '°c': 0,
  c: 0,
  degc: 0,
  'deg c': 0,
  celsius: 0,
  '°f': 1,
  f: 1,
  degf: 1,
  'deg f': 1,
  fahrenheit: 1, // biome-ignore format: one line
};

const exact = new Map<string, Unit>();
const loose = new Map<string, Unit | null>();
for (const [symbol, dims, factor, words] of ATOMS) {
  const unit: Unit = { symbol, dims, factor, offset: 0 };
  exact.set(symbol, unit);
  for (const word of words.split(' ').filter(Boolean)) loose.set(word.toLowerCase(), unit);
}
// What people type without care for case ("KG", "Mm"): read when only one unit can be meant; "mpa" could be two, so it can't.
for (const [symbol, unit] of exact) {
  const low = symbol.toLowerCase();
  if (loose.get(low) !== undefined && loose.get(low) !== unit) loose.set(low, null);
  else loose.set(low, unit);
}
for (const [symbol, unit] of exact) if (symbol === symbol.toLowerCase()) loose.set(symbol, unit);

const SUPERSCRIPTS: Readonly<Record<string, string>> = { '²': '2', '³': '3', '⁴': '4', '⁻': '-', '¹': '1' };
const RAISED: Readonly<Record<string, string>> = { '2': '²', '3': '³', '4': '⁴', '-': '⁻', '1': '¹' };

const atom = (word: string): Unit | undefined => exact.get(word) ?? loose.get(word.toLowerCase()) ?? undefined;

/** One factor of a unit: `mm`, `s²`, `m^2`, `in2`. */
function factorOf(word: string): Unit | undefined {
  const whole = atom(word);
  if (whole) return whole;
  const parts = /^(.*?[^\d^])\^?(-?[1-4])$/.exec(word);
  const base = parts && atom(parts[1]!);
  if (!base) return undefined;
  const n = Number(parts[2]);
  const symbol = base.symbol + parts[2]!.replace(/./g, (digit) => RAISED[digit]!);
  return { symbol, dims: powerDims(base.dims, n), factor: base.factor ** n, offset: 0 };
}

const cache = new Map<string, Unit | undefined>();

/**
 * Reads a unit as the contract writes it or as people type it: `N/mm`, `N·m/deg`, `kg·m²`, `lbf/in`, `rad/(s·V)`, `km/h`, `°C`.
 * Returns undefined when it is none we know.
 */
export function unit(written: string): Unit | undefined {
  const known = cache.get(written);
  if (known || cache.has(written)) return known;
  const read = readUnit(written);
  if (cache.size < 5000) cache.set(written, read);
  return read;
}

function readUnit(written: string): Unit | undefined {
  const trimmed = written.trim();
  if (trimmed === '' || trimmed.length > 40) return undefined;
  const temperature = TEMPERATURE_WORDS[trimmed.toLowerCase()];
  // A capital C alone is the coulomb in formulas; on a reading the kind decides (quantity.ts asks temperatureUnit first).
  if (temperature !== undefined && !exact.has(trimmed)) return TEMPERATURES[temperature];
  const whole = atom(trimmed);
  if (whole) return whole;
  const plain = trimmed.replace(/[²³⁴⁻¹]/g, (digit) => SUPERSCRIPTS[digit]!);
  const [above, below, ...more] = plain.split('/');
  if (above === undefined || more.length > 1) return undefined;
  const factors: [Unit, 1 | -1][] = [];
  const take = (side: string, sign: 1 | -1): boolean => {
    for (const word of side.replace(/^\((.*)\)$/, '$1').split(/[·*.⋅ ]+/)) {
      const one = factorOf(word);
      // The 1 of "1/s" stands alone; "5 1" on a count is two numbers, not five of a unit called 1.
      if (!one || (one.symbol === '1' && (sign === -1 || word !== side))) return false;
      factors.push([one, sign]);
    }
    return true;
  };
  if (!take(above.trim(), 1)) return undefined;
  for (const side of [below, ...more]) if (side !== undefined && !take(side.trim(), -1)) return undefined;
  let dims = NONE;
  let factor = 1;
  for (const [one, sign] of factors) {
    dims = timesDims(dims, one.dims, sign);
    factor = sign === 1 ? factor * one.factor : factor / one.factor;
  }
  return { symbol: spelt(factors), dims, factor, offset: 0 };
}

/** One spelling for however it was typed: "kg m2" is shown as "kg·m²". */
function spelt(factors: readonly (readonly [Unit, 1 | -1])[]): string {
  const [above, below] = [1, -1].map((side) => factors.filter(([, sign]) => sign === side).map(([{ symbol }]) => symbol));
  return `${above!.join('·')}${below!.length === 0 ? '' : below!.length === 1 ? `/${below![0]}` : `/(${below!.join('·')})`}`;
}

export const temperatureUnit = (word: string): Unit | undefined => {
  const which = TEMPERATURE_WORDS[word.trim().toLowerCase()];
  return which === undefined ? undefined : TEMPERATURES[which];
};

/** Unit words that a cell may not be called: exactly those that a formula can write after a number. */
export const isUnitName = (name: string): boolean => exact.has(name);

export const toSI = (value: number, of: Unit): number => value * of.factor + of.offset;
export const fromSI = (value: number, into: Unit): number => (value - into.offset) / into.factor;

/** What a quantity is, as a sheet names it. `unit` is what a bare number is in when the sheet does not say. */
export interface Kind {
  readonly name: string;
  readonly dims: Dims;
}
const KINDS: Readonly<Record<string, Dims>> = {
  mass: MASS,
  length: LENGTH,
  time: TIME,
  angle: ANGLE,
  force: FORCE,
  rate: timesDims(FORCE, LENGTH, -1),
  'damping rate': [0, 1, -1, 0, 0, 0],
  torque: ENERGY,
  'roll stiffness': [2, 1, -2, 0, 0, -1],
  inertia: [2, 1, 0, 0, 0, 0],
  speed: [1, 0, -1, 0, 0, 0],
  acceleration: [1, 0, -2, 0, 0, 0],
  'rotational speed': [0, 0, -1, 0, 0, 1],
  frequency: [0, 0, -1, 0, 0, 0],
  voltage: VOLTAGE,
  current: CURRENT,
  resistance: RESISTANCE,
  capacity: [0, 0, 1, 1, 0, 0],
  energy: ENERGY,
  power: POWER,
  pressure: PRESSURE,
  modulus: PRESSURE,
  area: [2, 0, 0, 0, 0, 0],
  volume: [3, 0, 0, 0, 0, 0],
  density: [-3, 1, 0, 0, 0, 0],
  viscosity: [2, 0, -1, 0, 0, 0],
  temperature: TEMPERATURE,
  'motor constant': timesDims([0, 0, -1, 0, 0, 1], VOLTAGE, -1),
  'thermal resistance': timesDims(TEMPERATURE, POWER, -1),
  'heat capacity': timesDims(ENERGY, TEMPERATURE, -1),
  'collar pitch': [1, 0, 0, 0, 0, -1],
  'gear module': LENGTH,
  'gear pitch': [-1, 0, 0, 0, 0, 0],
  'per time': [0, 0, -1, 0, 0, 0],
  share: NONE,
  ratio: NONE,
  count: NONE,
  number: NONE,
};
export const kind = (name: string): Kind | undefined => (Object.hasOwn(KINDS, name) ? { name, dims: KINDS[name]! } : undefined);
export const kindNames = (): readonly string[] => Object.keys(KINDS);

const BASE = ['m', 'kg', 's', 'A', 'K', 'rad'];
/** Dimensions in words for a sheet's author: "kg·m/s²". */
export function dimsInWords(dims: Dims): string {
  const kindName = Object.keys(KINDS).find((name) => sameDims(KINDS[name]!, dims) && !isNumber(dims));
  if (isNumber(dims)) return 'a plain number';
  const units = BASE.map((symbol, i) => (dims[i] === 0 ? '' : dims[i] === 1 ? symbol : `${symbol}^${dims[i]}`))
    .filter(Boolean)
    .join('·');
  return kindName ? `${kindName} (${units})` : units;
}
