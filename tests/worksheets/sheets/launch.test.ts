import { describe, expect, it } from 'vitest';
import { expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('launch');
const sandhopper = {
  motor_kv: 3300,
  cells: 2,
  pinion: 18,
  spur: 54,
  gearbox_ratio: 3.3,
  tyre_diameter: 109,
  total: 3014,
  cg_height: 92,
  wheelbase: 330,
  rear_share: 60,
  grip: 0.8,
  to_speed: 40,
  current_limit: 80,
  grade: 0,
  driven_inertia: 0.35,
  motor_resistance: 25,
  pack_resistance: 18,
};
type Truck = typeof sandhopper;

/** The contract's law of a launch, written down once more in the units of the pit table. */
function law(truck: Truck): (speed: number) => { a: number; slips: boolean; lifts: boolean } {
  const [m, r, h, l, s] = [
    truck.total / 1000,
    truck.tyre_diameter / 2000,
    truck.cg_height / 1000,
    truck.wheelbase / 1000,
    truck.rear_share / 100,
  ];
  const kv = (truck.motor_kv * 2 * Math.PI) / 60;
  const ratio = (truck.spur / truck.pinion) * truck.gearbox_ratio;
  const slope = Math.atan(truck.grade / 100);
  const weight = m * 9.80665;
  const density = 101_325 / (287.05287 * 293.15);
  return (speed) => {
    const pushed = (truck.cells * 3.7 - ((speed / r) * ratio) / kv) / ((truck.motor_resistance + truck.pack_resistance) / 1000);
    const current = Math.min(pushed, truck.current_limit);
    const push = (((current - 4) / kv) * ratio * 0.7) / r;
    const resistance = 0.5 * density * 0.03 * speed ** 2 + 0.06 * weight * Math.cos(slope) + weight * Math.sin(slope);
    const turning = truck.driven_inertia / 1000 / r ** 2;
    const rest = weight * (s * Math.cos(slope) + (h / l) * Math.sin(slope));
    const gripping = (push - resistance) / (m + turning);
    const slips = push - turning * gripping > truck.grip * (rest + (m * gripping * h) / l);
    const free = slips ? (truck.grip * rest - resistance) / (m * (1 - (truck.grip * h) / l)) : gripping;
    const most = 9.80665 * (((1 - s) * Math.cos(slope) * l) / h - Math.sin(slope));
    return { a: Math.min(free, most), slips, lifts: free >= most };
  };
}

/** Second method: the time by adding up dv/a over a fine grid of speeds, and what happens on the way. */
function byGrid(truck: Truck) {
  const at = law(truck);
  const points = 200_000;
  const width = truck.to_speed / 3.6 / points;
  let [time, slipUntil, lifts] = [0, 0, false];
  for (let i = 0; i < points; i += 1) {
    const here = at((i + 0.5) * width);
    time += width / here.a;
    if (here.slips) slipUntil = (i + 1) * width * 3.6;
    lifts ||= here.lifts;
  }
  return { time, slipUntil, lifts, first: at(0).a };
}

describe('launch', () => {
  it.each<[string, Partial<Truck>]>([
    ['slipping, then gripping', {}],
    ['slipping all the way', { grip: 0.4, to_speed: 25 }],
    ['gripping, held by the current limit and then by the motor', { grip: 1.4, current_limit: 40 }],
    ['uphill', { grip: 0.9, grade: 20, to_speed: 25 }],
    ['downhill', { grade: -15 }],
    ['with the front in the air', { grip: 1.9, cg_height: 120, current_limit: 300, to_speed: 30 }],
  ])('%s takes the time of small steps', (_, change) => {
    const truck = { ...sandhopper, ...change };
    const answer = sheet.answer(truck);
    const { time, slipUntil, lifts, first } = byGrid(truck);
    expectNear(numberOf(answer, 'time_to_speed'), time, 1e-5);
    expect(numberOf(answer, 'slip_until')).toBeCloseTo(slipUntil, 2);
    expectNear(numberOf(answer, 'peak_acceleration'), first, 1e-9);
    expect(answerOf(answer, 'wheelie').value).toBe(lifts);
  });

  it('draws no more current than the limit, and no more than the pack pushes at a standstill', () => {
    expect(numberOf(sheet.answer(sandhopper), 'peak_current')).toBe(80);
    // By hand: 7.4 V over 43 mΩ.
    expectNear(numberOf(sheet.answer({ ...sandhopper, current_limit: 500 }), 'peak_current'), 7.4 / 0.043, 1e-12);
  });

  it('shows speed over time from nothing to the speed asked for', () => {
    const answer = sheet.answer(sandhopper);
    const curve = answer.curves[0]!;
    const speeds = curve.answers.speed as readonly number[];
    expect(curve).toMatchObject({ over: 'time', unit: 's', here: null, units: { speed: 'km/h' } });
    expect([curve.x[0], speeds[0]]).toEqual([0, 0]);
    expectNear(curve.x.at(-1), numberOf(answer, 'time_to_speed'), 1e-12);
    expectNear(speeds.at(-1), 40, 1e-9);
    // On the way, at each of its times, the slope is what the law says there.
    const at = law(sandhopper);
    for (let i = 5; i < curve.x.length - 5; i += 7) {
      const slope = (speeds[i + 1]! - speeds[i - 1]!) / 3.6 / (curve.x[i + 1]! - curve.x[i - 1]!);
      expectNear(slope, at(speeds[i]! / 3.6).a, 0.01);
    }
  });

  it('carries the ± of the grip to the time', () => {
    const answer = sheet.answer({ ...sandhopper, grip: '0.8 ± 0.05' });
    const slope = (byGrid({ ...sandhopper, grip: 0.801 }).time - byGrid({ ...sandhopper, grip: 0.799 }).time) / 0.002;
    expectNear(answerOf(answer, 'time_to_speed').uncertainty, (2 * Math.abs(slope) * 0.05) / Math.sqrt(3), 1e-3);
    expect(answerOf(answer, 'wheelie').uncertainty).toBeNull();
  });

  it('says never when the truck cannot get there, and what to do', () => {
    const answer = sheet.answer({ ...sandhopper, to_speed: 120 });
    expect(answerOf(answer, 'time_to_speed')).toMatchObject({ value: null, why: 'never' });
    expect(nextOf(answer)).toContain('It never gets to 120');
    expect(nextOf(sheet.answer({ ...sandhopper, grip: 0 }))).toContain('It does not move off');
  });

  it('gives one thing to do: ease the trigger, keep the front down, or go down a tooth', () => {
    expect(nextOf(sheet.answer(sandhopper))).toMatch(/^Squeeze the trigger until about \d+\.$/);
    expect(nextOf(sheet.answer({ ...sandhopper, grip: 0.4, to_speed: 25 }))).toContain('slips all the way');
    expect(nextOf(sheet.answer({ ...sandhopper, grip: 1.4, current_limit: 40 }))).toContain('Grip holds');
    const lifting = sheet.answer({ ...sandhopper, grip: 1.9, cg_height: 120, current_limit: 300, to_speed: 30 });
    expect(nextOf(lifting)).toContain('Keep the front down');
    expect(cautionsOf(lifting).join(' ')).toContain('cannot be steered');
  });

  it('refuses a grade on which the truck tips over, and a motor without resistance', () => {
    const texts = (change: Partial<Truck>): string[] => sheet.problems({ ...sandhopper, ...change }).map(({ text }) => text);
    expect(texts({ grade: 100, rear_share: 95, cg_height: 200 })).toEqual([
      'That does not work out: the truck tips over on that grade before it starts.',
    ]);
    expect(texts({ motor_resistance: 0, pack_resistance: 0 })[0]).toContain('the current at a standstill has no end');
  });

  it('takes no wind', () => {
    expect(sheet.problems({ ...sandhopper, headwind: 10 })[0]!.text).toContain('is no reading of launch');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
