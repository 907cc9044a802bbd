/** Answers on a card: the hero, the rows, the verdicts. */
import type { AnswerValue, Verdict } from '../../../worksheets/engine/types.ts';
import type { Shown } from '../../number.ts';
import { answerShown, bandOf, callOf, capital, explains, nameWords } from '../../words.ts';
import { type Box, flat, type Mark, round } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';
import { circle, outline, path, polyline, rule, xy } from './lines.ts';
import type { TextKit } from './text.ts';

/** A disc with a tick, a diamond with a bar, a ring half filled: the shape says it without the colour. `x`, `y`: the centre. */
export function sign(x: number, y: number, verdict: Verdict, r = 8): Mark[] {
  const thin = { tone: 'ground', width: 0.28 * r } as const;
  const call = callOf(verdict);
  if (call === 'good') {
    return [
      circle(x, y, r, { fill: 'good', name: call }),
      polyline(
        [
          [x - 0.45 * r, y + 0.05 * r],
          [x - 0.1 * r, y + 0.4 * r],
          [x + 0.5 * r, y - 0.38 * r],
        ],
        thin,
      ),
    ];
  }
  if (call === 'not good') {
    const d = 1.18 * r;
    return [
      path(
        outline([
          [x, y - d],
          [x + d, y],
          [x, y + d],
          [x - d, y],
        ]),
        { fill: 'heavy', name: call },
      ),
      rule(x, y - 0.5 * r, x, y + 0.12 * r, thin),
      circle(x, y + 0.52 * r, 0.17 * r, { fill: 'ground' }),
    ];
  }
  const ring = r - 1;
  return [
    circle(x, y, ring, { tone: 'light', width: strokes.line, name: call }),
    path(`M${xy(x, y - ring)}A${round(ring)},${round(ring)} 0 0 1 ${xy(x, y + ring)}Z`, { fill: 'light' }),
  ];
}

export interface HeroStyle {
  readonly size?: number;
  /** What stands over the number, in the place of the answer's name. */
  readonly over?: string;
  /** Where the verdict stands: under the number, or after the name where height is dear. */
  readonly verdict?: 'under' | 'beside';
  /** The label under the number; on unless told. */
  readonly explained?: boolean;
}
export interface RowStyle {
  readonly pitch?: number;
  readonly size?: number;
  readonly plusMinus?: boolean;
  /** Shorter names than the answers' own. */
  readonly names?: { readonly [answer: string]: string };
}

