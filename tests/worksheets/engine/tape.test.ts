import { compile } from 'mathjs/number';
import { describe, expect, it } from 'vitest';
import { absent, DomainError, type Formula, flag, formula, list, maybe, optional, positive, real, si } from '../../../calc/formula.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';
import { newState, planFor, runAll, runSome, type State } from '../../../worksheets/engine/tape.ts';
import { draws, expectNear } from '../../support/book.ts';
import { answered, club, refused, textsOf } from '../../support/club-sheet.ts';

const NAMES = ['a', 'b', 'c', 'd', 'f'];
const READINGS = NAMES.map((name) => `${name} : number  from -1000000 to 1000000  optional`).join('\n');

/** Whole numbers from 0 to n − 1, the same ones in every run. */
function dice(seed: number): (n: number) => number {
  const between = draws(seed);
  return (n) => Math.min(n - 1, Math.floor(Math.log(between(1, Math.E)) * n));
}

/** A formula over these names, as deep as asked, with everything that a formula may hold. */
function randomFormula(roll: (n: number) => number, names: readonly string[], depth: number): string {
  const sub = (): string => randomFormula(roll, names, depth - 1);
  if (depth === 0 || roll(8) === 0) return roll(3) === 0 ? String((roll(2000) - 1000) / 64) : names[roll(names.length)]!;
  switch (roll(12)) {
    case 0:
    case 1:
      return `(${sub()} + ${sub()})`;
    case 2:
      return `(${sub()} - ${sub()})`;
    case 3:
    case 4:
      return `${sub()} * ${sub()}`;
    case 5:
      return `${sub()} / (${sub()})`;
    case 6:
      return `(${sub()}) ^ ${1 + roll(3)}`;
    case 7:
      return `-(${sub()})`;
    case 8:
      // Both sides have a value: what a comparison of absent ones does is tested below.
      return `if(${names[roll(names.length)]} ${['<', '<=', '>', '>=', '!='][roll(5)]} ${(roll(2000) - 1000) / 64}, ${sub()}, ${sub()})`;
    case 9:
      return `${['min', 'max'][roll(2)]}(${sub()}, ${sub()}, ${sub()})`;
    case 10:
      return `${['sqrt', 'abs', 'exp', 'ln', 'log10', 'round', 'floor', 'ceil'][roll(8)]}(${sub()})`;
    default:
      return `${['sin', 'cos', 'tan'][roll(3)]}(${sub()} * 1 rad)`;
  }
}

/** The same formula as the general parser's own evaluator has it; what it calls otherwise is handed in. */
function plainly(text: string, scope: Readonly<Record<string, number>>): number {
  const own = { if: (c: boolean, x: number, y: number) => (c ? x : y), ln: Math.log, log10: Math.log10 };
  return compile(text.replaceAll(' * 1 rad', '')).evaluate({ ...scope, ...own }) as number;
}

function stateOf(sheet: Sheet, values: readonly number[]): State {
  const state = newState(sheet.tape);
  sheet.readings.forEach(({ slot }, i) => {
    state.numbers[slot] = values[i]!;
  });
  runAll(sheet.tape, state, sheet.formulas);
  return state;
}

