import { describe, expect, it } from 'vitest';
import { mesh } from '../../../calc/drive/mesh.ts';
import { type Inputs, si } from '../../../calc/formula.ts';
import { draws, expectNear, expectPower, expectPrinted, numberOf } from '../../support/book.ts';

type Gears = Inputs<(typeof mesh)['inputs']>;
const INCH = 0.0254;
const gears: Gears = { pinion: si(13), spur: si(54), module: si(0.0008) };

describe('a mesh of pinion and spur', () => {
  it('has the module of its diametral pitch', () => {
    // m = 25.4/P (ISO 54:1996; Machinery's Handbook): 64, 48, 32, 20 per inch are 0.396 875, 0.529 167, 0.793 75, 1.27 mm (printed values from
    // memory, recomputed).
    const moduleOf = (pitch: number): number => mesh({ pinion: si(16), spur: si(40), diametralPitch: si(pitch / INCH) }).toothModule;
    expectPrinted(moduleOf(64), '0.396875', 0.001);
    expectPrinted(moduleOf(48), '0.529167', 0.001);
    expectPrinted(moduleOf(32), '0.79375', 0.001);
    expectPrinted(moduleOf(20), '1.27', 0.001);
  });

  it('has the diameters and the centre distance of a textbook’s pair', () => {
    // Shigley, Mechanical Engineering Design, example 13-1: 16 and 40 teeth, diametral pitch 2: 8 in, 20 in, 14 in (printed values from memory,
    // recomputed).
    const answer = mesh({ pinion: si(16), spur: si(40), diametralPitch: si(2 / INCH) });
    expectNear(answer.pinionPitchDiameter, 8 * INCH);
    expectNear(answer.spurPitchDiameter, 20 * INCH);
    expectNear(answer.centreDistance, 14 * INCH);
  });

  it('hunts when no whole number divides both', () => {
    const hunts = (pinion: number, spur: number): boolean => mesh({ ...gears, pinion: si(pinion), spur: si(spur) }).hunting;
    expect(hunts(13, 54)).toBe(true);
    expect(hunts(18, 54)).toBe(false);
    expect(hunts(20, 54)).toBe(false);
    expect(hunts(1, 54)).toBe(true);
    // Counted out: hunting gears need as many turns as the other has teeth until the same two teeth meet again.
    for (let pinion = 8; pinion < 40; pinion += 1)
      for (const spur of [45, 48, 53, 60]) {
        let turns = 1;
        while ((turns * spur) % pinion !== 0) turns += 1;
        expect(hunts(pinion, spur)).toBe(turns === pinion);
      }
  });

  it('fits the slot with the pinions that a look at each of them finds', () => {
    const between = draws(54);
    for (let i = 0; i < 300; i += 1) {
      const module = between(0.3e-3, 1.3e-3);
      const spur = Math.round(between(30, 100));
      const pinion = Math.round(between(5, 60));
      const middle = (module * (spur + Math.round(between(5, 80)))) / 2;
      const slotMin = middle * (1 - between(1e-3, 0.2));
      const slotMax = middle * (1 + between(1e-3, 0.2));
      const answer = mesh({ pinion: si(pinion), spur: si(spur), module: si(module), slotMin: si(slotMin), slotMax: si(slotMax) });
      const fitting = Array.from({ length: 146 }, (_, j) => 5 + j).filter((teeth) => {
        const distance = (module * (teeth + spur)) / 2;
        return distance >= slotMin && distance <= slotMax;
      });
      expect(answer.fits).toBe(fitting.includes(pinion));
      if (fitting.length === 0) {
        expect([answer.smallestPinion, answer.largestPinion]).toEqual([{ absent: 'none' }, { absent: 'none' }]);
        continue;
      }
      expect(answer.smallestPinion).toBe(fitting[0]);
      expect(answer.largestPinion).toBe(fitting.at(-1));
    }
  });

  it('takes a slot typed as the very distance of a pinion for one that holds it', () => {
    // 0.8 × (13 + 54)/2 = 26.8 mm, in whatever way it was rounded on its way here; and the same for every pinion and module.
    for (const module of [0.4, 0.5, 0.6, 0.8, 1])
      for (let pinion = 10; pinion < 40; pinion += 1) {
        const distance = Number(((module * (pinion + 54)) / 2).toFixed(4)) / 1000;
        const answer = mesh({ pinion: si(pinion), spur: si(54), module: si(module / 1000), slotMin: si(distance), slotMax: si(distance) });
        expect(answer).toMatchObject({ fits: true, smallestPinion: pinion, largestPinion: pinion });
      }
  });

  it('says that none fits when the slot lies between two pinions', () => {
    const answer = mesh({ ...gears, slotMin: si(0.02685), slotMax: si(0.02715) });
    expect(answer).toMatchObject({ fits: false, smallestPinion: { absent: 'none' }, largestPinion: { absent: 'none' } });
  });

  it('leaves out what the slot’s ends are needed for', () => {
    expect(mesh(gears)).toMatchObject({ fits: undefined, smallestPinion: undefined, largestPinion: undefined });
    expect(mesh({ ...gears, slotMin: si(0.026) })).toMatchObject({ fits: undefined, smallestPinion: 11, largestPinion: undefined });
    expect(mesh({ ...gears, slotMax: si(0.028) })).toMatchObject({ fits: undefined, smallestPinion: undefined, largestPinion: 16 });
  });

  it('knows no pinion below 5 teeth or above 150', () => {
    expect(mesh({ ...gears, slotMin: si(0.001), slotMax: si(0.5) })).toMatchObject({ smallestPinion: 5, largestPinion: 150 });
    expect(mesh({ ...gears, slotMin: si(0.001), slotMax: si(0.002) })).toMatchObject({ fits: false, largestPinion: { absent: 'none' } });
  });

  it('wants the size of the teeth once, and a slot that ends after it begins', () => {
    expect(() => mesh({ pinion: si(13), spur: si(54) })).toThrow(/wanted once/);
    expect(() => mesh({ ...gears, diametralPitch: si(32 / INCH) })).toThrow(/wanted once/);
    expect(() => mesh({ ...gears, slotMin: si(0.03), slotMax: si(0.02) })).toThrow(/ends before it begins/);
  });

  it('grows with the module, and by one module for two teeth more', () => {
    const draw = (between: (low: number, high: number) => number) => ({
      pinion: si<'1'>(Math.round(between(8, 40))),
      spur: si<'1'>(Math.round(between(40, 90))),
      module: si<'m'>(between(0.3e-3, 1.5e-3)),
    });
    for (const name of ['centreDistance', 'pinionPitchDiameter', 'spurPitchDiameter'] as const)
      expectPower((each: ReturnType<typeof draw>) => mesh(each)[name], draw, 'module', 1);
    const [fewer, more] = [mesh(gears), mesh({ ...gears, pinion: si(15) })];
    expectNear(more.centreDistance - fewer.centreDistance, numberOf(fewer.toothModule), 1e-10);
  });

  it('does not compile with a pitch where the module goes', () => {
    // @ts-expect-error a module is a length
    mesh({ pinion: si(13), spur: si(54), module: si<'1/m'>(1260) });
  });
});
