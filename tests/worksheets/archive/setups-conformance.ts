import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Archive, Conditions, NumberBetween, SavedSetup, ShownSetup } from '../../../worksheets/archive/archive.ts';
import type { Problems } from '../../../worksheets/engine/types.ts';
import type { Place } from './conformance.ts';
import { ADA, BEN, CLUB, corners, ride } from './example.ts';

const HOUR = 3_600_000;
const CYD = { club: 'dry-lake-club', member: '1180000000000000003', memberName: 'Cyd' };

/** What every archive has to do for setups that are private, restored, copied, shared, looked for by numbers, or taken away; and for a club. */
export function setupConformance(name: string, makePlace: () => Promise<Place>): void {
  describe(`setups and their club on ${name}`, () => {
    let place: Place;
    let archive: Archive;
    let now: number;
    const sandhopper = { club: CLUB, member: ADA.member, truck: 'Sandhopper' };
    const mudlark = { ...BEN, truck: 'Mudlark' };

    beforeEach(async () => {
      now = Date.UTC(2026, 5, 14, 9, 0);
      place = await makePlace();
      archive = await place.open(() => now);
      await archive.remember(corners(ADA, 'Sandhopper'));
      await archive.remember(corners(BEN, 'Mudlark', 20));
    });
    afterEach(async () => {
      await archive.close();
      await place.end();
    });

    const texts = (result: { kind: string }): string[] => {
      expect(result.kind).toBe('problems');
      return (result as Problems).problems.map(({ text }) => text);
    };
    const save = async (setup: string, more: object = {}, of: object = sandhopper): Promise<SavedSetup> => {
      const saved = await archive.saveSetup({ ...sandhopper, ...of, name: setup, ...more });
      expect(saved).toMatchObject({ kind: 'saved' });
      return saved as SavedSetup;
    };
    const show = async (id: number, member?: string, rev?: number): Promise<ShownSetup> => {
      const found = await archive.showSetup({ club: CLUB, id, ...(member ? { member } : {}), ...(rev ? { rev } : {}) });
      expect(found).toMatchObject({ kind: 'setup' });
      return found as ShownSetup;
    };
    const foundBy = async (viewer: string | undefined, what: object = {}): Promise<string[]> => {
      const { setups } = await archive.findSetups({ club: CLUB, words: '', ...(viewer ? { viewer } : {}), ...what });
      return setups.map((one) => one.name);
    };
    const sound = async (): Promise<void> => expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });

    describe('a private setup', () => {
      it('is there for its owner and for nobody else, by name, by number, by words and in the list', async () => {
        const { id } = await save('Evening', { private: true, notes: 'my secret' });
        expect(await show(id, ADA.member)).toMatchObject({ private: true });
        for (const member of [BEN.member, undefined]) {
          const as = member ? { member } : {};
          expect(texts(await archive.showSetup({ club: CLUB, id, ...as }))[0]).toContain('There is no setup 1');
          expect(texts(await archive.setupHistory({ club: CLUB, name: 'Evening', ...as }))[0]).toContain('There is no setup "Evening"');
          expect(await foundBy(member)).toEqual([]);
          expect(await foundBy(member, { words: 'secret' })).toEqual([]);
          expect(await foundBy(member, { facets: { owner: 'ada' } })).toEqual([]);
        }
        expect(await foundBy(ADA.member, { words: 'secret' })).toEqual(['Evening']);
        expect(texts(await archive.copySetup({ ...mudlark, from: { club: CLUB, id } }))[0]).toContain('There is no setup 1');
      });

      it('can be opened and closed again, by its owner only, and stays as it is when it is saved again', async () => {
        const { id } = await save('Evening', { private: true });
        await save('Evening');
        expect(await foundBy(BEN.member)).toEqual([]);
        expect(texts(await archive.setPrivate({ club: CLUB, id, member: BEN.member, private: false }))[0]).toContain('There is no setup');
        await archive.setPrivate({ club: CLUB, id, member: ADA.member, private: false });
        expect(await foundBy(BEN.member)).toEqual(['Evening']);
        expect(texts(await archive.setPrivate({ club: CLUB, id, member: BEN.member, private: true }))[0]).toContain("Ada's");
        await sound();
      });
    });

    describe('conditions', () => {
      const dry: Conditions = {
        track: 'Salt loop',
        surface: 'Hard pan',
        grip: 'high',
        temperature: { typed: '24 °C', value: 297.15 },
        wind: 'still',
      };

      it('are kept with the revision, and go on with the next one of the same day only', async () => {
        const { id } = await save('Evening', { conditions: dry });
        expect((await show(id)).doc.conditions).toEqual(dry);
        now += HOUR;
        await save('Evening', { notes: 'calmer' });
        expect((await show(id)).doc.conditions).toEqual(dry);
        now += 20 * HOUR;
        await archive.remember(corners(ADA, 'Sandhopper', 4));
        await save('Evening');
        expect((await show(id)).doc.conditions).toBeUndefined();
        await sound();
      });

      it('are found by, forgiving of case and accents, together with owner, truck and tags', async () => {
        await save('Evening', { conditions: { ...dry, track: 'Dünen' }, tags: ['Whoops', 'best of'] });
        await save('Noon', { conditions: { surface: 'sand' }, tags: ['whoops'] });
        await save('Bens', {}, mudlark);
        expect(await foundBy(undefined, { facets: { surface: 'HARD' } })).toEqual(['Evening']);
        expect(await foundBy(undefined, { facets: { track: 'dunen' } })).toEqual(['Evening']);
        expect((await foundBy(undefined, { facets: { tag: ['WHOOPS'] } })).sort()).toEqual(['Evening', 'Noon']);
        expect(await foundBy(undefined, { facets: { tag: ['whoops', 'Best'] } })).toEqual(['Evening']);
        expect(await foundBy(undefined, { facets: { owner: 'ben' } })).toEqual(['Bens']);
        expect(await foundBy(undefined, { facets: { truck: 'mudl' } })).toEqual(['Bens']);
        expect(await foundBy(undefined, { facets: { truck: '%' } })).toEqual([]);
        expect(await foundBy(undefined, { words: 'evening', facets: { owner: 'ben' } })).toEqual([]);
        expect(await foundBy(undefined, { facets: { grip: 'High' } })).toEqual(['Evening']);
        expect(await foundBy(undefined, { facets: { grip: 'low' } })).toEqual([]);
      });

      it('are among the words that a setup is found by, as one says them', async () => {
        await save('Evening', { conditions: { ...dry, track: 'Dünen' }, notes: 'calm' });
        await save('Noon', { conditions: { surface: 'gravel', temperature: { typed: 'warm', value: null } } });
        for (const words of ['grip high', 'high', 'hard', 'dunen', '24 degrees', '24 °C', 'wind still', 'calm high'])
          expect([words, await foundBy(undefined, { words })]).toEqual([words, ['Evening']]);
        for (const words of ['gravel', 'warm']) expect([words, await foundBy(undefined, { words })]).toEqual([words, ['Noon']]);
        expect(await foundBy(undefined, { words: 'warm degrees' })).toEqual([]);
        now += 20 * HOUR;
        await archive.remember(corners(ADA, 'Sandhopper', 4));
        await save('Evening');
        expect(await foundBy(undefined, { words: 'grip high' })).toEqual([]);
      });

      it('find an owner by the name that they have now', async () => {
        await save('Evening');
        await archive.remember(corners({ ...ADA, memberName: 'Zoë' }, 'Sandhopper'));
        expect(await foundBy(undefined, { facets: { owner: 'zoe' } })).toEqual(['Evening']);
        expect(await foundBy(undefined, { facets: { owner: 'ada' } })).toEqual([]);
      });
    });

    describe('numbers', () => {
      const between = (called: string, low: number, high: number, strict = false): { numbers: NumberBetween[] } => ({
        numbers: [{ name: called, end: null, low, high, strict }],
      });

      it('are found by what was measured and by what was answered, in SI, bounds included unless said otherwise', async () => {
        await save('Ada');
        await save('Ben', {}, mudlark);
        expect(await foundBy(undefined, between('front_left', 0.612, 0.612))).toEqual(['Ada']);
        expect(await foundBy(undefined, between('front_left', 0.612, Number.POSITIVE_INFINITY, true))).toEqual(['Ben']);
        expect((await foundBy(undefined, between('front_left', Number.NEGATIVE_INFINITY, 0.632))).sort()).toEqual(['Ada', 'Ben']);
        // The example's answer is 1/3 %.
        expect((await foundBy(undefined, between('share', 0.0033, 0.0034))).length).toBe(2);
        expect(await foundBy(undefined, between('share', 0.3, 0.4))).toEqual([]);
        expect(await foundBy(undefined, { words: 'mudlark', ...between('front_left', 0.6, 0.7) })).toEqual(['Ben']);
      });

      it('of one end are found by that end and by either', async () => {
        await archive.remember(ride(ADA, 'Sandhopper', 'front', 610));
        await archive.remember(ride(ADA, 'Sandhopper', 'rear', 900));
        await save('Ada');
        expect(await foundBy(undefined, between('front_corner_load', 0.6, 0.62))).toEqual(['Ada']);
        expect(await foundBy(undefined, between('rear_corner_load', 0.6, 0.62))).toEqual([]);
        expect(await foundBy(undefined, between('corner_load', 0.89, 0.91))).toEqual(['Ada']);
      });

      it('are those of the newest revision', async () => {
        await save('Ada');
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        await save('Ada');
        expect(await foundBy(undefined, between('front_left', 0.611, 0.613))).toEqual([]);
        expect(await foundBy(undefined, between('front_left', 0.619, 0.621))).toEqual(['Ada']);
      });
    });

    describe('an earlier revision', () => {
      it('comes back as a new one that is equal to it, by its owner only', async () => {
        const { id } = await save('Evening', { notes: 'calm', tags: ['pan'] });
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        await save('Evening', { notes: 'worse', tags: [] });
        now += HOUR;
        expect(texts(await archive.restoreSetup({ club: CLUB, id, member: BEN.member, rev: 1 }))[0]).toContain("Ada's");
        expect(texts(await archive.restoreSetup({ club: CLUB, id, member: ADA.member, rev: 3 }))[0]).toContain('Give 1 to 2');
        expect(await archive.restoreSetup({ club: CLUB, id, member: ADA.member, rev: 1 })).toMatchObject({
          kind: 'saved',
          rev: 3,
          notes: 'calm',
          tags: ['pan'],
        });
        const [first, third] = [await show(id, undefined, 1), await show(id, undefined, 3)];
        expect(third.doc).toEqual({ ...first.doc, rev: 3, at: now });
        expect(await foundBy(undefined, { words: 'calm' })).toEqual(['Evening']);
        await sound();
      });
    });

    describe('a name that is only an offer', () => {
      it('gets a number where it is taken, and so never makes a revision of something else', async () => {
        await save('best of 14 June');
        expect(await save('best of 14 June', { fresh: true })).toMatchObject({ name: 'best of 14 June 2', rev: 1 });
        expect(await save('best of 14 June', { fresh: true })).toMatchObject({ name: 'best of 14 June 3', rev: 1 });
      });
    });

    describe('a copy', () => {
      it("makes the setup's facts the truck's, marked with where they come from and without a name", async () => {
        const { id } = await save('Evening');
        expect(await archive.copySetup({ ...mudlark, from: { club: CLUB, id } })).toEqual({
          kind: 'copied',
          truck: 'Mudlark',
          from: 'Evening',
          facts: 4,
          parts: 0,
        });
        const fact = (await archive.facts({ club: CLUB, member: BEN.member, truck: 'Mudlark' })).get('front_left');
        expect(fact).toMatchObject({ typed: '612 g', value: 0.612, how: 'stated', kept: true, note: 'copied from setup 1, Evening' });
        expect(JSON.stringify(fact)).not.toContain('Ada');
        await sound();
      });
    });

    describe('a code for another club', () => {
      it('shows that revision without ids and without a name, until it is ended', async () => {
        const { id } = await save('Evening', { notes: 'calm' });
        const shared = await archive.shareSetup({ club: CLUB, id, member: ADA.member, named: false });
        expect(shared).toMatchObject({ kind: 'shared', rev: 1, named: false });
        const { code } = shared as { code: string };
        expect(code.replaceAll('-', '')).toMatch(/^[0-9a-hjkmnp-tv-z]{26}$/);
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        await save('Evening', { notes: 'new' });
        const seen = await archive.setupByCode(` ${code.toUpperCase().replaceAll('-', ' ').replaceAll('0', 'O')} `);
        expect(seen).toMatchObject({ kind: 'setup', revision: { rev: 1 }, doc: { notes: 'calm' } });
        for (const told of [ADA.member, 'Ada', CLUB]) expect(JSON.stringify(seen)).not.toContain(told);
        expect(await archive.copySetup({ ...CYD, truck: 'Dune Ferry', from: { code } })).toMatchObject({ kind: 'copied', facts: 4 });
        expect((await archive.facts({ ...CYD, truck: 'Dune Ferry' })).get('front_left')?.note).toBe('copied from another club, Evening');
        expect(texts(await archive.endSharing({ club: CLUB, id, member: BEN.member }))[0]).toContain("Ada's");
        expect(await archive.endSharing({ club: CLUB, id, member: ADA.member })).toMatchObject({ codes: 1 });
        expect(texts(await archive.setupByCode(code))[0]).toContain('shows nothing, or not any more');
        await sound();
      });

      it('carries the name when the owner says so, is made by the owner only, and is another each time', async () => {
        const { id } = await save('Evening');
        expect(texts(await archive.shareSetup({ club: CLUB, id, member: BEN.member, named: true }))[0]).toContain("Ada's");
        const codes = new Set<string>();
        for (let i = 0; i < 20; i += 1)
          codes.add(((await archive.shareSetup({ club: CLUB, id, member: ADA.member, named: true })) as { code: string }).code);
        expect(codes.size).toBe(20);
        expect(await archive.setupByCode([...codes][0]!)).toMatchObject({ member: { id: '', name: 'Ada' } });
        expect(texts(await archive.setupByCode('00000-00000-00000-00000-000000')).length).toBe(1);
      });

      it('ends when its setup becomes private, told or saved so; one that is private may be shown by a code all the same', async () => {
        const { id } = await save('Evening');
        const mine = { club: CLUB, id, member: ADA.member };
        const share = async () => (await archive.shareSetup({ ...mine, named: false })) as { code: string; private: boolean };
        const codes = [await share(), await share()];
        expect(codes[0]!.private).toBe(false);
        expect(await archive.setPrivate({ ...mine, private: true })).toMatchObject({ private: true, codes: 2 });
        for (const { code } of codes) expect((await archive.setupByCode(code)).kind).toBe('problems');
        const hidden = await share();
        expect(hidden.private).toBe(true);
        expect((await archive.setupByCode(hidden.code)).kind).toBe('setup');
        expect(await archive.setPrivate({ ...mine, private: false })).toMatchObject({ codes: 0 });
        expect((await archive.setupByCode(hidden.code)).kind).toBe('setup');
        expect((await save('Evening', { private: true })).codes).toBe(1);
        expect((await save('Evening', { private: true })).codes).toBeUndefined();
        expect((await archive.setupByCode(hidden.code)).kind).toBe('problems');
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      });

      it('is not kept anywhere', async () => {
        const { id } = await save('Evening');
        const { code } = (await archive.shareSetup({ club: CLUB, id, member: ADA.member, named: false })) as { code: string };
        const all = JSON.stringify([
          await archive.exportMine({ club: CLUB, member: ADA.member }),
          await archive.clubLog({ club: CLUB, member: ADA.member, appointed: true, limit: 50 }),
        ]);
        expect(all).not.toContain(code);
      });
    });

    describe('a setup that is taken away', () => {
      it('is gone with all its revisions; its number is never given again, its name is free, and the log still holds', async () => {
        const { id } = await save('Evening', { notes: 'calm' });
        await save('Evening', { notes: 'calmer' });
        expect(texts(await archive.removeSetup({ club: CLUB, id, member: BEN.member }))[0]).toContain("Ada's");
        expect(await archive.removeSetup({ club: CLUB, id, member: ADA.member })).toEqual({ kind: 'removed', id, name: 'Evening' });
        expect(texts(await archive.showSetup({ club: CLUB, id, member: ADA.member }))[0]).toContain('There is no setup');
        expect(await foundBy(ADA.member, { words: 'calm' })).toEqual([]);
        await sound();
        expect(await save('Evening')).toMatchObject({ id: id + 1, rev: 1 });
        await sound();
      });

      it('cannot be taken away past the log', async () => {
        await save('Evening');
        await expect(place.raw('delete from revision')).rejects.toThrow();
        await place.raw('update setup set gone = 1');
        await place.raw('delete from revision');
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: false, text: 'Setup 1 is gone, and the log does not know.' });
      });
    });

    describe('officers and the log', () => {
      const log = (member: string, appointed = false) => archive.clubLog({ club: CLUB, member, appointed });

      it('nobody is an officer by being the first; one who is appointed names others, and they name the next', async () => {
        expect(await archive.isOfficer(ADA)).toBe(false);
        expect(texts(await archive.nameOfficer({ ...ADA, name: 'Ada', officer: true }))[0]).toContain('Only an officer');
        expect(await archive.nameOfficer({ club: CLUB, member: 'keeper', appointed: true, name: 'ada', officer: true })).toMatchObject({
          who: { name: 'Ada' },
        });
        expect(await archive.nameOfficer({ ...ADA, name: 'Ben', officer: true })).toMatchObject({ officer: true });
        expect((await archive.officers({ club: CLUB })).map((one) => one.name)).toEqual(['Ada', 'Ben']);
        await archive.nameOfficer({ ...BEN, name: 'Ada', officer: false });
        expect(await archive.isOfficer(ADA)).toBe(false);
        expect(texts(await log(ADA.member))[0]).toContain('Only an officer');
        await sound();
      });

      it('an officer of one club is none of another', async () => {
        await archive.remember(corners(CYD, 'Dune Ferry'));
        await archive.nameOfficer({ ...CYD, appointed: true, name: 'Cyd', officer: true });
        expect(await archive.isOfficer({ club: CLUB, member: CYD.member })).toBe(false);
        expect(texts(await log(CYD.member))[0]).toContain('Only an officer');
      });

      it('the log says who changed what, newest first, page by page, without the words of a setup', async () => {
        await save('Evening', { private: true, notes: 'my secret' });
        const first = await log('keeper', true);
        expect(first).toMatchObject({ kind: 'log', more: false });
        const { rows } = first as Extract<typeof first, { kind: 'log' }>;
        expect(rows[0]).toMatchObject({ act: 'setup', member: { name: 'Ada' }, detail: { setup: 1, rev: 1 } });
        expect(rows.map(({ change }) => change)).toEqual([...rows.keys()].map((i) => rows.length - i));
        expect(JSON.stringify(rows)).not.toMatch(/secret|Evening/);
        const page = await archive.clubLog({ club: CLUB, member: 'keeper', appointed: true, limit: 2, before: 3 });
        expect(page).toMatchObject({ more: false, rows: [{ change: 2 }, { change: 1 }] });
      });
    });

    describe('everything of mine', () => {
      it('comes as data: trucks, every reading, answers, setups with all revisions, what the log says', async () => {
        await save('Evening', { notes: 'calm' });
        await save('Evening', { private: true, notes: 'calmer' });
        await save('Bens', {}, mudlark);
        const mine = await archive.exportMine(ADA);
        expect(mine).toMatchObject({ member: { name: 'Ada' }, officer: false, trucks: [{ name: 'Sandhopper' }] });
        const { trucks, log } = mine as Exclude<typeof mine, Problems>;
        expect(trucks[0]!.readings.length).toBe(4);
        expect(trucks[0]!.readings[0]).toMatchObject({ fact: 'front_left', typed: '612 g', value: 0.612 });
        expect(trucks[0]!.setups).toMatchObject([
          { id: 1, private: true, revisions: [{ doc: { notes: 'calm' } }, { doc: { notes: 'calmer' } }] },
        ]);
        expect(log.map(({ act }) => act)).toContain('setup');
        expect(JSON.stringify(mine)).not.toContain('Bens');
        expect(texts(await archive.exportMine(CYD))[0]).toContain('Nothing of yours');
      });

      it('goes: private setups, readings, answers and name; open setups stay as those of a former member, and the log still holds', async () => {
        const open = await save('Evening', { notes: 'calm' });
        const secret = await save('Secret', { private: true });
        const { code } = (await archive.shareSetup({ club: CLUB, id: open.id, member: ADA.member, named: true })) as { code: string };
        await save('Bens', {}, mudlark);
        await archive.nameOfficer({ ...ADA, appointed: true, name: 'Ada', officer: true });
        await archive.addRun({
          ...ADA,
          truck: 'Sandhopper',
          typed: 'five minutes',
          run: { minutes: 5, temperatures: {}, laps: [], changes: [], felt: '' },
          track: null,
        });
        const spring = { kind: 'spring', name: 'Blue', typed: '0.45 N/mm', value: 450 } as const;
        await archive.putThing({ ...BEN, thing: spring });
        await archive.lendThing({ ...BEN, name: 'Blue', to: 'Ada' });
        await archive.putThing({ ...ADA, thing: { ...spring, name: 'Red' } });
        expect(await archive.exportMine(ADA)).toMatchObject({ trucks: [{ runs: [{ typed: 'five minutes' }] }], things: [{ name: 'Red' }] });
        expect(await archive.deleteMine(ADA)).toEqual({ kind: 'left', trucks: 1, removed: 1, stay: 1 });
        await sound();
        expect(await show(open.id)).toMatchObject({ member: { name: 'a former member' }, doc: { notes: 'calm' } });
        expect(texts(await archive.showSetup({ club: CLUB, id: secret.id, member: ADA.member })).length).toBe(1);
        expect(texts(await archive.setupByCode(code)).length).toBe(1);
        expect(await archive.trucks(ADA)).toEqual([]);
        expect(await foundBy(undefined, { words: 'ada' })).toEqual([]);
        expect(await foundBy(undefined, { facets: { owner: 'ada' } })).toEqual([]);
        expect((await archive.findSetups({ club: CLUB, words: 'bens' })).setups.length).toBe(1);
        const all = JSON.stringify([
          await archive.clubLog({ club: CLUB, member: 'keeper', appointed: true, limit: 50 }),
          await show(open.id),
          await archive.setupHistory({ club: CLUB, id: open.id }),
          await archive.things({ club: CLUB }),
        ]);
        for (const told of [ADA.member, '"Ada"']) expect(all).not.toContain(told);
      });

      it('does not come back with the member: who asks again is new, and the old setup stays without a name', async () => {
        const { id } = await save('Evening');
        await archive.deleteMine(ADA);
        await archive.remember(corners(ADA, 'Sandhopper'));
        expect(await archive.isOfficer(ADA)).toBe(false);
        expect((await show(id, ADA.member)).member.name).toBe('a former member');
        await save('Evening');
        await sound();
        expect(texts(await archive.deleteMine(CYD))[0]).toContain('Nothing of yours');
      });

      it('what a former member did cannot be changed in the log unseen', async () => {
        await save('Evening');
        await archive.deleteMine(ADA);
        await sound();
        await place.withoutTrigger('audit_stays', 'audit');
        await place.raw(`update audit set detail = '{"setup":1,"rev":9}' where act = 'setup'`);
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: false });
      });
    });
  });
}
