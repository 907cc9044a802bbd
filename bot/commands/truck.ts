/** keep, and truck show / list / use / set / forget / refresh / give / take / parts: one truck, known in one place. */
import { forgottenText, historyText, keptText, renewedText, truckListText, truckText, writer } from '../../templates/truck.ts';
import { titleOf } from '../../templates/words.ts';
import { HOWS } from '../../worksheets/archive/facts.ts';
import type { How, Kept, Records, TruckBook, TruckOf } from '../../worksheets/archive/types.ts';
import { nearest, problem } from '../../worksheets/engine/problem.ts';
import type { Problem, Problems } from '../../worksheets/engine/types.ts';
import { doubtsAbout } from './doubts.ts';
import { type Known, knownOf } from './known.ts';
import { beginningOf } from './known-names.ts';
import { called, holdsNames, withNames } from './named.ts';
import { PARTS, partsReply } from './parts.ts';
import { missing, type Own, oneOf, type Pit, refused, truckFor, words } from './pit.ts';
import { END, HOW, OF, TRUCK } from './specs.ts';
import { renewed, staleOf, standingOf } from './standing.ts';
import { factCalled, namedIn, readFact } from './told.ts';
import type { CommandSpec, Message, Reply } from './types.ts';
import { factView, measuredView, staleView, truckView } from './views.ts';
import { bookFor, ownerOf, whose } from './whose.ts';

const KEEP: CommandSpec = {
  name: 'keep',
  description: 'What you just gave becomes the truck’s: every sheet uses it from now on',
  options: [TRUCK, HOW, { name: 'facts', description: 'Only these, by name: front_left wheelbase', suggests: true }],
  asks: ['Do I have to type all of this again on the next sheet?', 'How does my truck remember what I weighed?'],
  examples: ['keep'],
};

const SPEC: CommandSpec = {
  name: 'truck',
  description: 'Your truck: what is known of it, what it answers, what to measure next',
  options: [],
  subcommands: [
    {
      name: 'show',
      description: 'What is known, what it answers, what to measure next',
      options: [TRUCK, OF, { name: 'fact', description: 'All that was ever said of this one', suggests: true }],
      asks: ['What do I have to bring, which tools?', 'What should I measure next?', 'When was this last measured, and by whom?'],
      examples: ['truck show', 'truck show fact:wheelbase'],
    },
    {
      name: 'list',
      description: 'Your trucks, or those of another member',
      options: [OF],
      asks: ['Which trucks do I have?', 'What does somebody else drive?'],
      examples: ['truck list', 'truck list of:Ines'],
    },
    {
      name: 'use',
      description: 'The truck that is meant when none is named',
      options: [{ name: 'name', description: 'One of yours, or a new one', suggests: true }],
      asks: ['I just built a new truck: where do I start?', 'I have two trucks: how do I switch?'],
      examples: ['truck use Mudlark'],
    },
    {
      name: 'set',
      description: 'Tell the truck what you know: wheelbase:330 rear_spring_rate:0.45',
      options: [{ name: 'facts', description: 'name:value name:value …' }, TRUCK, HOW, END],
      asks: ['How do I enter a reading without asking a sheet?', 'How do I put in what the maker states?'],
      examples: ['truck set wheelbase:330 rear_spring_rate:0.45', 'truck set motor_kv:3300 how:stated'],
    },
    {
      name: 'forget',
      description: 'What counts of a reading is dropped; what was kept before it counts again',
      options: [{ name: 'fact', description: 'Its name, as truck show lists it', suggests: true }, TRUCK, END],
      asks: ['I typed it wrong and kept it: undo that', 'Take back a wrong number'],
      examples: ['truck forget wheelbase'],
    },
    {
      name: 'refresh',
      description: 'Ask stale answers again',
      options: [TRUCK],
      asks: ['I changed something: are the answers still right?', 'Why is an answer stale?'],
      examples: ['truck refresh'],
    },
    {
      name: 'give',
      description: 'Offer a truck to another member, who then takes it; to yourself: withdraw the offer',
      options: [
        { name: 'truck', description: 'Which one', suggests: true },
        { name: 'to', description: 'The member who gets it', suggests: true },
      ],
      asks: ['I sold my truck to somebody: hand it over', 'Let another member have my truck'],
      examples: ['truck give Mudlark to:Ines'],
    },
    {
      name: 'take',
      description: 'Take a truck that is offered to you, with all that is known of it',
      options: [
        { name: 'truck', description: 'Its name', suggests: true },
        { name: 'from', description: 'Whose, when two offer one of that name' },
        { name: 'as', description: 'What to call it here' },
      ],
      asks: ['I bought a truck from another member', 'Somebody offers me a truck: how do I accept?'],
      examples: ['truck take Mudlark from:Tomasz'],
    },
    {
      name: 'rename',
      description: 'Give it another name',
      options: [
        { name: 'truck', description: 'Which one', suggests: true },
        { name: 'as', description: 'What to call it from now on' },
      ],
      asks: ['My truck has the wrong name'],
      examples: ['truck rename Mudlark as:Mudlark II'],
    },
    {
      name: 'remove',
      description: 'Take a truck away with all that is known of it, when it has no setups',
      options: [
        { name: 'truck', description: 'Which one', suggests: true },
        { name: 'sure', description: 'yes: it goes, its parts and runs too', choices: [{ name: 'yes', value: 'yes' }] },
      ],
      asks: ['I do not have that truck any more: delete it'],
      examples: ['truck remove Mudlark II sure:yes'],
    },
    PARTS,
  ],
};

