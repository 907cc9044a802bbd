/** setup …: the club's archive in words: kept, found, compared, gone back to, copied, shared. */
import { mean } from '../../calc/numeric/statistics.ts';
import { comparedText, foundText, historyText, setupText } from '../../templates/setup.ts';
import { canonical } from '../../worksheets/archive/canonical.ts';
import type {
  Facets,
  Fact,
  NumberBetween,
  Records,
  SetupDoc,
  SetupHistory,
  SetupSummary,
  ShownSetup,
  TruckOf,
} from '../../worksheets/archive/types.ts';
import { problem } from '../../worksheets/engine/problem.ts';
import type { Problem, Problems } from '../../worksheets/engine/types.ts';
import { compared } from './compare.ts';
import { numbersText } from './found-numbers.ts';
import { inOrder } from './in-order.ts';
import { missing, type Own, oneOf, type Pit, refused, words } from './pit.ts';
import { readLooked } from './query.ts';
import { asInALine, revisionViews } from './revision-changes.ts';
import { EXPORT_SPEC, exportSetup, IMPORT_SPEC, importing } from './setup-files.ts';
import { changesPictures, PICTURE_SPEC, pictured, pictureReply } from './setup-picture.ts';
import { setupRunViews } from './setup-runs.ts';
import { listed, save } from './setup-save.ts';
import { TRUCK } from './specs.ts';
import type { CommandSpec, Message, Reply } from './types.ts';
import { CODE, type Meant, meantSetup, NAME, REV, revIn, revOf, severalIn } from './which-setup.ts';
import { namedOwner } from './whose-setups.ts';

const YES_NO = [
  { name: 'yes', value: 'yes' },
  { name: 'no', value: 'no' },
];

