/** The club's archive: found, shown again, kept. */
import { createHash, randomUUID } from 'node:crypto';
import {
  answerView,
  type FactRow,
  type Field,
  type LineField,
  type ListField,
  type SaveForm,
  type SetupLink,
} from '../../../templates/bench/index.ts';
import { clean } from '../../../templates/clean.ts';
import { conditionsText } from '../../../templates/setup.ts';
import { setupRunText } from '../../../templates/setup-runs.ts';
import { measuredText } from '../../../templates/truck.ts';
import { capital, nameWords, titleOf } from '../../../templates/words.ts';
import type { Archive, End, NumberBetween, SetupFact, SetupSummary, SheetRecord, ShownSetup } from '../../../worksheets/archive/types.ts';
import { factName } from '../../../worksheets/engine/ask.ts';
import type { Problem } from '../../../worksheets/engine/types.ts';
import { numbersText } from '../../commands/found-numbers.ts';
import { inOrder } from '../../commands/in-order.ts';
import { readLooked } from '../../commands/query.ts';
import { revisionViews } from '../../commands/revision-changes.ts';
import { setupRunViews } from '../../commands/setup-runs.ts';
import type { Message, Reply } from '../../commands/types.ts';
import { measuredView } from '../../commands/views.ts';
import { namedOwner } from '../../commands/whose-setups.ts';
import { type Bench, cardView, frame, notice, picture, pictureNamed, reading, shelfFor, truckInWords, truckOf } from './bench.ts';
import { comparedWith, comparing } from './compare.ts';
import { addressOf } from './form.ts';
import { importForm } from './handed-in.ts';
import { MOST_BYTES, type Sent } from './http.ts';
import { picturesOf } from './pictures.ts';
import { queryOf } from './question.ts';
import { fileLinks } from './setup-files.ts';

const ON_A_PAGE = 20;
const MOST_PAGES = 10_000;

/** `numbers`: those it was found by. */
export function setupLink(bench: Bench, setup: SetupSummary, numbers: readonly string[] = []): SetupLink {
  const name = (text: string): string => clean(text, { graphemes: 60 });
  return {
    href: `/setups/${setup.id}`,
    name: name(setup.name),
    about: [
      name(setup.truck),
      name(setup.member.name),
      bench.day(setup.at),
      ...(setup.rev > 1 ? [`revision ${setup.rev}`] : []),
      `number ${setup.id}`,
      ...numbers,
    ].join(' · '),
    sheets: setup.sheets.map((sheet) => bench.house.sheets.get(sheet)?.title ?? clean(sheet)).join(', '),
    tags: setup.tags.length > 0 ? setup.tags.map(name).join(', ') : null,
    hidden: setup.private,
  };
}

const off = (bench: Bench): Sent =>
  notice(bench, 404, { heading: 'The archive is off', sentences: ['Nothing can be kept or found. Questions are answered all the same.'] });

// ── finding ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export async function findSetups(bench: Bench, query: URLSearchParams): Promise<Sent> {
  const { archive } = bench.house;
  if (!archive) return off(bench);
  const words = (query.get('words') ?? '').trim().slice(0, 400);
  const asked = Number(query.get('page') ?? 1);
  const page = Number.isInteger(asked) ? Math.min(Math.max(asked, 1), MOST_PAGES) : 1;
  const nothing = { setups: [], more: false };
  const by = await namedOwner(archive, bench.asker.club, words).catch(() => null);
  const looked = readLooked(bench.house, by?.rest ?? words);
  const slips = looked.problems.map(({ text }) => text).join(' ');
  const what = {
    club: bench.asker.club,
    viewer: bench.asker.member,
    words: looked.words,
    numbers: looked.numbers,
    ...(by === null ? {} : { facets: { owner: by.owner } }),
  };
  const { value, trouble } = await reading(
    bench,
    async () => (slips === '' ? archive.findSetups({ ...what, limit: ON_A_PAGE, offset: (page - 1) * ON_A_PAGE }) : nothing),
    nothing,
  );
  const at = (number: number): string =>
    `/setups?${new URLSearchParams({ ...(words === '' ? {} : { words }), ...(number > 1 ? { page: String(number) } : {}) })}`.replace(
      /\?$/,
      '',
    );
  const heading = words === '' ? "The club's setups, newest first" : `Setups with “${clean(words, { graphemes: 60 })}”`;
  const none =
    words === '' ? 'Nothing is kept yet. Ask a sheet, then keep its truck as a setup.' : 'No setup of this club holds these words.';
  const beyond = page > 1 ? 'The list ends before this page.' : none;
  const html = bench.pages.page({
    kind: 'setups',
    ...frame(bench, heading, 'setups'),
    heading,
    words,
    setups: await Promise.all(
      value.setups.map(async (setup) => setupLink(bench, setup, await numbersOf(bench, archive, setup, looked.numbers))),
    ),
    nothing: trouble ?? (slips || (value.setups.length === 0 ? beyond : null)),
    paged: page > 1 || value.more,
    before: page > 1 ? at(page - 1) : null,
    after: value.more ? at(page + 1) : null,
    handIn: importForm(),
  });
  return { kind: 'page', status: trouble === null ? 200 : 503, html };
}

