/**
 * The house on Discord: one gateway connection, slash commands, answers in words and pictures. It knows commands, not sheets.
 *
 * The library is discord.js; what it leaves open is settled here (each measured against 14.28):
 *   a log-in that fails is not tried again, and leaves a client that never gets ready: a new client each time, with a growing pause
 *   `client.destroy()` may hang, and a connection between two attempts lives on: its own deadline, and no session after the end
 *   an 'error' event without a listener ends the process
 *   an event may come twice after a resume: each interaction is answered once
 */
import {
  ApplicationCommandOptionType,
  type AutocompleteInteraction,
  type ChatInputCommandInteraction,
  Client,
  type CommandInteractionOption,
  DiscordAPIError,
  DiscordjsError,
  DiscordjsErrorCodes,
  Events,
  GatewayCloseCodes,
  GatewayIntentBits,
  type Interaction,
  MessageFlags,
  Routes,
  SimpleShardingStrategy,
} from 'discord.js';
import type { Commands, Message } from '../../commands/types.ts';
import { type Fetching, filesIn } from './attachments.ts';
import { converse, type Log, type Tools, within } from './conversation.ts';
import { account, delivery, type Thread, words } from './delivery.ts';
import { LIMIT } from './limits.ts';
import { PACE, type Pace } from './pace.ts';
import { type CommandPayload, payloads, same } from './payloads.ts';

export type { Log } from './conversation.ts';
export type { Pace } from './pace.ts';

export interface DiscordSettings {
  readonly token: string;
  /** Base of the API, when it is not Discord's own. */
  readonly api?: string | undefined;
  /** Commands for this server only, at once; without it, for every server that invites the bot. */
  readonly guild?: string | undefined;
  readonly commands: Commands;
  readonly log: Log;
  readonly pace?: Partial<Pace>;
}

/** How it ended: asked to, or for a reason that waiting does not mend. */
export interface Ending {
  readonly orderly: boolean;
  readonly why: string;
}

export interface DiscordHandle {
  /** Settles when the bot is online and its commands stand; also when it ends before that. */
  readonly ready: Promise<void>;
  /** Settles when it is over. Never rejects. */
  readonly ended: Promise<Ending>;
  /** Finishes what is under way, leaves, and settles in a few seconds at the most, whatever Discord does. */
  stop(): Promise<void>;
}

const BAD_TOKEN = 'Discord does not know this token. Look at DISCORD_TOKEN.';

/** Close codes after which Discord would only say the same again, and what to do about it. */
const FINAL: { readonly [code: number]: string } = {
  [GatewayCloseCodes.AuthenticationFailed]: BAD_TOKEN,
  [GatewayCloseCodes.InvalidShard]: 'Discord refuses this connection (invalid shard).',
  [GatewayCloseCodes.ShardingRequired]: 'The bot is in too many servers for one connection (sharding required).',
  [GatewayCloseCodes.InvalidAPIVersion]: 'Discord no longer speaks this version of its API. The bot needs an update.',
  [GatewayCloseCodes.InvalidIntents]: 'Discord refuses what the bot wants to hear of (invalid intents).',
  [GatewayCloseCodes.DisallowedIntents]: 'Discord refuses what the bot wants to hear of (disallowed intents).',
};

/** Interactions remembered, so that none is answered twice. */
const REMEMBERED = 1000;

const settled = (promise: Promise<unknown>): Promise<void> =>
  promise.then(
    () => {},
    () => {},
  );

