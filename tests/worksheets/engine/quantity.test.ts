import { describe, expect, it } from 'vitest';
import { type Quantity, type QuantitySpec, readQuantity, tidy } from '../../../worksheets/engine/quantity.ts';
import { fromSI, kind, toSI, unit } from '../../../worksheets/engine/units.ts';
import { expectNear } from '../../support/book.ts';

interface Spec {
  readonly kind: string;
  readonly in: string;
  /** In that unit. */
  readonly from?: number;
  readonly to?: number;
  readonly more?: Partial<QuantitySpec>;
}
const specOf = ({ kind: name, in: written, from, to, more }: Spec): QuantitySpec => {
  const bare = unit(written)!;
  if (!kind(name)) expect.fail(`there is no kind ${name}`);
  return {
    kind: name,
    unit: bare,
    ...(from === undefined ? {} : { min: toSI(from, bare) }),
    ...(to === undefined ? {} : { max: toSI(to, bare) }),
    ...more,
  };
};
const mass = specOf({ kind: 'mass', in: 'g', from: 10, to: 5000 });
const length = specOf({ kind: 'length', in: 'mm', from: 0.1, to: 2000 });
const rate = specOf({ kind: 'rate', in: 'N/mm', from: 0.005, to: 50 });
const ratio = specOf({ kind: 'ratio', in: '1', from: 0.2, to: 50 });
const share = specOf({ kind: 'share', in: '%', from: 0, to: 100 });
const cells = specOf({ kind: 'count', in: '1', from: 1, to: 12, more: { whole: true, said: ['s', 'cell', 'cells'] } });
const kv = specOf({ kind: 'motor constant', in: 'rpm/V', from: 100, to: 20000, more: { said: ['kv'] } });
const module = specOf({ kind: 'gear module', in: 'mm', from: 0.1, to: 2 });
const pitch = specOf({ kind: 'gear pitch', in: '1/in', from: 10, to: 200 });
const oil = specOf({ kind: 'viscosity', in: 'cSt', from: 10, to: 100000 });
const temperature = specOf({ kind: 'temperature', in: '°C', from: -30, to: 150 });
const lap = specOf({ kind: 'time', in: 's', from: 1, to: 1000 });
const angle = specOf({ kind: 'angle', in: 'deg', from: 0, to: 60 });
const stiffness = specOf({ kind: 'roll stiffness', in: 'N·m/deg' });

const read = (typed: string, spec: QuantitySpec): Quantity => {
  const made = readQuantity(typed, spec);
  return 'ok' in made ? made.ok : expect.fail(`"${typed}" ${made.slip.is}. ${made.slip.needs}`);
};
const slipOf = (typed: string, spec: QuantitySpec): string => {
  const made = readQuantity(typed, spec);
  return 'slip' in made ? [`${made.slip.is}. ${made.slip.needs}`, made.slip.hint].filter(Boolean).join(' ') : `read as ${made.ok.value}`;
};
/** In the reading's own unit. */
const shown = ({ value }: Quantity, spec: QuantitySpec): number => fromSI(value, spec.unit);

// NIST SP 811 (2008), Appendix B.8: exact factors.
const LB = 453.59237;
const OZ = LB / 16;
const IN = 25.4;
const GRAVITY = 9.80665;
const LBF_IN = (LB * GRAVITY) / IN / 1000;

