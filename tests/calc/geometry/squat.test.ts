import { describe, expect, it } from 'vitest';
import { absent, si } from '../../../calc/formula.ts';
import { squat } from '../../../calc/geometry/squat.ts';
import { drawn, known, MM, near, refusal } from './check.ts';

type Point = readonly [ahead: number, up: number];
interface Links {
  lower: readonly [axle: Point, chassis: Point];
  upper: readonly [axle: Point, chassis: Point];
}
const asked = ({ lower, upper }: Links, cgHeight = 0.1, wheelbase = 0.4) =>
  squat({
    lowerAxleAhead: si(lower[0][0]),
    lowerAxleUp: si(lower[0][1]),
    lowerChassisAhead: si(lower[1][0]),
    lowerChassisUp: si(lower[1][1]),
    upperAxleAhead: si(upper[0][0]),
    upperAxleUp: si(upper[0][1]),
    upperChassisAhead: si(upper[1][0]),
    upperChassisUp: si(upper[1][1]),
    cgHeight: si(cgHeight),
    wheelbase: si(wheelbase),
  });

/** Solves a 3 × 3 system by Cramer's rule. */
const solve3 = (rows: readonly (readonly number[])[], right: readonly number[]): number[] => {
  const det = (m: readonly (readonly number[])[]): number => {
    const [a, b, c] = m as [number[], number[], number[]];
    return a[0]! * (b[1]! * c[2]! - b[2]! * c[1]!) - a[1]! * (b[0]! * c[2]! - b[2]! * c[0]!) + a[2]! * (b[0]! * c[1]! - b[1]! * c[0]!);
  };
  return [0, 1, 2].map((column) => det(rows.map((row, i) => row.map((value, j) => (j === column ? right[i]! : value)))) / det(rows));
};

/**
 * Statics of the axle, without any instant centre: a push of 1 N forward at the ground, two link forces, and the ground force V that
 * the links alone carry, the springs left as they are. What V is of the load transfer h/L is the anti-squat.
 */
const byStatics = ({ lower, upper }: Links, cgHeight: number, wheelbase: number): number => {
  const along = ([axle, chassis]: readonly [Point, Point]) => {
    const length = Math.hypot(chassis[0] - axle[0], chassis[1] - axle[1]);
    return { at: axle, x: (chassis[0] - axle[0]) / length, y: (chassis[1] - axle[1]) / length };
  };
  const [l, u] = [along(lower), along(upper)];
  const [, , ground] = solve3(
    [
      [l.x, u.x, 0],
      [l.y, u.y, 1],
      [l.at[0] * l.y - l.at[1] * l.x, u.at[0] * u.y - u.at[1] * u.x, 0],
    ],
    [-1, 0, 0],
  );
  return known(ground) / (cgHeight / wheelbase);
};

const bounds = {
  lowerUp: [0.02, 0.05],
  lowerRise: [-0.02, 0.03],
  upperUp: [0.07, 0.12],
  upperRise: [-0.04, 0.02],
  lowerAhead: [-0.02, 0.02],
  upperAhead: [-0.02, 0.02],
  lowerLength: [0.06, 0.15],
  upperLength: [0.05, 0.12],
  h: [0.05, 0.15],
  L: [0.25, 0.45],
} as const;
const links = (d: { [N in keyof typeof bounds]: number }): Links => ({
  lower: [
    [d.lowerAhead, d.lowerUp],
    [d.lowerAhead + d.lowerLength, d.lowerUp + d.lowerRise],
  ],
  upper: [
    [d.upperAhead, d.upperUp],
    [d.upperAhead + d.upperLength, d.upperUp + d.upperRise],
  ],
});
type Draw = { [N in keyof typeof bounds]: number };

