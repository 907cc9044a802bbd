/**
 * The text of a formula → mathjs's tree, of which only a few kinds of node are let in. Nothing of mathjs is ever evaluated: what stands
 * here says what is refused, and in which words.
 */
import { createRequire } from 'node:module';
import type { MathNode, parse as Parse } from 'mathjs';
import { Op, takesTwo } from './tape.ts';
import { type Dims, isUnitName, NONE, powerDims, timesDims, type Unit, unit } from './units.ts';

// The parser out of mathjs's own single file: 0.12 s to load, where its 600 modules take 0.6 s (their parser alone cannot be had).
const { parse } = createRequire(import.meta.url)('mathjs/lib/browser/math.js') as { readonly parse: typeof Parse };

/** Caps on a club's sheet; a bench hands in larger ones. */
export interface Caps {
  readonly bytes: number;
  readonly cells: number;
  readonly characters: number;
  readonly nodes: number;
  readonly depth: number;
  readonly points: number;
}
export const CAPS: Caps = { bytes: 32 * 1024, cells: 300, characters: 400, nodes: 150, depth: 20, points: 200 };

/** What is wrong with a formula, as a sentence that goes behind file and line. */
export class FormulaError extends Error {
  constructor(
    reason: string,
    /** It only follows from a fault that is told already: a name whose own line is wrong. */
    readonly follows = false,
  ) {
    super(reason);
  }
}
export const refuse = (reason: string): never => {
  throw new FormulaError(reason);
};

/** A node of mathjs, as far as it is looked at here. */
export interface Loose {
  readonly type: string;
  readonly name: string;
  readonly op: string;
  readonly fn: string;
  readonly implicit?: boolean;
  readonly value: unknown;
  readonly args: readonly MathNode[];
  readonly content: MathNode;
  readonly object: MathNode;
  readonly index: MathNode;
}

export function parseFormula(text: string, caps: Caps): MathNode {
  if (text.length > caps.characters) return refuse(`a formula may have ${caps.characters} characters`);
  const spelt = text.replace(/[×·]/g, '*').replaceAll('÷', '/').replaceAll('−', '-').replaceAll('π', ' pi ').trim();
  if (spelt === '') return refuse('the formula is empty');
  if (spelt.includes('%')) return refuse('% does not stand in a formula: write 0.01, or a share');
  const strange = /[^A-Za-z0-9_.,+\-*/^()<>=!{}: \tΩ]/u.exec(spelt);
  if (strange) return refuse(`"${strange[0]}" does not stand in a formula`);
  if (/(?<![A-Za-z0-9_])_/.test(spelt)) return refuse('a name does not start with _');
  if (/(?<![A-Za-z0-9_.])0[xob]/i.test(spelt)) return refuse('numbers are written in tens: 16, not 0x10');
  let depth = 0;
  for (const sign of spelt) {
    if (sign === '(' || sign === '{') depth += 1;
    if (sign === ')' || sign === '}') depth -= 1;
    if (depth > caps.depth) return refuse(`a formula may have brackets ${caps.depth} deep`);
  }
  // Every sign could be a level of the parser's recursion ("----…1", "2^2^2…"); 400 of them are harmless, a bench's formula is our own.
  let node: MathNode;
  try {
    node = parse(spelt);
  } catch (error) {
    return refuse(`this is no formula (${(error as Error).message.slice(0, 80)})`);
  }
  let nodes = 0;
  let keys = 0;
  node.traverse((part) => {
    nodes += 1;
    if (part.type === 'ObjectNode') keys += Object.keys((part as unknown as { properties: object }).properties).length;
  });
  if (nodes > caps.nodes) return refuse(`a formula may have ${caps.nodes} parts`);
  // A colon stands only behind the name of an input; the tree has lost the first of two that are alike.
  if (keys > 0 && keys !== spelt.split(':').length - 1) return refuse('an input of a call is given twice');
  return node;
}

/** How much of the tape's stack a cell's code takes. */
export function stackNeeded(code: readonly number[]): number {
  let [held, most] = [0, 0];
  for (let at = 0; at < code.length; ) {
    const op = code[at]!;
    const pushes = op === Op.CONST || op === Op.CELL || op === Op.FIELD;
    held += pushes ? 1 : op === Op.IF ? -2 : takesTwo(op) ? -1 : 0;
    most = Math.max(most, held);
    at += op === Op.FIELD ? 3 : pushes ? 2 : 1;
  }
  return most;
}