export function startDiscord({
  token,
  api = 'https://discord.com/api',
  guild,
  commands,
  log,
  pace: paces,
}: DiscordSettings): DiscordHandle {
  const pace: Pace = { ...PACE, ...paces };
  const base = api.replace(/\/+$/, '').replace(/\/v\d+$/, '');
  const ours = payloads(commands.specs, guild ? 'server' : 'everywhere');
  const out = delivery(base, pace);
  const fetching: Fetching = { api: base, patience: pace.fetch };
  const tools: Tools = { commands, delivery: out, pace, log };

  const busy = new Set<Promise<void>>();
  const answeredIds = new Set<string>();
  let client: Client | null = null;
  let stopping = false;
  /** Ends the pauses that are being waited out. */
  const pauses = new Set<() => void>();
  let nowReady: () => void = () => {};
  let nowEnded: (ending: Ending) => void = () => {};
  const ready = new Promise<void>((resolve) => {
    nowReady = resolve;
  });
  const ended = new Promise<Ending>((resolve) => {
    nowEnded = resolve;
  });

  async function rest(ms: number): Promise<void> {
    let wake = (): void => {};
    const over = new Promise<void>((resolve) => {
      wake = resolve;
    });
    const timer = setTimeout(wake, ms);
    pauses.add(wake);
    await over;
    clearTimeout(timer);
    pauses.delete(wake);
  }

  // ---- coming and going ------------------------------------------------------------------------------------------------------------

  function newClient(): Client {
    let troubled = false;
    const made: Client = new Client({
      intents: [GatewayIntentBits.Guilds],
      allowedMentions: { parse: [] },
      rest: { api: base },
      // A server that Discord has lost for the moment must not hold up the others for the usual 15 s: they would get no answer in time.
      waitGuildTimeout: 2000,
      ws: { buildStrategy: (manager) => mortal(manager, () => stopping) },
    });
    made.on(Events.Error, (error) => log.error(`Discord: ${account(error)}`));
    made.on(Events.Warn, (line) => log.error(`Discord: ${line}`));
    made.on(Events.ShardError, (error) => log.error(`Discord, connection: ${words(error)}`));
    made.on(Events.ShardReconnecting, () => {
      if (!troubled && !stopping) log.error('Discord: the connection is lost, trying to get it back.');
      troubled = true;
    });
    const back = (): void => {
      if (troubled) log.info('Discord: connected again.');
      troubled = false;
    };
    made.on(Events.ShardResume, back);
    made.on(Events.ShardReady, back);
    made.on(Events.ShardDisconnect, ({ code }) => {
      const why = FINAL[code];
      if (why) void finish({ orderly: false, why });
    });
    made.once(Events.ClientReady, (online) => {
      log.info(`Discord: online as ${online.user.username}, in ${online.guilds.cache.size} server(s).`);
      void register(online).finally(nowReady);
    });
    made.on(Events.GuildCreate, ({ id }) => {
      if (id === guild && made.isReady()) void register(made);
    });
    made.on(Events.InteractionCreate, (interaction) => {
      if (!stopping) track(hear(interaction));
    });
    return made;
  }

  async function logIn(): Promise<void> {
    let said = '';
    for (let pause = pace.backOff; !stopping; pause = Math.min(pause * 2, pace.longestBackOff)) {
      client = newClient();
      try {
        await client.login(token);
        return;
      } catch (error) {
        if (stopping) return;
        if (error instanceof DiscordjsError && error.code === DiscordjsErrorCodes.TokenInvalid)
          return finish({ orderly: false, why: BAD_TOKEN });
        // One line when it begins and one when the reason changes: a night without a line must not fill the log.
        const why = `Discord cannot be reached: ${words(error)}. Trying again, at least every ${Math.ceil(pace.longestBackOff / 1000)} s.`;
        if (why !== said) log.error(why);
        said = why;
      }
      await rest(pause * (0.5 + Math.random() / 2));
    }
  }

  async function finish(ending: Ending): Promise<void> {
    if (stopping) return;
    stopping = true;
    if (ending.orderly) log.info(ending.why);
    else log.error(ending.why);
    for (const wake of pauses) wake();
    const leaving = client ? settled(client.destroy()) : Promise.resolve();
    const done = Promise.all([leaving, ...busy]).then(() => true);
    if (!(await within(pace.stop, done)))
      log.error(`Discord: left without waiting any longer${busy.size > 0 ? `; ${busy.size} answer(s) not finished` : ''}.`);
    out.close();
    nowReady();
    nowEnded(ending);
  }

  // ---- commands --------------------------------------------------------------------------------------------------------------------

  async function register(online: Client<true>): Promise<void> {
    const route = guild ? Routes.applicationGuildCommands(online.application.id, guild) : Routes.applicationCommands(online.application.id);
    for (let pause = pace.backOff; !stopping; pause = Math.min(pause * 2, pace.longestBackOff)) {
      try {
        const theirs = (await online.rest.get(route)) as readonly CommandPayload[];
        if (same(ours, theirs)) log.info(`Discord: ${ours.length} commands stand as they are.`);
        else {
          await online.rest.put(route, { body: ours });
          log.info(`Discord: ${ours.length} commands registered ${guild ? `for server ${guild}` : 'for all servers'}.`);
        }
        if (guild) await clearTwice(online);
        return;
      } catch (error) {
        if (stopping) return;
        log.error(`Discord: the commands could not be registered: ${words(error)}`);
        if (error instanceof DiscordAPIError) {
          if (error.status === 403)
            log.error(`Is the bot a member of server ${guild}? Invite it with the scopes "bot" and "applications.commands".`);
          return; // what Discord refuses once, it refuses again
        }
      }
      await rest(pause);
    }
  }

  /**
   * Commands of ours that were registered for all servers before the bot was given one of its own would show twice there. What has another
   * name is somebody else's doing and stays; and where the bot is in other servers too, taking them away would leave those without commands.
   */
  async function clearTwice(online: Client<true>): Promise<void> {
    const { id } = online.application;
    const everywhere = (await online.rest.get(Routes.applicationCommands(id))) as readonly { readonly id: string; readonly name: string }[];
    const twice = everywhere.filter(({ name }) => ours.some((one) => one.name === name));
    if (twice.length === 0) return;
    const others = online.guilds.cache.filter((server) => server.id !== guild).size;
    if (others > 0) {
      log.error(
        `Discord: ${twice.length} commands stand for all servers as well, and show twice on server ${guild}. They stay, for the bot is in ${others} other server(s): leave DISCORD_GUILD out, or take the bot out of those.`,
      );
      return;
    }
    if (twice.length === everywhere.length) await online.rest.put(Routes.applicationCommands(id), { body: [] });
    else for (const command of twice) await online.rest.delete(Routes.applicationCommand(id, command.id));
    log.info(`Discord: ${twice.length} commands that stood for all servers are taken back: they would show twice.`);
  }

  // ---- interactions ----------------------------------------------------------------------------------------------------------------

  function track(work: Promise<void>): void {
    const noted = work
      .catch((error: unknown) => log.error(`Discord: ${account(error)}`))
      .finally(() => {
        busy.delete(noted);
      });
    busy.add(noted);
  }

  async function hear(interaction: Interaction): Promise<void> {
    if (answeredIds.has(interaction.id)) return;
    answeredIds.add(interaction.id);
    for (const oldest of answeredIds) {
      if (answeredIds.size <= REMEMBERED) break;
      answeredIds.delete(oldest);
    }
    const thread: Thread = { id: interaction.id, token: interaction.token, applicationId: interaction.applicationId };
    if (interaction.isAutocomplete()) return suggest(interaction, thread);
    if (!interaction.isChatInputCommand()) return say(thread, 'That is not in use any more. Send the command again.');
    const ask = messageOf(interaction, fetching);
    if (!ask) return say(thread, 'Ask in a channel of your club: in a direct message it is not clear which club is meant.');
    return converse(thread, ask, tools);
  }

  async function say(thread: Thread, content: string): Promise<void> {
    const data = { content, allowed_mentions: { parse: [] }, flags: MessageFlags.Ephemeral };
    const outcome = await out.acknowledge(thread, { type: 4, data }, performance.now() + pace.firstAnswer);
    if ('why' in outcome) log.error(`Discord (${thread.id}): ${outcome.why}`);
  }

  async function suggest(interaction: AutocompleteInteraction, thread: Thread): Promise<void> {
    const until = performance.now() + pace.firstAnswer;
    const ask = messageOf(interaction, fetching);
    let found: readonly string[] = [];
    try {
      if (ask) found = (await within(pace.suggest, commands.suggest(ask, interaction.options.getFocused(true).name))) ?? [];
    } catch (error) {
      log.error(`/${ask?.command} (${thread.id}): no suggestions: ${account(error)}`);
    }
    // What is too long to be chosen cannot be offered; the member can still type it.
    const fits = [...new Set(found)].filter((text) => text.trim() !== '' && text.length <= LIMIT.choice).slice(0, LIMIT.suggestions);
    // Whether it arrives is of no interest: the member types on, and asks again with the next letter.
    await out.acknowledge(thread, { type: 8, data: { choices: fits.map((text) => ({ name: text, value: text })) } }, until);
  }

  void logIn();
  return {
    ready,
    ended,
    async stop() {
      await finish({ orderly: true, why: 'Discord: leaving.' });
      await ended;
    },
  };
}

