import { describe, expect, it } from 'vitest';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const piston = await sheetNamed('piston');
const shock = { bore: 13, shaft: 3.5, hole_diameter: 1.5, hole_length: 2.5, holes: 3, viscosity: 400, shaft_speed: 0.3 };

describe('piston: oil through its holes', () => {
  it('needs the pressure of the textbook’s needle', () => {
    // OpenStax, College Physics 2e, example 12.8: 0.120 cm³/s of saline (1.00 mPa·s) through a needle of radius 0.150 mm, 2.50 cm long, into a vein at
    // 1066 Pa: 1.62 × 10⁴ Pa at the entrance. Printed value read.
    const area = (Math.PI / 4) * (10 ** 2 - 3 ** 2);
    const answer = piston.answer({
      bore: 10,
      shaft: 3,
      hole_diameter: 0.3,
      hole_length: 25,
      holes: 1,
      viscosity: '1 cSt',
      density: '1 g/cm³',
      shaft_speed: 120 / area / 1000,
    });
    expectPrinted(numberOf(answer, 'force') / (area * 1e-6) + 1066, '1.62e4');
    // Re = 4·Q/(π·d·ν), another way to the same number.
    expectNear(numberOf(answer, 'reynolds'), (4 * 1.2e-7) / (Math.PI * 3e-4 * 1e-6), 1e-9);
  });

  it('carries the oil that a sum over thin shells of a hole lets through', () => {
    // Second method: the shear in each shell is Δp·r/(2·ℓ); speed and flow are summed shell by shell from the wall inward.
    const between = draws(371);
    for (let i = 0; i < 5; i += 1) {
      const [d, l, cSt, n] = [between(0.8, 2), between(1.5, 4), between(100, 1000), 1 + (i % 4)];
      const answer = piston.answer({ ...shock, hole_diameter: d, hole_length: l, viscosity: cSt, holes: n });
      const area = (Math.PI / 4) * (13 ** 2 - 3.5 ** 2) * 1e-6;
      const [radius, mu] = [d / 2000, cSt * 1e-6 * 965];
      const shells = 20_000;
      let [flow, speed] = [0, 0];
      for (let k = shells - 1; k >= 0; k -= 1) {
        const r = ((k + 0.5) * radius) / shells;
        const thick = radius / shells;
        speed += (r / (2 * (l / 1000) * mu)) * thick;
        flow += (speed - ((r / (2 * (l / 1000) * mu)) * thick) / 2) * 2 * Math.PI * r * thick;
      }
      const pressure = (area * 0.3) / (n * flow);
      expectNear(numberOf(answer, 'force'), pressure * area, 1e-6);
      expectNear(numberOf(answer, 'coefficient'), (pressure * area) / 0.3, 1e-6);
    }
  });

  it('compares as the prose says: a tenth more hole takes a quarter away, one more beside three too', () => {
    const coefficient = (changed: Partial<typeof shock>) => numberOf(piston.answer({ ...shock, ...changed }), 'coefficient');
    expectNear(coefficient({ hole_diameter: 1.3 }) / coefficient({ hole_diameter: 1.2 }), (1.2 / 1.3) ** 4, 1e-12);
    expectNear(coefficient({ holes: 4 }) / coefficient({}), 3 / 4, 1e-12);
    expectNear(coefficient({ viscosity: 800 }) / coefficient({}), 2, 1e-12);
  });

  it('draws the coefficient over the size and the number of holes', () => {
    const { curves } = piston.answer(shock);
    expect(curves.map(({ over }) => over)).toEqual(['hole_diameter', 'holes']);
    const [sizes, counts] = curves;
    expect(sizes!.x.map((x) => Math.round(10 * x) / 10)).toEqual([1.2, 1.3, 1.4, 1.5, 1.6, 1.7, 1.8]);
    expect(counts!.x).toEqual([1, 2, 3, 4, 5]);
    const own = numberOf(piston.answer(shock), 'coefficient');
    counts!.answers.coefficient!.forEach((value, i) => {
      expectNear(value, (own * 3) / (i + 1), 1e-9);
    });
  });

  it('says when the flow is turbulent, and when holes are wider than long', () => {
    const fast = piston.answer({ ...shock, viscosity: 2, shaft_speed: 2 });
    expect(answerOf(fast, 'laminar').value).toBe(false);
    expect(numberOf(fast, 'reynolds')).toBeGreaterThan(2300);
    expect(nextOf(fast)).toMatch(/^Turbulent there/);
    expect(answerOf(piston.answer(shock), 'laminar').value).toBe(true);
    expect(cautionsOf(piston.answer({ ...shock, hole_length: 1 }))).toHaveLength(1);
    expect(cautionsOf(piston.answer(shock))).toEqual([]);
  });

  it('carries the ± of a hole four times, that of the oil once', () => {
    const share = (readings: Record<string, string>) => {
      const { value, uncertainty } = answerOf(piston.answer({ ...shock, ...readings }), 'coefficient');
      return uncertainty! / (value as number) / (2 / Math.sqrt(3));
    };
    expectNear(share({ hole_diameter: '1.5 ± 0.03' }), 4 * 0.02, 1e-4);
    expectNear(share({ viscosity: '400 ± 8' }), 0.02, 1e-6);
  });

  it('refuses a piston that cannot be', () => {
    const said = (changed: Partial<typeof shock>) => piston.problems({ ...shock, ...changed }).map(({ reading, text }) => [reading, text]);
    expect(said({ shaft: 13 })).toEqual([['shaft', 'That does not work out: the shaft is as thick as the bore or thicker.']]);
    expect(said({ hole_diameter: 8 })).toEqual([
      ['hole_diameter', 'That does not work out: the holes together are larger than the piston.'],
    ]);
    expect(said({ holes: 2.5 })[0]![1]).toMatch(/^Holes: "2.5" is not a whole number/);
  });

  it('is sound at every corner of its ranges', () => {
    expectSoundEverywhere(piston);
  });
});
