/** Files at the terminal: `file:PATH` is read by a command that takes one, and written by one that makes one. */
import { open } from 'node:fs/promises';
import { basename } from 'node:path';
import { FileTrouble, tooLarge } from '../../commands/handed.ts';
import type { CommandSpec, HandedFile } from '../../commands/types.ts';

/** Commands whose file goes out. */
const WRITES = ['setup export', 'mine export'];

interface FileArgument {
  /** The line without it. */
  readonly words: readonly string[];
  readonly file?: string;
  /** Whether the command takes a file; else it makes one. */
  readonly reads?: boolean;
}

/** The shell has kept the path in one piece, so it is taken out before the words are joined to a line. */
export function fileArgument(words: readonly string[], specs: readonly CommandSpec[]): FileArgument {
  const [first = '', second = ''] = words.join(' ').trim().replace(/^\//, '').toLowerCase().split(/\s+/);
  const sub = specs.find(({ name }) => name === first)?.subcommands?.find(({ name }) => name === second);
  const reads = sub?.options.some(({ name, kind }) => name === 'file' && kind === 'file') ?? false;
  if (!reads && !WRITES.includes(`${first} ${second}`)) return { words };
  const named = words.findIndex((word) => /^file[:=]./i.test(word));
  if (named < 0) return { words };
  return { words: words.filter((_, i) => i !== named), file: words[named]!.slice('file:'.length), reads };
}

/** A file of this machine; whatever is wrong with it is told when it is read. */
export const handedFrom = (path: string): HandedFile => ({
  name: basename(path),
  type: '',
  size: 0,
  bytes: async (most) => {
    try {
      const file = await open(path, 'r');
      try {
        const about = await file.stat();
        // A device or a pipe would never end.
        if (!about.isFile()) throw new FileTrouble(`"${path}" is no file.`);
        if (about.size > most) throw tooLarge({ name: basename(path) }, most);
        return await file.readFile();
      } finally {
        await file.close();
      }
    } catch (error) {
      if (error instanceof FileTrouble) throw error;
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') throw new FileTrouble(`There is no file "${path}".`);
      throw new FileTrouble(`"${path}" could not be read: ${(error as Error).message}`);
    }
  },
});
