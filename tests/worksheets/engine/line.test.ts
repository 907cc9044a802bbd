import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readLine, readQuick } from '../../../worksheets/engine/line.ts';
import { PLUS_MINUS } from '../../../worksheets/engine/quantity.ts';
import { unit } from '../../../worksheets/engine/units.ts';

const corners = {
  names: ['front_left', 'front_right', 'rear_left', 'rear_right', 'wheelbase', 'pack_mass', 'again', 'truck', 'end'],
  quick: ['front_left', 'front_right', 'rear_left', 'rear_right'],
};
const options = (line: string, given: Parameters<typeof readLine>[1] = corners): Record<string, string> => {
  const read = readLine(line, given);
  expect(read.problems.map(({ text }) => text)).toEqual([]);
  return { ...read.options };
};
const texts = (line: string, given: Parameters<typeof readLine>[1] = corners): string[] =>
  readLine(line, given).problems.map(({ text }) => text);
const four = { front_left: '612', front_right: '605', rear_left: '901', rear_right: '896' };

describe('a line of bare values', () => {
  it.each([
    ['612 605 901 896', four],
    ['  612   605\t901 896 ', four],
    ['612, 605, 901, 896', four],
    ['612;605;901;896', four],
    ['612\n605\n901\n896', four],
    ['612 g 605 g 901 g 896 g', { front_left: '612 g', front_right: '605 g', rear_left: '901 g', rear_right: '896 g' }],
    ['612g 605g 901g 896g', { front_left: '612g', front_right: '605g', rear_left: '901g', rear_right: '896g' }],
    ['612 g, 605 g, 901 g, 896 g', { front_left: '612 g', front_right: '605 g', rear_left: '901 g', rear_right: '896 g' }],
    ['612 ± 2 605 +/- 2 g 901±1 896', { front_left: '612±2', front_right: '605±2 g', rear_left: '901±1', rear_right: '896' }],
    ['612 605', { front_left: '612', front_right: '605' }],
    ['', {}],
    ['   ', {}],
  ])('"%s"', (line, expected) => {
    expect(options(line)).toEqual(expected);
  });

  it('with more values than the row has is refused, all of it', () => {
    expect(texts('612 605 901 896 330')).toEqual(['5 values stand in a row. Give 4: front_left front_right rear_left rear_right.']);
  });

  it('is refused on a sheet without a quick line', () => {
    expect(texts('612', { names: ['press_points'], quick: [] })).toEqual(['"612" has no name. Write name:value.']);
  });

  it('is read by itself for the option quick', () => {
    expect(readQuick('3300kv 2s 18 54', ['motor_kv', 'cells', 'pinion', 'spur'])).toEqual({
      values: { motor_kv: '3300kv', cells: '2s', pinion: '18', spur: '54' },
    });
    expect(readQuick('3300 1 18 54', ['motor_kv', 'cells', 'pinion', 'spur']).values).toMatchObject({ motor_kv: '3300', cells: '1' });
    expect(readQuick('3300 kv 2 s 18 54', ['motor_kv', 'cells', 'pinion', 'spur']).values).toMatchObject({
      motor_kv: '3300 kv',
      cells: '2 s',
    });
  });
});

describe('pounds and ounces in a row', () => {
  const row = (text: string): string[] => Object.values(readQuick(text, ['a', 'b', 'c', 'd']).values);

  it.each([
    ['1 lb 5.6 oz 605 901 896', ['1 lb 5.6 oz', '605', '901', '896']],
    ['1 lb 5.6 oz 1 lb 5,3 oz 2 lbs 0 ounces 1lb 15oz', ['1 lb 5.6 oz', '1 lb 5,3 oz', '2 lbs 0 ounces', '1lb 15oz']],
    ['605, 1 lb 5.6 oz, 901', ['605', '1 lb 5.6 oz', '901']],
    ['1 lb 5.6 oz ± 0.1 oz 605', ['1 lb 5.6 oz±0.1 oz', '605']],
    // A comma parts values; a pound has 16 ounces; ounces go before no pounds.
    ['1 lb, 5.6 oz', ['1 lb', '5.6 oz']],
    ['1 lb 16 oz', ['1 lb', '16 oz']],
    ['1.5 lb 5 oz', ['1.5 lb', '5 oz']],
    ['5 oz 1 lb', ['5 oz', '1 lb']],
    ['1 lb 5 g', ['1 lb', '5 g']],
    ['1 lb 5 oz/in', ['1 lb', '5 oz/in']],
  ])('"%s"', (text, values) => {
    expect(row(text)).toEqual(values);
  });

  it('are all that a row reads otherwise than when it was cut at every space', () => {
    /** A row cut at its spaces, with a unit that stands alone put behind its number. */
    const cut = (text: string): string[] =>
      text
        .split(PLUS_MINUS)
        .join('±')
        .split(/[\s;]+/)
        .filter(Boolean)
        .map((token) => token.replace(/,$/, ''))
        .reduce<string[]>((all, token) => {
          const joins = all.length > 0 && /^\D/.test(token) && unit(token) && /\d$/.test(all.at(-1)!);
          if (joins) all.push(`${all.pop()} ${token}`);
          else all.push(token);
          return all;
        }, []);
    const words = fc.constantFrom(
      '1',
      '5.6',
      '12',
      '17',
      '2,5',
      '±',
      'g',
      'lb',
      'oz',
      'in',
      'kg',
      '605',
      '3lb',
      '4oz',
      ',',
      ';',
      'lb,',
      '-3',
      '2s',
    );
    fc.assert(
      fc.property(fc.array(words, { maxLength: 12 }), (some) => {
        const text = some.join(' ');
        const names = Array.from({ length: 20 }, (_, i) => `n${i}`);
        const read = Object.values(readQuick(text, names).values);
        if (/\d\s?lb\s+\d+(?:[.,]\d+)?\s?oz/.test(text)) expect(read.join(' ')).toBe(cut(text).join(' '));
        else expect(read).toEqual(cut(text));
      }),
      { numRuns: 3000 },
    );
  });
});

