/**
 * Whoops: one ruler of km/h, and over it a lane for each end of the truck. The hump is where that end moves more than the bumps, its crest
 * the speed in tune; the band is where it floats. A line through all lanes is the speed of this truck.
 */
import { scaleLinear } from 'd3-scale';
import type { Answer } from '../../../worksheets/engine/types.ts';
import { quantity, series, shown } from '../../number.ts';
import { outline } from '../kit/lines.ts';
import type { Kit, Scale } from '../kit.ts';
import { answerOf, type Layout, numberOf } from '../layout.ts';
import { axis } from '../plot.ts';
import type { Box, Mark, Marks } from '../scene.ts';
import { sizes, strokes, type TextTone } from '../theme.ts';

interface Lane {
  readonly end: 'rear' | 'front';
  readonly tune: number;
  readonly float: number;
}
interface Facts {
  readonly lanes: readonly Lane[];
  readonly hop: number | null;
  readonly speed: number | null;
}

function factsOf(answer: Answer): Facts | null {
  const lanes = (['front', 'rear'] as const).flatMap((end) => {
    const [tune, float] = [numberOf(answer, `in_tune_${end}`), numberOf(answer, `float_${end}`)];
    return tune !== null && float !== null && tune > 0 ? [{ end, tune, float }] : [];
  });
  if (!lanes.some(({ end }) => end === 'rear')) return null;
  return { lanes, hop: numberOf(answer, 'hop_speed'), speed: numberOf(answer, 'speed') };
}

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const facts = factsOf(answer);
    const float = answerOf(answer, 'float_rear');
    if (facts === null || float === null) return null;
    const lane = room.h > 205 ? 48 : 42;
    const below = lane * facts.lanes.length + 27;
    const head = room.h - below;
    const size = head > 92 ? 66 : head > 80 ? 54 : 44;
    const hero = kit.hero(room.x, room.y, 228, float, { size, over: 'The tail floats from', explained: false });
    const order = ['frequency_to_float', 'passing_frequency', 'bounce_part', 'pitch_part'];
    const others = order.flatMap((name) => answerOf(answer, name) ?? []);
    const box = { x: room.x + 254, y: room.y - 4, w: room.w - 254, h: head };
    const pitch = Math.min(34, Math.max(28, box.h / Math.max(1, others.length)));
    const names = { ...rowNames, frequency_to_float: `To float at ${facts.speed === null ? '' : shown(facts.speed, null).number}` };
    return [
      hero.marks,
      kit.rows(box, others, { pitch, size: 20, names }).marks,
      lanes(kit, { ...room, y: room.y + head, h: below }, lane, facts),
    ];
  },
  picture: (answer) => {
    const facts = factsOf(answer);
    if (facts === null) return '';
    const ends = facts.lanes.map(
      ({ end, tune, float }) => `${end} bucks most at ${shown(tune, null).number}, floats from ${quantity(float, 'km/h')}`,
    );
    const here = facts.speed === null ? '' : ` A line marks your ${quantity(facts.speed, 'km/h')}.`;
    return `A ruler of speeds with a lane for each end: ${ends.join('; ')}.${here}`;
  },
};

const rowNames = { passing_frequency: 'Bumps a second', bounce_part: 'Lifts both ends', pitch_part: 'Rocks them' };

