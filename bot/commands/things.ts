/** scale, box and track: what the club has, measured once, used by name on every sheet. */
import { changedText, type ThingView, thingsText } from '../../templates/things.ts';
import { writer } from '../../templates/truck.ts';
import { limitsOf } from '../../templates/words.ts';
import { HOWS } from '../../worksheets/archive/facts.ts';
import type { Archive, PutThing, Records, Thing, ThingKind } from '../../worksheets/archive/types.ts';
import { fold } from '../../worksheets/archive/words.ts';
import type { ReadingSpec } from '../../worksheets/engine/notation.ts';
import { problem, slipProblem } from '../../worksheets/engine/problem.ts';
import { type Quantity, type QuantitySpec, readQuantity } from '../../worksheets/engine/quantity.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import { fromSI, type Unit, unit } from '../../worksheets/engine/units.ts';
import { readsAsNumber, specFor } from './named.ts';
import { missing, type Own, oneOf, type Pit, refused, words } from './pit.ts';
import { HOW } from './specs.ts';
import type { CommandSpec, Message, OptionSpec, Reply } from './types.ts';
import { whose } from './whose.ts';

const NOTE: OptionSpec = { name: 'note', description: 'What you want to remember' };
const BOX_KINDS = ['spring', 'oil', 'pinion', 'ballast'] as const;
type BoxKind = (typeof BOX_KINDS)[number];

const SCALE: CommandSpec = {
  name: 'scale',
  description: "The club's scales: what each reads too much; then name it with a reading: 612@2",
  options: [],
  subcommands: [
    {
      name: 'add',
      description: 'Add a scale, or check one again with a known mass',
      options: [
        { name: 'name', description: 'What is written on it: 2', suggests: true },
        { name: 'known', description: 'A mass that you know [g]: 500' },
        { name: 'reads', description: 'What the scale shows for it [g]: 502' },
        { name: 'step', description: 'Its smallest step [g]; left out: 1' },
        NOTE,
      ],
      asks: ['My scale reads wrong', 'Two scales do not agree', 'How do I check a scale, and what then?'],
      examples: ['scale add 2 known:500 reads:502', 'corners 612@2 605@2 901@2 896@2'],
    },
    {
      name: 'list',
      description: 'All scales, and how far they are off',
      options: [],
      asks: ['Which scales does the club have?', 'How far is each scale off?'],
      examples: ['scale list'],
    },
    {
      name: 'remove',
      description: 'Take a scale off the list',
      options: [{ name: 'name', description: 'Its name', suggests: true }],
      asks: ['A scale is broken'],
      examples: ['scale remove 2'],
    },
  ],
};

const BOX: CommandSpec = {
  name: 'box',
  description: 'Springs, oils, pinions and ballast: whose, measured, lent to whom; used by name on every sheet',
  options: [],
  subcommands: [
    {
      name: 'add',
      description: 'Put a thing of yours in the box: spring blue 0.45',
      options: [
        { name: 'kind', description: 'What it is', choices: BOX_KINDS.map((kind) => ({ name: kind, value: kind })) },
        { name: 'name', description: 'What to call it: blue 0.45' },
        { name: 'value', description: 'Rate [N/mm], viscosity [cSt], teeth, or mass [g]' },
        HOW,
        NOTE,
      ],
      asks: ['Where do I write down my spare springs, oils and pinions?', 'How do I name a spring instead of typing its rate?'],
      examples: ['box add spring name:amber value:0.45', 'truck set rear_spring_rate:amber'],
    },
    {
      name: 'list',
      description: 'What lies in it, and what is lent',
      options: [{ name: 'kind', description: 'Only these', choices: BOX_KINDS.map((kind) => ({ name: kind, value: kind })) }],
      asks: ['Who borrowed my springs?', 'Which springs and oils can I try?', 'Who has my pinion?'],
      examples: ['box list', 'box list spring'],
    },
    {
      name: 'lend',
      description: 'A thing of yours goes to somebody',
      options: [
        { name: 'name', description: 'Which thing', suggests: true },
        { name: 'to', description: 'Who has it now', suggests: true },
      ],
      asks: ['Somebody borrows a spring of mine', 'I lent my pinion to a friend'],
      examples: ['box lend amber to:Ines'],
    },
    {
      name: 'return',
      description: 'It is back',
      options: [{ name: 'name', description: 'Which thing', suggests: true }],
      asks: ['I got my springs back', 'I give back what I borrowed'],
      examples: ['box return amber'],
    },
    {
      name: 'remove',
      description: 'Take a thing of yours out for good',
      options: [{ name: 'name', description: 'Which thing', suggests: true }],
      asks: ['A spring of mine is broken, lost or sold'],
      examples: ['box remove amber'],
    },
  ],
};

