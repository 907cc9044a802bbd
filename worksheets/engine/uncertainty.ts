/**
 * Uncertainty after JCGM 100:2008: every reading has a standard uncertainty (step d → d/√12, ± a → a/√3, sd s → s; 4.3.7, F.2.2.1), carried
 * to each answer by its derivative to the *readings* (5.1.2), so that correlated answers come out right. Shown with k = 2.
 */
import type { Contributions, End } from './ask.ts';
import type { Amount, AnswerSpec, Sheet } from './notation.ts';
import { factName, type Known } from './readings.ts';
import { type Slopes, slopesOf } from './slopes.ts';
import type { State } from './tape.ts';
import type { Verdict } from './types.ts';

export const amount = (of: Amount, state: State): number => ('si' in of ? of.si : state.numbers[of.slot]!);

/** Standard uncertainty of a reading, SI; 0 where it carries none. */
export function standardUncertainty(one: Known, state: State): number {
  const { spec, contributions } = one;
  if (spec.type.kind !== 'number') return 0;
  if (contributions) return Math.hypot(...contributions.values());
  const scatter = spec.sd ? amount(spec.sd, state) : 0;
  return Math.hypot(ownUncertainty(one, state), scatter || 0);
}

/**
 * Of the measurement alone, without what `sd` adds. What is typed wins over the sheet's clause, and so does what the truck's fact was measured
 * to; a default was not measured, so only a ± of its own counts.
 */
export function ownUncertainty({ spec, plusMinus, measuredTo, from }: Known, state: State): number {
  if (spec.type.kind !== 'number') return 0;
  if (plusMinus !== undefined) return plusMinus / Math.sqrt(3);
  if (from === 'default') return 0;
  if (measuredTo !== undefined) return measuredTo;
  const clause = spec.step ? amount(spec.step, state) / Math.sqrt(12) : spec.plusMinus ? amount(spec.plusMinus, state) / Math.sqrt(3) : 0;
  return clause || 0;
}

/** A reading that may be off, how far every cell moves with it, and what it goes back to: itself, or readings of other sheets. */
export interface Source {
  readonly slopes: Slopes;
  readonly back: Contributions;
}

export function sourcesOf(sheet: Sheet, end: End | null | undefined, known: ReadonlyMap<string, Known>, state: State): Source[] {
  const sources: Source[] = [];
  for (const one of known.values()) {
    const u = standardUncertainty(one, state);
    if (!(u > 0)) continue;
    const { slot, name } = one.spec;
    sources.push({
      slopes: slopesOf(sheet.tape, state, sheet.formulas, slot, u),
      // What is given now is the truck's at once (whoever asks lays it over the facts): one measurement, wherever it comes in.
      back: one.contributions ?? new Map([[factName(name, sheet, end) ?? name, u]]),
    });
  }
  return sources;
}

/**
 * What half the last digit as typed may do (rectangular, 4.3.7): of a reading without a ±, and of one typed more coarsely than the step that its
 * sheet counts with, as 0.7 kg on a scale of 1 g. Nobody said so, so it is in no ± and in no verdict; it tells whether a ± can be the whole of it.
 * What is counted or chosen has no last digit.
 */
export function supposedSourcesOf(sheet: Sheet, end: End | null | undefined, known: ReadonlyMap<string, Known>, state: State): Source[] {
  const sources: Source[] = [];
  for (const one of known.values()) {
    const { spec, from, supposed } = one;
    if (spec.type.kind !== 'number' || spec.whole || spec.chosen || from === 'default') continue;
    const own = coarserThanSaid(one, state);
    const back = supposed?.() ?? (own > 0 ? new Map([[factName(spec.name, sheet, end) ?? spec.name, own]]) : new Map());
    const u = Math.hypot(...back.values());
    if (u > 0) sources.push({ slopes: slopesOf(sheet.tape, state, sheet.formulas, spec.slot, u), back });
  }
  return sources;
}

/** The standard uncertainty that the last digit means, where it is more than what is said; 0 where it is not, or a ± was typed. */
function coarserThanSaid(one: Known, state: State): number {
  const { halfDigit = 0, plusMinus } = one;
  const digit = halfDigit / Math.sqrt(3);
  // A step of 1 g and a weight typed to the gram say the same.
  return plusMinus === undefined && digit > 1.01 * standardUncertainty(one, state) ? digit : 0;
}

/** Whether a reading that its sheet gives a step was typed more coarsely than that. */
export function isCoarse(one: Known, state: State): boolean {
  const { spec, from } = one;
  const isMeasured = spec.type.kind === 'number' && !spec.whole && !spec.chosen && (from === 'given' || from === 'truck');
  return isMeasured && standardUncertainty(one, state) > 0 && coarserThanSaid(one, state) > 0;
}

/** What each reading may move this answer by, signed; undefined where no reading that may be off reaches it. */
export function contributionsTo(
  sheet: Sheet,
  end: End | null | undefined,
  spec: AnswerSpec,
  state: State,
  sources: readonly Source[],
): Contributions | undefined {
  const contributions = new Map<string, number>();
  for (const { slopes, back } of sources) {
    if (!slopes.reaches(spec.slot)) continue;
    for (const [reading, part] of back) contributions.set(reading, (contributions.get(reading) ?? 0) + slopes.of[spec.slot]! * part);
  }
  const own = spec.sd ? amount(spec.sd, state) : 0;
  if (own > 0) contributions.set(`${sheet.name}/${factName(spec.name, sheet, end) ?? spec.name}`, own);
  return contributions.size > 0 ? contributions : undefined;
}

/** Expanded uncertainty, k = 2. What is left of readings that cancel (shares that sum to 1) is rounding, and no uncertainty. */
export function expanded(contributions: Contributions, value: number): number {
  const whole = 2 * Math.hypot(...contributions.values());
  return whole > 1e-9 * Math.abs(value) ? whole : 0;
}

/** On target when value ± uncertainty lies wholly inside the band, off target when wholly outside. */
export function verdictOf(value: number, off: number, { low, high }: { readonly low: number; readonly high: number }): Verdict {
  // A value that stands on the band's end by arithmetic must not fall out of it by the last bit.
  const slack = 1e-12 * Math.max(Math.abs(low), Math.abs(high));
  if (value - off >= low - slack && value + off <= high + slack) return 'on target';
  return value + off < low - slack || value - off > high + slack ? 'off target' : 'too close to call';
}
