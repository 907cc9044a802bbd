/**
 * Discord for one bot, on loopback: a real HTTP and WebSocket server that answers as Discord does, keeps a record of every request,
 * and refuses what Discord refuses. A test speaks for the member: it asks, and gets what the member would see.
 *
 *     const discord = await startDouble();
 *     // … start the bot with { api: discord.api, token: discord.token, guild: discord.guild.id }
 *     await discord.ready();
 *     const seen = await discord.interact({ command: 'corners', options: { quick: '612 605 901 896' } });
 *     // seen.content, seen.attachments[0].bytes, .description (alt text), seen.private
 *     await discord.stop();
 *
 * Bodies that Discord would refuse are answered with 400 and stand in `discord.refusals`; a good test ends with an empty list there.
 */
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';
import { Exchange, filesOf, type Seen, seenOf } from './exchange.ts';
import { type Gateway, gateway } from './gateway.ts';
import {
  type Asking,
  type Body,
  FILE_LIMIT,
  type Refusal,
  refuseCallback,
  refuseCommands,
  refuseEdit,
  refuseFollowUp,
  type SentFile,
} from './rules.ts';

export type { Acknowledged, Exchange, Seen, SeenFile } from './exchange.ts';
export type { Refusal, SentFile } from './rules.ts';

export type Route = 'attachment' | 'gateway' | 'commands' | 'callback' | 'edit' | 'follow up' | 'delete' | 'fetch' | 'unknown';

/** One request as it came in. */
export interface Recorded {
  readonly at: number;
  readonly method: string;
  readonly path: string;
  readonly route: Route;
  readonly headers: IncomingMessage['headers'];
  readonly body: unknown;
  readonly files: ReadonlyMap<number, SentFile>;
  /** What it was answered with; 0 when the wire was cut. */
  status: number;
}

export interface Refused extends Refusal {
  readonly method: string;
  readonly path: string;
}

/** What shall go wrong. `accepted`: the server does what it was asked, and only its answer goes wrong. */
export type Trouble =
  | { readonly kind: 'rate limit'; readonly retryAfter: number; readonly global?: boolean }
  | { readonly kind: 'status'; readonly status: number; readonly accepted?: boolean; readonly body?: string }
  | { readonly kind: 'slow'; readonly ms: number; readonly accepted?: boolean }
  | { readonly kind: 'cut'; readonly accepted?: boolean };

export interface Who {
  readonly id: string;
  readonly username: string;
  readonly nick?: string;
}

interface From {
  readonly member?: Who;
  /** Another of the bot's servers; null: a direct message. */
  readonly guild?: string | null;
}

export interface Question extends From {
  /** "corners", or "setup save" for a subcommand. */
  readonly command: string;
  readonly options?: Readonly<Record<string, string>>;
  /** Handed in, by the option's name. */
  readonly files?: Readonly<Record<string, HandedIn>>;
}
/** A file as the member's client sends it up before the command. */
export interface HandedIn {
  readonly filename: string;
  readonly contentType?: string;
  readonly bytes: Uint8Array;
  /** What Discord says of its size, where that is not so. */
  readonly size?: number;
  /** Where Discord says it lies, where that is not so. */
  readonly url?: string;
}

export interface DoubleSettings {
  readonly token?: string;
  readonly guilds?: readonly { readonly id: string; readonly name: string }[];
  /** Heartbeat interval in ms, as HELLO names it. */
  readonly heartbeat?: number;
  /** How long a member waits for a deferred answer, in ms. */
  readonly patience?: number;
  /** How long the token of an interaction lives, in ms; Discord's is 15 minutes. */
  readonly tokenLife?: number;
  readonly log?: (line: string) => void;
}

export interface RegisteredCommand extends Body {
  readonly id: string;
  readonly name: string;
  readonly options?: readonly RegisteredOption[];
}
interface RegisteredOption extends Body {
  readonly name: string;
  readonly type: number;
  readonly required?: boolean;
  readonly autocomplete?: boolean;
  readonly choices?: readonly { readonly name: string; readonly value: string }[];
  readonly options?: readonly RegisteredOption[];
}

