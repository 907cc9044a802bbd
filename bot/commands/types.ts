import type { Answer, Problem } from '../../worksheets/engine/types.ts';

/** Who asks. Ids are text (snowflakes would be rounded as numbers). */
export interface Asker {
  readonly club: string;
  readonly clubName?: string;
  readonly member: string;
  readonly memberName: string;
}

/** A file that was handed in with a message; nothing of it is read before its bytes are asked for. */
export interface HandedFile {
  readonly name: string;
  /** As whoever handed it in says. */
  readonly type: string;
  readonly size: number;
  /** The whole file; when it is more than `most` bytes or does not come, a `FileTrouble` with the sentence. */
  readonly bytes: (most: number) => Promise<Uint8Array>;
}

/** One message of a member, in whatever face: a command with its options as typed. */
export interface Message {
  readonly command: string;
  readonly options: Readonly<Record<string, string>>;
  /** By the option that they were handed in for. */
  readonly files?: Readonly<Record<string, HandedFile>>;
  readonly asker: Asker;
  /** Once and only once: the id of the interaction; absent on faces that have none. */
  readonly id?: string;
}

/** Words and, when there is one, a picture. `card` may reject: the words go out all the same. */
export interface Reply {
  readonly kind: 'answer' | 'problems' | 'words';
  readonly text: string; // ≤ 2,000 characters, every number in it
  readonly visibility: 'public' | 'private';
  readonly card?: { readonly png: () => Promise<Uint8Array>; readonly alt: string; readonly name: string };
  /** Pictures that are there already, as their owner handed them in. */
  readonly pictures?: readonly { readonly name: string; readonly type: string; readonly alt: string; readonly bytes: Uint8Array }[];
  /** What does not fit a message: goes along as a file where the face can. `words`: the text without it, where the text has it too. */
  readonly file?: { readonly name: string; readonly type: string; readonly text: string; readonly words?: string };
  /** The number of the setup that it speaks of, for a face that has a page for it. */
  readonly setup?: number;
  /** What has to be read although the thing was done, for a face that goes on to another page. The text says so too. */
  readonly remarks?: readonly string[];
  readonly answer?: Answer;
  /** The answer stands, and the archive did not take it: why. The text says so too. */
  readonly notKept?: string;
  readonly problems?: readonly Problem[];
}

export interface OptionSpec {
  readonly name: string;
  readonly description: string;
  /** Left out: words. A file is handed in, not typed. `rest`: in a line, all that follows. `word`: one, so that a line may go on behind it. */
  readonly kind?: 'file' | 'rest' | 'word';
  readonly choices?: readonly { readonly name: string; readonly value: string }[];
  readonly suggests?: boolean;
}

/** A command as every face offers it: made from a sheet, or one of the house's own (setup, help). `options` in the order in which they are typed. */
export interface CommandSpec extends SubcommandSpec {
  readonly subcommands?: readonly SubcommandSpec[];
}
export interface SubcommandSpec {
  readonly name: string;
  readonly description: string;
  readonly options: readonly OptionSpec[];
  /** What a member wants who does not know its name, in everyday words: help finds it by them, as it finds a sheet. */
  readonly asks?: readonly string[];
  /** Whole lines, as typed; the first is the one for who never did it. A test does them all. */
  readonly examples?: readonly string[];
}

export interface Commands {
  readonly specs: readonly CommandSpec[];
  answer(message: Message): Promise<Reply>;
  suggest(message: Message, option: string): Promise<readonly string[]>;
}
