import { describe, expect, it } from 'vitest';
import { topSpeed } from '../../../calc/drive/top-speed.ts';
import { DomainError, si } from '../../../calc/formula.ts';
import { draws, expectNear, expectPower, numberOf } from '../../support/book.ts';
import { type Driven, drawTruck, kmh, rpm, sandhopper } from './truck.ts';

const speedOf = (truck: Driven): number => topSpeed(truck).topSpeed;

/** The contract's equations, put together once more and solved as the quadratic that they are on either side of no wind felt. */
function byQuadratic(truck: Driven): number {
  const radius = (truck.tyreDiameter * (1 + truck.tyreGrowth)) / 2;
  const ratio = (truck.spur / truck.pinion) * (truck.spurTurns ?? truck.gearboxRatio * truck.axleRatio);
  const pressure = 101_325 * (1 - (0.0065 * truck.altitude) / 288.15) ** (9.80665 / (0.0065 * 287.05287));
  const density = pressure / 287.05287 / truck.airTemperature;
  const resistance = truck.motorResistance + truck.packResistance;
  const perAmpere = (ratio * truck.drivelineEfficiency) / (truck.motorKv * radius); // N/A
  const atStandstill = perAmpere * ((truck.cells * truck.cellVoltage) / resistance - truck.noLoadCurrent);
  const perSpeed = (perAmpere * ratio) / (truck.motorKv * radius * resistance); // N·s/m
  const rolling = truck.rollingCoefficient * truck.total * 9.80665;
  const w = truck.headwind;
  for (const side of [1, -1]) {
    // side·k·(v + w)² + perSpeed·v + rolling − atStandstill = 0
    const k = (side * density * truck.dragArea) / 2;
    const b = 2 * k * w + perSpeed;
    const c = k * w * w + rolling - atStandstill;
    const discriminant = Math.sqrt(b * b - 4 * k * c);
    const found = [(-b + discriminant) / (2 * k), (-b - discriminant) / (2 * k)].find((v) => v > 0 && side * (v + w) >= 0);
    if (found !== undefined) return found;
  }
  throw new Error('no speed on either side');
}