async function numbersOf(bench: Bench, archive: Archive, { id }: SetupSummary, asked: readonly NumberBetween[]): Promise<string[]> {
  if (asked.length === 0) return [];
  const { club, member } = bench.asker;
  const shown = await archive.showSetup({ club, member, id });
  return shown.kind === 'setup' ? numbersText(bench.house, asked, shown.doc) : [];
}

// ── showing ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const showing = (bench: Bench, id: string, query: URLSearchParams, sheet?: string): Message => {
  const rev = query.get('rev');
  return {
    command: 'setup show',
    options: { name: id, ...(rev === null ? {} : { rev }), ...(sheet === undefined ? {} : { sheet }) },
    asker: bench.asker,
  };
};
const isNumber = (id: string): boolean => /^[1-9]\d{0,8}$/.test(id);
const notThere = (bench: Bench, text: string): Sent =>
  notice(bench, 404, { heading: 'No such setup', sentences: text.split('\n'), links: [{ href: '/setups', label: 'All setups' }] });

export async function showSetup(bench: Bench, id: string, query: URLSearchParams): Promise<Sent> {
  const { archive, sheets } = bench.house;
  if (!archive) return off(bench);
  if (!isNumber(id)) return notThere(bench, `There is no setup “${clean(id)}”. Setups have numbers.`);
  const reply = await bench.look.answer(showing(bench, id, query));
  if (reply.kind === 'problems') return notThere(bench, reply.text);
  const rev = query.get('rev');
  const which = { club: bench.asker.club, member: bench.asker.member, id: Number(id) };
  const shown = await archive.showSetup({ ...which, ...(rev === null ? {} : { rev: Number(rev) }) });
  const history = await archive.setupHistory(which);
  if (shown.kind === 'problems' || history.kind === 'problems') return notThere(bench, reply.text);

  const { revision, newest } = shown;
  const doc = inOrder(sheets, shown.doc);
  const name = (text: string): string => clean(text, { graphemes: 60 });
  const titled = (sheet: string, end: End): string => `${sheets.get(sheet)?.title ?? sheet}${end === null ? '' : `, ${end}`}: `;
  const about = [
    name(doc.truck),
    `revision ${revision.rev} of ${newest}`,
    bench.day(revision.at),
    name(revision.author.name),
    `number ${id}`,
  ];
  const html = bench.pages.page({
    kind: 'setup',
    ...frame(bench, `${name(doc.name)} · ${name(doc.truck)}`, 'setups'),
    heading: name(doc.name),
    about: about.join(' · '),
    newest: revision.rev < newest ? `/setups/${id}` : null,
    tags: doc.tags.map((tag) => ({ tag: name(tag), href: `/setups?${new URLSearchParams({ words: tag })}` })),
    notes: doc.notes === '' ? null : notesOf(doc.notes),
    hidden: shown.private,
    card: cardView(reply.card, `/setups/${id}/card`, rev === null ? '' : new URLSearchParams({ rev }).toString(), false),
    conditions: doc.conditions ? conditionsText(doc.conditions, name) : null,
    facts: doc.facts.map((fact) => factRow(bench, fact)),
    sheets: await Promise.all(
      doc.sheets.map(async (record) => {
        const called = record.end === null ? record.sheet : `${record.sheet} ${record.end}`;
        const { card } = await bench.look.answer(showing(bench, id, query, called));
        const pictured = new URLSearchParams({ ...(rev === null ? {} : { rev }), sheet: called }).toString();
        const answer = answerView(record.answer);
        return {
          id: `sheet-${called.replaceAll(' ', '-')}`,
          heading: answer.heading,
          hero: answer.hero,
          answer: { ...answer, hero: null },
          card: cardView(card, `/setups/${id}/card`, pictured, true),
          again: againLink(bench, shown, record),
        };
      }),
    ),
    history: revisionViews(history, titled).map((one) => ({
      href: one.rev === newest ? `/setups/${id}` : `/setups/${id}?rev=${one.rev}`,
      against:
        one.rev === revision.rev
          ? null
          : comparing({ id: shown.id, rev: Math.min(one.rev, revision.rev) }, { id: shown.id, rev: Math.max(one.rev, revision.rev) }),
      label: `Revision ${one.rev}`,
      about: [bench.day(one.at), name(one.author.name)].join(' · '),
      current: one.rev === revision.rev,
      notes: one.notes === '' || one.rev === revision.rev ? null : clean(one.notes, { graphemes: 200 }),
      changes: one.changes.map(({ what, was, is }) => ({ what: capital(clean(what, { graphemes: 100 })), was: name(was), is: name(is) })),
    })),
    compare: await comparedWith(bench, shown),
    files: fileLinks(id, rev),
    pictures: await picturesOf(bench, archive, shown),
    runs: setupRunViews(shown.runs).map((run) => clean(setupRunText(run, bench.day), { graphemes: 300 })),
    text: reply.text,
  });
  return { kind: 'page', html };
}

