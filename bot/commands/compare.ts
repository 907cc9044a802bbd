/** Two or more setups side by side: the readings that differ, and what differs in the answers worked out again from each. */
import { si } from '../../calc/formula.ts';
import { laps as lapsFormula } from '../../calc/motion/laps.ts';
import { mean } from '../../calc/numeric/statistics.ts';
import { meanReach } from '../../calc/numeric/students-t.ts';
import { clean } from '../../templates/clean.ts';
import { valueText as inUnit } from '../../templates/number.ts';
import type { ComparedAnswer, ComparedRow } from '../../templates/setup.ts';
import { sureAnswer } from '../../templates/sure.ts';
import { answerValueText, type NamedText, namedText, titleOf, typedText, verdictText } from '../../templates/words.ts';
import { canonical } from '../../worksheets/archive/canonical.ts';
import { nameKey } from '../../worksheets/archive/names.ts';
import type { End, SetupDoc, SetupFact, SetupRun, ShownSetup } from '../../worksheets/archive/types.ts';
import { factName, work } from '../../worksheets/engine/ask.ts';
import { supplyFrom } from '../../worksheets/engine/fill.ts';
import { inColumns } from '../../worksheets/engine/list.ts';
import type { Sheet } from '../../worksheets/engine/notation.ts';
import type { Answer, AnswerValue, ReadingValue, Verdict } from '../../worksheets/engine/types.ts';
import { unit } from '../../worksheets/engine/units.ts';
import { partsFacts } from './known.ts';
import { partTexts } from './parts-changed.ts';
import type { Shelf } from './pit.ts';
import { measuredView } from './views.ts';

export interface Compared {
  readonly conditions: readonly ComparedRow[];
  readonly readings: readonly ComparedRow[];
  readonly answers: readonly ComparedAnswer[];
}

export function compared(shelf: Shelf, setups: readonly Pick<ShownSetup, 'doc' | 'runs'>[]): Compared {
  const docs = setups.map(({ doc }) => doc);
  return {
    conditions: conditionsOf(docs),
    readings: readingsOf(shelf, docs),
    answers: [...lapsOf(setups.map(({ runs }) => runs)), ...answersOf(shelf, docs)],
  };
}

/** The newest run of each that has laps, where all of them ran on one track: another track is another lap. */
function lapsOf(runs: readonly (readonly SetupRun[])[]): ComparedAnswer[] {
  const newest = runs.flatMap((some) => some.findLast(({ laps }) => laps.length >= 2) ?? []);
  const [first, last] = [newest[0], newest.at(-1)];
  if (newest.length < runs.length || !first || !last) return [];
  if (new Set(newest.map(({ at }) => at)).size === 1 || new Set(newest.map(({ track }) => nameKey(track ?? ''))).size > 1) return [];
  const { verdict } = lapsFormula({ before: first.laps.map((lap) => si<'s'>(lap)), after: last.laps.map((lap) => si<'s'>(lap)) });
  const each = newest.map(({ laps }, i): AnswerValue => {
    const called = i === newest.length - 1 ? (verdict as Verdict) : null;
    return {
      name: 'mean_lap',
      label: 'of the newest run',
      value: mean(laps),
      unit: 's',
      uncertainty: meanReach(laps),
      verdict: called,
      band: null,
    };
  });
  return [{ what: 'On the track', name: 'mean_lap', sheet: 'laps', end: null, hero: true, values: each.map(valueText), each }];
}

const differ = (values: readonly unknown[]): boolean => new Set(values.map((value) => canonical(value ?? null))).size > 1;

function conditionsOf(docs: readonly SetupDoc[]): ComparedRow[] {
  const texts = docs.map(({ conditions: { temperature, ...rest } = {} }) => ({
    ...rest,
    ...(temperature ? { temperature: temperature.typed } : {}),
  })) as readonly Readonly<Record<string, string>>[];
  return ['track', 'surface', 'grip', 'temperature', 'wind'].flatMap((name): ComparedRow[] => {
    const values = texts.map((one) => one[name] ?? null);
    return differ(values) ? [{ what: null, name, values }] : [];
  });
}

