/**
 * The archive at size: one club of 1,000 and then of 100,000 setups, beside a thousand clubs of ten. Every question is put to the archive and,
 * in turn with it, as one bare statement to the same file: that is the floor, for nothing that answers from this file is quicker. Setups are
 * loaded past the archive for speed, and are as valid as any: at the end every hash of the large club is computed again.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { makeCommands } from '../../bot/commands/index.ts';
import type { Commands } from '../../bot/commands/types.ts';
import { type Archive, archiveOver } from '../../worksheets/archive/archive.ts';
import { canonical } from '../../worksheets/archive/canonical.ts';
import type { Engine } from '../../worksheets/archive/engine.ts';
import { nameKey } from '../../worksheets/archive/names.ts';
import { openEngine } from '../../worksheets/archive/open.ts';
import { auditHash } from '../../worksheets/archive/people.ts';
import { type Database, loadSqlite } from '../../worksheets/archive/sqlite/driver.ts';
import { revisionHash } from '../../worksheets/archive/store.ts';
import type { FindSetups, NumberBetween, Remember, SetupDoc } from '../../worksheets/archive/types.ts';
import { wordsOf } from '../../worksheets/archive/words.ts';
import { loadFormulas, loadSheets } from '../../worksheets/engine/library.ts';

const CLUBS = 1_000;
const IN_EACH = 10;
const FEW = 1_000;
const MANY = 100_000;
const BIG = 'saltpan';
const small = (which: number): string => `club-${which}`;

/** What is asked, how often, and the floor under it. `turn` counts the rounds, so that no two ask the same. */
export interface Measure {
  readonly name: string;
  readonly rounds: number;
  readonly ours: (stage: Stage, turn: number) => Promise<unknown>;
  readonly bare: (stage: Stage, turn: number) => unknown;
}
export interface Stage {
  readonly archive: Archive;
  readonly commands: Commands;
  /** The same file, for bare statements. */
  readonly database: Database;
  /** The id of the large club's row, and how many setups it has. */
  readonly club: number;
  readonly setups: number;
  /** A number that is the same in every run, from 0 to just below `below`. */
  readonly draw: (turn: number, below: number) => number;
}

// ── what is measured ────────────────────────────────────────────────────────────────────────────────────────────────────────────

const FOUND = `
  select setup.number, setup.name, setup.notes, setup.tags, setup.sheets, setup.rev, setup.at, truck.name as truck, member.name as member
  from setup_words join setup on setup.id = setup_words.rowid join truck on truck.id = setup.truck_id join member on member.id = truck.member_id
  where setup_words match ? order by bm25(setup_words, 0, 10, 5, 5, 3, 2, 1), setup.at desc, setup.id desc limit 11`;
const matching = (club: number, ...terms: string[]): string =>
  `club : "c${club}" AND {name truck tags member notes sheets} : (${terms.join(' AND ')})`;
const NEWEST = `
  select setup.number, setup.name, truck.name as truck, member.name as member
  from setup join truck on truck.id = setup.truck_id join member on member.id = truck.member_id
  where setup.club_id = ? order by setup.at desc, setup.id desc limit 11`;
const SHOWN = `
  select revision.doc, revision.hash, member.name from setup join revision on revision.setup_id = setup.id and revision.rev = setup.rev
  join member on member.id = revision.author_id where setup.club_id = ?`;
const KEPT = 'insert into interaction (club_id, id, result, at) values (?, ?, ?, ?)';

const found = (words: (stage: Stage, turn: number) => string): Measure['ours'] => {
  return async (stage, turn) => {
    const { setups } = await stage.archive.findSetups({ club: BIG, words: words(stage, turn) });
    if (setups.length === 0) throw new Error(`nothing is found by "${words(stage, turn)}"`);
  };
};
const numberAt = ({ setups, draw }: Stage, turn: number): number => 1 + draw(turn, setups);
const nameAt = (stage: Stage, turn: number): string => nameOf(numberAt(stage, turn));
const memberOf = (number: number): string => `member-${number % MEMBERS}`;

