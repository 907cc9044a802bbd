/** Sections of lines made to fit a message: each gives up its last lines, the longest beyond its share first, and says how many. */

export interface Section {
  readonly head: string | null;
  readonly lines: readonly string[];
  /** How much of the message it may have when all want more; of 1. */
  readonly share: number;
  /** How many lines stay whatever happens. */
  readonly least?: number;
  /** What stands in the place of lines left out: "and 7 more". */
  readonly more?: (left: number) => string;
}

export function fitSections(sections: readonly Section[], limit: number): string {
  const there = sections.filter(({ head, lines }) => head !== null || lines.length > 0);
  const kept = there.map(({ lines }) => lines.length);
  const linesOf = (i: number): string[] => {
    const { head, lines, more = (left) => `… and ${left} more` } = there[i]!;
    const left = lines.length - kept[i]!;
    return [...(head === null ? [] : [head]), ...lines.slice(0, kept[i]), ...(left > 0 ? [more(left)] : [])];
  };
  const sizes = (): number[] => there.map((_, i) => linesOf(i).join('\n').length + 1);
  for (;;) {
    const size = sizes();
    if (size.reduce((sum, one) => sum + one, 0) - 1 <= limit) break;
    let most = -1;
    for (const [i, { share, least = 0 }] of there.entries()) {
      if (kept[i]! <= least) continue;
      if (most < 0 || size[i]! - share * limit > size[most]! - there[most]!.share * limit) most = i;
    }
    if (most < 0) break;
    kept[most]! -= 1;
  }
  const text = there.flatMap((_, i) => linesOf(i)).join('\n');
  return text.length <= limit ? text : `${text.slice(0, limit - 1).toWellFormed()}…`;
}
