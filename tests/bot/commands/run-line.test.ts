/** One free line about a run: what is understood of it, and that nothing of it is lost. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { doubtfulLaps, readRun } from '../../../bot/commands/run-line.ts';

const celsius = (line: string): Record<string, number> =>
  Object.fromEntries(
    Object.entries(readRun(line).run.temperatures).map(([where, kelvin]) => [where, Number((kelvin - 273.15).toFixed(6))]),
  );
const run = (line: string) => readRun(line).run;

describe('a line about a run', () => {
  it('gives minutes, temperatures, laps and changes, and keeps the rest as what was felt', () => {
    expect(run('5 min, bucked in the whoops, motor 72')).toEqual({
      minutes: 5,
      temperatures: { motor: 72 + 273.15 },
      laps: [],
      changes: [],
      felt: 'bucked in the whoops',
    });
    expect(run('changed front spring 0.45; laps 24.1 24.3 23.9, calm now, 6 min')).toMatchObject({
      minutes: 6,
      laps: [24.1, 24.3, 23.9],
      changes: ['front spring 0.45'],
      felt: 'calm now',
    });
  });

  it.each([
    ['5 min', 5],
    ['ran 5 minutes', 5],
    ['ran for about 7 min and it held', 7],
    ['4:30 min, calm', 4.5],
    ['calm, 6,5 mins', 6.5],
    ['drove 12 min flat out', 12],
    ['4 min 30, bit pushy', 4.5],
    ['4 min 30', 4.5],
    ['ran 4 min 30 s flat out', 4.5],
  ])('"%s" is %d minutes', (line, minutes) => {
    expect(run(line).minutes).toBe(minutes);
  });

  it('leaves to the rest what stands behind the minutes and is of something else', () => {
    expect(run('5 min 30 laps')).toMatchObject({ minutes: 5, felt: '30 laps' });
    expect(run('4.5 min 30, calm')).toMatchObject({ minutes: null, felt: '4.5 min 30, calm' });
    expect(run('4 min 30, bit pushy').felt).toBe('bit pushy');
  });

  it('takes no voltage for a temperature, and no best lap for a row of laps', () => {
    expect(run('5 min, pack 7.3V motor 161F')).toMatchObject({ temperatures: { motor: expect.closeTo(344.817, 2) }, felt: 'pack 7.3V' });
    expect(run('pack 7,3 V and hot')).toMatchObject({ temperatures: {}, felt: 'pack 7,3 V and hot' });
    for (const line of ['fastest lap 23.9 average 24.6', 'best lap 24.31', '8 laps, best 24.1'])
      expect(run(line)).toMatchObject({ laps: [], felt: line });
  });

  it('takes laps with words between them', () => {
    expect(run('laps 24.1s, 24.3s and 24.2s').laps).toEqual([24.1, 24.3, 24.2]);
    expect(run('laps 24.1 dnf 24.3').laps).toEqual([24.1, 24.3]);
    expect(run('laps 24.1 & 24.3').laps).toEqual([24.1, 24.3]);
  });

  it('finds a track that it is handed by its whole name, also without the word', () => {
    const where = (line: string) => readRun(line, ['pan loop', 'Quarry']);
    expect(where('lap 24.8 24.5 on pan loop')).toMatchObject({ track: 'pan loop', run: { laps: [24.8, 24.5], felt: '' } });
    expect(where('bucked at the quarry, calm')).toMatchObject({ track: 'Quarry', run: { felt: 'bucked, calm' } });
    for (const line of ['bucked on the pan', 'on pan loops it slid', 'at quarrytown'])
      expect(where(line)).toMatchObject({ track: null, run: { felt: line } });
  });

  it.each([
    ['swapped pinion 17 to 18, 5 min', 'swapped pinion 17 to 18'],
    ['front spring changed from red to blue, laps 24.1 24.2', 'front spring changed from red to blue'],
    ['calm; moved the pack back 10 mm', 'moved the pack back 10 mm'],
    ['took off the light bar', 'took off the light bar'],
    ['changed front spring 0.45', 'front spring 0.45'],
  ])('"%s" tells what was changed', (line, change) => {
    expect(run(line).changes).toEqual([change]);
  });
  it.each(['put it in the wall', 'moved badly in the whoops', 'switched off early', 'nothing changed', 'it had swapped ends'])(
    '"%s" is what was felt',
    (line) => {
      expect(run(line)).toMatchObject({ changes: [], felt: line });
    },
  );

  it.each(['after 3 min it faded', 'faded in the last 2 minutes', '700 min', '0 min', 'minimum of grip', '5 minor slides'])(
    '"%s" says nothing of how long it ran, and stays what was felt',
    (line) => {
      expect(run(line)).toMatchObject({ minutes: null, felt: line });
    },
  );

  it.each([
    ['motor 72', { motor: 72 }],
    ['Motor: 72 °C, battery=41', { motor: 72, battery: 41 }],
    ['motor was at 72 degrees, pack temp 38', { motor: 72, battery: 38 }],
    ['air 95 F, ground temperature 104°F', { air: 35, ground: 40 }],
    ['72 °C on the motor and 40° esc', { motor: 72, 'speed control': 40 }],
    ['air -5', { air: -5 }],
    ['motor 68,5 calm', { motor: 68.5 }],
  ])('"%s" is understood as heat', (line, heat) => {
    expect(celsius(line)).toEqual(heat);
  });

  it.each([
    'pack 40 mm back',
    'battery 2s',
    'motor 3300 kv',
    'motor 13 teeth',
    'oil 30 wt',
    'tyre 2 bar',
    'motor 1800',
    'motor 17t',
    'motors 72x',
  ])('"%s" is no heat, and stays what was felt', (line) => {
    expect(run(line)).toMatchObject({ temperatures: {}, felt: line });
  });

  it('takes the first of two readings of one thing, and leaves the second to be read', () => {
    expect(run('motor 60, later motor 75')).toMatchObject({ temperatures: { motor: 333.15 }, felt: 'later motor 75' });
  });

  it.each([
    ['laps 24.1 24.3 23.9', [24.1, 24.3, 23.9]],
    ['lap times: 1:02.3, 1:01.9 1:02', [62.3, 61.9, 62]],
    ['laps 24,1 24,3 motor 70', [24.1, 24.3]],
    ['laps 24.1,24.3,23.9', [24.1, 24.3, 23.9]],
    ['laps 24.1 s 24.3 s', [24.1, 24.3]],
    ['laps 24.1 24.3, 5 min', [24.1, 24.3]],
    ['Laps: 24 24.5 25, air 20', [24, 24.5, 25]],
    ['laps 24.1 24.2 then laps 25', [24.1, 24.2, 25]],
  ])('"%s" has these laps', (line, laps) => {
    expect(run(line).laps).toEqual(laps);
  });

  it.each(['3 laps only', 'laps of honour', 'lost two laps', 'laps 0.2', 'laps 24,1,24,3', 'overlaps 24.1'])(
    '"%s" has no lap times, and stays what was felt',
    (line) => {
      expect(run(line)).toMatchObject({ laps: [], felt: line });
    },
  );

  it.each([
    ['24.1s 24.3s 24.0s', [24.1, 24.3, 24], ''],
    ['5 min, 24,1s 24,3s, calm', [24.1, 24.3], 'calm'],
    ['24s, 25 s, 24s', [24, 25, 24], ''],
    ['24.2 24.1', [24.2, 24.1], ''],
    ['pushy, 24.2, 24.1, 24.3', [24.2, 24.1, 24.3], 'pushy'],
  ])('"%s" has laps without the word', (line, laps, felt) => {
    expect(run(line)).toMatchObject({ laps, felt });
  });

  it.each([
    'battery 2s 3s',
    'cut out after 30s',
    '24.1s',
    '24 25 26',
    'gap of 24.1 25.3 at the end',
    '2.1s 2.2s',
    '24,1,24,3',
    'v24.1s 24.2s',
  ])('"%s" may be something else, and stays what was felt', (line) => {
    expect(run(line)).toMatchObject({ laps: [], felt: line });
  });

  it('says where it ran, where the line names one of the tracks', () => {
    const tracks = ['Quarry', 'Washboard', 'salt flat', 'salt bowl'];
    const on = (line: string) => {
      const { track, run: read } = readRun(line, tracks);
      return [track, read.felt];
    };
    expect(on('laps 24.1 24.2, track Quarry')).toEqual(['Quarry', '']);
    expect(on('pushy, on track qua, 5 min')).toEqual(['Quarry', 'pushy']);
    expect(on('track: Salt Flat was loose, calm')).toEqual(['salt flat', 'was loose, calm']);
    // Half a name with more behind it, a beginning of two of them, a track that nobody knows: words.
    for (const line of ['track was dusty', 'track salt', 'track gully', 'off the track']) expect(on(line)).toEqual([null, line]);
    expect(readRun('track Quarry').track).toBeNull();
  });

  it('asks a lap back that cannot stand with the others', () => {
    const asked = (...laps: number[]) => doubtfulLaps(laps).map(({ text }) => text);
    expect(asked(2.41, 24.3, 241)).toEqual([
      'Laps: 2.41 s is a tenth of the others. Did you mean 24.1?',
      'Laps: 241 s is ten times the others. Did you mean 24.1?',
    ]);
    expect(asked(24.1, 24.3, 90)).toEqual(['Laps: 90 s is more than three times the others. If it was a stop, leave it out of the laps.']);
    expect(asked(24.1, 24.3, 71)).toEqual([]);
    expect(asked(24.1, 24.3, 8.1)).toEqual([]);
    expect(asked(24.1)).toEqual([]);
    expect(asked()).toEqual([]);
  });

  it('keeps changes in the words they were said in, up to the next comma', () => {
    expect(run('changed rear oil 0,5 heavier and front spring, change: pinion 16; changes = toe out')).toMatchObject({
      changes: ['rear oil 0,5 heavier and front spring', 'pinion 16', 'toe out'],
      felt: '',
    });
    expect(run('nothing changed, unchanged feel, not changed yet')).toMatchObject({
      changes: [],
      felt: 'nothing changed, unchanged feel, not changed yet',
    });
  });

  it('reads ordinary lines as a person would', () => {
    expect(run('It drove well. Motor 72, battery 41, 5 min; jumped long (2.5 m?)')).toMatchObject({
      minutes: 5,
      felt: 'It drove well. jumped long (2.5 m?)',
    });
  });
});

describe('whatever is typed', () => {
  const WORDS =
    'motor battery air laps lap changed change min 5 5:30 24.1 24,3 72 °C °F F , ; : = . - ± ran for calm bucked pack 2s mm 1:02.3 💥 \u202e ß \0 \n'.split(
      ' ',
    );
  const lines = fc.oneof(
    fc.array(fc.constantFrom(...WORDS), { maxLength: 40 }).map((words) => words.join(' ')),
    fc.array(fc.constantFrom(...WORDS), { maxLength: 40 }).map((words) => words.join('')),
    fc.string({ unit: 'binary', maxLength: 300 }),
    fc.string({ unit: 'grapheme', maxLength: 300 }),
  );
  const words = (text: string): string[] => text.match(/[\p{L}\p{N}]+/gu) ?? [];

  it('never throws, gives finite numbers in their bounds, and is quick', () => {
    fc.assert(
      fc.property(lines, (line) => {
        const { minutes, temperatures, laps } = run(line);
        if (minutes !== null) expect(minutes > 0 && minutes <= 600).toBe(true);
        for (const kelvin of Object.values(temperatures)) expect(kelvin >= 233.15 - 1e-9 && kelvin <= 523.15 + 1e-9).toBe(true);
        for (const lap of laps) expect(lap >= 1 && lap <= 3600).toBe(true);
        expect(laps.length).toBeLessThanOrEqual(200);
      }),
      { numRuns: 3000 },
    );
  });

  it('loses nothing: every word is felt, or lies in a piece that was understood', () => {
    fc.assert(
      fc.property(lines, (line) => {
        const { run: read, taken } = readRun(line);
        let at = 0;
        const rest: string[] = [];
        for (const { from, to } of taken) {
          expect(from).toBeGreaterThanOrEqual(at);
          expect(to).toBeGreaterThan(from);
          rest.push(line.slice(at, from));
          at = to;
        }
        rest.push(line.slice(at));
        expect(words(read.felt)).toEqual(words(rest.join('\n')));
        // A piece is taken out for something: each says minutes, a temperature, laps or a change.
        const said = (read.minutes === null ? 0 : 1) + Object.keys(read.temperatures).length + read.changes.length;
        expect(taken.length <= said + read.laps.length && (read.laps.length === 0 || taken.length > said)).toBe(true);
      }),
      { numRuns: 3000 },
    );
  });

  it('understands the same whatever stands around it', () => {
    const pieces = fc.shuffledSubarray([
      '5 min',
      'motor 72',
      'battery 41',
      'laps 24.1 24.3',
      'changed pinion 16',
      'bucked once',
      'calm over the ruts',
    ]);
    fc.assert(
      fc.property(pieces, fc.constantFrom(', ', '; ', '\n', ' , '), (some, between) => {
        const read = run(some.join(between));
        expect(read.minutes).toBe(some.includes('5 min') ? 5 : null);
        expect(read.laps).toEqual(some.includes('laps 24.1 24.3') ? [24.1, 24.3] : []);
        expect(read.changes).toEqual(some.includes('changed pinion 16') ? ['pinion 16'] : []);
        expect('motor' in read.temperatures).toBe(some.includes('motor 72'));
        expect(read.felt).toBe(some.filter((piece) => /bucked|calm/.test(piece)).join(', '));
      }),
    );
  });

  it('takes a line that is too long as felt, whole, and none of these in more than a blink', () => {
    expect(run('motor 72 '.repeat(300)).temperatures).toEqual({});
    const began = performance.now();
    for (const piece of [
      'laps ',
      '1 ',
      'laps 1 ',
      'motor ',
      'changed ',
      '5 min ',
      'motor was at ',
      '24.1,',
      '24.1s ',
      '24.1 ',
      '4 min 30 ',
      'track ',
      '°',
      ' ',
      '1:02.3 ',
      'ran for about ',
    ])
      run(piece.repeat(Math.floor(2000 / piece.length)));
    expect(performance.now() - began).toBeLessThan(2000);
  });
});
