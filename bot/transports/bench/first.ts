/** The first page, the line of chat, and help: ways to the sheets for who does not know their names. */
import type { CommandHelp, LineForm, LineLink, SheetLink } from '../../../templates/bench/index.ts';
import { clean } from '../../../templates/clean.ts';
import { exampleLine, type Found, lookUp, optionText } from '../../commands/help.ts';
import { messageFrom } from '../../commands/index.ts';
import { ownOf, type Topic, topicsAbout, topicsOf } from '../../commands/topics.ts';
import type { Message } from '../../commands/types.ts';
import { type Bench, frame, grouped, reading, sheetLink, truckOf } from './bench.ts';
import { addressOf } from './form.ts';
import type { Sent } from './http.ts';
import { savedAs, setupLink } from './setups.ts';
import { askSheet } from './sheets.ts';
import { truckAddress } from './trucks.ts';

const MOST_FIRST = 10;
const NEWEST = 5;
const MOST_FOUND = 6;
/** Characters of a question in plain words. */
const MOST_ASKED = 400;

function lineForm(bench: Bench, value = ''): LineForm {
  const sheets = [...bench.house.sheets.values()].filter((sheet) => Object.keys(sheet.example).length > 0);
  // The shortest habit to copy: a row of bare values that is all its sheet needs.
  const row = sheets.find(
    ({ first, quick, readings, example }) =>
      first &&
      quick.length > 0 &&
      quick.every((name) => name in example) &&
      readings.every(({ required, name }) => !required || quick.includes(name)),
  );
  const example = row ? [row.name, ...row.quick.map((name) => row.example[name]!)].join(' ') : sheets[0] ? exampleLine(sheets[0]) : 'help';
  return { value: value.slice(0, 10_000), example };
}

export async function firstPage(bench: Bench): Promise<Sent> {
  const { archive, sheets } = bench.house;
  const leads = [...sheets.values()].filter(({ first }) => first).slice(0, MOST_FIRST);
  const newest =
    archive &&
    (await reading(bench, () => archive.findSetups({ club: bench.asker.club, viewer: bench.asker.member, words: '', limit: NEWEST }), {
      setups: [],
      more: false,
    }));
  const html = bench.pages.page({
    kind: 'first',
    ...frame(bench, null, 'sheets'),
    line: lineForm(bench),
    leads: leads.map(sheetLink),
    groups: grouped([...sheets.values()].filter((sheet) => !leads.includes(sheet))),
    archive: newest && { setups: newest.value.setups.map((setup) => setupLink(bench, setup)), trouble: newest.trouble },
  });
  return { kind: 'page', html };
}

// ── the line ────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

interface Said {
  readonly problems: readonly string[];
  /** What a command has to say. */
  readonly said?: string;
  readonly found?: readonly Topic[];
}
function linePage(bench: Bench, line: string, { problems, said, found = [] }: Said, status: number): Sent {
  const html = bench.pages.page({
    kind: 'line',
    ...frame(bench, problems.length > 0 ? 'Ask in a line: this needs another look' : 'Ask in a line', null),
    line: lineForm(bench, line),
    problems: problems.map((text) => ({ text, href: '#line' })),
    said: said ?? null,
    found: found.map(topicLink),
  });
  return { kind: 'page', status, html };
}

export const lookAtLine = (bench: Bench, query: URLSearchParams): Sent => linePage(bench, query.get('line') ?? '', { problems: [] }, 200);