describe('a mass is read as people write it', () => {
  it.each([
    ['612', 612],
    ['612 g', 612],
    ['612g', 612],
    ['612 grams', 612],
    ['612 Gram', 612],
    ['+612', 612],
    ['  612  g ', 612],
    ['0.612 kg', 612],
    ['0,612 kg', 612],
    ['.612 kg', 612],
    ['612000 mg', 612],
    ['1.35 lb', 1.35 * LB],
    ['1,35 lbs', 1.35 * LB],
    ['1 lb 5.6 oz', LB + 5.6 * OZ],
    ['1lb5.6oz', LB + 5.6 * OZ],
    ['1 pound 5,6 ounces', LB + 5.6 * OZ],
    ['21.6oz', 21.6 * OZ],
    ['21.6 OZ', 21.6 * OZ],
    ['1 1/2 lb', 1.5 * LB],
    ['½ lb', 0.5 * LB],
    ['1½ lb', 1.5 * LB],
    ['612,5', 612.5],
    ['612.5 g', 612.5],
    ['1 234', 1234],
    ['1 234,5', 1234.5],
    ['1 234.5 g', 1234.5],
    ['1\u00a0234', 1234], // no-break space
    ['1\u202f234', 1234], // narrow no-break space
    ['1\u2009234', 1234], // thin space
    ["1'234", 1234],
    ['1’234', 1234],
    ['1,234.5', 1234.5],
    ['1.234,5', 1234.5],
    ['1234,567', 1234.567],
    ['1234', 1234],
    ['６１２', 612],
    ['６１２．５ ｇ', 612.5],
    ['6.12e2', 612],
    ['6.12e2 g', 612],
    ['612E0g', 612],
    ['61.2e+1', 612],
    ['\u200e612\u200f', 612], // marks of writing direction, as a phone pastes them
    ['\ufeff612', 612],
    ['10', 10],
    ['5000', 5000],
    ['5 kg', 5000],
    ['0.01 kg', 10],
    ['0.35274 oz', 0.35274 * OZ],
    ['176.369 oz', 176.369 * OZ],
    ['6.0 N', (6 / GRAVITY) * 1000],
    ['612 gf', 612],
  ])('"%s"', (typed, grams) => {
    expectNear(shown(read(typed, mass), mass), grams, 1e-14);
    expect(read(typed, mass).plusMinus).toBeUndefined();
  });

  it('keeps the number as it was written when it was written in the unit that is shown', () => {
    // 1015 g in SI is 1.015 kg; turned back it is 1014.9999999999999 g.
    expect(fromSI(read('1015', mass).value, mass.unit)).not.toBe(1015);
    expect(read('1015', mass).written).toBe(1015);
    expect(read('1015 g ± 2', mass).written).toBe(1015);
    expect(read('1.015 kg', mass).written).toBeUndefined();
    expect(read('1 lb 5.6 oz', mass).written).toBeUndefined();
  });

  it.each([
    // Typed, half of its last digit in grams: 1 lb is 453.59237 g, 1 oz a sixteenth (NIST SP 811, B.8).
    ['612', 0.5],
    ['612.0 g', 0.05],
    ['612,50', 0.005],
    ['1 234', 0.5],
    ['1.234.567 mg', 0.0005],
    ['1,234.5', 0.05],
    ['.612 kg', 0.5],
    ['6.12e2', 0.5],
    ['21.5 oz', OZ / 20],
    ['0.0', 0.05],
    ['(612 ± 2) g', 0.5],
  ])('"%s" is written to ± %f g', (typed, half) => {
    expectNear(read(typed, { ...mass, min: -10 }).halfDigit! / mass.unit.factor, half, 1e-12);
  });
  it.each(['1 lb 5.6 oz', '12 1/4 oz', '43/7'])('"%s" has no last digit', (typed) => {
    expect(read(typed, { ...mass, min: -10 }).halfDigit).toBeUndefined();
  });

  it('says so when a weight in newtons stands for a mass', () => {
    expect(read('6 N', mass).note).toBe('N read as the mass it weighs');
    expect(read('612 g', mass).note).toBeUndefined();
  });
});

