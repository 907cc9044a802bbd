import type { Answer, Problems, ReadingValue } from '../engine/types.ts';
import type { RunRecords, SetupRun } from './runs-types.ts';
import type { ClubRecords, Conditions, Facets, NumberBetween, SetupRecords } from './setups-types.ts';
import type { ThingRecords } from './things-types.ts';
import type { Fact, How, SetupPart, TruckRecords } from './trucks-types.ts';

export type * from './runs-types.ts';
export type * from './setups-types.ts';
export type * from './things-types.ts';
export type * from './trucks-types.ts';

/**
 * The archive as the rest of the house sees it, whatever keeps it. Members and clubs are known by the ids of their platform, as text (a number
 * would be rounded); they come to be when they are first seen. Times are epoch milliseconds, UTC.
 */
export interface Archive extends Records {
  /**
   * Does the work of an interaction once and only once, however often and from how many processes it arrives: all of it is stored, with its
   * result, or nothing. A repeat gets the stored result and `repeated: true`.
   *
   * Inside, use the records handed in. The result has to be plain data; it comes back as JSON keeps it. Draw and send outside: the work
   * holds the write lock.
   */
  once<T>(interaction: string, club: string, work: (records: Records) => T | Promise<T>): Promise<Once<T>>;
  /** Computes every hash of a club again. */
  verify(which: { readonly club: string }): Promise<Verified>;
  /** Waits for what is under way. */
  close(): Promise<void>;
}
export interface Once<T> {
  readonly result: T;
  readonly repeated: boolean;
}
export type Verified =
  | { readonly ok: true; readonly changes: number; readonly revisions: number }
  | { readonly ok: false; readonly text: string };

/** What can be kept and asked, alone or inside `once`. A member's slip comes back as `Problems`; an `ArchiveError` means nothing was stored. */
export interface Records extends TruckRecords, ThingRecords, RunRecords, SetupRecords, ClubRecords {
  /** Keeps an answer as the last one of that truck, sheet and end, and its readings as just given: they count for a conversation. */
  remember(what: Remember): Promise<Remembered | Problems>;
  /** The names of a member's trucks, the one that was asked about last first. */
  trucks(whose: { readonly club: string; readonly member: string }): Promise<readonly string[]>;
  /** What counts of a truck now, by the fact's name. */
  facts(which: TruckOf): Promise<ReadonlyMap<string, Fact>>;
  /** The last answer of each sheet and end, newest first. */
  latest(which: TruckOf): Promise<readonly SheetRecord[]>;
  /** Keeps the truck's facts and last answers under a name. The same name again makes the next revision; none is ever changed. */
  saveSetup(what: SaveSetup): Promise<SavedSetup | Conflict | Problems>;
  /** Setups that hold all the words, best first; without words, newest first. Beginnings of words do. */
  findSetups(what: FindSetups): Promise<FoundSetups>;
  showSetup(which: WhichSetup & { readonly rev?: number }): Promise<ShownSetup | Problems>;
  /** The revisions of a setup, newest first, each with what it changed. */
  setupHistory(which: WhichSetup & { readonly limit?: number }): Promise<SetupHistory | Problems>;
}

/** A truck is known by its name among its member's; capitals do not matter. */
export interface TruckOf {
  readonly club: string;
  readonly member: string;
  readonly truck: string;
}
export type End = 'front' | 'rear' | null;

/** A reading as a member gave it. */
export interface GivenReading {
  /** What it says about the truck: `front_spring_rate` where the sheet asked `spring_rate` of the front end. */
  readonly fact: string;
  readonly name: string;
  readonly typed: string;
  /** Numbers in SI. */
  readonly value: ReadingValue;
  /** Standard uncertainty in SI; null where nothing carries ±. */
  readonly uncertainty: number | null;
  /** The unit it was typed in or shown in; null for words and yes/no. */
  readonly unit: string | null;
  /** In the member's own words, where they named a thing of the club or a scale and `typed` is what the sheet read instead. */
  readonly said?: string;
  /** What was understood of it, when that needs saying. */
  readonly note?: string;
  /** Left out: measured. */
  readonly how?: How;
}
export interface SheetRecord {
  readonly sheet: string;
  readonly end: End;
  readonly at: number;
  readonly readings: readonly GivenReading[];
  readonly answer: Answer;
}

export interface Remember extends TruckOf {
  readonly memberName: string;
  readonly sheet: string;
  readonly end: End;
  readonly readings: readonly GivenReading[];
  readonly answer: Answer;
}
export interface Remembered {
  readonly kind: 'remembered';
  /** The truck's name as it is kept. */
  readonly truck: string;
  readonly at: number;
}

