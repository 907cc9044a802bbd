/**
 * The front door: makes what has state (archive, cards, Discord client, clock), hands it to the rooms, and starts the face that was asked
 * for. `main.ts` serves bench and Discord; `main.ts ask …` is the terminal; `main.ts demo` plays a season; `main.ts backup` and its like
 * look after the archive.
 */
import { existsSync } from 'node:fs';
import { mkdir, mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Cards } from '../templates/card/render.ts';
import type { Archive } from '../worksheets/archive/archive.ts';
import { loadFormulas, loadSheets } from '../worksheets/engine/library.ts';
import type { House } from './commands/index.ts';
import { LOCAL, playClock, playSeason, season } from './demo.ts';
import { readSettings, type Settings } from './settings.ts';
import { runTerminal } from './transports/terminal/index.ts';

// Rooms that a face may not need are loaded when it does: `ask --json` starts without archive, cards and Discord.
const archiveRoom = () => import('../worksheets/archive/archive.ts');
const commandsRoom = () => import('./commands/index.ts');
const keeperRoom = () => import('./keeper.ts');

const root = fileURLToPath(new URL('..', import.meta.url));
const log = (line: string, error?: unknown): void => {
  process.stderr.write(`${line}\n`);
  if (error instanceof Error && error.stack) process.stderr.write(`${error.stack}\n`);
};

function settings(): Settings {
  const file = join(root, '.env');
  if (existsSync(file)) process.loadEnvFile(file);
  return readSettings(process.env);
}

/** Whoever sits at the terminal or the bench has the archive in hand anyway; no id of a chat is a word like theirs. */
const officersOf = ({ officers }: Settings): readonly string[] => [...officers, LOCAL.member];

/** Opens the archive; a new one is made and filled with the demo club's season. */
async function archiveAt(given: Settings, houseOf: (archive: Archive) => House): Promise<Archive> {
  const { openArchive } = await archiveRoom();
  const { makeCommands } = await commandsRoom();
  const place = 'url' in given.database ? given.database : { file: resolve(root, given.database.file) };
  const copies = join(root, 'data', 'backups');
  try {
    return await openArchive({ ...place, copies });
  } catch (error) {
    if (!(error instanceof Error && 'kind' in error && error.kind === 'missing')) throw error;
  }
  const time = playClock();
  const archive = await openArchive({ ...place, copies, create: true, clock: time.now });
  const house = { ...houseOf(archive), clock: time.now };
  const messages = season(time.now(), house.zone);
  // All of it or nothing: a start that is broken off leaves no half of a season.
  time.put(messages[0]!.at);
  await archive.once('demo season', LOCAL.club, async (records) => {
    const commands = makeCommands({ ...house, archive: { ...archive, ...records } }, 'terminal');
    await playSeason({ ...house, commands, time }, undefined, messages);
  });
  return archive;
}

async function cardsAt(): Promise<Cards> {
  const { makeCards } = await import('../templates/card/render.ts');
  return makeCards({ fontCacheDir: join(tmpdir(), `dustsheet-fonts-${process.getuid?.() ?? 'user'}`), say: log });
}

async function ask(args: readonly string[]): Promise<number> {
  const given = settings();
  const sheets = await loadSheets(await loadFormulas());
  let archive: Archive | undefined;
  const status = await runTerminal(
    {
      sheets,
      out: process.stdout,
      err: process.stderr,
      input: process.stdin,
      asker: LOCAL,
      commands: async () => {
        const cards = args.includes('--card') ? await cardsAt() : null;
        const house = (one: Archive | null): House => ({
          sheets,
          archive: one,
          cards,
          clock: Date.now,
          zone: given.zone,
          theme: given.theme,
          log,
          officers: officersOf(given),
        });
        archive = await archiveAt(given, house);
        return (await commandsRoom()).makeCommands(house(archive), 'terminal');
      },
      draw: async (answer) => {
        const cards = await cardsAt();
        return cards.ready ? cards.png(answer, { theme: given.theme }) : null;
      },
    },
    args,
  );
  await archive?.close();
  return status;
}

