/** Setups as text: what one comes to, a line a sheet, and what was read. */
import type { Conditions, Revision, SetupFact, SetupSummary, ShownSetup } from '../worksheets/archive/types.ts';
import type { Answer, AnswerValue } from '../worksheets/engine/types.ts';
import { clean, cleanAnswer } from './clean.ts';
import { type SetupRunView, setupRunLines } from './setup-runs.ts';
import { escapeChat, messageLimit } from './text.ts';
import {
  answerValueText,
  asSaid,
  callOf,
  heroOf,
  type NamedText,
  nameWords,
  stepsText,
  titleOf,
  verdictSigns,
  verdictText,
} from './words.ts';

export interface SetupTextOptions {
  readonly for: 'chat' | 'terminal';
  /** Shows an instant as a day of the club. */
  readonly day: (at: number) => string;
}

/** A setup as it reads on a phone: what each sheet comes to in a line, then each reading once. Every number is in `sheet:NAME`. */
export function setupText(
  shown: ShownSetup,
  options: SetupTextOptions & { readonly runs?: readonly SetupRunView[] },
  limit = messageLimit,
): string {
  const safe = (text: string, graphemes = 80): string => safeFor(options)(text, graphemes);
  const { doc, revision } = shown;
  // Of another club's there is no number, only the code that one has.
  const pictured = shown.id === 0 ? 'code:…' : `${shown.id}${revision.rev < shown.newest ? ` rev:${revision.rev}` : ''}`;
  const name = options.for === 'chat' ? `**${safe(doc.name)}**` : safe(doc.name);
  const head = [
    `${name} · ${safe(doc.truck)} · revision ${revision.rev} of ${shown.newest} · ${options.day(revision.at)}${revision.author.name === '' ? '' : ` · ${safe(revision.author.name)}`}${shown.private ? ' · private' : ''}`,
    ...(doc.conditions ? [`Conditions: ${conditionsText(doc.conditions, safe)}`] : []),
    ...(doc.tags.length > 0 ? [`Tags: ${doc.tags.map((tag) => safe(tag)).join(', ')}`] : []),
    ...(doc.notes !== '' ? [`Notes: ${safe(doc.notes, 600)}`] : []),
    ...(doc.pictures ? [`${doc.pictures.length === 1 ? '1 picture' : `${doc.pictures.length} pictures`}: setup picture ${pictured}`] : []),
    '',
  ];
  const sheets = doc.sheets.map(({ answer }) => cleanAnswer(answer));
  const facts = factTexts(doc.facts).map((text) => safe(text, 120));
  const [first] = doc.sheets;
  const ran = setupRunLines(options.runs ?? [], options.day).map((line) => (line.startsWith(' ') ? `  ${safe(line, 260)}` : line));
  const last = first ? `One sheet in full: add sheet:${first.sheet}${first.end === null ? '' : ` ${first.end}`}` : '';
  const written = (answers: number, readings: number, runs: number): string =>
    [
      ...head,
      ...sheets.map((answer) => `${titleOf(answer)}: ${mattering(answer).slice(0, answers).map(inShort).join(' · ')}`),
      '',
      ...ran.slice(0, runs),
      ...(runs > 0 && ran.length > 0 ? [''] : []),
      ...(readings > 0
        ? [`Readings: ${facts.slice(0, readings).join(' · ')}${readings < facts.length ? ` · and ${facts.length - readings} more` : ''}`]
        : []),
      last,
    ].join('\n');
  // What was read gives way before what it came to.
  for (const [answers, readings, runs] of [
    [3, facts.length, 4],
    [3, 12, 4],
    [2, 8, 2],
    [1, 0, 2],
    [1, 0, 0],
  ] as const) {
    const text = written(answers, Math.min(readings, facts.length), runs);
    if (text.length <= limit) return text;
  }
  const named = `Sheets: ${sheets.map(titleOf).join(', ')}.`;
  return [...head, named, last].join('\n').slice(0, limit).toWellFormed();
}

/** The one a card shows largest, then what was judged, then the order of the sheet; without what has no value, or says it in another unit. */
function mattering(answer: Answer): readonly AnswerValue[] {
  const hero = heroOf(answer);
  const rank = (one: AnswerValue): number => (one === hero ? 0 : one.verdict === null ? 2 : 1);
  const again = ({ name }: AnswerValue): boolean => answer.answers.some((other) => name.startsWith(`${other.name}_`));
  return answer.answers.filter((one) => one === hero || (one.value !== null && !again(one))).sort((a, b) => rank(a) - rank(b));
}

