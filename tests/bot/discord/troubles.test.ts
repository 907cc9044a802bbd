/** The wire between the club and Discord fails in all the ways it does in the desert: no answer may be lost, none may come twice. */
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import type { DiscordHandle } from '../../../bot/transports/discord/index.ts';
import { type Double, startDouble } from '../../support/discord-double/index.ts';
import { type Lines, lines, open, type SmallClub, smallClub } from './small-club.ts';

let discord: Double;
let club: SmallClub;
let log: Lines;
let bot: DiscordHandle;

beforeAll(async () => {
  discord = await startDouble();
  log = lines();
  club = smallClub();
  bot = open(discord, club, log, { pace: { slow: 300, firstTry: 400, upload: 1500, edit: 3000, retry: 50 } });
  await bot.ready;
});
beforeEach(() => {
  const fresh = smallClub();
  club.before = fresh.before;
  club.draw = fresh.draw;
  discord.calm();
  log.lines.length = 0;
});
afterEach(() => {
  expect(discord.refusals).toEqual([]);
});
afterAll(async () => {
  await bot.stop();
  await discord.stop();
});

const QUESTION = { command: 'balance', options: { front: '1200', rear: '1800' } };
const WORDS = 'Truck: 60.0 % of 3000 g on the rear wheels.';
const PLAIN = { command: 'balance', options: { front: '1200', rear: '1800', card: 'no' } };
const tries = (id: string): number => discord.requests.filter(({ path }) => path.includes(`/interactions/${id}/`)).length;
const edits = (token: string): number => discord.requests.filter(({ path, method }) => path.includes(token) && method === 'PATCH').length;

test('asked to wait before the first answer: it waits, and answers in time', async () => {
  discord.trouble('callback', { kind: 'rate limit', retryAfter: 0.4 });
  const exchange = discord.ask(QUESTION);
  expect((await exchange.seen).content).toBe(WORDS);
  // However slow the machine, it has waited as long as it was told to; a try that took too long on it is one more.
  const [first, second] = discord.requests.filter(({ path }) => path.includes(`/interactions/${exchange.id}/`));
  expect(second!.at - first!.at).toBeGreaterThan(400);
  expect(exchange.history).toEqual(['defer', 'edit']);
  expect(exchange.acknowledged?.afterMs).toBeGreaterThan(400);
  expect(exchange.acknowledged?.afterMs).toBeLessThan(3000);
});

test('asked to wait longer than Discord itself would: it gives up at once and says so in the log', async () => {
  discord.trouble('callback', { kind: 'rate limit', retryAfter: 30, global: true });
  const exchange = discord.ask(QUESTION);
  await discord.until(() => log.lines.length > 0, 'a line in the log');
  expect(log.lines.join()).toMatch(/\/balance \(\d+\): the deferral: Discord asks to wait 31 s/);
  expect(exchange.acknowledged).toBe(null);
  expect((await discord.interact(PLAIN)).content).toBe(WORDS); // and the next member is not made to wait for it
});

test('asked to wait before words and picture: they come afterwards, once', async () => {
  discord.trouble('edit', { kind: 'rate limit', retryAfter: 0.3 });
  const exchange = discord.ask(QUESTION);
  const seen = await exchange.seen;
  expect(seen.attachments).toHaveLength(1);
  expect(exchange.history).toEqual(['defer', 'edit']);
});

test('Discord has taken the first answer but says 502: tried again, told that it has it, carried on', async () => {
  discord.trouble('callback', { kind: 'status', status: 502, accepted: true, body: '<html>bad gateway</html>' });
  const exchange = discord.ask(QUESTION);
  const seen = await exchange.seen;
  expect(tries(exchange.id)).toBe(2);
  expect(discord.requests.findLast(({ route }) => route === 'callback')?.status).toBe(400); // 40060
  expect(seen).toMatchObject({ content: WORDS, private: false });
  expect(exchange.history).toEqual(['defer', 'edit']);
  expect(log.lines).toEqual([]);
});

test('Discord has not taken it and says 500: tried again until it does', async () => {
  discord.trouble('callback', { kind: 'status', status: 500 }, 2);
  const exchange = discord.ask(PLAIN);
  expect((await exchange.seen).content).toBe(WORDS);
  expect(tries(exchange.id)).toBe(3);
});

test.each([true, false])('the wire is cut during the first answer (Discord has it: %s)', async (accepted) => {
  discord.trouble('callback', { kind: 'cut', accepted });
  const exchange = discord.ask(PLAIN);
  expect((await exchange.seen).content).toBe(WORDS);
  await discord.until(() => tries(exchange.id) === 2, 'the second try');
  expect(exchange.history).toEqual(['reply']);
});

test('Discord takes the first answer and falls silent: not waited for until it is too late', async () => {
  discord.trouble('callback', { kind: 'slow', ms: 2500, accepted: true });
  const exchange = discord.ask(QUESTION);
  const seen = await exchange.seen;
  expect(seen.attachments).toHaveLength(1);
  expect(exchange.age).toBeLessThan(1400);
});

