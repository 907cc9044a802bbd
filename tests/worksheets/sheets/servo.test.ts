import { describe, expect, it } from 'vitest';
import { expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('servo');
const { example } = sheet.sheet;

describe('servo: turning the wheels of a standing truck', () => {
  it('has the root mean square distance of a round print from the kingpin for its lever', () => {
    const [load, grip, width, offset] = [1217, 0.8, 38, 16];
    // Second method: rings and spokes of the print added up, M = μ·W·√(mean of the squared distances).
    let squares = 0;
    const [rings, spokes] = [300, 90];
    for (let i = 0; i < rings; i += 1)
      for (let j = 0; j < spokes; j += 1) {
        const r = (width / 2) * Math.sqrt((i + 0.5) / rings);
        const angle = (2 * Math.PI * (j + 0.5)) / spokes;
        squares += (offset + r * Math.cos(angle)) ** 2 + (r * Math.sin(angle)) ** 2;
      }
    const torque = ((grip * load) / 1000) * 9.80665 * (Math.sqrt(squares / rings / spokes) / 10);
    const answer = sheet.answer(example);
    expectNear(numberOf(answer, 'kingpin_torque'), torque, 1e-6);
    expectNear(numberOf(answer, 'servo_torque'), (torque * 18) / 26 / 0.8, 1e-6);
  });

  it('says the same in kgf·cm: 9.80665 N·cm are 0.1 kgf·cm', () => {
    const answer = sheet.answer(example);
    // ISO 80000-4: 1 kgf = 9.80665 N.
    expectNear(numberOf(answer, 'servo_torque_kgf_cm'), numberOf(answer, 'servo_torque') / 9.80665, 1e-12);
    expectNear(numberOf(answer, 'with_reserve'), (1.5 * numberOf(answer, 'servo_torque')) / 9.80665, 1e-12);
    expect(sheet.sheet.answers.map(({ name, unit }) => `${name} ${unit!.symbol}`)).toEqual([
      'servo_torque_kgf_cm kgf·cm',
      'servo_torque N·cm',
      'kingpin_torque N·cm',
      'with_reserve kgf·cm',
    ]);
  });

  it('asks for 0.8 of grip and 0.8 of the torque when neither is known, and says so', () => {
    const readings = sheet.answer(example).readings.filter(({ from }) => from === 'default');
    expect(readings.map(({ name, value }) => [name, value])).toEqual([
      ['standing_grip', 0.8],
      ['linkage_efficiency', 0.8],
    ]);
    const more = sheet.answer({ ...example, linkage_efficiency: '80 %', standing_grip: '0.4' });
    expectNear(numberOf(more, 'servo_torque'), numberOf(sheet.answer(example), 'servo_torque') / 2, 1e-12);
  });

  it('carries ± of load and grip together', () => {
    const answer = sheet.answer({ ...example, front_load: '1217 ± 10', standing_grip: '0.8 ± 0.1' });
    const relative = Math.hypot(10 / 1217, 0.1 / 0.8) / Math.sqrt(3);
    expectNear(answerOf(answer, 'servo_torque').uncertainty, 2 * relative * numberOf(answer, 'servo_torque'), 1e-6);
  });

  it('names a servo to take, and warns of a stalled one', () => {
    expect(nextOf(sheet.answer(example))).toMatch(/^Take a servo of 2\.6\d* or more/);
    expect(cautionsOf(sheet.answer({ ...example, horn_length: 30 })).join()).toContain('longer than the arm');
    expect(cautionsOf(sheet.answer({ ...example, front_load: '7 kg' })).join()).toContain('is this a 1/10 truck?');
    expect(cautionsOf(sheet.answer(example)).join()).toContain('stalled servo');
  });

  it('tells every slip in the member’s unit', () => {
    expect(sheet.problems({ ...example, front_load: '20 kg', linkage_efficiency: '1.2' }).map(({ text }) => text)).toEqual([
      expect.stringContaining('0.01 to 10 kg'),
      expect.stringContaining('0.05 to 1'),
    ]);
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
