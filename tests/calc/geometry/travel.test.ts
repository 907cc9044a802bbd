import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { travel } from '../../../calc/geometry/travel.ts';
import { DEG, drawn, known, near, refusal } from './check.ts';

interface Linkage extends Record<string, number> {
  arm: number;
  along: number;
  off: number;
  back: number;
  up: number;
}

/** The linkage as points in the plane, the arm at an angle: the way it is drawn on paper, without the law of cosines. */
const placed = ({ arm, along, off, back, up }: Linkage, angle: number) => {
  const axle = { x: arm * Math.cos(angle), y: arm * Math.sin(angle) };
  const eye = { x: along * Math.cos(angle) - off * Math.sin(angle), y: along * Math.sin(angle) + off * Math.cos(angle) };
  return { axle, eye, shock: Math.hypot(eye.x - back, eye.y - up) };
};

const asked = ({ arm, along, off, back, up }: Linkage, extended: number, compressed: number, ride?: number) =>
  travel({
    swingArm: si(arm),
    shockLowerAlong: si(along),
    shockLowerOff: si(off),
    shockUpperBack: si(back),
    shockUpperUp: si(up),
    shockExtended: si(extended),
    shockCompressed: si(compressed),
    shockRide: ride === undefined ? undefined : si(ride),
  });

const bounds = {
  arm: [0.15, 0.3],
  along: [0.05, 0.15],
  off: [-0.02, 0.02],
  back: [0.02, 0.12],
  up: [0.05, 0.15],
  droop: [-40 * DEG, -10 * DEG],
  stroke: [5 * DEG, 35 * DEG],
  part: [0.1, 0.9],
} as const;
type Draw = Linkage & { droop: number; stroke: number; part: number };

/** A truck's arm by common practice, no source: 200 mm arm, shock of 100 mm with 30 mm of stroke. */
const truck: Linkage = { arm: 0.2, along: 0.1, off: 0, back: 0.08, up: 0.06 };

