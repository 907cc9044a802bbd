/** Which setup is meant: by name, by number, by a word of its name, an earlier revision of it, or the code of another club. */
import { clean } from '../../templates/clean.ts';
import type { Records, SetupSummary, WhichSetup } from '../../worksheets/archive/types.ts';
import { wordsOf } from '../../worksheets/archive/words.ts';
import { problem } from '../../worksheets/engine/problem.ts';
import type { Problem, Problems } from '../../worksheets/engine/types.ts';
import type { Pit } from './pit.ts';
import type { Message, OptionSpec } from './types.ts';

export const NAME: OptionSpec = { name: 'name', description: 'Its name, or its number from find', suggests: true };
export const REV: OptionSpec = { name: 'rev', description: 'An earlier revision: 1, 2, …', kind: 'word' };
export const CODE: OptionSpec = { name: 'code', description: 'The code that another club gave you, in place of a name' };

type Asker = Pick<Message['asker'], 'club' | 'member'>;

export interface Meant {
  readonly kind: 'meant';
  readonly which: WhichSetup & { readonly member: string };
  /** The revision that was named along with it. */
  readonly rev?: number;
}

/** By number or by name; one's own first. */
const whichSetup = ({ club, member }: Asker, typed: string): Meant['which'] =>
  /^\d{1,9}$/.test(typed) ? { club, member, id: Number(typed) } : { club, member, name: typed };

/** "9 rev 1", "Hard pan revision 2", "9 1". */
const WITH_REVISION = /^(.*\S)\s+rev(?:ision)?[\s:]*(\d{1,9})$/i;
const NUMBER_AND_REVISION = /^(\d{1,9})\s+(\d{1,9})$/;

/**
 * The setup that is called so; "Hard pan rev 2" is its second revision, unless a setup is called that. To look at one a word of its name is
 * enough, where only one holds it; to change one takes its name, and the word gets the names to choose from.
 */
export async function meantSetup(records: Records, asker: Asker, typed: string, to: 'look' | 'change'): Promise<Meant | Problems> {
  const whole = await there(records, asker, typed);
  if (whole.kind === 'meant') return whole;
  const found = WITH_REVISION.exec(typed) ?? NUMBER_AND_REVISION.exec(typed);
  const [wanted, rev] = found === null ? [typed, null] : [found[1]!, { rev: Number(found[2]) }];
  const named = found === null ? whole : await there(records, asker, wanted);
  if (named.kind === 'meant') return { ...named, ...rev };
  const byWord = await byWords(records, asker, wanted, to);
  return byWord === null ? named : byWord.kind === 'meant' ? { ...byWord, ...rev } : byWord;
}

async function there(records: Records, asker: Asker, typed: string): Promise<Meant | Problems> {
  const which = whichSetup(asker, typed);
  const shown = await records.showSetup(which);
  return shown.kind === 'problems' ? shown : { kind: 'meant', which };
}

const MOST_NAMED = 3;

/** No setup is called that: the only one that holds the words, or which ones do. */
async function byWords(records: Records, { club, member }: Asker, typed: string, to: 'look' | 'change'): Promise<Meant | Problems | null> {
  if (/^\d+$/.test(typed)) return null;
  const { setups } = await records.findSetups({ club, viewer: member, words: typed, limit: 20 });
  const words = wordsOf(typed);
  // A truck or a tag may hold the word too; it is the name that was asked for.
  const called = setups.filter(({ name }) => words.every((word) => wordsOf(name).some((one) => one.startsWith(word))));
  const [first] = called;
  if (first === undefined) return null;
  if (called.length === 1 && to === 'look') return { kind: 'meant', which: { club, member, id: first.id } };
  const listed = called.slice(0, MOST_NAMED).map(numbered).join(', ');
  const needs =
    called.length === 1
      ? `Did you mean ${listed}? Give its number.`
      : `Say which, by its number: ${listed}${called.length > MOST_NAMED ? ', …' : ''}.`;
  const one = problem('name', typed, needs, '');
  const but = called.length === 1 ? '' : ', but several hold that';
  return { kind: 'problems', sheet: null, problems: [{ ...one, text: `No setup is called "${one.got}"${but}. ${needs}` }] };
}

const numbered = ({ id, name }: SetupSummary): string => `${id} ${clean(name, { graphemes: 40 })}`;

/** The revision that is asked for; what is said as an option counts before what stands behind the name. */
export const revOf = (meant: Meant, option: number | undefined): { readonly rev?: number } => {
  const rev = option ?? meant.rev;
  return rev === undefined ? {} : { rev };
};

export function revIn({ face }: Pit, options: Message['options']): number | undefined | Problem {
  if (options.rev === undefined) return undefined;
  const rev = Number(options.rev);
  if (Number.isInteger(rev) && rev > 0) return rev;
  return problem('rev', options.rev, 'Give 1, 2, …', `Rev: "${face.safe(options.rev)}" is no revision. Give 1, 2, …`);
}

// ── several ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** "3 5", "1 rev 1 1 rev 6", "\"Hard pan\" 8": what is a number or stands in quotes needs nothing between. */
const ONE = /(?:\d{1,9}|"[^"]+"|'[^']+')(?:\s+rev(?:ision)?[\s:]*\d{1,9})?/;
const SEVERAL = new RegExp(`^${ONE.source}(?:(?:\\s*[,;]\\s*|\\s+(?:and|with)\\s+|\\s+)${ONE.source})+$`, 'i');

/** The setups that one line names: a comma between them, or where each of two names is one that is known. */
export async function severalIn(records: Records, asker: Asker, line: string): Promise<readonly string[]> {
  if (SEVERAL.test(line)) return (line.match(new RegExp(ONE.source, 'gi')) ?? []).map((one) => one.replace(/^(["'])(.*?)\1/, '$2'));
  const parted = line.split(/\s*[;,]\s*/).filter(Boolean);
  if (parted.length !== 1 || (await there(records, asker, line)).kind === 'meant') return parted;
  const seams = [...line.matchAll(/\s+(?:(?:and|with)\s+)?/gi)].slice(0, MOST_SEAMS);
  for (const seam of seams) {
    const pair = [line.slice(0, seam.index), line.slice(seam.index + seam[0].length)];
    const known = await Promise.all(pair.map((one) => there(records, asker, one.replace(WITH_REVISION, '$1'))));
    if (known.every(({ kind }) => kind === 'meant')) return pair;
  }
  return parted;
}
const MOST_SEAMS = 12;
