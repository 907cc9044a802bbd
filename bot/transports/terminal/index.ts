/** The terminal: `ask corners 612 605 901 896`, with --json, --jsonl and --card FILE.png. */
import { writeFile } from 'node:fs/promises';
import { ask, type End } from '../../../worksheets/engine/ask.ts';
import { readLine } from '../../../worksheets/engine/line.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';
import type { Answer, Problem, Problems } from '../../../worksheets/engine/types.ts';
import type { Asker, Commands, Message } from '../../commands/types.ts';
import { fileArgument, handedFrom } from './files.ts';
import { answerLine, endNamed, lineOut, sheetNamed } from './json.ts';
import { linesOf, TOO_LONG } from './lines.ts';

export interface Terminal {
  readonly sheets: ReadonlyMap<string, Sheet>;
  readonly out: NodeJS.WritableStream;
  readonly err: NodeJS.WritableStream;
  readonly input: NodeJS.ReadableStream;
  /** Opened only when an archive is wanted: `--json` and `--jsonl` never do. */
  readonly commands: () => Promise<Commands>;
  /** Draws the card of an answer that no archive knows of (`--json --card`); null where none can be drawn. */
  readonly draw: (answer: Answer) => Promise<Uint8Array | null>;
  readonly asker: Asker;
}

const USAGE = 'Usage: npm run -s ask -- SHEET READINGS… [--json] [--card FILE.png] | --jsonl   ("help" lists what there is)';

/** Exit status: 0 all answered, 1 some had problems, 2 wrong flags. */
export async function runTerminal(terminal: Terminal, given: readonly string[]): Promise<0 | 1 | 2> {
  const { out, err } = terminal;
  // Who reads may have left (`… | head -1`): then there is nobody to tell, and nothing to fall over.
  for (const stream of [out, err]) stream.on('error', () => {});
  const told = flagsIn(given);
  if (typeof told === 'string') {
    err.write(`${told}${USAGE}\n`);
    return 2;
  }
  const { json, jsonl, card } = told;
  if (jsonl) return answerLines(terminal);
  if (json) {
    const made = oneJson(terminal.sheets, told.words.join(' '));
    await written(out, `${lineOut(made)}\n`);
    if (made.kind === 'problems') return 1;
    return card === undefined ? 0 : drawn(terminal, card, () => terminal.draw(made));
  }

  const { messageFrom } = await import('../../commands/index.ts');
  const commands = await terminal.commands();
  const { words, file, reads } = fileArgument(told.words, commands.specs);
  const read = messageFrom(words.length === 0 ? 'help' : words.join(' '), terminal.sheets, commands.specs);
  if ('problems' in read) {
    err.write(`${read.problems.map(({ text }) => text).join('\n')}\n`);
    return 1;
  }
  const { command, options } = read.message;
  // A file called .md is wanted as Markdown, whatever else was left out.
  const ending =
    command === 'setup export' && options.as === undefined ? ENDINGS[/\.\w+$/.exec(file ?? '')?.[0].toLowerCase() ?? ''] : undefined;
  const message: Message = { command, options: { ...options, ...(ending === undefined ? {} : { as: ending }) }, asker: terminal.asker };
  const reply = await commands.answer(file !== undefined && reads ? { ...message, files: { file: handedFrom(file) } } : message);
  if (reply.kind === 'problems') {
    err.write(`${reply.text}\n`);
    return 1;
  }
  if (file !== undefined && reply.file) {
    try {
      // What is there stays: a setup is not worth somebody's other file.
      await writeFile(file, reply.file.text, { flag: 'wx' });
    } catch (error) {
      const taken = (error as NodeJS.ErrnoException).code === 'EEXIST';
      err.write(
        taken ? `There is a file "${file}" already: give another name.\n` : `The file could not be written: ${(error as Error).message}\n`,
      );
      return 1;
    }
    await written(out, `Written to ${file}.\n`);
    return 0;
  }
  if (reply.file) {
    // So that `… > evening.json` holds the file and nothing else.
    await written(out, reply.file.text.endsWith('\n') ? reply.file.text : `${reply.file.text}\n`);
    err.write(`${reply.file.words ?? reply.text}\n`);
    return 0;
  }
  await written(out, `${reply.text}\n`);
  if (card !== undefined && (reply.pictures?.length ?? 0) > 1) {
    err.write(`There are ${reply.pictures!.length} pictures: add number:1 to write the first.\n`);
    return 1;
  }
  return card === undefined ? 0 : drawn(terminal, card, async () => reply.pictures?.[0]?.bytes ?? (await reply.card?.png()) ?? null);
}

