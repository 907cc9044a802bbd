import { absent, formula, maybe, notNegative, positive } from '../formula.ts';

/**
 * How warm a motor gets in a run that begins at the temperature of the air.
 *
 *     τ = R·C
 *     S = A + P·R
 *     T = A + P·R·(1 − e^(−t/τ))
 *     t₁ = −τ·ln(1 − (L − A)/(P·R))
 *
 *     P   power loss          W    turned into heat in the motor
 *     R   thermal resistance  K/W  motor to air
 *     C   heat capacity       J/K
 *     A   air temperature     K
 *     t   run time            s
 *     L   motor limit         K
 *     T   final temperature   K    at the end of the run
 *     S   steady temperature  K    that a run without end comes to
 *     t₁  time to limit       s    0 when the air is as warm already; absent when never
 *
 * Shape:      the rise over the air goes with the loss; twice the heat capacity takes twice the time to the same temperature.
 * Leaves out: windings warmer than the can, resistance that grows with heat, cooling that grows with speed.
 * Throws:     DomainError unless resistance, capacity and temperatures are above zero, loss and time zero or above.
 * Source:     Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, lumped capacitance, C·dT/dt = P − (T − A)/R.
 *
 * @example motorHeat({ powerLoss: si(15), thermalResistance: si(4), heatCapacity: si(90), airTemperature: si(298.15), runTime: si(300), motorLimit: si(353.15) }) // finalTemperature ≈ 332.07 K, steadyTemperature ≈ 358.15 K, timeToLimit ≈ 894.6 s
 */
export const motorHeat = formula(
  {
    powerLoss: notNegative('W'),
    thermalResistance: positive('K/W'),
    heatCapacity: positive('J/K'),
    airTemperature: positive('K'),
    runTime: notNegative('s'),
    motorLimit: positive('K'),
  },
  { finalTemperature: 'K', steadyTemperature: 'K', timeToLimit: maybe('s') },
  ({ powerLoss, thermalResistance, heatCapacity, airTemperature, runTime, motorLimit }) => {
    const timeConstant = thermalResistance * heatCapacity;
    const rise = powerLoss * thermalResistance;
    const room = motorLimit - airTemperature;
    return {
      finalTemperature: airTemperature - rise * Math.expm1(-runTime / timeConstant),
      steadyTemperature: airTemperature + rise,
      timeToLimit: room <= 0 ? 0 : room < rise ? -timeConstant * Math.log1p(-room / rise) : absent('never'),
    };
  },
);
