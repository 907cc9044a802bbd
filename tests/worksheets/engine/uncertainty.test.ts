import { describe, expect, it } from 'vitest';
import { type Formula, formula, maybe, optional, positive, real, share, within } from '../../../calc/formula.ts';
import { rideFrequency } from '../../../calc/springs/ride-frequency.ts';
import type { Answer, AnswerValue } from '../../../worksheets/engine/types.ts';
import { verdictOf } from '../../../worksheets/engine/uncertainty.ts';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answered, type Blocks, club, NO_FORMULAS } from '../../support/club-sheet.ts';

const one = (answer: Answer, name: string): AnswerValue => answer.answers.find((each) => each.name === name)!;
/** The standard uncertainty: what is shown is twice it. */
const u = (answer: Answer, name: string): number => one(answer, name).uncertainty! / 2;
const asked = (blocks: Blocks, readings: Record<string, string> = {}, formulas = NO_FORMULAS): Answer =>
  answered(club(blocks, formulas), readings);

describe('the worked examples of the guide, written as sheets', () => {
  it('an end gauge compared with its standard', () => {
    // JCGM 100:2008, H.1, table H.1: l = ls + d − ls(δα·θ + αs·δθ); printed values read: l = 50.000 838 mm, u = 32 nm. Components there
    // (nm): 25 standard, 5.8 repeated observations, 3.9 and 6.7 comparator, 2.9 difference of expansion, 16.6 difference of temperature.
    const blocks: Blocks = {
      readings: [
        'standard   : 50.000623 mm  sd 0.000025 mm   from 1 mm to 100 mm',
        'difference : 0.000215 mm   sd 0.0000058 mm  from -1 mm to 1 mm',
        'random     : 0 mm          sd 0.0000039 mm  from -1 mm to 1 mm',
        'systematic : 0 mm          sd 0.0000067 mm  from -1 mm to 1 mm',
        'expansion  : 0.0000115     sd 0.0000012     from 0 to 1',
        'unlike     : 0 ± 0.000001                   from -1 to 1',
        'away       : -0.1          sd 0.41          from -9 to 9',
        'warmer     : 0 ± 0.05                       from -9 to 9',
      ].join('\n'),
      workings: 'gauge = standard + difference + random + systematic - standard * (unlike * away + expansion * warmer)',
      answers: 'gauge : in mm',
    };
    const answer = asked(blocks);
    expectPrinted(one(answer, 'gauge').value, '50.000838');
    expectPrinted(u(answer, 'gauge') * 1e6, '32');
    // Second method: the root of the sum of the squares of the components, at full digits.
    const components = [
      25,
      5.8,
      3.9,
      6.7,
      (50.000623 * 0.1 * 1e-6 * 1e6) / Math.sqrt(3),
      (50.000623 * 11.5e-6 * 0.05 * 1e6) / Math.sqrt(3),
    ];
    expectNear(u(answer, 'gauge') * 1e6, Math.hypot(...components), 1e-9);
  });

  it('resistance and reactance, measured together so that they are correlated', () => {
    // JCGM 100:2008, H.2, tables H.2 to H.4; printed values from memory, recomputed. Five sets of V, I, φ: their means are correlated through
    // the sets, so each set is a reading of its own here: 0, off by 1/√(n(n − 1)) of its deviation from the mean.
    const sets = [
      [5.007, 0.019663, 1.0456],
      [4.994, 0.019639, 1.0438],
      [5.005, 0.01964, 1.0468],
      [4.99, 0.019685, 1.0428],
      [4.999, 0.019678, 1.0433],
    ];
    const mean = (column: number): number => sets.reduce((sum, set) => sum + set[column]!, 0) / 5;
    const off = (column: number): string =>
      sets.map((set, k) => `(${(set[column]! - mean(column)).toFixed(8)}) * set_${k + 1}`).join(' + ');
    const answer = asked({
      readings: sets.map((_, k) => `set_${k + 1} : 0  sd ${1 / Math.sqrt(20)}  from -9 to 9`).join('\n'),
      workings: [
        `volts = ${mean(0)} + ${off(0)}`,
        `amps = ${mean(1).toFixed(10)} + ${off(1)}`,
        `phase = (${mean(2)} + ${off(2)}) * 1 rad`,
        'r_ohm = volts / amps * cos(phase)',
        'x_ohm = volts / amps * sin(phase)',
        'z_ohm = volts / amps',
        'r_plus_x = r_ohm + x_ohm',
      ].join('\n'),
      answers: 'r_ohm : in 1\nx_ohm : in 1\nz_ohm : in 1\nr_plus_x : in 1',
    });
    expectPrinted(one(answer, 'r_ohm').value, '127.732');
    expectPrinted(one(answer, 'x_ohm').value, '219.847');
    expectPrinted(one(answer, 'z_ohm').value, '254.260');
    expectPrinted(u(answer, 'r_ohm'), '0.071');
    expect(Math.abs(u(answer, 'x_ohm') - 0.295)).toBeLessThan(0.0006);
    expectPrinted(u(answer, 'z_ohm'), '0.236');
    const correlation =
      (u(answer, 'r_plus_x') ** 2 - u(answer, 'r_ohm') ** 2 - u(answer, 'x_ohm') ** 2) / (2 * u(answer, 'r_ohm') * u(answer, 'x_ohm'));
    expectPrinted(correlation, '-0.588');
  });

  it('the correction of a thermometer at 30 °C, whose slope and intercept are correlated', () => {
    // JCGM 100:2008, H.3.4: b(30 °C) = −0.1494 °C, u = 0.0041 °C; printed values read. Intercept, slope, their u and r = −0.930: H.3.3.
    const [intercept, slope, uIntercept, uSlope, r] = [-0.17120379, 0.00218269774, 0.00287759784, 0.000667938773, -0.93042960309];
    const answer = asked({
      readings: 'mode_1 : 0  sd 1  from -9 to 9\nmode_2 : 0  sd 1  from -9 to 9',
      workings: [
        `intercept = ${intercept} + ${uIntercept} * mode_1`,
        `slope = ${slope} + ${uSlope} * (${r} * mode_1 + ${Math.sqrt(1 - r * r).toFixed(12)} * mode_2)`,
        'correction = intercept + slope * (30 - 20)',
      ].join('\n'),
      answers: 'correction : in 1\nintercept : in 1\nslope : in 1',
    });
    expectPrinted(one(answer, 'correction').value, '-0.1494');
    expectPrinted(u(answer, 'correction'), '0.0041');
    expectNear(u(answer, 'intercept'), uIntercept, 1e-9);
    expectNear(u(answer, 'slope'), uSlope, 1e-9);
  });

  it('a standard solution, its purity given as ± and so rectangular', () => {
    // EURACHEM/CITAC Guide CG 4, QUAM:2012, example A1: c = 1000·m·P/V; printed values from memory, recomputed: 1002.7 mg/l, u = 0.9 mg/l.
    const answer = asked(
      {
        readings:
          'weighed : 100.28 mg  sd 0.05 mg  from 1 mg to 1 g\npurity : number  from 0 to 1\nflask : 100 ml  sd 0.07 ml  from 1 ml to 1 l',
        workings: 'strength = weighed * purity / flask',
        answers: 'strength : in mg/l',
      },
      { purity: '0.9999 ± 0.0001' },
    );
    expectPrinted(one(answer, 'strength').value, '1002.7');
    expectPrinted(u(answer, 'strength'), '0.9');
    // Second method: the parts of a product add as squares.
    expectNear(u(answer, 'strength'), 1002.69972 * Math.hypot(0.05 / 100.28, 0.0001 / Math.sqrt(3) / 0.9999, 0.07 / 100), 1e-12);
  });

  it('a weighted mean', () => {
    // Second method: u² = 1/Σ(1/uᵢ²) by hand: values 11, 9, 10 with u 1, 1, 3 give 10 and 1/√(1 + 1 + 1/9) = 0.688 247 2.
    const answer = asked({
      readings: 'x_1 : 11 sd 1 from 0 to 99\nx_2 : 9 sd 1 from 0 to 99\nx_3 : 10 sd 3 from 0 to 99',
      workings: 'mean = (x_1 / 1 + x_2 / 1 + x_3 / 9) / (1 + 1 + 1 / 9)',
      answers: 'mean : in 1',
    });
    expectNear(one(answer, 'mean').value, 10, 1e-14);
    expectPrinted(u(answer, 'mean'), '0.6882472');
  });
});

