/**
 * One question of a member, from the command to words and picture.
 *
 *     answer in time, no card   → reply
 *     answer in time, card      → defer (public or private is known now) → draw → edit in words and picture
 *     answer slow               → defer privately, which is safe whatever comes → edit in the words;
 *                                 a public answer then goes out as a follow-up: a deferral cannot be made public any more
 *
 * Discord fixes public or private with the first answer, gives 3 s for it, and 15 minutes for the rest.
 */
import { MessageFlags, type RawFile } from 'discord.js';
import type { Commands, Message, Reply } from '../../commands/types.ts';
import { account, type Delivery, type Outcome, type Thread } from './delivery.ts';
import { LIMIT, pieces, shorten } from './limits.ts';
import type { Pace } from './pace.ts';

export interface Log {
  info(line: string): void;
  error(line: string): void;
}

const REPLY = 4;
const DEFER = 5;

type Visibility = Reply['visibility'];
interface Attached {
  readonly bytes: Uint8Array;
  /** Empty for a file that is no picture. */
  readonly alt: string;
  readonly filename: string;
  readonly type: string;
}

/** Settles with undefined when the time is over; the promise itself goes on. */
export async function within<T>(ms: number, promise: Promise<T>): Promise<T | undefined> {
  let timer: NodeJS.Timeout | undefined;
  const over = new Promise<undefined>((resolve) => {
    timer = setTimeout(() => resolve(undefined), ms);
  });
  try {
    return await Promise.race([promise, over]);
  } finally {
    clearTimeout(timer);
  }
}

/** A message that rings nobody: what a member typed comes back as text, whatever it says. */
function message(content: string, along: readonly Attached[] = []): object {
  return {
    content,
    allowed_mentions: { parse: [] },
    attachments: along.map(({ filename, alt }, i) => ({
      id: String(i),
      filename,
      ...(alt === '' ? {} : { description: shorten(alt, LIMIT.altText) }),
    })),
  };
}

const filesOf = (along: readonly Attached[]): readonly RawFile[] =>
  along.map(({ filename, bytes, type }, i) => ({ name: filename, data: Buffer.from(bytes), contentType: type, key: `files[${i}]` }));

function flags(visibility: Visibility): { readonly flags?: number } {
  return visibility === 'private' ? { flags: MessageFlags.Ephemeral } : {};
}

export interface Tools {
  readonly commands: Commands;
  readonly delivery: Delivery;
  readonly pace: Pace;
  readonly log: Log;
}

/** Never rejects: what goes wrong is in the log, and where it can be, in the member's hands. */
export async function converse(thread: Thread, ask: Message, tools: Tools): Promise<void> {
  const { pace, log, delivery } = tools;
  const name = `/${ask.command}`;
  const start = performance.now();
  const firstUntil = start + pace.firstAnswer;
  const until = (): number => performance.now() + pace.edit;
  const failed = (what: string, outcome: Outcome): boolean => {
    if (outcome.kind === 'sent') return false;
    log.error(`${name} (${thread.id}): ${what} ${outcome.kind === 'taken' ? 'was given by another process with this token' : outcome.why}`);
    return true;
  };

  const work = answered(ask, thread, tools);
  const quick = await within(pace.slow, work);

  if (!quick) {
    const deferred = await delivery.acknowledge(thread, { type: DEFER, data: flags('private') }, firstUntil);
    if (failed('the deferral:', deferred) && deferred.kind !== 'unsure') return;
    const reply = (await within(pace.answer, work)) ?? late(ask, thread, tools);
    const [first = '', ...rest] = pieces(reply.text);
    if (failed('the words:', await delivery.edit(thread, message(first), [], until()))) return;
    const along = await drawn(reply, name, thread, tools);
    if (reply.visibility === 'private') {
      if (along.length > 0) failed('the picture:', await delivery.edit(thread, message(first, along), filesOf(along), until()));
      return more(rest, 'private');
    }
    const out = await delivery.followUp(thread, message(first, along), filesOf(along), until());
    // The member has the words privately; in the channel they would be seen twice if this were tried again.
    if (failed('the public answer:', out)) return;
    await more(rest, 'public');
    failed('clearing the private copy:', await delivery.remove(thread, until()));
    return;
  }

  const [first = '', ...rest] = pieces(quick.text);
  if (!quick.card && !quick.file && !quick.pictures) {
    const sent = await delivery.acknowledge(thread, { type: REPLY, data: { ...message(first), ...flags(quick.visibility) } }, firstUntil);
    if (failed('the answer:', sent)) {
      // Nobody knows whether it has arrived; an edit tells: it finds the message, or there is none.
      if (sent.kind !== 'unsure' || failed('the answer:', await delivery.edit(thread, message(first), [], until()))) return;
    }
    return more(rest, quick.visibility);
  }

  const deferred = await delivery.acknowledge(thread, { type: DEFER, data: flags(quick.visibility) }, firstUntil);
  if (failed('the deferral:', deferred) && deferred.kind !== 'unsure') return;
  const along = await drawn(quick, name, thread, tools);
  const whole = await delivery.edit(thread, message(first, along), filesOf(along), until());
  if (failed(along.length > 0 ? 'words and picture:' : 'the words:', whole)) {
    if (along.length === 0 || failed('the words alone:', await delivery.edit(thread, message(first), [], until()))) return;
  }
  return more(rest, quick.visibility);

  async function more(parts: readonly string[], visibility: Visibility): Promise<void> {
    for (const part of parts)
      if (failed('the rest of the words:', await delivery.followUp(thread, { ...message(part), ...flags(visibility) }, [], until())))
        return;
  }
}

