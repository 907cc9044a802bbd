/** A truck as text: what it answers, what to measure next, what is known and since when. What helps most stands first. */
import type { AnswerValue, ReadingValue, Sentence } from '../worksheets/engine/types.ts';
import { clean } from './clean.ts';
import { fitSections, type Section } from './fit.ts';
import { quantity, valueText } from './number.ts';
import { escapeChat, messageLimit } from './text.ts';
import { answerValueText, capital, limitsOf, type NamedText, namedText, nameWords, sentenceText, stepsText, verdictText } from './words.ts';

export { capital as capitalised } from './words.ts';

export interface TruckTextOptions {
  readonly for: 'chat' | 'terminal';
  readonly day: (at: number) => string;
}

/** A value in the unit beside it, with its limits. */
export interface MeasuredView {
  readonly value: ReadingValue;
  readonly unit: string | null;
  readonly uncertainty: number | null;
  /** The thing of the club that it was taken from. */
  readonly named?: string | null;
}
export interface FactView extends MeasuredView {
  readonly fact: string;
  readonly how: string;
  readonly kept: boolean;
  readonly at: number;
  readonly by: string;
  /** As the member said it, where that was a thing's name or a scale's. */
  readonly said: string | null;
  readonly note: string | null;
  readonly beneath: MeasuredView | null;
}
export interface StandingView {
  readonly answers: readonly { readonly title: string; readonly end: 'front' | 'rear' | null; readonly hero: AnswerValue | null }[];
  readonly troubled: readonly { readonly title: string; readonly text: string }[];
  readonly stale: readonly {
    readonly title: string;
    readonly at: number;
    readonly was: AnswerValue | null;
    /** null: it does not work out any more. */
    readonly is: AnswerValue | null;
    readonly changes: readonly { readonly name: string; readonly was: MeasuredView; readonly is: MeasuredView }[];
  }[];
  readonly twoWays: readonly { readonly fact: string; readonly used: WayView; readonly other: WayView }[];
  readonly unlocks: readonly {
    readonly fact: string;
    readonly label: string;
    /** What one types for it, where that is not the number itself: a sheet that works it out, the parts list. */
    readonly by: string | null;
    readonly titles: readonly string[];
  }[];
  /** What measures the first of those: "a scale", "a ruler or calipers". */
  readonly bring: readonly string[];
  readonly missing: readonly { readonly title: string; readonly facts: readonly string[] }[];
}
export interface WayView {
  readonly title: string;
  readonly answer: AnswerValue;
}
export interface PartsView {
  readonly parts: readonly PartView[];
  /** kg, of those on the truck; the weighed total, when the truck knows one. With standard uncertainties. */
  readonly sum: { readonly mass: number; readonly uncertainty: number | null };
  readonly weighed: { readonly mass: number; readonly uncertainty: number | null } | null;
}
export interface PartView {
  readonly name: string;
  readonly count: number;
  /** kg, of one. */
  readonly mass: number;
  readonly uncertainty: number | null;
  /** m behind the front axle. */
  readonly place: number | 'off' | null;
  readonly places: readonly (number | 'off')[];
  readonly sprung: boolean;
  readonly axle: 'front' | 'rear' | null;
  readonly role: string | null;
  readonly note: string;
}
export interface TruckView {
  readonly truck: string;
  readonly owner: string;
  /** Whether the asker may change it. */
  readonly own: boolean;
  readonly offeredTo: string | null;
  readonly facts: readonly FactView[];
  readonly standing: StandingView;
  readonly parts: PartsView;
  /** Sheets for who knows nothing yet: a line that asks each. */
  readonly starts: readonly { readonly command: string; readonly about: string }[];
  /** What measures for those. */
  readonly startsWith: readonly string[];
}

const MOST_NAMED = 3;
/** So many are shown; what to bring is for these. */
export const MOST_UNLOCKS = 8;
const MOST_MISSING = 4;

// ── the whole truck ─────────────────────────────────────────────────────────────────────────────────────────────────────────────

