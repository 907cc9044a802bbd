/** Coming and going: the bot finds its way to Discord without anybody at the keyboard, and leaves when it is told to. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { CommandSpec } from '../../../bot/commands/types.ts';
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

describe('coming', () => {
  test('it hears of nothing but its servers and its commands, and offers exactly its commands', async () => {
    await online();
    expect(discord.gateway.identifies).toMatchObject([{ intents: 1, token: discord.token }]);
    expect(discord.commands().map(({ name }) => name)).toEqual(['balance', 'notes']);
    expect(discord.commands()[0]?.options?.map(({ name }) => name)).toEqual(['front', 'rear', 'card', 'truck']);
    expect(discord.commands()[1]?.options?.map(({ name }) => name)).toEqual(['save', 'show']);
    expect(discord.refusals).toEqual([]);
    expect(log.lines).toEqual([
      'Discord: online as dustsheet, in 1 server(s).',
      `Discord: 2 commands registered for server ${discord.guild.id}.`,
    ]);
  });

  test('commands that stand are not sent again; one changed word, and they are', async () => {
    await online();
    await bot?.stop();
    expect(puts()).toBe(1);
    bot = open(discord, club, log);
    await bot.ready;
    expect(puts()).toBe(1);
    expect(log.lines).toContain('Discord: 2 commands stand as they are.');
    await bot.stop();
    const specs: readonly CommandSpec[] = club.specs.map((spec) => ({
      ...spec,
      options: spec.options.map((option) => (option.name === 'rear' ? { ...option, description: 'rear axle, both wheels' } : option)),
    }));
    bot = open(discord, { ...club, specs }, log);
    await bot.ready;
    expect(puts()).toBe(2);
    expect(discord.commands()[0]?.options?.[1]?.description).toBe('rear axle, both wheels');
  });

  describe('commands that it had offered to every server before it was given one of its own', () => {
    const wasEverywhere = async (settings: DoubleSettings = {}, specs: readonly CommandSpec[] = club.specs): Promise<void> => {
      discord = await startDouble(settings);
      bot = open(discord, { ...club, specs }, log, { guild: undefined });
      await bot.ready;
      await bot.stop();
      log.lines.length = 0;
    };
    const names = (guild?: string | null): string[] => discord.commands(guild).map(({ name }) => name);
    const now = async (): Promise<void> => {
      bot = open(discord, club, log);
      await bot.ready;
    };

    test('are taken back, so that none shows twice', async () => {
      await wasEverywhere();
      expect([names(null), names()]).toEqual([['balance', 'notes'], []]);
      await now();
      expect([names(null), names()]).toEqual([[], ['balance', 'notes']]);
      expect(log.lines.at(-1)).toBe('Discord: 2 commands that stood for all servers are taken back: they would show twice.');
      expect(discord.refusals).toEqual([]);
    });

    test('are taken back one by one where there is one that it does not know', async () => {
      await wasEverywhere({}, [...club.specs, { name: 'weather', description: 'of another program', options: [] }]);
      await now();
      expect([names(null), names()]).toEqual([['weather'], ['balance', 'notes']]);
    });

    test('stay where other servers would be left without, and the log says so', async () => {
      await wasEverywhere({
        guilds: [
          { id: '1180000000000000100', name: 'Saltpan Desert Club' },
          { id: '1180000000000000200', name: 'Dry Lake Club' },
        ],
      });
      await now();
      expect([names(null), names()]).toEqual([
        ['balance', 'notes'],
        ['balance', 'notes'],
      ]);
      expect(log.lines.at(-1)).toMatch(/^Discord: 2 commands stand for all servers as well, and show twice/);
    });
  });

  test('without a server of its own it offers its commands to every server, and asks for a club in direct messages', async () => {
    discord = await startDouble();
    bot = open(discord, club, log, { guild: undefined });
    await bot.ready;
    expect(discord.commands(null)).toMatchObject([
      { name: 'balance', contexts: [0], integration_types: [0] },
      { name: 'notes', contexts: [0], integration_types: [0] },
    ]);
    expect(discord.commands()).toEqual([]);
    const seen = await discord.interact({ ...PLAIN, guild: null });
    expect(seen.private).toBe(true);
    expect(seen.content).toContain('which club is meant');
    expect((await discord.interact(PLAIN)).content).toContain('60.0 %');
    await bot.stop();
    bot = open(discord, club, log, { guild: undefined });
    await bot.ready;
    expect(puts()).toBe(1);
    expect(discord.refusals).toEqual([]);
  });

  test('a server that has not invited it: the log says how to', async () => {
    discord = await startDouble();
    bot = open(discord, club, log, { guild: '1111111111111111111' });
    await bot.ready;
    expect(log.lines.join('\n')).toContain('Is the bot a member of server 1111111111111111111?');
  });

  test('the commands are brought again when Discord is out of order for a moment', async () => {
    discord = await startDouble();
    discord.trouble('commands', { kind: 'cut' });
    discord.trouble('commands', { kind: 'rate limit', retryAfter: 0.1 });
    bot = open(discord, club, log);
    await bot.ready;
    expect(discord.commands()).toHaveLength(2);
  });

  test('with a wrong token it says one clear line and ends in good order', async () => {
    discord = await startDouble();
    bot = open(discord, club, log, { token: 'wrong' });
    expect(await bot.ended).toEqual({ orderly: false, why: 'Discord does not know this token. Look at DISCORD_TOKEN.' });
    await bot.ready;
    expect(log.lines).toEqual(['Discord does not know this token. Look at DISCORD_TOKEN.']);
    await wait(300);
    expect(discord.requests).toHaveLength(1); // every further try would count towards a ban
    await bot.stop();
  });

  test('without a token it is the same line', async () => {
    discord = await startDouble();
    bot = open(discord, club, log, { token: '' });
    expect(await bot.ended).toMatchObject({ orderly: false });
    expect(log.lines).toEqual(['Discord does not know this token. Look at DISCORD_TOKEN.']);
  });

  test('a token that is taken back while it runs ends it too', async () => {
    await online();
    discord.gateway.close(4004);
    expect(await bot?.ended).toMatchObject({ orderly: false, why: expect.stringContaining('DISCORD_TOKEN') });
    expect(log.lines.filter((line) => line.includes('DISCORD_TOKEN'))).toHaveLength(1);
  });

  test('Discord cannot be reached: it tries on, with growing pauses and one line, and is there when Discord is', async () => {
    discord = await startDouble();
    await discord.down();
    bot = open(discord, club, log);
    await wait(700);
    expect(log.lines).toEqual([expect.stringMatching(/^Discord cannot be reached: .*ECONNREFUSED.*Trying again, at least every 1 s\.$/)]);
    await discord.up();
    await bot.ready;
    expect((await discord.interact(PLAIN)).content).toContain('60.0 %');
    await bot.stop();
    expect(discord.gateway.open).toBe(0); // the library's own client would forget to close after a log-in that failed
  });

  test('something else answers in place of Discord, such as the log-in page of a guest network: it tries on', async () => {
    discord = await startDouble();
    discord.trouble('gateway', { kind: 'status', status: 200, body: '<html>Welcome to the camp site</html>' }, 2);
    discord.trouble('gateway', { kind: 'status', status: 503 }, 4);
    bot = open(discord, club, log);
    await bot.ready;
    expect((await discord.interact(PLAIN)).content).toContain('60.0 %');
  });

  test('told to stop while it is still looking for Discord, it stops', async () => {
    discord = await startDouble();
    await discord.down();
    bot = open(discord, club, log, { pace: { backOff: 60_000, longestBackOff: 60_000 } });
    await wait(100);
    const start = performance.now();
    await bot.stop();
    expect(performance.now() - start).toBeLessThan(2000);
    expect(await bot.ended).toMatchObject({ orderly: true });
  });
});

describe('going', () => {
  test('what is under way is finished first, and nothing new is begun', async () => {
    await online();
    club.before = () => wait(400);
    const exchange = discord.ask(QUESTION);
    await discord.until(() => club.heard.length === 1, 'the question');
    const stopped = bot?.stop();
    await stopped;
    expect((await exchange.seen).attachments).toHaveLength(1);
    expect(discord.gateway.open).toBe(0);
    expect(await bot?.ended).toEqual({ orderly: true, why: 'Discord: leaving.' });
    discord.ask(PLAIN);
    await wait(100);
    expect(club.heard).toHaveLength(1);
  });

  test('what never gets finished is not waited for', async () => {
    await online({}, { pace: { stop: 400, slow: 100 } });
    club.before = () => new Promise(() => {});
    const exchange = discord.ask(QUESTION);
    await discord.until(() => exchange.acknowledged !== null, 'the deferral');
    const start = performance.now();
    await bot?.stop();
    expect(performance.now() - start).toBeLessThan(2000);
    expect(log.lines.at(-1)).toBe('Discord: left without waiting any longer; 1 answer(s) not finished.');
  });

  test('a Discord that does not say goodbye is left all the same', async () => {
    await online({}, { pace: { stop: 400 } });
    discord.gateway.freeze();
    const start = performance.now();
    await bot?.stop();
    expect(performance.now() - start).toBeLessThan(2000);
    expect(log.lines.at(-1)).toBe('Discord: left without waiting any longer.');
  });

  test('told to stop while Discord is away, it does not come back later', async () => {
    await online({}, { pace: { stop: 400 } });
    await discord.down();
    await wait(300);
    await bot?.stop();
    const before = discord.gateway.opened.length;
    await discord.up();
    await wait(1500);
    expect(discord.gateway.identifies).toHaveLength(1);
    expect(discord.gateway.resumes).toBe(0);
    expect(discord.gateway.opened.length).toBe(before);
  });

  test('stopping twice is stopping once', async () => {
    await online();
    await Promise.all([bot?.stop(), bot?.stop()]);
    await bot?.stop();
    expect(log.lines.filter((line) => line === 'Discord: leaving.')).toHaveLength(1);
  });
});
