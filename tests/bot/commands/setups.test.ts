import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { shelfOf } from '../../../bot/commands/pit.ts';
import { readLooked } from '../../../bot/commands/query.ts';
import { INES, openPitSide, type PitSide, TOMASZ } from './pit-side.ts';

let pit: PitSide;
beforeEach(async () => {
  pit = await openPitSide('chat');
});
afterEach(() => pit.end());

describe('what is looked for', () => {
  const looked = (typed: string) => readLooked(shelfOf(pit.sheets), typed);
  const near = (value: number) => expect.closeTo(value, 9) as number;

  it('is words, and numbers among them in whatever unit', () => {
    expect(looked('hard pan')).toEqual({ words: 'hard pan', numbers: [], problems: [] });
    expect(looked('rear_share > 58 %')).toMatchObject({
      words: '',
      numbers: [{ name: 'rear_share', low: near(0.58), high: Infinity, strict: true }],
    });
    expect(looked('evening Rear share >= 58% calm')).toMatchObject({
      words: 'evening calm',
      numbers: [{ name: 'rear_share', low: near(0.58) }],
    });
    expect(looked('pinion 15..18')).toMatchObject({ words: '', numbers: [{ name: 'pinion', low: 15, high: 18 }] });
    expect(looked('pinion 15..18 wet sand')).toMatchObject({ words: 'wet sand', numbers: [{ name: 'pinion', low: 15, high: 18 }] });
    // 1 in is 25.4 mm exactly, 1 lb is 453.59237 g: NIST SP 811, appendix B.8.
    expect(looked('wheelbase 10..14 in')).toMatchObject({ numbers: [{ low: near(0.254), high: near(0.3556) }] });
    expect(looked('front_left < 1 lb')).toMatchObject({ numbers: [{ name: 'front_left', low: -Infinity, high: near(0.45359237) }] });
    expect(looked('temperature > 20 °C, pinion = 16')).toMatchObject({
      words: '',
      numbers: [{ low: near(293.15) }, { low: 16, high: 16 }],
    });
  });

  it('may be said in words', () => {
    expect(looked('rear share above 58 % calm')).toEqual(looked('rear share > 58 % calm'));
    expect(looked('pinion at least 16')).toEqual(looked('pinion >= 16'));
    expect(looked('wheelbase under 330')).toEqual(looked('wheelbase < 330'));
    expect(looked('pinion:18')).toEqual(looked('pinion = 18'));
    expect(looked('pinion: 15..18')).toEqual(looked('pinion 15..18'));
    // A name may say so as well.
    expect(looked('over 60 years, above 2 hills')).toMatchObject({ words: 'over 60 years above 2 hills', numbers: [], problems: [] });
  });

  it('names what is no number, and asks what was meant', () => {
    expect(looked('rear_sahre > 58 %').problems.map(({ text }) => text)).toEqual([
      '"rear_sahre" is no number that a setup holds. Did you mean rear_share?',
    ]);
    expect(looked('rear_share > many').problems[0]?.text).toContain('rear share: "many" is not a number');
    expect(looked('pinion > 3 mm').problems[0]?.text).toContain('pinion: "3 mm" is not a number');
  });

  it('a figure in a name is a word like any other', () => {
    expect(looked('round 2 of 3, sand')).toMatchObject({ words: 'round 2 of 3 sand', numbers: [], problems: [] });
  });

  it('is read to its end whatever is typed', () => {
    for (const typed of [
      'a '.repeat(200),
      'pinion '.repeat(60),
      '1..'.repeat(130),
      'a>'.repeat(200),
      '-'.repeat(400),
      'pinion 1,1,1,1,1,1,1,1,1'.repeat(16),
    ])
      expect(looked(typed)).toMatchObject({ words: expect.any(String) });
  });
});

