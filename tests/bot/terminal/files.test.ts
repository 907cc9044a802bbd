/** A setup written to a file and read from one, at the terminal. */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { runTerminal } from '../../../bot/transports/terminal/index.ts';
import { INES, openPitSide, type PitSide, TOMASZ } from '../commands/pit-side.ts';

let pit: PitSide;
let folder: string;
beforeEach(async () => {
  pit = await openPitSide();
  folder = mkdtempSync(join(tmpdir(), 'files-'));
  await pit.say('corners 612 605 901 896 truck:Sandhopper');
  await pit.say('setup save Evening truck:Sandhopper');
});
afterEach(async () => {
  rmSync(folder, { recursive: true, force: true });
  await pit.end();
});

async function typed(
  args: readonly string[],
  asker = INES,
): Promise<{ readonly status: number; readonly out: string; readonly err: string }> {
  const heard = { out: '', err: '' };
  const into = (which: 'out' | 'err'): Writable =>
    new Writable({
      write(chunk, _, done) {
        heard[which] += String(chunk);
        done();
      },
    });
  const terminal = {
    sheets: pit.sheets,
    out: into('out'),
    err: into('err'),
    input: Readable.from([]),
    commands: async () => pit.commands,
    asker,
    draw: async () => null,
  };
  const status = await runTerminal(terminal, args);
  return { status, ...heard };
}

it('goes out to a file and comes back from it, and overwrites nothing', async () => {
  const file = join(folder, 'one setup.md');
  expect(await typed(['setup', 'export', 'Evening', 'as:markdown', `file:${file}`])).toMatchObject({
    status: 0,
    out: `Written to ${file}.\n`,
  });
  expect(readFileSync(file, 'utf8')).toContain('front_left : 612 -- measured');
  const again = await typed(['setup', 'export', 'Evening', `file:${file}`]);
  expect(again).toMatchObject({ status: 1, err: `There is a file "${file}" already: give another name.\n` });
  expect(readFileSync(file, 'utf8')).toMatch(/^---/);
  const read = await typed(['setup', 'import', `file:${file}`, 'truck:Mudlark'], TOMASZ);
  expect(read).toMatchObject({ status: 0 });
  expect(read.out).toContain('Kept "Evening" of Mudlark from the file, number 2');
});

it('is what its name says, where nothing else was said', async () => {
  for (const [name, begins] of [
    ['by-name.md', '---'],
    ['by-name.csv', 'kind,'],
    ['by-name.json', '{'],
  ] as const) {
    const file = join(folder, name);
    expect((await typed(['setup', 'export', 'Evening', `file:${file}`])).status).toBe(0);
    expect(readFileSync(file, 'utf8').slice(0, begins.length), name).toBe(begins);
  }
});

it('a file that is not there, no text, or broken off is told in a sentence, and nothing is kept', async () => {
  const [none, noise, cut] = ['none', 'noise', 'cut'].map((name) => join(folder, name)) as [string, string, string];
  writeFileSync(noise, Buffer.from([0xff, 0xfe, 0x00, 0x01]));
  writeFileSync(cut, '{"format": "dustsheet-setup/1", "name"');
  expect((await typed(['setup', 'import', `file:${none}`])).err).toBe(`There is no file "${none}".\n`);
  expect((await typed(['setup', 'import', `file:${noise}`])).err).toBe('The file "noise" is not text in UTF-8.\n');
  expect((await typed(['setup', 'import', `file:${cut}`])).err).toMatch(/^Line 1, sign \d+: Here it ceases to be JSON/);
  expect((await typed(['setup', 'import', `file:${folder}`])).status).toBe(1);
  expect((await pit.archive.findSetups({ club: INES.club, words: '' })).setups.length).toBe(1);
});

it('what is mine goes out too; without a file it alone is put out, and what is said of it goes beside', async () => {
  const file = join(folder, 'mine.json');
  expect((await typed(['mine', 'export', `file:${file}`])).status).toBe(0);
  expect(JSON.parse(readFileSync(file, 'utf8'))).toMatchObject({ format: 'dustsheet-member/1', trucks: [{ name: 'Sandhopper' }] });
  expect(JSON.parse((await typed(['mine', 'export'])).out)).toMatchObject({ format: 'dustsheet-member/1' });
  const setup = await typed(['setup', 'export', 'Evening']);
  expect(JSON.parse(setup.out)).toMatchObject({ format: 'dustsheet-setup/1', name: 'Evening' });
  expect(setup.err).toMatch(/^"Evening", revision 1, as \S+\.json\. It comes back with setup import\.\n$/);
});

it('no other command writes or reads a file', async () => {
  const file = join(folder, 'notes');
  await typed(['setup', 'save', 'Other', 'truck:Sandhopper', `notes:see file:${file}`]);
  expect(existsSync(file)).toBe(false);
});
