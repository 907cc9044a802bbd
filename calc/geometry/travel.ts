import { DomainError, formula, maybe, optional, positive, real, table } from '../formula.ts';

/** Points of the motion-ratio plot, evenly spaced in wheel travel. */
const POINTS = 41;
const UPRIGHT = Math.PI / 2;
/** A length that misses a limit by this share of it, in the last bits of a unit, has not missed it. */
const SLACK = 1e-9;

/** Where the arm stands, the angle at the pivot between the shock's two eyes, and the shock's length eye to eye. */
interface Stand {
  readonly arm: number;
  readonly fold: number;
  readonly shock: number;
}

/**
 * Wheel travel, motion ratio and arm angles of a trailing arm and its shock, in side view.
 *
 *     P = √(a² + o²)   R = √(b² + u²)   β = atan2(o, a)   α = atan2(u, b)
 *     cos γ = (P² + R² − s²) / 2PR
 *     θ = α − β − γ
 *     q = −ds/dz = P·R·sin γ / (s·A·cos θ)
 *     w = A·(sin θ at bump − sin θ at droop)
 *     c = A·(cos θ at bump − cos θ at droop)
 *
 *     A   swing arm             m    pivot to axle
 *     a   shock lower along     m    lower eye from the pivot along the arm line
 *     o   shock lower off       m    lower eye above that line
 *     b   shock upper back      m    upper eye behind the pivot
 *     u   shock upper up        m    upper eye above the pivot
 *     s₁  shock extended        m    s at full droop, eye to eye
 *     s₂  shock compressed      m    s at full bump
 *     s₀  shock ride            m    s at ride height; without it what belongs to ride is left out
 *     w   wheel travel          m    vertical, of the axle
 *     q₁  motion ratio droop    1    shock travel/wheel travel, here and now
 *     q₀  motion ratio ride     1
 *     q₂  motion ratio bump     1
 *     w₂  up travel             m    ride to bump
 *     w₁  down travel           m    ride to droop
 *     θ₁  arm angle droop       rad  axle above the pivot positive
 *     θ₀  arm angle ride        rad
 *     θ₂  arm angle bump        rad
 *     c   wheelbase change      m    droop to bump, rearward positive
 *     z   travel from droop     m    column of the motion-ratio plot
 *     q   motion ratio          1    column of the motion-ratio plot
 *
 * Shape:      all lengths doubled doubles the travel and leaves ratios and angles; the motion ratio goes with 1/A at one arm angle.
 * Leaves out: arms that twist or are not in the plane of the shock, play, bump stops, tyres.
 * Throws:     DomainError naming the length that is too long or too short, when the linkage does not close with the axle behind the pivot.
 * Source:     law of cosines, differentiated; installation ratio: Milliken & Milliken, Race Car Vehicle Dynamics, ch. 16.
 *
 * @example travel({ swingArm: si(0.2), shockLowerAlong: si(0.1), shockLowerOff: si(0), shockUpperBack: si(0.08), shockUpperUp: si(0.06), shockExtended: si(0.1), shockCompressed: si(0.07), shockRide: si(0.085) }) // wheelTravel ≈ 0.06425 m, upTravel ≈ 0.03214 m, motionRatioRide ≈ 0.4653 1, armAngleDroop ≈ −0.4037 rad
 */
