import { describe, expect, it } from 'vitest';
import { expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('inertia');
const hung = { total: '3027', string_spacing: '400', string_length: '900', period: '1.24' };

describe('inertia: a swing on two strings', () => {
  it('gives back a bar’s m·l²/12 when the bar is timed as energy says', () => {
    // Young & Freedman, University Physics, table 9.2: a slender rod, m·l²/12. Second method for the period: the quarter swing integrated from
    // energy. Turned by φ, the rod on strings b from its middle rises by ℓ − √(ℓ² − (2b·sin(φ/2))²).
    const [mass, rod, spacing, length, swing] = [2, 0.6, 0.4, 1.2, 0.02];
    const [inertia, b] = [(mass * rod ** 2) / 12, spacing / 2];
    const rise = (turn: number): number => length - Math.sqrt(length ** 2 - (2 * b * Math.sin(turn / 2)) ** 2);
    // φ = swing · sin θ takes the square-root end out of the integral.
    const steps = 2000;
    let quarter = 0;
    for (let i = 0; i < steps; i += 1) {
      const theta = ((i + 0.5) / steps) * (Math.PI / 2);
      const turn = swing * Math.sin(theta);
      const speed = Math.sqrt((2 * mass * 9.80665 * (rise(swing) - rise(turn))) / inertia);
      quarter += ((swing * Math.cos(theta)) / speed) * (Math.PI / 2 / steps);
    }
    const answer = sheet.answer({ total: 1000 * mass, string_spacing: 1000 * spacing, string_length: 1000 * length, period: 4 * quarter });
    expectNear(numberOf(answer, 'pitch_inertia'), inertia, 1e-4);
  });

  it('gives what the contract’s formulas give', () => {
    const answer = sheet.answer({ ...hung, wheelbase: '330', rear_share: '59.6' });
    const inertia = (3.027 * 9.80665 * 0.2 ** 2 * 1.24 ** 2) / (4 * Math.PI ** 2 * 0.9);
    expectNear(numberOf(answer, 'pitch_inertia'), inertia, 1e-12);
    expectNear(numberOf(answer, 'dynamic_index'), inertia / (3.027 * 0.33 * 0.596 * 0.33 * 0.404), 1e-12);
  });

  it('counts the period twice in its ±', () => {
    const answer = sheet.answer({ ...hung, period: '1.24 ± 0.01' });
    const value = numberOf(answer, 'pitch_inertia');
    expectNear(answerOf(answer, 'pitch_inertia').uncertainty, 2 * 2 * value * (0.01 / Math.sqrt(3) / 1.24), 1e-6);
  });

  it('leaves the dynamic index out without wheelbase and rear share', () => {
    const answer = sheet.answer(hung);
    expect(names(answer)).toEqual(['pitch_inertia']);
    expect([...answer.wider].sort()).toEqual(['rear_share', 'wheelbase']);
  });

  it('asks whether half swings were counted', () => {
    expect(cautionsOf(sheet.answer({ ...hung, period: '0.62', wheelbase: '330', rear_share: '60' })).join()).toContain('half swings');
  });

  it('refuses a truck that stands on one axle alone', () => {
    expect(sheet.problems({ ...hung, wheelbase: '330', rear_share: '100' })[0]!.text).toBe(
      'That does not work out: one axle would carry nothing.',
    );
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
