import { beforeAll, describe, expect, it } from 'vitest';
import { doubtsOf } from '../../../worksheets/engine/doubts.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';

let shelf: ReadonlyMap<string, Sheet>;
beforeAll(async () => {
  shelf = await loadSheets(await loadFormulas());
});

const doubts = (name: string, about: string, facts: Readonly<Record<string, string>>, end: 'front' | 'rear' | null = null): string[] => {
  const typed = new Map(Object.entries(facts));
  const made = doubtsOf(shelf.get(name)!, end, (fact) => (typed.has(fact) ? { from: 'truck', typed: typed.get(fact)! } : undefined), about);
  return made.map((sentence) => sentence.map((part) => (typeof part === 'string' ? part : `${part.value}`)).join(''));
};

describe('what a sheet doubts', () => {
  it('is heard before the sheet has all that it needs', () => {
    expect(doubts('corners', 'wheelbase', { wheelbase: '33.2' })).toEqual(['Wheelbase 33.2: is that in millimetres?']);
    expect(doubts('tie_rod', 'wheelbase', { wheelbase: '330', kingpin_track: '400' })).toEqual([
      'The kingpin track is longer than the wheelbase: mistyped?',
    ]);
    expect(doubts('tie_rod', 'wheelbase', { wheelbase: '330' })).toEqual([]);
    expect(doubts('corners', 'wheelbase', { wheelbase: '330' })).toEqual([]);
  });

  it('is the same of a wheelbase wherever one is read: too short or too long for a truck of 1/10 (common practice, no source)', () => {
    const reading = [...shelf.values()].filter(({ readings }) => readings.some(({ name }) => name === 'wheelbase'));
    expect(reading.length).toBeGreaterThan(5);
    for (const { name } of reading) {
      expect(doubts(name, 'wheelbase', { wheelbase: '33.2' }), name).toContain('Wheelbase 33.2: is that in millimetres?');
      expect(doubts(name, 'wheelbase', { wheelbase: '830' }), name).toContain('Wheelbase 830: is this a 1/10 truck?');
    }
  });

  it('is of the reading that is asked about, not of the others', () => {
    const facts = { wheelbase: '33.2', front_left: '612', front_right: '61' };
    expect(doubts('corners', 'front_left', facts)).toEqual(['Front left is more than three times front right: mistyped?']);
    expect(doubts('corners', 'rear_left', facts)).toEqual([]);
    expect(doubts('corners', 'no_reading', facts)).toEqual([]);
  });

  it('rests on what is worked out too, and is a question: what a sheet only warns of is none', () => {
    const light = { front_left: '200', front_right: '200', rear_left: '300', rear_right: '300' };
    expect(doubts('corners', 'rear_left', light)).toEqual(['1000 in all: is this a 1/10 truck?']);
    // Its cautions that hold at its own example: none of them asks back.
    for (const sheet of shelf.values())
      for (const { name } of sheet.readings)
        expect(doubts(sheet.name, name, sheet.example, sheet.ends ? 'rear' : null), sheet.name).toEqual([]);
  });

  it('is not stopped by a reading that does not fit the sheet', () => {
    expect(doubts('corners', 'wheelbase', { wheelbase: '33.2', front_left: 'heavy' })).toEqual(['Wheelbase 33.2: is that in millimetres?']);
  });
});
