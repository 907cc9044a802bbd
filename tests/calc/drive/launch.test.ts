import { describe, expect, it } from 'vitest';
import { launch } from '../../../calc/drive/launch.ts';
import { isAbsent, si } from '../../../calc/formula.ts';
import { integrate } from '../../../calc/numeric/ode.ts';
import { draws, expectNear, expectPrinted, numberOf } from '../../support/book.ts';
import { drawStart, kmh, rpm, type Starting, sandhopperAtTheLine } from './truck.ts';

const GRAVITY = 9.80665;

/** The law of the contract, written down once more as it stands there: acceleration, slip and lifted front at a speed. */
function law(truck: Starting): (speed: number) => { a: number; slips: boolean; lifted: boolean } {
  const m = truck.total;
  const r = (truck.tyreDiameter * (1 + truck.tyreGrowth)) / 2;
  const ratio = (truck.spur / truck.pinion) * (truck.spurTurns ?? truck.gearboxRatio * truck.axleRatio);
  const pressure = 101_325 * (1 - (0.0065 * truck.altitude) / 288.15) ** (9.80665 / (0.0065 * 287.05287));
  const density = pressure / 287.05287 / truck.airTemperature;
  const slope = Math.atan(truck.grade);
  const s = truck.rearShare;
  const h = truck.cgHeight;
  const l = truck.wheelbase;
  return (v) => {
    const wheel = v / r;
    const current = Math.min(
      (truck.cells * truck.cellVoltage - (wheel * ratio) / truck.motorKv) / (truck.motorResistance + truck.packResistance),
      truck.currentLimit,
    );
    const push = (((current - truck.noLoadCurrent) / truck.motorKv) * ratio * truck.drivelineEfficiency) / r;
    const resistance =
      0.5 * density * truck.dragArea * v * v + truck.rollingCoefficient * m * GRAVITY * Math.cos(slope) + m * GRAVITY * Math.sin(slope);
    let a = (push - resistance) / (m + truck.drivenInertia / r ** 2);
    const still = m * GRAVITY * (s * Math.cos(slope) + (h / l) * Math.sin(slope));
    const slips = push - (truck.drivenInertia * a) / r ** 2 > truck.grip * (still + (m * a * h) / l);
    // Grip × height beyond the wheelbase: the quotient below would reward a truck for slipping. It has nothing to accelerate with.
    if (slips && truck.grip * h > l) return { a: Number.NEGATIVE_INFINITY, slips, lifted: false };
    if (slips) a = (truck.grip * still - resistance) / (m * (1 - (truck.grip * h) / l));
    const most = GRAVITY * (((1 - s) * Math.cos(slope) * l) / h - Math.sin(slope));
    return { a: Math.min(a, most), slips, lifted: a >= most };
  };
}

/** Fixed small steps of the classical Runge–Kutta method until the speed is reached. */
function timeBySteps(truck: Starting, step: number): number {
  const a = (v: number): number => law(truck)(v).a;
  let [time, v] = [0, 0];
  for (;;) {
    const k1 = a(v);
    const k2 = a(v + (step / 2) * k1);
    const k3 = a(v + (step / 2) * k2);
    const k4 = a(v + step * k3);
    const next = v + (step * (k1 + 2 * k2 + 2 * k3 + k4)) / 6;
    // The last step goes with an acceleration that hardly changes.
    if (next >= truck.toSpeed) return time + (truck.toSpeed - v) / ((k1 + k4) / 2);
    if (!(k1 > 1e-9) || time > 60) return Number.POSITIVE_INFINITY;
    v = next;
    time += step;
  }
}

/** ∫ dv/a over a fine even grid (midpoints), with what happens on the way. */
function byGrid(truck: Starting, points: number) {
  const at = law(truck);
  const width = truck.toSpeed / points;
  let [time, slipUntil, lifted, reached] = [0, 0, false, 0];
  for (let i = 0; i < points; i += 1) {
    const here = at((i + 0.5) * width);
    if (!(here.a > 0)) {
      time = Number.POSITIVE_INFINITY;
      break;
    }
    time += width / here.a;
    reached = (i + 1) * width;
    if (here.slips) slipUntil = reached;
    lifted ||= here.lifted;
  }
  return { time, slipUntil, lifted, width };
}

