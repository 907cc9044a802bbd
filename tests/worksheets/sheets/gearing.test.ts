import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, numberOf, sheetNamed, type Typed } from '../../support/sheets.ts';

const sheet = await sheetNamed('gearing');

const sandhopper = { motor_kv: 3300, cells: 2, pinion: 18, spur: 54, gearbox_ratio: '43/13', tyre_diameter: 109 };

/** Second method: turns and circumferences, a minute at a time, in the contract's units. */
function plainly({
  kv = 3300,
  cells = 2,
  pinion = 18,
  spur = 54,
  gearbox = 43 / 13,
  axle = 1,
  tyre = 109,
  volts = 3.7,
  growth = 0,
}): Record<string, number> {
  const overall = (spur / pinion) * gearbox * axle;
  const motor = kv * cells * volts;
  const circumference = Math.PI * tyre * (1 + growth / 100);
  return {
    overall_ratio: overall,
    rollout: circumference / overall,
    motor_speed: motor,
    wheel_speed: motor / overall,
    ideal_speed: ((motor / overall) * circumference * 60) / 1e6,
  };
}
const expectAnswers = (readings: Typed, expected: Readonly<Record<string, number>>, relative = 1e-12): void => {
  const answer = sheet.answer(readings);
  for (const [name, value] of Object.entries(expected)) expectNear(numberOf(answer, name), value, relative);
};

