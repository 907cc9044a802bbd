import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { answersOn, decoded, field, type OpenBench, openBench, words, YOU } from './open-bench.ts';

let bench: OpenBench;
beforeAll(async () => {
  bench = await openBench();
  await bench.season();
});
afterAll(() => bench?.stop());

const FOUR = { front_left: '612', front_right: '605', rear_left: '901', rear_right: '896' };
/** The hidden fields of the form that keeps a setup. */
const hiddenOf = (html: string): Record<string, string> => {
  const form = /<form[^>]*action="\/setups">[\s\S]*?<\/form>/.exec(html)![0];
  return Object.fromEntries(
    [...form.matchAll(/type="hidden" name="([^"]*)" value="([^"]*)"/g)].map(([, name, value]) => [name!, decoded(value!)]),
  );
};

describe('the first page', () => {
  it('leads from questions in plain words to their sheets, the newcomer’s ten first and the rest by group', async () => {
    const { html } = await bench.get('/');
    const [first = '', more = ''] = html.split('<h2 id="more">');
    const leads = [...first.matchAll(/<li><a href="\/sheets\/(\w+)"><strong>([^<]*)/g)].map(
      ([, name, ask]) => [name!, decoded(ask!)] as const,
    );
    expect(leads).toContainEqual(['corners', 'How much weight is on the rear wheels?']);
    expect(leads.length).toBeGreaterThan(2);
    expect(leads.length).toBeLessThanOrEqual(10);
    for (const [name, ask] of leads) {
      expect(bench.house.sheets.get(name)!.first, name).toBe(true);
      expect(bench.house.sheets.get(name)!.asks[0], name).toBe(ask);
    }
    const rest = [...more.matchAll(/<li><a href="\/sheets\/(\w+)">/g)].map(([, name]) => name!);
    expect([...leads.map(([name]) => name), ...rest].sort()).toEqual([...bench.house.sheets.keys()].sort());
    expect(more).toContain('<h3>Springs and dampers</h3>');
  });

  it('shows at most ten sheets first, however many ask for it', async () => {
    const eager = await openBench({
      house: ({ sheets }) => ({ sheets: new Map([...sheets].map(([name, sheet]) => [name, { ...sheet, first: true }])) }),
    });
    try {
      const [first = '', more = ''] = (await eager.get('/')).html.split('<h2 id="more">');
      const count = (html: string): number => [...html.matchAll(/<li><a href="\/sheets\//g)].length;
      expect([count(first), count(more)]).toEqual([10, eager.house.sheets.size - 10]);
    } finally {
      await eager.stop();
    }
  });

  it('shows the newest setups and a box to find others', async () => {
    const { html } = await bench.get('/');
    const shown = [...html.matchAll(/<a href="\/setups\/(\d+)"><strong>([^<]*)/g)].map(([, id, name]) => `${id} ${decoded(name!)}`);
    // Newest first; the plan of Tomasz between 8 and 2 is his alone.
    expect(shown).toEqual(['8 Hard pan, evening', '2 Three cells', '3 Whoops, soft front', '1 Hard pan', '6 First go']);
    expect(html).toMatch(/<form[^>]*method="get" action="\/setups"/);
  });
});

describe('the line', () => {
  const line = async (typed: string) => bench.through(await bench.post('/line', { line: typed }));

  it('takes what one types in chat and keeps the answer like there', async () => {
    const page = await line('corners 612 605 901 896 truck:Liner wheelbase:330');
    expect(page.path).toBe('/sheets/corners?truck=Liner&front_left=612&front_right=605&rear_left=901&rear_right=896&wheelbase=330#answer');
    expect(answersOn(page.html).get('Rear share')).toBe('59.622 % ± 0.020');
    expect(words(page.html)).toContain('Kept as the last answer of Liner.');
  });

  it('with a slip comes back with the form, the slip and what was typed', async () => {
    const page = await bench.post('/line', { line: '/corners 6120 605 901 896' });
    expect(page.status).toBe(422);
    expect(words(page.html)).toContain('Did you mean 612.0 g?');
    expect(field(page.html, 'front_left')!.value).toBe('6120');
    const row = await bench.post('/line', { line: 'corners 612 605 901 896 897' });
    expect(row.status).toBe(422);
    expect(words(row.html)).toContain('5 values stand in a row. Give 4');
    expect(field(row.html, 'line')!.value).toBe('corners 612 605 901 896 897');
  });

  it('shows a line to copy that needs nothing more', async () => {
    const example = /id="line-hint">For example: ([^<]*)</.exec((await bench.get('/')).html)![1]!;
    expect((await line(decoded(example))).html).toContain('id="answer"');
  });

  it('finds and shows setups, and asks for help', async () => {
    expect((await line('setup find evening')).path).toBe('/setups?words=evening');
    expect(words((await line('setup find evening owner:ines')).html)).toContain('8. Hard pan, evening');
    expect(words((await line('setup find evening by Ines')).html)).toContain('Hard pan, evening Sandhopper · Ines');
    expect(words((await line('setup find evening by Tomasz')).html)).not.toContain('· Ines ·');
    expect(words((await line('setup find evening owner:tomasz')).html)).toContain('No setup of this club holds');
    expect(words((await bench.post('/line', { line: 'setup show code:00000-00000' })).html)).toContain('shows nothing, or not any more');
    expect((await line('setup show 2')).path).toBe('/setups/2');
    expect((await line('setup show Hard pan, evening')).path).toBe('/setups/8');
    expect((await line('help springs')).path).toBe('/help?about=springs');
    expect((await line('help corners')).path).toBe('/sheets/corners');
    const none = await bench.post('/line', { line: 'setup show 99' });
    expect(none.status).toBe(422);
    expect(words(none.html)).toContain('There is no setup 99 in this club.');
  });

  it('takes a question in plain words to what may answer it, and a slip in a name to the name', async () => {
    const page = await line('how do I get weight to the back');
    expect(page.path).toMatch(/^\/help\?about=how/);
    expect(page.html).toContain('href="/sheets/corners"');
    const near = await bench.post('/line', { line: 'cornes 612 605 901 896' });
    expect(near.status).toBe(422);
    expect(words(near.html)).toContain('Did you mean corners?');
  });

  it('leads to commands as to sheets, each with what it takes and lines that stand ready to be asked', async () => {
    const found = await line('who borrowed my springs');
    expect(found.path).toMatch(/^\/help\?about=who/);
    expect(found.html.indexOf('href="/help?about&#x3D;box+list"')).toBeGreaterThan(0);
    const truck = await bench.get('/help?about=truck');
    expect(truck.html).toContain('href="/help?about&#x3D;truck+parts"');
    expect(words(truck.html)).toContain('/truck parts add name:lead');
    const parts = await bench.get('/help?about=truck+parts');
    expect(words(parts.html)).toContain('mm behind the front axle');
    const lines = [...parts.html.matchAll(/href="(\/line\?line[^"]*)">([^<]*)</g)].map(([, href, shown]) => [
      decoded(href!),
      decoded(shown!),
    ]);
    expect(lines.map(([, shown]) => shown)).toContain('/truck parts list');
    for (const [href, shown] of lines) {
      const ready = await bench.get(href!);
      expect(decoded(/id="line" name="line" value="([^"]*)"/.exec(ready.html)![1]!)).toBe(shown!.slice(1));
    }
    for (const { name } of bench.commands.specs)
      if (!bench.house.sheets.has(name) && name !== 'help')
        expect(words(truck.html).match(new RegExp(`/${name}\\b`)), `${name} is among all commands`).not.toBeNull();
  });

  it('does what else one can say in chat, and shows what is said', async () => {
    await line('corners 612 605 901 896 truck:Spoken');
    const used = await bench.post('/line', { line: '/truck use Spoken' });
    expect(used.status).toBe(200);
    expect(words(used.html)).toContain('Spoken');
    const forgotten = await bench.post('/line', { line: 'truck forget rear left' });
    expect(decoded(/<pre class="said">([\s\S]*?)<\/pre>/.exec(forgotten.html)![1]!)).toBe('Forgotten of Spoken: rear left 901 g ± 0.5.');
    // What has a page of its own leads there, with the same words below.
    const shown = await line('truck show');
    expect(shown.path).toBe('/trucks/Spoken');
    expect(decoded(/<pre>([\s\S]*?)<\/pre>/.exec(shown.html)![1]!)).toBe(
      (await bench.commands.answer({ command: 'truck show', options: {}, asker: YOU })).text,
    );
    // From now on it is the truck that is meant when none is named.
    const page = await line('corners 612 605 901 890');
    expect(words(page.html)).toContain('Kept as the last answer of Spoken.');
    expect(words(page.html)).toContain('Left empty: Spoken');
    expect(hiddenOf(page.html).truck).toBe('Spoken');
    const slip = await bench.post('/line', { line: 'truck forget nothing_like_it' });
    expect(slip.status).toBe(422);
    expect(field(slip.html, 'line')!.value).toBe('truck forget nothing_like_it');
  });

  it('left empty leads home', async () => {
    expect((await line('  ')).path).toBe('/');
  });
});

