import { describe, expect, it } from 'vitest';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const skidpad = await sheetNamed('skidpad');
const gn = 9.80665;
const deg = Math.PI / 180;
const typed = (runs: readonly { readonly time: number; readonly diameter: number }[]): string =>
  runs.map(({ time, diameter }) => `${time}/${diameter}`).join(' ');

/** The other way round: the circle that a truck of this lock and gradient drives at a lateral acceleration. */
function driven(wheelbase: number, steer: number, gradient: number, a: number): { readonly time: number; readonly diameter: number } {
  const radius = wheelbase / (steer - gradient * a);
  return { time: 2 * Math.PI * Math.sqrt(radius / a), diameter: 2 * radius };
}

describe('skidpad: circles at one lock', () => {
  it('gives back the lock and the gradient of a truck that was driven on paper', () => {
    const between = draws(381);
    for (let i = 0; i < 40; i += 1) {
      const [wheelbase, steer] = [between(0.2, 0.5), between(8, 25) * deg];
      // rad per m/s²; from understeer to oversteer of up to 5° per g.
      const gradient = ((i % 2 ? 1 : -1) * between(0.3, 5) * deg) / gn;
      const runs = [0.2, 0.4, 0.6, 0.8].map((g) => driven(wheelbase, steer, gradient, g * gn));
      const answer = skidpad.answer({ skidpad_runs: typed(runs), wheelbase: wheelbase * 1000 });
      expectNear(numberOf(answer, 'steer'), steer / deg, 1e-9);
      expectNear(numberOf(answer, 'understeer_gradient'), (gradient * gn) / deg, 1e-8);
      expectNear(numberOf(answer, 'peak_lateral_acceleration'), 0.8, 1e-9);
      const [there, not] = gradient > 0 ? ['characteristic_speed', 'critical_speed'] : ['critical_speed', 'characteristic_speed'];
      expectNear(numberOf(answer, there), 3.6 * Math.sqrt(wheelbase / Math.abs(gradient)), 1e-8);
      expect(answerOf(answer, not)).toMatchObject({ value: null, why: 'never' });
    }
  });

  it('gives the understeer of the textbook car at half its size', () => {
    // Wong, Theory of Ground Vehicles, example 5.1: 20.105 kN, wheelbase 2.8 m, front axle 0.465 of it ahead of the centre of gravity, 38.92 and 38.25
    // kN/rad a tyre, g = 9.81: 0.92° per g. Printed value from memory, recomputed. Half the wheelbase (the sheet's range ends at 2 m) leaves it alone.
    const [front, rear, weight] = [2 * 38920, 2 * 38250, 20105];
    const circle = (speed: number) => {
      // Second method: the linear two-wheel model, forces and moments, by Cramer's rule.
      const [mass, ahead, behind] = [weight / 9.81, 0.465 * 1.4, 0.535 * 1.4];
      const a11 = (front + rear) / speed;
      const a12 = (ahead * front - behind * rear) / speed + mass * speed;
      const a21 = (ahead * front - behind * rear) / speed;
      const a22 = (ahead ** 2 * front + behind ** 2 * rear) / speed;
      const yaw = (a11 * ahead * front * 0.05 - a21 * front * 0.05) / (a11 * a22 - a12 * a21);
      return { time: (2 * Math.PI) / yaw, diameter: (2 * speed) / yaw };
    };
    const answer = skidpad.answer({ skidpad_runs: typed([5, 8, 11, 14].map(circle)), wheelbase: '1.4 m' });
    expectPrinted((numberOf(answer, 'understeer_gradient') * 9.81) / gn, '0.92');
  });

  it('has an error that says when the gradient has no sign', () => {
    const neutral = skidpad.answer({ skidpad_runs: '4.6/3 3.7/3.04 3.1/2.97 2.7/3.03', wheelbase: 330 });
    expect(Math.abs(numberOf(neutral, 'understeer_gradient'))).toBeLessThan(2 * numberOf(neutral, 'understeer_gradient_error'));
    expect(nextOf(neutral)).toMatch(/^Too close to call/);
    expect(cautionsOf(neutral)).toHaveLength(1);
    // Second method: the error from the scatter about the line, by the textbook's sums (JCGM 100:2008, H.3).
    const rows = [
      [4.6, 3],
      [3.7, 3.04],
      [3.1, 2.97],
      [2.7, 3.03],
    ] as const;
    const x = rows.map(([t, d]) => (2 * Math.PI ** 2 * d) / t ** 2 / gn);
    const y = rows.map(([, d]) => 0.66 / d / deg);
    const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
    const sxx = x.reduce((sum, value) => sum + (value - mean(x)) ** 2, 0);
    const slope = x.reduce((sum, value, i) => sum + (value - mean(x)) * (y[i]! - mean(y)), 0) / sxx;
    const scatter = Math.sqrt(x.reduce((sum, value, i) => sum + (y[i]! - mean(y) - slope * (value - mean(x))) ** 2, 0) / 2);
    expectNear(numberOf(neutral, 'understeer_gradient'), -slope, 1e-9);
    expectNear(numberOf(neutral, 'understeer_gradient_error'), scatter / Math.sqrt(sxx), 1e-9);
  });

  it('says what to soften, and warns of the speed at which it spins', () => {
    expect(nextOf(skidpad.answer(skidpad.sheet.example))).toMatch(/soften the front/);
    const loose = skidpad.answer({ skidpad_runs: '4.6/3.5 3.7/3.35 3.1/3.15 2.7/2.9', wheelbase: 330 });
    expect(nextOf(loose)).toMatch(/^Soften the rear/);
    expect(cautionsOf(loose)[0]).toMatch(/it spins by itself: stay well below/);
  });

  it('always keeps people away from a sliding truck', () => {
    expect(cautionsOf(skidpad.answer(skidpad.sheet.example))).toContain('Keep people well away: a sliding truck runs wide.');
  });

  it('carries the ± of the wheelbase to the gradient, and none from the list', () => {
    const answer = answerOf(skidpad.answer({ ...skidpad.sheet.example, wheelbase: '330 ± 3.3' }), 'understeer_gradient');
    expectNear(answer.uncertainty, (2 * Math.abs(answer.value as number) * 0.01) / Math.sqrt(3), 1e-6);
    expect(answerOf(skidpad.answer(skidpad.sheet.example), 'understeer_gradient').uncertainty).toBeNull();
  });

  it('lists each run by its lateral acceleration, for the picture', () => {
    const [curve] = skidpad.answer({ skidpad_runs: '3/3.1 4/3 2.5/3.2', wheelbase: 330 }).curves;
    const rows = [
      [4, 3],
      [3, 3.1],
      [2.5, 3.2],
    ] as const;
    rows.forEach(([t, d], i) => {
      expectNear(curve!.x[i], (Math.PI * d) ** 2 / t ** 2 / (d / 2) / gn, 1e-9);
      expectNear(curve!.answers.path_angle![i], 0.66 / d / deg, 1e-9);
    });
  });

  it('refuses runs that draw no line, and fewer than three', () => {
    expect(skidpad.problems({ skidpad_runs: '4/3 4/3 4/3', wheelbase: 330 })[0]!.text).toBe(
      'That does not work out: all runs have the same lateral acceleration.',
    );
    expect(skidpad.problems({ skidpad_runs: '4/3 3/3', wheelbase: 330 })[0]!.text).toMatch(/has 2 items\. Give at least 3\./);
  });

  it('is sound at every corner of its ranges', () => {
    expectSoundEverywhere(skidpad);
  });
});
