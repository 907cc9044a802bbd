/**
 * A question → its answer. Pure: the same readings give the same answer, whatever the locale, the time zone or the order they come in.
 *
 * Uncertainty follows JCGM 100:2008: every reading has a standard uncertainty (step d → d/√12, ± a → a/√3, sd s → s; 4.3.7, F.2.2.1),
 * carried to each answer by its derivative to the *readings* (5.1.2), so that correlated answers come out right. Shown with k = 2.
 */
import { type Absent, type DomainError, isAbsent } from '../../calc/formula.ts';
import { type CellType, toCamel, toSnake } from './formula.ts';
import { readList } from './list.ts';
import type { Amount, AnswerSpec, CurveSpec, LineSpec, ReadingSpec, Sheet } from './notation.ts';
import { missingProblem, nameInWords, nearest, problem, rangeInWords, slipProblem } from './problem.ts';
import { plain, readQuantity } from './quantity.ts';
import { newState, Op, planFor, runAll, runSome, type State, type Tape } from './tape.ts';
import type { Answer, AnswerReading, AnswerValue, Curve, From, Problem, Problems, ReadingValue, Sentence, Verdict } from './types.ts';
import { fromSI, type Unit } from './units.ts';

export type End = 'front' | 'rear';

/** What each reading may be off by, signed, by the reading it comes from: ∂(this)/∂(that) × u(that). */
export type Contributions = ReadonlyMap<string, number>;

/** A value handed in for a reading that was not typed. */
export type Supplied =
  | { readonly from: 'truck'; readonly typed: string }
  | { readonly from: 'sheet'; readonly sheet: string; readonly value: number; readonly contributions: Contributions };
/** Looks up what a missing reading is by the name of its fact (`front_x` where the sheet treats one end). */
export type Supply = (fact: string, reading: ReadingSpec) => Supplied | undefined;

export interface Question {
  readonly readings: Readonly<Record<string, string | number>>;
  readonly end?: End | null;
}

/** An answer, and what another sheet needs to go on from it: SI values with their contributions. */
export interface Outcome {
  readonly answer: Answer;
  readonly values: ReadonlyMap<string, { readonly value: number; readonly contributions: Contributions }>;
  /** What was typed, in SI: what an archive keeps of the question. */
  readonly given: readonly GivenFact[];
}
export interface GivenFact {
  /** The fact that it is; on a sheet of one end, asked without an end, it is a reading of no known end and keeps its bare name. */
  readonly fact: string;
  readonly name: string;
  readonly typed: string;
  readonly value: ReadingValue;
  /** Standard uncertainty, SI. */
  readonly uncertainty: number | null;
  readonly unit: string | null;
}

/** The fact that a reading or an answer of this name is. */
export const factName = (name: string, sheet: { readonly ends: boolean }, end: End | null | undefined): string | null =>
  sheet.ends ? (end ? `${end}_${name}` : null) : name;

export function ask(sheet: Sheet, question: Question, supply?: Supply): Answer | Problems {
  const outcome = work(sheet, question, supply);
  return 'answer' in outcome ? outcome.answer : outcome;
}

interface Known {
  readonly spec: ReadingSpec;
  readonly value: ReadingValue;
  readonly si: unknown;
  readonly from: From;
  readonly sheet?: string;
  readonly typed?: string;
  readonly note?: string;
  /** Half-width of a stated ±; undefined: the sheet's own clause counts. */
  readonly plusMinus?: number | undefined;
  readonly contributions?: Contributions;
}

