/** The terminal: `ask corners 612 605 901 896`, with --json, --jsonl and --card FILE.png. */
import { writeFile } from 'node:fs/promises';
import { createInterface } from 'node:readline';
import { ask, type End } from '../../../worksheets/engine/ask.ts';
import { readLine } from '../../../worksheets/engine/line.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';
import { problem } from '../../../worksheets/engine/problem.ts';
import type { Answer, Problem, Problems } from '../../../worksheets/engine/types.ts';
import type { Asker, Commands } from '../../commands/types.ts';
import { answerLine, lineOut, sheetNamed } from './json.ts';

export interface Terminal {
  readonly sheets: ReadonlyMap<string, Sheet>;
  readonly out: NodeJS.WritableStream;
  readonly err: NodeJS.WritableStream;
  readonly input: NodeJS.ReadableStream;
  /** Opened only when an archive is wanted: `--json` and `--jsonl` never do. */
  readonly commands: () => Promise<Commands>;
  readonly asker: Asker;
}

const USAGE = 'Usage: npm run -s ask -- SHEET READINGS… [--json] [--card FILE.png] | --jsonl   ("help" lists what there is)';

/** Exit status: 0 all answered, 1 some had problems, 2 wrong flags. */
export async function runTerminal(terminal: Terminal, args: readonly string[]): Promise<0 | 1 | 2> {
  const { out, err } = terminal;
  const say = (line: string): void => void out.write(`${line}\n`);
  const words: string[] = [];
  let json = false;
  let jsonl = false;
  let card: string | undefined;
  for (let i = 0; i < args.length; i += 1) {
    const arg = args[i]!;
    if (arg === '--json') json = true;
    else if (arg === '--jsonl') jsonl = true;
    else if (arg === '--card') {
      card = args[i + 1];
      i += 1;
    } else if (/^--[a-z]/.test(arg)) {
      err.write(`There is no flag ${arg.slice(0, 40)}.\n${USAGE}\n`);
      return 2;
    } else words.push(arg);
  }
  const cardWanted = args.includes('--card');
  if (
    (cardWanted && (!card || card.startsWith('--'))) ||
    (jsonl && (words.length > 0 || json || cardWanted)) ||
    (json && cardWanted && !card)
  ) {
    err.write(`${USAGE}\n`);
    return 2;
  }
  if (jsonl) return answerLines(terminal);
  const line = words.join(' ');
  if (json && line !== '') {
    const made = oneJson(terminal.sheets, line);
    say(lineOut(made));
    if (made.kind === 'problems' || card === undefined) return made.kind === 'answer' ? 0 : 1;
  }

  const { messageFrom } = await import('../../commands/index.ts');
  const commands = await terminal.commands();
  const read = messageFrom(line === '' ? 'help' : line, terminal.sheets, commands.specs);
  if ('problems' in read) {
    err.write(`${read.problems.map(({ text }) => text).join('\n')}\n`);
    return 1;
  }
  const reply = await commands.answer({ ...read.message, asker: terminal.asker });
  if (reply.kind === 'problems') {
    err.write(`${reply.text}\n`);
    return 1;
  }
  if (!json) say(reply.text);
  if (card !== undefined) {
    if (!reply.card) {
      err.write('There is no card for this.\n');
      return 1;
    }
    try {
      await writeFile(card, await reply.card.png());
    } catch (error) {
      err.write(`The card could not be written: ${(error as Error).message}\n`);
      return 1;
    }
  }
  return 0;
}

function oneJson(sheets: ReadonlyMap<string, Sheet>, line: string): Answer | Problems {
  const name = /^\S*/.exec(line)![0].toLowerCase().replace(/^\//, '').replaceAll('-', '_');
  const sheet = sheetNamed(sheets, name);
  if ('kind' in sheet) return sheet;
  const names = [...sheet.readings.map((reading) => reading.name), 'end', ...(sheet.quick.length > 0 ? ['quick'] : [])];
  const read = readLine(line.slice(/^\S*/.exec(line)![0].length), { names, quick: sheet.quick });
  const { end, quick, ...readings } = read.options;
  const problems: Problem[] = [...read.problems];
  if (quick !== undefined) {
    const row = readLine(quick, { names, quick: sheet.quick });
    problems.push(...row.problems);
    Object.assign(readings, row.options);
  }
  if (end !== undefined && !(sheet.ends && (end === 'front' || end === 'rear')))
    problems.push(
      problem('end', end, 'Give front or rear.', `End: "${end.slice(0, 40)}" is no end that ${name} knows. Give front or rear.`),
    );
  const made = ask(sheet, { readings, end: (end as End | undefined) ?? null });
  if (problems.length === 0) return made;
  return { kind: 'problems', sheet: name, problems: [...problems, ...(made.kind === 'problems' ? made.problems : [])] };
}

/** Question lines in, answer lines out, in order; what is written waits for whoever reads it. */
async function answerLines({ sheets, out, input }: Terminal): Promise<0 | 1> {
  let status: 0 | 1 = 0;
  let block: string[] = [];
  const flush = async (): Promise<void> => {
    if (block.length === 0) return;
    const text = `${block.join('\n')}\n`;
    block = [];
    if (!out.write(text)) await new Promise<void>((go) => out.once('drain', () => go()));
  };
  for await (const line of createInterface({ input, crlfDelay: Number.POSITIVE_INFINITY })) {
    if (line.trim() === '') continue;
    const made = answerLine(sheets, line);
    if (made.kind === 'problems') status = 1;
    block.push(lineOut(made));
    if (block.length >= 64) await flush();
  }
  await flush();
  return status;
}
