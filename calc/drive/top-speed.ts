import { absent, DomainError, formula, maybe, real, si } from '../formula.ts';
import { root } from '../numeric/root.ts';
import { airDensity } from './air-density.ts';
import { drive, driven } from './driven.ts';
import { roadLoad } from './road-load.ts';

/** The speed is found to this, in m/s: far finer than a member reads, and smooth enough for differences. */
const TOLERANCE = 1e-13;

/**
 * Speed at which the motor's push at the wheels is used up by rolling and air.
 *
 *     e = i / (K·r),  r = d·(1 + x)/2
 *     I = (V − e·v) / (R + Q),  V = n·U
 *     F = η·e·(I − J)
 *     F = ½·ρ·S·(v + w)·|v + w| + C·m·g        solved for v
 *     v₀ = (V − J·(R + Q)) / e
 *
 *     K   motor kv              rad/(s·V)  1/K is volts per speed and, the same number, torque per ampere
 *     n   cells                 1
 *     z₁  pinion                1
 *     z₂  spur                  1
 *     G   gearbox ratio         1
 *     A   axle ratio            1
 *     T   spur turns            1     counted by hand, in the place of gearbox and axle ratio
 *     d   tyre diameter         m
 *     U   cell voltage          V     of one cell, at rest
 *     x   tyre growth           1     speeds and forces are those of the grown tyre
 *     m   total                 kg
 *     R   motor resistance      Ω
 *     J   no load current       A     what turning the motor alone takes
 *     Q   pack resistance       Ω
 *     S   drag area             m²
 *     C   rolling coefficient   1
 *     η   driveline efficiency  1
 *     H   air temperature       K
 *     Z   altitude              m
 *     w   headwind              m/s   a tailwind is negative
 *     i   overall ratio         1
 *     e   pull of the drive     N/A   before losses; also volts per road speed, V·s/m
 *     v   top speed             m/s
 *     ω   motor speed at top    rad/s   v·i/r
 *     I   current at top        A
 *     P   electrical power      W     V·I, with the pack's own loss
 *     M   shaft power           W     (I − J)/K·ω
 *     N   efficiency at top     1     M/P; absent when the motor has nothing to push
 *     v₀  no load speed         m/s   the motor carrying its no-load current only
 *     ρ   air density           kg/m³
 *
 * Shape:      one speed answers, since push falls and resistance grows with it; kv, cells and 1/pinion do not just scale it.
 * Leaves out: slip, heat that raises the resistance, iron losses that grow with speed, the speed controller's limits. Blown along faster
 *             than the motor turns freely, the truck is braked through the same efficiency.
 * Throws:     DomainError when the motor cannot turn itself, or its push at a standstill does not overcome rolling and wind.
 * Source:     M. Drela, First-Order DC Electric Motor Model, MIT, 2007; Gillespie, Fundamentals of Vehicle Dynamics, ch. 4.
 *
 * @example topSpeed({ motorKv: si(3000 * Math.PI / 30), cells: si(2), pinion: si(13), spur: si(54), gearboxRatio: si(1), axleRatio: si(3.25), tyreDiameter: si(0.1), cellVoltage: si(3.7), tyreGrowth: si(0), total: si(3), motorResistance: si(0.016), noLoadCurrent: si(4), packResistance: si(0.01), dragArea: si(0.03), rollingCoefficient: si(0.06), drivelineEfficiency: si(0.7), airTemperature: si(293.15), altitude: si(0), headwind: si(0) }) // topSpeed ≈ 8.337 m/s, currentAtTop ≈ 9.021 A, electricalPower ≈ 66.76 W, shaftPower ≈ 35.98 W, efficiencyAtTop ≈ 0.5390 1, noLoadSpeed ≈ 8.489 m/s
 */
export const topSpeed = formula(
  { ...driven, headwind: real('m/s') },
  {
    topSpeed: 'm/s',
    motorSpeedAtTop: 'rad/s',
    currentAtTop: 'A',
    electricalPower: 'W',
    shaftPower: 'W',
    efficiencyAtTop: maybe('1'),
    noLoadSpeed: 'm/s',
    airDensity: 'kg/m³',
  },
  (truck) => {
    const { voltage, resistance, pull, turning, noLoadSpeed } = drive(truck);
    if (!(noLoadSpeed > 0))
      throw new DomainError(null, 'the pack cannot push the no-load current through this resistance, so the motor does not turn');
    const density = airDensity(truck);
    // Drag goes with the square of the wind felt: that at 1 m/s says it all, and the search below stays quick.
    const road = { ...truck, airDensity: density, headwind: si<'m/s'>(0), grade: si<'1'>(0) };
    const { drag, rolling } = roadLoad({ ...road, speed: si(1) });
    const holding = (speed: number): number => drag * (speed + truck.headwind) * Math.abs(speed + truck.headwind) + rolling;
    // Push less resistance, times R + Q: a motor and pack without resistance are then no special case.
    const spare = (speed: number): number => truck.drivelineEfficiency * pull ** 2 * (noLoadSpeed - speed) - resistance * holding(speed);
    if (!(spare(0) > 0))
      throw new DomainError(null, 'the push at a standstill does not overcome rolling and wind, so the truck does not move off');
    const top = root(spare, 0, Math.max(noLoadSpeed, -truck.headwind), TOLERANCE);
    // From the load, not from V − e·v: that difference loses its digits when the resistance is small.
    const pushing = holding(top) / (truck.drivelineEfficiency * pull);
    const currentAtTop = truck.noLoadCurrent + pushing;
    const electricalPower = voltage * currentAtTop;
    const shaftPower = pushing * pull * top;
    return {
      topSpeed: top,
      motorSpeedAtTop: top * turning,
      currentAtTop,
      electricalPower,
      shaftPower,
      efficiencyAtTop: shaftPower > 0 ? shaftPower / electricalPower : absent('nothing to push'),
      noLoadSpeed,
      airDensity: density,
    };
  },
);
