/** `npm run cards`: every card, dark and light, and as a phone shows it, into out/cards with one page to look at them. */
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { makeCards } from '../../templates/card/render.ts';
import { resultText } from '../../templates/text.ts';
import { samples } from './sample-answers.ts';
import { exampleAnswers } from './sheet-answers.ts';

const out = fileURLToPath(new URL('../../out/cards', import.meta.url));
await mkdir(out, { recursive: true });
const cards = await makeCards({ fontCacheDir: join(out, '..', 'fonts') });
if (!cards.ready) process.exit(1);

const escaped = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');
const wanted = process.argv.slice(2);
const sections: string[] = [];
// Every sheet's own example first, then the answers that show what a card does when things are off.
const examples = [...(await exampleAnswers())].map(
  ([name, answer]) => [name, { answer, truck: 'Sandhopper', day: '14 June 2026' }] as const,
);
const shelf = new Set(examples.map(([name]) => name));
const others = Object.entries(samples).filter(([name]) => !shelf.has(name.replaceAll('-', '_')));
for (const [name, { answer, truck, day }] of [...examples, ...others]) {
  if (wanted.length > 0 && !wanted.some((part) => name.includes(part))) continue;
  for (const theme of ['dark', 'light'] as const)
    await writeFile(join(out, `${name}-${theme}.png`), await cards.png(answer, { theme, truck, day }));
  const alt = escaped(cards.alt(answer, { truck, day }));
  const image = (theme: string, width: number): string => `<img src="${name}-${theme}.png" width="${width}" alt="${alt}">`;
  sections.push(`<section><h2>${name}</h2>${image('dark', 540)}${image('light', 540)}${image('dark', 360)}
<pre>${escaped(resultText(answer, { for: 'terminal', truck, day }))}</pre><p>${alt}</p></section>`);
}
await writeFile(
  join(out, 'index.html'),
  `<!doctype html><html lang="en"><meta charset="utf-8"><title>Cards</title>
<style>body{font:15px/1.4 sans-serif;margin:24px;background:#8a8f96;color:#111}img{margin:0 12px 12px 0;vertical-align:top}pre{background:#fff;padding:12px;overflow:auto}p{max-width:80ch}</style>
${sections.join('\n')}
</html>
`,
);
console.log(`${sections.length} cards in ${out}, look at index.html`);
