import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('toe');
const { example } = sheet.sheet;
const deg = Math.PI / 180;

describe('toe: gaps between the front wheels', () => {
  it('gives one wheel half of what the gaps say, toe-in positive', () => {
    // By hand: (202 − 200)/(2 · 100 mm) = 0.01, arctan 0.01 = 0.57294°.
    const answer = sheet.answer({ toe_points: '0/200/202', gauge_diameter: 100 });
    expect(numberOf(answer, 'toe')).toBeCloseTo(0.57294, 5);
    expect(numberOf(sheet.answer({ toe_points: '0/202/200', gauge_diameter: 100 }), 'toe')).toBeCloseTo(-0.57294, 5);
  });

  it('fits bump steer as the normal equations do, and takes toe at the point nearest height 0', () => {
    const between = draws(9);
    for (let i = 0; i < 20; i += 1) {
      const rows = [-31, -14, 2, 17, 38].map((height) => [height, between(200, 203), between(200, 203)] as const);
      const answer = sheet.answer({ toe_points: rows.map((row) => row.join('/')).join(' '), gauge_diameter: 96 });
      const points = rows.map(([height, ahead, behind]) => [height, Math.atan((behind - ahead) / 192) / deg] as const);
      const sum = (of: (x: number, y: number) => number): number => points.reduce((total, [x, y]) => total + of(x, y), 0);
      // Second method: the normal equations with their sums written out.
      const slope = (5 * sum((x, y) => x * y) - sum((x) => x) * sum((_, y) => y)) / (5 * sum((x) => x * x) - sum((x) => x) ** 2);
      expect(numberOf(answer, 'bump_steer')).toBeCloseTo(slope, 9);
      expect(numberOf(answer, 'toe')).toBeCloseTo(points[2]![1], 9);
    }
  });

  it('plots toe over height in rising order, in mm and degrees', () => {
    const [curve] = sheet.answer({ ...example, toe_points: '20/200/201 -10/200/200.5' }).curves;
    expect([curve!.over, curve!.unit, curve!.x, curve!.units.toe]).toEqual(['height', 'mm', [-10, 20], 'deg']);
    expect(curve!.answers.toe![0]).toBeCloseTo(Math.atan(0.5 / 192) / deg, 9);
  });

  it('says why there is no bump steer from one point, or from one height, and asks for more', () => {
    const one = sheet.answer({ ...example, toe_points: '0/200/201' });
    expect(answerOf(one, 'bump_steer')).toMatchObject({ value: null, why: 'one point' });
    expect(one.curves).toEqual([]);
    expect(nextOf(one)).toContain('Measure at two more heights');
    expect(answerOf(sheet.answer({ ...example, toe_points: '5/200/201 5/200/202' }), 'bump_steer').why).toBe('one height');
  });

  it('carries the ± of the gauge diameter: toe goes with its inverse', () => {
    const answer = sheet.answer({ toe_points: '0/200/202', gauge_diameter: '100 ± 1' });
    const x = 0.01;
    // d(arctan x)/dd = −x/(1 + x²)/d.
    expectNear(answerOf(answer, 'toe').uncertainty, ((2 / Math.sqrt(3)) * (x / (1 + x * x))) / 100 / deg, 1e-6);
  });

  it('asks back a list that cannot be read', () => {
    expect(sheet.problems({ ...example, toe_points: '0/200/201 5/200' })[0]!.text).toBe(
      'Toe points, item 2: "5/200" has 2 parts. Give height / gap ahead / gap behind.',
    );
    expect(sheet.problems({ ...example, toe_points: '0/0/201' })[0]!.text).toContain('0.1 to 2000 mm');
    expect(sheet.problems({ gauge_diameter: 96 }).map(({ reading }) => reading)).toEqual(['toe_points']);
  });

  it('names the act that fits: shim, adjust, or leave', () => {
    expect(nextOf(sheet.answer({ ...example, toe_points: '0/200/201 20/200/203' }))).toContain('toes in');
    expect(nextOf(sheet.answer({ ...example, toe_points: '0/200/201 20/202/201' }))).toContain('toes out');
    expect(nextOf(sheet.answer({ ...example, toe_points: '0/200/210 20/200/210' }))).toContain('tie rods alike');
    expect(nextOf(sheet.answer({ ...example, toe_points: '0/210/200 20/210/200' }))).toContain('tie rods alike');
    expect(nextOf(sheet.answer(example))).toContain('Leave the tie rods');
    expect(cautionsOf(sheet.answer({ ...example, toe_points: '0/200/250' })).join()).toContain('mistyped');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
