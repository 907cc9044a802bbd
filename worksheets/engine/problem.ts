/** Every sentence that a member reads when something is wrong is made here: name the reading, echo it, give what it needs, stop. */
import type { Problem } from './types.ts';
import { fromSI, type Unit } from './units.ts';

/** `front_left` → "Front left". */
export const nameInWords = (name: string): string => {
  const words = name.replaceAll('_', ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
};

/** What a slip says of itself; the reading's name and the echo are added by whoever knows them. */
export interface Slip {
  /** What is wrong, reading on after the echo: `is out`, `is not a number`. */
  readonly is: string;
  /** What it needs, as a sentence. */
  readonly needs: string;
  readonly hint?: string;
}

/** Echo of what was typed: one line, no control characters, short. */
export function echo(typed: string): string {
  const line = typed
    .slice(0, 200)
    .replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu, ' ')
    .replace(/\s+/g, ' ')
    .trim();
  // Cut between characters, not in the middle of one.
  return line.length > 40 ? `${line.slice(0, 39).replace(/[\ud800-\udbff]$/, '')}…` : line;
}

export function slipProblem(reading: string, typed: string, slip: Slip, place = ''): Problem {
  const got = echo(typed);
  const text = `${nameInWords(reading)}${place}: ${got === '' ? 'nothing was typed' : `"${got}" ${slip.is}`}. ${slip.needs}${slip.hint ? ` ${slip.hint}` : ''}`;
  return { reading, got, needs: slip.needs, text };
}

/** Two or three more words make a label a direction: "axle to axle". */
export function missingProblem(reading: string, label: string, needs: string): Problem {
  return { reading, got: null, needs, text: `${nameInWords(reading)} is missing${label === '' ? '' : ` (${label})`}. ${needs}` };
}

export const problem = (reading: string | null, got: string | null, needs: string, text: string): Problem => ({
  reading,
  got: got === null ? null : echo(got),
  needs,
  text,
});

/** A number for a sentence: at most six figures, no exponent in the usual range. */
export const figure = (value: number): string => {
  const rounded = Number(value.toPrecision(6));
  return (Object.is(rounded, -0) ? 0 : rounded).toString().replace('-', '−');
};

const spoken: Readonly<Record<string, string>> = { '1': '', '%': ' %', gn: ' g', deg: '°' };
export const unitInWords = (symbol: string): string => spoken[symbol] ?? ` ${symbol}`;

/** A bound at six figures, rounded into the range: who types what the sentence says is not refused again (5 kg is not quite 176.37 oz). */
function bound(value: number, into: 'up' | 'down'): string {
  const near = Number(value.toPrecision(6));
  const off = near - value;
  if (Math.abs(off) <= 1e-12 * Math.abs(value) || (into === 'up') === off > 0) return figure(near);
  const digit = 10 ** (Math.floor(Math.log10(Math.abs(value))) - 5);
  return figure(near + (into === 'up' ? digit : -digit));
}

/** "10 to 5000 g", "10 g or more", in the unit given. */
export function rangeInWords(min: number | undefined, max: number | undefined, unit: Unit): string {
  const shown = unitInWords(unit.symbol);
  const low = min === undefined ? undefined : bound(fromSI(min, unit), 'up');
  const high = max === undefined ? undefined : bound(fromSI(max, unit), 'down');
  if (low !== undefined && high !== undefined) return `${low} to ${high}${shown}`;
  if (low !== undefined) return `${low}${shown} or more`;
  if (high !== undefined) return `${high}${shown} at most`;
  return shown === '' ? 'a number' : `a number in${shown}`;
}

/** The name nearest to what was typed, for "Did you mean …?": an edit distance of at most a third of the word. */
export function nearest(typed: string, names: Iterable<string>): string | undefined {
  const word = typed.slice(0, 60).toLowerCase();
  let best: string | undefined;
  // One letter for another in a word of one or two says nothing.
  let least = Math.max(word.length > 2 ? 1 : 0, Math.floor(word.length / 3)) + 1;
  for (const name of names) {
    const far = distance(word, name.toLowerCase(), least);
    if (far < least) {
      least = far;
      best = name;
    }
  }
  return best;
}

/** Optimal string alignment distance (insert, delete, replace, swap of neighbours). */
function distance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) >= limit) return limit;
  let before: number[] = [];
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i += 1) {
    const next = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let far = Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + cost);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) far = Math.min(far, before[j - 2]! + 1);
      next.push(far);
    }
    before = row;
    row = next;
  }
  return row[b.length]!;
}
