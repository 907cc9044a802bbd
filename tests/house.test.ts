import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { filesUnder, read, root } from './support/formulas.ts';
import { breach, importsOf, rooms } from './support/imports.ts';

const exists = (path: string): boolean => existsSync(`${root}${path}`);
const breaches = (file: string, source: string): string[] =>
  importsOf(source).flatMap((each) => {
    const why = breach(file, each, exists);
    return why === null ? [] : [`${file}: '${each.from}': ${why}`];
  });

describe('rooms and doors', () => {
  it.each(Object.keys(rooms))('%s imports only what its row of the table allows', (room) => {
    expect(filesUnder(room, '.ts').flatMap((file) => breaches(file, read(file)))).toEqual([]);
  });

  it('looks into every file of calc, down to the formula that imports the declaration', () => {
    expect(importsOf(read('calc/springs/ride-frequency.ts')).map(({ from }) => from)).toEqual(['../formula.ts']);
  });

  it.each([
    ['calc/a.ts', "import { readFileSync } from 'node:fs';"],
    ['calc/a.ts', "import { parse } from 'mathjs';"],
    ['calc/springs/a.ts', "import type { Answer } from '../../worksheets/engine/types.ts';"],
    ['calc/springs/a.ts', "import { formula } from '../formula';"],
    ['calc/springs/a.ts', "import { formula } from '../no-such-file.ts';"],
    ['calc/springs/a.ts', "import {\n  formula,\n  positive,\n} from '../../bot/main.ts';"],
    ['calc/a.ts', "export * from 'kysely';"],
    ['calc/a.ts', "import 'sharp';"],
    ['calc/a.ts', "const sharp = await import('sharp');"],
    ['worksheets/engine/a.ts', 'const driver = await import(name);'],
    ['worksheets/archive/a.ts', "import { parse } from 'mathjs/number';"],
    ['worksheets/engine/a.ts', "import { Kysely } from 'kysely';"],
    ['worksheets/engine/a.ts', "import handlebars from 'handlebars';"],
    ['templates/a.ts', "import { formula } from '../calc/formula.ts';"],
    ['templates/a.ts', "import { type SI } from '../calc/formula.ts';"],
    ['templates/a.ts', "import { Client } from 'discord.js';"],
    ['bot/commands/a.ts', "import { Client } from 'discord.js';"],
    ['bot/commands/a.ts', "import sharp from 'sharp';"],
  ])('in %s finds fault with: %s', (file, line) => {
    expect(breaches(file, line)).toHaveLength(1);
  });

  it.each([
    ['calc/springs/a.ts', "import { formula } from '../formula.ts';"],
    ['worksheets/engine/a.ts', "import { parse } from 'mathjs/number';"],
    ['templates/a.ts', "import type { SI } from '../calc/formula.ts';"],
    ['bot/transports/discord/a.ts', "import { Client } from 'discord.js';"],
    ['bot/a.ts', "export const greeting = 'hello from calc';"],
    ['calc/a.ts', " * import { x } from 'node:fs' would not be allowed here"],
  ])('in %s lets pass: %s', (file, line) => {
    expect(breaches(file, line)).toEqual([]);
  });
});

describe('calc is pure', () => {
  // A formula that asks the clock, the dice or the machine gives another answer to the same question.
  const impure =
    /\b(new Date\b|Date\.|Math\.random|performance\.|process\.|console\.|globalThis\b|fetch\(|setTimeout|setInterval|require\(|crypto\.)/;

  it('asks no clock, no dice, no machine', () => {
    const found = filesUnder('calc', '.ts').flatMap((file) =>
      read(file)
        .split('\n')
        .flatMap((line, i) => (!/^\s*(\/\/|\/?\*)/.test(line) && impure.test(line) ? [`${file}:${i + 1}: ${line.trim()}`] : [])),
    );
    expect(found).toEqual([]);
  });
});
