/** Gearing: a stair of teeth, one a pinion; the height of a step is the speed it gives. The truck's own pinion is the step it stands on. */
import { scaleLinear } from 'd3-scale';
import type { Answer, AnswerValue, Curve } from '../../../worksheets/engine/types.ts';
import { joined, series, unitText } from '../../number.ts';
import { outline } from '../kit/lines.ts';
import type { Kit, Point } from '../kit.ts';
import { answerOf, answersBut, curveOf, type Layout } from '../layout.ts';
import { described } from '../plot.ts';
import type { Box, Marks } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';

const standHere = 'you stand here';
type Tooth = readonly [Point, Point, Point, Point];

const stairOf = (answer: Answer): Curve | null => {
  const curve = curveOf(answer, 'ideal_speed', 'pinion');
  const whole = curve?.answers.ideal_speed?.every((speed) => typeof speed === 'number' && speed > 0);
  return curve !== null && whole && curve.x.length >= 3 && curve.x.length <= 9 ? curve : null;
};

export const layout: Layout = {
  readings: 'in the picture',
  draw: (answer, kit, room) => {
    const curve = stairOf(answer);
    const speed = answerOf(answer, 'ideal_speed');
    if (curve === null || typeof speed?.value !== 'number') return null;
    return stair(kit, room, curve, speed, answersBut(answer, 'ideal_speed'));
  },
  picture: (answer) => {
    const curve = stairOf(answer);
    if (curve === null) return '';
    return `A stair of gear teeth, one step a pinion, its height the speed. ${described(curve, 'ideal_speed')} A mark stands on the pinion of this truck.`;
  },
};

function stair(kit: Kit, { x, y, w, h }: Box, curve: Curve, hero: AnswerValue, others: readonly AnswerValue[]): Marks {
  const speeds = curve.answers.ideal_speed as readonly number[];
  const last = speeds.length - 1;
  const base = y + h - 22;
  const pitch = w / speeds.length;
  const fastest = Math.max(...speeds);

  // The number stands over the lower steps: the stair is as high as the card allows and as that number leaves it.
  const here = curve.here === null ? -1 : curve.x.indexOf(curve.here);
  const labelWidth = kit.widthOf(standHere, sizes.small, 600);
  const labelAt = Math.min(x + pitch * (here + 0.5) - 8, x + w - labelWidth);
  // On one of the first steps there is no room over the tooth: what marks it stands under it then.
  const labelAbove = labelAt - 14 - x >= 190;
  const heroWidth = here >= 0 && labelAbove ? Math.min(0.5 * w, labelAt - 14 - x) : 0.5 * w;
  const size = h > 210 ? 66 : 54;
  const below = Math.max(0, Math.min(last, Math.ceil((heroWidth - 13) / pitch) - 1));
  const under = speeds[below]!;
  const marked = here >= 0 && here <= below ? 16 : 0;
  const height = Math.min(base - y - 26, ((base - y - 39 - marked - 0.727 * size) * fastest) / under);
  const rise = scaleLinear()
    .domain([0, fastest])
    .range([base, base - height]);
  const root = 13;
  const crest = (i: number): number => rise(speeds[i]!);
  const middle = (i: number): number => x + pitch * (i + 0.5);

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
  const clear = Math.min(
    ...speeds
      .map((_, i) => i)
      .filter((i) => x + pitch * (i + 1) > labelAt && x + pitch * i < labelAt + labelWidth)
      .map(crest),
  );
  const profile: Point[] = [[x, floor(-1)], ...teeth.flat(), [x + w, floor(last)]];

  const figures = series(speeds, 3);
  const pinions = series(curve.x);
  const named = joined({ number: pinions[last]!, unit: unitText(curve.unit), plusMinus: null });
  const roomForUnit = kit.widthOf(named) + kit.widthOf(pinions[last]!) / 2 + 8 < 1.5 * pitch;
  const pinionTexts = pinions.map((pinion, i) => {
    const style = i === here ? ({ weight: 700, tone: 'heavy' } as const) : ({ tone: 'muted' } as const);
    if (i === last && roomForUnit) return kit.text(x + w, base + 19, named, { ...style, anchor: 'end' });
    return kit.text(middle(i), base + 19, pinion, { ...style, anchor: 'middle' });
  });

  // What else was answered is cut into the body, under the figures of the lowest step.
  const top = Math.max(...[0, last].map(crest)) + (labelAbove ? 26 : 50);
  const rowPitch = 26;
  const perColumn = Math.min(Math.ceil(others.length / 2), 2, Math.floor((base - top) / rowPitch));
  const column = (i: number): Box => ({
    x: x + 14 + (i * w) / 2,
    y: base - rowPitch * perColumn - 3,
    w: w / 2 - 28,
    h: rowPitch * perColumn,
  });
  return [
    kit.path(outline([[x, base], ...profile, [x + w, base]]), { fill: 'panel', name: 'stair' }),
    kit.polyline(profile, { tone: 'muted', width: strokes.line }),
    here < 0 ? [] : stand(kit, teeth[here]!, middle(here), labelAbove ? { x: labelAt, y: clear - 9 } : null, base),
    figures.map((figure, i) =>
      kit.text(
        middle(i),
        crest(i) + 20,
        figure,
        i === here ? { weight: 700, tone: 'ground', anchor: 'middle' } : { tone: 'muted', anchor: 'middle' },
      ),
    ),
    pinionTexts,
    kit.hero(x, y, heroWidth, hero, { size, over: 'At most, no load, no slip', explained: false }).marks,
    [0, 1].map((i) => kit.rows(column(i), others.slice(i * perColumn, (i + 1) * perColumn), { pitch: rowPitch, size: 19 }).marks),
  ];
}

/**
 * The step of this truck: its tooth solid, a marker on its crest, and "you stand here" over the steps beside it; `label` is where the words
 * are clear of those, null where they have to stand under the tooth (on the lowest card there is room for neither: the marker has to do).
 */
function stand(kit: Kit, tooth: Tooth, x: number, label: { readonly x: number; readonly y: number } | null, base: number): Marks {
  const [[l, leftRoot], , [, top], [r, rightRoot]] = tooth;
  const solid = kit.path(outline([...tooth, [r, Math.max(rightRoot, top + 30)], [l, Math.max(leftRoot, top + 30)]]), {
    fill: 'heavy',
    name: 'step',
  });
  const style = { weight: 600, tone: 'heavy' } as const;
  const words = top + 56 < base ? kit.text(l + 4, top + 49, standHere, style) : [];
  if (label === null) return [solid, kit.marker(x, top - 4), words];
  const baseline = Math.min(top - 22, label.y);
  return [
    solid,
    kit.rule(x, baseline + 5, x, top - 12, { tone: 'heavy', width: strokes.line }),
    kit.marker(x, top - 4),
    kit.text(label.x, baseline, standHere, style),
  ];
}
