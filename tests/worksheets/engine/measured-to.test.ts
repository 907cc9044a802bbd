/** A fact of the truck carries the uncertainty with which it was measured, whichever sheet reads it. */
import { describe, expect, it } from 'vitest';
import { type End, type Outcome, work } from '../../../worksheets/engine/ask.ts';
import { type Facts, supplyFrom, whoAnswers } from '../../../worksheets/engine/fill.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
import { expectNear } from '../../support/book.ts';

const sheets = await loadSheets(await loadFormulas());
const answering = whoAnswers(sheets.values());

function ask(sheet: string, readings: Record<string, string>, facts: Facts = new Map(), end: End | null = null): Outcome {
  const outcome = work(sheets.get(sheet)!, { readings, end }, supplyFrom(facts, answering));
  if (!('answer' in outcome)) return expect.fail(outcome.problems.map(({ text }) => text).join(' '));
  return outcome;
}
const off = ({ answer }: Outcome, name: string): number | null | undefined =>
  answer.readings.find((reading) => reading.name === name)?.uncertainty;
const factsOf = (...outcomes: Outcome[]): Facts =>
  new Map(outcomes.flatMap(({ given }) => given.map(({ fact, typed, uncertainty }) => [fact, { typed, uncertainty }] as const)));

const weighed = { front_left: '612', front_right: '605', rear_left: '901', rear_right: '896' };
const rates = { front_wheel_rate: '0.36', rear_wheel_rate: '0.52' };

describe('what a fact was measured to', () => {
  it('goes with it into a sheet that has no clause of its own', () => {
    const facts = factsOf(ask('corners', { ...weighed, scale_step: '0.1' }));
    // Half a step of 0.1 g, rectangular: JCGM 100:2008, 4.3.7.
    expectNear(off(ask('cross', rates, facts), 'front_left'), (2 * 0.1) / Math.sqrt(12), 1e-12);
    expectNear(off(ask('corners', {}, facts), 'front_left'), (2 * 0.1) / Math.sqrt(12), 1e-12);
  });

  it('is that of the sheet that reads it where nobody said', () => {
    const facts = factsOf(ask('cross', { ...weighed, ...rates }));
    expect(off(ask('cross', {}, facts), 'front_left')).toBeNull();
    expectNear(off(ask('corners', {}, facts), 'front_left'), 2 / Math.sqrt(12), 1e-12);
  });

  it('stands back for a ± that was typed with it', () => {
    const facts = factsOf(ask('corners', { ...weighed, front_left: '612 ± 3 g' }));
    for (const outcome of [ask('cross', rates, facts), ask('corners', {}, facts)])
      expectNear(off(outcome, 'front_left'), (2 * 3) / Math.sqrt(3), 1e-12);
  });

  it('does not take in what a second weighing adds, which would count twice', () => {
    const first = ask('corners', { ...weighed, again: '609 607 898 899' });
    const again = ask('corners', {}, factsOf(first));
    expect(off(first, 'front_left')).toBeGreaterThan(2 / Math.sqrt(12));
    expect(again.answer.answers).toEqual(first.answer.answers);
  });
});