export function truckText(view: TruckView, options: TruckTextOptions, limit = messageLimit): string {
  const { safe, bold } = writer(options);
  const { standing, facts } = view;
  const given = facts.filter(({ kept }) => !kept);
  const lasting = facts.filter(({ kept }) => kept);
  const counts = [
    facts.length === 0 ? 'nothing is known yet' : counted(facts.length, 'fact'),
    ...(given.length > 0 && lasting.length > 0 ? [`${given.length} of them just given`] : []),
    ...(view.parts.parts.length > 0 ? [counted(view.parts.parts.length, 'part')] : []),
  ];
  const head = [
    `${bold(safe(view.truck))} · ${safe(view.owner)} · ${counts.join(' · ')}`,
    ...(view.offeredTo === null ? [] : [`Offered to ${safe(view.offeredTo)}, who has not taken it yet.`]),
  ];
  const sections: Section[] = [
    { head: head.join('\n'), lines: [], share: 1 },
    {
      head: facts.length === 0 && view.starts.length > 0 ? `Start with one of these${bringText(view.startsWith)}:` : null,
      lines: facts.length === 0 ? view.starts.map(({ command, about }) => safe(`· ${command} — ${about}`)) : [],
      share: 0.5,
    },
    {
      head: standing.answers.length > 0 ? 'It answers, with nothing more typed:' : null,
      lines: standing.answers.map(({ title, hero }) => safe(`· ${title}: ${hero === null ? 'answered' : heroText(hero)}`)),
      share: 0.3,
      least: 3,
      more: (left) => `· and ${left} more`,
    },
    {
      head:
        standing.stale.length > 0 ? `Stale, because a reading has changed since${view.own ? ' (truck refresh asks again)' : ''}:` : null,
      lines: standing.stale.map((one) => safe(`· ${staleText(one, options)}`)),
      share: 0.2,
      least: 1,
      more: (left) => `· and ${left} more`,
    },
    {
      head: standing.twoWays.length > 0 ? 'Two ways do not agree; the first is used:' : null,
      lines: standing.twoWays.map((one) => safe(`· ${twoWaysText(one)}`)),
      share: 0.1,
      least: 1,
      more: (left) => `· and ${left} more`,
    },
    {
      head: standing.troubled.length > 0 ? 'Does not work out:' : null,
      lines: standing.troubled.map(({ title, text }) => safe(`· ${title}: ${text}`)),
      share: 0.08,
      more: (left) => `· and ${left} more`,
    },
    {
      head: standing.unlocks.length > 0 && facts.length > 0 ? `One more measurement would give${bringText(standing.bring)}:` : null,
      lines: facts.length === 0 ? [] : standing.unlocks.slice(0, MOST_UNLOCKS).map((one) => safe(`· ${unlockText(one)}`)),
      share: 0.15,
      least: 2,
      more: () => '· …',
    },
    {
      head: given.length > 0 ? `Just given, for 12 hours${view.own ? ' (keep makes it the truck’s)' : ''}:` : null,
      lines: wrapped(given.map(givenText)).map((line) => safe(line, 300)),
      share: 0.15,
      least: 1,
    },
    {
      head: lasting.length > 0 ? 'Known:' : null,
      lines: grouped(lasting, options).map((line) => safe(line, 300)),
      share: 0.25,
      least: 1,
      more: (left) => `… and ${counted(left, 'line')} more: truck show fact:NAME shows any of it`,
    },
    {
      head: null,
      lines: view.parts.parts.length > 0 ? [safe(`Parts: ${balanceText(view.parts)}`)] : [],
      share: 0.08,
    },
    {
      head: standing.missing.length > 0 && facts.length > 0 ? 'Further away:' : null,
      lines:
        facts.length === 0
          ? []
          : standing.missing
              .slice(0, MOST_MISSING)
              .map(({ title, facts: lacks }) => safe(`· ${title}: ${lacks.map(nameWords).join(', ')}`)),
      share: 0.08,
      more: () => '· …',
    },
  ];
  return fitSections(sections, limit);
}

/** " (bring a scale, a ruler or calipers)" */
const bringText = (tools: readonly string[]): string => (tools.length === 0 ? '' : ` (bring ${tools.join(', ')})`);

const heroText = (hero: AnswerValue): string =>
  `${nameWords(hero.name)} ${answerValueText(hero)}${hero.verdict === null ? '' : `, ${verdictText(hero.verdict)}`}`;

