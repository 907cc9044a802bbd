/**
 * The table of rights, tried as somebody would: each act through lines that a member types, in whatever face. What came of it is read off what
 * they heard and off the club's log, so every face is held to the same.
 */
import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, describe, expect, it, onTestFinished } from 'vitest';
import { handed } from '../../bot/commands/handed.ts';
import { makeCommands, messageFrom } from '../../bot/commands/index.ts';
import type { Asker, HandedFile } from '../../bot/commands/types.ts';
import { type Archive, type LogRow, openArchive } from '../../worksheets/archive/archive.ts';
import { type Act, allOf, may, RIGHTS, STANDINGS, type Standing } from '../../worksheets/archive/rights.ts';
import { loadFormulas, loadSheets } from '../../worksheets/engine/library.ts';
import type { Sheet } from '../../worksheets/engine/notation.ts';

export type Cast = Readonly<Record<Standing, Asker>>;

const saltpan = { club: '1180000000000000100', clubName: 'Saltpan Desert Club' };
const dryLake = { club: '1180000000000000200', clubName: 'Dry Lake Club' };
export const CAST: Cast = {
  owner: { ...saltpan, member: '1180000000000000001', memberName: 'Ines' },
  'to whom': { ...saltpan, member: '1180000000000000004', memberName: 'Omar' },
  officer: { ...saltpan, member: '1180000000000000003', memberName: 'Priya' },
  member: { ...saltpan, member: '1180000000000000002', memberName: 'Tomasz' },
  'other club': { ...dryLake, member: '1180000000000000009', memberName: 'Cyd' },
};

/** Whoever sits at the terminal or the bench. */
export const LOCAL: Asker = { club: 'saltpan', clubName: 'Saltpan Desert Club', member: 'local', memberName: 'Noor' };

/** Of a face with one member: that member takes each place in turn, and the others stay what they are, in the club that is looked at. */
export function castWith(local: Asker, standing: Standing): Cast {
  const club = standing === 'other club' ? dryLake : { club: local.club, clubName: local.clubName! };
  const others = Object.fromEntries(STANDINGS.map((one) => [one, { ...CAST[one], ...(one === 'other club' ? dryLake : club) }]));
  return { ...(others as Record<Standing, Asker>), [standing]: local };
}

export interface Scene {
  readonly cast: Cast;
  readonly code: string;
  /** The open setup as a file, and a picture to hand in. */
  readonly file: HandedFile;
  readonly picture: HandedFile;
}

/** What somebody hears: words, and what stands in a file that comes along. */
export type Say = (line: string, who: Asker, file?: HandedFile) => Promise<string>;

interface Try {
  readonly line: string;
  readonly file?: HandedFile;
  /** A word that only who may see it hears. */
  readonly hears?: string;
  /** The line of the log that is there when it was done. `here`: in the club that it is about, and not in the asker's other one. */
  readonly logs?: Logs;
  /** The owner is gone when it was done. */
  readonly leaves?: true;
  /** Who may not do it to the owner's does it to something of their own instead. */
  readonly theirOwn?: true;
}
type Logs = (row: LogRow, here: boolean) => boolean;

const TRUCK = 'Sandhopper';
const inLog =
  (act: string, more: (row: LogRow) => boolean = () => true): Logs =>
  (row, here) =>
    here && row.act === act && more(row);
const ofSetup = (act: string, setup = 1): Logs => inLog(act, ({ detail }) => detail.setup === setup);
/** The truck is the owner's, by its row: others may have one of that name. */
const ofTruck = (act: string): Logs => inLog(act, ({ detail }) => detail.truck === 1);
const ofThing = (act: string, name: string, more: (row: LogRow) => boolean = () => true): Logs =>
  inLog(act, (row) => row.told.thing?.is.name === name && more(row));

const theirOwn = (tries: readonly Try[]): readonly Try[] => tries.map((one) => ({ ...one, theirOwn: true }));

