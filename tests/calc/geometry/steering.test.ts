import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { steering } from '../../../calc/geometry/steering.ts';
import { DEG, drawn, MM, near } from './check.ts';

const asked = (inner: number, outer: number, wheelbase: number, kingpinTrack: number) =>
  steering({ innerAngle: si(inner), outerAngle: si(outer), wheelbase: si(wheelbase), kingpinTrack: si(kingpinTrack) });

interface Draw extends Record<string, number> {
  inner: number;
  outer: number;
  L: number;
  T: number;
}
const bounds = { inner: [1 * DEG, 60 * DEG], outer: [0, 60 * DEG], L: [0.2, 0.5], T: [0.1, 0.3] } as const;

describe('the ideal outer angle', () => {
  it('is 22.127° for 30° inside, 240 mm between the kingpins and a wheelbase of 330 mm', () => {
    // cot outer − cot inner = c/b, the textbooks' condition for correct steering; computed by a second method.
    near(asked(30 * DEG, 20 * DEG, 330 * MM, 240 * MM).idealOuter / DEG, 22.12743969540985, { rel: 1e-12 });
  });

  it('leans the track arms of a sliding-link gear by 12.5° for c = 1.2 m and b = 2.7 m', () => {
    // Khurmi & Gupta, Theory of Machines, ch. 9 (Davis gear), tan α = c/2b: printed value from memory, recomputed (12.52880770915151°).
    // That gear steers ideally: tan(α + outer) + tan(α − inner) = 2·tan α holds at every lock, with the outer angle that is answered here.
    for (const inner of [5, 15, 30, 45]) {
      const outer = asked(inner * DEG, inner * DEG, 2.7, 1.2).idealOuter;
      const lean = Math.atan((1 / Math.tan(outer) - 1 / Math.tan(inner * DEG)) / 2);
      near(lean / DEG, 12.5, { abs: 0.06 });
      near(lean / DEG, 12.52880770915151, { rel: 1e-12 });
      near(Math.tan(lean + outer) + Math.tan(lean - inner * DEG), 2 * Math.tan(lean), { rel: 1e-12 });
    }
  });

  it('lets the axes of both front wheels and of the rear axle meet in one point', () => {
    drawn<Draw>(bounds, ({ inner, L, T }) => {
      // Kingpins at ±T/2, the rear axle L behind; a wheel's axis drops by tan(angle) per length across.
      const outer = asked(inner, 0, L, T).idealOuter;
      const fromInner = T / 2 + L / Math.tan(inner);
      const fromOuter = -T / 2 + L / Math.tan(outer);
      near(fromOuter, fromInner, { rel: 1e-11 });
      near(asked(inner, 0, L, T).turnRadius, fromInner, { rel: 1e-12 });
    });
  });
});

describe('the turn', () => {
  it('has the radius of one steered wheel at the mean cotangent, 25.509°', () => {
    // cot δ = (cot δo + cot δi)/2: Jazar, Vehicle Dynamics, ch. 7; computed by a second method.
    near(Math.atan(0.33 / asked(30 * DEG, 20 * DEG, 0.33, 0.24).turnRadius) / DEG, 25.509097596652225, { rel: 1e-12 });
  });
});

describe('the share of the ideal', () => {
  it('is 0 for parallel wheels, 100 % at the ideal angle, negative for reverse', () => {
    drawn<Draw>(bounds, ({ inner, L, T }) => {
      const { idealOuter } = asked(inner, 0, L, T);
      expect(asked(inner, inner, L, T).ackermannShare).toBe(0);
      near(asked(inner, idealOuter, L, T).ackermannShare, 1, { rel: 1e-9 });
      near(asked(inner, idealOuter, L, T).outerError, 0, { abs: 1e-15 });
      expect(asked(inner, inner + 0.01, L, T).ackermannShare).toBeLessThan(0);
    });
  });

  it('is the definition: inner less outer, over inner less ideal', () => {
    drawn<Draw>(bounds, ({ inner, outer, L, T }) => {
      const ideal = Math.atan(1 / (1 / Math.tan(inner) + T / L));
      near(asked(inner, outer, L, T).ackermannShare, (inner - outer) / (inner - ideal), { rel: 1e-9, abs: 1e-9 });
      near(asked(inner, outer, L, T).outerError, outer - ideal, { abs: 1e-14 });
    });
  });

  it('keeps its digits at a hundredth of a degree', () => {
    // inner − ideal = atan(T·sin²/(L + T·sin·cos)); to first order inner²·T/L. Half of it away from parallel is a share of one half.
    const inner = 0.01 * DEG;
    near(asked(inner, inner - (inner ** 2 * (0.24 / 0.33)) / 2, 0.33, 0.24).ackermannShare, 0.5, { rel: 1e-3 });
  });

  it('does not care for the scale of the truck', () => {
    drawn<Draw>(bounds, ({ inner, outer, L, T }) => {
      const [one, two] = [asked(inner, outer, L, T), asked(inner, outer, 2 * L, 2 * T)];
      near(two.idealOuter, one.idealOuter, { rel: 1e-14 });
      near(two.ackermannShare, one.ackermannShare, { rel: 1e-12, abs: 1e-15 });
      near(two.turnRadius, 2 * one.turnRadius, { rel: 1e-14 });
    });
  });
});

it('does not compile with an angle in metres', () => {
  const wrong = si<'m'>(0.5);
  // @ts-expect-error: a length is no angle
  const given: Parameters<typeof steering>[0]['innerAngle'] = wrong;
  expect(given).toBe(0.5);
});
