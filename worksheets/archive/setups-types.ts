import type { Problems } from '../engine/types.ts';
import type { Told } from './log-types.ts';
import type { SetupRun } from './runs-types.ts';
import type { OwnTruck, SetupPart } from './trucks-types.ts';
import type { End, MemberName, SavedSetup, SetupDoc, SetupFact, SheetRecord, ShownSetup, WhichSetup } from './types.ts';

export type * from './log-types.ts';

/** What the day was like, in the member's words; of the temperature the number too, where one could be read. */
export interface Conditions {
  readonly track?: string;
  readonly surface?: string;
  readonly grip?: string;
  readonly temperature?: { readonly typed: string /** K */; readonly value: number | null };
  readonly wind?: string;
}

/** What is looked for besides words. Texts find what begins with them, whatever the case and the accents. */
export interface Facets {
  readonly owner?: string;
  readonly truck?: string;
  readonly tag?: readonly string[];
  readonly surface?: string;
  readonly track?: string;
  readonly grip?: string;
}
/** A number that has to lie between these, SI; `end` null: at either end, or of the whole truck. */
export interface NumberBetween {
  readonly name: string;
  readonly end: End;
  readonly low: number;
  readonly high: number;
  /** The bounds themselves do not count. */
  readonly strict?: boolean;
}

/** A setup that its owner speaks of. */
export type OwnSetup = WhichSetup & { readonly member: string };

export interface Shared {
  readonly kind: 'shared';
  readonly setup: string;
  /** Known to nobody after this: only its hash is kept. */
  readonly code: string;
  readonly rev: number;
  readonly named: boolean;
  /** In the club only its owner sees it; by the code it is seen all the same. */
  readonly private: boolean;
}

export interface ImportSetup extends OwnTruck {
  readonly private?: boolean;
  /** Where it is taken, a number makes it new. */
  readonly name: string;
  readonly notes: string;
  readonly tags: readonly string[];
  readonly conditions: Conditions;
  readonly facts: readonly SetupFact[];
  readonly parts?: readonly SetupPart[];
  readonly sheets: readonly SheetRecord[];
  readonly pictures?: readonly Uint8Array[];
  readonly runs?: readonly SetupRun[];
}

export interface CopySetup extends OwnTruck {
  readonly from: (WhichSetup & { readonly rev?: number }) | { readonly code: string };
}
export interface Copied {
  readonly kind: 'copied';
  readonly truck: string;
  readonly from: string;
  readonly facts: number;
  /** How many came along; null: the truck has a list of its own, and it stays. */
  readonly parts: number | null;
}

/** The pictures that a setup shows, and which setup that is. */
export interface ShownPictures {
  readonly kind: 'pictures';
  readonly setup: ShownSetup;
  readonly pictures: readonly Uint8Array[];
}

export interface SetupRecords {
  /** A setup that comes from a file; the truck's own facts stay as they are. */
  readonly importSetup: (what: ImportSetup) => Promise<SavedSetup | Problems>;
  /** A new revision that shows one picture more. */
  readonly addPicture: (what: OwnSetup & { readonly picture: Uint8Array }) => Promise<SavedSetup | Problems>;
  /** A new revision without the picture of this number; earlier ones still show it. */
  readonly takePicture: (what: OwnSetup & { readonly number: number }) => Promise<SavedSetup | Problems>;
  readonly pictures: (which: (WhichSetup & { readonly rev?: number }) | { readonly code: string }) => Promise<ShownPictures | Problems>;
  readonly setPrivate: (what: OwnSetup & { readonly private: boolean }) => Promise<
    | {
        readonly kind: 'privacy';
        readonly id: number;
        readonly name: string;
        readonly private: boolean /** Codes that ended with it. */;
        readonly codes: number;
      }
    | Problems
  >;
  /** A new revision that is equal to an old one. */
  readonly restoreSetup: (what: OwnSetup & { readonly rev: number }) => Promise<SavedSetup | Problems>;
  /** Its facts become the truck's, each marked with where it comes from; its parts too, where the truck has no list of its own. */
  readonly copySetup: (what: CopySetup) => Promise<Copied | Problems>;
  /** Gone for good, with all its revisions and codes. */
  readonly removeSetup: (what: OwnSetup) => Promise<{ readonly kind: 'removed'; readonly id: number; readonly name: string } | Problems>;
  readonly shareSetup: (what: OwnSetup & { readonly named: boolean }) => Promise<Shared | Problems>;
  /** Ends all codes of a setup. */
  readonly endSharing: (
    what: OwnSetup & Pick<Speaker, 'appointed'>,
  ) => Promise<{ readonly kind: 'sharing ended'; readonly id: number; readonly name: string; readonly codes: number } | Problems>;
  readonly setupByCode: (code: string) => Promise<ShownSetup | Problems>;
}

export interface LogRow {
  readonly change: number;
  readonly at: number;
  readonly member: MemberName | null;
  readonly act: string;
  readonly detail: Readonly<Record<string, unknown>>;
  readonly told: Told;
}
/** Everything of a member, as it is kept. */
export interface MineExport {
  readonly kind: 'mine';
  readonly format: 'dustsheet-member/1';
  readonly at: number;
  readonly club: string;
  readonly member: MemberName;
  readonly officer: boolean;
  readonly trucks: readonly {
    readonly name: string;
    readonly readings: readonly Readonly<Record<string, unknown>>[];
    readonly parts: readonly Readonly<Record<string, unknown>>[];
    readonly runs: readonly Readonly<Record<string, unknown>>[];
    readonly answers: readonly Readonly<Record<string, unknown>>[];
    readonly setups: readonly {
      readonly id: number;
      readonly private: boolean;
      readonly revisions: readonly { readonly at: number; readonly hash: string; readonly doc: SetupDoc }[];
    }[];
  }[];
  readonly things: readonly Readonly<Record<string, unknown>>[];
  /** WebP in Base64, by the hashes in `doc.pictures`. */
  readonly pictures: Readonly<Record<string, string>>;
  readonly log: readonly Omit<LogRow, 'member' | 'told'>[];
}
export interface Left {
  readonly kind: 'left';
  readonly trucks: number;
  /** Private setups, which are gone; the others, which stay without a name. */
  readonly removed: number;
  readonly stay: number;
}

export interface ClubRecords {
  readonly isOfficer: (who: { readonly club: string; readonly member: string }) => Promise<boolean>;
  readonly officers: (which: { readonly club: string }) => Promise<readonly MemberName[]>;
  readonly nameOfficer: (
    what: Speaker & { readonly name: string; readonly officer: boolean },
  ) => Promise<{ readonly kind: 'officer'; readonly who: MemberName; readonly officer: boolean } | Problems>;
  /** Newest first. */
  readonly clubLog: (
    what: Speaker & { readonly limit?: number; readonly before?: number },
  ) => Promise<{ readonly kind: 'log'; readonly rows: readonly LogRow[]; readonly more: boolean } | Problems>;
  readonly exportMine: (who: { readonly club: string; readonly member: string }) => Promise<MineExport | Problems>;
  /** Everything of a member goes; open setups stay as those of "a former member". */
  readonly deleteMine: (who: { readonly club: string; readonly member: string }) => Promise<Left | Problems>;
}
/** Who speaks; `appointed` is an officer by the word of whoever runs the bot. */
export interface Speaker {
  readonly club: string;
  readonly member: string;
  readonly appointed?: boolean;
}
