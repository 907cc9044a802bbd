/**
 * How wide a text is, read from the font files themselves.
 *
 * Layouts have to know it before anything is drawn (the unit stands right after its number, a name is shortened to its box), and asking the
 * rasteriser costs milliseconds a text. This reads the advance widths (hmtx), the character map (cmap 4 and 12) and the tabular figures
 * (GSUB, feature tnum) of a TrueType file. Leaves out kerning: it moves Inter by 2 % at most, the tests measure it against drawn ink.
 *
 * Source: OpenType specification 1.9.1, chapters cmap, hmtx, GSUB, Coverage.
 */

export type Weight = 400 | 600 | 700;

/** One font file: the advance of a character in ems, null where the font does not have it. */
export interface Face {
  readonly advance: (codePoint: number) => number | null;
}

export interface Metrics {
  /** Advance width of one line of text, in the units of `size`. */
  readonly width: (text: string, size: number, weight: Weight) => number;
}

/** A character that no font of ours has: drawn as a box about this wide. */
const boxAdvance = 0.75;

export function makeMetrics(faces: { readonly [weight in Weight]: Face }, others: readonly Face[]): Metrics {
  const cache = new Map<number, number>();
  const ems = (codePoint: number, weight: Weight): number => {
    const key = codePoint * 8 + weight / 100;
    const known = cache.get(key);
    if (known !== undefined) return known;
    let found = faces[weight].advance(codePoint);
    for (const face of others) found ??= face.advance(codePoint);
    const advance = found ?? (/\p{M}/u.test(String.fromCodePoint(codePoint)) ? 0 : boxAdvance);
    if (cache.size < 20_000) cache.set(key, advance);
    return advance;
  };
  return {
    width: (text, size, weight) => {
      let sum = 0;
      for (const character of text) sum += ems(character.codePointAt(0)!, weight);
      return sum * size;
    },
  };
}

interface Table {
  readonly at: number;
  readonly length: number;
}

export function readFace(bytes: Buffer): Face {
  const tables = new Map<string, Table>();
  for (let i = 0; i < bytes.readUInt16BE(4); i++) {
    const entry = 12 + 16 * i;
    tables.set(bytes.toString('latin1', entry, entry + 4), { at: bytes.readUInt32BE(entry + 8), length: bytes.readUInt32BE(entry + 12) });
  }
  const table = (tag: string): number => {
    const found = tables.get(tag);
    if (!found) throw new Error(`The font has no table "${tag}".`);
    return found.at;
  };
  const unitsPerEm = bytes.readUInt16BE(table('head') + 18);
  const metricCount = bytes.readUInt16BE(table('hhea') + 34);
  const hmtx = table('hmtx');
  const glyphOf = readCharacterMap(bytes, table('cmap'));
  const tabular = tables.has('GSUB') ? readTabularFigures(bytes, table('GSUB')) : new Map<number, number>();
  return {
    advance: (codePoint) => {
      const glyph = glyphOf(codePoint);
      if (glyph === 0) return null;
      const drawn = tabular.get(glyph) ?? glyph;
      return bytes.readUInt16BE(hmtx + 4 * Math.min(drawn, metricCount - 1)) / unitsPerEm;
    },
  };
}

/** The Unicode subtable: format 12 (all planes) where there is one, else format 4 (the first plane). */
function readCharacterMap(bytes: Buffer, cmap: number): (codePoint: number) => number {
  let format4: number | null = null;
  let format12: number | null = null;
  for (let i = 0; i < bytes.readUInt16BE(cmap + 2); i++) {
    const platform = bytes.readUInt16BE(cmap + 4 + 8 * i);
    const subtable = cmap + bytes.readUInt32BE(cmap + 8 + 8 * i);
    const format = bytes.readUInt16BE(subtable);
    if (platform !== 0 && platform !== 3) continue;
    if (format === 12) format12 = subtable;
    if (format === 4) format4 = subtable;
  }
  if (format12 !== null) {
    const at = format12;
    const groups = bytes.readUInt32BE(at + 12);
    return (codePoint) => {
      let low = 0;
      let high = groups - 1;
      while (low <= high) {
        const middle = (low + high) >> 1;
        const group = at + 16 + 12 * middle;
        if (codePoint < bytes.readUInt32BE(group)) high = middle - 1;
        else if (codePoint > bytes.readUInt32BE(group + 4)) low = middle + 1;
        else return bytes.readUInt32BE(group + 8) + codePoint - bytes.readUInt32BE(group);
      }
      return 0;
    };
  }
  if (format4 === null) throw new Error('The font has no Unicode character map of format 4 or 12.');
  const at = format4;
  const doubled = bytes.readUInt16BE(at + 6);
  const [ends, starts, deltas, offsets] = [at + 14, at + 16 + doubled, at + 16 + 2 * doubled, at + 16 + 3 * doubled];
  return (codePoint) => {
    if (codePoint > 0xffff) return 0;
    for (let i = 0; i < doubled; i += 2) {
      if (codePoint > bytes.readUInt16BE(ends + i)) continue;
      const start = bytes.readUInt16BE(starts + i);
      if (codePoint < start) return 0;
      const offset = bytes.readUInt16BE(offsets + i);
      const delta = bytes.readUInt16BE(deltas + i);
      if (offset === 0) return (codePoint + delta) & 0xffff;
      const glyph = bytes.readUInt16BE(offsets + i + offset + 2 * (codePoint - start));
      return glyph === 0 ? 0 : (glyph + delta) & 0xffff;
    }
    return 0;
  };
}

/** Which glyphs the feature `tnum` swaps for which (single substitutions, also behind an extension lookup). */
function readTabularFigures(bytes: Buffer, gsub: number): Map<number, number> {
  const swaps = new Map<number, number>();
  const u16 = (at: number): number => bytes.readUInt16BE(at);
  const features = gsub + u16(gsub + 6);
  const lookups = gsub + u16(gsub + 8);
  for (let i = 0; i < u16(features); i++) {
    const record = features + 2 + 6 * i;
    if (bytes.toString('latin1', record, record + 4) !== 'tnum') continue;
    const feature = features + u16(record + 4);
    for (let j = 0; j < u16(feature + 2); j++) {
      const lookup = lookups + u16(lookups + 2 + 2 * u16(feature + 4 + 2 * j));
      for (let k = 0; k < u16(lookup + 4); k++) {
        let subtable = lookup + u16(lookup + 6 + 2 * k);
        let type = u16(lookup);
        if (type === 7) {
          type = u16(subtable + 2);
          subtable += bytes.readUInt32BE(subtable + 4);
        }
        if (type !== 1) continue;
        const covered = readCoverage(bytes, subtable + u16(subtable + 2));
        for (const [index, glyph] of covered.entries()) {
          swaps.set(glyph, u16(subtable) === 1 ? (glyph + bytes.readInt16BE(subtable + 4)) & 0xffff : u16(subtable + 6 + 2 * index));
        }
      }
    }
  }
  return swaps;
}

function readCoverage(bytes: Buffer, at: number): number[] {
  const count = bytes.readUInt16BE(at + 2);
  const glyphs: number[] = [];
  for (let i = 0; i < count; i++) {
    if (bytes.readUInt16BE(at) === 1) glyphs.push(bytes.readUInt16BE(at + 4 + 2 * i));
    else {
      const range = at + 4 + 6 * i;
      for (let glyph = bytes.readUInt16BE(range); glyph <= bytes.readUInt16BE(range + 2); glyph++) glyphs.push(glyph);
    }
  }
  return glyphs;
}
