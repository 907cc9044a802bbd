/** The terminal's JSON: an answer for other programs, values unrounded in the contract's units. It reads and writes no archive. */

import { sureAnswer } from '../../../templates/sure.ts';
import { answerValueText, sentenceText } from '../../../templates/words.ts';
import { ask, type End, unknownReading } from '../../../worksheets/engine/ask.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';
import { echo, nameInWords, nearest, problem } from '../../../worksheets/engine/problem.ts';
import type { Answer, Problem, Problems } from '../../../worksheets/engine/types.ts';
import { LONGEST_LINE, TOO_LONG } from './lines.ts';

/** One answer as the JSON object of the contract. */
export function answerJson(answer: Answer): Record<string, unknown> {
  const said = sureAnswer(answer);
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
      answer.answers.map((one, i) => [
        one.name,
        { value: one.value, unit: one.unit, uncertainty: one.uncertainty, verdict: one.verdict, text: answerValueText(said.answers[i]!) },
      ]),
    ),
    cautions: said.cautions.map(sentenceText),
    ...(said.next === null ? {} : { next: sentenceText(said.next) }),
    ...(answer.curves.length === 0 ? {} : { curves: answer.curves.map(({ over, unit, x, answers }) => ({ over, unit, x, answers })) }),
  };
}

export const problemsJson = ({ sheet, problems }: Problems): Record<string, unknown> => ({ sheet, problems });

const slip = (sheet: string | null, one: Problem): Problems => ({ kind: 'problems', sheet, problems: [one] });

/** A name as it was typed, short and on one line. */
const asTyped = (name: string): string =>
  name
    .slice(0, 100)
    .toWellFormed()
    .replace(/[\p{Cc}\p{Zl}\p{Zp}]/gu, ' ');

/** Looks a sheet up by its name: `top-speed` is `top_speed`. */
export function sheetNamed(sheets: ReadonlyMap<string, Sheet>, name: string): Sheet | Problems {
  const sheet = sheets.get(name) ?? sheets.get(name.slice(0, 100).trim().toLowerCase().replace(/[- ]/g, '_'));
  if (sheet) return sheet;
  const like = nearest(name, sheets.keys());
  const needs = like ? `Did you mean ${like}?` : `There is ${[...sheets.keys()].join(', ')}.`;
  const one = problem(null, name, needs, '');
  return slip(asTyped(name), { ...one, text: `There is no sheet "${one.got}". ${needs}` });
}

/** The end that is meant; a problem where there is none. */
export function endNamed(sheet: Sheet, typed: unknown, problems: Problem[]): End | null {
  const word = typeof typed === 'string' ? typed.slice(0, 100).trim().toLowerCase() : '';
  if (sheet.ends && (word === 'front' || word === 'rear')) return word;
  const shown = echo(Array.isArray(typed) ? '[…]' : typeof typed === 'object' && typed !== null ? '{…}' : String(typed));
  const needs = sheet.ends ? 'Give front or rear.' : 'Leave it out.';
  const why = sheet.ends ? `"${shown}" is no end of a truck` : `${sheet.name} looks at the whole truck`;
  problems.push(problem('end', shown, needs, `End: ${why}. ${needs}`));
  return null;
}

/** Answers one line of `--jsonl`: `{"sheet": "corners", "readings": {"front_left": "612 g"}}`. */
export function answerLine(sheets: ReadonlyMap<string, Sheet>, line: string | typeof TOO_LONG): Answer | Problems {
  if (line === TOO_LONG) {
    const needs = `Give a line of at most ${LONGEST_LINE} characters.`;
    return slip(null, problem(null, null, needs, `This line is too long. ${needs}`));
  }
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
      sheet.name,
      problem(null, null, 'Give readings as an object.', 'The readings of this line are no object: {"front_left": "612 g", …}.'),
    );
  const given: Record<string, string | number> = Object.create(null);
  const problems: Problem[] = [];
  let whichEnd = end === undefined ? null : endNamed(sheet, end, problems);
  for (const [reading, value] of Object.entries(readings as Record<string, unknown>)) {
    if (reading === 'end') whichEnd = endNamed(sheet, value, problems);
    else if (typeof value === 'string' || typeof value === 'number') given[reading] = value;
    else if (typeof value === 'boolean') given[reading] = value ? 'yes' : 'no';
    else if (!sheet.readings.some(({ name: one }) => one === reading)) problems.push(unknownReading(sheet, reading));
    else problems.push(problem(reading, null, 'Give it as a text or a number.', `${nameInWords(reading)}: give it as a text or a number.`));
  }
  const made = ask(sheet, { readings: given, end: whichEnd });
  if (problems.length === 0) return made;
  // A reading that cannot be read is not missing as well.
  const slipped = new Set(problems.map(({ reading }) => reading));
  const others = made.kind === 'problems' ? made.problems.filter(({ reading }) => !slipped.has(reading)) : [];
  return { kind: 'problems', sheet: sheet.name, problems: [...problems, ...others] };
}

/** One line of JSON out for each line in. */
export const lineOut = (made: Answer | Problems): string => JSON.stringify(made.kind === 'answer' ? answerJson(made) : problemsJson(made));
