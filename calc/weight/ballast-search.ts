/**
 * The best of all plans of a ballast question, exact: meet in the middle.
 *
 * A plan gives every part one of its places. What a plan weighs, how far it leans to the rear and how many parts it moves are plain sums over
 * its parts, and "within a bound b of the target" is |lean| ≤ b × total, so two linear bounds: lean − b·total ≤ 0 and −lean − b·total ≤ 0.
 * The parts are cut in two in the order listed, the plans of each half written out (6⁶ = 46 656 for six parts of six places, not 6¹² for twelve),
 * and each question about pairs of half plans is answered by sorting one half and looking the other half's answer up:
 *
 *   1. least |error|     least |lean| − λ·total over all pairs, λ raised to what was found until it stays (Dinkelbach 1967): each round a sweep
 *   2. least added mass  two bounds, one least value: a sweep over the first, prefix minima (Fenwick 1994) over the second; by number of moves
 *   3. least |error| among the plans of that mass and those moves: the half sorted by moves, mass and lean, searched by bisection
 *   4. the plan listed first among all that are equal: the first half plan, in the order listed, that has a partner; then its first partner
 *
 * The merits are thus taken one after another over all plans, and never plan against plan: "equal to 1 mg" is no transitive relation between
 * plans, and what comes out must not depend on the order of looking. Costs go with N log N for halves of N plans, times the moves of one half.
 *
 * Source: Horowitz & Sahni, Computing partitions with applications to the knapsack problem, J. ACM 21 (1974), 277–292 (the two halves).
 */

/** One place of a part: what taking it changes against the truck as it stands. The place now is all zeros. */
export interface Place {
  /** kg put on, negative when taken off. */
  readonly mass: number;
  /** kg: share of the mass on the rear axle, less the target's share of it. */
  readonly lean: number;
  readonly moved: boolean;
}
/** The truck as it stands: kg, and kg on the rear axle beyond the target share. */
export interface Standing {
  readonly total: number;
  readonly lean: number;
}

/** Half of the last milligram counts as equal, and half of the last 1e-9 of a share. */
const EQUAL_MICROGRAMS = 500;
const EQUAL_SHARE = 0.5e-9;
/** Plans of one half: 7⁶, 2¹⁷ and 3¹¹ are within it. Two halves of this size are searched in about a second. */
export const LARGEST_HALF = 200_000;

/** Where to cut a list so that the larger side has as few plans as possible, and how many those are. */
export function bestCut(places: readonly number[]): { readonly at: number; readonly larger: number } {
  const product = (counts: readonly number[]): number => counts.reduce((a, b) => a * b, 1);
  let best = { at: 0, larger: product(places) };
  for (let at = 1; at <= places.length; at += 1) {
    const larger = Math.max(product(places.slice(0, at)), product(places.slice(at)));
    if (larger < best.larger) best = { at, larger };
  }
  return best;
}

/** All plans of some parts, in the order listed: the place of the first part changes slowest. */
interface Half {
  readonly count: number;
  /** kg, with the truck in one of the halves. */
  readonly total: Float64Array;
  readonly lean: Float64Array;
  /** Added mass in whole micrograms, so that sums of them are exact. */
  readonly added: Float64Array;
  readonly moves: Uint8Array;
}

function writtenOut(parts: readonly (readonly Place[])[], start: Standing): Half {
  let half: Half = {
    count: 1,
    total: Float64Array.of(start.total),
    lean: Float64Array.of(start.lean),
    added: Float64Array.of(0),
    moves: Uint8Array.of(0),
  };
  for (const places of parts) {
    const count = half.count * places.length;
    const next = {
      count,
      total: new Float64Array(count),
      lean: new Float64Array(count),
      added: new Float64Array(count),
      moves: new Uint8Array(count),
    };
    places.forEach((place, j) => {
      const added = Math.round(place.mass * 1e9);
      for (let i = 0, k = j; i < half.count; i += 1, k += places.length) {
        next.total[k] = half.total[i]! + place.mass;
        next.lean[k] = half.lean[i]! + place.lean;
        next.added[k] = half.added[i]! + added;
        next.moves[k] = half.moves[i]! + (place.moved ? 1 : 0);
      }
    });
    half = next;
  }
  return half;
}

/** Numbers of the plans of a half, sorted by a key that each of them has. */
function sortedBy(key: Float64Array): Uint32Array {
  return Uint32Array.from(key.keys()).sort((a, b) => key[a]! - key[b]!);
}