const FIND: readonly Measure[] = [
  {
    name: 'find, by two words of a name',
    rounds: 41,
    ours: found((stage, turn) => nameAt(stage, turn).split(' ').slice(0, 2).join(' ')),
    bare: ({ database, club, ...stage }, turn) =>
      database.prepare(FOUND).all([
        matching(
          club,
          ...nameAt({ database, club, ...stage }, turn)
            .split(' ')
            .slice(0, 2)
            .map((word) => `"${word}" *`),
        ),
      ]),
  },
  {
    name: 'find, by the beginning of a word',
    rounds: 21,
    ours: found((stage, turn) => nameAt(stage, turn).slice(0, 3)),
    bare: (stage, turn) => stage.database.prepare(FOUND).all([matching(stage.club, `"${nameAt(stage, turn).slice(0, 3)}" *`)]),
  },
  {
    name: 'find, by a word that all of them hold',
    rounds: 7,
    ours: found(() => 'corner'),
    bare: ({ database, club }) => database.prepare(FOUND).all([matching(club, '"corner" *')]),
  },
  {
    name: 'find, the newest',
    rounds: 41,
    ours: found(() => ''),
    bare: ({ database, club }) => database.prepare(NEWEST).all([club]),
  },
  {
    name: 'find, in a club of ten beside it',
    rounds: 41,
    ours: ({ archive, draw }, turn) => archive.findSetups({ club: small(draw(turn, CLUBS)), words: 'corner' }),
    bare: ({ database, draw }, turn) => {
      const [row] = database.prepare('select id from club where platform_id = ?').all([small(draw(turn, CLUBS))]) as { id: number }[];
      return database.prepare(FOUND).all([matching(row!.id, '"corner" *')]);
    },
  },
];

/**
 * The floor of numbers, written for what is known of them here: those that a few have are the way in, those that many have are asked of each
 * setup that comes up.
 */
const NUMBERED = (wayIn: string, club: number, ...narrowed: readonly string[]): string => `
  select setup.number, setup.name, setup.notes, setup.tags, setup.sheets, setup.rev, setup.at, truck.name as truck, member.name as member
  from ${wayIn} join truck on truck.id = setup.truck_id join member on member.id = truck.member_id
  where setup.club_id = ${club} and setup.gone = 0 and ${narrowed.join(' and ')} order by setup.at desc, setup.id desc limit 11`;
const BY_TIME = 'setup indexed by setup_by_time';
const BY_NUMBER = 'setup_number few cross join setup on setup.id = few.setup_id';
const BY_FACET = 'setup_facet few cross join setup on setup.id = few.setup_id';
const few = (club: number, { name, low, high }: NumberBetween): string =>
  `few.club_id = ${club} and few.name = '${name}' and few.end = '' and few.value >= ${low} and few.value <= ${high}`;
const has = ({ name, low, high }: NumberBetween): string =>
  `exists (select 1 from setup_number n where n.setup_id = setup.id and n.name = '${name}' and n.end = '' and n.value >= ${low} and n.value <= ${high})`;
const foundBy =
  (what: (stage: Stage, turn: number) => Pick<FindSetups, 'numbers'> & Partial<FindSetups>): Measure['ours'] =>
  async (stage, turn) => {
    const { setups } = await stage.archive.findSetups({ club: BIG, words: '', ...what(stage, turn) });
    if (setups.length === 0) throw new Error('nothing is found by its numbers');
  };
/** Those of a setup that is there, and of hardly another. */
const asWarm = (stage: Stage, turn: number, by: number): NumberBetween => {
  const kelvin = temperatureOf(ownerAt(stage, turn));
  return { name: 'temperature', end: null, low: kelvin - by, high: kelvin + by };
};
/** The first of them is the archive's own and has no temperature. */
const ownerAt = ({ setups, draw }: Stage, turn: number): number => 2 + draw(turn, FEW - 2) * Math.floor(setups / FEW);
const OF_HALF: NumberBetween = { name: 'rear_share', end: null, low: 0.59, high: 1 };

