import { describe, expect, it } from 'vitest';
import type { End, Supply } from '../../../worksheets/engine/ask.ts';
import { type Facts, supplyFrom, whoAnswers } from '../../../worksheets/engine/fill.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';
import type { Answer } from '../../../worksheets/engine/types.ts';
import { expectNear } from '../../support/book.ts';
import { answered, type Blocks, club, refused, textsOf } from '../../support/club-sheet.ts';

const sheetOf = (name: string, blocks: Blocks, ends = false): Sheet =>
  club({ ...blocks, head: `sheet: ${name}\ntitle: T\nsummary: S${ends ? '\nends: true' : ''}` });
const supplyOf = (sheets: readonly Sheet[], facts: Record<string, string | { typed: string; uncertainty: number | null }>): Supply =>
  supplyFrom(new Map(Object.entries(facts)) as Facts, whoAnswers(sheets));
const read = (answer: Answer, name: string) => answer.readings.find((one) => one.name === name);
const value = (answer: Answer, name: string): number => answer.answers.find((one) => one.name === name)!.value as number;
const off = (answer: Answer, name: string): number | null => answer.answers.find((one) => one.name === name)!.uncertainty;

const weigh = sheetOf('weigh', {
  readings: 'front : mass in g  step 1 g  from 10 g to 10 kg\nrear : mass in g  step 1 g  from 10 g to 10 kg',
  workings: 'total = front + rear\nrear_share = rear / total',
  answers: 'total : in g\nrear_share : in %',
});
const climb = sheetOf('climb', {
  readings: 'total : 3000 g  from 100 g to 20 kg\nrear_share : 60 %  from 0 % to 100 %\nslope : 0.1  from 0 to 1',
  workings: 'load = total * rear_share\npush = total * slope',
  answers: 'load : in g\npush : in g',
});
const shelf = [weigh, climb];

