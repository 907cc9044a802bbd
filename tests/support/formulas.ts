/**
 * Every formula of calc, found by walking the folder, with what its comment promises: for the tests of the comments and for docs/FORMULAS.md.
 *
 * How the comment's symbol table names what has no single unit:
 *   a choice       ends          squared | plain     the choices joined by " | ", or just `word`
 *   a yes/no       straight      yes/no              a text: `text`
 *   a number or word             V or off            or just the unit
 *   a list         its own name with the unit of one item
 *   a list of rows, a table      one line for each part or column, with that part's unit (a line of its own with `list` may stand above)
 */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type Formula, type ItemSpec, inWords, isFormula, type OptionalSpec, type ResultSpec, type Spec } from '../../calc/formula.ts';

export const root = fileURLToPath(new URL('../../', import.meta.url));

/** Files under a folder of the project with one of these endings, as paths from the root, in alphabetical order. */
export function filesUnder(folder: string, ...endings: string[]): string[] {
  const found = readdirSync(`${root}${folder}`, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && endings.some((ending) => entry.name.endsWith(ending)))
    .map((entry) => `${entry.parentPath}/${entry.name}`.replaceAll('\\', '/').slice(root.length));
  return found.filter((file) => !file.includes('node_modules/')).sort();
}

export const read = (file: string): string => readFileSync(`${root}${file}`, 'utf8');

export interface Written {
  readonly file: string;
  readonly name: string;
  readonly formula: Formula;
  /** The comment right before the export, without its stars; empty where there is none. */
  readonly comment: string;
}
export interface Calc {
  readonly formulas: readonly Written[];
  /** Files that could not be imported, with what went wrong. */
  readonly broken: readonly { readonly file: string; readonly why: string }[];
}

/** All formulas of calc; a file that cannot be imported is reported and does not hide the others. */
export async function allFormulas(): Promise<Calc> {
  const formulas: Written[] = [];
  const broken: { file: string; why: string }[] = [];
  for (const file of filesUnder('calc', '.ts')) {
    let exports: Record<string, unknown>;
    try {
      exports = (await import(`${root}${file}`)) as Record<string, unknown>;
    } catch (error) {
      broken.push({ file, why: String(error) });
      continue;
    }
    const source = read(file);
    for (const [name, formula] of Object.entries(exports))
      if (isFormula(formula) && isWrittenIn(source, name)) formulas.push({ file, name, formula, comment: commentOf(source, name) });
  }
  return { formulas, broken };
}

/** False for a formula that the file only passes on from another. */
const isWrittenIn = (source: string, name: string): boolean => new RegExp(`export (const|function) ${name}\\b`).test(source);

/** The comment right before `export const name` or `export function name`, without its stars. */
export function commentOf(source: string, name: string): string {
  const found = new RegExp(`/\\*\\*((?:(?!\\*/)[^])*)\\*/\\s*export (?:const|function) ${name}\\b`).exec(source);
  return (found?.[1] ?? '')
    .split('\n')
    .map((line) => line.replace(/^\s*\*? ?/, '').trimEnd())
    .join('\n')
    .trim();
}

export const labels = ['Shape:', 'Leaves out:', 'Throws:', 'Source:'] as const;

/** One row of a symbol table, as its columns: symbol, name, unit, note. */
export type Row = readonly string[];

export interface Comment {
  readonly sentence: string;
  readonly formula: readonly string[];
  readonly table: readonly Row[];
  /** What follows each label, lines joined. */
  readonly labelled: { readonly [label: string]: string };
  readonly examples: readonly Example[];
  /** The parts that are there, in the order in which they stand. */
  readonly order: readonly string[];
}
export interface Example {
  readonly call: string;
  readonly stated: string;
}

/** Takes a comment apart; what is missing is simply not there (the test says so). */
export function parts(comment: string): Comment {
  const order: string[] = [];
  const labelled: Record<string, string> = {};
  const examples: string[] = [];
  const blocks: string[][] = [];
  let sentence = '';
  let at: string | null = null;
  let before = '';
  for (const line of comment.split('\n')) {
    const label = labels.find((each) => line.startsWith(each));
    if (label) {
      order.push(label);
      at = label;
      labelled[label] = line.slice(label.length).trim();
    } else if (line.startsWith('@example')) {
      order.push('@example');
      at = '@example';
      examples.push(line.slice('@example'.length).trim());
    } else if (at === '@example') {
      examples.push(`${examples.pop() ?? ''} ${line.trim().replace(/^\/\/\s*/, '')}`);
    } else if (at !== null) {
      if (line.trim() !== '') labelled[at] = `${labelled[at]} ${line.trim()}`;
    } else if (line.startsWith('    ')) {
      if (before.startsWith('    ')) blocks.at(-1)!.push(line);
      else blocks.push([line]);
      if (blocks.length === 1 && !order.includes('formula')) order.push('formula');
    } else if (line.trim() !== '' && blocks.length === 0) {
      if (!order.includes('sentence')) order.push('sentence');
      sentence = sentence === '' ? line.trim() : `${sentence} ${line.trim()}`;
    }
    before = line;
  }
  const table = blocks.length > 1 ? blocks.at(-1)! : [];
  if (table.length > 0) order.splice(order.indexOf('formula') + 1, 0, 'symbols');
  return {
    sentence,
    formula: blocks.slice(0, table.length > 0 ? -1 : undefined).flat(),
    table: table.map((line) => line.trim().split(/\s{2,}/)),
    labelled,
    examples: examples.map((text) => {
      const cut = text.indexOf('//');
      return cut < 0 ? { call: text.trim(), stated: '' } : { call: text.slice(0, cut).trim(), stated: text.slice(cut + 2).trim() };
    }),
    order,
  };
}

