import { describe, expect, it } from 'vitest';
import { DomainError, si } from '../../../calc/formula.ts';
import { ballast } from '../../../calc/weight/ballast.ts';
import { draws, expectNear } from '../../support/book.ts';

type Place = number | 'off';
interface Part {
  readonly name: string;
  /** g */
  readonly mass: number;
  /** mm behind the front axle, like all places. */
  readonly now: Place;
  readonly places: readonly Place[];
}
/** In grams, millimetres and percent, as a member asks. */
interface Question {
  readonly front: number;
  readonly rear: number;
  readonly wheelbase: number;
  readonly target: number;
  readonly tolerance: number;
  readonly parts: readonly Part[];
}
const inMetres = (place: Place) => (place === 'off' ? place : si<'m'>(place / 1000));
const ask = ({ front, rear, wheelbase, target, tolerance, parts }: Question) =>
  ballast({
    frontLoad: si(front / 1000),
    rearLoad: si(rear / 1000),
    wheelbase: si(wheelbase / 1000),
    targetRear: si(target / 100),
    tolerance: si(tolerance / 100),
    parts: parts.map(({ name, mass, now, places }) => ({
      name,
      mass: si(mass / 1000),
      now: inMetres(now),
      places: places.map(inMetres),
    })),
  });

/** The places of a part in the order that decides between equals: the place now first unless it is listed, doubles once. */
const choicesOf = ({ now, places }: Part): Place[] => [...new Set(places.includes(now) ? places : [now, ...places])];

interface Plan {
  readonly added: number;
  readonly moves: number;
  readonly error: number;
  readonly text: string;
}

/** Brute force, by the words of the contract and in its units: every plan from the masses and moments that are left when all parts are off. */
function everyPlan({ front, rear, wheelbase, target, parts }: Question): Plan[] {
  const aboard = parts.filter(({ now }) => now !== 'off');
  const bare = front + rear - aboard.reduce((sum, { mass }) => sum + mass, 0);
  const bareMoment = rear * wheelbase - aboard.reduce((sum, { mass, now }) => sum + mass * (now as number), 0);
  const plans: Plan[] = [];
  const place = (i: number, mass: number, moment: number, moved: readonly string[]): void => {
    const part = parts[i];
    if (part === undefined) {
      const error = moment / (mass * wheelbase) - target / 100;
      plans.push({ added: mass - front - rear, moves: moved.length, error, text: moved.join('; ') || 'nothing moves' });
      return;
    }
    for (const choice of choicesOf(part)) {
      const onMass = choice === 'off' ? 0 : part.mass;
      const onMoment = choice === 'off' ? 0 : part.mass * choice;
      place(i + 1, mass + onMass, moment + onMoment, choice === part.now ? moved : [...moved, `${part.name} ${choice}`]);
    }
  };
  place(0, bare, bareMoment, []);
  return plans;
}

/** The plans that are left when only those stay whose merit is the least, to within half a unit of what the contract compares to. */
function leastOnly<P>(plans: readonly P[], merit: (plan: P) => number, half: number): P[] {
  const least = plans.reduce((low, plan) => Math.min(low, merit(plan)), Number.POSITIVE_INFINITY);
  return plans.filter((plan) => merit(plan) <= least + half);
}
function bestOf<P extends Omit<Plan, 'text'>>(all: readonly P[], tolerance: number): { plans: P[]; within: boolean } {
  const byAdded = (plans: readonly P[]) => leastOnly(plans, ({ added }) => added, 0.0005);
  const byMoves = (plans: readonly P[]) => leastOnly(plans, ({ moves }) => moves, 0);
  const byError = (plans: readonly P[]) => leastOnly(plans, ({ error }) => Math.abs(error), 0.5e-9);
  const within = all.filter(({ error }) => Math.abs(error) <= tolerance / 100 + 0.5e-9);
  if (within.length > 0) return { plans: byError(byMoves(byAdded(within))), within: true };
  return { plans: byMoves(byAdded(byError(all))), within: false };
}

