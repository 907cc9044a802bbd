import { describe, expect, it } from 'vitest';
import { standardGravity } from '../../../calc/constants.ts';
import { si } from '../../../calc/formula.ts';
import { cross } from '../../../calc/weight/cross.ts';
import { draws, expectNear, expectPower, numberOf } from '../../support/book.ts';

/** Gauss with pivoting; a general solver, so that the second method shares nothing with the formula. */
function solve(rows: number[][]): number[] {
  const n = rows.length;
  for (let column = 0; column < n; column += 1) {
    const pivot = rows
      .slice(column)
      .reduce((best, row, i) => (Math.abs(row[column]!) > Math.abs(rows[best]![column]!) ? i + column : best), column);
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    for (let r = 0; r < n; r += 1) {
      if (r === column) continue;
      const factor = rows[r]![column]! / rows[column]![column]!;
      for (let c = column; c <= n; c += 1) rows[r]![c]! -= factor * rows[column]![c]!;
    }
  }
  return rows.map((row, i) => row[n]! / row[i]!);
}

interface Corner {
  readonly x: number;
  readonly y: number;
  readonly rate: number;
  /** How far the corner's spring is screwed down, at the wheel. */
  readonly raised: number;
}
/** Loads (N) of a rigid plate on four springs: three balances for its height, pitch and roll, the loads are the springs' answers to them. */
function loads(corners: readonly Corner[], weight: number, at: { x: number; y: number }): number[] {
  // Load of a corner = rate × (raised − (height + x·pitch + y·roll)).
  const shapes = corners.map(({ x, y }) => [1, x, y]);
  const balance = [weight, weight * at.x, weight * at.y].map((moment, row) => [
    ...[0, 1, 2].map((column) => corners.reduce((sum, { rate }, i) => sum - rate * shapes[i]![row]! * shapes[i]![column]!, 0)),
    moment - corners.reduce((sum, { rate, raised }, i) => sum + rate * raised * shapes[i]![row]!, 0),
  ]);
  const attitude = solve(balance);
  return corners.map(({ rate, raised }, i) => rate * (raised - shapes[i]!.reduce((sum, shape, j) => sum + shape * attitude[j]!, 0)));
}

const draw = (between: (low: number, high: number) => number) => ({
  frontLeft: si<'kg'>(between(0.3, 1)),
  frontRight: si<'kg'>(between(0.3, 1)),
  rearLeft: si<'kg'>(between(0.5, 1.5)),
  rearRight: si<'kg'>(between(0.5, 1.5)),
  frontWheelRate: si<'N/m'>(between(100, 2000)),
  rearWheelRate: si<'N/m'>(between(100, 2000)),
  frontMotionRatio: si<'1'>(between(0.3, 1.2)),
  rearMotionRatio: si<'1'>(between(0.3, 1.2)),
  collarPitch: si<'m/rad'>(between(0.0005, 0.002) / (2 * Math.PI)),
});

