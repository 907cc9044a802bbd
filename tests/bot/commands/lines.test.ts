/** Lines as they are typed with dusty hands: what stands behind a name, short names of corners and ends, a row that needs no name. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { INES, openPitSide, type PitSide } from './pit-side.ts';

let pit: PitSide;
beforeEach(async () => {
  pit = await openPitSide();
});
afterEach(() => pit.end());

const first = (text: string): string => text.split('\n')[0]!;
const given = async (line: string): Promise<Record<string, unknown>> => {
  const reply = await pit.reply(line);
  expect(reply.problems ?? [], line).toEqual([]);
  const { answer } = reply;
  const typed = answer!.readings.filter(({ from }) => from === 'given').map(({ name, value }) => [name, value]);
  return { ...Object.fromEntries(typed), ...(answer!.end === null ? {} : { end: answer!.end }) };
};
const four = { front_left: 612, front_right: 605, rear_left: 901, rear_right: 896 };

describe('what stands behind a named value', () => {
  it('is the run, behind a track that the club knows', async () => {
    await pit.say('track add Quarry');
    await pit.say('track add Quarry east');
    expect(first(await pit.say('run add track:quarry 24.2 24.1'))).toBe('Run 1 of truck: 2 laps, mean 24.15 s · Quarry');
    expect(first(await pit.say('run add track:Quarry east laps 24.2 24.1'))).toBe('Run 2 of truck: 2 laps, mean 24.15 s · Quarry east');
    // A track that nobody knows may have any name, and what was said already is not added to.
    expect(await pit.slips('run add track:gully 24.2 24.1')).toEqual([expect.stringMatching(/^Line is missing\. /)]);
    expect(first(await pit.say('run add calm track:Quarry 2'))).toBe('Run 3 of truck: Quarry 2');
  });

  it('is what is told of a truck, behind one of yours', async () => {
    await pit.say('truck use Sandhopper');
    await pit.say('truck use Mudlark');
    expect(await pit.say('truck set truck:sandhopper wheelbase:332')).toMatch(/^Kept for Sandhopper\n.*wheelbase 332 mm/i);
    expect(await pit.say('truck parts truck:Sandhopper add lead 60 off')).toMatch(/^Sandhopper: lead/);
    expect(await pit.say('truck set truck:"Sandhopper" wheelbase:333')).toMatch(/^Kept for Sandhopper\n.*wheelbase 333 mm/i);
    expect(await given('corners truck:Sandhopper 612 605 901 896')).toEqual(four);
    expect((await pit.archive.truckBook({ ...INES, truck: 'Sandhopper' })) as object).toMatchObject({
      latest: [{ sheet: 'corners' }],
    });
  });

  it('is the row, behind an end', async () => {
    const row = { axle_droop: 14, axle_ride: 46, axle_bump: 118, shock_droop: 128, shock_ride: 109.5, shock_bump: 64, end: 'front' };
    expect(await given('heights end=front 14 46 118 128 109.5 64')).toEqual(row);
    expect(await given('heights 14 46 118 128 109.5 64 end:front')).toEqual(row);
  });

  it('is the name, behind the number of a revision', async () => {
    expect(await pit.slips('setup restore rev:1 7')).toEqual([expect.stringMatching(/^There is no setup 7/)]);
  });
});

describe('a row of its own', () => {
  it('checks a scale: its name, the mass that is known, what it shows', async () => {
    expect(first(await pit.say('scale add kitchen 500 507'))).toMatch(/^Scale kitchen/);
    expect(await pit.archive.things({ club: INES.club, kinds: ['scale'] })).toMatchObject([
      { name: 'kitchen', scale: { known: 0.5, reads: 0.507 } },
    ]);
    await pit.say('scale add 2 500 g 502 g step:0.1');
    await pit.say('scale add pit');
    expect(await pit.archive.things({ club: INES.club, kinds: ['scale'] })).toMatchObject([
      { name: '2', scale: { known: 0.5, reads: 0.502, step: 0.0001 } },
      { name: 'kitchen' },
      { name: 'pit' },
    ]);
    expect(await pit.slips('scale add kitchen 500 900')).toEqual([expect.stringContaining('more than 20 % off')]);
    expect(await pit.slips('scale add the green one')).toEqual([expect.stringContaining('cannot stand behind a reading')]);
  });

  it('adds a track with its spacing, and leaves a number that belongs to the name', async () => {
    await pit.say('track add Quarry 1.4 m');
    await pit.say('track add "Long salt" 2,4');
    await pit.say('track add Oval 2');
    expect(await pit.archive.things({ club: INES.club, kinds: ['track'] })).toMatchObject([
      { name: 'Long salt', value: 2.4 },
      { name: 'Oval 2', value: null },
      { name: 'Quarry', value: 1.4 },
    ]);
  });

  it('goes to the only reading that a sheet needs', async () => {
    const { answer } = await pit.reply('press 0/78 500/71.2 900/65.4');
    expect(answer).toMatchObject({ sheet: 'press', readings: [{ name: 'press_points', from: 'given' }] });
    expect(await given('joint 20')).toMatchObject({ joint_angle: 20 });
    // Two that it needs, and no quick line: nobody knows which is which.
    expect(await pit.slips('sink 10')).toContain('"10" has no name. Write name:value.');
  });

  it('takes pounds and ounces as one value', async () => {
    // 1 lb 5.6 oz = 21.6 × 28.349523125 g = 612.35 g (the pound is 453.59237 g exactly).
    expect(await given('corners 1 lb 5.6 oz 605 901 896')).toEqual({ ...four, front_left: expect.closeTo(612.3496995, 8) });
  });
});

describe('short names', () => {
  it('are those of the corners', async () => {
    expect(await given('corners fl=612 fr=605 rl=901 rr=896')).toEqual(four);
    expect(await given('corners FL 612 FR 605 RL 901 RR 896 wheelbase:330')).toEqual({ ...four, wheelbase: 330 });
    expect(await given('corners FL: 612 g, FR: 605 g, RL: 901 g, RR: 896 g')).toEqual(four);
    expect(await pit.say('truck set fl 612 fr:605')).toMatch(/front left 612 g.*front right 605 g/is);
    // On a sheet without corners, and in the name of a truck, they are nothing of the kind.
    expect(await pit.slips('whoops fl=612')).toEqual([expect.stringMatching(/^"fl" is no reading here/)]);
    expect(await given('corners 612 605 901 896 truck:FL 2')).toEqual(four);
    expect(await pit.archive.trucks(INES)).toContain('FL 2');
  });

  it('say the end with the reading', async () => {
    const rear = 'ride rear_spring_rate:0.5 motion_ratio:0.62 rear-unsprung-mass:214 corner_load:898';
    expect(await given(rear)).toEqual({ end: 'rear', spring_rate: 0.5, motion_ratio: 0.62, unsprung_mass: 214, corner_load: 898 });
    expect(await given(`${rear} end:rear`)).toMatchObject({ end: 'rear' });
    const two = ['End: ride looks at one end at a time. Ask for the front, then for the rear.'];
    expect(await pit.slips(`${rear} end:front`)).toEqual(two);
    expect(await pit.slips(`${rear} front_spring_rate:0.4`)).toEqual(two);
    // A sheet of the whole truck has readings of these names itself.
    expect(await pit.slips('pitch front_spring_rate:0.4')).toEqual([expect.stringMatching(/is no reading here/)]);
  });

  it('may be whole names as one says them, with a number behind', async () => {
    expect(await given('corners front left 612 front right 605 rear left 901 rear-right 896 wheelbase 330mm')).toEqual({
      ...four,
      wheelbase: 330,
    });
    expect(await given('corners 612 605 901 896 wheelbase 330mm')).toEqual({ ...four, wheelbase: 330 });
    expect(await given('corners 612g. 605 g. 901 896.')).toEqual(four);
    expect(await given('ride rear spring rate 0.5 rear motion ratio 0.62 unsprung mass 214 corner load 898')).toEqual({
      end: 'rear',
      spring_rate: 0.5,
      motion_ratio: 0.62,
      unsprung_mass: 214,
      corner_load: 898,
    });
    await pit.say('scale add kitchen known:500 reads:500');
    expect(await given('corners 612 @kitchen 605 901@kitchen 896')).toEqual(four);
    expect(await pit.say('truck set rear left 901 tyre diameter 109')).toMatch(/rear left 901 g/);
    expect(await given('corners 612 605 901 896 truck:Front left 3')).toEqual(four);
    expect(await pit.archive.trucks(INES)).toContain('Front left 3');
  });

  it('need no colon before a number that is told to a truck', async () => {
    expect(await pit.say('truck set wheelbase 332 pack_mass 292 g')).toMatch(
      /pack mass 292 g.*wheelbase 332 mm|wheelbase 332 mm.*pack mass 292 g/is,
    );
    await pit.say('box add pinion 16');
    expect(await pit.say('truck set pinion:pinion 16')).toMatch(/pinion 16/);
    expect(await pit.slips('truck set wheelbase long')).toEqual(['"wheelbase long" has no name. Write name:value.']);
  });
});
