/**
 * The bench in a real browser: what a member sees, presses and hears. Measured on the page itself, so that a change of a template or a
 * colour cannot slip by.
 */
import { accessSync, constants, readFileSync } from 'node:fs';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type OpenBench, openBench, YOU } from './open-bench.ts';

const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';
const there = ((): boolean => {
  try {
    accessSync(CHROMIUM, constants.X_OK);
    return true;
  } catch {
    return false;
  }
})();
if (!there && process.env.CI !== 'true')
  console.warn(`No browser at ${CHROMIUM}: the bench was not looked at in one. CHROMIUM says where it is.`);

// The page's side is a text: it is written for the browser, not for Node.
const source = readFileSync(new URL('./on-the-page.js', import.meta.url), 'utf8')
  .replace(/;\s*$/, '')
  .replace(/^\/\/.*$/m, '');
const onThePage = <T = void>(page: Page, what: string): Promise<T> => page.evaluate<T>(`(${source}).${what}()`);

// Where a browser is promised (CI) its absence is a failure.
describe.skipIf(!there && process.env.CI !== 'true')('the bench in a browser', () => {
  let bench: OpenBench;
  let browser: Browser;
  beforeAll(async () => {
    bench = await openBench();
    await bench.season();
    // A truck of the one who sits here, so that there is something kept to be saved.
    await bench.post('/sheets/corners', { ...FOUR, truck: 'Dry Ferry' });
    await bench.post('/setups', { name: 'Dry lake', truck: 'Dry Ferry', notes: 'Flat out', tags: 'dry' });
    await bench.post('/sheets/corners', { ...FOUR, front_left: '640', truck: 'Dry Ferry' });
    await bench.post('/setups', { name: 'Dry lake', truck: 'Dry Ferry' });
    browser = await chromium.launch({
      executablePath: CHROMIUM,
      headless: true,
      args: [
        '--no-sandbox',
        '--disable-gpu',
        '--disable-quic',
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
      ],
    });
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await bench?.stop();
  });

  const FOUR = { front_left: '612', front_right: '605', rear_left: '901', rear_right: '896' };
  const query = (fields: Readonly<Record<string, string>>): string => new URLSearchParams(fields).toString();
  /** One page of every kind. */
  const kinds = {
    first: '/',
    'a sheet': '/sheets/coil',
    'a sheet with an answer': `/sheets/corners?${query({ ...FOUR, truck: 'What If', pack_mass: '290', wheelbase: '330' })}`,
    'a sheet with a kept answer': `/sheets/corners?${query({ ...FOUR, front_left: '640', truck: 'Dry Ferry' })}`,
    'a sheet with a curve': `/sheets/gearing?${query({ motor_kv: '3300', cells: '2', pinion: '18', spur: '54', gearbox_ratio: '43/13', tyre_diameter: '109' })}`,
    'a sheet of one end': `/sheets/ride?${query({ end: 'rear', corner_load: '899', spring_rate: '4.1 lb', motion_ratio: '0.58', unsprung_mass: '210', target_sag: '35' })}`,
    'a sheet with a list': `/sheets/press?${query({ press_points: '0/78\n500/71.2\n900/65.4' })}`,
    'a sheet with slips': `/sheets/corners?${query({ front_left: '6120', rear_left: 'abc', wheelbase: 'far', truck: 'x'.repeat(70) })}`,
    'found setups': '/setups?words=sand',
    'a setup': '/setups/8',
    'a changed setup': '/setups/9',
    'two setups': '/setups/compare?a=4&b=8',
    help: '/help?about=weight',
    'a command in help': '/help?about=truck+parts',
    'a command with many parts in help': '/help?about=setup',
    'the line': '/line?line=corners+1',
    nowhere: '/no/such/page',
  } as const;
  const each = Object.entries(kinds);

  interface Looked {
    readonly width?: number;
    readonly script?: boolean;
  }
  async function looking<T>({ width = 1200, script = true }: Looked, look: (page: Page) => Promise<T>): Promise<T> {
    const context = await browser.newContext({
      viewport: { width, height: 800 },
      colorScheme: 'dark',
      javaScriptEnabled: script,
      baseURL: bench.url,
    });
    try {
      return await look(await context.newPage());
    } finally {
      await context.close();
    }
  }

  it('works from the first question to a kept setup with script switched off', async () => {
    await looking({ script: false, width: 360 }, async (page) => {
      await page.goto('/');
      await page.getByLabel('Type it as in chat').fill('corners 612 605 860 856 truck:Walker pack_mass:290 wheelbase:330');
      await page.getByRole('button', { name: 'Ask' }).click();
      await page.getByText('Kept as the last answer of Walker.').waitFor();
      expect(await page.getByLabel('Front left', { exact: true }).inputValue()).toBe('612');
      // 0.6 · 2933 g − 1716 g = 43.8 g to the rear; · 330/290 = 49.8 mm of slide.
      await page.getByText('Slide the pack 50 mm back').first().waitFor();
      // The answer is in sight at once, although the form stands above it.
      expect((await page.locator('#answer-title').boundingBox())!.y).toBeLessThan(200);

      await page.getByLabel('Rear left', { exact: true }).fill('5,1 kg');
      await page.getByRole('button', { name: 'Ask' }).click();
      await page.getByRole('link', { name: /Rear left: "5,1 kg" is out/ }).click();
      expect(await page.getByLabel('Rear left', { exact: true }).inputValue()).toBe('5,1 kg');
      await page.getByLabel('Rear left', { exact: true }).fill('901');
      await page.getByLabel('Rear right', { exact: true }).fill('896');
      await page.getByRole('button', { name: 'Only look' }).click();
      await page.getByText('Only looked at: Walker keeps what it had.').waitFor();
      await page.getByRole('button', { name: 'Keep this answer' }).click();
      await page.getByText('Kept as the last answer of Walker.').waitFor();

      await page.getByText('Keep Walker as a setup').click();
      await page.getByLabel('Name').fill('After the slide');
      await page.getByLabel('Notes').fill('Drives out of the corners');
      await page.getByRole('button', { name: 'Keep this setup' }).click();
      await page.getByRole('heading', { level: 1, name: 'After the slide' }).waitFor();
      await page.getByRole('link', { name: 'Setups' }).click();
      await page.getByLabel('Find a setup').fill('slide');
      await page.getByRole('button', { name: 'Find' }).click();
      await page.getByRole('link', { name: /After the slide/ }).waitFor();
    });
    const facts = await bench.archive.facts({ club: YOU.club, member: YOU.member, truck: 'Walker' });
    expect(facts.get('rear_left')!.typed).toBe('901');
  });

  it('takes end, choice and list from the form, by keyboard alone', async () => {
    await looking({ script: false }, async (page) => {
      await page.goto('/sheets/press');
      await page.getByLabel('front', { exact: true }).focus();
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('Tab');
      await page.keyboard.type('0/78\n500/71.2\n900/65.4');
      await page.keyboard.press('Tab');
      await page.keyboard.type('Keys');
      await page.keyboard.press('Enter');
      await page.getByText('Kept as the last answer of Keys.').waitFor();
      expect(await page.getByLabel('rear', { exact: true }).isChecked()).toBe(true);
      await page.goto('/sheets/coil');
      await page.getByLabel('Wire', { exact: true }).fill('1.2');
      await page.getByLabel('Outside diameter').fill('17.2');
      await page.getByLabel('Total coils').fill('10');
      await page.getByText('If you know more').click();
      await page.getByLabel('Ends').selectOption('plain');
      await page.getByRole('button', { name: 'Only look' }).click();
      await page.getByRole('heading', { level: 2, name: 'Spring from its wire' }).waitFor();
      // Plain ends have no inactive coils (Shigley, table 10-1).
      expect(await page.locator('tr', { hasText: 'Active coils' }).locator('td').first().textContent()).toMatch(/^\s*10\s*$/);
      expect(await page.getByLabel('Ends').inputValue()).toBe('plain');
    });
  });

  interface Measured {
    readonly sideways: readonly { readonly width: number; readonly page: number; readonly out: readonly string[] }[];
    readonly small: readonly string[];
    readonly contrast: readonly { readonly scheme: string; readonly faint: readonly string[]; readonly read: number }[];
    readonly names: Readonly<Record<'unlabelled' | 'noKeyboard' | 'dangling' | 'twice', readonly string[]>> & {
      readonly headings: readonly number[];
      readonly wordless: number;
    };
    readonly heard: readonly { readonly role: string; readonly name: string }[];
    readonly tabbed: readonly { readonly stop: string; readonly ring: boolean; readonly inSight: boolean }[];
    readonly stops: number;
    readonly pictures: readonly { readonly scheme: string; readonly from: string; readonly width: number; readonly height: number }[];
    readonly asked: readonly string[];
    readonly said: readonly string[];
  }

  async function measure(page: Page, path: string): Promise<Measured> {
    const asked: string[] = [];
    const said: string[] = [];
    page.on('request', (request) => asked.push(request.url()));
    page.on('console', (message) => said.push(message.text()));
    page.on('pageerror', (error) => said.push(error.message));
    const sideways: { width: number; page: number; out: string[] }[] = [];
    const contrast: Measured['contrast'][number][] = [];
    const pictures: Measured['pictures'][number][] = [];

    await page.goto(path);
    for (const width of [360, 320]) {
      await page.setViewportSize({ width, height: 740 });
      for (let unfolded = 0; unfolded < 2; unfolded += 1) {
        sideways.push({ width, ...(await onThePage<{ page: number; out: string[] }>(page, 'sideways')) });
        await onThePage(page, 'unfold');
      }
    }
    const small = await onThePage<string[]>(page, 'small');
    await page.setViewportSize({ width: 1200, height: 800 });
    for (const scheme of ['dark', 'light'] as const) {
      await page.emulateMedia({ colorScheme: scheme });
      contrast.push({ scheme, ...(await onThePage<{ faint: string[]; read: number }>(page, 'contrast')) });
      const seen = await onThePage<Omit<Measured['pictures'][number], 'scheme'>[]>(page, 'pictures');
      pictures.push(...seen.map((one) => ({ scheme, ...one })));
    }
    const names = await onThePage<Measured['names']>(page, 'names');
    const session = await page.context().newCDPSession(page);
    const tree = (await session.send('Accessibility.getFullAXTree')) as {
      nodes: { ignored: boolean; role?: { value: string }; name?: { value: string } }[];
    };
    const heard = tree.nodes
      .filter(({ ignored, role }) => !ignored && NAMED.has(role?.value ?? ''))
      .map(({ role, name }) => ({ role: role!.value, name: name?.value.trim() ?? '' }));
    const stops = await onThePage<number>(page, 'stops');
    const tabbed: Measured['tabbed'][number][] = [];
    for (let i = 0; i < stops; i += 1) {
      await page.keyboard.press('Tab');
      tabbed.push(await onThePage<Measured['tabbed'][number]>(page, 'stop'));
    }
    return { sideways, small, contrast, names, heard, tabbed, stops, pictures, asked, said };
  }
  /** What has to have a name of its own for those who hear the page. */
  const NAMED = new Set(['textbox', 'searchbox', 'combobox', 'radio', 'button', 'link', 'image', 'img', 'heading', 'table']);

  const measured = new Map<string, Measured>();
  const of = (kind: string): Measured => measured.get(kind)!;
  beforeAll(async () => {
    for (const [kind, path] of each) measured.set(kind, await looking({ width: 360 }, (page) => measure(page, path)));
  }, 180_000);

  it.each(each)('%s fits a phone of 360 and of 320 px without going sideways, unfolded too', (kind) => {
    for (const { width, page, out } of of(kind).sideways) expect([width, page, out]).toEqual([width, width, []]);
  });

  it('the answer of every sheet fits the phone, unfolded', async () => {
    await looking({ width: 360 }, async (page) => {
      for (const { name, example } of bench.house.sheets.values()) {
        await page.goto(`/sheets/${name}?${query(example)}`);
        await onThePage(page, 'unfold');
        expect([name, await onThePage<{ page: number; out: string[] }>(page, 'sideways')]).toEqual([name, { page: 360, out: [] }]);
      }
    });
  }, 90_000);

  it('a curve of five answers fits the phone too', async () => {
    await looking({ width: 360 }, async (page) => {
      await page.goto(kinds['a sheet with a curve']);
      expect(await onThePage(page, 'curveFits')).toBe(true);
    });
  });

  it.each(each)('%s can be read: contrast of 4.5 : 1 and more, dark and light', (kind) => {
    expect(of(kind).contrast.map(({ scheme, faint }) => ({ scheme, faint }))).toEqual([
      { scheme: 'dark', faint: [] },
      { scheme: 'light', faint: [] },
    ]);
    for (const { read } of of(kind).contrast) expect(read).toBeGreaterThan(5);
  });

  it.each(each)('%s can be pressed with a thumb: nothing to press is smaller than 44 px', (kind) => {
    expect(of(kind).small).toEqual([]);
  });

  it.each(each)('%s can be heard: whatever is filled in or pressed has a name, and pictures say what they show', (kind) => {
    const { names, heard } = of(kind);
    expect(heard.length).toBeGreaterThan(5);
    expect(heard.filter(({ name }) => name === '')).toEqual([]);
    expect(names).toMatchObject({ unlabelled: [], noKeyboard: [], dangling: [], twice: [], wordless: 0 });
    expect(names.headings.filter((level) => level === 1)).toHaveLength(1);
    for (const [i, level] of names.headings.entries())
      expect(level - (names.headings[i - 1] ?? 0), `heading ${i + 1}`).toBeLessThanOrEqual(1);
  });

  it.each(each)('%s can be gone through with the tab key, in the order of the page and always in sight', (kind) => {
    const { tabbed, stops } = of(kind);
    expect(stops).toBeGreaterThan(4);
    expect(tabbed).toEqual(Array.from({ length: stops }, (_, i) => ({ stop: String(i), ring: true, inSight: true })));
  });

  it('pictures are drawn for the reader’s ground, in their size', () => {
    const pictures = [...measured.values()].flatMap((one) => one.pictures);
    expect(pictures.length).toBeGreaterThan(10);
    for (const { scheme, from, width, height } of pictures) {
      expect([width, height]).toEqual([1080, 688]);
      expect(from).toContain(`.${scheme}.png`);
    }
  });

  it('fetches nothing from elsewhere, and the browser has nothing to complain of', () => {
    const asked = [...measured.values()].flatMap((one) => one.asked);
    expect(asked.length).toBeGreaterThan(20);
    expect(asked.filter((address) => !address.startsWith(`${bench.url}/`))).toEqual([]);
    expect([...measured].filter(([kind]) => kind !== 'nowhere').flatMap(([, { said }]) => said)).toEqual([]);
  });

  it('the skip link leads past the top', async () => {
    await looking({}, async (page) => {
      await page.goto('/sheets/corners');
      await page.keyboard.press('Tab');
      expect(await onThePage<object>(page, 'focused')).toMatchObject({ text: 'Skip to the page' });
      await page.keyboard.press('Enter');
      await page.keyboard.press('Tab');
      expect(await onThePage<object>(page, 'focused')).toMatchObject({ inMain: true });
    });
  });

  it('a slip at the top leads to its field', async () => {
    await looking({}, async (page) => {
      await page.goto(kinds['a sheet with slips']);
      await page.getByRole('link', { name: /^Wheelbase/ }).click();
      expect(await onThePage<object>(page, 'focused')).toMatchObject({ id: 'r-wheelbase' });
    });
  });
});