/** Every act in lines. All of the lines of an act are done, or none. */
const TRIED: Readonly<Record<Act, (scene: Scene, standing: Standing) => readonly Try[]>> = {
  'see setup': () => [
    ...['setup show 1', 'setup show Open rev:1', 'setup history 1', 'setup find open', 'setup compare 1 1'].map((line) => ({
      line,
      hears: TRUCK,
    })),
    { line: 'setup export 1', hears: 'setup-1-rev' },
    { line: 'setup picture 1', hears: '1 picture' },
  ],
  'see private setup': () => [
    ...['setup show Secret', 'setup show 2', 'setup history Secret', 'setup find secret', 'setup compare 2 2'].map((line) => ({
      line,
      hears: TRUCK,
    })),
    { line: 'setup find', hears: 'Secret' },
    { line: 'setup export 2', hears: 'setup-2-rev' },
    { line: 'setup picture 2', hears: 'revision 1' },
  ],
  'copy setup': () => [
    { line: 'setup copy Open truck:Own', logs: ofSetup('setup copied') },
    { line: 'setup copy 1 truck:Own rev:1', logs: ofSetup('setup copied') },
  ],
  'copy private setup': () => [
    { line: 'setup copy Secret truck:Own', logs: ofSetup('setup copied', 2) },
    { line: 'setup copy 2 truck:Own', logs: ofSetup('setup copied', 2) },
  ],
  'change setup': ({ picture }, standing) => [
    // Under the same name, of the truck that they have.
    { line: `setup save Open truck:${standing === 'owner' ? TRUCK : 'Own'}`, logs: ofSetup('setup'), theirOwn: true },
    { line: 'setup picture 1 remove:1', logs: ofSetup('setup') },
    { line: 'setup picture 1', file: picture, logs: ofSetup('setup') },
    { line: 'setup restore 1 rev:1', logs: ofSetup('setup') },
    { line: 'setup private 1 private:yes', logs: ofSetup('setup made private') },
    { line: 'setup private 1 private:no', logs: ofSetup('setup opened') },
  ],
  'share setup': () => [
    { line: 'setup share 1', logs: ofSetup('setup shared') },
    { line: 'setup share 1 named:yes', logs: ofSetup('setup shared') },
  ],
  'end sharing': () => [{ line: 'setup unshare 1', logs: ofSetup('setup sharing ended') }],
  'see by code': ({ code }) => [
    { line: `setup show code:${code}`, hears: TRUCK },
    { line: `setup copy code:${code} truck:Own`, logs: ({ act }) => act === 'setup copied' },
    { line: `setup picture code:${code}`, hears: '1 picture' },
  ],
  'remove setup': () => [{ line: 'setup remove 1 sure:yes', logs: ofSetup('setup gone') }],
  'import setup': ({ file }) => [{ line: 'setup import truck:Own', file, logs: inLog('setup') }],
  'see truck': ({ cast }) => {
    const of = `of:${cast.owner.memberName}`;
    return [
      { line: `truck show ${TRUCK} ${of}`, hears: '640 g' },
      { line: `truck show ${TRUCK} ${of} fact:pinion`, hears: '16 teeth' },
      { line: `truck parts do:list truck:${TRUCK} ${of}`, hears: 'battery' },
      { line: `truck list ${of}`, hears: '2 parts' },
    ];
  },
  'change truck': () =>
    theirOwn([
      { line: `corners 644 633 868 861 truck:${TRUCK}`, logs: ofTruck('answer') },
      { line: `keep truck:${TRUCK}`, logs: ofTruck('facts kept') },
      { line: `truck set pinion:17 front_left:630 truck:${TRUCK}`, logs: ofTruck('facts set') },
      { line: `truck refresh truck:${TRUCK}`, logs: ofTruck('answer renewed') },
      { line: `truck forget pinion truck:${TRUCK}`, logs: ofTruck('fact forgotten') },
      { line: `truck parts do:change name:battery mass:305 truck:${TRUCK}`, logs: ofTruck('part') },
      { line: `truck parts do:remove name:battery truck:${TRUCK}`, logs: ofTruck('part removed') },
    ]),
  // The owner's own setups are in the way of its end until they are gone.
  'rename truck': () => [
    { line: `truck rename ${TRUCK} as:Hopper`, logs: ofTruck('truck renamed') },
    { line: `truck rename Hopper as:${TRUCK}`, logs: ofTruck('truck renamed') },
    { line: 'setup remove 1 sure:yes', logs: ofSetup('setup gone') },
    { line: 'setup remove 2 sure:yes', logs: ofSetup('setup gone', 2) },
    { line: `truck remove ${TRUCK} sure:yes`, logs: ofTruck('truck removed') },
  ],
  'hand over truck': ({ cast }) => [
    { line: `truck give ${TRUCK} to:${cast.member.memberName}`, logs: ofTruck('truck offered') },
    { line: `truck give ${TRUCK} to:${cast.owner.memberName}`, logs: ofTruck('truck offer withdrawn') },
  ],
  'take truck': () => [{ line: `truck take ${TRUCK}`, logs: ofTruck('truck taken') }],
  'see runs': ({ cast }) => [{ line: `run list ${TRUCK} of:${cast.owner.memberName}`, hears: 'bucked' }],
  'change runs': () =>
    theirOwn([
      { line: `run add 4 min, calm truck:${TRUCK}`, logs: ofTruck('run') },
      { line: `run remove 1 truck:${TRUCK}`, logs: ofTruck('run removed') },
    ]),
  'see things': () => [
    { line: 'box list', hears: 'Blue' },
    { line: 'scale list', hears: 'reads 0.4 % high' },
    { line: 'track list', hears: 'Salt loop' },
    { line: 'corners 612@2 605@2 901@2 896@2 truck:Own', logs: ({ act }) => act === 'answer' },
  ],
  'add thing': () => [{ line: 'box add kind:spring name:Amber 0.5', logs: ofThing('thing', 'Amber 0.5') }],
  'change club thing': () => [
    { line: 'scale add 2 known:500 reads:501', logs: ofThing('thing', '2') },
    { line: 'track add Salt loop surface:sand', logs: ofThing('thing', 'Salt loop') },
    { line: 'scale remove 2', logs: ofThing('thing removed', '2') },
    { line: 'track remove Salt loop', logs: ofThing('thing removed', 'Salt loop') },
  ],
  'lend thing': ({ cast }) => [
    {
      line: `box lend Green to:${cast.member.memberName}`,
      logs: ofThing('thing', 'Green 0.3', ({ told }) => told.thing!.is.lentTo !== null),
    },
  ],
  'return thing': () => [{ line: 'box return Blue', logs: ofThing('thing', 'Blue 0.45', ({ told }) => told.thing!.is.lentTo === null) }],
  'remove thing': () => [{ line: 'box remove Green', logs: ofThing('thing removed', 'Green 0.3') }],
  // Everybody may, with their own.
  'take my things': () => [
    { line: 'mine export', hears: '1 truck, 2 setups' },
    { line: 'mine delete word:forget me', leaves: true, theirOwn: true },
  ],
  'see officers': ({ cast }) => [{ line: 'club officers', hears: cast.officer.memberName }],
  'name officers': ({ cast }) => [
    { line: `club officer add:${cast.member.memberName}`, logs: inLog('officer named') },
    { line: `club officer remove:${cast.member.memberName}`, logs: inLog('officer ended') },
  ],
  'see log': () => [{ line: 'club log', hears: 'bucked' }],
};

