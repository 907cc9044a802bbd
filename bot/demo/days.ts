/**
 * Six tuning days of Saltpan Desert Club, an invented one, as its members typed them: `Who: line`, and `+15 Who: line` where a quarter of an
 * hour went by. What is weighed, measured and driven hangs together as on a table: corners add up to what the parts list says and where its parts
 * lie, springs to the sag that was read off, a changed pinion to the heat of the motor. A test works it out again from these lines.
 */

export interface Day {
  /** Which Saturday of which month; it begins at nine, by the clock of the club. */
  readonly month: number;
  readonly saturday: number;
  readonly lines: string;
}

const APRIL = `
Ines: truck use Sandhopper
Ines: track add pan loop spacing:2.4 surface:hard salt note:about 180 m, whoops on the far side
Ines: scale add 1 known:500 reads:500 note:the flat one
Ines: box add spring black 0.50 value:0.497 ± 0.008
Ines: box add spring blue 0.45 value:0.447 ± 0.007
Ines: box add spring yellow 0.29 value:0.291 ± 0.005
Ines: box add pinion 16
Ines: box add ballast lead strip 28 g
Ines: corners 647 639 860 856 wheelbase=331
Ines: truck parts add chassis and links 744 176
Ines: truck parts add gearbox 158 266
Ines: truck parts add body and cage 238 176
Ines: truck parts add pack 292 185 places:185 225 260 role:pack
Ines: truck parts add motor 186 290
Ines: truck parts add speed control 78 120
Ines: truck parts add servo 62 -35
Ines: truck parts add receiver and wires 41 105
Ines: truck parts add rear axle 318 331 unsprung:rear
Ines: truck parts add rear tyre 96 331 count:2 unsprung:rear role:tyre
Ines: truck parts add rear rim 38 331 count:2 unsprung:rear role:rim
Ines: truck parts add front beam 71 0 count:2 unsprung:front
Ines: truck parts add front tyre 84 0 count:2 unsprung:front role:tyre
Ines: truck parts add front rim 34 0 count:2 unsprung:front role:rim
Ines: truck parts add rear shock 61 292 count:2 note:half of it moves, which is left out
Ines: truck parts add front shock 55 24 count:2
Ines: truck parts add lead 28 off places:off 330 390
Ines: ballast
Ines: heights 12 41 124 130 111.8 62 end=rear
Ines: heights 10 49 118 122 98.4 57.5 end=front
Ines: truck set rear_spring_rate:black 0.50 front_spring_rate:yellow 0.29 front_preload:2
Ines: ride end=rear
Ines: ride end=front
Ines: gearing 3300 2 16 54 gearbox_ratio=43/13 tyre_diameter=109
Ines: keep
+15 Ines: run add 5 min, motor 62, slow out of the corners, laps 26.9 27.1 26.7 27.0 26.8 track:pan loop
Ines: setup save Hard pan notes:As it came off the table. Nose heavy, wheels spin out of the corners. tags:hard pan, as built track:pan loop surface:hard salt grip:medium temperature:19 wind:light from the west
+10 Ines: truck parts change pack at:260
Ines: truck parts change lead at:390
+5 Ines: corners 611 604 910 905
Ines: keep
Ines: truck refresh
+15 Ines: run add 5 min, motor 63, calmer over the ruts and drives out of the corners, laps 26.3 26.5 26.2 26.4 26.2 track:pan loop
Ines: setup save Hard pan notes:Pack in the last hole and the lead strip behind the axle: 60 % on the rear wheels. Still jumps about where it is rough. tags:hard pan track:pan loop surface:hard salt grip:medium temperature:20 wind:light from the west
Tomasz: truck use Mudlark
Tomasz: corners 728 714 926 1000 wheelbase=345
Tomasz: gearing 2400 3s 15 50 spur_turns=3.75 tyre_diameter=4.4 in
Tomasz: keep
+20 Tomasz: run add 6 min, pulls to the left under power, motor 58, laps 27.1 26.8 27.2 26.9 27.1 track:pan loop
Tomasz: setup save Three cells notes:Rear right carries a lot more than rear left. Collars next time. tags:three cells, hard pan track:pan loop surface:hard salt grip:medium temperature:21 wind:light from the west
`;