describe('a reading that was not typed is filled by name', () => {
  const facts = { front: '1217', rear: '1797' };

  it('given, before the truck, before another sheet, before the default; and the answer says which', () => {
    const ask = (readings: Record<string, string>, truck: Record<string, string>) =>
      answered(climb, readings, null, supplyOf(shelf, truck));
    expect(read(ask({ total: '2800' }, { ...facts, total: '2900' }), 'total')).toMatchObject({ value: 2800, from: 'given', typed: '2800' });
    expect(read(ask({}, { ...facts, total: '2900' }), 'total')).toMatchObject({ value: 2900, from: 'truck', typed: '2900' });
    const fromSheet = read(ask({}, facts), 'total')!;
    expect(fromSheet).toMatchObject({ from: 'sheet', sheet: 'weigh' });
    expectNear(fromSheet.value, 3014, 1e-12);
    expect(read(ask({}, {}), 'total')).toMatchObject({ value: 3000, from: 'default' });
    expect(read(ask({}, { front: '1217' }), 'total')).toMatchObject({ value: 3000, from: 'default' });
  });

  it("the other sheet's answer is worked out afresh from the facts, and carries its ±", () => {
    const answer = answered(climb, {}, null, supplyOf(shelf, facts));
    expectNear(value(answer, 'push'), 301.4, 1e-12);
    expectNear(read(answer, 'total')!.uncertainty, 2 * Math.hypot(1, 1) * (1 / Math.sqrt(12)), 1e-12);
    const rough = answered(climb, {}, null, supplyOf(shelf, { front: '1217 ± 10', rear: '1797' }));
    expectNear(read(rough, 'total')!.uncertainty, 2 * Math.hypot(10 / Math.sqrt(3), 1 / Math.sqrt(12)), 1e-12);
  });

  it("a fact keeps the ± with which it was measured, whatever the asking sheet's own clause says", () => {
    const supply = supplyOf(shelf, { front: { typed: '1217', uncertainty: 0.02 }, rear: { typed: '1797', uncertainty: null } });
    expectNear(off(answered(weigh, {}, null, supply), 'total'), 2000 * Math.hypot(0.02, 0.001 / Math.sqrt(12)), 1e-12);
  });

  it('what the last digits of its readings would do comes along, and is in no ±', () => {
    const scaled = sheetOf('scaled', {
      readings: 'front : mass in g from 10 g to 10 kg\nrear : mass in g from 10 g to 10 kg',
      workings: 'total = front + rear',
      answers: 'total : in g',
    });
    const steep = sheetOf('steep', {
      readings: 'total : mass in g from 100 g to 20 kg\nslope : number from 0 to 1',
      workings: 'push = total * slope',
      answers: 'push : in g',
    });
    const push = (front: string, slope: string) => {
      const answer = answered(steep, { slope }, null, supplyOf([scaled, steep], { front, rear: '1797' }));
      expect(read(answer, 'total')).toMatchObject({ from: 'sheet', uncertainty: front.includes('±') ? expect.any(Number) : null });
      return answer.answers[0]!;
    };
    // 1200 g known to half a gram and 1797 g alike: 0.014 %. A slope of 0.1 ± 0.00001 is 0.0058 %, one of 0.1 ± 0.0003 is 0.17 %.
    expect(push('1200', '0.1 ± 0.00001').partial).toBe(true);
    expect(push('1200', '0.1 ± 0.0003').partial).toBeUndefined();
    expect(push('1200', '0.1')).toMatchObject({ uncertainty: null });
    expect(push('1200 ± 5', '0.1').partial).toBe(true);
    expect(push('1200 ± 5', '0.1000').partial).toBeUndefined();
  });

  it('two answers of one sheet, put together again, move together', () => {
    // load = total × share is the rear load: only the rear scale's ± is left in it.
    const answer = answered(climb, {}, null, supplyOf(shelf, { front: '1217 ± 30', rear: '1797 ± 2' }));
    expectNear(value(answer, 'load'), 1797, 1e-12);
    expectNear(off(answer, 'load'), (2 * 2) / Math.sqrt(3), 1e-9);
  });

  it('an answer and the reading it was made of move together too', () => {
    const rest = sheetOf('rest', {
      readings: 'total : mass in g from 100 g to 20 kg\nfront : mass in g  step 1 g  from 10 g to 10 kg',
      workings: 'other = total - front',
      answers: 'other : in g',
    });
    const supply = supplyOf([weigh, rest], { front: '1217 ± 30', rear: '1797 ± 2' });
    expectNear(off(answered(rest, {}, null, supply), 'other'), (2 * 2) / Math.sqrt(3), 1e-9);
  });

  it('what cancels carries no ±', () => {
    const same = sheetOf('same', {
      readings:
        'total : mass in g from 100 g to 20 kg\nfront : mass in g step 1 g from 10 g to 10 kg\nrear : mass in g step 1 g from 10 g to 10 kg',
      workings: 'left_over = total - front - rear + 1 g',
      answers: 'left_over : in g',
    });
    const answer = answered(same, {}, null, supplyOf([weigh, same], { front: '1217 ± 30', rear: '1797 ± 2' }));
    expect(off(answer, 'left_over')).toBe(0);
  });

  it('a chain of sheets carries it all the way', () => {
    const links = ['a', 'b', 'c', 'd'].map((name, i) =>
      sheetOf(`link_${name}`, {
        readings: i === 0 ? 'x_0 : number  from 0 to 1000' : `x_${i} : number  from 0 to 1000`,
        workings: `x_${i + 1} = x_${i} * 2`,
        answers: `x_${i + 1} : in 1`,
      }),
    );
    const answer = answered(links[3]!, {}, null, supplyOf(links, { x_0: '3 ± 0.1' }));
    expect(value(answer, 'x_4')).toBe(48);
    expectNear(off(answer, 'x_4'), (2 * 1.6) / Math.sqrt(3), 1e-12);
    expect(read(answer, 'x_3')).toMatchObject({ from: 'sheet', sheet: 'link_c', value: 24 });
  });
});