test('Discord never says whether it has the answer: the words are brought again, into the same message', async () => {
  discord.trouble('callback', { kind: 'slow', ms: 1000, accepted: true }, 1);
  discord.trouble('callback', { kind: 'status', status: 503 }, 20);
  const exchange = discord.ask(PLAIN);
  await discord.until(() => exchange.history.length === 2, 'the second way', 6000);
  expect(exchange.history).toEqual(['reply', 'edit']);
  expect(exchange.now?.content).toBe(WORDS);
});

test('Discord no longer takes the answer: a line in the log, and nothing is drawn for nobody', async () => {
  let drawn = 0;
  club.draw = async () => {
    drawn += 1;
    return new Uint8Array(8);
  };
  const exchange = discord.ask(QUESTION);
  exchange.lapsed = true; // the three seconds were over when the question got here
  await discord.until(() => log.lines.length > 0, 'a line in the log');
  expect(log.lines.join('\n')).toContain(`/balance (${exchange.id}): the deferral: Discord says 404 (10062) Unknown interaction`);
  expect(tries(exchange.id)).toBe(1);
  expect(drawn).toBe(0);
});

test('Discord is silent for longer than it waits itself: the log says what was lost', async () => {
  discord.trouble('callback', { kind: 'slow', ms: 3200 }, 10);
  const exchange = discord.ask(QUESTION);
  await expect(exchange.seen).rejects.toThrow('did not respond');
  await discord.until(() => log.lines.length >= 2, 'lines in the log');
  expect(log.lines.join('\n')).toMatch(/the deferral: no answer in time/);
  expect(log.lines.join('\n')).toMatch(/Unknown Webhook/);
  expect(exchange.history).toEqual([]);
});

test('another process with the same token has answered: this one keeps out of it', async () => {
  club.before = () => new Promise((resolve) => setTimeout(resolve, 150));
  const exchange = discord.ask(QUESTION);
  await fetch(`${discord.api}/v10/interactions/${exchange.id}/${exchange.token}/callback`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ type: 4, data: { content: 'mine', flags: 64 } }),
  });
  await discord.until(() => log.lines.length > 0, 'a line in the log');
  expect(log.lines.join()).toContain('was given by another process with this token');
  expect(exchange.now?.content).toBe('mine');
  expect(exchange.history).toEqual(['reply private']);
});

test('words and picture: a 500, a cut wire and a silence later they are there, once', async () => {
  discord.trouble('edit', { kind: 'status', status: 500, accepted: true });
  discord.trouble('edit', { kind: 'cut', accepted: true });
  discord.trouble('edit', { kind: 'slow', ms: 1800 });
  const exchange = discord.ask(QUESTION);
  await exchange.seen;
  await discord.until(() => edits(exchange.token) === 4, 'the fourth try');
  await discord.until(() => exchange.history.length >= 4, 'the last edit');
  expect(exchange.now?.content).toBe(WORDS);
  expect(exchange.now?.attachments).toHaveLength(1);
  expect(exchange.followUps).toEqual([]);
});

test('a picture that Discord refuses does not take the words with it', async () => {
  discord.trouble('edit', { kind: 'status', status: 413 });
  const exchange = discord.ask(QUESTION);
  const seen = await exchange.seen;
  expect(seen.content).toBe(WORDS);
  expect(seen.attachments).toEqual([]);
  expect(log.lines.join()).toContain('words and picture: Discord says 413');
});

test('words and picture that cannot be brought up: the words alone, which are lighter', async () => {
  discord.trouble('edit', { kind: 'status', status: 503 }, 6);
  const exchange = discord.ask(QUESTION);
  const seen = await exchange.seen;
  expect(seen.content).toBe(WORDS);
  expect(seen.attachments).toEqual([]);
});

test('a public follow-up that may have arrived is not sent twice, and the member keeps the words privately', async () => {
  club.before = () => new Promise((resolve) => setTimeout(resolve, 400));
  discord.trouble('follow up', { kind: 'status', status: 500, accepted: true });
  const exchange = discord.ask(QUESTION);
  await discord.until(() => log.lines.length > 0, 'a line in the log');
  expect(log.lines.join()).toContain('the public answer: Discord says 500');
  expect(exchange.followUps).toHaveLength(1);
  expect(exchange.now).toMatchObject({ content: WORDS, private: true });
});

test('a public follow-up that has certainly not arrived is sent again', async () => {
  club.before = () => new Promise((resolve) => setTimeout(resolve, 400));
  discord.trouble('follow up', { kind: 'rate limit', retryAfter: 0.1 });
  const exchange = discord.ask(QUESTION);
  await discord.until(() => exchange.deleted, 'the end');
  expect(exchange.followUps).toHaveLength(1);
});

test('a token that has run out is a line in the log', async () => {
  discord.trouble('edit', { kind: 'status', status: 401 }, 2);
  discord.ask(QUESTION);
  await discord.until(() => log.lines.length >= 2, 'lines in the log');
  expect(log.lines.join()).toContain('Discord says 401');
  expect((await discord.interact(QUESTION)).content).toBe(WORDS); // and the bot's own token is not forgotten over it
});