/** What a member typed, or null when it came from no club. */
function messageOf(interaction: ChatInputCommandInteraction | AutocompleteInteraction, fetching: Fetching): Message | null {
  const { guildId, guild, user, member, id, commandName } = interaction;
  if (guildId === null) return null;
  const sub = interaction.options.getSubcommand(false);
  const flat = (options: readonly CommandInteractionOption[]): readonly CommandInteractionOption[] =>
    options.flatMap((option) => (option.options ? flat(option.options) : [option]));
  // Whether the member is in the library's cache or comes as the wire has it, decides where the nickname stands.
  const nick = member && ('displayName' in member ? member.displayName : member.nick);
  const given = flat(interaction.options.data);
  const typed = given.filter(({ type }) => type !== ApplicationCommandOptionType.Attachment);
  const files = filesIn(given, fetching);
  return {
    command: sub === null ? commandName : `${commandName} ${sub}`,
    options: Object.fromEntries(typed.map(({ name, value }) => [name, String(value ?? '')])),
    ...(files === undefined ? {} : { files }),
    asker: {
      club: guildId,
      ...(guild ? { clubName: guild.name } : {}),
      member: user.id,
      memberName: nick || user.displayName,
    },
    id,
  };
}

/**
 * The library's way to connect, but for one thing: after the end, no connection gets a session any more. A connection that is between
 * two attempts (0.5 s each) is passed over by `destroy()` and would come back to life; waiting for its session for ever, it does not.
 */
function mortal(manager: ConstructorParameters<typeof SimpleShardingStrategy>[0], over: () => boolean): SimpleShardingStrategy {
  const { options } = manager;
  const retrieve = options.retrieveSessionInfo.bind(options);
  options.retrieveSessionInfo = (shard) => (over() ? new Promise(() => {}) : retrieve(shard));
  return new SimpleShardingStrategy(manager);
}
