/** A sheet as a club might write it: its blocks put together into a page, loaded, asked. For tests of the notation and of what it computes. */
import { expect } from 'vitest';
import type { Formula } from '../../calc/formula.ts';
import { ask, type End, type Supply } from '../../worksheets/engine/ask.ts';
import { CAPS, type Caps } from '../../worksheets/engine/formula.ts';
import { loadSheet, type Sheet, SheetError } from '../../worksheets/engine/notation.ts';
import type { Answer, Problem } from '../../worksheets/engine/types.ts';

export interface Blocks {
  readonly head?: string;
  readonly readings?: string;
  readonly workings?: string;
  readonly answers?: string;
  readonly curve?: string;
  readonly cautions?: string;
  readonly next?: string;
}
const HEAD = 'sheet: test\ntitle: Test\nsummary: A sheet for a test.';
const NAMES = ['readings', 'workings', 'answers', 'curve', 'cautions', 'next'] as const;

/** Each block as it stands on the page; `lineOf('workings')` is the line of the file on which that block's first line stands. */
export function page(blocks: Blocks): { readonly text: string; readonly lineOf: (block: (typeof NAMES)[number]) => number } {
  let text = `---\n${blocks.head ?? HEAD}\n---\n`;
  const first = new Map<string, number>();
  for (const name of NAMES) {
    const lines = blocks[name];
    if (lines === undefined) continue;
    first.set(name, text.split('\n').length + 1);
    text += `\`\`\`${name}\n${lines}\n\`\`\`\n`;
  }
  return { text, lineOf: (block) => first.get(block) ?? expect.fail(`there is no block ${block}`) };
}

export const NO_FORMULAS: ReadonlyMap<string, Formula> = new Map();

export const club = (blocks: Blocks, formulas = NO_FORMULAS, caps: Caps = CAPS): Sheet =>
  loadSheet('test.md', page(blocks).text, { formulas, caps });

/** Every fault of a page that is refused. */
export function faultsOf(
  text: string,
  formulas = NO_FORMULAS,
  caps: Caps = CAPS,
): readonly { readonly line: number; readonly reason: string }[] {
  try {
    loadSheet('test.md', text, { formulas, caps });
  } catch (error) {
    if (error instanceof SheetError) return error.faults;
    throw error;
  }
  return expect.fail('this page was not refused');
}

export function answered(
  sheet: Sheet,
  readings: Readonly<Record<string, string | number>>,
  end: End | null = null,
  supply?: Supply,
): Answer {
  const got = ask(sheet, { readings, end }, supply);
  return got.kind === 'answer' ? got : expect.fail(got.problems.map(({ text }) => text).join(' '));
}
export function refused(
  sheet: Sheet,
  readings: Readonly<Record<string, string | number>>,
  end: End | null = null,
  supply?: Supply,
): readonly Problem[] {
  const got = ask(sheet, { readings, end }, supply);
  return got.kind === 'problems' ? got.problems : expect.fail('this was answered');
}
export const textsOf = (problems: readonly Problem[]): string[] => problems.map(({ text }) => text);
