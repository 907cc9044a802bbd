/**
 * What a truck's facts already answer, what is missing, and what one more measurement would unlock. Only names are looked at, no numbers:
 * a sheet can be asked when each reading it requires is a fact, has a default, or is answered by a sheet that can be asked.
 */
import { type End, factName } from './ask.ts';
import type { ReadingSpec, Sheet } from './notation.ts';

/** A sheet, at one end of the truck where it treats one. */
export interface Job {
  readonly sheet: Sheet;
  readonly end: End | null;
}
export interface Missing {
  readonly job: Job;
  /** Facts that are neither known nor answered elsewhere. For "exactly one of" the first of the group stands for it. */
  readonly facts: readonly string[];
}
export interface Unlock {
  readonly fact: string;
  readonly reading: ReadingSpec;
  /** Jobs that could be asked then, and could not before. */
  readonly jobs: readonly Job[];
}

export const jobsOf = (sheets: Iterable<Sheet>): Job[] =>
  [...sheets].flatMap((sheet) => (sheet.ends ? (['front', 'rear'] as const) : [null]).map((end) => ({ sheet, end })));

interface Need {
  /** Any one of these will do. */
  readonly facts: readonly string[];
  readonly reading: ReadingSpec;
}

function needsOf({ sheet, end }: Job): Need[] {
  const grouped = new Set(sheet.exactlyOne.flat());
  const fact = (name: string): string => factName(name, sheet, end)!;
  const needs: Need[] = sheet.readings
    .filter(({ required, name }) => required && !grouped.has(name))
    .map((reading) => ({ facts: [fact(reading.name)], reading }));
  for (const group of sheet.exactlyOne)
    needs.push({ facts: group.map(fact), reading: sheet.readings.find(({ name }) => name === group[0])! });
  return needs;
}

/** Which jobs can be asked of a truck with these facts, and what the others lack. */
export class Reach {
  readonly #jobs: readonly { readonly job: Job; readonly needs: readonly Need[]; readonly gives: readonly string[] }[];

  constructor(sheets: Iterable<Sheet>) {
    this.#jobs = jobsOf(sheets).map((job) => ({
      job,
      needs: needsOf(job),
      gives: job.sheet.answers.filter(({ type }) => type.kind === 'number').map(({ name }) => factName(name, job.sheet, job.end)!),
    }));
  }

  /**
   * Jobs that rest on at least one fact and lack none. A sheet that feeds on another waits for it; circles never start, as they would
   * have to be there to come into being. An answer that needs optional readings may still be left out: that is known only by asking.
   */
  can(known: ReadonlySet<string>): Set<Job> {
    const can = new Set<Job>();
    const there = new Set(known);
    for (let grew = true; grew; ) {
      grew = false;
      for (const { job, needs, gives } of this.#jobs) {
        if (can.has(job) || needs.length === 0 || !needs.every(({ facts }) => facts.some((fact) => there.has(fact)))) continue;
        can.add(job);
        for (const fact of gives) there.add(fact);
        grew = true;
      }
    }
    return can;
  }

  /** What each job that cannot be asked lacks, fewest first. */
  missing(known: ReadonlySet<string>): Missing[] {
    const can = this.can(known);
    const there = new Set([...known, ...this.#jobs.filter(({ job }) => can.has(job)).flatMap(({ gives }) => gives)]);
    return this.#jobs
      .filter(({ job, needs }) => !can.has(job) && needs.length > 0)
      .map(({ job, needs }) => ({
        job,
        facts: needs.filter(({ facts }) => !facts.some((fact) => there.has(fact))).map(({ facts }) => facts[0]!),
      }))
      .sort((a, b) => a.facts.length - b.facts.length);
  }

  /** What one more measurement would unlock, most first; equal ones by how many jobs want it at all. */
  unlocks(known: ReadonlySet<string>): Unlock[] {
    const before = this.can(known);
    const lacking = this.missing(known);
    const wanted = new Map<string, ReadingSpec>();
    const wants = new Map<string, number>();
    for (const { job, facts } of lacking) {
      for (const need of needsOf(job)) if (facts.includes(need.facts[0]!)) wanted.set(need.facts[0]!, need.reading);
      for (const fact of facts) wants.set(fact, (wants.get(fact) ?? 0) + 1);
    }
    return [...wanted]
      .map(([fact, reading]) => ({ fact, reading, jobs: [...this.can(new Set([...known, fact]))].filter((job) => !before.has(job)) }))
      .sort((a, b) => b.jobs.length - a.jobs.length || wants.get(b.fact)! - wants.get(a.fact)! || (a.fact < b.fact ? -1 : 1));
  }
}