/** "rear motion ratio (shock travel over wheel travel) → Ride, rear; Hop, rear and 2 more" */
export function unlockText({ fact, label, by, titles }: StandingView['unlocks'][number]): string {
  const named = titles.slice(0, MOST_NAMED).join('; ');
  const more = titles.length > MOST_NAMED ? ` and ${titles.length - MOST_NAMED} more` : '';
  const about = [...(label === '' ? [] : [label]), ...(by === null ? [] : [by])].join('; ');
  return `${nameWords(fact)}${about === '' ? '' : ` (${about})`} → ${named}${more}`;
}

/** "rear spring rate: 0.52 N/mm by Spring from its wire, rear; 0.4978 N/mm ± 0.0067 by Press a spring, rear" */
export const twoWaysText = ({ fact, used, other }: StandingView['twoWays'][number]): string =>
  `${nameWords(fact)}: ${answerValueText(used.answer)} by ${used.title}; ${answerValueText(other.answer)} by ${other.title}`;

/** "Ride, rear (14 June): ride frequency 3.07 → 2.91 Hz, since spring rate is 0.45 N/mm (was 0.5 N/mm)" */
export function staleText({ title, at, was, is, changes }: StandingView['stale'][number], { day }: Pick<TruckTextOptions, 'day'>): string {
  const result =
    is === null
      ? 'does not work out any more'
      : was === null
        ? heroText(is)
        : `${nameWords(is.name)} ${answerValueText(was)} → ${answerValueText(is)}`;
  const named = changes.slice(0, MOST_NAMED).map((one) => `${nameWords(one.name)} ${changeText(one.was, one.is)}`);
  const more = changes.length > MOST_NAMED ? ` and ${changes.length - MOST_NAMED} more` : '';
  return `${title} (${day(at)}): ${result}${named.length === 0 ? '' : `, for ${named.join(', ')}${more}`}`;
}

// ── facts ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export const measuredText = ({ value, unit, uncertainty }: MeasuredView): string => valueText(value, unit, uncertainty);

/** Beside another a thing is told by its name: what it may be off by stands with the thing. */
const besideText = (view: MeasuredView): NamedText =>
  view.named
    ? { named: view.named, measured: measuredText({ ...view, uncertainty: null }) }
    : { named: null, measured: measuredText(view) };

/** "0.5 → 0.45 N/mm": the unit once, where both have it; "blue 0.45 → black 0.50 (0.447 → 0.497 N/mm)". */
export function changeText(was: MeasuredView, is: MeasuredView): string {
  if (was.named || is.named) return stepsText([besideText(was), besideText(is)]);
  const bare =
    typeof was.value === 'number' && was.unit === is.unit && was.uncertainty === null ? valueText(was.value, null) : measuredText(was);
  return `${bare} → ${measuredText(is)}`;
}

/** "front left 612 g ± 0.5", "rear spring rate blue 0.45 (0.447 N/mm ± 0.007)" */
export const factText = (fact: FactView): string =>
  `${nameWords(fact.fact)} ${namedText({ named: fact.named ?? null, measured: measuredText(fact) })}`;

/** "front left 620 g (kept: 612 g)", "front left 609.6 g (612@2)", "rear spring rate blue 0.45 (0.447 N/mm), kept: black 0.50 (0.497 N/mm)" */
const givenText = (fact: FactView): string => {
  const kept = fact.beneath === null ? [] : [`kept: ${beneathText(fact.beneath)}`];
  if (fact.named || fact.beneath?.named) return [factText(fact), ...kept].join(', ');
  const remarks = [...(fact.said === null ? [] : [fact.said]), ...kept];
  return `${factText(fact)}${remarks.length === 0 ? '' : ` (${remarks.join('; ')})`}`;
};
export const beneathText = (beneath: MeasuredView): string => namedText(besideText(beneath));

/** Kept facts by how, when and by whom or from where, newest first: "· measured 14 June, Ines: wheelbase 330 mm · front left 612 g" */
function grouped(facts: readonly FactView[], { day }: Pick<TruckTextOptions, 'day'>): string[] {
  const groups = new Map<string, { readonly at: number; readonly texts: string[] }>();
  for (const fact of [...facts].sort((a, b) => b.at - a.at)) {
    const copied = copiedFrom(fact);
    const how = copied === null ? fact.how : fact.how === 'assumed' ? 'assumed, copied' : 'copied';
    const title = `${how} ${day(fact.at)}${copied === null ? `, ${fact.by}` : ` from ${copied}`}`;
    const group = groups.get(title) ?? { at: fact.at, texts: [] };
    group.texts.push(factText(fact));
    groups.set(title, group);
  }
  return [...groups].flatMap(([title, { texts }]) => wrapped(texts, `· ${title}: `));
}

