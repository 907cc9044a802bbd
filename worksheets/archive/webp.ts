/**
 * The one kind of picture that is kept: lossy WebP in the simple container, which is a key frame of VP8 and nothing else. There is no place in
 * it for what a camera writes beside the picture (where it was taken, by whom, a small copy of it uncut), nor for animation or profiles.
 *
 *     "RIFF"  length − 8   "WEBP"   "VP8 "  length of the frame   frame   (0 when that is odd)
 *
 * Source: RFC 9649, WebP Image Format, 2.3 to 2.5; of the frame, RFC 6386, VP8 Data Format, 9.1 (Uncompressed Data Chunk).
 */
export const PICTURE = {
  type: 'image/webp',
  /** Of one picture. */
  bytes: 256 * 1024,
  /** Longest side, pixels. */
  side: 1280,
  /** Of a setup. */
  each: 4,
} as const;

const HEAD = 20;
const FRAME_HEAD = 10;

/** Its size when it is such a file, to the last byte; null when it is anything else. */
export function keptPicture(bytes: Uint8Array): { readonly width: number; readonly height: number } | null {
  if (bytes.byteLength < HEAD + FRAME_HEAD || bytes.byteLength > PICTURE.bytes) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const word = (at: number): string => String.fromCharCode(...bytes.subarray(at, at + 4));
  const frame = view.getUint32(16, true);
  const wraps =
    word(0) === 'RIFF' &&
    view.getUint32(4, true) === bytes.byteLength - 8 &&
    word(8) === 'WEBP' &&
    word(12) === 'VP8 ' &&
    HEAD + frame + (frame % 2) === bytes.byteLength &&
    (frame % 2 === 0 || bytes.at(-1) === 0);
  if (!wraps) return null;
  // 3 bytes: key frame (0), version (3 bits), shown (1), length of the first partition (19 bits).
  const tag = bytes[HEAD]! | (bytes[HEAD + 1]! << 8) | (bytes[HEAD + 2]! << 16);
  const isKeyFrame = (tag & 1) === 0 && ((tag >> 4) & 1) === 1 && ((tag >> 1) & 7) <= 3;
  const starts = bytes[HEAD + 3] === 0x9d && bytes[HEAD + 4] === 0x01 && bytes[HEAD + 5] === 0x2a;
  if (!isKeyFrame || !starts || FRAME_HEAD + (tag >> 5) > frame) return null;
  // 14 bits each; the two above them only ask for enlarging.
  const [width, height] = [view.getUint16(HEAD + 6, true), view.getUint16(HEAD + 8, true)];
  const fits = (side: number): boolean => side >= 1 && side <= PICTURE.side;
  return fits(width) && fits(height) ? { width, height } : null;
}