export const SETUP: CommandSpec = {
  name: 'setup',
  description: "Keep what works, and find it again in the club's archive",
  options: [],
  subcommands: [
    {
      name: 'save',
      description: "Keep this truck's facts and last answers under a name",
      options: [
        { name: 'name', description: 'What to call it: "hard pan, evening"; left out: "best of" and the day' },
        TRUCK,
        { name: 'notes', description: 'What you want to remember' },
        { name: 'tags', description: 'Words to find it by, separated by commas' },
        { name: 'track', description: 'Where it ran' },
        { name: 'surface', description: 'What it ran on: hard pan, sand, …' },
        { name: 'grip', description: 'How it held: low, high, …' },
        { name: 'temperature', description: 'Of the air [°C], or a word: warm' },
        { name: 'wind', description: 'From where, how strong' },
        { name: 'private', description: 'Only you see it', choices: YES_NO },
      ],
      asks: ['It was good today: how do I keep it?', 'Note the setup with weather and track'],
      examples: ['setup save hard pan, evening', 'setup save soft sand surface:sand temperature:31 tags:sand, hot private:yes'],
    },
    {
      name: 'find',
      description: "Search the club's setups by words and numbers, best first",
      options: [
        { name: 'words', description: 'Words and numbers: evening rear_share > 58 %, pinion 15..18; nothing: the newest' },
        { name: 'owner', description: 'Whose' },
        { name: 'truck', description: 'Of which truck' },
        { name: 'tag', description: 'With this tag; several separated by commas' },
        { name: 'surface', description: 'Run on' },
        { name: 'track', description: 'Run at' },
        { name: 'grip', description: 'Held: low, high, …' },
        { name: 'page', description: 'The next ten: 2, 3, …' },
      ],
      asks: ['What do the others run on sand?', 'Which setup had most weight at the rear?', 'Where are my setups?'],
      examples: ['setup find evening', 'setup find rear_share > 58 %'],
    },
    {
      name: 'show',
      description: 'Show a setup again, as text and card',
      options: [NAME, { name: 'sheet', description: 'Only this sheet, in full' }, REV, CODE],
      asks: ['What was on the truck back then?', 'Another club gave me a code'],
      examples: ['setup show hard pan, evening', 'setup show hard pan, evening sheet:corners'],
    },
    PICTURE_SPEC,
    EXPORT_SPEC,
    IMPORT_SPEC,
    {
      name: 'history',
      description: 'Its revisions, each with what it changed',
      options: [NAME],
      asks: ['How did this setup come about?', 'Which revisions are there?'],
      examples: ['setup history hard pan, evening'],
    },
    {
      name: 'compare',
      description: 'What differs between two setups or more, in readings and answers',
      options: [
        { name: 'a', description: 'The first, by name or number, "3 rev 1" for a revision; "3 5" names two', suggests: true },
        { name: 'b', description: 'The second', suggests: true },
        { name: 'c', description: 'A third', suggests: true },
        { name: 'sheet', description: 'Only this sheet, in full' },
      ],
      asks: ['What is different between two setups?', 'What does his truck have that mine has not?'],
      examples: ['setup compare hard pan, evening b:soft sand', 'setup compare hard pan, evening rev 1 b:hard pan, evening'],
    },
    {
      name: 'restore',
      description: 'Make an earlier revision the newest again',
      options: [NAME, REV],
      asks: ['I went back to the old setup', 'Undo the last change', 'It was better before'],
      examples: ['setup restore hard pan, evening rev:1'],
    },
    {
      name: 'copy',
      description: "Copy a setup's facts to a truck of yours",
      options: [
        NAME,
        { name: 'truck', description: 'Your truck that gets them', suggests: true },
        REV,
        CODE,
        { name: 'sure', description: 'yes: also in place of what is kept of that truck', choices: YES_NO },
      ],
      asks: ["How do I try somebody's setup on my truck?"],
      examples: ['setup copy hard pan, evening truck:Mudlark'],
    },
    {
      name: 'private',
      description: 'Hide a setup of yours from the club, or open it again',
      options: [NAME, { name: 'private', description: 'yes: only you see it', choices: YES_NO }],
      asks: ['Nobody else should see my setup', 'Who can see what I save?'],
      examples: ['setup private soft sand private:no', 'setup private soft sand private:yes'],
    },
    {
      name: 'share',
      description: 'A code that shows this setup to another club',
      options: [NAME, { name: 'named', description: 'yes: your name stands on it', choices: YES_NO }],
      asks: ['Share a setup with another club', 'Show my setup to a friend who is not in this club'],
      examples: ['setup share hard pan, evening'],
    },
    {
      name: 'unshare',
      description: 'End all codes of a setup',
      options: [NAME],
      asks: ['Stop sharing a setup'],
      examples: ['setup unshare hard pan, evening'],
    },
    {
      name: 'remove',
      description: 'Take a setup of yours away for good',
      options: [NAME, { name: 'sure', description: 'yes: it and all its revisions go', choices: YES_NO }],
      asks: ['Delete a setup'],
      examples: ['setup remove soft sand sure:yes'],
    },
  ],
};

const ON_A_PAGE = 10;

async function setupReply(pit: Pit, records: Records, message: Message): Promise<Reply> {
  switch (message.command) {
    case 'setup save':
      return save(pit, records, message);
    case 'setup find':
      return find(pit, records, message);
    case 'setup show':
      return show(pit, records, message);
    case 'setup export':
      return exportSetup(pit, records, message);
    case 'setup picture':
      return pictureReply(pit, records, message);
    case 'setup compare':
      return compare(pit, records, message);
    case 'setup copy':
      return copy(pit, records, message);
    default:
      return named(pit, records, message);
  }
}

// ── keeping and finding ─────────────────────────────────────────────────────────────────────────────────────────────────────────