describe('the tape gives what the formula says', () => {
  it('on 1,500 random formulas, to the last bit, against a general evaluator', () => {
    // Second method: mathjs 15, evaluate(), of the same text. It never runs in the house itself.
    const roll = dice(15);
    let numbers = 0;
    for (let i = 0; i < 1500; i += 1) {
      const text = randomFormula(roll, NAMES, 1 + roll(4));
      if (text.length > 390) continue;
      let sheet: Sheet;
      try {
        sheet = club({ readings: READINGS, workings: `y = ${text}`, answers: 'y : in 1' });
      } catch (error) {
        // Too many parts for the caps: the only reason for which such a formula is refused.
        expect(String(error)).toContain('a formula may have 150 parts');
        continue;
      }
      const values = NAMES.map(() => (roll(2000) - 1000) / 32);
      const got = stateOf(sheet, values).numbers[sheet.answers[0]!.slot]!;
      const expected = plainly(text, Object.fromEntries(NAMES.map((name, j) => [name, values[j]!])));
      if (Number.isNaN(expected)) expect(got, `${text} of ${values}`).toBeNaN();
      else expect(got, `${text} of ${values}`).toBe(expected === 0 ? 0 : expected);
      if (Number.isFinite(got)) numbers += 1;
    }
    expect(numbers).toBeGreaterThan(800);
  });

  it.each([
    ['2 + 3 * 4', 14],
    ['2 ^ 3 ^ 2', 512],
    ['-2 ^ 2', -4],
    ['(2 + 3) * 4', 20],
    ['2 − 3 × 4 ÷ 6 · 2', -2],
    ['10 / 4 / 5', 0.5],
    ['2 - 3 - 4', -5],
    ['pi / 2', Math.PI / 2],
    ['π', Math.PI],
    ['round(2.5)', 3],
    ['round(-2.5)', -3],
    ['round(-0.4)', 0],
    ['floor(-0.5)', -1],
    ['ceil(0.2)', 1],
    ['abs(-3)', 3],
    ['min(3, 1, 2)', 1],
    ['max(3, 1, 2)', 3],
    ['log10(1000)', 3],
    ['ln(exp(2))', 2],
    ['sqrt(2) ^ 2', 2],
    ['sin(30 deg)', 0.5],
    ['cos(1 rev)', 1],
    ['tan(45 deg)', 1],
    ['asin(1) / (1 deg)', 90],
    ['acos(0) / (1 deg)', 90],
    ['atan(1) / (1 deg)', 45],
    ['2 in / (1 mm)', 50.8],
    ['-2 in / (1 mm)', -50.8],
    ['(1 kg + 1 g) / (1 g)', 1001],
    ['9.8 m/s^2 * (2 s)^2 / (2 m)', 19.6],
    ['2 m / (0.5 s) / (1 km/h)', 14.4],
    ['1 gn / (9.80665 m/s^2)', 1],
    ['3 rev / (1 rad)', 6 * Math.PI],
    ['1 kg * 1 m / (1 s^2) / (1 N)', 1],
    ['(27 mm^3)^(1/3) / (1 mm)', 3],
    ['sqrt(16 mm^2) / (1 mm)', 4],
    ['if(2 > 1, 3, 4)', 3],
    ['if(2 < 1, 3, 4)', 4],
    ['if(1 == 1, 3, 4)', 3],
    ['if(1 != 1, 3, 4)', 4],
    ['if(1 <= 1, 3, 4)', 3],
    ['if(1 >= 2, 3, 4)', 4],
    ['if(1 > 2, 1/0, 4)', 4],
    ['first(1, 2)', 1],
  ])('%s = %s', (text, expected) => {
    const sheet = club({ readings: 'a : 1 from 0 to 2', workings: `y = ${text}`, answers: 'y : in 1' });
    const { value } = answered(sheet, {}).answers[0]!;
    expectNear(value, expected, expected === 0 ? 1 : 1e-15);
    expect(Object.is(value, -0)).toBe(false);
  });

  it('a comparison is a yes/no, and serves as one', () => {
    const sheet = club({
      readings: 'a : number from 0 to 9',
      workings: 'big = a > 5\nsame = big\ny = if(same, 1, 2)',
      answers: 'big : yes/no\ny : in 1',
    });
    expect(answered(sheet, { a: '6' }).answers.map(({ value }) => value)).toEqual([true, 1]);
    expect(answered(sheet, { a: '5' }).answers.map(({ value }) => value)).toEqual([false, 2]);
  });
});

