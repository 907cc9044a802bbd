/** Looking after the archive: copies by day and by night, putting one back, looking it over, moving house. */
import { fork } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, rmSync, statSync } from 'node:fs';
import { basename, dirname, extname, isAbsolute, join, relative } from 'node:path';
import type { Place } from '../worksheets/archive/open.ts';
import { isPostgres } from './settings.ts';

export interface Keeper {
  readonly root: string;
  readonly database: Place;
  readonly zone: string;
  readonly clock: () => number;
  readonly say: (line: string) => void;
}
type Job = (keeper: Keeper, args: readonly string[]) => Promise<number>;

/** What each command takes, as it is written behind `npm run … --`. */
const USAGE: { readonly [job: string]: string } = {
  backup: 'npm run backup [-- FILE]',
  restore: 'npm run restore -- FILE',
  check: 'npm run check [-- FILE or postgres://…]',
  move: 'npm run move -- FROM TO (each a file or postgres://…)',
};
const TAKES: { readonly [job: string]: readonly [least: number, most: number] } = {
  backup: [0, 1],
  restore: [1, 1],
  check: [0, 1],
  move: [2, 2],
};

/** 0: done. 1: it was not, and why. 2: it was asked for in a way that cannot be understood. */
export async function keep(job: string, keeper: Keeper, args: readonly string[]): Promise<number> {
  const [least, most] = TAKES[job]!;
  if (args.length < least || args.length > most || args.some((arg) => arg.startsWith('-') || arg === '')) {
    keeper.say(`Write ${USAGE[job]}.`);
    return 2;
  }
  return JOBS[job]!(keeper, args);
}
export const isKeeping = (job: string): boolean => Object.hasOwn(USAGE, job);

const JOBS: { readonly [job: string]: Job } = {
  async backup(keeper, [file]) {
    const { backup } = await archiveRoom();
    const to =
      file === undefined ? join(backupsOf(keeper), `${archiveName(keeper)}-${stamp(keeper, keeper.clock())}.sqlite`) : pathOf(keeper, file);
    await backup(rooted(keeper, keeper.database), to);
    keeper.say(`Kept a copy of ${nameOf(keeper, keeper.database)}: ${shown(keeper, to)} (${sizeOf(to)}).`);
    return 0;
  },

  async restore(keeper, [file]) {
    const { restore } = await archiveRoom();
    const { aside, checked } = await restore(pathOf(keeper, file!), rooted(keeper, keeper.database), keeper.clock);
    keeper.say(
      `${nameOf(keeper, keeper.database)} is now the copy ${shown(keeper, pathOf(keeper, file!))}: ${counted(checked)}; every hash fits.`,
    );
    if (aside !== undefined) keeper.say(`What was there before is kept as ${shown(keeper, aside)}.`);
    return 0;
  },

  async check(keeper, [what]) {
    const { check } = await archiveRoom();
    const place = what === undefined ? rooted(keeper, keeper.database) : placeOf(keeper, what);
    const checked = await check(place);
    const name = nameOf(keeper, place);
    const faults = [...checked.faults];
    const lost = checked.unfindable.length;
    if (lost > 0)
      faults.push(
        `${lost} of ${checked.setups} setups are not found by all of their words and numbers: restoring a copy of the archive makes these again.`,
      );
    if (faults.length === 0)
      keeper.say(`${name} is in order: ${counted(checked)}; every hash fits, and every setup is found by its words and numbers.`);
    else keeper.say(`${name} is not in order:\n${faults.slice(0, 30).join('\n')}`);
    return faults.length === 0 ? 0 : 1;
  },

  async move(keeper, [from, to]) {
    const { move } = await archiveRoom();
    const [first, second] = [placeOf(keeper, from!), placeOf(keeper, to!)];
    const held = await move(first, second);
    for (const { table, rows, hash } of held) keeper.say(`${table.padEnd(16)} ${String(rows).padStart(9)} rows  ${hash.slice(0, 16)}`);
    const setting = 'url' in second ? 'DATABASE_URL' : 'DATABASE_FILE';
    keeper.say(
      `Both hold the same, table by table: ${nameOf(keeper, first)} stays as it was; set ${setting} to the new place before you start the bot again.`,
    );
    return 0;
  },
};

const archiveRoom = () => import('../worksheets/archive/keep.ts');

// ── by night ────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export interface Nightly {
  /** Whether the copy of the night is there; makes it when it is not. */
  look(): Promise<void>;
  stop(): void;
}
const KEPT = 7;
const NIGHT = /^\d{4}-\d\d-\d\d\.sqlite$/;
/** A day of the club ends at three: whoever tunes until late has it all in one copy. */
const LATE = 3 * 3_600_000;

