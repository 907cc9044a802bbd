/** Two setups side by side: only what differs, was and is. */
import type { ComparedGroup, ComparedLine, Field, NamedLink } from '../../../templates/bench/index.ts';
import { clean } from '../../../templates/clean.ts';
import { withinOff } from '../../../templates/setup.ts';
import { capital, nameWords } from '../../../templates/words.ts';
import type { ShownSetup } from '../../../worksheets/archive/types.ts';
import { compared } from '../../commands/compare.ts';
import { inOrder } from '../../commands/in-order.ts';
import type { Message } from '../../commands/types.ts';
import { type Bench, cardView, frame, notice, picture, pictureNamed, shelfFor } from './bench.ts';
import type { Sent } from './http.ts';

const MOST_OFFERED = 25;
const name = (text: string): string => clean(text, { graphemes: 60 });

/** One of the two: its number, and an earlier revision where that is meant. */
interface Which {
  readonly id: number;
  readonly rev?: number;
}
function whichIn(query: URLSearchParams, side: 'a' | 'b'): Which | null {
  const id = query.get(side) ?? '';
  const rev = query.get(`${side}_rev`) ?? '';
  if (!/^[1-9]\d{0,8}$/.test(id) || !/^(?:[1-9]\d{0,8})?$/.test(rev)) return null;
  return { id: Number(id), ...(rev === '' ? {} : { rev: Number(rev) }) };
}

/** The address of a comparison. */
export function comparing(a: Which, b: Which): string {
  const side = (key: string, { id, rev }: Which): Record<string, string> => ({
    [key]: String(id),
    ...(rev === undefined ? {} : { [`${key}_rev`]: String(rev) }),
  });
  return `/setups/compare?${new URLSearchParams({ ...side('a', a), ...side('b', b) })}`;
}

/** The same question as in chat: "4", "1 rev 2". */
const asking = (bench: Bench, a: Which, b: Which): Message => {
  const side = ({ id, rev }: Which): string => `${id}${rev === undefined ? '' : ` rev ${rev}`}`;
  return { command: 'setup compare', options: { a: side(a), b: side(b) }, asker: bench.asker };
};

export async function compareSetups(bench: Bench, query: URLSearchParams): Promise<Sent> {
  const { archive, sheets } = bench.house;
  const links = [{ href: '/setups', label: 'All setups' }];
  if (!archive) return notice(bench, 404, { heading: 'The archive is off', sentences: ['Nothing can be kept or found.'] });
  const [a, b] = [whichIn(query, 'a'), whichIn(query, 'b')];
  if (a === null || b === null)
    return notice(bench, 404, {
      heading: 'Two setups are needed',
      sentences: ['Open one of them, and choose what to hold it against.'],
      links,
    });
  const reply = await bench.look.answer(asking(bench, a, b));
  const found: ShownSetup[] = [];
  for (const which of [a, b]) {
    const shown = await archive.showSetup({ club: bench.asker.club, member: bench.asker.member, ...which });
    if (shown.kind === 'problems')
      return notice(bench, 404, { heading: 'No such setup', sentences: shown.problems.map(({ text }) => text), links });
    found.push({ ...shown, doc: inOrder(sheets, shown.doc) });
  }
  const { conditions, readings, answers } = compared(shelfFor(bench), found);
  const called = found.map(({ doc }) => name(doc.name));
  const groups: Omit<ComparedGroup, 'id'>[] = [
    { title: 'Conditions: not like for like, they differ too', lines: conditions.map(lineOf), faint: [] },
    { title: 'Readings', lines: readings.map(lineOf), faint: [] },
    ...[...new Set(answers.map(({ what }) => what ?? ''))].map((what) => {
      const rows = answers.filter((row) => (row.what ?? '') === what);
      const open = rows.filter((row) => row.hero || !withinOff(row));
      return {
        title: clean(what, { graphemes: 60 }),
        lines: [...open.filter(({ hero }) => hero), ...open.filter(({ hero }) => !hero)].map(lineOf),
        faint: rows.filter((row) => !open.includes(row)).map(lineOf),
      };
    }),
  ].filter(({ lines, faint }) => lines.length + faint.length > 0);
  const heading = called[0] === called[1] ? `${called[0]}, then and now` : `${called[0]} and ${called[1]}`;
  const html = bench.pages.page({
    kind: 'compare',
    ...frame(bench, `${heading}, compared`, 'setups'),
    heading,
    sides: found.map((shown, i) => sideOf(bench, shown, i === 0 ? 'was' : 'is')),
    card: cardView(reply.card, '/setups/compare/card', comparing(a, b).split('?')[1]!, false),
    groups: groups.map((group, i) => ({ ...group, id: `group-${i}` })),
    nothing: groups.length === 0 ? 'They differ in nothing.' : answers.length === 0 ? 'No answer differs.' : null,
    turned: comparing(b, a),
    text: reply.text,
  });
  return { kind: 'page', html };
}

