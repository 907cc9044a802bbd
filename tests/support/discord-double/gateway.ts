/**
 * The gateway of the double: HELLO, IDENTIFY, READY, GUILD_CREATE, heartbeats, RESUME with replay, and closing on request.
 *
 * Source: Discord's developer documentation, page "Gateway" (close codes: "Opcodes and Status Codes"), 2026-08.
 */
import { randomUUID } from 'node:crypto';
import type { IncomingMessage, Server } from 'node:http';
import type { Duplex } from 'node:stream';
import { type WebSocket, WebSocketServer } from 'ws';

const OP = { dispatch: 0, heartbeat: 1, identify: 2, presence: 3, resume: 6, reconnect: 7, invalid: 9, hello: 10, ack: 11 } as const;
const CLOSE = {
  unknownOp: 4001,
  undecodable: 4002,
  notIdentified: 4003,
  badToken: 4004,
  twice: 4005,
  badSequence: 4007,
  intents: 4014,
} as const;
/** GUILD_MEMBERS, GUILD_PRESENCES, MESSAGE_CONTENT: not granted to this bot. */
const PRIVILEGED = (1 << 1) | (1 << 8) | (1 << 15);

interface Session {
  readonly id: string;
  readonly events: { readonly s: number; readonly t: string; readonly d: unknown }[];
  sequence: number;
  socket: WebSocket | null;
}

export interface Greeting {
  readonly user: object;
  readonly application: object;
  readonly guilds: readonly { readonly id: string }[];
  /** The whole guild, as GUILD_CREATE carries it. */
  guild(id: string): object;
}

export interface Identify {
  readonly token: string;
  readonly intents: number;
  readonly shard?: readonly [number, number];
}

export interface Gateway {
  readonly identifies: readonly Identify[];
  /** Paths on which sockets were opened, in order: '/gateway' anew, '/resume' after a break. */
  readonly opened: readonly string[];
  readonly resumes: number;
  readonly heartbeats: number;
  /** How many sockets are open now. */
  readonly open: number;
  /** No more acknowledgements of heartbeats while true. */
  deaf: boolean;
  /** Sends an event to the bot; kept for a resume when no socket is open. */
  dispatch(type: string, data: unknown): void;
  /** Closes with a close frame. */
  close(code: number): void;
  /** Cuts the wire, no close frame. */
  cut(): void;
  /** Asks the bot to reconnect (op 7). */
  reconnect(): void;
  /** Says that the session is not valid (op 9). */
  invalidate(resumable: boolean): void;
  /** Reads nothing any more: a close frame of the bot stays unanswered. */
  freeze(): void;
}

