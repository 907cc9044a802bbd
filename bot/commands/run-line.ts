/**
 * One free line about a run: "5 min, bucked in the whoops, motor 72, laps 24.1 24.3 23.9, changed front spring 0.45".
 *
 * What is understood is taken out of the line; all the rest is what was felt, word for word, so nothing that was said is lost. What could be meant
 * otherwise is left there: the line is kept as typed as well, and a guess would be worse than none.
 */
import type { RunLine } from '../../worksheets/archive/types.ts';
import { fold } from '../../worksheets/archive/words.ts';
import { problem } from '../../worksheets/engine/problem.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import { temperatureUnit, toSI } from '../../worksheets/engine/units.ts';

export interface ReadRun {
  readonly run: RunLine;
  /** One of the tracks that were handed in, where the line names it: "track Quarry". */
  readonly track: string | null;
  /** The pieces of the line that were understood, in order; what lies between them was felt. */
  readonly taken: readonly { readonly from: number; readonly to: number }[];
}

/** A line of a run is a few sentences; longer ones are felt as a whole. */
const LONGEST = 2000;
const MOST_LAPS = 200;
const MOST_MINUTES = 600;
const SHORTEST_LAP = 1;
const LONGEST_LAP = 3600;
/** Seconds that are a lap without the word: "battery 2 s" is none, nor is half an hour. */
const LEAST_BARE = 3;
const MOST_BARE = 600;
/** °C: what stands beside a part of a truck and is outside is no temperature of it. */
const COLDEST = -40;
const HOTTEST = 250;

const NUMBER = '\\d{1,4}(?:[.,]\\d{1,4})?';
const numberOf = (digits: string): number => Number(digits.replace(',', '.'));

/** What is measured for its heat, in the words people use → as it is kept. */
const HEATED: Readonly<Record<string, string>> = {
  motor: 'motor',
  engine: 'motor',
  battery: 'battery',
  batt: 'battery',
  pack: 'battery',
  lipo: 'battery',
  esc: 'speed control',
  controller: 'speed control',
  air: 'air',
  outside: 'air',
  ambient: 'air',
  ground: 'ground',
  surface: 'ground',
  shock: 'shock',
  shocks: 'shock',
  oil: 'shock',
  tyre: 'tyre',
  tyres: 'tyre',
};
const PARTS = Object.keys(HEATED).join('|');
/** What a number is of when one of these follows: "pack 40 mm back", "battery 2 s", "motor 13 teeth". */
const OTHER = '(?:mm|cm|m|in|g|kg|oz|lb|s|t|teeth|tooth|kv|rpm|v|mah|a|w|wt|cst|bar|psi|kpa|%|min|minutes?|laps?|turns?|x|×|km|mph|hz|n)';
const END_OF_NUMBER = `(?![\\p{L}\\d]|[.,]\\d)(?![ \\t]{0,2}${OTHER}(?![\\p{L}\\d]))`;
const DEGREE = '(?:°\\s?[CF]?|deg(?:rees?)?\\s?[CF]?|[CF](?![\\p{L}\\d]))';

interface Taken {
  readonly from: number;
  readonly to: number;
}

/** `tracks`: names that the line may say where it ran with. */
export function readRun(line: string, tracks: readonly string[] = []): ReadRun {
  const taken: Taken[] = [];
  const nothing: RunLine = { minutes: null, temperatures: {}, laps: [], changes: [], felt: '' };
  if (line.length > LONGEST) return { run: { ...nothing, felt: tidy(line) }, track: null, taken };
  const free = (from: number, to: number): boolean => taken.every((one) => to <= one.from || from >= one.to);
  const take = (from: number, to: number): void => void taken.push({ from, to });

  const changes = changesIn(line, take);
  const named = lapsIn(line, free, take);
  const laps = named.length > 0 ? named : bareLapsIn(line, free, take);
  const track = trackIn(line, tracks, free, take);
  const temperatures = temperaturesIn(line, free, take);
  const minutes = minutesIn(line, free, take);
  taken.sort((a, b) => a.from - b.from);
  let felt = '';
  let at = 0;
  for (const { from, to } of [...taken, { from: line.length, to: line.length }]) {
    felt += `${line.slice(at, from)}\n`;
    at = to;
  }
  return { run: { minutes, temperatures, laps, changes, felt: tidy(felt) }, track, taken };
}

