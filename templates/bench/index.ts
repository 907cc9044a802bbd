/** The pages of the bench: views in, HTML out. Handlebars with escaping on and strict, compiled once when the bench starts. */
import { readdir, readFile } from 'node:fs/promises';
import Handlebars from 'handlebars';
import { themes } from '../card/theme.ts';
import { makeProse, type Prose } from './prose.ts';
import type { Page } from './views.ts';

export { answerView, valuesByName } from './answer.ts';
export type * from './views.ts';

export interface Pages {
  readonly page: (view: Page) => string;
  readonly prose: Prose;
  readonly style: string;
  readonly icon: string;
}

const here = new URL('./', import.meta.url);
const text = (file: string): Promise<string> => readFile(new URL(file, here), 'utf8');

export async function makePages(): Promise<Pages> {
  const house = Handlebars.create();
  // Indenting a partial would indent the lines of a text that a member typed into a box.
  const options = { strict: true, noEscape: false, preventIndent: true };
  const files = (await readdir(here)).filter((file) => /^[a-z-]+\.hbs$/.test(file)).sort();
  const sources = await Promise.all(files.map(async (file) => [file.replace(/\.hbs$/, ''), await text(file)] as const));
  // A partial that is registered as a string is compiled without `strict`.
  for (const [name, source] of sources) house.registerPartial(name, house.compile(source, options));
  const frame = house.compile(`{{> frame}}`, options);
  return { page: (view) => frame(view), prose: makeProse(), style: `${colours()}${await text('style.css')}`, icon: await text('icon.svg') };
}

/** The cards' colours, by the cards' names: written once, in the cards' theme. */
function colours(): string {
  const rules = (theme: 'dark' | 'light'): string =>
    Object.entries({ ...themes[theme], 'on-heavy': theme === 'dark' ? themes.dark.ground : '#ffffff' })
      .map(([name, colour]) => `--${name}:${colour};`)
      .join('');
  return `:root{color-scheme:dark;${rules('dark')}}\n@media (prefers-color-scheme:light){:root{color-scheme:light;${rules('light')}}}\n`;
}
