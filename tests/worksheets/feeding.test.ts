/** One conversation at the pit table: what a member has posted once feeds the sheets that are asked later. */
import { beforeEach, describe, expect, it } from 'vitest';
import { type End, work } from '../../worksheets/engine/ask.ts';
import { type Facts, supplyFrom, whoAnswers } from '../../worksheets/engine/fill.ts';
import { loadFormulas, loadSheets } from '../../worksheets/engine/library.ts';
import type { Answer } from '../../worksheets/engine/types.ts';
import { expectNear } from '../support/book.ts';
import { answerOf, names, numberOf, type Typed } from '../support/sheets.ts';

const sheets = await loadSheets(await loadFormulas());
const answering = whoAnswers(sheets.values());

/** What the truck has been told so far, as typed, by fact. */
let facts: Map<string, string>;
beforeEach(() => {
  facts = new Map();
});

function ask(sheet: string, readings: Typed = {}, end: End | null = null): Answer {
  const outcome = work(sheets.get(sheet)!, { readings, end }, supplyFrom(facts as Facts, answering));
  if (!('answer' in outcome)) return expect.fail(`${sheet}: ${outcome.problems.map(({ text }) => text).join(' ')}`);
  for (const { fact, typed } of outcome.given) facts.set(fact, typed);
  return outcome.answer;
}

/** Where each reading came from: "given", "truck", "default", or the sheet that answered it. */
const from = (answer: Answer): Record<string, string> =>
  Object.fromEntries(answer.readings.map((reading) => [reading.name, reading.from === 'sheet' ? `sheet ${reading.sheet}` : reading.from]));
/** What a reading was understood as, in its unit. */
const typedAs = (answer: Answer, name: string): unknown => answer.readings.find((reading) => reading.name === name)?.value;

// ── the truck, and the same worked out plainly ─────────────────────────────────────────────────────────────────────────────────

const G = 9.80665;
const corners = [612, 605, 901, 896] as const;
const total = 612 + 605 + 901 + 896;
const rearShare = (901 + 896) / total;
const unsprung = { front: 160, rear: 220 };
const presses = { front: [[0, 74], [400, 66.2], [800, 58.3], [1200, 50.6]], rear: [[0, 78], [500, 71.2], [900, 65.4], [1300, 60.1]] } as const; // biome-ignore format: two springs
/** Axle heights and shock lengths at droop, ride and bump. */
const heights = { front: [12, 44, 108, 116, 97.5, 62], rear: [14, 46, 118, 128, 109.5, 64] } as const;

/** Least squares of load on height, N/mm. */
function springRate(points: readonly (readonly [number, number])[]): number {
  const [loads, mm] = [points.map(([load]) => (load / 1000) * G), points.map(([, height]) => height)];
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [load, height] = [mean(loads), mean(mm)];
  const sum = (f: (i: number) => number): number => mm.reduce((all, _, i) => all + f(i), 0);
  return -sum((i) => (mm[i]! - height) * (loads[i]! - load)) / sum((i) => (mm[i]! - height) ** 2);
}
/** Slope at ride of the parabola through three points of shock length over axle height: the two chords, weighted by the other's width. */
function motionRatio([droop, ride, bump, long, middle, short]: readonly [number, number, number, number, number, number]): number {
  const [down, up] = [(long - middle) / (ride - droop), (middle - short) / (bump - ride)];
  return (down * (bump - ride) + up * (ride - droop)) / (bump - droop);
}
const plain = (end: End) => {
  const [rate, ratio] = [springRate(presses[end]), motionRatio(heights[end])];
  const wheelRate = rate * ratio ** 2;
  const sprung = (end === 'front' ? 612 + 605 : 901 + 896) / 2 - unsprung[end];
  return { rate, ratio, wheelRate, sprung, frequency: Math.sqrt((1000 * wheelRate) / (sprung / 1000)) / (2 * Math.PI) };
};

/** Weights, springs and heights, each posted once. */
function posted(): void {
  const [front_left, front_right, rear_left, rear_right] = corners;
  ask('corners', { front_left, front_right, rear_left, rear_right, wheelbase: '330' });
  for (const end of ['front', 'rear'] as const) {
    ask('press', { press_points: presses[end].map((point) => point.join('/')).join(' ') }, end);
    const [axle_droop, axle_ride, axle_bump, shock_droop, shock_ride, shock_bump] = heights[end];
    ask('heights', { axle_droop, axle_ride, axle_bump, shock_droop, shock_ride, shock_bump }, end);
    ask('ride', { unsprung_mass: unsprung[end] }, end);
  }
}

