import { describe, expect, it } from 'vitest';
import { si } from '../../../calc/formula.ts';
import { beam } from '../../../calc/geometry/beam.ts';
import { DEG, drawn, halved, near, refusal } from './check.ts';

interface Draw extends Record<string, number> {
  length: number;
  pivot: number;
  wheel: number;
  across: number;
  bump: number;
  droop: number;
}
const bounds = {
  length: [0.1, 0.3],
  pivot: [0.02, 0.1],
  wheel: [0.03, 0.07],
  across: [-0.05, 0.1],
  bump: [0.001, 0.04],
  droop: [0.001, 0.04],
} as const;
const asked = ({ length, pivot, wheel, across, bump, droop }: Draw) =>
  beam({
    beamLength: si(length),
    pivotHeight: si(pivot),
    wheelRadius: si(wheel),
    pivotAcross: si(across),
    bump: si(bump),
    droop: si(droop),
  });

/** Beam, wheel and contact point as one rigid piece, turned about the pivot until the wheel centre has moved up by `move`. */
const turned = ({ length, pivot, wheel }: Draw, move: number): { camber: number; sideways: number } => {
  const [x, y] = [length, wheel - pivot];
  const tilt = halved((angle) => x * Math.sin(angle) + y * Math.cos(angle) - y - move, -1.2, 1.2);
  // The contact point lies at (length, −pivot) from the pivot at ride and turns with the piece.
  return { camber: -tilt, sideways: length * Math.cos(tilt) + pivot * Math.sin(tilt) - length };
};

const truck: Draw = { length: 0.2, pivot: 0.06, wheel: 0.05, across: -0.03, bump: 0.03, droop: 0.04 };

describe('a wheel on a swing beam', () => {
  it('has the camber and track of beam and wheel turned about the pivot as one piece', () => {
    drawn<Draw>(bounds, (draw) => {
      const answer = asked(draw);
      const [bumped, drooped] = [turned(draw, draw.bump), turned(draw, -draw.droop)];
      near(answer.camberBump, bumped.camber, { abs: 1e-12 });
      near(answer.camberDroop, drooped.camber, { abs: 1e-12 });
      near(answer.halfTrackChangeBump, bumped.sideways, { abs: 1e-13 });
      near(answer.halfTrackChangeDroop, drooped.sideways, { abs: 1e-13 });
    });
  });

  it('leans its top inward by 30° when a beam of 200 mm, pivot at wheel height, rises by 100 mm', () => {
    // sin 30° = 1/2: closed form. Contact point: 200·cos 30° + 50·sin 30° − 200 mm.
    const answer = asked({ ...truck, pivot: 0.05, bump: 0.1, droop: 0.1 });
    near(answer.camberBump, -30 * DEG, { abs: 1e-14 });
    near(answer.camberDroop, 30 * DEG, { abs: 1e-14 });
    near(answer.halfTrackChangeBump, 0.2 * Math.cos(30 * DEG) + 0.025 - 0.2, { abs: 1e-15 });
    near(answer.halfTrackChangeDroop, 0.2 * Math.cos(30 * DEG) - 0.025 - 0.2, { abs: 1e-15 });
  });

  it('has its roll centre where the line from the contact point through the pivot crosses the middle of the truck', () => {
    // Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (swing axle): the line through two points, taken at the centre line.
    drawn<Draw>(bounds, (draw) => {
      const contact = draw.across + draw.length;
      const slope = (draw.pivot - 0) / (draw.across - contact);
      near(asked(draw).rollCentreHeight, slope * (0 - contact), { rel: 1e-12 });
    });
  });

  it('has the pivot height for a roll centre when the beam is pivoted on the centre line', () => {
    near(asked({ ...truck, across: 0 }).rollCentreHeight, truck.pivot, { rel: 1e-15 });
  });

  it('neither leans nor moves sideways without bump and droop', () => {
    const answer = asked({ ...truck, bump: 0, droop: 0 });
    for (const value of [answer.camberBump, answer.camberDroop, answer.halfTrackChangeBump, answer.halfTrackChangeDroop])
      expect(Math.abs(value)).toBe(0);
  });

  it('keeps its digits for a bump of a tenth of a millimetre: the track widens by pivot height over beam length of it', () => {
    // First order of the rigid turn: dx = pivot height · tilt, tilt = move/length.
    near(asked({ ...truck, bump: 1e-9 }).halfTrackChangeBump, (truck.pivot / truck.length) * 1e-9, { rel: 1e-7 });
  });

  it('keeps its camber and doubles its track change when every length is doubled', () => {
    drawn<Draw>(bounds, (draw) => {
      const [one, two] = [
        asked(draw),
        asked(Object.fromEntries(Object.entries(draw).map(([name, value]) => [name, 2 * value])) as unknown as Draw),
      ];
      near(two.camberBump, one.camberBump, { rel: 1e-12 });
      near(two.halfTrackChangeDroop, 2 * one.halfTrackChangeDroop, { rel: 1e-9, abs: 1e-15 });
      near(two.rollCentreHeight, 2 * one.rollCentreHeight, { rel: 1e-12 });
    });
  });

  it('is refused when the beam is too short for the bump or the droop', () => {
    expect(refusal(() => asked({ ...truck, bump: 0.22 }))).toEqual({ input: 'bump', says: 'the beam is too short for that much bump' });
    expect(refusal(() => asked({ ...truck, droop: 0.22 }))).toEqual({ input: 'droop', says: 'the beam is too short for that much droop' });
  });

  it('is refused when the pivot lies so far across that the wheel is on the other side', () => {
    expect(refusal(() => asked({ ...truck, across: -0.2 })).input).toBe('pivotAcross');
  });
});

it('does not compile with a bump in degrees', () => {
  const wrong = si<'rad'>(0.5);
  // @ts-expect-error: an angle is no length
  const given: Parameters<typeof beam>[0]['bump'] = wrong;
  expect(given).toBe(0.5);
});
