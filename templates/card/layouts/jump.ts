/**
 * A jump, to scale in both directions: the ramp with the truck on its lip, the path through the air, the truck as it comes down. Under it
 * the metres from the lip.
 */
import type { Answer } from '../../../worksheets/engine/types.ts';
import { quantity, shown } from '../../number.ts';
import { outline } from '../kit/lines.ts';
import { view } from '../kit/view.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, type Layout, numberOf } from '../layout.ts';
import { axis } from '../plot.ts';
import type { Box, Marks } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';

interface Facts {
  readonly ramp: number;
  readonly range: number;
  readonly peak: number;
  readonly drop: number;
  readonly landing: number;
}

function factsOf(answer: Answer): Facts | null {
  const [ramp, range, peak, drop, landing] = ['ramp_angle', 'range', 'peak_height', 'drop', 'landing_pitch'].map((name) =>
    numberOf(answer, name),
  );
  const all = [ramp, range, peak, drop, landing];
  if (!all.every((value) => typeof value === 'number') || !(range! > 0)) return null;
  return { ramp: ramp!, range: range!, peak: peak!, drop: drop!, landing: landing! };
}

/** "lands 2° nose up": no film shows a tenth of a degree. */
const attitude = (pitch: number): string => {
  const degrees = Math.round(Math.abs(pitch));
  return degrees === 0 ? 'lands level' : `lands ${quantity(degrees, 'deg')} nose ${pitch > 0 ? 'up' : 'down'}`;
};

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const range = answerOf(answer, 'range');
    if (facts === null || range === null) return null;
    const rows = [
      'air_time',
      'landing_travel',
      'travel_left',
      'pitch_from_throttle',
      'level_change',
      'landing_speed_vertical',
      'landing_angle',
    ];
    const shownBelow = (names: readonly string[]) => names.flatMap((name) => answerOf(answer, name) ?? []);
    const over = { over: 'From lip to landing', explained: false };
    // A high flight stands beside its figures, a flat one under them.
    if (facts.peak + Math.max(0, facts.drop) > 0.2 * facts.range) {
      const hero = kit.hero(room.x, room.y, 200, range, { ...over, size: 54 });
      const box = { x: room.x, y: hero.bottom + 2, w: 214, h: room.y + room.h - hero.bottom };
      const pitch = Math.max(27, box.h / 5);
      return [
        hero.marks,
        kit.rows(box, shownBelow(['air_time', 'peak_height', ...rows.slice(1)]), { pitch, size: 20, names: rowNames }).marks,
        flight(kit, { ...room, x: room.x + 230, w: room.w - 230 }, facts),
      ];
    }
    const hero = kit.hero(room.x, room.y, 200, range, { ...over, size: room.h < 200 ? 54 : 66 });
    const head = hero.bottom - room.y;
    const box = { x: room.x + 232, y: room.y - 6, w: room.w - 232, h: head + 12 };
    return [
      hero.marks,
      kit.rows(box, shownBelow(rows), { pitch: Math.max(27, box.h / 3), size: 20, names: rowNames }).marks,
      flight(kit, { ...room, y: room.y + head, h: room.h - head }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const down = facts.drop === 0 ? '' : `, ${quantity(Math.abs(facts.drop), 'm')} ${facts.drop > 0 ? 'below' : 'above'} the lip`;
    return `The flight to scale: off a ramp of ${quantity(facts.ramp, 'deg')}, ${quantity(facts.peak, 'm')} over the lip, down after ${quantity(facts.range, 'm')}${down}; it ${attitude(facts.landing)}.`;
  },
};

const rowNames = {
  air_time: 'In the air',
  peak_height: 'Over the lip',
  landing_travel: 'Landing wants',
  landing_speed_vertical: 'Comes down at',
  landing_angle: 'Path, down',
  pitch_from_throttle: 'From throttle',
  level_change: 'Wheels, for level',
};