describe('what changes is computed again, and nothing else', () => {
  /** A web of cells: each a formula over readings and cells above it. */
  const web = (seed: number, cells: number): Sheet => {
    const roll = dice(seed);
    const lines: string[] = [];
    const names = [...NAMES];
    for (let i = 0; i < cells; i += 1) {
      const text = randomFormula(roll, names.slice(-12), 2);
      lines.push(`x${i} = ${text.length > 390 ? 'a' : text}`);
      names.push(`x${i}`);
    }
    return club({ readings: READINGS, workings: lines.join('\n'), answers: `x${cells - 1} : in 1` });
  };

  it('and comes out bit for bit as if all of it had been', () => {
    for (let seed = 1; seed <= 12; seed += 1) {
      const sheet = web(seed, 120);
      const roll = dice(seed + 100);
      const values = NAMES.map(() => (roll(2000) - 1000) / 32);
      const state = stateOf(sheet, values);
      for (let change = 0; change < 25; change += 1) {
        const i = roll(NAMES.length);
        // Now and then a reading is taken away, and given again.
        values[i] = roll(5) === 0 ? Number.NaN : (roll(2000) - 1000) / 32;
        state.numbers[sheet.readings[i]!.slot] = values[i]!;
        runSome(sheet.tape, state, sheet.formulas, planFor(sheet.tape, sheet.readings[i]!.slot));
        expect(state.numbers).toEqual(stateOf(sheet, values).numbers);
      }
    }
  });

  it('the plan of a reading holds what rests on it, in the order of computation, and no more', () => {
    const sheet = club({
      readings: 'a : number from 0 to 9\nb : number from 0 to 9',
      workings: 'p = a + 1\nq = b + 1\nr = p * 2\nu = q + r\nv = q * 2',
      answers: 'u : in 1\nv : in 1',
    });
    const slot = (name: string): number => sheet.readings.find((one) => one.name === name)!.slot;
    // Slots: a b p q r u v.
    expect([...planFor(sheet.tape, slot('a'))]).toEqual([2, 4, 5]);
    expect([...planFor(sheet.tape, slot('b'))]).toEqual([3, 5, 6]);
  });

  it('the tape is plain data: it can be sent away and run there', () => {
    const sheet = web(7, 40);
    const sent = structuredClone(sheet.tape);
    const values = [1, 2, 3, 4, 5];
    const there = newState(sent);
    values.forEach((value, i) => {
      there.numbers[i] = value;
    });
    runAll(sent, there, new Map());
    expect(there.numbers).toEqual(stateOf(sheet, values).numbers);
  });
});

// ── absence ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const formulas: ReadonlyMap<string, Formula> = new Map<string, Formula>([
  ['half', formula({ a: real('1') }, '1', ({ a }) => a / 2) as unknown as Formula],
  ['opposite', formula({ a: real('1') }, '1', ({ a }) => -a) as unknown as Formula],
  [
    'needy',
    formula({ b: positive('1'), c: optional(positive('1')) }, { sum: '1', late: maybe('1') }, ({ b, c = si<'1'>(0) }) => ({
      sum: b + c,
      late: b > 5 ? b : undefined,
    })) as unknown as Formula,
  ],
  [
    'parts',
    formula(
      { a: positive('1'), b: optional(positive('1')) },
      { whole: '1', rest: maybe('1'), next: maybe('1'), ok: 'yes/no', word: 'text' },
      ({ a, b }) => ({
        whole: Math.floor(a),
        rest: b === undefined ? undefined : a - b,
        next: a > 5 ? absent('never') : a,
        ok: a > 1,
        word: a > 5 ? 'large' : 'small',
      }),
    ) as unknown as Formula,
  ],
  [
    'picky',
    formula({ a: positive('1'), b: positive('1') }, '1', ({ a, b }) => {
      if (a > b) throw new DomainError('b', 'b is shorter than a');
      return b - a;
    }) as unknown as Formula,
  ],
  [
    'told',
    formula({ yes: flag(), points: list(positive('kg'), 2) }, { sum: 'kg' }, ({ yes, points }) => ({
      sum: si(points.reduce((all, one) => all + one, 0) * (yes ? 1 : 2)),
    })) as unknown as Formula,
  ],
]);