describe('a setup as text', () => {
  it('says what each sheet comes to, what was judged first, and each reading once as it was typed', async () => {
    await pit.say('gearing 3300 2 16 54 gearbox_ratio:43/13 tyre_diameter:109 truck:Sandhopper');
    await pit.say('corners 612 605 901 896 truck:Sandhopper');
    await pit.say('ride end:rear spring_rate:0.38 motion_ratio:0.6 unsprung_mass:214 truck:Sandhopper');
    await pit.say('ride end:front spring_rate:0.24 motion_ratio:0.6 unsprung_mass:180 truck:Sandhopper');
    await pit.say('setup save Evening truck:Sandhopper notes:calm');
    const lines = (await pit.say('setup show Evening')).split('\n');
    expect(lines.slice(0, 3)).toEqual(['**Evening** · Sandhopper · revision 1 of 1 · 14 June 2026 · Ines', 'Notes: calm', '']);
    // (901 + 896)/3014 = 59.62 %, (605 + 901)/3014 = 49.97 %; 24420 rpm/(54/16 · 43/13) · π · 109 mm = 44.94 km/h
    expect(lines[3]).toBe('Corner weights: rear share 59.62 % ✓ · cross share 49.97 % ✓ · total 3014 g');
    expect(lines[4]).toMatch(/^Gearing: ideal speed 44\.94 km\/h · /);
    expect(lines.slice(5, 7).map((line) => line.slice(0, 12))).toEqual(['Ride, front:', 'Ride, rear: ']);
    expect(lines[8]).toContain('spring rate 0.24 N/mm front, 0.38 N/mm rear');
    expect(lines[8]!.match(/front left 612 g/g)).toHaveLength(1);
    expect(lines.at(-1)).toBe('One sheet in full: add sheet:corners');
    expect(await pit.say('setup show Evening sheet:corners')).toContain('Rear share: 59.622 % ± 0.020');
  });

  it('keeps what it comes to when it is too long, and lets the readings go', async () => {
    for (const sheet of pit.sheets.values()) {
      const example = Object.entries(sheet.example).map(([name, value]) => `${name}:${value}`);
      if (example.length === 0) continue;
      for (const end of sheet.ends ? ['front', 'rear'] : [null])
        await pit.reply(`${sheet.name} ${example.join(' ')} truck:Everything${end === null ? '' : ` end:${end}`}`);
    }
    await pit.say(`setup save All of it truck:Everything notes:${'long '.repeat(100)}`);
    const text = await pit.say('setup show All of it');
    expect(text.length).toBeLessThanOrEqual(2000);
    expect(text).toContain('Corner weights');
    expect(text).toContain('One sheet in full: add sheet:');
  });

  it('has the rows of a list as they were typed: load before height', async () => {
    await pit.say('press press_points:0/92 400/84.1 800/76.4 end:rear truck:Sandhopper');
    await pit.say('setup save Pressed truck:Sandhopper');
    expect(await pit.say('setup show Pressed sheet:press')).toContain('press points 0 g / 92 mm; 400 g / 84.1 mm; 800 g / 76.4 mm');
  });
});

