import { standardPressure } from '../constants.ts';
import { DomainError, formula, maybe, optional, positive, within } from '../formula.ts';

/**
 * Rate that the air in a tyre adds when its vents are closed.
 *
 *     p = p₀ + pₐ
 *     k = n·p·A² / V
 *     p₁ = p·(V / (V − A·x))ⁿ − pₐ
 *
 *     V   air volume          m³
 *     A   contact area        m²   taken as constant over the squash
 *     p₀  gauge pressure      Pa   over the air outside
 *     n   polytropic          1    1 slow (the heat gets out), 1.4 fast
 *     x   squash              m
 *     pₐ  standard pressure   Pa   of the air outside, at sea level
 *     k   air rate            N/m  at no squash
 *     p₁  pressure at squash  Pa   over the air outside; left out without a squash
 *
 * Shape:      rate goes with n, the absolute pressure, the area squared and 1/volume; the pressure at squash depends on A·x/V alone.
 * Leaves out: the tyre that grows wider under pressure, a contact patch that grows with the squash, the carcass's own rate, foam that fills the room,
 *             leaks, the thinner air of a high track.
 * Throws:     DomainError unless the squash leaves some air, and the pressure is above vacuum.
 * Source:     p·Vⁿ = constant, its slope at the start; Rao, Mechanical Vibrations, chapter 1 problems (air spring): k = n·p·A²/V.
 *
 * @example sealedTyre({ airVolume: si(250e-6), contactArea: si(12e-4), gaugePressure: si(0), polytropic: si(1.4), squash: si(0.01) }) // airRate ≈ 817.1 N/m, pressureAtSquash ≈ 7224 Pa
 */
export const sealedTyre = formula(
  {
    airVolume: positive('m³'),
    contactArea: positive('m²'),
    gaugePressure: within('Pa', { above: -standardPressure }),
    polytropic: positive('1'),
    squash: optional(positive('m')),
  },
  { airRate: 'N/m', pressureAtSquash: maybe('Pa') },
  ({ airVolume, contactArea, gaugePressure, polytropic, squash }) => {
    const pressure = gaugePressure + standardPressure;
    const airRate = (polytropic * pressure * contactArea ** 2) / airVolume;
    if (squash === undefined) return { airRate, pressureAtSquash: undefined };
    const pressed = (contactArea * squash) / airVolume;
    if (!(pressed < 1)) throw new DomainError('squash', 'that squash leaves no room for the air');
    // The rise alone, so that a small one keeps its digits beside the air outside.
    return { airRate, pressureAtSquash: gaugePressure + pressure * Math.expm1(-polytropic * Math.log1p(-pressed)) };
  },
);
