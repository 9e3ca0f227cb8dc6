import { tex } from '@mdit/plugin-tex';
import MarkdownIt from 'markdown-it';

/** Formulas that were set when the page was built, by what stands between their dollar signs. */
export interface Formulas {
  readonly inline: Readonly<Record<string, string>>;
  readonly display: Readonly<Record<string, string>>;
}

/** Sets a formula: HTML of it alone. */
export type SetFormula = (tex: string, isDisplay: boolean) => string;

/** Markdown to HTML, not yet sanitised, with formulas between dollar signs. */
export function createMarkdown(setFormula: SetFormula): (source: string) => string {
  const markdown = new MarkdownIt({ html: true, linkify: false, typographer: false }).use(tex, {
    delimiters: 'dollars',
    render(tex: string, isDisplay: boolean) {
      const html = setFormula(tex, isDisplay);
      return isDisplay ? `<p class='katex-block'>${html}</p>\n` : html;
    },
  });
  const setCode = markdown.renderer.rules.code_inline;
  // A long name is broken behind its point first.
  if (setCode)
    markdown.renderer.rules.code_inline = (...given) =>
      setCode(...given).replace(/([A-Za-z])\.(?=[A-Za-z])/g, '$1.<wbr>');
  return (source) => markdown.render(source);
}
