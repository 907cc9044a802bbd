/** 100,000 random questions over all sheets through the machine's face: finite, absent with a reason, or a sentence; never anything else. */
import { expect, it } from 'vitest';
import { answerLine, lineOut } from '../../../bot/transports/terminal/json.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
import { randomQuestions } from '../../support/random-questions.ts';

const COUNT = 100_000;
/** What may take longer: an exact search, and a course through time. */
const SLOW = new Set(['ballast', 'launch']);

it('100,000 random questions in range are each answered in finite numbers, in absences with a reason, or in sentences', async () => {
  const sheets = await loadSheets(await loadFormulas());
  const wrong: string[] = [];
  const answered = new Map<string, number>();
  const slow: { sheet: string; ms: number; line: string }[] = [];
  for (const question of randomQuestions(sheets.values(), COUNT)) {
    const line = JSON.stringify(question);
    const from = performance.now();
    const made = answerLine(sheets, line);
    const ms = performance.now() - from;
    if (ms > 50 && !SLOW.has(question.sheet)) slow.push({ sheet: question.sheet, ms, line });
    const note = (what: string): unknown => wrong.push(`${what} in ${line}`);
    if (made.kind === 'problems') {
      if (made.problems.length === 0) note('no problem');
      for (const { text } of made.problems) if (!/^[A-Z].*[.?]$/s.test(text) || /NaN|Infinity|undefined/.test(text)) note(`"${text}"`);
      continue;
    }
    answered.set(question.sheet, (answered.get(question.sheet) ?? 0) + 1);
    for (const { name, value, why, uncertainty } of made.answers) {
      if (value === null ? !why : typeof value === 'number' && !Number.isFinite(value)) note(`${name} = ${value}`);
      if (uncertainty !== null && !(uncertainty >= 0 && Number.isFinite(uncertainty))) note(`${name} ± ${uncertainty}`);
    }
    for (const curve of made.curves)
      for (const [name, values] of Object.entries(curve.answers))
        if (values.some((one) => one !== null && !Number.isFinite(one))) note(`curve of ${name}`);
    if (/NaN|Infinity/.test(lineOut(made))) note('NaN in the line');
  }
  expect(wrong.slice(0, 20)).toEqual([]);
  // Every sheet has to have been answered often enough for this to say something.
  for (const name of sheets.keys()) expect(answered.get(name) ?? 0, `answers of ${name}`).toBeGreaterThan(20);
  // A pause of the machine is no fault of a sheet: what was slow once is asked again before it counts.
  const again = slow.map(({ sheet, line }) => {
    const took = [1, 2, 3].map(() => {
      const from = performance.now();
      answerLine(sheets, line);
      return performance.now() - from;
    });
    return { sheet, ms: Math.min(...took), line };
  });
  expect(again.filter(({ ms }) => ms > 50)).toEqual([]);
}, 600_000);
