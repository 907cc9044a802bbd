/**
 * Answers of invented trucks, to draw and to test cards with. The numbers follow the contract's formulas from plain readings, worked out here
 * and not by the engine: they are there to look real, no test takes them for the truth.
 */
import type { Answer, AnswerReading, AnswerValue, From, Sentence, SentenceValue } from '../../worksheets/engine/types.ts';

const reading = (
  name: string,
  value: AnswerReading['value'],
  unit: string | null,
  from: From = 'given',
  more: Partial<AnswerReading> = {},
): AnswerReading => ({
  name,
  label: name.replaceAll('_', ' '),
  value,
  unit,
  uncertainty: null,
  from,
  ...more,
});

const answer = (name: string, value: AnswerValue['value'], unit: string | null, more: Partial<AnswerValue> = {}): AnswerValue => ({
  name,
  label: name.replaceAll('_', ' '),
  value,
  unit,
  uncertainty: null,
  verdict: null,
  band: null,
  ...more,
});

const live = (value: number, unit: string | null, uncertainty: number | null = null): SentenceValue => ({ value, unit, uncertainty });
const range = (from: number, to: number, step: number): number[] =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);
const map = (from: number, to: number, step: number, f: (x: number) => number): { x: number[]; y: number[] } => {
  const x = range(from, to, step);
  return { x, y: x.map(f) };
};

const plain = { kind: 'answer', end: null, curves: [], cautions: [], next: null, wider: [] } as const;

// ── corners ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

function corners(
  loads: readonly [number, number, number, number],
  more: { readonly spread: number; readonly next: (move: number) => Sentence; readonly cautions?: readonly Sentence[] },
): Answer {
  const [fl, fr, rl, rr] = loads;
  const total = fl + fr + rl + rr;
  const [front, rear] = [fl + fr, rl + rr];
  // Four independent readings of one standard uncertainty each, carried to the shares; k = 2.
  const u = more.spread;
  const share = (part: number): number => (100 * part) / total;
  const shareU = (part: number): number => (200 * u * Math.sqrt(2 * part ** 2 + 2 * (total - part) ** 2)) / total ** 2;
  const warp = (200 * 2 * 5) / Math.sqrt(3) / total;
  const called = (value: number, uncertainty: number, target: number): Partial<AnswerValue> => ({
    uncertainty,
    band: { low: target - 1, high: target + 1 },
    verdict:
      Math.abs(value - target) + uncertainty <= 1
        ? 'on target'
        : Math.abs(value - target) - uncertainty > 1
          ? 'off target'
          : 'too close to call',
  });
  const move = 0.6 * total - rear;
  const slide = (move * 330) / 290;
  const loadLabels = ['front left wheel', 'front right wheel', 'rear left wheel', 'rear right wheel'];
  return {
    ...plain,
    sheet: 'corners',
    title: 'Corner weights',
    hero: 'rear_share',
    readings: [
      ...(['front_left', 'front_right', 'rear_left', 'rear_right'] as const).map((name, i) =>
        reading(name, loads[i]!, 'g', 'given', { label: loadLabels[i]!, uncertainty: 2 * u, typed: String(loads[i]) }),
      ),
      reading('pack_mass', 290, 'g', 'truck'),
      reading('wheelbase', 330, 'mm', 'truck', { label: 'axle to axle' }),
      reading('target_rear', 60, '%', 'default'),
      reading('target_cross', 50, '%', 'default'),
      reading('target_band', 1, '%', 'default'),
      reading('scale_step', 1, 'g', 'default', { label: "the scale's smallest step" }),
      reading('warp', 0, 'g', 'default', { uncertainty: 10 / Math.sqrt(3) }),
    ],
    answers: [
      answer('total', total, 'g', { label: 'ready to run', uncertainty: 4 * u }),
      answer('rear_share', share(rear), '%', { label: 'on the rear wheels', ...called(share(rear), shareU(rear), 60) }),
      answer('front_share', share(front), '%', { label: 'on the front wheels', uncertainty: shareU(front) }),
      answer('left_share', share(fl + rl), '%', { label: 'on the left wheels', uncertainty: shareU(fl + rl) }),
      answer('cross_share', share(fr + rl), '%', {
        label: 'front right and rear left',
        ...called(share(fr + rl), Math.hypot(shareU(fr + rl), warp), 50),
      }),
      answer('front_left_share', (100 * fl) / front, '%', { uncertainty: (200 * u * Math.hypot(fl, fr)) / front ** 2 }),
      answer('rear_left_share', (100 * rl) / rear, '%', { uncertainty: (200 * u * Math.hypot(rl, rr)) / rear ** 2 }),
      answer('cg_from_front', (330 * rear) / total, 'mm', {
        label: 'balance point behind the front axle',
        uncertainty: 3.3 * shareU(rear),
      }),
      answer('cross_load', fr + rl - total / 2, 'g', { uncertainty: Math.hypot(2 * u, 20 / Math.sqrt(3)) }),
      answer('move_to_rear', move, 'g', {
        label: 'load that must leave the front axle',
        uncertainty: 2 * u * Math.hypot(0.6 * Math.SQRT2, 0.4 * Math.SQRT2),
      }),
      answer('slide', slide, 'mm', { label: 'how far back the pack has to go', uncertainty: (2 * u * 330) / 290 }),
      answer('add_at_rear', move > 0 ? move / 0.4 : null, 'g', move > 0 ? { uncertainty: 4 * u } : { why: 'not needed' }),
    ],
    cautions: more.cautions ?? [],
    next: more.next(slide),
    wider: ['front_track', 'rear_track', 'again'],
  };
}

