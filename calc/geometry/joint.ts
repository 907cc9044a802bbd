import { DomainError, formula, maybe, optional, positive, table, within } from '../formula.ts';

const RIGHT_ANGLE = Math.PI / 2;
/** Half a turn in steps of one degree; the other half is the same again. */
const STEPS = 180;

/**
 * Unevenness of a Hooke joint (cross joint) at an angle, of two in one shaft, and the plunge of the shaft between them.
 *
 *     q(τ) = cos α / (1 − sin² α·cos² τ)
 *     M = 1 / cos α   m = cos α   F = M − m
 *     r = cos(the smaller of |α| and |β|) / cos(the larger)
 *     p = the longest of the shaft lengths − the shortest
 *
 *     α   joint angle          rad  between the two shafts
 *     β   second joint angle   rad  of a second joint, its forks in line with the first one's
 *     s₁  shaft droop          m    joint to joint
 *     s₀  shaft ride           m
 *     s₂  shaft bump           m
 *     l   slider min           m    shortest the shaft can be, joint to joint
 *     L   slider max           m    longest
 *     M   ratio max            1    driven speed/driving speed
 *     m   ratio min            1
 *     F   fluctuation          1
 *     r   remaining ratio max  1    of both joints together; its least is 1/r; left out without a second angle
 *     p   plunge               m    left out unless two or more shaft lengths are known
 *     x   slider fits          yes/no  the known lengths lie within l to L; left out without l, L and two or more lengths
 *     τ   drive angle          rad  column of the half turn; 0 where the driving fork lies in the plane of the shafts
 *     q   ratio                1    column of the half turn
 *
 * Shape:      M·m = 1; two equal angles leave no unevenness; the sign of an angle does not count.
 * Leaves out: joints phased wrong (they multiply), shafts out of one plane, play, joints that run evenly by design.
 * Throws:     DomainError unless angles are below 90°, lengths above zero, and the slider's longest above its shortest.
 * Source:     Khurmi & Gupta, Theory of Machines, ch. 9; Machinery's Handbook, universal joints.
 *
 * @example joint({ jointAngle: si(Math.PI / 9), secondJointAngle: si(Math.PI / 18), shaftDroop: si(0.082), shaftRide: si(0.079), shaftBump: si(0.08), sliderMin: si(0.075), sliderMax: si(0.085) }) // ratioMax ≈ 1.0642 1, ratioMin ≈ 0.9397 1, fluctuation ≈ 0.1245 1, remainingRatioMax ≈ 1.0480 1, plunge ≈ 0.003 m, sliderFits = true
 */
export const joint = formula(
  {
    jointAngle: within('rad', { above: -RIGHT_ANGLE, below: RIGHT_ANGLE }),
    secondJointAngle: optional(within('rad', { above: -RIGHT_ANGLE, below: RIGHT_ANGLE })),
    shaftDroop: optional(positive('m')),
    shaftRide: optional(positive('m')),
    shaftBump: optional(positive('m')),
    sliderMin: optional(positive('m')),
    sliderMax: optional(positive('m')),
  },
  {
    ratioMax: '1',
    ratioMin: '1',
    fluctuation: '1',
    remainingRatioMax: maybe('1'),
    plunge: maybe('m'),
    sliderFits: maybe('yes/no'),
    halfTurn: table({ driveAngle: 'rad', ratio: '1' }),
  },
  ({ jointAngle, secondJointAngle, shaftDroop, shaftRide, shaftBump, sliderMin, sliderMax }) => {
    if (sliderMin !== undefined && sliderMax !== undefined && !(sliderMax > sliderMin))
      throw new DomainError('sliderMax', "the slider's longest is not above its shortest");
    const cosine = Math.cos(jointAngle);
    const second = secondJointAngle === undefined ? undefined : Math.cos(secondJointAngle);
    const lengths = [shaftDroop, shaftRide, shaftBump].filter((length) => length !== undefined);
    const longest = Math.max(...lengths);
    const shortest = Math.min(...lengths);
    // One length says nothing of the travel: a plunge of 0 and a "fits" from it would be false comfort.
    const moves = lengths.length >= 2;
    const driveAngle = Array.from({ length: STEPS + 1 }, (_, i) => (Math.PI * i) / STEPS);
    return {
      ratioMax: 1 / cosine,
      ratioMin: cosine,
      fluctuation: Math.sin(jointAngle) * Math.tan(jointAngle),
      remainingRatioMax: second === undefined ? undefined : Math.max(cosine, second) / Math.min(cosine, second),
      plunge: moves ? longest - shortest : undefined,
      sliderFits: moves && sliderMin !== undefined && sliderMax !== undefined ? shortest >= sliderMin && longest <= sliderMax : undefined,
      halfTurn: { driveAngle, ratio: driveAngle.map((angle) => cosine / (1 - (Math.sin(jointAngle) * Math.cos(angle)) ** 2)) },
    };
  },
);