describe('a ± is read as people write it', () => {
  it.each([
    ['612 ± 2 g', 612, 2],
    ['612 ± 2', 612, 2],
    ['612±2', 612, 2],
    ['612g±2g', 612, 2],
    ['612 g ± 2', 612, 2],
    ['612 +/- 2 g', 612, 2],
    ['612 + / - 2', 612, 2],
    ['612 +- 2 g', 612, 2],
    ['612+/-2', 612, 2],
    ['(612 ± 2) g', 612, 2],
    ['(612 ± 2)', 612, 2],
    ['0.612 kg ± 2 g', 612, 2],
    ['0.612 ± 0.002 kg', 612, 2],
    ['612 ± 0', 612, 0],
    ['612 ± 2 %', 612, 12.24],
    ['612 g ± 0,5 %', 612, 3.06],
    ['1 lb 5.6 oz ± 0.1 oz', LB + 5.6 * OZ, 0.1 * OZ],
    ['21.6 oz ± 2 g', 21.6 * OZ, 2],
  ])('"%s"', (typed, grams, plusMinus) => {
    const made = read(typed, mass);
    expectNear(shown(made, mass), grams, 1e-14);
    expectNear((made.plusMinus ?? Number.NaN) * 1000, plusMinus, 1e-13);
  });

  it('in points of per cent on a share, since 60 % ± 2 % is 58 to 62', () => {
    for (const typed of ['60 ± 2 %', '60 ± 2', '60 % ± 2 %', '60%±2%']) expectNear(read(typed, share).plusMinus, 0.02, 1e-15);
  });

  it.each([
    ['612 ± -2', 'has a ± below zero. Give 10 to 5000 g.'],
    ['612 ± 2 ± 3', 'has more than one ±. Give 10 to 5000 g.'],
    ['612 ±', 'has no number. Give 10 to 5000 g.'],
    ['± 2', 'has no number. Give 10 to 5000 g.'],
    ['612 ± g', 'is not a number. Give 10 to 5000 g.'],
    ['612 ± 2 mm', 'is a length, not a mass. Give 10 to 5000 g.'],
    ['612 ± 1,234', 'can be read two ways. Type 1234 or 1.234.'],
    ['612) ± 2', 'has something after the number. Give 10 to 5000 g.'],
  ])('"%s" is refused', (typed, sentence) => {
    expect(slipOf(typed, mass)).toBe(sentence);
  });
});

describe('what could be meant two ways is asked back, never guessed', () => {
  it.each([
    ['1,234', '1234', '1.234'],
    ['1,234 g', '1234', '1.234'],
    ['12,345', '12345', '12.345'],
    ['123,456', '123456', '123.456'],
    ['-1,234', '1234', '1.234'],
    ['1,234 ± 2', '1234', '1.234'],
  ])('"%s"', (typed, grouped, decimal) => {
    expect(slipOf(typed, mass)).toBe(`can be read two ways. Type ${grouped} or ${decimal}.`);
  });

  it.each([
    ['0,234 kg', 234], // nobody groups a nought
    ['1,2345 kg', 1234.5],
    ['1,23 kg', 1230],
    ['1234,567 g', 1234.567],
    ['1.234 kg', 1234],
    ['1.234.567 mg', 1234.567],
    ['1,234,567 mg', 1234.567],
    ['1 234,567 g', 1234.567],
    ['1,234,567.5 mg', 1234.5675],
    ['1.234.567,5 mg', 1234.5675],
  ])('"%s" can only be one thing', (typed, grams) => {
    expectNear(shown(read(typed, mass), mass), grams, 1e-14);
  });

  it.each(['1,2,3', '1.2.3', '1,23,456', '12.34.567', '1.2.3,4', '1,234,5', '1.234.5,6', '1..2'])('"%s" is no number at all', (typed) => {
    expect(slipOf(typed, mass)).toBe('is not a number. Give 10 to 5000 g.');
  });
});

describe('lengths', () => {
  it.each([
    ['330', 330],
    ['33 cm', 330],
    ['0.33 m', 330],
    ['0,33 M', 330],
    ['330 ㎜', 330],
    ['12 1/4 in', 12.25 * IN],
    ['12 ¼ in', 12.25 * IN],
    ['12¼"', 12.25 * IN],
    ['12 1/4"', 12.25 * IN],
    ['12.3"', 12.3 * IN],
    ['12.3″', 12.3 * IN],
    ['12.3”', 12.3 * IN],
    ["12.3''", 12.3 * IN],
    ['3/8 in', 0.375 * IN],
    ['1 125/250 in', 1.5 * IN],
    ['1 ft 2 in', 14 * IN],
    [`1' 2"`, 14 * IN],
    [`1'2"`, 14 * IN],
  ])('"%s"', (typed, mm) => {
    expectNear(shown(read(typed, length), length), mm, 1e-14);
  });

  it('may lie on either side of zero, the minus written as it comes', () => {
    const position = specOf({ kind: 'length', in: 'mm', from: -500, to: 2000 });
    for (const typed of ['-12', '−12', '–12', '- 12', '－１２']) expect(read(typed, position).written).toBe(-12);
    expectNear(shown(read(`-1' 2"`, position), position), -14 * IN, 1e-14);
    expect(slipOf('-1200', position)).toBe('is out. Give −500 to 2000 mm. Did you mean −120 mm?');
  });
});

