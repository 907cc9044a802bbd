import type { Problems } from '../engine/types.ts';
import type { Fact, OwnTruck, Part } from './trucks-types.ts';
import type { MemberName, TruckOf } from './types.ts';

/** What one line says of a run; SI. */
export interface RunLine {
  readonly minutes: number | null;
  /** By where it was measured: motor, battery, air, … */
  readonly temperatures: Readonly<Record<string, number>>;
  /** Lap times, s, one after the other. */
  readonly laps: readonly number[];
  /** What was changed before it, in the member's words. */
  readonly changes: readonly string[];
  /** What was felt: all the words that are nothing else. */
  readonly felt: string;
}
export interface Run extends RunLine {
  /** Its number among the truck's runs. */
  readonly number: number;
  /** The line as it was typed. */
  readonly typed: string;
  readonly track: string | null;
  readonly by: MemberName;
  readonly at: number;
  /** The truck as it was then. */
  readonly facts: ReadonlyMap<string, Fact>;
  readonly parts: readonly Part[];
}
/** A run as a setup keeps it: what it did, not whose it was. */
export interface SetupRun extends RunLine {
  readonly typed: string;
  readonly track: string | null;
  readonly at: number;
}
export interface Runs {
  readonly kind: 'runs';
  readonly truck: string;
  readonly member: MemberName;
  /** Oldest first. */
  readonly runs: readonly Run[];
  /** How many there are, before those. */
  readonly earlier: number;
}

export interface RunRecords {
  addRun(
    what: OwnTruck & { readonly typed: string; readonly run: RunLine; readonly track: string | null },
  ): Promise<{ readonly kind: 'run'; readonly truck: string; readonly run: Run; readonly before: Run | null } | Problems>;
  /** The last so many runs of a truck. */
  runs(which: TruckOf & { readonly limit?: number }): Promise<Runs | Problems>;
  /** A slip is taken out; its number is not given again. */
  removeRun(
    what: OwnTruck & { readonly number: number },
  ): Promise<{ readonly kind: 'run removed'; readonly truck: string; readonly run: Run } | Problems>;
}
