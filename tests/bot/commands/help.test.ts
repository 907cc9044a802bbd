/** Help: what can be asked, by what one wants to find out; what the house's own commands can do. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { messageFrom } from '../../../bot/commands/index.ts';
import { topicsAbout, topicsOf } from '../../../bot/commands/topics.ts';
import { INES, openPitSide, type PitSide } from './pit-side.ts';

let pit: PitSide;
beforeAll(async () => {
  pit = await openPitSide();
});
afterAll(() => pit.end());

describe('help', () => {
  it('names every sheet and the ways to keep what one finds, in one message', async () => {
    const text = await pit.say('help');
    for (const name of pit.sheets.keys()) expect(text).toMatch(new RegExp(`\\b${name}\\b`));
    for (const way of ['/keep', '/truck show', '/run add', '/setup save', '/help about:box']) expect(text).toContain(way);
  });

  it('says what each of the house’s own commands can do, and what each option is', async () => {
    for (const { name, description, options, subcommands } of pit.commands.specs) {
      if (pit.sheets.has(name) || name === 'help') continue;
      const text = await pit.say(`help ${name}`);
      expect(text).toMatch(new RegExp(`^/${name}: `));
      expect(text).toContain(description);
      for (const option of options) expect(text).toContain(`${option.name}: ${option.description}`);
      for (const sub of subcommands ?? []) {
        const one = await pit.say(`help about:${name} ${sub.name}`);
        expect(one).toContain(`/${name} ${sub.name}: ${sub.description}`);
        for (const option of sub.options) expect(one).toContain(`${option.name}: ${option.description}`);
        for (const ask of sub.asks ?? []) expect(one).toContain(`· ${ask}`);
      }
    }
  });

  it('explains the words of a part: at, places, unsprung, role', async () => {
    const text = await pit.say('help truck parts');
    expect(text).toContain('mm behind the front axle');
    expect(text).toContain('front (with the front wheels)');
    expect(text).toContain('the springs carry it');
    expect(text).toContain('tyre (with its insert), rim, pack (battery pack)');
    for (const word of ['parts', 'at', 'places', 'role', 'unsprung']) expect(await pit.say(`help about:${word}`), word).toBe(text);
  });

  it('fits a message whole, whatever is asked about', async () => {
    const chat = await openPitSide('chat');
    for (const { name, subcommands = [] } of chat.commands.specs)
      for (const about of [name, ...subcommands.map((sub) => `${name} ${sub.name}`)])
        expect((await chat.say(`help ${about}`)).length, about).toBeLessThan(2000);
    expect((await chat.say('help')).length).toBeLessThan(2000);
    await chat.end();
  });

  it('offers sheets and commands while one types', async () => {
    const offered = (about: string) => pit.commands.suggest({ command: 'help', options: { about }, asker: INES }, 'about');
    expect(await offered('parts')).toEqual(['truck parts']);
    expect(await offered('corn')).toEqual(['corners']);
  });

  it('takes words that begin like a command for what they are', async () => {
    expect(await pit.say('help run faster through the whoops')).toContain('/whoops');
  });
});

/** The first that help leads to. */
const firstOf = (text: string): string | undefined => / → \/(.*)/.exec(text)?.[1];

describe('help in everyday words', () => {
  it.each([
    ['parts list', 'truck parts'],
    ['my scale reads wrong', 'scale add'],
    ['what do I have to bring', 'truck show'],
    ['what should I measure next?', 'truck show'],
    ['who borrowed my springs', 'box list'],
    ['lend a spring to a friend', 'box lend'],
    ['share a setup with another club', 'setup share'],
    ['delete my data', 'mine delete'],
    ['forget me', 'mine delete'],
    ['undo', 'setup restore'],
    ['went back to the old setup', 'setup restore'],
    ['I typed it wrong', 'truck forget'],
    ['where are my setups', 'setup find'],
    ['a picture of my truck', 'setup picture'],
    ['spreadsheet', 'setup export'],
    ['who changed what', 'club log'],
    ['new track', 'track add'],
    ['I sold my truck', 'truck give'],
    ['which parts are sprung', 'truck parts'],
    ['slower than last month', 'run since'],
    ['can others see my setup', 'setup private'],
    ['how stiff is this spring', 'press'],
    ['it bucks in the whoops', 'whoops'],
    ['motor gets too hot', 'motor_heat'],
    ['springs are too soft', 'ride'],
    ['weight on the rear', 'corners'],
  ])('"%s" leads to %s', async (words, to) => {
    expect(firstOf(await pit.say(`help ${words}`))).toBe(to);
  });

  it('each question that a sheet or a command answers leads to it before all others', () => {
    const topics = topicsOf(pit.sheets, pit.commands.specs);
    const asked = topics.flatMap(({ name, asks }) => asks.map((ask) => [ask, name]));
    expect(asked.length).toBeGreaterThan(150);
    expect(asked.map(([ask]) => [ask, topicsAbout(topics, ask!)[0]?.name])).toEqual(asked);
  });

  it('says when there is nothing about it, and which name was nearly typed', async () => {
    expect(await pit.say('help zzz')).toBe('There is nothing about that here. /help without words lists what there is.');
    expect(await pit.say('help cornerz')).toContain('Did you mean corners?');
    expect(await pit.say('help trcuk')).toContain('Did you mean truck?');
    expect(await pit.say('help what can you do')).toBe(await pit.say('help'));
  });
});

describe('a line that is no command', () => {
  const asked = (line: string): unknown => {
    const read = messageFrom(line, pit.sheets, pit.commands.specs);
    return 'message' in read && read.message.command === 'help' ? read.message.options.about : null;
  };

  it('is a question in plain words when it says something that help knows', async () => {
    for (const line of [
      'how stiff is this spring',
      'springs are too soft',
      'who borrowed my springs?',
      'truck pulls to the left',
      'how fast on 18 teeth',
      'what can you do',
    ])
      expect(asked(line), line).toBe(line);
    expect(await pit.say('how stiff is this spring')).toBe(await pit.say('help how stiff is this spring'));
  });

  it('is a mistyped command when it nearly is one, or has readings in it', async () => {
    expect(await pit.slips('cornerz 612 605 901 896')).toEqual(['There is no "cornerz" here. Did you mean corners?']);
    expect(await pit.slips('trcuk show')).toEqual(['There is no "trcuk" here. Did you mean truck?']);
    expect(await pit.slips('/how stiff is this spring')).toEqual(['There is no "how" here. Did you mean hop?']);
    for (const line of ['setpu save evening', 'weights 612 605', 'truck Sandhopper', 'setup hard pan evening', 'blah', 'thanks', 'zzz yyy'])
      expect(asked(line), line).toBeNull();
  });
});
