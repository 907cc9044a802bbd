/** Files that a member hands in: their bytes, bounded, or the sentence that says why not. Each face brings them in its own way. */
import { clean } from '../../templates/clean.ts';
import { problem } from '../../worksheets/engine/problem.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import type { HandedFile } from './types.ts';

/** Why a file did not come; the message is a sentence for the member. */
export class FileTrouble extends Error {
  override readonly name = 'FileTrouble';
}

/** A file by its name, as a sentence shows it. */
const called = (file: Pick<HandedFile, 'name'>): string => clean(file.name, { graphemes: 60 }) || 'without a name';

export const tooLarge = (file: Pick<HandedFile, 'name'>, most: number): FileTrouble =>
  new FileTrouble(`The file "${called(file)}" is too large. Give at most ${sizeText(most)}.`);
export const didNotCome = (file: Pick<HandedFile, 'name'>): FileTrouble =>
  new FileTrouble(`The file "${called(file)}" did not come whole. Send it once more.`);

const sizeText = (bytes: number): string => {
  if (bytes >= 1024 * 1024) return `${Math.floor(bytes / 1024 / 1024)} MiB`;
  return bytes >= 1024 ? `${Math.floor(bytes / 1024)} KiB` : `${bytes} bytes`;
};

/** The bytes of a file that was handed in for `option`, at most so many, or what is wrong. */
export async function bytesIn(option: string, file: HandedFile, most: number): Promise<Uint8Array | Problem> {
  try {
    if (file.size > most) throw tooLarge(file, most);
    const bytes = await file.bytes(most);
    if (bytes.byteLength > most) throw tooLarge(file, most);
    return bytes;
  } catch (error) {
    if (!(error instanceof FileTrouble)) throw error;
    return { ...problem(option, file.name, 'Give another file.', error.message), text: error.message };
  }
}

/** Text in UTF-8, or what is wrong. */
export function textIn(option: string, file: Pick<HandedFile, 'name'>, bytes: Uint8Array): string | Problem {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return problem(option, file.name, 'Give a file of setup export.', `The file "${called(file)}" is not text in UTF-8.`);
  }
}

/** A file that is at hand already, as bytes. */
export const handed = (name: string, type: string, bytes: Uint8Array): HandedFile => ({
  name,
  type,
  size: bytes.byteLength,
  bytes: async () => bytes,
});
