/**
 * Answers on their way to Discord, each with its own patience.
 *
 * discord.js's own way (15 s a try, three tries, waits out every rate limit) does not fit the 3 s that Discord gives for the first
 * answer, so the tries are made here. What may be tried again, and why:
 *   first answer  always: Discord takes one only, and says 40060 to the second
 *   edit, delete  always: the same words twice are the same words
 *   follow-up     only when it cannot have arrived, else the member would read it twice
 *
 * The URLs hold the token of the interaction: nothing of an error but its words goes into the log.
 */
import { DiscordAPIError, HTTPError, RateLimitError, type RawFile, REST, RESTJSONErrorCodes, Routes } from 'discord.js';
import type { Pace } from './pace.ts';

/** The interaction that is answered. */
export interface Thread {
  readonly id: string;
  readonly token: string;
  readonly applicationId: string;
}

/**
 * `sent`     Discord has it.
 * `taken`    somebody else (a second process with this token) has answered.
 * `lost`     Discord does not take it any more, or not at all.
 * `unsure`   time ran out without a word: it may have arrived.
 */
export type Outcome = { readonly kind: 'sent' } | { readonly kind: 'taken' } | { readonly kind: 'lost' | 'unsure'; readonly why: string };

export interface Delivery {
  acknowledge(thread: Thread, body: object, until: number): Promise<Outcome>;
  edit(thread: Thread, body: object, files: readonly RawFile[], until: number): Promise<Outcome>;
  followUp(thread: Thread, body: object, files: readonly RawFile[], until: number): Promise<Outcome>;
  remove(thread: Thread, until: number): Promise<Outcome>;
  close(): void;
}

const NOT_CONNECTED = new Set(['ECONNREFUSED', 'ENOTFOUND', 'EAI_AGAIN', 'EHOSTUNREACH', 'ENETUNREACH', 'UND_ERR_CONNECT_TIMEOUT']);

/** One line on an error, without addresses, bodies or tokens. */
export function words(error: unknown): string {
  if (error instanceof DiscordAPIError) return `Discord says ${error.status} (${error.code}) ${error.message.replace(/\s+/g, ' ')}`;
  if (error instanceof HTTPError) return `Discord says ${error.status}`;
  if (error instanceof RateLimitError) return `Discord asks to wait ${Math.ceil(error.retryAfter / 1000)} s`;
  if (!(error instanceof Error)) return String(error);
  if (error.name === 'AbortError') return 'no answer in time';
  const code = codeOf(error);
  return code && !error.message.includes(code) ? `${error.message || error.name} (${code})` : error.message || error.name;
}

/** What a log needs of an error of ours: with its stack; of one from the wire: the words alone. */
export function account(error: unknown): string {
  const wire = error instanceof DiscordAPIError || error instanceof HTTPError || error instanceof RateLimitError;
  return !wire && error instanceof Error ? (error.stack ?? words(error)) : words(error);
}

function codeOf(error: Error): string {
  const code: unknown = 'code' in error ? error.code : undefined;
  return typeof code === 'string' ? code : '';
}

export function delivery(api: string, pace: Pace): Delivery {
  const rest = new REST({ api, retries: 0, timeout: pace.upload, rejectOnRateLimit: () => true });
  /** Cuts short whatever is under way: tries and pauses. */
  const underWay = new Set<() => void>();
  let closed = false;

  async function inTime(ms: number, send: (signal: AbortSignal) => Promise<unknown>): Promise<void> {
    const controller = new AbortController();
    const abort = (): void => controller.abort();
    const timer = setTimeout(abort, ms);
    underWay.add(abort);
    try {
      await send(controller.signal);
    } finally {
      clearTimeout(timer);
      underWay.delete(abort);
    }
  }

  async function rested(ms: number): Promise<void> {
    let wake = (): void => {};
    const awake = new Promise<void>((resolve) => {
      wake = resolve;
    });
    const timer = setTimeout(wake, ms);
    underWay.add(wake);
    await awake;
    clearTimeout(timer);
    underWay.delete(wake);
  }

  async function deliver(
    send: (signal: AbortSignal) => Promise<unknown>,
    { until, perTry, repeatable }: { readonly until: number; readonly perTry: number; readonly repeatable: boolean },
  ): Promise<Outcome> {
    let mayHaveArrived = false;
    for (let pause = pace.retry; ; pause *= 2) {
      const left = until - performance.now();
      if (left <= 0) return { kind: mayHaveArrived ? 'unsure' : 'lost', why: 'no time left' };
      let rest = pause;
      let why: string;
      try {
        await inTime(Math.min(perTry, left), send);
        return { kind: 'sent' };
      } catch (error) {
        why = words(error);
        if (error instanceof DiscordAPIError) {
          if (error.code === RESTJSONErrorCodes.InteractionHasAlreadyBeenAcknowledged) return { kind: mayHaveArrived ? 'sent' : 'taken' };
          return { kind: 'lost', why };
        }
        if (error instanceof RateLimitError) rest = Math.max(pause, error.retryAfter);
        else if (!(error instanceof Error && NOT_CONNECTED.has(codeOf(error)))) mayHaveArrived = true;
      }
      const again = !closed && (repeatable || !mayHaveArrived) && performance.now() + rest < until;
      if (!again) return { kind: mayHaveArrived ? 'unsure' : 'lost', why };
      await rested(rest);
    }
  }

  return {
    acknowledge: ({ id, token }, body, until) =>
      deliver((signal) => rest.post(Routes.interactionCallback(id, token), { auth: false, body, signal }), {
        until,
        perTry: pace.firstTry,
        repeatable: true,
      }),
    edit: ({ applicationId, token }, body, files, until) =>
      deliver((signal) => rest.patch(Routes.webhookMessage(applicationId, token), { auth: false, body, files: [...files], signal }), {
        until,
        perTry: pace.upload,
        repeatable: true,
      }),
    followUp: ({ applicationId, token }, body, files, until) =>
      deliver((signal) => rest.post(Routes.webhook(applicationId, token), { auth: false, body, files: [...files], signal }), {
        until,
        perTry: pace.upload,
        repeatable: false,
      }),
    remove: ({ applicationId, token }, until) =>
      deliver((signal) => rest.delete(Routes.webhookMessage(applicationId, token), { auth: false, signal }), {
        until,
        perTry: pace.upload,
        repeatable: true,
      }),
    close() {
      closed = true;
      for (const end of underWay) end();
      rest.clearHashSweeper();
      rest.clearHandlerSweeper();
    },
  };
}
