import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { answerJson, answerLine } from '../../../bot/transports/terminal/json.ts';
import { answersOn, decoded, field, type OpenBench, openBench, words, YOU } from './open-bench.ts';

let bench: OpenBench;
beforeAll(async () => {
  bench = await openBench();
});
afterAll(() => bench?.stop());

const truckOf = (truck: string) => ({ club: YOU.club, member: YOU.member, truck });
const FOUR = { front_left: '612', front_right: '605', rear_left: '901', rear_right: '896' };
const query = (fields: Readonly<Record<string, string>>): string => new URLSearchParams(fields).toString();

describe('a question on the page', () => {
  it('is answered with what paper and pencil give', async () => {
    const { html } = await bench.get(`/sheets/corners?${query(FOUR)}`);
    const answers = answersOn(html);
    // 612 + 605 + 901 + 896 = 3014 g; (901 + 896)/3014 = 59.6218 %.
    // ± of the total: four readings of step 1 g, 2 · √4 · 1/√12 = 1.15 g (JCGM 100:2008, F.2.2.1, k = 2).
    expect(answers.get('Total')).toBe('3014.0 g ± 1.2');
    // ± of the share: 2 · √(2(1 − s)² + 2s²) · 1/√12 / 3014 g = 0.0195 % with s = 0.5962 (5.1.2).
    expect(answers.get('Rear share')).toBe('59.622 % ± 0.020');
    // (605 + 901)/3014 = 49.967 %
    expect(answers.get('Cross share')).toMatch(/^49\.97 % ± /);
    expect(words(html)).toContain('on target (59 to 61 %)');
  });

  it('has the numbers of the terminal to the last digit, on every sheet', async () => {
    const sheets = [...bench.house.sheets.values()].filter(({ example }) => Object.keys(example).length > 0);
    expect(sheets.length).toBeGreaterThan(4);
    for (const { name, example } of sheets) {
      const made = answerLine(bench.house.sheets, JSON.stringify({ sheet: name, readings: example }));
      if (made.kind !== 'answer') throw new Error(`${name}: its example is refused`);
      const { answers } = answerJson(made) as { answers: Record<string, { text: string }> };
      const page = await bench.through(await bench.post(`/sheets/${name}`, { ...example, truck: `Example of ${name}` }));
      expect(page.status, name).toBe(200);
      const shown = answersOn(page.html);
      expect([...shown.keys()].map((one) => one.toLowerCase().replaceAll(' ', '_')).sort(), name).toEqual(Object.keys(answers).sort());
      for (const [answer, value] of shown)
        expect(value.replace(/ ± 0$/, ''), `${name}: ${answer}`).toBe(
          answers[answer.toLowerCase().replaceAll(' ', '_')]!.text.replace(/ ± 0$/, ''),
        );
    }
  });

  it('says what to do next before the first number, and cautions before it too', async () => {
    const { html } = await bench.get(
      `/sheets/gearing?${query({ motor_kv: '9000', cells: '2', pinion: '18', spur: '54', tyre_diameter: '109' })}`,
    );
    const answer = html.slice(html.indexOf('id="answer"'));
    const at = (text: string): number => {
      expect(answer).toContain(text);
      return answer.indexOf(text);
    };
    expect(at('Go up or down one tooth')).toBeLessThan(at('class="cautions"'));
    expect(at('class="cautions"')).toBeLessThan(at('class="hero"'));
    expect(at('look up the motor&#x27;s own limit')).toBeLessThan(at('class="hero"'));
    expect(words(answer)).toContain('Over pinion, 14 to 22 teeth');
    expect(words(answer)).toMatch(/you stand here: 18 /);
  });

  it('shows the text of the other faces, and the line of chat that asks it', async () => {
    const { html } = await bench.get(`/sheets/corners?${query({ ...FOUR, truck: 'Dune Ferry', wheelbase: '330 mm' })}`);
    const { text } = await bench.commands.answer({
      command: 'corners',
      options: { ...FOUR, truck: 'Dune Ferry', wheelbase: '330 mm' },
      asker: YOU,
    });
    expect(decoded(/<pre>([\s\S]*?)<\/pre>/.exec(html)![1]!)).toBe(text);
    expect(decoded(/In chat: <code>(.*?)<\/code>/.exec(html)![1]!)).toBe('/corners 612 605 901 896 wheelbase:330 mm truck:Dune Ferry');
  });

  it('takes the line of chat from the page and comes to the same page', async () => {
    const asked = { press_points: '0/78\r\n500/71,2\r\n900/65.4', end: 'rear', truck: 'Sandhopper' };
    const page = await bench.through(await bench.post('/sheets/press', asked));
    const line = decoded(/In chat: <code>(.*?)<\/code>/.exec(page.html)![1]!);
    expect(line).toBe('/press press_points:0/78; 500/71,2; 900/65.4 truck:Sandhopper end:rear');
    const again = await bench.through(await bench.post('/line', { line }));
    expect([...answersOn(again.html)]).toEqual([...answersOn(page.html)]);
    expect(field(page.html, 'press_points')!.value).toBe('0/78\n500/71,2\n900/65.4');
  });

  it('of many readings still fits into its address', async () => {
    const points = Array.from({ length: 180 }, (_, i) => `${100 + 5 * i} g/${(90 - i / 5).toFixed(2)} mm`).join('\r\n');
    const page = await bench.through(await bench.get(`/sheets/press?${query({ press_points: points, end: 'front', truck: '' })}`));
    expect(page.path.length).toBeGreaterThan(3000);
    expect(page.status).toBe(200);
    // 5 g for every 0.2 mm is 25 g/mm.
    expect(answersOn(page.html).get('Spring rate gf mm')).toMatch(/^25(\.0+)? gf\/mm/);
    expect(
      (await bench.get(/srcset="([^"]*)"/.exec(page.html)![1]!.replaceAll('&amp;', '&').replaceAll('&#x3D;', '='))).headers['content-type'],
    ).toBe('image/png');
  });
});

