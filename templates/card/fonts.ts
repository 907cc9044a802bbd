/**
 * The card's own fonts. A machine without fonts draws every letter as the same box, silently; one with other fonts draws another card. So
 * the process is told to see our files only, and what it then draws is measured before the first card goes out.
 *
 * FONTCONFIG_FILE must be set before anything in this process has drawn a text, on the main thread (a worker's environment does not reach
 * the C library), and absolute. Web fonts inside the SVG (`@font-face`, woff, woff2) do not work in this pipeline: plain TTF files do.
 */
import { mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join, resolve } from 'node:path';
import type sharpModule from 'sharp';
import { type Face, type Metrics, makeMetrics, readFace, type Weight } from './metrics.ts';

/** Every text of a card: Latin, Greek and Cyrillic first, then the scripts and signs that Inter lacks. */
export const fontFamily = 'Inter, Noto Sans Arabic, Noto Sans Hebrew, Noto Emoji';

const inter: { readonly [weight in Weight]: string } = {
  400: 'inter/400Regular/Inter_400Regular.ttf',
  600: 'inter/600SemiBold/Inter_600SemiBold.ttf',
  700: 'inter/700Bold/Inter_700Bold.ttf',
};
const others = [
  'noto-sans-arabic/400Regular/NotoSansArabic_400Regular.ttf',
  'noto-sans-hebrew/400Regular/NotoSansHebrew_400Regular.ttf',
  'noto-emoji/400Regular/NotoEmoji_400Regular.ttf',
];

export interface Fonts {
  readonly metrics: Metrics;
  /** Where fonts.conf was written. */
  readonly conf: string;
}

/** Writes fonts.conf below `cacheDir`, points this process at it and reads the advance widths. Call it before the first text is drawn. */
export async function setUpFonts(cacheDir: string): Promise<Fonts> {
  const require = createRequire(import.meta.url);
  const packages = dirname(dirname(require.resolve('@expo-google-fonts/inter/package.json')));
  const path = (file: string): string => join(packages, file);

  const home = resolve(cacheDir);
  const conf = join(home, 'fonts.conf');
  await mkdir(join(home, 'cache'), { recursive: true });
  const written = `${conf}.${process.pid}`;
  await writeFile(
    written,
    fontsConf(
      [...Object.values(inter), ...others].map((file) => dirname(path(file))),
      join(home, 'cache'),
    ),
  );
  await rename(written, conf);
  process.env.FONTCONFIG_FILE = conf;

  const face = async (file: string): Promise<Face> => readFace(await readFile(path(file)));
  const [regular, semibold, bold] = await Promise.all([face(inter[400]), face(inter[600]), face(inter[700])]);
  const metrics = makeMetrics({ 400: regular, 600: semibold, 700: bold }, await Promise.all(others.map(face)));
  return { metrics, conf };
}

/** Only our folders, a cache of our own, and figures of one width (values stand under each other). */
const fontsConf = (folders: readonly string[], cache: string): string => `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig>
${folders.map((folder) => `  <dir>${xml(folder)}</dir>`).join('\n')}
  <cachedir>${xml(cache)}</cachedir>
  <match target="pattern">
    <edit name="fontfeatures" mode="append"><string>tnum on</string></edit>
  </match>
</fontconfig>
`;

const xml = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');

/**
 * Draws two words and measures their ink. Boxes are all of one width ("iiii" as wide as "WWWW"); a foreign font misses Inter's own advance.
 * Gives null when all is well, else the sentence to log.
 */
export async function fontTrouble(sharp: typeof sharpModule, metrics: Metrics): Promise<string | null> {
  const wide = await inkWidth(sharp, 'WWWW', 400);
  const narrow = await inkWidth(sharp, 'iiii', 400);
  const expected = metrics.width('WWWW', probeSize, 400);
  if (wide < 3 * narrow) return `every letter is drawn ${Math.round(wide / 4)} px wide, as boxes are: no font was found`;
  if (Math.abs(wide - expected) > 0.04 * expected)
    return `"WWWW" is ${wide} px wide, Inter's would be ${expected.toFixed(0)}: another font is drawn`;
  const bold = await inkWidth(sharp, 'WWWW', 700);
  const expectedBold = metrics.width('WWWW', probeSize, 700);
  if (Math.abs(bold - expectedBold) > 0.04 * expectedBold)
    return `bold "WWWW" is ${bold} px wide, Inter's would be ${expectedBold.toFixed(0)}`;
  return null;
}

const probeSize = 40;

/** Width in px of the inked columns of a word drawn at `probeSize`. */
async function inkWidth(sharp: typeof sharpModule, word: string, weight: Weight): Promise<number> {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="300" height="60"><rect width="300" height="60" fill="#fff"/><text x="20" y="45" font-family="${fontFamily}" font-size="${probeSize}" font-weight="${weight}" fill="#000">${word}</text></svg>`;
  const { data, info } = await sharp(Buffer.from(svg)).greyscale().raw().toBuffer({ resolveWithObject: true });
  let first = info.width;
  let last = -1;
  for (let x = 0; x < info.width; x++) {
    for (let y = 0; y < info.height; y++) {
      if (data[(y * info.width + x) * info.channels]! < 128) {
        first = Math.min(first, x);
        last = Math.max(last, x);
        break;
      }
    }
  }
  return Math.max(0, last - first + 1);
}
