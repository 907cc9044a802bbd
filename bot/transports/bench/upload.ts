/** A posted form with a file in it (RFC 7578): whole in memory, so many bytes at the most, and nowhere on the disk. */
import type { IncomingMessage } from 'node:http';
import { handed } from '../../commands/handed.ts';
import type { HandedFile } from '../../commands/types.ts';
import { bodyOf, Refused } from './http.ts';

/** A file, and what a form says around it. */
export const MOST_UPLOAD = 10 * 1024 * 1024 + 64 * 1024;
const MOST_PARTS = 20;

export interface Upload {
  readonly fields: URLSearchParams;
  readonly files: ReadonlyMap<string, HandedFile>;
}

export async function uploadOf(request: IncomingMessage): Promise<Upload> {
  const type = request.headers['content-type'] ?? '';
  if (!/^multipart\/form-data\s*;/i.test(type)) throw new Refused(415, 'The bench reads what its own forms send, and nothing else.');
  const body = await bodyOf(request, MOST_UPLOAD);
  const form = await new Response(new Uint8Array(body), { headers: { 'content-type': type } }).formData().catch(() => {
    throw new Refused(415, 'This form did not come whole. Send it once more.');
  });
  const fields = new URLSearchParams();
  const files = new Map<string, HandedFile>();
  let parts = 0;
  for (const [name, value] of form) {
    parts += 1;
    if (parts > MOST_PARTS) throw new Refused(413, `That is more than ${MOST_PARTS} fields. Give fewer.`);
    if (typeof value === 'string') fields.append(name, value);
    // A browser sends an empty part where no file was chosen.
    else if ((value.name !== '' || value.size > 0) && !files.has(name))
      files.set(name, handed(value.name, value.type, new Uint8Array(await value.arrayBuffer())));
  }
  return { fields, files };
}