describe('sheets that treat one end', () => {
  const spring = sheetOf(
    'spring',
    {
      readings: 'rate : rate in N/mm  from 0.005 N/mm to 50 N/mm\nlever : ratio  default 1  from 0.1 to 5',
      workings: 'wheel_rate = rate * lever ^ 2',
      answers: 'wheel_rate : in N/mm',
    },
    true,
  );
  const pair = sheetOf('pair', {
    readings: 'front_wheel_rate : rate in N/mm from 0.001 N/mm to 50 N/mm\nrear_wheel_rate : rate in N/mm from 0.001 N/mm to 50 N/mm',
    workings: 'both = front_wheel_rate + rear_wheel_rate',
    answers: 'both : in N/mm',
  });
  const facts = { front_rate: '0.4 ± 0.01', rear_rate: '0.6', rear_lever: '0.5' };
  const ask = (end: End | null) => answered(spring, {}, end, supplyOf([spring, pair], facts));

  it('read and answer the facts of that end', () => {
    expectNear(value(ask('front'), 'wheel_rate'), 0.4, 1e-12);
    expectNear(value(ask('rear'), 'wheel_rate'), 0.15, 1e-12);
    expect(read(ask('rear'), 'lever')).toMatchObject({ from: 'truck', value: 0.5 });
    expect(ask('rear').end).toBe('rear');
  });

  it('are filled from nowhere when no end is given', () => {
    expect(textsOf(refused(spring, {}, null, supplyOf([spring], facts)))).toEqual(['Rate is missing. Give 0.005 to 50 N/mm.']);
    expect(answered(spring, { rate: '0.4' }, null, supplyOf([spring], facts)).end).toBeNull();
  });

  it('feed sheets of the whole truck with both ends', () => {
    const answer = answered(pair, {}, null, supplyOf([spring, pair], facts));
    expectNear(value(answer, 'both'), 0.55, 1e-12);
    expectNear(off(answer, 'both'), 0.02 / Math.sqrt(3), 1e-9);
    expect(read(answer, 'front_wheel_rate')).toMatchObject({ from: 'sheet', sheet: 'spring' });
  });

  it('a fact of the other end is another fact', () => {
    expect(textsOf(refused(spring, {}, 'front', supplyOf([spring], { rear_rate: '0.6' })))).toEqual([
      'Rate is missing. Give 0.005 to 50 N/mm.',
    ]);
  });
});

describe('what does not fit is told, not passed over', () => {
  it("a truck's fact outside this sheet's range", () => {
    const narrow = sheetOf('narrow', { readings: 'total : 3000 g  from 1 kg to 6 kg', answers: 'total : in g' });
    expect(textsOf(refused(narrow, {}, null, supplyOf([narrow], { total: '9 kg' })))).toEqual([
      'Total, from the truck: "9 kg" is out. Give 1 to 6 kg.',
    ]);
    expect(value(answered(narrow, { total: '5 kg' }, null, supplyOf([narrow], { total: '9 kg' })), 'total')).toBe(5000);
  });

  it("another sheet's answer outside it", () => {
    const narrow = sheetOf('narrow', { readings: 'total : 3000 g  from 1 kg to 3 kg', answers: 'total : in g' });
    const problems = refused(narrow, {}, null, supplyOf([weigh, narrow], { front: '1217', rear: '1797' }));
    expect(textsOf(problems)).toEqual(['Total, from the sheet weigh: "3014" is out. Give 1000 to 3000 g.']);
    expect(problems[0]!.reading).toBe('total');
  });

  it('an answer on the end of the range by arithmetic fits', () => {
    // 0.1 + 0.2 is a bit above 0.3 in the computer's numbers, 0.7 + 0.1 a bit below 0.8.
    const exact = (range: string): Sheet => sheetOf('exact', { readings: `total : mass in g  ${range}`, answers: 'total : in g' });
    const total = (range: string, front: string, rear: string): number =>
      value(answered(exact(range), {}, null, supplyOf([weigh, exact(range)], { front, rear })), 'total');
    expect(0.1 + 0.2).toBeGreaterThan(0.3);
    expect(0.7 + 0.1).toBeLessThan(0.8);
    expectNear(total('from 100 g to 300 g', '100', '200'), 300, 1e-12);
    expectNear(total('from 800 g to 900 g', '0.7 kg', '0.1 kg'), 800, 1e-12);
  });
});