const isSpec = (item: ItemSpec): item is Spec => typeof (item as Spec).kind === 'string';

/** A name that has to stand in the symbol table, and the unit words that may stand beside it. */
export interface Entry {
  readonly name: string;
  readonly units: readonly string[];
}

function inputEntries(name: string, spec: Spec | OptionalSpec): Entry[] {
  switch (spec.kind) {
    case 'optional':
      return inputEntries(name, spec.of);
    case 'number':
      return [{ name, units: [spec.unit] }];
    case 'number or word':
      return [{ name, units: [spec.unit, `${spec.unit} or ${spec.word}`] }];
    case 'choice':
      return [{ name, units: ['word', spec.choices.join(' | ')] }];
    case 'text':
      return [{ name, units: ['text'] }];
    case 'flag':
      return [{ name, units: ['yes/no'] }];
    case 'list': {
      const item = spec.item as ItemSpec;
      if (isSpec(item)) return inputEntries(name, item);
      return Object.entries(item).flatMap(([part, each]) => inputEntries(part, each));
    }
  }
}

function resultEntries(name: string, spec: ResultSpec): Entry[] {
  if (typeof spec === 'string') return [{ name, units: [spec] }];
  if (spec.kind === 'maybe') return [{ name, units: [spec.unit] }];
  return Object.entries(spec.columns).map(([column, unit]) => ({ name: column, units: [unit] }));
}

export const inputsToName = (formula: Formula): Entry[] =>
  Object.entries(formula.inputs).flatMap(([name, spec]) => inputEntries(name, spec));
/** Empty for a formula with one nameless result: that one is looked for by its unit. */
export const resultsToName = (formula: Formula): Entry[] =>
  typeof formula.results === 'string' ? [] : Object.entries(formula.results).flatMap(([name, spec]) => resultEntries(name, spec));

/** "peak 1" and "peak1" are one name; so are "Hooke joint" and "hookeJoint". */
const plain = (name: string): string => inWords(name).replace(/\s/g, '').toLowerCase();

/** The unit that the table gives a name; null where the name is not in the table. */
export function unitInTable(table: readonly Row[], name: string): string | null {
  for (const [symbol, second, third] of table) {
    if (second !== undefined && third !== undefined && plain(second) === plain(name)) return third;
    // A row without a symbol: name and unit only.
    if (symbol !== undefined && second !== undefined && plain(symbol) === plain(name)) return second;
  }
  return null;
}

/** Units that a declaration may use: the spellings that the engine knows. */
export const unitWords: ReadonlySet<string> = new Set(
  `1 kg m s rad N N/m N·s/m N·m N·m/rad kg·m² m/s m/s² rad/s rad/(s·V) Hz V A Ω W J K K/W J/K Pa m² m³ m²/s kg/m³ 1/m 1/s C rad/m m/rad rad·s²/m`.split(
    ' ',
  ),
);

/** Every unit of a declaration, inputs and results. */
export function unitsOf(formula: Formula): string[] {
  const ofSpec = (spec: Spec | OptionalSpec): string[] => {
    if (spec.kind === 'optional') return ofSpec(spec.of);
    if (spec.kind === 'number' || spec.kind === 'number or word') return [spec.unit];
    if (spec.kind !== 'list') return [];
    const item = spec.item as ItemSpec;
    return isSpec(item) ? ofSpec(item) : Object.values(item).flatMap(ofSpec);
  };
  const ofResult = (spec: ResultSpec): string[] =>
    typeof spec === 'string' ? [spec] : spec.kind === 'maybe' ? [spec.unit] : Object.values(spec.columns);
  const results = typeof formula.results === 'string' ? [formula.results] : Object.values(formula.results).flatMap(ofResult);
  return [...Object.values(formula.inputs).flatMap(ofSpec), ...results.filter((unit) => unit !== 'yes/no' && unit !== 'text')];
}
