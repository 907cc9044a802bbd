import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { norris } from '../../support/lines.ts';
import { answerOf, cautionsOf, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('press');
const GRAVITY = 9.80665;
const press = (points: readonly (readonly [load: number, height: number])[]) =>
  sheet.answer({ press_points: points.map(([load, height]) => `${load}/${height}`).join(' ') }, 'rear');

/** Second method: the normal equations, centred, in grams and millimetres. */
function plainly(points: readonly (readonly [load: number, height: number])[]) {
  const n = points.length;
  const [x, y] = [points.reduce((sum, [, height]) => sum + height, 0) / n, points.reduce((sum, [load]) => sum + load, 0) / n];
  const sxx = points.reduce((sum, [, height]) => sum + (height - x) ** 2, 0);
  const slope = points.reduce((sum, [load, height]) => sum + (height - x) * (load - y), 0) / sxx;
  const residuals = points.map(([load, height]) => load - y - slope * (height - x));
  const error = Math.sqrt(residuals.reduce((sum, each) => sum + each ** 2, 0) / (n - 2) / sxx);
  return {
    rate: (-slope * GRAVITY) / 1000,
    error: (error * GRAVITY) / 1000,
    zero: x - y / slope,
    worst: Math.max(...residuals.map(Math.abs)),
  };
}

describe('press', () => {
  it('gives the certified slope and standard error of the NIST Norris data, typed as loads and heights', () => {
    // NIST Statistical Reference Datasets, linear regression, Norris; certified values. Heights run backwards: a pressed spring gets shorter.
    const answer = press(norris.x.map((x, i) => [norris.y[i]!, Number((2000 - x).toFixed(1))]));
    const { slope, slopeError, intercept } = norris.certified;
    expectNear(numberOf(answer, 'spring_rate_gf_mm'), slope, 1e-11);
    expectNear(numberOf(answer, 'spring_rate'), (slope * GRAVITY) / 1000, 1e-11);
    expectNear(numberOf(answer, 'spring_rate_error'), (slopeError * GRAVITY) / 1000, 1e-9);
    expectNear(numberOf(answer, 'zero_load_height'), 2000 + intercept / slope, 1e-12);
  });

  it('answers what the contract says, worked out plainly', () => {
    const between = draws(31);
    for (let i = 0; i < 40; i += 1) {
      const rate = between(0.02, 20);
      const points = Array.from({ length: 3 + (i % 6) }, (_, j): readonly [number, number] => {
        const down = 2 * j + between(0.1, 1.9);
        return [Number((((rate * 1000) / GRAVITY) * down * between(0.98, 1.02)).toFixed(3)), Number((80 - down).toFixed(3))];
      }).filter(([load]) => load <= 20_000);
      if (points.length < 3) continue;
      const answer = press(points);
      const expected = plainly(points);
      expectNear(numberOf(answer, 'spring_rate'), expected.rate, 1e-9);
      expectNear(numberOf(answer, 'spring_rate_error'), expected.error, 1e-6);
      expectNear(numberOf(answer, 'zero_load_height'), expected.zero, 1e-10);
      expectNear(numberOf(answer, 'worst_residual'), expected.worst, 1e-6);
      // Standard error with n − 2; the uncertainty is twice it.
      expectNear(answerOf(answer, 'spring_rate').uncertainty, 2 * expected.error, 1e-6);
      expect(answerOf(answer, 'straight').value).toBe(expected.worst <= 0.02 * Math.max(...points.map(([load]) => load)));
    }
  });

  it('says the same rate in three units', () => {
    const answer = press([
      [0, 78],
      [500, 71.2],
      [900, 65.4],
    ]);
    const rate = numberOf(answer, 'spring_rate');
    // NIST SP 811 (2008), Appendix B.8: 1 lbf/in = 0.175 126 8 N/mm, 1 gf/mm = 0.009 806 65 N/mm; exact factors.
    expectNear(numberOf(answer, 'spring_rate_lb_in'), rate / 0.175126835246476, 1e-12);
    expectNear(numberOf(answer, 'spring_rate_gf_mm'), rate / 0.00980665, 1e-12);
    for (const name of ['spring_rate', 'spring_rate_lb_in', 'spring_rate_gf_mm'])
      expectNear(answerOf(answer, name).uncertainty! / numberOf(answer, name), (2 * numberOf(answer, 'spring_rate_error')) / rate, 1e-12);
  });

  it('gives a rate without ± for two points, and leaves the error out', () => {
    const answer = press([
      [0, 80],
      [1000, 60],
    ]);
    expectNear(numberOf(answer, 'spring_rate'), (50 * GRAVITY) / 1000, 1e-12);
    expect(answerOf(answer, 'spring_rate').uncertainty).toBeNull();
    expect(names(answer)).not.toContain('spring_rate_error');
    expect(answer.wider).toEqual([]);
    expect(answerOf(answer, 'straight').value).toBe(true);
  });

  it('is straight up to 2 % of the greatest load off the line', () => {
    // Three heights evenly apart, the middle load d too high: residuals −d/3, 2d/3, −d/3, by hand. 2 % of 1000 g is 20 g: d = 30 g.
    const straight = (d: number) =>
      press([
        [0, 80],
        [500 + d, 70],
        [1000, 60],
      ]);
    expect(answerOf(straight(29), 'straight').value).toBe(true);
    expect(answerOf(straight(31), 'straight').value).toBe(false);
    expect(nextOf(straight(31))).toMatch(/^Press again/);
    expect(
      nextOf(
        press([
          [900, 62],
          [960, 61],
          [1000, 60],
        ]),
      ),
    ).toMatch(/^Take a wider spread of loads/);
    expect(nextOf(straight(1))).toMatch(/^Write the rate/);
  });

  it('asks for points that make a line, and says why not', () => {
    const text = (points: string): string =>
      sheet
        .problems({ press_points: points })
        .map(({ text: said }) => said)
        .join();
    expect(text('0/78 500/78')).toBe('That does not work out: all the heights are the same.');
    expect(text('0/70 500/78')).toBe('That does not work out: the spring does not get shorter as the load grows.');
    expect(sheet.problems({ press_points: '0/78 500/78' })[0]!.reading).toBe('press_points');
    expect(text('0/78')).toBe('Press points: "0/78" has 1 item. Give at least 2.');
    expect(text('')).toBe('Press points: nothing was typed. Give at least 2.');
    expect(sheet.problems({})[0]!.text).toContain('Press points is missing');
  });

  it('gives the points back as they were understood', () => {
    const [points] = sheet.answer({ press_points: '0/78 0.5 kg/7,12cm' }).readings;
    expect(points).toMatchObject({
      value: [
        { load: 0, height: 78 },
        { load: 500, height: 71.2 },
      ],
      unit: 'g/mm',
      from: 'given',
      uncertainty: null,
    });
  });

  it('warns of the spring that jumps', () => {
    expect(
      cautionsOf(
        press([
          [0, 80],
          [1000, 60],
        ]),
      ).join(),
    ).toContain('jump');
  });
});