const keepsWhat = new Set([
  'keep',
  ...['use', 'set', 'forget', 'refresh', 'give', 'take', 'rename', 'remove'].map((name) => `truck ${name}`),
]);

export const KEEPS: Own = { spec: KEEP, keeps: () => true, reply: keepReply, suggest };
export const TRUCKS: Own = {
  spec: SPEC,
  keeps: ({ command, options }) => keepsWhat.has(command) || (command === 'truck parts' && !/^\s*(list\b.*)?$/i.test(options.do ?? '')),
  reply: truckReply,
  suggest,
};

async function truckReply(pit: Pit, records: Records, message: Message): Promise<Reply> {
  switch (message.command) {
    case 'truck list':
      return list(pit, records, message);
    case 'truck use':
      return use(pit, records, message);
    case 'truck set':
      return set(pit, records, message);
    case 'truck forget':
      return forget(pit, records, message);
    case 'truck refresh':
      return refresh(pit, records, message);
    case 'truck give':
      return give(pit, records, message);
    case 'truck take':
      return take(pit, records, message);
    case 'truck rename':
      return rename(pit, records, message);
    case 'truck remove':
      return remove(pit, records, message);
    case 'truck parts':
      return partsReply(pit, records, message);
    default:
      return show(pit, records, message);
  }
}

// ── looking ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** A truck of one's own that nobody has heard of yet is one of which nothing is known. */
const unknown = (problems: Problems, asker: Message['asker'], truck: string): TruckBook | null =>
  problems.problems[0]?.reading === 'truck' && problems.problems.length === 1
    ? {
        kind: 'truck',
        truck,
        member: { id: asker.member, name: asker.memberName },
        facts: new Map(),
        parts: [],
        latest: [],
        offeredTo: null,
      }
    : null;

async function show(pit: Pit, records: Records, message: Message): Promise<Reply> {
  const { face, shelf } = pit;
  const { options, asker } = message;
  let found = await bookFor(records, message);
  if ('kind' in found) {
    // Asked without a name by somebody who has no truck yet: how to start is more help than a refusal.
    const isFirst = !options.truck?.trim() && !options.of?.trim() && (await records.trucks(asker)).length === 0;
    const fresh = isFirst ? unknown(found, asker, await truckFor(records, message)) : null;
    if (!fresh) return refused(face, found.problems);
    found = { book: fresh, own: true };
  }
  const { book, own } = found;
  if (options.fact?.trim()) {
    const fact = factCalled(shelf, options.fact, null, new Set([...shelf.reads.keys(), ...book.facts.keys()]));
    if (typeof fact !== 'string') return refused(face, [fact]);
    const rows = await records.factHistory({ club: asker.club, member: book.member.id, truck: book.truck, fact });
    if (rows.length === 0)
      return refused(face, [
        problem('fact', fact, 'truck show lists what is known.', `Nothing was ever said of ${fact.replaceAll('_', ' ')} of ${book.truck}.`),
      ]);
    const view = rows.map((row) => ({ ...factView(shelf, row), gone: row.gone }));
    return words(historyText({ truck: book.truck, fact, rows: view }, { for: face.format, day: face.day }));
  }
  const view = truckView(shelf, book, standingOf(shelf, book), own);
  const card = face.portrait((of) => of.truck(view, face.day(pit.clock())));
  return { ...words(truckText(view, { for: face.format, day: face.day })), ...card };
}

