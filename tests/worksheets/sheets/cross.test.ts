import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('cross');
const loads = { front_left: '590', front_right: '631', rear_left: '918', rear_right: '872' };
const rates = { front_wheel_rate: '0.19', rear_wheel_rate: '0.24' };

/**
 * Second method: a rigid plate on four springs over a square, its heave, roll and pitch solved by elimination. The collars change each
 * spring's free height at the wheel; the answer is how each corner's load changes, in g.
 */
function moved([kf, kr]: readonly [number, number], raised: readonly number[]): number[] {
  const corners = [
    [1, 1, kf],
    [1, -1, kf],
    [-1, 1, kr],
    [-1, -1, kr],
  ] as const;
  // Σ k (raise − plane) = 0 and its two moments, plane = a + b x + c y.
  const rows = [0, 1, 2].map((row) => {
    const arm = ([x, y]: readonly [number, number, number]): number => [1, x, y][row]!;
    return [
      ...[0, 1, 2].map((column) => corners.reduce((sum, corner) => sum + corner[2] * arm(corner) * [1, corner[0], corner[1]][column]!, 0)),
      corners.reduce((sum, corner, i) => sum + corner[2] * arm(corner) * raised[i]!, 0),
    ];
  });
  for (let i = 0; i < 3; i += 1)
    for (let j = 0; j < 3; j += 1) {
      if (i === j) continue;
      const factor = rows[j]![i]! / rows[i]![i]!;
      rows[j] = rows[j]!.map((value, k) => value - factor * rows[i]![k]!);
    }
  const [a, b, c] = rows.map((row, i) => row[3]! / row[i]!) as [number, number, number];
  return corners.map(([x, y, k], i) => (1000 * k * (raised[i]! - (a + b * x + c * y))) / 9.80665);
}

describe('cross: turning the collars', () => {
  it('brings the cross to one half on a plate of four springs, by either pair', () => {
    const between = draws(12);
    for (let i = 0; i < 30; i += 1) {
      const corners = [between(400, 700), between(400, 700), between(700, 1000), between(700, 1000)];
      const [kf, kr, mf, mr] = [between(0.1, 0.6), between(0.1, 0.6), between(0.4, 0.9), between(0.4, 0.9)];
      const [front_left, front_right, rear_left, rear_right] = corners;
      const answer = sheet.answer({
        ...{ front_left: front_left!, front_right: front_right!, rear_left: rear_left!, rear_right: rear_right! },
        ...{ front_wheel_rate: kf, rear_wheel_rate: kr, front_motion_ratio: mf, rear_motion_ratio: mr, collar_pitch: 0.8 },
      });
      const front = numberOf(answer, 'collar_turns_front') * 0.8;
      const rear = numberOf(answer, 'collar_turns_rear') * 0.8;
      expectNear(numberOf(answer, 'spacer_front'), front, 1e-9);
      expectNear(numberOf(answer, 'spacer_rear'), rear, 1e-9);
      for (const raised of [
        [front / mf, -front / mf, 0, 0],
        [0, 0, -rear / mr, rear / mr],
      ]) {
        const after = moved([kf, kr], raised).map((change, corner) => corners[corner]! + change);
        const total = after.reduce((sum, load) => sum + load, 0);
        expectNear((after[1]! + after[2]!) / total, 0.5, 1e-9);
      }
    }
  });

  it('gives what the contract’s formulas give', () => {
    const answer = sheet.answer({ ...loads, ...rates, collar_pitch: '0.75' });
    const crossLoad = 631 + 918 - 3011 / 2;
    const warp = 1 / (1 / 0.19 + 1 / 0.24);
    expectNear(numberOf(answer, 'cross_load'), crossLoad, 1e-12);
    expectNear(numberOf(answer, 'warp_rate'), warp, 1e-12);
    expectNear(numberOf(answer, 'collar_turns_front'), ((crossLoad / 1000) * 9.80665) / (2 * warp) / 0.75, 1e-9);
    expectNear(numberOf(answer, 'cross_share'), (100 * (631 + 918)) / 3011, 1e-12);
  });

  it('says which collar to tighten, and that right is left the other way round', () => {
    expect(nextOf(sheet.answer({ ...loads, ...rates }))).toMatch(/^Front left [\d.]+ turns tighter, front right as much looser/);
    const swapped = { front_left: '631', front_right: '590', rear_left: '872', rear_right: '918' };
    const answer = sheet.answer({ ...swapped, ...rates });
    expect(nextOf(answer)).toMatch(/^Front right [\d.]+ turns tighter/);
    expectNear(numberOf(answer, 'collar_turns_front'), -numberOf(sheet.answer({ ...loads, ...rates }), 'collar_turns_front'), 1e-12);
  });

  it('leaves the collars alone for less than half an eighth of a turn', () => {
    expect(
      nextOf(sheet.answer({ ...loads, front_left: '630.5', front_right: '630', rear_left: '900', rear_right: '899', ...rates })),
    ).toContain('Leave the collars alone');
  });

  it('carries the ± of the scales', () => {
    const answer = sheet.answer({ ...loads, front_left: '590 ± 3', ...rates });
    // A gram on one corner is half a gram of cross load.
    expectNear(answerOf(answer, 'cross_load').uncertainty, (2 * 3) / Math.sqrt(3) / 2, 1e-6);
    expect(answerOf(answer, 'warp_rate').uncertainty).toBeNull();
  });

  it('averages a second weighing in, and takes the friction that was measured, as corners does', () => {
    const twice = sheet.answer({ ...loads, ...rates, again: '594 629 912 874' });
    const once = sheet.answer({ ...rates, front_left: '592', front_right: '630', rear_left: '915', rear_right: '873' });
    for (const name of ['cross_load', 'cross_share', 'collar_turns_front', 'spacer_rear'])
      expectNear(numberOf(twice, name), numberOf(once, name), 1e-12);
    // Friction of w on a diagonal takes 2w from the other one's two wheels.
    const rubbed = sheet.answer({ ...loads, ...rates, warp: '3 ± 1.5 g' });
    expectNear(numberOf(rubbed, 'cross_load'), numberOf(sheet.answer({ ...loads, ...rates }), 'cross_load') - 6, 1e-12);
    expectNear(answerOf(rubbed, 'cross_load').uncertainty, (2 * 2 * 1.5) / Math.sqrt(3), 1e-9);
  });

  it('reads a pitch in turns and hears of everything that is missing at once', () => {
    expect(numberOf(sheet.answer({ ...loads, ...rates, collar_pitch: '1 mm/turn' }), 'collar_turns_front')).toBe(
      numberOf(sheet.answer({ ...loads, ...rates }), 'collar_turns_front'),
    );
    expect(sheet.problems(loads).map(({ reading }) => reading)).toEqual(['front_wheel_rate', 'rear_wheel_rate']);
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
