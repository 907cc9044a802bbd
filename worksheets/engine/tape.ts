/**
 * The tape: every formula of a sheet as one flat postfix program, run by our own loop.
 *
 * Numbers live in a Float64Array, one slot a cell; what is not a number (lists, words, the results of a call) lives beside it. Absent is
 * NaN, so absence propagates through arithmetic by itself; `whyAbsent` finds the reason afterwards, off the fast path. A tape is plain
 * data: it can be sent to a page and run there without the parser.
 */
import { DomainError, type Formula, isAbsent } from '../../calc/formula.ts';
import { toCamel } from './names.ts';

export const Op = {
  CONST: 0, CELL: 1, FIELD: 2, ADD: 3, SUB: 4, MUL: 5, DIV: 6, POW: 7, NEG: 8, LT: 9, LE: 10, GT: 11, GE: 12, EQ: 13, NE: 14, IF: 15, FIRST: 16,
  MIN: 17, MAX: 18, SQRT: 19, ABS: 20, SIN: 21, COS: 22, TAN: 23, ASIN: 24, ACOS: 25, ATAN: 26, EXP: 27, LN: 28, LOG10: 29, ROUND: 30, FLOOR: 31, CEIL: 32,
} as const; // biome-ignore format: a table of numbers

/** A call of calc: which formula, and which slot each input comes from. */
export interface Call {
  readonly formula: string;
  readonly inputs: readonly {
    readonly name: string;
    readonly slot: number;
    readonly as: 'number' | 'flag' | 'other';
    readonly optional: boolean;
  }[];
}

export interface Tape {
  /** Slots in all; the first `readings` of them are set from outside. */
  readonly slots: number;
  readonly readings: number;
  /** Postfix code of all computed cells, one after the other. */
  readonly code: Int32Array;
  readonly constants: Float64Array;
  /** Cell i (i ≥ readings) is code[start[i]] … code[start[i + 1] − 1]; a call has no code. Slots stand in the order of computation. */
  readonly start: Int32Array;
  readonly calls: readonly (Call | undefined)[];
  readonly fields: readonly string[];
  /** The slots that read slot i, directly. */
  readonly readers: readonly (readonly number[])[];
  /** `nominal( )` cells: they stand still when a reading is varied to see how much an answer depends on it. */
  readonly still: readonly number[];
}

export interface State {
  readonly numbers: Float64Array;
  readonly others: unknown[];
  /** What a call refused with. */
  readonly refused: (DomainError | undefined)[];
}

export const newState = (tape: Tape): State => ({
  numbers: new Float64Array(tape.slots).fill(Number.NaN),
  others: new Array(tape.slots).fill(undefined),
  refused: new Array(tape.slots).fill(undefined),
});

/** What a slot holds beside its number: a list, a word, a call's record, or one result of it by its name in a sheet. */
export function wholeValue(state: State, slot: number, field: string | null): unknown {
  const whole = state.others[slot];
  if (field === null || whole === undefined || isAbsent(whole)) return whole;
  return (whole as Record<string, unknown>)[toCamel(field)];
}

export const copyOf = (state: State): State => ({
  numbers: state.numbers.slice(),
  others: state.others.slice(),
  refused: state.refused.slice(),
});

/** Values that one cell's code may hold at once; a formula that needs more is refused when the sheet is loaded. */
export const STACK = 512;
const stack = new Float64Array(STACK);

/** Computes every cell, in order. */
export function runAll(tape: Tape, state: State, formulas: ReadonlyMap<string, Formula>): void {
  for (let slot = tape.readings; slot < tape.slots; slot += 1) compute(tape, state, formulas, slot);
}

/** Computes the cells of `plan` (see `planFor`), in order. */
export function runSome(tape: Tape, state: State, formulas: ReadonlyMap<string, Formula>, plan: Int32Array): void {
  for (let i = 0; i < plan.length; i += 1) compute(tape, state, formulas, plan[i]!);
}

/** The cells that depend on `slot`, in the order of computation; with `varied`, only those that move when the reading is varied. */
export function planFor(tape: Tape, slot: number, varied = false): Int32Array {
  const still = new Set(varied ? tape.still : []);
  const seen = new Set<number>();
  const open = [slot];
  while (open.length > 0) {
    for (const reader of tape.readers[open.pop()!]!) {
      if (seen.has(reader) || still.has(reader)) continue;
      seen.add(reader);
      open.push(reader);
    }
  }
  return Int32Array.from(seen).sort();
}

function compute(tape: Tape, state: State, formulas: ReadonlyMap<string, Formula>, slot: number): void {
  const call = tape.calls[slot];
  if (call === undefined) state.numbers[slot] = evaluate(tape, state, tape.start[slot]!, tape.start[slot + 1]!);
  else make(state, call, formulas, slot);
}

/** A call's inputs as the formula takes them; undefined when one that it needs is absent. */
export function inputsOf(state: State, call: Call): Record<string, unknown> | undefined {
  const inputs: Record<string, unknown> = {};
  for (const input of call.inputs) {
    const number = state.numbers[input.slot]!;
    const value =
      input.as === 'other' ? state.others[input.slot] : Number.isNaN(number) ? undefined : input.as === 'flag' ? number !== 0 : number;
    if (value === undefined && !input.optional) return undefined;
    if (value !== undefined) inputs[input.name] = value;
  }
  return inputs;
}

