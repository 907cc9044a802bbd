import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { whoops } from '../../../calc/motion/whoops.ts';
import { draws, expectNear, expectPower, expectPrinted } from '../../support/book.ts';

const draw = (between: (low: number, high: number) => number) => ({
  spacing: si<'m'>(between(0.3, 5)),
  wheelbase: si<'m'>(between(0.1, 2)),
  rearRideFrequency: si<'Hz'>(between(1, 10)),
  frontRideFrequency: si<'Hz'>(between(1, 10)),
  rearHopFrequency: si<'Hz'>(between(5, 40)),
  speed: si<'m/s'>(between(1, 40)),
});
type Inputs = ReturnType<typeof draw>;

/** Greatest swing of the body over a row of sine bumps of height 1, integrated until the start has died away: m·x″ = −k(x − y) − c(x′ − y′). */
function bodyOverBump(frequency: number, dampingRatio: number, spacing: number, speed: number): number {
  const omega = 2 * Math.PI * frequency;
  const drive = (2 * Math.PI * speed) / spacing;
  const pull = (t: number, x: number, v: number) =>
    omega ** 2 * (Math.sin(drive * t) - x) + 2 * dampingRatio * omega * (drive * Math.cos(drive * t) - v);
  const period = (2 * Math.PI) / drive;
  const dt = period / 400;
  let [x, v, greatest] = [0, 0, 0];
  const settled = 12 / (dampingRatio * omega);
  for (let t = 0; t < settled + period; t += dt) {
    const [x1, v1] = [v, pull(t, x, v)];
    const [x2, v2] = [v + (v1 * dt) / 2, pull(t + dt / 2, x + (x1 * dt) / 2, v + (v1 * dt) / 2)];
    const [x3, v3] = [v + (v2 * dt) / 2, pull(t + dt / 2, x + (x2 * dt) / 2, v + (v2 * dt) / 2)];
    const [x4, v4] = [v + v3 * dt, pull(t + dt, x + x3 * dt, v + v3 * dt)];
    x += (dt * (x1 + 2 * x2 + 2 * x3 + x4)) / 6;
    v += (dt * (v1 + 2 * v2 + 2 * v3 + v4)) / 6;
    if (t > settled) greatest = Math.max(greatest, Math.abs(x));
  }
  return greatest;
}