describe('what an answer rests on', () => {
  const guess = sheetOf('guess', {
    readings: 'width : 200 mm from 10 mm to 2 m\ndepth : 100 mm from 10 mm to 2 m',
    workings: 'area_a = width * depth\nwide = width * 2',
    answers: 'area_a : in mm²\nwide : in mm',
  });
  const user = sheetOf('user', {
    readings: 'area_a : area in mm² from 1 mm² to 4 m²  optional\nwide : length in mm from 1 mm to 4 m  optional\nx : 1 from 0 to 2',
    answers: 'x : in 1\narea_a : in mm²\nwide : in mm',
  });

  it('made of defaults alone it says nothing of this truck', () => {
    expect(answered(user, {}, null, supplyOf([guess, user], {})).answers.map(({ name }) => name)).toEqual(['x']);
  });

  it('each answer for itself: a fact that does not reach it does not make it one', () => {
    const answer = answered(user, {}, null, supplyOf([guess, user], { depth: '50' }));
    expect(answer.answers.map(({ name }) => name)).toEqual(['x', 'area_a']);
    expectNear(value(answer, 'area_a'), 10_000, 1e-12);
  });

  it('planned answers are of a truck that is not there yet', () => {
    const plan = sheetOf('plan', {
      readings: 'front : mass in g from 10 g to 10 kg',
      workings: 'total = front * 3',
      answers: 'total : in g planned',
    });
    expect(read(answered(climb, {}, null, supplyOf([plan, climb], { front: '1000' })), 'total')!.from).toBe('default');
  });

  it('the first sheet of the shelf that has it answers; one that cannot leaves it to the next', () => {
    const other = sheetOf('other', {
      readings: 'sum : mass in g from 10 g to 20 kg',
      workings: 'total = sum * 1',
      answers: 'total : in g',
    });
    expect(
      read(answered(climb, {}, null, supplyOf([other, weigh, climb], { front: '1217', rear: '1797', sum: '5000' })), 'total'),
    ).toMatchObject({ sheet: 'other' });
    expect(read(answered(climb, {}, null, supplyOf([other, weigh, climb], { front: '1217', rear: '1797' })), 'total')).toMatchObject({
      sheet: 'weigh',
    });
  });

  it('a sheet does not fill itself', () => {
    const self = sheetOf('self', {
      readings: 'x : number from 0 to 9 default 2\ny : number from 0 to 9 optional',
      workings: 'z = x * 2',
      answers: 'z : in 1\nx : in 1',
    });
    expect(read(answered(self, {}, null, supplyOf([self], { y: '5' })), 'x')).toMatchObject({ from: 'default', value: 2 });
  });
});

describe('of two readings of which one is wanted', () => {
  const mesh = sheetOf('mesh', {
    readings: 'wide : length in mm from 0.1 mm to 2 mm\nfine : gear pitch in 1/in from 10 1/in to 200 1/in\nexactly one of wide, fine',
    workings: 'tooth = first(wide, 1 / fine)',
    answers: 'tooth : in mm',
  });

  it("what is typed puts the truck's other one aside", () => {
    const answer = answered(mesh, { fine: '48' }, null, supplyOf([mesh], { wide: '0.8' }));
    expectNear(value(answer, 'tooth'), 25.4 / 48, 1e-12);
    expect(read(answer, 'wide')).toBeUndefined();
  });

  it('of two that the truck has, the first counts; none typed is no contradiction', () => {
    const answer = answered(mesh, {}, null, supplyOf([mesh], { wide: '0.8', fine: '48' }));
    expectNear(value(answer, 'tooth'), 0.8, 1e-12);
    expect(read(answer, 'fine')).toBeUndefined();
  });

  it('neither known, both typed, one of them wrong', () => {
    expect(textsOf(refused(mesh, {}))).toEqual(['Wide is missing. Give wide or fine.']);
    expect(textsOf(refused(mesh, { wide: '0.8', fine: '48' }))).toEqual(['Give wide or fine, not both.']);
    expect(textsOf(refused(mesh, { wide: '80' }))).toHaveLength(1);
  });
});

