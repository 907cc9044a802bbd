/** The pages of the trucks: what one answers, what is known of it, and the forms that change it. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { truckAddress } from '../../../bot/transports/bench/trucks.ts';
import { type Answered, field, type OpenBench, openBench, words, YOU } from './open-bench.ts';

let bench: OpenBench;
beforeAll(async () => {
  bench = await openBench();
  await bench.season();
  for (const [command, options] of [
    ['corners', { quick: '612 605 901 896', wheelbase: '330' }],
    ['ride', { end: 'rear', spring_rate: '0.50', motion_ratio: '0.62', unsprung_mass: '214' }],
  ] as const)
    await bench.commands.answer({ command, options: { ...options, truck: 'Salt Flea' }, asker: YOU });
}, 60_000);
afterAll(() => bench?.stop());

/** What is to be read of the section under this heading. */
function section(html: string, heading: string): string {
  const found = new RegExp(`<h2[^>]*>${heading}</h2>([\\s\\S]*?)</section>`).exec(html);
  return found ? words(found[1]!) : expect.fail(`no section "${heading}"`);
}
const facts = async (truck = 'Salt Flea') => bench.archive.facts({ ...YOU, truck });
const page = async (path: string): Promise<Answered> => {
  const answered = await bench.get(path);
  expect(answered.status).toBe(200);
  return answered;
};

describe('the page of all trucks', () => {
  it('shows one’s own, what is known of each, and those of the others with whose they are', async () => {
    const { html } = await page('/trucks');
    expect(section(html, 'Yours')).toMatch(/^Salt Flea 8 facts · 8 just given · /);
    expect(section(html, 'Of Ines')).toMatch(/^Sandhopper 30 facts · 17 parts · 3 setups · 3 October \d{4}$/);
    expect(html).toContain('href="/trucks/Sandhopper?of&#x3D;demo-ines"');
    expect(html).toMatch(/<a href="\/trucks" aria-current="page">Trucks<\/a>/);
  });

  it('says so when there is none', async () => {
    const other = await openBench({ house: () => ({}) });
    try {
      expect(words((await other.get('/trucks')).html)).toContain('You have no truck here yet.');
    } finally {
      await other.stop();
    }
  });
});

describe('the page of a truck', () => {
  it('begins with its card, on either ground; of a truck that nobody knows there is none', async () => {
    const { html } = await page('/trucks/Sandhopper?of=demo-ines');
    expect(html).toMatch(/<img [^>]*alt="Sandhopper, [^"]*13 answers now/);
    const [dark, light] = [/<img src="([^"]*)"/.exec(html)![1]!, /srcset="([^"]*)"/.exec(html)![1]!].map((path) =>
      path.replaceAll('&#x3D;', '=').replaceAll('&amp;', '&'),
    );
    expect(dark).toBe('/truck/card.dark.png?name=Sandhopper&of=demo-ines');
    const cards = await Promise.all([dark!, light!].map((path) => bench.get(path)));
    for (const { status, headers } of cards) expect([status, headers['content-type']]).toEqual([200, 'image/png']);
    expect(cards[0]!.bytes.equals(cards[1]!.bytes)).toBe(false);
    expect((await bench.get('/truck/card.png?name=Nobody')).status).toBe(404);
    expect((await bench.get('/truck/other.png?name=Sandhopper&of=demo-ines')).status).toBe(404);
  });

  it('says what it answers, what to measure next, what is known, what it is made of and what it has run', async () => {
    const { html } = await page('/trucks/Sandhopper?of=demo-ines');
    expect(words(html)).toContain('Sandhopper Ines · 30 facts');
    expect(section(html, 'What it answers')).toMatch(/Ride, rear Ride frequency 2\.436 Hz ± 0\.022/);
    expect(section(html, 'What it answers')).toMatch(/Corner weights Rear share ✓ on target \(59 to 61 %\) 59\.888 % ± 0\.019/);
    expect(section(html, 'One more measurement would give')).toContain('CG height centre of gravity over the ground Launch');
    expect(section(html, 'What is known')).toMatch(
      /Rear spring rate measured 11 July \d{4}, Ines · white 0\.38 · spring from the box 0\.381 N\/mm ± 0\.006/,
    );
    expect(section(html, 'What it is made of')).toContain('17 parts on the truck 3023 g: that is what the scales say.');
    expect(section(html, 'What it is made of')).toContain('2 × rear tyre at 331 mm · unsprung, rear axle · tyre 96 g');
    expect(section(html, 'Its setups')).toMatch(/^Hard pan, evening Sandhopper · Ines · .* Soft sand /);
    // What Tomasz keeps for himself is neither listed nor counted for others.
    expect(section((await page('/trucks/Mudlark?of=demo-tomasz')).html, 'Its setups')).not.toContain('Race plan');
    expect(section((await page('/trucks')).html, 'Of Tomasz')).toContain('2 setups');
    expect(section(html, 'Runs, newest first')).toMatch(/^12 · 3 October .* pinion 17 → 18 teeth/);
  });

  it('of another member has nothing to press, and leads to no sheet of one’s own', async () => {
    const { html } = await page('/trucks/Sandhopper?of=demo-ines');
    expect(html).not.toContain('<form');
    expect(/<main[\s\S]*<\/main>/.exec(html)![0]).not.toContain('href="/sheets/');
  });

  it('leads from each answer and each measurement to its sheet, asked for this truck and end', async () => {
    const { html } = await page('/trucks/Salt%20Flea');
    const href = /<a href="([^"]*)">Ride, rear<\/a>/.exec(html)![1]!.replaceAll('&#x3D;', '=').replaceAll('&amp;', '&');
    expect(href).toBe('/sheets/ride?truck=Salt+Flea&end=rear#answer');
    expect(words((await page(href.replace('#answer', ''))).html)).toContain('Ride frequency');
  });

  it('is found by its name however it is written, and says so when there is none', async () => {
    expect((await bench.get('/trucks/salt%20flea')).status).toBe(200);
    const lost = await bench.get('/trucks/Gully');
    expect(lost.status).toBe(404);
    expect(words(lost.html)).toContain('There is no truck "Gully" of yours.');
    expect((await bench.get('/trucks/Sandhopper?of=nobody')).status).toBe(404);
    expect((await bench.get('/trucks/%00')).status).toBe(404);
  });

  it('changes nothing by being looked at', async () => {
    const before = await bench.archive.verify({ club: YOU.club });
    await page('/trucks/Salt%20Flea');
    await page('/trucks');
    expect(await bench.archive.verify({ club: YOU.club })).toEqual(before);
  });

  it('is harmless whatever people have called things', async () => {
    await bench.commands.answer({
      command: 'truck use',
      options: { name: '<script>alert(1)</script>' },
      asker: { ...YOU, member: 'm', memberName: '<b>x</b>' },
    });
    const { html } = await page('/trucks');
    expect(html).not.toContain('<b>x');
    const href = /href="(\/truck\?[^"]*script[^"]*)"/.exec(html)![1]!.replaceAll('&amp;', '&').replaceAll('&#x3D;', '=');
    const answered = await page(href);
    expect(words(answered.html)).toContain('<script>alert(1)</script>');
    expect(answered.html).not.toContain('<script>');
  });

  it('has an address whatever it is called, and its forms work there', async () => {
    for (const name of ['Half/Track', '..', 'a?b#c', 'x&of=y', '50 % dune', 'Wüstenfloh']) {
      await bench.commands.answer({ command: 'truck use', options: { name }, asker: YOU });
      const href = truckAddress(name);
      expect(words((await page(href)).html)).toContain(name);
      expect((await bench.post(href, { act: 'set', facts: 'wheelbase:330' })).headers.location).toBe(href);
      expect((await facts(name)).get('wheelbase')).toMatchObject({ typed: '330' });
    }
  });
});

