import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('hop');
const corner = { unsprung_mass: '230', sprung_mass: '669', wheel_rate: '0.34', tyre_rate: '2.9' };

describe('hop: a wheel between spring and tyre', () => {
  it('finds both frequencies at which the two masses can swing: the determinant is zero', () => {
    const between = draws(31);
    for (let i = 0; i < 40; i += 1) {
      const [wheel, body, spring, tyre] = [between(50, 500), between(200, 1500), between(0.05, 2), between(0.5, 20)];
      const answer = sheet.answer({ unsprung_mass: wheel, sprung_mass: body, wheel_rate: spring, tyre_rate: tyre });
      for (const name of ['hop_frequency', 'body_frequency']) {
        const omega2 = (2 * Math.PI * numberOf(answer, name)) ** 2;
        // (k + t − u ω²)(k − m ω²) = k², the two sides of a quarter-car.
        const left = (1000 * (spring + tyre) - (wheel / 1000) * omega2) * (1000 * spring - (body / 1000) * omega2);
        expectNear(left, (1000 * spring) ** 2, 1e-6);
      }
      expect(numberOf(answer, 'hop_frequency')).toBeGreaterThan(numberOf(answer, 'body_frequency'));
    }
  });

  it('is near the wheel alone on both springs, as the chassis books reckon it, and below the body on its spring alone', () => {
    const answer = sheet.answer(corner);
    // Gillespie, Fundamentals of Vehicle Dynamics, ch. 5: ω ≈ √((k + t)/u) for the axle; the body on k and t in series.
    expectNear(numberOf(answer, 'hop_frequency'), Math.sqrt(3240 / 0.23) / (2 * Math.PI), 0.01);
    expectNear(numberOf(answer, 'body_frequency'), Math.sqrt((340 * 2900) / 3240 / 0.669) / (2 * Math.PI), 0.01);
    expectNear(numberOf(answer, 'unsprung_share'), (100 * 230) / 899, 1e-12);
  });

  it('carries the ± of a pressed tyre', () => {
    const answer = sheet.answer({ ...corner, tyre_rate: '2.9 ± 0.3' });
    const at = (tyre_rate: number): number => numberOf(sheet.answer({ ...corner, tyre_rate }), 'hop_frequency');
    expectNear(answerOf(answer, 'hop_frequency').uncertainty, (2 * 0.3 * (at(2.91) - at(2.89))) / 0.02 / Math.sqrt(3), 1e-4);
    expect(answerOf(answer, 'unsprung_share').uncertainty).toBeNull();
  });

  it('names the end it speaks of', () => {
    expect(sheet.answer(corner, 'rear').end).toBe('rear');
    expect(sheet.sheet.ends).toBe(true);
  });

  it('sends for a lighter wheel where the two swings stand close, and wonders at a tyre softer than the spring', () => {
    expect(nextOf(sheet.answer({ ...corner, unsprung_mass: '700', tyre_rate: '1' }))).toContain('Take weight off wheel and arm');
    expect(nextOf(sheet.answer(corner))).toContain('Ask whoops next');
    expect(cautionsOf(sheet.answer({ ...corner, tyre_rate: '0.2' })).join()).toContain('softer than the spring');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
