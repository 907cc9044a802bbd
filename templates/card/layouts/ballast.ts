/**
 * Ballast: over the truck in side view a line for each part that moves, from where it is to where it goes; under it the millimetres behind
 * the front axle, where the balance point was and where it will be. Figures of the plan stand beside.
 */
import { scaleLinear } from 'd3-scale';
import type { Answer } from '../../../worksheets/engine/types.ts';
import { quantity, shown } from '../../number.ts';
import type { Kit, Scale } from '../kit.ts';
import { answerOf, type Layout, numberOf, readingOf } from '../layout.ts';
import { axis } from '../plot.ts';
import type { Box, Marks } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';

type Place = number | 'off';
interface Part {
  readonly name: string;
  readonly now: Place;
  readonly then: Place;
}
interface Facts {
  readonly moving: readonly Part[];
  readonly wheelbase: number;
  readonly before: number;
  readonly after: number;
  readonly target: number;
}

const most = 4;

function factsOf(answer: Answer): Facts | null {
  const [front, rear, wheelbase] = ['front_load', 'rear_load', 'wheelbase'].map((name) => numberOf(answer, name));
  const [after, target] = ['rear_share', 'target_rear'].map((name) => numberOf(answer, name));
  const [rows, plan] = [readingOf(answer, 'parts')?.value, answerOf(answer, 'plan')?.value];
  if (front == null || rear == null || wheelbase == null || after == null || target == null) return null;
  if (typeof rows !== 'object' || typeof plan !== 'string' || !(wheelbase > 0)) return null;
  const parts = rows.flatMap((row) =>
    typeof row === 'object' && typeof row.name === 'string' && isPlace(row.now) ? [{ name: row.name, now: row.now }] : [],
  );
  const moving = movesOf(plan, parts);
  if (moving === null || parts.length !== rows.length) return null;
  return {
    moving,
    wheelbase,
    before: (100 * rear) / (front + rear),
    after,
    target,
  };
}

const isPlace = (value: unknown): value is Place => typeof value === 'number' || value === 'off';

