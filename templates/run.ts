/** A truck's runs as strips: what was → what it is → what it did. */
import { clean } from './clean.ts';
import { fitSections } from './fit.ts';
import { acted } from './number.ts';
import { messageLimit } from './text.ts';
import { changeText, counted, type MeasuredView, type TruckTextOptions, writer } from './truck.ts';
import { capital, nameWords, verdictText } from './words.ts';

export interface RunView {
  readonly number: number;
  readonly at: number;
  readonly by: string;
  readonly minutes: number | null;
  /** °C by where. */
  readonly temperatures: Readonly<Record<string, number>>;
  /** s. */
  readonly laps: readonly number[];
  /** Mean lap, s. */
  readonly mean: number | null;
  readonly felt: string;
  readonly track: string | null;
  readonly typed: string;
  readonly changed: ChangedView;
  readonly verdict: VerdictView | null;
}
/** What is another than at the run before. */
export interface ChangedView {
  /** In the member's words. */
  readonly said: readonly string[];
  readonly facts: readonly {
    readonly fact: string;
    readonly was: MeasuredView;
    readonly is: MeasuredView;
    /** Given to a sheet and not kept: it may have been no more than a question. */
    readonly given?: boolean;
  }[];
  /** "lead on at 330 mm", "pack 185 → 210 mm". */
  readonly parts: readonly string[];
}
/** Laps against those of an earlier run on the same track. */
export interface VerdictView {
  readonly against: number;
  readonly verdict: string;
  /** s, this run less that one; the interval is null where the scatter is not known. */
  readonly difference: number;
  readonly low: number | null;
  readonly high: number | null;
}

export interface RunTextOptions extends TruckTextOptions {
  readonly hour: (at: number) => string;
}

const MOST_NAMED = 6;

// ── pieces ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** "5 min · motor 72 °C · 3 laps, 24.1 s · salt flat" */
function didText(run: RunView): string {
  const pieces = [
    ...(run.minutes === null ? [] : [`${acted(run.minutes, 'min')}`]),
    ...Object.entries(run.temperatures).map(([where, celsius]) => `${where} ${acted(Number(celsius.toFixed(1)), '°C')}`),
    ...(run.laps.length === 0 ? [] : [`${counted(run.laps.length, 'lap')}${run.laps.length > 1 ? `, mean` : ''} ${lapText(run)}`]),
    ...(run.track === null ? [] : [run.track]),
  ];
  return pieces.join(' · ');
}
const lapText = (run: Pick<RunView, 'mean'>): string => secondsText(run.mean ?? 0);
/** A lap to the hundredth: a hand on a watch is worse than that, and a clock at a track shows no more. */
const secondsText = (seconds: number): string => `${seconds.toFixed(2)} s`;

/** "front spring 0.45 · rear spring rate 0.5 → 0.45 N/mm · lead on" */
export function changesText({ said, facts, parts }: ChangedView): string {
  const all = [...said, ...facts.map(({ fact, was, is }) => `${nameWords(fact)} ${changeText(was, is)}`), ...parts];
  return [...all.slice(0, MOST_NAMED), ...(all.length > MOST_NAMED ? [`${all.length - MOST_NAMED} more`] : [])].join(' · ');
}

/** "✓ faster than run 6 by 0.82 s (0.41 to 1.2 s, 95 %)", "≈ cannot tell from run 6: 0.1 s slower" */
export function verdictLine({ against, verdict, difference, low, high }: VerdictView): string {
  const by = secondsText(Math.abs(difference));
  if (verdict === 'cannot tell')
    return `${verdictText(verdict)} from run ${against}: ${by} ${difference < 0 ? 'faster' : 'slower'}, which chance alone may do`;
  const ends = low === null || high === null ? [] : [Math.abs(low), Math.abs(high)].sort((a, b) => a - b);
  return `${verdictText(verdict)} than run ${against} by ${by}${ends.length === 0 ? '' : ` (${ends[0]!.toFixed(2)} to ${secondsText(ends[1]!)}, 95 %)`}`;
}

/** One run: when, what was changed, what it did, what was felt. */
export function stripText(run: RunView, { day, hour }: Pick<RunTextOptions, 'day' | 'hour'>): string[] {
  const did = didText(run);
  const changes = changesText(run.changed);
  const result = [...(run.verdict === null ? [] : [verdictLine(run.verdict)]), ...(run.felt === '' ? [] : [run.felt])].join(' · ');
  return [
    `${run.number} · ${day(run.at)} ${hour(run.at)}${did === '' ? '' : ` · ${did}`}`,
    ...(changes === '' ? [] : [`  ${changes}`]),
    ...(result === '' ? [] : [`  → ${result}`]),
  ];
}

