/**
 * What a request has to be before the bench looks at it, and what a response carries. Everything here is for a page that stands on one
 * machine or in one pit: it trusts nobody who is not at the bench's own address.
 */
import type { IncomingMessage, ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

/** A body, or a question in an address, of at most 64 KiB; the rest of a request's head gets as much again. */
export const MOST_BYTES = 64 * 1024;
export const MOST_HEAD_BYTES = 2 * MOST_BYTES;
/** More names than any sheet has cells. */
const MOST_FIELDS = 400;

export type Method = 'GET' | 'HEAD' | 'POST';

/** What a page hands back. */
export type Sent =
  | { readonly kind: 'page'; readonly status?: number; readonly html: string; readonly headers?: Readonly<Record<string, string>> }
  | {
      readonly kind: 'file';
      readonly status?: number;
      readonly type: string;
      readonly bytes: Uint8Array | string;
      readonly headers?: Readonly<Record<string, string>>;
    }
  | { readonly kind: 'redirect'; readonly to: string; readonly status?: 303 | 308 };

/** A request that is refused, with the sentence that says why. */
export class Refused extends Error {
  override readonly name = 'Refused';
  constructor(
    readonly status: number,
    message: string,
    readonly headers: Readonly<Record<string, string>> = {},
  ) {
    super(message);
  }
}

// No script at all, nothing from elsewhere, no frame around it; forms go to the bench only.
const POLICY = "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

const ALWAYS: Readonly<Record<string, string>> = {
  'Content-Security-Policy': POLICY,
  'X-Content-Type-Options': 'nosniff',
  'X-Frame-Options': 'DENY',
  // Not no-referrer: with that, browsers send `Origin: null` with the bench's own forms.
  'Referrer-Policy': 'same-origin',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), microphone=(), geolocation=()',
};

export function send(response: ServerResponse, sent: Sent): void {
  const body = sent.kind === 'page' ? sent.html : sent.kind === 'file' ? sent.bytes : '';
  const bytes = typeof body === 'string' ? Buffer.from(body, 'utf8') : body;
  const own =
    sent.kind === 'redirect'
      ? { Location: sent.to }
      : { 'Content-Type': sent.kind === 'page' ? 'text/html; charset=utf-8' : sent.type, ...sent.headers };
  response.writeHead(sent.status ?? (sent.kind === 'redirect' ? 303 : 200), {
    ...ALWAYS,
    // What an address shows depends on the truck's facts of this minute.
    'Cache-Control': 'private, no-cache',
    ...(sent.status === 304 ? {} : { 'Content-Length': bytes.byteLength }),
    ...own,
  });
  // Node leaves the body out of an answer to HEAD.
  response.end(bytes);
}

// ── who may ask ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const LOOPBACK = ['127.0.0.1', 'localhost', '[::1]'];
export const bracketed = (host: string): string => (host.includes(':') && !host.startsWith('[') ? `[${host}]` : host).toLowerCase();

/**
 * The Host header has to name the bench. A page elsewhere can have its own name point to this machine (DNS rebinding) and would then be
 * let into the answers; its requests carry its own name. An address by which this very connection came in cannot be borrowed like that.
 */
export function checkHost(request: IncomingMessage, bound: string): void {
  const { localAddress, localPort } = request.socket;
  const found = /^(\[[0-9a-f:.]+\]|[^:[\]]+)(?::(\d{1,5}))?$/i.exec(request.headers.host ?? '');
  const name = found?.[1]?.toLowerCase();
  const here = bracketed((localAddress ?? '').replace(/^::ffff:(?=\d+\.)/i, ''));
  const known = [...LOOPBACK, bracketed(bound), here];
  if (name === undefined || !known.includes(name) || Number(found?.[2] ?? 80) !== localPort)
    throw new Refused(421, `This bench answers at http://${here}:${localPort}/ only.`);
}

/** A form has to come from the bench's own pages. Browsers say where from; a program that says nothing is no browser. */
export function checkOrigin(request: IncomingMessage): void {
  const { origin, host, referer } = request.headers;
  const site = request.headers['sec-fetch-site'];
  const own = `http://${host}`.toLowerCase();
  const from = origin ?? (referer === undefined ? undefined : originOf(referer));
  const elsewhere = (site !== undefined && site !== 'same-origin' && site !== 'none') || (from !== undefined && from.toLowerCase() !== own);
  if (elsewhere) throw new Refused(403, 'This form came from another page. Fill it in here.');
}
const originOf = (address: string): string => (URL.canParse(address) ? new URL(address).origin : 'null');

