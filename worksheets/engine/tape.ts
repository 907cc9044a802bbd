/**
 * The tape: every formula of a sheet as one flat postfix program, run by our own loop.
 *
 * Numbers live in a Float64Array, one slot a cell; what is not a number (lists, words, the results of a call) lives beside it. Absent is
 * NaN, so absence propagates through arithmetic by itself; `whyAbsent` finds the reason afterwards, off the fast path. A tape is plain
 * data: it can be sent to a page and run there without the parser.
 */
import { DomainError, type Formula, isAbsent } from '../../calc/formula.ts';

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

const stack = new Float64Array(512);

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

function make(state: State, call: Call, formulas: ReadonlyMap<string, Formula>, slot: number): void {
  const inputs: Record<string, unknown> = {};
  state.numbers[slot] = Number.NaN;
  state.others[slot] = undefined;
  state.refused[slot] = undefined;
  for (const input of call.inputs) {
    const number = state.numbers[input.slot]!;
    const value =
      input.as === 'other' ? state.others[input.slot] : Number.isNaN(number) ? undefined : input.as === 'flag' ? number !== 0 : number;
    if (value === undefined && !input.optional) return;
    if (value !== undefined) inputs[input.name] = value;
  }
  try {
    const result = formulas.get(call.formula)!(inputs as never) as unknown;
    state.others[slot] = result;
    state.numbers[slot] = asNumber(result);
  } catch (error) {
    if (!(error instanceof DomainError)) throw error;
    state.refused[slot] = error;
  }
}

const asNumber = (value: unknown): number => (typeof value === 'number' ? value : typeof value === 'boolean' ? Number(value) : Number.NaN);

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
      case Op.POW:
        top -= 1;
        // A NaN base to the power 0 is 1 in JavaScript; absent stays absent here.
        stack[top] = Number.isNaN(stack[top]!) ? Number.NaN : stack[top]! ** stack[top + 1]!;
        break;
      case Op.NEG:
        stack[top] = -stack[top]!;
        break;
      case Op.LT:
      case Op.LE:
      case Op.GT:
      case Op.GE:
      case Op.EQ:
      case Op.NE:
        top -= 1;
        stack[top] = compare(code[at]!, stack[top]!, stack[top + 1]!);
        break;
      case Op.IF:
        top -= 2;
        stack[top] = Number.isNaN(stack[top]!) ? Number.NaN : stack[top] !== 0 ? stack[top + 1]! : stack[top + 2]!;
        break;
      case Op.FIRST:
        top -= 1;
        if (Number.isNaN(stack[top]!)) stack[top] = stack[top + 1]!;
        break;
      case Op.MIN:
        top -= 1;
        stack[top] = Math.min(stack[top]!, stack[top + 1]!);
        break;
      case Op.MAX:
        top -= 1;
        stack[top] = Math.max(stack[top]!, stack[top + 1]!);
        break;
      default:
        stack[top] = unary(code[at]!, stack[top]!);
    }
    at += 1;
  }
  // Minus zero is a trap of the arithmetic, not an answer.
  return stack[0] === 0 ? 0 : stack[0]!;
}

function compare(op: number, a: number, b: number): number {
  if (Number.isNaN(a) || Number.isNaN(b)) return Number.NaN;
  switch (op) {
    case Op.LT:
      return a < b ? 1 : 0;
    case Op.LE:
      return a <= b ? 1 : 0;
    case Op.GT:
      return a > b ? 1 : 0;
    case Op.GE:
      return a >= b ? 1 : 0;
    case Op.EQ:
      return a === b ? 1 : 0;
    default:
      return a !== b ? 1 : 0;
  }
}

function unary(op: number, x: number): number {
  switch (op) {
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
      return Math.round(x);
    case Op.FLOOR:
      return Math.floor(x);
    default:
      return Math.ceil(x);
  }
}