/** A reading as the setup has it; how it is known is said where it was not measured. */
function factRow(bench: Bench, fact: SetupFact): FactRow {
  const about = [
    ...(fact.how === undefined || fact.how === 'measured' ? [] : [fact.how]),
    ...(fact.said === undefined ? [] : [fact.said]),
    ...(fact.note ? [fact.note] : []),
  ];
  return {
    name: capital(nameWords(fact.fact)),
    value: clean(measuredText(measuredView(shelfFor(bench), fact.fact, fact)), { graphemes: 400 }),
    about: clean(about.join(' · '), { graphemes: 200 }),
    remark: null,
  };
}

/** Notes keep their lines. */
const notesOf = (notes: string): string =>
  notes
    .split('\n')
    .map((line) => clean(line, { graphemes: 600 }))
    .join('\n');

/** The question that a record answers, with what it had from the truck then. */
function againLink(
  bench: Bench,
  { doc, truck }: ShownSetup,
  { sheet: name, end, readings, answer }: SheetRecord,
): { href: string; label: string } | null {
  const sheet = bench.house.sheets.get(name);
  if (!sheet) return null;
  const typed = new Map(readings.map((one) => [one.name, one.typed]));
  for (const one of answer.readings) {
    const fact = factName(one.name, sheet, end);
    const known = one.from === 'truck' ? doc.facts.find((each) => each.fact === fact) : undefined;
    if (known && !typed.has(one.name)) typed.set(one.name, known.typed);
  }
  const known = new Set(sheet.readings.map((one) => one.name));
  const options = Object.fromEntries([...typed].filter(([reading]) => known.has(reading)));
  const query = queryOf(sheet, { truck, ...(end === null ? {} : { end }), ...options });
  return query.length > MOST_BYTES ? null : { href: `${addressOf(sheet)}?${query}#answer`, label: 'Ask again with these readings' };
}

export async function setupCard(bench: Bench, id: string, file: string, query: URLSearchParams): Promise<Sent | null> {
  const wanted = pictureNamed(file, bench.house.theme);
  if (wanted?.name !== 'card' || !isNumber(id)) return null;
  return picture(await bench.looking[wanted.theme].answer(showing(bench, id, query, query.get('sheet') ?? undefined)));
}

