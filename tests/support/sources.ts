/**
 * The sources that stand beside the checks of a test file. Beside a check stands either
 *
 *   { …, source: 'Title, edition, page, table or example' }     in a table of cases (or `source: NAME` of a constant of the file), or
 *   // Title, edition, page, table or example: what is printed there.     a comment that opens with its source
 *
 * Such a comment is told from others by its opening: "Second method: …", "Common practice, no source: …", or a title with its place (a standard, a
 * year, an edition, chapter, table, example …); "Source: …" serves where neither fits. A colon or the end of the sentence ends the source. One that
 * says "by hand" is a working on paper.
 */

const PROPERTY = /\bsource:\s*(?:(['"`])((?:\\.|(?!\1).)*)\1|([A-Z_]{2,})\b)/g;
/** The end of a sentence, but not after an abbreviation or an initial ("3rd ed. ", "ch. 5", "R. A. Fisher"). */
const END = /(?<!\b(?:ed|eds|ch|eq|eqs|sec|secs|no|nos|vol|p|pp|fig|figs|St|cf|[A-Z]))\.(?=\s|$)/;

export function sourcesIn(test: string): string[] {
  const found: { at: number; source: string }[] = [];
  for (const { index, 2: text, 3: constant } of test.matchAll(PROPERTY)) {
    const source = text ?? constantIn(test, constant!);
    if (source) found.push({ at: index, source });
  }
  for (const { index, 0: block } of test.matchAll(/(?:^[ \t]*\/\/.*\n?)+/gm)) {
    const source = opening(
      block
        .replace(/^[ \t]*\/\/ ?/gm, '')
        .replace(/\s+/g, ' ')
        .trim(),
    );
    if (source) found.push({ at: index, source });
  }
  return found.sort((a, b) => a.at - b.at).map(({ source }) => source.replace(/\s+/g, ' ').trim());
}

/** What the place of a title looks like. */
const PLACE =
  /\b(?:ISO|SAE|ASTM|DIN|IEC|JCGM|NIST|DLMF|(?:18|19|20)\d\d|handbook|manual|documentation|literature|published|ed\.|edition|chapter|ch\.|section|sec\.|table(?= (?:of|over|[A-Z]?\d))|example|eq\.|equation|problem|exercise|algorithm|p\.|pp\.|vol\.)(?=\W|$)/i;
const READ = /\bprinted values?\b[^.;]*\b(?:seen|read|from memory)\b/i;

const constantIn = (test: string, name: string): string | undefined =>
  new RegExp(`\\bconst ${name}\\s*=\\s*(['"\`])(.*?)\\1`).exec(test)?.[2];

function opening(comment: string): string | null {
  const sentence = comment.split(END)[0]!;
  if (/^Source: /.test(comment)) return sentence.slice('Source: '.length).split(/:\s/)[0]!;
  if (/^Second method\b/.test(comment)) return sentence;
  const title = sentence.split(/:\s/)[0]!;
  if (/^Common practice\b/.test(comment)) return title;
  if (/^\p{Lu}/u.test(title) && (PLACE.test(title) || READ.test(comment))) return title;
  return /\bby hand\b/i.test(comment) ? 'worked by hand' : null;
}
