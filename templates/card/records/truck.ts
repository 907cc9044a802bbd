/**
 * A truck: how far one has got with it. On top a tape with one tile an answer (there, one measurement away, further); below it what it
 * answers now, and what one more measurement would give, a tile an answer.
 */
import type { AnswerValue } from '../../../worksheets/engine/types.ts';
import { clean } from '../../clean.ts';
import { quantity } from '../../number.ts';
import { fittedAlt } from '../../text.ts';
import { counted, type PartsView, type StandingView, type TruckView } from '../../truck.ts';
import { answerValueText, capital, nameWords } from '../../words.ts';
import type { Kit } from '../kit.ts';
import type { Portrait } from '../portrait.ts';
import type { Box, Marks } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';
import { heroRow, inShort, moreInText } from './parts.ts';

/** null: too little is known for a picture. */
export function truckPortrait(view: TruckView, day: string): Portrait | null {
  const { answers, unlocks, stale } = view.standing;
  if (view.facts.length === 0 || (answers.length === 0 && unlocks.length === 0)) return null;
  const reached = reachOf(view.standing);
  const rows = rowsOf(view.standing);
  const next = nextOf(view);
  return {
    name: 'truck',
    told: { title: clean(view.truck), about: day, next },
    draw: (kit, room) => [
      tape(kit, { ...room, h: 40 }, reached),
      columns(kit, { ...room, y: room.y + 50, h: room.h - 50 }, rows, unlocks, view.parts),
    ],
    alt: fittedAlt([
      `${clean(view.truck)}, ${day}: ${tapeText(reached).join(', ')}.`,
      ...rows.map((row) => `${capital(nameWords(row.name))} ${answerValueText(row)}.`),
      ...unlocks.map((one) => `One more measurement, ${nameWords(one.fact)}, gives ${counted(one.titles.length, 'answer')}.`),
      ...(stale.length > 0 ? [`${counted(stale.length, 'answer')} stale.`] : []),
      ...(next === null ? [] : [next]),
    ]),
  };
}

type Unlock = StandingView['unlocks'][number];

interface Reached {
  readonly there: number;
  readonly near: number;
  readonly far: number;
}
function reachOf({ answers, unlocks, missing }: StandingView): Reached {
  const near = new Set(unlocks.flatMap(({ titles }) => titles));
  return { there: answers.length, near: near.size, far: missing.length };
}
const tapeText = ({ there, near, far }: Reached): readonly string[] => [
  `${counted(there, 'answer')} now`,
  ...(near > 0 ? [`${near} one measurement away`] : []),
  ...(far > 0 ? [`${far} further`] : []),
];

/** Those that call for something first, then those with a verdict, else as on the shelf. */
const rowsOf = ({ answers }: StandingView): AnswerValue[] =>
  answers
    .flatMap(({ hero, end }) => (hero === null || hero.value === null ? [] : [inShort(heroRow(hero, end))]))
    .sort((a, b) => rank(a) - rank(b));
const rank = ({ value, verdict }: AnswerValue): number => (verdict !== null ? 0 : typeof value === 'number' ? 1 : 2);

function nextOf({ own, standing: { stale, unlocks } }: TruckView): string | null {
  if (stale.length > 0 && own)
    return `${stale.length === 1 ? 'One answer is' : `${stale.length} answers are`} from older readings: truck refresh.`;
  const first = unlocks[0];
  if (first === undefined) return null;
  const [one, ...others] = first.titles;
  return `Measure ${nameWords(first.fact)}: it gives ${one}${others.length === 0 ? '' : ` and ${others.length} more`}.`;
}

// ── drawing ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

function tape(kit: Kit, { x, y, w }: Box, reached: Reached): Marks {
  const [now, ...rest] = tapeText(reached);
  const said = kit.text(x, y + 13, now!, { size: sizes.body, weight: 600 });
  const tiles = [
    ...Array<'there'>(reached.there).fill('there'),
    ...Array<'near'>(reached.near).fill('near'),
    ...Array<'far'>(reached.far).fill('far'),
  ];
  const pitch = w / Math.max(tiles.length, 24);
  const air = Math.min(3, 0.25 * pitch);
  const middle = y + 32;
  return [
    said,
    rest.length === 0 ? [] : kit.text(x + said.extent.w + 12, y + 13, rest.join(' · '), { tone: 'muted', width: w - said.extent.w - 12 }),
    tiles.map((kind, i) => {
      const box = { x: x + pitch * i, y: middle - 7, w: pitch - air, h: 14 };
      if (kind === 'there') return kit.rect(box, { fill: 'light', name: 'there' });
      if (kind === 'near')
        return kit.rect({ ...box, x: box.x + 1, y: box.y + 1, w: box.w - 2, h: 12 }, { tone: 'light', width: strokes.line, name: 'near' });
      return kit.rect({ ...box, y: middle - 1.5, h: 3 }, { fill: 'muted', name: 'far' });
    }),
  ];
}

