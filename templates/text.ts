/**
 * An answer as text: it carries every number, so that who sees no picture misses nothing. Plain lines, good in a terminal and in a chat;
 * only the headline is bold there, and whatever may have come from people is escaped (markdown, mentions, links).
 */
import Handlebars from 'handlebars';
import type { Answer, AnswerReading, AnswerValue, Curve, From, Problems } from '../worksheets/engine/types.ts';
import { clean, cleanAnswer, cleanProblems } from './clean.ts';
import { series, unitText } from './number.ts';
import { answerValueText, bandOf, capital, explains, heroOf, nameWords, readingText, sentenceText, titleOf, verdictText } from './words.ts';

export interface TextOptions {
  /** 'chat' escapes and sets the headline bold; 'terminal' writes plain lines. */
  readonly for: 'chat' | 'terminal';
  readonly truck?: string;
  readonly day?: string;
}

/** A text that fits, and what it had to leave out to do so (empty: nothing). */
export interface FittedText {
  readonly text: string;
  readonly leftOut: readonly string[];
}

/** Discord, docs of August 2026: `content` of a message, `description` of an attachment. */
export const messageLimit = 2000;
export const altLimit = 1024;

export function resultText(answer: Answer, options: TextOptions): string {
  return written(cleanAnswer(answer), options, everything).text;
}

/** The result text in so many characters: the least needed lines go first, and the last line names them. */
export function fittedResultText(answer: Answer, options: TextOptions, limit = messageLimit): FittedText {
  const cleaned = cleanAnswer(answer);
  let keep = everything;
  const leftOut: string[] = [];
  let { text } = written(cleaned, options, keep);
  for (const { what, less } of savings) {
    if (text.length <= limit) break;
    const shorter = written(cleaned, options, { ...keep, ...less }, what === null ? leftOut : [...leftOut, what]);
    if (shorter.text.length >= text.length && what !== null) continue;
    keep = { ...keep, ...less };
    if (what !== null) leftOut.push(what);
    text = shorter.text;
  }
  if (text.length <= limit) return { text, leftOut };
  return cutToLines(text, limit, leftOut);
}

export function problemsText(problems: Problems, options: TextOptions): string {
  const safe = escapeFor(options);
  return cleanProblems(problems)
    .problems.map(({ text }) => safe(text))
    .join('\n');
}

/** What the picture says, for those who do not see it: `picture` is what a sheet's own drawing shows. */
export function altText(
  answer: Answer,
  options: { readonly truck?: string; readonly day?: string; readonly picture?: string } = {},
): string {
  const cleaned = cleanAnswer(answer);
  const hero = heroOf(cleaned);
  const about = [titleOf(cleaned), ...[options.truck, options.day].filter((text) => text !== undefined).map((text) => clean(text))];
  const sentences = [
    `${about.filter(Boolean).join(', ')}.`,
    ...(hero ? [`${answerLine(hero)}.`] : []),
    ...(cleaned.next ? [`Next: ${sentenceText(cleaned.next)}`] : []),
    ...cleaned.cautions.map((caution) => `Caution: ${sentenceText(caution)}`),
    ...(options.picture ? [options.picture] : []),
    ...cleaned.answers.filter((one) => one !== hero).map((one) => `${answerLine(one)}.`),
    ...cleaned.curves.flatMap((curve) => curveLines(curve, 5).map((line) => `${line}.`)),
    ...(cleaned.readings.length ? [`From ${cleaned.readings.map((one) => `${nameWords(one.name)} ${readingText(one)}`).join(', ')}.`] : []),
  ];
  return fittedAlt(sentences);
}

/** Sentences, as many as an alt text may hold. */
export function fittedAlt(sentences: readonly string[]): string {
  let text = '';
  for (const sentence of sentences) {
    const longer = text === '' ? sentence : `${text} ${sentence}`;
    if (longer.length > altLimit) return text === '' ? `${sentence.slice(0, altLimit - 1).toWellFormed()}…` : text;
    text = longer;
  }
  return text;
}

// ── what a text is made of ──────────────────────────────────────────────────────────────────────────────────────────────────────

interface Keep {
  readonly wider: boolean;
  readonly labels: boolean;
  readonly curvePoints: number;
  readonly defaults: boolean;
  readonly filled: boolean;
  readonly given: boolean;
  readonly notes: boolean;
}
const everything: Keep = { wider: true, labels: true, curvePoints: 11, defaults: true, filled: true, given: true, notes: true };

