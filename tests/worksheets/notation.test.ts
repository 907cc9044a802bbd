import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Formula } from '../../calc/formula.ts';
import { CAPS } from '../../worksheets/engine/formula.ts';
import { loadFormulas } from '../../worksheets/engine/library.ts';
import { loadSheet, type Sheet, SheetError } from '../../worksheets/engine/notation.ts';
import { kindNames } from '../../worksheets/engine/units.ts';
import { answered, type Blocks, club, faultsOf, NO_FORMULAS, page, refused, textsOf } from '../support/club-sheet.ts';

let formulas: ReadonlyMap<string, Formula>;
beforeAll(async () => {
  formulas = await loadFormulas();
});

const NOTATION = readFileSync(new URL('../../worksheets/NOTATION.md', import.meta.url), 'utf8');
const nextOf = (sheet: Sheet, readings: Readonly<Record<string, string>>): string =>
  (answered(sheet, readings).next ?? []).map((part) => (typeof part === 'string' ? part : `${part.value} ${part.unit}`)).join('');

describe('every example of the page on the notation is run', () => {
  // The sheet between four backticks stands by itself; the blocks between three, outside it, make one sheet together.
  const own = /^````sheet\n([\s\S]*?)\n````$/m.exec(NOTATION)![1]!;
  const blocks = [...NOTATION.replace(/^````[\s\S]*?^````$/gm, '').matchAll(/^```(\w+)\n([\s\S]*?)\n```$/gm)].map(([, name, text]) => ({
    name: name!,
    text: text!,
  }));
  const put = (name: string): string =>
    blocks
      .filter((block) => block.name === name)
      .map(({ text }) => text)
      .join('\n');
  const together: Blocks = {
    readings: put('readings'),
    workings: put('workings'),
    answers: put('answers'),
    curve: put('curve'),
    cautions: put('cautions'),
    next: put('next'),
  };
  const readings = { front: '1217', rear: '1797', wheelbase: '330', points: '0/78 500/71.2 900/65.4', pitch: '48P', cells: '3s' };

  it('its first sheet loads, answers, and says what to do', () => {
    const sheet = loadSheet('lean.md', own, { formulas: NO_FORMULAS });
    expect(sheet.quick).toEqual(['left', 'right']);
    expect(answered(sheet, { left: '500', right: '500' }).answers[0]).toMatchObject({
      name: 'left_share',
      value: 50,
      verdict: 'on target',
    });
    expect(nextOf(sheet, { left: '600', right: '500' })).toBe('Move something from the heavy side: 1100 g in all.');
    expect(answered(sheet, { left: '500', right: '500' }).next).toBeNull();
  });

  it('it has an example of every block', () => {
    expect([...new Set(blocks.map(({ name }) => name))].sort()).toEqual([
      'answers',
      'cautions',
      'curve',
      'next',
      'readings',
      'refused',
      'workings',
    ]);
  });

  it('its blocks make one sheet together, and that one answers', () => {
    const sheet = club(together, formulas);
    const answer = answered(sheet, readings);
    const value = (name: string) => answer.answers.find((one) => one.name === name)?.value;
    expect(answer.answers.map(({ name }) => name)).toEqual(sheet.answers.map(({ name }) => name));
    expect(value('rear_share')).toBeCloseTo((100 * 1797) / 3014, 10);
    expect(value('total')).toBeCloseTo(3014, 9);
    expect(value('balance')).toBeCloseTo((330 * 1797) / 3014, 9);
    expect(value('tooth')).toBeCloseTo(25.4 / 48, 12);
    expect(value('cells')).toBe(3);
    expect(value('surface')).toBe('sand');
    expect(value('rear_heavy')).toBe(true);
    expect(answer.curves[0]!.x).toHaveLength(11);
    expect(nextOf(sheet, readings)).toBe('Leave it.');
    expect(nextOf(sheet, { ...readings, rear: '2600' })).toBe('Move something forward: 2.6 kg of 3817 g is on the rear.');
    expect(nextOf(sheet, { ...readings, front: '1797', rear: '1217' })).toBe('Move something back.');
    expect(answered(sheet, { ...readings, air: '5', rear: '6000' }).cautions).toHaveLength(2);
    expect(textsOf(refused(sheet, { ...readings, module: '0.5' }))).toEqual(['Give module or pitch, not both.']);
  });

  it('each of its refusals is one', () => {
    const written = put('refused').split('\n');
    expect(written.length).toBeGreaterThan(8);
    for (const formula of written) {
      const text = page({ ...together, workings: `${together.workings}\nmore = ${formula}` });
      const faults = faultsOf(text.text, formulas);
      expect(faults, formula).toHaveLength(1);
      expect(faults[0]!.line).toBe(text.lineOf('workings') + together.workings!.split('\n').length);
    }
  });

  it('it names every kind of reading, and no other', () => {
    const listed = /^Kinds: ([\s\S]*?)\./m.exec(NOTATION)![1]!.split(/,\s+/);
    expect([...listed].sort()).toEqual([...kindNames()].sort());
  });

  it('it states the caps as they are', () => {
    const { bytes, cells, characters, nodes, depth, points } = CAPS;
    expect(NOTATION).toContain(
      `${bytes / 1024} KiB (the head 8 KiB), ${cells} cells, ${characters} characters a formula, ${nodes} parts a formula, brackets ${depth} deep, ${points} points a curve.`,
    );
  });
});

