import { describe, expect, it } from 'vitest';
import { fastestPinion } from '../../../calc/drive/fastest-pinion.ts';
import { topSpeed } from '../../../calc/drive/top-speed.ts';
import { si } from '../../../calc/formula.ts';
import { draws } from '../../support/book.ts';
import { type Driven, drawTruck, rpm, sandhopper } from './truck.ts';

/** A truck with many volts and a weak motor: beyond some pinion the load, not the gear, decides. */
const geared = (pinion: number): Driven => ({
  ...sandhopper,
  motorKv: rpm(6000),
  cells: si(3),
  motorResistance: si(0.03),
  pinion: si(pinion),
});
const best = (truck: Driven) => fastestPinion(truck).fastestPinion;

describe('the fastest pinion', () => {
  it('is the same from every pinion whose table has it inside', () => {
    // Second method: a hundred pinions tried one after the other, with no table around any of them.
    const speeds = Array.from({ length: 100 }, (_, i) => topSpeed(geared(5 + i)).topSpeed as number);
    const fastest = 5 + speeds.indexOf(Math.max(...speeds));
    for (let pinion = fastest - 3; pinion <= fastest + 3; pinion += 1) expect(best(geared(pinion))).toBe(fastest);
  });

  it('is left out where it stands at the edge of the table, or beyond', () => {
    const speeds = Array.from({ length: 100 }, (_, i) => topSpeed(geared(5 + i)).topSpeed as number);
    const fastest = 5 + speeds.indexOf(Math.max(...speeds));
    for (const pinion of [fastest - 9, fastest - 5, fastest - 4, fastest + 4, fastest + 5, fastest + 12])
      expect(best(geared(pinion))).toBeUndefined();
  });

  it('is faster than both its neighbours', () => {
    const between = draws(9);
    let found = 0;
    for (let i = 0; i < 200; i += 1) {
      const truck: Driven = { ...drawTruck(between), pinion: si(Math.round(between(10, 80))), headwind: si(0) };
      const pinion = best(truck);
      if (typeof pinion !== 'number') continue;
      found += 1;
      const speed = (teeth: number): number => topSpeed({ ...truck, pinion: si(teeth) }).topSpeed;
      expect(speed(pinion)).toBeGreaterThanOrEqual(Math.max(speed(pinion - 1), speed(pinion + 1)));
      expect(Math.abs(pinion - truck.pinion)).toBeLessThan(4);
    }
    expect(found).toBeGreaterThan(5);
  });

  it('keeps to gears of 5 to 150 teeth, and has edges there too', () => {
    // Only the ratio counts: a gearbox that does what 4 teeth would need puts the fastest pinion there, where no gear is.
    const fastestAt = (teeth: number, pinion: number): Driven => ({ ...geared(pinion), gearboxRatio: si(teeth / 30) });
    expect(best(geared(28))).toBe(30);
    expect(best(fastestAt(6, 7))).toBe(6);
    expect(best(fastestAt(4, 7))).toBeUndefined();
    expect(best(fastestAt(147, 146))).toBe(148); // 30.2 teeth would be the very fastest
    expect(best(fastestAt(151, 149))).toBeUndefined();
    expect(() => fastestPinion({ ...sandhopper, pinion: si(4) })).toThrow(/pinion has to be 5 or more/);
    expect(() => fastestPinion({ ...sandhopper, pinion: si(151) })).toThrow(/pinion has to be 150 at most/);
  });

  it('leaves pinions out with which the truck does not move off, instead of giving up', () => {
    // So steep a load that only the smaller pinions of the table pull it.
    const heavy: Driven = { ...sandhopper, rollingCoefficient: si(1.05), axleRatio: si(1), pinion: si(20) };
    const moves = (teeth: number): boolean => {
      try {
        topSpeed({ ...heavy, pinion: si(teeth) });
        return true;
      } catch {
        return false;
      }
    };
    const teeth = Array.from({ length: 146 }, (_, i) => 5 + i);
    const most = teeth.filter(moves).at(-1)!;
    expect(most).toBeGreaterThan(10);
    expect(most).toBeLessThan(140);
    expect(() => fastestPinion({ ...heavy, pinion: si(most + 2) })).not.toThrow();
    expect(best({ ...heavy, pinion: si(most + 20) })).toBeUndefined();
  });

  it('does not compile without a wind', () => {
    const { headwind: _, ...windless } = sandhopper;
    // @ts-expect-error the headwind is missing
    expect(() => fastestPinion(windless)).toThrow();
  });
});
