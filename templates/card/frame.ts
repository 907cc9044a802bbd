/** What every card has: title, truck and day above; what it was made from, a caution and the one thing to do next below. */
import type { Answer, AnswerReading } from '../../worksheets/engine/types.ts';
import { capital, nameWords, readingText, sentenceText, titleOf } from '../words.ts';
import { general } from './general.ts';
import type { Kit } from './kit.ts';
import type { Layouts } from './layout.ts';
import { type Box, flat, type Mark, type Marks, type TextMark } from './scene.ts';
import { canvas, sizes, strokes } from './theme.ts';

export interface CardFacts {
  /** Which truck and which day: a card in a channel is looked at again next month. */
  readonly truck?: string;
  readonly day?: string;
}

const { margin } = canvas;
const inner = canvas.width - 2 * margin;
const top = 48;
/** What a drawing needs: under the first height the readings give way, under the second a caution's second line (the text has them whole). */
const leastRoom = { readings: 180, caution: 165 };

export function drawCard(answer: Answer, facts: CardFacts, kit: Kit, layouts: Layouts): Mark[] {
  const told = (readingLines: number): Told => ({
    title: capital(titleOf(answer)),
    about: [facts.truck, facts.day].filter(Boolean).join(' · '),
    readings: answer.readings,
    readingLines,
    cautions: answer.cautions.map(sentenceText),
    next: answer.next === null ? null : capital(sentenceText(answer.next)),
  });
  const own = layouts.get(answer.sheet);
  if (own) {
    const framed = frame(told(own.readings === 'in the picture' ? 0 : 2), kit);
    const drawn = own.draw(answer, kit, framed.room);
    if (drawn !== null) return flat([framed.marks, drawn]);
  }
  const framed = frame(told(2), kit);
  return flat([framed.marks, general.draw(answer, kit, framed.room) ?? []]);
}

/** What stands around the drawing. */
export interface Told {
  readonly title: string;
  /** Truck and day, right of the title. */
  readonly about: string;
  readonly readings?: readonly AnswerReading[];
  readonly readingLines?: number;
  readonly cautions?: readonly string[];
  readonly next: string | null;
}

export function frame(
  { title: titleText, about, readings = [], readingLines: mostReadingLines = 0, cautions = [], next }: Told,
  kit: Kit,
): { readonly marks: Marks; readonly room: Box } {
  const title = kit.text(margin, 32, titleText, { size: sizes.title, weight: 600, width: about === '' ? inner : 0.58 * inner });
  const marks: Marks[] = [title];
  if (about !== '')
    marks.push(kit.text(canvas.width - margin, 32, about, { tone: 'muted', anchor: 'end', width: inner - title.extent.w - 16 }));

  // From the bottom upwards; each block takes what it needs.
  let bottom: number = canvas.height;
  if (next !== null) {
    const lines = nextLines(kit, next);
    const height = lines.length === 1 ? 46 : 63;
    bottom -= height;
    const middle = bottom + (lines.length === 1 ? 23 : 20);
    marks.push(
      kit.rect({ x: 0, y: bottom, w: canvas.width, h: height }, { fill: 'panel', name: 'next' }),
      kit.arrow(margin, middle, margin + 19, middle, { width: strokes.bold }),
      lowered(lines, middle + 6.5),
    );
  }
  bottom -= 12;
  if (cautions.length > 0) {
    const more = cautions.length > 1 ? ` (+ ${cautions.length - 1} more in the text)` : '';
    const lines = kit.paragraph(margin + 30, 0, `${cautions[0]}${more}`, {
      size: sizes.body,
      width: inner - 30,
      lines: bottom - 50 - top < leastRoom.caution ? 1 : 2,
    });
    bottom -= 22 * lines.length;
    marks.push(lowered(lines, bottom + 16), warning(kit, margin + 10, bottom + 10));
    bottom -= 6;
  }
  const fits = Math.floor((bottom - top - leastRoom.readings) / 22);
  const lines = readingLines(kit, readings, Math.min(mostReadingLines, fits));
  if (lines.length > 0) {
    bottom -= 22 * lines.length;
    marks.push(lines.map((line, i) => kit.text(margin, bottom + 17 + 22 * i, line, { tone: 'muted', width: inner })));
    bottom -= 6;
  }
  return { marks, room: { x: margin, y: top, w: inner, h: bottom - top } };
}

/** One line where it fits, if need be a size smaller; else two. */
function nextLines(kit: Kit, sentence: string): TextMark[] {
  const width = inner - 30;
  const size = kit.widthOf(sentence, sizes.act, 600) > width && kit.widthOf(sentence, sizes.body, 600) <= width ? sizes.body : sizes.act;
  const lines = kit.paragraph(margin + 30, 0, sentence, { size, weight: 600, width, lines: 2 });
  return lines.length === 1 ? lines : kit.paragraph(margin + 30, 0, sentence, { size: sizes.body, weight: 600, width, lines: 2 });
}

/** Lines that were set at y 0, put where they belong. */
const lowered = (lines: readonly TextMark[], y: number): TextMark[] =>
  lines.map((line) => ({
    ...line,
    y: line.y + y,
    extent: { ...line.extent, y: line.extent.y + y },
    room: { ...line.room, y: line.room.y + y },
  }));

const warning = (kit: Kit, x: number, y: number): Marks => [
  kit.path(`M${x},${y - 8}L${x + 9.5},${y + 8}L${x - 9.5},${y + 8}Z`, {
    fill: 'heavy',
    tone: 'heavy',
    width: strokes.line,
    name: 'caution',
  }),
  kit.rule(x, y - 3, x, y + 2.5, { tone: 'ground', width: strokes.line }),
  kit.circle(x, y + 5.8, 1.3, { fill: 'ground' }),
];

/** "From spring rate 0.44 N/mm · motion ratio 0.62 · 3 more": given ones first, the rest counted. */
function readingLines(kit: Kit, readings: readonly AnswerReading[], most: number): string[] {
  if (most < 1 || readings.length === 0) return [];
  const order = ['given', 'truck', 'sheet', 'default'];
  const sorted = [...readings].sort((a, b) => order.indexOf(a.from) - order.indexOf(b.from));
  const phrases = sorted.map((reading) => {
    const text = readingText({ ...reading, uncertainty: null });
    const rows = typeof reading.value === 'object' && kit.widthOf(text) > inner / 2 ? `(${reading.value.length})` : text;
    return `${nameWords(reading.name)} ${rows}`;
  });
  const lines: string[] = [];
  let line = `From ${phrases[0]}`;
  for (const [i, phrase] of phrases.entries()) {
    if (i === 0) continue;
    const left = phrases.length - i - 1;
    const longer = `${line} · ${phrase}`;
    const last = lines.length === most - 1;
    if (kit.widthOf(last && left > 0 ? `${longer} · ${left} more` : longer) <= inner) line = longer;
    else if (last) return [...lines, `${line} · ${left + 1} more`];
    else {
      lines.push(line);
      line = phrase;
    }
  }
  return [...lines, line];
}
