/** What fills a sheet for one truck: its facts, then what its parts list comes to. The answer says of each where it is from. */
import { isDeepStrictEqual } from 'node:util';
import { limitsOf, typedText } from '../../templates/words.ts';
import type { Beneath, Fact, Part, SetupPart } from '../../worksheets/archive/types.ts';
import { factName, type Outcome } from '../../worksheets/engine/ask.ts';
import type { Sheet } from '../../worksheets/engine/notation.ts';
import type { Answer, AnswerReading } from '../../worksheets/engine/types.ts';

export interface KnownFact {
  /** As a sheet reads it. */
  readonly typed: string;
  /** As the member said it, where that was something else. */
  readonly said?: string;
  /** Standard uncertainty, SI; null: nobody said, so a sheet's own clause counts. */
  readonly uncertainty: number | null;
  /** What an answer that is filled with it has to say. */
  readonly note?: string;
  /** What is kept of it, whether that counts now or stands back. */
  readonly kept?: Beneath;
}
export type Known = ReadonlyMap<string, KnownFact>;

export function knownOf(facts: ReadonlyMap<string, Fact>, parts: readonly Part[]): Known {
  const known = new Map<string, KnownFact>(partsFacts(parts));
  for (const [name, fact] of facts) {
    const notes = [...(fact.note ? [fact.note] : []), ...standsBefore(fact)];
    const kept = fact.kept ? fact : fact.beneath;
    known.set(name, {
      typed: fact.typed,
      ...(kept === null ? {} : { kept }),
      ...(fact.said === undefined ? {} : { said: fact.said }),
      uncertainty: fact.uncertainty,
      ...(notes.length === 0 ? {} : { note: notes.join('; ') }),
    });
  }
  return known;
}

/** A kept reading is never put aside silently. */
const standsBefore = ({ kept, beneath }: Fact): string[] => (kept || beneath === null ? [] : [`just given; ${keptIs(beneath)}`]);
const keptIs = (kept: Beneath): string => {
  const { named, measured } = typedText(kept);
  return `kept is ${named === null ? '' : `${named}, `}${measured}`;
};

// ── the parts list ──────────────────────────────────────────────────────────────────────────────────────────────────────────────

const FROM_PARTS = 'from the parts list';

/** What the parts list comes to, under the names by which sheets ask for it. */
export function partsFacts(parts: readonly SetupPart[]): Map<string, KnownFact> {
  const facts = new Map<string, KnownFact>();
  const aboard = parts.filter(({ place }) => place !== 'off');
  const put = (name: string, of: readonly SetupPart[], share: number, what: string): void => {
    if (of.length === 0) return;
    const { mass, uncertainty } = massOf(of);
    const own = uncertainty === null ? null : uncertainty * share;
    facts.set(name, { typed: grams(mass * share, own), uncertainty: own, note: `${FROM_PARTS}: ${what}` });
  };
  for (const end of ['front', 'rear'] as const) {
    const moving = aboard.filter(({ sprung, axle }) => !sprung && axle === end);
    put(`${end}_unsprung_mass`, moving, 1 / 2, `half of ${listed(moving)}`);
  }
  for (const role of ['tyre', 'rim'] as const) {
    const wheels = aboard.filter((part) => part.role === role);
    const count = wheels.reduce((sum, part) => sum + part.count, 0);
    put(`${role}_mass`, wheels, 1 / count, count === 1 ? listed(wheels) : `mean of ${listed(wheels)}`);
  }
  const packs = aboard.filter(({ role }) => role === 'pack');
  put('pack_mass', packs, 1, listed(packs));

  const movable = parts.filter(({ place, places }) => place !== null && places.length > 0);
  if (movable.length > 0) facts.set('parts', { typed: movable.map(ballastRow).join('; '), uncertainty: null, note: FROM_PARTS });
  return facts;
}

/** What all of these weigh together, each as often as it is there. */
export function massOf(parts: readonly SetupPart[]): { readonly mass: number; readonly uncertainty: number | null } {
  const mass = parts.reduce((sum, part) => sum + part.count * part.mass, 0);
  const off = parts.map((part) => part.count * (part.uncertainty ?? 0));
  return { mass, uncertainty: parts.some(({ uncertainty }) => uncertainty !== null) ? Math.hypot(...off) : null };
}

const ballastRow = ({ name, count, mass, place, places }: SetupPart): string =>
  `${name} / ${plain(count * mass * 1000)} / ${where(place as number | 'off')} / ${places.map(where).join(' ')}`;
const where = (place: number | 'off'): string => (place === 'off' ? place : plain(place * 1000));

const MOST_NAMED = 4;
const listed = (parts: readonly SetupPart[]): string => {
  const named = parts.slice(0, MOST_NAMED).map(({ name, count }) => (count === 1 ? name : `${count} × ${name}`));
  return [...named, ...(parts.length > MOST_NAMED ? [`${parts.length - MOST_NAMED} more`] : [])].join(', ');
};

/** A standard uncertainty u as the half-width that reads back as it: ± a is a/√3. */
const grams = (mass: number, u: number | null): string => `${plain(mass * 1000)} g${u === null ? '' : ` ± ${plain(limitsOf(2000 * u))} g`}`;

/** The shortest decimal to the microgram: 0.1 + 0.2 is 0.3. */
const plain = (value: number): string => String(Number(value.toFixed(6)));

// ── what an answer says of it ───────────────────────────────────────────────────────────────────────────────────────────────────

/** What a member typed where a thing's name or a scale stood, and what it was read as. */
export interface Understood {
  readonly said: string;
  /** The thing's whole name, where its beginning did. */
  readonly name?: string;
  readonly note: string;
}

/** The answer with what is to be said of its readings: things by their names, scales, the parts list, a kept one that stands back. */
export function annotated(
  { answer, given }: Pick<Outcome, 'answer' | 'given'>,
  sheet: Sheet,
  known: Known,
  understood: ReadonlyMap<string, Understood> = new Map(),
): Answer {
  const about = ({
    name,
    from,
  }: AnswerReading): { readonly said?: string | undefined; readonly notes: readonly (string | undefined)[] } => {
    const fact = known.get(factName(name, sheet, answer.end) ?? '');
    if (from === 'truck') return { said: fact?.said, notes: [fact?.note] };
    if (from !== 'given') return { notes: [] };
    const now = given.find((reading) => reading.name === name);
    const differs = fact?.kept !== undefined && now !== undefined && !isDeepStrictEqual(fact.kept.value, now.value);
    return { said: understood.get(name)?.said, notes: [understood.get(name)?.note, differs ? keptIs(fact!.kept!) : undefined] };
  };
  const readings = answer.readings.map((reading): AnswerReading => {
    const { said, notes } = about(reading);
    const note = [...notes, reading.note].filter((piece) => piece !== undefined).join('; ');
    return { ...reading, ...(said === undefined ? {} : { typed: said }), ...(note === '' ? {} : { note }) };
  });
  return { ...answer, readings };
}