describe('what only some kinds of reading understand', () => {
  it('lb on a spring is lbf/in, and the echo says so', () => {
    for (const typed of ['4.1 lb', '4.1lb', '4,1 lbs', '4.1 pounds', '4.1 lbf/in', '4.1 lb/in'])
      expectNear(shown(read(typed, rate), rate), 4.1 * LBF_IN, 1e-14);
    expect(read('4.1 lb', rate).note).toBe('lb on a spring is read as lbf/in');
    expect(read('4.1 lb', rate).unit.symbol).toBe('lbf/in');
    expect(read('4.1 lb/in', rate).note).toBe('lb/in read as lbf/in');
    expect(read('4.1 lbf/in', rate).note).toBeUndefined();
    expectNear(read('4.1 ± 0.1 lb', rate).plusMinus, 0.1 * LBF_IN * 1000, 1e-13);
    expect(read('4.1 ± 0.1 lb', rate).note).toBe('lb on a spring is read as lbf/in');
    expectNear(shown(read('70 g/mm', rate), rate), 0.07 * GRAVITY, 1e-14);
    expect(read('70 g/mm', rate).note).toBe('g/mm read as gf/mm');
    expectNear(shown(read('5 oz', rate), rate), (5 * LBF_IN) / 16, 1e-14);
    expect(slipOf('4.1 kg', rate)).toBe('is a mass, not a rate. Give 0.005 to 50 N/mm.');
    expect(slipOf('4.1 N', rate)).toBe('is a force, not a rate. Give 0.005 to 50 N/mm.');
  });

  it('lb on a scale is a pound of mass', () => {
    expectNear(shown(read('1.35 lb', mass), mass), 1.35 * LB, 1e-14);
    expect(read('1.35 lb', mass).note).toBeUndefined();
  });

  it('a ratio may be typed as teeth', () => {
    for (const typed of ['43/13', '43 / 13', '４３／１３']) expectNear(read(typed, ratio).value, 43 / 13, 1e-15);
    expectNear(read('3 1/3', ratio).value, 10 / 3, 1e-15);
    expectNear(read('50 %', ratio).value, 0.5, 1e-15);
    expectNear(read('43/13 ± 0.1', ratio).plusMinus, 0.1, 1e-15);
    expectNear(read('43/13 ± 1 %', ratio).plusMinus, 0.43 / 13, 1e-14);
    expect(slipOf('43/0', ratio)).toBe('is not a number. Give 0.2 to 50.');
    expect(slipOf('0/0', ratio)).toBe('is not a number. Give 0.2 to 50.');
    expect(slipOf('43/13/2', ratio)).toBe('has something after the number. Give 0.2 to 50.');
    expect(slipOf('3.3 turns', ratio)).toBe('is an angle, not a plain number. Give 0.2 to 50.');
  });

  it('a gear size may be a module or a pitch', () => {
    for (const typed of ['48 pitch', '48P', '48 dp', 'pitch 48', '48 Pitch']) {
      expectNear(shown(read(typed, module), module), IN / 48, 1e-14);
      expectNear(shown(read(typed, pitch), pitch), 48, 1e-14);
    }
    expectNear(shown(read('32P', module), module), IN / 32, 1e-14);
    expectNear(shown(read('32', pitch), pitch), 32, 1e-14);
    expectNear(shown(read('32 1/in', pitch), pitch), 32, 1e-14);
    for (const typed of ['0.8 mod', 'mod 0.8', '0,8 mod', 'm0.8', 'M 0.8', '0.8 mm', '0.8'])
      expectNear(shown(read(typed, module), module), 0.8, 1e-15);
    expectNear(shown(read('mod 0.6', module), module), 0.6, 1e-15);
    expectNear(shown(read('0.8 mod', pitch), pitch), IN / 0.8, 1e-14);
    expect(read('48 pitch', module).note).toBe('48 pitch is module 0.529167 mm');
    expect(read('0.8 mod', pitch).note).toBe('module 0.8 mm is 31.75 pitch');
    expect(read('48 pitch', pitch).note).toBeUndefined();
    expect(slipOf('48', module)).toBe('is out. Give 0.1 to 2 mm. Did you mean 48 pitch?');
    expect(slipOf('48 pitch ± 1', module)).toBe('has a ±, which a gear size has not. Give it without.');
    expect(slipOf('0 pitch', module)).toContain('Give 0.1 to 2 mm.');
  });

  it.each([
    // Common practice, no source: what shops call silicone oils.
    ['10 wt', 100],
    ['20wt', 200],
    ['25 WT', 275],
    ['30 weight', 350],
    ['35 w', 425],
    ['40 wt', 500],
  ])('"%s" of oil is about %s cSt, and the echo says so', (typed, cSt) => {
    const made = read(typed, oil);
    expectNear(shown(made, oil), cSt, 1e-14);
    expectNear(made.plusMinus, 0.25 * cSt * 1e-6, 1e-14);
    expect(made.note).toBe(`${Number.parseInt(typed, 10)} wt read as ${cSt} cSt ± 25 % (common practice)`);
  });

  it('an oil weight with a ± of its own keeps that one', () => {
    const made = read('25 wt ± 10 %', oil);
    expectNear(made.plusMinus, 27.5e-6, 1e-13);
    expect(made.note).toBe('25 wt read as 275 cSt (common practice)');
    expect(slipOf('5 wt', oil)).toBe('is a weight outside 10 to 40 wt. Give the viscosity in cSt from the bottle.');
    expect(slipOf('45 wt', oil)).toBe('is a weight outside 10 to 40 wt. Give the viscosity in cSt from the bottle.');
    for (const typed of ['350', '350 cSt', '350 mm²/s', '350 mm2/s', '3.5e-4 m^2/s', '3.5 St'])
      expectNear(shown(read(typed, oil), oil), 350, 1e-14);
  });

  it('a lap may have minutes', () => {
    expectNear(read('1:02.3', lap).value, 62.3, 1e-15);
    expectNear(read('1:02,3', lap).value, 62.3, 1e-15);
    expectNear(read('1:02.3 ± 0.1', lap).plusMinus, 0.1, 1e-15);
    expectNear(read('1 min 2.3 s', lap).value, 62.3, 1e-15);
    expect(slipOf('1:60', lap)).toBe('has something after the number. Give 1 to 1000 s.');
  });

  it('words that the trade puts behind a number change nothing', () => {
    for (const typed of ['3s', '3', '3 S', '3 cells', '1 cell']) expect(Number.isInteger(read(typed, cells).value)).toBe(true);
    for (const typed of ['3300', '3300kv', '3300 KV', '3300 rpm/V']) expectNear(shown(read(typed, kv), kv), 3300, 1e-14);
    expect(slipOf('3.5', cells)).toBe('is not a whole number. Give 1 to 12, whole.');
    expect(slipOf('3 1', cells)).toBe('has more than one number. Give 1 to 12.');
  });

  it('turns a minute may be typed as 1/min', () => {
    const spin = specOf({ kind: 'rotational speed', in: 'rpm' });
    for (const typed of ['600', '600 rpm', '600 1/min', '600 rev/min', '10 rev/s']) expectNear(shown(read(typed, spin), spin), 600, 1e-14);
  });

  it('shares, angles, temperatures', () => {
    for (const typed of ['60%', '60 %', '60', '60 percent', '60,0']) expectNear(read(typed, share).value, 0.6, 1e-15);
    for (const typed of ['5', '5°', '5 deg', '5º', '5 degrees']) expectNear(read(typed, angle).value, (5 * Math.PI) / 180, 1e-15);
    for (const typed of ['20', '20 °C', '20C', '20 c', '20 ℃', '68 °F', '68F', '68 f', '20 deg C', '293.15 K'])
      expect(Math.abs(read(typed, temperature).value - 293.15)).toBeLessThan(1e-12);
    for (const typed of ['-10', '−10 °C', '14 °F']) expect(Math.abs(read(typed, temperature).value - 263.15)).toBeLessThan(1e-12);
    for (const typed of ['1.2', '1.2 Nm/deg', '1.2 N·m/°', '1.2 N m/deg']) expectNear(shown(read(typed, stiffness), stiffness), 1.2, 1e-14);
  });
});