/** "rear share 59.89 % ✓": four figures and no ±, and words for a verdict only where it calls for something. */
function inShort(answer: AnswerValue): string {
  const value = answerValueText({ ...answer, uncertainty: null });
  const { verdict } = answer;
  const judged = verdict === null ? '' : ` ${callOf(verdict) === 'good' ? (verdictSigns[verdict] ?? '') : verdictText(verdict)}`;
  return `${nameWords(answer.name)} ${value}${judged}`;
}

/** Each reading once, as it was typed, what was told last first; of both ends together: "spring rate green (0.24 N/mm) front, white (0.38 N/mm) rear". */
function factTexts(facts: readonly SetupFact[]): string[] {
  const told = new Map<string, string[]>();
  for (const fact of [...facts].sort((a, b) => b.at - a.at)) {
    const end = fact.fact === `front_${fact.name}` ? 'front' : fact.fact === `rear_${fact.name}` ? 'rear' : null;
    if (end === null) told.set(fact.fact, [asSaid(fact)]);
    // The front comes first, as everywhere.
    else
      told.set(
        fact.name,
        [...(told.get(fact.name) ?? []), `${asSaid(fact)} ${end}`].sort(
          (a, b) => Number(a.endsWith(' rear')) - Number(b.endsWith(' rear')),
        ),
      );
  }
  return [...told].map(([name, values]) => `${nameWords(name)} ${values.join(', ')}`);
}

/** What was found, a line each, with the numbers that were asked for; `next` is how to see more of it. */
export function foundText(
  setups: readonly (SetupSummary & { readonly numbers?: readonly string[] })[],
  next: string | null,
  options: SetupTextOptions,
): string {
  const safe = (text: string): string =>
    options.for === 'chat' ? escapeChat(clean(text, { graphemes: 60 })) : clean(text, { graphemes: 60 });
  const lines = setups.map((one) =>
    [
      `${one.id}. ${safe(one.name)}`,
      safe(one.truck),
      safe(one.member.name),
      options.day(one.at),
      ...(one.numbers ?? []),
      ...(one.private ? ['private'] : []),
    ].join(' · '),
  );
  const kept: string[] = [];
  for (const line of lines) if (kept.join('\n').length + line.length < messageLimit - 120) kept.push(line);
  return [
    ...kept,
    ...(next !== null || kept.length < lines.length ? [`There are more: ${next ?? 'add a word to narrow it down'}.`] : []),
  ].join('\n');
}

const safeFor =
  (options: SetupTextOptions) =>
  (text: string, graphemes = 60): string =>
    options.for === 'chat' ? escapeChat(clean(text, { graphemes })) : clean(text, { graphemes });

/** "Salt loop · surface hard pan · grip high · 24 °C · wind still" */
export function conditionsText({ track, surface, grip, temperature, wind }: Conditions, safe: (text: string) => string): string {
  const pieces = [
    ...(track ? [safe(track)] : []),
    ...(surface ? [`surface ${safe(surface)}`] : []),
    ...(grip ? [`grip ${safe(grip)}`] : []),
    ...(temperature ? [safe(temperature.typed)] : []),
    ...(wind ? [`wind ${safe(wind)}`] : []),
  ];
  return pieces.join(' · ');
}

/** Lines as many as fit; the last says that there are more. */
function fitted(head: readonly string[], lines: readonly string[], more: string, spare = 0): string {
  const kept: string[] = [];
  let length = head.join('\n').length;
  for (const line of lines) {
    length += line.length + 1;
    if (length > messageLimit - spare - more.length - 1) return [...head, ...kept, more].join('\n');
    kept.push(line);
  }
  return [...head, ...kept].join('\n');
}

export interface RevisionChange {
  readonly what: string;
  readonly was: string;
  readonly is: string;
}
export interface RevisionView extends Revision {
  /** '' where they are those of the revision before. */
  readonly notes: string;
  readonly changes: readonly RevisionChange[];
}

/** The revisions, newest first, each with what it changed: was → is. */
export function historyText(
  setup: Pick<SetupSummary, 'id' | 'name' | 'truck'>,
  revisions: readonly RevisionView[],
  options: SetupTextOptions,
): string {
  const safe = safeFor(options);
  const lines = revisions.flatMap(({ rev, at, author, notes, changes }) => [
    `Revision ${rev} · ${options.day(at)} · ${safe(author.name)}${changes.length === 0 && rev > 1 ? ' · nothing changed' : ''}`,
    ...(notes === '' ? [] : [`  “${safe(notes, 200)}”`]),
    ...changes.map(({ what, was, is }) => `  ${safe(what, 100)}: ${safe(was)} → ${safe(is)}`),
  ]);
  return fitted(
    [`${safe(setup.name)} · ${safe(setup.truck)} · number ${setup.id}`],
    lines,
    'Older ones are left out here for length: setup show NAME rev:1.',
  );
}

