/**
 * A small tuning day of an invented club, Saltpan Desert Club, as messages: played through the same code a member's message takes.
 * It fills a new archive so that there is something to find, and `npm run demo` plays it aloud.
 */
import type { Asker, Commands, Reply } from './commands/types.ts';

export const CLUB = { club: 'saltpan', clubName: 'Saltpan Desert Club' } as const;
/** The member who sits at the terminal and the bench. */
export const LOCAL: Asker = { ...CLUB, member: 'local', memberName: 'You' };

const member = (id: string, memberName: string): Asker => ({ ...CLUB, member: id, memberName });
const INES = member('demo-ines', 'Ines');
const TOMASZ = member('demo-tomasz', 'Tomasz');
const PRIYA = member('demo-priya', 'Priya');

interface Played {
  readonly asker: Asker;
  readonly command: string;
  readonly options: Readonly<Record<string, string>>;
}

export const TUNING_DAY: readonly Played[] = [
  { asker: INES, command: 'corners', options: { quick: '641 633 868 861', truck: 'Sandhopper', wheelbase: '331', pack_mass: '292' } },
  { asker: INES, command: 'press', options: { truck: 'Sandhopper', end: 'rear', press_points: '0/92 400/84.1 800/76.4 1200/68.3' } },
  { asker: INES, command: 'corners', options: { quick: '603 596 904 899', truck: 'Sandhopper', wheelbase: '331', pack_mass: '292' } },
  {
    asker: INES,
    command: 'gearing',
    options: { quick: '3300 2 16 54', truck: 'Sandhopper', gearbox_ratio: '43/13', tyre_diameter: '109' },
  },
  {
    asker: INES,
    command: 'ride',
    options: {
      truck: 'Sandhopper',
      end: 'rear',
      corner_load: '901.5',
      spring_rate: '0.50',
      motion_ratio: '0.62',
      unsprung_mass: '214',
      wheel_travel: '112',
      target_sag: '36',
    },
  },
  {
    asker: INES,
    command: 'setup save',
    options: {
      name: 'Hard pan, evening',
      truck: 'Sandhopper',
      notes: 'Pack 40 mm back. Calm over the ruts, drives out of the corners.',
      tags: 'hard pan, evening',
    },
  },
  { asker: TOMASZ, command: 'corners', options: { quick: '1 lb 9.1 oz', truck: 'Mudlark' } },
  { asker: TOMASZ, command: 'corners', options: { quick: '712 698 941 1015', truck: 'Mudlark', wheelbase: '345', pack_mass: '385 g' } },
  { asker: TOMASZ, command: 'gearing', options: { quick: '2400 3s 15 50', truck: 'Mudlark', spur_turns: '3.75', tyre_diameter: '4.4 in' } },
  {
    asker: TOMASZ,
    command: 'setup save',
    options: { name: 'Wet sand', truck: 'Mudlark', notes: 'Cross is off, collars next. 3 cells are plenty here.', tags: 'sand, wet' },
  },
  {
    asker: PRIYA,
    command: 'coil',
    options: { truck: 'Dune Ferry', end: 'front', wire: '1.1', outside_diameter: '16,3', total_coils: '11.5', free_length: '84' },
  },
  {
    asker: PRIYA,
    command: 'ride',
    options: {
      truck: 'Dune Ferry',
      end: 'front',
      corner_load: '588',
      spring_rate: '4.1 lb',
      motion_ratio: '0.66',
      unsprung_mass: '176',
      wheel_travel: '98',
      target_frequency: '2.6',
    },
  },
  {
    asker: PRIYA,
    command: 'setup save',
    options: { name: 'Whoops, soft front', truck: 'Dune Ferry', notes: 'Front a touch stiff for the long whoops.', tags: 'whoops' },
  },
  { asker: TOMASZ, command: 'setup find', options: { words: 'evening' } },
];

/** Plays the day; tells each message and its reply to whoever listens. */
export async function playDay(
  commands: Commands,
  heard: (played: Played, reply: Reply, i: number) => void | Promise<void> = () => {},
): Promise<void> {
  for (const [i, played] of TUNING_DAY.entries()) await heard(played, await commands.answer(played), i);
}

export const asTyped = ({ command, options }: Played): string =>
  `/${command}${Object.entries(options)
    .map(([name, value]) => ` ${name}:${value}`)
    .join('')}`;
