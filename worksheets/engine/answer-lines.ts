/** The blocks of answers and curves → what is answered, in which unit, with which target band. */
import { amountOf, measureIn } from './amounts.ts';
import { FormulaError, toCamel, typeInWords } from './formula.ts';
import { nearest } from './problem.ts';
import type { Amount, AnswerSpec, CurveSpec, Desk, Line, ReadingSpec } from './sheet.ts';
import { dimsInWords, sameDims, type Unit, unit } from './units.ts';

export function readAnswers(lines: readonly Line[], desk: Desk): readonly AnswerSpec[] {
  const answers: AnswerSpec[] = [];
  for (const line of lines) {
    const found = /^([^\s:]+)\s*(?::\s*(.*))?$/.exec(line.text);
    const isMade = desk.attempt(line, () => {
      if (!found) throw new FormulaError('an answer is written "name : in unit"');
      if (line.label.length > 80) throw new FormulaError('a label has at most 80 characters');
      if (answers.some(({ name }) => name === found[1])) throw new FormulaError(`${found[1]} is there already`);
      answers.push(readAnswer(found[1]!, found[2] ?? '', line, desk));
    });
    if (!isMade && found) desk.brokenAnswers.add(found[1]!);
  }
  return answers;
}

const CLAUSES =
  /^(?:in\s+(\S+))?(\s*whole)?(?:\s*within\s+(.+?)\s+\.\.\s+(.+?))?(?:\s*sd\s+(\S+))?(?:\s*verdict\s+(\S+))?(\s*planned)?(?:\s*is\s+\S+)?$/;

function readAnswer(name: string, rest: string, line: Line, desk: Desk): AnswerSpec {
  const { build } = desk;
  const cell = build.cell(name);
  const source = /(?:^|\s)is\s+(\S+)$/.exec(rest)?.[1];
  if (source !== undefined && cell)
    throw new FormulaError(`${name} is a cell already: leave out "is ${source}", or call it something else`);
  const whole = source !== undefined ? build.wholeField(source) : cell ? { ...cell, field: null } : build.noCell(name);
  const { type } = whole;
  // A number or a yes/no of a call gets a slot of its own, so that absence and the cards see it like any other.
  const slot =
    source !== undefined && whole.field !== null && (type.kind === 'number' || type.kind === 'flag')
      ? build.unnamed(source).slot
      : whole.slot;
  const base = { name, label: line.label, line: line.number, type, slot };
  if (type.kind === 'text' || type.kind === 'flag' || type.kind === 'choice') {
    const word = type.kind === 'flag' ? 'yes/no' : 'text';
    const left = rest.replace(/(?:^|\s)is\s+\S+$/, '').trim();
    if (left !== '' && left !== word)
      throw new FormulaError(`${name} is ${typeInWords(type)}: write "${name} : ${word}", without "${left.slice(0, 40)}"`);
    return { ...base, field: type.kind === 'flag' ? null : whole.field, unit: null };
  }
  if (type.kind !== 'number') throw new FormulaError(`${name} is ${typeInWords(type)}; an answer is a number, a word or yes/no`);

  const clauses = CLAUSES.exec(rest);
  if (!clauses) throw new FormulaError('an answer is written "name : in unit within low .. high"');
  const [, inUnit, isWhole, low, high, sd, verdict, planned] = clauses;
  const shown = unit(inUnit ?? '1');
  if (!shown) throw new FormulaError(`there is no unit ${inUnit}`);
  if (!sameDims(shown.dims, type.dims))
    throw new FormulaError(`${name} is ${dimsInWords(type.dims)}, not ${dimsInWords(shown.dims)}${inUnit ? '' : ': say in which unit'}`);
  const band = low === undefined ? undefined : bandOf(low, high!, shown, desk);
  const word = verdict === undefined ? undefined : build.wholeField(verdict);
  if (word && word.type.kind !== 'text') throw new FormulaError(`${verdict} is ${typeInWords(word.type)}; a verdict is a word`);
  return {
    ...base,
    field: null,
    unit: shown,
    ...(isWhole === undefined ? {} : { whole: true }),
    ...(band ? { band } : {}),
    ...(sd === undefined ? {} : { sd: amountOf(desk, sd, measureIn(shown), 'difference') }),
    ...(word ? { verdict: { slot: word.slot, field: word.field } } : {}),
    ...(planned === undefined ? {} : { planned: true }),
  };
}

