/** Runs of a setup as templates show them, newest first. */
import type { SetupRunView } from '../../templates/setup-runs.ts';
import type { SetupRun } from '../../worksheets/archive/types.ts';
import { fromSI, temperatureUnit } from '../../worksheets/engine/units.ts';

export const setupRunViews = (runs: readonly SetupRun[]): SetupRunView[] =>
  [...runs].reverse().map(({ at, minutes, temperatures, laps, felt, track }) => ({
    at,
    minutes,
    temperatures: Object.fromEntries(
      Object.entries(temperatures).map(([where, kelvin]) => [where, fromSI(kelvin, temperatureUnit('°C')!)]),
    ),
    laps: laps.length,
    best: laps.length === 0 ? null : Math.min(...laps),
    median: medianOf(laps),
    felt,
    track,
  }));

/** The middle one, or the mean of the two in the middle. */
function medianOf(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length / 2;
  return (sorted[Math.ceil(half) - 1]! + sorted[Math.floor(half)]!) / 2;
}
