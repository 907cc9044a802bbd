/**
 * How a sheet gets a drawing of its own: one file `layouts/<sheet>.ts` that exports `layout`. The folder is read when the cards are made;
 * no other file is touched. A sheet without one, or whose answer lacks what the drawing needs (`draw` gives null), gets the general card.
 *
 * The frame (frame.ts) draws what every card has: title, truck and day above; readings, caution and next step below. A layout fills the
 * room between.
 */
import { readdir } from 'node:fs/promises';
import type { Answer, AnswerReading, AnswerValue, Curve } from '../../worksheets/engine/types.ts';
import type { Kit } from './kit.ts';
import type { Box, Marks } from './scene.ts';

export interface Layout {
  /** Where the readings stand: the frame writes them under the drawing unless the drawing itself shows them. */
  readonly readings?: 'in the picture';
  readonly draw: (answer: Answer, kit: Kit, room: Box) => Marks | null;
  /** What is to be seen, as sentences for those who do not see it. Only for answers that `draw` can draw. */
  readonly picture: (answer: Answer) => string;
}
export type Layouts = ReadonlyMap<string, Layout>;

export async function loadLayouts(): Promise<Layouts> {
  const folder = new URL('./layouts/', import.meta.url);
  const files = (await readdir(folder)).filter((file) => /^[a-z_]+\.ts$/.test(file)).sort();
  const loaded = await Promise.all(
    files.map(async (file): Promise<[string, Layout]> => {
      const { layout } = (await import(new URL(file, folder).href)) as { readonly layout?: Layout };
      if (layout === undefined) throw new Error(`templates/card/layouts/${file} exports no "layout".`);
      return [file.replace(/\.ts$/, ''), layout];
    }),
  );
  return new Map(loaded);
}

// ── looking things up in an answer ──────────────────────────────────────────────────────────────────────────────────────────────

export const answerOf = (answer: Answer, name: string): AnswerValue | null => answer.answers.find((one) => one.name === name) ?? null;
export const readingOf = (answer: Answer, name: string): AnswerReading | null => answer.readings.find((one) => one.name === name) ?? null;

/** A number by name, from the answers or the readings; null where it is not there or is no number. */
export function numberOf(answer: Answer, name: string): number | null {
  const value = answerOf(answer, name)?.value ?? readingOf(answer, name)?.value ?? null;
  return typeof value === 'number' ? value : null;
}

/** The curve that holds this answer, over this reading where one is named. */
export const curveOf = (answer: Answer, name: string, over?: string): Curve | null =>
  answer.curves.find((curve) => name in curve.answers && (over === undefined || curve.over === over)) ?? null;

/** The answers but those named. */
export const answersBut = (answer: Answer, ...names: readonly string[]): AnswerValue[] =>
  answer.answers.filter((one) => !names.includes(one.name));