describe('setups', () => {
  it('are found by any word, a page at a time', async () => {
    expect(words((await bench.get('/setups?words=sand')).html)).toContain('Deep sand');
    expect(words((await bench.get('/setups?words=deep+sand')).html)).not.toContain('Hard pan');
    // 59.89 % and 58.42 % on the rear wheels.
    const heavy = words((await bench.get(`/setups?${new URLSearchParams({ words: 'rear share > 59 %' })}`)).html);
    expect(heavy).toContain('Hard pan, evening');
    expect(heavy).not.toContain('Deep sand');
    const strange = words((await bench.get(`/setups?${new URLSearchParams({ words: 'rear_sahre > 59 %' })}`)).html);
    expect(strange).toContain('"rear_sahre" is no number that a setup holds. Did you mean rear_share?');
    expect(words((await bench.get('/setups?words=nothing+like+it')).html)).toContain('No setup of this club holds these words.');
    for (let i = 1; i <= 21; i += 1)
      await bench.commands.answer({
        command: 'setup save',
        options: { name: `Trial ${i}`, truck: 'Mudlark' },
        asker: { ...YOU, member: 'demo-tomasz', memberName: 'Tomasz' },
      });
    const first = await bench.get('/setups?words=trial');
    expect([...first.html.matchAll(/<a href="\/setups\/\d+"/g)]).toHaveLength(20);
    expect(decoded(/<a class="button quiet" href="([^"]*)">Further/.exec(first.html)![1]!)).toBe('/setups?words=trial&page=2');
    const second = await bench.get('/setups?words=trial&page=2');
    expect([...second.html.matchAll(/<a href="\/setups\/\d+"/g)]).toHaveLength(1);
    expect(decoded(/href="([^"]*)">Earlier/.exec(second.html)![1]!)).toBe('/setups?words=trial');
    expect((await bench.get('/setups?page=seven')).status).toBe(200);
  });

  it('are shown as text, cards and tables', async () => {
    const { status, html } = await bench.get('/setups/8');
    expect(status).toBe(200);
    const { text } = await bench.commands.answer({ command: 'setup show', options: { name: '8' }, asker: YOU });
    expect(decoded(/<pre>([\s\S]*?)<\/pre>/.exec(html)![1]!)).toBe(text);
    const corners = /<section id="sheet-corners"[\s\S]*?<\/section>/.exec(html)![0];
    // 609 + 604 + 907 + 904 = 3024 g, (907 + 904)/3024 = 59.888 %
    expect(answersOn(corners).get('Rear share')).toBe('59.888 % ± 0.019');
    const card = await bench.get(decoded(/<img src="([^"]*)"/.exec(corners)![1]!));
    expect([card.status, card.headers['content-type']]).toEqual([200, 'image/png']);
    expect(html).toContain('id="sheet-ride-rear"');
    const again = await bench.get(decoded(/<a class="button quiet" href="([^"]*)">Ask again/.exec(corners)![1]!).replace('#answer', ''));
    expect(answersOn(again.html).get('Rear share')).toBe('59.888 % ± 0.019');
  });

  it('have the day, the readings and the rows of a list as they were typed', async () => {
    const { html } = await bench.get('/setups/2');
    expect(words(html)).toContain('pan loop · surface hard salt, damp in the morning · grip high · 19 °C · wind none');
    const read = words(/<h2 id="facts">([\s\S]*?)<\/section>/.exec(html)![1]!);
    // 946 g on scale 2, which reads 502 g for 500 g: 942.2 g.
    expect(read).toMatch(/Rear left 946@2 · scale 2 reads 0\.4 % high 942\.2\d* g/);
    expect(read).toContain('Rear press points 0 g / 95 mm; 400 g / 86.3 mm; 800 g / 77.7 mm; 1200 g / 69 mm');
    const press = words(/<section id="sheet-press-rear"[\s\S]*?<\/section>/.exec(html)![0]);
    expect(press).toContain('0 g / 95 mm; 400 g / 86.3 mm');
  });

  it('found by a number show it, and those of one’s own that are private are marked', async () => {
    const mine = { ...YOU, member: YOU.member };
    await bench.commands.answer({ command: 'corners', options: { quick: '612 605 901 896', truck: 'Hidden' }, asker: mine });
    await bench.commands.answer({ command: 'setup save', options: { name: 'Only mine', truck: 'Hidden', private: 'yes' }, asker: mine });
    const item = (html: string, name: string): string =>
      words(new RegExp(`<li><a[^>]*><strong>${name}[\\s\\S]*?</li>`).exec(html)?.[0] ?? '');
    const { html } = await bench.get(`/setups?${new URLSearchParams({ words: 'rear_share > 59 %' })}`);
    expect(item(html, 'Only mine')).toMatch(/^Only mine private Hidden · You · .* · rear share 59\.62 %/);
    expect(item(html, 'Hard pan, evening')).toMatch(
      /^Hard pan, evening Sandhopper · Ines · 3 October \d{4} · number 8 · rear share 59\.89 %/,
    );
    expect(words((await bench.get('/')).html)).toContain('Only mine private');
    const id = /href="(\/setups\/\d+)"><strong>Only mine/.exec(html)![1]!;
    expect(words((await bench.get(id)).html)).toContain('private Only you see it.');
    // Another member's is not there at all.
    expect((await bench.get('/setups/7')).status).toBe(404);
    expect((await bench.get('/setups/7/setup.json')).status).toBe(404);
    expect((await bench.get('/setups/compare?a=7&b=8')).status).toBe(404);
  });

  it('go along as files, of the revision that is shown', async () => {
    const { html } = await bench.get('/setups/1?rev=2');
    const links = [...html.matchAll(/href="([^"]*)" download/g)].map(([, href]) => decoded(href!));
    expect(links).toEqual(['/setups/1/setup.json?rev=2', '/setups/1/setup.md?rev=2', '/setups/1/setup.csv?rev=2']);
    const [json, markdown, csv] = await Promise.all(links.map((link) => bench.get(link)));
    expect(json!.headers['content-disposition']).toBe('attachment; filename="setup-1-rev-2.json"');
    expect(json!.headers['content-type']).toBe('application/json; charset=utf-8');
    expect(JSON.parse(json!.html)).toMatchObject({ name: 'Hard pan', truck: 'Sandhopper' });
    expect(json!.html).not.toContain('Ines"');
    expect([markdown!.status, markdown!.html]).toEqual([200, expect.stringContaining('Hard pan')]);
    expect([csv!.status, csv!.html.split('\n').length > 10]).toEqual([200, true]);
    expect((await bench.get('/setups/1/setup.json?rev=99')).status).toBe(404);
    expect((await bench.get('/setups/1/setup.exe')).status).toBe(404);
    expect((await bench.get('/setups/0/setup.json')).status).toBe(404);
  });

  it('that are not there say so', async () => {
    for (const path of ['/setups/99', '/setups/0', '/setups/-1', '/setups/first', '/setups/1?rev=7', '/setups/1?rev=x', '/setups/1e1'])
      expect([path, (await bench.get(path)).status]).toEqual([path, 404]);
    expect((await bench.get('/setups/99/card.png')).status).toBe(422);
    expect((await bench.get('/setups/1/picture.png')).status).toBe(404);
  });

  it('are kept from the answer, once even when sent twice, and the next time as a revision with what changed', async () => {
    const page = await bench.through(await bench.post('/sheets/corners', { ...FOUR, truck: 'Saver' }));
    const hidden = hiddenOf(page.html);
    expect(hidden.truck).toBe('Saver');
    const fields = { ...hidden, name: 'Dry lake', notes: 'Line one\r\nLine two', tags: 'dry, lake' };
    const [one, other] = await Promise.all([bench.post('/setups', fields), bench.post('/setups', fields)]);
    expect(one.status).toBe(303);
    expect(other.headers.location).toBe(one.headers.location);
    const kept = await bench.through(one);
    expect(words(kept.html)).toContain('Saver · revision 1 of 1');
    expect(decoded(/<p class="notes">([\s\S]*?)<\/p>/.exec(kept.html)![1]!)).toBe('Line one\nLine two');

    const later = await bench.through(await bench.post('/sheets/corners', { ...FOUR, front_left: '640', truck: 'Saver' }));
    const next = await bench.through(await bench.post('/setups', { ...hiddenOf(later.html), name: 'Dry lake', notes: '', tags: '' }));
    expect(words(next.html)).toContain('Saver · revision 2 of 2');
    expect(words(next.html)).toMatch(/Corner weights: front left: 612 g → became 640 g/);
    expect(words((await bench.get(`${one.headers.location}?rev=1`)).html)).toContain('This is an earlier revision.');
  });

  it('say which answers were asked again for it, and lead on', async () => {
    await bench.through(await bench.post('/sheets/corners', { ...FOUR, truck: 'Stale' }));
    const page = await bench.through(
      await bench.post('/sheets/ride', { end: 'rear', spring_rate: '0.5', motion_ratio: '0.6', unsprung_mass: '214', truck: 'Stale' }),
    );
    await bench.commands.answer({ command: 'truck set', options: { facts: 'rear_spring_rate:0.45', truck: 'Stale' }, asker: YOU });
    const kept = await bench.post('/setups', { ...hiddenOf(page.html), name: 'Softer' });
    expect(kept.status).toBe(200);
    expect(words(kept.html)).toContain('1 answer was asked again: Ride, rear.');
    const shown = await bench.get(/<a[^>]*href="(\/setups\/\d+)"[^>]*>The setup</.exec(kept.html)![1]!);
    expect(words(shown.html)).toContain('Softer');
  });

  it('with a slip come back with what was typed', async () => {
    const page = await bench.through(await bench.post('/sheets/corners', { ...FOUR, truck: 'Slipper' }));
    const slip = await bench.post('/setups', { ...hiddenOf(page.html), name: 'n'.repeat(61), notes: 'Good\nday', tags: 'x' });
    expect(slip.status).toBe(422);
    expect(words(slip.html)).toContain('is too long.');
    expect(field(slip.html, 'notes')!.value).toBe('Good\nday');
    expect(hiddenOf(slip.html).truck).toBe('Slipper');
    const kept = await bench.through(await bench.post('/setups', { ...hiddenOf(slip.html), name: 'Now it has one', notes: 'Good\nday' }));
    expect(words(kept.html)).toContain('Now it has one');
    const nothing = await bench.post('/setups', { name: 'Of nothing', truck: 'Never asked' });
    expect(nothing.status).toBe(422);
    expect(words(nothing.html)).toContain('There is nothing to save for "Never asked" yet.');
  });
});

