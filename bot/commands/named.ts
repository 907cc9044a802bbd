/**
 * Readings typed as a thing's name: `spring_rate:blue 0.45` takes that spring's measured rate, `spacing:salt flat` that track's, and `612@2` is
 * what was on scale 2. The names become typed values before the engine is asked, which knows nothing of them; the answer says what was taken.
 */
import { gainText } from '../../templates/things.ts';
import type { GivenReading, How, Thing, ThingKind } from '../../worksheets/archive/types.ts';
import { fold } from '../../worksheets/archive/words.ts';
import { needsOf } from '../../worksheets/engine/ask.ts';
import type { ReadingSpec } from '../../worksheets/engine/notation.ts';
import { nearest, slipProblem } from '../../worksheets/engine/problem.ts';
import { readQuantity } from '../../worksheets/engine/quantity.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import { fromSI, toSI, type Unit, unit } from '../../worksheets/engine/units.ts';
import type { Understood } from './known.ts';

export interface Named {
  /** What the engine reads, by the name it was given under. */
  readonly typed: Readonly<Record<string, string>>;
  readonly understood: ReadonlyMap<string, Understood & { readonly how: How }>;
  readonly problems: readonly Problem[];
}

/** Whether any of these may be a name: only then is the archive asked for the club's things. */
export const holdsNames = (typed: Readonly<Record<string, string>>, specOf: (name: string) => ReadingSpec | undefined): boolean =>
  Object.entries(typed).some(([name, value]) => {
    const spec = specOf(name);
    if (!spec) return false;
    if (value.includes('@')) return true;
    return spec.type.kind === 'number' && !('ok' in readNumber(value, spec)) && /\p{L}/u.test(value);
  });

export function withNames(
  typed: Readonly<Record<string, string>>,
  specOf: (name: string) => ReadingSpec | undefined,
  things: readonly Thing[],
): Named {
  const made: Record<string, string> = Object.create(null);
  const understood = new Map<string, Understood & { readonly how: How }>();
  const problems: Problem[] = [];
  for (const [name, written] of Object.entries(typed)) {
    const spec = specOf(name);
    // A chat puts a sign that nobody sees behind an @, so that it calls nobody; who copies a reading copies it too.
    const value = written.includes('@') ? written.replace(/\p{Cf}/gu, '') : written;
    const read = spec && (value.includes('@') ? weighed(value, spec, name, things) : thingIn(value, spec, name, things));
    if (read === undefined) made[name] = written;
    else if ('problem' in read) problems.push(read.problem);
    else {
      made[name] = read.typed;
      understood.set(name, { said: value.trim(), note: read.note, how: read.how, ...(read.name === undefined ? {} : { name: read.name }) });
    }
  }
  return { typed: made, understood, problems };
}

type Read =
  | { readonly typed: string; readonly name?: string; readonly note: string; readonly how: How }
  | { readonly problem: Problem }
  | undefined;

const readNumber = (typed: string, spec: ReadingSpec) => readQuantity(typed, spec as ReadingSpec & { unit: Unit });
/** The same without bounds: what a scale showed may be out where what was on it is not. */
const readLoose = (typed: string, { kind, unit: of, said }: ReadingSpec) =>
  readQuantity(typed, { kind, unit: of!, ...(said === undefined ? {} : { said }) });

/** As few digits as say it: ten figures are beyond any scale. */
const plain = (value: number): string => String(Number(value.toPrecision(10)));

// ── scales ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

function weighed(value: string, spec: ReadingSpec, name: string, things: readonly Thing[]): Read {
  const scales = things.filter(({ kind }) => kind === 'scale');
  if (spec.type.kind === 'list') return weighedList(value, spec, name, scales);
  if (spec.type.kind !== 'number') return undefined;
  const [, shown, called] = /^([^@]*)@\s*([^@]*)$/.exec(value) ?? [];
  if (spec.kind !== 'mass') return { problem: slipProblem(name, value, { is: 'names a scale, and a scale weighs', needs: needsOf(spec) }) };
  if (shown === undefined) return { problem: slipProblem(name, value, { is: 'names more than one scale', needs: 'Give it like 612@2.' }) };
  const scale = scaleCalled(called!, scales);
  if ('needs' in scale) return { problem: slipProblem(name, value, { is: 'names a scale that the club has not', needs: scale.needs }) };
  const read = readLoose(shown, spec);
  if ('slip' in read) return { problem: slipProblem(name, value, read.slip) };
  const { gain, step } = scale.scale!;
  const half = read.ok.plusMinus ?? step / 2;
  const of = spec.unit!;
  const typed = `${plain(fromSI(read.ok.value / gain, of))} ${of.symbol} ± ${plain(half / gain / of.factor)} ${of.symbol}`;
  const checked = readNumber(typed, spec);
  // A hint would be of what was on the scale, not of what it showed.
  if ('slip' in checked) return { problem: slipProblem(name, value, { is: checked.slip.is, needs: checked.slip.needs }) };
  return { typed, note: `scale ${scale.name} ${gainText(gain)}`, how: 'measured' };
}

