/**
 * Commands as Discord takes them. Descriptions are shortened at a word; everything else that does not fit stops the start with all its
 * reasons, each naming its command: a command that Discord would refuse takes all the others with it.
 */
import {
  type APIApplicationCommandBasicOption,
  type APIApplicationCommandOption,
  ApplicationCommandOptionType,
  ApplicationCommandType,
  ApplicationIntegrationType,
  InteractionContextType,
  type RESTPostAPIChatInputApplicationCommandsJSONBody,
} from 'discord.js';
import type { CommandSpec, OptionSpec } from '../../commands/types.ts';
import { LIMIT, shorten } from './limits.ts';

export type CommandPayload = RESTPostAPIChatInputApplicationCommandsJSONBody;

export function payloads(specs: readonly CommandSpec[], scope: 'server' | 'everywhere'): readonly CommandPayload[] {
  const slips: string[] = [];
  const check = (right: boolean, slip: string): void => {
    if (!right) slips.push(slip);
  };
  const named = (where: string, { name, description }: { readonly name: string; readonly description: string }): void => {
    check(LIMIT.name.test(name), `${where}: Discord takes 1 to 32 letters, digits, "-" and "_" as a name, without spaces`);
    check(name === name.toLowerCase(), `${where}: Discord takes names in lower case only`);
    check(description.trim() !== '', `${where}: a description is missing`);
  };
  const unique = (where: string, what: string, names: readonly string[]): void => {
    for (const name of new Set(names.filter((item, i) => names.indexOf(item) !== i)))
      slips.push(`${where}: ${what} "${name}" is there twice`);
  };

  function optionsOf(where: string, options: readonly OptionSpec[]): APIApplicationCommandBasicOption[] {
    check(options.length <= LIMIT.options, `${where}: ${options.length} options; Discord takes ${LIMIT.options}`);
    unique(
      where,
      'the option',
      options.map(({ name }) => name),
    );
    return options.map(({ name, description, kind, choices, suggests }) => {
      const here = `${where} ${name}`;
      named(here, { name, description });
      check(!(choices && suggests), `${here}: an option has choices or suggests, not both`);
      check(kind !== 'file' || !(choices || suggests), `${here}: a file is handed in, so there is nothing to choose or to suggest`);
      const shown = { name, description: shorten(description, LIMIT.description) };
      if (kind === 'file') return { type: ApplicationCommandOptionType.Attachment as const, ...shown };
      const option = { type: ApplicationCommandOptionType.String as const, ...shown };
      if (!choices) return suggests ? { ...option, autocomplete: true } : option;
      check(
        choices.length > 0 && choices.length <= LIMIT.choices,
        `${here}: ${choices.length} choices; Discord takes 1 to ${LIMIT.choices}`,
      );
      unique(
        here,
        'the choice',
        choices.map((choice) => choice.name),
      );
      for (const choice of choices)
        check(
          [choice.name, choice.value].every((text) => text.length >= 1 && text.length <= LIMIT.choice),
          `${here}: the choice "${shorten(choice.name, 40)}" has not 1 to ${LIMIT.choice} characters`,
        );
      return { ...option, choices: choices.map((choice) => ({ name: choice.name, value: choice.value })) };
    });
  }

  const commands = specs.map((spec): CommandPayload => {
    const where = `/${spec.name}`;
    named(where, spec);
    let options: APIApplicationCommandOption[];
    if (spec.subcommands && spec.subcommands.length > 0) {
      check(spec.options.length === 0, `${where}: a command has options or subcommands, not both`);
      check(spec.subcommands.length <= LIMIT.options, `${where}: ${spec.subcommands.length} subcommands; Discord takes ${LIMIT.options}`);
      unique(
        where,
        'the subcommand',
        spec.subcommands.map(({ name }) => name),
      );
      options = spec.subcommands.map((sub) => {
        named(`${where} ${sub.name}`, sub);
        return {
          type: ApplicationCommandOptionType.Subcommand as const,
          name: sub.name,
          description: shorten(sub.description, LIMIT.description),
          options: optionsOf(`${where} ${sub.name}`, sub.options),
        };
      });
    } else options = optionsOf(where, spec.options);
    const command: CommandPayload = {
      type: ApplicationCommandType.ChatInput,
      name: spec.name,
      description: shorten(spec.description, LIMIT.description),
      options,
      // A club is a server: nobody asks in a direct message. Discord takes these two only where commands are for everybody.
      ...(scope === 'everywhere'
        ? { contexts: [InteractionContextType.Guild], integration_types: [ApplicationIntegrationType.GuildInstall] }
        : {}),
    };
    const length = characters(command);
    check(length <= LIMIT.command, `${where}: ${length} characters in all; Discord takes ${LIMIT.command}`);
    return command;
  });
  unique(
    'commands',
    'the command',
    specs.map(({ name }) => name),
  );
  check(
    specs.length <= LIMIT.commands,
    `${specs.length} commands; Discord takes ${LIMIT.commands}. The first one too many is /${specs[LIMIT.commands]?.name}`,
  );
  if (slips.length > 0) throw new Error(`Discord would refuse these commands:\n${slips.map((slip) => `  ${slip}`).join('\n')}`);
  return commands;
}

interface Part {
  readonly name: string;
  readonly description?: string | undefined;
  readonly value?: unknown;
  readonly options?: readonly Part[] | undefined;
  readonly choices?: readonly Part[] | undefined;
}

function characters({ name, description, value, options = [], choices = [] }: Part): number {
  const own = name.length + (description?.length ?? 0) + (typeof value === 'string' ? value.length : 0);
  return [...options, ...choices].reduce((sum, part) => sum + characters(part), own);
}

/** What of a command decides whether it has to be sent again; Discord adds ids and leaves out what is at its default. */
function essence(command: Part & { readonly type?: number; readonly required?: boolean; readonly autocomplete?: boolean }): unknown {
  const { type = ApplicationCommandType.ChatInput, name, description = '', value = null, options = [], choices = [] } = command;
  const flags = [command.required === true, command.autocomplete === true];
  return [type, name, description, value, ...flags, options.map(essence), choices.map((choice) => [choice.name, choice.value])];
}

interface Scoped extends Part {
  readonly contexts?: readonly number[] | null | undefined;
}

/** Whether what stands at Discord is what we would send; the order of commands is Discord's own. */
export function same(ours: readonly CommandPayload[], theirs: readonly Scoped[]): boolean {
  const picture = (commands: readonly Scoped[]): string =>
    JSON.stringify(
      [...commands].sort((a, b) => (a.name < b.name ? -1 : 1)).map((command) => [essence(command), [...(command.contexts ?? [])].sort()]),
    );
  return picture(ours) === picture(theirs);
}
