import { describe, expect, it } from 'vitest';
import { expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('sealed_tyre');
const tyre = { air_volume: '240', contact_area: '11' };
/** p·Vⁿ = constant, p absolute in kPa at so many millimetres of squash; 101.325 kPa outside (ISO 2533). */
const pressure = (mm: number, gauge = 0, n = 1.4): number => (gauge + 101.325) * (240 / (240 - (11 * mm) / 10)) ** n - 101.325;

describe('sealed_tyre: shut-in air', () => {
  it('gains force on its print as the air is pressed: the slope at the start', () => {
    // Second method: force = gauge pressure × print, by differences. kPa · cm² = 0.1 N.
    const step = 1e-3;
    const slope = (0.1 * 11 * (pressure(step) - pressure(-step))) / (2 * step);
    expectNear(numberOf(sheet.answer(tyre), 'air_rate'), slope, 1e-6);
    expectNear(numberOf(sheet.answer(tyre), 'air_rate'), (1.4 * 101325 * 11e-4 ** 2) / 240e-6 / 1000, 1e-12);
  });

  it('says how hard the air is at a squash', () => {
    const answer = sheet.answer({ ...tyre, squash: '4', gauge_pressure: '20', polytropic: '1' });
    expectNear(numberOf(answer, 'pressure_at_squash'), pressure(4, 20, 1), 1e-12);
    expectNear(numberOf(sheet.answer({ ...tyre, squash: '4' }), 'pressure_at_squash'), pressure(4), 1e-12);
  });

  it('sets it beside the tyre’s own rate when that is known', () => {
    const answer = sheet.answer({ ...tyre, tyre_rate: '2.9' });
    expectNear(numberOf(answer, 'sealed_rate'), 2.9 + numberOf(answer, 'air_rate'), 1e-12);
    expectNear(numberOf(answer, 'stiffer'), (100 * numberOf(answer, 'air_rate')) / 2.9, 1e-12);
    expect(names(sheet.answer(tyre))).toEqual(['air_rate']);
    expect(nextOf(sheet.answer({ ...tyre, tyre_rate: '1.5' }))).toContain('Open the vents');
    expect(nextOf(answer)).toContain('Press the tyre');
  });

  it('carries the ± of the print twice', () => {
    const answer = sheet.answer({ ...tyre, contact_area: '11 ± 1' });
    expectNear(answerOf(answer, 'air_rate').uncertainty, (2 * 2 * numberOf(answer, 'air_rate')) / 11 / Math.sqrt(3), 1e-6);
  });

  it('warns of a pressure that can throw a bead', () => {
    expect(cautionsOf(sheet.answer({ ...tyre, gauge_pressure: '150' })).join()).toContain('your face away from it');
    expect(cautionsOf(sheet.answer({ ...tyre, squash: '100' })).join()).toContain('throw a bead');
  });

  it('refuses a squash that leaves no room for the air, and reads cc and psi', () => {
    expect(sheet.problems({ ...tyre, squash: '220' })[0]!.text).toBe('That does not work out: that squash leaves no room for the air.');
    expectNear(
      numberOf(sheet.answer({ air_volume: '240 cc', contact_area: '1100 mm2', gauge_pressure: '2 psi' }), 'air_rate'),
      (1.4 * (101325 + 2 * 6894.757293168) * 11e-4 ** 2) / 240e-6 / 1000,
      1e-9,
    );
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