// ── the scene ───────────────────────────────────────────────────────────────────────────────────────────────────────────────────

let shelf: Promise<ReadonlyMap<string, Sheet>> | undefined;
export const shelfOfTests = (): Promise<ReadonlyMap<string, Sheet>> => {
  shelf ??= loadFormulas().then((formulas) => loadSheets(formulas));
  return shelf;
};

/** Fills an archive, through the commands themselves: the owner's truck, setups, runs and things; the others with a truck of their own. */
async function furnish(archive: Archive, clock: () => number, cast: Cast): Promise<Scene> {
  const sheets = await shelfOfTests();
  const commands = makeCommands({ sheets, archive, cards: null, clock, zone: 'Europe/Lisbon', theme: 'dark', log: () => {} }, 'terminal');
  const answer = async (line: string, asker: Asker, file?: HandedFile) => {
    const read = messageFrom(line, sheets, commands.specs);
    if ('problems' in read) return expect.fail(`${line}: ${read.problems[0]!.text}`);
    const reply = await commands.answer({ ...read.message, asker, ...(file ? { files: { file } } : {}) });
    return reply.kind === 'problems' ? expect.fail(`${line}: ${reply.text}`) : reply;
  };
  const pixels = (red: number) =>
    sharp({ create: { width: 40, height: 30, channels: 3, background: { r: red, g: 90, b: 60 } } })
      .png()
      .toBuffer();
  const { owner } = cast;
  await answer(`corners 612 605 901 896 truck:${TRUCK}`, owner);
  for (const standing of STANDINGS) if (standing !== 'owner') await answer('corners 700 701 800 801 truck:Own', cast[standing]);
  await answer(`setup save Open truck:${TRUCK}`, owner);
  await answer(`setup save Secret truck:${TRUCK} private:yes`, owner);
  await answer(`corners 640 633 868 861 truck:${TRUCK}`, owner);
  await answer(`setup save Open truck:${TRUCK}`, owner);
  await answer('setup picture Open', owner, handed('pit.png', 'image/png', await pixels(180)));
  await answer(`truck set pinion:16 truck:${TRUCK}`, owner);
  await answer(`truck parts add battery 312 truck:${TRUCK}`, owner);
  await answer(`truck parts add servo 62 truck:${TRUCK}`, owner);
  await answer(`run add 5 min, bucked truck:${TRUCK}`, owner);
  for (const line of ['box add spring Blue 0.45', 'box add spring Green 0.3', 'scale add 2 known:500 reads:502', 'track add Salt loop'])
    await answer(line, owner);
  await answer(`box lend Blue to:${cast['to whom'].memberName}`, owner);
  await answer(`truck give ${TRUCK} to:${cast['to whom'].memberName}`, owner);
  const name = (who: Asker) =>
    archive.nameOfficer({ club: who.club, member: 'keeper', appointed: true, name: who.memberName, officer: true });
  await name(cast.officer);
  await name(cast['other club']);
  const shared = await archive.shareSetup({ club: owner.club, id: 1, member: owner.member, named: false });
  const exported = await answer('setup export Open', owner);
  return {
    cast,
    code: shared.kind === 'shared' ? shared.code : expect.fail('no code'),
    file: handed('open.json', 'application/json', new TextEncoder().encode(exported.file!.text)),
    picture: handed('more.png', 'image/png', await pixels(30)),
  };
}

