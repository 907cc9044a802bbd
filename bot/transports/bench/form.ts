/** A sheet's readings as the fields of a form: labels, units, ranges, what was typed, what is wrong with it, what the truck already has. */

import type { Choice, Field, FormView, ProblemView } from '../../../templates/bench/index.ts';
import { clean } from '../../../templates/clean.ts';
import { unitText, valueText } from '../../../templates/number.ts';
import { capital, nameWords } from '../../../templates/words.ts';
import { type End, factName, needsOf } from '../../../worksheets/engine/ask.ts';
import type { ReadingSpec, Sheet } from '../../../worksheets/engine/notation.ts';
import { rangeInWords } from '../../../worksheets/engine/problem.ts';
import type { Problem } from '../../../worksheets/engine/types.ts';
import { fromSI } from '../../../worksheets/engine/units.ts';
import { exampleLine } from '../../commands/help.ts';
import { queryOf } from './question.ts';

export interface FormOf {
  readonly sheet: Sheet;
  readonly options: Readonly<Record<string, string>>;
  readonly problems: readonly Problem[];
  /** What is known of the truck, as a member said it, by the fact's name. */
  readonly facts: ReadonlyMap<string, string>;
  readonly trucks: readonly string[];
  /** What is meant when no truck is named, in words. */
  readonly current: string;
  readonly canKeep: boolean;
}

export const addressOf = (sheet: Sheet): string => `/sheets/${sheet.name}`;
const fieldId = (name: string): string => `r-${name}`;

export function formView({ sheet, options, problems, facts, trucks, current, canKeep }: FormOf): FormView {
  const fields = new Map(sheet.readings.map((spec) => [spec.name, fieldFor(spec)]));
  const asked = new Set([...sheet.exactlyOne.flat(), ...sheet.readings.filter(({ required }) => required).map(({ name }) => name)]);
  const needed = sheet.readings.filter(({ name }) => asked.has(name));
  const further = sheet.readings.filter(({ name }) => !asked.has(name));
  const touched = (name: string): boolean => name in options || problems.some(({ reading }) => reading === name);
  const example = queryOf(sheet, sheet.example);

  function fieldFor(spec: ReadingSpec): Field {
    return field({
      spec,
      value: options[spec.name] ?? '',
      problems: problems.filter(({ reading }) => reading === spec.name),
      known: knownOf(spec),
    });
  }
  function knownOf(spec: ReadingSpec): string | null {
    if (spec.name in options) return null;
    const end = options.end?.trim().toLowerCase();
    const fact = factName(spec.name, sheet, end === 'front' || end === 'rear' ? (end satisfies End) : null);
    const typed = fact === null ? undefined : facts.get(fact);
    return typed === undefined ? null : `Left empty: ${clean(typed, { graphemes: 60 })}, known of this truck`;
  }

  return {
    action: addressOf(sheet),
    canKeep,
    problems: problems.map(({ reading, text }): ProblemView => ({ text, href: hrefFor(reading) })),
    first: [...(sheet.ends ? [endField(options.end ?? '', problems)] : [])],
    needed: [...needed.map(({ name }) => fields.get(name)!), truckField(options.truck ?? '', { trucks, current }, problems)],
    further: further.map(({ name }) => fields.get(name)!),
    furtherOpen: needed.length === 0 || further.some(({ name }) => touched(name)),
    example: example === '' ? null : `${addressOf(sheet)}?${example}#answer`,
    empty: Object.keys(options).length > 0 ? addressOf(sheet) : null,
  };

  function hrefFor(reading: string | null): string | null {
    if (reading === null) return null;
    if (reading === 'truck' || fields.has(reading)) {
      const spec = sheet.readings.find(({ name }) => name === reading);
      return `#${spec?.type.kind === 'flag' ? choiceId(reading, 0) : fieldId(reading)}`;
    }
    return reading === 'end' && sheet.ends ? `#${choiceId('end', 0)}` : null;
  }
}

/** The line in chat that asks the sheet's example; null where it has none. */
export const exampleOf = (sheet: Sheet): string | null => (Object.keys(sheet.example).length > 0 ? `/${exampleLine(sheet)}` : null);

const choiceId = (name: string, i: number): string => `${fieldId(name)}-${i}`;

// ── fields ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

interface About {
  readonly name: string;
  readonly label: string;
  readonly hints: readonly string[];
  readonly known: string | null;
  readonly problems: readonly Problem[];
  readonly unit?: string | null;
}

function base({ name, label, hints, known, problems, unit = null }: About) {
  const id = fieldId(name);
  const described = [
    unit && `${id}-unit`,
    problems.length > 0 && `${id}-problem`,
    hints.length > 0 && `${id}-hint`,
    known && `${id}-known`,
  ];
  return {
    id,
    name,
    label,
    hints,
    known,
    problems: problems.map(({ text }) => text),
    describedBy: described.filter(Boolean).join(' ') || null,
  };
}