/** `pack 210; lead off` → which part goes where. Null where two parts of one name leave it open which of them is meant. */
function movesOf(plan: string, parts: readonly Omit<Part, 'then'>[]): Part[] | null {
  if (plan === 'nothing moves') return [];
  const moving = plan.split('; ').map((move): Part | null => {
    const cut = move.lastIndexOf(' ');
    const [name, place] = [move.slice(0, cut), move.slice(cut + 1)];
    const named = parts.filter((part) => part.name === name);
    const then = place === 'off' ? place : Number(place);
    return named.length === 1 && (then === 'off' || Number.isFinite(then)) ? { ...named[0]!, then } : null;
  });
  return moving.every((part) => part !== null) ? moving : null;
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const share = answerOf(answer, 'rear_share');
    if (facts === null || share === null) return null;
    const left = { ...room, w: 192 };
    const hero = kit.hero(left.x, left.y, left.w, share, { size: 54, over: 'Rear share after', explained: false });
    const end = room.y + room.h;
    const words = moveWords(kit, facts.moving, {
      ...left,
      y: hero.bottom + 24,
      h: end - hero.bottom - 24 - (facts.moving.length > 2 ? 30 : 56),
    });
    const below = { ...left, y: words.bottom + 2, h: end - words.bottom };
    const others = ['added_mass', 'total', 'error', 'moves'].flatMap((name) => answerOf(answer, name) ?? []);
    return [
      hero.marks,
      kit.text(left.x, hero.bottom + 17, `now ${quantity(facts.before, '%')}`, { tone: 'muted', width: left.w }),
      words.marks,
      kit.rows(below, others, { pitch: 28, size: 20, names: { added_mass: 'Added', error: 'Off target' } }).marks,
      moved(kit, { ...room, x: room.x + 212, w: room.w - 212 }, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const told = facts.moving.map(({ name, now, then }) => `${name} from ${inWords(now)} to ${inWords(then)}`);
    const parts = told.length === 0 ? 'No part moves' : `Over the truck in side view: ${told.join('; ')}`;
    return `${parts}. Its balance point goes from ${quantity(facts.before, '%')} to ${quantity(facts.after, '%')} of the wheelbase, the target is ${quantity(facts.target, '%')}.`;
  },
};

const inWords = (place: Place): string => (place === 'off' ? 'off the truck' : quantity(place, 'mm'));
const figure = (place: Place): string => (place === 'off' ? 'off' : shown(place, null).number);

/** Which part goes where, a line each; as many as there is room for. */
function moveWords(kit: Kit, moving: readonly Part[], { x, y, w, h }: Box): { readonly marks: Marks; readonly bottom: number } {
  const pitch = 24;
  const fits = Math.max(1, Math.floor(h / pitch));
  const lines = moving.length > fits ? moving.slice(0, fits - 1) : moving;
  const marks = lines.map(({ name, now, then }, i) => {
    const figures = `${figure(now)} → ${figure(then)}`;
    const baseline = y + pitch * i + 17;
    return [
      kit.text(x, baseline, name, { tone: 'muted', width: w - kit.widthOf(figures, sizes.body, 600) - 10 }),
      kit.text(x + w, baseline, figures, { size: sizes.body, weight: 600, anchor: 'end' }),
    ];
  });
  const more = moving.length - lines.length;
  const last = y + pitch * lines.length + 17;
  const note = more === 0 ? (moving.length === 0 ? 'No part moves' : null) : `+ ${more} more in the text`;
  return {
    marks: [marks, note === null ? [] : kit.text(x, last, note, { tone: moving.length === 0 ? 'text' : 'muted', width: w })],
    bottom: y + pitch * (lines.length + (note === null ? 0 : 1)) + 3,
  };
}

function moved(kit: Kit, { x, y, w, h }: Box, { moving, wheelbase, before, after, target }: Facts): Marks {
  const rows = moving.slice(0, most);
  const pitch = 22;
  const ground = y + h - 28;
  // The truck is as large as the height leaves it, unless its parts reach farther than it does.
  const places = rows.flatMap(({ now, then }) => [now, then]).filter((place) => place !== 'off');
  const reach = [Math.min(-0.32 * wheelbase, ...places), Math.max(1.3 * wheelbase, ...places)] as const;
  const space = reach[1] - reach[0];
  const free = ground - y - pitch * rows.length - 24;
  const factor = Math.min((w - 12) / space, free / 0.63 / wheelbase);
  const from = x + 6 + (w - 12 - factor * space) / 2;
  const scale: Scale = scaleLinear()
    .domain(reach)
    .range([from, from + factor * space]);
  const base = factor * wheelbase;
  const r = 0.17 * base;
  const at = (share: number): number => Math.min(x + w, Math.max(x, scale((share / 100) * wheelbase)));
  const hook = ground - r - 0.46 * base - 14;
  const first = hook - 8 - pitch * rows.length;
  return [
    kit.truck(scale(0), scale(wheelbase), ground - r, r),
    kit.band({ x: at(target) - 4, y: ground, w: 8, h: 7 }),
    kit.ruler(x, x + w, ground + 5, axis(reach, from, from + factor * space, 5).ticks, scale, 'mm'),
    kit.rule(at(before), hook, at(before), ground, { tone: 'text', width: strokes.line, dash: '4 4', name: 'before' }),
    kit.plumb(at(after), hook, ground, { name: 'after' }),
    rows.map((part, i) => line(kit, part, { x, y: first + pitch * i, w, h: pitch }, scale)),
  ];
}

/** One part on its way: hollow where it is, solid where it goes, its name beside; + is put on the truck, − taken off. */
function line(kit: Kit, { name, now, then }: Part, { x, y, w, h }: Box, scale: Scale): Marks {
  const middle = y + h / 2;
  const half = 5;
  const boxAt = (place: number, solid: boolean): Marks =>
    kit.rect(
      { x: scale(place) - half, y: middle - half, w: 2 * half, h: 2 * half },
      solid ? { fill: 'heavy', name: 'then' } : { fill: 'ground', tone: 'text', width: strokes.line, name: 'now' },
    );
  const stands = [now, then].filter((place) => place !== 'off').map(scale);
  const [first, last] = [Math.min(...stands) - half, Math.max(...stands) + half];
  const words = `${now === 'off' ? '+ ' : then === 'off' ? '− ' : ''}${name}`;
  const width = Math.min(kit.widthOf(words), 150);
  const before = first - 8 - width >= x;
  const way = now !== 'off' && then !== 'off' && Math.abs(scale(then) - scale(now)) > 4 * half ? Math.sign(scale(then) - scale(now)) : 0;
  return [
    way === 0 || now === 'off' || then === 'off'
      ? []
      : kit.arrow(scale(now) + way * (half + 2), middle, scale(then) - way * (half + 3), middle, { width: strokes.line }),
    now === 'off' ? [] : boxAt(now, false),
    then === 'off' ? [] : boxAt(then, true),
    before
      ? kit.text(first - 8, middle + 6, words, { anchor: 'end', width })
      : last + 8 + width <= x + w
        ? kit.text(last + 8, middle + 6, words, { width })
        : [],
  ];
}