export const cornersOnTarget = corners([612, 605, 901, 896], {
  spread: 1 / Math.sqrt(12),
  next: (slide) => ['Good to go. Slide the pack ', live(slide, 'mm', 0.66), ' back for ', live(60, '%'), '.'],
});
export const cornersOff = corners([668, 702, 848, 809], {
  spread: 6,
  next: (slide) => ['Slide the pack ', live(slide, 'mm', 13.7), ' back, then weigh again.'],
});
export const cornersClose = corners([598, 601, 866, 863], {
  spread: 2.5,
  cautions: [['The two weighings differ by ', live(14, 'g'), ' on one corner: settle the springs and weigh again.']],
  next: () => ['Weigh once more with the springs settled: the scatter hides the answer.'],
});

// ── drive ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const gearingSpeed = (pinion: number): number => (2400 * 3 * 3.7 * Math.PI * 0.112 * 60) / 1000 / ((54 / pinion) * 2.85);
const pinions = map(9, 17, 1, gearingSpeed);
export const gearing: Answer = {
  ...plain,
  sheet: 'gearing',
  title: 'Gearing',
  hero: 'ideal_speed',
  readings: [
    reading('motor_kv', 2400, 'rpm/V', 'given', { typed: '2400' }),
    reading('cells', 3, '1', 'given', { typed: '3' }),
    reading('pinion', 13, 'teeth', 'given', { typed: '13' }),
    reading('spur', 54, 'teeth', 'given', { typed: '54' }),
    reading('tyre_diameter', 112, 'mm', 'truck'),
    reading('gearbox_ratio', 2.85, '1', 'truck'),
    reading('axle_ratio', 1, '1', 'default'),
    reading('cell_voltage', 3.7, 'V', 'default'),
    reading('tyre_growth', 0, '%', 'default'),
  ],
  answers: [
    answer('overall_ratio', (54 / 13) * 2.85, '1', { label: 'motor turns for one turn of the wheels' }),
    answer('rollout', (Math.PI * 112) / ((54 / 13) * 2.85), 'mm', { label: 'travel for one motor turn', uncertainty: 0.28 }),
    answer('motor_speed', 2400 * 3 * 3.7, 'rpm'),
    answer('wheel_speed', (2400 * 3 * 3.7) / ((54 / 13) * 2.85), 'rpm'),
    answer('ideal_speed', gearingSpeed(13), 'km/h', { label: 'at most: no load, no slip', uncertainty: 0.38 }),
  ],
  curves: [
    {
      over: 'pinion',
      label: 'pinion',
      unit: 'teeth',
      x: pinions.x,
      answers: { ideal_speed: pinions.y },
      units: { ideal_speed: 'km/h' },
      labels: { ideal_speed: 'ideal speed' },
      here: 13,
    },
  ],
  cautions: [],
  next: ['Run one pack at ', live(13, 'teeth'), ', feel the motor, then try ', live(14, 'teeth'), '.'],
};
const lowPinions = map(5, 10, 1, gearingSpeed);
export const gearingLow: Answer = {
  ...gearing,
  readings: gearing.readings.map((one) => (one.name === 'pinion' ? { ...one, value: 6, typed: '6' } : one)),
  answers: gearing.answers.map((one) => (one.name === 'ideal_speed' ? { ...one, value: gearingSpeed(6), uncertainty: 0.18 } : one)),
  curves: [{ ...gearing.curves[0]!, x: lowPinions.x, answers: { ideal_speed: lowPinions.y }, here: 6 }],
};
export const gearingHot: Answer = {
  ...gearing,
  cautions: [['The motor may turn at ', live(60480, 'rpm'), ' on a full pack: look up its own limit first.']],
};

