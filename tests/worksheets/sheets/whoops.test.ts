import { describe, expect, it } from 'vitest';
import { expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('whoops');
const track = { spacing: '2.4', wheelbase: '330', rear_ride_frequency: '2.5' };

/** Rao, Mechanical Vibrations, 3.6: displacement transmissibility of base excitation, at a speed over bumps of a spacing. */
function transmissibility(kmh: number, spacing: number, frequency: number, ratio: number): number {
  const r = kmh / 3.6 / spacing / frequency;
  return Math.sqrt((1 + (2 * ratio * r) ** 2) / ((1 - r ** 2) ** 2 + (2 * ratio * r) ** 2));
}

describe('whoops: the speeds that buck, float and hop', () => {
  it('floats from where the body moves as much as the bumps, whatever the damping', () => {
    const speed = numberOf(sheet.answer(track), 'float_rear');
    for (const ratio of [0.05, 0.3, 0.7, 2]) {
      expectNear(transmissibility(speed, 2.4, 2.5, ratio), 1, 1e-9);
      expect(transmissibility(1.1 * speed, 2.4, 2.5, ratio)).toBeLessThan(1);
      expect(transmissibility(0.9 * speed, 2.4, 2.5, ratio)).toBeGreaterThan(1);
    }
  });

  it('is in tune where an undamped body would build up without end', () => {
    const speed = numberOf(sheet.answer(track), 'in_tune_rear');
    const around = [0.98, 1, 1.02].map((part) => transmissibility(part * speed, 2.4, 2.5, 1e-4));
    expect(around[1]).toBeGreaterThan(100 * Math.max(around[0]!, around[2]!));
  });

  it('gives what the contract’s formulas give', () => {
    const answer = sheet.answer({ ...track, front_ride_frequency: '2.3', rear_hop_frequency: '10.5', speed: '26' });
    expectNear(numberOf(answer, 'in_tune_rear'), 3.6 * 2.5 * 2.4, 1e-12);
    expectNear(numberOf(answer, 'in_tune_front'), 3.6 * 2.3 * 2.4, 1e-12);
    expectNear(numberOf(answer, 'float_rear'), Math.SQRT2 * 3.6 * 2.5 * 2.4, 1e-12);
    expectNear(numberOf(answer, 'float_front'), Math.SQRT2 * 3.6 * 2.3 * 2.4, 1e-12);
    expectNear(numberOf(answer, 'hop_speed'), 3.6 * 10.5 * 2.4, 1e-12);
    expectNear(numberOf(answer, 'passing_frequency'), 26 / 3.6 / 2.4, 1e-12);
    expectNear(numberOf(answer, 'bounce_part'), 100 * Math.abs(Math.cos((Math.PI * 0.33) / 2.4)), 1e-12);
    expectNear(numberOf(answer, 'pitch_part'), 100 * Math.abs(Math.sin((Math.PI * 0.33) / 2.4)), 1e-12);
    // Springs of this frequency float at 26 km/h: √2·f·λ is the speed again.
    expectNear(3.6 * Math.SQRT2 * numberOf(answer, 'frequency_to_float') * 2.4, 26, 1e-12);
  });

  it('leaves out what was not given: the front, the hop, the speed', () => {
    const answer = sheet.answer(track);
    expect(names(answer)).toEqual(['float_rear', 'in_tune_rear', 'bounce_part', 'pitch_part']);
    expect([...answer.wider].sort()).toEqual(['front_ride_frequency', 'rear_hop_frequency', 'speed']);
  });

  it('sends a truck in tune past its float speed or to softer springs, and leaves one that floats', () => {
    expect(nextOf(sheet.answer({ ...track, speed: '26' }))).toBe('Go past 31, or fit springs for 2.1 Hz (ask ride).');
    expect(nextOf(sheet.answer({ ...track, speed: '36' }))).toContain('leave the springs');
    // The slower of the two ends decides: the rear floats at 30.5, the front not before 48.9 km/h.
    expect(nextOf(sheet.answer({ ...track, front_ride_frequency: '4', speed: '36' }))).toContain('Go past 49');
    expect(nextOf(sheet.answer({ ...track, spacing: '6', speed: '26' }))).toContain('or roll them well under');
    expect(nextOf(sheet.answer(track))).toContain('it bucks most near 22');
  });

  it('warns near the speed at which the wheels hop', () => {
    const hop = { ...track, rear_hop_frequency: '10.5' };
    expect(cautionsOf(sheet.answer({ ...hop, speed: '85' })).join()).toContain('near their hop');
    expect(cautionsOf(sheet.answer({ ...hop, speed: '70' })).join()).not.toContain('near their hop');
  });

  it('carries the ± of tape and frequency', () => {
    const answer = sheet.answer({ ...track, spacing: '2.4 ± 0.05', rear_ride_frequency: '2.5 ± 0.1' });
    const relative = Math.hypot(0.05 / 2.4, 0.1 / 2.5) / Math.sqrt(3);
    expectNear(answerOf(answer, 'float_rear').uncertainty, 2 * relative * numberOf(answer, 'float_rear'), 1e-6);
  });

  it('takes spacing and speed in a row, in feet and miles too', () => {
    expect(sheet.sheet.quick).toEqual(['spacing', 'speed']);
    expectNear(numberOf(sheet.answer({ ...track, spacing: '8 ft' }), 'in_tune_rear'), 3.6 * 2.5 * 8 * 0.3048, 1e-12);
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