const PITCH = 28;

function columns(kit: Kit, room: Box, rows: readonly AnswerValue[], unlocks: StandingView['unlocks'], parts: PartsView): Marks {
  const listed = partsLine(parts);
  const h = room.h - (listed === null ? 0 : 22);
  const gap = 24;
  const left = { x: room.x, y: room.y, w: unlocks.length === 0 ? room.w : 0.46 * (room.w - gap), h };
  const right = { ...left, x: left.x + left.w + gap, w: 0.54 * (room.w - gap) };
  const fits = Math.floor((h - 19) / PITCH);
  const whole = rows.length <= fits;
  const below = { ...left, y: left.y + 19, h: PITCH * (whole ? fits : fits - 1) };
  return [
    kit.text(left.x, left.y + 13, 'It answers', { size: sizes.body, weight: 600 }),
    kit.rows(below, rows, { pitch: PITCH, size: 19 }).marks,
    whole ? [] : moreInText(kit, left.x + left.w, below.y + below.h + 0.5 * PITCH + 6, rows.length - fits + 1, left.w),
    unlocks.length === 0 ? [] : kit.text(right.x, right.y + 13, 'Measure next', { size: sizes.body, weight: 600 }),
    unlocks.slice(0, fits).map((one, i) => gives(kit, { ...right, y: right.y + 19 + PITCH * i, h: PITCH }, one, unlocks, i)),
    listed === null ? [] : kit.text(room.x, room.y + room.h - 3, listed, { tone: 'muted', width: room.w }),
  ];
}

/** A measurement and what it gives: the answer where that is one, else a tile an answer. */
function gives(kit: Kit, { x, y, w }: Box, { fact, titles }: Unlock, all: readonly Unlock[], i: number): Marks {
  const baseline = y + 0.5 * PITCH + 6;
  const most = Math.max(...all.map((one) => one.titles.length));
  const tile = Math.min(11, 70 / most);
  const right = x + w;
  const named = capital(nameWords(fact));
  const left = Math.max(0.4 * w, w - kit.widthOf(named) - 10);
  const shown =
    titles.length === 1
      ? [kit.text(right, baseline, `→ ${titles[0]!}`, { anchor: 'end', width: left })]
      : [kit.text(right, baseline, String(titles.length), { size: 19, weight: 700, anchor: 'end' })];
  const tiles = titles.length === 1 ? [] : titles;
  const end = shown[0]!.extent.x - 8;
  const start = end - tile * tiles.length;
  return [
    i === 0 ? [] : kit.rule(x, y, right, y, { tone: 'panel' }),
    kit.text(x, baseline, named, { tone: 'muted', width: start - x }),
    tiles.map((_, k) =>
      kit.rect({ x: start + tile * k + 1, y: baseline - 11, w: tile - 3, h: 10 }, { tone: 'light', width: 1.5, name: 'gives' }),
    ),
    shown,
  ];
}

/** "Parts 2986 g of 3014 g weighed: 28 g not listed" */
function partsLine({ parts, sum, weighed }: PartsView): string | null {
  if (parts.length === 0) return null;
  const grams = (mass: number): string => quantity(1000 * mass, 'g');
  if (weighed === null) return `Parts ${grams(sum.mass)}`;
  const short = weighed.mass - sum.mass;
  const reach = 2 * Math.hypot(weighed.uncertainty ?? 0, sum.uncertainty ?? 0);
  const by = `${quantity(Math.abs(short) * 1000, 'g', reach > 0 ? reach * 1000 : null)} ${short > 0 ? 'not listed' : 'too much on the list'}`;
  return `Parts ${grams(sum.mass)} of ${grams(weighed.mass)} weighed${Math.abs(short) <= Math.max(reach, 0.0005) ? ': they agree' : `: ${by}`}`;
}