/** The words that are left: the commas around what was taken out go, those between words stay. */
const tidy = (text: string): string =>
  text
    .split(/[;\n]+/)
    .map((piece) =>
      piece
        .replace(/\s+/gu, ' ')
        .replace(/ (?=,)/gu, '')
        .replace(/^[\s,.:]+|[\s,:]+$/gu, ''),
    )
    .filter((piece) => piece !== '')
    .reduce((all, piece) => (all === '' ? piece : `${all}${/[.!?]$/.test(all) ? ' ' : ', '}${piece}`), '');

type Free = (from: number, to: number) => boolean;
type Take = (from: number, to: number) => void;

/**
 * "changed front spring 0.45": to the end of its piece; a comma between digits is a decimal sign. A piece that begins with what hands do ("swapped
 * the rear springs"), or in which something changed from one to another, is a change as a whole.
 */
function changesIn(line: string, take: Take): string[] {
  const changes: string[] = [];
  const piece = '((?:[^,;\\n]|(?<=\\d),(?=\\d)){1,200})';
  const done =
    'swapped|switched(?!\\s(?:off|on))|replaced|fitted|moved\\s(?:the|my)|took\\s(?:off|out)|removed|added|went\\s(?:up|down)\\s(?:a|one)\\stooth';
  const whole = new RegExp(
    `(?<=^|[,;\\n])\\s{0,3}(?=(?:i\\s|we\\s)?(?:(?:${done})(?![\\p{L}\\d])|[\\p{L}\\s]{2,40}\\schanged\\s(?:from|to)\\s))${piece}`,
    'giu',
  );
  const wholes: Taken[] = [];
  for (const found of line.matchAll(whole)) {
    changes.push(found[1]!.replace(/\s+/gu, ' ').trim());
    wholes.push({ from: found.index, to: found.index + found[0].length });
    take(found.index, found.index + found[0].length);
  }
  const isFree = (at: number): boolean => wholes.every(({ from, to }) => at < from || at >= to);
  for (const found of line.matchAll(
    /(?<![\p{L}\d])(?<!(?:nothing|not)\s)(?:changed|changes|change)(?![\p{L}\d])\s{0,3}[:=]?\s{0,3}((?:[^,;\n]|(?<=\d),(?=\d)){1,200})/giu,
  )) {
    const change = found[1]!.replace(/\s+/gu, ' ').trim();
    if (change === '' || !isFree(found.index)) continue;
    changes.push(change);
    take(found.index, found.index + found[0].length);
  }
  return changes;
}

/** "laps 24.1 24.3 23.9", "lap times: 1:02.3, 1:01.9", "laps 24,1 24,3". */
function lapsIn(line: string, free: Free, take: Take): number[] {
  const laps: number[] = [];
  // A best lap, or an average, is no row of laps that others could be held against.
  const head =
    /(?<![\p{L}\d])(?<!(?:best|fastest|quickest|slowest|worst|average|avg|mean|median)\s{1,3})laps?(?:\s{0,3}times?)?(?![\p{L}\d])\s{0,3}[:=]?/giu;
  for (const found of line.matchAll(head)) {
    let at = found.index + found[0].length;
    const here: number[] = [];
    for (;;) {
      const next = nextLap(
        line,
        at + (here.length === 0 ? 0 : (/^[\s,/]{0,4}(?:dnf|dns)(?=[\s,/])/iu.exec(line.slice(at, at + 12))?.[0].length ?? 0)),
      );
      if (next === undefined || here.length + laps.length + next.laps.length > MOST_LAPS) break;
      here.push(...next.laps);
      at = next.to;
    }
    if (here.length === 0 || !free(found.index, at)) continue;
    laps.push(...here);
    take(found.index, at);
  }
  return laps;
}

function nextLap(line: string, at: number): { readonly laps: readonly number[]; readonly to: number } | undefined {
  const token =
    /^[\s,/&]{0,4}(?:and\s{1,3})?(?:(\d{1,3}):([0-5]\d(?:[.,]\d{1,4})?)|(\d[\d.,]{0,80}))\s?(?:s|sec|secs|seconds?)?(?![\p{L}\d:])/iu.exec(
      line.slice(at, at + 120),
    );
  if (!token) return undefined;
  const to = at + token[0].replace(/[,.]+$/, '').length;
  // "laps 24.1 24.3, 5 min": what has a unit of its own is something else.
  if (
    new RegExp(`^[ \\t]{0,2}(?:${OTHER}|${DEGREE})(?![\\p{L}\\d])`, 'iu').test(line.slice(to, to + 12)) &&
    !/s(?:ec\w*)?$/i.test(token[0])
  )
    return undefined;
  const times =
    token[1] !== undefined ? [Number(token[1]) * 60 + numberOf(token[2]!)] : (apart(token[3]!.replace(/[,.]+$/, '')) ?? []).map(numberOf);
  return times.length > 0 && times.every((time) => time >= SHORTEST_LAP && time <= LONGEST_LAP) ? { laps: times, to } : undefined;
}