function readingsOf(shelf: Shelf, docs: readonly SetupDoc[]): ComparedRow[] {
  const facts = docs.map((doc) => new Map(doc.facts.map((fact) => [fact.fact, fact])));
  const names = new Set(docs.flatMap((doc) => doc.facts.map(({ fact }) => fact)));
  const rows = [...names].sort().flatMap((name) => {
    const these = facts.map((one) => one.get(name));
    if (!differ(these.map((fact) => fact?.value))) return [];
    const texts = inOneUnit(shelf, these);
    const steps = texts.some((text) => text !== null && text.named !== null) ? { steps: texts } : {};
    return [{ name, values: texts.map((text) => text && namedText(text)), ...steps, step: step(these) }];
  });
  return [...rows, ...partsOf(docs)].sort((a, b) => b.step - a.step).map(({ step: _, ...row }): ComparedRow => ({ what: null, ...row }));
}

/** As it was typed; where one of them was typed in another unit ("609 g", "1.55lb"), all in the sheet's. */
function inOneUnit(shelf: Shelf, facts: readonly (SetupFact | undefined)[]): readonly (NamedText | null)[] {
  const texts = facts.map((fact) => (fact ? typedText(fact) : null));
  const units = new Set(texts.flatMap((text) => (text === null ? [] : [/[^\d\s.,±−+-]\S*$/u.exec(text.measured)?.[0] ?? ''])));
  if (units.size < 2) return texts;
  return texts.map((text, i) => {
    const fact = facts[i];
    if (text === null || fact === undefined || typeof fact.value !== 'number') return text;
    const { value, unit: symbol } = measuredView(shelf, fact.fact, fact);
    return { ...text, measured: inUnit(value, symbol) };
  });
}

/** Of parts lists: what was moved, exchanged, put on or taken off. A setup from before there were any has none, and says nothing of them. */
function partsOf(docs: readonly SetupDoc[]): (Omit<ComparedRow, 'what'> & { readonly step: number })[] {
  if (docs.some(({ parts }) => parts === undefined)) return [];
  const names = new Set(docs.flatMap(({ parts = [] }) => parts.map(({ name }) => name)));
  return [...names].flatMap((name) => {
    const these = docs.map(({ parts = [] }) => parts.find((part) => part.name === name));
    const values = partTexts(these);
    if (!differ(values)) return [];
    const [places, masses] = [these.map((part) => part?.place), these.map((part) => part && part.mass * part.count)];
    const isListed = !values.includes(null);
    const wasTakenOff = isListed && differ(places.map((place) => place === 'off'));
    return [
      { name: clean(name, { graphemes: 40 }), values, step: wasTakenOff ? 1 : isListed ? Math.max(share(places), share(masses)) : 0 },
    ];
  });
}

/** How large the range of these is beside the largest; 0 where not all are numbers. */
function share(values: readonly unknown[]): number {
  const numbers = values.filter((value) => typeof value === 'number');
  if (numbers.length < values.length) return 0;
  const size = Math.max(...numbers.map(Math.abs));
  return size === 0 ? 0 : (Math.max(...numbers) - Math.min(...numbers)) / size;
}

/** How large a change is beside the thing itself: a spring that was swapped stands before a gram on a corner. What is only here or there comes last. */
function step(facts: readonly (SetupFact | undefined)[]): number {
  const values = facts.map((fact) => fact?.value);
  if (values.includes(undefined)) return 0;
  return values.every((value) => typeof value === 'number') ? share(values) : 1e-3;
}

