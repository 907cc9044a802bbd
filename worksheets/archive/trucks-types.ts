import type { Problems } from '../engine/types.ts';
import type { End, GivenReading, MemberName, SheetRecord, TruckOf } from './types.ts';

/** How a fact is known: taken at the truck, read off a bottle or a box, or supposed. */
export type How = 'measured' | 'stated' | 'assumed';

/**
 * What counts of a fact now. A reading that was given to a sheet counts for the time of a conversation, before what was kept earlier; a
 * kept one counts until it is changed. Nothing that was kept is ever overwritten: the older rows stay.
 */
export interface Fact extends GivenReading {
  readonly how: How;
  /** When it was measured: keeping a reading later does not make it younger. */
  readonly at: number;
  readonly by: MemberName;
  /** The sheet that was asked with it; null when it was told to the truck itself. */
  readonly sheet: string | null;
  readonly end: End;
  readonly kept: boolean;
  /** The kept one that stands back while this one, just given, counts. */
  readonly beneath: Beneath | null;
}
export type Beneath = Pick<Fact, 'typed' | 'said' | 'value' | 'uncertainty' | 'unit' | 'how' | 'at'>;

export type Place = number | 'off' | null;
/** What a part is to a sheet: `pack` is the battery, `turns` turns with the wheels without being tyre or rim. */
export type Role = 'tyre' | 'rim' | 'pack' | 'turns' | null;

export interface Part {
  readonly name: string;
  readonly count: number;
  /** The mass of one, as typed. */
  readonly typed: string;
  /** The mass of one, kg; its standard uncertainty. */
  readonly mass: number;
  readonly uncertainty: number | null;
  /** Metres behind the front axle, negative ahead of it; `off` is not on the truck, null is not said. */
  readonly place: Place;
  /** Where else it could go. */
  readonly places: readonly (number | 'off')[];
  readonly sprung: boolean;
  /** Unsprung parts move with this axle's wheels. */
  readonly axle: End;
  readonly role: Role;
  readonly note: string;
  readonly by: MemberName;
  readonly at: number;
}

/** A part as a setup keeps it: names live with the member. */
export type SetupPart = Omit<Part, 'by' | 'at'>;

/** Everything that is known of a truck. */
export interface TruckBook {
  readonly kind: 'truck';
  readonly truck: string;
  readonly member: MemberName;
  readonly facts: ReadonlyMap<string, Fact>;
  readonly parts: readonly Part[];
  readonly latest: readonly SheetRecord[];
  readonly offeredTo: MemberName | null;
}
export interface TruckSummary {
  readonly truck: string;
  /** How many facts count, and how many of them were just given. */
  readonly facts: number;
  readonly given: number;
  readonly parts: number;
  readonly setups: number;
  /** When something was last asked or told of it. */
  readonly at: number;
  readonly current: boolean;
  readonly offeredTo: MemberName | null;
}
export interface TruckList {
  readonly kind: 'trucks';
  readonly member: MemberName;
  readonly trucks: readonly TruckSummary[];
  /** Trucks that others offer to this member. */
  readonly offered: readonly { readonly truck: string; readonly from: MemberName }[];
}

/** Whoever writes is a member of the club by this name, and writes to a truck of their own. */
export interface OwnTruck extends TruckOf {
  readonly memberName: string;
}

export interface Kept {
  readonly kind: 'kept';
  readonly truck: string;
  /** What is kept now, and the kept one that it took the place of. */
  readonly facts: readonly { readonly is: Fact; readonly was: Beneath | null }[];
}
export interface Forgotten {
  readonly kind: 'forgotten';
  readonly truck: string;
  readonly fact: Fact;
  /** What counts now: the kept one that a just given one stood before. */
  readonly is: Fact | null;
}

export interface RemovedTruck {
  readonly kind: 'truck removed';
  readonly truck: string;
  /** Not: this is what would go. */
  readonly done: boolean;
  readonly facts: number;
  readonly parts: number;
  readonly runs: number;
}