describe('speeds over a row of bumps', () => {
  it('makes wheels hop on cobbles at 10.26 km/h', () => {
    // Barton & Fieldhouse, Automotive Chassis Engineering, Springer 2018, p. 213: 14.25 Hz, 0.2 m: 2.85 m/s, 10.26 km/h. Printed values read.
    const { hopSpeed } = whoops({ spacing: si(0.2), wheelbase: si(2.5), rearRideFrequency: si(1.2), rearHopFrequency: si(14.25) });
    expectPrinted(hopSpeed, '2.85');
    expectPrinted(hopSpeed, '10.26', 1 / 3.6);
  });

  it('passes the bumps at the frequency of the vehicle on a rough road', () => {
    // Rao, Mechanical Vibrations, ch. 3, example "vehicle moving on a rough road": 20 km/h over bumps 6 m apart: 5.81778 rad/s. Printed value
    // from memory, recomputed: the book takes 0.290889 × 20, exact is 5.81776.
    const { passingFrequency } = whoops({ spacing: si(6), wheelbase: si(2.5), rearRideFrequency: si(2.9), speed: si(20 / 3.6) });
    expectPrinted(2 * Math.PI * (passingFrequency as number), '5.818');
  });

  it('is in tune where the two-axle car has its critical speeds', () => {
    // Edwards & Penney, Differential Equations and Linear Algebra, 2nd ed., problem 7.4-24: bumps 40 ft apart, ω = 2π·v/40 with 6.13 and
    // 10.31 rad/s: 39 and 66 ft/s. Printed equation read, speeds from memory, recomputed.
    const { inTuneRear, inTuneFront } = whoops({
      spacing: si(40),
      wheelbase: si(10),
      rearRideFrequency: si(6.1311 / (2 * Math.PI)),
      frontRideFrequency: si(10.3155 / (2 * Math.PI)),
    });
    expectPrinted(inTuneRear, '39');
    expectPrinted(inTuneFront, '66');
  });

  it('floats from the speed where the body moves as much as the bumps, whatever the damping', () => {
    // Second method: the body integrated over the bumps, at that speed and a little to either side.
    const { floatRear } = whoops({ spacing: si(1.3), wheelbase: si(0.33), rearRideFrequency: si(2.6) });
    for (const dampingRatio of [0.1, 0.4, 1]) {
      expect(Math.abs(bodyOverBump(2.6, dampingRatio, 1.3, floatRear) - 1)).toBeLessThan(1e-3);
      expect(bodyOverBump(2.6, dampingRatio, 1.3, 0.9 * floatRear)).toBeGreaterThan(1.02);
      expect(bodyOverBump(2.6, dampingRatio, 1.3, 1.1 * floatRear)).toBeLessThan(0.98);
    }
  });

  it('is in tune where little damping swings highest', () => {
    const { inTuneRear } = whoops({ spacing: si(1.3), wheelbase: si(0.33), rearRideFrequency: si(2.6) });
    const at = bodyOverBump(2.6, 0.02, 1.3, inTuneRear);
    expect(at).toBeGreaterThan(bodyOverBump(2.6, 0.02, 1.3, 0.97 * inTuneRear));
    expect(at).toBeGreaterThan(bodyOverBump(2.6, 0.02, 1.3, 1.03 * inTuneRear));
  });

  it('splits the bump into bounce and pitch as its two axles meet it', () => {
    // Second method: both axles taken over one bump in small steps; half their sum is bounce, half their difference pitch.
    const between = draws(91);
    for (let i = 0; i < 40; i += 1) {
      const inputs = draw(between);
      const { bouncePart, pitchPart } = whoops(inputs);
      let [bounce, pitch] = [0, 0];
      for (let step = 0; step < 20000; step += 1) {
        const at = (step / 20000) * inputs.spacing;
        const front = Math.sin((2 * Math.PI * at) / inputs.spacing);
        const rear = Math.sin((2 * Math.PI * (at - inputs.wheelbase)) / inputs.spacing);
        bounce = Math.max(bounce, (front + rear) / 2);
        pitch = Math.max(pitch, (front - rear) / 2);
      }
      expect(Math.abs(bouncePart - bounce)).toBeLessThan(1e-6);
      expect(Math.abs(pitchPart - pitch)).toBeLessThan(1e-6);
    }
    // Gillespie, Fundamentals of Vehicle Dynamics, ch. 5: no pitch at a wheelbase of one spacing, no bounce at half of one.
    const over = (wheelbase: number) => whoops({ spacing: si(1), wheelbase: si(wheelbase), rearRideFrequency: si(2) });
    expect(over(1).pitchPart).toBeLessThan(1e-12);
    expect(over(1).bouncePart).toBe(1);
    expect(over(0.5).bouncePart).toBeLessThan(1e-12);
    expect(over(0.5).pitchPart).toBe(1);
  });

  it('answers for what is known and leaves out the rest', () => {
    const rear = whoops({ spacing: si(1), wheelbase: si(0.33), rearRideFrequency: si(2) });
    expect(rear).toMatchObject({ inTuneFront: undefined, floatFront: undefined, hopSpeed: undefined, passingFrequency: undefined });
    const both = whoops({ spacing: si(1), wheelbase: si(0.33), rearRideFrequency: si(2), frontRideFrequency: si(2) });
    expect(both.inTuneFront).toBe(both.inTuneRear);
    expect(both.floatFront).toBe(both.floatRear);
  });

  it('goes with frequency and spacing', () => {
    for (const [result, frequency] of [
      ['inTuneRear', 'rearRideFrequency'],
      ['floatRear', 'rearRideFrequency'],
      ['inTuneFront', 'frontRideFrequency'],
      ['floatFront', 'frontRideFrequency'],
      ['hopSpeed', 'rearHopFrequency'],
    ] as const) {
      expectPower((inputs: Inputs) => whoops(inputs)[result], draw, frequency, 1);
      expectPower((inputs: Inputs) => whoops(inputs)[result], draw, 'spacing', 1);
    }
    expectPower((inputs: Inputs) => whoops(inputs).passingFrequency, draw, 'speed', 1);
    expectPower((inputs: Inputs) => whoops(inputs).passingFrequency, draw, 'spacing', -1);
    const between = draws(92);
    for (let i = 0; i < 40; i += 1) {
      const { bouncePart, pitchPart } = whoops(draw(between));
      expectNear(bouncePart ** 2 + pitchPart ** 2, 1, 1e-12);
    }
  });

  it('takes a frequency for the frequency: a speed does not compile', () => {
    const inputs = draw(draws(93));
    // @ts-expect-error a speed is no frequency
    expect(() => whoops({ ...inputs, rearRideFrequency: si<'m/s'>(1) })).not.toThrow();
  });
});