/** "setup 3, Whoops, soft front": where a fact was copied from is the last that its note says. */
function copiedFrom({ note }: FactView): string | null {
  const at = note?.lastIndexOf(COPIED) ?? -1;
  return at < 0 ? null : note!.slice(at + COPIED.length);
}
const COPIED = 'copied from ';

const WIDTH = 150;
/** Facts a line, so that what does not fit leaves by lines. */
function wrapped(texts: readonly string[], head = '· '): string[] {
  const lines: string[] = [];
  let line = head;
  for (const text of texts) {
    if (line !== head && line !== '  ' && line.length + text.length > WIDTH) {
      lines.push(line);
      line = '  ';
    }
    line += line === head || line === '  ' ? text : ` · ${text}`;
  }
  return line === head ? lines : [...lines, line];
}

// ── what was kept, told, forgotten ──────────────────────────────────────────────────────────────────────────────────────────────

export interface KeptView {
  readonly truck: string;
  readonly facts: readonly { readonly is: FactView; readonly was: MeasuredView | null }[];
  /** What is likely a slip; it is kept all the same. */
  readonly doubts: readonly DoubtView[];
  /** Titles of the answers that this makes stale. */
  readonly stale: readonly string[];
}
/** What a sheet asks back; or a value that is ten times (a tenth of, …) the one before. */
export type DoubtView =
  | { readonly kind: 'sheet'; readonly sentence: Sentence }
  | {
      readonly kind: 'times';
      readonly fact: string;
      readonly times: number;
      readonly is: MeasuredView;
      readonly was: MeasuredView;
    };

/** "Wheelbase: 33.2 mm is a tenth of the 330 mm before. Did you mean 332 mm?" */
function doubtText(doubt: DoubtView): string {
  if (doubt.kind === 'sheet') return sentenceText(doubt.sentence);
  const { fact, times, is, was } = doubt;
  const meant =
    is.named || typeof is.value !== 'number' ? 'Is it that one?' : `Did you mean ${valueText(tidy(is.value / times), is.unit)}?`;
  return `${capital(nameWords(fact))}: ${beneathText({ ...is, uncertainty: null })} is ${TIMES_WORDS[times] ?? `${times} times`} the ${beneathText({ ...was, uncertainty: null })} before. ${meant}`;
}
const TIMES_WORDS: Readonly<Record<number, string>> = {
  10: 'ten times',
  100: 'a hundred times',
  1000: 'a thousand times',
  [1 / 10]: 'a tenth of',
  [1 / 100]: 'a hundredth of',
  [1 / 1000]: 'a thousandth of',
};
/** "Kept for Sandhopper, measured: wheelbase 330 mm (was 331 mm) · pack mass 292 g" */
export function keptText({ truck, facts, doubts, stale }: KeptView, options: TruckTextOptions, limit = messageLimit): string {
  const { safe, bold } = writer(options);
  const hows = [...new Set(facts.map(({ is }) => is.how))];
  const lines = hows.flatMap((how) => {
    const texts = facts
      .filter(({ is }) => is.how === how)
      .map(({ is, was }) => {
        const isOther = was !== null && (measuredText(was) !== measuredText(is) || (was.named ?? null) !== (is.named ?? null));
        if (!isOther) return factText(is);
        return was.named || is.named ? `${factText(is)}, was ${beneathText(was)}` : `${factText(is)} (was ${beneathText(was)})`;
      });
    return wrapped(texts, `${capital(how)}: `).map((line) => safe(line, 300));
  });
  return fitSections(
    [
      { head: bold(safe(`Kept for ${truck}`)), lines, share: 0.6, least: 1 },
      { head: null, lines: doubts.map((doubt) => safe(`⚠ ${doubtText(doubt)}`, 300)), share: 0.2, least: 1 },
      { head: staleHint(stale, safe), lines: [], share: 0.2 },
    ],
    limit,
  );
}