const realSpeed = (pinion: number): number => 45.2 - 0.24 * (pinion - 15.4) ** 2 - 0.02 * (pinion - 15.4) ** 3;
const speeds = map(9, 17, 1, realSpeed);
export const topSpeed: Answer = {
  ...plain,
  sheet: 'top_speed',
  title: 'Top speed',
  hero: 'top_speed',
  readings: [
    ...gearing.readings,
    reading('total', 3014, 'g', 'sheet', { sheet: 'corners', uncertainty: 1.2 }),
    reading('motor_resistance', 25.3, 'mΩ', 'default'),
    reading('no_load_current', 4, 'A', 'default'),
    reading('drag_area', 0.03, 'm²', 'default'),
    reading('air_temperature', 31, '°C', 'given', { typed: '88 F' }),
  ],
  answers: [
    answer('top_speed', realSpeed(13), 'km/h', { uncertainty: 0.9 }),
    answer('motor_speed_at_top', 23871.4, 'rpm', { uncertainty: 310 }),
    answer('current_at_top', 17.83, 'A', { uncertainty: 0.41 }),
    answer('electrical_power', 189.2, 'W', { uncertainty: 4.2 }),
    answer('shaft_power', 139.7, 'W', { uncertainty: 3.6 }),
    answer('efficiency_at_top', 73.8, '%', { uncertainty: 1.1 }),
    answer('no_load_speed', 47.18, 'km/h', { uncertainty: 0.4 }),
    answer('air_density', 1.1607, 'kg/m³'),
    answer('fastest_pinion', 15, 'teeth'),
  ],
  curves: [
    {
      over: 'pinion',
      label: 'pinion',
      unit: 'teeth',
      x: speeds.x,
      answers: { top_speed: speeds.y },
      units: { top_speed: 'km/h' },
      labels: { top_speed: 'top speed' },
      here: 13,
    },
  ],
  cautions: [['Run where nobody stands: at this speed the truck does not stop for anyone.']],
  next: ['Try ', live(15, 'teeth'), ' on the pinion, and feel the motor after one minute.'],
};

const launchSpeed = map(0, 3, 0.05, (t) => 36 * (1 - Math.exp(-t / 1.25)));
export const launch: Answer = {
  ...plain,
  sheet: 'launch',
  title: 'Launch',
  hero: 'time_to_speed',
  readings: [
    ...topSpeed.readings,
    reading('cg_height', 71.4, 'mm', 'truck'),
    reading('grip', 0.5, '1', 'default'),
    reading('to_speed', 30, 'km/h', 'default'),
  ],
  answers: [
    answer('time_to_speed', 2.24, 's', { uncertainty: 0.12 }),
    answer('slip_until', 12.6, 'km/h', { uncertainty: 1.4 }),
    answer('peak_acceleration', 4.31, 'm/s²', { uncertainty: 0.22 }),
    answer('peak_current', 100, 'A'),
    answer('wheelie', false, null),
  ],
  curves: [
    {
      over: 'time',
      label: 'time',
      unit: 's',
      x: launchSpeed.x,
      answers: { speed: launchSpeed.y },
      units: { speed: 'km/h' },
      labels: { speed: 'speed' },
      here: null,
    },
  ],
  next: ['Soften the first third of the throttle: the wheels slip up to ', live(12.6, 'km/h', 1.4), '.'],
};

