import { counted, formula, optional, positive } from '../formula.ts';

/** The gears from motor to wheels, as every drive formula asks for them. */
export const gears = {
  pinion: counted('1'),
  spur: counted('1'),
  gearboxRatio: positive('1'),
  axleRatio: positive('1'),
  spurTurns: optional(positive('1')),
} as const;

/**
 * Turns of the motor for one turn of the wheels.
 *
 *     i = (z₂ / z₁)·G·A, with T in the place of G·A where it was counted
 *
 *     z₁  pinion         1   teeth, on the motor
 *     z₂  spur           1   teeth
 *     G   gearbox ratio  1   all that lies after the spur and before the axle
 *     A   axle ratio     1
 *     T   spur turns     1   turns of the spur for one turn of the wheels, counted by hand
 *     i   overall ratio  1
 *
 * Shape:      goes with the spur, both ratios and 1/pinion; a counted `spur turns` makes it blind to the two ratios.
 * Leaves out: nothing: teeth do not slip. A slipper clutch does, and a differential lets the two wheels differ about this mean.
 * Throws:     DomainError unless teeth are whole from 1 and the ratios above zero.
 * Source:     ISO 1122-1:1998 (transmission ratio of a gear train).
 *
 * @example overallRatio({ pinion: si(13), spur: si(54), gearboxRatio: si(1), axleRatio: si(3.25) }) // ≈ 13.5 1
 */
export const overallRatio = formula(
  gears,
  '1',
  ({ pinion, spur, gearboxRatio, axleRatio, spurTurns }) => (spur / pinion) * (spurTurns ?? gearboxRatio * axleRatio),
);
