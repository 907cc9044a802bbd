import { absent, counted, DomainError, formula, maybe, optional, positive } from '../formula.ts';
import { FEWEST_TEETH, MOST_TEETH } from './teeth.ts';

/** A slot typed as the very distance of a pinion holds that pinion: what rounding alone leaves over is no gap. */
const ROUNDING = 1e-9;

/**
 * Whether pinion and spur mesh in the slot of the motor mount, and which pinions would.
 *
 *     m = M, or 1/P
 *     a = m·(z₁ + z₂)/2
 *     d₁ = m·z₁,  d₂ = m·z₂
 *     hunting: no whole number above 1 divides both z₁ and z₂
 *     l = least, g = greatest z with  A ≤ m·(z + z₂)/2 ≤ B
 *
 *     z₁  pinion                 1    teeth
 *     z₂  spur                   1    teeth
 *     M   module                 m
 *     P   diametral pitch        1/m  teeth per length of pitch diameter; exactly one of module and diametral pitch
 *     A   slot min               m    nearest that motor and spur axes come
 *     B   slot max               m    farthest
 *     m   tooth module           m
 *     a   centre distance        m
 *     d₁  pinion pitch diameter  m
 *     d₂  spur pitch diameter    m
 *     Z   hunting                yes/no  every tooth of one meets every tooth of the other: even wear
 *     F   fits                   yes/no  left out unless both ends of the slot are known
 *     l   smallest pinion        1    with this spur, from 5 teeth; left out without slot min; absent when none fits
 *     g   largest pinion         1    with this spur, to 150 teeth; left out without slot max; absent when none fits
 *
 * Shape:      all lengths go with the module; two teeth more on either gear move the centre by one module.
 * Leaves out: backlash (set it by a strip of paper in the mesh), profile shift, the outside diameter's own room.
 * Throws:     DomainError unless exactly one of module and diametral pitch is given and the slot does not end before it begins.
 * Source:     ISO 54:1996 (module, diametral pitch); ISO 21771:2007 (reference centre distance); Shigley, Mechanical Engineering Design, 13-3.
 *
 * @example mesh({ pinion: si(13), spur: si(54), module: si(0.0008), slotMin: si(0.024), slotMax: si(0.028) }) // centreDistance ≈ 0.0268 m, hunting = true, fits = true, smallestPinion = 6 1, largestPinion = 16 1
 */
export const mesh = formula(
  {
    pinion: counted('1'),
    spur: counted('1'),
    module: optional(positive('m')),
    diametralPitch: optional(positive('1/m')),
    slotMin: optional(positive('m')),
    slotMax: optional(positive('m')),
  },
  {
    toothModule: 'm',
    centreDistance: 'm',
    pinionPitchDiameter: 'm',
    spurPitchDiameter: 'm',
    hunting: 'yes/no',
    fits: maybe('yes/no'),
    smallestPinion: maybe('1'),
    largestPinion: maybe('1'),
  },
  ({ pinion, spur, module, diametralPitch, slotMin, slotMax }) => {
    if ((module === undefined) === (diametralPitch === undefined))
      throw new DomainError(null, 'the size of the teeth is wanted once: the module or the diametral pitch');
    if (slotMin !== undefined && slotMax !== undefined && slotMin > slotMax)
      throw new DomainError('slotMax', 'the slot ends before it begins');
    const toothModule = module ?? 1 / diametralPitch!;
    const teethAt = (distance: number): number => (2 * distance) / toothModule - spur;
    const slack = (distance: number): number => (ROUNDING * 2 * distance) / toothModule;
    const least = slotMin === undefined ? undefined : Math.ceil(teethAt(slotMin) - slack(slotMin));
    const most = slotMax === undefined ? undefined : Math.floor(teethAt(slotMax) + slack(slotMax));
    const none = Math.max(least ?? FEWEST_TEETH, FEWEST_TEETH) > Math.min(most ?? MOST_TEETH, MOST_TEETH);
    return {
      toothModule,
      centreDistance: (toothModule * (pinion + spur)) / 2,
      pinionPitchDiameter: toothModule * pinion,
      spurPitchDiameter: toothModule * spur,
      hunting: commonFactor(pinion, spur) === 1,
      fits: least === undefined || most === undefined ? undefined : least <= pinion && pinion <= most,
      smallestPinion: least === undefined ? undefined : none ? absent('none') : Math.max(least, FEWEST_TEETH),
      largestPinion: most === undefined ? undefined : none ? absent('none') : Math.min(most, MOST_TEETH),
    };
  },
);

/** Greatest common divisor, by Euclid. */
const commonFactor = (a: number, b: number): number => (b === 0 ? a : commonFactor(b, a % b));
