/** The club's log as text: who changed what, was → is, by day, newest first. */
import type { LogRow, Said, ToldChange, ToldPart, ToldThing } from '../worksheets/archive/types.ts';
import { clean } from './clean.ts';
import type { SetupTextOptions } from './setup.ts';
import { escapeChat, messageLimit } from './text.ts';
import { gainText } from './things.ts';
import { partAbout, partMass, partName } from './truck.ts';
import { asTyped, nameWords } from './words.ts';

export interface LogTextOptions extends SetupTextOptions {
  readonly hour: (at: number) => string;
}

/** What was told and cannot be any more. */
const GONE = '(gone)';
const MOST_CHANGES = 3;

/** As many lines as fit; how to see what came before them stands at the end. */
export function logText(rows: readonly LogRow[], more: boolean, options: LogTextOptions, limit = messageLimit): string {
  const lines: string[] = [];
  let day = '';
  let left = limit - 'Earlier: club log before:999999999'.length - 1;
  let last: LogRow | undefined;
  for (const together of grouped(rows)) {
    const first = together[0]!;
    const today = options.day(first.at);
    const made = [...(today === day ? [] : [today]), `${options.hour(first.at)} · ${lineText(together, options)}`];
    left -= made.join('\n').length + 1;
    if (left < 0) break;
    lines.push(...made);
    day = today;
    last = together.at(-1)!;
  }
  if (last && (more || last !== rows.at(-1))) lines.push(`Earlier: club log before:${last.change}`);
  return lines.join('\n');
}

const ASKED: readonly string[] = ['answer', 'answer renewed'];

/** Sheets that a member asked one after the other with the same truck are one line. */
function grouped(rows: readonly LogRow[]): LogRow[][] {
  const groups: LogRow[][] = [];
  for (const row of rows) {
    const [before] = groups.at(-1) ?? [];
    const goesAlong =
      before &&
      ASKED.includes(row.act) &&
      row.act === before.act &&
      row.member?.id === before.member?.id &&
      row.detail.truck === before.detail.truck &&
      before.at - row.at < 3_600_000;
    if (goesAlong) groups.at(-1)!.push(row);
    else groups.push([row]);
  }
  return groups;
}

function lineText(rows: readonly LogRow[], options: LogTextOptions): string {
  const row = rows[0]!;
  const { member, told } = row;
  const safe = safeFor(options);
  const who = member ? safe(member.name) : row.act === 'member left' ? 'a former member' : 'the club';
  return [who, ...(told.truck === undefined ? [] : [named(told.truck, safe)]), whatText(rows, safe)].join(' · ');
}

type Safe = (text: string, graphemes?: number) => string;
const safeFor =
  (options: LogTextOptions): Safe =>
  (text, graphemes = 60) =>
    options.for === 'chat' ? escapeChat(clean(text, { graphemes })) : clean(text, { graphemes });
const named = (name: string | null | undefined, safe: Safe): string => (name === null || name === undefined ? GONE : safe(name));

function whatText(rows: readonly LogRow[], safe: Safe): string {
  const { act, detail, told } = rows[0]!;
  const setup = setupText(rows[0]!, safe);
  switch (act) {
    case 'club':
      return 'the log begins';
    case 'member':
      return 'is new in the club';
    case 'member renamed':
      return 'has another name now';
    case 'member left':
      return 'left, with what was theirs';
    case 'officer named':
      return `${named(told.whom, safe)} is an officer now`;
    case 'officer ended':
      return `${named(told.whom, safe)} is no officer any more`;
    case 'truck':
      return 'a new truck';
    case 'truck used':
      return 'is the one in use';
    case 'truck offered':
      return `offered to ${named(told.whom, safe)}`;
    case 'truck offer withdrawn':
      return 'the offer is withdrawn';
    case 'truck taken':
      return `taken over from ${named(told.whom, safe)}`;
    case 'truck renamed':
      return 'has another name now';
    case 'truck removed':
      return 'taken off the list, with all that was known of it';
    case 'answer':
      return `asked ${sheetsText(rows, safe)}`;
    case 'answer renewed':
      return `asked ${sheetsText(rows, safe)} again`;
    case 'facts set':
      return changesText(told.changes, safe);
    case 'facts kept':
      return `kept ${changesText(told.changes, safe)}`;
    case 'fact forgotten':
      return `forgot ${changesText(told.changes, safe)}`;
    case 'part':
    case 'part removed':
      return partText(told.part, act === 'part removed', safe);
    case 'thing':
    case 'thing removed':
      return thingText(told.thing, String(detail.kind), act === 'thing removed', safe);
    case 'run':
      return `run ${detail.run}: ${named(told.run, safe)}`;
    case 'run removed':
      return `run ${detail.run} taken out`;
    case 'setup':
      return `saved ${setup} as revision ${detail.rev}${told.changes && told.changes.length > 0 ? `: ${changesText(told.changes, safe)}` : ''}`;
    case 'setup made private':
      return `made ${setup} private`;
    case 'setup opened':
      return `opened ${setup} to the club`;
    case 'setup gone':
      return `took setup ${detail.setup} away`;
    case 'setup shared':
      return `made a code for ${setup}, revision ${detail.rev}${detail.named === true ? ', with the name' : ''}`;
    case 'setup sharing ended':
      return `ended the codes of ${setup}`;
    case 'setup copied':
      return `copied ${told.setup ? setup : 'a setup of another club'}`;
    default:
      // A change that this page has no words for is still a change.
      return safe(act);
  }
}