/** Everything of the owner, as it can be seen, as one text. */
async function everythingOf(archive: Archive, { owner }: Cast): Promise<string> {
  const { club, member } = owner;
  const truck = await archive.truckBook({ club, member, truck: TRUCK });
  return JSON.stringify([
    truck.kind === 'truck' ? { ...truck, facts: [...truck.facts.values()] } : truck,
    await archive.runs({ club, member, truck: TRUCK }),
    await archive.showSetup({ club, id: 1, member }),
    await archive.showSetup({ club, id: 2, member }),
    await archive.things({ club }),
    await archive.officers({ club }),
  ]);
}

/** What of the owner stays whoever else leaves: what they had borrowed is back with its owner then, and who was an officer is none. */
async function whatStaysOf(archive: Archive, { owner }: Cast): Promise<string> {
  const { club, member } = owner;
  const mine = await archive.exportMine({ club, member });
  return JSON.stringify('trucks' in mine ? [mine.member, mine.trucks, Object.keys(mine.pictures), mine.log] : mine);
}

export interface Stage {
  /** Stands for the archive of the scene that is played: a face is made with it once. */
  readonly archive: Archive;
  readonly clock: () => number;
}

export interface Face {
  /** Who stands where, when it is tried as this. */
  readonly castFor: (standing: Standing) => Cast;
  /** What this face is tried for; left out: every act of the table. */
  readonly acts?: readonly Act[];
  /** Starts the face over the stage; called once. */
  readonly open: (stage: Stage) => Promise<{ readonly say: Say; stop(): Promise<void> }>;
}

