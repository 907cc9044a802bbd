import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { joint } from '../../../calc/geometry/joint.ts';
import { DEG, drawn, halved, known, near, refusal } from './check.ts';

const at = (degrees: number) => joint({ jointAngle: si(degrees * DEG) });
const shaft = (droop?: number, ride?: number, bump?: number, least?: number, most?: number) => {
  const given = (value: number | undefined) => (value === undefined ? undefined : si<'m'>(value));
  return joint({
    jointAngle: si(0.1),
    shaftDroop: given(droop),
    shaftRide: given(ride),
    shaftBump: given(bump),
    sliderMin: given(least),
    sliderMax: given(most),
  });
};

describe('one Hooke joint', () => {
  it.each([
    // J. Carvill, Mechanical Engineer's Data Handbook, sec. 2.4.3, and Machinery's Handbook, table of universal joint speeds; computed by a second method.
    [5, 0.99619, 1.00382],
    [10, 0.98481, 1.01543],
    [20, 0.93969, 1.06418],
    [25, 0.90631, 1.10338],
    [30, 0.86603, 1.1547],
  ])('at %i° runs between %f and %f of the driving speed', (degrees, least, most) => {
    near(at(degrees).ratioMin, least, { abs: 5.5e-6 });
    near(at(degrees).ratioMax, most, { abs: 5.5e-6 });
    near(at(degrees).fluctuation, most - least, { abs: 1.1e-5 });
  });

  it('may stand at 20.67° for 200 rpm of fluctuation at 1500 rpm, running between 1403 and 1603 rpm', () => {
    // Theory-of-machines exercise, printed values seen (20.67°, 1603.25 and 1403.39 rpm); recomputed 20.68°, 1603.33 and 1403.33 rpm.
    const angle = halved((degrees) => at(degrees).fluctuation - 200 / 1500, 1, 60);
    near(angle, 20.67, { abs: 0.25 });
    near(angle, 20.682314747517438, { rel: 1e-9 });
    near(1500 * at(angle).ratioMax, 1603.25, { abs: 0.25 });
    near(1500 * at(angle).ratioMin, 1403.39, { abs: 0.25 });
  });

  it('may stand at 16.42° for 100 rpm of fluctuation at 1200 rpm', () => {
    // The same exercise; its page says 16.2°, but arccos 0.95920 is 16.42°; computed by a second method.
    near(
      halved((degrees) => at(degrees).fluctuation - 100 / 1200, 1, 60),
      16.42,
      { abs: 0.006 },
    );
  });

  it('runs at the driving speed at 44.3° of the driving fork when it stands at 18°', () => {
    // Khurmi & Gupta, Theory of Machines, ch. 9, cos² θ = 1/(1 + cos α): printed value from memory, recomputed (44.281274215977376°).
    const { driveAngle, ratio } = at(18).halfTurn;
    const after = ratio.findIndex((q) => q < 1);
    const [q0, q1] = [known(ratio[after - 1]), known(ratio[after])];
    const found = (known(driveAngle[after - 1]) + (known(driveAngle[after]) - known(driveAngle[after - 1])) * ((q0 - 1) / (q0 - q1))) / DEG;
    near(found, 44.3, { abs: 0.06 });
    near(found, 44.281274215977376, { abs: 2e-3 });
  });

  it('speeds up by at most 3090 rad/s² at 1500 rpm and 20°, 371 N·m for a flywheel of 12 kg and 0.1 m', () => {
    // Khurmi & Gupta, Theory of Machines, ch. 9 (shafts at 160°): printed values from memory, recomputed (3083.4 rad/s², 370.0 N·m).
    // The slope of the half turn's curve, between neighbouring degrees, times the driving speed squared.
    const { driveAngle, ratio } = at(20).halfTurn;
    const slopes = ratio.slice(1).map((q, i) => (q - known(ratio[i])) / (known(driveAngle[i + 1]) - known(driveAngle[i])));
    const acceleration = Math.max(...slopes) * ((1500 * 2 * Math.PI) / 60) ** 2;
    near(acceleration, 3090, { rel: 0.004 });
    near(acceleration, 3083.4020302783433, { rel: 1e-3 });
    near(12 * 0.1 ** 2 * acceleration, 371, { rel: 0.004 });
  });

  it('turns as two forks on a cross do, built up in space', () => {
    drawn<{ angle: number }>({ angle: [-60 * DEG, 60 * DEG] }, ({ angle }) => {
      const { driveAngle, ratio } = joint({ jointAngle: si(angle) }).halfTurn;
      const [c, s] = [Math.cos(angle), Math.sin(angle)];
      // Driving shaft along x; driven along (c, s, 0). The driven fork is square to its shaft and to the driving fork (0, cos τ, sin τ).
      const driven = (turn: number): number => {
        const [y, z] = [Math.cos(turn), Math.sin(turn)];
        const fork = [s * z, -c * z, c * y] as const;
        return Math.atan2(-s * fork[0] + c * fork[1], fork[2]);
      };
      for (const i of [0, 20, 45, 90, 133, 180]) {
        const turn = known(driveAngle[i]);
        const step = driven(turn + 1e-5) - driven(turn - 1e-5);
        const around = Math.abs(Math.atan2(Math.sin(step), Math.cos(step)));
        near(ratio[i], around / 2e-5, { rel: 1e-7 });
      }
    });
  });

  it('is fastest with the driving fork in the plane of the shafts, slowest a quarter turn on, and never gains a turn', () => {
    drawn<{ degrees: number }>({ degrees: [0, 60] }, ({ degrees }) => {
      const answer = at(degrees);
      near(answer.halfTurn.ratio[0], answer.ratioMax, { rel: 1e-12 });
      near(answer.halfTurn.ratio[90], answer.ratioMin, { rel: 1e-12 });
      near(answer.ratioMax * answer.ratioMin, 1, { rel: 1e-12 });
      near(answer.fluctuation, answer.ratioMax - answer.ratioMin, { rel: 1e-9, abs: 1e-12 });
      // The mean over half a turn, by the trapezium rule, which is all but exact for a curve that repeats.
      const { ratio } = answer.halfTurn;
      near(ratio.slice(1).reduce((sum, q) => sum + q, 0) / 180, 1, { rel: 1e-9 });
    });
  });
});