describe('setups, as a member asks', () => {
  const corners = (rear: number): string => `corners 612 605 ${rear} ${rear} truck:Sandhopper`;

  it('are found by numbers that were measured or answered, with words, owner and conditions, page by page', async () => {
    await pit.say(corners(901));
    await pit.say('gearing 3300 2 16 54 gearbox_ratio:43/13 tyre_diameter:109 truck:Sandhopper');
    await pit.say('setup save Evening truck:Sandhopper tags:pan surface:Hard pan track:Salt loop temperature:24 wind:still grip:high');
    await pit.say('corners 800 800 800 800 truck:Mudlark', TOMASZ);
    await pit.say('setup save Level truck:Mudlark', TOMASZ);
    // (901 + 901) / (612 + 605 + 901 + 901) = 59.69 %
    // In chat a name is what it is; the numbers that were asked for stand in the line.
    expect(await pit.say('setup find rear_share > 58 %')).toBe('1. Evening · Sandhopper · Ines · 14 June 2026 · rear share 59.69 %');
    expect(await pit.say('setup find rear_share < 58 %')).toMatch(/^2\. Level[^\n]*$/);
    expect(await pit.say('setup find pinion 15..18')).toMatch(/^1\. Evening/);
    expect(await pit.say('setup find pinion 17..18')).toContain('No setup of this club holds');
    expect(await pit.say('setup find temperature 68..80 °F')).toMatch(/^1\. Evening/);
    expect(await pit.say('setup find surface:hard owner:INES')).toMatch(/^1\. Evening/);
    for (const said of ['grip:high', 'grip high', 'salt', '24 degrees'])
      expect(await pit.say(`setup find ${said}`)).toMatch(/^1\. Evening[^\n]*$/);
    expect(await pit.say('setup find rear_share > 10 % owner:tomasz')).toMatch(/^2\. Level/);
    expect(await pit.say('setup show Evening')).toContain('Conditions: Salt loop · surface Hard pan · grip high · 24 °C · wind still');
    for (let i = 0; i < 10; i += 1) await pit.say(`setup save Number ${i} truck:Sandhopper`);
    expect(await pit.say('setup find owner:ines')).toContain('page:2');
    expect(await pit.say('setup find owner:ines page:2')).toMatch(/^1\. Evening[^\n]*$/);
    expect(await pit.slips('setup find page:0')).toEqual(['Page: "0" is out. Give 1 to 1000.']);
  });

  it('are found by whose they are, as one says it', async () => {
    await pit.say(corners(901));
    await pit.say('setup save Evening truck:Sandhopper');
    await pit.say(corners(901), TOMASZ);
    await pit.say('setup save Evening truck:Sandhopper', TOMASZ);
    expect(await pit.say('setup find evening by Tomasz')).toMatch(/^2\\?\. Evening · Sandhopper · Tomasz · [^\n]*$/);
    expect(await pit.say('setup list')).toBe(await pit.say('setup find'));
    expect(await pit.say('setup delete 1')).toContain('setup remove 1 sure:yes');
    expect(await pit.say('setup find by ines')).toMatch(/^1\\?\. Evening · Sandhopper · Ines · [^\n]*$/);
    expect(await pit.say('setup find of Tomasz, evening')).toMatch(/^2\\?\. [^\n]*$/);
    expect(await pit.say('setup find by Tomasz rear share above 58')).toMatch(/^2\\?\. [^\n]*$/);
    expect(await pit.say('setup find evening by nobody')).toContain('No setup of this club holds');
  });

  it('saved under nearly the same name stand beside it, and that is said', async () => {
    await pit.say(corners(901));
    await pit.say('setup save first evening truck:Sandhopper');
    const said = await pit.say('setup save first evning truck:Sandhopper');
    expect(said).toContain('Kept "first evning" of Sandhopper, number 2');
    expect(said.split('\n')[1]).toBe(
      '"first evening" is there too, number 1. If that was meant: save it under that name, and take this one away: setup remove 2',
    );
    // The second time it is meant; what has a number of its own is another one; and so is a truck's.
    for (const name of ['first evning', 'first evening', 'run 1', 'run 2', 'day', 'dry', 'calm', 'calmer'])
      expect(await pit.say(`setup save ${name} truck:Sandhopper`)).not.toContain('is there too');
    await pit.say(corners(901).replace('Sandhopper', 'Mudlark'));
    expect(await pit.say('setup save first evenig truck:Mudlark')).not.toContain('is there too');
    expect(await pit.say('setup save firstevening truck:Sandhopper')).toContain('"first evening" is there too');
  });

  it('saved as private say that the code of before shows nothing any more', async () => {
    await pit.say(corners(901));
    await pit.say('setup save Evening truck:Sandhopper');
    await pit.say('setup share Evening');
    expect(await pit.say('setup save Evening private:yes truck:Sandhopper')).toContain('\nIts code shows nothing any more.');
    expect(await pit.say('setup save Evening private:yes truck:Sandhopper')).not.toContain('code');
  });

  it('saved without a name are offered one that is new each time', async () => {
    await pit.say(corners(901));
    expect(await pit.say('setup save truck:Sandhopper')).toContain('Kept "best of 14 June" of Sandhopper, number 1');
    expect(await pit.say('setup save truck:Sandhopper')).toContain('Kept "best of 14 June 2" of Sandhopper, number 2');
  });

  describe('saved after a reading has changed', () => {
    // m = (901 + 896)/2 − 214 = 684.5 g; k = c·0.6²; f = √(k/m)/2π (Gillespie, Fundamentals of Vehicle Dynamics, ch. 5).
    const frequency = (rate: number): number => Math.sqrt((rate * 0.6 ** 2) / 0.6845) / (2 * Math.PI);
    const keptFrequency = async (id: number): Promise<number> => {
      const shown = await pit.archive.showSetup({ ...INES, id });
      if (shown.kind === 'problems') return expect.fail(shown.problems[0]!.text);
      const ride = shown.doc.sheets.find(({ sheet }) => sheet === 'ride')!;
      expect(ride.readings.find(({ name }) => name === 'spring_rate')!.value).toBe(
        shown.doc.facts.find(({ fact }) => fact === 'rear_spring_rate')!.value,
      );
      return ride.answer.answers.find(({ name }) => name === 'ride_frequency')!.value as number;
    };
    beforeEach(async () => {
      await pit.say('corners 612 605 901 896 truck:Sandhopper');
      await pit.say('ride end:rear spring_rate:0.5 motion_ratio:0.6 unsprung_mass:214 truck:Sandhopper');
      await pit.say('keep Sandhopper');
    });

    it('are asked again before they are kept, and the reply says so', async () => {
      expect(await pit.say('setup save Before truck:Sandhopper')).not.toContain('asked again');
      expect(await keptFrequency(1)).toBeCloseTo(frequency(500), 9);
      await pit.say('truck set rear_spring_rate:0.45 truck:Sandhopper');
      expect(await pit.say('setup save After truck:Sandhopper')).toMatch(/^Kept "After" [^\n]*\n1 answer was asked again: Ride, rear\.$/);
      expect(await keptFrequency(2)).toBeCloseTo(frequency(450), 9);
      expect(await keptFrequency(1)).toBeCloseTo(frequency(500), 9);
      expect(await pit.say('truck show Sandhopper')).not.toContain('Stale');
      expect(await pit.say('truck set front_left:630 rear_left:950 rear_right:950 truck:Sandhopper')).toContain('Stale by that: ');
      const text = await pit.say('setup save After truck:Sandhopper');
      expect(text).toMatch(/as revision 2, [^\n]*\n2 answers were asked again: (Corner weights; Ride, rear|Ride, rear; Corner weights)\.$/);
      // 630 + 605 + 950 + 950 = 3135 g; 1900/3135 = 60.61 %
      expect(await pit.say('setup show After')).toContain('rear share 60.61 %');
    });

    it('leave out what does not work out any more', async () => {
      // A corner of 200 g cannot carry 214 g that hang below its spring.
      await pit.say('truck set rear_left:200 rear_right:200 truck:Sandhopper');
      expect(await pit.say('setup save After truck:Sandhopper')).toMatch(
        /\n1 answer was asked again: Corner weights\.\nLeft out, because it does not work out any more: Ride, rear\. truck show says why\.$/,
      );
      const shown = await pit.archive.showSetup({ ...INES, id: 1 });
      expect(shown.kind === 'setup' && shown.doc.sheets.map(({ sheet }) => sheet)).toEqual(['corners']);
    });

    it('change nothing when saving is refused', async () => {
      await pit.say('truck set rear_spring_rate:0.45 truck:Sandhopper');
      expect((await pit.slips(`setup save ${'n'.repeat(61)} truck:Sandhopper`))[0]).toContain('is too long');
      expect(await pit.say('truck show Sandhopper')).toContain('Stale');
    });
  });

  it('side by side tell only what differs, in readings and in answers worked out again', async () => {
    await pit.say(corners(901));
    await pit.say('setup save Before truck:Sandhopper surface:sand');
    await pit.say('corners 612 605 950 901 truck:Sandhopper');
    await pit.say('setup save After truck:Sandhopper surface:pan');
    const told = await pit.say('setup compare 1 2');
    expect(told.split('\n')).toEqual(
      expect.arrayContaining([
        'Conditions: not like for like, they differ too',
        '  surface: sand → pan',
        'Readings',
        '  rear left: 901 g → 950 g',
        'Corner weights',
      ]),
    );
    // 3019 g and 3068 g; (901 + 901) / 3019 = 59.689 %, (950 + 901) / 3068 = 60.332 %.
    expect(told).toMatch(/total: 3019\.0 g[^\n]* → 3068\.0 g/);
    expect(told).toMatch(/rear share: 59\.689 %[^\n]* → 60\.332 %/);
    expect(told).not.toMatch(/front left|front right|rear right/);
    expect(await pit.say('setup compare Before b:After')).toBe(told);
    expect(await pit.say('setup compare 1 1')).toContain('They differ in nothing.');
    expect(await pit.slips('setup compare 1 77')).toEqual(['There is no setup 77 in this club. Look for it with a word of its name.']);
    expect((await pit.slips('setup compare 1'))[0]).toContain('setup compare 3 5');
  });

  it('have a history of was and is, and an earlier revision can be shown and made the newest', async () => {
    await pit.say(corners(901));
    await pit.say('setup save Evening truck:Sandhopper');
    await pit.say(corners(950));
    await pit.say('setup save Evening truck:Sandhopper');
    const history = await pit.say('setup history Evening');
    expect(history).toContain('  corners, rear left: 901 g → 950 g');
    expect(history).toMatch(/Revision 2[\s\S]*Revision 1/);
    expect(await pit.say('setup show Evening rev:1')).toContain('revision 1 of 2');
    expect(await pit.say('setup restore Evening rev:1')).toContain('that is revision 3 now');
    expect(await pit.say('setup compare 1 1')).toContain('revision 3');
    expect((await pit.slips('setup restore Evening rev:9'))[0]).toBe('Revision: "9" is out. Give 1 to 3.');
    expect((await pit.slips('setup restore Evening'))[0]).toContain('rev:1');
  });

  it('have a history that tells of conditions, tags and parts as well, and going back says what went back', async () => {
    await pit.say('truck parts add pack 312 at:230 role:pack truck:Sandhopper');
    await pit.say('truck parts add light bar 64 at:-20 truck:Sandhopper');
    await pit.say(corners(901));
    await pit.say('setup save Evening truck:Sandhopper grip:low temperature:18 tags:calm');
    await pit.say('truck parts change pack at:190 truck:Sandhopper');
    await pit.say('truck parts change light bar at:off truck:Sandhopper');
    await pit.say('setup save Evening truck:Sandhopper grip:high tags:calm, dusty notes:the pack went forward');
    const changed = ['pack: 230 mm → 190 mm', 'light bar: \\-20 mm → off', 'grip: low → high', 'tags: calm → calm, dusty'];
    const history = await pit.say('setup history Evening');
    expect(history.split('\n').slice(1)).toEqual([
      expect.stringMatching(/^Revision 2 · /),
      '  “the pack went forward”',
      ...changed.slice(0, 2).map((line) => `  ${line}`),
      '  grip: low → high',
      '  temperature: 18 °C → not said',
      '  tags: calm → calm, dusty',
      expect.stringMatching(/^Revision 1 · /),
    ]);
    const back = await pit.say('setup restore Evening rev:1');
    expect(back).toContain('that is revision 3 now.\n  pack: 190 mm → 230 mm\n');
    expect(back).toContain('\n  tags: calm, dusty → calm\nTo put it on a truck: setup copy 1 truck:NAME');
    const compared = await pit.say('setup compare 1 rev 1, 1 rev 2');
    expect(compared).toContain('  pack: 230 mm → 190 mm');
    expect(compared).toContain('  light bar: \\-20 mm → off');
    // A revision that only repeats says so.
    await pit.say('setup save Evening truck:Sandhopper grip:high temperature:18 tags:calm, dusty');
    await pit.say('setup save Evening truck:Sandhopper grip:high temperature:18 tags:calm, dusty');
    expect(await pit.say('setup history Evening')).toMatch(/Revision 5 · .* · nothing changed\n/);
  });

  it('copied to a truck of mine answer there, and say where the readings are from', async () => {
    await pit.say(corners(901), INES);
    await pit.say('setup save Evening truck:Sandhopper', INES);
    expect((await pit.slips('setup copy Evening', TOMASZ))[0]).toContain('truck:NAME');
    expect(await pit.say('setup copy Evening truck:Mudlark', TOMASZ)).toContain('Mudlark has 4 facts of "Evening" now');
    const answer = await pit.reply('corners truck:Mudlark', TOMASZ);
    expect(answer.text).toContain('59.689 %');
    expect(answer.text).toContain('copied from setup 1, Evening');
    // Also in the list of what is known, where "stated" alone would hide it.
    expect(await pit.say('truck show Mudlark', TOMASZ)).toMatch(/· copied 14 June 2026 from setup 1, Evening: .*front left 612 g/);
  });

  describe('as a file', () => {
    beforeEach(async () => {
      await pit.say('gearing 3300 2 16 54 gearbox_ratio:43/13 tyre_diameter:4.3 in truck:Sandhopper');
      await pit.say(
        'ride truck:Sandhopper end:rear corner_load:901.5 spring_rate:4.1 lb motion_ratio:0.62 unsprung_mass:214 wheel_travel:112',
      );
      // Last of all: what was answered earlier knew less than the setup does, and is worked out again from all of it.
      await pit.say('corners 612 605 901 896 truck:Sandhopper wheelbase:331');
      await pit.say('setup save Evening truck:Sandhopper tags:pan notes:calm "over" the ruts track:Salt loop temperature:24');
    });
    const exported = async (line: string, who = INES): Promise<string> => (await pit.reply(line, who)).file?.text ?? expect.fail('no file');
    const imported = (text: string, who = TOMASZ, truck = 'Mudlark') =>
      pit.commands.answer({ command: 'setup import', options: { text, truck }, asker: who });

    it('comes back without loss from either spelling: facts, answers, and the same file again', async () => {
      const before = await pit.archive.showSetup({ club: INES.club, id: 1 });
      if (before.kind !== 'setup') return expect.fail('it is not there');
      for (const as of ['json', 'markdown']) {
        const text = await exported(`setup export Evening as:${as}`);
        expect(text).not.toMatch(/Ines|118000000000/);
        const reply = await imported(text);
        expect(reply.text).toContain('from the file, number');
        const id = Number(/number (\d+)/.exec(reply.text)![1]);
        const after = await pit.archive.showSetup({ club: INES.club, id });
        if (after.kind !== 'setup') return expect.fail('it is not there');
        const { at: _, member: __, truck: ___, name: ____, ...what } = before.doc;
        expect(after.doc).toMatchObject({
          ...what,
          sheets: before.doc.sheets.map(({ answer: { readings: _____, ...answer }, ...sheet }) => ({ ...sheet, answer })),
        });
        const [one, two] = [JSON.parse(await exported('setup export 1')), JSON.parse(await exported(`setup export ${id}`))];
        expect({ ...two, name: one.name, truck: one.truck, saved: one.saved }).toEqual(one);
      }
      expect(await pit.say('setup compare Evening b:2')).toContain('They differ in nothing.');
      expect((await pit.archive.facts({ club: TOMASZ.club, member: TOMASZ.member, truck: 'Mudlark' })).size).toBe(0);
    });

    it('what no sheet can read is told with its place, and nothing is stored', async () => {
      const file = JSON.parse(await exported('setup export Evening')) as {
        facts: { fact: string; typed: string }[];
        sheets: { sheet: string }[];
      };
      const front = file.facts.findIndex(({ fact }) => fact === 'front_left');
      const state = await pit.archive.verify({ club: INES.club });
      const refused = async (change: (copy: typeof file) => void): Promise<string> => {
        const copy = structuredClone(file);
        change(copy);
        const reply = await imported(JSON.stringify(copy));
        expect(reply.kind).toBe('problems');
        return reply.text.replaceAll('\\', '');
      };
      expect(await refused((copy) => (copy.facts[front]!.typed = '6120'))).toContain(
        `facts[${front}]: Front left: "6120" is out. Give 10 to 5000 g.`,
      );
      expect(await refused((copy) => (copy.facts[front]!.fact = 'moon_phase'))).toContain(
        `facts[${front}]: No sheet here asks for moon phase.`,
      );
      expect(await refused((copy) => (copy.sheets[0]!.sheet = 'astrology'))).toContain('sheets[0]: There is no sheet "astrology" here.');
      expect((await imported('{"format":')).text).toMatch(/^Line 1/);
      expect(await pit.archive.verify({ club: INES.club })).toEqual(state);
      expect((await pit.archive.findSetups({ club: INES.club, words: '' })).setups.length).toBe(1);
    });

    it('its numbers stand in a table, unrounded', async () => {
      const rows = (await exported('setup export Evening as:csv')).split('\r\n');
      expect(rows[0]).toBe('kind,sheet,end,name,value,unit,plus_minus');
      expect(rows.find((row) => row.startsWith('reading,corners,,front_left,'))).toMatch(/^reading,corners,,front_left,612,g,0\.577/);
      // (901 + 896) / 3014 = 59.6217651…
      expect(rows.find((row) => row.startsWith('answer,corners,,rear_share,'))).toMatch(/,59\.62176509\d*,%,/);
    });

    it('comes back for oneself alone when that is said, and says who sees it otherwise', async () => {
      const { text } = (await pit.reply('setup export Evening')).file!;
      expect(await pit.say(`setup import private:yes text:${text}`, TOMASZ)).toContain(', for you only: ');
      expect(await pit.say(`setup import text:${text}`, TOMASZ)).toMatch(/ The whole club sees it; setup private \d+ keeps it yours\. /);
      expect((await pit.slips(`setup import private:maybe text:${text}`, TOMASZ))[0]).toContain('yes or no');
      const seen = await pit.say('setup find evening');
      expect(seen.split('\n')).toHaveLength(2);
    });

    it("of a private setup is nobody else's", async () => {
      await pit.say('setup private Evening');
      expect((await pit.slips('setup export Evening', TOMASZ))[0]).toContain('There is no setup');
      expect((await pit.reply('setup export Evening', INES)).visibility).toBe('private');
    });
  });

  it('a message that arrives twice is done once', async () => {
    await pit.say(corners(901));
    await pit.say('setup save Evening truck:Sandhopper');
    await pit.say('setup save Evening truck:Sandhopper');
    const [one, two] = [
      await pit.reply('setup restore Evening rev:1', INES, 'i1'),
      await pit.reply('setup restore Evening rev:1', INES, 'i1'),
    ];
    expect(two).toEqual(one);
    expect(await pit.say('setup show Evening')).toContain('revision 3 of 3');
  });
});