function make(state: State, call: Call, formulas: ReadonlyMap<string, Formula>, slot: number): void {
  state.numbers[slot] = Number.NaN;
  state.others[slot] = undefined;
  state.refused[slot] = undefined;
  const inputs = inputsOf(state, call);
  if (inputs === undefined) return;
  try {
    const result = formulas.get(call.formula)!(inputs as never) as unknown;
    state.others[slot] = result;
    state.numbers[slot] = asNumber(result);
  } catch (error) {
    if (!(error instanceof DomainError)) throw error;
    state.refused[slot] = error;
  }
}

// Minus zero is a trap of the arithmetic, not an answer.
export const asNumber = (value: unknown): number =>
  typeof value === 'number' ? (value === 0 ? 0 : value) : typeof value === 'boolean' ? Number(value) : Number.NaN;

function evaluate(tape: Tape, state: State, from: number, to: number): number {
  const { code, constants } = tape;
  const { numbers } = state;
  let top = -1;
  for (let at = from; at < to; ) {
    switch (code[at]) {
      case Op.CONST:
        stack[++top] = constants[code[at + 1]!]!;
        at += 2;
        continue;
      case Op.CELL:
        stack[++top] = numbers[code[at + 1]!]!;
        at += 2;
        continue;
      case Op.FIELD: {
        const record = state.others[code[at + 1]!] as Record<string, unknown> | undefined;
        stack[++top] = record === undefined || isAbsent(record) ? Number.NaN : asNumber(record[tape.fields[code[at + 2]!]!]);
        at += 3;
        continue;
      }
      case Op.ADD:
        top -= 1;
        stack[top] = stack[top]! + stack[top + 1]!;
        break;
      case Op.SUB:
        top -= 1;
        stack[top] = stack[top]! - stack[top + 1]!;
        break;
      case Op.MUL:
        top -= 1;
        stack[top] = stack[top]! * stack[top + 1]!;
        break;
      case Op.DIV:
        top -= 1;
        stack[top] = stack[top]! / stack[top + 1]!;
        break;
      case Op.IF:
        top -= 2;
        stack[top] = Number.isNaN(stack[top]!) ? Number.NaN : stack[top] !== 0 ? stack[top + 1]! : stack[top + 2]!;
        break;
      default:
        if (takesTwo(code[at]!)) {
          top -= 1;
          stack[top] = binary(code[at]!, stack[top]!, stack[top + 1]!);
        } else stack[top] = unary(code[at]!, stack[top]!);
    }
    at += 1;
  }
  return stack[0] === 0 ? 0 : stack[0]!;
}

export const takesTwo = (op: number): boolean =>
  (op >= Op.ADD && op <= Op.POW) || (op >= Op.LT && op <= Op.NE) || (op >= Op.FIRST && op <= Op.MAX);

/** What two values give; absent (NaN) where one that counts is. A comparison gives 1 or 0. */
export function binary(op: number, a: number, b: number): number {
  if (op === Op.FIRST) return Number.isNaN(a) ? b : a;
  // NaN to the power 0 is 1 in JavaScript, and NaN < 1 is false; absent stays absent here.
  if (Number.isNaN(a) || Number.isNaN(b)) return Number.NaN;
  switch (op) {
    case Op.ADD:
      return a + b;
    case Op.SUB:
      return a - b;
    case Op.MUL:
      return a * b;
    case Op.DIV:
      return a / b;
    case Op.POW:
      return a ** b;
    case Op.MIN:
      return Math.min(a, b);
    case Op.MAX:
      return Math.max(a, b);
    case Op.LT:
      return Number(a < b);
    case Op.LE:
      return Number(a <= b);
    case Op.GT:
      return Number(a > b);
    case Op.GE:
      return Number(a >= b);
    case Op.EQ:
      return Number(a === b);
    default:
      return Number(a !== b);
  }
}

/** What a function of one number gives. */
export function unary(op: number, x: number): number {
  switch (op) {
    case Op.NEG:
      return -x;
    case Op.SQRT:
      return Math.sqrt(x);
    case Op.ABS:
      return Math.abs(x);
    case Op.SIN:
      return Math.sin(x);
    case Op.COS:
      return Math.cos(x);
    case Op.TAN:
      return Math.tan(x);
    case Op.ASIN:
      return Math.asin(x);
    case Op.ACOS:
      return Math.acos(x);
    case Op.ATAN:
      return Math.atan(x);
    case Op.EXP:
      return Math.exp(x);
    case Op.LN:
      return Math.log(x);
    case Op.LOG10:
      return Math.log10(x);
    case Op.ROUND:
      // Halves go away from zero, as on paper; Math.round takes −2.5 to −2.
      return Math.sign(x) * Math.round(Math.abs(x));
    case Op.FLOOR:
      return Math.floor(x);
    default:
      return Math.ceil(x);
  }
}
