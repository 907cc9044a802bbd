import { describe, expect, it } from 'vitest';
import { overallRatio } from '../../../calc/drive/overall-ratio.ts';
import { si } from '../../../calc/formula.ts';
import { expectNear, expectPower } from '../../support/book.ts';

const gears = { pinion: si<'1'>(18), spur: si<'1'>(54), gearboxRatio: si<'1'>(1.25), axleRatio: si<'1'>(3.2) };

describe('the overall ratio', () => {
  it('is that of a two-stage train: 18 into 54 teeth, then 4 to 1', () => {
    // Shigley, Mechanical Engineering Design, section 13-13: the train value of gears in a row is the product of theirs; 54/18 × 1.25 × 3.2 = 12.
    expectNear(overallRatio(gears), 12);
  });

  it('takes the turns of the spur counted by hand in the place of gearbox and axle', () => {
    expectNear(overallRatio({ ...gears, spurTurns: si(3.5) }), 10.5);
    expect(overallRatio({ ...gears, spurTurns: si(3.5), gearboxRatio: si(9), axleRatio: si(9) })).toBe(
      overallRatio({ ...gears, spurTurns: si(3.5) }),
    );
  });

  it('grows with the spur and both ratios, and falls with the pinion', () => {
    const draw = (between: (low: number, high: number) => number) => ({
      pinion: si<'1'>(Math.round(between(8, 40))),
      spur: si<'1'>(Math.round(between(40, 90))),
      gearboxRatio: si<'1'>(between(0.5, 3)),
      axleRatio: si<'1'>(between(1, 5)),
    });
    expectPower(overallRatio, draw, 'gearboxRatio', 1);
    expectPower(overallRatio, draw, 'axleRatio', 1);
    expectPower(overallRatio, draw, 'spur', 1, [2, 2]);
    expectPower(overallRatio, draw, 'pinion', -1, [3, 3]);
  });

  it('does not compile with a length for a ratio', () => {
    // @ts-expect-error metres are no ratio
    overallRatio({ ...gears, axleRatio: si<'m'>(3) });
  });
});
