/** A setup goes out as a file and comes back through every face: the same readings, answers, notes and conditions as before. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { handed } from '../../bot/commands/handed.ts';
import { makeCommands } from '../../bot/commands/index.ts';
import type { DiscordHandle } from '../../bot/transports/discord/index.ts';
import { runTerminal } from '../../bot/transports/terminal/index.ts';
import { pictureHash } from '../../worksheets/archive/pictures.ts';
import type { SetupDoc } from '../../worksheets/archive/types.ts';
import { keptPicture } from '../../worksheets/archive/webp.ts';
import { type Double, startDouble } from '../support/discord-double/index.ts';
import { field, phoneJpeg } from '../support/pictures.ts';
import { decoded, type OpenBench, openBench, words, YOU } from './bench/open-bench.ts';
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
  for (const line of ['5 min, bucked in the whoops, motor 72, laps 24.1 24.3 23.9', '2 min -- "calm" `so`'])
    await ask(`run add | line=${line} | track=Salt loop | truck=Sandhopper`);
  // With all that is known in the end: so is it worked out again where a file arrives.
  await ask(four);
  await ask(
    'setup save | name=Hard pan — "evening" | truck=Sandhopper | notes=calm -- over\nthe ruts | tags=hard pan, evening | track=Salt loop | temperature=24 | wind=W, light',
  );
  for (const seed of [1, 2]) {
    const file = handed(`${seed}.png`, 'image/png', await (await field(40 + seed, 30)).png().toBuffer());
    const { kind, text } = await bench.commands.answer({ command: 'setup picture', options: { name: '1' }, files: { file }, asker: YOU });
    expect([kind, text]).toEqual(['words', expect.stringContaining('has this picture now')]);
  }
  original = await docOf(1);
  expect([original.pictures?.length, original.runs?.length]).toEqual([2, 2]);
  expect(JSON.stringify(original)).not.toContain(YOU.memberName);
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

/** The JSON of a setup of the bench, as a file. */
const fileOf = async (id: number) => ({ filename: 'setup.json', bytes: (await bench.get(`/setups/${id}/setup.json`)).bytes as Uint8Array });

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
    // Who sees it is chosen beside the file.
    const choice = /<select[^>]*name="private"[\s\S]*?<\/select>/.exec(page)![0];
    expect(words(choice)).toContain('Everybody in the club Only you');
    const hidden = await upload('/setups/import', { truck: `Kept away, ${as}`, private: 'yes' }, file);
    const number = /^\/setups\/(\d+)$/.exec(hidden.headers.location!)![1];
    expect(words((await bench.get(`/setups/${number}`)).html)).toContain('private');
    expect(words((await bench.get(`/setups/${id}`)).html)).not.toContain('private');
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

