import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { sprungMass } from '../../../calc/springs/sprung-mass.ts';
import { draws, expectNear } from '../../support/book.ts';

describe('sprung mass of one corner', () => {
  it('is what the scale reads without wheel, tyre, hub and their share of the arm', () => {
    // 899 g on the scale, 210 g of them unsprung: 689 g, by hand.
    expectNear(sprungMass({ cornerLoad: si(0.899), unsprungMass: si(0.21) }), 0.689);
  });

  it('adds up again, and loses a gram for each gram that is put on below the spring', () => {
    const between = draws(131);
    for (let i = 0; i < 40; i += 1) {
      const unsprung = between(0.05, 0.4);
      const load = unsprung + between(0.1, 3);
      const sprung = sprungMass({ cornerLoad: si(load), unsprungMass: si(unsprung) });
      expectNear(sprung + unsprung, load);
      expectNear(sprungMass({ cornerLoad: si(load), unsprungMass: si(unsprung + 0.001) }), sprung - 0.001, 1e-9);
    }
  });

  it('is refused by name when the unsprung mass is as much as the scale reads', () => {
    for (const unsprung of [0.5, 0.6])
      expect(() => sprungMass({ cornerLoad: si(0.5), unsprungMass: si(unsprung) })).toThrow(
        expect.objectContaining({ name: 'DomainError', input: 'unsprungMass' }),
      );
  });

  it('takes masses, as scales read them: newtons do not compile', () => {
    // @ts-expect-error a corner load is read in mass
    const wrong = () => sprungMass({ cornerLoad: si<'N'>(8.8), unsprungMass: si(0.2) });
    expect(wrong).toBeTypeOf('function');
  });
});
