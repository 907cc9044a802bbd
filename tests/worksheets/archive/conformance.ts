import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Archive, Conflict, SavedSetup, ShownSetup } from '../../../worksheets/archive/archive.ts';
import type { Problems } from '../../../worksheets/engine/types.ts';
import { ADA, answerOf, BEN, CLUB, corners, grams, ride } from './example.ts';
import { logConformance } from './log-conformance.ts';
import { pictureConformance } from './pictures-conformance.ts';
import { setupRunConformance } from './setup-runs-conformance.ts';
import { setupConformance } from './setups-conformance.ts';
import { thingsConformance } from './things-conformance.ts';
import { truckConformance } from './trucks-conformance.ts';

/** One place where an archive is kept, empty at first. */
export interface Place {
  /** Opens it, once more if it is open already. */
  open(clock: () => number): Promise<Archive>;
  /** Runs a statement past the archive, as somebody with the database in hand could. */
  raw(statement: string): Promise<void>;
  /** Takes away a trigger that guards a table. */
  withoutTrigger(trigger: string, table: string): Promise<void>;
  end(): Promise<void>;
}

const OTHER_CLUB = 'dry-lake-club';

/** What every archive has to do, whatever keeps it. */
export function conformance(name: string, makePlace: () => Promise<Place>): void {
  describe(`an archive on ${name}`, () => {
    let place: Place;
    let archive: Archive;
    let now: number;
    const clock = (): number => now++;
    const ada = (truck: string) => ({ club: CLUB, member: ADA.member, truck });
    const ben = (truck: string) => ({ club: CLUB, member: BEN.member, truck });

    beforeEach(async () => {
      now = Date.UTC(2026, 3, 11, 9, 0);
      place = await makePlace();
      archive = await place.open(clock);
    });
    afterEach(async () => {
      await archive.close();
      await place.end();
    });

    const saved = (result: SavedSetup | Conflict | Problems): SavedSetup => {
      expect(result.kind).toBe('saved');
      return result as SavedSetup;
    };
    const shown = (result: ShownSetup | Problems): ShownSetup => {
      expect(result.kind).toBe('setup');
      return result as ShownSetup;
    };
    const texts = (result: { kind: string }): string[] => {
      expect(result.kind).toBe('problems');
      return (result as Problems).problems.map(({ text }) => text);
    };
    const foundNames = async (words: string, club = CLUB): Promise<string[]> =>
      (await archive.findSetups({ club, words })).setups.map((setup) => setup.name);
    /** A setup of Ada's Sandhopper. */
    const keep = async (setup: string, more: { notes?: string; tags?: string[] } = {}): Promise<SavedSetup> =>
      saved(await archive.saveSetup({ ...ada('Sandhopper'), name: setup, ...more }));

    describe('trucks and their facts', () => {
      it('knows a reading as a fact of the truck, with all that was given', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        const facts = await archive.facts(ada('Sandhopper'));
        expect([...facts.keys()].sort()).toEqual(['front_left', 'front_right', 'rear_left', 'rear_right']);
        expect(facts.get('front_left')).toEqual({
          ...grams('front_left', 612),
          sheet: 'corners',
          end: null,
          at: Date.UTC(2026, 3, 11, 9, 0),
          how: 'measured',
          by: { id: ADA.member, name: 'Ada' },
          kept: false,
          beneath: null,
        });
      });

      it('takes the newest reading of a fact and keeps the facts that were not given again', async () => {
        const withWheelbase = corners(ADA, 'Sandhopper');
        await archive.remember({ ...withWheelbase, readings: [...withWheelbase.readings, grams('wheelbase', 330)] });
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        const facts = await archive.facts(ada('Sandhopper'));
        expect(facts.get('front_left')?.typed).toBe('620 g');
        expect(facts.get('wheelbase')?.typed).toBe('330 g');
      });

      it('takes what came last for the newest, even when the clock has been put back', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        now -= 3_600_000;
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        expect((await archive.facts(ada('Sandhopper'))).get('front_left')?.typed).toBe('620 g');
      });

      it('keeps the ends of a truck apart', async () => {
        await archive.remember(ride(ADA, 'Sandhopper', 'front', 610));
        await archive.remember(ride(ADA, 'Sandhopper', 'rear', 900));
        const facts = await archive.facts(ada('Sandhopper'));
        expect(facts.get('front_corner_load')).toMatchObject({ typed: '610 g', end: 'front' });
        expect(facts.get('rear_corner_load')).toMatchObject({ typed: '900 g', end: 'rear' });
      });

      it('keeps lists, words and yes/no as they were understood', async () => {
        const values = [[500, 900.5], [{ load: 500, height: 71.2 }], 'squared_ground', false, -0.000001, 1e300];
        const readings = values.map((value, index) => ({ ...grams(`r${index}`, 1), value, unit: null, uncertainty: null }));
        await archive.remember({ ...corners(ADA, 'Sandhopper'), readings });
        const facts = await archive.facts(ada('Sandhopper'));
        expect(values.map((_, index) => facts.get(`r${index}`)?.value)).toEqual(values);
        expect(facts.get('r0')).toMatchObject({ unit: null, uncertainty: null });
      });

      it('takes capitals, spaces and the way an accent is typed for the same truck, and gives its name as it was first written', async () => {
        await archive.remember(corners(ADA, 'Wüstenfloh 2'));
        const again = await archive.remember(corners(ADA, '  wU\u0308STENFLOH   2 ', 5));
        expect(again).toMatchObject({ kind: 'remembered', truck: 'Wüstenfloh 2' });
        expect((await archive.facts(ada('wüstenfloh 2'))).get('front_left')?.typed).toBe('617 g');
      });

      it('gives each member and each club their own trucks, also when ids differ in their last digit', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.remember(corners(BEN, 'Sandhopper', 20));
        await archive.remember(corners({ ...ADA, club: OTHER_CLUB }, 'Sandhopper', 40));
        expect((await archive.facts(ada('Sandhopper'))).get('front_left')?.typed).toBe('612 g');
        expect((await archive.facts(ben('Sandhopper'))).get('front_left')?.typed).toBe('632 g');
        expect((await archive.facts({ ...ada('Sandhopper'), club: OTHER_CLUB })).get('front_left')?.typed).toBe('652 g');
      });

      it("lists a member's trucks by name, the one that was asked about last first", async () => {
        for (const truck of ['Mudlark', 'Sandhopper', 'Wüstenfloh']) await archive.remember(corners(ADA, truck));
        await archive.remember(corners(ADA, 'mudlark', 3));
        await archive.remember(corners(BEN, 'Dune Hare'));
        await archive.remember(corners({ ...ADA, club: OTHER_CLUB }, 'Gully'));
        expect(await archive.trucks({ club: CLUB, member: ADA.member })).toEqual(['Mudlark', 'Wüstenfloh', 'Sandhopper']);
        expect(await archive.trucks({ club: CLUB, member: 'nobody' })).toEqual([]);
        expect(await archive.trucks({ club: 'never-seen', member: ADA.member })).toEqual([]);
      });

      it('has no facts and no answers for a truck, a member or a club that was never seen', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        for (const nobody of [ada('Mudlark'), ben('Sandhopper'), { ...ada('Sandhopper'), club: OTHER_CLUB }, ada('a\0b'), ada('')]) {
          expect((await archive.facts(nobody)).size).toBe(0);
          expect(await archive.latest(nobody)).toEqual([]);
        }
      });

      it('keeps the last answer of each sheet and end, to the last digit, newest first', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.remember(ride(ADA, 'Sandhopper', 'front', 610));
        await archive.remember(ride(ADA, 'Sandhopper', 'rear', 900));
        const last = ride(ADA, 'Sandhopper', 'front', 620);
        await archive.remember(last);
        const latest = await archive.latest(ada('Sandhopper'));
        expect(latest.map(({ sheet, end }) => [sheet, end])).toEqual([
          ['ride', 'front'],
          ['ride', 'rear'],
          ['corners', null],
        ]);
        expect(latest[0]?.answer).toEqual(last.answer);
        expect(latest[0]?.readings).toEqual(last.readings);
      });
    });

    describe('what it refuses', () => {
      it('says everything that is wrong at once and keeps nothing of it', async () => {
        const slip = corners({ ...ADA, memberName: 'A\0da' }, 'x'.repeat(61));
        const readings = slip.readings.map((reading, index) => (index === 0 ? { ...reading, typed: '6\ud83d12' } : reading));
        expect(texts(await archive.remember({ ...slip, readings }))).toEqual([
          `Truck: "${'x'.repeat(40)}…" is too long. Give at most 60 characters.`,
          'Member name: "A da" holds a broken character that cannot be kept. Type it again by hand.',
          'Front left: "6\ufffd12" holds a broken character that cannot be kept. Type it again by hand.',
        ]);
        expect(await archive.verify({ club: CLUB })).toEqual({ ok: true, changes: 0, revisions: 0 });
      });

      it('asks for a name when there is nothing to see in it', async () => {
        for (const blank of ['', '   ', '\u200b\u202e', '\n\t', '\u0301']) {
          expect(texts(await archive.remember(corners(ADA, blank)))).toEqual(['Truck is missing. Give 1 to 60 characters.']);
        }
      });

      it('takes 60 characters, however they are built', async () => {
        expect(await archive.remember(corners(ADA, '𝛴'.repeat(60)))).toMatchObject({ kind: 'remembered' });
        expect(texts(await archive.remember(corners(ADA, '𝛴'.repeat(61))))).toHaveLength(1);
      });

      it('takes out what would turn a card round, and lines that would break it', async () => {
        expect(await archive.remember(corners(ADA, ' Sand\u202ehopper\nTwo\u200b '))).toMatchObject({ truck: 'Sandhopper Two' });
      });

      it('checks the name, the notes and the tags of a setup together', async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        const tags = Array.from({ length: 13 }, (_, index) => `tag ${index}`);
        const result = await archive.saveSetup({
          ...ada('Sandhopper'),
          name: '',
          notes: 'n'.repeat(2001),
          tags: [...tags, 't'.repeat(31)],
        });
        expect(texts(result)).toEqual([
          'Setup name is missing. Give 1 to 60 characters.',
          `Notes: "${'n'.repeat(40)}…" is too long. Give at most 2000 characters.`,
          `Tag: "${'t'.repeat(31)}" is too long. Give at most 30 characters.`,
          'Tags: 13 are too many. Give at most 12.',
        ]);
        expect(await foundNames('')).toEqual([]);
      });

      it('throws at a slip of ours: an id that is a number, or an answer that JSON cannot carry', async () => {
        await expect(archive.facts({ ...ada('Sandhopper'), club: 118 as unknown as string })).rejects.toThrow(TypeError);
        const broken = corners(ADA, 'Sandhopper');
        await expect(archive.remember({ ...broken, answer: { ...broken.answer, hero: Number.NaN as unknown as string } })).rejects.toThrow(
          'NaN',
        );
        expect(await archive.verify({ club: CLUB })).toMatchObject({ changes: 0 });
      });
    });

    describe('setups and their revisions', () => {
      beforeEach(async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.remember(ride(ADA, 'Sandhopper', 'front', 610));
      });

      it('keeps readings, units, uncertainties, answers, facts and which sheets', async () => {
        const setup = await keep('Salt, dry', { notes: 'After\r\nrain', tags: ['Dry', 'dry', ' ', 'hard pack'] });
        expect(setup).toMatchObject({ id: 1, name: 'Salt, dry', truck: 'Sandhopper', rev: 1, sheets: ['corners', 'ride'] });
        const { doc, revision, newest } = shown(await archive.showSetup({ club: CLUB, id: setup.id }));
        expect(newest).toBe(1);
        expect(revision).toEqual({ rev: 1, at: setup.at, author: { id: ADA.member, name: 'Ada' }, hash: setup.hash, parentHash: null });
        expect(doc).toMatchObject({ name: 'Salt, dry', truck: 'Sandhopper', notes: 'After\nrain', tags: ['Dry', 'hard pack'], rev: 1 });
        expect(doc.sheets).toEqual(await archive.latest(ada('Sandhopper')));
        const facts = [...(await archive.facts(ada('Sandhopper'))).values()];
        // Who said it stays with the truck: a revision cannot be changed, and a name may have to go.
        expect(doc.facts).toEqual(facts.map(({ by, kept, beneath, ...fact }) => fact));
      });

      it('makes the next revision when its owner saves the name again, and leaves the one before as it was', async () => {
        const first = await keep('Salt, dry', { notes: 'first', tags: ['dry'] });
        const before = shown(await archive.showSetup({ club: CLUB, id: 1 }));
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        const second = await keep('SALT,  dry');
        expect(second).toMatchObject({ id: 1, rev: 2, notes: 'first', tags: ['dry'] });
        expect(shown(await archive.showSetup({ club: CLUB, id: 1 })).revision.parentHash).toBe(first.hash);
        expect(shown(await archive.showSetup({ club: CLUB, id: 1, rev: 1 }))).toEqual({ ...before, newest: 2 });
        const third = await keep('Salt, dry', { notes: '', tags: [] });
        expect(third).toMatchObject({ rev: 3, notes: '', tags: [] });
      });

      it('tells what each revision changed, newest first', async () => {
        await keep('Salt, dry');
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        await archive.remember(ride(ADA, 'Sandhopper', 'rear', 900));
        await keep('Salt, dry');
        const retyped = corners(ADA, 'Sandhopper', 8);
        await archive.remember({ ...retyped, readings: retyped.readings.map((reading) => ({ ...reading, typed: `${reading.value} kg` })) });
        await keep('Salt, dry', { notes: 'only words' });
        const history = await archive.setupHistory({ club: CLUB, name: 'salt, dry' });
        if (history.kind === 'problems') throw new Error('no history');
        expect(history.revisions.map(({ rev }) => rev)).toEqual([3, 2, 1]);
        expect(history.revisions[0]).toMatchObject({ doc: { notes: 'only words' }, before: { rev: 2 }, changes: [] });
        expect(history.revisions[1]?.changes).toHaveLength(5);
        expect(history.revisions[1]?.changes).toContainEqual({
          sheet: 'corners',
          end: null,
          name: 'front_left',
          was: '612 g',
          is: '620 g',
          unit: 'g',
        });
        expect(history.revisions[1]?.changes).toContainEqual({
          sheet: 'ride',
          end: 'rear',
          name: 'corner_load',
          was: null,
          is: '900 g',
          unit: 'g',
        });
        expect(history.revisions[2]?.changes).toEqual([]);
        const short = await archive.setupHistory({ club: CLUB, id: 1, limit: 1 });
        expect(short).toMatchObject({ setup: { rev: 3 }, revisions: [{ rev: 3, before: { rev: 2 } }] });
        expect(history.revisions[2]?.before).toBeNull();
      });

      it('keeps the name of the thing that a reading was taken from, and tells of both when it was swapped', async () => {
        const sprung = (said: string, rate: number) => ({
          ...grams('spring_rate', 0, 'rear_spring_rate'),
          typed: `${rate} N/mm`,
          value: rate * 1000,
          unit: 'N/mm',
          said,
          note: 'spring from the box',
        });
        for (const one of [sprung('blue', 0.447), sprung('red', 0.718)]) {
          await archive.remember({ ...ride(ADA, 'Sandhopper', 'rear', 900), readings: [one] });
          await keep('Salt, dry');
        }
        const history = await archive.setupHistory({ club: CLUB, name: 'Salt, dry' });
        if (history.kind === 'problems') throw new Error('no history');
        expect(history.revisions[0]?.doc.facts).toContainEqual(expect.objectContaining({ typed: '0.718 N/mm', said: 'red' }));
        expect(history.revisions[0]?.changes).toEqual([
          {
            sheet: 'ride',
            end: 'rear',
            name: 'spring_rate',
            was: 'blue',
            wasTyped: '0.447 N/mm',
            is: 'red',
            isTyped: '0.718 N/mm',
            unit: 'N/mm',
          },
        ]);
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      });

      it('refuses to save a truck that nothing was asked about', async () => {
        expect(texts(await archive.saveSetup({ ...ada('Mudlark'), name: 'Salt' }))).toEqual([
          'There is nothing to save for "Mudlark" yet. Ask a sheet with this truck first, then save.',
        ]);
        expect(texts(await archive.saveSetup({ ...ben('Sandhopper'), name: 'Salt' }))).toHaveLength(1);
      });

      it('lets one of two editors win, tells the other and shows the difference', async () => {
        await keep('Salt, dry');
        const other = await place.open(clock);
        await archive.remember(corners(ADA, 'Sandhopper', 8));
        expect(saved(await archive.saveSetup({ ...ada('Sandhopper'), name: 'Salt, dry', baseRev: 1 })).rev).toBe(2);
        const late = await other.saveSetup({ ...ada('Sandhopper'), name: 'Salt, dry', notes: 'mine', baseRev: 1 });
        await other.close();
        expect(late).toMatchObject({
          kind: 'conflict',
          text: '"Salt, dry" has moved on: you started from revision 1, and revision 2 is there now. Look at what has changed, then save again.',
          newest: { newest: 2, doc: { rev: 2, notes: '' } },
        });
        expect((late as Conflict).changes.map(({ name, was, is }) => [name, was, is])).toEqual([
          ['front_left', '612 g', '620 g'],
          ['front_right', '605 g', '613 g'],
          ['rear_left', '901 g', '909 g'],
          ['rear_right', '896 g', '904 g'],
        ]);
        expect(shown(await archive.showSetup({ club: CLUB, id: 1 })).newest).toBe(2);
        expect(saved(await archive.saveSetup({ ...ada('Sandhopper'), name: 'Salt, dry', baseRev: 2 })).rev).toBe(3);
      });

      it('asks about a base revision that never was', async () => {
        await keep('Salt, dry');
        expect(texts(await archive.saveSetup({ ...ada('Sandhopper'), name: 'Salt, dry', baseRev: 7 }))).toEqual([
          'Revision: "7" is out. Give 1.',
        ]);
        expect(texts(await archive.saveSetup({ ...ada('Sandhopper'), name: 'Salt, wet', baseRev: 1 }))).toEqual([
          'There is no setup "Salt, wet" of "Sandhopper" to change yet. Save it without a revision to start it.',
        ]);
      });

      it('keeps a name apart for each truck, prefers the own one, and asks when it cannot tell', async () => {
        await archive.remember(corners(ADA, 'Mudlark'));
        await archive.remember(corners(BEN, 'Sandhopper', 30));
        const first = await keep('Salt');
        saved(await archive.saveSetup({ ...ada('Mudlark'), name: 'salt' }));
        saved(await archive.saveSetup({ ...ben('Sandhopper'), name: 'Salt' }));
        expect(first.id).toBe(1);
        expect(texts(await archive.showSetup({ club: CLUB, name: 'Salt' }))).toEqual([
          '3 setups are called "Salt". Give its number: 1 (Ada, Sandhopper), 2 (Ada, Mudlark), 3 (Ben, Sandhopper).',
        ]);
        expect(shown(await archive.showSetup({ club: CLUB, name: 'SALT', member: BEN.member })).id).toBe(3);
        expect(shown(await archive.showSetup({ club: CLUB, name: 'Salt', truck: 'mudlark' })).id).toBe(2);
        expect(texts(await archive.showSetup({ club: CLUB, name: 'Salt', member: ADA.member }))).toHaveLength(1);
      });

      it('says so when there is no such setup or revision, and never shows that of another club', async () => {
        await keep('Salt');
        expect(texts(await archive.showSetup({ club: CLUB, name: 'Mud' }))).toEqual([
          'There is no setup "Mud" in this club. Look for it with a word of its name.',
        ]);
        expect(texts(await archive.showSetup({ club: CLUB, id: 2 }))).toEqual([
          'There is no setup 2 in this club. Look for it with a word of its name.',
        ]);
        expect(texts(await archive.showSetup({ club: CLUB, id: 1, rev: 2 }))).toEqual(['Revision: "2" is out. Give 1.']);
        for (const rev of [0, -1, 0.5, Number.NaN, Number.POSITIVE_INFINITY]) {
          expect(texts(await archive.showSetup({ club: CLUB, id: 1, rev }))).toHaveLength(1);
        }
        for (const which of [{ id: 1 }, { name: 'Salt' }]) {
          expect((await archive.showSetup({ club: OTHER_CLUB, ...which })).kind).toBe('problems');
          expect((await archive.setupHistory({ club: OTHER_CLUB, ...which })).kind).toBe('problems');
        }
      });

      it('never changes and never removes a revision or a line of the log', async () => {
        await keep('Salt');
        for (const statement of [
          "update revision set doc = '{}'",
          'delete from revision',
          "update audit set act = 'nothing'",
          'delete from audit',
          'delete from setup',
          `insert into revision select setup_id, 3, hash, hash, doc, author_id, at from revision`,
          `insert into revision select setup_id, 2, 'abc', hash, doc, author_id, at from revision`,
        ]) {
          await expect(place.raw(statement), statement).rejects.toThrow();
        }
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true, revisions: 1 });
      });
    });

    describe('finding', () => {
      beforeEach(async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await archive.remember(corners(BEN, 'Mudlark', 30));
        await archive.remember(corners({ ...ADA, club: OTHER_CLUB }, 'Sandhopper'));
      });

      it('is forgiving of case, accents, strokes and the vowel points nobody types', async () => {
        await keep('Möbius Straße Ærøskøbing');
        await keep('Ελληνικός Ἀθῆναι');
        await keep('Йошкар-Ола');
        await keep('مُحَمَّد');
        await keep('हिन्दी सेटअप');
        for (const [words, setup] of [
          ['mobius', 'Möbius Straße Ærøskøbing'],
          ['MO\u0308BIUS', 'Möbius Straße Ærøskøbing'],
          ['strasse', 'Möbius Straße Ærøskøbing'],
          ['AEROSKOBING', 'Möbius Straße Ærøskøbing'],
          ['αθηναι', 'Ελληνικός Ἀθῆναι'],
          ['ΕΛΛΗΝΙΚΟΣ', 'Ελληνικός Ἀθῆναι'],
          ['йошкар', 'Йошкар-Ола'],
          ['محمد', 'مُحَمَّد'],
          ['हिन्दी', 'हिन्दी सेटअप'],
        ] as const) {
          expect(await foundNames(words), words).toEqual([setup]);
        }
        expect(await foundNames('हिन्दू')).toEqual([]);
      });

      it('finds the words anywhere: name, truck, member, tags, notes, sheets; all of them have to be there', async () => {
        await keep('Salt', { notes: 'after the rain', tags: ['hard pack'] });
        saved(await archive.saveSetup({ ...ben('Mudlark'), name: 'Loose' }));
        expect(await foundNames('rain')).toEqual(['Salt']);
        expect(await foundNames('pack hard')).toEqual(['Salt']);
        expect(await foundNames('mudlark')).toEqual(['Loose']);
        expect(await foundNames('ben')).toEqual(['Loose']);
        expect(await foundNames('ada rain salt')).toEqual(['Salt']);
        expect(await foundNames('ben rain')).toEqual([]);
        expect((await foundNames('corner weights')).sort()).toEqual(['Loose', 'Salt']);
      });

      it('takes the beginning of a word, but not its end', async () => {
        await keep('Desert night');
        expect(await foundNames('des ni')).toEqual(['Desert night']);
        expect(await foundNames('sert')).toEqual([]);
      });

      it('puts the best first: a word of the name before a word of the notes', async () => {
        await keep('Notes about gravel', { notes: 'nothing' });
        await keep('Second', { notes: 'on gravel, for once' });
        await keep('Third', { tags: ['gravel'] });
        await keep('Fourth');
        expect(await foundNames('gravel')).toEqual(['Notes about gravel', 'Third', 'Second']);
      });

      it('gives the newest first when no words are given, in pages', async () => {
        for (const setup of ['one', 'two', 'three', 'four', 'five']) await keep(setup);
        const page = async (offset: number) => {
          const { setups, more } = await archive.findSetups({ club: CLUB, words: ' ', limit: 2, offset });
          return [setups.map((setup) => setup.name), more];
        };
        expect(await page(0)).toEqual([['five', 'four'], true]);
        expect(await page(2)).toEqual([['three', 'two'], true]);
        expect(await page(4)).toEqual([['one'], false]);
        const { setups, more } = await archive.findSetups({ club: CLUB, words: 'sandhopper', limit: 2 });
        expect([setups.length, more]).toEqual([2, true]);
      });

      it('follows a setup to its newest words, and a member to a new name', async () => {
        await keep('Salt', { notes: 'soft' });
        await keep('Salt', { notes: 'stiff' });
        expect(await foundNames('soft')).toEqual([]);
        expect(await foundNames('stiff')).toEqual(['Salt']);
        await archive.remember(corners({ ...ADA, memberName: 'Adélaïde' }, 'Sandhopper'));
        expect(await foundNames('adelaide')).toEqual(['Salt']);
        expect(await foundNames('ada')).toEqual([]);
        expect(shown(await archive.showSetup({ club: CLUB, id: 1 })).member.name).toBe('Adélaïde');
      });

      it('finds nothing of another club, whatever is typed', async () => {
        await keep('Salt');
        saved(await archive.saveSetup({ ...ada('Sandhopper'), club: OTHER_CLUB, name: 'Secret' }));
        expect(await foundNames('secret')).toEqual([]);
        expect(await foundNames('secret', OTHER_CLUB)).toEqual(['Secret']);
        expect(await foundNames('', 'never-seen')).toEqual([]);
        for (const words of ['c2', 'club:c2', 'c2 secret', '"c2"', ') OR club:"c2" OR ("salt', 'salt OR secret', '{club}: c2']) {
          expect(await foundNames(words), words).not.toContain('Secret');
        }
      });

      it('takes every line of text without stumbling', async () => {
        await keep('Salt');
        const lines = [
          '"',
          '*',
          '"*',
          'NEAR(',
          'NOT',
          'AND',
          '-salt',
          'salt*',
          "sal't",
          '(',
          ')',
          ':',
          '^salt',
          'a\0b',
          '\ud800',
          '😀',
          '%',
          '!!!',
          '&',
          '|',
          '<->',
        ];
        for (const words of [...lines, 'x '.repeat(5000), 'y'.repeat(100_000)]) {
          expect(Array.isArray((await archive.findSetups({ club: CLUB, words })).setups), words.slice(0, 20)).toBe(true);
        }
        expect(await foundNames('!!!')).toEqual([]);
        expect(await foundNames('salt!')).toEqual(['Salt']);
      });
    });

    describe('once, and only once', () => {
      it('does the work of an interaction one time and gives the stored result to every repeat', async () => {
        let done = 0;
        const ask = (archiveOf: Archive) =>
          archiveOf.once('interaction-1', CLUB, async (records) => {
            done += 1;
            const kept = await records.remember(corners(ADA, 'Sandhopper', done));
            return { done, kept };
          });
        const first = await ask(archive);
        expect(first).toMatchObject({ repeated: false, result: { done: 1, kept: { kind: 'remembered' } } });
        expect(await ask(archive)).toEqual({ ...first, repeated: true });
        const other = await place.open(clock);
        expect(await ask(other)).toEqual({ ...first, repeated: true });
        await other.close();
        expect(done).toBe(1);
        expect((await archive.facts(ada('Sandhopper'))).get('front_left')?.typed).toBe('613 g');
      });

      it('does it once when it comes in many times at the same moment', async () => {
        let done = 0;
        const all = await Promise.all(
          Array.from({ length: 20 }, () =>
            archive.once('interaction-1', CLUB, async (records) => {
              done += 1;
              await records.remember(corners(ADA, 'Sandhopper'));
              return done;
            }),
          ),
        );
        expect(done).toBe(1);
        expect(all.map(({ result }) => result)).toEqual(Array(20).fill(1));
        expect(all.filter(({ repeated }) => !repeated)).toHaveLength(1);
      });

      it('keeps nothing of work that fails, and does it when it comes again', async () => {
        const fail = archive.once('interaction-1', CLUB, async (records) => {
          await records.remember(corners(ADA, 'Sandhopper'));
          throw new Error('the truck fell off the stand');
        });
        await expect(fail).rejects.toThrow('the truck fell off the stand');
        expect((await archive.facts(ada('Sandhopper'))).size).toBe(0);
        expect(await archive.verify({ club: CLUB })).toMatchObject({ changes: 0 });
        expect(await archive.once('interaction-1', CLUB, () => 'now')).toEqual({ result: 'now', repeated: false });
      });

      it('fails as a whole when something inside failed, even if the work went on', async () => {
        const half = archive.once('interaction-1', CLUB, async (records) => {
          const broken = corners(ADA, 'Mudlark');
          await records.remember(corners(ADA, 'Sandhopper'));
          await records.remember({ ...broken, answer: { ...broken.answer, hero: Number.NaN as unknown as string } }).catch(() => {});
          return 'all is well';
        });
        await expect(half).rejects.toThrow('NaN');
        expect((await archive.facts(ada('Sandhopper'))).size).toBe(0);
        expect((await archive.facts(ada('Mudlark'))).size).toBe(0);
      });

      it('keeps a refusal as the result: nothing was stored, and the answer is the same the next time', async () => {
        const ask = () => archive.once('interaction-1', CLUB, (records) => records.saveSetup({ ...ada('Sandhopper'), name: 'Salt' }));
        const first = await ask();
        expect(first.result.kind).toBe('problems');
        await archive.remember(corners(ADA, 'Sandhopper'));
        expect(await ask()).toEqual({ result: first.result, repeated: true });
      });

      it('takes the same id in two clubs for two interactions', async () => {
        expect((await archive.once('interaction-1', CLUB, () => 'here')).result).toBe('here');
        expect((await archive.once('interaction-1', OTHER_CLUB, () => 'there')).result).toBe('there');
      });

      it('gives the result as it will be given again, and refuses one that cannot be kept', async () => {
        const { result } = await archive.once('interaction-1', CLUB, () => ({ a: undefined, b: -0, c: [1.5] }) as unknown);
        expect(result).toEqual({ b: 0, c: [1.5] });
        expect((await archive.once('interaction-2', CLUB, () => undefined)).result).toBeNull();
        await expect(archive.once('interaction-3', CLUB, () => new Map())).rejects.toThrow('Map');
      });

      it('refuses the archive itself inside the work, instead of waiting for ever', async () => {
        const inside = archive.once('interaction-1', CLUB, () => archive.remember(corners(ADA, 'Sandhopper')));
        await expect(inside).rejects.toThrow('use the records handed in');
      });

      it('lends its records for the time of the work only', async () => {
        const { remembered } = await new Promise<{ remembered: Promise<unknown> }>((resolve) => {
          void archive.once('interaction-1', CLUB, (records) => {
            setTimeout(() => resolve({ remembered: records.remember(corners(ADA, 'Sandhopper')) }), 50);
            return null;
          });
        });
        await expect(remembered).rejects.toThrow('the work of once is over');
        expect((await archive.facts(ada('Sandhopper'))).size).toBe(0);
      });

      it('keeps the log whole when the work does two things side by side', async () => {
        await archive.once('interaction-1', CLUB, async (records) => {
          await Promise.all([1, 2, 3, 4].map((more) => records.remember(corners(ADA, `Truck ${more}`, more))));
          return null;
        });
        expect(await archive.verify({ club: CLUB })).toMatchObject({ ok: true });
      });
    });

    describe('the log of changes', () => {
      beforeEach(async () => {
        await archive.remember(corners(ADA, 'Sandhopper'));
        await keep('Salt');
        await archive.remember(corners(BEN, 'Mudlark'));
        await keep('Salt');
      });

      it('has a line for every change, and every hash fits', async () => {
        // club, member, truck, answer; setup; member, truck, answer; setup
        expect(await archive.verify({ club: CLUB })).toEqual({ ok: true, changes: 9, revisions: 2 });
        expect(await archive.verify({ club: OTHER_CLUB })).toEqual({ ok: true, changes: 0, revisions: 0 });
      });

      for (const [what, statements, text] of [
        ['a changed line', ["update audit set detail = '{}' where change = 5"], 'Change 5 of the club'],
        ['another time', ['update audit set at = at + 1 where change = 3'], 'Change 3 of the club'],
        ['another member', ['update audit set member_id = (select max(id) from member) where change = 2'], 'Change 2 of the club'],
        ['a line taken out', ['delete from audit where change = 4'], 'Change 4 is missing'],
        ['the last line taken out', ['delete from audit where change = 9'], 'The end of the club'],
        ['a changed revision', ["update revision set doc = replace(doc, '612', '613') where rev = 1"], 'Revision 1 of setup 1'],
        ['a revision taken out', ['delete from revision where rev = 2', 'update setup set rev = 1'], 'The log knows 2 revisions, but 1'],
      ] as const) {
        it(`notices ${what}`, async () => {
          for (const table of ['revision', 'audit'])
            for (const how of ['stays', 'is_kept']) await place.withoutTrigger(`${table}_${how}`, table);
          for (const statement of statements) await place.raw(statement);
          const verified = await archive.verify({ club: CLUB });
          expect(verified.ok ? 'nothing noticed' : verified.text).toContain(text);
        });
      }

      it('does not show a revision that is no longer the one that was saved', async () => {
        await place.withoutTrigger('revision_stays', 'revision');
        await place.raw("update revision set doc = replace(doc, '612', '613') where rev = 1");
        await expect(archive.showSetup({ club: CLUB, id: 1, rev: 1 })).rejects.toMatchObject({ kind: 'damaged' });
        expect(shown(await archive.showSetup({ club: CLUB, id: 1 })).revision.rev).toBe(2);
      });
    });

    it('finishes what is under way before it closes, and takes nothing afterwards', async () => {
      const underWay = archive.remember(corners(ADA, 'Sandhopper'));
      await archive.close();
      expect(await underWay).toMatchObject({ kind: 'remembered' });
      await expect(archive.facts(ada('Sandhopper'))).rejects.toMatchObject({ kind: 'closed', message: 'The archive is closed.' });
      archive = await place.open(clock);
      expect((await archive.facts(ada('Sandhopper'))).size).toBe(4);
      expect(answerOf('corners', 'Corner weights', null, corners(ADA, 'Sandhopper').readings)).toEqual(
        (await archive.latest(ada('Sandhopper')))[0]?.answer,
      );
    });
  });
  truckConformance(name, makePlace);
  thingsConformance(name, makePlace);
  setupConformance(name, makePlace);
  logConformance(name, makePlace);
  pictureConformance(name, makePlace);
  setupRunConformance(name, makePlace);
}
