import { describe, expect, it } from 'vitest';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('jump');
const ramp = { ramp_angle: '18', speed: '26', drop: '0.2' };
const G = 9.80665;
const DEGREE = Math.PI / 180;

describe('jump: off the lip and down again', () => {
  it('flies like a stone, step by step', () => {
    // Second method: the flight in steps that are exact for a constant pull, stopped by bisection at the landing's height.
    const between = draws(41);
    for (let i = 0; i < 25; i += 1) {
      const [angle, kmh, drop] = [between(5, 50), between(5, 60), between(0.01, 3) - 1];
      const [up, ahead] = [(kmh / 3.6) * Math.sin(angle * DEGREE), (kmh / 3.6) * Math.cos(angle * DEGREE)];
      if (up ** 2 / (2 * G) < -drop) continue;
      const height = (t: number): number => up * t - (G * t ** 2) / 2;
      let [low, high] = [up / G, 60];
      for (let step = 0; step < 100; step += 1) {
        const middle = (low + high) / 2;
        if (height(middle) > -drop) low = middle;
        else high = middle;
      }
      const answer = sheet.answer({ ramp_angle: angle, speed: kmh, drop });
      expectNear(numberOf(answer, 'air_time'), low, 1e-9);
      expectNear(numberOf(answer, 'range'), ahead * low, 1e-9);
      expectNear(numberOf(answer, 'peak_height'), height(up / G), 1e-9);
      expectNear(numberOf(answer, 'landing_speed_vertical'), G * low - up, 1e-8);
      expectNear(numberOf(answer, 'landing_angle'), Math.atan((G * low - up) / ahead) / DEGREE, 1e-8);
    }
  });

  it('flies the printed 90 m: OpenStax, University Physics vol. 1, example 4.9', () => {
    // 31.9 m/s at 30°, g = 9.8 there: 90 m. The range goes with 1/g, and 31.9 is printed to three figures.
    const speed = 31.9 * 3.6 * Math.sqrt(G / 9.8);
    expectPrinted(numberOf(sheet.answer({ ramp_angle: '30', speed }), 'range'), '90');
  });

  it('turns in the air by what the wheels are spun: the sum of both spins stays', () => {
    const answer = sheet.answer({ ...ramp, pitch_rate: '-20', driven_inertia: '0.42', wheel_speed_change: '-200', pitch_inertia: '0.051' });
    const wheels = (0.42e-3 * -200 * 6) / 0.051; // rpm is 6 deg/s
    expectNear(numberOf(answer, 'pitch_from_throttle'), wheels, 1e-12);
    expectNear(numberOf(answer, 'landing_pitch'), 18 + (wheels - 20) * numberOf(answer, 'air_time'), 1e-9);
  });

  it('lands level when the wheels are spun as it says', () => {
    const inertias = { driven_inertia: '0.42', pitch_inertia: '0.051' };
    const change = numberOf(sheet.answer({ ...ramp, pitch_rate: '-60', ...inertias }), 'level_change');
    const level = sheet.answer({ ...ramp, pitch_rate: '-60', ...inertias, wheel_speed_change: change });
    expect(numberOf(level, 'landing_pitch')).toBeCloseTo(0, 9);
  });

  it('presses the springs until all of the fall is in them', () => {
    const answer = sheet.answer({ ...ramp, total: '3027', landing_rate: '1.08' });
    // Energy: m g y + ½ m v² = ½ k y².
    const [y, v] = [numberOf(answer, 'landing_travel') / 1000, numberOf(answer, 'landing_speed_vertical')];
    expectNear(3.027 * G * y + 0.5 * 3.027 * v ** 2, 0.5 * 1080 * y ** 2, 1e-9);
  });

  it('takes twice the two wheel rates where no landing rate is given, and sets the travel against the shorter end', () => {
    const springs = { ...ramp, total: '3027', front_wheel_rate: '0.2', rear_wheel_rate: '0.34' };
    const answer = sheet.answer({ ...springs, front_wheel_travel: '105', rear_wheel_travel: '118' });
    const travel = numberOf(sheet.answer({ ...ramp, total: '3027', landing_rate: '1.08' }), 'landing_travel');
    expectNear(numberOf(answer, 'landing_travel'), travel, 1e-12);
    expectNear(numberOf(answer, 'travel_left'), 105 - travel, 1e-12);
    expectNear(numberOf(sheet.answer({ ...springs, rear_wheel_travel: '118' }), 'travel_left'), 118 - travel, 1e-12);
    expect(nextOf(answer)).toBe(`It wants ${Math.round(travel - 105)} more travel: land on a slope, or slower.`);
    expectNear(
      numberOf(sheet.answer({ ...springs, landing_rate: '5' }), 'landing_travel'),
      numberOf(sheet.answer({ ...ramp, total: '3027', landing_rate: '5' }), 'landing_travel'),
      1e-12,
    );
  });

  it('leaves out what needs masses and inertias that were not given', () => {
    const answer = sheet.answer(ramp);
    expect(names(answer)).toEqual(['range', 'air_time', 'peak_height', 'landing_pitch', 'landing_angle', 'landing_speed_vertical']);
    expectNear(numberOf(answer, 'landing_pitch'), 18, 1e-12);
  });

  it('says what to do in the air, and that nobody stands at the landing', () => {
    expect(nextOf(sheet.answer({ ...ramp, pitch_rate: '20' }))).toContain('touch the brake');
    expect(nextOf(sheet.answer({ ...ramp, pitch_rate: '-90' }))).toContain('stay on the throttle');
    expect(nextOf(sheet.answer({ ...ramp, pitch_rate: '-30' }))).toContain('film it, and put in its pitch rate');
    expect(cautionsOf(sheet.answer(ramp)).join()).toContain('Nobody stands near the landing');
  });

  it('carries the ± of the speed to the range', () => {
    const flat = { ramp_angle: '18', speed: '26 ± 1' };
    const answer = sheet.answer(flat);
    // With no drop the range goes with the speed squared.
    expectNear(answerOf(answer, 'range').uncertainty, (2 * 2 * numberOf(answer, 'range')) / 26 / Math.sqrt(3), 1e-6);
  });

  it('refuses a landing that it never gets as high as', () => {
    expect(sheet.problems({ ...ramp, drop: '-2' })[0]!.text).toBe('That does not work out: the truck never gets as high as the landing.');
  });

  it('stands still on a level lip: no time, no range, no wheel speed that could level it', () => {
    const answer = sheet.answer({ ramp_angle: '0', speed: '26', driven_inertia: '0.42', pitch_inertia: '0.051' });
    expect(numberOf(answer, 'range')).toBe(0);
    expect(names(answer)).not.toContain('level_change');
    const weightless = sheet.answer({ ...ramp, driven_inertia: '0', pitch_inertia: '0.051', wheel_speed_change: '300' });
    expect(numberOf(weightless, 'pitch_from_throttle')).toBe(0);
    expect(names(weightless)).not.toContain('level_change');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
