/**
 * Every cell of the table of rights in Discord: a real client at a socket, two servers, and each member asks for themselves. Every act exists
 * here: all are commands.
 */
import { expect } from 'vitest';
import { makeCommands, messageFrom } from '../../../bot/commands/index.ts';
import { startDiscord } from '../../../bot/transports/discord/index.ts';
import { startDouble } from '../../support/discord-double/index.ts';
import { CAST, everyCell, shelfOfTests } from '../rights.ts';
import { lines } from './small-club.ts';

everyCell('in Discord', {
  castFor: () => CAST,
  async open({ archive, clock }) {
    const sheets = await shelfOfTests();
    const commands = makeCommands({ sheets, archive, cards: null, clock, zone: 'Europe/Lisbon', theme: 'dark', log: () => {} }, 'chat');
    const guilds = [CAST.owner, CAST['other club']].map(({ club, clubName }) => ({ id: club, name: clubName! }));
    const discord = await startDouble({ guilds });
    const log = lines();
    const bot = startDiscord({ token: discord.token, api: discord.api, commands, log, pace: { backOff: 50 } });
    await discord.ready();
    return {
      async say(line, { club, member, memberName }, file) {
        const read = messageFrom(line, sheets, commands.specs);
        if ('problems' in read) return expect.fail(`${line} is no command`);
        const { command, options } = read.message;
        const files = file && {
          file: { filename: file.name, contentType: file.type, bytes: await file.bytes(Number.POSITIVE_INFINITY) },
        };
        const seen = await discord.interact({
          command,
          options,
          guild: club,
          member: { id: member, username: memberName.toLowerCase(), nick: memberName },
          ...(files ? { files } : {}),
        });
        const came = seen.attachments.filter(({ contentType }) => !contentType.startsWith('image/'));
        const texts = came.map(({ bytes }) => new TextDecoder().decode(bytes));
        // The member reads it without the signs that keep Discord from taking it for more than words.
        return [seen.content.replace(/\\([\\`*_~|>#[\]()<@:.-])/g, '$1'), ...texts].join('\n');
      },
      async stop() {
        expect(discord.refusals).toEqual([]);
        await bot.stop();
        await discord.stop();
      },
    };
  },
});
