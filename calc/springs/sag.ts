import { standardGravity } from '../constants.ts';
import { absent, formula, maybe, notNegative, optional, positive } from '../formula.ts';

/**
 * How far a corner settles from full droop under its own weight, and the preload that gives the sag wanted.
 *
 *     s = max(0, m·g / w − p / r)
 *     P = (m·g / w − S)·r
 *
 *     m  sprung mass       kg    the share carried by this corner
 *     g  standard gravity  m/s²
 *     w  wheel rate        N/m
 *     r  motion ratio      1     shock travel / wheel travel
 *     p  preload           m     at the spring: how much it is shortened at full droop
 *     S  target sag        m     at the wheel
 *     s  sag               m     at the wheel; zero while the preload carries the corner
 *     P  preload for sag   m     at the spring; absent when negative: that sag needs a softer spring. Left out without a target
 *
 * Shape:      without preload the sag goes with m and 1/w; preload takes p/r away, and a millimetre less sag takes r millimetres of it.
 * Leaves out: friction, gas force on the shaft, change of the motion ratio over the travel, the end of the travel.
 * Throws:     DomainError unless m, w and r are above zero, p and S zero or above.
 * Source:     Hooke's law at the wheel; Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (static deflection).
 *
 * @example sag({ sprungMass: si(0.6), wheelRate: si(400), motionRatio: si(0.5), preload: si(0.002), targetSag: si(0.01) }) // sag ≈ 0.01071 m, preloadForSag ≈ 0.002355 m
 */
export const sag = formula(
  {
    sprungMass: positive('kg'),
    wheelRate: positive('N/m'),
    motionRatio: positive('1'),
    preload: notNegative('m'),
    targetSag: optional(notNegative('m')),
  },
  { sag: 'm', preloadForSag: maybe('m') },
  ({ sprungMass, wheelRate, motionRatio, preload, targetSag }) => {
    const unloaded = (sprungMass * standardGravity) / wheelRate;
    const wanted = targetSag === undefined ? undefined : (unloaded - targetSag) * motionRatio;
    return {
      sag: Math.max(0, unloaded - preload / motionRatio),
      preloadForSag: wanted !== undefined && wanted < 0 ? absent('spring too stiff') : wanted,
    };
  },
);
