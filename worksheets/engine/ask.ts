/**
 * A question → its answer. Pure: the same readings give the same answer, whatever the locale, the time zone or the order they come in.
 * What is known of the readings is found in readings.ts, what an answer may be off by in uncertainty.ts.
 */
import type { DomainError } from '../../calc/formula.ts';
import { type Cause, whyAbsent } from './absence.ts';
import { curveOf } from './curves.ts';
import { toCamel, toSnake } from './names.ts';
import type { AnswerSpec, ReadingSpec, Sheet } from './notation.ts';
import { echo, nameInWords, problem } from './problem.ts';
import { factName, fillIn, type Known, readingUnit } from './readings.ts';
import { sentence } from './sentence.ts';
import { newState, runAll, type State, wholeValue } from './tape.ts';
import type { Answer, AnswerReading, AnswerValue, Problem, Problems, ReadingValue, Sentence } from './types.ts';
import {
  amount,
  contributionsTo,
  expanded,
  isCoarse,
  ownUncertainty,
  type Source,
  sourcesOf,
  standardUncertainty,
  supposedSourcesOf,
  verdictOf,
} from './uncertainty.ts';
import { fromSI } from './units.ts';

export { factName, needsOf, readingUnit, unknownReading } from './readings.ts';

export type End = 'front' | 'rear';

/** What each reading may be off by, signed, by the reading it comes from: ∂(this)/∂(that) × u(that). */
export type Contributions = ReadonlyMap<string, number>;

/** A value handed in for a reading that was not typed. */
export type Supplied =
  /** `uncertainty`: the standard one, SI, with which it was measured; null or left out, this sheet's own clause counts. */
  | { readonly from: 'truck'; readonly typed: string; readonly uncertainty?: number | null }
  | ({ readonly from: 'sheet'; readonly sheet: string } & Passed);

/** A number that one sheet passes to another, SI. */
export interface Passed {
  readonly value: number;
  readonly contributions: Contributions;
  /** What the last digits of readings without a ± may move it by; worked out when it is asked for, which is seldom. */
  readonly supposed?: () => Contributions;
}
/** Looks up what a missing reading is by the name of its fact (`front_x` where the sheet treats one end). */
export type Supply = (fact: string, reading: ReadingSpec, asking: Sheet) => Supplied | undefined;

export interface Question {
  readonly readings: Readonly<Record<string, string | number>>;
  readonly end?: End | null;
}

/** An answer, and what another sheet needs to go on from it: SI values with their contributions. */
export interface Outcome {
  readonly answer: Answer;
  readonly values: ReadonlyMap<string, Passed>;
  /** What was typed, in SI: what an archive keeps of the question. */
  readonly given: readonly GivenFact[];
}
export interface GivenFact {
  /** The fact that it is; on a sheet of one end, asked without an end, it is a reading of no known end and keeps its bare name. */
  readonly fact: string;
  readonly name: string;
  readonly typed: string;
  readonly value: ReadingValue;
  /** Standard uncertainty of this measurement alone, SI: what a second weighing adds belongs to that one. */
  readonly uncertainty: number | null;
  readonly unit: string | null;
}

export function ask(sheet: Sheet, question: Question, supply?: Supply): Answer | Problems {
  const outcome = work(sheet, question, supply);
  return 'answer' in outcome ? outcome.answer : outcome;
}