describe('out of range: the range in the unit that was typed, and a hint where a slip is likely', () => {
  it.each([
    ['6120', 'is out. Give 10 to 5000 g. Did you mean 612.0 g?'],
    ['61200', 'is out. Give 10 to 5000 g. Did you mean 612 g?'],
    ['6.12', 'is out. Give 10 to 5000 g. Did you mean 61.2 g?'],
    ['0.612', 'is out. Give 10 to 5000 g. Did you mean 612 g?'],
    ['0,612', 'is out. Give 10 to 5000 g. Did you mean 612 g?'],
    ['1.234', 'is out. Give 10 to 5000 g. Did you mean 1234 g?'],
    ['612 kg', 'is out. Give 0.01 to 5 kg. Did you mean 612 g?'],
    ['290 kg', 'is out. Give 0.01 to 5 kg. Did you mean 290 g?'],
    ['13.5 lb', 'is out. Give 0.0220463 to 11.0231 lb. Did you mean 1.35 lb?'],
    ['0', 'is out. Give 10 to 5000 g.'],
    ['-612', 'is out. Give 10 to 5000 g.'],
    ['9999999', 'is out. Give 10 to 5000 g.'],
    ['5000.1', 'is out. Give 10 to 5000 g. Did you mean 500.01 g?'],
    ['9.999', 'is out. Give 10 to 5000 g. Did you mean 99.99 g?'],
  ])('"%s"', (typed, sentence) => {
    expect(slipOf(typed, mass)).toBe(sentence);
  });

  it('a hint on a count is a whole number, or there is none', () => {
    expect(slipOf('13', cells)).toBe('is out. Give 1 to 12.');
    expect(slipOf('30', cells)).toBe('is out. Give 1 to 12. Did you mean 3.0?');
  });

  it('gives no hint on a temperature: ten times as warm means nothing', () => {
    expect(slipOf('500', temperature)).toBe('is out. Give −30 to 150 °C.');
    expect(slipOf('500 °F', temperature)).toBe('is out. Give −22 to 302 °F.');
  });

  it('takes the bounds that it prints, in every unit', () => {
    for (const [spec, units] of [
      [mass, ['g', 'kg', 'mg', 'lb', 'oz', 'N', 'gf', 'kgf']],
      [length, ['mm', 'cm', 'm', 'in', 'ft']],
      [rate, ['N/mm', 'N/m', 'lbf/in', 'gf/mm', 'kgf/mm']],
      [temperature, ['°C', '°F', 'K']],
      [angle, ['deg', 'rad', 'turn']],
      [kv, ['rpm/V', 'rad/(s·V)']],
    ] as const) {
      for (const symbol of units) {
        const range = /Give (\S+) to (\S+?)(?:°| |\.$)/.exec(slipOf(`9e15 ${symbol}`, spec)) ?? expect.fail(`no range in ${symbol}`);
        for (const bound of [range[1]!, range[2]!]) expect(slipOf(`${bound} ${symbol}`, spec), `${bound} ${symbol}`).toMatch(/^read as/);
      }
    }
  });

  it('takes its bounds to the last bit, whatever the unit they are typed in', () => {
    // 0.09 cm is a bit below 0.9 mm in the computer's numbers, 0.14 cm a bit above 1.4 mm.
    const narrow = specOf({ kind: 'length', in: 'mm', from: 0.9, to: 1.4 });
    expect(toSI(0.09, unit('cm')!)).toBeLessThan(narrow.min!);
    expect(toSI(0.14, unit('cm')!)).toBeGreaterThan(narrow.max!);
    for (const typed of ['0.09 cm', '0.14 cm']) expect(slipOf(typed, narrow)).toMatch(/^read as/);
    for (const typed of ['0.0899999 cm', '0.1400001 cm']) expect(slipOf(typed, narrow)).toMatch(/^is out/);
    for (const typed of ['10 g', '0.01 kg', '10000 mg', '5000 g', '5 kg', '5000000 mg']) expect(slipOf(typed, mass)).toMatch(/^read as/);
  });
});

