/**
 * The lines that help shows to copy, done for real: read off help itself, each in its turn on a tuning day of a few members, from an empty archive.
 * In chat they are taken as chat writes them, where every option is named.
 */
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { handed } from '../../../bot/commands/handed.ts';
import { lineFor } from '../../../bot/commands/help.ts';
import { messageFrom } from '../../../bot/commands/index.ts';
import type { CommandSpec, HandedFile, OptionSpec } from '../../../bot/commands/types.ts';
import { INES, openPitSide, type PitSide, PRIYA, TOMASZ } from './pit-side.ts';

/** In an order that makes sense: a truck is renamed and taken away while it has no setups, and everything of a member goes at the end. */
const DAY = [
  'Tomasz: corners',
  'Ines: corners',
  'Tomasz: truck use',
  'Tomasz: truck rename',
  'Tomasz: truck remove',
  'Tomasz: truck use',
  'Tomasz: truck set',
  'Tomasz: track add',
  'Tomasz: track list',
  'Tomasz: scale add',
  'Tomasz: scale list',
  'Tomasz: keep',
  'Tomasz: truck parts',
  'Tomasz: box add',
  'Tomasz: box list',
  'Tomasz: box lend',
  'Ines: box return',
  'Tomasz: truck refresh',
  'Tomasz: look',
  'Tomasz: truck show',
  'Tomasz: truck list',
  'Tomasz: run add',
  'Tomasz: run list',
  'Tomasz: run since',
  'Tomasz: setup save',
  'Tomasz: setup find',
  'Tomasz: setup show',
  'Tomasz: setup picture',
  'Tomasz: setup history',
  'Tomasz: setup compare',
  'Tomasz: setup restore',
  'Tomasz: setup export',
  'Tomasz: setup import',
  'Priya: setup copy',
  'Tomasz: setup private',
  'Tomasz: setup share',
  'Tomasz: setup unshare',
  'Tomasz: setup remove',
  'Tomasz: truck forget',
  'Tomasz: run remove',
  'Tomasz: truck give',
  'Ines: truck take',
  'Tomasz: box remove',
  'Tomasz: scale remove',
  'Tomasz: track remove',
  'Tomasz: club officers',
  'Tomasz: club officer',
  'Tomasz: club log',
  'Tomasz: mine export',
  'Tomasz: mine delete',
].map((turn) => turn.split(': ') as [string, string]);

/** All commands of the house, a name with the options that stand behind it. */
const commandsOf = (pit: PitSide): Map<string, readonly OptionSpec[]> =>
  new Map(
    pit.commands.specs
      .filter(({ name }) => name !== 'help' && !pit.sheets.has(name))
      .flatMap(({ name, options, subcommands }: CommandSpec) =>
        subcommands ? subcommands.map((sub) => [`${name} ${sub.name}`, sub.options] as const) : [[name, options] as const],
      ),
  );

/** The lines that help shows of a command, as it shows them. */
async function linesOf(pit: PitSide, command: string): Promise<string[]> {
  const text = await pit.say(`help ${command}`);
  const lines = text.slice(text.indexOf('For example:') + 'For example:'.length).trim();
  return text.includes('For example:') ? lines.split('\n').map((line) => line.trim()) : [];
}