function lanes(kit: Kit, { x, y, w, h }: Box, height: number, { lanes: all, hop, speed }: Facts): Marks {
  const slowest = Math.max(...all.map(({ float }) => float));
  const [left, right] = [x + 46, x + w - 14];
  // What is far off the float speed is named at the edge: it must not squeeze the lanes.
  const near = (value: number | null): number[] => (value !== null && value < 2.4 * slowest ? [value] : []);
  const top = Math.max(1.45 * slowest, 1.08 * Math.max(0, ...near(hop), ...near(speed)));
  const scale: Scale = scaleLinear().domain([0, top]).range([left, right]);
  const base = y + h - 27;
  const tunes = series(
    all.map(({ tune }) => tune),
    3,
  );
  const floats = series(
    all.map(({ float }) => float),
    3,
  );
  const three = (value: number): string => series([value], 3)[0]!;
  const drawn = all.map((lane, i) => {
    const hops = lane.end === 'rear' && hop !== null ? [{ at: hop, words: `hops ${three(hop)}` }] : [];
    const mine = i === 0 && speed !== null && speed > top ? [{ at: speed, words: `you ${three(speed)}` }] : [];
    const said = { bucks: `bucks ${tunes[i]}`, floats: `floats from ${floats[i]}`, right: [...hops, ...mine] };
    return laneMarks(kit, lane, said, { x, y: y + height * i, w: right - x, h: height }, scale, top);
  });
  const here = speed === null || speed > top ? null : scale(speed);
  return [
    drawn.map(({ shapes }) => shapes),
    here === null ? [] : kit.rule(here, y + 3, here, base, { tone: 'heavy', width: strokes.bold, name: 'speed' }),
    drawn.map(({ words }) => words),
    here === null ? [] : kit.marker(here, y + 3, { size: 11 }),
    kit.ruler(left, right, base, axis([0, top], left, right, 5).ticks, scale, 'km/h'),
  ];
}

interface LaneWords {
  readonly bucks: string;
  readonly floats: string;
  /** Speeds of interest on the band; those beyond the ruler stand at its end with an arrow. */
  readonly right: readonly { readonly at: number; readonly words: string }[];
}

/** One end: its hump up to the speed at which it floats, its band from there on. Its words stand over both, clear of the line behind. */
function laneMarks(
  kit: Kit,
  { end, tune, float }: Lane,
  words: LaneWords,
  { x, y, w, h }: Box,
  scale: Scale,
  top: number,
): { readonly shapes: Marks; readonly words: Marks } {
  const base = y + h - 4;
  const right = x + w;
  const [start, crest, flat] = [scale(0), scale(tune), scale(float)];
  const rise = h - 24;
  const hump = [
    [start, base],
    [crest, base - rise],
    [flat, base],
  ] as const;
  const bold = (string: string): number => kit.widthOf(string, sizes.small, 600);
  const said = (left: number, baseline: number, string: string, tone: TextTone = 'text'): Mark[] => [
    kit.rect({ x: left - 3, y: baseline - 13, w: bold(string) + 6, h: 17 }, { fill: 'ground' }),
    kit.text(left, baseline, string, { weight: 600, tone }),
  ];
  // The words of the hump end where those of the band begin, which keep clear of what stands at its right end.
  const bucksAt = Math.max(start, Math.min(crest - bold(words.bucks) / 2, flat - 10 - bold(words.bucks)));
  const from = Math.max(flat + 2, bucksAt + bold(words.bucks) + 10);
  const far = words.right.filter(({ at }) => at > top).map((one) => `${one.words} →`);
  while (far.length > 0 && from + bold(far.join(' · ')) > right) far.shift();
  const beyond = far.join(' · ');
  const within = words.right.filter(({ at }) => at <= top && at > 0);
  const edge = beyond === '' ? right : right - bold(beyond) - 12;
  const placed = within
    .map(({ at, words: string }) => ({ string, left: Math.min(scale(at) - bold(string) / 2, edge - bold(string)) }))
    .filter(({ left }) => left >= from);
  const free = Math.min(edge, ...placed.map(({ left }) => left - 12));
  return {
    shapes: [
      kit.path(outline(hump), { fill: 'rule', name: `hump ${end}` }),
      kit.polyline(hump, { width: strokes.line }),
      kit.band({ x: flat, y: base - 12, w: right - flat, h: 12 }),
      within.map(({ at }) => kit.rule(scale(at), base - 15, scale(at), base + 2, { tone: 'heavy', width: strokes.bold, name: 'hop' })),
    ],
    words: [
      kit.text(x, base - 2, end, { tone: 'muted' }),
      said(bucksAt, base - rise - 5, words.bucks),
      from + bold(words.floats) <= free ? said(from, base - 18, words.floats) : [],
      placed.map(({ string, left }) => said(left, base - 18, string, 'heavy')),
      beyond === '' ? [] : said(right - bold(beyond), base - 18, beyond, 'heavy'),
    ],
  };
}
