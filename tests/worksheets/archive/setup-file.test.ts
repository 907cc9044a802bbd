import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { nameKey } from '../../../worksheets/archive/names.ts';
import {
  picturesIn,
  readSetupFile,
  SETUP_FORMAT,
  type SetupFile,
  setupJson,
  setupMarkdown,
} from '../../../worksheets/archive/setup-file.ts';
import { smallWebp } from '../../support/pictures.ts';

const schema = JSON.parse(readFileSync(new URL('../../../docs/setup.schema.json', import.meta.url), 'utf8')) as object;
const fits = new Ajv2020({ strict: true, allErrors: true }).compile(schema);

const PICTURES = (await Promise.all([1, 2, 3, 4].map(smallWebp))).map((bytes) => bytes.toString('base64'));

/** Text as people type it, and as they had better not. */
const text = (most: number) =>
  fc
    .oneof(
      fc.string({ unit: 'grapheme', minLength: 1, maxLength: Math.min(most, 30) }),
      fc.constantFrom(
        'no',
        '1e3',
        '24:10',
        'null',
        '~',
        '- a',
        '# b',
        '"',
        '```',
        ' -- ',
        'a -- b, u 3',
        '{',
        '---',
        "it's",
        'ends in \\',
        '\u2028',
        '612 ± 2 g',
        '0/78; 500/71,2',
      ),
    )
    .filter((one) => one.trim() !== '' && one.isWellFormed() && !one.includes('\0') && !/\r/.test(one) && [...one].length <= most);
const word = fc.stringMatching(/^[a-z][a-z0-9_]{0,20}$/);
const time = fc.date({ min: new Date('1990-01-01'), max: new Date('2090-01-01'), noInvalidDate: true }).map((at) => at.toISOString());
const end = fc.constantFrom('front' as const, 'rear' as const);
const place = fc.oneof(
  fc.constant('off' as const),
  fc.double({ min: -0.5, max: 2, noNaN: true }).map((x) => x + 0),
);
const maybe = <T>(one: fc.Arbitrary<T>): fc.Arbitrary<T | undefined> => fc.option(one, { nil: undefined });
const bare = <T extends object>(value: T): T => Object.fromEntries(Object.entries(value).filter(([, one]) => one !== undefined)) as T;
const anyFile: fc.Arbitrary<SetupFile> = fc
  .record({
    format: fc.constant(SETUP_FORMAT),
    name: text(60),
    truck: text(60),
    saved: time,
    notes: fc.oneof(fc.constant(''), text(2000), fc.constant('two\nlines\n\nand ```facts\nfour')),
    tags: fc.array(text(30), { maxLength: 4 }),
    conditions: fc
      .record({
        track: maybe(text(60)),
        surface: maybe(text(60)),
        grip: maybe(text(60)),
        temperature: maybe(text(60)),
        wind: maybe(text(60)),
      })
      .map(bare) as fc.Arbitrary<SetupFile['conditions']>,
    facts: fc.uniqueArray(
      fc
        .record({
          fact: word,
          typed: text(200),
          how: fc.constantFrom('measured' as const, 'stated' as const, 'assumed' as const),
          at: time,
          uncertainty: maybe(fc.double({ min: 0, noNaN: true, noDefaultInfinity: true }).map((u) => u + 0)),
          said: maybe(text(60)),
          note: maybe(text(60)),
          sheet: maybe(word),
          end: maybe(end),
        })
        .map(bare) as fc.Arbitrary<SetupFile['facts'][number]>,
      { selector: (fact) => fact.fact, maxLength: 8 },
    ),
    parts: maybe(
      fc.uniqueArray(
        fc.record({
          name: text(60),
          count: fc.integer({ min: 1, max: 100 }),
          typed: text(60),
          mass: fc.double({ min: 1e-4, max: 5, noNaN: true }),
          uncertainty: fc.option(fc.double({ min: 0, max: 5, noNaN: true }).map((u) => u + 0)),
          place: fc.option(place),
          places: fc.array(place, { maxLength: 4 }),
          sprung: fc.boolean(),
          axle: fc.option(end),
          role: fc.constantFrom('tyre' as const, 'rim' as const, 'pack' as const, 'turns' as const, null),
          note: fc.oneof(fc.constant(''), text(60)),
        }),
        { selector: ({ name }) => nameKey(name), minLength: 1, maxLength: 4 },
      ),
    ) as fc.Arbitrary<SetupFile['parts']>,
    sheets: fc.uniqueArray(
      fc
        .record({ sheet: word, end: maybe(end), at: time, readings: fc.dictionary(word, text(200), { maxKeys: 6, noNullPrototype: true }) })
        .map(bare) as fc.Arbitrary<SetupFile['sheets'][number]>,
      { selector: (sheet) => `${sheet.sheet} ${sheet.end ?? ''}`, minLength: 1, maxLength: 5 },
    ),
    runs: maybe(
      fc.array(fc.record({ at: time, typed: text(2000), track: maybe(text(60)) }).map(bare), { minLength: 1, maxLength: 4 }),
    ) as fc.Arbitrary<SetupFile['runs']>,
    pictures: maybe(fc.shuffledSubarray([...PICTURES], { minLength: 1 })),
  })
  .map(bare) as fc.Arbitrary<SetupFile>;

