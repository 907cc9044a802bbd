/**
 * A stair of gear teeth, one step a pinion, its height a speed. The truck's own pinion is the step it stands on; the fastest is named where
 * there are slower ones to either side. Shared by gearing (the speed at most) and top speed (the real one).
 */
import { scaleLinear } from 'd3-scale';
import type { Answer, AnswerValue, Curve } from '../../worksheets/engine/types.ts';
import { joined, series, unitText } from '../number.ts';
import { outline } from './kit/lines.ts';
import type { Kit, Point } from './kit.ts';
import { curveOf } from './layout.ts';
import type { Box, Marks } from './scene.ts';
import { sizes, strokes } from './theme.ts';

export interface Stair {
  readonly curve: Curve;
  /** The speed that makes the steps, as the curve calls it. */
  readonly name: string;
  readonly hero: AnswerValue;
  /** What stands over the hero. */
  readonly over: string;
  /** What else is cut into the stair, as far as there is room. */
  readonly others: readonly AnswerValue[];
  readonly names?: { readonly [answer: string]: string };
  /** The fastest pinion, where one of the steps is known to be it. */
  readonly fastest?: number | null;
}

/** A step lower than this part of the highest has no room for its figure. */
const leastStep = 0.3;

/** The curve of this speed over the pinion, when a stair of three to nine steps can be made of it. */
export function stairOf(answer: Answer, name: string): Curve | null {
  const curve = curveOf(answer, name, 'pinion');
  const speeds = (curve?.answers[name] ?? []).filter((speed) => typeof speed === 'number');
  if (curve === null || speeds.length !== curve.x.length || speeds.length < 3 || speeds.length > 9) return null;
  const [lowest, highest] = [Math.min(...speeds), Math.max(...speeds)];
  return lowest > 0 && lowest >= leastStep * highest ? curve : null;
}

const standHere = 'you stand here';
const onFastest = 'you stand on the fastest';
const fastestWord = 'fastest';
/** A line of small words over a step. */
const wordLine = 20;
type Tooth = readonly [Point, Point, Point, Point];