export const warmup: Answer = {
  ...plain,
  sheet: 'warmup',
  title: 'Warm-up',
  hero: 'steady_temperature',
  readings: [
    reading('temperatures', [31, 52, 64], '°C', 'given'),
    reading('interval', 2, 'min', 'given'),
    reading('motor_limit', 80, '°C', 'default'),
  ],
  answers: [
    answer('steady_temperature', 80, '°C', { label: 'where it would level off' }),
    answer('time_constant', 3.573, 'min'),
    answer('time_to_limit', null, 'min', { why: 'never' }),
  ],
  cautions: [['A hot motor burns skin and dies quickly: stop at the limit its maker gives.']],
  next: ['Measure again after ', live(4, 'min'), ' of running to see whether it levels off.'],
};

// ── springs ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const pressPoints = [
  { load: 0, height: 78 },
  { load: 250, height: 74.7 },
  { load: 500, height: 71.2 },
  { load: 900, height: 65.4 },
  { load: 1400, height: 58.7 },
];
export const press: Answer = (() => {
  const n = pressPoints.length;
  const [mx, my] = [pressPoints.reduce((sum, p) => sum + p.height, 0) / n, pressPoints.reduce((sum, p) => sum + p.load, 0) / n];
  const sxx = pressPoints.reduce((sum, p) => sum + (p.height - mx) ** 2, 0);
  const slope = pressPoints.reduce((sum, p) => sum + (p.height - mx) * (p.load - my), 0) / sxx;
  const residual = (p: { load: number; height: number }): number => p.load - (my + slope * (p.height - mx));
  const error = (Math.sqrt(pressPoints.reduce((sum, p) => sum + residual(p) ** 2, 0) / (n - 2) / sxx) * 9.80665) / 1000;
  const rate = (-slope * 9.80665) / 1000;
  const worst = pressPoints.map(residual).sort((a, b) => Math.abs(b) - Math.abs(a))[0]!;
  return {
    ...plain,
    sheet: 'press',
    title: 'Spring by press',
    end: 'rear',
    hero: 'spring_rate',
    readings: [reading('press_points', pressPoints, 'g/mm', 'given', { typed: '0/78 250/74,7 500/71,2 900/65.4 1400/58…' })],
    answers: [
      answer('spring_rate', rate, 'N/mm', { uncertainty: 2 * error }),
      answer('spring_rate_error', error, 'N/mm', { label: 'standard error' }),
      answer('spring_rate_lb_in', rate * 5.71015, 'lbf/in', { uncertainty: 2 * error * 5.71015 }),
      answer('spring_rate_gf_mm', -slope, 'gf/mm', { uncertainty: (2 * error * 1000) / 9.80665 }),
      answer('zero_load_height', mx - my / slope, 'mm', { uncertainty: 0.31 }),
      answer('worst_residual', worst, 'g'),
      answer('straight', true, null, { label: 'worst residual at most 2 % of the greatest load' }),
    ],
    next: ['Write ', live(rate, 'N/mm', 2 * error), ' on the spring and press its partner.'],
  };
})();
export const pressBent: Answer = {
  ...press,
  end: 'front',
  readings: [
    reading(
      'press_points',
      [
        { load: 0, height: 64 },
        { load: 400, height: 58.8 },
        { load: 800, height: 55.1 },
        { load: 1200, height: 52.6 },
      ],
      'g/mm',
      'given',
    ),
  ],
  answers: [
    answer('spring_rate', 1.0197, 'N/mm', { uncertainty: 0.21 }),
    answer('spring_rate_error', 0.105, 'N/mm'),
    answer('spring_rate_lb_in', 5.823, 'lbf/in', { uncertainty: 1.2 }),
    answer('spring_rate_gf_mm', 104, 'gf/mm', { uncertainty: 21.4 }),
    answer('zero_load_height', 63.39, 'mm', { uncertainty: 1.9 }),
    answer('worst_residual', -77.9, 'g'),
    answer('straight', false, null),
  ],
  cautions: [['The points bend: a coil binds or the spring tilts. The rate is a mean over the stroke.']],
  next: ['Press again with more points between ', live(58.8, 'mm'), ' and ', live(52.6, 'mm'), '.'],
};

