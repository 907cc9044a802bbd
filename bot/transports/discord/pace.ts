/** How long anything may take, in milliseconds. Settings, so that a test need not wait for minutes. */
export interface Pace {
  /** An answer that takes longer than this gets a deferral first. */
  readonly slow: number;
  /** When the first answer has to be out: Discord gives 3 s from its own clock, the way here counts too. */
  readonly firstAnswer: number;
  /** One try of a first answer: two fit where the answer was quick; shorter, and a phone's connection would never get through. */
  readonly firstTry: number;
  /** Suggestions have to be out in this time; the member types on anyway. */
  readonly suggest: number;
  /** Longest wait for an answer before the member is told that there is none. */
  readonly answer: number;
  readonly draw: number;
  /** A file that a member hands in, from Discord's own servers. */
  readonly fetch: number;
  /** One try to bring up words and picture, on a phone's connection in the desert. */
  readonly upload: number;
  /** How long the words and the picture of a deferred answer are tried: the interaction's token lives 15 minutes. */
  readonly edit: number;
  /** Pause before the second try, doubled each time. */
  readonly retry: number;
  /** First and longest pause between attempts to log in. */
  readonly backOff: number;
  readonly longestBackOff: number;
  /** Time to finish what is under way when the house closes. */
  readonly stop: number;
}

export const PACE: Pace = {
  slow: 1500,
  firstAnswer: 2700,
  firstTry: 1200,
  suggest: 2000,
  answer: 60_000,
  draw: 10_000,
  fetch: 20_000,
  upload: 15_000,
  edit: 120_000,
  retry: 150,
  backOff: 1000,
  longestBackOff: 60_000,
  stop: 5000,
};