describe('a picture on a setup', () => {
  let photo: Buffer;
  let small: Buffer;
  beforeAll(async () => {
    photo = await phoneJpeg();
    small = await (await field(50, 40)).jpeg().toBuffer();
  });
  const harmless = (bytes: Uint8Array): void => {
    expect(keptPicture(bytes)).toEqual({ width: 960, height: 1280 });
    expect(Buffer.from(bytes).includes('Ines')).toBe(false);
  };

  it('is added and seen in Discord', async () => {
    const out = await discord.interact({
      command: 'setup import',
      files: { file: await fileOf(1) },
      options: { truck: 'Pictured' },
      member: DUNE,
    });
    const name = String(numberIn(out.content));
    const file = { filename: 'IMG_0001.JPG', contentType: 'image/jpeg', bytes: photo };
    const added = await discord.interact({ command: 'setup picture', options: { name }, files: { file }, member: DUNE });
    expect(added.content.replaceAll('\\', '')).toContain('has this picture now: revision 2.');
    const shown = await discord.interact({ command: 'setup picture', options: { name }, member: DUNE });
    expect(shown.content).toContain('3 pictures');
    expect(shown.attachments.map(({ filename, contentType }) => [filename, contentType])).toEqual(
      [1, 2, 3].map((i) => [`setup-${name}-picture-${i}.webp`, 'image/webp']),
    );
    expect(shown.attachments[2]!.description).toBe('Picture 3 of 3 on the setup "Hard pan — "evening"" of Pictured');
    harmless(shown.attachments[2]!.bytes);
    const one = await discord.interact({ command: 'setup picture', options: { name, number: '3' }, member: DUNE });
    expect(one.attachments.map(({ bytes }) => Buffer.from(bytes).equals(Buffer.from(shown.attachments[2]!.bytes)))).toEqual([true]);
    expect((await discord.interact({ command: 'setup show', options: { name }, member: DUNE })).content).toContain('3 pictures');
    // Sent again as it was, it is said; another member's is not theirs to change.
    expect((await discord.interact({ command: 'setup picture', options: { name }, files: { file }, member: DUNE })).content).toContain(
      'already',
    );
    const other = { id: '1180000000000000078', username: 'cyd', nick: 'Cyd' };
    expect((await discord.interact({ command: 'setup picture', options: { name }, files: { file }, member: other })).content).toContain(
      'Dune',
    );
    expect(discord.refusals).toEqual([]);
  });

  it('is added and seen at the terminal', async () => {
    const path = join(folder, 'IMG 0001.JPG');
    writeFileSync(path, photo);
    const added = await terminal('setup', 'picture', '1', `file:${path}`);
    expect([added.err, added.out]).toEqual(['', expect.stringContaining('has this picture now')]);
    expect((await terminal('setup', 'show', '1')).out).toContain('3 pictures: setup picture 1');
    const to = join(folder, 'out.webp');
    expect((await terminal('setup', 'picture', '1', '--card', to)).err).toBe('There are 3 pictures: add number:1 to write the first.\n');
    expect(await terminal('setup', 'picture', '1', 'number:3', '--card', to)).toMatchObject({ status: 0, err: '' });
    harmless(readFileSync(to));
    expect((await terminal('setup', 'picture', '1', 'number:4')).err).toContain('It has 1 to 3.');
    expect((await terminal('setup', 'picture', '1', `file:${join(folder, 'none.jpg')}`)).err).toContain('There is no file');
    expect((await terminal('setup', 'picture', '1', 'remove:yes')).err).toBe(
      'Remove: "yes" is no picture. Give its number: remove:1 takes the first one away.\n',
    );
    expect((await terminal('setup', 'picture', '1', 'remove:3')).out).toContain('shows this picture no more');
    expect((await terminal('setup', 'picture', '1')).out).toContain('2 pictures');
    expect((await terminal('setup', 'history', '1')).out.match(/pictures: \d → \d/g)).toEqual([
      'pictures: 3 → 2',
      'pictures: 2 → 3',
      'pictures: 1 → 2',
      'pictures: 0 → 1',
    ]);
  });

  it('is added, seen and taken away on the bench', async () => {
    const before = (await bench.get('/setups/1')).html;
    expect(before).toMatch(/<form[^>]*action="\/setups\/1\/pictures" enctype="multipart\/form-data"/);
    const added = await upload('/setups/1/pictures', {}, new File([new Uint8Array(small)], 'small.jpg', { type: 'image/jpeg' }));
    expect(added).toMatchObject({ status: 303, headers: { location: '/setups/1' } });
    const { html } = await bench.get('/setups/1');
    const sources = [...html.matchAll(/<img src="([^"]+pictures[^"]+)" alt="([^"]+)" width="(\d+)" height="(\d+)"/g)];
    expect(sources.map(([, , alt]) => decoded(alt!))).toEqual([1, 2, 3].map((i) => `Picture ${i} of 3 on Hard pan — "evening"`));
    const last = await bench.get(decoded(sources[2]![1]!));
    expect([last.status, last.headers['content-type'], last.headers['x-content-type-options']]).toEqual([200, 'image/webp', 'nosniff']);
    expect(keptPicture(last.bytes)).toEqual({ width: Number(sources[2]![3]), height: Number(sources[2]![4]) });
    expect(pictureHash(last.bytes)).toBe((await docOf(1)).pictures![2]);
    // An earlier revision has its own, and nothing to change them with.
    const earlier = (await bench.get('/setups/1?rev=2')).html;
    expect([...earlier.matchAll(/<img src="[^"]+pictures/g)].length).toBe(1);
    expect(earlier).not.toContain('action="/setups/1/pictures');
    expect((await bench.post('/setups/1/pictures/3', {})).headers.location).toBe('/setups/1');
    expect((await docOf(1)).pictures?.length).toBe(2);
    for (const path of [
      '/setups/1/pictures/9.webp',
      '/setups/1/pictures/0.webp',
      '/setups/99/pictures/1.webp',
      '/setups/x/pictures/1.webp',
      '/setups/1/pictures/1.png',
    ])
      expect([path, (await bench.get(path)).status]).toEqual([path, 404]);
    expect((await bench.post('/setups/1/pictures/9', {})).status).toBe(422);
    expect((await upload('/setups/1/pictures', {})).status).toBe(422);
    expect((await upload('/setups/1/pictures', {}, new File([new Uint8Array(small)], 'x'), { origin: 'http://evil.example' })).status).toBe(
      403,
    );
  });

  it('that is none is refused in every face with the same sentence, and nothing is kept', async () => {
    const svg = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>');
    const before = await docOf(1);
    for (const [bytes, sentence] of [
      [svg, 'That is no picture that can be kept. Give a JPEG, PNG or WebP.'],
      [photo.subarray(0, 9000), 'That picture is broken or not whole. Send it once more.'],
    ] as const) {
      const path = join(folder, 'picture.jpg');
      writeFileSync(path, bytes);
      expect((await terminal('setup', 'picture', '1', `file:${path}`)).err).toBe(`${sentence}\n`);
      const page = await upload('/setups/1/pictures', {}, new File([new Uint8Array(bytes)], 'picture.jpg', { type: 'image/jpeg' }));
      expect([page.status, words(page.html)]).toEqual([422, expect.stringContaining(sentence)]);
      const seen = await discord.interact({
        command: 'setup picture',
        options: { name: '1' },
        files: { file: { filename: 'picture.jpg', bytes } },
      });
      expect([seen.private, seen.content.replaceAll('\\', '')]).toEqual([true, sentence]);
    }
    expect(await docOf(1)).toEqual(before);
    expect(bench.log).toEqual([]);
  });
});
