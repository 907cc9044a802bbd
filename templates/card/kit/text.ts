/** Words on a card: measured with the font's own widths, shortened to their room. */
import type { Shown } from '../../number.ts';
import type { Metrics, Weight } from '../metrics.ts';
import { type Mark, round, type TextMark } from '../scene.ts';
import { canvas, sizes, type TextTone } from '../theme.ts';

export interface TextStyle {
  readonly size?: number;
  readonly weight?: Weight;
  readonly tone?: TextTone;
  readonly anchor?: 'start' | 'middle' | 'end';
  /** The text is shortened to this, with '…'. */
  readonly width?: number;
}

export type TextKit = ReturnType<typeof makeText>;

export function makeText(metrics: Metrics) {
  const widthOf = (string: string, size: number = sizes.small, weight: Weight = 400): number => metrics.width(string, size, weight);

  /** The longest beginning that fits, with '…' when something is cut. */
  const shortened = (string: string, width: number, size: number, weight: Weight): string => {
    const most = string.slice(0, 400);
    if (most.length === string.length && widthOf(string, size, weight) <= width) return string;
    const signs = [...segmenter.segment(most)].map(({ segment }) => segment);
    const cut = (count: number): string => `${signs.slice(0, count).join('').trimEnd()}…`;
    let low = 0;
    let high = signs.length;
    while (low < high) {
      const middle = Math.ceil((low + high) / 2);
      if (widthOf(cut(middle), size, weight) <= width) low = middle;
      else high = middle - 1;
    }
    return cut(low);
  };

  /** One line on its baseline. */
  const text = (x: number, y: number, string: string, style: TextStyle = {}): TextMark => {
    const { size = sizes.small, weight = 400, tone = 'text', anchor = 'start' } = style;
    // Tabular figures widen the hyphen-minus as a sign of arithmetic; between letters it is a hyphen, which they leave alone.
    const spelt = string.replace(/(?<=\p{L})-(?=\p{L})/gu, '\u2010');
    const fitted = style.width === undefined ? spelt : shortened(spelt, style.width, size, weight);
    const left = (width: number): number => x - (anchor === 'start' ? 0 : anchor === 'middle' ? width / 2 : width);
    const drawn = widthOf(fitted, size, weight);
    // Figures end on the baseline, letters may reach below it, a degree sign hangs high.
    const height = fitted === '°' ? 0.4 : /^[\d.\u2009−]+$/.test(fitted) ? 0.75 : 0.96;
    const upright = { y: round(y - 0.74 * size), h: round(height * size) };
    const extent = { x: round(left(drawn)), w: round(drawn), ...upright };
    const room =
      style.width === undefined
        ? { x: 0, y: 0, w: canvas.width, h: canvas.height }
        : { x: round(left(style.width)), w: round(style.width), ...upright };
    return { kind: 'text', x: round(x), y: round(y), string: fitted, size, weight, tone, anchor, extent, room };
  };

  /** Words broken into at most so many lines of about one length; the last one is shortened. `y`: the first baseline. */
  const paragraph = (
    x: number,
    y: number,
    string: string,
    style: TextStyle & { readonly width: number; readonly lines?: number },
  ): TextMark[] => {
    const { size = sizes.small, weight = 400, width, lines = 2 } = style;
    const words = string.slice(0, 600).split(' ');
    const broken = (room: number): string[] => {
      const set: string[] = [];
      let rest = words;
      while (rest.length > 0 && set.length < lines) {
        let count = 1;
        while (count < rest.length && widthOf(rest.slice(0, count + 1).join(' '), size, weight) <= room) count++;
        if (set.length === lines - 1) count = rest.length;
        set.push(rest.slice(0, count).join(' '));
        rest = rest.slice(count);
      }
      return set;
    };
    const fits = (set: readonly string[]): boolean => set.every((line) => widthOf(line, size, weight) <= width);
    let set = broken(width);
    // No last line of one word: the narrowest setting that still takes as many lines.
    for (let narrower = width - 20; set.length > 1 && narrower > width / 2; narrower -= 20) {
      const tried = broken(narrower);
      if (tried.length > set.length || !fits(tried) || widthOf(tried.at(-1)!, size, weight) > narrower) break;
      set = tried;
    }
    return set.map((line, i) => text(x, y + i * round(1.3 * size), line, style));
  };

  /** How wide unit and ± of a quantity are, set small after its number. */
  const tail = (
    { unit, plusMinus }: Shown,
    withPlusMinus: boolean,
    unitSize: number = sizes.small,
  ): { readonly unit: number; readonly plusMinus: number } => ({
    unit: unit === '' ? 0 : (unit === '°' ? 1 : 5) + widthOf(unit, unitSize),
    plusMinus: plusMinus === null || !withPlusMinus ? 0 : 8 + widthOf(`± ${plusMinus}`),
  });

  /**
   * A quantity: the number bold, its unit small, its ± lighter. `x` is where it starts, ends, or where the number ends (`number end`: so
   * that numbers stand under each other). Where `width` does not hold the ± it goes (the text carries it), then the number shrinks.
   */
  const value = (
    x: number,
    y: number,
    parts: Shown,
    style: {
      readonly size?: number;
      readonly unitSize?: number;
      readonly anchor?: 'start' | 'end' | 'number end';
      readonly width?: number;
      readonly plusMinus?: boolean;
    } = {},
  ): { readonly marks: Mark[]; readonly width: number } => {
    const { anchor = 'start', width = canvas.width, unitSize = sizes.small } = style;
    let size = style.size ?? sizes.value;
    const numberWidth = (): number => widthOf(parts.number, size, 700);
    let after = tail(parts, style.plusMinus ?? true, unitSize);
    if (numberWidth() + after.unit + after.plusMinus > width) after = tail(parts, false, unitSize);
    while (size > sizes.small && numberWidth() + after.unit > width) size--;
    const room = Math.max(1, Math.min(numberWidth(), width - after.unit));
    const total = room + after.unit + after.plusMinus;
    const left = anchor === 'start' ? x : anchor === 'end' ? x - total : x - room;
    const marks: Mark[] = [text(left, y, parts.number, { size, weight: 700, width: room + 0.5 })];
    if (after.unit > 0) marks.push(text(left + room + (parts.unit === '°' ? 1 : 5), y, parts.unit, { size: unitSize, tone: 'muted' }));
    if (after.plusMinus > 0) marks.push(text(left + room + after.unit + 8, y, `± ${parts.plusMinus}`, { tone: 'muted' }));
    return { marks, width: total };
  };

  return { widthOf, text, paragraph, value, tail };
}

const segmenter = new Intl.Segmenter('en', { granularity: 'grapheme' });
