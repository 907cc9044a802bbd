/** Finds what there is: the formulas of calc and the sheets on the shelf. Adding either is adding a file; no list is kept by hand. */
import { readdir, readFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { type Formula, isFormula } from '../../calc/formula.ts';
import { toSnake } from './formula.ts';
import { loadSheet, type Sheet, SheetError } from './notation.ts';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));
const files = async (root: string, ending: string): Promise<string[]> =>
  (await readdir(root, { recursive: true }))
    .filter((file) => file.endsWith(ending))
    .map((file) => join(root, file))
    .sort();

/** Every formula of calc by the name that sheets call it: `topSpeed` is `top_speed`. */
export async function loadFormulas(root = here('../../calc/')): Promise<ReadonlyMap<string, Formula>> {
  const formulas = new Map<string, Formula>();
  const modules = await Promise.all(
    (await files(root, '.ts')).map((file) => import(pathToFileURL(file).href) as Promise<Record<string, unknown>>),
  );
  for (const module of modules)
    for (const [name, value] of Object.entries(module)) if (isFormula(value)) formulas.set(toSnake(name), value);
  return formulas;
}

/** The groups in which the built-in sheets lie, in the order in which a page lists them. */
export const GROUPS: readonly string[] = ['weight', 'drive', 'springs', 'geometry', 'motion'];

/** The built-in sheets by name, by group and then by file name. Throws SheetError with the faults of all sheets. */
export async function loadSheets(formulas: ReadonlyMap<string, Formula>, root = here('../')): Promise<ReadonlyMap<string, Sheet>> {
  const sheets = new Map<string, Sheet>();
  const faults: string[] = [];
  for (const group of GROUPS) {
    for (const file of await files(join(root, group), '.md')) {
      const shown = `${basename(dirname(file))}/${basename(file)}`;
      try {
        const sheet = loadSheet(shown, await readFile(file, 'utf8'), { formulas, group });
        if (basename(file, '.md') !== sheet.name) faults.push(`${shown}:2: the sheet ${sheet.name} lies in a file of another name`);
        sheets.set(sheet.name, sheet);
      } catch (error) {
        if (!(error instanceof SheetError)) throw error;
        faults.push(error.message);
      }
    }
  }
  if (faults.length > 0) throw new Error(`These sheets are not right:\n${faults.join('\n')}`);
  return sheets;
}
