/** setup export, setup import: a setup as a file that goes out, and one that is handed in. */
import { opens } from '../../templates/picture.ts';
import {
  MOST_FILE_BYTES,
  NO_PICTURE,
  picturesIn,
  readSetupFile,
  setupCsv,
  setupFile,
  setupJson,
  setupMarkdown,
} from '../../worksheets/archive/setup-file.ts';
import type { Records } from '../../worksheets/archive/types.ts';
import { PICTURE } from '../../worksheets/archive/webp.ts';
import { problem } from '../../worksheets/engine/problem.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import { conditionsIn } from './conditions.ts';
import { bytesIn, textIn } from './handed.ts';
import { importedFrom } from './import.ts';
import { missing, oneOf, type Pit, refused, words } from './pit.ts';
import { readRun } from './run-line.ts';
import type { Message, Reply, SubcommandSpec } from './types.ts';
import { meantSetup, NAME, REV, revIn, revOf } from './which-setup.ts';

export const EXPORT_SPEC: SubcommandSpec = {
  name: 'export',
  description: 'A setup as a file to keep or to give away; it holds no name of a member',
  options: [
    NAME,
    {
      name: 'as',
      description: 'json (the default) and markdown come back with import; csv is for a table',
      choices: [
        { name: 'json', value: 'json' },
        { name: 'markdown', value: 'markdown' },
        { name: 'csv', value: 'csv' },
      ],
    },
    REV,
  ],
  asks: ['Send a setup to somebody outside the club', 'Put a setup into a spreadsheet'],
  examples: ['setup export hard pan, evening', 'setup export hard pan, evening as:csv'],
};

export const IMPORT_SPEC: SubcommandSpec = {
  name: 'import',
  description: 'Keep a setup that came as a file',
  options: [
    { name: 'file', description: 'A file that setup export has made', kind: 'file' },
    { name: 'text', description: 'What stands in the file, where it cannot be handed in', kind: 'rest' },
    { name: 'truck', description: 'Your truck that it is kept under; left out: as the file says', suggests: true },
    {
      name: 'private',
      description: 'Only you see it',
      choices: [
        { name: 'yes', value: 'yes' },
        { name: 'no', value: 'no' },
      ],
    },
  ],
  asks: ['Somebody sent me a setup as a file'],
  examples: ['setup import file:evening.json truck:Mudlark'],
};

export async function exportSetup(pit: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const { face } = pit;
  const wanted = options.name?.trim();
  if (!wanted) return missing(face, 'name', 'Give its name, or its number from setup find.');
  const rev = revIn(pit, options);
  const as = oneOf('as', options.as, ['json', 'markdown', 'csv']);
  const slips = [rev, as].filter((one): one is Problem => typeof one === 'object');
  if (slips.length > 0) return refused(face, slips);
  const meant = await meantSetup(records, asker, wanted, 'look');
  if (meant.kind === 'problems') return refused(face, meant.problems);
  const found = await records.pictures({ ...meant.which, ...revOf(meant, rev as number | undefined) });
  if (found.kind === 'problems') return refused(face, found.problems);
  const { setup: shown, pictures } = found;
  const name = `setup-${shown.id}-rev-${shown.revision.rev}`;
  const file = setupFile(shown.doc, pictures, shown.runs);
  const files = {
    json: { name: `${name}.json`, type: 'application/json', text: setupJson(file) },
    markdown: { name: `${name}.md`, type: 'text/markdown', text: setupMarkdown(file) },
    csv: { name: `${name}.csv`, type: 'text/csv', text: setupCsv(shown.doc) },
  };
  const made = typeof as === 'string' ? files[as] : files.json;
  const back = as === 'csv' ? 'Numbers only: it does not come back.' : 'It comes back with setup import.';
  return { ...words(`"${face.safe(shown.doc.name)}", revision ${shown.revision.rev}, as ${made.name}. ${back}`, 'private'), file: made };
}

/** What the file says is read and worked out beforehand; what is left is to keep it. */
export async function importing(pit: Pit, message: Message): Promise<Reply | ((records: Records) => Promise<Reply>)> {
  const { face } = pit;
  const { options, asker } = message;
  const hidden = oneOf('private', options.private, ['yes', 'no']);
  if (typeof hidden === 'object') return refused(face, [hidden]);
  const text = await textOf(message);
  if (typeof text === 'object') return refused(face, [text]);
  const read = readSetupFile(text);
  if ('problem' in read) return refused(face, [read.problem]);
  const made = importedFrom(pit.shelf, read.file);
  if (made.problems.length > 0) return refused(face, made.problems);
  const pictures = picturesIn(read.file);
  for (const [i, bytes] of pictures.entries())
    if (!(await opens(bytes, PICTURE))) return refused(face, [problem('file', null, NO_PICTURE, `pictures[${i}]: ${NO_PICTURE}`)]);
  const { club, member, memberName } = asker;
  const { name, notes, tags, truck, conditions } = read.file;
  return async (records) => {
    const saved = await records.importSetup({
      club,
      member,
      memberName,
      truck: options.truck?.trim() || truck,
      private: hidden === 'yes',
      name,
      notes,
      tags,
      conditions: conditionsIn(conditions) ?? {},
      facts: made.facts,
      parts: made.parts,
      sheets: made.sheets,
      pictures,
      runs: (read.file.runs ?? []).map((run) => ({
        ...readRun(run.typed, run.track ? [run.track] : []).run,
        typed: run.typed,
        track: run.track ?? null,
        at: Date.parse(run.at),
      })),
    });
    if (saved.kind === 'problems') return refused(face, saved.problems);
    const text = words(
      `Kept "${face.safe(saved.name)}" of ${face.safe(saved.truck)} from the file, number ${saved.id}${saved.private ? ', for you only' : ''}: ${saved.sheets.join(', ')}.${saved.private ? '' : ` The whole club sees it; setup private ${saved.id} keeps it yours.`} Your truck's own facts are as they were; to put these on it: setup copy ${saved.id} truck:${face.safe(saved.truck)}`,
      saved.private ? 'private' : 'public',
    );
    return { ...text, setup: saved.id };
  };
}

async function textOf({ options, files }: Message): Promise<string | Problem> {
  const file = files?.file;
  const typed = options.text?.trim() ? options.text : undefined;
  if (file && typed !== undefined) {
    const needs = 'Give one of them.';
    return problem('file', file.name, needs, `A file and a text are two setups. ${needs}`);
  }
  if (file) {
    const bytes = await bytesIn('file', file, MOST_FILE_BYTES);
    return bytes instanceof Uint8Array ? textIn('file', file, bytes) : bytes;
  }
  if (typed !== undefined) return typed;
  const needs = options.file
    ? 'It has to be handed in; here, give what stands in it: text:'
    : 'Give the file, or as text: what stands in it.';
  return problem('file', options.file ?? null, needs, `File is missing. ${needs}`);
}
