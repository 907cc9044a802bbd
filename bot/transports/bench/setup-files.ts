/** A setup to take along: the file that `setup export` makes, as a download. */
import { type Bench, TEXT } from './bench.ts';
import type { Sent } from './http.ts';

const FORMATS = { json: 'json', md: 'markdown', csv: 'csv' } as const;
const LABELS = { json: 'JSON', md: 'Markdown', csv: 'CSV, numbers only' } as const;

export const fileLinks = (id: string, rev: string | null) =>
  (Object.keys(FORMATS) as (keyof typeof FORMATS)[]).map((ending) => ({
    href: `/setups/${id}/setup.${ending}${rev === null ? '' : `?${new URLSearchParams({ rev })}`}`,
    label: LABELS[ending],
  }));

export async function setupFileOf(bench: Bench, id: string, file: string, query: URLSearchParams): Promise<Sent | null> {
  const ending = /^setup\.(json|md|csv)$/.exec(file)?.[1] as keyof typeof FORMATS | undefined;
  if (ending === undefined || !/^[1-9]\d{0,8}$/.test(id)) return null;
  const rev = query.get('rev');
  const options = { name: id, as: FORMATS[ending], ...(rev === null ? {} : { rev }) };
  const reply = await bench.look.answer({ command: 'setup export', options, asker: bench.asker });
  if (!reply.file) return { kind: 'file', status: 404, type: TEXT, bytes: `${reply.text}\n` };
  const { name, type, text } = reply.file;
  return {
    kind: 'file',
    type: `${type}; charset=utf-8`,
    bytes: text,
    headers: { 'Content-Disposition': `attachment; filename="${name.replace(/[^\w.-]/g, '_')}"` },
  };
}