/** Words that the parser takes for operators or constants. */
export const RESERVED = new Set(['and', 'or', 'xor', 'not', 'mod', 'in', 'true', 'false', 'null', 'undefined']);
export const LARGEST_EXPONENT = 12;
export const KEYWORDS = new Set(['if', 'first', 'min', 'max', 'nominal', 'to']);
const ANGLE: Dims = [0, 0, 0, 0, 0, 1];
const same = (dims: Dims): Dims => dims;
const none = (): Dims => NONE;
export const FUNCTIONS: Readonly<Record<string, { op: number; takes?: Dims; gives: (dims: Dims) => Dims }>> = Object.assign(
  Object.create(null),
  {
    sqrt: { op: Op.SQRT, gives: (dims: Dims) => powerDims(dims, 0.5) },
    abs: { op: Op.ABS, gives: same },
    sin: { op: Op.SIN, takes: ANGLE, gives: none },
    cos: { op: Op.COS, takes: ANGLE, gives: none },
    tan: { op: Op.TAN, takes: ANGLE, gives: none },
    asin: { op: Op.ASIN, takes: NONE, gives: () => ANGLE },
    acos: { op: Op.ACOS, takes: NONE, gives: () => ANGLE },
    atan: { op: Op.ATAN, takes: NONE, gives: () => ANGLE },
    exp: { op: Op.EXP, takes: NONE, gives: none },
    ln: { op: Op.LN, takes: NONE, gives: none },
    log10: { op: Op.LOG10, takes: NONE, gives: none },
    round: { op: Op.ROUND, takes: NONE, gives: none },
    floor: { op: Op.FLOOR, takes: NONE, gives: none },
    ceil: { op: Op.CEIL, takes: NONE, gives: none },
  },
);
export const COMPARISONS: Readonly<Record<string, number>> = {
  smaller: Op.LT,
  smallerEq: Op.LE,
  larger: Op.GT,
  largerEq: Op.GE,
  equal: Op.EQ,
  unequal: Op.NE, // biome-ignore format: one line
};
export const REFUSED: Readonly<Record<string, string>> = {
  ArrayNode: 'a list',
  AssignmentNode: 'an =',
  BlockNode: 'a ;',
  ConditionalNode: 'a ?: (write if(…))',
  FunctionAssignmentNode: 'a function of your own',
  IndexNode: 'an index',
  ObjectNode: 'a {…}',
  RangeNode: 'a range',
  RelationalNode: 'a chain of comparisons', // biome-ignore format: a table
};
export const unwrap = (node: MathNode): MathNode => (node.type === 'ParenthesisNode' ? unwrap((node as unknown as Loose).content) : node);
export const functionName = (node: MathNode): string => {
  const fn = (node as unknown as { fn: { name?: string; type?: string } }).fn;
  return typeof fn.name === 'string' && fn.type === 'SymbolNode' ? fn.name : '';
};

/** Units that a formula can write: plain letters only. */
export const formulaUnit = (name: string): Unit | undefined => (name === 'rev' ? unit('turn') : isUnitName(name) ? unit(name) : undefined);

export function isUnitOnly(node: MathNode): boolean {
  const is = node as unknown as Loose;
  if (node.type === 'SymbolNode') return formulaUnit(is.name) !== undefined;
  if (node.type === 'ParenthesisNode') return isUnitOnly(is.content) && unwrap(is.content).type === 'OperatorNode';
  if (node.type !== 'OperatorNode') return false;
  if (is.fn === 'pow') return isUnitOnly(is.args[0]!) && Math.abs(literalNumber(is.args[1]!) ?? Number.NaN) <= LARGEST_EXPONENT;
  return (is.fn === 'multiply' || is.fn === 'divide') && is.args.every(isUnitOnly);
}
export function unitOnly(node: MathNode): { dims: Dims; factor: number } {
  const is = node as unknown as Loose;
  if (node.type === 'SymbolNode') return formulaUnit(is.name)!;
  if (node.type === 'ParenthesisNode') return unitOnly(is.content);
  const left = unitOnly(is.args[0]!);
  if (is.fn === 'pow') {
    const n = literalNumber(is.args[1]!)!;
    return { dims: powerDims(left.dims, n), factor: left.factor ** n };
  }
  const right = unitOnly(is.args[1]!);
  const sign = is.fn === 'multiply' ? 1 : -1;
  return { dims: timesDims(left.dims, right.dims, sign), factor: left.factor * right.factor ** sign };
}
/** Is the leftmost thing a number with a unit? Then "/s^2" or "*m" behind it is part of that unit. */
export function startsWithLiteral(node: MathNode): boolean {
  const is = node as unknown as Loose;
  if (node.type === 'ConstantNode') return true;
  if (node.type !== 'OperatorNode') return false;
  if (is.implicit) return true;
  return (is.fn === 'multiply' || is.fn === 'divide') && isUnitOnly(is.args[1]!) && startsWithLiteral(is.args[0]!);
}
/** A number as written, with its minus; an exponent may be a fraction: `^(1/2)`. */
export function literalNumber(node: MathNode, withFractions = true): number | undefined {
  const is = unwrap(node) as unknown as Loose;
  if (is.type === 'ConstantNode') return typeof is.value === 'number' && Number.isFinite(is.value) ? is.value : undefined;
  if (is.type !== 'OperatorNode') return undefined;
  const [left, right] = is.args.map((arg) => literalNumber(arg, withFractions));
  if (left === undefined) return undefined;
  if (is.fn === 'unaryMinus') return -left;
  return withFractions && is.fn === 'divide' && right !== undefined ? left / right : undefined;
}
