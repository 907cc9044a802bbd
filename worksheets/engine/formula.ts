/**
 * Formula text → tape code, with dimensions checked. formula-tree.ts parses and refuses; here what is left becomes the flat program that
 * tape.ts runs.
 */
import type { MathNode } from 'mathjs';
import type { Formula, InputSpecs, Spec } from '../../calc/formula.ts';
import { type CellType, misfit, numberType, resultType, sameType, typeInWords } from './cell-types.ts';
import {
  CAPS,
  type Caps,
  COMPARISONS,
  FormulaError,
  FUNCTIONS,
  formulaUnit,
  functionName,
  isUnitOnly,
  KEYWORDS,
  LARGEST_EXPONENT,
  type Loose,
  literalNumber,
  parseFormula,
  REFUSED,
  RESERVED,
  refuse,
  stackNeeded,
  startsWithLiteral,
  unitOnly,
  unwrap,
} from './formula-tree.ts';
import { toCamel, toSnake } from './names.ts';
import { nearest } from './problem.ts';
import { type Call, Op, STACK, type Tape } from './tape.ts';
import { type Dims, dimsInWords, isNumber, isUnitName, NONE, powerDims, sameDims, timesDims } from './units.ts';

export { type CellType, type ListType, type PartType, typeInWords } from './cell-types.ts';
export { CAPS, type Caps, FormulaError, parseFormula } from './formula-tree.ts';
export { toCamel, toSnake };

interface Cell {
  readonly name: string;
  readonly type: CellType;
  readonly slot: number;
}

/** Gathers the cells of one sheet in the order of computation and turns them into a tape. */
export class TapeBuilder {
  readonly #cells = new Map<string, Cell>();
  readonly #types: CellType[] = [];
  readonly #code: number[] = [];
  readonly #constants: number[] = [];
  readonly #constantAt = new Map<number, number>();
  readonly #start: number[] = [];
  readonly #calls: (Call | undefined)[] = [];
  readonly #fields: string[] = [];
  readonly #reads: Set<number>[] = [];
  readonly #still = new Set<number>();
  readonly #broken = new Set<string>();
  #readings = 0;

  constructor(
    private readonly formulas: ReadonlyMap<string, Formula>,
    private readonly caps: Caps = CAPS,
  ) {}

