/**
 * Draws every sample in a process of its own, for tests that need another environment, and prints one JSON line: whether the cards are
 * ready, what was said, and a digest of each picture. `--text-first`: the process has drawn a text before, so fontconfig has already read
 * whatever fonts the environment gives.
 */
import { createHash } from 'node:crypto';
import sharp from 'sharp';
import { makeCards } from '../../templates/card/render.ts';
import { samples } from './sample-answers.ts';

const [fontCacheDir, textFirst] = process.argv.slice(2);
if (fontCacheDir === undefined) throw new Error('Name the folder of the font cache.');
if (textFirst === '--text-first') {
  const svg = '<svg xmlns="http://www.w3.org/2000/svg" width="90" height="30"><text x="5" y="20" font-family="Inter">early</text></svg>';
  await sharp(Buffer.from(svg)).png().toBuffer();
}
const said: string[] = [];
const cards = await makeCards({ fontCacheDir, say: (line) => said.push(line) });
const digests: Record<string, string> = {};
let refused: string | null = null;
for (const [name, { answer, truck, day }] of Object.entries(samples)) {
  try {
    digests[name] = createHash('sha256')
      .update(await cards.png(answer, { truck, day }))
      .digest('hex');
  } catch (error) {
    refused = String(error);
  }
}
console.log(JSON.stringify({ ready: cards.ready, trouble: cards.trouble, said, refused, digests }));
