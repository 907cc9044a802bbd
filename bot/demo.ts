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

/** What Sandhopper is made of: a screw or two are always missing from such a list. */
const PARTS: readonly (readonly [name: string, mass: string, more: Readonly<Record<string, string>>])[] = [
  ['chassis and links', '812', {}],
  ['body and cage', '236', {}],
  ['pack', '292 ± 1', { at: '225', places: '185 225 260', role: 'pack' }],
  ['motor', '186', { at: '290' }],
  ['speed control', '78', { at: '120', places: '120 180' }],
  ['servo', '62', { at: '-35' }],
  ['rear axle', '318', { at: '331', unsprung: 'rear' }],
  ['rear tyre', '96', { count: '2', unsprung: 'rear', role: 'tyre' }],
  ['rear rim', '38', { count: '2', unsprung: 'rear', role: 'rim' }],
  ['front beam', '71', { count: '2', at: '0', unsprung: 'front' }],
  ['front tyre', '84', { count: '2', unsprung: 'front', role: 'tyre' }],
  ['front rim', '34', { count: '2', unsprung: 'front', role: 'rim' }],
  ['shock', '58', { count: '4', note: 'half of it moves, which is left out' }],
  ['lead', '28', { at: 'off', places: '330 390 off' }],
];

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

  // What the club has: two scales checked with known masses, a box, a track.
  { asker: INES, command: 'scale add', options: { name: '1', known: '500', reads: '500', note: 'the flat one' } },
  { asker: TOMASZ, command: 'scale add', options: { name: '2', known: '500', reads: '502', step: '1' } },
  { asker: INES, command: 'box add', options: { kind: 'spring', name: 'white 0.38', value: '0.381 ± 0.006' } },
  { asker: INES, command: 'box add', options: { kind: 'spring', name: 'blue 0.45', value: '0.447 ± 0.007' } },
  {
    asker: PRIYA,
    command: 'box add',
    options: { kind: 'spring', name: 'red 0.55', value: '0.548 ± 0.009', note: 'one seat a little worn' },
  },
  { asker: PRIYA, command: 'box add', options: { kind: 'oil', name: '30 wt', how: 'stated' } },
  { asker: INES, command: 'box add', options: { kind: 'pinion', name: '15' } },
  { asker: INES, command: 'box add', options: { kind: 'ballast', name: 'lead strip 28 g' } },
  { asker: PRIYA, command: 'box lend', options: { name: 'red 0.55', to: 'Tomasz' } },
  { asker: TOMASZ, command: 'track add', options: { name: 'pan loop', spacing: '2.4', surface: 'hard salt, whoops on the far side' } },

  // One truck: what was given becomes its own, what it is made of is held against the scales.
  { asker: INES, command: 'keep', options: { truck: 'Sandhopper' } },
  ...PARTS.map(
    ([name, mass, more]): Played => ({
      asker: INES,
      command: 'truck parts',
      options: { do: 'add', name, mass, truck: 'Sandhopper', ...more },
    }),
  ),
  { asker: INES, command: 'truck set', options: { facts: 'front_spring_rate:white 0.38', truck: 'Sandhopper' } },
  {
    asker: INES,
    command: 'run add',
    options: {
      line: '5 min, calm but slow out of the corners, motor 66, laps 24.9 25.1 24.8 25.0',
      truck: 'Sandhopper',
      track: 'pan loop',
    },
  },
  { asker: INES, command: 'ride', options: { truck: 'Sandhopper', end: 'rear', spring_rate: 'blue 0.45' } },
  { asker: INES, command: 'keep', options: { truck: 'Sandhopper' } },
  {
    asker: INES,
    command: 'run add',
    options: {
      line: 'changed rear springs to blue, 5 min, drives out of the corners, motor 68, laps 24.1 24.3 23.9 24.2',
      truck: 'Sandhopper',
      track: 'pan loop',
    },
  },
  { asker: INES, command: 'truck parts', options: { do: 'change', name: 'lead', at: '330', truck: 'Sandhopper' } },
  {
    asker: INES,
    command: 'run add',
    options: { line: '6 min, much the same, laps 24.2 24.0 24.4', truck: 'Sandhopper', track: 'pan loop' },
  },
  { asker: INES, command: 'truck set', options: { facts: 'front_spring_rate:red 0.55', truck: 'Sandhopper' } },
  {
    asker: INES,
    command: 'run add',
    options: { line: '5 min, bucked in the whoops, motor 72, laps 24.9 25.2 24.8 25.1', truck: 'Sandhopper', track: 'pan loop' },
  },
  { asker: TOMASZ, command: 'run since', options: { what: 'slower', truck: 'Sandhopper', of: 'Ines' } },
  { asker: TOMASZ, command: 'corners', options: { quick: '712@2 698@2 941@2 1015@2', truck: 'Mudlark' } },
  { asker: PRIYA, command: 'truck show', options: { truck: 'Sandhopper', of: 'Ines' } },
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
