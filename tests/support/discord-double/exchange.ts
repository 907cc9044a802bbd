/** One interaction from the member's side: what was asked, what came back, and what stands in the channel now. */
import { type Asking, type Body, FLAG, POINTS_AT_FILE, type SentFile } from './rules.ts';

export interface SeenFile {
  readonly id: string;
  readonly filename: string;
  readonly contentType: string;
  /** The alt text; null when there is none. */
  readonly description: string | null;
  readonly bytes: Uint8Array;
}

/** A message as the member sees it. */
export interface Seen {
  readonly id: string;
  readonly content: string;
  readonly attachments: readonly SeenFile[];
  readonly flags: number;
  readonly private: boolean;
  /** Mentions in it that would ring somebody's phone. */
  readonly pings: readonly string[];
  readonly components: readonly Body[];
  /** The form that opened instead of a message. */
  readonly form?: Body;
}

/** Which first answer came, and when. */
export interface Acknowledged {
  readonly type: number;
  readonly private: boolean;
  readonly afterMs: number;
}

interface Standing {
  id: string;
  body: Body;
  files: SeenFile[];
  flags: number;
}

/** Time that a bot has for its first answer: Discord's documentation, "Receiving and Responding". */
export const FIRST_ANSWER_MS = 3000;

export class Exchange {
  /** The message that the member waits for; rejects when the bot says nothing in time. */
  readonly seen: Promise<Seen>;
  readonly followUps: Seen[] = [];
  /** Everything that happened, in order: "defer private", "edit", "follow up", "delete". */
  readonly history: string[] = [];
  acknowledged: Acknowledged | null = null;
  choices: readonly { readonly name: string; readonly value: string }[] | null = null;
  original: Standing | null = null;
  deleted = false;
  /** The member's client has given up: "The application did not respond". */
  lapsed = false;

  readonly id: string;
  readonly token: string;
  readonly asking: Asking;
  readonly payload: Body;
  readonly #born = performance.now();
  #resolve!: (seen: Seen) => void;
  #reject!: (error: Error) => void;
  #timer: NodeJS.Timeout;
  readonly #patience: number;

  constructor({ id, token, asking, payload, patience }: { id: string; token: string; asking: Asking; payload: Body; patience: number }) {
    this.id = id;
    this.token = token;
    this.asking = asking;
    this.payload = payload;
    this.#patience = patience;
    this.seen = new Promise((resolve, reject) => {
      this.#resolve = resolve;
      this.#reject = reject;
    });
    this.seen.catch(() => {}); // who looks at the rest only, need not look at this
    this.#timer = setTimeout(() => {
      this.lapsed = true;
      this.#reject(new Error('The application did not respond'));
    }, FIRST_ANSWER_MS);
  }

  get age(): number {
    return performance.now() - this.#born;
  }

  get loading(): boolean {
    return ((this.original?.flags ?? 0) & FLAG.loading) !== 0;
  }

  /** What stands in place of the first answer now. */
  get now(): Seen | null {
    return this.original && !this.deleted ? seenOf(this.original) : null;
  }

  acknowledge(type: number, data: Body, files: readonly SeenFile[], messageId: string): void {
    clearTimeout(this.#timer);
    const flags = typeof data.flags === 'number' ? data.flags : 0;
    this.acknowledged = { type, private: (flags & FLAG.ephemeral) !== 0, afterMs: performance.now() - this.#born };
    this.history.push(
      `${{ 4: 'reply', 5: 'defer', 6: 'defer update', 7: 'update', 8: 'suggest', 9: 'form' }[type]}${flags & FLAG.ephemeral ? ' private' : ''}`,
    );
    if (type === 8) this.choices = (data.choices ?? []) as { name: string; value: string }[];
    if (type === 9) this.#resolve({ ...seenOf({ id: messageId, body: {}, files: [], flags: 0 }), form: data });
    if (type === 4 || type === 7) {
      this.original = { id: messageId, body: data, files: [...files], flags };
      this.#resolve(seenOf(this.original));
    }
    if (type === 5) {
      this.original = { id: messageId, body: {}, files: [], flags: flags | FLAG.loading };
      this.#timer = setTimeout(() => this.#reject(new Error('The bot is still thinking')), this.#patience);
    }
    if (type === 8) this.#resolve(seenOf({ id: messageId, body: {}, files: [], flags: 0 }));
  }

  edit(body: Body, files: readonly SeenFile[]): void {
    const before = this.original;
    if (!before) throw new Error('There is nothing to edit');
    clearTimeout(this.#timer);
    // Attachments that an edit lists stay; those that it does not list go; an edit without a list keeps them all.
    const kept = 'attachments' in body ? before.files.filter(({ id }) => listed(body).includes(id)) : before.files;
    this.original = { id: before.id, body: { ...before.body, ...body }, files: [...kept, ...files], flags: before.flags & ~FLAG.loading };
    this.history.push('edit');
    this.#resolve(seenOf(this.original));
  }

  followUp(body: Body, files: readonly SeenFile[], messageId: string): Standing {
    const flags = typeof body.flags === 'number' ? body.flags : 0;
    const standing = { id: messageId, body, files: [...files], flags };
    this.followUps.push(seenOf(standing));
    this.history.push(`follow up${flags & FLAG.ephemeral ? ' private' : ''}`);
    return standing;
  }

  remove(): void {
    this.deleted = true;
    this.history.push('delete');
  }

  end(): void {
    clearTimeout(this.#timer);
    this.#reject(new Error('Discord was shut down'));
  }
}

const listed = (body: Body): readonly string[] => (Array.isArray(body.attachments) ? body.attachments.map((a: Body) => String(a.id)) : []);

/** The files of a request, joined with what its `attachments` say of them. */
export function filesOf(body: Body, files: ReadonlyMap<number, SentFile>, newId: () => string): readonly SeenFile[] {
  const attachments = (Array.isArray(body.attachments) ? body.attachments : []) as readonly Body[];
  return [...files].map(([n, file]) => {
    const about = attachments.find(({ id }) => POINTS_AT_FILE.test(String(id)) && Number(id) === n);
    return {
      id: newId(),
      filename: typeof about?.filename === 'string' ? about.filename : file.filename,
      contentType: file.contentType,
      description: typeof about?.description === 'string' ? about.description : null,
      bytes: file.bytes,
    };
  });
}

function pings({ content, allowed_mentions: allowed }: Body): readonly string[] {
  const found = typeof content === 'string' ? content.match(/@everyone|@here|<@[!&]?\d+>/g) : null;
  const kind = (mention: string): string => (mention.startsWith('<@&') ? 'roles' : mention.startsWith('<@') ? 'users' : 'everyone');
  const rules = (allowed ?? {}) as {
    readonly parse?: readonly string[];
    readonly users?: readonly string[];
    readonly roles?: readonly string[];
  };
  return (found ?? []).filter((mention) => {
    if (!allowed) return true;
    const id = /\d+/.exec(mention)?.[0] ?? '';
    return (
      rules.parse?.includes(kind(mention)) ||
      (kind(mention) === 'users' && rules.users?.includes(id)) ||
      (kind(mention) === 'roles' && rules.roles?.includes(id))
    );
  });
}

export function seenOf({ id, body, files, flags }: Standing): Seen {
  return {
    id,
    content: typeof body.content === 'string' ? body.content : '',
    attachments: files,
    flags,
    private: (flags & FLAG.ephemeral) !== 0,
    pings: pings(body),
    components: (Array.isArray(body.components) ? body.components : []) as readonly Body[],
  };
}
