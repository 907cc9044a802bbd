import { absent, DomainError, formula, maybe, optional, positive, share } from '../formula.ts';

/** Coupling of this share of the pitching moment is what rounding leaves of two ends in balance. */
const UNCOUPLED = 1e-12;

/**
 * Bounce and pitch of the sprung mass on its front and rear springs: two frequencies and the point that stands still in each.
 *
 *     a = s·L;  b = (1 − s)·L
 *     A = (k₁ + k₂) / m;  C = (k₁·a² + k₂·b²) / I;  B = (k₁·a − k₂·b) / m
 *     ω² = (A + C)/2 ∓ √((A − C)²/4 + B²·m/I)
 *     x = B / (A − ω²)
 *
 *     m   truck sprung mass  kg
 *     L   wheelbase          m
 *     s   rear share         1      of the weight: the centre of gravity is a behind the front axle
 *     w₁  front wheel rate   N/m    one wheel; the axle has k₁ = 2·w₁
 *     w₂  rear wheel rate    N/m    one wheel; the axle has k₂ = 2·w₂
 *     D   dynamic index      1      I = D·m·a·b, unless the pitch inertia is given
 *     I   pitch inertia      kg·m²  taken instead of the dynamic index when given
 *     f₁  frequency 1        Hz     ω/2π, the lower
 *     f₂  frequency 2        Hz     the higher
 *     x₁  node 1             m      ahead of the centre of gravity positive; absent when that mode is all bounce
 *     x₂  node 2             m
 *     P   bounce first       yes/no  the lower mode's node lies outside the wheelbase
 *     e₁  front frequency    Hz     of the front end alone: √(k₁ / (m·(1 − s))) / 2π
 *     e₂  rear frequency     Hz     of the rear end alone: √(k₂ / (m·s)) / 2π
 *
 * Shape:      frequencies go with √rate and 1/√mass; front and rear exchanged turn the sign of the nodes; x₁·x₂ = −I/m; at D = 1 the nodes are at the axles.
 * Leaves out: damping, tyres, unsprung masses; the sprung mass is taken to balance where the whole truck does.
 * Throws:     DomainError unless all inputs are finite and above zero and both axles carry something.
 * Source:     Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (pitch and bounce); Rao, Mechanical Vibrations, 5.5.
 *
 * @example pitch({ truckSprungMass: si(2.4), wheelbase: si(0.33), rearShare: si(0.6), frontWheelRate: si(250), rearWheelRate: si(450), dynamicIndex: si(0.8) }) // frequency1 ≈ 3.768 Hz, frequency2 ≈ 4.288 Hz, node1 ≈ -0.3614 m, node2 ≈ 0.05785 m, bounceFirst = true, frontFrequency ≈ 3.632 Hz, rearFrequency ≈ 3.979 Hz
 */
export const pitch = formula(
  {
    truckSprungMass: positive('kg'),
    wheelbase: positive('m'),
    rearShare: share(),
    frontWheelRate: positive('N/m'),
    rearWheelRate: positive('N/m'),
    dynamicIndex: positive('1'),
    pitchInertia: optional(positive('kg·m²')),
  },
  {
    frequency1: 'Hz',
    frequency2: 'Hz',
    node1: maybe('m'),
    node2: maybe('m'),
    bounceFirst: 'yes/no',
    frontFrequency: 'Hz',
    rearFrequency: 'Hz',
  },
  ({ truckSprungMass: mass, wheelbase, rearShare, frontWheelRate, rearWheelRate, dynamicIndex, pitchInertia }) => {
    if (rearShare === 0 || rearShare === 1) throw new DomainError('rearShare', 'one axle would carry nothing');
    const toFront = rearShare * wheelbase;
    const toRear = (1 - rearShare) * wheelbase;
    const front = 2 * frontWheelRate;
    const rear = 2 * rearWheelRate;
    const gyration2 = pitchInertia === undefined ? dynamicIndex * toFront * toRear : pitchInertia / mass;

    const bounce2 = (front + rear) / mass;
    const pitch2 = (front * toFront ** 2 + rear * toRear ** 2) / (mass * gyration2);
    const balance = front * toFront - rear * toRear;
    const coupling = Math.abs(balance) <= UNCOUPLED * (front * toFront + rear * toRear) ? 0 : balance / mass;

    // Both roots and both A − ω² without taking nearly equal numbers apart: sums first, the others from the products.
    const half = (bounce2 - pitch2) / 2;
    const coupling2 = coupling ** 2 / gyration2;
    const root = Math.hypot(half, coupling / Math.sqrt(gyration2));
    const higher2 = (bounce2 + pitch2) / 2 + root;
    const lower2 = (front * rear * wheelbase ** 2) / (mass ** 2 * gyration2) / higher2;
    const wide = Math.abs(half) + root;
    const narrow = wide === 0 ? 0 : coupling2 / wide;
    const [overLower, underHigher] = half >= 0 ? [wide, -narrow] : [narrow, -wide];

    const node = (difference: number, allBounce: boolean) => (allBounce ? absent('all bounce') : coupling / difference);
    // Without coupling one mode is all bounce and the other turns about the centre of gravity; of two equal frequencies the first is called bounce.
    const lowerBounces = coupling === 0 && half <= 0;
    const node1 = coupling === 0 && !lowerBounces ? 0 : node(overLower, lowerBounces);
    const node2 = coupling === 0 && lowerBounces ? 0 : node(underHigher, coupling === 0);
    return {
      frequency1: Math.sqrt(lower2) / (2 * Math.PI),
      frequency2: Math.sqrt(higher2) / (2 * Math.PI),
      node1,
      node2,
      bounceFirst: typeof node1 !== 'number' || node1 > toFront || node1 < -toRear,
      frontFrequency: Math.sqrt(front / (mass * (1 - rearShare))) / (2 * Math.PI),
      rearFrequency: Math.sqrt(rear / (mass * rearShare)) / (2 * Math.PI),
    };
  },
);