describe('what is absent stays absent', () => {
  const two = 'a : number  from -100 to 100\nb : number  from -100 to 100  optional';
  const asked = (workings: string, answers: string, readings: Record<string, string>, more = '') =>
    answered(club({ readings: two + more, workings, answers }, formulas), readings);

  it.each([
    'a + b',
    'b - a',
    'a * b',
    'b * 0',
    'b / a',
    'b ^ 0',
    '1 ^ b',
    '-b',
    'sqrt(b)',
    'min(a, b)',
    'max(b, a)',
    'if(b > 1, 1, 2)',
    'if(a > 1, b, 2)',
    'first(b, b)',
    'nominal(b)',
    'a + b * 0',
  ])('%s is left out when b is not given, and would widen the answer', (text) => {
    const answer = asked(`y = ${text}\nz = y + a`, 'y : in 1\nz : in 1\na : in 1', { a: '2' });
    expect(answer.answers.map(({ name }) => name)).toEqual(['a']);
    expect(answer.wider).toEqual(['b']);
  });

  it.each([
    ['first(b, a)', 2],
    ['first(b, b, a)', 2],
    ['first(a, b)', 2],
    ['if(a > 1, a, b)', 2],
    ['if(a < 1, b, a)', 2],
  ])('%s is there all the same, and asks for nothing', (text, expected) => {
    const answer = asked(`y = ${text}`, 'y : in 1', { a: '2' });
    expect(answer.answers[0]!.value).toBe(expected);
    expect(answer.wider).toEqual([]);
  });

  it('a comparison with an absent cell is neither yes nor no', () => {
    expect(asked('y = b > 1', 'y : yes/no\na : in 1', { a: '2' }).answers.map(({ name }) => name)).toEqual(['a']);
  });

  it('what the sheet itself leaves out asks for nothing', () => {
    const answer = asked('y = if(a > 5, a)\nz = first(y, b) + a', 'y : in 1\nz : in 1\na : in 1', { a: '2', b: '1' });
    expect(answer.answers.map(({ name, value }) => [name, value])).toEqual([
      ['z', 3],
      ['a', 2],
    ]);
    expect(asked('y = if(a > 5, a)', 'y : in 1\na : in 1', { a: '2' }).wider).toEqual([]);
  });

  it.each([
    '0 / 0',
    'a / (a - a)',
    '(a - a) / (a - a)',
    '1 / 0',
    '-1 / 0',
    '10 ^ 400',
    'exp(1000)',
    'ln(0)',
    'ln(-1)',
    'sqrt(-a)',
    '(-8) ^ 0.5',
    'asin(a) / (1 rad)',
    'tan(90 deg) * 10 ^ 300',
  ])('%s has no value: that is a problem, and said in a sentence', (text) => {
    const sheet = club({ readings: two, workings: `y = ${text}`, answers: 'y : in 1' });
    expect(textsOf(refused(sheet, { a: '2' }))).toEqual(['That does not work out: y has no value with these readings.']);
  });

  it('arithmetic without a value is no absence: its answer is not passed over', () => {
    const sheet = club({ readings: two, workings: 'y = a / 0 * 0\nz = y + a', answers: 'a : in 1\nz : in 1' });
    expect(textsOf(refused(sheet, { a: '2' }))).toEqual(['That does not work out: z has no value with these readings.']);
    // Where an optional reading is missing too, giving it may help: left out, and asked for.
    const either = club({ readings: two, workings: 'y = a / 0 * 0\nz = first(b, y)', answers: 'a : in 1\nz : in 1' });
    expect(answered(either, { a: '2' }).wider).toEqual(['b']);
    expect(answered(either, { a: '2', b: '3' }).answers[1]!.value).toBe(3);
  });

  it('minus zero is zero', () => {
    const answer = asked('y = -(a - a)\nz = y * -1\nk = opposite()\nn = opposite() * 1', 'y : in 1\nz : in 1\nk : in 1\nn : in 1', {
      a: '0',
    });
    for (const { value } of answer.answers) expect(Object.is(value, 0)).toBe(true);
  });
});

