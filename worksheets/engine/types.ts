/**
 * What the rooms say to each other: plain, readonly data.
 *
 * Numbers in an `Answer` are in the unit shown beside them, unrounded; rounding happens once, in templates.
 */

/** One slip of a member. All problems of a question come back together. */
export interface Problem {
  /** The reading's name, or null when it concerns no single reading. */
  readonly reading: string | null;
  /** What was typed, shortened; null when nothing was. */
  readonly got: string | null;
  /** What it needs, in the member's unit: "Give 10 to 5000 g." */
  readonly needs: string;
  /** The whole sentence, as a member reads it. */
  readonly text: string;
}

/** Where a reading came from: typed now, the truck's facts, another sheet's answer recomputed from those facts, or the default. */
export type From = 'given' | 'truck' | 'sheet' | 'default';

/** From a band and the uncertainty; `laps` has words of its own ('faster', 'slower', 'cannot tell'). */
export type Verdict = 'on target' | 'off target' | 'too close to call' | (string & {});

/** One value of a list, or one row of a list of rows: `{ load: 500, height: 71.2 }`. */
export type ListItem = number | string | { readonly [part: string]: number | string | readonly (number | string)[] };
export type ReadingValue = number | string | boolean | readonly ListItem[];

export interface AnswerReading {
  readonly name: string;
  readonly label: string;
  readonly value: ReadingValue;
  /** The unit of the contract ('1' where none; null for words and yes/no; a list of rows joins its columns with '/'). */
  readonly unit: string | null;
  /** Expanded uncertainty (k = 2) in that unit; null where nothing carries ±. */
  readonly uncertainty: number | null;
  /** It was typed more coarsely than `uncertainty` says. */
  readonly partial?: boolean;
  readonly from: From;
  /** The sheet that answered it, when `from` is 'sheet'. */
  readonly sheet?: string;
  /** As typed, cleaned and shortened, when it was typed. */
  readonly typed?: string;
  /** What was understood of it when that needs saying: "read as lbf/in", "25 wt is 275 cSt ± 25 % by common practice". */
  readonly note?: string;
}

export interface AnswerValue {
  readonly name: string;
  readonly label: string;
  /** null: absent, and `why` says so. */
  readonly value: number | string | boolean | null;
  readonly unit: string | null;
  readonly uncertainty: number | null;
  /** `uncertainty` is fine, and readings that carry no ± would move it further, were each off by half the last digit that was typed. */
  readonly partial?: boolean;
  readonly verdict: Verdict | null;
  /** The target band in the same unit. */
  readonly band: { readonly low: number; readonly high: number } | null;
  /** The word for an absent value: "never", "parallel", "no oscillation". */
  readonly why?: string;
}

/** A curve of answers over one reading, or over a column of a table that a formula gives (speed over time). */
export interface Curve {
  readonly over: string;
  readonly label: string;
  readonly unit: string | null;
  readonly x: readonly number[];
  /** By answer name; null where that point has no answer. */
  readonly answers: { readonly [name: string]: readonly (number | null)[] };
  readonly units: { readonly [name: string]: string | null };
  readonly labels: { readonly [name: string]: string };
  /** Where this truck stands on x; null for a table's column. */
  readonly here: number | null;
}

export interface Answer {
  readonly kind: 'answer';
  readonly sheet: string;
  readonly title: string;
  readonly end: 'front' | 'rear' | null;
  readonly readings: readonly AnswerReading[];
  readonly answers: readonly AnswerValue[];
  readonly curves: readonly Curve[];
  readonly cautions: readonly Sentence[];
  /** The one thing to do next, as an act; null where the sheet has nothing to say. */
  readonly next: Sentence | null;
  /** Name of the answer that a card shows largest. */
  readonly hero: string;
  /** Names of optional readings that would widen the answer. */
  readonly wider: readonly string[];
}

/** A sentence of a sheet with live values in it: plain strings and values, to be rounded and joined in templates. */
export type Sentence = readonly (string | SentenceValue)[];
export interface SentenceValue {
  readonly value: number | string | boolean | null;
  readonly unit: string | null;
  readonly uncertainty: number | null;
}

export interface Problems {
  readonly kind: 'problems';
  readonly sheet: string | null;
  readonly problems: readonly Problem[];
}
