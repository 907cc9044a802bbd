/**
 * `npm run bench`: how fast, as ratios measured side by side in one run. Absolute times are printed for orientation only; they belong to
 * the machine. Each figure is the median of several rounds, the two sides of a ratio taken in turn. `npm run bench -- --quick` leaves out
 * the archive at size, which takes most of the time.
 */
import { spawn } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { compile } from 'mathjs/number';
import sharp from 'sharp';
import { makeCards } from '../../templates/card/render.ts';
import { fittedResultText } from '../../templates/text.ts';
import { ask } from '../../worksheets/engine/ask.ts';
import { CAPS } from '../../worksheets/engine/formula.ts';
import { loadFormulas, loadSheets } from '../../worksheets/engine/library.ts';
import { loadSheet } from '../../worksheets/engine/notation.ts';
import { newState, planFor, runAll, runSome } from '../../worksheets/engine/tape.ts';
import { benchArchive } from './bench-archive.ts';

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
/** Milliseconds of one call: repeated until a round takes long enough for the clock. */
function time(work: () => void): number {
  let times = 1;
  for (;;) {
    const from = performance.now();
    for (let i = 0; i < times; i += 1) work();
    const took = performance.now() - from;
    if (took > 15 || times > 1e6) return took / times;
    times *= took < 1 ? 10 : 2;
  }
}
/** Both sides in turn, so that a machine that slows down slows both. */
function versus(rounds: number, a: () => void, b: () => void): { readonly a: number; readonly b: number; readonly ratio: number } {
  const [as, bs, ratios]: [number[], number[], number[]] = [[], [], []];
  for (let i = 0; i < rounds; i += 1) {
    const [one, two] = i % 2 === 0 ? [time(a), time(b)] : [time(b), time(a)].reverse();
    as.push(one!);
    bs.push(two!);
    ratios.push(two! / one!);
  }
  return { a: median(as), b: median(bs), ratio: median(ratios) };
}
async function timeAsync(rounds: number, work: () => Promise<unknown>): Promise<number> {
  const took: number[] = [];
  for (let i = 0; i < rounds; i += 1) {
    const from = performance.now();
    await work();
    took.push(performance.now() - from);
  }
  return median(took);
}
const figure = (value: number): string => (value >= 100 ? value.toFixed(0) : value.toPrecision(3));
const row = (...cells: readonly string[]): void =>
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(44) : cell.padStart(14))).join(''));

// ── the engine ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const READINGS = 10;
/** A sheet of so many cells: each uses the one before it and a reading, as workings do. */
function lines(cells: number): { readonly name: string; readonly formula: string }[] {
  return Array.from({ length: cells }, (_, i) => {
    const before = i === 0 ? 'r0' : `c${i - 1}`;
    const reading = `r${i % READINGS}`;
    const formula = [
      `${before} * 0.5 + ${reading}`,
      `(${before} + ${reading}) / (1 + ${reading} ^ 2)`,
      `if(${before} > ${reading}, ${before} - ${reading}, ${before} + 1)`,
      `sqrt(${before} ^ 2 + ${reading} ^ 2)`,
    ][i % 4]!;
    return { name: `c${i}`, formula };
  });
}
const page = (cells: number): string => `---
sheet: bench
title: Bench
summary: Bench
---
\`\`\`readings
${Array.from({ length: READINGS }, (_, i) => `r${i} : number from -1000 to 1000`).join('\n')}
\`\`\`
\`\`\`workings
${lines(cells)
  .map(({ name, formula }) => `${name} = ${formula}`)
  .join('\n')}
\`\`\`
\`\`\`answers
c${cells - 1} : in 1
\`\`\`
`;

function engine(): void {
  row('Recalculating a sheet', 'cells', 'ours', 'plain mathjs', 'mathjs/ours');
  for (const cells of [10, 100, 1000, 10_000]) {
    const sheet = loadSheet('bench.md', page(cells), { formulas: new Map(), caps: { ...CAPS, bytes: 1e9, cells: 1e6 } });
    const state = newState(sheet.tape);
    for (let i = 0; i < READINGS; i += 1) state.numbers[i] = 1 + i / 7;
    const compiled = lines(cells).map(({ name, formula }) => ({
      name,
      code: compile(formula.replace(/if\(([^,]+),([^,]+),(.+)\)/, '($1) ? ($2) : ($3)')),
    }));
    const scope: Record<string, number> = {};
    for (let i = 0; i < READINGS; i += 1) scope[`r${i}`] = 1 + i / 7;
    const theirs = (): void => {
      for (const { name, code } of compiled) scope[name] = code.evaluate(scope) as number;
    };
    runAll(sheet.tape, state, sheet.formulas);
    theirs();
    const ourLast = state.numbers[sheet.answers[0]!.slot]!;
    if (Math.abs(ourLast - scope[`c${cells - 1}`]!) > 1e-9 * Math.abs(ourLast)) throw new Error('the two sides do not answer the same');
    const full = versus(7, () => runAll(sheet.tape, state, sheet.formulas), theirs);
    row('  in full', String(cells), `${figure(full.a * 1000)} µs`, `${figure(full.b * 1000)} µs`, `${figure(full.ratio)}×`);
    // One change far down: what a member sees when one of many readings is corrected. mathjs has no notion of it and works it all out.
    const late = sheet.tape.slots - Math.min(cells, 10);
    const changed = planFor(sheet.tape, late - 1);
    const some = versus(7, () => runSome(sheet.tape, state, sheet.formulas, changed), theirs);
    row(
      '  after one change, ten cells touched',
      String(cells),
      `${figure(some.a * 1000)} µs`,
      `${figure(some.b * 1000)} µs`,
      `${figure(some.ratio)}×`,
    );
    const all = planFor(sheet.tape, 0);
    const whole = time(() => runSome(sheet.tape, state, sheet.formulas, all));
    row('  after one change, per touched cell', String(cells), `${figure((whole * 1e6) / all.length)} ns`, '', '');
  }
}