function flight(kit: Kit, { x, y, w, h }: Box, { ramp, range, peak, drop, landing }: Facts): Marks {
  const base = y + h - 27;
  const bank = (Math.PI / 180) * ramp;
  const slope = Math.tan(bank);
  // The parabola through lip and landing that leaves along the ramp: y = x·tan φ − c·x².
  const c = (range * slope + drop) / range ** 2;
  const height = (at: number): number => at * slope - c * at ** 2;
  // Two trucks, one on the lip and one where it comes down; both larger than life, so that one sees how they stand.
  const size = 32;
  const r = 6;
  const sunk = size * Math.max(0, Math.sin(bank));
  const air = { x: x + 58, y: y + 36, w: w - 58 - 46, h: base - 6 - sunk - y - 36 };
  const run = Math.min(0.3 * range, 0.6);
  const seen = view(air, [[0, 0], [range, -drop], [0, Math.max(peak, 0)], [0, Math.min(0, -run * Math.max(0, Math.sin(bank)))]], 'low'); // biome-ignore format: four places
  if (seen === null) return [];
  const { at, factor } = seen;
  const path = Array.from({ length: 49 }, (_, i): Point => at((range * i) / 48, height((range * i) / 48)));
  const [lip, down] = [at(0, 0), at(range, -drop)];
  const floor = Math.max(base - 2, lip[1], down[1]);

  const truck = ([px, py]: Point, pitch: number, name: string): Marks =>
    kit.truck(px + size / 2, px - size / 2, py - r - 1, r, { pitch, name });
  const turned = (Math.PI / 180) * landing;
  const foot = Math.min(48, lip[0] - x);
  const ramps = Math.abs(slope) < 1e-9 ? lip[1] : Math.min(floor, Math.max(y + 20, lip[1] + foot * slope));

  const { ticks, scale } = axis([0, range], lip[0], lip[0] + factor * range, 5);
  const words = attitude(landing);
  // Beside the figures the corner over the landing is free; under them the words stand over the truck.
  const beside = w < 400;
  const wordsWidth = kit.widthOf(words, sizes.small, 600);
  const wordsAt = beside ? y + 14 : Math.max(y + 16, down[1] - 34 - size * Math.abs(Math.sin(turned)));
  const apex = path.reduce((top, point) => (point[1] < top[1] ? point : top));
  const up = `${shown(peak, 'm').number} m up`;
  const upWidth = kit.widthOf(up, sizes.small);
  const upAt = Math.min(Math.max(lip[0] + 30, apex[0] - upWidth / 2), x + w - wordsWidth - 14 - upWidth);
  return [
    kit.path(outline([[lip[0] - foot, ramps], lip, [lip[0], floor], [lip[0] - foot, floor]]), { fill: 'rule', name: 'ramp' }),
    kit.rule(lip[0] - foot, ramps, lip[0], lip[1], { tone: 'text', width: strokes.line }),
    kit.rule(down[0] - Math.min(40, factor * range), down[1], x + w, down[1], { tone: 'text', width: strokes.line, name: 'landing' }),
    kit.polyline(path, { tone: 'light', width: strokes.bold, name: 'path' }),
    truck([lip[0] - (size / 2) * Math.cos(bank), lip[1] + (size / 2) * Math.sin(bank)], bank, 'truck lip'),
    // Its lower wheel meets the ground.
    truck([down[0], down[1] - (size / 2) * Math.abs(Math.sin(turned))], turned, 'truck landing'),
    peak > 0 && !beside && upAt >= lip[0] + 30 ? kit.text(upAt, Math.max(y + 16, apex[1] - 10), up, { tone: 'muted' }) : [],
    kit.rect({ x: x + w - wordsWidth - 4, y: wordsAt - 14, w: wordsWidth + 4, h: 18 }, { fill: 'ground' }),
    kit.text(x + w, wordsAt, words, { tone: 'heavy', weight: 600, anchor: 'end' }),
    kit.ruler(lip[0], lip[0] + factor * range, base, ticks, scale, 'm'),
  ];
}
