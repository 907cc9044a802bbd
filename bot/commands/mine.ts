/** mine …: everything of a member, to take along or to take away. */
import type { Records } from '../../worksheets/archive/types.ts';
import { type Own, type Pit, refused, words } from './pit.ts';
import type { CommandSpec, Message, Reply } from './types.ts';

const WORD = 'forget me';
const MOST_IN_CHAT = 6 * 1024 * 1024;

export const MINE_SPEC: CommandSpec = {
  name: 'mine',
  description: 'Everything of yours: take it along, or take it away',
  options: [],
  subcommands: [
    {
      name: 'export',
      description: 'All that is kept of you, as a file',
      options: [],
      asks: ['What does it know of me?', 'I leave and take my data along', 'A copy of all that I ever typed'],
      examples: ['mine export'],
    },
    {
      name: 'delete',
      description: 'Take away all that is kept of you here',
      options: [{ name: 'word', description: `"${WORD}", once you have read what goes` }],
      asks: ['Delete my data', 'Erase my name', 'Forget me: I leave the club'],
      examples: ['mine delete', `mine delete word:${WORD}`],
    },
  ],
};

async function mineReply({ face }: Pit, records: Records, { command, options, asker }: Message): Promise<Reply> {
  const { club, member, clubName } = asker;
  if (command === 'mine export') {
    const mine = await records.exportMine({ club, member });
    if ('problems' in mine) return refused(face, mine.problems);
    const { kind: _, ...whole } = mine;
    // Some dozens of pictures are more than a chat takes.
    const many = face.format === 'chat' && Object.values(mine.pictures).reduce((sum, { length }) => sum + length, 0) > MOST_IN_CHAT;
    const data = many ? { ...whole, pictures: {} } : whole;
    const without = many ? ' Without the pictures, which are too many for a chat: mine export file:PATH at the terminal has them.' : '';
    const setups = mine.trucks.reduce((count, truck) => count + truck.setups.length, 0);
    return {
      ...words(
        `All that is kept of you in ${face.safe(clubName ?? 'this club')}: ${counted(mine.trucks.length, 'truck')}, ${counted(setups, 'setup')}, ${counted(mine.log.length, 'line')} of the log. JSON, times in milliseconds since 1970 UTC, values in SI.${without}`,
        'private',
      ),
      file: { name: 'mine.json', type: 'application/json', text: `${JSON.stringify(data, null, 1)}\n` },
    };
  }
  const word = options.word?.trim().toLowerCase().replace(/\s+/g, ' ');
  if (word !== WORD) {
    return words(
      [
        ...(word ? [`"${face.safe(options.word!)}" is not the word: nothing was taken away.`, ''] : []),
        'This takes away, for good: your name and id, your trucks with all readings, parts, answers and runs, your private setups, what is yours in the box, and all codes.',
        'What stays for the club: your open setups with their notes, pictures and runs, without your name, as those of "a former member". Take away first what should not stay: setup remove.',
        'What cannot be taken out: your id where you handed a truck over or one was offered to you, in the log, and what stands in copies of the archive until they are replaced.',
        `mine export keeps a copy for you. To do it: mine delete word:${WORD}`,
      ].join('\n'),
      'private',
    );
  }
  const left = await records.deleteMine({ club, member });
  if (left.kind === 'problems') return refused(face, left.problems);
  return words(
    `Gone: ${counted(left.trucks, 'truck')} and ${counted(left.removed, 'private setup')}. ${left.stay === 0 ? 'Nothing stays.' : `${counted(left.stay, 'open setup')} ${left.stay === 1 ? 'stays' : 'stay'}, without your name.`}`,
    'private',
  );
}

const counted = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;

export const MINE: Own = { spec: MINE_SPEC, keeps: ({ command }) => command === 'mine delete', reply: mineReply };