export function work(sheet: Sheet, question: Question, supply?: Supply): Outcome | Problems {
  const problems: Problem[] = [];
  const known = fillIn(sheet, question, supply, problems);
  if (problems.length > 0) return { kind: 'problems', sheet: sheet.name, problems };

  const state = newState(sheet.tape);
  for (const { spec, si } of known.values()) {
    if (spec.type.kind === 'number') state.numbers[spec.slot] = si as number;
    else if (spec.type.kind === 'flag') state.numbers[spec.slot] = si ? 1 : 0;
    else state.others[spec.slot] = si;
  }
  runAll(sheet.tape, state, sheet.formulas);
  const refused = state.refused.find((error) => error !== undefined);
  if (refused) return { kind: 'problems', sheet: sheet.name, problems: [domainProblem(sheet, refused)] };

  const sources = uncertainReadings(sheet, question.end, known, state);
  const slopes = slopesOf(sheet, state, sources);
  const wider = new Set<string>();
  const answers: AnswerValue[] = [];
  const values = new Map<string, { value: number; contributions: Contributions }>();
  for (const spec of sheet.answers) {
    const made = answerValue(sheet, question.end, spec, state, sources, slopes);
    if (made.kind === 'missing') for (const name of made.readings) wider.add(name);
    else if (made.kind === 'no value')
      problems.push(
        problem(null, null, '', `That does not work out: ${nameInWords(spec.name).toLowerCase()} has no value with these readings.`),
      );
    else {
      answers.push(made.answer);
      if (made.contributions && typeof made.answer.value === 'number')
        values.set(spec.name, { value: state.numbers[spec.slot]!, contributions: made.contributions });
    }
  }
  if (problems.length > 0) return { kind: 'problems', sheet: sheet.name, problems };
  const verdicts = new Map(answers.map(({ name, verdict }) => [name, verdict]));
  const said = (line: LineSpec): Sentence | undefined => sentence(line, state, verdicts);
  const answer: Answer = {
    kind: 'answer',
    sheet: sheet.name,
    title: sheet.title,
    end: sheet.ends ? (question.end ?? null) : null,
    readings: [...known.values()].map((one) => answerReading(one, state)),
    answers,
    curves: sheet.curves.flatMap((curve) => curveOf(sheet, curve, state) ?? []),
    cautions: sheet.cautions.map(said).filter((made) => made !== undefined),
    next: sheet.next.map(said).find((made) => made !== undefined) ?? null,
    hero: answers.some(({ name }) => name === sheet.hero) ? sheet.hero : (answers[0]?.name ?? sheet.hero),
    wider: [...wider],
  };
  const given = [...known.values()]
    .filter(({ from }) => from === 'given')
    .map((one): GivenFact => {
      const u = standardUncertainty(one, state);
      return {
        fact: factName(one.spec.name, sheet, question.end) ?? one.spec.name,
        name: one.spec.name,
        typed: one.typed!,
        value: one.spec.type.kind === 'list' ? one.value : (one.si as ReadingValue),
        uncertainty: u > 0 ? u : null,
        unit: readingUnit(one.spec),
      };
    });
  return { answer, values, given };
}

function domainProblem(sheet: Sheet, error: DomainError): Problem {
  const reading = error.input === null ? null : toSnake(error.input);
  const named = reading !== null && sheet.readings.some(({ name }) => name === reading) ? reading : null;
  return problem(named, null, error.message, `That does not work out: ${error.message}.`);
}

