import { describe, expect, it } from 'vitest';
import { expectNear } from '../../support/book.ts';
import { answerOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('wheel');
const wheel = { tyre_mass: '96', rim_mass: '38', tyre_diameter: '109', bead_diameter: '56', total: '3027' };

describe('wheel: what turning wheels add', () => {
  it('is the sum of a thousand hoops', () => {
    // Second method: the tyre cut into thin hoops of equal breadth, each m·r².
    const [outer, bead, count] = [54.5, 28, 2000];
    let inertia = 38 * bead ** 2;
    for (let i = 0; i < count; i += 1) {
      const radius = bead + ((i + 0.5) / count) * (outer - bead);
      const mass = (96 * 2 * radius * ((outer - bead) / count)) / (outer ** 2 - bead ** 2);
      inertia += mass * radius ** 2;
    }
    const answer = sheet.answer(wheel);
    expectNear(numberOf(answer, 'inertia'), inertia / 1e6, 1e-6);
    expectNear(numberOf(answer, 'driven_inertia'), (2 * inertia) / 1e6, 1e-6);
    expectNear(numberOf(answer, 'effective_mass'), (4 * inertia) / outer ** 2, 1e-6);
    expectNear(numberOf(answer, 'mass_share'), (100 * 4 * inertia) / outer ** 2 / 3027, 1e-6);
  });

  it('takes as much energy as so much mass carried along: ½ I ω² of four wheels at 10 m/s', () => {
    const answer = sheet.answer(wheel);
    const spin = 10 / 0.0545;
    expectNear((numberOf(answer, 'effective_mass') / 1000) * 100, 4 * (numberOf(answer, 'inertia') / 1000) * spin ** 2, 1e-9);
    // A gram of wheel is carried along once and spun up besides.
    expectNear(numberOf(answer, 'on_the_tread'), 1 + numberOf(answer, 'effective_mass') / (4 * 134), 1e-12);
  });

  it('counts the wheels it is told', () => {
    const [four, two] = [sheet.answer(wheel), sheet.answer({ ...wheel, count: '2' })];
    expectNear(numberOf(two, 'effective_mass'), numberOf(four, 'effective_mass') / 2, 1e-12);
    expect(numberOf(two, 'driven_inertia')).toBe(numberOf(four, 'driven_inertia'));
    expectNear(numberOf(two, 'on_the_tread'), numberOf(four, 'on_the_tread'), 1e-12);
    expect(sheet.problems({ ...wheel, count: '2.5' })[0]!.reading).toBe('count');
  });

  it('carries the ± of the scale', () => {
    const answer = sheet.answer({ ...wheel, tyre_mass: '96 ± 1' });
    expectNear(answerOf(answer, 'inertia').uncertainty, (2 / Math.sqrt(3)) * ((54.5 ** 2 + 28 ** 2) / 2) * 1e-6, 1e-6);
  });

  it('sends for lighter tyres where they weigh much', () => {
    expect(nextOf(sheet.answer({ ...wheel, tyre_mass: '220' }))).toContain('lighter tyres');
    expect(nextOf(sheet.answer(wheel))).toContain('driven inertia');
  });

  it('refuses a bead as large as its tyre', () => {
    expect(sheet.problems({ ...wheel, bead_diameter: '109' })[0]!.text).toBe(
      'That does not work out: the bead is no smaller than the tyre.',
    );
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