async function find({ face, shelf }: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const by = options.owner?.trim() ? null : await namedOwner(records, asker.club, options.words ?? '');
  const looked = readLooked(shelf, by?.rest ?? options.words ?? '');
  if (looked.problems.length > 0) return refused(face, looked.problems);
  const page = Number(options.page ?? 1);
  if (!Number.isInteger(page) || page < 1 || page > 1000)
    return refused(face, [
      problem('page', options.page!, 'Give 1 to 1000.', `Page: "${face.safe(options.page!)}" is out. Give 1 to 1000.`),
    ]);
  const facets: Facets = {
    ...Object.fromEntries(
      (['owner', 'truck', 'surface', 'track', 'grip'] as const).flatMap((name) =>
        options[name]?.trim() ? [[name, options[name]!.trim()]] : [],
      ),
    ),
    ...(by === null ? {} : { owner: by.owner }),
    ...(options.tag?.trim() ? { tag: listed(options.tag) } : {}),
  };
  const { words: text, numbers } = looked;
  const found = await records.findSetups({
    club: asker.club,
    viewer: asker.member,
    words: text,
    facets,
    numbers,
    limit: ON_A_PAGE,
    offset: (page - 1) * ON_A_PAGE,
  });
  const asked = Object.keys(options).some((name) => name !== 'page' && options[name]?.trim());
  if (found.setups.length === 0) {
    if (page > 1) return words('The list ends before this page.');
    const all = ['words', 'owner', 'truck', 'tag', 'surface', 'track', 'grip'].flatMap((name) =>
      options[name]?.trim() ? [options[name]!.trim()] : [],
    );
    return words(
      asked ? `No setup of this club holds "${face.safe(all.join(' '))}".` : 'This club has no setup yet. Keep one: setup save NAME.',
    );
  }
  const hidden = found.setups.some((setup) => setup.private);
  const shown = numbers.length === 0 ? found.setups : await withNumbers(shelf, records, found.setups, numbers, asker);
  const list = foundText(shown, found.more ? `add a word to narrow it down, or page:${page + 1}` : null, {
    for: face.format,
    day: face.day,
  });
  return words(list, hidden ? 'private' : 'public');
}

/** A page of setups, each with the numbers it was found by. */
const withNumbers = (
  shelf: Pit['shelf'],
  records: Records,
  setups: readonly SetupSummary[],
  numbers: readonly NumberBetween[],
  { club, member }: Message['asker'],
) =>
  Promise.all(
    setups.map(async (setup) => {
      const shown = await records.showSetup({ club, member, id: setup.id });
      return shown.kind === 'setup' ? { ...setup, numbers: numbersText(shelf, numbers, shown.doc) } : setup;
    }),
  );

// ── one setup ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────

async function show(pit: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const { face } = pit;
  const wanted = options.name?.trim();
  const code = options.code?.trim();
  if (!wanted && !code) return missing(face, 'name', 'Give its name, or its number from setup find.');
  const rev = revIn(pit, options);
  if (typeof rev === 'object') return refused(face, [rev]);
  const kept = code ? await records.setupByCode(code) : await shownSetup(records, asker, wanted!, rev);
  if (kept.kind === 'problems') return refused(face, kept.problems);
  const found = { ...kept, doc: inOrder(pit.shelf.sheets, kept.doc) };
  const { doc } = found;
  const day = face.day(doc.at);
  const visibility = found.private || code ? 'private' : 'public';
  if (options.sheet?.trim()) {
    const [name, end] = options.sheet.trim().toLowerCase().split(/\s+/);
    const record = doc.sheets.find((one) => one.sheet === name && (end === undefined || one.end === end));
    if (!record) {
      const needs = `It holds ${doc.sheets.map((one) => (one.end ? `${one.sheet} ${one.end}` : one.sheet)).join(', ')}.`;
      return refused(face, [problem('sheet', options.sheet, needs, `Sheet: "${face.safe(options.sheet)}" is not in this setup. ${needs}`)]);
    }
    return { ...face.answered(record.answer, { truck: doc.truck, day }), visibility };
  }
  const driven = found.runs.findLast(({ laps }) => laps.length > 0);
  const card = face.portrait((of) => of.setup(found, day, code ? null : found.id, driven ? mean(driven.laps) : null));
  return {
    kind: 'words',
    text: setupText(found, { for: face.format, day: face.day, runs: setupRunViews(found.runs) }),
    visibility,
    ...card,
  };
}

