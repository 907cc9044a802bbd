/** Pictures as members hand them in, made here: coloured fields, so that which way up they are can be seen. */
import { deflateSync } from 'node:zlib';
import sharp, { type Sharp } from 'sharp';

/** Left half red, right half blue, the top quarter of both green. */
export async function field(width: number, height: number): Promise<Sharp> {
  const data = Buffer.alloc(width * height * 3);
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) {
      const at = 3 * (y * width + x);
      if (y < height / 4) data[at + 1] = 200;
      else data[at + (x < width / 2 ? 0 : 2)] = 200;
    }
  return sharp(data, { raw: { width, height, channels: 3 } });
}

/** As a phone makes it: turned by its EXIF, with the place it was taken at and whose phone it was. */
export async function phoneJpeg(): Promise<Buffer> {
  return (await field(1600, 1200))
    .withExif({
      IFD0: { Make: 'Saltpan Optics', Artist: 'Ines of the pit lane', Copyright: 'Ines' },
      IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '36/1 7/1 0/1', GPSLongitudeRef: 'W', GPSLongitude: '5/1 21/1 0/1' },
    })
    .withMetadata({ orientation: 6 })
    .jpeg({ quality: 90 })
    .toBuffer();
}

/** A small one that is kept as it is: another for each number. */
export const smallWebp = async (seed: number): Promise<Buffer> =>
  sharp({ create: { width: 40 + seed, height: 30, channels: 3, background: { r: (37 * seed) % 256, g: 120, b: 200 } } })
    .webp({ quality: 80 })
    .toBuffer();

const CRC = Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c >>> 0;
});
function chunk(name: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(name, 'latin1'), data]);
  let crc = 0xffffffff;
  for (const byte of body) crc = CRC[(crc ^ byte) & 0xff]! ^ (crc >>> 8);
  const [length, sum] = [Buffer.alloc(4), Buffer.alloc(4)];
  length.writeUInt32BE(data.length);
  sum.writeUInt32BE((crc ^ 0xffffffff) >>> 0);
  return Buffer.concat([length, body, sum]);
}

/** A PNG of 1 bit a pixel that is all black: a few kilobytes that want to be gigabytes. W3C PNG, 5 and 11.2. */
export function blackPng(width: number, height: number): Buffer {
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head[8] = 1;
  const rows = deflateSync(Buffer.alloc((1 + Math.ceil(width / 8)) * height), { level: 9 });
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk('IHDR', head),
    chunk('IDAT', rows),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}
