/**
 * A member's picture → the one that is kept: turned as it was held, its longest side at most 1280 pixels, on white where it was see-through, in
 * lossy WebP of at most 256 KiB, and nothing of what a camera writes beside it.
 *
 * What a file is, its first bytes say, not its name; and only three kinds are ever opened. The loaders behind sharp read many more (SVG among
 * them, which this house itself draws its cards from), and each is a way in.
 */
import sharp, { type OutputInfo } from 'sharp';

export interface PictureBounds {
  /** Of the file that is kept. */
  readonly bytes: number;
  /** Longest side, pixels. */
  readonly side: number;
}

/** What a member may hand in: a phone's picture of 50 million pixels, and no more than a chat takes. */
export const MOST_PICTURE_BYTES = 10 * 1024 * 1024;
const MOST_PIXELS = 64e6;
const PATIENCE_S = 20;

export type MadePicture = { readonly bytes: Uint8Array } | { readonly trouble: string };

const KINDS = ['jpeg', 'png', 'webp'] as const;
type Kind = (typeof KINDS)[number];

/** Each loader by its name in libvips; `makeCards` closes them all for the whole process. */
const LOADERS = ['VipsForeignLoadJpegBuffer', 'VipsForeignLoadPngBuffer', 'VipsForeignLoadWebpBuffer'];

/** Softer first, smaller when that is not enough: the last is 640 pixels of noise in well under 256 KiB. */
const STEPS: readonly (readonly [share: number, quality: number])[] = [
  [1, 82],
  [1, 70],
  [1, 55],
  [1, 40],
  [0.75, 40],
  [0.5, 30],
];

/**
 * What the first bytes say.
 * Source: ISO/IEC 10918-1 B.1.1 (SOI and a marker); W3C PNG, 5.2; RFC 9649, 2.4; ISO/IEC 14496-12 4.3 (ftyp) with the brands of ISO/IEC 23008-12.
 */
function kindOf(bytes: Uint8Array): Kind | 'heic' | null {
  const at = (from: number, ...signs: readonly number[]): boolean => signs.every((sign, i) => bytes[from + i] === sign);
  const word = (from: number, text: string): boolean => at(from, ...Buffer.from(text, 'latin1'));
  if (at(0, 0xff, 0xd8, 0xff)) return 'jpeg';
  if (at(0, 0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)) return 'png';
  if (word(0, 'RIFF') && word(8, 'WEBP')) return 'webp';
  if (word(4, 'ftyp') && ['heic', 'heix', 'heim', 'heis', 'hevc', 'mif1', 'msf1'].some((brand) => word(8, brand))) return 'heic';
  return null;
}

export async function madePicture(bytes: Uint8Array, bounds: PictureBounds): Promise<MadePicture> {
  const kind = kindOf(bytes);
  if (kind === 'heic')
    return {
      trouble: 'That is a HEIC picture, which cannot be opened here. Send it as JPEG: most phones have "most compatible" for that.',
    };
  if (kind === null) return { trouble: 'That is no picture that can be kept. Give a JPEG, PNG or WebP.' };
  if (bytes.byteLength > MOST_PICTURE_BYTES)
    return { trouble: `That picture is too large. Give at most ${MOST_PICTURE_BYTES / 1024 / 1024} MiB.` };
  return inTurn(async () => {
    sharp.unblock({ operation: LOADERS });
    try {
      const opened = sharp(bytes, { limitInputPixels: MOST_PIXELS, failOn: 'error' }).timeout({ seconds: PATIENCE_S });
      const { format, width, height } = await opened.metadata();
      // The loader looks for itself what it opens; it has to be what was seen above.
      if (format !== kind) return { trouble: BROKEN };
      if (width * height > MOST_PIXELS)
        return { trouble: `That picture has ${width} × ${height} pixels. Give one of at most ${MOST_PIXELS / 1e6} million.` };
      const { data, info } = await opened
        .autoOrient()
        .resize({ width: bounds.side, height: bounds.side, fit: 'inside', withoutEnlargement: true })
        .flatten({ background: '#ffffff' })
        .toColourspace('srgb')
        .raw({ depth: 'uchar' })
        .toBuffer({ resolveWithObject: true });
      return { bytes: await small(data, info, bounds) };
    } catch (error) {
      // sharp speaks of a picture's faults in plain errors; anything else is a slip of ours.
      if (!(error instanceof Error) || error instanceof TypeError || error instanceof RangeError) throw error;
      return { trouble: /pixel limit/i.test(error.message) ? TOO_MANY : BROKEN };
    }
  });
}

const TOO_MANY = `That picture has too many pixels. Give one of at most ${MOST_PIXELS / 1e6} million.`;
const BROKEN = 'That picture is broken or not whole. Send it once more.';

async function small(data: Buffer, { width, height, channels }: OutputInfo, bounds: PictureBounds): Promise<Uint8Array> {
  for (const [share, quality] of STEPS) {
    const side = Math.round(share * bounds.side);
    const made = await sharp(data, { raw: { width, height, channels: channels as 1 | 3 } })
      .resize({ width: side, height: side, fit: 'inside', withoutEnlargement: true })
      .webp({ quality, effort: 4 })
      .toBuffer();
    if (made.byteLength <= bounds.bytes) return made;
  }
  throw new RangeError('no picture of 640 pixels is as large as that');
}

/** Whether a picture that came in a file can be seen, to its last pixel. Its container has been looked at before. */
export async function opens(bytes: Uint8Array, bounds: PictureBounds): Promise<boolean> {
  return inTurn(async () => {
    sharp.unblock({ operation: LOADERS });
    try {
      const opened = sharp(bytes, { limitInputPixels: bounds.side * bounds.side, failOn: 'error' }).timeout({ seconds: PATIENCE_S });
      const { format } = await opened.metadata();
      await opened.raw().toBuffer();
      return format === 'webp';
    } catch {
      return false;
    }
  });
}

// One at a time: 64 million pixels are 256 MB while they are open.
let last: Promise<unknown> = Promise.resolve();
function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const next = last.then(work, work);
  last = next.catch(() => {});
  return next;
}