export function staleHint(stale: readonly string[], safe: (text: string) => string): string | null {
  if (stale.length === 0) return null;
  const named = stale.slice(0, 5).join('; ');
  return safe(`Stale by that: ${named}${stale.length > 5 ? ` and ${stale.length - 5} more` : ''}. Ask again: truck refresh`);
}

export interface ForgottenView {
  readonly truck: string;
  readonly fact: FactView;
  readonly is: FactView | null;
  readonly stale: readonly string[];
}
export function forgottenText({ truck, fact, is, stale }: ForgottenView, options: TruckTextOptions): string {
  const { safe } = writer(options);
  const again = fact.kept ? ' To drop that as well, forget it once more.' : '';
  const then = is === null ? '' : ` What was kept before counts again: ${beneathText(is)}, ${options.day(is.at)}.${again}`;
  return [safe(`Forgotten of ${truck}: ${factText(fact)}.${then}`), staleHint(stale, safe)].filter(Boolean).join('\n');
}

/** All that was said of one fact, newest first. */
export function historyText(
  {
    truck,
    fact,
    rows,
  }: { readonly truck: string; readonly fact: string; readonly rows: readonly (FactView & { readonly gone: boolean })[] },
  options: TruckTextOptions,
  limit = messageLimit,
): string {
  const { safe, bold } = writer(options);
  const lines = rows.map((row) => {
    const what = row.gone ? 'forgotten' : row.kept ? row.how : `given, not kept`;
    const said = [row.said, row.note].filter((piece) => piece !== null);
    return safe(
      `· ${options.day(row.at)}, ${row.by}: ${measuredText(row)}, ${what}${said.length === 0 ? '' : ` (${said.join('; ')})`}`,
      200,
    );
  });
  return fitSections([{ head: bold(safe(`${capital(nameWords(fact))} of ${truck}`)), lines, share: 1 }], limit);
}

// ── trucks ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export interface TruckListView {
  readonly owner: string | null;
  readonly trucks: readonly {
    readonly truck: string;
    readonly facts: number;
    readonly given: number;
    readonly parts: number;
    readonly setups: number;
    readonly at: number;
    readonly current: boolean;
    readonly offeredTo: string | null;
  }[];
  readonly offered: readonly { readonly truck: string; readonly from: string }[];
}
export function truckListText({ owner, trucks, offered }: TruckListView, options: TruckTextOptions, limit = messageLimit): string {
  const { safe, bold } = writer(options);
  const lines = trucks.map((one) => {
    const has = [
      one.facts === 0 ? 'nothing known' : `${counted(one.facts, 'fact')}${one.given > 0 ? ` (${one.given} just given)` : ''}`,
      ...(one.parts > 0 ? [counted(one.parts, 'part')] : []),
      ...(one.setups > 0 ? [counted(one.setups, 'setup')] : []),
      options.day(one.at),
      ...(one.offeredTo === null ? [] : [`offered to ${one.offeredTo}`]),
    ];
    return safe(`· ${one.truck}${one.current ? ' (current)' : ''}: ${has.join(' · ')}`, 200);
  });
  const offers = offered.map(({ truck, from }) => safe(`· ${truck}, from ${from}: truck take ${truck}`, 200));
  const none = owner === null ? 'You have no truck here yet. Ask a sheet, or name one: truck use NAME.' : `${owner} has no truck here yet.`;
  return fitSections(
    [
      {
        head: trucks.length === 0 ? safe(none, 200) : bold(safe(owner === null ? 'Your trucks' : `Trucks of ${owner}`)),
        lines,
        share: 0.8,
      },
      { head: offers.length > 0 ? 'Offered to you:' : null, lines: offers, share: 0.2 },
    ],
    limit,
  );
}

/** Stale answers that were asked again. */
export function renewedText(
  { truck, stale, broken }: { readonly truck: string; readonly stale: StandingView['stale']; readonly broken: readonly string[] },
  options: TruckTextOptions,
  limit = messageLimit,
): string {
  const { safe, bold } = writer(options);
  return fitSections(
    [
      {
        head: stale.length > 0 ? bold(safe(`Asked again for ${truck}`)) : null,
        lines: stale.map((one) => safe(`· ${staleText(one, options)}`, 300)),
        share: 0.8,
      },
      {
        head: null,
        lines: broken.map((title) => safe(`· ${title} does not work out any more, so the old answer stays: truck show says why.`, 200)),
        share: 0.2,
      },
    ],
    limit,
  );
}

