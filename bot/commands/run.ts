/** run add / list / since / remove: how it went, in one line; what was changed; what it did. */
import { si } from '../../calc/formula.ts';
import { laps as lapsFormula } from '../../calc/motion/laps.ts';
import { mean } from '../../calc/numeric/statistics.ts';
import {
  type ChangedView,
  type LeftOut,
  type RunView,
  runListText,
  runText,
  type SinceView,
  sinceText,
  type VerdictView,
} from '../../templates/run.ts';
import { writer } from '../../templates/truck.ts';
import { saysTheSame } from '../../worksheets/archive/facts.ts';
import type { Archive, Records, Run } from '../../worksheets/archive/types.ts';
import { fold } from '../../worksheets/archive/words.ts';
import { nearest, problem } from '../../worksheets/engine/problem.ts';
import { fromSI, temperatureUnit } from '../../worksheets/engine/units.ts';
import { partsChanged } from './parts-changed.ts';
import { missing, type Own, oneOf, type Pit, refused, truckFor, words } from './pit.ts';
import { doubtfulLaps, readRun } from './run-line.ts';
import { OF, TRUCK } from './specs.ts';
import type { CommandSpec, Message, OptionSpec, Reply } from './types.ts';
import { measuredView } from './views.ts';
import { ownerOf, whose } from './whose.ts';

const DIRECTIONS = ['slower', 'faster'] as const;
/** What is typed for the runs of which no track was said. */
const NO_TRACK = 'none';
const ON_TRACK: OptionSpec = {
  name: 'track',
  description: `Only the runs on this one; ${NO_TRACK}: those without a track`,
  suggests: true,
};

const SPEC: CommandSpec = {
  name: 'run',
  description: 'How it went: one line a run, what was changed before it, what that did',
  options: [],
  subcommands: [
    {
      name: 'add',
      description: 'Note a run: 5 min, bucked in the whoops, motor 72, laps 24.1 24.3',
      options: [
        { name: 'line', description: 'Minutes, temperatures, laps, "changed …", and what you felt, as you say it' },
        TRUCK,
        { name: 'track', description: 'On which track; laps are compared on the same one', suggests: true },
      ],
      asks: ['How do I write down how it went?', 'Where do the lap times go?'],
      examples: [
        'run add 5 min, bucked in the whoops, motor 72',
        'run add 5 min, changed front oil to 30, laps 24.1 24.3 24.2 track:salt flat',
      ],
    },
    {
      name: 'list',
      description: 'The last runs: was, is, what it did',
      options: [TRUCK, ON_TRACK, OF],
      asks: ['How did it go last time?', 'What did I change between the runs?'],
      examples: ['run list'],
    },
    {
      name: 'since',
      description: 'Since when is it slower, and what had been changed?',
      options: [
        { name: 'what', description: 'Left out: slower', choices: DIRECTIONS.map((one) => ({ name: one, value: one })) },
        TRUCK,
        { ...ON_TRACK, description: `On which track; left out: that of the newest laps; ${NO_TRACK}: runs without a track` },
        OF,
      ],
      asks: ['It got slower: which change was it?', 'It was better last month'],
      examples: ['run since slower'],
    },
    {
      name: 'remove',
      description: 'Take out a run that was a slip',
      options: [{ name: 'number', description: 'Its number, as run list shows it' }, TRUCK],
      asks: ['I noted a run twice'],
      examples: ['run remove 1'],
    },
  ],
};

export const RUNS: Own = {
  spec: SPEC,
  keeps: ({ command }) => command === 'run add' || command === 'run remove',
  reply: runReply,
  suggest,
};

/** Runs that are looked back through for "since when". */
const MOST_RUNS = 500;
const SHOWN_RUNS = 50;

async function runReply(pit: Pit, records: Records, message: Message): Promise<Reply> {
  switch (message.command) {
    case 'run add':
      return add(pit, records, message);
    case 'run remove':
      return remove(pit, records, message);
    case 'run since':
      return since(pit, records, message);
    default:
      return list(pit, records, message);
  }
}