async function copy(pit: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const { face } = pit;
  const wanted = options.name?.trim();
  const code = options.code?.trim();
  if (!wanted && !code) return missing(face, 'name', 'Give its name, or its number from setup find.');
  const truck = options.truck?.trim();
  if (!truck) return missing(face, 'truck', 'Say which of yours gets it: truck:NAME.');
  const rev = revIn(pit, options);
  if (typeof rev === 'object') return refused(face, [rev]);
  const meant = code ? null : await meantSetup(records, asker, wanted!, 'look');
  if (meant?.kind === 'problems') return refused(face, meant.problems);
  const from = meant === null ? { code: code! } : { ...meant.which, ...revOf(meant, rev) };
  const { club, member, memberName } = asker;
  const shown = 'code' in from ? await records.setupByCode(from.code) : await records.showSetup(from);
  if (shown.kind === 'problems') return refused(face, shown.problems);
  const replaced = options.sure?.trim().toLowerCase() === 'yes' ? [] : await replacedBy(records, { club, member, truck }, shown.doc);
  if (replaced.length > 0) {
    return words(
      `${face.safe(truck)} has ${replaced.length === 1 ? 'a reading' : `${replaced.length} readings`} of its own that this would replace: ${fewOf(face, replaced)}. Nothing was copied. If that is meant, say it again with sure:yes; or name another truck.`,
      'private',
    );
  }
  const copied = await records.copySetup({ club, member, memberName, truck, from });
  if (copied.kind === 'problems') return refused(face, copied.problems);
  const count = copied.facts === 1 ? '1 fact' : `${copied.facts} facts`;
  const parts =
    copied.parts === null
      ? ' Its own parts list stays.'
      : copied.parts > 0
        ? ` The parts list came along: ${copied.parts === 1 ? '1 part' : `${copied.parts} parts`}.`
        : '';
  const stay = staying(face, await records.facts({ club, member, truck }), shown.doc);
  return words(
    `${face.safe(copied.truck)} has ${count} of "${face.safe(copied.from)}" now, each marked as copied.${parts}${stay} Measure your own truck before you trust them: truck show ${face.safe(copied.truck)}`,
    code ? 'private' : 'public',
  );
}

/** What is kept of the truck and would be another afterwards. */
async function replacedBy(records: Records, which: TruckOf, doc: SetupDoc): Promise<readonly string[]> {
  const own = await records.facts(which);
  return doc.facts.flatMap(({ fact, value }) => {
    const there = own.get(fact);
    const kept = there?.kept ? there : there?.beneath;
    // A copy is no measurement of this truck.
    const isCopy = there?.kept === true && (there.note ?? '').includes('copied from ');
    return kept && !isCopy && canonical(kept.value) !== canonical(value) ? [fact] : [];
  });
}

/** "front left, wheelbase, pinion, spur and 3 more". */
function fewOf(face: Pit['face'], facts: readonly string[]): string {
  const few = facts.slice(0, 4).map((fact) => face.safe(fact.replaceAll('_', ' ')));
  return `${few.join(', ')}${facts.length > few.length ? ` and ${facts.length - few.length} more` : ''}`;
}

/** What counts for the truck besides the copy: with it beside them, an answer is of no setup that ever ran. */
function staying(face: Pit['face'], facts: ReadonlyMap<string, Fact>, { facts: copied }: SetupDoc): string {
  const taken = new Set(copied.map(({ fact }) => fact));
  const stay = [...facts.keys()].filter((fact) => !taken.has(fact));
  if (stay.length === 0) return '';
  return ` ${stay.length === 1 ? '1 reading of before stays' : `${stay.length} readings of before stay`}: ${fewOf(face, stay)}.`;
}

