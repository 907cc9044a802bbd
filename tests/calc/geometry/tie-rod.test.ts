import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { steering } from '../../../calc/geometry/steering.ts';
import { tieRod } from '../../../calc/geometry/tie-rod.ts';
import { DEG, drawn, halved, near, refusal } from './check.ts';

interface Draw extends Record<string, number> {
  arm: number;
  lean: number;
  inner: number;
  T: number;
  L: number;
}
const bounds = { arm: [0.015, 0.04], lean: [-10 * DEG, 35 * DEG], inner: [1 * DEG, 40 * DEG], T: [0.15, 0.3], L: [0.25, 0.45] } as const;
const asked = ({ arm, lean, inner, T, L }: Draw) =>
  tieRod({ steeringArm: si(arm), steeringArmAngle: si(lean), innerAngle: si(inner), kingpinTrack: si(T), wheelbase: si(L) });
const truck: Draw = { arm: 0.03, lean: 20 * DEG, inner: 30 * DEG, T: 0.24, L: 0.33 };

/** Distance between the two arms' ends on a plan of the axle, right turn: the right wheel inside, arms pointing back. */
const apart = ({ arm, lean, T }: Draw, inner: number, outer: number): number => {
  const right = { x: T / 2 - arm * Math.sin(lean + inner), y: -arm * Math.cos(lean + inner) };
  const left = { x: -T / 2 + arm * Math.sin(lean - outer), y: -arm * Math.cos(lean - outer) };
  return Math.hypot(right.x - left.x, right.y - left.y);
};

describe('the wheel behind the tie rod', () => {
  it('turns by the angle that keeps the arms one tie rod apart, found by trying', () => {
    drawn<Draw>(bounds, (draw) => {
      const rod = apart(draw, 0, 0);
      const answer = asked(draw);
      near(answer.tieRodLength, rod, { rel: 1e-12 });
      // In steps from straight ahead, so that it is the solution that a real linkage comes to.
      let outer = 0;
      for (let step = 1; step <= 40; step += 1) {
        const inner = (draw.inner * step) / 40;
        outer = halved((angle) => apart(draw, inner, angle) - rod, outer - 1 * DEG, outer + 3 * DEG);
      }
      near(answer.outerAngle, outer, { abs: 1e-9 });
    });
  });

  it('obeys the printed equation of the trapezium', () => {
    // Jazar, Vehicle Dynamics, ch. 7, trapezoidal steering; equation from memory, derived again: with w the kingpin track and d the arm,
    // (w/d − sin(β+δi) − sin(β−δo))² + (cos(β−δo) − cos(β+δi))² = (w/d − 2·sin β)².
    drawn<Draw>(bounds, (draw) => {
      const { outerAngle } = asked(draw);
      const [a, b, w] = [draw.lean + draw.inner, draw.lean - outerAngle, draw.T / draw.arm];
      near((w - Math.sin(a) - Math.sin(b)) ** 2 + (Math.cos(b) - Math.cos(a)) ** 2, (w - 2 * Math.sin(draw.lean)) ** 2, { rel: 1e-11 });
    });
  });

  it('has the ideal angle and the share that the steering sheet gives for the same wheels', () => {
    drawn<Draw>(bounds, (draw) => {
      const answer = asked(draw);
      const same = steering({ innerAngle: si(draw.inner), outerAngle: answer.outerAngle, wheelbase: si(draw.L), kingpinTrack: si(draw.T) });
      near(answer.idealOuter, same.idealOuter, { rel: 1e-14 });
      near(answer.ackermannShare, same.ackermannShare, { rel: 1e-14, abs: 1e-15 });
    });
  });

  it('turns less than the inner one when the arms lean in, more when they lean out', () => {
    expect(asked({ ...truck, lean: 15 * DEG }).outerAngle).toBeLessThan(30 * DEG);
    expect(asked({ ...truck, lean: -15 * DEG }).outerAngle).toBeGreaterThan(30 * DEG);
  });

  it('turns alike at small angles when the arms point straight back', () => {
    const small = asked({ ...truck, lean: 0, inner: 0.1 * DEG });
    near(small.outerAngle, 0.1 * DEG, { rel: 1e-5 });
  });

  it('does not care for the scale of the truck', () => {
    drawn<Draw>(bounds, (draw) => {
      const [one, two] = [asked(draw), asked({ ...draw, arm: 2 * draw.arm, T: 2 * draw.T, L: 2 * draw.L })];
      near(two.outerAngle, one.outerAngle, { rel: 1e-11 });
      near(two.tieRodLength, 2 * one.tieRodLength, { rel: 1e-14 });
    });
  });
});