const TRACK: CommandSpec = {
  name: 'track',
  description: "The club's tracks with surface and whoops spacing; spacing:NAME takes it on a sheet",
  options: [],
  subcommands: [
    {
      name: 'add',
      description: 'Add a track, or say more of one',
      options: [
        { name: 'name', description: 'What it is called: salt flat', suggests: true },
        { name: 'spacing', description: 'Crest to crest of its whoops [m]' },
        { name: 'surface', description: 'Hard salt, loose sand, …' },
        NOTE,
      ],
      asks: ['We run on a new track', 'How far apart are the whoops on our track?'],
      examples: ['track add salt flat spacing:1.8 surface:hard salt'],
    },
    { name: 'list', description: 'All tracks', options: [], asks: ['Which tracks does the club run on?'], examples: ['track list'] },
    {
      name: 'remove',
      description: 'Take a track off the list',
      options: [{ name: 'name', description: 'Its name', suggests: true }],
      asks: ['A track is gone'],
      examples: ['track remove salt flat'],
    },
  ],
};

const writes = ({ command }: Message): boolean => !command.endsWith(' list');
export const SCALES: Own = { spec: SCALE, keeps: writes, reply: scaleReply, suggest };
export const BOXES: Own = { spec: BOX, keeps: writes, reply: boxReply, suggest };
export const TRACKS: Own = { spec: TRACK, keeps: writes, reply: trackReply, suggest };

const OF: { readonly [command: string]: readonly ThingKind[] } = { scale: ['scale'], box: BOX_KINDS, track: ['track'] };
const MASS: QuantitySpec = { kind: 'mass', unit: unit('g')!, min: 1e-3, max: 50 };
const STEP: QuantitySpec = { kind: 'mass', unit: unit('g')!, min: 1e-6, max: 0.1 };
/** A scale that is further off than this is broken, or its readings were mistyped. */
const MOST_OFF = 0.2;

// ── replies ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

async function scaleReply(pit: Pit, records: Records, message: Message): Promise<Reply> {
  if (message.command === 'scale list')
    return list(
      pit,
      records,
      message,
      ['scale'],
      'The club has no scale yet. Check one with a mass that you know: scale add 2 known:500 reads:502',
    );
  if (message.command === 'scale remove') return remove(pit, records, message);
  const { face } = pit;
  const { asker } = message;
  const options = inARow(message.options);
  if (!options.name?.trim()) return missing(face, 'name', 'Say what is written on it: scale add 2 known:500 reads:502.');
  const slips: Problem[] = [];
  const read = (name: string, spec: QuantitySpec): number | undefined => {
    const typed = options[name]?.trim();
    if (!typed) return undefined;
    const made = readQuantity(typed, spec);
    if ('ok' in made) return made.ok.value;
    slips.push(slipProblem(name, typed, made.slip));
    return undefined;
  };
  const [known, reads, step] = [read('known', MASS), read('reads', MASS), read('step', STEP)];
  for (const [one, other] of [
    ['known', 'reads'],
    ['reads', 'known'],
  ] as const)
    if (options[one]?.trim() && !options[other]?.trim())
      slips.push(
        problem(
          other,
          null,
          `Give ${other} too.`,
          `${one === 'known' ? 'Reads' : 'Known'} is missing. Give ${other} too: scale add 2 known:500 reads:502.`,
        ),
      );
  if (/[@\s]/.test(options.name.trim()))
    slips.push(
      problem(
        'name',
        options.name,
        'Give one word: 2, pit.',
        `Name: "${options.name.trim().slice(0, 40)}" cannot stand behind a reading (612@2). Give one word.`,
      ),
    );
  if (known !== undefined && reads !== undefined && Math.abs(reads / known - 1) > MOST_OFF)
    slips.push(
      slipProblem('reads', options.reads!, {
        is: 'is more than 20 % off what is known',
        needs: 'Weigh it again, with nothing else on the scale.',
      }),
    );
  if (slips.length > 0) return refused(face, slips);
  const before = (await records.things({ club: asker.club, kinds: ['scale'] })).find(
    ({ name }) => name.toLowerCase() === options.name!.trim().toLowerCase(),
  );
  const was = before?.scale ?? { known: 1, reads: 1, gain: 1, step: 1e-3 };
  const scale = {
    ...was,
    ...(known !== undefined && reads !== undefined ? { known, reads, gain: reads / known } : {}),
    ...(step === undefined ? {} : { step }),
  };
  return put(pit, records, message, { kind: 'scale', name: options.name, scale, ...noted(options) }, 'Scale ', (thing) =>
    [
      ...(Math.abs(scale.gain - 1) > MUCH ? ['⚠ That is much for a scale: weigh the known mass once more before its readings count.'] : []),
      `Name it with a reading: 612@${thing.name}`,
    ].join(' '),
  );
}
/** Kitchen scales are a part in a hundred off at worst: common practice, no source. */
const MUCH = 0.03;

