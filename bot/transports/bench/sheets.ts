/**
 * The page of a sheet: form, answer, prose.
 *
 * Asking by POST keeps the answer as the truck's last one and then leads to the address of the question, which GET answers again and keeps
 * nothing of: so the address can be bookmarked, sent on and reloaded without touching the archive. Whether what is shown is the truck's
 * last answer is looked up, never claimed by the address. A question with a slip, or an answer that the archive could not keep, is shown
 * where it was posted, since the address alone would not say so.
 */
import { isDeepStrictEqual } from 'node:util';
import { answerView, type PartView, type ResultView, valuesByName } from '../../../templates/bench/index.ts';
import { clean } from '../../../templates/clean.ts';
import { answerValueText, capital, heroOf, nameWords, titleOf } from '../../../templates/words.ts';
import type { SheetRecord } from '../../../worksheets/archive/types.ts';
import type { Sheet } from '../../../worksheets/engine/notation.ts';
import { nearest } from '../../../worksheets/engine/problem.ts';
import type { Answer } from '../../../worksheets/engine/types.ts';
import { DEFAULT_TRUCK } from '../../commands/index.ts';
import { type Known, knownOf } from '../../commands/known.ts';
import type { Commands, Reply } from '../../commands/types.ts';
import { type Bench, cardView, frame, notice, picture, pictureNamed, reading, truckInWords, truckOf } from './bench.ts';
import { addressOf, exampleOf, formView } from './form.ts';
import { MOST_BYTES, type Sent } from './http.ts';
import { chatLine, type Question, queryOf, questionFrom } from './question.ts';
import { saveForm } from './setups.ts';

/** The sheet of this name, however it was written; else where to go instead. */
export function sheetAt(bench: Bench, name: string, query: URLSearchParams): { readonly sheet: Sheet } | { readonly sent: Sent } {
  const { sheets } = bench.house;
  const sheet = sheets.get(name);
  if (sheet) return { sheet };
  const meant = sheets.get(name.toLowerCase().replace(/[\s-]+/g, '_'));
  if (meant) return { sent: { kind: 'redirect', status: 308, to: addressOf(meant) + (query.size > 0 ? `?${query}` : '') } };
  const like = nearest(name, sheets.keys());
  return {
    sent: notice(bench, 404, {
      heading: 'No such sheet',
      sentences: [`There is no sheet called “${clean(name)}”.${like ? ` Did you mean ${like}?` : ''}`],
      links: like ? [{ href: addressOf(sheets.get(like)!), label: sheets.get(like)!.title }] : [],
    }),
  };
}

export async function lookAtSheet(bench: Bench, sheet: Sheet, query: URLSearchParams): Promise<Sent> {
  const question = questionFrom(sheet, query);
  if (query.size === 0) return sheetPage(bench, sheet, question, null);
  // "Only look" sends every field; the address is kept short enough to be read.
  if ([...query.values()].some((value) => value.trim() === '') && question.problems.length === 0)
    return { kind: 'redirect', to: addressOfQuestion(sheet, question) };
  return sheetPage(bench, sheet, question, await answered(bench.look, bench, sheet, question));
}

export async function askSheet(bench: Bench, sheet: Sheet, fields: URLSearchParams): Promise<Sent> {
  const question = questionFrom(sheet, fields);
  // A field given twice is asked back, together with what else is wrong; so it is not kept.
  const commands = question.problems.length > 0 ? bench.look : bench.keeping;
  const reply = await answered(commands, bench, sheet, question);
  const to = addressOfQuestion(sheet, question);
  if (reply.kind !== 'answer' || reply.notKept !== undefined || Buffer.byteLength(to) > MOST_BYTES)
    return sheetPage(bench, sheet, question, reply, reply.kind === 'answer' ? 200 : 422);
  return { kind: 'redirect', to };
}

function addressOfQuestion(sheet: Sheet, { options }: Question): string {
  const query = queryOf(sheet, options);
  return query === '' ? addressOf(sheet) : `${addressOf(sheet)}?${query}#answer`;
}

/** The card of the question in the address, drawn when it is fetched. */
export async function sheetCard(bench: Bench, file: string, query: URLSearchParams): Promise<Sent | null> {
  const wanted = pictureNamed(file, bench.house.theme);
  const sheet = wanted && bench.house.sheets.get(wanted.name);
  if (!sheet) return null;
  return picture(await answered(bench.looking[wanted.theme], bench, sheet, questionFrom(sheet, query)));
}

async function answered(commands: Commands, { asker }: Bench, sheet: Sheet, { options, problems }: Question): Promise<Reply> {
  const reply = await commands.answer({ command: sheet.name, options, asker });
  if (problems.length === 0) return reply;
  const all = [...problems, ...(reply.problems ?? [])];
  return { kind: 'problems', visibility: 'private', problems: all, text: all.map(({ text }) => text).join('\n') };
}

// ── the page ────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

