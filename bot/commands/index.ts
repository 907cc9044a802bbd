/**
 * What a member's message becomes, in every face: parse, fill in, answer, keep, say. Knows no transport: words and options in, words and
 * a picture out. Terminal, bench and Discord differ only in how they take words in and put them out.
 */
import type { Cards } from '../../templates/card/render.ts';
import { clean } from '../../templates/clean.ts';
import { escapeChat, fittedResultText } from '../../templates/text.ts';
import { ArchiveError } from '../../worksheets/archive/errors.ts';
import { nameKey } from '../../worksheets/archive/names.ts';
import type { Archive, GivenReading, Records } from '../../worksheets/archive/types.ts';
import { type End, factName, type Outcome, work } from '../../worksheets/engine/ask.ts';
import type { Sheet } from '../../worksheets/engine/notation.ts';
import { nearest, problem } from '../../worksheets/engine/problem.ts';
import type { Problem, Problems } from '../../worksheets/engine/types.ts';
import { CLUBS } from './club.ts';
import { HELP, helpNames, helpText } from './help.ts';
import { annotated, type Known, knownOf } from './known.ts';
import { beginningOf, settled } from './known-names.ts';
import { LOOK } from './look.ts';
import { messageFrom } from './message-from.ts';
import { MINE } from './mine.ts';
import { called, holdsNames, type Named, withNames } from './named.ts';
import { DEFAULT_TRUCK, type Face, MOST_CHARACTERS, type Own, type Pit, refused, shelfOf, truckFor, words } from './pit.ts';
import { RUNS } from './run.ts';
import { SETUPS } from './setups.ts';
import { sheetLine } from './sheet-line.ts';
import { sheetSpec } from './specs.ts';
import { supplyOf } from './standing.ts';
import { BOXES, SCALES, TRACKS } from './things.ts';
import { clauseOf } from './told.ts';
import { KEEPS, TRUCKS } from './truck.ts';
import type { CommandSpec, Commands, Message, Reply } from './types.ts';

export { DEFAULT_TRUCK, type Face } from './pit.ts';
export { messageFrom };

export interface House {
  readonly sheets: ReadonlyMap<string, Sheet>;
  readonly archive: Archive | null;
  readonly cards: Cards | null;
  readonly clock: () => number;
  readonly zone: string;
  readonly theme: 'dark' | 'light';
  readonly log: (line: string, error?: unknown) => void;
  /** Ids of members who are officers without another officer's word. */
  readonly officers?: readonly string[];
}

/** The house's own commands, in the order in which a newcomer meets them. */
const OWN: readonly Own[] = [TRUCKS, KEEPS, RUNS, SETUPS, BOXES, SCALES, TRACKS, CLUBS, MINE];

const SHEET_FIRST = 'Give a sheet with its readings: look gearing pinion:18.';
const LOOKED = '\nOnly looked at: nothing of it is kept.';

interface Asked {
  readonly answer: Outcome['answer'];
  readonly given: readonly GivenReading[];
}