const AMOUNT = String.raw`\d[\d.,]*(?:\s*±\s*[\d.,]+)?(?:\s?\p{L}+)?`;

/** "scale add kitchen 500 507": what it was checked with, and what it showed, stand behind its name. */
function inARow(options: Message['options']): Message['options'] {
  const row = new RegExp(`^(\\S+)\\s+(${AMOUNT})[\\s,]+(${AMOUNT})$`, 'u').exec(options.name?.trim() ?? '');
  if (!row || options.known !== undefined || options.reads !== undefined) return options;
  return { ...options, name: row[1]!, known: row[2]!, reads: row[3]! };
}

async function boxReply(pit: Pit, records: Records, message: Message): Promise<Reply> {
  const { face, shelf } = pit;
  const { command, asker } = message;
  if (command === 'box list') {
    const kind = oneOf('kind', message.options.kind, BOX_KINDS);
    if (typeof kind === 'object') return refused(face, [kind]);
    return list(
      pit,
      records,
      message,
      kind === undefined ? BOX_KINDS : [kind],
      'The box is empty. Put something of yours in: box add spring blue 0.45',
    );
  }
  if (command === 'box remove') return remove(pit, records, message);
  if (command === 'box lend' || command === 'box return') {
    const name = message.options.name?.trim();
    const to = message.options.to?.trim();
    if (!name) return missing(face, 'name', 'Say which thing: box lend blue 0.45 to:NAME.');
    if (command === 'box lend' && !to) return missing(face, 'to', `Say who has it now: box lend ${name} to:NAME.`);
    const done = await records.lendThing({ ...whose(asker), name, to: command === 'box lend' ? to! : null });
    if (done.kind === 'problems') return refused(face, done.problems);
    const { safe } = writer({ for: face.format });
    const { thing, was } = done;
    return words(
      safe(
        thing.lent === null
          ? `${thing.name} is back from ${was!.lent!.to}.`
          : `${thing.name} is lent to ${thing.lent.to}. When it is back: box return ${thing.name}`,
        200,
      ),
    );
  }
  // "box add spring blue 0.45": what stands behind the kind is the name.
  const [first, ...rest] = (message.options.kind ?? '').trim().split(/\s+/);
  const kind = oneOf('kind', first, BOX_KINDS);
  const written = message.options.name?.trim() || rest.join(' ');
  const slips: Problem[] = typeof kind === 'object' ? [kind] : [];
  if (kind === undefined)
    slips.push(
      problem(
        'kind',
        null,
        'Give spring, oil, pinion or ballast.',
        'Kind is missing. Give spring, oil, pinion or ballast: box add spring blue 0.45.',
      ),
    );
  const how = oneOf('how', message.options.how, HOWS);
  if (typeof how === 'object') slips.push(how);
  if (typeof kind === 'object' || kind === undefined) return refused(face, slips);
  if (written === '')
    return refused(face, [
      ...slips,
      problem('name', null, 'Say what to call it.', `Name is missing. Say what to call it: box add ${kind} ${EXAMPLE[kind]}.`),
    ]);
  const specs = [...shelf.sheets.values()].flatMap(({ readings }) => readings);
  // "box add pinion 16": a name that reads as a number would never be found, so it gets its kind for a word.
  const name = readsAsNumber(written, kind, specs) ? `${kind} ${written}` : written;
  const spec = specFor(kind, specs);
  if (!spec)
    return refused(face, [...slips, problem('kind', kind, 'Take another kind.', `No sheet here asks for what a ${kind} measures.`)]);
  const value = measuredFrom(kind, message.options.value, written, spec, slips);
  if (slips.length > 0 || value === undefined || typeof how === 'object') return refused(face, slips);
  return put(
    pit,
    records,
    message,
    { kind, name, ...value, ...(how === undefined ? {} : { how }), ...noted(message.options) },
    `In the box as ${kind === 'ballast' ? '' : kind === 'oil' ? 'an ' : 'a '}${kind}: `,
    (thing) => (kind === 'ballast' ? 'Any reading of a mass takes it by name.' : `Any sheet takes it by name: ${spec.name}:${thing.name}`),
  );
}

