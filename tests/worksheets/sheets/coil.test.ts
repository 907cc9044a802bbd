import { describe, expect, it } from 'vitest';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, expectSoundEverywhere, names, numberOf, sheetNamed, type Typed } from '../../support/sheets.ts';

const sheet = await sheetNamed('coil');
// NIST SP 811 (2008), Appendix B.8: exact factors of pound, gravity and inch.
const MPSI = (1e6 * 0.45359237 * 9.80665) / 0.0254 ** 2 / 1e9;
const ends = { plain: [0, 1], plain_ground: [1, 0], squared: [2, 1], squared_ground: [2, 0] } as const;

describe('coil', () => {
  it('finds the spring of the textbook example', () => {
    // Shigley, Mechanical Engineering Design, example 10-1: music wire 0.037 in, outside diameter 7/16 in, 12.5 coils, squared ends, the mean
    // diameter rounded to 0.400 in there; printed values from memory, recomputed: k = 4.13 lbf/in, solid length 0.500 in.
    const answer = sheet.answer({
      wire: '0.037 in',
      outside_diameter: '0.437 in',
      total_coils: 12.5,
      ends: 'squared',
      free_length: '2.06 in',
    });
    expectPrinted(numberOf(answer, 'spring_rate_lb_in'), '4.13');
    expectPrinted(numberOf(answer, 'solid_length') / 25.4, '0.500');
    expectNear(numberOf(answer, 'active_coils'), 10.5, 1e-15);
    expectNear(numberOf(answer, 'max_travel'), 2.06 * 25.4 - numberOf(answer, 'solid_length'), 1e-12);
  });

  it('finds rate and solid length of the problems with ground and with plain ends', () => {
    // Shigley, Mechanical Engineering Design, 10th/11th ed., ch. 10 solutions, problem 10-3: wire 2.5 mm, outside 31 mm, 14 coils, plain and
    // ground: solid length 35 mm, k = 1.314 N/mm; problem 10-6: wire 4 mm, 11.6 coils, plain: solid length 50.4 mm. Printed values read.
    const ground = sheet.answer({ wire: 2.5, outside_diameter: 31, total_coils: 14, ends: 'plain_ground' });
    expectPrinted(numberOf(ground, 'solid_length'), '35');
    expectPrinted(numberOf(ground, 'spring_rate'), '1.314');
    expectPrinted(sheet.value({ wire: 4, outside_diameter: 50, total_coils: 11.6, ends: 'plain' }, 'solid_length'), '50.4');
  });

  it.each([
    // Machinery's Handbook, Springs, moduli in torsion; the same figures in Shigley, table 10-5; printed values in psi read.
    ['0.032 in', 12.0, '82.74'],
    ['0.8128', 12.0, '82.74'],
    ['0.0321 in', 11.85, '81.70'],
    ['0.063 in', 11.85, '81.70'],
    ['0.0631 in', 11.75, '81.01'],
    ['0.125 in', 11.75, '81.01'],
    ['3.175', 11.75, '81.01'],
    ['0.1251 in', 11.6, '79.98'],
  ])('music wire of %s has %s Mpsi, %s GPa', (wire, mpsi, printed) => {
    const used = sheet.value({ wire, outside_diameter: 40, total_coils: 10 }, 'shear_modulus_used');
    expectNear(used, mpsi * MPSI, 1e-12);
    expectPrinted(used, printed);
  });

  it('stainless has 10 Mpsi at any size, and a modulus of its own wins', () => {
    // Machinery's Handbook, Springs: 68.95 GPa for 10 Mpsi; printed value read.
    expectPrinted(
      sheet.value({ wire: 1.2, outside_diameter: 17.2, total_coils: 10, material: 'stainless' }, 'shear_modulus_used'),
      '68.95',
    );
    expectNear(
      sheet.value({ wire: 1.2, outside_diameter: 17.2, total_coils: 10, material: 'stainless', shear_modulus: 72 }, 'shear_modulus_used'),
      72,
      1e-14,
    );
    expectNear(
      sheet.value({ wire: 1.2, outside_diameter: 17.2, total_coils: 10, shear_modulus: '10 Mpsi' }, 'shear_modulus_used'),
      10 * MPSI,
      1e-14,
    );
  });

  it('answers what the contract says, worked out plainly', () => {
    const between = draws(10);
    for (let i = 0; i < 60; i += 1) {
      const wire = between(0.3, 3);
      const outside = wire * between(4, 15);
      const coils = between(4, 30);
      const kind = (Object.keys(ends) as (keyof typeof ends)[])[i % 4]!;
      const modulus = between(60, 90);
      const [inactive, extra] = ends[kind];
      const solid = wire * (coils + extra);
      const free = solid + between(5, 80);
      const readings: Typed = {
        wire,
        outside_diameter: outside,
        total_coils: coils,
        ends: kind,
        shear_modulus: modulus,
        free_length: free,
      };
      const answer = sheet.answer(readings);
      const mean = outside - wire;
      const rate = (modulus * 1e3 * wire ** 4) / (8 * mean ** 3 * (coils - inactive));
      const expected = {
        active_coils: coils - inactive,
        mean_diameter: mean,
        spring_index: mean / wire,
        spring_rate: rate,
        solid_length: solid,
        max_travel: free - solid,
      };
      for (const [name, value] of Object.entries(expected)) expectNear(numberOf(answer, name), value, 1e-11);
      expectNear(numberOf(answer, 'spring_rate_lb_in'), rate / 0.175126835246476, 1e-11);
      expectNear(numberOf(answer, 'spring_rate_gf_mm'), rate / 0.00980665, 1e-11);
    }
  });

  it('a hundredth of wire is four times its part of the rate', () => {
    const answer = sheet.answer({ wire: '1.2 ± 0.01', outside_diameter: 17.2, total_coils: 10 });
    // By hand: d⁴ and (o − d)⁻³: 4/d + 3/(o − d).
    expectNear(
      answerOf(answer, 'spring_rate').uncertainty! / numberOf(answer, 'spring_rate'),
      (2 * 0.01 * (4 / 1.2 + 3 / 16)) / Math.sqrt(3),
      1e-9,
    );
    expect(answerOf(answer, 'active_coils').uncertainty).toBeNull();
  });

  it('says what cannot be, and leaves the travel out without a free length', () => {
    const said = (readings: Typed): string =>
      sheet
        .problems({ wire: 1.2, outside_diameter: 17.2, total_coils: 10, ...readings })
        .map(({ text }) => text)
        .join();
    expect(said({ total_coils: 2 })).toMatch(/^That does not work out: with these ends 2 coils carry nothing/);
    expect(said({ outside_diameter: 2.3 })).toMatch(/^That does not work out: the wire is too thick/);
    expect(said({ free_length: 11.9 })).toMatch(/^That does not work out: the free length is no longer/);
    expect(said({ ends: 'squred' })).toBe(
      'Ends: "squred" is not one of them. Give one of plain, plain_ground, squared, squared_ground. Did you mean squared?',
    );
    const answer = sheet.answer({ wire: 1.2, outside_diameter: 17.2, total_coils: 10 });
    expect(names(answer)).not.toContain('max_travel');
    expect(answer.wider).toContain('free_length');
    for (const written of ['squared ground', 'Squared-Ground', 'squared_ground'])
      expect(answerOf(sheet.answer({ wire: 1.2, outside_diameter: 17.2, total_coils: 10, ends: written }), 'active_coils').value).toBe(8);
  });

  it('is sound at the ends of every range', () => {
    expectSoundEverywhere(sheet, 120);
  });
});