describe('what is wrong', () => {
  it('stands next to its reading and all together at the top, and what was typed stays', async () => {
    const page = await bench.post('/sheets/corners', { front_left: '6120', front_right: '605', rear_left: 'abc', truck: 'Slips' });
    expect(page.status).toBe(422);
    const top = /<div id="problems"[\s\S]*?<\/div>/.exec(page.html)![0];
    expect(words(top)).toContain('Front left: "6120" is out. Give 10 to 5000 g. Did you mean 612.0 g?');
    expect(words(top)).toContain('Rear right is missing');
    for (const name of ['front_left', 'rear_left', 'rear_right']) expect(top).toContain(`href="#r-${name}"`);
    const own = /id="r-front_left-problem">([\s\S]*?)<\/ul>/.exec(page.html)![1]!;
    expect(words(own)).toBe('Front left: "6120" is out. Give 10 to 5000 g. Did you mean 612.0 g?');
    expect(field(page.html, 'front_left')!.tag).toMatch(/aria-invalid="true"/);
    expect(field(page.html, 'front_left')!.tag).toMatch(/aria-describedby="[^"]*r-front_left-problem/);
    expect(field(page.html, 'front_left')!.value).toBe('6120');
    expect(field(page.html, 'front_right')!.value).toBe('605');
    expect(field(page.html, 'rear_left')!.value).toBe('abc');
    expect(field(page.html, 'front_right')!.tag).not.toContain('aria-invalid');
  });

  it('keeps nothing', async () => {
    await bench.post('/sheets/corners', { ...FOUR, rear_right: '9 kg', truck: 'Nothing of this' });
    expect(await bench.archive.latest(truckOf('Nothing of this'))).toEqual([]);
    expect((await bench.archive.facts(truckOf('Nothing of this'))).size).toBe(0);
  });

  it('opens the folded readings when one of them is meant', async () => {
    const page = await bench.post('/sheets/corners', { ...FOUR, wheelbase: '9 m' });
    const folded = /<details( open)?>\s*<summary>If you know more/.exec(page.html)!;
    expect(folded[1]).toBe(' open');
    expect((await bench.get('/sheets/corners')).html).toMatch(/<details>\s*<summary>If you know more/);
  });

  it('names a reading that is no reading of this sheet, and one that was given twice', async () => {
    const unknown = await bench.get(`/sheets/corners?${query({ ...FOUR, weelbase: '330' })}`);
    expect(words(unknown.html)).toContain('"weelbase" is no reading of corners. Did you mean wheelbase?');
    const twice = await bench.post('/sheets/corners', `${query({ ...FOUR, truck: 'Twice' })}&front_left=613`);
    expect(twice.status).toBe(422);
    expect(words(twice.html)).toContain('front_left is given twice. Give it once.');
    expect(await bench.archive.latest(truckOf('Twice'))).toEqual([]);
  });

  it('is said in a choice and an end that were typed by hand', async () => {
    const page = await bench.get(
      `/sheets/coil?${query({ wire: '1.2', outside_diameter: '17', total_coils: '10', ends: 'squarish', end: 'middle' })}`,
    );
    expect(words(page.html)).toContain('Ends: "squarish" is not one of them.');
    expect(words(page.html)).toContain('End: "middle" is no end of a truck. Give front or rear.');
    expect(field(page.html, 'ends')!.value).toBe('squarish');
  });
});