// ── filling in ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** given > the truck's facts > other sheets' answers > default. Every slip of the question goes into `problems`. */
function fillIn(sheet: Sheet, question: Question, supply: Supply | undefined, problems: Problem[]): Map<string, Known> {
  const known = new Map<string, Known>();
  const given = new Map<string, string>();
  for (const [written, value] of Object.entries(question.readings)) {
    const name = written.trim().toLowerCase().replaceAll('-', '_').replaceAll(' ', '_');
    const spec = sheet.readings.find((reading) => reading.name === name);
    if (!spec) problems.push(unknownReading(sheet, written));
    else if (given.has(name))
      problems.push(problem(name, String(value), 'Give it once.', `${nameInWords(name)} is given twice. Give it once.`));
    else given.set(name, String(value));
  }
  const slipped = new Set<string>();
  for (const spec of sheet.readings) {
    const typed = given.get(spec.name);
    if (typed !== undefined) {
      const read = readTyped(typed, spec, 'given');
      if ('problem' in read) {
        problems.push(read.problem);
        slipped.add(spec.name);
      } else known.set(spec.name, read.known);
    }
  }
  for (const spec of sheet.readings) {
    if (known.has(spec.name) || slipped.has(spec.name)) continue;
    // "Exactly one of a, b": when one of them is typed, the truck's other one stays out.
    if (sheet.exactlyOne.some((group) => group.includes(spec.name) && group.some((name) => given.has(name)))) continue;
    const fact = factName(spec.name, sheet, question.end);
    const supplied = fact === null ? undefined : supply?.(fact, spec);
    if (supplied?.from === 'truck') {
      const read = readTyped(supplied.typed, spec, 'truck');
      if ('known' in read) known.set(spec.name, read.known);
    } else if (supplied && spec.type.kind === 'number') {
      const inside = (spec.min === undefined || supplied.value >= spec.min) && (spec.max === undefined || supplied.value <= spec.max);
      if (inside) {
        const value = fromSI(supplied.value, spec.unit!);
        known.set(spec.name, {
          spec,
          value,
          si: supplied.value,
          from: 'sheet',
          sheet: supplied.sheet,
          contributions: supplied.contributions,
        });
      }
    }
    if (!known.has(spec.name) && spec.default !== undefined) known.set(spec.name, byDefault(spec));
  }
  for (const group of sheet.exactlyOne) {
    const there = group.filter((name) => known.has(name) || slipped.has(name));
    const names = group.map((name) => nameInWords(name).toLowerCase()).join(' or ');
    if (there.length === 0)
      problems.push(problem(group[0]!, null, `Give ${names}.`, `${nameInWords(group[0]!)} is missing. Give ${names}.`));
    else if (there.length > 1) problems.push(problem(there[1]!, null, `Give one of them.`, `Give ${names}, not both.`));
  }
  for (const spec of sheet.readings)
    if (spec.required && !known.has(spec.name) && !slipped.has(spec.name))
      problems.push(missingProblem(spec.name, spec.label, needsOf(spec)));
  return known;
}

export function unknownReading(sheet: Sheet, written: string): Problem {
  const names = sheet.readings.map(({ name }) => name);
  const like = nearest(written, names);
  const needs = like ? `Did you mean ${like}?` : `This sheet takes ${names.join(', ')}.`;
  return problem(written, null, needs, `"${problem(null, written, '', '').got}" is no reading of ${sheet.name}. ${needs}`);
}

/** What a reading needs, as a sentence. */
export function needsOf(spec: ReadingSpec): string {
  if (spec.type.kind === 'choice') return `Give one of ${spec.type.choices.join(', ')}.`;
  if (spec.type.kind === 'flag') return 'Give yes or no.';
  if (spec.type.kind === 'text') return 'Give a text.';
  if (spec.type.kind === 'list') {
    const parts = spec.parts!.map(({ name, unit }) =>
      spec.parts!.length > 1
        ? `${name.replaceAll('_', ' ')}${unit && unit.symbol !== '1' ? ` [${unit.symbol}]` : ''}`
        : (unit?.symbol ?? ''),
    );
    const count = spec.exactly !== undefined ? `${spec.exactly}` : `at least ${spec.atLeast}`;
    return `Give ${count}: ${parts.join(' / ')}${spec.parts!.length > 1 ? ', then the next' : ' values, separated by spaces'}.`;
  }
  return `Give ${rangeInWords(spec.min, spec.max, spec.unit!)}.`;
}

function byDefault(spec: ReadingSpec): Known {
  const value = spec.default!;
  if (typeof value === 'object')
    return { spec, value: value.written ?? fromSI(value.value, spec.unit!), si: value.value, from: 'default', plusMinus: value.plusMinus };
  return { spec, value, si: value, from: 'default' };
}

