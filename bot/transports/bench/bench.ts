/** What the pages share: the house, who sits at the bench, the two kinds of commands, and what every page starts with. */

import type { CardView, Frame, NoticePage, Pages, SheetLink } from '../../../templates/bench/index.ts';
import { canvas } from '../../../templates/card/theme.ts';
import { clean } from '../../../templates/clean.ts';
import { capital } from '../../../templates/words.ts';
import { ArchiveError } from '../../../worksheets/archive/errors.ts';
import type { Archive } from '../../../worksheets/archive/types.ts';
import { GROUPS } from '../../../worksheets/engine/library.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';
import { DEFAULT_TRUCK, type House, makeCommands } from '../../commands/index.ts';
import { type Shelf, shelfOf, truckFor } from '../../commands/pit.ts';
import type { Asker, Commands, Message, Reply } from '../../commands/types.ts';
import { addressOf } from './form.ts';
import type { Sent } from './http.ts';
import { lookOnly } from './looking.ts';

export interface Bench {
  readonly house: House;
  readonly asker: Asker;
  readonly pages: Pages;
  /** Answers and keeps: for what is posted. */
  readonly keeping: Commands;
  /** Answers and keeps nothing: for what is only looked at. By the ground on which cards are drawn. */
  readonly looking: { readonly [theme in House['theme']]: Commands };
  readonly look: Commands;
  readonly day: (at: number) => string;
  readonly log: (line: string, error?: unknown) => void;
}

export function makeBench(house: House, asker: Asker, pages: Pages, log: Bench['log']): Bench {
  const still: House = { ...house, archive: house.archive && lookOnly(house.archive) };
  const looking = {
    dark: makeCommands({ ...still, theme: 'dark' }, 'terminal'),
    light: makeCommands({ ...still, theme: 'light' }, 'terminal'),
  };
  const days = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: house.zone });
  return {
    house,
    asker,
    pages,
    keeping: makeCommands(house, 'terminal'),
    looking,
    look: looking[house.theme],
    day: (at) => days.format(at),
    log,
  };
}

/** The sheets from the side of a truck; built once for a shelf. */
export function shelfFor({ house }: Bench): Shelf {
  const known = shelves.get(house.sheets) ?? shelfOf(house.sheets);
  shelves.set(house.sheets, known);
  return known;
}
const shelves = new WeakMap<object, Shelf>();

/** A read of the archive that must not cost the page: `otherwise` takes its place, and the sentence says what is wrong. */
export async function reading<T>(
  bench: Bench,
  read: () => Promise<T>,
  otherwise: T,
): Promise<{ readonly value: T; readonly trouble: string | null }> {
  try {
    return { value: await read(), trouble: null };
  } catch (error) {
    if (!(error instanceof ArchiveError)) throw error;
    bench.log(`The archive could not be read: ${error.message}`);
    return { value: otherwise, trouble: error.message };
  }
}

/** The truck that a question means: named, or the current one. */
export async function truckOf(bench: Bench, archive: Archive | null, options: Message['options']): Promise<string> {
  const named = options.truck?.trim();
  if (named || !archive) return named || DEFAULT_TRUCK;
  return (await reading(bench, () => truckFor(archive, { options, asker: bench.asker }), DEFAULT_TRUCK)).value;
}
/** How a sentence calls it: nobody named the one called "truck". */
export const truckInWords = (truck: string): string =>
  truck === DEFAULT_TRUCK ? `the truck called “${DEFAULT_TRUCK}”` : clean(truck, { graphemes: 60 });

// ── what pages start with ───────────────────────────────────────────────────────────────────────────────────────────────────────

export type Place = 'sheets' | 'trucks' | 'setups' | 'help' | null;

export function frame(bench: Bench, title: string | null, at: Place): Frame {
  const club = bench.asker.clubName ?? null;
  return {
    title: [title, club ? `Dustsheet, ${clean(club, { graphemes: 60 })}` : 'Dustsheet'].filter((piece) => piece !== null).join(' · '),
    club: club && clean(club, { graphemes: 60 }),
    nav: [
      { href: '/', label: 'Sheets', current: at === 'sheets' },
      ...(bench.house.archive
        ? [
            { href: '/trucks', label: 'Trucks', current: at === 'trucks' },
            { href: '/setups', label: 'Setups', current: at === 'setups' },
          ]
        : []),
      { href: '/help', label: 'Help', current: at === 'help' },
    ],
  };
}

export function notice(
  bench: Bench,
  status: number,
  { heading, sentences, links = [] }: Pick<NoticePage, 'heading' | 'sentences'> & Partial<Pick<NoticePage, 'links'>>,
  headers: Readonly<Record<string, string>> = {},
): Sent {
  const home = { href: '/', label: 'To the sheets' };
  const view: NoticePage = { kind: 'notice', ...frame(bench, heading, null), heading, sentences, links: [...links, home] };
  return { kind: 'page', status, html: bench.pages.page(view), headers };
}

// ── links ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export const sheetLink = (sheet: Sheet): SheetLink => ({
  href: addressOf(sheet),
  title: sheet.title,
  summary: sheet.summary,
  ask: sheet.asks[0] ?? sheet.summary,
  asks: sheet.asks.slice(1),
});

const GROUP_TITLES: Readonly<Record<string, string>> = {
  weight: 'Weight',
  drive: 'Drive',
  springs: 'Springs and dampers',
  geometry: 'Suspension and steering',
  motion: 'Motion',
  club: "The club's own",
};

/** These sheets by group, in the order of the shelf; groups of a club's own come last. */
export function grouped(sheets: readonly Sheet[]): { readonly title: string; readonly sheets: readonly SheetLink[] }[] {
  const groups = [...new Set([...GROUPS, ...sheets.map(({ group }) => group)])];
  return groups
    .map((group) => ({
      title: GROUP_TITLES[group] ?? capital(group),
      sheets: sheets.filter((sheet) => sheet.group === group).map(sheetLink),
    }))
    .filter(({ sheets: inGroup }) => inGroup.length > 0);
}

/** `path` without the ending of a picture. */
export const cardView = (card: Reply['card'], path: string, query: string, lazy: boolean): CardView | null => {
  if (!card) return null;
  const at = (theme: 'dark' | 'light'): string => `${path}.${theme}.png${query === '' ? '' : `?${query}`}`;
  return { dark: at('dark'), light: at('light'), alt: card.alt, width: canvas.width, height: canvas.height, lazy };
};

/** `corners.png` and `corners.light.png`: which picture, on which ground. */
export function pictureNamed(file: string, theme: House['theme']): { readonly name: string; readonly theme: House['theme'] } | null {
  const found = /^([a-z][a-z0-9_]{0,31})(?:\.(dark|light))?\.png$/.exec(file);
  return found ? { name: found[1]!, theme: (found[2] as House['theme'] | undefined) ?? theme } : null;
}

/** The picture of a reply. One that cannot be drawn is an error of its own request; the page it stands on has its words. */
export async function picture(reply: Reply): Promise<Sent> {
  if (!reply.card) return { kind: 'file', status: reply.kind === 'problems' ? 422 : 404, type: TEXT, bytes: `${reply.text}\n` };
  return { kind: 'file', type: 'image/png', bytes: await reply.card.png() };
}
export const TEXT = 'text/plain; charset=utf-8';