describe('keeping and looking', () => {
  it('asking keeps the answer and its readings, and leads to an address that keeps nothing', async () => {
    const asked = await bench.post('/sheets/corners', { ...FOUR, truck: 'Keeper', wheelbase: '', scale_step: ' ' });
    expect(asked.status).toBe(303);
    expect(asked.headers.location).toBe('/sheets/corners?truck=Keeper&front_left=612&front_right=605&rear_left=901&rear_right=896#answer');
    const [kept] = await bench.archive.latest(truckOf('Keeper'));
    expect(kept!.sheet).toBe('corners');
    expect((await bench.archive.facts(truckOf('Keeper'))).get('front_left')!.typed).toBe('612');
    const page = await bench.through(asked);
    expect(words(page.html)).toContain('Kept as the last answer of Keeper.');
    expect(page.html).toContain('action="/setups"');

    for (let i = 0; i < 3; i += 1) await bench.get(page.path.replace(/#.*/, '').replace('612', '712'));
    const [still] = await bench.archive.latest(truckOf('Keeper'));
    expect(still).toEqual(kept);
    expect((await bench.archive.facts(truckOf('Keeper'))).get('front_left')!.typed).toBe('612');
  });

  it('an address that is only looked at says so, and offers to keep it', async () => {
    await bench.post('/sheets/corners', { ...FOUR, truck: 'What If' });
    const address = `/sheets/corners?${query({ truck: 'What If', ...FOUR, front_left: '500' })}`;
    const look = await bench.get(address);
    expect(words(look.html)).toContain('Only looked at: What If keeps what it had.');
    expect(look.html).not.toContain('action="/setups"');
    const form = /<form method="post" action="\/sheets\/corners" class="keep">([\s\S]*?)<\/form>/.exec(look.html)![1]!;
    const hidden = [...form.matchAll(/name="([^"]*)" value="([^"]*)"/g)].map(([, name, value]) => [name!, decoded(value!)] as const);
    const kept = await bench.through(await bench.post('/sheets/corners', Object.fromEntries(hidden)));
    expect(words(kept.html)).toContain('Kept as the last answer of What If.');
    expect((await bench.archive.facts(truckOf('What If'))).get('front_left')!.typed).toBe('500');
    // Now the first question is the one that is only looked at.
    expect(words((await bench.get(`/sheets/corners?${query({ truck: 'What If', ...FOUR })}`)).html)).toContain('Only looked at');
  });

  it('looks and cards of a truck that nobody asked about make no truck', async () => {
    const asked = query({ truck: 'Never There', ...FOUR });
    await bench.get(`/sheets/corners?${asked}`);
    await bench.get(`/card/corners.png?${asked}`);
    await bench.ask('HEAD', `/sheets/corners?${asked}`);
    expect(await bench.archive.latest(truckOf('Never There'))).toEqual([]);
  });

  it('fills in what the truck has, says so, and says it before one types', async () => {
    await bench.post('/sheets/corners', { ...FOUR, truck: 'Known', wheelbase: '331' });
    const form = await bench.get('/sheets/corners?truck=Known');
    expect(words(form.html)).toContain('Left empty: 331, known of this truck');
    expect(answersOn(form.html).get('Total')).toBe('3014.0 g ± 1.2');
    expect(words(form.html)).toMatch(/Wheelbase from the truck.*331 mm/);
    expect(field(form.html, 'wheelbase')!.value).toBe('');
  });

  it('an address with empty fields becomes the short one', async () => {
    const look = await bench.get(`/sheets/corners?${query({ truck: '', ...FOUR, wheelbase: '' })}`);
    expect([look.status, look.headers.location]).toEqual([303, `/sheets/corners?${query(FOUR)}#answer`]);
  });

  it('without an archive questions are answered and nothing speaks of keeping', async () => {
    const without = await openBench({ house: () => ({ archive: null }) });
    try {
      const page = await without.get(`/sheets/corners?${query(FOUR)}`);
      expect(answersOn(page.html).get('Rear share')).toBe('59.622 % ± 0.020');
      expect(page.html).not.toMatch(/Only looked|Kept as|action="\/setups"|href="\/setups"/);
      expect(page.html).toMatch(/<form class="readings" method="get"/);
      expect((await without.get('/setups')).status).toBe(404);
      expect((await without.get('/')).status).toBe(200);
    } finally {
      await without.stop();
    }
  });

  it('an archive that fails costs the keeping, not the answer, and the page says which', async () => {
    const failing = await openBench();
    try {
      await failing.archive.close();
      const page = await failing.post('/sheets/corners', { ...FOUR, truck: 'Lost' });
      expect(page.status).toBe(200);
      expect(answersOn(page.html).get('Rear share')).toBe('59.622 % ± 0.020');
      expect(words(page.html)).toContain('This could not be kept: The archive is closed.');
      expect(words((await failing.get(`/sheets/corners?${query(FOUR)}`)).html)).toContain('The archive is closed.');
      // However long the answer is, that it was not kept stands at its end.
      const long = await failing.commands.answer({
        command: 'top_speed',
        options: { quick: '3300 2 18 54', gearbox_ratio: '43/13', tyre_diameter: '109', total: '3014' },
        asker: YOU,
      });
      expect(long.notKept).toBe('The archive is closed.');
      expect(long.text.endsWith('\nThis could not be kept: The archive is closed.')).toBe(true);
      expect(long.text.length).toBeLessThanOrEqual(2000);
      const first = await failing.get('/');
      expect(first.status).toBe(200);
      expect(words(first.html)).toContain('The archive is closed.');
      expect((await failing.get('/setups')).status).toBe(503);
    } finally {
      await failing.stop();
    }
  });
});

describe('a card', () => {
  /** Width and height stand in the first chunk (PNG, third edition, 11.2.1). */
  const size = (png: Buffer): readonly number[] => {
    expect(png.subarray(0, 8).toString('hex')).toBe('89504e470d0a1a0a');
    return [png.readUInt32BE(16), png.readUInt32BE(20)];
  };

  it('is drawn for the question in its address, on either ground', async () => {
    const page = await bench.get(`/sheets/corners?${query(FOUR)}`);
    const dark = decoded(/<img src="([^"]*)"/.exec(page.html)![1]!);
    const light = decoded(/<source srcset="([^"]*)" media="\(prefers-color-scheme: light\)"/.exec(page.html)![1]!);
    const [one, other, usual] = await Promise.all([bench.get(dark), bench.get(light), bench.get(`/card/corners.png?${query(FOUR)}`)]);
    for (const card of [one, other, usual]) {
      expect(card.status).toBe(200);
      expect(card.headers['content-type']).toBe('image/png');
      expect(size(card.bytes)).toEqual([1080, 688]);
    }
    expect(one.bytes.equals(other.bytes)).toBe(false);
    expect(one.bytes.equals(usual.bytes)).toBe(true);
    const alt = decoded(/<img[^>]* alt="([^"]*)"/.exec(page.html)![1]!);
    expect(alt).toContain('59.622 %');
  });

  it('of a question with a slip says the slip, of no sheet is not there', async () => {
    const slip = await bench.get('/card/corners.png?front_left=6120');
    expect([slip.status, slip.headers['content-type']]).toEqual([422, 'text/plain; charset=utf-8']);
    expect(slip.html).toContain('Front left: "6120" is out.');
    expect((await bench.get('/card/nosuch.png')).status).toBe(404);
    expect((await bench.get('/card/corners')).status).toBe(404);
  });

  it('that cannot be drawn leaves the page alive', async () => {
    const broken = await openBench({
      house: ({ cards }) => ({ cards: { ...cards!, png: () => Promise.reject(new Error('no ink')) } }),
    });
    try {
      const page = await broken.get(`/sheets/corners?${query(FOUR)}`);
      expect(page.status).toBe(200);
      expect(answersOn(page.html).get('Rear share')).toBe('59.622 % ± 0.020');
      const card = await broken.get(`/card/corners.png?${query(FOUR)}`);
      expect(card.status).toBe(500);
      expect(broken.log.some(({ error }) => error instanceof Error && error.message === 'no ink')).toBe(true);
      expect((await broken.get('/')).status).toBe(200);
    } finally {
      await broken.stop();
    }
  });
});