export interface SaveSetup extends TruckOf {
  readonly name: string;
  /** Left out: as in the revision before. */
  readonly notes?: string;
  readonly tags?: readonly string[];
  /** Left out: as in the revision before, when that is of the same day. */
  readonly conditions?: Conditions;
  /** Left out: as it is; a new one is open. */
  readonly private?: boolean;
  /** The name is only an offer: where it is taken, a number makes it new. */
  readonly fresh?: boolean;
  /** The revision that was looked at; when a newer one is there, nothing is saved and the difference comes back. */
  readonly baseRev?: number;
  /** Last answers that were asked again for it, and take the place of what they were. */
  readonly renewed?: readonly Omit<SheetRecord, 'at'>[];
  /** Last answers that do not belong to what the truck is now. */
  readonly without?: readonly Pick<SheetRecord, 'sheet' | 'end'>[];
}
export interface MemberName {
  readonly id: string;
  readonly name: string;
}
/** What a list shows of a setup. */
export interface SetupSummary {
  /** Its number in the club. */
  readonly id: number;
  readonly name: string;
  readonly truck: string;
  readonly member: MemberName;
  readonly notes: string;
  readonly tags: readonly string[];
  /** The sheets in it, each once. */
  readonly sheets: readonly string[];
  /** The newest revision, and when it was saved. */
  readonly rev: number;
  readonly at: number;
  /** Its owner's alone. */
  readonly private: boolean;
}
export interface SavedSetup extends SetupSummary {
  readonly kind: 'saved';
  readonly hash: string;
  /** That showed it elsewhere and ended, because it is its owner's alone now. */
  readonly codes?: number;
}
/** Somebody saved in between. Nothing was stored. */
export interface Conflict {
  readonly kind: 'conflict';
  readonly text: string;
  readonly newest: ShownSetup;
  /** What has changed since the revision that was started from. */
  readonly changes: readonly Change[];
}
/** A reading that differs between two revisions; `was` or `is` is null where it was not given. */
export interface Change {
  /** The sheet that it was given to; '' where the truck was told. */
  readonly sheet: string;
  readonly end: End;
  readonly name: string;
  readonly was: string | null;
  readonly is: string | null;
  /** What the things measured whose names those are. */
  readonly wasTyped?: string;
  readonly isTyped?: string;
  /** Of numbers that were typed without one. */
  readonly unit: string | null;
}

export interface FindSetups {
  readonly club: string;
  readonly words: string;
  /** Who looks; left out, somebody who owns nothing here. */
  readonly viewer?: string;
  readonly facets?: Facets;
  readonly numbers?: readonly NumberBetween[];
  readonly limit?: number;
  readonly offset?: number;
}
export interface FoundSetups {
  readonly setups: readonly SetupSummary[];
  readonly more: boolean;
}

/** By number, or by name; with the name, `member`'s own comes first, and `truck` narrows it down. `member` is who looks; left out, somebody who owns nothing here. */
export type WhichSetup = { readonly club: string; readonly member?: string } & (
  | { readonly id: number }
  | { readonly name: string; readonly truck?: string }
);
/** What a revision keeps: enough to draw every card again and to fit the truck out again. */
export interface SetupDoc {
  readonly format: 1;
  readonly name: string;
  readonly truck: string;
  /** The owner, by the number the archive gives to members: a name, or the platform's id, could not be taken out again. */
  readonly member: string;
  readonly rev: number;
  readonly at: number;
  readonly notes: string;
  readonly tags: readonly string[];
  /** Absent in what was saved before there were any. */
  readonly conditions?: Conditions;
  /** Hashes of the pictures that it shows; absent where there is none. */
  readonly pictures?: readonly string[];
  /** Runs of the truck as it is here, up to when this was saved, oldest first; absent where there is none. */
  readonly runs?: readonly SetupRun[];
  readonly facts: readonly SetupFact[];
  /** The parts list; absent where there is none, and in what was saved before setups had one. */
  readonly parts?: readonly SetupPart[];
  readonly sheets: readonly SheetRecord[];
}
/** A fact as a setup keeps it. Who said it is left out: names live with the member, and ids are nobody else's business. */
export interface SetupFact extends GivenReading {
  readonly sheet: string | null;
  readonly end: End;
  readonly at: number;
}
export interface Revision {
  readonly rev: number;
  readonly at: number;
  readonly author: MemberName;
  readonly hash: string;
  readonly parentHash: string | null;
}
export interface ShownSetup {
  readonly kind: 'setup';
  readonly id: number;
  readonly member: MemberName;
  /** As it is called now; the document has the name that it had. */
  readonly truck: string;
  readonly newest: number;
  readonly private: boolean;
  readonly revision: Revision;
  readonly doc: SetupDoc;
  /** Those it was saved with, and those of its truck since then, oldest first. */
  readonly runs: readonly SetupRun[];
}
export interface SetupHistory {
  readonly kind: 'history';
  readonly setup: SetupSummary;
  /** Newest first; `before` is null of the first. */
  readonly revisions: readonly (Revision & {
    readonly doc: SetupDoc;
    readonly before: SetupDoc | null;
    readonly changes: readonly Change[];
  })[];
}
