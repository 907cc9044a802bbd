import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable, Writable } from 'node:stream';
import { afterAll, describe, expect, it } from 'vitest';
import type { Commands, Message, Reply } from '../../../bot/commands/types.ts';
import { runTerminal } from '../../../bot/transports/terminal/index.ts';
import { answerLine } from '../../../bot/transports/terminal/json.ts';
import { loadFormulas, loadSheets } from '../../../worksheets/engine/library.ts';
import { club } from '../../support/club-sheet.ts';

const sheets = await loadSheets(await loadFormulas());
const folder = mkdtempSync(join(tmpdir(), 'terminal-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const ASKER = { club: 'saltpan', member: 'local', memberName: 'You' };
const PICTURE = Uint8Array.of(137, 80, 78, 71);

interface Ran {
  readonly status: number;
  readonly out: string;
  readonly err: string;
  /** Messages that reached the commands, and with them the archive. */
  readonly heard: readonly Omit<Message, 'asker'>[];
  readonly drawn: number;
}
/** The terminal over real streams. What its commands would answer is handed in: they are tested by themselves. */
async function run(args: readonly string[], { input = '', reply = {} as Partial<Reply>, card = true } = {}): Promise<Ran> {
  const said = { out: '', err: '' };
  const into = (key: 'out' | 'err'): Writable =>
    new Writable({
      write: (chunk, _, done) => {
        said[key] += String(chunk);
        done();
      },
    });
  const heard: Omit<Message, 'asker'>[] = [];
  let drawn = 0;
  const commands: Commands = {
    specs: [],
    suggest: async () => [],
    answer: async ({ command, options }) => {
      heard.push({ command, options: { ...options } });
      return { kind: 'answer', text: 'The answer.', visibility: 'public', ...reply };
    },
  };
  const status = await runTerminal(
    {
      sheets,
      out: into('out'),
      err: into('err'),
      input: Readable.from([Buffer.from(input)]),
      commands: async () => commands,
      draw: async () => {
        drawn += 1;
        return card ? PICTURE : null;
      },
      asker: ASKER,
    },
    args,
  );
  return { status, ...said, heard, drawn };
}
const json = async (...words: string[]) => {
  const { out, ...rest } = await run([...words, '--json']);
  const lines = out.trimEnd().split('\n');
  expect(lines).toHaveLength(1);
  return { ...rest, made: JSON.parse(lines[0]!) };
};
const texts = (made: { problems: { text: string }[] }): string[] => made.problems.map(({ text }) => text);

describe('a question in the terminal', () => {
  it('prints the answer, and ends with 0', async () => {
    expect(await run(['corners', '612', '605', '901', '896'])).toMatchObject({
      status: 0,
      out: 'The answer.\n',
      err: '',
      heard: [{ command: 'corners', options: { front_left: '612', front_right: '605', rear_left: '901', rear_right: '896' } }],
    });
  });

  it('takes names with hyphens, with equals signs or colons, and values with spaces', async () => {
    const { heard } = await run(['corners', 'front-left=612', 'front_right=605 g', 'rear-left:901', 'REAR_RIGHT=896']);
    expect(heard[0]!.options).toEqual({ front_left: '612', front_right: '605 g', rear_left: '901', rear_right: '896' });
    expect((await run(['top-speed', 'pinion=18'])).heard).toEqual([{ command: 'top_speed', options: { pinion: '18' } }]);
  });

  it('without words it is help', async () => {
    expect((await run([])).heard).toEqual([{ command: 'help', options: { about: '' } }]);
    expect((await run(['help', 'springs'])).heard).toEqual([{ command: 'help', options: { about: 'springs' } }]);
  });

  it('in plain words is help too, as on the bench; a mistyped command stays what it is', async () => {
    const plain = await run(['how', 'stiff', 'is', 'this', 'spring']);
    expect(plain).toMatchObject({ status: 0, heard: [{ command: 'help', options: { about: 'how stiff is this spring' } }] });
    expect((await run(['how stiff is this spring?'])).heard).toEqual([
      { command: 'help', options: { about: 'how stiff is this spring?' } },
    ]);
    expect((await run(['cornerz', '612', '605', '901', '896'])).heard).toEqual([{ command: 'cornerz', options: {} }]);
  });

  it('ends with 1 and speaks on the other stream when something is wrong', async () => {
    expect(await run(['corners', '612'], { reply: { kind: 'problems', text: 'Front right is missing.' } })).toMatchObject({
      status: 1,
      out: '',
      err: 'Front right is missing.\n',
    });
    expect(await run(['corners', '1', '2', '3', '4', '5'])).toMatchObject({ status: 1, out: '', heard: [] });
  });

  it.each([
    [['--verbose', 'corners'], 'There is no flag --verbose.'],
    [['corners', '--JSON'], 'There is no flag --JSON.'],
    [['corners', '--'], 'There is no flag --.'],
    [['corners', '--card'], '--card needs a file to write to.'],
    [['corners', '--card', '--json'], '--card needs a file to write to.'],
    [['corners', '--card', ''], '--card needs a file to write to.'],
    [['corners', '--json', '--json'], '--json stands twice.'],
    [['--jsonl', 'corners'], '--jsonl stands alone'],
    [['--jsonl', '--json'], '--jsonl stands alone'],
    [['--jsonl', '--card', 'x.png'], '--jsonl stands alone'],
    [['--json'], 'Usage:'],
    [['--card', 'x.png'], 'Usage:'],
  ])('%j: wrong flags end with 2 and say how it goes', async (args, said) => {
    const { status, out, err, heard } = await run(args);
    expect({ status, out, heard }).toEqual({ status: 2, out: '', heard: [] });
    expect(err).toContain(said);
    expect(err).toContain('Usage: npm run -s ask -- SHEET READINGS');
  });

  it('a minus is no flag', async () => {
    expect((await run(['corners', 'warp=-5', '-12'])).heard[0]!.options).toMatchObject({ warp: '-5 -12' });
  });
});

describe('--card', () => {
  const file = (name: string): string => join(folder, name);
  const reply = { card: { png: async () => PICTURE, alt: 'A card', name: 'corners.png' } };

  it('writes the picture beside the words', async () => {
    expect(await run(['corners', '612', '--card', file('a.png')], { reply })).toMatchObject({ status: 0, out: 'The answer.\n', err: '' });
    expect(readFileSync(file('a.png'))).toEqual(Buffer.from(PICTURE));
  });

  it('says when there is none, and when it cannot be written', async () => {
    expect(await run(['help', '--card', file('b.png')])).toMatchObject({ status: 1, err: 'There is no card for this.\n' });
    const { status, out, err } = await run(['corners', '612', '--card', join(folder, 'no', 'such', 'c.png')], { reply });
    expect({ status, out }).toEqual({ status: 1, out: 'The answer.\n' });
    expect(err).toMatch(/^The card could not be written: .+\n$/);
    const failing = { card: { ...reply.card, png: async () => Promise.reject(new Error('out of ink')) } };
    expect((await run(['corners', '612', '--card', file('d.png')], { reply: failing })).err).toBe(
      'The card could not be written: out of ink\n',
    );
  });

  it('with --json it is drawn from the answer itself, without an archive', async () => {
    const four = ['corners', '612', '605', '901', '896'];
    expect(await run([...four, '--json', '--card', file('e.png')])).toMatchObject({ status: 0, heard: [], drawn: 1 });
    expect(readFileSync(file('e.png'))).toEqual(Buffer.from(PICTURE));
    expect(await run([...four, '--json', '--card', file('f.png')], { card: false })).toMatchObject({
      status: 1,
      err: 'There is no card for this.\n',
    });
    expect(await run(['corners', '612', '--json', '--card', file('g.png')])).toMatchObject({ status: 1, heard: [], drawn: 0 });
  });
});

describe('--json', () => {
  it('is one object with readings, answers and cautions as the contract has them', async () => {
    const { status, made, heard } = await json('corners', '612', '605', '901', '896', 'wheelbase=12.99213 in');
    expect({ status, heard }).toEqual({ status: 0, heard: [] });
    expect(Object.keys(made)).toEqual(['sheet', 'readings', 'answers', 'cautions', 'next']);
    expect(made.sheet).toBe('corners');
    expect(made.readings.front_left).toEqual({ value: 612, unit: 'g', uncertainty: expect.closeTo(1 / Math.sqrt(3), 14), from: 'given' });
    expect(made.readings.target_rear).toMatchObject({ value: 60, unit: '%', from: 'default' });
    expect(made.readings.wheelbase.value).toBeCloseTo(12.99213 * 25.4, 10);
    expect(Object.keys(made.answers.rear_share)).toEqual(['value', 'unit', 'uncertainty', 'verdict', 'text']);
    expect(made.answers.rear_share).toMatchObject({ unit: '%', verdict: 'on target', text: expect.stringMatching(/^59\.62\d* % ± 0\.0/) });
    expect(made.answers.rear_share.value).toBeCloseTo((100 * 1797) / 3014, 12);
    expect(made.cautions).toEqual([]);
  });

  it('gives units as the contract spells them: 1 where there is none, null for yes/no and words', async () => {
    const { made } = await json('coil', 'wire=1.2', 'outside_diameter=17.2', 'total_coils=10');
    expect(made.answers.spring_index.unit).toBe('1');
    expect(made.readings.ends).toMatchObject({ value: 'squared_ground', unit: null });
    const press = await json('press', 'press_points=0/78 500/71,2 900/65.4');
    expect(press.made.answers.straight).toMatchObject({ value: true, unit: null, uncertainty: null });
    expect(press.made.readings.press_points).toEqual({
      value: [
        { load: 0, height: 78 },
        { load: 500, height: 71.2 },
        { load: 900, height: 65.4 },
      ],
      unit: 'g/mm',
      uncertainty: null,
      from: 'given',
    });
  });

  it('says why a value is not there, in its text', async () => {
    const { made } = await json(
      'ride',
      'end=rear',
      'corner_load=899',
      'spring_rate=0.72',
      'motion_ratio=0.58',
      'unsprung_mass=210',
      'target_sag=40',
    );
    expect(made.end).toBe('rear');
    expect(made.answers.preload_for_sag).toEqual({
      value: null,
      unit: 'mm',
      uncertainty: null,
      verdict: null,
      text: expect.stringContaining('too stiff'),
    });
    expect(made.answers).not.toHaveProperty('up_travel');
  });

  it('gives curves as columns', async () => {
    const { made } = await json('gearing', '3300', '2', '18', '54', 'tyre_diameter=109');
    expect(made.curves).toHaveLength(1);
    expect(Object.keys(made.curves[0])).toEqual(['over', 'unit', 'x', 'answers']);
    expect(made.curves[0].x).toEqual([14, 15, 16, 17, 18, 19, 20, 21, 22]);
    expect(made.curves[0].answers.ideal_speed[4]).toBe(made.answers.ideal_speed.value);
  });

  it('gives all problems at once, each with reading, got, needs and text', async () => {
    const { status, made } = await json('corners', '6120', '605', 'rear_left=1,234', 'wheelbse=330');
    expect(status).toBe(1);
    expect(Object.keys(made)).toEqual(['sheet', 'problems']);
    expect(made.problems.map(({ reading }: { reading: string }) => reading)).toEqual(['wheelbse', 'front_left', 'rear_left', 'rear_right']);
    expect(made.problems[1]).toEqual({
      reading: 'front_left',
      got: '6120',
      needs: 'Give 10 to 5000 g.',
      text: 'Front left: "6120" is out. Give 10 to 5000 g. Did you mean 612.0 g?',
    });
    for (const one of made.problems) expect(Object.keys(one).sort()).toEqual(['got', 'needs', 'reading', 'text']);
  });

  it.each([
    [['cornrs', '612'], 'There is no sheet "cornrs". Did you mean corners?'],
    [['setup', 'save', 'x'], 'There is no sheet "setup".'],
    [['corners', 'quick=612 605 901 896 1'], '5 values stand in a row.'],
    [['help'], 'There is no sheet "help".'],
    [['constructor'], 'There is no sheet "constructor".'],
    [['corners', '612', '605', '901', '896', 'end=front'], 'End: corners looks at the whole truck. Leave it out.'],
    [['press', 'press_points=0/78 500/71', 'end=middle'], 'End: "middle" is no end of a truck. Give front or rear.'],
    [['corners', '612', '605', '901', '896', 'truck=Mudlark'], '"truck" is no reading here.'],
  ])('%j', async (words, said) => {
    const { status, made } = await json(...words);
    expect(status).toBe(1);
    expect(texts(made).join()).toContain(said);
  });

  it('reads the end and the quick line however they are written', async () => {
    expect((await json('press', 'press_points=0/78 500/71', 'end=Front')).made.end).toBe('front');
    expect((await json('/corners', 'quick=612 605 901 896')).made.answers.total.value).toBeCloseTo(3014, 9);
    expect((await json('corners', 'quick=612 605', 'rear-left=901', 'rear_right=896')).made.answers.total.value).toBeCloseTo(3014, 9);
  });
});

describe('--jsonl', () => {
  const lines = async (input: string) => {
    const ran = await run(['--jsonl'], { input });
    expect(ran.heard).toEqual([]);
    return {
      ...ran,
      made:
        ran.out === ''
          ? []
          : ran.out
              .trimEnd()
              .split('\n')
              .map((line) => JSON.parse(line)),
    };
  };
  const four = { front_left: 612, front_right: '605 g', rear_left: '901', rear_right: '0.896 kg' };

  it('answers each line in order, right or wrong, and ends with 1 when some were wrong', async () => {
    const { status, made } = await lines(
      [
        JSON.stringify({ sheet: 'corners', readings: four }),
        'not json',
        JSON.stringify({ sheet: 'coil', readings: { wire: 1.2, outside_diameter: 17.2, total_coils: 10 } }),
        '[1, 2]',
        'null',
        '"corners"',
        '{}',
        JSON.stringify({ sheet: 7 }),
        JSON.stringify({ sheet: 'cornrs', readings: {} }),
        JSON.stringify({ sheet: 'corners', readings: [] }),
        JSON.stringify({ sheet: 'corners', readings: null }),
        JSON.stringify({ sheet: 'corners', readings: { ...four, wheelbse: 330 } }),
        JSON.stringify({ sheet: 'corners', readings: { ...four, wheelbase: {} } }),
        JSON.stringify({ sheet: 'corners', readings: { ...four, wheelbase: null } }),
        JSON.stringify({ sheet: 'corners' }),
        JSON.stringify({ sheet: 'ride', end: { toString: 1 } }),
        JSON.stringify({ sheet: 'press', end: 'rear', readings: { press_points: '0/78 500/71' } }),
        JSON.stringify({ sheet: 'press', readings: { end: 'front', press_points: '0/78 500/71' } }),
      ].join('\n'),
    );
    expect(status).toBe(1);
    expect(
      made.map(({ sheet, answers, problems }) => (answers ? `${sheet} answered` : `${sheet}: ${problems[0].text.slice(0, 40)}`)),
    ).toEqual([
      'corners answered',
      'null: This line is no JSON. Give one object a ',
      'coil answered',
      'null: This line is no object. Give {"sheet": "',
      'null: This line is no object. Give {"sheet": "',
      'null: This line is no object. Give {"sheet": "',
      'null: This line names no sheet. Give {"sheet":',
      'null: This line names no sheet. Give {"sheet":',
      'cornrs: There is no sheet "cornrs". Did you mean',
      'corners: The readings of this line are no object:',
      'corners: The readings of this line are no object:',
      'corners: "wheelbse" is no reading of corners. Did',
      'corners: Wheelbase: give it as a text or a number',
      'corners: Wheelbase: give it as a text or a number',
      'corners: Front left is missing (front left wheel)',
      'ride: End: "{…}" is no end of a truck. Give fr',
      'press answered',
      'press answered',
    ]);
    expect(made[0].answers.total.value).toBeCloseTo(3014, 9);
    expect(made[12].problems).toHaveLength(1);
    expect(made[16].end).toBe('rear');
    expect(made[17].end).toBe('front');
  });

  it('ends with 0 when every line was answered, with or without a last line end, with an order mark or empty lines', async () => {
    const line = JSON.stringify({ sheet: 'corners', readings: four });
    for (const input of [`${line}\n`, line, `\ufeff${line}\n`, `${line}\r\n`, `\n${line}\n\n`]) {
      const { status, made } = await lines(input);
      expect({ status, answered: made.map(({ sheet }) => sheet) }).toEqual({ status: 0, answered: ['corners'] });
    }
    expect(await lines('')).toMatchObject({ status: 0, out: '', made: [] });
  });

  it('a sheet may be written with hyphens, and a reading that is no value is not missing as well', async () => {
    const { made } = await lines(
      '{"sheet":"top-speed"}\n{"sheet":"Top Speed"}\n{"sheet":"corners","readings":{"front_left":{},"front_right":1,"rear_left":612,"rear_right":612}}',
    );
    expect(made.map(({ sheet }) => sheet)).toEqual(['top_speed', 'top_speed', 'corners']);
    expect(texts(made[2])).toEqual([
      'Front left: give it as a text or a number.',
      'Front right: "1" is out. Give 10 to 5000 g. Did you mean 10 g?',
    ]);
  });

  it('numbers mean what their digits mean, as text or as numbers', async () => {
    const of = async (front_left: unknown): Promise<number> =>
      (await lines(JSON.stringify({ sheet: 'corners', readings: { ...four, front_left } }))).made[0].readings.front_left.value;
    expect(await of(1.234e3)).toBe(1234);
    expect(await of('1 234')).toBe(1234);
    expect(await of(612.5)).toBe(612.5);
    expect(await of('612,5')).toBe(612.5);
    const { made } = await lines(
      `${JSON.stringify({ sheet: 'corners', readings: { ...four, wheelbase: 1e-7 } })}\n{"sheet":"corners","readings":{"front_left":1e400}}`,
    );
    expect(made[0].problems[0].text).toBe('Wheelbase: "1e-7" is out. Give 0.1 to 2000 mm.');
    expect(made[1].problems[0].text).toBe('Front left: "Infinity" is not a number. Give 10 to 5000 g.');
  });

  it('a yes/no may be true or false', () => {
    const lights = club({ readings: 'on : yes/no', workings: 'x = if(on, 1, 2)', answers: 'x : in 1' });
    const values = [true, false, 'yes', 'no'].map((on) => {
      const made = answerLine(new Map([['lights', lights]]), JSON.stringify({ sheet: 'lights', readings: { on } }));
      return made.kind === 'answer' ? made.answers[0]!.value : made.problems;
    });
    expect(values).toEqual([1, 2, 1, 2]);
  });

  it('a name of the machinery is a name like any other', async () => {
    for (const name of ['__proto__', 'constructor', 'toString', 'hasOwnProperty']) {
      const { made } = await lines(`{"sheet":"corners","readings":{"${name}":"1"}}\n{"sheet":"${name}","readings":{}}`);
      expect(made[0].problems[0].text).toContain(`"${name}" is no reading of corners.`);
      expect(made[1].problems[0].text).toContain(`There is no sheet "${name}".`);
    }
  });

  it('nests without end are told like anything else', async () => {
    const deep = `${'['.repeat(200_000)}${']'.repeat(200_000)}`;
    const { made } = await lines(
      [`{"sheet":"ride","end":${deep}}`, `{"sheet":"ride","readings":{"preload":${deep}}}`, deep, `{"sheet":${deep}}`].join('\n'),
    );
    expect(made.map((one) => one.problems[0].text.slice(0, 34))).toEqual([
      'End: "[…]" is no end of a truck. G',
      'Preload: give it as a text or a nu',
      'This line is no object. Give {"she',
      'This line names no sheet. Give {"s',
    ]);
  });

  it('signs that look like line ends stay inside their answer', async () => {
    const { made, out } = await lines(
      JSON.stringify({ sheet: 'a\u2028b\nc', readings: { 'x\u2029y\r\n\u0085': '\u2028' } }).concat(
        '\n',
        JSON.stringify({ sheet: 'corners', readings: { 'x\u2029y': '1\u20282\ud83d' } }),
      ),
    );
    expect(made).toHaveLength(2);
    expect(out).not.toMatch(/[\u2028\u2029\u0085]|\r/);
  });

  it('a line of a million signs and more is told, and what follows is answered', async () => {
    const { status, made } = await lines(
      `{"sheet":"${'a'.repeat(1_200_000)}"}\n${JSON.stringify({ sheet: 'corners', readings: four })}\n{"sheet":"${'b'.repeat(500_000)}"}`,
    );
    expect(status).toBe(1);
    expect(made[0].problems[0].text).toBe('This line is too long. Give a line of at most 1000000 characters.');
    expect(made[1].sheet).toBe('corners');
    expect(JSON.stringify(made[2]).length).toBeLessThan(2000);
  });

  it('three thousand lines come back as three thousand lines, in order', async () => {
    const { status, made } = await lines(
      Array.from({ length: 3000 }, (_, i) => JSON.stringify({ sheet: 'corners', readings: { ...four, front_left: 10 + i } })).join('\n'),
    );
    expect(status).toBe(0);
    expect(made.map(({ readings }) => readings.front_left.value)).toEqual(Array.from({ length: 3000 }, (_, i) => 10 + i));
  });

  it('the same question gets the same answer, whatever the order of its readings and whatever was asked before', async () => {
    const shuffled = Object.fromEntries(Object.entries(four).reverse());
    const { out } = await lines(
      [four, { ...four, front_left: 700 }, shuffled, four].map((readings) => JSON.stringify({ sheet: 'corners', readings })).join('\n'),
    );
    const [first, , third, fourth] = out.split('\n');
    expect(third).toBe(first);
    expect(fourth).toBe(first);
  });

  it('answers as it is asked, without waiting for the end', async () => {
    const input = new PassThrough();
    const out = new PassThrough({ encoding: 'utf8' });
    const commands = async (): Promise<Commands> => expect.fail('no archive is wanted');
    const done = runTerminal({ sheets, out, err: new PassThrough(), input, commands, draw: async () => null, asker: ASKER }, ['--jsonl']);
    for (const front_left of [612, 613]) {
      input.write(`${JSON.stringify({ sheet: 'corners', readings: { ...four, front_left } })}\n`);
      const [line] = (await new Promise<string>((got) => out.once('data', got))).split('\n');
      expect(JSON.parse(line!).readings.front_left.value).toBe(front_left);
    }
    input.end();
    expect(await done).toBe(0);
  });

  it('stops when nobody reads any more', async () => {
    let writes = 0;
    const out = new Writable({
      write: (_, __, fail) => {
        writes += 1;
        fail(Object.assign(new Error('write EPIPE'), { code: 'EPIPE' }));
      },
    });
    const input = Readable.from(Array.from({ length: 1000 }, () => `${JSON.stringify({ sheet: 'corners', readings: four })}\n`));
    const commands = async (): Promise<Commands> => expect.fail('no archive is wanted');
    expect(
      await runTerminal({ sheets, out, err: new PassThrough(), input, commands, draw: async () => null, asker: ASKER }, ['--jsonl']),
    ).toBe(0);
    expect(writes).toBe(1);
  });
});
