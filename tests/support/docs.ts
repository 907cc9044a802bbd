/** Writes docs/FORMULAS.md (`npm run docs`): every formula with its file, its source and what it was checked against, read from the comments and the tests. */
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { isFormula } from '../../calc/formula.ts';
import { allFormulas, commentOf, filesUnder, parts, read, root } from './formulas.ts';
import { sourcesIn } from './sources.ts';

export const page = 'docs/FORMULAS.md';

export interface Documented {
  readonly file: string;
  readonly name: string;
  readonly sentence: string;
  readonly source: string;
  /** The source of each check against something outside, in the order of the test file. */
  readonly checks: readonly string[];
}

const checksOf = (file: string): string[] => {
  const test = `tests/${file.replace(/\.ts$/, '.test.ts')}`;
  return existsSync(`${root}${test}`) ? sourcesIn(read(test)) : [];
};

/** The formulas of calc, and the plain functions of calc/numeric that name a source. */
export async function documented(): Promise<Documented[]> {
  const { formulas } = await allFormulas();
  const numeric: { file: string; name: string; comment: string }[] = [];
  for (const file of filesUnder('calc/numeric', '.ts'))
    for (const [name, value] of Object.entries((await import(`${root}${file}`)) as Record<string, unknown>))
      if (typeof value === 'function' && !isFormula(value)) numeric.push({ file, name, comment: commentOf(read(file), name) });
  return [...formulas, ...numeric]
    .map(({ file, name, comment }) => {
      const { sentence, labelled } = parts(comment);
      return { file, name, sentence: sentence.split(/(?<=\.)\s/)[0]!, source: labelled['Source:'] ?? '', checks: checksOf(file) };
    })
    .filter(({ source }) => source !== '')
    .sort((a, b) => (a.file === b.file ? compare(a.name, b.name) : compare(a.file, b.file)));
}

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

const titles: { readonly [group: string]: string } = {
  weight: 'Weight',
  drive: 'Drive',
  springs: 'Springs and dampers',
  geometry: 'Suspension and steering geometry',
  motion: 'Motion',
  numeric: 'Numerical methods',
};

const cell = (text: string): string => text.replaceAll('|', '\\|');
const withoutStop = (text: string): string => text.replace(/\.$/, '');

function row({ file, name, sentence, source, checks }: Documented): string {
  const against = [...new Set(checks.map(withoutStop))].map(cell).join('<br>');
  return `| [\`${name}\`](../${file}) | ${cell(withoutStop(sentence))} | ${cell(withoutStop(source))} | ${checks.length} | ${against} |`;
}

/** The whole page. */
export async function formulasPage(): Promise<string> {
  const all = await documented();
  const groups = Object.entries(titles).map(([group, title]) => {
    const rows = all.filter(({ file }) => file.startsWith(`calc/${group}/`)).map(row);
    return rows.length === 0
      ? []
      : ['', `## ${title}`, '', '| function | what it gives | source | checks | checked against |', '|---|---|---|---|---|', ...rows];
  });
  return `${[
    '# Formulas',
    '',
    'Every formula of `calc`: where it stands, where it comes from, and what its results were held against. Only checks with a source outside the',
    'project are counted (a book, a standard, certified data, a second method); a file with several functions has one test file, counted for each.',
    '',
    'Written by `npm run docs` from the comments of `calc` and of its tests; a test compares it. Edit those, not this page.',
    ...groups.flat(),
  ].join('\n')}\n`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  mkdirSync(`${root}docs`, { recursive: true });
  writeFileSync(`${root}${page}`, await formulasPage());
  console.log(`${page}: ${(await documented()).length} functions`);
}