/**
 * One copy a day, the last seven kept. A bot that runs only on club evenings makes it then: what counts is that today's is missing, not the
 * hour. `backup` has to run in a process of its own, for the copy of a large archive takes seconds.
 */
export function nightly(keeper: Keeper, backup: (file: string) => Promise<void>, every = 30 * 60_000): Nightly {
  let atWork: Promise<void> | undefined;
  const once = async (): Promise<void> => {
    try {
      const folder = backupsOf(keeper);
      const { sweep } = await archiveRoom();
      sweep(folder);
      const begin = `${archiveName(keeper)}-nightly-`;
      const file = join(folder, `${begin}${stamp(keeper, keeper.clock() - LATE).slice(0, 10)}.sqlite`);
      if (!existsSync(file)) await backup(file);
      const nights = readdirSync(folder).filter((name) => name.startsWith(begin) && NIGHT.test(name.slice(begin.length)));
      for (const old of nights.sort().slice(0, -KEPT)) rmSync(join(folder, old));
    } catch (error) {
      keeper.say(`The nightly copy of the archive could not be made: ${error instanceof Error ? error.message : error}`);
    }
  };
  const look = (): Promise<void> => {
    atWork ??= once().finally(() => {
      atWork = undefined;
    });
    return atWork;
  };
  // Not at once: a bot that has just started has members waiting.
  const timers = [setTimeout(look, Math.min(every, 60_000)), setInterval(look, every)];
  for (const timer of timers) timer.unref();
  return { look, stop: () => timers.forEach(clearTimeout) };
}

/** `main.ts backup FILE` in a process of its own. */
export const inItsOwnProcess =
  (main: string) =>
  (file: string): Promise<void> =>
    new Promise((done, failed) => {
      const child = fork(main, ['backup', file], { stdio: ['ignore', 'ignore', 'pipe', 'ipc'] });
      let said = '';
      child.stderr!.on('data', (data) => {
        said += String(data);
      });
      child.on('error', failed);
      child.on('close', (code) => (code === 0 ? done() : failed(new Error(said.trim() || `it ended with ${code}`))));
    });

// ── names ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const pathOf = ({ root }: Keeper, path: string): string => (isAbsolute(path) ? path : join(root, path));
const placeOf = (keeper: Keeper, what: string): Place => (isPostgres(what) ? { url: what } : { file: pathOf(keeper, what) });
const rooted = (keeper: Keeper, place: Place): Place => ('url' in place ? place : { file: pathOf(keeper, place.file) });

/** Beside the archive's file; the copies of a database on a server in data/backups. */
function backupsOf(keeper: Keeper): string {
  const place = rooted(keeper, keeper.database);
  const folder = join('url' in place ? join(keeper.root, 'data') : dirname(place.file), 'backups');
  mkdirSync(folder, { recursive: true });
  return folder;
}

/** What its copies are called after. */
const archiveName = ({ database }: Keeper): string =>
  'url' in database ? new URL(database.url).pathname.replace(/[^\p{L}\p{N}]+/gu, '') : basename(database.file, extname(database.file));

/** Short where it lies in the project's folder. */
function shown({ root }: Keeper, path: string): string {
  const short = relative(root, path);
  return short.startsWith('..') ? path : short;
}

function nameOf(keeper: Keeper, place: Place): string {
  if ('file' in place) return shown(keeper, pathOf(keeper, place.file));
  const { host, pathname } = new URL(place.url);
  return `${decodeURIComponent(pathname.slice(1))} at ${host}`;
}

/** A moment in the club's zone, for a file's name: 2026-04-11-093000. */
function stamp({ zone }: Keeper, at: number): string {
  const parts = new Intl.DateTimeFormat('sv-SE', { timeZone: zone, dateStyle: 'short', timeStyle: 'medium', hourCycle: 'h23' }).format(at);
  return parts.replace(' ', '-').replaceAll(':', '');
}

const count = (many: number, one: string): string => `${many.toLocaleString('en-GB')} ${one}${many === 1 ? '' : 's'}`;
const counted = ({ clubs, setups, revisions, changes }: { clubs: number; setups: number; revisions: number; changes: number }): string =>
  `${count(clubs, 'club')}, ${count(setups, 'setup')} in ${count(revisions, 'revision')}, ${count(changes, 'change')}`;

function sizeOf(file: string): string {
  const { size } = statSync(file);
  return size < 1e6 ? `${Math.ceil(size / 1000)} kB` : `${(size / 1e6).toFixed(1)} MB`;
}