describe('two setups side by side', () => {
  /** Each line of a table by its name: was → is. */
  const table = (html: string, heading: string): Map<string, string> => {
    const section = new RegExp(`<h2[^>]*>${heading}</h2>([\\s\\S]*?)</section>`).exec(html)?.[1] ?? '';
    return new Map(
      [...section.matchAll(/rowheader">([^<]*)<\/th><td[^>]*>([^<]*)<\/td><td[^>]*>([^<]*)</g)].map(([, name, was, is]) => [
        decoded(name!),
        `${decoded(was!)} → ${decoded(is!)}`,
      ]),
    );
  };

  it('are chosen from the page of one', async () => {
    const { html } = await bench.get('/setups/4');
    const form = /<form[^>]*action="\/setups\/compare">([\s\S]*?)<\/form>/.exec(html)![1]!;
    expect(form).toContain('name="a" value="4"');
    // Those of its own truck come first.
    expect([...form.matchAll(/<option value="(\d+)"/g)].slice(0, 2).map(([, id]) => id)).toEqual(['8', '1']);
    expect(form).not.toContain('value="7"');
    expect(form).not.toContain('value="4" ');
  });

  it('show what differs in conditions, readings and answers, and nothing else', async () => {
    const { status, html } = await bench.get('/setups/compare?a=4&b=8');
    expect(status).toBe(200);
    expect(table(html, 'Conditions: not like for like, they differ too').get('Track')).toBe('wadi course → pan loop');
    const readings = table(html, 'Readings');
    expect(readings.get('Pinion')).toBe('15 teeth → 18 teeth');
    expect(readings.get('Rear spring rate')).toBe('blue 0.45 (0.447 N/mm) → white 0.38 (0.381 N/mm)');
    expect(readings.has('Wheelbase')).toBe(false);
    // π · 109 mm · 24420 rpm / (54/pinion · 43/13): 42.14 km/h on 15 teeth, 50.56 on 18.
    expect(table(html, 'Gearing').get('Ideal speed')).toBe('42.14 km/h → 50.56 km/h');
    expect(table(html, 'Gearing').has('Motor speed')).toBe(false);
    // What rests on the parts list is worked out again too: √(447 · 0.6204² / 0.6145)/2π and √(381 · 0.6138² / 0.6125)/2π.
    expect(table(html, 'Ride, rear').get('Ride frequency')).toMatch(/^2\.66\d Hz ± 0\.02\d → 2\.43\d Hz ± 0\.02\d$/);
    expect(decoded(/<a class="button quiet" href="([^"]*)">The other way round/.exec(html)![1]!)).toBe('/setups/compare?a=8&b=4');
    expect(table((await bench.get('/setups/compare?a=8&b=4')).html, 'Readings').get('Pinion')).toBe('18 teeth → 15 teeth');
  });

  it('have their card, what differs by no more than its ± stands folded, and the text is that of chat', async () => {
    const { html } = await bench.get('/setups/compare?a=4&b=8');
    const card = await bench.get(decoded(/<img src="([^"]*)"/.exec(html)![1]!));
    expect([card.status, card.headers['content-type']]).toEqual([200, 'image/png']);
    const corners = /<h2[^>]*>Corner weights<\/h2>([\s\S]*?)<\/section>/.exec(html)![1]!;
    const [open = '', folded = ''] = corners.split('<details');
    // 40.158 % and 40.112 %, each ± 0.019; cross 49.92 % ± 0.38 and 49.97 % ± 0.38.
    expect(open).toContain('>Front share<');
    expect(folded).toContain('>Cross share<');
    expect(open).not.toContain('>Cross share<');
    const said = await bench.commands.answer({ command: 'setup compare', options: { a: '4', b: '8' }, asker: YOU });
    expect(decoded(/<pre>([\s\S]*?)<\/pre>/.exec(html)![1]!)).toBe(said.text);
    expect((await bench.get('/setups/compare/card.png?a=4')).status).toBe(404);
    expect((await bench.get('/setups/compare/card.png?a=4&b=99')).status).toBe(422);
  });

  it('may be two revisions of one', async () => {
    const { html } = await bench.get('/setups/1?rev=3');
    const links = [...html.matchAll(/href="(\/setups\/compare[^"]*)"/g)].map(([, href]) => decoded(href!));
    expect(links).toContain('/setups/compare?a=1&a_rev=2&b=1&b_rev=3');
    const then = await bench.get('/setups/compare?a=1&a_rev=2&b=1&b_rev=3');
    expect([...table(then.html, 'Readings').keys()].sort()).toEqual([
      'Front left',
      'Front right',
      'Rear left',
      'Rear right',
      'Rear spring rate',
    ]);
    expect(words((await bench.get('/setups/compare?a=1&b=1')).html)).toContain('They differ in nothing.');
  });

  it('that are not there, or not two, say so', async () => {
    for (const query of ['', 'a=1', 'a=1&b=', 'a=1&b=x', 'a=1&b=99', 'a=1&a_rev=99&b=2', 'a=1&a_rev=-1&b=2', 'a=1e1&b=2'])
      expect([query, (await bench.get(`/setups/compare?${query}`)).status]).toEqual([query, 404]);
  });
});

