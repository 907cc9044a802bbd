import { describe, expect, it } from 'vitest';
import { draws, expectNear } from '../../support/book.ts';
import { answerOf, cautionsOf, expectSoundEverywhere, names, nextOf, numberOf, sheetNamed, type Typed } from '../../support/sheets.ts';

const sheet = await sheetNamed('top_speed');
const sandhopper = {
  motor_kv: 3300,
  cells: 2,
  pinion: 18,
  spur: 54,
  gearbox_ratio: 3.3,
  tyre_diameter: 109,
  total: 3014,
  motor_resistance: 16,
  no_load_current: 4,
  pack_resistance: 10,
  cell_voltage: 3.7,
  drag_area: 0.03,
  rolling_coefficient: 0.06,
  driveline_efficiency: 0.7,
  air_temperature: 20,
  altitude: 0,
  headwind: 0,
};
type Truck = typeof sandhopper;
const KMH = 3.6;

/** The contract's equations in the units of the pit table, and the speed found by halving. Second method to the whole sheet. */
function plainly(truck: Truck) {
  const kv = (truck.motor_kv * 2 * Math.PI) / 60;
  const voltage = truck.cells * truck.cell_voltage;
  const [motor, pack] = [truck.motor_resistance / 1000, truck.pack_resistance / 1000];
  const ratio = (truck.spur / truck.pinion) * truck.gearbox_ratio;
  const radius = truck.tyre_diameter / 2000;
  const pressure = 101_325 * (1 - (0.0065 * truck.altitude) / 288.15) ** (9.80665 / (0.0065 * 287.05287));
  const density = pressure / (287.05287 * (truck.air_temperature + 273.15));
  const currentAt = (speed: number): number => (voltage - ((speed / radius) * ratio) / kv) / (motor + pack);
  const spare = (speed: number): number => {
    const torque = (currentAt(speed) - truck.no_load_current) / kv;
    const felt = speed + truck.headwind / KMH;
    const air = 0.5 * density * truck.drag_area * felt * Math.abs(felt);
    return (torque * ratio * truck.driveline_efficiency) / radius - air - (truck.rolling_coefficient * truck.total * 9.80665) / 1000;
  };
  let [low, high] = [0, 200];
  for (let i = 0; i < 200; i += 1) {
    const middle = (low + high) / 2;
    if (spare(middle) > 0) low = middle;
    else high = middle;
  }
  const current = currentAt(low);
  const motorSpeed = (low / radius) * ratio;
  const shaft = ((current - truck.no_load_current) / kv) * motorSpeed;
  return {
    top_speed: low * KMH,
    motor_speed_at_top: (motorSpeed * 60) / (2 * Math.PI),
    current_at_top: current,
    electrical_power: voltage * current,
    shaft_power: shaft,
    efficiency_at_top: (100 * shaft) / (voltage * current),
    // Kirchhoff: what the winding turns into heat, and what the motor takes to turn itself.
    power_loss: current ** 2 * motor + (truck.no_load_current * motorSpeed) / kv,
    no_load_speed: (((voltage - truck.no_load_current * (motor + pack)) * kv) / ratio) * radius * KMH,
    air_density: density,
  };
}