/** Step 1: the least |error| of all plans. */
function leastError(left: Half, right: Half): number {
  const orders = [sortedBy(left.lean), sortedBy(right.lean)] as const;
  let least = Math.abs(left.lean[0]! + right.lean[0]!) / (left.total[0]! + right.total[0]!);
  for (;;) {
    const found = Math.min(belowBound(left, right, orders, least, 1), belowBound(left, right, orders, least, -1));
    if (!(found < least)) return least;
    least = found;
  }
}

/**
 * |error| of the plan whose |lean| − bound·total is least, of those that lean to the rear (side 1) or to the front (side −1).
 *
 * Going through the left half from its least leaning plan on, ever more plans of the right half make a pair that leans to this side.
 */
function belowBound(left: Half, right: Half, orders: readonly [Uint32Array, Uint32Array], bound: number, side: 1 | -1): number {
  const [leftOrder, rightOrder] = orders;
  let least = Number.POSITIVE_INFINITY;
  let error = Number.POSITIVE_INFINITY;
  let partner = -1;
  let partnerValue = Number.POSITIVE_INFINITY;
  let taken = 0;
  for (let k = 0; k < left.count; k += 1) {
    const a = leftOrder[side === 1 ? k : left.count - 1 - k]!;
    for (; taken < right.count; taken += 1) {
      const b = rightOrder[side === 1 ? right.count - 1 - taken : taken]!;
      if (side * (left.lean[a]! + right.lean[b]!) < 0) break;
      const value = side * right.lean[b]! - bound * right.total[b]!;
      if (value < partnerValue) {
        partnerValue = value;
        partner = b;
      }
    }
    const value = side * left.lean[a]! - bound * left.total[a]! + partnerValue;
    if (value < least) {
      least = value;
      error = Math.abs(left.lean[a]! + right.lean[partner]!) / (left.total[a]! + right.total[partner]!);
    }
  }
  return error;
}

/** Step 2: for each number of moves, the least added mass (µg) of the plans whose |error| is within the bound. */
function leastAdded(left: Half, right: Half, bound: number): Float64Array {
  const toRear = ({ total, lean }: Half): Float64Array => lean.map((each, i) => each - bound * total[i]!);
  const toFront = ({ total, lean }: Half): Float64Array => lean.map((each, i) => -each - bound * total[i]!);
  const [leftRear, leftFront, rightRear, rightFront] = [toRear(left), toFront(left), toRear(right), toFront(right)];
  const leftOrder = sortedBy(leftRear);
  const rightOrder = sortedBy(rightRear);
  const frontOrder = sortedBy(rightFront);
  const best = new Float64Array(most(left.moves) + most(right.moves) + 1).fill(Number.POSITIVE_INFINITY);
  for (let moves = 0; moves <= most(right.moves); moves += 1) {
    const hasMoves = (b: number): boolean => right.moves[b] === moves;
    const candidates = rightOrder.filter(hasMoves);
    const byFront = frontOrder.filter(hasMoves);
    const fronts = Float64Array.from(byFront, (b) => rightFront[b]!);
    const rank = new Uint32Array(right.count);
    byFront.forEach((b, r) => {
      rank[b] = r + 1;
    });
    const lightest = candidates.reduce((light, b) => Math.min(light, right.added[b]!), Number.POSITIVE_INFINITY);
    // Fenwick's tree: tree[r] is the least added mass over the ranks that r covers.
    const tree = new Float64Array(byFront.length + 1).fill(Number.POSITIVE_INFINITY);
    let taken = 0;
    for (let k = left.count - 1; k >= 0; k -= 1) {
      const a = leftOrder[k]!;
      for (; taken < candidates.length && leftRear[a]! + rightRear[candidates[taken]!]! <= 0; taken += 1) {
        const b = candidates[taken]!;
        for (let r = rank[b]!; r < tree.length; r += r & -r) if (right.added[b]! < tree[r]!) tree[r] = right.added[b]!;
      }
      const both = left.moves[a]! + moves;
      if (left.added[a]! + lightest >= best[both]!) continue;
      let least = Number.POSITIVE_INFINITY;
      for (let r = firstBeyond(fronts, 0, fronts.length, -leftFront[a]!); r > 0; r -= r & -r) if (tree[r]! < least) least = tree[r]!;
      if (left.added[a]! + least < best[both]!) best[both] = left.added[a]! + least;
    }
  }
  return best;
}

const most = (values: Uint8Array): number => values.reduce((a, b) => Math.max(a, b), 0);