/** "610@1 608@1": each load of a list on its scale. A list carries no ±, so the step is left out. */
function weighedList(value: string, spec: ReadingSpec, name: string, scales: readonly Thing[]): Read {
  if (!spec.parts?.some(({ kind }) => kind === 'mass')) return undefined;
  const used = new Map<string, number>();
  let slip: Problem | undefined;
  const typed = value.replace(/(\d[\d.,]*)\s*(\p{L}*)@([\p{L}\p{N}_-]+)/gu, (item, digits: string, word: string, called: string) => {
    const scale = scaleCalled(called, scales);
    if ('needs' in scale) {
      slip ??= slipProblem(name, item, { is: 'names a scale that the club has not', needs: scale.needs });
      return item;
    }
    const of = unit(word === '' ? 'g' : word);
    if (!of) return item;
    const shown = Number(digits.replace(',', '.'));
    used.set(scale.name, scale.scale!.gain);
    return `${plain(fromSI(toSI(shown, of) / scale.scale!.gain, of))}${word}`;
  });
  if (slip) return { problem: slip };
  if (used.size === 0) return undefined;
  return { typed, note: [...used].map(([scale, gain]) => `scale ${scale} ${gainText(gain)}`).join(', '), how: 'measured' };
}

function scaleCalled(called: string, scales: readonly Thing[]): Thing | { readonly needs: string } {
  const key = fold(called.trim().replace(/^scale\s+/i, ''));
  const found = scales.find(({ name }) => fold(name) === key);
  if (found) return found;
  const names = scales.map(({ name }) => name);
  return { needs: names.length === 0 ? 'Add it: scale add 2 known:500 reads:502.' : `There is ${names.slice(0, 12).join(', ')}.` };
}

// ── things by their names ───────────────────────────────────────────────────────────────────────────────────────────────────────

/** Which things a reading can be: a spring's rate is no wheel rate, and a track is its whoops' spacing. */
const FITS: { readonly [kind in ThingKind]?: (spec: ReadingSpec) => boolean } = {
  spring: ({ kind, name }) => kind === 'rate' && /spring|^rate_/.test(name),
  oil: ({ kind }) => kind === 'viscosity',
  pinion: ({ kind, name }) => kind === 'count' && name === 'pinion',
  ballast: ({ kind }) => kind === 'mass',
  track: ({ kind, name }) => kind === 'length' && name === 'spacing',
};

function thingIn(value: string, spec: ReadingSpec, name: string, things: readonly Thing[]): Read {
  if (spec.type.kind !== 'number') return undefined;
  const read = readNumber(value, spec);
  // What reads as a number is one: only words that say nothing else are looked up.
  if ('ok' in read || !/\p{L}/u.test(value) || 'ok' in readLoose(value, spec)) return undefined;
  const fitting = things.filter((thing) => thing.typed !== null && FITS[thing.kind]?.(spec));
  if (fitting.length === 0) return undefined;
  const key = fold(value.trim().replace(/^box\s+/i, ''));
  const exact = fitting.filter((thing) => fold(thing.name) === key);
  const found = exact.length > 0 ? exact : fitting.filter((thing) => begins(fold(thing.name), key));
  const says = (one: Thing): string => `${one.name} (${one.owner?.name ?? 'the club’s'})`;
  if (found.length > 1) {
    const needs = `Give one of them: ${found.slice(0, 8).map(says).join(', ')}.`;
    return { problem: slipProblem(name, value, { is: `could be ${found.length} things`, needs }) };
  }
  const thing = found[0];
  if (!thing) {
    const like = nearest(
      value,
      fitting.map((one) => one.name),
    );
    return { problem: slipProblem(name, value, { ...read.slip, ...(like === undefined ? {} : { hint: `Did you mean ${like}?` }) }) };
  }
  const taken = readNumber(thing.typed!, spec);
  if ('slip' in taken) return { problem: slipProblem(name, `${thing.name}, ${thing.typed}`, taken.slip) };
  return { typed: thing.typed!, name: thing.name, note: noteOf(thing), how: thing.how };
}

const begins = (name: string, typed: string): boolean => typed !== '' && name.startsWith(typed);

/** It is kept with the reading and goes wherever a setup goes, so it names nobody: whose a thing is, and who has it, the box says. */
const noteOf = ({ kind, how, lent }: Thing): string =>
  [
    kind === 'track' ? 'of that track' : `${kind} from the box`,
    ...(how === 'measured' ? [] : [how]),
    ...(lent === null ? [] : ['lent']),
  ].join(', ');

/** A name that a reading would take for a number would never be found. */
export function readsAsNumber(name: string, kind: ThingKind, specs: Iterable<ReadingSpec>): boolean {
  if (!/\p{L}/u.test(name)) return true;
  for (const spec of specs) if (spec.type.kind === 'number' && FITS[kind]?.(spec) && 'ok' in readLoose(name, spec)) return true;
  return false;
}

/** What a thing of this kind is measured as: by the first reading on the shelf that it fits. */
export function specFor(kind: ThingKind, specs: Iterable<ReadingSpec>): ReadingSpec | undefined {
  for (const spec of specs) if (spec.type.kind === 'number' && FITS[kind]?.(spec)) return spec;
  return undefined;
}

/** The reading with the name of what it was taken from: others who read it know no "bl". */
export const called = (reading: GivenReading, understood: Named['understood']): GivenReading => {
  const about = understood.get(reading.name);
  return about === undefined ? reading : { ...reading, said: about.name ?? about.said, note: about.note, how: about.how };
};