/** The house's reply; an error in the house becomes one line with a reference, and a line in the log. */
async function answered(ask: Message, thread: Thread, { commands, log }: Tools): Promise<Reply> {
  try {
    const reply = await commands.answer(ask);
    if (reply.text.trim() === '') throw new Error('The reply has no words');
    // A member's slips are the member's own affair.
    return reply.kind === 'problems' ? { ...reply, visibility: 'private' } : fitting(reply);
  } catch (error) {
    log.error(`/${ask.command} (${thread.id}) failed: ${account(error)}`);
    return { kind: 'words', visibility: 'private', text: `That did not work, and it is not your doing. Reference ${thread.id}.` };
  }
}

/** A file that Discord would not take is not tried; the member hears where it can be had. */
function fitting({ file, ...reply }: Reply): Reply {
  if (file === undefined || Buffer.byteLength(file.text) <= LIMIT.fileBytes) return file === undefined ? reply : { ...reply, file };
  const most = LIMIT.fileBytes / 1024 / 1024;
  return { ...reply, text: `${reply.text}\n${file.name} is more than the ${most} MiB that Discord takes: ask for it at the terminal.` };
}

function late(ask: Message, thread: Thread, { pace, log }: Tools): Reply {
  log.error(`/${ask.command} (${thread.id}): no answer after ${pace.answer / 1000} s`);
  const text = `No answer after ${Math.round(pace.answer / 1000)} s. What you asked for may have been done all the same: look before you ask again. Reference ${thread.id}.`;
  return { kind: 'words', visibility: 'private', text };
}

/** The file or the card, or nothing and a line in the log: the words go out all the same. */
async function drawn(reply: Reply, name: string, thread: Thread, { pace, log }: Tools): Promise<readonly Attached[]> {
  if (reply.file) {
    const { name: filename, type, text } = reply.file;
    return [{ bytes: Buffer.from(text), alt: '', filename, type }];
  }
  if (reply.pictures) return reply.pictures.map(({ bytes, alt, name: filename, type }) => ({ bytes, alt, filename, type }));
  if (!reply.card) return [];
  try {
    const bytes = await within(pace.draw, reply.card.png());
    if (!bytes) throw new Error(`not drawn within ${pace.draw / 1000} s`);
    if (bytes.byteLength > LIMIT.fileBytes) throw new Error(`${bytes.byteLength} bytes are more than Discord takes`);
    const filename = `${reply.card.name.replace(/\.png$/i, '').replace(/[^\p{L}\p{N}_-]+/gu, '-') || 'card'}.png`;
    return [{ bytes, alt: reply.card.alt, type: 'image/png', filename }];
  } catch (error) {
    log.error(`${name} (${thread.id}): the card is missing, the words go out alone: ${account(error)}`);
    return [];
  }
}