// ── what was asked ──────────────────────────────────────────────────────────────────────────────────────────────────────────────

export interface Target {
  readonly segments: readonly string[];
  /** The one spelling of this address, without its query. */
  readonly path: string;
  readonly query: URLSearchParams;
  /** Whether it came in that spelling. */
  readonly canonical: boolean;
}

export function targetOf(url: string): Target | null {
  const cut = url.indexOf('?');
  const place = Buffer.byteLength(url) > MOST_BYTES + 200 ? null : placeOf(cut < 0 ? url : url.slice(0, cut));
  return place && { ...place, query: fieldsFrom(cut < 0 ? '' : url.slice(cut + 1)) };
}

/** The path in pieces, decoded, without `.` `..` and double strokes. Null: no address of ours could be written like that. */
export function placeOf(address: string): Omit<Target, 'query'> | null {
  const written = address.replace(/[?#].*$/s, '');
  if (!written.startsWith('/')) return null;
  const segments: string[] = [];
  for (const piece of written.split('/')) {
    let name: string;
    try {
      name = decodeURIComponent(piece);
    } catch {
      return null;
    }
    if (/[/\\\p{Cc}]/u.test(name)) return null;
    if (name === '..') segments.pop();
    else if (name !== '' && name !== '.') segments.push(name);
  }
  const path = `/${segments.map(encodeURIComponent).join('/')}`;
  return { segments, path, canonical: path === written };
}

function fieldsFrom(encoded: string): URLSearchParams {
  const fields = new URLSearchParams(encoded);
  if (fields.size > MOST_FIELDS) throw new Refused(413, `That is more than ${MOST_FIELDS} fields. Give fewer.`);
  return fields;
}

/** The fields of a posted form. */
export async function formOf(request: IncomingMessage): Promise<URLSearchParams> {
  const type = (request.headers['content-type'] ?? '').split(';')[0]!.trim().toLowerCase();
  if (type !== 'application/x-www-form-urlencoded') throw new Refused(415, 'The bench reads what its own forms send, and nothing else.');
  return fieldsFrom((await bodyOf(request, MOST_BYTES)).toString('utf8'));
}

/** The body of a request, if it is no longer than that. */
export async function bodyOf(request: IncomingMessage, most: number): Promise<Buffer> {
  const size = most >= 1024 * 1024 ? `${Math.floor(most / 1024 / 1024)} MiB` : `${most / 1024} KiB`;
  const tooMuch = new Refused(413, `That is more than ${size}. Give less.`);
  if (Number(request.headers['content-length'] ?? 0) > most) throw tooMuch;
  const pieces: Buffer[] = [];
  let bytes = 0;
  for await (const piece of request.iterator({ destroyOnReturn: false })) {
    bytes += (piece as Buffer).byteLength;
    if (bytes > most) throw tooMuch;
    pieces.push(piece as Buffer);
  }
  return Buffer.concat(pieces);
}

/** The port that was asked for, in one sentence, when the bench cannot stand there. */
export function listenTrouble(error: NodeJS.ErrnoException, host: string, port: number): Error {
  if (error.code === 'EADDRINUSE') return new Error(`PORT: ${port} is taken. Give another, or 0 for any free one.`);
  if (error.code === 'EACCES') return new Error(`PORT: ${port} is not for this user. Give one from 1024 to 65535, or 0 for any free one.`);
  if (error.code === 'EADDRNOTAVAIL' || error.code === 'ENOTFOUND' || error.code === 'EAI_AGAIN')
    return new Error(`HOST: "${host}" is no address of this machine. Give 127.0.0.1 for this machine alone.`);
  return error;
}

/** Where a browser on this machine finds it. */
export function urlOf({ address, port }: AddressInfo): string {
  const host = address === '0.0.0.0' ? '127.0.0.1' : address === '::' ? '[::1]' : bracketed(address);
  return `http://${host}:${port}`;
}
