/** The season of the demo club: it is what it claims to be, worked out again from what its members typed. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Reply } from '../../bot/commands/types.ts';
import { type Played, playClock, playSeason, season } from '../../bot/demo.ts';
import { type OpenBench, openBench, YOU } from './bench/open-bench.ts';

const heard: { readonly played: Played; readonly reply: Reply }[] = [];
let bench: OpenBench;
beforeAll(async () => {
  bench = await openBench();
  await bench.season((played, reply) => void heard.push({ played, reply }));
}, 60_000);
afterAll(() => bench?.stop());

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

// ── what was typed, read without the house ──────────────────────────────────────────────────────────────────────────────────────

interface Part {
  readonly name: string;
  readonly mass: number;
  readonly count: number;
  at: number | null;
}
interface Weighing {
  readonly truck: string;
  readonly day: number;
  /** Front left, front right, rear left, rear right, in g as they stood on a true scale. */
  readonly corners: readonly number[];
  /** What was aboard then: its mass, and its moment about the front axle. */
  readonly listed: number;
  readonly moment: number;
  /** That all of it was on the list. */
  readonly complete: boolean;
}
const GAIN: Readonly<Record<string, number>> = { '2': 502 / 500 };
const WHEELBASE: Readonly<Record<string, number>> = { Sandhopper: 331, Mudlark: 345, 'Dune Ferry': 322 };

function weighings(): Weighing[] {
  const current = new Map<string, string>();
  const parts = new Map<string, Part[]>();
  const found: Weighing[] = [];
  for (const { played } of heard) {
    const { line, asker } = played;
    const used = /^truck use (.*)$/.exec(line);
    if (used) current.set(asker.member, used[1]!);
    const truck = /truck[:=](.*)$/.exec(line)?.[1] ?? current.get(asker.member)!;
    const list = parts.get(truck) ?? [];
    parts.set(truck, list);
    const added = /^truck parts add (.*?) (\d+) (-?\d+|off)(?: .*?count:(\d+))?/.exec(
      line.replace(/ (?:places|note):[^:]*(?= \w+:|$)/g, ''),
    );
    if (added)
      list.push({
        name: added[1]!,
        mass: Number(added[2]),
        count: Number(added[4] ?? 1),
        at: added[3] === 'off' ? null : Number(added[3]),
      });
    const changed = /^truck parts change (.*) at:(\d+)/.exec(line);
    if (changed) list.find(({ name }) => name === changed[1])!.at = Number(changed[2]);
    const weighed = /^corners ((?:\d+(?:@\d)? ?){4})/.exec(line);
    if (!weighed) continue;
    const aboard = list.filter(({ at }) => at !== null);
    const sum = (of: (part: Part) => number): number => aboard.reduce((total, part) => total + part.count * of(part), 0);
    found.push({
      truck,
      day: played.day,
      corners: weighed[1]!
        .trim()
        .split(' ')
        .map((one) => Number(one.split('@')[0]) / (GAIN[one.split('@')[1] ?? ''] ?? 1)),
      listed: sum(({ mass }) => mass),
      moment: sum(({ mass, at }) => mass * at!),
      complete: list.some(({ name }) => name === 'front shock'),
    });
  }
  return found;
}

interface Run {
  readonly truck: string;
  readonly day: number;
  readonly track: string;
  readonly laps: readonly number[];
}
function runs(): Run[] {
  return heard.flatMap(({ played: { line, day }, reply }) => {
    const run = /^run add .*, laps ([\d. ]+) .*track:(.*)$/.exec(line);
    if (!run) return [];
    const truck = /^Run \d+ of ([^:]*):/.exec(reply.text)![1]!;
    return [{ truck, day, track: run[2]!, laps: run[1]!.trim().split(' ').map(Number) }];
  });
}