describe('what is no reading is refused with a sentence', () => {
  it.each([
    ['', 'is empty. Give 10 to 5000 g.'],
    ['   ', 'is empty. Give 10 to 5000 g.'],
    ['\u200b', 'is empty. Give 10 to 5000 g.'],
    ['g', 'is not a number. Give 10 to 5000 g.'],
    ['NaN', 'is not a number. Give 10 to 5000 g.'],
    ['Infinity', 'is not a number. Give 10 to 5000 g.'],
    ['∞', 'is not a number. Give 10 to 5000 g.'],
    ['1e400', 'is not a number. Give 10 to 5000 g.'],
    ['constructor', 'is not a number. Give 10 to 5000 g.'],
    ['__proto__', 'is not a number. Give 10 to 5000 g.'],
    ['612 constructor', 'has a unit that is not known here (constructor). Give 10 to 5000 g.'],
    ['612 <b>', 'has a unit that is not known here (<b>). Give 10 to 5000 g.'],
    ['612 furlongs', 'has a unit that is not known here (furlongs). Give 10 to 5000 g.'],
    ['612 mm', 'is a length, not a mass. Give 10 to 5000 g.'],
    ['612 %', 'is a plain number, not a mass. Give 10 to 5000 g.'],
    ['612 lb in', 'is in lb·in, which is not a mass. Give 10 to 5000 g.'],
    ['612 605', 'is out. Give 10 to 5000 g. Did you mean 612.605 g?'], // one number with its thousands apart
    ['61 2', 'has more than one number. Give 10 to 5000 g.'],
    ['612 g 605 g', 'has more than one number. Give 10 to 5000 g.'],
    ['1 oz 2 lb', 'has more than one number. Give 10 to 5000 g.'],
    ['1 lb -5 oz', 'has more than one number. Give 10 to 5000 g.'],
    ['612 1', 'has more than one number. Give 10 to 5000 g.'],
    ['612#', 'has something after the number. Give 10 to 5000 g.'],
    ['612.', 'has something after the number. Give 10 to 5000 g.'],
    ['6²', 'has something after the number. Give 10 to 5000 g.'], // not 62
    ['6①', 'has something after the number. Give 10 to 5000 g.'], // not 61
    ['H₂O', 'is not a number. Give 10 to 5000 g.'],
    ['0x10', 'has a unit that is not known here (x). Give 10 to 5000 g.'],
    ['6 1 2', 'has more than one number. Give 10 to 5000 g.'],
    ['--612', 'is not a number. Give 10 to 5000 g.'],
  ])('"%s"', (typed, sentence) => {
    expect(slipOf(typed, mass)).toBe(sentence);
  });

  it.each([
    ['nines', '9'.repeat(10_000)],
    ['ones apart', '1 '.repeat(5000)],
    ['commas', ','.repeat(10_000)],
    ['plus-minus', '±'.repeat(10_000)],
    ['letters', 'g'.repeat(10_000)],
    ['spaces in between', `1${' '.repeat(9998)}g`],
  ])('10,000 characters of %s', (_, typed) => {
    expect(slipOf(typed, mass)).toBe('is too long for one number. Give 10 to 5000 g.');
  });

  it('names a reading without bounds by its unit', () => {
    expect(slipOf('x', specOf({ kind: 'mass', in: 'g' }))).toBe('is not a number. Give a number in g.');
    expect(slipOf('x', specOf({ kind: 'number', in: '1' }))).toBe('is not a number. Give a number.');
    expect(slipOf('-1', specOf({ kind: 'mass', in: 'g', from: 0 }))).toBe('is out. Give 0 g or more.');
    expect(slipOf('2', specOf({ kind: 'mass', in: 'kg', to: 1 }))).toBe('is out. Give 1 kg at most. Did you mean 0.2 kg?');
  });
});

describe('an item of a list', () => {
  const item = { ...mass, item: true };
  it.each([
    ['612,5', 612.5],
    ['1,234 kg', 1234],
    ['1.234 kg', 1234],
    ['612 g', 612],
  ])('"%s": a comma between digits is the decimal sign', (typed, grams) => {
    expectNear(shown(read(typed, item), item), grams, 1e-14);
  });
  it.each(['1.234.567', '1,234,567', '1,234.5', '1.234,5', '1 234', "1'234"])('"%s": nothing groups thousands', (typed) => {
    expect(slipOf(typed, item)).toBe('is not a number. Give 10 to 5000 g.');
  });
});

describe('words', () => {
  it('stay as they were typed, on one line, without what cannot be seen', () => {
    expect(tidy('  Pack ½,\n\tsoft\u200b m² \u202e ')).toBe('Pack ½, soft m²');
    expect(tidy('e\u0301')).toBe('é');
    expect(tidy('\ud83d')).toBe('�');
  });
});