const EXAMPLE: { readonly [kind in BoxKind]: string } = { spring: 'blue 0.45', oil: '30 wt', pinion: '16', ballast: 'lead strip 20' };

type Measured = Required<Pick<PutThing, 'typed' | 'value' | 'uncertainty'>>;

/** What is given as its value; left out, the number at the end of its name: "blue 0.45", "lead strip 20 g". */
function measuredFrom(kind: BoxKind, given: string | undefined, name: string, spec: ReadingSpec, slips: Problem[]): Measured | undefined {
  const typed = given?.trim() || /(?<![\d.,])\d[\d.,]*(?:\s*±\s*[\d.,]+)?(?:\s*[\p{L}%/·²]+)?$/u.exec(name)?.[0]?.trim();
  const asks = { spring: 'its rate', oil: 'its viscosity', pinion: 'its teeth', ballast: 'what it weighs' }[kind];
  if (!typed) {
    slips.push(
      problem(
        'value',
        null,
        `Give ${asks}.`,
        `Value is missing. Give ${asks}: value:${kind === 'spring' ? '0.45' : kind === 'oil' ? '350' : kind === 'pinion' ? '16' : '20'}.`,
      ),
    );
    return undefined;
  }
  const read = readQuantity(typed, spec as ReadingSpec & { unit: Unit });
  if ('slip' in read) {
    slips.push(slipProblem('value', typed, read.slip));
    return undefined;
  }
  return { typed, ...measured(read.ok) };
}
const measured = ({ value, plusMinus }: Quantity): Pick<Measured, 'value' | 'uncertainty'> => ({
  value,
  uncertainty: plusMinus === undefined ? null : plusMinus / Math.sqrt(3),
});

async function trackReply(pit: Pit, records: Records, message: Message): Promise<Reply> {
  if (message.command === 'track list')
    return list(pit, records, message, ['track'], 'The club has no track yet. Add one: track add salt flat spacing:2.4 surface:hard salt');
  if (message.command === 'track remove') return remove(pit, records, message);
  const { face, shelf } = pit;
  const options = await withSpacing(records, message);
  const name = options.name?.trim();
  if (!name) return missing(face, 'name', 'Say what it is called: track add salt flat spacing:2.4 surface:hard salt.');
  const slips: Problem[] = [];
  const specs = [...shelf.sheets.values()].flatMap(({ readings }) => readings);
  if (readsAsNumber(name, 'track', specs))
    slips.push(problem('name', name, 'Give it a word.', `Name: "${name.slice(0, 40)}" would be read as a number. Give it a word.`));
  const spec = specFor('track', specs);
  let spacing: Measured | undefined;
  if (options.spacing?.trim() && spec) {
    const read = readQuantity(options.spacing, spec as ReadingSpec & { unit: Unit });
    if ('slip' in read) slips.push(slipProblem('spacing', options.spacing, read.slip));
    else spacing = { typed: options.spacing.trim(), ...measured(read.ok) };
  }
  if (slips.length > 0) return refused(face, slips);
  const thing: PutThing = {
    kind: 'track',
    name,
    ...(spacing ?? {}),
    ...(options.surface === undefined ? {} : { surface: options.surface }),
    ...noted(options),
  };
  return put(pit, records, message, thing, 'Track ', (one) =>
    one.typed === null ? '' : `whoops takes its spacing by name: spacing:${one.name}`,
  );
}

