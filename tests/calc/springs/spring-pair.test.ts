import { describe, expect, it } from 'vitest';
import { absent, si } from '../../../calc/formula.ts';
import { springPair } from '../../../calc/springs/spring-pair.ts';
import { draws, expectNear, expectPower, expectPrinted, numberOf } from '../../support/book.ts';

type Pair = Parameters<typeof springPair>[0];
const pair = (numbers: Record<string, number>): Pair => numbers as unknown as Pair;

/** Second method: travel of the pair under a load, each spring pressed by it until it binds. */
const pressed = (load: number, rates: readonly number[], rooms: readonly number[]): number =>
  rates.reduce((sum, rate, i) => sum + Math.min(load / rate, rooms[i]!), 0);

describe('two springs on one shock', () => {
  it('work together at 0.75 N/mm, bind at 12 mm and hold 33 N at 20 mm', () => {
    // Rao, Mechanical Vibrations, section 1.7, springs in series, 1 and 3 N/mm; the soft one binds after 9 mm of its own. Computed by a second method.
    const stack = springPair(pair({ rateA: 1000, rateB: 3000, roomA: 0.009 }));
    expectNear(stack.combinedRate, 750);
    expectNear(stack.crossoverTravel, 0.012);
    expectNear(numberOf(stack.crossoverLoad) + numberOf(stack.rateAfter) * (0.02 - numberOf(stack.crossoverTravel)), 33);
  });

  it('add up like two shafts in a row', () => {
    // Rao, Mechanical Vibrations in SI Units, example 1.6: hollow shafts of 25 525 500 and 8 901 200 N·m/rad in series, 6 599 700 N·m/rad.
    // Printed values read, rounded to five figures each.
    expect(Math.abs(springPair(pair({ rateA: 25525500, rateB: 8901200 })).combinedRate - 6599700)).toBeLessThan(66);
  });

  it('bend their curve where the first binds, whichever it is', () => {
    const between = draws(61);
    for (let i = 0; i < 60; i += 1) {
      const rates = [between(100, 5000), between(100, 5000)] as const;
      const rooms = [between(0.002, 0.03), between(0.002, 0.03)] as const;
      const stack = springPair(pair({ rateA: rates[0], rateB: rates[1], roomA: rooms[0], roomB: rooms[1] }));
      const load = numberOf(stack.crossoverLoad);
      expectNear(stack.crossoverTravel, pressed(load, rates, rooms), 1e-9);
      const slope = (a: number, b: number) => (b - a) / (pressed(b, rates, rooms) - pressed(a, rates, rooms));
      expectNear(stack.combinedRate, slope(load * 0.5, load * 0.999), 1e-9);
      const second = Math.max(rates[0] * rooms[0], rates[1] * rooms[1]);
      expectNear(stack.rateAfter, slope(load + (second - load) * 0.1, load + (second - load) * 0.9), 1e-6);
    }
  });

  it('leave no rate after when both bind together, also to the last bit of their travels', () => {
    const stack = springPair(pair({ rateA: 1000, rateB: 3000, roomA: 0.009, roomB: 0.003 }));
    expect(stack.rateAfter).toEqual(absent('both bind together'));
    expectNear(stack.crossoverTravel, 0.012);
  });

  it('say nothing of binding when no travel is known', () => {
    expect(springPair(pair({ rateA: 1000, rateB: 3000 }))).toEqual({ combinedRate: 750 });
  });

  it('go with both rates and both rooms', () => {
    const draw = (between: (low: number, high: number) => number) => ({
      scale: 1,
      rateA: between(100, 5000),
      rateB: between(100, 5000),
      roomA: between(0.002, 0.03),
      roomB: between(0.002, 0.03),
    });
    const stiffer = ({ scale, rateA, rateB, ...rooms }: ReturnType<typeof draw>) =>
      springPair(pair({ ...rooms, rateA: rateA * scale, rateB: rateB * scale }));
    const longer = ({ scale, roomA, roomB, ...rates }: ReturnType<typeof draw>) =>
      springPair(pair({ ...rates, roomA: roomA * scale, roomB: roomB * scale }));
    expectPower((inputs) => stiffer(inputs).combinedRate, draw, 'scale', 1);
    expectPower((inputs) => stiffer(inputs).crossoverLoad, draw, 'scale', 1);
    expectPower((inputs) => stiffer(inputs).crossoverTravel, draw, 'scale', 0);
    expectPower((inputs) => longer(inputs).crossoverTravel, draw, 'scale', 1);
    expectPower((inputs) => longer(inputs).crossoverLoad, draw, 'scale', 1);
    expectPrinted(springPair(pair({ rateA: 1000, rateB: 1e9 })).combinedRate, '1000.0');
  });

  it('take rates for rates: a load does not compile', () => {
    // @ts-expect-error a rate is in N/m
    const wrong = () => springPair({ rateA: si<'N'>(1000), rateB: si(3000) });
    expect(wrong).toBeTypeOf('function');
  });
});
