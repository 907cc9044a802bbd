/**
 * What differs between setups, as a strip: was → is → what it did. Left the readings that changed; right a lane an answer, on which it went
 * from the hollow disc to the full one, with its ± as a whisker and its target as a band: a step that is shorter than its whiskers is none.
 */
import { scaleLinear } from 'd3-scale';
import type { AnswerValue } from '../../../worksheets/engine/types.ts';
import { clean } from '../../clean.ts';
import { type ComparedAnswer, type ComparedRow, type ComparedView, inOrder } from '../../setup.ts';
import { fittedAlt } from '../../text.ts';
import { answerShown, answerValueText, capital, nameWords, unitOnce } from '../../words.ts';
import type { Kit } from '../kit.ts';
import type { Portrait } from '../portrait.ts';
import type { Box, Marks } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';
import { heroRow, inShort, more } from './parts.ts';

/** null: they differ in nothing that can be drawn. */
export function comparedPortrait(view: ComparedView, days: (at: number) => string): Portrait | null {
  const { setups, conditions, readings, answers } = view;
  if (readings.length + answers.length === 0) return null;
  const moved = drawnFirst(inOrder(answers));
  const title = titleOf(setups);
  const about = aboutOf(setups, days);
  const last = setups.at(-1)!;
  return {
    name: 'compared',
    told: {
      title,
      about: '',
      cautions: conditions.length === 0 ? [] : [unlike(conditions)],
      next: `Put it on a truck of yours: setup copy ${last.id} truck:NAME`,
    },
    draw: (kit, room) => {
      const top = kit.text(room.x, room.y + 9, about, { tone: 'muted', width: room.w });
      const box = { ...room, y: room.y + 24, h: room.h - 24 };
      if (readings.length === 0) return [top, did(kit, box, moved, 'No reading changed, yet it answers')];
      const w = setups.length === MOST_WORDS ? 226 : 200;
      const left = { ...box, w };
      const right = { ...box, x: box.x + w + 32, w: box.w - w - 32 };
      const middle = box.y + 22 + 30;
      return [
        top,
        changed(kit, left, readings),
        kit.arrow(left.x + left.w + 7, middle, right.x - 8, middle, { tone: 'muted', width: strokes.line }),
        did(kit, right, moved, moved.length === 0 ? 'No answer differs' : 'What it did'),
      ];
    },
    alt: fittedAlt([
      `${title}. ${about}.`,
      ...readings.map((row) => `${capital(nameWords(row.name))}: ${row.values.map((value) => value ?? 'not given').join(' to ')}.`),
      ...moved.map(
        (one) => `${capital(nameWords(one.name))}, ${one.what}: ${one.values.map((value) => value ?? 'not given').join(' to ')}.`,
      ),
    ]),
  };
}

/** One line: the text has them all. */
function unlike(conditions: readonly ComparedRow[]): string {
  const [one, two, ...others] = conditions.map(({ name }) => nameWords(name));
  if (others.length > 0) return 'Not like for like: the conditions differ too.';
  return `Not like for like: the ${two === undefined ? `${one} differs` : `${one} and the ${two} differ`} too.`;
}

const short = (text: string): string => clean(text, { graphemes: 40 });

const MOST_WORDS = 3;
/** Of many the first and the last: the discs on the lane show those between, and the text has them all. */
function joined(words: readonly string[]): string {
  return words.length > MOST_WORDS ? `${words[0]} … ${words.at(-1)}` : words.join(' → ');
}

function titleOf(setups: ComparedView['setups']): string {
  const names = setups.map(({ name }) => short(name));
  if (new Set(setups.map(({ id }) => id)).size === 1) return `${names[0]}, revision ${joined(setups.map(({ rev }) => String(rev)))}`;
  return joined(names);
}
function aboutOf(setups: ComparedView['setups'], days: (at: number) => string): string {
  const trucks = setups.map(({ truck }) => short(truck));
  const dates = setups.map(({ at }) => days(at));
  if (new Set(trucks).size === 1) return new Set(dates).size === 1 ? `${trucks[0]} · ${dates[0]}` : `${trucks[0]} · ${joined(dates)}`;
  return joined(trucks.map((truck, i) => `${truck}, ${dates[i]}`));
}

/** A lane needs numbers; what is said in words, or is not answered by all of them, comes after. */
const drawnFirst = (answers: readonly ComparedAnswer[]): ComparedAnswer[] => {
  const onLane = ({ each }: ComparedAnswer): boolean => each.every((one) => typeof one?.value === 'number');
  return [...answers.filter(onLane), ...answers.filter((one) => !onLane(one))];
};

const PITCH = 41;

function changed(kit: Kit, { x, y, w, h }: Box, readings: readonly ComparedRow[]): Marks {
  const fits = Math.max(1, Math.floor((h - 22 + 0.01) / PITCH));
  const shown = readings.length > fits ? readings.slice(0, fits - 1) : readings;
  return [
    kit.text(x, y + 13, 'Was → is', { size: sizes.body, weight: 600, width: w }),
    shown.map((row, i) => {
      const top = y + 22 + PITCH * i;
      return [
        i === 0 ? [] : kit.rule(x, top, x + w, top, { tone: 'panel' }),
        kit.text(x, top + 15, capital(nameWords(row.name)), { tone: 'muted', width: w }),
        // A name and what it measures are too long for a lane: the text has both.
        steps(kit, x, top + 34, w, row.steps?.map((step) => step && (step.named ?? step.measured)) ?? row.values),
      ];
    }),
    readings.length > shown.length ? more(kit, x + w, y + 22 + PITCH * shown.length + 20, `${readings.length - shown.length} more`, w) : [],
  ];
}

