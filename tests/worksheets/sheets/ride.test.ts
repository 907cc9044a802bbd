import { describe, expect, it } from 'vitest';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed, type Typed } from '../../support/sheets.ts';

const sheet = await sheetNamed('ride');
const GRAVITY = 9.80665;

const corner = { corner_load: 899, spring_rate: 0.72, motion_ratio: 0.58, unsprung_mass: 210 };

describe('ride', () => {
  it('answers what the contract says, worked out plainly in grams, millimetres and newtons', () => {
    const between = draws(6);
    for (let i = 0; i < 80; i += 1) {
      const [load, rate, ratio] = [between(200, 4000), between(0.05, 20), between(0.2, 2)];
      const [unsprung, preload, travel] = [between(5, 150), i % 4 === 0 ? 0 : between(0.1, 60), between(20, 300)];
      const [frequency, targetSag, track] = [between(0.5, 12), between(0.1, 200), between(100, 600)];
      const readings: Typed = {
        corner_load: load,
        spring_rate: rate,
        motion_ratio: ratio,
        unsprung_mass: unsprung,
        preload,
        wheel_travel: travel,
        target_frequency: frequency,
        target_sag: targetSag,
        track,
      };
      const answer = sheet.answer(readings);
      const sprung = load - unsprung;
      const wheelRate = rate * ratio ** 2;
      const weight = (sprung * GRAVITY) / 1000;
      const sag = Math.max(0, weight / wheelRate - preload / ratio);
      const wanted = (weight / wheelRate - targetSag) * ratio;
      const expected: Record<string, number> = {
        sprung_mass: sprung,
        wheel_rate: wheelRate,
        ride_frequency: Math.sqrt((wheelRate * 1e6) / sprung) / (2 * Math.PI),
        sag,
        up_travel: travel - sag,
        droop_share: (100 * sag) / travel,
        rate_for_target: ((2 * Math.PI * frequency) ** 2 * sprung) / 1e6 / ratio ** 2,
        // N/mm × mm² is N·mm a rad.
        spring_roll_stiffness: ((wheelRate * track ** 2) / 2 / 1000) * (Math.PI / 180),
      };
      for (const [name, value] of Object.entries(expected)) {
        const got = numberOf(answer, name);
        expect(Math.abs(got - value), `${name}: ${got} against ${value}`).toBeLessThanOrEqual(
          1e-11 *
            Math.max(Math.abs(value), name === 'sag' || name === 'up_travel' || name === 'droop_share' ? weight / wheelRate + travel : 0),
        );
      }
      const preloadForSag = answerOf(answer, 'preload_for_sag');
      if (wanted < 0) expect(preloadForSag).toMatchObject({ value: null, why: expect.stringMatching(/./), unit: 'mm' });
      else expectNear(preloadForSag.value, wanted, 1e-9);
    }
  });

  it('sits 9.8 inches down at one swing a second, whatever it weighs', () => {
    // Gillespie, Fundamentals of Vehicle Dynamics, ch. 5: static deflection for 1 Hz, 9.8 in; printed value from memory, recomputed:
    // 9.78 in, 248.4 mm.
    for (const mass of [300, 689, 2000]) {
      const rate = (mass * (2 * Math.PI) ** 2) / 1e6;
      const answer = sheet.answer({ corner_load: mass + 100, unsprung_mass: 100, spring_rate: rate, motion_ratio: 1 });
      expectNear(numberOf(answer, 'ride_frequency'), 1, 1e-12);
      expectPrinted(numberOf(answer, 'sag'), '248.4');
      expectPrinted(numberOf(answer, 'sag') / 25.4, '9.78');
      expectPrinted(numberOf(answer, 'sag') / 25.4, '9.8');
    }
  });

  it('a longer lever on the shock is softer at the wheel, a stiffer spring faster', () => {
    // Common practice, no source: a smaller motion ratio is softer at the wheel.
    const of = (more: Typed, name: string): number => numberOf(sheet.answer({ ...corner, ...more }), name);
    expect(of({ motion_ratio: 0.5 }, 'wheel_rate')).toBeLessThan(of({}, 'wheel_rate'));
    expect(of({ motion_ratio: 0.5 }, 'ride_frequency')).toBeLessThan(of({}, 'ride_frequency'));
    expect(of({ spring_rate: 0.9 }, 'ride_frequency')).toBeGreaterThan(of({}, 'ride_frequency'));
    expectNear(of({ spring_rate: 4 * 0.72 }, 'ride_frequency'), 2 * of({}, 'ride_frequency'), 1e-12);
  });

  it('preload takes away sag and leaves the frequency alone; enough of it takes all of it away', () => {
    const of = (preload: number, name: string): number => numberOf(sheet.answer({ ...corner, preload }), name);
    expectNear(of(0, 'sag') - of(2, 'sag'), 2 / 0.58, 1e-10);
    expect(of(2, 'ride_frequency')).toBe(of(0, 'ride_frequency'));
    expect(of(100, 'sag')).toBe(0);
  });

  it('the spring for the frequency wanted gives that frequency, the preload for the sag wanted that sag', () => {
    const wanted = sheet.answer({ ...corner, target_frequency: 2.4, target_sag: 20 });
    expectNear(sheet.value({ ...corner, spring_rate: numberOf(wanted, 'rate_for_target') }, 'ride_frequency'), 2.4, 1e-12);
    expectNear(sheet.value({ ...corner, preload: numberOf(wanted, 'preload_for_sag') }, 'sag'), 20, 1e-10);
    expect(answerOf(sheet.answer({ ...corner, target_sag: 40 }), 'preload_for_sag').value).toBeNull();
  });

  it('reads lb on a spring as lbf/in, and says so', () => {
    const answer = sheet.answer({ ...corner, spring_rate: '4.1 lb' });
    const rate = answer.readings.find(({ name }) => name === 'spring_rate')!;
    // NIST SP 811 (2008), Appendix B.8: 1 lbf/in = 0.175 126 8 N/mm, exact factors.
    expectNear(rate.value, 4.1 * 0.175126835246476, 1e-12);
    expect(rate).toMatchObject({ unit: 'N/mm', typed: '4.1 lb', note: 'lb on a spring is read as lbf/in' });
  });

  it('leaves out what needs a measure that was not given', () => {
    const answer = sheet.answer(corner);
    expect(names(answer)).toEqual(['ride_frequency', 'wheel_rate', 'sprung_mass', 'sag']);
    expect([...answer.wider].sort()).toEqual(['target_frequency', 'target_sag', 'track', 'wheel_travel']);
  });

  it('carries the ± of rate, lever and masses to the frequency', () => {
    const answer = sheet.answer({
      ...corner,
      spring_rate: '0.72 ± 0.03',
      motion_ratio: '0.58 ± 0.01',
      corner_load: '899 ± 5',
      unsprung_mass: '210 ± 20',
    });
    const parts = [0.03 / 0.72 / 2, 0.01 / 0.58, 5 / 689 / 2, 20 / 689 / 2];
    expectNear(
      answerOf(answer, 'ride_frequency').uncertainty! / numberOf(answer, 'ride_frequency'),
      (2 * Math.hypot(...parts)) / Math.sqrt(3),
      1e-8,
    );
    expectNear(answerOf(answer, 'sprung_mass').uncertainty, (2 * Math.hypot(5, 20)) / Math.sqrt(3), 1e-9);
    expect(answerOf(answer, 'wheel_rate').uncertainty! / numberOf(answer, 'wheel_rate')).toBeCloseTo(
      (2 * Math.hypot(0.03 / 0.72, 0.02 / 0.58)) / Math.sqrt(3),
      8,
    );
  });

  it('says what to do, and warns when it lies on its stops', () => {
    expect(nextOf(sheet.answer({ ...corner, target_frequency: 3 }))).toMatch(/^Fit a spring of about 0\.72/);
    expect(nextOf(sheet.answer({ ...corner, target_sag: 20 }))).toMatch(/^Set 4\.5/);
    expect(nextOf(sheet.answer(corner))).toMatch(/^Let it settle/);
    expect(cautionsOf(sheet.answer({ ...corner, wheel_travel: 20 })).join()).toContain('stops');
    // It sags 27.9 mm here.
    expect(cautionsOf(sheet.answer({ ...corner, wheel_travel: 27.8 })).join()).toContain('stops');
    expect(cautionsOf(sheet.answer({ ...corner, wheel_travel: 28 }))).toEqual([]);
  });

  it('refuses a wheel that is heavier than what stands on it', () => {
    const [problem] = sheet.problems({ ...corner, unsprung_mass: 900 });
    expect(problem!.text).toMatch(/^That does not work out: /);
  });

  it('is sound at the ends of every range', () => {
    expectSoundEverywhere(sheet, 120);
  });
});
