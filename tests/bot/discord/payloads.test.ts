/** Discord's limits: what fits, what is shortened, and what stops the start with the name of the command. */
import { describe, expect, test } from 'vitest';
import type { CommandSpec, OptionSpec } from '../../../bot/commands/types.ts';
import { startDiscord } from '../../../bot/transports/discord/index.ts';
import { pieces, shorten } from '../../../bot/transports/discord/limits.ts';
import { payloads, same } from '../../../bot/transports/discord/payloads.ts';
import { startDouble } from '../../support/discord-double/index.ts';
import { refuseCommands } from '../../support/discord-double/rules.ts';
import { lines, open, smallClub } from './small-club.ts';

const option = (name: string, more: Partial<OptionSpec> = {}): OptionSpec => ({ name, description: `the ${name}`, ...more });
const command = (name: string, options: readonly OptionSpec[] = [], more: Partial<CommandSpec> = {}): CommandSpec => ({
  name,
  description: `does ${name}`,
  options,
  ...more,
});
const many = <T>(n: number, make: (i: number) => T): readonly T[] => Array.from({ length: n }, (_, i) => make(i));

describe('the limits themselves, met exactly, are taken by Discord', () => {
  const fits: readonly (readonly [string, readonly CommandSpec[]])[] = [
    ['100 commands', many(100, (i) => command(`c${i}`))],
    [
      '25 options',
      [
        command(
          'ride',
          many(25, (i) => option(`o${i}`)),
        ),
      ],
    ],
    [
      '25 choices of 100 characters',
      [command('ride', [option('end', { choices: many(25, (i) => ({ name: `${i}`.padEnd(100, 'x'), value: `${i}` })) })])],
    ],
    [
      '25 subcommands of 25 options',
      [
        command('setup', [], {
          subcommands: many(25, (i) => ({ name: `s${i}`, description: 'x', options: many(6, (o) => option(`o${o}`)) })),
        }),
      ],
    ],
    ['a name of 32 letters that no keyboard has', [command('ä'.repeat(32))]],
    [
      'descriptions that are far too long',
      [command('ride', [option('a', { description: 'long word '.repeat(50) })], { description: 'y'.repeat(500) })],
    ],
  ];
  test.each(fits)('%s', async (_, specs) => {
    expect(refuseCommands(payloads(specs, 'server'))).toEqual([]);
    expect(refuseCommands(payloads(specs, 'everywhere'))).toEqual([]);
  });
});

describe('one more stops the start, and names the command', () => {
  const stops: readonly (readonly [string, readonly CommandSpec[], string])[] = [
    ['101 commands', many(101, (i) => command(`c${i}`)), '101 commands; Discord takes 100. The first one too many is /c100'],
    [
      '26 options',
      [
        command(
          'ride',
          many(26, (i) => option(`o${i}`)),
        ),
      ],
      '/ride: 26 options; Discord takes 25',
    ],
    [
      '26 choices',
      [command('ride', [option('end', { choices: many(26, (i) => ({ name: `${i}`, value: `${i}` })) })])],
      '/ride end: 26 choices',
    ],
    [
      '26 subcommands',
      [command('setup', [], { subcommands: many(26, (i) => ({ name: `s${i}`, description: 'x', options: [] })) })],
      '/setup: 26 subcommands',
    ],
    [
      '26 options of a subcommand',
      [command('setup', [], { subcommands: [{ name: 'save', description: 'x', options: many(26, (i) => option(`o${i}`)) }] })],
      '/setup save: 26 options',
    ],
    [
      'a choice of 101 characters',
      [command('ride', [option('end', { choices: [{ name: 'x', value: 'x'.repeat(101) }] })])],
      '/ride end: the choice "x" has not 1 to 100 characters',
    ],
    ['an empty choice', [command('ride', [option('end', { choices: [{ name: 'x', value: '' }] })])], '/ride end: the choice "x"'],
    ['no choices where choices are', [command('ride', [option('end', { choices: [] })])], '/ride end: 0 choices'],
    [
      'choices and suggestions',
      [command('ride', [option('end', { suggests: true, choices: [{ name: 'x', value: 'x' }] })])],
      '/ride end: an option has choices or suggests',
    ],
    [
      'options beside subcommands',
      [command('setup', [option('a')], { subcommands: [{ name: 'save', description: 'x', options: [] }] })],
      '/setup: a command has options or subcommands',
    ],
    ['a name with a space', [command('ride height')], '/ride height: Discord takes 1 to 32 letters'],
    ['a name in capitals', [command('Ride')], '/Ride: Discord takes names in lower case only'],
    ['an option in capitals', [command('ride', [option('Front')])], '/ride Front: Discord takes names in lower case'],
    ['a missing description', [command('ride', [], { description: ' ' })], '/ride: a description is missing'],
    ['an option without a description', [command('ride', [option('a', { description: '' })])], '/ride a: a description is missing'],
    ['two commands of one name', [command('ride'), command('ride')], 'the command "ride" is there twice'],
    ['two options of one name', [command('ride', [option('a'), option('a')])], '/ride: the option "a" is there twice'],
    [
      'more than 8000 characters',
      [
        command(
          'ride',
          many(25, (i) => option(`o${i}`, { choices: many(25, (c) => ({ name: `choice ${c}`, value: `choice ${c}` })) })),
        ),
      ],
      '/ride: 1',
    ],
  ];
  test.each(stops)('%s', (_, specs, why) => {
    expect(() => payloads(specs, 'server')).toThrow(why);
    expect(() => startDiscord({ token: 'x', api: 'http://127.0.0.1:1/api', commands: { ...smallClub(), specs }, log: lines() })).toThrow(
      why,
    );
  });

  test.each(stops)('and Discord would have refused it: %s', (what, specs) => {
    // An empty list of choices or an empty choice passes at Discord and helps nobody.
    const strict = ['an empty choice', 'no choices where choices are', 'options beside subcommands', 'choices and suggestions'];
    if (strict.includes(what)) return;
    const plain = specs.map(({ name, description, options, subcommands }) => {
      const bare = (list: readonly OptionSpec[]): object[] => list.map(({ suggests: _, ...rest }) => ({ type: 3, ...rest }));
      return {
        name,
        description,
        options: subcommands ? subcommands.map((sub) => ({ type: 1, ...sub, options: bare(sub.options) })) : bare(options),
      };
    });
    expect(refuseCommands(plain)).not.toEqual([]);
  });

  test('everything that is wrong is said at once', () => {
    const specs = [
      command('Ride'),
      command(
        'sag',
        many(26, (i) => option(`o${i}`)),
      ),
    ];
    expect(() => payloads(specs, 'server')).toThrow(/\/Ride: .*\n.*\/sag: 26 options/);
  });
});