// ── keeping ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** The form below an answer that is the truck's last. */
export const saveForm = (truck: string, whose: string, latest: readonly SheetRecord[]): SaveForm =>
  makeForm({
    heading: `Keep ${whose} as a setup`,
    holds: `It holds what is known of ${whose} and its last answers: ${latest.map(({ answer }) => titleOf(answer)).join('; ')}.`,
    options: { truck },
    problems: [],
  });

interface SaveFormOf {
  readonly heading: string;
  readonly holds: string;
  readonly options: Message['options'] & { readonly truck: string };
  readonly problems: readonly Problem[];
}
function makeForm({ heading, holds, options, problems }: SaveFormOf): SaveForm {
  const about = (name: 'name' | 'notes' | 'tags', label: string, ...hints: string[]) => {
    const wrong = problems.filter(({ reading }) => reading === name).map(({ text }) => text);
    const id = `s-${name}`;
    const describedBy = [...(wrong.length > 0 ? [`${id}-problem`] : []), `${id}-hint`].join(' ');
    return { id, name, label, hints, known: null, problems: wrong, describedBy, value: options[name] ?? '' };
  };
  const line = (field: ReturnType<typeof about>): LineField => ({
    kind: 'line-field',
    inputmode: 'text',
    unit: null,
    suggestions: [],
    ...field,
  });
  const notes: ListField = { kind: 'list-field', rows: 4, ...about('notes', 'Notes', 'What you want to remember') };
  const fields: Field[] = [
    line(about('name', 'Name', 'What to call it: hard pan, evening', 'The same name again makes the next revision')),
    notes,
    line(about('tags', 'Tags', 'Words to find it by, separated by commas')),
  ];
  // Sent twice, by an impatient finger, it is kept once.
  const hidden = [
    { name: 'truck', value: options.truck },
    { name: 'once', value: randomUUID() },
  ];
  return { heading, holds, fields, hidden };
}

export async function keepSetup(bench: Bench, fields: URLSearchParams): Promise<Sent> {
  const { archive } = bench.house;
  if (!archive) return off(bench);
  const options: Record<string, string> = {};
  for (const name of ['name', 'truck', 'notes', 'tags']) {
    const value = fields.get(name)?.replace(/\r\n?/g, '\n');
    if (value?.trim()) options[name] = value;
  }
  const id = onceOf(fields.get('once'), options);
  return savedAs(bench, archive, options, id);
}

/** What makes two posts the same: the form they came from and what it said. Changed and sent again it is another. */
function onceOf(form: string | null, options: Message['options']): string | undefined {
  if (!form || !/^[0-9a-f-]{36}$/.test(form)) return undefined;
  return `bench:${form}:${createHash('sha256').update(JSON.stringify(options)).digest('hex').slice(0, 16)}`;
}

export async function savedAs(bench: Bench, archive: Archive, options: Message['options'], id?: string): Promise<Sent> {
  const { asker } = bench;
  const truck = await truckOf(bench, archive, options);
  const reply: Reply = await bench.keeping.answer({ command: 'setup save', options, asker, ...(id === undefined ? {} : { id }) });
  if (reply.kind === 'problems') {
    const problems = reply.problems ?? [];
    const known = ['name', 'notes', 'tags'];
    const html = bench.pages.page({
      kind: 'save',
      ...frame(bench, 'Keep a setup: this needs another look', 'setups'),
      problems: problems.map(({ reading, text }) => ({ text, href: reading !== null && known.includes(reading) ? `#s-${reading}` : null })),
      save: makeForm({
        heading: 'Keep a setup',
        holds: `Of ${truckInWords(truck)}.`,
        options: { ...options, truck },
        problems,
      }),
    });
    return { kind: 'page', status: 422, html };
  }
  const here = reply.setup;
  // Without a name the house has offered one, and what was asked again has to be read: the words say which.
  if (here !== undefined && options.name !== undefined && reply.remarks === undefined) return { kind: 'redirect', to: `/setups/${here}` };
  const links = [
    ...(here === undefined ? [] : [{ href: `/setups/${here}`, label: 'The setup' }]),
    { href: '/setups', label: 'All setups' },
  ];
  return notice(bench, 200, { heading: 'Kept', sentences: capital(reply.text).split('\n'), links });
}
