/**
 * How much each cell moves with one reading: derivatives, carried forward through the tape beside the values, so that what cancels on paper
 * (shares that sum to one) cancels here too. A formula of calc is opaque: its results are tried at four places around its inputs.
 */
import { DomainError, type Formula, isAbsent } from '../../calc/formula.ts';
import {
  asNumber,
  binary,
  type Call,
  copyOf,
  inputsOf,
  Op,
  planFor,
  runSome,
  STACK,
  type State,
  type Tape,
  takesTwo,
  unary,
} from './tape.ts';

/** The derivatives of a call's results that move; '' where it has one result without a name. */
type Moved = ReadonlyMap<string, number>;
const SINGLE = '';

export interface Slopes {
  /** ∂(cell)/∂(reading) by slot; 0 where it does not move. */
  readonly of: Float64Array;
  /** Does the reading reach this cell at all? A derivative may be 0 all the same, where what it does cancels. */
  readonly reaches: (slot: number) => boolean;
}

/**
 * How every cell moves with the reading in `slot`. `u` is the reading's standard uncertainty: it says how far "a
 * little" is where the reading itself is 0.
 *
 * Where a derivative has no bound (√x at 0, asin x at 1), the slope over one standard uncertainty, to the side that has values, stands in.
 */
export function slopesOf(tape: Tape, state: State, formulas: ReadonlyMap<string, Formula>, slot: number, u: number): Slopes {
  const slopes = new Float64Array(tape.slots);
  const reached = new Set([slot]);
  const moved: (Moved | undefined)[] = [];
  slopes[slot] = 1;
  const plan = planFor(tape, slot, true);
  for (const cell of plan) {
    const call = tape.calls[cell];
    if (call) {
      const results = callSlopes(state, call, cell, slopes, formulas, u);
      moved[cell] = results;
      slopes[cell] = results.get(SINGLE) ?? 0;
      if (results.has(SINGLE)) reached.add(cell);
    } else if (isReached(tape, cell, reached, moved)) {
      reached.add(cell);
      slopes[cell] = evaluateSlope(tape, state, slopes, moved, cell);
    }
  }
  if (plan.some((cell) => !Number.isFinite(slopes[cell]!))) bySecant(tape, state, formulas, slot, u, plan, slopes);
  return { of: slopes, reaches: (cell) => reached.has(cell) };
}

function isReached(
  { code, start, fields }: Tape,
  cell: number,
  reached: ReadonlySet<number>,
  moved: readonly (Moved | undefined)[],
): boolean {
  for (let at = start[cell]!; at < start[cell + 1]!; ) {
    const op = code[at]!;
    const from = code[at + 1]!;
    if (op === Op.CELL && reached.has(from)) return true;
    if (op === Op.FIELD && moved[from]?.has(fields[code[at + 2]!]!)) return true;
    at += op === Op.FIELD ? 3 : op === Op.CELL || op === Op.CONST ? 2 : 1;
  }
  return false;
}

function bySecant(
  tape: Tape,
  state: State,
  formulas: ReadonlyMap<string, Formula>,
  slot: number,
  u: number,
  plan: Int32Array,
  slopes: Float64Array,
): void {
  const x = state.numbers[slot]!;
  const [above, below] = [x + u, x - u].map((at) => {
    const varied = copyOf(state);
    varied.numbers[slot] = at;
    runSome(tape, varied, formulas, plan);
    return varied.numbers;
  });
  for (const cell of plan) {
    if (Number.isFinite(slopes[cell]!)) continue;
    const here = state.numbers[cell]!;
    const sides = [(above![cell]! - here) / u, (here - below![cell]!) / u].filter(Number.isFinite);
    slopes[cell] = sides.length === 0 ? 0 : sides.reduce((sum, side) => sum + side, 0) / sides.length;
  }
}

// ── calls ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/**
 * Step, as a part of the input that moves most. Central differences at h and h/2 leave an error of the order h⁴ (Richardson's
 * extrapolation), one-sided ones h²/12; rounding costs about ε/h. So 1e-4 is good to about 1e-11, and to 1e-9 at the end of a domain.
 */
const STEP = 1e-4;
/** Where the two central differences differ by this part, the formula has a corner there: the nearer one counts. */
const CORNER = 1e-4;

function callSlopes(
  state: State,
  call: Call,
  cell: number,
  slopes: Float64Array,
  formulas: ReadonlyMap<string, Formula>,
  u: number,
): Moved {
  const found = new Map<string, number>();
  const here = resultsOf(state.others[cell]);
  const moving = call.inputs.filter(({ slot, as }) => as === 'number' && slopes[slot] !== 0 && Number.isFinite(state.numbers[slot]!));
  // Not made for want of an input, or nothing of it moves.
  if (state.others[cell] === undefined || moving.length === 0) return found;
  // In units of the reading: how far it may go until an input has moved by STEP.
  const scales = moving.map(({ slot }) => Math.abs(slopes[slot]!) / Math.max(Math.abs(state.numbers[slot]!), Math.abs(slopes[slot]!) * u));
  const step = STEP / Math.max(...scales);
  const at = (times: number): Readonly<Record<string, number>> => {
    const inputs = inputsOf(state, call)!;
    for (const { name, slot } of moving) inputs[name] = state.numbers[slot]! + times * step * slopes[slot]!;
    try {
      return resultsOf(formulas.get(call.formula)!(inputs as never));
    } catch (error) {
      if (!(error instanceof DomainError)) throw error;
      return {};
    }
  };
  // An input that moves without bound leaves no step to try: what comes of it is no number, and the secant has to serve.
  const [up, halfUp, halfDown, down] = [at(1), at(0.5), at(-0.5), at(-1)];
  for (const [name, value] of Object.entries(here)) {
    const [a, b, c, d] = [up, halfUp, halfDown, down].map((results) => results[name] ?? Number.NaN) as [number, number, number, number];
    if ([a, b, c, d].some((other) => other !== value)) found.set(name, slopeFrom(value, a, b, c, d) / step);
  }
  return found;
}

