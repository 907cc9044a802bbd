/** The club's trucks as pages: what one answers, what to measure next, what is known of it and since when, what it has run. */
import { answerView, type FactRow, type Field, type NamedLink, type TruckLink } from '../../../templates/bench/index.ts';
import { clean } from '../../../templates/clean.ts';
import { stripText } from '../../../templates/run.ts';
import {
  balanceText,
  beneathText,
  type FactView,
  measuredText,
  partAbout,
  partMass,
  partName,
  staleText,
  type TruckView,
  truckText,
  twoWaysText,
} from '../../../templates/truck.ts';
import { capital, nameWords } from '../../../templates/words.ts';
import type { Archive, MemberName, SetupSummary, TruckBook, TruckSummary } from '../../../worksheets/archive/types.ts';
import type { Problem } from '../../../worksheets/engine/types.ts';
import type { Job } from '../../../worksheets/engine/unlock.ts';
import { runView } from '../../commands/run.ts';
import { standingOf } from '../../commands/standing.ts';
import type { Message, Reply } from '../../commands/types.ts';
import { titleOfJob, truckView } from '../../commands/views.ts';
import { type Bench, cardView, frame, notice, picture, pictureNamed, reading, shelfFor } from './bench.ts';
import { addressOf } from './form.ts';
import type { Sent } from './http.ts';
import { queryOf } from './question.ts';
import { setupLink } from './setups.ts';

const MOST_RUNS = 30;
const MOST_SETUPS = 30;
const off = (bench: Bench): Sent =>
  notice(bench, 404, { heading: 'The archive is off', sentences: ['Nothing can be kept or found. Questions are answered all the same.'] });

/** The address of a truck; of another member's with whose it is. A name that no piece of a path can be stands in the query. */
export function truckAddress(truck: string, of?: string): string {
  const inPath = !/[/\\]|^\.{1,2}$/.test(truck);
  const query = new URLSearchParams({ ...(inPath ? {} : { name: truck }), ...(of === undefined ? {} : { of }) });
  return `${inPath ? `/trucks/${encodeURIComponent(truck)}` : '/truck'}${query.size > 0 ? `?${query}` : ''}`;
}

// ── all trucks ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export async function listTrucks(bench: Bench): Promise<Sent> {
  const { archive } = bench.house;
  if (!archive) return off(bench);
  const { club, member } = bench.asker;
  const read = async () => {
    const own = await archive.truckList({ club, member, viewer: member });
    const others: { readonly member: MemberName; readonly trucks: readonly TruckSummary[] }[] = [];
    for (const other of await archive.members({ club })) {
      if (other.id === member) continue;
      const { trucks } = await archive.truckList({ club, member: other.id, viewer: member });
      if (trucks.length > 0) others.push({ member: other, trucks });
    }
    return { own, others };
  };
  const { value, trouble } = await reading(bench, read, null);
  const html = bench.pages.page({
    kind: 'trucks',
    ...frame(bench, 'Trucks', 'trucks'),
    trucks: value?.own.trucks.map((truck) => truckLink(bench, truck)) ?? [],
    offered:
      value?.own.offered.map(
        ({ truck, from }) =>
          `${clean(truck, { graphemes: 60 })}, from ${clean(from.name)}: write “truck take ${clean(truck, { graphemes: 60 })}”`,
      ) ?? [],
    others:
      value?.others.map(({ member: other, trucks }, i) => ({
        id: `of-${i}`,
        name: `Of ${clean(other.name, { graphemes: 60 })}`,
        trucks: trucks.map((truck) => truckLink(bench, truck, other.id)),
      })) ?? [],
    nothing:
      trouble ?? (value?.own.trucks.length === 0 ? 'You have no truck here yet. Ask a sheet and name one: it is made by that.' : null),
  });
  return { kind: 'page', status: trouble === null ? 200 : 503, html };
}

function truckLink(bench: Bench, truck: TruckSummary, of?: string): TruckLink {
  const counts = [
    truck.facts === 0 ? 'nothing known' : `${truck.facts} fact${truck.facts === 1 ? '' : 's'}`,
    ...(truck.given > 0 ? [`${truck.given} just given`] : []),
    ...(truck.parts > 0 ? [`${truck.parts} part${truck.parts === 1 ? '' : 's'}`] : []),
    ...(truck.setups > 0 ? [`${truck.setups} setup${truck.setups === 1 ? '' : 's'}`] : []),
    bench.day(truck.at),
    ...(truck.offeredTo === null ? [] : [`offered to ${clean(truck.offeredTo.name)}`]),
  ];
  return {
    href: truckAddress(truck.truck, of),
    name: clean(truck.truck, { graphemes: 60 }),
    about: counts.join(' · '),
    current: truck.current && of === undefined,
  };
}

// ── one truck ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────

interface Slipped {
  readonly problems: readonly Problem[];
  /** What was typed, to be mended. */
  readonly fields: URLSearchParams;
}

