import { describe, expect, it } from 'vitest';
import { readList } from '../../../worksheets/engine/list.ts';
import type { ReadingSpec, Sheet } from '../../../worksheets/engine/notation.ts';
import { expectNear } from '../../support/book.ts';
import { club } from '../../support/club-sheet.ts';

const sheet: Sheet = club({
  readings: [
    'points : list of load mass in g from 0 g to 20 kg / height length in mm from 0.1 mm to 2 m  at least 2',
    'again  : list of mass in g from 10 g to 5 kg  exactly 4  optional',
    'laps   : list of time in s from 1 s to 1000 s  optional',
    'warm   : list of temperature in °C from -30 °C to 150 °C  optional',
    'parts  : list of name text / mass mass in g from 1 g to 5 kg / now length in mm from -500 mm to 2 m or off / could several length in mm from -500 mm to 2 m or off  optional',
    'x      : 1 from 0 to 2',
  ].join('\n'),
  answers: 'x : in 1',
});
const spec = (name: string): ReadingSpec => sheet.readings.find((one) => one.name === name)!;
const read = (name: string, typed: string) => {
  const made = readList(typed, spec(name));
  return 'ok' in made ? made.ok : expect.fail(`"${typed}" ${made.slip.is}`);
};
const slipOf = (name: string, typed: string): string => {
  const made = readList(typed, spec(name));
  return 'slip' in made
    ? `${made.slip.place.replace(/^, /, '')}${made.slip.place && ': '}"${made.slip.got}" ${made.slip.is}. ${made.slip.needs}`
    : 'read';
};

describe('rows of a list are read as people write them', () => {
  const expected = [
    { load: 0, height: 78 },
    { load: 500, height: 71.2 },
    { load: 900, height: 65.4 },
  ];
  it.each([
    ['the decimal sign a comma or a point', '0/78 500/71,2 900/65.4'],
    ['commas and spaces between', '0/78, 500/71.2, 900/65.4'],
    ['semicolons between', '0/78; 500/71.2;900/65.4'],
    ['lines', '0/78\n500/71.2\r\n900/65.4\n'],
    ['all of these', '0/78, 500/71,2;\n 900/65,4 ,'],
    ['a unit on each number', '0 g/78 mm 500 g/71.2 mm 900 g/65.4 mm'],
    ['other units', '0 kg/7.8 cm 0.5 kg/0.0712 m 0,9kg/65.4mm'],
    ['room around the slash', '0 / 78  500 /71.2   900/ 65.4'],
    ['full-width digits and slashes', '０／７８　５００／７１．２　９００／６５．４'],
    ['no-break and thin spaces', '0/78\u00a0500/71.2\u2009900/65.4'],
  ])('%s', (_, typed) => {
    expect(read('points', typed).shown).toEqual(expected);
    const si = read('points', typed).si as { load: number; height: number }[];
    si.forEach(({ load, height }, i) => {
      expectNear(load, expected[i]!.load / 1000, 1e-15);
      expectNear(height, expected[i]!.height / 1000, 1e-15);
    });
  });

  it('in other units of weight and length', () => {
    // NIST SP 811 (2008), Appendix B.8: exact factors.
    const [first] = read('points', '1.1 lb/3 in 2.2lb/2.5"').si as { load: number; height: number }[];
    expectNear(first!.load, 1.1 * 0.45359237, 1e-15);
    expectNear(first!.height, 3 * 0.0254, 1e-15);
  });

  it('a space never groups thousands, a comma between digits is always the decimal sign', () => {
    expect(read('points', '0/78 1,234/70').shown[1]).toEqual({ load: 1.234, height: 70 });
    expect(slipOf('points', '0/78 1 234/70')).toBe('item 2: "1" has 1 part. Give load / height.');
    expect(slipOf('points', '0/78 1.234.567/70')).toBe('item 2: "1.234.567/70" is not a number (load). Give 0 to 20000 g.');
    expect(slipOf('points', "0/78 1'234/70")).toBe(`item 2: "1'234/70" is not a number (load). Give 0 to 20000 g.`);
    expect(read('laps', '31,25 30,9').shown).toEqual([31.25, 30.9]);
    expect(read('laps', '31,250').shown).toEqual([31.25]);
  });

  it('laps with minutes, temperatures with their degrees', () => {
    expect(read('laps', '1:02.3 58.9 1:00').si).toEqual([62.3, 58.9, 60]);
    expect(read('warm', '31 °C 52 64').shown).toEqual([31, 52, 64]);
    expectNear((read('warm', '88 °F').si as number[])[0], 304.2611111111111, 1e-12);
    expect(read('warm', '-5 −3').shown).toEqual([-5, -3]);
  });

  it('rows with names keep their spaces; a place may be a word, or several', () => {
    const { shown, si } = read('parts', 'main pack / 290 / 185 / 185 210 240; lead ½ / 60 g / off / off 330\n nose weight/12/-20/-20 off;');
    expect(shown).toEqual([
      { name: 'main pack', mass: 290, now: 185, could: [185, 210, 240] },
      { name: 'lead ½', mass: 60, now: 'off', could: ['off', 330] },
      { name: 'nose weight', mass: 12, now: -20, could: [-20, 'off'] },
    ]);
    expect(si[1]).toEqual({ name: 'lead ½', mass: 0.06, now: 'off', could: ['off', 0.33] });
    expect(read('parts', 'lead / 60 / OFF / Off').si[0]).toMatchObject({ now: 'off', could: ['off'] });
  });
});

