/** Runs: one line in, strips out; what was changed, what it did, since when it is slower. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { HOUR, INES, openPitSide, type PitSide, TOMASZ } from './pit-side.ts';

let pit: PitSide;
beforeEach(async () => {
  pit = await openPitSide();
  await pit.say('truck use Sandhopper');
});
afterEach(() => pit.end());

const GOOD = '24.1 24.3 23.9 24.2';
const BAD = '24.9 25.2 24.8 25.1';
const lines = (text: string): string[] => text.split('\n');

describe('run add', () => {
  it('says what was understood, and keeps the line as it was typed', async () => {
    expect(await pit.say('run add 5 min, bucked in the whoops, motor 72')).toBe(
      'Run 1 of Sandhopper: 5 min · motor 72 °C\nFelt: bucked in the whoops',
    );
    const runs = await pit.archive.runs({ ...INES, truck: 'Sandhopper' });
    expect(runs).toMatchObject({ runs: [{ typed: '5 min, bucked in the whoops, motor 72', minutes: 5, temperatures: { motor: 345.15 } }] });
  });

  it('names what was changed: in words, and what differs in the truck since the last run', async () => {
    await pit.say('truck set rear_spring_rate:0.50 front_spring_rate:0.38 wheelbase:330');
    await pit.say('truck parts add pack 292 185');
    await pit.say('truck parts add lead 60 off');
    await pit.say('run add calm');
    await pit.say('truck set rear_spring_rate:0.45 pack_mass:292');
    await pit.say('truck parts change pack at:210');
    await pit.say('truck parts change lead at:330');
    expect(await pit.say('run add changed rear springs to blue, drives better')).toBe(
      [
        'Run 2 of Sandhopper',
        'Changed: rear springs to blue · rear spring rate 0.5 → 0.45 N/mm · pack 185 mm → 210 mm · lead on at 330 mm',
        'Felt: drives better',
      ].join('\n'),
    );
    expect(await pit.say('run add the same again')).toBe('Run 3 of Sandhopper\nFelt: the same again');
    await pit.say('truck parts change lead at:off');
    await pit.say('truck parts change pack mass:302');
    expect(lines(await pit.say('run add lighter'))[1]).toBe('Changed: pack 292 → 302 g · lead off');
  });

  it('goes on behind its track, and asks back for one that is nearly called like another', async () => {
    await pit.say('track add pan loop');
    expect(await pit.say('run add 4 min laps 24.2 24.3 track:pan loop motor 72')).toMatch(
      /^Run 1 of Sandhopper: 4 min · motor 72 °C · 2 laps, mean 24\.25 s · pan loop/,
    );
    expect(await pit.slips('run add 4 min track:pan lop')).toEqual([
      'Track: the club knows no "pan lop". Did you mean pan loop? If it is another one: track add pan lop.',
    ]);
    expect(await pit.say('run add 4 min track:gravel')).toContain('gravel');
    expect(await pit.say('run list')).toMatch(/\n2 · /);
  });

  it('says what may hurt somebody before the next run', async () => {
    expect(await pit.say('run add 4 min, motor 72, pack 45')).not.toContain('⚠');
    expect(await pit.say('run add motor 115')).toContain('⚠ The motor was over 80 °C: do not touch it');
    expect(await pit.say('run add pack 66')).toContain('⚠ The pack was over 60 °C');
    for (const line of ['pack puffed, smells', 'the battery is swollen', 'lipo leaking'])
      expect(await pit.say(`run add ${line}`), line).toContain('⚠ A swollen, leaking or smoking pack may burn');
    expect(await pit.say('run add smoked them all')).not.toContain('⚠');
  });

  it('takes what was just given at the sheets for the truck as it was', async () => {
    await pit.say('ride end:rear spring_rate:0.5 motion_ratio:0.62 unsprung_mass:214 corner_load:898');
    await pit.say('run add calm');
    await pit.say('ride end:rear spring_rate:0.45');
    // It may have been no more than a question: the moment to say so is now.
    expect(lines(await pit.say('run add nervous'))).toEqual([
      'Run 2 of Sandhopper',
      'Changed: rear spring rate 0.5 → 0.45 N/mm',
      'Felt: nervous',
      'Just given, not kept: rear spring rate. So it ran? Then keep. Only asked? Then truck forget rear_spring_rate, and note the run anew.',
    ]);
    pit.wait(20 * HOUR);
    // What was given yesterday is not known today: that is no change of the truck.
    expect(lines(await pit.say('run add next day'))).toEqual(['Run 3 of Sandhopper', 'Felt: next day']);
  });

  it('holds laps against the run before, and says when they do not tell', async () => {
    await pit.say('run add laps 24.9 25.1 24.8 25.0');
    // Welch's test by hand: means 24.95 and 24.125 s, s² 0.01667 and 0.02917, u 0.1070, ν 5.58; t 2.493, between the printed 2.571 (5) and
    // 2.447 (6) in 1/ν: 0.825 ± 0.267 s.
    expect(lines(await pit.say(`run add laps ${GOOD}`))[1]).toBe('✓ faster than run 1 by 0.82 s (0.56 to 1.09 s, 95 %)');
    await pit.say('run add no laps this time');
    expect(lines(await pit.say('run add laps 24.2 24.0 24.4'))).toEqual([
      'Run 4 of Sandhopper: 3 laps, mean 24.20 s',
      '≈ cannot tell from run 2: 0.07 s slower, which chance alone may do',
    ]);
    expect(lines(await pit.say(`run add laps ${BAD}`))[1]).toMatch(/^✗ slower than run 4 by 0\.80 s \(0\.\d\d to 1\.\d\d s, 95 %\)$/);
    expect(lines(await pit.say('run add laps 24.1'))[1]).toBe('≈ cannot tell from run 5: 0.90 s faster, which chance alone may do');
  });

  it('compares laps on the same track only, and takes the club’s name for it', async () => {
    await pit.say('track add salt flat spacing:2.4');
    expect(lines(await pit.say(`run add laps ${GOOD} track:Salt`))[0]).toBe('Run 1 of Sandhopper: 4 laps, mean 24.13 s · salt flat');
    expect(lines(await pit.say(`run add laps ${BAD} track:gully`))).toEqual(['Run 2 of Sandhopper: 4 laps, mean 25.00 s · gully']);
    expect(lines(await pit.say(`run add laps ${BAD} track:salt flat`))[1]).toMatch(/^✗ slower than run 1 /);
  });

  it('takes the track from the line, and keeps nothing of a lap that is likely a slip', async () => {
    await pit.say('track add Quarry');
    expect(lines(await pit.say('run add laps 24.1 24.2, track qua'))).toEqual(['Run 1 of Sandhopper: 2 laps, mean 24.15 s · Quarry']);
    expect(await pit.slips('run add laps 2.41 24.3 241')).toEqual([
      'Laps: 2.41 s is a tenth of the others. Did you mean 24.1?',
      'Laps: 241 s is ten times the others. Did you mean 24.1?',
    ]);
    expect(lines(await pit.say('run add 24.1s 24.3s 24.0s track:Quarry'))[0]).toBe('Run 2 of Sandhopper: 3 laps, mean 24.13 s · Quarry');
  });

  it('hears what is missing, and happens once', async () => {
    expect(await pit.slips('run add')).toEqual(['Line is missing. Say how it went: run add 5 min, bucked in the whoops, motor 72.']);
    await pit.reply('run add calm', INES, 'i-1');
    await pit.reply('run add calm', INES, 'i-1');
    expect(await pit.archive.runs({ ...INES, truck: 'Sandhopper' })).toMatchObject({ runs: [{ number: 1 }] });
  });
});

describe('run list', () => {
  it('shows strips, newest first: what was, what it is, what it did', async () => {
    await pit.say('truck set rear_spring_rate:0.50');
    await pit.say('run add 5 min, calm, motor 66, laps 24.9 25.1 24.8 25.0');
    await pit.say('truck set rear_spring_rate:0.45');
    await pit.say(`run add 5 min, drives better, laps ${GOOD}`);
    expect(await pit.say('run list')).toBe(
      [
        'Runs of Sandhopper, newest first',
        '2 · 14 June 2026 10:00 · 5 min · 4 laps, mean 24.13 s',
        '  rear spring rate 0.5 → 0.45 N/mm',
        '  → ✓ faster than run 1 by 0.82 s (0.56 to 1.09 s, 95 %) · drives better',
        '1 · 14 June 2026 10:00 · 5 min · motor 66 °C · 4 laps, mean 24.95 s',
        '  → calm',
      ].join('\n'),
    );
    expect((await pit.say('run list of:Ines', TOMASZ)).split('\n')[0]).toBe('Runs of Sandhopper, Ines, newest first');
  });

  it('fits a message however many there are, and says how many are left out', async () => {
    for (let i = 1; i <= 60; i += 1)
      await pit.say(`run add 5 min, motor 7${i % 10}, ${'it bucked and kicked over the ruts '.repeat(3)}laps ${GOOD}`);
    const text = await pit.say('run list');
    expect(text.length).toBeLessThanOrEqual(2000);
    expect(lines(text)[1]).toMatch(/^60 · /);
    const shown = lines(text).filter((line) => /^\d+ · /.test(line)).length;
    expect(lines(text).at(-1)).toBe(`… and ${60 - shown} earlier`);
  });

  it('can show the runs of one track, each still against the run before it', async () => {
    await pit.say('truck set rear_spring_rate:0.50');
    await pit.say(`run add laps ${GOOD} track:salt`);
    await pit.say('run add calm track:gully');
    await pit.say('truck set rear_spring_rate:0.45');
    await pit.say(`run add laps ${BAD} track:salt`);
    await pit.say('run add no track said');
    const salt = lines(await pit.say('run list track:sal'));
    expect(salt[0]).toBe('Runs of Sandhopper, on salt, newest first');
    expect(salt.filter((line) => /^\d+ · /.test(line)).map((line) => line.slice(0, 3))).toEqual(['3 ·', '1 ·']);
    expect(salt).toContain('  rear spring rate 0.5 → 0.45 N/mm');
    expect(lines(await pit.say('run list track:none'))).toEqual([
      'Runs of Sandhopper, without a track, newest first',
      expect.stringMatching(/^4 · /),
      '  → no track said',
    ]);
    expect(await pit.say('run list track:dune')).toBe(
      'Sandhopper has no run on dune. There are 2 runs on salt, 1 on gully, 1 without a track: run list track:salt',
    );
  });

  it('tells who has no run yet how to begin', async () => {
    expect(await pit.say('run list')).toBe('Sandhopper has no run yet. Say how one went: run add 5 min, bucked in the whoops, motor 72');
    expect(await pit.say('run list', TOMASZ)).toBe('truck has no run yet. Say how one went: run add 5 min, bucked in the whoops, motor 72');
    // Half a command only looks.
    expect(await pit.say('run', TOMASZ)).toBe(await pit.say('run list', TOMASZ));
    expect(await pit.slips('run add', TOMASZ)).toEqual([
      'Line is missing. Say how it went: run add 5 min, bucked in the whoops, motor 72.',
    ]);
  });

  it('leaves out a slip that was taken out, and gives its number to no other', async () => {
    await pit.say('run add calm');
    await pit.say('run add slip');
    expect(await pit.say('run remove 2')).toBe('Run 2 of Sandhopper is taken out: slip');
    expect(lines(await pit.say('run add next'))[0]).toBe('Run 3 of Sandhopper');
    expect(await pit.slips('run remove 2')).toEqual(['Sandhopper has no run 2. run list shows them.']);
    expect(await pit.slips('run remove two')).toEqual(['Number is missing. Give its number, as run list shows it: run remove 7.']);
    expect(await pit.slips('run remove 1', TOMASZ)).toEqual(['There is no truck "truck" of yours. You have no truck here yet.']);
  });
});

describe('run since slower', () => {
  it('names the run, the best before, what was changed then, and what stayed', async () => {
    await pit.say('truck set front_spring_rate:0.38');
    await pit.say('run add laps 24.9 25.1 24.8 25.0');
    await pit.say(`run add laps ${GOOD}, changed oil`);
    await pit.say('run add changed pinion 16, no laps');
    await pit.say('run add laps 24.2 24.0 24.4, changed tyres');
    await pit.say('truck set front_spring_rate:0.45');
    await pit.say(`run add nervous, laps ${BAD}`);
    await pit.say('run add laps 25.0 25.1 24.9');
    expect(lines(await pit.say('run since slower'))).toEqual([
      'Sandhopper is slower since run 5, 14 June 2026: 25.00 s a lap, and 24.13 s in run 2, the best before (no track said).',
      expect.stringMatching(/^✗ slower than run 2 by 0\.88 s \(0\.57 to 1\.18 s, 95 %\)\.$/),
      'Changed before run 5: front spring rate 0.38 → 0.45 N/mm',
      'Felt: nervous',
      'Between, whose laps do not tell:',
      '· run 3: pinion 16',
      '· run 4: tyres',
      'And so it stayed:',
      expect.stringMatching(/^· run 6: 25\.00 s, ✗ slower than run 2 by 0\.88 s/),
      'Track and pack drift too: to be sure, change it back and run once more.',
    ]);
  });

  it('is of now: a slow run in between that was mended is not it', async () => {
    for (const laps of [GOOD, BAD, GOOD, '24.2 24.0 24.4', BAD]) await pit.say(`run add laps ${laps}`);
    expect(lines(await pit.say('run since'))[0]).toMatch(/^Sandhopper is slower since run 5, /);
    await pit.say(`run add laps ${GOOD}`);
    expect(lines(await pit.say('run since'))).toEqual([
      'Sandhopper is not clearly slower: run 6 has 24.13 s a lap, run 1, the best before, 24.13 s (no track said).',
      '≈ cannot tell from run 1: 0.00 s slower, which chance alone may do.',
    ]);
  });

  it('can be asked the other way round', async () => {
    for (const laps of [BAD, GOOD, '24.0 24.1 24.2']) await pit.say(`run add laps ${laps}`);
    expect(lines(await pit.say('run since faster'))[0]).toBe(
      'Sandhopper is faster since run 2, 14 June 2026: 24.13 s a lap, and 25.00 s in run 1, the slowest before (no track said).',
    );
    expect(await pit.slips('run since quicker')).toEqual(['What: "quicker" is none of them. Give slower or faster.']);
  });

  it('names the track it compared on, and what was left out because it was elsewhere', async () => {
    await pit.say('track add salt flat spacing:2.4');
    for (const laps of [GOOD, BAD, GOOD]) await pit.say(`run add laps ${laps}`);
    for (const laps of [GOOD, BAD]) await pit.say(`run add laps ${laps} track:salt flat`);
    await pit.say(`run add laps ${BAD} track:gully`);
    await pit.say(`run add laps ${BAD} track:Salt flat`);
    // One lap tells nothing, so it is not missed either.
    await pit.say('run add laps 25.3 track:gully');
    const slower = lines(await pit.say('run since slower'));
    expect(slower[0]).toBe(
      'Sandhopper is slower on salt flat since run 5, 14 June 2026: 25.00 s a lap, and 24.13 s in run 4, the best before.',
    );
    expect(slower.slice(-2)).toEqual([
      'Left out: 3 runs without a track, 1 on gully. For those: run since slower track:none',
      'Track and pack drift too: to be sure, change it back and run once more.',
    ]);
    expect(slower).toContainEqual(expect.stringMatching(/^· run 7: 25\.00 s/));
    expect(lines(await pit.say('run since faster'))).toEqual([
      'Sandhopper is not clearly faster on salt flat: run 7 has 25.00 s a lap, run 5, the slowest before, 25.00 s.',
      expect.stringMatching(/^≈ cannot tell from run 5/),
      'Left out: 3 runs without a track, 1 on gully. For those: run since faster track:none',
    ]);
  });

  it('can be asked of a track, by the beginning of its name, and of the runs without one', async () => {
    await pit.say('track add salt flat spacing:2.4');
    for (const laps of [GOOD, BAD]) await pit.say(`run add laps ${laps} track:salt flat`);
    for (const laps of [GOOD, BAD]) await pit.say(`run add laps ${laps}`);
    for (const line of ['run since slower track:salt', 'run since track:SALT FLAT', 'run since slower on salt', 'run since on salt flat'])
      expect(lines(await pit.say(line))[0], line).toMatch(
        /^Sandhopper is slower on salt flat since run 2, .* in run 1, the best before\.$/,
      );
    expect(lines(await pit.say('run since track:none'))[0]).toMatch(/since run 4, .* in run 3, the best before \(no track said\)\.$/);
    // Asked of another's truck, the line to go on with asks of it too.
    expect((await pit.say('run since slower truck:Sandhopper of:Ines track:none', TOMASZ)).split('\n').at(-2)).toBe(
      'Left out: 2 runs on salt flat. For those: run since slower truck:Sandhopper of:Ines track:salt flat',
    );
  });

  it('offers the tracks of the runs first, then the club’s', async () => {
    await pit.say('track add salt flat spacing:2.4');
    await pit.say(`run add laps ${GOOD} track:gully`);
    const offered = (command: string) => pit.commands.suggest({ command, options: {}, asker: INES }, 'track');
    expect(await offered('run since')).toEqual(['gully', 'salt flat']);
    expect(await offered('run list')).toEqual(['gully', 'salt flat']);
    expect(await offered('run add')).toEqual(['salt flat']);
  });

  it('needs two runs with laps on one track, and says what to do about it', async () => {
    expect(await pit.say('run since slower')).toMatch(
      /^Sandhopper has no run with two laps or more, and it takes two to tell\. Note laps /,
    );
    await pit.say(`run add laps ${GOOD} track:salt`);
    await pit.say(`run add laps ${GOOD} track:salt`);
    await pit.say(`run add laps ${BAD} track:gully`);
    expect(lines(await pit.say('run since slower'))).toEqual([
      'Sandhopper has one run with two laps or more on gully, and it takes two to tell. Note one more: run add laps 24.1 24.3 23.9 track:gully',
      'Left out: 2 runs on salt. For those: run since slower track:salt',
    ]);
    expect(lines(await pit.say('run since slower truck:sandhopper track:none'))).toEqual([
      'Sandhopper has no run with two laps or more without a track, and it takes two to tell. Note laps there: run add laps 24.1 24.3 23.9 truck:sandhopper',
      'Left out: 2 runs on salt, 1 on gully. For those: run since slower truck:sandhopper track:salt',
    ]);
    expect(lines(await pit.say('run since slower of:Ines truck:Sandhopper', TOMASZ))[0]).toBe(
      'Sandhopper has one run with two laps or more on gully, and it takes two to tell.',
    );
  });
});
