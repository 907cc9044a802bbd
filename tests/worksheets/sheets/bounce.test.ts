import { describe, expect, it } from 'vitest';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const bounce = await sheetNamed('bounce');

/** Second method: m·ẍ = −k·x − c·ẋ stepped through time (velocity at half steps) until the n-th top; no formula for it. */
function filmed(ratio: number, frequency: number, cycles: number): { readonly height: number; readonly seconds: number } {
  const w = 2 * Math.PI * frequency;
  const step = 1e-5 / frequency;
  const pull = (x: number, v: number): number => -(w ** 2) * x - 2 * ratio * w * v;
  let [x, v, t, tops] = [1, 0, 0, 0];
  for (;;) {
    // Classic Runge–Kutta of fourth order.
    const [a1, b1] = [v, pull(x, v)];
    const [a2, b2] = [v + (step / 2) * b1, pull(x + (step / 2) * a1, v + (step / 2) * b1)];
    const [a3, b3] = [v + (step / 2) * b2, pull(x + (step / 2) * a2, v + (step / 2) * b2)];
    const [a4, b4] = [v + step * b3, pull(x + step * a3, v + step * b3)];
    const before = v;
    x += (step / 6) * (a1 + 2 * a2 + 2 * a3 + a4);
    v += (step / 6) * (b1 + 2 * b2 + 2 * b3 + b4);
    t += step;
    if (before > 0 && v <= 0 && x > 0) {
      tops += 1;
      if (tops === cycles) return { height: x, seconds: t - (step * -v) / (before - v) };
    }
  }
}

describe('bounce: two tops of a film', () => {
  it('gives the textbook’s damping ratio: sixteen times less after one cycle of two seconds', () => {
    // Rao, Mechanical Vibrations in SI Units, example 2.14: amplitude quartered in half a cycle, damped period 2 s, ζ = 0.4037. Printed value read.
    const answer = bounce.answer({ peak_1: 32, peak_2: 2, frames: 480 });
    expectPrinted(numberOf(answer, 'damping_ratio'), '0.4037');
    expectNear(numberOf(answer, 'log_decrement'), Math.log(16), 1e-12);
    expectNear(numberOf(answer, 'damped_frequency'), 0.5, 1e-12);
  });

  it('gives the textbook’s decrement the other way round', () => {
    // Thomson, Theory of Vibration with Applications, example 2.7-1: ζ = 0.0681, δ = 0.429. Printed values read.
    const answer = bounce.answer({ peak_1: 100, peak_2: 100 * Math.exp(-0.429), frames: 100 });
    expectPrinted(numberOf(answer, 'log_decrement'), '0.429');
    expectPrinted(numberOf(answer, 'damping_ratio'), '0.0681');
  });

  it('finds the damping and frequency of a truck that was let go in a simulation', () => {
    const between = draws(311);
    for (let i = 0; i < 4; i += 1) {
      const [ratio, frequency, cycles] = [between(0.05, 0.4), between(1.5, 4), 1 + (i % 3)];
      const { height, seconds } = filmed(ratio, frequency, cycles);
      const answer = bounce.answer({ peak_1: 200, peak_2: 200 * height, frames: seconds * 480, frame_rate: 480, cycles });
      expectNear(numberOf(answer, 'damping_ratio'), ratio, 1e-4);
      expectNear(numberOf(answer, 'undamped_frequency'), frequency, 1e-4);
    }
  });

  it('carries the ± of a top: the decrement moves by the share that the top is off', () => {
    const answer = bounce.answer({ peak_1: 20, peak_2: '4 ± 0.5', frames: 90 });
    expectNear(answerOf(answer, 'log_decrement').uncertainty, (2 * (0.5 / Math.sqrt(3))) / 4, 1e-6);
    expect(answerOf(bounce.answer({ peak_1: 20, peak_2: 4, frames: 90 }), 'damping_ratio').uncertainty).toBeNull();
  });

  it('counts 240 frames a second and one cycle unless told', () => {
    const answer = bounce.answer({ peak_1: 20, peak_2: 4, frames: 96 });
    expectNear(numberOf(answer, 'damped_frequency'), 2.5, 1e-12);
    expectNear(
      numberOf(bounce.answer({ peak_1: 20, peak_2: 4, frames: 96, frame_rate: '120 fps', cycles: 2 }), 'damped_frequency'),
      2.5,
      1e-12,
    );
  });

  it('says how much thicker the oil has to be: by as much as the ratio falls short', () => {
    const answer = bounce.answer({ peak_1: 32, peak_2: 2, frames: 480, target_ratio: 0.6 });
    expectNear(numberOf(answer, 'oil_factor'), 0.6 / numberOf(answer, 'damping_ratio'), 1e-12);
    expect(nextOf(answer)).toBe('Fill oil 1.5 times as thick, then film again.');
    expect(nextOf(bounce.answer({ peak_1: 32, peak_2: 2, frames: 480, target_ratio: 0.4 }))).toMatch(/^Leave the oil/);
  });

  it('is undamped when both tops are alike, and then names no oil', () => {
    const answer = bounce.answer({ peak_1: 20, peak_2: 20, frames: 96 });
    expect([numberOf(answer, 'damping_ratio'), numberOf(answer, 'log_decrement')]).toEqual([0, 0]);
    expect(numberOf(answer, 'undamped_frequency')).toBe(numberOf(answer, 'damped_frequency'));
    expect(names(answer)).not.toContain('oil_factor');
    expect(nextOf(answer)).toMatch(/^It lost no height/);
  });

  it('refuses a second top that is higher, and warns of one that a ruler cannot read', () => {
    expect(bounce.problems({ peak_1: 10, peak_2: 12, frames: 96 })).toMatchObject([
      { reading: 'peak_2', text: 'That does not work out: the second peak is higher than the first.' },
    ]);
    expect(cautionsOf(bounce.answer({ peak_1: 20, peak_2: 0.5, frames: 90 }))).toEqual([
      'The second top is too low for a ruler: let the shock sink instead.',
    ]);
    expect(cautionsOf(bounce.answer({ peak_1: 20, peak_2: 4, frames: 9 }))[0]).toMatch(/fast for a body on springs/);
  });

  it('is sound at every corner of its ranges', () => {
    expectSoundEverywhere(bounce);
  });
});