describe('a trapezium that cannot reach', () => {
  it('is refused past the angle where tie rod and outer arm come into one line, and not before', () => {
    // Arms leaning out by 20°, 30 mm long, 240 mm between the kingpins: stretched out where T² + a² − 2Ta·sin(α + i) = (t − a)².
    const leaning = { ...truck, lean: -20 * DEG };
    const rod = 0.24 + 0.06 * Math.sin(20 * DEG);
    const limit = 20 * DEG + Math.asin((0.24 ** 2 + 0.03 ** 2 - (rod - 0.03) ** 2) / (2 * 0.24 * 0.03));
    expect(asked({ ...leaning, inner: limit - 1e-6 }).outerAngle).toBeGreaterThan(limit);
    expect(refusal(() => asked({ ...leaning, inner: limit + 1e-6 }))).toEqual({
      input: 'innerAngle',
      says: 'the tie rod and the outer arm come into one line before the inner wheel turns that far',
    });
  });

  it('is refused exactly when, somewhere on the way, no outer angle fits', () => {
    let refused = 0;
    drawn<Draw>({ arm: [0.01, 0.15], lean: [-60 * DEG, 60 * DEG], inner: [1 * DEG, 85 * DEG], T: [0.15, 0.3], L: [0.25, 0.45] }, (draw) => {
      const rod = draw.T - 2 * draw.arm * Math.sin(draw.lean);
      if (rod <= 0) return;
      // The nearest and the farthest that the outer arm's end can come to the inner one's, by trying all round.
      const misfit = (inner: number): number => {
        const all = Array.from({ length: 360 }, (_, i) => apart(draw, inner, (i / 360) * 2 * Math.PI));
        return Math.max(Math.min(...all) - rod, rod - Math.max(...all));
      };
      const worst = Math.max(...Array.from({ length: 41 }, (_, i) => misfit((draw.inner * i) / 40)));
      // Too near to call by trying.
      if (Math.abs(worst) < 3e-4 * draw.T) return;
      if (worst > 0) {
        refused += 1;
        expect(refusal(() => asked(draw)).input).toBe('innerAngle');
      } else near(apart(draw, draw.inner, asked(draw).outerAngle), rod, { rel: 1e-9 });
    });
    expect(refused).toBeGreaterThan(10);
  });

  it('is refused also when the dead point lies on the way and the last angle would fit again', () => {
    // Arms of 0.72 of the track, leaning 25°: with the inner arm pointing straight across the outer arm alone overshoots, 20° further on it fits again.
    const long = { ...truck, T: 0.2, arm: 0.144, lean: 25 * DEG, inner: 85 * DEG };
    const rod = apart(long, 0, 0);
    const least = (inner: number): number => Math.min(...Array.from({ length: 3600 }, (_, i) => apart(long, inner, i * 0.1 * DEG)));
    const most = (inner: number): number => Math.max(...Array.from({ length: 3600 }, (_, i) => apart(long, inner, i * 0.1 * DEG)));
    expect(least(85 * DEG)).toBeLessThan(rod);
    expect(most(85 * DEG)).toBeGreaterThan(rod);
    expect(least(65 * DEG)).toBeGreaterThan(rod);
    expect(refusal(() => asked(long)).input).toBe('innerAngle');
  });

  it('is refused when the arms are so long that they meet', () => {
    expect(refusal(() => asked({ ...truck, arm: 0.15, lean: 60 * DEG }))).toEqual({
      input: 'steeringArm',
      says: 'the two steering arms would meet in the middle',
    });
  });
});

it('does not compile with an arm in degrees', () => {
  const wrong = si<'rad'>(0.5);
  // @ts-expect-error: an angle is no length
  const given: Parameters<typeof tieRod>[0]['steeringArm'] = wrong;
  expect(given).toBe(0.5);
});
