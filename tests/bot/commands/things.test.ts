/** Scales, the box and tracks: measured once, used by name on every sheet. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { INES, openPitSide, type PitSide, TOMASZ } from './pit-side.ts';

let pit: PitSide;
beforeEach(async () => {
  pit = await openPitSide();
});
afterEach(() => pit.end());

const line = (text: string, start: string): string => text.split('\n').find((one) => one.startsWith(start)) ?? `no line "${start}"`;
const readings = async (asked: string, who = INES) => {
  const { answer, text } = await pit.reply(asked, who);
  return new Map((answer ?? expect.fail(text)).readings.map((reading) => [reading.name, reading]));
};

describe('scales', () => {
  it('that are far off are doubted', async () => {
    expect(await pit.say('scale add 3 known:200 reads:230')).toContain('⚠ That is much for a scale: weigh the known mass once more');
    expect(await pit.say('scale add 3 known:200 reads:204')).not.toContain('⚠');
  });

  it('are checked with a mass that is known, and say how far they are off', async () => {
    expect(await pit.say('scale add 2 known:500 reads:502')).toBe(
      'Scale 2: reads 0.4 % high (502 g for 500 g) · step 1 g · checked 14 June 2026, Ines\nName it with a reading: 612@2',
    );
    expect((await pit.say('scale add pit known:1 kg reads:998 step:0.1 note:the green one', TOMASZ)).split('\n')[0]).toBe(
      'Scale pit: reads 0.2 % low (998 g for 1000 g) · step 0.1 g · checked 14 June 2026, Tomasz · the green one',
    );
    expect((await pit.say('scale add 4')).split('\n')[0]).toBe('Scale 4: reads true · step 1 g · checked 14 June 2026, Ines');
    expect(await pit.say('scale list')).toBe(
      [
        'Scales',
        '· 2: reads 0.4 % high (502 g for 500 g) · step 1 g · checked 14 June 2026, Ines',
        '· 4: reads true · step 1 g · checked 14 June 2026, Ines',
        '· pit: reads 0.2 % low (998 g for 1000 g) · step 0.1 g · checked 14 June 2026, Tomasz · the green one',
      ].join('\n'),
    );
  });

  it('give what was on them for what they showed, with their own step', async () => {
    await pit.say('scale add 2 known:500 reads:502');
    await pit.say('scale add pit known:1000 reads:998 step:0.1');
    const read = await readings('corners 612@2 605g@2 901@pit 0.896kg@pit');
    // 612 g / 1.004 and 901 g / 0.998; half a step either way, rectangular: u = d/√12 (JCGM 100:2008, 4.3.7), shown with k = 2.
    expect(read.get('front_left')!.value).toBeCloseTo(612 / 1.004, 6);
    expect(read.get('rear_left')!.value).toBeCloseTo(901 / 0.998, 6);
    expect(read.get('rear_right')!.value).toBeCloseTo(896 / 0.998, 6);
    expect(read.get('front_left')!.uncertainty).toBeCloseTo((2 * 1) / 1.004 / Math.sqrt(12), 6);
    expect(read.get('rear_left')!.uncertainty).toBeCloseTo((2 * 0.1) / 0.998 / Math.sqrt(12), 6);
    expect(read.get('front_left')).toMatchObject({ typed: '612@2', note: 'scale 2 reads 0.4 % high' });
  });

  it('say so in the answer, and the truck remembers what was shown and what it weighed', async () => {
    await pit.say('scale add 2 known:500 reads:502');
    expect(line(await pit.say('corners 612@2 605 901 896'), 'Given')).toContain(
      'front left 609.56 g ± 0.50 (typed 612@2; scale 2 reads 0.4 % high) · front right 605 g ± 0.5',
    );
    expect(line(await pit.say('corners pack_mass:290'), 'From the truck')).toContain(
      'front left 609.56 g ± 0.50 (typed 612@2; scale 2 reads 0.4 % high)',
    );
    await pit.say('keep');
    await pit.say('scale add 2 known:500 reads:500');
    expect((await readings('corners')).get('front_left')!.value).toBeCloseTo(612 / 1.004, 6);
  });

  it('can be copied from what a chat shows, where a sign that nobody sees stands behind the @', async () => {
    const chat = await openPitSide('chat');
    try {
      const shown = (await chat.say('scale add 2 known:500 reads:502')).split(' ').at(-1)!;
      expect(shown).not.toBe('612@2');
      const { answer } = await chat.reply(`corners ${shown} 605 901 896`);
      expect(answer!.readings.find(({ name }) => name === 'front_left')).toMatchObject({
        typed: '612@2',
        note: 'scale 2 reads 0.4 % high',
      });
    } finally {
      await chat.end();
    }
  });

  it('take a ± that was typed, and loads of a list', async () => {
    await pit.say('scale add 2 known:500 reads:502');
    const read = await readings('corners front_left:612 ± 3 g@2 front_right:605 rear_left:901 rear_right:896 again:610@2 606 900 898@2');
    expect(read.get('front_left')!.value).toBeCloseTo(612 / 1.004, 6);
    expect((read.get('again')!.value as number[]).map((value) => Number(value.toFixed(4)))).toEqual([607.5697, 606, 900, 894.4223]);
    expect((await readings('press press_points:0/92 400@2/84.1 800@2/76.4 end:rear')).get('press_points')!.value).toEqual([
      { load: 0, height: 92 },
      { load: 398.4063745, height: 84.1 },
      { load: 796.812749, height: 76.4 },
    ]);
  });

  it('weigh parts too', async () => {
    await pit.say('scale add 2 known:500 reads:502');
    expect((await pit.say('truck parts add lead 60@2 off')).split('\n')[0]).toBe('truck: lead 59.76 g ± 0.50 · not on the truck');
    expect(await pit.slips('truck parts add more lead 60@9 off')).toEqual([
      'Mass: "60@9" names a scale that the club has not. There is 2.',
    ]);
  });

  it('are asked back for when the club has none of that name, or the reading is no mass', async () => {
    expect(await pit.slips('corners 612@2 605 901 896')).toEqual([
      'Front left: "612@2" names a scale that the club has not. Add it: scale add 2 known:500 reads:502.',
    ]);
    await pit.say('scale add 2 known:500 reads:502');
    expect((await pit.slips('corners 612@7 605@2@2 heavy@2 9000@2 wheelbase:330@2')).sort()).toEqual([
      'Front left: "612@7" names a scale that the club has not. There is 2.',
      'Front right: "605@2@2" names more than one scale. Give it like 612@2.',
      'Rear left: "heavy@2" is not a number. Give a number in g.',
      'Rear right: "9000@2" is out. Give 10 to 5000 g.',
      'Wheelbase: "330@2" names a scale, and a scale weighs. Give 0.1 to 2000 mm.',
    ]);
  });

  it('are not taken with a slip in them', async () => {
    expect(await pit.slips('scale add')).toEqual(['Name is missing. Say what is written on it: scale add 2 known:500 reads:502.']);
    expect(await pit.slips('scale add 3 known:500')).toEqual(['Reads is missing. Give reads too: scale add 2 known:500 reads:502.']);
    expect(await pit.slips('scale add the green one known:500 reads:502')).toEqual([
      'Name: "the green one" cannot stand behind a reading (612@2). Give one word.',
    ]);
    expect(await pit.slips('scale add 3 known:500 reads:200 step:1 kg')).toEqual([
      'Step: "1 kg" is out. Give 0.000001 to 0.1 kg. Did you mean 1 g?',
      'Reads: "200" is more than 20 % off what is known. Weigh it again, with nothing else on the scale.',
    ]);
    expect(await pit.say('scale list')).toBe(
      'The club has no scale yet. Check one with a mass that you know: scale add 2 known:500 reads:502',
    );
  });
});

describe('the box', () => {
  it('holds springs, oils, pinions and ballast with what they measure, whose they are and who has them', async () => {
    for (const thing of ['spring blue 0.45', 'spring red value:2.5 lb ± 0.1', 'oil 30 wt', 'pinion 16', 'ballast lead strip 20 g'])
      await pit.say(`box add ${thing}`);
    await pit.say('box add oil thick value:1000 how:stated note:half a bottle', TOMASZ);
    expect(await pit.say('box lend blue 0.45 to:Tomasz')).toBe('blue 0.45 is lent to Tomasz. When it is back: box return blue 0.45');
    expect(await pit.say('box list')).toBe(
      [
        'Springs',
        '· blue 0.45: 0.45 N/mm · Ines · lent to Tomasz since 14 June 2026',
        '· red: 0.438 N/mm ± 0.018 · Ines',
        'Oils',
        '· oil 30 wt: 350 cSt ± 88 · Ines',
        '· thick: 1000 cSt, stated · Tomasz · half a bottle',
        'Pinions',
        '· pinion 16: 16 teeth · Ines',
        'Ballast',
        '· lead strip 20 g: 20 g · Ines',
      ].join('\n'),
    );
    expect(await pit.say('box list oil')).toMatch(/^Oils\n/);
    expect(await pit.say('box return blue 0.45', TOMASZ)).toBe('blue 0.45 is back from Tomasz.');
    expect(await pit.say('box remove red')).toBe('Taken off the list: spring red: 0.438 N/mm ± 0.018 · Ines');
  });

  it('any sheet takes a thing by its name, and says what it took', async () => {
    await pit.say('box add spring blue 0.45 value:0.4478 ± 0.01');
    await pit.say('box add oil 30 wt value:350 how:stated');
    await pit.say('box add pinion 16');
    const ride = 'ride end:rear motion_ratio:0.62 unsprung_mass:214 corner_load:898';
    const read = await readings(`${ride} spring_rate:Blue 0.45`);
    expect(read.get('spring_rate')).toMatchObject({ value: 0.4478, from: 'given', typed: 'Blue 0.45', note: 'spring from the box' });
    expect(read.get('spring_rate')!.uncertainty).toBeCloseTo((2 * 0.01) / Math.sqrt(3), 9);
    expect(line(await pit.say(`${ride} spring_rate:blue`), 'Given')).toContain(
      'spring rate 0.4478 N/mm ± 0.01 (typed blue; spring from the box)',
    );
    expect((await readings('oil viscosity_a:box oil 30')).get('viscosity_a')).toMatchObject({
      value: 350,
      note: 'oil from the box, stated',
    });
    expect((await readings('gearing motor_kv:3300 cells:2 spur:54 tyre_diameter:109 pinion:pinion 16')).get('pinion')).toMatchObject({
      value: 16,
    });
    expect((await readings('spring_pair end:front rate_a:blue rate_b:0.3')).get('rate_a')).toMatchObject({ value: 0.4478 });
  });

  it('what it gives is a fact of the truck like any other, with how it is known', async () => {
    await pit.say('box add oil thick value:1000 how:stated');
    await pit.say('oil end:front viscosity_a:thick');
    const facts = await pit.archive.facts({ ...INES, truck: 'truck' });
    expect(facts.get('front_viscosity_a')).toMatchObject({ typed: '1000', said: 'thick', how: 'stated', note: 'oil from the box, stated' });
    expect(await pit.say('truck show')).toContain('front viscosity a thick (1000 cSt)');
    expect(await pit.say('truck set rear_viscosity_a:thick')).toContain('rear viscosity a thick (1000 cSt)');
  });

  it('asks back for a name that could be several, or is none, in the ordinary sentence', async () => {
    await pit.say('box add spring blue 0.45');
    await pit.say('box add spring blue soft value:0.3', TOMASZ);
    const asked = (name: string) => pit.slips(`ride end:rear motion_ratio:0.62 unsprung_mass:214 corner_load:898 spring_rate:${name}`);
    expect(await asked('blue')).toEqual(['Spring rate: "blue" could be 2 things. Give one of them: blue 0.45 (Ines), blue soft (Tomasz).']);
    expect(await asked('bleu 0.45')).toEqual(['Spring rate: "bleu 0.45" is not a number. Give 0.005 to 50 N/mm. Did you mean blue 0.45?']);
    expect(await asked('the long ones')).toEqual(['Spring rate: "the long ones" is not a number. Give 0.005 to 50 N/mm.']);
    expect(await pit.slips('truck set rear_spring_rate:blue')).toEqual([
      'Rear spring rate: "blue" could be 2 things. Give one of them: blue 0.45 (Ines), blue soft (Tomasz).',
    ]);
  });

  it('a spring is no tyre and no wheel rate, and a number is never taken for a name', async () => {
    await pit.say('box add spring blue 0.45');
    expect(await pit.slips('hop end:rear unsprung_mass:214 sprung_mass:684 wheel_rate:blue 0.45 tyre_rate:2.9')).toEqual([
      'Wheel rate: "blue 0.45" is not a number. Give 0.005 to 50 N/mm.',
    ]);
    expect((await readings('oil viscosity_a:30 wt')).get('viscosity_a')).toMatchObject({ value: 350 });
    await pit.say('box add oil 30 wt value:400');
    expect((await readings('oil viscosity_a:30 wt')).get('viscosity_a')).toMatchObject({ value: 350 });
    expect((await readings('oil viscosity_a:oil 30 wt')).get('viscosity_a')).toMatchObject({ value: 400 });
  });

  it('is changed by whose it is, and by nobody else', async () => {
    await pit.say('box add spring blue 0.45');
    for (const act of ['box lend blue 0.45 to:Tomasz', 'box remove blue 0.45'])
      expect(await pit.slips(act, TOMASZ)).toEqual(['"blue 0.45" is not yours. It is Ines’s.']);
    expect(await pit.slips('box add spring blue 0.45', TOMASZ)).toEqual([
      'The box has a spring "blue 0.45" already, Ines’s. Give it another name.',
    ]);
    expect(await pit.slips('box return blue 0.45')).toEqual(['"blue 0.45" is lent to nobody. It lies in the box.']);
  });

  it('hears what is missing', async () => {
    expect(await pit.slips('box add')).toEqual(['Kind is missing. Give spring, oil, pinion or ballast: box add spring blue 0.45.']);
    expect(await pit.slips('box add wheel big')).toEqual(['Kind: "wheel" is none of them. Give spring, oil, pinion or ballast.']);
    expect(await pit.slips('box add spring')).toEqual(['Name is missing. Say what to call it: box add spring blue 0.45.']);
    expect(await pit.slips('box add spring red')).toEqual(['Value is missing. Give its rate: value:0.45.']);
    expect(await pit.slips('box add spring red value:hard')).toEqual(['Value: "hard" is not a number. Give 0.005 to 50 N/mm.']);
    expect(await pit.slips('box lend blue')).toEqual(['To is missing. Say who has it now: box lend blue to:NAME.']);
    expect(await pit.slips('box remove blue')).toEqual(['The club has no "blue". The club has none yet.']);
    expect(await pit.say('box list')).toBe('The box is empty. Put something of yours in: box add spring blue 0.45');
  });
});

describe('tracks', () => {
  it('give their whoops to the sheets by name', async () => {
    expect(await pit.say('track add salt flat spacing:2.4 surface:hard salt')).toBe(
      'Track salt flat: whoops 2.4 m · hard salt\nwhoops takes its spacing by name: spacing:salt flat',
    );
    const read = await readings('whoops spacing:Salt Flat wheelbase:330 rear_ride_frequency:2.6');
    expect(read.get('spacing')).toMatchObject({ value: 2.4, typed: 'Salt Flat', note: 'of that track' });
    expect(await pit.slips('whoops spacing:dunes wheelbase:330 rear_ride_frequency:2.6')).toEqual([
      'Spacing: "dunes" is not a number. Give 0.1 to 40 m.',
    ]);
  });

  it('are said more of by whoever knows more, and the rest stays', async () => {
    await pit.say('track add gully surface:loose sand');
    expect((await pit.say('track add gully spacing:7 ft 6 in', TOMASZ)).split('\n')[0]).toBe(
      'Track gully: whoops 2.286 m · loose sand (was: gully: loose sand)',
    );
    expect(await pit.say('track list')).toBe('Tracks\n· gully: whoops 2.286 m · loose sand');
    expect(await pit.slips('track add 7')).toEqual(['Name: "7" would be read as a number. Give it a word.']);
    expect(await pit.say('track remove gully')).toBe('Taken off the list: track gully: whoops 2.286 m · loose sand');
  });
});

describe('for the other faces', () => {
  it('suggests names, and does each thing once', async () => {
    const suggest = (command: string, option: string, who = INES) => pit.commands.suggest({ command, options: {}, asker: who }, option);
    await pit.reply('box add spring blue 0.45', INES, 'i-1');
    expect((await pit.reply('box add spring blue 0.45', INES, 'i-1')).kind).toBe('words');
    expect(await suggest('box lend', 'name')).toEqual(['blue 0.45']);
    expect(await suggest('box lend', 'name', TOMASZ)).toEqual([]);
    await pit.say('box lend blue 0.45 to:somebody');
    expect(await suggest('box return', 'name')).toEqual(['blue 0.45']);
    expect(await suggest('scale remove', 'name')).toEqual([]);
  });

  it('an answer given with names is not stale when it is looked at again', async () => {
    await pit.say('scale add 2 known:500 reads:502');
    await pit.say('box add spring blue 0.45');
    await pit.say('corners 612@2 605 901 896 wheelbase:330');
    await pit.say('ride end:rear motion_ratio:0.62 unsprung_mass:214 spring_rate:blue');
    pit.wait(13 * 3_600_000);
    expect(await pit.say('truck show')).not.toContain('Stale');
    await pit.say('truck set rear_spring_rate:0.3');
    expect(await pit.say('truck show')).toMatch(/Stale.*\n· Ride, rear .* for spring rate blue 0\.45 \(0\.45 N\/mm\) → 0\.3 N\/mm/);
  });

  it('the machine’s face knows nothing of names', async () => {
    const { ask } = await import('../../../worksheets/engine/ask.ts');
    await pit.say('scale add 2 known:500 reads:502');
    const asked = ask(pit.sheets.get('corners')!, {
      readings: { front_left: '612@2', front_right: '605', rear_left: '901', rear_right: '896' },
    });
    expect(asked.kind).toBe('problems');
  });
});
