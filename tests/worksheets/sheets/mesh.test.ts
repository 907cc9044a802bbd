import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('mesh');
const gears = { pinion: '13', spur: '54', module: '0.8' };

describe('mesh', () => {
  it('reads the size of the teeth as it stands on a gear', () => {
    // m = 25.4/P (ISO 54:1996; Machinery's Handbook): 64, 48, 32, 20 are 0.396 875, 0.529 167, 0.793 75, 1.27 mm (from memory, recomputed).
    const modules = { 64: 0.396875, 48: 0.529167, 32: 0.79375, 20: 1.27 };
    for (const [pitch, module] of Object.entries(modules)) {
      const asked = { pinion: '16', spur: '40' };
      for (const readings of [
        { ...asked, diametral_pitch: pitch },
        { ...asked, diametral_pitch: `${pitch}P` },
        { ...asked, module: `${pitch} pitch` },
        { ...asked, module: `${pitch} dp` },
      ])
        expect(numberOf(sheet.answer(readings), 'tooth_module')).toBeCloseTo(module, 6);
    }
    expect(numberOf(sheet.answer({ ...gears, module: '0.8 mod' }), 'tooth_module')).toBe(0.8);
  });

  it('has the diameters and the centre distance of a textbook’s pair', () => {
    // Shigley, Mechanical Engineering Design, example 13-1, at a tenth of its size: 16 and 40 teeth, diametral pitch 20: 0.8 in, 2 in, 1.4 in (from
    // memory, recomputed).
    const answer = sheet.answer({ pinion: '16', spur: '40', diametral_pitch: '20' });
    expectNear(numberOf(answer, 'pinion_pitch_diameter'), 0.8 * 25.4, 1e-12);
    expectNear(numberOf(answer, 'spur_pitch_diameter'), 2 * 25.4, 1e-12);
    expectNear(numberOf(answer, 'centre_distance'), 1.4 * 25.4, 1e-12);
  });

  it('names the pinions that fit the slot: those that a look at each of them finds', () => {
    const between = draws(5);
    for (let i = 0; i < 60; i += 1) {
      const module = between(0.4, 1.2);
      const [spur, pinion] = [Math.round(between(40, 90)), Math.round(between(8, 40))];
      const low = (module * (pinion + spur)) / 2 - between(0.01, 4) + 1;
      const high = low + between(0.05, 6);
      const fitting = Array.from({ length: 146 }, (_, n) => 5 + n).filter((teeth) => {
        const distance = (module * (teeth + spur)) / 2;
        return low <= distance && distance <= high;
      });
      const answer = sheet.answer({ pinion, spur, module, slot_min: low, slot_max: high });
      expect(answerOf(answer, 'fits').value).toBe(fitting.includes(pinion));
      expect(answerOf(answer, 'smallest_pinion').value).toBe(fitting[0] ?? null);
      expect(answerOf(answer, 'largest_pinion').value).toBe(fitting.at(-1) ?? null);
      if (!fitting.includes(pinion))
        expect(nextOf(answer)).toMatch(fitting.length === 0 ? /^No pinion fits/ : new RegExp(`^Take (a pinion of )?${fitting[0]}\\b`));
    }
  });

  it('lets no ± turn a count of teeth into a guess', () => {
    // Slots that end on a pinion's very distance, where the count jumps: 0.8 × (54 + 16)/2 = 28 mm.
    for (const slot_max of ['28 ± 0.1', '28.0000001 ± 0.1', '28.1 ± 0.5'])
      expect(answerOf(sheet.answer({ ...gears, slot_min: '26 ± 0.1', slot_max }), 'largest_pinion')).toMatchObject({
        value: 16,
        uncertainty: null,
      });
  });

  it('hunts when no number divides both', () => {
    expect(answerOf(sheet.answer(gears), 'hunting').value).toBe(true);
    const shared = sheet.answer({ ...gears, pinion: '18' });
    expect(answerOf(shared, 'hunting').value).toBe(false);
    expect(cautionsOf(shared).join(' ')).toContain('share a factor');
  });

  it('asks for the slot where it would say more, and not for the other size of teeth', () => {
    const answer = sheet.answer(gears);
    expect(names(answer)).not.toContain('fits');
    expect(answer.wider).toEqual(['slot_min', 'slot_max']);
    expect(nextOf(answer)).toContain('Measure the slot');
  });

  it('wants module or diametral pitch, one of them, and a slot that ends after it begins', () => {
    const { module: _, ...without } = gears;
    expect(sheet.problems(without)[0]!.text).toBe('Module is missing. Give module or diametral pitch.');
    expect(sheet.problems({ ...gears, diametral_pitch: '48' })[0]!.text).toBe('Give module or diametral pitch, not both.');
    expect(sheet.problems({ ...gears, slot_min: '30', slot_max: '20' })).toMatchObject([
      { reading: 'slot_max', text: 'That does not work out: the slot ends before it begins.' },
    ]);
  });

  it('asks whether a bare 48 for a module is a pitch', () => {
    expect(sheet.problems({ ...gears, module: '48' })[0]!.text).toBe('Module: "48" is out. Give 0.1 to 10 mm. Did you mean 48 pitch?');
    expect(sheet.problems({ ...gears, module: '480' })[0]!.text).not.toContain('pitch');
  });

  it('has the motor unplugged before anyone touches a gear', () => {
    expect(cautionsOf(sheet.answer(gears)).join(' ')).toContain('Unplug the motor');
  });

  it('answers or says why not, all over its ranges', () => {
    const readings = sheet.sheet.readings.filter(({ name }) => name !== 'diametral_pitch');
    expectSoundEverywhere({ ...sheet, sheet: { ...sheet.sheet, readings } });
  });
});
