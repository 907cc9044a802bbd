/**
 * Files that a member hands in with a command. Discord keeps them on its own servers and gives an address; the bytes are fetched only when a
 * command asks for them, so many at the most, within a time, and without the bot's token: that server has no business with it.
 */
import { ApplicationCommandOptionType, type CommandInteractionOption } from 'discord.js';
import { didNotCome, FileTrouble, tooLarge } from '../../commands/handed.ts';
import type { HandedFile, Message } from '../../commands/types.ts';

export interface Fetching {
  /** Base of the API: a file may come without encryption only from where the API itself does. */
  readonly api: string;
  /** Longest wait for the whole file, ms. */
  readonly patience: number;
}

export function filesIn(options: readonly CommandInteractionOption[], fetching: Fetching): Message['files'] {
  const handedIn = options.flatMap(({ name, type, attachment }) =>
    type === ApplicationCommandOptionType.Attachment && attachment ? [[name, handedFrom(attachment, fetching)] as const] : [],
  );
  return handedIn.length === 0 ? undefined : Object.fromEntries(handedIn);
}

/** What Discord says of a file. */
interface Attachment {
  readonly name: string;
  readonly size: number;
  readonly contentType: string | null;
  readonly url: string;
}

function handedFrom({ name, size, contentType, url }: Attachment, { api, patience }: Fetching): HandedFile {
  const bytes = async (most: number): Promise<Uint8Array> => {
    if (size > most) throw tooLarge({ name }, most);
    if (!fetchable(url, api)) throw didNotCome({ name });
    const over = AbortSignal.timeout(patience);
    try {
      const response = await fetch(url, { redirect: 'error', credentials: 'omit', signal: over });
      if (!response.ok || response.body === null) throw didNotCome({ name });
      const got: Uint8Array[] = [];
      let length = 0;
      for await (const piece of response.body) {
        length += piece.byteLength;
        // What was told of its size need not be so.
        if (length > most) throw tooLarge({ name }, most);
        got.push(piece);
      }
      if (length < size) throw didNotCome({ name });
      return Buffer.concat(got);
    } catch (error) {
      // The address lets whoever has it read the file: nothing of the error goes further.
      throw error instanceof FileTrouble ? error : didNotCome({ name });
    }
  };
  return { name, type: contentType ?? '', size, bytes };
}

function fetchable(url: string, api: string): boolean {
  if (!URL.canParse(url)) return false;
  const { protocol, host } = new URL(url);
  return protocol === 'https:' || (protocol === 'http:' && host === new URL(api).host && api.startsWith('http:'));
}
