import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { cgHeight } from '../../../calc/weight/cg-height.ts';
import { draws, expectNear, expectPower, expectPrinted, numberOf } from '../../support/book.ts';

/** A second method: a rigid truck standing on two wheels of one size, its coordinates turned about the front axle, moments about the front contact. */
function frontLoadOnLift(total: number, wheelbase: number, behindFront: number, height: number, radius: number, lift: number): number {
  const angle = Math.asin(lift / wheelbase);
  // Seen from the front axle: the CG is behindFront back and height − radius up; lifting the rear turns it forward and up.
  const cgBack = behindFront * Math.cos(angle) - (height - radius) * Math.sin(angle);
  const rearAxleBack = wheelbase * Math.cos(angle);
  // Both contacts are straight below their axles.
  return total * (1 - cgBack / rearAxleBack);
}

const truck = { total: 3.2, wheelbase: 0.33, wheelRadius: 0.052, frontLevel: 1.44, frontRaised: 1.564915, lift: 0.12 };
const ask = (inputs: Partial<typeof truck> & { frontTrack?: number; rearTrack?: number } = {}) => {
  const all = { ...truck, ...inputs };
  return cgHeight({
    total: si(all.total),
    wheelbase: si(all.wheelbase),
    wheelRadius: si(all.wheelRadius),
    frontLevel: si(all.frontLevel),
    frontRaised: si(all.frontRaised),
    lift: si(all.lift),
    ...(all.frontTrack === undefined ? {} : { frontTrack: si(all.frontTrack) }),
    ...(all.rearTrack === undefined ? {} : { rearTrack: si(all.rearTrack) }),
  });
};

