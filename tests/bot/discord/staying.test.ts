/** Staying: lines break, sessions end, Discord goes away and comes back, and nobody is at the keyboard. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { DiscordHandle } from '../../../bot/transports/discord/index.ts';
import { type Double, type DoubleSettings, startDouble } from '../../support/discord-double/index.ts';
import { type Lines, lines, open, type SmallClub, smallClub } from './small-club.ts';

let discord: Double;
let club: SmallClub;
let log: Lines;
let bot: DiscordHandle | undefined;

beforeEach(() => {
  club = smallClub();
  log = lines();
});
afterEach(async () => {
  await bot?.stop();
  bot = undefined;
  await discord.stop();
});

const QUESTION = { command: 'balance', options: { front: '1200', rear: '1800' } };
const PLAIN = { command: 'balance', options: { front: '1200', rear: '1800', card: 'no' } };
const wait = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
const puts = (): number => discord.requests.filter(({ method, route }) => method === 'PUT' && route === 'commands').length;

async function online(settings: DoubleSettings = {}, bots: Parameters<typeof open>[3] = {}): Promise<void> {
  discord = await startDouble(settings);
  bot = open(discord, club, log, bots);
  await bot.ready;
}

describe('when the line breaks', () => {
  test.each([
    ['the wire is cut', () => discord.gateway.cut()],
    ['Discord closes with 4000', () => discord.gateway.close(4000)],
    ['Discord asks for a new connection', () => discord.gateway.reconnect()],
  ])('%s: it resumes, and answers what was asked meanwhile', async (_, break_) => {
    await online();
    break_();
    await discord.until(() => discord.gateway.open === 0, 'the end of the connection');
    const exchange = discord.ask(PLAIN);
    expect((await exchange.seen).content).toContain('60.0 %');
    expect(exchange.history).toEqual(['reply']);
    expect(discord.gateway.opened).toEqual(['/gateway', '/resume']);
    expect(discord.gateway.resumes).toBe(1);
    expect(discord.gateway.identifies).toHaveLength(1);
    await discord.until(() => log.lines.includes('Discord: connected again.'), 'the line about it');
  });

  test('an answer that is under way when the wire is cut arrives all the same', async () => {
    await online();
    club.before = () => wait(200);
    const exchange = discord.ask(QUESTION);
    await discord.until(() => club.heard.length === 1, 'the question');
    discord.gateway.cut();
    expect((await exchange.seen).attachments).toHaveLength(1);
  });

  test('the session is gone: it introduces itself anew', async () => {
    await online();
    discord.gateway.invalidate(false);
    await discord.until(() => discord.gateway.identifies.length === 2, 'a second introduction', 12_000);
    await discord.until(() => log.lines.includes('Discord: connected again.'), 'the line about it');
    expect((await discord.interact(PLAIN)).content).toContain('60.0 %');
    expect(puts()).toBe(1);
  });

  test('Discord no longer answers heartbeats: it does not sit on a dead line', async () => {
    await online({ heartbeat: 150 });
    await discord.until(() => discord.gateway.heartbeats > 1, 'heartbeats');
    discord.gateway.deaf = true;
    await discord.until(() => discord.gateway.resumes > 0, 'a new connection');
    discord.gateway.deaf = false;
    expect((await discord.interact(PLAIN)).content).toContain('60.0 %');
  });

  test('Discord is gone for a while and comes back: so does the bot', async () => {
    await online();
    await discord.down();
    await wait(1200);
    expect(log.lines.filter((line) => line.includes('connection is lost'))).toHaveLength(1);
    await discord.up();
    await discord.until(() => log.lines.includes('Discord: connected again.'), 'the bot', 12_000);
    expect((await discord.interact(PLAIN)).content).toContain('60.0 %');
  });
});