describe('a setup', () => {
  it('is not copied over what was measured at another truck until that is meant', async () => {
    const pit = await openPitSide();
    try {
      await pit.say('corners 640 633 868 861 truck:Sandhopper');
      await pit.say('truck parts add pack 292 180 role:pack truck:Sandhopper');
      await pit.say('setup save Calm truck:Sandhopper');
      await pit.say('corners 612 605 901 896 truck:Mudlark');
      await pit.say('keep Mudlark');
      const asked = await pit.say('setup copy Calm truck:Mudlark');
      expect(asked).toBe(
        'Mudlark has 4 readings of its own that this would replace: front left, front right, rear left, rear right. Nothing was copied. If that is meant, say it again with sure:yes; or name another truck.',
      );
      expect(await pit.say('truck show Mudlark fact:front_left')).toContain('612 g');
      expect(await pit.say('truck show Mudlark fact:front_left')).not.toContain('640 g');
      expect(await pit.say('setup copy Calm truck:Mudlark sure:yes')).toContain('The parts list came along: 1 part.');
      expect(await pit.say('truck show Mudlark fact:front_left')).toContain('640 g');
      // A copy is in the way of nothing.
      await pit.say('corners 650 633 868 861 truck:Sandhopper');
      await pit.say('setup save Calmer truck:Sandhopper');
      const again = await pit.say('setup copy Calmer truck:Mudlark');
      expect(again).toContain('Its own parts list stays.');
      expect(again).not.toContain('of before');
      // What another setup had besides stays on the truck, and is told.
      await pit.say('gearing 3300 2 16 54 gearbox_ratio:43/13 tyre_diameter:109 truck:Sandhopper');
      await pit.say('setup save Geared truck:Sandhopper');
      await pit.say('setup copy Geared truck:Mudlark');
      expect(await pit.say('setup copy Calm truck:Mudlark sure:yes')).toContain(
        ' 6 readings of before stay: cells, gearbox ratio, motor kv, pinion and 2 more. Measure your own truck',
      );
    } finally {
      await pit.end();
    }
  });
});

describe('a number that several sheets answer', () => {
  it('is that of the sheet that is asked for it: the weighed rear share, not what a ballast plan would come to', async () => {
    const pit = await openPitSide();
    try {
      await pit.say('corners 640 633 860 850 truck:Sandhopper wheelbase:330');
      await pit.say('truck parts add pack 292 180 places:"180 240" truck:Sandhopper');
      // 1710 of 2983 g is 57.3 %; the pack 60 mm further back: 292 × 60 / (2983 × 330) = 1.8 % more.
      expect(await pit.say('ballast truck:Sandhopper')).toMatch(/rear share[^\n]*59\.1/i);
      await pit.say('setup save Planned truck:Sandhopper');
      expect(await pit.say('setup find "rear_share > 58 %"')).toMatch(/^No setup/);
      expect(await pit.say('setup find "rear_share 57..58"')).toContain('rear share 57.32 %');
    } finally {
      await pit.end();
    }
  });
});
