import { describe, expect, it } from 'vitest';
import { work } from '../../../worksheets/engine/ask.ts';
import { supplyFrom, whoAnswers } from '../../../worksheets/engine/fill.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const damping = await sheetNamed('damping');
const wheel = { sprung_mass: '689', wheel_rate: '0.242', motion_ratio: '0.58', damper_coefficient: '24' };

describe('damping: one wheel', () => {
  it('has the textbook’s critical coefficient', () => {
    // Rao, Mechanical Vibrations in SI Units, example 2.15: 500 kg on 10 kN/m, 4472.136 N·s/m. Printed value from memory, recomputed. Here a hundredth
    // of each: 5 kg on 0.1 N/mm.
    const answer = damping.answer({ sprung_mass: '5 kg', wheel_rate: 0.1, motion_ratio: 1 });
    expectPrinted(numberOf(answer, 'critical_coefficient') * 100, '4472.136');
  });

  it('overshoots as the curve of overshoot on damping ratio says', () => {
    // Ogata, Modern Control Engineering, maximum overshoot on damping ratio: 0.2, 0.4, 0.5, 0.7 → 52.7, 25.4, 16.3, 4.6 %. Printed values from memory,
    // recomputed.
    const critical = 2 * Math.sqrt(242 * 0.689);
    for (const [ratio, printed] of [
      [0.2, '52.7'],
      [0.4, '25.4'],
      [0.5, '16.3'],
      [0.7, '4.6'],
    ] as const) {
      const answer = damping.answer({ ...wheel, motion_ratio: 1, damper_coefficient: ratio * critical });
      expectNear(numberOf(answer, 'damping_ratio'), ratio, 1e-12);
      expectPrinted(numberOf(answer, 'overshoot'), printed);
    }
  });

  it('counts a shock with the square of its motion ratio, and a second one with its own', () => {
    const between = draws(321);
    for (let i = 0; i < 40; i += 1) {
      const [m, k, r, c, q, d, z] = [
        between(200, 2000),
        between(0.05, 2),
        between(0.3, 1),
        between(2, 60),
        between(0.3, 1),
        between(2, 60),
        between(0.2, 1),
      ];
      const answer = damping.answer({
        sprung_mass: m,
        wheel_rate: k,
        motion_ratio: r,
        damper_coefficient: c,
        second_coefficient: d,
        second_motion_ratio: q,
        target_ratio: z,
      });
      const critical = 2 * Math.sqrt(k * 1000 * (m / 1000));
      expectNear(numberOf(answer, 'critical_coefficient'), critical, 1e-12);
      expectNear(numberOf(answer, 'damping_ratio'), (c * r * r + d * q * q) / critical, 1e-12);
      const wanted = (z * critical - d * q * q) / (r * r);
      expect(Math.abs(numberOf(answer, 'damper_for_target') - wanted)).toBeLessThan(1e-9 * (critical + Math.abs(wanted)));
      const ratio = (c * r * r + d * q * q) / critical;
      if (ratio < 1)
        expectNear(numberOf(answer, 'damped_frequency'), (Math.sqrt((k * 1e6) / m) / (2 * Math.PI)) * Math.sqrt(1 - ratio ** 2), 1e-9);
    }
  });

  it('does not swing from a ratio of 1 on: frequency and overshoot are absent, and say why', () => {
    for (const name of ['damped_frequency', 'overshoot'])
      expect(answerOf(damping.answer({ ...wheel, damper_coefficient: '200' }), name)).toMatchObject({ value: null, why: 'no oscillation' });
  });

  it('says what the truck wants without a coefficient, and leaves the rest out', () => {
    const { damper_coefficient: _, ...bare } = wheel;
    const answer = damping.answer(bare);
    expect(names(answer)).toEqual(['damper_for_target', 'critical_coefficient', 'undamped_frequency']);
    expect(answer.hero).toBe('damper_for_target');
    expect(answer.wider).toContain('damper_coefficient');
    expect(nextOf(answer)).toMatch(/^Let the shock sink/);
  });

  it('tells oil that is too thin from too thick, from right, and from none', () => {
    const next = (coefficient: number) => nextOf(damping.answer({ ...wheel, damper_coefficient: coefficient }));
    // The truck wants 0.5 · 2·√(242·0.689)/0.58² = 38.4 N·s/m.
    expect(next(24)).toBe('Fill oil 1.6 times as thick, then film a bounce.');
    expect(next(60)).toBe('Fill thinner oil, 0.64 of what is in it, then film a bounce.');
    expect(next(38)).toMatch(/^Leave the oil/);
    expect(next(0)).toBe('Fill the shock with oil: it wants about 38.');
  });

  it.each(['24 N·s/m', '24 N*s/m', '24 Ns/m', '24 kg/s', '0.024 N·s/mm'])('reads a coefficient typed as %s', (typed) => {
    const reading = damping.answer({ ...wheel, damper_coefficient: typed }).readings.find(({ name }) => name === 'damper_coefficient');
    expectNear(reading!.value, 24, 1e-12);
  });

  it('wants a second shock’s motion ratio with its coefficient', () => {
    expect(damping.problems({ ...wheel, second_coefficient: 10 })).toMatchObject([
      { reading: 'second_motion_ratio', text: 'That does not work out: a second damper counts only with its own motion ratio.' },
    ]);
  });

  it('sends thinner oil to a second shock that alone is too strong', () => {
    const answer = damping.answer({ ...wheel, second_coefficient: 60, second_motion_ratio: 0.8 });
    expect(numberOf(answer, 'damper_for_target')).toBeLessThan(0);
    expect(nextOf(answer)).toMatch(/^The second shock alone is too strong/);
    expect(names(answer)).not.toContain('oil_factor');
    expect(cautionsOf(answer)).toHaveLength(1);
  });

  it('carries the ± of the spring by half and that of the shock whole', () => {
    const relative = (readings: Record<string, string>) => {
      const { value, uncertainty } = answerOf(damping.answer({ ...wheel, ...readings }), 'damping_ratio');
      return uncertainty! / (value as number) / 2 / (0.05 / Math.sqrt(3));
    };
    expectNear(relative({ damper_coefficient: '24 ± 5 %' }), 1, 1e-6);
    expectNear(relative({ wheel_rate: '0.242 ± 5 %' }), 0.5, 1e-6);
    expectNear(relative({ motion_ratio: '0.58 ± 5 %' }), 2, 1e-6);
  });

  it('needs nothing typed for a truck whose weights, spring, heights and sinking shock are known', async () => {
    const sheets = await loadSheets(await loadFormulas());
    const facts = new Map([
      ['front_left', '612'],
      ['front_right', '605'],
      ['rear_left', '901'],
      ['rear_right', '896'],
      ['rear_press_points', '0/78 500/71.2 900/65.4'],
      ['rear_axle_droop', '14'],
      ['rear_axle_ride', '46'],
      ['rear_axle_bump', '118'],
      ['rear_shock_droop', '128'],
      ['rear_shock_ride', '109.5'],
      ['rear_shock_bump', '64'],
      ['rear_unsprung_mass', '210'],
      ['rear_sink_runs', '150/169 250/87 400/49 600/32'],
      ['rear_distance', '30'],
    ]);
    const got = work(damping.sheet, { readings: {}, end: 'rear' }, supplyFrom(facts, whoAnswers(sheets.values())));
    if (!('answer' in got)) return expect.fail(got.problems.map(({ text }) => text).join(' '));
    expect(got.answer.readings.map(({ name, from, sheet }) => [name, from, sheet])).toEqual([
      ['sprung_mass', 'sheet', 'ride'],
      ['wheel_rate', 'sheet', 'ride'],
      ['motion_ratio', 'sheet', 'heights'],
      ['damper_coefficient', 'sheet', 'sink'],
      ['target_ratio', 'default', undefined],
    ]);
    expectNear(numberOf(got.answer, 'critical_coefficient') ** 2 / 4, spring() * (0.8985 - 0.21) * ratio() ** 2, 1e-6);
    return undefined;
  });

  it('is sound at every corner of its ranges', () => {
    expectSoundEverywhere(damping);
  });
});

/** The pressed spring of that truck by the normal equations, N/m; and its motion ratio at ride, shares swapped as Newton has them. */
function spring(): number {
  const points = [
    [0, 78],
    [500, 71.2],
    [900, 65.4],
  ] as const;
  const [n, sx, sy] = [3, points.reduce((all, [, h]) => all + h, 0), points.reduce((all, [m]) => all + m, 0)];
  const [sxx, sxy] = [points.reduce((all, [, h]) => all + h * h, 0), points.reduce((all, [m, h]) => all + m * h, 0)];
  return -((n * sxy - sx * sy) / (n * sxx - sx * sx)) * 9.80665;
}
function ratio(): number {
  return ((72 * 18.5) / 32 + (32 * 45.5) / 72) / 104;
}
