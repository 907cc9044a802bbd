/**
 * A sheet's page (CommonMark with a YAML head and fenced blocks) → a `Sheet` ready to answer. NOTATION.md is the reference of the notation.
 *
 * Loading checks everything that can be checked without readings: names, units, dimensions, calls, bands. A wrong sheet is refused with
 * file, line and reason, all of them at once.
 */
import MarkdownIt from 'markdown-it';
import { parse as parseYaml } from 'yaml';
import type { Formula } from '../../calc/formula.ts';
import {
  CAPS,
  type Caps,
  type CellType,
  FormulaError,
  type ListType,
  type PartType,
  TapeBuilder,
  toCamel,
  typeInWords,
} from './formula.ts';
import { nearest } from './problem.ts';
import { type Quantity, readQuantity } from './quantity.ts';
import type { Tape } from './tape.ts';
import { type Dims, dimsInWords, fromSI, kind, kindNames, NONE, sameDims, type Unit, unit } from './units.ts';

/** A wrong sheet: every fault with its line. */
export class SheetError extends Error {
  override readonly name = 'SheetError';
  constructor(
    readonly file: string,
    readonly faults: readonly { readonly line: number; readonly reason: string }[],
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
const BLOCKS = ['readings', 'workings', 'answers', 'curve', 'cautions', 'next'] as const;
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

interface Line {
  readonly number: number;
  readonly text: string;
  readonly label: string;
}

const markdown = new MarkdownIt({ html: false });

/** Reads a sheet's page. Throws SheetError. */
export function loadSheet(
  file: string,
  text: string,
  { formulas, group = 'club', caps = CAPS }: { formulas: ReadonlyMap<string, Formula>; group?: string; caps?: Caps },
): Sheet {
  return new Loader(file, text, formulas, group, caps).load();
}

class Loader {
  readonly #faults: { line: number; reason: string }[] = [];
  readonly #build: TapeBuilder;

  constructor(
    private readonly file: string,
    private readonly text: string,
    private readonly formulas: ReadonlyMap<string, Formula>,
    private readonly group: string,
    private readonly caps: Caps,
  ) {
    this.#build = new TapeBuilder(formulas, caps);
  }

  load(): Sheet {
    if (Buffer.byteLength(this.text) > this.caps.bytes) throw this.#stop(1, `a sheet may have ${this.caps.bytes / 1024} KiB`);
    const { head, body, bodyLine } = this.#head();
    const { blocks, page } = this.#blocks(body, bodyLine);
    const { readings, exactlyOne } = this.#readings(blocks.get('readings') ?? []);
    const workings = this.#workings(blocks.get('workings') ?? []);
    const answers = this.#answers(blocks.get('answers') ?? []);
    if (this.#faults.length === 0 && answers.length === 0) this.#fault(1, 'a sheet has at least one answer');
    const curves = this.#curves(blocks.get('curve') ?? [], readings, answers);
    const cautions = this.#sentences(blocks.get('cautions') ?? [], answers);
    const next = this.#sentences(blocks.get('next') ?? [], answers);
    for (const reading of readings) this.#default(reading);
    const known = new Set(readings.map(({ name }) => name));
    for (const name of [...head.quick, ...Object.keys(head.example)])
      if (!known.has(name)) this.#fault(1, `the head names a reading ${name} that is not there`);
    if (head.hero && !answers.some(({ name }) => name === head.hero))
      this.#fault(1, `the head names an answer ${head.hero} that is not there`);
    if (this.#faults.length > 0) throw new SheetError(this.file, this.#faults);
    return {
      ...head,
      hero: head.hero || answers[0]!.name,
      group: this.group,
      readings: readings.map((raw) => raw as ReadingSpec),
      exactlyOne,
      answers,
      curves,
      cautions,
      next,
      workings,
      page,
      tape: this.#build.build(),
      formulas: this.formulas,
      caps: this.caps,
    };
  }

  #fault(line: number, reason: string): void {
    this.#faults.push({ line, reason });
  }
  #stop(line: number, reason: string): SheetError {
    return new SheetError(this.file, [...this.#faults, { line, reason }]);
  }
  /** Runs one line's work; what is wrong with it is noted and the next line is read. */
  #attempt<T>(line: number, work: () => T): T | undefined {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof FormulaError)) throw error;
      this.#fault(line, error.message);
      return undefined;
    }
  }

  // ── head ────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

  #head() {
    const found = /^---\r?\n([\s\S]*?)\r?\n---\r?\n/.exec(this.text);
    if (!found) throw this.#stop(1, 'a sheet starts with a head between two lines of ---');
    let yaml: unknown;
    try {
      yaml = parseYaml(found[1]!, { schema: 'core', maxAliasCount: 0, logLevel: 'silent' });
    } catch (error) {
      throw this.#stop(2, `the head is no YAML: ${(error as Error).message.split('\n')[0]}`);
    }
    if (typeof yaml !== 'object' || yaml === null || Array.isArray(yaml)) throw this.#stop(2, 'the head is a list of "name: value"');
    const given = yaml as Record<string, unknown>;
    const allowed = ['sheet', 'title', 'summary', 'quick', 'hero', 'ends', 'asks', 'first', 'example'];
    for (const key of Object.keys(given)) {
      if (allowed.includes(key)) continue;
      const like = nearest(key, allowed);
      this.#fault(2, `the head has no ${key.slice(0, 40)}${like ? `; did you mean ${like}?` : ''}`);
    }
    const word = (key: string, most: number, needed = true): string => {
      const value = given[key];
      if (value === undefined && !needed) return '';
      if (typeof value === 'string' && value.trim() !== '' && value.length <= most) return value.trim();
      this.#fault(2, `the head needs ${key}: a text of at most ${most} characters`);
      return '';
    };
    const words = (key: string): string[] => {
      const value = given[key];
      if (value === undefined) return [];
      if (typeof value === 'string') return value.split(/\s+/).filter(Boolean);
      if (Array.isArray(value) && value.every((one) => typeof one === 'string')) return value as string[];
      this.#fault(2, `${key} in the head is a list of texts`);
      return [];
    };
    const name = word('sheet', 32);
    if (name !== '' && !/^[a-z][a-z0-9_]*$/.test(name)) this.#fault(2, `"${name}" is no name for a sheet: small letters, digits and _`);
    const example: Record<string, string> = {};
    if (given.example !== undefined) {
      if (typeof given.example !== 'object' || given.example === null || Array.isArray(given.example))
        this.#fault(2, 'example in the head is "reading: value" lines');
      else for (const [key, value] of Object.entries(given.example)) example[key] = String(value);
    }
    const asks = given.asks === undefined || Array.isArray(given.asks) ? words('asks') : [String(given.asks)];
    return {
      head: {
        name,
        title: word('title', 60),
        summary: word('summary', 100),
        quick: words('quick'),
        hero: word('hero', 32, false),
        ends: given.ends === true,
        first: given.first === true,
        asks,
        example,
      },
      body: this.text.slice(found[0].length),
      bodyLine: found[0].split('\n').length,
    };
  }

  // ── blocks ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────

  #blocks(body: string, bodyLine: number): { blocks: Map<BlockName, Line[]>; page: PagePart[] } {
    const blocks = new Map<BlockName, Line[]>();
    const page: PagePart[] = [];
    const source = body.split(/\r?\n/);
    let proseFrom = 0;
    const prose = (to: number): void => {
      const text = source.slice(proseFrom, to).join('\n').trim();
      if (text !== '') page.push({ kind: 'prose', markdown: text });
    };
    for (const token of markdown.parse(body, {})) {
      if (token.type !== 'fence' || token.level !== 0 || !token.map) continue;
      const info = token.info.trim();
      const name = info as BlockName;
      const [from, to] = token.map;
      if (!BLOCKS.includes(name)) {
        const like = nearest(info, BLOCKS);
        if (info !== '' && like) this.#fault(bodyLine + from, `there is no block ${name}; did you mean ${like}?`);
        continue;
      }
      prose(from);
      proseFrom = to;
      page.push({ kind: 'block', block: name });
      const lines = blocks.get(name) ?? [];
      blocks.set(name, lines);
      token.content.split('\n').forEach((text, i) => {
        if (text.trim() === '' || text.trim().startsWith('#')) return;
        const cut = name === 'next' || name === 'cautions' ? -1 : text.search(/\s--(\s|$)/);
        lines.push({
          number: bodyLine + from + 1 + i,
          text: (cut < 0 ? text : text.slice(0, cut)).trim(),
          label: cut < 0 ? '' : text.slice(cut).replace(/^\s--/, '').trim(),
        });
      });
    }
    prose(source.length);
    return { blocks, page };
  }

