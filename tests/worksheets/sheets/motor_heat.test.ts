import { describe, expect, it } from 'vitest';
import { expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('motor_heat');
const motor = { power_loss: '15', thermal_resistance: '4', heat_capacity: '90', run_time: '300' };

describe('motor_heat', () => {
  it('comes to 58.92 °C after 300 s of 15 W at 4 K/W and 90 J/K in air of 25 °C', () => {
    // Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, ch. 5: C·dT/dt = P − (T − A)/R gives 58.924 107 °C (computed by a second method).
    const answer = sheet.answer(motor);
    expectNear(numberOf(answer, 'final_temperature'), 58.924107489575306, 1e-9);
    expectNear(numberOf(answer, 'steady_temperature'), 85, 1e-12);
  });

  it('warms as the equation does in small steps, up to the limit and beyond', () => {
    // Second method: dT/dt = (P − (T − A)/R)/C in steps of a hundredth of a second.
    const step = 0.01;
    let [warm, time] = [33, 0];
    for (; warm < 80; time += step) warm += ((30 - (warm - 33) / 2) / 115) * step;
    const answer = sheet.answer({
      power_loss: '30',
      thermal_resistance: '2',
      heat_capacity: '115',
      air_temperature: '33',
      run_time: '10:00',
    });
    expectNear(numberOf(answer, 'time_to_limit'), time, 1e-3);
    const [curve] = answer.curves;
    expect(curve).toMatchObject({ over: 'run_time', unit: 's', here: 600 });
    curve!.x.forEach((at, i) => {
      expectNear(curve!.answers.final_temperature![i], 33 + 60 * (1 - Math.exp(-at / 230)), 1e-9);
    });
  });

  it('never reaches a limit above the end, and is there at once in air as warm', () => {
    expect(answerOf(sheet.answer({ ...motor, motor_limit: '86' }), 'time_to_limit')).toMatchObject({ value: null, why: 'never' });
    const at = sheet.answer({ ...motor, air_temperature: '90' });
    expect(answerOf(at, 'time_to_limit').value).toBe(0);
    expect(nextOf(at)).toContain('at its limit within half a minute');
  });

  it('adds a warmer day degree for degree', () => {
    const [cool, hot] = ['15', '35'].map((air_temperature) => numberOf(sheet.answer({ ...motor, air_temperature }), 'final_temperature'));
    expectNear(hot! - cool!, 20, 1e-9);
  });

  it('carries the ± of the loss to the temperature', () => {
    // The rise goes with the loss: 33.924 K for 15 W.
    const { uncertainty } = answerOf(sheet.answer({ ...motor, power_loss: '15 ± 3' }), 'final_temperature');
    expectNear(uncertainty, (2 * (3 / Math.sqrt(3)) * 33.924107489575306) / 15, 1e-6);
  });

  it('says when to stop, in half minutes rounded down, and warns', () => {
    // By hand: 1.5 K/s at first; 55 of 60 K are gone after −360 s·ln(5/60) = 894.6 s, 14.9 min.
    const answer = sheet.answer({ ...motor, run_time: '20 min' });
    expectNear(numberOf(answer, 'time_to_limit'), -360 * Math.log(5 / 60), 1e-9);
    expect(nextOf(answer)).toContain('Stop after 14.5');
    expect(cautionsOf(answer).join(' ')).toContain('before the end of the run');
    const short = sheet.answer(motor);
    expect(nextOf(short)).toContain('Read the can');
    expect(cautionsOf(short)).toHaveLength(1);
    expect(cautionsOf(short)[0]).toContain('burns skin');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
