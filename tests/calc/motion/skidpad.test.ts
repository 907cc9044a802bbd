import { describe, expect, it } from 'vitest';
import { DomainError, isAbsent, si } from '../../../calc/formula.ts';
import { skidpad } from '../../../calc/motion/skidpad.ts';
import { draws, expectNear, expectPrinted, numberOf } from '../../support/book.ts';
import { norris } from '../../support/lines.ts';

type Inputs = Parameters<typeof skidpad>[0];
const drive = (runs: readonly (readonly [lapTime: number, diameter: number])[], wheelbase: number): Inputs => ({
  skidpadRuns: runs.map(([lapTime, diameter]) => ({ lapTime: si(lapTime), diameter: si(diameter) })),
  wheelbase: si(wheelbase),
});

interface Car {
  readonly mass: number;
  /** Centre of gravity behind the front axle and ahead of the rear axle. */
  readonly ahead: number;
  readonly behind: number;
  /** Cornering stiffness of an axle, both tyres. */
  readonly front: number;
  readonly rear: number;
}

/** The linear two-wheel model in steady state: side slip and yaw rate from the sums of forces and moments, by Cramer's rule. */
function circle({ mass, ahead, behind, front, rear }: Car, steer: number, speed: number): { lapTime: number; diameter: number } {
  // front·(δ − (w + ahead·r)/v) − rear·(w − behind·r)/v = mass·v·r;  ahead·front·(…) + behind·rear·(w − behind·r)/v = 0
  const a11 = (front + rear) / speed;
  const a12 = (ahead * front - behind * rear) / speed + mass * speed;
  const a21 = (ahead * front - behind * rear) / speed;
  const a22 = (ahead ** 2 * front + behind ** 2 * rear) / speed;
  const yawRate = (a11 * ahead * front * steer - a21 * front * steer) / (a11 * a22 - a12 * a21);
  return { lapTime: (2 * Math.PI) / yawRate, diameter: (2 * speed) / yawRate };
}
const driven = (car: Car, steer: number, speeds: readonly number[]): Inputs =>
  drive(
    speeds.map((speed) => {
      const { lapTime, diameter } = circle(car, steer, speed);
      return [lapTime, diameter] as const;
    }),
    car.ahead + car.behind,
  );

// the car of Wong, Theory of Ground Vehicles, example 5.1: 20.105 kN, wheelbase 2.8 m, front axle 0.465 of it ahead of the centre of gravity, 38.92 and
// 38.25 kN/rad a tyre, front and rear, g = 9.81 m/s².
const G = 9.81;
const wong: Car = { mass: 20105 / G, ahead: 0.465 * 2.8, behind: 0.535 * 2.8, front: 2 * 38920, rear: 2 * 38250 };