async function named(pit: Pit, records: Records, { command, options, asker }: Message): Promise<Reply> {
  const { face } = pit;
  const wanted = options.name?.trim();
  if (!wanted) return missing(face, 'name', 'Give its name, or its number from setup find.');
  const meant = await meantSetup(records, asker, wanted, command === 'setup history' ? 'look' : 'change');
  if (meant.kind === 'problems') return refused(face, meant.problems);
  const { which } = meant;
  switch (command) {
    case 'setup history': {
      const history = await records.setupHistory(which);
      if (history.kind === 'problems') return refused(face, history.problems);
      const views = revisionViews(history, asInALine);
      return words(historyText(history.setup, views, { for: face.format, day: face.day }), history.setup.private ? 'private' : 'public');
    }
    case 'setup restore': {
      const rev = options.rev?.trim() ? revIn(pit, options) : meant.rev;
      if (typeof rev === 'object') return refused(face, [rev]);
      if (rev === undefined) return missing(face, 'rev', 'Say which: rev:1.');
      const saved = await records.restoreSetup({ ...which, rev });
      if (saved.kind === 'problems') return refused(face, saved.problems);
      const [now] = revisionViews(await changesOfNewest(records, which), asInALine);
      const back = (now?.changes ?? []).map(({ what, was, is }) => face.safe(`${what}: ${was} → ${is}`));
      const few = back.slice(0, MOST_BACK).map((line) => `\n  ${line}`);
      const more = back.length > MOST_BACK ? `\n  and ${back.length - MOST_BACK} more: setup history ${saved.id}` : '';
      return words(
        `"${face.safe(saved.name)}" is as it was at revision ${rev}: that is revision ${saved.rev} now.${few.join('')}${more}\nTo put it on a truck: setup copy ${saved.id} truck:NAME`,
        saved.private ? 'private' : 'public',
      );
    }
    case 'setup private': {
      const hidden = oneOf('private', options.private ?? 'yes', ['yes', 'no']);
      if (typeof hidden === 'object') return refused(face, [hidden]);
      const done = await records.setPrivate({ ...which, private: hidden !== 'no' });
      if (done.kind === 'problems') return refused(face, done.problems);
      const ended =
        done.codes === 0 ? '' : done.codes === 1 ? ' Its code shows nothing any more.' : ` Its ${done.codes} codes show nothing any more.`;
      return words(`"${face.safe(done.name)}" ${done.private ? 'is yours alone now.' : 'is open to the club now.'}${ended}`, 'private');
    }
    case 'setup share': {
      const name = oneOf('named', options.named, ['yes', 'no']);
      if (typeof name === 'object') return refused(face, [name]);
      const shared = await records.shareSetup({ ...which, named: name === 'yes' });
      if (shared.kind === 'problems') return refused(face, shared.problems);
      return words(
        `Whoever has this code sees revision ${shared.rev} of "${face.safe(shared.setup)}", notes and all, ${shared.named ? 'with' : 'without'} your name${shared.private ? ', though it is private in the club' : ''}:\n${shared.code}\nThey write: setup show code:${shared.code}\nIt is not shown again. To end it: setup unshare ${face.safe(wanted)}`,
        'private',
      );
    }
    case 'setup unshare': {
      const ended = await records.endSharing({ ...which, appointed: pit.appointed.includes(asker.member) });
      if (ended.kind === 'problems') return refused(face, ended.problems);
      return words(
        ended.codes === 0
          ? `"${face.safe(ended.name)}" had no code.`
          : `${ended.codes === 1 ? 'The code' : `All ${ended.codes} codes`} of "${face.safe(ended.name)}" ${ended.codes === 1 ? 'shows' : 'show'} nothing any more.`,
        'private',
      );
    }
    default: {
      if (options.sure?.trim().toLowerCase() !== 'yes') {
        const shown = await records.showSetup(which);
        if (shown.kind === 'problems') return refused(face, shown.problems);
        return words(
          `"${face.safe(shown.doc.name)}" and its revisions would be gone for good. To do it: setup remove ${shown.id} sure:yes`,
          'private',
        );
      }
      const removed = await records.removeSetup(which);
      if (removed.kind === 'problems') return refused(face, removed.problems);
      return words(`"${face.safe(removed.name)}", number ${removed.id}, is gone.`, 'private');
    }
  }
}