const MAY = `
Tomasz: scale add 2 known:500 reads:502 step:1 note:reads high: my 3368 g of April were 3355
Tomasz: corners 730@2 716@2 926@2 1000@2
Tomasz: truck parts add chassis and links 792 176
Tomasz: truck parts add body 212 184
Tomasz: truck parts add pack 384 190 places:150 190 230 role:pack
Tomasz: truck parts add gearbox and motor 418 295
Tomasz: truck parts add electronics 211 71
Tomasz: truck parts add rear axle 342 345 unsprung:rear
Tomasz: truck parts add rear wheel 158 345 count:2 unsprung:rear role:turns note:tyre and rim, glued
Tomasz: truck parts add front beam 78 0 count:2 unsprung:front
Tomasz: truck parts add front wheel 131 0 count:2 unsprung:front
Tomasz: truck parts add rear shock 67 305 count:2
Tomasz: truck parts add front shock 60 22 count:2
Tomasz: press press_points=0/86 300/77.9 600/69.7 900/61.5 end=front
Tomasz: press press_points=0/95 400/86.3 800/77.7 1200/69.0 end=rear
Tomasz: ride end=front motion_ratio=0.58 wheel_travel=104
Tomasz: ride end=rear motion_ratio=0.60 wheel_travel=110
Tomasz: cross
Tomasz: keep
+10 Tomasz: truck parts change pack at:230
+10 Tomasz: corners 684@2 714@2 971@2 1000@2
Tomasz: keep
Tomasz: truck refresh
+15 Tomasz: run add 6 min, changed front collars 1.75 turns, runs straight, motor 61, laps 26.4 26.6 26.3 26.5 26.3 track:pan loop
Tomasz: setup save Three cells notes:Collars turned until the cross was even, pack one hole back. Goes where it points now. tags:three cells, hard pan track:pan loop surface:hard salt grip:medium temperature:24 wind:none
Ines: corners 610 605 908 903
Ines: ride end=rear spring_rate=blue 0.45
Ines: keep
Ines: truck refresh
+15 Ines: run add 5 min, motor 65, quieter on the rough side, laps 25.8 25.9 25.6 25.8 25.7 track:pan loop
Ines: setup save Hard pan notes:Blue springs at the rear instead of black: 4 mm more sag, and it stays on the ground. tags:hard pan track:pan loop surface:hard salt grip:medium temperature:25 wind:none
Ines: box add spring green 0.24 value:0.241 ± 0.004
Priya: truck use Dune Ferry
Priya: box add spring grey 0.44 value:0.438 ± 0.007
Priya: corners 584 590 845 841 wheelbase=322
Priya: truck parts add chassis and links 706 168
Priya: truck parts add gearbox and motor 327 274
Priya: truck parts add body 246 172
Priya: truck parts add pack 248 232 places:200 232 250 role:pack
Priya: truck parts add electronics 168 65
Priya: truck parts add rear axle 302 322 unsprung:rear
Priya: truck parts add rear wheel 139 322 count:2 unsprung:rear role:turns
Priya: truck parts add front beam 64 0 count:2 unsprung:front
Priya: truck parts add front wheel 112 0 count:2 unsprung:front
Priya: truck parts add rear shock 59 286 count:2
Priya: truck parts add front shock 54 22 count:2
Priya: coil end=rear wire=1.2 outside_diameter=16.8 total_coils=15.75 free_length=96
Priya: ride end=rear motion_ratio=0.60 wheel_travel=106
Priya: ride end=front spring_rate=grey 0.44 motion_ratio=0.62 wheel_travel=98 target_frequency=2.4
Priya: keep
+10 Priya: run add 4 min, nose skips over the whoops, motor 57, laps 27.2 27.0 27.3 26.9 27.1 track:pan loop
Ines: box lend green 0.24 to:Priya
Priya: ride end=front spring_rate=green 0.24
Priya: keep
+15 Priya: run add 4 min, nose follows the ground, motor 58, laps 26.6 26.4 26.7 26.5 26.4 track:pan loop
Priya: setup save Whoops, soft front notes:On springs from Ines, half as stiff as mine. Now the nose follows. tags:whoops, soft track:pan loop surface:hard salt grip:medium temperature:26 wind:none
`;