export function makeCommands(house: House, format: Face['format']): Commands {
  const { sheets, archive, cards, clock, theme, log } = house;
  const days = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: house.zone });
  const hours = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', timeZone: house.zone });
  const specs: CommandSpec[] = [HELP, LOOK, ...OWN.map(({ spec }) => spec), ...[...sheets.values()].map(sheetSpec)];
  const own = new Map(OWN.flatMap((one) => commandsOf(one.spec).map((command) => [command, one] as const)));

  const face: Face = {
    format,
    day: (at) => days.format(at),
    hour: (at) => hours.format(at),
    safe: (text) => (format === 'chat' ? escapeChat(clean(text, { graphemes: 60 })) : clean(text, { graphemes: 60 })),
    card: (answer, about) =>
      cards?.ready
        ? { png: () => cards.png(answer, { ...about, theme }), alt: cards.alt(answer, about), name: `${answer.sheet}.png` }
        : undefined,
    portrait: (made) => {
      const portrait = cards?.ready ? made(cards.portrait.of) : null;
      return portrait === null
        ? {}
        : { card: { png: () => cards!.portrait.png(portrait, theme), alt: portrait.alt, name: `${portrait.name}.png` } };
    },
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
  const pit: Pit = { face, shelf: shelfOf(sheets), clock, appointed: house.officers ?? [] };

  /** The options of a sheet's command → its readings. `quick` takes a whole line, `more` the rest of one. */
  function readings(
    sheet: Sheet,
    options: Message['options'],
  ): { readonly readings: Record<string, string>; readonly problems: Problem[] } {
    const all: Record<string, string> = Object.create(null);
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
        const line = sheetLine(value, sheet, { quick: name === 'quick' });
        problems.push(...line.problems);
        take(line.options);
      }
    }
    return { readings: all, problems };
  }

  /** Keeps the answer as the truck's last of this sheet. Says how that went: nothing when it is kept. */
  async function keep(records: Records, sheet: Sheet, { answer, given }: Asked, message: Message, truck: string): Promise<Problem[]> {
    const { club, member, memberName } = message.asker;
    const kept = await records.remember({ club, member, memberName, truck, sheet: sheet.name, end: answer.end, readings: given, answer });
    return kept.kind === 'problems' ? [...kept.problems] : [];
  }

  /** What the archive knows of the truck, and which truck that is. */
  async function lookUp(message: Message, named: string | undefined): Promise<{ readonly truck: string; readonly known: Known }> {
    const otherwise = { truck: named || DEFAULT_TRUCK, known: new Map() };
    if (!archive) return otherwise;
    const { club, member } = message.asker;
    const found = async (): Promise<{ readonly truck: string; readonly known: Known }> => {
      const truck = await truckFor(archive, { options: named === undefined ? {} : { truck: named }, asker: message.asker });
      const which = { club, member, truck };
      return { truck, known: knownOf(await archive.facts(which), await archive.parts(which)) };
    };
    return (await found().catch(lost('read'))) ?? otherwise;
  }

  /** "truck:Sandhopper 612 605 901 896": what stands behind a truck that is known is a row, if there is none. */
  async function behindTruck(options: Message['options'], { club, member }: Message['asker']): Promise<Message['options']> {
    if (!archive || options.quick !== undefined || !options.truck?.trim().includes(' ')) return options;
    const found = beginningOf(options.truck.trim(), (await archive.trucks({ club, member }).catch(lost('read'))) ?? []);
    return found ? { ...options, truck: found.name, quick: found.rest } : options;
  }

  /** `keeps`: whether the readings count for the truck from now on. */
  async function askSheet(sheet: Sheet, message: Message, keeps = true): Promise<Reply> {
    const { readings: all, problems } = readings(sheet, await behindTruck(message.options, message.asker));
    const { truck: named, end: typedEnd, ...given } = all;
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
    const { truck, known } = await lookUp(message, named?.trim() || undefined);
    const meant = await names(sheet, given, message);
    problems.push(...meant.problems);
    const slipped = new Set(meant.problems.map(({ reading }) => reading));
    const asked = ask(sheet, meant, end, known);
    // A name that was asked back is not missing as well.
    if ('kind' in asked) return refused(face, [...problems, ...asked.problems.filter(({ reading }) => !slipped.has(reading))], sheet.name);
    if (problems.length > 0) return refused(face, problems, sheet.name);

    const day = face.day(clock());
    const about = { day, ...(truck === DEFAULT_TRUCK ? {} : { truck }) };
    const like = keeps && named?.trim() ? await nearlyNamed(named.trim(), message.asker) : undefined;
    if (!archive || !keeps) return face.answered(asked.answer, about);
    let notKept: string | undefined;
    const once = (records: Records): Promise<Problem[]> => keep(records, sheet, asked, message, truck);
    try {
      const slips = message.id === undefined ? await once(archive) : (await archive.once(message.id, message.asker.club, once)).result;
      if (slips.length > 0) return refused(face, slips, sheet.name);
    } catch (error) {
      notKept = lost('keep')(error) ?? undefined;
      if (error instanceof ArchiveError) notKept = error.message;
    }
    const reply = face.answered(asked.answer, about);
    const besides = (said: string): string => `${reply.text.slice(0, MOST_CHARACTERS - said.length)}${said}`.toWellFormed();
    if (notKept !== undefined) return { ...reply, notKept, text: besides(`\nThis could not be kept: ${notKept}`) };
    if (like === undefined) return reply;
    const name = face.safe(truck);
    return {
      ...reply,
      text: besides(`\n${name} is a new truck. Did you mean ${face.safe(like)}? Then take this one away: truck remove ${name}`),
    };
  }

  /** A truck of theirs that is nearly called so, where none is. */
  async function nearlyNamed(named: string, { club, member }: Message['asker']): Promise<string | undefined> {
    const trucks = archive ? ((await archive.trucks({ club, member }).catch(lost('read'))) ?? []) : [];
    return trucks.some((one) => nameKey(one) === nameKey(named)) ? undefined : nearest(named, trucks);
  }

  /** Things of the club that were named, as what they measure. */
  async function names(sheet: Sheet, typed: Readonly<Record<string, string>>, { asker }: Message): Promise<Named> {
    const specOf = (name: string) => sheet.readings.find((spec) => spec.name === name);
    const things = archive && holdsNames(typed, specOf) ? await archive.things({ club: asker.club }).catch(lost('read')) : null;
    return withNames(typed, specOf, things ?? []);
  }

  /** What is given now counts for the truck at once, so that sheets which this one rests on hear of it too. */
  function ask(sheet: Sheet, { typed: given, understood }: Named, end: End | null, known: Known): Asked | Problems {
    const laid = new Map(known);
    for (const [name, typed] of Object.entries(given)) {
      const fact = factName(name, sheet, end);
      if (fact !== null) laid.set(fact, { typed, uncertainty: clauseOf(pit.shelf, fact, known) });
    }
    const outcome = work(sheet, { readings: given, end }, supplyOf(pit.shelf, laid));
    if ('kind' in outcome) return outcome;
    const readings = outcome.given.map((reading): GivenReading => {
      const off = reading.uncertainty ?? (/[±+]/.test(reading.typed) ? null : clauseOf(pit.shelf, reading.fact, laid));
      return called({ ...reading, uncertainty: off }, understood);
    });
    return { answer: annotated(outcome, sheet, known, understood), given: readings };
  }
  /** An archive that cannot be reached must not cost the answer. */
  const lost =
    (what: string) =>
    (error: unknown): null => {
      if (!(error instanceof ArchiveError)) throw error;
      log(`The archive could not ${what}: ${error.message}`);
      return null;
    };

  async function answer(typed: Message): Promise<Reply> {
    const { command } = typed;
    if (command === 'help') return words(helpText(sheets, specs, typed.options.about ?? '', format), 'private');
    if (command === 'look') return look(typed);
    const one = own.get(command);
    if (one) {
      if (!archive) return refused(face, [problem(null, null, 'It is off.', 'The archive is off: nothing can be kept or found.')]);
      try {
        const message = await settled(archive, optionsOf(one.spec, command), typed);
        const left = (await one.before?.(pit, message)) ?? ((records: Records) => one.reply(pit, records, message));
        if (typeof left !== 'function') return left;
        if (message.id === undefined || !one.keeps(message)) return inFull(await left(archive));
        return inFull((await archive.once(message.id, message.asker.club, left)).result);
      } catch (error) {
        if (!(error instanceof ArchiveError)) throw error;
        log(`The archive: ${error.message}`);
        return refused(face, [problem(null, null, error.message, error.message)]);
      }
    }
    const sheet = sheets.get(command);
    if (sheet) return askSheet(sheet, typed);
    const like = nearest(
      command,
      specs.map(({ name }) => name),
    );
    const needs = like ? `Did you mean ${like}?` : 'help lists what there is.';
    return refused(face, [problem(null, command, needs, `There is no "${face.safe(command)}" here. ${needs}`)]);
  }

  async function look({ options, ...message }: Message): Promise<Reply> {
    const line = options.line?.trim() ?? '';
    const read = messageFrom(line, sheets, specs);
    if ('problems' in read) return refused(face, read.problems);
    const sheet = sheets.get(read.message.command);
    if (!sheet) return refused(face, [problem('line', line, SHEET_FIRST, `Line: ${SHEET_FIRST}`)]);
    const reply = await askSheet(sheet, { ...message, ...read.message }, false);
    if (reply.kind !== 'answer') return reply;
    return { ...reply, text: `${reply.text.slice(0, MOST_CHARACTERS - LOOKED.length)}${LOOKED}`.toWellFormed() };
  }

  /** Terminal and bench have room for a file in their words, if nobody has to scroll for minutes; chat sends it along. */
  const inFull = (reply: Reply): Reply => {
    if (reply.file === undefined || format !== 'terminal') return reply;
    const whole = reply.file.text.length <= MOST_IN_WORDS ? reply.file.text.trimEnd() : 'It is too long for a screen: add file:PATH.';
    return { ...reply, text: `${reply.text}\n\n${whole}`, file: { ...reply.file, words: reply.text } };
  };

  async function suggest(message: Message, option: string): Promise<readonly string[]> {
    const typed = (message.options[option] ?? '').toLowerCase();
    if (message.command === 'help') return fitting(helpNames(sheets, specs), typed);
    if (!archive) return [];
    const one = own.get(message.command);
    if (one) return fitting((await one.suggest?.(pit, archive, message, option)) ?? [], typed);
    if (option === 'truck') {
      const { club, member } = message.asker;
      return fitting(await archive.trucks({ club, member }), typed);
    }
    return [];
  }

  return { specs, answer, suggest };
}

const MOST_IN_WORDS = 100_000;

/** What Discord shows while one types: those that hold what is typed so far. */
const fitting = (all: readonly string[], typed: string): string[] => all.filter((one) => one.toLowerCase().includes(typed)).slice(0, 25);

/** The commands of a spec, as a message names them: "truck show". */
const commandsOf = ({ name, subcommands }: CommandSpec): string[] =>
  subcommands ? subcommands.map((sub) => `${name} ${sub.name}`) : [name];

const optionsOf = ({ name, options, subcommands = [] }: CommandSpec, command: string): CommandSpec['options'] =>
  subcommands.find((sub) => `${name} ${sub.name}` === command)?.options ?? options;
