import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const heights = await sheetNamed('heights');
const rear = { axle_droop: '14', axle_ride: '46', axle_bump: '118', shock_droop: '128', shock_ride: '109.5', shock_bump: '64' };

/** Second method: the parabola s = a + b·z + c·z² through three points, by elimination; its slope at the middle one. */
function slopeAtRide(z: readonly [number, number, number], s: readonly [number, number, number]): number {
  const rows = z.map((height, i) => [1, height, height ** 2, s[i]!]);
  for (let column = 0; column < 3; column += 1) {
    const pivot = rows.slice(column).reduce((best, row) => (Math.abs(row[column]!) > Math.abs(best[column]!) ? row : best));
    rows.splice(rows.indexOf(pivot), 1);
    rows.splice(column, 0, pivot);
    for (const row of rows) {
      if (row === pivot) continue;
      const factor = row[column]! / pivot[column]!;
      row.forEach((_, i) => {
        row[i] = row[i]! - factor * pivot[i]!;
      });
    }
  }
  const [b, c] = [rows[1]![3]! / rows[1]![1]!, rows[2]![3]! / rows[2]![2]!];
  return b + 2 * c * z[1];
}

describe('heights: six ruler readings', () => {
  it('gives the travels and the share below ride, by plain subtraction', () => {
    const answer = heights.answer(rear, 'rear');
    for (const [name, value] of [
      ['wheel_travel', 118 - 14],
      ['up_travel', 118 - 46],
      ['down_travel', 46 - 14],
      ['droop_share', (100 * 32) / 104],
      ['motion_ratio_up', 45.5 / 72],
      ['motion_ratio_down', 18.5 / 32],
    ] as const)
      expectNear(numberOf(answer, name), value, 1e-12);
  });

  it('takes the motion ratio from the parabola through the three points', () => {
    const between = draws(301);
    for (let i = 0; i < 40; i += 1) {
      const droop = between(5, 60) - 20;
      const z = [droop, droop + between(10, 60), droop + 60 + between(10, 80)] as const;
      const s2 = between(80, 120);
      const s = [s2 + between(5, 40), s2, s2 - between(5, 60)] as const;
      const answer = heights.answer({
        axle_droop: z[0],
        axle_ride: z[1],
        axle_bump: z[2],
        shock_droop: s[0],
        shock_ride: s[1],
        shock_bump: s[2],
      });
      expectNear(numberOf(answer, 'motion_ratio'), -slopeAtRide(z, s), 1e-8);
    }
  });

  it('finds the ratio of an arm whose shock stands on it, close to its true slope', () => {
    // Second method: an arm of 140 mm with the shock's foot at 80 mm, upper eye 60 mm behind and 100 mm above the pivot; slope by differences.
    const foot = (angle: number) => Math.hypot(80 * Math.cos(angle) - 60, 80 * Math.sin(angle) - 100);
    const at = (height: number) => foot(Math.asin(height / 140));
    const answer = heights.answer({
      axle_droop: -50,
      axle_ride: -20,
      axle_bump: 40,
      shock_droop: at(-50),
      shock_ride: at(-20),
      shock_bump: at(40),
    });
    expectNear(numberOf(answer, 'motion_ratio'), (at(-20.01) - at(-19.99)) / 0.02, 0.01);
  });

  it('carries the ruler: half a millimetre on every reading', () => {
    const loose = Object.fromEntries(Object.entries(rear).map(([name, value]) => [name, `${value} ± 0.5`]));
    const answer = heights.answer(loose);
    const u = 0.5 / Math.sqrt(3);
    expectNear(answerOf(answer, 'wheel_travel').uncertainty, 2 * Math.SQRT2 * u, 1e-6);
    // d(up share)/…: down/travel moves by (1 − share)/travel at ride… carried by hand: ∂/∂droop = −up/travel², ∂/∂ride = 1/travel, ∂/∂bump = −down/travel².
    expectNear(answerOf(answer, 'droop_share').uncertainty, 200 * u * Math.hypot(72 / 104 ** 2, 1 / 104, 32 / 104 ** 2), 1e-5);
    expect(answerOf(heights.answer(rear), 'motion_ratio').uncertainty).toBeNull();
  });

  it('does not care how high the block is', () => {
    const raised = { ...rear, axle_droop: 14 + 37, axle_ride: 46 + 37, axle_bump: 118 + 37 };
    for (const name of ['wheel_travel', 'droop_share', 'motion_ratio', 'motion_ratio_up'])
      expectNear(numberOf(heights.answer(raised), name), numberOf(heights.answer(rear), name), 1e-12);
  });

  it('hands the two ends of the shock’s travel to the sheet travel under the names it reads', () => {
    const answer = heights.answer(rear, 'rear');
    expect([numberOf(answer, 'shock_extended'), numberOf(answer, 'shock_compressed')]).toEqual([128, 64]);
  });

  it('refuses heights and lengths that are out of order, and says which', () => {
    const said = (readings: Record<string, string>) =>
      heights.problems({ ...rear, ...readings }).map(({ reading, text }) => [reading, text]);
    expect(said({ axle_ride: '14' })).toEqual([['axle_ride', 'That does not work out: the axle is no higher at ride than at droop.']]);
    expect(said({ shock_bump: '110' })).toEqual([['shock_bump', 'That does not work out: the shock is no shorter at bump than at ride.']]);
    expect(said({ axle_bump: '2.5 m' })[0]![1]).toMatch(/^Axle bump: "2.5 m" is out\. Give −0.5 to 2 m\./);
  });

  it('hints at readings that were swapped, and says what to do next', () => {
    expect(cautionsOf(heights.answer({ ...rear, shock_droop: '228', shock_ride: '159' }))).toEqual([
      'The shock moves farther than the wheel: readings swapped?',
    ]);
    expect(cautionsOf(heights.answer(rear))).toEqual([]);
    expect(nextOf(heights.answer({ ...rear, axle_ride: '20' }))).toMatch(/^Let it sag more/);
    expect(nextOf(heights.answer({ ...rear, axle_ride: '80' }))).toMatch(/^Raise the ride height/);
  });

  it('is sound at every corner of its ranges', () => {
    expectSoundEverywhere(heights);
  });
});
