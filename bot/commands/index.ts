/**
 * What a member's message becomes, in every face: parse, fill in, answer, keep, say. Knows no transport: words and options in, words and
 * a picture out. Terminal, bench and Discord differ only in how they take words in and put them out.
 */
import type { Cards } from '../../templates/card/render.ts';
import { clean } from '../../templates/clean.ts';
import { escapeChat, fittedResultText, problemsText } from '../../templates/text.ts';
import { ArchiveError } from '../../worksheets/archive/errors.ts';
import type { Archive, Records } from '../../worksheets/archive/types.ts';
import { type End, type Outcome, work } from '../../worksheets/engine/ask.ts';
import { supplyFrom, whoAnswers } from '../../worksheets/engine/fill.ts';
import { readLine } from '../../worksheets/engine/line.ts';
import type { Sheet } from '../../worksheets/engine/notation.ts';
import { nearest, problem } from '../../worksheets/engine/problem.ts';
import type { Answer, Problem } from '../../worksheets/engine/types.ts';
import { HELP, helpText } from './help.ts';
import { SETUP, setupReply } from './setups.ts';
import { sheetSpec } from './specs.ts';
import type { CommandSpec, Commands, Message, Reply } from './types.ts';

export interface House {
  readonly sheets: ReadonlyMap<string, Sheet>;
  readonly archive: Archive | null;
  readonly cards: Cards | null;
  readonly clock: () => number;
  readonly zone: string;
  readonly theme: 'dark' | 'light';
  readonly log: (line: string, error?: unknown) => void;
}

/** What the parts of this room share while they make one reply. */
export interface Face {
  readonly format: 'chat' | 'terminal';
  readonly day: (at: number) => string;
  readonly safe: (text: string) => string;
  readonly answered: (answer: Answer, about: About) => Reply;
  readonly card: (answer: Answer, about: About) => Reply['card'] | undefined;
}
interface About {
  readonly truck?: string;
  readonly day: string;
}

export const DEFAULT_TRUCK = 'truck';

export function makeCommands(house: House, format: Face['format']): Commands {
  const { sheets, archive, cards, clock, theme, log } = house;
  const answering = whoAnswers(sheets.values());
  const days = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: house.zone });
  const specs: CommandSpec[] = [HELP, SETUP, ...[...sheets.values()].map(sheetSpec)];

  const face: Face = {
    format,
    day: (at) => days.format(at),
    safe: (text) => (format === 'chat' ? escapeChat(clean(text, { graphemes: 60 })) : clean(text, { graphemes: 60 })),
    card: (answer, about) =>
      cards?.ready
        ? { png: () => cards.png(answer, { ...about, theme }), alt: cards.alt(answer, about), name: `${answer.sheet}.png` }
        : undefined,
    answered: (answer, about) => {
      const card = face.card(answer, about);
      return {
        kind: 'answer',
        text: fittedResultText(answer, { for: format, ...about }).text,
        visibility: 'public',
        answer,
        ...(card ? { card } : {}),
      };
    },
  };
  const refused = (sheet: string | null, problems: readonly Problem[]): Reply => ({
    kind: 'problems',
    text: problemsText({ kind: 'problems', sheet, problems }, { for: format }).slice(0, 2000).toWellFormed(),
    visibility: 'private',
    problems,
  });

  /** The options of a sheet's command → its readings. `quick` takes a whole line, `more` the rest of one. */
  function readings(
    sheet: Sheet,
    options: Message['options'],
  ): { readonly readings: Record<string, string>; readonly problems: Problem[] } {
    const names = [...sheet.readings.map(({ name }) => name), 'truck', 'end'];
    const all: Record<string, string> = {};
    const problems: Problem[] = [];
    const take = (from: Readonly<Record<string, string>>): void => {
      for (const [name, value] of Object.entries(from)) {
        if (name in all) problems.push(problem(name, value, 'Give it once.', `${name} is given twice. Give it once.`));
        else all[name] = value;
      }
    };
    for (const [name, value] of Object.entries(options)) {
      if (name !== 'quick' && name !== 'more') take({ [name]: value });
      else {
        const line = readLine(value, { names, quick: name === 'quick' ? sheet.quick : [] });
        problems.push(...line.problems);
        take(line.options);
      }
    }
    return { readings: all, problems };
  }

  /** Keeps the answer as the truck's last of this sheet. Says how that went: nothing when it is kept. */
  async function keep(records: Records, sheet: Sheet, outcome: Outcome, message: Message, truck: string): Promise<Problem[]> {
    const { club, member, memberName } = message.asker;
    const { answer, given } = outcome;
    const kept = await records.remember({ club, member, memberName, truck, sheet: sheet.name, end: answer.end, readings: given, answer });
    return kept.kind === 'problems' ? [...kept.problems] : [];
  }

  async function askSheet(sheet: Sheet, message: Message): Promise<Reply> {
    const { readings: all, problems } = readings(sheet, message.options);
    const { truck: named, end: typedEnd, ...given } = all;
    const truck = named?.trim() || DEFAULT_TRUCK;
    let end: End | null = null;
    if (typedEnd !== undefined) {
      const word = typedEnd.trim().toLowerCase();
      if (!sheet.ends)
        problems.push(problem('end', typedEnd, 'Leave it out.', `End: ${sheet.name} looks at the whole truck. Leave it out.`));
      else if (word === 'front' || word === 'rear') end = word;
      else
        problems.push(
          problem('end', typedEnd, 'Give front or rear.', `End: "${face.safe(typedEnd)}" is no end of a truck. Give front or rear.`),
        );
    }
    const { club, member } = message.asker;
    const facts = archive ? await archive.facts({ club, member, truck }).catch(lost('read')) : null;
    const typed = new Map([...(facts ?? [])].map(([fact, { typed: as }]) => [fact, as]));
    const outcome = work(sheet, { readings: given, end }, supplyFrom(typed, answering));
    if ('kind' in outcome) return refused(sheet.name, [...problems, ...outcome.problems]);
    if (problems.length > 0) return refused(sheet.name, problems);

    const day = face.day(clock());
    const about = { day, ...(named === undefined ? {} : { truck }) };
    if (!archive) return face.answered(outcome.answer, about);
    let notKept: string | undefined;
    const once = (records: Records): Promise<Problem[]> => keep(records, sheet, outcome, message, truck);
    try {
      const slips = message.id === undefined ? await once(archive) : (await archive.once(message.id, club, once)).result;
      if (slips.length > 0) return refused(sheet.name, slips);
    } catch (error) {
      notKept = lost('keep')(error) ?? undefined;
      if (error instanceof ArchiveError) notKept = error.message;
    }
    const reply = face.answered(outcome.answer, about);
    return notKept === undefined ? reply : { ...reply, text: `${reply.text}\nThis could not be kept: ${notKept}`.slice(0, 2000) };
  }
  /** An archive that cannot be reached must not cost the answer. */
  const lost =
    (what: string) =>
    (error: unknown): null => {
      if (!(error instanceof ArchiveError)) throw error;
      log(`The archive could not ${what}: ${error.message}`);
      return null;
    };

  async function answer(message: Message): Promise<Reply> {
    const { command } = message;
    if (command === 'help')
      return { kind: 'words', text: helpText(sheets, message.options.about ?? '').slice(0, 2000), visibility: 'private' };
    if (command.startsWith('setup ') && SETUP.subcommands!.some(({ name }) => command === `setup ${name}`)) {
      if (!archive) return refused(null, [problem(null, null, 'It is off.', 'The archive is off: nothing can be kept or found.')]);
      const about = { ...message };
      try {
        if (message.id === undefined || command !== 'setup save') return await setupReply(face, archive, about);
        return (await archive.once(message.id, message.asker.club, (records) => setupReply(face, records, about))).result;
      } catch (error) {
        if (!(error instanceof ArchiveError)) throw error;
        log(`The archive: ${error.message}`);
        return refused(null, [problem(null, null, error.message, error.message)]);
      }
    }
    const sheet = sheets.get(command);
    if (sheet) return askSheet(sheet, message);
    const known = [...sheets.keys(), 'help', ...SETUP.subcommands!.map(({ name }) => `setup ${name}`)];
    const like = nearest(command, known);
    const needs = like ? `Did you mean ${like}?` : 'help lists what there is.';
    return refused(null, [problem(null, command, needs, `There is no "${face.safe(command)}" here. ${needs}`)]);
  }

  async function suggest(message: Message, option: string): Promise<readonly string[]> {
    const typed = (message.options[option] ?? '').toLowerCase();
    if (message.command === 'help') return [...sheets.keys()].filter((name) => name.includes(typed)).slice(0, 25);
    if (!archive) return [];
    if (message.command === 'setup show' && option === 'name') {
      const found = await archive.findSetups({ club: message.asker.club, words: typed, limit: 25 });
      return [...new Set(found.setups.map(({ name }) => name))];
    }
    if (option === 'truck') {
      const { club, member } = message.asker;
      const trucks = await archive.trucks({ club, member });
      return trucks.filter((name) => name.toLowerCase().includes(typed)).slice(0, 25);
    }
    return [];
  }

  return { specs, answer, suggest };
}