// ── parts ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export function partsText(
  { truck, parts }: { readonly truck: string; readonly parts: PartsView },
  options: TruckTextOptions,
  limit = messageLimit,
): string {
  const { safe, bold } = writer(options);
  if (parts.parts.length === 0) return safe(`${truck} has no parts list yet. Start it: truck parts add pack 292 185`, 200);
  return fitSections(
    [
      { head: `${bold(safe(`Parts of ${truck}`))}\n${safe(capital(balanceText(parts)), 300)}`, lines: [], share: 0.2 },
      { head: null, lines: parts.parts.map((part) => safe(`· ${partText(part)}`, 200)), share: 0.8, least: 1 },
    ],
    limit,
  );
}

/** "2 × rear tyre 78.5 g ± 0.2 · at 330 mm · unsprung, rear axle · tyre · could go: 330 mm, off" */
export function partText(part: PartView): string {
  const about = partAbout(part);
  return `${partName(part)} ${partMass(part)}${about === '' ? '' : ` · ${about}`}`;
}
export const partName = ({ count, name }: PartView): string => `${count === 1 ? '' : `${count} × `}${name}`;
/** Of one. */
export const partMass = ({ mass, uncertainty }: PartView): string =>
  valueText(tidy(mass * 1000), 'g', uncertainty === null ? null : limitsOf(2000 * uncertainty));
export const partAbout = (part: PartView): string =>
  [
    ...(part.place === null ? [] : [part.place === 'off' ? 'not on the truck' : `at ${placeText(part.place)}`]),
    ...(part.sprung ? [] : [`unsprung${part.axle === null ? '' : `, ${part.axle} axle`}`]),
    ...(part.role === null ? [] : [ROLES[part.role] ?? part.role]),
    ...(part.places.length === 0
      ? []
      : [`could go: ${part.places.map((place) => (place === 'off' ? 'off' : placeText(place))).join(', ')}`]),
    ...(part.note === '' ? [] : [part.note]),
  ].join(' · ');
const ROLES: Readonly<Record<string, string>> = { tyre: 'tyre', rim: 'rim', pack: 'battery', turns: 'turns with the wheels' };
const placeText = (place: number): string => valueText(tidy(place * 1000), 'mm');
const tidy = (value: number): number => Number(value.toPrecision(9));

/** "2415 g on the truck; the list is 112 g short of the 2527 g weighed" */
export function balanceText({ parts, sum, weighed }: Omit<PartsView, never>): string {
  const aboard = parts.filter(({ place }) => place !== 'off').length;
  const off = parts.length - aboard;
  const listed = `${counted(aboard, 'part')} on the truck ${grams(sum)}${off > 0 ? `, ${off} beside it` : ''}`;
  if (weighed === null) return `${listed}. Weigh the corners, and the sum is held against the scales.`;
  const short = weighed.mass - sum.mass;
  const reach = 2 * Math.hypot(weighed.uncertainty ?? 0, sum.uncertainty ?? 0);
  if (Math.abs(short) <= Math.max(reach, 0.0005)) return `${listed}: that is what the scales say.`;
  const by = quantity(Math.abs(short) * 1000, 'g', reach > 0 ? reach * 1000 : null);
  return `${listed}: the list is ${by} ${short > 0 ? 'short of' : 'over'} the ${grams(weighed)} weighed.`;
}
const grams = ({ mass, uncertainty }: { readonly mass: number; readonly uncertainty: number | null }): string =>
  valueText(tidy(mass * 1000), 'g', uncertainty === null ? null : 2000 * uncertainty);

// ── writing ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export const counted = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;

/** `safe` takes out what people could have typed to harm a face; it comes last, over a whole line. */
export function writer(options: Pick<TruckTextOptions, 'for'>): {
  safe(text: string, graphemes?: number): string;
  bold(text: string): string;
} {
  const chat = options.for === 'chat';
  return {
    safe: (text, graphemes = 160) => {
      const indent = /^ */.exec(text)![0];
      const cleaned = indent + clean(text, { graphemes });
      return chat ? escapeChat(cleaned) : cleaned;
    },
    bold: (text) => (chat ? `**${text}**` : text),
  };
}
