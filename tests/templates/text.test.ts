import { describe, expect, it } from 'vitest';
import { quantity } from '../../templates/number.ts';
import { altLimit, altText, escapeChat, fittedResultText, messageLimit, problemsText, resultText } from '../../templates/text.ts';
import { sentenceText } from '../../templates/words.ts';
import type { Answer, AnswerReading } from '../../worksheets/engine/types.ts';
import { hostile } from '../support/hostile.ts';
import { ballast, cornersOnTarget, gearing, motorHeat, press, ride, samples, topSpeed, warmup } from '../support/sample-answers.ts';

const terminal = (answer: Answer): string => resultText(answer, { for: 'terminal', truck: 'Sandhopper' });
const chat = (answer: Answer): string => resultText(answer, { for: 'chat', truck: 'Sandhopper' });
const every = Object.entries(samples);

describe('the result text', () => {
  it.each(every)('of %s carries every answer with its ±', (_, { answer }) => {
    const text = terminal(answer);
    for (const one of answer.answers) {
      if (typeof one.value === 'number') expect(text).toContain(quantity(one.value, one.unit, one.uncertainty));
      if (one.verdict !== null) expect(text).toContain(one.verdict);
      if (one.value === null) expect(text).toContain(one.why);
    }
  });

  it.each(every)('of %s carries every reading, caution, next step and point of a short curve', (_, { answer }) => {
    const text = terminal(answer);
    for (const reading of answer.readings) expect(text).toContain(reading.name.replaceAll('_', ' ').replace(/\bcg\b/, 'CG'));
    for (const caution of answer.cautions) expect(text).toContain(sentenceText(caution));
    if (answer.next) expect(text).toContain(sentenceText(answer.next));
    for (const curve of answer.curves) {
      if (curve.x.length > 11) expect(text).toContain(`of ${curve.x.length} points`);
      else for (const x of curve.x) expect(text).toMatch(new RegExp(`[ ·]${x}( \\(here\\))?: `));
    }
  });

  it('opens with a headline that says which truck, what, how much, and the verdict', () => {
    expect(terminal(cornersOnTarget).split('\n')[0]).toBe('Corner weights · Sandhopper: rear share 59.622 % ± 0.020, ✓ on target');
  });

  it('says where a reading came from when it was not given', () => {
    const text = terminal(ride);
    expect(text).toContain('Given: spring rate 0.4378 N/mm (typed 2.5 lb; read as lbf/in) · preload 2 mm · target sag 34 mm');
    expect(text).toContain('From the truck: motion ratio 0.62 ± 0.01 · unsprung mass 236 g · wheel travel 96 mm');
    expect(text).toContain('From the sheet corners: corner load 898.5 g ± 0.41');
    expect(terminal(cornersOnTarget)).toContain('By default: target rear 60 % · target cross 50 %');
  });

  it('does not echo what was typed when that says the same', () => {
    const typed = (value: number, text: string): AnswerReading => ({ ...gearing.readings[0]!, value, typed: text });
    const text = terminal({ ...gearing, readings: [typed(1234.5, '1 234,5'), typed(71.2, '71,2 mm'), typed(680.388555, '24 oz')] });
    expect(text).not.toContain('typed 1 234,5');
    expect(text).not.toContain('typed 71,2 mm');
    expect(text).toContain('typed 24 oz');
  });

  it('gives the band of a verdict, the reason of an absence, and what would tell more', () => {
    expect(terminal(motorHeat)).toContain('Final temperature: 93.7 °C ± 2.1, ✗ off target (at most 80 °C), after this run');
    expect(terminal(warmup)).toContain('Time to limit: never');
    expect(terminal(ride)).toContain('Give target frequency, track for more.');
  });

  it('sets the sign of a comparison’s own verdict: faster, slower, cannot tell', () => {
    const compared = (verdict: string): string => terminal({ ...warmup, answers: [{ ...warmup.answers[1]!, verdict }] });
    expect(compared('faster')).toContain('3.573 min, ✓ faster');
    expect(compared('slower')).toContain('3.573 min, ✗ slower');
    expect(compared('cannot tell')).toContain('3.573 min, ≈ cannot tell');
  });

  it('writes tables with their units, and the curve with the truck’s own point', () => {
    expect(terminal(press)).toContain('press points 0 g / 78 mm; 250 g / 74.7 mm; 500 g / 71.2 mm');
    expect(terminal(ballast)).toContain('parts pack / 290 g / 185 mm / 185 210 240 mm; lead / 60 g / off / off 330 mm');
    expect(terminal(gearing)).toContain('Ideal speed (km/h) over pinion (teeth) 9: 32.89 · ');
    expect(terminal(gearing)).toContain('13 (here): 47.51');
  });

  it('ends with the one thing to do next', () => {
    for (const [, { answer }] of every) if (answer.next) expect(terminal(answer).split('\n').at(-1)).toBe(`→ ${sentenceText(answer.next)}`);
  });

  it('is plain in a terminal; in the chat only its headline is bold', () => {
    expect(terminal(cornersOnTarget)).not.toMatch(/\*\*/);
    const lines = chat(cornersOnTarget).split('\n');
    expect(lines[0]).toMatch(/^\*\*.*\*\*$/);
    expect(lines.slice(1).join('\n')).not.toContain('**');
  });
});

