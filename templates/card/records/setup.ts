/** A setup: the truck over its balance point where it was weighed, and what the other sheets came to; below it what the day was like. */

import type { ShownSetup } from '../../../worksheets/archive/types.ts';
import type { Answer, AnswerValue } from '../../../worksheets/engine/types.ts';
import { clean, cleanAnswer } from '../../clean.ts';
import { conditionsText } from '../../setup.ts';
import { fittedAlt } from '../../text.ts';
import { answerValueText, capital, heroOf, nameWords } from '../../words.ts';
import type { Kit } from '../kit.ts';
import { answerOf } from '../layout.ts';
import { layout as corners, factsOf, hung } from '../layouts/corners.ts';
import type { Portrait } from '../portrait.ts';
import type { Box, Marks } from '../scene.ts';
import { heroRow, inShort, moreInText } from './parts.ts';

/** `number`: how one asks for it here; null where it is another club's. `meanLap`: s, of the newest run with laps. */
export function setupPortrait(shown: ShownSetup, day: string, number: number | null, meanLap: number | null = null): Portrait | null {
  const { doc, revision, newest } = shown;
  const answers = doc.sheets.map(({ answer }) => cleanAnswer(answer));
  const weighed = answers.find((answer) => answer.sheet === 'corners' && factsOf(answer) !== null);
  const first = weighed ?? answers[0];
  const hero = first && heroOf(first);
  if (!first || !hero) return null;
  const rows = [...(meanLap === null ? [] : [lapRow(meanLap)]), ...othersOf(answers, first)];
  const name = clean(doc.name, { graphemes: 60 });
  const about = [clean(doc.truck), day].join(' · ');
  const conditions = capital(
    [
      ...(revision.rev < newest ? [`revision ${revision.rev} of ${newest}`] : []),
      conditionsText(doc.conditions ?? {}, (text) => clean(text, { graphemes: 60 })),
    ]
      .filter(Boolean)
      .join(' · '),
  );
  const next = number === null ? null : `Put it on a truck of yours: setup copy ${number} truck:NAME`;
  return {
    name: 'setup',
    told: { title: name, about, next },
    draw: (kit, room) => {
      const lines = conditions === '' ? 0 : kit.widthOf(conditions) > room.w ? 2 : 1;
      const inner = { ...room, h: room.h - 22 * lines - (lines > 0 ? 4 : 0) };
      const low = room.y + room.h - 4;
      return [
        // Weighed and nothing else: the whole of the corners' own drawing.
        (rows.length === 0 && weighed ? corners.draw(weighed, kit, inner) : null) ??
          main(kit, { ...inner, w: rows.length === 0 ? 300 : 224 }, first),
        side(kit, { ...inner, x: inner.x + 244, w: inner.w - 244 }, rows),
        lines === 0 ? [] : kit.paragraph(room.x, low - 21 * (lines - 1), conditions, { tone: 'muted', width: room.w, lines }),
      ];
    },
    alt: fittedAlt([
      `${name}, ${about}.`,
      `${capital(nameWords(hero.name))} ${answerValueText(hero)}.`,
      ...rows.map((row) => `${capital(nameWords(row.name))} ${answerValueText(row)}.`),
      ...(conditions === '' ? [] : [`${conditions}.`]),
    ]),
  };
}

/** What the sheets but the first are asked for. Numbers can be compared at a glance, so they come first; words stand in the text. */
const othersOf = (answers: readonly Answer[], first: Answer): AnswerValue[] =>
  answers
    .filter((answer) => answer !== first)
    .flatMap((answer) => {
      const own = heroOf(answer);
      return own === null || own.value === null ? [] : [inShort(heroRow(own, answer.end))];
    })
    .sort((a, b) => Number(typeof b.value === 'number') - Number(typeof a.value === 'number'));

const lapRow = (meanLap: number): AnswerValue => ({
  name: 'mean_lap',
  label: '',
  value: meanLap,
  unit: 's',
  uncertainty: null,
  verdict: null,
  band: null,
});

function main(kit: Kit, box: Box, answer: Answer): Marks {
  const facts = answer.sheet === 'corners' ? factsOf(answer) : null;
  const rear = answerOf(answer, 'rear_share');
  if (facts === null || rear === null) {
    const hero = heroOf(answer)!;
    const over = answer.end === null ? capital(nameWords(hero.name)) : `${capital(nameWords(hero.name))}, ${answer.end}`;
    return kit.hero(box.x, box.y, box.w, hero, { over, size: 66 }).marks;
  }
  const hero = kit.hero(box.x, box.y, box.w, rear, { size: 50, over: 'On the rear wheels', explained: false });
  return [hero.marks, hung(kit, { ...box, y: hero.bottom, h: box.y + box.h - hero.bottom }, facts)];
}

function side(kit: Kit, box: Box, rows: Parameters<Kit['rows']>[1]): Marks {
  const pitch = Math.min(40, Math.max(30, box.h / Math.max(1, rows.length)));
  const fits = Math.floor((box.h + 0.01) / pitch);
  if (rows.length <= fits) return kit.rows(box, rows, { pitch, plusMinus: false }).marks;
  return [
    kit.rows({ ...box, h: pitch * (fits - 1) }, rows, { pitch, plusMinus: false }).marks,
    moreInText(kit, box.x + box.w, box.y + pitch * (fits - 0.5) + 6, rows.length - fits + 1, box.w),
  ];
}