/** "24,1" is one number, "24.1,24.3" are two, and so are "24,1,24,3" nobody knows how many. */
function apart(digits: string): string[] | undefined {
  if (/^\d+(?:[.,]\d+)?$/.test(digits)) return [digits];
  if (/^\d+\.\d+(?:,\d+\.\d+)+$/.test(digits)) return digits.split(',');
  return undefined;
}

/** Laps that do not say so: "24.1s 24.3s 24.0s", each with its s; "24.1 24.3 24.0", where nothing else stands between two commas. */
function bareLapsIn(line: string, free: Free, take: Take): number[] {
  const decimal = '\\d{1,3}[.,]\\d{1,3}';
  const second = `(?:${decimal}|\\d{1,3})\\s?s(?![\\p{L}\\d])`;
  const ways = [
    // "4 min 30 s": those seconds are of the minutes.
    `(?<![\\p{L}\\d.,:/-])(?<!min\\s{0,2})(${second}(?:(?:\\s{0,2}[,/;]?\\s{1,2})${second})+)`,
    `(?<=^|[;\\n]|,\\s)\\s{0,3}(${decimal}(?:[,/]?\\s{1,2}${decimal})+)(?=\\s{0,3}(?:[;\\n]|[,.](?!\\d)|$))`,
  ];
  for (const way of ways)
    for (const found of line.matchAll(new RegExp(way, 'giu'))) {
      const times = found[1]!.match(/\d{1,3}(?:[.,]\d{1,3})?/g)!.map(numberOf);
      if (times.length > MOST_LAPS || times.some((time) => time < LEAST_BARE || time > MOST_BARE)) continue;
      if (!free(found.index, found.index + found[0].length)) continue;
      take(found.index, found.index + found[0].length);
      return times;
    }
  return [];
}

/** "track Quarry", "track: qua": to the end of its piece, or the whole of a name with more behind it. "Track was dusty" names none. */
function trackIn(line: string, tracks: readonly string[], free: Free, take: Take): string | null {
  for (const found of line.matchAll(/(?<![\p{L}\d])(?:on\s)?track\s{0,3}[:=]?\s{0,3}(?=([^,;\n]{1,80}))/giu)) {
    const from = found.index + found[0].length;
    const piece = found[1]!.replace(/[\s.!]+$/, '');
    const ends = [...piece.matchAll(/(?<=[^\s])(?=\s|$)/gu)].map(({ index }) => index).reverse();
    for (const end of ends) {
      const said = fold(piece.slice(0, end));
      const exact = tracks.filter((name) => fold(name) === said);
      const begun = end === piece.length ? tracks.filter((name) => fold(name).startsWith(said)) : [];
      const called = exact.length > 0 ? exact : begun;
      if (called.length !== 1 || !free(found.index, from + end)) continue;
      take(found.index, from + end);
      return called[0]!;
    }
  }
  return trackMentioned(line, tracks, free, take);
}

/** "on pan loop", "at quarry": without the word, only the whole of a name. */
function trackMentioned(line: string, tracks: readonly string[], free: Free, take: Take): string | null {
  for (const found of line.matchAll(/(?<![\p{L}\d])(?:on|at)\s{1,3}(?:the\s{1,3})?(?=([^,;\n]{1,80}))/giu)) {
    const from = found.index + found[0].length;
    for (const { index: end } of [...found[1]!.matchAll(/(?<=[\p{L}\d])(?![\p{L}\d])/gu)].reverse()) {
      const called = tracks.find((name) => fold(name) === fold(found[1]!.slice(0, end)));
      if (called === undefined || !free(found.index, from + end)) continue;
      take(found.index, from + end);
      return called;
    }
  }
  return null;
}