export async function showTruck(bench: Bench, name: string, query: URLSearchParams, slipped?: Slipped): Promise<Sent> {
  const { archive } = bench.house;
  if (!archive) return off(bench);
  const { club, member } = bench.asker;
  const of = query.get('of')?.trim() || member;
  const book = await archive.truckBook({ club, member: of, truck: name });
  if (book.kind === 'problems')
    return notice(bench, 404, {
      heading: 'No such truck',
      sentences: of === member ? book.problems.map(({ text }) => text) : ['The club has no truck of this name, or it is somebody else’s.'],
      links: [{ href: '/trucks', label: 'All trucks' }],
    });
  const own = of === member;
  const hours = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', timeZone: bench.house.zone });
  const shelf = shelfFor(bench);
  const standing = standingOf(shelf, book);
  const view = truckView(shelf, book, standing, own);
  const pictured = new URLSearchParams({ name: book.truck, ...(own ? {} : { of }) }).toString();
  const current = own && (await archive.currentTruck({ club, member })) === book.truck;
  const runs = await archive.runs({ club, member: of, truck: book.truck, limit: MOST_RUNS + 1 });
  const link = ({ sheet, end }: Job): NamedLink => ({
    label: titleOfJob({ sheet, end }),
    href: own ? `${addressOf(sheet)}?${queryOf(sheet, { truck: book.truck, ...(end === null ? {} : { end }) })}#answer` : null,
  });
  const options = { for: 'terminal', day: bench.day } as const;
  const facts = view.facts.map((fact) => [fact, factRow(bench, fact)] as const);
  const shown = runs.kind === 'runs' ? runs.runs.map((run, i) => runView({ shelf }, run, runs.runs.slice(0, i))) : [];
  const strips = shown.slice(shown.length > MOST_RUNS ? 1 : 0).reverse();
  const earlier = runs.kind === 'runs' ? runs.earlier + shown.length - strips.length : 0;
  const html = bench.pages.page({
    kind: 'truck',
    ...frame(bench, `${clean(book.truck, { graphemes: 60 })} · Trucks`, 'trucks'),
    heading: clean(book.truck, { graphemes: 60 }),
    about: aboutText(book, own, current),
    card: cardView(cardOf(bench, bench.house.theme, view), '/truck/card', pictured, false),
    action: truckAddress(book.truck),
    own,
    current,
    problems: slipped?.problems.map(({ text }) => ({ text, href: slipped.fields.get('act') === 'set' ? '#t-facts' : null })) ?? [],
    starts:
      book.facts.size === 0 && own
        ? [...bench.house.sheets.values()]
            .filter(({ first }) => first)
            .slice(0, 6)
            .map((sheet) => ({
              href: `${addressOf(sheet)}?${queryOf(sheet, { truck: book.truck })}`,
              ask: sheet.asks[0] ?? sheet.summary,
              title: sheet.title,
            }))
        : [],
    answers: standing.answers.map(({ job, answer }) => ({ link: link(job), row: answerView(answer).hero })),
    stale: view.standing.stale.map((one) => clean(staleText(one, options), { graphemes: 400 })),
    twoWays: view.standing.twoWays.map((one) => clean(twoWaysText(one), { graphemes: 400 })),
    troubled: view.standing.troubled.map(({ title, text }) => clean(`${title}: ${text}`, { graphemes: 400 })),
    unlocks:
      book.facts.size === 0
        ? []
        : standing.unlocks
            .filter(({ jobs }) => jobs.length > 0)
            .map(({ fact, reading: spec, jobs }) => ({ fact: capital(nameWords(fact)), label: spec.label, sheets: jobs.map(link) })),
    bring: (book.facts.size === 0 ? view.startsWith : view.standing.bring).join(', ') || null,
    given: facts.filter(([{ kept }]) => !kept).map(([, row]) => row),
    known: facts.filter(([{ kept }]) => kept).map(([, row]) => row),
    how: howField('k-how', 'How you know it'),
    tell: tellFields(slipped),
    balance: book.parts.length === 0 ? null : capital(balanceText(view.parts)),
    parts: view.parts.parts.map((part) => ({
      name: clean(partName(part), { graphemes: 60 }),
      value: partMass(part),
      about: clean(partAbout(part), { graphemes: 300 }),
    })),
    further:
      book.facts.size === 0
        ? []
        : standing.missing
            .filter(({ facts: lacks }) => lacks.length > 1)
            .map(({ job, facts: lacks }) => ({ sheet: link(job), lacks: lacks.map(nameWords).join(', ') })),
    setups: (await setupsOf(bench, archive, book)).map((setup) => setupLink(bench, setup)),
    runs: strips.map((run) => {
      const [head, ...lines] = stripText(run, { day: bench.day, hour: (at) => hours.format(at) });
      return { head: clean(head!, { graphemes: 300 }), lines: lines.map((line) => clean(line, { graphemes: 600 })) };
    }),
    earlier: earlier > 0 ? `and ${earlier} earlier` : null,
    text: truckText(view, options),
  });
  return { kind: 'page', status: slipped ? 422 : 200, html };
}

