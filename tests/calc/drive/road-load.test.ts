import { describe, expect, it } from 'vitest';
import { roadLoad } from '../../../calc/drive/road-load.ts';
import { type Inputs, si } from '../../../calc/formula.ts';
import { root } from '../../../calc/numeric/root.ts';
import { expectNear, expectPower, expectPrinted } from '../../support/book.ts';
import { kmh } from './truck.ts';

type Road = Inputs<(typeof roadLoad)['inputs']>;
const still: Road = {
  total: si(3),
  speed: si(0),
  headwind: si(0),
  airDensity: si(1.2),
  dragArea: si(0.03),
  rollingCoefficient: si(0.06),
  grade: si(0),
};
/** The books take other values of g than the constant: their forces are scaled by the ratio. */
const withGravity = (g: number, force: number): number => (force * g) / 9.80665;
const draw = (between: (low: number, high: number) => number): Road => ({
  total: si(between(1, 6)),
  speed: si(between(2, 20)),
  headwind: si(between(0.1, 4)),
  airDensity: si(between(0.8, 1.4)),
  dragArea: si(between(0.01, 0.1)),
  rollingCoefficient: si(between(0.01, 0.1)),
  grade: si(between(0.01, 0.5)),
});

describe('what holds a truck back', () => {
  it('is, of the air, what a course on electric vehicles works out for a two- and a three-wheeler', () => {
    // NPTEL, Electric Vehicles, week 2, assignment 2.1: ρ 1.2; Cd 0.9 and A 0.6 m²: 22.5 and 160 N at 30 and 80 km/h; 0.45 and 1.6 m²: 30 and
    // 213.33 N (printed values seen).
    const drag = (area: number, speed: number): number => roadLoad({ ...still, dragArea: si(area), speed: kmh(speed) }).drag;
    expectPrinted(drag(0.9 * 0.6, 30), '22.5');
    expectPrinted(drag(0.9 * 0.6, 80), '160');
    expectPrinted(drag(0.45 * 1.6, 30), '30');
    expectPrinted(drag(0.45 * 1.6, 80), '213.33');
  });

  it('is, of rolling and slope, what the same course works out on 8°', () => {
    // The same: μ 0.015, g 9.81; 600 kg: 87.43 and 819.17 N; 1500 kg: 218.57 and 2047.93 N (printed values seen). Rolling carries cos θ there, as
    // it does here; the same page leaves it out for its two-wheeler.
    const on8 = (total: number) =>
      roadLoad({ ...still, total: si(total), rollingCoefficient: si(0.015), grade: si(Math.tan((8 * Math.PI) / 180)) });
    expectPrinted(withGravity(9.81, on8(600).rolling), '87.43');
    expectPrinted(withGravity(9.81, on8(600).climbing), '819.17');
    expect(Math.abs(withGravity(9.81, on8(1500).rolling) - 218.57)).toBeLessThan(0.02); // printed cut, not rounded
    expectPrinted(withGravity(9.81, on8(1500).climbing), '2047.93');
  });

  it('makes a falling body fall no faster than where drag equals its weight', () => {
    // OpenStax, College Physics, example 5.2 and a problem of ch. 5: 85 kg, 0.70 m², C 1.0: 44 m/s; 80 kg, 0.140 m², C 0.70: 115 m/s; ρ 1.21,
    // g 9.80 (printed values seen).
    const terminal = (total: number, area: number): number =>
      root((speed) => roadLoad({ ...still, airDensity: si(1.21), dragArea: si(area), speed: si(speed) }).drag - total * 9.8, 0, 500, 1e-9);
    expectPrinted(terminal(85, 0.7), '44');
    expectPrinted(terminal(80, 0.7 * 0.14), '115');
  });

  it('counts the wind that the truck feels, and lets a tailwind push', () => {
    const drag = (speed: number, headwind: number): number => roadLoad({ ...still, speed: si(speed), headwind: si(headwind) }).drag;
    expectNear(drag(8, 3), drag(11, 0));
    expect(drag(5, -5)).toBe(0);
    expectNear(drag(5, -12), -drag(7, 0));
  });

  it('scales with each thing as it should', () => {
    expectPower((road) => roadLoad(road).drag, draw, 'dragArea', 1);
    expectPower((road) => roadLoad(road).drag, draw, 'airDensity', 1);
    expectPower((road: Road) => roadLoad({ ...road, headwind: si(0) }).drag, draw, 'speed', 2);
    expectPower((road) => roadLoad(road).rolling, draw, 'rollingCoefficient', 1);
    expectPower((road) => roadLoad(road).rolling, draw, 'total', 1);
    expectPower((road) => roadLoad(road).climbing, draw, 'total', 1);
  });

  it('shares the weight between slope and road: climbing² + (rolling/coefficient)² is the weight squared', () => {
    for (const grade of [-0.4, 0, 0.1, 1, 3]) {
      const { rolling, climbing } = roadLoad({ ...still, grade: si(grade) });
      expectNear(Math.hypot(climbing, rolling / 0.06), 3 * 9.80665);
      expectNear(climbing, grade * (rolling / 0.06), 1e-12);
    }
  });

  it('does not compile with a force for a wind', () => {
    // @ts-expect-error a wind is in m/s
    roadLoad({ ...still, headwind: si<'N'>(3) });
  });
});
