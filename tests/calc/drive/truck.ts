/** A truck of the club for the drive tests, and seeded draws around it. */

import type { launch } from '../../../calc/drive/launch.ts';
import type { topSpeed } from '../../../calc/drive/top-speed.ts';
import type { Inputs } from '../../../calc/formula.ts';
import { type SI, si } from '../../../calc/formula.ts';

export type Driven = Inputs<(typeof topSpeed)['inputs']>;
export type Starting = Inputs<(typeof launch)['inputs']>;

export const rpm = (value: number): SI<'rad/(s·V)'> => si((value * Math.PI) / 30);
export const kmh = (value: number): SI<'m/s'> => si(value / 3.6);

export const sandhopper: Driven = {
  motorKv: rpm(3000),
  cells: si(2),
  pinion: si(13),
  spur: si(54),
  gearboxRatio: si(1),
  axleRatio: si(3.25),
  tyreDiameter: si(0.1),
  cellVoltage: si(3.7),
  tyreGrowth: si(0),
  total: si(3),
  motorResistance: si(0.016),
  noLoadCurrent: si(4),
  packResistance: si(0.01),
  dragArea: si(0.03),
  rollingCoefficient: si(0.06),
  drivelineEfficiency: si(0.7),
  airTemperature: si(293.15),
  altitude: si(0),
  headwind: si(0),
};

const { headwind: _, ...windless } = sandhopper;
export const sandhopperAtTheLine: Starting = {
  ...windless,
  cgHeight: si(0.08),
  wheelbase: si(0.33),
  rearShare: si(0.6),
  grip: si(0.5),
  grade: si(0),
  currentLimit: si(100),
  toSpeed: kmh(30),
  drivenInertia: si(0),
};

type Between = (low: number, high: number) => number;

/** Trucks that move off in any wind drawn here: at least 6 V, light rolling, some wind either way. */
export const drawTruck = (between: Between): Driven => ({
  motorKv: rpm(between(1500, 6000)),
  cells: si(Math.round(between(2, 6))),
  pinion: si(Math.round(between(10, 24))),
  spur: si(Math.round(between(45, 70))),
  gearboxRatio: si(between(0.9, 1.5)),
  axleRatio: si(between(2, 4)),
  tyreDiameter: si(between(0.08, 0.13)),
  cellVoltage: si(between(3.2, 4.2)),
  tyreGrowth: si(between(0.01, 0.15)),
  total: si(between(2, 5)),
  motorResistance: si(between(0.004, 0.06)),
  noLoadCurrent: si(between(0.5, 8)),
  packResistance: si(between(0.003, 0.03)),
  dragArea: si(between(0.005, 0.06)),
  rollingCoefficient: si(between(0.02, 0.1)),
  drivelineEfficiency: si(between(0.5, 0.95)),
  airTemperature: si(between(270, 315)),
  altitude: si(between(1, 3000)),
  headwind: si(between(1, 12) - 6),
});

export const drawStart = (between: Between): Starting => {
  const { headwind: _unused, ...truck } = drawTruck(between);
  return {
    ...truck,
    cgHeight: si(between(0.05, 0.2)),
    wheelbase: si(between(0.25, 0.5)),
    rearShare: si(between(0.3, 0.8)),
    grip: si(between(0.15, 2)),
    grade: si(between(1, 1.6) - 1.3),
    currentLimit: si(between(30, 300)),
    toSpeed: si(between(3, 20)),
    drivenInertia: si(between(1e-5, 2e-3)),
  };
};