const EXAMPLE: SetupFile = {
  format: SETUP_FORMAT,
  name: 'Hard pan, evening',
  truck: 'Sandhopper',
  saved: '2026-06-14T18:30:00.000Z',
  notes: 'Pack 40 mm back.\nCalm over the ruts.',
  tags: ['hard pan', 'evening'],
  conditions: { track: 'Salt loop', temperature: '24 °C' },
  facts: [
    {
      fact: 'front_left',
      typed: '612 g',
      how: 'measured',
      at: '2026-06-14T17:00:00.000Z',
      uncertainty: 0.000288675,
      sheet: 'corners',
    },
    {
      fact: 'rear_spring_rate',
      typed: '0.5',
      how: 'stated',
      at: '2026-06-14T17:00:00.000Z',
      said: 'the blue one',
      note: 'from the box -- as told',
      sheet: 'ride',
      end: 'rear',
    },
  ],
  parts: [
    {
      name: 'pack, 2 cells',
      count: 1,
      typed: '292 ± 1',
      mass: 0.292,
      uncertainty: 0.00057735,
      place: 0.185,
      places: [0.185, 0.24, 'off'],
      sprung: true,
      axle: null,
      role: 'pack',
      note: '',
    },
    {
      name: 'rear tyre',
      count: 2,
      typed: '96',
      mass: 0.096,
      uncertainty: null,
      place: null,
      places: [],
      sprung: false,
      axle: 'rear',
      role: 'tyre',
      note: 'worn',
    },
  ],
  sheets: [
    { sheet: 'corners', at: '2026-06-14T17:00:00.000Z', readings: { front_left: '612 g' } },
    { sheet: 'ride', end: 'rear', at: '2026-06-14T17:05:00.000Z', readings: {} },
  ],
};
const problemOf = (typed: string): string => {
  const read = readSetupFile(typed);
  return 'problem' in read ? read.problem.text : expect.fail('it was read');
};
/** The example with one thing changed: `facts.0.how` to "guessed"; undefined takes it out. */
function changed(path: string, value: unknown): string {
  const file: object = structuredClone(EXAMPLE);
  const steps = path.split('.');
  const last = steps.pop()!;
  let at = file as Record<string, unknown>;
  for (const step of steps) at = at[step] as Record<string, unknown>;
  if (value === undefined) delete at[last];
  else at[last] = value;
  return JSON.stringify(file);
}