function readTyped(typed: string, spec: ReadingSpec, from: 'given' | 'truck'): { readonly known: Known } | { readonly problem: Problem } {
  const base = { spec, from, typed };
  const slip = (is: string): { readonly problem: Problem } => ({ problem: slipProblem(spec.name, typed, { is, needs: needsOf(spec) }) });
  switch (spec.type.kind) {
    case 'number': {
      const read = readQuantity(typed, spec as ReadingSpec & { unit: Unit });
      if ('slip' in read) return { problem: slipProblem(spec.name, typed, read.slip) };
      const { value, written, plusMinus, note } = read.ok;
      if (spec.whole && plusMinus !== undefined) return slip('is a count, which carries no ±');
      return { known: { ...base, value: written ?? fromSI(value, spec.unit!), si: value, plusMinus, ...(note ? { note } : {}) } };
    }
    case 'list': {
      const read = readList(typed, spec);
      if ('slip' in read) return { problem: slipProblem(spec.name, read.slip.got, read.slip, read.slip.place) };
      return { known: { ...base, value: read.ok.shown, si: read.ok.si } };
    }
    case 'choice': {
      const word = plain(typed.slice(0, 100))
        .toLowerCase()
        .replace(/[\s-]+/g, '_');
      if (spec.type.choices.includes(word)) return { known: { ...base, value: word, si: word } };
      const like = nearest(word, spec.type.choices);
      return {
        problem: slipProblem(spec.name, typed, {
          is: 'is not one of them',
          needs: needsOf(spec),
          ...(like ? { hint: `Did you mean ${like}?` } : {}),
        }),
      };
    }
    case 'flag': {
      const word = plain(typed.slice(0, 100)).toLowerCase();
      if (/^(yes|y|true|on|1)$/.test(word)) return { known: { ...base, value: true, si: true } };
      if (/^(no|n|false|off|0)$/.test(word)) return { known: { ...base, value: false, si: false } };
      return slip('is neither yes nor no');
    }
    default: {
      const text = plain(typed);
      return text === '' || text.length > 200
        ? slip(text === '' ? 'is empty' : 'is too long')
        : { known: { ...base, value: text, si: text } };
    }
  }
}

// ── uncertainty ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const amount = (of: Amount, state: State): number => ('si' in of ? of.si : state.numbers[of.slot]!);

/** Standard uncertainty of a reading, SI; 0 where it carries none. */
function standardUncertainty({ spec, plusMinus, from, contributions }: Known, state: State): number {
  if (spec.type.kind !== 'number') return 0;
  if (contributions) return Math.hypot(...contributions.values());
  const own =
    plusMinus !== undefined
      ? plusMinus / Math.sqrt(3)
      : from === 'default'
        ? 0
        : spec.step
          ? amount(spec.step, state) / Math.sqrt(12)
          : spec.plusMinus
            ? amount(spec.plusMinus, state) / Math.sqrt(3)
            : 0;
  const scatter = spec.sd ? amount(spec.sd, state) : 0;
  return Math.hypot(own || 0, scatter || 0);
}

interface Source {
  readonly slot: number;
  readonly u: number;
  /** By the reading it goes back to; a reading of this question goes back to itself. */
  readonly back: Contributions;
}

function uncertainReadings(sheet: Sheet, end: End | null | undefined, known: ReadonlyMap<string, Known>, state: State): Source[] {
  const sources: Source[] = [];
  for (const one of known.values()) {
    const u = standardUncertainty(one, state);
    if (u > 0)
      sources.push({
        slot: one.spec.slot,
        u,
        back: one.contributions ?? new Map([[factName(one.spec.name, sheet, end) ?? one.spec.name, u]]),
      });
  }
  return sources;
}

/**
 * ∂(every cell)/∂(each source), by central differences over the cells that depend on it: one mechanism for the tape and for calc, whose
 * formulas are opaque. The step, ∛ε of the reading, balances rounding against curvature: about 1e-10 of the derivative. Where one side
 * leaves the formula's domain the other side is used alone.
 */
function slopesOf(sheet: Sheet, state: State, sources: readonly Source[]): Float64Array[] {
  return sources.map(({ slot, u }) => {
    const plan = planFor(sheet.tape, slot, true);
    const x = state.numbers[slot]!;
    const h = 6e-6 * Math.max(Math.abs(x), u);
    const at = (value: number): Float64Array => {
      const varied = copyOf(state);
      varied.numbers[slot] = value;
      runSome(sheet.tape, varied, sheet.formulas, plan);
      return varied.numbers;
    };
    const [above, below] = [at(x + h), at(x - h)];
    const slopes = new Float64Array(sheet.tape.slots);
    slopes[slot] = 1;
    for (const cell of plan) {
      const both = (above[cell]! - below[cell]!) / (x + h - (x - h));
      const up = (above[cell]! - state.numbers[cell]!) / (x + h - x);
      const down = (state.numbers[cell]! - below[cell]!) / (x - (x - h));
      slopes[cell] = [both, up, down].find(Number.isFinite) ?? 0;
    }
    return slopes;
  });
}