describe('what a reading may be off by', () => {
  const answers = 'a : in g';
  it('half a step either way: d/√12', () => {
    // JCGM 100:2008, F.2.2.1 and 4.3.7: rectangular of full width d.
    const fixed = asked({ readings: 'a : mass in g  step 2 g  from 1 g to 5 kg', answers }, { a: '612' });
    expectNear(u(fixed, 'a'), 2 / Math.sqrt(12), 1e-12);
    expectNear(fixed.readings[0]!.uncertainty, 4 / Math.sqrt(12), 1e-12);
    const named = { readings: 'a : mass in g  step scale  from 1 g to 5 kg\nscale : 1 g from 0.01 g to 100 g', answers };
    expectNear(u(asked(named, { a: '612' }), 'a'), 1 / Math.sqrt(12), 1e-12);
    expectNear(u(asked(named, { a: '612', scale: '5' }), 'a'), 5 / Math.sqrt(12), 1e-12);
    const worked = { readings: 'a : mass in g  step a / 100  from 1 g to 5 kg', answers };
    expectNear(u(asked(worked, { a: '612' }), 'a'), 6.12 / Math.sqrt(12), 1e-12);
  });

  it('a ± of the sheet: a/√3; one that is typed wins over it; sd adds to either', () => {
    const blocks = { readings: 'a : mass in g  ± 3 g  sd 2 g  from 1 g to 5 kg', answers };
    expectNear(u(asked(blocks, { a: '612' }), 'a'), Math.hypot(3 / Math.sqrt(3), 2), 1e-12);
    expectNear(u(asked(blocks, { a: '612 ± 6' }), 'a'), Math.hypot(6 / Math.sqrt(3), 2), 1e-12);
    expectNear(u(asked(blocks, { a: '612 ± 0' }), 'a'), 2, 1e-12);
    const step = { readings: 'a : mass in g  step 1 g  from 1 g to 5 kg', answers };
    expectNear(u(asked(step, { a: '612 ± 6' }), 'a'), 6 / Math.sqrt(3), 1e-12);
    expect(one(asked(step, { a: '612 ± 0' }), 'a').uncertainty).toBeNull();
    expectNear(u(asked(step, { a: '612 ± 1 %' }), 'a'), 6.12 / Math.sqrt(3), 1e-12);
  });

  it('a default was not measured: only a ± of its own counts', () => {
    expect(one(asked({ readings: 'a : 600 g  step 1 g  from 1 g to 5 kg', answers }), 'a').uncertainty).toBeNull();
    expectNear(u(asked({ readings: 'a : 600 g ± 6 g  from 1 g to 5 kg', answers }), 'a'), 6 / Math.sqrt(3), 1e-12);
    expect(one(asked({ readings: 'a : 600 g ± 6 g  from 1 g to 5 kg', answers }, { a: '600' }), 'a').uncertainty).toBeNull();
  });

  it('null where nothing carries ±, 0 where it cancels', () => {
    const blocks = {
      readings: 'a : number from 0 to 9\nb : number from 0 to 9',
      workings: 'sum = a + b\nnone = a - a',
      answers: 'sum : in 1\nb : in 1\nnone : in 1',
    };
    const bare = asked(blocks, { a: '1', b: '2' });
    for (const { uncertainty } of bare.answers) expect(uncertainty).toBeNull();
    const off = asked(blocks, { a: '1 ± 0.1', b: '2' });
    expect(off.answers.map(({ uncertainty }) => uncertainty && Math.round(uncertainty * 1e6))).toEqual([115470, null, 0]);
  });
});

