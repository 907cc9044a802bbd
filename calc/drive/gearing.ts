import { counted, formula, positive, within } from '../formula.ts';
import { gears, overallRatio } from './overall-ratio.ts';

/** Motor, pack, gears and tyre, as every drive formula asks for them. */
export const geared = {
  motorKv: positive('rad/(s·V)'),
  cells: counted('1'),
  ...gears,
  tyreDiameter: positive('m'),
  cellVoltage: positive('V'),
  tyreGrowth: within('1', { above: -1 }),
} as const;

/**
 * What the gears make of the motor's unloaded speed: rollout, wheel speed and the speed at most.
 *
 *     D = d·(1 + x)
 *     u = π·D / i
 *     Ω = K·n·U
 *     ω = Ω / i
 *     v = ω·D/2
 *
 *     K   motor kv       rad/(s·V)
 *     n   cells          1   in series
 *     z₁  pinion         1
 *     z₂  spur           1
 *     G   gearbox ratio  1   all that lies after the spur and before the axle
 *     A   axle ratio     1
 *     T   spur turns     1   counted by hand, in the place of gearbox and axle ratio
 *     d   tyre diameter  m
 *     U   cell voltage   V   of one cell
 *     x   tyre growth    1   part by which the tyre's diameter grows at speed
 *     i   overall ratio  1   turns of the motor for one turn of the wheels
 *     u   rollout        m   travel for one turn of the motor
 *     Ω   motor speed    rad/s
 *     ω   wheel speed    rad/s
 *     v   ideal speed    m/s   at most
 *
 * Shape:      all speeds go with kv, cells and cell voltage; rollout and ideal speed with the grown diameter; all but Ω with 1/i.
 * Leaves out: load, slip, voltage sag: the truck stays below this speed.
 * Throws:     DomainError unless teeth and cells are whole from 1, all else above zero, the growth above −1.
 * Source:     kinematics of a rolling wheel (common practice, no source, for the word rollout).
 *
 * @example gearing({ motorKv: si(3000 * Math.PI / 30), cells: si(2), pinion: si(13), spur: si(54), gearboxRatio: si(1), axleRatio: si(3.25), tyreDiameter: si(0.1), cellVoltage: si(3.7), tyreGrowth: si(0) }) // overallRatio ≈ 13.50 1, rollout ≈ 0.02327 m, motorSpeed ≈ 2325 rad/s, wheelSpeed ≈ 172.2 rad/s, idealSpeed ≈ 8.610 m/s
 */
export const gearing = formula(
  geared,
  { overallRatio: '1', rollout: 'm', motorSpeed: 'rad/s', wheelSpeed: 'rad/s', idealSpeed: 'm/s' },
  (truck) => {
    const ratio = overallRatio(truck);
    const diameter = truck.tyreDiameter * (1 + truck.tyreGrowth);
    const motorSpeed = truck.motorKv * truck.cells * truck.cellVoltage;
    const wheelSpeed = motorSpeed / ratio;
    return { overallRatio: ratio, rollout: (Math.PI * diameter) / ratio, motorSpeed, wheelSpeed, idealSpeed: (wheelSpeed * diameter) / 2 };
  },
);
