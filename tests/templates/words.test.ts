import { describe, expect, it } from 'vitest';
import { asSaid, asTyped, stepsText, thingNamed, unitOnce } from '../../templates/words.ts';

describe('a reading as it was typed', () => {
  it.each([
    ['612', 'g', '612 g'],
    ['612 ± 2', 'g', '612 g ± 2'],
    ['0.497±0.008', 'N/mm', '0.497 N/mm ± 0.008'],
    ['612 g ± 2', 'g', '612 g ± 2'],
    ['43/13', '1', '43/13'],
    ['3', '1', '3'],
    ['yes', null, 'yes'],
  ])('%s of a reading in %s', (typed, unit, text) => expect(asTyped(typed, unit)).toBe(text));
});

describe('a thing by its name', () => {
  it('has what it measures beside it, and not what that may be off by', () => {
    expect(asSaid({ said: 'blue 0.45', typed: '0.447 ± 0.007', unit: 'N/mm' })).toBe('blue 0.45 (0.447 N/mm)');
    expect(asSaid({ said: 'blue 0.45', typed: '2.5 lb +- 0.1', unit: 'N/mm' })).toBe('blue 0.45 (2.5 lb)');
    expect(asSaid({ typed: '0.447 ± 0.007', unit: 'N/mm' })).toBe('0.447 N/mm ± 0.007');
  });

  it('is no scale: what was on that is told as it was typed', () => {
    expect(thingNamed('612@2')).toBeNull();
    expect(asSaid({ said: '612@2', typed: '609.5617529 g ± 0.498 g', unit: 'g' })).toBe('612@2');
  });

  it('goes to another by names first, with one unit for what they measure', () => {
    const blue = { named: 'blue 0.45', measured: '0.447 N/mm' };
    const red = { named: 'red', measured: '0.718 N/mm' };
    const bare = { named: null, measured: '0.5 N/mm' };
    expect(stepsText([blue, red])).toBe('blue 0.45 → red (0.447 → 0.718 N/mm)');
    expect(stepsText([blue, red, blue])).toBe('blue 0.45 → red → blue 0.45 (0.447 → 0.718 → 0.447 N/mm)');
    expect(stepsText([blue, { ...red, measured: '4.1 lb' }])).toBe('blue 0.45 → red (0.447 N/mm → 4.1 lb)');
    expect(stepsText([bare, red])).toBe('0.5 N/mm → red (0.718 N/mm)');
    expect(stepsText([null, red])).toBe('– → red (0.718 N/mm)');
    // Measured anew, it is the same spring.
    expect(stepsText([blue, { ...blue, measured: '0.452 N/mm' }])).toBe('blue 0.45 (0.447 → 0.452 N/mm)');
  });

  it('loses no piece of its name to a unit', () => {
    expect(unitOnce(['0.38 N/mm', '0.45 N/mm'])).toEqual(['0.38', '0.45 N/mm']);
    expect(unitOnce(['16 teeth', '17 teeth'])).toEqual(['16', '17 teeth']);
    for (const names of [
      ['blue soft', 'red soft'],
      ['black 0.50', 'white 0.50'],
      ['612 g', '4 oz'],
    ])
      expect(unitOnce(names)).toEqual(names);
  });
});
