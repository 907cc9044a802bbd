/**
 * The bench: the club's sheets as pages of a small web server on this machine. Plain HTML that works without script; node:http, no
 * framework. It takes words in and puts words and pictures out; everything between is the commands' doing.
 */
import { createHash, randomBytes } from 'node:crypto';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';
import { makePages } from '../../../templates/bench/index.ts';
import type { House } from '../../commands/index.ts';
import type { Asker } from '../../commands/types.ts';
import { type Bench, makeBench, notice, TEXT } from './bench.ts';
import { comparedCard, compareSetups } from './compare.ts';
import { askLine, firstPage, help, lookAtLine } from './first.ts';
import { importSetup } from './handed-in.ts';
import {
  checkHost,
  checkOrigin,
  formOf,
  listenTrouble,
  MOST_HEAD_BYTES,
  placeOf,
  Refused,
  type Sent,
  send,
  type Target,
  targetOf,
  urlOf,
} from './http.ts';
import { addPicture, setupPicture, takePicture } from './pictures.ts';
import { setupFileOf } from './setup-files.ts';
import { findSetups, keepSetup, setupCard, showSetup } from './setups.ts';
import { askSheet, lookAtSheet, sheetAt, sheetCard } from './sheets.ts';
import { changeTruck, listTrucks, showTruck, truckCard } from './trucks.ts';
import { type Upload, uploadOf } from './upload.ts';

export interface BenchSettings {
  readonly house: House;
  readonly asker: Asker;
  readonly host: string;
  /** 0: any free one. */
  readonly port: number;
  readonly log: (line: string, error?: unknown) => void;
  readonly patience?: Partial<Patience>;
}

/** Milliseconds that a client may take, so that a slow one holds nothing up. */
export interface Patience {
  /** The head of a request. */
  readonly head: number;
  /** The whole of a request. */
  readonly request: number;
  /** A connection on which nothing moves. */
  readonly idle: number;
  /** Between two requests of a connection. */
  readonly between: number;
  /** Answers under way when the bench stops. */
  readonly stop: number;
}
const PATIENCE: Patience = { head: 10_000, request: 20_000, idle: 30_000, between: 5_000, stop: 3_000 };
const MOST_CONNECTIONS = 200;

export interface RunningBench {
  readonly url: string;
  stop(): Promise<void>;
}

export async function startBench({ house, asker, host, port, log, patience: given }: BenchSettings): Promise<RunningBench> {
  const patience = { ...PATIENCE, ...given };
  const bench = makeBench(house, asker, await makePages(), log);
  const files = new Map([
    ['style.css', still(bench.pages.style, 'text/css; charset=utf-8')],
    ['icon.svg', still(bench.pages.icon, 'image/svg+xml')],
  ]);
  let stopping: Promise<void> | undefined;
  /** Lines that a browser has opened ahead: Node does not count them among the idle. */
  const unused = new Set<Socket>();

  const server = createServer(
    {
      maxHeaderSize: MOST_HEAD_BYTES,
      headersTimeout: patience.head,
      requestTimeout: patience.request,
      keepAliveTimeout: patience.between,
      connectionsCheckingInterval: Math.max(50, Math.min(patience.head, patience.request) / 4),
    },
    (request, response) => {
      unused.delete(request.socket);
      serve(request, response).catch((error: unknown) => {
        log('The bench could not even say what went wrong:', error);
        request.socket.destroy();
      });
    },
  );
  server.maxConnections = MOST_CONNECTIONS;
  server.setTimeout(patience.idle);
  server.on('connection', (socket) => {
    unused.add(socket);
    socket.once('close', () => unused.delete(socket));
  });

  async function serve(request: IncomingMessage, response: ServerResponse): Promise<void> {
    let sent: Sent;
    try {
      sent = await answer(bench, files, request, host);
    } catch (error) {
      // Who has gone away needs no answer, and it is nobody's fault.
      if (request.destroyed && !request.complete) return;
      sent = error instanceof Refused ? refusal(bench, request, error) : fault(bench, request, error);
    }
    if (stopping) response.shouldKeepAlive = false;
    if (!request.complete) drained(request, response);
    send(response, sent);
  }

  await new Promise<void>((ready, failed) => {
    server.once('error', (error) => failed(listenTrouble(error, host, port)));
    server.listen(port, host, () => ready());
  });
  server.removeAllListeners('error').on('error', (error) => log('The bench:', error));

  return {
    url: urlOf(server.address() as AddressInfo),
    stop: () => {
      stopping ??= new Promise((closed) => {
        const enough = setTimeout(() => server.closeAllConnections(), patience.stop);
        server.close(() => {
          clearTimeout(enough);
          closed();
        });
        server.closeIdleConnections();
        for (const socket of unused) socket.destroy();
      });
      return stopping;
    },
  };
}

