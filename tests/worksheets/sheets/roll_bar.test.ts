import { describe, expect, it } from 'vitest';
import { expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('roll_bar');
const { example } = sheet.sheet;
const { spring_roll_stiffness: _, ...alone } = example;

describe('roll_bar: a round bar in torsion', () => {
  it('twists like a shaft of a textbook: solid, 300 mm across, 2 m long, less a bore of 200 mm', () => {
    // S. S. Rao, Mechanical Vibrations in SI Units, 6th edition (2017), example 1.6, p. 63, printed value seen: 25.5255 MN·m/rad at 80 GPa.
    // A bar's end rate is twice that over the arm's square; here with an arm of 1 m, in N/mm.
    const bar = (diameter: string): number =>
      numberOf(
        sheet.answer({ bar_diameter: diameter, bar_length: '2 m', bar_arm: '1 m', track: '1 m', shear_modulus: '80 GPa' }),
        'bar_end_rate',
      );
    expectNear(((bar('300 mm') - bar('200 mm')) * 1000) / 2, 25525500, 1e-5);
  });

  it('follows the contract’s formulas from end to wheel to roll, in N·m a degree', () => {
    const answer = sheet.answer(example, 'rear');
    const end = (2 * 79.3e9 * Math.PI * 0.0013 ** 4) / (32 * 0.104 * 0.034 ** 2);
    expectNear(numberOf(answer, 'bar_end_rate'), end / 1000, 1e-12);
    expectNear(numberOf(answer, 'bar_wheel_rate'), (end * 0.49) / 1000, 1e-12);
    const bar = ((end * 0.49 * 0.282 ** 2) / 2) * (Math.PI / 180);
    expectNear(numberOf(answer, 'bar_roll_stiffness'), bar, 1e-12);
    expectNear(numberOf(answer, 'roll_stiffness'), bar + 0.166, 1e-12);
    expectNear(numberOf(answer, 'bar_share'), (100 * bar) / (bar + 0.166), 1e-12);
  });

  it('leaves springs and bar together out while the springs are not known, and names them', () => {
    const answer = sheet.answer(alone, 'front');
    expect(names(answer)).toEqual(['bar_roll_stiffness', 'bar_wheel_rate', 'bar_end_rate']);
    expect(answer.wider).toEqual(['spring_roll_stiffness']);
    expect(answer.end).toBe('front');
  });

  it('carries the ± of the bar four times over', () => {
    const answer = sheet.answer({ ...alone, bar_diameter: '1.3 ± 0.02' });
    expectNear(
      answerOf(answer, 'bar_end_rate').uncertainty,
      ((2 * 4 * 0.02) / Math.sqrt(3) / 1.3) * numberOf(answer, 'bar_end_rate'),
      1e-6,
    );
  });

  it('says what 0.2 mm more would do, as a bar of that size does', () => {
    const thicker = numberOf(sheet.answer({ ...alone, bar_diameter: 1.5 }), 'bar_roll_stiffness');
    const said = Number(/diameter for ([\d.]+), or/.exec(nextOf(sheet.answer(alone)))![1]);
    expectNear(said, thicker, 1e-9);
    expect(nextOf(sheet.answer({ ...example, bar_diameter: 1.6 }))).toContain('More than half');
    expect(cautionsOf(sheet.answer({ ...alone, bar_diameter: 20, bar_arm: 10 })).join()).toContain('thicker than its arm');
  });

  it('refuses no bar at all, with the range', () => {
    expect(sheet.problems({ ...alone, bar_diameter: 0 })[0]!.text).toBe('Bar diameter: "0" is out. Give 0.1 to 2000 mm.');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
