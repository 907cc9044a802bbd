import { describe, expect, it } from 'vitest';
import { standardGravity } from '../../../calc/constants.ts';
import { si } from '../../../calc/formula.ts';
import { jump } from '../../../calc/motion/jump.ts';
import { draws, expectNear, expectPower, expectPrinted, numberOf } from '../../support/book.ts';

const degrees = Math.PI / 180;
/** Off a ramp with the book's own g: at √(gₙ/g) times the speed the path is the same, and times are √(g/gₙ) of the book's. */
const withGravity = (g: number, angle: number, speed: number, drop = 0) => {
  const faster = Math.sqrt(standardGravity / g);
  const { range, peakHeight, airTime } = jump({
    rampAngle: si(angle * degrees),
    speed: si(speed * faster),
    drop: si(drop),
    pitchRate: si(0),
  });
  return { range, peakHeight, airTime: airTime * faster };
};

const draw = (between: (low: number, high: number) => number) => ({
  rampAngle: si<'rad'>(between(0.05, 1)),
  speed: si<'m/s'>(between(2, 20)),
  drop: si<'m'>(between(0.05, 1)),
  pitchRate: si<'rad/s'>(between(0.1, 3) - 1),
  drivenInertia: si<'kg·m²'>(between(1e-4, 1e-2)),
  wheelSpeedChange: si<'rad/s'>(between(10, 500) - 100),
  pitchInertia: si<'kg·m²'>(between(0.01, 0.2)),
  total: si<'kg'>(between(1, 8)),
  landingRate: si<'N/m'>(between(500, 10000)),
});
type Inputs = ReturnType<typeof draw>;

/** A second method: the flight in small steps with nothing but the pull of the earth, the last one cut at the landing. */
function flown({ rampAngle, speed, drop }: Pick<Inputs, 'rampAngle' | 'speed' | 'drop'>) {
  const dt = 1e-5;
  let [x, y, up, t, peak] = [0, 0, speed * Math.sin(rampAngle), 0, 0];
  const ahead = speed * Math.cos(rampAngle);
  while (up > 0 || y > -drop) {
    // Exact for a constant pull, whatever the step.
    y += up * dt - (standardGravity * dt ** 2) / 2;
    x += ahead * dt;
    up -= standardGravity * dt;
    t += dt;
    peak = Math.max(peak, y);
  }
  const over = (y + drop) / up;
  return { range: x - ahead * over, airTime: t - over, peakHeight: peak, landingSpeedVertical: -(up + standardGravity * over), ahead };
}

