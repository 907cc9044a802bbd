import { describe, expect, it } from 'vitest';
import { type Supply, work } from '../../../worksheets/engine/ask.ts';
import { supplyFrom, whoAnswers } from '../../../worksheets/engine/fill.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, nextOf, numberOf, sheetNamed } from '../../support/sheets.ts';

const sheet = await sheetNamed('roll');
const { example } = sheet.sheet;
const g = 9.80665;
const perDegree = Math.PI / 180;

describe('roll: a truck in a steady turn', () => {
  it('leans and shifts its load as the contract has it, with the moments about the ground in balance', () => {
    const between = draws(21);
    for (let i = 0; i < 30; i += 1) {
      const [total, height, front, rear] = [between(1500, 5000), between(60, 130), between(240, 320), between(240, 320)];
      const [kf, kr, p, q] = [between(0.1, 0.5), between(0.1, 0.5), between(5, 60), between(5, 80)];
      const [share, a] = [between(45, 70), between(0.2, 1.4)];
      const answer = sheet.answer({
        total,
        cg_height: height,
        front_track: front,
        rear_track: rear,
        front_roll_stiffness: kf,
        rear_roll_stiffness: kr,
        front_roll_centre: p,
        rear_roll_centre: q,
        rear_share: share,
        lateral_acceleration: a,
      });
      const mass = total / 1000;
      const lever = (height - (p + (share / 100) * (q - p))) / 1000;
      const angle = (mass * a * g * lever) / ((kf + kr) / perDegree - mass * g * lever);
      expectNear(numberOf(answer, 'roll_angle'), angle / perDegree, 1e-9);
      expectNear(numberOf(answer, 'roll_gradient'), angle / perDegree / a, 1e-9);
      const [ft, rt] = [numberOf(answer, 'front_transfer'), numberOf(answer, 'rear_transfer')];
      expectNear(numberOf(answer, 'front_transfer_share'), (100 * ft) / (ft + rt), 1e-12);
      // Second method: moments about the ground, in g·mm. The side force at CG height and the weight that swung out, against both axles.
      expectNear(ft * front + rt * rear, total * (a * height + 1000 * lever * angle), 1e-9);
      expectNear(numberOf(answer, 'tip_over_acceleration'), ((1 - share / 100) * front + (share / 100) * rear) / (2 * height), 1e-12);
    }
  });

  it('shares the roll couple 2 to 1 where the front is twice as stiff and both roll centres lie on the ground', () => {
    // Heisler, Advanced Vehicle Technology, sec. 10.3, printed value seen: two thirds in front.
    const even = { ...example, front_track: 280, rear_track: 280, front_roll_centre: 0, rear_roll_centre: 0 };
    expectNear(
      numberOf(sheet.answer({ ...even, front_roll_stiffness: 0.4, rear_roll_stiffness: 0.2 }), 'front_transfer_share'),
      200 / 3,
      1e-12,
    );
  });

  it('tips a sports car’s proportions at 1.7 g', () => {
    // Gillespie, Fundamentals of Vehicle Dynamics, table 9.1: track 50 to 60 in, CG 18 to 20 in high, 1.2 to 1.7 g; printed values from memory, recomputed.
    const answer = sheet.answer({ ...example, front_track: 300, rear_track: 300, cg_height: 90 });
    expectPrinted(numberOf(answer, 'tip_over_acceleration'), '1.7');
    expectNear(numberOf(answer, 'tip_over_acceleration'), 60 / (2 * 18), 1e-12);
  });

  it('reads g of turning as g, though g is the gram elsewhere', () => {
    for (const typed of ['0.7 g', '0.7 gn', '0.7', '6.864655 m/s^2'])
      expectNear(
        numberOf(sheet.answer({ ...example, lateral_acceleration: typed }), 'roll_angle'),
        numberOf(sheet.answer(example), 'roll_angle'),
        1e-12,
      );
  });

  it('carries ± of the turn: angle and transfers go with it', () => {
    const answer = sheet.answer({ ...example, lateral_acceleration: '0.7 ± 0.07' });
    for (const name of ['roll_angle', 'front_transfer', 'rear_transfer'])
      expectNear(answerOf(answer, name).uncertainty, ((2 * 0.1) / Math.sqrt(3)) * numberOf(answer, name), 1e-6);
    expect(answerOf(answer, 'front_transfer_share').uncertainty).toBe(0);
    expect(answerOf(answer, 'tip_over_acceleration').uncertainty).toBeNull();
  });

  it('refuses a truck that gravity turns over', () => {
    expect(sheet.problems({ ...example, front_roll_stiffness: 0.001, rear_roll_stiffness: 0.001 })[0]!.text).toBe(
      'That does not work out: the truck falls over, gravity turns it further than springs and bars hold it back.',
    );
  });

  it('says when a wheel lifts, when it tips, and when it would tip before it slides', () => {
    const at = (slip: Record<string, number>) => sheet.answer({ ...example, ...slip });
    expect(cautionsOf(at({ lateral_acceleration: 1.35 })).join()).toContain('inner rear wheel lifts');
    expect(nextOf(at({ lateral_acceleration: 1.35 }))).toContain('Soften the rear in roll');
    expect(cautionsOf(at({ lateral_acceleration: 1.6 })).join()).toContain('It tips over at');
    expect(nextOf(at({ lateral_acceleration: 1.6 }))).toContain('Lower the CG or widen the track');
    expect(cautionsOf(at({ cg_height: 190, lateral_acceleration: 0.3 })).join()).toContain('keep people away');
    expect(nextOf(at({ front_roll_stiffness: 1 }))).toContain('If the nose pushes');
    expect(nextOf(at({ rear_roll_stiffness: 0.6 }))).toContain('If the tail comes round');
    expect(cautionsOf(at({ rear_share: 0.6 })).join()).toContain('part of one');
    expect(cautionsOf(sheet.answer(example))).toEqual([]);
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});

describe('roll, of a truck whose weights, springs, bars and beams are known', () => {
  const facts = new Map(
    Object.entries({
      front_left: '612',
      front_right: '605',
      rear_left: '901',
      rear_right: '896',
      wheelbase: '330',
      front_track: '286',
      rear_track: '282',
      front_level: '1217',
      front_raised: '1335',
      lift: '120',
      wheel_radius: '55',
      front_spring_rate: '0.55',
      rear_spring_rate: '0.72',
      front_motion_ratio: '0.6',
      rear_motion_ratio: '0.58',
      front_unsprung_mass: '180',
      rear_unsprung_mass: '210',
      front_bar_diameter: '1.2',
      front_bar_length: '104',
      front_bar_arm: '34',
      beam_length: '188',
      pivot_height: '64',
      pivot_across: '-42',
      bump: '58',
      droop: '40',
      rear_roll_stiffness: '0.166',
      rear_roll_centre: '70',
    }),
  );

  it('takes all it can from the other sheets, and the bar is in it', async () => {
    const shelf = await loadSheets(await loadFormulas());
    const supply: Supply = supplyFrom(facts, whoAnswers(shelf.values()));
    const outcome = work(shelf.get('roll')!, { readings: { lateral_acceleration: '0.7' } }, supply);
    if (!('answer' in outcome)) return expect.fail(outcome.problems.map(({ text }) => text).join(' '));
    const from = new Map(outcome.answer.readings.map((reading) => [reading.name, reading.sheet ?? reading.from]));
    expect(Object.fromEntries(from)).toMatchObject({
      total: 'corners',
      cg_height: 'cg_height',
      front_track: 'truck',
      front_roll_stiffness: 'roll_bar',
      rear_roll_stiffness: 'truck',
      front_roll_centre: 'beam',
      rear_share: 'corners',
      lateral_acceleration: 'given',
    });
    const stiffness = outcome.answer.readings.find(({ name }) => name === 'front_roll_stiffness')!.value as number;
    // Springs: 0.55 · 0.6² N/mm at the wheel; bar: the contract's formula. Both × track²/2, per degree.
    const springs = 550 * 0.36;
    const bar = (2 * 79.3e9 * Math.PI * 0.0012 ** 4) / (32 * 0.104 * 0.034 ** 2);
    expectNear(stiffness, (((springs + bar) * 0.286 ** 2) / 2) * perDegree, 1e-9);
    return undefined;
  });
});
