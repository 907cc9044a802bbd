/** Every sheet on the shelf, asked with its own example. */
import { ask } from '../../worksheets/engine/ask.ts';
import { loadFormulas, loadSheets } from '../../worksheets/engine/library.ts';
import type { Answer } from '../../worksheets/engine/types.ts';

export async function exampleAnswers(): Promise<ReadonlyMap<string, Answer>> {
  const answers = new Map<string, Answer>();
  for (const [name, sheet] of await loadSheets(await loadFormulas())) {
    const made = ask(sheet, { readings: sheet.example, end: sheet.ends ? 'rear' : null });
    if (made.kind === 'problems') throw new Error(`The example of ${name}: ${made.problems.map(({ text }) => text).join(' ')}`);
    answers.set(name, made);
  }
  return answers;
}
