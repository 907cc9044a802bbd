/** setup save / find / show: the club's archive in words. */
import { foundText, setupText } from '../../templates/setup.ts';
import type { Records, WhichSetup } from '../../worksheets/archive/types.ts';
import { problem } from '../../worksheets/engine/problem.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import { type Face, type Own, truckFor } from './pit.ts';
import { TRUCK } from './specs.ts';
import type { CommandSpec, Message, Reply } from './types.ts';

export const SETUP: CommandSpec = {
  name: 'setup',
  description: "Keep what works, and find it again in the club's archive",
  options: [],
  subcommands: [
    {
      name: 'save',
      description: "Keep this truck's last answers under a name",
      options: [
        { name: 'name', description: 'What to call it: "hard pan, evening"' },
        TRUCK,
        { name: 'notes', description: 'What you want to remember' },
        { name: 'tags', description: 'Words to find it by, separated by commas' },
      ],
    },
    {
      name: 'find',
      description: "Search the club's setups",
      options: [{ name: 'words', description: 'Any words of name, truck, notes, tags or owner; nothing: the newest' }],
    },
    {
      name: 'show',
      description: 'Show a setup again, as text and card',
      options: [
        { name: 'name', description: 'Its name, or its number from find', suggests: true },
        { name: 'sheet', description: 'Only this sheet, in full' },
        { name: 'rev', description: 'An earlier revision: 1, 2, …' },
      ],
    },
  ],
};

const words = (text: string): Reply => ({ kind: 'words', text, visibility: 'public' });
const refused = (problems: readonly Problem[]): Reply => ({
  kind: 'problems',
  text: problems.map(({ text }) => text).join('\n'),
  visibility: 'private',
  problems,
});
const missing = (name: string, needs: string): Reply =>
  refused([problem(name, null, needs, `${name.charAt(0).toUpperCase()}${name.slice(1)} is missing. ${needs}`)]);

export async function setupReply(face: Face, records: Records, { command, options, asker }: Message): Promise<Reply> {
  const { club, member } = asker;
  const shown = { for: face.format, day: face.day } as const;
  if (command === 'setup save') {
    if (!options.name?.trim()) return missing('name', 'Give the setup a name: setup save name:evening.');
    const tags =
      options.tags === undefined
        ? {}
        : {
            tags: options.tags
              .split(/[,;]/)
              .map((tag) => tag.trim())
              .filter(Boolean),
          };
    const notes = options.notes === undefined ? {} : { notes: options.notes };
    const truck = await truckFor(records, { options, asker });
    const saved = await records.saveSetup({ club, member, truck, name: options.name, ...notes, ...tags });
    if (saved.kind === 'problems') return refused(saved.problems);
    if (saved.kind === 'conflict') return { kind: 'words', text: saved.text, visibility: 'private' };
    const which = saved.rev > 1 ? ` as revision ${saved.rev}` : '';
    return words(
      `Kept "${face.safe(saved.name)}" of ${face.safe(saved.truck)}${which}, number ${saved.id}: ${saved.sheets.join(', ')}. Show it again: setup show ${saved.id}`,
    );
  }
  if (command === 'setup find') {
    const found = await records.findSetups({ club, words: options.words ?? '', limit: 10 });
    if (found.setups.length === 0)
      return words(
        options.words?.trim()
          ? `No setup of this club holds "${face.safe(options.words)}".`
          : 'This club has no setup yet. Keep one: setup save NAME.',
      );
    return words(foundText(found.setups, found.more, shown));
  }
  const wanted = options.name?.trim();
  if (!wanted) return missing('name', 'Give its name, or its number from setup find.');
  const rev = options.rev === undefined ? undefined : Number(options.rev);
  if (rev !== undefined && !(Number.isInteger(rev) && rev > 0))
    return refused([problem('rev', options.rev!, 'Give 1, 2, …', `Rev: "${face.safe(options.rev!)}" is no revision. Give 1, 2, …`)]);
  const which: WhichSetup = /^\d{1,9}$/.test(wanted) ? { club, id: Number(wanted) } : { club, name: wanted, member };
  const found = await records.showSetup({ ...which, ...(rev === undefined ? {} : { rev }) });
  if (found.kind === 'problems') return refused(found.problems);
  const { doc } = found;
  const day = face.day(doc.at);
  if (options.sheet?.trim()) {
    const [name, end] = options.sheet.trim().toLowerCase().split(/\s+/);
    const record = doc.sheets.find((one) => one.sheet === name && (end === undefined || one.end === end));
    if (!record) {
      const needs = `It holds ${doc.sheets.map((one) => (one.end ? `${one.sheet} ${one.end}` : one.sheet)).join(', ')}.`;
      return refused([problem('sheet', options.sheet, needs, `Sheet: "${face.safe(options.sheet)}" is not in this setup. ${needs}`)]);
    }
    return face.answered(record.answer, { truck: doc.truck, day });
  }
  const drawn = doc.sheets.find(({ sheet }) => sheet === 'corners') ?? doc.sheets[0];
  const card = drawn ? face.card(drawn.answer, { truck: `${doc.truck} · ${doc.name}`, day }) : undefined;
  return { kind: 'words', text: setupText(found, shown), visibility: 'public', ...(card ? { card } : {}) };
}

export const SETUPS: Own = {
  spec: SETUP,
  keeps: ({ command }) => command === 'setup save',
  reply: ({ face }, records, message) => setupReply(face, records, message),
  async suggest(_, archive, message, option) {
    if (message.command !== 'setup show' || option !== 'name') return option === 'truck' ? archive.trucks(message.asker) : [];
    const found = await archive.findSetups({ club: message.asker.club, words: message.options.name ?? '', limit: 25 });
    return [...new Set(found.setups.map(({ name }) => name))];
  },
};