// ── texts ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export function runText({ truck, run }: { readonly truck: string; readonly run: RunView }, options: RunTextOptions): string {
  const { safe, bold } = writer(options);
  const did = didText(run);
  const changes = changesText(run.changed);
  return [
    bold(safe(`Run ${run.number} of ${truck}${did === '' ? '' : `: ${did}`}`, 300)),
    ...(changes === '' ? [] : [safe(`Changed: ${changes}`, 400)]),
    ...(run.verdict === null ? [] : [safe(capital(verdictLine(run.verdict)), 200)]),
    ...(run.felt === '' ? [] : [safe(`Felt: ${run.felt}`, 600)]),
    ...cautionsOf(run).map((line) => safe(line, 300)),
    ...givenHint(run.changed).map((line) => safe(line, 300)),
  ]
    .join('\n')
    .slice(0, messageLimit)
    .toWellFormed();
}

/** °C. The motor's is what the sheets take where its maker says nothing; both: common practice, no source. */
const HOT_MOTOR = 80;
const HOT_PACK = 60;

/** What may hurt somebody before the next run. */
function cautionsOf({ temperatures, typed }: Pick<RunView, 'temperatures' | 'typed'>): string[] {
  const { motor = 0, battery = 0 } = temperatures;
  const isHurt = /\b(?:puff|swoll|swell|bloat|bulg|leak|smok|smell|burn)/i.test(typed) && /\b(?:pack|batter|batt\b|lipo|cell)/i.test(typed);
  return [
    ...(isHurt
      ? [
          '⚠ A swollen, leaking or smoking pack may burn: outside with it, away from all that burns, do not charge or drive it again, and do what its maker says.',
        ]
      : []),
    ...(battery > HOT_PACK
      ? [`⚠ The pack was over ${HOT_PACK} °C: let it cool before it is charged or driven; its maker's limit comes first.`]
      : []),
    ...(motor > HOT_MOTOR
      ? [`⚠ The motor was over ${HOT_MOTOR} °C: do not touch it, let it cool, and gear down or run shorter; its maker's limit comes first.`]
      : []),
  ];
}

/** What was asked of a sheet counts for the truck at once, and so for this run: the moment to say that it was only a question. */
function givenHint({ facts }: ChangedView): string[] {
  const given = facts.filter((one) => one.given).map(({ fact }) => fact);
  if (given.length === 0) return [];
  const named = given.slice(0, MOST_NAMED).map(nameWords).join(', ');
  const more = given.length > MOST_NAMED ? ` and ${given.length - MOST_NAMED} more` : '';
  return [`Just given, not kept: ${named}${more}. So it ran? Then keep. Only asked? Then truck forget ${given[0]}, and note the run anew.`];
}

/** Runs on another track than those that are told of; null: nobody said on which. */
export interface LeftOut {
  readonly track: string | null;
  readonly runs: number;
}

export interface RunListView {
  readonly truck: string;
  readonly owner: string | null;
  /** Newest first. */
  readonly runs: readonly RunView[];
  readonly earlier: number;
  /** Where only those on one track were asked for. `again`: the same of another, up to its name. */
  readonly on?: { readonly track: string | null; readonly elsewhere: readonly LeftOut[]; readonly again: string };
}
export function runListText({ truck, owner, runs, earlier, on }: RunListView, options: RunTextOptions, limit = messageLimit): string {
  const { safe, bold } = writer(options);
  if (runs.length === 0 && on !== undefined && on.elsewhere.length > 0) {
    const [most] = on.elsewhere;
    return safe(
      `${truck} has no run ${whereText(on.track)}. There are ${runsWhere(on.elsewhere)}: ${on.again}${trackTyped(most!.track)}`,
      400,
    );
  }
  if (runs.length === 0) return safe(`${truck} has no run yet. Say how one went: run add 5 min, bucked in the whoops, motor 72`, 200);
  const strips = runs.map((run) => {
    const [head, ...rest] = stripText(run, options);
    return [safe(head!, 300), ...rest.map((line) => `  ${safe(clean(line, { graphemes: 400 }), 300)}`)].join('\n');
  });
  return fitSections(
    [
      {
        head: bold(
          safe(
            `Runs of ${truck}${owner === null ? '' : `, ${owner}`}${on === undefined ? '' : `, ${whereText(on.track)}`}, newest first`,
            180,
          ),
        ),
        lines: strips,
        share: 1,
        least: 1,
        more: (left) => `… and ${left + earlier} earlier`,
      },
    ],
    limit,
  );
}

const whereText = (track: string | null): string => (track === null ? 'without a track' : `on ${track}`);
/** As it is asked for: those without a track by "none". */
const trackTyped = (track: string | null): string => track ?? 'none';
/** "9 runs without a track, 2 on gully" */
function runsWhere(runs: readonly LeftOut[]): string {
  const named = runs.slice(0, MOST_TRACKS).map((one, i) => `${i === 0 ? counted(one.runs, 'run') : one.runs} ${whereText(one.track)}`);
  const rest = runs.slice(MOST_TRACKS).reduce((sum, one) => sum + one.runs, 0);
  return [...named, ...(rest > 0 ? [`${rest} on other tracks`] : [])].join(', ');
}
const MOST_TRACKS = 3;

