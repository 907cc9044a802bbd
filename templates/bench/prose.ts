/** A sheet's prose as HTML: CommonMark with raw HTML off and pictures off (a picture would be fetched from elsewhere). */
import MarkdownIt from 'markdown-it';

export interface ProseOptions {
  /** The page of the sheet that a word in code (`press`) names; null for any other word. */
  readonly sheetAt: (word: string) => string | null;
}
export type Prose = (markdown: string, options: ProseOptions) => string;

export function makeProse(): Prose {
  const markdown = new MarkdownIt({ html: false, linkify: false }).disable('image');
  const { rules } = markdown.renderer;
  const code = rules.code_inline!;
  rules.code_inline = (tokens, i, options, env: ProseOptions, self) => {
    const inner = code(tokens, i, options, env, self);
    const href = env.sheetAt(tokens[i]!.content);
    return href === null ? inner : `<a href="${markdown.utils.escapeHtml(href)}">${inner}</a>`;
  };
  // The page has the headings of the first two levels.
  for (const rule of ['heading_open', 'heading_close'] as const)
    rules[rule] = (tokens, i, options, _env, self) => {
      const token = tokens[i]!;
      token.tag = `h${Math.min(6, Number(token.tag.slice(1)) + 2)}`;
      return self.renderToken(tokens, i, options);
    };
  return (text, options) => markdown.render(text, options);
}