describe('whether a ± can be the whole of it', () => {
  const blocks = {
    readings: [
      'rate   : number            from 0 to 9',
      'ratio  : number            from 0 to 9',
      'wanted : number  chosen    from 0 to 9  optional',
      'wheels : count in 1 whole  from 1 to 9  default 4',
      'usual  : 0.5               from 0 to 9',
    ].join('\n'),
    workings:
      'at_wheel = rate * ratio^2\nextra = at_wheel - wanted\nboth = at_wheel * wheels\nloose = rate * usual\nnone = ratio / ratio * rate',
    answers: 'at_wheel : in 1\nextra : in 1\nboth : in 1\nloose : in 1\nnone : in 1\nratio : in 1',
  };
  const partial = (readings: Record<string, string>, name: string): boolean => one(asked(blocks, readings), name).partial === true;

  it('not where the last digit of a reading without one outweighs it', () => {
    // k·m²: the part of k is u(k)/k, that of m 2·u(m)/m, with half the last digit over √3 (JCGM 100:2008, 4.3.7).
    // 0.450 ± 0.001 is 0.128 %; 0.6 is 9.6 %, 0.600 is 0.096 %.
    expect(partial({ rate: '0.450 ± 0.001', ratio: '0.6' }, 'at_wheel')).toBe(true);
    expect(partial({ rate: '0.450 ± 0.001', ratio: '0.600' }, 'at_wheel')).toBe(false);
    expect(partial({ rate: '0.450 ± 0.001', ratio: '0.6 ± 0.001' }, 'at_wheel')).toBe(false);
    // The ± itself, and the number, are what they were.
    expectNear(u(asked(blocks, { rate: '0.450 ± 0.001', ratio: '0.6' }), 'at_wheel'), (0.001 / Math.sqrt(3)) * 0.36, 1e-12);
  });

  it('what is chosen, counted, usual or cancels says nothing', () => {
    expect(partial({ rate: '0.450 ± 0.001', ratio: '0.600', wanted: '0' }, 'extra')).toBe(false);
    expect(partial({ rate: '0.450 ± 0.001', ratio: '0.600', wheels: '4' }, 'both')).toBe(false);
    expect(partial({ rate: '0.450 ± 0.001', ratio: '0.600' }, 'loose')).toBe(false);
    expect(partial({ rate: '0.450 ± 0.001', ratio: '0.6' }, 'none')).toBe(false);
  });

  it('a coarse one stays what it is: it says that little is known', () => {
    // Shown with k = 2, ± 0.002 on 0.45 is one part in 195.
    expect(partial({ rate: '0.450 ± 0.0019', ratio: '0.6' }, 'at_wheel')).toBe(true);
    expect(partial({ rate: '0.450 ± 0.002', ratio: '0.6' }, 'at_wheel')).toBe(false);
  });

  it('nor where a reading was typed more coarsely than its step, or points lie on a line to the digit', () => {
    const weighed = { readings: 'a : mass in g  step 1 g  from 1 g to 5 kg', answers: 'a : in g' };
    for (const [typed, is] of [
      ['612', undefined],
      ['612.0', undefined],
      ['0.612 kg', undefined],
      ['0.61 kg', true],
      ['0.61 kg ± 0.0001 kg', undefined],
    ] as const) {
      expect([typed, one(asked(weighed, { a: typed }), 'a').partial]).toEqual([typed, is]);
      expect([typed, asked(weighed, { a: typed }).readings[0]!.partial]).toEqual([typed, is]);
    }
    const scattered = {
      readings: 'a : number from 0 to 9\nscatter : number from 0 to 9',
      workings: 'b = a + 0',
      answers: 'b : in 1  sd scatter',
    };
    expect(one(asked(scattered, { a: '1.000000', scatter: '0.01' }), 'b').partial).toBeUndefined();
    expect(one(asked(scattered, { a: '1.000000', scatter: '1e-17' }), 'b')).toMatchObject({ uncertainty: 0, partial: true });
  });

  it('where nothing carries a ± there is none to be part of', () => {
    const answer = asked(blocks, { rate: '0.45', ratio: '0.6' });
    expect(one(answer, 'at_wheel')).toMatchObject({ uncertainty: null });
    expect(answer.answers.some((each) => 'partial' in each)).toBe(false);
    expect(answer.readings.every(({ uncertainty }) => uncertainty === null)).toBe(true);
  });
});