function answersOf(shelf: Shelf, docs: readonly SetupDoc[]): ComparedAnswer[] {
  const asked = new Map<string, { sheet: string; end: End }>();
  for (const doc of docs) for (const { sheet, end } of doc.sheets) asked.set(`${sheet} ${end ?? ''}`, { sheet, end });
  return [...asked.values()].flatMap(({ sheet, end }): ComparedAnswer[] => {
    const made = docs.map((doc) => answeredAgain(shelf, doc, sheet, end));
    const one = made.find((answer) => answer !== null);
    if (!one) return [];
    const names = new Set(made.flatMap((answer) => answer?.answers.map(({ name }) => name) ?? []));
    return [...names].flatMap((name): ComparedAnswer[] => {
      const values = made.map((answer) => answer?.answers.find((each) => each.name === name));
      const each = values.map((value) => value ?? null);
      return same(values) ? [] : [{ what: titleOf(one), name, sheet, end, hero: name === one.hero, values: values.map(valueText), each }];
    });
  });
}

/** What the setup knows: what its parts come to, before that its facts; and what its sheets had besides from the truck then, before it kept parts. */
function knownThen(
  { sheets }: Pick<Shelf, 'sheets'>,
  doc: SetupDoc,
): Map<string, { readonly typed: string; readonly uncertainty: number | null }> {
  const known = new Map<string, { readonly typed: string; readonly uncertainty: number | null }>(partsFacts(doc.parts ?? []));
  for (const { fact, typed, uncertainty } of doc.facts) known.set(fact, { typed, uncertainty });
  for (const { sheet: name, end, answer } of doc.sheets) {
    const sheet = sheets.get(name);
    if (!sheet) continue;
    for (const reading of answer.readings) {
      const fact = reading.from === 'truck' ? factName(reading.name, sheet, end) : null;
      if (fact === null || known.has(fact)) continue;
      const { value, unit: symbol, uncertainty } = reading;
      const of = symbol === null ? undefined : unit(symbol);
      known.set(fact, {
        typed: asItWas(value, symbol, sheet, reading.name),
        uncertainty: uncertainty === null || !of ? null : (uncertainty / 2) * of.factor,
      });
    }
  }
  return known;
}

function asItWas(value: ReadingValue, symbol: string | null, sheet: Sheet, name: string): string {
  if (typeof value !== 'object')
    return typeof value === 'number' && symbol !== null && symbol !== '1' ? `${value} ${symbol}` : String(value);
  const spec = sheet.readings.find((one) => one.name === name);
  const cell = (one: unknown): string => (Array.isArray(one) ? one.join(' ') : String(one));
  return (spec ? inColumns(value, spec) : value)
    .map((row) => (typeof row === 'object' ? Object.values(row).map(cell).join(' / ') : cell(row)))
    .join('; ');
}

/** The sheet asked again with all that the setup knows. A sheet that is gone, or does not work out any more, has no answer. */
export function answeredAgain(shelf: Shelf, doc: SetupDoc, name: string, end: End): Answer | null {
  const sheet = shelf.sheets.get(name);
  if (!sheet) return null;
  const facts = knownThen(shelf, doc);
  const record = doc.sheets.find((one) => one.sheet === name && one.end === end);
  const readings = Object.fromEntries((record?.readings ?? []).filter(({ fact }) => !facts.has(fact)).map((one) => [one.name, one.typed]));
  const outcome = work(sheet, { readings, end }, supplyFrom(facts, shelf.answering), { curves: false });
  return 'answer' in outcome ? sureAnswer(outcome.answer) : null;
}

function same(values: readonly (AnswerValue | undefined)[]): boolean {
  const [first, ...others] = values;
  return others.every((other) => {
    if (typeof first?.value === 'number' && typeof other?.value === 'number')
      return Math.abs(first.value - other.value) <= 1e-9 * Math.max(Math.abs(first.value), Math.abs(other.value));
    return (first?.value ?? first?.why ?? null) === (other?.value ?? other?.why ?? null);
  });
}

const valueText = (value: AnswerValue | undefined): string | null =>
  value ? `${answerValueText(value)}${value.verdict === null ? '' : ` ${verdictText(value.verdict)}`}` : null;