export const ride: Answer = {
  ...plain,
  sheet: 'ride',
  title: 'Ride',
  end: 'rear',
  hero: 'ride_frequency',
  readings: [
    reading('corner_load', 898.5, 'g', 'sheet', { sheet: 'corners', uncertainty: 0.41 }),
    reading('spring_rate', 0.4378, 'N/mm', 'given', { typed: '2.5 lb', note: 'read as lbf/in' }),
    reading('motion_ratio', 0.62, '1', 'truck', { uncertainty: 0.012 }),
    reading('unsprung_mass', 236, 'g', 'truck'),
    reading('wheel_travel', 96, 'mm', 'truck'),
    reading('preload', 2, 'mm', 'given', { typed: '2' }),
    reading('target_sag', 34, 'mm', 'given', { typed: '34' }),
  ],
  answers: [
    answer('wheel_rate', 0.1683, 'N/mm', { uncertainty: 0.0065 }),
    answer('sprung_mass', 662.5, 'g', { uncertainty: 0.41 }),
    answer('ride_frequency', 2.537, 'Hz', { label: 'one corner, undamped', uncertainty: 0.049 }),
    answer('sag', 35.38, 'mm', { label: 'at the wheel, from full droop', uncertainty: 1.4 }),
    answer('up_travel', 60.62, 'mm', { uncertainty: 1.4 }),
    answer('droop_share', 36.85, '%', { uncertainty: 1.5 }),
    answer('preload_for_sag', null, 'mm', { why: 'too soft' }),
  ],
  next: ['Take ', live(0.86, 'mm', 0.9), ' of preload off for the sag you asked for.'],
  wider: ['target_frequency', 'track'],
};

// ── others ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export const ballast: Answer = {
  ...plain,
  sheet: 'ballast',
  title: 'Ballast',
  hero: 'plan',
  readings: [
    reading('front_load', 1370, 'g', 'given'),
    reading('rear_load', 1657, 'g', 'given'),
    reading('wheelbase', 330, 'mm', 'truck'),
    reading(
      'parts',
      [
        { name: 'pack', mass: 290, now: 185, places: [185, 210, 240] },
        { name: 'lead', mass: 60, now: 'off', places: ['off', 330] },
      ],
      '/g/mm/mm',
      'given',
    ),
    reading('target_rear', 60, '%', 'default'),
    reading('tolerance', 0.25, '%', 'default'),
  ],
  answers: [
    answer('plan', 'pack 240; lead 330', null, { label: 'what goes where, in mm behind the front axle' }),
    answer('rear_share', 57.28, '%'),
    answer('total', 3087, 'g'),
    answer('added_mass', 60, 'g'),
    answer('moves', 2, '1'),
    answer('error', -2.72, '%'),
  ],
  next: ['Move the pack first, weigh, then the lead.'],
};

const ratioOver = map(0, 96, 2, (z) => 0.71 - 0.0017 * z + 0.0000062 * z * z);
export const travel: Answer = {
  ...plain,
  sheet: 'travel',
  title: 'Trailing arm',
  end: 'rear',
  hero: 'wheel_travel',
  readings: [
    reading('swing_arm', 142, 'mm', 'truck'),
    reading('shock_lower_along', 96, 'mm', 'truck'),
    reading('shock_extended', 118, 'mm', 'given'),
    reading('shock_compressed', 78, 'mm', 'given'),
    reading('shock_ride', 104.5, 'mm', 'given'),
  ],
  answers: [
    answer('wheel_travel', 96.2, 'mm', { label: 'upright, at the axle', uncertainty: 1.1 }),
    answer('motion_ratio_droop', 0.71, '1', { uncertainty: 0.011 }),
    answer('motion_ratio_ride', 0.659, '1', { uncertainty: 0.01 }),
    answer('motion_ratio_bump', 0.604, '1', { uncertainty: 0.012 }),
    answer('arm_angle_ride', -11.3, 'deg', { uncertainty: 0.6 }),
  ],
  curves: [
    {
      over: 'height',
      label: 'wheel height',
      unit: 'mm',
      x: ratioOver.x,
      answers: { motion_ratio: ratioOver.y },
      units: { motion_ratio: '1' },
      labels: { motion_ratio: 'motion ratio' },
      here: 31,
    },
  ],
  next: ['The ratio falls towards bump: a stiffer bump spring helps more than preload.'],
};