describe('text from people', () => {
  it('stays text wherever it is shown', async () => {
    const nasty = `"><script>alert(1)</script><img src=x onerror=alert(2)>'{{constructor}}&amp;`;
    const page = await bench.through(await bench.post('/sheets/corners', { ...FOUR, truck: 'Nasty <b>' }));
    const kept = await bench.through(
      await bench.post('/setups', { ...hiddenOf(page.html), name: '<i>Nasty</i> "x"', notes: nasty, tags: '<u>' }),
    );
    const pages = [
      page,
      kept,
      await bench.get('/'),
      await bench.get(`/setups?words=${encodeURIComponent(nasty)}`),
      await bench.get(`/setups/compare?a=8&b=${/\/setups\/(\d+)/.exec(kept.path)![1]}`),
      await bench.get(`/help?about=${encodeURIComponent(nasty)}`),
      await bench.post('/line', { line: nasty }),
      await bench.post('/line', { line: `corners ${nasty}` }),
      await bench.post('/sheets/corners', { front_left: nasty, truck: nasty, again: `</textarea>${nasty}`, [nasty]: nasty }),
      await bench.get(`/sheets/${encodeURIComponent('<script>')}`),
      await bench.get(`/sheets/corners?${new URLSearchParams({ ...FOUR, truck: nasty })}`),
      await bench.get(`/${encodeURIComponent(nasty)}`),
      await bench.post('/setups', { name: '', notes: nasty, truck: nasty, tags: nasty }),
    ];
    for (const [i, { html }] of pages.entries()) {
      const found = html
        .match(/<(?:script|i|b|u)[\s>]|<img src=x|onerror=alert(?![^<]*<\/pre>)(?=[^<>]*>(?<!&gt;))/g)
        ?.filter((one) => one !== '<b>');
      expect([i, found ?? []]).toEqual([i, []]);
      for (const [tag] of html.matchAll(/<[a-z][^>]*>/g))
        expect([i, tag, /\son\w+\s*=\s*[^"]/i.test(tag.replace(/"[^"]*"/g, '""'))]).toEqual([i, tag, false]);
    }
    expect(decoded(/<p class="notes">([\s\S]*?)<\/p>/.exec(kept.html)![1]!)).toBe(nasty);
  });
});
