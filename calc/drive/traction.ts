import { standardGravity } from '../constants.ts';
import { DomainError, type Inputs, notNegative, positive, real, share, si } from '../formula.ts';
import { meetings, type Parabola, valueAt, zerosOf } from '../numeric/parabola.ts';
import { airDensity } from './air-density.ts';
import { drive, driven } from './driven.ts';
import { roadLoad } from './road-load.ts';

/** A truck at the start line. */
export const starting = {
  ...driven,
  cgHeight: positive('m'),
  wheelbase: positive('m'),
  rearShare: share(),
  grip: notNegative('1'),
  grade: real('1'),
  currentLimit: positive('A'),
  toSpeed: positive('m/s'),
  drivenInertia: notNegative('kg·m²'),
} as const;

/** Acceleration over speed under each of the four things that can limit it. All fall, or stay, as the speed grows. */
export interface Limits {
  /** Gripping, at the current limit. */
  readonly limited: Parabola;
  /** Gripping, at what the pack pushes through motor and pack. */
  readonly unlimited: Parabola;
  /** Wheels slipping. */
  readonly slipping: Parabola;
  /** Front load zero. */
  readonly lift: Parabola;
  /** 1 − grip × height / wheelbase: the part of the mass that slipping wheels see. Not above zero: load comes faster than it is used. */
  readonly held: number;
}

/** The formulas stand in the comment of `launch`. */
export function limitsOf(truck: Inputs<typeof starting>): Limits {
  const { voltage, resistance, radius, pull } = drive(truck);
  if (!(resistance > 0)) throw new DomainError(null, 'without any resistance in motor and pack the current at a standstill has no end');
  const still = { ...truck, airDensity: airDensity(truck), headwind: si<'m/s'>(0) };
  const { rolling, climbing } = roadLoad({ ...still, speed: si(0) });
  const opposing = rolling + climbing;
  const drag = roadLoad({ ...still, speed: si(1) }).drag;

  const mass = truck.total;
  const lever = truck.cgHeight / truck.wheelbase;
  const cosine = 1 / Math.hypot(1, truck.grade);
  const sine = truck.grade * cosine;
  const rearPart = truck.rearShare * cosine + lever * sine;
  const frontPart = (1 - truck.rearShare) * cosine - lever * sine;
  if (rearPart < 0 || frontPart < 0) throw new DomainError('grade', 'the truck tips over on that grade before it starts');

  const push = truck.drivelineEfficiency * pull;
  const heavy = mass + truck.drivenInertia / radius ** 2;
  // Exactly zero would leave no parabola to compare with; the least step above it means the same: no slip unless the load at rest fails.
  const held = 1 - truck.grip * lever || Number.EPSILON;
  const gripping = (current: number, perSpeed: number): Parabola => ({
    constant: (push * (current - truck.noLoadCurrent) - opposing) / heavy,
    linear: (push * perSpeed) / heavy,
    square: -drag / heavy,
  });
  return {
    limited: gripping(truck.currentLimit, 0),
    unlimited: gripping(voltage / resistance, -pull / resistance),
    slipping: {
      constant: (truck.grip * mass * standardGravity * rearPart - opposing) / (mass * held),
      linear: 0,
      square: -drag / (mass * held),
    },
    lift: { constant: (standardGravity * frontPart) / lever, linear: 0, square: 0 },
    held,
  };
}

/** A stretch of speeds on which one limit holds all the way. */
export interface Stretch {
  readonly law: Parabola;
  readonly from: number;
  readonly to: number;
  readonly slips: boolean;
}

/** The last stretch of a truck that only creeps up to its highest speed ends at this part of it: the whole would take for ever. */
const NEARLY = 0.99;

/** The stretches from standstill to a speed, one after the other; `halt` is the speed beyond which the truck does not get, if below it. */
export function stretchesOf(limits: Limits, toSpeed: number): { stretches: Stretch[]; halt: number | undefined } {
  const { limited, unlimited, slipping, lift, held } = limits;
  const lines = [limited, unlimited, slipping, lift];
  const knots = lines
    .flatMap((line, i) => lines.slice(i + 1).flatMap((other) => meetings(line, other)))
    .filter((speed) => speed > 0 && speed < toSpeed)
    .sort((a, b) => a - b);
  const stretches: Stretch[] = [];
  let from = 0;
  for (const to of [...knots, toSpeed]) {
    if (!(to > from)) continue;
    const middle = (from + to) / 2;
    const gripping = valueAt(limited, middle) < valueAt(unlimited, middle) ? limited : unlimited;
    // Ground force above grip × rear load, both with the acceleration of gripping, and solved for that acceleration.
    const margin = valueAt(gripping, middle) - valueAt(slipping, middle);
    const slips = held > 0 ? margin > 0 : margin < 0;
    // Slipping where load would come faster than grip uses it: nothing is left to accelerate with.
    if (slips && held < 0) return { stretches, halt: from };
    const free = slips ? slipping : gripping;
    const law = valueAt(free, middle) >= lift.constant ? lift : free;
    if (!(valueAt(law, from) > 0)) return { stretches, halt: from };
    if (!(valueAt(law, to) > 0)) {
      const halt = zerosOf(law).find((speed) => speed > from && speed <= to) ?? to;
      stretches.push({ law, from, to: from + NEARLY * (halt - from), slips });
      return { stretches, halt };
    }
    stretches.push({ law, from, to, slips });
    from = to;
  }
  return { stretches, halt: undefined };
}
