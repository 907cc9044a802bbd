import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { springRollStiffness } from '../../../calc/springs/spring-roll-stiffness.ts';
import { expectNear, expectPower } from '../../support/book.ts';

describe('roll stiffness of two springs', () => {
  it('is the moment that leans the truck, over the angle it leans', () => {
    // Second method: one milliradian of lean lifts one side and lowers the other by half the track times the angle; moments about the middle.
    const [rate, track, angle] = [400, 0.26, 1e-3];
    const force = rate * (track / 2) * angle;
    const moment = force * (track / 2) * 2;
    expectNear(springRollStiffness({ wheelRate: si(rate), track: si(track) }), moment / angle, 1e-12);
  });

  it('goes with the wheel rate and the square of the track', () => {
    const draw = (between: (low: number, high: number) => number) => ({
      wheelRate: si<'N/m'>(between(5, 50000)),
      track: si<'m'>(between(0.05, 2)),
    });
    expectPower(springRollStiffness, draw, 'wheelRate', 1);
    expectPower(springRollStiffness, draw, 'track', 2);
  });

  it('takes the rate at one wheel: a stiffness in roll does not compile', () => {
    // @ts-expect-error a wheel rate is in N/m
    const wrong = () => springRollStiffness({ wheelRate: si<'N·m/rad'>(400), track: si(0.26) });
    expect(wrong).toBeTypeOf('function');
  });
});
