import { root } from './root.ts';

/** Right-hand side of dy/dt = f(t, y). It must not keep or change the state it is handed. */
export type Slope = (time: number, state: readonly number[]) => readonly number[];

export interface IntegrateOptions {
  /** Error allowed in one step, as a part of each component's size. Default 1e-9. */
  readonly relativeTolerance?: number;
  /** And in the component's own unit, for components near zero: one for all, or one each. Default 1e-12. */
  readonly absoluteTolerance?: number | readonly number[];
  /** Longest step; what happens and is over within one step is not seen, so set it where the slope has short bumps. */
  readonly longestStep?: number;
  /** Steps tried before giving up. Default 100 000. */
  readonly mostSteps?: number;
  /** Ends the course where this changes its sign: `(_, [speed]) => speed! - 8.3`. A start at exactly zero is no crossing. */
  readonly until?: (time: number, state: readonly number[]) => number;
}

export interface Course {
  /** Where the course ended: `end`, or the crossing. */
  readonly time: number;
  readonly state: readonly number[];
  /** Whether `until` ended it. */
  readonly crossed: boolean;
  /** The state at any time from start to the end of the course. */
  readonly at: (time: number) => number[];
  readonly steps: number;
}

// Source of the tableau: J. R. Dormand, P. J. Prince, A family of embedded Runge–Kutta formulae, J. Comp. Appl. Math. 6 (1980) 19–26;
// of the dense output (order 4), the step control and the first step: E. Hairer, S. P. Nørsett, G. Wanner, Solving Ordinary Differential
// Equations I, 2nd edition, Springer, 1993, II.4 to II.6.
const NODES = [0, 1 / 5, 3 / 10, 4 / 5, 8 / 9, 1, 1] as const;
const STAGES: readonly (readonly number[])[] = [
  [],
  [1 / 5],
  [3 / 40, 9 / 40],
  [44 / 45, -56 / 15, 32 / 9],
  [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729],
  [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656],
  [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
];
/** Fifth order less fourth. */
const ERROR = [71 / 57600, 0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40] as const;
const DENSE = [
  -12715105075 / 11282082432,
  0,
  87487479700 / 32700410799,
  -10690763975 / 1880347072,
  701980252875 / 199316789632,
  -1453857185 / 822651844,
  69997945 / 29380423,
] as const;

/** One accepted step: where it began, how long it was, and the coefficients of its interpolant. */
interface Step {
  readonly time: number;
  readonly length: number;
  readonly coefficients: readonly (readonly number[])[];
}

/**
 * Course of dy/dt = f(t, y) from a start to an end time (forward), by the explicit Runge–Kutta pair 5(4) of Dormand and Prince with error
 * control and dense output; it ends early where `until` changes its sign.
 *
 * Each step's error estimate is kept below absolute + relative × |y| in the root mean square; errors of many steps add up, in stable
 * problems to some ten times that. Between the steps, and so at a crossing too, the interpolant of order 4 is about as good.
 * A kink or jump in f costs short steps, not accuracy; a stiff problem costs many.
 *
 * Throws: RangeError when the times are no span, f is not finite, the step shrinks to nothing (a pole) or the steps run out.
 */
export function integrate(slope: Slope, start: number, state: readonly number[], end: number, options: IntegrateOptions = {}): Course {
  const {
    relativeTolerance = 1e-9,
    absoluteTolerance = 1e-12,
    longestStep = Number.POSITIVE_INFINITY,
    mostSteps = 100_000,
    until,
  } = options;
  if (!(end > start) || !Number.isFinite(end - start)) throw new RangeError(`no span of time from ${start} to ${end}`);
  const absolute = (i: number): number => (typeof absoluteTolerance === 'number' ? absoluteTolerance : (absoluteTolerance[i] ?? 0));
  const size = (errors: readonly number[], before: readonly number[], after: readonly number[]): number =>
    Math.sqrt(
      errors.reduce((sum, error, i) => {
        const allowed = absolute(i) + relativeTolerance * Math.max(Math.abs(before[i]!), Math.abs(after[i]!));
        return sum + (error / allowed) ** 2;
      }, 0) / errors.length,
    );

  let time = start;
  let now = [...state];
  let slopeNow = slope(time, now);
  let length = Math.min(firstStep(slope, time, now, slopeNow, size), longestStep, end - start);
  let before = until?.(time, now) ?? 0;
  let errorBefore = 1e-4;
  let refused = false;
  const taken: Step[] = [];

  for (let tries = 0; time < end; tries += 1) {
    if (tries >= mostSteps) throw new RangeError(`${mostSteps} steps came only as far as ${time}`);
    // What rounding leaves of the span belongs to the last step.
    const last = time + length >= end - 1e-12 * length;
    const least = 4 * Number.EPSILON * Math.max(Math.abs(time), Math.abs(end));
    if (!(length > least || last)) throw new RangeError(`the step shrank to nothing at ${time}`);
    const slopes = stages(slope, time, now, slopeNow, length);
    const next = mix(now, slopes, STAGES[6]!, length);
    const error = size(mix(undefined, slopes, ERROR, length), now, next);
    // Not a number (f left its domain within the step) counts as far too much.
    const grow = error === 0 ? 10 : 0.9 * error ** -0.17 * errorBefore ** 0.04;
    if (!(error <= 1)) {
      length *= Number.isFinite(error) ? Math.max(0.2, 0.9 * error ** -0.2) : 0.1;
      refused = true;
      continue;
    }
    const step: Step = { time, length, coefficients: interpolant(now, next, slopes, length) };
    taken.push(step);
    const reached = last ? end : time + length;
    if (until !== undefined) {
      const after = until(reached, next);
      if (before !== 0 && Math.sign(after) !== Math.sign(before)) {
        const part = root((x) => (x === 0 ? before : x === 1 ? after : until(time + x * length, within(step, x))), 0, 1, 1e-15);
        const crossing = time + part * length;
        return course(taken, start, crossing, part === 1 ? next : within(step, part), true);
      }
      before = after;
    }
    time = reached;
    now = next;
    slopeNow = slopes[6]!;
    errorBefore = Math.max(error, 1e-4);
    length *= Math.max(0.2, Math.min(refused ? 1 : 10, grow));
    length = Math.min(length, longestStep, Math.max(end - time, 0) || length);
    refused = false;
  }
  return course(taken, start, end, now, false);
}

/** base + length × Σ weight × slope; without a base the sum alone. */
function mix(
  base: readonly number[] | undefined,
  slopes: readonly (readonly number[])[],
  weights: readonly number[],
  length: number,
): number[] {
  return slopes[0]!.map((_, i) => {
    let sum = 0;
    for (let j = 0; j < weights.length; j += 1) sum += weights[j]! * slopes[j]![i]!;
    return (base === undefined ? 0 : base[i]!) + length * sum;
  });
}

function stages(slope: Slope, time: number, now: readonly number[], slopeNow: readonly number[], length: number): (readonly number[])[] {
  const slopes: (readonly number[])[] = [slopeNow];
  for (let stage = 1; stage < 7; stage += 1) slopes.push(slope(time + NODES[stage]! * length, mix(now, slopes, STAGES[stage]!, length)));
  return slopes;
}

function interpolant(now: readonly number[], next: readonly number[], slopes: readonly (readonly number[])[], length: number): number[][] {
  const change = next.map((value, i) => value - now[i]!);
  const bend = change.map((value, i) => length * slopes[0]![i]! - value);
  return [
    [...now],
    change,
    bend,
    change.map((value, i) => value - length * slopes[6]![i]! - bend[i]!),
    mix(undefined, slopes, DENSE, length),
  ];
}

function within({ coefficients: [now, change, bend, twist, rest] }: Step, part: number): number[] {
  const left = 1 - part;
  return now!.map((value, i) => value + part * (change![i]! + left * (bend![i]! + part * (twist![i]! + left * rest![i]!))));
}

function course(taken: readonly Step[], start: number, time: number, state: readonly number[], crossed: boolean): Course {
  const at = (when: number): number[] => {
    if (!(when >= start && when <= time)) throw new RangeError(`${when} is not between ${start} and ${time}`);
    if (when === time) return [...state];
    let low = 0;
    let high = taken.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (taken[middle]!.time <= when) low = middle;
      else high = middle - 1;
    }
    const step = taken[low]!;
    return within(step, (when - step.time) / step.length);
  };
  return { time, state, crossed, at, steps: taken.length };
}

/** A first step whose error should be near the tolerance (Hairer, Nørsett, Wanner, II.4, starting step size). */
function firstStep(
  slope: Slope,
  time: number,
  now: readonly number[],
  slopeNow: readonly number[],
  size: (values: readonly number[], before: readonly number[], after: readonly number[]) => number,
): number {
  const still = size(now, now, now);
  const speed = size(slopeNow, now, now);
  const guess = still < 1e-5 || speed < 1e-5 ? 1e-6 : (0.01 * still) / speed;
  const there = now.map((value, i) => value + guess * slopeNow[i]!);
  const bend =
    size(
      slope(time + guess, there).map((value, i) => value - slopeNow[i]!),
      now,
      now,
    ) / guess;
  const fastest = Math.max(speed, bend);
  const better = fastest <= 1e-15 ? Math.max(1e-6, guess * 1e-3) : (0.01 / fastest) ** (1 / 5);
  return Math.min(100 * guess, better);
}