function cardOf({ house: { cards, clock }, day }: Bench, theme: Bench['house']['theme'], view: TruckView): Reply['card'] {
  const portrait = cards?.ready ? cards.portrait.of.truck(view, day(clock())) : null;
  return portrait === null
    ? undefined
    : { png: () => cards!.portrait.png(portrait, theme), alt: portrait.alt, name: `${portrait.name}.png` };
}

export async function truckCard(bench: Bench, file: string, query: URLSearchParams): Promise<Sent | null> {
  const wanted = pictureNamed(file, bench.house.theme);
  const { archive } = bench.house;
  if (wanted?.name !== 'card' || !archive) return null;
  const { club, member } = bench.asker;
  const of = query.get('of')?.trim() || member;
  const book = await archive.truckBook({ club, member: of, truck: query.get('name') ?? '' });
  if (book.kind === 'problems') return null;
  const shelf = shelfFor(bench);
  const card = cardOf(bench, wanted.theme, truckView(shelf, book, standingOf(shelf, book), of === member));
  return card ? picture({ kind: 'words', text: '', visibility: 'public', card }) : null;
}

/** Those of this truck that whoever looks may see, newest first. */
async function setupsOf(bench: Bench, archive: Archive, { truck, member: owner }: TruckBook): Promise<readonly SetupSummary[]> {
  const { club, member: viewer } = bench.asker;
  const { setups } = await archive.findSetups({ club, viewer, words: '', facets: { truck, owner: owner.name }, limit: MOST_SETUPS });
  return setups.filter((setup) => setup.truck === truck && setup.member.id === owner.id);
}

const aboutText = (book: TruckBook, own: boolean, current: boolean): string =>
  [
    own ? 'yours' : clean(book.member.name, { graphemes: 60 }),
    ...(current ? ['the current one'] : []),
    book.facts.size === 0 ? 'nothing is known yet' : `${book.facts.size} fact${book.facts.size === 1 ? '' : 's'}`,
    ...(book.offeredTo === null ? [] : [`offered to ${clean(book.offeredTo.name)}`]),
  ].join(' · ');

function factRow(bench: Bench, fact: FactView): FactRow {
  const remarks = [fact.said, fact.note, fact.beneath === null ? null : `kept is ${beneathText(fact.beneath)}`].filter(
    (one) => one !== null,
  );
  return {
    name: capital(nameWords(fact.fact)),
    value: clean(measuredText(fact), { graphemes: 400 }),
    about: `${fact.how} ${bench.day(fact.at)}, ${clean(fact.by)}`,
    remark: remarks.length === 0 ? null : clean(remarks.join(' · '), { graphemes: 200 }),
  };
}

// ── forms ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const HOWS = ['measured', 'stated', 'assumed'] as const;
const howField = (id: string, label: string, chosen = 'measured'): Field => ({
  kind: 'radio-field',
  id,
  name: 'how',
  label,
  hints: [],
  known: null,
  problems: [],
  describedBy: null,
  choices: HOWS.map((how) => ({ id: `${id}-${how}`, value: how, label: how, chosen: how === chosen })),
});

function tellFields(slipped: Slipped | undefined): readonly Field[] {
  const about = slipped?.fields.get('act') === 'set' ? slipped : undefined;
  const problems = about?.problems.map(({ text }) => text) ?? [];
  return [
    {
      kind: 'list-field',
      id: 't-facts',
      name: 'facts',
      label: 'Readings',
      hints: ['name:value, as many as you like: wheelbase:330 rear_spring_rate:0.45'],
      known: null,
      problems,
      describedBy: problems.length > 0 ? 't-facts-problem t-facts-hint' : 't-facts-hint',
      value: about?.fields.get('facts') ?? '',
      rows: 2,
    },
    howField('t-how', 'How you know them', about?.fields.get('how') ?? 'measured'),
  ];
}

const ACTS: Readonly<Record<string, string>> = { keep: 'keep', set: 'truck set', refresh: 'truck refresh', use: 'truck use' };

/** What a form of the page does: the same commands as in chat; then the page as it is after that. */
export async function changeTruck(bench: Bench, name: string, fields: URLSearchParams): Promise<Sent> {
  if (!bench.house.archive) return off(bench);
  const command = ACTS[fields.get('act') ?? ''];
  if (command === undefined)
    return notice(bench, 400, {
      heading: 'Not like that',
      sentences: ['This form says nothing that can be done.'],
      links: [{ href: truckAddress(name), label: 'Back to the truck' }],
    });
  const given = Object.fromEntries(
    ['how', 'facts'].flatMap((one) => (fields.get(one)?.trim() ? [[one, fields.get(one)!.replace(/\s+/g, ' ').trim()]] : [])),
  );
  const options: Message['options'] = command === 'truck use' ? { name } : { ...given, truck: name };
  const reply = await bench.keeping.answer({ command, options, asker: bench.asker });
  if (reply.kind === 'problems') return showTruck(bench, name, new URLSearchParams(), { problems: reply.problems ?? [], fields });
  return { kind: 'redirect', to: truckAddress(name) };
}
