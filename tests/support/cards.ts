/** One set of cards for a test file: the fonts are read once a process. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll } from 'vitest';
import { type Cards, makeCards } from '../../templates/card/render.ts';

export function withCards(): { readonly cards: Cards } {
  let cards: Cards | undefined;
  let folder = '';
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'dustsheet-fonts-'));
    cards = await makeCards({ fontCacheDir: folder });
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));
  return {
    get cards() {
      if (cards === undefined) throw new Error('The cards are made before the first test runs.');
      return cards;
    },
  };
}