  // ── readings ────────────────────────────────────────────────────────────────────────────────────────────────────────────────

  #readings(lines: readonly Line[]) {
    const readings: Writable<ReadingSpec>[] = [];
    const exactlyOne: string[][] = [];
    const later: (() => void)[] = [];
    for (const line of lines) {
      this.#attempt(line.number, () => {
        const choice = /^exactly one of\s+(.+)$/.exec(line.text);
        if (choice) {
          exactlyOne.push(choice[1]!.split(/\s*,\s*/));
          return;
        }
        const found = /^([^\s:]+)\s*:\s*(.+)$/.exec(line.text);
        if (!found) throw new FormulaError('a reading is written "name : what it is"');
        if (line.label.length > 80) throw new FormulaError('a label has at most 80 characters');
        const { reading, uncertain } = this.#reading(found[1]!, found[2]!, line);
        readings.push(reading);
        later.push(...uncertain.map((set) => () => this.#attempt(line.number, set)));
      });
    }
    const names = new Set(readings.map(({ name }) => name));
    for (const group of exactlyOne)
      for (const name of group) if (!names.has(name)) this.#fault(lines[0]!.number, `"exactly one of" names ${name}, which is no reading`);
    // "step scale_step" may name a reading or a working that stands further down: looked up when all of them are there.
    this.#later = later;
    return { readings, exactlyOne };
  }
  #later: (() => void)[] = [];

  #reading(name: string, rest: string, line: Line): { reading: Writable<ReadingSpec>; uncertain: (() => void)[] } {
    const base = { name, label: line.label, line: line.number };
    const uncertain: (() => void)[] = [];
    if (/^list of\s/.test(rest)) return { reading: this.#list(base, rest.slice('list of '.length)), uncertain };
    const [what, ...clauses] = rest.split(/\s+(?=(?:step|±|sd|from|optional|whole|default|said)(?:\s|$))/);
    const starts = /^[-−+.\d]/.test(what!);
    // "0 g ± 5 g": the ± belongs to the default.
    if (starts && clauses[0]?.startsWith('±')) clauses[0] = `default ${what} ${clauses[0]}`;
    else if (starts) clauses.unshift(`default ${what}`);
    const clause = new Map<string, string>();
    for (const one of clauses) {
      const [, key, value] = /^(\S+)\s*([\s\S]*)$/.exec(one)!;
      if (clause.has(key!)) throw new FormulaError(`${key} stands twice`);
      clause.set(key!, value!.trim());
    }
    const optional = clause.has('optional');
    const defaultText = clause.get('default');
    if (optional && defaultText !== undefined) throw new FormulaError('an optional reading has no default');
    const flags = { required: !optional && defaultText === undefined };

    const choice = /^one of\s+(.+)$/.exec(what!);
    if (choice) {
      const choices = choice[1]!.split(/\s*,\s*/);
      for (const one of choices)
        if (!/^[a-z][a-z0-9_]*$/.test(one)) throw new FormulaError(`"${one}" is no choice: small letters, digits and _`);
      if (defaultText !== undefined && !choices.includes(defaultText))
        throw new FormulaError(`the default is one of ${choices.join(', ')}`);
      const type: CellType = { kind: 'choice', choices };
      return {
        reading: {
          ...base,
          ...flags,
          type,
          kind: 'choice',
          unit: null,
          slot: this.#build.reading(name, type),
          ...(defaultText === undefined ? {} : { default: defaultText }),
        },
        uncertain,
      };
    }
    if (what === 'yes/no' || what === 'text') {
      const type: CellType = { kind: what === 'text' ? 'text' : 'flag' };
      const value = defaultText === undefined ? {} : { default: what === 'text' ? defaultText : defaultText === 'yes' };
      return { reading: { ...base, ...flags, type, kind: what, unit: null, slot: this.#build.reading(name, type), ...value }, uncertain };
    }

    const { kindName, unit: bare } = starts ? this.#kindOfDefault(what!, clause) : this.#kindAndUnit(what!, clause.get('from'));
    const dims = kind(kindName)!.dims;
    const type: CellType = { kind: 'number', dims };
    const reading: Writable<ReadingSpec> = { ...base, ...flags, type, kind: kindName, unit: bare, slot: this.#build.reading(name, type) };
    if (clause.has('whole')) reading.whole = true;
    if (clause.has('said')) reading.said = clause.get('said')!.split(/\s*,\s*/);
    const from = clause.get('from');
    if (from === undefined) throw new FormulaError('a number has a range: from … to …');
    const range = /^(.+?)\s+to\s+(.+)$/.exec(from);
    if (!range) throw new FormulaError('a range is written "from 10 g to 5 kg"');
    reading.min = this.#literal(range[1]!, kindName, bare, 'the range');
    reading.max = this.#literal(range[2]!, kindName, bare, 'the range');
    if (!(reading.min <= reading.max)) throw new FormulaError('the range ends below its start');
    if (defaultText !== undefined) this.#defaults.set(name, defaultText);
    for (const key of ['step', '±', 'sd'] as const) {
      const written = clause.get(key);
      if (written === undefined) continue;
      uncertain.push(() => {
        const amount = this.#amount(written, kindName, bare, dims);
        if (key === 'step') reading.step = amount;
        else if (key === '±') reading.plusMinus = amount;
        else reading.sd = amount;
      });
    }
    return { reading, uncertain };
  }
  readonly #defaults = new Map<string, string>();

  #default(reading: Writable<ReadingSpec>): void {
    const written = this.#defaults.get(reading.name);
    if (written === undefined) return;
    const read = readQuantity(written, {
      kind: reading.kind,
      unit: reading.unit!,
      min: reading.min!,
      max: reading.max!,
      ...(reading.whole ? { whole: true } : {}),
    });
    if ('slip' in read) this.#fault(reading.line, `the default "${written}" ${read.slip.is}. ${read.slip.needs}`);
    else reading.default = read.ok;
  }

  #kindAndUnit(what: string, from: string | undefined): { kindName: string; unit: Unit } {
    const found = /^(.+?)(?:\s+in\s+(\S+))?$/.exec(what)!;
    const kindName = found[1]!;
    const known = kind(kindName);
    if (!known) {
      const like = nearest(kindName, kindNames());
      throw new FormulaError(`there is no kind of reading "${kindName.slice(0, 40)}"${like ? `; did you mean ${like}?` : ''}`);
    }
    // Without "in", a bare number is in the unit that the range starts with.
    const written =
      found[2] ?? /^[-−+]?[\d.,]+\s*([^\d\s.,]\S*)\s+to\s/.exec(from ?? '')?.[1] ?? (sameDims(known.dims, NONE) ? '1' : undefined);
    const bare = written === undefined ? undefined : unit(written);
    if (!bare)
      throw new FormulaError(written === undefined ? `say what a bare number is in: ${kindName} in …` : `there is no unit ${written}`);
    if (!sameDims(bare.dims, known.dims)) throw new FormulaError(`${written} is ${dimsInWords(bare.dims)}, not ${kindName}`);
    return { kindName, unit: bare };
  }

  /** `1 g`, `60 %`, `1`: what it is follows from the unit. */
  #kindOfDefault(what: string, clause: ReadonlyMap<string, string>): { kindName: string; unit: Unit } {
    const written = /^[-−+]?[\d.,]+\s*(.*)$/.exec(what)?.[1]?.trim();
    const bare = written === undefined ? undefined : unit(written === '' ? '1' : written);
    if (!bare) throw new FormulaError(`there is no unit ${written ?? what}`);
    const kindName =
      bare.symbol === '%'
        ? 'share'
        : sameDims(bare.dims, NONE)
          ? clause.has('whole')
            ? 'count'
            : 'number'
          : kindNames().find((name) => sameDims(kind(name)!.dims, bare.dims));
    if (!kindName) throw new FormulaError(`${bare.symbol} is no kind of reading`);
    return { kindName, unit: bare };
  }

  #literal(written: string, kindName: string, bare: Unit, what: string): number {
    const read = readQuantity(written, { kind: kindName, unit: bare });
    if ('slip' in read) throw new FormulaError(`${what}: "${written.slice(0, 40)}" ${read.slip.is}`);
    return read.ok.value;
  }

  /** A written quantity, a cell, or a formula. */
  #amount(written: string, kindName: string, bare: Unit, dims: Dims): Amount {
    if (/^[-−+]?[\d.,]+\s*[^\s()*/+]*$/.test(written)) {
      const read = readQuantity(written, { kind: kindName === 'temperature' ? 'number' : kindName, unit: { ...bare, offset: 0 } });
      if ('ok' in read) return { si: read.ok.value };
    }
    const { slot, type } = this.#slotOf(written);
    if (type.kind !== 'number' || !sameDims(type.dims, dims))
      throw new FormulaError(`"${written}" is ${typeInWords(type)}, not ${dimsInWords(dims)}`);
    return { slot };
  }
  #slotOf(written: string): { slot: number; type: CellType } {
    return this.#build.cell(written) ?? this.#build.unnamed(written);
  }

  #list(base: { name: string; label: string; line: number }, rest: string): Writable<ReadingSpec> {
    const optional = /\s+optional\b/.test(rest);
    const bound = /\s+(at least|exactly)\s+(\d{1,3})\b/.exec(rest);
    const parts = rest
      .replace(/\s+optional\b/, '')
      .replace(/\s+(at least|exactly)\s+\d{1,3}\b/, '')
      .split(/\s+\/\s+/);
    const row = parts.length > 1;
    const specs = parts.map((part) => this.#part(part, row));
    const least = bound ? Number(bound[2]) : 1;
    const item: ListType = row
      ? { kind: 'row', parts: Object.fromEntries(specs.map((spec) => [spec.name, partType(spec)])) }
      : partType(specs[0]!);
    const type: CellType = { kind: 'list', item, atLeast: least };
    const count = bound?.[1] === 'exactly' ? { exactly: least } : { atLeast: least };
    return {
      ...base,
      required: !optional,
      type,
      kind: 'list',
      unit: null,
      parts: specs,
      ...count,
      slot: this.#build.reading(base.name, type),
    };
  }

  #part(written: string, named: boolean): PartSpec {
    const found = named ? /^([a-z][a-z0-9_]*)\s+(.+)$/.exec(written) : ['', 'item', written];
    if (!found) throw new FormulaError(`"${written}" is no part of a list: write its name, then what it is`);
    const name = found[1]!;
    let what = found[2]!;
    if (what === 'text') return { name, kind: 'text', unit: null };
    const several = /^several\s+/.test(what);
    what = what.replace(/^several\s+/, '');
    const word = /\s+or\s+([a-z]+)$/.exec(what)?.[1];
    what = what.replace(/\s+or\s+[a-z]+$/, '');
    const range = /\s+from\s+(.+?)\s+to\s+(.+)$/.exec(what);
    if (!range) throw new FormulaError('a number has a range: from … to …');
    const { kindName, unit: bare } = this.#kindAndUnit(what.slice(0, range.index), range[0].replace(/^\s+from\s+/, ''));
    return {
      name,
      kind: kindName,
      unit: bare,
      min: this.#literal(range[1]!, kindName, bare, 'the range'),
      max: this.#literal(range[2]!, kindName, bare, 'the range'),
      ...(word === undefined ? {} : { word }),
      ...(several ? { several } : {}),
    };
  }

  // ── workings, answers ───────────────────────────────────────────────────────────────────────────────────────────────────────

  #workings(lines: readonly Line[]): { name: string; text: string }[] {
    const workings: { name: string; text: string }[] = [];
    for (const line of lines) {
      this.#attempt(line.number, () => {
        const found = /^([^\s=]+)\s*=(?!=)\s*(.+)$/.exec(line.text);
        if (!found) throw new FormulaError('a working is written "name = formula"');
        this.#build.working(found[1]!, found[2]!);
        workings.push({ name: found[1]!, text: found[2]! });
      });
    }
    for (const set of this.#later) set();
    return workings;
  }

  #answers(lines: readonly Line[]): AnswerSpec[] {
    const answers: AnswerSpec[] = [];
    for (const line of lines) {
      this.#attempt(line.number, () => {
        const found = /^([^\s:]+)\s*(?::\s*(.*))?$/.exec(line.text);
        if (!found) throw new FormulaError('an answer is written "name : in unit"');
        if (line.label.length > 80) throw new FormulaError('a label has at most 80 characters');
        const [, name, rest = ''] = found;
        if (answers.some((answer) => answer.name === name)) throw new FormulaError(`${name} is there already`);
        answers.push(this.#answer(name!, rest, line));
      });
    }
    return answers;
  }

  #answer(name: string, rest: string, line: Line): AnswerSpec {
    const cell = this.#build.cell(name);
    const source = /(?:^|\s)is\s+(\S+)$/.exec(rest);
    const whole = source ? this.#build.wholeField(source[1]!) : cell ? { ...cell, field: null } : undefined;
    if (!whole) {
      const like = nearest(name, this.#build.names());
      throw new FormulaError(`there is no cell ${name}${like ? `; did you mean ${like}?` : ''}`);
    }
    const base = { name, label: line.label, line: line.number };
    const { type } = whole;
    if (type.kind === 'text' || type.kind === 'flag' || type.kind === 'choice') {
      // A yes/no of a call is a number to the tape: it gets a slot of its own so that absence and the card see it like any other.
      if (type.kind === 'flag' && whole.field !== null)
        return { ...base, slot: this.#build.unnamed(source![1]!).slot, field: null, type, unit: null };
      return { ...base, slot: whole.slot, field: whole.field, type, unit: null };
    }
    if (type.kind !== 'number') throw new FormulaError(`${name} is ${typeInWords(type)}; an answer is a number, a word or yes/no`);
    const slot = whole.field === null ? whole.slot : this.#build.unnamed(source![1]!).slot;
    const clauses =
      /^(?:in\s+(\S+))?(\s*whole)?(?:\s*within\s+(.+?)\s+\.\.\s+(.+?))?(?:\s*sd\s+(\S+))?(?:\s*verdict\s+(\S+))?(\s*planned)?(?:\s*is\s+\S+)?$/.exec(
        rest,
      );
    if (!clauses) throw new FormulaError('an answer is written "name : in unit within low .. high"');
    const shown = unit(clauses[1] ?? '1');
    if (!shown) throw new FormulaError(`there is no unit ${clauses[1]}`);
    if (!sameDims(shown.dims, type.dims))
      throw new FormulaError(
        `${name} is ${dimsInWords(type.dims)}, not ${dimsInWords(shown.dims)}${clauses[1] ? '' : ': say in which unit'}`,
      );
    const band =
      clauses[3] === undefined
        ? {}
        : { band: [this.#amount(clauses[3], 'number', shown, type.dims), this.#amount(clauses[4]!, 'number', shown, type.dims)] as const };
    const sd = clauses[5] === undefined ? {} : { sd: this.#amount(clauses[5], 'number', shown, type.dims) };
    const word = clauses[6] === undefined ? undefined : this.#build.wholeField(clauses[6]);
    if (word && word.type.kind !== 'text') throw new FormulaError(`${clauses[6]} is ${typeInWords(word.type)}; a verdict is a word`);
    return {
      ...base,
      slot,
      field: null,
      type,
      unit: shown,
      ...(clauses[2] === undefined ? {} : { whole: true }),
      ...band,
      ...sd,
      ...(word ? { verdict: { slot: word.slot, field: word.field } } : {}),
      ...(clauses[7] ? { planned: true } : {}),
    };
  }

  // ── curves ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────

  #curves(lines: readonly Line[], readings: readonly ReadingSpec[], answers: readonly AnswerSpec[]): CurveSpec[] {
    const curves: CurveSpec[] = [];
    for (const line of lines) {
      this.#attempt(line.number, () => {
        const over = /^(.+?)\s+over\s+(\S+)\s+from\s+(.+?)\s+to\s+(.+?)\s+by\s+(.+)$/.exec(line.text);
        if (over) {
          const reading = readings.find(({ name }) => name === over[2]);
          if (reading?.type.kind !== 'number') throw new FormulaError(`a curve goes over a reading that is a number; ${over[2]} is none`);
          const names = over[1]!.split(/\s*,\s*/);
          const specs = names.map((name) => {
            const answer = answers.find((one) => one.name === name);
            if (answer?.type.kind !== 'number') throw new FormulaError(`a curve shows answers that are numbers; ${name} is none`);
            return { name, slot: answer.slot, unit: answer.unit };
          });
          const amount = (written: string): Amount =>
            this.#amount(written, reading.kind, reading.unit!, (reading.type as { dims: Dims }).dims);
          curves.push({
            answers: specs,
            over: reading.name,
            unit: reading.unit,
            from: amount(over[3]!),
            to: amount(over[4]!),
            by: amount(over[5]!),
          });
          return;
        }
        const table = /^(.+?)\s+over\s+(\S+)(?:\s+in\s+(\S+))?\s+of\s+(\S+)$/.exec(line.text);
        if (!table) throw new FormulaError('a curve is written "answers over reading from … to … by …" or "columns over column of table"');
        const whole = this.#build.wholeField(table[4]!);
        if (whole.type.kind !== 'table' || whole.field === null) throw new FormulaError(`${table[4]} is no table`);
        const { columns } = whole.type;
        const column = (written: string) => {
          const [, name, inUnit] = /^(\S+)(?:\s+in\s+(\S+))?$/.exec(written) ?? [];
          const dims = name === undefined ? undefined : columns[name];
          if (!dims) throw new FormulaError(`that table has no column ${name ?? written}`);
          const shown = unit(inUnit ?? '1');
          if (!shown || !sameDims(shown.dims, dims)) throw new FormulaError(`${name} is ${dimsInWords(dims)}: say in which unit`);
          return { name: name!, unit: shown };
        };
        const x = column(table[3] ? `${table[2]} in ${table[3]}` : table[2]!);
        curves.push({
          answers: table[1]!.split(/\s*,\s*/).map((one) => ({ ...column(one), slot: whole.slot, column: toCamel(/^\S+/.exec(one)![0]) })),
          over: x.name,
          unit: x.unit,
          table: { slot: whole.slot, field: toCamel(whole.field), column: toCamel(x.name) },
        });
      });
    }
    return curves;
  }

  // ── sentences ───────────────────────────────────────────────────────────────────────────────────────────────────────────────

  #sentences(lines: readonly Line[], answers: readonly AnswerSpec[]): LineSpec[] {
    const sentences: LineSpec[] = [];
    for (const line of lines) {
      this.#attempt(line.number, () => {
        const found = /^(.+?)\s+:\s+(.+)$/.exec(line.text);
        if (!found) throw new FormulaError('write "condition : sentence" ("always : …" where it always holds)');
        const when = found[1]!.split(/\s+and\s+/).map((written) => this.#condition(written, answers));
        const parts: LineSpec['parts'][number][] = [];
        let at = 0;
        for (const value of found[2]!.matchAll(/`=([a-z][a-z0-9_]*)(?:\s+in\s+([^`\s]+))?(\s+whole)?`/g)) {
          if (value.index > at) parts.push(found[2]!.slice(at, value.index));
          at = value.index + value[0].length;
          parts.push({ ...this.#value(value[1]!, value[2], answers), ...(value[3] ? { whole: true } : {}) });
        }
        if (at < found[2]!.length) parts.push(found[2]!.slice(at));
        sentences.push({ when, parts });
      });
    }
    return sentences;
  }

  #value(name: string, inUnit: string | undefined, answers: readonly AnswerSpec[]): Exclude<LineSpec['parts'][number], string> {
    const answer = answers.find((one) => one.name === name);
    if (answer && inUnit === undefined) return { slot: answer.slot, field: answer.field, unit: answer.unit, type: answer.type };
    const cell = answer ?? this.#build.cell(name);
    if (!cell) throw new FormulaError(`there is no cell ${name}`);
    if (cell.type.kind !== 'number') return { slot: cell.slot, field: null, unit: null, type: cell.type };
    const shown = unit(inUnit ?? '1');
    if (!shown || !sameDims(shown.dims, cell.type.dims))
      throw new FormulaError(`${name} is ${dimsInWords(cell.type.dims)}: write \`=${name} in …\` with a unit of it`);
    return { slot: cell.slot, field: null, unit: shown, type: cell.type };
  }

  #condition(written: string, answers: readonly AnswerSpec[]): Condition {
    if (written === 'always') return { kind: 'always' };
    const verdict = /^(\S+) (on target|off target|too close to call)$/.exec(written);
    if (verdict) {
      if (!answers.some(({ name, band }) => name === verdict[1] && band))
        throw new FormulaError(`${verdict[1]} has no band, so no verdict`);
      return { kind: 'verdict', answer: verdict[1]!, is: verdict[2]! };
    }
    const not = /^not\s+/.test(written);
    const { slot, type } = this.#slotOf(written.replace(/^not\s+/, ''));
    if (type.kind !== 'flag') throw new FormulaError(`"${written}" is no condition: a comparison or a yes/no`);
    return { kind: 'flag', slot, not };
  }
}

type Writable<T> = { -readonly [K in keyof T]: T[K] };

function partType(spec: PartSpec): PartType {
  if (spec.kind === 'text') return { kind: 'text' };
  const dims = kind(spec.kind)!.dims;
  const one: PartType = spec.word === undefined ? { kind: 'number', dims } : { kind: 'number or word', dims, word: spec.word };
  return spec.several ? { kind: 'several', of: one } : one;
}

/** Example values and ranges in the member's words. */
export const rangeText = (reading: { readonly min?: number; readonly max?: number; readonly unit: Unit | null }): string =>
  reading.unit && reading.min !== undefined && reading.max !== undefined
    ? `${fromSI(reading.min, reading.unit)} to ${fromSI(reading.max, reading.unit)}`
    : '';