describe('after weights, springs and heights', () => {
  beforeEach(posted);

  it('ride needs nothing more than the unsprung mass', () => {
    for (const end of ['front', 'rear'] as const) {
      const answer = ask('ride', {}, end);
      const { rate, ratio, wheelRate, sprung, frequency } = plain(end);
      expect(from(answer)).toMatchObject({
        corner_load: 'sheet corners',
        spring_rate: 'sheet press',
        motion_ratio: 'sheet heights',
        unsprung_mass: 'truck',
      });
      expectNear(typedAs(answer, 'spring_rate'), rate, 1e-9);
      expectNear(typedAs(answer, 'motion_ratio'), ratio, 1e-9);
      expectNear(numberOf(answer, 'wheel_rate'), wheelRate, 1e-9);
      expectNear(numberOf(answer, 'sprung_mass'), sprung, 1e-9);
      expectNear(numberOf(answer, 'ride_frequency'), frequency, 1e-9);
    }
  });

  it('damping is asked with the damper alone', () => {
    const answer = ask('damping', { damper_coefficient: '14' }, 'rear');
    const { ratio, wheelRate, sprung } = plain('rear');
    expect(from(answer)).toMatchObject({
      sprung_mass: 'sheet ride',
      wheel_rate: 'sheet ride',
      motion_ratio: 'sheet heights',
      damper_coefficient: 'given',
    });
    expectNear(numberOf(answer, 'damping_ratio'), (14 * ratio ** 2) / (2 * Math.sqrt(1000 * wheelRate * (sprung / 1000))), 1e-9);
  });

  it('pitch is asked with nothing at all', () => {
    const answer = ask('pitch');
    expect(from(answer)).toEqual({
      truck_sprung_mass: 'sheet corners',
      wheelbase: 'truck',
      rear_share: 'sheet corners',
      front_wheel_rate: 'sheet ride',
      rear_wheel_rate: 'sheet ride',
      dynamic_index: 'default',
    });
    const mass = (total - 2 * (unsprung.front + unsprung.rear)) / 1000;
    const [front, rear] = [plain('front').wheelRate, plain('rear').wheelRate];
    expectNear(typedAs(answer, 'truck_sprung_mass'), 1000 * mass, 1e-12);
    expectNear(numberOf(answer, 'front_frequency'), Math.sqrt((2000 * front) / (mass * (1 - rearShare))) / (2 * Math.PI), 1e-9);
    expectNear(numberOf(answer, 'rear_frequency'), Math.sqrt((2000 * rear) / (mass * rearShare)) / (2 * Math.PI), 1e-9);
    // Both modes at once: sum and product of ω² are those of the stiffness and mass matrices.
    const [a, b] = [0.33 * rearShare, 0.33 * (1 - rearShare)];
    const inertia = 0.8 * mass * a * b;
    const squares = [1, 2].map((n) => (2 * Math.PI * numberOf(answer, `frequency_${n}`)) ** 2);
    expectNear(squares[0]! + squares[1]!, (2000 * (front + rear)) / mass + (2000 * (front * a ** 2 + rear * b ** 2)) / inertia, 1e-9);
    expectNear(squares[0]! * squares[1]!, (2000 * front * 2000 * rear * 0.33 ** 2) / (mass * inertia), 1e-9);
  });

  it('whoops is asked with the spacing alone', () => {
    const answer = ask('whoops', { spacing: '2.4' });
    expect(from(answer)).toEqual({
      spacing: 'given',
      wheelbase: 'truck',
      rear_ride_frequency: 'sheet ride',
      front_ride_frequency: 'sheet ride',
    });
    for (const end of ['front', 'rear'] as const) {
      expectNear(numberOf(answer, `in_tune_${end}`), 3.6 * plain(end).frequency * 2.4, 1e-9);
      expectNear(numberOf(answer, `float_${end}`), 3.6 * Math.SQRT2 * plain(end).frequency * 2.4, 1e-9);
    }
    expect(names(answer)).not.toContain('hop_speed');
  });

  it('a tyre pressed once gives hop, and hop gives whoops its hop speed', () => {
    const hop = ask('hop', { tyre_rate: '2.9' }, 'rear');
    expect(from(hop)).toEqual({ unsprung_mass: 'truck', sprung_mass: 'sheet ride', wheel_rate: 'sheet ride', tyre_rate: 'given' });
    const { wheelRate, sprung } = plain('rear');
    const omega2 = (2 * Math.PI * numberOf(hop, 'hop_frequency')) ** 2;
    expectNear((1000 * (wheelRate + 2.9) - 0.22 * omega2) * (1000 * wheelRate - (sprung / 1000) * omega2), (1000 * wheelRate) ** 2, 1e-6);
    const whoops = ask('whoops', { spacing: '2.4' });
    expect(from(whoops).rear_hop_frequency).toBe('sheet hop');
    expectNear(numberOf(whoops, 'hop_speed'), 3.6 * numberOf(hop, 'hop_frequency') * 2.4, 1e-9);
  });

  it('cross is asked with nothing at all', () => {
    const answer = ask('cross');
    expect(from(answer)).toMatchObject({
      front_left: 'truck',
      front_wheel_rate: 'sheet ride',
      rear_wheel_rate: 'sheet ride',
      front_motion_ratio: 'sheet heights',
      rear_motion_ratio: 'sheet heights',
      collar_pitch: 'default',
    });
    const [front, rear] = [plain('front'), plain('rear')];
    const warp = 1 / (1 / front.wheelRate + 1 / rear.wheelRate);
    const load = 605 + 901 - total / 2;
    expectNear(numberOf(answer, 'spacer_front'), (((load / 1000) * G) / (2 * warp)) * front.ratio, 1e-9);
  });

  it('a jump is asked with ramp and speed, and knows mass, springs and travel', () => {
    const answer = ask('jump', { ramp_angle: '18', speed: '26' });
    expect(from(answer)).toMatchObject({
      total: 'sheet corners',
      front_wheel_rate: 'sheet ride',
      rear_wheel_rate: 'sheet ride',
      front_wheel_travel: 'sheet heights',
      rear_wheel_travel: 'sheet heights',
    });
    const rate = 2000 * (plain('front').wheelRate + plain('rear').wheelRate);
    const [mass, fall] = [total / 1000, (26 / 3.6) * Math.sin((18 * Math.PI) / 180)];
    const travel = (mass * G + Math.sqrt((mass * G) ** 2 + rate * mass * fall ** 2)) / rate;
    expectNear(numberOf(answer, 'landing_travel'), 1000 * travel, 1e-9);
    expectNear(numberOf(answer, 'travel_left'), 108 - 12 - 1000 * travel, 1e-9);
  });

  it('the swing on two strings feeds pitch, and wheel inertia feeds the jump', () => {
    const swing = ask('inertia', { string_spacing: '400', string_length: '900', period: '1.24' });
    expect(from(swing)).toMatchObject({ total: 'sheet corners', wheelbase: 'truck', rear_share: 'sheet corners' });
    expect(from(ask('pitch'))).toMatchObject({ pitch_inertia: 'sheet inertia', dynamic_index: 'sheet inertia' });
    const wheel = ask('wheel', { tyre_mass: '96', rim_mass: '38', tyre_diameter: '109', bead_diameter: '56' });
    const jump = ask('jump', { ramp_angle: '18', speed: '26', wheel_speed_change: '-200' });
    expect(from(jump)).toMatchObject({ driven_inertia: 'sheet wheel', pitch_inertia: 'sheet inertia' });
    expectNear(
      numberOf(jump, 'pitch_from_throttle'),
      (numberOf(wheel, 'driven_inertia') * -200 * 6) / numberOf(swing, 'pitch_inertia') / 1000,
      1e-9,
    );
  });

  it('carries the scale’s step through two sheets to the frequencies, and what it does to both together', () => {
    const answer = ask('ride', {}, 'rear');
    // Half of two readings with a step of 1 g each: u = 1/√12 · √2/2.
    const u = Math.SQRT2 / Math.sqrt(12) / 2;
    expectNear(answerOf(answer, 'sprung_mass').uncertainty, 2 * u, 1e-6);
    const whoops = ask('whoops', { spacing: '2.4' });
    const share = answerOf(whoops, 'float_rear').uncertainty! / numberOf(whoops, 'float_rear');
    expectNear(share, answerOf(answer, 'ride_frequency').uncertainty! / numberOf(answer, 'ride_frequency'), 1e-6);
  });
});

