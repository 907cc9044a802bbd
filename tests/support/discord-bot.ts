/** A process of its own that holds nothing but the bot: run by tests/bot/discord/process.test.ts, which sends it signals. */
import { startDiscord } from '../../bot/transports/discord/index.ts';
import { smallClub } from '../bot/discord/small-club.ts';

const { DISCORD_TOKEN = '', DISCORD_API, DISCORD_GUILD } = process.env;
const bot = startDiscord({
  token: DISCORD_TOKEN,
  api: DISCORD_API,
  guild: DISCORD_GUILD,
  commands: smallClub(),
  log: console,
  pace: { backOff: 60_000, longestBackOff: 60_000 },
});
process.on('SIGTERM', () => void bot.stop());
// No process.exit(): what is left running would keep the process alive, and the test would see it.
void bot.ended.then(({ orderly }) => {
  process.exitCode = orderly ? 0 : 1;
});
