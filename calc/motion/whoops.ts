import { formula, maybe, optional, positive } from '../formula.ts';

/**
 * Speeds at which evenly spaced bumps are in tune with the springs, and from which the body floats over them.
 *
 *     v = f·λ
 *     v₁ = √2·f·λ
 *     n = V / λ
 *     B = |cos(π·L/λ)|
 *     P = |sin(π·L/λ)|
 *
 *     λ   spacing               m    crest to crest
 *     L   wheelbase             m
 *     f₂  rear ride frequency   Hz
 *     f₁  front ride frequency  Hz
 *     f₃  rear hop frequency    Hz
 *     V   speed                 m/s
 *     v₂  in tune rear          m/s
 *     v₄  in tune front         m/s  left out without the front's frequency
 *     v₅  float rear            m/s  above it the body moves less than the bumps, whatever the damping
 *     v₆  float front           m/s
 *     v₃  hop speed             m/s  left out without the hop frequency
 *     n   passing frequency     Hz   left out without a speed
 *     B   bounce part           1    of the bump's height: both axles up and down together
 *     P   pitch part            1    of the bump's height: the axles in opposite ways
 *
 * Shape:      speeds go with the frequency and the spacing; twice spacing and wheelbase leave the parts; B² + P² = 1.
 * Leaves out: bumps that are no sine, wheels that leave the ground, dampers that get slower from one bump to the next, the other end's motion.
 * Throws:     DomainError unless the inputs given are finite and above zero.
 * Source:     Rao, Mechanical Vibrations, 3.6 (base excitation: transmissibility is 1 at √2, for every damping ratio); Gillespie, Fundamentals of
 *             Vehicle Dynamics, ch. 5 (wheelbase filtering).
 *
 * @example whoops({ spacing: si(1.2), wheelbase: si(0.33), rearRideFrequency: si(2.5), rearHopFrequency: si(12), speed: si(8) }) // inTuneRear ≈ 3 m/s, floatRear ≈ 4.243 m/s, hopSpeed ≈ 14.4 m/s, passingFrequency ≈ 6.667 Hz, bouncePart ≈ 0.6494 1, pitchPart ≈ 0.7604 1, inTuneFront = left out
 */
export const whoops = formula(
  {
    spacing: positive('m'),
    wheelbase: positive('m'),
    rearRideFrequency: positive('Hz'),
    frontRideFrequency: optional(positive('Hz')),
    rearHopFrequency: optional(positive('Hz')),
    speed: optional(positive('m/s')),
  },
  {
    inTuneRear: 'm/s',
    inTuneFront: maybe('m/s'),
    floatRear: 'm/s',
    floatFront: maybe('m/s'),
    hopSpeed: maybe('m/s'),
    passingFrequency: maybe('Hz'),
    bouncePart: '1',
    pitchPart: '1',
  },
  ({ spacing, wheelbase, rearRideFrequency, frontRideFrequency, rearHopFrequency, speed }) => {
    const inTuneRear = rearRideFrequency * spacing;
    const inTuneFront = frontRideFrequency === undefined ? undefined : frontRideFrequency * spacing;
    const halfPhase = (Math.PI * wheelbase) / spacing;
    return {
      inTuneRear,
      inTuneFront,
      floatRear: Math.SQRT2 * inTuneRear,
      floatFront: inTuneFront === undefined ? undefined : Math.SQRT2 * inTuneFront,
      hopSpeed: rearHopFrequency === undefined ? undefined : rearHopFrequency * spacing,
      passingFrequency: speed === undefined ? undefined : speed / spacing,
      bouncePart: Math.abs(Math.cos(halfPhase)),
      pitchPart: Math.abs(Math.sin(halfPhase)),
    };
  },
);
