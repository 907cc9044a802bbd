import { describe, expect, it } from 'vitest';
import { sureAnswer } from '../../templates/sure.ts';
import { resultText } from '../../templates/text.ts';
import type { Answer } from '../../worksheets/engine/types.ts';
import { topSpeed } from '../support/sample-answers.ts';

const speed = (uncertainty: number, u: number | null): Answer => ({
  ...topSpeed,
  readings: [{ ...topSpeed.readings[0]!, value: 331, uncertainty: u }],
  answers: [{ ...topSpeed.answers[0]!, value: 47.75021, unit: 'km/h', uncertainty }],
  next: ['It runs ', { value: 47.75021, unit: 'km/h', uncertainty }],
});
const shown = (answer: Answer): number | null => sureAnswer(answer).answers[0]!.uncertainty;

describe('a ± that the last digits of other readings outweigh', () => {
  const of = (uncertainty: number, partial: boolean, u: number | null): Answer => {
    const answer = speed(uncertainty, u);
    return { ...answer, answers: [{ ...answer.answers[0]!, ...(partial ? { partial } : {}) }] };
  };
  it('is not shown', () => {
    expect(shown(of(0.1, true, null))).toBeNull();
    expect(shown(of(0.1, true, 0.1))).toBeNull();
    expect(shown(of(0.1, false, null))).toBe(0.1);
    expect(shown(of(0, true, null))).toBeNull();
    const coarse = { ...speed(0.1, 0.5), readings: [{ ...topSpeed.readings[0]!, value: 331, uncertainty: 0.5, partial: true }] };
    expect(sureAnswer(coarse).readings[0]!.uncertainty).toBeNull();
  });
});

describe('a ± that counts only a few of the readings', () => {
  it('is not shown where it would claim a part in 5000, and the number is rounded as one without', () => {
    expect(shown(speed(0.00028, null))).toBeNull();
    expect(resultText(speed(0.00028, null), { for: 'terminal' })).toMatch(/47\.75 km\/h(?! ±)/);
    expect(resultText(speed(0.00028, null), { for: 'terminal' })).not.toMatch(/47\.750/);
  });
  it('is shown where it is coarse, where every reading carries one, and where it says that a number is exact', () => {
    expect(shown(speed(0.02, null))).toBe(0.02);
    expect(shown(speed(0.00028, 0.1))).toBe(0.00028);
    expect(shown(speed(0, null))).toBe(0);
  });
});