// ── one request ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────

type Handler = (() => Sent | null | Promise<Sent | null>) | undefined;
interface Route {
  readonly look?: Handler;
  readonly post?: (fields: URLSearchParams) => Promise<Sent>;
  /** A form with a file in it. */
  readonly upload?: (form: Upload) => Promise<Sent>;
}

async function answer(bench: Bench, files: ReadonlyMap<string, Still>, request: IncomingMessage, host: string): Promise<Sent> {
  checkHost(request, host);
  const { method = '' } = request;
  const target = targetOf(request.url ?? '');
  const route = target && routeFor(bench, files, target, request);
  if (!target || !route) return lost(bench, target);
  const allowed = [...(route.look ? ['GET', 'HEAD'] : []), ...(route.post || route.upload ? ['POST'] : [])];
  if (!allowed.includes(method))
    throw new Refused(405, `This page takes ${allowed.join(', ')}, not ${method.slice(0, 20)}.`, { Allow: allowed.join(', ') });
  if (method === 'POST') {
    checkOrigin(request);
    return route.upload ? route.upload(await uploadOf(request)) : route.post!(await formOf(request));
  }
  if (!target.canonical) return { kind: 'redirect', status: 308, to: target.path + (target.query.size > 0 ? `?${target.query}` : '') };
  return (await route.look!()) ?? lost(bench, target);
}

function routeFor(bench: Bench, files: ReadonlyMap<string, Still>, { segments, query }: Target, request: IncomingMessage): Route | null {
  const [first, second, third] = segments;
  if (segments.length === 0) return { look: () => firstPage(bench) };
  if (segments.length === 1) {
    const file = files.get(first!);
    if (file) return { look: () => file(request) };
    if (first === 'sheets') return { look: () => ({ kind: 'redirect', to: '/' }) };
    if (first === 'line') return { look: () => lookAtLine(bench, query), post: (fields) => askLine(bench, fields) };
    if (first === 'help') return { look: () => help(bench, query) };
    if (first === 'trucks') return { look: () => listTrucks(bench) };
    if (first === 'truck') {
      const name = query.get('name') ?? '';
      return { look: () => showTruck(bench, name, query), post: (fields) => changeTruck(bench, name, fields) };
    }
    if (first === 'setups') return { look: () => findSetups(bench, query), post: (fields) => keepSetup(bench, fields) };
    return null;
  }
  if (segments.length === 2 && first === 'sheets') {
    const found = sheetAt(bench, second!, query);
    if ('sent' in found) return { look: () => found.sent, post: async () => found.sent };
    return { look: () => lookAtSheet(bench, found.sheet, query), post: (fields) => askSheet(bench, found.sheet, fields) };
  }
  if (segments.length === 2 && first === 'card') return { look: () => sheetCard(bench, second!, query) };
  if (segments.length === 2 && first === 'truck') return { look: () => truckCard(bench, second!, query) };
  if (segments.length === 2 && first === 'trucks')
    return { look: () => showTruck(bench, second!, query), post: (fields) => changeTruck(bench, second!, fields) };
  if (segments.length === 2 && first === 'setups' && second === 'compare') return { look: () => compareSetups(bench, query) };
  if (segments.length === 2 && first === 'setups' && second === 'import')
    return { look: () => ({ kind: 'redirect', to: '/setups#hand-in' }), upload: (form) => importSetup(bench, form) };
  if (segments.length === 2 && first === 'setups') return { look: () => showSetup(bench, second!, query) };
  if (segments.length === 3 && first === 'setups' && second === 'compare') return { look: () => comparedCard(bench, third!, query) };
  if (segments.length === 3 && first === 'setups' && third === 'pictures')
    return {
      look: () => ({ kind: 'redirect', to: `/setups/${encodeURIComponent(second!)}#pictures` }),
      upload: (form) => addPicture(bench, second!, form),
    };
  if (segments.length === 4 && first === 'setups' && third === 'pictures')
    return segments[3]!.includes('.')
      ? { look: () => setupPicture(bench, second!, segments[3]!, query) }
      : {
          look: () => ({ kind: 'redirect', to: `/setups/${encodeURIComponent(second!)}#pictures` }),
          post: (fields) => takePicture(bench, second!, segments[3]!, fields),
        };
  if (segments.length === 3 && first === 'setups')
    return { look: async () => (await setupFileOf(bench, second!, third!, query)) ?? setupCard(bench, second!, third!, query) };
  return null;
}

