import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('beam');
const { example } = sheet.sheet;
const deg = Math.PI / 180;

describe('beam: a wheel on a swing beam', () => {
  it('leans its top in by 30° when a beam of 200 mm, pivot at wheel height, rises by 100 mm', () => {
    // By hand: sin 30° = 1/2; the foot stands at 200·cos 30° + 50·sin 30° − 200 mm; the roll centre at 50·(200 − 40)/200 mm.
    const answer = sheet.answer({ beam_length: 200, pivot_height: 50, wheel_radius: 50, pivot_across: -40, bump: 100, droop: 100 });
    expect(numberOf(answer, 'camber_bump')).toBeCloseTo(-30, 10);
    expect(numberOf(answer, 'camber_droop')).toBeCloseTo(30, 10);
    expectNear(numberOf(answer, 'half_track_change_bump'), 200 * Math.cos(30 * deg) + 25 - 200, 1e-9);
    expectNear(numberOf(answer, 'half_track_change_droop'), 200 * Math.cos(30 * deg) - 25 - 200, 1e-9);
    expectNear(numberOf(answer, 'scrub'), 50, 1e-9);
    expectNear(numberOf(answer, 'roll_centre_height'), 40, 1e-12);
    expectNear(numberOf(answer, 'front_roll_centre'), 40, 1e-12);
  });

  it('turns beam, wheel and foot about the pivot as one piece', () => {
    const between = draws(3);
    for (let i = 0; i < 30; i += 1) {
      const [length, pivot, radius, tilt] = [between(120, 260), between(30, 90), between(40, 65), between(2, 18) * deg];
      // Second method: the wheel centre and the foot as places from the pivot, turned by a drawn angle; the rise is read off then.
      const turned = (x: number, y: number, angle: number) => [
        x * Math.cos(angle) - y * Math.sin(angle),
        x * Math.sin(angle) + y * Math.cos(angle),
      ];
      const rise = (angle: number): number => turned(length, radius - pivot, angle)[1]! - (radius - pivot);
      const [bump, droop] = [rise(tilt), -rise(-tilt)];
      if (bump <= 0 || droop <= 0) continue;
      const answer = sheet.answer({ beam_length: length, pivot_height: pivot, wheel_radius: radius, pivot_across: -30, bump, droop });
      expect(numberOf(answer, 'camber_bump')).toBeCloseTo(-tilt / deg, 8);
      expect(numberOf(answer, 'camber_droop')).toBeCloseTo(tilt / deg, 8);
      expect(numberOf(answer, 'half_track_change_bump')).toBeCloseTo(turned(length, -pivot, tilt)[0]! - length, 8);
      expect(numberOf(answer, 'half_track_change_droop')).toBeCloseTo(turned(length, -pivot, -tilt)[0]! - length, 8);
    }
  });

  it('carries the ± of the travel to the camber: a millimetre is 1/length rad on a level beam', () => {
    const level = { ...example, pivot_height: 55, bump: '0.001 ± 0.5' };
    expectNear(answerOf(sheet.answer(level), 'camber_bump').uncertainty, (2 * 0.5) / Math.sqrt(3) / 188 / deg, 1e-4);
    const answer = sheet.answer({ ...example, bump: '58 ± 2' });
    expect(answerOf(answer, 'camber_bump').uncertainty).toBeGreaterThan(0);
    expect(answerOf(answer, 'roll_centre_height').uncertainty).toBeNull();
  });

  it('stands still without bump and droop, with their ± too', () => {
    const answer = sheet.answer({ ...example, bump: '0 ± 1', droop: 0 });
    expect(numberOf(answer, 'camber_bump')).toBeCloseTo(0, 12);
    expect(answerOf(answer, 'camber_bump').uncertainty).toBeGreaterThan(0);
  });

  it.each([
    [{ bump: 250 }, 'That does not work out: the beam is too short for that much bump.'],
    [{ droop: 250 }, 'That does not work out: the beam is too short for that much droop.'],
    [{ pivot_across: -200 }, 'That does not work out: the wheel would not stand on its own side of the centre line.'],
  ])('refuses %o', (slip, text) => {
    expect(sheet.problems({ ...example, ...slip }).map((problem) => problem.text)).toEqual([text]);
  });

  it('says what to change first, and asks where a slip is likely', () => {
    expect(nextOf(sheet.answer({ ...example, beam_length: 110, pivot_across: 30 }))).toContain('Take a longer beam');
    expect(nextOf(sheet.answer({ ...example, pivot_height: 110 }))).toContain('Lower the pivot');
    expect(cautionsOf(sheet.answer({ ...example, beam_length: 48, bump: 20, droop: 20 })).join()).toContain('shorter than the wheel');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