const ENDINGS: Readonly<Record<string, string>> = { '.md': 'markdown', '.markdown': 'markdown', '.csv': 'csv' };

interface Flags {
  readonly words: readonly string[];
  readonly json: boolean;
  readonly jsonl: boolean;
  readonly card: string | undefined;
}

/** The flags and the words; what is wrong with them, as a sentence to put before the usage ('' where the usage says it). */
function flagsIn(args: readonly string[]): Flags | string {
  const words: string[] = [];
  const flags = new Set<string>();
  let card: string | undefined;
  for (let i = 0; i < args.length; i += 1) {
    const arg = args[i]!;
    if (!arg.startsWith('--')) {
      words.push(arg);
      continue;
    }
    if (!['--json', '--jsonl', '--card'].includes(arg)) return `There is no flag ${arg.slice(0, 40)}.\n`;
    if (flags.has(arg)) return `${arg} stands twice.\n`;
    flags.add(arg);
    if (arg !== '--card') continue;
    i += 1;
    card = args[i];
    if (!card || card.startsWith('--')) return '--card needs a file to write to.\n';
  }
  const [json, jsonl] = [flags.has('--json'), flags.has('--jsonl')];
  if (jsonl && (words.length > 0 || flags.size > 1)) return '--jsonl stands alone: the questions come from standard input.\n';
  if ((json || card !== undefined) && words.length === 0) return '';
  return { words, json, jsonl, card };
}

/** Writes, and waits until it is written; false when nobody reads any more. */
const written = (out: NodeJS.WritableStream, text: string): Promise<boolean> =>
  new Promise((done) => out.write(text, (error) => done(error == null)));

async function drawn({ err }: Terminal, file: string, draw: () => Promise<Uint8Array | null>): Promise<0 | 1> {
  try {
    const png = await draw();
    if (png === null) {
      err.write('There is no card for this.\n');
      return 1;
    }
    await writeFile(file, png);
    return 0;
  } catch (error) {
    err.write(`The card could not be written: ${(error as Error).message}\n`);
    return 1;
  }
}

function oneJson(sheets: ReadonlyMap<string, Sheet>, line: string): Answer | Problems {
  const first = /^\s*\S*/.exec(line)![0];
  const sheet = sheetNamed(sheets, first.trim().replace(/^\//, ''));
  if ('kind' in sheet) return sheet;
  const names = [...sheet.readings.map((reading) => reading.name), 'end', ...(sheet.quick.length > 0 ? ['quick'] : [])];
  const read = readLine(line.slice(first.length), { names, quick: sheet.quick });
  const { quick, ...options } = read.options;
  const row = quick === undefined ? { options: {}, problems: [] } : readLine(quick, { names, quick: sheet.quick });
  const { end: typedEnd, ...readings } = { ...options, ...row.options };
  const problems: Problem[] = [...read.problems, ...row.problems];
  const end = typedEnd === undefined ? null : endNamed(sheet, typedEnd, problems);
  const made = ask(sheet, { readings, end: end as End | null });
  if (problems.length === 0) return made;
  return { kind: 'problems', sheet: sheet.name, problems: [...problems, ...(made.kind === 'problems' ? made.problems : [])] };
}

/** Question lines in, answer lines out, in order; what is written waits for whoever reads it. */
async function answerLines({ sheets, out, input }: Terminal): Promise<0 | 1> {
  let status: 0 | 1 = 0;
  for await (const lines of linesOf(input)) {
    const asked = lines.filter((line) => line === TOO_LONG || line.trim() !== '');
    for (let i = 0; i < asked.length; i += BLOCK) {
      const made = asked.slice(i, i + BLOCK).map((line) => answerLine(sheets, line));
      if (made.some(({ kind }) => kind === 'problems')) status = 1;
      if (!(await written(out, made.map((one) => `${lineOut(one)}\n`).join('')))) return status;
    }
  }
  return status;
}
/** As many answers are written at once. */
const BLOCK = 64;
