/** club …: who its officers are, and the log of who changed what, for officers. */
import { logText } from '../../templates/log.ts';
import type { Records } from '../../worksheets/archive/types.ts';
import { problem } from '../../worksheets/engine/problem.ts';
import { type Own, type Pit, refused, words } from './pit.ts';
import type { CommandSpec, Message, Reply } from './types.ts';

export const CLUB_SPEC: CommandSpec = {
  name: 'club',
  description: 'Its officers, and the log of who changed what',
  options: [],
  subcommands: [
    {
      name: 'officers',
      description: 'Who the officers of this club are',
      options: [],
      asks: ['Who runs this club here?', 'Whom do I ask when I may not do it?'],
      examples: ['club officers'],
    },
    {
      name: 'officer',
      description: 'Make a member an officer, or end it; officers do that',
      options: [
        { name: 'add', description: 'Who becomes one', suggests: true },
        { name: 'remove', description: 'Who is one no longer', suggests: true },
      ],
      asks: ['Make somebody an admin'],
      examples: ['club officer add:Ines', 'club officer remove:Ines'],
    },
    {
      name: 'log',
      description: 'Who changed what, newest first; for officers',
      options: [{ name: 'before', description: 'Earlier than this line of the log' }],
      asks: ['Who changed this, and when?'],
      examples: ['club log'],
    },
  ],
};

async function clubReply({ face, appointed }: Pit, records: Records, { command, options, asker }: Message): Promise<Reply> {
  const { club, member } = asker;
  const speaker = { club, member, appointed: appointed.includes(member) };
  if (command === 'club officers') {
    const officers = await records.officers({ club });
    if (officers.length === 0)
      return words('Nobody is named yet. Whoever runs the bot names the first: CLUB_OFFICERS, with the ids of members.', 'private');
    return words(`Officers: ${officers.map(({ name }) => face.safe(name)).join(', ')}.`, 'private');
  }
  if (command === 'club officer') {
    const add = options.add?.trim();
    const remove = options.remove?.trim();
    if (!add === !remove) {
      const needs = 'Write club officer add:NAME or club officer remove:NAME.';
      return refused(face, [problem('add', null, needs, `Say one member. ${needs}`)]);
    }
    const named = await records.nameOfficer({ ...speaker, name: (add ?? remove)!, officer: add !== undefined && add !== '' });
    if (named.kind === 'problems') return refused(face, named.problems);
    return words(`${face.safe(named.who.name)} is ${named.officer ? 'an officer of the club now' : 'no officer any more'}.`);
  }
  const typed = options.before?.trim();
  const before = typed === undefined ? undefined : Number(typed);
  if (before !== undefined && !(Number.isInteger(before) && before > 0)) {
    const needs = 'Give the number of a line: before:120.';
    return refused(face, [problem('before', typed!, needs, `Before: "${face.safe(typed!)}" is no line of the log. ${needs}`)]);
  }
  const log = await records.clubLog({ ...speaker, ...(before === undefined ? {} : { before }) });
  if (log.kind === 'problems') return refused(face, log.problems);
  if (log.rows.length === 0) return words('The log holds nothing before that.', 'private');
  return words(logText(log.rows, log.more, { for: face.format, day: face.day, hour: face.hour }), 'private');
}

export const CLUBS: Own = {
  spec: CLUB_SPEC,
  keeps: ({ command }) => command === 'club officer',
  reply: clubReply,
  suggest: async (_, archive, { asker }) => (await archive.members({ club: asker.club })).map(({ name }) => name),
};
