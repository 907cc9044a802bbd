import { closeSync, fsyncSync, openSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { type Database, resultCode, type Sqlite } from './driver.ts';
import { damaged, explain } from './explain.ts';

/** A copy that is there under its name is whole and checked; copying the live file byte for byte would leave out its log. */
export function copyTo(database: Database, sqlite: Sqlite, file: string): void {
  const part = partOf(file);
  try {
    database.prepare('vacuum into ?').run([part]);
    finish(sqlite, part, file);
  } catch (error) {
    // What is damaged is what was read; everything else happened where the copy was to go.
    const code = resultCode(error) ?? (error as NodeJS.ErrnoException).code;
    throw code === 'CORRUPT' || code === 'NOTADB' ? error : (explain(error, file, code) ?? error);
  } finally {
    removeParts(part);
  }
}

/** Another name beside `file`, for what is not whole yet. Nobody else's, and easy to tell. */
export const partOf = (file: string): string => `${file}.part-${process.pid}-${Math.random().toString(36).slice(2, 8)}`;

/** Checks what has been made under the name `part`, makes sure that the disk has it, and only then gives it its name. */
export function finish(sqlite: Sqlite, part: string, file: string): void {
  const copy = sqlite.open(part, { readonly: true });
  try {
    const [first] = copy.prepare('pragma integrity_check(1)').all([]) as { integrity_check: string }[];
    if (first?.integrity_check !== 'ok') throw damaged(part, first?.integrity_check ?? 'the check gave no result');
  } finally {
    copy.close();
  }
  sync(part);
  renameSync(part, file);
  sync(dirname(file));
}

/** A file of SQLite with all that can stand beside it. Where that fails, what had failed before is the one to tell. */
export function removeParts(file: string): void {
  for (const tail of ['', '-journal', '-wal', '-shm']) {
    try {
      rmSync(file + tail, { force: true });
    } catch {}
  }
}

/** What was left under such a name by a process that was killed; one that is still at work is left alone. */
export function sweep(folder: string): void {
  for (const name of readdirSync(folder)) {
    const [, pid] = /\.part-(\d+)-\w+(?:-journal|-wal|-shm)?$/.exec(name) ?? [];
    if (pid !== undefined && !isAlive(Number(pid))) rmSync(join(folder, basename(name)), { force: true });
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/** Asks the disk to have it, file or folder. */
export function sync(path: string): void {
  const handle = openSync(path, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
