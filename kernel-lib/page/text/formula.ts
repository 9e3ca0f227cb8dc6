import { renderToString } from 'katex';

/** Macros that a text defines for all formulas after it, as TeX has it. */
const macros = {};

/**
 * A formula as HTML: what is seen, and MathML to be read aloud. One that cannot be read shows itself, with the reason.
 *
 * @param tex as it stands between dollar signs
 * @param isDisplay on a line of its own
 */
export const formulaHtml = (tex: string, isDisplay: boolean): string =>
  renderToString(tex, {
    displayMode: isDisplay,
    macros,
    throwOnError: false,
    strict: 'ignore',
    trust: false,
    // em. A rule or a gap of any size would push the page out of sight.
    maxSize: 20,
    // The source of the formula inside its MathML would be read aloud after it.
  }).replace(/<annotation\b[^>]*>[\s\S]*?<\/annotation>/g, '');
