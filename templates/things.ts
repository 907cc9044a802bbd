/** The club's scales, box and tracks as text, a line each. */
import { fitSections } from './fit.ts';
import { acted, valueText } from './number.ts';
import { messageLimit } from './text.ts';
import { type MeasuredView, measuredText, type TruckTextOptions, writer } from './truck.ts';
import { capital } from './words.ts';

export interface ThingView {
  readonly kind: string;
  readonly name: string;
  readonly measured: MeasuredView | null;
  readonly how: string;
  /** kg. */
  readonly scale: { readonly known: number; readonly reads: number; readonly gain: number; readonly step: number } | null;
  readonly surface: string;
  readonly note: string;
  readonly owner: string | null;
  readonly lent: { readonly to: string; readonly at: number } | null;
  readonly by: string;
  readonly at: number;
}

/** "reads 0.4 % high", "reads true" */
export function gainText(gain: number): string {
  const off = (gain - 1) * 100;
  if (Math.abs(off) < 0.0005) return 'reads true';
  return `reads ${acted(Math.abs(off), '%')} ${off > 0 ? 'high' : 'low'}`;
}

/** "scale 2 reads 0.4 % high" */
export const scaleText = (name: string, gain: number): string => `scale ${name} ${gainText(gain)}`;

/** "blue 0.45: 0.4478 N/mm ± 0.01 · Ines · lent to Tomasz since 14 June" */
export function thingText(thing: ThingView, { day }: Pick<TruckTextOptions, 'day'>): string {
  const grams = (mass: number): string => valueText(Number((mass * 1000).toPrecision(9)), 'g');
  const facts = [
    ...(thing.scale === null
      ? []
      : [
          `${gainText(thing.scale.gain)}${thing.scale.gain === 1 ? '' : ` (${grams(thing.scale.reads)} for ${grams(thing.scale.known)})`}`,
          `step ${grams(thing.scale.step)}`,
          `checked ${day(thing.at)}, ${thing.by}`,
        ]),
    ...(thing.measured === null
      ? []
      : [`${thing.kind === 'track' ? 'whoops ' : ''}${measuredText(thing.measured)}${thing.how === 'measured' ? '' : `, ${thing.how}`}`]),
    ...(thing.surface === '' ? [] : [thing.surface]),
    ...(thing.owner === null ? [] : [thing.owner]),
    ...(thing.lent === null ? [] : [`lent to ${thing.lent.to} since ${day(thing.lent.at)}`]),
    ...(thing.note === '' ? [] : [thing.note]),
  ];
  return `${thing.name}${facts.length === 0 ? '' : `: ${facts.join(' · ')}`}`;
}

const TITLES: Readonly<Record<string, string>> = {
  spring: 'Springs',
  oil: 'Oils',
  pinion: 'Pinions',
  ballast: 'Ballast',
  scale: 'Scales',
  track: 'Tracks',
};

/** What there is, by kind; `none` is said when there is nothing. */
export function thingsText(things: readonly ThingView[], none: string, options: TruckTextOptions, limit = messageLimit): string {
  const { safe, bold } = writer(options);
  if (things.length === 0) return none;
  const kinds = [...new Set(things.map(({ kind }) => kind))];
  return fitSections(
    kinds.map((kind) => ({
      head: bold(TITLES[kind] ?? capital(kind)),
      lines: things.filter((thing) => thing.kind === kind).map((thing) => safe(`· ${thingText(thing, options)}`, 200)),
      share: 1 / kinds.length,
      least: 1,
    })),
    limit,
  );
}

/** "Scale 2 reads 0.4 % high (502 g for 500 g) · step 1 g. Name it with a reading: 612@2" */
export function changedText(done: string, thing: ThingView, was: ThingView | null, more: string, options: TruckTextOptions): string {
  const { safe } = writer(options);
  const before = was === null ? '' : ` (was: ${thingText(was, options)})`;
  return [safe(`${done}${thingText(thing, options)}${before}`, 400), more === '' ? null : safe(more, 200)]
    .filter((line) => line !== null)
    .join('\n');
}