/** One thing that differs between setups, in their order; null where it is not there. */
export interface ComparedRow {
  /** The sheet, of an answer. */
  readonly what: string | null;
  readonly name: string;
  readonly values: readonly (string | null)[];
  /** The same in pieces, where one of them is of a thing that has a name. */
  readonly steps?: readonly (NamedText | null)[];
}
/** An answer that differs, as text and as it was worked out again for each setup. */
export interface ComparedAnswer extends ComparedRow {
  readonly sheet: string;
  readonly end: 'front' | 'rear' | null;
  /** What its sheet is asked for first. */
  readonly hero: boolean;
  readonly each: readonly (AnswerValue | null)[];
}
export interface ComparedView {
  readonly setups: readonly {
    readonly id: number;
    readonly name: string;
    readonly truck: string;
    readonly rev: number;
    readonly at: number;
  }[];
  readonly conditions: readonly ComparedRow[];
  readonly readings: readonly ComparedRow[];
  readonly answers: readonly ComparedAnswer[];
}

/** Whether the two differ by no more than they may be off: k = 2 each, added in quadrature. */
export function withinOff({ each }: ComparedAnswer): boolean {
  const [was, is, ...more] = each;
  if (more.length > 0 || typeof was?.value !== 'number' || typeof is?.value !== 'number' || was.verdict !== is.verdict) return false;
  return Math.abs(is.value - was.value) <= Math.hypot(was.uncertainty ?? 0, is.uncertainty ?? 0);
}

/** What a builder looks at first: a verdict that turned, then what its sheet is asked for, then what has a target; last what may be no difference. */
export function inOrder(answers: readonly ComparedAnswer[]): ComparedAnswer[] {
  const weight = (row: ComparedAnswer): number => {
    const { each, hero } = row;
    if (withinOff(row)) return -1;
    const verdicts = new Set(each.map((one) => one?.verdict ?? null));
    return (verdicts.size > 1 ? 4 : 0) + (hero ? 2 : 0) + (each.some((one) => one !== null && one.band !== null) ? 1 : 0);
  };
  // A sort that keeps the order of what weighs the same (ECMA-262, 23.1.3.30).
  return [...answers].sort((a, b) => weight(b) - weight(a));
}

const MOST_OF_A_SHEET = 4;

/** Only what differs, in the order in which the setups were named. */
export function comparedText({ setups, conditions, readings, answers }: ComparedView, options: SetupTextOptions): string {
  const safe = safeFor(options);
  const values = ({ values: each, steps }: ComparedRow): string =>
    steps ? safe(stepsText(steps), 200) : each.map((value) => (value === null ? '–' : safe(value, 100))).join(' → ');
  const head = setups.map(({ id, name, truck, rev, at }) => `${id}. ${safe(name)} · ${safe(truck)} · revision ${rev} · ${options.day(at)}`);
  if (conditions.length + readings.length + answers.length === 0) return [...head, 'They differ in nothing.'].join('\n');
  const rowText = (row: ComparedRow): string => `  ${safe(nameWords(row.name))}: ${values(row)}`;
  const sheets = new Map<string, ComparedAnswer[]>();
  for (const row of answers) sheets.set(row.what ?? '', [...(sheets.get(row.what ?? '') ?? []), row]);
  const most = sheets.size === 1 ? Number.POSITIVE_INFINITY : MOST_OF_A_SHEET;
  const cut = sheets.size === 1 ? undefined : [...sheets.values()].find((rows) => rows.length > most || rows.some(withinOff))?.[0];
  const lines = [
    ...(conditions.length > 0 ? ['', 'Conditions: not like for like, they differ too', ...conditions.map(rowText)] : []),
    ...(readings.length > 0 ? ['', 'Readings', ...readings.map(rowText)] : []),
    ...[...sheets].flatMap(([what, rows]) => {
      const shown = inOrder(rows).slice(0, Math.max(1, Math.min(most, rows.filter((row) => !withinOff(row)).length)));
      const [left, all] = [rows.length - shown.length, rows.filter(withinOff).length];
      const rest = left === 0 ? [] : [`  and ${left} more${left === all ? ', by no more than their ±' : ''}`];
      return ['', safe(what), ...(most === Number.POSITIVE_INFINITY ? inOrder(rows).map(rowText) : [...shown.map(rowText), ...rest])];
    }),
    ...(answers.length === 0 ? ['', 'No answer differs.'] : []),
  ];
  const whole = cut ? `One sheet in full: add sheet:${cut.sheet}${cut.end === null ? '' : ` ${cut.end}`}` : '';
  const text = fitted(head, lines, 'Further differences are left out here for length.', whole.length + 2);
  return whole === '' ? text : `${text}\n\n${whole}`;
}
