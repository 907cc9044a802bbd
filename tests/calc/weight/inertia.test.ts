import { describe, expect, it } from 'vitest';
import { standardGravity } from '../../../calc/constants.ts';
import { si } from '../../../calc/formula.ts';
import { inertia } from '../../../calc/weight/inertia.ts';
import { draws, expectNear, expectPower } from '../../support/book.ts';

/**
 * A second method: the swing itself, with no small angles in it. Turned by θ, a string's lower end is 2b·sin(θ/2) from where it hung, so the
 * body is lifted; the energies of turning and lifting give dt = dθ/θ′, integrated over a quarter of the swing (θ = start·sin u takes the
 * infinite ends out; midpoints).
 */
function filmedPeriod(mass: number, gyration2: number, half: number, length: number, start: number): number {
  const drop = (angle: number) => Math.sqrt(length ** 2 - (2 * half * Math.sin(angle / 2)) ** 2);
  const dropSlope = (angle: number) => (-(half ** 2) * Math.sin(angle)) / drop(angle);
  const steps = 2000;
  let quarter = 0;
  for (let i = 0; i < steps; i += 1) {
    const u = ((i + 0.5) / steps) * (Math.PI / 2);
    const angle = start * Math.sin(u);
    // The drop from `start` to `angle`, its roots multiplied out: the two are nearly equal.
    const fall = (4 * half ** 2 * Math.sin((start - angle) / 2) * Math.sin((start + angle) / 2)) / (drop(angle) + drop(start));
    const energy = mass * standardGravity * fall;
    // Half of m·(k² + (dz/dθ)²)·θ′² is the energy; the body rises as it turns.
    const rate = Math.sqrt((2 * energy) / (mass * (gyration2 + dropSlope(angle) ** 2)));
    quarter += ((start * Math.cos(u)) / rate) * (Math.PI / 2 / steps);
  }
  return 4 * quarter;
}

const draw = (between: (low: number, high: number) => number) => ({
  total: si<'kg'>(between(0.2, 20)),
  stringSpacing: si<'m'>(between(0.1, 1)),
  stringLength: si<'m'>(between(0.3, 3)),
  period: si<'s'>(between(0.3, 3)),
  wheelbase: si<'m'>(between(0.1, 2)),
  rearShare: si<'1'>(between(0.4, 0.7)),
});
type Inputs = ReturnType<typeof draw>;

describe('the pitch inertia of a truck swinging on two strings', () => {
  it('is that of the uniform rod on two threads', () => {
    // Irodov, Problems in General Physics, ch. 4 (rod of 1.5 kg on two threads of 90 cm at its ends): T = 2π√(l/3g) = 1.1 s. Printed value from
    // memory, recomputed. A rod of length c has m·c²/12 about its middle, whatever c is; T is squared, so its last digit counts twice.
    for (const spacing of [0.2, 0.6, 1]) {
      const of = (period: number) =>
        inertia({ total: si(1.5), stringSpacing: si(spacing), stringLength: si(0.9), period: si(period) }).pitchInertia;
      const rod = (1.5 * spacing ** 2) / 12;
      expect(of(1.05)).toBeLessThan(rod);
      expect(of(1.15)).toBeGreaterThan(rod);
      expectNear(of(2 * Math.PI * Math.sqrt(0.9 / 3 / standardGravity)), rod, 1e-12);
    }
  });

  it('is the inertia of a body whose swing is worked out from its energies', () => {
    const between = draws(51);
    for (let i = 0; i < 40; i += 1) {
      const mass = between(0.2, 20);
      const spacing = between(0.1, 0.6);
      const length = between(0.8, 2) * spacing;
      const gyration2 = (spacing * between(0.2, 0.8)) ** 2;
      const period = filmedPeriod(mass, gyration2, spacing / 2, length, 0.001);
      const { pitchInertia } = inertia({ total: si(mass), stringSpacing: si(spacing), stringLength: si(length), period: si(period) });
      expectNear(pitchInertia, mass * gyration2, 1e-6);
    }
  });

  it('is out by less than 1 % for swings of ten degrees on strings longer than their spacing', () => {
    const between = draws(52);
    for (let i = 0; i < 40; i += 1) {
      const spacing = between(0.1, 0.6);
      const length = between(1, 4) * spacing;
      const gyration2 = (spacing * between(0.3, 0.8)) ** 2;
      const period = filmedPeriod(3, gyration2, spacing / 2, length, Math.PI / 18);
      const { pitchInertia } = inertia({ total: si(3), stringSpacing: si(spacing), stringLength: si(length), period: si(period) });
      expectNear(pitchInertia, 3 * gyration2, 0.01);
    }
  });

  it('has dynamic index 1 when the mass sits on the axles', () => {
    // Two masses m·b/L and m·a/L at the distances a and b: I = m·a·b, by definition of the index.
    const between = draws(53);
    for (let i = 0; i < 40; i += 1) {
      const { total, stringSpacing, stringLength, wheelbase, rearShare } = draw(between);
      const [front, rear] = [total * (1 - rearShare), total * rearShare];
      const behindFront = (rear * wheelbase) / total;
      const own = front * behindFront ** 2 + rear * (wheelbase - behindFront) ** 2;
      const period = si<'s'>((2 * Math.PI * Math.sqrt((own * stringLength) / (total * standardGravity))) / (stringSpacing / 2));
      const { pitchInertia, dynamicIndex } = inertia({ total, stringSpacing, stringLength, period, wheelbase, rearShare });
      expectNear(pitchInertia, own, 1e-9);
      expectNear(dynamicIndex, 1, 1e-9);
    }
  });

  it('leaves the dynamic index out unless wheelbase and rear share are known', () => {
    const { wheelbase, rearShare, ...hung } = draw(draws(54));
    expect(inertia(hung).dynamicIndex).toBeUndefined();
    expect(inertia({ ...hung, wheelbase }).dynamicIndex).toBeUndefined();
    expect(inertia({ ...hung, rearShare }).dynamicIndex).toBeUndefined();
  });

  it('goes with mass, spacing squared, period squared and one over the length', () => {
    const result = (inputs: Inputs) => inertia(inputs).pitchInertia;
    expectPower(result, draw, 'total', 1);
    expectPower(result, draw, 'stringSpacing', 2);
    expectPower(result, draw, 'period', 2);
    expectPower(result, draw, 'stringLength', -1);
    expectPower((inputs: Inputs) => inertia(inputs).dynamicIndex, draw, 'wheelbase', -2);
    expectPower((inputs: Inputs) => inertia(inputs).dynamicIndex, draw, 'total', 0);
    const inputs = draw(draws(55));
    expectNear(
      inertia({ ...inputs, rearShare: si(0.3) }).dynamicIndex,
      inertia({ ...inputs, rearShare: si(0.7) }).dynamicIndex as number,
      1e-12,
    );
  });

  it.each([0, 1])('refuses a truck that stands on one axle alone: rear share %s', (share) => {
    expect(() => inertia({ ...draw(draws(57)), rearShare: si<'1'>(share) })).toThrow('one axle would carry nothing');
  });

  it('takes a period for the period: a frequency does not compile', () => {
    const inputs = draw(draws(56));
    // @ts-expect-error a frequency is no period
    expect(() => inertia({ ...inputs, period: si<'Hz'>(1) })).not.toThrow();
  });
});