describe.each(['terminal', 'chat'] as const)('the lines of help, as typed in the %s', (format) => {
  let pit: PitSide;
  beforeAll(async () => {
    pit = await openPitSide(format);
  });
  afterAll(() => pit.end());

  it('are there for every command of the house, and each has its turn on the day', async () => {
    const commands = [...commandsOf(pit).keys()];
    for (const command of commands) expect(await linesOf(pit, command), command).not.toEqual([]);
    expect(new Set(DAY.map(([, command]) => command))).toEqual(new Set([...commands, 'corners']));
    // What help shows of all together is the first line of each.
    for (const { name, subcommands = [] } of pit.commands.specs) {
      if (subcommands.length === 0) continue;
      const all = await pit.say(`help ${name}`);
      for (const sub of subcommands) expect(all).toContain(`· ${sub.description} → ${(await linesOf(pit, `${name} ${sub.name}`))[0]}\n`);
    }
  });

  it('name a command and options that it has, with values that may be chosen', async () => {
    for (const [command, options] of commandsOf(pit))
      for (const line of await linesOf(pit, command)) {
        expect(line).toMatch(/^\/[a-z]/);
        const read = messageFrom(line, pit.sheets, pit.commands.specs);
        if ('problems' in read) return expect.fail(`${line}: ${read.problems[0]!.text}`);
        // A line may go on with what was kept: a spring by its name, a reading with its scale.
        if (read.message.command !== command) continue;
        for (const [name, value] of Object.entries(read.message.options)) {
          const option = options.find((one) => one.name === name);
          expect(option, `${line}: ${name}`).toBeDefined();
          if (format === 'chat' && option!.choices)
            expect(
              option!.choices.map((choice) => choice.value),
              line,
            ).toContain(value);
          if (format === 'chat') expect(line).toContain(` ${name}:${value}`);
        }
        const bare = Object.entries(read.message.options).reduce((left, [name, value]) => left.replace(` ${name}:${value}`, ''), line);
        if (format === 'chat') expect(bare).toBe(`/${command}`);
      }
  });

  it('ask a sheet its example, whatever the face', async () => {
    for (const sheet of pit.sheets.values()) {
      const [line] = await linesOf(pit, sheet.name);
      if (line === undefined) continue;
      const read = messageFrom(line, pit.sheets, pit.commands.specs);
      if ('problems' in read) return expect.fail(`${line}: ${read.problems[0]!.text}`);
      const taken = pit.commands.specs.find(({ name }) => name === sheet.name)!.options.map(({ name }) => name);
      if (format === 'chat') {
        expect(line).toMatch(/^\/\w+ [a-z_]+:/);
        expect(taken, line).toEqual(expect.arrayContaining(Object.keys(read.message.options)));
      }
      const reply = await pit.commands.answer({ ...read.message, asker: PRIYA });
      expect(reply.kind, `${line}\n${reply.text}`).toBe('answer');
      const given = reply.answer!.readings.filter(({ from }) => from === 'given').map(({ name }) => name);
      expect(new Set(given), line).toEqual(new Set(Object.keys(sheet.example).filter((name) => name !== 'end')));
    }
  });

  it('put into the last option what is beyond the options that chat shows', () => {
    const { specs } = pit.commands;
    const full = [...pit.sheets.values()].filter(({ name }) => specs.find((spec) => spec.name === name)!.options.at(-1)!.name === 'more');
    expect(full).not.toEqual([]);
    for (const { name, readings } of full) {
      const [first, last] = [readings[0]!.name, readings.at(-1)!.name];
      const line = lineFor(format, `${name} ${first}:1 ${last}:2`, pit.sheets, specs);
      expect(line).toBe(`/${name} ${first}:1 ${format === 'chat' ? 'more:' : ''}${last}:2`);
    }
  });

  it('are answered, one after the other, from an empty archive on', async () => {
    const who = { Tomasz: TOMASZ, Ines: INES, Priya: PRIYA };
    const picture = await sharp({ create: { width: 40, height: 30, channels: 3, background: '#b45a3c' } })
      .jpeg()
      .toBuffer();
    const files = new Map<string, HandedFile>([['springs.jpg', handed('springs.jpg', 'image/jpeg', picture)]]);
    for (const [name, command] of DAY) {
      const asker = who[name as keyof typeof who];
      for (const line of command === 'corners' ? (await linesOf(pit, command)).slice(0, 1) : await linesOf(pit, command)) {
        const read = messageFrom(line, pit.sheets, pit.commands.specs);
        if ('problems' in read) return expect.fail(`${line}: ${read.problems[0]!.text}`);
        const { file, ...options } = read.message.options;
        if (file !== undefined) expect(files.has(file), `${line}: that file is made before`).toBe(true);
        const reply = await pit.commands.answer({
          ...read.message,
          options,
          asker,
          ...(file === undefined ? {} : { files: { file: files.get(file)! } }),
        });
        expect(reply.kind, `${name}: ${line}\n${reply.text}`).not.toBe('problems');
        expect(reply.notKept, line).toBeUndefined();
        if (command === 'setup export' && reply.file!.name.endsWith('.json'))
          files.set('evening.json', handed('evening.json', 'application/json', new TextEncoder().encode(reply.file!.text)));
      }
      // Who names officers is one; of that the first word is the keeper's.
      if (command === 'track list')
        await pit.archive.nameOfficer({ club: TOMASZ.club, member: 'keeper', appointed: true, name: 'Tomasz', officer: true });
    }
  });
});