// ── side by side ────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** What a line of a phone holds of one reading. */
const MOST_COMPARED = 6;

async function compare({ face, shelf }: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const given = [options.a, options.b, options.c].flatMap((text) => (text?.trim() ? [text.trim()] : []));
  const first = given[0] ?? '';
  const wanted = given.length === 1 ? await severalIn(records, asker, first) : given;
  if (wanted.length < 2) return missing(face, wanted.length === 0 ? 'a' : 'b', 'Give two or more: setup compare 3 5.');
  if (wanted.length > MOST_COMPARED) {
    const needs = `Give ${MOST_COMPARED} at most.`;
    return refused(face, [problem('a', first, needs, `${wanted.length} setups are too many side by side. ${needs}`)]);
  }
  const found: ShownSetup[] = [];
  const problems: Problem[] = [];
  for (const name of wanted) {
    const shown = await shownSetup(records, asker, name);
    if (shown.kind === 'problems') problems.push(...shown.problems);
    else found.push({ ...shown, doc: inOrder(shelf.sheets, shown.doc) });
  }
  if (problems.length > 0) return refused(face, problems);
  const differences = compared(shelf, found);
  const only = options.sheet?.trim().toLowerCase();
  const answers = only ? differences.answers.filter(({ sheet, end }) => only === sheet || only === `${sheet} ${end}`) : differences.answers;
  if (only && answers.length === 0) {
    const sheets = [...new Set(differences.answers.map(({ sheet }) => sheet))];
    const needs = sheets.length === 0 ? 'No answer differs.' : `Answers differ on ${sheets.join(', ')}.`;
    return refused(face, [problem('sheet', options.sheet!, needs, `Sheet: nothing differs on "${face.safe(options.sheet!)}". ${needs}`)]);
  }
  const view = {
    setups: found.map(({ id, doc, revision }) => ({ id, name: doc.name, truck: doc.truck, rev: revision.rev, at: revision.at })),
    ...differences,
    answers,
  };
  const hidden = found.some((shown) => shown.private);
  const card = face.portrait((of) => of.compared(view, face.day));
  // Asked for one sheet, nobody wants to scroll past the readings of all the others.
  const told = only ? { ...view, readings: [], conditions: [] } : view;
  return { ...words(comparedText(told, { for: face.format, day: face.day }), hidden ? 'private' : 'public'), ...card };
}

const MOST_BACK = 6;

async function changesOfNewest(records: Records, which: Meant['which']): Promise<Pick<SetupHistory, 'revisions'>> {
  const history = await records.setupHistory({ ...which, limit: 1 });
  return history.kind === 'problems' ? { revisions: [] } : history;
}

async function shownSetup(records: Records, asker: Message['asker'], typed: string, rev?: number): Promise<ShownSetup | Problems> {
  const meant = await meantSetup(records, asker, typed, 'look');
  return meant.kind === 'problems' ? meant : records.showSetup({ ...meant.which, ...revOf(meant, rev) });
}

/** What is said once only, `share`'s code, is not kept for a second telling: a message that comes twice makes two codes. */
const KEEPING = new Set(['save', 'import', 'restore', 'copy', 'private', 'unshare', 'remove'].map((name) => `setup ${name}`));

export const SETUPS: Own = {
  spec: SETUP,
  keeps: (message) => KEEPING.has(message.command) || (message.command === 'setup picture' && changesPictures(message)),
  before: async (pit, message) => {
    if (message.command === 'setup import') return importing(pit, message);
    return message.command === 'setup picture' ? pictured(pit, message) : null;
  },
  reply: setupReply,
  async suggest(_, archive, message, option) {
    const { club, member } = message.asker;
    if (option === 'truck' && message.command !== 'setup find') return archive.trucks({ club, member });
    if (!['name', 'a', 'b', 'c'].includes(option) || message.command === 'setup save') return [];
    const found = await archive.findSetups({ club, viewer: member, words: message.options[option] ?? '', limit: 25 });
    return [...new Set(found.setups.map(({ name }) => name))];
  },
};
