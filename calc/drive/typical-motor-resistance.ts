import { formula, positive } from '../formula.ts';

/** Motor constant of the motors that such trucks carry, N·m/√W: torque over the root of the heat it costs. Common practice, no source. */
const MOTOR_CONSTANT = 0.025;

/**
 * Winding resistance that a motor of this kv and of the usual size is likely to have, for when it was not measured.
 *
 *     R = (k / M)²,  k = 1/K
 *
 *     K  motor kv           rad/(s·V)
 *     k  torque constant    N·m/A      in SI the inverse of kv: one number for torque per ampere and volts per speed
 *     M  motor constant     N·m/√W     0.025
 *     R  motor resistance   Ω
 *
 * Shape:      goes with 1/kv²: twice the kv, a quarter of the resistance.
 * Leaves out: leads, plugs and speed controller; a motor of another size (a can one half longer has about half of it).
 * Throws:     DomainError unless kv is finite and above zero.
 * Source:     definition of the motor constant; its value here is common practice, no source.
 *
 * @example typicalMotorResistance({ motorKv: si(3000 * Math.PI / 30) }) // ≈ 0.01621 Ω
 */
export const typicalMotorResistance = formula({ motorKv: positive('rad/(s·V)') }, 'Ω', ({ motorKv }) => (motorKv * MOTOR_CONSTANT) ** -2);
