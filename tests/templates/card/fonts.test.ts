import { execFile } from 'node:child_process';
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { isAbsolute, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fontFamily, fontTrouble, setUpFonts } from '../../../templates/card/fonts.ts';
import { type Metrics, makeMetrics, type Weight } from '../../../templates/card/metrics.ts';

const run = promisify(execFile);
const root = fileURLToPath(new URL('../../../', import.meta.url));
let folder = '';
let metrics: Metrics;
let conf = '';

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'dustsheet-fonts-'));
  ({ metrics, conf } = await setUpFonts(join(folder, 'here')));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

interface Drawn {
  readonly ready: boolean;
  readonly trouble: string | null;
  readonly said: readonly string[];
  readonly refused: string | null;
  readonly digests: { readonly [name: string]: string };
}

async function child(environment: NodeJS.ProcessEnv, ...more: string[]): Promise<Drawn> {
  const cache = await mkdtemp(join(folder, 'child-'));
  const { FONTCONFIG_FILE: _, ...outer } = process.env;
  const { stdout } = await run(process.execPath, ['--import', 'tsx', 'tests/support/draw-in-child.ts', cache, ...more], {
    cwd: root,
    env: { ...outer, ...environment },
  });
  return JSON.parse(stdout.trim().split('\n').at(-1)!) as Drawn;
}

/** A fontconfig that knows no font at all, as on a bare server. */
async function bareConfiguration(): Promise<string> {
  const file = join(folder, 'bare.conf');
  await writeFile(
    file,
    `<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd"><fontconfig><cachedir>${join(folder, 'bare-cache')}</cachedir></fontconfig>`,
  );
  return file;
}

describe('the fonts of a card', () => {
  it('come from our own folders only, by an absolute path', async () => {
    expect(process.env.FONTCONFIG_FILE).toBe(conf);
    expect(isAbsolute(conf)).toBe(true);
    const written = await readFile(conf, 'utf8');
    const folders = [...written.matchAll(/<dir>(.*?)<\/dir>/g)].map(([, path]) => path!);
    expect(folders).toHaveLength(6);
    for (const path of folders) {
      expect(path).toContain('node_modules');
      expect(isAbsolute(path)).toBe(true);
    }
    expect(written).toMatch(new RegExp(`<cachedir>${join(folder, 'here', 'cache')}</cachedir>`));
    expect(written).not.toMatch(/<include|\/usr\/share|\/etc\/fonts/);
  });

  it('are found, and drawn as wide as the font file says', async () => {
    expect(await fontTrouble(sharp, metrics)).toBeNull();
  });

  it('are missed when another font is drawn in their place', async () => {
    const narrower = (factor: number): Metrics => ({ width: (text, size, weight) => factor * metrics.width(text, size, weight) });
    expect(await fontTrouble(sharp, narrower(0.9))).toContain('another font');
  });
});

describe('the width of a text', () => {
  const inked = async (text: string, size: number, weight: Weight): Promise<number> => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="1200" height="120"><rect width="1200" height="120" fill="#fff"/><text x="30" y="80" font-family="${fontFamily}" font-size="${size}" font-weight="${weight}">${text}</text></svg>`;
    const { info } = await sharp(Buffer.from(svg)).trim().toBuffer({ resolveWithObject: true });
    return info.width;
  };

  it.each<[string, number, Weight]>([
    ['Sandhopper · 14 May', 32, 400],
    ['on the rear wheels, at most', 32, 400],
    ['59.622', 132, 700],
    ['26\u2009640', 40, 700],
    ['−1234.567', 40, 700],
    ['Slide the pack 13.0 mm back', 36, 600],
    ['± 0.020 km/h 59 to 61 %', 40, 400],
    ['Привет Ελληνικά', 40, 400],
    ['WWWWWWWWWW', 40, 700],
    ['iiiiiiiiii', 40, 400],
  ])('of "%s" at %d/%d is what is drawn, within the side bearings and the kerning', async (text, size, weight) => {
    const drawn = await inked(text, size, weight);
    const computed = metrics.width(text, size, weight);
    expect(computed).toBeGreaterThan(drawn - 0.1 * size - 2);
    expect(computed).toBeLessThan(drawn * 1.025 + 0.2 * size);
  });

  it('is the same for every figure, so that values stand under each other', () => {
    for (const weight of [400, 600, 700] as const)
      for (const figure of '0123456789') expect(metrics.width(figure, 20, weight)).toBeCloseTo(metrics.width('8', 20, weight), 9);
  });

  it('of a character that no font of ours has is that of a box', () => {
    expect(makeMetrics({ 400: none, 600: none, 700: none }, []).width('砂', 20, 400)).toBe(15);
  });
  const none = { advance: () => null };
});

describe('another machine', () => {
  it('draws the same pixels, whatever fonts its system has', { timeout: 120_000 }, async () => {
    const bare = await bareConfiguration();
    const empty = join(folder, 'empty-home');
    await mkdir(empty, { recursive: true });
    const hidden = {
      HOME: empty,
      XDG_DATA_HOME: empty,
      XDG_CONFIG_HOME: empty,
      XDG_CACHE_HOME: empty,
      FONTCONFIG_PATH: empty,
      FONTCONFIG_FILE: bare,
    };
    const [withSystem, withoutSystem] = [await child({}), await child(hidden)];
    expect(withSystem).toMatchObject({ ready: true, said: [], refused: null });
    expect(withoutSystem).toMatchObject({ ready: true, said: [], refused: null });
    expect(Object.keys(withSystem.digests).length).toBeGreaterThan(10);
    expect(withoutSystem.digests).toEqual(withSystem.digests);
  });

  it('without any font says so loudly, draws no card, and stays alive', { timeout: 120_000 }, async () => {
    const drawn = await child({ FONTCONFIG_FILE: await bareConfiguration() }, '--text-first');
    expect(drawn.ready).toBe(false);
    expect(drawn.said).toHaveLength(1);
    expect(drawn.said[0]).toMatch(/^NO CARDS: /);
    expect(drawn.refused).toContain('No card: ');
    expect(drawn.digests).toEqual({});
  });
});