const copyOf = (state: State): State => ({ numbers: state.numbers.slice(), others: state.others.slice(), refused: state.refused.slice() });

// ── answers ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

type Made =
  | { readonly kind: 'made'; readonly answer: AnswerValue; readonly contributions?: Contributions }
  | { readonly kind: 'missing'; readonly readings: readonly string[] }
  | { readonly kind: 'no value' };

function answerValue(
  sheet: Sheet,
  end: End | null | undefined,
  spec: AnswerSpec,
  state: State,
  sources: readonly Source[],
  slopes: readonly Float64Array[],
): Made {
  const base = { name: spec.name, label: spec.label, unit: spec.unit?.symbol ?? null, uncertainty: null, verdict: null, band: null };
  if (spec.type.kind === 'text' || spec.type.kind === 'choice') {
    const value = wholeValue(state, spec.slot, spec.field);
    if (typeof value === 'string') return { kind: 'made', answer: { ...base, value } };
    if (isAbsent(value)) return { kind: 'made', answer: { ...base, value: null, why: value.absent } };
    return { kind: 'missing', readings: missingFor(sheet, spec.slot, state) };
  }
  const value = state.numbers[spec.slot]!;
  if (!Number.isFinite(value)) {
    const why = Number.isNaN(value) ? reason(sheet.tape, state, spec.slot, new Set()) : undefined;
    if (why === undefined) return { kind: 'no value' };
    return isAbsent(why)
      ? { kind: 'made', answer: { ...base, value: null, why: why.absent } }
      : { kind: 'missing', readings: missingFor(sheet, spec.slot, state) };
  }
  if (spec.type.kind === 'flag') return { kind: 'made', answer: { ...base, value: value !== 0 } };
  const contributions = new Map<string, number>();
  // A whole number stands still and then jumps: a derivative of it says nothing, so it carries no ±.
  if (!spec.whole)
    sources.forEach(({ back }, i) => {
      const each = slopes[i]![spec.slot]!;
      for (const [reading, part] of back) contributions.set(reading, (contributions.get(reading) ?? 0) + each * part);
    });
  if (spec.sd) {
    const own = amount(spec.sd, state);
    if (own > 0) contributions.set(`${sheet.name}/${factName(spec.name, sheet, end) ?? spec.name}`, own);
  }
  const expanded = 2 * Math.hypot(...contributions.values());
  const unit = spec.unit!;
  // An answer that a ± cannot move (shares that sum to 1) is left with rounding noise of the differences; that is no uncertainty.
  const noise = Math.abs(value) * 1e-9;
  const carries = expanded > noise;
  const band = spec.band ? { low: amount(spec.band[0], state), high: amount(spec.band[1], state) } : null;
  const word = spec.verdict ? wholeValue(state, spec.verdict.slot, spec.verdict.field) : undefined;
  const answer: AnswerValue = {
    ...base,
    value: fromSI(value, unit),
    uncertainty: contributions.size > 0 ? (carries ? expanded / unit.factor : 0) : null,
    verdict: typeof word === 'string' ? word : band ? verdict(value, carries ? expanded : 0, band) : null,
    band: band ? { low: fromSI(band.low, unit), high: fromSI(band.high, unit) } : null,
  };
  return { kind: 'made', answer, contributions };
}

function wholeValue(state: State, slot: number, field: string | null): unknown {
  const whole = state.others[slot];
  if (field === null || whole === undefined || isAbsent(whole)) return whole;
  return (whole as Record<string, unknown>)[toCamel(field)];
}

function verdict(value: number, expanded: number, { low, high }: { low: number; high: number }): Verdict {
  // A value that stands on the band's end by arithmetic must not fall out of it by the last bit.
  const slack = 1e-12 * Math.max(Math.abs(low), Math.abs(high));
  if (value - expanded >= low - slack && value + expanded <= high + slack) return 'on target';
  return value + expanded < low || value - expanded > high ? 'off target' : 'too close to call';
}