describe('a trailing arm and its shock', () => {
  it('finds the arm angles from which the shock lengths were measured on a drawing', () => {
    // Second method: the linkage as points in the plane; distances between them are the shock's lengths.
    drawn<Draw>(bounds, (draw) => {
      const [droop, ride, bump] = [draw.droop, draw.droop + draw.part * draw.stroke, draw.droop + draw.stroke];
      const [atDroop, atRide, atBump] = [placed(draw, droop), placed(draw, ride), placed(draw, bump)];
      const answer = asked(draw, atDroop.shock, atBump.shock, atRide.shock);
      near(answer.armAngleDroop, droop, { abs: 1e-11 });
      near(answer.armAngleRide, ride, { abs: 1e-11 });
      near(answer.armAngleBump, bump, { abs: 1e-11 });
      near(answer.wheelTravel, atBump.axle.y - atDroop.axle.y, { rel: 1e-10 });
      near(answer.upTravel, atBump.axle.y - atRide.axle.y, { rel: 1e-9 });
      near(answer.downTravel, atRide.axle.y - atDroop.axle.y, { rel: 1e-9 });
      near(answer.wheelbaseChange, atBump.axle.x - atDroop.axle.x, { abs: 1e-11 });
    });
  });

  it('has the motion ratio that two drawings a hair apart give: shock movement over axle movement', () => {
    // Second method: differences between two drawings, 2 · 10⁻⁵ rad of the arm apart.
    drawn<Draw>(bounds, (draw) => {
      const [droop, ride, bump] = [draw.droop, draw.droop + draw.part * draw.stroke, draw.droop + draw.stroke];
      const measured = (angle: number): number => {
        const [low, high] = [placed(draw, angle - 1e-5), placed(draw, angle + 1e-5)];
        return (low.shock - high.shock) / (high.axle.y - low.axle.y);
      };
      const answer = asked(draw, placed(draw, droop).shock, placed(draw, bump).shock, placed(draw, ride).shock);
      near(answer.motionRatioDroop, measured(droop), { abs: 1e-8 });
      near(answer.motionRatioRide, measured(ride), { abs: 1e-8 });
      near(answer.motionRatioBump, measured(bump), { abs: 1e-8 });
    });
  });

  it('is the plain lever where the arm lies level and the shock stands upright on it: 80 of 200 mm give 0.4', () => {
    const answer = asked({ arm: 0.2, along: 0.08, off: 0, back: 0.08, up: 0.06 }, 0.07, 0.05, 0.06);
    near(answer.motionRatioRide, 0.4, { abs: 1e-14 });
    near(answer.armAngleRide, 0, { abs: 1e-14 });
  });

  it('has a plot whose area is the stroke of the shock, and whose ends are the ratios at droop and bump', () => {
    drawn<Draw>(bounds, (draw) => {
      const [extended, compressed] = [placed(draw, draw.droop).shock, placed(draw, draw.droop + draw.stroke).shock];
      const answer = asked(draw, extended, compressed);
      const { travelFromDroop: z, motionRatio: ratio } = answer.motionRatioPlot;
      const step = known(z[1]);
      // Second method: Simpson's rule, d(shock) = ratio · d(wheel).
      const area = ratio.reduce((sum, q, i) => sum + q * (i === 0 || i === ratio.length - 1 ? 1 : i % 2 ? 4 : 2), 0) * (step / 3);
      near(area, extended - compressed, { rel: 1e-5 });
      near(z[0], 0, { abs: 1e-18 });
      near(z.at(-1), answer.wheelTravel, { rel: 1e-12 });
      near(ratio[0], answer.motionRatioDroop, { rel: 1e-9 });
      near(ratio.at(-1), answer.motionRatioBump, { rel: 1e-9 });
    });
  });

  it('takes, of the two ways to assemble it, the one where raising the axle shortens the shock', () => {
    // Upper eye 80 mm behind and 10 mm above the pivot: a shock of 60 mm fits below it and above it, mirrored in the line from the pivot.
    const low: Linkage = { ...truck, up: 0.01 };
    const { armAngleDroop } = asked(low, 0.06, 0.05);
    const mirrored = 2 * Math.atan2(0.01, 0.08) - armAngleDroop;
    near(placed(low, armAngleDroop).shock, 0.06, { rel: 1e-12 });
    near(placed(low, mirrored).shock, 0.06, { rel: 1e-12 });
    expect(Math.abs(mirrored)).toBeLessThan(60 * DEG);
    expect(placed(low, armAngleDroop + 0.01).shock).toBeLessThan(0.06);
    expect(placed(low, mirrored + 0.01).shock).toBeGreaterThan(0.06);
  });

  it('leaves out what belongs to ride height when the shock at ride was not measured', () => {
    const answer = asked(truck, 0.1, 0.07);
    expect([answer.motionRatioRide, answer.upTravel, answer.downTravel, answer.armAngleRide]).toEqual([
      undefined,
      undefined,
      undefined,
      undefined,
    ]);
    near(answer.wheelTravel, asked(truck, 0.1, 0.07, 0.08).wheelTravel, { rel: 1e-15 });
  });

  it('gives a longer shock more down travel and the same up travel, from one ride height', () => {
    const [short, long] = [asked(truck, 0.095, 0.07, 0.082), asked(truck, 0.1, 0.07, 0.082)];
    expect(known(long.downTravel)).toBeGreaterThan(known(short.downTravel) + 0.008);
    near(long.upTravel, known(short.upTravel), { rel: 1e-12 });
  });

  it('doubles its travel and keeps ratios and angles when every length is doubled', () => {
    drawn<Draw>(bounds, (draw) => {
      const [extended, compressed] = [placed(draw, draw.droop).shock, placed(draw, draw.droop + draw.stroke).shock];
      const one = asked(draw, extended, compressed);
      const two = asked(
        { arm: 2 * draw.arm, along: 2 * draw.along, off: 2 * draw.off, back: 2 * draw.back, up: 2 * draw.up },
        2 * extended,
        2 * compressed,
      );
      near(two.wheelTravel, 2 * one.wheelTravel, { rel: 1e-10 });
      near(two.motionRatioDroop, one.motionRatioDroop, { rel: 1e-10 });
      near(two.armAngleBump, one.armAngleBump, { abs: 1e-10 });
    });
  });

  it('moves a wheel on a longer arm more, by the ratio of the arms, with the same shock', () => {
    drawn<Draw>(bounds, (draw) => {
      const [extended, compressed] = [placed(draw, draw.droop).shock, placed(draw, draw.droop + draw.stroke).shock];
      const [one, longer] = [asked(draw, extended, compressed), asked({ ...draw, arm: 1.5 * draw.arm }, extended, compressed)];
      near(longer.wheelTravel, 1.5 * one.wheelTravel, { rel: 1e-10 });
      near(longer.motionRatioBump, one.motionRatioBump / 1.5, { rel: 1e-10 });
    });
  });

  it('stands still at the shock where the pivot and both eyes come into one line', () => {
    // Lower eye 60 mm from the pivot, at 0.5 rad below the arm line; upper eye 80 mm straight up: 140 mm apart where the lower one points straight down.
    const reach = 0.06 + 0.08;
    const answer = asked({ arm: 0.2, along: 0.06 * Math.cos(0.5), off: -0.06 * Math.sin(0.5), back: 0, up: 0.08 }, reach, 0.12);
    near(answer.motionRatioDroop, 0, { abs: 1e-7 });
    near(answer.armAngleDroop, 0.5 - 90 * DEG, { abs: 1e-7 });
  });
});