function field({ spec, value, problems, known }: { spec: ReadingSpec; value: string; problems: Problem[]; known: string | null }): Field {
  const { name, type } = spec;
  const about = { name, label: capital(nameWords(name)), hints: hintsOf(spec), known, problems };
  if (type.kind === 'choice') {
    const choices = [
      choice(name, 0, '', spec.required ? 'choose' : 'not said', value.trim() === ''),
      ...type.choices.map((one, i) => choice(name, i + 1, one, words(one), spoken(value) === one)),
    ];
    // What was typed in a line and is no choice stays to be seen, and the problem beside it says so.
    const strange = value.trim() !== '' && !choices.some(({ chosen }) => chosen);
    return {
      kind: 'select-field',
      ...base(about),
      choices: strange ? [...choices, choice(name, choices.length, value, clean(value), true)] : choices,
    };
  }
  if (type.kind === 'flag') return { kind: 'radio-field', ...base(about), choices: radios(name, yesOrNo(value), ['yes', 'no']) };
  if (type.kind === 'list')
    return {
      kind: 'list-field',
      ...base(about),
      value,
      rows: Math.min(8, Math.max(spec.parts!.length > 1 ? 4 : 3, value.split('\n').length)),
    };
  const unit = spec.unit === null ? null : unitText(spec.unit.symbol) || null;
  return { kind: 'line-field', ...base({ ...about, unit }), value, unit, inputmode: inputmode(spec), suggestions: [] };
}

const choice = (name: string, i: number, value: string, label: string, chosen: boolean): Choice => ({
  id: choiceId(name, i),
  value,
  label,
  chosen,
});
const words = (word: string): string => word.replaceAll('_', ' ');
const spoken = (typed: string): string =>
  typed
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_');

/** What the engine takes for yes and no, as the buttons say it. */
const yesOrNo = (typed: string): string =>
  typed
    .trim()
    .toLowerCase()
    .replace(/^(?:y|true|on|1)$/, 'yes')
    .replace(/^(?:n|false|off|0)$/, 'no');

function radios(name: string, value: string, answers: readonly string[]): Choice[] {
  const typed = value.trim().toLowerCase();
  const chosen = answers.find((one) => one === typed);
  return [
    ...answers.map((one, i) => choice(name, i, one, one, one === chosen)),
    choice(name, answers.length, '', 'not said', chosen === undefined),
  ];
}

const endField = (value: string, problems: readonly Problem[]): Field => ({
  kind: 'radio-field',
  ...base({
    name: 'end',
    label: 'Which end of the truck',
    hints: [],
    known: null,
    problems: problems.filter(({ reading }) => reading === 'end'),
  }),
  choices: radios('end', value, ['front', 'rear']),
});

const truckField = (value: string, { trucks, current }: Pick<FormOf, 'trucks' | 'current'>, problems: readonly Problem[]): Field => ({
  kind: 'line-field',
  ...base({
    name: 'truck',
    label: 'Truck',
    hints: [`Left empty: ${current}`],
    known: null,
    problems: problems.filter(({ reading }) => reading === 'truck'),
  }),
  value,
  unit: null,
  inputmode: 'text',
  suggestions: trucks,
});

/** "Front left wheel", "10 to 5000 g", "Left empty: 60 %". */
const hintsOf = (spec: ReadingSpec): string[] =>
  [spec.label, rangeOf(spec), defaultOf(spec)].filter((piece) => piece !== null && piece !== '').map((piece) => capital(piece!));

function rangeOf(spec: ReadingSpec): string | null {
  if (spec.type.kind === 'number') return rangeInWords(spec.min, spec.max, spec.unit!);
  return spec.type.kind === 'list'
    ? needsOf(spec)
        .replace(/^Give /, '')
        .replace(/\.$/, '')
    : null;
}

function defaultOf(spec: ReadingSpec): string | null {
  const value = spec.default;
  if (value === undefined) return null;
  if (typeof value === 'boolean') return `left empty: ${value ? 'yes' : 'no'}`;
  if (typeof value === 'string') return `left empty: ${words(value)}`;
  const unit = spec.unit!;
  const shown = valueText(value.written ?? fromSI(value.value, unit), unit.symbol);
  const plusMinus = value.plusMinus === undefined ? '' : ` ± ${valueText(value.plusMinus / unit.factor, unit.symbol)}`;
  return `left empty: ${shown}${plusMinus}`;
}

/**
 * Which keyboard a phone shows. A keyboard of digits is quick with dusty hands but has no minus, no stroke and no letters, so it is kept
 * for readings that hardly ever need them; ratios (43/13), rates (4.1 lb), oils (25 wt), gear sizes (48 pitch) and times (1:02.3) do.
 */
function inputmode({ type, kind, whole, min }: ReadingSpec): 'decimal' | 'numeric' | 'text' {
  if (type.kind !== 'number' || WORDY.has(kind) || min === undefined || min < 0) return 'text';
  return whole ? 'numeric' : 'decimal';
}
const WORDY = new Set(['ratio', 'rate', 'viscosity', 'gear module', 'gear pitch', 'time', 'temperature']);
