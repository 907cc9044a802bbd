/** Runs the `@example` line of a comment, and turns what stands behind it into checks. */
import { si } from '../../calc/formula.ts';

const TOKEN = /\s+|'[^'\\]*'|(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?|Math\.PI\b|[A-Za-z_]\w*(?=\s*:)|[A-Za-z_]\w*|[{}[\](),:+\-*/]/y;

/** What is in the call that is no literal, no arithmetic on literals and no call of the formula or `si`; null when nothing is. */
function foreignWord(call: string, name: string): string | null {
  TOKEN.lastIndex = 0;
  while (TOKEN.lastIndex < call.length) {
    const at = TOKEN.lastIndex;
    const token = TOKEN.exec(call)?.[0];
    if (token === undefined) return call.slice(at, at + 12);
    const isKey = /^\s*:/.test(call.slice(TOKEN.lastIndex));
    if (/^[A-Za-z_]/.test(token) && token !== 'Math.PI' && !isKey && ![name, 'si', 'true', 'false'].includes(token)) return token;
  }
  return null;
}

/** Calls `run` in the place of the formula: with the formula itself for its result, with a collector for its inputs. */
export function evaluate(call: string, name: string, run: unknown): unknown {
  if (!call.startsWith(`${name}(`)) throw new Error(`the example has to be one call of ${name}, got "${call}"`);
  const foreign = foreignWord(call, name);
  if (foreign !== null) throw new Error(`the example may hold only literals and si(…), got "${foreign}"`);
  return new Function(name, 'si', `'use strict'; return (${call});`)(run, si);
}

/** The inputs that an example hands to its formula. */
export const inputsOf = (call: string, name: string): Record<string, unknown> =>
  evaluate(call, name, (inputs: unknown) => inputs) as Record<string, unknown>;

export interface Stated {
  /** The result's name; null for a formula with one nameless result. */
  readonly name: string | null;
  readonly sign: '≈' | '=';
  /** As shown: "4.109 Hz", "true", "never". */
  readonly shown: string;
}

/** `springRate ≈ 412.3 N/m, straight = true` → two statements. */
export function statements(stated: string): Stated[] {
  const starts = [...stated.matchAll(/(?:^|[,;]\s+)(?:([A-Za-z]\w*)\s*)?([≈=])\s*/g)];
  return starts.map((start, i) => ({
    name: start[1] ?? null,
    sign: start[2] as '≈' | '=',
    shown: stated.slice(start.index + start[0].length, starts[i + 1]?.index ?? stated.length).trim(),
  }));
}

const SUPERSCRIPTS = '⁰¹²³⁴⁵⁶⁷⁸⁹';

export interface ShownNumber {
  readonly value: number;
  readonly unit: string;
  /** Half a unit of the last digit shown. */
  readonly halfUnit: number;
}

/** "−4.109 Hz", "1.2e-3", "1.2 × 10⁻³ m²/s" → its value, unit and the half of its last digit; null when it is no number. */
export function shownNumber(shown: string): ShownNumber | null {
  const found = /^([-−+]?)(\d+)(?:\.(\d+))?(?:e([-−+]?\d+)|\s*[×·]\s*10([⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+))?(?:\s+(\S.*))?$/u.exec(shown);
  if (!found) return null;
  const [, sign, whole, decimals = '', e, superscript, unit = '1'] = found;
  const exponent = Number((e ?? digits(superscript ?? '') ?? '0').replace('−', '-') || 0);
  const value = Number(`${whole}.${decimals || '0'}e${exponent}`);
  return { value: sign === '-' || sign === '−' ? -value : value, unit, halfUnit: 0.5 * 10 ** (exponent - decimals.length) };
}

const digits = (superscript: string): string =>
  [...superscript].map((letter) => (letter === '⁻' ? '-' : String(SUPERSCRIPTS.indexOf(letter)))).join('');