describe('what people typed, in the chat', () => {
  it('cannot set markup, mention anyone, or open a link', () => {
    const out = escapeChat(hostile['chat markup']!);
    expect(out).not.toMatch(/(?<!\\)[*_~`|<[\]]/);
    expect(out).not.toMatch(/@(everyone|here)/);
    expect(out).not.toMatch(/https?:\/\//);
  });

  it('reads as it was typed once the backslashes are taken out', () => {
    const typed = 'a*b_c [x](y) <@1> 2.5 https://example.org #1';
    expect(
      escapeChat(typed)
        .replace(/\\(?=[^0-9A-Za-z\s])/g, '')
        .replaceAll('\u200b', ''),
    ).toBe(typed);
  });

  it('leaves numbers and units alone', () => {
    for (const text of ['60.08 % ± 0.21', '12\u2009346 rpm', '−2.7 mm', '0 g / 78 mm; 500 g / 71.2 mm'])
      expect(escapeChat(text)).toBe(text);
  });

  it('cannot open a heading, a quotation or a list at the start of a line', () => {
    for (const start of ['# x', '> x', '- x', '+ x']) expect(escapeChat(start)).toBe(`\\${start}`);
  });

  it.each(Object.entries(hostile))('is harmless in every place of a result: %s', (_, text) => {
    const answer: Answer = {
      ...ballast,
      title: text,
      readings: [{ ...ballast.readings[0]!, value: text, typed: text, note: text, label: text }],
      answers: [{ ...ballast.answers[0]!, value: text, label: text }],
      cautions: [[text]],
      next: [text],
    };
    for (const out of [
      resultText(answer, { for: 'chat', truck: text, day: text }),
      problemsText({ kind: 'problems', sheet: null, problems: [{ reading: null, got: text, needs: '', text }] }, { for: 'chat' }),
    ]) {
      expect(out.replaceAll(/^\*\*|\*\*$/gm, '')).not.toMatch(/(?<!\\)[*_~`|<[\]]/);
      expect(out).not.toMatch(/@(everyone|here)/);
      expect(out).not.toMatch(/https?:\/\//);
      expect(out.isWellFormed()).toBe(true);
    }
  });
});