/** "0.38 → 0.45 N/mm": what it was is muted, what it is stands out. */
function steps(kit: Kit, x: number, y: number, w: number, values: readonly (string | null)[]): Marks {
  const texts = values.map((value) => (value === null ? '–' : short(value)));
  const bare = unitOnce(texts);
  const before = bare.length > MOST_WORDS ? `${bare[0]} …` : `${bare.slice(0, -1).join(' → ')} →`;
  const is = bare.at(-1)!;
  const fits = (size: number): boolean => kit.widthOf(before, size) + 5 + kit.widthOf(is, size, 600) <= w;
  const size = fits(sizes.act) ? sizes.act : sizes.small;
  const room = Math.max(w - kit.widthOf(is, size, 600) - 5, 0.5 * w);
  const was = kit.text(x, y, before, { size, tone: 'muted', width: room });
  return [was, kit.text(x + was.extent.w + 5, y, is, { size, weight: 600, width: w - was.extent.w - 5 })];
}

function did(kit: Kit, { x, y, w, h }: Box, answers: readonly ComparedAnswer[], title: string): Marks {
  const fits = Math.max(1, Math.floor((h - 22 + 0.01) / PITCH));
  const shown = answers.length > fits ? answers.slice(0, fits - 1) : answers;
  return [
    kit.text(x, y + 13, title, { size: sizes.body, weight: 600, width: w }),
    shown.map((one, i) => lane(kit, { x, y: y + 22 + PITCH * i, w, h: PITCH }, one)),
    answers.length > shown.length ? more(kit, x + w, y + 22 + PITCH * shown.length + 20, `${answers.length - shown.length} more`, w) : [],
  ];
}

/** Four figures; where they are the same in those, as many as their ± allows. */
function wordsOf(each: ComparedAnswer['each']): string[] {
  const text = (one: AnswerValue | null): string =>
    one === null ? '–' : typeof one.value === 'number' ? answerShown(one).number : answerValueText(one);
  const brief = each.map((one) => text(one && inShort(one)));
  return new Set(brief).size === new Set(each.map((one) => one?.value)).size ? brief : each.map(text);
}

function lane(kit: Kit, { x, y, w }: Box, { name, end, each }: ComparedAnswer): Marks {
  const known = each.flatMap((one) => (one !== null && typeof one.value === 'number' ? [one as AnswerValue & { value: number }] : []));
  const called = capital(nameWords(inShort(heroRow({ name } as AnswerValue, end)).name));
  const first = known[0];
  const last = known.at(-1);
  const words = wordsOf(each);
  const unit = last === undefined ? '' : answerShown(last).unit;
  const is = each.at(-1);
  const sign = is?.verdict ? kit.sign(x + w - 8, y + 10, is.verdict, 7.5) : [];
  const right = x + w - (is?.verdict ? 22 : 0);
  const said = `${joined(words)}${unit === '' ? '' : unit === '°' ? '°' : ` ${unit}`}`;
  const room = Math.max(0.6 * w, right - x - 10 - kit.widthOf(called));
  const size = kit.widthOf(said, sizes.body, 600) <= room ? sizes.body : sizes.small;
  const value = kit.text(right, y + 16, said, { size, weight: 600, anchor: 'end', width: room });
  const label = kit.text(x, y + 16, called, { tone: 'muted', width: Math.max(1, value.extent.x - 8 - x) });
  if (first === undefined || last === undefined || known.length !== each.length) return [label, value, sign];

  const spread = known.map((one) => one.uncertainty ?? 0);
  const low = Math.min(...known.map((one, i) => one.value - spread[i]!));
  const high = Math.max(...known.map((one, i) => one.value + spread[i]!));
  const span = high - low || Math.abs(high) || 1;
  // The target is drawn where it is near: one far away would press the step together.
  const band = last.band;
  const edges = band === null ? [] : [band.low, band.high].filter((edge) => edge > low - 2 * span && edge < high + 2 * span);
  const scale = scaleLinear()
    .domain([Math.min(low, ...edges) - 0.06 * span, Math.max(high, ...edges) + 0.06 * span])
    .range([x + 7, x + w - 7]);
  const [from, to] = scale.domain() as [number, number];
  const middle = y + 32;
  const target =
    band === null || band.low >= to || band.high <= from ? null : { low: Math.max(band.low, from), high: Math.min(band.high, to) };
  const [start, stop] = [scale(first.value), scale(last.value)];
  return [
    label,
    value,
    sign,
    target === null
      ? []
      : kit.rect(
          { x: scale(target.low), y: middle - 6, w: scale(target.high) - scale(target.low), h: 12 },
          { fill: 'good', opacity: 0.5, name: 'band' },
        ),
    // Where it goes on beyond the lane it has no edge here.
    [band?.low, band?.high].map((edge) =>
      edge !== undefined && edge > from && edge < to
        ? kit.rule(scale(edge), middle - 6, scale(edge), middle + 6, { tone: 'good', width: strokes.line, name: 'band' })
        : [],
    ),
    kit.rule(x, middle, x + w, middle, { tone: 'rule' }),
    known.map((one, i) =>
      spread[i]! > 0
        ? kit.rule(scale(one.value - spread[i]!), middle, scale(one.value + spread[i]!), middle, {
            tone: i === known.length - 1 ? 'heavy' : 'light',
            width: strokes.line,
            name: 'whisker',
          })
        : [],
    ),
    Math.abs(stop - start) > 16
      ? kit.arrow(start, middle, stop - Math.sign(stop - start) * 6, middle, { tone: 'heavy', width: strokes.line })
      : [],
    known
      .slice(0, -1)
      .map((one) => kit.circle(scale(one.value), middle, 5, { fill: 'ground', tone: 'light', width: strokes.line, name: 'was' })),
    kit.circle(stop, middle, 5.5, { fill: 'heavy', name: 'is' }),
  ];
}
