import { describe, expect, it } from 'vitest';
import { setupRunViews } from '../../bot/commands/setup-runs.ts';
import { setupRunLines } from '../../templates/setup-runs.ts';
import type { SetupRun } from '../../worksheets/archive/types.ts';

const AT = Date.UTC(2026, 5, 14, 9);
const day = (at: number): string => new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', timeZone: 'UTC' }).format(at);
const run = (more: Partial<SetupRun> = {}): SetupRun => ({
  at: AT,
  typed: '',
  minutes: null,
  temperatures: {},
  laps: [],
  changes: [],
  felt: '',
  track: null,
  ...more,
});
const linesOf = (...runs: SetupRun[]): string[] => setupRunLines(setupRunViews(runs), day);

describe('the runs of a setup', () => {
  it('say how long, how warm, the best and the middle lap, and what was felt', () => {
    // 72 °C = 345.15 K (ITS-90: t/°C = T/K − 273.15). Of 24.1 23.9 24.4 24.2 the middle two are 24.1 and 24.2: median 24.15.
    const one = run({ minutes: 5, temperatures: { motor: 345.15 }, laps: [24.1, 23.9, 24.4, 24.2], felt: 'bucked', track: 'Salt loop' });
    expect(linesOf(one)).toEqual([
      '1 run like this:',
      '  14 June · Salt loop · 5 min · motor 72 °C · 4 laps, best 23.90 s, median 24.15 s · bucked',
    ]);
    expect(linesOf(run({ laps: [24.4, 23.9, 24.1] }))[1]).toBe('  14 June · 3 laps, best 23.90 s, median 24.10 s');
    expect(linesOf(run({ laps: [24] }))[1]).toBe('  14 June · 1 lap, 24.00 s');
    expect(linesOf(run())[1]).toBe('  14 June');
  });

  it('are the newest three, newest first, and say how many there are', () => {
    const four = [1, 2, 3, 4].map((minutes) => run({ minutes, at: AT + minutes }));
    expect(linesOf(...four)).toEqual([
      '4 runs like this, the newest first:',
      '  14 June · 4 min',
      '  14 June · 3 min',
      '  14 June · 2 min',
    ]);
    expect(linesOf()).toEqual([]);
  });
});
