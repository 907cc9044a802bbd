import { describe, expect, it } from 'vitest';
import { expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('joint');
const { example } = sheet.sheet;
const deg = Math.PI / 180;

describe('joint: a cross joint at an angle', () => {
  // J. Carvill, Mechanical Engineer's Data Handbook, sec. 2.4.3 (1/cos α, cos α), and Machinery's Handbook, table of universal-joint speeds; computed by a
  // second method.
  it.each([
    [5, '0.99619', '1.00382'],
    [10, '0.98481', '1.01543'],
    [20, '0.93969', '1.06418'],
    [25, '0.90631', '1.10338'],
    [30, '0.86603', '1.1547'],
  ])('at %d° runs between %s and %s times the speed', (angle, least, most) => {
    const answer = sheet.answer({ joint_angle: angle });
    expectPrinted(numberOf(answer, 'ratio_min'), least);
    expectPrinted(numberOf(answer, 'ratio_max'), most);
    expectNear(numberOf(answer, 'fluctuation'), 100 * (numberOf(answer, 'ratio_max') - numberOf(answer, 'ratio_min')), 1e-9);
  });

  it('loses 200 of 1500 rpm at 20.68°', () => {
    // Theory-of-machines exercise, printed values seen (20.67°, 1603.25 and 1403.39 rpm); recomputed 20.68°, 1603.33 and 1403.33 rpm.
    const answer = sheet.answer({ joint_angle: '20.682314747517438' });
    expectNear(numberOf(answer, 'fluctuation'), (100 * 200) / 1500, 1e-9);
    expectNear(1500 * numberOf(answer, 'ratio_max'), 1603.3296378372906, 1e-9);
    expectNear(1500 * numberOf(answer, 'ratio_min'), 1403.329637837291, 1e-9);
  });

  it('draws half a turn whose mean speed is the driving one', () => {
    const [curve] = sheet.answer({ joint_angle: 20 }).curves;
    expect([curve!.over, curve!.unit, curve!.x[0], curve!.x.at(-1)]).toEqual(['drive_angle', 'deg', 0, 180]);
    const ratios = curve!.answers.ratio as number[];
    // Second method: tan(driven) = cos α · tan(driving), differenced; equal speeds at cos² = 1/(1 + cos α) (Khurmi & Gupta, ch. 9).
    const driven = (degrees: number): number => Math.atan2(Math.sin(degrees * deg), Math.cos(degrees * deg) * Math.cos(20 * deg));
    for (const [i, ratio] of ratios.entries()) {
      const turned = driven(curve!.x[i]! + 0.001) - driven(curve!.x[i]! - 0.001);
      // The arc tangent falls by a whole turn at 180°.
      expect(ratio).toBeCloseTo((turned < 0 ? turned + 2 * Math.PI : turned) / (0.002 * deg), 5);
    }
    expect(ratios.slice(0, -1).reduce((sum, ratio) => sum + ratio, 0) / 180).toBeCloseTo(1, 9);
  });

  it('leaves nothing of it with two equal joints, and 1/cos · cos with unequal ones', () => {
    // Two Hooke's joints in series, phased right; computed by a second method: 1.
    const even = sheet.answer({ joint_angle: 20, second_joint_angle: 20 });
    expect(numberOf(even, 'remaining_ratio_max')).toBeCloseTo(1, 12);
    expect(numberOf(even, 'remaining_fluctuation')).toBeCloseTo(0, 10);
    const odd = sheet.answer({ joint_angle: 24, second_joint_angle: 18 });
    const ratio = Math.cos(18 * deg) / Math.cos(24 * deg);
    expectNear(numberOf(odd, 'remaining_ratio_max'), ratio, 1e-12);
    expectNear(numberOf(odd, 'remaining_fluctuation'), 100 * (ratio - 1 / ratio), 1e-9);
  });

  it('reckons the plunge from the lengths, and whether the slider holds it', () => {
    const answer = sheet.answer(example);
    expect(numberOf(answer, 'plunge')).toBeCloseTo(2.5, 9);
    expect(answerOf(answer, 'slider_fits').value).toBe(true);
    expect(answerOf(sheet.answer({ ...example, slider_max: 93 }), 'slider_fits').value).toBe(false);
    expect(answerOf(sheet.answer({ ...example, slider_min: 91.5 }), 'slider_fits').value).toBe(false);
  });

  it('leaves out what was not measured, and asks for it', () => {
    const answer = sheet.answer({ joint_angle: 24 });
    expect(names(answer)).toEqual(['fluctuation', 'ratio_max', 'ratio_min']);
    expect(answer.wider).toEqual(expect.arrayContaining(['second_joint_angle', 'shaft_droop', 'slider_min']));
    // One length says nothing of the travel.
    expect(names(sheet.answer({ joint_angle: 24, shaft_ride: 90, slider_min: 86, slider_max: 95 }))).not.toContain('slider_fits');
  });

  it('carries the ± of the angle', () => {
    const answer = sheet.answer({ joint_angle: '24 ± 1' });
    // d(1/cos)/dα = sin/cos².
    expectNear(answerOf(answer, 'ratio_max').uncertainty, (2 / Math.sqrt(3)) * deg * (Math.sin(24 * deg) / Math.cos(24 * deg) ** 2), 1e-6);
  });

  it('refuses a slider whose longest is its shortest', () => {
    expect(sheet.problems({ ...example, slider_min: 95 })[0]!.text).toBe(
      "That does not work out: the slider's longest is not above its shortest.",
    );
  });

  it('names the act that fits', () => {
    expect(nextOf(sheet.answer({ ...example, slider_max: 93 }))).toContain('more room than its slider');
    expect(nextOf(sheet.answer({ joint_angle: 32, second_joint_angle: 10 }))).toContain('nearer to each other');
    expect(nextOf(sheet.answer({ joint_angle: 33 }))).toContain('Limit droop');
    expect(nextOf(sheet.answer({ joint_angle: 20, second_joint_angle: 20 }))).toContain('lie in one plane');
    expect(nextOf(sheet.answer({ joint_angle: 20 }))).toContain('other end of the shaft');
    expect(cautionsOf(sheet.answer({ joint_angle: 40 })).join()).toContain('maker’s limit'.replace('’', "'"));
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
