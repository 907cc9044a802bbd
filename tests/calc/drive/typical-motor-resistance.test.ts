import { describe, it } from 'vitest';
import { typicalMotorResistance } from '../../../calc/drive/typical-motor-resistance.ts';
import { si } from '../../../calc/formula.ts';
import { expectNear, expectPower } from '../../support/book.ts';
import { rpm } from './truck.ts';

describe('the resistance of a motor that nobody measured', () => {
  it('makes the torque of one newton metre cost the heat that the motor constant says', () => {
    // Source: definition of the motor constant, torque/√(heat). With Kt = 1/kv, 1 N·m needs I = kv ampere; the heat then has to be (1/0.025)² = 1600 W.
    for (const kv of [800, 3000, 7000]) {
      const current = 1 * rpm(kv);
      expectNear(current ** 2 * typicalMotorResistance({ motorKv: rpm(kv) }), 1600);
    }
  });

  it('is 16.2 mΩ at 3000 rpm/V, by hand', () => {
    // By hand: Kt = 60/(2π·3000) = 3.18310e-3 N·m/A; /0.025 = 0.127324; squared 0.0162114 Ω.
    expectNear(typicalMotorResistance({ motorKv: rpm(3000) }), 0.0162114, 5e-6);
  });

  it('falls to a quarter at twice the kv', () => {
    expectPower(typicalMotorResistance, (between) => ({ motorKv: rpm(between(500, 9000)) }), 'motorKv', -2);
  });

  it('does not compile with a resistance for a kv', () => {
    // @ts-expect-error kv is in rad/(s·V)
    typicalMotorResistance({ motorKv: si<'Ω'>(3) });
  });
});