describe('gearing', () => {
  it('answers what the contract says, worked out plainly', () => {
    expectAnswers(sandhopper, plainly({}));
    const between = draws(8);
    for (let i = 0; i < 60; i += 1) {
      const [kv, cells, pinion, spur] = [
        between(100, 20000),
        Math.round(between(1, 12)),
        Math.round(between(5, 150)),
        Math.round(between(5, 150)),
      ];
      const [gearbox, axle, tyre, volts, growth] = [between(0.2, 50), between(0.2, 50), between(20, 300), between(1, 5), between(0.1, 60)];
      const readings = {
        motor_kv: kv,
        cells,
        pinion,
        spur,
        gearbox_ratio: gearbox,
        axle_ratio: axle,
        tyre_diameter: tyre,
        cell_voltage: volts,
        tyre_growth: growth,
      };
      expectAnswers(readings, plainly({ kv, cells, pinion, spur, gearbox, axle, tyre, volts, growth }));
    }
  });

  it('takes the turns counted by hand in the place of both ratios', () => {
    const { gearbox_ratio: _, ...without } = sandhopper;
    expectAnswers({ ...without, spur_turns: 3.75 }, plainly({ gearbox: 3.75 }));
    expectAnswers({ ...without, spur_turns: 3.75, gearbox_ratio: 9, axle_ratio: 7 }, plainly({ gearbox: 3.75 }));
    expectAnswers(without, plainly({ gearbox: 1 }));
    expectAnswers({ ...without, gearbox_ratio: 2, axle_ratio: 3 }, plainly({ gearbox: 6 }));
  });

  it('reads teeth, 3s and kv as the trade writes them', () => {
    expectAnswers(
      { motor_kv: '3300kv', cells: '2s', pinion: '18t', spur: '54 t', gearbox_ratio: '43 / 13', tyre_diameter: '4.2913386 in' },
      plainly({}),
      1e-7,
    );
  });

  it('the motor turns at kv × volts without load, the wheel by the ratio slower', () => {
    // Common practice, no source: no-load speed = kV × volts.
    const answer = sheet.answer({ ...sandhopper, motor_kv: 2000, cells: 3, cell_voltage: 4 });
    expectNear(numberOf(answer, 'motor_speed'), 24_000, 1e-12);
    expectNear(numberOf(answer, 'wheel_speed') * numberOf(answer, 'overall_ratio'), 24_000, 1e-12);
  });

  it('a bigger pinion is faster, a bigger spur slower, a bigger tyre faster', () => {
    // Common practice, no source.
    const speed = (more: Typed): number => numberOf(sheet.answer({ ...sandhopper, ...more }), 'ideal_speed');
    expect(speed({ pinion: 19 })).toBeGreaterThan(speed({}));
    expect(speed({ spur: 55 })).toBeLessThan(speed({}));
    expect(speed({ tyre_diameter: 112 })).toBeGreaterThan(speed({}));
    expect(speed({ tyre_growth: 5 })).toBeGreaterThan(speed({}));
    expect(speed({ cells: 3 })).toBeCloseTo(1.5 * speed({}), 9);
  });

  it('shows the same for each pinion from four below to four above, as if each had been asked', () => {
    const answer = sheet.answer(sandhopper);
    const [curve] = answer.curves;
    expect(curve).toMatchObject({ over: 'pinion', unit: 'teeth', here: 18, x: [14, 15, 16, 17, 18, 19, 20, 21, 22] });
    for (const [i, pinion] of curve!.x.entries()) {
      const asked = sheet.answer({ ...sandhopper, pinion });
      for (const [name, values] of Object.entries(curve!.answers)) expect(values[i], `${name} on ${pinion}`).toBe(numberOf(asked, name));
    }
    expect(Object.keys(curve!.answers).sort()).toEqual(['ideal_speed', 'motor_speed', 'overall_ratio', 'rollout', 'wheel_speed']);
  });

  it('shows no pinion below 5 or above 150 teeth', () => {
    const over = (pinion: number): readonly number[] => sheet.answer({ ...sandhopper, pinion, spur: 150 }).curves[0]!.x;
    expect(over(5)).toEqual([5, 6, 7, 8, 9]);
    expect(over(7)).toEqual([5, 6, 7, 8, 9, 10, 11]);
    expect(over(149)).toEqual([145, 146, 147, 148, 149, 150]);
  });

  it('carries the ± of the tyre to what the tyre moves, and to nothing else', () => {
    const answer = sheet.answer({ ...sandhopper, tyre_diameter: '109 ± 1', cell_voltage: '3.7 ± 0.1' });
    const tyre = 2 / Math.sqrt(3) / 109;
    const volts = (2 * 0.1) / Math.sqrt(3) / 3.7;
    const part = (name: string): number => answerOf(answer, name).uncertainty! / numberOf(answer, name);
    expectNear(part('rollout'), tyre, 1e-9);
    expectNear(part('motor_speed'), volts, 1e-9);
    expectNear(part('ideal_speed'), Math.hypot(tyre, volts), 1e-9);
    expect(answerOf(answer, 'overall_ratio').uncertainty).toBeNull();
    for (const { uncertainty } of sheet.answer(sandhopper).answers) expect(uncertainty).toBeNull();
  });

  it('warns past 60 000 turns a minute on a fresh pack, 4.2 V a cell', () => {
    const warned = (kv: number, cells: number): boolean =>
      cautionsOf(sheet.answer({ ...sandhopper, motor_kv: kv, cells })).some((text) => text.includes('60 000'));
    expect(warned(3300, 2)).toBe(false);
    expect(warned(4761, 3)).toBe(false); // 59 988.6 rpm
    expect(warned(4762, 3)).toBe(true); // 60 001.2 rpm
    expect(warned(20000, 12)).toBe(true);
    expect(cautionsOf(sheet.answer(sandhopper)).length).toBeGreaterThan(0); // spinning wheels, hot motors: always
  });

  it('refuses half teeth and half cells, by name', () => {
    const texts = sheet.problems({ ...sandhopper, pinion: 18.5, cells: '2.5', spur: 4 }).map(({ text }) => text);
    expect(texts).toEqual(
      [
        'Cells: "2.5" is not a whole number. Give 1 to 12, whole.',
        'Pinion: "18.5" is not a whole number. Give 5 to 150, whole.',
        'Spur: "4" is out. Give 5 to 150 teeth. Did you mean 40 teeth?',
      ].map((text) => (text.includes('Pinion') ? text.replace('150, whole', '150 teeth, whole') : text)),
    );
    expect(sheet.problems({ ...sandhopper, pinion: '18 ± 1' })[0]!.text).toContain('is a count, which carries no ±');
  });

  it('is sound at the ends of every range', () => {
    expectSoundEverywhere(sheet, 120);
  });
});