describe('top_speed', () => {
  it('is the closed form of a second program', () => {
    // M. Drela, First-Order DC Electric Motor Model, MIT, 2007, on a road load (closed-form quadratic, computed by a second method): 7.4 V,
    // 3000 rpm/V, 30 mΩ, 2 A, 8.2 to 1, 104 mm, 3.2 kg, 0.04, 0.02 m², 1.2 kg/m³, 0.9, g 9.81: 14.139 441 577 m/s.
    const answer = sheet.answer({
      motor_kv: '3000',
      cells: '2s',
      pinion: '10t',
      spur: '82',
      tyre_diameter: '104',
      total: String((3200 * 9.81) / 9.80665),
      motor_resistance: '30',
      no_load_current: '2',
      pack_resistance: '0',
      drag_area: '0.02',
      rolling_coefficient: '0.04',
      driveline_efficiency: '90 %',
      air_temperature: String(101_325 / 287.05287 / 1.2 - 273.15),
    });
    expectNear(numberOf(answer, 'top_speed'), 14.139441577310805 * KMH, 1e-8);
  });

  it('answers as the equations do that are written down once more here, for trucks of all sorts', () => {
    const between = draws(60);
    for (let i = 0; i < 60; i += 1) {
      const truck: Truck = {
        motor_kv: between(1500, 6000),
        cells: Math.round(between(2, 6)),
        pinion: Math.round(between(10, 30)),
        spur: Math.round(between(40, 80)),
        gearbox_ratio: between(2, 5),
        tyre_diameter: between(80, 130),
        total: between(2000, 5000),
        motor_resistance: between(5, 60),
        no_load_current: between(0.5, 8),
        pack_resistance: between(3, 30),
        cell_voltage: between(3.3, 4.2),
        drag_area: between(0.005, 0.08),
        rolling_coefficient: between(0.02, 0.15),
        driveline_efficiency: between(0.5, 0.95),
        air_temperature: between(1, 45),
        altitude: between(1, 3000),
        headwind: between(1, 40) - 20,
      };
      const answer = sheet.answer(truck);
      for (const [name, value] of Object.entries(plainly(truck))) expectNear(numberOf(answer, name), value, 1e-7);
    }
  });

  it('takes the usual resistance of a motor of that kv where none is given, and says which', () => {
    const { motor_resistance: _, ...unknown } = sandhopper;
    const kv = (3300 * 2 * Math.PI) / 60;
    const answer = sheet.answer(unknown);
    // Common practice, no source: torque constant over 0.025 N·m/√W, squared.
    const usual = 1000 * (1 / kv / 0.025) ** 2;
    expectNear(numberOf(answer, 'motor_resistance_used'), usual, 1e-12);
    expectNear(numberOf(answer, 'top_speed'), plainly({ ...sandhopper, motor_resistance: usual }).top_speed, 1e-9);
    expectNear(numberOf(sheet.answer(sandhopper), 'motor_resistance_used'), 16, 1e-12);
  });

  it('carries the ± of guesses to the speed by its slopes', () => {
    const answer = sheet.answer({ ...sandhopper, drag_area: '0.03 ± 0.01', rolling_coefficient: '0.06 ± 0.02' });
    const slope = (name: 'drag_area' | 'rolling_coefficient', step: number): number => {
      const at = (by: number): number => plainly({ ...sandhopper, [name]: sandhopper[name] + by }).top_speed;
      return (at(step) - at(-step)) / (2 * step);
    };
    // JCGM 100:2008, 4.3.7 (half-width over √3) and 5.1.2, doubled.
    const expected =
      2 * Math.hypot((slope('drag_area', 1e-5) * 0.01) / Math.sqrt(3), (slope('rolling_coefficient', 1e-5) * 0.02) / Math.sqrt(3));
    expectNear(answerOf(answer, 'top_speed').uncertainty, expected, 1e-5);
    expect(answerOf(sheet.answer(sandhopper), 'top_speed').uncertainty).toBeNull();
  });

  it('shows the same for the pinions around, and the fastest of them when it has slower ones on both sides', () => {
    const mudlark = {
      ...sandhopper,
      motor_kv: 4000,
      cells: 3,
      pinion: 29,
      motor_resistance: 40,
      rolling_coefficient: 0.1,
      drag_area: 0.05,
    };
    const answer = sheet.answer({ ...mudlark, drag_area: '0.05 ± 0.02' });
    const curve = answer.curves[0]!;
    expect(curve.x).toEqual([25, 26, 27, 28, 29, 30, 31, 32, 33]);
    expect(curve.here).toBe(29);
    const rows = curve.x.map((pinion) => plainly({ ...mudlark, pinion }));
    for (const name of Object.keys(curve.answers) as (keyof ReturnType<typeof plainly>)[])
      curve.answers[name]!.forEach((value, i) => {
        expectNear(value, rows[i]![name], 1e-7);
      });
    const speeds = rows.map(({ top_speed }) => top_speed);
    const fastest = curve.x[speeds.indexOf(Math.max(...speeds))]!;
    expect(fastest).toBeGreaterThan(25);
    expect(fastest).toBeLessThan(33);
    // A count of teeth carries no ±, wherever the guesses push the speed.
    expect(answerOf(answer, 'fastest_pinion')).toMatchObject({ value: fastest, uncertainty: null });
    expect(nextOf(answer)).toContain(`to ${fastest} at most`);
    expect(nextOf(sheet.answer({ ...mudlark, pinion: fastest }))).toContain('Keep this pinion');
    expect(nextOf(sheet.answer({ ...mudlark, pinion: fastest + 2 }))).toContain(`Go down to ${fastest}`);
  });

  it('leaves the fastest pinion out at the edge of the table, and asks for nothing in its place', () => {
    const answer = sheet.answer(sandhopper);
    expect(names(answer)).not.toContain('fastest_pinion');
    expect(answer.wider).toEqual([]);
  });

  it('keeps to the 5 to 150 teeth that a pinion can have', () => {
    expect(sheet.answer({ ...sandhopper, pinion: 6 }).curves[0]!.x).toEqual([5, 6, 7, 8, 9, 10]);
    expect(sheet.answer({ ...sandhopper, pinion: 149, spur: 150 }).curves[0]!.x.at(-1)).toBe(150);
  });

  it('takes spur turns counted by hand in the place of both ratios', () => {
    const counted = sheet.answer({ ...sandhopper, gearbox_ratio: 1, spur_turns: 3.3 });
    expectNear(numberOf(counted, 'top_speed'), plainly(sandhopper).top_speed, 1e-9);
  });

  it('has no efficiency when a gale pushes the truck along, and says why', () => {
    const blown = answerOf(sheet.answer({ ...sandhopper, headwind: -150 }), 'efficiency_at_top');
    expect(blown).toMatchObject({ value: null, why: 'nothing to push' });
  });

  it.each<[Typed, string]>([
    [
      { rolling_coefficient: 1, spur: 5, pinion: 150 },
      'That does not work out: the push at a standstill does not overcome rolling and wind, so the truck does not move off.',
    ],
    [
      { no_load_current: 400 },
      'That does not work out: the pack cannot push the no-load current through this resistance, so the motor does not turn.',
    ],
    [{ driveline_efficiency: '70' }, 'Driveline efficiency: "70" is out. Give 0.01 to 1. Did you mean 0.7?'],
  ])('refuses %o', (slip, text) => {
    expect(sheet.problems({ ...sandhopper, ...slip }).map((problem) => problem.text)).toEqual([text]);
  });

  it('warns of a motor that a fresh pack drives past 60 000 rpm, and of ohms typed for milliohms', () => {
    expect(cautionsOf(sheet.answer({ ...sandhopper, motor_kv: 5000, cells: 3 })).join(' ')).toContain(
      "past 60 000: look up the motor's own limit",
    );
    expect(cautionsOf(sheet.answer({ ...sandhopper, motor_kv: 4760, cells: 3 })).join(' ')).not.toContain('60 000');
    expect(cautionsOf(sheet.answer({ ...sandhopper, motor_resistance: 0.016 })).join(' ')).toContain('is that in ohms?');
    expect(cautionsOf(sheet.answer(sandhopper)).join(' ')).toContain('Run where nobody stands in its way');
  });

  it('answers or says why not, all over its ranges', () => expectSoundEverywhere(sheet));
});