/** A line as in chat leads to the page that says the same: asked and kept like there. */
export async function askLine(bench: Bench, fields: URLSearchParams): Promise<Sent> {
  const { asker, house } = bench;
  const { archive, sheets } = house;
  const line = (fields.get('line') ?? '').trim();
  if (line === '') return { kind: 'redirect', to: '/' };
  const read = messageFrom(line, sheets, bench.look.specs);
  if ('problems' in read) return linePage(bench, line, { problems: read.problems.map(({ text }) => text) }, 422);
  const { command, options } = read.message;

  const sheet = sheets.get(command);
  if (sheet) return askSheet(bench, sheet, new URLSearchParams({ ...options }));
  if (command === 'help') return { kind: 'redirect', to: withQuery('/help', { about: (options.about ?? '').slice(0, MOST_ASKED) }) };
  // Whose, of which truck, on what: the page of setups asks for words and numbers only.
  if (archive && command === 'setup find' && Object.keys(options).every((name) => name === 'words'))
    return { kind: 'redirect', to: withQuery('/setups', { words: options.words ?? '' }) };
  if (archive && command === 'setup save') return savedAs(bench, archive, options);
  if (archive && command === 'truck list' && !options.of) return { kind: 'redirect', to: '/trucks' };
  const message: Message = { ...read.message, asker };
  if (archive && command === 'setup show' && options.name?.trim()) {
    const reply = await bench.look.answer(message);
    const id = reply.kind === 'problems' ? null : await numberOf(bench, options.name.trim());
    if (id === null) return linePage(bench, line, { problems: reply.text.split('\n') }, 422);
    return { kind: 'redirect', to: withQuery(`/setups/${id}`, { rev: options.rev ?? '' }) };
  }

  if (archive && command === 'truck show' && !options.of && !options.fact) {
    const truck = await truckOf(bench, archive, options);
    if ((await archive.truckBook({ club: asker.club, member: asker.member, truck })).kind === 'truck')
      return { kind: 'redirect', to: truckAddress(truck) };
  }

  if (bench.look.specs.some(({ name }) => name === command.split(' ')[0])) {
    // One of the house's own, which has no page: done as in chat, and what it says stands above the line.
    const reply = await bench.keeping.answer(message);
    const slipped = reply.kind === 'problems';
    return linePage(
      bench,
      slipped ? line : '',
      slipped ? { problems: reply.text.split('\n') } : { problems: [], said: reply.text },
      slipped ? 422 : 200,
    );
  }

  const found = topicsAbout(topicsOf(sheets, bench.look.specs), line).slice(0, MOST_FOUND);
  const reply = await bench.look.answer(message);
  return linePage(bench, line, { problems: reply.text.split('\n'), found }, 422);
}

async function numberOf({ asker: { club, member }, house: { archive } }: Bench, name: string): Promise<number | null> {
  if (/^\d{1,9}$/.test(name)) return Number(name);
  const shown = await archive!.showSetup({ club, name, member });
  return shown.kind === 'setup' ? shown.id : null;
}

function withQuery(path: string, query: Readonly<Record<string, string>>): string {
  const given = Object.entries(query).filter(([, value]) => value !== '');
  return given.length > 0 ? `${path}?${new URLSearchParams(given)}` : path;
}

// ── help ────────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const aboutAddress = (about: string): string => withQuery('/help', { about });
const lineLink = (line: string): LineLink => ({ line: `/${line}`, href: withQuery('/line', { line }) });

const topicLink = ({ name, summary, asks, of }: Topic): SheetLink =>
  'sheet' in of
    ? sheetLink(of.sheet)
    : { href: aboutAddress(name), title: `/${name}`, summary, ask: asks[0] ?? summary, asks: asks.slice(1) };

function commandHelp(found: Found): CommandHelp | null {
  if (found.kind === 'family') {
    const { spec, subcommands } = found;
    return {
      name: `/${spec.name}`,
      description: spec.description,
      asks: [],
      subcommands: subcommands.map(({ name, description, examples }) => ({
        of: aboutAddress(`${spec.name} ${name}`),
        name: `/${spec.name} ${name}`,
        description,
        line: `/${examples?.[0] ?? `${spec.name} ${name}`}`,
      })),
      options: [],
      examples: [],
    };
  }
  if (found.kind !== 'command') return null;
  const { description, asks = [], options, examples = [] } = found.command;
  return {
    name: `/${found.name}`,
    description,
    asks,
    subcommands: [],
    options: options.map((option) => ({ name: option.name, text: optionText(option) })),
    examples: examples.map(lineLink),
  };
}

export async function help(bench: Bench, query: URLSearchParams): Promise<Sent> {
  const { sheets } = bench.house;
  const { specs } = bench.look;
  const about = (query.get('about') ?? '').trim().slice(0, MOST_ASKED);
  const found = lookUp(sheets, specs, about);
  if (found.kind === 'sheet') return { kind: 'redirect', to: addressOf(found.sheet) };
  const nothing =
    found.kind === 'nothing' ? (await bench.look.answer({ command: 'help', options: { about }, asker: bench.asker })).text : null;
  const html = bench.pages.page({
    kind: 'help',
    ...frame(bench, about === '' ? 'Help' : `${clean(about, { graphemes: 60 })} · Help`, 'help'),
    about,
    found: found.kind === 'topics' ? found.topics.map(topicLink) : null,
    command: commandHelp(found),
    nothing,
    commands: ownOf(sheets, specs).map(({ name, description }) => ({
      href: aboutAddress(name),
      title: `/${name}`,
      summary: description,
      ask: description,
      asks: [],
    })),
    groups: grouped([...sheets.values()]),
    line: lineForm(bench),
  });
  return { kind: 'page', html };
}
