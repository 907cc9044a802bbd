/** What a sheet is once its page has been read: plain, readonly data and a tape, ready to answer. */
import type { Formula } from '../../calc/formula.ts';
import { type Caps, type CellType, FormulaError, type TapeBuilder } from './formula.ts';
import type { Quantity } from './quantity.ts';
import type { Tape } from './tape.ts';
import type { Unit } from './units.ts';

export interface Fault {
  readonly line: number;
  readonly reason: string;
}

/** A wrong sheet: every fault with its line. */
export class SheetError extends Error {
  override readonly name = 'SheetError';
  constructor(
    readonly file: string,
    readonly faults: readonly Fault[],
  ) {
    super(faults.map(({ line, reason }) => `${file}:${line}: ${reason}`).join('\n'));
  }
}

/** A number, or a cell that holds one. */
export type Amount = { readonly si: number } | { readonly slot: number };

export interface PartSpec {
  readonly name: string;
  readonly kind: string;
  readonly unit: Unit | null;
  readonly min?: number;
  readonly max?: number;
  readonly word?: string;
  readonly several?: boolean;
}

export interface ReadingSpec {
  readonly name: string;
  readonly label: string;
  readonly slot: number;
  readonly type: CellType;
  /** The kind of quantity, for numbers. */
  readonly kind: string;
  readonly unit: Unit | null;
  readonly min?: number;
  readonly max?: number;
  readonly whole?: boolean;
  /** It is decided, not measured: a target, a limit. Its last digit says nothing of how well it is known. */
  readonly chosen?: boolean;
  readonly said?: readonly string[];
  readonly required: boolean;
  readonly default?: Quantity | string | boolean;
  /** Standard uncertainty of a reading without its own ±. */
  readonly step?: Amount;
  readonly plusMinus?: Amount;
  /** Adds to it in any case (`sd`). */
  readonly sd?: Amount;
  readonly parts?: readonly PartSpec[];
  readonly atLeast?: number;
  readonly exactly?: number;
  readonly line: number;
}

export interface AnswerSpec {
  readonly name: string;
  readonly label: string;
  readonly slot: number;
  /** The result's name when the answer is a word of a call's record. */
  readonly field: string | null;
  readonly type: CellType;
  readonly unit: Unit | null;
  /** A whole number by its nature (a count of teeth), which carries no ±. */
  readonly whole?: boolean;
  readonly band?: readonly [Amount, Amount];
  /** An uncertainty of the answer's own (the fit's standard error). */
  readonly sd?: Amount;
  /** A word of a call that is the verdict ("faster"), where no band gives it. */
  readonly verdict?: { readonly slot: number; readonly field: string | null };
  /** Of a truck that is not there yet: no other sheet reads it. */
  readonly planned?: boolean;
  readonly line: number;
}

export interface CurveSpec {
  readonly answers: readonly { readonly name: string; readonly slot: number; readonly unit: Unit | null; readonly column?: string }[];
  readonly over: string;
  readonly unit: Unit | null;
  /** Over a reading … */
  readonly from?: Amount;
  readonly to?: Amount;
  readonly by?: Amount;
  /** … or over a column of the table that a call gives. */
  readonly table?: { readonly slot: number; readonly field: string; readonly column: string };
}

export type Condition =
  | { readonly kind: 'always' }
  | { readonly kind: 'flag'; readonly slot: number; readonly not: boolean }
  | { readonly kind: 'verdict'; readonly answer: string; readonly is: string };
export interface LineSpec {
  readonly when: readonly Condition[];
  readonly parts: readonly (
    | string
    | {
        readonly slot: number;
        readonly field: string | null;
        readonly unit: Unit | null;
        readonly type: CellType;
        readonly whole?: boolean;
      }
  )[];
}

export type PagePart = { readonly kind: 'prose'; readonly markdown: string } | { readonly kind: 'block'; readonly block: BlockName };
export const BLOCKS = ['readings', 'workings', 'answers', 'curve', 'cautions', 'next'] as const;
export type BlockName = (typeof BLOCKS)[number];

export interface Sheet {
  readonly name: string;
  readonly title: string;
  readonly summary: string;
  /** Its place on the shelf: the folder it lies in. */
  readonly group: string;
  /** Treats one end of the truck: a reading x is the fact front_x or rear_x. */
  readonly ends: boolean;
  readonly quick: readonly string[];
  readonly hero: string;
  /** Questions in plain words that this sheet answers, for /help. */
  readonly asks: readonly string[];
  /** One of the few that a newcomer sees first. */
  readonly first: boolean;
  /** Readings of an example, as typed: shown in help, drawn by `npm run cards`. */
  readonly example: Readonly<Record<string, string>>;
  readonly readings: readonly ReadingSpec[];
  readonly exactlyOne: readonly (readonly string[])[];
  readonly answers: readonly AnswerSpec[];
  readonly curves: readonly CurveSpec[];
  readonly cautions: readonly LineSpec[];
  readonly next: readonly LineSpec[];
  /** Workings as written, for the page. */
  readonly workings: readonly { readonly name: string; readonly text: string }[];
  readonly page: readonly PagePart[];
  readonly tape: Tape;
  readonly formulas: ReadonlyMap<string, Formula>;
  readonly caps: Caps;
}

/** One line of a block, with its number in the file and the label behind ` -- `. */
export interface Line {
  readonly number: number;
  readonly text: string;
  readonly label: string;
}
export type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** What the readers of a page share while they read it: the tape as it grows, and every fault found so far. */
export class Desk {
  readonly faults: Fault[] = [];
  /** Answers whose own line is wrong: what uses them is not told too. */
  readonly brokenAnswers = new Set<string>();

  constructor(
    readonly file: string,
    readonly build: TapeBuilder,
    readonly caps: Caps,
  ) {}

  fault(line: number, reason: string): void {
    this.faults.push({ line, reason });
  }
  /** For a page of which nothing more can be read. */
  stop(line: number, reason: string): SheetError {
    return new SheetError(this.file, [...this.faults, { line, reason }]);
  }
  /** Does one line's work; what is wrong with it is noted, and the next line is read. True when it went well. */
  attempt(line: Line, work: () => void): boolean {
    try {
      work();
      return true;
    } catch (error) {
      if (!(error instanceof FormulaError)) throw error;
      if (!error.follows) this.fault(line.number, error.message);
      return false;
    }
  }
  /** The same for a line that makes the cell it starts with: what uses that cell is not told too. */
  attemptCell(line: Line, work: () => void): void {
    const name = /^[a-z][a-z0-9_]*/.exec(line.text)?.[0];
    if (!this.attempt(line, work) && name !== undefined) this.build.broken(name);
  }
}
