import { absent, DomainError, formula, list, maybe, positive, table } from '../formula.ts';
import { leastSquaresLine } from '../numeric/least-squares-line.ts';

/** A change of the steer over the whole test below this share of it is rounding: the truck is neutral. */
const ROUNDING = 1e-12;

/**
 * Understeer from laps of a circle at one steering lock, each faster than the last: with speed the circle grows, or it shrinks.
 *
 *     R = D / 2
 *     a = 2π²·D / t²
 *     q = L/R ≈ δ − K·a
 *     V = √(L / K), or √(L / −K)
 *
 *     P   skidpad runs               list      at least three rows of lap time and diameter
 *     t   lap time                   s         once round
 *     D   diameter                   m         of the path of the truck's middle
 *     L   wheelbase                  m
 *     δ   steer                      rad       at no speed: where the least squares line of L/R on a begins
 *     K   understeer gradient        rad·s²/m  minus the slope of that line; above zero understeer, below oversteer
 *     s   understeer gradient error  rad·s²/m  standard error of the slope, with n − 2
 *     â   peak lateral acceleration  m/s²      the greatest of the runs
 *     V₊  characteristic speed       m/s       with understeer: the circle is twice as wide as at no speed
 *     V₋  critical speed             m/s       with oversteer: the truck turns in without any steering
 *     a   lateral acceleration       m/s²      of each run, lowest first; so are the two beside it
 *     q   path angle                 rad       the steering that the path would need at no speed
 *     l   line                       rad       the fitted path angle at that lateral acceleration
 *
 * Shape:      all times doubled, δ stays, K is four times and the speeds are half as great; twice the wheelbase, twice δ and K and the same speeds.
 * Leaves out: tyres near their limit (the line bends), the tangent of the lock angle, load transfer, a steering gyro (off for the runs).
 * Throws:     DomainError unless the runs differ in lateral acceleration.
 * Source:     ISO 4138, steady-state circular driving, constant steering angle; Gillespie, Fundamentals of Vehicle Dynamics, ch. 6.
 *
 * @example skidpad({ skidpadRuns: [{ lapTime: si(4), diameter: si(3) }, { lapTime: si(3), diameter: si(3.1) }, { lapTime: si(2.5), diameter: si(3.2) }], wheelbase: si(0.33) }) // steer ≈ 0.2278 rad, understeerGradient ≈ 0.002145 rad·s²/m, peakLateralAcceleration ≈ 10.11 m/s², characteristicSpeed ≈ 12.40 m/s, criticalSpeed = never
 */
export const skidpad = formula(
  { skidpadRuns: list({ lapTime: positive('s'), diameter: positive('m') }, 3), wheelbase: positive('m') },
  {
    steer: 'rad',
    understeerGradient: 'rad·s²/m',
    understeerGradientError: 'rad·s²/m',
    peakLateralAcceleration: 'm/s²',
    characteristicSpeed: maybe('m/s'),
    criticalSpeed: maybe('m/s'),
    runs: table({ lateralAcceleration: 'm/s²', pathAngle: 'rad', line: 'rad' }),
  },
  ({ skidpadRuns, wheelbase }) => {
    const runs = skidpadRuns
      .map(({ lapTime, diameter }) => ({ x: (2 * Math.PI ** 2 * diameter) / lapTime ** 2, y: wheelbase / (diameter / 2) }))
      .sort((a, b) => a.x - b.x || a.y - b.y);
    const line = leastSquaresLine(runs);
    if (!line) throw new DomainError('skidpadRuns', 'all runs have the same lateral acceleration');
    const peakLateralAcceleration = Math.max(...runs.map(({ x }) => x));
    const steer = line.intercept;
    const neutral = Math.abs(line.slope) * peakLateralAcceleration <= ROUNDING * Math.abs(steer);
    const understeerGradient = neutral ? 0 : -line.slope;
    return {
      steer,
      understeerGradient,
      understeerGradientError: line.slopeError!,
      peakLateralAcceleration,
      characteristicSpeed: understeerGradient > 0 ? Math.sqrt(wheelbase / understeerGradient) : absent('never'),
      criticalSpeed: understeerGradient < 0 ? Math.sqrt(wheelbase / -understeerGradient) : absent('never'),
      runs: {
        lateralAcceleration: runs.map(({ x }) => x),
        pathAngle: runs.map(({ y }) => y),
        line: runs.map(({ y }, i) => y - line.residuals[i]!),
      },
    };
  },
);