  get count(): number {
    return this.#types.length;
  }
  cell(name: string): Cell | undefined {
    return this.#cells.get(name);
  }
  names(): readonly string[] {
    return [...this.#cells.keys()];
  }

  /** The line of this name is wrong, which has been told: what uses it is not told too. */
  broken(name: string): void {
    if (!this.#cells.has(name)) this.#broken.add(name);
  }
  isBroken(name: string): boolean {
    return this.#broken.has(name);
  }
  /** There is no such cell: refuses with the likely name. */
  noCell(name: string, where = ''): never {
    if (this.#broken.has(name)) throw new FormulaError(`${name} is wrong`, true);
    const like = nearest(name, this.#cells.keys());
    return refuse(`there is no cell ${name.slice(0, 40)}${like ? `; did you mean ${like}?` : where}`);
  }

  /** A cell set from outside. All readings come before the first working. */
  reading(name: string, type: CellType): number {
    const slot = this.#add(name, type);
    this.#readings = slot + 1;
    this.#start[slot] = 0;
    return slot;
  }

  /** A named working. */
  working(name: string, text: string): number {
    const { type, slot } = this.#formula(text);
    this.#checkName(name);
    this.#cells.set(name, { name, type, slot });
    return slot;
  }

  /** A working without a name: a band's end, a curve's bound, a condition. */
  unnamed(text: string): { readonly slot: number; readonly type: CellType } {
    return this.#formula(text);
  }

  build(): Tape {
    const slots = this.#types.length;
    const readers: number[][] = Array.from({ length: slots }, () => []);
    this.#reads.forEach((reads, slot) => {
      for (const read of reads) readers[read]!.push(slot);
    });
    return {
      slots,
      readings: this.#readings,
      code: Int32Array.from(this.#code),
      constants: Float64Array.from(this.#constants),
      start: Int32Array.from([...this.#start, this.#code.length]),
      calls: this.#calls,
      fields: this.#fields,
      readers,
      still: [...this.#still],
    };
  }

  #checkName(name: string): void {
    if (!/^[a-z][a-z0-9_]{0,31}$/.test(name))
      refuse(`"${name.slice(0, 40)}" is no name for a cell: small letters, digits and _, at most 32`);
    if (isUnitName(name) || name === 'rev' || name === 'pi') refuse(`a cell may not be called like the unit or constant ${name}`);
    if (name in FUNCTIONS || KEYWORDS.has(name)) refuse(`a cell may not be called like the function ${name}`);
    if (RESERVED.has(name)) refuse(`a cell may not be called ${name}: formulas read that as something else`);
    if (this.#cells.has(name) || this.#broken.has(name)) refuse(`${name} is there already`);
  }

  #add(name: string | undefined, type: CellType): number {
    if (name !== undefined) this.#checkName(name);
    const slot = this.#types.length;
    if (slot >= this.caps.cells) refuse(`a sheet may have ${this.caps.cells} cells`);
    this.#types.push(type);
    this.#calls.push(undefined);
    this.#reads.push(new Set());
    if (name !== undefined) this.#cells.set(name, { name, type, slot });
    return slot;
  }

  #formula(text: string): { type: CellType; slot: number } {
    const node = parseFormula(text, this.caps);
    // A bare call, or a bare field of one, is not copied into a cell of its own: the name stands for it.
    const alias = this.#reference(node);
    if (alias) return alias;
    return this.#numeric(node);
  }

  /** Emits the code of a numeric expression and gives it a slot. Calls inside it come first, into slots of their own. */
  #numeric(node: MathNode): { type: CellType; slot: number } {
    const code: number[] = [];
    const reads = new Set<number>();
    const type = this.#emit(node, code, reads);
    if (stackNeeded(code) > STACK) refuse('this formula holds too much at once: split it into workings');
    const slot = this.#add(undefined, type);
    this.#start[slot] = this.#code.length;
    this.#code.push(...code);
    for (const read of reads) this.#reads[slot]!.add(read);
    return { type, slot };
  }

  /** `name`, `call()` or `call().field` standing alone and holding something other than a number: passed on whole. */
  #reference(node: MathNode): { type: CellType; slot: number } | undefined {
    const bare = unwrap(node);
    if (bare.type === 'FunctionNode' && !(functionName(bare) in FUNCTIONS) && !KEYWORDS.has(functionName(bare))) return this.#call(bare);
    if (bare.type === 'SymbolNode') {
      const cell = this.#cells.get((bare as unknown as { name: string }).name);
      if (cell && cell.type.kind !== 'number' && cell.type.kind !== 'flag') return cell;
    }
    return undefined;
  }

  /** A call of calc, in a slot of its own. */
  #call(node: MathNode): { type: CellType; slot: number } {
    const name = functionName(node);
    if (name === '') return refuse('only functions with a name of their own are called');
    const formula = this.formulas.get(name);
    if (!formula) {
      const like = nearest(name, [...Object.keys(FUNCTIONS), ...this.formulas.keys()]);
      return refuse(`there is no function ${name}${like ? `; did you mean ${like}?` : ''}`);
    }
    const given = this.#givenInputs(node, name, formula.inputs);
    const inputs: { name: string; slot: number; as: 'number' | 'flag' | 'other'; optional: boolean }[] = [];
    for (const [input, spec] of Object.entries(formula.inputs)) {
      const cellName = toSnake(input);
      const cell = given.get(cellName) ?? this.#cells.get(cellName);
      const isOptional = spec.kind === 'optional';
      if (!cell) {
        if (isOptional && !this.#broken.has(cellName)) continue;
        throw new FormulaError(`${name}() needs a cell ${cellName}`, this.#broken.has(cellName));
      }
      const wrong = misfit(cell.type, isOptional ? spec.of : (spec as Spec));
      if (wrong) return refuse(`${name}() takes ${cellName} as ${wrong}`);
      const as = cell.type.kind === 'number' ? 'number' : cell.type.kind === 'flag' ? 'flag' : 'other';
      inputs.push({ name: input, slot: cell.slot, as, optional: isOptional });
    }
    const slot = this.#add(undefined, resultType(formula.results));
    this.#start[slot] = this.#code.length;
    this.#calls[slot] = { formula: name, inputs };
    for (const input of inputs) this.#reads[slot]!.add(input.slot);
    return { type: this.#types[slot]!, slot };
  }

  /** The object literal of a call: `top_speed({pinion: other, cells: 2 * cells})`. */
  #givenInputs(node: MathNode, name: string, inputs: InputSpecs): Map<string, { type: CellType; slot: number }> {
    const args = (node as unknown as { args: MathNode[] }).args;
    const given = new Map<string, { type: CellType; slot: number }>();
    if (args.length === 0) return given;
    const literal = unwrap(args[0]!);
    if (args.length > 1 || literal.type !== 'ObjectNode') return refuse(`${name}() takes nothing, or one {name: value, …}`);
    for (const [key, value] of Object.entries((literal as unknown as { properties: Record<string, MathNode> }).properties)) {
      if (!Object.hasOwn(inputs, toCamel(key)) || toSnake(toCamel(key)) !== key) {
        const like = nearest(key, Object.keys(inputs).map(toSnake));
        refuse(`${name}() has no input ${key}${like ? `; did you mean ${like}?` : ''}`);
      }
      given.set(key, this.#reference(value) ?? this.#cellOf(value) ?? this.#numeric(value));
    }
    return given;
  }
  #cellOf(node: MathNode): Cell | undefined {
    const bare = unwrap(node);
    return bare.type === 'SymbolNode' ? this.#cells.get((bare as unknown as { name: string }).name) : undefined;
  }

  #emit(node: MathNode, code: number[], reads: Set<number>): CellType {
    const is = node as unknown as Loose;
    switch (node.type) {
      case 'ParenthesisNode':
        return this.#emit(is.content, code, reads);
      case 'ConstantNode':
        if (typeof is.value !== 'number' || !Number.isFinite(is.value)) return refuse('only numbers stand in a formula');
        code.push(Op.CONST, this.#constant(is.value));
        return numberType(NONE);
      case 'SymbolNode':
        return this.#symbol(is.name, code, reads);
      case 'OperatorNode':
        return this.#operator(is, code, reads);
      case 'FunctionNode':
        return this.#function(node, code, reads);
      case 'AccessorNode':
        return this.#accessor(is, code, reads);
      default:
        return refuse(`${REFUSED[node.type] ?? 'something'} does not stand in a formula`);
    }
  }

  #constant(value: number): number {
    const known = this.#constantAt.get(value);
    if (known !== undefined) return known;
    this.#constants.push(value);
    this.#constantAt.set(value, this.#constants.length - 1);
    return this.#constants.length - 1;
  }

  #symbol(name: string, code: number[], reads: Set<number>): CellType {
    const cell = this.#cells.get(name);
    if (cell) {
      if (cell.type.kind !== 'number' && cell.type.kind !== 'flag') return refuse(`${name} is no number: only numbers go into arithmetic`);
      code.push(Op.CELL, cell.slot);
      reads.add(cell.slot);
      return cell.type;
    }
    if (name === 'pi' || name === 'π') {
      code.push(Op.CONST, this.#constant(Math.PI));
      return numberType(NONE);
    }
    const as = formulaUnit(name);
    if (as) return refuse(`the unit ${name} stands only behind a number: "1 ${name}"`);
    return this.noCell(name, ' above this line');
  }

  #operator(is: Loose, code: number[], reads: Set<number>): CellType {
    const args = is.args;
    if (is.fn === 'unaryMinus') {
      const type = this.#number(args[0]!, code, reads, 'a minus');
      code.push(Op.NEG);
      return type;
    }
    if (is.fn === 'to') return is.op === 'to' ? this.#to(args, code, reads) : refuse('write "to" in front of a unit, not "in"');
    if (is.implicit) return this.#literal(is, code);
    const compare = COMPARISONS[is.fn];
    if (compare !== undefined) {
      this.#same(args, code, reads, `the two sides of ${is.op}`);
      code.push(compare);
      return { kind: 'flag' };
    }
    switch (is.fn) {
      case 'add':
      case 'subtract': {
        const [left] = this.#same(args, code, reads, `the two sides of ${is.op}`);
        code.push(is.fn === 'add' ? Op.ADD : Op.SUB);
        return numberType(left!);
      }
      case 'multiply':
      case 'divide': {
        if (isUnitOnly(args[1]!)) {
          const right = unitOnly(args[1]!);
          const left = this.#number(args[0]!, code, reads, is.op).dims;
          if (!startsWithLiteral(args[0]!))
            return refuse(`the unit ${(unwrap(args[1]!) as unknown as Loose).name ?? ''} stands only behind a number`);
          code.push(Op.CONST, this.#constant(right.factor), is.fn === 'multiply' ? Op.MUL : Op.DIV);
          return numberType(timesDims(left, right.dims, is.fn === 'multiply' ? 1 : -1));
        }
        if (is.fn === 'divide' && (args[1] as unknown as Loose).implicit)
          return refuse('"a / 2 mm" can be read two ways: write a / (2 mm) or (a / 2) * 1 mm');
        const left = this.#number(args[0]!, code, reads, is.op).dims;
        const right = this.#number(args[1]!, code, reads, is.op).dims;
        code.push(is.fn === 'multiply' ? Op.MUL : Op.DIV);
        return numberType(timesDims(left, right, is.fn === 'multiply' ? 1 : -1));
      }
      case 'pow': {
        const base = this.#number(args[0]!, code, reads, '^').dims;
        if (isNumber(base)) {
          const exponent = this.#number(args[1]!, code, reads, '^').dims;
          if (!isNumber(exponent)) return refuse('an exponent is a plain number');
          code.push(Op.POW);
          return numberType(NONE);
        }
        const power = literalNumber(args[1]!);
        if (power === undefined) return refuse('a quantity with a unit takes a written number as its exponent');
        if (!(Math.abs(power) <= LARGEST_EXPONENT)) return refuse(`the exponent of a quantity with a unit is at most ${LARGEST_EXPONENT}`);
        code.push(Op.CONST, this.#constant(power), Op.POW);
        return numberType(powerDims(base, power));
      }
      default:
        return refuse(`${is.op} does not stand in a formula`);
    }
  }

  /** A number with its unit: `2 mm`, `9.8 m`. What follows a slash ("9.8 m/s^2") is taken in by #operator. */
  #literal(is: Loose, code: number[]): CellType {
    const [first, symbol] = is.args as [MathNode, MathNode];
    // "-2 mm" comes as (-2) mm.
    const number = first.type === 'ParenthesisNode' ? undefined : literalNumber(first, false);
    if (number === undefined) return refuse('write every × : names and brackets that stand side by side are not multiplied');
    if (!isUnitOnly(symbol)) return refuse('write every × : a number and a name that stand side by side are not multiplied');
    const as = unitOnly(symbol);
    const value = number * as.factor;
    if (!Number.isFinite(value)) return refuse('this number is too large');
    code.push(Op.CONST, this.#constant(value));
    return numberType(as.dims);
  }

  #to(args: readonly MathNode[], code: number[], reads: Set<number>): CellType {
    if (!isUnitOnly(args[1]!)) return refuse('behind "to" stands a unit');
    const wanted = unitOnly(args[1]!);
    const type = this.#number(args[0]!, code, reads, 'to');
    if (!sameDims(type.dims, wanted.dims)) return refuse(`this is ${dimsInWords(type.dims)}, not ${dimsInWords(wanted.dims)}`);
    return type;
  }

  #number(node: MathNode, code: number[], reads: Set<number>, where: string): { readonly kind: 'number'; readonly dims: Dims } {
    const type = this.#emit(node, code, reads);
    return type.kind === 'number' ? type : refuse(`${where} takes numbers, not yes or no`);
  }

  #same(args: readonly MathNode[], code: number[], reads: Set<number>, what: string): Dims[] {
    const dims = args.map((arg) => this.#number(arg, code, reads, what).dims);
    for (const other of dims) if (!sameDims(dims[0]!, other)) refuse(`${what} differ: ${dimsInWords(dims[0]!)} and ${dimsInWords(other)}`);
    return dims;
  }

  #function(node: MathNode, code: number[], reads: Set<number>): CellType {
    const name = functionName(node);
    const { args } = node as unknown as Loose;
    const one = FUNCTIONS[name];
    if (one) {
      if (args.length !== 1) return refuse(`${name}( ) takes one number`);
      const { dims } = this.#number(args[0]!, code, reads, `${name}( )`);
      if (one.takes && !sameDims(dims, one.takes)) return refuse(`${name}( ) takes ${dimsInWords(one.takes)}, not ${dimsInWords(dims)}`);
      code.push(one.op);
      return numberType(one.gives(dims));
    }
    switch (name) {
      case 'if': {
        if (args.length !== 2 && args.length !== 3) return refuse('if( ) takes a condition, a value and, if there is one, another value');
        if (this.#emit(args[0]!, code, reads).kind !== 'flag') return refuse('the first thing in if( ) is a comparison or a yes/no');
        const type = this.#emit(args[1]!, code, reads);
        if (args.length === 2) code.push(Op.CONST, this.#constant(Number.NaN));
        else {
          const other = this.#emit(args[2]!, code, reads);
          if (!sameType(type, other)) return refuse(`the two values of if( ) differ: ${typeInWords(type)} and ${typeInWords(other)}`);
        }
        code.push(Op.IF);
        return type;
      }
      case 'first':
      case 'min':
      case 'max': {
        if (args.length < 2) return refuse(`${name}( ) takes two values or more`);
        const op = name === 'first' ? Op.FIRST : name === 'min' ? Op.MIN : Op.MAX;
        const dims = this.#number(args[0]!, code, reads, `${name}( )`).dims;
        for (const arg of args.slice(1)) {
          const other = this.#number(arg, code, reads, `${name}( )`).dims;
          if (!sameDims(dims, other)) return refuse(`the values of ${name}( ) differ: ${dimsInWords(dims)} and ${dimsInWords(other)}`);
          code.push(op);
        }
        return numberType(dims);
      }
      case 'nominal': {
        if (args.length !== 1) return refuse('nominal( ) takes one value');
        const still = this.#numeric(args[0]!);
        this.#still.add(still.slot);
        code.push(Op.CELL, still.slot);
        reads.add(still.slot);
        return still.type;
      }
      default: {
        const called = this.#call(node);
        if (called.type.kind !== 'number' && called.type.kind !== 'flag')
          return refuse(`${name}() has several results: write ${name}().name`);
        code.push(Op.CELL, called.slot);
        reads.add(called.slot);
        return called.type;
      }
    }
  }

  #accessor(is: Loose, code: number[], reads: Set<number>): CellType {
    const { type, slot, field } = this.field(is as unknown as MathNode);
    if (type.kind !== 'number' && type.kind !== 'flag') return refuse(`${field} is no number: only numbers go into arithmetic`);
    this.#fields.push(toCamel(field));
    code.push(Op.FIELD, slot, this.#fields.length - 1);
    reads.add(slot);
    return type;
  }

  /** `run.plan`: the call's slot and the result's name. */
  field(node: MathNode): { type: CellType; slot: number; field: string } {
    const is = unwrap(node) as unknown as Loose;
    const index = is.index as unknown as { dotNotation?: boolean; dimensions: MathNode[] } | undefined;
    const key = index?.dimensions[0] as unknown as Loose | undefined;
    if (!index?.dotNotation || index.dimensions.length !== 1 || key?.type !== 'ConstantNode' || typeof key.value !== 'string')
      return refuse('only .name of a call stands in a formula');
    const object = unwrap(is.object);
    const name = object.type === 'SymbolNode' ? (object as unknown as Loose).name : '';
    if (this.#broken.has(name)) return this.noCell(name);
    const call = object.type === 'FunctionNode' ? this.#call(object) : this.#cells.get(name);
    if (call?.type.kind !== 'record') return refuse(`only a call that gives several results has .${String(key.value)}`);
    const field = String(key.value);
    const type = Object.hasOwn(call.type.fields, field) ? call.type.fields[field] : undefined;
    if (!type) {
      const like = nearest(field, Object.keys(call.type.fields));
      return refuse(`that call has no result ${field}${like ? `; did you mean ${like}?` : ''}`);
    }
    return { type, slot: call.slot, field };
  }

  /** For answers that are words or tables: the field of a call as text in the sheet, `run.plan`. */
  wholeField(text: string): { type: CellType; slot: number; field: string | null } {
    const node = parseFormula(text, this.caps);
    if (unwrap(node).type === 'AccessorNode') return this.field(node);
    const alias = this.#reference(node) ?? this.#cellOf(node);
    return alias ? { ...alias, field: null } : refuse('a name or a .name of a call stands here');
  }
}