describe('laps of a circle at one steering lock', () => {
  it('give the understeer and the characteristic speed of the textbook car', () => {
    // Wong, Theory of Ground Vehicles, example 5.1: understeer coefficient 0.0160 rad (0.92°) per g, characteristic speed 41.5 m/s (149 km/h). Printed
    // values from memory, recomputed; the runs come from the linear two-wheel model.
    const result = skidpad(driven(wong, 0.05, [5, 10, 15, 20]));
    expectPrinted(result.understeerGradient * G, '0.0160');
    expectPrinted((result.understeerGradient * G * 180) / Math.PI, '0.92');
    expectPrinted(result.characteristicSpeed, '41.5');
    expectPrinted(numberOf(result.characteristicSpeed) * 3.6, '149');
    expect(result.criticalSpeed).toEqual({ absent: 'never' });
    expectNear(result.steer, 0.05, 1e-9);
  });

  it('give the steer and the gradient of any car of the linear model', () => {
    // Second method: forces and moments of the two-wheel model, solved run by run; its gradient is m/L·(b/C₁ − a/C₂) (Gillespie, ch. 6).
    const between = draws(53);
    for (let i = 0; i < 40; i += 1) {
      const car: Car = {
        mass: between(1.5, 4),
        ahead: between(0.15, 0.25),
        behind: between(0.1, 0.2),
        front: between(60, 120),
        rear: between(60, 120),
      };
      const wheelbase = car.ahead + car.behind;
      const gradient = (car.mass / wheelbase) * (car.behind / car.front - car.ahead / car.rear);
      const critical = gradient < 0 ? Math.sqrt(wheelbase / -gradient) : Number.POSITIVE_INFINITY;
      const top = Math.min(6, 0.9 * critical);
      const steer = between(0.1, 0.4);
      const result = skidpad(driven(car, steer, [0.3 * top, 0.6 * top, 0.8 * top, top]));
      expectNear(result.steer, steer, 1e-9);
      expect(Math.abs(result.understeerGradient - gradient)).toBeLessThan(1e-11);
      expect(isAbsent(result.characteristicSpeed)).toBe(gradient <= 0);
      expect(isAbsent(result.criticalSpeed)).toBe(gradient >= 0);
    }
  });

  it('have the certified line of the NIST Norris data, driven as lateral accelerations and path angles', () => {
    // NIST Statistical Reference Datasets, linear regression, "Norris" (1996): certified values. Wheelbase 1 m: the radius is 1/y, and a lap at the
    // lateral acceleration x takes 2π√(radius/x).
    const result = skidpad(
      drive(
        norris.x.map((x, i) => [2 * Math.PI * Math.sqrt(1 / norris.y[i]! / x), 2 / norris.y[i]!] as const),
        1,
      ),
    );
    expectNear(result.understeerGradient, -norris.certified.slope, 1e-11);
    expectNear(result.understeerGradientError, norris.certified.slopeError, 1e-9);
    expectNear(result.steer, norris.certified.intercept, 1e-10);
  });

  it('are listed from the slowest to the fastest, each with its path angle and the line there', () => {
    const { runs, steer, understeerGradient } = skidpad(
      drive(
        [
          [2.5, 3.2],
          [4, 3],
          [3, 3.1],
        ],
        0.33,
      ),
    );
    // a = v²/R with v = πD/t, worked out the long way round.
    const laps = [
      [4, 3],
      [3, 3.1],
      [2.5, 3.2],
    ] as const;
    for (const [i, [time, diameter]] of laps.entries()) {
      const speed = (Math.PI * diameter) / time;
      expectNear(runs.lateralAcceleration[i], speed ** 2 / (diameter / 2), 1e-12);
      expectNear(runs.pathAngle[i], 0.66 / diameter, 1e-12);
      expectNear(runs.line[i], steer - understeerGradient * runs.lateralAcceleration[i]!, 1e-12);
    }
  });

  it('give the speed at which the model’s car turns in without any steering', () => {
    // Second method: the critical speed is where the determinant of the two-wheel model crosses zero, found by halving.
    const loose: Car = { ...wong, front: wong.rear * 1.3 };
    const turns = (speed: number) => circle(loose, 0.05, speed).diameter > 0;
    let [low, high] = [1, 200];
    for (let i = 0; i < 60; i += 1) {
      const middle = (low + high) / 2;
      if (turns(middle)) low = middle;
      else high = middle;
    }
    const result = skidpad(driven(loose, 0.05, [5, 10, 15]));
    expectNear(result.criticalSpeed, low, 1e-9);
    expect(result.understeerGradient).toBeLessThan(0);
    expect(result.characteristicSpeed).toEqual({ absent: 'never' });
  });

  it('double in width at the characteristic speed', () => {
    const result = skidpad(driven(wong, 0.05, [5, 10, 15]));
    const there = circle(wong, 0.05, numberOf(result.characteristicSpeed));
    expectNear(there.diameter, (2 * 2 * 2.8) / 0.05, 1e-9);
  });

  it('have the lateral acceleration that the trade’s rule gives', () => {
    // Common practice, no source: g on a circle is 1.227 × radius in feet/(seconds a lap)²; a public how-to page prints 1.51 for 100 ft in 9 s.
    const result = skidpad(
      drive(
        [
          [12, 200 * 0.3048],
          [10, 200 * 0.3048],
          [9, 200 * 0.3048],
        ],
        2.8,
      ),
    );
    expectPrinted(result.peakLateralAcceleration / 9.80665, '1.51');
    expectPrinted((result.peakLateralAcceleration / 9.80665) * (81 / 100), '1.227');
  });

  it('go with the clock and the wheelbase', () => {
    const between = draws(54);
    for (let i = 0; i < 40; i += 1) {
      const runs = [1, 2, 3, 4].map((n) => [5 / n ** between(0.5, 0.9), 3 + 0.1 * n * between(0.5, 2)] as const);
      const factor = between(0.5, 2);
      const once = skidpad(drive(runs, 0.33));
      const clock = skidpad(
        drive(
          runs.map(([lapTime, diameter]) => [lapTime * factor, diameter] as const),
          0.33,
        ),
      );
      expectNear(clock.steer, once.steer, 1e-9);
      expectNear(clock.understeerGradient, once.understeerGradient * factor ** 2, 1e-9);
      expectNear(clock.peakLateralAcceleration, once.peakLateralAcceleration / factor ** 2, 1e-9);
      const long = skidpad(drive(runs, 0.33 * factor));
      expectNear(long.steer, once.steer * factor, 1e-9);
      expectNear(long.understeerGradient, once.understeerGradient * factor, 1e-9);
      const speed = isAbsent(once.characteristicSpeed) ? 'criticalSpeed' : 'characteristicSpeed';
      expectNear(clock[speed], numberOf(once[speed]) / factor, 1e-9);
      expectNear(long[speed], numberOf(once[speed]), 1e-9);
    }
  });

  it('of a neutral truck keep their width, and neither speed exists', () => {
    const result = skidpad(
      drive(
        [
          [5, 3],
          [4, 3],
          [3, 3],
        ],
        0.33,
      ),
    );
    expectNear(result.steer, 0.22, 1e-12);
    expect(result.understeerGradient).toBe(0);
    expect([result.characteristicSpeed, result.criticalSpeed]).toEqual([{ absent: 'never' }, { absent: 'never' }]);
  });

  it('have to get faster: three laps alike draw no line', () => {
    const alike = () =>
      skidpad(
        drive(
          [
            [4, 3],
            [4, 3],
            [4, 3],
          ],
          0.33,
        ),
      );
    expect(alike).toThrow(DomainError);
    expect(alike).toThrow('the same lateral acceleration');
  });

  it('take metres: a mass does not compile', () => {
    const good = drive([[4, 3]], 0.33);
    // @ts-expect-error the wheelbase is a length
    const wrong = () => skidpad({ ...good, wheelbase: si<'kg'>(0.33) });
    expect(wrong).toBeTypeOf('function');
  });
});