describe('the links of a live rear axle', () => {
  const fourLink: Links = {
    lower: [
      [0, 30 * MM],
      [90 * MM, 40 * MM],
    ],
    upper: [
      [0, 75 * MM],
      [80 * MM, 70 * MM],
    ],
  };

  it('meet where their lines meet: 259.2 mm ahead and 58.8 mm up', () => {
    // Milliken & Milliken, Race Car Vehicle Dynamics, sec. 17.3 (intersection of the link lines); the numbers computed by a second method.
    const answer = asked(fourLink);
    near(answer.instantCentreAhead, 259.2 * MM, { abs: 1e-12 });
    near(answer.instantCentreUp, 58.8 * MM, { abs: 1e-12 });
    // 58.8/259.2 against 100/400.
    near(answer.antiSquat, (58.8 / 259.2) * 4, { rel: 1e-12 });
  });

  it('carry the part of the load transfer that a balance of forces on the axle gives', () => {
    drawn<Draw>(bounds, (draw) => {
      const truck = links(draw);
      near(asked(truck, draw.h, draw.L).antiSquat, byStatics(truck, draw.h, draw.L), { rel: 1e-9, abs: 1e-9 });
    });
  });

  it('hold the rear exactly, 100 %, when they meet on the line from the contact point to CG height above the front axle', () => {
    // Gillespie, Fundamentals of Vehicle Dynamics, ch. 7: e/d = h/L. They meet at 200 mm ahead and 50 mm up; h/L = 100/400.
    const answer = asked({
      lower: [
        [0, 0.03],
        [0.1, 0.04],
      ],
      upper: [
        [0, 0.07],
        [0.1, 0.06],
      ],
    });
    near(answer.antiSquat, 1, { rel: 1e-12 });
  });

  it('have no meeting point when parallel, and hold by their common slope', () => {
    const parallel = asked({
      lower: [
        [0, 0.03],
        [0.09, 0.04],
      ],
      upper: [
        [0, 0.08],
        [0.18, 0.1],
      ],
    });
    expect(parallel.instantCentreAhead).toEqual(absent('parallel'));
    expect(parallel.instantCentreUp).toEqual(absent('parallel'));
    near(parallel.antiSquat, 1 / 9 / (0.1 / 0.4), { rel: 1e-12 });
  });

  it('pass into the parallel case without a jump', () => {
    const tilted = (tilt: number): Links => ({
      lower: [
        [0, 0.03],
        [0.1, 0.04],
      ],
      upper: [
        [0, 0.08],
        [0.1, 0.09 + tilt],
      ],
    });
    const parallel = asked(tilted(0)).antiSquat;
    near(asked(tilted(1e-9)).antiSquat, parallel, { abs: 1e-6 });
    near(asked(tilted(-1e-9)).antiSquat, parallel, { abs: 1e-6 });
    near(asked(tilted(1e-9)).antiSquat, byStatics(tilted(1e-9), 0.1, 0.4), { abs: 1e-6 });
  });

  it('push the rear down when they meet below the ground ahead, or above the ground behind the axle', () => {
    const down = asked({
      lower: [
        [0, 0.04],
        [0.1, 0.02],
      ],
      upper: [
        [0, 0.08],
        [0.1, 0.05],
      ],
    });
    expect(known(down.instantCentreUp)).toBeLessThan(0);
    expect(down.antiSquat).toBeLessThan(0);
    const behind: Links = {
      lower: [
        [0, 0.04],
        [0.1, 0.02],
      ],
      upper: [
        [0, 0.08],
        [0.1, 0.09],
      ],
    };
    expect(known(asked(behind).instantCentreAhead)).toBeLessThan(0);
    near(asked(behind).antiSquat, byStatics(behind, 0.1, 0.4), { rel: 1e-9 });
  });

  it('hold in step with wheelbase over CG height, and do not care for the scale of the truck', () => {
    drawn<Draw>(bounds, (draw) => {
      const one = asked(links(draw), draw.h, draw.L);
      near(asked(links(draw), 2 * draw.h, 3 * draw.L).antiSquat, 1.5 * one.antiSquat, { rel: 1e-12 });
      const { lower, upper } = links(draw);
      const twice = (ends: readonly [Point, Point]) => ends.map(([ahead, up]) => [2 * ahead, 2 * up] as const) as unknown as [Point, Point];
      const double = asked({ lower: twice(lower), upper: twice(upper) }, 2 * draw.h, 2 * draw.L);
      near(double.antiSquat, one.antiSquat, { rel: 1e-10 });
      near(double.instantCentreUp, 2 * known(one.instantCentreUp), { rel: 1e-10 });
    });
  });

  it('are refused when they meet straight above the contact point, at it, or stand upright', () => {
    const meetAbove: Links = {
      lower: [
        [-0.1, 0.1],
        [0.1, 0.1],
      ],
      upper: [
        [-0.1, 0.2],
        [-0.05, 0.15],
      ],
    };
    expect(refusal(() => asked(meetAbove))).toEqual({ input: null, says: 'the links meet straight above or below the rear contact point' });
    const meetAtGround: Links = {
      lower: [
        [0.1, 0.01],
        [0.2, 0.02],
      ],
      upper: [
        [0.03, 0.06],
        [0.05, 0.1],
      ],
    };
    expect(refusal(() => asked(meetAtGround))).toEqual({ input: null, says: 'the links meet at the rear contact point' });
    const upright: Links = {
      lower: [
        [0.02, 0.02],
        [0.02, 0.08],
      ],
      upper: [
        [0.05, 0.02],
        [0.05, 0.09],
      ],
    };
    expect(refusal(() => asked(upright))).toEqual({ input: null, says: 'both links stand upright' });
  });

  it('are refused when a link has no length', () => {
    const still: readonly [Point, Point] = [
      [0, 0.03],
      [0, 0.03],
    ];
    expect(refusal(() => asked({ ...fourLink, lower: still }))).toEqual({
      input: 'lowerChassisAhead',
      says: 'the two ends of the lower link are one point',
    });
    expect(refusal(() => asked({ ...fourLink, upper: still })).input).toBe('upperChassisAhead');
  });
});

it('does not compile with a wheelbase in kilograms', () => {
  const wrong = si<'kg'>(0.5);
  // @ts-expect-error: a mass is no length
  const given: Parameters<typeof squat>[0]['wheelbase'] = wrong;
  expect(given).toBe(0.5);
});