/** A private setup by its number only. */
const setupText = ({ detail, told: { setup } }: LogRow, safe: Safe): string =>
  setup?.name === null || setup === undefined ? `setup ${detail.setup} ${setup?.private ? '(private)' : GONE}` : `"${safe(setup.name)}"`;

/** In the order in which they were asked: the rows come newest first. */
const sheetsText = (rows: readonly LogRow[], safe: Safe): string =>
  [...new Set(rows.map(({ detail }) => [detail.sheet, detail.end].filter(Boolean).join(' ')))]
    .reverse()
    .map((sheet) => safe(sheet))
    .join(', ');

function changesText(changes: readonly ToldChange[] | null | undefined, safe: Safe): string {
  if (!changes || changes.length === 0) return `readings ${GONE}`;
  const shown = changes.slice(0, MOST_CHANGES).map((change) => changeText(change, safe));
  return [...shown, ...(changes.length > MOST_CHANGES ? [`and ${changes.length - MOST_CHANGES} more`] : [])].join(', ');
}

/** "front spring rate white 0.38 → red 0.55"; where only how it is known has changed, that. */
function changeText({ name, was, is }: ToldChange, safe: Safe): string {
  const text = (said: Said | null): string | null => (said === null ? null : safe(asTyped(said.text, said.unit), 40));
  const [before, now] = [text(was), text(is)];
  const called = nameWords(safe(name));
  if (before === null || now === null) return `${called} ${now ?? before}`;
  if (before !== now) return `${called} ${before} → ${now}`;
  return `${called} ${now}, ${was!.how === is!.how ? 'as before' : `${was!.how} → ${is!.how}`}`;
}

function partText(part: ToldPart | null | undefined, gone: boolean, safe: Safe): string {
  if (!part) return `part ${GONE}`;
  const { is, was } = part;
  const name = `part ${safe(partName(is))}`;
  if (gone) return `${name} taken off the list`;
  if (!was) return `${name} ${safe([partMass(is), partAbout(is)].filter(Boolean).join(', '), 120)}`;
  const before = partPieces(was);
  const changed = partPieces(is).flatMap((text, i) => (text === before[i] ? [] : [arrow(before[i]!, text)]));
  return `${name} ${changed.length === 0 ? 'as before' : safe(changed.join(', '), 120)}`;
}

const BARE = { place: null, places: [], sprung: true, axle: null, role: null, note: '' } as const;
/** What is said of a part, piece by piece; '' is not said. */
const partPieces = (part: ToldPart['is']): readonly string[] => [
  partMass(part),
  part.count === 1 ? 'one' : `${part.count} of them`,
  partAbout({ ...part, ...BARE, place: part.place }),
  part.sprung ? 'sprung' : partAbout({ ...part, ...BARE, sprung: false, axle: part.axle }),
  partAbout({ ...part, ...BARE, role: part.role }),
  partAbout({ ...part, ...BARE, places: part.places }),
  part.note,
];
const arrow = (was: string, is: string): string => (was === '' ? is : `${was} → ${is === '' ? 'not said' : is}`);

function thingText(thing: ToldThing | null | undefined, kind: string, gone: boolean, safe: Safe): string {
  if (!thing) return `${safe(kind)} ${GONE}`;
  const { is, was } = thing;
  const name = `${kind} ${safe(is.name)}`;
  if (gone) return `${name} taken off the list`;
  if (was && was.lentTo !== is.lentTo) return is.lentTo === null ? `${name} is back` : `${name} lent to ${safe(is.lentTo)}`;
  const said = ({ typed, gain, surface, note }: ToldThing['is']): readonly string[] => [
    gain === null ? (typed ?? '') : gainText(gain),
    surface,
    note,
  ];
  // What is measured stands in many a name already.
  if (!was)
    return [
      `${name} is new`,
      ...said(is)
        .filter((text) => text !== '' && !is.name.includes(text))
        .map((text) => safe(text)),
    ].join(', ');
  const before = said(was);
  const changed = said(is).flatMap((text, i) => (text === before[i] ? [] : [arrow(before[i]!, text)]));
  return `${name} ${changed.length === 0 ? 'as before' : safe(changed.join(', '), 120)}`;
}