/** Why a cell is NaN: an absence with its reason, 'missing' when an optional reading was not given, undefined when arithmetic failed. */
function reason(tape: Tape, state: State, slot: number, seen: Set<number>): Absent | 'missing' | undefined {
  if (slot < tape.readings) return 'missing';
  if (seen.has(slot)) return undefined;
  seen.add(slot);
  const call = tape.calls[slot];
  const found: (Absent | 'missing' | undefined)[] = [];
  if (call) {
    const result = state.others[slot];
    if (isAbsent(result)) return result;
    if (result !== undefined) return undefined;
    const required = call.inputs.filter(
      ({ optional, slot: input, as }) =>
        !optional && (as === 'other' ? state.others[input] === undefined : Number.isNaN(state.numbers[input]!)),
    );
    // A call whose inputs are all there and whose one result is undefined leaves it out of its own accord.
    if (required.length === 0) return 'missing';
    for (const input of required) found.push(reason(tape, state, input.slot, seen));
  } else {
    for (let at = tape.start[slot]!; at < tape.start[slot + 1]!; ) {
      const op = tape.code[at]!;
      const cell = tape.code[at + 1]!;
      if (op === Op.CELL && Number.isNaN(state.numbers[cell]!)) found.push(reason(tape, state, cell, seen));
      else if (op === Op.CONST && Number.isNaN(tape.constants[cell]!)) found.push('missing');
      else if (op === Op.FIELD) {
        const record = state.others[cell] as Record<string, unknown> | undefined;
        const value = record?.[tape.fields[tape.code[at + 2]!]!];
        if (isAbsent(value)) found.push(value);
        else if (record === undefined) found.push(reason(tape, state, cell, seen));
        else if (value === undefined) found.push('missing');
      }
      at += op === Op.FIELD ? 3 : op === Op.CELL || op === Op.CONST ? 2 : 1;
    }
  }
  return found.find(isAbsent) ?? found.find((one) => one === 'missing');
}

/**
 * The optional readings that were not given and for want of which this cell is empty: back along the cells that are empty themselves. What
 * `first(a, b)` or the sheet's own `if` settled is not asked for, nor what a formula left out although it had all its inputs.
 */
function missingFor({ tape, readings, exactlyOne }: Sheet, slot: number, state: State): string[] {
  const seen = new Set<number>();
  const open = [slot];
  const isEmpty = (cell: number): boolean => Number.isNaN(state.numbers[cell]!) && state.others[cell] === undefined;
  const see = (cell: number): void => {
    if (!seen.has(cell) && isEmpty(cell)) open.push(cell);
  };
  while (open.length > 0) {
    const cell = open.pop()!;
    seen.add(cell);
    if (cell < tape.readings) continue;
    for (const input of tape.calls[cell]?.inputs ?? []) see(input.slot);
    for (let at = tape.start[cell]!; at < tape.start[cell + 1]!; ) {
      const op = tape.code[at]!;
      const from = tape.code[at + 1]!;
      if (op === Op.CELL) see(from);
      // A call that gave its other results lacks what this one needs: its optional inputs.
      else if (op === Op.FIELD) for (const input of tape.calls[from]?.inputs ?? []) see(input.slot);
      at += op === Op.FIELD ? 3 : op === Op.CELL || op === Op.CONST ? 2 : 1;
    }
  }
  const barred = exactlyOne.filter((group) => readings.some((spec) => group.includes(spec.name) && !isEmpty(spec.slot))).flat();
  return readings.filter(({ required, slot: of, name }) => !required && seen.has(of) && !barred.includes(name)).map(({ name }) => name);
}

function answerReading(one: Known, state: State): AnswerReading {
  const { spec, value, from, sheet, typed, note } = one;
  const u = standardUncertainty(one, state);
  return {
    name: spec.name,
    label: spec.label,
    value,
    unit: readingUnit(spec),
    uncertainty: u > 0 ? (2 * u) / spec.unit!.factor : null,
    from,
    ...(sheet === undefined ? {} : { sheet }),
    ...(typed === undefined ? {} : { typed }),
    ...(note === undefined ? {} : { note }),
  };
}

/** The unit beside a reading; the columns of a list of rows joined with a slash. */
export const readingUnit = (spec: ReadingSpec): string | null =>
  spec.parts
    ? spec.parts
        .map(({ unit }) => unit?.symbol ?? '')
        .filter(Boolean)
        .join('/') || null
    : (spec.unit?.symbol ?? null);

// ── curves and sentences ────────────────────────────────────────────────────────────────────────────────────────────────────────