export function work(sheet: Sheet, question: Question, supply?: Supply, { curves = true } = {}): Outcome | Problems {
  const problems: Problem[] = [];
  const refused = (): Problems => ({ kind: 'problems', sheet: sheet.name, problems });
  const known = fillIn(sheet, question, supply, problems);
  if (problems.length > 0) return refused();

  const state = newState(sheet.tape);
  for (const { spec, si } of known.values()) {
    if (spec.type.kind === 'number') state.numbers[spec.slot] = si as number;
    else if (spec.type.kind === 'flag') state.numbers[spec.slot] = si ? 1 : 0;
    else state.others[spec.slot] = si;
  }
  runAll(sheet.tape, state, sheet.formulas);
  // Two formulas that need the same may refuse with the same words.
  const refusals = new Map(state.refused.flatMap((error) => (error ? [[error.message, error]] : [])));
  problems.push(...[...refusals.values()].map((error) => domainProblem(sheet, error)));
  if (problems.length > 0) return refused();

  const sources = sourcesOf(sheet, question.end, known, state);
  let supposedSources: readonly Source[] | undefined;
  // Typed more coarsely than its step, a reading is off by more than is said, and so is all that rests on it.
  const fine = [...known.values()].some((one) => isCoarse(one, state)) ? Number.POSITIVE_INFINITY : FINE;
  const supposedTo = (spec: AnswerSpec): Contributions => {
    supposedSources ??= supposedSourcesOf(sheet, question.end, known, state);
    return contributionsTo(sheet, question.end, spec, state, supposedSources) ?? NOTHING;
  };
  const wider = new Set<string>();
  const answers: AnswerValue[] = [];
  const values = new Map<string, Passed>();
  for (const spec of sheet.answers) {
    const made = answerValue(sheet, question.end, spec, state, sources, supposedTo, fine);
    if (made.kind === 'made') {
      answers.push(made.answer);
      if (typeof made.answer.value === 'number')
        values.set(spec.name, {
          value: state.numbers[spec.slot]!,
          contributions: made.contributions ?? NOTHING,
          supposed: () => supposedTo(spec),
        });
    } else if (made.kind === 'missing') {
      for (const name of askedFor(sheet, made.readings, known)) wider.add(name);
    } else {
      const text = `That does not work out: ${nameInWords(spec.name).toLowerCase()} has no value with these readings.`;
      problems.push(problem(null, null, 'Look at the readings once more.', text));
    }
  }
  if (problems.length > 0) return refused();
  const verdicts = new Map(answers.map(({ name, verdict }) => [name, verdict]));
  const said = (lines: Sheet['next']): Sentence[] =>
    lines.map((line) => sentence(line, state, verdicts)).filter((made) => made !== undefined);
  const answer: Answer = {
    kind: 'answer',
    sheet: sheet.name,
    title: sheet.title,
    end: sheet.ends ? (question.end ?? null) : null,
    readings: [...known.values()].map((one) => answerReading(one, state)),
    answers,
    curves: curves ? sheet.curves.flatMap((curve) => curveOf(sheet, curve, state) ?? []) : [],
    cautions: said(sheet.cautions),
    next: said(sheet.next)[0] ?? null,
    hero: answers.some(({ name }) => name === sheet.hero) ? sheet.hero : (answers[0]?.name ?? sheet.hero),
    wider: [...wider],
  };
  return { answer, values, given: givenFacts(sheet, question, known, state) };
}

const NOTHING: Contributions = new Map();

function domainProblem(sheet: Sheet, error: DomainError): Problem {
  const reading = error.input === null ? null : toSnake(error.input);
  const named = reading !== null && sheet.readings.some(({ name }) => name === reading) ? reading : null;
  return problem(named, null, error.message, `That does not work out: ${error.message}.`);
}

function givenFacts(sheet: Sheet, question: Question, known: ReadonlyMap<string, Known>, state: State): GivenFact[] {
  return [...known.values()]
    .filter(({ from }) => from === 'given')
    .map((one): GivenFact => {
      const u = ownUncertainty(one, state);
      return {
        fact: factName(one.spec.name, sheet, question.end) ?? one.spec.name,
        name: one.spec.name,
        typed: one.typed!,
        value: one.spec.type.kind === 'list' ? one.value : (one.si as ReadingValue),
        uncertainty: u > 0 ? u : null,
        unit: readingUnit(one.spec),
      };
    });
}

