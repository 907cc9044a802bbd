import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { documented, formulasPage, page } from './support/docs.ts';
import { read, root } from './support/formulas.ts';
import { sourcesIn } from './support/sources.ts';

describe('the page of formulas', () => {
  it('says what the comments and the tests say (else: npm run docs)', async () => {
    expect(existsSync(`${root}${page}`) ? read(page) : '').toBe(await formulasPage());
  });

  it('names for every formula something outside that it was checked against', async () => {
    const unchecked = (await documented()).filter(({ checks }) => checks.length === 0);
    expect(unchecked.map(({ file, name }) => `${file}: ${name}`)).toEqual([]);
  });
});

describe('sources beside checks', () => {
  it.each([
    ['a property', "  { printed: '4.13', source: 'Some Handbook, table 3' },", ['Some Handbook, table 3']],
    ['a constant', "const TABLE = 'Some Handbook, table 3';\n  { printed: '4.13', source: TABLE },", ['Some Handbook, table 3']],
    [
      'a title with its place',
      '    // Somebody, Some Title, 3rd ed., example 10-1: wire 0.037 in.',
      ['Somebody, Some Title, 3rd ed., example 10-1'],
    ],
    [
      'a title over two lines',
      '    // R. A. Body, Some Title (1935), sections 17\n    // and 21. From memory.',
      ['R. A. Body, Some Title (1935), sections 17 and 21'],
    ],
    ['a second method', '    // Second method: work done in small steps. Not exact.', ['Second method: work done in small steps']],
    ['common practice', '    // Common practice, no source: a rule of thumb.', ['Common practice, no source']],
    [
      'a printed value that was read',
      "    // A. Body, A School, 'Why?': 3 to 5 g; it prints 1.1. Printed value read.",
      ["A. Body, A School, 'Why?'"],
    ],
    ['a working on paper', '    // 899 g on the scale, 210 g unsprung: 689 g, by hand.', ['worked by hand']],
    ['a word before it', '    // Source: a plaque at the track. It says 12.', ['a plaque at the track']],
    ['no remark on the numbers', '    // Rear load 1.5 kg, so the front has 1 kg.', []],
    ['no remark on the code', '    // the same limit in table 3 millimetres', []],
    ['no line of code', '    expect(got).toBe(3);', []],
  ])('are read from %s', (_, line, sources) => {
    expect(sourcesIn(line)).toEqual(sources);
  });
});
