import { describe, expect, it } from 'vitest';
import { changesBetween } from '../../../worksheets/archive/changes.ts';
import type { GivenReading, SetupDoc, SetupFact, SheetRecord } from '../../../worksheets/archive/types.ts';

const reading = (fact: string, typed: string, more: Partial<GivenReading> = {}): GivenReading => ({
  fact,
  name: fact.replace(/^(front|rear)_(?=spring)/, ''),
  typed,
  value: Number(typed),
  uncertainty: null,
  unit: null,
  ...more,
});
const asked = (sheet: string, end: 'front' | 'rear' | null, ...readings: GivenReading[]): SheetRecord => ({
  sheet,
  end,
  at: 0,
  readings,
  answer: {} as SheetRecord['answer'],
});
const fact = (given: GivenReading, sheet: string | null = null): SetupFact => ({ ...given, sheet, end: null, at: 0 });
const doc = (facts: readonly SetupFact[], ...sheets: SheetRecord[]): SetupDoc => ({
  format: 1,
  name: 'Salt',
  truck: 'Sandhopper',
  member: '1',
  rev: 1,
  at: 0,
  notes: '',
  tags: [],
  facts,
  sheets,
});

describe('what a revision changed', () => {
  const whole = [reading('motor_kv', '3300'), reading('pinion', '16')];

  it('is not what a sheet was not given again: the truck knows it still', () => {
    const before = doc(
      whole.map((one) => fact(one)),
      asked('gearing', null, ...whole),
    );
    const after = doc([fact(whole[0]!), fact(reading('pinion', '17'))], asked('gearing', null, reading('pinion', '17')));
    expect(changesBetween(before, after)).toEqual([{ sheet: 'gearing', end: null, name: 'pinion', was: '16', is: '17', unit: null }]);
  });

  it('is what the truck was told too, under the thing’s own name, and once however many sheets ask for it', () => {
    const black = reading('rear_spring_rate', '0.497', { said: 'black 0.50' });
    const blue = reading('rear_spring_rate', '0.447', { said: 'blue 0.45' });
    expect(changesBetween(doc([fact(black)]), doc([fact(blue)], asked('ride', 'rear', blue), asked('hop', 'rear', blue)))).toEqual([
      {
        sheet: 'ride',
        end: 'rear',
        name: 'spring_rate',
        was: 'black 0.50',
        is: 'blue 0.45',
        wasTyped: '0.497',
        isTyped: '0.447',
        unit: null,
      },
    ]);
    expect(changesBetween(doc([fact(black)]), doc([fact(blue)]))).toEqual([
      {
        sheet: '',
        end: null,
        name: 'rear_spring_rate',
        was: 'black 0.50',
        is: 'blue 0.45',
        wasTyped: '0.497',
        isTyped: '0.447',
        unit: null,
      },
    ]);
  });

  it('is nothing when what was just given has faded and its answer stands', () => {
    const before = doc([fact(whole[1]!, 'gearing')], asked('gearing', null, whole[1]!));
    expect(changesBetween(before, doc([], asked('gearing', null, whole[1]!)))).toEqual([]);
    expect(changesBetween(before, doc([]))).toMatchObject([{ name: 'pinion', was: '16', is: null }]);
  });
});