describe('circles of sheets', () => {
  const there = sheetOf('there', {
    readings: 'b_x : number from 0 to 1000  default 1\nseed : number from 0 to 1000',
    workings: 'a_x = b_x * 2 + seed',
    answers: 'a_x : in 1',
  });
  const back = sheetOf('back', {
    readings: 'a_x : number from 0 to 100000  default 5\nseed : number from 0 to 1000',
    workings: 'b_x = a_x * 3 + seed',
    answers: 'b_x : in 1',
  });
  const both = sheetOf('both', {
    readings: 'a_x : number from 0 to 1000000 optional\nb_x : number from 0 to 1000000 optional',
    workings: 'first_a = a_x * 1\nthen_b = b_x * 1',
    answers: 'first_a : in 1\nthen_b : in 1',
  });
  const turned = sheetOf('turned', {
    readings: 'b_x : number from 0 to 1000000 optional\na_x : number from 0 to 1000000 optional',
    workings: 'first_a = a_x * 1\nthen_b = b_x * 1',
    answers: 'first_a : in 1 planned\nthen_b : in 1 planned',
  });
  const shelfOf = [there, back, both, turned];

  it('end where they would start again', () => {
    // there ← back ← there: cut, so b_x is there's default of 1 in there, and back's answer is 3·(2·1 + 10) + 10.
    const supply = supplyOf(shelfOf, { seed: '10' });
    expect(read(answered(there, {}, null, supply), 'b_x')).toMatchObject({ from: 'sheet', sheet: 'back' });
    expect(value(answered(there, {}, null, supplyOf(shelfOf, { seed: '10' })), 'a_x')).toBe((3 * (2 * 1 + 10) + 10) * 2 + 10);
  });

  it('say the same in whatever order they are met', () => {
    const one = answered(both, {}, null, supplyOf(shelfOf, { seed: '10' }));
    const other = answered(turned, {}, null, supplyOf(shelfOf, { seed: '10' }));
    for (const name of ['first_a', 'then_b']) expect(value(one, name), name).toBe(value(other, name));
    // Also when one supply serves question after question.
    const supply = supplyOf(shelfOf, { seed: '10' });
    for (const sheet of [both, turned, there, back, both])
      for (const { name, value: is } of answered(sheet, {}, null, supply).answers)
        expect(is, `${name} in ${sheet.name}`).toBe(
          answered(sheet, {}, null, supplyOf(shelfOf, { seed: '10' })).answers.find((each) => each.name === name)!.value,
        );
  });

  it('of many sheets do not multiply', () => {
    const names = Array.from({ length: 14 }, (_, i) => `v_${i}`);
    const web = names.map((name, i) =>
      sheetOf(`web_${i}`, {
        readings: [
          ...names.filter((other) => other !== name).map((other) => `${other} : number from -1000000000 to 1000000000 default 1`),
          'seed : number from 0 to 9',
        ].join('\n'),
        workings: `${name} = seed`,
        answers: `${name} : in 1`,
      }),
    );
    // A circle that multiplied would take all day, and run into vitest's own limit.
    expect(value(answered(web[0]!, {}, null, supplyOf(web, { seed: '2' })), 'v_0')).toBe(2);
  });
});
