import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { heights } from '../../../calc/geometry/heights.ts';
import { draws, expectNear } from '../../support/book.ts';

type Heights = Parameters<typeof heights>[0];
const measured = (changed: Record<string, number> = {}): Heights =>
  ({ axleDroop: 0.01, axleRide: 0.04, axleBump: 0.1, shockDroop: 0.13, shockRide: 0.112, shockBump: 0.07, ...changed }) as Heights;

describe('three heights of the axle and three lengths of the shock', () => {
  it('share the travel out as the ruler says', () => {
    const { wheelTravel, upTravel, downTravel, droopShare, motionRatioUp, motionRatioDown } = heights(measured());
    for (const [got, millimetres] of [
      [wheelTravel, 90],
      [upTravel, 60],
      [downTravel, 30],
    ] as const)
      expectNear(got, millimetres * 1e-3);
    expectNear(droopShare, 1 / 3);
    expectNear(motionRatioUp, 0.7);
    expectNear(motionRatioDown, 0.6);
  });

  it('give the slope at ride of a shock that follows a parabola exactly', () => {
    const between = draws(121);
    for (let i = 0; i < 60; i += 1) {
      // s(z) = s₀ − p·z − q·z²: slope −p − 2·q·z, from the derivative, not from the three points.
      const [p, q] = [between(0.4, 0.8), between(0.1, 1.5) * (i % 2 ? 1 : -1)];
      const length = (z: number) => 0.13 - p * z - q * z * z;
      const [droop, ride] = [0.005, 0.005 + between(0.01, 0.04)];
      const bump = ride + between(0.01, 0.06);
      const found = heights(
        measured({
          axleDroop: droop,
          axleRide: ride,
          axleBump: bump,
          shockDroop: length(droop),
          shockRide: length(ride),
          shockBump: length(bump),
        }),
      );
      expectNear(found.motionRatio, p + 2 * q * ride, 1e-9);
      expectNear(found.motionRatioUp, p + q * (ride + bump), 1e-9);
    }
  });

  it('give the slope that Lagrange’s three-point formula gives', () => {
    // Abramowitz & Stegun, Handbook of Mathematical Functions, 25.3 (differentiation of Lagrange's polynomial), weights written out.
    const { axleDroop: a, axleRide: b, axleBump: c, shockDroop, shockRide, shockBump } = measured();
    const slope =
      (shockDroop * (b - c)) / ((a - b) * (a - c)) +
      (shockRide * (2 * b - a - c)) / ((b - a) * (b - c)) +
      (shockBump * (b - a)) / ((c - a) * (c - b));
    expectNear(heights(measured()).motionRatio, -slope, 1e-12);
  });

  it('do not care where the table stands; travel goes with the ruler', () => {
    const between = draws(122);
    for (let i = 0; i < 40; i += 1) {
      const [shift, factor] = [between(0.001, 0.2), between(0.5, 2)];
      const once = heights(measured());
      const { axleDroop, axleRide, axleBump, shockDroop, shockRide, shockBump } = measured();
      const lower = heights(measured({ axleDroop: axleDroop - shift, axleRide: axleRide - shift, axleBump: axleBump - shift }));
      const taller = heights(measured({ axleDroop: axleDroop * factor, axleRide: axleRide * factor, axleBump: axleBump * factor }));
      const longer = heights(measured({ shockDroop: shockDroop * factor, shockRide: shockRide * factor, shockBump: shockBump * factor }));
      expectNear(lower.motionRatio, once.motionRatio, 1e-9);
      expectNear(taller.wheelTravel, once.wheelTravel * factor, 1e-9);
      expectNear(taller.motionRatio, once.motionRatio / factor, 1e-9);
      expectNear(taller.droopShare, once.droopShare, 1e-9);
      expectNear(longer.motionRatio, once.motionRatio * factor, 1e-9);
      expectNear(longer.motionRatioUp, once.motionRatioUp * factor, 1e-9);
      expectNear(longer.motionRatioDown, once.motionRatioDown * factor, 1e-9);
    }
  });

  it('are refused by name when the axle does not rise or the shock does not get shorter', () => {
    for (const [changed, input] of [
      [{ axleRide: 0.01 }, 'axleRide'],
      [{ axleBump: 0.04 }, 'axleBump'],
      [{ shockRide: 0.13 }, 'shockRide'],
      [{ shockBump: 0.112 }, 'shockBump'],
    ] as const)
      expect(() => heights(measured(changed))).toThrow(expect.objectContaining({ name: 'DomainError', input }));
  });

  it('take lengths: an angle does not compile', () => {
    const good = measured();
    // @ts-expect-error a height is a length
    const wrong = () => heights({ ...good, axleBump: si<'rad'>(0.1) });
    expect(wrong).toBeTypeOf('function');
  });
});
