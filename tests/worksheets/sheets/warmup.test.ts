import { describe, expect, it } from 'vitest';
import { ask } from '../../../worksheets/engine/ask.ts';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('warmup');
const motorHeat = await sheetNamed('motor_heat');
const run = { temperatures: '40 60 70', interval: '2' };

describe('warmup', () => {
  it('of 40, 60 and 70 °C is heading for 80 °C', () => {
    // By hand: what is left to 80 °C is 40, 20, 10 K: halved every 2 min, so the time constant is 2 min/ln 2, and 75 °C comes after three.
    const answer = sheet.answer({ ...run, motor_limit: '75' });
    expectNear(numberOf(answer, 'steady_temperature'), 80, 1e-12);
    expectNear(numberOf(answer, 'time_constant'), 2 / Math.LN2, 1e-12);
    expectNear(numberOf(answer, 'time_to_limit'), 6, 1e-12);
    expectNear(numberOf(answer, 'leverage'), Math.sqrt(33), 1e-12);
  });

  it('gives the contract’s quotients for readings of all sorts, commas and degrees Fahrenheit too', () => {
    const between = draws(12);
    for (let i = 0; i < 40; i += 1) {
      const [t1, step, part] = [between(20, 60), between(2, 40), between(0.1, 0.9)];
      const [t2, t3] = [t1 + step, t1 + step * (1 + part)];
      const answer = sheet.answer({ temperatures: `${t1} ${t2} ${t3}`, interval: '90 s' });
      expectNear(numberOf(answer, 'steady_temperature'), (t2 ** 2 - t1 * t3) / (2 * t2 - t1 - t3), 1e-7);
      expectNear(numberOf(answer, 'time_constant'), 1.5 / Math.log((t2 - t1) / (t3 - t2)), 1e-7);
    }
    expectNear(numberOf(sheet.answer({ ...run, temperatures: '40,0; 60,0; 70,0' }), 'steady_temperature'), 80, 1e-12);
    expectNear(numberOf(sheet.answer({ ...run, temperatures: '104 °F 140 °F 158 °F' }), 'steady_temperature'), 80, 1e-12);
  });

  it('never reaches a limit above the end, and is there at once when the first reading is', () => {
    const never = sheet.answer({ ...run, motor_limit: '81' });
    expect(answerOf(never, 'time_to_limit')).toMatchObject({ value: null, why: 'never' });
    expect(nextOf(sheet.answer({ temperatures: '40 60 65', interval: '4', motor_limit: '81' }))).toContain('stays below its limit');
    const there = sheet.answer({ temperatures: '82 88 91', interval: '2' });
    expect(answerOf(there, 'time_to_limit').value).toBe(0);
    expect(nextOf(there)).toContain('Stop and let it cool');
  });

  it('sends one out in time, rounded down to half a minute', () => {
    // By hand: 79.9 °C is 0.1 K under the end, 400 times less than at first: log₂ 400 × 2 min = 17.29 min.
    const answer = sheet.answer({ ...run, motor_limit: '79.9' });
    expectNear(numberOf(answer, 'time_to_limit'), 2 * Math.log2(400), 1e-9);
    expect(nextOf(answer)).toMatch(/^Stop 17 after the first reading/);
  });

  it('tells when the readings say little', () => {
    expect(nextOf(sheet.answer({ ...run, motor_limit: '90' }))).toContain('Wait longer between readings');
    expect(cautionsOf(sheet.answer({ temperatures: '40 50 59', interval: '1' })).join(' ')).toContain('almost in a line');
  });

  it.each([
    ['40 50 60', 'do not level off'],
    ['40 50 65', 'do not level off'],
    ['40 50 50', 'do not level off'],
    ['40 60 50', 'do not level off'],
    ['40 50', 'has 2 items. Give 3.'],
    ['40 50 55 57', 'has 4 items. Give 3.'],
  ])('refuses %s: %s', (temperatures, text) => {
    const [problem] = sheet.problems({ ...run, temperatures });
    expect(problem).toMatchObject({ reading: 'temperatures' });
    expect(problem!.text).toContain(text);
  });

  it('answers what motor_heat asks for, and that answers the same run again', () => {
    const answer = sheet.answer({ ...run, air_temperature: '22', power_loss: '30' });
    // By hand: 58 K over 30 W, and 2 min/ln 2 over that.
    expectNear(numberOf(answer, 'thermal_resistance'), 58 / 30, 1e-9);
    expectNear(numberOf(answer, 'heat_capacity'), 120 / Math.LN2 / (58 / 30), 1e-9);
    // Second method: the motor so described, from cold: 22 °C plus 58 K × (1 − ½ⁿ) after n times 2 min.
    const after = motorHeat.answer({
      power_loss: '30',
      thermal_resistance: numberOf(answer, 'thermal_resistance'),
      heat_capacity: numberOf(answer, 'heat_capacity'),
      air_temperature: '22',
      run_time: '6 min',
    });
    expectNear(numberOf(after, 'final_temperature'), 22 + 58 * (1 - 1 / 8), 1e-9);
  });

  it('leaves thermal resistance and heat capacity out without loss and air, with no loss, and while it cools', () => {
    expect(sheet.answer(run).wider).toEqual(['air_temperature', 'power_loss']);
    for (const readings of [
      { ...run, air_temperature: '22', power_loss: '0' },
      { ...run, air_temperature: '85', power_loss: '30' },
    ])
      expect(names(sheet.answer(readings))).not.toContain('thermal_resistance');
    expect(answerOf(sheet.answer({ temperatures: '70 60 55', interval: '2' }), 'time_to_limit')).toMatchObject({ why: 'never' });
  });

  it('draws the course from the first reading on', () => {
    const [curve] = sheet.answer(run).curves;
    expect(curve).toMatchObject({ over: 'time', unit: 'min', units: { temperature: '°C' } });
    expectNear(curve!.answers.temperature![0], 40, 1e-9);
    curve!.x.forEach((time, i) => {
      expectNear(curve!.answers.temperature![i], 80 - 40 * 0.5 ** (time / 2), 1e-9);
    });
  });

  it('always says that the motor is hot', () => {
    expect(cautionsOf(sheet.answer(run)).join(' ')).toContain('burns skin');
  });

  it('answers or says why not, all over its ranges', () => {
    expectSoundEverywhere(sheet);
    const answered: string[] = [];
    for (const temperatures of ['-30 200 200', '-30 84 198', '200 0 -30', '-30 -29.999999 -29.9999981', '0 100 199.999', '200 150 120'])
      for (const interval of ['0.05', '240']) {
        const got = ask(sheet.sheet, { readings: { temperatures, interval, air_temperature: '-30', power_loss: '10000' } });
        if (got.kind === 'problems') {
          expect(got.problems[0]!.text).toMatch(/^That does not work out: the readings do not level off/);
          continue;
        }
        answered.push(temperatures);
        for (const { name, value, why } of got.answers) expect(value === null ? why : Number.isFinite(value), name).toBeTruthy();
      }
    expect(new Set(answered).size).toBe(4);
  });
});
