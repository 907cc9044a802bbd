import { describe, expect, it } from 'vitest';
import { absent, si } from '../../../calc/formula.ts';
import { damping } from '../../../calc/springs/damping.ts';
import { draws, expectNear, expectPower, expectPrinted, numberOf } from '../../support/book.ts';
import { released } from '../../support/oscillator.ts';

type Damping = Parameters<typeof damping>[0];
const corner = (changed: Record<string, number> = {}): Damping =>
  ({ sprungMass: 0.6, wheelRate: 400, motionRatio: 0.5, targetRatio: 0.5, ...changed }) as Damping;

describe('damping of one corner', () => {
  it('has the critical damping of the textbook guns', () => {
    const critical = (sprungMass: number, wheelRate: number) => damping(corner({ sprungMass, wheelRate })).criticalCoefficient;
    // Rao, Mechanical Vibrations in SI Units, example 2.15: 500 kg, 10 kN/m, 4472.136 N·s/m. Printed value from memory, recomputed.
    // (A public answer of 2000 N·s/m to the same numbers is wrong.)
    expectPrinted(critical(500, 10000), '4472.136');
    // Gun-barrel problem of theory-of-machines books: 600 kg, 294 kN/m, 26 500 N·s/m. Printed value read; the page rounds 26 563.
    expectNear(critical(600, 294000), 26500, 3e-3);
    // Kelly, Schaum's Outline of Mechanical Vibrations, problem 2.17: 10 kg, ωn = 13.2 rad/s found by trial, 264 N·s/m. Printed value read.
    expectPrinted(critical(10, 10 * 13.2 ** 2), '264');
  });

  it('needs the damper of the motor-cycle to quarter a swing in half a cycle', () => {
    // Rao, Mechanical Vibrations in SI Units, example 2.14: 200 kg, ζ = 0.4037, k = 2358.2652 N/m, c = 554.4981 N·s/m printed (read).
    const one = corner({ sprungMass: 200, wheelRate: 2358.2652, motionRatio: 1, targetRatio: 0.4037 });
    expectNear(damping(one).damperForTarget, 554.4981, 2e-4);
    const both = damping({ ...one, damperCoefficient: si(554.4981 / 2), secondCoefficient: si(554.4981 / 2), secondMotionRatio: si(1) });
    // The figure shows it as two dampers of half the size.
    expectPrinted(both.dampingRatio, '0.4037');
    expectPrinted(both.dampedFrequency, '0.500');
    // Half a cycle on, a quarter of the swing is left on the other side: the overshoot.
    expectPrinted(both.overshoot, '0.250');
  });

  it('overshoots as the control engineer’s table says', () => {
    // Ogata, Modern Control Engineering, maximum overshoot on damping ratio: 0.2, 0.4, 0.5, 0.7 → 52.7, 25.4, 16.3, 4.6 %.
    // Printed values from memory, recomputed.
    for (const [ratio, percent] of [
      [0.2, '52.7'],
      [0.4, '25.4'],
      [0.5, '16.3'],
      [0.7, '4.6'],
    ] as const) {
      const damperCoefficient = damping(corner({ targetRatio: ratio })).damperForTarget;
      const held = damping(corner({ damperCoefficient }));
      expectNear(held.dampingRatio, ratio);
      expectPrinted(held.overshoot, percent, 0.01);
    }
  });

  it('swings and overshoots like a corner that is let go and followed step by step', () => {
    for (const damperCoefficient of [5, 20, 40, 80]) {
      const atWheel = damperCoefficient * 0.5 ** 2;
      const { peaks, dips } = released(0.6, atWheel, 400, 1, 1, 100000);
      const found = damping(corner({ damperCoefficient }));
      expectNear(found.overshoot, -dips[0]!.height, 1e-5);
      const filmed = peaks.length > 1 ? 1 / (peaks[1]!.time - peaks[0]!.time) : 0.5 / (peaks[0]!.time - dips[0]!.time);
      expectNear(found.dampedFrequency, filmed, 1e-5);
    }
  });

  it('does not oscillate from critical damping on', () => {
    // 1 kg on 1 N/m: critical is exactly 2 N·s/m.
    const held = (damperCoefficient: number) => damping(corner({ sprungMass: 1, wheelRate: 1, motionRatio: 1, damperCoefficient }));
    expect(held(2).dampingRatio).toBe(1);
    for (const coefficient of [2, 3]) {
      expect(held(coefficient).dampedFrequency).toEqual(absent('no oscillation'));
      expect(held(coefficient).overshoot).toEqual(absent('no oscillation'));
    }
    expect(numberOf(held(1.999).overshoot)).toBeGreaterThan(0);
    expect(held(0).overshoot).toBe(1);
  });

  it('counts a second damper by its own motion ratio, and asks the first for the rest', () => {
    const between = draws(71);
    for (let i = 0; i < 40; i += 1) {
      const [c, d, r, q] = [between(1, 100), between(1, 20), between(0.3, 1), between(0.3, 1)];
      const two = damping(corner({ damperCoefficient: c, motionRatio: r, secondCoefficient: d, secondMotionRatio: q }));
      // One damper right at the wheel that does the work of both.
      const one = damping(corner({ damperCoefficient: c * r ** 2 + d * q ** 2, motionRatio: 1 }));
      expectNear(two.dampingRatio, numberOf(one.dampingRatio), 1e-12);
      const fitted = damping(
        corner({ damperCoefficient: Math.max(0, two.damperForTarget), motionRatio: r, secondCoefficient: d, secondMotionRatio: q }),
      );
      if (two.damperForTarget > 0) expectNear(fitted.dampingRatio, 0.5, 1e-9);
    }
    // 100 N·s/m at the wheel alone are above half of 2·√(400 × 0.6) = 30.98 N·s/m: the first would have to push.
    expect(damping(corner({ secondCoefficient: 100, secondMotionRatio: 1 })).damperForTarget).toBeLessThan(0);
    expect(() => damping(corner({ secondCoefficient: 10 }))).toThrow('only with its own motion ratio');
  });

  it('says what is critical and what the target needs before the damper is known', () => {
    const bare = damping(corner());
    expectNear(bare.criticalCoefficient, 2 * Math.sqrt(240));
    expect([bare.dampingRatio, bare.dampedFrequency, bare.overshoot]).toEqual([undefined, undefined, undefined]);
  });

  it('goes with each symbol as its comment says', () => {
    const draw = (between: (low: number, high: number) => number) =>
      corner({
        sprungMass: between(0.01, 5),
        wheelRate: between(5, 50000),
        motionRatio: between(0.2, 1.2),
        damperCoefficient: between(1, 100),
        targetRatio: between(0.1, 1),
      });
    const critical = (inputs: Damping) => damping(inputs).criticalCoefficient;
    const ratio = (inputs: Damping) => damping(inputs).dampingRatio;
    const target = (inputs: Damping) => damping(inputs).damperForTarget;
    expectPower(critical, draw, 'sprungMass', 0.5);
    expectPower(critical, draw, 'wheelRate', 0.5);
    expectPower(ratio, draw, 'damperCoefficient', 1);
    expectPower(ratio, draw, 'motionRatio', 2);
    expectPower(ratio, draw, 'sprungMass', -0.5);
    expectPower(ratio, draw, 'wheelRate', -0.5);
    expectPower(target, draw, 'targetRatio', 1);
    expectPower(target, draw, 'motionRatio', -2);
  });

  it('takes a coefficient for the damper: a force does not compile', () => {
    const good = corner();
    // @ts-expect-error a damper coefficient is in N·s/m
    const wrong = () => damping({ ...good, damperCoefficient: si<'N'>(10) });
    expect(wrong).toBeTypeOf('function');
  });
});