describe('what a plan would make of the truck', () => {
  beforeEach(posted);

  it('feeds no other sheet: the rear share of a ballast plan is not the truck’s', () => {
    const plan = ask('ballast', { target_rear: '65', parts: 'pack / 290 / 185 / 185 330' });
    expect(from(plan)).toMatchObject({ front_load: 'sheet corners', rear_load: 'sheet corners', wheelbase: 'truck' });
    expectNear(numberOf(plan, 'rear_share'), (100 * (901 + 896 + (290 * 145) / 330)) / total, 1e-9);
    expect(facts.has('parts')).toBe(true);
    const pitch = ask('pitch');
    expect(from(pitch).rear_share).toBe('sheet corners');
    expectNear(typedAs(pitch, 'rear_share'), 100 * rearShare, 1e-12);
    expect(from(ask('wheel', { tyre_mass: '96', rim_mass: '38', tyre_diameter: '109', bead_diameter: '56' })).total).toBe('sheet corners');
  });
});

describe('what is typed wins', () => {
  beforeEach(posted);

  it('over what the truck has, for this question', () => {
    const answer = ask('whoops', { spacing: '2.4', rear_ride_frequency: '3' });
    expect(from(answer).rear_ride_frequency).toBe('given');
    expectNear(numberOf(answer, 'in_tune_rear'), 3.6 * 3 * 2.4, 1e-12);
  });

  it('and a truck that lacks a link hears which reading is missing, by name', () => {
    facts.delete('rear_unsprung_mass');
    const outcome = work(sheets.get('pitch')!, { readings: {} }, supplyFrom(facts, answering));
    expect('problems' in outcome && outcome.problems.map(({ reading }) => reading)).toEqual(['truck_sprung_mass', 'rear_wheel_rate']);
  });
});
