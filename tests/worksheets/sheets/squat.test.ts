import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('squat');
const { example } = sheet.sheet;

/** Second method: statics of the axle alone. A push of 1 at the ground, a force along each link; what the ground bears of the load transfer. */
function byStatics(links: readonly (readonly [number, number, number, number])[], height: number, wheelbase: number): number {
  const [[ax, ay, bx, by], [cx, cy, dx, dy]] = links as [[number, number, number, number], [number, number, number, number]];
  const [lower, upper] = [
    [bx - ax, by - ay],
    [dx - cx, dy - cy],
  ] as const;
  // Forward: l·lower.x + u·upper.x = −1. Moments about the foot: l·(a × lower) + u·(c × upper) = 0. Upward: the rest is the ground's.
  const [m, n] = [ax! * lower[1] - ay! * lower[0], cx! * upper[1] - cy! * upper[0]];
  const det = lower[0] * n - upper[0] * m;
  const [l, u] = [-n / det, m / det];
  return -(l * lower[1] + u * upper[1]) / (height / wheelbase);
}

const typed = (links: readonly (readonly number[])[], height: number, wheelbase: number) =>
  Object.fromEntries([
    ...['lower', 'upper'].flatMap((link, i) =>
      ['axle_ahead', 'axle_up', 'chassis_ahead', 'chassis_up'].map((end, k) => [`${link}_${end}`, links[i]![k]!] as const),
    ),
    ['cg_height', height],
    ['wheelbase', wheelbase],
  ]);

describe('squat: links of a live axle', () => {
  it('agrees with the forces in the links, without any instant centre', () => {
    const between = draws(17);
    for (let i = 0; i < 30; i += 1) {
      const links = [
        [-between(1, 20), between(25, 45), between(80, 130), between(40, 70)],
        [between(1, 20), between(75, 100), between(80, 130), between(70, 100)],
      ] as const;
      const [height, wheelbase] = [between(60, 120), between(280, 360)];
      const answer = sheet.answer(typed(links, height, wheelbase));
      const statics = byStatics(links, height, wheelbase);
      expect(numberOf(answer, 'anti_squat')).toBeCloseTo(100 * statics, 6);
    }
  });

  it('meets where two lines meet on paper: 250 mm ahead, 65 mm up, 104 %', () => {
    // By hand: 40 + x/10 = 90 − x/10 at x = 250; (65/250)/(100/400) = 1.04.
    const answer = sheet.answer(typed([[0, 40, 100, 50], [0, 90, 100, 80]], 100, 400)); // biome-ignore format: two links
    expectNear(numberOf(answer, 'instant_centre_ahead'), 250, 1e-12);
    expectNear(numberOf(answer, 'instant_centre_up'), 65, 1e-12);
    expectNear(numberOf(answer, 'anti_squat'), 104, 1e-12);
  });

  it('has no instant centre with parallel links, but their slope', () => {
    const answer = sheet.answer(typed([[0, 40, 100, 50], [0, 90, 100, 100]], 100, 400)); // biome-ignore format: two links
    expect(answerOf(answer, 'instant_centre_ahead')).toMatchObject({ value: null, why: 'parallel' });
    expect(answerOf(answer, 'instant_centre_up')).toMatchObject({ value: null, why: 'parallel' });
    // By hand: (10/100)/(100/400) = 0.4.
    expectNear(numberOf(answer, 'anti_squat'), 40, 1e-12);
  });

  it('gets more where the page says more: lower links up at the chassis, or upper ones down', () => {
    const share = (slip: Record<string, number>): number => numberOf(sheet.answer({ ...example, ...slip }), 'anti_squat');
    const now = share({});
    expect(share({ lower_chassis_up: 58 })).toBeGreaterThan(now);
    expect(share({ upper_chassis_up: 86 })).toBeGreaterThan(now);
    expect(share({ lower_chassis_up: 50 })).toBeLessThan(now);
  });

  it('carries the ± of the CG height: half of it more, a third less', () => {
    const answer = sheet.answer({ ...example, cg_height: '96 ± 3' });
    expectNear(answerOf(answer, 'anti_squat').uncertainty, ((2 * 3) / Math.sqrt(3) / 96) * numberOf(answer, 'anti_squat'), 1e-6);
    expect(answerOf(answer, 'instant_centre_up').uncertainty).toBeNull();
  });

  it.each([
    [{ lower_chassis_ahead: -4, lower_chassis_up: 38 }, 'That does not work out: the two ends of the lower link are one point.'],
    [{ upper_chassis_ahead: 6, upper_chassis_up: 88 }, 'That does not work out: the two ends of the upper link are one point.'],
  ])('refuses %o', (slip, text) => {
    expect(sheet.problems({ ...example, ...slip }).map((problem) => problem.text)).toEqual([text]);
  });

  it('refuses links that meet straight above the tyre’s foot', () => {
    const links = typed([[-50, 40, 50, 40], [-50, 90, 50, -10]], 100, 400); // biome-ignore format: two links
    expect(sheet.problems(links)[0]!.text).toBe('That does not work out: the links meet straight above or below the rear contact point.');
  });

  it('names the hole to try, and asks where ends or links seem mixed up', () => {
    expect(nextOf(sheet.answer({ ...example, lower_chassis_up: 70 }))).toContain('Lower the lower links');
    expect(nextOf(sheet.answer({ ...example, lower_chassis_up: 40 }))).toContain('Raise the lower links');
    expect(nextOf(sheet.answer(example))).toContain('Leave the links');
    expect(cautionsOf(sheet.answer({ ...example, lower_chassis_ahead: -80 })).join()).toContain('ends mixed up');
    expect(cautionsOf(sheet.answer({ ...example, lower_axle_up: 95 })).join()).toContain('links mixed up');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