describe('the forms of a truck', () => {
  const path = '/trucks/Salt%20Flea';

  it('keep what was just given, with how it is known, and lead back to the page', async () => {
    const kept = await bench.through(await bench.post(path, { act: 'keep', how: 'stated' }));
    expect(kept.path).toBe('/trucks/Salt%20Flea');
    expect(section(kept.html, 'What is known')).toMatch(/Wheelbase stated .*, You 330 mm/);
    expect(kept.html).not.toContain('Just given');
    expect((await facts()).get('wheelbase')).toMatchObject({ kept: true, how: 'stated' });
  });

  it('take what one knows, mark what that makes stale, and ask it again', async () => {
    const told = await bench.through(
      await bench.post(path, { act: 'set', facts: 'rear_spring_rate:0.45\r\nwheelbase:331', how: 'measured' }),
    );
    expect(section(told.html, 'Stale: a reading has changed since')).toMatch(/Ride, rear .* for spring rate 0\.5 → 0\.45 N\/mm/);
    expect((await facts()).get('rear_spring_rate')).toMatchObject({ typed: '0.45', kept: true, how: 'measured' });
    const asked = await bench.through(await bench.post(path, { act: 'refresh' }));
    expect(asked.html).not.toContain('Stale');
  });

  it('say what is wrong beside what was typed, and keep nothing then', async () => {
    const slipped = await bench.post(path, { act: 'set', facts: 'wheelbase:33000 colour:red', how: 'assumed' });
    expect(slipped.status).toBe(422);
    expect(words(slipped.html)).toContain('Wheelbase: "33000" is out. Give 0.1 to 2000 mm. Did you mean 330 mm?');
    expect(field(slipped.html, 'facts')!.value).toBe('wheelbase:33000 colour:red');
    expect(slipped.html).toMatch(/value="assumed" checked/);
    expect((await facts()).get('wheelbase')).toMatchObject({ typed: '331' });
    expect((await bench.post(path, { act: 'keep' })).status).toBe(422);
    expect((await bench.post(path, { act: 'paint' })).status).toBe(400);
  });

  it('make it the current truck', async () => {
    expect((await page(path)).html).toContain('Mean this truck when none is named');
    const used = await bench.through(await bench.post(path, { act: 'use' }));
    expect(words(used.html)).toContain('yours · the current one');
    expect(used.html).not.toContain('Mean this truck when none is named');
  });

  it('cannot be sent from another page', async () => {
    const sent = await bench.ask('POST', path, {
      headers: { 'content-type': 'application/x-www-form-urlencoded', origin: 'http://elsewhere.example', 'sec-fetch-site': 'cross-site' },
      body: 'act=keep',
    });
    expect(sent.status).toBe(403);
  });

  it('change nothing of another member: the name is looked for among one’s own', async () => {
    expect((await bench.post('/trucks/Sandhopper', { act: 'set', facts: 'wheelbase:300' })).status).toBe(303);
    expect((await bench.archive.facts({ club: YOU.club, member: 'demo-ines', truck: 'Sandhopper' })).get('wheelbase')).toMatchObject({
      typed: '331',
    });
  });
});

describe('the line of chat', () => {
  it('leads to the pages for what has one', async () => {
    expect((await bench.post('/line', { line: 'truck list' })).headers.location).toBe('/trucks');
    expect((await bench.post('/line', { line: 'truck show Salt Flea' })).headers.location).toBe('/trucks/Salt%20Flea');
    expect(words((await bench.post('/line', { line: 'truck show fact:wheelbase' })).html)).toContain('Wheelbase of Salt Flea');
  });
});
