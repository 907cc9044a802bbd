/** What somebody looks for: words, and numbers among them: "hard pan rear_share > 58 %, pinion 15..18". */
import type { NumberBetween } from '../../worksheets/archive/types.ts';
import { nearest, problem } from '../../worksheets/engine/problem.ts';
import { readQuantity } from '../../worksheets/engine/quantity.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import { kind, kindNames, sameDims, type Unit, unit } from '../../worksheets/engine/units.ts';
import type { Shelf } from './pit.ts';

export interface Looked {
  readonly words: string;
  readonly numbers: readonly NumberBetween[];
  readonly problems: readonly Problem[];
}

interface Numbered {
  readonly kind: string;
  readonly unit: Unit;
}

/** Every number that a setup can hold: readings and answers, with and without their end, and the temperature of the day. */
export function numbered(shelf: Pick<Shelf, 'sheets'>, name: string): Numbered | undefined {
  if (name === 'temperature') return { kind: 'temperature', unit: unit('°C')! };
  const bare = name.replace(/^(front|rear)_/, '');
  for (const called of new Set([name, bare])) {
    for (const sheet of shelf.sheets.values()) {
      const reading = sheet.readings.find((one) => one.name === called && one.type.kind === 'number');
      if (reading?.unit) return { kind: reading.kind, unit: reading.unit };
      const answer = sheet.answers.find((one) => one.name === called && one.type.kind === 'number');
      if (answer?.unit)
        return { kind: kindNames().find((one) => sameDims(kind(one)!.dims, answer.unit!.dims)) ?? 'number', unit: answer.unit };
    }
  }
  return undefined;
}

function numberNames(shelf: Pick<Shelf, 'sheets'>): Set<string> {
  const names = new Set(['temperature']);
  for (const { readings, answers } of shelf.sheets.values())
    for (const { name, type } of [...readings, ...answers]) if (type.kind === 'number') names.add(name);
  return names;
}

const MOST_NUMBERS = 6;
/** A number, perhaps with a unit behind it. */
const AMOUNT = String.raw`[-−+]?\d[\d.,/]*?`;
const COMPARED = /(?<name>[\p{L}][\p{L}\p{N}_ -]*?)\s*(?<sign>>=|<=|≥|≤|>|<|=)\s*(?<value>[^,;<>=≥≤]+)/gu;
const RANGED = new RegExp(
  String.raw`(?<name>[\p{L}][\p{L}\p{N}_ -]*?)\s*:?\s*(?<low>${AMOUNT})\s*(?:\.\.\.?|…)\s*(?<value>[-−+]?\d[^,;<>=≥≤]*)`,
  'gu',
);

export function readLooked(shelf: Pick<Shelf, 'sheets'>, typed: string): Looked {
  const names = numberNames(shelf);
  const numbers: NumberBetween[] = [];
  const problems: Problem[] = [];
  let words = asSigns(typed.slice(0, 400), names);
  for (const pattern of [COMPARED, RANGED])
    words = words.replace(pattern, (whole, ...rest: unknown[]) => {
      const { name, sign, low, value } = rest.at(-1) as { name: string; sign?: string; low?: string; value: string };
      const [before, called] = nameAtEnd(name, names);
      if (called === null) {
        if (sign === undefined) return whole;
        const last = name.trim().split(/\s+/).at(-1)!;
        const like = nearest(last, names);
        const needs = like ? `Did you mean ${like}?` : 'Give a reading or an answer of a sheet.';
        problems.push(problem('words', last, needs, `"${problem(null, last, '', '').got}" is no number that a setup holds. ${needs}`));
        return ' ';
      }
      const spec = numbered(shelf, called)!;
      const read = amountAtStart(value, spec);
      // The unit of a range stands behind its end: "15..18 mm" begins at 15 mm.
      const from = low === undefined ? undefined : readQuantity(`${low} ${read && 'ok' in read ? read.unit : ''}`.trim(), spec);
      if (!read || (from && 'slip' in from)) {
        const got = low === undefined ? value.trim() : `${low}..${value.trim()}`;
        const needs = `Give ${called.replaceAll('_', ' ')} as a number${spec.unit.symbol === '1' ? '' : ` in ${spec.unit.symbol}`}.`;
        problems.push(
          problem('words', got, needs, `${called.replaceAll('_', ' ')}: "${problem(null, got, '', '').got}" is not a number. ${needs}`),
        );
        return ' ';
      }
      numbers.push({ name: called, end: null, ...bounds(sign, from && 'ok' in from ? from.ok.value : null, read.ok) });
      return ` ${before} ${read.rest} `;
    });
  if (numbers.length > MOST_NUMBERS)
    problems.push(
      problem(
        'words',
        String(numbers.length),
        `Give at most ${MOST_NUMBERS}.`,
        `There are too many numbers. Give at most ${MOST_NUMBERS}.`,
      ),
    );
  return { words: words.replace(/[,;\s]+/g, ' ').trim(), numbers, problems };
}