describe('what stands behind a value of one word', () => {
  const heights = { names: ['a', 'b', 'end', 'truck'], quick: ['a', 'b'], single: ['end'] };
  it('is bare again', () => {
    expect(options('end=front 14 46', heights)).toEqual({ end: 'front', a: '14', b: '46' });
    expect(options('14 end:front, 46 truck:Sand hopper', heights)).toEqual({ end: 'front', a: '14', b: '46', truck: 'Sand hopper' });
    expect(options('14 46 end:front', heights)).toEqual({ end: 'front', a: '14', b: '46' });
    expect(texts('end:front 14 46 58', heights)).toEqual(['3 values stand in a row. Give 2: a b.']);
  });
});

describe('a sheet without a quick line', () => {
  it('takes a bare row whole for the one reading that it is of', () => {
    const press = { names: ['press_points', 'end'], quick: [], single: ['end'], whole: 'press_points' };
    expect(options('0/78 500/71.2 900/65.4 end:front', press)).toEqual({ press_points: '0/78 500/71.2 900/65.4', end: 'front' });
    expect(options('end:front 0/78, 500/71.2', press)).toEqual({ press_points: '0/78, 500/71.2', end: 'front' });
    expect(texts('0/78 press_points:1/2', press)).toEqual(['press_points is given twice, in the row and by name. Give it once.']);
  });
});

describe('values by name', () => {
  it.each([
    ['612 605 901 896 wheelbase:330', { ...four, wheelbase: '330' }],
    ['612 605 901 896 wheelbase=330 mm pack_mass = 290', { ...four, wheelbase: '330 mm', pack_mass: '290' }],
    ['front_left=612 front_right:605', { front_left: '612', front_right: '605' }],
    ['front-left:612 Front-Right:605 REAR_LEFT:901', { front_left: '612', front_right: '605', rear_left: '901' }],
    ['wheelbase : 330', { wheelbase: '330' }],
    ['wheelbase：330', { wheelbase: '330' }],
    ['wheelbase:330, pack_mass:290;', { wheelbase: '330', pack_mass: '290' }],
    ['again:610 608 900 899 end:front', { again: '610 608 900 899', end: 'front' }],
    ['again:610, 608, 900, 899, end:front', { again: '610, 608, 900, 899', end: 'front' }],
    ['truck:"Sand hopper" wheelbase:330', { truck: 'Sand hopper', wheelbase: '330' }],
    ["truck:'Sand hopper'", { truck: 'Sand hopper' }],
    ['truck:Sand hopper', { truck: 'Sand hopper' }],
    ['wheelbase:', { wheelbase: '' }],
    ['truck:see http://127.0.0.1/x', { truck: 'see http://127.0.0.1/x' }],
    ['wheelbase:12 1/4 in', { wheelbase: '12 1/4 in' }],
  ])('"%s"', (line, expected) => {
    expect(options(line)).toEqual(expected);
  });

  it('a lap with a colon is no name', () => {
    expect(options('1:02.3 1:01.9', { names: ['a', 'b'], quick: ['a', 'b'] })).toEqual({ a: '1:02.3', b: '1:01.9' });
  });

  it('a name that is not there is told, with the likely one', () => {
    expect(texts('fornt_left:612')).toEqual(['"fornt_left" is no reading here. Did you mean front_left?']);
    expect(texts('spring:4 gearbox_ratio:43/13 wheelbase:330')).toHaveLength(2);
    expect(texts('constructor:4')).toEqual([`"constructor" is no reading here. There is: ${corners.names.join(', ')}.`]);
    expect(texts('__proto__:4')).not.toContain('read');
  });

  it('given twice is told, in a row and by name too', () => {
    expect(texts('wheelbase:330 wheelbase:331')).toEqual(['wheelbase is given twice. Give it once.']);
    expect(texts('612 605 front_right:606')).toEqual(['front_right is given twice, in the row and by name. Give it once.']);
  });

  it('everything that is wrong comes back at once', () => {
    expect(texts('1 2 3 4 5 wheelbse:330 end:front end:rear')).toHaveLength(3);
  });

  it('free text keeps its colons, commas and slashes', () => {
    const setup = { names: ['name', 'truck', 'notes', 'tags'], quick: [], texts: ['name', 'notes'] };
    expect(options('name:evening notes:Calm. Next: softer, 2/3 of it, tags:sand', setup)).toEqual({
      name: 'evening',
      notes: 'Calm. Next: softer, 2/3 of it,',
      tags: 'sand',
    });
    expect(texts('truck:A next:b', setup)).toEqual([expect.stringContaining('"next" is no reading here.')]);
  });

  it('more than 10,000 characters are refused in one sentence', () => {
    expect(texts('6'.repeat(10_001))).toEqual(['A line has at most 10000 characters.']);
    expect(texts(`wheelbase:${' '.repeat(9_900)}330`)).toEqual([]);
  });
});