/** The card of a comparison; null where the address names none. */
export async function comparedCard(bench: Bench, file: string, query: URLSearchParams): Promise<Sent | null> {
  const wanted = pictureNamed(file, bench.house.theme);
  const [a, b] = [whichIn(query, 'a'), whichIn(query, 'b')];
  if (wanted?.name !== 'card' || a === null || b === null) return null;
  return picture(await bench.looking[wanted.theme].answer(asking(bench, a, b)));
}

function sideOf(bench: Bench, { id, doc, revision, newest, private: hidden }: ShownSetup, column: 'was' | 'is') {
  const about = [
    name(doc.truck),
    `revision ${revision.rev} of ${newest}`,
    bench.day(revision.at),
    name(revision.author.name),
    ...(hidden ? ['private'] : []),
  ];
  return {
    column,
    href: revision.rev === newest ? `/setups/${id}` : `/setups/${id}?rev=${revision.rev}`,
    name: name(doc.name),
    about: about.filter(Boolean).join(' · '),
  };
}

const lineOf = (row: { readonly name: string; readonly values: readonly (string | null)[] }): ComparedLine => {
  const value = (text: string | null | undefined): string => (text === null || text === undefined ? '–' : clean(text, { graphemes: 120 }));
  return { name: capital(nameWords(row.name)), was: value(row.values[0]), is: value(row.values[1]) };
};

/** What a setup can be held against: those of its own truck first. */
export async function comparedWith(
  bench: Bench,
  { id, doc, revision, newest }: ShownSetup,
): Promise<{
  readonly fields: readonly Field[];
  readonly hidden: readonly { name: string; value: string }[];
  readonly links: readonly NamedLink[];
} | null> {
  const { club, member } = bench.asker;
  const found = await bench.house.archive!.findSetups({ club, viewer: member, words: '', limit: 2 * MOST_OFFERED });
  const own = (truck: string): number => (truck === doc.truck ? 0 : 1);
  const others = found.setups
    .filter((one) => one.id !== id)
    .sort((a, b) => own(a.truck) - own(b.truck))
    .slice(0, MOST_OFFERED);
  const links: NamedLink[] = [
    ...(revision.rev > 1
      ? [{ href: comparing({ id, rev: revision.rev - 1 }, { id, rev: revision.rev }), label: 'With the revision before' }]
      : []),
    ...(revision.rev > 2 ? [{ href: comparing({ id, rev: 1 }, { id, rev: revision.rev }), label: 'With the first revision' }] : []),
    ...(revision.rev < newest ? [{ href: comparing({ id, rev: revision.rev }, { id }), label: 'With the newest revision' }] : []),
  ];
  if (others.length === 0 && links.length === 0) return null;
  const choose: Field = {
    kind: 'select-field',
    id: 'c-b',
    name: 'b',
    label: 'Another setup',
    hints: [],
    known: null,
    problems: [],
    describedBy: null,
    choices: others.map((one, i) => ({
      id: `c-b-${i}`,
      value: String(one.id),
      label: `${name(one.name)} · ${name(one.truck)} · ${name(one.member.name)}`,
      chosen: i === 0,
    })),
  };
  return {
    fields: others.length === 0 ? [] : [choose],
    hidden: [{ name: 'a', value: String(id) }, ...(revision.rev < newest ? [{ name: 'a_rev', value: String(revision.rev) }] : [])],
    links,
  };
}
