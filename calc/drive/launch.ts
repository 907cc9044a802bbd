import { absent, formula, maybe, table } from '../formula.ts';
import { timeAcross, valueAfter, valueAt } from '../numeric/parabola.ts';
import { drive } from './driven.ts';
import { limitsOf, type Stretch, starting, stretchesOf } from './traction.ts';

/** Points of the curve speed over time. */
const POINTS = 61;
/**
 * Full throttle from a standstill to a speed: time, slip, current, and whether the front comes up.
 *
 *     I = min((V − e·v) / (R + Q), L),  e = i / (K·r)
 *     F = η·e·(I − J)
 *     B = ½·ρ·S·v² + C·m·g·cos θ + m·g·sin θ
 *     grips:   a = (F − B) / (m + Y/r²)
 *     slips:   a = (μ·m·g·(s·cos θ + h/l·sin θ) − B) / (m·(1 − μ·h/l))
 *              while F − Y·a/r² > μ·N,  N = m·g·(s·cos θ + h/l·sin θ) + m·a·h/l  with the a of gripping
 *     front up: a = g·((1 − s)·cos θ·l/h − sin θ), and never more than that
 *     t = ∫ dv / a(v)
 *
 *     K   motor kv              rad/(s·V)
 *     n   cells                 1     V = n·U
 *     z₁  pinion                1
 *     z₂  spur                  1
 *     G   gearbox ratio         1
 *     A   axle ratio            1
 *     T   spur turns            1     counted by hand, in the place of gearbox and axle ratio
 *     d   tyre diameter         m
 *     U   cell voltage          V
 *     x   tyre growth           1     r = d·(1 + x)/2
 *     m   total                 kg
 *     R   motor resistance      Ω
 *     J   no load current       A
 *     Q   pack resistance       Ω
 *     S   drag area             m²
 *     C   rolling coefficient   1
 *     η   driveline efficiency  1
 *     H   air temperature       K
 *     Z   altitude              m
 *     h   cg height             m
 *     l   wheelbase             m
 *     s   rear share            1     of the mass, level and at rest
 *     μ   grip                  1     rolling tyre on the surface
 *     q   grade                 1     tan θ, uphill positive
 *     L   current limit         A     of the motor's current
 *     u   to speed              m/s
 *     Y   driven inertia        kg·m²  both driven wheels
 *     t   time to speed         s     absent when the truck never gets there
 *     k   slip until            m/s   highest speed, up to u or as far as it gets, at which the wheels slip; 0 when never
 *     a   peak acceleration     m/s²  0 when it does not move off
 *     M   peak current          A     at the standstill
 *     w   wheelie               yes/no  the front load reaches zero
 *     τ   time                  s     of the curve, evenly spaced from 0 to t, or till it nearly stops gaining
 *     v   speed                 m/s   at that time
 *
 * Shape:      less grip never makes it quicker; mass, driven inertia, drag area and both currents times c with both resistances divided by c
 *             leave time and speeds alone; so do kv and gearbox ratio times c.
 * Leaves out: wind, slip of a tyre that grips, the motor's speed running ahead of slipping wheels, the motor's own inertia, springs and
 *             pitching, the driver's finger. All resistance, the air's too, is taken at the height of the ground.
 * Throws:     DomainError when the truck tips over on that grade, or neither motor nor pack has any resistance.
 * Source:     Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (acceleration limited by power, by traction; axle loads on a grade);
 *             M. Drela, First-Order DC Electric Motor Model, MIT, 2007.
 *
 * @example launch({ motorKv: si(3000 * Math.PI / 30), cells: si(2), pinion: si(13), spur: si(54), gearboxRatio: si(1), axleRatio: si(3.25), tyreDiameter: si(0.1), cellVoltage: si(3.7), tyreGrowth: si(0), total: si(3), motorResistance: si(0.016), noLoadCurrent: si(4), packResistance: si(0.01), dragArea: si(0.03), rollingCoefficient: si(0.06), drivelineEfficiency: si(0.7), airTemperature: si(293.15), altitude: si(0), cgHeight: si(0.08), wheelbase: si(0.33), rearShare: si(0.6), grip: si(0.5), grade: si(0), currentLimit: si(100), toSpeed: si(7), drivenInertia: si(0.0004) }) // timeToSpeed ≈ 2.732 s, slipUntil ≈ 7.0 m/s, peakAcceleration ≈ 2.678 m/s², peakCurrent ≈ 100 A, wheelie = false
 */
export const launch = formula(
  starting,
  {
    timeToSpeed: maybe('s'),
    slipUntil: 'm/s',
    peakAcceleration: 'm/s²',
    peakCurrent: 'A',
    wheelie: 'yes/no',
    speedOverTime: table({ time: 's', speed: 'm/s' }),
  },
  (truck) => {
    const limits = limitsOf(truck);
    const { voltage, resistance } = drive(truck);
    const { stretches, halt } = stretchesOf(limits, truck.toSpeed);
    const times = stretches.map(({ law, from, to }) => timeAcross(law, from, to));
    const [first] = stretches;
    const slipping = stretches.findLast(({ slips }) => slips);
    return {
      timeToSpeed: halt === undefined ? sum(times) : absent('never'),
      slipUntil: slipping === undefined ? 0 : slipping === stretches.at(-1) ? (halt ?? truck.toSpeed) : slipping.to,
      peakAcceleration: first === undefined ? 0 : valueAt(first.law, 0),
      peakCurrent: Math.min(voltage / resistance, truck.currentLimit),
      wheelie: stretches.some(({ law }) => law === limits.lift),
      speedOverTime: curve(stretches, times),
    };
  },
);

const sum = (values: readonly number[]): number => values.reduce((all, value) => all + value, 0);

/** Speed at evenly spaced times; a second of standing still for a truck that does not move off. */
function curve(stretches: readonly Stretch[], times: readonly number[]): { time: number[]; speed: number[] } {
  if (stretches.length === 0) return { time: [0, 1], speed: [0, 0] };
  const whole = sum(times);
  const time = Array.from({ length: POINTS }, (_, i) => (whole * i) / (POINTS - 1));
  let at = 0;
  let begun = 0;
  const speed = time.map((when) => {
    while (at < stretches.length - 1 && when >= begun + times[at]!) {
      begun += times[at]!;
      at += 1;
    }
    const { law, from, to } = stretches[at]!;
    return Math.min(to, valueAfter(law, from, Math.max(0, when - begun)));
  });
  return { time, speed };
}
