import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { piston } from '../../../calc/springs/piston.ts';
import { draws, expectNear, expectPower, expectPrinted } from '../../support/book.ts';

type Piston = Parameters<typeof piston>[0];
const drilled = (changed: Record<string, number> = {}): Piston =>
  ({
    bore: 0.012,
    shaft: 0.003,
    holeDiameter: 0.0012,
    holeLength: 0.003,
    holes: 4,
    viscosity: 350e-6,
    density: 965,
    shaftSpeed: 0.1,
    ...changed,
  }) as Piston;
const flowArea = ({ bore, shaft }: Piston): number => (Math.PI / 4) * (bore ** 2 - shaft ** 2);

describe('a drilled piston pulled through oil', () => {
  it('needs the pressure of the needle in the physics textbook', () => {
    // OpenStax, College Physics 2e, example 12.8: 0.120 cm³/s of saline (μ = 1.00 mPa·s) through a needle of radius 0.150 mm, 2.50 cm long, into a
    // vein at 1066 Pa: 1.62 × 10⁴ Pa at the entrance. Printed value read.
    const needle = drilled({ holeDiameter: 0.3e-3, holeLength: 0.025, holes: 1, viscosity: 1e-6, density: 1000 });
    const shaftSpeed = 1.2e-7 / flowArea(needle);
    const { force, reynolds, laminar } = piston({ ...needle, shaftSpeed: si(shaftSpeed) });
    expectPrinted(force / flowArea(needle) + 1066, '1.62e4');
    // Re = 4·Q/(π·d·ν), another way to the same number.
    expectNear(reynolds, (4 * 1.2e-7) / (Math.PI * 0.3e-3 * 1e-6), 1e-12);
    expect(laminar).toBe(true);
  });

  it('feels the dynamic viscosity: 350 cSt of density 0.97 is 339.5 mPa·s', () => {
    // μ = ν·ρ, ISO 80000-4. Printed value from memory, recomputed. Sent through Poiseuille's resistance 8·μ·ℓ/(π·r⁴), holes side by side.
    const one = drilled({ density: 970 });
    const resistance = (8 * 0.3395 * 0.003) / (Math.PI * 0.0006 ** 4) / 4;
    expectNear(piston(one).coefficient, resistance * flowArea(one) ** 2, 1e-12);
  });

  it('meets the resistance of thin shells of oil sliding in the hole', () => {
    // Second method: shear in the shells is Δp·r/(2·ℓ); their speed and the flow are summed shell by shell from the wall inward.
    const one = drilled();
    const [radius, length, viscosity, pressure, shells] = [one.holeDiameter / 2, one.holeLength, one.viscosity * one.density, 1000, 20000];
    let [speed, flow] = [0, 0];
    for (let i = 0; i < shells; i += 1) {
      const r = radius * (1 - (i + 0.5) / shells);
      const step = ((pressure * r) / (2 * length * viscosity)) * (radius / shells);
      flow += 2 * Math.PI * r * (speed + step / 2) * (radius / shells);
      speed += step;
    }
    const shaftSpeed = (flow * one.holes) / flowArea(one);
    expectNear(piston({ ...one, shaftSpeed: si(shaftSpeed) }).force, pressure * flowArea(one), 1e-7);
  });

  it('is laminar below 2300', () => {
    const at = (reynolds: number) => {
      const one = drilled({ viscosity: 10e-6 });
      return piston({ ...one, shaftSpeed: si((0.1 * reynolds) / piston(one).reynolds) });
    };
    expect(at(2299).laminar).toBe(true);
    expect(at(2301).laminar).toBe(false);
  });

  it('goes with each symbol as its comment says', () => {
    const draw = (between: (low: number, high: number) => number) =>
      drilled({
        bore: between(10, 16) / 1e3,
        shaft: between(2, 4) / 1e3,
        holeDiameter: between(0.8, 1.6) / 1e3,
        holeLength: between(1, 6) / 1e3,
        holes: Math.round(between(1, 5)),
        viscosity: between(100, 1000) / 1e6,
        density: between(800, 1000),
        shaftSpeed: between(0.01, 1),
      });
    const coefficient = (inputs: Piston) => piston(inputs).coefficient;
    expectPower(coefficient, draw, 'viscosity', 1);
    expectPower(coefficient, draw, 'density', 1);
    expectPower(coefficient, draw, 'holeLength', 1);
    expectPower(coefficient, draw, 'holeDiameter', -4);
    expectPower(coefficient, draw, 'shaftSpeed', 0);
    expectPower((inputs: Piston) => piston(inputs).force, draw, 'shaftSpeed', 1);
    expectPower((inputs: Piston) => piston(inputs).reynolds, draw, 'shaftSpeed', 1);
    expectPower((inputs: Piston) => piston(inputs).reynolds, draw, 'viscosity', -1);
    const between = draws(111);
    for (let i = 0; i < 20; i += 1) {
      const one = draw(between);
      expectNear(piston({ ...one, holes: si(one.holes * 2) }).coefficient, piston(one).coefficient / 2, 1e-12);
      // Bore and shaft enter by the flow area alone, squared.
      const wider = drilled({ ...one, bore: one.bore * 1.1 });
      expectNear(piston(wider).coefficient / piston(one).coefficient, (flowArea(wider) / flowArea(one)) ** 2, 1e-9);
    }
  });

  it('is refused when the shaft fills the bore or the holes outgrow the piston', () => {
    expect(() => piston(drilled({ shaft: 0.012 }))).toThrow('as thick as the bore');
    expect(() => piston(drilled({ holeDiameter: 0.006 }))).toThrow('the holes together are larger than the piston');
  });

  it('takes a kinematic viscosity: a dynamic one does not compile', () => {
    const good = drilled();
    // @ts-expect-error mm²/s, not mPa·s
    const wrong = () => piston({ ...good, viscosity: si<'Pa·s'>(0.34) });
    expect(wrong).toBeTypeOf('function');
  });
});
