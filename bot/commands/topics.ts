/** What one can ask here, sheets and the house's own commands alike, found by the words of whoever does not know its name. */
import type { Sheet } from '../../worksheets/engine/notation.ts';
import { nearest } from '../../worksheets/engine/problem.ts';
import type { CommandSpec, OptionSpec, SubcommandSpec } from './types.ts';

export interface Topic {
  /** As it is typed: "corners", "truck parts". */
  readonly name: string;
  readonly summary: string;
  readonly asks: readonly string[];
  /** What it is called besides. */
  readonly title: string;
  /** Names and labels of what it takes and gives. */
  readonly about: string;
  readonly of: { readonly sheet: Sheet } | { readonly command: SubcommandSpec };
}

export function topicsOf(sheets: ReadonlyMap<string, Sheet>, specs: readonly CommandSpec[]): readonly Topic[] {
  return [...[...sheets.values()].map(ofSheet), ...ownOf(sheets, specs).flatMap(ofCommand)];
}

/** The house's own commands: `specs` holds those made from sheets as well. Help is not among what it leads to. */
export const ownOf = (sheets: ReadonlyMap<string, Sheet>, specs: readonly CommandSpec[]): readonly CommandSpec[] =>
  specs.filter(({ name }) => name !== 'help' && !sheets.has(name));

const ofSheet = (sheet: Sheet): Topic => ({
  name: sheet.name,
  title: sheet.title,
  summary: sheet.summary,
  asks: sheet.asks,
  about: [...sheet.readings, ...sheet.answers].map(({ name, label }) => `${name.replaceAll('_', ' ')} ${label}`).join(' '),
  of: { sheet },
});

function ofCommand(spec: CommandSpec): readonly Topic[] {
  const topic = (name: string, command: SubcommandSpec, family: string): Topic => ({
    name,
    title: '',
    summary: command.description,
    asks: command.asks ?? [],
    about: [family, ...command.options.map(spoken)].join(' '),
    of: { command },
  });
  return spec.subcommands?.map((sub) => topic(`${spec.name} ${sub.name}`, sub, spec.description)) ?? [topic(spec.name, spec, '')];
}
const spoken = ({ name, description, choices = [] }: OptionSpec): string =>
  [name, description, ...choices.map((choice) => choice.name)].join(' ');

// ── finding ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/**
 * Topics that speak of these words, best first. A word that many hold says less than one that few hold; a topic that holds all of them, or asks
 * for just that, is what was meant.
 */
export function topicsAbout(topics: readonly Topic[], words: string): readonly Topic[] {
  const wanted = [...new Set(tellingOf(words))];
  const fields = topics.map((topic) => ({
    topic,
    name: stemsOf(topic.name.split(' ').at(-1)!.replaceAll('_', ' ')),
    title: stemsOf(`${topic.name} ${topic.title}`),
    asks: topic.asks.map((ask) => new Set(tellingOf(ask))),
    summary: stemsOf(topic.summary),
    about: stemsOf(topic.about),
  }));
  type Fields = (typeof fields)[number];
  const anywhere = ({ name, title, asks, summary, about }: Fields, word: string): boolean =>
    [name, title, ...asks, summary, about].some(holds(word));
  const telling = new Map(
    wanted.map((word) => [word, Math.log(1 + topics.length / fields.filter((one) => anywhere(one, word)).length)] as const),
  );
  const sum = (of: readonly string[]): number => of.reduce((all, word) => all + telling.get(word)!, 0);
  const found = (stems: ReadonlySet<string>): string[] => wanted.filter((word) => holds(word)(stems));
  const asked = (ask: ReadonlySet<string>): number => {
    const there = found(ask);
    if (there.length === 0) return 0;
    return sum(there) * (there.length === ask.size && there.length === wanted.length ? 3 : 1 + there.length / ask.size);
  };
  const known = wanted.filter((word) => Number.isFinite(telling.get(word)));
  return fields
    .map((one) => {
      const { topic, name, title, asks, summary, about } = one;
      const told =
        2 * sum(found(name)) + 2 * sum(found(title)) + 3 * Math.max(0, ...asks.map(asked)) + 2 * sum(found(summary)) + sum(found(about));
      return { topic, score: told === 0 ? 0 : (told * sum(known.filter((word) => anywhere(one, word)))) / sum(known) };
    })
    .filter(({ score }) => score > 0)
    .sort((a, b) => b.score - a.score)
    .map(({ topic }) => topic);
}

/** Whether nothing in it says what is asked: "what can you do". */
export const saysNothing = (words: string): boolean => tellingOf(words).length === 0;

/** "whoop" is found in "whoops", "damp" in "damper". */
const holds =
  (word: string) =>
  (stems: ReadonlySet<string>): boolean =>
    stems.has(word) || (word.length > 3 && [...stems].some((one) => one.startsWith(word)));

const wordsOf = (text: string): string[] =>
  text
    .toLowerCase()
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/['’](?:s|m|re|ve|ll|d|t)\b/gu, '')
    .match(/[\p{L}\p{N}]{2,}/gu) ?? [];

/** Words that say nothing of what is asked. */
const EMPTY = new Set(
  `a about am an and any are as at be been by can could did do does for from get had has have how i if in is it its me many
  much my need of on or our please should so some that the their them there they this to too us was we were what when where which who whom
  whose why will with would you your`.split(/\s+/),
);
const tellingOf = (text: string): string[] =>
  wordsOf(text)
    .filter((word) => !EMPTY.has(word))
    .map(stem);
const stemsOf = (text: string): ReadonlySet<string> => new Set(wordsOf(text).map(stem));

/** So much of a word that "springs" and "spring", "tyres" and "tyre", "running" and "run" are one. */
function stem(word: string): string {
  const one = word.length > 3 ? word.replace(/ies$/, 'y').replace(/(?<=[^s])s$/, '') : word;
  // "spring" has no other vowel before its end: it is a word of its own.
  const bare = one.replace(/^(.*[aeiouy].*)(?:ing|ed)$/, '$1');
  return bare.length > 3 ? bare.replace(/e$/, '').replace(/(.)\1$/, '$1') : bare;
}

// ── questions ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const ASKING = new Set('how what why who whom whose when where which can could do does did is are should will would may must'.split(' '));

/**
 * Whether a line that is no command asks something in plain words, so that help may answer it. A line with figures has readings in it, and one
 * that begins nearly like a command is mistyped, unless it asks outright.
 */
export function asksInWords(topics: readonly Topic[], line: string, commands: Iterable<string>): boolean {
  const words = wordsOf(line);
  const outright = words.length > 1 && (ASKING.has(words[0]!) || /\?\s*$/.test(line));
  // Asked outright, nothing found is an answer too.
  if (outright) return true;
  if (words.length === 0 || topicsAbout(topics, line).length === 0) return false;
  if (/\d/.test(line)) return false;
  const [first] = words;
  return EMPTY.has(first!) || topicsAbout(topics, first!).length > 0 || nearest(first!, commands) === undefined;
}

/** The same of a line that begins with a command's own name, as "truck pulls to the left" does: only what is surely a sentence. */
export const goesOnInWords = (line: string): boolean =>
  // "truck refresh of:Ines" has a value in it.
  !/\d|\w\s?[:=]/.test(line) &&
  wordsOf(line)
    .slice(1)
    .some((word) => EMPTY.has(word));