describe('a wrong sheet is refused with file, line and reason', () => {
  const good = {
    readings: [
      'mass_a : mass in g  from 1 g to 5 kg',
      'long_b : length in mm  from 0 mm to 2 m',
      'plain  : number  from 0 to 9',
      'share_c : share in %  from 0 % to 100 %',
      'kind_d : one of sand, clay',
      'flag_e : yes/no  optional',
      'list_f : list of mass in g from 1 g to 5 kg  optional',
      'warm_g : temperature in °C  from -30 °C to 150 °C  optional',
    ].join('\n'),
    workings: 'sum = mass_a + mass_a\nyes = mass_a > 2 g',
    answers: 'sum : in g  within 1 g .. 2 g\nyes : yes/no',
  };
  /** One line put behind the good ones of its block; the fault is on that line. */
  const wrong = (block: 'readings' | 'workings' | 'answers' | 'curve' | 'cautions' | 'next', line: string) => {
    const before = (good as Blocks)[block];
    const blocks: Blocks = { ...good, [block]: before === undefined ? line : `${before}\n${line}` };
    const { text, lineOf } = page(blocks);
    return { faults: faultsOf(text, formulas), line: lineOf(block) + (before?.split('\n').length ?? 0) };
  };

  it('is right as it stands', () => {
    expect(answered(club(good), { mass_a: '612', long_b: '1', plain: '1', share_c: '5', kind_d: 'sand' }).answers).toHaveLength(2);
  });

  it.each([
    // names
    ['readings', 'Front : mass in g from 1 g to 2 g', '"Front" is no name for a cell: small letters, digits and _, at most 32'],
    ['readings', '2nd : mass in g from 1 g to 2 g', '"2nd" is no name for a cell: small letters, digits and _, at most 32'],
    [
      'readings',
      `${'a'.repeat(33)} : mass in g from 1 g to 2 g`,
      `"${'a'.repeat(33)}" is no name for a cell: small letters, digits and _, at most 32`,
    ],
    ['readings', '__proto__ : mass in g from 1 g to 2 g', '"__proto__" is no name for a cell: small letters, digits and _, at most 32'],
    ['readings', 'mm : mass in g from 1 g to 2 g', 'a cell may not be called like the unit or constant mm'],
    ['readings', 'pi : mass in g from 1 g to 2 g', 'a cell may not be called like the unit or constant pi'],
    ['readings', 'rev : mass in g from 1 g to 2 g', 'a cell may not be called like the unit or constant rev'],
    ['readings', 'min : mass in g from 1 g to 2 g', 'a cell may not be called like the unit or constant min'],
    ['readings', 'max : mass in g from 1 g to 2 g', 'a cell may not be called like the function max'],
    ['readings', 'sqrt : mass in g from 1 g to 2 g', 'a cell may not be called like the function sqrt'],
    ['readings', 'nominal : mass in g from 1 g to 2 g', 'a cell may not be called like the function nominal'],
    ['readings', 'to : mass in g from 1 g to 2 g', 'a cell may not be called like the function to'],
    ['readings', 'true : mass in g from 1 g to 2 g', 'a cell may not be called true: formulas read that as something else'],
    ['readings', 'and : mass in g from 1 g to 2 g', 'a cell may not be called and: formulas read that as something else'],
    ['readings', 'end : mass in g from 1 g to 2 g', 'a reading may not be called end: every command has an option of that name'],
    ['readings', 'truck : text', 'a reading may not be called truck: every command has an option of that name'],
    ['readings', 'mass_a : mass in g from 1 g to 2 g', 'mass_a is there already'],
    ['workings', 'sum = 2 g', 'sum is there already'],
    ['workings', 'mass_a = 2 g', 'mass_a is there already'],
    // readings
    ['readings', 'x mass in g', 'a reading is written "name : what it is"'],
    ['readings', 'x : weight in g from 1 g to 2 g', 'there is no kind of reading "weight"'],
    ['readings', 'x : lenght in mm from 1 mm to 2 mm', 'there is no kind of reading "lenght"; did you mean length?'],
    ['readings', 'x : mass in g', 'a number has a range: from … to …'],
    ['readings', 'x : mass from 1 to 2', 'say what a bare number is in: mass in …'],
    ['readings', 'x : mass in gg from 1 to 2', 'there is no unit gg'],
    ['readings', 'x : mass in mm from 1 to 2', 'mm is length (m), not mass'],
    ['readings', 'x : mass in g from 1 g', 'a range is written "from 10 g to 5 kg"'],
    ['readings', 'x : mass in g from 2 g to 1 g', 'the range ends below its start'],
    ['readings', 'x : mass in g from 1 mm to 2 mm', 'the range: "1 mm" is a length, not a mass'],
    ['readings', 'x : mass in g from 1,234 g to 2 kg', 'the range: "1,234 g" can be read two ways'],
    ['readings', 'x : mass in g from 1±1 g to 2 kg', 'the range: "1±1 g" has a ±'],
    ['readings', 'x : 1 gg from 0 to 2', 'there is no unit gg'],
    ['readings', 'x : 3 g from 1 g to 2 g', 'the default "3 g" is out. Give 1 to 2 g.'],
    ['readings', 'x : mass in g from 1 g to 2 g default 3 g', 'the default "3 g" is out. Give 1 to 2 g.'],
    ['readings', 'x : count in 1 whole from 1 to 12 default 2.5', 'the default "2.5" is not a whole number. Give 1 to 12, whole.'],
    ['readings', 'x : mass in g from 1 g to 2 g optional default 1 g', 'an optional reading has no default'],
    ['readings', 'x : 1 g from 1 g to 2 g optional', 'an optional reading has no default'],
    ['readings', 'x : mass in g from 1 g to 2 g from 1 g to 3 g', 'from stands twice'],
    ['readings', 'x : mass in g from 1 g to 2 g chosen well', 'nothing stands behind chosen; "well" is no clause'],
    ['readings', 'x : yes/no chosen', 'chosen stands only on a number'],
    ['readings', 'x : mass in g from 1 g to 2 g optional please', 'nothing stands behind optional; "please" is no clause'],
    ['readings', 'x : mass in g from 1 g to 2 g step', 'something is missing behind step'],
    ['readings', 'x : mass in g step 1 mm from 1 g to 2 g', '"1 mm" is length (m), not mass (kg)'],
    ['readings', 'x : mass in g step none from 1 g to 2 g', 'there is no cell none above this line'],
    ['readings', 'x : mass in g ± long_b from 1 g to 2 g', '"long_b" is length (m), not mass (kg)'],
    ['readings', 'x : mass in g sd kind_d from 1 g to 2 g', '"kind_d" is a choice, not mass (kg)'],
    ['readings', 'x : yes/no default maybe', 'the default is one of yes, no'],
    ['readings', 'x : yes/no from 1 to 2', 'from stands only on a number'],
    ['readings', 'x : one of a, b step 1', 'step stands only on a number'],
    ['readings', 'x : one of a, b default c', 'the default is one of a, b'],
    ['readings', 'x : one of Sand, clay', '"Sand" is no choice: small letters, digits and _, at most 32'],
    ['readings', `x : one of ${'a'.repeat(33)}, b`, `"${'a'.repeat(33)}" is no choice: small letters, digits and _, at most 32`],
    ['readings', 'x : one of sand, sand', 'a choice stands twice'],
    ['readings', `x : one of ${Array.from({ length: 26 }, (_, i) => `c${i}`).join(', ')}`, 'there are at most 25 choices'],
    ['readings', 'x : list of mass in g', 'a number has a range: from … to …'],
    [
      'readings',
      'x : list of load mass in g from 1 g to 2 g / Height length in mm from 1 mm to 2 mm',
      '"Height length in mm from 1 mm to 2 mm" is no part of a list: write its name, then what it is',
    ],
    ['readings', 'x : list of a mass in g from 1 g to 2 g / a length in mm from 1 mm to 2 mm', 'two parts of the list have one name'],
    ['readings', 'x : list of mass in g from 2 g to 1 g', 'the range ends below its start'],
    ['readings', 'exactly one of mass_a', '"exactly one of" names two different readings or more'],
    ['readings', 'exactly one of mass_a, mass_a', '"exactly one of" names two different readings or more'],
    ['readings', 'exactly one of mass_a, mass_x', '"exactly one of" names mass_x, which is no reading'],
    ['readings', `x : mass in g from 1 g to 2 g -- ${'l'.repeat(81)}`, 'a label has at most 80 characters'],
    // workings: what a formula may be
    ['workings', 'x', 'a working is written "name = formula"'],
    ['workings', 'x == 2', 'a working is written "name = formula"'],
    ['workings', 'x = ', 'a working is written "name = formula"'],
    ['workings', 'x = 50 %', '% does not stand in a formula: write 0.01, or a share'],
    ['workings', 'x = share_c - 50 %', '% does not stand in a formula: write 0.01, or a share'],
    ['workings', 'x = plain % 2', '% does not stand in a formula: write 0.01, or a share'],
    ['workings', 'x = mass_a / 2 mm', '"a / 2 mm" can be read two ways: write a / (2 mm) or (a / 2) * 1 mm'],
    ['workings', 'x = 6 mm / 2 mm', '"a / 2 mm" can be read two ways: write a / (2 mm) or (a / 2) * 1 mm'],
    ['workings', 'x = 1/2 mm', 'write every × : names and brackets that stand side by side are not multiplied'],
    ['workings', 'x = 2 plain', 'write every × : a number and a name that stand side by side are not multiplied'],
    ['workings', 'x = plain plain', 'write every × : names and brackets that stand side by side are not multiplied'],
    ['workings', 'x = 2 (plain)', 'write every × : a number and a name that stand side by side are not multiplied'],
    ['workings', 'x = (2) mm', 'write every × : names and brackets that stand side by side are not multiplied'],
    ['workings', 'x = 2 mm mm', 'write every × : names and brackets that stand side by side are not multiplied'],
    ['workings', 'x = 2 pi', 'write every × : a number and a name that stand side by side are not multiplied'],
    ['workings', 'x = mm', 'the unit mm stands only behind a number: "1 mm"'],
    ['workings', 'x = plain * mm', 'the unit mm stands only behind a number'],
    ['workings', 'x = plain * 2 m/s', 'the unit s stands only behind a number'],
    ['workings', 'x = gramm', 'there is no cell gramm above this line'],
    ['workings', 'x = smu', 'there is no cell smu; did you mean sum?'],
    ['workings', 'x = x + 1', 'there is no cell x above this line'],
    ['workings', 'x = mass_a in kg', 'write "to" in front of a unit, not "in"'],
    ['workings', 'x = mass_a to mm', 'this is mass (kg), not length (m)'],
    ['workings', 'x = mass_a to plain', 'behind "to" stands a unit'],
    ['workings', 'x = 0x10', 'numbers are written in tens: 16, not 0x10'],
    ['workings', 'x = 1e999', 'only numbers stand in a formula'],
    ['workings', 'x = 1e308 km', 'this number is too large'],
    ['workings', 'x = 1,5', 'this is no formula (Unexpected operator , (char 2))'],
    ['workings', 'x = (1', 'this is no formula (Parenthesis ) expected (char 3))'],
    ['workings', 'x = 1 < 2 < 3', 'a chain of comparisons does not stand in a formula'],
    // workings: dimensions
    ['workings', 'x = mass_a + long_b', 'the two sides of + differ: mass (kg) and length (m)'],
    ['workings', 'x = mass_a - 2', 'the two sides of - differ: mass (kg) and a plain number'],
    ['workings', 'x = mass_a > long_b', 'the two sides of > differ: mass (kg) and length (m)'],
    ['workings', 'x = min(mass_a, long_b)', 'the values of min( ) differ: mass (kg) and length (m)'],
    ['workings', 'x = first(mass_a, 2)', 'the values of first( ) differ: mass (kg) and a plain number'],
    ['workings', 'x = if(yes, mass_a, long_b)', 'the two values of if( ) differ: mass (kg) and length (m)'],
    ['workings', 'x = sin(plain)', 'sin( ) takes angle (rad), not a plain number'],
    ['workings', 'x = sin(1)', 'sin( ) takes angle (rad), not a plain number'],
    ['workings', 'x = asin(1 deg)', 'asin( ) takes a plain number, not angle (rad)'],
    ['workings', 'x = exp(mass_a)', 'exp( ) takes a plain number, not mass (kg)'],
    ['workings', 'x = round(mass_a)', 'round( ) takes a plain number, not mass (kg)'],
    ['workings', 'x = mass_a ^ plain', 'a quantity with a unit takes a written number as its exponent'],
    ['workings', 'x = plain ^ mass_a', 'an exponent is a plain number'],
    ['workings', 'x = mass_a ^ 13', 'the exponent of a quantity with a unit is at most 12'],
    ['workings', 'x = yes + 1', 'the two sides of + takes numbers, not yes or no'],
    ['workings', 'x = -yes', 'a minus takes numbers, not yes or no'],
    ['workings', 'x = kind_d + 1', 'kind_d is no number: only numbers go into arithmetic'],
    ['workings', 'x = list_f * 2', 'list_f is no number: only numbers go into arithmetic'],
    ['workings', 'x = if(plain, 1, 2)', 'the first thing in if( ) is a comparison or a yes/no'],
    ['workings', 'x = if(yes)', 'if( ) takes a condition, a value and, if there is one, another value'],
    ['workings', 'x = min(mass_a)', 'min( ) takes two values or more'],
    ['workings', 'x = sqrt(1, 2)', 'sqrt( ) takes one number'],
    ['workings', 'x = nominal(1, 2)', 'nominal( ) takes one value'],
    // workings: calls of calc
    ['workings', 'x = ride_frequncy()', 'there is no function ride_frequncy; did you mean ride_frequency?'],
    ['workings', 'x = wheelRate()', 'there is no function wheelRate; did you mean wheel_rate?'],
    ['workings', 'x = wheel_rate()', 'wheel_rate() needs a cell spring_rate'],
    ['workings', 'x = wheel_rate(mass_a)', 'wheel_rate() takes nothing, or one {name: value, …}'],
    [
      'workings',
      'x = wheel_rate({spring_rate: mass_a, motion_ratio: 1})',
      'wheel_rate() takes spring_rate as rate (kg·s^-2), not mass (kg)',
    ],
    ['workings', 'x = wheel_rate({spring_rat: mass_a})', 'wheel_rate() has no input spring_rat; did you mean spring_rate?'],
    ['workings', 'x = wheel_rate({springRate: mass_a})', 'wheel_rate() has no input springRate; did you mean spring_rate?'],
    ['workings', 'x = wheel_rate({motion_ratio: 1, motion_ratio: 2, spring_rate: 1 N/mm})', 'an input of a call is given twice'],
    ['workings', 'x = press({press_points: list_f})', 'press() takes press_points as a list of at least 2 with the parts load, height'],
    ['workings', 'x = press({press_points: mass_a})', 'press() takes press_points as a list of at least 2 with the parts load, height'],
    ['workings', 'x = plain.y', 'only a call that gives several results has .y'],
    ['workings', 'x = plain["y"]', '"[" does not stand in a formula'],
    // answers
    ['answers', 'smu : in g', 'there is no cell smu; did you mean sum?'],
    ['answers', 'sum : in kg', 'sum is there already'],
    ['answers', 'mass_a : in mm', 'mass_a is mass (kg), not length (m)'],
    ['answers', 'mass_a : in gg', 'there is no unit gg'],
    ['answers', 'mass_a', 'mass_a is mass (kg), not a plain number: say in which unit'],
    ['answers', 'mass_a : in g within 1 g', 'an answer is written "name : in unit within low .. high"'],
    ['answers', 'mass_a : in g within 2 g .. 1 g', 'the band ends below its start'],
    ['answers', 'mass_a : in g within 1 mm .. 2 mm', '"1 mm" is length (m), not mass (kg)'],
    ['answers', 'mass_a : in g within long_b .. 2 g', '"long_b" is length (m), not mass (kg)'],
    ['answers', 'mass_a : in g sd long_b', '"long_b" is length (m), not mass (kg)'],
    ['answers', 'mass_a : in g verdict kind_d.x', 'only a call that gives several results has .x'],
    ['answers', 'flag_e : in g', 'flag_e is yes/no: write "flag_e : yes/no", without "in g"'],
    ['answers', 'kind_d : yes/no', 'kind_d is a choice: write "kind_d : text", without "yes/no"'],
    ['answers', 'list_f : in g', 'list_f is a list; an answer is a number, a word or yes/no'],
    ['answers', 'mass_a : in g is plain', 'mass_a is a cell already: leave out "is plain", or call it something else'],
    ['answers', `mass_a : in g -- ${'l'.repeat(81)}`, 'a label has at most 80 characters'],
    // curves
    ['curve', 'sum over mass_a', 'a curve is written "answers over reading from … to … by …" or "columns over column of table"'],
    ['curve', 'sum over total from 1 g to 2 g by 1 g', 'a curve goes over a reading that is a number; total is none'],
    ['curve', 'sum over kind_d from 1 g to 2 g by 1 g', 'a curve goes over a reading that is a number; kind_d is none'],
    ['curve', 'yes over mass_a from 1 g to 2 g by 1 g', 'a curve shows answers that are numbers; yes is none'],
    ['curve', 'mass_a over mass_a from 1 g to 2 g by 1 g', 'a curve shows answers that are numbers; mass_a is none'],
    ['curve', 'sum over mass_a from 1 mm to 2 g by 1 g', '"1 mm" is length (m), not mass (kg)'],
    ['curve', 'sum over mass_a from 1 g to long_b by 1 g', '"long_b" is length (m), not mass (kg)'],
    ['curve', 'sum over mass_a from 1 g to 2 g by 0 g', 'the step of a curve is above zero'],
    ['curve', 'sum over mass_a from 2 g to 1 g by 1 g', 'the curve ends below its start'],
    ['curve', 'sum over mass_a from 1 g to 202 g by 1 g', 'a curve may have 200 points'],
    ['curve', 'speed in km/h over time in s of sum', 'sum is no table'],
    // sentences
    ['cautions', 'always', 'write "condition : sentence" ("always : …" where it always holds)'],
    ['cautions', 'mass_a : Heavy.', '"mass_a" is no condition: a comparison or a yes/no'],
    ['cautions', 'smu > 2 g : Heavy.', 'there is no cell smu; did you mean sum?'],
    ['cautions', 'mass_a off target : Heavy.', 'mass_a has no band, so no verdict'],
    ['cautions', 'always : It is `=smu`.', 'there is no cell smu; did you mean sum?'],
    ['cautions', 'always : It is `=mass_a`.', 'mass_a is mass (kg): write `=mass_a in …` with a unit of it'],
    ['cautions', 'always : It is `=mass_a in mm`.', 'mass_a is mass (kg): write `=mass_a in …` with a unit of it'],
    ['cautions', 'always : It is `=list_f`.', 'list_f is a list, which does not stand in a sentence'],
    ['cautions', 'always : It is `=kind_d in g`.', 'kind_d is a choice, which has no unit'],
    ['next', 'always : It is `=sum g`.', 'a live value is written `=name`, `=name in unit` or `=name whole`'],
    ['next', 'always : It is `=mass_a + 1`.', 'a live value is written `=name`, `=name in unit` or `=name whole`'],
  ] as const)('%s: %s', (block, line, reason) => {
    const { faults, line: number } = wrong(block, line);
    expect(faults).toEqual([{ line: number, reason }]);
  });

  it('a default in "exactly one of" is refused', () => {
    const { text, lineOf } = page({ ...good, readings: `${good.readings}\nx : 1 g from 1 g to 2 g\nexactly one of x, mass_a` });
    expect(faultsOf(text)).toEqual([{ line: lineOf('readings') + 9, reason: 'x has a default, so it is always there: it is no choice' }]);
  });

  it('a step, a ± and a band on a temperature are read as what they are', () => {
    const sheet = club({
      readings: 'air : temperature in °C  step 1 °C  from -30 °C to 150 °C\nlimit : temperature in °F  ± 9 °F  from 0 °F to 300 °F',
      workings: 'warm = air',
      answers: 'warm : in °C  within 15 °C .. 25 °C\nlimit : in °C',
      curve: 'warm over air from 0 °C to 40 °C by 10 °C',
    });
    const answer = answered(sheet, { air: '20', limit: '212' });
    // Rectangular: 1/√12 of a kelvin, and 5 K/√3; shown with k = 2.
    expect(answer.readings[0]!.uncertainty).toBeCloseTo(2 / Math.sqrt(12), 12);
    expect(answer.answers[0]).toMatchObject({ verdict: 'on target' });
    expect(answer.answers[0]!.band!.low).toBeCloseTo(15, 12);
    expect(answer.answers[0]!.band!.high).toBeCloseTo(25, 12);
    expect(answer.answers[1]!.value).toBeCloseTo(100, 12);
    expect(answer.answers[1]!.uncertainty).toBeCloseTo(10 / Math.sqrt(3), 12);
    expect(answer.curves[0]!.x.map((x) => Math.round(x))).toEqual([0, 10, 20, 30, 40]);
    const [fault] = faultsOf(page({ readings: 'air : temperature in °C  step 1 g  from -30 °C to 150 °C', answers: 'air : in °C' }).text);
    expect(fault!.reason).toContain('"1 g" is mass (kg), not temperature (K)');
  });

  it('tells all faults at once, in the order of the page, each with its line', () => {
    const { text, lineOf } = page({
      readings: 'a : mass in g from 1 g to 2 g\nb : masss in g from 1 g to 2 g',
      workings: 'c = a + 1\nd = a +\ne = a * 2',
      answers: 'e : in mm\na : in g',
      next: 'a off target : Hm.',
    });
    expect(faultsOf(text).map(({ line }) => line)).toEqual([
      lineOf('readings') + 1,
      lineOf('workings'),
      lineOf('workings') + 1,
      lineOf('answers'),
      lineOf('next'),
    ]);
    expect(() => loadSheet('lean.md', text, { formulas })).toThrow(
      `lean.md:${lineOf('readings') + 1}: there is no kind of reading "masss"; did you mean mass?\nlean.md:${lineOf('workings')}: the two sides of + differ: mass (kg) and a plain number`,
    );
  });

  it('does not tell what only follows from another fault', () => {
    const { text, lineOf } = page({
      head: 'sheet: test\ntitle: T\nsummary: S\nhero: share\nquick: a b',
      readings: 'a : weight in g from 1 g to 2 g\nb : mass in g from 1 g to 2 g\nexactly one of a, b',
      workings: 'sum = a + b\nshare = b / sum\nrun = wheel_rate({spring_rate: sum, motion_ratio: 1})\nrest = run.x + sum',
      answers: 'share : in %\nsum : in g within 1 g .. 2 g\nrest : in g',
      curve: 'share over a from 1 g to 2 g by 1 g',
      cautions: 'sum off target : Hm.\nsum > 2 g : It is `=sum`, `=share`.',
      next: 'always : `=rest`',
    });
    expect(faultsOf(text, formulas)).toEqual([{ line: lineOf('readings'), reason: 'there is no kind of reading "weight"' }]);
  });
});

