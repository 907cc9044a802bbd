/** A setup as text: what was measured and what it comes to, a line or two a sheet. */
import type { SetupSummary, ShownSetup } from '../worksheets/archive/types.ts';
import { clean, cleanAnswer } from './clean.ts';
import { escapeChat, messageLimit } from './text.ts';
import { answerValueText, capital, nameWords, readingText, titleOf, verdictText } from './words.ts';

export interface SetupTextOptions {
  readonly for: 'chat' | 'terminal';
  /** Shows an instant as a day of the club. */
  readonly day: (at: number) => string;
}

/** The whole setup. Where it is too long for a message the sheets' readings go first, and the last line says so. */
export function setupText(shown: ShownSetup, options: SetupTextOptions, limit = messageLimit): string {
  const safe = (text: string, graphemes = 80): string =>
    options.for === 'chat' ? escapeChat(clean(text, { graphemes })) : clean(text, { graphemes });
  const { doc, revision } = shown;
  const name = options.for === 'chat' ? `**${safe(doc.name)}**` : safe(doc.name);
  const head = [
    `${name} · ${safe(doc.truck)} · revision ${revision.rev} of ${shown.newest} · ${options.day(revision.at)} · ${safe(revision.author.name)}`,
    ...(doc.tags.length > 0 ? [`Tags: ${doc.tags.map((tag) => safe(tag)).join(', ')}`] : []),
    ...(doc.notes !== '' ? [`Notes: ${safe(doc.notes, 600)}`] : []),
  ];
  const sheets = doc.sheets.map(({ answer }) => {
    const cleaned = cleanAnswer(answer);
    const values = cleaned.answers.map(
      (one) => `${nameWords(one.name)} ${answerValueText(one)}${one.verdict === null ? '' : ` ${verdictText(one.verdict)}`}`,
    );
    const given = cleaned.readings.filter(({ from }) => from !== 'default').map((one) => `${nameWords(one.name)} ${readingText(one)}`);
    return { title: titleOf(cleaned), values: capital(values.join(' · ')), given: given.join(' · ') };
  });
  const written = (withReadings: number): string[] => [
    ...head,
    ...sheets.flatMap(({ title, values, given }, i) => [
      '',
      `${title}: ${values}`,
      ...(i < withReadings && given !== '' ? [`  from ${given}`] : []),
    ]),
  ];
  for (let keep = sheets.length; keep >= 0; keep -= 1) {
    const text = [
      ...written(keep),
      ...(keep < sheets.length ? ['', 'Left out here for length: readings. Ask for one sheet: sheet:NAME.'] : []),
    ].join('\n');
    if (text.length <= limit) return text;
  }
  const short = [
    ...head,
    '',
    `Sheets: ${sheets.map(({ title }) => title).join(', ')}.`,
    'Too long for one message: ask for one sheet, sheet:NAME.',
  ].join('\n');
  return short.slice(0, limit).toWellFormed();
}

/** What was found, a line each. */
export function foundText(setups: readonly SetupSummary[], more: boolean, options: SetupTextOptions): string {
  const safe = (text: string): string =>
    options.for === 'chat' ? escapeChat(clean(text, { graphemes: 60 })) : clean(text, { graphemes: 60 });
  const lines = setups.map(
    (one) =>
      `${one.id}. ${safe(one.name)} · ${safe(one.truck)} · ${safe(one.member.name)} · ${options.day(one.at)}${one.rev > 1 ? ` · revision ${one.rev}` : ''} · ${one.sheets.join(', ')}`,
  );
  const kept: string[] = [];
  for (const line of lines) if (kept.join('\n').length + line.length < messageLimit - 120) kept.push(line);
  return [...kept, ...(more || kept.length < lines.length ? ['There are more: add a word to narrow it down.'] : [])].join('\n');
}
