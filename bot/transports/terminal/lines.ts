/** Lines of a stream, cut at line feeds alone: a JSON text may hold every other sign that looks like a line's end. */

/** Stands for a line that was too long to be kept. */
export const TOO_LONG: unique symbol = Symbol('too long');
export const LONGEST_LINE = 1_000_000;
export type Line = string | typeof TOO_LONG;

/** The lines that each chunk completes, so that who asks line by line is answered line by line. */
export async function* linesOf(input: NodeJS.ReadableStream): AsyncGenerator<readonly Line[]> {
  const decoder = new TextDecoder();
  let held: string[] = [];
  let length = 0;
  const hold = (text: string): void => {
    length += text.length;
    if (length > LONGEST_LINE) held = [];
    else held.push(text);
  };
  const take = (): Line => {
    const line = length > LONGEST_LINE ? TOO_LONG : held.join('').replace(/\r$/, '');
    [held, length] = [[], 0];
    return line;
  };
  for await (const chunk of input) {
    const lines: Line[] = [];
    for (const [i, part] of (typeof chunk === 'string' ? chunk : decoder.decode(chunk, { stream: true })).split('\n').entries()) {
      if (i > 0) lines.push(take());
      hold(part);
    }
    if (lines.length > 0) yield lines;
  }
  hold(decoder.decode());
  if (length > 0) yield [take()];
}