export function gateway(
  server: Server,
  facts: {
    readonly token: string;
    readonly heartbeat: number;
    readonly greeting: Greeting;
    readonly url: () => string;
    readonly live: () => void;
  },
): Gateway & { closeAll(): void } {
  const sockets = new WebSocketServer({ noServer: true });
  const sessions = new Map<string, Session>();
  const identifies: Identify[] = [];
  const opened: string[] = [];
  const count = { resumes: 0, heartbeats: 0 };
  let deaf = false;
  const raw = new Set<Duplex>();

  const send = (socket: WebSocket, payload: object): void => {
    if (socket.readyState === socket.OPEN) socket.send(JSON.stringify(payload));
  };
  const event = (session: Session, t: string, d: unknown): void => {
    session.sequence += 1;
    const kept = { s: session.sequence, t, d };
    session.events.push(kept);
    if (session.socket) send(session.socket, { op: OP.dispatch, ...kept });
  };

  server.on('upgrade', (request: IncomingMessage, stream: Duplex, head: Buffer) => {
    raw.add(stream);
    stream.on('close', () => raw.delete(stream));
    opened.push(new URL(request.url ?? '/', 'ws://double').pathname);
    sockets.handleUpgrade(request, stream, head, greet);
  });

  function greet(socket: WebSocket): void {
    let session: Session | null = null;
    send(socket, { op: OP.hello, s: null, t: null, d: { heartbeat_interval: facts.heartbeat } });
    socket.on('close', () => {
      if (session?.socket === socket) session.socket = null;
    });
    socket.on('error', () => socket.terminate());

    const identify = (d: Identify) => {
      if (session) return socket.close(CLOSE.twice, 'Already authenticated.');
      identifies.push(d);
      if (d.token !== facts.token) return socket.close(CLOSE.badToken, 'Authentication failed.');
      if (d.intents & PRIVILEGED) return socket.close(CLOSE.intents, 'Disallowed intent(s).');
      session = { id: randomUUID().replaceAll('-', ''), events: [], sequence: 0, socket };
      sessions.set(session.id, session);
      event(session, 'READY', {
        v: 10,
        user: facts.greeting.user,
        guilds: facts.greeting.guilds.map(({ id }) => ({ id, unavailable: true })),
        session_id: session.id,
        resume_gateway_url: `${facts.url()}/resume`,
        session_type: 'normal',
        shard: d.shard ?? [0, 1],
        application: facts.greeting.application,
        private_channels: [],
        presences: [],
        relationships: [],
        user_settings: {},
      });
      for (const { id } of facts.greeting.guilds) event(session, 'GUILD_CREATE', facts.greeting.guild(id));
      facts.live();
    };

    const resume = (d: { readonly token: string; readonly session_id: string; readonly seq: number }) => {
      if (d.token !== facts.token) return socket.close(CLOSE.badToken, 'Authentication failed.');
      const former = sessions.get(d.session_id);
      if (!former) return send(socket, { op: OP.invalid, s: null, t: null, d: false });
      if (d.seq > former.sequence) return socket.close(CLOSE.badSequence, 'Invalid seq.');
      count.resumes += 1;
      session = former;
      session.socket = socket;
      for (const missed of former.events) if (missed.s > d.seq) send(socket, { op: OP.dispatch, ...missed });
      event(session, 'RESUMED', {});
      facts.live();
    };

    socket.on('message', (data) => {
      let payload: { readonly op: number; readonly d: unknown };
      try {
        payload = JSON.parse(String(data));
      } catch {
        return socket.close(CLOSE.undecodable, 'Error while decoding payload.');
      }
      switch (payload.op) {
        case OP.heartbeat:
          count.heartbeats += 1;
          if (!deaf) send(socket, { op: OP.ack, s: null, t: null, d: null });
          return;
        case OP.identify:
          return identify(payload.d as Identify);
        case OP.resume:
          return resume(payload.d as { token: string; session_id: string; seq: number });
        case OP.presence:
          return session ? undefined : socket.close(CLOSE.notIdentified, 'Not authenticated.');
        default:
          return socket.close(CLOSE.unknownOp, 'Unknown opcode.');
      }
    });
  }

  const each = (act: (socket: WebSocket) => void): void => {
    for (const socket of sockets.clients) act(socket);
  };

  return {
    identifies,
    opened,
    get resumes() {
      return count.resumes;
    },
    get heartbeats() {
      return count.heartbeats;
    },
    get open() {
      return sockets.clients.size;
    },
    get deaf() {
      return deaf;
    },
    set deaf(value) {
      deaf = value;
    },
    dispatch(type, data) {
      const session = [...sessions.values()].at(-1);
      if (!session) throw new Error('No bot has ever identified: nobody is there to hear it');
      event(session, type, data);
    },
    close: (code) => each((socket) => socket.close(code)),
    cut: () => each((socket) => socket.terminate()),
    reconnect: () => each((socket) => send(socket, { op: OP.reconnect, s: null, t: null, d: null })),
    invalidate(resumable) {
      if (!resumable) sessions.clear();
      each((socket) => send(socket, { op: OP.invalid, s: null, t: null, d: resumable }));
    },
    freeze() {
      for (const stream of raw) stream.pause();
    },
    closeAll() {
      each((socket) => socket.terminate());
      for (const stream of raw) stream.destroy();
    },
  };
}