test('100 commands of 25 options reach Discord', async () => {
  const discord = await startDouble();
  const specs = many(100, (i) =>
    command(
      `c${i}`,
      many(25, (o) => option(`o${o}`, { description: 'a description that is too long for Discord, '.repeat(4) })),
    ),
  );
  const bot = open(discord, { ...smallClub(), specs }, lines());
  await bot.ready;
  expect(discord.commands()).toHaveLength(100);
  expect(discord.commands()[99]?.options?.at(-1)).toMatchObject({
    name: 'o24',
    description: expect.stringMatching(/^a description .{60,90}…$/),
  });
  expect(discord.refusals).toEqual([]);
  await bot.stop();
  await discord.stop();
});

describe('what stands at Discord', () => {
  const ours = payloads([command('ride', [option('a', { suggests: true }), option('b')]), command('sag')], 'server');
  const theirs = (): Parameters<typeof same>[1][number][] =>
    JSON.parse(JSON.stringify(ours)).map((item: object) => ({
      id: '1',
      version: '1',
      nsfw: false,
      contexts: null,
      integration_types: [0],
      ...item,
    }));

  test('is the same in another order, and without what is at its default', () => {
    expect(same(ours, theirs().reverse())).toBe(true);
  });
  test.each([
    ['a command more', () => [...theirs(), { name: 'old', description: 'x' }]],
    ['a command less', () => theirs().slice(1)],
    ['another order of options', () => theirs().map((item) => ({ ...item, options: item.options?.toReversed() }))],
    ['an option that suggests no more', () => JSON.parse(JSON.stringify(theirs()).replace('"autocomplete":true', '"autocomplete":false'))],
    ['another word', () => JSON.parse(JSON.stringify(theirs()).replace('does ride', 'does a ride'))],
    ['direct messages allowed', () => theirs().map((item) => ({ ...item, contexts: [0, 1] }))],
  ])('is another with %s', (_, changed) => {
    expect(same(ours, changed())).toBe(false);
  });
});

describe('words that are too long', () => {
  test('are shortened at a word, on one line', () => {
    expect(shorten('the spring rate of\n one wheel', 100)).toBe('the spring rate of one wheel');
    expect(shorten('the spring rate of one wheel', 28)).toBe('the spring rate of one wheel');
    expect(shorten('the spring rate of one wheel', 27)).toBe('the spring rate of one…');
    expect(shorten('the spring rate, of one wheel', 17)).toBe('the spring rate…');
    expect(shorten('Donaudampfschifffahrt', 10)).toBe('Donaudamp…');
  });
  test('are never cut through a character', () => {
    for (let most = 2; most < 12; most += 1) {
      expect(shorten('🛞'.repeat(20), most).isWellFormed?.() ?? true).toBe(true);
      expect(shorten('🛞'.repeat(20), most).length).toBeLessThanOrEqual(most);
      expect(pieces('🛞'.repeat(20), most).join('')).toBe('🛞'.repeat(20));
    }
  });
  test('of an answer are parted at line ends, then at words, then anywhere, and nothing is lost', () => {
    expect(pieces('one two\nthree four\nfive', 18)).toEqual(['one two\nthree four', 'five']);
    expect(pieces('one two three', 8)).toEqual(['one two', 'three']);
    expect(pieces('abcdefgh', 3)).toEqual(['abc', 'def', 'gh']);
    expect(pieces('short')).toEqual(['short']);
    const long = many(500, (i) => `line ${i}`).join('\n');
    expect(pieces(long).join('\n')).toBe(long);
    expect(Math.max(...pieces(long).map(({ length }) => length))).toBeLessThanOrEqual(2000);
  });
});
