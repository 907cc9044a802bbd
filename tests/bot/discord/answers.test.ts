import sharp from 'sharp';
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
  bot = open(discord, club, log, { pace: { slow: 300, answer: 1000, draw: 1000, suggest: 400 } });
  await bot.ready;
});
beforeEach(() => {
  const fresh = smallClub();
  club.before = fresh.before;
  club.beforeSuggesting = fresh.beforeSuggesting;
  club.draw = fresh.draw;
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

test('an answer comes with words and picture, publicly, after "thinking" publicly', async () => {
  let drawn: Uint8Array = new Uint8Array();
  club.draw = async (svg) => {
    expect(exchange.acknowledged).toMatchObject({ type: 5, private: false }); // told before drawing
    drawn = await sharp(Buffer.from(svg)).png().toBuffer();
    return drawn;
  };
  const exchange = discord.ask(QUESTION);
  const seen = await exchange.seen;
  expect(exchange.history).toEqual(['defer', 'edit']);
  expect(seen.content).toBe('Truck: 60.0 % of 3000 g on the rear wheels.');
  expect(seen.private).toBe(false);
  expect(seen.attachments).toHaveLength(1);
  expect(seen.attachments[0]).toMatchObject({ filename: 'balance.png', contentType: 'image/png', description: 'A bar: 60.0 % rear.' });
  expect(Buffer.from(seen.attachments[0]!.bytes).equals(Buffer.from(drawn))).toBe(true);
  expect(await sharp(seen.attachments[0]!.bytes).metadata()).toMatchObject({ format: 'png', width: 300, height: 40 });
});

test('problems come at once and for the member alone', async () => {
  const exchange = discord.ask({ command: 'balance', options: { front: '12' } });
  const seen = await exchange.seen;
  expect(exchange.history).toEqual(['reply private']);
  expect(seen.private).toBe(true);
  expect(seen.content).toBe('Front: "12" is out. Give 20 to 10000 g.\nRear is missing. Give 20 to 10000 g.');
  expect(seen.attachments).toEqual([]);
});

test('problems stay private even where a command would show them', async () => {
  const own = club.answer;
  club.answer = async (message) => ({ ...(await own(message)), visibility: 'public' });
  expect((await discord.interact({ command: 'balance' })).private).toBe(true);
  club.answer = own;
});

test('an answer without a card is one message, without "thinking"', async () => {
  const exchange = discord.ask({ command: 'balance', options: { ...QUESTION.options, card: 'no' } });
  expect((await exchange.seen).content).toContain('60.0 %');
  expect(exchange.history).toEqual(['reply']);
});

test('the club, the member and the options arrive as text, and so does the id of the question', async () => {
  const member = { id: '1234567890123456789', username: 'saltflat', nick: 'Salt Flat' };
  const exchange = discord.ask({ command: 'notes save', options: { truck: 'Mudlark', note: '400 cSt' }, member });
  expect((await exchange.seen).content).toBe('Kept for Mudlark: 400 cSt');
  expect(club.heard.at(-1)).toEqual({
    command: 'notes save',
    options: { truck: 'Mudlark', note: '400 cSt' },
    asker: { club: discord.guild.id, clubName: discord.guild.name, member: member.id, memberName: 'Salt Flat' },
    id: exchange.id,
  });
});

test('a member without a nickname goes by the name of the account', async () => {
  await discord.interact({ command: 'balance', member: { id: '1234567890123456780', username: 'quiet' } });
  expect(club.heard.at(-1)?.asker.memberName).toBe('quiet');
});

test('a question that Discord delivers twice is answered once', async () => {
  const exchange = discord.ask({ command: 'notes save', options: { truck: 'Twice', note: 'one' } });
  discord.redeliver(exchange);
  await exchange.seen;
  discord.redeliver(exchange);
  await discord.interact({ command: 'notes show', options: { truck: 'Twice' } });
  expect(club.notes.get('Twice')).toEqual(['one']);
  expect(discord.requests.filter(({ path }) => path.includes(exchange.id))).toHaveLength(1);
});

test('what a member types rings nobody, on any way out', async () => {
  const hostile = '@everyone @here <@1234567890123456789> <@&1234567890123456789>';
  const saved = await discord.interact({ command: 'notes save', options: { truck: 'Loud', note: hostile } });
  expect(saved.content).toContain(hostile);
  expect(saved.pings).toEqual([]);
  const drawn = await discord.interact({ command: 'balance', options: { ...QUESTION.options, truck: hostile } });
  expect(drawn.content).toContain(hostile);
  expect(drawn.pings).toEqual([]);
  club.before = () => new Promise((resolve) => setTimeout(resolve, 500));
  const slow = discord.ask({ command: 'notes show', options: { truck: 'Loud' } });
  await discord.until(() => slow.followUps.length === 1, 'the public answer');
  expect(slow.followUps[0]?.content).toContain(hostile);
  expect(slow.followUps[0]?.pings).toEqual([]);
  expect((await slow.seen).pings).toEqual([]);
});

test('a text longer than a message arrives whole, in several', async () => {
  const line = (i: number): string => `${i} ${'x'.repeat(80)}`;
  club.before = async () => {
    (club.notes as Map<string, string[]>).set(
      'Long',
      Array.from({ length: 60 }, (_, i) => line(i)),
    );
  };
  const exchange = discord.ask({ command: 'notes show', options: { truck: 'Long' } });
  const first = await exchange.seen;
  await discord.until(() => exchange.followUps.length === 2, 'the rest');
  const all = [first, ...exchange.followUps].map(({ content }) => content);
  expect(all.every((content) => content.length <= 2000)).toBe(true);
  expect(all.join('\n').split('\n')).toEqual(Array.from({ length: 60 }, (_, i) => line(i)));
  expect(exchange.followUps.every((part) => !part.private)).toBe(true);
});

test('when the archive is slow, "thinking" comes first, for the member alone, and a public answer goes public all the same', async () => {
  club.before = () => new Promise((resolve) => setTimeout(resolve, 600));
  const exchange = discord.ask(QUESTION);
  await discord.until(() => exchange.acknowledged !== null, 'the deferral');
  expect(exchange.acknowledged).toMatchObject({ type: 5, private: true });
  await discord.until(() => exchange.deleted, 'the end');
  expect(exchange.history).toEqual(['defer private', 'edit', 'follow up', 'delete']);
  const [answer] = exchange.followUps;
  expect(answer).toMatchObject({ private: false, content: 'Truck: 60.0 % of 3000 g on the rear wheels.' });
  expect(answer?.attachments[0]?.description).toBe('A bar: 60.0 % rear.');
});

test('when the archive is slow, problems stay private', async () => {
  club.before = () => new Promise((resolve) => setTimeout(resolve, 600));
  const exchange = discord.ask({ command: 'balance', options: { front: '12' } });
  expect((await exchange.seen).private).toBe(true);
  expect((await exchange.seen).content).toContain('Rear is missing');
  expect(exchange.history).toEqual(['defer private', 'edit']);
});

test('when no answer comes at all, the member hears it, and that it may have been done', async () => {
  let release = (): void => {};
  club.before = () =>
    new Promise((resolve) => {
      release = resolve;
    });
  const seen = await discord.interact(QUESTION);
  release();
  expect(seen.private).toBe(true);
  expect(seen.content).toMatch(/^No answer after 1 s\. .*Reference \d+\.$/);
  expect(log.lines.join()).toContain('no answer after 1 s');
});

test('a card that cannot be drawn does not take the answer with it', async () => {
  club.draw = async () => {
    throw new Error('the font is gone');
  };
  const seen = await discord.interact(QUESTION);
  expect(seen.content).toContain('60.0 %');
  expect(seen.attachments).toEqual([]);
  expect(log.lines.join()).toContain('the font is gone');
  expect(log.lines.join()).toContain('/balance');
});

test('a card that never gets ready does not hold up the answer for ever', async () => {
  club.draw = () => new Promise(() => {});
  const seen = await discord.interact(QUESTION);
  expect(seen.content).toContain('60.0 %');
  expect(seen.attachments).toEqual([]);
  expect(log.lines.join()).toContain('not drawn within 1 s');
});

test('a card that is too heavy for Discord stays behind', async () => {
  club.draw = async () => new Uint8Array(10 * 1024 * 1024 + 1);
  const seen = await discord.interact(QUESTION);
  expect(seen.content).toContain('60.0 %');
  expect(seen.attachments).toEqual([]);
  expect(log.lines.join()).toContain('more than Discord takes');
});

test('a fault of the house is one line and a reference for the member, and a stack for the log', async () => {
  club.before = async () => {
    throw new Error('the drawer is stuck');
  };
  const exchange = discord.ask(QUESTION);
  const seen = await exchange.seen;
  expect(seen.private).toBe(true);
  expect(seen.content).toBe(`That did not work, and it is not your doing. Reference ${exchange.id}.`);
  const [line = ''] = log.lines;
  expect(line).toContain(`/balance (${exchange.id}) failed: Error: the drawer is stuck\n`);
  expect(line).toMatch(/at .*small-club\.ts/);
});

test('suggestions follow what is typed', async () => {
  (club.notes as Map<string, string[]>).set('Sandpiper', []);
  const all = await discord.suggest({ command: 'balance', options: { front: '1200', truck: 'sand' }, focused: 'truck' });
  expect(all).toEqual([
    { name: 'Sandhopper', value: 'Sandhopper' },
    { name: 'Sandpiper', value: 'Sandpiper' },
  ]);
  expect(await discord.suggest({ command: 'notes show', options: { truck: 'sandp' }, focused: 'truck' })).toEqual([
    { name: 'Sandpiper', value: 'Sandpiper' },
  ]);
});

test('suggestions: 25 at most, none empty, none twice, none longer than Discord takes', async () => {
  const notes = club.notes as Map<string, string[]>;
  for (let i = 0; i < 40; i += 1) notes.set(`zz${i}`, []);
  notes.set(`zz${'z'.repeat(100)}`, []);
  const found = await discord.suggest({ command: 'balance', options: { truck: 'zz' }, focused: 'truck' });
  expect(found).toHaveLength(25);
});

test('suggestions that fail or take too long are an empty list', async () => {
  club.beforeSuggesting = async () => {
    throw new Error('the list is wet');
  };
  expect(await discord.suggest({ command: 'balance', options: { truck: 's' }, focused: 'truck' })).toEqual([]);
  expect(log.lines.join()).toContain('the list is wet');
  club.beforeSuggesting = () => new Promise((resolve) => setTimeout(resolve, 1000));
  expect(await discord.suggest({ command: 'balance', options: { truck: 's' }, focused: 'truck' })).toEqual([]);
});

test('a button or a form of former days gets a sentence, not silence', async () => {
  const pressed = await discord.press({ customId: 'v0:share:1' }).seen;
  const submitted = await discord.submit({ customId: 'v0:balance', fields: { front: '1200' } }).seen;
  for (const seen of [pressed, submitted]) {
    expect(seen.private).toBe(true);
    expect(seen.content).toBe('That is not in use any more. Send the command again.');
  }
});

test('many members at once get their own answers', async () => {
  const asked = Array.from({ length: 20 }, (_, i) => ({
    rear: String(1000 + 100 * i),
    seen: discord.interact({ command: 'balance', options: { front: '1000', rear: String(1000 + 100 * i) } }),
  }));
  for (const { rear, seen } of asked) {
    const share = ((100 * Number(rear)) / (1000 + Number(rear))).toFixed(1);
    expect((await seen).content).toContain(`${share} % of`);
    expect((await seen).attachments[0]?.description).toBe(`A bar: ${share} % rear.`);
  }
});

test('nothing that leaves the house for the log holds a token', async () => {
  discord.trouble('edit', { kind: 'status', status: 400 }, 2);
  const exchange = discord.ask(QUESTION);
  await discord.until(() => log.lines.length >= 2, 'the lines about it');
  expect(log.lines.join('\n')).not.toContain(exchange.token);
  expect(log.lines.join('\n')).not.toContain(discord.token);
});
