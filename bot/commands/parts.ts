/** truck parts: what the truck is made of, typed as one says it: `truck parts add lead 60 off`. */
import { balanceText, capitalised, partsText, partText, writer } from '../../templates/truck.ts';
import type { End, Place, PutPart, Records, Role, TruckBook } from '../../worksheets/archive/types.ts';
import type { ReadingSpec } from '../../worksheets/engine/notation.ts';
import { problem, slipProblem } from '../../worksheets/engine/problem.ts';
import { type Quantity, type QuantitySpec, readQuantity } from '../../worksheets/engine/quantity.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import { unit } from '../../worksheets/engine/units.ts';
import { knownOf } from './known.ts';
import { withNames } from './named.ts';
import { missing, oneOf, type Pit, refused, truckFor, words } from './pit.ts';
import { OF, TRUCK } from './specs.ts';
import type { Message, Reply, SubcommandSpec } from './types.ts';
import { partsView } from './views.ts';
import { bookFor, whose } from './whose.ts';

const ACTS = ['add', 'change', 'remove', 'list'] as const;
const ROLES = ['tyre', 'rim', 'pack', 'turns', 'none'] as const;
const MOVES_WITH = ['front', 'rear', 'no'] as const;

export const PARTS: SubcommandSpec = {
  name: 'parts',
  description: 'What it is made of, held against the scales; fills ballast, unsprung and wheel masses',
  options: [
    { name: 'do', description: 'What to do with the list', choices: ACTS.map((act) => ({ name: act, value: act })) },
    { name: 'name', description: 'The part: lead, rear tyre, pack', suggests: true },
    { name: 'mass', description: 'What one weighs [g]' },
    { name: 'at', description: 'Where its middle sits [mm behind the front axle; ahead of it: -35], or off: not on the truck' },
    { name: 'places', description: 'Where else it could sit, which ballast then tries out: 185 210 off' },
    { name: 'count', description: 'How many of them' },
    {
      name: 'unsprung',
      description: 'It goes up and down with these wheels: axle, tyre, rim; no: sprung, the springs carry it',
      choices: [
        { name: 'with the front wheels', value: 'front' },
        { name: 'with the rear wheels', value: 'rear' },
        { name: 'no', value: 'no' },
      ],
    },
    {
      name: 'role',
      description: 'What sheets take it for: a tyre or rim fills the wheel, a pack the pack; turns: other wheel parts',
      choices: [
        { name: 'tyre with its insert', value: 'tyre' },
        { name: 'rim', value: 'rim' },
        { name: 'battery pack', value: 'pack' },
        { name: 'turns with the wheels', value: 'turns' },
        { name: 'none', value: 'none' },
      ],
    },
    { name: 'note', description: 'What you want to remember' },
    TRUCK,
    OF,
  ],
  asks: [
    'What is my truck made of, and does it add up to the scales?',
    'Which parts are sprung, and which unsprung?',
    'Where could the pack or the lead go?',
  ],
  examples: [
    'truck parts add name:lead mass:60 at:185 places:185 210 off',
    'truck parts add name:rear tyre mass:96 at:331 count:2 unsprung:rear role:tyre',
    'truck parts change name:lead at:210',
    'truck parts list',
    'truck parts remove name:lead',
  ],
};

export async function partsReply(pit: Pit, records: Records, message: Message): Promise<Reply> {
  const { face } = pit;
  const typed = message.options.do?.trim() ?? '';
  const act = oneOf('do', /^\S*/.exec(typed)![0], ACTS) ?? 'list';
  if (typeof act === 'object') return refused(face, [act]);
  const options = spread(act, typed.slice(act.length).trim(), message.options);
  if (act === 'list') return list(pit, records, { ...message, options });

  if (!options.name?.trim()) return missing(face, 'name', `Say which part: truck parts ${act} lead${act === 'add' ? ' 60 off' : ''}.`);
  const which = { ...whose(message.asker), truck: await truckFor(records, { options, asker: message.asker }) };
  if (act === 'remove') {
    const done = await records.removePart({ ...which, name: options.name });
    if (done.kind === 'problems') return refused(face, done.problems);
    return said(pit, records, which, `Taken off the list: ${partText(done.part)}`);
  }
  const slips: Problem[] = [];
  const part = partFrom(await onScale(options, records, message, slips), slips);
  if (slips.length > 0) return refused(face, slips);
  const done = await records.putPart({ ...which, part, must: act === 'add' ? 'be new' : 'be there' });
  if (done.kind === 'problems') return refused(face, done.problems);
  const was = done.was === null ? '' : ` (was: ${partText(done.was)})`;
  return said(pit, records, which, `${done.truck}: ${partText(done.part)}${was}`);
}

