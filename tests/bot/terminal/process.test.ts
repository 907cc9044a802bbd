/** The terminal as a process of its own: exit status, closed readers, no archive, and the same answer in every country. */
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'ask-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const archive = join(folder, 'club.sqlite');

interface Ended {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}
function ask(
  args: readonly string[],
  { input = '', env = {} as Record<string, string>, leaveAfter = Number.POSITIVE_INFINITY } = {},
): Promise<Ended> {
  const child = spawn(process.execPath, ['--import', 'tsx', join(root, 'bot/main.ts'), 'ask', ...args], {
    cwd: root,
    env: { PATH: process.env.PATH, DATABASE_FILE: archive, ...env },
  });
  let [out, err] = ['', ''];
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    out += text;
    if (out.length > leaveAfter) child.stdout.destroy();
  });
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    err += text;
  });
  child.stdin.on('error', () => {});
  child.stdin.end(input);
  return new Promise((done) => child.on('close', (status) => done({ status, out, err })));
}
const question = (i = 0): string =>
  `${JSON.stringify({ sheet: 'corners', readings: { front_left: 612 + i, front_right: '605 g', rear_left: '901,5', rear_right: '1 234' } })}\n`;

describe('the terminal as a process', () => {
  it('ends with 0, 1 or 2', async () => {
    const [right, wrong, flag] = await Promise.all([
      ask(['corners', '612', '605', '901', '896', '--json']),
      ask(['corners', '612', '--json']),
      ask(['--nonsense']),
    ]);
    expect(right).toMatchObject({ status: 0, err: '' });
    expect(JSON.parse(right.out).sheet).toBe('corners');
    expect(wrong).toMatchObject({ status: 1, err: '' });
    expect(JSON.parse(wrong.out).problems).toHaveLength(3);
    expect(flag).toMatchObject({ status: 2, out: '' });
    expect(flag.err).not.toContain('    at ');
  });

  it('--json and --jsonl make no archive and read none', async () => {
    const before = readdirSync(folder);
    expect((await ask(['corners', '612', '605', '901', '896', '--json'])).status).toBe(0);
    expect((await ask(['--jsonl'], { input: question() })).status).toBe(0);
    // Not even one that cannot be opened is looked at.
    expect(
      (await ask(['--jsonl'], { input: question(), env: { DATABASE_FILE: join(folder, 'no', 'such', 'folder', 'x.sqlite') } })).status,
    ).toBe(0);
    expect(readdirSync(folder)).toEqual(before);
    expect(existsSync(archive)).toBe(false);
  });

  it('a reader who leaves early is no fault', async () => {
    const { err } = await ask(['--jsonl'], { input: Array.from({ length: 20_000 }, (_, i) => question(i % 1000)).join(''), leaveAfter: 1 });
    expect(err).toBe('');
  });

  it('says the same in every country and in every time zone', async () => {
    const input = [
      question(),
      JSON.stringify({ sheet: 'press', readings: { press_points: '0/78 500/71,2 900/65.4' } }),
      JSON.stringify({ sheet: 'gearing', readings: { motor_kv: '3300KV', cells: '2S', pinion: 18, spur: 54, tyre_diameter: '4,29 IN' } }),
      JSON.stringify({ sheet: 'corners', readings: { front_left: '1,234', front_right: '6120', rear_left: 'İ', rear_right: '' } }),
    ].join('\n');
    const places: Record<string, string>[] = [
      { LANG: 'C', TZ: 'UTC' },
      { LANG: 'de_DE.UTF-8', LC_ALL: 'de_DE.UTF-8', TZ: 'Europe/Berlin' },
      { LANG: 'tr_TR.UTF-8', LC_ALL: 'tr_TR.UTF-8', TZ: 'Asia/Istanbul' },
      { LANG: 'ar_EG.UTF-8', LC_ALL: 'ar_EG.UTF-8', TZ: 'Pacific/Apia' },
    ];
    const [plain, ...others] = await Promise.all(places.map((env) => ask(['--jsonl'], { input, env })));
    expect(plain!.out.trimEnd().split('\n')).toHaveLength(4);
    for (const other of others) expect(other).toEqual(plain);
  });
});
