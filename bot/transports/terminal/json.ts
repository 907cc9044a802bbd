/** The terminal's JSON: an answer for other programs, values unrounded in the contract's units. It reads and writes no archive. */

import { quantity } from '../../../templates/number.ts';
import { answerValueText, sentenceText } from '../../../templates/words.ts';
import { ask, type End } from '../../../worksheets/engine/ask.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';
import { nearest, problem } from '../../../worksheets/engine/problem.ts';
import type { Answer, AnswerValue, Problem, Problems } from '../../../worksheets/engine/types.ts';

/** One answer as the JSON object of the contract. */
export function answerJson(answer: Answer): Record<string, unknown> {
  return {
    sheet: answer.sheet,
    ...(answer.end === null ? {} : { end: answer.end }),
    readings: Object.fromEntries(
      answer.readings.map(({ name, value, unit, uncertainty, from, note }) => [
        name,
        { value, unit, uncertainty, from, ...(note ? { note } : {}) },
      ]),
    ),
    answers: Object.fromEntries(
      answer.answers.map((one) => [
        one.name,
        { value: one.value, unit: one.unit, uncertainty: one.uncertainty, verdict: one.verdict, text: textOf(one) },
      ]),
    ),
    cautions: answer.cautions.map(sentenceText),
    ...(answer.next === null ? {} : { next: sentenceText(answer.next) }),
    ...(answer.curves.length === 0 ? {} : { curves: answer.curves.map(({ over, unit, x, answers }) => ({ over, unit, x, answers })) }),
  };
}
const textOf = (one: AnswerValue): string =>
  typeof one.value === 'number' ? quantity(one.value, one.unit, one.uncertainty || null) : answerValueText(one);

export const problemsJson = ({ sheet, problems }: Problems): Record<string, unknown> => ({ sheet, problems });

const slip = (sheet: string | null, one: Problem): Problems => ({ kind: 'problems', sheet, problems: [one] });

/** Looks a sheet up by its name. */
export function sheetNamed(sheets: ReadonlyMap<string, Sheet>, name: string): Sheet | Problems {
  const sheet = sheets.get(name);
  if (sheet) return sheet;
  const like = nearest(name, sheets.keys());
  const needs = like ? `Did you mean ${like}?` : `There is ${[...sheets.keys()].join(', ')}.`;
  const one = problem(null, name, needs, '');
  return slip(name, { ...one, text: `There is no sheet "${one.got}". ${needs}` });
}

/** Answers one line of `--jsonl`: `{"sheet": "corners", "readings": {"front_left": "612 g"}}`. */
export function answerLine(sheets: ReadonlyMap<string, Sheet>, line: string): Answer | Problems {
  let question: unknown;
  try {
    question = JSON.parse(line);
  } catch {
    return slip(
      null,
      problem(null, line, 'Give one JSON object a line.', 'This line is no JSON. Give one object a line: {"sheet": "…", "readings": {…}}.'),
    );
  }
  if (typeof question !== 'object' || question === null || Array.isArray(question))
    return slip(null, problem(null, line, 'Give one JSON object a line.', 'This line is no object. Give {"sheet": "…", "readings": {…}}.'));
  const { sheet: name, readings = {}, end } = question as { sheet?: unknown; readings?: unknown; end?: unknown };
  if (typeof name !== 'string')
    return slip(null, problem(null, null, 'Name a sheet.', 'This line names no sheet. Give {"sheet": "…", "readings": {…}}.'));
  const sheet = sheetNamed(sheets, name);
  if ('kind' in sheet) return sheet;
  if (typeof readings !== 'object' || readings === null || Array.isArray(readings))
    return slip(
      name,
      problem(null, null, 'Give readings as an object.', 'The readings of this line are no object: {"front_left": "612 g", …}.'),
    );
  const given: Record<string, string | number> = {};
  const problems: Problem[] = [];
  let whichEnd: End | null = null;
  for (const [reading, value] of Object.entries({ ...(readings as Record<string, unknown>), ...(end === undefined ? {} : { end }) })) {
    const known = sheet.readings.some((one) => one.name === reading);
    if (reading === 'end' && !known) {
      if (sheet.ends && (value === 'front' || value === 'rear')) whichEnd = value;
      else
        problems.push(
          problem(
            'end',
            String(value),
            'Give front or rear.',
            `End: "${String(value).slice(0, 40)}" is no end that ${sheet.name} knows. Give front or rear.`,
          ),
        );
    } else if (typeof value === 'string' || typeof value === 'number') given[reading] = value;
    else if (typeof value === 'boolean') given[reading] = value ? 'yes' : 'no';
    else problems.push(problem(reading, null, 'Give it as a text or a number.', `${reading.slice(0, 40)}: give it as a text or a number.`));
  }
  const made = ask(sheet, { readings: given, end: whichEnd });
  if (problems.length === 0) return made;
  return { kind: 'problems', sheet: name, problems: [...problems, ...(made.kind === 'problems' ? made.problems : [])] };
}

/** One line of JSON out for each line in. */
export const lineOut = (made: Answer | Problems): string => JSON.stringify(made.kind === 'answer' ? answerJson(made) : problemsJson(made));
