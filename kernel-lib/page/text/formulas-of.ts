import { formulaHtml } from './formula';
import { createMarkdown, type Formulas } from './markdown';

/** Every formula of these texts, set. The build calls this: see setup/bundles.mjs. */
export function formulasOf(texts: readonly string[]): Formulas {
  const inline: Record<string, string> = {};
  const display: Record<string, string> = {};
  const markdown = createMarkdown((tex, isDisplay) => {
    const found = isDisplay ? display : inline;
    found[tex] ??= formulaHtml(tex, isDisplay);
    return '';
  });
  for (const text of texts) markdown(text);
  return { inline, display };
}
