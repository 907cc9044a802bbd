/** A setup goes out as a file and comes back through every face: the same readings, answers, notes and conditions as before. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeCommands } from '../../bot/commands/index.ts';
import type { DiscordHandle } from '../../bot/transports/discord/index.ts';
import { runTerminal } from '../../bot/transports/terminal/index.ts';
import type { SetupDoc } from '../../worksheets/archive/types.ts';
import { type Double, startDouble } from '../support/discord-double/index.ts';
import { type OpenBench, openBench, words, YOU } from './bench/open-bench.ts';
import { lines, open } from './discord/small-club.ts';

let bench: OpenBench;
let discord: Double;
let bot: DiscordHandle;
let folder: string;
let original: SetupDoc;
/** Who asks in Discord, in another club: the archive knows nothing of them yet. */
const DUNE = { id: '1180000000000000077', username: 'dune', nick: 'Dune' };

const ask = async (line: string) => {
  const made = await bench.commands.answer({ ...lineOf(line), asker: YOU });
  return made.kind === 'problems' ? expect.fail(`${line}: ${made.text}`) : made;
};
const lineOf = (line: string) => {
  const [command = '', ...options] = line.split(' | ');
  return { command, options: Object.fromEntries(options.map((one) => one.split(/=(.*)/s).slice(0, 2) as [string, string])) };
};

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'handed-in-'));
  bench = await openBench();
  discord = await startDouble();
  bot = open(discord, makeCommands(bench.house, 'chat'), lines());
  await discord.ready();
  const four = 'corners | front_left=612 ± 2 g | front_right=605 | rear_left=1.99 lb | rear_right=896 | truck=Sandhopper';
  await ask(four);
  await ask('ride | spring_rate=0.5 | end=rear | motion_ratio=0.6 | unsprung_mass=150 | truck=Sandhopper');
  // With all that is known in the end: so is it worked out again where a file arrives.
  await ask(four);
  await ask(
    'setup save | name=Hard pan — "evening" | truck=Sandhopper | notes=calm -- over\nthe ruts | tags=hard pan, evening | track=Salt loop | temperature=24 | wind=W, light',
  );
  original = await docOf(1);
});
afterAll(async () => {
  await bot?.stop();
  await discord?.stop();
  await bench?.stop();
  rmSync(folder, { recursive: true, force: true });
});

async function docOf(id: number, { club, member }: { club: string; member: string } = YOU): Promise<SetupDoc> {
  const shown = await bench.archive.showSetup({ club, member, id });
  return shown.kind === 'setup' ? shown.doc : expect.fail(`no setup ${id}`);
}
/** All of it but whose it is, of which truck, and which revision at what time. */
const kept = ({ member: _, rev: __, at: ___, truck: ____, ...doc }: SetupDoc): object => doc;
const numberIn = (text: string): number => Number(/number (\d+)/.exec(text)?.[1] ?? expect.fail(`not kept: ${text}`));
const howMany = async (): Promise<number> => (await bench.archive.findSetups({ club: YOU.club, words: '', limit: 50 })).setups.length;

async function terminal(...args: string[]): Promise<{ readonly status: number; readonly out: string; readonly err: string }> {
  const heard = { out: '', err: '' };
  const into = (which: 'out' | 'err') =>
    new Writable({
      write(chunk, _, next) {
        heard[which] += String(chunk);
        next();
      },
    });
  const status = await runTerminal(
    {
      sheets: bench.house.sheets,
      out: into('out'),
      err: into('err'),
      input: Readable.from([]),
      commands: async () => bench.commands,
      asker: YOU,
      draw: async () => null,
    },
    args,
  );
  return { status, ...heard };
}

/** A form with a file, as a browser sends it. */
async function upload(path: string, fields: Readonly<Record<string, string>>, file?: File, headers: Record<string, string> = {}) {
  const form = new FormData();
  for (const [name, value] of Object.entries(fields)) form.append(name, value);
  if (file) form.append('file', file);
  const request = new Request(bench.url, { method: 'POST', body: form });
  const body = Buffer.from(await request.arrayBuffer());
  return bench.ask('POST', path, {
    headers: { 'content-type': request.headers.get('content-type')!, origin: bench.url, ...headers },
    body,
  });
}

