import { describe, expect, it } from 'vitest';
import { absent, si } from '../../../calc/formula.ts';
import { toe } from '../../../calc/geometry/toe.ts';
import { DEG, drawn, MM, near } from './check.ts';

type Row = readonly [height: number, ahead: number, behind: number];
const asked = (rows: readonly Row[], gauge = 0.1) =>
  toe({
    toePoints: rows.map(([height, gapAhead, gapBehind]) => ({ height: si(height), gapAhead: si(gapAhead), gapBehind: si(gapBehind) })),
    gaugeDiameter: si(gauge),
  });

describe('toe from the gaps ahead and behind', () => {
  it('is 45° when the gap opens by twice the gauge diameter', () => {
    // By hand: (300 − 100)/(2 · 100 mm) = 1, the tangent of 45°.
    near(asked([[0, 0.1, 0.3]]).toe, 45 * DEG, { abs: 1e-15 });
  });

  it('is toe-in, positive, when the wheels stand nearer ahead, and the same toe-out the other way round', () => {
    drawn<{ ahead: number; behind: number; gauge: number }>({ ahead: [0.2, 0.21], behind: [0.2, 0.21], gauge: [0.05, 0.15] }, (d) => {
      const answer = asked([[0, d.ahead, d.behind]], d.gauge).toe;
      expect(Math.sign(answer)).toBe(Math.sign(d.behind - d.ahead));
      near(asked([[0, d.behind, d.ahead]], d.gauge).toe, -answer, { abs: 1e-16 });
      near(asked([[0, 2 * d.ahead, 2 * d.behind]], 2 * d.gauge).toe, answer, { abs: 1e-14 });
    });
  });

  it('finds the angle by which two drawn wheels were turned in, to 0.1 % of it up to 2°', () => {
    // Second method: two drawn wheels. Gauge points of a wheel turned by t stand d/2·sin t further in: a gap of track − d·sin t ahead,
    // track + d·sin t behind. Toe-in is positive (ISO 8855).
    drawn<{ t: number; track: number }>({ t: [-2 * DEG, 2 * DEG], track: [0.2, 0.3] }, ({ t, track }) => {
      near(asked([[0, track - 0.1 * Math.sin(t), track + 0.1 * Math.sin(t)]]).toe, t, { rel: 1e-3, abs: 1e-12 });
    });
  });

  it('is taken at the point nearest ride height, and at the first listed of two as near', () => {
    const [low, mid, high]: Row[] = [
      [-0.02, 0.2, 0.201],
      [0.003, 0.2, 0.202],
      [0.02, 0.2, 0.203],
    ];
    near(asked([low!, mid!, high!]).toe, Math.atan(0.01), { rel: 1e-12 });
    near(asked([high!, low!]).toe, Math.atan(0.015), { rel: 1e-12 });
    near(asked([low!, high!]).toe, Math.atan(0.005), { rel: 1e-12 });
  });
});

describe('bump steer', () => {
  it('is the slope through the points: half a degree of toe-in over 10 mm of bump', () => {
    const gap = (degrees: number): number => 0.2 + 0.2 * Math.tan(degrees * DEG);
    const answer = asked([
      [-10 * MM, 0.2, gap(-0.5)],
      [0, 0.2, gap(0)],
      [10 * MM, 0.2, gap(0.5)],
    ]);
    near(answer.bumpSteer, (0.5 * DEG) / (10 * MM), { rel: 1e-9 });
  });

  it('agrees with the normal equations written out, on scattered points', () => {
    // Second method: the normal equations as JCGM 100:2008 has them, H.13a and H.13b, sums written out.
    drawn<Record<string, number>>(Object.fromEntries([1, 2, 3, 4, 5].map((i) => [`b${i}`, [0.198, 0.204] as const])), (d) => {
      const rows = Object.values(d).map((behind, i): Row => [(i - 1.7) * 0.01, 0.2, behind]);
      const points = rows.map(([height, ahead, behind]) => [height, Math.atan((behind - ahead) / 0.2)] as const);
      const sum = (of: (x: number, y: number) => number): number => points.reduce((total, [x, y]) => total + of(x, y), 0);
      const [n, x, y, xx, xy] = [points.length, sum((a) => a), sum((_, b) => b), sum((a) => a * a), sum((a, b) => a * b)];
      near(asked(rows).bumpSteer, (n * xy - x * y) / (n * xx - x * x), { rel: 1e-9, abs: 1e-12 });
    });
  });

  it('is absent with one point, and with several at one height', () => {
    expect(asked([[0, 0.2, 0.201]]).bumpSteer).toEqual(absent('one point'));
    expect(
      asked([
        [0.01, 0.2, 0.201],
        [0.01, 0.2, 0.203],
      ]).bumpSteer,
    ).toEqual(absent('one height'));
  });

  it('halves when the same toe change takes twice the height', () => {
    const rows: Row[] = [
      [-0.02, 0.2, 0.201],
      [0, 0.2, 0.2015],
      [0.03, 0.2, 0.203],
    ];
    const [one, spread] = [asked(rows), asked(rows.map(([height, ahead, behind]): Row => [2 * height, ahead, behind]))];
    near(spread.bumpSteer, (one.bumpSteer as number) / 2, { rel: 1e-12 });
  });

  it('has a plot in rising order of height, whatever the order of the readings', () => {
    const { toePlot } = asked([
      [0.02, 0.2, 0.203],
      [-0.02, 0.2, 0.201],
      [0, 0.2, 0.202],
    ]);
    expect(toePlot.height).toEqual([-0.02, 0, 0.02]);
    for (const [i, behind] of [0.201, 0.202, 0.203].entries()) near(toePlot.toe[i], Math.atan((behind - 0.2) / 0.2), { rel: 1e-12 });
  });
});

it('does not compile with heights in kilograms', () => {
  const wrong = si<'kg'>(0.5);
  // @ts-expect-error: a mass is no length
  const given: Parameters<typeof toe>[0]['toePoints'][number]['height'] = wrong;
  expect(given).toBe(0.5);
});