/** In the order in which a member misses them least. */
const savings: readonly { readonly what: string | null; readonly less: Partial<Keep> }[] = [
  { what: null, less: { wider: false } },
  { what: null, less: { curvePoints: 5 } },
  { what: 'explanations', less: { labels: false } },
  { what: 'curves', less: { curvePoints: 0 } },
  { what: 'readings by default', less: { defaults: false } },
  { what: 'readings from the truck and other sheets', less: { filled: false } },
  { what: 'notes', less: { notes: false } },
  { what: 'readings given', less: { given: false } },
];

interface View {
  readonly headline: string;
  readonly answers: readonly string[];
  readonly curves: readonly string[];
  readonly readings: readonly { readonly from: string; readonly list: string }[];
  readonly wider: string | null;
  readonly cautions: readonly string[];
  readonly leftOut: string | null;
  readonly next: string | null;
}

const template = once(() =>
  Handlebars.compile<View>(
    `{{headline}}
{{#each answers}}
{{this}}
{{/each}}
{{#each curves}}
{{this}}
{{/each}}
{{#each readings}}
{{from}}: {{list}}
{{/each}}
{{#if wider}}
Give {{wider}} for more.
{{/if}}
{{#if leftOut}}
Left out here for length: {{leftOut}}.
{{/if}}
{{#each cautions}}
⚠ {{this}}
{{/each}}
{{#if next}}
→ {{next}}
{{/if}}`,
    { strict: true, noEscape: true },
  ),
);

function written(answer: Answer, options: TextOptions, keep: Keep, leftOut: readonly string[] = []): { readonly text: string } {
  const safe = escapeFor(options);
  const about = [titleOf(answer), ...[options.truck, options.day].filter((text) => text !== undefined).map((text) => clean(text))]
    .filter(Boolean)
    .join(' · ');
  const hero = heroOf(answer);
  const headline = safe(hero ? `${about}: ${heroLine(hero)}` : about);
  const view: View = {
    headline: options.for === 'chat' ? `**${headline}**` : headline,
    answers: answer.answers.map((one) => safe(answerLine(one, keep.labels))),
    curves: keep.curvePoints === 0 ? [] : answer.curves.flatMap((curve) => curveLines(curve, keep.curvePoints).map(safe)),
    readings: readingGroups(answer.readings, keep).map(({ from, list }) => ({ from: safe(from), list: safe(list) })),
    wider: keep.wider && answer.wider.length > 0 ? safe(answer.wider.map(nameWords).join(', ')) : null,
    cautions: answer.cautions.map((caution) => safe(sentenceText(caution))),
    leftOut: leftOut.length === 0 ? null : leftOut.join(', '),
    next: answer.next === null ? null : safe(sentenceText(answer.next)),
  };
  return { text: template()(view).trimEnd() };
}

/** "Rear share: 60.08 % ± 0.02, ✓ on target (59 to 61 %), on the rear wheels" */
function answerLine(answer: AnswerValue, keepLabel = true): string {
  const target = bandOf(answer);
  const pieces = [answerValueText(answer)];
  if (answer.verdict !== null) pieces.push(`${verdictText(answer.verdict)}${target === null ? '' : ` (${target})`}`);
  else if (target !== null) pieces.push(`target ${target}`);
  if (keepLabel && explains(answer)) pieces.push(answer.label);
  return `${capital(nameWords(answer.name))}: ${pieces.join(', ')}`;
}

/** "rear share 60.08 % ± 0.02, ✓ on target" */
const heroLine = (hero: AnswerValue): string =>
  `${nameWords(hero.name)} ${answerValueText(hero)}${hero.verdict === null ? '' : `, ${verdictText(hero.verdict)}`}`;

/** "Ideal speed (km/h) over pinion (teeth) 9: 28.11 · 13 (here): 40.61 · 17: 53.14": the ends, the truck's own, even steps between. */
function curveLines(curve: Curve, points: number): string[] {
  const x = series(curve.x);
  const here = nearest(curve.x, curve.here);
  const chosen = spread(curve.x.length, points, here);
  const thinned = chosen.length < curve.x.length ? `, ${chosen.length} of ${curve.x.length} points` : '';
  return Object.entries(curve.answers).map(([name, values]) => {
    const there = chosen.filter((i) => typeof values[i] === 'number');
    const numbers = series(there.map((i) => values[i]!));
    const list = there.map((i, k) => `${x[i]}${i === here ? ' (here)' : ''}: ${numbers[k]}`).join(' · ');
    return `${capital(measured(name, curve.units[name]))} over ${measured(curve.over, curve.unit)}${thinned} ${list === '' ? 'has no value' : list}`;
  });
}

const measured = (name: string, unit: string | null | undefined): string => {
  const words = unitText(unit ?? null);
  return words === '' ? nameWords(name) : `${nameWords(name)} (${words})`;
};