/** A line as typed in a terminal or on the bench's line: "corners 612 605 901 896", "setup save evening", "help springs". */
export function messageFrom(
  line: string,
  sheets: ReadonlyMap<string, Sheet>,
  specs: readonly CommandSpec[],
): { readonly message: Omit<Message, 'asker'> } | { readonly problems: readonly Problem[] } {
  const text = line.trim().replace(/^\//, '');
  const first = /^\S*/.exec(text)![0].toLowerCase().replaceAll('-', '_');
  const rest = text.slice(first.length).trim();
  const sheet = sheets.get(first);
  if (sheet) {
    const read = readLine(rest, {
      names: [...sheet.readings.map(({ name }) => name), 'truck', 'end', 'quick', 'more'],
      quick: sheet.quick,
    });
    return read.problems.length > 0 ? { problems: read.problems } : { message: { command: first, options: read.options } };
  }
  if (first === 'help') return { message: { command: 'help', options: { about: rest.replace(/^about\s*[:=]\s*/, '') } } };
  if (first === 'setup') {
    const word = /^\S*/.exec(rest)![0].toLowerCase();
    const spec = specs.find(({ name }) => name === 'setup')?.subcommands?.find(({ name }) => name === word);
    if (!spec)
      return {
        problems: [
          problem(null, rest, 'Write setup save, setup find or setup show.', 'Write setup save NAME, setup find WORDS or setup show NAME.'),
        ],
      };
    // What stands first without a name is the name, or the words.
    const names = spec.options.map(({ name }) => name);
    const tail = rest.slice(word.length).trim();
    const at = tail.search(new RegExp(`(?:^|\\s)(?:${names.join('|')})\\s?[:=]`, 'i'));
    const bare = (at < 0 ? tail : tail.slice(0, at)).trim();
    const read = at < 0 ? { options: {}, problems: [] } : readLine(tail.slice(at), { names, quick: [] });
    if (read.problems.length > 0) return { problems: read.problems };
    return { message: { command: `setup ${word}`, options: { ...(bare === '' ? {} : { [names[0]!]: bare }), ...read.options } } };
  }
  return { message: { command: first, options: {} } };
}
