import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { shelfOf } from '../../../bot/commands/pit.ts';
import { readLooked } from '../../../bot/commands/query.ts';
import { INES, openPitSide, type PitSide, TOMASZ } from './pit-side.ts';

let pit: PitSide;
beforeEach(async () => {
  pit = await openPitSide();
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

  it('stays quick whatever is typed', () => {
    const start = performance.now();
    for (const typed of [
      'a '.repeat(200),
      'pinion '.repeat(60),
      '1..'.repeat(130),
      'a>'.repeat(200),
      '-'.repeat(400),
      'pinion 1,1,1,1,1,1,1,1,1'.repeat(16),
    ])
      looked(typed);
    expect(performance.now() - start).toBeLessThan(500);
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
    expect(await pit.say('setup find rear_share > 58 %')).toMatch(/^1\. Evening[^\n]*$/);
    expect(await pit.say('setup find rear_share < 58 %')).toMatch(/^2\. Level[^\n]*$/);
    expect(await pit.say('setup find pinion 15..18')).toMatch(/^1\. Evening/);
    expect(await pit.say('setup find pinion 17..18')).toContain('No setup of this club holds');
    expect(await pit.say('setup find temperature 68..80 °F')).toMatch(/^1\. Evening/);
    expect(await pit.say('setup find surface:hard owner:INES')).toMatch(/^1\. Evening/);
    expect(await pit.say('setup find rear_share > 10 % owner:tomasz')).toMatch(/^2\. Level/);
    expect(await pit.say('setup show Evening')).toContain('Conditions: Salt loop · surface Hard pan · grip high · 24 °C · wind still');
    for (let i = 0; i < 10; i += 1) await pit.say(`setup save Number ${i} truck:Sandhopper`);
    expect(await pit.say('setup find owner:ines')).toContain('page:2');
    expect(await pit.say('setup find owner:ines page:2')).toMatch(/^1\. Evening[^\n]*$/);
    expect(await pit.slips('setup find page:0')).toEqual(['Page: "0" is out. Give 1 to 1000.']);
  });

  it('saved without a name are offered one that is new each time', async () => {
    await pit.say(corners(901));
    expect(await pit.say('setup save truck:Sandhopper')).toContain('Kept "best of 14 June" of Sandhopper, number 1');
    expect(await pit.say('setup save truck:Sandhopper')).toContain('Kept "best of 14 June 2" of Sandhopper, number 2');
  });

  it('side by side tell only what differs, in readings and in answers worked out again', async () => {
    await pit.say(corners(901));
    await pit.say('setup save Before truck:Sandhopper surface:sand');
    await pit.say('corners 612 605 950 901 truck:Sandhopper');
    await pit.say('setup save After truck:Sandhopper surface:pan');
    const told = await pit.say('setup compare 1 2');
    expect(told.split('\n')).toEqual(
      expect.arrayContaining(['Conditions', '  surface: sand → pan', 'Readings', '  rear left: 901 g → 950 g', 'Corner weights']),
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
    expect(history).toContain('  corners, rear left: 901 → 950');
    expect(history).toMatch(/Revision 2[\s\S]*Revision 1/);
    expect(await pit.say('setup show Evening rev:1')).toContain('revision 1 of 2');
    expect(await pit.say('setup restore Evening rev:1')).toContain('that is revision 3 now');
    expect(await pit.say('setup compare 1 1')).toContain('revision 3');
    expect((await pit.slips('setup restore Evening rev:9'))[0]).toBe('Revision: "9" is out. Give 1 to 3.');
    expect((await pit.slips('setup restore Evening'))[0]).toContain('rev:1');
  });

  it('copied to a truck of mine answer there, and say where the readings are from', async () => {
    await pit.say(corners(901), INES);
    await pit.say('setup save Evening truck:Sandhopper', INES);
    expect((await pit.slips('setup copy Evening', TOMASZ))[0]).toContain('truck:NAME');
    expect(await pit.say('setup copy Evening truck:Mudlark', TOMASZ)).toContain('Mudlark has 4 facts of "Evening" now');
    const answer = await pit.reply('corners truck:Mudlark', TOMASZ);
    expect(answer.text).toContain('59.689 %');
    expect(answer.text).toContain('copied from setup 1, Evening');
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
