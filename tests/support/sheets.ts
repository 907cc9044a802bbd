/** What the tests of sheets share: a shelf loaded once, a question with typed readings, and the corners of every reading's range. */
import { expect } from 'vitest';
import { ask, type End } from '../../worksheets/engine/ask.ts';
import { loadFormulas, loadSheets } from '../../worksheets/engine/library.ts';
import type { ReadingSpec, Sheet } from '../../worksheets/engine/notation.ts';
import type { Answer, AnswerValue, Problems } from '../../worksheets/engine/types.ts';
import { fromSI } from '../../worksheets/engine/units.ts';
import { draws } from './book.ts';

export type Typed = Readonly<Record<string, string | number>>;

/** One sheet of the shelf, asked with readings as they are typed. */
export interface Asked {
  readonly sheet: Sheet;
  /** The answer; a test that gets problems instead fails with their texts. */
  readonly answer: (readings: Typed, end?: End | null) => Answer;
  /** One answer's value in the contract's unit; null where it is absent. */
  readonly value: (readings: Typed, name: string, end?: End | null) => AnswerValue['value'];
  readonly problems: (readings: Typed, end?: End | null) => Problems['problems'];
}

export async function sheetNamed(name: string): Promise<Asked> {
  const sheet = (await loadSheets(await loadFormulas())).get(name) ?? expect.fail(`there is no sheet ${name}`);
  const made = (readings: Typed, end: End | null): Answer | Problems => ask(sheet, { readings, end });
  const answer = (readings: Typed, end: End | null = null): Answer => {
    const got = made(readings, end);
    return got.kind === 'answer' ? got : expect.fail(got.problems.map(({ text }) => text).join(' '));
  };
  return {
    sheet,
    answer,
    value: (readings, one, end) => answerOf(answer(readings, end), one).value,
    problems: (readings, end = null) => {
      const got = made(readings, end);
      return got.kind === 'problems' ? got.problems : expect.fail('this was answered');
    },
  };
}

export const answerOf = (answer: Answer, name: string): AnswerValue =>
  answer.answers.find((one) => one.name === name) ??
  expect.fail(`${name} is not answered; there is ${answer.answers.map((one) => one.name)}`);
/** An answer that has to be a number. */
export function numberOf(answer: Answer, name: string): number {
  const { value, why } = answerOf(answer, name);
  return typeof value === 'number' ? value : expect.fail(`${name} is ${value === null ? `absent: ${why}` : String(value)}`);
}
export const names = (answer: Answer): string[] => answer.answers.map(({ name }) => name);
/** The sentence at the foot, values and all, as plain words. */
export const nextOf = (answer: Answer): string =>
  (answer.next ?? []).map((part) => (typeof part === 'string' ? part : String(part.value))).join('');
export const cautionsOf = (answer: Answer): string[] =>
  answer.cautions.map((caution) => caution.map((part) => (typeof part === 'string' ? part : String(part.value))).join(''));

/**
 * Asks at the corners of the ranges: each reading at either end of its range with the others as in the example, all of them at one end, and
 * seeded draws in between. What comes back is finite, absent with its reason, or a problem in words; never NaN and never an exception.
 */
export function expectSoundEverywhere({ sheet }: Asked, draw = 300): void {
  const numbers = sheet.readings.filter((reading) => reading.type.kind === 'number');
  const at = (reading: ReadingSpec, si: number): string => String(fromSI(si, reading.unit!));
  const end = sheet.ends ? 'rear' : null;
  const all = (pick: (reading: ReadingSpec) => string): Typed => ({
    ...sheet.example,
    ...Object.fromEntries(numbers.map((reading) => [reading.name, pick(reading)])),
  });
  const questions: Typed[] = [
    sheet.example,
    all((reading) => at(reading, reading.min!)),
    all((reading) => at(reading, reading.max!)),
    ...numbers.flatMap((reading) => [reading.min!, reading.max!].map((si) => ({ ...sheet.example, [reading.name]: at(reading, si) }))),
  ];
  const between = draws(2718);
  for (let i = 0; i < draw; i += 1)
    questions.push(
      all((reading) => {
        const [low, high] = [reading.min!, reading.max!];
        // Even in its logarithm where the range stands on one side of zero, so that small values come up too.
        const si = low > 0 ? between(low, high) : low + (high - low) * (between(1, Math.E) - 1) * (1 / (Math.E - 1));
        return at(reading, reading.whole ? Math.round(si) : si);
      }),
    );
  for (const readings of questions) {
    const got = ask(sheet, { readings, end });
    const of = JSON.stringify(readings);
    if (got.kind === 'problems') {
      for (const { text } of got.problems) expect(text, of).toMatch(/^That does not work out: .+\.$/);
      continue;
    }
    for (const { name, value, why, uncertainty } of got.answers) {
      if (value === null) expect(why, `${name} of ${of}`).toMatch(/./);
      if (typeof value === 'number') expect(Number.isFinite(value), `${name} of ${of} is ${value}`).toBe(true);
      if (uncertainty !== null) expect(uncertainty >= 0 && Number.isFinite(uncertainty), `± of ${name} of ${of}`).toBe(true);
    }
  }
}