describe('the head is refused with its line', () => {
  const body = page({ readings: 'a : 1 from 0 to 2', answers: 'a : in 1' }).text.replace(/^---[\s\S]*?---\n/, '');
  const withHead = (head: string): string => `---\n${head}\n---\n${body}`;
  it.each([
    ['title: T\nsummary: S', 2, 'the head needs sheet: a text of at most 32 characters'],
    ['sheet: Lean\ntitle: T\nsummary: S', 2, '"Lean" is no name for a sheet: small letters, digits and _'],
    ['sheet: test\nsummary: S', 2, 'the head needs title: a text of at most 60 characters'],
    [`sheet: test\ntitle: ${'t'.repeat(61)}\nsummary: S`, 3, 'the head needs title: a text of at most 60 characters'],
    [`sheet: test\ntitle: T\nsummary: ${'t'.repeat(101)}`, 4, 'the head needs summary: a text of at most 100 characters'],
    ['sheet: test\ntitle: T\nsummary: S\nheroes: a', 5, 'the head has no heroes; did you mean hero?'],
    ['sheet: test\ntitle: T\nsummary: S\n__proto__: a', 5, 'the head has no __proto__'],
    ['sheet: test\ntitle: T\nsummary: S\nhero: b', 1, 'the head names an answer b that is not there'],
    ['sheet: test\ntitle: T\nsummary: S\nquick: a b', 1, 'the head names a reading b that is not there'],
    ['sheet: test\ntitle: T\nsummary: S\nquick: a a', 1, 'quick in the head names a reading twice'],
    ['sheet: test\ntitle: T\nsummary: S\nexample: { b: "1" }', 1, 'the head names a reading b that is not there'],
    ['sheet: test\ntitle: T\nsummary: S\nexample: { a: [1, 2] }', 5, 'example in the head is "reading: value" lines'],
    ['sheet: test\ntitle: T\nsummary: S\nexample: a', 5, 'example in the head is "reading: value" lines'],
    ['sheet: test\ntitle: T\nsummary: S\nends: "yes"', 5, 'ends in the head is true or false'],
    ['sheet: test\ntitle: T\nsummary: S\nfirst: 1', 5, 'first in the head is true or false'],
    ['sheet: test\ntitle: T\nsummary: S\nasks: [1]', 5, 'asks in the head is a text, or a list of texts'],
    ['- sheet', 2, 'the head is a list of "name: value"'],
  ])('%s', (head, line, reason) => {
    expect(faultsOf(withHead(head))).toEqual([{ line, reason }]);
  });

  it.each([
    ['', 'a sheet starts with a head between two lines of ---'],
    ['# Lean\n', 'a sheet starts with a head between two lines of ---'],
    ['---\nsheet: test\n', 'a sheet starts with a head between two lines of ---'],
  ])('no head: "%s"', (text, reason) => {
    expect(faultsOf(text)).toEqual([{ line: 1, reason }]);
  });

  it('YAML that is none, and aliases that multiply, are refused in one sentence', () => {
    const bomb = 'a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nsheet: *c';
    for (const head of ['sheet: "x', bomb, 'a: 1\na: 2', '"a\\nb": 1']) {
      const faults = faultsOf(withHead(head));
      expect(faults.length).toBeGreaterThan(0);
      for (const { reason } of faults) expect(reason).toMatch(/^the head (is no YAML: |has no |needs )[^\n]*$/);
    }
  });

  it.each([
    // Each of these takes the parser of YAML minutes, or the process with it, when it is let through.
    ['brackets', '['.repeat(8000)],
    ['braces', '{'.repeat(8000)],
    ['braces in braces', `a: ${'{a: '.repeat(1600)}`],
    ['dashes', '- '.repeat(4000)],
    ['question marks', `a:\n  ${'? '.repeat(4000)}`],
    ['both by turns', '[{'.repeat(4000)],
    ['brackets behind a text', `sheet: "x" ${'['.repeat(100)}`],
  ])('nests without end are refused before they are read: %s', (_, head) => {
    expect(faultsOf(withHead(head))).toEqual([{ line: 2, reason: 'the head nests too deeply' }]);
  });

  it('a head has its own cap, and room for brackets in its words', () => {
    expect(faultsOf(withHead(`sheet: test\n${'# x\n'.repeat(2100)}`))).toEqual([{ line: 2, reason: 'the head may have 8 KiB' }]);
    const sheet = loadSheet('t.md', withHead('sheet: test\ntitle: "T [1] {2}"\nsummary: "- - -"'), { formulas: NO_FORMULAS });
    expect(sheet).toMatchObject({ title: 'T [1] {2}', summary: '- - -' });
  });

  it('its example may have numbers, and its words stay as they are', () => {
    const sheet = loadSheet('t.md', withHead('sheet: test\ntitle: "T: x"\nsummary: S\nasks: How much?\nexample: { a: 2 }'), {
      formulas: NO_FORMULAS,
    });
    expect(sheet).toMatchObject({
      title: 'T: x',
      asks: ['How much?'],
      example: { a: '2' },
      hero: 'a',
      first: false,
      ends: false,
      group: 'club',
    });
  });
});