export function stair(kit: Kit, { x, y, w, h }: Box, { curve, name, hero, over, others, names, fastest = null }: Stair): Marks {
  const speeds = curve.answers[name] as readonly number[];
  const last = speeds.length - 1;
  const base = y + h - 22;
  const pitch = w / speeds.length;
  const highest = Math.max(...speeds);
  const middle = (i: number): number => x + pitch * (i + 0.5);

  // The number stands over the lower steps: the stair is as high as the card allows and as that number leaves it.
  const here = curve.here === null ? -1 : curve.x.indexOf(curve.here);
  const top = fastest === null ? -1 : curve.x.indexOf(fastest);
  const words = here >= 0 && here === top ? onFastest : standHere;
  const labelWidth = kit.widthOf(words, sizes.small, 600);
  const labelAt = Math.min(middle(here) - 8, x + w - labelWidth);
  // On one of the first steps there is no room over the tooth: what marks it stands under it then.
  const labelAbove = labelAt - 14 - x >= 190;
  const heroWidth = here >= 0 && labelAbove ? Math.min(0.5 * w, labelAt - 14 - x) : 0.5 * w;
  const size = h > 210 ? 66 : 54;
  const number = kit.hero(x, y, heroWidth, hero, { size, over, explained: false });
  const numberEnd = Math.max(y + 39 + 0.727 * size, number.bottom + 7);
  const below = Math.max(0, Math.min(last, Math.ceil((heroWidth - 13) / pitch) - 1));
  const under = Math.max(...speeds.slice(0, below + 1));
  // The fastest step has its word over it, under the number or under the words of the truck's own step.
  const named = top >= 0 && top !== here;
  const wordHalf = kit.widthOf(fastestWord, sizes.small, 600) / 2 + 8;
  const underHero = named && middle(top) - wordHalf < x + heroWidth;
  const underLabel = named && labelAbove && middle(top) + wordHalf > labelAt && middle(top) - wordHalf < labelAt + labelWidth;
  const marked = underHero ? wordLine : here >= 0 && here <= below ? 16 : 0;
  const tallest = underHero ? Math.max(under, speeds[top]!) : under;
  const overAll = underLabel ? 26 + wordLine : 26;
  const height = Math.min(base - y - overAll, ((base - numberEnd - marked) * highest) / tallest);
  const rise = scaleLinear()
    .domain([0, highest])
    .range([base, base - height]);
  const root = 13;
  const crest = (i: number): number => rise(speeds[i]!);

  // One outline: up the flank of a tooth, over its crest, down its other flank, along the root to the next.
  const floor = (i: number): number => (i < 0 ? crest(0) : i >= last ? crest(last) : Math.max(crest(i), crest(i + 1))) + root;
  const teeth = speeds.map((_, i): Tooth => {
    const [left, right] = [x + pitch * i, x + pitch * (i + 1)];
    return [
      [left + 3, floor(i - 1)],
      [left + 9, crest(i)],
      [right - 9, crest(i)],
      [right - 3, floor(i)],
    ];
  });
  const coveredBy = (from: number): number[] =>
    speeds.map((_, i) => i).filter((i) => x + pitch * (i + 1) > from && x + pitch * i < from + labelWidth);
  const clear = Math.min(...coveredBy(labelAt).map(crest), ...(underLabel ? [crest(top) - wordLine] : []));
  // Under the tooth the words have to be clear of the figures of the steps beside it, and of the ground.
  const belowAt = x + pitch * here + 7;
  const belowY = here < 0 ? base : Math.max(crest(here) + 49, ...coveredBy(belowAt).map((i) => crest(i) + 42));
  const label = labelAbove ? { x: labelAt, y: clear - 9 } : belowY + 7 < base ? { x: belowAt, y: belowY } : null;
  const profile: Point[] = [[x, floor(-1)], ...teeth.flat(), [x + w, floor(last)]];

  const figures = series(speeds, 3);
  const pinions = series(curve.x);
  const lastPinion = joined({ number: pinions[last]!, unit: unitText(curve.unit), plusMinus: null });
  const roomForUnit = kit.widthOf(lastPinion) + kit.widthOf(pinions[last]!) / 2 + 8 < 1.5 * pitch;
  const pinionTexts = pinions.map((pinion, i) => {
    const style = i === here ? ({ weight: 700, tone: 'heavy' } as const) : ({ tone: 'muted' } as const);
    if (i === last && roomForUnit) return kit.text(x + w, base + 19, lastPinion, { ...style, anchor: 'end' });
    return kit.text(middle(i), base + 19, pinion, { ...style, anchor: 'middle' });
  });

  // What else was answered is cut into the body, under the figures of the lowest step.
  const lowest = Math.max(...speeds.map((_, i) => crest(i)));
  const ceiling = Math.max(lowest + (labelAbove ? 26 : 50), labelAbove || label === null ? 0 : label.y + 8);
  const rowPitch = 26;
  const perColumn = Math.min(Math.ceil(others.length / 2), 2, Math.floor((base - ceiling) / rowPitch));
  const column = (i: number): Box => ({
    x: x + 14 + (i * w) / 2,
    y: base - rowPitch * perColumn - 3,
    w: w / 2 - 28,
    h: rowPitch * perColumn,
  });
  const rowStyle = { pitch: rowPitch, size: 19, ...(names === undefined ? {} : { names }) };
  return [
    kit.path(outline([[x, base], ...profile, [x + w, base]]), { fill: 'panel', name: 'stair' }),
    kit.polyline(profile, { tone: 'muted', width: strokes.line }),
    named ? fastestStep(kit, teeth[top]!, middle(top)) : [],
    here < 0 ? [] : stand(kit, teeth[here]!, middle(here), words, label),
    figures.map((figure, i) =>
      kit.text(
        middle(i),
        crest(i) + 20,
        figure,
        i === here ? { weight: 700, tone: 'ground', anchor: 'middle' } : { tone: 'muted', anchor: 'middle' },
      ),
    ),
    pinionTexts,
    number.marks,
    [0, 1].map((i) => kit.rows(column(i), others.slice(i * perColumn, (i + 1) * perColumn), rowStyle).marks),
  ];
}

/**
 * The step of this truck: its tooth solid, a marker on its crest, and its words: over it with a line to them, or under it. On the lowest card
 * there is room for neither, and the marker has to do.
 */
function stand(kit: Kit, tooth: Tooth, x: number, said: string, label: { readonly x: number; readonly y: number } | null): Marks {
  const [[l, leftRoot], , [, top], [r, rightRoot]] = tooth;
  const solid = kit.path(outline([...tooth, [r, Math.max(rightRoot, top + 30)], [l, Math.max(leftRoot, top + 30)]]), {
    fill: 'heavy',
    name: 'step',
  });
  const style = { weight: 600, tone: 'heavy' } as const;
  if (label === null) return [solid, kit.marker(x, top - 4)];
  if (label.y > top) return [solid, kit.marker(x, top - 4), kit.text(label.x, label.y, said, style)];
  const baseline = Math.min(top - 22, label.y);
  return [
    solid,
    kit.rule(x, baseline + 5, x, top - 12, { tone: 'heavy', width: strokes.line }),
    kit.marker(x, top - 4),
    kit.text(label.x, baseline, said, style),
  ];
}

/** The fastest step: its tooth edged, its word over its crest. */
function fastestStep(kit: Kit, tooth: Tooth, x: number): Marks {
  return [
    kit.polyline(tooth, { tone: 'light', width: strokes.bold, name: 'fastest' }),
    kit.text(x, tooth[1][1] - 8, fastestWord, { weight: 600, tone: 'light', anchor: 'middle' }),
  ];
}