describe('what is wrong in a list is told with its place', () => {
  it.each([
    ['points', '0/78 500/x', 'item 2: "500/x" is not a number (height). Give 0.1 to 2000 mm.'],
    ['points', '0/78 500/71/3', 'item 2: "500/71/3" has 3 parts. Give load / height.'],
    ['points', '0/78 500', 'item 2: "500" has 1 part. Give load / height.'],
    ['points', '0/78 500//71', 'item 2: "500//71" has 3 parts. Give load / height.'],
    ['points', '0/78; /71', 'item 2: "/71" is empty (load). Give 0 to 20000 g.'],
    ['points', '0/78 -5/71', 'item 2: "-5/71" is out (load). Give 0 to 20000 g.'],
    ['points', '0/78 500/3000', 'item 2: "500/3000" is out (height). Give 0.1 to 2000 mm.'],
    ['points', '0/78 500 mm/71', 'item 2: "500 mm/71" is a length, not a mass (load). Give 0 to 20000 g.'],
    ['points', '0/78 500/71±1', 'item 2: "500/71±1" has a ± (height). List items carry none: give 0.1 to 2000 mm.'],
    ['points', '0/78 500 ± 2 g/71', 'item 2: "500±2 g/71" has a ± (load). List items carry none: give 0 to 20000 g.'],
    ['points', '0/78 500/71 +/- 1', 'item 2: "500/71±1" has a ± (height). List items carry none: give 0.1 to 2000 mm.'],
    ['points', '0/78', '"0/78" has 1 item. Give at least 2.'],
    ['points', '', '"" is empty. Give at least 2.'],
    ['points', ' ;\n ', '" ;\n " is empty. Give at least 2.'],
    ['points', '0/78,500/71', 'item 1: "0/78,500/71" has 3 parts. Give load / height.'],
    ['points', 'constructor/78 1/2', 'item 1: "constructor/78" is not a number (load). Give 0 to 20000 g.'],
    ['again', '610 608 900', '"610 608 900" has 3 items. Give 4.'],
    ['again', '610 608 900 899 1', 'item 5: "1" is out. Give 10 to 5000 g.'],
    ['again', '610 608 900 899 898', '"610 608 900 899 898" has 5 items. Give 4.'],
    ['again', '610 6.08 900 899', 'item 2: "6.08" is out. Give 10 to 5000 g.'],
    ['laps', '31 32 mm', 'item 2: "32 mm" is a length, not a time. Give 1 to 1000 s.'],
    ['laps', '31 NaN', 'item 2: "NaN" is not a number. Give 1 to 1000 s.'],
    ['parts', 'pack / 290 / 185', 'item 1: "pack / 290 / 185" has 3 parts. Give name / mass / now / could.'],
    ['parts', ' / 290 / 185 / 185', 'item 1: "/ 290 / 185 / 185" has no name (name). Give one.'],
    ['parts', 'pack / 290 / on / 185', 'item 1: "pack / 290 / on / 185" is not a number (now). Give −500 to 2000 mm.'],
    ['parts', 'pack / 290 / 185 / ', 'item 1: "pack / 290 / 185 /" is empty (could). Give at least one.'],
    ['parts', 'pack / 290 / 185 / 185 3000', 'item 1: "pack / 290 / 185 / 185 3000" is out (could). Give −500 to 2000 mm.'],
  ])('%s: "%s"', (name, typed, sentence) => {
    expect(slipOf(name, typed)).toBe(sentence);
  });

  it('10,000 characters are too long, 201 items too many', () => {
    expect(slipOf('points', '0/78 '.repeat(2000))).toContain('is too long for a list.');
    expect(slipOf('laps', '31 '.repeat(201))).toContain('has too many items. Give 200 at most.');
    expect(read('laps', '31 '.repeat(200)).si).toHaveLength(200);
  });
});