const FIND_NUMBERS: readonly Measure[] = [
  {
    name: 'find, by a number that a few have',
    rounds: 41,
    ours: foundBy((stage, turn) => ({ numbers: [asWarm(stage, turn, 0.001)] })),
    bare: (stage, turn) => stage.database.prepare(NUMBERED(BY_NUMBER, stage.club, few(stage.club, asWarm(stage, turn, 0.001)))).all([]),
  },
  {
    name: 'find, by a number that half of them have',
    rounds: 11,
    ours: foundBy(() => ({ numbers: [OF_HALF] })),
    bare: ({ database, club }) => database.prepare(NUMBERED(BY_TIME, club, has(OF_HALF))).all([]),
  },
  {
    name: 'find, by two numbers and an owner',
    rounds: 21,
    ours: foundBy((stage, turn) => ({
      numbers: [{ ...OF_HALF, low: 0 }, asWarm(stage, turn, 2)],
      facets: { owner: `Member ${ownerAt(stage, turn) % MEMBERS}` },
    })),
    bare: (stage, turn) => {
      const owner = `few.club_id = ${stage.club} and few.facet = 'owner' and few.value = 'member ${ownerAt(stage, turn) % MEMBERS}'`;
      const numbers = [{ ...OF_HALF, low: 0 }, asWarm(stage, turn, 2)].map(has);
      return stage.database.prepare(NUMBERED(BY_FACET, stage.club, owner, ...numbers)).all([]);
    },
  },
  {
    name: 'find, by a word and a number',
    rounds: 21,
    ours: foundBy((stage, turn) => ({ words: nameOf(ownerAt(stage, turn)).split(' ')[0]!, numbers: [{ ...OF_HALF, low: 0 }] })),
    bare: (stage, turn) => {
      const narrowed = FOUND.replace('match ?', `match ? and ${has({ ...OF_HALF, low: 0 })}`);
      return stage.database.prepare(narrowed).all([matching(stage.club, `"${nameOf(ownerAt(stage, turn)).split(' ')[0]!}" *`)]);
    },
  },
  {
    name: 'find, by a number in a club of ten beside it',
    rounds: 41,
    ours: ({ archive, draw }, turn) => archive.findSetups({ club: small(draw(turn, CLUBS)), words: '', numbers: [OF_HALF] }),
    bare: ({ database, draw }, turn) => {
      const [row] = database.prepare('select id from club where platform_id = ?').all([small(draw(turn, CLUBS))]) as { id: number }[];
      return database.prepare(NUMBERED(BY_NUMBER, row!.id, few(row!.id, OF_HALF))).all([]);
    },
  },
];

const SHOW: readonly Measure[] = [
  {
    name: 'show, by number',
    rounds: 61,
    ours: (stage, turn) => stage.archive.showSetup({ club: BIG, id: numberAt(stage, turn) }),
    bare: (stage, turn) => stage.database.prepare(`${SHOWN} and setup.number = ?`).all([stage.club, numberAt(stage, turn)]),
  },
  {
    name: 'show, by name',
    rounds: 61,
    ours: (stage, turn) => stage.archive.showSetup({ club: BIG, name: nameAt(stage, turn) }),
    bare: (stage, turn) => stage.database.prepare(`${SHOWN} and setup.name_key = ?`).all([stage.club, nameKey(nameAt(stage, turn))]),
  },
];

