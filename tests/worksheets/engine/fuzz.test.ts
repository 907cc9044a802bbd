/** Whatever is typed, pasted or sent: a value, a sentence, or a refused sheet; never another exception, never without end. */
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { answerLine, lineOut } from '../../../bot/transports/terminal/json.ts';
import type { Formula } from '../../../calc/formula.ts';
import { ask } from '../../../worksheets/engine/ask.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
import { readLine } from '../../../worksheets/engine/line.ts';
import { readList } from '../../../worksheets/engine/list.ts';
import { loadSheet, type ReadingSpec, type Sheet, SheetError } from '../../../worksheets/engine/notation.ts';
import { echo, nearest } from '../../../worksheets/engine/problem.ts';
import { type QuantitySpec, readQuantity } from '../../../worksheets/engine/quantity.ts';
import type { Answer, Problem, Problems } from '../../../worksheets/engine/types.ts';
import { kindNames, kind as kindOf, unit } from '../../../worksheets/engine/units.ts';
import { page } from '../../support/club-sheet.ts';

let formulas: ReadonlyMap<string, Formula>;
let sheets: ReadonlyMap<string, Sheet>;
let lists: readonly ReadingSpec[];
beforeAll(async () => {
  formulas = await loadFormulas();
  sheets = await loadSheets(formulas);
  lists = [...sheets.values()].flatMap(({ readings }) => readings.filter(({ type }) => type.kind === 'list'));
});

// What runs away takes minutes, and the test with it: vitest's own limit ends it.
const RUNS = { seed: 20260614, numRuns: 3000 };

/** Text of any kind, and text that nearly means something. */
const pieces = [
  '612', '0.612', '612,5', '1,234', '1 234', '1.234,5', '1e5', '1e400', '-', '−', '+', '±', '+/-', '(', ')', '%', 'g', 'kg', 'lb', 'oz', 'mm', 'in', '"', "'", '°C', '°F', 'K', 'N/mm', 'lbf/in',
  'kg·m²', 'm/s²', 'wt', 'pitch', 'mod', 'P', 's', '/', ':', ';', ',', '.', ' ', '\n', '\t', '\u00a0', '\u2009', '½', '²', '①', '６', '٢', '∞', 'NaN', 'e', 'x', '×', 'front_left', 'end', 'rear', '=', '`', '#', '--', '```',
  '{', '}', '[', ']', '<', '>', '&', '$', '@', '\\', '\u0000', '\u200b', '\u202e', '\ud83d', '🚚', 'constructor', '__proto__', 'toString', 'if', 'first', 'min(', 'sqrt(', 'pi', 'from', 'to', 'step', 'optional', 'default', 'list of', 'one of', 'within', '..',
] as const; // biome-ignore format: a table
const text = fc.oneof(
  { weight: 3, arbitrary: fc.array(fc.constantFrom(...pieces), { maxLength: 14 }).map((parts) => parts.join('')) },
  { weight: 2, arbitrary: fc.array(fc.constantFrom(...pieces), { maxLength: 10 }).map((parts) => parts.join(' ')) },
  { weight: 1, arbitrary: fc.string({ unit: 'binary', maxLength: 60 }) },
  { weight: 1, arbitrary: fc.string({ unit: 'grapheme', maxLength: 40 }) },
  // What is long: one piece over and over.
  {
    weight: 1,
    arbitrary: fc
      .tuple(fc.constantFrom(...pieces), fc.integer({ min: 1, max: 3000 }))
      .map(([piece, times]) => piece.repeat(times).slice(0, 10_000)),
  },
);

const UNITS: Readonly<Record<string, string>> = {
  mass: 'g',
  length: 'mm',
  time: 's',
  rate: 'N/mm',
  share: '%',
  temperature: '°C',
  viscosity: 'cSt',
  angle: 'deg',
  'gear module': 'mm',
  'gear pitch': '1/in',
  'motor constant': 'rpm/V',
};
const specs: readonly QuantitySpec[] = kindNames().map((name) => {
  const bare = unit(UNITS[name] ?? '1');
  const fits = bare && kindOf(name)!.dims.every((exponent, i) => exponent === bare.dims[i]);
  return {
    kind: name,
    unit: fits ? bare : { symbol: name, dims: kindOf(name)!.dims, factor: 1, offset: 0 },
    min: 0.001,
    max: 1e4,
    ...(name === 'count' ? { whole: true, said: ['s', 'cells'] } : {}),
  };
});

