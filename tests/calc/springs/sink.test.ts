import { describe, expect, it } from 'vitest';
import { standardGravity } from '../../../calc/constants.ts';
import { si } from '../../../calc/formula.ts';
import { sink } from '../../../calc/springs/sink.ts';
import { draws, expectNear, numberOf } from '../../support/book.ts';
import { norris } from '../../support/lines.ts';

const runs = (rows: readonly (readonly [load: number, frames: number])[], distance = 0.02, frameRate = 240) => ({
  sinkRuns: rows.map(([load, frames]) => ({ load: si<'kg'>(load), frames: si<'1'>(frames) })),
  distance: si<'m'>(distance),
  frameRate: si<'1/s'>(frameRate),
});

describe('a shock that sinks under weights', () => {
  it('has the certified slope, its error and the intercept of the NIST Norris data, run as speeds and loads', () => {
    // NIST Statistical Reference Datasets, linear regression, "Norris" (1996): certified values. One metre at one frame a second: the speed is
    // one over the frames.
    const found = sink(
      runs(
        norris.x.map((x, i) => [norris.y[i]!, 1 / x]),
        1,
        1,
      ),
    );
    expectNear(found.damperCoefficient / standardGravity, norris.certified.slope, 1e-11);
    expectNear(numberOf(found.damperCoefficientError) / standardGravity, norris.certified.slopeError, 1e-9);
    expectNear(found.frictionForce / standardGravity, norris.certified.intercept, 1e-10);
  });

  it('gives back the damper and the friction that a shock was built with', () => {
    const between = draws(81);
    for (let i = 0; i < 40; i += 1) {
      const [coefficient, friction, distance, frameRate] = [between(5, 200), between(0.05, 2), between(0.01, 0.04), between(24, 960)];
      const rows = [0.15, 0.25, 0.4, 0.7].map((extra) => {
        const load = friction / standardGravity + extra;
        const speed = (load * standardGravity - friction) / coefficient;
        return [load, (distance / speed) * frameRate] as const;
      });
      const found = sink(runs(rows, distance, frameRate));
      expectNear(found.damperCoefficient, coefficient, 1e-9);
      expectNear(found.frictionForce, friction, 1e-7);
      expect(found.worstResidual).toBeLessThan(1e-12);
    }
  });

  it('shows how far the worst run lies off the line', () => {
    // Speeds 1, 2, 3 times 20 mm/s; the middle load 30 g too high: residuals −10, 20, −10 g, by hand.
    const found = sink(
      runs([
        [0.2, 240],
        [0.33, 120],
        [0.4, 80],
      ]),
    );
    expectNear(found.worstResidual, 0.02, 1e-9);
    expectNear(found.damperCoefficient, (0.1 * standardGravity) / 0.02, 1e-9);
  });

  it('lists the runs from the slowest to the fastest, each with the load on the line', () => {
    // Speeds of 20, 40 and 60 mm/s in any order; the line through 200, 330, 400 g is 210, 310, 410 g there, by hand.
    const { runs: listed } = sink(
      runs([
        [0.4, 80],
        [0.2, 240],
        [0.33, 120],
      ]),
    );
    for (const [i, speed] of [0.02, 0.04, 0.06].entries()) expectNear(listed.speed[i], speed, 1e-12);
    expect(listed.load).toEqual([0.2, 0.33, 0.4]);
    for (const [i, load] of [0.21, 0.31, 0.41].entries()) expectNear(listed.line[i], load, 1e-12);
  });

  it('says nothing of its error with two runs, which any line meets', () => {
    const found = sink(
      runs([
        [0.2, 240],
        [0.33, 120],
      ]),
    );
    expect(found.damperCoefficientError).toBeUndefined();
  });

  it('goes with the loads, and with one over distance and frame rate', () => {
    const rows = [
      [0.2, 240],
      [0.31, 120],
      [0.45, 70],
    ] as const;
    const between = draws(82);
    const once = sink(runs(rows));
    for (let i = 0; i < 40; i += 1) {
      const factor = between(0.2, 5);
      const heavier = sink(runs(rows.map(([load, frames]) => [load * factor, frames])));
      expectNear(heavier.damperCoefficient, once.damperCoefficient * factor, 1e-9);
      expectNear(heavier.frictionForce, once.frictionForce * factor, 1e-9);
      for (const faster of [sink(runs(rows, 0.02 * factor)), sink(runs(rows, 0.02, 240 * factor))]) {
        expectNear(faster.damperCoefficient, once.damperCoefficient / factor, 1e-9);
        expectNear(faster.frictionForce, once.frictionForce, 1e-9);
      }
    }
  });

  it('is refused when all runs took as long, or the heavier one longer', () => {
    expect(() =>
      sink(
        runs([
          [0.2, 120],
          [0.3, 120],
        ]),
      ),
    ).toThrow('the same number of frames');
    expect(() =>
      sink(
        runs([
          [0.2, 120],
          [0.3, 130],
        ]),
      ),
    ).toThrow('does not sink faster');
  });

  it('takes masses for loads: newtons do not compile', () => {
    const good = runs([[0.2, 120]]);
    // @ts-expect-error the weights are read in mass
    const wrong = () => sink({ ...good, sinkRuns: [{ load: si<'N'>(2), frames: si(120) }] });
    expect(wrong).toThrow();
  });
});