async function list({ face }: Pit, records: Records, message: Message): Promise<Reply> {
  const owner = await ownerOf(records, message);
  if ('kind' in owner) return refused(face, owner.problems);
  const own = owner.id === message.asker.member;
  const { trucks, offered } = await records.truckList({ club: message.asker.club, member: owner.id, viewer: message.asker.member });
  const view = {
    owner: own ? null : owner.name,
    trucks: trucks.map((one) => ({ ...one, offeredTo: one.offeredTo?.name ?? null })),
    offered: own ? offered.map(({ truck, from }) => ({ truck, from: from.name })) : [],
  };
  return words(truckListText(view, { for: face.format, day: face.day }));
}

// ── telling ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

async function use({ face }: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const truck = (options.name ?? options.truck)?.trim();
  if (!truck) return missing(face, 'name', 'Give one of your trucks, or a new name: truck use Sandhopper.');
  const like = nearest(truck, await records.trucks(asker));
  const used = await records.useTruck({ ...whose(asker), truck });
  if (used.kind === 'problems') return refused(face, used.problems);
  const { safe } = writer({ for: face.format });
  const meant = like === undefined ? '' : ` Did you mean ${like}? Then: truck use ${like}, and truck remove ${used.truck}`;
  return words(
    safe(
      used.isNew
        ? `${used.truck} is a new truck, and yours. It is meant from now on when none is named: truck show says where to start.${meant}`
        : `${used.truck} is meant from now on when no truck is named.`,
      400,
    ),
  );
}

async function keepReply(pit: Pit, records: Records, message: Message): Promise<Reply> {
  const { face, shelf } = pit;
  // "keep Sandhopper stated": what stands without a name is the truck, and how it is known.
  const last = /^(?:(.*)\s)?(measured|stated|assumed)$/i.exec(message.options.truck?.trim() ?? '');
  const options = last ? { how: last[2]!, ...message.options, truck: last[1] ?? '' } : message.options;
  const how = oneOf('how', options.how, HOWS);
  if (typeof how === 'object') return refused(face, [how]);
  const truck = await truckFor(records, { options, asker: message.asker });
  const which = { ...whose(message.asker), truck };
  // A reading of a sheet that treats one end, given without saying which, is no fact of the truck.
  const before = await records.facts(which);
  const loose = [...before.values()].filter(({ kept, fact }) => !kept && !shelf.reads.has(fact));
  const named = (options.facts ?? '').split(/[\s,;]+/).filter(Boolean);
  const given = [...before.values()].filter(({ kept, fact }) => !kept && shelf.reads.has(fact)).map(({ fact }) => fact);
  if (named.length === 0 && given.length === 0 && loose.length > 0) return refused(face, [endless(loose[0]!.name)]);
  const facts = named.length > 0 ? named : loose.length > 0 ? given : undefined;
  const kept = await records.keepFacts({ ...which, ...(how === undefined ? {} : { how }), ...(facts === undefined ? {} : { facts }) });
  if (kept.kind === 'problems') return refused(face, kept.problems);
  return keptReply(pit, records, which, kept);
}
const endless = (name: string): Problem => {
  const needs = 'Ask the sheet again with end:front or end:rear, then keep.';
  return problem(
    'end',
    null,
    needs,
    `${name.charAt(0).toUpperCase()}${name.slice(1).replaceAll('_', ' ')} was given without saying of which end. ${needs}`,
  );
};

async function set(pit: Pit, records: Records, message: Message): Promise<Reply> {
  const { face, shelf } = pit;
  const { options, asker } = message;
  const how = oneOf('how', options.how, HOWS);
  const end = oneOf('end', options.end, ['front', 'rear'] as const);
  const line = options.facts?.trim();
  if (!line) return missing(face, 'facts', 'Give name:value, as many as you like: truck set wheelbase:330 pack_mass:292.');
  const which = { ...whose(asker), truck: await truckFor(records, message) };
  const { typed, problems } = namedIn(shelf, line, typeof end === 'string' ? end : null);
  const slips: Problem[] = [...problems, ...[how, end].filter((one): one is Problem => typeof one === 'object')];
  const book = await records.truckBook(which);
  const known: Known = book.kind === 'truck' ? knownOf(book.facts, book.parts) : new Map();
  const specOf = (fact: string) => shelf.reads.get(fact)?.[0]?.spec;
  const facts = Object.fromEntries(typed);
  const meant = withNames(facts, specOf, holdsNames(facts, specOf) ? await records.things({ club: asker.club }) : []);
  slips.push(...meant.problems);
  // A scale's step that is told in the same breath counts for what was weighed on it.
  const told = new Map(known);
  for (const [fact, value] of Object.entries(meant.typed)) told.set(fact, { typed: value, uncertainty: null });
  const readings = Object.entries(meant.typed).flatMap(([fact, value]) => {
    const read = readFact(shelf, fact, value, told);
    if (!('text' in read)) return [{ ...called({ ...read, name: fact }, meant.understood), name: read.name }];
    slips.push(read);
    return [];
  });
  if (slips.length > 0) return refused(face, slips);
  const kept = await records.setFacts({ ...which, how: (how as How | undefined) ?? 'measured', readings });
  if (kept.kind === 'problems') return refused(face, kept.problems);
  return keptReply(pit, records, which, kept);
}