function answerReading(one: Known, state: State): AnswerReading {
  const { spec, value, from, sheet, typed, note, contributions } = one;
  // Of another sheet's answer, what is left of readings that cancel is rounding here as it is there.
  const u = contributions ? expanded(contributions, one.si as number) / 2 : standardUncertainty(one, state);
  return {
    name: spec.name,
    label: spec.label,
    value,
    unit: readingUnit(spec),
    uncertainty: u > 0 ? (2 * u) / spec.unit!.factor : null,
    ...(isCoarse(one, state) ? { partial: true } : {}),
    from,
    ...(sheet === undefined ? {} : { sheet }),
    ...(typed === undefined ? {} : { typed: echo(typed) }),
    ...(note === undefined ? {} : { note }),
  };
}

// ── answers ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

type Made =
  | { readonly kind: 'made'; readonly answer: AnswerValue; readonly contributions?: Contributions | undefined }
  | Exclude<Cause, { kind: 'absent' }>;

/** One part in 200. What is coarser says that little is known, and that is true, whatever else may move it. */
const FINE = 5e-3;

function answerValue(
  sheet: Sheet,
  end: End | null | undefined,
  spec: AnswerSpec,
  state: State,
  sources: readonly Source[],
  supposedTo: (spec: AnswerSpec) => Contributions,
  fine: number,
): Made {
  const base = { name: spec.name, label: spec.label, unit: spec.unit?.symbol ?? null, uncertainty: null, verdict: null, band: null };
  const because = (cause: Cause): Made =>
    cause.kind === 'absent' ? { kind: 'made', answer: { ...base, value: null, why: cause.why } } : cause;
  if (spec.type.kind === 'text' || spec.type.kind === 'choice') {
    const value = wholeValue(state, spec.slot, spec.field);
    if (typeof value === 'string') return { kind: 'made', answer: { ...base, value } };
    return because(whyAbsent(sheet.tape, state, spec.slot, spec.field === null ? null : toCamel(spec.field)));
  }
  const value = state.numbers[spec.slot]!;
  if (Number.isNaN(value)) return because(whyAbsent(sheet.tape, state, spec.slot));
  if (!Number.isFinite(value)) return { kind: 'no value' };
  if (spec.type.kind === 'flag') return { kind: 'made', answer: { ...base, value: value !== 0 } };

  const unit = spec.unit!;
  // A whole number stands still and then jumps: a derivative of it says nothing, so it carries no ±.
  const contributions = spec.whole ? undefined : contributionsTo(sheet, end, spec, state, sources);
  const off = contributions === undefined ? 0 : expanded(contributions, value);
  const band = spec.band ? { low: amount(spec.band[0], state), high: amount(spec.band[1], state) } : null;
  const word = spec.verdict ? wholeValue(state, spec.verdict.slot, spec.verdict.field) : undefined;
  const answer: AnswerValue = {
    ...base,
    value: fromSI(value, unit),
    uncertainty: contributions === undefined ? null : off / unit.factor,
    verdict: typeof word === 'string' ? word : band ? verdictOf(value, off, band) : null,
    band: band ? { low: fromSI(band.low, unit), high: fromSI(band.high, unit) } : null,
  };
  // Three points that lie on a line to the digit leave no scatter, and that says nothing of the ruler.
  const isPerfect = off === 0 && contributions !== undefined && spec.sd !== undefined;
  const partial = isPerfect || (off > 0 && off < fine * Math.abs(value) && 2 * Math.hypot(...supposedTo(spec).values()) > off);
  return { kind: 'made', answer: partial ? { ...answer, partial } : answer, contributions };
}

/** Of the readings that an answer lacks, those that a member may give: not the other one of a pair of which one is known. */
function askedFor(sheet: Sheet, lacking: ReadonlySet<number>, known: ReadonlyMap<string, Known>): string[] {
  const barred = new Set(sheet.exactlyOne.filter((group) => group.some((name) => known.has(name))).flat());
  return sheet.readings.filter(({ slot, name }) => lacking.has(slot) && !barred.has(name)).map(({ name }) => name);
}
