/** One question through every face of the running house: terminal, bench and Discord say the same, to the last digit. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadFormulas, loadSheets } from '../../worksheets/engine/library.ts';
import type { Sheet } from '../../worksheets/engine/notation.ts';
import { type Double, startDouble } from '../support/discord-double/index.ts';
import { words } from './bench/open-bench.ts';

const main = fileURLToPath(new URL('../../bot/main.ts', import.meta.url));
const sheets: ReadonlyMap<string, Sheet> = await loadSheets(await loadFormulas());
// A few of every kind: several calls of calc, lists, words, curves, an end, more than 25 options.
const ASKED = ['corners', 'gearing', 'press', 'coil', 'ride', 'top_speed', 'launch', 'ballast', 'laps', 'oil', 'whoops', 'travel'];

let folder: string;
let discord: Double;
let house: ChildProcess;
let bench: string;
let said = '';
const env = (): NodeJS.ProcessEnv => ({
  ...process.env,
  DATABASE_FILE: join(folder, 'club.sqlite'),
  PORT: '0',
  HOST: '127.0.0.1',
  DISCORD_TOKEN: discord.token,
  DISCORD_API: discord.api,
  DISCORD_GUILD: discord.guild.id,
});

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'dustsheet-faces-'));
  discord = await startDouble();
  house = spawn(process.execPath, ['--import', 'tsx', main], { env: env(), stdio: ['ignore', 'pipe', 'pipe'] });
  for (const stream of [house.stdout!, house.stderr!]) stream.on('data', (text) => (said += String(text)));
  const died = new Promise<never>((_, failed) => house.once('exit', () => failed(new Error(`the house ended: ${said}`))));
  died.catch(() => {});
  await Promise.race([discord.ready(60_000), died]);
  bench = /http:\/\/[\d.:]+/.exec(said)?.[0] ?? expect.fail(`the house did not say where the bench is: ${said}`);
}, 90_000);

afterAll(async () => {
  if (house.exitCode === null) {
    const ended = new Promise((done) => house.once('exit', done));
    house.kill('SIGTERM');
    await ended;
  }
  await discord.stop();
  await rm(folder, { recursive: true, force: true });
}, 30_000);

/** The terminal in a process of its own: it shares the archive's file with the running house. */
function terminal(args: readonly string[], input = ''): Promise<string> {
  return new Promise((done, failed) => {
    const child = spawn(process.execPath, ['--import', 'tsx', main, 'ask', ...args], { env: env(), stdio: ['pipe', 'pipe', 'pipe'] });
    child.stdin.end(input);
    let out = '';
    let err = '';
    child.stdout.on('data', (text) => (out += String(text)));
    child.stderr.on('data', (text) => (err += String(text)));
    child.on('close', (code) => (code === 0 ? done(out) : failed(new Error(`exit ${code}: ${err}`))));
  });
}

/** Typed readings as one option line each; lists keep their line ends out of a command line. */
const readingsOf = (sheet: Sheet): Record<string, string> =>
  Object.fromEntries(Object.entries(sheet.example).map(([name, value]) => [name, value.replaceAll('\n', '; ')]));

