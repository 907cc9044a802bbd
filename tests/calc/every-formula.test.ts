import { describe, expect, it } from 'vitest';
import { DomainError, isAbsent, type ResultSpec } from '../../calc/formula.ts';
import { edges } from '../support/edges.ts';
import { evaluate, inputsOf, type Stated, shownNumber, statements } from '../support/examples.ts';
import {
  allFormulas,
  inputsToName,
  labels,
  parts,
  resultsToName,
  unitInTable,
  unitsOf,
  unitWords,
  type Written,
} from '../support/formulas.ts';

const { formulas, broken } = await allFormulas();

/** What `result` says against `stated`; null when it agrees. */
function disagreement({ name, sign, shown }: Stated, formula: Written['formula'], result: unknown): string | null {
  const single = typeof formula.results === 'string';
  if (single !== (name === null))
    return single ? `"${name}" has no place before a nameless result` : `"${shown}" does not say which result it is`;
  const spec: ResultSpec | undefined = typeof formula.results === 'string' ? formula.results : formula.results[name!];
  if (spec === undefined) return `there is no result "${name}"`;
  const value = single ? result : (result as Record<string, unknown>)[name!];
  const got = `${name ?? 'the result'} is ${isAbsent(value) ? value.absent : String(value)}, the example says ${sign} ${shown}`;
  if (value === undefined) return shown === 'left out' ? null : got;
  if (isAbsent(value))
    return shown === value.absent || shown === `absent (${value.absent})` || shown === `absent('${value.absent}')` ? null : got;
  if (typeof value !== 'number') return shown.replace(/^'(.*)'$/, '$1') === String(value) ? null : got;
  const number = shownNumber(shown);
  if (number === null) return `"${shown}" is no number with a unit`;
  const unit = typeof spec === 'string' ? spec : spec.kind === 'maybe' ? spec.unit : '';
  if (number.unit !== unit) return `${name ?? 'the result'} is in ${unit}, the example says ${number.unit}`;
  const tolerance = sign === '=' ? 1e-9 * Math.abs(number.value) : number.halfUnit * (1 + 1e-9);
  return Math.abs(value - number.value) <= tolerance ? null : got;
}

/** What of a result is not as declared. */
function undeclared(formula: Written['formula'], result: unknown): string[] {
  const wrong = (name: string, spec: ResultSpec, value: unknown): string[] => {
    if (typeof spec !== 'string' && spec.kind === 'table') {
      const columns = Object.keys(spec.columns).map((column) => (value as Record<string, unknown[]> | undefined)?.[column]);
      const whole = columns.every((column) => Array.isArray(column) && column.length === columns[0]?.length);
      return whole ? [] : [`${name} is no table of ${Object.keys(spec.columns).join(', ')} with columns of one length`];
    }
    if (typeof spec !== 'string' && (value === undefined || isAbsent(value))) return [];
    const unit = typeof spec === 'string' ? spec : spec.unit;
    const type = unit === 'yes/no' ? 'boolean' : unit === 'text' ? 'string' : 'number';
    return typeof value === type && !Number.isNaN(value) ? [] : [`${name} is ${String(value)}, declared as ${unit}`];
  };
  if (typeof formula.results === 'string') return wrong('the result', formula.results, result);
  const names = Object.keys(formula.results);
  const extra = Object.keys(result as object).filter((name) => !names.includes(name));
  return [
    ...extra.map((name) => `${name} is not declared`),
    ...names.flatMap((name) =>
      wrong(name, (formula.results as Record<string, ResultSpec>)[name]!, (result as Record<string, unknown>)[name]),
    ),
  ];
}

it('finds the formulas of calc, and can import every file of calc', () => {
  expect(broken).toEqual([]);
  expect(formulas.map(({ name }) => name)).toContain('rideFrequency');
});

it('has no two formulas of one name, since a sheet calls them by name alone', () => {
  const twice = formulas.filter(({ name }, i) => formulas.findIndex((other) => other.name === name) !== i);
  expect(twice.map(({ file, name }) => `${file}: ${name}`)).toEqual([]);
});

describe.each(formulas.map((each) => ({ ...each, title: `${each.file}: ${each.name}` })))('$title', ({ name, formula, comment }) => {
  const written = parts(comment);

  it('has a comment in the order of the house: sentence, formula, symbols, Shape, Leaves out, Throws, Source, example', () => {
    const examples = written.examples.map(() => '@example');
    expect(written.order).toEqual(['sentence', 'formula', 'symbols', ...labels, ...(examples.length > 0 ? examples : ['@example'])]);
    expect(labels.filter((label) => !written.labelled[label]?.trim())).toEqual([]);
    expect(written.sentence).toMatch(/[.!]$/);
  });

  it('names every input and every result in its symbol table, with the unit that is declared', () => {
    const inputs = inputsToName(formula);
    const wrong = [...inputs, ...resultsToName(formula)].flatMap(({ name: each, units }) => {
      const unit = unitInTable(written.table, each);
      if (unit === null) return [`${each} is not in the table`];
      return units.includes(unit) ? [] : [`${each} is in ${units.join(' or ')}, the table says ${unit}`];
    });
    const single = formula.results;
    if (typeof single === 'string') {
      const others = written.table.filter((row) => !inputs.some((input) => unitInTable([row], input.name) !== null));
      if (!others.some((row) => row.slice(1, 3).includes(single))) wrong.push(`the result, in ${single}, is not in the table`);
    }
    expect(wrong).toEqual([]);
  });

  it('declares only units that the sheets know', () => {
    expect(unitsOf(formula).filter((unit) => !unitWords.has(unit))).toEqual([]);
  });

  it('gives what its example says, to the digits shown', () => {
    expect(written.examples.length).toBeGreaterThan(0);
    for (const { call, stated } of written.examples) {
      const result = evaluate(call, name, formula);
      expect(undeclared(formula, result)).toEqual([]);
      const said = statements(stated);
      expect(said.length, `nothing is stated after "${call}"`).toBeGreaterThan(0);
      expect(said.map((each) => disagreement(each, formula, result)).filter((each) => each !== null)).toEqual([]);
    }
  });

  it('refuses each input that makes no sense, and says which', () => {
    const example = written.examples[0];
    expect(example).toBeDefined();
    const letThrough: string[] = [];
    let tried = 0;
    for (const { what, names, inputs } of edges(formula, inputsOf(example!.call, name))) {
      tried += 1;
      try {
        formula(inputs as Parameters<typeof formula>[0]);
        letThrough.push(`${what}: let through`);
      } catch (error) {
        if (!(error instanceof DomainError)) letThrough.push(`${what}: ${String(error)}`);
        else if (!names.includes(error.input ?? '')) letThrough.push(`${what}: refused, but names ${error.input} ("${error.message}")`);
      }
    }
    expect(letThrough).toEqual([]);
    expect(tried).toBeGreaterThan(0);
  });
});
