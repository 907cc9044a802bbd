import type { Problem } from '../engine/types.ts';
import { isStorable } from './canonical.ts';
import { missing, tooLong, unstorable } from './sentences.ts';
import { UNSEEN } from './words.ts';

/** Lengths in characters as a member counts them (code points). */
export const MOST = { name: 60, notes: 2000, tag: 30, tags: 12, typed: 8000, runs: 20 } as const;

const SEEN = /[\p{L}\p{N}\p{P}\p{S}]/u;

export type Cleaned = { readonly text: string } | { readonly problem: Problem };

/** A name on one line, in NFC. `reading` names the field in the problem, `label` says it to the member. */
export function cleanName(reading: string, label: string, raw: string, most: number = MOST.name): Cleaned {
  if (!isStorable(raw)) return { problem: unstorable(reading, label, raw) };
  const text = raw.normalize('NFC').replace(/\s+/gu, ' ').replace(UNSEEN, '').trim();
  if (!SEEN.test(text)) return { problem: missing(reading, label, most) };
  if ([...text].length > most) return { problem: tooLong(reading, label, text, most) };
  return { text };
}

/** Notes keep their lines and may be empty. */
export function cleanNotes(reading: string, label: string, raw: string): Cleaned {
  if (!isStorable(raw)) return { problem: unstorable(reading, label, raw) };
  const text = raw
    .normalize('NFC')
    .replace(/\r\n?/gu, '\n')
    .replace(UNSEEN, (unseen) => (unseen === '\n' || unseen === '\t' ? unseen : ''))
    .trim();
  if ([...text].length > MOST.notes) return { problem: tooLong(reading, label, text, MOST.notes) };
  return { text };
}

/** What makes two names the same: "Sandhopper" and "SANDHOPPER" are one truck, "Möwe" and "Mowe" are two. */
export const nameKey = (name: string): string => name.normalize('NFKC').toLowerCase().normalize('NFKC');

/** An id comes from the platform, never from a member's hand: a bad one is our bug, so it throws. */
export function checkId(what: string, id: string): string {
  if (typeof id !== 'string' || id.length === 0 || id.length > 100 || !isStorable(id)) {
    throw new TypeError(`${what} has to be a text of 1 to 100 characters, got ${JSON.stringify(id)}`);
  }
  return id;
}
