import { describe, expect, it } from 'vitest';
import { expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('pack');
const twoCells = { capacity: '5000', cells: '2s', mean_current: '20' };

describe('pack', () => {
  it('runs, sags and holds energy as worked out by hand', () => {
    // By hand: 5 A·h × 80 % at 20 A are 12 min; 7.4 V less 20 A × 10 mΩ are 7.2 V; 5 A·h × 7.4 V are 37 Wh.
    const answer = sheet.answer(twoCells);
    expectNear(numberOf(answer, 'runtime'), 12, 1e-12);
    expectNear(numberOf(answer, 'voltage_under_load'), 7.2, 1e-12);
    expectNear(numberOf(answer, 'cell_under_load'), 3.6, 1e-12);
    expectNear(numberOf(answer, 'energy'), 37, 1e-12);
  });

  it('gives the current of a C rating', () => {
    // IEC 61434, It: 120 mAh at 2 C: 240 mA (printed value seen). A cell maker's definition: 1000 mAh at 0.1 C is 100 mA.
    expectNear(numberOf(sheet.answer({ ...twoCells, capacity: '120', c_rating: '2C' }), 'max_current'), 0.24, 1e-12);
    expectNear(numberOf(sheet.answer({ ...twoCells, capacity: '1000', c_rating: '0.1' }), 'max_current'), 0.1, 1e-12);
    const without = sheet.answer(twoCells);
    expect(names(without)).not.toContain('max_current');
    expect(without.wider).toEqual(['c_rating']);
  });

  it('takes what the charger put back, over the time driven, for the mean current', () => {
    // By hand: 1.85 A·h in 6.5 min are 1.85 × 60/6.5 = 17.0769 A.
    const { mean_current: _, ...asked } = twoCells;
    const answer = sheet.answer({ ...asked, put_back: '1850', driven_for: '6:30' });
    expectNear(numberOf(answer, 'mean_current_used'), (1.85 * 60) / 6.5, 1e-12);
    expectNear(numberOf(answer, 'runtime'), (4 * 60) / ((1.85 * 60) / 6.5), 1e-12);
    expect(sheet.answer({ ...asked, put_back: '1850' }).wider).toContain('driven_for');
  });

  it('wants the mean current or what was put back, and not both', () => {
    const { mean_current: _, ...asked } = twoCells;
    expect(sheet.problems(asked)).toMatchObject([
      { reading: 'mean_current', text: 'Mean current is missing. Give mean current or put back.' },
    ]);
    expect(sheet.problems({ ...twoCells, put_back: '1000' })[0]!.text).toBe('Give mean current or put back, not both.');
  });

  it('carries the ± of the mean current to the minutes', () => {
    // 12 min per 20 A: one ampere is 0.6 min; half-width 1 A, rectangular, doubled.
    const { uncertainty } = answerOf(sheet.answer({ ...twoCells, mean_current: '20 ± 1' }), 'runtime');
    expectNear(uncertainty, (2 * 0.6) / Math.sqrt(3), 1e-6);
  });

  it('refuses a current that the pack cannot push through itself', () => {
    expect(sheet.problems({ ...twoCells, mean_current: '500', pack_resistance: '20' })).toMatchObject([
      { reading: 'mean_current', text: 'That does not work out: the pack cannot push that current through its own resistance.' },
    ]);
  });

  it('always says how to charge a pack, and warns of one that is too weak', () => {
    const charging = "never unattended, within the maker's limits";
    expect(cautionsOf(sheet.answer(twoCells)).join(' ')).toContain(charging);
    const weak = sheet.answer({ ...twoCells, mean_current: '150', c_rating: '20' });
    expect(cautionsOf(weak).join(' ')).toContain('more than the C rating allows');
    expect(cautionsOf(weak).join(' ')).toContain('lowest voltage that its maker allows');
    expect(nextOf(weak)).toContain('Take a stronger pack or a smaller pinion');
    expect(nextOf(sheet.answer(twoCells))).toContain('Set the timer to 12');
  });

  it('asks for a shorter run when more than the usable part was put back', () => {
    const { mean_current: _, ...asked } = twoCells;
    expect(nextOf(sheet.answer({ ...asked, put_back: '4500', driven_for: '14' }))).toContain('Drive shorter');
    expect(cautionsOf(sheet.answer({ ...asked, put_back: '5200', driven_for: '14' })).join(' ')).toContain(
      'More was put back than the pack holds',
    );
  });

  it('answers or says why not, all over its ranges', () => {
    const { mean_current: _, ...asked } = twoCells;
    for (const capacity of ['10', '100000'])
      for (const put_back of ['1', '100000'])
        for (const driven_for of ['0.1', '1000']) {
          const answer = sheet.answer({ ...asked, capacity, put_back, driven_for, pack_resistance: '0' });
          expect(Number.isFinite(numberOf(answer, 'runtime'))).toBe(true);
        }
    // The corners of a question that gives the mean current: of "exactly one" the other stays out.
    const { put_back: _back, driven_for: _for, ...example } = sheet.sheet.example;
    const readings = sheet.sheet.readings.filter(({ name }) => name !== 'put_back' && name !== 'driven_for');
    expectSoundEverywhere({ ...sheet, sheet: { ...sheet.sheet, example: { ...example, mean_current: '20' }, readings } });
  });
});