export interface SinceView {
  readonly truck: string;
  readonly direction: 'slower' | 'faster';
  /** Where the laps that are compared were driven; null: nobody said. */
  readonly track: string | null;
  /** Runs with laps that are not compared with those. */
  readonly leftOut: readonly LeftOut[];
  /** The same question of another track, up to its name. */
  readonly again: string;
  /** How one more run is noted, up to the track's name; null: not by who asks. */
  readonly add: string | null;
  readonly outcome:
    | { readonly kind: 'too few'; readonly runs: number }
    /** The newest run is not clearly so, against the run it is held against. */
    | { readonly kind: 'not so'; readonly run: RunView; readonly against: RunView; readonly verdict: VerdictView }
    | {
        readonly kind: 'since';
        readonly run: RunView;
        readonly against: RunView;
        readonly verdict: VerdictView;
        /** Runs between the two whose laps do not tell, with what was changed before them. */
        readonly between: readonly RunView[];
        readonly after: readonly { readonly run: RunView; readonly verdict: VerdictView }[];
      };
}
/** The answer to "since when is it slower?" */
export function sinceText(view: SinceView, options: RunTextOptions, limit = messageLimit): string {
  const { truck, direction, track, outcome } = view;
  const { safe, bold } = writer(options);
  const best = direction === 'slower' ? 'the best before' : 'the slowest before';
  const left = leftOutLines(view).map((line) => safe(line, 400));
  if (outcome.kind === 'too few') return [safe(tooFew(view, outcome.runs), 300), ...left].join('\n');
  const { run, against, verdict } = outcome;
  const where = track === null ? '' : ` on ${track}`;
  const unsaid = track === null ? ' (no track said)' : '';
  if (outcome.kind === 'not so')
    return [
      bold(
        safe(
          `${truck} is not clearly ${direction}${where}: run ${run.number} has ${lapText(run)} a lap, run ${against.number}, ${best}, ${lapText(against)}${unsaid}.`,
          300,
        ),
      ),
      safe(`${capital(verdictLine(verdict))}.`, 200),
      ...left,
    ].join('\n');
  const change = (one: RunView): string => changesText(one.changed) || 'nothing that was said, and no reading of the truck';
  return fitSections(
    [
      {
        head: [
          bold(
            safe(
              `${truck} is ${direction}${where} since run ${run.number}, ${options.day(run.at)}: ${lapText(run)} a lap, and ${lapText(against)} in run ${against.number}, ${best}${unsaid}.`,
              300,
            ),
          ),
          safe(`${capital(verdictLine(verdict))}.`, 200),
          safe(`Changed before run ${run.number}: ${change(run)}`, 500),
          ...(run.felt === '' ? [] : [safe(`Felt: ${run.felt}`, 300)]),
        ].join('\n'),
        lines: [],
        share: 0.6,
      },
      {
        head: outcome.between.length > 0 ? `Between, whose laps do not tell:` : null,
        lines: outcome.between.map((one) => safe(`· run ${one.number}: ${change(one)}`, 300)),
        share: 0.2,
      },
      {
        head: outcome.after.length > 0 ? 'And so it stayed:' : null,
        lines: outcome.after.map((one) => safe(`· run ${one.run.number}: ${lapText(one.run)}, ${verdictLine(one.verdict)}`, 200)),
        share: 0.2,
      },
      { head: [...left, 'Track and pack drift too: to be sure, change it back and run once more.'].join('\n'), lines: [], share: 0.1 },
    ],
    limit,
  );
}

function tooFew({ truck, track, leftOut, add }: SinceView, runs: number): string {
  if (runs === 0 && leftOut.length === 0) {
    const note = add === null ? '' : ' Note laps with a run: run add 5 min, laps 24.1 24.3 23.9';
    return `${truck} has no run with two laps or more, and it takes two to tell.${note}`;
  }
  // One more without a track is noted by saying none.
  const more = track === null ? add?.replace(/ track:$/, '') : add && `${add}${track}`;
  const has = `${truck} has ${runs === 0 ? 'no run' : 'one run'} with two laps or more ${whereText(track)}, and it takes two to tell.`;
  return more ? `${has} Note ${runs === 0 ? 'laps there' : 'one more'}: ${more}` : has;
}

/** "Left out: 9 runs without a track, 2 on gully. For those: run since slower track:none" */
function leftOutLines({ leftOut, again }: SinceView): string[] {
  if (leftOut.length === 0) return [];
  const enough = leftOut.find(({ runs }) => runs > 1);
  return [`Left out: ${runsWhere(leftOut)}.${enough === undefined ? '' : ` For those: ${again}${trackTyped(enough.track)}`}`];
}
