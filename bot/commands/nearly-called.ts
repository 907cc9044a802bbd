/** Two names that one meant for the same: a letter that slipped, a space too many. */
import { wordsOf } from '../../worksheets/archive/words.ts';
import { nearest } from '../../worksheets/engine/problem.ts';

/** In a shorter word another letter is another word: day, dry. */
const SHORTEST = 4;

/** "first evning" and "first evening"; but not "run 1" and "run 2", which are to be told apart, nor "calm" and "calmer". */
export function nearlyCalled(one: string, other: string): boolean {
  const [some, others] = [wordsOf(one), wordsOf(other)];
  if (some.join('') === others.join('')) return true;
  return some.length === others.length && some.every((word, i) => word === others[i] || isSlip(word, others[i]!));
}

function isSlip(word: string, other: string): boolean {
  if (Math.min(word.length, other.length) < SHORTEST || /\d/.test(word + other)) return false;
  const isLonger = (word.startsWith(other) || other.startsWith(word)) && Math.abs(word.length - other.length) > 1;
  return !isLonger && nearest(word, [other]) !== undefined;
}