/** The command as a member sends it: both looked up, every answer worked out again from each, the differences in words. */
const COMPARE: readonly Measure[] = [
  {
    name: 'compare two, answers worked out again',
    rounds: 41,
    async ours(stage, turn) {
      const [a, b] = [numberAt(stage, turn), numberAt(stage, turn + 1000)];
      const asker = { club: BIG, member: 'member-0', memberName: 'Member 0' };
      const reply = await stage.commands.answer({ command: 'setup compare', options: { a: String(a), b: String(b) }, asker });
      if (reply.kind === 'problems') throw new Error(reply.text);
    },
    bare: (stage, turn) =>
      [turn, turn + 1000].map((one) => stage.database.prepare(`${SHOWN} and setup.number = ?`).all([stage.club, numberAt(stage, one)])),
  },
];

/** The floor of a save is one row with as much text in it, written through to the disk. */
const save = (name: string, nameFor: (stage: Stage, turn: number) => string): Measure => ({
  name,
  rounds: 41,
  async ours(stage, turn) {
    const number = numberAt(stage, turn);
    const which = { club: BIG, member: memberOf(number), truck: truckOf(number), name: nameFor(stage, turn) };
    const saved = await stage.archive.saveSetup(which);
    if (saved.kind !== 'saved') throw new Error(`"${which.name}" is not saved`);
  },
  bare: ({ database, club, setups }, turn) => database.prepare(KEPT).run([club, `${name} ${setups} ${turn}`, bulk, turn]),
});
const SAVE: readonly Measure[] = [
  save('save, a new one', ({ setups }, turn) => `evening ${setups} ${turn}`),
  save('save, the next revision', nameAt),
];

const MEASURES: readonly Measure[] = [...FIND, ...FIND_NUMBERS, ...SHOW, ...COMPARE, ...SAVE];

// ── the setups ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const MEMBERS = 100;
const TRUCKS = 3;

/** The same row of numbers in every run. */
function numbers(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let bits = Math.imul(state ^ (state >>> 15), 1 | state);
    bits = (bits + Math.imul(bits ^ (bits >>> 7), 61 | bits)) ^ bits;
    return ((bits ^ (bits >>> 14)) >>> 0) / 2 ** 32;
  };
}
/** 4,000 words that nobody has; the first ones are common, as in any language. */
const SYLLABLES = 'ba be bo da de do fa fe ga ge ka ke ko la le lo ma me mo na ne no ra re ro sa se so ta te to va ve wa we za'.split(' ');
const WORDS = Array.from({ length: 4_000 }, (_, i) => {
  const [first, second, third] = [i % 37, Math.floor(i / 37) % 37, Math.floor(i / 1369)].map((at) => SYLLABLES[at % SYLLABLES.length]!);
  return `${first}${second}${third}n`;
});
const wordsFor = (seed: number, many: number): string[] => {
  const next = numbers(seed);
  return Array.from({ length: many }, () => WORDS[Math.floor(WORDS.length * next() ** 3)]!);
};
const nameOf = (number: number): string => `${wordsFor(number, 2).join(' ')} ${number}`;
const notesOf = (number: number): string => wordsFor(number + 1e6, 12).join(' ');
const tagsOf = (number: number): string[] => [...new Set(wordsFor(number + 2e6, 2))];
const truckOf = (number: number): string => `Truck ${Math.floor(number / MEMBERS) % TRUCKS}`;
/** K, from 273 to 313, another one for every setup. */
const temperatureOf = (number: number): number => 273 + Math.round(numbers(number + 3e6)() * 4e7) / 1e6;
let bulk = '';

type Row = { [column: string]: unknown };

/** A setup that the archive has saved itself. */
interface Like {
  readonly setup: Row;
  readonly revision: Row;
  readonly numbers: readonly Row[];
}

