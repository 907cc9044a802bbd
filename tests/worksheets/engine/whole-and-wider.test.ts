import { beforeAll, describe, expect, it } from 'vitest';
import type { Formula } from '../../../calc/formula.ts';
import { ask } from '../../../worksheets/engine/ask.ts';
import { loadFormulas } from '../../../worksheets/engine/library.ts';
import { loadSheet, type Sheet } from '../../../worksheets/engine/notation.ts';
import type { Answer } from '../../../worksheets/engine/types.ts';

let formulas: ReadonlyMap<string, Formula>;
beforeAll(async () => {
  formulas = await loadFormulas();
});

const sheetOf = (body: string): Sheet =>
  loadSheet('bench.md', `---\nsheet: bench\ntitle: Bench\nsummary: A bench.\n---\n${body}`, { formulas });
function answered(sheet: Sheet, readings: Record<string, string>): Answer {
  const answer = ask(sheet, { readings });
  if (answer.kind === 'problems') throw new Error(answer.problems.map(({ text }) => text).join('\n'));
  return answer;
}
const block = (name: string, lines: string): string => `\n\`\`\`${name}\n${lines}\n\`\`\`\n`;

describe('a whole answer', () => {
  const box = sheetOf(
    block('readings', 'room : length in mm from 0 mm to 2 m\npart : length in mm from 0.1 mm to 2 m') +
      block('workings', 'parts = floor(room / part)\nleft_over = room - parts * part') +
      block('answers', 'parts : in 1 whole\nleft_over : in mm'),
  );

  it('carries no ±, not even where the reading stands right on its jump', () => {
    for (const room of ['30 ± 0.5', '30.0001 ± 0.5', '31 ± 0.5']) {
      const [parts] = answered(box, { room, part: '10' }).answers;
      expect(parts).toMatchObject({ name: 'parts', value: 3, uncertainty: null });
    }
  });

  it('leaves the other answers their ±', () => {
    // Half-width 0.5 mm, rectangular: 0.5/√3, doubled.
    const leftOver = answered(box, { room: '34 ± 0.5', part: '10' }).answers[1]!;
    expect(leftOver.uncertainty).toBeCloseTo(1 / Math.sqrt(3), 9);
  });

  it('may have a band all the same', () => {
    const counted = sheetOf(
      block('readings', 'room : length in mm from 0 mm to 2 m') +
        block('workings', 'parts = floor(room / (10 mm))') +
        block('answers', 'parts : in 1 whole within 3 .. 5'),
    );
    expect(answered(counted, { room: '30 ± 0.5' }).answers[0]).toMatchObject({ verdict: 'on target', uncertainty: null });
    expect(answered(counted, { room: '20 ± 0.5' }).answers[0]).toMatchObject({ verdict: 'off target' });
  });
});

describe('readings that would widen an answer', () => {
  it('are those for want of which an answer is missing', () => {
    const lean = sheetOf(
      block(
        'readings',
        'a : mass in g from 0 g to 1 kg\nb : mass in g optional from 0 g to 1 kg\nc : mass in g optional from 0 g to 1 kg',
      ) +
        block('workings', 'sum = a + b\nboth = sum + c\neither = first(b, a) + c') +
        block('answers', 'a : in g\nsum : in g\nboth : in g\neither : in g'),
    );
    expect(answered(lean, { a: '1' }).wider).toEqual(['b', 'c']);
    expect(answered(lean, { a: '1', b: '2' }).wider).toEqual(['c']);
    expect(answered(lean, { a: '1', b: '2', c: '3' }).wider).toEqual([]);
  });

  it('are not those that a first( ) does without, nor those of an answer that the sheet itself leaves out', () => {
    const lean = sheetOf(
      block('readings', 'a : mass in g from 0 g to 1 kg\nb : mass in g optional from 0 g to 1 kg') +
        block('workings', 'used = first(b, a)\nheavy = if(used > 500 g, used)') +
        block('answers', 'used : in g\nheavy : in g'),
    );
    const answer = answered(lean, { a: '1' });
    expect(answer.answers.map(({ name }) => name)).toEqual(['used']);
    expect(answer.wider).toEqual([]);
  });

  it('are a formula’s own optional inputs, where it leaves out the one result that needs them, but not the other of "exactly one"', () => {
    const gears = sheetOf(
      block(
        'readings',
        'pinion : count in teeth whole from 5 to 150\nspur : count in teeth whole from 5 to 150\nmodule : gear module in mm optional from 0.1 mm to 10 mm\nexactly one of module, diametral_pitch\n' +
          'slot_min : length in mm optional from 0 mm to 2 m\nslot_max : length in mm optional from 0 mm to 2 m\ndiametral_pitch : gear pitch in 1/in optional from 1 1/in to 300 1/in',
      ) +
        block('workings', 'pair = mesh()\ndistance = pair.centre_distance\nsmallest = pair.smallest_pinion') +
        block('answers', 'distance : in mm\nsmallest : in teeth whole'),
    );
    expect(answered(gears, { pinion: '13', spur: '54', module: '0.8' }).wider).toEqual(['slot_min', 'slot_max']);
    const inSlot = answered(gears, { pinion: '13', spur: '54', module: '0.8', slot_min: '24' });
    expect(inSlot.answers.map(({ name }) => name)).toEqual(['distance', 'smallest']);
    expect(inSlot.wider).toEqual([]);
  });
});
