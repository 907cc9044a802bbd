/** Words that text and cards share: names, verdicts, sentences, and which answers come first. */
import type { Answer, AnswerReading, AnswerValue, Sentence, Verdict } from '../worksheets/engine/types.ts';
import { acted, bandText, quantity, type Shown, shown, valueText } from './number.ts';

/** `cg_from_front` reads "CG from front". */
export function nameWords(name: string): string {
  return name
    .split('_')
    .map((word) => spelling[word as keyof typeof spelling] ?? word)
    .join(' ');
}
const spelling = { cg: 'CG', kv: 'kv' };

export const capital = (text: string): string => text.replace(/^\p{Ll}/u, (letter) => letter.toUpperCase());

/** Never a colour without a sign: it stands before the words, on a card as a drawn shape. `laps` has words of its own. */
export const verdictSigns: { readonly [verdict: string]: string } = {
  'on target': '✓',
  faster: '✓',
  'off target': '✗',
  slower: '✗',
  'too close to call': '≈',
  'cannot tell': '≈',
};
export const verdictText = (verdict: Verdict): string => `${verdictSigns[verdict] ?? '≈'} ${verdict}`;

/** What a verdict comes to, whatever its words. */
export type Call = 'good' | 'not good' | 'open';
export function callOf(verdict: Verdict): Call {
  const sign = verdictSigns[verdict];
  return sign === '✓' ? 'good' : sign === '✗' ? 'not good' : 'open';
}

/** An answer's value without its ±, or the reason for its absence. */
export function answerValueText(answer: AnswerValue): string {
  if (answer.value === null) return answer.why ?? 'absent';
  return typeof answer.value === 'number' ? quantity(answer.value, answer.unit, answer.uncertainty) : valueText(answer.value, answer.unit);
}

/** An answer in parts, for faces that set number, unit and ± apart; words stand in the place of the number. */
export function answerShown(answer: AnswerValue): Shown {
  if (typeof answer.value === 'number') return shown(answer.value, answer.unit, answer.uncertainty);
  return { number: answerValueText(answer), unit: '', plusMinus: null };
}

export const bandOf = (answer: AnswerValue): string | null => (answer.band === null ? null : bandText(answer.band, answer.unit));

/** A sentence of the sheet with its values in it, rounded to what one can act on. */
export function sentenceText(sentence: Sentence): string {
  return sentence
    .map((part) => {
      if (typeof part === 'string') return part;
      if (typeof part.value === 'number') return acted(part.value, part.unit, part.uncertainty);
      return part.value === null ? '–' : valueText(part.value, part.unit);
    })
    .join('')
    .replace(/\s+/g, (space) => (space === '\u2009' ? space : ' '))
    .trim();
}

export const heroOf = (answer: Answer): AnswerValue | null =>
  answer.answers.find(({ name }) => name === answer.hero) ?? answer.answers[0] ?? null;

/** "Corner weights", "Ride, rear": the title with the end it speaks of. */
export const titleOf = (answer: Answer): string => (answer.end === null ? answer.title : `${answer.title}, ${answer.end}`);

/** Whether the label says more than the name: "rear share" against "on the rear wheels". */
export const explains = ({ name, label }: { readonly name: string; readonly label: string }): boolean =>
  label !== '' && label.toLowerCase() !== nameWords(name).toLowerCase() && label !== name;

/** A reading with the limits that were typed or that its sheet gives it: "612 g ± 2" reads so again. What another sheet answered keeps its own ±. */
export const readingText = ({ value, unit, uncertainty, from }: AnswerReading): string =>
  valueText(value, unit, uncertainty === null || from === 'sheet' ? uncertainty : limitsOf(uncertainty));

/** Half the width between the limits of a rectangular distribution, from its expanded uncertainty, k = 2 (JCGM 100:2008, 4.3.7: u = a/√3). */
export const limitsOf = (expanded: number): number => (expanded / 2) * Math.sqrt(3);

/** "612" reads "612 g" where the unit was left out, "612 ± 2" reads "612 g ± 2". */
export function asTyped(typed: string, unit: string | null): string {
  const [, number, limits = ''] = /^([\d.,\s+−-]+?)(\s*±\s*[\d.,]+)?\s*$/.exec(typed) ?? [];
  return number !== undefined && unit !== null && unit !== '1'
    ? `${number.trim()} ${unit}${limits && ` ± ${limits.replace(/[\s±]/g, '')}`}`
    : typed.trim();
}

// ── things by their names ───────────────────────────────────────────────────────────────────────────────────────────────────────

/** The name of the thing that a reading was taken from; "612@2" names a scale, which is none. */
export const thingNamed = (said: string | null | undefined): string | null => (said && !said.includes('@') ? said : null);

/** A reading with the name of the thing that it is of. */
export interface NamedText {
  readonly named: string | null;
  readonly measured: string;
}
/** "blue 0.45 (0.447 N/mm)" */
export const namedText = ({ named, measured }: NamedText): string => (named === null ? measured : `${named} (${measured})`);

/** "blue 0.45 → black 0.50 (0.447 → 0.497 N/mm)"; null where it is not there. */
export function stepsText(steps: readonly (NamedText | null)[]): string {
  const named = steps.flatMap((step) => step?.named ?? []);
  if (named.length < steps.length) return steps.map((step) => (step === null ? '–' : namedText(step))).join(' → ');
  const measured = unitOnce(steps.flatMap((step) => step?.measured ?? [])).join(' → ');
  return `${new Set(named).size === 1 ? named[0] : named.join(' → ')} (${measured})`;
}

/** "0.38", "0.45 N/mm": one unit for all of them is said once; "blue soft" and "red soft" have none. */
export function unitOnce(texts: readonly string[]): string[] {
  const units = texts.map((text) => /^[−+-]?\d[\d.,\u2009]*(\s[^\d\s]\S*)$/.exec(text)?.[1]);
  const [unit] = units;
  if (unit === undefined || units.some((one) => one !== unit)) return [...texts];
  return texts.map((text, i) => (i < texts.length - 1 ? text.slice(0, -unit.length) : text));
}

/** A reading as it was typed; of a thing its name and what it measures. What it may be off by stands with the thing. */
export const asSaid = (reading: { readonly said?: string | undefined; readonly typed: string; readonly unit: string | null }): string =>
  namedText(typedText(reading));
export function typedText({ said, typed, unit }: Parameters<typeof asSaid>[0]): NamedText {
  const named = thingNamed(said);
  return { named, measured: asTyped(named === null ? (said ?? typed) : typed.replace(/\s*(?:±|\+\s?\/\s?-|\+-).*$/s, ''), unit) };
}
