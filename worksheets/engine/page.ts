/** A page (CommonMark with a YAML head and fenced blocks) → its head, and the lines of its blocks. */
import MarkdownIt from 'markdown-it';
import { parse as parseYaml } from 'yaml';
import { echo, nearest } from './problem.ts';
import { BLOCKS, type BlockName, type Desk, type Line, type PagePart, type Sheet } from './sheet.ts';

export type Head = Pick<Sheet, 'name' | 'title' | 'summary' | 'quick' | 'hero' | 'ends' | 'first' | 'asks' | 'example'>;

// Only the fences are wanted here: what stands between them is drawn by templates.
const markdown = new MarkdownIt({ html: false });
markdown.core.ruler.enableOnly(['normalize', 'block']);

const HEAD_LINES = ['sheet', 'title', 'summary', 'quick', 'hero', 'ends', 'asks', 'first', 'example'] as const;

const HEAD_BYTES = 8 * 1024;
const DEEPEST = 20;

/**
 * YAML nests without end, and its parser goes along: a thousand { take it minutes, ten thousand [ the whole process (the stack ends where no
 * exception can be made any more). A head needs one level.
 */
function tooMuch(head: string): string | undefined {
  if (Buffer.byteLength(head) > HEAD_BYTES) return `the head may have ${HEAD_BYTES / 1024} KiB`;
  let [depth, deepest] = [0, 0];
  for (const sign of head) {
    if (sign === '{' || sign === '[') depth += 1;
    if (sign === '}' || sign === ']') depth -= 1;
    deepest = Math.max(deepest, depth);
  }
  return deepest > DEEPEST || /(?:[-?:]\s+){6}/.test(head) ? 'the head nests too deeply' : undefined;
}

export function readHead(text: string, desk: Desk): { readonly head: Head; readonly body: string; readonly bodyLine: number } {
  const found = /^\ufeff?---\r?\n([\s\S]*?)\r?\n---\r?\n/.exec(text);
  if (!found) throw desk.stop(1, 'a sheet starts with a head between two lines of ---');
  const slip = tooMuch(found[1]!);
  if (slip) throw desk.stop(2, slip);
  let yaml: unknown;
  try {
    yaml = parseYaml(found[1]!, { schema: 'core', maxAliasCount: 0, logLevel: 'silent' });
  } catch (error) {
    throw desk.stop(2, `the head is no YAML: ${(error as Error).message.split('\n')[0]}`);
  }
  if (typeof yaml !== 'object' || yaml === null || Array.isArray(yaml)) throw desk.stop(2, 'the head is a list of "name: value"');
  const given = new Map(Object.entries(yaml as Record<string, unknown>));
  const lines = found[1]!.split(/\r?\n/);
  /** The line on which a name of the head stands. */
  const lineOf = (key: string): number =>
    2 +
    Math.max(
      0,
      lines.findIndex((line) => line.startsWith(`${key}:`)),
    );
  for (const key of given.keys()) {
    if ((HEAD_LINES as readonly string[]).includes(key)) continue;
    const like = nearest(key, HEAD_LINES);
    desk.fault(lineOf(key), `the head has no ${echo(key)}${like ? `; did you mean ${like}?` : ''}`);
  }

  const word = (key: string, most: number, needed = true): string => {
    const value = given.get(key);
    if (value === undefined && !needed) return '';
    if (typeof value === 'string' && value.trim() !== '' && value.length <= most) return value.trim();
    desk.fault(lineOf(key), `the head needs ${key}: a text of at most ${most} characters`);
    return '';
  };
  const words = (key: string, cut: RegExp | null): string[] => {
    const value = given.get(key) ?? [];
    if (typeof value === 'string') return cut ? value.split(cut).filter(Boolean) : [value];
    if (Array.isArray(value) && value.every((one) => typeof one === 'string')) return value as string[];
    desk.fault(lineOf(key), `${key} in the head is a text, or a list of texts`);
    return [];
  };
  const flag = (key: string): boolean => {
    const value = given.get(key) ?? false;
    if (typeof value !== 'boolean') desk.fault(lineOf(key), `${key} in the head is true or false`);
    return value === true;
  };

  const name = word('sheet', 32);
  if (name !== '' && !/^[a-z][a-z0-9_]*$/.test(name))
    desk.fault(lineOf('sheet'), `"${name}" is no name for a sheet: small letters, digits and _`);
  return {
    head: {
      name,
      title: word('title', 60),
      summary: word('summary', 100),
      quick: words('quick', /\s+/),
      hero: word('hero', 32, false),
      ends: flag('ends'),
      first: flag('first'),
      asks: words('asks', null),
      example: readExample(given.get('example'), lineOf('example'), desk),
    },
    body: text.slice(found[0].length),
    bodyLine: found[0].split('\n').length,
  };
}

function readExample(given: unknown, line: number, desk: Desk): Record<string, string> {
  const example: Record<string, string> = {};
  if (given === undefined) return example;
  const entries = typeof given === 'object' && given !== null && !Array.isArray(given) ? Object.entries(given) : [['', null] as const];
  for (const [name, value] of entries) {
    if (/^[a-z]/.test(name) && (typeof value === 'string' || typeof value === 'number')) example[name] = String(value);
    else desk.fault(line, 'example in the head is "reading: value" lines');
  }
  return example;
}

export function readBlocks(
  body: string,
  bodyLine: number,
  desk: Desk,
): { readonly blocks: ReadonlyMap<BlockName, readonly Line[]>; readonly page: readonly PagePart[] } {
  const blocks = new Map<BlockName, Line[]>();
  const page: PagePart[] = [];
  const source = body.split(/\r\n?|\n/);
  let proseFrom = 0;
  const prose = (to: number): void => {
    const text = source.slice(proseFrom, to).join('\n').trim();
    if (text !== '') page.push({ kind: 'prose', markdown: text });
  };
  for (const token of markdown.parse(body, {})) {
    if (token.type !== 'fence' || token.level !== 0 || !token.map) continue;
    const info = token.info.trim();
    const name = info as BlockName;
    const [from, to] = token.map;
    if (!BLOCKS.includes(name)) {
      // ```text is a fence of plain text everywhere, and no slip of "next".
      const like = info === 'text' ? undefined : (nearest(info, BLOCKS) ?? BLOCKS.find((block) => info.startsWith(`${block} `)));
      if (info !== '' && like) desk.fault(bodyLine + from, `there is no block ${info.slice(0, 40)}; did you mean ${like}?`);
      continue;
    }
    prose(from);
    proseFrom = to;
    page.push({ kind: 'block', block: name });
    const lines = blocks.get(name) ?? [];
    blocks.set(name, lines);
    token.content.split('\n').forEach((text, i) => {
      // A line that starts with # is a note to the sheet's author.
      if (text.trim() === '' || text.trim().startsWith('#')) return;
      const cut = name === 'next' || name === 'cautions' ? -1 : text.search(/\s--(\s|$)/);
      lines.push({
        number: bodyLine + from + 1 + i,
        text: (cut < 0 ? text : text.slice(0, cut)).trim(),
        label: cut < 0 ? '' : text.slice(cut).replace(/^\s--/, '').trim(),
      });
    });
  }
  prose(source.length);
  return { blocks, page };
}