async function add(pit: Pit, records: Records, message: Message): Promise<Reply> {
  const { face } = pit;
  const { options, asker } = message;
  const line = options.line?.trim();
  if (!line) return missing(face, 'line', 'Say how it went: run add 5 min, bucked in the whoops, motor 72.');
  const truck = await truckFor(records, { options, asker });
  const tracks = await clubTracks(records, asker);
  const named = options.track?.trim() ? trackCalled(tracks, options.track) : null;
  const read = readRun(line, named === null ? tracks : []);
  const track = named ?? read.track;
  const like = named === null || tracks.includes(named) ? undefined : nearest(named, tracks);
  // "Quarry 2" is no slip of Quarry.
  if (like !== undefined && !fold(named!).startsWith(`${fold(like)} `)) {
    const needs = `Did you mean ${face.safe(like)}? If it is another one: track add ${face.safe(named!)}.`;
    return refused(face, [problem('track', named, needs, `Track: the club knows no "${face.safe(named!)}". ${needs}`)]);
  }
  if (track !== null && track.length > 60)
    return refused(face, [
      problem('track', track, 'Give at most 60 characters.', 'Track: that name is too long. Give at most 60 characters.'),
    ]);
  const doubtful = doubtfulLaps(read.run.laps);
  if (doubtful.length > 0) return refused(face, doubtful);
  const made = await records.addRun({ ...whose(asker), truck, typed: line, run: read.run, track });
  if (made.kind === 'problems') return refused(face, made.problems);
  const found = await records.runs({ club: asker.club, member: asker.member, truck, limit: MOST_RUNS });
  const before = found.kind === 'runs' ? found.runs.filter(({ number }) => number < made.run.number) : [];
  return words(runText({ truck: made.truck, run: runView(pit, made.run, before) }, { for: face.format, day: face.day, hour: face.hour }));
}

const clubTracks = async (records: Pick<Records, 'things'>, { club }: Message['asker']): Promise<string[]> =>
  (await records.things({ club, kinds: ['track'] })).map(({ name }) => name);

/** The club's own name for it, when it knows the track. */
function trackCalled(tracks: readonly string[], typed: string): string {
  const key = fold(typed.trim());
  const exact = tracks.filter((name) => fold(name) === key);
  const found = exact.length > 0 ? exact : tracks.filter((name) => fold(name).startsWith(key));
  return found.length === 1 ? found[0]! : typed.trim().replace(/\s+/gu, ' ');
}

async function list(pit: Pit, records: Records, message: Message): Promise<Reply> {
  const { face } = pit;
  const { options, asker } = message;
  const asked = options.track?.trim();
  const found = await runsFor(records, message, asked ? MOST_RUNS : SHOWN_RUNS + 1);
  const told = { for: face.format, day: face.day, hour: face.hour };
  if ('problems' in found) {
    // Who has no truck yet and asks for its runs is told how to begin.
    const isFirst = !options.truck?.trim() && !options.of?.trim() && (await records.trucks(asker)).length === 0;
    if (!isFirst) return refused(face, found.problems);
    const none = { truck: await truckFor(records, message), owner: null, runs: [], earlier: 0 };
    return words(runListText(none, told));
  }
  const { runs, truck, own, owner, earlier } = found;
  const track = asked ? await trackOf(records, asker, asked, runs) : undefined;
  const views = runs.map((run, i) => ({ run, view: runView(pit, run, runs.slice(0, i)) }));
  const here = views.filter(({ run }) => track === undefined || isOn(run, track)).map(({ view }) => view);
  const shown = here.slice(-SHOWN_RUNS).reverse();
  const view = {
    truck,
    owner: own ? null : owner,
    runs: shown,
    earlier: (track === undefined ? earlier : 0) + (here.length - shown.length),
  };
  if (track === undefined) return words(runListText(view, told));
  return words(runListText({ ...view, on: { track, elsewhere: elsewhere(runs, track), again: again('run list', options) } }, told));
}

async function since(pit: Pit, records: Records, message: Message): Promise<Reply> {
  const { face } = pit;
  const { what, track: named } = sinceOptions(message.options);
  const direction = oneOf('what', what, DIRECTIONS) ?? 'slower';
  if (typeof direction === 'object') return refused(face, [direction]);
  const found = await runsFor(records, message, MOST_RUNS);
  if ('problems' in found) return refused(face, found.problems);
  const track = named ? await trackOf(records, message.asker, named, found.runs) : undefined;
  const { truck, own } = found;
  const view = {
    ...sinceWhen(pit, found.runs, direction, track),
    truck,
    direction,
    again: again(`run since ${direction}`, message.options),
    add: own ? again('run add laps 24.1 24.3 23.9', { ...message.options, of: '' }) : null,
  };
  return words(sinceText(view, { for: face.format, day: face.day, hour: face.hour }));
}