async function keptReply({ face, shelf }: Pit, records: Records, which: TruckOf, { truck, facts }: Kept): Promise<Reply> {
  const book = await records.truckBook(which);
  const known: Known = book.kind === 'truck' ? knownOf(book.facts, book.parts) : new Map();
  const view = {
    truck,
    facts: facts.map(({ is, was }) => ({ is: factView(shelf, is), was: was === null ? null : measuredView(shelf, is.fact, was) })),
    doubts: await doubtsAbout(shelf, records, which, facts, known),
    stale: book.kind === 'truck' ? staleOf(shelf, book.latest, known).map(({ record }) => titleOf(record.answer)) : [],
  };
  return words(keptText(view, { for: face.format, day: face.day }));
}

async function staleTitles(shelf: Pit['shelf'], records: Records, which: TruckOf): Promise<string[]> {
  const book = await records.truckBook(which);
  if (book.kind === 'problems') return [];
  return staleOf(shelf, book.latest, knownOf(book.facts, book.parts)).map(({ record }) => titleOf(record.answer));
}

async function forget(pit: Pit, records: Records, message: Message): Promise<Reply> {
  const { face, shelf } = pit;
  const { options, asker } = message;
  if (!options.fact?.trim()) return missing(face, 'fact', 'Give its name: truck forget wheelbase.');
  const end = oneOf('end', options.end, ['front', 'rear'] as const);
  if (typeof end === 'object') return refused(face, [end]);
  const which = { ...whose(asker), truck: await truckFor(records, message) };
  const called = factCalled(shelf, options.fact, end ?? null, (await records.facts(which)).keys());
  const fact = typeof called === 'string' ? called : factCalled(shelf, options.fact, end ?? null);
  if (typeof fact !== 'string') return refused(face, [called as Problem]);
  const done = await records.forgetFact({ ...which, fact });
  if (done.kind === 'problems') return refused(face, done.problems);
  const view = {
    truck: done.truck,
    fact: factView(shelf, done.fact),
    is: done.is && factView(shelf, done.is),
    stale: await staleTitles(shelf, records, which),
  };
  return words(forgottenText(view, { for: face.format, day: face.day }));
}

async function refresh({ face, shelf }: Pit, records: Records, message: Message): Promise<Reply> {
  const which = { ...whose(message.asker), truck: await truckFor(records, message) };
  const book = await records.truckBook(which);
  if (book.kind === 'problems') return refused(face, book.problems);
  const stale = staleOf(shelf, book.latest, knownOf(book.facts, book.parts));
  const { safe } = writer({ for: face.format });
  if (stale.length === 0) return words(safe(`Nothing of ${book.truck} is stale: every answer that was asked is as its readings are now.`));
  const made = stale.flatMap((one) => renewed(one, book) ?? []);
  if (made.length > 0) {
    const done = await records.renewAnswers({ ...which, records: made });
    if (done.kind === 'problems') return refused(face, done.problems);
  }
  const view = {
    truck: book.truck,
    stale: stale.filter(({ now }) => now !== null).map(staleView),
    broken: stale.filter(({ now }) => now === null).map(({ record }) => titleOf(record.answer)),
  };
  return words(renewedText(view, { for: face.format, day: face.day }));
}

// ── from hand to hand ───────────────────────────────────────────────────────────────────────────────────────────────────────────