describe('the page around the blocks', () => {
  const blocks = { readings: 'a : 1 from 0 to 2 -- how much', answers: 'a : in 1' };

  it('may have prose anywhere, other fences, line ends of any kind, and a mark at its start', () => {
    const { text } = page(blocks);
    const prose = text.replace(
      '```answers',
      '\nProse with `code` and **words**.\n\n```js\nalert(1)\n```\n\n~~~text\n```answers\n~~~\n\n```answers',
    );
    for (const written of [prose, prose.replaceAll('\n', '\r\n'), `\ufeff${prose}`]) {
      const sheet = loadSheet('t.md', written, { formulas: NO_FORMULAS });
      expect(sheet.page.map((part) => (part.kind === 'block' ? part.block : 'prose'))).toEqual(['readings', 'prose', 'answers']);
      expect(sheet.readings[0]!.label).toBe('how much');
    }
  });

  it('blocks of one name are put together, in their order', () => {
    const { text } = page({ ...blocks, workings: 'b = a * 2' });
    const sheet = loadSheet('t.md', `${text}\n\`\`\`workings\nc = b * 2\n\`\`\`\n\`\`\`answers\nc : in 1\n\`\`\`\n`, {
      formulas: NO_FORMULAS,
    });
    expect(answered(sheet, { a: '2' }).answers.map(({ value }) => value)).toEqual([2, 8]);
    expect(sheet.workings.map(({ name }) => name)).toEqual(['b', 'c']);
  });

  it('a block with a mistyped name is told; a fence of another language is prose', () => {
    const { text } = page(blocks);
    const line = text.split('\n').length;
    expect(faultsOf(`${text}\`\`\`wrokings\nx = 1\n\`\`\`\n`)).toEqual([
      { line, reason: 'there is no block wrokings; did you mean workings?' },
    ]);
    expect(faultsOf(`${text}\`\`\`workings here\nx = 1\n\`\`\`\n`)).toEqual([
      { line, reason: 'there is no block workings here; did you mean workings?' },
    ]);
    expect(loadSheet('t.md', `${text}\`\`\`python\nimport os\n\`\`\`\n`, { formulas: NO_FORMULAS }).workings).toEqual([]);
  });

  it('a sheet without an answer is none', () => {
    expect(faultsOf(page({ readings: 'a : 1 from 0 to 2' }).text)).toEqual([{ line: 1, reason: 'a sheet has at least one answer' }]);
  });

  it('HTML in the prose is prose', () => {
    const { text } = page(blocks);
    const sheet = loadSheet('t.md', `${text}\n<script>alert(1)</script>\n`, { formulas: NO_FORMULAS });
    expect(sheet.page.at(-1)).toEqual({ kind: 'prose', markdown: '<script>alert(1)</script>' });
  });
});