export const travel = formula(
  {
    swingArm: positive('m'),
    shockLowerAlong: real('m'),
    shockLowerOff: real('m'),
    shockUpperBack: real('m'),
    shockUpperUp: real('m'),
    shockExtended: positive('m'),
    shockCompressed: positive('m'),
    shockRide: optional(positive('m')),
  },
  {
    wheelTravel: 'm',
    motionRatioDroop: '1',
    motionRatioRide: maybe('1'),
    motionRatioBump: '1',
    upTravel: maybe('m'),
    downTravel: maybe('m'),
    armAngleDroop: 'rad',
    armAngleRide: maybe('rad'),
    armAngleBump: 'rad',
    wheelbaseChange: 'm',
    motionRatioPlot: table({ travelFromDroop: 'm', motionRatio: '1' }),
  },
  ({ swingArm, shockLowerAlong, shockLowerOff, shockUpperBack, shockUpperUp, shockExtended, shockCompressed, shockRide }) => {
    const lower = { radius: Math.hypot(shockLowerAlong, shockLowerOff), angle: Math.atan2(shockLowerOff, shockLowerAlong) };
    const upper = { radius: Math.hypot(shockUpperBack, shockUpperUp), angle: Math.atan2(shockUpperUp, shockUpperBack) };
    const most = upper.radius + lower.radius;
    const least = Math.abs(upper.radius - lower.radius);
    const product = upper.radius * lower.radius;

    if (!(shockExtended > shockCompressed))
      throw new DomainError('shockExtended', 'the extended shock is no longer than the compressed one');
    for (const [input, what, shock] of [
      ['shockExtended', 'the extended shock', shockExtended],
      ['shockCompressed', 'the compressed shock', shockCompressed],
    ] as const) {
      if (shock > most * (1 + SLACK))
        throw new DomainError(
          input,
          `${what} is too long, its eyes can stand ${millimetres(most * (1 + SLACK), Math.floor)} mm apart at most`,
        );
      if (shock < least * (1 - SLACK))
        throw new DomainError(
          input,
          `${what} is too short, its eyes come no nearer than ${millimetres(least * (1 - SLACK), Math.ceil)} mm`,
        );
    }
    if (shockRide !== undefined && !(shockRide >= shockCompressed))
      throw new DomainError('shockRide', 'the shock at ride is shorter than compressed');
    if (shockRide !== undefined && !(shockRide <= shockExtended))
      throw new DomainError('shockRide', 'the shock at ride is longer than extended');

    // Half-angle form: the law of cosines itself loses half its digits where the eyes and the pivot come into one line.
    const fold = (shock: number): number =>
      2 * Math.atan2(Math.sqrt(Math.max(0, shock - least) * (shock + least)), Math.sqrt(Math.max(0, most - shock) * (most + shock)));
    // With γ subtracted, opening the arm upward closes the fold: of the two closures the one where raising the axle shortens the shock.
    const stand = (shock: number): Stand => ({ arm: wrapped(upper.angle - lower.angle - fold(shock)), fold: fold(shock), shock });
    const droop = stand(shockExtended);
    if (droop.arm <= -UPRIGHT)
      throw new DomainError('shockExtended', 'the extended shock is too long, the arm would hang past straight down');
    if (droop.arm >= UPRIGHT)
      throw new DomainError('shockExtended', 'the extended shock is too short, the arm would stand past straight up even at full droop');
    // Reckoned on from droop, so that an arm which has swung past straight up is not taken for one that hangs.
    const bump = { ...stand(shockCompressed), arm: droop.arm + droop.fold - fold(shockCompressed) };
    if (bump.arm >= UPRIGHT)
      throw new DomainError('shockCompressed', 'the compressed shock is too short, the arm would swing past straight up');
    const ride = shockRide === undefined ? undefined : stand(shockRide);

    const rise = (from: Stand, to: Stand): number => 2 * swingArm * Math.cos((to.arm + from.arm) / 2) * Math.sin((to.arm - from.arm) / 2);
    const motionRatio = (at: Stand): number => (product * Math.sin(at.fold)) / (at.shock * swingArm * Math.cos(at.arm));
    const wheelTravel = rise(droop, bump);

    const atTravel = (z: number): Stand => {
      const arm = Math.min(bump.arm, Math.asin(Math.min(1, Math.sin(droop.arm) + z / swingArm)));
      const open = Math.max(0, droop.fold - (arm - droop.arm));
      return { arm, fold: open, shock: Math.hypot(least, 2 * Math.sqrt(product) * Math.sin(open / 2)) };
    };
    const travelFromDroop = Array.from({ length: POINTS }, (_, i) => (wheelTravel * i) / (POINTS - 1));
    return {
      wheelTravel,
      motionRatioDroop: motionRatio(droop),
      motionRatioRide: ride && motionRatio(ride),
      motionRatioBump: motionRatio(bump),
      upTravel: ride && rise(ride, bump),
      downTravel: ride && rise(droop, ride),
      armAngleDroop: droop.arm,
      armAngleRide: ride?.arm,
      armAngleBump: bump.arm,
      wheelbaseChange: -2 * swingArm * Math.sin((bump.arm + droop.arm) / 2) * Math.sin((bump.arm - droop.arm) / 2),
      motionRatioPlot: { travelFromDroop, motionRatio: travelFromDroop.map((z) => motionRatio(atTravel(z))) },
    };
  },
);

/** Into (−π, π]. */
const wrapped = (angle: number): number => angle - 2 * Math.PI * Math.ceil(angle / (2 * Math.PI) - 0.5);

/** A limit for a member's ruler, rounded to the side on which it still works. */
const millimetres = (length: number, round: (value: number) => number): string => String(round(length * 1e4) / 10);