describe('a message of at most 2,000 characters', () => {
  const long: Answer = {
    ...topSpeed,
    readings: Array.from({ length: 60 }, (_, i) => ({
      ...topSpeed.readings[0]!,
      name: `reading_number_${i}`,
      from: (['given', 'truck', 'default'] as const)[i % 3]!,
    })),
  };

  it.each(every)('leaves %s whole', (_, { answer, truck, day }) => {
    const { text, leftOut } = fittedResultText(answer, { for: 'chat', truck, day });
    expect(text).toBe(resultText(answer, { for: 'chat', truck, day }));
    expect(leftOut).toEqual([]);
    expect(text.length).toBeLessThanOrEqual(messageLimit);
  });

  it('says what was left out, and leaves the answers and the next step', () => {
    const { text, leftOut } = fittedResultText(long, { for: 'chat' });
    expect(resultText(long, { for: 'chat' }).length).toBeGreaterThan(messageLimit);
    expect(text.length).toBeLessThanOrEqual(messageLimit);
    expect(leftOut).toContain('readings by default');
    expect(text).toContain(`Left out here for length: ${leftOut.join(', ')}.`);
    for (const one of long.answers) expect(text).toContain(quantity(one.value as number, one.unit, one.uncertainty));
    expect(text.split('\n').at(-1)).toMatch(/^→ Try 15 teeth/);
  });

  it('does not name as left out what was never there', () => {
    const { leftOut } = fittedResultText({ ...long, curves: [] }, { for: 'chat' });
    expect(leftOut).not.toContain('curves');
  });

  it('fits whatever comes, down to a headline', () => {
    const endless: Answer = {
      ...long,
      answers: Array.from({ length: 120 }, (_, i) => ({ ...topSpeed.answers[0]!, name: `answer_number_${i}`, label: '*'.repeat(90) })),
      cautions: Array.from({ length: 12 }, () => ['_'.repeat(290)]),
      next: ['`'.repeat(290)],
    };
    for (const limit of [2000, 1000, 600]) {
      const { text, leftOut } = fittedResultText(endless, { for: 'chat', truck: '|'.repeat(40) }, limit);
      expect(text.length).toBeLessThanOrEqual(limit);
      expect(leftOut).toContain('further lines');
      expect(text.split('\n')[0]).toMatch(/^\*\*.*\*\*$/);
      expect(text.replaceAll(/^\*\*|\*\*$/gm, '')).not.toMatch(/(?<!\\)[*_~`|]/);
    }
  });
});

describe('problems', () => {
  it('come back each on a line, as the sentences say', () => {
    const problem = (text: string) => ({ reading: 'front_left', got: '6120', needs: 'Give 10 to 5000 g.', text });
    const problems = {
      kind: 'problems',
      sheet: 'corners',
      problems: [problem('Front left: "6120" is out. Give 10 to 5000 g. Did you mean 612.0 g?'), problem('Wheelbase is missing.')],
    } as const;
    expect(problemsText(problems, { for: 'terminal' })).toBe(
      'Front left: "6120" is out. Give 10 to 5000 g. Did you mean 612.0 g?\nWheelbase is missing.',
    );
    expect(problemsText(problems, { for: 'chat' })).toBe(
      'Front left: "6120" is out. Give 10 to 5000 g. Did you mean 612.0 g?\nWheelbase is missing.',
    );
  });
});

describe('the alt text', () => {
  it.each(every)('of %s says truck, day, hero and next step, and fits', (_, { answer, truck, day }) => {
    const alt = altText(answer, { truck, day });
    const hero = answer.answers.find(({ name }) => name === answer.hero)!;
    expect(alt).toContain(`${truck}, ${day}.`);
    expect(alt).toContain(typeof hero.value === 'number' ? quantity(hero.value, hero.unit, hero.uncertainty) : String(hero.value));
    if (answer.next) expect(alt).toContain(sentenceText(answer.next));
    expect(alt.length).toBeLessThanOrEqual(altLimit);
    expect(alt).not.toMatch(/\*\*|\n/);
  });

  it('stays within 1,024 characters by leaving the last sentences out', () => {
    const long = altText({ ...cornersOnTarget, answers: Array.from({ length: 80 }, () => cornersOnTarget.answers[2]!) });
    expect(long.length).toBeLessThanOrEqual(altLimit);
    expect(long.length).toBeGreaterThan(800);
  });
});
