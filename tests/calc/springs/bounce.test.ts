import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { bounce } from '../../../calc/springs/bounce.ts';
import { expectNear, expectPower, expectPrinted } from '../../support/book.ts';
import { released } from '../../support/oscillator.ts';

type Bounce = Parameters<typeof bounce>[0];
const filmed = (changed: Record<string, number> = {}): Bounce =>
  ({ peak1: 0.016, peak2: 0.001, frames: 480, frameRate: 240, cycles: 1, ...changed }) as Bounce;

describe('a filmed bounce', () => {
  it('shows the damping ratio and the stiffness of the motor-cycle in the handbook', () => {
    // Rao, Mechanical Vibrations in SI Units, example 2.14: 200 kg, damped period 2 s, amplitude quartered in half a cycle, so sixteen times
    // less after one: ζ = 0.4037, k = 2358.2652 N/m, c = 554.4981 N·s/m. Printed values read; the book rounds on its way.
    const { dampingRatio, dampedFrequency, undampedFrequency } = bounce(filmed());
    expectPrinted(dampingRatio, '0.4037');
    expectPrinted(dampedFrequency, '0.5');
    const rate = 200 * (2 * Math.PI * undampedFrequency) ** 2;
    expectNear(rate, 2358.2652, 2e-4);
    expectNear(dampingRatio * 2 * Math.sqrt(200 * rate), 554.4981, 2e-4);
  });

  it('finds the damping ratio back from the decrements of two textbooks', () => {
    const of = (decrement: number) => bounce(filmed({ peak1: 0.01 * Math.exp(decrement), peak2: 0.01 }));
    // Thomson, Theory of Vibration with Applications, example 2.7-1: ζ = 0.0681, δ = 0.429. Printed values read.
    expectPrinted(of(0.429).logDecrement, '0.429');
    expectPrinted(of(0.429).dampingRatio, '0.0681');
    // c = 40, critical 420: δ = 0.6011 exactly; a page prints 0.598, which drops the square root (δ ≈ 2π·ζ). The full definition is used here.
    expectNear(of((2 * Math.PI * (40 / 420)) / Math.sqrt(1 - (40 / 420) ** 2)).dampingRatio, 40 / 420);
    expectPrinted(of(0.6011).dampingRatio, '0.0952');
  });

  it('finds the damper back in a bounce that is followed step by step', () => {
    const [mass, coefficient, rate] = [0.6, 4, 400];
    const { peaks } = released(mass, coefficient, rate, 0.02, 1.5, 150000);
    for (const cycles of [1, 2, 3]) {
      const [first, last] = [peaks[0]!, peaks[cycles]!];
      const found = bounce(
        filmed({ peak1: first.height, peak2: last.height, frames: (last.time - first.time) * 240, frameRate: 240, cycles }),
      );
      expectNear(found.dampingRatio, coefficient / (2 * Math.sqrt(rate * mass)), 1e-6);
      expectNear(found.undampedFrequency, Math.sqrt(rate / mass) / (2 * Math.PI), 1e-6);
    }
  });

  it('is undamped when the second peak is as high as the first, and refused when it is higher', () => {
    const even = bounce(filmed({ peak2: 0.016 }));
    expect(even.dampingRatio).toBe(0);
    expect(even.undampedFrequency).toBe(even.dampedFrequency);
    expect(() => bounce(filmed({ peak2: 0.0161 }))).toThrow('the second peak is higher than the first');
  });

  it('sees only the ratio of the peaks; frequencies go with the camera', () => {
    const draw = (between: (low: number, high: number) => number) =>
      filmed({ peak1: between(0.01, 0.02), peak2: between(0.001, 0.01), frames: between(10, 100), frameRate: between(24, 960), scale: 1 });
    const tall = (inputs: Bounce & { scale?: number }) =>
      bounce({ ...inputs, peak1: si(inputs.peak1 * inputs.scale!), peak2: si(inputs.peak2 * inputs.scale!) });
    expectPower((inputs) => tall(inputs).dampingRatio, draw as (b: Parameters<typeof draw>[0]) => Bounce & { scale?: number }, 'scale', 0);
    expectPower((inputs) => bounce(inputs).dampedFrequency, draw, 'frameRate', 1);
    expectPower((inputs) => bounce(inputs).undampedFrequency, draw, 'frames', -1);
    expectNear(bounce(filmed({ cycles: 2 })).logDecrement, bounce(filmed()).logDecrement / 2);
    expectNear(bounce(filmed({ cycles: 2 })).dampedFrequency, 2 * bounce(filmed()).dampedFrequency);
  });

  it('takes a count of frames: seconds do not compile', () => {
    const good = filmed();
    // @ts-expect-error frames are counted
    const wrong = () => bounce({ ...good, frames: si<'s'>(2) });
    expect(wrong).toBeTypeOf('function');
  });
});
