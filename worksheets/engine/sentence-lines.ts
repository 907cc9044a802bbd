/** The blocks of cautions and of what to do next → conditions, and sentences with live values in them. */
import { slotOf } from './amounts.ts';
import { FormulaError, typeInWords } from './formula.ts';
import type { AnswerSpec, Condition, Desk, Line, LineSpec } from './sheet.ts';
import { dimsInWords, sameDims, unit } from './units.ts';

type LiveValue = Exclude<LineSpec['parts'][number], string>;
const LIVE = /`=([a-z][a-z0-9_]*)(?:\s+in\s+([^`\s]+))?(\s+whole)?`/g;

export function readSentences(lines: readonly Line[], answers: readonly AnswerSpec[], desk: Desk): readonly LineSpec[] {
  const sentences: LineSpec[] = [];
  for (const line of lines) {
    desk.attempt(line, () => {
      const found = /^(.+?)\s+:\s+(.+)$/.exec(line.text);
      if (!found) throw new FormulaError('write "condition : sentence" ("always : …" where it always holds)');
      const when = found[1]!.split(/\s+and\s+/).map((written) => readCondition(written, answers, desk));
      sentences.push({ when, parts: readParts(found[2]!, answers, desk) });
    });
  }
  return sentences;
}

function readParts(text: string, answers: readonly AnswerSpec[], desk: Desk): LineSpec['parts'] {
  const parts: LineSpec['parts'][number][] = [];
  const words = (from: number, to: number): void => {
    const said = text.slice(from, to);
    if (said.includes('`=')) throw new FormulaError('a live value is written `=name`, `=name in unit` or `=name whole`');
    if (said !== '') parts.push(said);
  };
  let at = 0;
  for (const live of text.matchAll(LIVE)) {
    words(at, live.index);
    at = live.index + live[0].length;
    parts.push({ ...readValue(live[1]!, live[2], answers, desk), ...(live[3] ? { whole: true } : {}) });
  }
  words(at, text.length);
  return parts;
}

function readValue(name: string, inUnit: string | undefined, answers: readonly AnswerSpec[], { build }: Desk): LiveValue {
  const answer = answers.find((one) => one.name === name);
  if (answer && inUnit === undefined) return { slot: answer.slot, field: answer.field, unit: answer.unit, type: answer.type };
  const cell = answer ?? build.cell(name) ?? build.noCell(name);
  const { type } = cell;
  if (type.kind === 'flag' || type.kind === 'text' || type.kind === 'choice') {
    if (inUnit !== undefined) throw new FormulaError(`${name} is ${typeInWords(type)}, which has no unit`);
    return { slot: cell.slot, field: null, unit: null, type };
  }
  if (type.kind !== 'number') throw new FormulaError(`${name} is ${typeInWords(type)}, which does not stand in a sentence`);
  const shown = unit(inUnit ?? '1');
  if (!shown || !sameDims(shown.dims, type.dims))
    throw new FormulaError(`${name} is ${dimsInWords(type.dims)}: write \`=${name} in …\` with a unit of it`);
  return { slot: cell.slot, field: null, unit: shown, type };
}

function readCondition(written: string, answers: readonly AnswerSpec[], desk: Desk): Condition {
  if (written === 'always') return { kind: 'always' };
  const verdict = /^(\S+) (on target|off target|too close to call)$/.exec(written);
  if (verdict) {
    const [, name, is] = verdict as unknown as [string, string, string];
    if (!answers.some((answer) => answer.name === name && answer.band))
      throw new FormulaError(`${name} has no band, so no verdict`, desk.brokenAnswers.has(name));
    return { kind: 'verdict', answer: name, is };
  }
  const not = /^not\s+/.test(written);
  const { slot, type } = slotOf(desk, written.replace(/^not\s+/, ''));
  if (type.kind !== 'flag') throw new FormulaError(`"${written.slice(0, 60)}" is no condition: a comparison or a yes/no`);
  return { kind: 'flag', slot, not };
}
