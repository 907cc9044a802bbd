/** What the portraits share. */
import type { End } from '../../../worksheets/engine/ask.ts';
import type { AnswerValue } from '../../../worksheets/engine/types.ts';
import type { Kit } from '../kit.ts';
import type { Mark } from '../scene.ts';

/** An answer beside those of other sheets: its name says the end too. */
export const heroRow = (hero: AnswerValue, end: End | null): AnswerValue =>
  end === null || hero.name.startsWith(`${end}_`) ? hero : { ...hero, name: `${end}_${hero.name}` };

/** Four figures and no ±, for a row among many; the longest word of the names is written short. */
export const inShort = (answer: AnswerValue): AnswerValue => ({
  ...answer,
  name: answer.name.replace('frequency', 'freq.'),
  uncertainty: null,
});

export const moreInText = (kit: Kit, x: number, y: number, count: number, width: number): Mark =>
  more(kit, x, y, `${count} more in the text`, width);
export const more = (kit: Kit, x: number, y: number, what: string, width: number): Mark =>
  kit.text(x, y, `+ ${what}`, { tone: 'muted', anchor: 'end', width });