describe('collar turns that level the cross share', () => {
  it('bring the diagonals of a rigid plate on four springs to the same load, from either end', () => {
    // Second method: the plate's equilibrium solved as a system of linear equations, before and after the collars are turned.
    const between = draws(41);
    for (let i = 0; i < 100; i += 1) {
      const inputs = draw(between);
      const { frontWheelRate, rearWheelRate } = inputs;
      const [length, halfTrack] = [between(0.2, 0.5), between(0.1, 0.2)];
      const start = [0.004, 0, 0, 0.001].map((raised) => raised * between(0.5, 3));
      const corners = (turned: readonly number[]): Corner[] => [
        { x: 0, y: halfTrack, rate: frontWheelRate, raised: start[0]! + turned[0]! },
        { x: 0, y: -halfTrack, rate: frontWheelRate, raised: start[1]! + turned[1]! },
        { x: -length, y: halfTrack, rate: rearWheelRate, raised: start[2]! + turned[2]! },
        { x: -length, y: -halfTrack, rate: rearWheelRate, raised: start[3]! + turned[3]! },
      ];
      const at = { x: -length * between(0.4, 0.7), y: halfTrack * (between(1, 1.2) - 1.1) };
      const weight = between(20, 40);
      const weighed = loads(corners([0, 0, 0, 0]), weight, at);
      expect(Math.min(...weighed)).toBeGreaterThan(0);
      const [frontLeft, frontRight, rearLeft, rearRight] = weighed.map((load) => si<'kg'>(load / standardGravity)) as [
        ReturnType<typeof si<'kg'>>,
        ReturnType<typeof si<'kg'>>,
        ReturnType<typeof si<'kg'>>,
        ReturnType<typeof si<'kg'>>,
      ];
      const answer = cross({ ...inputs, frontLeft, frontRight, rearLeft, rearRight });
      const crossLoad = (each: readonly number[]) => (each[1]! + each[2]! - each[0]! - each[3]!) / 2 / standardGravity;
      expectNear(answer.crossLoad, crossLoad(weighed), 1e-9);

      // A collar turned by n screws its spring by n·pitch, which raises the corner over the wheel by that over the motion ratio.
      const front = (answer.collarTurnsFront * inputs.collarPitch) / inputs.frontMotionRatio;
      const afterFront = loads(corners([front, -front, 0, 0]), weight, at);
      expect(Math.abs(crossLoad(afterFront))).toBeLessThan(1e-12);
      const rear = (answer.collarTurnsRear * inputs.collarPitch) / inputs.rearMotionRatio;
      const afterRear = loads(corners([0, 0, -rear, rear]), weight, at);
      expect(Math.abs(crossLoad(afterRear))).toBeLessThan(1e-12);
      // The axle shares and the left share stay: what one diagonal loses the other gains.
      expectNear(afterFront[0]! + afterFront[1]!, weighed[0]! + weighed[1]!, 1e-9);
      expectNear(afterRear[0]! + afterRear[2]!, weighed[0]! + weighed[2]!, 1e-9);

      const millimetre = 0.001;
      const moved = loads(corners([millimetre, -millimetre, 0, 0]), weight, at);
      expectNear(answer.warpRate, (moved[0]! - weighed[0]!) / millimetre, 1e-8);
    }
  });

  it('is the front right and rear left over half of the total', () => {
    // By hand: (605 + 901) − (612 + 605 + 901 + 896)/2 = −1 g.
    const inputs = draw(draws(42));
    const { crossLoad, collarTurnsFront } = cross({
      ...inputs,
      frontLeft: si(0.612),
      frontRight: si(0.605),
      rearLeft: si(0.901),
      rearRight: si(0.896),
    });
    expectNear(crossLoad, -0.001, 1e-9);
    expect(collarTurnsFront).toBeLessThan(0);
  });

  it('is nothing to do at 50 %', () => {
    const inputs = draw(draws(43));
    const level = cross({ ...inputs, frontLeft: si(0.5), frontRight: si(0.75), rearLeft: si(1), rearRight: si(1.25) });
    expect(level).toMatchObject({ crossLoad: 0, collarTurnsFront: 0, collarTurnsRear: 0, spacerFront: 0, spacerRear: 0 });
  });

  it('goes with the cross load and the motion ratio, one over the pitch, and one over both rates', () => {
    expectPower((inputs: ReturnType<typeof draw>) => cross(inputs).collarTurnsFront, draw, 'collarPitch', -1);
    expectPower((inputs: ReturnType<typeof draw>) => cross(inputs).collarTurnsRear, draw, 'collarPitch', -1);
    expectPower((inputs: ReturnType<typeof draw>) => cross(inputs).spacerFront, draw, 'collarPitch', 0);
    expectPower((inputs: ReturnType<typeof draw>) => cross(inputs).spacerFront, draw, 'frontMotionRatio', 1);
    expectPower((inputs: ReturnType<typeof draw>) => cross(inputs).spacerRear, draw, 'rearMotionRatio', 1);
    expectPower((inputs: ReturnType<typeof draw>) => cross(inputs).spacerRear, draw, 'frontMotionRatio', 0);
    const between = draws(44);
    for (let i = 0; i < 40; i += 1) {
      const inputs = draw(between);
      const once = cross(inputs);
      const stiffer = cross({ ...inputs, frontWheelRate: si(2 * inputs.frontWheelRate), rearWheelRate: si(2 * inputs.rearWheelRate) });
      expectNear(stiffer.collarTurnsFront, once.collarTurnsFront / 2, 1e-12);
      expectNear(stiffer.warpRate, 2 * once.warpRate, 1e-12);
      const { frontLeft, frontRight, rearLeft, rearRight } = inputs;
      const mirrored = cross({ ...inputs, frontLeft: frontRight, frontRight: frontLeft, rearLeft: rearRight, rearRight: rearLeft });
      expectNear(mirrored.collarTurnsRear, -numberOf(once.collarTurnsRear), 1e-12);
    }
  });

  it('takes the pitch of a thread per turn: a plain length does not compile', () => {
    const inputs = draw(draws(45));
    // @ts-expect-error a pitch is a length per turn
    expect(() => cross({ ...inputs, collarPitch: si<'m'>(0.001) })).not.toThrow();
  });
});
