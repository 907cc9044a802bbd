import { standardGravity } from '../constants.ts';
import { DomainError, formula, positive, real, share } from '../formula.ts';

/**
 * Roll angle and load transfer of each axle in a steady turn, and where the truck tips.
 *
 *     c = p + s·(q − p)   d = h − c
 *     φ = m·a·d / (F + R − m·g·d)
 *     f = (F·φ + m·(1 − s)·a·p) / T₁ / g
 *     r = (R·φ + m·s·a·q) / T₂ / g
 *     A = g·((1 − s)·T₁ + s·T₂) / 2h
 *
 *     m   total                  kg       taken as sprung mass
 *     h   cg height              m
 *     T₁  front track            m
 *     T₂  rear track             m
 *     F   front roll stiffness   N·m/rad  springs and bar together
 *     R   rear roll stiffness    N·m/rad
 *     p   front roll centre      m        height over the ground
 *     q   rear roll centre       m
 *     s   rear share             1        of the mass on the rear wheels
 *     a   lateral acceleration   m/s²
 *     g   standard gravity       m/s²
 *     φ   roll angle             rad      outward positive
 *     f   front transfer         kg       from the inner to the outer wheel, as scales would show it
 *     r   rear transfer          kg
 *     x   front transfer share   1        f / (f + r)
 *     A   tip over acceleration  m/s²     of a truck that does not roll; it tips somewhat earlier
 *     t   tips                   yes/no   a reaches A
 *     i   front inner lifts      yes/no   f is more than half the front axle's load: the other answers are then too kind
 *     j   rear inner lifts       yes/no   r is more than half the rear axle's load
 *
 * Shape:      angle and transfers go with a; tracks doubled halve the transfers and double A.
 * Leaves out: mass of axles and wheels apart, roll centres that move, tyres, dampers; large angles.
 * Throws:     DomainError when gravity turns the truck over faster than the springs hold it: F + R − m·g·d not above zero.
 * Source:     Gillespie, Fundamentals of Vehicle Dynamics, ch. 6 and 9; Barton & Fieldhouse, Automotive Chassis Engineering, ch. 3 (with the gravity term).
 *
 * @example roll({ total: si(2.5), cgHeight: si(0.1), frontTrack: si(0.28), rearTrack: si(0.28), frontRollStiffness: si(8), rearRollStiffness: si(12), frontRollCentre: si(0.03), rearRollCentre: si(0.05), rearShare: si(0.6), lateralAcceleration: si(9.80665) }) // rollAngle ≈ 0.07654 rad, frontTransfer ≈ 0.3301 kg, rearTransfer ≈ 0.6024 kg, tipOverAcceleration ≈ 13.73 m/s², tips = false
 */
export const roll = formula(
  {
    total: positive('kg'),
    cgHeight: positive('m'),
    frontTrack: positive('m'),
    rearTrack: positive('m'),
    frontRollStiffness: positive('N·m/rad'),
    rearRollStiffness: positive('N·m/rad'),
    frontRollCentre: real('m'),
    rearRollCentre: real('m'),
    rearShare: share(),
    lateralAcceleration: positive('m/s²'),
  },
  {
    rollAngle: 'rad',
    frontTransfer: 'kg',
    rearTransfer: 'kg',
    frontTransferShare: '1',
    tipOverAcceleration: 'm/s²',
    tips: 'yes/no',
    frontInnerLifts: 'yes/no',
    rearInnerLifts: 'yes/no',
  },
  (given) => {
    const { total, cgHeight, frontTrack, rearTrack, frontRollStiffness, rearRollStiffness, rearShare, lateralAcceleration } = given;
    const front = { mass: total * (1 - rearShare), track: frontTrack, stiffness: frontRollStiffness, centre: given.frontRollCentre };
    const rear = { mass: total * rearShare, track: rearTrack, stiffness: rearRollStiffness, centre: given.rearRollCentre };
    const lever = cgHeight - (front.centre + rearShare * (rear.centre - front.centre));
    const held = front.stiffness + rear.stiffness - total * standardGravity * lever;
    if (!(held > 0)) throw new DomainError(null, 'the truck falls over, gravity turns it further than springs and bars hold it back');

    const rollAngle = (total * lateralAcceleration * lever) / held;
    const transfer = (axle: typeof front): number =>
      (axle.stiffness * rollAngle + axle.mass * lateralAcceleration * axle.centre) / axle.track / standardGravity;
    const frontTransfer = transfer(front);
    const rearTransfer = transfer(rear);
    const tipOverAcceleration = (standardGravity * ((1 - rearShare) * frontTrack + rearShare * rearTrack)) / (2 * cgHeight);
    return {
      rollAngle,
      frontTransfer,
      rearTransfer,
      frontTransferShare: frontTransfer / (frontTransfer + rearTransfer),
      tipOverAcceleration,
      tips: lateralAcceleration >= tipOverAcceleration,
      frontInnerLifts: frontTransfer > front.mass / 2,
      rearInnerLifts: rearTransfer > rear.mass / 2,
    };
  },
);