export interface TruckRecords {
  /** The truck that is meant when none is named; null: the member never chose one. */
  currentTruck(whose: { readonly club: string; readonly member: string }): Promise<string | null>;
  useTruck(what: OwnTruck): Promise<{ readonly kind: 'using'; readonly truck: string; readonly isNew: boolean } | Problems>;
  truckBook(which: TruckOf): Promise<TruckBook | Problems>;
  parts(which: TruckOf): Promise<readonly Part[]>;
  /** `viewer`: who looks; left out, somebody who owns nothing here. Private setups are counted for their owner alone. */
  truckList(whose: { readonly club: string; readonly member: string; readonly viewer?: string }): Promise<TruckList>;
  /** Who has asked something in this club, by name. */
  members(which: { readonly club: string }): Promise<readonly MemberName[]>;
  /** A member of the club by name, or by the platform's id. */
  memberCalled(who: { readonly club: string; readonly name: string }): Promise<MemberName | Problems>;
  /** What was just given becomes the truck's; `facts` takes only these. */
  keepFacts(what: OwnTruck & { readonly how?: How; readonly facts?: readonly string[] }): Promise<Kept | Problems>;
  /** Told to the truck itself: kept at once. */
  setFacts(what: OwnTruck & { readonly how: How; readonly readings: readonly GivenReading[] }): Promise<Kept | Problems>;
  /** The one that counts now is dropped; a kept one beneath it counts again. */
  forgetFact(what: OwnTruck & { readonly fact: string }): Promise<Forgotten | Problems>;
  /** All that was ever said of a fact, newest first. */
  factHistory(which: TruckOf & { readonly fact: string; readonly limit?: number }): Promise<readonly FactRow[]>;
  /** Answers that were asked again take the place of the stale ones. Says nothing of the truck: no reading is given by it. */
  renewAnswers(what: OwnTruck & { readonly records: readonly Omit<SheetRecord, 'at'>[] }): Promise<{ readonly kind: 'renewed' } | Problems>;
  /** The truck stays where it is until the other takes it; offered to its owner, the offer is withdrawn. */
  offerTruck(
    what: OwnTruck & { readonly to: string },
  ): Promise<{ readonly kind: 'offered'; readonly truck: string; readonly to: MemberName | null } | Problems>;
  /** With facts, parts, answers, setups and runs. `as` is the name that it gets here. */
  takeTruck(
    what: Omit<OwnTruck, 'truck'> & { readonly truck: string; readonly from?: string; readonly as?: string },
  ): Promise<{ readonly kind: 'taken'; readonly truck: string; readonly from: MemberName } | Problems>;
  /** Its setups are found by the new name; what was saved keeps the old one. */
  renameTruck(
    what: OwnTruck & { readonly as: string },
  ): Promise<{ readonly kind: 'renamed'; readonly truck: string; readonly was: string } | Problems>;
  /** With all that is known of it, its parts and its runs, when that is sure. One that has setups stays. */
  removeTruck(what: OwnTruck & { readonly sure: boolean }): Promise<RemovedTruck | Problems>;
  /** Adds a part, or changes what is said of it and leaves the rest. */
  putPart(
    what: OwnTruck & { readonly part: PutPart; readonly must: 'be new' | 'be there' },
  ): Promise<{ readonly kind: 'part'; readonly truck: string; readonly part: Part; readonly was: Part | null } | Problems>;
  removePart(
    what: OwnTruck & { readonly name: string },
  ): Promise<{ readonly kind: 'part removed'; readonly truck: string; readonly part: Part } | Problems>;
}
export type FactRow = Fact & { readonly gone: boolean /** When it was written down. */; readonly writtenAt: number };
export type PutPart = { readonly name: string } & { readonly [key in Exclude<keyof Part, 'name' | 'by' | 'at'>]?: Part[key] };
