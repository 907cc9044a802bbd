/**
 * A sheet's page (CommonMark with a YAML head and fenced blocks) → a `Sheet` ready to answer. NOTATION.md is the reference of the notation.
 *
 * Loading checks everything that can be checked without readings: names, units, dimensions, calls, bands. A wrong sheet is refused with
 * file, line and reason, all of them at once. Each block has a file of its own: page.ts, reading-lines.ts, answer-lines.ts,
 * sentence-lines.ts; the workings are read here.
 */
import type { Formula } from '../../calc/formula.ts';
import { readAnswers, readCurves } from './answer-lines.ts';
import { CAPS, type Caps, FormulaError, TapeBuilder } from './formula.ts';
import { type Head, readBlocks, readHead } from './page.ts';
import { readReadings } from './reading-lines.ts';
import { readSentences } from './sentence-lines.ts';
import { type AnswerSpec, Desk, type Line, type ReadingSpec, type Sheet, SheetError } from './sheet.ts';

export {
  type Amount,
  type AnswerSpec,
  type BlockName,
  type Condition,
  type CurveSpec,
  type LineSpec,
  type PagePart,
  type PartSpec,
  type ReadingSpec,
  type Sheet,
  SheetError,
} from './sheet.ts';

/** Reads a sheet's page. Throws SheetError. */
export function loadSheet(
  file: string,
  text: string,
  { formulas, group = 'club', caps = CAPS }: { formulas: ReadonlyMap<string, Formula>; group?: string; caps?: Caps },
): Sheet {
  const desk = new Desk(file, new TapeBuilder(formulas, caps), caps);
  if (Buffer.byteLength(text) > caps.bytes) throw desk.stop(1, `a sheet may have ${caps.bytes / 1024} KiB`);
  const { head, body, bodyLine } = readHead(text, desk);
  const { blocks, page } = readBlocks(body, bodyLine, desk);
  const { readings, exactlyOne, lookUp } = readReadings(blocks.get('readings') ?? [], desk);
  const workings = readWorkings(blocks.get('workings') ?? [], desk);
  lookUp();
  const answers = readAnswers(blocks.get('answers') ?? [], desk);
  if (desk.faults.length === 0 && answers.length === 0) desk.fault(1, 'a sheet has at least one answer');
  const curves = readCurves(blocks.get('curve') ?? [], readings, answers, desk);
  const cautions = readSentences(blocks.get('cautions') ?? [], answers, desk);
  const next = readSentences(blocks.get('next') ?? [], answers, desk);
  checkHead(head, readings, answers, desk);
  if (desk.faults.length > 0)
    throw new SheetError(
      file,
      [...desk.faults].sort((a, b) => a.line - b.line),
    );
  return {
    ...head,
    hero: head.hero || answers[0]!.name,
    group,
    readings,
    exactlyOne,
    answers,
    curves,
    cautions,
    next,
    workings,
    page,
    tape: desk.build.build(),
    formulas,
    caps,
  };
}

function readWorkings(lines: readonly Line[], desk: Desk): Sheet['workings'] {
  const workings: { name: string; text: string }[] = [];
  for (const line of lines) {
    desk.attemptCell(line, () => {
      const found = /^([^\s=]+)\s*=(?!=)\s*(.+)$/.exec(line.text);
      if (!found) throw new FormulaError('a working is written "name = formula"');
      desk.build.working(found[1]!, found[2]!);
      workings.push({ name: found[1]!, text: found[2]! });
    });
  }
  return workings;
}

/** The head names readings and an answer that are there. */
function checkHead(head: Head, readings: readonly ReadingSpec[], answers: readonly AnswerSpec[], desk: Desk): void {
  const known = new Set(readings.map(({ name }) => name));
  for (const name of new Set([...head.quick, ...Object.keys(head.example)]))
    if (!known.has(name) && !desk.build.isBroken(name)) desk.fault(1, `the head names a reading ${name.slice(0, 40)} that is not there`);
  if (new Set(head.quick).size < head.quick.length) desk.fault(1, 'quick in the head names a reading twice');
  if (head.hero && !answers.some(({ name }) => name === head.hero) && !desk.brokenAnswers.has(head.hero))
    desk.fault(1, `the head names an answer ${head.hero} that is not there`);
}