/** Plays the last tuning day aloud, cards and all, or with "season" every one. */
async function demo([what, ...more]: readonly string[]): Promise<number> {
  if (more.length > 0 || (what !== undefined && what !== 'season')) {
    log('Write npm run demo for the last tuning day, or npm run demo -- season for all of them.');
    return 2;
  }
  const given = settings();
  const sheets = await loadSheets(await loadFormulas());
  const cards = await cardsAt();
  const folder = await mkdtemp(join(tmpdir(), 'dustsheet-demo-'));
  const time = playClock();
  const archive = await (await archiveRoom()).openArchive({ file: join(folder, 'demo.sqlite'), create: true, clock: time.now });
  const out = join(root, 'out', 'demo');
  await mkdir(out, { recursive: true });
  // Cards of an earlier showing would lie among those of this one.
  for (const card of await readdir(out)) if (/^\d\d-\w+\.png$/.test(card)) await rm(join(out, card));
  const { theme, zone } = given;
  const days = new Intl.DateTimeFormat('en-GB', { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric', timeZone: zone });
  const hours = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', timeZone: zone });
  let day = -1;
  let drawn = 0;
  try {
    const { makeCommands } = await commandsRoom();
    const commands = makeCommands({ sheets, archive, cards, clock: time.now, zone, theme, log, officers: officersOf(given) }, 'terminal');
    await playSeason({ commands, sheets, time, zone }, async (played, reply) => {
      if (what !== 'season' && !played.last) return;
      if (played.day !== day) process.stdout.write(`\n── ${days.format(played.at)} ──\n`);
      day = played.day;
      const { memberName } = played.asker;
      process.stdout.write(
        `\n${hours.format(played.at)} ${memberName} > /${played.line}\n${reply.visibility === 'private' ? `(only ${memberName} sees this)\n` : ''}${reply.text}\n`,
      );
      if (!reply.card) return;
      drawn += 1;
      const file = join(out, `${String(drawn).padStart(2, '0')}-${reply.card.name}`);
      await writeFile(file, await reply.card.png());
      process.stdout.write(`[card: ${relative(process.cwd(), file)}]\n`);
    });
  } finally {
    await archive.close();
    await rm(folder, { recursive: true, force: true });
  }
  return 0;
}

async function serve(): Promise<number> {
  const given = settings();
  const sheets = await loadSheets(await loadFormulas());
  const cards = await cardsAt();
  const house = (archive: Archive): House => ({
    sheets,
    archive,
    cards,
    clock: Date.now,
    zone: given.zone,
    theme: given.theme,
    log,
    officers: officersOf(given),
  });
  const archive = await archiveAt(given, house);
  const { startBench } = await import('./transports/bench/index.ts');
  const bench = await startBench({ house: house(archive), asker: LOCAL, host: given.host, port: given.port, log });
  log(`Dustsheet, the club's worksheet for tuning days: the bench is at ${bench.url}`);
  const discord = given.discordToken === undefined ? undefined : await discordFor(given, house(archive), given.discordToken);
  if (!discord) log('No Discord token is set (DISCORD_TOKEN), so only the bench runs. Stop it with Ctrl+C.');

  const { inItsOwnProcess, nightly } = await keeperRoom();
  const nights = nightly(keeperFor(given), inItsOwnProcess(fileURLToPath(import.meta.url)));

  // It runs until it is told to stop, or until Discord says what waiting does not mend (a wrong token).
  const told = new Promise<number>((end) => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => end(0));
  });
  const ended = discord?.ended.then(({ orderly }) => (orderly ? 0 : 1)) ?? told;
  const status = await Promise.race([told, ended]);
  log('Stopping.');
  nights.stop();
  await Promise.allSettled([discord?.stop(), bench.stop()]);
  await archive.close();
  return status;
}

async function discordFor(given: Settings, house: House, token: string) {
  const { startDiscord } = await import('./transports/discord/index.ts');
  const { makeCommands } = await commandsRoom();
  const { discordApi: api, discordGuild: guild } = given;
  return startDiscord({
    token,
    api,
    guild,
    commands: makeCommands(house, 'chat'),
    log: { info: (line) => log(line), error: (line) => log(line) },
  });
}

const keeperFor = ({ database, zone }: Settings) => ({ root, database, zone, clock: Date.now, say: (line: string) => log(line) });

async function main(): Promise<number> {
  const [face, ...args] = process.argv.slice(2);
  if (face === 'ask') return ask(args);
  if (face === 'demo') return demo(args);
  if (face === undefined) return serve();
  const { isKeeping, keep } = await keeperRoom();
  if (isKeeping(face)) return keep(face, { ...keeperFor(settings()), say: (line) => process.stdout.write(`${line}\n`) }, args);
  log(
    `There is no face "${face}". Start without words for the bench, with "ask" for the terminal, with "demo" for a tuning day of a club.`,
  );
  return 2;
}

try {
  process.exitCode = await main();
} catch (error) {
  // Archive and settings speak in sentences of their own; anything else is our bug and shows its stack.
  if ((error instanceof Error && error.name === 'ArchiveError') || (error instanceof Error && /^[A-Z_]+: /.test(error.message)))
    log(error.message);
  else log('This is a fault of Dustsheet itself:', error);
  process.exitCode = 1;
}