async function sheetPage(bench: Bench, sheet: Sheet, question: Question, reply: Reply | null, status = 200): Promise<Sent> {
  const { house, asker, pages } = bench;
  const { archive } = house;
  const { options } = question;
  const truck = await truckOf(bench, archive, options);
  const current = options.truck?.trim() ? await truckOf(bench, archive, {}) : truck;
  const which = { club: asker.club, member: asker.member, truck };
  const none: Known = new Map();
  const known = archive && (await reading(bench, async () => knownOf(await archive.facts(which), await archive.parts(which)), none));
  const trucks = await reading<readonly string[]>(
    bench,
    () => bench.look.suggest({ command: sheet.name, options: { truck: '' }, asker }, 'truck'),
    [],
  );
  const answer = reply?.answer ?? null;
  const problems = reply?.kind === 'problems' ? (reply.problems ?? []) : [];
  const title = answer ? titleWithHero(answer) : problems.length > 0 ? `${sheet.title}: this needs another look` : sheet.title;
  const html = pages.page({
    kind: 'sheet',
    ...frame(bench, title, 'sheets'),
    heading: sheet.title,
    summary: sheet.summary,
    chatLine: answer ? chatLine(sheet, options, house.sheets, bench.look.specs) : problems.length > 0 ? null : exampleOf(sheet),
    form: formView({
      sheet,
      options,
      problems,
      facts: new Map([...(known?.value ?? none)].map(([fact, { typed, said }]) => [fact, said ?? typed])),
      trucks: trucks.value,
      current: truckInWords(current),
      canKeep: archive !== null,
    }),
    result: reply && answer ? await resultView(bench, sheet, question, reply, answer, truck) : null,
    parts: partsOf(bench, sheet, answer),
  });
  return { kind: 'page', status, html };
}

function titleWithHero(answer: Answer): string {
  const hero = heroOf(answer);
  return hero
    ? `${capital(nameWords(hero.name))} ${clean(answerValueText(hero), { graphemes: 60 })} · ${titleOf(answer)}`
    : titleOf(answer);
}

async function resultView(
  bench: Bench,
  sheet: Sheet,
  { options }: Question,
  reply: Reply,
  answer: Answer,
  truck: string,
): Promise<ResultView> {
  const { archive } = bench.house;
  const whose = truckInWords(truck);
  const view = {
    answer: answerView(answer, truck === DEFAULT_TRUCK ? [] : [whose]),
    card: cardView(reply.card, `/card/${sheet.name}`, queryOf(sheet, options), false),
    text: reply.text,
  };
  const nothing = { keep: null, save: null };
  if (!archive) return { ...view, ...nothing, kept: null, trouble: false };
  const lost = reply.notKept === undefined ? null : `This could not be kept: ${reply.notKept}`;
  if (lost !== null) return { ...view, ...nothing, kept: lost, trouble: true };
  const { club, member } = bench.asker;
  const latest = await reading<readonly SheetRecord[]>(bench, () => archive.latest({ club, member, truck }), []);
  if (latest.trouble !== null) return { ...view, ...nothing, kept: latest.trouble, trouble: true };
  const last = latest.value.find((one) => one.sheet === sheet.name && one.end === answer.end);
  if (last && sameAnswer(last.answer, answer))
    return {
      ...view,
      kept: `Kept as the last answer of ${whose}.`,
      trouble: false,
      keep: null,
      save: saveForm(truck, whose, latest.value),
    };
  const fields = Object.entries(options).map(([name, value]) => ({ name, value }));
  return {
    ...view,
    kept: `Only looked at: ${whose} keeps what it had.`,
    trouble: false,
    keep: { action: addressOf(sheet), label: 'Keep this answer', fields },
    save: null,
  };
}

/** Same readings given, same answers; notes and days aside. What is kept has been JSON in between, which knows no −0. */
function sameAnswer(a: Answer, b: Answer): boolean {
  const told = ({ answers, readings }: Answer): unknown =>
    JSON.parse(JSON.stringify([answers, readings.filter(({ from }) => from === 'given').map(({ name, value }) => [name, value])]));
  return isDeepStrictEqual(told(a), told(b));
}

/** Prose in its order; the workings folded away where the sheet has them. What the form and the answer show is not shown twice. */
function partsOf({ house: { sheets }, pages }: Bench, sheet: Sheet, answer: Answer | null): PartView[] {
  const own = new Set([...sheet.readings, ...sheet.workings].map(({ name }) => name));
  const sheetAt = (word: string): string | null =>
    word !== sheet.name && !own.has(word) && sheets.has(word) ? addressOf(sheets.get(word)!) : null;
  const values = answer ? valuesByName(answer) : new Map<string, string>();
  let shown = false;
  return sheet.page.flatMap((part): PartView[] => {
    if (part.kind === 'prose') return [{ kind: 'prose', html: pages.prose(part.markdown, { sheetAt }) }];
    if (part.block !== 'workings' || shown) return [];
    shown = true;
    return [
      { kind: 'workings', lines: sheet.workings.map(({ name, text }) => ({ name, formula: text, value: values.get(name) ?? null })) },
    ];
  });
}
