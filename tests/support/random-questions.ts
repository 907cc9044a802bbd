/** Random questions within the ranges of every sheet, seeded: optional readings come and go, lists have any length, some carry a ±. */
import type { PartSpec, ReadingSpec, Sheet } from '../../worksheets/engine/notation.ts';
import { fromSI, type Unit } from '../../worksheets/engine/units.ts';

export interface RandomQuestion {
  readonly sheet: string;
  readonly readings: Readonly<Record<string, string>>;
}

/** So many questions, the sheets in turn. */
export function* randomQuestions(sheets: Iterable<Sheet>, count: number, seed = 20260614): Generator<RandomQuestion> {
  const draw = evenly(seed);
  const shelf = [...sheets];
  for (let i = 0; i < count; i += 1) yield randomQuestion(shelf[i % shelf.length]!, draw);
}

type Draw = (low: number, high: number) => number;
/** Even draws from a seed: mulberry32, a public-domain generator of 32 bits, good enough to scatter questions. */
function evenly(seed: number): Draw {
  let state = seed >>> 0;
  return (low, high) => {
    state = (state + 0x6d2b79f5) >>> 0;
    let bits = Math.imul(state ^ (state >>> 15), state | 1);
    bits ^= bits + Math.imul(bits ^ (bits >>> 7), bits | 61);
    return low + (high - low) * (((bits ^ (bits >>> 14)) >>> 0) / 2 ** 32);
  };
}
const chance = (draw: Draw, part: number): boolean => draw(0, 1) < part;
const pick = <T>(draw: Draw, from: readonly T[]): T => from[Math.min(from.length - 1, Math.floor(draw(0, from.length)))]!;

function randomQuestion(sheet: Sheet, draw: Draw): RandomQuestion {
  const left = new Set(
    sheet.exactlyOne.flatMap((group) => group.filter((name) => name !== group[Math.floor(draw(0, group.length - 1e-9))])),
  );
  const readings: Record<string, string> = {};
  for (const reading of sheet.readings) {
    if (left.has(reading.name)) continue;
    const grouped = sheet.exactlyOne.some((group) => group.includes(reading.name));
    if (!reading.required && !grouped && chance(draw, reading.default === undefined ? 0.4 : 0.7)) continue;
    readings[reading.name] = typed(reading, draw);
  }
  return { sheet: sheet.name, readings };
}

function typed(reading: ReadingSpec, draw: Draw): string {
  switch (reading.type.kind) {
    case 'choice':
      return pick(draw, reading.type.choices);
    case 'flag':
      return chance(draw, 0.5) ? 'yes' : 'no';
    case 'text':
      return 'a word';
    case 'list': {
      const least = reading.exactly ?? reading.atLeast ?? 1;
      const length = reading.exactly ?? least + Math.floor(draw(0, 5));
      const rows = Array.from({ length }, () => reading.parts!.map((part) => partOf(part, draw)).join(' / '));
      return rows.join('; ');
    }
    default: {
      const value = amount(reading.min!, reading.max!, reading.unit!, reading.whole === true, draw);
      return !reading.whole && chance(draw, 0.2) ? `${value} ± ${Math.abs(Number(value)) * draw(0, 0.05)}` : value;
    }
  }
}

function partOf(part: PartSpec, draw: Draw): string {
  if (part.kind === 'text') return pick(draw, ['pack', 'lead', 'servo', 'body']);
  const one = (): string =>
    part.word !== undefined && chance(draw, 0.3) ? part.word : amount(part.min!, part.max!, part.unit!, false, draw);
  return part.several ? Array.from({ length: 1 + Math.floor(draw(0, 3)) }, one).join(' ') : one();
}

/** Half of them even in the logarithm, so that small values come up too; a few at the very ends. */
function amount(min: number, max: number, unit: Unit, whole: boolean, draw: Draw): string {
  const even = min > 0 && chance(draw, 0.5) ? Math.exp(draw(Math.log(min), Math.log(max))) : draw(min, max);
  const si = chance(draw, 0.02) ? min : chance(draw, 0.02) ? max : even;
  const value = fromSI(whole ? Math.round(si) : si, unit);
  // Bounds lose their last bit on the way into another unit; the sixteenth figure is not what is tested here.
  return String(Number(value.toPrecision(12)));
}
