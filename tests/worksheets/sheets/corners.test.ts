import { describe, expect, it } from 'vitest';
import { draws, expectNear, expectPrinted } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed, type Typed } from '../../support/sheets.ts';

const sheet = await sheetNamed('corners');

interface Truck {
  readonly front_left: number;
  readonly front_right: number;
  readonly rear_left: number;
  readonly rear_right: number;
  readonly wheelbase: number;
  readonly front_track: number;
  readonly rear_track: number;
  readonly pack_mass: number;
  readonly target_rear: number;
}
const sandhopper: Truck = {
  front_left: 612,
  front_right: 605,
  rear_left: 901,
  rear_right: 896,
  wheelbase: 330,
  front_track: 300,
  rear_track: 296,
  pack_mass: 290,
  target_rear: 60,
};
const typed = (truck: Truck, more: Typed = {}): Typed => ({ ...truck, ...more }) as Typed;

/** Second method: the contract's formulas worked out plainly, in grams, millimetres and per cent; `warp` goes onto the diagonals first. */
function plainly(truck: Truck, warp = 0): Record<string, number> {
  const [fl, fr, rl, rr] = [truck.front_left + warp, truck.front_right - warp, truck.rear_left - warp, truck.rear_right + warp];
  const total = fl + fr + rl + rr;
  const target = truck.target_rear / 100;
  const move = target * total - rl - rr;
  return {
    total,
    front_share: (100 * (fl + fr)) / total,
    rear_share: (100 * (rl + rr)) / total,
    left_share: (100 * (fl + rl)) / total,
    cross_share: (100 * (fr + rl)) / total,
    front_left_share: (100 * fl) / (fl + fr),
    rear_left_share: (100 * rl) / (rl + rr),
    cg_from_front: (truck.wheelbase * (rl + rr)) / total,
    cg_left: ((truck.front_track / 2) * (fl - fr) + (truck.rear_track / 2) * (rl - rr)) / total,
    cross_load: fr + rl - total / 2,
    move_to_rear: move,
    slide: (move * truck.wheelbase) / truck.pack_mass,
    ...(move > 0 ? { add_at_rear: move / (1 - target) } : { add_at_front: -move / target }),
  };
}