export interface Double {
  /** What goes into the bot's settings. */
  readonly api: string;
  readonly token: string;
  readonly applicationId: string;
  readonly guild: { readonly id: string; readonly name: string };
  readonly gateway: Gateway;
  readonly requests: readonly Recorded[];
  readonly refusals: readonly Refused[];
  /** Commands registered for one server, or for all. */
  commands(guild?: string | null): readonly RegisteredCommand[];
  /** Settles when a bot is online and its commands stand. */
  ready(ms?: number): Promise<void>;
  /** Settles as soon as the condition holds; fails after `ms` with the words given. */
  until(condition: () => boolean, what: string, ms?: number): Promise<void>;
  /** A member sends a command; settles with the message that the member sees. */
  interact(question: Question): Promise<Seen>;
  /** The same without waiting: the whole exchange, to look into. */
  ask(question: Question): Exchange;
  /** A member types in an option that suggests. */
  suggest(question: Question & { readonly focused: string }): Promise<readonly { readonly name: string; readonly value: string }[]>;
  press(button: From & { readonly customId: string; readonly message?: Seen }): Exchange;
  submit(form: From & { readonly customId: string; readonly fields: Readonly<Record<string, string>> }): Exchange;
  /** Sends an interaction once more, as happens after a resume. */
  redeliver(exchange: Exchange): void;
  /** The next `times` requests of that kind go wrong; several orders are taken in turn. */
  trouble(route: Route, trouble: Trouble, times?: number): void;
  /** No more troubles. */
  calm(): void;
  /** Off the net: nothing listens on the port any more. */
  down(): Promise<void>;
  /** Back, on the same port. */
  up(): Promise<void>;
  stop(): Promise<void>;
}

const EPOCH = 1420070400000;
let counter = 0;
/** Discord's ids: milliseconds since 2015, and a counter. */
export function snowflake(): string {
  counter = (counter + 1) % 4096;
  return ((BigInt(Date.now() - EPOCH) << 22n) | BigInt(counter)).toString();
}

const wait = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

interface Reply {
  readonly status: number;
  readonly body?: unknown;
  readonly headers?: Readonly<Record<string, string>>;
}
const problem = (status: number, code: number, message: string, errors?: unknown): Reply => ({
  status,
  body: { message, code, ...(errors ? { errors } : {}) },
});
const UNKNOWN_INTERACTION = problem(404, 10062, 'Unknown interaction');
const ALREADY = problem(400, 40060, 'Interaction has already been acknowledged.');
const UNKNOWN_WEBHOOK = problem(404, 10015, 'Unknown Webhook');
const UNKNOWN_MESSAGE = problem(404, 10008, 'Unknown Message');

async function read(request: IncomingMessage): Promise<Buffer> {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks);
}

/** Body and files of a request: JSON, or multipart with `payload_json` and `files[n]`. */
async function parse(request: IncomingMessage): Promise<{ body: unknown; files: Map<number, SentFile> }> {
  const files = new Map<number, SentFile>();
  const bytes = await read(request);
  const type = request.headers['content-type'] ?? '';
  if (bytes.length === 0) return { body: undefined, files };
  if (!type.startsWith('multipart/form-data')) return { body: JSON.parse(bytes.toString('utf8')), files };
  const form = await new Response(new Uint8Array(bytes), { headers: { 'content-type': type } }).formData();
  let body: unknown = {};
  for (const [key, value] of form) {
    const n = /^files\[(\d+)\]$/.exec(key)?.[1];
    if (key === 'payload_json' && typeof value === 'string') body = JSON.parse(value);
    else if (n !== undefined && typeof value !== 'string')
      files.set(Number(n), { filename: value.name, contentType: value.type, bytes: new Uint8Array(await value.arrayBuffer()) });
    else throw new Error(`Discord does not know the part "${key}"`);
  }
  return { body, files };
}