export const steering: Answer = {
  ...plain,
  sheet: 'steering',
  title: 'Steering',
  hero: 'ackermann_share',
  readings: [
    reading('inner_angle', 32, 'deg', 'given'),
    reading('outer_angle', 26.5, 'deg', 'given'),
    reading('wheelbase', 330, 'mm', 'truck'),
    reading('kingpin_track', 232, 'mm', 'truck'),
  ],
  answers: [
    answer('ideal_outer', 23.54, 'deg', { uncertainty: 0.42 }),
    answer('ackermann_share', 65.0, '%', { uncertainty: 8.9 }),
    answer('turn_radius', 644.1, 'mm', { uncertainty: 11 }),
    answer('outer_error', 2.96, 'deg', { uncertainty: 0.55 }),
  ],
  next: null,
};

export const motorHeat: Answer = {
  ...plain,
  sheet: 'motor_heat',
  title: 'Motor heat',
  hero: 'final_temperature',
  readings: [
    reading('power_loss', 32, 'W', 'given'),
    reading('thermal_resistance', 2.4, 'K/W', 'truck'),
    reading('heat_capacity', 78, 'J/K', 'truck'),
    reading('run_time', 420, 's', 'given'),
    reading('air_temperature', 25, '°C', 'default'),
    reading('motor_limit', 80, '°C', 'default'),
  ],
  answers: [
    answer('final_temperature', 93.67, '°C', {
      label: 'after this run',
      uncertainty: 2.1,
      verdict: 'off target',
      band: { low: Number.NEGATIVE_INFINITY, high: 80 },
    }),
    answer('steady_temperature', 101.8, '°C', { uncertainty: 2.4 }),
    answer('time_to_limit', 235.4, 's', { uncertainty: 14 }),
  ],
  cautions: [
    ['A hot motor burns skin and dies quickly: stop at the limit its maker gives.'],
    ['Estimated from one body of heat: the windings are hotter than the can.'],
  ],
  next: ['Stop after ', live(235, 's', 14), ' and let it cool, or gear down one tooth.'],
};

/** Every sample with the truck and day it is drawn for, by the name of its picture. */
export const samples: { readonly [picture: string]: { readonly answer: Answer; readonly truck: string; readonly day: string } } = {
  'corners-on-target': { answer: cornersOnTarget, truck: 'Sandhopper', day: '14 May' },
  'corners-off-target': { answer: cornersOff, truck: 'Mudlark', day: '14 May' },
  'corners-too-close': { answer: cornersClose, truck: 'Mudlark', day: '2 June' },
  gearing: { answer: gearing, truck: 'Sandhopper', day: '14 May' },
  'gearing-caution': { answer: gearingHot, truck: 'Sandhopper', day: '14 May' },
  'gearing-low': { answer: gearingLow, truck: 'Sandhopper', day: '14 May' },
  press: { answer: press, truck: 'Sandhopper', day: '14 May' },
  'press-bent': { answer: pressBent, truck: 'Mudlark', day: '2 June' },
  ride: { answer: ride, truck: 'Sandhopper', day: '14 May' },
  'top-speed': { answer: topSpeed, truck: 'Sandhopper', day: '14 May' },
  launch: { answer: launch, truck: 'Sandhopper', day: '14 May' },
  warmup: { answer: warmup, truck: 'Mudlark', day: '2 June' },
  'motor-heat': { answer: motorHeat, truck: 'Mudlark', day: '2 June' },
  ballast: { answer: ballast, truck: 'Mudlark', day: '2 June' },
  travel: { answer: travel, truck: 'Sandhopper', day: '14 May' },
  steering: { answer: steering, truck: 'Sandhopper', day: '14 May' },
};