const lost = (bench: Bench, target: Target | null): Sent =>
  /\.(png|webp|css|svg|ico)$/.test(target?.path ?? '')
    ? { kind: 'file', status: 404, type: TEXT, bytes: 'There is nothing here.\n' }
    : notice(bench, 404, {
        heading: 'There is no such page',
        sentences: ['This address leads nowhere. The sheets are all on the first page.'],
        links: [{ href: '/help', label: 'Help' }],
      });

function refusal(bench: Bench, request: IncomingMessage, { status, message, headers }: Refused): Sent {
  // Whoever is not at the bench gets the sentence and no page.
  if (status === 421) return { kind: 'file', status, type: TEXT, bytes: `${message}\n`, headers };
  const heading =
    { 403: 'Not from there', 405: 'Not like that', 413: 'That is too much', 415: 'Not in that form' }[status] ?? 'Not like that';
  const back = placeOf(request.url ?? '')?.path ?? '/';
  return notice(
    bench,
    status,
    { heading, sentences: [message], links: back === '/' ? [] : [{ href: back, label: 'Back to the page' }] },
    headers,
  );
}

/** A fault of ours: the log has its stack, the member one line and the reference to find it by. */
function fault(bench: Bench, request: IncomingMessage, error: unknown): Sent {
  const reference = randomBytes(4).toString('hex');
  const path = (request.url ?? '').split('?')[0]!.slice(0, 200);
  bench.log(`The bench, reference ${reference}: ${request.method} ${path}`, error);
  const said = `That did not work, and it is not your doing. Reference ${reference}.`;
  if (/\.png$/.test(path)) return { kind: 'file', status: 500, type: TEXT, bytes: `${said}\n` };
  return notice(bench, 500, { heading: 'That did not work', sentences: [said] });
}

/** What is still coming of a refused body is thrown away for a moment, so that the refusal can be read; then the line is cut. */
function drained(request: IncomingMessage, response: ServerResponse): void {
  response.shouldKeepAlive = false;
  request.resume();
  response.once('finish', () => {
    const cut = setTimeout(() => request.socket.destroy(), 1_000);
    request.socket.once('close', () => clearTimeout(cut));
  });
}

// ── files ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

type Still = (request: IncomingMessage) => Sent;

/** A file that does not change while the bench runs. */
function still(bytes: string, type: string): Still {
  const tag = `"${createHash('sha256').update(bytes).digest('base64url').slice(0, 22)}"`;
  return (request) => {
    const same = request.headers['if-none-match'] === tag;
    return { kind: 'file', status: same ? 304 : 200, type, bytes: same ? '' : bytes, headers: { ETag: tag } };
  };
}