describe('caps', () => {
  const withWorkings = (workings: string): string => page({ readings: 'a : 1 from 0 to 2', workings, answers: 'a : in 1' }).text;
  const reasons = (text: string, caps = CAPS): string[] => faultsOf(text, NO_FORMULAS, caps).map(({ reason }) => reason);

  it('32 KiB', () => {
    const { text } = page({ readings: 'a : 1 from 0 to 2', answers: 'a : in 1' });
    const filled = (bytes: number): string => `${text}${'é'.repeat((bytes - Buffer.byteLength(text)) / 2)}`;
    const even = 32 * 1024 - (Buffer.byteLength(text) % 2);
    expect(loadSheet('t.md', filled(even), { formulas: NO_FORMULAS }).name).toBe('test');
    expect(reasons(filled(even + 2))).toEqual(['a sheet may have 32 KiB']);
  });

  it('300 cells', () => {
    const cells = (count: number): string => Array.from({ length: count }, (_, i) => `c${i} = a + 1`).join('\n');
    expect(loadSheet('t.md', withWorkings(cells(299)), { formulas: NO_FORMULAS }).workings).toHaveLength(299);
    expect(reasons(withWorkings(cells(300)))).toEqual(['a sheet may have 300 cells']);
  });

  it('400 characters, 150 parts, brackets 20 deep', () => {
    const sum = (parts: number): string => `x = ${Array.from({ length: parts }, () => 'a').join('+')}`;
    expect(loadSheet('t.md', withWorkings(sum(75)), { formulas: NO_FORMULAS }).workings).toHaveLength(1);
    expect(reasons(withWorkings(sum(76)))).toEqual(['a formula may have 150 parts']);
    expect(reasons(withWorkings(`x = a ${' '.repeat(400)}+ 1`))).toEqual(['a formula may have 400 characters']);
    const deep = (brackets: number): string => `x = ${'('.repeat(brackets)}a${')'.repeat(brackets)}`;
    expect(loadSheet('t.md', withWorkings(deep(20)), { formulas: NO_FORMULAS }).workings).toHaveLength(1);
    expect(reasons(withWorkings(deep(21)))).toEqual(['a formula may have brackets 20 deep']);
  });

  it('200 points a curve, counted where the bounds are formulas too', () => {
    const sheet = club({
      readings: 'a : number from 0 to 1000',
      workings: 'b = a * 2',
      answers: 'b : in 1',
      curve: 'b over a from a - 500 to a + 500 by 1',
    });
    const [curve] = answered(sheet, { a: '500' }).curves;
    expect(curve!.x).toHaveLength(200);
    expect(curve!.x[0]).toBe(0);
  });

  it('are arguments: a bench may go further', () => {
    const more = { ...CAPS, cells: 20_000, bytes: 10_000_000, characters: 10_000, nodes: 5_000, depth: 600 };
    const cells = Array.from({ length: 10_000 }, (_, i) => `c${i} = ${i === 0 ? 'a' : `c${i - 1}`} + 1`).join('\n');
    const sheet = club({ readings: 'a : 1 from 0 to 2', workings: cells, answers: 'c9999 : in 1' }, NO_FORMULAS, more);
    expect(answered(sheet, { a: '1' }).answers[0]!.value).toBe(10_001);
  });

  it('what the tape cannot hold at once is refused, not miscounted', () => {
    const more = { ...CAPS, characters: 10_000, nodes: 5_000, depth: 600 };
    const nested = (depth: number): Blocks => ({
      readings: 'a : 1 from 0 to 2',
      workings: `x = ${'a+('.repeat(depth)}a${')'.repeat(depth)}`,
      answers: 'x : in 1',
    });
    expect(answered(club(nested(511), NO_FORMULAS, more), { a: '1' }).answers[0]!.value).toBe(512);
    expect(reasons(page(nested(512)).text, more)[0]).toBe('this formula holds too much at once: split it into workings');
  });
});

