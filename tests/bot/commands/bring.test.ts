import { beforeAll, describe, expect, it } from 'vitest';
import { bringFor, kindsOf, needsOf, toolsFor } from '../../../bot/commands/bring.ts';
import { shelfOf } from '../../../bot/commands/pit.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
import { kind } from '../../../worksheets/engine/units.ts';
import { jobsOf } from '../../../worksheets/engine/unlock.ts';

// Which tool measures what: common practice, no source.
describe('what to bring', () => {
  let shelf: ReturnType<typeof shelfOf>;
  beforeAll(async () => {
    shelf = shelfOf(await loadSheets(await loadFormulas()));
  });
  const spec = (sheet: string, name: string) => shelf.sheets.get(sheet)!.readings.find((one) => one.name === name)!;
  /** As if this were next, for the sheets that read it. */
  const next = (fact: string) => {
    const { spec: reading } = shelf.reads.get(fact)![0]!;
    const jobs = jobsOf(shelf.sheets.values()).filter(({ sheet, end }) =>
      sheet.readings.some(({ name }) => (sheet.ends ? `${end}_${name}` : name) === fact),
    );
    return { fact, reading, jobs };
  };

  it('is the tool for each kind of quantity, each once, as a bag is packed', () => {
    expect(toolsFor(['time', 'mass', 'length', 'force', 'mass'])).toEqual([
      'a scale',
      'a ruler or calipers',
      'a stopwatch or a phone that films',
    ]);
    expect(toolsFor(['count', 'viscosity', 'ratio', 'motor constant'])).toEqual([]);
    for (const one of [
      'mass',
      'force',
      'length',
      'angle',
      'time',
      'frequency',
      'per time',
      'temperature',
      'voltage',
      'current',
      'resistance',
      'pressure',
    ]) {
      expect(kind(one), one).toBeDefined();
      expect(toolsFor([one]), one).toHaveLength(1);
    }
  });

  it('of a list its columns, of what is chosen nothing, of the length of a track a tape', () => {
    expect(toolsFor(kindsOf(spec('press', 'press_points')))).toEqual(['a scale', 'a ruler or calipers']);
    expect(kindsOf(spec('corners', 'target_rear'))).toEqual([]);
    expect(toolsFor(kindsOf(spec('corners', 'wheelbase')))).toEqual(['a ruler or calipers']);
    expect(toolsFor(kindsOf(spec('whoops', 'spacing')))).toEqual(['a tape measure']);
  });

  it('for what another sheet works out is what that sheet still needs', () => {
    expect(bringFor(shelf, [next('wheelbase')], new Map())).toEqual(['a ruler or calipers']);
    const by = shelf.answering.get('cg_height')![0]!.sheet;
    expect(bringFor(shelf, [next('cg_height')], new Map())).toEqual(toolsFor(needsOf(by, () => false)));
    const all = new Map(by.readings.map(({ name }) => [name, { typed: '1', uncertainty: null }]));
    expect(bringFor(shelf, [next('cg_height')], all)).toEqual([]);
  });
});