function curveOf(sheet: Sheet, spec: CurveSpec, state: State): Curve | undefined {
  const made = (x: readonly number[], columns: readonly (readonly (number | null)[])[], here: number | null): Curve | undefined => {
    // What was left out above, for want of an optional reading, is left out of the curve too.
    const drawn = spec.answers
      .map((one, j) => ({ ...one, values: columns[j]! }))
      .filter(({ values }) => values.some((value) => value !== null));
    const label = (name: string): string => sheet.answers.find((answer) => answer.name === name)?.label || nameInWords(name);
    if (drawn.length === 0) return undefined;
    return {
      over: spec.over,
      label: nameInWords(spec.over),
      unit: spec.unit?.symbol ?? null,
      x,
      answers: Object.fromEntries(drawn.map(({ name, values }) => [name, values])),
      units: Object.fromEntries(drawn.map(({ name, unit }) => [name, unit?.symbol ?? null])),
      labels: Object.fromEntries(drawn.map(({ name }) => [name, label(name)])),
      here,
    };
  };
  if (spec.table) {
    const whole = wholeValue(state, spec.table.slot, spec.table.field) as Record<string, readonly number[]> | undefined;
    const x = whole?.[spec.table.column];
    if (!whole || !x || x.length < 2) return undefined;
    const columns = spec.answers.map(({ unit, column }) => whole[column!]!.map((value) => fromSI(value, unit!)));
    const over = x.map((value) => fromSI(value, spec.unit!));
    return made(over, columns, null);
  }
  const reading = sheet.readings.find(({ name }) => name === spec.over)!;
  const here = state.numbers[reading.slot]!;
  const [from, to, by] = [amount(spec.from!, state), amount(spec.to!, state), amount(spec.by!, state)];
  if (!Number.isFinite(here) || !(by > 0) || !(to >= from)) return undefined;
  const plan = planFor(sheet.tape, reading.slot);
  const x: number[] = [];
  const columns = spec.answers.map((): (number | null)[] => []);
  const varied = copyOf(state);
  const points = Math.min(sheet.caps.points, Math.floor((to - from) / by + 1e-9) + 1);
  for (let i = 0; i < points; i += 1) {
    const at = from + i * by;
    if ((reading.min !== undefined && at < reading.min - 1e-12) || (reading.max !== undefined && at > reading.max + 1e-12)) continue;
    varied.numbers[reading.slot] = at;
    runSome(sheet.tape, varied, sheet.formulas, plan);
    x.push(fromSI(at, reading.unit!));
    spec.answers.forEach(({ slot, unit }, j) => {
      const value = varied.numbers[slot]!;
      columns[j]!.push(Number.isFinite(value) ? fromSI(value, unit!) : null);
    });
  }
  return made(x, columns, fromSI(here, reading.unit!));
}

function sentence(line: LineSpec, state: State, verdicts: ReadonlyMap<string, Verdict | null>): Sentence | undefined {
  for (const condition of line.when) {
    if (condition.kind === 'flag' && state.numbers[condition.slot] !== (condition.not ? 0 : 1)) return undefined;
    if (condition.kind === 'verdict' && verdicts.get(condition.answer) !== condition.is) return undefined;
  }
  const parts: Sentence[number][] = [];
  for (const part of line.parts) {
    if (typeof part === 'string') {
      parts.push(part);
      continue;
    }
    const value = sentenceValue(part.type, part.slot, part.field, part.unit, state);
    if (value === undefined) return undefined;
    parts.push({
      value: part.whole && typeof value === 'number' ? Math.round(value) : value,
      unit: part.unit?.symbol ?? null,
      uncertainty: null,
    });
  }
  return parts;
}

function sentenceValue(
  type: CellType,
  slot: number,
  field: string | null,
  unit: Unit | null,
  state: State,
): number | string | boolean | undefined {
  if (type.kind === 'number' || type.kind === 'flag') {
    const value = state.numbers[slot]!;
    if (!Number.isFinite(value)) return undefined;
    return type.kind === 'flag' ? value !== 0 : fromSI(value, unit!);
  }
  const value = wholeValue(state, slot, field);
  return typeof value === 'string' ? value : undefined;
}