describe('derivatives are those of the closed forms', () => {
  const forms: readonly (readonly [text: string, f: (x: number) => number, low: number, high: number])[] = [
    ['x * x * x', (x) => 3 * x * x, 0.01, 100],
    ['x ^ 5', (x) => 5 * x ** 4, 0.01, 100],
    ['x ^ (-2)', (x) => -2 / x ** 3, 0.01, 100],
    ['2 ^ x', (x) => Math.LN2 * 2 ** x, 0.01, 20],
    ['x ^ x', (x) => x ** x * (Math.log(x) + 1), 0.1, 10],
    ['1 / (1 + x)', (x) => -1 / (1 + x) ** 2, 0.01, 100],
    ['(1 + x) / (2 - x * x)', (x) => (2 + 2 * x + x * x) / (2 - x * x) ** 2, 0.01, 1],
    ['sqrt(x)', (x) => 0.5 / Math.sqrt(x), 0.01, 100],
    ['exp(-x)', (x) => -Math.exp(-x), 0.01, 10],
    ['ln(x)', (x) => 1 / x, 0.01, 100],
    ['log10(x)', (x) => 1 / (x * Math.LN10), 0.01, 100],
    ['sin(x * 1 rad)', Math.cos, 0.01, 1],
    ['cos(x * 1 rad)', (x) => -Math.sin(x), 0.01, 3],
    ['tan(x * 1 rad)', (x) => 1 / Math.cos(x) ** 2, 0.01, 1.5],
    ['asin(x) / (1 rad)', (x) => 1 / Math.sqrt(1 - x * x), 0.01, 0.99],
    ['acos(x) / (1 rad)', (x) => -1 / Math.sqrt(1 - x * x), 0.01, 0.99],
    ['atan(x) / (1 rad)', (x) => 1 / (1 + x * x), 0.01, 100],
    ['abs(-x)', () => 1, 0.01, 100],
    ['min(x, 1000)', () => 1, 0.01, 100],
    ['max(x, -1000)', () => 1, 0.01, 100],
    ['if(x > 0, x * x, 0)', (x) => 2 * x, 0.01, 100],
    ['first(x * x, 0)', (x) => 2 * x, 0.01, 100],
    ['-x', () => -1, 0.01, 100],
    ['3 * x + -x', () => 2, 0.01, 100],
    ['abs(-x) + abs(x) + x', () => 3, 0.01, 100],
    ['if(x < 0, 0, x * x)', (x) => 2 * x, 0.01, 100],
    ['x * x * x + sqrt(0) + 0 * ln(0.5)', (x) => 3 * x * x, 0.01, 100],
    ['x - 3 * x', () => -2, 0.01, 100],
    ['1000 + x', () => 1, 0.01, 100],
    ['round(x) + floor(x) + ceil(x) + x', () => 1, 0.01, 100],
  ];
  it.each(forms)('of %s', (text, derivative, low, high) => {
    const sheet = club({ readings: 'x : number from -1000 to 1000', workings: `y = ${text}`, answers: 'y : in 1' });
    const between = draws(text.length * 31 + text.charCodeAt(0));
    for (let i = 0; i < 25; i += 1) {
      const x = between(low, high);
      const answer = answered(sheet, { x: `${x} ± ${x / 100}` });
      expectNear(u(answer, 'y'), Math.abs(derivative(x)) * (x / 100 / Math.sqrt(3)), 1e-12);
    }
  });

  // Formulas of calc are opaque: their results are tried around the inputs. Closed forms by hand.
  const opaque: ReadonlyMap<string, Formula> = new Map<string, Formula>([
    ['ride_frequency', rideFrequency as unknown as Formula],
    ['cube', formula({ x: real('1') }, '1', ({ x }) => x ** 3) as unknown as Formula],
    ['wave', formula({ x: real('1') }, '1', ({ x }) => Math.sin(x)) as unknown as Formula],
    ['bell', formula({ x: real('1') }, '1', ({ x }) => Math.exp(-x * x)) as unknown as Formula],
    ['inverse', formula({ x: positive('1') }, '1', ({ x }) => 1 / x) as unknown as Formula],
    ['offset', formula({ x: real('1') }, '1', ({ x }) => 10 + x) as unknown as Formula],
    ['corner', formula({ x: real('1') }, '1', ({ x }) => Math.max(0, x)) as unknown as Formula],
    ['quarter', formula({ x: share() }, '1', ({ x }) => x * x) as unknown as Formula],
    ['steep', formula({ x: within('1', { min: 0 }) }, '1', ({ x }) => Math.exp(3 * x)) as unknown as Formula],
    [
      'pair',
      formula({ x: real('1'), y: optional(real('1')) }, { same: '1', other: '1', both: maybe('1') }, ({ x, y }) => ({
        same: 2 * x,
        other: 7,
        both: y === undefined ? undefined : x * y,
      })) as unknown as Formula,
    ],
  ]);
  const calls: readonly (readonly [name: string, f: (x: number) => number, low: number, high: number])[] = [
    ['cube', (x) => 3 * x * x, 0.001, 1000],
    ['wave', Math.cos, 0.01, 1.2],
    ['bell', (x) => -2 * x * Math.exp(-x * x), 0.05, 2],
    ['inverse', (x) => -1 / (x * x), 0.001, 1000],
    ['offset', () => 1, 1, 1000],
    ['corner', () => 1, 0.01, 100],
    ['steep', (x) => 3 * Math.exp(3 * x), 0.01, 3],
  ];
  it.each(calls)('of the formula %s, to a hundred-millionth', (name, derivative, low, high) => {
    const sheet = club({ readings: 'x : number from -10000 to 10000', workings: `y = ${name}()`, answers: 'y : in 1' }, opaque);
    const between = draws(name.charCodeAt(0));
    for (let i = 0; i < 40; i += 1) {
      const x = between(low, high);
      for (const off of [x / 1e6, x / 100, x / 2]) {
        const answer = answered(sheet, { x: `${x} ± ${off}` });
        expectNear(u(answer, 'y'), Math.abs(derivative(x)) * (off / Math.sqrt(3)), 1e-8);
      }
    }
  });

  it('of the ride frequency: half the part of the rate, half that of the mass', () => {
    const blocks = {
      readings: 'wheel_rate : rate in N/mm from 0.005 N/mm to 50 N/mm\nsprung_mass : mass in g from 10 g to 5 kg',
      workings: 'f = ride_frequency()\nstill = f * f * sprung_mass / wheel_rate',
      answers: 'f : in Hz\nstill : in 1',
    };
    const answer = asked(blocks, { wheel_rate: '0.4 ± 0.01', sprung_mass: '600 ± 20' }, opaque);
    const f = one(answer, 'f').value as number;
    expectNear(u(answer, 'f'), (f / 2) * Math.hypot(0.01 / 0.4, 20 / 600) * (1 / Math.sqrt(3)), 1e-9);
    // f² m / k is 1/4π² whatever k and m are: what a formula of calc and the sheet's own arithmetic do cancels.
    expectNear(one(answer, 'still').value, 1 / (4 * Math.PI ** 2), 1e-12);
    expect(one(answer, 'still').uncertainty).toBe(0);
  });

  it('of one result of several: those that do not move carry none', () => {
    const answer = asked(
      {
        readings: 'x : number from 0 to 9\ny : number from 0 to 9 optional',
        workings: 'p = pair()',
        answers: 'same : in 1 is p.same\nother : in 1 is p.other\nboth : in 1 is p.both',
      },
      { x: '2 ± 0.3', y: '5 ± 0.1' },
      opaque,
    );
    expectNear(u(answer, 'same'), 0.6 / Math.sqrt(3), 1e-9);
    expect(one(answer, 'other').uncertainty).toBeNull();
    expectNear(u(answer, 'both'), Math.hypot(1.5, 0.2) / Math.sqrt(3), 1e-9);
  });

  it('at a reading of 0, where "a little" is a little of its ±', () => {
    const sheet = club(
      { readings: 'x : number from -9 to 9', workings: 'y = wave()\nz = 3000 + x\nw = offset()', answers: 'y : in 1\nz : in 1\nw : in 1' },
      opaque,
    );
    const answer = answered(sheet, { x: '0 ± 0.01' });
    for (const name of ['y', 'z']) expectNear(u(answer, name), 0.01 / Math.sqrt(3), 1e-8);
    expectNear(u(answer, 'w'), 0.01 / Math.sqrt(3), 1e-5);
  });
});