const named: Record<string, Partial<Starting>> = {
  'slipping all the way': {},
  'on grippy ground, held by the current limit, then by the motor': { grip: si(1.2), currentLimit: si(40) },
  'slipping first and gripping later': { grip: si(0.75), pinion: si(20), currentLimit: si(60), toSpeed: si(11) },
  'with the front in the air first': { grip: si(1.6), cgHeight: si(0.16), cells: si(3), toSpeed: si(12) },
  'uphill with heavy wheels': { grip: si(0.9), grade: si(0.2), drivenInertia: si(0.002), toSpeed: si(6) },
  downhill: { grip: si(0.7), grade: si(-0.15), toSpeed: si(8) },
  'with a tall truck whose load comes faster than its grip uses it': { grip: si(1.8), cgHeight: si(0.2), toSpeed: si(7.5) },
};

describe('a launch', () => {
  it.each(Object.entries(named))('%s takes the time of small fixed steps', (_, change) => {
    const truck = { ...sandhopperAtTheLine, ...change };
    const time = timeBySteps(truck, 2e-4);
    expect(time).toBeLessThan(20);
    expectNear(launch(truck).timeToSpeed, time, 2e-6);
  });

  it.each(Object.entries(named))('%s takes the time, and follows the curve, of an integration with error control', (_, change) => {
    const truck = { ...sandhopperAtTheLine, ...change };
    const answer = launch(truck);
    const at = law(truck);
    const course = integrate((_time, [v]) => [at(v!).a], 0, [0], 20, { until: (_time, [v]) => v! - truck.toSpeed, longestStep: 0.05 });
    expectNear(answer.timeToSpeed, course.time, 1e-7);
    const { time, speed } = answer.speedOverTime;
    expect(time).toHaveLength(61);
    time.forEach((when, i) => {
      expectNear(when, (numberOf(answer.timeToSpeed) * i) / 60, 1e-12);
      expect(Math.abs(speed[i]! - course.at(Math.min(when, course.time))[0]!)).toBeLessThan(1e-6);
    });
  });

  it('is, in any truck, what a fine grid over the speed adds up', () => {
    const between = draws(60);
    const kinds = { never: 0, slips: 0, gripsLater: 0, lifts: 0 };
    for (let i = 0; i < 400; i += 1) {
      const truck = drawStart(between);
      const grid = byGrid(truck, 4000);
      const answer = launch(truck);
      const atEnd = law(truck)(truck.toSpeed).a / law(truck)(0).a;
      // Where it only just gets there the integrand runs away, and the grid with it: there the time is checked to be long at least.
      if (!Number.isFinite(grid.time)) expect(answer.timeToSpeed).toEqual({ absent: 'never' });
      else if (atEnd > 0.05) expectNear(answer.timeToSpeed, grid.time, 1e-5);
      else if (!isAbsent(answer.timeToSpeed)) expect(numberOf(answer.timeToSpeed)).toBeGreaterThan(0.99 * grid.time);
      expect(Math.abs(answer.slipUntil - grid.slipUntil)).toBeLessThanOrEqual(grid.width);
      expect(answer.wheelie).toBe(grid.lifted);
      expectNear(answer.peakAcceleration, Math.max(0, law(truck)(0).a), 1e-9);
      const stall = (truck.cells * truck.cellVoltage) / (truck.motorResistance + truck.packResistance);
      expectNear(answer.peakCurrent, Math.min(stall, truck.currentLimit));
      kinds.never += isAbsent(answer.timeToSpeed) ? 1 : 0;
      kinds.slips += answer.slipUntil > 0 ? 1 : 0;
      kinds.gripsLater += answer.slipUntil > 0 && answer.slipUntil < truck.toSpeed ? 1 : 0;
      kinds.lifts += answer.wheelie ? 1 : 0;
    }
    // The draws have to have been of every kind, or they prove little.
    expect(kinds.never).toBeGreaterThan(20);
    expect(kinds.slips).toBeGreaterThan(50);
    expect(kinds.gripsLater).toBeGreaterThan(20);
    expect(kinds.lifts).toBeGreaterThan(20);
  });

  it('can begin to slip on the way, where the air takes load off the rear before it takes push off the motor', () => {
    // Just gripping at the line: the grip at which the ground force there is all used, and a touch more.
    const truck: Starting = {
      ...sandhopperAtTheLine,
      cells: si(6),
      currentLimit: si(40),
      dragArea: si(0.1),
      cgHeight: si(0.15),
      toSpeed: si(12),
    };
    let [low, high] = [0.1, 3];
    for (let i = 0; i < 60; i += 1) {
      const grip = (low + high) / 2;
      if (law({ ...truck, grip: si(grip) })(0).slips) low = grip;
      else high = grip;
    }
    const late = { ...truck, grip: si<'1'>(high * 1.02) };
    expect(law(late)(0).slips).toBe(false);
    const grid = byGrid(late, 20_000);
    expect(launch({ ...late, toSpeed: si(0.5) }).slipUntil).toBe(0);
    expectNear(launch(late).slipUntil, 12);
    expectNear(grid.slipUntil, 12);
    expectNear(launch(late).timeToSpeed, grid.time, 1e-6);
  });

  it('pulls on a slope as a physics book’s car does', () => {
    // OpenStax, College Physics, ch. 5 problems, selected answers: a 4° climb, half the weight on the drive wheels, no rolling resistance:
    // μ 1.0: 4.20 m/s², 0.70: 2.74 m/s²; g 9.80 (printed values from memory, recomputed). No load transfer there: height to nothing.
    const climbing = (grip: number) =>
      launch({
        ...sandhopperAtTheLine,
        total: si(1200),
        cells: si(12),
        currentLimit: si(1e6),
        motorResistance: si(1e-6),
        packResistance: si(1e-6),
        cgHeight: si(1e-9),
        wheelbase: si(2.5),
        rearShare: si(0.5),
        rollingCoefficient: si(0),
        grade: si(Math.tan((4 * Math.PI) / 180)),
        grip: si(grip),
        toSpeed: si(1),
      });
    expectPrinted((climbing(1).peakAcceleration * 9.8) / GRAVITY, '4.20');
    expectPrinted((climbing(0.7).peakAcceleration * 9.8) / GRAVITY, '2.74');
    // And on ice, μ 0.1: −0.195 m/s²: it slides back.
    expect(climbing(0.1)).toMatchObject({ timeToSpeed: { absent: 'never' }, peakAcceleration: 0, slipUntil: 0 });
  });

  it('takes a car with unlimited power to 105 km/h in the time that its rear tyres allow', () => {
    // Worked answer of a public physics tutorial: 48 % of the weight on the drive wheels, μ 0.60: 2.82 m/s², 10.3 s (printed values seen); g 9.8,
    // no resistance, no load transfer.
    const answer = launch({
      ...sandhopperAtTheLine,
      total: si(1000),
      cells: si(12),
      cellVoltage: si(1000),
      motorResistance: si(1e-3),
      currentLimit: si(1e6),
      cgHeight: si(1e-9),
      wheelbase: si(2.5),
      rearShare: si(0.48),
      rollingCoefficient: si(0),
      dragArea: si(0),
      grip: si(0.6),
      toSpeed: kmh(105),
    });
    expectPrinted((answer.peakAcceleration * 9.8) / GRAVITY, '2.82');
    expectPrinted((numberOf(answer.timeToSpeed) * GRAVITY) / 9.8, '10.3');
    expectNear(answer.slipUntil, kmh(105));
  });

  it('pulls, with load transfer, as hard as a highway engineer’s rear-drive car', () => {
    // Mannering and Washburn, Principles of Highway Engineering and Traffic Analysis, ch. 2, example: 2500 lb, wheelbase 120 in, CG 22 in up and
    // 40 in behind the front axle, μ 0.6, rolling 0.01: rear-wheel drive 558.71 lb (printed value from memory, recomputed).
    const pound = 0.45359237;
    const answer = launch({
      ...sandhopperAtTheLine,
      total: si(2500 * pound),
      cells: si(12),
      cellVoltage: si(1000),
      motorResistance: si(1e-3),
      currentLimit: si(1e6),
      cgHeight: si(22 * 0.0254),
      wheelbase: si(120 * 0.0254),
      rearShare: si(40 / 120),
      rollingCoefficient: si(0.01),
      grip: si(0.6),
    });
    const force = 2500 * pound * answer.peakAcceleration + 0.01 * 2500 * pound * GRAVITY;
    expectPrinted(force, '558.71', pound * GRAVITY);
  });

  it('is never quicker with less grip, and never slower with less to move', () => {
    const between = draws(61);
    const seconds = (truck: Starting): number => {
      const { timeToSpeed } = launch(truck);
      return isAbsent(timeToSpeed) ? Number.POSITIVE_INFINITY : numberOf(timeToSpeed);
    };
    for (let i = 0; i < 100; i += 1) {
      const truck = { ...drawStart(between), grip: si<'1'>(between(0.2, 1)) };
      const base = seconds(truck) * (1 - 1e-12);
      expect(seconds({ ...truck, grip: si(truck.grip * 0.95) })).toBeGreaterThanOrEqual(base);
      expect(seconds({ ...truck, dragArea: si(truck.dragArea * 1.1) })).toBeGreaterThanOrEqual(base);
      expect(seconds({ ...truck, rollingCoefficient: si(truck.rollingCoefficient * 1.1) })).toBeGreaterThanOrEqual(base);
      expect(seconds({ ...truck, grade: si(truck.grade + 0.02) })).toBeGreaterThanOrEqual(base);
      expect(seconds({ ...truck, currentLimit: si(truck.currentLimit * 0.9) })).toBeGreaterThanOrEqual(base);
      const farther = seconds({ ...truck, toSpeed: si(truck.toSpeed * 1.05) });
      expect(farther > base || farther === Number.POSITIVE_INFINITY).toBe(true);
    }
  });

  it('does not change when everything that pulls and holds is scaled alike', () => {
    const between = draws(62);
    for (let i = 0; i < 100; i += 1) {
      const truck = drawStart(between);
      const c = between(0.5, 2);
      const bigger: Starting = {
        ...truck,
        total: si(truck.total * c),
        drivenInertia: si(truck.drivenInertia * c),
        dragArea: si(truck.dragArea * c),
        noLoadCurrent: si(truck.noLoadCurrent * c),
        currentLimit: si(truck.currentLimit * c),
        motorResistance: si(truck.motorResistance / c),
        packResistance: si(truck.packResistance / c),
      };
      const geared: Starting = { ...truck, motorKv: si(truck.motorKv * c), gearboxRatio: si(truck.gearboxRatio * c) };
      const before = launch(truck);
      for (const after of [launch(bigger), launch(geared)]) {
        if (isAbsent(before.timeToSpeed)) expect(after.timeToSpeed).toEqual(before.timeToSpeed);
        else expectNear(after.timeToSpeed, numberOf(before.timeToSpeed), 1e-8);
        expect(Math.abs(after.slipUntil - before.slipUntil)).toBeLessThan(1e-8);
        expect(after.wheelie).toBe(before.wheelie);
      }
      expectNear(launch(bigger).peakCurrent, c * before.peakCurrent, 1e-12);
    }
  });

  it('that never gets to the speed says so, and its curve ends just below what it reaches', () => {
    const answer = launch({ ...sandhopperAtTheLine, grip: si(1), toSpeed: kmh(200) });
    expect(answer.timeToSpeed).toEqual({ absent: 'never' });
    const { time, speed } = answer.speedOverTime;
    const top = 8.337382729314346; // where push and resistance meet, checked with topSpeed
    expect(speed.at(-1)!).toBeLessThan(top);
    expect(speed.at(-1)!).toBeGreaterThan(0.985 * top);
    expect(speed.every((each, i) => i === 0 || each > speed[i - 1]!)).toBe(true);
    expect(time.at(-1)!).toBeLessThan(60);
    expect(answer.slipUntil).toBeLessThan(top);
  });

  it('that cannot even move off says so too', () => {
    const steep = launch({ ...sandhopperAtTheLine, grade: si(0.9) });
    expect(steep).toMatchObject({
      timeToSpeed: { absent: 'never' },
      peakAcceleration: 0,
      slipUntil: 0,
      wheelie: false,
      speedOverTime: { time: [0, 1], speed: [0, 0] },
    });
    expect(launch({ ...sandhopperAtTheLine, currentLimit: si(3) }).timeToSpeed).toEqual({ absent: 'never' });
    expect(launch({ ...sandhopperAtTheLine, rearShare: si(0), grip: si(0.05) }).timeToSpeed).toEqual({ absent: 'never' });
    expect(launch({ ...sandhopperAtTheLine, grip: si(0) }).timeToSpeed).toEqual({ absent: 'never' });
  });

  it('of a tall truck with hardly any load at the rear needs a hard push, since grip comes with the push alone', () => {
    // Grip × height beyond the wheelbase (1.6 × 200 mm, 300 mm): at rest the rear holds less than rolling takes. By hand, it grips from
    // (rolling − grip × rear load at rest) / (mass × (1.6 × 2/3 − 1)) = (1.765 − 1.412)/0.2 = 1.765 m/s² on; 10 A give 0.6 m/s², 100 A plenty.
    const truck: Starting = {
      ...sandhopperAtTheLine,
      cgHeight: si(0.2),
      wheelbase: si(0.3),
      grip: si(1.6),
      rearShare: si(0.03),
      toSpeed: si(5),
    };
    expect(launch({ ...truck, currentLimit: si(10) })).toMatchObject({ timeToSpeed: { absent: 'never' }, peakAcceleration: 0 });
    expect(numberOf(launch(truck).timeToSpeed)).toBeLessThan(1);
    // And exactly zero: height × grip = wheelbase. The load at rest alone decides.
    expect(launch({ ...truck, grip: si(2), cgHeight: si(0.15), rearShare: si(0.02) }).timeToSpeed).toEqual({ absent: 'never' });
    const even: Starting = { ...truck, grip: si(2), cgHeight: si(0.15), rearShare: si(0.3) };
    for (const grip of [2 - 1e-9, 2, 2 + 1e-9]) expectNear(launch({ ...even, grip: si(grip) }).timeToSpeed, timeBySteps(even, 1e-4), 1e-5);
  });

  it('refuses a truck that lies on its back before it starts, and a motor and pack without any resistance', () => {
    expect(() => launch({ ...sandhopperAtTheLine, grade: si(2), cgHeight: si(0.3) })).toThrow(/tips over/);
    expect(() => launch({ ...sandhopperAtTheLine, grade: si(-3), cgHeight: si(0.3) })).toThrow(/tips over/);
    expect(() => launch({ ...sandhopperAtTheLine, motorResistance: si(0), packResistance: si(0) })).toThrow(/resistance/);
  });

  it('answers in well under a millisecond, since its uncertainty asks it some thirty times', () => {
    const start = performance.now();
    for (let i = 0; i < 200; i += 1) launch({ ...sandhopperAtTheLine, total: si(3 + i * 1e-4), motorKv: rpm(3000 + i) });
    expect((performance.now() - start) / 200).toBeLessThan(2);
  });

  it('does not compile with a length for a share', () => {
    // @ts-expect-error a share has no unit
    launch({ ...sandhopperAtTheLine, rearShare: si<'m'>(0.6) });
  });
});