const pack: Part = { name: 'pack', mass: 290, now: 185, places: [185, 210, 240] };
const lead: Part = { name: 'lead', mass: 60, now: 'off', places: ['off', 330] };

describe('moving parts about to bring the rear share to its target', () => {
  it('balances the moments as two scales would show them', () => {
    // Physics textbook problem with truck scales: 5800 N on the front, 6500 N on the rear, 3.2 m: the load is 1.69 m behind the front
    // axle. Printed value read. As a share of the wheelbase: 0.528.
    const { rearShare, total, plan } = ask({
      front: 5800,
      rear: 6500,
      wheelbase: 3200,
      target: 60,
      tolerance: 10,
      parts: [{ name: 'spare', mass: 10, now: 0, places: [0] }],
    });
    expect(Math.abs(rearShare * 3.2 - 1.69)).toBeLessThanOrEqual(0.005);
    expectNear(total, 12.3);
    expect(plan).toBe('nothing moves');
  });

  it('needs 120.755 g on the front axle of a 3200 g truck for 47 % on the front', () => {
    // Moment balance, computed by a second method: 3200 g, 1440 g on the front, ballast at the front axle, wanted share 0.47: 120.7547… g.
    const { error, addedMass, plan, rearShare } = ask({
      front: 1440,
      rear: 1760,
      wheelbase: 330,
      target: 53,
      tolerance: 0,
      parts: [{ name: 'lead', mass: 120.75471698113206, now: 'off', places: [0, 330] }],
    });
    expect(plan).toBe('lead 0');
    expect(Math.abs(error)).toBeLessThan(1e-12);
    expectNear(rearShare, 0.53);
    expectNear(addedMass, 0.12075471698113206);
  });

  it('writes the plan in millimetres, the parts that move in the order listed', () => {
    const moved = ask({ front: 1220, rear: 1780, wheelbase: 330, target: 60, tolerance: 0.25, parts: [lead, pack] });
    expect(moved.plan).toBe('pack 210');
    expect(moved).toMatchObject({ moves: 1, addedMass: 0 });
    const both = ask({
      front: 1300,
      rear: 1700,
      wheelbase: 330,
      target: 49.8,
      tolerance: 0.25,
      parts: [
        { ...pack, places: [210.5, -20.25, 239.9] },
        { ...lead, now: 300, places: ['off', 300] },
      ],
    });
    // By hand: (561 000 − 60·300 − 290·205.25) g·mm/(2940 g · 330 mm) = 49.83 %, and no other plan comes near.
    expect(both.plan).toBe('pack -20.25; lead off');
    expectNear(both.rearShare, 483477.5 / 970200);
    expectNear(both.addedMass, -0.06);
  });

  it('writes a place as short as it was typed, whatever floating point makes of it', () => {
    for (const place of [0.1, 70.3, 114.9, 201.7, 290.1, 333.3, 1100.1, 0.3 - 0.1, -0.1]) {
      const { plan } = ask({
        front: 1000,
        rear: 1000,
        wheelbase: 330,
        target: 100,
        tolerance: 0,
        parts: [{ name: 'lead', mass: 50, now: -500, places: [place] }],
      });
      expect(plan).toBe(`lead ${Number(place.toFixed(6))}`);
    }
  });

  it('takes mass off before it moves anything, as long as the share stays within tolerance', () => {
    const { plan, addedMass } = ask({
      front: 1200,
      rear: 1800,
      wheelbase: 330,
      target: 60,
      tolerance: 1,
      parts: [
        { name: 'front plate', mass: 40, now: 120, places: ['off'] },
        { name: 'rear plate', mass: 25, now: 'off', places: [300] },
      ],
    });
    expect(plan).toBe('front plate off');
    expectNear(addedMass, -0.04);
  });

  it('of equal plans takes the place listed first, of the part listed first', () => {
    const twin = (name: string, places: readonly Place[]): Part => ({ name, mass: 50, now: 100, places });
    const plan = (parts: readonly Part[]) => ask({ front: 1230, rear: 1770, wheelbase: 330, target: 60, tolerance: 0.05, parts }).plan;
    // 30 g have to go from front to rear: 50 g by 198 mm. One of the two is enough, and both do it alike.
    expect(plan([twin('left', [100, 298]), twin('right', [100, 298])])).toBe('right 298');
    expect(plan([twin('left', [298, 100]), twin('right', [100, 298])])).toBe('left 298');
    expect(plan([twin('left', [100, 298]), twin('right', [298, 100])])).toBe('right 298');
    // A place now that is not listed stands before the listed ones.
    expect(plan([twin('left', [298]), twin('right', [298])])).toBe('right 298');
    // Ahead of the target by as much as behind it is as good.
    const either = (places: readonly Place[]) =>
      ask({ front: 1200, rear: 1800, wheelbase: 400, target: 60, tolerance: 0, parts: [{ name: 'lead', mass: 100, now: 390, places }] })
        .plan;
    expect(either([390, 410])).toBe('nothing moves');
    expect(
      ask({ front: 1200, rear: 1800, wheelbase: 400, target: 60, tolerance: 0, parts: [{ ...twin('lead', [90, 110]), now: 200 }] }).plan,
    ).toBe('nothing moves');
    const two = (places: readonly Place[]) =>
      ask({ front: 1190, rear: 1810, wheelbase: 400, target: 60, tolerance: 0, parts: [{ name: 'lead', mass: 100, now: 300, places }] })
        .plan;
    // 10 g too many at the rear: 40 mm forward. 250 and 270 miss by 10 mm, one on either side.
    expect(two([250, 270])).toBe('lead 250');
    expect(two([270, 250])).toBe('lead 270');
  });

  it('knows a place typed in another unit as the same place', () => {
    const question = (now: number, places: readonly number[]) =>
      ballast({
        frontLoad: si(1.2),
        rearLoad: si(1.8),
        wheelbase: si(0.33),
        targetRear: si(0.6),
        tolerance: si(0.001),
        parts: [{ name: 'pack', mass: si(0.3), now: si(now), places: places.map((place) => si<'m'>(place)) }],
      });
    expect(question(0.1 + 0.2, [0.3]).plan).toBe('nothing moves');
    expect(question(0.1 + 0.2, [0.3]).moves).toBe(0);
    expect(question(11.811023622047244 * 0.0254, [0.3, 0.31]).plan).toBe('nothing moves');
  });

  it('finds what going through every plan finds, on thousands of questions', () => {
    const between = draws(2024);
    const upTo = (n: number): number => Math.min(n - 1, Math.floor(Math.log(between(1, Math.E)) * n));
    const oneOf = <T>(values: readonly T[]): T => values[upTo(values.length)]!;
    const tolerance = () => oneOf([0, 0.25, 0.25, 1, 100, between(0.001, 2)]);
    const partsOf = (mass: () => number, shelf: () => Place[], now: (places: readonly Place[]) => Place): Part[] => {
      const parts: Part[] = [];
      let plans = 1;
      for (let i = 1 + upTo(5); i > 0 && plans <= 250; i -= 1) {
        const places = shelf();
        const part = { name: `part ${i}`, mass: mass(), now: now(places), places };
        plans *= choicesOf(part).length;
        parts.push(part);
      }
      return parts;
    };
    const aboard = (parts: readonly Part[], weight: (mass: number, place: number) => number): number =>
      parts.reduce((sum, { mass, now }) => (now === 'off' ? sum : sum + weight(mass, now)), 0);
    /** Fine masses and places make near misses; ounces make masses with no end of decimals. */
    const anyQuestion = (): Question => {
      const spot = (): Place => (upTo(4) === 0 ? 'off' : Math.round(10 * (upTo(400) - 50 + between(1, 2))) / 10);
      const parts = partsOf(
        oneOf([() => between(5, 300), () => 28.349523125 * (1 + upTo(3))]),
        () => Array.from({ length: 1 + upTo(4) }, spot),
        (places) => oneOf([oneOf(places), spot()]),
      );
      const weight = aboard(parts, (mass) => mass);
      const target = oneOf([60, 58.5, between(40, 75), 0, 100]);
      return {
        front: between(500, 2000) + weight / 2,
        rear: between(500, 3000) + weight / 2,
        wheelbase: 330,
        target,
        tolerance: tolerance(),
        parts,
      };
    };
    /** Coarse masses and places: many plans add the same mass. */
    const coarseQuestion = (): Question => {
      const spot = (): Place => (upTo(4) === 0 ? 'off' : 30 * (upTo(14) - 2));
      const parts = partsOf(
        () => 10 * (1 + upTo(4)),
        () => Array.from({ length: 1 + upTo(4) }, spot),
        (places) => oneOf([oneOf(places), 'off', spot()]),
      );
      const weight = aboard(parts, (mass) => mass);
      const [front, rear] = [600 + 10 * upTo(80) + weight / 2, 900 + 10 * upTo(90) + weight / 2];
      return { front, rear, wheelbase: oneOf([300, 330, 285]), target: oneOf([60, 57.5]), tolerance: tolerance(), parts };
    };
    /** All parts alike, on a truck that is on target but for them: equals on both sides of it. */
    const twinQuestion = (): Question => {
      const spots: Place[] = [150, 160, 170, 175, 185, 190, 200, 210, 'off'];
      const mass = oneOf([20, 28.349523125, 50]);
      const parts = partsOf(
        // Some differ by less than the milligram that masses compare to: 0.23 mg, whose sums never come to just half of one.
        oneOf([() => mass, () => mass, () => mass + 0.00023 * upTo(4)]),
        () => Array.from({ length: 1 + upTo(4) }, () => oneOf(spots)),
        (places) => oneOf([oneOf(places), oneOf(spots)]),
      );
      const bare = 1000 + 100 * upTo(20);
      const onRear = aboard(parts, (each, place) => (each * place) / 300);
      const front = 0.4 * bare + aboard(parts, (each) => each) - onRear;
      return { front, rear: 0.6 * bare + onRear, wheelbase: 300, target: 60, tolerance: oneOf([0, 0, 0.02, 0.25, 100]), parts };
    };
    const seen = { within: 0, none: 0, equals: 0, mixedEquals: 0, staying: 0, lighter: 0, unlisted: 0 };
    for (let round = 0; round < 6000; round += 1) {
      const question = oneOf([anyQuestion, coarseQuestion, twinQuestion])();
      seen.unlisted += question.parts.some(({ now, places }) => !places.includes(now)) ? 1 : 0;
      const all = everyPlan(question);
      const { plans: best, within } = bestOf(all, question.tolerance);
      const got = ask(question);
      const wanted = best[0]!;
      const about = `${got.plan} against ${wanted.text}: ${JSON.stringify(question)}`;
      expect(got.plan, about).toBe(wanted.text);
      expect(got.moves, about).toBe(wanted.moves);
      expect(Math.abs(got.error - wanted.error), about).toBeLessThan(1e-12);
      expect(Math.abs(got.addedMass * 1000 - wanted.added), about).toBeLessThan(1e-9);
      expect(Math.abs(got.rearShare - got.error - question.target / 100), about).toBeLessThan(1e-12);
      seen[within ? 'within' : 'none'] += 1;
      if (best.length > 1) seen.equals += 1;
      if (new Set(best.map(({ error }) => Math.sign(error))).size > 1) seen.mixedEquals += 1;
      if (wanted.moves === 0) seen.staying += 1;
      if (wanted.added < -1) seen.lighter += 1;
    }
    // The draws have to hold every kind of question, or the comparison proves less than it says.
    expect(Math.min(...Object.values(seen)), JSON.stringify(seen)).toBeGreaterThan(20);
  });

  it('finds what going through all of 279 936 plans finds', () => {
    const between = draws(8);
    for (const tolerance of [0, 0.25, 3]) {
      const parts = Array.from({ length: 7 }, (_, i): Part => {
        const places: Place[] = Array.from({ length: 5 }, () => Math.round(between(20, 400)));
        return { name: `p${i}`, mass: 5 * Math.round(between(1, 12)), now: i % 2 === 0 ? 'off' : places[1]!, places: ['off', ...places] };
      });
      const question = { front: 1300, rear: 1650, wheelbase: 330, target: tolerance === 3 ? 75 : 60, tolerance, parts };
      const { plans } = bestOf(everyPlan(question), tolerance);
      expect(ask(question).plan).toBe(plans[0]!.text);
    }
  });

  it('is exact and answers within a second where there are two thousand million plans', () => {
    // A second method at full size: masses in 10 g and places in 10 mm make few different (mass, moment, moves), so all that can be reached
    // is written down part by part, from the last to the first, in whole numbers; then the parts are placed one by one.
    const between = draws(12);
    const upTo = (n: number): number => Math.min(n - 1, Math.floor(Math.log(between(1, Math.E)) * n));
    const moments = 4096;
    for (const { target, tolerance } of [
      { target: 60, tolerance: 0.25 },
      { target: 60, tolerance: 0 },
      { target: 52, tolerance: 0.02 },
      { target: 60, tolerance: 100 },
      { target: 97, tolerance: 1 },
    ]) {
      const parts = Array.from({ length: 12 }, (_, i): Part => {
        const places: Place[] = [];
        while (places.length < 6) {
          const place: Place = upTo(4) === 0 ? 'off' : 10 * upTo(34);
          if (!places.includes(place)) places.push(place);
        }
        return { name: `p${i}`, mass: 10 * (1 + upTo(4)), now: places[upTo(6)]!, places };
      });
      const question = { front: 1360, rear: 1740, wheelbase: 330, target, tolerance, parts };
      const aboard = parts.filter(({ now }) => now !== 'off');
      const bare = 310 - aboard.reduce((sum, { mass }) => sum + mass / 10, 0);
      const bareMoment = 174 * 33 - aboard.reduce((sum, { mass, now }) => sum + (mass / 10) * ((now as number) / 10), 0);
      const step = (part: Part, place: Place): number =>
        (place === 'off' ? 0 : ((part.mass / 10) * moments + (part.mass / 10) * (place / 10)) * 16) + (place === part.now ? 0 : 1);
      const reached: Set<number>[] = [new Set([0])];
      for (const part of parts.toReversed()) {
        const next = new Set<number>();
        for (const state of reached[0]!) for (const place of part.places) next.add(state + step(part, place));
        reached.unshift(next);
      }
      const merits = [...reached[0]!].map((state) => {
        const mass = Math.floor(state / 16 / moments);
        const moment = Math.floor(state / 16) % moments;
        const total = bare + mass;
        return { state, added: (total - 310) * 10, moves: state % 16, error: (bareMoment + moment) / (33 * total) - target / 100 };
      });
      let left = bestOf(merits, tolerance).plans.map(({ state }) => state);
      const moved: string[] = [];
      parts.forEach((part, i) => {
        const place = part.places.find((each) => left.some((state) => reached[i + 1]!.has(state - step(part, each))))!;
        left = left.map((state) => state - step(part, place)).filter((state) => reached[i + 1]!.has(state));
        if (place !== part.now) moved.push(`${part.name} ${place}`);
      });

      const started = performance.now();
      const { plan } = ask(question);
      const took = performance.now() - started;
      expect(plan).toBe(moved.join('; ') || 'nothing moves');
      expect(took).toBeLessThan(1000);
    }
  });

  it('answers within seconds at the limit, whatever the parts are like', () => {
    const between = draws(5);
    const strips = (count: number, places: readonly Place[], mass: () => number, now: Place) =>
      Array.from({ length: count }, (_, i): Part => ({ name: `s${i}`, mass: mass(), now, places }));
    const kinds = [
      strips(34, ['off', 300], () => 10, 'off'),
      strips(34, ['off', 300], () => Math.round(between(2, 40) * 1000) / 1000, 'off'),
      strips(22, ['off', 40, 300], () => Math.round(between(2, 40)), 40),
      strips(12, [20, 80, 140, 200, 260, 310, 360], () => 15, 140),
      strips(
        2,
        Array.from({ length: 2000 }, (_, i) => i / 5),
        () => Math.round(between(20, 90)),
        'off',
      ),
    ];
    kinds.forEach((parts, i) => {
      const started = performance.now();
      ask({ front: 1300, rear: 1700, wheelbase: 330, target: 61.7, tolerance: i % 2 === 0 ? 0 : 0.25, parts });
      expect(performance.now() - started).toBeLessThan(5000);
    });
  });

  it('refuses a list with more plans than it can be sure of, and says how many it can', () => {
    const many = Array.from({ length: 40 }, (_, i): Part => ({ name: `s${i}`, mass: 5, now: 'off', places: [300] }));
    const refused = () => ask({ front: 1300, rear: 1700, wheelbase: 330, target: 60, tolerance: 0, parts: many });
    expect(refused).toThrow(DomainError);
    expect(refused).toThrow('each half of the list may make 200000 plans');
    expect(refused).toThrow('12 parts of 7 places each stay below that, and so do 34 that are only on or off');
    // Parts with nowhere else to go are no plans.
    const resting = Array.from({ length: 400 }, (_, i): Part => ({ name: `s${i}`, mass: 1, now: 200, places: [200] }));
    expect(ask({ front: 1300, rear: 1700, wheelbase: 330, target: 60, tolerance: 0, parts: [...resting, lead] }).plan).toBe('lead 330');
  });

  it('refuses parts that weigh as much as the truck they are on', () => {
    const question = (mass: number, now: Place) => () =>
      ask({ front: 100, rear: 190, wheelbase: 330, target: 60, tolerance: 1, parts: [{ name: 'pack', mass, now, places: ['off', 200] }] });
    expect(question(290, 185)).toThrow('the parts on the truck weigh as much as the whole truck, or more');
    expect(question(289.9, 185)).not.toThrow();
    expect(question(400, 'off')).not.toThrow();
  });

  it('is the same question for a truck twice as heavy with parts twice as heavy', () => {
    const between = draws(77);
    for (let i = 0; i < 40; i += 1) {
      const parts = [pack, lead, { name: 'winch', mass: between(20, 200), now: 20, places: [-40, 20, 60] }];
      const once = { front: between(900, 1800), rear: between(900, 2500), wheelbase: 330, target: 60, tolerance: 0.25, parts };
      const twice = ask({
        ...once,
        front: 2 * once.front,
        rear: 2 * once.rear,
        parts: parts.map((part) => ({ ...part, mass: 2 * part.mass })),
      });
      const { plan, error, total, addedMass } = ask(once);
      expect(twice.plan).toBe(plan);
      expect(Math.abs(twice.error - error)).toBeLessThan(1e-12);
      expectNear(twice.total, 2 * total, 1e-12);
      expect(Math.abs(twice.addedMass - 2 * addedMass)).toBeLessThan(1e-12);
    }
  });

  it('weighs loads as masses: newtons do not compile', () => {
    const others = { rearLoad: si<'kg'>(1), wheelbase: si<'m'>(1), targetRear: si<'1'>(0.6), tolerance: si<'1'>(0), parts: [] };
    // @ts-expect-error scales read mass
    const wrong = () => ballast({ frontLoad: si<'N'>(1), ...others });
    expect(wrong).toThrow('a list of at least 1');
  });
});
