/** A bench as a club has it: all sheets, real cards, a real archive on a file of its own, asked over real HTTP. */
import { mkdtemp, rm } from 'node:fs/promises';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type House, makeCommands } from '../../../bot/commands/index.ts';
import type { Asker, Commands } from '../../../bot/commands/types.ts';
import { playClock, playSeason } from '../../../bot/demo.ts';
import { type Patience, startBench } from '../../../bot/transports/bench/index.ts';
import { type Cards, makeCards } from '../../../templates/card/render.ts';
import { type Archive, openArchive } from '../../../worksheets/archive/archive.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';

export const YOU: Asker = { club: 'saltpan', clubName: 'Saltpan Desert Club', member: 'local', memberName: 'You' };

let cards: Promise<Cards> | undefined;
const realCards = (): Promise<Cards> => {
  cards ??= makeCards({ fontCacheDir: join(tmpdir(), `dustsheet-fonts-${process.getuid?.() ?? 'user'}`) });
  return cards;
};

export interface Answered {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | undefined>>;
  readonly bytes: Buffer;
  readonly html: string;
}
export interface Asking {
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: string | Uint8Array;
}

export interface OpenBench {
  readonly url: string;
  readonly port: number;
  readonly house: House;
  readonly archive: Archive;
  /** What a member on another face would talk to: the same house. */
  readonly commands: Commands;
  readonly log: { readonly line: string; readonly error: unknown }[];
  /** Fills the archive with the season of the demo club, at the times at which it happened. */
  season(heard?: Parameters<typeof playSeason>[1]): Promise<void>;
  ask(method: string, path: string, asking?: Asking): Promise<Answered>;
  get(path: string): Promise<Answered>;
  /** Sends a form, as a browser would. */
  post(path: string, fields: Readonly<Record<string, string>> | string): Promise<Answered>;
  /** Follows redirects with GET; the path of the last page comes with it. */
  through(answered: Answered): Promise<Answered & { readonly path: string }>;
  stop(): Promise<void>;
}

export interface Differently {
  readonly host?: string;
  readonly port?: number;
  readonly patience?: Partial<Patience>;
  /** Parts of the house that are otherwise. */
  readonly house?: (house: House) => Partial<House>;
}

export async function openBench({ host = '127.0.0.1', port = 0, patience, house: otherwise }: Differently = {}): Promise<OpenBench> {
  const folder = await mkdtemp(join(tmpdir(), 'dustsheet-bench-'));
  const time = playClock();
  const archive = await openArchive({ file: join(folder, 'club.sqlite'), create: true, clock: time.now });
  const log: { line: string; error: unknown }[] = [];
  const noted = (line: string, error?: unknown): void => void log.push({ line, error });
  const usual: House = {
    sheets: await loadSheets(await loadFormulas()),
    archive,
    cards: await realCards(),
    clock: time.now,
    zone: 'Europe/Lisbon',
    theme: 'dark',
    log: noted,
  };
  const house: House = { ...usual, ...otherwise?.(usual) };
  const close = async (): Promise<void> => {
    await archive.close();
    await rm(folder, { recursive: true, force: true });
  };
  const bench = await startBench({ house, asker: YOU, host, port, log: noted, ...(patience ? { patience } : {}) }).catch(async (error) => {
    await close();
    throw error;
  });
  const { hostname, port: given } = new URL(bench.url);

  const ask = (method: string, path: string, { headers = {}, body }: Asking = {}): Promise<Answered> =>
    new Promise((done, failed) => {
      const asked = request({ host: hostname.replace(/^\[|\]$/g, ''), port: given, method, path, headers, agent: false }, (response) => {
        const pieces: Buffer[] = [];
        response.on('data', (piece: Buffer) => pieces.push(piece));
        response.on('error', failed);
        response.on('end', () => {
          const bytes = Buffer.concat(pieces);
          done({ status: response.statusCode!, headers: response.headers as Answered['headers'], bytes, html: bytes.toString('utf8') });
        });
      });
      asked.on('error', failed);
      asked.end(body);
    });
  const get = (path: string): Promise<Answered> => ask('GET', path);
  const commands = makeCommands(house, 'terminal');

  return {
    url: bench.url,
    port: Number(given),
    house,
    archive,
    commands,
    log,
    season: (heard) => playSeason({ ...house, commands, time }, heard),
    ask,
    get,
    post: (path, fields) =>
      ask('POST', path, {
        headers: { 'content-type': 'application/x-www-form-urlencoded', origin: bench.url, 'sec-fetch-site': 'same-origin' },
        body: typeof fields === 'string' ? fields : new URLSearchParams(fields).toString(),
      }),
    async through(answered) {
      let last = answered;
      let path = '';
      for (let step = 0; step < 5 && last.status >= 300 && last.status < 400; step += 1) {
        path = last.headers.location!;
        last = await get(path.replace(/#.*/, ''));
      }
      return { ...last, path };
    },
    async stop() {
      await bench.stop();
      await close();
    },
  };
}

// ── reading pages ───────────────────────────────────────────────────────────────────────────────────────────────────────────────

const entities: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', '#x27': "'", '#x60': '`', '#x3D': '=' };
export const decoded = (html: string): string => html.replace(/&(#?\w+);/g, (whole, name: string) => entities[name] ?? whole);

/** What is to be read on a piece of a page, in one line. Thin spaces stay: they are part of the numbers. */
export const words = (html: string): string =>
  decoded(html.replace(/<(style|script)[\s\S]*?<\/\1>/g, '').replace(/<[^>]+>/g, ' '))
    .replace(/[^\S\u2009]+/g, ' ')
    .trim();

/** The numbers of a page's answer by their names: the hero, then the table. */
export function answersOn(html: string): Map<string, string> {
  const found = new Map<string, string>();
  const shown = (cell: string): string => words(cell.replace(/<span class="unit">/g, '').replace(/<\/span>(?=<\/span>)/g, ''));
  const hero = /<div class="hero">\s*<p class="name">([^<]*)[\s\S]*?<p class="big">([\s\S]*?)<\/p>/.exec(html);
  if (hero) found.set(decoded(hero[1]!).trim(), shown(hero[2]!));
  const table = /<table class="answers">\s*<caption class="for-ears">Further answers[\s\S]*?<\/table>/.exec(html)?.[0] ?? '';
  for (const row of table.matchAll(/<tr><th scope="row">([^<]*)[\s\S]*?<\/th><td>([\s\S]*?)<\/td><\/tr>/g))
    found.set(decoded(row[1]!).trim(), shown(row[2]!));
  return found;
}

/** A field of a form by its name: its tag and what stands in it. */
export function field(html: string, name: string): { readonly tag: string; readonly value: string } | null {
  const input = new RegExp(`<input(?! type="hidden")[^>]*\\sname="${name}"[^>]*>`).exec(html)?.[0];
  if (input) return { tag: input, value: decoded(/\svalue="([^"]*)"/.exec(input)?.[1] ?? '') };
  const area = new RegExp(`(<textarea[^>]*\\sname="${name}"[^>]*>)\\n?([\\s\\S]*?)</textarea>`).exec(html);
  if (area) return { tag: area[1]!, value: decoded(area[2]!) };
  const select = new RegExp(`(<select[^>]*\\sname="${name}"[^>]*>)([\\s\\S]*?)</select>`).exec(html);
  return select ? { tag: select[1]!, value: decoded(/<option value="([^"]*)" selected>/.exec(select[2]!)?.[1] ?? '') } : null;
}
