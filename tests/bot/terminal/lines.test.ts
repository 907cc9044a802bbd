import { Readable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { type Line, LONGEST_LINE, linesOf, TOO_LONG } from '../../../bot/transports/terminal/lines.ts';

async function read(...chunks: (string | Uint8Array)[]): Promise<Line[]> {
  const lines: Line[] = [];
  for await (const some of linesOf(Readable.from(chunks, { objectMode: true }))) lines.push(...some);
  return lines;
}

describe('lines of a stream', () => {
  it.each([
    ['two lines', ['a\nb\n'], ['a', 'b']],
    ['a last line without its end', ['a\nb'], ['a', 'b']],
    ['line ends of Windows', ['a\r\nb\r\n'], ['a', 'b']],
    ['a line in pieces', ['a', 'b', 'c\nd', '\n'], ['abc', 'd']],
    ['an end in two pieces', ['a\r', '\nb'], ['a', 'b']],
    ['empty lines, which are lines', ['\n\na\n'], ['', '', 'a']],
    ['nothing', [], []],
    ['signs that look like ends', ['a\u2028b\u2029c\u0085d\re\n'], ['a\u2028b\u2029c\u0085d\re']],
  ])('%s', async (_, chunks, expected) => {
    expect(await read(...chunks)).toEqual(expected);
  });

  it('a letter of several bytes may be cut anywhere', async () => {
    const bytes = new TextEncoder().encode('größe ± 🚚\n2\n');
    for (let cut = 1; cut < bytes.length; cut += 1) expect(await read(bytes.slice(0, cut), bytes.slice(cut))).toEqual(['größe ± 🚚', '2']);
  });

  it('bytes that are no text are read as signs that are no text', async () => {
    expect(await read(Uint8Array.of(0x61, 0xff, 0x0a))).toEqual(['a\ufffd']);
    expect(await read(Uint8Array.of(0xf0, 0x9f))).toEqual(['\ufffd']);
  });

  it('a line longer than a million signs is not kept, and the next one is read', async () => {
    expect(await read(`${'a'.repeat(LONGEST_LINE)}\nb\n`)).toEqual(['a'.repeat(LONGEST_LINE), 'b']);
    expect(await read(`${'a'.repeat(LONGEST_LINE + 1)}\nb\n`)).toEqual([TOO_LONG, 'b']);
    expect(await read(...Array.from({ length: 40 }, () => 'a'.repeat(64 * 1024)), '\nb')).toEqual([TOO_LONG, 'b']);
    expect(await read('a'.repeat(LONGEST_LINE + 1))).toEqual([TOO_LONG]);
  });

  it('who asks line by line is answered line by line', async () => {
    const input = new Readable({ read() {} });
    const lines = linesOf(input);
    for (const line of ['first', 'second', 'third']) {
      input.push(`${line}\n`);
      expect((await lines.next()).value).toEqual([line]);
    }
    input.push(null);
    expect((await lines.next()).done).toBe(true);
  });
});