/** Tries every cell of the table through a face. */
export function everyCell(face: string, { castFor, open, acts = Object.keys(RIGHTS) as Act[] }: Face): void {
  describe(`who may do what, ${face}`, () => {
    const folder = mkdtempSync(join(tmpdir(), 'rights-'));
    let now = Date.UTC(2026, 5, 14, 9);
    const clock = (): number => {
      now += 1000;
      return now;
    };
    let played: { readonly archive: Archive; readonly file: string; readonly from: string } | undefined;
    const stage: Stage = {
      clock,
      archive: new Proxy({} as Archive, {
        get: (_, name: keyof Archive) => {
          const { archive } = played ?? expect.fail('nothing is played yet');
          return archive[name];
        },
      }),
    };
    const scenes = new Map<string, { readonly scene: Scene; readonly file: string }>();
    let running: { readonly say: Say; stop(): Promise<void> } | undefined;
    let count = 0;

    /** A scene of which nothing has been touched: a copy of the file in which it was made. */
    async function play(cast: Cast): Promise<Scene> {
      const key = JSON.stringify(cast);
      let made = scenes.get(key);
      if (!made) {
        const file = join(folder, `scene-${scenes.size}.sqlite`);
        const archive = await openArchive({ file, create: true, clock });
        const scene = await furnish(archive, clock, cast);
        await archive.close();
        made = { scene, file };
        scenes.set(key, made);
      }
      if (played?.from !== made.file) {
        await played?.archive.close();
        count += 1;
        const file = join(folder, `played-${count}.sqlite`);
        copyFileSync(made.file, file);
        played = { archive: await openArchive({ file, clock }), file, from: made.file };
      }
      return made.scene;
    }
    const touched = async (): Promise<void> => {
      await played?.archive.close();
      played = undefined;
    };

    afterAll(async () => {
      await running?.stop();
      await played?.archive.close();
      rmSync(folder, { recursive: true, force: true });
    });

    const changesOf = async ({ owner }: Cast) => stage.archive.verify({ club: owner.club });
    const logOf = async (club: string): Promise<readonly LogRow[]> => {
      const log = await stage.archive.clubLog({ club, member: 'keeper', appointed: true, limit: 50 });
      return log.kind === 'log' ? log.rows : expect.fail('no log');
    };

    for (const standing of STANDINGS)
      for (const act of acts)
        it(`${standing}, ${RIGHTS[act].what}: ${may(act, allOf(standing)) ? 'yes' : 'no'}`, async () => {
          const cast = castFor(standing);
          const scene = await play(cast);
          running ??= await open(stage);
          const who = cast[standing];
          const clubs = [...new Set([cast.owner.club, who.club])];
          const tries = TRIED[act](scene, standing);
          const seen = tries.some(({ leaves }) => leaves) ? whatStaysOf : everythingOf;
          const [before, was] = [await changesOf(cast), await seen(stage.archive, cast)];
          const allowed = may(act, allOf(standing));
          // A scene in which something was done, or went wrong, is not played again.
          let whole = false;
          onTestFinished(() => (whole ? undefined : touched()));
          let changed = false;
          for (const { line, file, hears, logs, leaves, theirOwn } of tries) {
            const last = new Map<string, number>();
            for (const club of clubs) last.set(club, (await logOf(club))[0]?.change ?? 0);
            const heard = await running.say(line, who, file);
            const rows: { readonly row: LogRow; readonly here: boolean }[] = [];
            for (const club of clubs)
              for (const row of await logOf(club)) if (row.change > last.get(club)!) rows.push({ row, here: club === cast.owner.club });
            const done = leaves
              ? (await stage.archive.exportMine(cast.owner)).kind === 'problems'
              : hears === undefined
                ? rows.some(({ row, here }) => logs!(row, here))
                : heard.includes(hears);
            expect(line).not.toContain(hears ?? '\0');
            expect(done, `${who.memberName}: ${line}\n${heard}`).toBe(allowed);
            changed ||= rows.length > 0;
            if (!allowed && !theirOwn)
              expect(
                rows.filter(({ here }) => here),
                `${line} was refused`,
              ).toEqual([]);
            // They have done it, and not heard a refusal: so it is the right that keeps the owner's apart, and no slip in the line.
            if (!allowed && leaves) expect(heard).toMatch(/^.*Gone: 1 truck/ms);
            if (hears !== undefined) expect(rows, `${line} is only a look`).toEqual([]);
          }
          // What was refused has left no trace: nothing of the owner's is another, and where nobody does it to something of their own, the club's
          // log has not grown.
          if (!allowed) expect(await seen(stage.archive, cast)).toBe(was);
          if (!allowed && !tries.some(({ theirOwn }) => theirOwn)) expect(await changesOf(cast)).toEqual(before);
          whole = !changed;
        });
  });
}
