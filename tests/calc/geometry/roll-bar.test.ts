import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { rollBar } from '../../../calc/geometry/roll-bar.ts';
import { drawn, near } from './check.ts';

interface Draw extends Record<string, number> {
  d: number;
  length: number;
  arm: number;
  ratio: number;
  track: number;
  G: number;
}
const bounds = {
  d: [0.001, 0.004],
  length: [0.05, 0.2],
  arm: [0.01, 0.05],
  ratio: [0.3, 1.2],
  track: [0.2, 0.35],
  G: [70e9, 82e9],
} as const;
const asked = ({ d, length, arm, ratio, track, G }: Draw) =>
  rollBar({
    barDiameter: si(d),
    barLength: si(length),
    barArm: si(arm),
    barMotionRatio: si(ratio),
    track: si(track),
    shearModulus: si(G),
  });

describe('an anti-roll bar', () => {
  it('twists like the shafts of a textbook: 25.5255, 8.9012 and 6.5997 MN·m/rad', () => {
    // S. S. Rao, Mechanical Vibrations in SI Units, 6th edition (2017), example 1.6, p. 63, printed values seen: hollow shafts 300/200 mm × 2 m and
    // 250/150 mm × 3 m, G = 80 GPa, singly and in series. A hollow shaft is the solid one less its bore.
    // A bar's end rate is 2·stiffness/arm²: both ends move by the arm times half the twist.
    const solid = (d: number, length: number): number => asked({ d, length, arm: 1, ratio: 1, track: 1, G: 80e9 }).barEndRate / 2;
    const first = solid(0.3, 2) - solid(0.2, 2);
    const second = solid(0.25, 3) - solid(0.15, 3);
    near(first, 25525500, { rel: 1e-5 });
    near(second, 8901200, { rel: 1e-5 });
    near(1 / (1 / first + 1 / second), 6599700, { rel: 1e-5 });
    near(first, 25525440.310417064, { rel: 1e-12 });
    near(second, 8901179.18517108, { rel: 1e-12 });
  });

  it('stores the work that its ends are given', () => {
    // Shear energy summed over the bar's rings, τ²/2G with τ = G·r·twist/length, against the work of two ends, each ½·rate·travel².
    drawn<Draw>(bounds, (draw) => {
      const travel = 0.001;
      const twist = (2 * travel) / draw.arm;
      const rings = 2000;
      let stored = 0;
      for (let i = 0; i < rings; i += 1) {
        const r = (draw.d / 2) * ((i + 0.5) / rings);
        stored += ((draw.G * ((r * twist) / draw.length) ** 2) / 2) * (2 * Math.PI * r * (draw.d / 2 / rings)) * draw.length;
      }
      near(asked(draw).barEndRate * travel ** 2, stored, { rel: 1e-6 });
    });
  });

  it('holds the body by the moment of its two wheels when the body rolls a little', () => {
    drawn<Draw>(bounds, (draw) => {
      const { barEndRate, barRollStiffness } = asked(draw);
      const roll = 1e-3;
      const endTravel = ((roll * draw.track) / 2) * draw.ratio;
      // By virtual work a force at the bar's end is felt at the wheel times the motion ratio.
      const wheelForce = barEndRate * endTravel * draw.ratio;
      near(barRollStiffness, (wheelForce * draw.track) / roll, { rel: 1e-12 });
    });
  });

  it('goes with d⁴, 1/length, 1/arm², G, ratio² and track²', () => {
    drawn<Draw>(bounds, (draw) => {
      const one = asked(draw);
      near(asked({ ...draw, d: 2 * draw.d }).barEndRate, 16 * one.barEndRate, { rel: 1e-12 });
      near(asked({ ...draw, length: 2 * draw.length }).barEndRate, one.barEndRate / 2, { rel: 1e-12 });
      near(asked({ ...draw, arm: 2 * draw.arm }).barEndRate, one.barEndRate / 4, { rel: 1e-12 });
      near(asked({ ...draw, G: 2 * draw.G }).barEndRate, 2 * one.barEndRate, { rel: 1e-12 });
      near(asked({ ...draw, ratio: 2 * draw.ratio }).barWheelRate, 4 * one.barWheelRate, { rel: 1e-12 });
      near(asked({ ...draw, track: 2 * draw.track }).barRollStiffness, 4 * one.barRollStiffness, { rel: 1e-12 });
    });
  });
});

it('does not compile with a modulus in newtons', () => {
  const wrong = si<'N'>(0.5);
  // @ts-expect-error: a force is no stress
  const given: Parameters<typeof rollBar>[0]['shearModulus'] = wrong;
  expect(given).toBe(0.5);
});
