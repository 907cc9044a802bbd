/** A whole process: it ends when it is told to, by itself, and leaves nothing running. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { type Double, startDouble } from '../../support/discord-double/index.ts';

let discord: Double;
let child: ChildProcess | undefined;
let said = '';

beforeEach(async () => {
  discord = await startDouble();
  said = '';
});
afterEach(async () => {
  child?.kill('SIGKILL');
  await discord.stop();
});

function start(env: Readonly<Record<string, string>> = {}): ChildProcess {
  child = spawn(process.execPath, ['--import', 'tsx', fileURLToPath(new URL('../../support/discord-bot.ts', import.meta.url))], {
    env: { ...process.env, DISCORD_TOKEN: discord.token, DISCORD_API: discord.api, DISCORD_GUILD: discord.guild.id, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  for (const stream of [child.stdout, child.stderr])
    stream?.setEncoding('utf8').on('data', (text: string) => {
      said += text;
    });
  return child;
}

async function end(process_: ChildProcess, within: number): Promise<number | null> {
  const [code] = (await once(process_, 'exit', { signal: AbortSignal.timeout(within) })) as [number | null];
  return code;
}

test('SIGTERM: it answers what is under way, leaves Discord, and the process ends by itself', async () => {
  const bot = start();
  await discord.ready(10_000);
  await discord.until(() => discord.commands().length > 0, 'the commands');
  const seen = discord.interact({ command: 'balance', options: { front: '1200', rear: '1800' } });
  await discord.until(() => discord.requests.some(({ route }) => route === 'callback'), 'the question');
  bot.kill('SIGTERM');
  expect(await end(bot, 6000)).toBe(0);
  expect((await seen).attachments).toHaveLength(1);
  expect(discord.gateway.open).toBe(0);
  expect(said).not.toMatch(/Error/);
});

test('SIGTERM while it waits to try Discord again: the process ends at once', async () => {
  await discord.down();
  const bot = start();
  await discord.until(() => said.includes('cannot be reached'), 'the first try', 10_000);
  bot.kill('SIGTERM');
  expect(await end(bot, 3000)).toBe(0);
});

test('a wrong token: one line, and the process ends by itself', async () => {
  expect(await end(start({ DISCORD_TOKEN: 'wrong' }), 10_000)).toBe(1);
  expect(said.trim()).toBe('Discord does not know this token. Look at DISCORD_TOKEN.');
});