export function makeAnswers({ widthOf, text, paragraph, value, tail }: TextKit) {
  /** The sign with its words, and the target where there is one: "on target, 59 to 61 %". */
  const verdict = (x: number, y: number, answer: AnswerValue, width: number): Mark[] => {
    const target = bandOf(answer);
    const muted = { size: sizes.body, tone: 'muted' } as const;
    if (answer.verdict === null) return target === null ? [] : [text(x, y, `target ${target}`, { ...muted, width })];
    const said = text(x + 25, y, answer.verdict, { size: sizes.body, weight: 600, width: width - 25 });
    const left = width - 25 - said.extent.w - 9;
    const fits = target !== null && widthOf(target, sizes.body) <= left;
    return [
      ...sign(x + 9, y - 6, answer.verdict),
      said,
      ...(fits ? [text(x + 25 + said.extent.w + 9, y, target, { ...muted, width: left })] : []),
    ];
  };

  /**
   * Number, unit and ±, as large as the width allows: the ± over the unit beside a large number, after it beside a smaller one, on a line of
   * its own where the number alone takes the width. `y`: top of the figures.
   */
  const largeNumber = (
    x: number,
    y: number,
    width: number,
    { number, unit, plusMinus }: Shown,
    wanted: number,
  ): { readonly marks: Mark[]; readonly bottom: number } => {
    const degrees = unit === '°';
    const pm = plusMinus === null ? '' : `± ${plusMinus}`;
    const unitSize = (size: number): number => (degrees ? Math.min(44, 0.66 * size) : size >= 52 ? sizes.value : 19);
    const pmSize = (size: number): number => (size >= 52 ? 20 : sizes.small);
    const places: { readonly [place: string]: (size: number) => number } = {
      over: (size) => Math.max(widthOf(unit, unitSize(size)), widthOf(pm, pmSize(size))),
      after: (size) => widthOf(unit, unitSize(size)) + 8 + widthOf(pm, pmSize(size)),
      below: (size) => widthOf(unit, unitSize(size)),
    };
    const largest = (place: string, from: number, least: number): number | null => {
      for (let size = from; size >= least; size--) if (widthOf(number, size, 700) + 8 + places[place]!(size) <= width) return size;
      return null;
    };
    const over = degrees || unit === '' || pm === '' ? null : largest('over', wanted, 44);
    const after = over === null ? largest('after', wanted, sizes.big) : null;
    const size = over ?? after ?? largest('below', wanted, sizes.small) ?? sizes.small;
    const capHeight = 0.727 * size;
    const baseline = y + capHeight;
    // A digit has a little air on its left, which is seen at this size: the stem stands on the margin.
    const left = x - 0.045 * size;
    const room = width + 0.045 * size - (unit === '' ? 0 : 8 + widthOf(unit, unitSize(size)));
    const figures = text(left, baseline, number, { size, weight: 700, width: room });
    const right = left + figures.extent.w + 8;
    const marks: Mark[] = [figures];
    if (unit !== '')
      marks.push(
        text(right - (degrees ? 5 : 0), degrees ? baseline - capHeight + 0.727 * unitSize(size) : baseline, unit, {
          size: unitSize(size),
          tone: 'muted',
        }),
      );
    if (pm === '') return { marks, bottom: baseline };
    const muted = { size: pmSize(size), tone: 'muted' } as const;
    if (over !== null) marks.push(text(right, baseline - capHeight + 0.725 * muted.size, pm, muted));
    else if (after !== null)
      marks.push(text(right + (unit === '' || degrees ? 0 : widthOf(unit, unitSize(size)) + 8), baseline, pm, muted));
    else return { marks: [...marks, text(x, baseline + 26, pm, { ...muted, width })], bottom: baseline + 28 };
    return { marks, bottom: baseline };
  };

  /**
   * The one large number: its name, the number with its ± over its unit, the verdict, the label. Words in the place of a number are set
   * smaller, in up to three lines. Gives the marks and where the block ends.
   */
  const hero = (
    x: number,
    y: number,
    width: number,
    answer: AnswerValue,
    style: HeroStyle = {},
  ): { readonly marks: Mark[]; readonly bottom: number } => {
    const parts = answerShown(answer);
    const name = text(x, y + 13, style.over ?? capital(nameWords(answer.name)), { size: sizes.body, tone: 'muted', width });
    const marks: Mark[] = [name];
    const beside = style.verdict === 'beside' && answer.verdict !== null;
    if (beside) marks.push(...verdict(x + name.extent.w + 14, y + 13, answer, width - name.extent.w - 14));
    let bottom = y + 13;
    if (typeof answer.value === 'number') {
      const set = largeNumber(x, bottom + 14, width, parts, style.size ?? sizes.hero);
      marks.push(...set.marks);
      bottom = set.bottom;
    } else {
      const size = widthOf(parts.number, sizes.big, 700) <= width ? sizes.big : sizes.value;
      const lines = paragraph(x, bottom + 14 + 0.727 * size, parts.number, { size, weight: 700, width, lines: 3 });
      marks.push(...lines);
      bottom = lines.at(-1)!.y + 4;
    }
    const called = beside ? [] : verdict(x, bottom + 31, answer, width);
    if (called.length > 0) {
      marks.push(...called);
      bottom += 31;
    }
    if ((style.explained ?? true) && explains(answer)) {
      marks.push(text(x, bottom + 26, capital(answer.label), { tone: 'muted', width }));
      bottom += 26;
    }
    return { marks, bottom: bottom + 5 };
  };

  /**
   * Further answers, one a line: name left with its verdict's sign after it, numbers under each other, units and ± after them. So that no
   * name is cut, the numbers are set a little smaller, then the ± go, where they must. Only as many as the box holds: `count` says how many.
   */
  const rows = (box: Box, answers: readonly AnswerValue[], style: RowStyle = {}): { readonly marks: Mark[]; readonly count: number } => {
    const { pitch = 31 } = style;
    const count = Math.max(0, Math.min(answers.length, Math.floor((box.h + 0.01) / pitch)));
    const set = answers.slice(0, count).map((answer) => ({
      answer,
      parts: answerShown(answer),
      name: style.names?.[answer.name] ?? capital(nameWords(answer.name)),
      signWidth: answer.verdict === null ? 0 : 24,
    }));
    const numbers = set.filter(({ answer }) => typeof answer.value === 'number');
    const names = Math.max(0, ...numbers.map(({ name, signWidth }) => widthOf(name) + signWidth));
    const tails = (pm: boolean): number => Math.max(0, ...numbers.map(({ parts }) => tail(parts, pm).unit + tail(parts, pm).plusMinus));
    const widest = (size: number): number => Math.max(0, ...numbers.map(({ parts }) => widthOf(parts.number, size, 700)));
    const wanted = style.size ?? 20;
    const settings = [true, false].flatMap((pm) => [0, 2, 4, 6].map((less) => ({ size: Math.max(18, wanted - less), plusMinus: pm })));
    const allowed = settings.filter((one) => style.plusMinus !== false || !one.plusMinus);
    const { size, plusMinus } = allowed.find((one) => names + 10 + widest(one.size) + tails(one.plusMinus) <= box.w) ?? settings.at(-1)!;
    const end = box.x + box.w - tails(plusMinus);

    const marks = set.map(({ answer, parts, name, signWidth }, i) => {
      const baseline = round(box.y + pitch * i + 0.5 * pitch + 6.5);
      const nameRoom = Math.min(widthOf(name), 0.5 * box.w) + signWidth + 10;
      const words = { size: sizes.body, weight: 600, anchor: 'end', width: box.w - nameRoom } as const;
      const drawn =
        typeof answer.value === 'number'
          ? value(end, baseline, parts, { size, anchor: 'number end', plusMinus, width: box.w - nameRoom })
          : { marks: [text(box.x + box.w, baseline, parts.number, words)] };
      const first = drawn.marks[0]!;
      const left = first.kind === 'text' ? first.extent.x : box.x + box.w;
      const named = text(box.x, baseline, name, { tone: 'muted', width: Math.max(1, left - 8 - box.x - signWidth) });
      return [
        i === 0 ? [] : rule(box.x, box.y + pitch * i, box.x + box.w, box.y + pitch * i, { tone: 'panel' }),
        named,
        answer.verdict === null ? [] : sign(box.x + named.extent.w + 15, baseline - 5.5, answer.verdict, 7.5),
        drawn.marks,
      ];
    });
    return { marks: flat(marks), count };
  };

  return { verdict, hero, rows };
}
