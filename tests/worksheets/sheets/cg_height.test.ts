import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('cg_height');
const truck = { total: '3027', wheelbase: '330', front_level: '1223', front_raised: '1338', lift: '120', wheel_radius: '52' };

/** Second method: a truck with a known centre of gravity, turned about its front axle, and moments taken about the rear contact. */
function loads(total: number, wheelbase: number, fromFront: number, height: number, lift: number, radius: number) {
  const angle = Math.asin(lift / wheelbase);
  // Level: moments about the rear contact. Raised: both axles and the CG turn about the front axle; what stands still is the wheels' radius.
  const level = (total * (wheelbase - fromFront)) / wheelbase;
  const cgBehindFront = fromFront * Math.cos(angle) - (height - radius) * Math.sin(angle);
  const rearBehindFront = wheelbase * Math.cos(angle);
  return { level, raised: total * (1 - cgBehindFront / rearBehindFront) };
}

describe('cg_height: lifting the tail', () => {
  it('finds the height of a truck whose loads were worked out the other way round', () => {
    const between = draws(11);
    for (let i = 0; i < 30; i += 1) {
      const [total, wheelbase, radius] = [between(1500, 6000), between(250, 450), between(40, 70)];
      const [fromFront, height, lift] = [wheelbase * between(0.4, 0.7), between(60, 140), wheelbase * between(0.2, 0.6)];
      const { level, raised } = loads(total, wheelbase, fromFront, height, lift, radius);
      const answer = sheet.answer({ total, wheelbase, front_level: level, front_raised: raised, lift, wheel_radius: radius });
      expectNear(numberOf(answer, 'cg_height'), height, 1e-9);
      expectNear(numberOf(answer, 'cg_from_front'), fromFront, 1e-9);
    }
  });

  it('takes the sine for lift over wheelbase, and says what one gram is worth', () => {
    const answer = sheet.answer({ ...truck, front_track: '290', rear_track: '300' });
    const slope = Math.tan(Math.asin(120 / 330));
    expectNear(numberOf(answer, 'cg_height'), 52 + (330 * 115) / (3027 * slope), 1e-12);
    expectNear(numberOf(answer, 'static_stability'), 295 / (2 * numberOf(answer, 'cg_height')), 1e-12);
    expectNear(numberOf(answer, 'per_gram'), 330 / (3027 * slope), 1e-12);
    const heavier = sheet.answer({ ...truck, front_raised: '1339' });
    expectNear(numberOf(heavier, 'cg_height') - numberOf(answer, 'cg_height'), numberOf(answer, 'per_gram'), 1e-9);
  });

  it('carries the ± of a reading to the height', () => {
    const answer = sheet.answer({ ...truck, front_raised: '1338 ± 2', front_level: '1223 ± 2' });
    expectNear(answerOf(answer, 'cg_height').uncertainty, 2 * Math.SQRT2 * (2 / Math.sqrt(3)) * numberOf(answer, 'per_gram'), 1e-6);
    expect(answerOf(sheet.answer(truck), 'cg_height').uncertainty).toBeNull();
  });

  it('leaves static stability out without both tracks, and names them', () => {
    const answer = sheet.answer({ ...truck, front_track: '290' });
    expect(names(answer)).not.toContain('static_stability');
    expect(answer.wider).toEqual(['rear_track']);
  });

  it('sends a reading back that did not gain weight, and one lifted too little', () => {
    expect(nextOf(sheet.answer({ ...truck, front_raised: '1200' }))).toContain('did not get heavier');
    expect(nextOf(sheet.answer({ ...truck, lift: '40', front_raised: '1250' }))).toContain('Lift the tail higher');
    expect(cautionsOf(sheet.answer({ ...truck, front_raised: '1900' })).join()).toContain('half the wheelbase');
  });

  it.each([
    [{ lift: '330' }, 'That does not work out: the lift is no less than the wheelbase.'],
    [{ front_level: '3100' }, 'That does not work out: the front axle weighs more than the whole truck.'],
    [{ front_raised: '900' }, 'That does not work out: the front axle got so light that the centre of gravity would be below the ground.'],
  ])('refuses %o', (slip, text) => {
    expect(sheet.problems({ ...truck, ...slip }).map((problem) => problem.text)).toEqual([text]);
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