function nearest(x: readonly number[], here: number | null): number | null {
  if (here === null || x.length === 0) return null;
  let best = 0;
  for (const [i, value] of x.entries()) if (Math.abs(value - here) < Math.abs(x[best]! - here)) best = i;
  return best;
}

function spread(length: number, points: number, here: number | null): number[] {
  if (length <= points) return Array.from({ length }, (_, i) => i);
  const chosen = new Set(Array.from({ length: points }, (_, k) => Math.round((k * (length - 1)) / (points - 1))));
  if (here !== null) chosen.add(here);
  return [...chosen].sort((a, b) => a - b);
}

function readingGroups(readings: readonly AnswerReading[], keep: Keep): { readonly from: string; readonly list: string }[] {
  const groups = new Map<string, string[]>();
  const order: readonly From[] = ['given', 'truck', 'sheet', 'default'];
  const sorted = [...readings].sort((a, b) => order.indexOf(a.from) - order.indexOf(b.from));
  const wanted: { readonly [from in From]: boolean } = {
    given: keep.given,
    truck: keep.filled,
    sheet: keep.filled,
    default: keep.defaults,
  };
  for (const reading of sorted) {
    if (!wanted[reading.from]) continue;
    const from = { given: 'Given', truck: 'From the truck', sheet: `From the sheet ${reading.sheet ?? ''}`.trim(), default: 'By default' }[
      reading.from
    ];
    groups.set(from, [...(groups.get(from) ?? []), readingPhrase(reading, keep.notes)]);
  }
  return [...groups].map(([from, list]) => ({ from, list: list.join(' · ') }));
}

/** "spring rate 0.4378 N/mm (typed 2.5 lb; read as lbf/in)" */
function readingPhrase(reading: AnswerReading, notes: boolean): string {
  const text = readingText(reading);
  const typedOtherwise = reading.typed !== undefined && typeof reading.value === 'number' && !saysTheSame(reading.typed, text);
  const remarks = [...(typedOtherwise ? [`typed ${reading.typed}`] : []), ...(notes && reading.note ? [reading.note] : [])];
  return `${nameWords(reading.name)} ${text}${remarks.length === 0 ? '' : ` (${remarks.join('; ')})`}`;
}

const saysTheSame = (typed: string, text: string): boolean => {
  const number = (words: string): number => Number.parseFloat(words.replaceAll('\u2009', '').replace('\u2212', '-').replace(',', '.'));
  return number(typed.replace(/\s(?=\d)/g, '')) === number(text);
};

// ── fitting and escaping ────────────────────────────────────────────────────────────────────────────────────────────────────────

/** Last resort: whole lines from the end of the answers go, headline and next step stay. */
function cutToLines(text: string, limit: number, leftOut: readonly string[]): FittedText {
  const lines = text.split('\n').map((line) =>
    line.length > limit / 4
      ? `${line
          .slice(0, limit / 4)
          .toWellFormed()
          .replace(/[\\\uFFFD]+$/, '')}…`
      : line,
  );
  const closed = (line: string): string => (line.startsWith('**') && !line.endsWith('**') ? `${line}**` : line);
  const head = closed(lines[0] ?? '');
  const tail = lines.length > 1 && lines.at(-1)!.startsWith('→') ? [lines.at(-1)!] : [];
  const body = lines.slice(1, lines.length - tail.length);
  const what = [...leftOut, 'further lines'];
  const assembled = (count: number): string =>
    [head, ...body.slice(0, count), `Left out here for length: ${what.join(', ')}.`, ...tail].join('\n');
  let count = body.length;
  while (count > 0 && assembled(count).length > limit) count--;
  return { text: assembled(count), leftOut: what };
}

const escapeFor = (options: TextOptions): ((text: string) => string) => (options.for === 'chat' ? escapeChat : (text) => text);

/**
 * Markdown, mentions and links that people could have typed, switched off. A backslash before punctuation is not shown in Discord. A
 * zero-width space follows '@' (a backslash does not stop @everyone); allowed mentions are switched off in the client as well.
 */
export function escapeChat(text: string): string {
  return text
    .replace(/[\\*_~`|[\]<]/g, '\\$&')
    .replace(/@(?=\S)/g, '@\u200b')
    .replace(/:(?=\/\/)/g, '\\:')
    .replace(/(?<=[\p{L}\p{N}-])\.(?=\p{L}{2})/gu, '\\.')
    .replace(/^(\s*)([#>+-])/gm, '$1\\$2');
}

function once<T>(make: () => T): () => T {
  let made: T | undefined;
  return () => {
    made ??= make();
    return made;
  };
}
