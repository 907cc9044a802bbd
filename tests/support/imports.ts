/** Reads the import lines of a file and says which of them break the table of rooms and doors. */
import { posix } from 'node:path';

export type RoomName = 'calc' | 'worksheets' | 'templates' | 'bot';
interface Room {
  /** Rooms that it may import, its own included. */
  readonly rooms: readonly RoomName[];
  /** Rooms of which it may import types only. */
  readonly types?: readonly RoomName[];
  /** Packages, each with the folder under which it lives ('' where the whole room may). */
  readonly packages: readonly (readonly [name: string, under: string])[];
  readonly node: boolean;
}

export const rooms: { readonly [room in RoomName]: Room } = {
  calc: { rooms: ['calc'], packages: [], node: false },
  worksheets: {
    rooms: ['worksheets', 'calc'],
    packages: [
      ['mathjs', 'engine/'],
      ['markdown-it', ''],
      ['yaml', ''],
      ['kysely', 'archive/'],
      ['better-sqlite3', 'archive/'],
      ['pg', 'archive/'],
    ],
    node: true,
  },
  templates: {
    rooms: ['templates'],
    types: ['worksheets', 'calc'],
    packages: [
      ['handlebars', ''],
      ['markdown-it', ''],
      ['sharp', ''],
      ['d3-scale', ''],
      ['d3-shape', ''],
      ['@expo-google-fonts/', ''],
    ],
    node: true,
  },
  bot: { rooms: ['bot', 'templates', 'worksheets', 'calc'], packages: [['discord.js', 'transports/']], node: true },
};

/** Files that import what they find in a folder: by themselves no text says what, so each stands here with the folder. */
const walkers: { readonly [file: string]: string } = {
  'worksheets/engine/library.ts': 'calc/: the formulas',
  'templates/card/layout.ts': 'templates/card/layouts/: the drawings',
};

export interface Import {
  readonly from: string;
  readonly typeOnly: boolean;
}

// Imports stand at the start of a line (the formatter sees to it), so text in strings and comments is not taken for one.
const STATIC = /^import\s+(type\s+)?(?:[\w*{}\s,$]+?\s+from\s+)?['"]([^'"\n]+)['"]/gm;
const PASSED_ON = /^export\s+(type\s+)?(?:\*(?:\s+as\s+\w+)?|\{[^}]*\})\s+from\s+['"]([^'"\n]+)['"]/gm;
const WHILE_RUNNING = /\b(?:import|require|require\.resolve|import\.meta\.resolve)\(\s*(?:(['"])([^'"\n]+)\1|[^'"\s)])/g;

export function importsOf(source: string): Import[] {
  const code = source.replace(/^\s*(?:\/\/|\/?\*).*$/gm, '');
  const standing = [...code.matchAll(STATIC), ...code.matchAll(PASSED_ON)].map(([, type, from]) => ({
    from: from!,
    typeOnly: type !== undefined,
  }));
  const running = [...code.matchAll(WHILE_RUNNING)].map(([, , from]) => ({ from: from ?? '', typeOnly: false }));
  return [...standing, ...running];
}

const named = (from: string, name: string): boolean => from === name || from.startsWith(name.endsWith('/') ? name : `${name}/`);

/** Why this import breaks the table; null when it does not. `exists` says whether a path from the root is a file. */
export function breach(file: string, { from, typeOnly }: Import, exists: (path: string) => boolean): string | null {
  const name = file.slice(0, file.indexOf('/')) as RoomName;
  const room = rooms[name];
  if (from === '') return file in walkers ? null : 'what is imported has to stand there as a text';
  if (from.startsWith('node:')) return room.node ? null : `${name} may not import node:`;
  if (!from.startsWith('.')) {
    const door = room.packages.find(([each]) => named(from, each));
    if (!door) return `${name} may not import this package`;
    return file.startsWith(`${name}/${door[1]}`) ? null : `this package lives only under ${name}/${door[1]}`;
  }
  const path = posix.join(posix.dirname(file), from);
  const to = path.slice(0, path.indexOf('/')) as RoomName;
  if (!/\.(ts|json)$/.test(from)) return 'the ending .ts is missing';
  if (!exists(path)) return `there is no ${path}`;
  if (room.rooms.includes(to)) return null;
  if (!room.types?.includes(to)) return `${name} may not import ${to}`;
  return typeOnly ? null : `${name} may import only types of ${to} (import type)`;
}
