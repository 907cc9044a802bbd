/** Files that come to the bench: a setup to keep. */
import { createHash, randomUUID } from 'node:crypto';
import type { HandIn, LineField, SelectField } from '../../../templates/bench/index.ts';
import type { Message, Reply } from '../../commands/types.ts';
import { type Bench, notice } from './bench.ts';
import type { Sent } from './http.ts';
import type { Upload } from './upload.ts';

/** The form below the list of setups. */
export function importForm(): HandIn {
  const truck: LineField = {
    kind: 'line-field',
    id: 'h-truck',
    name: 'truck',
    label: 'Truck',
    hints: ['Yours that it is kept under; left out: as the file says'],
    known: null,
    problems: [],
    describedBy: 'h-truck-hint',
    value: '',
    inputmode: 'text',
    unit: null,
    suggestions: [],
  };
  const seenBy: SelectField = {
    kind: 'select-field',
    id: 'h-private',
    name: 'private',
    label: 'Who sees it',
    hints: [],
    known: null,
    problems: [],
    describedBy: null,
    choices: [
      { id: 'h-private-0', value: 'no', label: 'Everybody in the club', chosen: true },
      { id: 'h-private-1', value: 'yes', label: 'Only you', chosen: false },
    ],
  };
  return {
    action: '/setups/import',
    heading: 'Keep a setup that came as a file',
    id: 'h-file',
    label: 'File',
    accept: '.json,.md,application/json,text/markdown',
    hint: 'JSON or Markdown, as setup export makes it',
    button: 'Keep this file',
    fields: [truck, seenBy],
    hidden: once(),
  };
}

/** Sent twice, by an impatient finger, it is done once. */
export const once = (): HandIn['hidden'] => [{ name: 'once', value: randomUUID() }];

/** Does a command with the file that came, once for a form and what it said. */
export async function done(
  bench: Bench,
  command: string,
  options: Message['options'],
  { fields, files }: Upload,
): Promise<{ readonly reply: Reply; readonly sent: Sent | null }> {
  const form = fields.get('once');
  const file = files.get('file');
  const said = createHash('sha256').update(JSON.stringify([command, options, file?.name ?? null]));
  if (file) said.update(await file.bytes(Number.POSITIVE_INFINITY));
  const id = form && /^[0-9a-f-]{36}$/.test(form) ? `bench:${form}:${said.digest('hex').slice(0, 16)}` : undefined;
  const message: Message = { command, options, asker: bench.asker, ...(file ? { files: { file } } : {}) };
  const reply = await bench.keeping.answer({ ...message, ...(id === undefined ? {} : { id }) });
  return {
    reply,
    sent: reply.kind === 'problems' || reply.setup === undefined ? null : { kind: 'redirect', to: `/setups/${reply.setup}` },
  };
}

export async function importSetup(bench: Bench, upload: Upload): Promise<Sent> {
  const truck = upload.fields.get('truck')?.trim();
  const hidden = upload.fields.get('private');
  const options = { ...(truck ? { truck } : {}), ...(hidden ? { private: hidden } : {}) };
  const { reply, sent } = await done(bench, 'setup import', options, upload);
  return (
    sent ??
    notice(bench, reply.kind === 'problems' ? 422 : 200, {
      heading: 'This file needs another look',
      sentences: reply.text.split('\n'),
      links: [{ href: '/setups#hand-in', label: 'Hand in another' }],
    })
  );
}
