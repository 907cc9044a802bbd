import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp, { type Metadata } from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { makeCards } from '../../templates/card/render.ts';
import { madePicture, opens } from '../../templates/picture.ts';
import { keptPicture, PICTURE } from '../../worksheets/archive/webp.ts';
import { blackPng, field, phoneJpeg, smallWebp } from '../support/pictures.ts';

// Made before the cards close every loader of the process, as a phone would have made them.
let jpeg: Buffer;
let before: Metadata;
let others: readonly (readonly [string, Buffer])[];
let animated: Buffer;
beforeAll(async () => {
  jpeg = await phoneJpeg();
  before = await sharp(jpeg).metadata();
  const clear = sharp({ create: { width: 300, height: 200, channels: 4, background: { r: 200, g: 0, b: 0, alpha: 0.5 } } });
  const noise = sharp({
    create: { width: 3000, height: 2000, channels: 3, background: '#000', noise: { type: 'gaussian', mean: 128, sigma: 90 } },
  });
  others = [
    ['a PNG that is see-through', await clear.clone().png().toBuffer()],
    ['a WebP without loss', await clear.clone().webp({ lossless: true }).toBuffer()],
    ['a small WebP', await smallWebp(1)],
    ['a grey PNG', await (await field(90, 60)).greyscale().png().toBuffer()],
    ['a JPEG of four inks', await (await field(90, 60)).toColourspace('cmyk').jpeg().toBuffer()],
    ['a PNG of 16 bits', await (await field(90, 60)).toColourspace('rgb16').png().toBuffer()],
    ['a PNG of one bit', blackPng(3000, 2000)],
    ['a PNG of one pixel', blackPng(1, 1)],
    ['noise, which no picture is larger than', await noise.jpeg({ quality: 95 }).toBuffer()],
  ];
  const frames = await Promise.all(
    ['#ff0000', '#0000ff'].map((background) =>
      sharp({ create: { width: 60, height: 40, channels: 3, background } })
        .png()
        .toBuffer(),
    ),
  );
  animated = await sharp(frames, { join: { animated: true } })
    .webp({ loop: 0, delay: [100, 100] })
    .toBuffer();
  await makeCards({ fontCacheDir: join(tmpdir(), `dustsheet-fonts-${process.getuid?.() ?? 'user'}`), say: () => {} });
}, 60_000);

async function made(bytes: Uint8Array): Promise<Uint8Array> {
  const picture = await madePicture(bytes, PICTURE);
  return 'trouble' in picture ? expect.fail(picture.trouble) : picture.bytes;
}
const trouble = async (bytes: Uint8Array): Promise<string> => {
  const picture = await madePicture(bytes, PICTURE);
  return 'trouble' in picture ? picture.trouble : expect.fail('it was kept');
};
/** The colour at a share of the width and the height. */
async function colourAt(bytes: Uint8Array, x: number, y: number): Promise<'red' | 'green' | 'blue' | 'other'> {
  const { data, info } = await sharp(bytes).raw().toBuffer({ resolveWithObject: true });
  const at = info.channels * (Math.floor(y * info.height) * info.width + Math.floor(x * info.width));
  const [red = 0, green = 0, blue = 0] = data.subarray(at, at + 3);
  const most = Math.max(red, green, blue);
  if (most - Math.min(red, green, blue) < 60) return 'other';
  return most === red ? 'red' : most === green ? 'green' : 'blue';
}