/** First place from `from` to `to` of sorted values whose value is above `limit`. */
function firstBeyond(sorted: Float64Array, from: number, to: number, limit: number): number {
  while (from < to) {
    const middle = (from + to) >>> 1;
    if (sorted[middle]! <= limit) from = middle + 1;
    else to = middle;
  }
  return from;
}

/** Least |error| that a plan of one half reaches with a partner of the other: of these moves, and of this added mass or up to half a milligram more. */
type LeastErrorWith = (moves: number, added: number, total: number, lean: number) => number;

/** Sorts a half by number of moves, then added mass, then lean: what can be a plan's partner then lies side by side. */
function partnersIn(half: Half): LeastErrorWith {
  const order = Uint32Array.from(half.lean.keys()).sort(
    (a, b) => half.moves[a]! - half.moves[b]! || half.added[a]! - half.added[b]! || half.lean[a]! - half.lean[b]!,
  );
  const added = Float64Array.from(order, (i) => half.added[i]!);
  const leans = Float64Array.from(order, (i) => half.lean[i]!);
  const totals = Float64Array.from(order, (i) => half.total[i]!);
  const counts = new Array<number>(most(half.moves) + 1).fill(0);
  for (const moves of half.moves) counts[moves]! += 1;
  const begin = [0];
  for (const count of counts) begin.push(begin.at(-1)! + count);

  return (moves, wanted, total, lean) => {
    const end = begin[moves + 1];
    let error = Number.POSITIVE_INFINITY;
    if (moves < 0 || end === undefined) return error;
    const last = firstBeyond(added, begin[moves]!, end, wanted + EQUAL_MICROGRAMS);
    // Micrograms are whole: what lies beyond `wanted` less a half is `wanted` or more.
    for (let from = firstBeyond(added, begin[moves]!, end, wanted - 0.5); from < last; ) {
      const to = firstBeyond(added, from, end, added[from]!);
      const beyond = firstBeyond(leans, from, to, -lean);
      for (const k of [beyond - 1, beyond])
        if (k >= from && k < to) error = Math.min(error, Math.abs(lean + leans[k]!) / (total + totals[k]!));
      from = to;
    }
    return error;
  };
}

/**
 * The best plan: for each part, which of its places.
 *
 * Within `tolerance` of the target: least added mass, then fewest moves, then smallest |error|. None within: smallest |error|, then least added
 * mass, then fewest moves. Of what is still equal: the first part's place that is listed first, then the second's, and so on.
 */
export function bestPlan(parts: readonly (readonly Place[])[], truck: Standing, tolerance: number): readonly number[] {
  const { at } = bestCut(parts.map((places) => places.length));
  const left = writtenOut(parts.slice(0, at), truck);
  const right = writtenOut(parts.slice(at), { total: 0, lean: 0 });

  const least = leastError(left, right);
  const within = least <= tolerance + EQUAL_SHARE;
  const bound = (within ? tolerance : least) + EQUAL_SHARE;

  const addedByMoves = leastAdded(left, right, bound);
  const added = addedByMoves.reduce((a, b) => Math.min(a, b));
  const moves = addedByMoves.findIndex((each) => each <= added + EQUAL_MICROGRAMS);

  const leastErrorWith = partnersIn(right);
  const errorOf = (a: number): number => leastErrorWith(moves - left.moves[a]!, added - left.added[a]!, left.total[a]!, left.lean[a]!);
  const errors = Float64Array.from({ length: left.count }, (_, a) => errorOf(a));
  const smallest = errors.reduce((a, b) => Math.min(a, b));
  const equal = within ? smallest + EQUAL_SHARE : Math.max(bound, smallest);

  const first = errors.findIndex((error) => error <= equal);
  const second = right.total.findIndex((_, b) => {
    const sum = left.added[first]! + right.added[b]! - added;
    if (left.moves[first]! + right.moves[b]! !== moves || sum < 0 || sum > EQUAL_MICROGRAMS) return false;
    return Math.abs(left.lean[first]! + right.lean[b]!) / (left.total[first]! + right.total[b]!) <= equal;
  });
  return [...digits(first, parts.slice(0, at)), ...digits(second, parts.slice(at))];
}

/** The number of a plan of a half, back into the place of each part. */
function digits(plan: number, parts: readonly (readonly Place[])[]): number[] {
  const places: number[] = [];
  for (const { length } of parts.toReversed()) {
    places.unshift(plan % length);
    plan = Math.floor(plan / length);
  }
  return places;
}
