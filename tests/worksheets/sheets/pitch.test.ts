import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('pitch');
const truck = { truck_sprung_mass: '2350', wheelbase: '330', rear_share: '59.6', front_wheel_rate: '0.20', rear_wheel_rate: '0.34' };

describe('pitch: how the body swings', () => {
  it('turns about its node at that frequency: the equations of motion hold for every mode', () => {
    // Second method: put the motion z = sin(ωt)·(x − node) into m·z̈ and I·θ̈ and see that springs and inertia balance.
    const between = draws(21);
    for (let i = 0; i < 40; i += 1) {
      const [grams, wheelbase, share] = [between(1500, 6000), between(250, 500), between(40, 70)];
      const [front, rear, index] = [between(0.05, 0.8), between(0.05, 0.8), between(0.4, 1.6)];
      const answer = sheet.answer({
        ...{ truck_sprung_mass: grams, wheelbase, rear_share: share, dynamic_index: index },
        ...{ front_wheel_rate: front, rear_wheel_rate: rear },
      });
      const [mass, a, b] = [grams / 1000, ((share / 100) * wheelbase) / 1000, ((1 - share / 100) * wheelbase) / 1000];
      const inertia = index * mass * a * b;
      for (const n of [1, 2]) {
        const omega2 = (2 * Math.PI * numberOf(answer, `frequency_${n}`)) ** 2;
        const node = numberOf(answer, `node_${n}`) / 1000;
        // Turned by one radian about the node (ahead of the CG positive, nose up): heights of CG and axles.
        const [middle, nose, tail] = [-node, a - node, -b - node];
        const forces = [-2000 * front * nose, -2000 * rear * tail];
        expectNear(forces[0]! + forces[1]!, -omega2 * mass * middle, 1e-6);
        expectNear(forces[0]! * a - forces[1]! * b, -omega2 * inertia, 1e-6);
      }
    }
  });

  it('gives each end alone as a mass on a spring, and the slower frequency first', () => {
    const answer = sheet.answer(truck);
    expectNear(numberOf(answer, 'front_frequency'), Math.sqrt((2 * 200) / (2.35 * 0.404)) / (2 * Math.PI), 1e-12);
    expectNear(numberOf(answer, 'rear_frequency'), Math.sqrt((2 * 340) / (2.35 * 0.596)) / (2 * Math.PI), 1e-12);
    expect(numberOf(answer, 'frequency_1')).toBeLessThan(numberOf(answer, 'frequency_2'));
    // The slower one turns about a point behind the rear axle (403 mm would be 133 mm ahead of the CG): it bounces.
    expect(Math.abs(numberOf(answer, 'node_1'))).toBeGreaterThan(0.596 * 330);
    expect(answerOf(answer, 'bounce_first').value).toBe(true);
  });

  it('takes a measured inertia before the dynamic index', () => {
    const [a, b] = [0.33 * 0.596, 0.33 * 0.404];
    const measured = sheet.answer({ ...truck, pitch_inertia: 0.6 * 2.35 * a * b, dynamic_index: '1.4' });
    const guessed = sheet.answer({ ...truck, dynamic_index: '0.6' });
    expectNear(numberOf(measured, 'frequency_2'), numberOf(guessed, 'frequency_2'), 1e-9);
    expect(answerOf(sheet.answer(truck), 'frequency_1').value).toBe(
      answerOf(sheet.answer({ ...truck, dynamic_index: '0.8' }), 'frequency_1').value,
    );
  });

  it('has no still point where the body goes up and down level', () => {
    // Springs in balance about the CG: 0.2 · 0.6 = 0.3 · 0.4.
    const level = { ...truck, rear_share: '60', front_wheel_rate: '0.2', rear_wheel_rate: '0.3' };
    const node = answerOf(sheet.answer(level), 'node_1');
    expect(node).toMatchObject({ value: null, why: 'all bounce' });
    expect(answerOf(sheet.answer(level), 'node_2').value).toBe(0);
    // A body spread wider than its axles rocks before it bounces.
    const wide = sheet.answer({ ...level, dynamic_index: '1.5' });
    expect(answerOf(wide, 'bounce_first').value).toBe(false);
    expect(nextOf(wide)).toContain('bring weight to the middle');
  });

  it('asks for a stiffer rear where the rear is slower than the front', () => {
    const answer = sheet.answer({ ...truck, rear_wheel_rate: '0.25' });
    const wanted = 0.25 * (1.1 * (numberOf(answer, 'front_frequency') / numberOf(answer, 'rear_frequency'))) ** 2;
    const [, rate] = /about ([\d.]+) N\/mm at the wheel/.exec(nextOf(answer)) ?? [];
    expect(Number(rate)).toBeCloseTo(wanted, 3);
    const fitted = sheet.answer({ ...truck, rear_wheel_rate: rate! });
    expectNear(numberOf(fitted, 'rear_frequency') / numberOf(fitted, 'front_frequency'), 1.1, 2e-3);
  });

  it('carries the ± of a rate to the frequency of its end, and not to the other', () => {
    const answer = sheet.answer({ ...truck, rear_wheel_rate: '0.34 ± 0.02' });
    expectNear(answerOf(answer, 'rear_frequency').uncertainty, (numberOf(answer, 'rear_frequency') * 0.02) / Math.sqrt(3) / 0.34, 1e-6);
    expect(answerOf(answer, 'front_frequency').uncertainty).toBeNull();
  });

  it('asks whether a share was typed as a part of one', () => {
    expect(cautionsOf(sheet.answer({ ...truck, rear_share: '0.6' })).join()).toContain('a share is typed in %');
    expect(cautionsOf(sheet.answer(truck))).toEqual([]);
  });

  it('refuses a truck that stands on one axle alone', () => {
    expect(sheet.problems({ ...truck, rear_share: '0' })[0]!.text).toBe('That does not work out: one axle would carry nothing.');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