/** Writes setups past the archive, each as `saveSetup` would have left it: after one of those that it has saved itself, in turn. */
function loader(database: Database, like: readonly Like[]) {
  const insert = (table: string, columns: readonly string[]) =>
    database.prepare(`insert into ${table} (${columns.map((one) => `"${one}"`).join(', ')}) values (${columns.map(() => '?').join(', ')})`);
  const into = new Map<string, { readonly columns: readonly string[]; readonly statement: ReturnType<typeof insert> }>();
  const put = (table: string, row: Row): void => {
    const known = into.get(table) ?? { columns: Object.keys(row), statement: insert(table, Object.keys(row)) };
    into.set(table, known);
    known.statement.run(known.columns.map((column) => row[column]));
  };
  // The documents with holes in them: writing 100,000 of them anew would take most of the time.
  const holes = like.map(({ revision }) => {
    const doc = JSON.parse(revision.doc as string) as SetupDoc;
    const conditions = { temperature: { typed: '@temperature', value: 1 } };
    const text = canonical({
      ...doc,
      name: '@name',
      truck: '@truck',
      member: '@member',
      notes: '@notes',
      tags: ['@tags'],
      at: 1,
      conditions,
    });
    if (!text.includes('"at":1,')) throw new Error('the document has no moment to fill in');
    return text;
  });
  interface Parts {
    readonly name: string;
    readonly truck: string;
    readonly member: string;
    readonly notes: string;
    readonly tags: readonly string[];
    readonly kelvin: number;
    readonly at: number;
  }
  const fill = (text: string, parts: Parts): string =>
    text
      .replace('"@name"', () => JSON.stringify(parts.name))
      .replace('"@truck"', () => JSON.stringify(parts.truck))
      .replace('"@member"', () => JSON.stringify(parts.member))
      .replace('"@notes"', () => JSON.stringify(parts.notes))
      .replace('["@tags"]', () => JSON.stringify(parts.tags))
      .replace('"@temperature","value":1', () => `${JSON.stringify(`${parts.kelvin} K`)},"value":${parts.kelvin}`)
      .replace('"at":1,', () => `"at":${parts.at},`);
  const titles = JSON.parse(like[0]!.revision.doc as string) as SetupDoc;
  const sheets = wordsOf(titles.sheets.map(({ answer }) => answer.title).join(' ')).join(' ');

  return (platformId: string, from: number, to: number): void => {
    database.exec('begin immediate');
    const [club] = database.prepare('select * from club where platform_id = ?').all([platformId]) as [
      Row & { id: number; changes: number; audit_hash: string },
    ];
    const trucks = database
      .prepare(
        'select truck.id, truck.name, truck.member_id, member.platform_id as member, member.name as member_name from truck join member on member.id = truck.member_id where member.club_id = ?',
      )
      .all([club.id]) as { id: number; name: string; member_id: number; member: string; member_name: string }[];
    const truckAt = new Map(trucks.map((truck) => [`${truck.member}/${truck.name}`, truck]));
    const [{ last }] = database.prepare('select max(id) as last from setup').all([]) as [{ last: number }];
    let { changes, audit_hash: hash } = club;
    for (let number = from; number <= to; number += 1) {
      const truck = truckAt.get(`${memberOf(number)}/${truckOf(number)}`) ?? trucks[0]!;
      const which = number % like.length;
      const { setup, revision, numbers: known } = like[which]!;
      const kelvin = temperatureOf(number);
      const parts = { name: nameOf(number), notes: notesOf(number), tags: tagsOf(number), truck: truck.name, member: truck.member, kelvin };
      const at = Number(like[0]!.setup.at) + number * 60_000;
      const id = last + 1 + number - from;
      put('setup', {
        ...setup,
        id,
        club_id: club.id,
        number,
        truck_id: truck.id,
        name: parts.name,
        name_key: nameKey(parts.name),
        notes: parts.notes,
        tags: canonical(parts.tags),
        at,
      });
      const text = fill(holes[which]!, { ...parts, at });
      const own = revisionHash(null, text);
      put('revision', { ...revision, setup_id: id, rev: 1, parent_hash: null, hash: own, doc: text, author_id: truck.member_id, at });
      for (const row of known) put('setup_number', { ...row, setup_id: id, club_id: club.id });
      put('setup_number', { setup_id: id, club_id: club.id, name: 'temperature', end: '', value: kelvin });
      changes += 1;
      const line = { change: changes, at, act: 'setup', detail: canonical({ setup: number, rev: 1, hash: own }) };
      hash = auditHash(hash, { club: platformId, member: truck.member, ...line });
      put('audit', { club_id: club.id, member_id: truck.member_id, hash, ...line });
      const folded = (words: string): string => wordsOf(words).join(' ');
      const facets = [['owner', truck.member_name], ['truck', parts.truck], ...parts.tags.map((tag) => ['tag', tag])] as [string, string][];
      for (const [facet, text] of facets) put('setup_facet', { setup_id: id, club_id: club.id, facet, value: folded(text) });
      put('setup_words', {
        rowid: id,
        club: `c${club.id}`,
        name: parts.name,
        truck: folded(parts.truck),
        tags: parts.tags.join(' '),
        member: folded(truck.member_name),
        notes: parts.notes,
        sheets,
      });
    }
    database.prepare('update club set setups = ?, changes = ?, audit_hash = ? where id = ?').run([to, changes, hash, club.id]);
    database.exec('commit');
  };
}