export async function startDouble(settings: DoubleSettings = {}): Promise<Double> {
  const applicationId = snowflake();
  const guilds = settings.guilds ?? [{ id: snowflake(), name: 'Saltpan Desert Club' }];
  const guild = guilds[0] ?? { id: snowflake(), name: 'nowhere' };
  const token = settings.token ?? `${Buffer.from(applicationId).toString('base64url')}.double.${Math.random().toString(36).slice(2)}`;
  const channelId = snowflake();
  const somebody: Who = { id: snowflake(), username: 'dusty', nick: 'Dusty' };
  const bot = { id: applicationId, username: 'dustsheet', discriminator: '0', global_name: null, avatar: null, bot: true, flags: 0 };

  const requests: Recorded[] = [];
  const refusals: Refused[] = [];
  const exchanges = new Map<string, Exchange>();
  const registered = new Map<string, RegisteredCommand[]>();
  const troubles: { route: Route; trouble: Trouble; times: number }[] = [];
  const messages = new Map<string, { exchange: Exchange; seen: Seen }>();
  const attachments = new Map<string, HandedIn>();
  const sockets = new Set<Socket>();
  let port = 0;
  let live = false;
  let read = false;

  // ---- HTTP ----------------------------------------------------------------------------------------------------------------------

  const server = createServer((request, response) => {
    void serve(request, response).catch((error: unknown) => {
      settings.log?.(`double: ${error instanceof Error ? error.stack : String(error)}`);
      refusals.push({ method: request.method ?? '', path: request.url ?? '', at: '', why: String(error) });
      if (!response.headersSent) answer(response, problem(400, 50109, 'The request body contains invalid JSON.'));
    });
  });
  server.on('connection', (socket) => {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
  });

  function answer(response: ServerResponse, { status, body, headers }: Reply) {
    response.statusCode = status;
    for (const [name, value] of Object.entries(headers ?? {})) response.setHeader(name, value);
    // A 204 has no content type: the client would try to read JSON out of nothing.
    if (body instanceof Uint8Array) response.end(body);
    else if (body === undefined) response.end();
    else if (typeof body === 'string') response.setHeader('content-type', 'text/html').end(body);
    else response.setHeader('content-type', 'application/json').end(JSON.stringify(body));
  }

  function routeOf(method: string, path: string): Route {
    if (path === '/gateway/bot') return 'gateway';
    if (/^\/ephemeral-attachments\/\d+\/\d+\/[^/]+$/.test(path)) return 'attachment';
    if (/^\/applications\/\d+(\/guilds\/\d+)?\/commands(\/\d+)?$/.test(path)) return 'commands';
    if (/^\/interactions\/\d+\/[^/]+\/callback$/.test(path)) return 'callback';
    if (/^\/webhooks\/\d+\/[^/]+$/.test(path) && method === 'POST') return 'follow up';
    if (/^\/webhooks\/\d+\/[^/]+\/messages\/(@original|\d+)$/.test(path))
      return method === 'PATCH' ? 'edit' : method === 'DELETE' ? 'delete' : 'fetch';
    return 'unknown';
  }

  async function serve(request: IncomingMessage, response: ServerResponse) {
    const url = new URL(request.url ?? '/', 'http://double');
    const path = decodeURIComponent(url.pathname).replace(/^\/api\/v10/, '');
    const method = request.method ?? 'GET';
    const route = routeOf(method, path);
    const { body, files } = await parse(request);
    const recorded: Recorded = { at: performance.now(), method, path, route, headers: request.headers, body, files, status: 0 };
    requests.push(recorded);
    const reply = (words: Reply): void => {
      recorded.status = words.status;
      answer(response, words);
    };

    const trouble = troubles.find((item) => item.route === route && item.times > 0);
    if (trouble) {
      trouble.times -= 1;
      const { trouble: what } = trouble;
      if (what.kind === 'rate limit')
        return reply({
          status: 429,
          body: { message: 'You are being rate limited.', retry_after: what.retryAfter, global: what.global ?? false },
          headers: {
            'retry-after': String(what.retryAfter),
            'x-ratelimit-scope': what.global ? 'global' : 'user',
            ...(what.global ? { 'x-ratelimit-global': 'true' } : {}),
          },
        });
      const done = what.accepted ? handle(method, path, route, url, request, body, files) : null;
      if (what.kind === 'cut') return void request.socket.destroy();
      if (what.kind === 'status') return reply({ status: what.status, body: what.body ?? { message: `${what.status}`, code: 0 } });
      await wait(what.ms);
      if (done) return reply(done);
    }
    reply(handle(method, path, route, url, request, body, files));
  }

  function refuse(method: string, path: string, found: readonly Refusal[]): Reply | null {
    if (found.length === 0) return null;
    refusals.push(...found.map((refusal) => ({ method, path, ...refusal })));
    const [first] = found;
    if (found.length === 1 && first?.why === 'Cannot send an empty message') return problem(400, 50006, first.why);
    if (first?.at.startsWith('files[')) return problem(413, 40005, 'Request entity too large');
    return problem(400, 50035, 'Invalid Form Body', {
      _errors: found.map(({ at, why }) => ({ code: 'REFUSED', message: `${at} ${why}` })),
    });
  }

  function handle(
    method: string,
    path: string,
    route: Route,
    url: URL,
    request: IncomingMessage,
    body: unknown,
    files: ReadonlyMap<number, SentFile>,
  ): Reply {
    if (route === 'attachment') return attachmentAt(method, path, url, request);
    if (route === 'gateway' || route === 'commands') {
      if (request.headers.authorization !== `Bot ${token}`) return problem(401, 0, '401: Unauthorized');
      return route === 'gateway' ? gatewayBot() : commandsAt(method, path, body);
    }
    const [, , first = '', second = ''] = path.split('/');
    if (route === 'callback') return callback(method, path, url, first, second, body, files);
    if (route !== 'unknown' && first === applicationId) return webhook(method, path, route, second, (body ?? {}) as Body, files);
    refusals.push({ method, path, at: '', why: 'no such route' });
    return problem(404, 0, '404: Not Found');
  }

  /** Discord's file server: it needs no token and shall see none; what the address is signed with has to be there. */
  function attachmentAt(method: string, path: string, url: URL, request: IncomingMessage): Reply {
    const file = attachments.get(path.split('/')[3]!);
    if (request.headers.authorization !== undefined) refusals.push({ method, path, at: '/authorization', why: 'sent to a file server' });
    if (method !== 'GET' || !file || !['ex', 'is', 'hm'].every((name) => url.searchParams.has(name))) return { status: 404, body: 'gone' };
    return { status: 200, body: file.bytes, headers: { 'content-type': file.contentType ?? 'application/octet-stream' } };
  }

  function gatewayBot(): Reply {
    return {
      status: 200,
      body: {
        url: `${base('ws')}/gateway`,
        shards: 1,
        session_start_limit: { total: 1000, remaining: 1000 - wire.identifies.length, reset_after: 86_400_000, max_concurrency: 1 },
      },
    };
  }

  function commandsAt(method: string, path: string, body: unknown): Reply {
    const scope = /\/guilds\/(\d+)\//.exec(path)?.[1] ?? 'global';
    if (!path.startsWith(`/applications/${applicationId}/`)) return problem(404, 10002, 'Unknown Application');
    if (scope !== 'global' && !guilds.some(({ id }) => id === scope)) return problem(403, 50001, 'Missing Access');
    const former = registered.get(scope) ?? [];
    if (method === 'GET') {
      read = true;
      return { status: 200, body: former };
    }
    if (method === 'DELETE') {
      const id = /\/commands\/(\d+)$/.exec(path)?.[1];
      if (!former.some((command) => command.id === id)) return problem(404, 10063, 'Unknown application command');
      registered.set(
        scope,
        former.filter((command) => command.id !== id),
      );
      return { status: 204 };
    }
    if (method !== 'PUT') return problem(405, 0, '405: Method Not Allowed');
    const refusal = refuse(method, path, refuseCommands(body));
    if (refusal) return refusal;
    const version = snowflake();
    const now = (body as readonly Body[]).map((command) => ({
      id: former.find(({ name }) => name === command.name)?.id ?? snowflake(),
      application_id: applicationId,
      ...(scope === 'global' ? {} : { guild_id: scope }),
      version,
      default_member_permissions: null,
      type: 1,
      name_localizations: null,
      description_localizations: null,
      dm_permission: true,
      contexts: null,
      integration_types: [0],
      nsfw: false,
      ...command,
      name: String(command.name),
      // Discord leaves out what is at its default.
      ...(Array.isArray(command.options) ? { options: command.options.map(bare) } : {}),
    })) as readonly Body[] as RegisteredCommand[];
    registered.set(scope, now);
    return { status: 200, body: now };
  }

  function bare(option: Body): Body {
    const rest: { [key: string]: unknown } = { ...option };
    for (const key of ['required', 'autocomplete']) if (rest[key] === false) delete rest[key];
    if (Array.isArray(rest.options)) rest.options = (rest.options as Body[]).map(bare);
    return rest;
  }

  function callback(
    method: string,
    path: string,
    url: URL,
    id: string,
    interactionToken: string,
    body: unknown,
    files: ReadonlyMap<number, SentFile>,
  ): Reply {
    const exchange = exchanges.get(id);
    if (method !== 'POST' || !exchange || exchange.token !== interactionToken || exchange.lapsed) return UNKNOWN_INTERACTION;
    if (exchange.acknowledged) return ALREADY;
    const refusal = refuse(method, path, refuseCallback(body, files, exchange.asking));
    if (refusal) return refusal;
    const { type, data } = body as { readonly type: number; readonly data?: Body };
    exchange.acknowledge(type, data ?? {}, filesOf(data ?? {}, files, snowflake), snowflake());
    if (exchange.now) messages.set(exchange.now.id, { exchange, seen: exchange.now });
    if (url.searchParams.get('with_response') !== 'true') return { status: 204 };
    return {
      status: 200,
      body: {
        interaction: { id, type: exchange.payload.type, response_message_id: exchange.original?.id },
        resource: { type, ...(exchange.now ? { message: messageOf(exchange.now) } : {}) },
      },
    };
  }

  function webhook(
    method: string,
    path: string,
    route: Route,
    interactionToken: string,
    body: Body,
    files: ReadonlyMap<number, SentFile>,
  ): Reply {
    const exchange = [...exchanges.values()].find((item) => item.token === interactionToken);
    // Before the first answer, the webhook of an interaction does not exist.
    if (!exchange?.acknowledged) return UNKNOWN_WEBHOOK;
    if (exchange.age > (settings.tokenLife ?? 15 * 60_000)) return problem(401, 50027, 'Invalid Webhook Token');
    if (route === 'follow up') {
      const refusal = refuse(method, path, refuseFollowUp(body, files));
      if (refusal) return refusal;
      // While the deferral is still open, a follow-up takes its place, and its flags are ignored.
      if (exchange.loading) {
        exchange.edit(body, filesOf(body, files, snowflake));
        return { status: 200, body: messageOf(exchange.now as Seen) };
      }
      const seen = seenOf(exchange.followUp(body, filesOf(body, files, snowflake), snowflake()));
      messages.set(seen.id, { exchange, seen });
      return { status: 200, body: messageOf(seen) };
    }
    const which = path.split('/').at(-1);
    if (which !== '@original' && which !== exchange.original?.id) return UNKNOWN_MESSAGE;
    if (!exchange.original || exchange.deleted) return UNKNOWN_MESSAGE;
    if (route === 'fetch') return { status: 200, body: messageOf(exchange.now as Seen) };
    if (route === 'delete') {
      exchange.remove();
      return { status: 204 };
    }
    const refusal = refuse(method, path, refuseEdit(body, files, exchange.original.body));
    if (refusal) return refusal;
    exchange.edit(body, filesOf(body, files, snowflake));
    return { status: 200, body: messageOf(exchange.now as Seen) };
  }

  function messageOf(seen: Seen): object {
    return {
      id: seen.id,
      channel_id: channelId,
      type: 20,
      application_id: applicationId,
      webhook_id: applicationId,
      author: bot,
      content: seen.content,
      attachments: seen.attachments.map((file) => ({
        id: file.id,
        filename: file.filename,
        size: file.bytes.byteLength,
        content_type: file.contentType,
        url: `${base('http')}/attachments/${file.filename}`,
        proxy_url: `${base('http')}/attachments/${file.filename}`,
        ...(file.description === null ? {} : { description: file.description }),
      })),
      components: seen.components,
      embeds: [],
      mentions: [],
      mention_roles: [],
      mention_everyone: false,
      pinned: false,
      tts: false,
      timestamp: new Date().toISOString(),
      edited_timestamp: null,
      flags: seen.flags,
    };
  }

  const base = (scheme: 'http' | 'ws'): string => `${scheme}://127.0.0.1:${port}`;

  // ---- the gateway ---------------------------------------------------------------------------------------------------------------

  const wire = gateway(server, {
    token,
    heartbeat: settings.heartbeat ?? 41_250,
    url: () => base('ws'),
    live: () => {
      live = true;
    },
    greeting: {
      user: bot,
      application: { id: applicationId, flags: 0 },
      guilds,
      guild: (id) => ({
        id,
        name: guilds.find((item) => item.id === id)?.name,
        owner_id: somebody.id,
        unavailable: false,
        joined_at: new Date().toISOString(),
        large: false,
        member_count: 2,
        roles: [
          { id, name: '@everyone', color: 0, colors: { primary_color: 0 }, hoist: false, position: 0, permissions: '0', managed: false },
        ],
        channels: [{ id: channelId, type: 0, name: 'pit-table', position: 0, permission_overwrites: [] }],
        ...Object.fromEntries(
          ['members', 'emojis', 'stickers', 'threads', 'presences', 'voice_states', 'stage_instances', 'features'].map((key) => [key, []]),
        ),
        guild_scheduled_events: [],
        soundboard_sounds: [],
        preferred_locale: 'en-GB',
      }),
    },
  });

  // ---- the members ---------------------------------------------------------------------------------------------------------------

  function send(asking: Asking, type: number, data: Body, from: From, message?: Seen): Exchange {
    const id = snowflake();
    const who = from.member ?? somebody;
    const where = from.guild === undefined ? guild.id : from.guild;
    const user = { id: who.id, username: who.username, discriminator: '0', global_name: null, avatar: null };
    const payload = {
      id,
      application_id: applicationId,
      type,
      token: Buffer.from(`interaction:${id}:${Math.random()}`).toString('base64url'),
      version: 1,
      channel_id: channelId,
      channel: { id: channelId, type: where === null ? 1 : 0, ...(where === null ? {} : { guild_id: where, name: 'pit-table' }) },
      ...(where === null
        ? { user, context: 1 }
        : {
            guild_id: where,
            guild: { id: where, locale: 'en-GB', features: [] },
            guild_locale: 'en-GB',
            context: 0,
            member: {
              user,
              nick: who.nick ?? null,
              roles: [],
              avatar: null,
              joined_at: new Date(EPOCH).toISOString(),
              premium_since: null,
              permissions: '2248473465835073',
              pending: false,
              deaf: false,
              mute: false,
              flags: 0,
            },
          }),
      app_permissions: '2248473465835073',
      locale: 'en-GB',
      entitlements: [],
      authorizing_integration_owners: where === null ? { 1: who.id } : { 0: where },
      attachment_size_limit: FILE_LIMIT,
      ...(message ? { message: messageOf(message) } : {}),
      data,
    };
    const exchange = new Exchange({ id, token: payload.token, asking, payload, patience: settings.patience ?? 10_000 });
    exchanges.set(id, exchange);
    wire.dispatch('INTERACTION_CREATE', payload);
    return exchange;
  }

  /** What Discord's own client makes of a typed command; it sends only what is registered. */
  function commandData({ command, options = {}, files = {}, guild: where }: Question, focused?: string): Body {
    const [name, sub] = command.split(' ');
    const scope = where === undefined ? guild.id : where;
    const known =
      (scope === null ? undefined : registered.get(scope)?.find((item) => item.name === name)) ??
      registered.get('global')?.find((item) => item.name === name);
    if (!known) throw new Error(`/${name} is not registered here`);
    const branch = sub === undefined ? known : known.options?.find((item) => item.name === sub && item.type === 1);
    if (!branch) throw new Error(`/${name} has no subcommand "${sub}"`);
    const specs = branch.options ?? [];
    if (specs.some(({ type }) => type === 1)) throw new Error(`/${name} needs a subcommand`);
    for (const option of specs)
      if (option.required && focused === undefined && !(option.name in options)) throw new Error(`/${command} needs ${option.name}`);
    const sent = Object.entries(options).map(([key, value]) => {
      const option = specs.find((item) => item.name === key);
      if (!option) throw new Error(`/${command} has no option "${key}"`);
      if (option.type !== 3) throw new Error(`${key}: nobody can type a file`);
      if (value.length > 6000) throw new Error(`${key}: no member can type more than 6000 characters`);
      if (option.choices && !option.choices.some((choice) => choice.value === value)) throw new Error(`${key}: "${value}" is not a choice`);
      return { name: key, type: option.type, value, ...(key === focused ? { focused: true } : {}) };
    });
    const resolved: { [id: string]: Body } = {};
    const handedIn = Object.entries(files).map(([key, file]) => {
      if (specs.find((item) => item.name === key)?.type !== 11) throw new Error(`/${command} takes no file as "${key}"`);
      const id = snowflake();
      attachments.set(id, file);
      const path = `/ephemeral-attachments/${applicationId}/${id}/${encodeURIComponent(file.filename)}`;
      const at = `${base('http')}${path}?ex=68f0&is=68ef&hm=${'0'.repeat(64)}&`;
      resolved[id] = {
        id,
        filename: file.filename,
        size: file.size ?? file.bytes.byteLength,
        url: file.url ?? at,
        proxy_url: file.url ?? at,
        ephemeral: true,
        ...(file.contentType === undefined ? {} : { content_type: file.contentType }),
      };
      return { name: key, type: 11, value: id };
    });
    const all = [...sent, ...handedIn];
    if (focused !== undefined && !specs.some((item) => item.name === focused && item.autocomplete))
      throw new Error(`/${command}: ${focused} does not suggest anything`);
    return {
      id: known.id,
      name,
      type: 1,
      ...(known.guild_id ? { guild_id: known.guild_id } : {}),
      options: sub === undefined ? all : [{ name: sub, type: 1, options: all }],
      ...(handedIn.length === 0 ? {} : { resolved: { attachments: resolved } }),
    };
  }

  async function until(condition: () => boolean, what: string, ms = 5000): Promise<void> {
    const end = performance.now() + ms;
    while (!condition()) {
      if (performance.now() > end) throw new Error(`Not seen within ${ms} ms: ${what}`);
      await wait(5);
    }
  }

  async function listen(): Promise<void> {
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen(port, '127.0.0.1', () => resolve());
    });
    port = (server.address() as AddressInfo).port;
  }

  async function down(): Promise<void> {
    live = false;
    const closed = new Promise<void>((resolve) => server.close(() => resolve()));
    wire.closeAll();
    for (const socket of sockets) socket.destroy();
    await closed;
  }

  await listen();

  return {
    get api() {
      return `${base('http')}/api`;
    },
    token,
    applicationId,
    guild,
    gateway: wire,
    requests,
    refusals,
    commands: (where = guild.id) => registered.get(where ?? 'global') ?? [],
    async ready(ms) {
      await until(() => live && read && registered.size > 0, 'a bot that is online with its commands', ms);
    },
    until,
    interact: (question) => send('command', 2, commandData(question), question).seen,
    ask: (question) => send('command', 2, commandData(question), question),
    async suggest(question) {
      const exchange = send('autocomplete', 4, commandData(question, question.focused), question);
      await exchange.seen;
      return exchange.choices ?? [];
    },
    press: ({ customId, message, ...from }) => send('button', 3, { custom_id: customId, component_type: 2 }, from, message ?? lastSeen()),
    submit: ({ customId, fields, ...from }) =>
      send(
        'form',
        5,
        {
          custom_id: customId,
          components: Object.entries(fields).map(([id, value], i) => ({
            id: i + 1,
            type: 18,
            component: { id: i + 101, type: 4, custom_id: id, value },
          })),
        },
        from,
      ),
    redeliver: (exchange) => wire.dispatch('INTERACTION_CREATE', exchange.payload),
    trouble: (route, trouble, times = 1) => void troubles.push({ route, trouble, times }),
    calm: () => void troubles.splice(0),
    down,
    up: listen,
    async stop() {
      for (const exchange of exchanges.values()) exchange.end();
      if (server.listening) await down();
    },
  };

  function lastSeen(): Seen {
    return [...messages.values()].at(-1)?.seen ?? seenOf({ id: snowflake(), body: { content: 'an old message' }, files: [], flags: 0 });
  }
}
