/** How a truck ran as a setup has it: a line a run, newest first. */
import { clean } from './clean.ts';
import { acted } from './number.ts';
import { counted } from './truck.ts';

export interface SetupRunView {
  readonly at: number;
  readonly minutes: number | null;
  /** °C by where. */
  readonly temperatures: Readonly<Record<string, number>>;
  readonly laps: number;
  /** s; null where there is no lap. */
  readonly best: number | null;
  readonly median: number | null;
  readonly felt: string;
  readonly track: string | null;
}

/** "14 June 2026 · 5 min · motor 72 °C · 6 laps, best 23.90 s, median 24.10 s · bucked in the whoops" */
export function setupRunText(run: SetupRunView, day: (at: number) => string): string {
  const { at, minutes, temperatures, laps, best, median, felt, track } = run;
  const lap = (seconds: number): string => `${seconds.toFixed(2)} s`;
  const pieces = [
    day(at),
    ...(track === null ? [] : [track]),
    ...(minutes === null ? [] : [acted(minutes, 'min')]),
    ...Object.entries(temperatures).map(([where, celsius]) => `${where} ${acted(Number(celsius.toFixed(1)), '°C')}`),
    ...(best === null || median === null
      ? []
      : [laps === 1 ? `1 lap, ${lap(best)}` : `${counted(laps, 'lap')}, best ${lap(best)}, median ${lap(median)}`]),
    ...(felt === '' ? [] : [clean(felt, { graphemes: 100 })]),
  ];
  return pieces.join(' · ');
}

const SHOWN = 3;

/** How many there are, and the newest few. */
export function setupRunLines(runs: readonly SetupRunView[], day: (at: number) => string): string[] {
  if (runs.length === 0) return [];
  const shown = runs.slice(0, SHOWN).map((run) => `  ${setupRunText(run, day)}`);
  return [`${counted(runs.length, 'run')} like this${runs.length > 1 ? ', the newest first' : ''}:`, ...shown];
}