/** "slower on the gully" says both. */
function sinceOptions({ what = '', track }: Message['options']): { readonly what: string; readonly track: string | undefined } {
  const [, said, on] = /^\s*(?:(\S+)\s+)?on\s+(.+)$/is.exec(what) ?? [];
  return on === undefined ? { what, track: track?.trim() } : { what: said ?? '', track: track?.trim() || on.trim() };
}

/** The same question of another track: what follows is its name. */
const again = (command: string, { truck, of }: Message['options']): string =>
  `${command}${truck?.trim() ? ` truck:${truck.trim()}` : ''}${of?.trim() ? ` of:${of.trim()}` : ''} track:`;

/** One that the club knows, or that the truck has run on; null: without one. */
async function trackOf(records: Records, asker: Message['asker'], typed: string, runs: readonly Run[]): Promise<string | null> {
  const known = new Map(
    [...(await clubTracks(records, asker)), ...runs.flatMap(({ track }) => track ?? [])].map((name) => [fold(name), name]),
  );
  return fold(typed) === NO_TRACK && !known.has(NO_TRACK) ? null : trackCalled([...known.values()], typed);
}

async function remove({ face }: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const typed = options.number?.trim() ?? '';
  if (!/^\d{1,9}$/.test(typed)) return missing(face, 'number', 'Give its number, as run list shows it: run remove 7.');
  const truck = await truckFor(records, { options, asker });
  const done = await records.removeRun({ ...whose(asker), truck, number: Number(typed) });
  if (done.kind === 'problems') return refused(face, done.problems);
  const { safe } = writer({ for: face.format });
  return words(safe(`Run ${done.run.number} of ${done.truck} is taken out: ${done.run.typed}`, 400));
}

async function runsFor(records: Records, message: Message, limit: number) {
  const { asker, options } = message;
  const owner = await ownerOf(records, message);
  if ('kind' in owner) return owner;
  const truck = await truckFor(records, { options, asker: { ...asker, member: owner.id } });
  const found = await records.runs({ club: asker.club, member: owner.id, truck, limit });
  if (found.kind === 'problems') return found;
  return { ...found, own: owner.id === asker.member, owner: found.member.name };
}

// ── what it did ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** A run beside those before it, oldest first: what was changed since the last, and its laps against the last that has some on this track. */
export function runView(pit: Pick<Pit, 'shelf'>, run: Run, before: readonly Run[]): RunView {
  const last = before.at(-1);
  const against = before.findLast((one) => one.laps.length > 0 && sameTrack(one, run));
  return {
    number: run.number,
    at: run.at,
    by: run.by.name,
    minutes: run.minutes,
    temperatures: Object.fromEntries(
      Object.entries(run.temperatures).map(([where, kelvin]) => [where, fromSI(kelvin, temperatureUnit('°C')!)]),
    ),
    laps: run.laps,
    mean: run.laps.length === 0 ? null : mean(run.laps),
    felt: run.felt,
    track: run.track,
    typed: run.typed,
    changed: changedView(pit, run, last),
    verdict: against === undefined || run.laps.length === 0 ? null : verdictOf(against, run),
  };
}

const isOn = (run: Run, track: string | null): boolean => fold(run.track ?? '') === fold(track ?? '');
const sameTrack = (a: Run, b: Run): boolean => isOn(a, b.track);

/** How many of these ran on which other track, most first; null: nobody said on which. */
function elsewhere(runs: readonly Run[], track: string | null): LeftOut[] {
  const others = new Map<string, LeftOut>();
  for (const run of runs)
    if (!isOn(run, track)) {
      const key = fold(run.track ?? '');
      others.set(key, { track: run.track, runs: (others.get(key)?.runs ?? 0) + 1 });
    }
  return [...others.values()].sort((a, b) => b.runs - a.runs);
}

