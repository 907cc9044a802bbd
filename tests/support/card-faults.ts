/** What is wrong with a card, in sentences: a text that is too small, off the card, out of its room, or over another. */
import type { Mark, TextMark } from '../../templates/card/scene.ts';
import { canvas } from '../../templates/card/theme.ts';

export const textsOf = (marks: readonly Mark[]): TextMark[] => marks.filter((mark) => mark.kind === 'text');

export function cardFaults(marks: readonly Mark[]): string[] {
  const found: string[] = [];
  const inside = (inner: TextMark['extent'], outer: TextMark['extent'], air: number): boolean =>
    inner.x >= outer.x - air &&
    inner.y >= outer.y - air &&
    inner.x + inner.w <= outer.x + outer.w + air &&
    inner.y + inner.h <= outer.y + outer.h + air;
  const written = textsOf(marks);
  for (const text of written) {
    if (text.size < 16) found.push(`"${text.string}" is set at ${text.size}`);
    if (!inside(text.extent, { x: 0, y: 0, w: canvas.width, h: canvas.height }, 0)) found.push(`"${text.string}" leaves the card`);
    if (!inside(text.extent, text.room, 0.6)) found.push(`"${text.string}" leaves its room`);
  }
  for (const [i, a] of written.entries()) {
    for (const b of written.slice(i + 1)) {
      const across = Math.min(a.extent.x + a.extent.w, b.extent.x + b.extent.w) - Math.max(a.extent.x, b.extent.x);
      const down = Math.min(a.extent.y + a.extent.h, b.extent.y + b.extent.h) - Math.max(a.extent.y, b.extent.y);
      if (across > 0.5 && down > 2.5) found.push(`"${a.string}" and "${b.string}" overlap`);
    }
  }
  return found;
}

/** Discs and lines that leave the card, and places that are no numbers; for drawings that keep within their room. */
export function strayShapes(marks: readonly Mark[]): string[] {
  return marks.flatMap((mark) => {
    const named = (mark.kind === 'text' ? mark.string : mark.name) || mark.kind;
    if (mark.kind === 'circle' && !(mark.cx >= 0 && mark.cx <= canvas.width && mark.cy >= 0 && mark.cy <= canvas.height))
      return [`the ${named} at ${mark.cx}, ${mark.cy} lies off the card`];
    if (mark.kind === 'path') {
      if (/NaN|Infinity/.test(mark.d)) return [`the ${named} has no place: ${mark.d.slice(0, 40)}`];
      const points = [...mark.d.matchAll(/[ML](-?[\d.]+),(-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)] as const);
      const off = points.find(([x, y]) => x < -1 || x > canvas.width + 1 || y < -1 || y > canvas.height + 1);
      if (off) return [`the ${named} runs off the card at ${off.join(', ')}`];
    }
    return [];
  });
}
