import type { Part } from './trucks-types.ts';

/**
 * What a row of the club's log is about, in the words that are kept elsewhere: the log itself holds ids and hashes only, so that a member's
 * words can be taken out. null stands for what is gone; absent is what such a row does not speak of.
 */
export interface Told {
  readonly truck?: string | null;
  readonly setup?: ToldSetup;
  /** Another member: who was named, offered a truck, gave one away. */
  readonly whom?: string | null;
  /** Readings of the truck, or those in which a revision differs from the one before. */
  readonly changes?: readonly ToldChange[] | null;
  readonly part?: ToldPart | null;
  readonly thing?: ToldThing | null;
  /** The run as it was typed. */
  readonly run?: string | null;
}

export interface ToldSetup {
  /** null: it is private, or gone. */
  readonly name: string | null;
  readonly private: boolean;
}
export interface ToldChange {
  /** The fact's name. */
  readonly name: string;
  /** null: nothing was known. */
  readonly was: Said | null;
  readonly is: Said | null;
}
/** As typed, or as the member said it. */
export interface Said {
  readonly text: string;
  readonly unit: string | null;
  readonly how: string | null;
}
export interface ToldPart {
  readonly is: LoggedPart;
  readonly was: LoggedPart | null;
}
export type LoggedPart = Omit<Part, 'by' | 'at'>;
export interface ToldThing {
  readonly is: LoggedThing;
  readonly was: LoggedThing | null;
}
export interface LoggedThing {
  readonly kind: string;
  readonly name: string;
  readonly typed: string | null;
  /** Of a scale. */
  readonly gain: number | null;
  readonly surface: string;
  readonly note: string;
  readonly lentTo: string | null;
}