function verdictOf(before: Run, after: Run): VerdictView {
  const { difference, differenceLow, differenceHigh, verdict } = lapsFormula({
    before: before.laps.map((lap) => si<'s'>(lap)),
    after: after.laps.map((lap) => si<'s'>(lap)),
  });
  return {
    against: before.number,
    verdict,
    difference,
    low: typeof differenceLow === 'number' ? differenceLow : null,
    high: typeof differenceHigh === 'number' ? differenceHigh : null,
  };
}

/** Readings known at both runs that are others now: what became known in between was no change of the truck. */
function changedView({ shelf }: Pick<Pit, 'shelf'>, run: Run, last: Run | undefined): ChangedView {
  const facts = [...(last?.facts ?? [])].flatMap(([fact, was]) => {
    const is = run.facts.get(fact);
    if (is === undefined || saysTheSame(was, is)) return [];
    return [{ fact, was: measuredView(shelf, fact, was), is: measuredView(shelf, fact, is), ...(is.kept ? {} : { given: true }) }];
  });
  return { said: run.changes, facts, parts: last === undefined ? [] : partsChanged(last.parts, run.parts) };
}

/** Laps of two or more: one alone says nothing of how they scatter. */
const tells = ({ laps }: Run): boolean => laps.length >= 2;

/**
 * The first run of the unbroken row, up to the newest, whose laps are clearly slower than those of the best run before them (or faster than the
 * slowest). On one track, the newest run's where none is named: another track is another lap.
 */
export function sinceWhen(
  pit: Pick<Pit, 'shelf'>,
  runs: readonly Run[],
  direction: SinceView['direction'],
  asked?: string | null,
): Pick<SinceView, 'track' | 'leftOut' | 'outcome'> {
  const telling = runs.filter(tells);
  const track = asked === undefined ? (telling.at(-1)?.track ?? null) : asked;
  const row = telling.filter((run) => isOn(run, track));
  return { track, leftOut: elsewhere(telling, track), outcome: outcomeOf(pit, runs, row, direction) };
}

function outcomeOf(
  pit: Pick<Pit, 'shelf'>,
  runs: readonly Run[],
  row: readonly Run[],
  direction: SinceView['direction'],
): SinceView['outcome'] {
  const newest = row.at(-1);
  if (row.length < 2 || newest === undefined) return { kind: 'too few', runs: row.length };
  const view = (run: Run): RunView =>
    runView(
      pit,
      run,
      runs.filter(({ number }) => number < run.number),
    );
  const sign = direction === 'slower' ? 1 : -1;
  const earlier = row.slice(0, -1);
  const against = earlier.reduce((best, run) => (sign * (mean(run.laps) - mean(best.laps)) < 0 ? run : best));
  let at = row.length;
  while (at - 1 > row.indexOf(against) && verdictOf(against, row[at - 1]!).verdict === direction) at -= 1;
  const first = row[at];
  if (first === undefined) return { kind: 'not so', run: view(newest), against: view(against), verdict: verdictOf(against, newest) };
  return {
    kind: 'since',
    run: view(first),
    against: view(against),
    verdict: verdictOf(against, first),
    // Whatever was changed after the best run may be what did it, also before a run without laps.
    between: runs
      .filter(({ number }) => number > against.number && number < first.number)
      .map(view)
      .filter(wasChanged),
    after: row.slice(at + 1).map((run) => ({ run: view(run), verdict: verdictOf(against, run) })),
  };
}
const wasChanged = ({ changed }: RunView): boolean => changed.said.length + changed.facts.length + changed.parts.length > 0;

async function suggest(_: Pit, archive: Archive, message: Message, option: string): Promise<readonly string[]> {
  const { asker, command } = message;
  if (option === 'track') {
    const tracks = await clubTracks(archive, asker);
    if (command === 'run add') return tracks;
    const found = await runsFor(archive, message, SHOWN_RUNS);
    const ran = 'problems' in found ? [] : found.runs.flatMap(({ track }) => track ?? []).reverse();
    // Where it has run comes first.
    return [...new Map([...ran, ...tracks].map((name) => [fold(name), name])).values()];
  }
  if (option === 'truck') return archive.trucks({ club: asker.club, member: asker.member });
  return option === 'of' ? (await archive.members({ club: asker.club })).map(({ name }) => name) : [];
}
