import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Archive, PutThing, Run, RunLine, Runs, Thing } from '../../../worksheets/archive/archive.ts';
import type { Problems } from '../../../worksheets/engine/types.ts';
import type { Place } from './conformance.ts';
import { ADA, BEN, CLUB, corners, grams } from './example.ts';

/** What every archive has to do for the club's things and the trucks' runs. */
export function thingsConformance(name: string, makePlace: () => Promise<Place>): void {
  describe(`things and runs on ${name}`, () => {
    let place: Place;
    let archive: Archive;
    let now: number;
    const CLEO = { ...BEN, member: '77', memberName: 'Cleo' };

    beforeEach(async () => {
      now = Date.UTC(2026, 5, 14, 9, 0);
      place = await makePlace();
      archive = await place.open(() => now);
    });
    afterEach(async () => {
      await archive.close();
      await place.end();
    });

    const texts = (result: { kind: string }): string[] => {
      expect(result.kind).toBe('problems');
      return (result as Problems).problems.map(({ text }) => text);
    };

    describe('the club’s things', () => {
      const BLUE: PutThing = {
        kind: 'spring',
        name: 'Blue 0.45',
        typed: '0.4478 N/mm ± 0.01',
        value: 447.8,
        uncertainty: 10 / Math.sqrt(3),
      };
      const put = (thing: PutThing, who = ADA) => archive.putThing({ ...who, thing });
      const named = async (kinds?: readonly Thing['kind'][], club = CLUB): Promise<string[]> =>
        (await archive.things({ club, ...(kinds ? { kinds } : {}) })).map((one) => one.name);

      it('keeps what lies in the box with its measured value, whose it is, and since when', async () => {
        expect(await put({ ...BLUE, note: 'long ones' })).toMatchObject({ kind: 'thing', was: null });
        expect(await archive.things({ club: CLUB })).toEqual([
          {
            ...BLUE,
            how: 'measured',
            scale: null,
            surface: '',
            note: 'long ones',
            owner: { id: ADA.member, name: 'Ada' },
            lent: null,
            by: { id: ADA.member, name: 'Ada' },
            at: now,
          },
        ]);
      });

      it('keeps scales with gain and step, and tracks with surface and spacing; they are the club’s', async () => {
        const scale = { known: 0.5, reads: 0.502, gain: 1.004, step: 0.001 };
        await put({ kind: 'scale', name: '2', scale });
        await put({ kind: 'track', name: 'Salt flat', typed: '2.4 m', value: 2.4, uncertainty: null, surface: 'hard salt' });
        const [two, flat] = await archive.things({ club: CLUB });
        expect(two).toMatchObject({ kind: 'scale', name: '2', scale, owner: null });
        expect(flat).toMatchObject({ kind: 'track', name: 'Salt flat', typed: '2.4 m', value: 2.4, surface: 'hard salt', owner: null });
      });

      it('lets anybody check a scale again, which says what it was', async () => {
        await put({ kind: 'scale', name: '2', scale: { known: 0.5, reads: 0.502, gain: 1.004, step: 0.001 }, note: 'green' });
        now += 1000;
        const again = await put({ kind: 'scale', name: '2', scale: { known: 1, reads: 1, gain: 1, step: 0.001 } }, BEN);
        expect(again).toMatchObject({ thing: { scale: { gain: 1 }, note: 'green', by: { name: 'Ben' } }, was: { scale: { gain: 1.004 } } });
        expect(await archive.things({ club: CLUB })).toHaveLength(1);
      });

      it('lists by kind and name, of one club, and only the kinds that are wanted', async () => {
        await put({ ...BLUE, name: 'Yellow' });
        await put(BLUE);
        await put({ kind: 'oil', name: 'Oil 30', typed: '350', value: 350e-6 });
        await archive.putThing({ ...ADA, club: 'dry-lake-club', thing: { ...BLUE, name: 'Theirs' } });
        expect(await named()).toEqual(['Oil 30', 'Blue 0.45', 'Yellow']);
        expect(await named(['spring'])).toEqual(['Blue 0.45', 'Yellow']);
        expect(await named(undefined, 'never-seen')).toEqual([]);
      });

      it('knows one spring of a name, whoever owns it, forgiving of capitals', async () => {
        await put(BLUE);
        expect(texts(await put({ ...BLUE, name: 'BLUE 0.45' }, BEN))).toEqual([
          'The box has a spring "Blue 0.45" already, Ada’s. Give it another name.',
        ]);
        expect(await put({ kind: 'ballast', name: 'Blue 0.45', typed: '20', value: 0.02 }, BEN)).toMatchObject({ kind: 'thing' });
        expect(texts(await put({ ...BLUE, name: '\u200b' }))).toEqual(['Name is missing. Give 1 to 60 characters.']);
      });

      it('is lent by its owner to whoever, and comes back by word of either', async () => {
        await archive.remember(corners(BEN, 'Mudlark'));
        await put(BLUE);
        now += 1000;
        const lent = await archive.lendThing({ ...ADA, name: 'blue', to: '@ben' });
        expect(lent).toMatchObject({ thing: { lent: { to: 'Ben', member: { id: BEN.member, name: 'Ben' }, at: now } } });
        expect(texts(await archive.lendThing({ ...ADA, name: 'Blue 0.45', to: 'Cleo' }))).toEqual([
          '"Blue 0.45" is lent to Ben. Say first that it is back: box return Blue 0.45.',
        ]);
        expect(texts(await archive.lendThing({ ...CLEO, name: 'Blue 0.45', to: null }))).toEqual([
          '"Blue 0.45" is not yours. It is Ada’s.',
        ]);
        expect(await archive.lendThing({ ...BEN, name: 'Blue 0.45', to: null })).toMatchObject({
          thing: { lent: null },
          was: { lent: { to: 'Ben' } },
        });
        expect(texts(await archive.lendThing({ ...ADA, name: 'Blue 0.45', to: null }))).toEqual([
          '"Blue 0.45" is lent to nobody. It lies in the box.',
        ]);
        expect(await archive.lendThing({ ...ADA, name: 'Blue 0.45', to: 'the lad of the blue van' })).toMatchObject({
          thing: { lent: { to: 'the lad of the blue van', member: null } },
        });
      });

      it('is lent and taken out by nobody but its owner', async () => {
        await put(BLUE);
        expect(texts(await archive.lendThing({ ...BEN, name: 'Blue 0.45', to: 'Cleo' }))).toEqual([
          '"Blue 0.45" is not yours. It is Ada’s.',
        ]);
        expect(texts(await archive.removeThing({ ...BEN, kinds: ['spring'], name: 'Blue 0.45' }))).toHaveLength(1);
        expect(await archive.removeThing({ ...ADA, kinds: ['spring'], name: 'blue 0.45' })).toMatchObject({ kind: 'thing' });
        expect(await named()).toEqual([]);
        expect(await put(BLUE, BEN)).toMatchObject({ kind: 'thing', was: null });
      });

      it('asks back for a name that could be several, or is none', async () => {
        await put(BLUE);
        await put({ ...BLUE, name: 'Blue 0.50' });
        const remove = (thing: string) => archive.removeThing({ ...ADA, kinds: ['spring'], name: thing });
        expect(texts(await remove('Blue'))).toEqual([
          '"Blue" could be 2 things. Give one of them: Blue 0.45 (spring), Blue 0.50 (spring).',
        ]);
        expect(texts(await remove('Bleu 0.45'))).toEqual(['The club has no "Bleu 0.45". There is "Blue 0.45".']);
        expect(texts(await remove(''))).toEqual(['The club has no "". There is "Blue 0.45", "Blue 0.50".']);
        expect(await named()).toHaveLength(2);
      });

      it('keeps every row that was written, and the log of who wrote it', async () => {
        await put(BLUE);
        await archive.lendThing({ ...ADA, name: 'Blue 0.45', to: 'Cleo' });
        await expect(place.raw("update thing set name = 'Red'")).rejects.toThrow('never changed');
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      });
    });

    describe('the runs of a truck', () => {
      const sandhopper = { ...ADA, truck: 'Sandhopper' };
      const LINE: RunLine = {
        minutes: 5,
        temperatures: { motor: 345.15 },
        laps: [24.1, 24.3],
        changes: ['front spring 0.45'],
        felt: 'bucked in the whoops',
      };
      const add = (line: Partial<RunLine> = {}, of = sandhopper) =>
        archive.addRun({ ...of, typed: '5 min, bucked in the whoops, motor 72', run: { ...LINE, ...line }, track: null });
      const runs = async (limit?: number): Promise<Runs> => {
        const found = await archive.runs({ ...sandhopper, ...(limit === undefined ? {} : { limit }) });
        expect(found).toMatchObject({ kind: 'runs' });
        return found as Runs;
      };

      it('keeps the line as typed, what was understood of it, and the truck as it was', async () => {
        await archive.setFacts({ ...sandhopper, how: 'measured', readings: [grams('pack_mass', 292)] });
        await archive.putPart({ ...sandhopper, must: 'be new', part: { name: 'Lead', typed: '60', mass: 0.06 } });
        const { run, before } = (await archive.addRun({ ...sandhopper, typed: ' 5 min, motor 72 ', run: LINE, track: 'Salt flat' })) as {
          run: Run;
          before: Run | null;
        };
        expect(before).toBeNull();
        expect(run).toMatchObject({
          ...LINE,
          number: 1,
          typed: '5 min, motor 72',
          track: 'Salt flat',
          by: { id: ADA.member, name: 'Ada' },
          at: now,
        });
        expect(run.facts.get('pack_mass')).toMatchObject({ typed: '292 g' });
        expect(run.parts.map((part) => part.name)).toEqual(['Lead']);
      });

      it('hangs each run on the truck as it was then, whatever is changed, forgotten or given later', async () => {
        await archive.setFacts({ ...sandhopper, how: 'measured', readings: [grams('pack_mass', 292)] });
        await archive.remember({ ...corners(ADA, 'Sandhopper'), readings: [grams('front_left', 612)] });
        await archive.putPart({ ...sandhopper, must: 'be new', part: { name: 'Lead', typed: '60', mass: 0.06 } });
        await add();
        now += 24 * 3_600_000;
        await archive.setFacts({ ...sandhopper, how: 'measured', readings: [grams('pack_mass', 385)] });
        await archive.removePart({ ...sandhopper, name: 'Lead' });
        await add({ felt: 'calm' });
        await archive.forgetFact({ ...sandhopper, fact: 'pack_mass' });
        const [first, second] = (await runs()).runs;
        expect([...first!.facts].map(([fact, { typed }]) => [fact, typed])).toEqual([
          ['front_left', '612 g'],
          ['pack_mass', '292 g'],
        ]);
        expect(first!.parts).toHaveLength(1);
        expect([...second!.facts].map(([fact, { typed }]) => [fact, typed])).toEqual([['pack_mass', '385 g']]);
        expect(second!.parts).toEqual([]);
      });

      it('hands out the one before, numbers them, and shows the last ones, oldest first', async () => {
        for (let i = 1; i <= 4; i += 1) await add({ felt: `run ${i}` });
        expect(await add({ felt: 'last' })).toMatchObject({ run: { number: 5 }, before: { number: 4, felt: 'run 4' } });
        expect((await runs(2)).runs.map(({ number, felt }) => [number, felt])).toEqual([
          [4, 'run 4'],
          [5, 'last'],
        ]);
        expect((await runs(2)).earlier).toBe(3);
      });

      it('takes a slip out, and gives its number to no other run', async () => {
        await add();
        await add();
        expect(await archive.removeRun({ ...sandhopper, number: 2 })).toMatchObject({ kind: 'run removed', run: { number: 2 } });
        expect(texts(await archive.removeRun({ ...sandhopper, number: 2 }))).toEqual(['Sandhopper has no run 2. run list shows them.']);
        expect(await add()).toMatchObject({ run: { number: 3 }, before: { number: 1 } });
      });

      it('belongs to one truck of one member, for everybody to see', async () => {
        await add();
        await add({}, { ...BEN, truck: 'Sandhopper' });
        expect((await runs()).runs).toHaveLength(1);
        expect(texts(await archive.removeRun({ ...BEN, truck: 'Sandhopper', number: 7 }))).toHaveLength(1);
        expect(texts(await archive.runs({ club: CLUB, member: BEN.member, truck: 'Gully' }))).toEqual([
          'There is no truck "Gully" of yours. You have "Sandhopper".',
        ]);
      });

      it('is not begun with nothing said, and not changed afterwards', async () => {
        expect(texts(await archive.addRun({ ...sandhopper, typed: '  ', run: { ...LINE, felt: '' }, track: null }))).toEqual([
          'Run is missing. Say how it went: run add 5 min, bucked in the whoops, motor 72.',
        ]);
        expect(await archive.trucks(ADA)).toEqual([]);
        await add();
        await expect(place.raw("update run set felt = 'calm'")).rejects.toThrow('never changed');
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      });

      it('goes with the truck to whoever takes it', async () => {
        await add();
        await archive.remember(corners(BEN, 'Mudlark'));
        await archive.offerTruck({ ...sandhopper, to: 'Ben' });
        await archive.takeTruck({ ...BEN, truck: 'Sandhopper' });
        expect(await archive.runs({ club: CLUB, member: BEN.member, truck: 'Sandhopper' })).toMatchObject({
          runs: [{ number: 1, by: { name: 'Ada' } }],
        });
      });
    });
  });
}
