/** Files that a member hands in with a command in Discord. */
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { bytesIn } from '../../../bot/commands/handed.ts';
import type { CommandSpec, Commands, Message, Reply } from '../../../bot/commands/types.ts';
import type { DiscordHandle } from '../../../bot/transports/discord/index.ts';
import { type Double, type HandedIn, startDouble } from '../../support/discord-double/index.ts';
import { type Lines, lines, open } from './small-club.ts';

const MOST = 1000;
const SPEC: CommandSpec = {
  name: 'weigh',
  description: 'Says how long a file is.',
  options: [],
  subcommands: [
    {
      name: 'file',
      description: 'one file',
      options: [
        { name: 'file', description: 'to weigh', kind: 'file' },
        { name: 'note', description: 'said with it', suggests: true },
      ],
    },
  ],
};

let double: Double;
let bot: DiscordHandle;
let log: Lines;
let heard: Message[];
const scale: Commands = {
  specs: [SPEC],
  async answer(message): Promise<Reply> {
    heard.push(message);
    const file = message.files?.file;
    const { note } = message.options;
    if (note === 'out' || note === 'too large') {
      const made = { name: 'mine.json', type: 'application/json', text: note === 'out' ? '{}' : ' '.repeat(11 * 1024 * 1024) };
      return { kind: 'words', text: 'All of it.', visibility: 'private', file: made };
    }
    if (!file) return { kind: 'words', text: 'No file.', visibility: 'private' };
    const bytes = await bytesIn('file', file, MOST);
    if (!(bytes instanceof Uint8Array)) return { kind: 'problems', text: bytes.text, visibility: 'private', problems: [bytes] };
    const text = `${file.name}, ${file.type || 'no type'}, ${bytes.byteLength} bytes: ${Buffer.from(bytes).toString('utf8').slice(0, 20)}`;
    return { kind: 'words', text, visibility: 'public' };
  },
  suggest: async () => ['calm'],
};

beforeEach(async () => {
  heard = [];
  double = await startDouble();
  log = lines();
  bot = open(double, scale, log, { pace: { fetch: 300 } });
  await double.ready();
});
afterEach(async () => {
  await bot.stop();
  await double.stop();
});

const weigh = async (file: HandedIn): Promise<string> => {
  const seen = await double.interact({ command: 'weigh file', files: { file }, options: { note: 'as it is' } });
  return seen.content;
};
const text = (length: number, more: Partial<HandedIn> = {}): HandedIn => ({
  filename: 'evening setup.json',
  contentType: 'application/json',
  bytes: Buffer.alloc(length, 'a'),
  ...more,
});

describe('a file that a member hands in', () => {
  it('arrives whole, with its name, beside what was typed; Discord’s file server sees no token', async () => {
    expect(await weigh(text(MOST))).toBe(`evening setup.json, application/json, 1000 bytes: ${'a'.repeat(20)}`);
    expect(heard[0]).toMatchObject({ command: 'weigh file', options: { note: 'as it is' } });
    expect(Object.keys(heard[0]!.options)).toEqual(['note']);
    const [asked] = double.requests.filter(({ route }) => route === 'attachment');
    expect(asked?.headers.authorization).toBeUndefined();
    expect(double.refusals).toEqual([]);
  });

  it('is asked for only by a command that wants it', async () => {
    expect((await double.interact({ command: 'weigh file' })).content).toBe('No file.');
    expect(await double.suggest({ command: 'weigh file', focused: 'note', options: { note: '' }, files: { file: text(10) } })).toEqual([
      { name: 'calm', value: 'calm' },
    ]);
    expect(double.requests.filter(({ route }) => route === 'attachment')).toEqual([]);
  });

  it('that is too large is refused before it is fetched', async () => {
    expect(await weigh(text(MOST + 1))).toBe('The file "evening setup.json" is too large. Give at most 1000 bytes.');
    expect(double.requests.filter(({ route }) => route === 'attachment')).toEqual([]);
  });

  it('that is larger than it was said to be is let go while it comes', async () => {
    expect(await weigh(text(500_000, { size: 20 }))).toContain('is too large');
  });

  it('that does not come whole, or not in time, or not at all, is told in a sentence without its address', async () => {
    const lost = 'The file "evening setup.json" did not come whole. Send it once more.';
    expect(await weigh(text(10, { size: 20 }))).toBe(lost);
    double.trouble('attachment', { kind: 'status', status: 403 });
    expect(await weigh(text(10))).toBe(lost);
    double.trouble('attachment', { kind: 'cut' });
    expect(await weigh(text(10))).toBe(lost);
    double.trouble('attachment', { kind: 'slow', ms: 8000 });
    const from = performance.now();
    expect(await weigh(text(10))).toBe(lost);
    expect(performance.now() - from).toBeLessThan(6000);
    expect(JSON.stringify(log.lines)).not.toContain('ephemeral');
  });

  it('is fetched from nowhere but by https, or from where the API itself is', async () => {
    let hits = 0;
    const elsewhere = createServer((_, response) => {
      hits += 1;
      response.end('a'.repeat(10));
    });
    await new Promise<void>((ready) => elsewhere.listen(0, '127.0.0.1', ready));
    const near = `http://127.0.0.1:${(elsewhere.address() as AddressInfo).port}/x`;
    for (const url of [near, 'data:text/plain,aaaaaaaaaa', 'file:///etc/passwd', 'no address'])
      expect(await weigh(text(10, { url }))).toContain('did not come whole');
    expect(hits).toBe(0);
    elsewhere.close();
    expect(double.requests.filter(({ route }) => route === 'attachment')).toEqual([]);
  });
});

describe('a file that goes out', () => {
  it('goes along with its words, also where there is no card', async () => {
    const seen = await double.interact({ command: 'weigh file', options: { note: 'out' } });
    expect([seen.content, seen.private]).toEqual(['All of it.', true]);
    expect(seen.attachments).toMatchObject([{ filename: 'mine.json', contentType: 'application/json', description: null }]);
    expect(Buffer.from(seen.attachments[0]!.bytes).toString()).toBe('{}');
    expect(double.refusals).toEqual([]);
  });

  it('that is more than Discord takes is not tried, and the member hears so', async () => {
    const seen = await double.interact({ command: 'weigh file', options: { note: 'too large' } });
    expect(seen.content).toBe('All of it.\nmine.json is more than the 10 MiB that Discord takes: ask for it at the terminal.');
    expect(seen.attachments).toEqual([]);
    expect(double.refusals).toEqual([]);
  });
});