const JUNE = `
Priya: track add wadi course spacing:3.1 surface:loose sand note:about 170 m, deep in the middle
Ines: corners 614 604 910 905
Ines: gearing pinion=15
Ines: top_speed rolling_coefficient=0.1 air_temperature=31
Ines: keep
+15 Ines: run add 5 min, digs in where it is deep, motor 72, laps 26.7 26.5 26.8 26.6 26.5 track:wadi course
Ines: setup save Soft sand notes:A tooth down for the sand: the motor stays under 75. Rear share as on the pan. tags:sand track:wadi course surface:loose sand grip:low temperature:31 wind:gusts from the south
Tomasz: corners 687@2 716@2 970@2 1001@2
Tomasz: gearing pinion=14
Tomasz: oil 350 oil_temperature=46 end=rear
Tomasz: keep
+15 Tomasz: run add 6 min, ploughs straight on, motor 69, laps 26.9 27.0 26.8 27.1 26.9 track:wadi course
Tomasz: setup save Deep sand notes:14 teeth and three cells are plenty here. The shocks are thin when they are hot. tags:sand, three cells track:wadi course surface:loose sand grip:low temperature:32 wind:gusts from the south
Priya: corners 585 590 847 841
Priya: gearing 3000 2 17 52 gearbox_ratio=41/13 tyre_diameter=107
Priya: keep
+15 Priya: run add 4 min, motor 66, laps 26.9 26.7 27.0 26.8 26.8 track:wadi course
Ines: setup find sand
`;

const JULY = `
Ines: box add spring white 0.38 value:0.381 ± 0.006
Ines: corners 610 604 910 905
Ines: gearing pinion=16
Ines: whoops spacing=pan loop speed=31
Ines: keep
+10 Ines: run add 4 min, bucked in the whoops, motor 76, laps 25.6 25.8 25.5 25.7 25.6 track:pan loop
Ines: ride end=rear spring_rate=white 0.38
Ines: heights 12 54 124 130 103.8 62 end=rear
Ines: keep
+15 Ines: run add 4 min, tail floats, nose still bucks, motor 77, laps 25.2 25.4 25.1 25.3 25.2 track:pan loop
Priya: box add spring beige 0.25 value:0.252 ± 0.004
Ines: box return green 0.24
Ines: ride end=front spring_rate=green 0.24
Ines: whoops
Ines: keep
Ines: truck refresh
+15 Ines: run add 4 min, floats over all of them, motor 77, laps 24.9 25.0 24.8 25.0 24.9 track:pan loop
Ines: setup save Hard pan notes:White at the rear, green in front: both ends float over the whoops at 31 km/h. Motor at 77 after four minutes, so no more teeth in this heat. tags:hard pan, whoops, hot track:pan loop surface:hard salt, dusty grip:low temperature:36 wind:light from the east
Priya: truck parts change pack at:250
Priya: corners 576 584 852 848
Priya: ride end=front spring_rate=beige 0.25
Priya: keep
Priya: truck refresh
+15 Priya: run add 4 min, steady, motor 71, laps 26.0 26.1 25.9 26.2 26.0 track:pan loop
Priya: setup save Whoops, soft front notes:My own springs now, nearly as soft. Pack in the last hole. tags:whoops, soft, hot track:pan loop surface:hard salt, dusty grip:low temperature:37 wind:light from the east
Tomasz: corners 684@2 714@2 969@2 1000@2
Tomasz: gearing pinion=15
Tomasz: keep
+15 Tomasz: run add 5 min, motor 74, laps 25.9 26.1 26.0 25.8 26.0 track:pan loop
`;

