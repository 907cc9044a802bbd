/**
 * A small club's commands, real but few: one that computes and draws, one that remembers. Enough to ask through Discord.
 */
import sharp from 'sharp';
import type { CommandSpec, Commands, Message, Reply } from '../../../bot/commands/types.ts';
import { type DiscordHandle, type DiscordSettings, startDiscord } from '../../../bot/transports/discord/index.ts';
import type { Pace } from '../../../bot/transports/discord/pace.ts';
import type { Double } from '../../support/discord-double/index.ts';

const SPECS: readonly CommandSpec[] = [
  {
    name: 'balance',
    description: 'Two axle readings in, rear share out.',
    options: [
      { name: 'front', description: 'front axle' },
      { name: 'rear', description: 'rear axle' },
      {
        name: 'card',
        description: 'with a picture or without',
        choices: [
          { name: 'with', value: 'yes' },
          { name: 'without', value: 'no' },
        ],
      },
      { name: 'truck', description: 'whose figures these are', suggests: true },
    ],
  },
  {
    name: 'notes',
    description: 'What the club remembers of a truck.',
    options: [],
    subcommands: [
      {
        name: 'save',
        description: 'keep a note',
        options: [
          { name: 'truck', description: 'whose', suggests: true },
          { name: 'note', description: 'what' },
        ],
      },
      { name: 'show', description: 'read the notes', options: [{ name: 'truck', description: 'whose', suggests: true }] },
    ],
  },
];

export interface SmallClub extends Commands {
  /** Every message as it arrived. */
  readonly heard: readonly Message[];
  readonly notes: ReadonlyMap<string, readonly string[]>;
  /** Done before each answer: a slow archive, a fault. */
  before: (message: Message) => Promise<void>;
  /** Draws the card. */
  draw: (svg: string) => Promise<Uint8Array>;
  beforeSuggesting: () => Promise<void>;
}

const words = (text: string, visibility: Reply['visibility']): Reply => ({ kind: 'words', text, visibility });

export function smallClub(): SmallClub {
  const heard: Message[] = [];
  const notes = new Map<string, string[]>([['Sandhopper', []]]);

  function balance({ front, rear, card, truck }: Message['options']): Reply {
    const problems = Object.entries({ front, rear })
      .filter(([, typed]) => !(Number(typed) >= 20 && Number(typed) <= 10_000))
      .map(([reading, typed]) => {
        const needs = 'Give 20 to 10000 g.';
        const name = reading === 'front' ? 'Front' : 'Rear';
        return {
          reading,
          got: typed ?? null,
          needs,
          text: typed ? `${name}: "${typed}" is out. ${needs}` : `${name} is missing. ${needs}`,
        };
      });
    if (problems.length > 0)
      return { kind: 'problems', visibility: 'private', text: problems.map(({ text }) => text).join('\n'), problems };
    const total = Number(front) + Number(rear);
    const share = ((100 * Number(rear)) / total).toFixed(1);
    const text = `${truck ?? 'Truck'}: ${share} % of ${total} g on the rear wheels.`;
    if (card === 'no') return { kind: 'answer', visibility: 'public', text };
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="300" height="40"><rect width="${share}%" height="40" fill="#b5651d"/></svg>`;
    return {
      kind: 'answer',
      visibility: 'public',
      text,
      card: { png: () => club.draw(svg), alt: `A bar: ${share} % rear.`, name: 'balance' },
    };
  }

  const club: SmallClub = {
    specs: SPECS,
    heard,
    notes,
    before: async () => {},
    beforeSuggesting: async () => {},
    draw: async (svg) => sharp(Buffer.from(svg)).png().toBuffer(),
    async answer(message) {
      heard.push(message);
      await club.before(message);
      if (message.command === 'balance') return balance(message.options);
      const { truck = '', note = '' } = message.options;
      if (message.command === 'notes save') {
        notes.set(truck, [...(notes.get(truck) ?? []), note]);
        return words(`Kept for ${truck}: ${note}`, 'private');
      }
      if (message.command === 'notes show') return words((notes.get(truck) ?? []).join('\n') || `Nothing kept for ${truck}.`, 'public');
      throw new Error(`no such command: ${message.command}`);
    },
    async suggest(message, option) {
      await club.beforeSuggesting();
      const typed = message.options[option] ?? '';
      return [...notes.keys()].filter((name) => name.toLowerCase().startsWith(typed.toLowerCase()));
    },
  };
  return club;
}

export interface Lines {
  readonly lines: string[];
  info(line: string): void;
  error(line: string): void;
}

export function lines(): Lines {
  const kept: string[] = [];
  return { lines: kept, info: (line) => void kept.push(line), error: (line) => void kept.push(line) };
}

/** The club's bot against the double; quick to come back, else at its real pace. */
export function open(
  double: Double,
  commands: Commands,
  log: Lines,
  { pace, ...settings }: { pace?: Partial<Pace> } & Partial<Pick<DiscordSettings, 'token' | 'api' | 'guild'>> = {},
): DiscordHandle {
  return startDiscord({
    token: double.token,
    api: double.api,
    guild: double.guild.id,
    commands,
    log,
    pace: { backOff: 50, longestBackOff: 400, ...pace },
    ...settings,
  });
}