describe('a linkage that cannot close says which length is at fault', () => {
  it('the extended shock is too long for its mounts', () => {
    // Pivot to eyes 100 mm and 100 mm: 200 mm apart at most.
    expect(refusal(() => asked(truck, 0.2001, 0.07))).toEqual({
      input: 'shockExtended',
      says: 'the extended shock is too long, its eyes can stand 200 mm apart at most',
    });
  });
  it('the compressed shock is too short for its mounts', () => {
    // 140 and 100 mm from the pivot: never nearer than 40 mm.
    expect(refusal(() => asked({ ...truck, along: 0.14 }, 0.1, 0.03))).toEqual({
      input: 'shockCompressed',
      says: 'the compressed shock is too short, its eyes come no nearer than 40 mm',
    });
  });
  it('the extended shock itself is too short for its mounts', () => {
    expect(refusal(() => asked({ ...truck, along: 0.14 }, 0.035, 0.03))).toEqual({
      input: 'shockExtended',
      says: 'the extended shock is too short, its eyes come no nearer than 40 mm',
    });
  });
  it('rounds a limit to the side on which it still works', () => {
    const reach = 0.1 + Math.hypot(0.0813, 0.06);
    const { says } = refusal(() => asked({ ...truck, back: 0.0813 }, 0.25, 0.07));
    const limit = Number(/stand ([\d.]+) mm/.exec(says)?.[1]) / 1000;
    expect(limit).toBeLessThanOrEqual(reach);
    expect(limit).toBeGreaterThan(reach - 0.0001);
  });
  it('the extended shock lets the arm hang past straight down', () => {
    // Straight down, the lower eye is 80 mm ahead of and 160 mm below the upper one: √(80² + 160²) = 178.885 mm.
    expect(asked(truck, 0.17888, 0.07).armAngleDroop).toBeGreaterThan(-90 * DEG);
    expect(refusal(() => asked(truck, 0.17889, 0.07))).toEqual({
      input: 'shockExtended',
      says: 'the extended shock is too long, the arm would hang past straight down',
    });
  });
  it('the compressed shock lets the arm swing past straight up', () => {
    // The upper eye 80 mm straight above and 20 mm ahead of the pivot: a short shock pulls the arm over the top.
    expect(refusal(() => asked({ arm: 0.2, along: 0.06, off: 0, back: -0.02, up: 0.08 }, 0.09, 0.025))).toEqual({
      input: 'shockCompressed',
      says: 'the compressed shock is too short, the arm would swing past straight up',
    });
  });
  it('the compressed shock would take the arm over the top and down again on the other side', () => {
    // Upper eye 80 mm from the pivot, ahead and 10° below level: from 80° the arm would come round to nearly 190°.
    const far: Linkage = { arm: 0.2, along: 0.08, off: 0, back: -0.08 * Math.cos(10 * DEG), up: -0.08 * Math.sin(10 * DEG) };
    expect(refusal(() => asked(far, placed(far, 80 * DEG).shock, 0.001)).input).toBe('shockCompressed');
  });
  it('even the extended shock holds the arm past straight up', () => {
    expect(refusal(() => asked({ arm: 0.2, along: 0.06, off: 0, back: -0.04, up: 0.08 }, 0.043, 0.04))).toEqual({
      input: 'shockExtended',
      says: 'the extended shock is too short, the arm would stand past straight up even at full droop',
    });
  });
  it('the compressed shock is as long as the extended one', () => {
    expect(refusal(() => asked(truck, 0.08, 0.08)).input).toBe('shockExtended');
  });
  it('the shock at ride is longer than extended, or shorter than compressed', () => {
    expect(refusal(() => asked(truck, 0.1, 0.07, 0.101))).toEqual({
      input: 'shockRide',
      says: 'the shock at ride is longer than extended',
    });
    expect(refusal(() => asked(truck, 0.1, 0.07, 0.069))).toEqual({
      input: 'shockRide',
      says: 'the shock at ride is shorter than compressed',
    });
  });
  it('a mount on the pivot itself, where no shock can move', () => {
    expect(refusal(() => asked({ ...truck, back: 0, up: 0 }, 0.11, 0.07)).input).toBe('shockExtended');
    expect(refusal(() => asked({ ...truck, back: 0, up: 0 }, 0.1, 0.07)).input).toBe('shockCompressed');
  });
});

it('does not compile with an arm in kilograms', () => {
  const wrong = si<'kg'>(0.5);
  // @ts-expect-error: a mass is no length
  const given: Parameters<typeof travel>[0]['swingArm'] = wrong;
  expect(given).toBe(0.5);
});