function bandOf(low: string, high: string, shown: Unit, desk: Desk): readonly [Amount, Amount] {
  const [from, to] = [amountOf(desk, low, measureIn(shown), 'level'), amountOf(desk, high, measureIn(shown), 'level')];
  if ('si' in from && 'si' in to && !(from.si <= to.si)) throw new FormulaError('the band ends below its start');
  return [from, to];
}

// ── curves ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export function readCurves(
  lines: readonly Line[],
  readings: readonly ReadingSpec[],
  answers: readonly AnswerSpec[],
  desk: Desk,
): readonly CurveSpec[] {
  const curves: CurveSpec[] = [];
  for (const line of lines) {
    desk.attempt(line, () => {
      const over = /^(.+?)\s+over\s+(\S+)\s+from\s+(.+?)\s+to\s+(.+?)\s+by\s+(.+)$/.exec(line.text);
      const of = /^(.+?)\s+over\s+(\S+)(?:\s+in\s+(\S+))?\s+of\s+(\S+)$/.exec(line.text);
      if (over) curves.push(overReading(over, readings, answers, desk));
      else if (of) curves.push(overColumn(of, desk));
      else throw new FormulaError('a curve is written "answers over reading from … to … by …" or "columns over column of table"');
    });
  }
  return curves;
}

function overReading(
  [, names, over, from, to, by]: readonly (string | undefined)[],
  readings: readonly ReadingSpec[],
  answers: readonly AnswerSpec[],
  desk: Desk,
): CurveSpec {
  const reading = readings.find(({ name }) => name === over);
  if (reading?.type.kind !== 'number')
    throw new FormulaError(`a curve goes over a reading that is a number; ${over} is none`, desk.build.isBroken(over!));
  const measure = { kindName: reading.kind, unit: reading.unit! };
  const spec = {
    answers: names!.split(/\s*,\s*/).map((name) => {
      const answer = answers.find((one) => one.name === name);
      if (answer?.type.kind !== 'number')
        throw new FormulaError(`a curve shows answers that are numbers; ${name} is none`, desk.brokenAnswers.has(name));
      return { name, slot: answer.slot, unit: answer.unit };
    }),
    over: reading.name,
    unit: reading.unit,
    from: amountOf(desk, from!, measure, 'level'),
    to: amountOf(desk, to!, measure, 'level'),
    by: amountOf(desk, by!, measure, 'difference'),
  };
  if ('si' in spec.by && !(spec.by.si > 0)) throw new FormulaError('the step of a curve is above zero');
  if ('si' in spec.from && 'si' in spec.to) {
    if (!(spec.from.si <= spec.to.si)) throw new FormulaError('the curve ends below its start');
    if ('si' in spec.by && (spec.to.si - spec.from.si) / spec.by.si > desk.caps.points - 1 + 1e-9)
      throw new FormulaError(`a curve may have ${desk.caps.points} points`);
  }
  return spec;
}

function overColumn([, names, over, inUnit, source]: readonly (string | undefined)[], { build }: Desk): CurveSpec {
  const whole = build.wholeField(source!);
  if (whole.type.kind !== 'table' || whole.field === null) throw new FormulaError(`${source} is no table`);
  const { columns } = whole.type;
  const column = (written: string): { readonly name: string; readonly unit: Unit } => {
    const [, name, shownIn] = /^(\S+)(?:\s+in\s+(\S+))?$/.exec(written) ?? [];
    const dims = name !== undefined && Object.hasOwn(columns, name) ? columns[name] : undefined;
    if (!dims) {
      const like = nearest(name ?? written, Object.keys(columns));
      throw new FormulaError(`that table has no column ${(name ?? written).slice(0, 40)}${like ? `; did you mean ${like}?` : ''}`);
    }
    const shown = unit(shownIn ?? '1');
    if (!shown || !sameDims(shown.dims, dims)) throw new FormulaError(`${name} is ${dimsInWords(dims)}: say in which unit`);
    return { name: name!, unit: shown };
  };
  const x = column(inUnit ? `${over} in ${inUnit}` : over!);
  return {
    answers: names!.split(/\s*,\s*/).map((written) => {
      const one = column(written);
      return { ...one, slot: whole.slot, column: toCamel(one.name) };
    }),
    over: x.name,
    unit: x.unit,
    table: { slot: whole.slot, field: toCamel(whole.field), column: toCamel(x.name) },
  };
}
