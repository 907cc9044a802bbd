import { describe, expect, it } from 'vitest';
import { standardGravity } from '../../../calc/constants.ts';
import { si } from '../../../calc/formula.ts';
import { press } from '../../../calc/springs/press.ts';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { norris } from '../../support/lines.ts';

const points = (rows: readonly (readonly [load: number, height: number])[]) => ({
  pressPoints: rows.map(([load, height]) => ({ load: si<'kg'>(load), height: si<'m'>(height) })),
});

describe('a spring pressed on a kitchen scale', () => {
  it('has the rate that the graph of a school experiment shows', () => {
    // M. Richmond, Rochester Institute of Technology, "Why graph?": 5 to 20 g on a spring, from 81 to 214 mm long; prints k = 1.1 N/m
    // with g = 9.8 m/s². Printed value read. A pressed spring gets shorter: the mark is put 300 mm away.
    const { springRate } = press(
      points([
        [0.005, 0.3 - 0.081],
        [0.01, 0.3 - 0.125],
        [0.015, 0.3 - 0.169],
        [0.02, 0.3 - 0.214],
      ]),
    );
    expectPrinted((springRate * 9.8) / standardGravity, '1.1');
  });

  it('has the certified slope and standard error of the NIST Norris data, run as loads and heights', () => {
    const { springRate, springRateError, zeroLoadHeight } = press(points(norris.x.map((x, i) => [norris.y[i]!, 2000 - x])));
    const { slope, slopeError, intercept } = norris.certified;
    expectNear(springRate / standardGravity, slope, 1e-11);
    expectNear((springRateError as number) / standardGravity, slopeError, 1e-9);
    expectNear(zeroLoadHeight, 2000 + intercept / slope, 1e-12);
  });

  it('has the rate of the normal equations, done in whole numbers', () => {
    // 0 g at 78 mm, 500 g at 71.2 mm, 900 g at 65.4 mm. In tenths of a millimetre: n·Σxy − Σx·Σy = −170 600, n·Σx² − (Σx)² = 23 864.
    const { springRate, zeroLoadHeight, straight } = press(
      points([
        [0, 0.078],
        [0.5, 0.0712],
        [0.9, 0.0654],
      ]),
    );
    const gramsPerTenth = 170600 / 23864;
    expectNear(springRate, gramsPerTenth * 10 * standardGravity, 1e-10);
    expectNear(zeroLoadHeight, (2146 / 3 + 1400 / 3 / gramsPerTenth) * 1e-4, 1e-12);
    expect(straight).toBe(true);
  });

  it('is straight while the worst point is at most 2 % of the greatest load off the line', () => {
    // Three heights evenly apart, the middle load d too high: residuals −d/3, 2d/3, −d/3, by hand. 2 % of 1000 g is 20 g: d = 30 g.
    const bent = (d: number) =>
      press(
        points([
          [0, 0.08],
          [0.5 + d, 0.07],
          [1, 0.06],
        ]),
      );
    expectNear(bent(0.029).worstResidual, (2 * 0.029) / 3, 1e-9);
    expect(bent(0.029).straight).toBe(true);
    expect(bent(0.031).straight).toBe(false);
    // The other way round the worst residual is negative on the line; its size is what counts.
    expectNear(bent(-0.031).worstResidual, (2 * 0.031) / 3, 1e-9);
    expect(bent(-0.031).straight).toBe(false);
  });

  it('has no standard error from two points alone', () => {
    const two = press(
      points([
        [0.1, 0.07],
        [0.6, 0.06],
      ]),
    );
    expectNear(two.springRate, 50 * standardGravity, 1e-10);
    expect(two.springRateError).toBeUndefined();
    expect(two.straight).toBe(true);
    expectNear(two.zeroLoadHeight, 0.072, 1e-12);
  });

  it('is twice as stiff when it takes twice the loads, and half as stiff when it moves twice as far', () => {
    const between = draws(21);
    for (let i = 0; i < 40; i += 1) {
      const rate = between(0.005, 50) * 1e3;
      const steps = Array.from({ length: 5 }, (_, j) => (j + between(0.1, 0.9)) * 0.004);
      const rows = steps.map((step) => [(rate * step) / standardGravity + between(0.01, 0.02), 0.1 - step] as const);
      const once = press(points(rows));
      const heavier = press(points(rows.map(([load, height]) => [2 * load, height])));
      const longer = press(points(rows.map(([load, height]) => [load, 0.1 - 2 * (0.1 - height)])));
      const elsewhere = press(points(rows.map(([load, height]) => [load, height + 0.05])));
      expectNear(heavier.springRate, 2 * once.springRate, 1e-9);
      expectNear(heavier.worstResidual, 2 * once.worstResidual, 1e-6);
      expectNear(heavier.springRateError, 2 * (once.springRateError as number), 1e-6);
      expectNear(longer.springRate, once.springRate / 2, 1e-9);
      expectNear(elsewhere.springRate, once.springRate, 1e-9);
      expectNear(elsewhere.zeroLoadHeight, once.zeroLoadHeight + 0.05, 1e-9);
    }
  });

  it('is refused when nothing moved, or it moved the wrong way', () => {
    const refused = (rows: readonly (readonly [number, number])[]) => () => press(points(rows));
    expect(
      refused([
        [0, 0.07],
        [0.5, 0.07],
      ]),
    ).toThrow('all the heights are the same');
    expect(
      refused([
        [0, 0.06],
        [0.5, 0.07],
      ]),
    ).toThrow('does not get shorter');
    expect(
      refused([
        [0, 0.06],
        [0, 0.07],
      ]),
    ).toThrow('does not get shorter');
  });

  it('takes masses for loads: newtons do not compile', () => {
    // @ts-expect-error scales read mass
    const wrong = () => press({ pressPoints: [{ load: si<'N'>(1), height: si<'m'>(1) }] });
    expect(wrong).toThrow();
  });
});
