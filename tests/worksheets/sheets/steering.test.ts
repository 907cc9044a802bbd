import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('steering');
const { example } = sheet.sheet;
const deg = Math.PI / 180;

describe('steering: two front wheels in a turn', () => {
  it('finds the ideal outer angle of 22.12744° for 30° inside, 240 mm between kingpins on 330 mm', () => {
    // cot(outer) − cot(inner) = c/b (Khurmi & Gupta, Theory of Machines, ch. 9); c is the distance between the kingpins. Computed by a second method.
    const answer = sheet.answer({ inner_angle: 30, outer_angle: 25, wheelbase: 330, kingpin_track: 240 });
    expectNear(numberOf(answer, 'ideal_outer'), 22.12743969540985, 1e-9);
    expectNear(numberOf(answer, 'outer_error'), 25 - 22.12743969540985, 1e-9);
    expectNear(numberOf(answer, 'ackermann_share'), (100 * 5) / (30 - 22.12743969540985), 1e-9);
  });

  it('turns about the place where a drawn line through the inner hub meets the rear axle’s line', () => {
    const between = draws(6);
    for (let i = 0; i < 20; i += 1) {
      const [inner, wheelbase, track] = [between(3, 45), between(250, 400), between(180, 300)];
      const answer = sheet.answer({ inner_angle: inner, outer_angle: inner / 2, wheelbase, kingpin_track: track });
      // Second method: walk from the inner kingpin along the hub's line until the rear axle's line is reached.
      const steps = wheelbase / Math.sin(inner * deg);
      const radius = track / 2 + steps * Math.cos(inner * deg);
      expectNear(numberOf(answer, 'turn_radius'), radius, 1e-9);
      expectNear(numberOf(answer, 'turn_circle'), 2 * radius, 1e-9);
    }
  });

  it('is 0 % with parallel wheels, 100 % at the ideal, negative when the outer wheel turns more', () => {
    const share = (outer: number): number => numberOf(sheet.answer({ ...example, outer_angle: outer }), 'ackermann_share');
    expect(share(31)).toBeCloseTo(0, 10);
    expect(share(numberOf(sheet.answer(example), 'ideal_outer'))).toBeCloseTo(100, 9);
    expect(share(34)).toBeLessThan(0);
  });

  it('carries ± of both angles: by hand, a degree outside is 100/(inner − ideal) points', () => {
    const answer = sheet.answer({ ...example, outer_angle: '26 ± 1' });
    expectNear(answerOf(answer, 'ackermann_share').uncertainty, ((2 / Math.sqrt(3)) * 100) / (31 - numberOf(answer, 'ideal_outer')), 1e-6);
    expect(answerOf(answer, 'turn_radius').uncertainty).toBeNull();
    expect(answerOf(sheet.answer({ ...example, inner_angle: '31 ± 0.5' }), 'turn_radius').uncertainty).toBeGreaterThan(0);
  });

  it('says which arms to change, and asks when the wheels seem mixed up', () => {
    expect(nextOf(sheet.answer({ ...example, outer_angle: 30 }))).toContain('further inward');
    expect(nextOf(sheet.answer({ ...example, outer_angle: 20 }))).toContain('less inward');
    expect(nextOf(sheet.answer(example))).toContain('full circle');
    expect(cautionsOf(sheet.answer({ ...example, outer_angle: 34 })).join()).toContain('mixed up');
    expect(cautionsOf(sheet.answer({ ...example, kingpin_track: 400 })).join()).toContain('longer than the wheelbase');
  });

  it('refuses a wheel that points backwards, with its range', () => {
    expect(sheet.problems({ ...example, outer_angle: -3 })[0]!.text).toContain('0 to 80');
    expect(sheet.problems({ ...example, inner_angle: 0 })[0]!.text).toContain('0.1 to 80');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