describe('a jump', () => {
  it('flies like the fireworks shell of the physics book', () => {
    // OpenStax, University Physics vol. 1, example 4.7: 70.0 m/s at 75°, g = 9.8: 233 m high after 6.90 s, 125 m out. Printed values read.
    // On level ground it takes twice as long and goes twice as far.
    const { range, peakHeight, airTime } = withGravity(9.8, 75, 70);
    expectPrinted(peakHeight, '233');
    expectPrinted(airTime / 2, '6.90');
    expectPrinted(range / 2, '125');
  });

  it('needs 31.9 or 37.0 m/s for 90 m like the golf shots of the physics book', () => {
    // OpenStax, University Physics vol. 1, example 4.9: 90 m at 30° and at 70°, g = 9.8: 31.9 and 37.0 m/s. Printed values read.
    for (const [angle, printed] of [
      [30, '31.9'],
      [70, '37.0'],
    ] as const) {
      let [low, high] = [1, 100];
      for (let i = 0; i < 60; i += 1) {
        const middle = (low + high) / 2;
        if (withGravity(9.8, angle, middle).range < 90) low = middle;
        else high = middle;
      }
      expectPrinted(low, printed);
    }
  });

  it('falls as long as the stones thrown off a cliff, upward and downward', () => {
    // Physics course quiz bank, P63 and P64: 6 m/s at −22° falls 133.738 m in 5 s, at 27° 133.243 m in 5.5 s, g = 9.8. Printed values read.
    expect(Math.abs(withGravity(9.8, -22, 6, 133.7381978).airTime - 5)).toBeLessThan(1e-8);
    expect(Math.abs(withGravity(9.8, 27, 6, 133.243).airTime - 5.5)).toBeLessThan(1e-5);
  });

  it('lands as deep as the energy of the fall presses the springs', () => {
    // m·g·(h + x) = k·x²/2, undamped: 3.2 kg from 0.3 m on 3400 N/m, g = 9.81: 84.23 mm. Computed by a second method. The rate is scaled to gₙ.
    const { landingTravel, landingSpeedVertical } = jump({
      rampAngle: si(0),
      speed: si(5),
      drop: si(0.3),
      pitchRate: si(0),
      total: si(3.2),
      landingRate: si((3400 * standardGravity) / 9.81),
    });
    expectNear(landingTravel, 0.08423302056743204, 1e-9);
    expectNear(landingSpeedVertical, Math.sqrt(2 * standardGravity * 0.3), 1e-12);
  });

  it('is the flight worked out step by step', () => {
    const between = draws(121);
    for (let i = 0; i < 30; i += 1) {
      const inputs = { ...draw(between), rampAngle: si<'rad'>(between(0.4, 1.4) - 0.6), drop: si<'m'>(between(0.2, 1) - 0.19) };
      const got = jump(inputs);
      const seen = flown(inputs);
      expectNear(got.range, seen.range, 1e-8);
      expectNear(got.airTime, seen.airTime, 1e-8);
      expectNear(got.landingSpeedVertical, seen.landingSpeedVertical, 1e-8);
      expect(Math.abs(got.peakHeight - seen.peakHeight)).toBeLessThan(1e-8);
      expectNear(Math.tan(got.landingAngle), seen.landingSpeedVertical / seen.ahead, 1e-8);
    }
  });

  it('comes down on a table higher than the lip, if it gets up there', () => {
    const up = { rampAngle: si<'rad'>(0.6), speed: si<'m/s'>(8), pitchRate: si<'rad/s'>(0) };
    const peak = jump({ ...up, drop: si(0) }).peakHeight;
    const table = jump({ ...up, drop: si(-0.9 * peak) });
    expectNear(table.airTime, flown({ ...up, drop: si(-0.9 * peak) }).airTime, 1e-8);
    expect(() => jump({ ...up, drop: si(-1.01 * peak) })).toThrow('the truck never gets as high as the landing');
    // Down a slope there is no way up, however fast.
    expect(() => jump({ rampAngle: si(-0.3), speed: si(30), drop: si(-0.1), pitchRate: si(0) })).toThrow('never gets as high');
    expect(() => jump({ rampAngle: si(0), speed: si(30), drop: si(-0.1), pitchRate: si(0) })).toThrow('never gets as high');
  });

  it('does not leave the ground off a ramp that does not point up, unless the ground drops away', () => {
    const flat = jump({ rampAngle: si(-0.2), speed: si(9), drop: si(0), pitchRate: si(0) });
    expect(flat).toMatchObject({ range: 0, airTime: 0, peakHeight: 0 });
    expectNear(flat.landingPitch, -0.2, 1e-12);
    // A hair's drop: half of it is lost when two near equals are taken apart.
    const hair = jump({ rampAngle: si(-0.5), speed: si(30), drop: si(1e-12), pitchRate: si(0) });
    expectNear(hair.airTime, 1e-12 / (30 * Math.sin(0.5)), 1e-9);
  });

  it('turns the truck by what the wheels take on', () => {
    // Angular momentum: what the wheels gain forward the truck gains nose up; the sum stays.
    const between = draws(122);
    for (let i = 0; i < 40; i += 1) {
      const inputs = draw(between);
      const { pitchFromThrottle, landingPitch, airTime } = jump(inputs);
      expectNear(inputs.pitchInertia * numberOf(pitchFromThrottle), inputs.drivenInertia * inputs.wheelSpeedChange, 1e-12);
      expectNear(landingPitch - inputs.rampAngle, (inputs.pitchRate + numberOf(pitchFromThrottle)) * airTime, 1e-9);
    }
    const full = { rampAngle: si<'rad'>(0.3), speed: si<'m/s'>(8), drop: si<'m'>(0), pitchRate: si<'rad/s'>(0) };
    const throttle = { drivenInertia: si<'kg·m²'>(4e-4), wheelSpeedChange: si<'rad/s'>(200), pitchInertia: si<'kg·m²'>(0.04) };
    expect(jump({ ...full, ...throttle }).pitchFromThrottle).toBeCloseTo(2, 12);
    expect(jump({ ...full, ...throttle, wheelSpeedChange: si(-200) }).pitchFromThrottle).toBeCloseTo(-2, 12);
  });

  it('leaves out what it is not told enough for', () => {
    const { drivenInertia, wheelSpeedChange, pitchInertia, total, landingRate, ...flight } = draw(draws(123));
    const bare = jump(flight);
    expect(bare.pitchFromThrottle).toBeUndefined();
    expect(bare.landingTravel).toBeUndefined();
    expectNear(bare.landingPitch, flight.rampAngle + flight.pitchRate * bare.airTime, 1e-12);
    expect(jump({ ...flight, drivenInertia, wheelSpeedChange }).pitchFromThrottle).toBeUndefined();
    expect(jump({ ...flight, wheelSpeedChange, pitchInertia }).pitchFromThrottle).toBeUndefined();
    expect(jump({ ...flight, drivenInertia, pitchInertia }).pitchFromThrottle).toBeUndefined();
    expect(jump({ ...flight, total }).landingTravel).toBeUndefined();
    expect(jump({ ...flight, landingRate }).landingTravel).toBeUndefined();
  });

  it('goes as far and high as the speed squared, when it lands at the height of the lip', () => {
    const level = (inputs: Inputs) => jump({ ...inputs, drop: si(0) });
    expectPower((inputs: Inputs) => level(inputs).range, draw, 'speed', 2);
    expectPower((inputs: Inputs) => level(inputs).peakHeight, draw, 'speed', 2);
    expectPower((inputs: Inputs) => level(inputs).airTime, draw, 'speed', 1);
    expectPower((inputs: Inputs) => level(inputs).landingSpeedVertical, draw, 'speed', 1);
    expectPower((inputs: Inputs) => jump(inputs).pitchFromThrottle, draw, 'drivenInertia', 1);
    expectPower((inputs: Inputs) => jump(inputs).pitchFromThrottle, draw, 'wheelSpeedChange', 1);
    expectPower((inputs: Inputs) => jump(inputs).pitchFromThrottle, draw, 'pitchInertia', -1);
    const between = draws(124);
    for (let i = 0; i < 40; i += 1) {
      const inputs = draw(between);
      const twice = jump({ ...inputs, total: si(2 * inputs.total), landingRate: si(2 * inputs.landingRate) });
      expectNear(twice.landingTravel, numberOf(jump(inputs).landingTravel), 1e-12);
      expectNear(level(inputs).landingAngle, inputs.rampAngle, 1e-9);
    }
  });

  it('refuses a ramp as steep as a wall', () => {
    const inputs = draw(draws(126));
    expect(() => jump({ ...inputs, rampAngle: si(90 * degrees) })).toThrow('ramp angle has to be below');
    expect(() => jump({ ...inputs, rampAngle: si(-90 * degrees) })).toThrow('ramp angle has to be above');
    expect(() => jump({ ...inputs, rampAngle: si(89 * degrees) })).not.toThrow();
  });

  it('takes a speed for the speed: a time does not compile', () => {
    const inputs = draw(draws(125));
    // @ts-expect-error a time is no speed
    expect(() => jump({ ...inputs, speed: si<'s'>(1) })).not.toThrow();
  });
});