describe('a picture that is handed in', () => {
  it('is turned as it was held, and loses the place, the camera and the names', async () => {
    expect(before).toMatchObject({ orientation: 6, width: 1600, height: 1200 });
    // The place and the names were there: TIFF's own spelling of the tag GPSInfo (0x8825) and the text.
    expect(before.exif!.includes(Buffer.from([0x25, 0x88])) || before.exif!.includes(Buffer.from([0x88, 0x25]))).toBe(true);
    expect(jpeg.includes('Ines of the pit lane')).toBe(true);

    const bytes = await made(jpeg);
    expect(keptPicture(bytes)).toEqual({ width: 960, height: 1280 });
    const after = await sharp(bytes).metadata();
    for (const rest of ['exif', 'xmp', 'iptc', 'icc', 'orientation', 'comments'] as const)
      expect([rest, after[rest]]).toEqual([rest, undefined]);
    for (const word of ['Ines', 'Saltpan', 'GPS', 'Exif', 'EXIF', 'XMP ']) expect(Buffer.from(bytes).includes(word)).toBe(false);
    // EXIF 6 is turned a quarter to the right: what was the top lies at the right (CIPA DC-008, orientation).
    expect(await colourAt(bytes, 0.9, 0.5)).toBe('green');
    expect(await colourAt(bytes, 0.3, 0.25)).toBe('red');
    expect(await colourAt(bytes, 0.3, 0.75)).toBe('blue');
  });

  it('of any kind comes out as one kind, within its bounds', async () => {
    for (const [what, bytes] of others) {
      const picture = await made(bytes);
      const kept = keptPicture(picture) ?? expect.fail(what);
      expect([what, picture.byteLength <= 256 * 1024, Math.max(kept.width, kept.height) <= 1280]).toEqual([what, true, true]);
      expect([what, (await sharp(picture).metadata()).hasAlpha]).toEqual([what, false]);
      expect([what, await opens(picture, PICTURE)]).toEqual([what, true]);
    }
    // Half red on white.
    const { data } = await sharp(await made(others[0]![1]))
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect([...data.subarray(0, 3)].map((one) => Math.round(one / 32))).toEqual([7, 4, 4]);
  });

  it('that moves stands still at its first frame', async () => {
    expect((await sharp(animated, { animated: true }).metadata()).pages).toBe(2);
    const bytes = await made(animated);
    expect(keptPicture(bytes)).toEqual({ width: 60, height: 40 });
    expect(await colourAt(bytes, 0.5, 0.5)).toBe('red');
  });

  it('that wants to be gigabytes is refused before it is opened', async () => {
    for (const [width, height] of [
      [60_000, 60_000],
      [9_000, 9_000],
    ] as const) {
      const bomb = blackPng(width, width === 60_000 ? 8 : height);
      // The head alone tells the size.
      if (width === 60_000) bomb.writeUInt32BE(height, 20);
      expect(bomb.byteLength).toBeLessThan(100_000);
      const from = performance.now();
      expect(await trouble(bomb)).toMatch(/pixels|broken/);
      expect(performance.now() - from).toBeLessThan(5_000);
    }
    expect(await trouble(blackPng(9_000, 9_000))).toContain('at most 64 million');
    expect(await trouble(Buffer.concat([jpeg, Buffer.alloc(10 * 1024 * 1024)]))).toBe('That picture is too large. Give at most 10 MiB.');
  });

  it('that is none, or one of a kind that is not opened here, is refused by its first bytes', async () => {
    const svg = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9"/></svg>';
    const none = 'That is no picture that can be kept. Give a JPEG, PNG or WebP.';
    for (const bytes of [
      Buffer.alloc(0),
      Buffer.from('hello'),
      Buffer.from(svg),
      Buffer.from(`<?xml version="1.0"?>${svg}`),
      Buffer.from('%PDF-1.7\n1 0 obj'),
      Buffer.from('GIF89a\x01\0\x01\0'),
      Buffer.from('II*\0\x08\0\0\0'),
      Buffer.from('BM'),
      Buffer.from('P6 1 1 255\n\0\0\0'),
      Buffer.from([0x1f, 0x8b, 8, 0]),
      Buffer.from('\0\0\0\x1cftypavif\0\0\0\0'),
    ])
      expect(await trouble(bytes)).toBe(none);
    expect(await trouble(Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic'))).toContain('HEIC');
  });

  it('that says it is one kind and is another is refused all the same', async () => {
    const svg = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9"/></svg>');
    for (const head of [
      Buffer.from([0xff, 0xd8, 0xff]),
      Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
      Buffer.from('RIFF<svgWEBP'),
    ])
      expect(await trouble(Buffer.concat([head, svg]))).toBe('That picture is broken or not whole. Send it once more.');
  });

  it('that is cut short is refused, wherever it is cut', async () => {
    const whole: readonly Buffer[] = [jpeg, others[0]![1], await smallWebp(3)];
    for (const bytes of whole)
      for (const share of [0.02, 0.3, 0.6, 0.9]) {
        const cut = bytes.subarray(0, Math.max(13, Math.floor(share * bytes.length)));
        expect([share, await trouble(cut)]).toEqual([share, 'That picture is broken or not whole. Send it once more.']);
      }
  });
});

describe('the one kind that is kept', () => {
  it('is told to the last byte', async () => {
    const bytes = await smallWebp(2);
    expect(keptPicture(bytes)).toEqual({ width: 42, height: 30 });
    for (let at = 0; at < 20; at += 1) {
      const other = Buffer.from(bytes);
      other[at] = other[at]! ^ 0x10;
      expect([at, keptPicture(other)]).toEqual([at, null]);
    }
    expect(keptPicture(bytes.subarray(0, -1))).toBeNull();
    expect(keptPicture(Buffer.concat([bytes, Buffer.from([0])]))).toBeNull();
    expect(keptPicture(Buffer.concat([bytes, Buffer.from('EXIF\x04\0\0\0ICHI', 'latin1')]))).toBeNull();
    // With a place for a camera's words in it: the extended container.
    expect(
      keptPicture(
        await sharp(bytes)
          .withExif({ IFD0: { Artist: 'Ines' } })
          .webp()
          .toBuffer(),
      ),
    ).toBeNull();
    expect(keptPicture(await sharp(bytes).webp({ lossless: true }).toBuffer())).toBeNull();
    expect(keptPicture(Buffer.alloc(PICTURE.bytes + 2))).toBeNull();
    expect(
      keptPicture(
        await sharp({ create: { width: 1300, height: 4, channels: 3, background: 'red' } })
          .webp()
          .toBuffer(),
      ),
    ).toBeNull();
  });

  it('does not open when its pixels are noise', async () => {
    const bytes = Buffer.from(await smallWebp(2));
    const noise = Buffer.from(bytes);
    noise.fill(0xff, 30);
    noise.writeUIntLE(0x10 | (7 << 5), 20, 3);
    expect(keptPicture(noise)).not.toBeNull();
    expect(await opens(bytes, PICTURE)).toBe(true);
    expect(await opens(noise.subarray(0, 29), PICTURE)).toBe(false);
  });
});