const VARIANTS = 50;

/**
 * Setups that the archive saves itself, from two sheets with their examples, each with a little more weight on the rear: the others are made
 * after them. Rear shares go from 54 to 64 %.
 */
async function firstSetups(engine: Engine, commands: Commands, archive: Archive) {
  const sheets = await loadSheets(await loadFormulas());
  const say = async (club: string, command: string, options: { readonly [name: string]: string }): Promise<void> => {
    const asker = { club, member: 'member-0', memberName: 'Member 0' };
    const reply = await commands.answer({ command, options: { ...options, truck: 'Truck 0' }, asker });
    if (reply.kind === 'problems') throw new Error(`${command}: ${reply.text}`);
  };
  const save = async (club: string, rear: number, name: string): Promise<Like> => {
    await say(club, 'corners', {
      ...typed(sheets.get('corners')!.example),
      front_left: '612',
      front_right: '605',
      rear_left: String(rear),
      rear_right: String(rear),
    });
    await say(club, 'ride', typed(sheets.get('ride')!.example));
    await say(club, 'setup save', { name });
    const setup = (await engine.db
      .selectFrom('setup')
      .selectAll()
      .orderBy('id', 'desc')
      .limit(1)
      .executeTakeFirstOrThrow()) as unknown as Row & { id: number };
    const of = (table: 'revision' | 'setup_number') => engine.db.selectFrom(table).selectAll().where('setup_id', '=', setup.id).execute();
    const [revision] = (await of('revision')) as unknown as Row[];
    return { setup, revision: revision!, numbers: (await of('setup_number')) as unknown as Row[] };
  };
  await save(BIG, 900, 'the first');
  const latest = await archive.latest({ club: BIG, member: 'member-0', truck: 'Truck 0' });
  const like: Like[] = [];
  for (let i = 0; i < VARIANTS; i += 1) like.push(await save('workshop', 715 + 7 * i, `variant ${i}`));
  return { latest, like };
}
const typed = (example: Readonly<Record<string, unknown>>): { [name: string]: string } =>
  Object.fromEntries(Object.entries(example).map(([name, value]) => [name, String(value)]));

// ── the measuring ───────────────────────────────────────────────────────────────────────────────────────────────────────────────

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
const figure = (value: number): string => (value >= 100 ? value.toFixed(0) : value.toPrecision(3));
const row = (...cells: readonly string[]): void =>
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(44) : cell.padStart(14))).join(''));

async function measure(stage: Stage): Promise<Map<string, { readonly ours: number; readonly bare: number }>> {
  const all = new Map<string, { ours: number; bare: number }>();
  for (const { name, rounds, ours, bare } of MEASURES) {
    const [us, them]: [number[], number[]] = [[], []];
    for (let turn = 0; turn < rounds; turn += 1) {
      // In turn, and each first as often as the other: whoever asks second finds the pages warm.
      const sides = [
        async () => us.push(await timed(() => ours(stage, turn))),
        async () => them.push(await timed(async () => bare(stage, turn))),
      ];
      for (const side of turn % 2 === 0 ? sides : sides.reverse()) await side();
    }
    all.set(name, { ours: median(us), bare: median(them) });
  }
  return all;
}
async function timed(work: () => Promise<unknown>): Promise<number> {
  const from = performance.now();
  await work();
  return performance.now() - from;
}

