import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clean, cleanAnswer } from '../../templates/clean.ts';
import { hostile } from '../support/hostile.ts';
import { cornersOnTarget } from '../support/sample-answers.ts';

const graphemes = (text: string): number => [...new Intl.Segmenter('en', { granularity: 'grapheme' }).segment(text)].length;
/** What XML 1.0, 2.2 lets stand: #x9 | #xA | #xD | [#x20-#xD7FF] | [#xE000-#xFFFD] | [#x10000-#x10FFFF]. */
const xmlCharacters = /^[\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]*$/u;

describe('strings from people', () => {
  it.each([
    ['a zero, a bell and an escape', 'Sandhopper[31m'],
    ['characters that XML cannot hold', 'abc'],
    ['half a surrogate pair', 'trouble'],
    ['a line that turns round', 'abc desrever x'],
    ['zero-width characters', 'abcdefg'],
    ['lines and tabs', 'one two three four five six'],
    ['only spaces', ''],
    ['nothing', ''],
    ['quotes', `"'\`=<>&`],
  ])('%s become harmless', (what, expected) => {
    expect(clean(hostile[what]!)).toBe(expected);
  });

  it('keeps names in other scripts, with their own marks', () => {
    expect(clean('Привет 砂漠')).toBe('Привет 砂漠');
    expect(clean('שָׁלוֹם').normalize('NFD').replace(/\p{M}/gu, '')).toBe('שלום');
    expect(clean('Zoë Ångström')).toBe('Zoë Ångström');
  });

  it('joins a letter and its mark into one character', () => {
    expect(clean('Zoe\u0308')).toBe('Zo\u00EB');
  });

  it('leaves two marks on a letter and takes the rest', () => {
    expect(clean('q\u0321\u0322\u0323\u0324')).toBe('q\u0321\u0322');
  });

  it('ends with … when it was cut, within 32 signs', () => {
    expect(clean('W'.repeat(33))).toBe(`${'W'.repeat(31)}…`);
    expect(clean('W'.repeat(32))).toBe('W'.repeat(32));
    expect(graphemes(clean('W'.repeat(20_000)))).toBeLessThanOrEqual(32);
  });

  it.each(Object.entries(hostile))('whatever it was, %s is short, whole and fit for XML', (_, text) => {
    const cleaned = clean(text);
    expect(graphemes(cleaned)).toBeLessThanOrEqual(32);
    expect(cleaned.length).toBeLessThanOrEqual(257);
    expect(cleaned.isWellFormed()).toBe(true);
    expect(cleaned).toMatch(xmlCharacters);
    expect(cleaned).not.toMatch(/[\p{Cc}\p{Cf}]|\p{M}{3}/u);
  });

  it('does the same to any string at all, and nothing more when done twice', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => {
        const cleaned = clean(text);
        expect(cleaned).toMatch(xmlCharacters);
        expect(cleaned).not.toMatch(/[\p{Cc}\p{Cf}]|\p{M}{3}/u);
        expect(graphemes(cleaned)).toBeLessThanOrEqual(32);
        expect(clean(cleaned)).toBe(cleaned);
      }),
      { numRuns: 1000 },
    );
  });

  it('takes no time over 20,000 characters', () => {
    const start = performance.now();
    for (const text of Object.values(hostile)) clean(text);
    expect(performance.now() - start).toBeLessThan(200);
  });
});

describe('a whole answer', () => {
  it('is cleaned in every string that people could have had a hand in', () => {
    const dirty = 'x\u202E\0';
    const cleaned = JSON.stringify(
      cleanAnswer({
        ...cornersOnTarget,
        title: dirty,
        sheet: dirty,
        readings: [
          {
            name: 'notes',
            label: dirty,
            value: [{ name: dirty, places: [dirty, 1] }, dirty],
            unit: dirty,
            uncertainty: null,
            from: 'sheet',
            sheet: dirty,
            typed: dirty,
            note: dirty,
          },
        ],
        answers: [{ name: 'plan', label: dirty, value: dirty, unit: dirty, uncertainty: null, verdict: null, band: null, why: dirty }],
        curves: [
          { over: 'x', label: dirty, unit: dirty, x: [1], answers: { y: [1] }, units: { y: dirty }, labels: { y: dirty }, here: null },
        ],
        cautions: [[dirty, { value: dirty, unit: dirty, uncertainty: null }]],
        next: [dirty],
      }),
    );
    expect(cleaned).not.toContain('\u202E');
    expect(cleaned).not.toContain('\\u0000');
    expect(cleaned.match(/x/g)?.length).toBeGreaterThan(15);
  });

  it('keeps the spaces at the ends of a sentence’s pieces', () => {
    expect(cleanAnswer({ ...cornersOnTarget, next: ['Slide ', { value: 3, unit: 'mm', uncertainty: null }, ' back.'] }).next).toEqual([
      'Slide ',
      { value: 3, unit: 'mm', uncertainty: null },
      ' back.',
    ]);
  });
});