describe('two Hooke joints in one shaft', () => {
  it('phased right at 20° each cancel; phased wrong they would square the unevenness, 0.883 to 1.132', () => {
    // Two Hooke's joints in series: computed by a second method (1, 1, 0.8830222, 1.1324743).
    const answer = joint({ jointAngle: si(20 * DEG), secondJointAngle: si(20 * DEG) });
    near(answer.remainingRatioMax, 1, { abs: 1e-12 });
    near(answer.ratioMin ** 2, 0.8830222215594891, { rel: 1e-7 });
    near(answer.ratioMax ** 2, 1.1324743314317942, { rel: 1e-7 });
  });

  it('leave what the two turned one after the other leave, whichever of them stands steeper', () => {
    drawn<{ one: number; two: number }>({ one: [-50 * DEG, 50 * DEG], two: [-50 * DEG, 50 * DEG] }, ({ one, two }) => {
      // tan(out) = tan(in)·cos for each joint, the second the other way round: speed ratio at a quarter-turn grid, the greatest of them.
      const through = (turn: number): number => Math.atan2(Math.sin(turn) * Math.cos(one), Math.cos(turn) * Math.cos(two));
      const speeds = Array.from({ length: 90 }, (_, i) => (through(i * DEG + 1e-5) - through(i * DEG - 1e-5)) / 2e-5);
      const most = Math.max(...speeds, (through(90 * DEG + 1e-5) - through(90 * DEG - 1e-5)) / 2e-5);
      near(joint({ jointAngle: si(one), secondJointAngle: si(two) }).remainingRatioMax, most, { rel: 1e-7 });
      near(joint({ jointAngle: si(two), secondJointAngle: si(one) }).remainingRatioMax, most, { rel: 1e-7 });
    });
  });

  it('say nothing of two when there is one', () => {
    expect(at(20).remainingRatioMax).toBeUndefined();
  });
});

describe('the shaft between the joints', () => {
  it('plunges by the difference of its longest and shortest, which may be at ride', () => {
    near(shaft(0.082, 0.079, 0.081).plunge, 0.003, { rel: 1e-12 });
    near(shaft(0.082, undefined, 0.081).plunge, 0.001, { rel: 1e-12 });
  });

  it('has no plunge and no fit to tell from a single length', () => {
    expect(shaft(0.082).plunge).toBeUndefined();
    expect(shaft(undefined, 0.08, undefined, 0.07, 0.09).plunge).toBeUndefined();
    expect(shaft(undefined, 0.08, undefined, 0.07, 0.09).sliderFits).toBeUndefined();
  });

  it('fits when every length lies within the slider, ends included', () => {
    expect(shaft(0.082, 0.079, 0.08, 0.079, 0.082).sliderFits).toBe(true);
    expect(shaft(0.082, 0.079, 0.08, 0.0791, 0.09).sliderFits).toBe(false);
    expect(shaft(0.082, 0.079, 0.08, 0.07, 0.0819).sliderFits).toBe(false);
    expect(shaft(0.082, 0.079, 0.08, 0.07).sliderFits).toBeUndefined();
    expect(shaft(0.082, 0.079, 0.08, undefined, 0.09).sliderFits).toBeUndefined();
  });

  it('is refused when the slider is longest below its shortest', () => {
    expect(refusal(() => shaft(0.08, 0.08, 0.08, 0.09, 0.07))).toEqual({
      input: 'sliderMax',
      says: "the slider's longest is not above its shortest",
    });
  });
});

it('does not compile with an angle in metres', () => {
  const wrong = si<'m'>(0.5);
  // @ts-expect-error: a length is no angle
  const given: Parameters<typeof joint>[0]['jointAngle'] = wrong;
  expect(given).toBe(0.5);
});