async function give({ face }: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const truck = options.truck?.trim();
  const to = options.to?.trim();
  if (!truck) return missing(face, 'truck', 'Say which one: truck give Sandhopper to:NAME.');
  if (!to) return missing(face, 'to', `Say who gets it: truck give ${truck} to:NAME.`);
  const done = await records.offerTruck({ ...whose(asker), truck, to });
  if (done.kind === 'problems') return refused(face, done.problems);
  const { safe } = writer({ for: face.format });
  return words(
    safe(
      done.to === null
        ? `${done.truck} stays yours: it is offered to nobody.`
        : `${done.truck} is offered to ${done.to.name}. It stays yours until ${done.to.name} writes: truck take ${done.truck}. To withdraw it: truck give ${done.truck} to:${asker.memberName}`,
      300,
    ),
  );
}

async function take({ face }: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const truck = options.truck?.trim();
  if (!truck) return missing(face, 'truck', 'Say which one: truck take Sandhopper. truck list shows what is offered to you.');
  const taken = await records.takeTruck({
    ...whose(asker),
    truck,
    ...(options.from?.trim() ? { from: options.from } : {}),
    ...(options.as?.trim() ? { as: options.as } : {}),
  });
  if (taken.kind === 'problems') return refused(face, taken.problems);
  const { safe } = writer({ for: face.format });
  return words(
    safe(`${taken.truck} is yours, from ${taken.from.name}, with all that is known of it. truck show ${taken.truck} shows it.`, 200),
  );
}

// ── its name, and its end ───────────────────────────────────────────────────────────────────────────────────────────────────────

async function rename({ face }: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  // "Sandhoper to Sandhopper", "Sandhoper Sandhopper".
  const typed = options.truck?.trim() ?? '';
  const said = options.as?.trim() ? { truck: typed, as: options.as.trim() } : parted(typed, await records.trucks(asker));
  const { truck, as } = said;
  if (!truck) return missing(face, 'truck', 'Say which one: truck rename Sandhoper as:Sandhopper.');
  if (!as) return missing(face, 'as', `Say what it is called from now on: truck rename ${truck} as:NAME.`);
  const done = await records.renameTruck({ ...whose(asker), truck, as });
  if (done.kind === 'problems') return refused(face, done.problems);
  const { safe } = writer({ for: face.format });
  return words(safe(`${done.was} is ${done.truck} from now on. What setups were saved of it before says ${done.was} still.`, 240));
}

/** A truck that is known, and behind it the name that it gets. */
function parted(line: string, trucks: readonly string[]): { readonly truck: string; readonly as: string } {
  const found = beginningOf(line, trucks);
  return found ? { truck: found.name, as: found.rest.replace(/^(?:to|as)\s+/i, '') } : { truck: line, as: '' };
}

async function remove({ face }: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const truck = options.truck?.trim();
  if (!truck) return missing(face, 'truck', 'Say which one: truck remove Sandhoper.');
  const sure = options.sure?.trim().toLowerCase() === 'yes';
  const removed = await records.removeTruck({ ...whose(asker), truck, sure });
  if (removed.kind === 'problems') return refused(face, removed.problems);
  const { safe } = writer({ for: face.format });
  const count = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`;
  const what = `${count(removed.facts, 'reading')}, ${count(removed.parts, 'part')}, ${count(removed.runs, 'run')}`;
  const text = removed.done
    ? `${removed.truck} is gone, with all that was known of it: ${what}.`
    : `${removed.truck} would be gone for good: ${what}. To do it: truck remove ${removed.truck} sure:yes`;
  return words(safe(text, 240), 'private');
}

// ── suggestions ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────

async function suggest(_: Pit, archive: Records, message: Message, option: string): Promise<readonly string[]> {
  const { asker, command, options } = message;
  const which = { club: asker.club, member: asker.member };
  if (option === 'to' || option === 'of') return (await archive.members(which)).map(({ name }) => name);
  if (option === 'truck' && command === 'truck take') return (await archive.truckList(which)).offered.map(({ truck }) => truck);
  if (option === 'truck' || (option === 'name' && command === 'truck use')) return archive.trucks(which);
  const truck = await truckFor(archive, { options, asker });
  if (option === 'fact') return [...(await archive.facts({ ...which, truck })).keys()];
  if (option === 'facts')
    return [...(await archive.facts({ ...which, truck })).values()].filter(({ kept }) => !kept).map(({ fact }) => fact);
  if (option === 'name' && command === 'truck parts') {
    const book = await archive.truckBook({ ...which, truck });
    return book.kind === 'truck' ? book.parts.map(({ name }) => name) : [];
  }
  return [];
}