async function list({ face, shelf }: Pit, records: Records, message: Message): Promise<Reply> {
  const found = await bookFor(records, message);
  if ('kind' in found) return refused(face, found.problems);
  const parts = partsView(shelf, found.book, { known: knownOf(found.book.facts, found.book.parts) });
  return words(partsText({ truck: found.book.truck, parts }, { for: face.format, day: face.day }));
}

/** What was done, and how the list stands against the scales. */
async function said({ face, shelf }: Pit, records: Records, which: Parameters<Records['truckBook']>[0], done: string): Promise<Reply> {
  const book = (await records.truckBook(which)) as TruckBook;
  const { safe } = writer({ for: face.format });
  const parts = partsView(shelf, book, { known: knownOf(book.facts, book.parts) });
  return words(`${safe(done, 400)}\n${safe(capitalised(balanceText(parts)), 300)}`);
}

/** "lead 60 off": what stands behind the name is its mass, and then its place. What is named wins. */
function spread(act: (typeof ACTS)[number], rest: string, given: Message['options']): Message['options'] {
  if (rest === '') return given;
  if (act === 'list') return { truck: rest, ...given };
  if (act === 'remove') return { name: rest, ...given };
  const row = /^(.*?)(?:\s+(\d[\d.,]*(?:\s*±\s*[\d.,]+)?\s*(?:g|kg|oz|lb)?(?:@\S+)?))(?:\s+(off|-?\d[\d.,]*\s*(?:mm|cm|in)?))?$/i.exec(
    rest,
  );
  if (!row?.[1]) return { name: rest, ...given };
  return { name: row[1], mass: row[2]!, ...(row[3] === undefined ? {} : { at: row[3] }), ...given };
}

/** "60@2": what was on scale 2. */
async function onScale(options: Message['options'], records: Records, { asker }: Message, slips: Problem[]): Promise<Message['options']> {
  if (!options.mass?.includes('@')) return options;
  const spec: ReadingSpec = {
    name: 'mass',
    label: '',
    slot: 0,
    type: { kind: 'number', dims: MASS.unit.dims },
    required: false,
    line: 0,
    ...MASS,
  };
  const { typed, problems } = withNames({ mass: options.mass }, () => spec, await records.things({ club: asker.club, kinds: ['scale'] }));
  slips.push(...problems);
  return { ...options, mass: typed.mass ?? '' };
}

const MASS: QuantitySpec = { kind: 'mass', unit: unit('g')!, min: 1e-4, max: 5 };
const PLACE: QuantitySpec = { kind: 'length', unit: unit('mm')!, min: -0.5, max: 2 };
const COUNT: QuantitySpec = { kind: 'count', unit: unit('1')!, min: 1, max: 100, whole: true };

function partFrom(options: Message['options'], slips: Problem[]): PutPart {
  const { name, mass, at, places, count, unsprung, role, note } = options;
  const read = (reading: string, typed: string, spec: QuantitySpec): Quantity | undefined => {
    const made = readQuantity(typed, spec);
    if ('ok' in made) return made.ok;
    slips.push(slipProblem(reading, typed, made.slip));
    return undefined;
  };
  const placed = (reading: string, typed: string): Place =>
    /^\s*off\s*$/i.test(typed) ? 'off' : (read(reading, typed, PLACE)?.value ?? null);
  const one = <T extends string>(reading: string, typed: string | undefined, choices: readonly T[]): T | undefined => {
    const found = oneOf(reading, typed, choices);
    if (typeof found !== 'object') return found;
    slips.push(found);
    return undefined;
  };
  const weighs = mass?.trim() ? read('mass', mass, MASS) : undefined;
  const many = count?.trim() ? read('count', count, COUNT) : undefined;
  const with_ = one('unsprung', unsprung, MOVES_WITH);
  const is = one('role', role, ROLES);
  if (places !== undefined && places.split(/[\s,;]+/).filter(Boolean).length > 20)
    slips.push(problem('places', places, 'Give at most 20.', 'Places: that are too many. Give at most 20.'));
  return {
    name: name!,
    ...(weighs
      ? { mass: weighs.value, typed: mass!.trim(), uncertainty: weighs.plusMinus === undefined ? null : weighs.plusMinus / Math.sqrt(3) }
      : {}),
    ...(at?.trim() ? { place: placed('at', at) } : {}),
    ...(places === undefined
      ? {}
      : {
          places: places
            .split(/[\s,;]+/)
            .filter(Boolean)
            .map((place) => placed('places', place))
            .filter((place) => place !== null),
        }),
    ...(many ? { count: many.value } : {}),
    ...(with_ === undefined ? {} : { sprung: with_ === 'no', axle: with_ === 'no' ? null : (with_ satisfies End) }),
    ...(is === undefined ? {} : { role: is === 'none' ? null : (is satisfies Role) }),
    ...(note === undefined ? {} : { note }),
  };
}
