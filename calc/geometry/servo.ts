import { standardGravity } from '../constants.ts';
import { formula, positive, real, within } from '../formula.ts';

/**
 * Torque to turn the front wheels while the truck stands, at the kingpins and at the servo.
 *
 *     M = μ·m·g·√(b²/8 + e²)
 *     S = M·(h / a) / η
 *
 *     m  front load          kg   both front wheels together, as weighed
 *     μ  standing grip       1
 *     b  contact width       m    of one tyre's contact patch
 *     e  kingpin offset      m    on the ground, kingpin axis to the middle of the contact patch
 *     h  horn length         m
 *     a  steering arm        m
 *     η  linkage efficiency  1
 *     g  standard gravity    m/s²
 *     M  kingpin torque      N·m  both wheels together
 *     S  servo torque        N·m  horn and arms square to their links
 *
 * Shape:      both torques go with the load and the grip; the servo's with the horn and 1/arm; the sign of the offset does not count.
 * Leaves out: how the load is spread: evenly over a round patch the wheels turn up to 10 % easier. Rolling while turning (it eases), lifting of the front by caster and kingpin inclination, impacts, links at other angles.
 * Throws:     DomainError unless load, grip, width and lengths are above zero and the efficiency is above 0 and 1 at most.
 * Source:     b/√8 is the radius of gyration of a round patch about its middle (any handbook's section table); the rule with it is printed widely, its first source was not seen.
 *
 * @example servo({ frontLoad: si(1), standingGrip: si(0.8), contactWidth: si(0.04), kingpinOffset: si(0.015), hornLength: si(0.02), steeringArm: si(0.025), linkageEfficiency: si(0.8) }) // kingpinTorque ≈ 0.1617 N·m, servoTorque ≈ 0.1617 N·m
 */
export const servo = formula(
  {
    frontLoad: positive('kg'),
    standingGrip: positive('1'),
    contactWidth: positive('m'),
    kingpinOffset: real('m'),
    hornLength: positive('m'),
    steeringArm: positive('m'),
    linkageEfficiency: within('1', { above: 0, max: 1 }),
  },
  { kingpinTorque: 'N·m', servoTorque: 'N·m' },
  ({ frontLoad, standingGrip, contactWidth, kingpinOffset, hornLength, steeringArm, linkageEfficiency }) => {
    const kingpinTorque = standingGrip * frontLoad * standardGravity * Math.hypot(contactWidth / Math.sqrt(8), kingpinOffset);
    return { kingpinTorque, servoTorque: (kingpinTorque * hornLength) / steeringArm / linkageEfficiency };
  },
);
