import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { coil } from '../../../calc/springs/coil.ts';
import { draws, expectNear, expectPower, expectPrinted } from '../../support/book.ts';

const MM = 1e-3;
const INCH = 0.0254;
const POUND_PER_INCH = (0.45359237 * 9.80665) / INCH;

type Coil = Parameters<typeof coil>[0];
const spring = (numbers: Record<string, number>, words: Partial<Pick<Coil, 'ends' | 'material'>> = {}): Coil =>
  ({ wire: 0.0012, outsideDiameter: 0.0172, totalCoils: 10, ends: 'squared_ground', material: 'music_wire', ...numbers, ...words }) as Coil;

describe('a spring known by its wire and coils', () => {
  it('is as stiff and as long as the music wire spring of the handbook example', () => {
    // Shigley, Mechanical Engineering Design, example 10-1: wire 0.037 in, 12.5 coils, squared ends, 7/16 in outside with the mean diameter
    // rounded to 0.400 in: 4.13 lbf/in, solid 0.5 in, 6.46 lbf closes it by 1.56 in, so 2.06 in free. Printed values from memory, recomputed.
    const book = coil(
      spring(
        { wire: 0.037 * INCH, outsideDiameter: 0.437 * INCH, totalCoils: 12.5, freeLength: 2.06 * INCH },
        { ends: 'squared', material: 'music_wire' },
      ),
    );
    expect(book.activeCoils).toBe(10.5);
    expectPrinted(book.springRate, '4.13', POUND_PER_INCH);
    expectPrinted(book.solidLength, '0.5', INCH);
    expectPrinted(book.maxTravel, '1.56', INCH);
    expectPrinted(6.46 / (book.springRate / POUND_PER_INCH), '1.56');
  });

  it('carries what the plain and ground spring of the solutions manual carries when solid', () => {
    // Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th/11th ed., solutions manual, problem 10-3: wire 2.5 mm, mean diameter
    // 28.5 mm, 14 coils, plain and ground: solid 35 mm, 1.314 N/mm, 162.8 mm free for 167.9 N when solid. Printed values read.
    const book = coil(
      spring(
        { wire: 2.5 * MM, outsideDiameter: 31 * MM, totalCoils: 14, freeLength: 162.8 * MM },
        { ends: 'plain_ground', material: 'music_wire' },
      ),
    );
    expectNear(book.solidLength, 35 * MM, 1e-9);
    expectPrinted(book.springRate, '1.314', 1000);
    expectPrinted(book.springIndex, '11.4');
    // 162.8 mm is itself rounded to 0.05 mm, which is 0.07 N.
    expect(Math.abs(book.springRate * (book.maxTravel as number) - 167.9)).toBeLessThan(0.05 + 0.07);
  });

  it('stacks up as high as its end type says', () => {
    // Problem 10-6 of the same manual: wire 4 mm, 11.6 coils, plain ends: solid 50.4 mm, 80 mm free, closing by 29.6 mm. Printed value read.
    const plain = coil(spring({ wire: 4 * MM, outsideDiameter: 40 * MM, totalCoils: 11.6, freeLength: 80 * MM }, { ends: 'plain' }));
    expectPrinted(plain.solidLength, '50.4', MM);
    expectPrinted(plain.maxTravel, '29.6', MM);
    // Shigley, table 10-1, from memory: inactive 0, 1, 2, 2; solid d(Nt+1), d·Nt, d(Nt+1), d·Nt.
    const of = (ends: Coil['ends']) => coil(spring({ wire: 1 * MM, totalCoils: 8 }, { ends }));
    expect((['plain', 'plain_ground', 'squared', 'squared_ground'] as const).map((ends) => of(ends).activeCoils)).toEqual([8, 7, 6, 6]);
    const solid = (['plain', 'plain_ground', 'squared', 'squared_ground'] as const).map((ends) => of(ends).solidLength / MM);
    for (const [i, length] of [9, 8, 9, 8].entries()) expectNear(solid[i], length, 1e-12);
  });

  it('takes the shear modulus of the handbook table for the material and the size of the wire', () => {
    // Machinery's Handbook, Springs, moduli of elasticity of spring materials; the same steps in Shigley, table 10-5. 12.0, 11.85, 11.75,
    // 11.6 million psi for wire up to 0.032, 0.063, 0.125 in and above; 302/304/316 stainless 10.0. Printed psi read, in GPa recomputed.
    const modulus = (inches: number, material: Coil['material'] = 'music_wire') =>
      coil(spring({ wire: inches * INCH, outsideDiameter: 2 * INCH }, { material })).shearModulusUsed;
    for (const [inches, printed] of [
      [0.01, '82.74'],
      [0.032, '82.74'],
      [0.033, '81.70'],
      [0.063, '81.70'],
      [0.064, '81.01'],
      [0.125, '81.01'],
      [0.126, '79.98'],
      [0.25, '79.98'],
    ] as const)
      expectPrinted(modulus(inches), printed, 1e9);
    for (const inches of [0.02, 0.05, 0.1, 0.2]) expectPrinted(modulus(inches, 'stainless'), '68.95', 1e9);
    // The same limits in millimetres are the same wires: 1.6002 × 0.001 m is above 0.063 × 0.0254 m, by its last bit.
    expect(1.6002 * MM).toBeGreaterThan(0.063 * INCH);
    for (const [mm, printed] of [
      [0.8128, '82.74'],
      [1.6002, '81.70'],
      [3.175, '81.01'],
    ] as const)
      expectPrinted(coil(spring({ wire: mm * MM, outsideDiameter: 2 * INCH })).shearModulusUsed, printed, 1e9);
  });

  it('takes the shear modulus that is given, whatever the material', () => {
    const given = coil(spring({ shearModulus: 79.3e9 }, { material: 'stainless' }));
    expect(given.shearModulusUsed).toBe(79.3e9);
    expectNear(given.springRate, (coil(spring({})).springRate * 79.3e9) / (11.85e6 * 6894.757293168362), 1e-12);
  });

  it('is as stiff as the twist of its straightened wire makes it', () => {
    // Second method: a bar of length π·D·n twisted by F·D/2 turns by T·L/(G·J), J = π·d⁴/32; the end sinks by that angle times D/2.
    const { springRate, meanDiameter, activeCoils } = coil(spring({ shearModulus: 80e9 }));
    const force = 1;
    const torque = (force * meanDiameter) / 2;
    const twist = (torque * Math.PI * meanDiameter * activeCoils) / (80e9 * ((Math.PI * 0.0012 ** 4) / 32));
    expectNear(springRate, force / ((twist * meanDiameter) / 2), 1e-12);
  });

  it('goes with the shear modulus, and with lengths as a scaled drawing does', () => {
    const rate = (inputs: Coil) => coil(inputs).springRate;
    const numbers = ({ totalCoils, shearModulus }: Coil) => ({ totalCoils, shearModulus: shearModulus! });
    const draw = (between: (low: number, high: number) => number): Coil =>
      spring({
        wire: between(0.5, 3) * MM,
        outsideDiameter: between(12, 40) * MM,
        totalCoils: between(5, 20),
        shearModulus: between(60, 90) * 1e9,
      });
    expectPower(rate, draw, 'shearModulus', 1);
    const between = draws(31);
    for (let i = 0; i < 40; i += 1) {
      const one = draw(between);
      const factor = between(0.5, 2);
      const scaled = spring({ ...numbers(one), wire: one.wire * factor, outsideDiameter: one.outsideDiameter * factor });
      expectNear(rate(scaled), rate(one) * factor, 1e-9);
    }
    // At one mean diameter D: d⁴; at one wire: 1/D³; of the active coils: 1/n.
    const thick = (factor: number) => rate(spring({ wire: 0.001 * factor, outsideDiameter: 0.016 + 0.001 * factor, shearModulus: 80e9 }));
    expectNear(thick(2), 16 * thick(1), 1e-12);
    const wide = (factor: number) => rate(spring({ wire: 0.001, outsideDiameter: 0.016 * factor + 0.001 }));
    expectNear(wide(2), wide(1) / 8, 1e-12);
    expectNear(rate(spring({ totalCoils: 2 + 16 })), rate(spring({ totalCoils: 2 + 8 })) / 2, 1e-12);
  });

  it('is refused when no coil works, the wire fills the coil, or it is shorter than solid', () => {
    expect(() => coil(spring({ totalCoils: 2 }))).toThrow('with these ends 2 coils carry nothing');
    expect(() => coil(spring({ totalCoils: 1 }, { ends: 'plain_ground' }))).toThrow('none is left to work');
    expect(() => coil(spring({ outsideDiameter: 0.0024 }))).toThrow('too thick');
    expect(() => coil(spring({ freeLength: 0.0119 }))).toThrow('no longer than the coils stacked solid');
    expect(coil(spring({})).maxTravel).toBeUndefined();
  });

  it('takes lengths for the wire: a mass does not compile', () => {
    const good = spring({});
    // @ts-expect-error the wire is a length
    const wrong = () => coil({ ...good, wire: si<'kg'>(1) });
    expect(wrong).toThrow();
  });
});