export async function benchArchive(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'dustsheet-bench-'));
  const file = join(folder, 'club.sqlite');
  const engine = await openEngine({ file, create: true });
  const archive = archiveOver(engine, Date.now);
  const database = (await loadSqlite()).open(file, { readonly: false });
  database.exec('pragma busy_timeout = 5000');
  try {
    const from = performance.now();
    const house = {
      sheets: await loadSheets(await loadFormulas()),
      archive,
      cards: null,
      clock: Date.now,
      zone: 'UTC',
      theme: 'dark' as const,
      log: () => {},
    };
    const commands = makeCommands(house, 'terminal');
    const { latest, like } = await firstSetups(engine, commands, archive);
    bulk = like[0]!.revision.doc as string;
    const remember = async (club: string, member: string, truck: string): Promise<void> => {
      const what: Remember[] = latest.map((each) => ({ ...each, club, member, memberName: member.replace('member-', 'Member '), truck }));
      for (const one of what.slice(0, 1)) await archive.remember(one);
    };
    for (let member = 0; member < MEMBERS; member += 1)
      for (let truck = 0; truck < TRUCKS; truck += 1) await remember(BIG, `member-${member}`, `Truck ${truck}`);
    const write = loader(database, like);
    const load = (club: string, from: number, to: number): void => {
      database.exec('pragma synchronous = off');
      write(club, from, to);
      database.exec('pragma synchronous = full');
    };
    for (let club = 0; club < CLUBS; club += 1) {
      await remember(small(club), 'member-0', 'Truck 0');
      load(small(club), 1, IN_EACH);
    }
    const [{ id: club }] = database.prepare('select id from club where platform_id = ?').all([BIG]) as [{ id: number }];
    const stageOf = (setups: number): Stage => ({
      archive,
      commands,
      database,
      club,
      setups,
      draw: (turn, below) => Math.floor(numbers(turn + setups)() * below),
    });
    // The first is the archive's own.
    load(BIG, 2, FEW);
    const few = await measure(stageOf(FEW));
    const saved = (database.prepare('select setups from club where id = ?').all([club]) as [{ setups: number }])[0].setups;
    // In parts: a log as long as all of it would have to be written a second time at the end.
    for (let at = saved + 1; at <= MANY; at += 5_000) load(BIG, at, Math.min(at + 4_999, MANY));
    const loaded = performance.now() - from;
    const many = await measure(stageOf(MANY));

    console.log();
    row('A club’s archive (SQLite), setups in the club', '1,000', '100,000', 'growth', 'bare SQL', 'ours/bare');
    for (const [name, { ours, bare }] of many) {
      const before = few.get(name)!.ours;
      row(
        `  ${name}`,
        `${figure(before)} ms`,
        `${figure(ours)} ms`,
        `${figure(ours / before)}×`,
        `${figure(bare)} ms`,
        `${figure(ours / bare)}×`,
      );
    }
    const verified = await timed(async () => {
      const result = await archive.verify({ club: BIG });
      if (!result.ok) throw new Error(result.text);
    });
    row('  every hash of the large club again', '', `${figure(verified)} ms`);
    row(
      `  ${CLUBS.toLocaleString('en-GB')} clubs beside it, one file`,
      '',
      `${figure(statSync(file).size / 1e6)} MB`,
      '',
      `${figure(loaded / 1000)} s`,
      'to load',
    );
  } finally {
    database.close();
    await archive.close();
    rmSync(folder, { recursive: true, force: true });
  }
}
