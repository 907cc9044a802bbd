import { describe, expect, it } from 'vitest';
import { pack } from '../../../calc/drive/pack.ts';
import { type Inputs, si } from '../../../calc/formula.ts';
import { expectNear, expectPower, expectPrinted } from '../../support/book.ts';

type Pack = Inputs<(typeof pack)['inputs']>;
const mAh = (value: number) => si<'C'>(value * 3.6);
const perHour = (value: number) => si<'1/s'>(value / 3600);
const twoCells: Pack = {
  capacity: mAh(5000),
  cells: si(2),
  meanCurrent: si(20),
  usable: si(0.8),
  packResistance: si(0.01),
  cellVoltage: si(3.7),
};

describe('a pack', () => {
  it('gives the current of its C rating', () => {
    // IEC 61434, Iₜ: 120 mAh at 2 C: 240 mA (printed value seen).
    expectPrinted(pack({ ...twoCells, capacity: mAh(120), cRating: perHour(2) }).maxCurrent, '240', 0.001);
    // A cell maker's definitions, I = C/t: 1000 mAh: 0.1 CA is 100 mA, 1 CA is 1000 mA, the 5 h rate 200 mA (printed values seen).
    const ofOneAmpereHour = (rate: number) => pack({ ...twoCells, capacity: mAh(1000), cRating: perHour(rate) }).maxCurrent;
    expectPrinted(ofOneAmpereHour(0.1), '100', 0.001);
    expectPrinted(ofOneAmpereHour(1), '1000', 0.001);
    expectPrinted(ofOneAmpereHour(1 / 5), '200', 0.001);
  });

  it('is empty after five hours at its five-hour rate', () => {
    expectNear(pack({ ...twoCells, capacity: mAh(1000), meanCurrent: si(0.2), usable: si(1) }).runtime, 5 * 3600);
  });

  it('runs, sags and holds energy as worked out by hand', () => {
    // 5 A·h × 80 % at 20 A: 12 min; 7.4 V − 20 A × 10 mΩ: 7.2 V; 5 A·h × 7.4 V: 37 W·h.
    const answer = pack(twoCells);
    expectNear(answer.runtime, 12 * 60);
    expectNear(answer.voltageUnderLoad, 7.2);
    expectNear(answer.energy, 37 * 3600);
    expect(answer.maxCurrent).toBeUndefined();
  });

  it('gives its energy out over the time that its charge lasts', () => {
    // Voltage at rest × current × time of the whole charge: the energy that the answer counts.
    const { runtime, energy } = pack({ ...twoCells, usable: si(1) });
    expectNear(2 * 3.7 * 20 * runtime, energy);
  });

  it('says so when a current is more than its own resistance lets through', () => {
    // 7.4 V over 10 mΩ is 740 A.
    expect(pack({ ...twoCells, meanCurrent: si(739) }).voltageUnderLoad).toBeGreaterThan(0);
    expect(() => pack({ ...twoCells, meanCurrent: si(741) })).toThrow(/cannot push that current/);
  });

  it('scales with capacity, current and cells', () => {
    const draw = (between: (low: number, high: number) => number): Pack => ({
      capacity: mAh(between(500, 10_000)),
      cells: si(Math.round(between(1, 12))),
      meanCurrent: si(between(1, 60)),
      usable: si(between(0.2, 0.5)),
      cRating: perHour(between(1, 100)),
      packResistance: si(between(1e-4, 5e-3)),
      cellVoltage: si(between(3.2, 4.2)),
    });
    expectPower((each: Pack) => pack(each).runtime, draw, 'capacity', 1);
    expectPower((each: Pack) => pack(each).runtime, draw, 'meanCurrent', -1);
    expectPower((each: Pack) => pack(each).runtime, draw, 'usable', 1);
    expectPower((each: Pack) => pack(each).energy, draw, 'cells', 1, [2, 2]);
    expectPower((each: Pack) => pack(each).maxCurrent, draw, 'cRating', 1);
    expectPower((each: Pack) => pack({ ...each, packResistance: si(0) }).voltageUnderLoad, draw, 'cellVoltage', 1);
  });

  it('does not compile with a current for a capacity', () => {
    // @ts-expect-error a capacity is a charge
    pack({ ...twoCells, capacity: si<'A'>(5) });
  });
});
