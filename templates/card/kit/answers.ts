/** Answers on a card: the hero, the rows, the verdicts. */
import type { AnswerValue, Verdict } from '../../../worksheets/engine/types.ts';
import { answerShown, bandOf, capital, explains, nameWords } from '../../words.ts';
import { type Box, flat, type Mark, round } from '../scene.ts';
import { sizes, strokes } from '../theme.ts';
import { circle, outline, path, polyline, rule, xy } from './lines.ts';
import type { TextKit } from './text.ts';

/** A disc with a tick, a diamond with a bar, a ring half filled: the shape says it without the colour. `x`, `y`: the centre. */
export function sign(x: number, y: number, verdict: Verdict, r = 8): Mark[] {
  const thin = { tone: 'ground', width: 0.28 * r } as const;
  if (verdict === 'on target') {
    return [
      circle(x, y, r, { fill: 'good', name: 'on target' }),
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
  if (verdict === 'off target') {
    const d = 1.18 * r;
    return [
      path(
        outline([
          [x, y - d],
          [x + d, y],
          [x, y + d],
          [x - d, y],
        ]),
        { fill: 'heavy', name: 'off target' },
      ),
      rule(x, y - 0.5 * r, x, y + 0.12 * r, thin),
      circle(x, y + 0.52 * r, 0.17 * r, { fill: 'ground' }),
    ];
  }
  const ring = r - 1;
  return [
    circle(x, y, ring, { tone: 'light', width: strokes.line, name: 'too close to call' }),
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
    let baseline = y + 13;
    if (typeof answer.value === 'number') {
      const degrees = parts.unit === '°';
      const pm = parts.plusMinus === null ? '' : `± ${parts.plusMinus}`;
      let size = style.size ?? sizes.hero;
      const small = (): { readonly unit: number; readonly pm: number } =>
        degrees ? { unit: 44, pm: 20 } : size >= 52 ? { unit: sizes.value, pm: 20 } : { unit: 19, pm: sizes.small };
      // A large number has its ± over its unit; beside a lower one both stand on the line.
      const stacked = (): boolean => size >= 44 && !degrees && parts.unit !== '';
      const aside = (): number => {
        const [unitWidth, pmWidth] = [widthOf(parts.unit, small().unit), widthOf(pm, small().pm)];
        return stacked() ? Math.max(unitWidth, pmWidth) : unitWidth + (pm === '' ? 0 : pmWidth + 8);
      };
      while (size > sizes.value && widthOf(parts.number, size, 700) + 8 + aside() > width) size--;
      const capHeight = 0.727 * size;
      baseline = y + 27 + capHeight;
      // A digit has a little air on its left, which is seen at this size: the stem stands on the margin.
      const left = x - 0.045 * size;
      const after = left + widthOf(parts.number, size, 700) + 8;
      marks.push(text(left, baseline, parts.number, { size, weight: 700, width: width + 0.045 * size }));
      if (parts.unit !== '') {
        const at = degrees ? { x: after - 5, y: baseline - capHeight + 32 } : { x: after, y: baseline };
        marks.push(text(at.x, at.y, parts.unit, { size: small().unit, tone: 'muted' }));
      }
      if (pm !== '') {
        const beyond = parts.unit === '' || degrees ? 0 : widthOf(parts.unit, small().unit) + 8;
        const at = stacked() ? { x: after, y: baseline - capHeight + 0.725 * small().pm } : { x: after + beyond, y: baseline };
        marks.push(text(at.x, at.y, pm, { size: small().pm, tone: 'muted' }));
      }
    } else {
      const size = widthOf(parts.number, sizes.big, 700) <= width ? sizes.big : sizes.value;
      const lines = paragraph(x, y + 27 + 0.727 * size, parts.number, { size, weight: 700, width, lines: 3 });
      marks.push(...lines);
      baseline = lines.at(-1)!.y + 4;
    }
    let bottom = baseline;
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