describe('at the end of a domain', () => {
  const formulas: ReadonlyMap<string, Formula> = new Map<string, Formula>([
    ['upper', formula({ x: share() }, '1', ({ x }) => x * x) as unknown as Formula],
    ['lower', formula({ x: within('1', { min: 0 }) }, '1', ({ x }) => Math.exp(3 * x)) as unknown as Formula],
    ['point', formula({ x: within('1', { min: 1, max: 1 }) }, '1', ({ x }) => x) as unknown as Formula],
    ['bend', formula({ x: real('1') }, '1', ({ x }) => Math.max(0, x)) as unknown as Formula],
    ['level', formula({ a: within('rad', { min: 0 }) }, '1', ({ a }) => 1 / Math.cos(a)) as unknown as Formula],
  ]);
  const at = (call: string, x: string): number =>
    u(asked({ readings: 'x : number from -9 to 9', workings: `y = ${call}`, answers: 'y : in 1' }, { x }, formulas), 'y') * Math.sqrt(3);

  it('the side that has values counts: a share of 1, a length of 0', () => {
    expectNear(at('upper()', '1 ± 0.01'), 2 * 0.01, 1e-8);
    expectNear(at('upper()', '0.99999 ± 0.01'), 2 * 0.99999 * 0.01, 1e-8);
    expectNear(at('lower()', '0 ± 0.01'), 3 * 0.01, 1e-8);
    expectNear(at('lower()', '0.0000001 ± 0.01'), 3 * 0.01 * Math.exp(3e-7), 1e-8);
  });

  it('an angle of 0 moves its cosine by nothing, and says so', () => {
    const blocks = {
      readings: 'a : angle in deg from 0 deg to 60 deg',
      workings: 'y = cos(a)\nz = level()',
      answers: 'y : in 1\nz : in 1',
    };
    const answer = asked(blocks, { a: '0 ± 1' }, formulas);
    expect(one(answer, 'y').uncertainty).toBe(0);
    expect(one(answer, 'z').uncertainty).toBeLessThan(1e-5);
    expect(one(answer, 'z').value).toBe(1);
  });

  it('a slope without bound is taken over one standard uncertainty', () => {
    // √x at 0 over one u: √u. 0 ± 0.03: u = 0.03/√3.
    expectNear(at('sqrt(x)', '0 ± 0.03') / Math.sqrt(3), Math.sqrt(0.03 / Math.sqrt(3)), 1e-12);
    expectNear(at('asin(x) / (1 rad)', '1 ± 0.03') / Math.sqrt(3), Math.PI / 2 - Math.asin(1 - 0.03 / Math.sqrt(3)), 1e-12);
    expectNear(at('2 * sqrt(x) + 1', '0 ± 0.03') / Math.sqrt(3), 2 * Math.sqrt(0.03 / Math.sqrt(3)), 1e-12);
    expectNear(at('lower({x: sqrt(x)})', '0 ± 0.03') / Math.sqrt(3), Math.exp(3 * Math.sqrt(0.03 / Math.sqrt(3))) - 1, 1e-12);
  });

  it('on a corner, the mean of both sides; beside it, its own side', () => {
    expectNear(at('bend()', '0 ± 0.01'), 0.5 * 0.01, 1e-9);
    expectNear(at('max(0, x)', '0 ± 0.01'), 0.5 * 0.01, 1e-12);
    expectNear(at('bend()', '0.001 ± 0.01'), 0.01, 1e-8);
    // The corner lies between half a step and a whole one.
    expectNear(at('bend({x: x - 1})', '1.00000043 ± 0.01'), 0.01, 1e-8);
    expectNear(at('bend({x: 1 - x})', '0.99999957 ± 0.01'), 0.01, 1e-8);
    const answer = asked(
      { readings: 'x : number from -9 to 9', workings: 'y = bend()', answers: 'y : in 1' },
      { x: '-1 ± 0.01' },
      formulas,
    );
    expect(one(answer, 'y').uncertainty).toBeNull();
  });

  it('a domain of one point has no slope', () => {
    const answer = asked(
      { readings: 'x : number from -9 to 9', workings: 'y = point()', answers: 'y : in 1' },
      { x: '1 ± 0.01' },
      formulas,
    );
    expect(one(answer, 'y').uncertainty).toBe(0);
  });
});