describe.each(['json', 'markdown'] as const)('a setup as %s', (as) => {
  const ending = as === 'json' ? 'json' : 'md';

  it('goes out and comes back in Discord', async () => {
    const came = await bench.get(`/setups/1/setup.${ending}`);
    let file = { filename: `from-elsewhere.${ending}`, bytes: came.bytes as Uint8Array };
    // From the other club, and from there once more.
    for (const round of [1, 2]) {
      const options = { truck: `Round ${round}, ${as}` };
      const back = await discord.interact({ command: 'setup import', options, files: { file }, member: DUNE });
      const id = numberIn(back.content);
      expect(kept(await docOf(id, { club: discord.guild.id, member: DUNE.id }))).toEqual(kept(original));
      const out = await discord.interact({ command: 'setup export', options: { name: String(id), as }, member: DUNE });
      expect(out.attachments[0]?.filename).toBe(`setup-${id}-rev-1.${ending}`);
      file = out.attachments[0]!;
    }
    expect(discord.refusals).toEqual([]);
  });

  it('goes out and comes back at the terminal', async () => {
    const path = join(folder, `a setup.${ending}`);
    expect(await terminal('setup', 'export', '1', `as:${as}`, `file:${path}`)).toMatchObject({ status: 0 });
    for (const spelt of ['file:', 'file=']) {
      const back = await terminal('setup', 'import', `${spelt}${path}`, `truck:By ${spelt.slice(0, 4)} ${spelt === 'file:' ? 1 : 2} ${as}`);
      expect(back.err).toBe('');
      expect(kept(await docOf(numberIn(back.out)))).toEqual(kept(original));
    }
    const text = await terminal('setup', 'import', `truck:By text ${as}`, `text:${readFileSync(path, 'utf8')}`);
    expect(kept(await docOf(numberIn(text.out)))).toEqual(kept(original));
  });

  it('goes out and comes back on the bench', async () => {
    const out = await bench.get(`/setups/1/setup.${ending}`);
    expect(out.status).toBe(200);
    const page = (await bench.get('/setups')).html;
    expect(page).toMatch(/<form[^>]*action="\/setups\/import" enctype="multipart\/form-data"/);
    const once = /action="\/setups\/import"[\s\S]*?name="once" value="([^"]+)"/.exec(page)![1]!;
    const file = new File([new Uint8Array(out.bytes)], `setup.${ending}`, { type: out.headers['content-type'] ?? '' });
    const back = await upload('/setups/import', { truck: `By the bench, ${as}`, once }, file);
    expect(back).toMatchObject({ status: 303 });
    const id = Number(/^\/setups\/(\d+)$/.exec(back.headers.location!)![1]);
    expect(kept(await docOf(id))).toEqual(kept(original));
    expect((await bench.through(back)).status).toBe(200);
    // Pressed twice it is kept once.
    const before = await howMany();
    expect((await upload('/setups/import', { truck: `By the bench, ${as}`, once }, file)).headers.location).toBe(`/setups/${id}`);
    expect(await howMany()).toBe(before);
  });
});

describe('a file that is no setup', () => {
  const noise = Buffer.from([0xff, 0xfe, 0, 1]);
  const cut = Buffer.from('{"format": "dustsheet-setup/1", "name"');

  it('is told in the same sentences by every face, and nothing is kept', async () => {
    const before = await howMany();
    for (const [bytes, sentence] of [
      [noise, 'The file "x.json" is not text in UTF-8.'],
      [cut, 'Here it ceases to be JSON. Is the file whole?'],
      [Buffer.alloc(12 * 1024 * 1024, ' '), /too large|more than 10 MiB/],
    ] as const) {
      const seen = await discord.interact({ command: 'setup import', files: { file: { filename: 'x.json', bytes } } });
      expect(seen.private).toBe(true);
      const page = await upload('/setups/import', {}, new File([new Uint8Array(bytes)], 'x.json'));
      expect([413, 422]).toContain(page.status);
      for (const text of [seen.content.replaceAll('\\', ''), words(page.html)]) expect(text).toMatch(sentence);
    }
    expect(await howMany()).toBe(before);
  });

  it('is missing: each face says how to give it', async () => {
    expect((await discord.interact({ command: 'setup import' })).content).toContain('File is missing.');
    expect((await terminal('setup', 'import')).err).toContain('File is missing.');
    expect(words((await upload('/setups/import', {})).html)).toContain('File is missing.');
    expect(words((await bench.post('/line', { line: 'setup import file:x.json' })).html)).toContain('It has to be handed in');
  });

  it('comes from another page: refused, as is any other kind of body', async () => {
    const before = await howMany();
    const file = new File([Buffer.from(JSON.stringify({}))], 'x.json');
    expect((await upload('/setups/import', {}, file, { origin: 'http://evil.example' })).status).toBe(403);
    expect((await upload('/setups/import', {}, file, { 'sec-fetch-site': 'cross-site' })).status).toBe(403);
    expect((await bench.post('/setups/import', { text: '{}' })).status).toBe(415);
    const broken = await bench.ask('POST', '/setups/import', {
      headers: { 'content-type': 'multipart/form-data; boundary=x' },
      body: 'no',
    });
    expect(broken.status).toBe(415);
    expect((await bench.get('/setups/import')).headers.location).toBe('/setups#hand-in');
    const announced = await bench.ask('POST', '/setups/import', {
      headers: { 'content-type': 'multipart/form-data; boundary=x', 'content-length': '20000000' },
      body: 'x'.repeat(20_000_000),
    });
    expect(announced.status).toBe(413);
    expect(await howMany()).toBe(before);
    expect(bench.log).toEqual([]);
  });
});