const SEPTEMBER = `
Ines: box add pinion 17
Ines: box add spring orange 0.36 value:0.362 ± 0.006
Ines: corners 611 602 909 903
Ines: gearing pinion=17
Ines: top_speed rolling_coefficient=0.06 air_temperature=27
Ines: keep
Ines: truck refresh
+15 Ines: run add 5 min, motor 74, pulls longer on the straight, laps 24.7 24.8 24.6 24.8 24.7 track:pan loop
Ines: ride end=front spring_rate=orange 0.36
Ines: keep
+15 Ines: run add 5 min, bucked in the whoops, motor 74, laps 25.4 25.6 25.3 25.5 25.4 track:pan loop
Tomasz: run since slower truck:Sandhopper of:Ines
Ines: ride end=front spring_rate=green 0.24
Ines: keep
+15 Ines: run add 5 min, as good as before, motor 75, laps 24.7 24.6 24.8 24.6 24.7 track:pan loop
Ines: setup save Hard pan notes:17 teeth now that it is cooler. Orange springs in front cost 0.7 s a lap, so green is back in. tags:hard pan, whoops track:pan loop surface:hard salt grip:medium temperature:27 wind:none
Priya: setup copy Hard pan truck:Camelthorn
Priya: truck use Camelthorn
Priya: corners 615 606 914 908
Priya: keep
+15 Priya: run add 4 min, not bad for a first go, motor 73, laps 25.9 26.1 25.8 26.0 25.9 track:pan loop
Priya: setup save First go notes:A second truck on a chassis like Sandhopper’s. All copied from Ines but the corners, which are its own. tags:copied, hard pan track:pan loop surface:hard salt grip:medium temperature:28 wind:none
+15 Priya: run add 4 min, motor 66, laps 25.7 25.8 25.6 25.8 25.7 truck:Dune Ferry track:pan loop
Tomasz: corners 684@2 714@2 970@2 1000@2
Tomasz: keep
+15 Tomasz: run add 6 min, motor 68, laps 25.6 25.5 25.7 25.6 25.5 track:pan loop
Tomasz: setup save Three cells notes:Nothing changed since May but the driver. tags:three cells, hard pan track:pan loop surface:hard salt grip:medium temperature:28 wind:none
`;

const OCTOBER = `
Ines: corners 609 604 907 904
Ines: keep
Ines: truck refresh
+15 Ines: run add 5 min, motor 66, laps 24.4 24.5 24.3 24.4 24.3 track:pan loop
Ines: setup save Hard pan notes:The season’s best on it. Leave it alone. tags:hard pan, whoops track:pan loop surface:hard salt, damp in the morning grip:high temperature:18 wind:none
Priya: corners 577 583 851 846 truck=Dune Ferry
Priya: keep Dune Ferry
+15 Priya: run add 4 min, motor 58, laps 25.3 25.4 25.2 25.4 25.3 truck:Dune Ferry track:pan loop
Priya: setup save Whoops, soft front truck:Dune Ferry notes:As in July. The cold does the rest. tags:whoops, soft track:pan loop surface:hard salt, damp in the morning grip:high temperature:18 wind:none
Priya: laps before=27.2 27.0 27.3 26.9 27.1 after=25.3 25.4 25.2 25.4 25.3 truck=Dune Ferry
+15 Priya: run add 4 min, motor 65, laps 25.4 25.5 25.3 25.6 25.4 track:pan loop
Tomasz: corners 683@2 714@2 970@2 999@2
Tomasz: keep
+15 Tomasz: run add 6 min, motor 60, laps 25.3 25.2 25.4 25.3 25.2 track:pan loop
+10 Tomasz: truck parts change pack at:190 note:one hole forward, the new strap does not reach
+15 Tomasz: run add 6 min, spins its wheels out of the corners, motor 63, laps 25.8 25.9 25.7 25.9 25.8 track:pan loop
Tomasz: run since slower
Tomasz: corners 706@2 736@2 946@2 976@2
Tomasz: keep
Tomasz: truck refresh
Tomasz: setup save Three cells notes:Pack one hole forward for the new strap, and half a second gone. A longer strap before spring. tags:three cells, hard pan track:pan loop surface:hard salt, damp in the morning grip:high temperature:19 wind:none
Tomasz: setup save Race plan notes:Longer strap, pack back at 230, 16 teeth if it is cool. tags:ideas private:yes
Ines: gearing pinion=18
Ines: top_speed air_temperature=15
Ines: keep
+20 Ines: run add 4 min, motor 71, laps 24.2 24.1 24.3 24.2 24.2 track:pan loop
Ines: setup save Hard pan, evening notes:18 teeth, for cool evenings only: motor at 71 after four minutes at 15 °C. tags:hard pan, evening track:pan loop surface:hard salt grip:high temperature:15 wind:none
Ines: setup compare a:Soft sand b:Hard pan, evening
Tomasz: setup show Hard pan, evening
Priya: setup find rear_share > 59 %
Priya: truck show Sandhopper of:Ines
`;

export const DAYS: readonly Day[] = [
  { month: 4, saturday: 2, lines: APRIL },
  { month: 5, saturday: 2, lines: MAY },
  { month: 6, saturday: 1, lines: JUNE },
  { month: 7, saturday: 2, lines: JULY },
  { month: 9, saturday: 1, lines: SEPTEMBER },
  { month: 10, saturday: 1, lines: OCTOBER },
];