describe('hostile formulas are refused at once, with a sentence, and none is evaluated', () => {
  const formulasOf: readonly string[] = [
    // ways to the engine below
    'constructor',
    'a.constructor',
    'a.constructor.constructor',
    '{}.constructor',
    '(1).constructor',
    'sqrt.constructor',
    'wheel_rate.constructor',
    'wheel_rate().constructor',
    'wheel_rate({constructor: 1})',
    'wheel_rate({spring_rate: 1 N/mm, motion_ratio: 1}).constructor',
    'press({press_points: points}).constructor',
    'press({press_points: points}).__proto__',
    'press({press_points: points}).toString',
    'press({__proto__: 1, press_points: points})',
    '__proto__',
    'a.__proto__',
    '{__proto__: {a: 1}}',
    'a["constructor"]',
    'a[1]',
    'a.map',
    'toString()',
    'valueOf()',
    'hasOwnProperty("a")',
    'this',
    'globalThis',
    'global.process',
    'process.exit()',
    'process.env.HOME',
    'require("fs")',
    'import("fs")',
    'import({a: 1})',
    'Function("return 1")()',
    'constructor("return process")()',
    '(() => 1)()',
    'eval("1")',
    // what mathjs itself can do
    'evaluate("1+1")',
    'parse("1+1")',
    'compile("a")',
    'parser()',
    'chain(1)',
    'config({})',
    'createUnit("x")',
    'simplify("x")',
    'derivative("x^2", "x")',
    'help(1)',
    'print("$a", {a: 1})',
    'format(1)',
    'typed("f", {})',
    'f(x) = x',
    'f(x) = f(x)',
    'g() = globalThis',
    'a = 2',
    'b = a = 2',
    'a.b = 2',
    'a; a',
    'map([1, 2], f)',
    'filter([1, 2], f)',
    'forEach([1], f)',
    'range(1, 1e9)',
    '1:1e9',
    '1:2:1e9',
    'zeros(1e5, 1e5)',
    'ones(1e9)',
    'identity(1e5)',
    'factorial(1e6)',
    'a!',
    '170!!',
    'gamma(1e9)',
    'combinations(1e9, 5e8)',
    'random()',
    'pickRandom(1)',
    'now()',
    'bignumber(1)',
    'bigint(1)',
    'fraction(1, 3)',
    'complex(1, 2)',
    'sqrt(-1) i',
    '2 + 3i',
    'matrix(1)',
    '[[1, 2], [3, 4]]',
    'det([1])',
    'inv(0)',
    'string(1)',
    '"a"',
    "'a'",
    '"a" + "b"',
    'a ? 1 : 2',
    'a and a',
    'not a',
    'a xor a',
    'a & a',
    'a | a',
    '~a',
    'a << 31',
    'a >>> 1',
    'a ?? 1',
    'a?.b',
    "a'",
    'a .* a',
    'a ./ a',
    'a .^ a',
    'a mod 2',
    'a % 2',
    '5%',
    'a = a',
    // units that are no numbers
    'unit("2 mm")',
    '2 mm to inch to mm',
    '2 furlong',
    'to(2 mm, cm)',
    'a in mm',
    'mm',
    'mm^2',
    '2 mm^1e9',
    '(2 mm)^1e300',
    '(2 mm)^a',
    '2^1e999',
    // sizes
    `${'9'.repeat(401)}`,
    `${'('.repeat(200)}1${')'.repeat(200)}`,
    `${'{a:'.repeat(50)}1${'}'.repeat(50)}`,
    `${'sqrt('.repeat(60)}a${')'.repeat(60)}`,
    `${'a+'.repeat(190)}a`,
    `${'-'.repeat(395)}a`,
    `${'a^'.repeat(190)}a`,
    `if(${'a>1,'.repeat(90)}1)`,
    // what cannot be seen
    '# a comment',
    'a # b',
    'a // b',
    'a /* b */',
    'a \\ b',
    'a\u0000b',
    'a\u200bb',
    'ａ + 1',
    'а', // a Cyrillic letter
    'a\u202e',
    'a + 1\u2028b = 2',
    '😀',
    '𝒂',
    '`a`',
    '$a',
    '@a',
    'a; import("fs")',
    // biome-ignore lint/suspicious/noTemplateCurlyInString: that is what is tried
    '${a}',
    '{{a}}',
    '<script>',
    '../../etc/passwd',
    'a ** 2',
    'a === a',
    'a, a',
    '',
    '()',
    '.',
    '..',
    'a.',
    '.a',
    '1.2.3',
    '1e',
    '+',
    'a +',
    '* a',
    '0b1',
    '0o7',
    '0xFFi8',
    'null',
    'undefined',
    'true',
    'NaN',
    'Infinity',
    'i',
    'e',
    'LN2',
    'speedOfLight',
    'version',
  ];
  const readings =
    'a : 1 from 0 to 2\npoints : list of load mass in g from 0 g to 20 kg / height length in mm from 0.1 mm to 2 m  at least 2  optional';

  it(`there are ${formulasOf.length} of them`, () => {
    expect(new Set(formulasOf).size).toBe(formulasOf.length);
    expect(formulasOf.length).toBeGreaterThanOrEqual(80);
  });

  it.each(formulasOf)('%s', (formula) => {
    const before = Object.getOwnPropertyNames(globalThis).join();
    let fault: unknown;
    try {
      loadSheet('club.md', page({ readings, workings: `x = ${formula}`, answers: 'a : in 1' }).text, { formulas });
    } catch (error) {
      fault = error;
    }
    expect(fault).toBeInstanceOf(SheetError);
    for (const { line, reason } of (fault as SheetError).faults) {
      expect(line).toBeGreaterThan(8);
      expect(reason).toMatch(/^[^\n]{4,200}$/);
    }
    expect(Object.getOwnPropertyNames(globalThis).join()).toBe(before);
    expect(Object.getOwnPropertyNames(Object.prototype)).toHaveLength(12);
  });
});