/** The slope per step from values at 1, ½, −½ and −1 step; one side alone where the other has no value; 0 where neither has. */
function slopeFrom(here: number, up: number, halfUp: number, halfDown: number, down: number): number {
  const wide = (up - down) / 2;
  const narrow = halfUp - halfDown;
  if (Number.isFinite(wide) && Number.isFinite(narrow))
    return Math.abs(wide - narrow) > CORNER * Math.max(Math.abs(wide), Math.abs(narrow)) ? narrow : (4 * narrow - wide) / 3;
  const above = 4 * halfUp - up - 3 * here;
  const below = 3 * here + down - 4 * halfDown;
  return [above, below].find(Number.isFinite) ?? 0;
}

/** The numbers among a call's results. */
function resultsOf(result: unknown): Readonly<Record<string, number>> {
  if (typeof result === 'number') return { [SINGLE]: result };
  if (typeof result !== 'object' || result === null || isAbsent(result)) return {};
  return Object.fromEntries(Object.entries(result).filter((entry): entry is [string, number] => typeof entry[1] === 'number'));
}

// ── the tape ────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const values = new Float64Array(STACK);
const tangents = new Float64Array(STACK);

/** One cell's code once more, each value with its derivative. */
function evaluateSlope(tape: Tape, state: State, slopes: Float64Array, moved: readonly (Moved | undefined)[], cell: number): number {
  const { code, constants } = tape;
  let top = -1;
  for (let at = tape.start[cell]!; at < tape.start[cell + 1]!; at += 1) {
    const op = code[at]!;
    if (op === Op.CONST || op === Op.CELL || op === Op.FIELD) {
      at += 1;
      const slot = code[at]!;
      top += 1;
      if (op === Op.CONST) {
        values[top] = constants[slot]!;
        tangents[top] = 0;
      } else if (op === Op.CELL) {
        values[top] = state.numbers[slot]!;
        tangents[top] = slopes[slot]!;
      } else {
        at += 1;
        const name = tape.fields[code[at]!]!;
        const record = state.others[slot] as Record<string, unknown> | undefined;
        const value = record === undefined || isAbsent(record) ? undefined : record[name];
        values[top] = asNumber(value);
        tangents[top] = moved[slot]?.get(name) ?? 0;
      }
    } else if (op === Op.IF) {
      top -= 2;
      const chosen = values[top] !== 0 ? top + 1 : top + 2;
      tangents[top] = tangents[chosen]!;
      values[top] = Number.isNaN(values[top]!) ? Number.NaN : values[chosen]!;
    } else if (takesTwo(op)) {
      top -= 1;
      two(op, top);
    } else one(op, top);
  }
  return tangents[0]!;
}

/** d·slope, where nothing that does not move moves: 0 × ∞ is 0 here. */
const times = (d: number, slope: number): number => (slope === 0 ? 0 : d * slope);

function two(op: number, top: number): void {
  const [a, b, da, db] = [values[top]!, values[top + 1]!, tangents[top]!, tangents[top + 1]!];
  values[top] = binary(op, a, b);
  tangents[top] = ofTwo(op, a, b, da, db);
}

function ofTwo(op: number, a: number, b: number, da: number, db: number): number {
  switch (op) {
    case Op.ADD:
      return da + db;
    case Op.SUB:
      return da - db;
    case Op.MUL:
      return times(b, da) + times(a, db);
    case Op.DIV:
      return times(1 / b, da) - times(a / b / b, db);
    case Op.POW:
      return times(b * a ** (b - 1), da) + times(a ** b * Math.log(a), db);
    case Op.FIRST:
      return Number.isNaN(a) ? db : da;
    case Op.MIN:
    case Op.MAX:
      // At the corner itself, the mean of both sides.
      return a === b ? (da + db) / 2 : (op === Op.MIN ? a < b : a > b) ? da : db;
    default:
      return 0;
  }
}

function one(op: number, top: number): void {
  const x = values[top]!;
  values[top] = unary(op, x);
  tangents[top] = times(derivative(op, x), tangents[top]!);
}

function derivative(op: number, x: number): number {
  switch (op) {
    case Op.NEG:
      return -1;
    case Op.SQRT:
      return 0.5 / Math.sqrt(x);
    case Op.ABS:
      return Math.sign(x);
    case Op.SIN:
      return Math.cos(x);
    case Op.COS:
      return -Math.sin(x);
    case Op.TAN:
      return 1 + Math.tan(x) ** 2;
    case Op.ASIN:
      return 1 / Math.sqrt(1 - x * x);
    case Op.ACOS:
      return -1 / Math.sqrt(1 - x * x);
    case Op.ATAN:
      return 1 / (1 + x * x);
    case Op.EXP:
      return Math.exp(x);
    case Op.LN:
      return 1 / x;
    case Op.LOG10:
      return Math.LOG10E / x;
    default:
      // round, floor, ceil stand still between their steps.
      return 0;
  }
}