const SIGNS: Readonly<Record<string, string>> = {
  above: '>',
  over: '>',
  'more than': '>',
  'at least': '>=',
  below: '<',
  under: '<',
  'less than': '<',
  'at most': '<=',
};

/** "rear share above 58" and "pinion:18" are what signs say, where a number that a setup holds stands in front. */
const asSigns = (typed: string, names: ReadonlySet<string>): string =>
  typed
    .replace(
      new RegExp(`([\\p{L}][\\p{L}\\p{N}_ -]*?)\\s+(${Object.keys(SIGNS).join('|')})\\s+(?=[-−+]?\\d)`, 'giu'),
      (whole, before: string, word: string) => (nameAtEnd(before, names)[1] === null ? whole : `${before} ${SIGNS[word.toLowerCase()]} `),
    )
    .replace(/([\p{L}][\p{L}\p{N}_]*)\s?:\s*(?=[-−+]?\d)(?![-−+]?\d[\d.,]*\s*(?:\.\.|…))/gu, (whole, name: string) =>
      nameAtEnd(name, names)[1] === null ? whole : `${name} = `,
    );

/** "evening rear share" → what stands before, and the longest name that the words end in. */
function nameAtEnd(text: string, names: ReadonlySet<string>): readonly [string, string | null] {
  const words = text
    .trim()
    .toLowerCase()
    .split(/[\s-]+/);
  for (let count = Math.min(5, words.length); count > 0; count -= 1) {
    const name = words.slice(-count).join('_');
    if (names.has(name) || names.has(name.replace(/^(front|rear)_/, ''))) return [words.slice(0, -count).join(' '), name];
  }
  return [text, null];
}

/** The longest beginning that is an amount; what follows are words again. */
function amountAtStart(text: string, spec: Numbered): { readonly ok: number; readonly unit: string; readonly rest: string } | null {
  const pieces = text.trim().split(/\s+/);
  for (let count = Math.min(3, pieces.length); count > 0; count -= 1) {
    const typed = pieces.slice(0, count).join(' ');
    const read = readQuantity(typed, spec);
    const unitText = typed.replace(/^[-−+\d.,/\s]+/, '');
    // "3 mm" of a count of teeth is a slip, and not 3 and a word to look for; only "in" is a word as well.
    const next = pieces[count];
    if ('ok' in read && next !== undefined && next !== 'in' && /\d$/.test(typed) && unit(next)) return null;
    if ('ok' in read) return { ok: read.ok.value, unit: unitText, rest: pieces.slice(count).join(' ') };
  }
  return null;
}

function bounds(sign: string | undefined, from: number | null, value: number): Pick<NumberBetween, 'low' | 'high' | 'strict'> {
  if (from !== null) return { low: Math.min(from, value), high: Math.max(from, value) };
  if (sign === '>' || sign === '>=' || sign === '≥') return { low: value, high: Number.POSITIVE_INFINITY, strict: sign === '>' };
  if (sign === '<' || sign === '<=' || sign === '≤') return { low: Number.NEGATIVE_INFINITY, high: value, strict: sign === '<' };
  return { low: value, high: value };
}
