import { formula, positive, within } from '../formula.ts';

/** The outer angle at which both front wheels and the rear axle turn about one point: cot outer = cot inner + T/L. */
export const idealOuterAngle = (innerAngle: number, wheelbase: number, kingpinTrack: number): number =>
  Math.atan2(wheelbase * Math.sin(innerAngle), wheelbase * Math.cos(innerAngle) + kingpinTrack * Math.sin(innerAngle));

/** 0 where the wheels steer alike, 1 at the ideal outer angle. inner − ideal is written out, so that small angles keep their digits. */
export const ackermannShareOf = (innerAngle: number, outerAngle: number, wheelbase: number, kingpinTrack: number): number => {
  const sine = Math.sin(innerAngle);
  return (innerAngle - outerAngle) / Math.atan2(kingpinTrack * sine * sine, wheelbase + kingpinTrack * sine * Math.cos(innerAngle));
};

/**
 * How the two front wheels share a turn, against the ideal of one turning point on the rear axle's line.
 *
 *     cot O − cot i = T / L
 *     A = (i − o) / (i − O)
 *     R = L / tan i + T / 2
 *     e = o − O
 *
 *     i  inner angle      rad  of the inner wheel from straight ahead
 *     o  outer angle      rad  of the outer wheel, as measured
 *     L  wheelbase        m
 *     T  kingpin track    m    between the kingpins' axes where they meet the ground, not between the wheels
 *     O  ideal outer      rad
 *     A  ackermann share  1    0 parallel, 1 ideal, negative reverse
 *     R  turn radius      m    of the rear axle's centre, judged by the inner wheel
 *     e  outer error      rad
 *
 * Shape:      wheelbase and kingpin track doubled leave the angles and double the radius; the share falls in a straight line with o.
 * Leaves out: slip angles: at speed the ideal is another; caster, kingpin inclination, toe.
 * Throws:     DomainError unless the inner angle is above 0 and below 90°, the outer from 0, and both lengths are above zero.
 * Source:     Khurmi & Gupta, Theory of Machines, ch. 9 (fundamental equation for correct steering); Jazar, Vehicle Dynamics, ch. 7.
 *
 * @example steering({ innerAngle: si(Math.PI / 6), outerAngle: si(0.45), wheelbase: si(0.33), kingpinTrack: si(0.24) }) // idealOuter ≈ 0.3862 rad, ackermannShare ≈ 0.5356 1, turnRadius ≈ 0.6916 m
 */
export const steering = formula(
  {
    innerAngle: within('rad', { above: 0, below: Math.PI / 2 }),
    outerAngle: within('rad', { min: 0, below: Math.PI / 2 }),
    wheelbase: positive('m'),
    kingpinTrack: positive('m'),
  },
  { idealOuter: 'rad', ackermannShare: '1', turnRadius: 'm', outerError: 'rad' },
  ({ innerAngle, outerAngle, wheelbase, kingpinTrack }) => {
    const idealOuter = idealOuterAngle(innerAngle, wheelbase, kingpinTrack);
    return {
      idealOuter,
      ackermannShare: ackermannShareOf(innerAngle, outerAngle, wheelbase, kingpinTrack),
      turnRadius: wheelbase / Math.tan(innerAngle) + kingpinTrack / 2,
      outerError: outerAngle - idealOuter,
    };
  },
);
