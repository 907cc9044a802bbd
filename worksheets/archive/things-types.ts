import type { Problems } from '../engine/types.ts';
import type { Speaker } from './setups-types.ts';
import type { How } from './trucks-types.ts';
import type { MemberName } from './types.ts';

/** What a club has. Scales and tracks are the club's; what lies in the box is somebody's. */
export type ThingKind = 'scale' | 'spring' | 'oil' | 'pinion' | 'ballast' | 'track';

export interface Thing {
  readonly kind: ThingKind;
  readonly name: string;
  /** A spring's rate, an oil's viscosity, a pinion's teeth, ballast's mass, a track's whoops spacing: as typed, and SI with its standard uncertainty. */
  readonly typed: string | null;
  readonly value: number | null;
  readonly uncertainty: number | null;
  readonly how: How;
  readonly scale: Scale | null;
  /** Of a track. */
  readonly surface: string;
  readonly note: string;
  /** null: the club's. */
  readonly owner: MemberName | null;
  readonly lent: Lent | null;
  readonly by: MemberName;
  readonly at: number;
}
/** A scale shows `gain` × the mass that is on it, in steps of so many kg. */
export interface Scale {
  readonly known: number;
  readonly reads: number;
  readonly gain: number;
  readonly step: number;
}
export interface Lent {
  readonly to: string;
  /** The borrower, when the club knows one of that name. */
  readonly member: MemberName | null;
  readonly at: number;
}

export interface PutThing {
  readonly kind: ThingKind;
  readonly name: string;
  readonly typed?: string | null;
  readonly value?: number | null;
  readonly uncertainty?: number | null;
  readonly how?: How;
  readonly scale?: Scale;
  readonly surface?: string;
  readonly note?: string;
}
export interface ByMember {
  readonly club: string;
  readonly member: string;
  readonly memberName: string;
}
export interface ThingChanged {
  readonly kind: 'thing';
  readonly thing: Thing;
  readonly was: Thing | null;
}

export interface ThingRecords {
  /** By kind, then by name. */
  things(which: { readonly club: string; readonly kinds?: readonly ThingKind[] }): Promise<readonly Thing[]>;
  /** Adds a thing. A scale or a track of that name is changed by it: it is the club's, and a scale is checked again and again. */
  putThing(what: ByMember & { readonly thing: PutThing }): Promise<ThingChanged | Problems>;
  /** `to` null: it is back. */
  lendThing(what: ByMember & { readonly name: string; readonly to: string | null }): Promise<ThingChanged | Problems>;
  removeThing(
    what: ByMember & { readonly kinds: readonly ThingKind[]; readonly name: string } & Pick<Speaker, 'appointed'>,
  ): Promise<ThingChanged | Problems>;
}