describe('a setup as a file', () => {
  it('comes back from JSON without loss, whatever was typed', () => {
    fc.assert(
      fc.property(anyFile, (file) => {
        expect(readSetupFile(setupJson(file))).toEqual({ file });
      }),
      { numRuns: 300 },
    );
  });

  it('comes back from a page of Markdown without loss, whatever was typed', () => {
    fc.assert(
      fc.property(anyFile, (file) => {
        expect(readSetupFile(setupMarkdown(file))).toEqual({ file });
      }),
      { numRuns: 300 },
    );
  });

  it('comes back from lines that end as they do elsewhere, behind a byte order mark', () => {
    for (const written of [setupJson(EXAMPLE), setupMarkdown(EXAMPLE)])
      expect(readSetupFile(`\uFEFF${written.replaceAll('\n', '\r\n')}`)).toEqual({ file: EXAMPLE });
  });

  it('fits the published schema', () => {
    fc.assert(
      fc.property(anyFile, (file) => {
        expect([fits(JSON.parse(setupJson(file))), fits.errors]).toEqual([true, null]);
      }),
      { numRuns: 200 },
    );
  });

  it('is a page that a member can read', () => {
    const runs = [{ at: '2026-06-14T17:30:00.000Z', typed: '5 min, bucked in the whoops', track: 'Salt loop' }];
    expect(setupMarkdown({ ...EXAMPLE, runs })).toContain(
      '```runs\n2026-06-14T17:30:00.000Z : 5 min, bucked in the whoops -- track "Salt loop"\n```\n',
    );
    expect(setupMarkdown(EXAMPLE)).toContain('front_left : 612 g -- measured, 2026-06-14T17:00:00.000Z, sheet corners, u 0.000288675\n');
    expect(setupMarkdown(EXAMPLE)).toContain('```sheet ride rear 2026-06-14T17:05:00.000Z\n```');
  });
});

