/**
 * Reads a PNG's pixels without the library that wrote it (and whose PNG loader is switched off in a process that draws cards).
 * Source: PNG specification, third edition, 7.3 (scanlines), 9.2 (filters), 11.2.2 (IHDR). Eight bits, RGB or RGBA, not interlaced.
 */
import { inflateSync } from 'node:zlib';

export interface Pixels {
  readonly width: number;
  readonly height: number;
  /** "#rrggbb" at a pixel. */
  readonly at: (x: number, y: number) => string;
  readonly bytes: Uint8Array;
}

export function readPng(png: Buffer): Pixels {
  if (png.toString('latin1', 1, 4) !== 'PNG') throw new Error('This is no PNG.');
  const [width, height] = [png.readUInt32BE(16), png.readUInt32BE(20)];
  const [depth, colour, , , interlace] = png.subarray(24, 29);
  const channels = colour === 2 ? 3 : colour === 6 ? 4 : 0;
  if (depth !== 8 || channels === 0 || interlace !== 0)
    throw new Error(`This PNG is of another kind: depth ${depth}, colour ${colour}, interlace ${interlace}.`);

  const data: Buffer[] = [];
  for (let at = 8; at < png.length; ) {
    const length = png.readUInt32BE(at);
    if (png.toString('latin1', at + 4, at + 8) === 'IDAT') data.push(png.subarray(at + 8, at + 8 + length));
    at += length + 12;
  }
  const raw = inflateSync(Buffer.concat(data));
  const stride = width * channels;
  const bytes = new Uint8Array(stride * height);
  for (let y = 0; y < height; y++) {
    const filter = raw[y * (stride + 1)]!;
    for (let i = 0; i < stride; i++) {
      const left = i < channels ? 0 : bytes[y * stride + i - channels]!;
      const up = y === 0 ? 0 : bytes[(y - 1) * stride + i]!;
      const corner = i < channels || y === 0 ? 0 : bytes[(y - 1) * stride + i - channels]!;
      const predicted = [0, left, up, (left + up) >> 1, paeth(left, up, corner)][filter]!;
      bytes[y * stride + i] = raw[y * (stride + 1) + 1 + i]! + predicted;
    }
  }
  const hex = (value: number): string => value.toString(16).padStart(2, '0');
  const at = (x: number, y: number): string => {
    const i = y * stride + x * channels;
    return `#${hex(bytes[i]!)}${hex(bytes[i + 1]!)}${hex(bytes[i + 2]!)}`;
  };
  return { width, height, at, bytes };
}

function paeth(left: number, up: number, corner: number): number {
  const guess = left + up - corner;
  const [l, u, c] = [Math.abs(guess - left), Math.abs(guess - up), Math.abs(guess - corner)];
  return l <= u && l <= c ? left : u <= c ? up : corner;
}