describe('top speed', () => {
  it('is where the motor’s line meets drag and rolling, by the closed form of a second program', () => {
    // Drela's first-order motor on a road load, 7.4 V, 3000 rpm/V, 30 mΩ, 2 A, 8.2 to 1, 104 mm, 3.2 kg, Crr 0.04, Cd·A 0.02 m², ρ 1.2, η 0.9,
    // g 9.81: 14.139 441 577 m/s (closed-form quadratic, computed by a second method). Mass scaled to the constant's g; temperature for ρ 1.2.
    const answer = topSpeed({
      ...sandhopper,
      motorKv: rpm(3000),
      pinion: si(10),
      spur: si(82),
      gearboxRatio: si(1),
      axleRatio: si(1),
      tyreDiameter: si(0.104),
      total: si((3.2 * 9.81) / 9.80665),
      motorResistance: si(0.03),
      noLoadCurrent: si(2),
      packResistance: si(0),
      dragArea: si(0.02),
      rollingCoefficient: si(0.04),
      drivelineEfficiency: si(0.9),
      airTemperature: si(101_325 / 287.05287 / 1.2),
    });
    expectNear(answer.airDensity, 1.2, 1e-12);
    expectNear(answer.topSpeed, 14.139441577310803, 1e-10);
  });

  it('is the root of the quadratic, in any wind', () => {
    const between = draws(2007);
    for (let i = 0; i < 300; i += 1) {
      const truck = drawTruck(between);
      expectNear(speedOf(truck), byQuadratic(truck), 1e-10);
      expectNear(speedOf({ ...truck, headwind: si(-12) }), byQuadratic({ ...truck, headwind: si(-12) }), 1e-10);
    }
  });

  it('balances: the push of the current at top is what rolling and air take', () => {
    const between = draws(31);
    for (let i = 0; i < 50; i += 1) {
      const truck = drawTruck(between);
      const answer = topSpeed(truck);
      const radius = (truck.tyreDiameter * (1 + truck.tyreGrowth)) / 2;
      const ratio = (truck.spur / truck.pinion) * truck.gearboxRatio * truck.axleRatio;
      const felt = answer.topSpeed + truck.headwind;
      const load = 0.5 * answer.airDensity * truck.dragArea * felt * Math.abs(felt) + truck.rollingCoefficient * truck.total * 9.80665;
      const torque = (answer.currentAtTop - truck.noLoadCurrent) / truck.motorKv;
      expectNear((torque * ratio * truck.drivelineEfficiency) / radius, load, 1e-9);
      // Kirchhoff's law round pack and motor, and the power that goes with it.
      const voltage = truck.cells * truck.cellVoltage;
      const dropped = answer.currentAtTop * (truck.motorResistance + truck.packResistance);
      expectNear(dropped + answer.motorSpeedAtTop / truck.motorKv, voltage, 1e-9);
      expectNear(answer.motorSpeedAtTop, (answer.topSpeed / radius) * ratio);
      expectNear(answer.electricalPower, voltage * answer.currentAtTop);
      expectNear(answer.shaftPower, torque * answer.motorSpeedAtTop);
      expectNear(answer.efficiencyAtTop, answer.shaftPower / answer.electricalPower);
    }
  });

  it('reaches the motor’s best efficiency at the current that the motor’s own theory gives', () => {
    // M. Drela, First-Order DC Electric Motor Model, MIT, 2007: best at √(V·I₀/R), with (1 − √(I₀·R/V))²; 7.4 V, 30 mΩ, 2 A:
    // 22.211 108 A and 0.828 018 (computed by a second method).
    const at = (axleRatio: number) =>
      topSpeed({ ...sandhopper, axleRatio: si(axleRatio), noLoadCurrent: si(2), motorResistance: si(0.02), packResistance: si(0.01) });
    let [low, high] = [0.3, 6];
    for (let i = 0; i < 100; i += 1) {
      const [a, b] = [low + (high - low) * 0.382, low + (high - low) * 0.618];
      if (numberOf(at(a).efficiencyAtTop) > numberOf(at(b).efficiencyAtTop)) high = b;
      else low = a;
    }
    // A search for a maximum is good to the root of what the values are good to.
    expectNear(at(low).efficiencyAtTop, 0.8280180405518089, 1e-12);
    expectNear(at(low).currentAtTop, 22.21110833127894, 1e-5);
  });

  it('stays below the no-load speed, which is that of the motor with its no-load current alone', () => {
    const free = { ...sandhopper, rollingCoefficient: si<'1'>(0), dragArea: si<'m²'>(0) };
    const answer = topSpeed(free);
    expectNear(answer.topSpeed, answer.noLoadSpeed);
    expectNear(answer.currentAtTop, 4);
    // By hand: (7.4 V − 4 A × 26 mΩ) × 3000 rpm/V = 21 888 rpm; /13.5 = 1621.333 rpm; × π × 0.1 m / 60 = 8.489 281 m/s.
    expect(answer.noLoadSpeed).toBeCloseTo(8.489281, 5);
    expect(speedOf(sandhopper)).toBeLessThan(answer.noLoadSpeed);
  });

  it('rolls and pushes on the grown tyre', () => {
    const grown = topSpeed({ ...sandhopper, tyreGrowth: si(0.1) });
    expectNear(grown.topSpeed, speedOf({ ...sandhopper, tyreDiameter: si(0.11) }));
    expectNear(grown.noLoadSpeed, topSpeed(sandhopper).noLoadSpeed * 1.1);
  });

  it('falls with headwind, and with a tailwind grows even past the speed of the free motor', () => {
    const winds = [-200, -100, -40, -20, 0, 20, 40, 100];
    const speeds = winds.map((wind) => speedOf({ ...sandhopper, headwind: kmh(wind) }));
    expect(speeds.every((speed, i) => i === 0 || speed < speeds[i - 1]!)).toBe(true);
    const blown = topSpeed({ ...sandhopper, headwind: kmh(-100) });
    expect(blown.topSpeed).toBeGreaterThan(blown.noLoadSpeed);
    expect(blown.currentAtTop).toBeLessThan(4);
    expect(blown.efficiencyAtTop).toEqual({ absent: 'nothing to push' });
    expectNear(blown.topSpeed, byQuadratic({ ...sandhopper, headwind: kmh(-100) }), 1e-10);
  });

  it('does without resistance, as the limit of a small one', () => {
    const ideal = speedOf({ ...sandhopper, motorResistance: si(0), packResistance: si(0) });
    expectNear(ideal, topSpeed({ ...sandhopper, motorResistance: si(0), packResistance: si(0) }).noLoadSpeed);
    expectNear(speedOf({ ...sandhopper, motorResistance: si(1e-9), packResistance: si(0) }), ideal, 1e-6);
  });

  it('says that the truck does not move off when the push does not overcome rolling and wind', () => {
    const refused = (change: Partial<Driven>): string => {
      try {
        topSpeed({ ...sandhopper, ...change });
      } catch (error) {
        if (error instanceof DomainError) return error.message;
        throw error;
      }
      return 'answered';
    };
    // At a standstill by hand: 13.5/(0.05 m × 314.159) × 0.7 × (7.4 V/26 mΩ − 4 A) = 168.8 N, or 5.738 times the weight.
    expect(refused({ rollingCoefficient: si(5.74) })).toMatch(/does not overcome rolling and wind/);
    expect(refused({ rollingCoefficient: si(5.73) })).toBe('answered');
    expect(refused({ headwind: kmh(400) })).toMatch(/does not overcome rolling and wind/);
    expect(refused({ noLoadCurrent: si(300) })).toMatch(/the motor does not turn/);
    // 284.6 A is what this pack pushes through this motor at a standstill: 7.4 V / 26 mΩ.
    expect(refused({ noLoadCurrent: si(285), headwind: kmh(-400) })).toMatch(/the motor does not turn/);
  });

  it('does not change when everything that pulls and holds is scaled alike', () => {
    const between = draws(5);
    for (let i = 0; i < 40; i += 1) {
      const truck = drawTruck(between);
      const c = between(0.5, 2);
      const bigger: Driven = {
        ...truck,
        total: si(truck.total * c),
        dragArea: si(truck.dragArea * c),
        noLoadCurrent: si(truck.noLoadCurrent * c),
        motorResistance: si(truck.motorResistance / c),
        packResistance: si(truck.packResistance / c),
      };
      expectNear(speedOf(bigger), speedOf(truck), 1e-10);
      expectNear(topSpeed(bigger).electricalPower, c * topSpeed(truck).electricalPower, 1e-9);
      const slower: Driven = { ...truck, motorKv: si(truck.motorKv * c), gearboxRatio: si(truck.gearboxRatio * c) };
      expectNear(speedOf(slower), speedOf(truck), 1e-10);
    }
    expectPower((truck) => topSpeed(truck).noLoadSpeed, drawTruck, 'motorKv', 1);
    expectPower((truck) => topSpeed(truck).noLoadSpeed, drawTruck, 'tyreDiameter', 1);
    expectPower((truck) => topSpeed(truck).noLoadSpeed, drawTruck, 'axleRatio', -1);
  });

  it('falls with mass, drag and resistance, and grows with voltage and efficiency', () => {
    const between = draws(6);
    const rising = { cellVoltage: 1, drivelineEfficiency: 1, airTemperature: 1, altitude: 1 } as const;
    const falling = { total: 1, dragArea: 1, rollingCoefficient: 1, motorResistance: 1, packResistance: 1, noLoadCurrent: 1 } as const;
    for (let i = 0; i < 40; i += 1) {
      // Against the wind; with one from behind, thinner air would slow it.
      const truck: Driven = { ...drawTruck(between), headwind: si(0) };
      const moved = (name: keyof Driven): number => speedOf({ ...truck, [name]: (truck[name] as number) * 1.01 });
      for (const name of Object.keys(rising) as (keyof typeof rising)[]) expect(moved(name)).toBeGreaterThan(speedOf(truck));
      for (const name of Object.keys(falling) as (keyof typeof falling)[]) expect(moved(name)).toBeLessThan(speedOf(truck));
    }
  });

  it('does not compile with a share for a current', () => {
    // @ts-expect-error a current is in A
    topSpeed({ ...sandhopper, noLoadCurrent: si<'1'>(4) });
  });
});