describe('the season of the demo club', () => {
  it('has every message answered, none with a problem', () => {
    expect(heard.length).toBeGreaterThan(150);
    expect(heard.filter(({ reply }) => reply.kind === 'problems').map(({ played, reply }) => `${played.line}: ${reply.text}`)).toEqual([]);
    for (const { reply } of heard) expect(reply.text.length).toBeLessThanOrEqual(2000);
  });

  it('lies in the past whenever the bot starts, each day on a Saturday morning of the club, and never runs backwards', () => {
    for (const [now, zone, year] of [
      [Date.UTC(2026, 0, 1), 'UTC', 2025],
      [Date.UTC(2026, 9, 3, 20), 'Africa/Windhoek', 2025],
      [Date.UTC(2026, 9, 5), 'Africa/Windhoek', 2026],
      [Date.UTC(2031, 11, 31), 'America/Denver', 2031],
    ] as const) {
      const played = season(now, zone);
      expect(played.at(-1)!.at).toBeLessThan(now);
      for (let i = 1; i < played.length; i += 1) expect(played[i]!.at).toBeGreaterThan(played[i - 1]!.at);
      const days = [0, 1, 2, 3, 4, 5].map((day) => played.filter((one) => one.day === day));
      const shown = new Intl.DateTimeFormat('en-GB', { weekday: 'long', hour: 'numeric', hour12: false, year: 'numeric', timeZone: zone });
      for (const day of days) {
        expect(shown.format(day[0]!.at)).toMatch(new RegExp(`Saturday.*${year}.*09|${year}.*Saturday.*09`));
        // What was given in the morning still counts in the evening, and no longer on the next day: so all of it is kept.
        expect(day.at(-1)!.at - day[0]!.at).toBeLessThan(8 * 3_600_000);
      }
    }
  });

  it('is kept at the times at which it happened, and the clock goes on as before', async () => {
    const time = playClock(() => 5);
    time.put(3);
    expect(time.now()).toBe(3);
    time.put(null);
    expect(time.now()).toBe(5);
    const found = await bench.archive.findSetups({ club: YOU.club, words: '', viewer: 'demo-tomasz', limit: 50 });
    const saved = new Set(heard.filter(({ played }) => played.line.startsWith('setup save')).map(({ played }) => played.at));
    for (const { at } of found.setups) expect(saved.has(at)).toBe(true);
    expect((await bench.archive.verify({ club: YOU.club })).ok).toBe(true);
    expect(bench.house.clock()).toBeGreaterThan(Date.now() - 1000);
  });

  it('weighs what its parts weigh, and carries it where they lie', () => {
    const all = weighings();
    const whole = all.filter(({ complete }) => complete);
    expect(new Set(whole.map(({ truck }) => truck))).toEqual(new Set(['Sandhopper', 'Mudlark', 'Dune Ferry']));
    expect(whole.length).toBeGreaterThan(12);
    for (const { truck, day, corners, listed, moment } of whole) {
      const total = corners.reduce((sum, corner) => sum + corner, 0);
      const about = `${truck}, day ${day + 1}`;
      // A screw or two are on no list, and sand is on every truck.
      expect(Math.abs(total - listed), about).toBeLessThan(15);
      // Moments about the front axle: what lies behind it rests on the rear wheels by its share of the wheelbase.
      expect(Math.abs(corners[2]! + corners[3]! - moment / WHEELBASE[truck]!), about).toBeLessThan(10);
    }
  });

  it('keeps the weight of a truck from day to day, but for what was put on or taken off', () => {
    for (const truck of Object.keys(WHEELBASE)) {
      const totals = weighings()
        .filter((one) => one.truck === truck && one.complete)
        .map(({ corners, listed }) => corners.reduce((sum, corner) => sum + corner, 0) - listed);
      expect(Math.max(...totals) - Math.min(...totals), truck).toBeLessThan(12);
    }
  });

  it('drives laps that can be believed, and better ones at its end', () => {
    const all = runs();
    for (const { laps } of all) for (const lap of laps) expect(lap >= 24 && lap <= 27.5).toBe(true);
    for (const truck of ['Sandhopper', 'Mudlark', 'Dune Ferry', 'Camelthorn']) {
      const here = all.filter((run) => run.truck === truck && run.track === 'pan loop');
      const best = (day: number): number => Math.min(...here.filter((run) => run.day === day).map(({ laps }) => mean(laps)));
      const days = [...new Set(here.map(({ day }) => day))];
      expect(best(days.at(-1)!), truck).toBeLessThan(best(days[0]!) - 0.4);
    }
  });

  it('says since when it is slower, and by what: a spring on one truck, the pack on another', async () => {
    const asked = heard.filter(({ played }) => played.line.startsWith('run since'));
    expect(asked.map(({ reply }) => /^Changed before run \d+: (.*)$/m.exec(reply.text)?.[1])).toEqual([
      'front spring rate green 0.24 → orange 0.36 (0.241 → 0.362 N/mm)',
      'pack 230 mm → 190 mm',
    ]);
    // Today: the spring is back out, the pack is not.
    const now = async (truck: string, of: string): Promise<string> =>
      (await bench.commands.answer({ command: 'run since', options: { what: 'slower', truck, of }, asker: YOU })).text;
    expect(await now('Sandhopper', 'Ines')).toMatch(/^Sandhopper is not clearly slower/);
    expect(await now('Mudlark', 'Tomasz')).toContain('Mudlark is slower on pan loop since run 7');
  });

  it('improves its setups step by step, and they can be held side by side', async () => {
    const history = await bench.archive.setupHistory({ club: YOU.club, name: 'Hard pan', truck: 'Sandhopper' });
    if (history.kind === 'problems') return expect.fail(history.problems[0]!.text);
    expect(history.revisions.map(({ rev }) => rev)).toEqual([6, 5, 4, 3, 2, 1]);
    const rates = await Promise.all(
      [1, 3, 4].map(async (rev) => {
        const shown = await bench.archive.showSetup({ club: YOU.club, name: 'Hard pan', truck: 'Sandhopper', rev });
        return shown.kind === 'setup' ? shown.doc.facts.find(({ fact }) => fact === 'rear_spring_rate')?.said : null;
      }),
    );
    expect(rates).toEqual(['black 0.50', 'blue 0.45', 'white 0.38']);
    const compared = heard.find(({ played }) => played.line.startsWith('setup compare'))!.reply.text;
    expect(compared).toMatch(/pinion: 15 teeth → 18 teeth/i);
    expect(compared).toMatch(/rear spring rate: blue 0\.45 → white 0\.38/i);
  });

  it('rides on springs that give the sag which was read off a ruler', async () => {
    // One rear corner on 0.497 N/mm, later on 0.381 N/mm: sag = m·g/(k·MR²), f = √(k·MR²/m)/2π (Gillespie, ch. 5).
    for (const [rev, spring, ruler] of [
      [1, 497, 29],
      [6, 381, 42],
    ] as const) {
      const shown = await bench.archive.showSetup({ club: YOU.club, name: 'Hard pan', truck: 'Sandhopper', rev });
      if (shown.kind === 'problems') return expect.fail(shown.problems[0]!.text);
      const fact = (name: string): number => shown.doc.facts.find((one) => one.fact === name)!.value as number;
      const unsprung = 0.318 / 2 + 0.096 + 0.038;
      const mass = (fact('rear_left') + fact('rear_right')) / 2 - unsprung;
      const { answer } = shown.doc.sheets.find(({ sheet, end }) => sheet === 'ride' && end === 'rear')!;
      const ratio = answer.readings.find(({ name }) => name === 'motion_ratio')!.value as number;
      const rate = spring * ratio ** 2;
      expect(Math.abs((1000 * mass * 9.80665) / rate - ruler), `revision ${rev}`).toBeLessThan(1.5);
      expect(answer.answers.find(({ name }) => name === 'ride_frequency')!.value).toBeCloseTo(Math.sqrt(rate / mass) / (2 * Math.PI), 6);
    }
  });

  it('has a truck that was begun with a copy, and a plan that only its owner sees', async () => {
    const copied = await bench.archive.facts({ club: YOU.club, member: 'demo-priya', truck: 'Camelthorn' });
    expect(copied.get('rear_spring_rate')?.note).toContain('copied from setup 1');
    expect(copied.get('front_left')?.note ?? '').not.toContain('copied');
    const names = async (viewer: string): Promise<string[]> =>
      (await bench.archive.findSetups({ club: YOU.club, words: 'race', viewer, limit: 50 })).setups.map(({ name }) => name);
    expect(await names('demo-tomasz')).toEqual(['Race plan']);
    expect(await names('demo-ines')).toEqual([]);
  });

  it('is told of each message in turn, and leaves the clock alone when something breaks', async () => {
    const time = playClock(() => 7_000_000_000_000);
    const broken = playSeason({
      commands: { ...bench.commands, answer: () => Promise.reject(new Error('full')) },
      sheets: bench.house.sheets,
      time,
      zone: 'UTC',
    });
    await expect(broken).rejects.toThrow('full');
    expect(time.now()).toBe(7_000_000_000_000);
  });
});
