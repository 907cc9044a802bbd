import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Archive, Fact, How, Kept, TruckBook } from '../../../worksheets/archive/archive.ts';
import type { GivenReading } from '../../../worksheets/archive/types.ts';
import type { Problems } from '../../../worksheets/engine/types.ts';
import type { Place } from './conformance.ts';
import { ADA, BEN, CLUB, corners, grams, ride } from './example.ts';

const HOUR = 3_600_000;

/** What every archive has to do for a truck: what counts, what is kept, what it is made of, whose it is. */
export function truckConformance(name: string, makePlace: () => Promise<Place>): void {
  describe(`trucks on ${name}`, () => {
    let place: Place;
    let archive: Archive;
    let now: number;
    const sandhopper = { ...ADA, truck: 'Sandhopper' };
    const mudlark = { ...BEN, truck: 'Mudlark' };

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
    const kept = (result: Kept | Problems): Kept => {
      expect(result).toMatchObject({ kind: 'kept' });
      return result as Kept;
    };
    const fact = async (which: string, of = sandhopper): Promise<Fact | undefined> => (await archive.facts(of)).get(which);
    const book = async (of = sandhopper): Promise<TruckBook> => {
      const found = await archive.truckBook(of);
      expect(found).toMatchObject({ kind: 'truck' });
      return found as TruckBook;
    };
    const set = (readings: readonly GivenReading[], how: How = 'measured') => archive.setFacts({ ...sandhopper, how, readings });

    describe('what was just given', () => {
      it('counts for a conversation of twelve hours, and not a minute longer', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        now += 12 * HOUR;
        expect((await fact('front_left'))?.typed).toBe('612 g');
        now += 60_000;
        expect(await fact('front_left')).toBeUndefined();
      });

      it('counts before what was kept, says what stands back for it, and makes room again', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.keepFacts(sandhopper);
        now += HOUR;
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        expect(await fact('front_left')).toMatchObject({
          typed: '620 g',
          kept: false,
          at: now,
          beneath: { typed: '612 g', value: 0.612, how: 'measured', at: now - HOUR },
        });
        now += 13 * HOUR;
        expect(await fact('front_left')).toMatchObject({ typed: '612 g', kept: true, beneath: null });
      });

      it('is no news when it says what was kept', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.keepFacts(sandhopper);
        await archive.remember(corners(ADA, 'Sandhopper'));
        expect(await fact('front_left')).toMatchObject({ kept: true, beneath: null });
        const closer = { ...grams('front_left', 612), uncertainty: 1e-4 };
        await archive.remember({ ...corners(ADA, 'Sandhopper'), readings: [closer] });
        expect(await fact('front_left')).toMatchObject({ kept: false, uncertainty: 1e-4 });
      });

      it('takes what came last for the newest, even when the clock has been put back', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.keepFacts(sandhopper);
        now -= 5 * HOUR;
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        expect(await fact('front_left')).toMatchObject({ typed: '620 g', kept: false });
        await archive.keepFacts(sandhopper);
        expect(await fact('front_left')).toMatchObject({ typed: '620 g', kept: true, beneath: null });
      });

      it('keeps what a member called a thing, and what was understood of it', async () => {
        const said = { ...grams('front_left', 609.56), said: '612@2', note: 'scale 2 reads 0.4 % high', how: 'measured' as const };
        await archive.remember({ ...corners(ADA, 'Sandhopper'), readings: [said] });
        expect(await fact('front_left')).toMatchObject({ typed: '609.56 g', said: '612@2', note: 'scale 2 reads 0.4 % high' });
      });
    });

    describe('keeping', () => {
      it('makes what was just given count for ever, as old as it is, and by whom', async () => {
        const given = now;
        await archive.remember(corners(ADA, 'Sandhopper'));
        now += 2 * HOUR;
        const { truck, facts } = kept(await archive.keepFacts(sandhopper));
        expect(truck).toBe('Sandhopper');
        expect(facts.map(({ is, was }) => [is.fact, is.typed, was])).toEqual([
          ['front_left', '612 g', null],
          ['front_right', '605 g', null],
          ['rear_left', '901 g', null],
          ['rear_right', '896 g', null],
        ]);
        now += 400 * 24 * HOUR;
        expect(await fact('front_left')).toEqual({
          ...grams('front_left', 612),
          how: 'measured',
          at: given,
          by: { id: ADA.member, name: 'Ada' },
          sheet: 'corners',
          end: null,
          kept: true,
          beneath: null,
        });
      });

      it('says what it took the place of', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.keepFacts(sandhopper);
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        const [first] = kept(await archive.keepFacts({ ...sandhopper, how: 'assumed' })).facts;
        expect(first).toMatchObject({ is: { typed: '620 g', how: 'assumed', kept: true }, was: { typed: '612 g', how: 'measured' } });
      });

      it('takes only what is named, and leaves the rest just given', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        const { facts } = kept(await archive.keepFacts({ ...sandhopper, facts: ['Front-Left', 'rear left'] }));
        expect(facts.map(({ is }) => is.fact)).toEqual(['front_left', 'rear_left']);
        expect((await fact('front_right'))?.kept).toBe(false);
      });

      it('asks back for what was not given, and keeps nothing then', async () => {
        await archive.remember({ ...corners(ADA, 'Sandhopper'), readings: [grams('front_left', 612)] });
        expect(texts(await archive.keepFacts({ ...sandhopper, facts: ['front_left', 'wheelbase'] }))).toEqual([
          '"wheelbase" was not just given for Sandhopper. Just given: front_left.',
        ]);
        expect((await fact('front_left'))?.kept).toBe(false);
      });

      it('has nothing to do a second time, or a day later', async () => {
        const nothing = [
          'Nothing new was given for Sandhopper in the last 12 hours. Ask a sheet with it first, or say it: truck set wheelbase:330.',
        ];
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.keepFacts(sandhopper);
        expect(texts(await archive.keepFacts(sandhopper))).toEqual(nothing);
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        now += 24 * HOUR;
        expect(texts(await archive.keepFacts(sandhopper))).toEqual(nothing);
      });

      it('knows no truck that was never asked about, and names those there are', async () => {
        expect(texts(await archive.keepFacts(sandhopper))).toEqual([
          'There is no truck "Sandhopper" of yours. You have no truck here yet.',
        ]);
        await archive.remember(corners(ADA, 'Mudlark'));
        expect(texts(await archive.keepFacts(sandhopper))).toEqual(['There is no truck "Sandhopper" of yours. You have "Mudlark".']);
        expect(await archive.trucks(ADA)).toEqual(['Mudlark']);
      });

      it('happens once, however often the message arrives', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        const twice = async () => archive.once('i-1', CLUB, (records) => records.keepFacts(sandhopper));
        const [first, second] = [await twice(), await twice()];
        expect(second).toEqual({ result: first.result, repeated: true });
        expect(await archive.factHistory({ ...sandhopper, fact: 'front_left' })).toHaveLength(2);
      });
    });

    describe('telling the truck', () => {
      it('keeps at once, with how it is known, also of a truck that is new', async () => {
        const { facts } = kept(await set([grams('pack_mass', 292)], 'stated'));
        expect(facts).toMatchObject([{ is: { typed: '292 g', how: 'stated', kept: true, sheet: null, end: null }, was: null }]);
        now += 100 * HOUR;
        expect((await fact('pack_mass'))?.typed).toBe('292 g');
      });

      it('says what it took the place of, kept or just given', async () => {
        await set([grams('pack_mass', 292)], 'stated');
        await archive.remember({ ...corners(ADA, 'Sandhopper'), readings: [grams('pack_mass', 290)] });
        expect(kept(await set([grams('pack_mass', 295)])).facts).toMatchObject([
          { is: { typed: '295 g', kept: true }, was: { typed: '290 g' } },
        ]);
        expect(await fact('pack_mass')).toMatchObject({ typed: '295 g', beneath: null });
      });

      it('refuses what cannot be kept, and keeps none of it', async () => {
        const broken = { ...grams('pack_mass', 292), typed: '29\ud83d2' };
        expect(texts(await set([grams('wheelbase', 1), broken]))).toEqual([
          'Pack mass: "29\ufffd2" holds a broken character that cannot be kept. Type it again by hand.',
        ]);
        expect(await archive.trucks(ADA)).toEqual([]);
      });
    });

    describe('forgetting', () => {
      it('drops what was just given first, then what was kept, then there is nothing to drop', async () => {
        await set([grams('pack_mass', 292)]);
        await archive.remember({ ...corners(ADA, 'Sandhopper'), readings: [grams('pack_mass', 209)] });
        const forget = () => archive.forgetFact({ ...sandhopper, fact: 'Pack mass' });
        expect(await forget()).toMatchObject({
          kind: 'forgotten',
          fact: { typed: '209 g', kept: false },
          is: { typed: '292 g', kept: true },
        });
        expect(await forget()).toMatchObject({ kind: 'forgotten', fact: { typed: '292 g', kept: true }, is: null });
        expect(texts(await forget())).toEqual(['Nothing is known as "Pack mass" of Sandhopper. truck show lists what is known.']);
        await set([grams('pack_mass', 300)]);
        expect((await fact('pack_mass'))?.typed).toBe('300 g');
      });

      it('of a kept one brings back what was kept before, once, and only what was kept since it was last forgotten', async () => {
        const forget = async () => (await archive.forgetFact({ ...sandhopper, fact: 'pack_mass' })) as { is: Fact | null };
        await set([grams('pack_mass', 290)]);
        now += HOUR;
        await set([grams('pack_mass', 292)]);
        await set([grams('pack_mass', 292)]);
        now += HOUR;
        await set([grams('pack_mass', 2920)]);
        expect((await forget()).is).toMatchObject({ typed: '292 g', kept: true, at: now - HOUR });
        expect((await fact('pack_mass'))?.typed).toBe('292 g');
        expect((await forget()).is).toBeNull();
        await set([grams('pack_mass', 300)]);
        expect((await forget()).is).toBeNull();
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      });

      it('leaves what was said in the history', async () => {
        await set([grams('pack_mass', 292)]);
        now += HOUR;
        await set([grams('pack_mass', 295)], 'assumed');
        await archive.forgetFact({ ...sandhopper, fact: 'pack_mass' });
        expect(
          (await archive.factHistory({ ...sandhopper, fact: 'pack_mass' })).map(({ typed, how, gone, by }) => [typed, how, gone, by.name]),
        ).toEqual([
          // It counts again, with the day on which it was measured.
          ['292 g', 'measured', false, 'Ada'],
          ['295 g', 'assumed', true, 'Ada'],
          ['295 g', 'assumed', false, 'Ada'],
          ['292 g', 'measured', false, 'Ada'],
        ]);
      });

      it('cannot be done behind the back of the archive', async () => {
        await set([grams('pack_mass', 292)]);
        await archive.putPart({ ...sandhopper, must: 'be new', part: { name: 'Lead', typed: '60', mass: 0.06 } });
        await expect(place.raw("update reading set typed = '200 g'")).rejects.toThrow('never changed');
        await expect(place.raw('update part set mass = 0.05')).rejects.toThrow('never changed');
        expect((await fact('pack_mass'))?.typed).toBe('292 g');
      });
    });

    describe('the current truck', () => {
      it('is none until one is chosen, and may be a new one', async () => {
        expect(await archive.currentTruck(ADA)).toBeNull();
        expect(await archive.useTruck(sandhopper)).toEqual({ kind: 'using', truck: 'Sandhopper', isNew: true });
        expect(await archive.useTruck({ ...sandhopper, truck: 'SANDHOPPER ' })).toEqual({
          kind: 'using',
          truck: 'Sandhopper',
          isNew: false,
        });
        expect(await archive.currentTruck(ADA)).toBe('Sandhopper');
        expect(await archive.currentTruck(BEN)).toBeNull();
        await archive.useTruck({ ...sandhopper, truck: 'Mudlark' });
        expect(await archive.currentTruck(ADA)).toBe('Mudlark');
        expect(await archive.currentTruck({ ...ADA, club: 'dry-lake-club' })).toBeNull();
      });

      it('stands in the list of trucks, with what is known of each', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        now += HOUR;
        await archive.setFacts({ ...sandhopper, truck: 'Mudlark', how: 'stated', readings: [grams('pack_mass', 292)] });
        await archive.putPart({ ...sandhopper, truck: 'Mudlark', must: 'be new', part: { name: 'Lead', typed: '60', mass: 0.06 } });
        await archive.saveSetup({ ...sandhopper, name: 'Salt, dry' });
        await archive.useTruck(sandhopper);
        await archive.offerTruck({ ...sandhopper, truck: 'Mudlark', to: 'Ada' });
        expect(await archive.truckList(ADA)).toEqual({
          kind: 'trucks',
          member: { id: ADA.member, name: 'Ada' },
          trucks: [
            { truck: 'Mudlark', facts: 1, given: 0, parts: 1, setups: 0, at: now, current: false, offeredTo: null },
            { truck: 'Sandhopper', facts: 4, given: 4, parts: 0, setups: 1, at: now - HOUR, current: true, offeredTo: null },
          ],
          offered: [],
        });
        expect((await archive.truckList(BEN)).trucks).toEqual([]);
      });

      it('counts setups that are there for whoever looks: private ones for their owner alone, those that are gone for nobody', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.saveSetup({ ...sandhopper, name: 'Open' });
        await archive.saveSetup({ ...sandhopper, name: 'Mine', private: true });
        await archive.saveSetup({ ...sandhopper, name: 'Gone' });
        await archive.removeSetup({ ...ADA, name: 'Gone' });
        const counted = async (viewer?: string) =>
          (await archive.truckList({ ...ADA, ...(viewer === undefined ? {} : { viewer }) })).trucks[0]?.setups;
        expect([await counted(ADA.member), await counted(BEN.member), await counted()]).toEqual([2, 1, 1]);
      });
    });

    describe('looking at a truck', () => {
      it('shows all that is known, also of another member of the club', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.putPart({ ...sandhopper, must: 'be new', part: { name: 'Lead', typed: '60 g', mass: 0.06, place: 'off' } });
        const found = await book({ ...ADA, truck: 'sandHOPPER' });
        expect(found).toMatchObject({ truck: 'Sandhopper', member: { id: ADA.member, name: 'Ada' }, offeredTo: null });
        expect([...found.facts.keys()]).toEqual(['front_left', 'front_right', 'rear_left', 'rear_right']);
        expect(found.parts.map((part) => part.name)).toEqual(['Lead']);
        expect(found.latest.map(({ sheet }) => sheet)).toEqual(['corners']);
      });

      it('finds members by their name, a mention or an id', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.remember(corners(BEN, 'Mudlark'));
        for (const typed of ['Ben', 'ben', '@Ben', BEN.member, `<@${BEN.member}>`])
          expect(await archive.memberCalled({ club: CLUB, name: typed })).toEqual({ id: BEN.member, name: 'Ben' });
        const nobody = async (typed: string, club = CLUB) => texts((await archive.memberCalled({ club, name: typed })) as Problems);
        expect(await nobody('Bem')).toEqual(['No member of this club called "Bem" has asked anything here yet. There is "Ben".']);
        expect(await nobody('Zacharias')).toEqual([
          'No member of this club called "Zacharias" has asked anything here yet. There is "Ada", "Ben".',
        ]);
        expect(await nobody('Ben', 'dry-lake-club')).toHaveLength(1);
        await archive.remember(corners({ ...BEN, member: '77', memberName: 'ben' }, 'Gully'));
        expect(await nobody('BEN')).toEqual(['2 members are called "BEN". Name the member with @, or give the id.']);
      });

      it('knows who has asked something, by name, and nobody who has left', async () => {
        await archive.remember(corners(BEN, 'Mudlark'));
        await archive.remember(corners(ADA, 'Sandhopper'));
        expect(await archive.members({ club: CLUB })).toEqual([
          { id: ADA.member, name: 'Ada' },
          { id: BEN.member, name: 'Ben' },
        ]);
        await archive.deleteMine({ club: CLUB, member: BEN.member });
        expect(await archive.members({ club: CLUB })).toEqual([{ id: ADA.member, name: 'Ada' }]);
        expect(await archive.members({ club: 'never-seen' })).toEqual([]);
      });

      it('has each truck and each club apart', async () => {
        await set([grams('pack_mass', 292)]);
        await archive.setFacts({ ...sandhopper, truck: 'Mudlark', how: 'measured', readings: [grams('pack_mass', 385)] });
        await archive.setFacts({ ...sandhopper, club: 'dry-lake-club', how: 'measured', readings: [grams('pack_mass', 1)] });
        expect((await fact('pack_mass'))?.typed).toBe('292 g');
        expect((await fact('pack_mass', { ...sandhopper, truck: 'Mudlark' }))?.typed).toBe('385 g');
      });
    });

    describe('answers asked again', () => {
      it('take the place of the last ones and give no reading', async () => {
        await archive.remember(ride(ADA, 'Sandhopper', 'front', 610));
        const again = ride(ADA, 'Sandhopper', 'front', 640);
        now += HOUR;
        await archive.renewAnswers({ ...sandhopper, records: [again] });
        const [latest] = await archive.latest(sandhopper);
        expect(latest).toMatchObject({ sheet: 'ride', end: 'front', at: now, answer: again.answer });
        expect((await fact('front_corner_load'))?.typed).toBe('610 g');
        expect(await archive.factHistory({ ...sandhopper, fact: 'front_corner_load' })).toHaveLength(1);
      });
    });

    describe('its name, and its end', () => {
      beforeEach(async () => {
        await archive.remember(corners(ADA, 'Sandhoper'));
        await archive.keepFacts({ ...ADA, truck: 'Sandhoper' });
      });
      const wrong = { ...ADA, truck: 'Sandhoper' };

      it('another name takes all along, and setups are found by it', async () => {
        await archive.saveSetup({ ...wrong, name: 'Salt, dry' });
        await archive.useTruck(wrong);
        expect(await archive.renameTruck({ ...wrong, as: ' Sandhopper ' })).toEqual({
          kind: 'renamed',
          truck: 'Sandhopper',
          was: 'Sandhoper',
        });
        expect(await archive.trucks(ADA)).toEqual(['Sandhopper']);
        expect(await archive.currentTruck(ADA)).toBe('Sandhopper');
        expect((await fact('front_left'))?.typed).toBe('612 g');
        expect((await archive.findSetups({ club: CLUB, words: 'sandhopper' })).setups.map(({ truck }) => truck)).toEqual(['Sandhopper']);
        expect((await archive.findSetups({ club: CLUB, words: 'sandhoper' })).setups).toEqual([]);
        // What was saved is what was saved.
        expect(await archive.showSetup({ club: CLUB, id: 1 })).toMatchObject({ truck: 'Sandhopper', doc: { truck: 'Sandhoper' } });
        expect(await archive.renameTruck({ ...sandhopper, as: 'SandHopper' })).toMatchObject({ truck: 'SandHopper' });
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      });

      it('a name that is taken, or no name, changes nothing', async () => {
        await archive.remember(corners(ADA, 'Mudlark'));
        expect(texts(await archive.renameTruck({ ...wrong, as: 'mudlark' }))).toEqual([
          'You have a truck "Mudlark" already. Give it another name here: as:NAME.',
        ]);
        expect(texts(await archive.renameTruck({ ...wrong, as: '  ' }))).toHaveLength(1);
        expect(texts(await archive.renameTruck({ ...BEN, truck: 'Sandhoper', as: 'Mine' }))).toHaveLength(1);
        expect([...(await archive.trucks(ADA))].sort()).toEqual(['Mudlark', 'Sandhoper']);
      });

      it('it goes when that is sure, with all that was known of it, and its name is free', async () => {
        await archive.putPart({ ...wrong, must: 'be new', part: { name: 'Lead', typed: '60', mass: 0.06 } });
        await archive.addRun({
          ...wrong,
          typed: '5 min',
          run: { minutes: 5, temperatures: {}, laps: [], changes: [], felt: '' },
          track: null,
        });
        await archive.useTruck(wrong);
        await archive.remember(corners(BEN, 'Mudlark'));
        await archive.offerTruck({ ...wrong, to: 'Ben' });
        const would = { kind: 'truck removed', truck: 'Sandhoper', facts: 4, parts: 1, runs: 1 };
        expect(await archive.removeTruck({ ...wrong, sure: false })).toEqual({ ...would, done: false });
        expect((await book(wrong)).parts).toHaveLength(1);
        expect(await archive.removeTruck({ ...wrong, sure: true })).toEqual({ ...would, done: true });
        expect(await archive.trucks(ADA)).toEqual([]);
        expect(await archive.currentTruck(ADA)).toBeNull();
        expect((await archive.truckList(BEN)).offered).toEqual([]);
        expect(texts(await archive.removeTruck({ ...wrong, sure: true }))).toEqual([
          'There is no truck "Sandhoper" of yours. You have no truck here yet.',
        ]);
        await archive.remember(corners(ADA, 'Sandhoper', 7));
        expect((await fact('front_left', wrong))?.typed).toBe('619 g');
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      });

      it('one with setups stays; when they are gone it goes, and their numbers are not given again', async () => {
        await archive.saveSetup({ ...wrong, name: 'Salt, dry' });
        await archive.saveSetup({ ...wrong, name: 'Salt, wet', private: true });
        expect(texts(await archive.removeTruck({ ...wrong, sure: true }))).toEqual([
          '"Sandhoper" has setups 1, 2 in the archive. Take them away first: setup remove 1. Or give the truck another name: truck rename.',
        ]);
        for (const id of [1, 2]) await archive.removeSetup({ club: CLUB, member: ADA.member, id });
        expect(await archive.removeTruck({ ...wrong, sure: true })).toMatchObject({ done: true });
        expect(await archive.trucks(ADA)).toEqual([]);
        expect((await archive.truckList(ADA)).trucks).toEqual([]);
        expect(await archive.exportMine(ADA)).toMatchObject({ trucks: [] });
        await archive.remember(corners(ADA, 'Sandhoper'));
        expect(await archive.saveSetup({ ...wrong, name: 'Salt, dry' })).toMatchObject({ id: 3 });
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
        expect(await archive.deleteMine(ADA)).toMatchObject({ trucks: 1, stay: 1 });
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      });
    });

    describe('from hand to hand', () => {
      beforeEach(async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.keepFacts(sandhopper);
        await archive.putPart({ ...sandhopper, must: 'be new', part: { name: 'Lead', typed: '60', mass: 0.06 } });
        await archive.saveSetup({ ...sandhopper, name: 'Salt, dry' });
        await archive.useTruck(sandhopper);
        await archive.remember(corners(BEN, 'Mudlark', 100));
      });

      it('a truck stays where it is until the other takes it, and then goes with all it has', async () => {
        expect(await archive.offerTruck({ ...sandhopper, to: 'Ben' })).toEqual({
          kind: 'offered',
          truck: 'Sandhopper',
          to: { id: BEN.member, name: 'Ben' },
        });
        expect((await book()).offeredTo).toEqual({ id: BEN.member, name: 'Ben' });
        expect((await archive.truckList(BEN)).offered).toEqual([{ truck: 'Sandhopper', from: { id: ADA.member, name: 'Ada' } }]);
        expect(await archive.currentTruck(ADA)).toBe('Sandhopper');

        expect(await archive.takeTruck({ ...BEN, truck: 'sandhopper' })).toEqual({
          kind: 'taken',
          truck: 'Sandhopper',
          from: { id: ADA.member, name: 'Ada' },
        });
        expect(await archive.trucks(ADA)).toEqual([]);
        expect(await archive.currentTruck(ADA)).toBeNull();
        const theirs = await book({ ...BEN, truck: 'Sandhopper' });
        expect(theirs).toMatchObject({ member: { name: 'Ben' }, offeredTo: null });
        expect(theirs.facts.get('front_left')).toMatchObject({ typed: '612 g', by: { name: 'Ada' } });
        expect(theirs.parts).toHaveLength(1);
        expect((await archive.findSetups({ club: CLUB, words: 'salt ben' })).setups.map((setup) => setup.member.name)).toEqual(['Ben']);
        expect((await archive.findSetups({ club: CLUB, words: 'salt ada' })).setups).toEqual([]);
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      });

      it('an offer is withdrawn by offering it to oneself, and moves by offering it to another', async () => {
        await archive.remember(corners({ ...BEN, member: '77', memberName: 'Cleo' }, 'Gully'));
        await archive.offerTruck({ ...sandhopper, to: 'Ben' });
        await archive.offerTruck({ ...sandhopper, to: 'Cleo' });
        expect(texts(await archive.takeTruck({ ...BEN, truck: 'Sandhopper' }))).toEqual([
          'No truck "Sandhopper" is offered to you. Its owner offers it first: truck give NAME to:YOU.',
        ]);
        expect(await archive.offerTruck({ ...sandhopper, to: 'Ada' })).toEqual({ kind: 'offered', truck: 'Sandhopper', to: null });
        expect((await archive.truckList({ ...BEN, member: '77' })).offered).toEqual([]);
      });

      it('a name that the other has already is asked for', async () => {
        await archive.remember(corners(BEN, 'SandHopper', 50));
        await archive.offerTruck({ ...sandhopper, to: 'Ben' });
        expect(texts(await archive.takeTruck({ ...BEN, truck: 'Sandhopper' }))).toEqual([
          'You have a truck "Sandhopper" already. Give it another name here: as:NAME.',
        ]);
        expect(await archive.takeTruck({ ...BEN, truck: 'Sandhopper', as: 'Salt Flea' })).toMatchObject({
          kind: 'taken',
          truck: 'Salt Flea',
        });
        expect((await fact('front_left', { ...BEN, truck: 'Salt Flea' }))?.typed).toBe('612 g');
        expect((await fact('front_left', { ...BEN, truck: 'Sandhopper' }))?.typed).toBe('662 g');
      });

      it('two trucks of one name on offer are told apart by who offers them', async () => {
        const cleo = { ...BEN, member: '77', memberName: 'Cleo' };
        await archive.remember(corners(cleo, 'Sandhopper', 9));
        await archive.offerTruck({ ...sandhopper, to: 'Ben' });
        await archive.offerTruck({ ...cleo, truck: 'Sandhopper', to: 'Ben' });
        expect(texts(await archive.takeTruck({ ...BEN, truck: 'Sandhopper' }))).toEqual([
          '2 trucks called "Sandhopper" are offered to you. Say whose: from:Ada, from:Cleo.',
        ]);
        expect(await archive.takeTruck({ ...BEN, truck: 'Sandhopper', from: 'cleo' })).toMatchObject({ from: { name: 'Cleo' } });
      });

      it("nobody gives another's truck away, or to nobody", async () => {
        expect(texts(await archive.offerTruck({ ...BEN, truck: 'Sandhopper', to: 'Ben' }))).toEqual([
          'There is no truck "Sandhopper" of yours. You have "Mudlark".',
        ]);
        expect(texts(await archive.offerTruck({ ...sandhopper, to: 'Beni' }))).toEqual([
          'No member of this club called "Beni" has asked anything here yet. There is "Ben".',
        ]);
        expect((await book()).offeredTo).toBeNull();
      });
    });

    describe('the parts list', () => {
      const add = (part: { name: string } & Record<string, unknown>, of = sandhopper) =>
        archive.putPart({ ...of, must: 'be new', part: { typed: '60 g', mass: 0.06, ...part } });

      it('keeps what, how many, what one weighs, where it is and could go, what it moves with', async () => {
        const part = {
          name: 'Rear tyre',
          count: 2,
          typed: '78.5 g',
          mass: 0.0785,
          uncertainty: 1e-4,
          place: 0.33,
          places: [0.33, 'off'] as const,
          sprung: false,
          axle: 'rear',
          role: 'tyre',
          note: 'with insert',
        } as const;
        expect(await add(part)).toMatchObject({ kind: 'part', truck: 'Sandhopper', was: null });
        expect((await book()).parts).toEqual([{ ...part, by: { id: ADA.member, name: 'Ada' }, at: now }]);
      });

      it('changes what is said and leaves the rest; the ± goes with the mass it was typed with', async () => {
        await add({ name: 'Pack', typed: '290 g ± 1 g', mass: 0.29, uncertainty: 0.001, place: 0.185, role: 'pack' });
        const moved = await archive.putPart({ ...sandhopper, must: 'be there', part: { name: 'PACK', place: 0.21 } });
        expect(moved).toMatchObject({
          kind: 'part',
          was: { place: 0.185 },
          part: { name: 'Pack', mass: 0.29, uncertainty: 0.001, place: 0.21, role: 'pack' },
        });
        await archive.putPart({ ...sandhopper, must: 'be there', part: { name: 'pack', typed: '292', mass: 0.292 } });
        expect((await book()).parts).toMatchObject([{ name: 'Pack', typed: '292', mass: 0.292, uncertainty: null, place: 0.21 }]);
      });

      it('is in the order in which the parts came; a part taken out and put in again comes last', async () => {
        for (const part of ['Pack', 'Servo', 'Lead']) await add({ name: part });
        await archive.putPart({ ...sandhopper, must: 'be there', part: { name: 'Servo', place: 0.1 } });
        expect((await book()).parts.map((part) => part.name)).toEqual(['Pack', 'Servo', 'Lead']);
        expect(await archive.removePart({ ...sandhopper, name: ' pack' })).toMatchObject({ kind: 'part removed', part: { name: 'Pack' } });
        await add({ name: 'pack' });
        expect((await book()).parts.map((part) => part.name)).toEqual(['Servo', 'Lead', 'pack']);
      });

      it('asks back for what it does not know, has already, or cannot cut apart again', async () => {
        await add({ name: 'Pack' });
        expect(texts(await add({ name: 'pack' }))).toEqual(['Sandhopper has a part "Pack" already. Change it: truck parts change Pack.']);
        expect(texts(await archive.putPart({ ...sandhopper, must: 'be there', part: { name: 'Packs', place: 0.1 } }))).toEqual([
          'Sandhopper has no part "Packs". It has "Pack".',
        ]);
        expect(texts(await archive.removePart({ ...sandhopper, name: 'Lead' }))).toEqual(['Sandhopper has no part "Lead". It has "Pack".']);
        expect(texts(await archive.putPart({ ...sandhopper, must: 'be new', part: { name: 'Lead' } }))).toEqual([
          'Mass is missing: what does "Lead" weigh? Give 1 to 5000 g.',
        ]);
        expect(texts(await archive.putPart({ ...mudlark, must: 'be new', part: { name: 'Lead' } }))).toHaveLength(1);
        expect(await archive.trucks(BEN)).toEqual([]);
        expect(texts(await add({ name: 'a/b; c' }))).toEqual([
          'Part: "a/b; c" holds a sign that lists are cut at. Leave / and ; out of a name.',
        ]);
        expect(texts(await add({ name: '' }))).toEqual(['Part is missing. Give 1 to 60 characters.']);
        expect((await book()).parts).toHaveLength(1);
      });

      it('belongs to one truck', async () => {
        await add({ name: 'Pack' });
        await add({ name: 'Pack' }, mudlark);
        expect(await archive.removePart({ ...mudlark, name: 'Pack' })).toMatchObject({ kind: 'part removed' });
        expect((await book()).parts).toHaveLength(1);
      });
    });
  });
}