/** "track add Quarry 1.4 m": a length at the end of a name is its spacing, unless a track is called that. "Oval 2" is a name. */
async function withSpacing(records: Records, { options, asker }: Message): Promise<Message['options']> {
  const written = options.name?.trim() ?? '';
  const row = /^(.*\S)\s+(\d+(?:[.,]\d+)?\s?(?:m|cm|mm|ft|in|metres?|feet|inch(?:es)?)|\d+[.,]\d+)$/iu.exec(written);
  if (!row || options.spacing !== undefined) return options;
  const tracks = await records.things({ club: asker.club, kinds: ['track'] });
  if (tracks.some(({ name }) => fold(name) === fold(written))) return options;
  return { ...options, name: row[1]!.replace(/^(["'])(.*)\1$/, '$2'), spacing: row[2]! };
}

const noted = ({ note }: Message['options']): { readonly note?: string } => (note === undefined ? {} : { note });

async function put(
  pit: Pit,
  records: Records,
  { asker }: Message,
  thing: PutThing,
  done: string,
  more: (thing: Thing) => string,
): Promise<Reply> {
  const { face } = pit;
  const made = await records.putThing({ ...whose(asker), thing });
  if (made.kind === 'problems') return refused(face, made.problems);
  const was = made.was === null ? null : thingView(pit, made.was);
  return words(changedText(done, thingView(pit, made.thing), was, more(made.thing), { for: face.format, day: face.day }));
}

async function remove(pit: Pit, records: Records, { command, options, asker }: Message): Promise<Reply> {
  const { face } = pit;
  const word = command.split(' ')[0]!;
  if (!options.name?.trim()) return missing(face, 'name', `Say which: ${word} remove NAME.`);
  const appointed = pit.appointed.includes(asker.member);
  const done = await records.removeThing({ ...whose(asker), appointed, kinds: OF[word]!, name: options.name });
  if (done.kind === 'problems') return refused(face, done.problems);
  return words(
    changedText(`Taken off the list: ${done.thing.kind} `, thingView(pit, done.thing), null, '', { for: face.format, day: face.day }),
  );
}

async function list(pit: Pit, records: Records, { asker }: Message, kinds: readonly ThingKind[], none: string): Promise<Reply> {
  const things = await records.things({ club: asker.club, kinds });
  const order = [...kinds];
  const sorted = [...things].sort((a, b) => order.indexOf(a.kind) - order.indexOf(b.kind));
  return words(
    thingsText(
      sorted.map((thing) => thingView(pit, thing)),
      none,
      { for: pit.face.format, day: pit.face.day },
    ),
  );
}

export function thingView({ shelf }: Pick<Pit, 'shelf'>, thing: Thing): ThingView {
  const spec =
    thing.value === null
      ? undefined
      : specFor(
          thing.kind,
          [...shelf.sheets.values()].flatMap(({ readings }) => readings),
        );
  const read = spec && thing.typed !== null ? readQuantity(thing.typed, spec as ReadingSpec & { unit: Unit }) : undefined;
  return {
    kind: thing.kind,
    name: thing.name,
    measured:
      spec?.unit && thing.value !== null
        ? {
            value: (read && 'ok' in read ? read.ok.written : undefined) ?? fromSI(thing.value, spec.unit),
            unit: spec.unit.symbol,
            uncertainty: thing.uncertainty === null ? null : limitsOf(2 * thing.uncertainty) / spec.unit.factor,
          }
        : null,
    how: thing.how,
    scale: thing.scale,
    surface: thing.surface,
    note: thing.note,
    owner: thing.owner?.name ?? null,
    lent: thing.lent === null ? null : { to: thing.lent.to, at: thing.lent.at },
    by: thing.by.name,
    at: thing.at,
  };
}

async function suggest(_: Pit, archive: Archive, { command, asker }: Message, option: string): Promise<readonly string[]> {
  if (option === 'to') return (await archive.members({ club: asker.club })).map(({ name }) => name);
  if (option !== 'name') return [];
  const things = await archive.things({ club: asker.club, kinds: OF[command.split(' ')[0]!] ?? [] });
  if (command === 'box return') return things.filter(({ lent }) => lent !== null).map(({ name }) => name);
  if (command === 'box lend')
    return things.filter(({ lent, owner }) => lent === null && owner?.id === asker.member).map(({ name }) => name);
  return things.map(({ name }) => name);
}