describe('a file that is damaged or means harm', () => {
  // Each is refused by the schema as well.
  const many = Array.from({ length: 1001 }, (_, i) => ({ ...EXAMPLE.facts[0], fact: `f${i}` }));
  const REFUSED: readonly (readonly [string, string, unknown, RegExp])[] = [
    ['another version', 'format', 'dustsheet-setup/2', /^format: "dustsheet-setup\/2" does not fit\./],
    ['a field nobody knows', 'extra', 1, /^The file: "extra" does not fit\. There is format, /],
    ['a name that is none', 'name', ' ', /^name: /],
    ['a name that is too long', 'name', 'a'.repeat(61), /^name: .*1 to 60 characters/],
    ['a truck that is missing', 'truck', undefined, /^truck: Give a text/],
    ['a time that is none', 'saved', 'yesterday', /^saved: "yesterday" does not fit/],
    ['notes that are a list', 'notes', ['a'], /^notes: /],
    ['too many tags', 'tags', Array(13).fill('a'), /^tags: "13" does not fit\. Give at most 12/],
    ['a condition nobody knows', 'conditions.moon', 'full', /^conditions: "moon"/],
    ['facts that are no list', 'facts', {}, /^facts: /],
    ['a fact without its text', 'facts.1.typed', undefined, /^facts\[1\]\.typed: /],
    ['a fact known in no way', 'facts.0.how', 'guessed', /^facts\[0\]\.how: "guessed"/],
    ['a negative uncertainty', 'facts.0.uncertainty', -1, /^facts\[0\]\.uncertainty: "-1"/],
    ['a name that is a path', 'facts.0.fact', '../../etc', /^facts\[0\]\.fact: /],
    ['an end that is none', 'sheets.1.end', 'left', /^sheets\[1\]\.end: "left"/],
    ['no sheet', 'sheets', [], /^sheets: /],
    ['a reading that is a number', 'sheets.0.readings.front_left', 612, /^sheets\[0\]\.readings\.front_left: "612"/],
    ['more than anybody measures', 'facts', many, /^facts: "1001"/],
    ['runs that are none', 'runs', 'fast', /^runs: /],
    ['a run without its line', 'runs', [{ at: EXAMPLE.saved }], /^runs\[0\]\.typed: Give a text/],
    ['a run at no time', 'runs', [{ at: 'noon', typed: '5 min' }], /^runs\[0\]\.at: "noon"/],
    ['a run of somebody', 'runs', [{ at: EXAMPLE.saved, typed: '5 min', by: 'Ines' }], /^runs\[0\]: "by"/],
    ['more runs than a setup has', 'runs', Array(21).fill({ at: EXAMPLE.saved, typed: '5 min' }), /^runs: "21"/],
    ['a picture that is a text', 'pictures', ['hello'], /^pictures\[0\]: /],
    ['pictures that are none', 'pictures', 'hello', /^pictures: /],
    ['five pictures', 'pictures', [...PICTURES, PICTURES[0]], /^pictures: "5"/],
    ['a picture twice', 'pictures', [PICTURES[0], PICTURES[0]], /^pictures: The same stands twice/],
    ['a picture that is none', 'pictures', [null], /^pictures\[0\]: "null"/],
  ];
  for (const [what, path, value, sentence] of REFUSED)
    it(`${what}: a sentence names the place, and the schema refuses it too`, () => {
      expect(problemOf(changed(path, value))).toMatch(sentence);
      expect(fits(JSON.parse(changed(path, value)))).toBe(false);
    });

  it('takes pictures only as the house makes them, to the last byte', async () => {
    const whole = Buffer.from(PICTURES[0]!, 'base64');
    const told = 'It is no picture as setup export writes it: lossy WebP, plain, at most 256 KiB and 1280 pixels.';
    const others: readonly Buffer[] = [
      whole.subarray(0, -2),
      Buffer.concat([whole, Buffer.from('EXIF\x04\0\0\0ICHI', 'latin1')]),
      await sharp(whole).webp({ lossless: true }).toBuffer(),
      await sharp(whole)
        .withExif({ IFD0: { Artist: 'Ines' } })
        .webp()
        .toBuffer(),
      await sharp(whole).png().toBuffer(),
      Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>'),
    ];
    for (const [i, bytes] of others.entries()) {
      const file = { ...EXAMPLE, pictures: [PICTURES[1]!, bytes.toString('base64')] };
      expect([i, problemOf(setupJson(file))]).toEqual([i, `pictures[1]: ${told}`]);
      expect([i, problemOf(setupMarkdown(file))]).toEqual([i, `pictures[1]: ${told}`]);
    }
    expect(problemOf(changed('pictures', [`${PICTURES[0]}\n`]))).toMatch(/^pictures\[0\]: .*not Base64/);
    const page = setupMarkdown({ ...EXAMPLE, pictures: [PICTURES[0]!] });
    expect(page).toContain(`![Picture 1](data:image/webp;base64,${PICTURES[0]})`);
    const line = page.split('\n').findIndex((one) => one.startsWith('![')) + 1;
    expect(problemOf(page.replace('image/webp;base64', 'image/svg+xml;base64'))).toMatch(new RegExp(`^Line ${line}: "image/svg`));
    expect(problemOf(page.replace('data:image/webp;base64,', 'https://127.0.0.1/'))).toMatch(new RegExp(`^Line ${line}: `));
    const back = readSetupFile(page);
    expect('file' in back && picturesIn(back.file).map((bytes) => Buffer.from(bytes).equals(whole))).toEqual([true]);
  });

  it('says where a file breaks off', () => {
    const [json, page] = [setupJson(EXAMPLE), setupMarkdown(EXAMPLE)];
    for (let cut = 0; cut < json.trimEnd().length; cut += 7) expect(problemOf(json.slice(0, cut))).toMatch(/^(Line \d+|The file)/);
    for (let cut = 0; cut < page.trimEnd().length; cut += 1) expect(problemOf(page.slice(0, cut))).toMatch(/^(Line \d+|The file|[a-z]+)/);
    // Between two blocks it looks whole.
    expect(problemOf(page.slice(0, page.indexOf('```sheet')))).toMatch(
      /^holds: "\d+ facts, .*" does not fit\. There is \d+ facts?.* here\. Is/,
    );
    expect(readSetupFile(page.replace(/^holds: .*\n/m, '').replace(/```sheet[\s\S]*?```/, ''))).toHaveProperty('file');
    expect(problemOf('')).toContain('empty');
    expect(problemOf('hello')).toBe('Line 1: "hello" does not fit. A setup begins with "{" or with "---".');
  });

  it('names the line of a page', () => {
    const page = setupMarkdown(EXAMPLE);
    const line = page.split('\n').findIndex((one) => one.startsWith('front_left : 612 g --')) + 1;
    expect(problemOf(page.replace('front_left : 612 g --', 'front_left 612 g --'))).toMatch(new RegExp(`^Line ${line}: `));
    expect(problemOf(page.replace('measured, 2026', 'measured, measured, 2026'))).toMatch(new RegExp(`^Line ${line}: .*once`));
  });

  it('takes a fact or a sheet once', () => {
    expect(problemOf(changed('facts', [...EXAMPLE.facts, EXAMPLE.facts[0]]))).toBe('facts[2]: "front_left" does not fit. Give it once.');
    expect(problemOf(changed('sheets', [...EXAMPLE.sheets, EXAMPLE.sheets[1]]))).toBe('sheets[2]: "ride rear" does not fit. Give it once.');
  });

  it('neither grows nor reaches beyond itself', () => {
    expect(problemOf(' '.repeat(2 * 1024 * 1024 + 1))).toContain('too large');
    // Nesting takes YAML's parser minutes, or the process with it: vitest's own limit would end this.
    for (const deep of ['['.repeat(40_000), '{a: '.repeat(2_000), '- '.repeat(3_000), `"${'\\"'.repeat(20_000)}`, '"a" ['.repeat(9_000)])
      expect(problemOf(`---\nformat: ${deep}\n---\n`)).toMatch(/^(Line \d+|format): /);
    expect(problemOf(`---\n${'a: 1\n'.repeat(20_000)}---\n`)).toMatch(/^Line 2: The head holds more/);
    const bomb = `---\na: &a [x,x,x,x]\nb: &b [*a,*a,*a,*a]\nc: [*b,*b,*b,*b]\n---\n`;
    expect(problemOf(bomb)).toMatch(/^(Line|format|The file)/);
    expect(problemOf(`{"__proto__":{"format":"${SETUP_FORMAT}"},"name":"a"}`)).toMatch(/^format: /);
    expect(Object.hasOwn(Object.prototype, 'format')).toBe(false);
    expect(problemOf(`${'['.repeat(100_000)}`)).toMatch(/^Line 1/);
    expect(problemOf(`{"format":${'['.repeat(50_000)}`)).toMatch(/^Line 1/);
    expect(problemOf(changed('notes', 'a\0b'))).toMatch(/^notes: /);
    expect(problemOf(changed('notes', '\ud800'))).toMatch(/^notes: /);
  });

  it('whatever is typed: a file or a sentence, never a throw', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string(),
          fc.json(),
          fc.string().map((one) => `---\n${one}\n---\n${one}`),
        ),
        (typed) => void readSetupFile(typed),
      ),
      { numRuns: 500 },
    );
    fc.assert(
      fc.property(anyFile, fc.nat(), fc.string({ maxLength: 4 }), fc.boolean(), (file, at, noise, page) => {
        const written = page ? setupMarkdown(file) : setupJson(file);
        const place = at % written.length;
        void readSetupFile(written.slice(0, place) + noise + written.slice(place + noise.length));
      }),
      { numRuns: 500 },
    );
  });
});