describe('the height of the centre of gravity from a lifted rear axle', () => {
  it('is 85 mm for the truck whose front axle gains 124.915 g', () => {
    // h = r + ΔF·L/(W·tan θ), sin θ = H/L (ISO 10392, axle lift; Milliken & Milliken, Race Car Vehicle Dynamics, 18.2): 3200 g, 330 mm, 1440 g
    // level, 1564.915 g raised by 120 mm, wheel radius 52 mm: 85.0 mm. Computed by a second method: statics coded the other way round.
    const { cgHeight: height } = ask();
    expectPrinted(height, '85.0', 0.001);
    expectNear(height, 0.08499994469741, 1e-9);
  });

  it('takes the true slope of the lifted truck: height over wheelbase would read 7.3 % too much', () => {
    // Sources differ: tan = H/√(L² − H²) or H/L; h − r then comes out 7.3 % too large at 120 in 330 mm, 1.4 % at 18 in 110:
    // 1/√(1 − (H/L)²) by hand.
    const tooMuch = (lift: number, wheelbase: number) => {
      const level = 1.44;
      const raised = frontLoadOnLift(3.2, wheelbase, wheelbase * (1 - level / 3.2), 0.085, 0.052, lift);
      const right = ask({ wheelbase, frontLevel: level, frontRaised: raised, lift }).cgHeight - 0.052;
      return (wheelbase * (raised - level)) / (3.2 * (lift / wheelbase)) / right - 1;
    };
    expectPrinted(tooMuch(120, 330), '0.073');
    expectPrinted(tooMuch(18, 110), '0.014');
  });

  it('gives back the truck that was set up on paper', () => {
    const between = draws(31);
    for (let i = 0; i < 200; i += 1) {
      const total = between(0.2, 2000);
      const wheelbase = between(0.1, 4);
      const behindFront = wheelbase * between(0.35, 0.7);
      const wheelRadius = wheelbase * between(0.1, 0.2);
      const height = wheelbase * between(0.1, 0.3);
      const lift = wheelbase * between(0.05, 0.5);
      const frontRaised = frontLoadOnLift(total, wheelbase, behindFront, height, wheelRadius, lift);
      const frontLevel = frontLoadOnLift(total, wheelbase, behindFront, height, wheelRadius, 0);
      if (frontRaised > total) continue;
      const back = ask({ total, wheelbase, wheelRadius, frontLevel, frontRaised, lift });
      expectNear(back.cgHeight, height, 1e-9);
      expectNear(back.cgFromFront, behindFront, 1e-9);
    }
  });

  it('finds the balance point between the axles from the front load', () => {
    const at = (front: number, total: number, wheelbase: number) =>
      ask({ total, wheelbase, frontLevel: front, frontRaised: front, lift: wheelbase / 10, wheelRadius: wheelbase / 10 }).cgFromFront;
    // Halliday, Resnick & Walker, Fundamentals of Physics, ch. 12 (automobile problem, variant): 961 kg, 3.27 m, 0.615 m behind the front
    // axle, g = 9.81 m/s²: 3827.18 N on each front wheel, 886.52 N on each rear wheel. Printed values read.
    expectPrinted(at((2 * 3827.18) / 9.81, 961, 3.27), '0.615');
    expectNear(3.27 - at((2 * 886.52) / 9.81, 961, 3.27), 0.615, 1e-4);
    // NCERT, Physics XI, ch. 7, example 7.9: 1800 kg, 1.8 m, 1.05 m behind the front axle, g = 9.8 m/s²: 3675 N and 5145 N. Printed values read.
    expectNear(at((2 * 3675) / 9.8, 1800, 1.8), 1.05, 1e-12);
    expectNear(1.8 - at((2 * 5145) / 9.8, 1800, 1.8), 1.05, 1e-12);
    // Physics textbook problem with truck scales: 5800 N front, 6500 N rear, 3.2 m: 1.69 m. Printed value read.
    expectPrinted(at(5800, 12300, 3.2), '1.69');
  });

  it('says how many g sideways would tip the truck: half the mean track over the height', () => {
    const { cgHeight: height, staticStability } = ask({ frontTrack: 0.28, rearTrack: 0.3 });
    expectNear(staticStability, 0.145 / height);
    // A rigid axle takes over m·a·h/track, so m·a/(2·stability). Barton & Fieldhouse, Automotive Chassis Engineering, Springer 2018, p. 174:
    // 140 kg at 0.28 m and 180 kg at 0.30 m over a track of 1.46 m, 0.6 g with g = 9.81 m/s²: 158 N and 218 N. Printed values read.
    const transfer = (mass: number, high: number) => {
      const front = frontLoadOnLift(mass, 2.5, 1.2, high, 0.3, 0.4);
      const axle = ask({
        total: mass,
        wheelbase: 2.5,
        wheelRadius: 0.3,
        frontLevel: mass * (1 - 1.2 / 2.5),
        frontRaised: front,
        lift: 0.4,
        frontTrack: 1.46,
        rearTrack: 1.46,
      });
      return (mass * 0.6 * 9.81) / (2 * numberOf(axle.staticStability));
    };
    expectPrinted(transfer(140, 0.28), '158');
    expectPrinted(transfer(180, 0.3), '218');
  });

  it('leaves the stability out unless both tracks are known', () => {
    expect(ask().staticStability).toBeUndefined();
    expect(ask({ frontTrack: 0.28 }).staticStability).toBeUndefined();
    expect(ask({ rearTrack: 0.28 }).staticStability).toBeUndefined();
  });

  it('goes over the wheel radius with the load gained and one over the total, and grows with the truck', () => {
    const between = draws(32);
    for (let i = 0; i < 40; i += 1) {
      const frontLevel = between(0.5, 1.5);
      const gained = between(0.02, 0.2);
      const over = (total: number, more: number) => ask({ total, frontLevel, frontRaised: frontLevel + more }).cgHeight - truck.wheelRadius;
      const factor = between(0.5, 2);
      expectNear(over(4, gained * factor), over(4, gained) * factor, 1e-9);
      expectNear(over(4 * (1 + factor), gained), over(4, gained) / (1 + factor), 1e-9);
      const wide = { frontTrack: 0.28, rearTrack: 0.3 };
      const { wheelbase, wheelRadius, lift } = truck;
      const once = ask(wide);
      const larger = ask({
        wheelbase: wheelbase * factor,
        wheelRadius: wheelRadius * factor,
        lift: lift * factor,
        frontTrack: wide.frontTrack * factor,
        rearTrack: wide.rearTrack * factor,
      });
      expectNear(larger.cgHeight, once.cgHeight * factor, 1e-9);
      expectNear(larger.cgFromFront, once.cgFromFront * factor, 1e-9);
      expectNear(larger.staticStability, numberOf(once.staticStability), 1e-9);
    }
    expectPower(
      (inputs: { masses: number }) =>
        ask({ total: 3.2 * inputs.masses, frontLevel: 1.44 * inputs.masses, frontRaised: 1.6 * inputs.masses }).cgHeight,
      (draw) => ({ masses: draw(0.1, 10) }),
      'masses',
      0,
    );
  });

  it('refuses readings that no truck can give', () => {
    expect(() => ask({ lift: 0.33 })).toThrow('the lift is no less than the wheelbase');
    expect(() => ask({ lift: 0.5 })).toThrow('the lift is no less than the wheelbase');
    expect(() => ask({ frontLevel: 3.3 })).toThrow('the front axle weighs more than the whole truck');
    expect(() => ask({ frontRaised: 3.3 })).toThrow('the front axle weighs more than the whole truck');
    expect(() => ask({ frontRaised: 1.2 })).toThrow('the centre of gravity would be below the ground');
    // All of it on the front axle is the edge of what can stand.
    expect(ask({ frontLevel: 3.2, frontRaised: 3.2 }).cgFromFront).toBe(0);
    // Lower than the axles is strange, but can be.
    expectNear(ask({ frontRaised: 1.4 }).cgHeight, 0.052 - (0.33 * 0.04) / (3.2 * Math.tan(Math.asin(0.12 / 0.33))), 1e-12);
  });

  it('takes a length for the lift: an angle does not compile', () => {
    const others = {
      total: si<'kg'>(3),
      wheelbase: si<'m'>(0.3),
      frontLevel: si<'kg'>(1),
      frontRaised: si<'kg'>(1.1),
      wheelRadius: si<'m'>(0.05),
    };
    // @ts-expect-error the lift is a length
    expect(() => cgHeight({ ...others, lift: si<'rad'>(0.1) })).not.toThrow();
  });
});