describe('corners', () => {
  it('answers what the contract says, worked out plainly', () => {
    const between = draws(4);
    for (let i = 0; i < 60; i += 1) {
      const truck: Truck = {
        front_left: between(60, 5000),
        front_right: between(60, 5000),
        rear_left: between(60, 5000),
        rear_right: between(60, 5000),
        wheelbase: between(60, 2000),
        front_track: between(60, 2000),
        rear_track: between(60, 2000),
        pack_mass: between(1, 5000),
        target_rear: between(5, 95),
      };
      const warp = i % 3 === 0 ? 0 : between(0.1, 40) * (i % 2 === 0 ? 1 : -1);
      const answer = sheet.answer(typed(truck, warp === 0 ? {} : { warp }));
      const expected = plainly(truck, warp);
      const scale = Math.max(1, Math.abs(expected.total!));
      for (const [name, value] of Object.entries(expected))
        expect(Math.abs(numberOf(answer, name) - value), `${name}: ${numberOf(answer, name)} against ${value}`).toBeLessThanOrEqual(
          1e-11 * Math.max(Math.abs(value), name === 'slide' ? Math.abs((scale * truck.wheelbase) / truck.pack_mass) : scale),
        );
      expect(names(answer).includes('add_at_rear')).toBe('add_at_rear' in expected);
      expect(names(answer).includes('add_at_front')).toBe('add_at_front' in expected);
    }
  });

  it('finds the balance point of the books: a car, a jeep on the scales, a truck', () => {
    // NCERT Physics XI, ch. 7, example 7.9: 1800 kg, 1.8 m, 1.05 m behind the front axle: 3675 N and 5145 N a wheel (g = 9.8); printed values
    // read. A gram here for each kilogram there, a millimetre for each centimetre.
    const car = { front_left: 3675 / 9.8, front_right: 3675 / 9.8, rear_left: 5145 / 9.8, rear_right: 5145 / 9.8, wheelbase: 180 };
    expectPrinted(sheet.value(car, 'cg_from_front'), '1.05', 100);
    expectNear(sheet.value(car, 'total'), 1800, 1e-12);
    // Halliday/Resnick/Walker, Fundamentals of Physics, ch. 12, automobile problem: 961 kg, 3.27 m, 0.615 m: 3827.18 N and 886.52 N a wheel
    // (g = 9.81); printed values read. A tenth of a gram for each newton.
    const jeep = { front_left: 3827.18, front_right: 3827.18, rear_left: 886.52, rear_right: 886.52, wheelbase: 327 };
    expectPrinted(sheet.value(jeep, 'cg_from_front'), '0.615', 100);
    // Physics textbook truck-scale problem: 5800 N, 6500 N, 3.2 m: 1.69 m; printed value read.
    const lorry = { front_left: 2900, front_right: 2900, rear_left: 3250, rear_right: 3250, wheelbase: 320 };
    expectPrinted(sheet.value(lorry, 'cg_from_front'), '1.69', 100);
  });

  it('adds on an axle what the balance of moments asks for', () => {
    // Second method: 3200 g with 1440 g in front; x on the front axle until (1440 + x)/(3200 + x) is 47 %: x = 64/0.53 g.
    const nose = { front_left: 720, front_right: 720, rear_left: 880, rear_right: 880, target_rear: 53 };
    expectNear(sheet.value(nose, 'add_at_front'), 64 / 0.53, 1e-12);
    const there = sheet.answer({ ...nose, front_left: 720 + 32 / 0.53, front_right: 720 + 32 / 0.53 });
    expectNear(numberOf(there, 'rear_share'), 53, 1e-12);
    const tail = sheet.answer({ ...nose, target_rear: 58 });
    const more = numberOf(tail, 'add_at_rear');
    expectNear(sheet.value({ ...nose, rear_left: 880 + more / 2, rear_right: 880 + more / 2 }, 'rear_share'), 58, 1e-12);
  });

  it('asks for 60 % on the rear wheels and an even cross by default, each within a point', () => {
    // Common practice, no source: a rear share near 60 % for a rear-wheel-drive desert truck.
    const answer = sheet.answer({ front_left: 600, front_right: 600, rear_left: 900, rear_right: 900 });
    expectNear(numberOf(answer, 'move_to_rear') + 1, 1, 1e-9);
    expect(answerOf(answer, 'rear_share')).toMatchObject({ verdict: 'on target' });
    const [rear, cross] = ['rear_share', 'cross_share'].map((name) => answerOf(answer, name).band!);
    for (const [end, expected] of [
      [rear!.low, 59],
      [rear!.high, 61],
      [cross!.low, 49],
      [cross!.high, 51],
    ] as const)
      expectNear(end, expected, 1e-12);
  });

  it('leaves out what needs a measure that was not given, and says which would widen the answer', () => {
    const { wheelbase: _, front_track: __, rear_track: ___, pack_mass: ____, ...four } = sandhopper;
    const answer = sheet.answer(four as Typed);
    for (const name of ['cg_from_front', 'cg_left', 'slide', 'add_at_front']) expect(names(answer)).not.toContain(name);
    for (const name of ['wheelbase', 'front_track', 'rear_track', 'pack_mass']) expect(answer.wider).toContain(name);
    expect(answer.wider).not.toContain('again');
    expect(names(sheet.answer({ ...four, front_track: 300 } as Typed))).not.toContain('cg_left');
  });

  describe('± of the scales', () => {
    const { front_left: fl, front_right: fr, rear_left: rl, rear_right: rr } = sandhopper;
    const total = fl + fr + rl + rr;
    /** By hand: ∂share/∂corner is (1 − share)/total for a corner that counts, −share/total for one that does not. */
    const shareOff = (counts: readonly boolean[], u: readonly number[], share: number): number =>
      (2 * Math.hypot(...u.map((each, i) => each * ((counts[i] ? 1 : 0) - share / 100)))) / total;
    const each = 1 / Math.sqrt(12);
    const warp = 5 / Math.sqrt(3);

    it('each reading is off by its step over √12, warp by its ± over √3, on the diagonals alone', () => {
      const answer = sheet.answer(typed(sandhopper));
      const expected = plainly(sandhopper);
      const off = (name: string): number => answerOf(answer, name).uncertainty!;
      expectNear(off('total'), 4 * each, 1e-12);
      const scales = [each, each, each, each];
      expectNear(off('rear_share'), 100 * shareOff([false, false, true, true], scales, expected.rear_share!), 1e-12);
      expectNear(off('front_share'), off('rear_share'), 1e-12);
      expectNear(off('left_share'), 100 * shareOff([true, false, true, false], scales, expected.left_share!), 1e-12);
      const cross = shareOff([false, true, true, false], scales, expected.cross_share!);
      // A gram of warp takes two from the cross.
      expectNear(off('cross_share'), 100 * Math.hypot(cross, (2 * 2 * warp) / total), 1e-12);
      expectNear(off('cross_load'), Math.hypot(2 * each, 4 * warp), 1e-12);
      expectNear(off('move_to_rear'), 2 * each * Math.hypot(0.6, 0.6, 0.4, 0.4), 1e-12);
      expectNear(off('slide'), (off('move_to_rear') * 330) / 290, 1e-12);
      expectNear(off('cg_from_front'), (off('rear_share') * 330) / 100, 1e-12);
      const pair = (a: number, b: number): number => (200 * Math.hypot(each * b, each * a, warp * (a + b))) / (a + b) ** 2;
      expectNear(off('front_left_share'), pair(fl, fr), 1e-12);
      expectNear(off('rear_left_share'), pair(rl, rr), 1e-12);
    });

    it('warp leaves the axle shares alone, whatever it is', () => {
      const wide = sheet.answer(typed(sandhopper, { warp: '0 ± 50' }));
      const none = sheet.answer(typed(sandhopper, { warp: '0 ± 0' }));
      for (const name of ['total', 'rear_share', 'front_share', 'left_share', 'cg_from_front', 'move_to_rear'])
        expectNear(answerOf(wide, name).uncertainty!, answerOf(none, name).uncertainty!, 1e-9);
      expect(answerOf(wide, 'cross_share').uncertainty! / answerOf(none, 'cross_share').uncertainty!).toBeGreaterThan(50);
      expect(answerOf(wide, 'cross_share').verdict).toBe('too close to call');
    });

    it('a coarser scale widens them; a ± of its own takes the place of the step', () => {
      const coarse = sheet.answer(typed(sandhopper, { scale_step: '5' }));
      expectNear(answerOf(coarse, 'total').uncertainty, 20 * each, 1e-12);
      const own = sheet.answer(typed(sandhopper, { front_left: '612 ± 3', scale_step: '5' }));
      expectNear(answerOf(own, 'total').uncertainty, 2 * Math.hypot(3 / Math.sqrt(3), 5 * each, 5 * each, 5 * each), 1e-12);
      expectNear(own.readings.find(({ name }) => name === 'front_left')!.uncertainty, 6 / Math.sqrt(3), 1e-12);
    });

    it('front share and rear share move against each other: together they are 100 %', () => {
      const answer = sheet.answer(typed(sandhopper));
      expectNear(numberOf(answer, 'front_share') + numberOf(answer, 'rear_share'), 100, 1e-14);
    });

    it('a second weighing is averaged in, and the scatter of the two counts', () => {
      const again = [610, 608, 900, 899];
      const first = [fl, fr, rl, rr];
      const answer = sheet.answer(typed(sandhopper, { again: again.join(' ') }));
      const means = first.map((value, i) => (value + again[i]!) / 2);
      const mean = plainly({ ...sandhopper, front_left: means[0]!, front_right: means[1]!, rear_left: means[2]!, rear_right: means[3]! });
      for (const [name, value] of Object.entries(mean))
        expectNear(numberOf(answer, name), value, name === 'cross_load' || name === 'cg_left' ? 1e-9 : 1e-11);
      // IUPAC, Compendium of Chemical Terminology (1997), pooled standard deviation: √(Σd²/2k) for k pairs; of a mean of two, over √2.
      const pooled = Math.sqrt(first.reduce((sum, value, i) => sum + (value - again[i]!) ** 2, 0) / 8);
      const corner = Math.hypot(each, pooled / Math.SQRT2);
      expectNear(answerOf(answer, 'total').uncertainty, 4 * corner, 1e-9);
      expectNear(answer.readings[0]!.uncertainty, 2 * corner, 1e-9);
      // With a ± of its own the scatter counts too.
      const own = sheet.answer(typed(sandhopper, { again: again.join(' '), front_left: '612 ± 3' }));
      expectNear(answerOf(own, 'total').uncertainty, 2 * Math.hypot(3 / Math.sqrt(3), pooled / Math.SQRT2, corner, corner, corner), 1e-9);
      // The same weighing twice has no scatter.
      expectNear(answerOf(sheet.answer(typed(sandhopper, { again: '612 605 901 896' })), 'total').uncertainty, 4 * each, 1e-9);
    });
  });

  it('calls the rear share on target, off target, or too close to call', () => {
    const verdict = (rear: number, more: Typed = {}) => {
      const front = 3000 - rear;
      const readings = { front_left: front / 2, front_right: front / 2, rear_left: rear / 2, rear_right: rear / 2, ...more };
      return answerOf(sheet.answer(readings), 'rear_share').verdict;
    };
    expect(verdict(1800)).toBe('on target');
    expect(verdict(1900)).toBe('off target');
    expect(verdict(1700)).toBe('off target');
    // 61 % is 1830 g of 3000 g, off by about 0.014 % of it: a gram is 0.033 %.
    expect(verdict(1829)).toBe('on target');
    expect(verdict(1830)).toBe('too close to call');
    expect(verdict(1831)).toBe('off target');
    expect(verdict(1829, { scale_step: 10 })).toBe('too close to call');
    expect(verdict(1900, { target_rear: 63 })).toBe('on target');
    expect(verdict(1900, { target_band: 5 })).toBe('on target');
  });

  it('says one thing to do', () => {
    const heavy = (front: number, rear: number, more: Typed = {}): Typed => ({
      front_left: front,
      front_right: front,
      rear_left: rear,
      rear_right: rear,
      ...more,
    });
    const pack = { wheelbase: 330, pack_mass: 290 };
    expect(nextOf(sheet.answer(heavy(650, 850, pack)))).toBe('Slide the pack 114 back, or add 250 on the rear axle.');
    expect(nextOf(sheet.answer(heavy(550, 950, pack)))).toMatch(/^Slide the pack 114 forward, or add 167 on the front axle\.$/);
    expect(nextOf(sheet.answer(heavy(650, 850)))).toMatch(/^Add 250 on the rear axle\./);
    expect(nextOf(sheet.answer(heavy(550, 950)))).toMatch(/^Add 167 on the front axle\./);
    expect(nextOf(sheet.answer(heavy(585, 915, { scale_step: 5 })))).toMatch(/^Rear share is too close to call/);
    expect(nextOf(sheet.answer({ front_left: 640, front_right: 560, rear_left: 860, rear_right: 940 }))).toMatch(
      /^Rear share is right\. Cross is off/,
    );
    expect(nextOf(sheet.answer(heavy(600, 900, { warp: '0 ± 40' })))).toMatch(/^Rear share is right\. Cross is too close to call/);
    expect(nextOf(sheet.answer(heavy(600, 900)))).toMatch(/^Leave the weight where it is/);
  });

  it('warns of a corner that is mistyped, and of a truck of another size', () => {
    const four = { front_left: 612, front_right: 605, rear_left: 901, rear_right: 896 };
    expect(cautionsOf(sheet.answer(four))).toEqual([]);
    for (const name of Object.keys(four) as (keyof typeof four)[]) {
      const partner = name.replace(/left|right/, (side) => (side === 'left' ? 'right' : 'left')) as keyof typeof four;
      const words = (corner: string): string => corner.replace('_', ' ');
      expect(cautionsOf(sheet.answer({ ...four, [name]: 3.01 * four[partner] }))[0]!.toLowerCase()).toContain(
        `${words(name)} is more than three times ${words(partner)}`,
      );
      expect(cautionsOf(sheet.answer({ ...four, [name]: four[partner] / 3.01 }))[0]!.toLowerCase()).toContain(
        `${words(partner)} is more than three times ${words(name)}`,
      );
      expect(cautionsOf(sheet.answer({ ...four, [name]: 2.99 * four[partner] }))).toEqual([]);
    }
    const size = (total: number): string[] =>
      cautionsOf(sheet.answer({ front_left: total / 4, front_right: total / 4, rear_left: total / 4, rear_right: total / 4 }));
    expect(size(1499).join()).toContain('is this a 1/10 truck?');
    expect(size(1500)).toEqual([]);
    expect(size(6000)).toEqual([]);
    expect(size(6001).join()).toContain('is this a 1/10 truck?');
  });

  it('takes every load and length of the contract, and refuses what lies outside by name', () => {
    for (const load of ['10', '10 g', '5000', '5 kg'])
      sheet.answer({ front_left: load, front_right: load, rear_left: load, rear_right: load });
    const texts = sheet.problems({ front_left: '6120', front_right: '605', rear_left: '1,234', rear_right: '' }).map(({ text }) => text);
    expect(texts).toEqual([
      'Front left: "6120" is out. Give 10 to 5000 g. Did you mean 612.0 g?',
      'Rear left: "1,234" can be read two ways. Type 1234 or 1.234.',
      'Rear right: nothing was typed. Give 10 to 5000 g.',
    ]);
    expect(sheet.problems({}).map(({ reading }) => reading)).toEqual(['front_left', 'front_right', 'rear_left', 'rear_right']);
  });

  it('is sound at the ends of every range', () => {
    expectSoundEverywhere(sheet, 120);
  });
});