describe('correlated answers come out right', () => {
  const blocks: Blocks = {
    readings: 'front : mass in g  step 1 g  from 20 g to 10 kg\nrear : mass in g  step 1 g  from 20 g to 10 kg',
    workings:
      'total = front + rear\nfront_share = front / total\nrear_share = rear / total\nall = front_share + rear_share\nagain = total - rear\nhalf = rear_share - front_share',
    answers: 'front_share : in %\nrear_share : in %\nall : in %\nagain : in g\nhalf : in %',
  };
  const answer = asked(blocks, { front: '1217', rear: '1797' });

  it('front share and rear share are 100 % ± 0', () => {
    expectNear(one(answer, 'all').value, 100, 1e-14);
    expect(one(answer, 'all').uncertainty).toBe(0);
  });

  it('what is added and taken away again leaves the reading with its own ±', () => {
    expectNear(u(answer, 'again'), 1 / Math.sqrt(12), 1e-12);
    expectNear(u(answer, 'half'), 2 * u(answer, 'rear_share'), 1e-12);
    // By hand: rear/(front + rear) moves by front/total² and −rear/total².
    expectNear(u(answer, 'rear_share'), (100 * Math.hypot(1217, 1797)) / 3014 ** 2 / Math.sqrt(12), 1e-12);
  });

  it('nominal( ) holds a cell still', () => {
    const held = asked(
      {
        readings: 'a : number from 0 to 9',
        workings: 'free = a * a\nstill = nominal(a) * a\nnone = nominal(a * a) + 1\nback = a - nominal(a)',
        answers: 'free : in 1\nstill : in 1\nnone : in 1\nback : in 1',
      },
      { a: '3 ± 0.1' },
    );
    expect(held.answers.map(({ value }) => value)).toEqual([9, 9, 10, 0]);
    expectNear(u(held, 'free'), 0.6 / Math.sqrt(3), 1e-12);
    expectNear(u(held, 'still'), 0.3 / Math.sqrt(3), 1e-12);
    expect(one(held, 'none').uncertainty).toBeNull();
    expectNear(u(held, 'back'), 0.1 / Math.sqrt(3), 1e-12);
  });

  it('an answer may add an uncertainty of its own', () => {
    const fit = asked(
      {
        readings: 'a : number from 0 to 9\nerror : number from 0 to 9',
        workings: 'y = 2 * a',
        answers: 'y : in 1 sd error\na : in 1 sd 0.5',
      },
      { a: '3 ± 0.1', error: '0.4' },
    );
    expectNear(u(fit, 'y'), Math.hypot(0.2 / Math.sqrt(3), 0.4), 1e-12);
    expectNear(u(fit, 'a'), Math.hypot(0.1 / Math.sqrt(3), 0.5), 1e-12);
  });
});

