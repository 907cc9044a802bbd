import { existsSync, linkSync, mkdirSync, mkdtempSync, renameSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, resolve } from 'node:path';
import { type Checked, checkEngine, renewWords } from './check.ts';
import { copyRows, type Held, writeCopy } from './copy.ts';
import type { Engine } from './engine.ts';
import { ArchiveError } from './errors.ts';
import { MIGRATIONS } from './migrations/index.ts';
import { openEngine, type Place } from './open.ts';
import { copyTo, finish, partOf, removeParts } from './sqlite/copy.ts';
import { loadSqlite, resultCode, type Sqlite } from './sqlite/driver.ts';
import { damaged, explain } from './sqlite/explain.ts';
import { checkHeader, checkInside, isSqlite, openSqlite } from './sqlite/open.ts';

export type { Checked } from './check.ts';
export type { Held } from './copy.ts';
export { sweep } from './sqlite/copy.ts';

const AS_IT_IS = { upgrade: false, patient: true } as const;

/** Writes a whole copy of the archive to `file` while others may be writing to it. When it fails, nothing is left of it. */
export async function backup(from: Place, file: string): Promise<void> {
  free(file);
  if ('url' in from)
    return withEngine(openEngine({ ...from, ...AS_IT_IS }), async (engine) => {
      await writeCopy(engine, MIGRATIONS, file, { complete: renewWords });
    });
  await withFile(from.file, async (sqlite) => {
    checkFile(from.file);
    const database = sqlite.open(from.file, { readonly: false });
    try {
      database.exec('pragma busy_timeout = 5000');
      copyTo(database, sqlite, file);
    } finally {
      database.close();
    }
  });
}