describe('calls of calc', () => {
  const two = 'a : number  from -100 to 100\nb : number  from -100 to 100  optional';
  const asked = (workings: string, answers: string, readings: Record<string, string>) =>
    answered(club({ readings: two, workings, answers }, formulas), readings);

  it('take their inputs from the cells of the same name, renamed, or worked out', () => {
    const answer = asked(
      'j = half()\nk = half({a: 2 * a + 1})\nq = half({a: j})\nn = half() + half({a: 3})',
      'j : in 1\nk : in 1\nq : in 1\nn : in 1',
      { a: '4' },
    );
    expect(answer.answers.map(({ value }) => value)).toEqual([2, 4.5, 1, 3.5]);
  });

  it('give numbers, words, yes or no; by name, or one by one', () => {
    const workings = 'made = parts()\nw = made.whole\nfine = made.ok\ntwice = parts({a: 2 * a}).whole';
    const answer = asked(
      workings,
      'w : in 1\nfine : yes/no\ntwice : in 1\nlate : in 1 is made.whole\nword : text is made.word\nwell : yes/no is made.ok',
      { a: '2.6' },
    );
    expect(answer.answers.map(({ name, value }) => [name, value])).toEqual([
      ['w', 2],
      ['fine', true],
      ['twice', 5],
      ['late', 2],
      ['word', 'small'],
      ['well', true],
    ]);
  });

  it('say why a result is absent, and what rests on it says the same', () => {
    const answer = asked('made = parts()\nn = made.next\nsum = n + 1', 'n : in 1\nsum : in 1', { a: '6' });
    expect(answer.answers.map(({ value, why }) => [value, why])).toEqual([
      [null, 'never'],
      [null, 'never'],
    ]);
  });

  it('leave a result out for want of an optional input, which would widen the answer', () => {
    const answer = asked('made = parts()\nr = made.rest', 'r : in 1\na : in 1', { a: '2' });
    expect(answer.answers.map(({ name }) => name)).toEqual(['a']);
    expect(answer.wider).toEqual(['b']);
    expect(asked('made = parts()\nr = made.rest', 'r : in 1', { a: '2', b: '1' }).answers[0]!.value).toBe(1);
  });

  it('are not made for want of an input that they need', () => {
    const answer = asked('p = picky()', 'p : in 1\na : in 1', { a: '2' });
    expect(answer.answers.map(({ name }) => name)).toEqual(['a']);
    expect(answer.wider).toEqual(['b']);
  });

  it('leave a result out of their own accord, and then nothing is asked for', () => {
    const answer = asked('made = needy()\nlate = made.late', 'late : in 1\na : in 1', { a: '2', b: '1' });
    expect(answer.answers.map(({ name }) => name)).toEqual(['a']);
    expect(answer.wider).toEqual([]);
  });

  it('ask for the input that they need, not for one that they could do without', () => {
    const three = 'a : number from 0 to 9\nb : number from 0 to 9 optional\nc : number from 0 to 9 optional';
    const sheet = club({ readings: three, workings: 'made = needy()', answers: 'a : in 1\nsum : in 1 is made.sum' }, formulas);
    expect(answered(sheet, { a: '1' }).wider).toEqual(['b']);
    expect(answered(sheet, { a: '1', b: '2' }).answers[1]!.value).toBe(2);
  });

  it('forget that they refused once they no longer do', () => {
    const sheet = club({ readings: two, workings: 'p = picky()', answers: 'p : in 1' }, formulas);
    const state = newState(sheet.tape);
    const [a, b] = sheet.readings.map(({ slot }) => slot) as [number, number];
    [state.numbers[a], state.numbers[b]] = [5, 2];
    runAll(sheet.tape, state, formulas);
    expect(state.refused.filter(Boolean)).toHaveLength(1);
    state.numbers[b] = 7;
    runSome(sheet.tape, state, formulas, planFor(sheet.tape, b));
    expect(state.refused.filter(Boolean)).toEqual([]);
    expect(state.numbers[sheet.answers[0]!.slot]).toBe(2);
  });

  it('refuse with the reading to look at, all refusals at once, the same one once', () => {
    const sheet = club(
      { readings: two, workings: 'p = picky()\nq = picky()\nr = parts()', answers: 'p : in 1\nq : in 1\nw : in 1 is r.whole' },
      formulas,
    );
    const problems = refused(sheet, { a: '5', b: '2' });
    expect(textsOf(problems)).toEqual(['That does not work out: b is shorter than a.']);
    expect(problems[0]!.reading).toBe('b');
    expect(textsOf(refused(sheet, { a: '-5', b: '2' }))).toEqual(['That does not work out: a has to be above zero.']);
    const other = club(
      { readings: two, workings: 'p = picky()\nr = parts({a: a - 10})', answers: 'p : in 1\nw : in 1 is r.whole' },
      formulas,
    );
    expect(textsOf(refused(other, { a: '5', b: '2' }))).toHaveLength(2);
  });

  it('take lists and yes/no whole', () => {
    const sheet = club(
      {
        readings: 'points : list of mass in g from 1 g to 5 kg  at least 2\nyes : yes/no  default yes',
        workings: 't = told()',
        answers: 'sum : in g is t.sum',
      },
      formulas,
    );
    expectNear(answered(sheet, { points: '100 200 300' }).answers[0]!.value, 600, 1e-14);
    expectNear(answered(sheet, { points: '100 200 300', yes: 'no' }).answers[0]!.value, 1200, 1e-14);
  });
});