describe('the verdict, from band and uncertainty', () => {
  const sheet = club({
    readings: 'a : number from -100 to 100\nlow : 59 from -100 to 100\nhigh : 61 from -100 to 100',
    answers: 'a : in 1 within low .. high',
  });
  const verdict = (a: string, more: Record<string, string> = {}) => answered(sheet, { a, ...more }).answers[0]!.verdict;
  /** A ± that is shown as ±1: 2·a/√3. */
  const off = (shown: number): string => `± ${(shown * Math.sqrt(3)) / 2}`;

  it.each([
    [`60 ${off(0.9)}`, 'on target'],
    [`60 ${off(0.999999)}`, 'on target'],
    [`60 ${off(1.000001)}`, 'too close to call'],
    [`60.5 ${off(0.6)}`, 'too close to call'],
    [`62 ${off(0.999999)}`, 'off target'],
    [`62 ${off(1.000001)}`, 'too close to call'],
    [`58 ${off(0.999999)}`, 'off target'],
    [`58 ${off(1.000001)}`, 'too close to call'],
    [`60 ${off(5)}`, 'too close to call'],
    ['59', 'on target'],
    ['61', 'on target'],
    ['58.999999', 'off target'],
    ['61.000001', 'off target'],
  ])('%s within 59 .. 61: %s', (a, expected) => {
    expect(verdict(a)).toBe(expected);
  });

  it('touching the band from inside is on target, from outside too close to call, whatever the last bit says', () => {
    expect(verdict(`60 ${off(1)}`)).toBe('on target');
    expect(verdict(`62 ${off(1)}`)).toBe('too close to call');
    expect(verdict(`58 ${off(1)}`)).toBe('too close to call');
    // 0.7 + 0.1 is a bit below 0.8 in the computer's numbers, 0.8 − 0.1 a bit above 0.7, 0.1 + 0.2 a bit above 0.3.
    expect(verdictOf(0.7, 0.1, { low: 0.8, high: 1 })).toBe('too close to call');
    expect(verdictOf(0.8, 0.1, { low: 0.5, high: 0.7 })).toBe('too close to call');
    expect(verdict('0.3', { low: '0.1', high: '0.3' })).toBe('on target');
    const sum = club({
      readings: 'a : number from 0 to 1\nb : number from 0 to 1',
      workings: 'c = a + b',
      answers: 'c : in 1 within 0 .. 0.3',
    });
    expect(answered(sum, { a: '0.1', b: '0.2' }).answers[0]!.verdict).toBe('on target');
  });

  it('its ends may move with the readings, and an answer without a band has none', () => {
    expect(verdict('10', { low: '9', high: '11' })).toBe('on target');
    expect(answered(sheet, { a: '10', low: '9', high: '11' }).answers[0]!.band).toEqual({ low: 9, high: 11 });
    const plain = asked({ readings: 'a : number from 0 to 9', answers: 'a : in 1' }, { a: '1' });
    expect(plain.answers[0]).toMatchObject({ verdict: null, band: null });
  });

  it('may be a word that a formula gives', () => {
    const formulas: ReadonlyMap<string, Formula> = new Map([
      [
        'judge',
        formula({ a: real('1') }, { gain: '1', word: 'text' }, ({ a }) => ({
          gain: a,
          word: a > 0 ? 'faster' : 'slower',
        })) as unknown as Formula,
      ],
    ]);
    const blocks = {
      readings: 'a : number from -9 to 9',
      workings: 'said = judge()',
      answers: 'gain : in 1 verdict said.word is said.gain',
    };
    expect(asked(blocks, { a: '1' }, formulas).answers[0]!.verdict).toBe('faster');
    expect(asked(blocks, { a: '-1' }, formulas).answers[0]!.verdict).toBe('slower');
  });
});