/** Discord's text with its escapes taken off: the member reads it without them. */
const read = (content: string): string => content.replace(/\\([\\`*_~|>#[\]()<@:.-])/g, '$1').replaceAll('**', '');

/** Options as Discord takes them: what stands behind the 24th goes into `more`. */
function options(sheet: Sheet, readings: Readonly<Record<string, string>>): Record<string, string> {
  const offered = new Set(
    discord
      .commands(discord.guild.id)
      .find(({ name }) => name === sheet.name)!
      .options!.map(({ name }) => name),
  );
  const here = Object.entries(readings).filter(([name]) => offered.has(name));
  const more = Object.entries(readings).filter(([name]) => !offered.has(name));
  return { ...Object.fromEntries(here), ...(more.length > 0 ? { more: more.map(([name, value]) => `${name}:${value}`).join(' ') } : {}) };
}

const PNG = new TextEncoder().encode('PNG');
/** What other programs read: all questions in one process. */
let machine: Promise<ReadonlyMap<string, { readonly answers: unknown }>>;
beforeAll(() => {
  const lines = ASKED.map((name) => sheets.get(name)!).map((sheet) =>
    JSON.stringify({ sheet: sheet.name, readings: { ...readingsOf(sheet), ...(sheet.ends ? { end: 'rear' } : {}) } }),
  );
  machine = terminal(['--jsonl'], `${lines.join('\n')}\n`).then(
    (out) =>
      new Map(
        out
          .trim()
          .split('\n')
          .map((line) => JSON.parse(line))
          .map((one) => [one.sheet as string, one]),
      ),
  );
});

describe('one question, every face', () => {
  for (const name of ASKED) {
    it(`${name} answers alike in the terminal, on the bench and in Discord`, async () => {
      const sheet = sheets.get(name)!;
      const readings = readingsOf(sheet);
      const asked = { ...readings, ...(sheet.ends ? { end: 'rear' } : {}) };
      const { answers } = (await machine).get(name) ?? expect.fail(`no answer to ${name}`);
      const texts = Object.entries(answers as Record<string, { text: string; value: unknown }>).filter(([, { value }]) => value !== null);
      expect(texts.length).toBeGreaterThan(1);

      // A truck of its own: what another sheet was told of it must not fill this one.
      const truck = `of ${name}`;
      const plain = await terminal([name, `truck=${truck}`, ...Object.entries(asked).map(([reading, value]) => `${reading}=${value}`)]);
      const page = words(await (await fetch(`${bench}/sheets/${name}?${new URLSearchParams({ ...asked, truck })}`)).text());
      const seen = await discord.interact({ command: name, options: options(sheet, { truck, ...asked }) });
      expect(seen.private).toBe(false);
      for (const [answer, { text }] of texts) {
        // The page sets number and unit apart; what counts is the number with its ±.
        const number = text.split(' ')[0]!;
        expect(plain, `${answer} in the terminal`).toContain(text);
        expect(read(seen.content), `${answer} in Discord`).toContain(text);
        expect(page, `${answer} on the bench`).toContain(number);
      }
      expect(seen.attachments[0]?.bytes.subarray(1, 4)).toEqual(PNG);
      expect(seen.attachments[0]?.description).toContain(sheet.title);
    }, 60_000);
  }

  it('a slip is answered with the same sentence everywhere, and only to the member', async () => {
    const asked = { front_left: '6120', front_right: '605', rear_left: '901', rear_right: '896' };
    const sentence = 'Front left: "6120" is out. Give 10 to 5000 g. Did you mean 612.0 g?';
    await expect(terminal(['corners', ...Object.entries(asked).map(([reading, value]) => `${reading}=${value}`)])).rejects.toThrow(
      sentence,
    );
    expect(words(await (await fetch(`${bench}/sheets/corners?${new URLSearchParams(asked)}`)).text())).toContain(sentence);
    const seen = await discord.interact({ command: 'corners', options: asked });
    expect(read(seen.content)).toContain(sentence);
    expect(seen.private).toBe(true);
  }, 60_000);

  it('a setup that is saved in Discord is found again there, as text and card', async () => {
    await discord.interact({ command: 'corners', options: { quick: '612 605 901 896', truck: 'Mudlark' } });
    const saved = await discord.interact({ command: 'setup save', options: { name: 'Dry lake, noon', truck: 'Mudlark' } });
    expect(read(saved.content)).toContain('Dry lake, noon');
    const found = await discord.interact({ command: 'setup find', options: { words: 'noon' } });
    expect(read(found.content)).toContain('Dry lake, noon');
    const shown = await discord.interact({ command: 'setup show', options: { name: 'Dry lake, noon' } });
    expect(read(shown.content)).toContain('59.62 %');
    expect(shown.attachments[0]?.bytes.subarray(1, 4)).toEqual(PNG);
  }, 60_000);

  it('Discord refused nothing of what the house sent', () => {
    expect(discord.refusals).toEqual([]);
  });
});
