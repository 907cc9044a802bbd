/** Answers to pictures: `makeCards` sets the fonts up, closes every door of the rasteriser but one, warms it up and hands out the cards. */
import sharp from 'sharp';
import type { Answer } from '../../worksheets/engine/types.ts';
import { clean, cleanAnswer } from '../clean.ts';
import { altText } from '../text.ts';
import { fontTrouble, setUpFonts } from './fonts.ts';
import { type CardFacts, drawCard } from './frame.ts';
import { general } from './general.ts';
import { makeKit } from './kit.ts';
import { loadLayouts } from './layout.ts';
import { drawPortrait, type Portrait } from './portrait.ts';
import { type Portraits, portraits } from './records/index.ts';
import type { Mark } from './scene.ts';
import { makeSvgWriter } from './template.ts';
import { canvas, type ThemeName, themes } from './theme.ts';

export interface CardOptions {
  readonly theme?: ThemeName;
  readonly truck?: string;
  readonly day?: string;
}

export interface Cards {
  /** False when the fonts are not as they should be: send text only. `trouble` says why. */
  readonly ready: boolean;
  readonly trouble: string | null;
  readonly png: (answer: Answer, options?: CardOptions) => Promise<Buffer>;
  readonly svg: (answer: Answer, options?: CardOptions) => string;
  readonly alt: (answer: Answer, options?: CardOptions) => string;
  /** The card as data, before it is written as SVG. */
  readonly marks: (answer: Answer, options?: CardOptions) => Mark[];
  /** The same for a card that is no answer's: `of` makes it, null where there is nothing to draw; its alt text comes with it. */
  readonly portrait: {
    readonly of: Portraits;
    readonly png: (portrait: Portrait, theme?: ThemeName) => Promise<Buffer>;
    readonly svg: (portrait: Portrait, theme?: ThemeName) => string;
    readonly marks: (portrait: Portrait) => Mark[];
  };
}

export interface CardSettings {
  /** Where fonts.conf and fontconfig's cache are kept; made when it is not there. */
  readonly fontCacheDir: string;
  /** Who is told when no card can be drawn. */
  readonly say?: (line: string) => void;
}

const pxPerUnit = 2;
const inFlight = 2;

/**
 * Call it once, on the main thread, before anything else in the process draws a text: the C library behind sharp reads its fonts once.
 * What `block` closes is closed for the whole process: a room that takes pictures from people has to unblock their loaders itself.
 */
export async function makeCards({ fontCacheDir, say = console.error }: CardSettings): Promise<Cards> {
  const { metrics } = await setUpFonts(fontCacheDir);
  sharp.concurrency(1);
  sharp.block({ operation: ['VipsForeignLoad'] });
  sharp.unblock({ operation: ['VipsForeignLoadSvgBuffer'] });

  const layouts = await loadLayouts();
  const kit = makeKit(metrics);
  const write = makeSvgWriter();
  const trouble = await fontTrouble(sharp, metrics);
  if (trouble !== null) say(`NO CARDS: ${trouble}. Answers go out as text only until the fonts are found.`);

  const facts = ({ truck, day }: CardOptions): CardFacts => ({
    ...(truck === undefined ? {} : { truck: clean(truck) }),
    ...(day === undefined ? {} : { day: clean(day) }),
  });
  const marks = (answer: Answer, options: CardOptions = {}): Mark[] => drawCard(cleanAnswer(answer), facts(options), kit, layouts);
  const svg = (answer: Answer, options: CardOptions = {}): string =>
    write(marks(answer, options), themes[options.theme ?? 'dark'], pxPerUnit);

  // A buffer never makes the SVG reader load another file; a path would.
  const raster = (text: string): Promise<Buffer> =>
    sharp(Buffer.from(text), { limitInputPixels: 4e6 }).png({ compressionLevel: 6 }).toBuffer();
  const queued = limited(inFlight);
  const drawn = async (text: string): Promise<Buffer> => {
    if (trouble !== null) throw new Error(`No card: ${trouble}.`);
    return queued(() => raster(text));
  };
  const png = async (answer: Answer, options: CardOptions = {}): Promise<Buffer> => drawn(svg(answer, options));
  const portraitMarks = (portrait: Portrait): Mark[] => drawPortrait(portrait, kit);
  const portraitSvg = (portrait: Portrait, theme: ThemeName = 'dark'): string => write(portraitMarks(portrait), themes[theme], pxPerUnit);
  const portrait: Cards['portrait'] = {
    of: portraits,
    png: async (one, theme) => drawn(portraitSvg(one, theme)),
    svg: portraitSvg,
    marks: portraitMarks,
  };

  const alt = (answer: Answer, options: CardOptions = {}): string => {
    const cleaned = cleanAnswer(answer);
    const own = layouts.get(cleaned.sheet);
    const drawn = own?.draw(cleaned, kit, { x: canvas.margin, y: 50, w: canvas.width - 2 * canvas.margin, h: 200 }) ?? null;
    const picture = clean((drawn === null ? general : own!).picture(cleaned), { graphemes: 400 });
    return altText(cleaned, { ...facts(options), ...(picture === '' ? {} : { picture }) });
  };

  // The first text drawn costs 60 to 240 ms (fontconfig reads its folders): not the first member's.
  if (trouble === null) await raster(write(kit.hero(20, 20, 300, warmUp).marks, themes.dark, pxPerUnit));
  return { ready: trouble === null, trouble, png, svg, alt, marks, portrait };
}

const warmUp = { name: 'warm_up', label: '', value: 1234567.89, unit: '%', uncertainty: 0.1, verdict: null, band: null };

/** At most so many at a time, first come, first served. */
function limited(most: number): <T>(work: () => Promise<T>) => Promise<T> {
  let running = 0;
  const waiting: (() => void)[] = [];
  return async (work) => {
    if (running >= most) await new Promise<void>((go) => waiting.push(go));
    else running++;
    try {
      return await work();
    } finally {
      const next = waiting.shift();
      if (next) next();
      else running--;
    }
  };
}
