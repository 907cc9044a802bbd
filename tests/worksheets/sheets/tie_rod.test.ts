import { describe, expect, it } from 'vitest';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('tie_rod');
const { example } = sheet.sheet;
const deg = Math.PI / 180;

/** Second method: the outer angle at which the distance between the two balls is the tie rod's length, by halving. */
function closed(arm: number, lean: number, inner: number, track: number): { outer: number; rod: number } {
  const ball = (side: 1 | -1, turned: number) => [
    (side * track) / 2 - side * arm * Math.sin(lean - side * turned),
    -arm * Math.cos(lean - side * turned),
  ];
  const apart = (outer: number): number => {
    const [[x1, y1], [x2, y2]] = [ball(-1, inner), ball(1, outer)] as [[number, number], [number, number]];
    return Math.hypot(x2 - x1, y2 - y1);
  };
  const [[a], [b]] = [ball(-1, 0), ball(1, 0)] as [[number, number], [number, number]];
  const rod = b - a;
  // Turning the outer wheel too carries its ball away from the inner one.
  let [low, high] = [-0.5, 1.2];
  for (let i = 0; i < 100; i += 1) {
    const middle = (low + high) / 2;
    if (apart(middle) > rod) high = middle;
    else low = middle;
  }
  return { outer: low, rod };
}

describe('tie_rod: arms and a tie rod', () => {
  it('turns the outer wheel to where the tie rod has its length again', () => {
    const between = draws(12);
    for (let i = 0; i < 30; i += 1) {
      const [arm, lean, inner, track] = [between(20, 35), between(2, 25), between(4, 35), between(200, 280)];
      const { outer, rod } = closed(arm, lean * deg, inner * deg, track);
      const answer = sheet.answer({
        steering_arm: arm,
        steering_arm_angle: lean,
        inner_angle: inner,
        kingpin_track: track,
        wheelbase: 330,
      });
      expect(numberOf(answer, 'outer_angle')).toBeCloseTo(outer / deg, 6);
      expectNear(numberOf(answer, 'tie_rod_length'), rod, 1e-12);
      const ideal = Math.atan(1 / (1 / Math.tan(inner * deg) + track / 330)) / deg;
      expect(numberOf(answer, 'ideal_outer')).toBeCloseTo(ideal, 9);
      expect(numberOf(answer, 'ackermann_share')).toBeCloseTo((100 * (inner - outer / deg)) / (inner - ideal), 4);
    }
  });

  it('points the arms at the middle of the rear axle: 12.5° for 1.2 m between the kingpins on 2.7 m, here a tenth of it', () => {
    // Khurmi & Gupta, Theory of Machines, ch. 9 (Davis gear), tan α = c/2b: 12.5°, printed value from memory, recomputed 12.53°.
    const answer = sheet.answer({ ...example, kingpin_track: 120, wheelbase: 270 });
    expectPrinted(numberOf(answer, 'arm_angle_to_axle'), '12.5');
    expectNear(numberOf(answer, 'arm_angle_to_axle'), Math.atan(120 / 540) / deg, 1e-12);
  });

  it('comes near the ideal with arms that point there, and steers alike with straight ones', () => {
    const share = (angle: number, inner: number): number =>
      numberOf(sheet.answer({ ...example, steering_arm_angle: angle, inner_angle: inner }), 'ackermann_share');
    expect(share(numberOf(sheet.answer(example), 'arm_angle_to_axle'), 40)).toBeGreaterThan(75);
    expect(Math.abs(share(0, 5))).toBeLessThan(1e-6);
    // The page: a degree of lean is worth about 4 points.
    expect(share(17, 31) - share(16, 31)).toBeCloseTo(4, 0);
  });

  it('gives the curve over the inner angle, and no value where the rod cannot follow', () => {
    const [curve] = sheet.answer(example).curves;
    expect([curve!.over, curve!.unit, curve!.x.length, curve!.here]).toEqual(['inner_angle', 'deg', 12, 31]);
    expect(curve!.x.at(-1)).toBeCloseTo(60, 9);
    const at30 = closed(26, 16 * deg, 30 * deg, 232);
    expect(curve!.answers.outer_angle![5]).toBeCloseTo(at30.outer / deg, 6);
    const stuck = sheet.answer({ ...example, steering_arm: 45, steering_arm_angle: -10, inner_angle: 20 }).curves[0]!;
    expect(stuck.answers.outer_angle!.at(-1)).toBeNull();
  });

  it('carries ± of the arm’s lean', () => {
    const answer = sheet.answer({ ...example, steering_arm_angle: '16 ± 1' });
    const slope = (closed(26, 16.01 * deg, 31 * deg, 232).outer - closed(26, 15.99 * deg, 31 * deg, 232).outer) / (0.02 * deg);
    expectNear(answerOf(answer, 'outer_angle').uncertainty, (2 / Math.sqrt(3)) * Math.abs(slope), 1e-4);
    expect(answerOf(answer, 'ideal_outer').uncertainty).toBeNull();
  });

  it.each([
    [{ steering_arm: 400, steering_arm_angle: 20 }, 'That does not work out: the two steering arms would meet in the middle.'],
    [
      { steering_arm: 45, steering_arm_angle: -10, inner_angle: 80 },
      'That does not work out: the tie rod and the outer arm come into one line before the inner wheel turns that far.',
    ],
  ])('refuses %o', (slip, text) => {
    expect(sheet.problems({ ...example, ...slip }).map((problem) => problem.text)).toEqual([text]);
  });

  it('says how far to lean the arms', () => {
    expect(nextOf(sheet.answer({ ...example, steering_arm_angle: 5 }))).toContain('further in, up to 19');
    expect(nextOf(sheet.answer({ ...example, steering_arm_angle: 35 }))).toContain('Lean the arms less');
    expect(nextOf(sheet.answer(example))).toContain('Set the tie rod to 217.6');
    expect(cautionsOf(sheet.answer({ ...example, steering_arm_angle: -10 })).join()).toContain('lean outward');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
