/**
 * Why a cell is absent: a formula of calc that says so ("never", "parallel"), an optional reading that was not given, or arithmetic without
 * a value (0/0), which is a problem. Traced back through the tape, along the way that the values took.
 */
import { isAbsent } from '../../calc/formula.ts';
import { asNumber, binary, Op, type State, type Tape, takesTwo, unary } from './tape.ts';

export type Cause =
  | { readonly kind: 'absent'; readonly why: string }
  /** The slots of the readings that were not given; none where the sheet itself leaves it out: `if(c, a)` without an else. */
  | { readonly kind: 'missing'; readonly readings: ReadonlySet<number> }
  | { readonly kind: 'no value' };

const NO_VALUE: Cause = { kind: 'no value' };
const LEFT_OUT: Cause = { kind: 'missing', readings: new Set() };

/** Of several causes the one that says most: a reason, then what is missing, then arithmetic. */
function together(causes: readonly (Cause | undefined)[]): Cause {
  const there = causes.filter((cause) => cause !== undefined);
  const absent = there.find(({ kind }) => kind === 'absent');
  if (absent) return absent;
  const missing = there.filter((cause) => cause.kind === 'missing');
  return missing.length === 0 ? NO_VALUE : { kind: 'missing', readings: new Set(missing.flatMap(({ readings }) => [...readings])) };
}

/** Why the number or the word in `slot` is not there. `field`: one result of a call, in calc's spelling. */
export function whyAbsent(tape: Tape, state: State, slot: number, field: string | null = null): Cause {
  const known = new Map<number, Cause>();
  const ofCell = (cell: number): Cause => {
    const cause = known.get(cell) ?? fresh(cell);
    known.set(cell, cause);
    return cause;
  };
  const fresh = (cell: number): Cause => {
    if (cell < tape.readings) return { kind: 'missing', readings: new Set([cell]) };
    return tape.calls[cell] ? ofCall(cell, null) : (fromCode(tape, state, cell, ofCell, ofCall) ?? NO_VALUE);
  };
  const ofCall = (cell: number, result: string | null): Cause => {
    const made = state.others[cell];
    const value = result === null ? made : (made as Record<string, unknown> | undefined)?.[result];
    if (isAbsent(value)) return { kind: 'absent', why: value.absent };
    const lacking = tape.calls[cell]!.inputs.filter(({ slot: input, as }) =>
      as === 'other' ? state.others[input] === undefined : Number.isNaN(state.numbers[input]!),
    );
    // Not called for want of an input, or called and left out: then for want of an optional one, or of its own accord.
    const needed = made === undefined ? lacking.filter(({ optional }) => !optional) : lacking;
    return needed.length === 0 ? LEFT_OUT : together(needed.map(({ slot: input }) => ofCell(input)));
  };
  return field === null ? ofCell(slot) : ofCall(slot, field);
}

/** A cell's code once more, each value with why it is not there; undefined when it is. */
function fromCode(
  tape: Tape,
  state: State,
  cell: number,
  ofCell: (slot: number) => Cause,
  ofCall: (slot: number, field: string) => Cause,
): Cause | undefined {
  const { code, constants, fields } = tape;
  const stack: { value: number; cause: Cause | undefined }[] = [];
  const push = (value: number, why: () => Cause): void => {
    stack.push({ value, cause: Number.isNaN(value) ? why() : undefined });
  };
  for (let at = tape.start[cell]!; at < tape.start[cell + 1]!; at += 1) {
    const op = code[at]!;
    if (op === Op.CONST || op === Op.CELL || op === Op.FIELD) {
      at += 1;
      const slot = code[at]!;
      if (op === Op.CONST) push(constants[slot]!, () => LEFT_OUT);
      else if (op === Op.CELL) push(state.numbers[slot]!, () => ofCell(slot));
      else {
        at += 1;
        const field = fields[code[at]!]!;
        const record = state.others[slot] as Record<string, unknown> | undefined;
        push(record === undefined || isAbsent(record) ? Number.NaN : asNumber(record[field]), () => ofCall(slot, field));
      }
    } else if (op === Op.IF) {
      const [condition, then, otherwise] = stack.splice(-3) as [(typeof stack)[0], (typeof stack)[0], (typeof stack)[0]];
      stack.push(Number.isNaN(condition.value) ? condition : condition.value !== 0 ? then : otherwise);
    } else if (takesTwo(op)) {
      const [a, b] = stack.splice(-2) as [(typeof stack)[0], (typeof stack)[0]];
      push(binary(op, a.value, b.value), () => together([a.cause, b.cause]));
    } else {
      const { value, cause } = stack.pop()!;
      push(unary(op, value), () => cause ?? NO_VALUE);
    }
  }
  return stack[0]!.cause;
}