/** "motor 72", "battery: 41 °C", "air temp 95 F", "72° motor". */
function temperaturesIn(line: string, free: Free, take: Take): Record<string, number> {
  const temperatures: Record<string, number> = {};
  const before = `(?<![\\p{L}\\d])(${PARTS})(?:\\s{0,3}temp(?:erature)?)?(?:\\s{1,3}(?:was|is|at|about|around)){0,2}\\s{0,3}[:=]?\\s{0,3}(-?${NUMBER})\\s{0,2}(?:(${DEGREE})|${END_OF_NUMBER})`;
  const behind = `(?<![\\p{L}\\d.,-])(-?${NUMBER})\\s{0,2}(${DEGREE})\\s{0,3}(?:on\\s|at\\s|of\\s)?(?:the\\s)?(${PARTS})(?![\\p{L}\\d])`;
  const put = (part: string, digits: string, degree: string | undefined, from: number, length: number): void => {
    const name = HEATED[part.toLowerCase()]!;
    const unit = temperatureUnit(/f$/i.test(degree ?? '') ? '°F' : '°C')!;
    const kelvin = toSI(numberOf(digits), unit);
    const celsius = kelvin - 273.15;
    if (name in temperatures || celsius < COLDEST || celsius > HOTTEST || !free(from, from + length)) return;
    temperatures[name] = kelvin;
    take(from, from + length);
  };
  for (const found of line.matchAll(new RegExp(before, 'giu'))) put(found[1]!, found[2]!, found[3], found.index, found[0].length);
  for (const found of line.matchAll(new RegExp(behind, 'giu'))) put(found[3]!, found[1]!, found[2], found.index, found[0].length);
  return temperatures;
}

/** "5 min" on its own, at the start, or behind "ran" and "for"; "after 3 min it faded" is what was felt. */
function minutesIn(line: string, free: Free, take: Take): number | null {
  // "4 min 30": a number that ends its piece, or has its s, is of the same duration; "4 min 30 laps" has another.
  const seconds = '\\s{0,2}([0-5]?\\d)(?:\\s?(?:s|secs?|seconds?)(?![\\p{L}\\d])|(?=\\s{0,3}(?:[;\\n]|[,.](?!\\d)|$)))';
  const duration = `(?:(\\d{1,3}):([0-5]\\d)|(${NUMBER}))\\s{0,2}(?:min|mins|minutes?)(?![\\p{L}\\d])(?:${seconds})?`;
  const ways = [
    `(?<=^|[,;\\n])\\s{0,3}(?:(?:ran|run|drove|for)\\s{1,3}){0,2}(?:about\\s{1,3})?${duration}(?:\\s{0,3}run)?(?=\\s{0,3}(?:[,;.\\n]|$))`,
    `^\\s{0,3}(?:(?:ran|run|drove|for)\\s{1,3}){0,2}(?:about\\s{1,3})?${duration}`,
    `(?<![\\p{L}\\d])(?:ran|drove)\\s{1,3}(?:for\\s{1,3})?(?:about\\s{1,3})?${duration}`,
  ];
  for (const way of ways)
    for (const found of line.matchAll(new RegExp(way, 'giu'))) {
      const minutes = (found[1] === undefined ? numberOf(found[3]!) : Number(found[1])) + Number(found[2] ?? found[4] ?? 0) / 60;
      // "4.5 min 30" says it two ways.
      if (found[4] !== undefined && !/^\d+$/.test(found[3] ?? '')) continue;
      if (!(minutes > 0 && minutes <= MOST_MINUTES) || !free(found.index, found.index + found[0].length)) continue;
      take(found.index, found.index + found[0].length);
      return minutes;
    }
  return null;
}

// ── what is likely a slip ───────────────────────────────────────────────────────────────────────────────────────────────────────

/** A lap this many times another is a slip of the pen, or was no lap. */
const FAR_OFF = 3;
const SLIPS: readonly (readonly [number, string])[] = [
  [10, 'a tenth of'],
  [100, 'a hundredth of'],
  [0.1, 'ten times'],
  [0.01, 'a hundred times'],
];

/** Laps that cannot stand in one row with the others: "laps 2.41 24.3 241". */
export function doubtfulLaps(laps: readonly number[]): Problem[] {
  const middle = medianOf(laps);
  const off = laps.filter((lap) => lap > FAR_OFF * middle || FAR_OFF * lap < middle);
  return [...new Set(off)].map((lap) => {
    // Of two laps the middle lies between them: the one is held against the other.
    const others = laps.length === 2 ? laps[0]! + laps[1]! - lap : middle;
    const slip = SLIPS.find(([times]) => lap * times > others / 2 && lap * times < others * 2);
    const is = slip?.[1] ?? (lap > others ? 'more than three times' : 'less than a third of');
    const needs = slip ? `Did you mean ${shown(lap * slip[0])}?` : 'If it was a stop, leave it out of the laps.';
    return problem('laps', shown(lap), needs, `Laps: ${shown(lap)} s is ${is} the others. ${needs}`);
  });
}
const shown = (seconds: number): string => String(Number(seconds.toPrecision(6)));
const medianOf = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.length === 0 ? 0 : (sorted[Math.ceil(sorted.length / 2) - 1]! + sorted[Math.floor(sorted.length / 2)]!) / 2;
};