// ── a whole answer ──────────────────────────────────────────────────────────────────────────────────────────────────────────────

async function wholeAnswer(): Promise<void> {
  const sheets = await loadSheets(await loadFormulas());
  const cards = await makeCards({ fontCacheDir: join(tmpdir(), 'dustsheet-bench-fonts') });
  console.log();
  row('A whole answer', 'ask + text', 'card', 'sharp alone', 'card/sharp', 'drawing share');
  for (const name of ['corners', 'gearing', 'ride']) {
    const sheet = sheets.get(name)!;
    const question = { readings: sheet.example };
    const answer = ask(sheet, question);
    if (answer.kind !== 'answer') throw new Error(`the example of ${name} has problems`);
    const words = time(() => {
      const one = ask(sheet, question);
      if (one.kind === 'answer') fittedResultText(one, { for: 'chat' });
    });
    const svg = Buffer.from(cards.svg(answer));
    const [drawn, alone]: [number[], number[]] = [[], []];
    for (let i = 0; i < 9; i += 1) {
      drawn.push(await timeAsync(1, () => cards.png(answer)));
      alone.push(await timeAsync(1, () => sharp(svg, { limitInputPixels: 4e6 }).png({ compressionLevel: 6 }).toBuffer()));
    }
    const [card, bare] = [median(drawn), median(alone)];
    row(
      `  ${name}`,
      `${figure(words)} ms`,
      `${figure(card)} ms`,
      `${figure(bare)} ms`,
      `${figure(card / bare)}×`,
      `${figure((100 * card) / (card + words))} %`,
    );
  }
}

// ── the terminal face ───────────────────────────────────────────────────────────────────────────────────────────────────────────

async function terminal(): Promise<void> {
  const count = 20_000;
  const main = fileURLToPath(new URL('../../bot/main.ts', import.meta.url));
  const questions = Array.from({ length: count }, (_, i) => {
    const corner = (base: number): string => `${base + (i % 97)} g`;
    return JSON.stringify({
      sheet: 'corners',
      readings: { front_left: corner(600), front_right: corner(590), rear_left: corner(880), rear_right: corner(890), wheelbase: 330 },
    });
  }).join('\n');
  const run = (input: string): Promise<{ readonly took: number; readonly lines: number; readonly memory: number }> =>
    new Promise((done, failed) => {
      const from = performance.now();
      const child = spawn(process.execPath, ['--import', 'tsx', main, 'ask', '--jsonl'], { stdio: ['pipe', 'pipe', 'inherit'] });
      let found = 0;
      let memory = 0;
      child.stdout.on('data', (chunk: Buffer) => {
        for (const byte of chunk) if (byte === 10) found += 1;
      });
      const watch = setInterval(() => void residentOf(child.pid!).then((now) => (memory = Math.max(memory, now))), 100);
      child.on('error', failed);
      child.on('close', () => {
        clearInterval(watch);
        done({ took: performance.now() - from, lines: found, memory });
      });
      child.stdin.end(`${input}\n`);
    });
  const one = await run(questions.split('\n')[0]!);
  const many = await run(questions);
  if (many.lines !== count) throw new Error(`${count} questions, ${many.lines} answers`);
  console.log();
  row('Questions through the terminal (--jsonl)', 'start', 'a second', 'memory');
  row(
    `  corners × ${count}`,
    `${figure(one.took)} ms`,
    figure((count * 1000) / (many.took - one.took)),
    many.memory > 0 ? `${figure(many.memory)} MB` : 'not known',
  );
  row('  one process for each instead', '', '', `${figure((count * one.took) / many.took)}× slower`);
}
/** Resident memory in MB; 0 where the system does not tell. */
async function residentOf(pid: number): Promise<number> {
  try {
    const { readFile } = await import('node:fs/promises');
    return Number(/VmRSS:\s+(\d+)/.exec(await readFile(`/proc/${pid}/status`, 'utf8'))?.[1] ?? 0) / 1024;
  } catch {
    return 0;
  }
}

engine();
await wholeAnswer();
await terminal();
if (!process.argv.includes('--quick')) await benchArchive();
