import { type Inputs, notNegative, positive, within } from '../formula.ts';
import { geared } from './gearing.ts';
import { overallRatio } from './overall-ratio.ts';

/** A truck with motor, pack and gears in the air of a place: what top speed and launch both ask for. */
export const driven = {
  ...geared,
  total: positive('kg'),
  motorResistance: notNegative('Ω'),
  noLoadCurrent: notNegative('A'),
  packResistance: notNegative('Ω'),
  dragArea: notNegative('m²'),
  rollingCoefficient: notNegative('1'),
  drivelineEfficiency: within('1', { above: 0, max: 1 }),
  airTemperature: positive('K'),
  altitude: within('m', { min: -2000, max: 11_000 }),
} as const;

/** Motor, pack and gears seen from the road, in SI. */
export interface Drive {
  /** Open-circuit voltage of the pack, V. */
  readonly voltage: number;
  /** Of motor and pack in series, Ω. */
  readonly resistance: number;
  /** Radius of the grown tyre, m. */
  readonly radius: number;
  /** Turning of the motor for a way of the truck, rad/m. */
  readonly turning: number;
  /** Volts that the motor makes per road speed, V·s/m; in SI also the newtons at the tread per ampere, before losses. */
  readonly pull: number;
  /** Road speed at which the motor carries its no-load current only, m/s; zero or below when the pack cannot even do that. */
  readonly noLoadSpeed: number;
}

/** The first-order motor behind its gears: V = I·R + pull × speed, force = efficiency × pull × (I − I₀). Source: M. Drela, MIT, 2007. */
export function drive(truck: Inputs<typeof driven>): Drive {
  const voltage = truck.cells * truck.cellVoltage;
  const resistance = truck.motorResistance + truck.packResistance;
  const radius = (truck.tyreDiameter * (1 + truck.tyreGrowth)) / 2;
  const turning = overallRatio(truck) / radius;
  const pull = turning / truck.motorKv;
  return { voltage, resistance, radius, turning, pull, noLoadSpeed: (voltage - truck.noLoadCurrent * resistance) / pull };
}
