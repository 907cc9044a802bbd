import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { norris } from '../../support/lines.ts';
import { answerOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sink = await sheetNamed('sink');
const gravity = 9.80665;

/** Second method: the normal equations of load on speed, written out, in SI. */
function line(runs: readonly (readonly [grams: number, frames: number])[], distance: number, rate: number) {
  const points = runs.map(([grams, frames]) => ({ speed: ((distance / 1000) * rate) / frames, load: (grams / 1000) * gravity }));
  const sum = (of: (point: { speed: number; load: number }) => number): number => points.reduce((all, point) => all + of(point), 0);
  const [n, sv, sf, svv, svf] = [
    points.length,
    sum((p) => p.speed),
    sum((p) => p.load),
    sum((p) => p.speed ** 2),
    sum((p) => p.speed * p.load),
  ];
  const slope = (n * svf - sv * sf) / (n * svv - sv ** 2);
  const start = (sf - slope * sv) / n;
  return { slope, start, worst: Math.max(...points.map(({ speed, load }) => Math.abs(load - start - slope * speed))) };
}
const typed = (runs: readonly (readonly [number, number])[]): string => runs.map(([grams, frames]) => `${grams}/${frames}`).join(' ');

describe('sink: a shock under weights', () => {
  it('draws the least squares line of load on speed', () => {
    const between = draws(341);
    for (let i = 0; i < 40; i += 1) {
      const runs = [1, 2, 3, 4, 5]
        .slice(0, 2 + (i % 4))
        .map((n) => [150 * n * between(0.95, 1.05), (400 / n) * between(0.9, 1.1)] as const);
      const [distance, rate] = [between(10, 40), between(60, 960)];
      const answer = sink.answer({ sink_runs: typed(runs), distance, frame_rate: rate });
      const { slope, start, worst } = line(runs, distance, rate);
      expectNear(numberOf(answer, 'damper_coefficient'), slope, 1e-9);
      expect(Math.abs(numberOf(answer, 'friction_force') - start)).toBeLessThan(1e-9);
      expect(Math.abs(numberOf(answer, 'worst_residual') - (worst * 1000) / gravity)).toBeLessThan(1e-6);
    }
  });

  it('has the standard error of certified data', () => {
    // NIST Statistical Reference Datasets, linear regression, "Norris" (1996): certified values. 1 m at one frame a second; loads in kg.
    const answer = sink.answer({
      sink_runs: norris.x
        .map((x, i) => [norris.y[i]! * 20, 1000 / x] as const)
        .filter(([, frames]) => frames >= 1)
        .map(([load, frames]) => `${load}/${frames}`)
        .join(' '),
      distance: '1 m',
      frame_rate: 1,
    });
    // Loads are 20 g for a y of 1, frames 1000 for an x of 1: the slope comes out 20·10⁻³·1000 times as large.
    expectNear(numberOf(answer, 'damper_coefficient') / gravity / 20, norris.certified.slope, 1e-9);
    expectNear(numberOf(answer, 'damper_coefficient_error') / gravity / 20, norris.certified.slopeError, 1e-9);
  });

  it('gives back a shock of 30 N·s/m with half a newton of friction', () => {
    const run = (grams: number) => [grams, (20e-3 * 240) / (((grams / 1000) * gravity - 0.5) / 30)] as const;
    const answer = sink.answer({ sink_runs: typed([200, 300, 500].map(run)), distance: 20 });
    expectNear(numberOf(answer, 'damper_coefficient'), 30, 1e-9);
    expectNear(numberOf(answer, 'friction_force'), 0.5, 1e-9);
  });

  it('knows no error from two runs, and carries the ± of the distance only', () => {
    const answer = sink.answer({ sink_runs: '200/240 300/120', distance: '20 ± 1' });
    expect(names(answer)).not.toContain('damper_coefficient_error');
    const { value, uncertainty } = answerOf(answer, 'damper_coefficient');
    expectNear(uncertainty, (2 * (value as number) * (1 / Math.sqrt(3))) / 20, 1e-6);
    expectNear(answerOf(answer, 'friction_force').uncertainty, 0, 1e-6);
    expect(answerOf(sink.answer({ sink_runs: '200/240 300/120', distance: 20 }), 'damper_coefficient').uncertainty).toBeNull();
  });

  it('lists the runs by their speed with the load on the line, for the picture', () => {
    const { curves } = sink.answer({ sink_runs: '400/80 200/240 330/120', distance: 20 });
    expect(curves).toHaveLength(1);
    // By hand: 60, 20 and 40 mm/s; the line through 200, 330, 400 g there is 210, 310, 410 g.
    const [curve] = curves;
    [20, 40, 60].forEach((speed, i) => {
      expectNear(curve!.x[i], speed, 1e-9);
    });
    expect(curve!.answers.load).toEqual([200, 330, 400]);
    [210, 310, 410].forEach((load, i) => {
      expectNear(curve!.answers.line![i], load, 1e-9);
    });
  });

  it('refuses runs that no damper makes', () => {
    const said = (runs: string) => sink.problems({ sink_runs: runs, distance: 20 })[0]!.text;
    expect(said('200/120 300/120')).toBe('That does not work out: all the runs took the same number of frames.');
    expect(said('200/120 300/130')).toBe('That does not work out: the shock does not sink faster as the load grows.');
    expect(said('200/120')).toMatch(/^Sink runs: "200\/120" has 1 item\. Give at least 2\./);
    expect(said('200 300')).toMatch(/^Sink runs, item 1: "200" has 1 part/);
  });

  it('says what to do about a friction below zero and about a loose line', () => {
    expect(nextOf(sink.answer({ sink_runs: '200/240 450/120 700/80', distance: 20 }))).toMatch(/^Friction below zero/);
    expect(nextOf(sink.answer({ sink_runs: '200/240 330/120 360/80', distance: 20 }))).toMatch(/^Run it again/);
    expect(nextOf(sink.answer(sink.sheet.example))).toMatch(/^Do the other side/);
  });

  it('is sound at every corner of its ranges', () => {
    expectSoundEverywhere(sink);
  });
});