function expectSentence(problem: Pick<Problem, 'text'>): void {
  expect(problem.text).toMatch(/^\S.*[.?]$/su);
  expect(problem.text).not.toMatch(/undefined|\[object|[\n\r]/);
  expect(problem.text.length).toBeLessThan(1500);
}
function expectAnswerOrProblems(made: Answer | Problems): void {
  if (made.kind === 'problems') {
    expect(made.problems.length).toBeGreaterThan(0);
    made.problems.forEach(expectSentence);
    return;
  }
  for (const { name, value, why, uncertainty } of made.answers) {
    if (value === null) expect(why, name).toMatch(/./);
    if (typeof value === 'number') expect(Number.isFinite(value), name).toBe(true);
    if (uncertainty !== null) expect(uncertainty >= 0 && Number.isFinite(uncertainty), name).toBe(true);
  }
}

describe('whatever is typed', () => {
  it('for a number is a number in its range, or a slip', () => {
    fc.assert(
      fc.property(text, fc.constantFrom(...specs), fc.boolean(), (typed, spec, item) => {
        const read = readQuantity(typed, { ...spec, ...(item ? { item } : {}) });
        if ('slip' in read) {
          expectSentence({ text: `It ${read.slip.is}. ${read.slip.needs}` });
          return;
        }
        expect(read.ok.value * (1 + 1e-12)).toBeGreaterThanOrEqual(spec.min!);
        expect(read.ok.value * (1 - 1e-12)).toBeLessThanOrEqual(spec.max!);
        if (read.ok.plusMinus !== undefined) expect(read.ok.plusMinus).toBeGreaterThanOrEqual(0);
      }),
      { ...RUNS, numRuns: 20_000 },
    );
  });

  it('for a number means the same however often it is read, and with room around it', () => {
    fc.assert(
      fc.property(text, fc.constantFrom(...specs), (typed, spec) => {
        const once = readQuantity(typed, spec);
        expect(readQuantity(typed, spec)).toEqual(once);
        if ('ok' in once && typed.length < 190) expect(readQuantity(`  ${typed} `, spec)).toEqual(once);
      }),
      RUNS,
    );
  });

  it('for a list is rows, or a slip with its place', () => {
    fc.assert(
      fc.property(text, fc.nat(), (typed, i) => {
        const spec = lists[i % lists.length]!;
        const read = readList(typed, spec);
        if ('slip' in read) expectSentence({ text: `It ${read.slip.is}. ${read.slip.needs}` });
        else expect(read.ok.si).toHaveLength(read.ok.shown.length);
      }),
      { ...RUNS, numRuns: 10_000 },
    );
  });

  it('on a line is options of the names that there are, or problems', () => {
    fc.assert(
      fc.property(text, fc.nat(), (line, i) => {
        const sheet = [...sheets.values()][i % sheets.size]!;
        const names = [...sheet.readings.map(({ name }) => name), 'truck', 'end'];
        const read = readLine(line, { names, quick: sheet.quick });
        for (const name of Object.keys(read.options)) expect(names).toContain(name);
        read.problems.forEach(expectSentence);
      }),
      { ...RUNS, numRuns: 10_000 },
    );
  });

  it('in any reading of any sheet is answered or told', () => {
    fc.assert(
      fc.property(fc.nat(), fc.nat(), text, fc.string({ unit: 'binary', maxLength: 30 }), (i, j, typed, strange) => {
        const sheet = [...sheets.values()].filter(({ name }) => name !== 'ballast' && name !== 'launch')[i % (sheets.size - 2)]!;
        const reading = sheet.readings[j % sheet.readings.length]!.name;
        const readings = { ...sheet.example, [reading]: typed, ...(j % 5 === 0 ? { [strange]: typed } : {}) };
        expectAnswerOrProblems(ask(sheet, { readings, end: sheet.ends ? 'rear' : null }));
      }),
      RUNS,
    );
  });

  it('is echoed on one line, short and whole', () => {
    fc.assert(
      fc.property(text, (typed) => {
        expect(echo(typed)).toMatch(/^[^\p{Cc}\p{Cf}\p{Cs}]{0,40}$/u);
        expect(echo(typed).isWellFormed()).toBe(true);
        const like = nearest(typed, sheets.keys());
        if (like !== undefined) expect([...sheets.keys()]).toContain(like);
      }),
      RUNS,
    );
  });
});

describe('whatever is sent', () => {
  it('as a line is answered or told, in one line', () => {
    fc.assert(
      fc.property(fc.oneof(text, fc.json({ maxDepth: 4 })), (line) => {
        const made = answerLine(sheets, line);
        expectAnswerOrProblems(made);
        expect(lineOut(made)).not.toMatch(/[\n\r\u2028\u2029]/);
      }),
      { ...RUNS, numRuns: 5000 },
    );
  });

  it('as a question with anything in it is answered or told', () => {
    const anything = fc.oneof(text, fc.jsonValue({ maxDepth: 3 }), fc.double(), fc.integer());
    const question = fc.record(
      {
        sheet: fc.oneof(
          { weight: 6, arbitrary: fc.constantFrom('corners', 'gearing', 'press', 'coil', 'ride') },
          { weight: 1, arbitrary: anything },
        ),
        end: fc.oneof(fc.constantFrom('front', 'rear'), anything),
        readings: fc.oneof(
          {
            weight: 5,
            arbitrary: fc.dictionary(
              fc.oneof(
                fc.constantFrom(
                  'front_left',
                  'front_right',
                  'rear_left',
                  'rear_right',
                  'motor_kv',
                  'pinion',
                  'press_points',
                  'wire',
                  'ends',
                  'preload',
                  'end',
                  '__proto__',
                ),
                text,
              ),
              anything,
              { maxKeys: 6 },
            ),
          },
          { weight: 1, arbitrary: anything },
        ),
      },
      { requiredKeys: ['sheet'] },
    );
    fc.assert(
      fc.property(question, (asked) => {
        const line = JSON.stringify(asked);
        expectAnswerOrProblems(answerLine(sheets, line));
      }),
      { ...RUNS, numRuns: 5000 },
    );
  });
});

describe('whatever a club writes', () => {
  const load = (written: string): void => {
    try {
      const sheet = loadSheet('club.md', written, { formulas });
      expectAnswerOrProblems(ask(sheet, { readings: sheet.example }));
    } catch (error) {
      if (!(error instanceof SheetError)) throw error;
      expect(error.faults.length).toBeGreaterThan(0);
      for (const { line, reason } of error.faults) {
        expect(Number.isInteger(line) && line >= 1).toBe(true);
        expect(reason).toMatch(/^[^\n\r]{3,}$/);
      }
    }
  };
  const good = page({
    head: 'sheet: test\ntitle: Test\nsummary: S\nquick: a b\nhero: c\nexample: { a: "612", b: "2" }',
    readings:
      'a : mass in g  step 1 g  from 10 g to 5 kg  -- label\nb : 2 from 0 to 9\nc_d : one of x, y  default x\npoints : list of load mass in g from 0 g to 5 kg / height length in mm from 1 mm to 2 m  at least 2  optional',
    workings: 'c = a * b\nd = if(c > 1 kg, c, a)\nfit = press({press_points: points})\nr = fit.spring_rate',
    answers: 'c : in g within 1 g .. 2 kg\nd : in g\nr : in N/mm sd fit.spring_rate_error',
    curve: 'c, d over b from 0 to 9 by 1',
    cautions: 'c > 1 kg and b > 2 : It is `=c whole`.',
    next: 'c off target : `=a in kg`\nalways : Leave it.',
  }).text;

  it('nearly a sheet: a good one with pieces put in, taken out, turned round', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat(good.length), fc.nat(12), text), { minLength: 1, maxLength: 4 }), (changes) => {
        let written = good;
        for (const [at, out, piece] of changes) written = written.slice(0, at) + piece + written.slice(at + out);
        load(written);
      }),
      RUNS,
    );
  });

  it('a line of its own in any block', () => {
    fc.assert(
      fc.property(fc.constantFrom('readings', 'workings', 'answers', 'curve', 'cautions', 'next'), text, (block, line) => {
        load(good.replace(`\`\`\`${block}\n`, `\`\`\`${block}\n${line}\n`));
      }),
      { ...RUNS, numRuns: 6000 },
    );
  });

  it('a formula of any kind', () => {
    const sign = fc.constantFrom(
      'a',
      'b',
      'c',
      '1',
      '2.5',
      '0',
      'mm',
      'kg',
      'deg',
      '+',
      '-',
      '*',
      '/',
      '^',
      '(',
      ')',
      '{',
      '}',
      ',',
      '.',
      ':',
      '<',
      '>',
      '=',
      '!',
      ' ',
      'if(',
      'first(',
      'min(',
      'sqrt(',
      'sin(',
      'nominal(',
      'coil(',
      'press(',
      'to ',
      'in ',
      'mod ',
      'and ',
      'true',
      'pi',
      'e',
      'i',
      '_',
      '%',
      "'",
      '[',
      ']',
      ';',
      '#',
      '\u200b',
      'Ω',
      '×',
      '−',
    );
    fc.assert(
      fc.property(fc.array(sign, { minLength: 1, maxLength: 30 }), (signs) => load(good.replace('c = a * b', `c = ${signs.join('')}`))),
      { ...RUNS, numRuns: 8000 },
    );
  });

  it('any text at all', () => {
    fc.assert(fc.property(text, load), { ...RUNS, numRuns: 1000 });
    fc.assert(
      fc.property(text, (head) => load(good.replace(/^---[\s\S]*?---/, `---\n${head}\n---`))),
      RUNS,
    );
  });
});