/** Looks an archive over without changing it; a file of an earlier version through a copy that is brought up to date. */
export async function check(place: Place): Promise<Checked> {
  if ('url' in place) return withEngine(openEngine({ ...place, ...AS_IT_IS }), checkEngine);
  return withFile(place.file, async (sqlite) => {
    checkFile(place.file);
    if (checkInside(sqlite, place.file, MIGRATIONS) === undefined) return withEngine(openEngine(place), checkEngine);
    const folder = mkdtempSync(join(tmpdir(), 'archive-check-'));
    try {
      return await soundCopy(sqlite, place.file, join(folder, 'copy.sqlite'));
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
}

/**
 * Puts a backup in the place of the archive, brought up to date and looked over down to the last hash before anything is touched; what was
 * there is kept beside it. Gives the name it is kept under, if there was something.
 */
export async function restore(
  file: string,
  to: Place,
  clock: () => number,
): Promise<{ readonly checked: Checked; readonly aside: string | undefined }> {
  const sqlite = await loadSqlite();
  if ('url' in to) {
    const folder = mkdtempSync(join(tmpdir(), 'archive-restore-'));
    try {
      const copy = join(folder, 'copy.sqlite');
      const checked = await soundCopy(sqlite, file, copy);
      refuseFaults(file, checked);
      await fill({ file: copy }, to);
      return { checked, aside: undefined };
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }
  return withFile(to.file, async () => {
    if (resolve(file) === resolve(to.file))
      throw new ArchiveError('taken', `"${file}" is the archive itself: give the copy that is to take its place.`);
    mkdirSync(dirname(resolve(to.file)), { recursive: true });
    const part = partOf(to.file);
    try {
      const checked = await soundCopy(sqlite, file, part);
      refuseFaults(file, checked);
      return { checked, aside: swap(sqlite, part, to.file, clock()) };
    } finally {
      removeParts(part);
    }
  });
}

/** Copies an archive to another place, where there must be none yet, and proves that both hold the same. The first stays as it is. */
export async function move(from: Place, to: Place): Promise<readonly Held[]> {
  return fill(from, to, true);
}

async function fill(from: Place, to: Place, still = false): Promise<readonly Held[]> {
  return withEngine(openEngine({ ...from, ...AS_IT_IS }), async (source) => {
    if ('file' in to) {
      free(to.file);
      return withFile(to.file, () => writeCopy(source, MIGRATIONS, to.file, { still, complete: renewWords }));
    }
    return withEngine(openEngine({ ...to, create: true, ...AS_IT_IS }), async (target) => {
      const complete = (db: Engine['db']): Promise<void> => renewWords(target, db);
      return copyRows(source, target, { still, complete });
    });
  });
}

/** Copies `file` to `copy`, brings the copy up to date, makes its words again where it has to be, and checks it. */
async function soundCopy(sqlite: Sqlite, file: string, copy: string): Promise<Checked> {
  return withFile(file, async () => {
    checkFile(file);
    checkInside(sqlite, file, MIGRATIONS);
    const database = sqlite.open(file, { readonly: false });
    try {
      copyTo(database, sqlite, copy);
    } finally {
      database.close();
    }
    const checked = await withEngine(openSqlite({ file: copy, create: false, clock: Date.now, copyFirst: false }), async (engine) => {
      const first = await checkEngine(engine);
      if (first.unfindable.length === 0 || first.faults.length > 0) return first;
      await engine.db.transaction().execute((db) => renewWords(engine, db));
      return checkEngine(engine);
    });
    return checked;
  });
}

function refuseFaults(file: string, { faults }: Checked): void {
  if (faults.length > 0) throw damaged(file, faults[0]!.replace(/\.$/, ''));
}

/**
 * Puts `made` in the place of `live`, once nobody has that open: they would go on writing into the file that is put aside. At every moment
 * there is a whole file under one name or the other, and never a new file beside the log of an old one.
 */
function swap(sqlite: Sqlite, made: string, live: string, at: number): string | undefined {
  const aside = `${live}.before-restore-${new Date(at).toISOString().replace(/[:.]/g, '-')}`;
  const isThere = existsSync(live);
  if (isThere) {
    if (hasHeader(live)) refuseIfOpen(sqlite, live);
    try {
      linkSync(live, aside);
    } catch (error) {
      // A disk that knows no links.
      if ((error as NodeJS.ErrnoException).code === 'EEXIST') throw error;
      renameSync(live, aside);
    }
  }
  // A log is there only when the old file could not be opened, or is gone; else it has gone into the file.
  if (existsSync(`${live}-wal`)) renameSync(`${live}-wal`, `${aside}-wal`);
  rmSync(`${live}-shm`, { force: true });
  finish(sqlite, made, live);
  return isThere ? aside : undefined;
}

/**
 * Whether SQLite could open it, and so somebody have it open. It would take away the log of one whose beginning is broken. The database of
 * another program is not ours to put aside.
 */
function hasHeader(file: string): boolean {
  try {
    checkHeader(file);
    return true;
  } catch (error) {
    const isTheirs = error instanceof ArchiveError && error.kind === 'foreign' && (statSync(file).isDirectory() || isSqlite(file));
    if (isTheirs || !(error instanceof ArchiveError)) throw error;
    return false;
  }
}

/** Nobody else may have it open. Its log goes into the file. */
function refuseIfOpen(sqlite: Sqlite, file: string): void {
  const database = sqlite.open(file, { readonly: false });
  try {
    database.exec('pragma busy_timeout = 500');
    // Leaving the log's mode takes the only lock that even an idle connection stands in the way of.
    const [mode] = database.prepare('pragma journal_mode = delete').all([]) as { journal_mode: string }[];
    if (mode?.journal_mode !== 'delete') throw openElsewhere(file);
  } catch (error) {
    const code = resultCode(error);
    if (code === 'BUSY' || code === 'LOCKED') throw openElsewhere(file);
    if (code !== 'CORRUPT' && code !== 'NOTADB') throw error;
  } finally {
    database.close();
  }
}

const openElsewhere = (file: string): ArchiveError =>
  new ArchiveError('busy', `The archive "${file}" is open elsewhere: stop the bot, then restore.`);

function checkFile(file: string): void {
  if (!existsSync(file)) throw new ArchiveError('missing', `There is no archive at "${file}".`);
  checkHeader(file);
}

function free(file: string): void {
  if (existsSync(file)) throw new ArchiveError('taken', `There is a file "${file}" already: give another name.`);
  if (!existsSync(dirname(resolve(file)))) throw new ArchiveError('disk', `There is no folder "${dirname(file)}" for "${basename(file)}".`);
}

async function withEngine<T>(opening: Promise<Engine>, use: (engine: Engine) => Promise<T>): Promise<T> {
  const engine = await opening;
  try {
    return await use(engine);
  } catch (error) {
    throw engine.explain(error) ?? error;
  } finally {
    await engine.close();
  }
}

async function withFile<T>(file: string, use: (sqlite: Sqlite) => Promise<T>): Promise<T> {
  const sqlite = await loadSqlite();
  try {
    return await use(sqlite);
  } catch (error) {
    throw explain(error, file, resultCode(error) ?? (error as NodeJS.ErrnoException).code) ?? error;
  }
}
